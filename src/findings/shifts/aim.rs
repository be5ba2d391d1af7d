//! Where to put her: a study with its project, and the one place at which an aim is made.

use std::cmp::Ordering;

use super::answer::{
    Aim, AimLoads, AimOpenings, AimedBand, Choice, HiddenTwice, LeaveOut, LeavingOut, OneWay,
    OpeningNear, Pressed, PutBack, Span, TwoShifts,
};
use super::sentences::{self, Spot};
use crate::calc::shifts::{
    self, Band, Footing, MOST_LEFT_OUT, NO_WIDTH_M, Pair, Stretch, Study, Way, steady_stretches,
    stretches,
};
use crate::findings::recomputed::loads::{Loads, bearing_limit_kpa, loads_on};
use crate::findings::recomputed::shifts::{
    Before, FEW, Near, OpeningAfter, Placed, Shifts, slid, standing,
};
use crate::records::Project;
use crate::records::blocks::BlockRow;
use crate::records::openings::Opening;
use crate::units::{self, STANDARD_GRAVITY_M_PER_S2};

/// Loads are looked at every so many metres of a band, and where they change the place is found to the second
/// (our choice: bearing pressures change slowly with the shift).
const LOADS_M: (f64, f64) = (0.05, 0.005);

/// A band with the aim in it, and what it is preferred for.
pub struct Aimed {
    pub band: AimedBand,
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
pub struct Sought<'a> {
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

impl AimFinder<'_> {
    /// A band that leaves nothing hidden, with what to aim at in it.
    pub fn aimed(&self, way: Way, band: Band, without: &[usize]) -> Aimed {
        let hidden_m2 = |_: f64| 0.0;
        self.aimed_for(&Sought { way, band, without, without_before: &[], hidden_m2: &hidden_m2 })
    }

