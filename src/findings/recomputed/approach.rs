//! Her approach to the blocks of a position: from the last drafts before it, as read or else as planned, through the weights
//! still to be moved, to the drafts with which she comes; the trims that the limits allow, and what is still to be done.

use chrono::{DateTime, FixedOffset};

use super::afloat::{MovedSum, Ship, Survey, moved_between};
use super::landing::{afloat, kg_stated, seats};
use super::loads::bearing_limit_kpa;
use super::position::{bearing_shape, planned};
use super::{Recomputed, plane};
use crate::calc::landing::{
    Afloat, Changed, Greatest, Landed, Line, Seat, Way, greatest_trim, landed, line_of,
};
use crate::findings::judge;
use crate::hull::Lie;
use crate::records::Project;
use crate::records::drafts::Occasion;
use crate::records::weights::Moved;
use crate::text::Text;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// Her approach to one position.
#[derive(Debug)]
pub struct Approach<'a> {
    /// The drafts from which it is reckoned.
    pub from: &'a Survey,
    /// Whether they are planned; else they were read.
    pub is_planned: bool,
    /// What was moved since.
    pub done: MovedSum,
    /// What is planned to be moved and was not yet.
    pub ahead: MovedSum,
    /// The ship as she then comes to the blocks.
    pub arrives: Changed,
    /// How she would land so; `None` where it is not known on what, or she meets nothing there.
    pub lands: Option<Landing>,
    /// The greatest trim by the stern and by the head; `None` where even without trim a limit is broken or no landing is
    /// known.
    pub greatest: [Option<Greatest<Limit>>; 2],
    /// The trim to come with, m over the perpendiculars, + by the stern, and where that comes from.
    pub aim: Option<(f64, Aim)>,
    /// For each tank of the file the water to take in, or below 0 to pump out, so that she comes with that trim, t; `None`
    /// where no such mass is found.
    pub tanks: Vec<(String, Option<f64>)>,
}

/// How she would land as predicted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Landing {
    /// Trim against the line of the blocks, m, + by the stern.
    pub relative_trim_m: f64,
    pub landed: Landed,
    /// The knuckle block, by its number in the project's list.
    pub knuckle: usize,
    /// Pressure on its cap, kPa.
    pub pressure_kpa: Option<f64>,
    /// The smaller GM left at the critical instant, m.
    pub gm_m: Option<f64>,
}

/// What bounds her trim.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The limit on trim itself.
    Trim,
    KnuckleLoad,
    /// The pressure on the knuckle block.
    KnucklePressure,
    Gm,
}

/// Where the trim to come with is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// The drafts that are planned before landing.
    Planned,
    /// The greatest trim that is allowed, since she would come with more.
    Greatest,
}

impl Approach<'_> {
    /// The moment still wanted with all done that is planned, t m, + by the stern; `None` where no trim is aimed at.
    pub fn wanted_tm(&self) -> Option<f64> {
        self.arrives.afloat.moment_for_trim_tm(self.aim?.0)
    }
}

/// Works out one position; where that can't be, why not, in a sentence's part.
pub fn approach<'a>(
    project: &Project,
    recomputed: &'a Recomputed,
    number: usize,
) -> Result<Approach<'a>, Text> {
    let position = project.positions.get(number).ok_or("there is no such position")?;
    let ship = &recomputed.ship;
    let (from, is_planned) = last_before(ship, number)
        .ok_or("no drafts before it, read or planned, give a displacement")?;
    let before = afloat(ship, from).ok_or("the drafts give no displacement")?;
    let landing_survey = |surveys: &'a [Survey]| {
        surveys.iter().find(|s| s.position == Some(number) && s.occasion == Occasion::BeforeLanding)
    };
    let planned_landing = landing_survey(&ship.planned);
    let density = landing_survey(&ship.surveys)
        .or(planned_landing)
        .and_then(|survey| survey.water_density_t_m3)
        .unwrap_or(before.water_density_t_m3);
    let times = &position.times;
    let lands_at = times.touched.or(times.landed).or(position.planned.landed);
    let since = from.at.filter(|_| !is_planned);
    let done = moved_between(project, since, lands_at);
    let ahead = still_ahead(project, from, since, lands_at);
    let both = done.with(&ahead);
    let kg_m = kg_before(project, recomputed, number, from, &before, &both);
    let list_deg = from.drafts.as_ref().and_then(|drafts| drafts.list_deg);
    let arrives = before
        .after(&both.change, density, kg_m, list_deg)
        .ok_or("with the weights moved she floats outside the hydrostatic table")?;
    let lie = recomputed.positions[number].lie.or_else(|| planned(position));
    let bed = lie.and_then(|lie| Bed::new(project, &position.id, lie));
    let lands = bed.as_ref().and_then(|bed| bed.lands(&arrives.afloat, arrives.kg_m));
    let greatest = [Way::Stern, Way::Head].map(|way| {
        let bed = bed.as_ref()?;
        greatest_trim(&arrives.afloat, &bed.seats(), &bed.line, way, |relative_m, ship, landed| {
            bed.broken(relative_m, ship, landed, arrives.kg_m)
        })
    });
    let aim = aim(planned_landing, lands.as_ref(), bed.as_ref(), &arrives.afloat, &greatest);
    let mut out = Approach {
        from,
        is_planned,
        done,
        ahead,
        arrives,
        lands,
        greatest,
        aim,
        tanks: Vec::new(),
    };
    if let Some((trim_m, _)) = out.aim {
        let afloat = &out.arrives.afloat;
        let mass = |x_m| afloat.mass_for_trim_t(x_m, trim_m, afloat.displacement_t / 2.0);
        out.tanks = tanks(project).map(|(name, x_m)| (name.to_string(), mass(x_m))).collect();
    }
    Ok(out)
}

