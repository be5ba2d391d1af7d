//! Disks that are full, at many sizes, and files that may not grow.

use std::fs;
use std::process::Command;
use std::sync::OnceLock;

use crate::common::{Said, not_tried, run};
use crate::work::{CLOSEOUT, Laid, REPLACED, Undisturbed, WORKS, Work, is_clear};

/// The words that give a command a mount namespace of its own, if this machine lets anybody have one.
pub fn namespace() -> Option<&'static [&'static str]> {
    static FOUND: OnceLock<Option<&[&str]>> = OnceLock::new();
    *FOUND.get_or_init(|| {
        let ways: [&[&str]; 2] = [&["unshare", "-m"], &["unshare", "-rm"]];
        let works = |way: &&&[&str]| {
            let mount = ["mount", "-t", "tmpfs", "none", "/mnt"];
            let mut command = Command::new(way[0]);
            let command = command.args(&way[1..]).args(mount);
            command.output().is_ok_and(|output| output.status.success())
        };
        let found = ways.iter().find(works).copied();
        if found.is_none() {
            not_tried(
                "no mount namespace can be had here, for small file systems, read-only mounts and media that can't \
                 be read",
            );
        }
        found
    })
}

/// Runs it with `out` on a file system of so many KiB; what then stands there is brought back. The scene
/// ends with 99 if it can't be set.
fn in_small(place: &Laid<'_>, way: &[&str], kib: u64) -> Said {
    let script = "mkdir back && mount -t tmpfs -o size=\"$1\"k,mode=755 none back && cp -a out/. back/ \
                  && mount --move back out || exit 99; shift; \"$@\"; status=$?; \
                  mkdir after && cp -a out/. after/ || exit 99; exit $status";
    let kib = kib.to_string();
    let scene = [way, &["bash", "-c", script, "bash", &kib]].concat();
    let said = run(&mut place.command_in(&scene));
    assert_ne!(said.status, 99, "{}{}", said.out, said.err);
    fs::remove_dir_all(place.path("out")).expect("to remove it");
    fs::rename(place.path("after"), place.path("out")).expect("what stood there");
    said
}

/// What so many files take of a disk, KiB.
fn kib<'a>(files: impl Iterator<Item = &'a Vec<u8>>) -> u64 {
    files.map(|bytes| (bytes.len() as u64).div_ceil(4096) * 4).sum()
}

/// What is there before a run, and what it adds, KiB.
fn needed(undisturbed: &Undisturbed) -> (u64, u64) {
    let new = undisturbed
        .after
        .iter()
        .filter(|(path, bytes)| undisturbed.before.get(*path) != Some(*bytes));
    (kib(undisturbed.before.values()), kib(new.map(|(_, bytes)| bytes)))
}

/// Runs it on disks with room for so many per cent of what it writes. How many failed, and how many did not.
fn on_small_disks(work: &Work, shares: &[u64]) -> [u32; 2] {
    let Some(way) = namespace() else { return [0, 0] };
    let undisturbed = work.undisturbed();
    let (there, new) = needed(undisturbed);
    let mut counts = [0, 0];
    for share in shares {
        let place = Laid::new(work);
        let said = in_small(&place, way, there + 4 + new * share / 100);
        let when = format!("with room for {share} per cent");
        if said.status == undisturbed.status && place.is_sound(&when) {
            counts[1] += 1;
        } else {
            counts[0] += 1;
            // What is salvaged is said to be there or not file by file.
            let advice = "do: make room on the disk";
            let words = ["No space left on device", advice];
            is_clear(&said, &words);
            assert!(place.staging_dirs().is_empty(), "{}, {when}", work.what);
        }
        place.comes_right(&when);
    }
    counts
}

#[test]
fn closeouts_on_disks_that_are_full() {
    let shares = [1, 10, 30, 55, 70, 80, 90, 97, 200];
    let [failed, _] = on_small_disks(&CLOSEOUT, &shares);
    assert!(failed >= 6 || namespace().is_none(), "only {failed} failed");
    on_small_disks(&REPLACED, &[5, 60, 95]);
}

