//! Broken itineraries and climates, each with the exact words that refuse it.
//!
//! One job: times, places, lengths, and weather that cannot be. The sound scenario is in `one_run`.

mod one_run;

use one_run::{base_with, refusal_of};

refuses! {
    refuses_a_time_that_is_none:
        r#""depart": "08:00""# => r#""depart": "8am""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:10:66  /itinerary/legs/0/depart (Pan edge)\n",
            "    is `8am`, but must be a time of day from `00:00` to `24:00`\n",
            "    hint: write \"08:00\"\n",
        );
    refuses_a_window_end_that_is_none:
        r#"["07:00", "21:00"]"# => r#"["07:00", "sundown"]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:8:27  /itinerary/lived_in/1\n",
            "    is `sundown`, but must be a time of day such as `18:30`, `sunrise`, `sunset` or those with an offset up to 12 h such as `sunset+0:30`\n",
        );
    refuses_a_start_without_a_time:
        r#""2027-07-03T07:30""# => r#""2027-07-03""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:5:14  /itinerary/start\n",
            "    is `2027-07-03`, but must be a local date and time such as `2027-07-03T07:30`, from the year 1950 to 2150\n",
            "    hint: write \"2027-07-03T08:00\", with your own time of day\n",
        );
    refuses_an_unknown_zone:
        r#""Africa/Gaborone""# => r#""Africa/Gaberone""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:6:18  /itinerary/time_zone\n",
            "    is `Africa/Gaberone`, but must be an IANA time zone such as `Africa/Gaborone`\n",
            "    hint: did you mean `Africa/Gaborone`?\n",
        );
    refuses_a_start_that_the_clocks_jump_over:
        "\"2027-07-03T07:30\",\n    \"time_zone\": \"Africa/Gaborone\"" => "\"2027-03-28T02:30\",\n    \"time_zone\": \"Europe/Oslo\"",
        concat!(
            "error: `base.json` has 2 problems\n",
            "\n",
            "  base.json:5:14  /itinerary/start\n",
            "    is `2027-03-28T02:30`, which does not exist in Europe/Oslo: the clocks jump to 03:00\n",
            "\n",
            "  base.json:14:45  /climate/months\n",
            "    lack March, which the trip touches\n",
        );
    refuses_a_latitude_beyond_the_pole:
        r#""lat": -20.49"# => r#""lat": -95"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:10:34  /itinerary/legs/0/lat (Pan edge)\n",
            "    is -95, but must be from -90 to 90\n",
            "    hint: have `lat` and `lon` changed places?\n",
        );
    refuses_a_spread_out_of_order:
        r#""likely": 5.5"# => r#""likely": 9"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:24  /itinerary/legs/0/drive_hours (Pan edge)\n",
            "    has min 4, likely 9 and max 8, but must have them in this order\n",
        );
    refuses_a_month_missing:
        r#""month": 7"# => r#""month": 8"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:14:45  /climate/months\n",
            "    lack July, which the trip touches\n",
        );
    refuses_a_month_twice:
        r#""kt_sd": 0.1 }"# => "\"kt_sd\": 0.1 },\n    { \"month\": 7, \"kt\": 0.6, \"day_min_c\": 5, \"day_max_c\": 20 }",
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:16:16  /climate/months/1/month (month 7)\n",
            "    is 7, but July is in the table already\n",
        );
    refuses_sun_and_clearness_at_once:
        r#""sun_hours": 5.6"# => r#""sun_hours": 5.6, "kt": 0.6"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:15:43  /climate/months/0/kt (month 7)\n",
            "    is given beside `sun_hours`, but one of the two must be left out\n",
        );
    refuses_neither_sun_nor_clearness:
        r#""sun_hours": 5.6, "# => "",
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:15:5  /climate/months/0 (month 7)\n",
            "    has neither `sun_hours` nor `kt`, but must have one of them\n",
        );
    refuses_more_sun_than_there_is:
        r#""sun_hours": 5.6"# => r#""sun_hours": 8.5"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:15:32  /climate/months/0/sun_hours (month 7)\n",
            "    is 8.5, but must be from 0.21 to 5.80 for the sun at Town in that month\n",
            "    hint: `sun_hours` are kWh/m² a day on the flat, hours of full sun, not hours of sunshine\n",
        );
    refuses_a_clearness_of_no_climate:
        r#""sun_hours": 5.6"# => r#""kt": 0.95"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:15:25  /climate/months/0/kt (month 7)\n",
            "    is 0.95, but must be from 0.03 to 0.84: no month on Earth has had more or less\n",
        );
    refuses_a_spread_wider_than_the_mean_allows:
        r#""sun_hours": 5.6, "day_min_c": 6, "day_max_c": 24, "kt_sd": 0.1"# => r#""kt": 0.8, "day_min_c": 6, "day_max_c": 24, "kt_sd": 0.3"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:15:72  /climate/months/0/kt_sd (month 7)\n",
            "    is 0.3, but days with this mean cannot spread by more than 0.23\n",
        );
    refuses_a_minimum_above_the_maximum:
        r#""day_min_c": 6"# => r#""day_min_c": 26"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:15:50  /climate/months/0/day_min_c (month 7)\n",
            "    is 26, but must be at most `day_max_c`, which is 24\n",
        );
    refuses_a_key_of_another_climate:
        r#""kind": "monthly""# => r#""kind": "built-in""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:14:46  /climate/months\n",
            "    does not belong to the kind `built-in`, but to `monthly`\n",
        );
    refuses_an_autocorrelation_that_no_days_have:
        r#""kind": "monthly""# => r#""kind": "monthly", "kt_autocorrelation": [0.8, 0.2]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:14:63  /climate/kt_autocorrelation/1\n",
            "    is 0.2, but must be above 0.29 and below 1 at a lag of 2 days, given that of 1 day\n",
            "    hint: measured on one unbroken record, each as a sum of products over the sum of all squares, they always fit together\n",
        );
    refuses_days_that_are_all_alike:
        r#""kind": "monthly""# => r#""kind": "monthly", "kt_autocorrelation": [1]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:14:58  /climate/kt_autocorrelation/0\n",
            "    is 1, but must be above -1 and below 1\n",
            "    hint: measured on one unbroken record, each as a sum of products over the sum of all squares, they always fit together\n",
        );
    refuses_autocorrelations_in_the_wrong_number:
        r#""kind": "monthly""# => r#""kind": "monthly", "kt_autocorrelation": []"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:14:57  /climate/kt_autocorrelation\n",
            "    has 0 entries, but must have from 1 to 10\n",
        );
    refuses_an_autocorrelation_in_per_cent:
        r#""kind": "monthly""# => r#""kind": "monthly", "kt_autocorrelation": [29]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:14:58  /climate/kt_autocorrelation/0\n",
            "    is 29, but must be from -1 to 1\n",
            "    hint: write 0.29 for 29 %\n",
        );
    refuses_too_many_nights:
        r#""nights": 3"# => r#""nights": 367"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is 367, but must be a whole number from 0 to 366\n",
        );
    refuses_sun_in_the_polar_night:
        r#""lat": -20.49"# => r#""lat": -80"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:15:32  /climate/months/0/sun_hours (month 7)\n",
            "    is 5.6, but the sun does not rise at Pan edge in that month\n",
            "    hint: write 0\n",
        );
}