    /// A band with what to aim at in it: the part in which the fewest openings lie under a cap, of such the one
    /// with the fewest near one, then with the fewest blocks beyond their limit, then the one with the most room. A
    /// part with less room than stations are sure to is taken only if all are so narrow.
    pub fn aimed_for(&self, sought: &Sought) -> Aimed {
        let parts = self.parts(sought);
        let faults = |stretch: &Stretch<Near>, beyond: usize, part: &Band| {
            let openings = |under| stretch.holds.iter().filter(move |near| near.under == under);
            let is_plug = |near: &&Near| {
                self.project.openings.get(near.opening).is_some_and(Opening::is_docking_plug)
            };
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
        let mut spot = Spot::middle(Span::from(&part));
        // What must be hit exactly is not rounded.
        if part.width_m() <= NO_WIDTH_M {
            spot.shift_m = -part.middle_m();
        }
        Aimed { band: self.aimed_band(sought, spot, true), part, faults }
    }

    /// The aim at a place that is given, which lies in a band.
    pub fn aim_at(&self, sought: &Sought, shift_m: f64) -> Aim {
        let slid_m = -shift_m;
        let holds = |band: &Band| band.from_m <= slid_m && slid_m <= band.to_m;
        let parts = self.parts(sought);
        let part = parts.iter().find(|stretch| holds(&stretch.band));
        let part = part.map_or(sought.band, |stretch| stretch.band);
        let by_loads = self.by_loads(sought, part).into_iter().map(|(band, _)| band);
        let part = by_loads.into_iter().find(holds).unwrap_or(part);
        let spot = Spot::at(shift_m, Span::from(&part));
        self.aimed_band(sought, spot, false).aim
    }

    /// A study's bands with what to aim at in each.
    pub fn all_aimed(&self, study: &Study) -> Vec<Aimed> {
        study.bands.iter().map(|band| self.aimed(study.way, *band, &[])).collect()
    }

    /// The blocks that stand too near openings at an aim, left out, if the plan allows so many, and a study
    /// without them gives an aim with fewer openings near: those blocks and that aim.
    pub fn clear_without(
        &self,
        aim: &Aim,
        left_out: &[usize],
        study_without: impl Fn(&[usize]) -> Shifts,
    ) -> Option<LeaveOut> {
        let near = aim.openings.as_ref().map_or(0, |openings| openings.near.len());
        let way = aim.way;
        let blocks = self.study.too_near(self.project, way, -aim.shift_m, &[]);
        let few = blocks.len() <= MOST_LEFT_OUT && blocks.len() * FEW <= self.study.caps.len();
        if near == 0 || blocks.is_empty() || !few {
            return None;
        }
        let without: Vec<usize> = blocks.iter().chain(left_out).copied().collect();
        let study = study_without(&without);
        let finder = AimFinder { project: self.project, study: &study, from: self.from.clone() };
        let on_keel = finder.on_keel(study.study(way)).0;
        let several = finder.all_aimed(&on_keel);
        let best = Aimed::best(&several)?;
        (best.faults.near < near).then(|| LeaveOut {
            blocks: blocks.iter().map(|block| self.name(*block)).collect(),
            way,
            band: best.band.clone(),
        })
    }

    /// The band cut where an opening comes near a cap or a plug under one, or ceases to.
    fn parts(&self, sought: &Sought) -> Vec<Stretch<Near>> {
        let near = self.study.nearness(self.project, sought.way, sought.band, sought.without);
        stretches(&near, sought.band)
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

    fn aimed_band(&self, sought: &Sought, spot: Spot, is_best: bool) -> AimedBand {
        let shifts = Span::from(&sought.band);
        let parts = self.study.clear_parts(self.project, sought.way, sought.band, sought.without);
        let mut aim = self.aim(sought, spot, shifts);
        let clear: Vec<Band> = parts.iter().filter(|part| part.width_m() > 0.0).copied().collect();
        let clear = spans(&clear);
        aim.said = sentences::aim_in_sentences(&aim, shifts, &clear, is_best);
        AimedBand {
            from_m: kept(shifts.from_m),
            to_m: kept(shifts.to_m),
            openings_clear: spans(&parts),
            aim,
        }
    }

    /// The aim without its sentences.
    fn aim(&self, sought: &Sought, spot: Spot, shifts: Span) -> Aim {
        let (project, study, way) = (self.project, self.study, sought.way);
        let slid_m = -spot.shift_m;
        let lie = slid(&study.lie, way, slid_m);
        let known = study.placed != Placed::Unknown;
        let openings = known.then(|| study.openings(project, way, slid_m, sought.without));
        let loads_before = (!sought.without_before.is_empty())
            .then(|| self.loads(&self.loads_before(sought.without_before)));
        Aim {
            way,
            from: self.from.clone(),
            shift_m: kept(spot.shift_m),
            srp_station_m: known.then(|| kept(lie.srp_station_m)),
            centreline_offset_m: known.then(|| kept(lie.centreline_offset_m)),
            miss_m: kept(sentences::room(spot.shift_m, shifts, spot.decimals)),
            steady_m: kept(spot.room_m),
            decimals: spot.decimals,
            hidden_m2: kept((sought.hidden_m2)(slid_m)),
            openings: openings.map(|openings| self.openings(&openings)),
            loads: self.loads(&study.loads(project, way, slid_m, sought.without)),
            loads_before,
            said: Vec::new(),
        }
    }

    pub fn openings(&self, openings: &[OpeningAfter]) -> AimOpenings {
        openings_in_short(self.project, openings)
    }
}

/// What is known of openings somewhere: those near a cap, plugs under one, and how many were examined.
pub fn openings_in_short(project: &Project, openings: &[OpeningAfter]) -> AimOpenings {
    let of = |after: &OpeningAfter| project.openings.get(after.opening);
    let near = openings.iter().filter(|after| after.is_near()).filter_map(|after| {
        let opening = of(after)?;
        Some(OpeningNear {
            opening: opening.id.clone(),
            kind: opening.kind.clone(),
            clear_m: kept(after.clear_m),
            wanted_m: after.wanted_m.map(kept),
            block: name(project, after.block),
        })
    });
    let plugs = openings.iter().filter(|after| of(after).is_some_and(|o| o.is_docking_plug()));
    let id = |after: &OpeningAfter| Some(of(after)?.id.clone());
    let not_held = openings.iter().filter(|after| after.wanted_m.is_none());
    AimOpenings {
        near: near.collect(),
        plugs_under: plugs.clone().filter(|after| after.is_under()).filter_map(id).collect(),
        held: openings.iter().filter(|after| after.wanted_m.is_some()).count(),
        not_held: not_held.filter_map(id).collect(),
        plugs_held: plugs.count(),
    }
}

/// The name of a block by its number in the project's list.
pub fn name(project: &Project, block: usize) -> String {
    project.blocks.get(block).map_or_else(String::new, |block| block.id.clone())
}

/// A number as data has it: to a millionth, and never minus nothing.
pub fn kept(value: f64) -> f64 {
    units::fixed(value, 6).parse().unwrap_or(value)
}

/// What a shift is counted from: `P1 as she lay`, `P1`, `the first position`.
pub fn counted_from(project: &Project, position: Option<usize>, placed: Placed) -> String {
    let position = position.and_then(|n| project.positions.get(n));
    let position = position.map_or("the first position", |position| position.id.as_str());
    match placed {
        Placed::Unknown => position.to_string(),
        placed => format!("{position} {placed}"),
    }
}

/// A study with its project.
pub struct AimFinder<'a> {
    pub project: &'a Project,
    pub study: &'a Shifts,
    /// What shifts are counted from, in words.
    pub from: String,
}

impl AimFinder<'_> {
    /// A study as far as the keel stays on its blocks, and the bands that lie beyond.
    pub fn on_keel(&self, study: &Study) -> (Study, Vec<Band>) {
        on_keel(self.project, &self.study.caps, study)
    }

