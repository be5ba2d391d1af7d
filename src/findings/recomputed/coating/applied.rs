//! Each application in figures: how much steel it claims and reached, on which blocks, and the paint that takes.

use geo::MultiPolygon;

use super::{ZoneHistory, nominal_dft_m};
use crate::calc::exposure::Hidden;
use crate::calc::paint::{dry_from_wet_m, expected_l, used_pct};
use crate::calc::plane::area_m2;
use crate::records::Project;
use crate::records::coats::Application;

/// An application in figures, for findings, report and comparison alike. Areas are in m2 along the plating
/// where the zone states its true area, and else in plan; `None` where the steel can't be placed or
/// measured.
#[derive(Debug, Clone, Default)]
pub struct Applied {
    /// What it claims, within its zone.
    pub claimed_m2: Option<f64>,
    /// What it reached: claimed, free of blocks and dry from start to finish.
    pub reached_m2: Option<f64>,
    /// What it claims where blocks stood, without slivers.
    pub on_blocks_m2: Option<f64>,
    /// What it claims outside its zone.
    pub outside_m2: Option<f64>,
    /// What it reached that had not got the coat before it, without slivers.
    pub lacking_m2: Option<f64>,
    /// The blocks that stood on what it claims, by their places in the project's list.
    pub blocks: Vec<usize>,
    /// The scheme's row for it, by its place in the project's list.
    pub scheme: Option<usize>,
    /// Nominal dry film of this coat, m.
    pub nominal_m: Option<f64>,
    /// Volume solids of its product, per cent.
    pub volume_solids_pct: Option<f64>,
    /// Paint that the steel it reached takes at the nominal film, l; `None` too where it reached so little
    /// that it takes none worth measuring.
    pub expected_l: Option<f64>,
    /// Paint used in per cent of that.
    pub used_pct: Option<f64>,
    /// Dry film that its wet film leaves, m.
    pub dry_from_wet_m: Option<f64>,
}

/// Steel that takes no paint worth measuring, m2: five square centimetres, what prints as 0.000.
pub const TOO_LITTLE_M2: f64 = 0.0005;

impl Applied {
    /// Whether it claims no steel, or too little to be meant.
    pub fn claims_nothing(&self) -> bool {
        self.claimed_m2.is_some_and(|area| area < TOO_LITTLE_M2)
    }
}

/// Every application in figures, in the order of the project's list.
pub(super) fn applied(project: &Project, zones: &[ZoneHistory], hidden: &[Hidden]) -> Vec<Applied> {
    let coats = project.coats.iter().enumerate();
    coats.map(|(at, coat)| of(project, zones, hidden, at, coat)).collect()
}

fn of(
    project: &Project,
    zones: &[ZoneHistory],
    hidden: &[Hidden],
    at: usize,
    coat: &Application,
) -> Applied {
    let product = project.products.product(&coat.product);
    let scheme =
        project.scheme.iter().position(|row| row.zone == coat.zone && row.coat == coat.coat);
    let nominal_m = match scheme {
        Some(row) => nominal_dft_m(project, &project.scheme[row]),
        None => product.and_then(|product| product.nominal_dft_m),
    };
    let solids = product.and_then(|product| product.volume_solids_pct);
    let mut applied = Applied {
        scheme,
        nominal_m,
        volume_solids_pct: solids,
        dry_from_wet_m: coat.wet_film_m.zip(solids).and_then(|(wet, pct)| dry_from_wet_m(wet, pct)),
        ..Applied::default()
    };
    let zone = project.zones.iter().position(|zone| zone.id == coat.zone);
    let Some((history, done)) = zone.and_then(|zone| Some((&zones[zone], zones[zone].done(at)?)))
    else {
        return applied;
    };
    applied.blocks = blocks_on(&done.on_blocks, done.stand.and_then(|stand| hidden.get(stand)));
    let Some(factor) = history.true_factor else { return applied };
    let area = |shape: &MultiPolygon<f64>| Some(area_m2(shape) * factor);
    applied.claimed_m2 = area(&done.claimed);
    applied.reached_m2 = area(&done.got);
    applied.on_blocks_m2 = area(&done.on_blocks);
    applied.outside_m2 = area(&done.outside);
    applied.lacking_m2 = area(&done.lacking);
    applied.expected_l = (applied.reached_m2.filter(|reached| *reached >= TOO_LITTLE_M2))
        .and_then(|reached| expected_l(reached, nominal_m?, solids?));
    applied.used_pct =
        coat.used_l.zip(applied.expected_l).and_then(|(used, takes)| used_pct(used, takes));
    applied
}

/// The blocks of a position that stood on a shape.
fn blocks_on(shape: &MultiPolygon<f64>, hidden: Option<&Hidden>) -> Vec<usize> {
    hidden.map_or_else(Vec::new, |hidden| hidden.hiding(shape))
}
