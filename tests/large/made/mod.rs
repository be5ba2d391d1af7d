//! A large project, made anew wherever it is needed: the same sizes give the same bytes. The ship is invented
//! and plain: a flat bottom with round ends, a box of a table, figures that go together only roughly.

mod coating;
mod landing;
mod papers;
mod plan;

use std::fmt::Write;
use std::fs;
use std::path::Path;

use chrono::{Duration, NaiveDate, NaiveDateTime};

/// The name that the project gives its bundle.
pub const NAME: &str = "grey-merganser-2043";

/// How much of everything there is.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Blocks, a multiple of 20.
    pub blocks: usize,
    /// Openings.
    pub openings: usize,
    /// Docking positions.
    pub positions: usize,
    /// Readings of film thickness.
    pub film: usize,
    /// Readings of the climate.
    pub climate: usize,
    /// Papers.
    pub papers: usize,
    /// Bytes of each paper.
    pub paper_bytes: u64,
}

/// As large as a docking gets, but without papers.
pub const LARGE: Size = Size {
    blocks: 400,
    openings: 300,
    positions: 6,
    film: 100_000,
    climate: 20_000,
    papers: 0,
    paper_bytes: 0,
};

/// The same ship with little written down: for what depends on the papers alone.
pub const SMALL: Size =
    Size { blocks: 40, openings: 10, positions: 2, film: 300, climate: 100, ..LARGE };

/// Days from one position to the next.
const DAYS: i64 = 5;

/// Writes the project into a folder that is there.
pub fn make(root: &Path, size: &Size) {
    for (path, text) in plan::files(size)
        .into_iter()
        .chain(landing::files(size))
        .chain(coating::files(size))
        .chain(papers::list(size))
    {
        let path = root.join(path);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, text).expect("to write a file of records");
    }
    papers::write(root, size);
}

/// A file's path and text.
type File = (&'static str, String);

/// A CSV file of a header and rows.
fn csv(header: &str, rows: impl IntoIterator<Item = String>) -> String {
    let mut text = format!("{header}\n");
    rows.into_iter().for_each(|row| writeln!(text, "{row}").expect("a row"));
    text
}

/// A time of the position of this number: so many minutes after midnight of its first day.
fn at(position: usize, minutes: i64) -> String {
    let first = NaiveDate::from_ymd_opt(2043, 5, 4).expect("a date");
    let day = first + Duration::days(DAYS * position as i64);
    let at: NaiveDateTime = day.and_time(Default::default()) + Duration::minutes(minutes);
    at.format("%Y-%m-%dT%H:%M:%S").to_string()
}

/// Minutes after midnight.
const fn clock(day: i64, hour: i64) -> i64 {
    (24 * day + hour) * 60
}

/// A number from -0.5 up to 0.5, always the same for the same arguments (SplitMix64, from memory; nothing
/// hangs on its quality).
fn noise(stream: u64, n: usize) -> f64 {
    let mut z = (stream << 32).wrapping_add(n as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
}
