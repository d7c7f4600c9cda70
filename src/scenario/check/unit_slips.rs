//! Figures that look as if they were in another unit.
//!
//! One job: watts where amperes are asked, degrees Fahrenheit where degrees Celsius are. What is out of any range is
//! refused with its hint before it gets here.

use super::findings::Findings;
use crate::scenario::{Climate, Parts, Power};

/// Current at 12 V from which a load that runs for hours is doubted, A. Ours: 240 W day and night.
const LARGE_A: f64 = 20.0;

/// Rated current of an alternator from which it is doubted, A. Ours: road vehicles have up to some 300 A.
const ALTERNATOR_A: f64 = 400.0;

/// Monthly means that no inhabited place has, °C: the hottest have some 46 by day and 32 by night (from memory).
const HOT_DAY_C: f64 = 50.0;
const HOT_NIGHT_C: f64 = 35.0;

/// Warns of figures that look like those of another unit.
pub(super) fn doubt(scenario: &Parts, notes: &mut Findings<'_>) {
    let volts = scenario.system_voltage_v;
    for (number, load) in scenario.loads.iter().enumerate() {
        if let Power::Amps(amps) = load.kind.running()
            && !load.kind.is_event()
            && amps * scenario.voltage_factor() >= LARGE_A
        {
            let text = format!(
                "draws {amps} A, which is {:.0} W at {volts} V; if {amps} W are meant, write \"power_w\": {amps}",
                amps * volts
            );
            notes.warn(&format!("/loads/{number}/current_a"), text);
        }
    }
    if let Some(alternator) = &scenario.alternator
        && alternator.rated_a > ALTERNATOR_A
    {
        let (rated, volts) = (alternator.rated_a, alternator.volts);
        let text = format!(
            "gives {rated} A, more than those of road vehicles; if {rated} W are meant, write \
             \"rated_a\": {:.0}, the amperes at {volts} V",
            rated / volts
        );
        notes.warn("/alternator/rated_a", text);
    }
    let Climate::Monthly { rows, .. } = &scenario.climate else {
        return;
    };
    for (number, row) in rows.iter().enumerate() {
        for (key, found, most) in [
            ("day_max", row.day_max_c, HOT_DAY_C),
            ("day_min", row.day_min_c, HOT_NIGHT_C),
        ] {
            let path = format!("/climate/months/{number}/{key}_c");
            if found > most && notes.is_given(&path) {
                let text = format!(
                    "has a mean of ‹{found} °C›, hotter than any month on Earth; if {found} °F are meant, write \"{key}_f\": {found}"
                );
                notes.warn(&path, text);
            }
        }
    }
}
