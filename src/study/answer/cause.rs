//! Why a bank falls short where it is weakest.
//!
//! One job: the shapes. How the cause is found is in `study::cause`, its sentence in `present`.

use serde::Serialize;

use crate::timeline::plant::BankLimit;

/// Kinds of cause, in the order in which they are looked for: the first that holds is the cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CauseKind {
    /// The bank's own limits did not let through what was asked, by more than it lacked charge.
    Limit,
    /// A source that would have met the need was shut off.
    SourceAbsent,
    /// Cold kept out more charge, or put more of it out of reach, than was missing.
    TooCold,
    /// Between two chances to charge, by plan, more was asked than the bank holds above its reserve.
    TooSmall,
    /// The alternator withheld more than was missing.
    Alternator,
    /// A charger was at its limit for most of the hours it had, and the bank not full after them.
    Charger,
    /// Fewer hours were driven than planned, or too few to fill the bank though nothing limited the charger.
    Driving,
    /// The sun gave less than its mean by more than was missing.
    Sky,
    /// Shade took more than was missing.
    Shade,
    /// More was asked than in the mean, by more than was missing.
    Use,
    /// Day by day more goes out than comes in.
    Balance,
}

/// Why a source did not work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Away {
    /// The trailer stood in camp while the vehicle was driven.
    NotTowed,
    /// The stop has no mains.
    NoMains,
    /// A portable panel was not set up.
    Packed,
    /// Its input voltage was too low.
    LowInput,
    /// The bank that feeds it was at its reserve.
    GiverEmpty,
}

/// What the cause is told by: means over the trials that have it.
#[derive(Debug, Clone, PartialEq)]
pub enum Why {
    /// What the bank's own limits did not let through in that night.
    Limit {
        /// The lower limit.
        limit: BankLimit,
        /// Its resistance, mΩ.
        resistance_mohm: f64,
        /// Asked, Wh.
        asked_wh: f64,
        /// Of that, not supplied, Wh.
        unserved_wh: f64,
    },
    /// What the source would have brought while it was shut off, Ah.
    SourceAbsent {
        /// The source's id.
        source: String,
        /// Why it was shut off.
        away: Away,
        /// What it would have brought, Ah.
        would_ah: f64,
    },
    /// Charge that cold kept out of lithium, Ah.
    ColdRefused {
        /// The charge.
        refused_ah: f64,
    },
    /// Part of a lead-acid bank that cold puts out of reach.
    ColdOutOfReach {
        /// Share of its capacity.
        share: f64,
        /// Temperature of the battery.
        battery_c: f64,
    },
    /// The time between two chances to charge.
    TooSmall {
        /// Nights in it.
        nights: f64,
        /// What it asks, Ah.
        asked_ah: f64,
        /// What the bank has for it above its reserve, Ah.
        has_ah: f64,
    },
    /// What the alternator withheld.
    Alternator {
        /// The charge.
        withheld_ah: f64,
    },
    /// The hours of the charger that was longest at its limit.
    Charger {
        /// Its id.
        charger: String,
        /// At its limit, h.
        full_h: f64,
        /// In which it could work, h.
        open_h: f64,
    },
    /// Hours driven with the bank's charger at work.
    Driving {
        /// Driven.
        driven_h: f64,
        /// Planned.
        planned_h: f64,
    },
    /// Sun offered to the bank.
    Sky {
        /// In these trials, Wh.
        sun_wh: f64,
        /// In the mean of place and month, Wh.
        mean_wh: f64,
    },
    /// Sun that shade took.
    Shade {
        /// The energy, Wh.
        lost_wh: f64,
    },
    /// What was asked.
    Use {
        /// In these trials, Wh.
        asked_wh: f64,
        /// In the mean, Wh.
        mean_wh: f64,
    },
    /// Out and in, a day.
    Balance {
        /// Asked, Ah.
        out_ah: f64,
        /// Brought, Ah; `None`: nothing charges the bank at all.
        in_ah: Option<f64>,
    },
}

/// The cause of a shortfall.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cause {
    /// Its kind.
    pub kind: CauseKind,
    /// Share of the trials that fall short there which have it.
    pub share: f64,
    /// What was asked of the bank since it was last full (too small: since it could last charge), Wh.
    pub needed_wh: f64,
    /// What it had for that, Wh.
    pub had_wh: f64,
    /// What was missing, Ah.
    #[serde(skip)]
    pub missing_ah: f64,
    /// What it is told by.
    #[serde(skip)]
    pub why: Why,
}
