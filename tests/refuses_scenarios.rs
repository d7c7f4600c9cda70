//! Broken scenarios, each with the exact words that refuse it.
//!
//! One job: every kind of problem once. The builder and the sound scenario are in `one_run`.

mod one_run;

use one_run::{BASE, base_with, refusal_of};

/// One test a line: the piece of the sound scenario, what stands there instead, the message.
macro_rules! refuses {
    ($($name:ident: $piece:expr => $by:expr, $message:expr;)+) => {$(
        #[test]
        fn $name() {
            assert_eq!(refusal_of(&base_with($piece, $by)), $message);
        }
    )+};
}

refuses! {
    refuses_an_unknown_key:
        r#""current_a": 0.6"# => r#""curent_a": 0.6"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:56  /loads/1/curent_a (radio)\n",
            "    is not a known key\n",
            "    hint: did you mean `current_a`?\n",
        );
    refuses_an_unknown_key_unlike_any:
        r#""rated_a": 150"# => r#""rated_a": 150, "zzz": 1"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:35  /alternator/zzz\n",
            "    is not a known key\n",
            "    hint: known here: note, rated_a, idle_a, hot_derate, volts, vehicle_load_a, idle_share, efficiency\n",
        );
    refuses_a_share_written_in_per_cent:
        r#""reserve_soc": 0.1"# => r#""reserve_soc": 10"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:76  /banks/0/reserve_soc (main)\n",
            "    is 10, but must be from 0 to 1\n",
            "    hint: write 0.1 for 10 %\n",
        );
    refuses_a_capacity_of_nothing:
        r#""capacity_ah": 120"# => r#""capacity_ah": 0"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:56  /banks/0/capacity_ah (main)\n",
            "    is 0, but must be above 0 up to 100000\n",
        );
    refuses_a_missing_key:
        r#""capacity_ah": 80"# => r#""note": "?""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:19:5  /banks/1/capacity_ah (spare)\n",
            "    is missing, but must be a number above 0 up to 100000\n",
        );
    refuses_a_number_in_quotes:
        r#""panel_w": 200"# => r#""panel_w": "200""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:29:46  /solar/0/panel_w (roof)\n",
            "    is `200`, but must be a number from 0 to 100000\n",
            "    hint: write 200 without quotes\n",
        );
    refuses_a_null:
        r#""nights": 3"# => r#""nights": null"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is null, but must be a whole number from 0 to 366\n",
        );
    refuses_a_fraction_of_a_night:
        r#""nights": 3"# => r#""nights": 2.5"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is 2.5, but must be a whole number from 0 to 366\n",
        );
    refuses_a_number_beyond_all_bounds:
        r#""panel_w": 200"# => r#""panel_w": 1e999"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:29:46  /solar/0/panel_w (roof)\n",
            "    is 1e999, but must be a number below 1e308\n",
        );
    refuses_an_unknown_chemistry:
        r#""chemistry": "agm""# => r#""chemistry": "amg""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:19:35  /banks/1/chemistry (spare)\n",
            "    is `amg`, but must be `lfp`, `agm`, `gel` or `flooded`\n",
            "    hint: did you mean `agm`?\n",
        );
    refuses_an_unknown_kind_of_load:
        r#""kind": "steady""# => r#""kind": "permanent""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:46  /loads/1/kind (radio)\n",
            "    is `permanent`, but must be `steady`, `duty`, `hours`, `event` or `fridge`\n",
        );
    refuses_another_format:
        r#""format": 1"# => r#""format": 2"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:2:13  /format\n",
            "    is 2, but must be 1\n",
            "    hint: a newer program may have written this file\n",
        );
    refuses_another_system_voltage:
        r#""title": "Base""# => r#""system_voltage_v": 48"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:23  /system_voltage_v\n",
            "    is 48, but must be 12 or 24\n",
        );
    refuses_a_list_in_place_of_an_object:
        r#""alternator": { "rated_a": 150 }"# => r#""alternator": [150]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:17  /alternator\n",
            "    is a list, but must be an object with `rated_a`\n",
        );
    refuses_a_window_of_one_end:
        r#"["07:00", "21:00"]"# => r#"["07:00"]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:8:17  /itinerary/lived_in\n",
            "    has 1 entry, but must have 2\n",
        );
    refuses_a_time_that_is_none:
        r#""depart": "08:00""# => r#""depart": "8am""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:10:66  /itinerary/legs/0/depart (Pan edge)\n",
            "    is `8am`, but must be a time of day from `00:00` to `24:00`\n",
            "    hint: write 17:30 for half past five in the evening\n",
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
        );
    refuses_a_spread_out_of_order:
        r#""likely": 5.5"# => r#""likely": 9"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:24  /itinerary/legs/0/drive_hours (Pan edge)\n",
            "    has min 4, likely 9 and max 8, but must have them in this order\n",
        );
    refuses_a_doubled_key:
        r#""panel_w": 200"# => r#""panel_w": 200, "panel_w": 300"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:29:51  /solar/0/panel_w (roof)\n",
            "    stands twice in one object, first on line 29\n",
        );
    refuses_a_doubled_id:
        r#""id": "spare""# => r#""id": "main""#,
        concat!(
            "error: `base.json` has 2 problems\n",
            "\n",
            "  base.json:19:13  /banks/1/id (main)\n",
            "    is `main`, which is the id of /banks/0 already\n",
            "\n",
            "  base.json:25:60  /chargers/1/to (link)\n",
            "    closes a ring of banks that charge each other: main → main\n",
        );
    refuses_an_id_with_a_space:
        r#""id": "radio""# => r#""id": "the radio""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:13  /loads/1/id (the radio)\n",
            "    is `the radio`, but must be an id of 1 to 60 letters, digits, `_` and `-`\n",
        );
    refuses_a_reserved_id:
        r#""id": "air""# => r#""id": "standby""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:35:13  /loads/3/id (standby)\n",
            "    is `standby`, a word that the answers use for something else\n",
            "    hint: choose another id\n",
        );
    refuses_an_unknown_bank:
        r#""bank": "main", "kind": "steady""# => r#""bank": "mian", "kind": "steady""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:30  /loads/1/bank (radio)\n",
            "    is `mian`, but must be the id of a bank\n",
            "    hint: did you mean `main`?\n",
        );
    refuses_an_unknown_source:
        r#""from": "main""# => r#""from": "engine""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:25:46  /chargers/1/from (link)\n",
            "    is `engine`, but must be `alternator` or the id of a bank\n",
            "    hint: there is main, spare, starter, alternator\n",
        );
    refuses_a_ring_of_banks:
        r#""kind": "mains", "to": "main""# => r#""kind": "dc-dc", "from": "spare", "to": "main""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:26:61  /chargers/2/to (site)\n",
            "    closes a ring of banks that charge each other: spare → main → spare\n",
        );
    refuses_a_bank_that_charges_itself:
        r#""from": "main", "to": "spare""# => r#""from": "main", "to": "main""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:25:60  /chargers/1/to (link)\n",
            "    closes a ring of banks that charge each other: main → main\n",
        );
    refuses_a_reserve_below_the_cutoff:
        r#""reserve_soc": 0.1"# => r#""reserve_soc": 0.1, "cutoff_soc": 0.2"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:95  /banks/0/cutoff_soc (main)\n",
            "    is 0.2, but must be at most `reserve_soc`, which is 0.1\n",
        );
    refuses_no_alternator:
        "  \"alternator\": { \"rated_a\": 150 },\n" => "",
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:23:5  /chargers/0 (main-dcdc)\n",
            "    is fed from the alternator, but the file has no `alternator`\n",
            "    hint: add `\"alternator\": { \"rated_a\": 120 }` with your own figure\n",
        );
    refuses_a_mains_charger_on_the_alternator:
        r#""kind": "mains", "to": "main""# => r#""kind": "mains", "from": "alternator", "to": "main""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:26:46  /chargers/2/from (site)\n",
            "    is `alternator`, but a mains charger is fed from `mains` alone\n",
        );
    refuses_a_dcdc_charger_on_the_mains:
        r#""from": "main""# => r#""from": "mains""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:25:46  /chargers/1/from (link)\n",
            "    is `mains`, but a dc-dc charger is fed from `alternator` or a bank\n",
        );
    refuses_an_alternator_charger_that_always_works:
        r#""output_a": 40"# => r#""output_a": 40, "needs": "always""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:24:82  /chargers/0/needs (main-dcdc)\n",
            "    is `always`, but must be `driving` or `towing` for a charger fed from the alternator\n",
        );
    refuses_an_alternator_of_the_wrong_voltage:
        r#""rated_a": 150"# => r#""rated_a": 150, "volts": 28"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:44  /alternator/volts\n",
            "    is 28, but must be from 12 to 16 in a 12 V system\n",
        );
    refuses_an_idle_output_above_the_rating:
        r#""rated_a": 150"# => r#""rated_a": 150, "idle_a": 180"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:45  /alternator/idle_a\n",
            "    is 180, but must be at most `rated_a`, which is 150\n",
        );
    refuses_a_box_shared_across_banks:
        r#""to": "main", "panel_w""# => r#""to": "spare", "panel_w""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:29:79  /solar/0/shares (roof)\n",
            "    is `main-dcdc`, which charges `main`, but the panel charges `spare`\n",
            "    hint: one box charges one bank: leave out `shares` if there are two\n",
        );
    refuses_a_key_of_another_kind:
        r#""minutes": 12"# => r#""minutes": 12, "duty": 0.5"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:35:92  /loads/3/duty (air)\n",
            "    does not belong to the kind `event`, but to `duty`\n",
        );
    refuses_a_kind_without_its_key:
        r#""minutes": 12, "# => "",
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:35:5  /loads/3/minutes (air)\n",
            "    is missing, but must be from 0 to 1440, or a spread\n",
        );
    refuses_power_and_current_at_once:
        r#""power_w": 30"# => r#""power_w": 30, "current_a": 2"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:34:84  /loads/2/current_a (uplink)\n",
            "    is given beside `power_w`, but one of the two must be left out\n",
        );
    refuses_neither_power_nor_current:
        r#""current_a": 0.6, "# => "",
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:5  /loads/1 (radio)\n",
            "    has neither `power_w` nor `current_a`, but must have one of them\n",
        );
    refuses_more_hours_than_the_window_holds:
        r#""hours_per_day": 2"# => r#""hours_per_day": 6"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:34:88  /loads/2/hours_per_day (uplink)\n",
            "    is up to 6 h a day, but its window holds 5 h at most\n",
        );
    refuses_more_hours_than_the_night_holds:
        r#""hours_per_day": 2, "when": { "window": ["17:00", "22:00"] }"# => r#""hours_per_day": 15, "when": { "window": ["sunset", "sunrise"] }"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:34:88  /loads/2/hours_per_day (uplink)\n",
            "    is up to 15 h a day, but its window holds 13.1 h at most\n",
        );
    refuses_an_event_that_never_comes:
        r#""on": "arrive""# => r#""on": "arrive", "when": "ignition""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:35:5  /loads/3 (air)\n",
            "    can never be live: the engine stops on arrival\n",
        );
    refuses_an_hour_for_an_arrival:
        r#""on": "arrive""# => r#""on": "arrive", "at": "09:00""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:35:106  /loads/3/at (air)\n",
            "    does not belong to the event on `arrive`, but to `daily`\n",
        );
    refuses_a_fridge_beyond_its_compressor:
        r#""running_w": 45"# => r#""running_w": 12"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:32:83  /loads/0/rated (fridge)\n",
            "    draws 15.6 W on average, but `running_w` is 12: a compressor cannot run more than all the time\n",
        );
    refuses_a_data_sheet_no_warmer_than_inside:
        r#""at_ambient_c": 32"# => r#""at_ambient_c": 4"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:32:83  /loads/0/rated (fridge)\n",
            "    has 4 °C outside and 4 °C inside, but must be warmer outside\n",
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
    refuses_too_many_nights:
        r#""nights": 3"# => r#""nights": 367"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is 367, but must be a whole number from 0 to 366\n",
        );
    refuses_a_run_of_negative_length:
        r#""one_way_m": 4.5"# => r#""one_way_m": -4.5"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:72  /runs/0/one_way_m (feed)\n",
            "    is -4.5, but must be above 0 up to 200\n",
        );
    refuses_a_drop_limit_above_a_fifth:
        r#""one_way_m": 4.5"# => r#""one_way_m": 4.5, "drop_limit": 0.3"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:91  /runs/0/drop_limit (feed)\n",
            "    is 0.3, but must be above 0 up to 0.2\n",
        );
    refuses_an_unknown_insulation:
        r#""one_way_m": 4.5"# => r#""one_way_m": 4.5, "insulation_c": 100"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:93  /runs/0/insulation_c (feed)\n",
            "    is 100, but must be 60, 75, 80, 90, 105, 125 or 200\n",
        );
    refuses_a_run_to_nowhere:
        r#""to": "main-dcdc", "one_way_m""# => r#""to": "main-dcd", "one_way_m""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:46  /runs/0/to (feed)\n",
            "    is `main-dcd`, but must be `alternator` or the id of a bank, charger, panel or load\n",
            "    hint: did you mean `main-dcdc`?\n",
        );
    refuses_a_run_to_itself:
        r#""to": "main-dcdc", "one_way_m""# => r#""to": "starter", "one_way_m""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:46  /runs/0/to (feed)\n",
            "    is `starter`, where the run begins: it must end elsewhere\n",
        );
    refuses_a_run_that_carries_what_it_does_not_touch:
        r#""carries": ["main-dcdc"]"# => r#""carries": ["link"]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:89  /runs/0/carries/0 (feed)\n",
            "    is `link`, whose current does not pass from `starter` to `main-dcdc`\n",
        );
    refuses_a_run_that_carries_a_bank:
        r#""carries": ["main-dcdc"]"# => r#""carries": ["starter"]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:89  /runs/0/carries/0 (feed)\n",
            "    is `starter`, but must be the id of a charger, panel or load\n",
        );
    refuses_an_ambiguous_end:
        r#""id": "radio""# => r#""id": "starter""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:38:29  /runs/0/from (feed)\n",
            "    is `starter`, which is the id of both /banks/2 and /loads/1\n",
            "    hint: choose another id\n",
        );
    refuses_an_aim_of_certainty:
        r#""title": "Base""# => r#""aim": { "chance": 1 }"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:22  /aim/chance\n",
            "    is 1, but must be above 0 and below 1\n",
        );
    refuses_a_comment:
        r#""format": 1,"# => r#""format": 1, // the version"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:2:16\n",
            "    has a comment, which JSON does not allow\n",
            "    hint: write comments as `\"note\": \"…\"`\n",
        );
    refuses_a_trailing_comma:
        r#""rated_a": 150 }"# => r#""rated_a": 150, }"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:33\n",
            "    has a comma with nothing after it\n",
            "    hint: remove the comma before the closing bracket\n",
        );
    refuses_a_missing_comma:
        r#""format": 1,"# => r#""format": 1"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:3\n",
            "    has `\"` where `,` or `}` must be\n",
        );
    refuses_a_decimal_without_its_zero:
        r#""reserve_soc": 0.1"# => r#""reserve_soc": .1"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:76\n",
            "    has `.1`, which is not a number of JSON\n",
            "    hint: put a 0 before the point\n",
        );
    refuses_an_open_string:
        r#""title": "Base","# => r#""title": "Base,"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:12\n",
            "    has a string without its closing quote\n",
        );
    refuses_an_unknown_escape:
        r#""title": "Base""# => r#""title": "C:\camp""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:15\n",
            "    has `\\c` in a string, which JSON does not know\n",
        );
    refuses_a_raw_control_character:
        r#""title": "Base""# => "\"title\": \"Ba\tse\"",
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:15\n",
            "    has the control character U+0009 in a string, but must have it escaped\n",
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

