//! Checked scenarios for the wiring tests, built as values.
//!
//! One job: parts with their usual values. Whole systems are in `shapes`. Invented data.
#![allow(
    dead_code,
    unused_imports,
    unreachable_pub,
    reason = "each test file uses its own part"
)]

mod shapes;

pub use shapes::{drawn, four_banks, large, small};

use chrono::NaiveDate;
use tideover::scenario::{
    Alternator, Bank, Buying, Charger, ChargerSource, Chemistry, Climate, ClockTime, Controller,
    DayPersistence, Fridge, Insulation, Itinerary, Kept, Leg, Load, LoadKind, Mount, Needs, Panel,
    Parts, Place, Power, Role, Run, RunEnd, Shade, Spread, StopChoice, When, Where, Window,
    WindowEnd, Zone,
};
use tideover::wiring::schedule;
use tideover::wiring::schedule::ScheduledRun;

pub fn bank(id: &str, role: Role, chemistry: Chemistry, capacity_ah: f64) -> Bank {
    let lithium = chemistry == Chemistry::Lfp;
    Bank {
        id: id.to_string(),
        role,
        chemistry,
        capacity_ah,
        start_soc: Spread::fixed(1.0),
        reserve_soc: if lithium { 0.1 } else { 0.5 },
        cutoff_soc: if lithium { 0.02 } else { 0.2 },
        max_charge_a: 0.5 * capacity_ah,
        max_discharge_a: capacity_ah,
        resistance_mohm: if lithium { 800.0 } else { 1000.0 } / capacity_ah,
        absorption_v: 14.4,
        self_discharge_per_month: 0.03,
        kept: if role == Role::Start {
            Kept::EngineBay
        } else {
            Kept::Cabin
        },
        trailer: false,
        standby_ma: 15.0,
        mass_kg: None,
        price: None,
        buying: Buying::default(),
    }
}

pub fn charger(id: &str, from: ChargerSource, to: usize, output_a: f64) -> Charger {
    Charger {
        id: id.to_string(),
        from,
        to,
        output_a,
        efficiency: 0.92,
        priority: 1,
        min_input_v: if matches!(from, ChargerSource::Bank(_)) {
            11.5
        } else {
            13.0
        },
        needs: if from == ChargerSource::Alternator {
            Needs::Driving
        } else {
            Needs::Always
        },
        kind: if from == ChargerSource::Mains {
            "mains"
        } else {
            "dc-dc"
        },
        relay: None,
        mass_kg: None,
        price: None,
        buying: Buying::default(),
    }
}

pub fn panel(id: &str, to: usize, panel_w: f64, shares: Option<usize>) -> Panel {
    Panel {
        id: id.to_string(),
        to,
        panel_w,
        mount: Mount::Flat,
        controller: Controller::Mppt,
        controller_max_a: 20.0,
        losses: 0.1,
        shares,
        mass_kg: None,
        price: None,
        buying: Buying::default(),
    }
}

pub fn load(id: &str, bank: usize, kind: LoadKind, when: When) -> Load {
    Load {
        id: id.to_string(),
        bank,
        kind,
        when,
        place: Where::Anywhere,
        stops: StopChoice::Everywhere,
        every_days: 1,
        use_spread: 0.15,
        inverter: None,
        peak: None,
        fuse_a: None,
        shed_order: None,
        keep: false,
        off: false,
        fixed: false,
    }
}

pub fn steady(id: &str, bank: usize, watts: f64, when: When) -> Load {
    load(id, bank, LoadKind::Steady(Power::Watts(watts)), when)
}

pub fn fridge(id: &str, bank: usize) -> Load {
    let fridge = Fridge {
        kept: Kept::Cabin,
        running_w: 45.0,
        set_c: 4.0,
        rated_average_a: 1.3,
        rated_ambient_c: 32.0,
        rated_inside_c: 4.0,
        openings_per_day: 12.0,
        warm_food_kg_per_day: 1.5,
        contents_wh_per_k: 20.0,
        starts_warm: false,
    };
    load(id, bank, LoadKind::Fridge(fridge), When::Always)
}

