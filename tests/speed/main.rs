//! Limits of time on the sample project and on the heaviest calculations, for a release build on two cores. A test
//! target of its own, so that nothing else of the tests runs beside it.

// The clock is what is asked here.
#![allow(clippy::disallowed_methods)]

mod calculations;
#[path = "../common/mod.rs"]
mod common;
mod inputs;

use std::fmt::Write;
use std::hint::black_box;
use std::process::Command;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use lastdock::report;

use common::{NAME, Project, closeout, examined, program, run, sample, temporary};
use inputs::Ready;

/// Only one of the tests may run at a time.
static ALONE: Mutex<()> = Mutex::new(());

/// How long several runs took, the shortest first.
fn times(runs: usize, command: &mut Command) -> Vec<Duration> {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let begun = Instant::now();
            run(command).exits(0);
            begun.elapsed()
        })
        .collect();
    times.sort();
    times
}

/// The shortest of several runs: what else runs on the machine makes one longer, never shorter.
fn best(runs: usize, command: &mut Command) -> Duration {
    times(runs, command)[0]
}

/// A limit in seconds holds for a quiet machine only: run by hand, with `--ignored`.
#[test]
#[ignore = "holds on a quiet machine only"]
fn check_takes_under_a_tenth_of_a_second() {
    let _alone = ALONE.lock();
    let took = best(25, program().arg("check").arg(sample()));
    println!("check took {took:?}");
    assert!(took < Duration::from_millis(100), "{took:?}");
}

/// On any machine: what the program does around reading and examining may not cost as much again.
#[test]
#[cfg_attr(debug_assertions, ignore = "the limits are for a release build")]
fn check_takes_at_most_twice_as_long_as_reading_and_examining_alone() {
    let _alone = ALONE.lock();
    let (mut whole, mut alone) = (Duration::MAX, Duration::MAX);
    // In turns, so that a slow spell of the machine meets both.
    for _ in 0..25 {
        whole = whole.min(best(1, program().arg("check").arg(sample())));
        alone = alone.min(examining());
    }
    println!("check took {whole:?}, reading and examining alone {alone:?}");
    assert!(whole < alone * 2, "{whole:?}, reading and examining alone {alone:?}");
}

fn examining() -> Duration {
    let begun = Instant::now();
    black_box(examined(&sample()));
    begun.elapsed()
}

/// Typesetting the report is the largest part of a closeout. With reading, recomputing, drawing, packing, the page for a
/// browser, the summary, recovery data and reading back it may take three times as long as that alone: since the report
/// has a third of the pages that it had, what is the same for any report weighs more (2.3 times where it was measured,
/// with the page; 1.9 when the report had 145 pages and there was no page).
#[test]
#[cfg_attr(debug_assertions, ignore = "the limits are for a release build")]
fn closeout_takes_at_most_three_times_as_long_as_typesetting_alone() {
    let _alone = ALONE.lock();
    let out = temporary();
    let mut command = program();
    command.arg("closeout").arg(sample()).arg("--out").arg(out.path());
    let ready = Ready::new(&sample());
    let (mut whole, mut alone) = (Duration::MAX, Duration::MAX);
    // In turns, so that a slow spell of the machine meets both.
    for _ in 0..3 {
        whole = whole.min(best(1, &mut command));
        alone = alone.min(typesetting(&ready));
    }
    println!("closeout took {whole:?}, typesetting alone {alone:?}");
    assert!(whole < alone * 3, "{whole:?}, typesetting alone {alone:?}");
}

fn typesetting(ready: &Ready) -> Duration {
    let begun = Instant::now();
    black_box(report::typeset(&ready.inputs()).expect("a report"));
    begun.elapsed()
}

const FILM: &str = "coating/film.csv";
const READINGS: usize = 100_000;
/// In which column of the film readings the reading stands.
const READING: usize = 4;

/// A number from 0 to 1 that follows no pattern in `n`: one step of the generator SplitMix64.
fn scattered(n: u64) -> f64 {
    let mixed = n.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1u64 << 53) as f64
}

/// The sample with its film readings again and again, each time with spots of their own; without the one whose
/// place is mistyped, since the answer to it is for one reading and not for fifty.
fn with_many_readings() -> Project {
    let project = Project::copied();
    let text = project.text(FILM);
    let (header, rows) = text.split_once('\n').expect("a header");
    let rows = rows.lines().filter(|row| !row.contains(",21.36,-0.14,"));
    let rows: Vec<Vec<&str>> = rows.map(|row| row.split(',').collect()).collect();
    assert_eq!(header.split(',').nth(3), Some("spot"));
    assert_eq!(header.split(',').nth(READING), Some("reading_um"));
    let mut many = format!("{header}\n");
    for n in 0..READINGS {
        let mut cells = rows[n % rows.len()].clone();
        let spot = format!("{}-{}", cells[3], n / rows.len());
        cells[3] = &spot;
        // Up to 3 µm up or down, without which most would be copies of each other.
        let reading: f64 = cells[READING].parse().expect("a reading");
        let reading = format!("{:.1}", reading + 6.0 * scattered(n as u64) - 3.0);
        cells[READING] = &reading;
        writeln!(many, "{}", cells.join(",")).expect("a row");
    }
    project.write(FILM, many);
    project
}

#[test]
#[cfg_attr(debug_assertions, ignore = "the limits are for a release build")]
fn a_hundred_thousand_film_readings_are_read_and_summarised_in_under_two_seconds() {
    let _alone = ALONE.lock();
    let project = with_many_readings();
    let few = best(3, program().arg("check").arg(sample()));
    let many = best(3, program().arg("check").arg(project.root()));
    println!("check took {few:?}, with {READINGS} film readings {many:?}");
    assert!(
        many.saturating_sub(few) < Duration::from_secs(2),
        "{few:?}, with {READINGS} readings {many:?}"
    );

    // Nothing of it grows with the square: 55 times the readings.
    let ratio = many.as_secs_f64() / few.as_secs_f64();
    assert!(ratio < 55.0, "{ratio}");
}

/// The pages print statistics of many readings and never the readings, which stay in the tables.
#[test]
fn the_report_of_a_hundred_thousand_film_readings_is_no_longer_than_the_samples() {
    let _alone = ALONE.lock();
    let project = with_many_readings();
    let (few, many) = (temporary(), temporary());
    closeout(&sample(), few.path()).exits(0);
    closeout(&project.root(), many.path()).exits(0);
    let report = |folder: &tempfile::TempDir| {
        let pdf = folder.path().join(format!("{NAME}-report.pdf"));
        std::fs::metadata(pdf).expect("the report").len()
    };
    let (few, many) = (report(&few), report(&many));
    println!("the report holds {few} bytes, with {READINGS} film readings {many}");
    assert!(many < few * 3 / 2, "{few} bytes, {many} with {READINGS} readings");
}
