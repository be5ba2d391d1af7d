//! Which shift to choose, told: the study of a project's blocks as data and in plain sentences, for the
//! command line and for the report.

mod aim;
mod aim_said;
pub mod answer;
mod keel;
mod past;
pub mod said;
pub mod told;

use super::Examined;
use super::recomputed::loads::{Loads, loads_on};
use super::recomputed::shifts::{Asked as Question, Before, Placed, Shifts, shifts, standing};
use crate::calc::shifts::{Band, LeavingOut, Pair, Study, Way};
use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::value::nearest;
use crate::units::{self, STANDARD_GRAVITY_M_PER_S2};
use aim::{Aimed, Sought};
use told::{
    Asked, BandTold, Choice, HiddenTwice, LeavingOutTold, LoadsTold, Pressed, PutBack, Span, Told,
    TwoShifts, WayTold,
};

pub use past::Earlier;

/// The name under which a report speaks of its own docking.
pub const THIS_DOCKING: &str = "This docking";

/// On fewer blocks no ship stands (common practice, no source).
const LEAST_BLOCKS: usize = 2;

/// Of how many blocks one may be left out: with more the plan is another one (our choice).
const FEW: usize = 4;

/// What is asked, by the names of the record; what is left out is as `recomputed::shifts` has it by default.
#[derive(Debug, Clone, Default)]
pub struct Ask {
    /// The position before the shift.
    pub before: Option<String>,
    /// The position whose blocks stand after it.
    pub after: Option<String>,
    /// How far to look either way, m.
    pub reach_m: Option<f64>,
    /// Blocks to leave out after it.
    pub leave_out: Vec<String>,
    /// Whether blocks that were found elsewhere than planned stand after it where they were found.
    pub as_found: bool,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, as it goes on after the project's name.
    pub wrong: String,
    /// What to do.
    pub advice: String,
}

/// Answers: which shift leaves nothing under blocks a second time, and where to land so that what earlier
/// dockings left is reached. Names that the project has not, and a shift without blocks, are refused.
pub fn tell(examined: &Examined, ask: &Ask, earlier: &[Earlier<'_>]) -> Result<Told, Vec<Refusal>> {
    let (project, recomputed) = (&examined.project, &examined.recomputed);
    let question = question(project, ask)?;
    let study = shifts(project, recomputed, &question);
    let before = match study.before {
        Before::Blocks(position) => position,
        Before::Steel => None,
    };
    let name = |number: Option<usize>| Some(project.positions.get(number?)?.id.clone());
    let blocks_before = standing(project, before).len();
    let counts = [(before, blocks_before), (study.after, study.caps.len())];
    if let Some((position, count)) = counts.into_iter().find(|(_, count)| *count < LEAST_BLOCKS) {
        return Err(vec![too_few(name(position), count, &ask.leave_out)]);
    }
    let teller = Teller { project, study: &study, from: from(project, before, study.placed) };
    let (fore_and_aft, _) = teller.on_keel(&study.fore_and_aft);
    let (athwart, _) = teller.on_keel(&study.athwart);
    let both = [&fore_and_aft, &athwart];
    let ways: Vec<WayTold> =
        [&study.fore_and_aft, &study.athwart].into_iter().map(|s| teller.way(s)).collect();
    let outline = recomputed.bottom.is_some() && study.placed != Placed::Unknown;
    let without = |left_out: &[usize]| {
        shifts(project, recomputed, &Question { leave_out: left_out.to_vec(), ..question.clone() })
    };
    let mut told = Told {
        ship: project.docking.ship.name.clone(),
        dock: project.docking.dock.name.clone(),
        asked: Asked {
            before: name(before),
            lay: lay(study.placed),
            after: name(study.after).filter(|_| study.after != before),
            blocks_before,
            blocks_after: study.caps.len(),
            left_out: ask.leave_out.clone(),
            overlap_m: study.overlap_m,
            outline,
            put_back: teller.put_back(),
        },
        one_shift_does: false,
        answer: Vec::new(),
        choice: ways.iter().find_map(|way| teller.choice(way, &question.leave_out, without)),
        ways,
        leaving_out: both
            .into_iter()
            .flat_map(|s| s.leaving_out.iter().map(move |out| (s.way, out)))
            .filter(|(_, out)| out.count() * FEW <= study.caps.len())
            .map(|(way, out)| teller.leaving_out(way, out))
            .collect(),
        two_shifts: None,
        past: earlier.iter().map(|one| past::told(examined, one, &question)).collect(),
        cautions: answer::CAUTIONS.to_vec(),
    };
    told.one_shift_does = told.choice.is_some();
    if !told.one_shift_does {
        told.two_shifts = study.pair(project).map(|pair| teller.two_shifts(&pair));
    }
    told.answer = answer::sentences(&told);
    Ok(told)
}

/// How a place is known, in words.
fn lay(placed: Placed) -> &'static str {
    match placed {
        Placed::Recorded => "as she lay",
        Placed::Planned => "as planned",
        Placed::Unknown => answer::NOT_RECORDED,
    }
}

