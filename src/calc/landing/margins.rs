//! What comes after: the draft at instability, and the load as the water falls.

use super::Afloat;
use super::seats::Line;

/// The draft at instability (m, at the LCF): that at which GM would be nil. KG in m; `None` if that lies outside the table, or
/// if GM is nil or less already.
pub fn draft_at_instability_m(afloat: &Afloat, kg_m: f64) -> Option<f64> {
    let ratio = afloat.density_ratio();
    let left = |draft: f64| -> Option<f64> {
        let row = afloat.table.at_draft(draft)?;
        Some(row.displacement_t * ratio * row.km_m - afloat.displacement_t * kg_m)
    };
    let start = afloat.row()?.draft_m;
    let least = afloat.table.drafts_m().0;
    if left(start)? <= 0.0 {
        return None;
    }
    // The product need not fall all the way: the first crossing from above counts.
    const STEPS: usize = 400;
    let at = |step: usize| start + (least - start) * step as f64 / STEPS as f64;
    let crossed =
        (1..=STEPS).find(|step| left(at(*step).max(least)).is_some_and(|left| left <= 0.0))?;
    let (mut high, mut low) = (at(crossed - 1), at(crossed).max(least));
    for _ in 0..80 {
        let middle = (low + high) / 2.0;
        if left(middle)? <= 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some((low + high) / 2.0)
}

/// Load on the blocks, t, and its centre, x, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Load, t.
    pub load_t: f64,
    /// Its centre, x, m; `None` while there is no load to speak of.
    pub centre_x_m: Option<f64>,
}

/// The load of a landed ship at a water level: she rests along `line`. `None` where the draft lies
/// outside the table and the water still wets her.
pub fn load_landed(afloat: &Afloat, line: &Line, water_level_m: f64) -> Option<Load> {
    let weight = afloat.displacement_t;
    let ends = [afloat.perpendiculars.aft_x_m, afloat.perpendiculars.forward_x_m];
    if ends.iter().all(|x| water_level_m <= line.at_m(*x)) {
        return Some(Load { load_t: weight, centre_x_m: Some(afloat.lcg_x_m) });
    }
    // LCF and draft depend on each other; a few rounds settle it far within a millimetre.
    let mut lcf = afloat.perpendiculars.amidships_x_m();
    let mut row = afloat.table.at_draft(water_level_m - line.at_m(lcf))?;
    for _ in 0..20 {
        lcf = row.lcf_x_m;
        row = afloat.table.at_draft(water_level_m - line.at_m(lcf))?;
    }
    let trim = line.slope * afloat.perpendiculars.length_m() - afloat.table.trim_m;
    let buoyancy = row.displacement_t * afloat.density_ratio();
    let lcb = row.lcb_x_m - 100.0 * row.mct_tm_per_cm * trim / row.displacement_t;
    let load_t = weight - buoyancy;
    let centre_x_m =
        (load_t > weight * 1e-3).then(|| (weight * afloat.lcg_x_m - buoyancy * lcb) / load_t);
    Some(Load { load_t, centre_x_m })
}
