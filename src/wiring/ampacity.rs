//! How much current a conductor carries.
//!
//! One job: area, insulation and surroundings in, amperes out. What a fuse makes of it is in
//! [`super::fuses`].
//! Left out: solid conductors, cables under heat insulation, aluminium.

use super::conductors::Awg;
use crate::scenario::Insulation;

/// Air temperature on which the table rests, °C.
pub const TABLE_AMBIENT_C: f64 = 30.0;

/// Allowable amperes of single conductors at 30 °C: (gauge, by insulation rating 60, 75, 80, 90,
/// 105, 125, 200 °C), smallest first.
///
/// # Source
/// 33 CFR 183.425, Table 5 (United States Code of Federal Regulations, public domain); read in a
/// public legal copy.
pub const TABLE_5: [(i8, [f64; 7]); 15] = [
    (18, [10.0, 10.0, 15.0, 20.0, 20.0, 25.0, 25.0]),
    (16, [15.0, 15.0, 20.0, 25.0, 25.0, 30.0, 35.0]),
    (14, [20.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0]),
    (12, [25.0, 25.0, 35.0, 40.0, 45.0, 50.0, 55.0]),
    (10, [40.0, 40.0, 50.0, 55.0, 60.0, 70.0, 70.0]),
    (8, [55.0, 65.0, 70.0, 70.0, 80.0, 90.0, 100.0]),
    (6, [80.0, 95.0, 100.0, 100.0, 120.0, 125.0, 135.0]),
    (4, [105.0, 125.0, 130.0, 135.0, 160.0, 170.0, 180.0]),
    (3, [120.0, 145.0, 150.0, 155.0, 180.0, 195.0, 210.0]),
    (2, [140.0, 170.0, 175.0, 180.0, 210.0, 225.0, 240.0]),
    (1, [165.0, 195.0, 210.0, 210.0, 245.0, 265.0, 280.0]),
    (0, [195.0, 230.0, 245.0, 245.0, 285.0, 305.0, 325.0]),
    (-1, [225.0, 265.0, 285.0, 285.0, 330.0, 355.0, 370.0]),
    (-2, [260.0, 310.0, 330.0, 330.0, 385.0, 410.0, 430.0]),
    (-3, [300.0, 360.0, 385.0, 385.0, 445.0, 475.0, 510.0]),
];

/// Factors inside an engine space, by insulation rating 60, 75, 80, 90, 105, 125, 200 °C.
///
/// # Source
/// 33 CFR 183.425, Table 5, note 1; read in a transcription that compared four official copies.
pub const ENGINE_SPACE: [f64; 7] = [0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1.0];

/// Air temperature for which [`ENGINE_SPACE`] is printed, °C.
pub const ENGINE_SPACE_AMBIENT_C: f64 = 50.0;

fn column(insulation: Insulation) -> usize {
    Insulation::ALL
        .iter()
        .position(|rating| *rating == insulation.rating_c())
        .expect("an Insulation is one of ALL")
}

/// The gauge whose row of Table 5 holds for this area: the largest that is not larger, so that a
/// metric size between two gauges is never over-rated. `None` below AWG 18.
#[must_use]
pub fn table_gauge(area_mm2: f64) -> Option<Awg> {
    TABLE_5
        .into_iter()
        .rev()
        .filter_map(|(number, _)| Awg::new(number))
        .find(|gauge| gauge.area_mm2() <= area_mm2 + 1e-9)
}

/// Allowable current of a gauge at 30 °C, single, A; exactly the printed figure.
/// `None` for a gauge that Table 5 does not list.
#[must_use]
pub fn table_ampacity_a(gauge: Awg, insulation: Insulation) -> Option<f64> {
    TABLE_5
        .into_iter()
        .find(|(number, _)| *number == gauge.number())
        .map(|(_, row)| row[column(insulation)])
}

/// Printed factor for conductors inside an engine space.
#[must_use]
pub fn engine_space_factor(insulation: Insulation) -> f64 {
    ENGINE_SPACE[column(insulation)]
}

/// Factor for conductors bundled together, by the number that carry current.
///
/// # Source
/// 33 CFR 183.425, Table 5, note 2. The regulation asks for it at 50 V and over; small-craft
/// practice applies the same numbers to direct current below, and so do we.
#[must_use]
pub fn bundling_factor(loaded_conductors: u32) -> f64 {
    match loaded_conductors {
        0..=2 => 1.0,
        3 => 0.7,
        4..=6 => 0.6,
        7..=24 => 0.5,
        _ => 0.4,
    }
}

