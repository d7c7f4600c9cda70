//! Tables of `stay`: each bank, then each night.
//!
//! One job: the figures under the verdict. Nights in which nothing is left to know are cut off
//! and said so.

use super::nights::night_parts;
use super::part::Part;
use super::trip::fridge_parts;
use crate::present::table::{Align, Table, Value};
use crate::present::words::duration::{Horizon, lasting, lasting_interval};
use crate::present::words::stay_verdict::{next_drive_line, two_counts_line};
use crate::study::answer::StayAnswer;

/// Nights shown although nothing changes any more.
const LEAST_NIGHTS: usize = 7;

/// How to read the tables of the rest of the trip, of what each bank lasts and of the nights.
const REST_SAYS: &str =
    "Chances of no shortfall with their 95 % interval, by the nights still spent here.";
const LAST_SAYS: &str =
    "Time until a bank is first below its reserve, parked here; between: its 95 % interval.";
const NIGHTS_SAYS: &str =
    "Chances with their 95 % interval that no house bank is below its reserve.";

/// The tables of a stay.
#[must_use]
pub fn stay_tables(answer: &StayAnswer) -> Vec<Part> {
    let result = &answer.result;
    let units = result.heading.units;
    let horizon = Horizon::Days(result.horizon_days);
    let table = Table::of(&result.banks, units)
        .name("", "bank", |bank| bank.id.clone())
        .shown("9 in 10 last", |bank| {
            lasting(bank.autonomy_days.p10, horizon)
        })
        .shown("between", |bank| {
            lasting_interval(bank.autonomy_days.p10, horizon)
        })
        .shown("half last", |bank| lasting(bank.autonomy_days.p50, horizon))
        .shown("1 in 10 last", |bank| {
            lasting(bank.autonomy_days.p90, horizon)
        })
        .done()
        .titled("", LAST_SAYS);
    let mut parts = rest_table(answer);
    parts.extend(Part::with_says(table));
    let shown = nights_worth_showing(answer);
    if shown > 0 {
        let table = Table::of(&result.nights[..shown], units)
            .column("", "night", Align::Left, |night| {
                Value::Date(night.date.clone())
            })
            .chance("", "no shortfall that night", |night| {
                night.chance_no_shortfall
            })
            .chance("", "none since now", |night| night.chance_so_far)
            .done()
            .titled("", NIGHTS_SAYS);
        parts.extend(Part::with_says(table));
        let banks = result.banks.iter().map(|bank| {
            let nights = &bank.nights[..shown.min(bank.nights.len())];
            (&bank.id[..], nights)
        });
        parts.extend(night_parts(&banks.collect::<Vec<_>>(), &result.heading));
    }
    if shown < result.nights.len() {
        parts.push(Part::Lines(format!(
            "{} later nights are like the last one shown.",
            result.nights.len() - shown
        )));
    }
    parts.extend(fridge_parts(&result.fridges, &result.heading));
    parts
}

/// Here, the rest of the trip and both, by nights still spent here; none where nothing is left of the trip.
fn rest_table(answer: &StayAnswer) -> Vec<Part> {
    let rest = &answer.result.rest;
    let Some(drive) = next_drive_line(answer).filter(|_| !rest.is_empty()) else {
        return Vec::new();
    };
    let table = Table::of(rest, answer.result.heading.units)
        .name("", "nights more", |row| row.nights_more.to_string())
        .column("", "leaving", Align::Left, |row| {
            Value::Date(row.leave.clone())
        })
        .chance("", "no shortfall here", |row| row.chance_here)
        .chance("", "rest of the trip", |row| row.chance_rest)
        .chance("", "both", |row| row.chance_both)
        .done()
        .titled("", REST_SAYS);
    let mut parts = Vec::from(Part::with_says(table));
    parts.extend(two_counts_line(answer).map(Part::Note));
    parts.push(Part::Lines(drive));
    parts
}

