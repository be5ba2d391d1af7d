//! The record as one page for any browser: plain HTML, CSS and JavaScript in one file that asks for nothing from
//! anywhere. What it says is the report's sections, set by `markup`; what it does without the program is in
//! `templates/page/`.
//!
//! People's texts reach the page as text: `maud` escapes whatever is put between its tags, and the scripts only ever
//! set the text of an element.

mod cards;
mod drawn;
mod hull;
mod markup;
mod policy;
mod previews;
mod shapes;
mod slides;

use std::collections::BTreeSet;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use serde::Serialize;

use crate::findings::Examined;
use crate::findings::day::Day;
use crate::findings::finding::{Finding, Outcome};
use crate::pages::later::{self, Later};
use crate::pages::{Block, Section, archive, day, owed};
use crate::report::figures::{Drawing, Group};
use crate::report::letters::Letter;
use crate::report::{self, Inputs};
use crate::text::{self, Reader};
use crate::words::cautions;
use cards::Cards;
use hull::Hull;
use markup::Setting;
pub use previews::Previews;
use shapes::card;

/// Sections that the page tells in its own way: how to verify is what its proof does.
const LEFT_OUT: [&str; 1] = ["verify"];

/// What is known of the docking beside the sections, for the scripts.
#[derive(Serialize)]
struct Record<'a> {
    /// The version of this form.
    format: u32,
    program: &'a str,
    ship: &'a str,
    dock: &'a str,
    /// Its days as they stand in the heading, where they are recorded.
    period: Option<String>,
    /// The name of its bundle, once it is closed out.
    bundle: Option<&'a str>,
    hull: Hull,
}

/// The name of the page beside the bundle of this name.
pub fn file_name(bundle: &str) -> String {
    format!("{bundle}-start-here.html")
}

/// The page's HTML. The same record without supplements, seen by the same program, gives the same bytes, whether a
/// closeout writes it or whether it is made of the bundle afterwards.
pub fn page(
    examined: &Examined,
    drawings: &[Drawing],
    letters: &[Letter],
    previews: &Previews,
    supplements: &[Later],
    program: &str,
) -> String {
    let inputs = &Inputs {
        examined,
        drawings,
        files: &[],
        records_checksum: "",
        attachments: Vec::new(),
        pictures: &examined.project.pictures,
        letters: letters.to_vec(),
        program,
    };
    let docking = &inputs.examined.project.docking;
    let reader = Reader { system: docking.units, clock: docking.clock.first() };
    let now = (docking.closeout.is_none()).then(|| {
        let day = Day::new(examined, None).map(|day| day::section(examined, &day));
        day.into_iter().chain([owed::open_now(examined)])
    });
    let sections: Vec<Section> = now
        .into_iter()
        .flatten()
        .chain(later::section(supplements))
        .chain(report::sections_with_particulars(inputs))
        .chain([archive::section(&docking.archive)])
        .filter(|section| section.anchor.is_none_or(|anchor| !LEFT_OUT.contains(&anchor)))
        .collect();
    // While she is docked it begins with the day.
    let days = sections.iter().take_while(|section| section.anchor == Some(day::ANCHOR)).count();
    let (first, rest) = sections.split_at(days);
    let cards = Cards::new(inputs.examined, supplements);
    let setting = Setting::new(reader, &sections, inputs.drawings, previews, cards.by_id());
    let period = text::period(docking.period);
    let record = Record {
        format: 1,
        program: inputs.program,
        ship: &docking.ship.name,
        dock: &docking.dock.name,
        period: period.clone(),
        bundle: docking.closeout.as_ref().map(|closeout| closeout.bundle_name.as_str()),
        hull: Hull::new(inputs.examined, previews, reader),
    };
    let script = policy::script();
    let title = format!("{}: the record of a dry-docking", docking.ship.name);
    let made = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy::content(&script));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(inputs.program);
                title { (title) }
                style { (PreEscaped(policy::STYLE)) }
            }
            body {
                a.skip href="#glance" { "Skip to the record" }
                header {
                    p.kind { "Record of a dry-docking" }
                    h1 { (docking.ship.name) }
                    p {
                        "Docked in " (docking.dock.name)
                        @if let Some(location) = &docking.dock.location { ", " (location) }
                        @if let Some(period) = &period { ", " (period) }
                        "."
                        @if let Some(offsets) = text::offsets(&docking.clock) { " Times are " (offsets) "." }
                    }
                    @if let Some(statement) = docking.archive.statement() {
                        p { strong { (statement) } }
                    }
                    @if !supplements.is_empty() {
                        p {
                            a href={ "#" (later::ANCHOR) } {
                                (text::count(supplements.len(), "supplement", "supplements"))
                                " to this record"
                            }
                            ": what became known after it was closed out."
                        }
                    }
                }
                (contents([first, rest], &setting))
                search #search hidden {
                    label for="sought" { "Find in this page" }
                    input #sought type="search" autocomplete="off" spellcheck="false";
                    div #found {}
                }
                main {
                    @for section in first { (setting.section(section)) }
                    (glance(inputs, &setting))
                    (look())
                    @for section in rest { (setting.section(section)) }
                    (cards.markup(&setting))
                    (without_article(inputs.examined, &sections, &setting))
                    (proof(&record))
                    (previews.kept())
                }
                footer {
                    p { (cautions::SHORT) }
                    p { "Written by " (inputs.program) "." }
                    p {
                        "A bundle written by the same program describes each of its files for programs and archives in "
                        code { (RO_CRATE) }
                        " (RO-Crate 1.2)."
                    }
                }
                script #record type="application/json" { (PreEscaped(policy::inert_json(&record))) }
                script #script { (PreEscaped(script.as_str())) }
            }
        }
    };
    made.into_string()
}

