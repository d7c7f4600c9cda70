//! Weather records: the same typical year in four formats, refusals, gaps, any bytes.
//!
//! One job: the public door of `sky::history`. The built-in climate is in `world_climate.rs`.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate, TimeDelta};
use tideover::sky::day_sun::DaySun;
use tideover::sky::history::{ReadOptions, Series, read};

const GREENSBORO: &str = include_str!("reference/weather/greensboro_us_typical_year.csv");
const SAND_POINT: &str = include_str!("reference/weather/sand_point_us_typical_year.csv");

struct Station {
    csv: &'static str,
    lat_deg: f64,
    lon_deg: f64,
    zone_h: f64,
}

const STATIONS: [Station; 2] = [
    Station {
        csv: GREENSBORO,
        lat_deg: 36.1,
        lon_deg: -79.95,
        zone_h: -5.0,
    },
    Station {
        csv: SAND_POINT,
        lat_deg: 55.317,
        lon_deg: -160.517,
        zone_h: -9.0,
    },
];

impl Station {
    fn options(&self) -> ReadOptions {
        ReadOptions {
            lat_deg: self.lat_deg,
            lon_deg: self.lon_deg,
            utc_offset_h: Some(self.zone_h),
            ..ReadOptions::default()
        }
    }

    /// month, day, hour ending, GHI, DNI, DHI, temperature, wind.
    fn rows(&self) -> Vec<Vec<&'static str>> {
        self.csv
            .lines()
            .skip(1)
            .map(|line| line.split(',').collect())
            .collect()
    }

    /// Each month bears another year, as in a typical year.
    fn year(month: &str) -> i32 {
        [
            1998, 1991, 2003, 2000, 1995, 1995, 2004, 1992, 1999, 2001, 1997, 1993,
        ][month.parse::<usize>().unwrap() - 1]
    }

    fn epw(&self) -> String {
        let mut text = format!(
            "LOCATION,Town,ST,USA,TMY3,000000,{},{},{},10.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n\
             GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,a 6\" pipe\nCOMMENTS 2,\n\
             DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
            self.lat_deg, self.lon_deg, self.zone_h
        );
        for row in self.rows() {
            let [month, day, hour, ghi, dni, dhi, air, wind] = row[..] else {
                panic!("{row:?}")
            };
            let year = Self::year(month);
            writeln!(
                text,
                "{year},{month},{day},{hour},0,?9?9?9,{air},1.0,50,101000,0,0,300,{ghi},{dni},{dhi},\
                 999999,999999,999999,9999,180,{wind},5,5,16.0,77777,9,999999999,10,0.1,0,88,0.2,0.0,1.0"
            )
            .unwrap();
        }
        text
    }

    fn tmy3(&self) -> String {
        let mut text = format!(
            "000000,\"TOWN, BY THE SEA\",ST,{:.1},{:.3},{:.3},10\n\
             Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),ETRN (W/m^2),GHI (W/m^2),GHI source,GHI uncert (%),\
             DNI (W/m^2),DNI source,DNI uncert (%),DHI (W/m^2),DHI source,DHI uncert (%),Dry-bulb (C),\
             Dry-bulb source,Wspd (m/s)\n",
            self.zone_h, self.lat_deg, self.lon_deg
        );
        for row in self.rows() {
            let [month, day, hour, ghi, dni, dhi, air, wind] = row[..] else {
                panic!("{row:?}")
            };
            let (year, day): (i32, u32) = (Self::year(month), day.parse().unwrap());
            let (month, hour): (u32, u32) = (month.parse().unwrap(), hour.parse().unwrap());
            writeln!(
                text,
                "{month:02}/{day:02}/{year},{hour:02}:00,0,0,{ghi},1,13,{dni},1,9,{dhi},1,9,{air},A,{wind}"
            )
            .unwrap();
        }
        text
    }
}

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

