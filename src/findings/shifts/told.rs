//! The answer as data: what `lastdock shifts --json` prints, and what text and report are made from.
//!
//! Lengths are shifts of the ship in metres, forward and to port +, rounded to a micrometre; areas are
//! square metres in plan.

use serde::Serialize;

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Told {
    /// The ship's name.
    pub ship: String,
    /// The dock's name.
    pub dock: String,
    /// What was asked.
    pub asked: Asked,
    /// Whether one shift does it, with all the blocks that were asked about.
    pub one_shift_does: bool,
    /// The answer in plain sentences.
    pub answer: Vec<String>,
    /// The shift to choose; absent where no single shift does it.
    pub choice: Option<Choice>,
    /// Every shift of the range, fore and aft first.
    pub ways: Vec<WayTold>,
    /// What leaving blocks out would give, fewest blocks first.
    pub leaving_out: Vec<LeavingOutTold>,
    /// Two shifts that do it where no single one does.
    pub two_shifts: Option<TwoShifts>,
    /// What earlier dockings left, and where to land so that it is reached.
    pub past: Vec<PastTold>,
    /// What must be said with every answer.
    pub cautions: Vec<&'static str>,
}

/// What was asked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Asked {
    /// The position before the shift; absent where none is recorded and the plan stands for it.
    pub before: Option<String>,
    /// Where that is: `as she lay`, `as planned`, or `not recorded`: then the
    /// blocks are studied among themselves, without outline and openings.
    pub lay: &'static str,
    /// The position whose blocks stand after it; absent where they are the same blocks.
    pub after: Option<String>,
    /// Blocks that stand before.
    pub blocks_before: usize,
    /// Blocks that stand after.
    pub blocks_after: usize,
    /// Blocks asked to be left out after, by name.
    pub left_out: Vec<String>,
    /// By how much every cap was grown all round, for the overlap of blasting and feathering.
    pub overlap_m: f64,
    /// Whether an outline of the bottom is recorded and caps are cut to it.
    pub outline: bool,
    /// Openings held against the clear distance wanted for them.
    pub openings_held: usize,
    /// Docking plugs among them.
    pub docking_plugs_held: usize,
    /// Openings for which none is stated.
    pub openings_not_held: usize,
}

/// A shift to aim at.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// `fore and aft` or `athwart`.
    pub way: &'static str,
    /// The widest band, whose middle is what to aim at.
    pub band: BandTold,
    /// The smallest shift that does it, rounded up.
    pub smallest_m: f64,
    /// Openings nearer to a cap than wanted at the aim.
    pub openings_short: Vec<OpeningShort>,
    /// The loads on the blocks after it.
    pub loads: LoadsTold,
}

/// An opening nearer to a cap than wanted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OpeningShort {
    /// The opening.
    pub opening: String,
    /// Its kind, a word of plan/openings.csv.
    pub kind: String,
    /// Clear distance to the nearest cap.
    pub clear_m: f64,
    /// Clear distance wanted.
    pub wanted_m: f64,
    /// The nearest cap's block.
    pub block: String,
}

/// All shifts one way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WayTold {
    /// `fore and aft` or `athwart`.
    pub way: &'static str,
    /// The range studied: its aftmost or starboardmost shift.
    pub from_m: f64,
    /// Its foremost or portmost.
    pub to_m: f64,
    /// The shifts that leave nothing hidden twice; athwart as far as the keel stays on its blocks.
    pub bands: Vec<BandTold>,
    /// Shifts athwart that would, but take the centreline off some cap of the keel row.
    pub off_keel: Vec<Span>,
    /// What to aim at: the middle of the widest band, rounded as a person measures; absent without a band.
    pub aim_m: Option<f64>,
    /// The smallest shift that does, rounded up; absent without a band.
    pub smallest_m: Option<f64>,
    /// The least bottom that any of these shifts leaves hidden twice, m2; athwart with the keel on its blocks.
    pub least_m2: f64,
    /// A shift that leaves so little.
    pub least_at_m: f64,
    /// The bottom hidden both before and after, at every shift where its growth changes.
    pub hidden_twice: Vec<HiddenTwice>,
    /// The same at round shifts, some twenty over the range.
    pub at_round_shifts: Vec<HiddenTwice>,
}

