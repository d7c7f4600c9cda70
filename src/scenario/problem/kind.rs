//! The kinds of problem, with their values.

use super::super::document::SyntaxError;
use crate::sky::day_persistence::ImpossibleAutocorrelation;

/// What is wrong with one place of a scenario file. Found values are as the user wrote them.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum ProblemKind {
    /// The text is not JSON.
    Syntax(SyntaxError),
    /// A key stands twice in one object.
    DoubledKey {
        /// Line of the first one.
        first_line: usize,
    },
    /// A key that the format does not have there.
    UnknownKey {
        /// The known key most like it.
        nearest: Option<String>,
        /// What to write instead, where that is known.
        meant: Option<String>,
        /// Every key that may stand there.
        known: Vec<String>,
    },
    /// A key that must be given is not.
    Missing {
        /// What must be given.
        allowed: String,
    },
    /// A value of the wrong type or outside its range.
    NotAllowed {
        /// The value found.
        found: String,
        /// What is allowed.
        allowed: String,
        /// The cure, where it is known.
        hint: Option<String>,
    },
    /// A word that is none of the known ones.
    NotOneOf {
        /// The word found.
        found: String,
        /// The known ones.
        allowed: Vec<String>,
        /// The one most like it.
        nearest: Option<String>,
        /// What to write instead, where that is known.
        meant: Option<String>,
    },
    /// A number too large for the format (`1e999`).
    NotFinite {
        /// As written.
        found: String,
    },
    /// A list or text with too few or too many entries or characters.
    WrongLength {
        /// How many there are.
        count: usize,
        /// How many there may be.
        allowed: String,
        /// Of what: one, and several.
        unit: (&'static str, &'static str),
    },
    /// Not `HH:MM`.
    NotATime {
        /// As written.
        found: String,
    },
    /// Not an end of a window.
    NotAWindowEnd {
        /// As written.
        found: String,
    },
    /// Not a local date and time.
    NotADateTime {
        /// As written.
        found: String,
    },
    /// Not a date.
    NotADate {
        /// As written.
        found: String,
    },
    /// Not a zone of the IANA database.
    NoSuchZone {
        /// As written.
        found: String,
        /// The zone most like it.
        nearest: Option<String>,
    },
    /// A name that the built-in places don't have, of a place without degrees.
    NoSuchPlace {
        /// As written.
        found: String,
        /// Full names of places spelled nearly so.
        alike: Vec<String>,
    },
    /// Neither a compass point nor degrees.
    NotABearing {
        /// As written.
        found: String,
    },
    /// A key that must stand beside another one and is not given.
    MissingBeside {
        /// The other key.
        given: &'static str,
    },
    /// A local time that the clocks jump over.
    SkippedTime {
        /// As written.
        found: String,
        /// The zone.
        zone: String,
        /// Local time right after the jump.
        change: String,
    },
    /// `min`, `likely` and `max` are not in order.
    SpreadOrder {
        /// `min`.
        min: f64,
        /// `likely`.
        likely: f64,
        /// `max`.
        max: f64,
    },
    /// An id that an earlier entry has.
    DoubledId {
        /// The id.
        found: String,
        /// JSON pointer of the earlier entry.
        first: String,
    },
    /// An id that the answers use for something else.
    ReservedId {
        /// The id.
        found: String,
    },
    /// An id that no entry has.
    NoSuchEntry {
        /// As written.
        found: String,
        /// What it must be the id of.
        wanted: &'static str,
        /// Every id that would do.
        known: Vec<String>,
        /// The one most like it.
        nearest: Option<String>,
    },
    /// An id that means two entries of different lists.
    AmbiguousEntry {
        /// As written.
        found: String,
        /// JSON pointers of the two.
        entries: [String; 2],
    },
    /// A value above the one it must not exceed.
    AboveOther {
        /// The value.
        found: f64,
        /// Key of the other.
        other_key: String,
        /// Value of the other.
        other: f64,
    },
    /// A key that does not belong to the entry's kind.
    NotForKind {
        /// The key that names the kind.
        kind_key: &'static str,
        /// The kind.
        kind: String,
        /// The kinds it belongs to.
        belongs_to: &'static str,
    },
    /// Two keys of which one must be given, and both are.
    BothGiven {
        /// The other key.
        other_key: &'static str,
    },
    /// Two keys for one quantity in different units, and both are given.
    SameQuantity {
        /// The other key.
        other_key: String,
    },
    /// Two keys of which one must be given, and none is.
    NeitherGiven {
        /// The keys.
        keys: [&'static str; 2],
    },
    /// A key that needs another one beside it.
    NeedsOther {
        /// The other key.
        other_key: &'static str,
    },
    /// No bank has the role `house`.
    NoHouseBank,
    /// A charger wants the alternator, and there is none.
    NoAlternator,
    /// A charger of this kind cannot be fed so.
    WrongSource {
        /// As written.
        found: String,
        /// The kind of charger.
        kind: &'static str,
        /// What may feed it.
        allowed: &'static str,
    },
    /// Banks charge each other in a ring.
    ChargeRing {
        /// The banks, the first again at the end.
        banks: Vec<String>,
    },
    /// A panel shares the box of a charger that charges another bank.
    SharesOtherBank {
        /// The charger.
        charger: String,
        /// The bank it charges.
        charges: String,
        /// The bank the panel charges.
        panel_charges: String,
    },
    /// More hours of use than the window holds.
    MoreHoursThanWindow {
        /// Hours a day.
        hours: f64,
        /// Hours of the window at its longest on this trip.
        window_hours: f64,
    },
    /// A load that can never be live.
    NeverLive {
        /// Why.
        why: &'static str,
    },
    /// A fridge whose data-sheet point draws more than its compressor.
    RatedAboveRunning {
        /// Power of the data-sheet point.
        rated_w: f64,
        /// Power of the running compressor.
        running_w: f64,
    },
    /// A data-sheet point that is no warmer outside than inside.
    RatedNotWarmer {
        /// Outside.
        ambient_c: f64,
        /// Inside.
        inside_c: f64,
    },
    /// More nights than a trip may have.
    TooManyNights {
        /// Nights of all legs.
        nights: u32,
        /// The limit.
        limit: u32,
    },
    /// A trip longer than the limit.
    TripTooLong {
        /// Nominal length, days.
        days: f64,
        /// The limit.
        limit: u32,
    },
    /// A month that stands twice in the table.
    DoubledMonth {
        /// 1 to 12.
        month: u32,
    },
    /// Months that the trip touches and the table lacks.
    MonthsMissing {
        /// 1 to 12 each.
        months: Vec<u32>,
    },
    /// A mean clearness that no distribution of days can have.
    ImpossibleClearness {
        /// The key that gives it.
        key: &'static str,
        /// Its value.
        found: f64,
        /// Least that is possible.
        least: f64,
        /// Most that is possible.
        most: f64,
        /// Where; `None` for `kt` itself.
        place: Option<String>,
    },
    /// Sun in a month in which it does not rise.
    SunInPolarNight {
        /// `sun_hours`.
        found: f64,
        /// Where.
        place: String,
    },
    /// A spread of clearness wider than its mean leaves room for.
    ImpossibleClearnessSpread {
        /// `kt_sd`.
        found: f64,
        /// The most there can be.
        most: f64,
    },
    /// Autocorrelations that no series of days has.
    ImpossibleAutocorrelation(ImpossibleAutocorrelation),
    /// A place that the built-in climate does not reach.
    OutsideBuiltInClimate {
        /// Latitude.
        lat_deg: f64,
        /// Longitude.
        lon_deg: f64,
        /// Distance of the nearest cell.
        nearest_cell_km: f64,
        /// What was likely meant, and where that is.
        meant: Option<String>,
    },
    /// A weather file without days of the trip's season.
    NoSeason {
        /// Name of the file.
        file: String,
        /// Days in a row that are needed.
        block_days: u32,
        /// How far from the date they may begin.
        season_days: u32,
        /// The first such date.
        date: chrono::NaiveDate,
    },
    /// A year that a weather file cannot replay.
    NoSuchYear {
        /// The year.
        year: i32,
        /// Why not.
        why: String,
    },
    /// A weather file that cannot be read.
    WeatherFile {
        /// Name of the file.
        file: String,
        /// What is wrong with it.
        error: String,
    },
    /// A run that begins where it ends.
    RunToItself {
        /// The id.
        found: String,
    },
    /// A run carries the current of something it does not touch.
    CarriesUntouched {
        /// The id it carries.
        found: String,
        /// Where the run begins and ends.
        ends: [String; 2],
    },
    /// The file passed its schema and still does not fit the types.
    Unfit {
        /// What the reader says.
        error: String,
    },
}
