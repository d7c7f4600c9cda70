//! Every default of the scenario file, with its reason.
//!
//! One job: the one place where a value is assumed that the file does not give. `check` prints
//! what of it was used. Reasons name a source where there is one; "common practice" has none.

use super::{Chemistry, Controller, Kept, PointKind, Role, Senses};

/// An assumed value and why it is assumed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumption<T> {
    /// The value.
    pub value: T,
    /// Why this one.
    pub reason: &'static str,
}

const fn assume<T>(value: T, reason: &'static str) -> Assumption<T> {
    Assumption { value, reason }
}

/// `title`, where the file's name gives none.
pub const TITLE: Assumption<&str> = assume("untitled trip", "the file names none");
/// `system_voltage_v`.
pub const SYSTEM_VOLTAGE_V: Assumption<f64> = assume(12.0, "most touring vehicles have 12 V");
/// `aim.chance`.
pub const AIM_CHANCE: Assumption<f64> = assume(0.9, "nine trips in ten shall go well");
/// `climate`.
pub const CLIMATE: Assumption<&str> = assume(
    "built-in",
    "the world climate knows every stop by its place and date",
);

/// `depart` of a leg, minutes after midnight.
pub const DEPART_MIN: Assumption<u16> = assume(8 * 60, "after breakfast");
/// `depart_spread_min`.
pub const DEPART_SPREAD_MIN: Assumption<f64> = assume(0.0, "departure is taken as punctual");
/// `nights`.
pub const NIGHTS: Assumption<u32> = assume(0, "a leg without nights passes through");
/// `local_drive_hours`.
pub const LOCAL_DRIVE_HOURS: Assumption<f64> = assume(
    0.0,
    "on the safe side: the vehicle stays parked on days without a leg",
);
/// `local_depart`, minutes after midnight.
pub const LOCAL_DEPART_MIN: Assumption<u16> = assume(10 * 60, "after a slow morning");
/// `shade`.
pub const SHADE: Assumption<f64> = assume(0.0, "open ground");
/// `mains`.
pub const MAINS: Assumption<bool> = assume(false, "no powered site unless it is named");
/// `heated`.
pub const HEATED: Assumption<bool> = assume(false, "no heater unless it is named");
/// Reason for `kt_autocorrelation`, taken as that of [`DayPersistence::default`].
///
/// [`DayPersistence::default`]: super::DayPersistence
pub const KT_AUTOCORRELATION_REASON: &str = "a day is a little like the ones before it, by 1 to 10 days: medians of fifteen measured regions";
/// `season_days` of a weather file.
pub const SEASON_DAYS: Assumption<u32> = assume(
    20,
    "near enough to the date to be its season, wide enough to give many runs of days",
);

/// `role` of a bank.
pub const ROLE: Assumption<Role> = assume(Role::House, "a bank feeds loads unless it says `start`");
/// `start_soc`.
pub const START_SOC: Assumption<f64> = assume(1.0, "one leaves with full banks");

/// `reserve_soc` by chemistry.
#[must_use]
pub fn reserve_soc(chemistry: Chemistry) -> Assumption<f64> {
    if chemistry.is_lead_acid() {
        assume(
            0.5,
            "deeper discharge shortens the life of lead-acid (common practice)",
        )
    } else {
        assume(
            0.1,
            "lithium may use 80 to 90 % of its capacity (common practice)",
        )
    }
}

/// `cutoff_soc` by chemistry.
#[must_use]
pub fn cutoff_soc(chemistry: Chemistry) -> Assumption<f64> {
    if chemistry.is_lead_acid() {
        assume(
            0.2,
            "a low-voltage disconnect saves lead-acid from deep discharge (common practice)",
        )
    } else {
        assume(
            0.02,
            "the battery's own protection disconnects it when nearly empty",
        )
    }
}