    /// Blocks that were found elsewhere than planned and are taken where they were planned.
    pub fn put_back(&self) -> Vec<PutBack> {
        let one = |(planned, found): &(usize, usize)| PutBack {
            block: self.name(*planned),
            found_as: self.name(*found),
        };
        self.study.put_back.iter().map(one).collect()
    }

    pub fn choice(
        &self,
        way: &OneWay,
        left_out: &[usize],
        without: impl Fn(&[usize]) -> Shifts,
    ) -> Option<Choice> {
        let band = way.best()?.clone();
        Some(Choice {
            way: way.way,
            smallest_m: way.smallest_m?,
            clear_without: self.clear_without(&band.aim, left_out, without),
            band,
        })
    }

    pub fn name(&self, block: usize) -> String {
        name(self.project, block)
    }

    pub fn way(&self, study: &Study) -> OneWay {
        let way = study.way;
        let at = |shift_m: f64| HiddenTwice {
            shift_m: kept(shift_m),
            area_m2: kept(self.study.hidden_twice_m2(way, -shift_m)),
        };
        OneWay {
            at_round_shifts: round_shifts(study.range_m).map(at).collect(),
            ..self.bare_way(study)
        }
    }

    /// A way without its table of round shifts.
    pub fn bare_way(&self, study: &Study) -> OneWay {
        let way = study.way;
        let (study, beyond) = self.on_keel(study);
        let curve = study.curve.iter().rev();
        let hidden_twice: Vec<HiddenTwice> = curve
            .map(|(slid, area)| HiddenTwice { shift_m: kept(-slid), area_m2: kept(*area) })
            .collect();
        // Of shifts that leave as little the smallest, and of two alike the one aft.
        let key = |point: &HiddenTwice| (point.area_m2, point.shift_m.abs(), point.shift_m);
        let on_keel =
            |point: &&HiddenTwice| stays_on(self.project, &self.study.caps, way, -point.shift_m);
        let least = hidden_twice.iter().filter(on_keel).min_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
        });
        let aimed = self.all_aimed(&study);
        let aim_m = Aimed::best(&aimed).map(|best| best.band.aim.shift_m);
        let bands: Vec<AimedBand> = aimed.into_iter().rev().map(|aimed| aimed.band).collect();
        OneWay {
            way,
            from_m: kept(-study.range_m.1),
            to_m: kept(-study.range_m.0),
            aim_m,
            smallest_m: study.smallest().map(|slid| kept(-slid)),
            least_m2: least.map_or(0.0, |point| point.area_m2),
            least_at_m: least.map_or(0.0, |point| point.shift_m),
            bands,
            off_keel: spans(&beyond),
            hidden_twice,
            at_round_shifts: Vec::new(),
        }
    }

    pub fn leaving_out(&self, way: Way, out: &shifts::LeavingOut) -> LeavingOut {
        let names = |blocks: &[usize]| blocks.iter().map(|block| self.name(*block)).collect();
        let sought = Sought {
            way,
            band: out.band,
            without: &out.of_after,
            without_before: &out.of_before,
            hidden_m2: &|_| 0.0,
        };
        LeavingOut {
            of_second: names(&out.of_after),
            of_first: names(&out.of_before),
            way,
            band: self.aimed_for(&sought).band,
        }
    }

    /// The loads before the shift with some blocks left out.
    pub fn loads_before(&self, without: &[usize]) -> Loads {
        let (project, study) = (self.project, self.study);
        let before = match study.before {
            Before::Blocks(position) => position,
            Before::Steel => None,
        };
        if study.placed == Placed::Unknown {
            let why_not = Some("where she lies was not recorded".into());
            return Loads { why_not, ..Loads::default() };
        }
        let mut blocks = standing(project, before);
        blocks.retain(|block| !without.contains(block));
        loads_on(project, before.unwrap_or(0), &study.lie, &blocks)
    }

    /// Two shifts with room for both: firsts round the one found, as long as the second keeps half its room.
    pub fn two_shifts(&self, pair: &Pair) -> TwoShifts {
        const STEP_M: f64 = 0.005;
        const MOST_STEPS: usize = 60;
        let way = Way::ForeAndAft;
        let (aim, half) = (pair.second.middle_m(), pair.second.miss_m() / 2.0);
        let second_after = |first_m: f64| {
            let bands = self.study.after_a_first(first_m);
            bands.into_iter().find(|b| b.from_m <= aim - half && aim + half <= b.to_m)
        };
        let mut first = Band { from_m: pair.first_m, to_m: pair.first_m };
        let mut second = pair.second;
        for side in [-1.0, 1.0] {
            for step in 1..=MOST_STEPS {
                let at = pair.first_m + side * step as f64 * STEP_M;
                let Some(band) = second_after(at) else { break };
                first = Band { from_m: first.from_m.min(at), to_m: first.to_m.max(at) };
                second.from_m = second.from_m.max(band.from_m);
                second.to_m = second.to_m.min(band.to_m);
            }
        }
        let hidden_m2 = |slid_m: f64| self.study.hidden_twice_m2(way, slid_m);
        let sought =
            Sought { way, band: first, without: &[], without_before: &[], hidden_m2: &hidden_m2 };
        TwoShifts {
            way,
            first: self.aimed_for(&sought).band,
            second: self.aimed(way, second, &[]).band,
        }
    }

    /// The blocks that bear more than their limit.
    pub fn beyond(&self, loads: &Loads) -> Vec<usize> {
        beyond(self.project, loads)
    }

    pub fn loads(&self, loads: &Loads) -> AimLoads {
        loads_in_short(self.project, loads)
    }
}