#[test]
fn refuses_a_scenario_of_start_banks_alone() {
    let text = base_with(
        r#""chemistry": "lfp""#,
        r#""role": "start", "chemistry": "lfp""#,
    )
    .replace(
        r#""chemistry": "agm""#,
        r#""role": "start", "chemistry": "agm""#,
    );
    assert_eq!(
        refusal_of(&text),
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:17:12  /banks\n",
            "    has start banks only, but must have at least one house bank\n",
            "    hint: `role` is `house` unless it says `start`\n",
        )
    );
}

/// The climate of the base scenario, to be put in another one's place.
const MONTHLY: &str = r#"{ "kind": "monthly", "months": [
    { "month": 7, "sun_hours": 5.6, "day_min_c": 6, "day_max_c": 24, "kt_sd": 0.1 }
  ] }"#;

#[test]
fn refuses_a_weather_file_that_is_not_there() {
    let climate = r#"{ "kind": "history", "file": "daily.csv", "lat": -20.5 }"#;
    assert_eq!(
        refusal_of(&base_with(MONTHLY, climate)),
        concat!(
            "error: `base.json` has 2 problems\n",
            "\n",
            "  base.json:14:43  /climate/file\n",
            "    is `daily.csv`, but it cannot be read: no such file\n",
            "\n",
            "  base.json:14:63  /climate/lat\n",
            "    is given without `lon`, but must have it beside it\n",
        )
    );
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
            "    make a trip of 428 days, but it may have 366\n",
            "    hint: cut the trip into parts\n",
        )
    );
    assert!(
        refusal_of(&with_legs(&vec![leg(0); 400]))
            .contains("has 401 entries, but must have from 1 to 400")
    );
}