/// The last survey before she comes to a position that gives a displacement, and whether it is planned. Of one occasion
/// the drafts that were read count.
fn last_before(ship: &Ship, number: usize) -> Option<(&Survey, bool)> {
    let mut occasions = vec![(None, Occasion::Arrival)];
    for earlier in 0..number {
        occasions.push((Some(earlier), Occasion::BeforeLanding));
        occasions.push((Some(earlier), Occasion::LiftOff));
    }
    let of = |surveys: &'_ [Survey], key: (Option<usize>, Occasion)| {
        let is_meant = |s: &Survey| (s.position, s.occasion) == key && s.displacement.is_some();
        surveys.iter().position(is_meant)
    };
    occasions.into_iter().rev().find_map(|key| {
        let read = of(&ship.surveys, key).map(|n| (&ship.surveys[n], false));
        read.or_else(|| of(&ship.planned, key).map(|n| (&ship.planned[n], true)))
    })
}

/// What is planned to be moved before she lands and was not moved yet. What was planned before a lift-off belongs to the
/// landing before it.
fn still_ahead(
    project: &Project,
    from: &Survey,
    since: Option<DateTime<FixedOffset>>,
    lands_at: Option<DateTime<FixedOffset>>,
) -> MovedSum {
    let since = since.filter(|_| from.position.is_some());
    let is_ahead = |moved: &&Moved| {
        let is_between =
            |at| since.is_none_or(|since| at > since) && lands_at.is_none_or(|to| at <= to);
        !moved.is_done() && moved.planned_at.is_some_and(is_between)
    };
    let ahead = project.moved.iter().filter(is_ahead);
    ahead.fold(MovedSum::default(), |sum, moved| sum.and(moved, moved.mass_as_planned_t()))
}

/// KG at the drafts from which the approach is reckoned, such that with the weights moved it is what is stated, m.
fn kg_before(
    project: &Project,
    recomputed: &Recomputed,
    number: usize,
    from: &Survey,
    before: &Afloat,
    moved: &MovedSum,
) -> Option<f64> {
    let position = &project.positions[number];
    let (weight, change) = (before.displacement_t, &moved.change);
    let back = |kg_m: f64| ((weight + change.mass_t) * kg_m - change.z_tm) / weight;
    if let Some(kg_m) = position.kg_m {
        return Some(back(kg_m));
    }
    let stability = project.docking.stability.as_ref()?;
    match from.position {
        None if stability.holds_on_arrival() => {
            kg_stated(stability, from.displacement.as_ref()?.row.km_m)
        }
        None => {
            let after = before.after(change, before.water_density_t_m3, None, None)?;
            kg_stated(stability, after.afloat.row()?.km_m).map(back)
        }
        Some(earlier) => {
            let landing = recomputed.landings.get(earlier)?;
            let (kg_m, was) = (landing.kg_m?, landing.afloat.as_ref()?.displacement_t);
            let since = project.positions[earlier].times.touched;
            let between = moved_between(project, since, from.at).change;
            Some((was * kg_m + between.z_tm) / (was + between.mass_t))
        }
    }
}

