//! The page as a file: module, scripts, style and scenarios in one document.
//!
//! One job: the parts put in their places, so that nothing in them can leave its place, and a policy that
//! lets nothing in from outside. What the scripts do is in `web/`.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use data_encoding::BASE64;
use serde::Serialize;
use sha2::{Digest as _, Sha256};

use super::opening::Opening;
use crate::present::plain_text::markup;
use crate::present::report::report_style;
use crate::present::wiring_sheet::SHEET_STYLE;
use crate::units::filled;

/// What the marks of the page's sources stand between.
const MARKS: (&str, &str) = ("{{", "}}");
const TEMPLATE: &str = include_str!("web/page.html");
const SCRIPT: &str = include_str!("web/dist/page.js");
const STYLE: &str = include_str!("web/dist/page.css");
const WORKER: &str = include_str!("web/dist/worker.js");
const SERVE: &str = include_str!("web/dist/serve.js");
const ICON: &str = include_str!("web/icon.svg");
const MANIFEST: &str = include_str!("web/manifest.webmanifest");

/// The engine's module, packed with gzip.
pub const MODULE: &[u8] = include_bytes!("packed/module.wasm.gz");

/// A scenario in a page, with the text of the files that it points to, by the names it uses.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PageScenario {
    /// Name of its file.
    pub name: String,
    /// Its text.
    pub text: String,
    /// The other files.
    pub files: BTreeMap<String, String>,
}

/// What a page without a scenario says where its scripts don't run.
const NOTHING_YET: &str = "<p>This page begins with three questions, and needs its scripts for that: open it in a browser.</p>";

/// What goes into a page.
#[derive(Debug, Clone)]
pub struct Page<'a> {
    /// What it is called.
    pub title: &'a str,
    /// None for a page that begins with its questions.
    pub scenarios: &'a [PageScenario],
    /// What is asked first of the first of them, answered.
    pub opening: &'a Opening,
    /// HTML for readers without scripts.
    pub without_scripts: &'a str,
}

#[derive(Serialize)]
struct Scenarios<'a> {
    scenarios: &'a [PageScenario],
}

impl Page<'_> {
    /// The one file to keep and to open from a device.
    #[must_use]
    pub fn file(&self) -> String {
        self.document(false)
    }

    /// Static files for any web space, by their names: the page, what keeps it on the device, and what puts it
    /// on a home screen.
    #[must_use]
    pub fn site(&self) -> Vec<(String, Vec<u8>)> {
        let index = self.document(true);
        let version = Sha256::digest(index.as_bytes());
        let version = version.iter().take(8).fold(String::new(), |mut hex, byte| {
            // Writing to a String cannot fail.
            let _ = write!(hex, "{byte:02x}");
            hex
        });
        [
            ("index.html", index),
            (
                "serve.js",
                filled(SERVE, MARKS, &|mark| {
                    (mark == "version").then(|| version.clone())
                }),
            ),
            ("manifest.webmanifest", MANIFEST.to_owned()),
            ("icon.svg", ICON.to_owned()),
        ]
        .map(|(name, text)| (name.to_owned(), text.into_bytes()))
        .into()
    }

    fn document(&self, is_site: bool) -> String {
        let parts = |mark: &str| {
            Some(match mark {
                "policy" => policy(is_site),
                "title" => in_ascii(&markup(self.title)),
                "manifest" if is_site => {
                    "<link rel=\"manifest\" href=\"manifest.webmanifest\"><meta name=\"tideover-site\" content=\"serve.js\">".to_owned()
                }
                "manifest" => String::new(),
                "style" => STYLE.to_owned(),
                "noscript" if self.scenarios.is_empty() => NOTHING_YET.to_owned(),
                "noscript" => in_ascii(self.without_scripts),
                "scenarios" => embedded_json(&Scenarios {
                    scenarios: self.scenarios,
                }),
                "answers" => embedded_json(self.opening),
                "worker" => WORKER.to_owned(),
                "module" => module_pieces(),
                "script" => SCRIPT.to_owned(),
                _ => return None,
            })
        };
        filled(TEMPLATE, MARKS, &parts)
    }
}

/// The module as letters, in elements of so many bytes each (a multiple of three: each is a text of its own): it is
/// unpacked while the page is still being read.
fn module_pieces() -> String {
    const PIECE: usize = 3 << 16;
    let pieces = MODULE.chunks(PIECE).map(|bytes| {
        let letters = BASE64.encode(bytes);
        format!("<script type=\"text/plain\">{letters}</script>")
    });
    pieces.collect()
}

