//! Rows of one table in which all cells are alike but a name of their own: the second was pasted in.

use std::collections::BTreeMap;

use super::rows::{content, name, of, says};
use crate::findings::finding::Finding;
use crate::findings::judge::differs;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::entry::Entry;
use crate::records::place::Place;
use crate::records::spec::FileSpec;
use crate::records::{
    bilge, checks, climate, crossings, divers, drafts, holds, openings, positions, preparation,
    repairs, stops, stripes, tested, water, weights,
};
use crate::text;
use crate::text::{Text, code};

/// A table of which two rows that are alike are one row written twice.
struct Table {
    spec: &'static FileSpec,
    /// What a row must say before a second one like it can't be an honest repeat: when or where.
    told: &'static [&'static str],
    /// What else of a row its name is made of.
    named: &'static [&'static str],
}

const fn table(
    spec: &'static FileSpec,
    told: &'static [&'static str],
    named: &'static [&'static str],
) -> Table {
    Table { spec, told, named }
}

static TABLES: &[Table] = &[
    table(&openings::OPENED_SPEC, &["opening", "opened_at"], &[]),
    table(&positions::MARKS_SPEC, &["position", "mark", "hull_x", "hull_y"], &[]),
    table(&divers::SPEC, &["position", "block", "at"], &[]),
    table(&drafts::SPEC, &["occasion", "mark_x", "mark_y", "draft", "at"], &["position"]),
    table(&water::SPEC, &["position", "at"], &[]),
    table(&crossings::SPEC, &["direction", "at"], &[]),
    table(&stops::SPEC, &["position", "level"], &[]),
    table(&checks::SPEC, &["position", "check", "at"], &["block"]),
    table(&holds::SPEC, &["position", "hold", "at"], &[]),
    table(&checks::GAPS_SPEC, &["position", "block", "at"], &[]),
    table(&weights::SPEC, &["from_x", "to_x", "mass"], &[]),
    table(&weights::BUOYANCY_SPEC, &["position", "water_level", "from_x", "to_x"], &[]),
    table(&weights::MOVED_SPEC, &["item", "at"], &[]),
    table(&preparation::SPEC, &["zone", "treatment", "at"], &["extent"]),
    table(&stripes::SPEC, &["zone", "before_coat", "product", "began"], &[]),
    table(&tested::SPEC, &["zone", "after_coat", "test", "x", "y", "at"], &[]),
    table(&repairs::SPEC, &["repair"], &[]),
    table(&bilge::SPEC, &["position", "block"], &[]),
    table(&climate::SPEC, &["at", "air_temperature"], &["zone"]),
];

/// Whether a row may have an honest double although it says when or where.
fn may_repeat(spec: &FileSpec, row: &Entry) -> bool {
    match spec.path {
        // Two boats, two anchors: weights at one point are often of one mass.
        path if path == weights::SPEC.path => {
            super::rows::said(row, "from_x") == super::rows::said(row, "to_x")
        }
        // Readings of profile, salts and dust are coarse, and several are taken within a minute.
        path if path == preparation::SPEC.path => {
            let is_reading = ["profile", "salts", "dust"].iter().any(|column| says(row, &[column]));
            is_reading && !says(row, &["x", "y"])
        }
        _ => false,
    }
}

pub(super) fn findings(project: &Project) -> Vec<Finding> {
    TABLES.iter().flat_map(|table| of_table(project, table)).collect()
}

fn of_table(project: &Project, table: &Table) -> Vec<Finding> {
    let mut groups: BTreeMap<Vec<String>, Vec<&Entry>> = BTreeMap::new();
    for row in of(project, table.spec) {
        if says(row, table.told) && !may_repeat(table.spec, row) {
            groups.entry(content(row)).or_default().push(row);
        }
    }
    let mut twice: Vec<Vec<&Entry>> = groups.into_values().filter(|rows| rows.len() > 1).collect();
    twice.sort_by(|a, b| a[0].place.cmp(&b[0].place));
    twice.iter().map(|rows| finding(table, rows)).collect()
}

fn finding(table: &Table, rows: &[&Entry]) -> Finding {
    let (first, again) = (rows[0], &rows[1..]);
    let columns = [table.named, table.told].concat();
    let lines = Text::listed(again.iter().map(|row| code(row.place.to_string()).into()));
    let subject = Subject::RowTwice(table.spec.table_name(), name(first, &columns));
    let later: Vec<&Place> = again.iter().map(|row| &row.place).collect();
    let sentence = text!(
        "{} says in each cell what {} says: one of them is to be taken out, unless the same was found a second time, which \
         a note can say.",
        lines,
        code(first.place.to_string())
    );
    differs(sentence).finding(subject).doubting_all(later).from([&first.place])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::FILES;

    /// Tables of which rows that are alike are no doubles, or are found otherwise.
    const LEFT_OUT: &[(&str, &str)] = &[
        ("plan/blocks.csv", "two caps in one place are told by `plan.blocks.apart`"),
        ("plan/layers.csv", "a layer's number may not stand twice"),
        ("plan/openings.csv", "two openings on one spot are told in `once`"),
        ("plan/bottom.csv", "an outline may not touch itself"),
        ("plan/keel.csv", "a place may not stand twice"),
        (
            "plan/positions.csv",
            "two positions of the plan may be alike but for the blocks that they leave out",
        ),
        (
            "positions/positions.csv",
            "the times of one position can't be another's: `positions.order`",
        ),
        ("landing/hydrostatics.csv", "a draft may not stand twice"),
        ("landing/stiffness.csv", "lengths of the girder may not overlap"),
        ("coating/zones.csv", "an outline may not touch itself"),
        ("coating/areas.csv", "an outline may not touch itself"),
        ("coating/scheme.csv", "a coat's number may not stand twice"),
        ("coating/coats.csv", "an application that stands twice is told with the coats"),
        (
            "coating/film.csv",
            "readings of one spot are often alike; runs of them are told in `runs`",
        ),
        ("coating/gauges.csv", "a gauge is checked several times on one foil, and reads the same"),
        (
            "hull/instruments.csv",
            "an instrument is checked several times on one step, and reads the same",
        ),
        ("hull/plating.csv", "a place gauged twice is told in `once`"),
        ("hull/anodes.csv", "two anodes in one place are told in `once`"),
        ("papers/papers.csv", "a file may not be listed twice"),
        ("history/dockings.csv", "a docking's name may not stand twice"),
    ];

    #[test]
    fn each_table_is_looked_through_or_left_out_for_a_reason() {
        for spec in FILES {
            let looked = TABLES.iter().any(|table| table.spec.path == spec.path);
            let left_out = LEFT_OUT.iter().any(|(path, _)| *path == spec.path);
            assert!(
                looked != left_out,
                "{}: add it to TABLES of findings/doubles/alike.rs, with the columns that say when or where, so that a \
                 second row like the first is no honest repeat; or to LEFT_OUT there with the reason",
                spec.path
            );
        }
        for table in TABLES {
            for column in table.told.iter().chain(table.named) {
                let known = table.spec.columns.iter().any(|known| known.name == *column);
                assert!(known, "{} has no column {column}", table.spec.path);
            }
        }
    }
}
