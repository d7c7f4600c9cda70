//! Said against came true, as a picture for the README.
//!
//! One job: bins of chances to an SVG, a panel a source. What is in the bins is worked out in
//! `weather_calibration.rs`.

#![allow(unreachable_pub, reason = "a module of a test")]
#![expect(clippy::cast_precision_loss, reason = "counts and places")]

use std::fmt::Write as _;

/// Side of a panel, px.
const SIDE: f64 = 190.0;
const LEFT: f64 = 56.0;
const TOP: f64 = 74.0;
const APART: f64 = 236.0;

/// Name of a source and, for each tenth of the chances said, their number, mean and the share that came true.
pub struct Panel<'a> {
    pub name: &'a str,
    pub bins: [(usize, f64, f64); 10],
    pub gap: f64,
}

pub fn svg(title: &str, feet: [&str; 2], panels: &[Panel<'_>]) -> String {
    let mut out = String::new();
    let mut put = |line: String| writeln!(out, "{line}").expect("a string takes all");
    let width = LEFT + APART * panels.len() as f64;
    let height = TOP + SIDE + 88.0;
    put(format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0}" height="{height:.0}" viewBox="0 0 {width:.0} {height:.0}" font-family="sans-serif" font-size="12" fill="#1c2228" role="img">"##
    ));
    put(format!("<title>{title}</title>"));
    put(format!(
        r##"<rect width="{width:.0}" height="{height:.0}" fill="#ffffff"/>"##
    ));
    put(format!(
        r#"<text x="16" y="26" font-size="16">{title}</text>"#
    ));
    for (index, panel) in panels.iter().enumerate() {
        let left = LEFT + APART * index as f64;
        let at = |said: f64, came: f64| (left + SIDE * said, TOP + SIDE * (1.0 - came));
        put(format!(
            r#"<text x="{left:.0}" y="{:.0}" font-size="13">{} <tspan fill="{MUTED}">off by {:.1} points</tspan></text>"#,
            TOP - 12.0,
            panel.name,
            panel.gap * 100.0,
        ));
        for tick in 0..=4_u8 {
            let share = f64::from(tick) / 4.0;
            let ((x, foot), (_, top), (from, y), (to, _)) = (
                at(share, 0.0),
                at(share, 1.0),
                at(0.0, share),
                at(1.0, share),
            );
            put(format!(
                r##"<path d="M{x:.1} {foot:.1}V{top:.1}M{from:.1} {y:.1}H{to:.1}" stroke="#d5d9dc"/>"##
            ));
            put(format!(
                r#"<text x="{x:.1}" y="{:.1}" text-anchor="middle" fill="{MUTED}">{:.0}</text>"#,
                foot + 16.0,
                share * 100.0
            ));
            if index == 0 {
                put(format!(
                    r#"<text x="{:.1}" y="{:.1}" text-anchor="end" fill="{MUTED}">{:.0}</text>"#,
                    from - 7.0,
                    y + 4.0,
                    share * 100.0
                ));
            }
        }
        let ((x0, y0), (x1, y1)) = (at(0.0, 0.0), at(1.0, 1.0));
        put(format!(
            r#"<path d="M{x0:.1} {y0:.1}L{x1:.1} {y1:.1}" stroke="{MUTED}" stroke-dasharray="5 4"/>"#
        ));
        let all: usize = panel.bins.iter().map(|bin| bin.0).sum();
        for &(count, said, came) in panel.bins.iter().filter(|bin| bin.0 > 0) {
            let (x, y) = at(said, came);
            let radius = 3.0 + 9.0 * (count as f64 / all as f64).sqrt();
            put(format!(
                r##"<circle cx="{x:.1}" cy="{y:.1}" r="{radius:.1}" fill="#18486c" fill-opacity="0.75" stroke="#ffffff"/>"##
            ));
        }
    }
    let middle = LEFT + APART * panels.len() as f64 / 2.0 - 20.0;
    put(format!(
        r#"<text x="{middle:.0}" y="{:.0}" text-anchor="middle">chance said, %</text>"#,
        TOP + SIDE + 36.0
    ));
    let y = TOP + SIDE / 2.0;
    put(format!(
        r#"<text transform="translate(16 {y:.0}) rotate(-90)" text-anchor="middle">came true, %</text>"#
    ));
    for (foot, above) in feet.iter().zip([26.0, 11.0]) {
        put(format!(
            r#"<text x="16" y="{:.0}" font-size="11" fill="{MUTED}">{foot}</text>"#,
            height - above
        ));
    }
    put("</svg>".to_owned());
    out
}

const MUTED: &str = "#545e68";
