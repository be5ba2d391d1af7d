//! A word with its meaning.

/// A word and what it means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    /// The word, plain ASCII, written as it begins a line, or as it stands in a file.
    pub word: &'static str,
    /// Other words for the same thing, short forms among them.
    pub also: &'static [&'static str],
    /// What it means: plain ASCII, sentences with no full stop after the last.
    pub means: &'static str,
}

impl Word {
    /// The word with the others for it: `Shift (fleeting)`.
    pub fn heading(&self) -> String {
        match self.also {
            [] => self.word.to_string(),
            also => format!("{} ({})", self.word, also.join(", ")),
        }
    }

    /// The word and the others for it.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.word).chain(self.also.iter().copied())
    }
}

pub(super) const fn word(
    word: &'static str,
    also: &'static [&'static str],
    means: &'static str,
) -> Word {
    Word { word, also, means }
}
