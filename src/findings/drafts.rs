//! Draft surveys: readings against each other, displacement against the weights, drafts predicted.

use super::finding::{Figure, Finding, Outcome};
use super::judge::{Comparison, Limited, Side, unchecked};
use super::recomputed::Recomputed;
use super::recomputed::afloat::{Survey, moved_between};
use crate::calc::drafts::{CARRY, DISPLACEMENT, Pair, Perpendiculars};
use crate::calc::landing::{LIFT_OFF, LOSS_OF_GM};
use crate::calc::loads::plausible::least_like_its_neighbours;
use crate::calc::loads::weight::Length;
use crate::findings::subject::{ByName, Subject};
use crate::records::Project;
use crate::records::bounds::Bound;
use crate::records::drafts::Occasion;
use crate::records::place::Place;
use crate::records::weights::Weight;
use crate::text;
use crate::text::{Form, Measure, Text, id};
use crate::units::fixed;

/// Every finding of the drafts.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut before: Option<&Survey> = None;
    for survey in &recomputed.ship.surveys {
        found.extend(marks(project, recomputed, survey));
        found.extend(displacement(project, recomputed, survey, before));
        if survey.displacement.is_some() {
            before = Some(survey);
        }
    }
    found.extend(weight_curve(project, recomputed));
    for number in 0..project.positions.len() {
        found.extend(lift_off(project, recomputed, number));
        found.extend(leaving(project, recomputed, number));
    }
    found
}

fn places<'a>(project: &'a Project, survey: &'a Survey) -> impl Iterator<Item = &'a Place> + 'a {
    survey.readings.iter().map(|read| &project.drafts[read.row].place)
}

/// Port and starboard of each place against the list.
fn marks(project: &Project, recomputed: &Recomputed, survey: &Survey) -> Vec<Finding> {
    let (Some(drafts), Some(tolerance)) =
        (&survey.drafts, project.docking.bounds.tolerance("draft"))
    else {
        return Vec::new();
    };
    let (key, name) = (survey.name(project), survey.in_words(project));
    drafts
        .pairs
        .iter()
        .map(|pair| {
            let place = place_name(pair, &drafts.pairs, recomputed.ship.perpendiculars.as_ref());
            let wider = (pair.list_spread > 1.0).then(|| Bound {
                value: tolerance.value * pair.list_spread,
                source: format!(
                    "{}; {} times as much here, since the list comes from marks that stand closer athwart",
                    tolerance.source,
                    fixed(pair.list_spread, 1)
                ),
                ..tolerance.clone()
            });
            let mut found = Comparison {
                subject: text!(
                    "the difference between port and starboard in the {} readings of {}",
                    place,
                    name
                ),
                recorded: Some(Form::Length.measure(pair.difference_m)),
                recomputed: pair.by_list_m.map(|kept| Form::Length.measure(kept)),
                source: text!("what the list gives"),
                why_not: text!("fewer than three places were read on both sides"),
                tolerance: wider.as_ref().unwrap_or(tolerance),
            }
            .finding(Subject::Marks(key.clone(), place));
            if found.outcome == Outcome::Differs {
                found.sentence.extend(set_aside(project, survey, pair));
            }
            let near = |x: f64| (x - pair.x_m).abs() <= 1.0;
            let records = survey.readings.iter().map(|read| &project.drafts[read.row]);
            found.by(&CARRY).from(
                records.filter(|reading| near(reading.mark_x_m)).map(|reading| &reading.place),
            )
        })
        .collect()
}

/// Which of a pair's readings was set aside, in words.
fn set_aside(project: &Project, survey: &Survey, pair: &Pair) -> Text {
    let reading = survey
        .drafts
        .as_ref()
        .and_then(|drafts| drafts.set_aside)
        .and_then(|n| survey.readings.get(n))
        .map(|read| (&project.drafts[read.row], read.draft_m))
        .filter(|(reading, _)| (reading.mark_x_m - pair.x_m).abs() <= 1.0);
    match reading {
        Some((reading, draft_m)) => {
            let side = if reading.mark_y_m > 0.0 { "port" } else { "starboard" };
            text!(
                " The one to {}, {}, is set aside in all that follows.",
                side,
                Figure::length(draft_m)
            )
        }
        None => text!(" One of the two is likely to be mistaken."),
    }
}

