//! The cable and fuse schedule of whole systems.
//!
//! One job: what is asked of every line. Ways to fail are in `wiring_refusals`, laws of sizing in `wiring_laws`. Figures by
//! hand show their working.

mod systems;

use systems::{end_of, index, large, line, run, small};
use tideover::scenario::usual_starts::usual_start;
use tideover::scenario::{
    Appliance, Controller, Efficiency, Insulation, Inverter, InverterUnit, Kept, Mount, Needs,
    RunEnd,
};
use tideover::wiring::conductors::Series;
use tideover::wiring::fuses::{FuseType, Status};
use tideover::wiring::schedule::{Breaking, ChosenBy};
use tideover::wiring::sizing::RuledBy;
use tideover::wiring::{run_resistance_ohm, schedule, schedule_in};

/// By hand: 40 A × 14.4 V ÷ 0.92 ÷ 13.0 V = 48.16 A; × 1.25 = 60.2 A, next terminal fuse 75 A; AWG 6 carries
/// 120 × √(65/75) = 111.7 A, AWG 8 74.5 A: 16 mm² by current. 0.36 V ÷ 48.16 A = 7.475 mΩ over 9.1 m:
/// 25 mm² at 42 °C has 0.78 × 1.087 × 9.1 = 7.7 mΩ, too much; 35 mm².
#[test]
fn the_feed_of_a_charger_by_hand() {
    let run = line(&small(), "feed-main");
    assert!(
        (run.design_current_a - 48.160_5).abs() < 0.001,
        "{}",
        run.design_current_a
    );
    assert!(run.continuous && run.pass, "{:?}", run.problems);
    assert_eq!(run.by_ampacity_mm2, Some(16.0));
    assert_eq!(run.by_drop_mm2, Some(35.0));
    assert_eq!((run.mm2, run.ruled_by), (Some(35.0), RuledBy::Drop));
    // In its own series: AWG 4 (21.2 mm²) has 9.1 mΩ, too much; AWG 2 (33.6 mm²) 5.7 mΩ.
    assert_eq!(run.awg.as_deref(), Some("AWG 2"));
    let fuse = run.fuse.expect("a fuse");
    assert!((fuse.rating_a - 75.0).abs() < 1e-9);
    assert_eq!((fuse.kind, fuse.number), (Some(FuseType::TerminalBolt), 1));
    assert_eq!(fuse.places[0].at, "starter");
    let (drop, source) = (run.drop_v.expect("a drop"), run.source_v);
    assert!((source - 14.2).abs() < 1e-9);
    assert!((run.far_end_v.expect("volts") - (source - drop)).abs() < 1e-12);
    assert!((run.heat_w.expect("heat") - drop * run.design_current_a).abs() < 1e-12);
    // 5 h of leg and 2 days of 1 h about the camp.
    assert!((run.heat_wh_trip.expect("heat") - 7.0 * run.heat_w.expect("heat")).abs() < 1e-9);
}

/// Figures of the reference's METHODS, 7 (status computed): 40 A at 14.4 V, 0.92, 13.5 V in gives 46.4 A.
#[test]
fn outside_charger_input_current() {
    let mut scenario = small();
    scenario.chargers[0].min_input_v = 13.5;
    assert!((line(&scenario, "feed-main").design_current_a - 46.4).abs() < 0.05);
}

#[test]
fn each_kind_of_current_by_hand() {
    let mut scenario = small();
    // Charger output as rated; panel by its controller: 200 W × 1.25 ÷ 10.5 V = 23.8 A, limited to 20 A.
    assert!((line(&scenario, "main-out").design_current_a - 40.0).abs() < 1e-9);
    assert!((line(&scenario, "roof-out").design_current_a - 20.0).abs() < 1e-9);
    // Without tracking the panel's own current: 200 ÷ 18 × 1.25 = 13.89 A.
    scenario.solar[0].controller = Controller::Pwm;
    assert!((line(&scenario, "roof-out").design_current_a - 13.888_9).abs() < 0.001);
    // 600 W at cut-off: 57.14 A; 12 minutes are not continuous.
    let air = line(&scenario, "air-feed");
    assert!(
        (air.design_current_a - 57.143).abs() < 0.01,
        "{}",
        air.design_current_a
    );
    assert!(!air.continuous);
    // A 24 V system halves it.
    scenario.system_voltage_v = 24.0;
    assert!((line(&scenario, "air-feed").design_current_a - 28.571).abs() < 0.01);
}

