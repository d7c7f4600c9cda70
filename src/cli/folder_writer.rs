//! The one writer of a folder, and what killed ones left in it.
//!
//! One job: a lock that the system lets go with the process that holds it, so that whatever is staged
//! while it is ours was left by a dead run: a set that was being put in place is finished, the rest
//! cleared. The folder is not exchanged for a new one in one step: that would take from the user what
//! others put there meanwhile, and the folder itself from whoever stands in it or watches it.
//! Left out: systems that cannot open a folder or lock it; nothing is cleared there.

use std::fs::{self, File};
use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};

/// Names of staged files begin so.
pub(super) const STAGED: &str = ".tideover-";
/// Letters and digits after it.
const RANDOM: usize = 6;
/// The set that is being put in place.
const SET: &str = ".tideover-set";

/// Which staged file takes which place, and whose they are.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Set {
    /// The command line.
    pub(super) run: String,
    /// Name of the staged file, name of the output.
    pub(super) files: Vec<(String, String)>,
}

/// The right to write into a folder, as long as it lives.
#[derive(Debug)]
pub(super) struct Writer {
    pub(super) handle: Option<File>,
    /// The run that was killed while its files were put in place, if one was.
    pub(super) finished: Option<String>,
}

impl Writer {
    /// Waits for other writers and tidies up after dead ones.
    pub(super) fn of(folder: &Path) -> Self {
        let handle = File::open(folder)
            .ok()
            .filter(|handle| handle.lock().is_ok());
        let finished = handle.as_ref().and_then(|_| {
            let finished = finish(folder);
            clear(folder);
            finished
        });
        Self { handle, finished }
    }

    /// From now on the set is as good as in place: whatever happens, the next writer finishes it.
    pub(super) fn promise(&self, folder: &Path, set: &Set) -> io::Result<()> {
        let mut staged = tempfile::Builder::new()
            .prefix(STAGED)
            .tempfile_in(folder)?;
        serde_json::to_writer(&mut staged, set)?;
        staged.as_file().sync_all()?;
        staged.persist(folder.join(SET))?;
        if let Some(handle) = &self.handle {
            // Where a folder cannot be synced, a power cut may lose the promise, but nothing else.
            let _ = handle.sync_all();
        }
        Ok(())
    }
}

/// The set is in place, or has failed and been said to.
pub(super) fn settle(folder: &Path) {
    let _ = fs::remove_file(folder.join(SET));
}

/// Puts the rest of a killed run's set in place; whose it was.
fn finish(folder: &Path) -> Option<String> {
    let bytes = fs::read(folder.join(SET)).ok()?;
    let set: Option<Set> = serde_json::from_slice(&bytes).ok();
    let mut missing = set.as_ref().map_or(&[][..], |set| &set.files).iter();
    let is_finished = missing.all(|(staged, name)| {
        let (from, to) = (folder.join(staged), folder.join(name));
        let is_ours = is_staged(staged) && is_plain(name);
        !is_ours || !from.exists() || (check_place(&to).is_ok() && fs::rename(from, to).is_ok())
    });
    settle(folder);
    set.filter(|_| is_finished).map(|set| set.run)
}

fn clear(folder: &Path) {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries.filter(|entry| entry.file_name().to_str().is_some_and(is_staged)) {
        if entry.file_type().is_ok_and(|kind| kind.is_file()) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_staged(name: &str) -> bool {
    name.strip_prefix(STAGED).is_some_and(|rest| {
        rest.len() == RANDOM && rest.bytes().all(|byte| byte.is_ascii_alphanumeric())
    })
}

/// Whether a name stays in its folder.
fn is_plain(name: &str) -> bool {
    Path::new(name).file_name().is_some_and(|last| last == name)
}

/// Whether a file may take this place: nobody's link, no file that its owner made read-only, no folder.
pub(super) fn check_place(path: &Path) -> io::Result<()> {
    let Ok(found) = path.symlink_metadata() else {
        return Ok(());
    };
    let refused = |why| Err(io::Error::new(io::ErrorKind::PermissionDenied, why));
    if found.is_dir() {
        Err(io::ErrorKind::IsADirectory.into())
    } else if found.is_symlink() {
        refused("it is a link, and links are not replaced")
    } else if found.permissions().readonly() {
        refused("it is read-only, and such files are not replaced")
    } else {
        Ok(())
    }
}

/// Whether a folder can be there: neither it nor what it lies in is a file.
pub(super) fn check_folder(folder: &Path) -> io::Result<()> {
    let there = folder.ancestors().find_map(|path| path.metadata().ok());
    match there {
        Some(found) if !found.is_dir() => Err(io::ErrorKind::NotADirectory.into()),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_the_user_are_not_ours() {
        assert!(is_staged(".tideover-Ab3dEf"));
        for name in [
            ".tideover-notes.txt",
            ".tideover-set",
            ".tideover-",
            "trip.svg",
        ] {
            assert!(!is_staged(name), "{name}");
        }
        assert!(is_plain("trip.svg"));
        for name in ["../trip.svg", "/etc/trip.svg", "a/b", "..", ""] {
            assert!(!is_plain(name), "{name}");
        }
    }
}
