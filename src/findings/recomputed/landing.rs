//! How she landed in each position: seats, first touch, the critical instant, and the load afterwards.

use super::afloat::{MovedSum, Ship, Survey, moved_between};
use crate::calc::blocks::top_level_m;
use crate::calc::landing::{
    Afloat, Changed, Landed, Line, Load, Moment, Seat, Touch, Turning, draft_at_instability_m,
    first_touch, landed, landed_trim_m, line_of, second_touch, upthrust_t,
};
use crate::hull::Lie;
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::drafts::Occasion;
use crate::records::hydrostatics::Stability;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// What comes out of one position's landing. What its records do not give is `None`.
#[derive(Debug, Default)]
pub struct Landing {
    /// The keel blocks that stand and whose tops are known: number in the project's list, and seat.
    pub seats: Vec<(usize, Seat)>,
    /// The line of those seats.
    pub line: Option<Line>,
    /// The ship before landing.
    pub afloat: Option<Afloat>,
    /// KG in this position, m.
    pub kg_m: Option<f64>,
    /// Trim relative to the line of the blocks, m over the perpendiculars, + by the stern.
    pub relative_trim_m: Option<f64>,
    /// First touch; `seat` counts in `seats`.
    pub touch: Option<Touch>,
    /// Second touch.
    pub second: Option<SecondTouch>,
    /// Upthrust at the critical instant by the simple formula, t.
    pub simple_upthrust_t: Option<f64>,
    /// The critical instant, by equilibrium.
    pub critical: Option<Moment>,
    /// Why there is no critical instant although the knuckle is known, in a sentence's part.
    pub never_landed: Option<&'static str>,
    /// From first touch to the critical instant, at equal steps of draft.
    pub curve: Vec<Moment>,
    /// Draft at instability, at the LCF, m: GM would be nil there.
    pub instability_draft_m: Option<f64>,
    /// Bearing pressure on the knuckle block's cap at the critical instant, all of the upthrust on it, kPa.
    pub knuckle_pressure_kpa: Option<f64>,
    /// Load on the blocks at each reading of the water log from when she was landed until the water came back, as
    /// far as the hydrostatic table reaches: number of the reading, and the load.
    pub loads: Vec<(usize, Load)>,
    /// The readings among these, by their numbers, at which the load is not known: her draft lies outside the
    /// table, and the water still wets her.
    pub beyond_table: Vec<usize>,
    /// Drafts predicted for when she lifts off.
    pub lift_off: Option<LiftOff>,
    /// How she leaves the blocks with the weights moved since.
    pub leaving: Option<Leaving>,
}

/// How she leaves the blocks as the water rises: the same instants as in landing, the other way round, with the weights
/// moved since.
#[derive(Debug, Clone)]
pub struct Leaving {
    /// The ship as she will float.
    pub afloat: Afloat,
    /// KG then, m.
    pub kg_m: Option<f64>,
    /// GM once afloat, m.
    pub gm_m: Option<f64>,
    /// Where she leaves the blocks last, and the level at which she floats; `seat` counts in [`Landing::seats`].
    pub last: Touch,
    /// The instant at which all but that block are free of her.
    pub critical: Moment,
    /// The draft at which GM would be nil on the way, m.
    pub instability_draft_m: Option<f64>,
}

impl Leaving {
    /// The smaller GM at that instant, by the two ways of counting the loss, m.
    pub fn least_gm_m(&self) -> Option<f64> {
        let [by_km, by_kg] = self.critical.gm_m(self.kg_m?, self.afloat.displacement_t);
        Some(by_km.min(by_kg))
    }

    /// How much deeper she is at that instant than at instability, m.
    pub fn margin_m(&self) -> Option<f64> {
        Some(self.critical.draft_at_lcf_m - self.instability_draft_m?)
    }
}

/// Where the keel touches second, turning about the knuckle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondTouch {
    /// The seat; counts in [`Landing::seats`].
    pub seat: usize,
    /// Her trim then, m over the perpendiculars, + by the stern.
    pub trim_m: f64,
    /// What is then left to turn until her trim is that of the line of the blocks, m; below 0 if she has
    /// turned past it.
    pub left_m: f64,
}

