//! Grades of prepared steel, and which of two is the cleaner.

use super::formula::Formula;

/// How grades are compared, from memory of the standards.
pub const GRADE: Formula = Formula {
    name: "preparation grade",
    title: "Grade of surface preparation against the grade wanted",
    says: "within one standard only: Sa 1 < Sa 2 < Sa 2.5 < Sa 3 by blasting, St 2 < St 3 by hand and power tools, P Sa \
           2 < P Sa 2.5 < P Sa 3 and P St 2 < P St 3 in places, Wa 1 < Wa 2 < Wa 2.5 by water jetting; SP 7 < SP 14 < SP 6 < \
           SP 10 < SP 5 by blasting, SP 3 < SP 15 < SP 11 by power tools, WJ-4 < WJ-3 < WJ-2 < WJ-1 by water jetting; flash \
           rust no more than wanted, L < M < H. Grades of different standards are compared where the scheme accepts one in \
           place of the other, and else not",
    source: "ISO 8501-1 for Sa and St, ISO 8501-2 for P, ISO 8501-4 for Wa; SSPC/NACE SP and WJ; they set no order between \
             methods",
};

/// A family of grades that its standard puts in an order; a grade that stands alone is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Blasting, ISO 8501-1: Sa.
    Blasting,
    /// Hand and power tools, ISO 8501-1: St.
    Tools,
    /// Blasting in places, ISO 8501-2: P Sa.
    BlastingInPlaces,
    /// Hand and power tools in places, ISO 8501-2: P St.
    ToolsInPlaces,
    /// Machine abrading in places, ISO 8501-2: P Ma.
    AbradingInPlaces,
    /// High-pressure water, ISO 8501-4: Wa.
    Water,
    /// Solvent cleaning, SP 1.
    Solvent,
    /// Hand tools, SP 2.
    HandTools,
    /// Power tools, SP 3, 15 and 11.
    PowerTools,
    /// Blasting, SP 7, 14, 6, 10 and 5.
    SspcBlasting,
    /// Brush-off blasting of coated and non-ferrous metal, SP 16.
    BrushOff,
    /// Spot and sweep blasting, SP 18.
    SpotAndSweep,
    /// Water jetting, WJ.
    WaterJetting,
}

/// A grade of prepared steel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Grade {
    pub method: Method,
    /// Its place in the order of its family, the least clean first.
    rank: u8,
    /// Flash rust: 0 light, 1 moderate, 2 heavy; `None` where nothing is said of it.
    flash_rust: Option<u8>,
}

const fn grade(name: &'static str, method: Method, rank: u8) -> (&'static str, Grade) {
    (name, Grade { method, rank, flash_rust: None })
}

/// Every grade by the word that names it in a record, the least clean of each family first.
const GRADES: &[(&str, Grade)] = &[
    grade("Sa1", Method::Blasting, 1),
    grade("Sa2", Method::Blasting, 2),
    grade("Sa2.5", Method::Blasting, 3),
    grade("Sa3", Method::Blasting, 4),
    grade("St2", Method::Tools, 2),
    grade("St3", Method::Tools, 3),
    grade("PSa2", Method::BlastingInPlaces, 2),
    grade("PSa2.5", Method::BlastingInPlaces, 3),
    grade("PSa3", Method::BlastingInPlaces, 4),
    grade("PSt2", Method::ToolsInPlaces, 2),
    grade("PSt3", Method::ToolsInPlaces, 3),
    grade("PMa", Method::AbradingInPlaces, 1),
    grade("Wa1", Method::Water, 1),
    grade("Wa2", Method::Water, 2),
    grade("Wa2.5", Method::Water, 3),
    grade("SP1", Method::Solvent, 1),
    grade("SP2", Method::HandTools, 1),
    grade("SP3", Method::PowerTools, 1),
    grade("SP15", Method::PowerTools, 2),
    grade("SP11", Method::PowerTools, 3),
    grade("SP7", Method::SspcBlasting, 1),
    grade("SP14", Method::SspcBlasting, 2),
    grade("SP6", Method::SspcBlasting, 3),
    grade("SP10", Method::SspcBlasting, 4),
    grade("SP5", Method::SspcBlasting, 5),
    grade("SP16", Method::BrushOff, 1),
    grade("SP18", Method::SpotAndSweep, 1),
    grade("WJ-4", Method::WaterJetting, 1),
    grade("WJ-3", Method::WaterJetting, 2),
    grade("WJ-2", Method::WaterJetting, 3),
    grade("WJ-1", Method::WaterJetting, 4),
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

    /// The same with so much flash rust on it: 0 light, 1 moderate, 2 heavy.
    pub fn with_flash_rust(self, degree: u8) -> Self {
        Self { flash_rust: Some(degree), ..self }
    }

    /// Whether it leaves no coat on the steel: blasted thoroughly or better, cleaned by water or power tools to the same
    /// degree. After light and brush-off blasting (Sa 1, SP 7), after light cleaning by water (Wa 1, WJ-4), after hand
    /// tools and in places (P) sound paint stays.
    pub fn leaves_bare_steel(self) -> bool {
        match self.method {
            Method::Blasting | Method::Water | Method::SspcBlasting | Method::WaterJetting => {
                self.rank >= 2
            }
            Method::PowerTools => self.rank >= 2,
            _ => false,
        }
    }

    /// Every word that names a grade.
    pub fn words() -> Vec<&'static str> {
        GRADES.iter().map(|(name, _)| *name).collect()
    }
}

