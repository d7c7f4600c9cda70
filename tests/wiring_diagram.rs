//! The one-line diagram, measured: lines keep off boxes, words off lines and each other.
//!
//! One job: geometry and text of `wiring.svg` for a small and a large system.

mod systems;

use systems::{empty, end_of, four_banks, large, run, small};
use tideover::present::diagram::{
    Band, Circuit, Edge, Layout, NodeKind, Point, Rect, layout, paper_layouts, paper_svgs,
    wiring_svg,
};
use tideover::scenario::{Parts, RunEnd};
use tideover::wiring::schedule;

fn laid_out(scenario: &Parts) -> Layout {
    layout(scenario, &schedule(scenario, None))
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x < b.x + b.w - 0.01
        && b.x < a.x + a.w - 0.01
        && a.y < b.y + b.h - 0.01
        && b.y < a.y + a.h - 0.01
}

/// A horizontal or vertical piece as a thin rectangle.
fn thin(from: Point, to: Point) -> Rect {
    assert!(
        (from.0 - to.0).abs() < 1e-6 || (from.1 - to.1).abs() < 1e-6,
        "{from:?} {to:?} is neither level nor upright"
    );
    Rect {
        x: from.0.min(to.0) - 0.6,
        y: from.1.min(to.1) - 0.6,
        w: (from.0 - to.0).abs() + 1.2,
        h: (from.1 - to.1).abs() + 1.2,
    }
}

/// On the sheet and on paper.
fn check(scenario: &Parts) {
    check_layout(&laid_out(scenario));
    for (_, layout) in paper_layouts(scenario, &schedule(scenario, None)) {
        check_layout(&layout);
    }
}

fn check_layout(layout: &Layout) {
    for (index, one) in layout.boxes.iter().enumerate() {
        for other in &layout.boxes[index + 1..] {
            assert!(!overlap(*one, *other), "boxes {one:?} {other:?}");
        }
    }
    let labels: Vec<(usize, Rect, &str)> = layout
        .wires
        .iter()
        .enumerate()
        .flat_map(|(wire, w)| {
            w.labels
                .iter()
                .map(move |l| (wire, l.rect, l.text.as_str()))
        })
        .collect();
    for (number, (_, rect, text)) in labels.iter().enumerate() {
        for on in &layout.boxes {
            assert!(!overlap(*rect, *on), "label {text} on box {on:?}");
        }
        for (_, other, words) in &labels[number + 1..] {
            assert!(!overlap(*rect, *other), "labels {text} and {words}");
        }
    }
    for (number, wire) in layout.wires.iter().enumerate() {
        let edge = &layout.graph.edges[wire.edge];
        for pair in wire.points.windows(2) {
            let piece = thin(pair[0], pair[1]);
            for (index, on) in layout.boxes.iter().enumerate() {
                let inner = Rect {
                    x: on.x + 1.0,
                    y: on.y + 1.0,
                    w: on.w - 2.0,
                    h: on.h - 2.0,
                };
                assert!(
                    !overlap(piece, inner),
                    "wire {:?} crosses box {}",
                    edge.run,
                    layout.graph.nodes[index].title
                );
            }
            for (_, rect, text) in &labels {
                assert!(
                    !overlap(piece, *rect),
                    "wire {:?} runs through the words {text}",
                    edge.run
                );
            }
            for (other, theirs) in layout.wires.iter().enumerate() {
                for fuse in &theirs.fuses {
                    assert!(
                        other == number || !overlap(piece, *fuse),
                        "wire {:?} through a fuse",
                        edge.run
                    );
                }
                if other > number {
                    for their in theirs.points.windows(2) {
                        assert!(
                            !side_by_side(pair, their),
                            "wires {number} and {other} lie on each other: {pair:?} {their:?}"
                        );
                    }
                }
            }
        }
        let (first, last) = (wire.points[0], wire.points[wire.points.len() - 1]);
        let (from, to) = (layout.boxes[edge.from], layout.boxes[edge.to]);
        assert!(
            (first.0 - from.x - from.w).abs() < 0.01
                && first.1 > from.y
                && first.1 < from.y + from.h
        );
        assert!((last.0 - to.x).abs() < 0.01 && last.1 > to.y && last.1 < to.y + to.h);
    }
}

