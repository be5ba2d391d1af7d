//! Hold points as they were signed: whether each could be signed when it was, whether the names are those of people of the
//! docking, and what was signed in one position and not in another. Nothing here says that anything was safe: who signed
//! did.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset, TimeDelta};

use super::finding::{Figure, Finding};
use super::judge::{Facts, agrees, differs, incomplete};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::holds::{Hold, HoldPoint};
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::records::value::nearest;
use crate::text;
use crate::text::{Text, count, id};

/// Times of signatures are rounded to five minutes, and some are written after the work was let go on (common practice,
/// no source).
const ROUNDED: TimeDelta = TimeDelta::minutes(5);

/// A signature that misses an event by more was more likely written down wrongly (our choice).
const FAR_OFF: TimeDelta = TimeDelta::hours(1);

/// So many names are told in a sentence.
const MOST_NAMED: usize = 4;

type Time = Option<DateTime<FixedOffset>>;

/// Every finding of the hold points; none where none was signed.
pub fn findings(project: &Project) -> Vec<Finding> {
    if project.holds.is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    let ever: BTreeSet<HoldPoint> = project.holds.iter().map(|row| row.hold).collect();
    for position in &project.positions {
        let rows: Vec<&Hold> = signed_in(project, &position.id).collect();
        if !rows.is_empty() {
            found.push(order(project, position, &rows));
        }
        found.extend(signed(project, position, &rows, &ever));
    }
    found.extend(people(project));
    found
}

/// The hold points that were signed in a position, in the order of the file.
pub fn signed_in<'a>(
    project: &'a Project,
    position: &'a str,
) -> impl Iterator<Item = &'a Hold> + 'a {
    project.holds.iter().filter(move |row| row.position == position)
}

/// An event of a position: its time, and what happened.
type Event = (Time, &'static str);

/// What must have happened before a hold point can be signed, and what may not have happened yet.
fn between(hold: HoldPoint, position: &Position) -> [Option<Event>; 2] {
    let times = &position.times;
    let flooding = (times.flooding_began, "the flooding began");
    let touched = (times.touched, "she touched");
    let landed = (times.landed, "she was landed");
    let dry = (times.dry, "the dock was dry");
    let reflood = (times.reflood_began, "the water was let in again");
    let afloat = (times.afloat, "she was afloat");
    match hold {
        HoldPoint::BlocksAccepted => [None, Some(flooding)],
        HoldPoint::GateSeated | HoldPoint::LinedUp => [Some(flooding), Some(touched)],
        HoldPoint::TouchAccepted => [Some(touched), Some(reflood)],
        HoldPoint::DiversInspected => [Some(flooding), Some(reflood)],
        HoldPoint::LandingAccepted => [Some(landed), Some(reflood)],
        HoldPoint::DryAccepted => [Some(dry), Some(reflood)],
        HoldPoint::FloodingAllowed => [Some(landed), Some(reflood)],
        HoldPoint::AfloatAccepted => [Some(afloat), None],
    }
}

/// What has happened once a hold point should have been signed.
fn passed(hold: HoldPoint, position: &Position) -> bool {
    let times = &position.times;
    let event = match hold {
        HoldPoint::BlocksAccepted => times.flooding_began,
        HoldPoint::GateSeated | HoldPoint::LinedUp | HoldPoint::TouchAccepted => times.touched,
        HoldPoint::DiversInspected | HoldPoint::LandingAccepted => times.landed,
        HoldPoint::DryAccepted => times.dry,
        HoldPoint::FloodingAllowed => times.reflood_began,
        HoldPoint::AfloatAccepted => times.afloat,
    };
    event.is_some()
}

/// Something that is wrong with a hold point: the event that it does not fit, if that is it, and its words.
struct Fault<'a> {
    event: Option<&'static str>,
    /// By how much it misses that.
    off: TimeDelta,
    words: Text,
    place: &'a Place,
}

