//! Choices that cannot be worked out, each with the exact words that refuse it.

mod one_run;

use one_run::{BASE, Tideover, base_with};

fn refused<const N: usize>(args: [&str; N], message: &str) {
    let ran = Tideover::new()
        .scenario(BASE)
        .args(args)
        .fails(2)
        .stderr(message);
    assert_eq!(
        ran.files(),
        [std::path::PathBuf::from("base.json")],
        "nothing is written"
    );
}

#[test]
fn refuses_an_unknown_entry_with_a_suggestion() {
    refused(
        [
            "compare",
            "base.json",
            "--vary",
            "banks.mian.capacity_ah=100,200",
        ],
        "error: `--vary banks.mian.capacity_ah`: `banks` has no `mian`, but has main, spare, starter\n\n    hint: did you mean `main`?\n",
    );
}

#[test]
fn refuses_an_unknown_key_in_the_words_of_the_scenario() {
    refused(
        [
            "compare",
            "base.json",
            "--vary",
            "banks.main.capcity_ah=100,200",
        ],
        "error: option `main.capcity_ah 100` does not fit `base.json`\n\n  /banks/0/capcity_ah (main)\n    is not a known key\n    hint: did you mean `capacity_ah`?\n",
    );
}

#[test]
fn refuses_an_option_that_breaks_the_scenario() {
    let ran = Tideover::new()
        .scenario(BASE)
        .args([
            "compare",
            "base.json",
            "--option",
            "odd:banks.main.reserve_soc=10",
        ])
        .fails(2);
    let said = ran.stderr_text();
    assert!(said.starts_with("error: option `odd` does not fit `base.json`\n\n  /banks/0/reserve_soc (main)\n    is 10, but must be"), "{said}");
}

#[test]
fn refuses_nothing_to_compare() {
    refused(
        ["compare", "base.json"],
        "error: there is nothing to compare\n\n    hint: give --vary banks.main.capacity_ah=100,200 or --option NAME:KEY=VALUE\n",
    );
}

#[test]
fn refuses_too_many_options() {
    refused(
        [
            "compare",
            "base.json",
            "--vary",
            "banks.main.capacity_ah=1,2,3,4,5,6,7,8,9",
            "--vary",
            "solar.roof.panel_w=1,2,3,4,5,6,7,8,9",
        ],
        "error: `--vary …`: makes 81 options, but at most 64 are compared at once\n\n    hint: vary fewer keys or give fewer values\n",
    );
}

#[test]
fn refuses_runs_without_chance_or_of_unlike_length() {
    refused(
        ["why", "base.json", "--typical"],
        "error: `--typical`: this command compares chances, and a trip without chance has none\n",
    );
    refused(
        ["shed", "base.json", "--precision", "0.01"],
        "error: `--precision 0.01`: this command needs the same trials in every run: give --trials\n",
    );
}

#[test]
fn refuses_topping_up_without_a_charger_on_the_alternator() {
    let text = base_with(
        r#"{ "id": "main-dcdc", "kind": "dc-dc", "to": "main", "output_a": 40 },"#,
        r#"{ "id": "main-dcdc", "kind": "mains", "to": "main", "output_a": 40 },"#,
    );
    Tideover::new()
        .scenario(&text)
        .args(["topup", "base.json", "--trials", "10"])
        .fails(2)
        .stderr("error: no charger depends on the alternator: driving charges no house bank\n");
}

#[test]
fn refuses_a_map_against_what_is_no_number() {
    refused(
        ["topup", "base.json", "--against", "solar.roof.mount"],
        "error: `--against solar.roof.mount`: must be a number above 0 in the scenario\n",
    );
}

#[test]
fn refuses_shedding_where_all_is_kept() {
    let text = BASE
        .replace(r#""kind": "steady","#, r#""kind": "steady", "keep": true,"#)
        .replace(r#""kind": "hours","#, r#""kind": "hours", "keep": true,"#)
        .replace(r#""kind": "event","#, r#""kind": "event", "keep": true,"#);
    Tideover::new()
        .scenario(&text)
        .args(["shed", "base.json", "--trials", "10"])
        .fails(2)
        .stderr("error: no load may be switched off: all are fridges, marked `keep`, or on a start bank\n");
}
