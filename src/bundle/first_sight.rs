//! `READ-ME-FIRST-NAME.txt`: what to do first and what each file beside the zip is, for whoever finds them.

use textwrap::{Options, WordSplitter};

use super::format_text::ascii;
use crate::findings::Examined;
use crate::records::docking::Docking;
use crate::records::supplement::Stated;
use crate::text;

/// Its lines are no longer than that, characters, but for names.
const WIDTH: usize = 78;

/// Names longer than that have what they are on the next line.
const LONGEST_NAME: usize = 41;

/// The name begins with these words so that it stands apart from the others, and ends with the bundle's, so that
/// bundles kept in one folder each have their own.
pub fn file_name(bundle: &str) -> String {
    format!("READ-ME-FIRST-{bundle}.txt")
}

/// What a file beside a bundle is, by what its name holds behind the bundle's.
const BESIDE_BUNDLE: &[(&str, &str)] = &[
    ("-start-here.html", "the record, for a web browser"),
    ("-report.pdf", "the report, records attached"),
    ("-summary.pdf", "its first pages"),
    ("-tables-", "the tables, set for paper"),
    ("-seal.pdf", "the seal, to print and sign"),
    ("-seal.txt", "the seal as text, with commands"),
    (".zip", "the bundle: all records and papers"),
];

/// The same beside a supplement.
const BESIDE_SUPPLEMENT: &[(&str, &str)] = &[
    ("-seal.txt", "its seal, with commands"),
    (".zip", "the supplement: errata, records, papers"),
];

/// What may be written later beside files that are there already, and so is named whether it is there or not: this text
/// stays the same then.
const LATER: [(&str, &str); 2] = [
    (".zip*.par2", "repair data (PAR 2.0), if any"),
    ("-seal.sig", "a signature (OpenSSH), if any"),
];

/// The text beside a bundle, plain ASCII, where these files stand beside each other.
pub fn of_bundle(examined: &Examined, bundle: &str, files: &[String]) -> String {
    let docking = &examined.project.docking;
    let days = text::period(docking.period).map(|days| format!(", {days}")).unwrap_or_default();
    let (ship, dock) = (&docking.ship.name, &docking.dock.name);
    let what = format!("Record of the docking of {ship} in {dock}{days}.");
    let steps = [
        format!(
            "Open {bundle}-start-here.html in a web browser: look at the ship, ask the record."
        ),
        checking(bundle),
        "To move or hand it on, copy all of these files together and change none; keep repair data on another medium too."
            .to_string(),
    ];
    let mut lines = opening(&what, docking, &steps);
    lines.extend(list(bundle, BESIDE_BUNDLE, files));
    lines.join("\n") + "\n"
}

/// The text beside a supplement to the record of a docking.
pub fn of_supplement(stated: &Stated, docking: &Docking, files: &[String]) -> String {
    let (ship, dock) = (&docking.ship.name, &docking.dock.name);
    let about = &stated.about;
    let name = &about.name;
    let what = format!(
        "Supplement to the record of a docking of {ship} in {dock}: {}. By {}, {}.",
        about.about.trim_end_matches('.'),
        about.made_by,
        about.made_on
    );
    let steps = [
        format!(
            "It belongs with {}, the record that it follows: without that it says little. Unpack a copy of {name}.zip \
             with any zip tool and read data/README.txt in it.",
            stated.first.name
        ),
        checking(name),
        "To move or hand it on, copy all of these files together with the record and change none."
            .to_string(),
    ];
    let mut lines = opening(&what, docking, &steps);
    lines.extend(list(name, BESIDE_SUPPLEMENT, files));
    lines.join("\n") + "\n"
}

/// How to see whether it is whole, as a step.
fn checking(name: &str) -> String {
    format!(
        "See whether anything was lost or changed: {name}-seal.txt says how. Compare with the seal on paper if there is \
         one."
    )
}

/// What it is, and what to do first.
fn opening(what: &str, docking: &Docking, steps: &[String]) -> Vec<String> {
    let mut lines = vec!["READ ME FIRST".to_string(), String::new()];
    let mut says = |words: &str, first: &str, then: &str| {
        let options = Options::new(WIDTH)
            .initial_indent(first)
            .subsequent_indent(then)
            .word_splitter(WordSplitter::NoHyphenation);
        lines.extend(textwrap::wrap(&ascii(words), options).into_iter().map(String::from));
    };
    says(what, "", "");
    if let Some(statement) = docking.archive.statement() {
        says(statement, "", "");
    }
    says("", "", "");
    for (number, step) in (1..).zip(steps) {
        says(step, &format!("{number}. "), "   ");
    }
    says("", "", "");
    lines
}

/// Each file with what it is.
fn list(name: &str, beside: &[(&str, &'static str)], files: &[String]) -> Vec<String> {
    let about = |file: &String| {
        let rest = file.strip_prefix(name)?;
        let (_, about) = beside.iter().find(|(end, _)| rest.starts_with(end))?;
        let is_later = rest.ends_with(".par2");
        (!is_later).then(|| (file.clone(), *about))
    };
    let mut told: Vec<(String, &str)> = files.iter().filter_map(about).collect();
    told.extend(LATER.map(|(end, about)| (format!("{name}{end}"), about)));
    told.push((file_name(name), "this text"));
    let fitting = told.iter().map(|(file, _)| file.len()).filter(|length| *length <= LONGEST_NAME);
    let width = fitting.max().unwrap_or(0);
    let mut lines = Vec::new();
    for (file, about) in told {
        if file.len() <= LONGEST_NAME {
            lines.push(format!("{file:width$}  {about}"));
        } else {
            lines.extend([file, format!("    {about}")]);
        }
    }
    lines
}
