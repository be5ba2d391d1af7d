//! The answer: what `lastdock shifts --json` prints, and what text and report are made from.
//!
//! Lengths are shifts of the ship in metres, forward and to port +, rounded to a micrometre; areas are
//! square metres in plan.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::calc::shifts::{Band, Way};
use crate::findings::recomputed::shifts::Placed;
use crate::text::Text;

/// An enum as its words.
fn in_words<S: Serializer>(value: &impl fmt::Display, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    pub ship: String,
    pub dock: String,
    pub asked: Asked,
    /// The project's own shift between the two positions; absent unless she is placed in both.
    pub own: Option<OwnShift>,
    /// Whether one shift does it, with all the blocks that were asked about.
    pub one_shift_does: bool,
    /// The answer in plain sentences.
    pub answer: Vec<Text>,
    /// The shift to choose; absent where no single shift does it.
    pub choice: Option<Choice>,
    /// Every shift of the range, fore and aft first.
    pub ways: Vec<OneWay>,
    /// What leaving blocks out would give, fewest blocks first.
    pub leaving_out: Vec<LeavingOut>,
    /// Two shifts that do it where no single one does.
    pub two_shifts: Option<TwoShifts>,
    /// What earlier dockings left, and where to land so that it is reached.
    pub past: Vec<AfterEarlier>,
    /// What must be said with every answer.
    pub cautions: Vec<&'static str>,
}

/// What was asked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Asked {
    /// The position before the shift; absent where none is recorded and the plan stands for it.
    pub before: Option<String>,
    /// How it is known where that is; if it isn't, the blocks are studied among themselves, without outline and
    /// openings.
    #[serde(serialize_with = "in_words")]
    pub lay: Placed,
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
    /// Blocks that were found elsewhere than planned, and are taken where they were planned.
    pub put_back: Vec<PutBack>,
}

/// The shift that the project made, or plans.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnShift {
    /// The position before it.
    pub from: String,
    /// The position after it.
    pub to: String,
    /// Whether it was made: she is placed in both positions by what was recorded. If not, at least one is as planned.
    pub is_made: bool,
    /// Forward +.
    pub fore_and_aft_m: f64,
    /// To port +.
    pub athwart_m: f64,
    /// Blocks that are left out after it because they were asked to be; none of a shift that was made.
    pub without: Vec<String>,
    /// Bottom under blocks both times, m2.
    pub hidden_twice_m2: f64,
    /// The same with every cap grown by the overlap; absent where there is none.
    pub hidden_twice_grown_m2: Option<f64>,
    /// What stays hidden, piece by piece from aft to forward.
    pub pieces: Vec<HiddenPiece>,
    /// The openings after it.
    pub openings: AimOpenings,
    /// The loads on the blocks after it, dock dry.
    pub loads: AimLoads,
    /// The same in sentences, to be printed together.
    pub said: Vec<Text>,
}

/// A piece of the bottom that is under blocks both before and after a shift.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HiddenPiece {
    /// From where to where it reaches on the hull.
    pub x_m: [f64; 2],
    pub y_m: [f64; 2],
    pub area_m2: f64,
    /// The blocks over it, before and after.
    pub under: Vec<Vec<String>>,
}

/// A block that was found elsewhere than planned, and is taken where it was planned.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PutBack {
    /// The block, as planned.
    pub block: String,
    /// Under which name it is recorded where it was found.
    pub found_as: String,
}

