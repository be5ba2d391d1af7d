//! Tables with typed cells.

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::findings::finding::{Finding, Outcome};
use crate::text::{Figure, Form, Measure, Piece, Text};

/// More rows than this are not shown: nobody reads so many, the typesetter would hold them all in memory, and
/// they stand in the bundle.
pub const MOST_ROWS: usize = 1000;

/// A table. Its header is repeated on each page.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What it lists, in a line before it.
    pub about: Option<Text>,
    /// Its columns.
    pub columns: Vec<Column>,
    /// The column whose cells name the rows, so that a listener hears of what a value is.
    pub row_head: usize,
    /// Its rows, each with a cell for every column.
    pub rows: Vec<Vec<Cell>>,
    /// How many rows more there are, and where they stand.
    pub more: Option<(usize, &'static str)>,
    /// On what it is shown.
    pub medium: Medium,
    /// Whether many narrow rows are set in two halves side by side.
    pub in_halves: bool,
    /// Whether a page may not break it.
    pub whole: bool,
    /// Whether its letters are smaller than usual, since its columns are many.
    pub small: bool,
}

/// On what a table is shown: some are too long for a terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// On paper and on a terminal.
    Both,
    /// On paper only.
    Paper,
    /// On a terminal only.
    Terminal,
}

/// A column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its head, without the unit.
    pub head: Text,
    /// What its cells measure; the head names the unit and the cells don't.
    pub form: Option<Form>,
    /// What its cells are, and so how they are set.
    pub kind: Kind,
    /// How wide it is on paper.
    pub width: Width,
}

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Names, to the left.
    Name,
    /// Figures, to the right.
    Figure,
    /// Text, which takes the room that is left and breaks into lines.
    Text,
}

/// How wide a column is on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Width {
    /// As wide as its cells.
    Cells,
    /// So many mm.
    Mm(f64),
    /// A share of what other columns leave.
    Share(f64),
}

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words, figures, ids, times.
    Text(Text),
    /// How a finding came out.
    Outcome(Outcome),
    /// How checks came out, each with its name; a dash where there is none.
    Outcomes(Vec<(&'static str, Outcome)>),
    /// Nobody wrote it down.
    NotRecorded,
    /// It has no meaning here: a round opening has no length.
    DoesNotApply,
}

impl Column {
    fn new(head: impl Into<Text>, kind: Kind, width: Width) -> Self {
        Self { head: head.into(), form: None, kind, width }
    }

    /// A column of names, times or other short words.
    pub fn name(head: impl Into<Text>) -> Self {
        Self::new(head, Kind::Name, Width::Cells)
    }

    /// A column of counts, or of measures that name their units.
    pub fn figure(head: impl Into<Text>) -> Self {
        Self::new(head, Kind::Figure, Width::Cells)
    }

    /// A column of measures whose head names the unit.
    pub fn measure(head: impl Into<Text>, form: Form) -> Self {
        Self { form: Some(form), ..Self::figure(head) }
    }

    /// A column of sentences.
    pub fn text(head: impl Into<Text>) -> Self {
        Self::new(head, Kind::Text, Width::Share(1.0))
    }

    /// A column of how findings came out.
    pub fn outcome() -> Self {
        Self::name("Outcome")
    }

    /// The same, so many mm wide on paper.
    pub fn mm(self, width_mm: f64) -> Self {
        Self { width: Width::Mm(width_mm), ..self }
    }

    /// The same, with a share of the width that others leave on paper.
    pub fn share(self, share: f64) -> Self {
        Self { width: Width::Share(share), ..self }
    }
}

impl Table {
    /// A table without rows.
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        Self {
            about: None,
            columns: columns.into_iter().collect(),
            row_head: 0,
            rows: Vec::new(),
            more: None,
            medium: Medium::Both,
            in_halves: false,
            whole: false,
            small: false,
        }
    }

    /// Pairs of what and how much, under heads that say so.
    pub fn facts(heads: [&str; 2], facts: impl IntoIterator<Item = (Text, Cell)>) -> Self {
        let [what, value] = heads;
        let columns = [Column::text(what), Column::text(value)];
        Self::new(columns).rows(facts.into_iter().map(|(what, value)| [Cell::Text(what), value]))
    }

    /// The same with rows, of which the first [`MOST_ROWS`] are shown.
    pub fn rows<const N: usize>(self, rows: impl IntoIterator<Item = [Cell; N]>) -> Self {
        self.rows_of_any(rows.into_iter().map(Vec::from))
    }

    /// The same with rows of as many cells as there are columns, where that is known only to the caller.
    pub fn rows_of_any(mut self, rows: impl IntoIterator<Item = Vec<Cell>>) -> Self {
        self.rows = rows.into_iter().collect();
        debug_assert!(self.rows.iter().all(|row| row.len() == self.columns.len()), "{self:?}");
        self.cut(MOST_ROWS, "the bundle")
    }

    /// The same with so many rows at most; the others stand elsewhere.
    pub fn cut(mut self, most: usize, elsewhere: &'static str) -> Self {
        let before = self.more.map_or(0, |(more, _)| more);
        let more = before + self.rows.len().saturating_sub(most);
        self.rows.truncate(most);
        self.more = (more > 0).then_some((more, elsewhere));
        self
    }

    /// The same with a line before it.
    pub fn about(self, about: impl Into<Text>) -> Self {
        Self { about: Some(about.into()), ..self }
    }

    /// The same with the rows named by another column than the first.
    pub fn named_by(self, column: usize) -> Self {
        Self { row_head: column, ..self }
    }

    /// The same, shown on one medium only.
    pub fn on(self, medium: Medium) -> Self {
        Self { medium, ..self }
    }

    /// The same in two halves side by side where there are many rows.
    pub fn in_halves(self) -> Self {
        Self { in_halves: true, ..self }
    }

    /// The same, kept on one page.
    pub fn whole(self) -> Self {
        Self { whole: true, ..self }
    }

    /// The same in smaller letters.
    pub fn small(self) -> Self {
        Self { small: true, ..self }
    }
}

