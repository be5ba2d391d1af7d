//! Projects as large as a docking gets.

use std::env;
use std::fs;
use std::path::PathBuf;

use super::common::{program, temporary};
use super::made::{LARGE, NAME, Size, make};
use super::watched::watched;

/// A number from the environment.
fn asked<T: std::str::FromStr>(name: &str, usual: T) -> T {
    env::var(name).ok().map_or(usual, |text| {
        text.parse().unwrap_or_else(|_| panic!("{name}={text} is not a number"))
    })
}

/// The whole of it: made, checked, closed out, verified. `LASTDOCK_PAPERS` papers of `LASTDOCK_PAPER_BYTES`
/// bytes each, by default 5000 that have 8 GiB together; in the folder `LASTDOCK_FOLDER`, where they stay, or
/// else in a temporary one.
#[test]
#[ignore = "takes minutes and 20 GB of disk"]
fn the_full_size_is_closed_out_and_verified() {
    let papers: usize = asked("LASTDOCK_PAPERS", 5000);
    let paper_bytes = asked("LASTDOCK_PAPER_BYTES", (8 << 30) / papers.max(1) as u64);
    let temporary = temporary();
    let folder = env::var_os("LASTDOCK_FOLDER").map(PathBuf::from);
    let folder = folder.unwrap_or_else(|| temporary.path().to_path_buf());
    let [project, out] = ["project", "out"].map(|name| folder.join(name));
    fs::create_dir_all(&project).expect("a folder");
    make(&project, &Size { papers, paper_bytes, ..LARGE });
    let check = watched(program().arg("check").arg(&project)).exits(3);
    println!("check: {} KiB", check.peak_kib);
    let closeout = watched(program().arg("closeout").arg(&project).arg("--out").arg(&out)).exits(3);
    println!(
        "closeout: {} KiB, {} bytes read\n{}",
        closeout.peak_kib, closeout.read, closeout.said
    );
    let zip = out.join(format!("{NAME}.zip"));
    let verify = watched(program().arg("verify").arg(&zip)).exits(0);
    println!("verify: {} KiB, {} bytes read\n{}", verify.peak_kib, verify.read, verify.said);
}