/// Whether two parallel pieces could be taken for one.
fn side_by_side(one: &[Point], other: &[Point]) -> bool {
    let level = |p: &[Point]| (p[0].1 - p[1].1).abs() < 1e-6;
    let upright = |p: &[Point]| (p[0].0 - p[1].0).abs() < 1e-6;
    let meet = |a: (f64, f64), b: (f64, f64)| {
        a.0.min(a.1) < b.0.max(b.1) - 0.01 && b.0.min(b.1) < a.0.max(a.1) - 0.01
    };
    if level(one) && level(other) {
        (one[0].1 - other[0].1).abs() < 4.0 && meet((one[0].0, one[1].0), (other[0].0, other[1].0))
    } else if upright(one) && upright(other) {
        (one[0].0 - other[0].0).abs() < 4.0 && meet((one[0].1, one[1].1), (other[0].1, other[1].1))
    } else {
        false
    }
}

/// Crossings as drawn, counted on the picture itself.
fn drawn_crossings(layout: &Layout) -> usize {
    let mut crossings = 0;
    for (number, wire) in layout.wires.iter().enumerate() {
        for other in &layout.wires[number + 1..] {
            for a in wire.points.windows(2) {
                for b in other.points.windows(2) {
                    let (level, upright) = if (a[0].1 - a[1].1).abs() < 1e-6 {
                        (a, b)
                    } else {
                        (b, a)
                    };
                    let is_level = (level[0].1 - level[1].1).abs() < 1e-6;
                    let is_upright = (upright[0].0 - upright[1].0).abs() < 1e-6;
                    let (x, y) = (upright[0].0, level[0].1);
                    let inside =
                        |v: f64, p: f64, q: f64| v > p.min(q) + 0.01 && v < p.max(q) - 0.01;
                    if is_level
                        && is_upright
                        && inside(x, level[0].0, level[1].0)
                        && inside(y, upright[0].1, upright[1].1)
                    {
                        crossings += 1;
                    }
                }
            }
        }
    }
    crossings
}

#[test]
fn law_nothing_overlaps_in_a_small_system() {
    check(&small());
}

#[test]
fn law_nothing_overlaps_with_three_banks_four_chargers_and_25_loads() {
    check(&large());
}

#[test]
fn law_nothing_overlaps_without_runs_or_with_next_to_nothing() {
    let mut bare = large();
    bare.runs.clear();
    check(&bare);
    check(&empty("nothing but an alternator"));
    let mut none = empty("nothing");
    none.alternator = None;
    check(&none);
}

#[test]
fn law_a_system_that_can_be_drawn_without_crossings_is() {
    let layout = laid_out(&small());
    assert_eq!(layout.crossings, 0);
    assert_eq!(drawn_crossings(&layout), 0);
}

#[test]
fn law_the_drawing_crosses_no_more_than_the_order_says() {
    let layout = laid_out(&large());
    assert!(
        drawn_crossings(&layout) <= layout.crossings,
        "{} {}",
        drawn_crossings(&layout),
        layout.crossings
    );
    assert!(layout.crossings <= 1, "{}", layout.crossings);
}

#[test]
fn by_hand_one_run_is_told_as_one() {
    let mut scenario = small();
    scenario.runs.truncate(1);
    let svg = wiring_svg(&scenario, &schedule(&scenario, None));
    assert!(svg.contains("One-line diagram with 1 run."), "{svg}");
}