/// `aft`, `amidships` and `forward` where there are three places; with x where there are more.
fn place_name(pair: &Pair, pairs: &[Pair], perpendiculars: Option<&Perpendiculars>) -> String {
    let part = perpendiculars.map_or(0.5, |p| (pair.x_m - p.aft_x_m) / p.length_m());
    let word = match part {
        part if part < 0.34 => "aft",
        part if part > 0.66 => "forward",
        _ => "amidships",
    };
    let same = |other: &Pair| {
        let other = perpendiculars.map_or(0.5, |p| (other.x_m - p.aft_x_m) / p.length_m());
        (other < 0.34, other > 0.66) == (part < 0.34, part > 0.66)
    };
    if pairs.iter().filter(|other| same(other)).count() > 1 {
        format!("{word}-{}", fixed(pair.x_m, 1))
    } else {
        word.to_string()
    }
}

/// Displacement of a survey against that of the survey before it and the weights moved between. `None` where it
/// is known and there is nothing to hold it against.
fn displacement(
    project: &Project,
    recomputed: &Recomputed,
    survey: &Survey,
    before: Option<&Survey>,
) -> Option<Finding> {
    let about = Subject::Displacement(survey.name(project));
    let name = survey.in_words(project);
    let tolerance = project.docking.bounds.tolerance("displacement");
    let carried = before.and_then(|before| {
        let moved = moved_between(project, before.at, survey.at);
        Some((before, before.displacement.as_ref()?.displacement_t + moved.change.mass_t))
    });
    let out = survey.displacement.as_ref();
    let found = match (out, carried, tolerance) {
        (None, ..) => {
            let subject = text!("the displacement of {}", name);
            unchecked(subject, why_no_displacement(recomputed, survey))
                .finding(about)
                .recomputed(carried.map(|(_, carried_t)| Figure::mass(carried_t)))
        }
        (Some(_), None, _) | (Some(_), _, None) => return None,
        (Some(_), Some((before, carried_t)), Some(tolerance)) => Comparison {
            subject: text!("the displacement of {}", name),
            recorded: survey.displaced(project),
            recomputed: Some(Form::Mass.measure(carried_t)),
            source: text!("that of {} and the weights moved since", before.in_words(project)),
            why_not: Text::new(),
            tolerance,
        }
        .finding(about),
    };
    let found = found.by(&DISPLACEMENT).from(places(project, survey));
    Some(found.against_any(tolerance.filter(|_| carried.is_some())))
}

/// Why the drafts of a survey give no displacement.
fn why_no_displacement(recomputed: &Recomputed, survey: &Survey) -> &'static str {
    if recomputed.ship.perpendiculars.is_none() {
        "the perpendiculars were not recorded"
    } else if survey.drafts.is_none() {
        "the marks that were read do not reach fore and aft"
    } else if recomputed.ship.table.is_none() {
        "the hydrostatic table was not recorded"
    } else if survey.water_density_t_m3.is_none() {
        "the density of the water was not recorded"
    } else if mean_is_outside(recomputed, survey) {
        "the mean draft lies outside the hydrostatic table, and nothing is read beyond it"
    } else {
        "the half metre on each side of the mean draft that the second trim correction needs lies outside \
         the hydrostatic table, and nothing is read beyond it"
    }
}

fn mean_is_outside(recomputed: &Recomputed, survey: &Survey) -> bool {
    let (table, drafts) = (recomputed.ship.table.as_ref(), survey.drafts.as_ref());
    table.zip(drafts).is_some_and(|(table, drafts)| table.at_draft(drafts.mean_m).is_none())
}

