//! Grades of prepared steel, and which of two is the cleaner.

use super::formula::Formula;

/// How grades are compared, from memory of the standards.
pub const GRADE: Formula = Formula {
    name: "preparation grade",
    title: "Grade of surface preparation against the grade wanted",
    says: "Sa 1 < Sa 2 < Sa 2.5 < Sa 3 by blasting, St 2 < St 3 by hand and power tools, Wa 1 < Wa 2 < \
           Wa 2.5 by water jetting; grades of different methods are not compared",
    source: "ISO 8501-1 for Sa and St, ISO 8501-4 for Wa; they set no order between methods",
};

/// How steel was cleaned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Blasting, Sa.
    Blasting,
    /// Hand and power tools, St.
    Tools,
    /// High-pressure water, Wa.
    Water,
}

/// A grade of prepared steel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Grade {
    /// How it was cleaned.
    pub method: Method,
    /// Its number times two, so that it is whole.
    twice: u8,
}

/// Every grade by the word that names it in a record, the least clean of each method first.
const GRADES: &[(&str, Grade)] = &[
    ("Sa1", Grade { method: Method::Blasting, twice: 2 }),
    ("Sa2", Grade { method: Method::Blasting, twice: 4 }),
    ("Sa2.5", Grade { method: Method::Blasting, twice: 5 }),
    ("Sa3", Grade { method: Method::Blasting, twice: 6 }),
    ("St2", Grade { method: Method::Tools, twice: 4 }),
    ("St3", Grade { method: Method::Tools, twice: 6 }),
    ("Wa1", Grade { method: Method::Water, twice: 2 }),
    ("Wa2", Grade { method: Method::Water, twice: 4 }),
    ("Wa2.5", Grade { method: Method::Water, twice: 5 }),
];

impl Grade {
    /// The grade of that word, such as `Sa2.5`.
    pub fn parse(word: &str) -> Option<Self> {
        GRADES.iter().find(|(name, _)| *name == word).map(|(_, grade)| *grade)
    }

    /// A word that names a grade as the standards write it; any other as it is.
    pub fn printed(word: &str) -> &str {
        let known = GRADES.iter().find(|(name, _)| name.eq_ignore_ascii_case(word));
        known.map_or(word, |(name, _)| name)
    }

    /// The grade that a record names, whatever its capitals.
    pub fn recorded(word: &str) -> Option<Self> {
        Self::parse(Self::printed(word))
    }

    /// Whether it leaves no coat on the steel: blast-cleaned thoroughly or better, or by water to the same degree. After
    /// light blasting (Sa 1) and light cleaning by water (Wa 1) sound paint stays, after hand and power tools too.
    pub fn leaves_bare_steel(self) -> bool {
        matches!(self.method, Method::Blasting | Method::Water) && self.twice >= 4
    }

    /// Every word that names a grade.
    pub fn words() -> Vec<&'static str> {
        GRADES.iter().map(|(name, _)| *name).collect()
    }
}

/// Whether the grade found is at least as clean as the one wanted; `None` where they are grades of
/// different methods, which cannot be compared.
pub fn at_least(found: Grade, wanted: Grade) -> Option<bool> {
    (found.method == wanted.method).then_some(found.twice >= wanted.twice)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn compared(found: &str, wanted: &str) -> Option<bool> {
        at_least(Grade::parse(found).expect("a grade"), Grade::parse(wanted).expect("a grade"))
    }

    #[test]
    fn within_a_method_and_across() {
        assert_eq!(compared("Sa2.5", "Sa2.5"), Some(true));
        assert_eq!(compared("Sa3", "Sa2.5"), Some(true));
        assert_eq!(compared("Sa2", "Sa2.5"), Some(false));
        assert_eq!(compared("St2", "St3"), Some(false));
        assert_eq!(compared("Wa2.5", "Wa2"), Some(true));
        assert_eq!(compared("Wa1", "Wa2"), Some(false));
        assert_eq!(compared("St3", "Sa1"), None);
        assert_eq!(compared("Wa2.5", "Sa2.5"), None);
    }

    /// ISO 8501-1:2007 and 8501-4, from memory: Sa 1 and Wa 1 free of poorly adhering paint only, Sa 2 and Wa 2 of
    /// most of the paint, and St 2 and St 3 of poorly adhering paint.
    #[test]
    fn what_leaves_paint() {
        for (grade, bare) in
            [("Sa1", false), ("Sa2", true), ("Sa3", true), ("St3", false), ("Wa1", false), ("Wa2", true)]
        {
            assert_eq!(Grade::parse(grade).expect("a grade").leaves_bare_steel(), bare, "{grade}");
        }
    }

    #[test]
    fn words_and_what_is_none() {
        assert_eq!(Grade::words().len(), 9);
        for word in Grade::words() {
            assert!(Grade::parse(word).is_some());
        }
        for wrong in ["Sa4", "sa2.5", "Sa 2.5", "St1", "Wa3", ""] {
            assert_eq!(Grade::parse(wrong), None, "{wrong}");
        }
    }
}
