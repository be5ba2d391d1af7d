//! The ship afloat over the blocks, and the formulas of landing in closed form.

use crate::calc::drafts::Perpendiculars;
use crate::calc::formula::Formula;
use crate::calc::hydrostatics::{Row, Table};

pub const FIRST_TOUCH: Formula = Formula {
    name: "first touch",
    title: "First touch and the knuckle",
    says: "the keel touches at the block where top - keel rise + draft is greatest, when the water \
           stands at that level, the draft that of the hogged or sagged keel; that block is the \
           knuckle block, the part of the keel on it the knuckle. Where it lies abaft the LCF her bow comes \
           down as she turns about it, where it lies forward of it her stern; the next block to touch on that \
           side is the second",
    source: "plane geometry of a rigid keel",
};

/// How the trim to be taken off is found.
pub const RELATIVE_TRIM: Formula = Formula {
    name: "trim relative to the blocks",
    title: "Trim relative to the line of the blocks",
    says: "`trim - L x slope` of the least-squares line through (top - keel rise) of the keel blocks, + by \
           the stern; the dock's declivity is in the tops, the keel's own line in the rise",
    source: "plane geometry, least squares",
};

/// How the upthrust at the critical instant is found.
pub const UPTHRUST: Formula = Formula {
    name: "upthrust at the critical instant",
    title: "Upthrust on the knuckle at the critical instant",
    says: "`P = (MCT x trim) / l`, trim in cm relative to the blocks, l from LCF to knuckle; and, exactly, \
           by heave and trim equilibrium with the knuckle fixed. The instant is that at which her trim is \
           that of the line of the blocks, or, where she turns away from that, at which she meets a block \
           beyond the LCF",
    source: "Barrass and Derrett, Ship Stability for Masters and Mates, chapter on dry-docking",
};

/// How the loss of stability is found.
pub const LOSS_OF_GM: Formula = Formula {
    name: "virtual loss of GM",
    title: "Virtual loss of metacentric height on the knuckle",
    says: "`(P x KM) / W`, and `(P x KG) / (W - P)`; `GM left = KM - KG - loss`, KM at the draft of the \
           moment; the smaller one counts",
    source: "Barrass and Derrett, Ship Stability for Masters and Mates, chapter on dry-docking",
};

/// How the draft at instability is found.
pub const INSTABILITY: Formula = Formula {
    name: "draft at instability",
    title: "Draft at instability, at which the metacentric height would be nil",
    says: "the draft at which `(W - P) KM = W KG`, `P = W - displacement`: both formulas of the virtual loss \
           give nil there",
    source: "from the formulas of the virtual loss of GM",
};

/// How the load after landing is found.
pub const LOAD_LANDED: Formula = Formula {
    name: "load on the blocks",
    title: "Load on the blocks as the water falls",
    says: "`W - displacement` at the draft that is left, about W x centre of gravity - displacement x centre \
           of buoyancy: until she is landed that is P on the knuckle; from then on she lies as she did at \
           that instant, and the draft is less by as much as the water fell; TPC x fall is the first term of \
           what is added",
    source: "equilibrium; Barrass and Derrett, chapter on dry-docking, for the first term",
};

/// Upthrust P, t, from MCT (t m/cm), trim to be taken off (cm), distance of the LCF from the knuckle (m).
pub fn upthrust_t(mct_tm_per_cm: f64, trim_cm: f64, lever_m: f64) -> f64 {
    mct_tm_per_cm * trim_cm / lever_m
}

/// Virtual loss of GM, m, as a fall of the metacentre: P (t), KM (m), displacement before (t).
pub fn loss_by_km_m(upthrust_t: f64, km_m: f64, displacement_t: f64) -> f64 {
    upthrust_t * km_m / displacement_t
}

/// Virtual loss of GM, m, as a rise of the centre of gravity: P (t), KG (m), displacement before (t).
pub fn loss_by_kg_m(upthrust_t: f64, kg_m: f64, displacement_t: f64) -> f64 {
    upthrust_t * kg_m / (displacement_t - upthrust_t)
}

