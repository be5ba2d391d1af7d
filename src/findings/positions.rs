//! Docking positions: recorded against fitted and planned, sightings, times, shifts.

use super::judge::{
    Comparison, Facts, Limited, Side, agrees, compare, differs, exceeds, not_recorded, unchecked,
};
use crate::text;
use crate::text::{Form, Measure, Text, id};
use chrono::{DateTime, FixedOffset};

use super::finding::{Figure, Finding, Outcome};
use super::naming::{Named, distinct_ids, pair_name};
use super::recomputed::{PositionRecomputed, Recomputed};
use crate::calc::positions::{Agreement, FIT, FROM_PLAN, SHIFT};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::bounds::Bound;
use crate::records::place::Place;
use crate::records::positions::Position;

/// Every finding of the positions.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let bounds = &project.docking.bounds;
    let mut found = Vec::new();
    for (position, out) in project.positions.iter().zip(&recomputed.positions) {
        let doubt = doubt(project, out);
        let part = |about: fn(String) -> Subject, name, recorded, fitted, form| Part {
            about,
            position,
            out,
            name,
            recorded,
            fitted,
            form,
            doubt: &doubt,
        };
        let sightings: Vec<&Place> =
            out.sightings.iter().map(|n| &project.sightings[*n].place).collect();
        for (part, tolerance) in [
            (
                part(
                    Subject::Station,
                    "station",
                    position.recorded_srp_station_m,
                    out.fitted_srp_station(&position.id),
                    Form::Length,
                ),
                bounds.tolerance("station"),
            ),
            (
                part(
                    Subject::Offset,
                    "offset",
                    position.recorded_offset_m,
                    out.fitted_offset(&position.id),
                    Form::Length,
                ),
                bounds.tolerance("offset"),
            ),
            (
                part(
                    Subject::Yaw,
                    "yaw",
                    position.recorded_yaw_deg,
                    out.fitted_yaw(&position.id),
                    Form::Angle,
                ),
                bounds.tolerance("yaw"),
            ),
        ] {
            found.extend(tolerance.map(|tolerance| part.finding(tolerance, &sightings)));
        }
        found.extend(residuals(project, position, out));
        found.extend(from_plan(project, position));
        found.push(times(position));
    }
    found.extend(order(project));
    found.extend(shifts(project, recomputed));
    found
}

/// One of station, offset and yaw of a position.
struct Part<'a> {
    about: fn(String) -> Subject,
    position: &'a Position,
    out: &'a PositionRecomputed,
    name: &'static str,
    recorded: Option<f64>,
    fitted: Option<Measure>,
    form: Form,
    /// What is to be known of the sightings, in sentences that follow another; may be empty.
    doubt: &'a Text,
}

/// Whether the sightings of a position contradict each other, and which of them is mistaken can't be told.
fn contradict(out: &PositionRecomputed) -> bool {
    matches!(out.fit.agreement, Agreement::OneOf(_) | Agreement::NotOne)
}

/// The mark of a sighting, by its place among those of a position.
fn mark<'a>(project: &'a Project, out: &PositionRecomputed, sighting: usize) -> &'a str {
    &project.sightings[out.sightings[sighting]].mark
}

/// Sightings of which one is mistaken, in words.
fn suspects(project: &Project, out: &PositionRecomputed, sightings: &[usize]) -> String {
    let marks: Vec<&str> = sightings.iter().map(|n| mark(project, out, *n)).collect();
    format!("one of {} is mistaken, and which can't be told", marks.join(", "))
}

/// What is to be known of the sightings of a position before what they give is believed.
fn doubt(project: &Project, out: &PositionRecomputed) -> Text {
    match &out.fit.agreement {
        Agreement::Fit if out.fit.spare == 0 => {
            text!(" There are no redundant sightings to check them against.")
        }
        Agreement::Fit => Text::new(),
        Agreement::SetAside(n) => {
            text!(
                " The sighting of {} does not fit the others and is set aside.",
                mark(project, out, *n)
            )
        }
        Agreement::OneOf(all) => {
            text!(" They do not fit each other: {}.", suspects(project, out, all))
        }
        Agreement::NotOne => {
            text!(" They do not fit each other, and no single one of them explains that.")
        }
    }
}

