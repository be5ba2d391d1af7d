//! Where to put her: the one place at which an aim is made.

use std::cmp::Ordering;

use super::told::{Aim, BandTold, LeaveOut, OpeningNear, OpeningsTold};
use super::{FEW, Teller, aim_said, kept, said, spans};
use crate::calc::shifts::{
    Band, MOST_LEFT_OUT, NO_WIDTH_M, Stretch, Study, Way, steady_stretches, stretches,
};
use crate::findings::recomputed::shifts::{OpeningAfter, Placed, Shifts, slid};
use crate::records::openings::Opening;

/// Loads are looked at every so many metres of a band, and where they change the place is found to the second
/// (our choice: bearing pressures change slowly with the shift).
const LOADS_M: (f64, f64) = (0.05, 0.005);

/// A band with the aim in it, and what it is preferred for.
pub(super) struct Aimed {
    pub told: BandTold,
    /// The part of the band that was aimed at: slid, m.
    part: Band,
    faults: Faults,
}

/// What speaks against an aim, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Faults {
    /// It leaves less room than stations are sure to.
    narrow: bool,
    /// Openings under a cap.
    under: usize,
    /// Openings under a cap or too near one.
    near: usize,
    /// Docking plugs under a cap.
    plugs_under: usize,
    /// Blocks beyond their limit.
    beyond: usize,
}

impl Aimed {
    /// Whether it is the better of two: less speaks against it, else it has more room.
    fn beats(&self, other: &Self) -> bool {
        match self.faults.cmp(&other.faults) {
            Ordering::Less => true,
            Ordering::Equal => self.part.better_than(&other.part),
            Ordering::Greater => false,
        }
    }

    /// The best of several; of such alike the first.
    pub fn best(several: &[Self]) -> Option<&Self> {
        several.iter().reduce(|best, next| if next.beats(best) { next } else { best })
    }
}

/// What an aim is made for.
pub(super) struct Sought<'a> {
    pub way: Way,
    /// The lengths slid that do, m.
    pub band: Band,
    /// Blocks left out after the shift.
    pub without: &'a [usize],
    /// Blocks left out before it.
    pub without_before: &'a [usize],
    /// What stays hidden at a length slid, m2.
    pub hidden_m2: &'a dyn Fn(f64) -> f64,
}

/// Where in a band of shifts she is put.
#[derive(Clone, Copy)]
struct Spot {
    shift_m: f64,
    steady_m: f64,
    decimals: usize,
}

