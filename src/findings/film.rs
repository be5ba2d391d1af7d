//! Film thickness by zone and coat, where and when it was read, and the gauges.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::finding::{Against, Figure, Finding, Outcome};
use super::judge::{
    Judgement, agrees, beyond_limit, differs, exceeds, incomplete, not_recorded, unchecked,
};
use super::naming::count;
use super::recomputed::Recomputed;
use super::recomputed::coating::film::{Film, Verdict, Why};
use crate::calc::film::{iso_19840, ninety_ten, pa_2};
use crate::calc::formula::Formula;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::film::{FilmReading, GAUGES_SPEC, GaugeCheck, Rule};
use crate::records::hints::{Near, near};
use crate::records::place::Place;
use crate::text;
use crate::text::list_first;
use crate::text::{Text, ToText};
use crate::units::one_of;

/// Records that a finding of many readings names: the first, the last and how many stand in the sentence.
const MOST_PLACES: usize = 6;

/// Spots that a sentence names; more are counted.
const MOST_SPOTS: usize = 4;

/// Every finding of the film and its gauges.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found = Vec::new();
    for film in &recomputed.coating.film {
        found.push(accepted(project, film));
        found.extend(owed(project, film));
        found.push(place(project, film));
        found.push(time(project, film));
    }
    found.extend(gauges(project));
    found
}

/// What a finding on the film of a coat is about.
pub fn about(project: &Project, film: &Film, subject: fn(String, String) -> Subject) -> Subject {
    subject(project.zones[film.zone].id.clone(), film.coat.to_string())
}

/// What a film is called in a sentence: `KL after coat 2`.
fn name(project: &Project, film: &Film) -> String {
    format!("{} after coat {}", project.zones[film.zone].id, film.coat)
}

/// The first places of those that are wrong, or of all where none is.
fn wrong_or_all<'a>(
    project: &'a Project,
    wrong: &'a [usize],
    film: &'a Film,
) -> impl Iterator<Item = &'a Place> {
    first_places(project, if wrong.is_empty() { &film.readings } else { wrong })
}

fn first_places<'a>(
    project: &'a Project,
    readings: &'a [usize],
) -> impl Iterator<Item = &'a Place> {
    readings.iter().take(MOST_PLACES).map(|at| &project.film[*at].place)
}

/// How a film comes out by the rule in force, for findings and report alike.
#[derive(Debug)]
pub struct RuleJudgement {
    /// The rule's name; `None` where none is named for the zone.
    pub rule: Option<String>,
    /// How the film came out.
    pub outcome: Outcome,
    /// What of the rule is not kept, or is not measured as it asks; why nothing can be said where it can't.
    pub why: Vec<Text>,
    /// Whether the readings could be judged at all.
    pub is_judged: bool,
}

/// Judges a film by the rule in force.
pub fn judge_by_rule(film: &Film) -> RuleJudgement {
    let rule = film.rule.map(|rule| match rule {
        Rule::Iso19840 => "ISO 19840".to_string(),
        Rule::SspcPa2 { level, .. } => format!("SSPC-PA 2, level {level}"),
        Rule::NinetyTen => "the 90/10 rule".to_string(),
    });
    let Some(verdict) = &film.verdict else {
        let why = vec![why_not(film).into()];
        return RuleJudgement { rule, outcome: Outcome::NotRecorded, why, is_judged: false };
    };
    let outcome = match verdict {
        Verdict::SspcPa2 { spots, .. } if spots.within() && !spots.complete() => {
            Outcome::NotRecorded
        }
        verdict if verdict.passes() => Outcome::Agrees,
        _ => Outcome::BeyondLimit,
    };
    RuleJudgement { rule, outcome, why: faults(film, verdict), is_judged: true }
}

