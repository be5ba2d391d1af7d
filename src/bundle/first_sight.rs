//! `READ-ME-FIRST-NAME.txt`: what to do first and what each file beside the zip is, for whoever finds them.

use textwrap::{Options, WordSplitter};

use super::format_text::ascii;
use crate::findings::Examined;
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

/// What a file is, by what its name holds behind the bundle's.
const ABOUT: [(&str, &str); 7] = [
    ("-start-here.html", "the record, for a web browser"),
    ("-report.pdf", "the report, records attached"),
    ("-summary.pdf", "its first pages"),
    ("-tables-", "the tables, set for paper"),
    ("-seal.pdf", "the seal, to print and sign"),
    ("-seal.txt", "the seal as text, with commands"),
    (".zip", "the bundle: all records and papers"),
];

/// What may be written later beside files that are there already, and so is named whether it is there or not: this text
/// stays the same then.
const LATER: [(&str, &str); 2] = [
    (".zip*.par2", "repair data (PAR 2.0), if any"),
    ("-seal.sig", "a signature (OpenSSH), if any"),
];

/// The text, plain ASCII, where these files stand beside each other.
pub fn text(examined: &Examined, bundle: &str, files: &[String]) -> String {
    let docking = &examined.project.docking;
    let mut lines = vec!["READ ME FIRST".to_string(), String::new()];
    let mut says = |words: &str, first: &str, then: &str| {
        let options = Options::new(WIDTH)
            .initial_indent(first)
            .subsequent_indent(then)
            .word_splitter(WordSplitter::NoHyphenation);
        lines.extend(textwrap::wrap(&ascii(words), options).into_iter().map(String::from));
    };
    let days = text::period(docking.period).map(|days| format!(", {days}")).unwrap_or_default();
    let (ship, dock) = (&docking.ship.name, &docking.dock.name);
    says(&format!("Record of the docking of {ship} in {dock}{days}."), "", "");
    if let Some(statement) = docking.archive.statement() {
        says(statement, "", "");
    }
    says("", "", "");
    let steps = [
        format!(
            "Open {bundle}-start-here.html in a web browser: look at the ship, ask the record."
        ),
        format!(
            "See whether anything was lost or changed: {bundle}-seal.txt says how. Compare with the seal on paper if \
             there is one."
        ),
        "To move or hand it on, copy all of these files together and change none; keep repair data on another medium too."
            .to_string(),
    ];
    for (number, step) in (1..).zip(&steps) {
        says(step, &format!("{number}. "), "   ");
    }
    says("", "", "");
    let about = |file: &str| {
        let rest = file.strip_prefix(bundle)?;
        let (_, about) = ABOUT.iter().find(|(end, _)| rest.starts_with(end))?;
        let is_later = rest.ends_with(".par2");
        (!is_later).then(|| (file.to_string(), *about))
    };
    let mut told: Vec<(String, &str)> = files.iter().filter_map(|file| about(file)).collect();
    told.extend(LATER.map(|(end, about)| (format!("{bundle}{end}"), about)));
    told.push((file_name(bundle), "this text"));
    let fitting = told.iter().map(|(file, _)| file.len()).filter(|length| *length <= LONGEST_NAME);
    let width = fitting.max().unwrap_or(0);
    for (file, about) in told {
        if file.len() <= LONGEST_NAME {
            lines.push(format!("{file:width$}  {about}"));
        } else {
            lines.extend([file, format!("    {about}")]);
        }
    }
    lines.join("\n") + "\n"
}
