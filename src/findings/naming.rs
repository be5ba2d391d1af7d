//! How sentences name things where they may be many, and ids things that have one name.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

/// So many things with their noun: `1 piece`, `4 pieces`.
pub(super) fn count(number: usize, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
}

/// A row whose finding has an id, and what else tells it from others of that id.
pub(super) struct Named<'a> {
    /// What its id would be if it stood alone.
    pub base: String,
    /// Of which sort of reading it is; empty where there is one sort only.
    pub sort: &'static str,
    /// When it was read.
    pub at: Option<DateTime<FixedOffset>>,
    /// Who read it.
    pub by: Option<&'a str>,
    /// What was read, for rows that time and reader do not tell apart.
    pub read: String,
}

/// An id for each row. Rows of one name are told apart by their sort, those of one sort by time, those of one
/// time by the reader, and what is left by what was read: never by the order in which they stand. All rows of
/// a name get such a part, so that none of them takes the id that another had while it stood alone.
pub(super) fn distinct_ids(rows: &[Named<'_>]) -> Vec<String> {
    let mut ids: Vec<String> = rows.iter().map(|row| row.base.clone()).collect();
    let time = |row: &Named<'_>, form: &str| {
        row.at.map_or("undated".to_string(), |at| at.format(form).to_string())
    };
    split(&mut ids, rows, |row| row.sort.to_string());
    split(&mut ids, rows, |row| time(row, "%Y-%m-%dT%H%M"));
    split(&mut ids, rows, |row| time(row, "%S%z"));
    split(&mut ids, rows, |row| row.by.map_or("unsigned".to_string(), plain));
    for same in groups(&ids) {
        let mut by_content = same;
        by_content.sort_by(|a, b| rows[*a].read.cmp(&rows[*b].read));
        for (n, at) in by_content.into_iter().enumerate() {
            ids[at] = format!("{}.reading-{}", ids[at], n + 1);
        }
    }
    ids
}

/// Adds a part to the ids that several rows have, where not all of them would get the same.
fn split<'a>(ids: &mut [String], rows: &[Named<'a>], part: impl Fn(&Named<'a>) -> String) {
    for same in groups(ids) {
        let parts: Vec<String> = same.iter().map(|at| part(&rows[*at])).collect();
        if parts.iter().all(|part| *part == parts[0]) {
            continue;
        }
        for (at, part) in same.into_iter().zip(parts) {
            ids[at] = format!("{}.{part}", ids[at]);
        }
    }
}

/// The rows of every id that more than one row has.
fn groups(ids: &[String]) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, id) in ids.iter().enumerate() {
        groups.entry(id).or_default().push(at);
    }
    groups.into_values().filter(|rows| rows.len() > 1).collect()
}

/// A name as a part of an id: letters and digits, with `-` for what stands between.
fn plain(name: &str) -> String {
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}

/// Two names in the order in which a person counts them, `P2` before `P10`, with `-` between them.
pub(super) fn pair_name<'a>(a: &'a str, b: &'a str) -> String {
    let key = |name: &'a str| {
        let end = name.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let (word, number) = name.split_at(end);
        (word, number.trim_start_matches('0').len(), number)
    };
    let (first, second) = if key(a) <= key(b) { (a, b) } else { (b, a) };
    format!("{first}-{second}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row<'a>(at: Option<&str>, by: Option<&'a str>, read: &str) -> Named<'a> {
        let at = at.map(|at| at.parse().expect("a time"));
        Named { base: "check".to_string(), sort: "", at, by, read: read.to_string() }
    }

    /// The ids of rows, each with its reading, whatever the order of the rows.
    fn ids(rows: Vec<Named<'_>>) -> Vec<(String, String)> {
        let sorted = |rows: &[Named<'_>]| {
            let reads = rows.iter().map(|row| row.read.clone());
            let mut ids: Vec<_> = distinct_ids(rows).into_iter().zip(reads).collect();
            ids.sort();
            ids
        };
        let forward = sorted(&rows);
        let back: Vec<Named<'_>> = rows.into_iter().rev().collect();
        assert_eq!(forward, sorted(&back), "in the other order");
        forward
    }

    fn named(ids: &[(String, String)]) -> Vec<&str> {
        ids.iter().map(|(id, _)| id.as_str()).collect()
    }

    #[test]
    fn rows_of_one_name_are_told_apart_by_time_then_reader_then_reading() {
        let (seven, eight) = ("2031-04-09T07:00:00+01:00", "2031-04-09T08:00:00+01:00");
        assert_eq!(named(&ids(vec![row(Some(seven), None, "1")])), ["check"]);
        let two = ids(vec![row(Some(seven), None, "2"), row(Some(eight), None, "1")]);
        assert_eq!(named(&two), ["check.2031-04-09T0700", "check.2031-04-09T0800"]);
        let undated = ids(vec![row(Some(seven), None, "2"), row(None, None, "1")]);
        assert_eq!(named(&undated), ["check.2031-04-09T0700", "check.undated"]);
        let sorts = [("wet", Some(seven)), ("wet", Some(eight)), ("dry", Some(seven))];
        let sorts = sorts.map(|(sort, at)| Named { sort, ..row(at, None, "1") });
        assert_eq!(
            named(&ids(sorts.into())),
            ["check.dry", "check.wet.2031-04-09T0700", "check.wet.2031-04-09T0800"]
        );
        let readers = ids(vec![
            row(Some(seven), Some("A. Reader"), "2"),
            row(Some(seven), Some("B. Reader"), "1"),
        ]);
        assert_eq!(named(&readers), ["check.A-Reader", "check.B-Reader"]);
        let seconds = ids(vec![
            row(Some("2031-04-09T07:00:10+01:00"), None, "2"),
            row(Some("2031-04-09T07:00:40+01:00"), None, "1"),
            row(Some(eight), None, "0"),
        ]);
        assert_eq!(
            named(&seconds),
            [
                "check.2031-04-09T0700.10+0100",
                "check.2031-04-09T0700.40+0100",
                "check.2031-04-09T0800"
            ]
        );
        let readings = ids(vec![row(None, None, "0.020"), row(None, None, "0.010")]);
        assert_eq!(readings[0], ("check.reading-1".to_string(), "0.010".to_string()));
        assert_eq!(readings[1], ("check.reading-2".to_string(), "0.020".to_string()));
    }

    #[test]
    fn a_pair_is_named_as_a_person_counts() {
        assert_eq!(pair_name("P1", "P2"), "P1-P2");
        assert_eq!(pair_name("P2", "P1"), "P1-P2");
        assert_eq!(pair_name("P10", "P2"), "P2-P10");
        assert_eq!(pair_name("trial", "P1"), "P1-trial");
    }
}
