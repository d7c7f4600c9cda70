//! Tables of `trip`: each bank, then each night, then what else happened.
//!
//! One job: the figures under the verdict.

use super::nights::{BankNights, night_parts};
use super::outages::outage_parts;
use super::part::{Part, head, note, table};
use crate::present::plain_text::shortened;
use crate::present::words::chance::{compact, percent};
use crate::present::words::duration::{Horizon, lasting, weekday_date};
use crate::present::words::figure::{rounded, whole};
use crate::study::answer::{FridgeUse, Night, SocPercentiles, TripAnswer};

/// What the columns mean, as a line under the table of banks.
const BANK_KEY: &str = "Chances with their 95 % interval. Lowest and at the end: state of charge that \
    9 in 10 trips keep above · that half keep above.";

/// The tables of a trip.
#[must_use]
pub fn trip_tables(answer: &TripAnswer) -> Vec<Part> {
    let result = &answer.result;
    let horizon = Horizon::TripEnd(answer.length_days);
    // One trip without chance has one figure where trials have a spread.
    let typical = result.heading.typical;
    let lasts = if typical {
        &["lasts"][..]
    } else {
        &["9 in 10 last", "half last"]
    };
    let names = [
        &["bank", "no shortfall", "no outage"],
        lasts,
        &["lowest", "at the end"],
    ]
    .concat();
    let rows = result
        .banks
        .iter()
        .map(|bank| {
            let low_and_middle = |soc: &SocPercentiles| {
                let [low, middle] = [soc.p10, soc.p50].map(|soc| whole(soc * 100.0));
                if typical {
                    format!("{middle} %")
                } else {
                    format!("{low} · {middle} %")
                }
            };
            let mut row = vec![
                shortened(&bank.id, 24),
                compact(bank.chance_no_shortfall),
                percent(bank.chance_no_outage.value),
                lasting(bank.autonomy_days.p10, horizon),
            ];
            if !typical {
                row.push(lasting(bank.autonomy_days.p50, horizon));
            }
            row.extend([&bank.lowest_soc, &bank.end_soc].map(low_and_middle));
            row
        })
        .collect();
    let mut parts = vec![table(head(&names, 1), rows)];
    if !typical {
        parts.push(note(BANK_KEY));
    }
    parts.extend(outage_parts(result));
    let nights: Vec<BankNights<'_>> = result.banks.iter().map(BankNights::from).collect();
    parts.extend(night_parts(&nights, &result.heading));
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
    if !result.fridges.is_empty() {
        parts.push(fridge_table(&result.fridges));
    }
    parts
}

/// Fridges: how hard they ran and how long they were too warm.
pub(super) fn fridge_table(fridges: &[FridgeUse]) -> Part {
    let names = [
        "fridge",
        "runs",
        "too warm, half the trips",
        "1 in 10 longer than",
    ];
    let rows = fridges
        .iter()
        .map(|fridge| {
            vec![
                shortened(&fridge.id, 24),
                percent(fridge.duty),
                format!("{} h", rounded(fridge.hours_above_8c.p50)),
                format!("{} h", rounded(fridge.hours_above_8c.p90)),
            ]
        })
        .collect();
    table(head(&names, 1), rows)
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

        Chances with their 95 % interval. Lowest and at the end: state of charge that 9 in 10 trips keep
        above · that half keep above.

        Nights. Dawn: state of charge in per cent that 9 in 10 trips are above · half are above · 1 in
        10 are above. Chance: no shortfall that night, noon to noon.

        night      stop         main dawn  chance  trailer dawn  chance
        ----------------------------------------------------------------
        Sat 3 Jul  Pan edge  85 · 90 · 95   100 %  77 · 86 · 94   100 %
        Sun 4 Jul  Pan edge  83 · 90 · 98   100 %  68 · 81 · 93   100 %
        Mon 5 Jul  Pan edge  82 · 90 · 99   100 %  60 · 76 · 91   100 %

        night      stop      starter dawn  chance
        ------------------------------------------
        Sat 3 Jul  Pan edge  90 · 90 · 91   100 %
        Sun 4 Jul  Pan edge  89 · 90 · 90   100 %
        Mon 5 Jul  Pan edge  89 · 89 · 90   100 %

        Alternator: more asked of it than it gives for 3.2 h of the trip; largest current asked 141 A.

        fridge  runs  too warm, half the trips  1 in 10 longer than
        ------------------------------------------------------------
        fridge  41 %                       0 h                2.4 h
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
