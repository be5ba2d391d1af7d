//! `README.txt` of a new project: who fills in what, and when; and where it was carried from.

use std::collections::BTreeMap;

use textwrap::{Options, WordSplitter};

use super::before::Before;
use super::form::{CORRECTED, MARK};
use crate::bundle::digest::in_fours;
use crate::bundle::format_text::ascii;
use crate::records::history;
use crate::records::papers::Paper;
use crate::records::prepared;
use crate::records::remarks::Remark;
use crate::text::{and, shortened};
use crate::units::System;
use crate::words::cautions;

/// Its path in the project.
pub(super) const PATH: &str = "README.txt";

const TEXT: &str = include_str!("../../templates/start/README.txt");

/// Where the text says what was carried.
const CARRIED: &str = "{carried}\n";

/// Where the text says how to write in other units.
const RENAME: &str = "{rename}";

/// How a column is renamed that is headed in the units of a house, and for which others.
pub(super) fn rename(units: System) -> (&'static str, &'static str) {
    match units {
        System::Si => ("station_m becomes station_ft", "feet"),
        System::Us => ("station_ft becomes station_m", "metres"),
    }
}

/// Where the cautions go.
const CAUTIONS: &str = "{cautions}\n";

const WIDTH: usize = 78;

/// The text, in plain ASCII. `counts` says how many rows or tables of each file were carried, `tables`
/// where the tables are if not in files of their own.
pub(super) fn text(
    before: Option<&Before>,
    counts: &BTreeMap<&'static str, usize>,
    left_out: &[String],
    tables: &str,
    units: System,
) -> String {
    let origin = before.map_or_else(|| "\n".to_string(), |before| origin(before, counts, left_out));
    let paragraphs: Vec<String> = cautions::all().map(|caution| filled(caution, "")).collect();
    let (own, other) = rename(units);
    let text =
        TEXT.replacen(RENAME, &format!("To write in {other}, rename the\n  column: {own}."), 1);
    text.replacen(CARRIED, &format!("{tables}{origin}"), 1).replacen(
        CAUTIONS,
        &paragraphs.join("\n"),
        1,
    )
}

/// The supplements that were taken with the bundle, each with its seal.
fn supplements(says: &mut impl FnMut(&str, &str), before: &Before) {
    if before.supplements.is_empty() {
        return;
    }
    says("", "");
    says("These supplements to it were taken with it, whole by their checksums:", "");
    for (supplement, seal) in before.supplements.iter().zip(before.seals_of_supplements()) {
        let about = &supplement.stated.about;
        says(
            &format!(
                "{} ({}; {}, {}), with this seal:",
                about.name, about.about, about.made_by, about.made_on
            ),
            "  ",
        );
        let (one, other) = seal.split_at(seal.len() / 2);
        says(&in_fours(one), "    ");
        says(&in_fours(other), "    ");
    }
    says(
        &format!(
            "What they corrected or added is carried as the last of them has it, and marked {CORRECTED}. The records \
             in history/ stand as they were; those of the supplements are beside them in history/{}/{}. Their papers \
             are only in their own zips: keep these with the bundle. Report, page and comparison list what they \
             correct; what they work out from history/ does not take it into account.",
            before.name,
            history::SUPPLEMENTS
        ),
        "",
    );
}

/// Why a name was not carried.
pub const UNFIT: &str =
    "it holds control characters, or characters that reverse the text beside them";

/// A paragraph with a line's end at its end.
fn filled(text: &str, indent: &str) -> String {
    let options = Options::new(WIDTH)
        .initial_indent(indent)
        .subsequent_indent(indent)
        .word_splitter(WordSplitter::NoHyphenation);
    format!("{}\n", textwrap::fill(&ascii(text), options))
}

