//! The options of every command that can begin on the way.

use clap::Args;
use tideover::study::from_here::HereWords;

/// From here on: what is known at a moment of the trip.
#[derive(Debug, Args)]
#[command(next_help_heading = "From here on")]
pub(super) struct HereOptions {
    /// Local time now, such as 2027-07-05T18:00; what was before is past
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    /// The stop where you stand, by name or by number from 1 [default: where the itinerary is]
    #[arg(long, value_name = "STOP")]
    at: Option<String>,
    /// Charge that the meter of a bank shows: main=62%, main=0.62 or main=58..66%; once for each bank
    /// [default: what the itinerary brings]
    #[arg(long, value_name = "BANK=SOC")]
    soc: Vec<String>,
    /// Nights still to spend here [default: as many as the itinerary has left]
    #[arg(long, value_name = "N")]
    nights: Option<u32>,
    /// Sky of a day: bright, mixed or dull, the thirds of what the season brings there, or a clearness
    /// index; once for each day
    #[arg(long, value_name = "DATE=SKY")]
    sky: Vec<String>,
}

impl HereOptions {
    /// As the library takes them.
    pub(super) fn words(&self) -> HereWords {
        HereWords {
            now: self.now.clone(),
            at: self.at.clone(),
            soc: self.soc.clone(),
            nights: self.nights,
            sky: self.sky.clone(),
        }
    }
}
