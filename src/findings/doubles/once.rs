//! Things of which there can be one only, recorded twice: an opening on a spot, a valve's tag, an anode in a place, a plate's
//! thickness at a place, the water's level and a mark's draft at a minute.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::rows::name;
use crate::findings::finding::{Figure, Finding};
use crate::findings::judge::differs;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::openings::{self, Opening};
use crate::records::place::Place;
use crate::records::plating::{self, Anode, Gauging};
use crate::records::water::{self, WaterLevel};
use crate::records::{drafts, entry::Entry};
use crate::text;
use crate::text::{Form, Text, id};

/// How near to each other two things lie on one spot, m: places are written to a centimetre, so that two which are
/// further apart were measured apart.
const ONE_SPOT_M: f64 = 0.010;

/// By how much two gaugings at one place may differ, m: an ultrasonic gauge reads to a tenth of a millimetre, and pitted
/// steel is not the same a millimetre further (common practice, no source).
const GAUGED_M: f64 = 0.000_5;

/// By how much two levels of one minute may differ, m: what the fastest flooding, some 6 m/h, makes within it.
const WITHIN_A_MINUTE_M: f64 = 0.10;

pub(super) fn findings(project: &Project) -> Vec<Finding> {
    let mut found = on_one_spot(project);
    found.extend(tags(project));
    found.extend(anodes(project));
    found.extend(plates(project));
    found.extend(levels(project));
    found.extend(marks(project));
    found
}

fn twice(file: &str, name: String, sentence: Text, later: &Place, first: &Place) -> Finding {
    let subject = Subject::Twice(file.to_string(), name);
    differs(sentence).finding(subject).doubting(later).from([first])
}

/// Two openings of one kind on one spot. One of another kind may lie within the first: an intake in its sea chest.
fn on_one_spot(project: &Project) -> Vec<Finding> {
    let near = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= ONE_SPOT_M,
        _ => true,
    };
    let is_double = |one: &Opening, other: &Opening| {
        let (a, b) = (one.centre, other.centre);
        one.kind == other.kind
            && one.kind != "other"
            && libm::hypot(a.x - b.x, a.y - b.y) <= ONE_SPOT_M
            && near(one.z_m, other.z_m)
    };
    let mut found = Vec::new();
    for (n, other) in project.openings.iter().enumerate() {
        let Some(one) = project.openings[..n].iter().find(|one| is_double(one, other)) else {
            continue;
        };
        let sentence = text!(
            "{} and {} are both a {} at x {} and y {}, where there is room for one: either one of them has the other's \
             place, or one opening is recorded under two names.",
            id(&one.id),
            id(&other.id),
            other.kind,
            Figure::length(other.centre.x),
            Figure::length(other.centre.y)
        );
        let name = format!("{}-{}.spot", one.id, other.id);
        found.push(twice(&openings::SPEC.table_name(), name, sentence, &other.place, &one.place));
    }
    found
}

/// One tag at two openings.
fn tags(project: &Project) -> Vec<Finding> {
    let mut first: BTreeMap<String, &Opening> = BTreeMap::new();
    let mut found = Vec::new();
    for opening in &project.openings {
        let Some(tag) = opening.valve_tag.as_deref() else { continue };
        let plain = tag.to_lowercase().split_whitespace().collect::<String>();
        let Some(one) = first.get(&plain) else {
            first.insert(plain, opening);
            continue;
        };
        let sentence = text!(
            "The valve tag {} stands at {} and at {}: a tag is one valve's, so either it is mistyped, or one valve serves \
             both, which a remark can say.",
            tag,
            id(&one.id),
            id(&opening.id)
        );
        let name = format!("{}-{}.tag", one.id, opening.id);
        let file = openings::SPEC.table_name();
        found.push(twice(&file, name, sentence, &opening.place, &one.place));
    }
    found
}

/// Two anodes of the same masses in one place. Of other masses they may lie over each other, as on a rudder.
fn anodes(project: &Project) -> Vec<Finding> {
    let is_double = |one: &Anode, other: &Anode| {
        one.mass_fitted_t.is_some()
            && one.mass_fitted_t == other.mass_fitted_t
            && one.mass_found_t == other.mass_found_t
            && one
                .hull
                .zip(other.hull)
                .is_some_and(|(a, b)| libm::hypot(a.x - b.x, a.y - b.y) <= ONE_SPOT_M)
    };
    let mut found = Vec::new();
    for (n, other) in project.anodes.iter().enumerate() {
        let Some(one) = project.anodes[..n].iter().find(|one| is_double(one, other)) else {
            continue;
        };
        let sentence = text!(
            "{} and {} are in one place and of the same masses: one of them seems to be a copy of the other.",
            id(&one.id),
            id(&other.id)
        );
        let name = format!("{}-{}.spot", one.id, other.id);
        let file = plating::ANODES_SPEC.table_name();
        found.push(twice(&file, name, sentence, &other.place, &one.place));
    }
    found
}

/// Where a plate was gauged: strake, plate, and x and y in mm.
fn spot(gauging: &Gauging) -> Option<(&str, &str, i64, i64)> {
    let hull = gauging.hull?;
    let to_mm = |m: f64| (m * 1000.0).round() as i64;
    Some((&gauging.strake, &gauging.plate, to_mm(hull.x), to_mm(hull.y)))
}

