//! Blanks for answers, as they are written into `remarks.toml`.

use super::answers::{describe, state};
use super::finding::Finding;
use crate::records::characters::shown;
use crate::records::remarks::Then;

/// Columns of a comment.
const WIDTH: usize = 96;

/// One blank for the answer to these findings, with what each says now; lines end in LF.
pub fn blank(findings: &[&Finding]) -> String {
    let mut out = String::new();
    for finding in findings {
        out.push_str(&comment(&finding.sentence.to_string()));
        for earlier in &finding.earlier {
            let then = match &earlier.then {
                Some(then) => format!("when it said: {}", describe(then)),
                None => "without saying what was answered".to_string(),
            };
            out.push_str(&comment(&format!("Answered at {} {then}.", earlier.place)));
        }
    }
    out.push_str("[[remark]]\n");
    let ids: Vec<String> = findings.iter().map(|finding| quoted(&finding.id)).collect();
    out.push_str(&line("finding", &ids));
    let present: Vec<Option<&Finding>> = findings.iter().copied().map(Some).collect();
    out.push_str(&stated(&present).concat());
    out.push_str("answer = \"\"\nby = \"\"\non = \"\"  # the day, such as 2031-05-16\n");
    out
}

/// The lines of a remark that state what its findings say; of a finding that is not there nothing.
pub fn stated(findings: &[Option<&Finding>]) -> Vec<String> {
    let thens: Vec<Option<Then>> = findings.iter().map(|finding| finding.map(state)).collect();
    let column = |of: fn(&Then) -> Option<&String>| -> Vec<Option<&String>> {
        thens.iter().map(|then| then.as_ref().and_then(of)).collect()
    };
    let columns = [
        ("outcome", column(|then| Some(&then.outcome))),
        ("recorded", column(|then| then.recorded.as_ref())),
        ("recomputed", column(|then| then.recomputed.as_ref())),
        ("limit", column(|then| then.limit.as_ref())),
    ];
    let filled = columns.iter().filter(|(_, values)| values.iter().any(Option::is_some));
    filled
        .map(|(key, values)| {
            let values: Vec<String> =
                values.iter().map(|value| quoted(value.map_or("", String::as_str))).collect();
            line(key, &values)
        })
        .collect()
}

/// A key with its value, or with a list of them, one to a line.
fn line(key: &str, values: &[String]) -> String {
    match values {
        [value] => format!("{key} = {value}\n"),
        values => {
            let items: String = values.iter().map(|value| format!("  {value},\n")).collect();
            format!("{key} = [\n{items}]\n")
        }
    }
}

fn comment(text: &str) -> String {
    let options = textwrap::Options::new(WIDTH).initial_indent("# ").subsequent_indent("# ");
    format!("{}\n", textwrap::fill(&shown(text), options))
}

fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}
