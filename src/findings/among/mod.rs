//! The positions that the docking plan offers, compared before some of them are chosen: every choice and every order of
//! them, what stays hidden, openings, loads, landings and costs. `answer` is the data, `sentences` words it.

pub mod answer;
mod sentences;

use std::collections::BTreeMap;

use geo::{Coord, MultiPolygon};

use super::recomputed::Recomputed;
use super::recomputed::loads::{Loads, loads_on};
use super::recomputed::position::{is_found_elsewhere, lain};
use super::recomputed::shifts::openings_at;
use super::shifts::answer::{AimLoads, AimOpenings, HiddenPiece};
use super::shifts::{Earlier, Refusal, find, kept, loads_in_short, openings_in_short, pieces_of};
use crate::calc::among::{Choice, MOST, best_order, choices};
use crate::calc::exposure::{self, Bottom, Hidden, Piece};
use crate::calc::plane::{NO_AREA_M2, area_m2, common, extent};
use crate::calc::shifts::{Footing, Sides, Way};
use crate::hull::on_hull;
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::plan::PlanPosition;
use crate::text;
use crate::text::{Text, count};
use answer::{Among, Chosen, EarlierDocking, EarlierPosition, Offered, PlugUnder};

/// The word for all positions that the plan offers.
const ALL: &str = "all";

/// On fewer blocks no ship stands (common practice, no source).
const LEAST_BLOCKS: usize = 2;

/// How far it is examined by how much a position may be missed, m (our choice: no ship is landed so far off).
pub const ROOM_M: f64 = 0.5;

/// What is asked.
#[derive(Debug, Clone, Default)]
pub struct Query {
    /// The positions, by their numbers in the project's list, growing.
    pub positions: Vec<usize>,
    /// Blocks left out of each, beside those that the plan leaves out, by their numbers in the project's list.
    pub leave_out: Vec<usize>,
}

impl Query {
    /// All positions that the plan offers; or why they can't be compared.
    pub fn all(project: &Project) -> Result<Self, Refusal> {
        let positions: Vec<usize> = (0..project.plan_positions.len()).collect();
        let query = Self { positions, leave_out: Vec::new() };
        match refused(project, &query) {
            Some(refusal) => Err(refusal),
            None => Ok(query),
        }
    }

    /// The same for positions and blocks by their names; `all` for all positions. Every name that the project has not
    /// is refused.
    pub fn naming(
        project: &Project,
        positions: &[String],
        leave_out: &[String],
    ) -> Result<Self, Vec<Refusal>> {
        let mut refusals = Vec::new();
        let ids = || project.plan_positions.iter().map(|position| position.id.as_str());
        let blocks = || project.blocks.iter().map(|block| block.id.as_str());
        let is_all = matches!(positions, [one] if one.eq_ignore_ascii_case(ALL) && ids().all(|id| id != one));
        let mut numbers: Vec<usize> = match is_all || project.plan_positions.is_empty() {
            true => (0..project.plan_positions.len()).collect(),
            false => {
                let name = "position of the plan";
                let names = positions.iter();
                names.filter_map(|one| find(ids, one.trim(), name, &mut refusals)).collect()
            }
        };
        numbers.sort_unstable();
        numbers.dedup();
        let leave_out = leave_out
            .iter()
            .filter_map(|name| find(blocks, name.trim(), "block", &mut refusals))
            .collect();
        let query = Self { positions: numbers, leave_out };
        if refusals.is_empty() {
            refusals.extend(refused(project, &query));
        }
        if refusals.is_empty() { Ok(query) } else { Err(refusals) }
    }
}