/// By hand: an inverter of 600 W at its cut-off, (600 ÷ 0.88 + 8) ÷ 10.5 = 65.7 A; its surge of 1200 W for two
/// seconds (1200 ÷ 0.88 + 8) ÷ 10.5 = 130.6 A. Two loads of 400 W on it are an overload, and said to be.
#[test]
fn an_inverter_is_wired_for_its_rating_and_its_overload_is_an_error() {
    let mut scenario = small();
    scenario.inverters.push(InverterUnit {
        id: "box".to_string(),
        bank: 0,
        rated_w: 600.0,
        surge_w: 1200.0,
        idle_w: 8.0,
        efficiency: Efficiency::Constant(0.88),
    });
    let unit = RunEnd::Inverter(0);
    scenario
        .runs
        .push(run("box-feed", RunEnd::Bank(0), unit, 1.0, &[unit]));
    let inverter = Inverter {
        unit: 0,
        efficiency: 0.88,
        idle_w: 8.0,
    };
    for name in ["kettle", "oven"] {
        let mut load = systems::steady(name, 0, 400.0, tideover::scenario::When::Always);
        load.inverter = Some(inverter);
        scenario.loads.push(load);
    }
    let feed = line(&scenario, "box-feed");
    assert!(
        (feed.design_current_a - 65.696).abs() < 0.01,
        "{}",
        feed.design_current_a
    );
    assert!((feed.starts[0].current_a - 130.63).abs() < 0.01);
    let answer = schedule(&scenario, None);
    let piece = answer
        .distribution
        .iter()
        .find(|piece| piece.id == "box")
        .expect("listed");
    assert_eq!(
        piece.problems[0].fails,
        "box can be asked for 800 W at once, it is rated for 600 W: it switches off (kettle, oven)"
    );
    assert!(!answer.pass);
}

/// Parked, all but the radio (with the ignition): (45 + 12 + 60 + 600) W ÷ 10.5 V = 68.29 A; with the engine
/// running 0.6 A more: that state rules.
#[test]
fn a_block_carries_what_can_be_on_at_once() {
    let scenario = small();
    let block = line(&scenario, "block");
    assert!(
        (block.design_current_a - 68.885_7).abs() < 0.001,
        "{}",
        block.design_current_a
    );
    assert!(
        block.current_basis.contains("with the engine running")
            && block.current_basis.contains("radio 0.6 A")
    );
    let mut parked = scenario.clone();
    parked.loads[0].when = tideover::scenario::When::Parked;
    let block = line(&parked, "block");
    assert!(
        (block.design_current_a - 68.285_7).abs() < 0.001,
        "{}",
        block.design_current_a
    );
}

#[test]
fn charge_and_load_on_one_run_are_not_added_up() {
    let mut scenario = small();
    let block = index(&scenario, "block");
    let before = line(&scenario, "block").design_current_a;
    scenario.runs[block].carries.push(RunEnd::Charger(0));
    assert!((line(&scenario, "block").design_current_a - before).abs() < 1e-9);
    scenario.chargers[0].output_a = 90.0;
    assert!((line(&scenario, "block").design_current_a - 90.0).abs() < 1e-9);
    // The charger's own output now hangs behind the block's main fuse.
    assert!(
        line(&scenario, "main-out").fuse.expect("a fuse").places[0]
            .text
            .contains("fuse block")
    );
}

