//! The twin's loads: when each is on, and a fridge with a thermostat.

use tideover::engine::Draws;
use tideover::scenario::{Fridge, Load, LoadKind, Power, RunEnd, Scenario, When, Where};
use tideover::system::fridge::performance;
use tideover::wiring::run_resistance_ohm;

use super::calendar::{Calendar, Spans, opened};
use super::sky::Places;

/// How a fridge holds its set point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cooling {
    /// A thermostat switches the compressor, so far from the set point to both sides.
    Thermostat { half_band_k: f64 },
    /// The compressor runs at whatever part of its power the second asks for.
    Modulated,
}

#[derive(Clone)]
struct Cabinet {
    fridge: Fridge,
    inside_c: f64,
    is_running: bool,
    /// Share of this second that the compressor is asked to run.
    running: f64,
    cooling: Cooling,
    heat_w_per_k: f64,
    leak_w_per_k: f64,
    use_w_per_k: f64,
}

pub struct Appliance<'a> {
    pub load: &'a Load,
    index: usize,
    /// Place among the event loads.
    event: Option<usize>,
    spans: Option<Spans>,
    cabinet: Option<Cabinet>,
    /// The same fridge, always supplied.
    supplied: Option<Cabinet>,
    /// Power of the cable's drop over that of the load.
    cable: f64,
    /// Asked in this second, at the bank.
    pub watts: f64,
    pub amps: f64,
    /// Power it would ask for if it had always been supplied.
    pub wanted_w: f64,
    /// Share of this second that a compressor is asked to run.
    pub running: f64,
}

impl<'a> Appliance<'a> {
    pub fn new(
        scenario: &'a Scenario,
        calendar: &Calendar,
        index: usize,
        ambient_c: f64,
        cooling: Cooling,
    ) -> Self {
        let load = &scenario.loads[index];
        let is_event = |load: &Load| matches!(load.kind, LoadKind::Event { .. });
        let events_before = scenario.loads[..index]
            .iter()
            .filter(|l| is_event(l))
            .count();
        let nominal_v = 1.05 * scenario.system_voltage_v;
        let ohm: f64 = (0..scenario.runs.len())
            .filter(|&run| scenario.runs[run].to == RunEnd::Load(index))
            .map(|run| run_resistance_ohm(scenario, run))
            .sum();
        let watts = match load.kind {
            LoadKind::Steady(Power::Watts(watts))
            | LoadKind::Duty {
                power: Power::Watts(watts),
                ..
            }
            | LoadKind::Hours {
                power: Power::Watts(watts),
                ..
            }
            | LoadKind::Event {
                power: Power::Watts(watts),
                ..
            } => watts,
            LoadKind::Fridge(fridge) => fridge.running_w,
            _ => 0.0,
        };
        let cabinet = match load.kind {
            LoadKind::Fridge(fridge) => {
                let rated_w = fridge.rated_average_a * scenario.system_voltage_v;
                let (hot_c, cold_c) = (fridge.rated_ambient_c, fridge.rated_inside_c);
                let openings = fridge.openings_per_day * 1.5 / 28.0;
                Some(Cabinet {
                    inside_c: if fridge.starts_warm {
                        ambient_c
                    } else {
                        fridge.set_c
                    },
                    is_running: false,
                    running: 0.0,
                    cooling,
                    heat_w_per_k: 0.0,
                    leak_w_per_k: rated_w * performance(cold_c, hot_c) / (hot_c - cold_c),
                    use_w_per_k: (openings + fridge.warm_food_kg_per_day) / 24.0,
                    fridge,
                })
            }
            _ => None,
        };
        Self {
            load,
            index,
            event: is_event(load).then_some(events_before),
            spans: match load.when {
                When::Window(window) => Some(calendar.spans(window)),
                _ => None,
            },
            supplied: cabinet.clone(),
            cabinet,
            cable: 1.0 + ohm * watts / (nominal_v * nominal_v),
            watts: 0.0,
            amps: 0.0,
            wanted_w: 0.0,
            running: 0.0,
        }
    }

    pub fn is_fridge(&self) -> bool {
        self.cabinet.is_some()
    }

    pub fn inside_c(&self) -> f64 {
        self.cabinet
            .as_ref()
            .map_or(f64::NAN, |cabinet| cabinet.inside_c)
    }