/// Why nothing is compared.
fn refused(project: &Project, query: &Query) -> Option<Refusal> {
    let refusal = |wrong: String, advice: &str| Refusal { wrong, advice: advice.to_string() };
    if project.plan_positions.is_empty() {
        let advice = "write the positions that the docking plan offers into plan/positions.csv";
        return Some(refusal("has no positions of the plan on record".to_string(), advice));
    }
    if query.positions.len() > MOST {
        let wrong = format!(
            "has {} positions of the plan asked about, of which at most {MOST} can be compared in every order",
            query.positions.len()
        );
        return Some(refusal(wrong, "name fewer of them, such as --among 1,2,3"));
    }
    None
}

/// Compares them. `earlier` are dockings to lay beside them.
pub fn among(
    project: &Project,
    recomputed: &Recomputed,
    query: &Query,
    earlier: &[Earlier<'_>],
) -> Among {
    let bottom = &recomputed.bottom;
    let overlap_m = project.docking.bounds.limit("shift_overlap").map_or(0.0, |limit| limit.value);
    let asked: Vec<&PlanPosition> =
        query.positions.iter().filter_map(|n| project.plan_positions.get(*n)).collect();
    let berths: Vec<Berth> =
        asked.iter().map(|position| Berth::new(project, position, query)).collect();
    let hidden = |grown_m: f64| -> Vec<Hidden> {
        let of = |berth: &Berth| {
            let caps = berth.blocks.iter().map(|n| (*n, project.blocks[*n].cap.grown(grown_m)));
            exposure::hidden(caps, &berth.position.lie(), bottom)
        };
        berths.iter().map(of).collect()
    };
    let whole = hidden(0.0);
    let usable: Vec<usize> =
        (0..berths.len()).filter(|n| berths[*n].why_not(project).is_none()).collect();
    let all = |hidden: &[Hidden]| -> Vec<Choice> {
        let shapes: Vec<MultiPolygon<f64>> =
            usable.iter().map(|n| hidden[*n].shape.clone()).collect();
        let numbered = choices(&shapes).into_iter().map(|choice| Choice {
            positions: choice.positions.iter().map(|n| usable[*n]).collect(),
            ..choice
        });
        numbered.collect()
    };
    let grown = (overlap_m > 0.0).then(|| all(&hidden(overlap_m)));
    let offered: Vec<Offered> =
        berths.iter().zip(&whole).map(|(berth, hidden)| berth.offered(project, hidden)).collect();
    let mut borne = Borne { project, berths: &berths, known: BTreeMap::new() };
    borne.fill(&usable);
    let places: Vec<Coord<f64>> = asked
        .iter()
        .map(|position| {
            let lie = position.lie();
            Coord { x: lie.srp_station_m, y: lie.centreline_offset_m }
        })
        .collect();
    let mut orders = 0;
    let mut found: Vec<Chosen> = all(&whole)
        .into_iter()
        .enumerate()
        .map(|(n, choice)| {
            let grown = grown.as_ref().and_then(|grown| grown.get(n));
            let (order, count) = best_order(&choice.positions, &places, &|position, at| {
                borne.at(position, at).map_or(0, |loads| loads.beyond.len())
            });
            orders += count;
            let numbers = order.positions;
            let (never_clear, plugs_under) = of_openings(&offered, &numbers);
            let hardest = borne.hardest(&numbers);
            let landings = numbers.len();
            let cost = project.docking.plan.cost_of_a_landing;
            Chosen {
                positions: numbers.iter().map(|n| offered[*n].position.clone()).collect(),
                used_as: used_as(project, &asked, &numbers),
                landings,
                refloodings: landings.saturating_sub(1),
                hidden_m2: kept(choice.hidden_m2),
                room_m: room_m(project, &berths, &numbers, choice.hidden_m2, bottom),
                hidden_grown_m2: grown.map(|grown| kept(grown.hidden_m2)),
                pieces: pieces(project, &choice.hidden, &whole, &numbers),
                never_clear,
                plugs_under,
                hardest: hardest.as_ref().map(|(n, _)| offered[*n].position.clone()),
                loads: hardest.map(|(_, loads)| loads.clone()),
                beyond: order.faults,
                hauled_m: kept(order.hauled_m),
                cost: cost.map(|cost| kept(cost * landings as f64)),
                hidden_again_m2: earlier.iter().map(|one| again_m2(one, &choice.hidden)).collect(),
                hidden: choice.hidden,
                numbers,
            }
        })
        .collect();
    found.sort_by(|a, b| a.landings.cmp(&b.landings).then(a.hidden_m2.total_cmp(&b.hidden_m2)));
    let mut among = Among {
        ship: project.docking.ship.name.clone(),
        dock: project.docking.dock.name.clone(),
        offered,
        in_plan: project.plan_positions.len(),
        left_out: query.leave_out.iter().map(|n| project.blocks[*n].id.clone()).collect(),
        overlap_m,
        outline: bottom.is_some(),
        put_back: project.blocks.iter().filter(|block| block.moved_from.is_some()).count(),
        orders,
        some_reach_all: found.iter().any(Chosen::reaches_all),
        answer: Vec::new(),
        choices: found,
        currency: project.docking.plan.currency.clone(),
        earlier: earlier.iter().map(|one| beside(project, &asked, one)).collect(),
        cautions: super::shifts::sentences::CAUTIONS.to_vec(),
    };
    among.answer = sentences::answer(&among);
    among
}

impl Chosen {
    /// Whether it leaves nothing of the bottom under blocks in all its positions.
    pub fn reaches_all(&self) -> bool {
        self.hidden_m2 < NO_AREA_M2
    }
}

/// A position of the plan with the blocks that stand in it.
struct Berth<'a> {
    position: &'a PlanPosition,
    /// By their numbers in the project's list.
    blocks: Vec<usize>,
    left_out: Vec<usize>,
}