fn origin(before: &Before, counts: &BTreeMap<&'static str, usize>, left_out: &[String]) -> String {
    let docking = &before.project.docking;
    let mut out = String::from("\nCarried forward\n---------------\n\n");
    let mut says = |text: &str, indent: &str| out.push_str(&filled(text, indent));
    let place =
        docking.dock.location.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
    let when = match docking.period {
        (Some(began), Some(ended)) => format!(", {began} to {ended}"),
        _ => String::new(),
    };
    let (ship, dock) = (&docking.ship.name, &docking.dock.name);
    says(&format!("From the docking {}: {ship} in {dock}{place}{when}.", before.name), "");
    says(&format!("Its bundle was {}, with this seal:", before.file), "");
    match &before.fixity.seal {
        Some(seal) => {
            let (one, other) = seal.split_at(seal.len() / 2);
            says(&in_fours(one), "  ");
            says(&in_fours(other), "  ");
        }
        None => says("none: the file that it is computed from is missing", "  "),
    }
    says("Compare it with the seal that was kept on paper.", "");
    match before.damage_summary() {
        None => says("The bundle was whole, and its findings followed from its records.", ""),
        Some(damage) => {
            says("", "");
            says("THE BUNDLE WAS DAMAGED, and was used all the same, as asked:", "");
            says(&format!("{damage}."), "  ");
            says(
                "Trust nothing that was carried until it has been checked against another source.",
                "",
            );
        }
    }
    says("", "");
    says(
        &format!(
            "What was carried is marked {MARK}. It was true then: confirm every row of it, or \
             correct it and remove the mark. For another dock, replace the old dock's figures \
             with its own, and plan the blocks again."
        ),
        "",
    );
    supplements(&mut says, before);
    let again: Vec<&str> =
        counts.keys().filter(|path| prepared::is_read_again(path)).copied().collect();
    if !again.is_empty() {
        says("", "");
        says(
            &format!(
                "Of {} only the places are carried, and no reading. A row without its reading is no \
                 record: fill it in with what is read this time, or remove it.",
                and(&again)
            ),
            "",
        );
    }
    says("", "");
    for (path, count) in counts {
        let things = if path.ends_with(".toml") { "tables" } else { "rows" };
        says(&format!("{path:27}{count:>5} {things}"), "  ");
    }
    for name in left_out {
        says(&format!("Left out: {name}: {UNFIT}. Fill it in."), "");
    }
    says("", "");
    says(
        &format!(
            "All other tables are blank. The records of that docking are in history/{}/ unchanged, \
             and history/dockings.csv lists all dockings on record; leave both as they are. \
             Its photographs and papers are only in its bundle: keep that.",
            before.name
        ),
        "",
    );
    written_for_next_time(before, &mut says);
    out.push('\n');
    out
}

/// How much of what people wrote is told: so many remarks, of so many characters each.
const MOST_WRITTEN: usize = 40;
const MOST_LETTERS: usize = 2000;

/// What people of the earlier docking wrote for this one.
fn written_for_next_time(before: &Before, says: &mut impl FnMut(&str, &str)) {
    let remarks: Vec<&[Remark]> = before
        .project
        .remarks
        .given
        .chunk_by(|a, b| a.place == b.place)
        .filter(|remark| remark[0].for_next_time)
        .collect();
    let papers: Vec<&Paper> =
        before.project.papers.iter().filter(|paper| paper.for_next_time).collect();
    if remarks.is_empty() && papers.is_empty() {
        return;
    }
    says("", "");
    says("What its people wrote for the next time:", "");
    for remark in remarks.iter().take(MOST_WRITTEN) {
        let Remark { answer, by, on, .. } = &remark[0];
        says("", "");
        says(&format!("{by}, {on}: {}", shortened(answer, MOST_LETTERS)), "  ");
    }
    for paper in papers.iter().take(MOST_WRITTEN) {
        let caption = paper.caption.as_deref().unwrap_or("what it says was not recorded");
        let by = paper.by.as_deref().unwrap_or("by whom is not recorded");
        says("", "");
        let caption = shortened(caption, MOST_LETTERS);
        says(&format!("{by}: {caption} In its bundle, data/{}.", paper.path()), "  ");
    }
    let more = (remarks.len() + papers.len())
        .saturating_sub(remarks.len().min(MOST_WRITTEN) + papers.len().min(MOST_WRITTEN));
    if more > 0 {
        says(&format!("{more} more stand in its records."), "  ");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::{FILES, KEYED_FILES};

    #[test]
    fn it_names_every_file_in_narrow_lines_of_ascii() {
        for tables in [super::super::workbook::ABOUT, super::super::workbook::ABOUT_CSV] {
            names_every_file(&text(None, &BTreeMap::new(), &[], tables, System::Si));
        }
    }

    fn names_every_file(text: &str) {
        let paths = FILES.iter().map(|spec| spec.path).chain(KEYED_FILES.iter().map(|s| s.path));
        for path in paths.filter(|path| !path.starts_with(crate::records::history::FOLDER)) {
            assert!(text.contains(&format!("\n  {path} ")), "{path}");
        }
        assert!(text.is_ascii() && !text.contains('{'));
        assert!(text.lines().all(|line| line.len() <= 80 && line == line.trim_end()));
    }
}
