//! How often bytes are read. Two projects that differ in the sizes of their papers alone: what the program
//! reads more of the larger one, over the bytes that its papers have more, is the number of readings.

use super::common::{program, temporary};
use super::made::{NAME, SMALL, Size, make};
use super::watched::watched;

const MIB: u64 = 1 << 20;

/// Bytes read by closeout with so much recovery data and by verify, of papers of so many MiB.
fn read(paper_mib: u64, repair_percent: u32) -> [u64; 2] {
    let project = temporary();
    let out = temporary();
    make(project.path(), &Size { papers: 4, paper_bytes: paper_mib * MIB, ..SMALL });
    let mut closeout = program();
    closeout.arg("closeout").arg(project.path()).arg("--out").arg(out.path());
    closeout.arg("--repair-percent").arg(repair_percent.to_string());
    let closeout = watched(&mut closeout).exits(3);
    let zip = out.path().join(format!("{NAME}.zip"));
    let verify = watched(program().arg("verify").arg(zip)).exits(0);
    [closeout.read, verify.read]
}

/// How often each byte of a paper is read by closeout, and by verify.
fn times(repair_percent: u32) -> [f64; 2] {
    const PAPERS: [u64; 2] = [1, 16];
    let [few, many] = PAPERS.map(|mib| read(mib, repair_percent));
    let more = 4 * (PAPERS[1] - PAPERS[0]) * MIB;
    [0, 1].map(|which| (many[which] - few[which]) as f64 / more as f64)
}

fn about(found: f64, meant: f64) -> bool {
    (found - meant).abs() < 0.03
}

/// Once to pack them, once to prove what was written.
#[test]
fn closeout_reads_papers_once_and_what_it_wrote_once() {
    let [closeout, verify] = times(0);
    assert!(about(closeout, 2.0), "closeout reads each byte {closeout} times");
    assert!(about(verify, 1.0), "verify reads each byte {verify} times");
}

/// Once more for the checksums of its slices and once to combine them; of the recovery slices, a tenth, once
/// for the checksums of their packets and once to prove them. Verify reads them once.
#[test]
fn recovery_data_takes_two_readings_of_the_bundle_and_two_of_itself() {
    let [closeout, verify] = times(10);
    assert!(about(closeout, 4.2), "closeout reads each byte {closeout} times");
    assert!(about(verify, 1.1), "verify reads each byte {verify} times");
}