impl Landing {
    /// The ship as she turns about her knuckle.
    fn turning(&self) -> Option<Turning<'_>> {
        Turning::new(self.afloat.as_ref()?, self.seats.get(self.touch?.seat)?.1)
    }

    /// GM left at a moment by the two ways of counting the loss, m: by KM, by KG.
    pub fn gm_at(&self, moment: &Moment) -> Option<[f64; 2]> {
        Some(moment.gm_m(self.kg_m?, self.afloat.as_ref()?.displacement_t))
    }

    /// The same at the critical instant.
    pub fn gm_m(&self) -> Option<[f64; 2]> {
        self.gm_at(self.critical.as_ref()?)
    }

    /// The smaller of the two, m.
    pub fn least_gm_m(&self) -> Option<f64> {
        let [by_km, by_kg] = self.gm_m()?;
        Some(by_km.min(by_kg))
    }

    /// How much deeper she is landed than the draft at instability, m.
    pub fn margin_m(&self) -> Option<f64> {
        Some(self.critical?.draft_at_lcf_m - self.instability_draft_m?)
    }

    /// The centre of a load, x, m, where it says something: under a hundredth of the weight it is what errors of
    /// reading make it.
    pub fn centre_m(&self, load: &Load) -> Option<f64> {
        let weight_t = self.afloat.as_ref()?.displacement_t;
        load.centre_x_m.filter(|_| load.load_t >= weight_t * 0.01)
    }

    /// The load on the blocks at a water level, m; `None` where the critical instant is not known, or the
    /// draft lies outside the table and the water still wets her.
    pub fn load_at(&self, water_level_m: f64) -> Option<Load> {
        self.turning()?.load(self.critical.as_ref()?, water_level_m)
    }
}

impl Landing {
    /// GM left under a load on the blocks, the smaller by the two ways of counting the loss, m; `None` without KG, or where
    /// the water carries so little of her that the table ends.
    pub fn gm_under_m(&self, load: &Load) -> Option<f64> {
        let [by_km, by_kg] = self.turning()?.gm_m(load, self.kg_m?)?;
        Some(by_km.min(by_kg))
    }

    /// What is left between the keel and each of the seats at a water level, m, as long as she floats or turns about her
    /// knuckle; below 0 where she would have met another block before.
    pub fn gaps_m(&self, water_level_m: f64) -> Option<Vec<f64>> {
        let gaps = |keel_m: &dyn Fn(f64) -> f64| {
            self.seats.iter().map(|(_, seat)| keel_m(seat.x_m) - seat.level_m).collect()
        };
        let (afloat, touch) = (self.afloat.as_ref()?, self.touch?);
        if water_level_m >= touch.water_level_m {
            return Some(gaps(&|x_m| water_level_m - afloat.draft_m(x_m)));
        }
        let turning = self.turning()?;
        let moment = turning.at_level(self.critical.as_ref()?, water_level_m)?;
        Some(gaps(&|x_m| turning.keel_m(&moment, x_m)))
    }
}

/// Drafts predicted from those before landing and the weights moved since.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiftOff {
    /// The weights moved.
    pub moved: MovedSum,
    /// Draft at the aft perpendicular, m.
    pub draft_aft_m: f64,
    /// Draft at the forward perpendicular, m.
    pub draft_forward_m: f64,
    /// List, degrees, + to port; `None` without KG or list before landing.
    pub list_deg: Option<f64>,
}

/// The level of a block's top: as measured, and where it was not, as its height gives it.
pub fn top_of(project: &Project, block: &Block) -> Option<f64> {
    let dock = &project.docking.dock;
    let from_height = || {
        Some(top_level_m(
            dock.floor_level_m?,
            dock.declivity_pct?,
            block.cap.centre.x,
            block.height_m?,
        ))
    };
    block.top_level_m.or_else(from_height)
}