/// `max_charge_a` per Ah of capacity, 1/h.
#[must_use]
pub fn max_charge_c(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Lfp => assume(0.5, "0.5 C, lithium (common practice)"),
        Chemistry::Agm => assume(
            0.25,
            "0.25 C, AGM (common practice: lead-acid 0.1 to 0.25 C)",
        ),
        Chemistry::Gel => assume(0.2, "0.2 C, gel (common practice: lead-acid 0.1 to 0.25 C)"),
        Chemistry::Flooded => assume(
            0.2,
            "0.2 C, flooded (common practice: lead-acid 0.1 to 0.25 C)",
        ),
    }
}

/// `max_discharge_a` per Ah of capacity, 1/h.
#[must_use]
pub fn max_discharge_c(chemistry: Chemistry) -> Assumption<f64> {
    if chemistry.is_lead_acid() {
        assume(
            1.0,
            "1 C; what lead-acid gives at it is limited by its available tank",
        )
    } else {
        assume(
            1.0,
            "1 C, what the protection of a lithium battery usually allows (common practice)",
        )
    }
}

/// `resistance_mohm` times capacity and divided by 12 V blocks in series, Ω·Ah.
#[must_use]
pub fn resistance_ohm_ah(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Lfp => assume(
            0.8,
            "0.8 Ω·Ah per 12 V block, with protection and terminals",
        ),
        Chemistry::Agm => assume(0.7, "0.7 Ω·Ah per 12 V block of AGM"),
        Chemistry::Gel => assume(0.8, "0.8 Ω·Ah per 12 V block of gel"),
        Chemistry::Flooded => assume(1.0, "1.0 Ω·Ah per 12 V block of flooded cells"),
    }
}

/// Absorption voltage per 12 V of system voltage; the file has no key for it.
///
/// # Source
/// Data sheets: lithium 14.2 to 14.6 V, flooded 14.8 V, AGM 14.1 to 14.4 V; gel common practice.
#[must_use]
pub fn absorption_v(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Lfp | Chemistry::Agm => assume(14.4, "absorption voltage of a 12 V block"),
        Chemistry::Gel => assume(14.2, "absorption voltage of a 12 V block"),
        Chemistry::Flooded => assume(14.8, "absorption voltage of a 12 V block"),
    }
}

/// Self-discharge, share a month of 30 days; the file has no key for it. Common practice.
#[must_use]
pub fn self_discharge_per_month(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Flooded => assume(0.05, "self-discharge of flooded cells (common practice)"),
        _ => assume(0.03, "self-discharge (common practice)"),
    }
}

/// `kept` of a bank.
#[must_use]
pub fn bank_kept(role: Role, trailer: bool) -> Assumption<Kept> {
    match (trailer, role) {
        (true, _) => assume(Kept::Box, "a trailer warms like a box"),
        (_, Role::Start) => assume(Kept::EngineBay, "where most vehicles have it"),
        (_, Role::House) => assume(Kept::Cabin, "inside the vehicle"),
    }
}

/// `trailer`.
pub const TRAILER: Assumption<bool> = assume(false, "in the towing vehicle");

/// `standby_ma` of a bank.
#[must_use]
pub fn standby_ma(role: Role, chemistry: Chemistry) -> Assumption<f64> {
    match (role, chemistry) {
        (Role::Start, _) => assume(
            30.0,
            "electronics of the parked vehicle take 20 to 50 mA (common practice)",
        ),
        (Role::House, Chemistry::Lfp) => assume(
            5.0,
            "protection circuit; a monitor comes on top (from memory: 1 to 20 mA)",
        ),
        (Role::House, _) => assume(
            0.0,
            "lead-acid has no protection circuit; give a monitor's draw",
        ),
    }
}

/// `idle_a` of the alternator over its `rated_a`.
pub const IDLE_OVER_RATED: Assumption<f64> = assume(
    0.5,
    "half of the rating at idle (from memory: 0.4 to 0.6, after ISO 8854)",
);
/// `hot_derate`.
pub const HOT_DERATE: Assumption<f64> = assume(
    0.85,
    "output at ‹90 to 100 °C› over output at ‹23 °C› (from memory: 0.75 to 0.85)",
);
/// `volts` per 12 V of system voltage.
pub const ALTERNATOR_V: Assumption<f64> = assume(
    14.2,
    "a fixed regulator holds 13.8 to 14.7 V (common practice)",
);
/// `vehicle_load_a` at 12 V; half of it at 24 V.
pub const VEHICLE_LOAD_A: Assumption<f64> = assume(
    35.0,
    "engine, lamps and blower: 350 to 750 W (EU 2017/785) at 14.3 V are 24 to 52 A",
);
/// `idle_share`.
pub const IDLE_SHARE: Assumption<f64> =
    assume(0.1, "a tenth of engine time: gates, towns, slow tracks");