#[test]
fn fuses_stand_at_both_ends_between_two_batteries() {
    let mut scenario = large();
    scenario.runs.push(run(
        "link",
        RunEnd::Bank(0),
        RunEnd::Bank(1),
        3.0,
        &[RunEnd::Charger(3)],
    ));
    let fuse = line(&scenario, "link").fuse.expect("a fuse");
    let at: Vec<&str> = fuse.places.iter().map(|place| place.at.as_str()).collect();
    assert_eq!((fuse.number, at), (2, vec!["camper", "trailer"]));
    scenario
        .runs
        .push(run("stud", RunEnd::Alternator, RunEnd::Bank(2), 1.0, &[]));
    let stud = line(&scenario, "stud");
    assert!((stud.design_current_a - 150.0).abs() < 1e-9);
    assert_eq!(stud.fuse.expect("a fuse").number, 2);
}

#[test]
fn a_lithium_main_fuse_is_no_blade_and_a_branch_hangs_behind_it() {
    let mut scenario = small();
    let block = line(&scenario, "block").fuse.expect("a fuse");
    assert!(!block.kind.expect("a kind").is_blade() && block.breaking == Breaking::Alone);
    assert!(block.breaking_capacity_a.expect("known") >= block.prospective_a);
    let fridge = line(&scenario, "fridge-feed");
    let fuse = fridge.fuse.expect("a fuse");
    assert_eq!(
        (fuse.kind, fuse.breaking),
        (Some(FuseType::BladeMedium), Breaking::BehindMainFuse)
    );
    assert!(
        fridge
            .warnings
            .iter()
            .any(|w| w.contains("the main fuse at the bank has to be there"))
    );
    // Without the block's run main fuse and block are derived, and said to be: no bolt of 30 A for 4 A.
    let at = index(&scenario, "block");
    scenario.runs.remove(at);
    let fridge = line(&scenario, "fridge-feed");
    assert!(
        fridge
            .warnings
            .iter()
            .any(|w| w.contains("behind a main fuse, which is listed"))
    );
    let fuse = fridge.fuse.expect("a fuse");
    assert_eq!(fuse.kind, Some(FuseType::BladeMedium));
    assert!((fuse.rating_a - 7.5).abs() < 1e-9);
    let answer = schedule(&scenario, None);
    let main = answer
        .distribution
        .iter()
        .find(|piece| piece.id == "main-main-fuse")
        .expect("derived");
    assert!(main.derived && main.rating_a.expect("a rating") >= 1.25 * main.current_a);
    assert!(!main.fuse.expect("a family").is_blade());
}

/// Common practice, no source: a fuel heater of 28 W draws 10 A for three minutes to light. That is a load of
/// 10 A: × 1.25 = 12.5 A, a fuse of 15 A, and 1.5 mm² carries it.
#[test]
fn a_heater_is_wired_for_the_minutes_in_which_it_lights() {
    let mut scenario = small();
    let mut heater = systems::steady("heater", 0, 28.0, tideover::scenario::When::Parked);
    heater.peak = usual_start(Appliance::FuelHeater, heater.kind.running(), 1.0);
    scenario.loads.push(heater);
    let load = RunEnd::Load(5);
    scenario
        .runs
        .push(run("heater-feed", RunEnd::Bank(0), load, 2.0, &[load]));
    let feed = line(&scenario, "heater-feed");
    assert!(
        (feed.design_current_a - 10.0).abs() < 1e-9 && feed.pass,
        "{:?}",
        feed.problems
    );
    assert!((feed.fuse.expect("a fuse").rating_a - 15.0).abs() < 1e-9);
    // The maker's 20 A is kept to, and the conductor suits it; more of one's own is refused.
    scenario.loads[5].fuse_a = Some(20.0);
    let feed = line(&scenario, "heater-feed");
    let fuse = feed.fuse.expect("a fuse");
    assert!((fuse.rating_a - 20.0).abs() < 1e-9 && fuse.chosen_by == ChosenBy::Maker);
    assert!(feed.ampacity_a.expect("known") >= 20.0);
    let last = scenario.runs.len() - 1;
    scenario.runs[last].fuse_a = Some(25.0);
    assert_eq!(
        line(&scenario, "heater-feed").problems[0].fails,
        "fuse 25 A is above the 20 A that the maker of heater asks for"
    );
}