/// One place of one plate gauged twice. A plate that was found thicker later may have been renewed.
fn plates(project: &Project) -> Vec<Finding> {
    let mut first: BTreeMap<_, &Gauging> = BTreeMap::new();
    let mut found = Vec::new();
    for gauging in &project.plating {
        let Some(at) = spot(gauging) else { continue };
        let Some(one) = first.get(&at) else {
            first.insert(at, gauging);
            continue;
        };
        let differ_m = gauging.measured_m - one.measured_m;
        let again_later = one.at.zip(gauging.at).is_some_and(|(a, b)| a != b);
        let may_be_renewed = again_later && {
            let later_thicker = one.at < gauging.at;
            (differ_m > 0.0) == later_thicker
        };
        let plate = format!("{}.{}", gauging.strake, gauging.plate);
        let sentence = if differ_m.abs() > GAUGED_M && !may_be_renewed {
            text!(
                "Plate {} was gauged twice at one place, {} and {}: both can't be its thickness, and which is meant can't be \
                 told here.",
                id(&plate),
                Figure::plate(one.measured_m),
                Figure::plate(gauging.measured_m)
            )
        } else if differ_m == 0.0 && !again_later {
            text!(
                "Plate {} stands twice with the same place and thickness, {}: one of the two rows seems to be a copy of the \
                 other.",
                id(&plate),
                Figure::plate(gauging.measured_m)
            )
        } else {
            continue;
        };
        let file = plating::SPEC.table_name();
        let name = format!("{plate}.{}.{}", at.2, at.3);
        found.push(twice(&file, name, sentence, &gauging.place, &one.place));
    }
    found
}

/// Two levels of one moment in one position. Of the two, the one that lies further from the readings beside it is doubted.
fn levels(project: &Project) -> Vec<Finding> {
    let mut log: BTreeMap<(&str, DateTime<FixedOffset>), Vec<&WaterLevel>> = BTreeMap::new();
    for water in &project.water {
        log.entry((water.position.as_str(), water.at)).or_default().push(water);
    }
    let mut found = Vec::new();
    for ((position, at), readings) in &log {
        let level = |water: &&&WaterLevel| water.level_m;
        let Some(low) = readings.iter().min_by(|a, b| level(a).total_cmp(&level(b))) else {
            continue;
        };
        let Some(high) = readings.iter().max_by(|a, b| level(a).total_cmp(&level(b))) else {
            continue;
        };
        if high.level_m - low.level_m <= WITHIN_A_MINUTE_M {
            continue;
        }
        let of_position = |key: &&(&str, DateTime<FixedOffset>)| key.0 == *position;
        let before = log.range(..(*position, *at)).map(|(key, _)| key).rfind(of_position);
        let after = log.range((*position, *at)..).map(|(key, _)| key).filter(of_position).nth(1);
        let beside = [before, after].into_iter().flatten().filter_map(|key| log.get(key)?.first());
        let beside: Vec<f64> = beside.map(|water| water.level_m).collect();
        let off = |water: &WaterLevel| {
            beside.iter().map(|level_m| (level_m - water.level_m).abs()).sum::<f64>()
        };
        let (wrong, other) = if off(low) > off(high) { (low, high) } else { (high, low) };
        let sentence = text!(
            "Two levels of the water in {} stand at {}, {} and {}, further apart than the water rises or falls within a \
             minute; the readings beside them fit {}.",
            id(*position),
            *at,
            Figure::length(low.level_m),
            Figure::length(high.level_m),
            Figure::length(other.level_m)
        );
        let name = format!("{position}.{}", at.format("%Y-%m-%dT%H%M"));
        let file = water::SPEC.table_name();
        found.push(twice(&file, name, sentence, &wrong.place, &other.place));
    }
    found
}

/// Two drafts read at one mark at one moment.
fn marks(project: &Project) -> Vec<Finding> {
    let Some(tolerance) = project.docking.bounds.tolerance("draft") else { return Vec::new() };
    let columns = ["position", "occasion", "mark_x", "mark_y", "at"];
    let mut first: BTreeMap<String, &Entry> = BTreeMap::new();
    let mut found = Vec::new();
    for row in super::rows::of(project, &drafts::SPEC) {
        let draft = |row: &Entry| row.get::<f64>(&drafts::DraftReading::draft_m);
        let is_read = super::rows::says(row, &["at"]);
        let Some(again_m) = draft(row).filter(|_| is_read) else { continue };
        let key = name(row, &columns);
        let Some(one) = first.get(&key) else {
            first.insert(key, row);
            continue;
        };
        let Some(first_m) = draft(one) else { continue };
        if (again_m - first_m).abs() <= tolerance.value {
            continue;
        }
        let sentence = text!(
            "One draft mark was read twice at one moment, {} and {}: both can't be right.",
            Figure::Measure(Form::Draft.measure(first_m)),
            Figure::Measure(Form::Draft.measure(again_m))
        );
        let file = drafts::SPEC.table_name();
        let finding = twice(&file, key, sentence, &row.place, &one.place).against(tolerance);
        found.push(finding);
    }
    found
}
