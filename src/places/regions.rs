//! Names of regions for lands whose table has only numbers for them.
//!
//! One job: the numbers of Australia's and Canada's regions to the letters and names that people
//! there write. The United States have letters in the table itself.
//!
//! From memory, held by `tests/places.rs` to the capital of each region.

/// Country, the table's region, its letters, its name.
const REGIONS: [(&str, &str, &str, &str); 21] = [
    ("AU", "01", "ACT", "Australian Capital Territory"),
    ("AU", "02", "NSW", "New South Wales"),
    ("AU", "03", "NT", "Northern Territory"),
    ("AU", "04", "QLD", "Queensland"),
    ("AU", "05", "SA", "South Australia"),
    ("AU", "06", "TAS", "Tasmania"),
    ("AU", "07", "VIC", "Victoria"),
    ("AU", "08", "WA", "Western Australia"),
    ("CA", "01", "AB", "Alberta"),
    ("CA", "02", "BC", "British Columbia"),
    ("CA", "03", "MB", "Manitoba"),
    ("CA", "04", "NB", "New Brunswick"),
    ("CA", "05", "NL", "Newfoundland and Labrador"),
    ("CA", "07", "NS", "Nova Scotia"),
    ("CA", "08", "ON", "Ontario"),
    ("CA", "09", "PE", "Prince Edward Island"),
    ("CA", "10", "QC", "Quebec"),
    ("CA", "11", "SK", "Saskatchewan"),
    ("CA", "12", "YT", "Yukon"),
    ("CA", "13", "NT", "Northwest Territories"),
    ("CA", "14", "NU", "Nunavut"),
];

/// Letters and name of a region that the table has only a number for.
pub(super) fn letters_and_name(
    country: &str,
    region: &str,
) -> Option<(&'static str, &'static str)> {
    REGIONS
        .iter()
        .find(|row| row.0 == country && row.1 == region)
        .map(|row| (row.2, row.3))
}