/// Each was signed when it could be, once, and of frames that she has.
fn order(project: &Project, position: &Position, rows: &[&Hold]) -> Finding {
    let mut faults: Vec<Fault<'_>> =
        rows.iter().filter_map(|row| out_of_order(position, row)).collect();
    faults.extend(rows.iter().filter_map(|row| beyond_her(project, row)));
    faults.extend(twice(rows));
    let timed = rows.iter().filter(|row| row.at.is_some()).count();
    let missing = (timed == 0).then(|| "when each was signed".into());
    let doubted = doubted(position, &faults);
    let finding = Facts {
        subject: text!("the hold points signed in {}", id(&position.id)),
        faults: faults.iter().map(|fault| fault.words.clone()).collect(),
        missing: missing.into_iter().collect(),
        sound: text!(
            "{} of {}, {} with a time, can have been signed when and of what it is written.",
            count(rows.len(), "hold point", "hold points"),
            id(&position.id),
            timed
        ),
    }
    .finding(Subject::HoldOrder(position.id.clone()))
    .from(faults.iter().map(|fault| fault.place))
    .from([&position.place])
    .from(rows.iter().map(|row| &row.place));
    match doubted {
        Some(place) => finding.doubting(&place),
        None => finding,
    }
}

/// The record that is likely wrong: the position's times where they don't follow each other, or where several signatures
/// miss one event; else the first signature that is far off. What was signed a little too early or late may be as it was.
fn doubted(position: &Position, faults: &[Fault<'_>]) -> Option<Place> {
    let times = position.times.in_order().into_iter().filter_map(|(_, time)| time);
    let times: Vec<DateTime<FixedOffset>> = times.collect();
    let events: BTreeSet<Option<&str>> = faults.iter().map(|fault| fault.event).collect();
    let shares_event = faults.len() > 1 && events.len() == 1 && !events.contains(&None);
    let timed = faults.iter().any(|fault| fault.event.is_some());
    if timed && (shares_event || !times.is_sorted()) {
        return Some(position.place.clone());
    }
    let far = faults.iter().find(|fault| fault.event.is_none() || fault.off > FAR_OFF);
    far.map(|fault| fault.place.clone())
}

fn out_of_order<'a>(position: &Position, row: &'a Hold) -> Option<Fault<'a>> {
    let at = row.at?;
    let [after, before] = between(row.hold, position);
    let early =
        after.and_then(|(time, event)| Some((time?, event))).filter(|(t, _)| at < *t - ROUNDED);
    let late =
        before.and_then(|(time, event)| Some((time?, event))).filter(|(t, _)| at > *t + ROUNDED);
    let (side, (time, event)) = match (early, late) {
        (Some(early), _) => ("before", early),
        (None, Some(late)) => ("after", late),
        (None, None) => return None,
    };
    let words = text!(
        "{} is signed by {} at {}, {} {} at {}",
        row.hold.in_words(),
        &row.by,
        at,
        side,
        event,
        time
    );
    Some(Fault { event: Some(event), off: (at - time).abs(), words, place: &row.place })
}

/// How far beyond the ends of the hull a frame may be written, m: a frame space or two.
const BEYOND_M: f64 = 2.0;

/// A frame that lies beyond her.
fn beyond_her<'a>(project: &Project, row: &'a Hold) -> Option<Fault<'a>> {
    let (ship, frames) = (&project.docking.ship, project.docking.frames.as_ref()?);
    let foremost_m = ship.foremost_x_m.or(ship.length_overall_m)?;
    let beyond = |frame: &f64| {
        let x_m = frames.x_m(*frame);
        x_m < -BEYOND_M || x_m > foremost_m + BEYOND_M
    };
    let frame = [row.from_frame, row.to_frame].into_iter().flatten().find(beyond)?;
    let words = text!(
        "{} names frame {}, which lies beyond her",
        row.hold.in_words(),
        crate::units::nine_digits(frame)
    );
    Some(Fault { event: None, off: TimeDelta::zero(), words, place: &row.place })
}