#[test]
fn everything_else_on_disks_that_are_full() {
    let others = WORKS.iter().filter(|work| !work.what.contains("closeout"));
    for work in others.filter(|work| work.what != "salvaging") {
        let [failed, done] = on_small_disks(work, &[3, 50, 200]);
        assert!((failed >= 2 && done == 1) || namespace().is_none(), "{}: {failed}", work.what);
    }
}

/// What can be salvaged on a full disk is, and what can't is named: nothing of it is there in part.
#[test]
fn salvaging_on_a_disk_that_is_full() {
    let Some(way) = namespace() else { return };
    let work = &crate::work::SALVAGED;
    let undisturbed = work.undisturbed();
    let place = Laid::new(work);
    let (there, new) = needed(undisturbed);
    let room = there + new / 2;
    let said = in_small(&place, way, room).exits(1);
    assert!(said.out.contains("No space left on device"), "{}{}", said.out, said.err);
    let found = crate::work::files(&place.path("out"));
    let new: Vec<&String> = found.keys().filter(|path| path.contains("-salvaged/")).collect();
    assert!(!new.is_empty() && found.len() < undisturbed.after.len(), "{new:?}");
    for (path, bytes) in &found {
        assert!(undisturbed.after.get(path) == Some(bytes), "{path} is there in part");
    }
    assert!(place.staging_dirs().is_empty());
}

/// A limit to the size of files, as quotas and old file systems have them: needs no leave at all.
#[test]
fn files_that_may_not_grow() {
    for work in WORKS {
        let undisturbed = work.undisturbed();
        let new = undisturbed
            .after
            .iter()
            .filter(|(path, bytes)| undisturbed.before.get(*path) != Some(*bytes));
        let largest = new.map(|(_, bytes)| bytes.len() as u64 / 1024).max().expect("a file");
        let limits: &[u64] = if work.what == CLOSEOUT.what { &[3, 30, 60, 90] } else { &[50] };
        for share in limits {
            let place = Laid::new(work);
            let limit = (largest * share / 100).to_string();
            let script = "trap '' XFSZ; ulimit -f \"$1\"; shift; exec \"$@\"";
            let said = run(&mut place.command_in(&["bash", "-c", script, "bash", &limit]));
            let when = format!("with files of {limit} KiB at most");
            if work.what == "salvaging" {
                assert!(said.out.contains("File too large"), "{}{}", said.out, said.err);
                continue;
            }
            is_clear(&said, &["File too large", "check the limit on file sizes"]);
            assert!(!place.is_sound(&when) && place.staging_dirs().is_empty());
            place.comes_right(&when);
        }
    }
}

/// The same where the signal that goes with it is let through: as good as killed.
#[test]
fn outgrowing_the_limit_on_files_may_end_the_process() {
    let place = Laid::new(&CLOSEOUT);
    let script = "ulimit -c 0 -f 64; exec \"$@\"";
    let ended = place.command_in(&["bash", "-c", script, "bash"]).output().expect("bash");
    assert_eq!(ended.status.code(), None);
    assert!(!place.is_sound("killed by XFSZ"));
    place.comes_right("killed by XFSZ");
}

/// A file that can be opened and not be read: the run's own memory, from the address 0 on.
#[test]
fn a_medium_that_gives_errors() {
    let Some(way) = namespace() else { return };
    for (paper, what) in [("papers/note.txt", "note.txt"), ("plan/blocks.csv", "blocks.csv")] {
        let place = Laid::new(&CLOSEOUT);
        let script = "mount --bind /proc/$$/mem \"in/project/$1\" || exit 99; shift; exec \"$@\"";
        let said =
            run(&mut place.command_in(&[way, &["bash", "-c", script, "bash", paper]].concat()));
        is_clear(&said, &[what, "can't be read", "Input/output error"]);
        assert!(!place.is_sound("with a bad medium") && place.staging_dirs().is_empty());
        place.comes_right("with a bad medium");
    }
}
