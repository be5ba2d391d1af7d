//! Projects as large as a docking gets.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use lastdock::calc::plane::area_m2;

use super::common::{examined, program, temporary};
use super::made::{LARGE, NAME, Size, make};
use super::memory::MOST_KIB;
use super::watched::watched;

/// A number from the environment.
fn asked<T: std::str::FromStr>(name: &str, usual: T) -> T {
    env::var(name).ok().map_or(usual, |text| {
        text.parse().unwrap_or_else(|_| panic!("{name}={text} is not a number"))
    })
}

/// Makes a project of so many papers in a folder, checks it, closes it out and verifies it, which may take no
/// more memory than any bundle; what was found of memory is printed. The result is what verify said.
fn through(folder: &Path, papers: usize, paper_bytes: u64) -> String {
    let [project, out] = ["project", "out"].map(|name| folder.join(name));
    fs::create_dir_all(&project).expect("a folder");
    make(&project, &Size { papers, paper_bytes, ..LARGE });
    let check = watched(program().arg("check").arg(&project)).exits(3);
    println!("check: {} KiB", check.peak_kib);
    let closeout = watched(program().arg("closeout").arg(&project).arg("--out").arg(&out)).exits(3);
    println!("closeout: {} KiB, {} bytes read", closeout.peak_kib, closeout.read);
    let verify = watched(program().arg("verify").arg(out.join(format!("{NAME}.zip")))).exits(0);
    println!("verify: {} KiB, {} bytes read\n{}", verify.peak_kib, verify.read, verify.said);
    assert!(verify.peak_kib < MOST_KIB);
    verify.said
}

/// 400 blocks, 300 openings, 6 positions, 120 000 readings and 120 MiB of papers.
#[test]
#[cfg_attr(debug_assertions, ignore = "takes minutes without optimisation")]
fn a_large_project_is_checked_closed_out_and_verified() {
    let folder = temporary();
    let said = through(folder.path(), 120, 1 << 20);
    assert!(said.contains("every one is what both manifests say"), "{said}");
}

/// The whole of it: `LASTDOCK_PAPERS` papers of `LASTDOCK_PAPER_BYTES` bytes each, by default 5000 that have
/// 8 GiB together; in the folder `LASTDOCK_FOLDER`, where they stay, or else in a temporary one.
#[test]
#[ignore = "takes minutes and 20 GB of disk"]
fn the_full_size_is_closed_out_and_verified() {
    let papers: usize = asked("LASTDOCK_PAPERS", 5000);
    let paper_bytes = asked("LASTDOCK_PAPER_BYTES", (8 << 30) / papers.max(1) as u64);
    let temporary = temporary();
    let folder = env::var_os("LASTDOCK_FOLDER").map(PathBuf::from);
    through(folder.as_deref().unwrap_or(temporary.path()), papers, paper_bytes);
}

/// 6 positions and 400 blocks: nearly every way in which positions can hide the same steel has a class.
#[test]
fn six_positions_make_some_sixty_classes_that_are_the_whole_bottom() {
    let folder = temporary();
    make(folder.path(), &LARGE);
    let examined = examined(folder.path());
    let classes = &examined.recomputed.classes;
    println!("{} classes", classes.len());
    assert!((50..=64).contains(&classes.len()), "{}", classes.len());
    let sum: f64 = classes.iter().map(|class| class.area_m2).sum();
    let bottom = examined.recomputed.bottom.as_ref().map(area_m2).expect("a bottom");
    assert!((sum - bottom).abs() < 1e-3, "{sum} m2 of {bottom} m2");
}
