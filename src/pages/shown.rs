//! Sections, tables and cells for whoever reads them, in one system of units: plain values from which the
//! typesetter's templates and the terminal's tables are written.

use serde::Serialize;

use super::{Block, Cell, Column, Image, Kind, Section, Table, Told, Width};
use crate::findings::answers::describe;
use crate::findings::finding::Outcome;
use crate::records::remarks::Remark;
use crate::text::{Measure, Piece, Reader, System, Text, count, math, shortened};

/// Places of records that a finding in full lists; all of them stand in `findings.json`.
const MOST_PLACES: usize = 6;

/// Characters of an answer that a finding told in few lines quotes.
const MOST_QUOTED: usize = 600;

/// A part of a text, as a template sets it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Run {
    /// Words.
    Words(String),
    /// A name that breaks at its points only.
    Id(String),
    /// In bold.
    Strong(String),
    /// In letters of one width.
    Code(String),
    /// A reference to a section by its anchor.
    Section(String),
    /// Where in the records something stands.
    Source(String),
    /// A formula.
    Formula(FormulaShown),
}

/// A formula, for the typesetter and for those who can't see it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FormulaShown {
    pub set: String,
    pub plain: String,
}

/// A section.
#[derive(Debug, Clone, Serialize)]
pub struct SectionShown {
    pub title: Vec<Run>,
    pub anchor: Option<&'static str>,
    pub on_own_page: bool,
    /// Whether the contents list its parts, since it runs over several pages.
    pub parts_listed: bool,
    pub blocks: Vec<BlockShown>,
}

/// A block.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum BlockShown {
    Heading {
        level: usize,
        text: Vec<Run>,
    },
    Paragraph {
        text: Vec<Run>,
    },
    Lead {
        text: Vec<Run>,
    },
    Note {
        text: Vec<Run>,
    },
    List {
        points: Vec<Vec<Run>>,
    },
    Images {
        images: Vec<ImageShown>,
    },
    Terms {
        terms: Vec<(Vec<Run>, Vec<Run>)>,
    },
    Code {
        text: String,
    },
    Drawing {
        number: usize,
    },
    Quote {
        text: String,
        language: Option<LanguageShown>,
        by: Vec<Run>,
    },
    Finding(FindingShown),
    Answer {
        finding: String,
        answer: AnswerShown,
    },
    #[serde(untagged)]
    Table(TableShown),
}

/// A table.
#[derive(Debug, Clone, Serialize)]
pub struct TableShown {
    /// By which a table is known among blocks, and what is in cells made narrow.
    pub kind: &'static str,
    pub about: Option<Vec<Run>>,
    /// What a listener hears of a table that has no line before it: the heading that it stands under.
    pub summary: String,
    pub columns: Vec<ColumnShown>,
    /// The column that says what each row is about.
    pub row_head: usize,
    pub rows: Vec<Vec<CellShown>>,
    /// Rows that are too long to be kept on one page.
    pub broken: Vec<usize>,
    pub more: Option<String>,
    pub in_halves: bool,
    pub whole: bool,
    pub small: bool,
}

