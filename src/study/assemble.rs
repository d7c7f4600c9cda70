//! Parts of an answer that `trip`, `stay` and `budget` share.
//!
//! One job: from a simulation to nights, budgets, bands and curves.

use chrono::{DateTime, FixedOffset};

use super::answer::{
    Calendar, FridgeUse, FromHere, MeterShows, Named, Night, PerDayWh, SocBand, Span, SurvivalCurve,
};
use super::charged_by::charged_by;
use super::figures::{dawn_soc, lasting_each, p50_p90, tidy};
use super::from_here::nights_left_here;
use super::simulation::Simulation;
use crate::scenario::{ChargerSource, Role, Scenario, Zone};
use crate::timeline::Timeline;
use crate::timeline::daily_windows::DayTimes;
use crate::units::DateForm;

/// Points of a curve over time.
const CURVE_POINTS: u32 = 240;

/// A picture shows moments that one trip in so many reaches.
const LEAST_UNDER_WAY: u64 = 50;

/// An instant as RFC 3339 with the local offset.
#[must_use]
pub fn rfc3339(zone: &Zone, utc_s: i64) -> String {
    let offset = i32::try_from(zone.offset_s(utc_s))
        .ok()
        .and_then(FixedOffset::east_opt);
    let utc = DateTime::from_timestamp(utc_s, 0).unwrap_or(DateTime::UNIX_EPOCH);
    match offset {
        Some(offset) => utc.with_timezone(&offset).to_rfc3339(),
        None => utc.to_rfc3339(),
    }
}

/// From where on a plan goes that begins on the way.
pub(super) fn from_here(run: &Simulation) -> Option<FromHere> {
    let (scenario, timeline) = (&run.scenario, &run.timeline);
    let here = &timeline.past.as_ref()?.here;
    let turn = timeline.calendar.turn?;
    let stands = turn.leg.filter(|_| !turn.is_on_road);
    let banks = scenario.banks.iter().enumerate();
    Some(FromHere {
        now: run.local(here.now_s),
        stop: stands.map(|leg| scenario.itinerary.stop_name(leg)),
        soc: banks
            .filter_map(|(index, bank)| {
                let reading = here.reading(index)?;
                let reserve = (bank.role == Role::House).then_some(bank.reserve_soc);
                Some(MeterShows {
                    bank: bank.id.clone(),
                    low: tidy(reading.low),
                    high: tidy(reading.high),
                    reserve,
                    is_short: reserve.is_some_and(|reserve| reading.is_below(reserve)),
                })
            })
            .collect(),
        nights: nights_left_here(scenario, here),
    })
}

/// The nights of a bank.
#[must_use]
pub fn nights(run: &Simulation, bank: usize) -> Vec<Night> {
    let trials = run.ensemble.trials;
    let of_bank = &run.ensemble.banks[bank].nights;
    let calendar = &run.timeline.calendar;
    // The last nights that there is room for may come in no trial.
    let reached = of_bank
        .iter()
        .rposition(|night| night.under_way(trials) > 0.0);
    let of_bank = of_bank.iter().take(reached.map_or(0, |last| last + 1));
    let nights = calendar.nights.iter().zip(of_bank);
    nights
        .map(|(times, night)| Night {
            date: times.date.to_string(),
            stop: run.scenario.itinerary.stop_name(times.stop),
            dawn_soc: dawn_soc(night),
            chance_no_shortfall: run.chance(trials - night.short),
            chance_so_far: run.chance(trials - night.short_by_end),
            under_way: (calendar.room_days > 0).then(|| tidy(night.under_way(trials))),
        })
        .collect()
}

/// The energy budget of a bank per 24 h.
#[must_use]
pub fn per_day_wh(run: &Simulation, bank: usize) -> PerDayWh {
    let (scenario, totals) = (&run.scenario, &run.ensemble.totals);
    let ledger = &totals.banks[bank];
    let days = run.days();
    let per_day = |id: &str, wh: f64| (id.to_owned(), wh / days);
    let inward = charged_by(scenario, |to| to == bank)
        .map(|(id, source)| per_day(id, source.brought(totals).wh));
    let loads = || {
        let loads = scenario.loads.iter().zip(&totals.loads);
        loads.filter(|(load, _)| load.bank == bank)
    };
    let fed = scenario.chargers.iter().zip(&totals.chargers);
    let fed = fed.filter(|(charger, _)| charger.from == ChargerSource::Bank(bank));
    let outward = loads()
        .map(|(load, of)| per_day(&load.id, of.wh))
        .chain(fed.map(|(charger, of)| per_day(&charger.id, of.in_wh)))
        .chain([per_day("standby", ledger.standby_wh)]);
    let asked = loads().map(|(load, of)| per_day(&load.id, of.asked_wh));
    PerDayWh {
        inward: Named(inward.collect()),
        outward: Named(outward.collect()),
        asked: Named(asked.collect()),
        losses: ledger.loss_wh / days,
        conversion: ledger.conversion_wh / days,
        curtailed: ledger.curtailed_wh / days,
        unserved: ledger.unserved_wh / days,
        stored_change: ledger.stored_wh / days,
    }
}

/// Each fridge.
#[must_use]
pub fn fridges(run: &Simulation) -> Vec<FridgeUse> {
    let ensemble = &run.ensemble;
    let fridges = run.timeline.plant.fridges.iter().enumerate();
    fridges
        .map(|(index, fridge)| FridgeUse {
            id: run.scenario.loads[fridge.load].id.clone(),
            hours_above_8c: p50_p90(&ensemble.fridge_above_h[index]),
            duty: tidy(ensemble.totals.loads[fridge.load].run_h / ensemble.totals.hours),
        })
        .collect()
}