/// `efficiency` of the alternator.
pub const ALTERNATOR_EFFICIENCY: Assumption<f64> = assume(
    0.6,
    "between a typical 0.55 and the baseline 0.67 of EU 2020/728",
);

/// `efficiency` of a charger.
#[must_use]
pub fn charger_efficiency(is_dc_dc: bool) -> Assumption<f64> {
    if is_dc_dc {
        assume(0.92, "DC-DC charger at its rating (common practice)")
    } else {
        assume(0.9, "mains charger at its rating (common practice)")
    }
}

/// `senses` of a relay.
pub const SENSES: Assumption<Senses> = assume(
    Senses::Voltage,
    "a voltage-sensing relay, the usual kind (common practice)",
);
/// `joins_v` of a relay per 12 V of system voltage.
pub const JOINS_V: Assumption<f64> = assume(13.3, "the usual setting (common practice)");
/// `parts_v` of a relay per 12 V of system voltage.
pub const PARTS_V: Assumption<f64> = assume(12.8, "the usual setting (common practice)");

/// `priority`.
pub const PRIORITY: Assumption<u32> = assume(1, "all chargers alike share pro rata");

/// `min_input_v` per 12 V of system voltage.
#[must_use]
pub fn min_input_v(from: super::ChargerSource) -> Assumption<f64> {
    match from {
        super::ChargerSource::Alternator => assume(
            13.0,
            "below it the engine is taken as off (common practice)",
        ),
        super::ChargerSource::Bank(_) => assume(
            11.0,
            "a DC-DC charger works from 11 to 16 V (common practice)",
        ),
        super::ChargerSource::Mains => assume(0.0, "does not apply to a mains charger"),
    }
}

/// Reasons for `needs`, which follows from what feeds the charger and what it charges.
pub const NEEDS_TOWING: &str = "the bank is in the trailer, which stays in camp on local drives";
/// See [`NEEDS_TOWING`].
pub const NEEDS_DRIVING: &str = "the alternator turns with the engine";
/// See [`NEEDS_TOWING`].
pub const NEEDS_BANK: &str = "a bank feeds it at any time, down to its own reserve";
/// See [`NEEDS_TOWING`].
pub const NEEDS_MAINS: &str = "works where a stop has `mains`";

/// `controller`.
pub const CONTROLLER: Assumption<Controller> =
    assume(Controller::Mppt, "the usual choice today (common practice)");
/// `losses` of a panel.
pub const PANEL_LOSSES: Assumption<f64> =
    assume(0.1, "dirt, wiring and mismatch (common practice)");
/// Reason for `controller_max_a`, taken as `panel_w` over 12 V of each 12 V, rounded up.
pub const CONTROLLER_MAX_A: &str = "large enough never to limit this panel";
/// Reason for `mount`.
pub const MOUNT: &str = "flat on the roof: the most usual mount, and on the safe side";

/// `use_spread`.
pub const USE_SPREAD: Assumption<f64> = assume(0.15, "habits differ by some 15 % (ours)");
/// `contact_mohm` of a part of `distribution`.
#[must_use]
pub fn contact_mohm(kind: PointKind) -> Assumption<f64> {
    match kind {
        PointKind::Plug => assume(2.0, "sound contacts of both poles (common practice)"),
        PointKind::Switch => assume(0.3, "sound contacts (common practice)"),
        PointKind::Bus | PointKind::FuseBlock => assume(0.0, "bolted joints count with the runs"),
    }
}
/// `peak_s`, where a peak is given.
pub const PEAK_S: Assumption<f64> =
    assume(1.0, "a start is over within a second (common practice)");