/// What a shift is counted from: `P1 as she lay`, `P1`, `the first position`.
fn from(project: &Project, position: Option<usize>, placed: Placed) -> String {
    let position = position.and_then(|n| project.positions.get(n));
    let position = position.map_or("the first position", |position| position.id.as_str());
    match placed {
        Placed::Unknown => position.to_string(),
        placed => format!("{position} {}", lay(placed)),
    }
}

fn too_few(position: Option<String>, count: usize, left_out: &[String]) -> Refusal {
    let place = position.map_or_else(|| "every position".into(), |id| format!("position {id}"));
    let wrong = match count {
        0 => format!("has no block that stands in {place}"),
        _ => format!(
            "has only {count} block that stands in {place}, on which no ship can stand, so that no shift can be \
             named"
        ),
    };
    let advice = match left_out {
        [] => "name positions with --before and --after in which blocks stand",
        _ => {
            "leave out fewer blocks, or name positions with --before and --after in which more stand"
        }
    };
    Refusal { wrong, advice: advice.to_string() }
}

/// The question by numbers; every name that is not known is refused, and every block to leave out by the name under
/// which it was found elsewhere, unless it is studied there.
fn question(project: &Project, ask: &Ask) -> Result<Question, Vec<Refusal>> {
    let mut refusals = Vec::new();
    let mut position = |name: &Option<String>| {
        let ids = || project.positions.iter().map(|position| position.id.as_str());
        find(ids, name.as_deref()?, "position", &mut refusals)
    };
    let (before, after) = (position(&ask.before), position(&ask.after));
    let ids = || project.blocks.iter().map(|block| block.id.as_str());
    let leave_out: Vec<usize> = ask
        .leave_out
        .iter()
        .filter_map(|name| find(ids, name.trim(), "block", &mut refusals))
        .collect();
    let question =
        Question { before, after, reach_m: ask.reach_m, leave_out, as_found: ask.as_found };
    refusals.extend(put_back_named(project, &question));
    if refusals.is_empty() { Ok(question) } else { Err(refusals) }
}

/// Blocks to leave out by the name under which they were found elsewhere, where they are taken as planned.
fn put_back_named(project: &Project, question: &Question) -> Vec<Refusal> {
    if question.as_found {
        return Vec::new();
    }
    let blocks = question.leave_out.iter().filter_map(|n| project.blocks.get(*n));
    let one = |block: &Block| {
        let planned = block.moved_from.as_ref()?;
        Some(Refusal {
            wrong: format!(
                "has {planned} recorded as {} where it was found; after a shift {planned} stands where it is \
                 planned",
                block.id
            ),
            advice: format!("name {planned}, or add --as-found to study it where it was found"),
        })
    };
    blocks.filter_map(one).collect()
}

