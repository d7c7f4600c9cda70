//! The files of one command: whole, and all of them or none.
//!
//! One job: every file is first written beside its place and only renamed when all are there, so
//! that a full disk leaves the earlier outputs untouched; and before the first is renamed, the set is
//! written down, so that what a kill leaves half done is finished by the next run. Interruptions wait
//! meanwhile, and so do other commands that write to the folder.

use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

use tideover::present::plain_text::shortened;

use super::folder_writer::{STAGED, Set, Writer, check_place, settle};
use super::interruption::{Outputs, hold_off};
use super::{Failure, screen};

/// Writes the files, by their names, into a folder, which is made where it is missing. Returns their paths
/// in the order given.
pub(super) fn write_all(
    folder: &Path,
    files: &[(String, Vec<u8>)],
) -> Result<Vec<PathBuf>, Failure> {
    let existed = folder.is_dir();
    let cannot = |act| {
        let path = folder.to_owned();
        move |error| Failure::File { act, path, error }
    };
    fs::create_dir_all(folder).map_err(cannot("create the folder"))?;
    let writer = Writer::of(folder);
    if let Some(run) = &writer.finished {
        screen::note(&format!(
            "`{run}` was cut off while its files were put in place in `{}`: now they all are",
            folder.display()
        ));
    }
    let mut outputs = hold_off();
    let staged = stage_all(folder, files);
    if staged.is_err() && !existed {
        // Only an empty folder goes: whatever else appeared in it stays.
        let _ = fs::remove_dir(folder);
    }
    let staged = staged?;
    writer
        .promise(folder, &set(&staged))
        .map_err(cannot("write into"))?;
    let placed: Result<Vec<_>, _> = staged
        .into_iter()
        .map(|(staged, path)| match staged.persist(&path) {
            Ok(_) => Ok(path),
            Err(failed) => Err(cannot_write(&path)(failed.error)),
        })
        .collect();
    settle(folder);
    if placed.is_ok() {
        *outputs = Outputs::InPlace;
    }
    placed
}

fn stage_all(
    folder: &Path,
    files: &[(String, Vec<u8>)],
) -> Result<Vec<(NamedTempFile, PathBuf)>, Failure> {
    let paths = files.iter().map(|(name, bytes)| (folder.join(name), bytes));
    let staged = paths.map(|(path, bytes)| Ok((stage(&path, bytes)?, path)));
    staged.collect()
}

fn cannot_write(path: &Path) -> impl Fn(io::Error) -> Failure {
    move |error| Failure::File {
        act: "write",
        path: path.to_owned(),
        error,
    }
}

/// What the next run needs to finish a set.
fn set(staged: &[(NamedTempFile, PathBuf)]) -> Set {
    let name = |path: &Path| {
        let name = path.file_name().unwrap_or_default();
        name.to_string_lossy().into_owned()
    };
    let words: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    Set {
        run: shortened(&format!("tideover {}", words.join(" ")), 120),
        files: staged
            .iter()
            .map(|(staged, path)| (name(staged.path()), name(path)))
            .collect(),
    }
}

/// The folder that a path lies in.
fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    }
}

/// Writes the bytes beside `path`, ready to be renamed.
fn stage(path: &Path, bytes: &[u8]) -> Result<NamedTempFile, Failure> {
    let cannot = cannot_write(path);
    check_place(path).map_err(&cannot)?;
    let mut builder = Builder::new();
    builder.prefix(STAGED);
    with_usual_permissions(&mut builder);
    let mut staged = builder.tempfile_in(folder_of(path)).map_err(&cannot)?;
    staged
        .write_all(bytes)
        .and_then(|()| staged.as_file().sync_all())
        .map_err(cannot)?;
    Ok(staged)
}

/// Readable as any new file: the user's mask applies.
#[cfg(unix)]
fn with_usual_permissions(builder: &mut Builder<'_, '_>) {
    use std::os::unix::fs::PermissionsExt as _;
    builder.permissions(fs::Permissions::from_mode(0o666));
}

#[cfg(not(unix))]
fn with_usual_permissions(_builder: &mut Builder<'_, '_>) {}

/// Writes one new file, whole; never over an existing one.
pub(super) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let _writer = Writer::of(folder_of(path));
    let mut outputs = hold_off();
    if path.symlink_metadata().is_ok() {
        return Err(Failure::Exists(path.to_owned()));
    }
    match stage(path, bytes)?.persist_noclobber(path) {
        Ok(_) => {
            *outputs = Outputs::InPlace;
            Ok(())
        }
        Err(failed) if failed.error.kind() == io::ErrorKind::AlreadyExists => {
            Err(Failure::Exists(path.to_owned()))
        }
        Err(failed) => Err(cannot_write(path)(failed.error)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(given: &[(&str, &str)]) -> Vec<(String, Vec<u8>)> {
        let given = given.iter();
        let given = given.map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()));
        given.collect()
    }

    #[test]
    fn all_or_none() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path().join("out");
        write_all(&out, &files(&[("a.csv", "old")])).expect("written");

        fs::create_dir(out.join("b.csv")).expect("a folder in the way");
        let second = files(&[("a.csv", "new"), ("b.csv", "new")]);
        assert!(write_all(&out, &second).is_err());
        assert_eq!(fs::read_to_string(out.join("a.csv")).expect("there"), "old");
        assert_eq!(fs::read_dir(&out).expect("there").count(), 2);
    }
    /// A run killed after its first rename: the next one, of another command, finishes its set, clears what
    /// another left, and lets the user's own files be.
    #[test]
    fn what_a_kill_cut_in_two_is_finished() {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path();
        let killed = files(&[("a.csv", "new"), ("b.csv", "new")]);
        fs::write(out.join("a.csv"), "old").expect("written");
        fs::write(out.join("b.csv"), "old").expect("written");
        fs::write(out.join(".tideover-notes"), "mine").expect("written");
        fs::write(out.join(".tideover-abc123"), "half").expect("written");
        let staged = stage_all(out, &killed).expect("staged");
        let writer = Writer {
            handle: None,
            finished: None,
        };
        writer.promise(out, &set(&staged)).expect("written");
        let mut staged = staged.into_iter().map(|(staged, path)| {
            let (_, staged) = staged.keep().expect("kept");
            (staged, path)
        });
        let (from, to) = staged.next().expect("two");
        fs::rename(from, to).expect("renamed");
        staged.for_each(drop);

        write_all(out, &files(&[("c.csv", "other")])).expect("written");
        let text = |name| fs::read_to_string(out.join(name)).expect("there");
        assert_eq!([text("a.csv"), text("b.csv")], ["new", "new"]);
        assert_eq!(text(".tideover-notes"), "mine");
        assert_eq!(fs::read_dir(out).expect("there").count(), 4);
    }
}