/// Every line and every load of the sheet stands on paper once; what crosses there crosses here.
#[test]
fn law_the_drawings_on_paper_are_the_sheet_in_parts() {
    for scenario in [small(), large(), four_banks()] {
        let sheet = laid_out(&scenario);
        let papers = paper_layouts(&scenario, &schedule(&scenario, None));
        let lines = |layout: &Layout| -> Vec<String> {
            let title = |node: usize| &layout.graph.nodes[node].title;
            let line = |e: &Edge| format!("{} {} {:?}", title(e.from), title(e.to), e.run);
            layout.graph.edges.iter().map(line).collect()
        };
        let loads = |layout: &Layout| -> Vec<String> {
            let nodes = layout.graph.nodes.iter();
            let loads = nodes.filter(|node| node.kind == NodeKind::Load);
            loads.map(|load| load.title.clone()).collect()
        };
        for listed in [lines, loads] {
            let mut wanted = listed(&sheet);
            let mut found: Vec<String> = papers.iter().flat_map(|(_, it)| listed(it)).collect();
            wanted.sort();
            found.sort();
            assert_eq!(found, wanted, "{}", scenario.title);
        }
        for (what, layout) in &papers {
            assert!(drawn_crossings(layout) <= layout.crossings, "{what}");
        }
        let crossings: usize = papers.iter().map(|(_, it)| it.crossings).sum();
        assert!(crossings <= sheet.crossings, "{}", scenario.title);
    }
}

/// The number before the unit, behind a word of the report's style.
fn millimetres(style: &str, before: &str) -> f64 {
    let (_, after) = style.split_once(before).expect("in the style");
    let words = after.split("mm").next().expect("a length");
    words.trim().parse().expect("a number")
}

