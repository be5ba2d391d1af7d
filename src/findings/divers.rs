//! What divers measured at the blocks: against each other, against the plan, and against where she lay.

use super::finding::{Figure, Finding};
use super::judge::{Judgement, Limited, Side, agrees, compare, differs, unchecked};
use super::recomputed::Recomputed;
use super::recomputed::divers::{Measured, Round};
use super::subject::Subject;
use crate::calc::alignment::{Fitted, LINE};
use crate::calc::positions::{Agreement, CENTRELINE, FROM_PLAN};
use crate::findings::finding::Outcome;
use crate::records::Project;
use crate::records::divers::Occasion;
use crate::records::place::Place;
use crate::text;
use crate::text::{Text, and, id};

/// Every finding on what divers measured.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let rounds = &recomputed.divers;
    let mut found: Vec<Finding> = rounds.iter().map(|round| fit(project, round)).collect();
    found.extend(rounds.iter().filter(|round| round.is_last).map(|round| aim(project, round)));
    for number in 0..project.positions.len() {
        let landed =
            |round: &&Round| round.position == number && round.occasion == Occasion::Landed;
        let last = rounds.iter().rfind(landed);
        found.extend(last.map(|round| lay(project, recomputed, round)));
    }
    found
}

/// The position of a round.
fn position<'a>(project: &'a Project, round: &Round) -> &'a str {
    &project.positions[round.position].id
}

/// The block of something measured.
fn block<'a>(project: &'a Project, one: &Measured) -> &'a str {
    &project.blocks[one.block].id
}

fn places<'a>(project: &'a Project, round: &Round) -> Vec<&'a Place> {
    round.measured.iter().map(|one| &project.divers[one.row].place).collect()
}

/// Whether what was measured in a round fits one line, and one station.
fn fit(project: &Project, round: &Round) -> Finding {
    let about = Subject::DiversFit(position(project, round).to_string(), round.name());
    let tolerance = project.docking.bounds.tolerance("divers");
    let over: Vec<&Measured> = round.over().collect();
    let marks: Vec<&Measured> = round.marks().collect();
    let judgement = not_standing(project, round)
        .or_else(|| contradiction(project, round, &over, "line"))
        .or_else(|| contradiction(project, round, &marks, "station"))
        .unwrap_or_else(|| fits(project, round));
    let residuals = round.line.iter().flat_map(|line| &line.fitted.residuals_m);
    let greatest_m = residuals.map(|off_m| off_m.abs()).max_by(f64::total_cmp);
    let spare = round.line.as_ref().map_or(0, |line| line.fitted.spare);
    judgement
        .finding(about)
        .recomputed(greatest_m.filter(|_| spare > 0).map(Figure::length))
        .called("recorded", "off the line")
        .against_any(tolerance)
        .by(&LINE)
        .from(places(project, round))
}

/// Blocks at which divers measured and that didn't stand in the position.
fn not_standing(project: &Project, round: &Round) -> Option<Judgement> {
    let position = position(project, round);
    let mut gone: Vec<&str> = Vec::new();
    for one in &round.measured {
        let block = &project.blocks[one.block];
        if !block.stands_in(position) && !gone.contains(&block.id.as_str()) {
            gone.push(&block.id);
        }
    }
    let verb = if gone.len() == 1 { "that block does" } else { "those blocks do" };
    (!gone.is_empty()).then(|| {
        differs(text!(
            "Divers measured at {} {} in {}, and {} not stand there.",
            and(&gone),
            round.in_words(),
            id(position),
            verb
        ))
    })
}

/// Measurements of a round of which one at least does not fit the others.
fn contradiction(
    project: &Project,
    round: &Round,
    measured: &[&Measured],
    what: &'static str,
) -> Option<Judgement> {
    let line = round.line.as_ref().map(|line| &line.fitted);
    let along = round.along.as_ref().map(|along| &along.fitted);
    let fitted: &Fitted = if what == "line" { line? } else { along? };
    let of = text!("What divers measured {} in {}", round.in_words(), id(position(project, round)));
    let name = |n: usize| measured.get(n).map_or("", |one| block(project, one));
    match &fitted.agreement {
        Agreement::Fit => None,
        Agreement::SetAside(n) => Some(differs(text!(
            "{} at {} is {} off the {} that the other blocks give, and is set aside.",
            of,
            id(name(*n)),
            Figure::length(fitted.residuals_m.get(*n).copied().unwrap_or(0.0).abs()),
            what
        ))),
        Agreement::OneOf(all) => {
            let names: Vec<&str> = all.iter().map(|n| name(*n)).collect();
            Some(differs(text!(
                "{} does not give one {}: one of {} is mistaken, and which can't be told.",
                of,
                what,
                names.join(", ")
            )))
        }
        Agreement::NotOne => Some(differs(text!(
            "{} does not give one {}, and no single measurement explains that.",
            of,
            what
        ))),
    }
}

