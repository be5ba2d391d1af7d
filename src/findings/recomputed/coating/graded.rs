//! Grades of prepared steel as they were written, held against what a scheme asks and accepts.

use crate::calc::preparation::{Grade, at_least};
use crate::records::grammar::grades;
use crate::records::scheme::Before;

/// The grade that was written; `None` for what is none.
pub fn grade_of(written: &str) -> Option<Grade> {
    let read = grades::read(written)?;
    let grade = Grade::recorded(read.word)?;
    Some(match read.flash_rust {
        Some(rust) => grade.with_flash_rust(rust as u8),
        None => grade,
    })
}

/// Whether a grade reaches what a scheme asks: the grade that it names, or one of those that it accepts in its place.
/// `None` where neither is of the same standard, so that nobody says how the two compare.
pub fn reaches(written: &str, before: &Before) -> Option<bool> {
    let found = grade_of(written)?;
    let asked = before.grade.iter().chain(&before.accepts).filter_map(|asked| grade_of(asked));
    let compared: Vec<bool> = asked.filter_map(|asked| at_least(found, asked)).collect();
    (!compared.is_empty()).then(|| compared.contains(&true))
}
