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

#[cfg(test)]
mod tests {
    use super::*;

    fn before(grade: &str, accepts: &[&str]) -> Before {
        let accepts = accepts.iter().map(ToString::to_string).collect();
        Before { grade: Some(grade.to_string()), accepts, ..Before::default() }
    }

    #[test]
    fn the_scheme_says_what_it_accepts_from_other_standards() {
        let asked = before("Sa 2 1/2", &["SP 10", "WJ-2 L"]);
        for (found, reached) in [
            ("Sa2.5", Some(true)),
            ("Sa 3", Some(true)),
            ("Sa 2", Some(false)),
            ("SSPC-SP 10/NACE No. 2", Some(true)),
            ("SP 5", Some(true)),
            ("SP 6", Some(false)),
            ("WJ-2 L", Some(true)),
            ("WJ-1 L", Some(true)),
            ("WJ-2 M", Some(false)),
            ("WJ-2", None),
            ("St 3", None),
            ("P Sa 2 1/2", None),
            ("none", None),
        ] {
            assert_eq!(reaches(found, &asked), reached, "{found}");
        }
        assert_eq!(
            reaches("SP 10", &before("Sa 2 1/2", &[])),
            None,
            "nobody said that it is accepted"
        );
    }
}
