//! Memory: what a large project takes does not grow with its papers, nor with the bundle.

use std::path::{Path, PathBuf};

use tempfile::TempDir;

use super::common::{program, temporary};
use super::made::{LARGE, NAME, SMALL, Size, make};
use super::watched::{Watched, watched};

const MIB: u64 = 1 << 20;

/// What closeout may take more with more papers, KiB: the sizes of buffers and of heaps vary a little.
const WITHIN_KIB: u64 = 8 * 1024;

/// What verify, mend and making recovery data may take, KiB.
const MOST_KIB: u64 = 200 * 1024;

/// A project closed out.
struct Closed {
    run: Watched,
    out: TempDir,
}

impl Closed {
    fn new(size: &Size, repair_percent: u32) -> Self {
        let project = temporary();
        make(project.path(), size);
        let out = temporary();
        let mut closeout = program();
        closeout.arg("closeout").arg(project.path()).arg("--out").arg(out.path());
        closeout.arg("--repair-percent").arg(repair_percent.to_string());
        Self { run: watched(&mut closeout).exits(3), out }
    }

    fn zip(&self) -> PathBuf {
        self.out.path().join(format!("{NAME}.zip"))
    }
}

fn verify(zip: &Path) -> Watched {
    watched(program().arg("verify").arg(zip))
}

#[test]
fn closeout_takes_no_more_memory_with_more_papers() {
    let papers = |mib: u64| Size { papers: 10, paper_bytes: mib * MIB, ..SMALL };
    let few = Closed::new(&papers(2), 10);
    let many = Closed::new(&papers(20), 10);
    println!(
        "closeout took {} KiB, with 10 times the papers {} KiB",
        few.run.peak_kib, many.run.peak_kib
    );
    assert!(many.run.peak_kib < few.run.peak_kib + WITHIN_KIB);
    let [few, many] = [few, many].map(|closed| verify(&closed.zip()).exits(0).peak_kib);
    println!("verify took {few} KiB, with 10 times the papers {many} KiB");
    assert!(many < few + WITHIN_KIB && many < MOST_KIB);
}
