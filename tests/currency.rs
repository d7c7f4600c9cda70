//! The currency of prices, wherever they are shown.

mod one_run;

use one_run::{Tideover, base_with, refusal_of};

fn priced() -> String {
    base_with(
        r#""title": "Base","#,
        r#""title": "Base", "currency": "CAD","#,
    )
    .replace(
        r#""capacity_ah": 120,"#,
        r#""capacity_ah": 120, "price": 1200, "price_per_ah": 10,"#,
    )
}

#[test]
fn law_the_currency_stands_beside_prices() {
    let ran = Tideover::new()
        .scenario(&priced())
        .args([
            "compare",
            "base.json",
            "--vary",
            "banks.main.capacity_ah=120,200",
            "--trials",
            "64",
            "--step",
            "60",
        ])
        .succeeds()
        .stdout_has("CAD");
    let read = |name: &str| {
        std::fs::read_to_string(ran.folder().join("output/base").join(name)).expect("written")
    };
    assert!(read("compare.svg").contains("price CAD 2,000"));
    assert!(read("compare.json").contains("\"currency\": \"CAD\""));
    let report = Tideover::new()
        .scenario(&priced())
        .args([
            "report",
            "base.json",
            "--compare",
            "banks.main.capacity_ah=120,200",
            "--trials",
            "64",
            "--step",
            "60",
        ])
        .succeeds();
    let page =
        std::fs::read_to_string(report.folder().join("output/base/report.html")).expect("written");
    assert!(page.contains("CAD 2,000"), "in the report");
}

#[test]
fn refuses_what_is_no_currency() {
    for (typed, told) in [
        (
            "cad",
            "is `cad`, but must be three capital letters, such as `CAD`\n    hint: write \"CAD\"\n",
        ),
        ("$", "has 1 character, but must have 3\n"),
        (
            "A$1",
            "is `A$1`, but must be three capital letters, such as `CAD`\n",
        ),
    ] {
        let by = format!(r#""title": "Base", "currency": "{typed}","#);
        let refusal = refusal_of(&base_with(r#""title": "Base","#, &by));
        assert!(
            refusal.contains(&format!("/currency\n    {told}")),
            "{refusal}"
        );
    }
}
