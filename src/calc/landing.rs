//! From first touch to landed: the knuckle, the upthrust on it, and what that does to stability.
//!
//! The keel is taken as rigid. Levels are above the dock's level datum. A block's *seat* is the level at
//! which the base line (z = 0) stands when the keel rests on it: the block's top less the keel's rise.

use super::drafts::Perpendiculars;
use super::formula::Formula;
use super::hydrostatics::{Row, Table};

/// How first touch is found.
pub const FIRST_TOUCH: Formula = Formula {
    name: "first touch",
    title: "First touch and the knuckle",
    says: "the keel touches at the block where top - keel rise + draft is greatest, when the water \
           stands at that level; that block is the knuckle, the next to touch as she turns about it is \
           the second",
    source: "plane geometry of a rigid keel",
};

/// How the trim to be taken off is found.
pub const RELATIVE_TRIM: Formula = Formula {
    name: "trim relative to the blocks",
    title: "Trim relative to the line of the blocks",
    says: "trim - L x slope of the least-squares line through (top - keel rise) of the keel blocks, \
           + by the stern; the dock's declivity is in the tops, the keel's own line in the rise",
    source: "plane geometry, least squares",
};

/// How the upthrust at the critical instant is found.
pub const UPTHRUST: Formula = Formula {
    name: "upthrust at the critical instant",
    title: "Upthrust on the knuckle at the critical instant",
    says: "P = MCT x trim / l, trim in cm relative to the blocks, l from LCF to knuckle; and, exactly, by \
           heave and trim equilibrium with the knuckle fixed",
    source: "Barrass and Derrett, Ship Stability for Masters and Mates, chapter on dry-docking",
};

/// How the loss of stability is found.
pub const LOSS_OF_GM: Formula = Formula {
    name: "virtual loss of GM",
    title: "Virtual loss of metacentric height on the knuckle",
    says: "P x KM / W, and P x KG / (W - P); GM left = KM - KG - loss, KM at the draft of the moment; the \
           smaller one counts",
    source: "Barrass and Derrett, Ship Stability for Masters and Mates, chapter on dry-docking",
};

/// How the draft at which GM would be nil is found.
pub const NIL_GM: Formula = Formula {
    name: "draft of nil GM",
    title: "Draft at which the metacentric height would be nil",
    says: "the draft at which (W - P) KM = W KG, P = W - displacement: both formulas of the virtual loss \
           give nil there",
    source: "from the formulas of the virtual loss of GM",
};

/// How the load after landing is found.
pub const LOAD_LANDED: Formula = Formula {
    name: "load on the blocks",
    title: "Load on the blocks as the water falls",
    says: "W - displacement at the draft to which she is uncovered, about W x centre of gravity - \
           displacement x centre of buoyancy; TPC x fall is its first term",
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
    /// Her perpendiculars.
    pub perpendiculars: Perpendiculars,
    /// Her hydrostatic table.
    pub table: Table,
    /// Density of the dock's water, t/m3.
    pub water_density_t_m3: f64,
    /// Displacement W, t.
    pub displacement_t: f64,
    /// Longitudinal centre of gravity, x, m.
    pub lcg_x_m: f64,
    /// Draft at the aft perpendicular, m.
    pub draft_aft_m: f64,
    /// Trim over the perpendiculars, m, + by the stern.
    pub trim_m: f64,
}

impl Afloat {
    fn density_ratio(&self) -> f64 {
        self.water_density_t_m3 / self.table.water_density_t_m3
    }

    fn draft_m(&self, x_m: f64) -> f64 {
        self.draft_aft_m
            - self.trim_m * (x_m - self.perpendiculars.aft_x_m) / self.perpendiculars.length_m()
    }

    /// The table's row at her displacement, in the table's water; `None` outside the table.
    pub fn row(&self) -> Option<Row> {
        self.table.at_displacement(self.displacement_t / self.density_ratio())
    }
}

/// Drafts of a straight ship at the perpendiculars, m, and KM there, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightDrafts {
    /// At the aft perpendicular.
    pub aft_m: f64,
    /// At the forward perpendicular.
    pub forward_m: f64,
    /// KM at the draft at the LCF.
    pub km_m: f64,
}

