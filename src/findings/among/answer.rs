//! What comes of comparing the plan's positions: what `lastdock shifts --among --json` prints, and what text and report
//! are made from.
//!
//! Lengths are metres, areas square metres in plan, rounded as everywhere in data.

use geo::MultiPolygon;
use serde::Serialize;

use crate::findings::shifts::answer::{AimLoads, AimOpenings, HiddenPiece};
use crate::text::Text;

/// The whole answer.
#[derive(Debug, Clone, Serialize)]
pub struct Among {
    pub ship: String,
    pub dock: String,
    /// The positions of the plan that were asked about, in its order.
    pub offered: Vec<Offered>,
    /// How many positions the plan offers in all.
    pub in_plan: usize,
    /// Blocks left out of each of them beside those that the plan leaves out.
    pub left_out: Vec<String>,
    /// By how much caps were grown all round for `hidden_grown_m2`; 0 for no overlap.
    pub overlap_m: f64,
    /// Whether an outline of the bottom is recorded and caps are cut to it.
    pub outline: bool,
    /// Blocks that are on record where they were found, and are taken where they were planned.
    pub put_back: usize,
    /// How many orders were examined, over all choices.
    pub orders: usize,
    /// Whether some choice leaves nothing of the bottom under blocks in all of its positions.
    pub some_reach_all: bool,
    /// The answer in plain sentences.
    pub answer: Vec<Text>,
    /// Every choice of positions: fewest landings first, then the least hidden.
    pub choices: Vec<Chosen>,
    /// In which currency costs are, if that is recorded.
    pub currency: Option<String>,
    /// Earlier dockings with where she lay in them.
    pub earlier: Vec<EarlierDocking>,
    /// What must be said with every answer.
    pub cautions: Vec<&'static str>,
}

/// A position that the plan offers.
#[derive(Debug, Clone, Serialize)]
pub struct Offered {
    /// Its name in the plan.
    pub position: String,
    pub srp_station_m: f64,
    /// To port +.
    pub centreline_offset_m: f64,
    /// Where the plan says so.
    pub source: Option<String>,
    /// Positions of this docking that are this one, by what `from_plan` says.
    pub used_as: Vec<String>,
    /// Blocks that do not stand in it, of those that the plan has.
    pub left_out: Vec<String>,
    /// Blocks that stand.
    pub blocks: usize,
    /// Bottom under them.
    pub hidden_m2: f64,
    /// The same as a shape on the hull.
    #[serde(skip)]
    pub hidden: MultiPolygon<f64>,
    /// The openings in it.
    pub openings: AimOpenings,
    /// The loads on the blocks in it, dock dry, were it the first landing.
    pub loads: AimLoads,
    /// Why it can't be used, and is in no choice.
    pub why_not: Option<Text>,
}

/// Some of the positions, used one after the other.
#[derive(Debug, Clone, Serialize)]
pub struct Chosen {
    /// The positions in the best order: that with the fewest blocks beyond their limit, of such the shortest.
    pub positions: Vec<String>,
    /// The same by their numbers among those that were asked about.
    #[serde(skip)]
    pub numbers: Vec<usize>,
    /// Positions of this docking that are these, in the same order, if it uses just these, each once.
    pub used_as: Vec<String>,
    pub landings: usize,
    pub refloodings: usize,
    /// Bottom under blocks in all of them.
    pub hidden_m2: f64,
    /// The same with every cap grown by the overlap; absent where there is none.
    pub hidden_grown_m2: Option<f64>,
    /// Of two positions that leave nothing: by how much the one may be missed fore and aft before something stays hidden,
    /// the other hit exactly. Not examined beyond half a metre.
    pub room_m: Option<f64>,
    /// What stays hidden, piece by piece from aft to forward.
    pub pieces: Vec<HiddenPiece>,
    /// The same as a shape on the hull.
    #[serde(skip)]
    pub hidden: MultiPolygon<f64>,
    /// Openings that are under a cap, or nearer to one than is wanted, in each of the positions.
    pub never_clear: Vec<String>,
    /// Docking plugs that lie under a cap in some of the positions, and could not drain there.
    pub plugs_under: Vec<PlugUnder>,
    /// The position whose loads come nearest to a limit, or go furthest beyond it; the greatest without limits.
    pub hardest: Option<String>,
    /// The loads there, in that place of the order.
    pub loads: Option<AimLoads>,
    /// How many blocks bear more than their limit, over all its landings.
    pub beyond: usize,
    /// How far she is hauled from the first to the last by way of the others.
    pub hauled_m: f64,
    /// What its landings cost, in the currency.
    pub cost: Option<f64>,
    /// What earlier dockings never exposed and these positions hide again, docking by docking as listed.
    pub hidden_again_m2: Vec<Option<f64>>,
}

/// A docking plug under a cap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlugUnder {
    pub plug: String,
    /// The position in which it is.
    pub position: String,
    /// The block over it.
    pub block: String,
}

/// An earlier docking, beside the plan.
#[derive(Debug, Clone, Serialize)]
pub struct EarlierDocking {
    pub docking: String,
    pub dock: String,
    /// Whether its stations count from where those of the plan do: the dock has the same name, and its datum too.
    pub same_dock: bool,
    /// What it never exposed; absent where its positions can't be placed.
    pub never_exposed_m2: Option<f64>,
    pub positions: Vec<EarlierPosition>,
}

/// Where she lay in an earlier docking.
#[derive(Debug, Clone, Serialize)]
pub struct EarlierPosition {
    pub position: String,
    /// As recorded, or fitted to sightings; absent where neither gives it.
    pub srp_station_m: Option<f64>,
    pub centreline_offset_m: Option<f64>,
    /// The position of the plan whose station is the nearest, in the same dock.
    pub nearest: Option<String>,
    /// How far forward of that one it lay.
    pub forward_of_it_m: Option<f64>,
}
