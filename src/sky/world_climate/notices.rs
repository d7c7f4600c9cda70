//! Where the built-in climate comes from: the notices that its sources require.
//!
//! One job: the wording, in one place, for the README, the long version text, the tables and the
//! report. Left out: how the numbers were made, which is in `tests/reference/climate/README.md`.

/// The credit that the German weather service's licence (CC BY 4.0) requires word for word.
pub const TEMPERATURE_NOTICE: &str = "Data basis: Deutscher Wetterdienst, own elaboration";

/// Every notice of the built-in climate, one source a line.
pub const WORLD_CLIMATE_NOTICES: [&str; 4] = [
    "Temperature, sunshine and their spread: monthly CLIMAT reports 2003-2021, licence CC BY 4.0. \
     Data basis: Deutscher Wetterdienst, own elaboration",
    "Irradiation: MERRA-2 reanalysis 2011-2015, NASA Global Modeling and Assimilation Office \
     (Gelaro et al. 2017, doi 10.1175/JCLI-D-16-0758.1; Pfenninger & Staffell 2016, \
     doi 10.1016/j.energy.2016.08.060), corrected with sunshine hours",
    "Heights: ETOPO 20-minute relief, NOAA, public domain",
    "The built-in tables are derived works of these, under CC BY 4.0",
];

/// What a built-in climate is and is not: said wherever an answer rests on it.
pub const NOT_A_FORECAST: &str = "a plausible climate of the place, not a forecast";

/// Years of the reanalysis behind the sun.
pub const SUN_PERIOD: &str = "2011-2015";

/// Years of the station reports behind the temperatures and the sunshine.
pub const TEMPERATURE_PERIOD: &str = "2003-2021";