/// Rows that say the same as one before them.
fn twice<'a>(rows: &[&'a Hold]) -> Vec<Fault<'a>> {
    let is_same = |a: &Hold, b: &Hold| {
        (a.hold, &a.by, a.at) == (b.hold, &b.by, b.at)
            && (a.from_frame, a.to_frame) == (b.from_frame, b.to_frame)
    };
    let each = rows.iter().enumerate();
    let doubled = each.filter(|(n, row)| rows[..*n].iter().any(|before| is_same(before, row)));
    let fault = |(_, row): (usize, &&'a Hold)| Fault {
        event: None,
        off: TimeDelta::zero(),
        words: text!("{} is entered twice", row.hold.in_words()),
        place: &row.place,
    };
    doubled.map(fault).collect()
}

/// What is signed in any position is signed in this one too, once it has come so far; `None` before that.
fn signed(
    project: &Project,
    position: &Position,
    rows: &[&Hold],
    ever: &BTreeSet<HoldPoint>,
) -> Option<Finding> {
    let due: Vec<HoldPoint> = ever.iter().copied().filter(|hold| passed(*hold, position)).collect();
    if due.is_empty() {
        return None;
    }
    let is_signed = |hold: &HoldPoint| rows.iter().any(|row| row.hold == *hold);
    let lacking: Vec<HoldPoint> = due.iter().copied().filter(|hold| !is_signed(hold)).collect();
    // A signature that can't be right where it stands may be the one that is lacking here.
    let misplaced = project.holds.iter().filter(|row| {
        let in_its_place = project.positions.iter().find(|other| other.id == row.position);
        let is_wrong = in_its_place.is_some_and(|other| out_of_order(other, row).is_some());
        is_wrong && (row.position == position.id || lacking.contains(&row.hold))
    });
    let misplaced: Vec<&Place> =
        misplaced.map(|row| &row.place).filter(|_| !lacking.is_empty()).collect();
    let lacking: Vec<Text> = lacking.into_iter().map(|hold| hold.in_words().into()).collect();
    let judgement = match lacking.len() {
        0 => agrees(text!(
            "{} of {} have a signature, as many as in any position.",
            count(due.len(), "hold point", "hold points"),
            id(&position.id)
        )),
        1 => incomplete(text!(
            "A hold point of {} has no signature, and has one in another position: {}.",
            id(&position.id),
            Text::listed(lacking)
        )),
        n => incomplete(text!(
            "{} hold points of {} have no signature, and have one in another position: {}.",
            n,
            id(&position.id),
            Text::listed(lacking)
        )),
    };
    let finding = judgement.finding(Subject::HoldsSigned(position.id.clone()));
    let finding = finding.from(misplaced).from([&position.place]);
    Some(finding.from(rows.iter().map(|row| &row.place)))
}

/// Who signed is one of the people of the docking; `None` where none are named.
fn people(project: &Project) -> Option<Finding> {
    let people = &project.docking.people;
    if people.is_empty() {
        return None;
    }
    let is_known = |row: &&Hold| people.iter().any(|(name, _)| *name == row.by);
    let (known, unknown): (Vec<&Hold>, Vec<&Hold>) =
        project.holds.iter().partition(|row| is_known(row));
    let mut names: Vec<&str> = Vec::new();
    for row in &unknown {
        if !names.contains(&row.by.as_str()) {
            names.push(&row.by);
        }
    }
    let all = || people.iter().map(|(name, _)| name.as_str());
    let told = names.iter().take(MOST_NAMED).map(|name| match nearest(name, all()) {
        Some(near) => text!("{} (is it {}?)", *name, near),
        None => Text::from(*name),
    });
    let more = names.len().saturating_sub(MOST_NAMED);
    let told = Text::listed(told.chain((more > 0).then(|| text!("{} more", more))));
    let judgement = match (unknown.first(), known.len()) {
        (None, n) => agrees(text!(
            "{} are signed by people of this docking.",
            count(n, "hold point", "hold points")
        )),
        (Some(_), _) => differs(text!(
            "{} signed by a name that is not among the people of this docking: {}.",
            count(unknown.len(), "hold point is", "hold points are"),
            told
        )),
    };
    let finding = judgement
        .finding(Subject::HoldPeople)
        .recorded(Figure::Count(project.holds.len() as u64))
        .recomputed(Figure::Count(known.len() as u64))
        .called("signed", "by people named")
        .from(unknown.iter().chain(&known).map(|row| &row.place));
    Some(finding)
}