impl<'a> Berth<'a> {
    fn new(project: &Project, position: &'a PlanPosition, query: &Query) -> Self {
        let planned = (0..project.blocks.len()).filter(|n| project.blocks[*n].moved_from.is_none());
        let stands = |n: &usize| {
            let block = &project.blocks[*n];
            is_in_plan(project, block)
                && !position.leaves_out(&block.id)
                && !query.leave_out.contains(n)
        };
        let (blocks, left_out) = planned.partition(stands);
        Self { position, blocks, left_out }
    }

    /// Why it can't be used.
    fn why_not(&self, project: &Project) -> Option<Text> {
        if self.blocks.len() < LEAST_BLOCKS {
            return Some(match self.blocks.len() {
                0 => text!("no block stands in it"),
                n => text!("only {} stands in it", count(n, "block", "blocks")),
            });
        }
        let lie = self.position.lie();
        let keel = self.blocks.iter().map(|n| &project.blocks[*n]);
        let mut keel = keel.filter(|block| block.row == BlockRow::Keel).peekable();
        keel.peek()?;
        let is_under = |block: &Block| {
            let cap = on_hull(&block.cap, &lie);
            cap.centre.y.abs() <= cap.width_m / 2.0
        };
        let is_off = !keel.any(is_under);
        is_off.then(|| text!("her centreline lies over none of the keel blocks"))
    }

    fn offered(&self, project: &Project, hidden: &Hidden) -> Offered {
        let position = self.position;
        let lie = position.lie();
        let used = project.positions.iter();
        let used = used.filter(|one| one.from_plan.as_ref() == Some(&position.id));
        Offered {
            position: position.id.clone(),
            srp_station_m: kept(lie.srp_station_m),
            centreline_offset_m: kept(lie.centreline_offset_m),
            source: position.source.clone(),
            used_as: used.map(|one| one.id.clone()).collect(),
            left_out: self.left_out.iter().map(|n| project.blocks[*n].id.clone()).collect(),
            blocks: self.blocks.len(),
            hidden_m2: kept(area_m2(&hidden.shape)),
            hidden: hidden.shape.clone(),
            openings: openings_in_short(project, &openings_at(project, &self.blocks, &lie)),
            loads: loads_in_short(project, &self.loads(project, 0)),
            why_not: self.why_not(project),
        }
    }

