//! Typical years of two stations, written in each format that is read.
//!
//! One job: input for the weather tests. The data and their source are in `tests/reference/weather/`.

#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses a part of it"
)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fmt::Write as _;

use tideover::sky::history::ReadOptions;

pub const GREENSBORO: &str = include_str!("../reference/weather/greensboro_us_typical_year.csv");
pub const SAND_POINT: &str = include_str!("../reference/weather/sand_point_us_typical_year.csv");

pub struct Station {
    pub csv: &'static str,
    pub lat_deg: f64,
    pub lon_deg: f64,
    pub zone_h: f64,
}

pub const STATIONS: [Station; 2] = [
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
    pub fn options(&self) -> ReadOptions {
        ReadOptions {
            lat_deg: self.lat_deg,
            lon_deg: self.lon_deg,
            utc_offset_h: Some(self.zone_h),
            ..ReadOptions::default()
        }
    }

    /// month, day, hour ending, GHI, DNI, DHI, temperature, wind.
    pub fn rows(&self) -> Vec<Vec<&'static str>> {
        self.csv
            .lines()
            .skip(1)
            .map(|line| line.split(',').collect())
            .collect()
    }

    /// Each month bears another year, as in a typical year.
    pub fn year(month: &str) -> i32 {
        [
            1998, 1991, 2003, 2000, 1995, 1995, 2004, 1992, 1999, 2001, 1997, 1993,
        ][month.parse::<usize>().unwrap() - 1]
    }

    pub fn epw(&self) -> String {
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

    pub fn tmy3(&self) -> String {
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

pub fn daily(rows: &[(&str, f64)]) -> String {
    let mut text = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
    for (date, sun) in rows {
        writeln!(text, "{date},{sun},4.5,15").unwrap();
    }
    text
}

pub fn at(lat_deg: f64, lon_deg: f64) -> ReadOptions {
    ReadOptions {
        lat_deg,
        lon_deg,
        ..ReadOptions::default()
    }
}