/// Where to put her, with all that must be known of it. Whatever names a place to aim at prints this.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Aim {
    #[serde(serialize_with = "in_words")]
    pub way: Way,
    /// What the shift is counted from: a position and how it is known, `P1 as planned`.
    pub from: String,
    /// The ship's shift from there, rounded as a person measures.
    pub shift_m: f64,
    /// Station of the stern reference point there; absent where she lies is not known.
    pub srp_station_m: Option<f64>,
    /// Offset of her centreline there, + to port.
    pub centreline_offset_m: Option<f64>,
    /// By how much it may be missed either way before bottom stays hidden, rounded down.
    pub miss_m: f64,
    /// By how much of that before what is said here of openings, docking plugs and blocks beyond their limit
    /// changes, rounded down. Loads are looked at every 50 mm.
    pub steady_m: f64,
    /// Decimals of metres that these need in print.
    #[serde(skip)]
    pub decimals: usize,
    /// What stays hidden there of what is to be reached, m2.
    pub hidden_m2: f64,
    /// What was examined of openings; absent where it is not known where she lies.
    pub openings: Option<AimOpenings>,
    /// The loads on the blocks there.
    pub loads: AimLoads,
    /// The loads before the shift, where blocks are left out there.
    pub loads_before: Option<AimLoads>,
    /// The same in sentences, to be printed together.
    pub said: Vec<Text>,
}

/// The openings at an aim.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AimOpenings {
    /// Openings under a cap, or nearer to one than is wanted for them.
    pub near: Vec<OpeningNear>,
    /// Docking plugs that could not drain, since they lie under a cap.
    pub plugs_under: Vec<String>,
    /// How many openings were held against a clear distance wanted.
    pub held: usize,
    /// Openings for which none is recorded: of these it is known only whether they lie under a cap.
    pub not_held: Vec<String>,
    /// How many docking plugs were held against lying under a cap.
    pub plugs_held: usize,
}

/// An opening under a cap, or nearer to one than is wanted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OpeningNear {
    pub opening: String,
    /// Its kind, a word of plan/openings.csv.
    pub kind: String,
    /// Clear distance to the nearest cap; 0 under one.
    pub clear_m: f64,
    /// Clear distance wanted; absent where none is recorded.
    pub wanted_m: Option<f64>,
    /// The nearest cap's block.
    pub block: String,
}

/// A shift to choose.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    #[serde(serialize_with = "in_words")]
    pub way: Way,
    /// The band, with what to aim at in it.
    pub band: AimedBand,
    /// The smallest shift that leaves nothing hidden twice, rounded up.
    pub smallest_m: f64,
    /// Blocks whose leaving out clears openings that no place in the band clears.
    pub clear_without: Option<LeaveOut>,
}

/// All shifts one way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OneWay {
    #[serde(serialize_with = "in_words")]
    pub way: Way,
    /// The range studied: its aftmost or starboardmost shift.
    pub from_m: f64,
    /// Its foremost or portmost.
    pub to_m: f64,
    /// The shifts that leave nothing hidden twice; athwart as far as the keel stays on its blocks.
    pub bands: Vec<AimedBand>,
    /// Shifts athwart that would, but take the centreline off some cap of the keel row.
    pub off_keel: Vec<Span>,
    /// The best of the bands' aims; absent without a band.
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

impl Answer {
    /// The aim whose openings are listed: that of the shift to choose, or what leaving blocks out would give.
    pub fn aim(&self) -> Option<&Aim> {
        let choice = self.choice.as_ref().map(|choice| &choice.band);
        let band = choice.or_else(|| self.leaving_out.first().map(|out| &out.band));
        band.map(|band| &band.aim)
    }

    /// The openings that are near a cap at that aim.
    pub fn openings_near(&self) -> &[OpeningNear] {
        let openings = self.aim().and_then(|aim| aim.openings.as_ref());
        openings.map_or(&[], |openings| &openings.near)
    }
}

impl OneWay {
    /// The band with the best aim.
    pub fn best(&self) -> Option<&AimedBand> {
        let aim_m = self.aim_m?;
        self.bands.iter().find(|band| (band.aim.shift_m - aim_m).abs() < 1e-9)
    }
}

/// Shifts that leave nothing hidden twice.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AimedBand {
    /// From this shift; where the range ends, so does the band.
    pub from_m: f64,
    /// To this shift.
    pub to_m: f64,
    /// The parts of the band in which each opening has the clear distance wanted for it, and none lies under a
    /// cap; empty too where nothing is known of openings.
    pub openings_clear: Vec<Span>,
    /// What to aim at in it: the widest part in which the fewest openings lie under a cap, then the fewest near one,
    /// then the fewest blocks beyond their limit.
    pub aim: Aim,
}