/// The climate of the base scenario, to be put in another one's place.
const MONTHLY: &str = r#"{ "kind": "monthly", "months": [
    { "month": 7, "sun_hours": 5.6, "day_min_c": 6, "day_max_c": 24, "kt_sd": 0.1 }
  ] }"#;

#[test]
fn refuses_a_weather_file_that_is_not_there() {
    let beside = [
        (
            "\"lat\": -20.5",
            "  base.json:14:63  /climate/lat\n    is given without `lon`, but must have it beside it\n",
        ),
        (
            "\"kt_autocorrelation\": [0.3]",
            concat!(
                "  base.json:14:78  /climate/kt_autocorrelation\n",
                "    does not belong to the kind `history`, but to `built-in` and `monthly`\n",
            ),
        ),
    ];
    for (key, told) in beside {
        let climate = format!(r#"{{ "kind": "history", "file": "daily.csv", {key} }}"#);
        let absent = concat!(
            "error: `base.json` has 2 problems\n",
            "\n",
            "  base.json:14:43  /climate/file\n",
            "    is `daily.csv`, but it cannot be read: no such file\n",
            "\n",
        );
        assert_eq!(
            refusal_of(&base_with(MONTHLY, &climate)),
            format!("{absent}{told}")
        );
    }
}

#[test]
fn refuses_a_monthly_climate_without_months() {
    assert_eq!(
        refusal_of(&base_with(MONTHLY, r#"{ "kind": "monthly" }"#)),
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:14:14  /climate/months\n",
            "    is missing, but must be a list with every month the trip touches\n",
        )
    );
}

#[test]
fn refuses_a_trip_of_more_than_a_year() {
    let leg = |nights: u32| {
        format!(
            r#"{{ "to": "Stop", "lat": -20, "lon": 25, "drive_hours": 1, "nights": {nights} }}"#
        )
    };
    let with_legs = |legs: &[String]| {
        base_with(MONTHLY, r#"{ "kind": "built-in" }"#).replace(
            r#""nights": 3, "mains": true }"#,
            &format!("\"nights\": 3 }},\n      {}", legs.join(",\n      ")),
        )
    };
    assert_eq!(
        refusal_of(&with_legs(&[leg(200), leg(200)])),
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:9:13  /itinerary/legs\n",
            "    have 403 nights together, but may have 366\n",
            "    hint: cut the trip into parts\n",
        )
    );
    // By hand: 3 nights, 100 drives of 100 h, and 8 h of waiting for 08:00 after every fourth.
    let driving: Vec<String> =
        vec![leg(0).replace(r#""drive_hours": 1"#, r#""drive_hours": 100"#); 100];
    assert_eq!(
        refusal_of(&with_legs(&driving)),
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:9:13  /itinerary/legs\n",
            "    make a trip of 427.7 days, but it may have 366\n",
            "    hint: cut the trip into parts\n",
        )
    );
    assert!(
        refusal_of(&with_legs(&vec![leg(0); 400]))
            .contains("has 401 entries, but must have from 1 to 400")
    );
}