/// Upthrust, t, of a landed ship after the water fell: TPC (t/cm), fall (cm). The first term only.
pub fn upthrust_by_fall_t(tpc_t_per_cm: f64, fall_cm: f64) -> f64 {
    tpc_t_per_cm * fall_cm
}

/// The ship as she floated before landing.
#[derive(Debug, Clone, PartialEq)]
pub struct Afloat {
    pub perpendiculars: Perpendiculars,
    pub table: Table,
    /// Density of the dock's water, t/m3.
    pub water_density_t_m3: f64,
    /// Displacement W, t.
    pub displacement_t: f64,
    /// Longitudinal centre of gravity, x, m.
    pub lcg_x_m: f64,
    pub draft_aft_m: f64,
    /// Trim over the perpendiculars, m, + by the stern.
    pub trim_m: f64,
    /// Hog, m, sag negative: her keel's shape until the dock is dry. 0 where no draft amidships was read.
    pub hog_m: f64,
}

impl Afloat {
    pub(super) fn density_ratio(&self) -> f64 {
        self.water_density_t_m3 / self.table.water_density_t_m3
    }

    /// Draft of her keel at x as she floats, hog or sag counted, m.
    pub fn draft_m(&self, x_m: f64) -> f64 {
        self.draft_aft_m
            - self.trim_m * (x_m - self.perpendiculars.aft_x_m) / self.perpendiculars.length_m()
            - self.bend_m(x_m)
    }

    /// How far her keel lies above the straight line through its ends at x, m.
    pub(super) fn bend_m(&self, x_m: f64) -> f64 {
        self.perpendiculars.hog_at_m(self.hog_m, x_m)
    }

    /// Whether her bow comes down as she turns about a knuckle at that x (m), since it lies abaft the LCF; else her
    /// stern does. `None` outside the table.
    pub(super) fn bow_comes_down(&self, knuckle_x_m: f64) -> Option<bool> {
        Some(knuckle_x_m <= self.row()?.lcf_x_m)
    }

    /// The table's row at her displacement, in the table's water; `None` outside the table.
    pub fn row(&self) -> Option<Row> {
        self.table.at_displacement(self.displacement_t / self.density_ratio())
    }
}

/// Drafts of a straight ship at the perpendiculars, m, and KM there, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightDrafts {
    pub aft_m: f64,
    pub forward_m: f64,
    /// KM at the draft at the LCF.
    pub km_m: f64,
}

/// How the drafts of a changed ship are predicted.
pub const LIFT_OFF: Formula = Formula {
    name: "drafts after weights moved",
    title: "Drafts when she lifts off",
    says: "table at the new displacement; `trim = trim of the table + (displacement (x_LCB - x_G)) / (100 \
           MCT)`; `draft at AP = draft at LCF + (trim (x_LCF - x_AP)) / L`; the change from the same \
           reckoning before landing is added to the drafts read then; list from the transverse moments and \
           the new GM",
    source: "moment to change trim and metacentric height, as in Barrass and Derrett, Ship Stability for \
             Masters and Mates",
};

/// Drafts of a straight ship of a displacement (t) and centre of gravity (x, m) in the water of `like`;
/// `None` outside the table.
pub fn straight_drafts(like: &Afloat, displacement_t: f64, lcg_x_m: f64) -> Option<StraightDrafts> {
    let row = like.table.at_displacement(displacement_t / like.density_ratio())?;
    let trim = like.table.trim_m
        + row.displacement_t * (row.lcb_x_m - lcg_x_m) / (100.0 * row.mct_tm_per_cm);
    let length = like.perpendiculars.length_m();
    let at = |x: f64| row.draft_m + trim * (row.lcf_x_m - x) / length;
    Some(StraightDrafts {
        aft_m: at(like.perpendiculars.aft_x_m),
        forward_m: at(like.perpendiculars.forward_x_m),
        km_m: row.km_m,
    })
}