/// The number of a name among those known.
fn find<'a, I: Iterator<Item = &'a str>>(
    known: impl Fn() -> I,
    name: &str,
    what: &str,
    refusals: &mut Vec<Refusal>,
) -> Option<usize> {
    // No two ids of a kind differ in capital letters alone.
    let lower = name.to_lowercase();
    let found = known()
        .position(|id| id == name)
        .or_else(|| known().position(|id| id.to_lowercase() == lower));
    if found.is_none() {
        let advice = match (nearest(name, known()), known().count()) {
            (Some(near), _) => format!("write {near}"),
            (None, 0) => format!("leave it out: no {what} is recorded"),
            (None, _) => {
                format!("name one of {}", units::one_of(&known().take(12).collect::<Vec<_>>()))
            }
        };
        refusals.push(Refusal { wrong: format!("has no {what} {name:?}"), advice });
    }
    found
}

/// A way by its words.
pub fn way_of(words: &str) -> Way {
    if words == said::way(Way::Athwart) { Way::Athwart } else { Way::ForeAndAft }
}

/// A number as data has it: to a millionth, and never minus nothing.
fn kept(value: f64) -> f64 {
    units::fixed(value, 6).parse().unwrap_or(value)
}

/// A study with its project.
struct Teller<'a> {
    project: &'a Project,
    study: &'a Shifts,
    /// What shifts are counted from, in words.
    from: String,
}

