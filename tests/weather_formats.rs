//! Weather records: one typical year in four formats against published energy.
//!
//! One job: what is read is what was measured. Refusals are in `weather_refusals.rs`, gaps in
//! `weather_gaps.rs`.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod typical_years;

use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate, TimeDelta};
use tideover::sky::day_sun::DaySun;
use tideover::sky::extraterrestrial::normal_w_m2;
use tideover::sky::history::{ReadOptions, Series, read};
use tideover::sky::sun_position::sun_position_fast;
use tideover::sky::tilt::cos_incidence;
use typical_years::{GREENSBORO, STATIONS, at, daily};

fn sun_of(date: NaiveDate) -> DaySun {
    let noon = date.and_hms_opt(12, 0, 0).unwrap().and_utc().timestamp();
    DaySun::at(f64::from(i32::try_from(noon).unwrap()))
}

/// Energy of a flat panel by the days and by their hours, kWh/m² a day in each month.
fn monthly(series: &Series) -> [(f64, f64); 12] {
    let mut sums = [(0.0, 0.0, 0.0); 12];
    for day in &series.days {
        let sun = sun_of(day.date);
        let by_hours: f64 = day.hours.as_ref().map_or(f64::NAN, |hours| {
            (0..24_u8)
                .map(|hour| {
                    let from_h = f64::from(hour);
                    // A flat plane sees the direct and the even part whole.
                    let light = hours[usize::from(hour)];
                    (light.directional + light.isotropic)
                        * sun.horizontal(series.lat_deg, from_h, from_h + 1.0).wh_m2
                })
                .sum()
        });
        let month = &mut sums[day.date.month0() as usize];
        month.0 += day.kt * sun.horizontal_day_wh_m2(series.lat_deg) / 1000.0;
        month.1 += by_hours / 1000.0;
        month.2 += 1.0;
    }
    sums.map(|(by_days, by_hours, days)| (by_days / days, by_hours / days))
}

/// Each month's energy by the days and by their hours within 2 % of these, kWh/m² a day.
fn assert_monthly(series: &Series, wanted: &[f64], name: &str) {
    for (month, ((by_days, by_hours), wanted)) in monthly(series).iter().zip(wanted).enumerate() {
        for found in [by_days, by_hours] {
            assert!(
                (found / wanted - 1.0).abs() < 0.02,
                "{name} {month}: {found} for {wanted}"
            );
        }
    }
}

/// A column of `tests/reference/solar/flat_panel_energy.csv` for Greensboro, January to December.
fn panel_energy(column: usize) -> Vec<f64> {
    include_str!("reference/solar/flat_panel_energy.csv")
        .lines()
        .filter(|line| line.starts_with("723170,") && !line.contains("annual"))
        .map(|line| line.split(',').nth(column).unwrap().parse().unwrap())
        .collect()
}

/// Outside figures: monthly energy on a flat panel at Greensboro,
/// `tests/reference/solar/flat_panel_energy.csv` (pvlib 0.16.1 on the TMY3 of station 723170), within 2 %.
#[test]
fn outside_flat_panel_energy_in_every_format() {
    let station = &STATIONS[0];
    let wanted = panel_energy(8);
    assert_eq!(wanted.len(), 12);
    for (name, text) in [
        ("year.csv", station.csv.to_owned()),
        ("year.epw", station.epw()),
        ("year.tmy3", station.tmy3()),
    ] {
        let series = read(text.as_bytes(), name, &station.options()).unwrap();
        assert_eq!(
            (series.days.len(), series.stretches.len()),
            (365, 1),
            "{name}"
        );
        assert!(series.is_typical && series.is_circular(), "{name}");
        assert_monthly(&series, &wanted, name);
    }
}

/// Outside figures: monthly energy on a panel tilted at 36.1° to the south at Greensboro, from the same table
/// (twelve sun positions an hour). Tolerance 2.5 %, the table's own.
#[test]
fn outside_tilted_panel_energy() {
    const TILT_DEG: f64 = 36.1;
    let station = &STATIONS[0];
    let series = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    let mut sums = [(0.0, 0.0); 12];
    for day in &series.days {
        let midnight = day.date.and_hms_opt(0, 0, 0).unwrap().and_utc().timestamp();
        let midnight_s = f64::from(i32::try_from(midnight).unwrap()) - station.lon_deg * 240.0;
        let month = &mut sums[day.date.month0() as usize];
        for step in 0..288_u32 {
            let at_s = midnight_s + f64::from(step) * 300.0 + 150.0;
            let sun = sun_position_fast(at_s, station.lat_deg, station.lon_deg);
            let light = day.hours.as_ref().unwrap()[step as usize / 12];
            let facing = cos_incidence(sun, TILT_DEG, 180.0);
            let plane_w_m2 =
                light.plane_w_m2(normal_w_m2(at_s), sun.cos_zenith(), facing, TILT_DEG, 0.2);
            month.0 += plane_w_m2 / 12_000.0;
        }
        month.1 += 1.0;
    }
    for (month, ((sum, days), wanted)) in sums.iter().zip(panel_energy(14)).enumerate() {
        let energy = sum / days;
        assert!(
            (energy / wanted - 1.0).abs() < 0.025,
            "month {month}: {energy} for {wanted}"
        );
    }
}

