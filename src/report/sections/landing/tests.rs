//! The section of the sample, and of records that hold little of a landing or more positions than a table has room for.

use std::path::Path;

use super::*;
use crate::findings::examine;
use crate::pages::Block as Shown;
use crate::records::pictures::Album;
use crate::records::problem::Problems;
use crate::records::store::Folder;
use crate::records::{self, memory};
use crate::report::figures::drawings;
use crate::text::System;

const DOCKING: &str = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n[period]\noffset = \"+00:00\"\n";
const BLOCKS: &str = "block,row,station_m,offset_m,length_m,width_m,skew_deg,positions\n\
                      K1,keel,14,0,0.8,1.2,0,\nK2,keel,16,0,0.8,1.2,0,\n";

fn examined(files: &[(&str, &str)]) -> Examined {
    let mut all =
        vec![("docking.toml", DOCKING.to_string()), ("plan/blocks.csv", BLOCKS.to_string())];
    all.extend(files.iter().map(|(path, text)| (*path, text.to_string())));
    examine(memory::project(&all)).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn sample() -> Examined {
    let mut problems = Problems::default();
    let folder = Folder::open(Path::new("sample-project"), &mut problems);
    let project =
        records::read(&folder, problems).unwrap_or_else(|problems| panic!("{problems:?}"));
    examine(project).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn section_of(examined: &Examined) -> Section {
    let drawings = drawings(examined);
    section(&Inputs {
        examined,
        drawings: &drawings,
        files: &[],
        records_checksum: "",
        attachments: Vec::new(),
        letters: Vec::new(),
        pictures: &Album::default(),
        program: "",
    })
}

/// Paragraphs and points of lists.
fn sentences(section: &Section) -> Vec<String> {
    let said = section.blocks.iter().flat_map(|block| match block {
        Shown::Paragraph(text) => vec![text.clone()],
        Shown::List(points) => points.clone(),
        _ => Vec::new(),
    });
    said.map(|text| text.shown(System::Si)).collect()
}

fn tables(section: &Section) -> Vec<&Table> {
    let tables = section.blocks.iter().filter_map(|block| match block {
        Shown::Table(table) => Some(table),
        _ => None,
    });
    tables.collect()
}

/// Heads and cells of a table, as a reader sees them.
fn shown(table: &Table) -> Vec<Vec<String>> {
    let finest = table.finest(System::Si);
    let mut rows = vec![table.columns.iter().map(|c| c.head_with_unit(System::Si)).collect()];
    rows.extend(table.rows.iter().map(|row| {
        let cells = row.iter().zip(table.columns.iter().zip(&finest));
        cells.map(|(cell, (column, finest))| cell.as_text(column, *finest, System::Si)).collect()
    }));
    rows
}

/// The table whose first head is this.
fn table_of(section: &Section, head: &str) -> Vec<Vec<String>> {
    let mut tables = tables(section).into_iter().map(shown);
    tables.find(|rows| rows[0][0] == head).unwrap_or_else(|| panic!("no table of {head}"))
}

fn row<'a>(table: &'a [Vec<String>], head: &str) -> &'a [String] {
    table.iter().find(|row| row[0] == head).unwrap_or_else(|| panic!("no {head}: {table:?}"))
}

#[test]
fn positions_of_the_sample_stand_side_by_side() {
    let section = section_of(&sample());
    let landing = table_of(&section, "Landing");
    assert_eq!(landing[0], ["Landing", "P1", "P2", "Held against"]);
    let gm = row(&landing, "Least GM, at the critical instant");
    assert_eq!(gm[1..], ["0.656\u{a0}m; agrees", "0.623\u{a0}m; agrees", "at least 0.300\u{a0}m"]);
    let fall = row(&landing, "Fastest fall of the water, until dry");
    assert!(fall[1].ends_with("; beyond limit") && fall[2].ends_with("; agrees"), "{fall:?}");
    assert_eq!(fall[3], "at most 1.80\u{a0}m/h");
    let borne = table_of(&section, "In the dry dock");
    let greatest = row(&borne, "Greatest load");
    assert!(greatest[1].starts_with("K28: 109.7\u{a0}t"), "{greatest:?}");
    assert!(row(&borne, "Beyond their bearing limits")[1].starts_with("none of 87 with a limit"));
}

