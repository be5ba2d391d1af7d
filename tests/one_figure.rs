//! One quantity has one figure, wherever it stands: in findings, on the report's pages, in the derived tables.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use lastdock::findings::Examined;
use lastdock::pages::{Block, Cell, Section};
use lastdock::report::figures::drawings;
use lastdock::report::{Inputs, sections};
use lastdock::tables;
use lastdock::text::{Figure, Key, Measure, Piece, Text};
use lastdock::units::split_suffix;

use crate::common;

/// What a measure is, and the digest of what it belongs to.
type Known = (String, u64);

/// A figure where it stands.
struct Standing {
    place: String,
    kept: f64,
    /// By how much what is written there may differ from what was computed.
    rounded_by: f64,
}

/// All figures that have keys, by these.
#[derive(Default)]
struct Figures(BTreeMap<Known, Vec<Standing>>);

impl Figures {
    fn add(&mut self, known: Known, place: &str, kept: f64, rounded_by: f64) {
        let standing = Standing { place: place.to_string(), kept, rounded_by };
        self.0.entry(known).or_default().push(standing);
    }

    fn measure(&mut self, place: &str, measure: &Measure) {
        if let Some(Key { quantity, names }) = measure.key {
            self.add((quantity.to_string(), names), place, measure.kept, 0.0);
        }
    }

    fn text(&mut self, place: &str, text: &Text) {
        for piece in text.pieces() {
            match piece {
                Piece::Measure(measure) => self.measure(place, measure),
                Piece::Range(from, to) => {
                    self.measure(place, from);
                    self.measure(place, to);
                }
                _ => {}
            }
        }
    }

    fn findings(&mut self, examined: &Examined) {
        for finding in &examined.findings {
            let place = format!("finding {}", finding.id);
            self.text(&place, &finding.sentence);
            for figure in [&finding.recorded, &finding.recomputed].into_iter().flatten() {
                match figure {
                    Figure::Measure(measure) => self.measure(&place, measure),
                    Figure::Words(words) => self.text(&place, words),
                    Figure::Count(_) => {}
                }
            }
        }
    }

    fn section(&mut self, section: &Section) {
        let place = format!("page {}", section.title);
        for block in &section.blocks {
            match block {
                Block::Heading(_, text)
                | Block::Paragraph(text)
                | Block::Lead(text)
                | Block::Note(text) => self.text(&place, text),
                Block::List(points) => points.iter().for_each(|text| self.text(&place, text)),
                Block::Terms(terms) => terms.iter().for_each(|(word, text)| {
                    self.text(&place, word);
                    self.text(&place, text);
                }),
                Block::Table(table) => {
                    table.about.iter().for_each(|text| self.text(&place, text));
                    for cell in table.rows.iter().flatten() {
                        if let Cell::Text(text) = cell {
                            self.text(&place, text);
                        }
                    }
                }
                _ => {}
            }
        }
    }

    /// A derived table's figures are known by their column and by the key of their row. Where that is a mere number,
    /// each table counts things of its own.
    fn table(&mut self, table: &tables::Table) {
        let place = format!("table {}", table.name);
        for row in &table.rows {
            let cells = || table.columns.iter().zip(row);
            let key = cells().filter(|(column, _)| column.is_key).map(|(_, cell)| cell.as_str());
            if key.clone().all(|name| name.parse::<u32>().is_ok()) {
                continue;
            }
            let names = Key::digest(key);
            for (column, cell) in cells() {
                let Some((quantity, _)) = split_suffix(&column.name) else { continue };
                let Ok(kept) = cell.parse::<f64>() else { continue };
                self.add((quantity.to_string(), names), &place, kept, 5.1e-7);
            }
        }
    }

    /// How many keys stand in several findings, pages or tables.
    fn shared(&self) -> usize {
        let several = |standing: &&Vec<Standing>| {
            standing.iter().map(|one| &one.place).collect::<BTreeSet<_>>().len() > 1
        };
        self.0.values().filter(several).count()
    }

    /// Where one key has two figures.
    fn differences(&self) -> Vec<String> {
        let mut found = Vec::new();
        for ((quantity, _), standing) in &self.0 {
            let first = &standing[0];
            for other in &standing[1..] {
                let off = (first.kept - other.kept).abs();
                let sure = 1e-9 * first.kept.abs().max(1.0) + first.rounded_by + other.rounded_by;
                if off > sure {
                    found.push(format!(
                        "{quantity}: {} in {}, {} in {}",
                        first.kept, first.place, other.kept, other.place
                    ));
                }
            }
        }
        found
    }
}

fn figures(examined: &Examined) -> Figures {
    let mut figures = Figures::default();
    figures.findings(examined);
    let drawings = drawings(examined);
    let inputs = Inputs {
        examined,
        drawings: &drawings,
        files: &[],
        records_checksum: "",
        attachments: Vec::new(),
        pictures: &examined.project.pictures,
        letters: Vec::new(),
        program: "",
    };
    for section in sections(&inputs) {
        figures.section(&section);
    }
    for table in tables::tables(examined) {
        if table.name.starts_with("recomputed-") && table.columns.iter().any(|c| c.is_key) {
            figures.table(&table);
        }
    }
    figures
}

/// The figures of a project agree, and so many at least stand in several places.
fn hold(folder: &Path, least: usize) {
    let figures = figures(&common::examined(folder));
    let differences = figures.differences();
    assert!(differences.is_empty(), "{}", differences.join("\n"));
    assert!(figures.shared() >= least, "{} of {}", figures.shared(), figures.0.len());
}

#[test]
fn every_figure_of_the_sample_is_the_same_wherever_it_stands() {
    hold(&common::sample(), 500);
}

#[test]
fn every_figure_of_the_small_project_is_the_same_wherever_it_stands() {
    hold(Path::new("tests/formats/project"), 28);
}

#[test]
fn every_figure_of_a_second_docking_is_the_same_wherever_it_stands() {
    hold(&crate::handover::cycle::cycle().next, 500);
}

#[test]
fn a_planted_difference_is_seen() {
    let mut figures = figures(&common::examined(Path::new("tests/formats/project")));
    let known = ("clear_distance".to_string(), Key::digest(["P1", "IN1"]));
    let kept = figures.0[&known][0].kept;
    figures.add(known, "here", kept + 0.001, 0.0);
    assert_eq!(figures.differences().len(), 1, "{:?}", figures.differences());
}
