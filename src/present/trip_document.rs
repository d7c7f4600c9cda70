//! The JSON result of `trip`: figures, and the words that say what they come to.
//!
//! One job: to put both into one object, in units of the program.

use serde::Serialize;

use super::words::cause::cause_in_words;
use super::words::trip_verdict::trip_verdict_in;
use crate::study::answer::{Cause, TripAnswer, TripResult};
use crate::units::Units;

/// The document.
#[derive(Debug, Serialize)]
pub struct TripDocument<'a> {
    #[serde(flatten)]
    result: &'a TripResult,
    verdict: String,
    cause: Option<CauseDocument<'a>>,
}

/// Why the weakest bank falls short in its weakest night.
#[derive(Debug, Serialize)]
struct CauseDocument<'a> {
    bank: &'a str,
    date: &'a str,
    stop: &'a str,
    #[serde(flatten)]
    cause: &'a Cause,
    text: String,
}

impl<'a> From<&'a TripAnswer> for TripDocument<'a> {
    fn from(answer: &'a TripAnswer) -> Self {
        let weak = answer.weak_point.as_ref();
        let cause = weak.and_then(|weak| {
            let cause = weak.cause.as_ref()?;
            Some(CauseDocument {
                bank: &weak.bank,
                date: &weak.night.date,
                stop: &weak.night.stop,
                cause,
                text: cause_in_words(cause, Units::Si),
            })
        });
        Self {
            result: &answer.result,
            verdict: trip_verdict_in(answer, Units::Si),
            cause,
        }
    }
}
