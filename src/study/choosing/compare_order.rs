//! Which option wins, and which is the least.
//!
//! One job: options put in order. Those that reach the aim come first, the least of them leading: by
//! price where all of them have one, then by mass, then by all their sizes at once. The others follow
//! by chance, then by days; never by the order in which they were given.

use std::cmp::Ordering;

use super::compare::OptionAnswer;
use super::paired::Difference;

/// By what the least of some options is the least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    /// All have a price, and the least has the lowest.
    Price,
    /// The same for mass.
    Mass,
    /// None of its sizes is larger than another's.
    Sizes,
    /// Its sizes together are the smallest, each against the largest of its kind.
    SizesTogether,
    /// Nothing that is bought tells them apart.
    Nothing,
}

impl Measure {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Price => "price",
            Self::Mass => "mass_kg",
            Self::Sizes => "sizes",
            Self::SizesTogether => "sizes_together",
            Self::Nothing => "nothing",
        }
    }
}

/// Differences of money, mass and sizes that say nothing.
const NIL: f64 = 1e-9;

type Amount = (Measure, fn(&OptionAnswer) -> Option<f64>);

/// Amounts by which any of these options can be told apart: those that all of them have.
fn amounts(options: &[&OptionAnswer]) -> Vec<Amount> {
    let amounts: [Amount; 2] = [
        (Measure::Price, |option| option.price),
        (Measure::Mass, |option| option.mass_kg),
    ];
    let has = |(_, amount): &Amount| options.iter().all(|option| amount(option).is_some());
    amounts.into_iter().filter(has).collect()
}

/// Whether an amount tells two options apart.
fn differ((_, amount): &Amount, a: &OptionAnswer, b: &OptionAnswer) -> bool {
    (amount(a).unwrap_or(0.0) - amount(b).unwrap_or(0.0)).abs() > NIL
}

fn by_amounts(amounts: &[Amount], a: &OptionAnswer, b: &OptionAnswer) -> Ordering {
    let differing = amounts.iter().map(|(_, amount)| (amount(a), amount(b)));
    let first = differing
        .filter_map(|(a, b)| a.zip(b))
        .find(|(a, b)| (a - b).abs() > NIL);
    let by_money = first.map_or(Ordering::Equal, |(a, b)| a.total_cmp(&b));
    let size = a.size_together - b.size_together;
    let by_size = if size.abs() > NIL {
        size.total_cmp(&0.0)
    } else {
        Ordering::Equal
    };
    by_money.then(by_size)
}

/// The higher chance first, then the longer days.
fn by_merit(a: &OptionAnswer, b: &OptionAnswer) -> Ordering {
    let days = |option: &OptionAnswer| {
        let days = option.autonomy_days;
        // Beyond the trip is longest.
        [days.p10, days.p50, days.p90].map(|days| days.value.unwrap_or(f64::INFINITY))
    };
    let by_chance = b
        .chance_no_shortfall
        .value
        .total_cmp(&a.chance_no_shortfall.value);
    let pairs = days(b).into_iter().zip(days(a));
    pairs.fold(by_chance, |order, (b, a)| order.then(b.total_cmp(&a)))
}

fn all(options: &[OptionAnswer]) -> Vec<&OptionAnswer> {
    options.iter().collect()
}

fn reaching(options: &[OptionAnswer]) -> Vec<&OptionAnswer> {
    options.iter().filter(|option| option.meets_aim).collect()
}

/// The options from the winner on.
pub(super) fn ranking(options: &[OptionAnswer]) -> Vec<usize> {
    let of_reaching = amounts(&reaching(options));
    let of_all = amounts(&all(options));
    let mut order: Vec<usize> = (0..options.len()).collect();
    order.sort_by(|&a, &b| {
        let (a, b) = (&options[a], &options[b]);
        let by_aim = b.meets_aim.cmp(&a.meets_aim);
        by_aim.then_with(|| {
            if a.meets_aim {
                by_amounts(&of_reaching, a, b).then(by_merit(a, b))
            } else {
                by_merit(a, b).then(by_amounts(&of_all, a, b))
            }
        })
    });
    order
}

/// By what the winner is the least of those that reach the aim.
pub(super) fn measure(options: &[OptionAnswer], winner: usize) -> Measure {
    let winner = &options[winner];
    let reaching = reaching(options);
    let is_less = |amount: &Amount| reaching.iter().any(|other| differ(amount, winner, other));
    if let Some((measure, _)) = amounts(&reaching).into_iter().find(is_less) {
        return measure;
    }
    let no_larger = |other: &&OptionAnswer| {
        let mut pairs = winner.sizes.iter().zip(&other.sizes);
        pairs.all(|(own, other)| *own <= other + NIL)
    };
    let differs = |other: &&OptionAnswer| (winner.size_together - other.size_together).abs() > NIL;
    match (reaching.iter().all(no_larger), reaching.iter().any(differs)) {
        (true, true) => Measure::Sizes,
        (false, _) => Measure::SizesTogether,
        (true, false) => Measure::Nothing,
    }
}

/// Options from the least to the most that is bought; `None` where some can't be told more or less.
pub(super) fn from_least(options: &[OptionAnswer]) -> Option<Vec<usize>> {
    let amounts = amounts(&all(options));
    let mut order: Vec<usize> = (0..options.len()).collect();
    order.sort_by(|&a, &b| by_amounts(&amounts, &options[a], &options[b]));
    let is_told = |pair: &[usize]| {
        let (less, more) = (&options[pair[0]], &options[pair[1]]);
        let by_money = amounts.iter().any(|amount| differ(amount, less, more));
        let mut sizes = less.sizes.iter().zip(&more.sizes);
        by_money || sizes.all(|(less, more)| *less <= more + NIL)
    };
    order.windows(2).all(is_told).then_some(order)
}

/// The least option that no larger or dearer one beats clearly, by chance or by days; `beats` says
/// by how much the second of two does better than the first.
pub(super) fn knee(
    options: &[OptionAnswer],
    beats: impl Fn(usize, usize) -> [Difference; 2],
) -> Option<usize> {
    let order = from_least(options)?;
    let first = order.first().map(|&index| &options[index]);
    let last = order.last().map(|&index| &options[index]);
    let amounts = amounts(&all(options));
    if by_amounts(&amounts, first?, last?) == Ordering::Equal {
        return None;
    }
    let is_beaten = |place: usize| {
        order[place + 1..].iter().any(|&more| {
            let gains = beats(order[place], more);
            gains.iter().any(|gain| gain.clear && gain.value > 0.0)
        })
    };
    let place = (0..order.len()).find(|&place| !is_beaten(place))?;
    Some(order[place])
}
