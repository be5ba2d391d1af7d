//! Pits of the plating, and the instruments that gauged it.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::cause;
use super::finding::{Figure, Finding};
use super::judge::{Facts, agrees, beyond_limit, differs, exceeds, incomplete};
use super::naming::count;
use super::recomputed::plating::Strake;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::place::Place;
use crate::records::plating::{Gauging, INSTRUMENTS_SPEC, InstrumentCheck};
use crate::text;
use crate::text::code;

/// Records that a finding of many gaugings names.
const MOST_PLACES: usize = 6;

/// The pits of a strake: none can be deeper than the plate is thick, and the deepest against its limit. A strake without a
/// recorded pit has no such finding.
pub(super) fn pits(project: &Project, strake: &Strake) -> Option<Finding> {
    let all = strake.gaugings.iter().chain(&strake.without_original);
    let all = all.filter_map(|at| project.plating.get(*at));
    let pits: Vec<(&Gauging, f64)> =
        all.filter_map(|gauging| Some((gauging, gauging.pit_depth_m?))).collect();
    let part = |(gauging, depth): &(&Gauging, f64)| {
        depth / gauging.original_m.unwrap_or(gauging.measured_m)
    };
    let deepest =
        *pits.iter().reduce(|known, new| if part(new) > part(known) { new } else { known })?;
    let (gauging, depth_m) = deepest;
    let through: Vec<&(&Gauging, f64)> =
        pits.iter().filter(|(gauging, depth)| *depth >= gauging.measured_m).collect();
    let limit = project.docking.bounds.limit("pit_depth");
    let pct = 100.0 * part(&deepest);
    let deepest_is = text!(
        "the deepest of {} of strake {}, at plate {}, is {}",
        count(pits.len(), "pit"),
        strake.name.as_str(),
        gauging.plate.as_str(),
        Figure::plate(depth_m)
    );
    let judgement = if !through.is_empty() {
        let faults = through.iter().map(|(gauging, depth)| {
            text!(
                "a pit of plate {} is {} deep where {} of steel was measured",
                gauging.plate.as_str(),
                Figure::plate(*depth),
                Figure::plate(gauging.measured_m)
            )
        });
        Facts {
            subject: text!("the pits of strake {}", strake.name.as_str()),
            faults: faults.collect(),
            missing: Vec::new(),
            sound: text!(""),
        }
        .judge()
    } else if let Some(limit) = limit.filter(|limit| exceeds(pct, limit.value)) {
        let shown = Figure::ratio(pct).apart_from(&Figure::bound(limit));
        beyond_limit(text!("{}, {} of the plate.", deepest_is.capitalized(), shown))
    } else {
        agrees(text!("{}, {} of the plate.", deepest_is.capitalized(), Figure::ratio(pct)))
    };
    let wrong = through.first().map_or(gauging, |(gauging, _)| gauging);
    let finding = judgement
        .finding(Subject::PlatePits(strake.name.clone()))
        .recorded(Figure::plate(depth_m))
        .against_any(limit)
        .doubting(&wrong.place);
    Some(finding.from(pits.iter().map(|(gauging, _)| &gauging.place).take(MOST_PLACES)))
}

/// Every instrument on every day on which it gauged plates: whether it was checked, and was right.
pub(super) fn checks(project: &Project) -> Vec<Finding> {
    let Some(tolerance) = project.docking.bounds.tolerance("plate_gauge") else {
        return Vec::new();
    };
    let mut days: BTreeMap<(&str, NaiveDate), Vec<&Gauging>> = BTreeMap::new();
    for gauging in &project.plating {
        if let (Some(instrument), Some(at)) = (&gauging.instrument, gauging.at) {
            days.entry((instrument, at.date_naive())).or_default().push(gauging);
        }
    }
    days.into_iter()
        .map(|((instrument, day), gaugings)| {
            let is_its = |check: &&InstrumentCheck| {
                check.instrument == instrument && check.at.date_naive() == day
            };
            let checks: Vec<&InstrumentCheck> = project.instruments.iter().filter(is_its).collect();
            let off = |check: &InstrumentCheck| (check.reading_m - check.reference_m).abs();
            let worst =
                checks.iter().reduce(|known, new| if off(new) > off(known) { new } else { known });
            let read = count(gaugings.len(), "plate");
            let judgement = match worst {
                None => incomplete(text!(
                    "Instrument {} gauged {} on {}, and no check of it that day is recorded.",
                    instrument,
                    read,
                    day
                )),
                Some(check) if exceeds(off(check), tolerance.value) => differs(text!(
                    "Instrument {} was {} off on {}, when it gauged {}.",
                    instrument,
                    Figure::plate(off(check)),
                    day,
                    read
                )),
                Some(_) => agrees(text!(
                    "Instrument {} was right when it was checked on {}, when it gauged {}.",
                    instrument,
                    day,
                    read
                )),
            };
            let mut finding = judgement
                .finding(Subject::InstrumentCheck(instrument.to_string(), day.to_string()))
                .recorded(worst.map(|check| Figure::plate(check.reading_m)))
                .recomputed(worst.map(|check| Figure::plate(check.reference_m)))
                .called("read", "on a reference of")
                .against(tolerance)
                .from(checks.iter().map(|check| &check.place))
                .from(gaugings.first().map(|gauging| &gauging.place));
            if !project.instruments.iter().any(|check| check.instrument == instrument) {
                let place = Place::file(INSTRUMENTS_SPEC.path);
                let what =
                    text!("{} holds no check of {}.", code(INSTRUMENTS_SPEC.path), instrument);
                cause::unrecorded([&mut finding], &place, &what);
            }
            finding
        })
        .collect()
}
