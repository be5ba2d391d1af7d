//! The full tables set for paper, in volumes of their own: part after part, so that the typesetter never holds more
//! than one of them.

use serde::Serialize;

use super::data;
use super::error::ReportError;
use super::inputs::{Inputs, Volume};
use super::pdf::Stamp;
use super::template::{closeout, typeset_as};
use crate::findings::Examined;
use crate::pages::shown::{Run, SectionShown, runs};
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Reader, Text, code, id};

/// A table as it stands in the bundle.
#[derive(Debug, Clone)]
pub struct PaperTable {
    /// What it holds, a few words.
    pub title: String,
    /// Its file in the bundle.
    pub file: String,
    /// What one row is, and where it comes from.
    pub about: String,
    /// Heads of the columns, each with whether it tells rows apart.
    pub columns: Vec<(String, bool)>,
    /// Cells, one for each column; empty where there is nothing.
    pub rows: Vec<Vec<String>>,
}

/// The most cells of one part: the typesetter takes some 20 KB for each.
const MOST_CELLS: usize = 12_000;
/// Letters that fit side by side on a page across, with what parts the columns.
const MOST_LETTERS: usize = 150;
/// Letters of a column from which on it takes the room that is left and breaks into lines.
const LONG: usize = 26;

#[derive(Serialize)]
struct Part<'a> {
    document: data::Document,
    kind: &'static str,
    part: String,
    ship: &'a str,
    docked: String,
    part_of: Vec<Run>,
    others: Vec<String>,
    sections: Vec<SectionShown>,
}

/// Typesets the tables and all findings as PDF/A-3a and PDF/UA-1, in as many parts as they need.
pub fn typeset_tables(
    inputs: &Inputs<'_>,
    tables: &[PaperTable],
) -> Result<Vec<Vec<u8>>, ReportError> {
    let closeout = closeout(inputs)?;
    let docking = &inputs.examined.project.docking;
    let reader = Reader { system: docking.units, clock: None };
    let findings = findings(inputs.examined);
    let parts = in_parts(tables.iter().chain([&findings]).flat_map(pieces));
    let titles = |part: &[Section]| {
        let mut titles: Vec<String> =
            part.iter().map(|section| section.title.shown(reader)).collect();
        titles.dedup();
        titles.join("; ")
    };
    let all = parts.len();
    let mut made = Vec::new();
    for (n, part) in (1..).zip(&parts) {
        let file = Volume::tables_file(closeout, n);
        let mut document = data::document(inputs, closeout, Volume::Tables);
        document.clock = None;
        document.foot = file.trim_end_matches(".pdf").to_string();
        document.title.push_str(&format!(", part {n} of {all}"));
        let others = (1..).zip(&parts).filter(|(other, _)| *other != n);
        let data = Part {
            document,
            kind: Volume::Tables.kind(),
            part: format!("part {n} of {all}"),
            ship: &docking.ship.name,
            docked: format!("docked in {}", docking.dock.name),
            part_of: runs(
                &text!(
                    "These tables belong to {}. They are those of the bundle, {}, with every row and in SI units; what \
                     each column means stands in {} there.",
                    code(Volume::Report.file(closeout)),
                    code("data/tables/"),
                    code("csv-metadata.json")
                ),
                reader,
            ),
            others: others.map(|(other, part)| format!("part {other}: {}", titles(part))).collect(),
            sections: part.iter().map(|section| section.shown(reader)).collect(),
        };
        let ident = file.trim_end_matches(".pdf");
        let stamp = Stamp { ident, on: closeout.prepared_on, program: inputs.program };
        made.push(typeset_as("tables.typ", &data, &[], &stamp)?);
    }
    Ok(made)
}

fn findings(examined: &Examined) -> PaperTable {
    let rows = examined.findings.iter().map(|finding| {
        vec![finding.id.clone(), finding.outcome.to_string(), finding.sentence.to_string()]
    });
    PaperTable {
        title: "findings".to_string(),
        file: "data/findings.csv".to_string(),
        about: "one row is a finding: one comparison of the record with its recomputation"
            .to_string(),
        columns: [("finding", true), ("outcome", false), ("sentence", false)]
            .map(|(head, is_key)| (head.to_string(), is_key))
            .to_vec(),
        rows: rows.collect(),
    }
}

/// A table as sections that fit one part each: so many rows, and of these so many columns as a page is wide, with the
/// columns that tell rows apart repeated.
fn pieces(table: &PaperTable) -> Vec<Section> {
    let filled: Vec<usize> = (0..table.columns.len())
        .filter(|column| table.rows.iter().any(|row| !row[*column].is_empty()))
        .collect();
    let groups = side_by_side(table, &filled);
    let widest = groups.iter().map(Vec::len).max().unwrap_or(1).max(1);
    let most_rows = (MOST_CELLS / widest).max(1);
    let mut pieces = Vec::new();
    for (n, rows) in table.rows.chunks(most_rows).enumerate() {
        for (group, columns) in groups.iter().enumerate() {
            let mut title = Text::from(table.title.replace('_', " ")).capitalized();
            if table.rows.len() > most_rows {
                let first = n * most_rows + 1;
                title.extend(text!(", rows {} to {}", first, first + rows.len() - 1));
            }
            if groups.len() > 1 {
                title.extend(text!(", columns {} of {}", group + 1, groups.len()));
            }
            let mut section = Section::new(title);
            section.paragraph(text!("{}: {}.", code(table.file.as_str()), table.about.as_str()));
            let heads = columns.iter().map(|column| head(table, *column));
            let cell =
                |(at, column): (usize, &usize), row: &Vec<String>| match row[*column].as_str() {
                    "" => Cell::DoesNotApply,
                    name if at == 0 => id(name).into(),
                    words => words.into(),
                };
            let rows = rows
                .iter()
                .map(|row| columns.iter().enumerate().map(|column| cell(column, row)).collect());
            section.table(Table { rows: rows.collect(), ..Table::new(heads).small() });
            pieces.push(section);
        }
    }
    pieces
}