/// The language in which a person wrote, as the typesetter takes it.
#[derive(Debug, Clone, Serialize)]
pub struct LanguageShown {
    pub code: String,
    pub region: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct ImageShown {
    pub name: String,
    pub file: Option<String>,
    pub why_not: Option<String>,
    pub wide: bool,
    pub alt: String,
    pub caption: String,
    pub language: Option<LanguageShown>,
    pub source: Vec<Run>,
}

#[derive(Debug, Clone, Serialize)]
pub struct ColumnShown {
    pub head: String,
    /// Its unit, which may stand on a line of its own.
    pub unit: Option<&'static str>,
    pub is_figure: bool,
    /// Width in mm, or else the share of what is left; neither where it is as wide as its cells.
    pub width_mm: Option<f64>,
    pub share: Option<f64>,
}

/// A cell.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum CellShown {
    Text(Vec<Run>),
    Outcome { outcome: &'static str },
    Outcomes { checks: Vec<(&'static str, &'static str)> },
    NotRecorded { absent: bool },
    DoesNotApply(()),
}

#[derive(Debug, Clone, Serialize)]
pub struct FindingShown {
    pub id: String,
    /// How deep its heading stands.
    pub level: usize,
    pub sentence: Vec<Run>,
    pub outcome: &'static str,
    pub wants_answer: bool,
    /// Its figures beside what they are held against.
    pub figures: Option<String>,
    pub places: String,
    pub notes: Vec<Vec<Run>>,
    pub in_short: bool,
    pub answer: Option<AnswerShown>,
    pub earlier: Vec<AnswerShown>,
}

/// An answer, with what the finding said when it was given.
#[derive(Debug, Clone, Serialize)]
pub struct AnswerShown {
    pub answer: String,
    pub language: Option<LanguageShown>,
    pub by: String,
    pub on: String,
    pub then: Option<String>,
}

impl Section {
    /// The section for a template, in one system of units, and perhaps by one clock.
    pub fn shown(&self, reader: impl Into<Reader>) -> SectionShown {
        let reader = reader.into();
        let mut under = Under { heading: self.title.shown(reader), level: 1 };
        SectionShown {
            title: runs(&self.title, reader),
            anchor: self.anchor,
            on_own_page: self.on_own_page,
            parts_listed: self.is_long(),
            blocks: self
                .blocks
                .iter()
                .filter_map(|block| block.shown(reader, &mut under))
                .collect(),
        }
    }
}

impl Section {
    /// Whether it is likely to run over several pages, by what stands in it.
    fn is_long(&self) -> bool {
        const SEVERAL_PAGES: usize = 120;
        let lines = |block: &Block| match block {
            Block::Drawing(_) => 20,
            Block::Images(images) => 10 * images.len(),
            Block::Table(table) => 3 + table.rows.len(),
            Block::Finding(_) => 8,
            Block::List(points) => 2 * points.len(),
            Block::Terms(terms) => 2 * terms.len(),
            _ => 2,
        };
        self.blocks.iter().map(lines).sum::<usize>() > SEVERAL_PAGES
    }

    /// All that it says, one text after the other, to be searched.
    pub fn said(&self, system: System) -> String {
        let mut said = self.title.shown(system);
        for block in &self.blocks {
            let texts: Vec<&Text> = match block {
                Block::Heading(_, text)
                | Block::Paragraph(text)
                | Block::Lead(text)
                | Block::Note(text) => vec![text],
                Block::List(points) => points.iter().collect(),
                Block::Terms(terms) => {
                    terms.iter().flat_map(|(term, means)| [term, means]).collect()
                }
                Block::Table(table) => {
                    let heads = table.columns.iter().map(|column| &column.head);
                    let cells = table.rows.iter().flatten().filter_map(|cell| match cell {
                        Cell::Text(text) => Some(text),
                        _ => None,
                    });
                    table.about.iter().chain(heads).chain(cells).collect()
                }
                Block::Quote(quote) => vec![&quote.by],
                Block::Finding(told) => vec![&told.finding.sentence],
                Block::Images(images) => images.iter().map(|image| &image.source).collect(),
                Block::Code(_) | Block::Drawing(_) | Block::Answer(_) => Vec::new(),
            };
            for text in texts {
                said.push('\n');
                said.push_str(&text.shown(system));
            }
        }
        said.push('\n');
        said
    }
}

/// The heading that a block stands under, and its level: 1 for the section's own.
struct Under {
    heading: String,
    level: usize,
}

impl Block {
    fn shown(&self, reader: Reader, under: &mut Under) -> Option<BlockShown> {
        let runs = |text: &Text| runs(text, reader);
        Some(match self {
            Block::Heading(level, text) => {
                *under = Under { heading: text.shown(reader), level: *level };
                BlockShown::Heading { level: *level, text: runs(text) }
            }
            Block::Paragraph(text) => BlockShown::Paragraph { text: runs(text) },
            Block::Lead(text) => BlockShown::Lead { text: runs(text) },
            Block::Note(text) => BlockShown::Note { text: runs(text) },
            Block::List(points) => BlockShown::List { points: points.iter().map(runs).collect() },
            Block::Terms(terms) => BlockShown::Terms {
                terms: terms.iter().map(|(term, means)| (runs(term), runs(means))).collect(),
            },
            Block::Code(text) => BlockShown::Code { text: text.clone() },
            Block::Images(images) => {
                let shown = |image: &Image| ImageShown {
                    name: image.name.clone(),
                    file: image.file.clone(),
                    why_not: image.why_not.clone(),
                    wide: image.wide,
                    alt: image.alt.clone(),
                    caption: image.caption.clone(),
                    language: language_shown(image.language.as_deref()),
                    source: runs(&image.source),
                };
                BlockShown::Images { images: images.iter().map(shown).collect() }
            }
            Block::Table(table) if table.medium == super::Medium::Terminal => return None,
            Block::Table(table) => BlockShown::Table(table.shown_under(&under.heading, reader)),
            Block::Drawing(number) => BlockShown::Drawing { number: *number },
            Block::Quote(quote) => BlockShown::Quote {
                text: quote.paragraphs.join("\n\n"),
                language: None,
                by: runs(&quote.by),
            },
            Block::Finding(told) => {
                BlockShown::Finding(finding_shown(told, under.level + 1, reader))
            }
            Block::Answer(remark) => {
                let (finding, answer) = (remark.finding.clone(), answer_shown(remark));
                BlockShown::Answer { finding, answer }
            }
        })
    }
}

impl Table {
    /// The table for a template, in one system of units, where no section has it.
    pub fn shown(&self, reader: impl Into<Reader>) -> TableShown {
        let reader = reader.into();
        let heads = self.columns.iter().map(|column| column.head.shown(reader));
        self.shown_under(&heads.collect::<Vec<_>>().join(", "), reader)
    }

