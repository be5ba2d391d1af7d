//! Her on the blocks of one position, in dock axes, as the drawings of the whole show her: how high what stands,
//! where the keel lies, and how high the water stood.

use geo::{Coord, LineString, MapCoords, Polygon};

use super::ground::{Berth, Ground, extent_of};
use crate::findings::recomputed::landing::{Landing, top_of};
use crate::findings::recomputed::position;
use crate::findings::recomputed::water::WaterLog;
use crate::hull::Lie;
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::layers::LayerOwner;
use crate::records::positions::Position;

/// A position with what is drawn of it.
pub struct Docked<'a> {
    pub ground: &'a Ground<'a>,
    pub project: &'a Project,
    pub position: &'a Position,
    pub landing: &'a Landing,
    pub lie: Lie,
    /// Whether no level is recorded, so that heights stand on a floor at 0.
    pub is_relative: bool,
    /// The blocks that are drawn, in the order of their stations.
    pub blocks: Vec<Shown<'a>>,
}

/// A block that is drawn.
pub struct Shown<'a> {
    pub block: &'a Block,
    /// Whether it stands in the position; if not, it was left out.
    pub stands: bool,
}

impl Shown<'_> {
    /// The station of the middle of its cap, m.
    pub fn station_m(&self) -> f64 {
        self.block.cap.centre.x
    }
}

/// A level of the water in the dock.
#[derive(Debug, Clone, PartialEq)]
pub struct Water {
    /// What happened then.
    pub what: &'static str,
    pub level_m: f64,
    /// Whether the log gives it; otherwise it was recomputed from the drafts.
    pub is_recorded: bool,
}

impl<'a> Docked<'a> {
    /// `None` where the records have no such position.
    pub fn new(ground: &'a Ground<'a>, berth: &Berth) -> Option<Self> {
        let examined = ground.examined;
        let project = &examined.project;
        let position = project.positions.get(berth.number)?;
        let drawn: Vec<&Block> = ground.caps(berth).map(|(block, _)| block).collect();
        let is_drawn = |block: &Block| drawn.iter().any(|other| std::ptr::eq(*other, block));
        let blocks = project.blocks.iter();
        // A block that was found elsewhere in this position is drawn where it was found; in others it is not to be seen.
        let is_found_elsewhere =
            |block: &Block| position::is_found_elsewhere(project, block, Some(&position.id));
        let mut blocks: Vec<Shown> = blocks
            .filter(|block| is_drawn(block))
            .map(|block| Shown { block, stands: block.stands_in(&position.id) })
            .filter(|shown| {
                let is_planned = shown.block.moved_from.is_none();
                shown.stands || (is_planned && !is_found_elsewhere(shown.block))
            })
            .collect();
        blocks.sort_by(|a, b| a.station_m().total_cmp(&b.station_m()));
        let levels = project.blocks.iter().filter(|block| block.top_level_m.is_some());
        let is_relative = project.docking.dock.floor_level_m.is_none() && levels.count() == 0;
        Some(Self {
            is_relative,
            ground,
            project,
            position,
            landing: examined.recomputed.landings.get(berth.number)?,
            lie: berth.lie,
            blocks,
        })
    }

    /// The station of a place on her centreline, m.
    pub fn station_of(&self, x_m: f64) -> f64 {
        self.lie.to_dock(Coord { x: x_m, y: 0.0 }).0
    }

    /// A shape on the hull as it lies in the dock: station and offset, m.
    pub fn in_dock(&self, shape: &Polygon<f64>) -> Polygon<f64> {
        shape.map_coords(|c| {
            let (x, y) = self.lie.to_dock(c);
            Coord { x, y }
        })
    }

    /// The station aft and the one forward of all that is recorded of the hull and drawn of the blocks, m.
    pub fn ends_m(&self) -> Option<(f64, f64)> {
        let ship = &self.project.docking.ship;
        let outline = self.ground.bottom.and_then(extent_of);
        let hull = outline.into_iter().flat_map(|outline| [outline.aft, outline.forward]);
        let marks = self.ground.stations().into_iter().map(|(_, x)| x);
        let length = ship.foremost_x_m.or(ship.length_overall_m);
        let length = length.filter(|x| self.ground.draws_x(*x));
        let hull = hull.chain(marks).chain(length).map(|x| self.station_of(x));
        let blocks = self.blocks.iter().filter_map(|shown| extent_of(&shown.block.cap.polygon()));
        let blocks = blocks.flat_map(|extent| [extent.aft, extent.forward]);
        let ends = hull.chain(blocks).map(|station| (station, station));
        ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }

    /// Level of a block's foot on the dock's floor and of its top, m above the level datum; `None` where the records
    /// do not give both.
    pub fn foot_and_top_m(&self, block: &Block) -> Option<(f64, f64)> {
        let floor = self.floor_m(block.cap.centre.x);
        let on_floor = || Some(floor? + block.height_m?);
        let top = if self.is_relative { on_floor() } else { top_of(self.project, block) }?;
        let foot = floor.or_else(|| Some(top - block.height_m?))?;
        (foot < top && top - foot < TALLEST_M).then_some((foot, top))
    }