/// How the drafts of a changed ship are predicted.
pub const LIFT_OFF: Formula = Formula {
    name: "drafts after weights moved",
    title: "Drafts when she lifts off",
    says: "table at the new displacement; trim = table's trim + displacement (x LCB - x G) / (100 MCT); \
           draft at AP = draft at LCF + trim (x LCF - x AP) / L; the change from the same reckoning before \
           landing is added to the drafts read then; list from the transverse moments and the new GM",
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

/// A place where the keel can land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// x in hull axes, m.
    pub x_m: f64,
    /// Top of the block less the rise of the keel there, m above the dock's level datum.
    pub level_m: f64,
}

/// The straight line through seats: level = at_zero + slope * x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Level at x = 0, m.
    pub at_zero_m: f64,
    /// Rise toward the bow, m per m.
    pub slope: f64,
}

impl Line {
    /// Its level at a place, m.
    pub fn at_m(&self, x_m: f64) -> f64 {
        self.at_zero_m + self.slope * x_m
    }
}

/// The least-squares line through the seats; `None` with fewer than two places along the ship.
pub fn line_of(seats: &[Seat]) -> Option<Line> {
    let count = seats.len() as f64;
    let mean = |of: fn(&Seat) -> f64| seats.iter().map(of).sum::<f64>() / count;
    let (x, level) = (mean(|seat| seat.x_m), mean(|seat| seat.level_m));
    let (squares, products) = seats.iter().fold((0.0, 0.0), |(squares, products), seat| {
        let from = seat.x_m - x;
        (squares + from * from, products + from * (seat.level_m - level))
    });
    (seats.len() >= 2 && squares > 1e-6).then(|| {
        let slope = products / squares;
        Line { at_zero_m: level - slope * x, slope }
    })
}

/// Where and when she touches first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// The seat, by its number in the caller's list.
    pub seat: usize,
    /// Water level at that moment, m.
    pub water_level_m: f64,
}

/// First touch: the seat that the falling keel meets first. Of seats met together the first counts.
/// `None` without seats.
pub fn first_touch(afloat: &Afloat, seats: &[Seat]) -> Option<Touch> {
    let mut found: Option<Touch> = None;
    for (seat, place) in seats.iter().enumerate() {
        let water_level_m = place.level_m + afloat.draft_m(place.x_m);
        if found.is_none_or(|touch| water_level_m > touch.water_level_m) {
            found = Some(Touch { seat, water_level_m });
        }
    }
    found
}

/// The second seat that the keel meets as she turns about the knuckle and takes off her trim, and the
/// trim (m) at which she meets it; `None` if she meets no other on the side to which she turns.
pub fn second_touch(
    afloat: &Afloat,
    seats: &[Seat],
    knuckle: usize,
    line: &Line,
) -> Option<(usize, f64)> {
    let length = afloat.perpendiculars.length_m();
    let at = seats.get(knuckle)?;
    let by_stern = afloat.trim_m >= line.slope * length;
    let mut found: Option<(usize, f64)> = None;
    for (number, seat) in seats.iter().enumerate() {
        let ahead = seat.x_m - at.x_m;
        // Trimmed by the stern the bow comes down: only what lies forward of the knuckle is met.
        if ahead.abs() < 1e-6 || (ahead > 0.0) != by_stern {
            continue;
        }
        let trim = length * (seat.level_m - at.level_m) / ahead;
        let sooner = |other: f64| if by_stern { trim > other } else { trim < other };
        if found.is_none_or(|(_, other)| sooner(other)) {
            found = Some((number, trim));
        }
    }
    found
}

/// A moment on the way from first touch to landed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Water level, m.
    pub water_level_m: f64,
    /// Trim over the perpendiculars, m.
    pub trim_m: f64,
    /// Draft at the aft perpendicular, m.
    pub draft_aft_m: f64,
    /// Draft at the forward perpendicular, m.
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

    /// The smaller of the two, m.
    pub fn least_gm_m(&self, kg_m: f64, displacement_t: f64) -> f64 {
        let [by_km, by_kg] = self.gm_m(kg_m, displacement_t);
        by_km.min(by_kg)
    }
}

/// The ship turning about her knuckle.
#[derive(Debug, Clone)]
pub struct Turning<'a> {
    afloat: &'a Afloat,
    knuckle: Seat,
    start_row: Row,
    /// What the measured draft at the knuckle exceeds that of a straight ship of this displacement by
    /// (hog, and the scatter of the readings), m: kept all the way.
    excess_m: f64,
}

