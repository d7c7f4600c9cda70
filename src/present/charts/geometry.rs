//! Checks of what the pictures look like, read back from their SVG.
//!
//! One job: labels inside the view box and clear of each other, numbers plain, texts safe, for one
//! to eight banks and one to sixty days. Sizes of text are estimated as the placing does.
//! With `TIDEOVER_PICTURES=DIR` in the environment the pictures are left in DIR to be looked at.

use super::text_size::{Area, width_px};
use super::{autonomy_svg, budget_svg, stay_svg, trip_svg};
use crate::present::sample;
use crate::study::answer::{SocBand, Span, TripAnswer};

fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    let key = format!(" {name}=\"");
    tag.split_once(&key)
        .and_then(|(_, rest)| rest.split_once('"'))
        .map_or("", |(value, _)| value)
}

/// Texts with their boxes, in pixels of the picture.
fn texts(svg: &str) -> Vec<(String, Area)> {
    svg.split("<text")
        .skip(1)
        .map(|rest| {
            let (tag, rest) = rest.split_once('>').unwrap();
            let text = rest.split_once("</text>").unwrap().0.trim().to_owned();
            let number = |name| attribute(tag, name).parse::<f64>().unwrap() / 4.0;
            let size = number("font-size");
            let bold = attribute(tag, "font-weight") == "bold";
            let shown = text
                .replace("&lt;", "<")
                .replace("&gt;", ">")
                .replace("&#39;", "'");
            let width = width_px(&shown, size, bold);
            let left = match attribute(tag, "text-anchor") {
                "start" => number("x"),
                "middle" => number("x") - width / 2.0,
                _ => number("x") - width,
            };
            let y = number("y");
            let area = Area::new((left, y - size * 0.58), (left + width, y + size * 0.58));
            (text, area)
        })
        .collect()
}

fn check(name: &str, svg: &str) {
    if let Ok(folder) = std::env::var("TIDEOVER_PICTURES") {
        std::fs::write(format!("{folder}/{name}.svg"), svg).unwrap();
    }
    let head = svg.split_once('>').unwrap().0;
    let view: Vec<f64> = attribute(head, "viewBox")
        .split(' ')
        .map(|n| n.parse().unwrap())
        .collect();
    let sheet = Area::new((0.0, 0.0), (view[2] / 4.0, view[3] / 4.0));
    assert!((sheet.width() - 900.0).abs() < 0.1, "{name}");
    assert!(sheet.height() >= 506.0, "{name}");
    assert!(head.contains("role=\"img\""), "{name}");
    assert_eq!(svg.matches("<title>").count(), 1, "{name}");
    assert!(
        !svg.contains("<style") && !svg.contains(" id=") && !svg.contains("NaN"),
        "{name}"
    );
    let texts = texts(svg);
    for (index, (text, area)) in texts.iter().enumerate() {
        assert!(
            area.left >= 0.0
                && area.right <= sheet.right
                && area.top >= 0.0
                && area.bottom <= sheet.bottom,
            "{name}: `{text}` leaves the picture: {area:?}"
        );
        for (other, other_area) in &texts[index + 1..] {
            assert!(!area.meets(other_area), "{name}: `{text}` meets `{other}`");
        }
    }
    for figure in svg.split('"').filter(|part| part.parse::<f64>().is_ok()) {
        let decimals = figure
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        assert!(decimals <= 2, "{name}: {figure}");
    }
}

const NAMES: [&str; 8] = [
    "main",
    "canopy",
    "trailer",
    "a-bank-with-quite-a-long-name-in-the-back",
    "five",
    "six",
    "seven",
    "eight",
];

#[test]
fn law_labels_keep_apart_for_any_number_of_banks_and_days() {
    for banks in [1, 2, 4, 7] {
        for days in [1, 2, 5, 12, 30, 60] {
            let answer = sample::trip_of(&NAMES[..banks], days);
            check(&format!("trip-{banks}-{days}"), &trip_svg(&answer));
            check(&format!("autonomy-{banks}-{days}"), &autonomy_svg(&answer));
        }
    }
}

