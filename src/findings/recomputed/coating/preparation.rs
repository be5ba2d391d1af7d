//! How the steel was prepared before each application whose coat asks for it.

use super::{What, ZoneHistory};
use crate::calc::plane::{area_m2, common, union, wider_than, without};
use crate::records::Project;
use crate::records::scheme::SchemeCoat;

/// What was prepared for one application.
#[derive(Debug, Clone, Default)]
pub struct Prepared {
    /// The scheme's coat, by its place in the project's list; `None` where the scheme asks for nothing
    /// before this coat.
    pub asked: Option<usize>,
    /// The checks that count, by their places in the project's list in order of time: in the same dry
    /// spell, before the start, on some of the steel that was coated.
    pub checks: Vec<usize>,
    /// Whether steel was coated with no such check that prepares it, slivers aside. Where the scheme asks for
    /// a grade, only a check that states one does: a wash does not.
    pub uncovered: bool,
    /// How much, m2: along the plating where the zone states its true area, else in plan; `None` for a side
    /// without one.
    pub uncovered_m2: Option<f64>,
    /// Whether some of that was prepared afterwards.
    pub afterwards: bool,
    /// From the last check that prepares the steel to the start of the coat, h.
    pub age_h: Option<f64>,
    /// That check, by its place in the project's list.
    pub last: Option<usize>,
}

/// What was prepared for every application, in the order of the project's list.
pub(super) fn prepared(project: &Project, zones: &[ZoneHistory]) -> Vec<Prepared> {
    (0..project.coats.len()).map(|coat| of(project, zones, coat).unwrap_or_default()).collect()
}

fn of(project: &Project, zones: &[ZoneHistory], coat: usize) -> Option<Prepared> {
    let application = &project.coats[coat];
    let asks = |row: &SchemeCoat| {
        row.zone == application.zone && row.coat == application.coat && row.before.asks()
    };
    let asked = project.scheme.iter().position(asks)?;
    let zone = &zones[project.zones.iter().position(|zone| zone.id == application.zone)?];
    let job = zone.what.iter().position(|what| *what == What::Coat(coat))?;
    let done = &zone.steel.as_ref()?.done;
    let (got, stand) = (&done[job].got, done[job].stand?);
    let began = zone.jobs[job].from_h;
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (other, what) in zone.what.iter().enumerate() {
        let What::Preparation(check) = *what else { continue };
        if done[other].stand != Some(stand) || area_m2(&common(&done[other].got, got)) <= 0.0 {
            continue;
        }
        let list = if zone.jobs[other].from_h <= began { &mut before } else { &mut after };
        list.push((zone.jobs[other].from_h, check, other));
    }
    before.sort_by(|a: &(f64, usize, usize), b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let graded = project.scheme[asked].before.grade.is_some();
    let prepares = |(_, check, _): &&(f64, usize, usize)| {
        !graded || project.preparation[*check].grade.is_some()
    };
    let shape = |list: &[(f64, usize, usize)]| {
        union(list.iter().filter(prepares).flat_map(|(.., job)| &done[*job].got.0))
    };
    let feathering = super::feathering_m(project);
    let uncovered = wider_than(&without(got, &shape(&before)), feathering);
    let last = before.iter().rev().find(prepares);
    Some(Prepared {
        asked: Some(asked),
        age_h: last.map(|(at, ..)| began - at),
        last: last.map(|(_, check, _)| *check),
        afterwards: !common(&uncovered, &shape(&after)).0.is_empty(),
        uncovered: !uncovered.0.is_empty(),
        uncovered_m2: zone.true_factor.map(|factor| area_m2(&uncovered) * factor),
        checks: before.into_iter().map(|(_, check, _)| check).collect(),
    })
}