    /// The underside of her keel as she lies on the blocks, a line of (station, level) in m: the line of the tops of
    /// the keel blocks, with the keel's own rise. Nothing where the tops are not known.
    pub fn keel(&self) -> LineString<f64> {
        const STEPS: u32 = 400;
        let Some(line) = self.landing.line else { return LineString::new(Vec::new()) };
        let outline = self.ground.bottom.and_then(extent_of);
        let ends = match outline {
            Some(outline) => Some((outline.aft, outline.forward)),
            None => {
                let seats = self.landing.seats.iter().map(|(_, seat)| (seat.x_m, seat.x_m));
                seats.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
            }
        };
        let Some((from, to)) = ends else { return LineString::new(Vec::new()) };
        let place = |x_m: f64| Coord {
            x: self.station_of(x_m),
            y: line.at_m(x_m) + self.project.keel.rise_m(x_m),
        };
        let steps = if self.project.keel.is_recorded() { STEPS } else { 1 };
        let at = |n: u32| place(from + (to - from) * f64::from(n) / f64::from(steps));
        LineString::new((0..=steps).map(at).collect())
    }

    /// Level of the dock's floor at a station, m.
    pub fn floor_m(&self, station_m: f64) -> Option<f64> {
        let dock = &self.project.docking.dock;
        let has_heights = || self.blocks.iter().any(|shown| shown.block.height_m.is_some());
        match dock.floor_level_at_m(station_m) {
            None if self.is_relative && has_heights() => {
                Some(dock.declivity_pct.unwrap_or(0.0) / 100.0 * station_m)
            }
            level => level,
        }
    }

    /// The thickness of a block's cap, its uppermost layer, m.
    pub fn cap_m(&self, block: &Block) -> Option<f64> {
        let of = |owner: LayerOwner| {
            let layers = self.project.layers.iter().filter(move |layer| layer.owner == owner);
            layers.max_by_key(|layer| layer.order).map(|layer| layer.thickness_m)
        };
        of(LayerOwner::Block(block.id.clone())).or_else(|| of(LayerOwner::Row(block.row)))
    }

    /// The usual spacing of the keel blocks, m: half of them stand no closer.
    pub fn keel_spacing_m(&self) -> Option<f64> {
        let keel = self.blocks.iter().filter(|shown| shown.block.row == BlockRow::Keel);
        let stations: Vec<f64> = keel.map(Shown::station_m).collect();
        let mut spacings: Vec<f64> = stations.windows(2).map(|pair| pair[1] - pair[0]).collect();
        spacings.sort_by(f64::total_cmp);
        spacings.get(spacings.len() / 2).copied()
    }

    /// x of the draft marks, m, each once.
    pub fn draft_marks_m(&self) -> Vec<f64> {
        let mut marks: Vec<f64> = self.project.drafts.iter().map(|mark| mark.mark_x_m).collect();
        marks.retain(|x| self.ground.draws_x(*x));
        marks.sort_by(f64::total_cmp);
        marks.dedup_by(|a, b| (*a - *b).abs() < 1.0);
        marks
    }

    /// The water at first touch, when she was landed, and when she was afloat again, as far as they are known: by the
    /// log at the times of the position, or else as recomputed.
    pub fn waters(&self) -> Vec<Water> {
        let log = WaterLog::new(self.project, &self.position.id);
        let times = &self.position.times;
        let touch = self.landing.touch.map(|touch| touch.water_level_m);
        let landed = self.landing.critical.map(|moment| moment.water_level_m);
        let all = [
            ("first touch", times.touched, touch),
            ("landed", times.landed, landed),
            ("afloat again", times.afloat, None),
        ];
        let water = |(what, at, recomputed): (&'static str, Option<_>, Option<f64>)| {
            let recorded = at.and_then(|at| log.level_at(at));
            let level_m = recorded.or(recomputed)?;
            Some(Water { what, level_m, is_recorded: recorded.is_some() })
        };
        all.into_iter().filter_map(water).collect()
    }

    /// The lowest and the highest level of all that is drawn from the side, m.
    pub fn levels_m(&self) -> Option<(f64, f64)> {
        let blocks = self.blocks.iter().filter_map(|shown| self.foot_and_top_m(shown.block));
        let blocks = blocks.flat_map(|(foot, top)| [foot, top]);
        let ends = self.ends_m().into_iter().flat_map(|(aft, forward)| [aft, forward]);
        let floor = ends.filter_map(|station| self.floor_m(station));
        let known = blocks.chain(floor).chain(self.keel().0.into_iter().map(|c| c.y));
        let known = known.filter(|level| level.is_finite());
        let (low, high) = known.map(|l| (l, l)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
        // Water far from all else is a slip of the pen, and would make the rest too small to see.
        let waters = self.waters().into_iter().map(|water| water.level_m);
        let near = waters.filter(|level| (low - TALLEST_M..high + TALLEST_M).contains(level));
        Some(near.fold((low, high), |(low, high), level| (low.min(level), high.max(level))))
    }
}

/// More than any block is high, and any ship deep, m.
const TALLEST_M: f64 = 30.0;