/// Why a film can't be judged.
fn why_not(film: &Film) -> &'static str {
    let wanted = match film.rule {
        None => return "no rule is stated",
        Some(Rule::SspcPa2 { .. }) => film.wanted.least_m,
        Some(_) => film.wanted.nominal_m,
    };
    if wanted.is_none() {
        "the scheme does not state what coats 1 to this one should come to"
    } else if film.rule == Some(Rule::Iso19840) && film.as_read > 0 {
        "the gauge's correction for the profile is not recorded"
    } else {
        "a reading names no spot"
    }
}

/// Whether the rule in force accepts the film.
fn accepted(project: &Project, film: &Film) -> Finding {
    let zone = &project.zones[film.zone];
    let stated = project.docking.film.for_zone(&zone.id);
    let (rule, formula, wanted): (&str, Option<&'static Formula>, Option<f64>) = match film.rule {
        Some(Rule::Iso19840) => ("ISO 19840", Some(&iso_19840::RULE), film.wanted.nominal_m),
        Some(Rule::SspcPa2 { .. }) => ("SSPC-PA 2", Some(&pa_2::RULE), film.wanted.least_m),
        Some(Rule::NinetyTen) => ("90/10", Some(&ninety_ten::RULE), film.wanted.nominal_m),
        None => ("", None, film.wanted.nominal_m),
    };
    let judged = judge_by_rule(film);
    let why = Text::joined(judged.why, "; ");
    let readings =
        text!("the {} of {}", count(film.readings.len(), "film reading"), name(project, film));
    let (pass, fail, are) = match film.readings.len() {
        1 => ("passes", "fails", "is"),
        _ => ("pass", "fail", "are"),
    };
    let subject = readings.clone().capitalized();
    let mut judgement = match judged.outcome {
        _ if !judged.is_judged => unchecked(readings, why),
        Outcome::Agrees => agrees(text!("{} {} {}.", subject, pass, rule)),
        Outcome::NotRecorded => {
            incomplete(text!("{} {} not taken as {} asks: {}.", subject, are, rule, why))
        }
        _ => beyond_limit(text!("{} {} {}: {}.", subject, fail, rule, why)),
    };
    if judged.is_judged && film.as_read > 0 {
        judgement.sentence.extend(text!(
            " {} of them count as read: no correction for the profile is recorded for their gauge.",
            if film.as_read == film.readings.len() {
                "All".to_string()
            } else {
                film.as_read.to_string()
            }
        ));
    }
    let mut finding = judgement
        .finding(about(project, film, Subject::Film))
        .recorded(film.mean(project).map(Figure::Measure))
        .from(stated.map(|(_, place)| place))
        .from(first_places(project, &film.too_early))
        .from(first_places(project, &film.too_late))
        .from(first_places(project, &film.readings));
    if let Some(formula) = formula {
        finding = finding.by(formula);
    }
    finding.against_any(wanted.map(|wanted| {
        let wanted_is = match film.rule {
            Some(Rule::SspcPa2 { .. }) => "specified least",
            _ => "nominal",
        };
        let source = format!("{rule}, coats 1 to {} of the scheme", film.coat);
        Against::limit(wanted_is, Figure::film(wanted), source)
    }))
}