    /// The same under a heading.
    fn shown_under(&self, heading: &str, reader: Reader) -> TableShown {
        let finest = self.finest(reader);
        let cells = |row: &Vec<Cell>| {
            let cells = row.iter().zip(self.columns.iter().zip(&finest));
            cells.map(|(cell, (column, finest))| cell.shown(column, *finest, reader)).collect()
        };
        TableShown {
            kind: "table",
            about: self.about.as_ref().map(|about| runs(about, reader)),
            summary: heading.to_string(),
            columns: self.columns.iter().map(|column| column.shown(reader)).collect(),
            row_head: self.row_head,
            rows: self.rows.iter().map(cells).collect(),
            broken: self.long_rows(reader),
            more: self.more_shown(),
            in_halves: self.in_halves,
            whole: self.whole || self.is_short(reader),
            small: self.small,
        }
    }

    /// Whether it fits a page even where its longest cells stand in narrow columns, so that no page need break it.
    fn is_short(&self, reader: Reader) -> bool {
        const MOST_ROWS: usize = 16;
        let letters = self.rows.iter().map(|row| longest_cell(row, reader));
        self.rows.len() <= MOST_ROWS && letters.sum::<usize>() <= MOST_LETTERS
    }

    /// The rows that might not fit a page.
    fn long_rows(&self, reader: Reader) -> Vec<usize> {
        let rows = self.rows.iter().enumerate();
        rows.filter(|(_, row)| longest_cell(row, reader) > MOST_LETTERS).map(|(n, _)| n).collect()
    }

    /// For each column how many decimals its finest number has, so that all of them are shown with as many.
    pub fn finest(&self, reader: impl Into<Reader>) -> Vec<usize> {
        let system = reader.into().system;
        let decimals = |column: &Column, cell: &Cell| -> usize {
            let (Cell::Text(text), Some(form)) = (cell, column.form) else { return 0 };
            let measures = text.pieces().iter().flat_map(|piece| match piece {
                Piece::Measure(measure) => [Some(measure), None],
                Piece::Range(from, to) => [Some(from), Some(to)],
                _ => [None, None],
            });
            let of_unit =
                measures.flatten().filter(|one| one.form.unit(system) == form.unit(system));
            of_unit.map(|measure| measure.decimals_in(system)).max().unwrap_or(0)
        };
        let column = |(n, column): (usize, &Column)| {
            self.rows.iter().map(|row| decimals(column, &row[n])).max().unwrap_or(0)
        };
        self.columns.iter().enumerate().map(column).collect()
    }

    /// How many rows more there are and where, in words.
    pub fn more_shown(&self) -> Option<String> {
        let (more, elsewhere) = self.more?;
        let rows = count(more, "row more stands", "rows more stand");
        Some(format!("{rows} in {elsewhere}."))
    }
}

/// Some 60 lines of a column that is 10 mm wide.
const MOST_LETTERS: usize = 480;

/// Letters in the longest cell of a row, line breaks counted as lines of a narrow column.
fn longest_cell(row: &[Cell], reader: Reader) -> usize {
    let letters = |cell: &Cell| match cell {
        Cell::Text(text) => {
            let width = |c| if c == '\n' { 10 } else { 1 };
            text.shown(reader).chars().map(width).sum()
        }
        Cell::Outcomes(outcomes) => 24 * outcomes.len(),
        Cell::Outcome(_) | Cell::NotRecorded | Cell::DoesNotApply => 12,
    };
    row.iter().map(letters).max().unwrap_or(0)
}

impl Column {
    fn shown(&self, reader: Reader) -> ColumnShown {
        let (width_mm, share) = match self.width {
            Width::Cells => (None, None),
            Width::Mm(mm) => (Some(mm), None),
            Width::Share(share) => (None, Some(share)),
        };
        ColumnShown {
            head: self.head.shown(reader),
            unit: self.form.and_then(|form| form.head(reader.system)),
            is_figure: self.kind == Kind::Figure,
            width_mm,
            share,
        }
    }

