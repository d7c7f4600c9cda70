//! Diffuse light, tilted planes and energy, against outside figures.
//!
//! One job: `sky::diffuse`, `sky::tilt`, `sky::sky_light` against the tables of
//! `tests/reference/solar/` and the typical years of `tests/reference/weather/`.
//! Left out: the weather itself; see `outside_clearness.rs`.

mod reference_table;

use chrono::NaiveDate;
use reference_table::{Row, table};
use tideover::sky::diffuse::diffuse_share;
use tideover::sky::extraterrestrial::normal_w_m2;
use tideover::sky::sky_light::SkyLight;
use tideover::sky::sun_day::local_mean_noon_utc_s;
use tideover::sky::sun_position::{SunPosition, sun_position_fast};
use tideover::sky::tilt::{ALBEDO, HorizontalLight, cos_incidence, hay_davies_plane};

/// Outside figures: D. G. Erbs, S. A. Klein, J. A. Duffie, Solar Energy 28(4), 293-302, 1982, by a
/// general-purpose library.
#[test]
fn outside_diffuse_share_erbs() {
    for row in table("solar/decomposition.csv") {
        let kt = row.number("clearness_index");
        let error = diffuse_share(kt) - row.number("diffuse_fraction");
        assert!(error.abs() < 1e-6, "{kt}: {error}");
    }
}

fn light(row: &Row) -> HorizontalLight {
    HorizontalLight {
        ghi_w_m2: row.number("ghi_w_m2"),
        dni_w_m2: row.number("dni_w_m2"),
        dhi_w_m2: row.number("dhi_w_m2"),
        i0_w_m2: row.number("dni_extra_w_m2"),
    }
}

fn close(got: f64, wanted: f64) -> bool {
    (got - wanted).abs() < 1e-4 + 1e-6 * wanted.abs()
}

/// Outside figures: J. E. Hay, J. A. Davies 1980, Liu and Jordan 1963 for the ground, by a
/// general-purpose library; 952 cases. The separable form for the step loop gives the same, its sky
/// measured or, where only the clearness index is known, modelled.
#[test]
fn outside_plane_hay_davies_classic_and_separable() {
    for row in table("solar/transposition.csv") {
        let sun = SunPosition {
            zenith_deg: row.number("zenith_deg"),
            azimuth_deg: row.number("sun_azimuth_deg"),
        };
        let tilt_deg = row.number("surface_tilt_deg");
        let cos_plane = cos_incidence(sun, tilt_deg, row.number("surface_azimuth_deg"));
        let aoi_deg = row.number("aoi_deg");
        let band_deg = if aoi_deg < 1.0 { 1e-4 } else { 1e-5 };
        assert!((cos_plane.acos().to_degrees() - aoi_deg).abs() < band_deg);

        let (light, albedo) = (light(&row), row.number("albedo"));
        let plane = hay_davies_plane(light, sun.cos_zenith(), cos_plane, tilt_deg, albedo);
        assert!(close(plane.beam_w_m2, row.number("poa_direct_w_m2")));
        assert!(close(plane.sky_w_m2, row.number("sky_haydavies_w_m2")));
        assert!(close(plane.ground_w_m2, row.number("poa_ground_w_m2")));

        let sky = SkyLight::from_measured(
            light.ghi_w_m2,
            light.dni_w_m2,
            light.dhi_w_m2,
            light.i0_w_m2,
            sun.cos_zenith(),
        );
        let total = sky.plane_w_m2(light.i0_w_m2, sun.cos_zenith(), cos_plane, tilt_deg, albedo);
        assert!(close(total, row.number("poa_global_haydavies_w_m2")));
    }
}

/// The modelled sky in separable form against the classic form fed with the same beam and diffuse
/// light.
#[test]
fn law_modelled_sky_is_the_classic_form() {
    for row in table("solar/transposition.csv") {
        let sun = SunPosition {
            zenith_deg: row.number("zenith_deg"),
            azimuth_deg: row.number("sun_azimuth_deg"),
        };
        let (cos_zenith, i0) = (sun.cos_zenith(), row.number("dni_extra_w_m2"));
        let tilt_deg = row.number("surface_tilt_deg");
        let cos_plane = cos_incidence(sun, tilt_deg, row.number("surface_azimuth_deg"));
        let kt = (row.number("ghi_w_m2") / (i0 * cos_zenith)).min(1.0);
        let share = diffuse_share(kt);
        let classic = HorizontalLight {
            ghi_w_m2: kt * i0 * cos_zenith,
            dni_w_m2: kt * (1.0 - share) * i0,
            dhi_w_m2: kt * share * i0 * cos_zenith,
            i0_w_m2: i0,
        };
        let wanted = hay_davies_plane(classic, cos_zenith, cos_plane, tilt_deg, ALBEDO);
        let got = SkyLight::from_kt(kt).plane_w_m2(i0, cos_zenith, cos_plane, tilt_deg, ALBEDO);
        assert!(close(got, wanted.total_w_m2()), "{got} for {wanted:?}");
    }
}