/// Outside figures: monthly energy on a flat panel at Greensboro,
/// `tests/reference/solar/flat_panel_energy.csv` (pvlib 0.16.1 on the TMY3 of station 723170), within 2 %.
#[test]
fn outside_flat_panel_energy_in_every_format() {
    let station = &STATIONS[0];
    let table = include_str!("reference/solar/flat_panel_energy.csv");
    let wanted: Vec<f64> = table
        .lines()
        .filter(|line| line.starts_with("723170,") && !line.contains("annual"))
        .map(|line| line.split(',').nth(8).unwrap().parse().unwrap())
        .collect();
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
        for (month, ((by_days, by_hours), wanted)) in
            monthly(&series).iter().zip(&wanted).enumerate()
        {
            assert!(
                (by_days / wanted - 1.0).abs() < 0.02,
                "{name} {month}: {by_days} for {wanted}"
            );
            assert!(
                (by_hours / wanted - 1.0).abs() < 0.02,
                "{name} {month}: {by_hours} for {wanted}"
            );
        }
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
        for (month, ((by_days, by_hours), (sum, days))) in
            monthly(&series).iter().zip(wanted).enumerate()
        {
            let wanted = sum / days;
            assert!(
                (by_days / wanted - 1.0).abs() < 0.02,
                "{name} {month}: {by_days} for {wanted}"
            );
            assert!(
                (by_hours / wanted - 1.0).abs() < 0.02,
                "{name} {month}: {by_hours} for {wanted}"
            );
        }
    }
}

/// The three formats of one year are one record, to the digits of the head's coordinates.
#[test]
fn law_formats_agree() {
    for station in &STATIONS {
        let csv = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
        for text in [station.epw(), station.tmy3()] {
            assert_eq!(read(text.as_bytes(), "a", &station.options()).unwrap(), csv);
        }
    }
}

