//! The ship with weights moved before she lands: how she then floats, and by how much they have to be moved.

use super::afloat::{Afloat, straight_drafts};
use crate::calc::formula::Formula;

/// How the ship is predicted that weights were moved on.
pub const MOVED: Formula = Formula {
    name: "afloat after weights moved",
    title: "Drafts, list and GM after weights were moved",
    says: "`W' = W + sum of m`; `x_G' = (W x_G + sum of m x) / W'`; `KG' = (W KG + sum of (m z + i)) / W'`, i the moment \
           of each free surface that arises, less that of each that vanishes; the table at W' gives KM and the change of \
           drafts, which is added to the drafts before; `GM = KM - KG'`; list from the transverse moments over \
           `W' GM`",
    source: "moments about the keel, as in Barrass and Derrett, Ship Stability for Masters and Mates, chapters on the \
             centre of gravity, free surface and trim",
};

/// How the moment is found that trims her as wanted.
pub const WANTED: Formula = Formula {
    name: "moment wanted",
    title: "Moment still wanted for a trim",
    says: "weight moved along her alone: `100 MCT x (trim wanted - trim)`; of water taken into one tank or pumped out of \
           it, the mass at which the table gives that trim",
    source: "moment to change trim; the mass by bisection",
};

/// What was put on and taken off: mass (t) and moments about the origin (t m).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Change {
    pub mass_t: f64,
    pub x_tm: f64,
    pub y_tm: f64,
    /// With the moments of free surfaces.
    pub z_tm: f64,
}

/// The ship after a change.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    pub afloat: Afloat,
    /// KG, free surfaces counted, m; `None` where it was not known before.
    pub kg_m: Option<f64>,
    /// KM less KG, m.
    pub gm_m: Option<f64>,
    /// List, degrees, + to port; `None` where it was not known before, or GM is nil or less.
    pub list_deg: Option<f64>,
}

impl Afloat {
    /// The ship after a change, in water of a density (t/m3), from her KG (m) and list (degrees) before it. `None`
    /// outside the table.
    pub fn after(
        &self,
        change: &Change,
        water_density_t_m3: f64,
        kg_m: Option<f64>,
        list_deg: Option<f64>,
    ) -> Option<Changed> {
        let (weight, mass) = (self.displacement_t, self.displacement_t + change.mass_t);
        let lcg_x_m = (weight * self.lcg_x_m + change.x_tm) / mass;
        let before = straight_drafts(self, weight, self.lcg_x_m)?;
        let mut afloat = Self { water_density_t_m3, displacement_t: mass, lcg_x_m, ..self.clone() };
        let after = straight_drafts(&afloat, mass, lcg_x_m)?;
        afloat.draft_aft_m += after.aft_m - before.aft_m;
        afloat.trim_m += (after.aft_m - before.aft_m) - (after.forward_m - before.forward_m);
        let new_kg_m = kg_m.map(|kg| (weight * kg + change.z_tm) / mass);
        let gm_m = new_kg_m.map(|kg| after.km_m - kg);
        let list_deg = match (kg_m, gm_m, list_deg) {
            (Some(kg), Some(gm), Some(list)) if gm > 0.0 => {
                // Transverse moment as floating before, of a ship of that GM, and what was moved.
                let before_tm = weight * (before.km_m - kg) * libm::tan(list.to_radians());
                Some(libm::atan((before_tm + change.y_tm) / (mass * gm)).to_degrees())
            }
            _ => None,
        };
        Some(Changed { afloat, kg_m: new_kg_m, gm_m, list_deg })
    }

    /// The same ship with another trim (m, + by the stern), weights moved along her alone. `None` outside the table.
    pub fn trimmed(&self, trim_m: f64) -> Option<Self> {
        let moment_tm = self.moment_for_trim_tm(trim_m)?;
        let change = Change { x_tm: -moment_tm, ..Change::default() };
        Some(self.after(&change, self.water_density_t_m3, None, None)?.afloat)
    }

    /// The moment that trims her to a trim (m, + by the stern), t m: + by the stern.
    pub fn moment_for_trim_tm(&self, trim_m: f64) -> Option<f64> {
        let mct = self.row()?.mct_tm_per_cm * self.density_ratio();
        Some(100.0 * mct * (trim_m - self.trim_m))
    }

    /// The mass to take in at x (m), or below 0 to pump out, until her trim is `trim_m`, t. `None` if not found within
    /// `most_t` either way and the table, as where x lies near the LCF.
    pub fn mass_for_trim_t(&self, x_m: f64, trim_m: f64, most_t: f64) -> Option<f64> {
        let past = |mass_t: f64| {
            let change = Change { mass_t, x_tm: mass_t * x_m, ..Change::default() };
            let changed = self.after(&change, self.water_density_t_m3, None, None)?;
            Some(changed.afloat.trim_m - trim_m)
        };
        let now = past(0.0)?;
        if now.abs() < 1e-9 {
            return Some(0.0);
        }
        // Outward in steps, so that the nearest of two such masses is found.
        const STEPS: i32 = 400;
        let step = most_t / f64::from(STEPS);
        for n in 1..=STEPS {
            for way in [1.0, -1.0] {
                let (near, far) = (way * step * f64::from(n - 1), way * step * f64::from(n));
                let Some(beyond) = past(far) else { continue };
                if beyond * now <= 0.0 {
                    return Some(crossing((near, far), |mass| {
                        past(mass).map(|past| past * now > 0.0)
                    }));
                }
            }
        }
        None
    }
}

/// Where between a value at which something holds and one at which it does not it ceases to hold.
pub(super) fn crossing(
    (mut holds, mut fails): (f64, f64),
    is_held: impl Fn(f64) -> Option<bool>,
) -> f64 {
    for _ in 0..60 {
        let middle = (holds + fails) / 2.0;
        if is_held(middle) == Some(true) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    holds
}
