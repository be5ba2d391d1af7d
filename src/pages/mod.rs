//! Sections, tables and paragraphs, whatever they are shown on: the report's pages, a terminal, the pages of a
//! comparison. What they show is typed, so that units, minus signs and the words for what is absent have one
//! home each: [`shown`] for whoever reads.

pub mod archive;
pub mod day;
pub mod errata;
pub mod later;
pub mod owed;
pub mod pieces;
pub mod planned;
pub mod shifts;
pub mod shown;
mod table;

pub use table::{Cell, Column, Kind, MOST_ROWS, Medium, Table, Width};

use crate::findings::cause::group;
use crate::findings::finding::Finding;
use crate::records::remarks::Remark;
use crate::text;
use crate::text::{Text, id};

/// A section: a heading and what stands under it.
#[derive(Debug, Clone)]
pub struct Section {
    /// Its heading.
    pub title: Text,
    /// By which other sections point to it.
    pub anchor: Option<&'static str>,
    /// Whether it keeps to pages of its own, in smaller letters.
    pub on_own_page: bool,
    /// What stands under it.
    pub blocks: Vec<Block>,
}

/// What stands in a section.
#[derive(Debug, Clone)]
pub enum Block {
    /// A heading inside the section, 2 or 3 levels down.
    Heading(usize, Text),
    /// A paragraph.
    Paragraph(Text),
    /// A line that belongs to what follows it.
    Lead(Text),
    /// A paragraph in small letters.
    Note(Text),
    /// Points of a list.
    List(Vec<Text>),
    /// Words with what they mean.
    Terms(Vec<(Text, Text)>),
    /// Lines to be copied as they stand.
    Code(String),
    /// A table.
    Table(Table),
    /// A drawing, by its number among those of the document.
    Drawing(usize),
    /// Pictures, two beside each other.
    Images(Vec<Image>),
    /// What somebody wrote, and who and when.
    Quote(Quote),
    /// A finding with its answers.
    Finding(Box<Told>),
    /// An answer whose finding is not in the record.
    Answer(Box<Remark>),
}

/// A finding as a section tells it.
#[derive(Debug, Clone)]
pub struct Told {
    /// The finding.
    pub finding: Finding,
    /// From which record it follows, and what else does.
    pub notes: Vec<Text>,
    /// Whether it is answered and told in few lines.
    pub in_short: bool,
}

/// What somebody wrote.
#[derive(Debug, Clone)]
pub struct Quote {
    /// Its paragraphs.
    pub paragraphs: Vec<String>,
    /// Who wrote it, when, and where it stands.
    pub by: Text,
}

/// A picture, or why it is not shown.
#[derive(Debug, Clone)]
pub struct Image {
    /// Its file's name inside `papers/`.
    pub name: String,
    /// Its file among those that the typesetter sees.
    pub file: Option<String>,
    /// Why it is not shown.
    pub why_not: Option<String>,
    /// Whether it is wider than high.
    pub wide: bool,
    /// What it shows, for those who can't see it.
    pub alt: String,
    /// What stands under it.
    pub caption: String,
    /// The language of the caption by BCP 47, if that is stated.
    pub language: Option<String>,
    /// Its file's name, who made it and when.
    pub source: Text,
}

impl Section {
    /// An empty section.
    pub fn new(title: impl Into<Text>) -> Self {
        Self { title: title.into(), anchor: None, on_own_page: false, blocks: Vec::new() }
    }

    /// The same, to which others can point.
    pub fn at(self, anchor: &'static str) -> Self {
        Self { anchor: Some(anchor), ..self }
    }

    /// The same on pages of its own, in smaller letters.
    pub fn on_own_page(self) -> Self {
        Self { on_own_page: true, ..self }
    }

    /// Adds a heading of the second level.
    pub fn part(&mut self, title: impl Into<Text>) -> &mut Self {
        self.add(Block::Heading(2, title.into()))
    }

    /// Adds a heading of the third level.
    pub fn subpart(&mut self, title: impl Into<Text>) -> &mut Self {
        self.add(Block::Heading(3, title.into()))
    }

    /// Adds a paragraph, unless it is empty.
    pub fn paragraph(&mut self, text: impl Into<Text>) -> &mut Self {
        let text = text.into();
        if text.is_empty() { self } else { self.add(Block::Paragraph(text)) }
    }

