//! From factors on what the engine has to values of the scenario's keys.
//!
//! One job: one list of what was found, and one of what cannot be told and why. What does not follow its
//! key in proportion (a fridge's heat, an inverter's idle power, a charger's limits) goes through the
//! engine again until it draws what was measured.

use super::answer::{CannotTell, Found, NightUse};
use super::estimate::Estimate;
use super::ground::Ground;
use super::meter::Meter;
use super::model::{DaySum, Traces, WeatherPart, traces, trials};
use super::nights::{Nights, nights};
use super::sources::{draw_a, panel_yield};
use crate::scenario::{Changes, Load, When, Where};
use crate::study::figures::tidy;
use crate::units::Whole;

/// Trials whose days give the covariance of the weather.
const WEATHER_TRIALS: usize = 128;

/// All that was found.
#[derive(Debug, Default)]
pub(super) struct Findings {
    pub(super) found: Vec<Found>,
    pub(super) cannot_tell: Vec<CannotTell>,
    pub(super) nights: Vec<NightUse>,
}

/// Looks for everything that the logs tell.
pub(super) fn findings(ground: &Ground<'_>, seed: u64) -> Findings {
    let mut list = List {
        ground,
        seed,
        out: Findings::default(),
    };
    for meter in ground.meters {
        list.of_meter(meter);
    }
    for (bank, part) in ground.scenario.banks.iter().enumerate() {
        if ground.meters.iter().all(|meter| meter.bank != bank) {
            let key = format!("banks.{}", part.id);
            list.cannot(key, "no log of this bank was given".to_owned());
        }
    }
    // What one charger does not tell another may.
    let mut out = list.out;
    let found = &out.found;
    let mut told: Vec<String> = found.iter().map(|found| found.key.clone()).collect();
    out.cannot_tell.retain(|cannot| {
        let is_new = !told.contains(&cannot.key);
        told.push(cannot.key.clone());
        is_new
    });
    out
}

pub(super) struct List<'a> {
    pub(super) ground: &'a Ground<'a>,
    seed: u64,
    out: Findings,
}

/// A value of a key.
pub(super) struct Value {
    pub(super) key: String,
    pub(super) was: f64,
    pub(super) unit: &'static str,
    pub(super) hours: f64,
    pub(super) how: String,
    pub(super) is_key: bool,
}