/// Works out one position. `bearing_area_m2` gives the area of a block's footprint on the keel.
pub fn landing(
    project: &Project,
    ship: &Ship,
    number: usize,
    lie: Option<&Lie>,
    bearing_area_m2: &dyn Fn(usize) -> Option<f64>,
) -> Landing {
    let mut out = Landing::default();
    let Some(lie) = lie else { return out };
    let position = &project.positions[number].id;
    let standing = project.blocks.iter().enumerate().filter(|(_, block)| block.stands_in(position));
    out.seats = seats(project, standing, lie);
    let seats: Vec<Seat> = out.seats.iter().map(|(_, seat)| *seat).collect();
    out.line = line_of(&seats);
    let survey = ship.survey(Some(number), Occasion::BeforeLanding);
    out.afloat = survey.and_then(|survey| afloat(ship, survey));
    let (Some(afloat), Some(survey)) = (&out.afloat, survey) else { return out };
    out.kg_m = kg(project, ship, number, afloat);
    let leaves = lift_off(project, number, survey, afloat, out.kg_m);
    let (lift_off, afterwards) = leaves.unzip();
    out.lift_off = lift_off;
    out.leaving =
        afterwards.zip(out.line).and_then(|(changed, line)| leaving(changed, &seats, &line));
    let Some(line) = out.line else { return out };

    let length = afloat.perpendiculars.length_m();
    let relative_trim = afloat.trim_m - line.slope * length;
    out.relative_trim_m = Some(relative_trim);
    out.touch = first_touch(afloat, &seats);
    let Some(touch) = out.touch else { return out };
    out.second = second_touch(afloat, &seats, touch.seat).map(|(seat, trim_m)| {
        let past = trim_m - line.slope * length;
        let ahead = seats[seat].x_m > seats[touch.seat].x_m;
        SecondTouch { seat, trim_m, left_m: if ahead { past } else { -past } }
    });
    out.instability_draft_m = out.kg_m.and_then(|kg| draft_at_instability_m(afloat, kg));
    land(&mut out, &seats, touch, &line);
    out.knuckle_pressure_kpa = out.critical.and_then(|critical| {
        let area = bearing_area_m2(out.seats[touch.seat].0).filter(|area| *area > 1e-6)?;
        Some(critical.upthrust_t * STANDARD_GRAVITY_M_PER_S2 / area)
    });
    fill_in_loads(project, number, &mut out);
    out
}

/// The critical instant, and the way to it from first touch.
fn land(out: &mut Landing, seats: &[Seat], touch: Touch, line: &Line) {
    const STEPS: usize = 40;
    let (Some(afloat), Some(turning)) = (&out.afloat, out.turning()) else { return };
    let Some(trim_m) = landed_trim_m(afloat, seats, touch.seat, line) else {
        out.never_landed = Some(
            "about her knuckle she turns away from the line of the blocks, and beyond the LCF no keel block \
             stands whose top is known",
        );
        return;
    };
    let simple = afloat.row().and_then(|row| {
        let lever = (row.lcf_x_m - seats[touch.seat].x_m).abs();
        let mct = row.mct_tm_per_cm * afloat.water_density_t_m3 / afloat.table.water_density_t_m3;
        let trim_cm = (afloat.trim_m - trim_m).abs() * 100.0;
        (lever > 1.0).then(|| upthrust_t(mct, trim_cm, lever))
    });
    let critical = turning.at_trim(trim_m);
    let curve = critical.iter().flat_map(|critical| turning.curve(critical, STEPS)).collect();
    out.simple_upthrust_t = simple;
    out.never_landed =
        critical.is_none().then_some("the hydrostatic table ends before she is landed");
    (out.critical, out.curve) = (critical, curve);
}

/// The keel blocks among those that stand, as seats, as far as their tops are known.
pub(super) fn seats<'a>(
    project: &Project,
    standing: impl Iterator<Item = (usize, &'a Block)>,
    lie: &Lie,
) -> Vec<(usize, Seat)> {
    standing
        .filter(|(_, block)| block.row == BlockRow::Keel)
        .filter_map(|(n, block)| {
            let x_m = lie.to_hull(block.cap.centre.x, block.cap.centre.y).x;
            let level_m = top_of(project, block)? - project.keel.rise_m(x_m);
            Some((n, Seat { x_m, level_m }))
        })
        .collect()
}