impl Teller<'_> {
    /// A band that leaves nothing hidden, with what to aim at in it.
    pub(super) fn aimed(&self, way: Way, band: Band, without: &[usize]) -> Aimed {
        let hidden_m2 = |_: f64| 0.0;
        self.aimed_for(&Sought { way, band, without, without_before: &[], hidden_m2: &hidden_m2 })
    }

    /// A band with what to aim at in it: the part in which the fewest openings lie under a cap, of such the one
    /// with the fewest near one, then with the fewest blocks beyond their limit, then the one with the most room. A
    /// part with less room than stations are sure to is taken only if all are so narrow.
    pub(super) fn aimed_for(&self, sought: &Sought) -> Aimed {
        let parts = self.parts(sought);
        let faults = |stretch: &Stretch, beyond: usize, part: &Band| {
            let openings =
                |under| stretch.holds.iter().filter_map(move |code| of_code(*code, under));
            let is_plug =
                |n: &usize| self.project.openings.get(*n).is_some_and(Opening::is_docking_plug);
            Faults {
                narrow: self.is_narrow(part),
                under: openings(true).count(),
                near: openings(false).count(),
                plugs_under: openings(true).filter(is_plug).count(),
                beyond,
            }
        };
        let fewest = parts.iter().map(|stretch| faults(stretch, 0, &stretch.band)).min();
        let candidates =
            parts.iter().filter(|stretch| Some(faults(stretch, 0, &stretch.band)) == fewest);
        let mut best: Option<(Faults, Band)> = None;
        for stretch in candidates {
            for (part, beyond) in self.by_loads(sought, stretch.band) {
                let found = (faults(stretch, beyond.len(), &part), part);
                let better = best.as_ref().is_none_or(|(faults, part)| {
                    found.0 < *faults || (found.0 == *faults && found.1.better_than(part))
                });
                if better {
                    best = Some(found);
                }
            }
        }
        let nothing = Faults { narrow: true, under: 0, near: 0, plugs_under: 0, beyond: 0 };
        let (faults, part) = best.unwrap_or((nothing, sought.band));
        let middle = said::middle(said::as_shifts(&part));
        // What must be hit exactly is not rounded.
        let exact = part.width_m() <= NO_WIDTH_M;
        let shift_m = if exact { -part.middle_m() } else { middle.shift_m };
        let spot = Spot { shift_m, steady_m: middle.miss_m, decimals: middle.decimals };
        Aimed { told: self.told_band(sought, spot, true), part, faults }
    }

    /// The aim at a place that is given, which lies in a band.
    pub(super) fn aim_at(&self, sought: &Sought, shift_m: f64) -> Aim {
        let slid_m = -shift_m;
        let holds = |band: &Band| band.from_m <= slid_m && slid_m <= band.to_m;
        let parts = self.parts(sought);
        let part = parts.iter().find(|stretch| holds(&stretch.band));
        let part = part.map_or(sought.band, |stretch| stretch.band);
        let by_loads = self.by_loads(sought, part).into_iter().map(|(band, _)| band);
        let shifts = said::as_shifts(&by_loads.into_iter().find(holds).unwrap_or(part));
        let room = |decimals| said::room(shift_m, shifts, decimals);
        let decimals = if room(2) > 0.0 { 2 } else { 3 };
        let spot = Spot { shift_m, steady_m: room(decimals), decimals };
        self.told_band(sought, spot, false).aim
    }

    /// A study's bands with what to aim at in each.
    pub(super) fn all_aimed(&self, study: &Study) -> Vec<Aimed> {
        study.bands.iter().map(|band| self.aimed(study.way, *band, &[])).collect()
    }

    /// The blocks that stand too near openings at an aim, left out, if the plan allows so many, and a study
    /// without them gives an aim with fewer openings near: those blocks and that aim.
    pub(super) fn clear_without(
        &self,
        aim: &Aim,
        left_out: &[usize],
        study_without: impl Fn(&[usize]) -> Shifts,
    ) -> Option<LeaveOut> {
        let near = aim.openings.as_ref().map_or(0, |openings| openings.near.len());
        let way = super::way_of(aim.way);
        let blocks = self.study.too_near(self.project, way, -aim.shift_m, &[]);
        let few = blocks.len() <= MOST_LEFT_OUT && blocks.len() * FEW <= self.study.caps.len();
        if near == 0 || blocks.is_empty() || !few {
            return None;
        }
        let without: Vec<usize> = blocks.iter().chain(left_out).copied().collect();
        let study = study_without(&without);
        let teller = Teller { project: self.project, study: &study, from: self.from.clone() };
        let on_keel = teller.on_keel(study.study(way)).0;
        let several = teller.all_aimed(&on_keel);
        let best = Aimed::best(&several)?;
        (best.faults.near < near).then(|| LeaveOut {
            blocks: blocks.iter().map(|block| self.name(*block)).collect(),
            way: said::way(way),
            band: best.told.clone(),
        })
    }

    /// The band cut where an opening comes near a cap or a plug under one, or ceases to.
    fn parts(&self, sought: &Sought) -> Vec<Stretch> {
        let nearness = self.study.nearness(self.project, sought.way, sought.band, sought.without);
        let holding: Vec<(usize, Band)> =
            nearness.into_iter().map(|one| (code(one.opening, one.under), one.over)).collect();
        stretches(&holding, sought.band)
    }

    /// A part of a band cut where the blocks that are beyond their limit change, with those blocks.
    fn by_loads(&self, sought: &Sought, part: Band) -> Vec<(Band, Vec<usize>)> {
        let beyond = |slid_m: f64| {
            let loads = self.study.loads(self.project, sought.way, slid_m, sought.without);
            let known = loads.girder.is_some();
            (known, self.beyond(&loads))
        };
        let (known, at_the_middle) = beyond(part.middle_m());
        if !known {
            return vec![(part, at_the_middle)];
        }
        let parts = steady_stretches(part, LOADS_M, beyond).into_iter();
        parts.map(|(band, (_, blocks))| (band, blocks)).collect()
    }

    /// Whether a part of a band leaves less room either way than stations are sure to.
    fn is_narrow(&self, part: &Band) -> bool {
        let tolerance = self.project.docking.bounds.tolerance("station");
        tolerance.is_some_and(|tolerance| part.miss_m() + 1e-9 < tolerance.value)
    }

    fn told_band(&self, sought: &Sought, spot: Spot, is_best: bool) -> BandTold {
        let shifts = said::as_shifts(&sought.band);
        let parts = self.study.clear_parts(self.project, sought.way, sought.band, sought.without);
        let mut aim = self.aim(sought, spot, shifts);
        let clear: Vec<Band> = parts.iter().filter(|part| part.width_m() > 0.0).copied().collect();
        aim.said = aim_said::sentences(&aim, shifts, &clear, is_best);
        BandTold {
            from_m: kept(shifts.0),
            to_m: kept(shifts.1),
            openings_clear: spans(&parts),
            aim,
        }
    }

    /// The aim without its sentences.
    fn aim(&self, sought: &Sought, spot: Spot, shifts: (f64, f64)) -> Aim {
        let (project, study, way) = (self.project, self.study, sought.way);
        let slid_m = -spot.shift_m;
        let lie = slid(&study.lie, way, slid_m);
        let known = study.placed != Placed::Unknown;
        let openings = known.then(|| study.openings(project, way, slid_m, sought.without));
        let loads_before = (!sought.without_before.is_empty())
            .then(|| self.loads(&self.loads_before(sought.without_before)));
        Aim {
            way: said::way(way),
            from: self.from.clone(),
            shift_m: kept(spot.shift_m),
            srp_station_m: known.then(|| kept(lie.srp_station_m)),
            centreline_offset_m: known.then(|| kept(lie.centreline_offset_m)),
            miss_m: kept(said::room(spot.shift_m, shifts, spot.decimals)),
            steady_m: kept(spot.steady_m),
            decimals: spot.decimals,
            hidden_m2: kept((sought.hidden_m2)(slid_m)),
            openings: openings.map(|openings| self.openings(&openings)),
            loads: self.loads(&study.loads(project, way, slid_m, sought.without)),
            loads_before,
            said: Vec::new(),
        }
    }

    fn openings(&self, openings: &[OpeningAfter]) -> OpeningsTold {
        let of = |after: &OpeningAfter| self.project.openings.get(after.opening);
        let near = openings.iter().filter(|after| after.is_near()).filter_map(|after| {
            let opening = of(after)?;
            Some(OpeningNear {
                opening: opening.id.clone(),
                kind: opening.kind.clone(),
                clear_m: kept(after.clear_m),
                wanted_m: after.wanted_m.map(kept),
                block: self.name(after.block),
            })
        });
        let plugs = openings.iter().filter(|after| of(after).is_some_and(|o| o.is_docking_plug()));
        let id = |after: &OpeningAfter| Some(of(after)?.id.clone());
        let not_held = openings.iter().filter(|after| after.wanted_m.is_none());
        OpeningsTold {
            near: near.collect(),
            plugs_under: plugs.clone().filter(|after| after.is_under()).filter_map(id).collect(),
            held: openings.iter().filter(|after| after.wanted_m.is_some()).count(),
            not_held: not_held.filter_map(id).collect(),
            plugs_held: plugs.count(),
        }
    }
}

/// A number for an opening that is near a cap, and another for it under one.
fn code(opening: usize, under: bool) -> usize {
    2 * opening + usize::from(under)
}

/// The opening of such a number, if it is of that sort.
fn of_code(number: usize, under: bool) -> Option<usize> {
    (number % 2 == usize::from(under)).then_some(number / 2)
}
