//! Memory: what a large project takes does not grow with its papers, nor with the bundle.

use std::env;
use std::fs::OpenOptions;
use std::io::{Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::process::Command;

use lastdock::bundle::recovery::make;
use lastdock::bundle::staging::StagingDir;
use tempfile::TempDir;

use super::bags;
use super::common::{NAME as SAMPLE, closed, not_tried, program, run, temporary};
use super::made::{NAME, SMALL, Size, make};
use super::watched::{Watched, watched};

const MIB: u64 = 1 << 20;

/// What closeout may take more with more papers, KiB: the sizes of heaps vary a little.
const WITHIN_KIB: u64 = 8 * 1024;

/// Runs of which the least counts, where what two threads hold at a time hangs on which of them comes first.
const TRIES: usize = 4;

/// What closeout may take for a paper more, KiB: its names, checksums and findings, some of them in two forms at
/// a time. A row of the report would take hundreds.
const PER_PAPER_KIB: u64 = 20;

/// What verify, mend and making recovery data may take, KiB.
pub const MOST_KIB: u64 = 200 * 1024;

/// A project closed out.
struct Closed {
    run: Watched,
    out: TempDir,
}

impl Closed {
    fn new(project: &Path, repair_percent: u32) -> Self {
        let out = temporary();
        let mut closeout = program();
        // What two threads of the typesetter hold at a time hangs on which of them comes first.
        closeout.args(["--jobs", "1", "closeout"]).arg(project).arg("--out").arg(out.path());
        closeout.arg("--repair-percent").arg(repair_percent.to_string());
        Self { run: watched(&mut closeout).exits(3), out }
    }

    fn close_out(size: &Size) -> Self {
        let project = temporary();
        make(project.path(), size);
        Self::new(project.path(), 10)
    }

    fn zip(&self) -> PathBuf {
        self.out.path().join(format!("{NAME}.zip"))
    }
}

fn verify(zip: &Path) -> Watched {
    watched(program().arg("verify").arg(zip))
}

/// Damages a file at some places.
fn damage(path: &Path) {
    let mut file = OpenOptions::new().write(true).open(path).expect("a bundle");
    let size = file.metadata().expect("its size").len();
    for part in 1..8 {
        file.seek(SeekFrom::Start(size / 8 * part)).expect("a place in it");
        file.write_all(b"damaged").expect("to write");
    }
}

#[test]
fn closeout_verify_and_mend_take_no_more_memory_with_more_papers() {
    let papers = |mib: u64| Size { papers: 10, paper_bytes: mib * MIB, ..SMALL };
    // Without recovery data, whose making has a limit of its own, below.
    let [a, b] = [2, 20].map(|mib| {
        let project = temporary();
        make(project.path(), &papers(mib));
        // Whatever disturbs makes it dearer.
        let runs = (0..TRIES).map(|_| Closed::new(project.path(), 0).run.peak_kib);
        runs.min().expect("a run")
    });
    println!("closeout took {a} KiB, with 10 times the papers {b} KiB");
    assert!(b < a + WITHIN_KIB);
    let (few, many) = (Closed::close_out(&papers(2)), Closed::close_out(&papers(20)));
    let [a, b] = [&few, &many].map(|closed| verify(&closed.zip()).exits(0).peak_kib);
    println!("verify took {a} KiB, with 10 times the papers {b} KiB");
    assert!(b < a + WITHIN_KIB && b < MOST_KIB);
    let [a, b] = [&few, &many].map(|closed| {
        damage(&closed.zip());
        watched(program().arg("mend").arg(closed.zip())).exits(3).peak_kib
    });
    println!("mend took {a} KiB, with 10 times the papers {b} KiB");
    assert!(a < MOST_KIB && b < MOST_KIB);
    let peak_kib = recovery_made_alone(&many.zip());
    println!("making recovery data took {peak_kib} KiB");
    assert!(peak_kib < MOST_KIB);
}

/// Beyond a thousand, papers and what was found of them are counted in the report, not printed one by one.
#[test]
fn closeout_takes_little_more_memory_with_many_more_papers() {
    let papers = |papers: usize| Size { papers, paper_bytes: 16, ..SMALL };
    let [few, many] = [1_100, 5_500].map(|count| Closed::close_out(&papers(count)).run.peak_kib);
    println!("closeout took {few} KiB, with five times as many papers {many} KiB");
    assert!(many < few + PER_PAPER_KIB * 4_400);
}

/// The variable that names the file of which a process of its own makes recovery data.
const OF: &str = "LASTDOCK_RECOVERY_OF";

/// The most memory, KiB, of a process that makes recovery data of a file and does nothing else.
fn recovery_made_alone(zip: &Path) -> u64 {
    let mut alone = Command::new(env::current_exe().expect("this test"));
    alone.args(["--exact", "memory::recovery_data_of_a_file_that_is_named", "--ignored"]);
    watched(alone.env(OF, zip)).exits(0).peak_kib
}

#[test]
#[ignore = "is run by others, which watch it"]
fn recovery_data_of_a_file_that_is_named() {
    let Some(zip) = env::var_os(OF).map(PathBuf::from) else { return };
    let out = temporary();
    let staging = StagingDir::inside(out.path()).expect("a staging folder");
    let made = make::make(&zip, "some.zip", 10, &staging, &|_| {}).expect("recovery data");
    assert_eq!(made.len(), 2);
}

#[test]
fn a_bundle_of_more_entries_than_sixteen_bits_count_is_verified() {
    let folder = temporary();
    let zip = folder.path().join(format!("{SAMPLE}.zip"));
    bags::with_more_files(&closed().zip, &zip, 70_000);
    let run = verify(&zip).exits(0);
    println!("verify took {} KiB for 70 000 files\n{}", run.peak_kib, run.said);
    assert!(run.said.contains("files") && run.peak_kib < MOST_KIB);
    let peak_kib = recovery_made_alone(&zip);
    println!("making recovery data took {peak_kib} KiB");
    assert!(peak_kib < MOST_KIB);
}

/// Whether a judge passes a zip; one that is not here is named.
fn judged(judge: &mut Command) {
    if judge.output().is_err() {
        not_tried(&format!("{judge:?} can't be run here"));
        return;
    }
    run(judge).exits(0);
}

/// A paper past 4 GiB: sizes and offsets of 64 bits in the zip.
#[test]
#[ignore = "takes minutes and 20 GB of disk"]
fn a_paper_past_four_gib_is_closed_out_verified_and_mended() {
    let project = temporary();
    make(project.path(), &Size { papers: 2, paper_bytes: MIB, ..SMALL });
    let long = OpenOptions::new().write(true).open(project.path().join("papers/log-000000.wav"));
    long.and_then(|file| file.set_len((4 << 30) + 12_345)).expect("a long paper");
    let closed = Closed::new(project.path(), 2);
    println!("closeout took {} KiB, read {} bytes", closed.run.peak_kib, closed.run.read);
    let zip = closed.zip();
    assert!(zip.metadata().expect("the bundle").len() > 4 << 30);
    judged(Command::new("unzip").arg("-tqq").arg(&zip));
    let python = "import sys, zipfile; z = zipfile.ZipFile(sys.argv[1]); \
                  sys.exit(z.testzip() is not None or max(i.file_size for i in z.infolist()) < 2**32)";
    judged(Command::new("python3").args(["-c", python]).arg(&zip));
    let run = verify(&zip).exits(0);
    println!("verify took {} KiB, read {} bytes", run.peak_kib, run.read);
    assert!(run.peak_kib < MOST_KIB);
    damage(&zip);
    let mend = watched(program().arg("mend").arg(&zip)).exits(3);
    println!("mend took {} KiB, read {} bytes\n{}", mend.peak_kib, mend.read, mend.said);
    assert!(mend.peak_kib < MOST_KIB);
    verify(&closed.out.path().join(format!("{NAME}-mended.zip"))).exits(0);
}