/// Outside figures: the monthly sums of the file itself (no panel figures are published for Sand Point).
#[test]
fn outside_sand_point_keeps_its_sun_in_every_format() {
    let station = &STATIONS[1];
    let mut wanted = [(0.0, 0.0); 12];
    for row in station.rows() {
        let month = &mut wanted[row[0].parse::<usize>().unwrap() - 1];
        month.0 += row[3].parse::<f64>().unwrap() / 1000.0;
        month.1 += 1.0 / 24.0;
    }
    for (name, text) in [
        ("year.csv", station.csv.to_owned()),
        ("a.epw", station.epw()),
        ("year.csv", station.tmy3()),
    ] {
        let series = read(text.as_bytes(), name, &station.options()).unwrap();
        assert_eq!(series.days.len(), 365);
        assert_monthly(&series, &wanted.map(|(sum, days)| sum / days), name);
    }
}

/// The three formats of one year are one record, to the digits of the head's coordinates; two of them have
/// a head.
#[test]
fn law_formats_agree() {
    for station in &STATIONS {
        let csv = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
        for text in [station.epw(), station.tmy3()] {
            let series = read(text.as_bytes(), "a", &station.options()).unwrap();
            assert!(series.is_placed && series.height_m == Some(10.0));
            let headless = Series {
                is_placed: false,
                height_m: None,
                ..series
            };
            assert_eq!(headless, csv);
        }
    }
}

/// Found in a file of another maker: a bracket too many in a column's name, and `00:00` of the next day for
/// 24:00. It is the same record.
#[test]
fn law_another_hand_at_tmy3_makes_no_difference() {
    for station in &STATIONS {
        let usual = station.tmy3();
        let mut other = String::new();
        for line in usual.lines() {
            let moved = line.split_once(",24:00,").map(|(date, rest)| {
                let date = NaiveDate::parse_from_str(date, "%m/%d/%Y").unwrap();
                let next = date.succ_opt().unwrap().format("%m/%d/%Y");
                format!("{next},00:00,{rest}")
            });
            other += &moved.unwrap_or_else(|| line.to_owned());
            other.push('\n');
        }
        let other = other
            .replace("DNI (W/m^2)", "DNI (W/m^2))")
            .replace("Dry-bulb (C)", "dry bulb [C]");
        assert!(other.contains("DNI (W/m^2))") && other.contains(",00:00,"));
        let read = |text: &str| read(text.as_bytes(), "a.csv", &station.options()).unwrap();
        assert_eq!(read(&other), read(&usual));
    }
}

/// Outside figure: lag-1 autocorrelation of daily clearness at Greensboro, pooled over the months: 0.30
/// (worked out from the same typical year in local standard time; ours is by solar time).
#[test]
fn outside_persistence_at_greensboro() {
    let station = &STATIONS[0];
    let series = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    assert!((series.lag1 - 0.300).abs() < 0.02, "{}", series.lag1);
    assert_eq!(series.default_block_days(), 8);
    assert!(
        series.late_h.abs() < 0.2 && !series.is_zone_doubtful(),
        "{}",
        series.late_h
    );
}

/// A zone five hours wrong is noticed: where the sun then shines at night it is refused, else said.
#[test]
fn a_wrong_zone_is_noticed() {
    let station = &STATIONS[0];
    let wrong = ReadOptions {
        utc_offset_h: Some(0.0),
        ..station.options()
    };
    let refusal = read(station.csv.as_bytes(), "a.csv", &wrong).unwrap_err();
    assert_eq!(
        refusal.to_string(),
        "line 10: `ghi_wh_m2` is 46 Wh/m², but the sun outside the air allows at most 25 in that hour: \
         check the unit, the station's place and the zone of the times"
    );
    let daily_shift = ReadOptions {
        utc_offset_h: Some(-6.0),
        ..station.options()
    };
    match read(station.csv.as_bytes(), "a.csv", &daily_shift) {
        Ok(series) => assert!(series.is_zone_doubtful(), "{}", series.late_h),
        Err(refusal) => assert!(refusal.to_string().contains("zone"), "{refusal}"),
    }
}