/// What is said where nothing contradicts.
fn fits(project: &Project, round: &Round) -> Judgement {
    let position = id(position(project, round));
    let subject = text!("what divers measured {} in {}", round.in_words(), position);
    let unplaced = round.measured.iter().any(|one| one.mark.is_some_and(|(_, x_m)| x_m.is_none()));
    if unplaced {
        return unchecked(subject, "where its frames are is not recorded in docking.toml");
    }
    let Some(line) = &round.line else {
        return unchecked(subject, TOO_FEW);
    };
    if line.fitted.spare == 0 {
        return unchecked(subject, "two blocks give a line and leave nothing to check it by");
    }
    let greatest_m = line.fitted.residuals_m.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
    agrees(
        text!("{} lies within {} of one line.", subject, Figure::length(greatest_m)).capitalized(),
    )
}

/// Why there is no line.
const TOO_FEW: &str = "it takes the keel\u{2019}s offset over two blocks that are some metres apart to tell how she lies";

/// A distance, m, and which way it is; without a way where it is printed as none.
pub fn toward(kept_m: f64, [plus, minus]: [&'static str; 2]) -> Text {
    const NOTHING_M: f64 = 0.0005;
    let distance = Figure::length(kept_m.abs());
    match kept_m {
        _ if kept_m.abs() < NOTHING_M => text!("{}", distance),
        _ if kept_m > 0.0 => text!("{} {}", distance, plus),
        _ => text!("{} {}", distance, minus),
    }
}

/// Along the ship, and athwart: the ways in which figures are counted + and -.
pub const ALONG: [&str; 2] = ["forward", "aft"];
pub const ATHWART: [&str; 2] = ["to port", "to starboard"];

/// How far the last round of a position puts her from the plan.
fn aim(project: &Project, round: &Round) -> Finding {
    let name = position(project, round);
    let to_aim = round.to_aim.as_ref();
    let athwart = match to_aim {
        Some(to_aim) if to_aim.along_m.is_none() => " athwart",
        _ => "",
    };
    let value = round.from_aim(name).ok_or_else(|| match (&round.line, round.aim) {
        (_, None) => text!("where she is to lie is not planned"),
        _ => text!("{}", TOO_FEW),
    });
    let limit = project.docking.bounds.limit("position_from_plan");
    let mut finding = Limited {
        subject: text!(
            "the distance{} from the plan that divers found {} in {}",
            athwart,
            round.in_words(),
            id(name)
        ),
        value,
        limit: limit.map(|limit| (limit.into(), Side::AtMost)),
    }
    .finding(Subject::DiversAim(name.to_string()));
    if let Some([aft, forward]) = to_aim.and_then(|to_aim| to_aim.ends) {
        let [aft, forward] = [aft, forward]
            .map(|end| text!("{} at the {}", toward(end.off_m(), ATHWART), end.place));
        finding.sentence.extend(text!(" Off the plan athwart: {}, {}.", aft, forward));
    }
    let fitted = [
        round.line.as_ref().map(|line| &line.fitted),
        round.along.as_ref().map(|along| &along.fitted),
    ];
    if finding.outcome == Outcome::Agrees
        && fitted.into_iter().flatten().any(Fitted::contradicts_itself)
    {
        let subject = text!("the distance from the plan in {}", id(name));
        finding =
            unchecked(subject, "what divers measured does not fit together").replace_in(finding);
    }
    finding
        .by(&FROM_PLAN)
        .from(places(project, round))
        .from([&project.positions[round.position].place])
}

/// What divers measured once she was landed against where she is recorded to have lain: over each block, and along.
fn lay(project: &Project, recomputed: &Recomputed, round: &Round) -> Finding {
    let name = position(project, round);
    let tolerance = project.docking.bounds.tolerance("divers");
    let subject = text!("what divers measured {} in {}", round.in_words(), id(name));
    let over = round.over().filter_map(|one| {
        Some((text!("over {}", id(block(project, one))), one.offset_m? - one.lay_m?))
    });
    let lie = recomputed.positions[round.position].lie;
    let along = round
        .along
        .as_ref()
        .zip(lie)
        .map(|(along, lie)| (text!("along the ship"), along.srp_station_m - lie.srp_station_m));
    let greatest: Option<(Text, f64)> =
        over.chain(along).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    let judgement = match (&greatest, tolerance) {
        (None, _) => unchecked(subject, "where she lay was not recorded"),
        (_, None) => unchecked(subject, "no tolerance is stated"),
        (Some((at, off_m)), Some(tolerance)) => match compare(*off_m, 0.0, tolerance.value) {
            Outcome::Agrees => {
                agrees(text!("{} agrees with where she lay.", subject).capitalized())
            }
            _ => differs(
                text!(
                    "{} is {} from where she lay, {}.",
                    subject,
                    Figure::length(off_m.abs()),
                    at.clone()
                )
                .capitalized(),
            ),
        },
    };
    judgement
        .finding(Subject::DiversLanded(name.to_string()))
        .recomputed(greatest.map(|(_, off_m)| Figure::length(off_m.abs())))
        .called("recorded", "apart")
        .against_any(tolerance)
        .by(&CENTRELINE)
        .from(places(project, round))
        .from([&project.positions[round.position].place])
}