impl Teller<'_> {
    /// A study as far as the keel stays on its blocks, and the bands that lie beyond.
    fn on_keel(&self, study: &Study) -> (Study, Vec<Band>) {
        keel::on_keel(self.project, &self.study.caps, study)
    }

    /// Blocks that were found elsewhere than planned and are taken where they were planned.
    fn put_back(&self) -> Vec<PutBack> {
        let one = |(planned, found): &(usize, usize)| PutBack {
            block: self.name(*planned),
            found_as: self.name(*found),
        };
        self.study.put_back.iter().map(one).collect()
    }

    fn choice(
        &self,
        way: &WayTold,
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

    fn name(&self, block: usize) -> String {
        self.project.blocks.get(block).map_or_else(String::new, |block| block.id.clone())
    }

    fn way(&self, study: &Study) -> WayTold {
        let way = study.way;
        let at = |shift_m: f64| HiddenTwice {
            shift_m: kept(shift_m),
            area_m2: kept(self.study.hidden_twice_m2(way, -shift_m)),
        };
        WayTold {
            at_round_shifts: round_shifts(study.range_m).map(at).collect(),
            ..self.bare_way(study)
        }
    }

    /// A way without its table of round shifts.
    fn bare_way(&self, study: &Study) -> WayTold {
        let way = study.way;
        let (study, beyond) = self.on_keel(study);
        let curve = study.curve.iter().rev();
        let hidden_twice: Vec<HiddenTwice> = curve
            .map(|(slid, area)| HiddenTwice { shift_m: kept(-slid), area_m2: kept(*area) })
            .collect();
        // Of shifts that leave as little the smallest, and of two alike the one aft.
        let key = |point: &HiddenTwice| (point.area_m2, point.shift_m.abs(), point.shift_m);
        let on_keel = |point: &&HiddenTwice| {
            keel::stays_on(self.project, &self.study.caps, way, -point.shift_m)
        };
        let least = hidden_twice.iter().filter(on_keel).min_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
        });
        let aimed = self.all_aimed(&study);
        let aim_m = Aimed::best(&aimed).map(|best| best.told.aim.shift_m);
        let bands: Vec<BandTold> = aimed.into_iter().rev().map(|aimed| aimed.told).collect();
        WayTold {
            way: said::way(way),
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

    fn leaving_out(&self, way: Way, out: &LeavingOut) -> LeavingOutTold {
        let names = |blocks: &[usize]| blocks.iter().map(|block| self.name(*block)).collect();
        let sought = Sought {
            way,
            band: out.band,
            without: &out.of_after,
            without_before: &out.of_before,
            hidden_m2: &|_| 0.0,
        };
        LeavingOutTold {
            of_second: names(&out.of_after),
            of_first: names(&out.of_before),
            way: said::way(way),
            band: self.aimed_for(&sought).told,
        }
    }

    /// The loads before the shift with some blocks left out.
    fn loads_before(&self, without: &[usize]) -> Loads {
        let (project, study) = (self.project, self.study);
        let before = match study.before {
            Before::Blocks(position) => position,
            Before::Steel => None,
        };
        if study.placed == Placed::Unknown {
            let why_not = Some("where she lies was not recorded".to_string());
            return Loads { why_not, ..Loads::default() };
        }
        let mut blocks = standing(project, before);
        blocks.retain(|block| !without.contains(block));
        loads_on(project, before.unwrap_or(0), &study.lie, &blocks)
    }

    /// Two shifts with room for both: firsts round the one found, as long as the second keeps half its room.
    fn two_shifts(&self, pair: &Pair) -> TwoShifts {
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
            way: said::way(way),
            first: self.aimed_for(&sought).told,
            second: self.aimed(way, second, &[]).told,
        }
    }

    /// The blocks that bear more than their limit.
    fn beyond(&self, loads: &Loads) -> Vec<usize> {
        let Some(girder) = &loads.girder else { return Vec::new() };
        let beyond = loads.rows(girder).filter(|(bearing, _, pressure, _)| {
            let limit = self.limit_kpa(bearing.block);
            pressure.zip(limit).is_some_and(|(kpa, limit)| kpa > limit)
        });
        beyond.map(|(bearing, ..)| bearing.block).collect()
    }

    /// The bearing limit of a block: its own, or the one for all.
    fn limit_kpa(&self, block: usize) -> Option<f64> {
        let own = self.project.blocks.get(block)?.bearing_limit_kpa;
        let general = || self.project.docking.bounds.limit("bearing_pressure");
        own.or_else(|| general().map(|limit| limit.value))
    }

    /// The greatest load, and the pressure that is the greatest part of its limit.
    fn loads(&self, loads: &Loads) -> LoadsTold {
        let mut told = LoadsTold { why_not: loads.why_not.clone(), ..LoadsTold::default() };
        let Some(girder) = &loads.girder else { return told };
        let limit = |block: usize| self.limit_kpa(block);
        let rows: Vec<_> = loads.rows(girder).collect();
        if let Some((bearing, load, ..)) = rows.iter().max_by(|a, b| a.1.total_cmp(&b.1)) {
            told.greatest_t = Some(kept(load / STANDARD_GRAVITY_M_PER_S2));
            told.on = Some(self.name(bearing.block));
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
            told.pressure_kpa = Some(kept(kpa));
            told.pressed = Some(self.name(block));
            told.limit_kpa = limit.map(kept);
        }
        let beyond = self.beyond(loads);
        let pressed = rows.iter().filter(|(bearing, ..)| beyond.contains(&bearing.block));
        told.beyond = pressed
            .filter_map(|(bearing, _, pressure, _)| {
                let (kpa, limit) = ((*pressure)?, limit(bearing.block)?);
                let block = self.name(bearing.block);
                Some(Pressed { block, pressure_kpa: kept(kpa), limit_kpa: kept(limit) })
            })
            .collect();
        told.no_limit = rows.iter().filter(|(bearing, ..)| limit(bearing.block).is_none()).count();
        told
    }
}

/// Bands of lengths slid as shifts of the ship.
fn spans(bands: &[Band]) -> Vec<Span> {
    let shifts = bands.iter().rev().map(said::as_shifts);
    shifts.map(|(from, to)| Span { from_m: kept(from), to_m: kept(to) }).collect()
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
