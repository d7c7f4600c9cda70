//! Broken banks, chargers, panels, loads and runs, each with the exact words that refuse it.
//!
//! One job: what the parts of a system must be to each other. The sound scenario is in `one_run`.

mod one_run;

use one_run::{base_with, refusal_of};

refuses! {
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
            "    is `main-dcd`, but must be `alternator` or the id of a bank, charger, panel, inverter, load or part of `distribution`\n",
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