/// The tanks that are named, each once, and where they lie, x, m.
fn tanks(project: &Project) -> impl Iterator<Item = (&str, f64)> {
    let mut tanks: Vec<(&str, f64)> = Vec::new();
    for moved in &project.moved {
        if let Some(tank) = moved.tank.as_deref()
            && !tanks.iter().any(|(known, _)| *known == tank)
        {
            tanks.push((tank, moved.x_m));
        }
    }
    tanks.into_iter()
}

fn aim(
    planned_landing: Option<&Survey>,
    lands: Option<&Landing>,
    bed: Option<&Bed<'_>>,
    ship: &Afloat,
    greatest: &[Option<Greatest<Limit>>; 2],
) -> Option<(f64, Aim)> {
    if let Some(drafts) = planned_landing.and_then(|survey| survey.drafts.as_ref()) {
        return Some((drafts.trim_m, Aim::Planned));
    }
    let [stern, head] = greatest;
    let of_line = bed?.line.slope * ship.perpendiculars.length_m();
    let relative_m = lands.map_or(ship.trim_m - of_line, |lands| lands.relative_trim_m);
    let beyond = |bound: &Option<Greatest<Limit>>, sign: f64| {
        let bound = bound.filter(|bound| bound.broken.is_some())?;
        (relative_m * sign > bound.relative_m * sign + 1e-6).then_some(bound.relative_m)
    };
    let nearest = beyond(stern, 1.0).or(beyond(head, -1.0))?;
    Some((of_line + nearest, Aim::Greatest))
}

/// The blocks on which she is to land, and what they may bear.
struct Bed<'a> {
    project: &'a Project,
    lie: Lie,
    seats: Vec<(usize, Seat)>,
    line: Line,
}

impl<'a> Bed<'a> {
    fn new(project: &'a Project, position: &str, lie: Lie) -> Option<Self> {
        let standing =
            project.blocks.iter().enumerate().filter(|(_, block)| block.stands_in(position));
        let seats = seats(project, standing, &lie);
        let line = line_of(&seats.iter().map(|(_, seat)| *seat).collect::<Vec<_>>())?;
        Some(Self { project, lie, seats, line })
    }

    fn seats(&self) -> Vec<Seat> {
        self.seats.iter().map(|(_, seat)| *seat).collect()
    }

    fn lands(&self, ship: &Afloat, kg_m: Option<f64>) -> Option<Landing> {
        let landed = landed(ship, &self.seats(), &self.line)?;
        let gm = kg_m.map(|kg| landed.critical.gm_m(kg, ship.displacement_t));
        Some(Landing {
            relative_trim_m: ship.trim_m - self.line.slope * ship.perpendiculars.length_m(),
            knuckle: self.seats[landed.touch.seat].0,
            pressure_kpa: self.pressure_kpa(&landed),
            gm_m: gm.map(|[by_km, by_kg]| by_km.min(by_kg)),
            landed,
        })
    }

    /// The pressure on the knuckle block's cap, all of the upthrust on it, kPa.
    fn pressure_kpa(&self, landed: &Landed) -> Option<f64> {
        let block = self.project.blocks.get(self.seats[landed.touch.seat].0)?;
        let area_m2 = plane::area_m2(&bearing_shape(self.project, block, &self.lie));
        let force_kn = landed.critical.upthrust_t * STANDARD_GRAVITY_M_PER_S2;
        (area_m2 > 1e-6).then(|| force_kn / area_m2)
    }

    /// The first limit that is broken, of those that are stated and can be judged.
    fn broken(
        &self,
        relative_m: f64,
        ship: &Afloat,
        landed: &Landed,
        kg_m: Option<f64>,
    ) -> Option<Limit> {
        let limit = |name: &str| self.project.docking.bounds.limit(name).map(|limit| limit.value);
        let exceeds = |value: Option<f64>, limit: Option<f64>| {
            value.zip(limit).is_some_and(|(value, limit)| judge::exceeds(value, limit))
        };
        let knuckle = self.project.blocks.get(self.seats[landed.touch.seat].0)?;
        let gm = kg_m.map(|kg| landed.critical.gm_m(kg, ship.displacement_t));
        let gm_m = gm.map(|[by_km, by_kg]| by_km.min(by_kg));
        if exceeds(Some(relative_m.abs()), limit("trim")) {
            Some(Limit::Trim)
        } else if exceeds(limit("gm"), gm_m) {
            Some(Limit::Gm)
        } else if exceeds(Some(landed.critical.upthrust_t), limit("knuckle_load")) {
            Some(Limit::KnuckleLoad)
        } else if exceeds(self.pressure_kpa(landed), bearing_limit_kpa(self.project, knuckle)) {
            Some(Limit::KnucklePressure)
        } else {
            None
        }
    }
}
