//! What a table costs grows as its rows do: a stranger's file of a few hundred kilobytes must not take minutes.
//! Every file of records is made longer by rows of its own kind, put where they cost most, and `check` is held to
//! the time that it takes of the processor. Docking positions are not among them: the parts of the bottom that several
//! of them make are all cut with each other, so that no more than a dozen are read.

mod bounds;
mod coating;
mod hands;
mod kinds;
mod landing;
mod measured;
mod plan;
mod texts;

use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use super::common::{copy, sample, temporary};
use measured::{Measured, check};

/// So many rows, and twice as many, are what is compared, where so many are read.
const ROWS: usize = 2_000;

/// Twice the rows may cost this many times as much: what grows as n log n costs some 2.2 times, and was measured between
/// 1.6 and 2.6 on one machine; what grows as the square costs 4 times.
const MOST: f64 = 2.8;

/// What costs no more than this in seconds of the processor can't be told from what else goes on, and is nothing that
/// anybody waits for.
const NOTHING: f64 = 0.4;

/// Memory that can't be told either, KiB.
const NO_MEMORY: u64 = 8 << 10;

/// A case is measured so often before it is believed to grow too fast: whatever disturbs makes it dearer.
const TRIES: usize = 12;

/// What becomes of a file's text, for so many rows.
type Grow = fn(&str, usize) -> String;

/// A table that is made longer.
pub struct Case {
    /// What grows.
    name: &'static str,
    /// The file that it is laid into.
    file: &'static str,
    /// What becomes of it.
    grow: Grow,
    /// What else must be in the project for such rows.
    beside: &'static [(&'static str, Grow)],
    /// Rows of the longer of the two that are compared.
    most: usize,
    /// Whether it is a project that can be read.
    is_read: bool,
}

impl Case {
    /// A project that is read.
    const fn new(name: &'static str, file: &'static str, grow: Grow) -> Self {
        Self { name, file, grow, beside: &[], most: 2 * ROWS, is_read: true }
    }

    /// A project in which something is wrong.
    const fn refused(name: &'static str, file: &'static str, grow: Grow) -> Self {
        Self { is_read: false, ..Self::new(name, file, grow) }
    }

    /// The same of which not so many rows are read.
    const fn up_to(mut self, most: usize) -> Self {
        self.most = most;
        self
    }

    /// The same with other files that change with it.
    const fn beside(mut self, files: &'static [(&'static str, Grow)]) -> Self {
        self.beside = files;
        self
    }

    /// Makes the project with so many rows.
    fn make(&self, root: &Path, rows: usize) {
        copy_without_pictures(root);
        for (file, grow) in self.beside.iter().chain(&[(self.file, self.grow)]) {
            let path = root.join(file);
            let was = fs::read_to_string(&path).unwrap_or_default();
            fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            fs::write(&path, grow(&was, rows)).expect("to write a file of records");
        }
    }
}

/// Copies the sample, none of whose pictures the report is to show: what decoding them costs is no cost of rows, and
/// more than most of them cost.
fn copy_without_pictures(root: &Path) {
    copy(&sample(), root);
    let list = root.join("papers/papers.csv");
    let shown = fs::read_to_string(&list).expect("the list of papers");
    assert!(shown.contains(",yes,"));
    fs::write(list, shown.replace(",yes,", ",no,")).expect("to write the list of papers");
}

/// Rows after those of a file.
fn rows(was: &str, count: usize, row: impl Fn(usize) -> String) -> String {
    let mut text = was.to_string();
    for n in 0..count {
        text.push_str(&row(n));
        text.push('\n');
    }
    text
}

/// A time of the sample's docking, so many seconds after its first noon.
fn at(seconds: usize) -> String {
    let (minutes, second) = (seconds / 60, seconds % 60);
    let (hours, minute) = (minutes / 60, minutes % 60);
    let (days, hour) = ((hours + 12) / 24, (hours + 12) % 24);
    format!("2031-04-{:02}T{hour:02}:{minute:02}:{second:02}", 9 + days % 18)
}

/// What `check` takes for so many rows, and that it comes out as it should.
fn measured(case: &Case, rows: usize) -> Measured {
    let folder = temporary();
    let root = folder.path().join("project");
    case.make(&root, rows);
    let seen = check(&root);
    let name = case.name;
    let status = seen.status.unwrap_or_else(|| panic!("{name}: {rows} rows take too long"));
    assert_eq!(matches!(status, 0 | 3), case.is_read, "{name}, {rows} rows: {}", seen.first_words);
    seen
}

/// What `check` takes, seconds and KiB, for the sample as it is, or for a folder in which there is nothing: the
/// least of some runs.
fn alone(sample_is_read: bool) -> (f64, u64) {
    static ALONE: [OnceLock<(f64, u64)>; 2] = [OnceLock::new(), OnceLock::new()];
    *ALONE[usize::from(sample_is_read)].get_or_init(|| {
        let folder = temporary();
        let root = folder.path().join("project");
        if sample_is_read {
            copy_without_pictures(&root);
        } else {
            fs::create_dir(&root).expect("an empty folder");
        }
        let runs: Vec<Measured> = (0..TRIES).map(|_| check(&root)).collect();
        let seconds = runs.iter().map(|run| run.seconds).fold(f64::INFINITY, f64::min);
        (seconds, runs.iter().map(|run| run.peak_kib).min().expect("a run"))
    })
}

/// Holds tables to the limits on growth, and prints what each takes.
fn hold(cases: &[Case]) {
    let mut wrong = Vec::new();
    for case in cases {
        let (alone, alone_kib) = alone(case.is_read);
        let (mut few, mut many) = (f64::INFINITY, f64::INFINITY);
        let mut grows = true;
        let mut memory = (0, 0);
        for _ in 0..TRIES {
            let runs = [case.most / 2, case.most].map(|rows| measured(case, rows));
            let [less, more] = &runs;
            few = few.min((less.seconds - alone).max(0.0));
            many = many.min((more.seconds - alone).max(0.0));
            let kib = |run: &Measured| run.peak_kib.saturating_sub(alone_kib);
            memory = (kib(less), kib(more));
            grows = many > NOTHING && many > MOST * few;
            if !grows {
                break;
            }
        }
        let said = format!(
            "{}: {few:.3} s for {} rows, {many:.3} s for {}; {} and {} MiB",
            case.name,
            case.most / 2,
            case.most,
            memory.0 >> 10,
            memory.1 >> 10
        );
        println!("{said}");
        if grows || memory.1 as f64 > MOST * (memory.0.max(NO_MEMORY) as f64) {
            wrong.push(said);
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn twice_the_rows_of_the_plan_cost_little_more_than_twice() {
    hold(plan::CASES);
}

#[test]
fn twice_the_rows_of_the_landing_cost_little_more_than_twice() {
    hold(landing::CASES);
}

#[test]
fn twice_the_rows_of_the_coating_cost_little_more_than_twice() {
    hold(coating::CASES);
}

#[test]
fn twice_the_rows_of_tables_in_parts_cost_little_more_than_twice() {
    hold(hands::CASES);
}

#[test]
fn twice_the_people_papers_and_remarks_cost_little_more_than_twice() {
    hold(texts::CASES);
}

#[test]
fn twice_as_many_strange_rows_and_columns_cost_little_more_than_twice() {
    hold(kinds::CASES);
}
