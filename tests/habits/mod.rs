//! The sample's records as people write them: written anew in the habits of the United States (`anew` does it), they
//! give the findings of the sample.

mod anew;
mod workbook;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use lastdock::findings::Examined;
use lastdock::findings::finding::Figure;
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

/// What is compared of a finding: outcome, weight and whether it is answered; its sentence; its figures; what they are
/// held against.
fn said(examined: &Examined) -> BTreeMap<String, [String; 5]> {
    let shown = |figure: Option<&Figure>| {
        figure.map_or(String::new(), |figure| Text::from(figure).shown(System::Si))
    };
    let findings = examined.findings.iter();
    findings
        .map(|finding| {
            let answered = finding.remark.is_some();
            let said = [
                format!("{:?} {:?} {answered}", finding.outcome, finding.weight()),
                finding.sentence.shown(System::Si),
                shown(finding.recorded.as_ref()),
                shown(finding.recomputed.as_ref()),
                shown(finding.against.as_ref().map(|against| &against.value)),
            ];
            (finding.id.clone(), said)
        })
        .collect()
}

/// Holds a project to be checked without a message but the notes how dates and names were read, and to give the findings
/// of the sample.
#[track_caller]
fn gives_the_findings_of_the_sample(project: &Path) {
    let checked = run(program().arg("check").arg(project)).exits(0);
    let notes: Vec<&str> = checked.err.split("Note: ").skip(1).collect();
    let [dates, names] = notes.as_slice() else { panic!("{}", checked.err) };
    assert!(checked.err.starts_with("Note: dates are read as month/day/year in "), "{dates}");
    assert!(
        names.starts_with("names that differ from a known one by capital letters or"),
        "{names}"
    );

    let (expected, found) = (said(&examined(&sample())), said(&examined(project)));
    assert!(expected.len() > 1000);
    let mut apart = Vec::new();
    let mut rounded = 0;
    for id in expected.keys().chain(found.keys()).collect::<BTreeSet<_>>() {
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
    // Of the places written in sixty-fourths of an inch some are a millimetre off where they are printed.
    assert!(rounded < 50, "{rounded} figures are one more or less in their last digit");
}

/// The hand in which a file is written.
fn clock_of(file: &str) -> Clock {
    match file {
        "coating/gauges.csv" | "landing/gaps.csv" => Clock::Navy,
        "landing/drafts.csv" => Clock::YearFirst,
        _ => Clock::American,
    }
}

/// The sample written anew, its tables as CSV files.
fn written_anew() -> Project {
    let project = Project::copied();
    anew::write(&project.root(), clock_of);
    project
}

#[test]
fn a_figure_may_be_one_off_in_its_last_digit_and_nothing_else_may() {
    assert_eq!(differ("0.175 m (K9), 3 of 4", "0.174\u{a0}m (K9), 3 of 4"), Ok(1));
    for (one, other) in [("0.175 m", "0.173 m"), ("0.175 m", "0.18 m"), ("K9", "K10"), ("a", "a b")]
    {
        assert!(differ(one, other).is_err(), "{one} {other}");
    }
}

#[test]
fn in_the_habits_of_the_united_states_the_sample_gives_the_same_findings() {
    gives_the_findings_of_the_sample(&written_anew().root());
}

/// Film readings typed by two people, each in a file and a hand of their own; the gaps in two workbooks, of the divers and
/// of the block gang; everything else in the workbook of the project.
#[test]
fn in_one_workbook_and_two_peoples_parts_they_are_the_same() {
    let project = written_anew();
    let files = anew::files();
    files.iter().for_each(|file| project.remove(file));
    let (film, gaps) = ("coating/film.csv", "landing/gaps.csv");
    let rest: Vec<String> =
        files.iter().filter(|file| ![film, gaps].contains(&file.as_str())).cloned().collect();
    project.write("project.xlsx", workbook::of(&rest, clock_of));
    for folder in ["coating/film", "workbooks"] {
        fs::create_dir(project.path(folder)).expect("a folder");
    }
    for (name, zones, clock) in [
        ("thackerell", &["KL", "BP"][..], Clock::American),
        ("fennimarch", &["BS", "SP", "SS"], Clock::Navy),
    ] {
        let part = anew::part(film, "zone", zones, clock);
        project.write(&format!("coating/film/{name}.csv"), anew::csv(&part));
    }
    for (name, by) in [("divers", "Nan Corrisk"), ("block gang", "Jory Asterby")] {
        let part = anew::part(gaps, "by", &[by], Clock::American);
        project.write(&format!("workbooks/{name}.xlsx"), workbook::of_text(gaps, &part));
    }
    gives_the_findings_of_the_sample(&project.root());
}
