//! A record is declared once: from one list of columns `record!` generates the description of its file or table, the
//! struct, and the reading of the struct from an entry; `words!` does the same for columns of fixed words.

use super::spec::{Column, Holds, Need};
use super::value::{Field, Form};

/// Whether a field of that type takes whatever its column may hold.
pub(super) const fn takes<T: Field>(column: &Column) -> bool {
    let (form, words): (Form, &[&str]) = match column.holds {
        Holds::Id(_) | Holds::Part(_) | Holds::Ref(_) => (Form::Text, &[]),
        Holds::Text | Holds::Called | Holds::Name => (Form::Text, &[]),
        Holds::Word(words) => (Form::Text, words),
        Holds::Refs(_) | Holds::AnyRefs | Holds::Words(_) | Holds::Texts => (Form::List, &[]),
        Holds::Grade => (Form::Text, &[]),
        Holds::Grades => (Form::List, &[]),
        Holds::Whole { .. } => (Form::Whole, &[]),
        Holds::Number(_) | Holds::Measure(..) | Holds::Bound(_) | Holds::Draft => {
            (Form::Number, &[])
        }
        Holds::Time => (Form::Time, &[]),
        Holds::Date => (Form::Date, &[]),
        Holds::Flag => (Form::Flag, &[]),
        Holds::Offset => (Form::Offset, &[]),
    };
    let is_there = matches!(column.need, Need::Always) && !matches!(column.holds, Holds::Bound(_));
    form as u8 == T::FORM as u8
        && (is_there || T::MAY_BE_ABSENT)
        && (T::WORDS.is_empty() || are_same(T::WORDS, words))
}

const fn are_same(some: &[&str], others: &[&str]) -> bool {
    let mut at = 0;
    while at < some.len() && at < others.len() {
        let (one, other) = (some[at].as_bytes(), others[at].as_bytes());
        let mut byte = 0;
        while byte < one.len() && byte < other.len() && one[byte] == other[byte] {
            byte += 1;
        }
        if byte < one.len() || byte < other.len() {
            return false;
        }
        at += 1;
    }
    some.len() == others.len()
}

/// Of the arguments of a column its meaning.
macro_rules! meaning {
    ($name:literal, $holds:expr, $meaning:literal $(,)?) => {
        $meaning
    };
}
pub(super) use meaning;

/// How many rows or tables a file may have: what is declared, or any number.
macro_rules! most {
    () => {
        usize::MAX
    };
    ($most:literal) => {
        $most
    };
}
pub(super) use most;

