//! Chapter 13: supplements, which bring what became known after a bundle was closed out.

use super::page::Page;
use super::records;
use crate::bundle::layout;
use crate::bundle::version::{LABEL, SUPPLEMENT_LABEL};
use crate::records::corrected::MOST;
use crate::records::{errata, supplement};

pub(super) fn write(page: &mut Page) {
    page.chapter("13 Supplements");
    page.says(
        "A bundle is never changed. Errors that are found in it, and what is recorded of the ship before she docks again, \
         stand in supplements: each a bag of its own in a zip, sealed as a bundle is (chapters 2 and 3), with the same \
         manifests and tag files. The findings and the report of the bundle stay what they were.",
    );
    page.section("What stands in one");
    for (place, what) in layout::SUPPLEMENT {
        page.entry(place, what);
    }
    page.gap();
    for text in [
        format!(
            "{SUPPLEMENT_LABEL} in bag-info.txt gives the version of the format; a supplement has no {LABEL}, and holds no \
             docking record that could be read alone."
        ),
        "A supplement names its parent by seal, the bundle or supplement that it follows, and the bundle with which the \
         line begins. A supplement must be read with those before it, in the order of the line, and names count for \
         nothing where seals differ."
            .to_string(),
        format!("At most {MOST} supplements follow one bundle, in one line."),
        "Beside the errata it may hold any CSV file of chapter 5 but history/dockings.csv, with the same columns, and \
         papers. Ids that its rows name are those of the bundle, of supplements before it and its own. Times without an \
         offset are by the clock of the bundle's docking.toml. A row whose first column is an id that is given there, and \
         that has rows already, takes their place: it tells of the thing as it is now. All other rows are added."
            .to_string(),
        "An erratum concerns one value. What it says stands there must stand there, as the file has it but for spaces \
         around it and quotation marks; in a TOML file a list or other value without quotation marks is written as it \
         stands. What it says is right must be what the column can hold. Where the file has no heading or key for a value that \
         nobody wrote down, stands is empty and the erratum adds the heading, the key or, in a TOML file, the table. \
         What every such row must have can't be withdrawn."
            .to_string(),
        "An erratum that was wrong itself is corrected by a later one of the same value, which states again what stands \
         in the record: the last in the line counts, also where it says that the record was right."
            .to_string(),
        "A supplement is made on a day not before what it follows was made, and its errata say nothing of later days. \
         What its rows say is read as records are; it is neither recomputed nor compared with the bundle's findings."
            .to_string(),
        "A reader that shows a value with an erratum should show both, with who says so, when, and on what ground."
            .to_string(),
    ] {
        page.item(&text);
    }
    page.gap();
    records::keyed(page, &supplement::SPEC);
    records::sheet(page, &errata::SPEC);
}
