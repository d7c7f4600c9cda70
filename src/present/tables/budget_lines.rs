//! Lines of a bank's budget: sources, loads, then sums and balances.
//!
//! One job: which lines there are, their figures and names. Their table is in `budget`, their picture in `charts`.

use crate::study::answer::{BudgetBank, BudgetDay, BudgetLoad, BudgetSource, Live};

/// A line of a bank's budget.
pub(in crate::present) enum BudgetItem<'a> {
    /// What a load asks for.
    Load(&'a BudgetLoad),
    /// What a source gives.
    Source(&'a BudgetSource),
    /// A sum or balance of the bank.
    Total(Total, TotalFigures),
}

/// Which sum or balance of a bank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::present) enum Total {
    /// All sources.
    In,
    /// What all loads ask for.
    Asked,
    /// What they get.
    Out,
    /// What they ask for and do not get.
    Unserved,
    /// Lost inside the bank.
    Losses,
    /// Sources less what is asked for less losses.
    Balance,
    /// Sun left over.
    Curtailed,
}

impl Total {
    /// Its name in a file.
    #[must_use]
    pub(in crate::present) fn key(self) -> &'static str {
        match self {
            Self::In => "in",
            Self::Asked => "asked",
            Self::Out => "out",
            Self::Unserved => "unserved",
            Self::Losses => "losses",
            Self::Balance => "balance",
            Self::Curtailed => "curtailed",
        }
    }

    /// Its name on screens, in reports and pictures.
    #[must_use]
    pub(in crate::present) fn words(self) -> &'static str {
        match self {
            Self::In => "all sources",
            Self::Asked => "all loads ask for",
            Self::Out => "all loads get",
            Self::Unserved => "not supplied",
            Self::Losses => "lost inside the bank",
            Self::Balance => "balance",
            Self::Curtailed => "sun left over",
        }
    }
}

/// The figures of a sum: energy a day, charge where there is such, energy on a day of either kind.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(in crate::present) struct TotalFigures {
    pub(super) wh: f64,
    pub(super) ah: Option<f64>,
    pub(super) camp_wh: Option<f64>,
    pub(super) driving_wh: Option<f64>,
}

/// A line of the budget with its bank.
pub(in crate::present) struct BudgetRow<'a> {
    /// The bank.
    pub(in crate::present) bank: &'a BudgetBank,
    /// The line.
    pub(in crate::present) item: BudgetItem<'a>,
}

impl BudgetRow<'_> {
    /// Energy a day, mean over the trip.
    #[must_use]
    pub(in crate::present) fn wh_per_day(&self) -> f64 {
        match &self.item {
            BudgetItem::Load(load) => load.asked.wh_per_day,
            BudgetItem::Source(source) => source.given.wh_per_day,
            BudgetItem::Total(_, figures) => figures.wh,
        }
    }

    /// Whether a reader is shown it: sums always but what the loads get, which is so only where it is
    /// less than they ask for; sun left over and what is not supplied where there is some.
    #[must_use]
    pub(in crate::present) fn is_shown(&self) -> bool {
        match self.item {
            BudgetItem::Total(Total::Out, _) => self.bank.unserved_wh_per_day >= 0.5,
            BudgetItem::Total(Total::Curtailed | Total::Unserved, figures) => figures.wh >= 0.5,
            _ => true,
        }
    }

    /// Its name as a reader sees it.
    #[must_use]
    pub(in crate::present) fn name(&self) -> &str {
        match &self.item {
            BudgetItem::Load(load) => &load.id,
            BudgetItem::Source(source) => &source.id,
            BudgetItem::Total(total, _) => total.words(),
        }
    }
}

/// Every line of a bank's budget: sources, loads, then the sums.
#[must_use]
pub(in crate::present) fn budget_rows(bank: &BudgetBank) -> Vec<BudgetRow<'_>> {
    let sources = bank.sources.iter().map(BudgetItem::Source);
    let loads = bank.loads.iter().map(BudgetItem::Load);
    let of_days = |wh: f64, ah: Option<f64>, of: fn(&BudgetDay) -> f64| TotalFigures {
        wh,
        ah,
        camp_wh: bank.camp_day.as_ref().map(of),
        driving_wh: bank.driving_day.as_ref().map(of),
    };
    let mean = |wh: f64, ah: Option<f64>| TotalFigures {
        wh,
        ah,
        ..TotalFigures::default()
    };
    let totals = [
        (
            Total::In,
            of_days(bank.in_wh_per_day, Some(bank.in_ah_per_day), |day| {
                day.given.wh
            }),
        ),
        (
            Total::Asked,
            of_days(bank.asked_wh_per_day, Some(bank.asked_ah_per_day), |day| {
                day.asked.wh
            }),
        ),
        (
            Total::Out,
            mean(bank.out_wh_per_day, Some(bank.out_ah_per_day)),
        ),
        (Total::Unserved, mean(bank.unserved_wh_per_day, None)),
        (Total::Losses, mean(bank.losses_wh_per_day, None)),
        (
            Total::Balance,
            of_days(bank.balance_wh_per_day, None, |day| day.balance_wh),
        ),
        (Total::Curtailed, mean(bank.curtailed_wh_per_day, None)),
    ];
    let totals = totals
        .into_iter()
        .map(|(total, figures)| BudgetItem::Total(total, figures));
    sources
        .chain(loads)
        .chain(totals)
        .map(|item| BudgetRow { bank, item })
        .collect()
}

/// Which circuit a load depends on, in one word, as the scenario file says it.
#[must_use]
pub(in crate::present) fn live_word(live: Live) -> &'static str {
    match live {
        Live::Always => "always",
        Live::Ignition => "ignition",
        Live::Parked => "parked",
        Live::Camp => "camp",
        Live::Hours => "hours",
    }
}
