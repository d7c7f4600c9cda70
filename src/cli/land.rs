//! The option of every command that shows what lands write differently.

use clap::Args;
use tideover::units::Units;

/// Units of what is shown.
#[derive(Debug, Clone, Default, Args)]
pub(super) struct Land {
    /// Units of what is shown: si, or us for °F, miles, feet, pounds, AWG and 5:00 PM [default: those of the scenario
    /// file, else si]; JSON is in si
    #[arg(long, value_name = "LAND", value_parser = clap::builder::PossibleValuesParser::new(Units::ALL.map(Units::name)))]
    units: Option<String>,
}

impl Land {
    /// Those asked for.
    pub(super) fn asked(&self) -> Option<Units> {
        self.units
            .as_deref()
            .and_then(|name| Units::named(name).ok())
    }
}