/// By hand: A4 is 210 mm wide, a point 25.4 / 72 mm; a picture fills the width between the margins, or the height that the
/// style gives it.
#[test]
fn by_hand_no_printed_letter_of_the_diagram_is_under_seven_points() {
    let style = tideover::present::report::report_style();
    let width_mm = 210.0 - 2.0 * millimetres(&style, "size: A4; margin: 11mm");
    let height_mm = millimetres(&style, "#wiring ~ figure .card > svg { max-height:");
    let shipped = ["desert-crossing", "northern-autumn-van", "oasis-truck"].map(|name| {
        let path = format!("{}/scenarios/{name}.json", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("shipped");
        let files = |name: &str| Err(format!("no {name}"));
        let reading = tideover::scenario::read(&text, name, &files);
        reading.expect("valid").scenario
    });
    let shipped = shipped.iter().map(|scenario| -> &Parts { scenario });
    for scenario in shipped.chain([&small(), &four_banks()]) {
        for (what, svg) in paper_svgs(scenario, &schedule(scenario, None)) {
            let size = svg.split_once("viewBox=\"0 0 ").expect("a view box").1;
            let size = size.split_once('"').expect("its end").0;
            let (wide, high) = size.split_once(' ').expect("two sizes");
            let size = |text: &str| text.parse::<f64>().expect("a size");
            let mm = (width_mm / size(wide)).min(height_mm / size(high));
            let letters = svg.split("font-size=\"").skip(1);
            let letters = letters.map(|rest| size(rest.split('"').next().expect("a size")));
            let least_pt = letters.fold(f64::INFINITY, f64::min) * mm * 72.0 / 25.4;
            let title = &scenario.title;
            assert!(
                (7.0..20.0).contains(&least_pt),
                "{title}, {what}: {least_pt} pt"
            );
        }
    }
}

#[test]
fn sources_left_banks_middle_loads_right() {
    let layout = laid_out(&large());
    let of = |kinds: &[NodeKind]| -> Vec<f64> {
        let nodes = layout.graph.nodes.iter().zip(&layout.boxes);
        nodes
            .filter(|(n, _)| kinds.contains(&n.kind))
            .map(|(_, b)| b.x)
            .collect()
    };
    let most = |xs: &[f64]| xs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = |xs: &[f64]| xs.iter().copied().fold(f64::INFINITY, f64::min);
    let sources = of(&[NodeKind::Alternator, NodeKind::Mains, NodeKind::Panel]);
    let banks = of(&[NodeKind::Bank]);
    let loads = of(&[NodeKind::Load]);
    assert!(most(&sources) < least(&banks) && most(&banks) < least(&loads));
    assert_eq!(loads.len(), 25);
}

#[test]
fn every_run_of_the_file_is_drawn_once_with_its_figures() {
    let scenario = large();
    let answer = schedule(&scenario, None);
    let layout = layout(&scenario, &answer);
    for run in &answer.runs {
        let drawn: Vec<_> = layout
            .graph
            .edges
            .iter()
            .filter(|e| e.run.as_ref() == Some(&run.id))
            .collect();
        assert_eq!(drawn.len(), 1, "{}", run.id);
        let mm2 = run.mm2.expect("a size").to_string();
        assert!(
            drawn[0].label.above.starts_with(&mm2),
            "{:?}",
            drawn[0].label
        );
        let fuse = run.fuse.as_ref().expect("a fuse");
        assert!(
            drawn[0]
                .label
                .below
                .contains(&format!("{} A", fuse.rating_a))
        );
        let fuses = usize::from(drawn[0].fuse_from) + usize::from(drawn[0].fuse_to);
        assert_eq!(fuses, fuse.number, "{}", run.id);
    }
}

#[test]
fn ignition_circuits_differ_in_dashes_and_words() {
    let scenario = small();
    let layout = laid_out(&scenario);
    let radio = layout
        .graph
        .nodes
        .iter()
        .position(|n| n.title == "radio")
        .expect("drawn");
    assert_eq!(layout.graph.nodes[radio].detail, "ignition");
    let edge = layout
        .graph
        .edges
        .iter()
        .find(|e| e.to == radio)
        .expect("joined");
    assert_eq!(edge.circuit, Circuit::Ignition);
    let svg = wiring_svg(&scenario, &schedule(&scenario, None));
    assert!(svg.contains("stroke=\"#8E4212\" stroke-width=\"8\" stroke-dasharray=\"44 20\""));
    assert!(svg.contains("long dashes: with the ignition"));
}

#[test]
fn cautions_stand_at_the_foot_and_the_users_words_are_harmless() {
    let mut scenario = small();
    scenario.title = "</title><script>alert(1)</script>\u{1b}[31m & \"co\"".to_string();
    let answer = schedule(&scenario, None);
    let svg = wiring_svg(&scenario, &answer);
    assert!(!svg.contains("<script") && !svg.contains('\u{1b}'));
    assert!(svg.contains("&lt;script&gt;"));
    for caution in &answer.cautions {
        let first: String = caution
            .split_whitespace()
            .take(4)
            .collect::<Vec<_>>()
            .join(" ");
        assert!(svg.contains(&first), "{caution}");
    }
    assert!(
        svg.contains("<desc>")
            && svg.contains("viewBox=")
            && svg.contains("feed-main: starter to main-dcdc")
    );
}

#[test]
fn a_ring_of_runs_is_drawn_all_the_same() {
    let mut scenario = large();
    let ends = (end_of(&scenario, "trailer"), end_of(&scenario, "camper"));
    scenario.runs.push(run("back", ends.0, ends.1, 2.0, &[]));
    scenario
        .runs
        .push(run("odd", RunEnd::Load(0), RunEnd::Bank(0), 2.0, &[]));
    check(&scenario);
}

/// Systems of many shapes from a counter-based draw; the number of a failing one is printed.
#[test]
fn law_nothing_overlaps_in_systems_of_many_shapes() {
    for number in 0..300_u64 {
        let mut state = number.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
        let mut below = |limit: usize| -> usize {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            usize::try_from(state >> 33).expect("31 bits") % limit
        };
        let scenario = systems::drawn(&mut below);
        let outcome = std::panic::catch_unwind(|| check(&scenario));
        assert!(outcome.is_ok(), "system {number}");
    }
}

/// Writes the pictures where the environment asks for them, to be looked at.
#[test]
fn pictures_are_whole() {
    for (name, scenario) in [("small", small()), ("large", large())] {
        let svg = wiring_svg(&scenario, &schedule(&scenario, None));
        assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"));
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
        if let Ok(folder) = std::env::var("TIDEOVER_PICTURES") {
            std::fs::write(
                std::path::Path::new(&folder).join(format!("{name}.svg")),
                svg,
            )
            .expect("written");
        }
    }
}

/// 200 banks, chargers, panels and loads with a run each: what once took minutes, since the work grew with
/// the cube of the parts, takes seconds in a build that is not optimised.
#[test]
fn law_a_system_of_800_parts_is_drawn_in_seconds() {
    use tideover::scenario::{ChargerSource, Chemistry, Role, When};
    let mut scenario = empty("everything to its limit");
    for number in 0..200 {
        let id = |what: &str| format!("{what}{number}");
        let capacity_ah = 100.0;
        scenario.banks.push(systems::bank(
            &id("bank"),
            Role::House,
            Chemistry::Lfp,
            capacity_ah,
        ));
        scenario.chargers.push(systems::charger(
            &id("charger"),
            ChargerSource::Alternator,
            number,
            20.0,
        ));
        scenario
            .solar
            .push(systems::panel(&id("panel"), number, 100.0, None));
        let on = (number * 7) % 200;
        scenario
            .loads
            .push(systems::steady(&id("load"), on, 12.0, When::Always));
        let load = RunEnd::Load(number);
        scenario
            .runs
            .push(run(&id("feed"), RunEnd::Bank(on), load, 2.0, &[load]));
        let charger = RunEnd::Charger(number);
        scenario.runs.push(run(
            &id("out"),
            charger,
            RunEnd::Bank(number),
            1.0,
            &[charger],
        ));
    }
    let began = std::time::Instant::now();
    let answer = schedule(&scenario, None);
    let layout = layout(&scenario, &answer);
    let took_s = began.elapsed().as_secs_f64();
    assert_eq!(answer.runs.len(), 400);
    assert!(layout.boxes.len() >= 800);
    assert!(took_s < 60.0, "{took_s} s");
}

/// A bank in the trailer: two outlines, nothing of the one in the other, the plug between them.
#[test]
fn law_vehicle_and_trailer_are_two_outlines_with_the_plug_between() {
    let mut scenario = large();
    let trailer = scenario
        .banks
        .iter()
        .position(|bank| bank.id == "trailer")
        .expect("there");
    scenario.banks[trailer].trailer = true;
    check(&scenario);
    let layout = laid_out(&scenario);
    let titles: Vec<&str> = layout
        .outlines
        .iter()
        .map(|outline| outline.title)
        .collect();
    assert_eq!(titles, ["vehicle", "trailer"]);
    assert!(!overlap(layout.outlines[0].rect, layout.outlines[1].rect));
    let mut plugs = 0;
    for (node, rect) in layout.graph.nodes.iter().zip(&layout.boxes) {
        let inside = |outline: usize| {
            let of = layout.outlines[outline].rect;
            rect.y >= of.y && rect.y + rect.h <= of.y + of.h
        };
        match node.band {
            Band::Vehicle => assert!(inside(0) && !inside(1), "{}", node.title),
            Band::Trailer => assert!(inside(1) && !inside(0), "{}", node.title),
            Band::Between => {
                plugs += 1;
                assert!(node.kind == NodeKind::Plug && !inside(0) && !inside(1));
            }
            Band::BesideVehicle | Band::BesideTrailer => assert!(!inside(0) && !inside(1)),
        }
    }
    assert!(plugs >= 1);
}