#[test]
fn law_labels_keep_apart_in_stay_and_budget() {
    for banks in [1, 2, 4, 8] {
        check(
            &format!("stay-{banks}"),
            &stay_svg(&sample::stay_of(&NAMES[..banks])),
        );
    }
    let mut budget = sample::budget();
    check("budget-3", &budget_svg(&budget));
    let bank = budget.banks[0].clone();
    budget.banks.extend(std::iter::repeat_n(bank, 5));
    check("budget-8", &budget_svg(&budget));
    budget.banks.truncate(1);
    check("budget-1", &budget_svg(&budget));
    for load in &mut budget.banks[0].loads {
        load.asked.wh_per_day = 0.0;
        (load.asked.camp_day, load.asked.driving_day) = (None, None);
    }
    budget.banks[0].sources.clear();
    check("budget-zero", &budget_svg(&budget));
    budget.banks.clear();
    check("budget-none", &budget_svg(&budget));
}

type Change = fn(&mut TripAnswer);

fn percentiles(band: &mut SocBand) -> [&mut Vec<f64>; 5] {
    [
        &mut band.p10,
        &mut band.p25,
        &mut band.p50,
        &mut band.p75,
        &mut band.p90,
    ]
}

#[test]
fn law_odd_answers_still_make_a_picture() {
    let cases: [(&str, Change); 7] = [
        ("instant", |answer| {
            for band in &mut answer.bands {
                for values in percentiles(band) {
                    values.truncate(1);
                }
                band.utc_s.truncate(1);
            }
            for curve in &mut answer.survival {
                curve.days.truncate(1);
                curve.chance.truncate(1);
            }
            answer.length_days = 0.0;
        }),
        ("empty", |answer| {
            answer.bands.clear();
            answer.survival.clear();
            answer.result.banks.clear();
        }),
        ("no-instants", |answer| {
            for band in &mut answer.bands {
                for values in percentiles(band) {
                    values.clear();
                }
                band.utc_s.clear();
            }
        }),
        ("flat-zero", |answer| {
            for band in &mut answer.bands {
                for values in percentiles(band) {
                    values.fill(0.0);
                }
                band.reserve_soc = 0.0;
                band.cutoff_soc = 0.0;
            }
        }),
        ("polar-night", |answer| {
            let ends = Span {
                from_s: sample::FIRST_MIDNIGHT_S - 86_400,
                to_s: sample::FIRST_MIDNIGHT_S + 20 * 86_400,
            };
            answer.calendar.nights = vec![ends];
        }),
        ("polar-day", |answer| {
            answer.calendar.nights.clear();
            answer.calendar.midnights.clear();
            answer.calendar.drives.clear();
            answer.calendar.stays.clear();
        }),
        ("daily-stops", |answer| {
            answer.calendar.stays = answer
                .calendar
                .midnights
                .iter()
                .enumerate()
                .map(|(index, (instant, _))| {
                    let span = Span {
                        from_s: instant + 50_000,
                        to_s: instant + 110_000,
                    };
                    (span, format!("The camp by the river number {index}"))
                })
                .collect();
        }),
    ];
    for (name, change) in cases {
        let mut answer = sample::trip();
        change(&mut answer);
        check(&format!("odd-{name}"), &trip_svg(&answer));
        check(&format!("odd-autonomy-{name}"), &autonomy_svg(&answer));
    }
}

#[test]
fn texts_of_the_user_stay_texts() {
    let mut answer = sample::trip();
    answer.result.heading.scenario = "<script>alert(1)</script> & \u{1b}[2J".to_owned();
    answer.bands[0].bank = "<b>".to_owned();
    answer.calendar.stays[0].1 = "</svg><script>".to_owned();
    let svg = trip_svg(&answer);
    check("odd-script", &svg);
    assert!(!svg.contains("<script") && !svg.contains("<b>") && !svg.contains('\u{1b}'));
    assert_eq!(svg.matches("</svg>").count(), 1);
}

#[test]
fn every_tag_that_opens_closes() {
    let svg = trip_svg(&sample::trip());
    for tag in ["text", "title", "desc", "svg"] {
        let open =
            svg.matches(&format!("<{tag}>")).count() + svg.matches(&format!("<{tag} ")).count();
        assert_eq!(open, svg.matches(&format!("</{tag}>")).count(), "{tag}");
    }
}