/// Nights up to the one after which the chance so far stays as it is, within half a point.
fn nights_worth_showing(answer: &StayAnswer) -> usize {
    let nights = &answer.result.nights;
    let Some(last) = nights.last() else { return 0 };
    let settled = nights
        .iter()
        .rposition(|night| (night.chance_so_far.value - last.chance_so_far.value).abs() >= 0.005)
        .map_or(0, |index| index + 2);
    let at_aim = usize::try_from(answer.nights_at_aim).unwrap_or(usize::MAX);
    let wanted = if answer.aim_beyond_horizon {
        settled
    } else {
        settled.max(at_aim + 1)
    };
    wanted.max(LEAST_NIGHTS).min(nights.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use crate::present::tables::laid_out;

    #[test]
    fn pinned_tables_of_the_sample() {
        let mut answer = sample::stay();
        answer.result.nights.truncate(8);
        insta::assert_snapshot!(laid_out(&stay_tables(&answer), 100), @r#"
        nights more  leaving    no shortfall here  rest of the trip          both
        --------------------------------------------------------------------------
        0            Mon 5 Jul      99 % (97–100)     98 % (96–100)  97 % (95–99)
        1            Tue 6 Jul       97 % (95–99)      96 % (94–98)  95 % (93–97)
        2            Wed 7 Jul       93 % (91–95)      92 % (90–94)  91 % (89–93)
        3            Thu 8 Jul       82 % (80–84)      81 % (79–83)  80 % (78–82)
        4            Fri 9 Jul       52 % (50–54)      51 % (49–53)  50 % (48–52)

        Chances of no shortfall with their 95 % interval, by the nights still spent here.

        The drive from here after 3 nights takes, in the median, main from 52 % to 81 %.

        bank     9 in 10 last          between  half last       1 in 10 last
        ---------------------------------------------------------------------
        main         3.2 days  3.0 to 3.5 days   5.1 days  more than 30 days
        trailer      3.2 days  3.0 to 3.5 days   5.1 days  more than 30 days

        Time until a bank is first below its reserve, parked here; between: its 95 % interval.

        night       no shortfall that night  none since now
        ----------------------------------------------------
        Mon 5 Jul            >99 % (97–100)  >99 % (97–100)
        Tue 6 Jul             98 % (95–100)    96 % (94–98)
        Wed 7 Jul              96 % (93–98)    92 % (90–94)
        Thu 8 Jul              90 % (88–92)    81 % (79–83)
        Fri 9 Jul              74 % (72–77)    55 % (53–57)
        Sat 10 Jul             55 % (52–57)    30 % (28–32)
        Sun 11 Jul             35 % (32–37)    12 % (10–14)
        Mon 12 Jul             20 % (18–22)       4 % (2–6)

        Chances with their 95 % interval that no house bank is below its reserve.

        Nights. Dawn: state of charge in per cent that 9 in 10 trips are above · half are above · 1 in
        10 are above. Chance: no shortfall that night, noon to noon.

        night       stop         main dawn  chance  trailer dawn  chance
        -----------------------------------------------------------------
        Mon 5 Jul   Pan edge  80 · 84 · 87    80 %  72 · 76 · 80    72 %
        Tue 6 Jul   Pan edge  71 · 77 · 82    71 %  56 · 61 · 66    56 %
        Wed 7 Jul   Pan edge  63 · 70 · 76    63 %  39 · 46 · 53    39 %
        Thu 8 Jul   Pan edge  55 · 63 · 70    55 %  23 · 31 · 39    23 %
        Fri 9 Jul   Pan edge  47 · 56 · 64    47 %   7 · 16 · 25     7 %
        Sat 10 Jul  Pan edge  39 · 49 · 58    39 %    2 · 2 · 10     2 %
        Sun 11 Jul  Pan edge  32 · 42 · 52    32 %     2 · 2 · 2     2 %
        Mon 12 Jul  Pan edge  24 · 35 · 46    24 %     2 · 2 · 2     2 %
        "#);
    }

    #[test]
    fn a_stay_without_nights_has_its_banks_alone() {
        let mut answer = sample::stay();
        answer.result.nights.clear();
        assert!(!laid_out(&stay_tables(&answer), 80).contains("since now"));
    }
}