impl Part<'_> {
    fn finding(&self, tolerance: &Bound, sightings: &[&Place]) -> Finding {
        let (position, name) = (id(&self.position.id), self.name);
        let mut finding = Comparison {
            subject: text!("the {} of {}", name, position),
            recorded: self.recorded.map(|kept| self.form.measure(kept)),
            recomputed: self.fitted,
            source: text!("what its sightings give"),
            why_not: text!("its sightings do not give it"),
            tolerance,
        }
        .finding((self.about)(self.position.id.clone()));
        if finding.outcome == Outcome::Agrees && contradict(self.out) {
            let subject = text!("the {} of {}", name, position);
            let judgement = unchecked(subject, "its sightings do not fit each other");
            finding = judgement.replace_in(finding);
        }
        if self.fitted.is_some() {
            finding.sentence.extend(self.doubt.clone());
        }
        finding.by(&FIT).from([&self.position.place]).from(sightings.iter().copied())
    }
}

/// Each sighting against the position fitted to all of them, but the one that is set aside.
fn residuals(project: &Project, position: &Position, out: &PositionRecomputed) -> Vec<Finding> {
    let Some(tolerance) = project.docking.bounds.tolerance("sighting") else { return Vec::new() };
    let named = |number: &usize| {
        let sighting = &project.sightings[*number];
        Named {
            base: sighting.mark.clone(),
            sort: "",
            at: sighting.at,
            by: sighting.read_by.as_deref(),
            read: format!("{:?} {:?}", sighting.dock_station_m, sighting.dock_offset_m),
        }
    };
    let names = distinct_ids(&out.sightings.iter().map(named).collect::<Vec<_>>());
    let mut found = Vec::new();
    for ((n, number), name) in out.sightings.iter().enumerate().zip(names) {
        let sighting = &project.sightings[*number];
        let off = out.fit.off_m(n);
        let subject = text!("the sighting of {} in {}", sighting.mark, position.id);
        let judgement = match off {
            None => unchecked(subject, "the position is not known"),
            Some(_) if out.fit.spare == 0 => unchecked(subject, "there are no redundant sightings"),
            Some(off) if contradict(out) && !exceeds(off, tolerance.value) => {
                unchecked(subject, "the sightings do not fit each other")
            }
            Some(off) => {
                let agrees_with_others = compare(off, 0.0, tolerance.value) == Outcome::Agrees;
                let subject = subject.capitalized();
                match &out.fit.agreement {
                    Agreement::SetAside(n) if agrees_with_others => agrees(text!(
                        "{} agrees with the others, {} set aside.",
                        subject,
                        mark(project, out, *n)
                    )),
                    _ if agrees_with_others => agrees(text!("{} agrees with the others.", subject)),
                    Agreement::SetAside(_) => differs(text!(
                        "{} is {} from where the others put it, and is set aside.",
                        subject,
                        Figure::length(off)
                    )),
                    Agreement::OneOf(all) => differs(text!(
                        "{} does not agree with the others; {}.",
                        subject,
                        suspects(project, out, all)
                    )),
                    _ => differs(text!(
                        "{} does not agree with the others, and no single sighting explains that.",
                        subject
                    )),
                }
            }
        };
        found.push(
            judgement
                .finding(Subject::Sighting(position.id.clone(), name))
                .recomputed(off.map(Figure::length))
                .against(tolerance)
                .by(&FIT)
                .from([&sighting.place]),
        );
    }
    found
}

/// How far the position is from the planned one. Without a plan there is nothing to compare.
fn from_plan(project: &Project, position: &Position) -> Option<Finding> {
    let limit = project.docking.bounds.limit("position_from_plan");
    let planned = position.planned_srp_station_m.zip(position.planned_offset_m)?;
    let recorded = position.recorded_srp_station_m.zip(position.recorded_offset_m);
    let off_m = recorded.map(|r| libm::hypot(r.0 - planned.0, r.1 - planned.1));
    let finding = Limited {
        subject: text!("the distance of {} from the plan", id(&position.id)),
        value: off_m
            .map(|kept| Form::Length.measure(kept))
            .ok_or_else(|| text!("where she lay was not recorded")),
        limit: limit.map(|limit| (limit.into(), Side::AtMost)),
    }
    .finding(Subject::FromPlan(position.id.clone()));
    Some(finding.by(&FROM_PLAN).from([&position.place]))
}

/// The times of a position must follow each other.
fn times(position: &Position) -> Finding {
    let times = position.times.in_order();
    let known: Vec<(&str, DateTime<FixedOffset>)> =
        times.into_iter().filter_map(|(name, time)| Some((name, time?))).collect();
    let missing = times.into_iter().filter(|(_, time)| time.is_none());
    let turned = known.windows(2).filter(|pair| pair[0].1 > pair[1].1);
    let id = &position.id;
    Facts {
        subject: text!("the times of {}", id),
        faults: turned
            .map(|pair| {
                format!("{} {} is before {} {}", pair[1].0, pair[1].1, pair[0].0, pair[0].1).into()
            })
            .collect(),
        missing: missing.map(|(name, _)| name.into()).collect(),
        sound: text!("The times of {} follow each other.", id),
    }
    .finding(Subject::PositionTimes(id.clone()))
    .from([&position.place])
}

