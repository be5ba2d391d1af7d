//! The ship turning about her knuckle, from first touch to landed fore and aft.

use super::afloat::{Afloat, loss_by_kg_m, loss_by_km_m};
use super::seats::Seat;
use crate::calc::hydrostatics::Row;

/// A moment on the way from first touch to landed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    pub water_level_m: f64,
    /// Trim over the perpendiculars, m.
    pub trim_m: f64,
    pub draft_aft_m: f64,
    pub draft_forward_m: f64,
    /// Draft at the centre of flotation, m.
    pub draft_at_lcf_m: f64,
    /// Upthrust on the knuckle, t.
    pub upthrust_t: f64,
    /// KM at that draft, m.
    pub km_m: f64,
}

impl Moment {
    /// GM left by the two ways of counting the loss, m: by KM, by KG.
    pub fn gm_m(&self, kg_m: f64, displacement_t: f64) -> [f64; 2] {
        let afloat = self.km_m - kg_m;
        [
            afloat - loss_by_km_m(self.upthrust_t, self.km_m, displacement_t),
            afloat - loss_by_kg_m(self.upthrust_t, kg_m, displacement_t),
        ]
    }
}

/// The ship turning about her knuckle.
#[derive(Debug, Clone)]
pub struct Turning<'a> {
    afloat: &'a Afloat,
    knuckle: Seat,
    start_row: Row,
    /// By how much the straight line through her ends lies deeper than a straight ship of this displacement
    /// (a part of the hog, and the scatter of the readings), m: kept all the way.
    ends_deeper_m: f64,
}

impl<'a> Turning<'a> {
    /// Begins at first touch. `None` if her displacement lies outside the table.
    pub fn new(afloat: &'a Afloat, knuckle: Seat) -> Option<Self> {
        let start_row = afloat.row()?;
        let mut turning = Self { afloat, knuckle, start_row, ends_deeper_m: 0.0 };
        turning.ends_deeper_m = afloat.draft_aft_m - turning.at(&start_row).draft_aft_m;
        Some(turning)
    }

    pub fn afloat(&self) -> &'a Afloat {
        self.afloat
    }

    /// Where she turns.
    pub fn knuckle(&self) -> Seat {
        self.knuckle
    }

    /// Equilibrium of heave and trim with the knuckle fixed, for a row of the table: the draft at the
    /// LCF gives displacement and so P; moments then give the trim, and the knuckle the water level.
    fn at(&self, row: &Row) -> Moment {
        let afloat = self.afloat;
        let ratio = afloat.density_ratio();
        let (weight, buoyancy) = (afloat.displacement_t, row.displacement_t * ratio);
        let upthrust_t = weight - buoyancy;
        let moment =
            buoyancy * row.lcb_x_m + upthrust_t * self.knuckle.x_m - weight * afloat.lcg_x_m;
        let trim_m = afloat.table.trim_m + moment / (100.0 * row.mct_tm_per_cm * ratio);
        let per_metre = trim_m / afloat.perpendiculars.length_m();
        let draft = |x_m: f64| {
            row.draft_m + (row.lcf_x_m - x_m) * per_metre + self.ends_deeper_m - afloat.bend_m(x_m)
        };
        Moment {
            water_level_m: self.knuckle.level_m + draft(self.knuckle.x_m),
            trim_m,
            draft_aft_m: draft(afloat.perpendiculars.aft_x_m),
            draft_forward_m: draft(afloat.perpendiculars.forward_x_m),
            draft_at_lcf_m: row.draft_m,
            upthrust_t,
            km_m: row.km_m,
        }
    }

    /// Level of the keel's underside at x (m) at a moment, m, less the keel's rise there.
    pub fn keel_m(&self, moment: &Moment, x_m: f64) -> f64 {
        let afloat = self.afloat;
        let per_metre = moment.trim_m / afloat.perpendiculars.length_m();
        let from_knuckle = per_metre * (x_m - self.knuckle.x_m) + afloat.bend_m(x_m)
            - afloat.bend_m(self.knuckle.x_m);
        self.knuckle.level_m + from_knuckle
    }

    /// First touch, with no upthrust yet.
    pub fn start(&self) -> Moment {
        self.at(&self.start_row)
    }

    /// The moment at which the trim has come to `trim_m`; `None` where the table ends before.
    pub fn at_trim(&self, trim_m: f64) -> Option<Moment> {
        let start = self.start();
        if (start.trim_m - trim_m).abs() < 1e-9 {
            return Some(start);
        }
        self.first(self.afloat.table.drafts_m().0, |moment| {
            (moment.trim_m - trim_m) * (start.trim_m - trim_m) <= 0.0
        })
    }

    /// The moment at which the water has fallen to a level, before a later moment.
    pub fn at_level(&self, later: &Moment, water_level_m: f64) -> Option<Moment> {
        self.first(later.draft_at_lcf_m, |moment| moment.water_level_m <= water_level_m)
    }

    /// The first moment on the way to a draft of which something holds that holds from then on; `None` if it
    /// does not hold at that draft.
    fn first(&self, to_draft_m: f64, holds: impl Fn(&Moment) -> bool) -> Option<Moment> {
        let at = |draft_m: f64| Some(self.at(&self.afloat.table.at_draft(draft_m)?));
        let (mut high, mut low) = (self.start_row.draft_m, to_draft_m);
        if !holds(&at(low)?) {
            return None;
        }
        for _ in 0..80 {
            let middle = (low + high) / 2.0;
            if holds(&at(middle)?) {
                low = middle;
            } else {
                high = middle;
            }
        }
        at((low + high) / 2.0)
    }

    /// `steps` + 1 moments at equal steps of draft, from first touch to a later moment.
    pub fn curve(&self, to: &Moment, steps: usize) -> Vec<Moment> {
        let from = self.start_row.draft_m;
        (0..=steps)
            .filter_map(|step| {
                let part = step as f64 / steps.max(1) as f64;
                let draft = from + part * (to.draft_at_lcf_m - from);
                Some(self.at(&self.afloat.table.at_draft(draft)?))
            })
            .collect()
    }
}