/// Monthly mean daily energy, kWh/m²: in the plane and as recorded on the flat. The hour's light is
/// kept as shares of the hour's extraterrestrial mean and played over twelve positions of the sun,
/// as the step loop does.
fn monthly_energy(
    file: &str,
    (lat, lon, offset_h): (f64, f64, f64),
    (tilt_deg, azimuth_deg): (f64, f64),
) -> [(f64, f64); 12] {
    const PARTS: u32 = 12;
    let mut sums = [(0.0, 0.0); 12];
    let mut hours = [0.0; 12];
    for row in table(file) {
        let month = row.number("month");
        let day = row.number("day");
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "1 to 31"
        )]
        let (month, day) = (month as u32, day as u32);
        // A typical year has no year of its own; one in the middle of the fast method's range does.
        let date = NaiveDate::from_ymd_opt(2030, month, day).expect("a date");
        let midnight_s = local_mean_noon_utc_s(date, 0.0) - 43_200;
        #[expect(clippy::cast_precision_loss, reason = "seconds of our era")]
        let start_s = midnight_s as f64 + (row.number("hour_ending") - 1.0 - offset_h) * 3600.0;
        let positions: Vec<SunPosition> = (0..PARTS)
            .map(|part| {
                let at_s = start_s + (f64::from(part) + 0.5) * 3600.0 / f64::from(PARTS);
                sun_position_fast(at_s, lat, lon)
            })
            .collect();
        let mean_cos = positions
            .iter()
            .map(|sun| sun.cos_zenith().max(0.0))
            .sum::<f64>()
            / f64::from(PARTS);
        let up_share = f64::from(
            u32::try_from(
                positions
                    .iter()
                    .filter(|sun| sun.cos_zenith() > 0.0)
                    .count(),
            )
            .unwrap_or(0),
        ) / f64::from(PARTS);
        let i0 = normal_w_m2(start_s + 1800.0);
        let sky = SkyLight::from_measured(
            row.number("ghi_wh_m2"),
            if up_share > 0.0 {
                row.number("dni_wh_m2") / up_share
            } else {
                0.0
            },
            row.number("dhi_wh_m2"),
            i0,
            mean_cos,
        );
        let plane_wh: f64 = positions
            .iter()
            .map(|&sun| {
                let cos_plane = cos_incidence(sun, tilt_deg, azimuth_deg);
                sky.plane_w_m2(i0, sun.cos_zenith(), cos_plane, tilt_deg, ALBEDO)
            })
            .sum::<f64>()
            / f64::from(PARTS);
        let slot = month as usize - 1;
        sums[slot].0 += plane_wh;
        sums[slot].1 += row.number("ghi_wh_m2");
        hours[slot] += 1.0;
    }
    core::array::from_fn(|m| {
        let days = hours[m] / 24.0;
        (sums[m].0 / days / 1000.0, sums[m].1 / days / 1000.0)
    })
}

/// Outside figures: monthly energy on the flat and at tilt of station 723170, worked out with a
/// general-purpose library from the same hours (Hay and Davies). 1 % a month and over the year.
#[test]
fn outside_monthly_energy_greensboro() {
    let place = (36.1, -79.95, -5.0);
    let file = "weather/greensboro_us_typical_year.csv";
    let flat = monthly_energy(file, place, (0.0, 180.0));
    let tilted = monthly_energy(file, place, (36.1, 180.0));
    let (mut ours, mut theirs) = ((0.0, 0.0), (0.0, 0.0));
    let rows = table("solar/flat_panel_energy.csv");
    let months: Vec<&Row> = rows
        .iter()
        .filter(|row| row.text("station_id") == "723170" && row.text("period") != "annual")
        .collect();
    assert_eq!(months.len(), 12);
    for (month, row) in months.iter().enumerate() {
        let wanted_flat = row.number("poa_horizontal_substep_kwh_m2_day");
        let wanted_tilted = row.number("poa_tilted_substep_kwh_m2_day");
        assert!((flat[month].1 / row.number("ghi_measured_kwh_m2_day") - 1.0).abs() < 1e-3);
        let errors = (
            flat[month].0 / wanted_flat - 1.0,
            tilted[month].0 / wanted_tilted - 1.0,
        );
        assert!(
            errors.0.abs() < 0.01 && errors.1.abs() < 0.01,
            "{month}: {errors:?}"
        );
        let days = row.number("days");
        ours = (
            ours.0 + flat[month].0 * days,
            ours.1 + tilted[month].0 * days,
        );
        theirs = (
            theirs.0 + wanted_flat * days,
            theirs.1 + wanted_tilted * days,
        );
    }
    assert!((ours.0 / theirs.0 - 1.0).abs() < 0.01 && (ours.1 / theirs.1 - 1.0).abs() < 0.01);
}

/// Outside figures: the global light recorded on the flat at 55° N, of which the sky's split and
/// recombination must lose nothing: 1 % a month, in December too, where the sun never stands above
/// 11°.
#[test]
fn outside_monthly_energy_sand_point_flat() {
    let place = (55.317, -160.517, -9.0);
    let months = monthly_energy(
        "weather/sand_point_us_typical_year.csv",
        place,
        (0.0, 180.0),
    );
    for (month, (ours, recorded)) in months.iter().enumerate() {
        assert!(
            (ours / recorded - 1.0).abs() < 0.01,
            "{month}: {ours} for {recorded}"
        );
    }
}