#[test]
fn refuses_every_problem_in_one_go() {
    let text = base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#)
        .replace(r#""current_a": 0.6"#, r#""curent_a": 0.6"#)
        .replace(r#""nights": 3"#, r#""nights": -1"#);
    assert_eq!(
        refusal_of(&text),
        concat!(
            "error: `base.json` has 3 problems\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is -1, but must be a whole number from 0 to 366\n",
            "\n",
            "  base.json:18:76  /banks/0/reserve_soc (main)\n",
            "    is 10, but must be from 0 to 1\n",
            "    hint: write 0.1 for 10 %\n",
            "\n",
            "  base.json:33:56  /loads/1/curent_a (radio)\n",
            "    is not a known key\n",
            "    hint: did you mean `current_a`?\n",
        )
    );
}

#[test]
fn refuses_what_is_no_object_and_what_is_too_deep() {
    assert!(refusal_of("").contains("base.json:1:1\n    ends where a value must be\n"));
    assert!(refusal_of("[1, 2]").contains("is a list, but must be an object with `format`"));
    let deep = "[".repeat(100_000);
    assert!(refusal_of(&deep).contains("base.json:1:33\n    is nested more than 32 levels deep\n"));
    let deep_note = base_with(
        r#""title": "Base""#,
        &format!(r#""note": {}1{}"#, "[".repeat(40), "]".repeat(40)),
    );
    assert!(refusal_of(&deep_note).contains("is nested more than 32 levels deep"));
}

/// A mark at the start and CR LF are accepted, and lines and columns stay true.
#[test]
fn accepts_a_byte_order_mark_and_crlf() {
    let none = |_: &str| Err(String::new());
    let windows = |text: &str| format!("\u{feff}{}", text.replace('\n', "\r\n"));
    assert!(tideover::scenario::read(&windows(BASE), "base.json", &none).is_ok());
    let broken = base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#);
    assert_eq!(refusal_of(&windows(&broken)), refusal_of(&broken));
}

/// No text made by cutting or doubling the sound scenario brings the reader down.
#[test]
fn law_no_panic_on_cut_or_doubled_text() {
    let none = |_: &str| Err(String::new());
    for at in (0..BASE.trim_end().len()).filter(|at| BASE.is_char_boundary(*at)) {
        let cut = &BASE[..at];
        assert!(
            tideover::scenario::read(cut, "base.json", &none).is_err(),
            "cut at {at}"
        );
        let doubled = format!("{cut}{}", &BASE[at.saturating_sub(7)..]);
        let _ = tideover::scenario::read(&doubled, "base.json", &none);
    }
}

/// Every value of the sound scenario, replaced by each of these, is answered without a panic.
#[test]
fn law_no_panic_on_any_value_replaced() {
    let none = |_: &str| Err(String::new());
    let whole: serde_json::Value = serde_json::from_str(BASE).expect("JSON");
    let mut paths = Vec::new();
    gather(&whole, String::new(), &mut paths);
    for path in &paths {
        for by in [
            "null", "-1", "0", "1e-300", "1e300", "\"\"", "\"main\"", "[]", "{}", "[[]]", "true",
        ] {
            let mut broken = whole.clone();
            let by = serde_json::from_str(by).expect("JSON");
            *broken.pointer_mut(path).expect("gathered") = by;
            let _ = tideover::scenario::read(&broken.to_string(), "base.json", &none);
        }
    }
}

fn gather(value: &serde_json::Value, path: String, paths: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(members) => {
            for (key, member) in members {
                gather(member, format!("{path}/{key}"), paths);
            }
        }
        serde_json::Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                gather(item, format!("{path}/{index}"), paths);
            }
        }
        _ => {}
    }
    paths.push(path);
}