/// What of a rule is not kept, in words.
fn faults(film: &Film, verdict: &Verdict) -> Vec<Text> {
    let mut wrong = Vec::new();
    let film_from = |m: f64, bound: Option<f64>| {
        let found = Figure::film(m);
        bound.map_or(found.clone(), |bound| found.apart_from(&Figure::film(bound)))
    };
    let share_from = |pct: f64, bound: f64| Figure::ratio(pct).apart_from(&Figure::ratio(bound));
    let nominal_m = film.wanted.nominal_m;
    match verdict {
        Verdict::Iso19840(verdict) => {
            if !verdict.mean_reached {
                let mean = film_from(verdict.statistics.mean_m, nominal_m);
                wrong.push(text!("their mean less the correction is {}", mean));
            }
            if verdict.under_80_pct > 0 {
                wrong.push(text!("{} are under 80 % of nominal", verdict.under_80_pct));
            }
            if !verdict.thin_few {
                wrong.push(text!(
                    "{} lie from 80 to 100 % of nominal, and fewer than 20 % may",
                    share_from(verdict.thin_share_pct, 20.0)
                ));
            }
            if let Some(over) = verdict.over_greatest.filter(|over| *over > 0) {
                wrong.push(text!("{} are over the greatest", over));
            }
        }
        Verdict::SspcPa2 { spots, names } => {
            let named = |list: &[usize]| {
                let names: Vec<&str> =
                    list.iter().filter_map(|at| names.get(*at)).map(String::as_str).collect();
                list_first(&names, MOST_SPOTS)
            };
            if !spots.spots_below.is_empty() {
                wrong.push(text!("spots too thin: {}", named(&spots.spots_below)));
            }
            if !spots.spots_above.is_empty() {
                wrong.push(text!("spots too thick: {}", named(&spots.spots_above)));
            }
            if !spots.areas_below.is_empty() {
                wrong.push(text!("{} areas are too thin on the mean", spots.areas_below.len()));
            }
            if !spots.areas_above.is_empty() {
                wrong.push(text!("{} areas are too thick on the mean", spots.areas_above.len()));
            }
            if !spots.spots_short.is_empty() {
                wrong.push(text!(
                    "spots with fewer than three readings: {}",
                    named(&spots.spots_short)
                ));
            }
            if spots.spots_over > 0 || spots.area_means_m.is_empty() {
                wrong.push(text!("{} spots make no area of five", spots.spots_over));
            }
        }
        Verdict::NinetyTen(verdict) => {
            if !verdict.enough_reached {
                wrong.push(text!(
                    "{} reach the nominal, and 90 % must",
                    share_from(verdict.reached_pct, 90.0)
                ));
            }
            if verdict.under_90_pct > 0 {
                let bound = nominal_m.map(|nominal| 0.9 * nominal);
                let least = film.statistics.map(|statistics| film_from(statistics.least_m, bound));
                wrong.push(text!(
                    "{} are under 90 % of nominal, the least is {}",
                    verdict.under_90_pct,
                    least.map(|least| least.to_text()).unwrap_or_default()
                ));
            }
        }
    }
    wrong
}

/// Whether as much was measured as the rule asks for the zone's size.
fn owed(project: &Project, film: &Film) -> Option<Finding> {
    let (rule, found) = (film.rule?, film.owed?);
    let name = name(project, film);
    let (thing, formula) = match rule {
        Rule::Iso19840 => ("reading", &iso_19840::OWED),
        Rule::SspcPa2 { .. } => ("area", &pa_2::OWED),
        Rule::NinetyTen => ("reading", &ninety_ten::OWED),
    };
    let were = if found.measured == 1 { "was" } else { "were" };
    let judgement = match (found.owed, found.short_of()) {
        (None, _) => unchecked(
            text!("how many {}s are required of {}", thing, name),
            "the size of the zone is not known",
        ),
        (Some(owed), None) => agrees(text!(
            "{} {} measured on {}; its size requires {}.",
            count(found.measured as usize, thing),
            were,
            name,
            owed
        )),
        (Some(owed), Some(_)) => beyond_limit(text!(
            "{} of the {} required {} measured on {}.",
            found.measured,
            count(owed as usize, thing),
            were,
            name
        )),
    };
    Some(
        judgement
            .finding(about(project, film, Subject::FilmOwed))
            .recorded(Figure::Count(found.measured))
            .recomputed(found.owed.map(Figure::Count))
            .called("measured", "required")
            .by(formula)
            .from([&project.zones[film.zone].place])
            .from(first_places(project, &film.readings)),
    )
}

