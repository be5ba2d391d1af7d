//! What the next team needs to know, on one page: whatever is long is cut here and said to be cut.

use super::closing;
use super::pieces::metres;
use crate::calc::exposure::Piece;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::shifts::sentences;
use crate::hull::Lie;
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Form, Text, and, count, id, section as see, strong};

/// How much of each list one page holds.
const MOST_POSITIONS: usize = 6;
const MOST_SHIFTS: usize = 5;
const MOST_LANDINGS: usize = 4;
const MOST_PIECES: usize = 6;
/// Warnings are not cut: so many openings would be the plan's own fault, and then all stand in their section.
const MOST_CLEARANCES: usize = 60;
const MOST_UNANSWERED: usize = 5;

pub(super) fn section(examined: &Examined) -> Section {
    let mut section =
        Section::new("What the next team needs to know").at("next-team").on_own_page();
    unanswered(&mut section, examined);
    positions(&mut section, examined);
    never_exposed(&mut section, examined);
    shift_to_choose(&mut section, examined);
    short_clearances(&mut section, examined);
    undone(&mut section, examined);
    section
}

fn unanswered(section: &mut Section, examined: &Examined) {
    let findings: Vec<_> = examined.unanswered().collect();
    if findings.is_empty() {
        return;
    }
    section.part("Findings that nobody has answered");
    section.list(findings.iter().take(MOST_UNANSWERED).map(|finding| {
        let outcome = strong(finding.outcome.words());
        text!("{}: {} ({})", outcome, finding.sentence, id(&finding.id))
    }));
    more(section, "And", findings.len(), MOST_UNANSWERED, "more, in", "answers");
}

/// Says how many of a list are left out, and where they stand.
fn more(
    section: &mut Section,
    begin: &str,
    all: usize,
    most: usize,
    words: &str,
    anchor: &'static str,
) {
    if all > most {
        section.paragraph(text!("{} {} {} {}.", begin, all - most, words, see(anchor)));
    }
}

fn positions(section: &mut Section, examined: &Examined) {
    section.part("Positions used");
    let all: Vec<_> =
        examined.project.positions.iter().zip(&examined.recomputed.positions).collect();
    if all.is_empty() {
        section.paragraph("No docking position is recorded.");
    }
    let columns = [
        Column::name("Position"),
        Column::measure("SRP station", Form::Length).share(1.0),
        Column::measure("Offset, + to port", Form::Length).share(1.0),
        Column::measure("Yaw, + bow to port", Form::Angle).share(1.0),
        Column::name("Where from"),
    ];
    let rows = all.iter().take(MOST_POSITIONS).map(|(position, recomputed)| {
        let lie = recomputed.lie;
        let recorded =
            position.recorded_srp_station_m.is_some() && position.recorded_offset_m.is_some();
        let yaw = lie.filter(|_| !recomputed.yaw_unknown);
        let from = match (lie, recorded) {
            (None, _) => "neither recorded nor sighted",
            (Some(_), true) => "as recorded",
            (Some(_), false) => "from the sightings",
        };
        [
            id(&position.id).into(),
            lie.map(|lie| metres(lie.srp_station_m)).into(),
            lie.map(|lie| metres(lie.centreline_offset_m)).into(),
            yaw.map(|lie| Form::Angle.measure(lie.yaw_deg)).into(),
            from.into(),
        ]
    });
    section.table(Table::new(columns).rows(rows));
    more(section, "And", all.len(), MOST_POSITIONS, "more, in", "positions");
    let shifts = all.windows(2).take(MOST_SHIFTS).map(|pair| {
        let [(from, at), (to, then)] = [pair[0], pair[1]];
        let by = at.lie.zip(then.lie).map(|(at, then)| shifted(at, then));
        let by = by.unwrap_or_else(|| "by an amount that is not recorded".into());
        text!("From {} to {} she was shifted {}.", id(&from.id), id(&to.id), by)
    });
    section.paragraph(Text::joined(shifts, " "));
    let shifts = all.len().saturating_sub(1);
    more(section, "And", shifts, MOST_SHIFTS, "more shifts, in", "positions");
    let landings = super::landing::lines(examined);
    if !landings.is_empty() {
        let first = landings.iter().take(MOST_LANDINGS).map(Text::from);
        section.paragraph(text!("How she landed. {}", Text::joined(first, " ")));
        more(section, "And", landings.len(), MOST_LANDINGS, "more, in", "landing");
    }
}

