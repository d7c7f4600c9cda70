//! Uncertain quantities as the file writes them: a number, or least, likeliest and greatest.
//!
//! One job: one type for each range, so that the schema states it.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::scenario::Spread;

/// What every spread of the file can be turned into.
pub(in crate::scenario) trait AnySpread {
    /// The three numbers; what is missing takes its neighbour's value.
    fn to_spread(&self) -> Spread;
}

macro_rules! spread_type {
    ($name:ident, $shape:ident, $min:literal to $max:literal, $doc:literal) => {
        #[doc = $doc]
        #[derive(Debug, Clone, Deserialize, JsonSchema)]
        #[serde(untagged)]
        pub(in crate::scenario) enum $name {
            /// A known value.
            Number(#[schemars(range(min = $min, max = $max))] f64),
            /// Least, likeliest and greatest value, drawn from the PERT distribution.
            Shape($shape),
        }

        #[doc = $doc]
        #[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub(in crate::scenario) struct $shape {
            /// Free text for the reader; ignored.
            #[expect(dead_code, reason = "notes are accepted and ignored")]
            note: Option<serde_json::Value>,
            /// Least possible value.
            #[schemars(required, range(min = $min, max = $max))]
            min: Option<f64>,
            /// Likeliest value.
            #[schemars(required, range(min = $min, max = $max))]
            likely: Option<f64>,
            /// Greatest possible value.
            #[schemars(required, range(min = $min, max = $max))]
            max: Option<f64>,
        }

        impl AnySpread for $name {
            fn to_spread(&self) -> Spread {
                match self {
                    Self::Number(value) => Spread::fixed(*value),
                    Self::Shape(shape) => {
                        let likely = shape.likely.or(shape.min).or(shape.max).unwrap_or(0.0);
                        Spread {
                            min: shape.min.unwrap_or(likely),
                            likely,
                            max: shape.max.unwrap_or(likely),
                        }
                    }
                }
            }
        }
    };
}

spread_type!(
    ShareSpread,
    ShareShape,
    0 to 1,
    "A share from 0 to 1, known or uncertain."
);
spread_type!(
    DriveHours,
    DriveHoursShape,
    0 to 100,
    "Hours at the wheel, known or uncertain."
);
spread_type!(
    LocalHours,
    LocalHoursShape,
    0 to 24,
    "Hours of driving about on a day, known or uncertain."
);
spread_type!(
    HoursPerDay,
    HoursPerDayShape,
    0 to 24,
    "Hours a day, known or uncertain."
);
spread_type!(
    Speed,
    SpeedShape,
    1 to 200,
    "Kilometres an hour, known or uncertain."
);
spread_type!(
    DelayDays,
    DelayDaysShape,
    0 to 30,
    "Days that a departure is put off, known or uncertain; rounded to whole days."
);
spread_type!(Minutes, MinutesShape, 0 to 1440, "Minutes, known or uncertain.");