impl Cell {
    /// A value that may have no meaning in this row.
    pub fn if_any(value: Option<impl Into<Cell>>) -> Self {
        value.map_or(Cell::DoesNotApply, Into::into)
    }

    /// How a finding came out, where there is one.
    pub fn outcome_of(finding: Option<&Finding>) -> Self {
        Self::if_any(finding.map(|finding| finding.outcome))
    }

    /// The limit or tolerance that a finding was held against, where it was.
    pub fn against(finding: Option<&Finding>) -> Self {
        let made = finding.filter(|finding| finding.outcome != Outcome::NotRecorded);
        Self::if_any(made.and_then(|finding| Some(&finding.against.as_ref()?.value)))
    }
}

impl<T: Into<Piece>> From<T> for Cell {
    fn from(piece: T) -> Self {
        Cell::Text(Text::from(piece))
    }
}

impl From<Text> for Cell {
    fn from(text: Text) -> Self {
        Cell::Text(text)
    }
}

impl From<Outcome> for Cell {
    fn from(outcome: Outcome) -> Self {
        Cell::Outcome(outcome)
    }
}

impl From<&Figure> for Cell {
    fn from(figure: &Figure) -> Self {
        Cell::Text(figure.into())
    }
}

impl From<Option<&Figure>> for Cell {
    fn from(figure: Option<&Figure>) -> Self {
        figure.map_or(Cell::NotRecorded, Cell::from)
    }
}

/// What is absent was not recorded.
macro_rules! absent_is_not_recorded {
    ($($value:ty),* $(,)?) => {$(
        impl From<Option<$value>> for Cell {
            fn from(value: Option<$value>) -> Self {
                value.map_or(Cell::NotRecorded, Cell::from)
            }
        }
    )*};
}

absent_is_not_recorded!(
    &str,
    String,
    &String,
    Text,
    Piece,
    Measure,
    Outcome,
    usize,
    u32,
    i64,
    DateTime<FixedOffset>,
    NaiveDate,
);