/// How far she was shifted from where she lay to where she lay then, and which ways.
pub(super) fn shifted(at: Lie, then: Lie) -> Text {
    let forward = then.srp_station_m - at.srp_station_m;
    let port = then.centreline_offset_m - at.centreline_offset_m;
    text!(
        "{} and {}",
        toward(forward, ["forward", "aft", "fore and aft"]),
        toward(port, ["to port", "to starboard", "athwart"])
    )
}

/// How far, and which way; a distance that is printed as zero has no way but its axis.
fn toward(value_m: f64, [plus, minus, axis]: [&str; 3]) -> Text {
    let size = metres(value_m.abs());
    match (size.plain().contains(|c| matches!(c, '1'..='9')), value_m > 0.0) {
        (false, _) => text!("{} {}", metres(0.0), axis),
        (true, true) => text!("{} {}", size, plus),
        (true, false) => text!("{} {}", size, minus),
    }
}

fn never_exposed(section: &mut Section, examined: &Examined) {
    section.part("Bottom that was never exposed");
    let mut pieces: Vec<&Piece> = examined.recomputed.never_exposed.iter().collect();
    pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    match examined.recomputed.never_exposed() {
        None => {
            section.paragraph("Not recorded: not every position can be placed.");
        }
        Some(_) if pieces.is_empty() => {
            section.paragraph(
                "None: all of the bottom was free of blocks in one position or another.",
            );
        }
        Some(area) => {
            section.paragraph(text!(
                "{} in {}, under blocks in every position, and so neither blasted nor painted:",
                area,
                count(pieces.len(), "piece", "pieces")
            ));
            let largest = pieces.iter().take(MOST_PIECES).copied();
            section.table(super::exposure::never_exposed(&examined.project, largest));
            let stand = "more stand in";
            more(section, "The largest are listed;", pieces.len(), MOST_PIECES, stand, "exposure");
        }
    }
    let history = super::history::lines(examined);
    if !history.is_empty() {
        let lines = Text::joined(history.iter().map(Text::from), " ");
        section.paragraph(text!("{} See {}.", lines, see("history")));
    }
}

fn shift_to_choose(section: &mut Section, examined: &Examined) {
    let brief = match examined.shift_to_choose() {
        Ok(told) => sentences::brief(told),
        Err(why) => vec![text!("No shift can be named. {}", why)],
    };
    if brief.is_empty() {
        return;
    }
    section.part("The shift to choose");
    section.list(brief);
    section.note(text!(
        "See {}. {} Before it is used, the dockmaster and the naval architect work out the docking plan anew for \
         the ship as she is then, and have the blocks and the hull looked at.",
        see("shifts"),
        sentences::CAUTIONS.join(" ")
    ));
}

