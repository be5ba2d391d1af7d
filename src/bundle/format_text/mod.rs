//! `data/format.txt`: the bundle format and every record, in words enough to write a reader from.
//!
//! It is generated from the descriptions that the program itself reads by, so that it can't drift from
//! them; only what no description holds (the meaning of axes, the order of verifying) is prose here.

mod bag;
mod calculations;
mod findings;
mod measures;
mod page;
mod records;
mod supplement;
mod trust;

pub use page::{WIDTH, ascii};
pub use records::{EXAMPLE_OF, FOLDED};
pub use trust::PROOF;

use crate::bundle::version::{LABEL, WRITTEN};
use crate::records::docking::FORMAT;
use crate::words::{self, cautions};
use page::Page;

/// The text, plain ASCII, lines of at most [`WIDTH`] characters.
pub fn text() -> String {
    let mut page = Page::default();
    page.chapter(&format!("The format of a dry-docking's records and bundle, version {WRITTEN}"));
    page.says(
        "This text describes a bundle: the records of one dry-docking of one ship, what was recomputed \
         from them, a report, and checksums of all of it. It is meant to be enough to read a bundle, to \
         check it, and to write a program that does so, without the program that wrote it.",
    );
    page.says(&format!(
        "Bundle format {WRITTEN} ({LABEL} in bag-info.txt), record format {FORMAT} (the key format of \
         docking.toml), findings \
         form {}.",
        crate::findings::written::FORMAT
    ));
    page.section("Cautions");
    for caution in cautions::all() {
        page.says(caution);
    }
    contents(&mut page);
    bag::write(&mut page);
    records::write(&mut page);
    measures::write(&mut page);
    findings::write(&mut page);
    calculations::write(&mut page);
    trust::write(&mut page);
    supplement::write(&mut page);
    page.text()
}

fn contents(page: &mut Page) {
    page.section("Contents");
    for chapter in [
        "1 Words",
        "2 The bundle",
        "3 The order of writing and of verifying",
        "4 How records are written",
        "5 The files of records, column by column, with examples",
        "6 Axes and signs",
        "7 Units",
        "8 Limits and tolerances",
        "9 Findings, and the derived tables",
        "10 Formulas",
        "11 What a reader may rely on, and what verifying proves",
        "12 Changes of this format and of rules",
        "13 Supplements",
    ] {
        page.verbatim(chapter);
    }
    page.chapter("1 Words");
    page.section("Of this text");
    for (word, meaning) in [
        ("must", "without it, it is no bundle or record of this format; a reader may refuse it"),
        ("should", "there may be a good reason not to; a reader accepts it all the same"),
        ("may", "left to whoever writes; a reader has to expect both"),
    ] {
        page.entry(word, meaning);
    }
    for group in words::GROUPS {
        page.section(group.title);
        for word in group.words {
            page.entry(&word.heading(), word.means);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_ascii_and_no_line_is_wider_than_the_page() {
        let text = text();
        assert!(text.is_ascii() && !text.contains("[U+"), "a letter that no word is known for");
        for line in text.lines() {
            assert!(line.len() <= WIDTH, "{line}");
            assert_eq!(line.trim_end(), line);
        }
    }
}