impl<'a> Turning<'a> {
    /// Begins at first touch. `None` if her displacement lies outside the table.
    pub fn new(afloat: &'a Afloat, knuckle: Seat) -> Option<Self> {
        let start_row = afloat.row()?;
        let mut turning = Self { afloat, knuckle, start_row, excess_m: 0.0 };
        let straight = turning.at(&start_row);
        turning.excess_m = afloat.draft_m(knuckle.x_m) - (straight.water_level_m - knuckle.level_m);
        Some(turning)
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
        let draft = |x_m: f64| row.draft_m + (row.lcf_x_m - x_m) * per_metre + self.excess_m;
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

    /// First touch, with no upthrust yet.
    pub fn start(&self) -> Moment {
        self.at(&self.start_row)
    }

    /// The moment at which the trim has come to `trim_m`; `None` where the table ends before.
    pub fn at_trim(&self, trim_m: f64) -> Option<Moment> {
        let start = self.start();
        let mut high = self.start_row.draft_m;
        let mut low = self.afloat.table.drafts_m().0;
        let past = |draft: f64| -> Option<bool> {
            let moment = self.at(&self.afloat.table.at_draft(draft)?);
            Some((moment.trim_m - trim_m) * (start.trim_m - trim_m) <= 0.0)
        };
        if (start.trim_m - trim_m).abs() < 1e-9 {
            return Some(start);
        }
        if !past(low)? {
            return None;
        }
        for _ in 0..80 {
            let middle = (low + high) / 2.0;
            if past(middle)? {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(self.at(&self.afloat.table.at_draft((low + high) / 2.0)?))
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

/// The draft (m, at the LCF) at which GM would be nil, KG in m; `None` if that lies outside the table, or
/// if GM is nil or less already.
pub fn draft_of_nil_gm_m(afloat: &Afloat, kg_m: f64) -> Option<f64> {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calc::drafts::lcg_x_m;

    /// A box of 100 m by 15 m in sea water, drafts 1 m to 6 m.
    fn box_table() -> Table {
        let rows = (0..=500)
            .map(|n| {
                let draft_m = 1.0 + f64::from(n) * 0.01;
                let displacement_t = 100.0 * 15.0 * draft_m * 1.025;
                let bm_l = 100.0 * 100.0 / (12.0 * draft_m);
                Row {
                    draft_m,
                    displacement_t,
                    lcb_x_m: 50.0,
                    lcf_x_m: 50.0,
                    tpc_t_per_cm: 15.375,
                    mct_tm_per_cm: displacement_t * bm_l / (100.0 * 100.0),
                    km_m: draft_m / 2.0 + 15.0 * 15.0 / (12.0 * draft_m),
                }
            })
            .collect();
        match Table::new(rows, 1.025, 0.0) {
            Ok(table) => table,
            Err(wrong) => panic!("{wrong:?}"),
        }
    }

    fn afloat(draft_mean: f64, trim_m: f64) -> Afloat {
        let table = box_table();
        let Some(row) = table.at_draft(draft_mean) else { panic!("outside") };
        Afloat {
            perpendiculars: Perpendiculars { aft_x_m: 0.0, forward_x_m: 100.0 },
            water_density_t_m3: 1.025,
            displacement_t: row.displacement_t,
            lcg_x_m: lcg_x_m(50.0, row.mct_tm_per_cm, trim_m, row.displacement_t),
            draft_aft_m: draft_mean + trim_m / 2.0,
            trim_m,
            table,
        }
    }

    fn flat_blocks() -> Vec<Seat> {
        (0..10).map(|n| Seat { x_m: 5.0 + 10.0 * f64::from(n), level_m: -3.0 }).collect()
    }

    #[test]
    fn the_knuckle_is_found_at_either_end() {
        let seats = flat_blocks();
        let touch = |trim: f64| first_touch(&afloat(4.0, trim), &seats).map(|t| t.seat);
        assert_eq!(touch(0.5), Some(0));
        assert_eq!(touch(-0.5), Some(9));
        // A block that stands proud by more than the trim hides is met first wherever it stands.
        let mut proud = seats.clone();
        proud[5].level_m += 0.6;
        assert_eq!(first_touch(&afloat(4.0, 0.5), &proud).map(|t| t.seat), Some(5));
        assert_eq!(first_touch(&afloat(4.0, 0.5), &[]), None);
    }

    #[test]
    fn the_curve_agrees_with_the_simple_formula_for_small_trim() {
        let ship = afloat(4.0, 0.10);
        let seats = flat_blocks();
        let Some(turning) = Turning::new(&ship, seats[0]) else { panic!("outside") };
        let Some(landed) = turning.at_trim(0.0) else { panic!("never landed") };
        let Some(row) = ship.row() else { panic!("outside") };
        let simple = upthrust_t(row.mct_tm_per_cm, 10.0, 45.0);
        assert!((landed.upthrust_t / simple - 1.0).abs() < 0.02, "{} {simple}", landed.upthrust_t);
        assert!(turning.start().upthrust_t.abs() < 1e-9);
        assert!((turning.start().trim_m - 0.10).abs() < 1e-9);
        // The water falls, the upthrust grows, all the way.
        let curve = turning.curve(&landed, 20);
        assert_eq!(curve.len(), 21);
        for pair in curve.windows(2) {
            assert!(pair[1].water_level_m < pair[0].water_level_m);
            assert!(pair[1].upthrust_t > pair[0].upthrust_t);
            assert!(pair[1].trim_m < pair[0].trim_m);
        }
        // Forces and moments about the knuckle balance at every moment.
        for moment in &curve {
            let Some(row) = ship.table.at_draft(moment.draft_at_lcf_m) else { panic!("outside") };
            let lcb = row.lcb_x_m - 100.0 * row.mct_tm_per_cm * moment.trim_m / row.displacement_t;
            let about_knuckle =
                ship.displacement_t * (ship.lcg_x_m - 5.0) - row.displacement_t * (lcb - 5.0);
            assert!(about_knuckle.abs() < 1e-6 * ship.displacement_t);
        }
    }

    #[test]
    fn trimmed_by_the_head_she_turns_the_other_way() {
        let ship = afloat(4.0, -0.2);
        let seats = flat_blocks();
        let Some(turning) = Turning::new(&ship, seats[9]) else { panic!("outside") };
        let Some(landed) = turning.at_trim(0.0) else { panic!("never landed") };
        assert!(landed.upthrust_t > 0.0);
        let Some(line) = line_of(&seats) else { panic!("no line") };
        let mut proud = seats.clone();
        proud[2].level_m += 0.05;
        assert_eq!(second_touch(&ship, &proud, 9, &line).map(|s| s.0), Some(2));
    }

    #[test]
    fn nil_gm_is_where_both_formulas_give_nil() {
        let ship = afloat(4.0, 0.0);
        let kg = 6.0;
        let Some(draft) = draft_of_nil_gm_m(&ship, kg) else { panic!("none") };
        let Some(row) = ship.table.at_draft(draft) else { panic!("outside") };
        let p = ship.displacement_t - row.displacement_t;
        assert!((row.km_m - kg - loss_by_km_m(p, row.km_m, ship.displacement_t)).abs() < 1e-6);
        assert!((row.km_m - kg - loss_by_kg_m(p, kg, ship.displacement_t)).abs() < 1e-6);
        assert_eq!(draft_of_nil_gm_m(&ship, 9.0), None);
    }

    #[test]
    fn straight_drafts_give_the_trim_back() {
        let ship = afloat(4.0, 0.3);
        let Some(drafts) = straight_drafts(&ship, ship.displacement_t, ship.lcg_x_m) else {
            panic!("outside")
        };
        assert!((drafts.aft_m - 4.15).abs() < 1e-9 && (drafts.forward_m - 3.85).abs() < 1e-9);
        // TPC 15.375: 153.75 t put on at the LCF sink her evenly by 10 cm.
        let mass = ship.displacement_t + 153.75;
        let lcg = (ship.displacement_t * ship.lcg_x_m + 153.75 * 50.0) / mass;
        let Some(deeper) = straight_drafts(&ship, mass, lcg) else { panic!("outside") };
        assert!((deeper.aft_m + deeper.forward_m - 8.2).abs() < 1e-6);
    }

    #[test]
    fn the_load_grows_as_the_water_falls() {
        let ship = afloat(4.0, 0.0);
        let line = Line { at_zero_m: -3.0, slope: 0.0 };
        let load = |level: f64| load_landed(&ship, &line, level).map(|l| l.load_t);
        assert!(load(1.0).is_some_and(|l| l.abs() < 1e-6));
        assert!(load(0.76).is_some_and(|l| (l - upthrust_by_fall_t(15.375, 24.0)).abs() < 1e-6));
        assert_eq!(load(-3.5), Some(ship.displacement_t));
        // Between the table's end and dry nothing is known.
        assert_eq!(load(-2.5), None);
    }
}
