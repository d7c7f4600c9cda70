//! Cautions: one line each, where a scenario gives reason for them.
//!
//! One job: the usual words of safety about what a scenario contains. They defer to makers'
//! instructions, local codes and licensed people. Cautions about cables are with the wiring.

use crate::scenario::{Charger, ChargerSource, Chemistry, Role, Scenario};

const LITHIUM: &str = "lithium batteries are charged only by a charger set for them, within \
    their maker's current and temperature limits, and never below freezing unless the maker allows it.";
const STARTING: &str = "the starting battery must still crank after a cold night; keep a way to \
    start the engine that does not depend on these figures.";
const FOOD: &str = "whether food that has warmed is still safe is for your food authority's \
    time limits to say, not for this forecast.";
const MAINS: &str = "mains voltage can kill; sockets, inlets and inverters are fitted and tested \
    by a licensed person to the local code.";
const CURRENT: &str = "batteries can drive thousands of amperes through a fault; fuse every source \
    and follow the local code and a licensed auto-electrician before these figures.";

const LOG: &str = "a log and what is learned from it are no safety device: cables and fuses stay sized by the \
    makers' figures, and a standing load that is found may be a fault. Have it looked for by someone who knows.";

/// What is being shown, which decides the cautions that belong beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// Loads and sources of each bank.
    Budget,
    /// A trip.
    Trip,
    /// A stay.
    Stay,
    /// A log against the model.
    Learn,
    /// Everything in one document.
    Report,
}

/// What a scenario holds that calls for care.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "independent facts, each with its own caution"
)]
pub struct Contents {
    /// A lithium bank.
    pub lithium: bool,
    /// A starting battery.
    pub start_bank: bool,
    /// A fridge or freezer.
    pub fridge: bool,
    /// A mains charger or an inverter.
    pub mains: bool,
    /// What a meter's log says of it is shown too.
    pub log: bool,
}

impl From<&Scenario> for Contents {
    fn from(scenario: &Scenario) -> Self {
        let banks = &scenario.banks;
        let loads = &scenario.loads;
        let from_mains = |charger: &Charger| charger.from == ChargerSource::Mains;
        Self {
            lithium: banks.iter().any(|bank| bank.chemistry == Chemistry::Lfp),
            start_bank: banks.iter().any(|bank| bank.role == Role::Start),
            fridge: loads.iter().any(|load| load.kind.fridge().is_some()),
            mains: scenario.chargers.iter().any(from_mains)
                || loads.iter().any(|load| load.inverter.is_some()),
            log: false,
        }
    }
}

/// The cautions that belong on a screen, one line each, in a fixed order.
#[must_use]
pub fn cautions(contents: Contents, screen: Screen) -> Vec<&'static str> {
    let all = screen == Screen::Report;
    let on_the_road = all || matches!(screen, Screen::Trip | Screen::Stay | Screen::Learn);
    let at_the_bench = all || screen == Screen::Budget;
    [
        (LOG, screen == Screen::Learn || (all && contents.log)),
        (LITHIUM, on_the_road && contents.lithium),
        (
            STARTING,
            (all || screen == Screen::Trip) && contents.start_bank,
        ),
        (FOOD, on_the_road && contents.fridge),
        (MAINS, at_the_bench && contents.mains),
        (CURRENT, at_the_bench),
    ]
    .into_iter()
    .filter_map(|(line, applies)| applies.then_some(line))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_screen_has_the_cautions_that_belong_to_it() {
        let contents = Contents {
            lithium: true,
            start_bank: true,
            fridge: true,
            mains: true,
            log: false,
        };
        assert_eq!(cautions(contents, Screen::Trip), [LITHIUM, STARTING, FOOD]);
        assert_eq!(cautions(contents, Screen::Stay), [LITHIUM, FOOD]);
        assert_eq!(cautions(contents, Screen::Budget), [MAINS, CURRENT]);
        assert_eq!(cautions(contents, Screen::Report).len(), 5);
    }

    #[test]
    fn what_a_scenario_lacks_has_no_caution() {
        assert_eq!(cautions(Contents::default(), Screen::Report), [CURRENT]);
        assert!(cautions(Contents::default(), Screen::Trip).is_empty());
    }
}
