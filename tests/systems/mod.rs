//! Checked scenarios for the wiring tests, built as values.
//!
//! One job: systems small and large. Invented data.
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses its own part"
)]

use chrono::NaiveDate;
use tideover::scenario::{
    Alternator, Bank, Charger, ChargerSource, Chemistry, Climate, ClockTime, Controller,
    EventMoment, Fridge, Insulation, Inverter, Itinerary, Kept, Leg, Load, LoadKind, Mount, Needs,
    Panel, Place, Power, Role, Run, RunEnd, Scenario, Shade, Spread, When, Where, Window,
    WindowEnd, Zone,
};

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
        is_dc_dc: from != ChargerSource::Mains,
        mass_kg: None,
        price: None,
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
    }
}

pub fn load(id: &str, bank: usize, kind: LoadKind, when: When) -> Load {
    Load {
        id: id.to_string(),
        bank,
        kind,
        when,
        place: Where::Anywhere,
        use_spread: 0.15,
        inverter: None,
        shed_order: None,
        keep: false,
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

pub fn empty(title: &str) -> Scenario {
    let clock = |hour: u16| ClockTime::new(hour * 60).expect("a time");
    Scenario {
        title: title.to_string(),
        system_voltage_v: 12.0,
        seed: None,
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
            }],
            lived_in: None,
            heated: false,
        },
        climate: Climate::BuiltIn,
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
        runs: Vec::new(),
    }
}

/// One house bank, its charger and five loads.
pub fn small() -> Scenario {
    let mut s = empty("Weekend ute");
    s.banks = vec![
        bank("main", Role::House, Chemistry::Lfp, 120.0),
        bank("starter", Role::Start, Chemistry::Flooded, 90.0),
    ];
    s.chargers = vec![charger("main-dcdc", ChargerSource::Alternator, 0, 40.0)];
    s.solar = vec![panel("roof", 0, 200.0, None)];
    let mut air = load(
        "air",
        0,
        LoadKind::Event {
            power: Power::Watts(600.0),
            minutes: Spread::fixed(12.0),
            on: EventMoment::Arrive,
        },
        When::Always,
    );
    air.place = Where::Anywhere;
    s.loads = vec![
        fridge("fridge", 0),
        load(
            "radio",
            0,
            LoadKind::Steady(Power::Amps(0.6)),
            When::Ignition,
        ),
        steady("lights", 0, 12.0, evening()),
        steady("water", 0, 60.0, When::Always),
        air,
    ];
    s.runs = vec![
        run(
            "feed-main",
            RunEnd::Bank(1),
            RunEnd::Charger(0),
            4.5,
            &[RunEnd::Charger(0)],
        ),
        run(
            "main-out",
            RunEnd::Charger(0),
            RunEnd::Bank(0),
            1.0,
            &[RunEnd::Charger(0)],
        ),
        run(
            "roof-out",
            RunEnd::Panel(0),
            RunEnd::Bank(0),
            5.0,
            &[RunEnd::Panel(0)],
        ),
        run(
            "block",
            RunEnd::Bank(0),
            RunEnd::Load(4),
            1.2,
            &(0..5).map(RunEnd::Load).collect::<Vec<_>>(),
        ),
        run(
            "fridge-feed",
            RunEnd::Bank(0),
            RunEnd::Load(0),
            3.0,
            &[RunEnd::Load(0)],
        ),
        run(
            "lights-feed",
            RunEnd::Bank(0),
            RunEnd::Load(2),
            4.0,
            &[RunEnd::Load(2)],
        ),
        run(
            "air-feed",
            RunEnd::Bank(0),
            RunEnd::Load(4),
            2.0,
            &[RunEnd::Load(4)],
        ),
    ];
    s
}