/// Readings where none can have been taken.
fn place(project: &Project, film: &Film) -> Finding {
    let name = name(project, film);
    let placed = film.readings.iter().filter(|at| project.film[**at].hull.is_some()).count();
    let judgement = if !film.misplaced.is_empty() {
        let why = why_words(project, film.misplaced.iter().map(|misplaced| misplaced.why));
        differs(text!(
            "{} of {} can't have been taken: {}.",
            count(film.misplaced.len(), "film reading"),
            name,
            why
        ))
    } else if placed == 0 && project.zones[film.zone].is_bottom() {
        not_recorded(text!("where the film of {} was read", name))
    } else {
        agrees(text!("The steel was free and dry where {} was read.", name))
    };
    let wrong: Vec<usize> = film.misplaced.iter().map(|misplaced| misplaced.reading).collect();
    let blocks = film.misplaced.iter().filter_map(|misplaced| match misplaced.why {
        Why::Block(block) => Some(&project.blocks[block].place),
        _ => None,
    });
    judgement
        .finding(about(project, film, Subject::FilmPlaces))
        .recomputed(Figure::Count(film.misplaced.len() as u64))
        .from(wrong_or_all(project, &wrong, film))
        .from(blocks.take(MOST_PLACES))
}

/// Readings taken before the coat was on, or when a later one was.
fn time(project: &Project, film: &Film) -> Finding {
    let name = name(project, film);
    let timed = film.readings.iter().filter(|at| project.film[**at].at.is_some()).count();
    let zone = &project.zones[film.zone].id;
    let coated = project
        .coats
        .iter()
        .any(|coat| coat.zone == *zone && coat.coat == film.coat && coat.began.is_some());
    let judgement = if !coated {
        not_recorded(text!("when the coat of {} went on", name))
    } else if !film.too_early.is_empty() {
        differs(text!(
            "{} of {} came before that coat was on.",
            count(film.too_early.len(), "film reading"),
            name
        ))
    } else if !film.too_late.is_empty() {
        differs(text!(
            "{} of {} came when a later coat was on already, and can't be of coat {} alone.",
            count(film.too_late.len(), "film reading"),
            name,
            film.coat
        ))
    } else if timed < film.readings.len() {
        let undated = count(film.readings.len() - timed, "film reading");
        not_recorded(text!("the time of {} of {}", undated, name))
    } else {
        agrees(text!("The coat was on when {} was read, and no later one.", name))
    };
    let wrong: &[usize] = if film.too_early.is_empty() { &film.too_late } else { &film.too_early };
    let finding = judgement
        .finding(about(project, film, Subject::FilmTimes))
        .recomputed(Figure::Count(wrong.len() as u64))
        .from(wrong_or_all(project, wrong, film));
    finding.doubting_all(wrong.iter().map(|at| &project.film[*at].place))
}

/// What was wrong with places, in words: the blocks, the water, the zone.
pub(super) fn why_words(project: &Project, whys: impl Iterator<Item = Why>) -> String {
    let (mut blocks, mut water, mut outside) = (BTreeSet::new(), 0, 0);
    for why in whys {
        match why {
            Why::Block(block) => {
                blocks.insert(project.blocks[block].id.as_str());
            }
            Why::Water => water += 1,
            Why::Outside => outside += 1,
        }
    }
    let mut words = Vec::new();
    if !blocks.is_empty() {
        let blocks: Vec<&str> = blocks.into_iter().collect();
        words.push(format!("{} stood there", blocks.join(", ")));
    }
    if water > 0 {
        words.push(format!("{water} are dated when the zone was not dry"));
    }
    if outside > 0 {
        words.push(format!("{outside} lie outside the zone"));
    }
    words.join("; ")
}

