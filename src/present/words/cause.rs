//! Why a bank falls short, as a clause that follows "because" or a colon.
//!
//! One job: the sentence of each kind of cause, with its figures.

use super::chance::percent;
use super::figure::{energy, rounded, whole};
use crate::present::plain_text::neutral;
use crate::study::answer::{Away, BankLimit, Cause, Why};
use crate::units::{Amount, Units};

/// The cause with its figures.
#[must_use]
pub fn cause_in_words(cause: &Cause, units: Units) -> String {
    let missing = format!("{} Ah were missing", rounded(cause.missing_ah));
    match &cause.why {
        Why::Limit {
            limit,
            resistance_mohm,
            asked_wh,
            unserved_wh,
        } => limit_in_words(*limit, *resistance_mohm, [*unserved_wh, *asked_wh]),
        // A post would have filled it over and over.
        Why::SourceAbsent {
            source,
            away: Away::NoMains,
            ..
        } => format!(
            "there was no mains for charger {}, and {missing}",
            neutral(source)
        ),
        Why::SourceAbsent {
            source,
            away,
            would_ah,
        } => format!(
            "{}: it would have brought {} Ah, and {missing}",
            away_in_words(*away, &neutral(source)),
            rounded(*would_ah)
        ),
        Why::ColdRefused { refused_ah } => format!(
            "the cold kept {} Ah of charge out of it, and {missing}",
            rounded(*refused_ah)
        ),
        Why::ColdOutOfReach { share, battery_c } => format!(
            "{} of it is out of reach at {}, and {missing}",
            percent(*share),
            units.shown(Amount::Celsius, *battery_c, 0)
        ),
        Why::TooSmall {
            nights,
            asked_ah,
            has_ah,
        } => {
            let time = if *nights < 1.5 {
                "one night between charges takes".to_owned()
            } else {
                format!("{} nights between charges take", whole(*nights))
            };
            format!(
                "{time} {} Ah, and it has {} Ah above its reserve",
                rounded(*asked_ah),
                rounded(*has_ah)
            )
        }
        Why::Alternator { withheld_ah } => format!(
            "the alternator had {} Ah less for it than its charger asked, and {missing}",
            rounded(*withheld_ah)
        ),
        Why::Charger {
            charger,
            full_h,
            open_h,
        } => format!(
            "charger {} gave all it can for {} of the {} h it had, and the bank was not full after them",
            neutral(charger),
            rounded(*full_h),
            rounded(*open_h)
        ),
        Why::Driving {
            driven_h,
            planned_h,
        } => driving_in_words(*driven_h, *planned_h),
        Why::Sky { sun_wh, mean_wh } => format!(
            "the sun offered {} where {} are the mean of place and month",
            energy(*sun_wh),
            energy(*mean_wh)
        ),
        Why::Shade { lost_wh } => {
            format!("shade took {} of sun, and {missing}", energy(*lost_wh))
        }
        Why::Use { asked_wh, mean_wh } => format!(
            "{} were asked of it where {} are the mean",
            energy(*asked_wh),
            energy(*mean_wh)
        ),
        Why::Balance {
            out_ah,
            in_ah: Some(in_ah),
        } => format!(
            "day by day more goes out than comes in, {} Ah against {}",
            rounded(*out_ah),
            rounded(*in_ah)
        ),
        Why::Balance {
            out_ah,
            in_ah: None,
        } => format!(
            "nothing charges it, and {} Ah a day go out",
            rounded(*out_ah)
        ),
    }
}

fn limit_in_words(limit: BankLimit, resistance_mohm: f64, energies: [f64; 2]) -> String {
    let limit = match limit {
        BankLimit::Current(limit_a) => format!("its limit of {} A", rounded(limit_a)),
        BankLimit::Resistance(most_w) => format!(
            "its resistance of {} mΩ (at most {} W)",
            rounded(resistance_mohm),
            rounded(most_w)
        ),
    };
    let [unserved, asked] = energies.map(energy);
    format!("{limit} did not let through {unserved} of {asked} asked")
}

fn driving_in_words(driven_h: f64, planned_h: f64) -> String {
    let driven = rounded(driven_h);
    if planned_h - driven_h > 0.05 {
        format!(
            "{driven} h driven, of {} planned, were too few to fill it",
            rounded(planned_h)
        )
    } else {
        format!("the {driven} h driven were too few to fill it")
    }
}

fn away_in_words(away: Away, source: &str) -> String {
    match away {
        Away::NotTowed => {
            format!("charger {source} stood still while the trailer was left in camp")
        }
        Away::NoMains => format!("charger {source} had no mains"),
        Away::Packed => format!("panel {source} was packed away"),
        Away::LowInput => format!("charger {source} had too low a voltage at its input"),
        Away::GiverEmpty => format!("the bank behind charger {source} had nothing to give"),
    }
}