/// State of charge over time in percentiles, house banks first.
#[must_use]
pub fn bands(run: &Simulation) -> Vec<SocBand> {
    let (timeline, ensemble) = (&run.timeline, &run.ensemble);
    let mut order: Vec<usize> = (0..run.scenario.banks.len()).collect();
    order.sort_by_key(|&bank| !timeline.plant.banks[bank].is_house);
    // Where nearly all trips are over, the few that are not show nothing.
    let least = ensemble.trials.div_ceil(LEAST_UNDER_WAY);
    let samples = (0..ensemble.samples.samples())
        .take_while(|&sample| ensemble.samples.trials(sample) >= least)
        .count();
    let instants = sample_instants(timeline, samples);
    order
        .into_iter()
        .map(|bank| {
            let constants = &timeline.plant.banks[bank];
            let mut band = SocBand {
                bank: run.scenario.banks[bank].id.clone(),
                is_start: !constants.is_house,
                reserve_soc: constants.reserve_soc,
                cutoff_soc: constants.cutoff_soc,
                cold_cutoff: Vec::new(),
                utc_s: instants.clone(),
                p10: Vec::new(),
                p25: Vec::new(),
                p50: Vec::new(),
                p75: Vec::new(),
                p90: Vec::new(),
            };
            for sample in 0..instants.len() {
                let levels = [0.1, 0.25, 0.5, 0.75, 0.9];
                let [p10, p25, p50, p75, p90] = ensemble.samples.quantiles(bank, sample, levels);
                band.p10.push(p10);
                band.p25.push(p25);
                band.p50.push(p50);
                band.p75.push(p75);
                band.p90.push(p90);
            }
            band
        })
        .collect()
}

fn sample_instants(timeline: &Timeline, samples: usize) -> Vec<i64> {
    let start_s = timeline.calendar.start_s;
    let end_s = timeline.calendar.latest_end_s;
    let every_s = timeline.step_s * i64::try_from(timeline.sample_every).unwrap_or(1);
    (0..samples)
        .map(|sample| (start_s + i64::try_from(sample).unwrap_or(0) * every_s).min(end_s))
        .collect()
}

/// Chance of still being above reserve against time: one curve a house bank, and one of all
/// together where there are several.
#[must_use]
pub fn survival(run: &Simulation, length_days: f64) -> Vec<SurvivalCurve> {
    let curve = |name: &str, values: &[f32]| {
        let points = 0..=CURVE_POINTS;
        let days: Vec<f64> = points
            .map(|point| length_days * f64::from(point) / f64::from(CURVE_POINTS))
            .collect();
        let hits = lasting_each(values, &days).into_iter();
        SurvivalCurve {
            bank: name.to_owned(),
            chance: hits.map(|hits| run.chance(hits)).collect(),
            days,
        }
    };
    let (scenario, ensemble) = (&run.scenario, &run.ensemble);
    let house = scenario.house_banks();
    let of_bank = |&bank: &usize| {
        curve(
            &scenario.banks[bank].id,
            &ensemble.banks[bank].autonomy_days,
        )
    };
    let mut curves: Vec<SurvivalCurve> = house.iter().map(of_bank).collect();
    if house.len() > 1 {
        curves.push(curve("all house banks", &ensemble.house_autonomy_days));
    }
    curves
}

/// The calendar under the pictures.
#[must_use]
pub fn calendar(scenario: &Scenario, timeline: &Timeline) -> Calendar {
    let (start_s, end_s) = (timeline.calendar.start_s, timeline.calendar.latest_end_s);
    let mut calendar = Calendar {
        units: scenario.units,
        ..Calendar::default()
    };
    let push = |spans: &mut Vec<Span>, from_s: i64, to_s: i64| {
        let (from_s, to_s) = (from_s.max(start_s), to_s.min(end_s));
        if to_s > from_s {
            spans.push(Span { from_s, to_s });
        }
    };
    for (index, day) in timeline.days.iter().enumerate() {
        let ends_before = day.next_midnight_s <= start_s;
        if !ends_before && day.midnight_s <= end_s {
            let label = scenario.units.date(DateForm::DayMonth, day.date.into());
            calendar.midnights.push((day.midnight_s, label));
        }
        let nights = &mut calendar.nights;
        if day.has_sunrise {
            let next = timeline.days.get(index + 1);
            let to_s = match next {
                Some(next) if next.has_sunrise => next.rise_s,
                Some(next) => next.midnight_s,
                None => day.next_midnight_s,
            };
            push(nights, day.set_s, to_s);
            // The sun was down before this sunrise where the day before had none.
            if index > 0 && is_polar_night(&timeline.days[index - 1]) {
                push(nights, day.midnight_s, day.rise_s);
            }
        } else if is_polar_night(day) {
            push(nights, day.midnight_s, day.next_midnight_s);
        }
    }
    for (from_s, to_s) in timeline.calendar.drives() {
        push(&mut calendar.drives, from_s, to_s);
    }
    let mut stay = |from_s: i64, to_s: i64, stop: usize| {
        let name = scenario.itinerary.stop_name(stop);
        calendar.stays.push((Span { from_s, to_s }, name));
    };
    let legs = &timeline.calendar.legs;
    if legs.is_empty()
        && let Some(stop) = timeline.calendar.stop_at(start_s)
    {
        stay(start_s, end_s, stop);
    }
    for (index, leg) in legs.iter().enumerate() {
        let next = legs.get(index + 1);
        let to_s = next.map_or(timeline.calendar.end_s, |next| next.depart_s);
        if to_s > leg.arrive_s {
            stay(leg.arrive_s, to_s, index);
        }
    }
    calendar
}

fn is_polar_night(day: &DayTimes) -> bool {
    !day.has_sunrise && day.set_s < day.rise_s
}