    /// The head with its unit.
    pub fn head_with_unit(&self, reader: impl Into<Reader>) -> String {
        let reader = reader.into();
        let head = self.head.shown(reader);
        match self.form.and_then(|form| form.head(reader.system)) {
            Some(unit) if head.is_empty() => unit.to_string(),
            Some(unit) => format!("{head}, {unit}"),
            None => head,
        }
    }
}

impl Cell {
    fn shown(&self, column: &Column, finest: usize, reader: Reader) -> CellShown {
        match self {
            Cell::Text(text) => match self.bare_number(column, finest, reader) {
                Some(number) => CellShown::Text(vec![Run::Words(number)]),
                None => CellShown::Text(runs(text, reader)),
            },
            Cell::Outcome(outcome) => CellShown::Outcome { outcome: outcome.words() },
            Cell::Outcomes(checks) if checks.is_empty() => CellShown::DoesNotApply(()),
            Cell::Outcomes(checks) => CellShown::Outcomes {
                checks: checks.iter().map(|(check, outcome)| (*check, outcome.words())).collect(),
            },
            Cell::NotRecorded => CellShown::NotRecorded { absent: true },
            Cell::DoesNotApply => CellShown::DoesNotApply(()),
        }
    }

    /// The cell as one text, as a terminal has it, with the decimals that its column needs ([`Table::finest`]).
    pub fn as_text(&self, column: &Column, finest: usize, reader: impl Into<Reader>) -> String {
        let reader = reader.into();
        match self {
            Cell::Text(text) => {
                self.bare_number(column, finest, reader).unwrap_or_else(|| text.shown(reader))
            }
            Cell::Outcome(outcome) => outcome.words().to_string(),
            Cell::Outcomes(checks) if checks.is_empty() => {
                Cell::DoesNotApply.as_text(column, finest, reader)
            }
            Cell::Outcomes(checks) => {
                let each = checks.iter();
                each.map(|(check, outcome)| format!("{check}: {outcome}"))
                    .collect::<Vec<_>>()
                    .join("; ")
            }
            Cell::NotRecorded => Outcome::NotRecorded.words().to_string(),
            Cell::DoesNotApply => "\u{2013}".to_string(),
        }
    }

