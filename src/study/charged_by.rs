//! What brings banks charge, and how much.
//!
//! One job: the alternator, chargers and panels of some banks with their ids, in the order of every answer.

use super::answer::DayFlow;
use crate::engine::Totals;
use crate::scenario::Scenario;

/// Something that charges a bank, by index in the scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The alternator itself, into this bank.
    Alternator(usize),
    /// A charger.
    Charger(usize),
    /// A panel.
    Panel(usize),
}

impl Source {
    /// What it brought by some sums.
    #[must_use]
    pub fn brought(self, totals: &Totals) -> DayFlow {
        let (wh, ah) = match self {
            Self::Alternator(bank) => {
                let ledger = &totals.banks[bank];
                (ledger.alternator_wh, ledger.alternator_ah)
            }
            Self::Charger(index) => (totals.chargers[index].wh, totals.chargers[index].ah),
            Self::Panel(index) => (totals.panels[index].wh, totals.panels[index].ah),
        };
        DayFlow { wh, ah }
    }
}

/// What charges those of the banks that `is_meant`, with its id: the alternator, chargers, panels.
pub fn charged_by(
    scenario: &Scenario,
    is_meant: impl Fn(usize) -> bool + Copy,
) -> impl Iterator<Item = (&str, Source)> {
    let fed = (0..scenario.banks.len()).filter(|&bank| is_alternator_fed(scenario, bank));
    let alternator = fed.map(|bank| (bank, "alternator", Source::Alternator(bank)));
    let chargers = scenario.chargers.iter().enumerate();
    let chargers = chargers.map(|(index, of)| (of.to, of.id.as_str(), Source::Charger(index)));
    let panels = scenario.solar.iter().enumerate();
    let panels = panels.map(|(index, of)| (of.to, of.id.as_str(), Source::Panel(index)));
    let all = alternator.chain(chargers).chain(panels);
    all.filter(move |(to, ..)| is_meant(*to))
        .map(|(_, id, source)| (id, source))
}

/// Whether the alternator feeds a bank without a charger between: the first start bank.
#[must_use]
pub fn is_alternator_fed(scenario: &Scenario, bank: usize) -> bool {
    scenario.alternator.is_some() && scenario.start_bank() == Some(bank)
}