/// Factor for the air temperature: `√((Tins − Tair)/(Tins − 30))`, 1 at 30 °C and below, 0 at the
/// insulation's rating and above.
///
/// # Source
/// Heat balance of a conductor, as the ambient correction of national wiring codes follows it. It
/// gives the printed engine-space factors of 33 CFR 183.425 within 0.007 up to 125 °C.
#[must_use]
pub fn ambient_factor(insulation: Insulation, ambient_c: f64) -> f64 {
    let rating_c = f64::from(insulation.rating_c());
    if ambient_c <= TABLE_AMBIENT_C {
        1.0
    } else if ambient_c >= rating_c {
        0.0
    } else {
        ((rating_c - ambient_c) / (rating_c - TABLE_AMBIENT_C)).sqrt()
    }
}

/// What surrounds a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Rating of its insulation.
    pub insulation: Insulation,
    /// Air around it, °C.
    pub ambient_c: f64,
    /// Inside an engine space.
    pub engine_space: bool,
    /// Number of loaded conductors lying together.
    pub bundled: u32,
}

impl Surroundings {
    /// Factor for heat from outside: in an engine space the printed one, lowered further above
    /// 50 °C by the heat balance; elsewhere [`ambient_factor`].
    #[must_use]
    pub fn heat_factor(&self) -> f64 {
        if !self.engine_space {
            return ambient_factor(self.insulation, self.ambient_c);
        }
        let printed = engine_space_factor(self.insulation);
        if self.ambient_c <= ENGINE_SPACE_AMBIENT_C {
            printed
        } else {
            printed * ambient_factor(self.insulation, self.ambient_c)
                / ambient_factor(self.insulation, ENGINE_SPACE_AMBIENT_C)
        }
    }

    /// Current that a conductor of this area carries here, A. 0 where the insulation is too poor
    /// for the air; `None` below AWG 18, for which the table has no row.
    #[must_use]
    pub fn ampacity_a(&self, area_mm2: f64) -> Option<f64> {
        let gauge = table_gauge(area_mm2)?;
        let base_a = table_ampacity_a(gauge, self.insulation)?;
        Some(base_a * self.heat_factor() * bundling_factor(self.bundled))
    }

    /// Temperature that the conductor reaches at a steady current, °C: the heat balance that puts
    /// it at its insulation's rating when it carries `ampacity_a`. Never above that rating.
    #[must_use]
    pub fn conductor_c(&self, current_a: f64, ampacity_a: f64) -> f64 {
        let rating_c = f64::from(self.insulation.rating_c());
        if ampacity_a <= 0.0 || self.ambient_c >= rating_c {
            return rating_c.max(self.ambient_c);
        }
        let share = (current_a / ampacity_a).min(1.0);
        self.ambient_c + (rating_c - self.ambient_c) * share * share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rated(rating_c: u16) -> Insulation {
        Insulation::new(rating_c).expect("a known rating")
    }

    #[test]
    fn metric_sizes_take_the_row_of_the_gauge_below() {
        assert_eq!(table_gauge(16.0).map(Awg::number), Some(6));
        assert_eq!(table_gauge(6.0).map(Awg::number), Some(10));
        assert_eq!(table_gauge(0.75), None);
        assert_eq!(table_gauge(400.0).map(Awg::number), Some(-3));
    }

    #[test]
    fn heat_and_bundling_multiply() {
        // By hand: 16 mm² takes AWG 6, 120 A at 105 °C; √(65/75) = 0.93095 at 40 °C; 3 bundled 0.7.
        let here = Surroundings {
            insulation: rated(105),
            ambient_c: 40.0,
            engine_space: false,
            bundled: 3,
        };
        let ampacity = here.ampacity_a(16.0).expect("in the table");
        assert!(
            (ampacity - 120.0 * 0.930_949 * 0.7).abs() < 1e-3,
            "{ampacity}"
        );
        // Half the current, a quarter of the rise: 40 + 65/4.
        assert!((here.conductor_c(ampacity / 2.0, ampacity) - 56.25).abs() < 1e-9);
    }

    #[test]
    fn nothing_is_carried_where_the_air_is_as_hot_as_the_rating() {
        let here = Surroundings {
            insulation: rated(60),
            ambient_c: 60.0,
            engine_space: true,
            bundled: 1,
        };
        assert_eq!(here.ampacity_a(120.0), Some(0.0));
    }
}