impl Value {
    /// Of a key of the file, what that has, with its unit; from so many hours of the log, found how.
    pub(super) fn of_key(
        key: String,
        (was, unit): (f64, &'static str),
        hours: f64,
        how: impl Into<String>,
    ) -> Self {
        Self {
            key,
            was,
            unit,
            hours,
            how: how.into(),
            is_key: true,
        }
    }

    /// The same of what the file has no key for.
    pub(super) fn without_key(
        key: String,
        was: (f64, &'static str),
        hours: f64,
        how: impl Into<String>,
    ) -> Self {
        Self {
            is_key: false,
            ..Self::of_key(key, was, hours, how)
        }
    }
}

impl List<'_> {
    pub(super) fn cannot(&mut self, key: String, why: impl Into<String>) {
        let why = why.into();
        self.out.cannot_tell.push(CannotTell { key, why });
    }

    pub(super) fn has_found(&self, key: &str) -> bool {
        self.out.found.iter().any(|known| known.key == key)
    }

    pub(super) fn found(&mut self, value: Value, estimate: Estimate) {
        let (low, high) = (tidy(estimate.low), tidy(estimate.high));
        self.out.found.push(Found {
            differs: value.was < low || value.was > high,
            key: value.key,
            was: tidy(value.was),
            is: tidy(estimate.value),
            low,
            high,
            unit: value.unit,
            from_hours: (value.hours * 10.0).round() / 10.0,
            how: value.how,
            is_key: value.is_key,
        });
    }

    fn of_meter(&mut self, meter: &Meter) {
        let (ground, seed) = (self.ground, self.seed);
        let weather = |of: fn(Vec<usize>) -> WeatherPart| {
            move |parts: Vec<usize>, day: &[Option<usize>], days: usize| {
                let sum = DaySum {
                    of: of(parts),
                    day: day.to_vec(),
                    days,
                };
                let asked = vec![Vec::new(); ground.meters.len()];
                let run = trials(
                    ground.scenario,
                    ground.timeline,
                    ground.drives,
                    ground.meters,
                    (&[], &asked),
                    &[sum],
                    (seed, WEATHER_TRIALS),
                );
                run.sums.into_iter().next().unwrap_or_default()
            }
        };
        let found = nights(ground, meter, &weather(WeatherPart::Fridges));
        let draws = draw_a(ground, meter, &found);
        let half = found
            .standing_a
            .map_or(0.1, |value| value.high - value.value);
        let sun = panel_yield(ground, meter, &draws, half, &weather(WeatherPart::Panels));
        if let Some((measured_ah, by_file_ah)) = found.night_ah {
            self.out.nights.push(NightUse {
                bank: ground.scenario.banks[meter.bank].id.clone(),
                measured_ah: tidy(measured_ah),
                by_file_ah: tidy(by_file_ah),
            });
        }
        self.of_nights(meter, &found);
        self.of_panels(meter, sun.as_ref());
        self.of_chargers(meter, &draws, half, sun.as_ref());
        self.of_battery(meter);
    }

    fn of_nights(&mut self, meter: &Meter, nights: &Nights) {
        let scenario = self.ground.scenario;
        let bank = &scenario.banks[meter.bank];
        let key = format!("banks.{}.standby_ma", bank.id);
        match nights.standing_a {
            Some(standing) => {
                let taken: Vec<&str> = nights
                    .taken
                    .iter()
                    .map(|&load| scenario.loads[load].id.as_str())
                    .collect();
                let beside = if taken.is_empty() {
                    String::new()
                } else {
                    format!(", with {} as the file has it", taken.join(" and "))
                };
                self.found(
                    Value::of_key(
                        key,
                        (bank.standby_ma, "mA"),
                        nights.hours,
                        format!("what the quiet hours draw when nothing known is on{beside}"),
                    ),
                    standing.times(1000.0).clamped(0.0, 100_000.0),
                );
            }
            None => self.cannot(key, "too few quiet nights without a drive, sun or charger"),
        }
        for (load, factor) in &nights.factors {
            self.of_load(*load, *factor, nights.hours);
        }
        for swing in &nights.fridges {
            let hours = swing.night.iter().flatten().count();
            let hours = hours.real() * self.ground.timeline.plant.step_h;
            if let [only] = swing.loads[..] {
                match swing.factor {
                    Some(factor) => self.of_fridge(only, factor, &swing.night, hours),
                    None => self.cannot(
                        format!("loads.{}.rated.average_a", scenario.loads[only].id),
                        "these nights were so near its set point that the weather decides what it draws",
                    ),
                }
                if let Some(running_a) = swing.running_a {
                    self.of_compressor(meter, only, running_a, hours);
                }
            } else if let Some(factor) = swing.factor {
                self.together(&swing.loads, factor, &swing.why_together);
            }
        }
        for (loads, factor) in &nights.together {
            self.together(
                loads,
                *factor,
                "they draw in the same hours, and only their sum shows",
            );
        }
        let told = |load: usize| {
            // A fridge is told by its cycles alone.
            let is_fridge = scenario.loads[load].kind.fridge().is_some();
            nights
                .factors
                .iter()
                .any(|(known, _)| *known == load && !is_fridge)
                || nights
                    .together
                    .iter()
                    .any(|(known, _)| known.contains(&load))
                || nights.fridges.iter().any(|swing| {
                    let is_said = swing.factor.is_some() || swing.loads.len() == 1;
                    is_said && swing.loads.contains(&load)
                })
        };
        for (load, part) in scenario.loads.iter().enumerate() {
            if part.bank != meter.bank || part.off || told(load) {
                continue;
            }
            let why = self.why_not(meter, load, nights);
            self.cannot(format!("loads.{}", part.id), why);
        }
    }

    /// Why a load does not show.
    fn why_not(&self, meter: &Meter, load: usize, nights: &Nights) -> &'static str {
        let part = &self.ground.scenario.loads[load];
        let quiet = self.ground.quiet(meter);
        let is_on = |step: usize| self.ground.traces.load_a[load][step] > 0.0;
        let in_log = (0..quiet.len()).any(|step| meter.amps[step].is_finite() && is_on(step));
        if part.kind.is_event() {
            return "it draws for minutes now and then, which the log does not single out";
        }
        if !in_log {
            return "it is never on in the hours of this log";
        }
        if part.when == When::Ignition || part.place == Where::Driving {
            return "it draws only while the charger works, and only the difference of the two shows";
        }
        if nights.taken.contains(&load) {
            return "it is on in all the quiet hours, as a standing load is: taken as the file has it";
        }
        if (nights.fridges.iter()).any(|swing| swing.loads.contains(&load)) {
            return "what it draws depends more on the weather of these nights, which the log does not show, than on the fridge";
        }
        if part.kind.fridge().is_some() {
            return "the rows do not show the compressor's cycles, and without them it looks like a standing load";
        }
        if !(0..quiet.len()).any(|step| quiet[step] && is_on(step)) {
            return "it draws while the sun charges, and only the difference of the two shows";
        }
        "its hours show in too few nights"
    }

    /// Loads of which only the sum shows, and why.
    fn together(&mut self, loads: &[usize], factor: Estimate, why: &str) {
        let ids: Vec<&str> = loads
            .iter()
            .map(|&load| self.ground.scenario.loads[load].id.as_str())
            .collect();
        let why = format!(
            "of {} together: {why}: {:.2} times the file's ({:.2} to {:.2})",
            ids.join(" and "),
            factor.value,
            factor.low,
            factor.high
        );
        for id in ids {
            self.cannot(format!("loads.{id}"), why.as_str());
        }
    }

