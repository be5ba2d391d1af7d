//! What the report is not, and its words.

use crate::pages::Section;
use crate::text;
use crate::text::{Text, code};
use crate::words::{GROUPS, IN_CELLS, Word, cautions};

/// Every caution.
pub(super) fn cautions() -> Section {
    let mut section = Section::new("Cautions").at("cautions");
    section.list(cautions::all().map(Text::from));
    section
}

/// The words that the report uses, in alphabetical order. Those that cells of files hold are explained in
/// `format.txt`.
pub(super) fn words(report: &str) -> Section {
    let mut section = Section::new("Words").at("words");
    section.paragraph(text!(
        "Those that are used here. All of them, and the words that cells of the files of records may hold, such as \
         {}, are explained in {} of the bundle.",
        code("diver-contact"),
        code("data/format.txt")
    ));
    let lower = report.to_lowercase();
    let groups = GROUPS.iter().filter(|group| group.title != IN_CELLS);
    let mut used: Vec<&Word> =
        groups.flat_map(|group| group.words).filter(|word| is_used(word, report, &lower)).collect();
    used.sort_by_key(|word| word.word.to_lowercase());
    section.terms(used.iter().map(|word| {
        let means = word.means.replace('\'', "\u{2019}");
        (word.heading().into(), text!("{}.", means))
    }));
    section
}

/// Whether a text has a word by one of its names, in one or several. Capitals count where a name has no other letters:
/// KG is not the unit.
fn is_used(word: &Word, text: &str, lower: &str) -> bool {
    word.names().any(|name| {
        let is_symbol = !name.chars().any(char::is_lowercase);
        let (name, text) =
            if is_symbol { (name.to_string(), text) } else { (name.to_lowercase(), lower) };
        text.match_indices(&name).any(|(at, _)| {
            let after = text[at + name.len()..].trim_start_matches('s');
            !text[..at].ends_with(char::is_alphanumeric)
                && !after.starts_with(char::is_alphanumeric)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::find;

    #[test]
    fn a_word_is_used_where_it_stands_whole() {
        let used = |word: &str, text: &str| is_used(find(word)[0], text, &text.to_lowercase());
        assert!(used("Keel block", "Of the keel blocks, two"));
        assert!(used("Hogging", "she was hogging"));
        assert!(!used("List", "a listing, listed"));
        assert!(!used("KG", "loss of 12 kg"));
        assert!(used("KG", "KG 6.1 m"));
    }
}