    /// What it asks of its bank in this second. `away`: its part of the vehicle is on the road.
    #[expect(
        clippy::too_many_arguments,
        reason = "the state of the world in one second"
    )]
    pub fn ask(
        &mut self,
        draws: &Draws,
        lane: usize,
        today: usize,
        utc_s: i64,
        now_s: f64,
        away: bool,
        camped: bool,
        places: &Places,
    ) {
        (self.watts, self.amps, self.wanted_w) = (0.0, 0.0, 0.0);
        let when = match self.load.when {
            When::Always | When::Window(_) => true,
            When::Ignition => away,
            When::Parked => !away,
        };
        let place = match self.load.place {
            Where::Anywhere => true,
            Where::Camp => !away && camped,
            Where::Driving => away,
        };
        let mut day = today;
        // An event's window does not matter: it happens at its moment.
        if let (Some(spans), None) = (&self.spans, self.event) {
            match opened(spans, today, utc_s) {
                Some(opened_on) => day = opened_on,
                None => day = usize::MAX,
            }
        }
        let is_live = when && place && day != usize::MAX;
        let factor = |day: usize| draws.use_factor[self.index][day][lane];
        let (efficiency, idle_w) = self.load.inverter.map_or((1.0, 0.0), |inverter| {
            (inverter.efficiency, inverter.idle_w)
        });
        let (power, share) = match self.load.kind {
            LoadKind::Fridge(fridge) => {
                let around_c = places.around_c(fridge.kept);
                self.thermostat(is_live, factor(today), efficiency, around_c);
                return;
            }
            _ if !is_live => return,
            LoadKind::Steady(power) => (power, factor(day)),
            LoadKind::Duty { power, duty } => (power, duty * factor(day)),
            LoadKind::Hours { power, .. } => {
                // The day's hours are spread evenly over its window.
                let window_h = self
                    .spans
                    .as_ref()
                    .map_or(24.0, |spans| (spans[day].1 - spans[day].0) as f64 / 3600.0);
                (power, factor(day) / window_h)
            }
            LoadKind::Event { power, .. } => {
                let times = draws.events.iter().filter(|e| Some(e.event) == self.event);
                let count = times
                    .filter(|e| e.from_s[lane] <= now_s && now_s < e.to_s[lane])
                    .count();
                if count == 0 {
                    return;
                }
                (power, count as f64)
            }
        };
        let idle_w = if self.event.is_some() {
            idle_w * share
        } else {
            idle_w
        };
        match power {
            Power::Watts(watts) => self.watts = share * watts * self.cable / efficiency + idle_w,
            Power::Amps(amps) => {
                self.amps = share * amps / efficiency;
                self.watts = idle_w;
            }
        }
        self.wanted_w = self.watts;
    }

    fn thermostat(&mut self, is_live: bool, factor: f64, efficiency: f64, around_c: f64) {
        let per_running = self.cable / efficiency;
        let asked_w = |cabinet: &mut Option<Cabinet>| {
            cabinet.as_mut().map_or((0.0, 0.0), |cabinet| {
                cabinet.run(is_live, factor, around_c);
                let running = cabinet.running;
                (running, running * cabinet.fridge.running_w * per_running)
            })
        };
        (self.running, self.watts) = asked_w(&mut self.cabinet);
        (_, self.wanted_w) = asked_w(&mut self.supplied);
    }

    /// Heat in and out of the cabinets in this second.
    pub fn cool(&mut self, served: f64, places: &Places) {
        for (cabinet, served) in [(&mut self.cabinet, served), (&mut self.supplied, 1.0)] {
            if let Some(cabinet) = cabinet {
                cabinet.cool(served, places.around_c(cabinet.fridge.kept));
            }
        }
    }
}

impl Cabinet {
    /// What the compressor is asked to run in this second.
    fn run(&mut self, is_live: bool, factor: f64, around_c: f64) {
        let cabinet = self;
        let fridge = &cabinet.fridge;
        cabinet.heat_w_per_k = factor * (cabinet.leak_w_per_k + cabinet.use_w_per_k);
        let asked = match cabinet.cooling {
            Cooling::Thermostat { half_band_k } => {
                if cabinet.inside_c > fridge.set_c + half_band_k {
                    cabinet.is_running = true;
                } else if cabinet.inside_c < fridge.set_c - half_band_k {
                    cabinet.is_running = false;
                }
                if cabinet.is_running { 1.0 } else { 0.0 }
            }
            Cooling::Modulated => {
                let above_wh = (cabinet.inside_c - fridge.set_c) * fridge.contents_wh_per_k;
                let heat_w = cabinet.heat_w_per_k * (around_c - cabinet.inside_c);
                let cooling_w = fridge.running_w * performance(cabinet.inside_c, around_c);
                ((above_wh * 3600.0 + heat_w) / cooling_w).clamp(0.0, 1.0)
            }
        };
        cabinet.running = if is_live { asked } else { 0.0 };
    }

    fn cool(&mut self, served: f64, around_c: f64) {
        let running_w = self.running * served * self.fridge.running_w;
        let cooling_w = running_w * performance(self.inside_c, around_c);
        let heat_w = self.heat_w_per_k * (around_c - self.inside_c) - cooling_w;
        self.inside_c += heat_w / 3600.0 / self.fridge.contents_wh_per_k;
    }
}