/// Declares a record: a row of a CSV file, or a table of a TOML file. Each line is a column and, where it has
/// a type, the field that takes it; `at most` bounds the number of rows; `with` adds fields that are worked out from several columns and are given to
/// `from_entry` beside the entry. Every column is a constant of the struct under the field's name, by which
/// hand-written code asks for it: `entry.get(&Self::humidity_pct)`.
macro_rules! record {
    (
        $(#[$attribute:meta])*
        $visibility:vis struct $record:ident: $spec:ident = $row_is:literal in $path:literal
        $(, at most $most:literal)? { $($fields:tt)* }
        $(with { $($more:tt)* })?
    ) => {
        #[doc = concat!("What `", $path, "` holds.")]
        pub static $spec: $crate::records::spec::FileSpec = $crate::records::spec::FileSpec {
            path: $path,
            row_is: $row_is,
            example: include_str!(concat!("../../templates/example/", $path)),
            columns: $record::COLUMNS,
            most_rows: $crate::records::record::most!($($most)?),
        };
        $crate::records::record::fields! {
            $(#[$attribute])* $visibility struct $record { $($fields)* } with { $($($more)*)? }
        }
    };
    (
        $(#[$attribute:meta])*
        $visibility:vis struct $record:ident: $spec:ident = [$table:ident] $meaning:literal { $($fields:tt)* }
        $(with { $($more:tt)* })?
    ) => {
        $crate::records::record::record! {
            @table Once () $(#[$attribute])* $visibility $record $spec $table $meaning { $($fields)* } { $($($more)*)? }
        }
    };
    (
        $(#[$attribute:meta])*
        $visibility:vis struct $record:ident: $spec:ident = [[$table:ident]] $meaning:literal
        $(, at most $most:literal)? { $($fields:tt)* }
        $(with { $($more:tt)* })?
    ) => {
        $crate::records::record::record! {
            @table Often ($($most)?) $(#[$attribute])* $visibility $record $spec $table $meaning { $($fields)* } { $($($more)*)? }
        }
    };
    (
        $(#[$attribute:meta])*
        $visibility:vis struct $record:ident: $spec:ident = [$table:ident.NAME] $meaning:literal { $($fields:tt)* }
    ) => {
        $crate::records::record::record! {
            @table Named () $(#[$attribute])* $visibility $record $spec $table $meaning { $($fields)* } {}
        }
    };
    (
        @table $stands:ident ($($most:literal)?) $(#[$attribute:meta])* $visibility:vis $record:ident $spec:ident $table:ident $meaning:literal
        { $($fields:tt)* } { $($more:tt)* }
    ) => {
        #[doc = concat!("What `[", stringify!($table), "]` holds.")]
        pub(crate) const $spec: $crate::records::spec::TableSpec = $crate::records::spec::TableSpec {
            name: stringify!($table),
            meaning: $meaning,
            stands: $crate::records::spec::Stands::$stands,
            keys: $record::COLUMNS,
            most: $crate::records::record::most!($($most)?),
        };
        $crate::records::record::fields! {
            $(#[$attribute])* $visibility struct $record { $($fields)* } with { $($more)* }
        }
    };
}
pub(super) use record;

/// The struct of a record, its columns, and how it is read.
macro_rules! fields {
    (
        $(#[$attribute:meta])*
        $visibility:vis struct $record:ident {
            $($field:ident $(: $type:ty)? = $need:ident $column:tt $(.$also:ident($argument:expr))*,)*
        }
        with { $($(#[$more_attribute:meta])* $more:ident: $more_type:ty,)* }
    ) => {
        $(#[$attribute])*
        // What a column means may name a table of docking.toml, `[stability]`, which is no link.
        #[allow(rustdoc::broken_intra_doc_links)]
        $visibility struct $record {
            $($(
                #[doc = $crate::records::record::meaning! $column]
                pub $field: $type,
            )?)*
            $($(#[$more_attribute])* pub $more: $more_type,)*
            /// What stands in its columns or keys whose names begin with `note`, in one text.
            #[allow(dead_code)]
            pub notes: Option<String>,
            #[allow(dead_code)]
            pub place: $crate::records::place::Place,
        }

        #[allow(non_upper_case_globals, dead_code)]
        impl $record {
            $(pub const $field: $crate::records::spec::Column = {
                #[allow(unused_imports)]
                use $crate::records::spec::Holds::*;
                let column = $crate::records::spec::Column::$need $column $(.$also($argument))*;
                $(assert!(
                    $crate::records::record::takes::<$type>(&column),
                    "the field's type takes not all that its column may hold"
                );)?
                column
            };)*

            pub const COLUMNS: &'static [$crate::records::spec::Column] = &[$(Self::$field),*];

            /// Takes the fields of an entry; `None` where a column that they can't do without is missing.
            pub(super) fn from_entry(
                entry: &$crate::records::entry::Entry
                $(, $more: $more_type)*
            ) -> Option<Self> {
                Some(Self {
                    $($($field: entry.take::<$type>(&Self::$field)?,)?)*
                    $($more,)*
                    notes: entry.joined_notes(),
                    place: entry.place.clone(),
                })
            }
        }
    };
}
pub(super) use fields;

/// Declares the fixed words of a column: the enum, and what is written for each.
macro_rules! words {
    (
        $(#[$attribute:meta])*
        $visibility:vis enum $words:ident { $($(#[$word_attribute:meta])* $word:ident = $written:literal,)* }
    ) => {
        $(#[$attribute])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        $visibility enum $words {
            $($(#[$word_attribute])* $word,)*
        }

        impl $words {
            /// Each, in the order of their declaration.
            pub const ALL: &'static [Self] = &[$(Self::$word),*];
            /// Their words in the file.
            pub const WORDS: &'static [&'static str] = &[$($written),*];

            /// Its word in the file.
            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$word => $written,)*
                }
            }
        }

        impl $crate::records::value::Field for $words {
            const FORM: $crate::records::value::Form = $crate::records::value::Form::Text;
            const WORDS: &'static [&'static str] = Self::WORDS;

            fn from_value(value: &$crate::records::value::Value) -> Option<Self> {
                let $crate::records::value::Value::Text(text) = value else { return None };
                Self::ALL.iter().copied().find(|word| word.word() == &**text)
            }
        }
    };
}
pub(super) use words;

#[cfg(test)]
mod tests {
    use super::super::{memory, papers, positions};
    use crate::records::drafts::Occasion;

    #[test]
    fn a_row_gives_its_fields_its_notes_and_who_wrote_it() {
        let project = memory::project(&[
            ("docking.toml", "format = 1\n[ship]\nname = \"S\"\n[dock]\nname = \"D\"\n".into()),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\n".into()),
            (
                papers::SPEC.path,
                "file,by,note,note 2,note 3\na.txt,A. Dunnock,seen twice,,torn\nb.txt,,,,\n".into(),
            ),
            (positions::SPEC.path, "position\nP1\n".into()),
            (
                "landing/drafts.csv",
                "position,occasion,mark_x_m,mark_y_m,draft_m\nP1,Lift off,1,2,3\n".into(),
            ),
        ]);
        let [first, second] = &project.papers[..] else { panic!("{:?}", project.papers) };
        assert_eq!(
            (first.by.as_deref(), first.notes.as_deref()),
            (Some("A. Dunnock"), Some("seen twice; torn"))
        );
        assert_eq!((&second.by, &second.notes, &second.kind), (&None, &None, &None));
        assert_eq!((second.about.len(), second.in_report), (0, false));
        assert_eq!(second.place.to_string(), "papers/papers.csv:3");
        assert_eq!(project.drafts[0].occasion, Occasion::LiftOff);
        assert_eq!(project.drafts[0].draft_m, Some(3.0));
    }
}