    /// A load by its hours: the key that its kind leaves open.
    fn of_load(&mut self, load: usize, factor: Estimate, hours: f64) {
        let ground = self.ground;
        let part: &Load = &ground.scenario.loads[load];
        let id = &part.id;
        if part.kind.is_event() || part.kind.fridge().is_some() {
            return;
        }
        let (key, unit, was, most) = match part.kind.usage(id) {
            Some(usage) => (usage.key, usage.unit, usage.value.mean(), usage.most),
            None => part.kind.running().as_key(),
        };
        let key = format!("loads.{id}.{key}");
        let has_idle = part.inverter.is_some_and(|inverter| inverter.idle_w > 0.0);
        let estimate = if has_idle {
            let draws = |traces: &Traces| traces.load_a[load].iter().sum();
            let change = |value: f64| Changes::one(key.clone(), value);
            match self.through_the_engine((was, 1.0), factor, &change, &draws) {
                Some(estimate) => estimate,
                None => return self.cannot(key, "it hardly moves what is drawn"),
            }
        } else {
            factor.times(was)
        };
        self.found(
            Value::of_key(
                key,
                (was, unit),
                hours,
                "by its hours: how far the level of the night is higher while it is on",
            ),
            estimate.clamped(0.0, most),
        );
    }

    /// A fridge by its cycles.
    fn of_fridge(&mut self, load: usize, factor: Estimate, night: &[Option<usize>], hours: f64) {
        let part = &self.ground.scenario.loads[load];
        let Some(fridge) = part.kind.fridge() else {
            return;
        };
        let key = format!("loads.{}.rated.average_a", part.id);
        let was = fridge.rated_average_a;
        let draws = |traces: &Traces| -> f64 {
            let steps = traces.load_a[load].iter().zip(night);
            steps
                .filter(|(_, night)| night.is_some())
                .map(|(amps, _)| amps)
                .sum()
        };
        let id = part.id.clone();
        let change = |average_a: f64| {
            Changes::one(
                format!("loads.{id}.rated"),
                serde_json::json!({
                    "average_a": average_a.clamp(0.001, 100.0),
                    "at_ambient_c": fridge.rated_ambient_c,
                    "at_inside_c": fridge.rated_inside_c,
                }),
            )
        };
        match self.through_the_engine((was, 1.0), factor, &change, &draws) {
            Some(estimate) => self.found(
                Value::of_key(key, (was, "A"), hours, "by the compressor's cycles in quiet hours, at the temperatures of the file's climate: what it \
                          draws in the mean"),
                estimate.clamped(0.001, 100.0),
            ),
            None => self.cannot(key, "the compressor runs all the time"),
        }
    }

    /// A compressor's own current.
    fn of_compressor(&mut self, meter: &Meter, load: usize, running_a: Estimate, hours: f64) {
        let scenario = self.ground.scenario;
        let part = &scenario.loads[load];
        let (Some(fridge), None) = (part.kind.fridge(), part.inverter) else {
            return;
        };
        let mut volts: Vec<f64> = meter
            .volts
            .iter()
            .copied()
            .filter(|v| v.is_finite())
            .collect();
        volts.sort_by(f64::total_cmp);
        let usual_v = 13.0 * scenario.voltage_factor();
        let volts = volts.get(volts.len() / 2).copied().unwrap_or(usual_v);
        self.found(
            Value::of_key(
                format!("loads.{}.running_w", part.id),
                (fridge.running_w, "W"),
                hours,
                "the step of current with which the compressor starts and stops",
            ),
            running_a
                .times(volts)
                .widened(0.02 * running_a.value * volts),
        );
    }

    /// What the engine draws with these changes, over what it draws as it is.
    pub(super) fn drawn(&self, changes: &Changes, draws: &dyn Fn(&Traces) -> f64) -> Option<f64> {
        let ground = self.ground;
        let changed = ground.scenario.with(changes).ok()?;
        let timeline = ground.timeline.of_changed(ground.scenario, &changed).ok()?;
        let traces = traces(&changed, &timeline, Some(ground.drives), &ground.measured);
        Some(draws(&traces) / draws(&ground.traces))
    }

    /// The value of a key at which the engine has `factor` times what it has as it is, by the secant from
    /// `was`, where it has `reached` times that. `None` where the key hardly moves it.
    pub(super) fn through_the_engine(
        &self,
        (was, reached): (f64, f64),
        factor: Estimate,
        change: &dyn Fn(f64) -> Changes,
        draws: &dyn Fn(&Traces) -> f64,
    ) -> Option<Estimate> {
        let far = (factor.value / reached - 1.0).clamp(-0.8, 3.0);
        let step = if far.abs() > 0.02 { far } else { 0.05 };
        let (mut value, mut slope) = (was, reached / was);
        let mut reached = reached;
        let mut next = was * (1.0 + step);
        for _ in 0..3 {
            let at = self.drawn(&change(next), draws)?;
            let moved = (at - reached) / (next - value);
            if !moved.is_finite() || moved * was < 0.25 * reached {
                return None;
            }
            (slope, value, reached) = (moved, next, at);
            if (reached - factor.value).abs() < 0.002 {
                break;
            }
            next = value + (factor.value - reached) / slope;
        }
        let at = |wanted: f64| value + (wanted - reached) / slope;
        Some(Estimate {
            value: at(factor.value),
            low: at(factor.low),
            high: at(factor.high),
            daily: factor.daily / slope,
        })
    }
}