/// By hand: 60 W ÷ 10.5 V = 5.71 A; a pump of 50 % starts with 1 ÷ (1 − √0.5) = 3.414 times, 19.5 A for 0.1 s.
/// 7.5 A is 260 %: between 200 % (0.15 s) and 350 % (0.04 s) it may open in 0.0812 s; 10 A (195 %) bears 0.158 s.
#[test]
fn a_pump_gets_the_fuse_that_bears_its_start() {
    let mut scenario = small();
    scenario.loads[3].peak = usual_start(Appliance::Pump, scenario.loads[3].kind.running(), 1.0);
    let load = RunEnd::Load(3);
    scenario
        .runs
        .push(run("water-feed-2", RunEnd::Bank(0), load, 2.0, &[load]));
    let feed = line(&scenario, "water-feed-2");
    assert!(
        (feed.starts[0].current_a - 19.509).abs() < 0.01,
        "{:?}",
        feed.starts
    );
    assert!((feed.fuse.expect("a fuse").rating_a - 10.0).abs() < 1e-9);
    let last = scenario.runs.len() - 1;
    scenario.runs[last].fuse_a = Some(7.5);
    let fails = &line(&scenario, "water-feed-2").problems[0].fails;
    assert_eq!(
        fails,
        "fuse 7.5 A (blade) may open in 0.08 s when water starts: 19.5 A for 0.1 s"
    );
}

/// A portable panel works in camp, a charger that needs towing on legs: 20 A and 40 A are never one current.
#[test]
fn what_is_never_on_together_is_not_added() {
    let mut scenario = small();
    scenario.chargers[0].needs = Needs::Towing;
    scenario.solar[0].mount = Mount::Portable;
    let both = [RunEnd::Charger(0), RunEnd::Panel(0)];
    scenario
        .runs
        .push(run("bus", RunEnd::Bank(0), RunEnd::Load(4), 1.0, &both));
    assert!((line(&scenario, "bus").design_current_a - 40.0).abs() < 1e-9);
    scenario.solar[0].mount = Mount::Flat;
    assert!((line(&scenario, "bus").design_current_a - 60.0).abs() < 1e-9);
}

/// ABYC E-11 as quoted asks for 20 kA above 10 kA: a large lithium bank gets class T, and every run a conductor.
#[test]
fn a_large_lithium_bank_has_conductors_and_fuses() {
    for capacity_ah in [600.0, 1200.0, 3000.0] {
        let mut scenario = small();
        scenario.banks[0].capacity_ah = capacity_ah;
        scenario.banks[0].resistance_mohm = 800.0 / capacity_ah;
        let answer = schedule(&scenario, None);
        for run in &answer.runs {
            assert!(
                run.mm2.is_some() && run.pass,
                "{capacity_ah} Ah {}: {:?}",
                run.id,
                run.problems
            );
        }
        assert!(
            answer
                .distribution
                .iter()
                .all(|piece| piece.rating_a.is_some())
        );
    }
}

/// Each series is rounded in itself: AWG sizes are gauges, and 25 mm² (between AWG 4 and 2) is none.
#[test]
fn sizes_come_from_one_series() {
    let scenario = small();
    let metric = schedule(&scenario, None);
    let awg = schedule_in(&scenario, Series::Awg, None);
    for (one, other) in metric.runs.iter().zip(&awg.runs) {
        assert!(one.conductor.as_ref().expect("a size").ends_with("mm²"));
        assert!(
            other
                .conductor
                .as_ref()
                .expect("a size")
                .starts_with("AWG ")
        );
        assert_eq!(one.awg, other.conductor, "{}", one.id);
        assert!(other.drop_v <= Some(0.03 * 12.0 + 1e-9) && other.pass);
    }
}