pub fn evening() -> When {
    When::Window(Window {
        from: WindowEnd::Sunset(0),
        to: WindowEnd::Clock(ClockTime::new(22 * 60).expect("a time")),
    })
}

pub fn run(id: &str, from: RunEnd, to: RunEnd, one_way_m: f64, carries: &[RunEnd]) -> Run {
    Run {
        id: id.to_string(),
        from,
        to,
        one_way_m,
        carries: carries.to_vec(),
        drop_limit: 0.03,
        mm2: None,
        largest_mm2: None,
        fuse_a: None,
        insulation: Insulation::new(105).expect("a known rating"),
        ambient_c: 40.0,
        ambient_given: false,
        bundled: 1,
        place: Kept::Cabin,
    }
}

fn place(name: &str) -> Place {
    Place {
        name: name.to_string(),
        lat_deg: -20.0,
        lon_deg: 24.0,
        height_m: None,
    }
}

pub fn empty(title: &str) -> Parts {
    let clock = |hour: u16| ClockTime::new(hour * 60).expect("a time");
    Parts {
        title: title.to_string(),
        system_voltage_v: 12.0,
        seed: None,
        currency: None,
        units: tideover::units::Units::Si,
        aim_chance: 0.9,
        itinerary: Itinerary {
            start: NaiveDate::from_ymd_opt(2027, 7, 3)
                .and_then(|day| day.and_hms_opt(7, 30, 0))
                .expect("a date"),
            zone: Zone::find("Africa/Gaborone").expect("a zone"),
            from: place("Town"),
            legs: vec![Leg {
                stop: place("Pan edge"),
                depart: clock(8),
                depart_spread_min: 0.0,
                drive_hours: Spread::fixed(5.0),
                nights: 3,
                local_drive_hours: Spread::fixed(1.0),
                local_depart: clock(10),
                shade: Shade::Constant(0.2),
                mains: false,
                mains_possible: false,
                delay: None,
            }],
            no_later_than: None,
            lived_in: None,
            heated: false,
        },
        climate: Climate::BuiltIn {
            persistence: DayPersistence::default(),
        },
        banks: Vec::new(),
        alternator: Some(Alternator {
            rated_a: 150.0,
            idle_a: 75.0,
            hot_derate: 0.85,
            volts: 14.2,
            vehicle_load_a: 35.0,
            idle_share: 0.1,
            efficiency: 0.6,
        }),
        chargers: Vec::new(),
        solar: Vec::new(),
        loads: Vec::new(),
        inverters: Vec::new(),
        distribution: Vec::new(),
        runs: Vec::new(),
        warnings: Vec::new(),
        assumed: Vec::new(),
    }
}

/// The end that an id names.
pub fn end_of(s: &Parts, id: &str) -> RunEnd {
    let at = |ids: Vec<&String>| ids.iter().position(|other| *other == id);
    if id == "alternator" {
        RunEnd::Alternator
    } else if let Some(i) = at(s.banks.iter().map(|b| &b.id).collect()) {
        RunEnd::Bank(i)
    } else if let Some(i) = at(s.chargers.iter().map(|c| &c.id).collect()) {
        RunEnd::Charger(i)
    } else if let Some(i) = at(s.solar.iter().map(|p| &p.id).collect()) {
        RunEnd::Panel(i)
    } else if let Some(i) = at(s.inverters.iter().map(|p| &p.id).collect()) {
        RunEnd::Inverter(i)
    } else {
        RunEnd::Load(at(s.loads.iter().map(|l| &l.id).collect()).expect("a known id"))
    }
}

/// The schedule's line of a run.
pub fn line(scenario: &Parts, id: &str) -> ScheduledRun {
    let answer = schedule(scenario, None);
    answer
        .runs
        .into_iter()
        .find(|run| run.id == id)
        .expect("the run is scheduled")
}

/// Index of a run.
pub fn index(scenario: &Parts, id: &str) -> usize {
    scenario
        .runs
        .iter()
        .position(|run| run.id == id)
        .expect("the run is there")
}