/// Reason for an `appliance` taken from the id.
pub const APPLIANCE_BY_NAME: &str = "read from its id; sets what it draws at its start (common practice): give `appliance` or a peak";
/// `keep`.
pub const KEEP: Assumption<bool> = assume(false, "may be proposed for switching off");
/// `at` of a daily event, minutes after midnight.
pub const EVENT_AT_MIN: Assumption<u16> = assume(8 * 60, "in the morning");
/// `efficiency` of an inverter.
pub const INVERTER_EFFICIENCY: Assumption<f64> = assume(0.88, "85 to 93 % (common practice)");
/// `surge_w` of an inverter.
#[must_use]
pub fn inverter_surge_w(rated_w: f64) -> Assumption<f64> {
    assume(
        1.5 * rated_w,
        "for a second or two, one and a half to twice what it is rated for (common practice)",
    )
}
/// `idle_w` of an inverter.
pub const INVERTER_IDLE_W: Assumption<f64> =
    assume(8.0, "0.5 to 1.5 A at 12 V are 6 to 18 W (common practice)");

/// `kept` of a fridge.
#[must_use]
pub fn fridge_kept(in_trailer: bool) -> Assumption<Kept> {
    if in_trailer {
        assume(
            Kept::Box,
            "its bank is in the trailer, which warms like a box",
        )
    } else {
        assume(Kept::Cabin, "inside the vehicle")
    }
}
/// `running_w` of a fridge.
pub const FRIDGE_RUNNING_W: Assumption<f64> =
    assume(45.0, "3 to 5 A at 12 V while it runs (common practice)");
/// `set_c`.
pub const FRIDGE_SET_C: Assumption<f64> = assume(4.0, "cold enough for fresh food");
/// `rated.average_a`, at [`FRIDGE_RATED_AMBIENT_C`] and [`FRIDGE_RATED_INSIDE_C`].
pub const FRIDGE_RATED_A: Assumption<f64> = assume(
    1.3,
    "a box of 40 to 50 L takes 0.6 to 1.3 A in mild weather, more in heat (common practice)",
);
/// `rated.at_ambient_c`.
pub const FRIDGE_RATED_AMBIENT_C: f64 = 32.0;
/// `rated.at_inside_c`.
pub const FRIDGE_RATED_INSIDE_C: f64 = 4.0;
/// `openings_per_day`.
pub const FRIDGE_OPENINGS: Assumption<f64> = assume(12.0, "two people, three meals (ours)");
/// `warm_food_kg_per_day`.
pub const FRIDGE_FOOD_KG: Assumption<f64> =
    assume(1.5, "drinks and left-overs of two people (ours)");
/// `contents_wh_per_k`.
pub const FRIDGE_CONTENTS_WH_PER_K: Assumption<f64> = assume(
    20.0,
    "cabinet and some ‹15 kg› of food, at ‹1.16 Wh per kg and K› of water",
);
/// `starts`.
pub const FRIDGE_STARTS_WARM: Assumption<bool> = assume(false, "cooled down before leaving");

/// `drop_limit`.
pub const DROP_LIMIT: Assumption<f64> = assume(
    0.03,
    "3 % for chargers, fridges and electronics (common practice)",
);
/// `insulation_c`.
pub const INSULATION_C: Assumption<u16> = assume(105, "the usual rating of vehicle cable");
/// `bundled`.
pub const BUNDLED: Assumption<u32> = assume(2, "the two conductors of the run itself");

/// `ambient_c` of a run.
#[must_use]
pub fn run_ambient_c(place: Kept) -> Assumption<f64> {
    if place == Kept::EngineBay {
        assume(50.0, "engine spaces (33 CFR 183.425)")
    } else {
        assume(40.0, "a closed vehicle in the sun")
    }
}

/// `where` of a run.
#[must_use]
pub fn run_place(touches_engine_bay: bool) -> Assumption<Kept> {
    if touches_engine_bay {
        assume(Kept::EngineBay, "one of its ends is in the engine bay")
    } else {
        assume(Kept::Cabin, "none of its ends is in the engine bay")
    }
}