/// A position begins after the one before it has ended. The water let in for the later one is the
/// water that ends the earlier one, so that the two times may be the same.
fn order(project: &Project) -> Option<Finding> {
    if project.positions.len() < 2 {
        return None;
    }
    let mut faults = Vec::new();
    let mut missing = Vec::new();
    for pair in project.positions.windows(2) {
        let (before, after) = (&pair[0], &pair[1]);
        let steps = [
            (
                "flooding began",
                after.times.flooding_began,
                "reflood began",
                before.times.reflood_began,
            ),
            ("touched", after.times.touched, "afloat", before.times.afloat),
        ];
        for (later, later_at, earlier, earlier_at) in steps {
            match (later_at, earlier_at) {
                (Some(l), Some(e)) if l < e => faults.push(
                    format!("{} {later} {l} is before {} {earlier} {e}", after.id, before.id)
                        .into(),
                ),
                (Some(_), Some(_)) => {}
                _ => {
                    missing.push(format!("{} {earlier} or {} {later}", before.id, after.id).into());
                }
            }
        }
    }
    let facts = Facts {
        subject: "the order of the positions".into(),
        faults,
        missing,
        sound: "The positions follow each other in the order of the file.".into(),
    };
    let places = project.positions.iter().map(|position| &position.place);
    Some(facts.finding(Subject::PositionOrder).from(places))
}

/// The shift between any two positions.
fn shifts(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let Some(tolerance) = project.docking.bounds.tolerance("shift") else { return Vec::new() };
    let all: Vec<(&Position, &PositionRecomputed)> =
        project.positions.iter().zip(&recomputed.positions).collect();
    let mut found = Vec::new();
    // From the one in which she stood first, where that is recorded, to the other.
    let began = |position: &Position| position.times.in_order().into_iter().find_map(|(_, at)| at);
    for (n, upper) in all.iter().enumerate() {
        for lower in &all[n + 1..] {
            let swapped = began(upper.0).zip(began(lower.0)).is_some_and(|(a, b)| b < a);
            let ((before, out_before), (after, out_after)) =
                if swapped { (lower, upper) } else { (upper, lower) };
            let between = |a: Option<(f64, f64)>, b: Option<(f64, f64)>| {
                a.zip(b).map(|(a, b)| (b.0 - a.0, b.1 - a.1))
            };
            let written = |p: &Position| p.recorded_srp_station_m.zip(p.recorded_offset_m);
            let fitted =
                |out: &PositionRecomputed| out.fit.srp_station_m.zip(out.fit.centreline_offset_m);
            let recorded = between(written(before), written(after));
            let computed = between(fitted(out_before), fitted(out_after));
            let subject = text!("the shift from {} to {}", before.id, after.id);
            let judgement = match (recorded, computed) {
                (None, _) => not_recorded(subject),
                (_, None) => unchecked(subject, "the sightings do not give it"),
                (Some(r), Some(c)) => {
                    let agree = |a, b| compare(a, b, tolerance.value) == Outcome::Agrees;
                    if !agree(r.0, c.0) || !agree(r.1, c.1) {
                        differs(text!(
                            "The recorded shift from {} to {} is {} fore and aft and {} athwart from \
                             what the sightings give.",
                            before.id,
                            after.id,
                            Figure::length((r.0 - c.0).abs()),
                            Figure::length((r.1 - c.1).abs())
                        ))
                    } else if contradict(out_before) || contradict(out_after) {
                        unchecked(subject, "the sightings do not fit each other")
                    } else {
                        agrees(text!("{} agrees with the sightings.", subject).capitalized())
                    }
                }
            };
            found.push(
                judgement
                    .finding(Subject::Shift(pair_name(&before.id, &after.id)))
                    .recorded(recorded.map(shift_in_words))
                    .recomputed(computed.map(shift_in_words))
                    .against(tolerance)
                    .by(&SHIFT)
                    .from([&before.place, &after.place]),
            );
        }
    }
    found
}

/// A shift, (forward, to port) in metres, as a person says it.
pub fn shift_in_words((forward_m, port_m): (f64, f64)) -> Figure {
    let along = if forward_m < 0.0 { "aft" } else { "forward" };
    let across = if port_m < 0.0 { "to starboard" } else { "to port" };
    Figure::words(text!(
        "{} {}, {} {}",
        Figure::length(forward_m.abs()),
        along,
        Figure::length(port_m.abs()),
        across
    ))
}
