//! `tideover page`: what its files hold, and that nothing given to it can leave its place.
//!
//! One job: bytes of the written files. The page at work is looked at in a browser.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios")
        .join(name)
}

fn run(arguments: &[&str]) -> Output {
    let program = env!("CARGO_BIN_EXE_tideover");
    Command::new(program).args(arguments).output().unwrap()
}

fn page(arguments: &[&str]) -> Output {
    run(&[&["page"], arguments].concat())
}

#[test]
fn law_a_page_without_a_scenario_is_written_too() {
    let out = tempfile::tempdir().unwrap();
    let done = page(&["--out", out.path().to_str().unwrap()]);
    assert!(done.status.success());
    let html = fs::read_to_string(out.path().join("page.html")).unwrap();
    let scenarios: Value = serde_json::from_str(element(&html, "tideover-scenarios")).unwrap();
    assert_eq!(scenarios["scenarios"], Value::Array(Vec::new()));
    assert!(html.contains("<noscript><p>This page begins with three questions"));
}

/// What stands in the element of an id.
fn element<'a>(html: &'a str, id: &str) -> &'a str {
    let inside = html.split_once(&format!("id=\"{id}\">")).unwrap().1;
    inside.split_once("</script>").unwrap().0
}

#[test]
fn law_a_page_holds_module_script_scenarios_and_a_table() {
    let out = tempfile::tempdir().unwrap();
    let (first, second) = (example("weekend.json"), example("desert-crossing.json"));
    let done = page(&[
        first.to_str().unwrap(),
        second.to_str().unwrap(),
        "--out",
        out.path().to_str().unwrap(),
    ]);
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let html = fs::read_to_string(out.path().join("page.html")).unwrap();
    // The module is packed: the first bytes of gzip in base64.
    assert!(html.contains("<div id=\"tideover-module\" hidden><script type=\"text/plain\">H4sI"));
    // The first answers are about the first scenario, under the questions that the page asks.
    let opening: Value = serde_json::from_str(element(&html, "tideover-answers")).unwrap();
    let answers = &opening["answers"];
    assert_eq!(answers[0]["question"].to_string(), "{\"ask\":\"outline\"}");
    let stop = &answers[0]["answer"]["stops"][0];
    assert_eq!(
        answers[2]["question"].to_string(),
        format!(
            "{{\"ask\":\"run\",\"command\":\"stay\",\"options\":{{\"now\":{},\"trials\":128,\"step\":60}}}}",
            stop["arrive"]
        ),
    );
    assert_eq!(answers[2]["answer"]["status"], 0);
    // And what the plan says at hours on the way, in the words of the command.
    let moment = &opening["moments"][2];
    assert_eq!(moment["now"], "2028-01-22T06:00");
    let stay = run(&[
        "stay",
        first.to_str().unwrap(),
        "--now=2028-01-22T06:00",
        "--trials=128",
        "--step=60",
        "--out",
        out.path().to_str().unwrap(),
    ]);
    let in_a_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = in_a_line(&String::from_utf8(stay.stdout).unwrap());
    for part in ["from", "verdict"] {
        let part = in_a_line(moment[part].as_str().unwrap());
        assert!(part.len() > 20 && told.contains(&part), "{part}\n{told}");
    }
    assert!(element(&html, "tideover-worker").len() > 100);
    let scenarios: Value = serde_json::from_str(element(&html, "tideover-scenarios")).unwrap();
    for (at, path) in [first, second].iter().enumerate() {
        let text = fs::read_to_string(path).unwrap();
        assert_eq!(scenarios["scenarios"][at]["text"], text.as_str());
    }
    let table = html.split_once("<noscript>").unwrap().1;
    let table = table.split_once("</noscript>").unwrap().0;
    assert!(
        table.contains("charge at dawn") && table.contains("<td"),
        "{table}"
    );
    assert!(!html.contains("{{"));
    // With every place of the world by name.
    assert!(html.len() < 6_000_000, "{}", html.len());
}

#[test]
fn law_a_site_keeps_itself() {
    let out = tempfile::tempdir().unwrap();
    let folder = out.path().join("site");
    let path = example("weekend.json");
    let done = page(&[path.to_str().unwrap(), "--site", folder.to_str().unwrap()]);
    assert!(done.status.success());
    let mut names: Vec<String> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(
        names,
        ["icon.svg", "index.html", "manifest.webmanifest", "serve.js"]
    );
    let text = |name: &str| fs::read_to_string(folder.join(name)).unwrap();
    assert!(text("index.html").contains("rel=\"manifest\""));
    assert!(!text("serve.js").contains("{{"));
    let manifest: Value = serde_json::from_str(&text("manifest.webmanifest")).unwrap();
    assert_eq!(manifest["display"], "standalone");
}

#[test]
fn law_hostile_names_stay_text() {
    let folder = tempfile::tempdir().unwrap();
    let hostile = "</script><script>alert(1)</script> \\\" ' {{module}} \u{2028}";
    let text = fs::read_to_string(example("weekend.json")).unwrap();
    let mut root: Value = serde_json::from_str(&text).unwrap();
    root["title"] = hostile.into();
    root["itinerary"]["legs"][0]["to"] = "<img src=x onerror=alert(2)>".into();
    root["itinerary"]["legs"][0]["lat"] = (-34.0).into();
    root["itinerary"]["legs"][0]["lon"] = 150.0.into();
    let path = folder.path().join("a\"><script>b.json");
    fs::write(&path, root.to_string()).unwrap();
    let done = page(&[
        path.to_str().unwrap(),
        "--out",
        folder.path().to_str().unwrap(),
    ]);
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let html = fs::read_to_string(folder.path().join("page.html")).unwrap();
    assert!(!html.contains("alert(1)</script>") && !html.contains("<img src=x"));
    assert!(!html.contains('\u{2028}'));
    let scenarios: Value = serde_json::from_str(element(&html, "tideover-scenarios")).unwrap();
    let kept: Value =
        serde_json::from_str(scenarios["scenarios"][0]["text"].as_str().unwrap()).unwrap();
    assert_eq!(kept["title"], hostile);
    assert_eq!(scenarios["scenarios"][0]["name"], "a\"><script>b.json");
}

#[test]
fn refuses_as_every_command_does_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let out = out.to_str().unwrap();
    let weekend = example("weekend.json");
    let weekend = weekend.to_str().unwrap();
    let bad = folder.path().join("bad.json");
    fs::write(&bad, "{\"title\": 1}").unwrap();
    let refused = |arguments: &[&str], status: i32, says: &str| {
        let done = page(&[arguments, &["--out", out]].concat());
        assert_eq!(done.status.code(), Some(status), "{arguments:?}");
        let told = String::from_utf8(done.stderr).unwrap();
        assert!(told.contains(says), "{told}");
        assert!(!Path::new(out).exists());
    };
    refused(&[weekend, bad.to_str().unwrap()], 2, "bad.json");
    refused(&[weekend, "nowhere.json"], 3, "cannot open `nowhere.json`");
    refused(
        &[weekend, weekend],
        2,
        "error: `page weekend.json`: two scenarios of a page cannot have the same file name",
    );
}
