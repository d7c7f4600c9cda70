//! Tables of `trip`: each bank, then each night, then what else happened.
//!
//! One job: the figures under the verdict.

use super::nights::night_parts;
use super::outages::outage_parts;
use super::part::{Part, note};
use crate::present::table::{Table, Value};
use crate::present::words::duration::{Horizon, lasting, weekday_date};
use crate::present::words::figure::{rounded, whole};
use crate::study::answer::{FridgeUse, Heading, Night, SocPercentiles, TripAnswer, TripBank};

/// The tables of a trip.
#[must_use]
pub fn trip_tables(answer: &TripAnswer) -> Vec<Part> {
    let result = &answer.result;
    let mut parts = Vec::from(Part::with_says(banks_table(answer)));
    parts.extend(outage_parts(result));
    let nights = result
        .banks
        .iter()
        .map(|bank| (&bank.id[..], &bank.nights[..]));
    parts.extend(night_parts(&nights.collect::<Vec<_>>(), &result.heading));
    let mut of_banks = result.banks.iter().flat_map(|bank| &bank.nights);
    let is_later = |night: &&Night| night.under_way.is_some_and(|share| share < 0.5);
    if let Some(night) = of_banks.find(is_later) {
        parts.push(note(format!(
            "From {} on: nights of trips that were put off; chances are of all trips.",
            weekday_date(&night.date, result.heading.units)
        )));
    }
    if let Some(alternator) = &result.alternator {
        let line = format!(
            "Alternator: more asked of it than it gives for {} h of the trip; largest current asked {} A.",
            rounded(alternator.oversubscribed_hours),
            whole(alternator.peak_a)
        );
        parts.push(note(line));
    }
    parts.extend(fridge_parts(&result.fridges, &result.heading));
    parts
}

/// Each bank over the whole trip.
pub(in crate::present) fn banks_table(answer: &TripAnswer) -> Table {
    let result = &answer.result;
    let horizon = Horizon::TripEnd(answer.length_days);
    // One trip without chance has one figure where trials have a spread.
    let typical = result.heading.typical;
    let level = |soc: &SocPercentiles| {
        let [low, middle] = [soc.p10, soc.p50].map(|soc| whole(soc * 100.0));
        if typical {
            format!("{middle} %")
        } else {
            format!("{low} · {middle} %")
        }
    };
    let first = if typical { "lasts" } else { "9 in 10 last" };
    let mut columns = Table::of(&result.banks, result.heading.units)
        .name("", "bank", |bank| bank.id.clone())
        .chance("", "no shortfall", |bank| bank.chance_no_shortfall)
        .figure("", "no outage", |bank| {
            Value::Chance(bank.chance_no_outage.value)
        })
        .shown(first, |bank| lasting(bank.autonomy_days.p10, horizon));
    if !typical {
        columns = columns.shown("half last", |bank: &TripBank| {
            lasting(bank.autonomy_days.p50, horizon)
        });
    }
    let table = columns
        .shown("lowest", |bank| level(&bank.lowest_soc))
        .shown("at the end", |bank| level(&bank.end_soc))
        .done();
    let words =
        "A shortfall is a bank below its reserve, an outage one whose loads have been cut off.";
    let says = if typical {
        words.to_owned()
    } else {
        format!(
            "Chances with their 95 % interval. {words} Lowest and at the end: state of charge that 9 in 10 trips \
             keep above · that half keep above."
        )
    };
    table.titled("Each bank over the whole trip.", &says)
}

/// Fridges: how hard they ran and how long they were too warm; nothing where there are none.
pub(super) fn fridge_parts(fridges: &[FridgeUse], heading: &Heading) -> Vec<Part> {
    let table = fridge_table(fridges, heading).map(Part::with_says);
    table.into_iter().flatten().collect()
}

/// The table of fridges, if there are any.
pub(in crate::present) fn fridge_table(fridges: &[FridgeUse], heading: &Heading) -> Option<Table> {
    let units = heading.units;
    let table = Table::of(fridges, units)
        .name("", "fridge", |fridge| fridge.id.clone())
        .figure("", "runs", |fridge| Value::Chance(fridge.duty))
        .shown("too warm, half the trips at most", |fridge| {
            format!("{} h", rounded(fridge.hours_above_8c.p50))
        })
        .shown("too warm, 1 in 10 longer than", |fridge| {
            format!("{} h", rounded(fridge.hours_above_8c.p90))
        })
        .done();
    let says = "Runs: share of the time that the compressor is on. Too warm: above ‹8 °C›, a freezer ‹6 K› above its \
                set point.";
    let table = table.titled("Fridges and freezers.", &units.sentence(says));
    (!fridges.is_empty()).then_some(table)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use crate::present::tables::laid_out;

    #[test]
    fn pinned_tables_of_the_sample() {
        let answer = sample::trip_of(&["main", "trailer"], 3);
        insta::assert_snapshot!(laid_out(&trip_tables(&answer), 100), @r#"
        bank      no shortfall  no outage  9 in 10 last   half last     lowest  at the end
        -----------------------------------------------------------------------------------
        main     98 % (96–100)       99 %    whole trip  whole trip  74 · 82 %   84 · 92 %
        trailer   78 % (76–80)       99 %      7.4 days  whole trip  54 · 69 %   62 · 78 %
        starter  98 % (96–100)       99 %    whole trip  whole trip  80 · 81 %   91 · 91 %

        Chances with their 95 % interval. A shortfall is a bank below its reserve, an outage one whose
        loads have been cut off. Lowest and at the end: state of charge that 9 in 10 trips keep above ·
        that half keep above.

        Nights. Dawn: state of charge in per cent that 9 in 10 trips are above · half are above · 1 in
        10 are above. Chance: no shortfall that night, noon to noon.

        night      stop         main dawn  chance  trailer dawn  chance  starter dawn  chance
        --------------------------------------------------------------------------------------
        Sat 3 Jul  Pan edge  85 · 90 · 95   100 %  77 · 86 · 94   100 %  90 · 90 · 91   100 %
        Sun 4 Jul  Pan edge  83 · 90 · 98   100 %  68 · 81 · 93   100 %  89 · 90 · 90   100 %
        Mon 5 Jul  Pan edge  82 · 90 · 99   100 %  60 · 76 · 91   100 %  89 · 89 · 90   100 %

        Alternator: more asked of it than it gives for 3.2 h of the trip; largest current asked 141 A.

        fridge  runs  too warm, half the trips at most  too warm, 1 in 10 longer than
        ------------------------------------------------------------------------------
        fridge  41 %                               0 h                          2.4 h

        Runs: share of the time that the compressor is on. Too warm: above 8 °C, a freezer 6 K above its
        set point.
        "#);
    }

    #[test]
    fn law_tables_keep_to_their_width() {
        for width in [50, 80, 120, 200] {
            let text = laid_out(&trip_tables(&sample::trip()), width);
            assert!(text.lines().count() > 20);
            for line in text.lines() {
                assert!(line.chars().count() <= width, "{width}: {line}");
            }
        }
    }

    #[test]
    fn control_characters_of_the_user_do_not_reach_the_screen() {
        let mut answer = sample::trip();
        answer.result.banks[0].nights[0].stop = "Salt\u{1b}[31m pan".to_owned();
        assert!(!laid_out(&trip_tables(&answer), 110).contains('\u{1b}'));
    }
}