/// Total and centre of the weight curve against displacement and centre of gravity from the drafts.
fn weight_curve(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    if project.weights.is_empty() {
        return Vec::new();
    }
    let bounds = &project.docking.bounds;
    let (Some(tolerance), Some(centre)) =
        (bounds.tolerance("displacement"), bounds.tolerance("centre"))
    else {
        return Vec::new();
    };
    let total: f64 = project.weights.iter().map(|weight| weight.mass_t).sum();
    let moment: f64 = project.weights.iter().map(|weight| weight.mass_t * weight.centre_x_m).sum();
    let survey = recomputed.ship.first_survey();
    let name = survey.map_or("the drafts".into(), |survey| survey.in_words(project));
    let readings: Vec<&Place> = survey.map(|s| places(project, s).collect()).unwrap_or_default();
    let doubted = doubted_weight(project, survey, tolerance.value);
    let compared = |about, what, form: Form, curve, drafts: Option<Measure>, source, tolerance| {
        let found = Comparison {
            subject: text!("the {} of the weight curve", what),
            recorded: Some(form.measure(curve)),
            recomputed: drafts,
            source: text!("the {} that {} gives", source, name),
            why_not: text!("the drafts give no {}", source),
            tolerance,
        }
        .finding(about)
        .from(project.weights.iter().map(|weight| &weight.place).take(1))
        .from(readings.iter().copied());
        match doubted {
            Some(place) => found.doubting(place),
            None => found,
        }
    };
    let displaced = survey.and_then(|survey| survey.displaced(project));
    let lcg = survey.and_then(|survey| survey.lcg(project));
    vec![
        compared(
            Subject::WeightsTotal,
            "total",
            Form::Mass,
            total,
            displaced,
            "displacement",
            tolerance,
        )
        .by(&DISPLACEMENT),
        compared(
            Subject::WeightsCentre,
            "centre",
            Form::Length,
            moment / total,
            lcg,
            "centre of gravity",
            centre,
        )
        .by(&crate::calc::drafts::CENTRE_OF_GRAVITY),
    ]
}

/// The length of the weight curve that is wrong if its total is: the one least like its neighbours, where with what those
/// have the total would fit, or one that stands there twice.
fn doubted_weight<'a>(
    project: &'a Project,
    survey: Option<&Survey>,
    tolerance_t: f64,
) -> Option<&'a Place> {
    let lengths: Vec<Length> = project.weights.iter().map(as_length).collect();
    let total_t: f64 = lengths.iter().map(|length| length.mass_t).sum();
    let displaced = survey.and_then(|survey| survey.displacement.as_ref());
    let off_t = displaced.map(|displaced| total_t - displaced.displacement_t);
    let fits = |n: usize, expected_t: f64| {
        let changed_t = expected_t - lengths[n].mass_t;
        off_t.is_some_and(|off_t| {
            (off_t + changed_t).abs() <= tolerance_t.max(0.2 * changed_t.abs())
        })
    };
    if off_t.is_none_or(|off_t| off_t.abs() <= tolerance_t) {
        return None;
    }
    // A length entered twice is told from its like, not from its neighbours.
    let twice = (1..lengths.len()).find(|n| lengths[..*n].contains(&lengths[*n]));
    let one = least_like_its_neighbours(&lengths).filter(|(n, expected_t)| fits(*n, *expected_t));
    let doubted = twice.filter(|n| fits(*n, 0.0)).or(one.map(|(n, _)| n));
    doubted.map(|n| &project.weights[n].place)
}

fn as_length(weight: &Weight) -> Length {
    Length {
        from_x_m: weight.from_x_m,
        to_x_m: weight.to_x_m,
        mass_t: weight.mass_t,
        centre_x_m: weight.centre_x_m,
    }
}

/// The least GM as she left the blocks, with the weights moved since she landed. `None` where it is not known, or she has not
/// been refloated.
fn leaving(project: &Project, recomputed: &Recomputed, number: usize) -> Option<Finding> {
    let position = &project.positions[number];
    let times = &position.times;
    times.reflood_began.or(times.afloat)?;
    let least = recomputed.landings[number].leaving.as_ref()?.least_gm(&position.id)?;
    let limit = project.docking.bounds.limit("gm")?;
    let moved = project.moved.iter().filter(|moved| moved.is_done()).map(|moved| &moved.place);
    let found = Limited {
        subject: text!("the least GM as she left the blocks of {}", id(&position.id)),
        value: Ok(least),
        limit: Some((limit.into(), Side::AtLeast)),
    }
    .finding(Subject::LeavingGm(position.id.clone()));
    Some(found.by(&LOSS_OF_GM).from([&position.place]).from(moved))
}