/// The blocks that bear more than their limit, by their numbers in the project's list.
fn beyond(project: &Project, loads: &Loads) -> Vec<usize> {
    let Some(girder) = &loads.girder else { return Vec::new() };
    let beyond = loads.rows(girder).filter(|(bearing, _, pressure, _)| {
        let limit = limit_kpa(project, bearing.block);
        pressure.zip(limit).is_some_and(|(kpa, limit)| kpa > limit)
    });
    beyond.map(|(bearing, ..)| bearing.block).collect()
}

/// The bearing limit of a block: its own, or the one for all.
fn limit_kpa(project: &Project, block: usize) -> Option<f64> {
    bearing_limit_kpa(project, project.blocks.get(block)?)
}

/// The greatest load, and the pressure that is the greatest part of its limit.
pub fn loads_in_short(project: &Project, loads: &Loads) -> AimLoads {
    let mut found = AimLoads { why_not: loads.why_not.clone(), ..AimLoads::default() };
    let Some(girder) = &loads.girder else { return found };
    let limit = |block: usize| limit_kpa(project, block);
    let name = |block: usize| name(project, block);
    let rows: Vec<_> = loads.rows(girder).collect();
    if let Some((bearing, load, ..)) = rows.iter().max_by(|a, b| a.1.total_cmp(&b.1)) {
        found.greatest_t = Some(kept(load / STANDARD_GRAVITY_M_PER_S2));
        found.on = Some(name(bearing.block));
    }
    let pressed = rows.iter().filter_map(|(bearing, _, pressure, _)| {
        let (kpa, limit) = ((*pressure)?, limit(bearing.block));
        Some((bearing.block, kpa, limit, limit.map(|limit| kpa / limit)))
    });
    // Blocks without a limit are compared among themselves only.
    let most = pressed.max_by(|a, b| {
        let by_part = a.3.unwrap_or(-1.0).total_cmp(&b.3.unwrap_or(-1.0));
        by_part.then(a.1.total_cmp(&b.1))
    });
    if let Some((block, kpa, limit, _)) = most {
        found.pressure_kpa = Some(kept(kpa));
        found.pressed = Some(name(block));
        found.limit_kpa = limit.map(kept);
    }
    let beyond = beyond(project, loads);
    let pressed = rows.iter().filter(|(bearing, ..)| beyond.contains(&bearing.block));
    found.beyond = pressed
        .filter_map(|(bearing, _, pressure, _)| {
            let (kpa, limit) = ((*pressure)?, limit(bearing.block)?);
            let block = name(bearing.block);
            Some(Pressed { block, pressure_kpa: kept(kpa), limit_kpa: kept(limit) })
        })
        .collect();
    found.no_limit = rows.iter().filter(|(bearing, ..)| limit(bearing.block).is_none()).count();
    found
}