/// JSON for a script element: nothing in it can end the element or a line of it.
fn embedded_json(value: &impl Serialize) -> String {
    let json = serde_json::to_string(value).unwrap_or_default();
    // Such characters stand in strings only.
    let mut units = [0; 2];
    json.chars().fold(String::new(), |mut text, letter| {
        if letter.is_ascii() && !matches!(letter, '<' | '>') {
            text.push(letter);
        } else {
            for unit in letter.encode_utf16(&mut units) {
                let _ = write!(text, "\\u{unit:04x}");
            }
        }
        text
    })
}

/// HTML in letters that take one byte: a browser reads a file twice as fast that has no others.
fn in_ascii(html: &str) -> String {
    html.chars().fold(String::new(), |mut text, letter| {
        if letter.is_ascii() {
            text.push(letter);
        } else {
            let _ = write!(text, "&#{};", u32::from(letter));
        }
        text
    })
}

/// What a browser may load: the page's own script, styles that are known, nothing from elsewhere. A report
/// shown inside the page inherits this, so its styles are named too.
fn policy(is_site: bool) -> String {
    let hash = |text: &str| {
        format!(
            "'sha256-{}'",
            BASE64.encode(&Sha256::digest(text.as_bytes()))
        )
    };
    let styles = [STYLE, &report_style(), SHEET_STYLE].map(hash);
    let own = if is_site {
        "worker-src blob: 'self'; manifest-src 'self'; connect-src 'self'"
    } else {
        "worker-src blob:"
    };
    format!(
        "default-src 'none'; script-src {} 'wasm-unsafe-eval'; style-src {}; img-src blob: data:; {own}; \
         frame-src blob:; base-uri 'none'; form-action 'none'",
        hash(SCRIPT),
        styles.join(" ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_in_what_is_put_in_stay_text() {
        let part = |mark: &str| (mark == "a").then(|| "{{a}} {{b}}".to_owned());
        assert_eq!(
            filled("x {{a}} {{c}} {{", MARKS, &part),
            "x {{a}} {{b}} {{c}} {{"
        );
    }

    #[test]
    fn hostile_names_stay_text() {
        let scenario = PageScenario {
            name: "</script><script>alert(1)</script>\u{2028}\".json".to_owned(),
            text: "{\"title\": \"<!-- {{module}} -->\"}".to_owned(),
            files: BTreeMap::new(),
        };
        let page = Page {
            title: "<b>{{script}}</b>",
            scenarios: std::slice::from_ref(&scenario),
            opening: &Opening::default(),
            without_scripts: "<p>none</p>",
        };
        let html = page.file();
        assert!(!html.contains("alert(1)</script>") && !html.contains('\u{2028}'));
        assert!(html.contains("<title>&lt;b&gt;{{script}}&lt;/b&gt;</title>"));
        let element = html
            .split_once("id=\"tideover-scenarios\">")
            .expect("there")
            .1;
        let json = element.split_once("</script>").expect("closed").0;
        let read: serde_json::Value = serde_json::from_str(json).expect("JSON");
        assert_eq!(read["scenarios"][0]["name"], scenario.name.as_str());
        assert_eq!(read["scenarios"][0]["text"], scenario.text.as_str());
        let of_page = html
            .split_once("<div id=\"tideover-module\"")
            .expect("there");
        assert_eq!(of_page.0.matches("<script").count(), 5);
    }

    #[test]
    fn law_a_page_asks_for_nothing_from_outside() {
        let page = Page {
            title: "a",
            scenarios: &[],
            opening: &Opening::default(),
            without_scripts: "",
        };
        for html in [
            page.file(),
            String::from_utf8(page.site().remove(0).1).expect("text"),
        ] {
            let policy = html
                .split_once("content=\"default-src 'none'; ")
                .expect("a policy")
                .1;
            let policy = policy.split_once('"').expect("an end").0;
            assert!(
                !policy.contains("http")
                    && !policy.contains("unsafe-inline")
                    && !policy.contains('*')
            );
            assert!(!html.contains("{{"), "a mark was left");
            assert!(!html.contains("src=\"http") && !html.contains("href=\"http"));
        }
    }
}
