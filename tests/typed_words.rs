//! Words and figures as people type them: each message in full.
//!
//! One job: what is refused gets the very text to write, and no figure changes its unit on the way. Figures by
//! hand: 12 ft are 3.6576 m, 38 °F are 3.333 °C, 20 lb are 9.072 kg; gauge 10 has 5.261 mm² by ASTM B258.

mod one_run;

use one_run::{base_with, refusal_of};

/// A word of the base scenario, where it stands, what is asked there; then what someone types, and the hint.
type Typed = (
    &'static str,
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
);

/// One word in the place of another.
const WORDS: [Typed; 4] = [
    (
        r#""chemistry": "agm""#,
        "19:35  /banks/1/chemistry (spare)",
        "`lfp`, `agm`, `gel` or `flooded`",
        &[
            (
                "lithium",
                r#"write "lfp", lithium iron phosphate (LiFePO4)"#,
            ),
            (
                "LiFePO4",
                r#"write "lfp", lithium iron phosphate (LiFePO4)"#,
            ),
            (
                "Li-ion",
                r#"write "lfp" if it is lithium iron phosphate (LiFePO4); no other lithium chemistry is modelled"#,
            ),
            (
                "lead-acid",
                r#"write "flooded" for lead-acid with caps to top up, "agm" or "gel" for a sealed one"#,
            ),
            ("AGM", r#"write "agm""#),
        ],
    ),
    (
        r#""depart": "08:00""#,
        "10:66  /itinerary/legs/0/depart (Pan edge)",
        "a time of day from `00:00` to `24:00`",
        &[
            ("5:00 PM", r#"write "17:00""#),
            ("5pm", r#"write "17:00""#),
            ("0730", r#"write "07:30""#),
            ("17h30", r#"write "17:30""#),
        ],
    ),
    (
        "2027-07-03T07:30",
        "5:14  /itinerary/start",
        "a local date and time such as `2027-07-03T07:30`, from the year 1950 to 2150",
        &[
            ("2026-10-09 17:00", r#"write "2026-10-09T17:00""#),
            ("2026-10-09 5:00 PM", r#"write "2026-10-09T17:00""#),
            (
                "2026-10-09T17:00Z",
                r#"write "2026-10-09T17:00": local time, the zone is `time_zone`'s"#,
            ),
            (
                "2026-10-09T17:00-05:00",
                r#"write "2026-10-09T17:00": local time, the zone is `time_zone`'s"#,
            ),
            (
                "2026-10-09",
                r#"write "2026-10-09T08:00", with your own time of day"#,
            ),
            (
                "10/09/2026 17:00",
                r#"write "2026-10-09T17:00" if the month stands first, "2026-09-10T17:00" if the day does"#,
            ),
            ("10/25/2026 5:00 PM", r#"write "2026-10-25T17:00""#),
        ],
    ),
    (
        "Africa/Gaborone",
        "6:18  /itinerary/time_zone",
        "an IANA time zone such as `Africa/Gaborone`",
        &[
            (
                "EST",
                r#"write "America/New_York", or leave `time_zone` out for that of the place where the trip begins"#,
            ),
            (
                "PST",
                r#"write "America/Los_Angeles", or leave `time_zone` out for that of the place where the trip begins"#,
            ),
        ],
    ),
];

/// A piece of the base scenario, what someone types in its place, and what they are told, without the first lines.
const TYPED: [(&str, &str, &str); 19] = [
    (
        r#"["17:00", "22:00"]"#,
        r#"["5:00 PM", "10 p.m."]"#,
        concat!(
            "  base.json:34:112  /loads/2/when/window/0 (uplink)\n",
            "    is `5:00 PM`, but must be a time of day such as `18:30`, `sunrise`, `sunset` or those with an offset up to 12 h such as `sunset+0:30`\n",
            "    hint: write \"17:00\"\n",
            "\n",
            "  base.json:34:123  /loads/2/when/window/1 (uplink)\n",
            "    is `10 p.m.`, but must be a time of day such as `18:30`, `sunrise`, `sunset` or those with an offset up to 12 h such as `sunset+0:30`\n",
            "    hint: write \"22:00\"\n"
        ),
    ),
    (
        r#""one_way_m": 4.5"#,
        r#""one_way_m": "12 ft""#,
        concat!(
            "  base.json:38:72  /runs/0/one_way_m (feed)\n",
            "    is `12 ft`, but must be a number above 0 up to 200\n",
            "    hint: write 3.658 for 12 ft, or \"one_way_ft\": 12 in its place\n"
        ),
    ),
    (
        r#""one_way_m": 4.5"#,
        r#""one_way_feet": 12"#,
        concat!(
            "  base.json:38:59  /runs/0/one_way_feet (feed)\n",
            "    is not a known key\n",
            "    hint: write \"one_way_m\": 3.658 for 12 ft\n"
        ),
    ),
    (
        r#""one_way_m": 4.5"#,
        r#""one_way_cm": 366"#,
        concat!(
            "  base.json:38:59  /runs/0/one_way_cm (feed)\n",
            "    is not a known key\n",
            "    hint: write \"one_way_m\": 3.66 for 366 cm\n"
        ),
    ),
    (
        r#""one_way_m": 4.5"#,
        r#""one_way_m": 3.6576, "one_way_ft": 12"#,
        concat!(
            "  base.json:38:80  /runs/0/one_way_ft (feed)\n",
            "    is the same quantity as `one_way_m`, and one of the two must be left out\n"
        ),
    ),
    (
        r#""one_way_m": 4.5"#,
        r#""one_way_ft": 1200"#,
        concat!(
            "  base.json:38:73  /runs/0/one_way_ft (feed)\n",
            "    is 1200, but must be above 0 up to 656.2 ft\n"
        ),
    ),
    (
        r#""one_way_m": 4.5"#,
        r#""one_way_m": 4.5, "mm2": "10 AWG""#,
        concat!(
            "  base.json:38:84  /runs/0/mm2 (feed)\n",
            "    is `10 AWG`, but must be a number from 0.2 to 400\n",
            "    hint: write 5.261 for AWG 10, its area in mm²\n"
        ),
    ),
    (
        r#""one_way_m": 4.5"#,
        r#""one_way_m": 4.5, "mm2": "2/0 AWG""#,
        concat!(
            "  base.json:38:84  /runs/0/mm2 (feed)\n",
            "    is `2/0 AWG`, but must be a number from 0.2 to 400\n",
            "    hint: write 67.43 for AWG 2/0, its area in mm²\n"
        ),
    ),
    (
        r#""running_w": 45"#,
        r#""running_w": 45, "set_c": "38 °F""#,
        concat!(
            "  base.json:32:83  /loads/0/set_c (fridge)\n",
            "    is `38 °F`, but must be a number from -30 to 20\n",
            "    hint: write 3.333 for 38 °F, or \"set_f\": 38 in its place\n"
        ),
    ),
    (
        r#""running_w": 45"#,
        r#""running_w": 45, "set_f": 380"#,
        concat!(
            "  base.json:32:83  /loads/0/set_f (fridge)\n",
            "    is 380, but must be from -22 to 68 °F\n"
        ),
    ),
    (
        r#""running_w": 45"#,
        r#""running_w": "45 W""#,
        concat!(
            "  base.json:32:70  /loads/0/running_w (fridge)\n",
            "    is `45 W`, but must be a number above 0 up to 5000\n",
            "    hint: write 45 without the unit\n"
        ),
    ),
    (
        r#""panel_w": 200"#,
        r#""panel_kw": 0.2"#,
        concat!(
            "  base.json:29:35  /solar/0/panel_kw (roof)\n",
            "    is not a known key\n",
            "    hint: write \"panel_w\": 200 for 0.2 kW\n"
        ),
    ),
    (
        r#""capacity_ah": 120, "reserve_soc": 0.1"#,
        r#""capacity_wh": 1280, "reserve_soc": 0.1"#,
        concat!(
            "  base.json:18:41  /banks/0/capacity_wh (main)\n",
            "    is not a known key\n",
            "    hint: did you mean `capacity_ah`? It is in Ah, not in Wh\n"
        ),
    ),
    (
        r#""capacity_ah": 120,"#,
        r#""capacity_ah": 120, "mass_kg": "20 lb","#,
        concat!(
            "  base.json:18:72  /banks/0/mass_kg (main)\n",
            "    is `20 lb`, but must be a number from 0 to 100000\n",
            "    hint: write 9.072 for 20 lb, or \"mass_lb\": 20 in its place\n"
        ),
    ),
    (
        r#""capacity_ah": 120,"#,
        r#""capacity_ah": 120, "mass_kg": "20 stone","#,
        concat!(
            "  base.json:18:72  /banks/0/mass_kg (main)\n",
            "    is `20 stone`, but must be a number from 0 to 100000\n"
        ),
    ),
    (
        r#""reserve_soc": 0.1"#,
        r#""reserve_soc": "10 %""#,
        concat!(
            "  base.json:18:76  /banks/0/reserve_soc (main)\n",
            "    is `10 %`, but must be a number from 0 to 1\n",
            "    hint: write 0.1 for 10 %\n"
        ),
    ),
    (
        r#""drive_hours": { "min": 4, "likely": 5.5, "max": 8 }"#,
        r#""drive_hours": { "min": "4 h", "likely": 5.5, "max": "480 min" }"#,
        concat!(
            "  base.json:11:33  /itinerary/legs/0/drive_hours/min (Pan edge)\n",
            "    is `4 h`, but must be a number from 0 to 100\n",
            "    hint: write 4 without the unit\n",
            "\n",
            "  base.json:11:62  /itinerary/legs/0/drive_hours/max (Pan edge)\n",
            "    is `480 min`, but must be a number from 0 to 100\n",
            "    hint: write 8 for 480 min\n"
        ),
    ),
    (
        r#""drive_hours": { "min": 4, "likely": 5.5, "max": 8 }"#,
        r#""distance_mi": 200, "speed_mph": 0.3"#,
        concat!(
            "  base.json:11:42  /itinerary/legs/0/speed_mph (Pan edge)\n",
            "    is 0.3, but must be from 0.621 to 124.3 mph\n"
        ),
    ),
    (
        r#""current_a": 0.6"#,
        r#""current_a": "7 W""#,
        concat!(
            "  base.json:33:69  /loads/1/current_a (radio)\n",
            "    is `7 W`, but must be a number from 0 to 5000\n",
            "    hint: A is asked here, not W\n"
        ),
    ),
];

fn assert_told(piece: &str, typed: &str, told: &str) {
    let refusal = refusal_of(&base_with(piece, typed));
    let (_, found) = refusal.split_once("\n\n").expect("a head and a problem");
    assert_eq!(found, told, "{typed}");
}

#[test]
fn refuses_what_people_type_with_the_text_to_write() {
    for (piece, typed, told) in TYPED {
        assert_told(piece, typed, told);
    }
    for (piece, place, asked, all) in WORDS {
        for (typed, hint) in all {
            let told = format!(
                "  base.json:{place}\n    is `{typed}`, but must be {asked}\n    hint: {hint}\n"
            );
            // The word alone, or a key with its word.
            let by = match piece.split_once(": ") {
                Some((key, _)) => format!("{key}: \"{typed}\""),
                None => (*typed).to_owned(),
            };
            assert_told(piece, &by, &told);
        }
    }
}

/// The text of a hint is accepted, and means what was typed.
#[test]
fn by_hand_keys_in_units_of_the_land() {
    let none = |_: &str| Err(String::new());
    let length_m = |by: &str| {
        let text = base_with(r#""one_way_m": 4.5"#, by);
        let reading = tideover::scenario::read(&text, "a.json", &none);
        reading.expect("sound").scenario.runs[0].one_way_m
    };
    assert!((length_m(r#""one_way_ft": 12"#) - 3.6576).abs() < 1e-9);
    // A change in the other unit stands in for the file's own.
    let reading = tideover::scenario::read(one_run::BASE, "a.json", &none).expect("sound");
    let change = tideover::scenario::Changes::one("runs.feed.one_way_ft", 12);
    let changed = reading.scenario.with(&change).expect("sound");
    assert!((changed.runs[0].one_way_m - 3.6576).abs() < 1e-9);
    let text = base_with(
        r#""drive_hours": { "min": 4, "likely": 5.5, "max": 8 }"#,
        r#""distance_mi": 200, "speed_mph": { "min": 40, "likely": 50, "max": 60 }, "height_ft": 3000"#,
    );
    let text = text.replace(r#""running_w": 45"#, r#""running_w": 45, "set_f": 38"#);
    let text = text.replace(r#""day_min_c": 6"#, r#""day_min_f": 43"#);
    let text = text.replace(
        r#""capacity_ah": 120,"#,
        r#""capacity_ah": 120, "mass_lb": 31,"#,
    );
    let text = text.replace(
        r#""one_way_m": 4.5"#,
        r#""one_way_ft": 12, "insulation_f": 221"#,
    );
    let reading = tideover::scenario::read(&text, "a.json", &none).expect("sound");
    let leg = &reading.scenario.itinerary.legs[0];
    let near =
        |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-6, "{found} for {wanted}");
    near(leg.drive_hours.likely, 4.0);
    near(leg.drive_hours.max, 5.0);
    near(leg.stop.height_m.expect("given"), 914.4);
    near(
        reading.scenario.banks[0].mass_kg.expect("given"),
        14.061_363,
    );
    let tideover::scenario::LoadKind::Fridge(fridge) = reading.scenario.loads[0].kind else {
        panic!("a fridge");
    };
    near(fridge.set_c, 10.0 / 3.0);
}