    /// The numbers of a cell whose column names their unit, without it.
    fn bare_number(&self, column: &Column, finest: usize, reader: Reader) -> Option<String> {
        let form = column.form.filter(|form| form.head(reader.system).is_some())?;
        let Cell::Text(text) = self else { return None };
        let is_bare =
            |measure: &Measure| measure.form.unit(reader.system) == form.unit(reader.system);
        let number = |measure: &Measure| measure.number_to(finest, reader.system);
        let mut has_bare = false;
        let bare = |piece: &Piece| {
            let bare = match piece {
                Piece::Measure(measure) => is_bare(measure).then(|| number(measure)),
                Piece::Range(from, to) => {
                    is_bare(to).then(|| format!("{} to {}", number(from), number(to)))
                }
                _ => None,
            };
            has_bare |= bare.is_some();
            bare.unwrap_or_else(|| piece.shown(reader))
        };
        let text = text.pieces().iter().map(bare).collect();
        has_bare.then_some(text)
    }
}

/// A text for a template, in one system of units.
pub fn runs(text: &Text, reader: impl Into<Reader>) -> Vec<Run> {
    let reader = reader.into();
    let run = |piece: &Piece| match piece {
        Piece::Id(id) => Run::Id(id.clone()),
        Piece::Strong(words) => Run::Strong(words.clone()),
        Piece::Code(words) => Run::Code(words.clone()),
        Piece::Section(anchor) => Run::Section((*anchor).to_string()),
        Piece::Source(words) => Run::Source(words.clone()),
        Piece::Formula(plain) => {
            Run::Formula(FormulaShown { set: math::typeset(plain), plain: (*plain).to_string() })
        }
        piece => Run::Words(piece.shown(reader)),
    };
    text.pieces().iter().map(run).collect()
}

fn finding_shown(told: &Told, level: usize, reader: Reader) -> FindingShown {
    let finding = &told.finding;
    let places: Vec<String> = finding.records.iter().map(ToString::to_string).collect();
    let more = places.len().saturating_sub(MOST_PLACES);
    let mut listed = places[..places.len() - more].join(", ");
    if more > 0 {
        listed.push_str(&format!(" and {more} more"));
    }
    FindingShown {
        id: finding.id.clone(),
        level,
        sentence: runs(&finding.sentence, reader),
        outcome: finding.outcome.words(),
        wants_answer: finding.wants_answer(),
        figures: finding.figures().map(|figures| figures.capitalized().shown(reader)),
        places: listed,
        notes: told.notes.iter().map(|note| runs(note, reader)).collect(),
        in_short: told.in_short,
        answer: finding.remark.as_ref().map(|remark| {
            let answer = answer_shown(remark);
            match told.in_short && remark.answer.chars().count() > MOST_QUOTED {
                true => AnswerShown {
                    answer: format!(
                        "{} (The whole answer stands in findings.json of the bundle.)",
                        shortened(&remark.answer, MOST_QUOTED)
                    ),
                    ..answer
                },
                false => answer,
            }
        }),
        earlier: finding.earlier.iter().map(answer_shown).collect(),
    }
}

/// A tag of BCP 47 as its language and its region, which is all that the typesetter takes.
fn language_shown(tag: Option<&str>) -> Option<LanguageShown> {
    let mut parts = tag?.split('-');
    let code = parts.next().filter(|code| (2..=3).contains(&code.len()))?.to_ascii_lowercase();
    let is_region = |part: &&str| part.len() == 2 && part.bytes().all(|b| b.is_ascii_alphabetic());
    // After a single letter come extensions, whose parts may look like a region.
    let region = parts.take_while(|part| part.len() > 1).find(is_region);
    Some(LanguageShown { code, region: region.map(str::to_ascii_uppercase) })
}

fn answer_shown(remark: &Remark) -> AnswerShown {
    AnswerShown {
        answer: remark.answer.clone(),
        language: language_shown(remark.language.as_deref()),
        by: remark.by.clone(),
        on: crate::text::day(remark.on),
        then: remark.then.as_ref().map(describe),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Form, System};

    #[test]
    fn a_column_has_as_many_decimals_as_its_finest_number() {
        let length = |kept_m: f64| Form::Length.measure(kept_m);
        let rows = [
            ["a".into(), length(1.5).into()],
            ["b".into(), length(0.0125).as_stated().into()],
            ["c".into(), Cell::DoesNotApply],
            ["d".into(), Form::Small.measure(0.013).into()],
        ];
        let columns = [Column::name("Block"), Column::measure("Height", Form::Length)];
        let shown = serde_json::to_value(Table::new(columns).rows(rows).shown(System::Si));
        let shown = shown.expect("JSON");
        let cells: Vec<_> = (0..4).map(|n| &shown["rows"][n][1][0]["words"]).collect();
        assert_eq!(cells[..2], ["1.5000", "0.0125"]);
        // What has another unit than the head names it, and counts for nothing.
        assert_eq!(cells[3], "13\u{a0}mm");
        assert!(shown["rows"][2][1].is_null());
    }

    #[test]
    fn a_language_is_said_as_the_typesetter_takes_it() {
        let said = |tag: &str| language_shown(Some(tag)).map(|said| (said.code, said.region));
        assert_eq!(said("DE"), Some(("de".to_string(), None)));
        assert_eq!(said("zh-Hant-TW"), Some(("zh".to_string(), Some("TW".to_string()))));
        assert_eq!(said("en-u-ca-GB"), Some(("en".to_string(), None)));
        assert_eq!(said("longlang"), None);
    }

    #[test]
    fn a_table_is_summed_up_by_its_heading_and_a_finding_stands_under_it() {
        let table = || Table::new([Column::name("Block")]).rows([[Cell::from("K1")]]);
        let mut section = Section::new("Landing");
        section.table(table()).part("Gaps").table(table()).table(table().about("At P1:"));
        let shown = serde_json::to_value(section.shown(System::Si)).expect("JSON");
        let blocks = shown["blocks"].as_array().expect("blocks");
        let tables = blocks.iter().filter(|block| block["kind"] == "table");
        let said: Vec<_> = tables.map(|one| (&one["summary"], one["about"].is_null())).collect();
        assert_eq!(said[0], (&"Landing".into(), true));
        assert_eq!(said[1], (&"Gaps".into(), true));
        assert!(!said[2].1);
    }
}
