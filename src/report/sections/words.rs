//! What the report is not, and its words.

use crate::pages::Section;
use crate::text;
use crate::text::{Text, code};
use crate::words::{GROUPS, IN_CELLS, cautions};

/// Every caution.
pub(super) fn cautions() -> Section {
    let mut section = Section::new("Cautions").at("cautions");
    section.list(cautions::all().map(Text::from));
    section
}

/// All words but those that cells of files hold, which `format.txt` explains.
pub(super) fn words() -> Section {
    let mut section = Section::new("Words").at("words");
    section.paragraph(text!(
        "The words that cells of the files of records may hold, such as {}, are explained in {} of the bundle.",
        code("diver-contact"),
        code("data/format.txt")
    ));
    for group in GROUPS.iter().filter(|group| group.title != IN_CELLS) {
        section.part(group.title);
        section.terms(group.words.iter().map(|word| {
            let means = word.means.replace('\'', "\u{2019}");
            (word.heading().into(), text!("{}.", means))
        }));
    }
    section
}