/// Each gauge checked on every day on which it was used, and right whenever it was checked.
fn gauges(project: &Project) -> Vec<Finding> {
    let mut days: BTreeMap<(&str, NaiveDate), Vec<&FilmReading>> = BTreeMap::new();
    let mut unnamed: Vec<&FilmReading> = Vec::new();
    for reading in &project.film {
        match (reading.gauge.as_deref(), reading.at) {
            (Some(gauge), Some(at)) => {
                days.entry((gauge, at.date_naive())).or_default().push(reading)
            }
            _ => unnamed.push(reading),
        }
    }
    for check in &project.gauges {
        days.entry((&*check.gauge, check.at.date_naive())).or_default();
    }
    let mut found: Vec<Finding> = days
        .into_iter()
        .filter_map(|((gauge, day), readings)| {
            let finding = gauge_day(project, gauge, day, &readings)?;
            let never = !project.gauges.iter().any(|check| *check.gauge == *gauge);
            Some(if never { never_checked(finding, gauge) } else { finding })
        })
        .collect();
    if !unnamed.is_empty() {
        let what =
            text!("with which gauge or when {} were taken", count(unnamed.len(), "film reading"));
        found.push(
            not_recorded(what)
                .finding(Subject::GaugesUnnamed)
                .from(unnamed.iter().take(MOST_PLACES).map(|reading| &reading.place)),
        );
    }
    found
}

/// Every day on which a gauge was used that was never checked is one thing to put right.
fn never_checked(finding: Finding, gauge: &str) -> Finding {
    let place = Place::file(GAUGES_SPEC.path);
    finding.because(&place, text!("No check of gauge {} is recorded for any day.", gauge))
}

/// A gauge that was not checked that day; one that was ever checked and is called nearly the same is named.
fn not_checked(project: &Project, gauge: &str, day: NaiveDate, readings: usize) -> Judgement {
    let took = format!("Gauge {gauge} took {} on {day}", count(readings, "film reading"));
    match near(gauge, project.gauges.iter().map(|check| &*check.gauge)) {
        Some(Near::Alike(known)) => differs(text!(
            "{}, and no gauge of that name was ever checked; {} was, and its name differs in \
             capitals, signs or letters that look like digits only.",
            took,
            known
        )),
        Some(Near::Close(known)) => incomplete(text!(
            "{}, and no gauge of that name was ever checked; {}, which has nearly the same name, was.",
            took,
            one_of(&known)
        )),
        None => incomplete(text!("{}, and no check of it that day is recorded.", took)),
    }
}

fn gauge_day(
    project: &Project,
    gauge: &str,
    day: NaiveDate,
    readings: &[&FilmReading],
) -> Option<Finding> {
    let tolerance = project.docking.bounds.tolerance("gauge")?;
    let checks: Vec<&GaugeCheck> = project
        .gauges
        .iter()
        .filter(|check| *check.gauge == *gauge && check.at.date_naive() == day)
        .collect();
    let off_pct = |check: &GaugeCheck| {
        100.0 * (check.reading_m - check.reference_m).abs() / check.reference_m
    };
    let worst =
        checks.iter().reduce(|known, new| if off_pct(new) > off_pct(known) { new } else { known });
    let judgement = match worst {
        None => not_checked(project, gauge, day, readings.len()),
        Some(check) if exceeds(off_pct(check), tolerance.value) => differs(text!(
            "Gauge {} was {} off on {}.",
            gauge,
            Figure::ratio(off_pct(check)).apart_from(&Figure::bound(tolerance)),
            day
        )),
        Some(_) => agrees(text!("Gauge {} was right when it was checked on {}.", gauge, day)),
    };
    let first = readings.first().filter(|_| worst.is_none()).map(|reading| &reading.place);
    Some(
        judgement
            .finding(Subject::GaugeCheck(gauge.to_string(), day.to_string()))
            .recorded(worst.map(|check| Figure::film(check.reading_m)))
            .recomputed(worst.map(|check| Figure::film(check.reference_m)))
            .called("read", "on a reference of")
            .against(tolerance)
            .from(checks.iter().map(|check| &check.place))
            .from(first),
    )
}