    /// The loads in it as the landing of a number, from 0 on: she carries what this docking's landing of that number
    /// carries, or its last where there are more.
    fn loads(&self, project: &Project, landing: usize) -> Loads {
        let number = landing.min(project.positions.len().saturating_sub(1));
        loads_on(project, number, &self.position.lie(), &self.blocks)
    }
}

/// Whether a block is one of the plan that stands: one that this docking left out of every position does not, unless it
/// only stood elsewhere.
fn is_in_plan(project: &Project, block: &Block) -> bool {
    let nowhere = block.positions.as_ref().is_some_and(Vec::is_empty);
    !nowhere || is_found_elsewhere(project, block, None)
}

/// The loads in each position as each landing, as far as those differ.
struct Borne<'a> {
    project: &'a Project,
    berths: &'a [Berth<'a>],
    known: BTreeMap<(usize, usize), AimLoads>,
}

impl Borne<'_> {
    fn fill(&mut self, usable: &[usize]) {
        let landings = if self.project.moved.is_empty() { 1 } else { self.project.positions.len() };
        for position in usable {
            for landing in 0..landings.clamp(1, usable.len()) {
                let loads = self.berths[*position].loads(self.project, landing);
                self.known.insert((*position, landing), loads_in_short(self.project, &loads));
            }
        }
    }

    /// The loads in a position as the landing of a number.
    fn at(&self, position: usize, landing: usize) -> Option<&AimLoads> {
        let known = self.known.range((position, 0)..=(position, landing));
        known.last().map(|(_, loads)| loads)
    }

    /// Of the positions in an order the one whose loads come nearest to a limit.
    fn hardest(&self, order: &[usize]) -> Option<(usize, &AimLoads)> {
        let each = order.iter().enumerate();
        let known = each.filter_map(|(at, n)| Some((*n, self.at(*n, at)?)));
        let part = |loads: &AimLoads| Some(loads.pressure_kpa? / loads.limit_kpa?);
        let key =
            |loads: &AimLoads| (part(loads).unwrap_or(-1.0), loads.pressure_kpa.unwrap_or(-1.0));
        let known = known.filter(|(_, loads)| loads.greatest_t.is_some());
        known.reduce(|hardest, next| {
            let (a, b) = (key(hardest.1), key(next.1));
            if b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1)).is_gt() { next } else { hardest }
        })
    }
}

/// By how much one of two positions that leave nothing may be missed fore and aft, m.
fn room_m(
    project: &Project,
    berths: &[Berth],
    order: &[usize],
    hidden_m2: f64,
    bottom: &Bottom,
) -> Option<f64> {
    let [before, after] = *order else { return None };
    if hidden_m2 >= NO_AREA_M2 {
        return None;
    }
    let footings = |n: usize| -> Vec<Footing> {
        let lie = berths[n].position.lie();
        let cap = |block: &usize| on_hull(&project.blocks[*block].cap, &lie);
        berths[n].blocks.iter().map(|block| Footing { block: *block, cap: cap(block) }).collect()
    };
    let sides = Sides::of_blocks(&footings(before), &footings(after), bottom);
    let study = sides.study(Way::ForeAndAft, (-ROOM_M, ROOM_M));
    let band = study.bands.iter().find(|band| band.from_m <= 0.0 && 0.0 <= band.to_m);
    Some(kept(band.map_or(0.0, |band| (-band.from_m).min(band.to_m))))
}