#[test]
fn units_aliases_delimiters_and_a_mark_make_no_difference() {
    let plain = daily(&[("2014-07-01", 3.6), ("2014-07-02", 7.2)]);
    let wanted = read(plain.as_bytes(), "a.csv", &at(45.0, 10.0)).unwrap();
    assert_eq!(wanted.days.len(), 2);
    for text in [
        "\u{feff}Date;ghi_mj_m2;TMIN_C;tmax_c\r\n2014-07-01;12.96;4.5;15\r\n2014-07-02;25.92;4.5;15\r\n",
        "date\tghi_wh_m2\ttemp_min_c\ttemp_max_c\tremark\n2014-07-01\t3600\t4.5\t15\t\n\n2014-07-02\t7200\t4.5\t15\tx\n",
        "date,ghi_w_m2,day_min_c,day_max_c\n2014-07-01,150,4.5,15\n2014-07-02,300,4.5,15\n",
    ] {
        let series = read(text.as_bytes(), "a.csv", &at(45.0, 10.0)).unwrap();
        for (day, wanted) in series.days.iter().zip(&wanted.days) {
            assert!(
                (day.kt - wanted.kt).abs() < 1e-12 && day.date == wanted.date,
                "{text}"
            );
        }
    }
    let own = "Tag,Sonne,Tief,Hoch\n2014-07-01,12.96,4.5,15\n2014-07-02,25.92,4.5,15\n";
    let columns = [
        ("date", "Tag"),
        ("ghi_mj_m2", "Sonne"),
        ("min_c", "Tief"),
        ("max_c", "hoch"),
    ];
    let options = ReadOptions {
        columns: columns
            .map(|(name, column)| (name.to_owned(), column.to_owned()))
            .into(),
        ..at(45.0, 10.0)
    };
    let series = read(own.as_bytes(), "a.csv", &options).unwrap();
    assert!((series.days[1].kt - wanted.days[1].kt).abs() < 1e-12);
}

/// A real record of hours with zones: beginning and end of the hour, UTC and local, agree.
#[test]
fn law_time_labels_agree() {
    let begin = NaiveDate::from_ymd_opt(2019, 5, 30)
        .unwrap()
        .and_hms_opt(0, 0, 0)
        .unwrap();
    let sun = |hour: i64| {
        let solar = f64::from(i32::try_from((hour + 12).rem_euclid(24)).unwrap());
        (600.0 * ((solar - 11.5).abs() / 5.5 * std::f64::consts::FRAC_PI_2).cos()).max(0.0)
    };
    let write_all = |header: &str, stamp: &dyn Fn(i64) -> String| {
        let mut text = format!("{header},ghi_w_m2,temp_air_c\n");
        for hour in 0..24 * 40 {
            writeln!(text, "{},{:.1},{}", stamp(hour), sun(hour), 10 + hour % 24).unwrap();
        }
        text
    };
    let clock = |hours: i64| {
        (begin + TimeDelta::hours(hours))
            .format("%Y-%m-%dT%H:%M")
            .to_string()
    };
    let options = at(-20.0, 178.0);
    let wanted = read(write_all("timestamp_utc", &clock).as_bytes(), "a", &options).unwrap();
    assert_eq!((wanted.stretches.len(), wanted.filled_hours), (1, 0));
    assert!(wanted.days.len() >= 39);
    let zoned = |hour| format!("{}+12:00", clock(hour + 12));
    let ended = |hour: i64| format!("{}Z", clock(hour + 1));
    let by_date = |hour: i64| format!("{},{}", &clock(hour)[..10], hour.rem_euclid(24) + 1);
    for text in [
        write_all("timestamp", &zoned),
        write_all("timestamp_end", &ended),
        write_all("date,hour_ending_utc", &by_date),
    ] {
        assert_eq!(read(text.as_bytes(), "a", &options).unwrap(), wanted);
    }
}

/// Twenty years of hours: the bar is one second in release; a debug build on a busy machine gets three.
#[test]
fn law_twenty_years_of_hours_are_read_at_once() {
    let lines: Vec<&str> = GREENSBORO.lines().skip(1).collect();
    let mut text =
        "timestamp_end,ghi_wh_m2,dni_wh_m2,dhi_wh_m2,temp_air_c,wind_speed_m_s\n".to_owned();
    let begin = NaiveDate::from_ymd_opt(1991, 1, 1)
        .unwrap()
        .and_hms_opt(1, 0, 0)
        .unwrap();
    for year in 1991..2011 {
        // No 29 February: a day that is filled.
        for (index, line) in lines.iter().enumerate() {
            let fields: Vec<&str> = line.split(',').collect();
            let end =
                begin.with_year(year).unwrap() + TimeDelta::hours(i64::try_from(index).unwrap());
            let leap = begin.with_year(year).unwrap().date().leap_year() && index >= 59 * 24;
            let end = if leap { end + TimeDelta::days(1) } else { end };
            writeln!(
                text,
                "{}-05:00,{}",
                end.format("%Y-%m-%dT%H:%M"),
                fields[3..].join(",")
            )
            .unwrap();
        }
    }
    let clock = std::time::Instant::now();
    let series = read(text.as_bytes(), "a.csv", &at(36.1, -79.95)).unwrap();
    let took = clock.elapsed();
    assert_eq!((series.filled_days, series.stretches.len()), (5, 1));
    assert!(took.as_secs_f64() < 3.0, "{took:?}");
}
