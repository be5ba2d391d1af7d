//! The name, method and source of every calculation.

/// How a figure is computed, as the report prints it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Formula {
    /// Its name in findings.
    pub name: &'static str,
    /// Its title in the report.
    pub title: &'static str,
    /// The method in words; formulas stand between backquotes, in plain letters.
    pub says: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// A part of what a formula says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    Words(&'static str),
    Symbols(&'static str),
}

impl Formula {
    /// Words and formulas in turn.
    pub fn parts(&self) -> impl Iterator<Item = Part> {
        let parts = self.says.split('`').enumerate();
        let part = |(n, text)| if n % 2 == 0 { Part::Words(text) } else { Part::Symbols(text) };
        parts.map(part).filter(|part| *part != Part::Words(""))
    }

    /// Whether it does no more than define its words.
    pub fn is_definition(&self) -> bool {
        self.source.starts_with("definition") && !self.source.contains([';', ','])
    }

    /// What it says as one plain text.
    pub fn plain(&self) -> String {
        self.says.replace('`', "")
    }
}
