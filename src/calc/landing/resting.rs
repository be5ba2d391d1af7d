//! The load on the blocks as the water falls, from first touch until the dock is dry.

use super::afloat::{loss_by_kg_m, loss_by_km_m};
use super::turning::{Moment, Turning};

/// What the blocks carry at one water level, and what the water still does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    pub load_t: f64,
    /// Its centre, x, m; `None` while there is no load to speak of.
    pub centre_x_m: Option<f64>,
    /// What the water carries, t; 0 when it no longer wets her.
    pub buoyancy_t: f64,
    /// Moment of that about x = 0, t m.
    pub buoyancy_moment_tm: f64,
}

/// Loads under this part of the weight have no centre worth the name.
const SOME_LOAD: f64 = 1e-3;

impl Turning<'_> {
    /// The load at a water level, of a ship that is landed at a moment of this turning: above that moment's
    /// level she still turns about her knuckle, below it she lies as she did then while the water leaves her.
    /// `None` where the draft lies outside the table and the water still wets her.
    pub fn load(&self, landed: &Moment, water_level_m: f64) -> Option<Load> {
        let afloat = self.afloat();
        if water_level_m >= self.start().water_level_m {
            return Some(
                self.loaded(afloat.displacement_t, afloat.lcg_x_m * afloat.displacement_t),
            );
        }
        if water_level_m > landed.water_level_m {
            let moment = self.at_level(landed, water_level_m)?;
            let buoyancy_t = afloat.displacement_t - moment.upthrust_t;
            let about = afloat.displacement_t * afloat.lcg_x_m;
            return Some(self.loaded(buoyancy_t, about - moment.upthrust_t * self.knuckle().x_m));
        }
        let fallen_m = landed.water_level_m - water_level_m;
        // The keel is nowhere deeper than her ends but by her sag.
        let deepest_m = landed.draft_aft_m.max(landed.draft_forward_m) + (-afloat.hog_m).max(0.0);
        if deepest_m <= fallen_m {
            return Some(self.loaded(0.0, 0.0));
        }
        // LCF and draft depend on each other; a few rounds settle it far within a millimetre.
        let first = afloat.table.at_draft(landed.draft_at_lcf_m)?;
        let slope = landed.trim_m / afloat.perpendiculars.length_m();
        let draft_m =
            |lcf_x_m: f64| landed.draft_at_lcf_m + (first.lcf_x_m - lcf_x_m) * slope - fallen_m;
        let mut row = afloat.table.at_draft(draft_m(first.lcf_x_m))?;
        for _ in 0..20 {
            row = afloat.table.at_draft(draft_m(row.lcf_x_m))?;
        }
        let trim_m = landed.trim_m - afloat.table.trim_m;
        let buoyancy_t = row.displacement_t * afloat.density_ratio();
        let lcb_x_m = row.lcb_x_m - 100.0 * row.mct_tm_per_cm * trim_m / row.displacement_t;
        Some(self.loaded(buoyancy_t, buoyancy_t * lcb_x_m))
    }

    /// GM left under a load by the two ways of counting the loss, m: by KM, by KG (m). `None` where the draft that is left
    /// lies outside the table.
    pub fn gm_m(&self, load: &Load, kg_m: f64) -> Option<[f64; 2]> {
        let afloat = self.afloat();
        let row = afloat.table.at_displacement(load.buoyancy_t / afloat.density_ratio())?;
        let (height_m, weight_t) = (row.km_m - kg_m, afloat.displacement_t);
        Some([
            height_m - loss_by_km_m(load.load_t, row.km_m, weight_t),
            height_m - loss_by_kg_m(load.load_t, kg_m, weight_t),
        ])
    }

    fn loaded(&self, buoyancy_t: f64, buoyancy_moment_tm: f64) -> Load {
        let afloat = self.afloat();
        let weight_t = afloat.displacement_t;
        let load_t = weight_t - buoyancy_t;
        let centre_x_m = (load_t > weight_t * SOME_LOAD)
            .then(|| (weight_t * afloat.lcg_x_m - buoyancy_moment_tm) / load_t);
        Load { load_t, centre_x_m, buoyancy_t, buoyancy_moment_tm }
    }
}