/// Each measured gap is counted once, and one that does not fit is named.
#[test]
fn gaps_that_fit_are_counted_and_the_others_named() {
    let examined = sample();
    let section = section_of(&examined);
    let gaps = table_of(&section, "Gaps as surveyed");
    for (n, position) in ["P1", "P2"].into_iter().enumerate() {
        let number = |row: usize| gaps[row][n + 1].parse::<usize>().unwrap_or(0);
        let recorded = examined.project.gaps.iter().filter(|gap| gap.position == position).count();
        assert_eq!(gaps[1][0], "Gaps measured");
        assert_eq!(number(1), recorded, "{position}");
        assert_eq!((2..5).map(number).sum::<usize>(), recorded, "{gaps:?}");
    }
    let named = tables(&section).into_iter().map(shown).find(|rows| {
        rows[0].first().is_some_and(|head| head == "Position")
            && rows[0].contains(&"Predicted, mm".to_string())
    });
    let named = named.expect("the gaps that don't fit");
    assert_eq!(named.len(), 2, "{named:?}");
    assert_eq!(named[1][..4], ["P2", "BS3", "dry", "22"]);
}

#[test]
fn checks_name_who_and_when() {
    let examined = sample();
    let checks = table_of(&section_of(&examined), "Check");
    assert_eq!(checks.len(), 1 + examined.project.checks.len());
    for check in &examined.project.checks {
        let by = check.by.as_deref().unwrap_or_default();
        let time = check.at.map(|at| at.format("%H:%M").to_string()).unwrap_or_default();
        assert!(
            checks.iter().any(|row| row[4].starts_with(by) && row[4].contains(&time)),
            "{by} {time}"
        );
    }
    // One kind of check under the other, position by position.
    assert_eq!([&checks[1][..2], &checks[2][..2]], [["Wedge", "P1"], ["Wedge", "P2"]]);
}

#[test]
fn why_the_water_was_held_is_said() {
    let held = table_of(&section_of(&sample()), "Position");
    let said: Vec<&str> = held[1..].iter().map(|row| row[5].as_str()).collect();
    assert!(
        said.contains(&"for the divers") && said.contains(&"suction screens cleared of weed"),
        "{said:?}"
    );
}

#[test]
fn nothing_recorded_is_said_in_one_sentence() {
    for files in [&[][..], &[("positions/positions.csv", "position\nP1\n")]] {
        let section = section_of(&examined(files));
        assert_eq!(section.blocks.len(), 1);
        assert!(sentences(&section)[0].starts_with("Nothing of the landing was recorded"));
    }
}

#[test]
fn what_was_not_recorded_is_said_once_and_has_no_table() {
    let water = "position,at,level_m,event\nP1,2031-04-01T06:00:00+00:00,2,pumping-began\n\
                 P1,2031-04-01T08:00:00+00:00,1,\n";
    let section = section_of(&examined(&[
        ("positions/positions.csv", "position\nP1\nP2\n"),
        ("landing/water.csv", water),
    ]));
    let said = sentences(&section);
    let says = |words: &str| said.iter().filter(|said| said.contains(words)).count();
    assert_eq!(says("Not recorded in any position: drafts before landing"), 1, "{said:?}");
    assert_eq!(says("Not recorded in P2: water levels"), 1, "{said:?}");
    assert_eq!(says("Not recorded in any position: landing checks"), 1, "{said:?}");
    assert_eq!(says("Not recorded in any position: measured gaps"), 1, "{said:?}");
    assert_eq!(says("No draft was recorded as she lifted off"), 1, "{said:?}");
    for table in tables(&section) {
        assert!(!table.rows.is_empty());
        let says_something = |cell: &Cell| !matches!(cell, Cell::NotRecorded | Cell::DoesNotApply);
        assert!(table.rows.iter().all(|row| row[1..].iter().any(says_something)), "{table:?}");
    }
}

#[test]
fn three_positions_fit_a_table_and_more_go_on_in_the_next() {
    let positions = |count: usize| {
        let rows = (1..=count)
            .map(|n| format!("P{n},2031-04-0{n}T06:00:00+00:00,2031-04-0{n}T07:00:00+00:00\n"));
        format!("position,touched,landed\n{}", rows.collect::<String>())
    };
    for (count, heads) in [
        (1, vec![vec!["P1"]]),
        (3, vec![vec!["P1", "P2", "P3"]]),
        (5, vec![vec!["P1", "P2", "P3"], vec!["P4", "P5"]]),
    ] {
        let water = "position,at,level_m\nP1,2031-04-01T06:00:00+00:00,2\n";
        let section = section_of(&examined(&[
            ("positions/positions.csv", &positions(count)),
            ("landing/water.csv", water),
        ]));
        let tables: Vec<Vec<String>> = tables(&section)
            .into_iter()
            .map(|table| shown(table).swap_remove(0))
            .filter(|heads| heads[0] == "Landing")
            .map(|heads| heads[1..].to_vec())
            .collect();
        assert_eq!(tables, heads, "{count}");
    }
}
