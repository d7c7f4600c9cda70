//! The option of every command that shows what lands write differently.

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser as _};
use tideover::units::Units;

/// Units of what is shown.
#[derive(Debug, Args)]
pub(super) struct Land {
    /// Units of what is shown: si, or us for °F, miles, feet, pounds, AWG and 5:00 PM [default: those of the scenario
    /// file, else si]; JSON is in si
    #[arg(long, value_name = "LAND",
        value_parser = PossibleValuesParser::new(Units::ALL.map(Units::name)).try_map(|name| Units::named(&name)))]
    pub(super) units: Option<Units>,
}