#[test]
fn poor_insulation_in_an_engine_space_is_warned_of() {
    let mut scenario = small();
    let feed = index(&scenario, "feed-main");
    scenario.runs[feed].place = Kept::EngineBay;
    scenario.runs[feed].ambient_c = 50.0;
    assert!(
        !line(&scenario, "feed-main")
            .warnings
            .iter()
            .any(|w| w.contains("engine space"))
    );
    scenario.runs[feed].insulation = Insulation::new(60).expect("a rating");
    assert!(
        line(&scenario, "feed-main")
            .warnings
            .iter()
            .any(|w| w.contains("engine space"))
    );
}

/// A rating of a fuse or its breaking capacity may be a memory row; the size never depends on one alone: the
/// conductor carries the fuse by Table 5 (verified), and a breaking capacity from memory is said to be so.
#[test]
fn law_no_size_is_accepted_on_memory_rows_alone() {
    for scenario in [small(), large()] {
        for run in schedule(&scenario, None).runs {
            let first = &run.grounds[0];
            assert_eq!(
                (first.source, first.status),
                ("33 CFR 183.425, Table 5", Status::Verified)
            );
            let fuse = run.fuse.as_ref().expect("a fuse");
            assert!(
                fuse.rating_a <= run.ampacity_a.expect("known") + 1e-9,
                "{}",
                run.id
            );
            assert_eq!(run.ampacity_a, Some(fuse.window_high_a));
            let (_, status) = fuse.kind.expect("a kind").breaking_capacity_a(12.0);
            let says_so = run.warnings.iter().any(|w| w.contains("from memory"));
            assert_eq!(
                status == Status::Memory,
                says_so,
                "{}: {:?}",
                run.id,
                run.warnings
            );
        }
        let mut thin = scenario.clone();
        for run in &mut thin.runs {
            // 0.75 mm² has ampacities in memory rows only.
            run.mm2 = Some(0.75);
        }
        assert!(schedule(&thin, None).runs.iter().all(|run| !run.pass));
    }
}

#[test]
fn the_trials_are_a_cross_check() {
    let scenario = small();
    let mut p99: Vec<f64> = schedule(&scenario, None)
        .runs
        .iter()
        .map(|run| run.design_current_a)
        .collect();
    assert_eq!(
        schedule(&scenario, Some(&p99))
            .runs
            .iter()
            .filter(|run| !run.pass)
            .count(),
        0
    );
    p99[0] += 5.0;
    let run = schedule(&scenario, Some(&p99)).runs.remove(0);
    assert!(
        run.pass && run.warnings.iter().any(|w| w.contains("99th percentile")),
        "{:?}",
        run.warnings
    );
    p99[0] = 300.0;
    let answer = schedule(&scenario, Some(&p99));
    assert!(
        !answer.pass
            && answer.runs[0].problems[0]
                .fails
                .contains("the trials reach 300.0 A")
    );
}

/// By hand, as the engine takes it: 16 mm², 1.21 Ω/km, 9.1 m, at 40 °C × 1.0786 → 11.876 mΩ; at 60 °C × 1.1572.
#[test]
fn the_resistance_of_a_given_conductor_is_at_40_degrees_or_its_ambient() {
    let mut scenario = small();
    scenario.runs[0].mm2 = Some(16.0);
    scenario.runs[0].ambient_c = 50.0;
    assert!((run_resistance_ohm(&scenario, 0) - 0.011_876).abs() < 1e-6);
    scenario.runs[0].ambient_c = 60.0;
    scenario.runs[0].ambient_given = true;
    assert!((run_resistance_ohm(&scenario, 0) - 0.012_742).abs() < 1e-6);
    scenario.runs[0].mm2 = None;
    let picked = line(&scenario, "feed-main");
    let ours = 1000.0 * run_resistance_ohm(&scenario, 0);
    assert!((ours - picked.resistance_mohm.expect("known")).abs() < 1e-9);
}

#[test]
fn whole_systems_pass_with_what_the_schedule_picks() {
    for scenario in [small(), large()] {
        for run in schedule(&scenario, None).runs {
            assert!(run.pass, "{}: {:?}", run.id, run.problems);
        }
    }
    assert!(matches!(end_of(&small(), "roof"), RunEnd::Panel(0)));
}