/// Outside figure: lag-1 autocorrelation of daily clearness at Greensboro, pooled over the months: 0.30
/// (worked out from the same typical year in local standard time; ours is by solar time).
#[test]
fn outside_persistence_at_greensboro() {
    let station = &STATIONS[0];
    let series = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    assert!((series.lag1 - 0.300).abs() < 0.02, "{}", series.lag1);
    assert_eq!(series.default_block_days(), 5);
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

fn daily(rows: &[(&str, f64)]) -> String {
    let mut text = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
    for (date, sun) in rows {
        writeln!(text, "{date},{sun},4.5,15").unwrap();
    }
    text
}

fn at(lat_deg: f64, lon_deg: f64) -> ReadOptions {
    ReadOptions {
        lat_deg,
        lon_deg,
        ..ReadOptions::default()
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

#[test]
fn refuses_with_line_and_what_is_allowed() {
    let options = at(45.0, 10.0);
    let head = "date,ghi_kwh_m2,min_c,max_c\n";
    let hourly = "timestamp,ghi_wh_m2,air_c\n";
    let epw = STATIONS[0].epw();
    let cases: Vec<(String, &str)> = vec![
        (
            String::new(),
            "the file is empty, but must hold a header and a row for each day or hour",
        ),
        (
            head.into(),
            "the file holds not one whole day; a day may lack 3 hours in a row",
        ),
        (
            "day,sun\n1,2\n".into(),
            "line 1: there is no column of the date: it is called `date`, or named in `columns`; the file has `day`, `sun`",
        ),
        (
            "date,ghi_kwh_m2,ghi_mj_m2,min_c,max_c\n".into(),
            "line 1: both `ghi_kwh_m2` and `ghi_mj_m2` give global horizontal irradiation; choose one in `columns`",
        ),
        (
            format!("{head}2014-07-01,5,4,15\n2014-07-02,five,4,15\n"),
            "line 3: `ghi_kwh_m2` is `five`, but must be a number",
        ),
        (
            format!("{head}2014-07-01,-0.1,4,15\n"),
            "line 2: `ghi_kwh_m2` is -0.1, but must be from 0 to 1000000",
        ),
        (
            format!("{head}2014-07-01,36,4,15\n"),
            "line 2: `ghi_kwh_m2` is 36000 Wh/m², but the sun outside the air allows at most 12746 on that day: \
          check the unit, the station's place and the zone of the times",
        ),
        (
            format!("{head}2014-07-01,5,16,15\n"),
            "line 2: the minimum of 16 °C is above the maximum of 15 °C",
        ),
        (
            format!("{head}2014-07-01,5,4,288\n"),
            "line 2: `max_c` is 288, but must be from -95 to 65",
        ),
        (
            format!("{head}01.07.2014,5,4,15\n"),
            "line 2: `date` is `01.07.2014`, but must be a date such as `2014-07-05`, in the years 1900 to 2200",
        ),
        (
            format!("{head}2014-07-01,5,4,15\n2014-07-01,5,4,15\n"),
            "line 3: 2014-07-01 stands there a second time, but must stand there once",
        ),
        (
            format!("{head}2014-07-02,5,4,15\n2014-07-01,5,4,15\n"),
            "line 3: 2014-07-01 comes after 2014-07-02, but the rows must ascend in time",
        ),
        (
            format!("{hourly}2014-07-01T00:00,0,4\n"),
            "line 2: `2014-07-01T00:00` has no zone: write it as in `2027-07-05T18:00+02:00`, or state `utc_offset_h` \
          for the file",
        ),
        (
            format!("{hourly}2014-07-01T00:00Z,0,4\n2014-07-01T00:30Z,0,4\n"),
            "line 3: 30 min after the row above it, but hours must be whole hours apart",
        ),
        (
            format!("{hourly}2014-07-01T01:00Z,0,4\n2014-07-01T01:00Z,0,4\n"),
            "line 3: the hour to 2014-07-01 02:00 stands there a second time, but must stand there once",
        ),
        (
            format!("{hourly}2014-07-01T25:00Z,0,4\n"),
            "line 2: `timestamp` is `2014-07-01T25:00Z`, but must be a time such as `2014-07-05T18:00+02:00`, in the \
          years 1900 to 2200",
        ),
        (
            "month,day,hour_ending_utc,ghi_wh_m2,air_c\n2,30,1,0,5\n".into(),
            "line 2: `day` is `30`, but must be a day that the month has",
        ),
        (
            epw.replace("DATA PERIODS,1,1,", "DATA PERIODS,1,4,"),
            "line 8: as EPW it must have 1 record an hour",
        ),
        (
            "LOCATION,Town\n".into(),
            "line 1: as EPW it must have latitude, longitude and time zone as fields 7, 8 and 9",
        ),
        (
            STATIONS[0].tmy3().replace("GHI (W/m^2)", "Sun"),
            "line 2: as TMY3 it must have GHI (W/m^2)",
        ),
        (
            STATIONS[0].tmy3().replacen("01:00", "01:30", 1),
            "line 3: `Time (HH:MM)` is `01:30`, but must be a whole hour from `01:00` to `24:00`",
        ),
        (
            STATIONS[0].tmy3().replacen("01/01/1998", "1998-01-01", 1),
            "line 3: `Date (MM/DD/YYYY)` is `1998-01-01`, but must be a date as month/day/year, such as `07/05/1998`",
        ),
    ];
    for (text, wanted) in cases {
        let refusal = read(text.as_bytes(), "a.csv", &options).unwrap_err();
        assert_eq!(refusal.to_string(), wanted);
    }
    let refusal = |options: &ReadOptions| {
        read(b"date,sun\n", "a.csv", options)
            .unwrap_err()
            .to_string()
    };
    let map = |name: &str, column: &str| ReadOptions {
        columns: BTreeMap::from([(name.to_owned(), column.to_owned())]),
        ..at(45.0, 10.0)
    };
    assert_eq!(
        refusal(&map("ghi_mj_m2", "Sonne")),
        "`columns` takes `ghi_mj_m2` from `Sonne`, but the file has `date`, `sun`"
    );
    assert!(
        refusal(&map("ghi", "sun"))
            .starts_with("`columns` names `ghi`, but must name one of `date`, `timestamp`")
    );
    assert_eq!(
        refusal(&at(95.0, 10.0)),
        "the station stands at 95, 10, but the latitude must be from -90 to 90 and the longitude from -180 to 180"
    );
    let refusal = read(
        b"timestamp,ghi_wh_m2,air_c\n2014-07-01T00:00,0,4\n",
        "a.csv",
        &ReadOptions {
            utc_offset_h: Some(120.0),
            ..options
        },
    );
    assert_eq!(
        refusal.unwrap_err().to_string(),
        "the times are stated to be 120 h from UTC, but must be from -14 to 14"
    );
}

#[test]
fn a_missing_day_is_filled_and_two_split() {
    let text = daily(&[
        ("2014-07-01", 4.0),
        ("2014-07-03", 6.0),
        ("2014-07-06", 5.0),
        ("2014-07-07", 5.0),
    ]);
    let series = read(text.as_bytes(), "a.csv", &at(45.0, 10.0)).unwrap();
    assert_eq!(series.filled_days, 1);
    assert_eq!(series.stretches, vec![0..3, 3..5]);
    let middle = (series.days[0].kt + series.days[2].kt) / 2.0;
    assert!((series.days[1].kt - middle).abs() < 1e-12);
    let date = NaiveDate::from_ymd_opt(2020, 7, 3).unwrap();
    assert_eq!(series.block_starts(date, 20, 2), vec![0, 1, 3]);
    assert_eq!(series.block_starts(date, 20, 3), vec![0]);
    assert_eq!(series.block_starts(date, 1, 1), vec![1, 2]);
    assert_eq!(series.replay_start(2014, date), Some(2));
    assert_eq!(series.replay_start(2015, date), None);
}

#[test]
fn a_typical_year_is_a_ring() {
    let station = &STATIONS[0];
    let series = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    let eve = NaiveDate::from_ymd_opt(2027, 12, 31).unwrap();
    let starts = series.block_starts(eve, 20, 8);
    assert_eq!(starts.len(), 41);
    assert!(
        starts.contains(&364)
            && starts.contains(&0)
            && starts.contains(&19)
            && starts.contains(&344)
    );
    let dates: Vec<u32> = series.block(364, 3).map(|day| day.date.ordinal()).collect();
    assert_eq!(dates, vec![365, 1, 2]);
    assert_eq!(series.replay_start(2001, eve), None);
}

/// Hours torn out of a year: up to 3 in a row are filled and counted, more cost the day, which is filled if
/// it stands alone.
#[test]
fn law_gaps_of_hours() {
    let station = &STATIONS[0];
    let lines: Vec<&str> = station.csv.lines().collect();
    let whole = read(station.csv.as_bytes(), "a.csv", &station.options()).unwrap();
    // (first missing hour of the year, how many, filled hours, filled days, stretches)
    for (from, length, hours, days, stretches) in [
        (4000, 1, 1, 0, 1),
        (4001, 3, 3, 0, 1),
        (24 * 100 + 10, 4, 0, 1, 1),
        (24 * 100 + 10, 12, 0, 1, 1),
        // Of the last day under two hours are gone: filled.
        (24 * 100 + 2, 48, 2, 0, 2),
        (24 * 100 + 2, 700, 0, 0, 2),
    ] {
        let text: Vec<&str> = lines
            .iter()
            .enumerate()
            .filter(|(index, _)| !(from + 1..=from + length).contains(index))
            .map(|(_, line)| *line)
            .collect();
        let series = read(text.join("\n").as_bytes(), "a.csv", &station.options()).unwrap();
        assert_eq!(
            (
                series.filled_hours,
                series.filled_days,
                series.stretches.len()
            ),
            (hours, days, stretches),
            "{length} hours from {from}"
        );
        // A filled day's mean is no fixed part of the whole: it stays within the range of clearness.
        let mean = |series: &Series| {
            series.days.iter().map(|day| day.kt).sum::<f64>()
                / f64::from(u16::try_from(series.days.len()).unwrap())
        };
        assert!((mean(&series) - mean(&whole)).abs() < 0.02);
    }
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

/// Polar night has no clearness of its own and takes its neighbour's.
#[test]
fn sunless_days_take_the_nearest_clearness() {
    let text = daily(&[
        ("2014-11-10", 0.11),
        ("2014-11-11", 0.09),
        ("2014-12-20", 0.0),
        ("2014-12-21", 0.0),
    ]);
    let series = read(text.as_bytes(), "a.csv", &at(70.0, 25.0)).unwrap();
    assert!(series.days[0].kt > 0.1);
    assert!((series.days[3].kt - series.days[1].kt).abs() < 1e-12);
}

mod any_bytes {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn law_any_bytes_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..400), epw: bool) {
            let _ = read(&bytes, if epw { "a.epw" } else { "a.csv" }, &at(50.0, 179.9));
        }

        /// A sound file of each format with bytes overwritten, lines dropped or doubled.
        #[test]
        fn law_damaged_files_are_answered(
            format in 0..4_usize,
            hits in proptest::collection::vec((any::<u16>(), any::<u8>()), 1..12),
            dropped in 0..200_usize,
            doubled in 0..200_usize,
        ) {
            let station = &STATIONS[format % 2];
            let whole = match format {
                0 => station.csv.to_owned(),
                1 => station.epw(),
                2 => station.tmy3(),
                _ => daily(&[("2014-07-01", 4.0), ("2014-07-03", 6.0), ("2014-07-06", 5.0)]),
            };
            let mut lines: Vec<&str> = whole.lines().take(200).collect();
            if dropped < lines.len() {
                lines.remove(dropped);
            }
            if doubled < lines.len() {
                lines.insert(doubled, lines[doubled]);
            }
            let mut bytes = lines.join("\n").into_bytes();
            for (at, value) in hits {
                let at = usize::from(at) % bytes.len();
                bytes[at] = value;
            }
            if let Ok(series) = read(&bytes, "a", &station.options()) {
                for day in &series.days {
                    prop_assert!((0.0..=1.0).contains(&day.kt) && day.min_c <= day.max_c);
                }
            }
        }

        /// Whatever days are left out, blocks are days in a row, and no day is lost but filled ones.
        #[test]
        fn law_blocks_are_days_in_a_row(kept in proptest::collection::vec(any::<bool>(), 3..120), block in 1..9_u32) {
            let first = NaiveDate::from_ymd_opt(2016, 2, 1).unwrap();
            let mut text = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
            for (date, kept) in first.iter_days().zip(&kept) {
                if *kept {
                    writeln!(text, "{date},2,1,9").unwrap();
                }
            }
            prop_assume!(kept.contains(&true));
            let series = read(text.as_bytes(), "a", &at(50.0, 0.0)).unwrap();
            let given = kept.iter().filter(|kept| **kept).count();
            prop_assert_eq!(series.days.len(), given + series.filled_days);
            prop_assert_eq!(series.stretches.iter().map(ExactSizeIterator::len).sum::<usize>(), series.days.len());
            let starts = series.block_starts(first, 200, block);
            for start in &starts {
                let dates: Vec<NaiveDate> = series.block(*start, block).map(|day| day.date).collect();
                prop_assert_eq!(dates.len(), block as usize);
                prop_assert!(dates.windows(2).all(|pair| pair[0].succ_opt() == Some(pair[1])));
            }
            let room: usize = series.stretches.iter().map(|s| (s.len() + 1).saturating_sub(block as usize)).sum();
            prop_assert_eq!(starts.len(), room);
        }
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
