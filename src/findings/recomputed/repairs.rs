//! Repairs of the shell behind coats that had been finished: which of them were put on again.

use geo::MultiPolygon;

use super::coating::{What, ZoneHistory, feathering_m, hours};
use crate::calc::plane::{area_m2, common, union, wider_than, without};
use crate::records::Project;
use crate::records::repairs::Repair;

/// A repair, and the coats on the steel that it touched.
#[derive(Debug, Clone, Default)]
pub struct Repaired {
    /// Coats that were finished there before it ended, by their places in the project's list.
    pub before: Vec<usize>,
    /// Coats that were put on there afterwards, likewise.
    pub after: Vec<usize>,
    /// Numbers of the coats that it burnt and that are not recorded again on all of that steel.
    pub missing: Vec<i64>,
    /// On how much of it not, m2 in plan; `None` where the steel is not placed.
    pub missing_m2: Option<f64>,
}

/// Every repair, in the order of the project's list; `None` where its time or its zone is not recorded.
pub(super) fn repairs(project: &Project, zones: &[ZoneHistory]) -> Vec<Option<Repaired>> {
    project.repairs.iter().map(|repair| repaired(project, zones, repair)).collect()
}

fn repaired(project: &Project, zones: &[ZoneHistory], repair: &Repair) -> Option<Repaired> {
    let zone = project.zones.iter().position(|zone| Some(&zone.id) == repair.zone.as_ref())?;
    let history = &zones[zone];
    let ended_h = hours(repair.ended.or(repair.began)?);
    let began_h = hours(repair.began.or(repair.ended)?);
    let done = &history.steel.as_ref()?.done;
    // A side has no plan: whatever was put on it anywhere may be on this steel.
    let touched = match (&history.shape, &repair.touched) {
        (Some(shape), Some(touched)) => Some(common(touched, shape)),
        _ => None,
    };
    let on_it = |job: usize| match &touched {
        Some(touched) => common(&done[job].got, touched),
        None => done[job].got.clone(),
    };
    let mut found = Repaired::default();
    let mut burnt: Vec<(i64, MultiPolygon<f64>)> = Vec::new();
    for (at, (what, job)) in history.what.iter().zip(&history.jobs).enumerate() {
        let (What::Coat(coat), Some(number)) = (*what, job.coat) else { continue };
        let reached = on_it(at);
        if area_m2(&reached) <= 0.0 {
            continue;
        }
        if job.to_h <= began_h {
            found.before.push(coat);
            burnt.push((number, reached));
        } else if job.from_h >= ended_h {
            found.after.push(coat);
        }
    }
    let mut numbers: Vec<i64> = burnt.iter().map(|(number, _)| *number).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let again = |number: i64| {
        let jobs = history.jobs.iter().enumerate();
        let later = jobs.filter(|(_, job)| job.coat == Some(number) && job.from_h >= ended_h);
        let later: Vec<_> = later.flat_map(|(at, _)| on_it(at).0).collect();
        union(&later)
    };
    let mut bare: Vec<_> = Vec::new();
    for number in numbers {
        let of_it = burnt.iter().filter(|(other, _)| *other == number);
        let lay: Vec<_> = of_it.flat_map(|(_, shape)| shape.0.clone()).collect();
        let lacks = wider_than(&without(&union(&lay), &again(number)), feathering_m(project));
        if !lacks.0.is_empty() {
            found.missing.push(number);
            bare.extend(lacks.0);
        }
    }
    found.missing_m2 = touched.map(|_| area_m2(&union(&bare)));
    Some(found)
}