/// What a hurried reader asks first.
fn glance(inputs: &Inputs<'_>, setting: &Setting<'_>) -> Markup {
    let cover = inputs.drawings.iter().position(|drawing| drawing.group == Group::Cover);
    html! {
        section #glance aria-labelledby="glance-head" {
            h2 #glance-head { "At a glance" }
            @if let Some(number) = cover { (setting.drawing(number)) }
            @for (head, sentences) in report::at_a_glance(inputs.examined) {
                @if !sentences.is_empty() {
                    h3 { (head) }
                    ul { @for sentence in &sentences { li { (setting.text(sentence)) } } }
                }
            }
            div.caution role="note" {
                @for (n, caution) in cautions::FIRST.into_iter().enumerate() {
                    p { @if n == 0 { strong { (caution) } } @else { (caution) } }
                }
            }
        }
    }
}

/// Where the scripts put the plan and what is asked of it.
fn look() -> Markup {
    html! {
        section #look aria-labelledby="look-head" hidden {
            h2 #look-head { (LOOK) }
        }
    }
}

const LOOK: &str = "Look at her, ask the steel";

/// The findings that the sections only count, or gather in a line: each has its place here.
fn without_article(examined: &Examined, sections: &[Section], setting: &Setting<'_>) -> Markup {
    let blocks = sections.iter().flat_map(|section| &section.blocks);
    let articles = blocks.filter_map(|block| match block {
        Block::Finding(told) => Some(told.finding.id.as_str()),
        _ => None,
    });
    let articles: BTreeSet<&str> = articles.collect();
    let left = |is: fn(Outcome) -> bool| {
        let all = examined.findings.iter().filter(|one| !articles.contains(one.id.as_str()));
        all.filter(|one| is(one.outcome)).collect::<Vec<&Finding>>()
    };
    let agree = left(|outcome| outcome == Outcome::Agrees);
    let unchecked = left(|outcome| outcome == Outcome::NotRecorded);
    let more = left(|outcome| matches!(outcome, Outcome::Differs | Outcome::BeyondLimit));
    html! {
        section #agreeing aria-labelledby="agreeing-head" {
            h2 #agreeing-head { (AGREEING) }
            (folded(text::count(agree.len(), "finding agrees", "findings agree"), &agree, setting))
            (folded(
                text::count(unchecked.len(), "check could not be made", "checks could not be made"),
                &unchecked,
                setting,
            ))
            (folded(
                text::count(more.len(), "more finding does not agree", "more findings do not agree"),
                &more,
                setting,
            ))
        }
    }
}

/// Findings under a title that opens them, each with its place.
fn folded(title: String, findings: &[&Finding], setting: &Setting<'_>) -> Markup {
    if findings.is_empty() {
        return Markup::default();
    }
    html! {
        details {
            summary { (title) }
            ul {
                @for finding in findings {
                    li id=(card("finding", &finding.id)) {
                        span.id { (finding.id) } ": " (setting.text(&finding.sentence))
                    }
                }
            }
        }
    }
}

const AGREEING: &str = "What agrees, and other findings in short";

fn contents([first, rest]: [&[Section]; 2], setting: &Setting<'_>) -> Markup {
    let entries = |sections: &[Section]| {
        html! {
            @for section in sections {
                @if let Some(anchor) = section.anchor {
                    li { a href={ "#" (anchor) } { (section.title.shown(setting.reader)) } }
                }
            }
        }
    };
    html! {
        nav aria-label="Sections" {
            ol {
                (entries(first))
                li { a href="#glance" { "At a glance" } }
                (entries(rest))
                li { a href="#cards" { "Cards" } }
                li { a href="#agreeing" { (AGREEING) } }
                li { a href="#verify" { (PROOF) } }
            }
        }
    }
}

/// Where a bundle has its description; what the bundle is written by comes after this page.
const RO_CRATE: &str = "data/ro-crate-metadata.json";

const PROOF: &str = "Is the bundle whole?";

/// Where the bundle is proved; before there is one, that there is none.
fn proof(record: &Record<'_>) -> Markup {
    let name = record.bundle.map(|name| html! { (name) }.into_string());
    html! {
        section #verify aria-labelledby="verify-head" {
            h2 #verify-head { (PROOF) }
            @match name {
                Some(name) => {
                    (PreEscaped(policy::PROOF.replace("NAME", &name)))
                    (PreEscaped(policy::CHECK_PAGE.replace("NAME", &name)))
                }
                None => { p { "This record is not closed out: there is no bundle of it yet." } }
            }
        }
    }
}

#[cfg(test)]
mod tests;