/// Three banks, four chargers, two panels and 25 loads.
pub fn large() -> Scenario {
    let mut s = empty("Long-haul truck with trailer");
    s.banks = vec![
        bank("camper", Role::House, Chemistry::Lfp, 300.0),
        bank("trailer", Role::House, Chemistry::Agm, 120.0),
        bank("starter", Role::Start, Chemistry::Flooded, 110.0),
    ];
    s.banks[1].trailer = true;
    s.chargers = vec![
        charger("camper-dcdc", ChargerSource::Alternator, 0, 60.0),
        charger("trailer-dcdc", ChargerSource::Alternator, 1, 25.0),
        charger("site-charger", ChargerSource::Mains, 0, 30.0),
        charger("trailer-topper", ChargerSource::Bank(0), 1, 15.0),
    ];
    s.solar = vec![
        panel("roof", 0, 400.0, Some(0)),
        panel("blanket", 1, 160.0, None),
    ];
    let names = [
        ("fridge", 0, 0.0),
        ("freezer", 1, 0.0),
        ("radio", 2, 20.0),
        ("dash-camera", 2, 6.0),
        ("cab-usb", 0, 30.0),
        ("galley-lights", 0, 12.0),
        ("bed-lights", 0, 8.0),
        ("awning-lights", 0, 10.0),
        ("water-pump", 0, 60.0),
        ("shower-pump", 0, 48.0),
        ("roof-fan", 0, 25.0),
        ("diesel-heater", 0, 40.0),
        ("uplink", 0, 50.0),
        ("laptop", 0, 65.0),
        ("tablet", 0, 20.0),
        ("camera-charger", 0, 30.0),
        ("coffee", 0, 900.0),
        ("step-light", 0, 3.0),
        ("gas-alarm", 0, 1.5),
        ("tank-gauge", 0, 0.5),
        ("trailer-lights", 1, 14.0),
        ("trailer-pump", 1, 50.0),
        ("trailer-usb", 1, 24.0),
        ("trailer-fan", 1, 18.0),
        ("air-compressor", 2, 400.0),
    ];
    for (index, (name, on, watts)) in names.into_iter().enumerate() {
        let when = if index % 4 == 2 {
            When::Ignition
        } else {
            When::Always
        };
        let mut one = if watts > 0.0 {
            steady(name, on, watts, when)
        } else {
            fridge(name, on)
        };
        if matches!(name, "laptop" | "coffee") {
            one.inverter = Some(Inverter {
                efficiency: 0.88,
                idle_w: 8.0,
            });
        }
        s.loads.push(one);
    }
    for suggested in tideover::wiring::suggest(&s) {
        let end = |id: &str| end_of(&s, id);
        let carries: Vec<RunEnd> = suggested.carries.iter().map(|id| end(id)).collect();
        let length = 1.0 + 0.5 * f64::from(u32::try_from(suggested.id.len() % 9).expect("small"));
        let mut one = run(
            &suggested.id,
            end(&suggested.from),
            end(&suggested.to),
            length,
            &carries,
        );
        one.drop_limit = suggested.drop_limit;
        s.runs.push(one);
    }
    s
}

/// The end that an id names.
pub fn end_of(s: &Scenario, id: &str) -> RunEnd {
    let at = |ids: Vec<&String>| ids.iter().position(|other| *other == id);
    if id == "alternator" {
        RunEnd::Alternator
    } else if let Some(i) = at(s.banks.iter().map(|b| &b.id).collect()) {
        RunEnd::Bank(i)
    } else if let Some(i) = at(s.chargers.iter().map(|c| &c.id).collect()) {
        RunEnd::Charger(i)
    } else if let Some(i) = at(s.solar.iter().map(|p| &p.id).collect()) {
        RunEnd::Panel(i)
    } else {
        RunEnd::Load(at(s.loads.iter().map(|l| &l.id).collect()).expect("a known id"))
    }
}

/// A system of any shape: up to five banks, six chargers, four panels, thirty loads; `below(n)` draws
/// a number from 0 to n - 1.
pub fn drawn(below: &mut impl FnMut(usize) -> usize) -> Scenario {
    let mut s = empty("drawn");
    let houses = 1 + below(4);
    for number in 0..houses {
        let chemistry = Chemistry::ALL[below(4)];
        s.banks.push(bank(
            &format!("house-{number}"),
            Role::House,
            chemistry,
            100.0,
        ));
    }
    if below(4) > 0 {
        s.banks
            .push(bank("starter", Role::Start, Chemistry::Flooded, 90.0));
    }
    for number in 0..below(7) {
        let to = below(houses);
        let from = match below(4) {
            0 => ChargerSource::Mains,
            1 if to > 0 => ChargerSource::Bank(below(to)),
            _ => ChargerSource::Alternator,
        };
        s.chargers
            .push(charger(&format!("charger-{number}"), from, to, 20.0));
    }
    for number in 0..below(5) {
        let to = below(houses);
        let shares = s
            .chargers
            .iter()
            .position(|charger| charger.to == to)
            .filter(|_| number % 2 == 0);
        s.solar
            .push(panel(&format!("panel-{number}"), to, 150.0, shares));
    }
    for number in 0..below(31) {
        let on = below(s.banks.len());
        let when = if below(3) == 0 {
            When::Ignition
        } else {
            When::Always
        };
        s.loads
            .push(steady(&format!("load-{number}"), on, 20.0, when));
    }
    for suggested in tideover::wiring::suggest(&s) {
        if below(5) > 0 {
            let carries: Vec<RunEnd> = suggested.carries.iter().map(|id| end_of(&s, id)).collect();
            let ends = (end_of(&s, &suggested.from), end_of(&s, &suggested.to));
            let one = run(&suggested.id, ends.0, ends.1, 2.5, &carries);
            s.runs.push(one);
        }
    }
    s
}
