//! How a file of records is described: one table of columns per file, from which reading, messages
//! and derived tables all follow.

use super::place::sheet_name;
use crate::units::{Quantity, System, Unit};

/// What kind of thing a name is of. Names are unique within a kind and may repeat between kinds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// A keel or bilge block.
    Block,
    /// A through-hull opening.
    Opening,
    Position,
    /// A position that the docking plan offers.
    PlanPosition,
    /// A zone of the coating.
    Zone,
    /// An area that was drawn for the coating's logs.
    Area,
    Product,
    Application,
    Anode,
    Docking,
    /// A strake of the shell, of which gaugings name the plates.
    Strake,
    /// A plate of a strake: `F-S.14`.
    Plate,
    /// A frame by its number.
    Frame,
}

impl Kind {
    /// The kinds of things that have an id of their own, by which alone they may be named.
    pub const WITH_ID: [Kind; 10] = [
        Kind::Block,
        Kind::Opening,
        Kind::Position,
        Kind::Zone,
        Kind::Area,
        Kind::Product,
        Kind::Application,
        Kind::Anode,
        Kind::Docking,
        Kind::PlanPosition,
    ];

    /// The kinds of things that are named with the kind's word before their name only: `plate:F-S.14`, `frame:57`.
    pub const WITH_WORD: [Kind; 3] = [Kind::Strake, Kind::Plate, Kind::Frame];

    /// The kind that a word names.
    pub fn by(word: &str) -> Option<Self> {
        Self::WITH_ID.into_iter().chain(Self::WITH_WORD).find(|kind| kind.word() == word)
    }

    /// The word with its article.
    pub fn with_article(self) -> &'static str {
        match self {
            Kind::Block => "a block",
            Kind::Opening => "an opening",
            Kind::Position => "a position",
            Kind::PlanPosition => "a position of the plan",
            Kind::Zone => "a zone",
            Kind::Area => "an area",
            Kind::Product => "a product",
            Kind::Application => "an application",
            Kind::Anode => "an anode",
            Kind::Docking => "an earlier docking",
            Kind::Strake => "a strake",
            Kind::Plate => "a plate",
            Kind::Frame => "a frame",
        }
    }

    /// The word for several.
    pub fn plural(self) -> String {
        match self {
            Kind::Docking => "earlier dockings".to_string(),
            Kind::PlanPosition => "positions of the plan".to_string(),
            kind => format!("{}s", kind.word()),
        }
    }

    /// The word for it, also the prefix in `block:K12`.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Block => "block",
            Kind::Opening => "opening",
            Kind::Position => "position",
            Kind::PlanPosition => "plan-position",
            Kind::Zone => "zone",
            Kind::Area => "area",
            Kind::Product => "product",
            Kind::Application => "application",
            Kind::Anode => "anode",
            Kind::Docking => "docking",
            Kind::Strake => "strake",
            Kind::Plate => "plate",
            Kind::Frame => "frame",
        }
    }
}

/// Which numbers a measure may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Range {
    /// Any finite number.
    Any,
    /// Zero or more.
    NotNegative,
    /// More than zero.
    Positive,
}

/// What one column or key holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Holds {
    /// The id of the thing that the row is about.
    Id(Kind),
    /// The id of the thing that the row describes a part of; several rows make it up.
    Part(Kind),
    /// The id of something described elsewhere.
    Ref(Kind),
    /// Ids of one kind, `;` between them; the word `none` stands for an empty list that is meant.
    Refs(Kind),
    /// Names of things of any kind, `;` between them, `block:K12` where an id is used by two kinds, and `plate:F-S.14`
    /// for what has no id of its own.
    AnyRefs,
    /// Free text.
    Text,
    /// What somebody or something is called, on one line: a person, a ship, a dock, a place.
    Called,
    /// A text, or in TOML a list of texts.
    Texts,
    /// A name of letters, digits, `-` and `_`.
    Name,
    /// One of a few fixed words.
    Word(&'static [&'static str]),
    /// One or more of a few fixed words, `;` between them.
    Words(&'static [&'static str]),
    /// A grade of prepared steel, as its standard or the yard writes it.
    Grade,
    /// Such grades, `;` between them.
    Grades,
    /// A whole number from `least` on.
    Whole {
        /// The least that is allowed.
        least: i64,
    },
    /// A number without a unit.
    Number(Range),
    /// A number with a unit, which ends the column's name.
    Measure(Quantity, Range),
    /// A number with a unit, or the word `none` where there is no bound.
    Bound(Quantity),
    /// A draft: a length; in feet it may be written as feet and inches, `17-06`.
    Draft,
    /// A point in time, RFC 3339.
    Time,
    /// A day, `2031-04-09`.
    Date,
    /// `yes` or `no`.
    Flag,
    /// An offset from UTC, `+01:00`.
    Offset,
}