/// The ship as a survey has her.
pub(super) fn afloat(ship: &Ship, survey: &Survey) -> Option<Afloat> {
    let (drafts, displacement) = (survey.drafts.as_ref()?, survey.displacement.as_ref()?);
    Some(Afloat {
        perpendiculars: ship.perpendiculars?,
        table: ship.table.clone()?,
        water_density_t_m3: survey.water_density_t_m3?,
        displacement_t: displacement.displacement_t,
        lcg_x_m: displacement.lcg_x_m,
        draft_aft_m: drafts.aft_m,
        trim_m: drafts.trim_m,
        hog_m: drafts.hog_m.unwrap_or(0.0),
    })
}

/// KG in a position: as recorded for it, or that as docked carried on by the weights moved since.
fn kg(project: &Project, ship: &Ship, number: usize, now: &Afloat) -> Option<f64> {
    let position = &project.positions[number];
    if position.kg_m.is_some() {
        return position.kg_m;
    }
    let stability = project.docking.stability.as_ref()?;
    let occasion =
        if stability.holds_on_arrival() { Occasion::Arrival } else { Occasion::BeforeLanding };
    let first = ship.surveys.iter().find(|s| s.occasion == occasion && s.displacement.is_some())?;
    let displacement = first.displacement.as_ref()?;
    let weight = displacement.displacement_t;
    let kg = kg_stated(stability, displacement.row.km_m)?;
    if first.position == Some(number) {
        return Some(kg);
    }
    let since = match first.position.and_then(|n| project.positions.get(n)) {
        Some(position) => position.times.touched,
        None => first.at,
    };
    let moved = moved_between(project, since, position.times.touched);
    let carried = (weight * kg + moved.change.z_tm) / (weight + moved.change.mass_t);
    (carried.is_finite() && now.displacement_t > 0.0).then_some(carried)
}

/// KG as it is stated, or as a stated GM gives it with a KM, m.
pub(super) fn kg_stated(stability: &Stability, km_m: f64) -> Option<f64> {
    stability.kg_m.or_else(|| Some(km_m - stability.gm_m?))
}

/// Drafts when she lifts off: those before landing, changed as the table says by the weights moved.
fn lift_off(
    project: &Project,
    number: usize,
    survey: &Survey,
    afloat: &Afloat,
    kg_m: Option<f64>,
) -> Option<(LiftOff, Changed)> {
    let times = &project.positions[number].times;
    let drafts = survey.drafts.as_ref()?;
    let moved = moved_between(
        project,
        times.touched.or(times.landed).or(survey.at),
        times.afloat.or(times.reflood_began),
    );
    let after = afloat.after(&moved.change, afloat.water_density_t_m3, kg_m, drafts.list_deg)?;
    let lift_off = LiftOff {
        moved,
        draft_aft_m: after.afloat.draft_aft_m,
        draft_forward_m: after.afloat.draft_aft_m - after.afloat.trim_m,
        list_deg: after.list_deg,
    };
    Some((lift_off, after))
}

/// How she leaves seats with weights moved.
fn leaving(changed: Changed, seats: &[Seat], line: &Line) -> Option<Leaving> {
    let Changed { afloat, kg_m, gm_m, .. } = changed;
    let Landed { touch, critical } = landed(&afloat, seats, line)?;
    let instability_draft_m = kg_m.and_then(|kg_m| draft_at_instability_m(&afloat, kg_m));
    Some(Leaving { afloat, kg_m, gm_m, last: touch, critical, instability_draft_m })
}

/// Fills in the load at each reading of the water log from when she was landed until the water came back.
fn fill_in_loads(project: &Project, number: usize, landing: &mut Landing) {
    let position = &project.positions[number];
    let (Some(landed), true) = (position.times.landed, landing.critical.is_some()) else { return };
    for (n, water) in project.water.iter().enumerate() {
        let is_over = position.times.reflood_began.is_some_and(|end| water.at > end);
        if water.position != position.id || water.at < landed || is_over {
            continue;
        }
        match landing.load_at(water.level_m) {
            Some(load) => landing.loads.push((n, load)),
            None => landing.beyond_table.push(n),
        }
    }
}