/// Openings that are clear in none of the positions, and docking plugs under a cap in some.
fn of_openings(offered: &[Offered], order: &[usize]) -> (Vec<String>, Vec<PlugUnder>) {
    let each: Vec<&Offered> = order.iter().map(|n| &offered[*n]).collect();
    let near =
        |openings: &AimOpenings, id: &str| openings.near.iter().any(|near| near.opening == id);
    let first = each.first().map_or(&[][..], |first| &first.openings.near);
    let never = first.iter().filter(|one| each.iter().all(|at| near(&at.openings, &one.opening)));
    let never = never.map(|one| one.opening.clone()).collect();
    let mut plugs = Vec::new();
    for at in each {
        for plug in &at.openings.plugs_under {
            let over = at.openings.near.iter().find(|near| near.opening == *plug);
            let block = over.map_or_else(String::new, |near| near.block.clone());
            plugs.push(PlugUnder { plug: plug.clone(), position: at.position.clone(), block });
        }
    }
    (never, plugs)
}

/// What stays hidden, piece by piece from aft to forward.
fn pieces(
    project: &Project,
    shape: &MultiPolygon<f64>,
    hidden: &[Hidden],
    order: &[usize],
) -> Vec<HiddenPiece> {
    let mut pieces: Vec<Piece> = shape
        .0
        .iter()
        .map(|part| {
            let alone = MultiPolygon(vec![part.clone()]);
            Piece {
                extent: extent(part).unwrap_or([0.0; 4]),
                area_m2: area_m2(&alone),
                hidden_by: order.iter().map(|n| hidden[*n].hiding(&alone)).collect(),
                shape: part.clone(),
            }
        })
        .collect();
    pieces.sort_by(|a, b| {
        a.extent[0].total_cmp(&b.extent[0]).then(a.extent[2].total_cmp(&b.extent[2]))
    });
    pieces_of(project, &pieces)
}

/// The positions of this docking that are these of the plan, in the same order, if it uses just these, each once.
fn used_as(project: &Project, asked: &[&PlanPosition], numbers: &[usize]) -> Vec<String> {
    let used = |number: &usize| {
        let is_this = |from: &String| *from == asked[*number].id;
        let mut found = project.positions.iter();
        found.find(|position| position.from_plan.as_ref().is_some_and(is_this))
    };
    let used: Option<Vec<String>> =
        numbers.iter().map(|number| Some(used(number)?.id.clone())).collect();
    used.filter(|used| used.len() == project.positions.len()).unwrap_or_default()
}

/// What an earlier docking never exposed and a shape hides again, m2.
fn again_m2(earlier: &Earlier<'_>, hidden: &MultiPolygon<f64>) -> Option<f64> {
    Some(kept(area_m2(&common(earlier.never_exposed()?, hidden))))
}

/// An earlier docking beside the plan's positions.
fn beside(project: &Project, asked: &[&PlanPosition], earlier: &Earlier<'_>) -> EarlierDocking {
    let (dock, then) = (&project.docking.dock, &earlier.project.docking.dock);
    let same_dock = dock.name == then.name && dock.datum == then.datum;
    let positions = earlier.project.positions.iter().map(|position| {
        let lie = lain(earlier.project, position);
        let nearest = lie.filter(|_| same_dock).and_then(|lie| {
            let off = |one: &PlanPosition| lie.srp_station_m - one.srp_station_m;
            let nearest = asked.iter().min_by(|a, b| off(a).abs().total_cmp(&off(b).abs()))?;
            Some((nearest.id.clone(), off(nearest)))
        });
        EarlierPosition {
            position: position.id.clone(),
            srp_station_m: lie.map(|lie| kept(lie.srp_station_m)),
            centreline_offset_m: lie.map(|lie| kept(lie.centreline_offset_m)),
            forward_of_it_m: nearest.as_ref().map(|(_, off_m)| kept(*off_m)),
            nearest: nearest.map(|(id, _)| id),
        }
    });
    EarlierDocking {
        docking: earlier.name.to_string(),
        dock: then.name.clone(),
        same_dock,
        never_exposed_m2: earlier.never_exposed().map(|steel| kept(area_m2(steel))),
        positions: positions.collect(),
    }
}
