//! Names and sentences' parts in a row, as a person lists them.

use super::sentence::Text;

impl Text {
    /// `a`, `a and b`, `a, b and c`.
    pub fn listed(texts: impl IntoIterator<Item = Text>) -> Self {
        let mut texts: Vec<Text> = texts.into_iter().collect();
        let Some(last) = texts.pop() else { return Self::new() };
        if texts.is_empty() {
            return last;
        }
        let mut all = Self::joined(texts, ", ");
        all.push(" and ");
        all.extend(last);
        all
    }
}

/// Words likewise.
pub fn and(words: &[impl AsRef<str>]) -> String {
    Text::listed(words.iter().map(|word| word.as_ref().into())).to_string()
}

/// The same, but of more than `most` only so many and how many more there are: `a, b and 3 more`; `none` for none.
pub fn list(words: &[impl AsRef<str>], most: usize) -> String {
    if words.is_empty() {
        "none".to_string()
    } else if words.len() > most {
        list_first(words, most)
    } else {
        and(words)
    }
}

/// The first words, `most` at the most, with commas only, and how many more there are.
pub fn list_first(words: &[impl AsRef<str>], most: usize) -> String {
    let shown: Vec<&str> = words.iter().take(most).map(AsRef::as_ref).collect();
    match words.len() - shown.len() {
        0 => shown.join(", "),
        more => format!("{} and {more} more", shown.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_a_row() {
        let names = ["A", "B", "C"];
        assert_eq!([1, 2, 3].map(|n| and(&names[..n])), ["A", "A and B", "A, B and C"]);
        assert_eq!(list(&names, 3), "A, B and C");
        assert_eq!(list(&names, 2), "A, B and 1 more");
        assert_eq!(list(&names[..0], 2), "none");
        assert_eq!([2, 3].map(|most| list_first(&names, most)), ["A, B and 1 more", "A, B, C"]);
    }
}
