//! Tables in parts, each of which is held against the others.

use super::{Case, at, rows};

pub const CASES: &[Case] = &[
    Case::new("readings in two parts", "coating/film/one.csv", |_, count| readings(0, count / 2))
        .beside(&[("coating/film/other.csv", |_, count| readings(count / 2, count))])
        .up_to(40_000),
    Case::refused("a copy of readings", "coating/film/one.csv", |_, count| readings(0, count))
        .beside(&[("coating/film/other.csv", |_, count| readings(0, count))])
        .up_to(40_000),
    Case::refused("readings of which a third stand in both", "coating/film/one.csv", |_, count| {
        readings(0, count)
    })
    .beside(&[("coating/film/other.csv", |_, count| readings(2 * count / 3, 2 * count))])
    .up_to(40_000),
];

/// The readings numbered from one number to before another, none of which is alike another.
fn readings(from: usize, to: usize) -> String {
    rows("zone,after_coat,spot,reading_um,at,by\n", to - from, |n| {
        let n = from + n;
        format!("KL,1,N{n},{},{},A. Dunnock", 120 + n % 60, at(n))
    })
}
