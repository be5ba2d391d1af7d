//! The sample's records as people write them: written anew in the habits of the United States (`anew` does it), they
//! give the findings of the sample.

mod anew;
mod workbook;

use std::collections::BTreeMap;
use std::path::Path;

use lastdock::findings::Examined;
use lastdock::text::{System, Text};

use crate::common::{Project, examined, program, run, sample};
use anew::Clock;

/// Words and figures: what stands between spaces, brackets and commas.
fn words(text: &str) -> Vec<&str> {
    text.split(|c: char| c.is_whitespace() || "(),;\u{a0}".contains(c))
        .filter(|w| !w.is_empty())
        .collect()
}

/// A figure with the number of its decimals.
fn figure(word: &str) -> Option<(f64, i32)> {
    let plain = word.trim_end_matches(['.', ':', '%']).replace('\u{2212}', "-");
    let decimals = plain.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    Some((plain.parse().ok()?, i32::try_from(decimals).ok()?))
}

/// How two texts differ beyond the last figure of their numbers, each of which may be one more or one less; and how many
/// of those there are.
fn differ(one: &str, other: &str) -> Result<usize, String> {
    let (one_words, other_words) = (words(one), words(other));
    let apart = || Err(format!("{one}\n  is {other}"));
    if one_words.len() != other_words.len() {
        return apart();
    }
    let mut rounded = 0;
    for (one, other) in one_words.into_iter().zip(other_words).filter(|(one, other)| one != other) {
        let (Some((a, decimals)), Some((b, others))) = (figure(one), figure(other)) else {
            return apart();
        };
        if decimals != others || (a - b).abs() > 1.001 * 10_f64.powi(-decimals) {
            return apart();
        }
        rounded += 1;
    }
    Ok(rounded)
}

/// What is compared of a finding: outcome and weight, sentence, figures, and whether it is answered.
fn said(examined: &Examined) -> BTreeMap<String, [String; 5]> {
    let shown = |text: &Text| text.shown(System::Si);
    let figure = |figure: &Option<lastdock::findings::finding::Figure>| {
        figure.as_ref().map_or(String::new(), |figure| shown(&Text::from(figure)))
    };
    let findings = examined.findings.iter();
    findings
        .map(|finding| {
            let answered = finding.remark.is_some();
            let outcome = format!("{:?} {:?} {answered}", finding.outcome, finding.weight());
            let said = [
                outcome,
                shown(&finding.sentence),
                figure(&finding.recorded),
                figure(&finding.recomputed),
                finding
                    .against
                    .as_ref()
                    .map_or(String::new(), |against| format!("{:?}", against.sort)),
            ];
            (finding.id.to_string(), said)
        })
        .collect()
}

/// Holds the findings of a project to those of the sample.
#[track_caller]
fn gives_the_findings_of_the_sample(project: &Path) {
    let (expected, found) = (said(&examined(&sample())), said(&examined(project)));
    assert!(expected.len() > 500);
    let mut apart = Vec::new();
    let mut rounded = 0;
    for id in expected.keys().chain(found.keys()).collect::<std::collections::BTreeSet<_>>() {
        match (expected.get(id), found.get(id)) {
            (Some(expected), Some(found)) => {
                for (one, other) in expected.iter().zip(found) {
                    match differ(one, other) {
                        Ok(count) => rounded += count,
                        Err(said) => apart.push(format!("{id}: {said}")),
                    }
                }
            }
            (Some(_), None) => apart.push(format!("{id} is missing")),
            (None, _) => apart.push(format!("{id} is new")),
        }
    }
    assert!(
        apart.is_empty(),
        "{} findings are not those of the sample:\n{}",
        apart.len(),
        apart.join("\n")
    );
    println!("{rounded} figures differ by one in their last digit");
}

/// The hand in which a file is written.
fn clock_of(file: &str) -> Clock {
    match file {
        "coating/gauges.csv" | "landing/gaps.csv" => Clock::Navy,
        "landing/drafts.csv" => Clock::YearFirst,
        _ => Clock::American,
    }
}

#[test]
fn in_the_habits_of_the_united_states_the_sample_gives_the_same_findings() {
    let project = Project::copied();
    anew::write(&project.root(), clock_of);
    let checked = run(program().arg("check").arg(project.root()));
    println!("{}\n{}", checked.out.chars().take(6000).collect::<String>(), checked.err);
    gives_the_findings_of_the_sample(&project.root());
}

#[test]
fn in_one_workbook_they_give_them_too() {
    let project = Project::copied();
    anew::write(&project.root(), clock_of);
    anew::files().iter().for_each(|file| project.remove(file));
    project.write("project.xlsx", workbook::of(&anew::files(), clock_of));
    let checked = run(program().arg("check").arg(project.root()));
    println!("{}\n{}", checked.out.chars().take(6000).collect::<String>(), checked.err);
    gives_the_findings_of_the_sample(&project.root());
}