/// The words for the part of a zone that a log covers.
pub(super) const EXTENTS: [&str; 3] = ["all", "exposed", "patches"];

/// A place along an axis.
pub(super) const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
/// A length that can't be 0.
pub(super) const SIZE: Holds = Holds::Measure(Quantity::Length, Range::Positive);

/// Whether a column must be there and filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// In every row.
    Always,
    /// It may be absent or empty; what depends on it is then not recorded.
    Optional,
}

/// One column of a CSV file or one key of a TOML table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// Its name without the unit, in snake_case.
    pub name: &'static str,
    /// Another name under which it is read.
    pub also: Option<&'static str>,
    pub holds: Holds,
    /// Whether it must be filled.
    pub need: Need,
    /// What it means, one line.
    pub meaning: &'static str,
    /// The kind of a thing without an id that it names, together with the columns before it that name one: a plate by
    /// its strake and its own name.
    pub naming: Option<Kind>,
    /// The suffix of the unit in which the report prints it, where the kept one would make small figures.
    pub printed_in: Option<&'static str>,
}

impl Column {
    /// A column that must be filled in every row.
    pub const fn always(name: &'static str, holds: Holds, meaning: &'static str) -> Self {
        Self {
            name,
            also: None,
            holds,
            need: Need::Always,
            meaning,
            naming: None,
            printed_in: None,
        }
    }

    /// A column that may be absent or empty.
    pub const fn optional(name: &'static str, holds: Holds, meaning: &'static str) -> Self {
        Self {
            name,
            also: None,
            holds,
            need: Need::Optional,
            meaning,
            naming: None,
            printed_in: None,
        }
    }

    /// The same column with another name under which it is read too.
    pub const fn or_named(mut self, also: &'static str) -> Self {
        self.also = Some(also);
        self
    }

    /// The same column, by which things of a kind without ids are named.
    pub const fn naming(mut self, kind: Kind) -> Self {
        self.naming = Some(kind);
        self
    }

    /// The same column, printed in another unit than the kept one.
    pub const fn printed_in(mut self, suffix: &'static str) -> Self {
        self.printed_in = Some(suffix);
        self
    }