/// Why drafts, or the list, at lift-off can't be predicted.
fn why_not_predicted(recomputed: &Recomputed, number: usize, of_list: bool) -> &'static str {
    let landing = &recomputed.landings[number];
    let survey = recomputed.ship.survey(Some(number), Occasion::BeforeLanding);
    let drafts = survey.and_then(|survey| survey.drafts.as_ref());
    match (drafts, &landing.afloat, landing.lift_off) {
        (None, ..) => "no drafts that reach fore and aft were read before landing",
        (_, None, _) => "the drafts before landing give no displacement",
        (.., None) => "the hydrostatic table does not reach her drafts with the weights moved",
        (Some(drafts), ..) if of_list && drafts.list_deg.is_none() => {
            "before landing no mark was read on both sides"
        }
        _ if of_list && landing.kg_m.is_none() => "neither KG nor GM was recorded",
        _ => "with the weights moved her GM would be nil or less",
    }
}

/// The tolerance of a list, wider where the marks of both surveys stand so close athwart that they can't tell it so
/// exactly; `None` where they can.
fn as_sure_as_marks(list: &Bound, surveys: [Option<&Survey>; 2]) -> Option<Bound> {
    let drafts = surveys.into_iter().flatten().filter_map(|survey| survey.drafts.as_ref());
    let sure_to_deg: f64 = drafts.map(|drafts| drafts.list_sure_to_deg).sum();
    (sure_to_deg > list.value).then(|| Bound {
        value: sure_to_deg,
        source: format!(
            "{}; wider here, since marks read to 10 mm that stand so close athwart give both lists no better",
            list.source
        ),
        ..list.clone()
    })
}

/// Drafts and list when she lifted off, read against predicted.
fn lift_off(project: &Project, recomputed: &Recomputed, number: usize) -> Vec<Finding> {
    let position = &project.positions[number];
    let read = recomputed.ship.survey(Some(number), Occasion::LiftOff);
    let predicted = recomputed.landings[number].lift_off;
    if read.is_none() && predicted.is_none() {
        return Vec::new();
    }
    let bounds = &project.docking.bounds;
    let (draft, list) = (bounds.tolerance("lift_off_draft"), bounds.tolerance("list"));
    let wider = list.and_then(|list| {
        let before = recomputed.ship.survey(Some(number), Occasion::BeforeLanding);
        as_sure_as_marks(list, [before, read])
    });
    let list = wider.as_ref().or(list);
    let rows: [(ByName, _, _, _, _); 3] = [
        (
            Subject::LiftOffAft,
            "draft aft",
            read.and_then(|survey| survey.draft_aft(project)),
            predicted.map(|lift| lift.draft_aft(&position.id)),
            draft,
        ),
        (
            Subject::LiftOffForward,
            "draft forward",
            read.and_then(|survey| survey.draft_forward(project)),
            predicted.map(|lift| lift.draft_forward(&position.id)),
            draft,
        ),
        (
            Subject::LiftOffList,
            "list",
            read.and_then(|survey| survey.list(project)),
            predicted.and_then(|lift| lift.list(&position.id)),
            list,
        ),
    ];
    let readings: Vec<&Place> =
        read.map(|survey| places(project, survey).collect()).unwrap_or_default();
    let findings =
        rows.into_iter().filter_map(|(about, words, read, predicted, tolerance)| {
            let found = Comparison {
                subject: text!("the {} at lift-off from {}", words, id(&position.id)),
                recorded: read,
                recomputed: predicted,
                source: text!("the one predicted from the weights moved"),
                why_not: why_not_predicted(recomputed, number, words == "list").into(),
                tolerance: tolerance?,
            }
            .finding(about(position.id.clone()));
            let found = found.by(&LIFT_OFF).from(readings.iter().copied());
            Some(found.from(
                project.moved.iter().filter(|moved| moved.is_done()).map(|moved| &moved.place),
            ))
        });
    findings.collect()
}