fn letters(table: &PaperTable, column: usize) -> usize {
    let cells = table.rows.iter().map(|row| row[column].chars().count());
    let head = table.columns[column].0.split('_').map(str::len).max().unwrap_or(0);
    cells.max().unwrap_or(0).max(head + 2)
}

fn head(table: &PaperTable, column: usize) -> Column {
    let name = table.columns[column].0.replace('_', " ");
    let is_figure =
        table.rows.iter().all(|row| row[column].is_empty() || row[column].parse::<f64>().is_ok());
    if is_figure {
        Column::figure(name)
    } else if letters(table, column) > LONG {
        Column::text(name)
    } else {
        Column::name(name)
    }
}

/// Columns in groups that a page is wide enough for, each begun by those that tell rows apart.
fn side_by_side(table: &PaperTable, filled: &[usize]) -> Vec<Vec<usize>> {
    let wide = |column: &usize| letters(table, *column).min(LONG) + 3;
    let (keys, others): (Vec<usize>, Vec<usize>) =
        filled.iter().partition(|column| table.columns[**column].1);
    let key_letters: usize = keys.iter().map(wide).sum();
    let mut groups: Vec<Vec<usize>> = vec![keys.clone()];
    let mut taken = key_letters;
    for column in others {
        let last = groups.len() - 1;
        if taken + wide(&column) > MOST_LETTERS && groups[last].len() > keys.len() {
            groups.push(keys.clone());
            taken = key_letters;
        }
        taken += wide(&column);
        let last = groups.len() - 1;
        groups[last].push(column);
    }
    groups.retain(|group| !group.is_empty());
    groups
}

/// Sections in parts, none with more cells than are allowed.
fn in_parts(sections: impl Iterator<Item = Section>) -> Vec<Vec<Section>> {
    let cells = |section: &Section| -> usize {
        let tables = section.blocks.iter().filter_map(|block| match block {
            crate::pages::Block::Table(table) => Some(table.rows.len() * table.columns.len()),
            _ => None,
        });
        tables.sum()
    };
    let mut parts: Vec<Vec<Section>> = Vec::new();
    let mut taken = usize::MAX;
    for section in sections {
        let more = cells(&section);
        match parts.last_mut() {
            Some(part) if taken.saturating_add(more) <= MOST_CELLS => {
                part.push(section);
                taken += more;
            }
            _ => {
                parts.push(vec![section]);
                taken = more;
            }
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(columns: usize, rows: usize) -> PaperTable {
        PaperTable {
            title: "film".to_string(),
            file: "data/tables/film.csv".to_string(),
            about: "one row is a reading".to_string(),
            columns: (0..columns).map(|n| (format!("column_{n}"), n == 0)).collect(),
            rows: (0..rows)
                .map(|row| (0..columns).map(|column| format!("r{row}c{column}")).collect())
                .collect(),
        }
    }

    fn cells(section: &Section) -> Vec<String> {
        let tables = section.blocks.iter().filter_map(|block| match block {
            crate::pages::Block::Table(table) => Some(&table.rows),
            _ => None,
        });
        let shown = |cell: &Cell| match cell {
            Cell::Text(text) => text.to_string(),
            _ => String::new(),
        };
        tables.flatten().flatten().map(shown).collect()
    }

    /// Each cell stands in some part, those that tell rows apart beside every group of columns, and no part
    /// is larger than it may be.
    #[test]
    fn no_cell_is_lost_and_no_part_too_large() {
        let tables = [table(40, 700), table(6, 5000), table(3, 2)];
        let parts = in_parts(tables.iter().flat_map(pieces));
        let mut found: std::collections::BTreeMap<String, usize> = Default::default();
        for part in &parts {
            let cells: Vec<String> = part.iter().flat_map(cells).collect();
            assert!(cells.len() <= MOST_CELLS, "{}", cells.len());
            cells.into_iter().for_each(|cell| *found.entry(cell).or_default() += 1);
        }
        let groups = side_by_side(&tables[0], &(0..40).collect::<Vec<_>>()).len();
        assert!(groups > 1);
        assert_eq!(found["r699c39"], 1);
        assert_eq!(found["r699c0"], groups + 1);
        assert_eq!(found["r4999c5"], 1);
        for (row, columns) in [(0, 40), (1, 40), (699, 40), (700, 6), (4999, 6)] {
            for column in 0..columns {
                assert!(found.contains_key(&format!("r{row}c{column}")), "{row} {column}");
            }
        }
    }
}
