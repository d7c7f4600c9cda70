//! Outputs are whole or not there: processes killed at any moment, folders that take nothing,
//! disks that are full.
//!
//! One job: what is left in the folder of outputs. Every file there is one command's, complete. A kill
//! between two renames, a moment of microseconds, may leave the first files new and the rest old, with a
//! hidden file that says so: the next run, of whatever command, finishes the set and clears all hidden files.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// In the order in which `trip` writes them.
const NAMES: [&str; 4] = ["trip.svg", "autonomy.svg", "trip.csv", "trip.json"];

/// A quick run.
const TRIP: [&str; 8] = [
    "trip",
    "base.json",
    "--trials",
    "64",
    "--step",
    "60",
    "--out",
    "out",
];

type Files = BTreeMap<String, Vec<u8>>;

fn trip(folder: &Path, seed: u32) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tideover"));
    command
        .args(TRIP)
        .args(["--quiet", "--threads", "1", "--seed", &seed.to_string()])
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped());
    command
}

fn finish(folder: &Path, seed: u32) -> Files {
    let output = trip(folder, seed).output().expect("it starts");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    visible(&folder.join("out"))
}

/// A run of another command, quick and into the same folder.
fn another(folder: &Path) -> bool {
    Command::new(env!("CARGO_BIN_EXE_tideover"))
        .args(["wiring", "base.json", "--out", "out"])
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("it starts")
        .success()
}

/// All files but the hidden ones; those must be ours.
fn visible(out: &Path) -> Files {
    let Ok(entries) = fs::read_dir(out) else {
        return Files::new();
    };
    let mut files = Files::new();
    for entry in entries {
        let entry = entry.expect("readable");
        let name = entry.file_name().into_string().expect("text");
        if name.starts_with('.') {
            assert!(name.starts_with(".tideover-"), "{name}");
        } else {
            files.insert(name, fs::read(entry.path()).expect("readable"));
        }
    }
    files
}

fn has_hidden(out: &Path) -> bool {
    fs::read_dir(out).is_ok_and(|mut entries| {
        entries.any(|entry| {
            entry.is_ok_and(|entry| entry.file_name().to_string_lossy().starts_with('.'))
        })
    })
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    // A trip in doubt: seeds differ in every file.
    let text = include_str!("scenarios/two-days.json");
    fs::write(folder.path().join("base.json"), text).expect("written");
    folder
}

fn wait_for_writing(child: &mut Child, out: &Path) {
    let since = Instant::now();
    while !has_hidden(out) && since.elapsed() < Duration::from_secs(5) {
        if child.try_wait().expect("ours").is_some() {
            return;
        }
    }
}

/// Twenty interruptions of a `trip` over the outputs of another, while it writes: the outputs are then all
/// as they were and the status is 3, or all new and it is 0; nothing hidden stays.
#[cfg(target_os = "linux")]
#[test]
fn law_an_interrupted_trip_leaves_all_or_nothing() {
    let folder = folder();
    let out = folder.path().join("out");
    let generations = [finish(folder.path(), 1), finish(folder.path(), 2)];
    let mut random: u64 = 7;
    for _ in 0..20 {
        finish(folder.path(), 1);
        let mut child = trip(folder.path(), 2).spawn().expect("it starts");
        // The handler is set once it has its thread; then at once, or when the files appear.
        let threads = format!("/proc/{}/task", child.id());
        let since = Instant::now();
        while fs::read_dir(&threads).map_or(0, Iterator::count) < 2
            && since.elapsed() < Duration::from_secs(5)
            && child.try_wait().expect("ours").is_none()
        {}
        random = random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        if random >> 63 == 0 {
            wait_for_writing(&mut child, &out);
        }
        sleep(Duration::from_micros((random >> 20) % 2_000));
        let sent = Command::new("kill")
            .args(["-INT", &child.id().to_string()])
            .stderr(Stdio::null())
            .status();
        sent.expect("kill is there");
        let status = child.wait().expect("ours");
        let found = visible(&out);
        match status.code() {
            Some(0) => assert!(found == generations[1], "not all new"),
            Some(3) => assert!(found == generations[0], "not as they were"),
            other => panic!("status {other:?}"),
        }
        assert!(!has_hidden(&out));
    }
}

