//! How far she is from having no stability left.

use super::afloat::Afloat;

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
