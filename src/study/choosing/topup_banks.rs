//! House banks in the answer of `topup`, and what the engine's chargers give them.
//!
//! One job: figures of a simulation. Which of them decide is in `topup_search`.

use super::topup::TopupBank;
use crate::scenario::{Charger, ChargerSource, Scenario};
use crate::study::charged_by::{Source, charged_by};
use crate::study::figures::{chance, never, percentile, tidy};
use crate::study::simulation::Simulation;
use crate::timeline::whole_days::DayKind;

/// Median charge at the end of the first and of the last like day.
pub(super) fn like_medians(run: &Simulation, bank: usize) -> [Option<f64>; 2] {
    let [first, last] = &run.ensemble.banks[bank].like_soc;
    [first, last].map(|soc| (!soc.is_empty()).then(|| tidy(percentile(soc, 0.5))))
}

pub(super) fn topup_bank(run: &Simulation, index: usize) -> TopupBank {
    let (scenario, ensemble) = (&run.scenario, &run.ensemble);
    let days = run.days();
    let bank = &ensemble.banks[index];
    let totals = &ensemble.totals;
    let ledger = &totals.banks[index];
    let brought = |is_sun: bool| {
        let sources = charged_by(scenario, |to| to == index).map(|(_, source)| source);
        let of_kind = sources.filter(|source| matches!(source, Source::Panel(_)) == is_sun);
        tidy(of_kind.map(|source| source.brought(totals).wh).sum::<f64>() / days)
    };
    let [first_soc, last_soc] = like_medians(run, index);
    TopupBank {
        id: scenario.banks[index].id.clone(),
        settles_at: None,
        first_soc,
        last_soc,
        chance_no_shortfall: chance(never(&bank.autonomy_days), ensemble.trials),
        asked_wh_per_day: tidy((ledger.out_wh + ledger.unserved_wh + ledger.loss_wh) / days),
        sun_wh_per_day: brought(true),
        charger_wh_per_day: brought(false),
        charger_limit_w: tidy(
            engine_fed(scenario)
                .filter(|charger| charger.to == index)
                .map(|charger| charger.output_a * charging_v(scenario))
                .sum(),
        ),
    }
}

/// Chargers on the alternator.
pub(super) fn engine_fed(scenario: &Scenario) -> impl Iterator<Item = &Charger> {
    let chargers = scenario.chargers.iter();
    chargers.filter(|charger| charger.from == ChargerSource::Alternator)
}

/// The voltage at which a charger's output is told in watts.
pub(super) fn charging_v(scenario: &Scenario) -> f64 {
    13.2 * scenario.voltage_factor()
}

/// What the engine-fed chargers put out on a camp day, or on any day where there is none.
pub(super) fn engine_wh_per_day(run: &Simulation) -> f64 {
    let camp = &run.ensemble.by_kind[DayKind::Camp.index()];
    let totals = if camp.hours > 0.0 {
        camp
    } else {
        &run.ensemble.totals
    };
    let chargers = run.scenario.fed_from(ChargerSource::Alternator).into_iter();
    let given = chargers.map(|charger| totals.chargers[charger].wh);
    given.sum::<f64>() / totals.hours * 24.0
}