/// Thirty kills of a `trip` over the outputs of another, half at random moments of its life, half
/// while it writes, and ten of a first one. Each file is then whole: the earlier or the new one,
/// and new ones only before old ones in the order of writing. A later run mends all.
#[test]
fn law_a_killed_trip_leaves_whole_files() {
    let folder = folder();
    let out = folder.path().join("out");
    let generations = [finish(folder.path(), 1), finish(folder.path(), 2)];
    assert_eq!(generations[0].len(), NAMES.len());
    for name in NAMES {
        assert!(
            generations[0][name] != generations[1][name],
            "{name}: seeds do not differ"
        );
    }
    let since = Instant::now();
    finish(folder.path(), 1);
    let life_us = u64::try_from(since.elapsed().as_micros()).expect("short");

    let (mut killed, mut old, mut new, mut mixed) = (0, 0, 0, 0);
    let mut random: u64 = 99;
    for round in 0..40_u32 {
        random = random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        let is_first = round >= 30;
        if is_first {
            // The round before may have been killed before it made the folder.
            let _ = fs::remove_dir_all(&out);
        } else {
            assert!(
                finish(folder.path(), 1) == generations[0],
                "a later run mends all"
            );
        }
        let mut child = trip(folder.path(), 2).spawn().expect("it starts");
        if round % 2 == 0 {
            sleep(Duration::from_micros(
                (random >> 20) % (life_us + life_us / 4),
            ));
        } else {
            wait_for_writing(&mut child, &out);
            sleep(Duration::from_micros((random >> 20) % (1 + life_us / 8)));
        }
        let _ = child.kill();
        let status = child.wait().expect("ours");
        killed += u32::from(status.code().is_none());

        let found = visible(&out);
        let is_new: Vec<bool> = NAMES
            .iter()
            .map(|name| match found.get(*name) {
                None => {
                    assert!(is_first, "{name} is gone");
                    false
                }
                Some(bytes) if *bytes == generations[1][*name] => true,
                Some(bytes) => {
                    assert!(
                        !is_first && *bytes == generations[0][*name],
                        "{name} is not whole"
                    );
                    false
                }
            })
            .collect();
        assert!(
            found.keys().all(|name| NAMES.contains(&name.as_str())),
            "{:?}",
            found.keys()
        );
        assert!(is_new.is_sorted_by(|a, b| a >= b), "{is_new:?}");
        match is_new.iter().filter(|is_new| **is_new).count() {
            0 => old += 1,
            4 => new += 1,
            _ => {
                mixed += 1;
                assert!(
                    out.join(".tideover-set").exists(),
                    "nobody knows it is mixed"
                );
            }
        }
        if is_new[0] {
            assert!(another(folder.path()), "it writes too");
            let found = visible(&out);
            let is_whole = NAMES
                .iter()
                .all(|name| found[*name] == generations[1][*name]);
            assert!(is_whole, "the next run finishes the set");
            assert!(!has_hidden(&out), "the next run clears");
            for name in found.keys().filter(|name| name.starts_with("wiring.")) {
                fs::remove_file(out.join(name)).expect("there");
            }
        }
    }
    assert!(
        killed >= 5,
        "only {killed} of 40 were killed: the moments are wrong"
    );
    assert!(mixed <= 20, "{mixed} mixed");
    assert!(
        finish(folder.path(), 2) == generations[1],
        "a later run mends all"
    );
    println_for_people(killed, old, new, mixed);
}

#[expect(
    clippy::print_stderr,
    reason = "figures for those who read the test's output"
)]
fn println_for_people(killed: u32, old: u32, new: u32, mixed: u32) {
    eprintln!("{killed} of 40 killed; left old {old}, new {new}, mixed {mixed}");
}

fn refused(output: &Output, piece: &str) {
    let words = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(3), "{words}");
    assert!(words.starts_with("error: cannot "), "{words}");
    assert!(words.contains(piece), "no `{piece}` in {words}");
}

/// What a killed run left half written goes with the next one; what the user keeps there stays.
#[test]
fn law_the_next_run_clears_what_a_kill_left() {
    let folder = folder();
    let out = folder.path().join("out");
    fs::create_dir_all(out.join("mine")).expect("made");
    fs::write(out.join("notes.txt"), "mine").expect("written");
    fs::write(out.join(".tideover-Xy12ab"), "half").expect("written");
    assert!(another(folder.path()));
    assert!(!has_hidden(&out));
    assert_eq!(fs::read(out.join("notes.txt")).expect("there"), b"mine");
    assert!(out.join("mine").is_dir());
}

