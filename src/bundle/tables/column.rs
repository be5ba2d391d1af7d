//! A column of a derived table: its name with the kept unit, its meaning, what its cells hold.

use crate::findings::harmless::harmless;
use crate::records::spec::{Column, Holds, Need};

/// What the cells of a table's column hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cells {
    /// What a column of the records holds.
    Of(Holds),
    /// Whole numbers, `;` between them.
    Wholes,
    /// Whatever was written in a column that the program carries along unread.
    Unread,
}

/// A column of a derived table.
#[derive(Debug, Clone, PartialEq)]
pub struct TableColumn {
    /// Its header; a quantity's ends in the suffix of the kept unit.
    pub name: String,
    /// What it means, one line.
    pub about: String,
    /// What its cells hold.
    pub cells: Cells,
    /// Whether it is filled in every row.
    pub filled: bool,
}

impl TableColumn {
    /// A column of the records.
    pub fn of(column: &Column) -> Self {
        Self {
            name: column.kept_name(),
            about: column.meaning.to_string(),
            cells: Cells::Of(column.holds),
            filled: column.need == Need::Always,
        }
    }

    /// A column that is filled in every row.
    pub fn always(name: &'static str, holds: Holds, about: &'static str) -> Self {
        Self::of(&Column::always(name, holds, about))
    }

    /// A column that may be empty.
    pub fn optional(name: &'static str, holds: Holds, about: &'static str) -> Self {
        Self::of(&Column::optional(name, holds, about))
    }

    /// A column of whole numbers with `;` between them.
    pub fn wholes(name: &str, about: &str) -> Self {
        Self {
            name: name.to_string(),
            about: about.to_string(),
            cells: Cells::Wholes,
            filled: false,
        }
    }

    /// A column that is carried along unread.
    pub fn note(header: &str) -> Self {
        Self {
            name: harmless(header),
            about: "a note, kept as it was written; the program does not read it".to_string(),
            cells: Cells::Unread,
            filled: false,
        }
    }

    /// Whether its cells hold what somebody wrote as he liked, and not numbers, times or fixed words.
    pub fn is_text(&self) -> bool {
        match self.cells {
            Cells::Unread => true,
            Cells::Wholes => false,
            Cells::Of(holds) => matches!(
                holds,
                Holds::Id(_)
                    | Holds::Part(_)
                    | Holds::Ref(_)
                    | Holds::Refs(_)
                    | Holds::AnyRefs
                    | Holds::Name
                    | Holds::Text
                    | Holds::Called
                    | Holds::Texts
            ),
        }
    }

    /// What its cells hold, where that is what a column of the records holds.
    pub fn holds(&self) -> Option<Holds> {
        match self.cells {
            Cells::Of(holds) => Some(holds),
            Cells::Wholes | Cells::Unread => None,
        }
    }
}
