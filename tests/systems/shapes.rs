//! Whole systems for the wiring tests: small, large, and of any shape.
//!
//! One job: put parts together. Invented data.

use super::{bank, charger, empty, end_of, evening, fridge, load, panel, run, steady};
use tideover::scenario::{
    ChargerSource, Chemistry, Efficiency, EventMoment, Inverter, InverterUnit, LoadKind, Parts,
    Power, Role, RunEnd, Spread, When, Where,
};

/// One house bank, its charger and five loads.
pub fn small() -> Parts {
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
pub fn large() -> Parts {
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
                unit: s.inverters.len(),
                efficiency: 0.88,
                idle_w: 8.0,
            });
            s.inverters.push(InverterUnit {
                id: format!("{name}-inverter"),
                bank: on,
                rated_w: watts,
                surge_w: 2.0 * watts,
                idle_w: 8.0,
                efficiency: Efficiency::Constant(0.88),
            });
        }
        s.loads.push(one);
    }
    with_runs(s)
}

/// Four banks, one in the trailer, four chargers, two panels and 15 loads, with every run of them.
pub fn four_banks() -> Parts {
    let mut s = empty("Four banks and fifteen loads");
    s.banks = vec![
        bank("main", Role::House, Chemistry::Lfp, 120.0),
        bank("canopy", Role::House, Chemistry::Lfp, 60.0),
        bank("trailer", Role::House, Chemistry::Lfp, 100.0),
        bank("starter", Role::Start, Chemistry::Flooded, 90.0),
    ];
    s.banks[2].trailer = true;
    s.chargers = vec![
        charger("main-dcdc", ChargerSource::Alternator, 0, 40.0),
        charger("canopy-dcdc", ChargerSource::Alternator, 1, 20.0),
        charger("trailer-dcdc", ChargerSource::Alternator, 2, 25.0),
        charger("site-charger", ChargerSource::Mains, 2, 15.0),
    ];
    s.solar = vec![
        panel("roof", 1, 110.0, None),
        panel("blanket", 2, 120.0, None),
    ];
    for number in 0..15 {
        let when = if number % 4 == 2 {
            When::Ignition
        } else {
            When::Always
        };
        s.loads
            .push(steady(&format!("load-{number}"), number % 3, 20.0, when));
    }
    with_runs(s)
}

fn with_runs(mut s: Parts) -> Parts {
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

/// A system of any shape: up to five banks, six chargers, four panels, thirty loads; `below(n)` draws
/// a number from 0 to n - 1.
pub fn drawn(below: &mut impl FnMut(usize) -> usize) -> Parts {
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