    /// The unit in which the report prints it, if it holds a quantity.
    pub fn printed_unit(&self) -> Option<&'static Unit> {
        let quantity = self.quantity()?;
        Some(self.printed_in.and_then(|suffix| quantity.unit(suffix)).unwrap_or(quantity.kept()))
    }

    /// The quantity, if it holds one.
    pub fn quantity(&self) -> Option<Quantity> {
        match self.holds {
            Holds::Measure(quantity, _) | Holds::Bound(quantity) => Some(quantity),
            Holds::Draft => Some(Quantity::Length),
            _ => None,
        }
    }

    /// The name with the suffix of the kept unit, as the derived tables use it.
    pub fn kept_name(&self) -> String {
        match self.quantity() {
            Some(quantity) => format!("{}_{}", self.name, quantity.kept().suffix),
            None => self.name.to_string(),
        }
    }

    /// One of its names, and which units may end it where it holds a quantity.
    pub fn name_with_units(&self, name: &str) -> String {
        match self.quantity() {
            Some(quantity) => {
                format!("{name}_ and the unit of its numbers ({})", quantity.accepted_as_text())
            }
            None => name.to_string(),
        }
    }

    /// The unit that ends a heading of this column, such as `length_mm`; `None` where the heading is
    /// another's, or the column holds no quantity.
    pub fn unit_in(&self, heading: &str) -> Option<&'static Unit> {
        let quantity = self.quantity()?;
        let heading = heading.to_lowercase();
        if let Some(unit) = crate::units::heading(&heading).filter(|unit| unit.quantity == quantity)
        {
            return Some(unit);
        }
        let suffix = |name: &str| heading.strip_prefix(name)?.strip_prefix('_').map(String::from);
        std::iter::once(self.name)
            .chain(self.also)
            .find_map(|name| suffix(name).and_then(|suffix| quantity.unit(&suffix)))
    }

    /// Whether a heading with its unit is this column's.
    pub fn is_headed(&self, heading: &str) -> bool {
        match self.quantity() {
            Some(_) => self.unit_in(heading).is_some(),
            None => self.is_called(heading),
        }
    }

    /// Whether it holds what is planned, and nothing of what happened.
    pub fn is_planned(&self) -> bool {
        self.name.starts_with("planned")
    }

    /// Whether it holds an extent: one of `EXTENTS`, or the name of a drawn area.
    pub fn is_extent(&self) -> bool {
        self.name == "extent"
    }

    /// Whether `base` (a header without unit) is this column.
    pub fn is_called(&self, base: &str) -> bool {
        self.name == base || self.also == Some(base)
    }
}

/// A CSV file of the project.
#[derive(Debug, Clone, Copy)]
pub struct FileSpec {
    pub path: &'static str,
    /// What one row is, with its article: `a block`.
    pub row_is: &'static str,
    /// A small file of this kind, which with those of the other files makes up a whole project.
    pub example: &'static str,
    /// Its columns in the order in which they are documented.
    pub columns: &'static [Column],
    /// How many rows it may have: bounded where each weighs on all the others, or is set in the report, by many times
    /// what the largest docking has (our choice).
    pub most_rows: usize,
}

impl FileSpec {
    /// The headings of a file that is yet to be filled in, in the units that go with those of its example.
    pub fn headings_in(&self, system: System) -> Vec<String> {
        let in_system = |(column, heading): (&Column, String)| match column.unit_in(&heading) {
            Some(unit) => unit.ending_in(&heading, system),
            None => heading,
        };
        match system {
            System::Si => self.headings(),
            System::Us => self.columns.iter().zip(self.headings()).map(in_system).collect(),
        }
    }

    /// The headings of a file that is yet to be filled in: a name for every column in the order of the
    /// description, with the units of the example, or the kept ones where it has none.
    pub fn headings(&self) -> Vec<String> {
        let written: Vec<&str> = self.example.lines().next().unwrap_or("").split(',').collect();
        let heading = |column: &Column| {
            let found = written.iter().find(|heading| column.is_headed(heading));
            found.map_or_else(|| column.kept_name(), ToString::to_string)
        };
        self.columns.iter().map(heading).collect()
    }

    /// The name of the derived table, and of a workbook's sheet: `plan-blocks`.
    pub fn table_name(&self) -> String {
        sheet_name(self.path)
    }
}

/// A table of a TOML file.
#[derive(Debug, Clone, Copy)]
pub struct TableSpec {
    /// Its name in brackets.
    pub name: &'static str,
    /// What it holds, one line.
    pub meaning: &'static str,
    /// How often it stands in the file.
    pub stands: Stands,
    pub keys: &'static [Column],
    /// How many of them a file may have, as [`FileSpec::most_rows`].
    pub most: usize,
}

impl TableSpec {
    /// The top of a file that holds nothing outside its tables.
    pub const EMPTY: Self =
        Self { name: "", meaning: "nothing", stands: Stands::Once, keys: &[], most: usize::MAX };
}

/// How often a TOML table stands in its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// `[name]`, once.
    Once,
    /// `[[name]]`, any number of times.
    Often,
    /// `[name.word]`, once for each word of a known list.
    Named,
}