/// Whether the grade found is at least as clean as the one wanted; `None` where they are grades of different families,
/// which cannot be compared, and where a degree of flash rust is wanted and none was recorded.
pub fn at_least(found: Grade, wanted: Grade) -> Option<bool> {
    if found.method != wanted.method {
        return None;
    }
    if found.rank < wanted.rank {
        return Some(false);
    }
    match (found.flash_rust, wanted.flash_rust) {
        (_, None) => Some(true),
        (None, Some(_)) => None,
        (Some(found), Some(wanted)) => Some(found <= wanted),
    }
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
        for (grade, bare) in [
            ("Sa1", false),
            ("Sa2", true),
            ("Sa3", true),
            ("St3", false),
            ("Wa1", false),
            ("Wa2", true),
            ("PSa3", false),
            ("SP7", false),
            ("SP6", true),
            ("SP3", false),
            ("SP11", true),
            ("SP18", false),
            ("WJ-4", false),
            ("WJ-2", true),
        ] {
            assert_eq!(Grade::parse(grade).expect("a grade").leaves_bare_steel(), bare, "{grade}");
        }
    }

    /// From memory of the joint SSPC/NACE standards: white metal (SP 5) over near-white (SP 10), commercial (SP 6),
    /// industrial (SP 14) and brush-off (SP 7); bare metal by power tools (SP 11) over commercial (SP 15) and plain power
    /// tool cleaning (SP 3); WJ-1 the cleanest of four. None of them is compared with a grade of ISO 8501.
    #[test]
    fn american_grades_and_flash_rust() {
        for order in [
            &["SP7", "SP14", "SP6", "SP10", "SP5"][..],
            &["SP3", "SP15", "SP11"],
            &["WJ-4", "WJ-3", "WJ-2", "WJ-1"],
        ] {
            for pair in order.windows(2) {
                assert_eq!(compared(pair[0], pair[1]), Some(false), "{pair:?}");
                assert_eq!(compared(pair[1], pair[0]), Some(true), "{pair:?}");
            }
        }
        for (one, other) in [
            ("SP10", "Sa2.5"),
            ("Sa2.5", "SP10"),
            ("SP2", "SP3"),
            ("SP3", "SP2"),
            ("WJ-1", "Wa2.5"),
            ("PSa2.5", "Sa2.5"),
            ("SP16", "SP7"),
            ("SP18", "SP7"),
            ("PMa", "PSt3"),
        ] {
            assert_eq!(compared(one, other), None, "{one} {other}");
        }
        let water =
            |word: &str, degree: u8| Grade::parse(word).expect("a grade").with_flash_rust(degree);
        let plain = Grade::parse("WJ-2").expect("a grade");
        assert_eq!(at_least(water("WJ-2", 0), water("WJ-2", 1)), Some(true));
        assert_eq!(at_least(water("WJ-2", 2), water("WJ-2", 1)), Some(false));
        assert_eq!(at_least(water("WJ-3", 0), water("WJ-2", 1)), Some(false));
        assert_eq!(
            at_least(plain, water("WJ-2", 1)),
            None,
            "how much it had rusted was not recorded"
        );
        assert_eq!(at_least(plain, water("WJ-1", 1)), Some(false));
        assert_eq!(at_least(water("WJ-1", 2), plain), Some(true));
    }

    #[test]
    fn words_and_what_is_none() {
        assert_eq!(Grade::words().len(), 31);
        for word in Grade::words() {
            assert!(Grade::parse(word).is_some());
        }
        for wrong in ["Sa4", "sa2.5", "Sa 2.5", "St1", "Wa3", ""] {
            assert_eq!(Grade::parse(wrong), None, "{wrong}");
        }
    }
}
