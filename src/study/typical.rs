//! The typical trip, step by step: every spread at its mean, no chance.
//!
//! One job: the table of `typical.csv`. A row is a step; states are those at its end, powers and
//! air temperatures means over it.

use super::answer::TripAnswer;
use super::assemble::rfc3339;
use super::charged_by::is_alternator_fed;
use super::settings::Settings;
use super::simulation::Simulation;
use super::trip::trip_answer;
use crate::engine::{Observer, StepView};
use crate::scenario::{Load, Scenario};
use crate::timeline::Timeline;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Drawing, run_typical};
use crate::units::Whole;

/// Every step of a trip without chance.
#[derive(Debug, Clone, PartialEq)]
pub struct TypicalTable {
    /// Names of the columns; the first is the time.
    pub header: Vec<String>,
    /// Local time at a step's end (RFC 3339) and the figures of the step.
    pub rows: Vec<(String, Vec<f64>)>,
}

struct Recorder<'a> {
    scenario: &'a Scenario,
    timeline: &'a Timeline,
    end_s: f64,
    rows: Vec<(String, Vec<f64>)>,
}

impl Observer for Recorder<'_> {
    fn after_step(&mut self, view: &StepView<'_>) {
        // A trip without a last night has steps for whoever arrives later than this one does.
        if self.timeline.begin_s(view.step()) >= self.end_s {
            return;
        }
        let mut row = Vec::new();
        for bank in 0..self.scenario.banks.len() {
            let (soc, volts, amps, battery_c) = view.bank(bank);
            row.extend([soc, volts, amps, battery_c]);
            if is_alternator_fed(self.scenario, bank) {
                row.push(view.alternator_w(bank));
            }
        }
        row.extend((0..self.scenario.chargers.len()).map(|charger| view.charger_w(charger)));
        row.extend((0..self.scenario.solar.len()).map(|panel| view.panel_w(panel)));
        row.extend((0..self.scenario.loads.len()).map(|load| view.load_w(load)));
        row.extend((0..self.timeline.plant.fridges.len()).map(|fridge| view.fridge_c(fridge)));
        row.extend(view.air_c());
        row.push(view.driving());
        let calendar = &self.timeline.calendar;
        let utc_s = self.timeline.utc_s(view.step() + 1).min(calendar.end_s);
        self.rows
            .push((rfc3339(&self.scenario.itinerary.zone, utc_s), row));
    }
}

fn header(scenario: &Scenario) -> Vec<String> {
    let mut header = vec!["time".to_owned()];
    for (index, bank) in scenario.banks.iter().enumerate() {
        for quantity in ["soc", "v", "a", "battery_c"] {
            header.push(format!("{}.{quantity}", bank.id));
        }
        if is_alternator_fed(scenario, index) {
            header.push(format!("{}.alternator_w", bank.id));
        }
    }
    header.extend(
        scenario
            .chargers
            .iter()
            .map(|charger| format!("{}.w", charger.id)),
    );
    header.extend(scenario.solar.iter().map(|panel| format!("{}.w", panel.id)));
    header.extend(scenario.loads.iter().map(|load| format!("{}.w", load.id)));
    let is_fridge = |load: &&Load| load.kind.fridge().is_some() && !load.off;
    let fridges = scenario.loads.iter().filter(is_fridge);
    header.extend(fridges.map(|load| format!("{}.inside_c", load.id)));
    header.extend(["air_c", "cabin_c", "box_c", "engine_bay_c", "driving"].map(str::to_owned));
    header
}

/// Runs the typical trip and keeps every step.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub fn typical(
    scenario: &Scenario,
    settings: &Settings,
) -> Result<(TripAnswer, TypicalTable), WeatherError> {
    let timeline = Timeline::new(scenario, settings.plan(), settings.step_minutes)?;
    let drawing = Drawing::new(scenario, &timeline, settings.seed, &[]);
    let end_s = timeline.calendar.end_s - timeline.calendar.start_s;
    let mut recorder = Recorder {
        scenario,
        timeline: &timeline,
        end_s: end_s.real(),
        rows: Vec::new(),
    };
    let ensemble = run_typical(&timeline, &drawing, &mut recorder);
    let rows = recorder.rows;
    let trip = Simulation {
        scenario: scenario.clone(),
        settings: settings.clone(),
        timeline,
        ensemble,
    };
    Ok((
        trip_answer(&trip),
        TypicalTable {
            header: header(scenario),
            rows,
        },
    ))
}