/// Shifts that leave nothing hidden twice.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BandTold {
    /// From this shift; where the range ends, so does the band.
    pub from_m: f64,
    /// To this shift.
    pub to_m: f64,
    /// What to aim at: its middle, rounded as a person measures.
    pub aim_m: f64,
    /// By how much that may be missed either way, rounded down.
    pub miss_m: f64,
    /// Decimals of metres that the two need in print.
    #[serde(skip)]
    pub decimals: usize,
    /// The parts of the band in which every opening has the clear distance wanted.
    pub openings_clear: Vec<Span>,
}

/// From one shift to another.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Span {
    /// From.
    pub from_m: f64,
    /// To.
    pub to_m: f64,
}

/// A point of the curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HiddenTwice {
    /// The ship's shift.
    pub shift_m: f64,
    /// Bottom under blocks both before and after it.
    pub area_m2: f64,
}

/// Blocks left out, and the band that this gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeavingOutTold {
    /// Left out of the position after the shift.
    pub of_second: Vec<String>,
    /// Left out of the position before it.
    pub of_first: Vec<String>,
    /// `fore and aft` or `athwart`.
    pub way: &'static str,
    /// The band.
    pub band: BandTold,
    /// Openings nearer to a cap than wanted at the aim.
    pub openings_short: Vec<OpeningShort>,
    /// Loads after the shift on the blocks that are left, at the aim.
    pub loads: LoadsTold,
    /// Loads before it, where blocks are left out there.
    pub loads_before: Option<LoadsTold>,
}

/// The loads on the blocks of a position, dock dry.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct LoadsTold {
    /// The greatest load, t.
    pub greatest_t: Option<f64>,
    /// On this block.
    pub on: Option<String>,
    /// The pressure that comes nearest to its limit, or goes furthest beyond it; without limits the
    /// greatest; kPa.
    pub pressure_kpa: Option<f64>,
    /// On this block.
    pub pressed: Option<String>,
    /// The limit of that block.
    pub limit_kpa: Option<f64>,
    /// Why the loads are not known.
    pub why_not: Option<String>,
}

/// Two shifts, one after the other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TwoShifts {
    /// `fore and aft` or `athwart`.
    pub way: &'static str,
    /// What to aim at with the first, from the first position.
    pub first_m: f64,
    /// By how much that may be missed either way, rounded down; 0 where it is to be hit closely.
    pub first_miss_m: f64,
    /// Decimals of metres that the two need in print.
    #[serde(skip)]
    pub decimals: usize,
    /// Both together: what to aim at for the third position, from the first position, however the first shift
    /// was missed.
    pub second: BandTold,
}

/// Blocks to leave out of the first position.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeaveOut {
    /// The blocks.
    pub blocks: Vec<String>,
    /// `fore and aft` or `athwart`.
    pub way: &'static str,
    /// The band, as shifts from where she is planned to land.
    pub band: BandTold,
}

/// What an earlier docking left under its blocks, held against the blocks as they are planned to stand first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PastTold {
    /// The earlier docking's name.
    pub docking: String,
    /// The answer in plain sentences.
    pub said: Vec<String>,
    /// The steel, and where to land so that it is reached; empty where its positions can't be placed.
    pub left: Vec<LeftTold>,
}

/// Steel that an earlier docking left, and where to land so that none of it is under blocks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftTold {
    /// `never exposed`, or `under blocks last`.
    pub what: &'static str,
    /// Its area, m2.
    pub area_m2: f64,
    /// What of it the blocks hide again where she is planned to land, m2.
    pub hidden_again_m2: f64,
    /// Every landing of the range, as a shift from where she is planned to land.
    pub ways: Vec<WayTold>,
    /// Where to land, in a sentence; absent where there is nothing to reach, or no landing is known.
    pub landing: Option<String>,
    /// The fewest blocks of the first position whose leaving out gives a landing that reaches all of it, or
    /// more room for one.
    pub leave_out: Option<LeaveOut>,
}