    /// Adds a line that belongs to what follows it.
    pub fn lead(&mut self, text: impl Into<Text>) -> &mut Self {
        self.add(Block::Lead(text.into()))
    }

    /// Adds a paragraph in small letters.
    pub fn note(&mut self, text: impl Into<Text>) -> &mut Self {
        self.add(Block::Note(text.into()))
    }

    /// Adds a list, unless it is empty.
    pub fn list(&mut self, points: impl IntoIterator<Item = Text>) -> &mut Self {
        let points: Vec<Text> = points.into_iter().collect();
        if points.is_empty() { self } else { self.add(Block::List(points)) }
    }

    /// Adds words with what they mean, unless there are none.
    pub fn terms(&mut self, terms: impl IntoIterator<Item = (Text, Text)>) -> &mut Self {
        let terms: Vec<(Text, Text)> = terms.into_iter().collect();
        if terms.is_empty() { self } else { self.add(Block::Terms(terms)) }
    }

    /// Adds lines to be copied as they stand.
    pub fn code(&mut self, lines: impl Into<String>) -> &mut Self {
        self.add(Block::Code(lines.into()))
    }

    /// Adds pictures, if there are any.
    pub fn images(&mut self, images: Vec<Image>) -> &mut Self {
        if images.is_empty() { self } else { self.add(Block::Images(images)) }
    }

    /// Adds a table, unless it has no row.
    pub fn table(&mut self, table: Table) -> &mut Self {
        if table.rows.is_empty() { self } else { self.add(Block::Table(table)) }
    }

    /// Adds drawings, by their numbers.
    pub fn drawings(&mut self, numbers: impl IntoIterator<Item = usize>) -> &mut Self {
        self.blocks.extend(numbers.into_iter().map(Block::Drawing));
        self
    }

    /// Adds what somebody wrote.
    pub fn quote(&mut self, paragraphs: Vec<String>, by: impl Into<Text>) -> &mut Self {
        self.add(Block::Quote(Quote { paragraphs, by: by.into() }))
    }

    /// Adds a finding with its answer, in few lines.
    pub fn finding_in_short(&mut self, finding: &Finding) -> &mut Self {
        let told = Told { finding: finding.clone(), notes: Vec::new(), in_short: true };
        self.add(Block::Finding(Box::new(told)))
    }

    /// Adds findings in full; of those that follow from one record the first, with the record and the ids of the
    /// others, of which at most so many are named and all stand elsewhere.
    pub fn findings<'a>(
        &mut self,
        findings: impl IntoIterator<Item = &'a Finding>,
        most_named: usize,
        elsewhere: &str,
    ) -> &mut Self {
        for group in group(findings) {
            let mut told =
                Told { finding: group.first.clone(), notes: Vec::new(), in_short: false };
            if let Some(cause) = group.cause() {
                told.notes.push(text!("at {}: {}", cause.place, cause.sentence));
            }
            if group.rest.is_empty() {
                self.add(Block::Finding(Box::new(told)));
                continue;
            }
            let ids = group.rest.iter().take(most_named).map(|finding| id(&finding.id).into());
            let named = Text::joined(ids, ", ");
            let more = match group.rest.len().saturating_sub(most_named) {
                0 => Text::new(),
                more => text!(" and {} others ({})", more, elsewhere),
            };
            told.notes.push(text!("{} more follow from it: {}{}", group.rest.len(), named, more));
            self.add(Block::Finding(Box::new(told)));
        }
        self
    }

    /// Adds an answer whose finding is not in the record.
    pub fn answer(&mut self, remark: &Remark) -> &mut Self {
        self.add(Block::Answer(Box::new(remark.clone())))
    }

    /// What its first paragraph says.
    pub fn lead_paragraph(&self) -> Option<&Text> {
        self.blocks.iter().find_map(|block| match block {
            Block::Paragraph(text) => Some(text),
            _ => None,
        })
    }

    /// Adds what stands in another section, without its title.
    pub fn append(&mut self, other: Section) -> &mut Self {
        self.blocks.extend(other.blocks);
        self
    }

    fn add(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }
}