/// Bands of lengths slid as shifts of the ship.
fn spans(bands: &[Band]) -> Vec<Span> {
    let shifts = bands.iter().rev().map(Span::from);
    shifts.map(|span| Span { from_m: kept(span.from_m), to_m: kept(span.to_m) }).collect()
}

/// The lengths slid athwart at which the centreline stays over every cap of the keel row that it is over
/// when nothing is slid, skew left aside (our choice: beyond, she would not stand on her keel). `None` if it
/// is over none.
fn kept_under(project: &Project, caps: &[Footing]) -> Option<Band> {
    let of_keel = |footing: &&Footing| {
        project.blocks.get(footing.block).is_some_and(|block| block.row == BlockRow::Keel)
    };
    let spans = caps.iter().filter(of_keel).map(|footing| {
        let (middle, half) = (footing.cap.centre.y, footing.cap.width_m / 2.0);
        Band { from_m: -middle - half, to_m: half - middle }
    });
    let under = spans.filter(|span| span.from_m <= 0.0 && span.to_m >= 0.0);
    under.reduce(|a, b| Band { from_m: a.from_m.max(b.from_m), to_m: a.to_m.min(b.to_m) })
}

/// A study as far as the keel stays on its blocks, and the bands that lie beyond.
fn on_keel(project: &Project, caps: &[Footing], study: &Study) -> (Study, Vec<Band>) {
    let under = match study.way {
        Way::ForeAndAft => None,
        Way::Athwart => kept_under(project, caps),
    };
    let Some(under) = under else { return (study.clone(), Vec::new()) };
    let cut = |band: &Band, from_m: f64, to_m: f64| {
        let band = Band { from_m: band.from_m.max(from_m), to_m: band.to_m.min(to_m) };
        (band.width_m() > NO_WIDTH_M).then_some(band)
    };
    let cut_all = |from_m: f64, to_m: f64| {
        study.bands.iter().filter_map(|band| cut(band, from_m, to_m)).collect::<Vec<_>>()
    };
    let mut beyond = cut_all(f64::NEG_INFINITY, under.from_m);
    beyond.extend(cut_all(under.to_m, f64::INFINITY));
    let within = |slid: f64| under.from_m <= slid && slid <= under.to_m;
    let mut leaving_out = study.leaving_out.clone();
    leaving_out.retain(|out| within(out.band.from_m) && within(out.band.to_m));
    let bands = cut_all(under.from_m, under.to_m);
    (Study { bands, leaving_out, ..study.clone() }, beyond)
}

/// Whether the keel stays on its blocks, slid by a length in m.
pub fn stays_on(project: &Project, caps: &[Footing], way: Way, slid_m: f64) -> bool {
    way == Way::ForeAndAft
        || kept_under(project, caps)
            .is_none_or(|under| under.from_m <= slid_m && slid_m <= under.to_m)
}

/// Round shifts over a range of lengths slid, some twenty.
fn round_shifts((from_m, to_m): (f64, f64)) -> impl Iterator<Item = f64> {
    const STEPS_M: [f64; 11] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 100.0];
    let least = (to_m - from_m) / 25.0;
    let step = STEPS_M.into_iter().find(|step| *step >= least).unwrap_or(least);
    let first = (-to_m / step - 1e-9).ceil() as i64;
    let last = (-from_m / step + 1e-9).floor() as i64;
    (first..=last).map(move |n| n as f64 * step)
}