/// Openings under a cap or nearer to one than is wanted, the worst first, and what could not be held.
fn short_clearances(section: &mut Section, examined: &Examined) {
    section.part("Openings too near a block");
    let project = &examined.project;
    let mut short: Vec<(f64, [Cell; 5])> = Vec::new();
    let (mut held, mut not_held) = (0, 0);
    for (n, opening) in project.openings.iter().enumerate() {
        let wanted_m = opening.wants_clear_m(&project.docking.bounds);
        not_held += usize::from(wanted_m.is_none());
        for (position, recomputed) in project.positions.iter().zip(&examined.recomputed.positions) {
            let Some((clear, block)) = recomputed.clear_distance(project, &position.id, n) else {
                continue;
            };
            let clear_m = clear.kept;
            held += usize::from(wanted_m.is_some());
            if clear_m <= 0.0 || wanted_m.is_some_and(|wanted_m| clear_m + 1e-9 < wanted_m) {
                let drains = opening.is_docking_plug() && clear_m <= 0.0;
                let cannot = if drains { " (docking plug, could not drain)" } else { "" };
                let block = project.blocks.get(block).map(|block| id(&block.id));
                let row = [
                    text!("{}{}", id(&opening.id), cannot).into(),
                    id(&position.id).into(),
                    clear.into(),
                    wanted_m.map(metres).into(),
                    Cell::if_any(block),
                ];
                short.push((clear_m - wanted_m.unwrap_or(0.0), row));
            }
        }
    }
    short.sort_by(|a, b| a.0.total_cmp(&b.0));
    let found = short.len();
    let columns = [
        Column::name("Opening"),
        Column::name("Position"),
        Column::measure("Clear", Form::Length).share(1.0),
        Column::measure("Wanted", Form::Length).share(1.0),
        Column::name("Nearest block"),
    ];
    let rows = short.into_iter().take(MOST_CLEARANCES).map(|(_, row)| row);
    section.table(Table::new(columns).rows(rows));
    let words = "more are too near, and all stand in";
    more(section, "The nearest are listed;", found, MOST_CLEARANCES, words, "openings");
    let mut sentences = Vec::new();
    if project.openings.is_empty() {
        sentences.push(text!("No opening is recorded."));
    } else if found == 0 && held > 0 {
        sentences
            .push(text!("Of the openings that could be checked, none was nearer than wanted."));
    }
    if not_held > 0 {
        sentences.push(text!(
            "For {} no clear distance is stated; it was only checked whether a cap lay under {}.",
            count(not_held, "opening", "openings"),
            if not_held == 1 { "it" } else { "them" }
        ));
    }
    let unknown: Vec<&str> = project
        .positions
        .iter()
        .zip(&examined.recomputed.positions)
        .filter(|(_, out)| out.clearances.iter().all(Option::is_none))
        .map(|(position, _)| position.id.as_str())
        .collect();
    if !project.openings.is_empty() && (project.positions.is_empty() || !unknown.is_empty()) {
        sentences.push(match unknown.as_slice() {
            [] => text!(
                "No docking position is recorded, so none could be checked against the blocks."
            ),
            unknown => text!(
                "Where she lay in {}, or which blocks stood, is not recorded, so none could be checked against them \
                 there.",
                and(unknown)
            ),
        });
    }
    section.paragraph(Text::joined(sentences, " "));
}

fn undone(section: &mut Section, examined: &Examined) {
    section.part("Left undone, or not written down");
    let coating = super::coating::headline(examined, text!("{}", see("coating")));
    let coating = (!coating.is_empty()).then(|| {
        let lines = Text::joined(coating.iter().map(Text::from), " ");
        text!("{} See {}.", lines, see("coating"))
    });
    let made = match examined.count(Outcome::NotRecorded) {
        0 => text!("Nothing that a check needed was missing."),
        n => text!(
            "{} could not be made, because something was not recorded; see {}.",
            if n == 1 { "One check".to_string() } else { format!("{n} checks") },
            see("findings")
        ),
    };
    let project = &examined.project;
    section.list(coating.into_iter().chain([
        answered(examined).into(),
        made,
        closing::closed(project, usize::MAX).text.into(),
        closing::tested(project, usize::MAX).text.into(),
    ]));
}

/// Whether findings that want an answer have one.
fn answered(examined: &Examined) -> String {
    let all = examined.count(Outcome::Differs) + examined.count(Outcome::BeyondLimit);
    match (all, examined.unanswered().count()) {
        (0, _) => "Among the checks that could be made, no finding differs or is beyond a limit."
            .to_string(),
        (1, 0) => "The one finding that differs or is beyond a limit has an answer.".to_string(),
        (n, 0) => {
            format!("Each of the {n} findings that differ or are beyond a limit has an answer.")
        }
        (n, open) => format!(
            "Of the {n} findings that differ or are beyond a limit {open} {} no answer.",
            if open == 1 { "has" } else { "have" }
        ),
    }
}
