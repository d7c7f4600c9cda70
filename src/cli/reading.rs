//! Scenario files from disk.

use std::borrow::Cow;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use tideover::command::{self, Beside};
use tideover::scenario::Reading;
use tideover::sky::history::is_utf16;

use super::Failure;
use super::land::Land;

/// Largest scenario file that is read; real ones have some kilobytes.
const SCENARIO_LIMIT_MB: u64 = 16;
/// Largest weather file that is read: a century of hours has some 50 MB.
const WEATHER_LIMIT_MB: u64 = 512;

/// Path of a scenario that comes through stdin.
const STDIN: &str = "-";

/// What a scenario file is called on the screen and in names of folders.
pub(super) fn shown_path(path: &Path) -> Cow<'_, str> {
    if path == Path::new(STDIN) {
        Cow::Borrowed("stdin")
    } else {
        path.to_string_lossy()
    }
}

/// The file's own name, without its folders.
pub(super) fn file_name(path: &Path) -> String {
    let shown = shown_path(path);
    let name = Path::new(shown.as_ref()).file_name();
    name.map_or(shown.to_string(), |name| {
        name.to_string_lossy().into_owned()
    })
}

/// Reads and checks a scenario file, and the weather file it may name; shown in the units asked for.
pub(super) fn read_scenario(path: &Path, land: &Land) -> Result<Reading, Failure> {
    let files = |name: &str| read_weather(path, name);
    let Reading { scenario } = check_text(&read_text(path)?, path, &files)?;
    let scenario = scenario.in_units(land.units);
    Ok(Reading { scenario })
}

/// Reads the text of a scenario file.
pub(super) fn read_text(path: &Path) -> Result<String, Failure> {
    let bytes = if path == Path::new(STDIN) {
        let mut stdin = io::stdin().lock();
        read_limited(&mut stdin, path, SCENARIO_LIMIT_MB)?
    } else {
        read_bytes(path, SCENARIO_LIMIT_MB)?
    };
    if is_utf16(&bytes) {
        return Err(Failure::Utf16(path.to_owned()));
    }
    utf8(bytes, path)
}

/// The text of a file's bytes.
pub(super) fn utf8(bytes: Vec<u8>, path: &Path) -> Result<String, Failure> {
    String::from_utf8(bytes).map_err(|error| Failure::NotUtf8 {
        path: path.to_owned(),
        byte: error.utf8_error().valid_up_to() + 1,
    })
}

/// Checks the text of a scenario file that lies, or could lie, at `path`, with the weather file
/// it may name.
pub(super) fn check_text(text: &str, path: &Path, files: &Beside<'_>) -> Result<Reading, Failure> {
    Ok(command::read_scenario(text, &shown_path(path), files)?)
}

/// Reads the weather file that the scenario at `path` names; else why not, and whether it is the
/// file that cannot be read.
pub(super) fn read_weather(path: &Path, name: &str) -> Result<Vec<u8>, (bool, String)> {
    let weather = path.parent().unwrap_or(Path::new("")).join(name);
    read_bytes(&weather, WEATHER_LIMIT_MB).map_err(|failure| {
        let text = match &failure {
            Failure::File { error, .. } => format!("it cannot be read: {error}"),
            _ => format!("it is larger than {WEATHER_LIMIT_MB} MB"),
        };
        (failure.status() == 3, text)
    })
}

/// Reads a whole file of at most `limit_mb`.
pub(super) fn read_bytes(path: &Path, limit_mb: u64) -> Result<Vec<u8>, Failure> {
    let mut file = File::open(path).map_err(|error| cannot("open", path, error))?;
    read_limited(&mut file, path, limit_mb)
}

fn cannot(act: &'static str, path: &Path, error: io::Error) -> Failure {
    let path = path.to_owned();
    Failure::File { act, path, error }
}

fn read_limited(from: &mut dyn Read, path: &Path, limit_mb: u64) -> Result<Vec<u8>, Failure> {
    let limit = limit_mb * 1_000_000;
    let mut bytes = Vec::new();
    from.take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| cannot("read", path, error))?;
    if u64::try_from(bytes.len()).is_ok_and(|length| length > limit) {
        let path = path.to_owned();
        return Err(Failure::TooLarge { path, limit_mb });
    }
    Ok(bytes)
}