impl AimedBand {
    /// From where to where it goes.
    pub fn span(&self) -> Span {
        Span { from_m: self.from_m, to_m: self.to_m }
    }
}

/// From one shift of the ship to another.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Span {
    pub from_m: f64,
    pub to_m: f64,
}

impl From<&Band> for Span {
    /// The ship moves against her footprints, by which a band is slid.
    fn from(band: &Band) -> Self {
        Self { from_m: -band.to_m, to_m: -band.from_m }
    }
}

impl Span {
    /// The same as a band of lengths slid.
    pub fn slid(&self) -> Band {
        Band { from_m: -self.to_m, to_m: -self.from_m }
    }
}

/// A point of the curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HiddenTwice {
    pub shift_m: f64,
    /// Bottom under blocks both before and after it.
    pub area_m2: f64,
}

/// Blocks left out, and the band that this gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeavingOut {
    /// Left out of the position after the shift.
    pub of_second: Vec<String>,
    /// Left out of the position before it.
    pub of_first: Vec<String>,
    #[serde(serialize_with = "in_words")]
    pub way: Way,
    pub band: AimedBand,
}

/// The loads on the blocks of a position, dock dry.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct AimLoads {
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
    /// Blocks that bear more than their limit.
    pub beyond: Vec<Pressed>,
    /// Blocks without a bearing limit on record, so that what they bear is held against nothing.
    pub no_limit: usize,
    /// Why the loads are not known.
    pub why_not: Option<Text>,
}

/// A block that bears more than its limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pressed {
    pub block: String,
    /// Its bearing pressure, kPa.
    pub pressure_kpa: f64,
    /// Its limit, kPa.
    pub limit_kpa: f64,
}

/// Two shifts, one after the other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TwoShifts {
    #[serde(serialize_with = "in_words")]
    pub way: Way,
    /// The first, from the first position.
    pub first: AimedBand,
    /// Both together: what to aim at for the third position, from the first position, however the first shift
    /// was missed.
    pub second: AimedBand,
}

/// Blocks to leave out, and what to aim at then.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeaveOut {
    pub blocks: Vec<String>,
    #[serde(serialize_with = "in_words")]
    pub way: Way,
    /// The band without them.
    pub band: AimedBand,
}

/// What an earlier docking left under its blocks, held against the blocks as they are planned to stand first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AfterEarlier {
    pub docking: String,
    /// The answer in plain sentences.
    pub said: Vec<Text>,
    /// The steel, and where to land so that it is reached; empty where its positions can't be placed.
    pub left: Vec<Unreached>,
}

/// What steel an earlier docking left to be reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Steel {
    /// That no position of the docking exposed.
    NeverExposed,
    /// That stood under blocks in its last position.
    UnderBlocksLast,
}

impl fmt::Display for Steel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Steel::NeverExposed => "never exposed",
            Steel::UnderBlocksLast => "under blocks last",
        })
    }
}

/// Steel that an earlier docking left, and where to land so that none of it is under blocks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unreached {
    #[serde(serialize_with = "in_words")]
    pub what: Steel,
    /// Its area, m2.
    pub area_m2: f64,
    /// What of it the blocks hide again where she is planned to land, m2.
    pub hidden_again_m2: f64,
    /// Every landing of the range, as a shift from where she is planned to land.
    pub ways: Vec<OneWay>,
    /// What the plan does, and where to land, in sentences; empty where there is nothing to reach, or no landing is
    /// known.
    pub landing: Vec<Text>,
    /// Where to land; absent where no landing reaches all of it.
    pub aim: Option<Aim>,
    /// The fewest blocks of the first position whose leaving out gives a landing that reaches all of it, or
    /// more room for one.
    pub leave_out: Option<LeaveOut>,
    /// Blocks whose leaving out clears openings that no landing clears.
    pub clear_without: Option<LeaveOut>,
}