/// Links and read-only files are someone's: they are not replaced, and nothing else is written.
#[cfg(unix)]
#[test]
fn refuses_to_replace_links_and_read_only_outputs() {
    let folder = folder();
    let out = folder.path().join("out");
    fs::create_dir(&out).expect("made");
    let elsewhere = folder.path().join("elsewhere.csv");
    fs::write(&elsewhere, "mine").expect("written");
    std::os::unix::fs::symlink(&elsewhere, out.join("trip.csv")).expect("a link");
    let output = trip(folder.path(), 1).output().expect("it starts");
    refused(
        &output,
        "cannot write `out/trip.csv`: it is a link, and links are not replaced",
    );
    assert_eq!(fs::read(&elsewhere).expect("there"), b"mine");
    assert_eq!(fs::read_dir(&out).expect("there").count(), 1);

    fs::remove_file(out.join("trip.csv")).expect("ours");
    fs::write(out.join("trip.svg"), "mine").expect("written");
    let mut rights = fs::metadata(out.join("trip.svg"))
        .expect("there")
        .permissions();
    rights.set_readonly(true);
    fs::set_permissions(out.join("trip.svg"), rights).expect("set");
    let output = trip(folder.path(), 1).output().expect("it starts");
    refused(&output, "cannot write `out/trip.svg`: it is read-only");
    assert_eq!(fs::read(out.join("trip.svg")).expect("there"), b"mine");
    assert_eq!(fs::read_dir(&out).expect("there").count(), 1);
}

/// A name of dots does not lead out of `output/`.
#[test]
fn law_names_of_dots_stay_within_output() {
    for name in ["...json", "..json"] {
        let folder = folder();
        fs::rename(folder.path().join("base.json"), folder.path().join(name)).expect("renamed");
        let status = Command::new(env!("CARGO_BIN_EXE_tideover"))
            .args(["trip", name, "--trials", "10", "--step", "60", "--quiet"])
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .status();
        assert!(status.expect("it starts").success(), "{name}");
        let here = fs::read_dir(folder.path()).expect("there").count();
        assert_eq!(here, 2, "{name}");
        assert!(
            folder
                .path()
                .join("output")
                .join(name)
                .join("trip.svg")
                .exists()
        );
    }
}

/// A folder that cannot be made: a file stands in its place.
#[test]
fn refuses_a_file_in_place_of_the_folder() {
    let folder = folder();
    fs::write(folder.path().join("out"), "mine").expect("written");
    let output = trip(folder.path(), 1).output().expect("it starts");
    refused(&output, "cannot create the folder `out`: ");
    assert_eq!(fs::read(folder.path().join("out")).expect("there"), b"mine");
}

/// One output's place is taken by a folder: none of the others is written.
#[test]
fn refuses_a_folder_in_place_of_an_output() {
    let folder = folder();
    let out = folder.path().join("out");
    fs::create_dir_all(out.join("trip.csv")).expect("made");
    let output = trip(folder.path(), 1).output().expect("it starts");
    refused(&output, "cannot write `out/trip.csv`: ");
    assert_eq!(fs::read_dir(&out).expect("there").count(), 1);
}

/// A folder without the right to write in it. Whoever may write everywhere sees nothing of this.
#[cfg(unix)]
#[test]
fn refuses_a_folder_without_the_right_to_write() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = folder();
    let out = folder.path().join("out");
    fs::create_dir(&out).expect("made");
    fs::set_permissions(&out, fs::Permissions::from_mode(0o555)).expect("set");
    let may_anyway = fs::write(out.join("try"), "").is_ok();
    let output = trip(folder.path(), 1).output().expect("it starts");
    if !may_anyway {
        refused(&output, "cannot write `out/trip.svg`: ");
        assert_eq!(fs::read_dir(&out).expect("there").count(), 0);
    }
    fs::set_permissions(&out, fs::Permissions::from_mode(0o755)).expect("set");
}

/// A disk that takes a few kilobytes: a limit on the size of files stands for it. The earlier
/// outputs stay; a folder made for new ones goes.
#[cfg(unix)]
#[test]
fn refuses_a_full_disk() {
    let folder = folder();
    let out = folder.path().join("out");
    let limited = || {
        Command::new("sh")
            .args(["-c", "trap '' XFSZ; ulimit -f 8; exec \"$0\" \"$@\""])
            .arg(env!("CARGO_BIN_EXE_tideover"))
            .args(TRIP)
            .args(["--seed", "2"])
            .current_dir(folder.path())
            .output()
            .expect("a shell")
    };
    let output = limited();
    refused(&output, "cannot write `out/trip.svg`: ");
    assert!(output.stdout.is_empty());
    assert!(!out.exists());

    let before = finish(folder.path(), 1);
    refused(&limited(), "cannot write `out/trip.svg`: ");
    assert!(visible(&out) == before, "the earlier outputs stay");
    assert!(!has_hidden(&out));
}

/// An answer that cannot be put on stdout.
#[cfg(target_os = "linux")]
#[test]
fn refuses_a_full_stdout() {
    let folder = folder();
    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("a device");
    let output = trip(folder.path(), 1)
        .stdout(full)
        .output()
        .expect("it starts");
    refused(&output, "cannot write the answer: ");
}
