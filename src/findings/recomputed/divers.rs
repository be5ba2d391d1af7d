//! Where the keel lay over the blocks by what divers measured, round by round, and how far that is from the aim.

use geo::BoundingRect;
use geo::Coord;

use super::position::{PositionRecomputed, planned};
use crate::calc::alignment::{self, Along, Line, Mark, Over};
use crate::calc::positions::centreline_at_m;
use crate::hull::{Lie, turned};
use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::divers::{DiversSighting, Occasion};

/// What divers measured in one round.
#[derive(Debug)]
pub struct Round {
    /// The position, by its place in the project's list.
    pub position: usize,
    pub occasion: Occasion,
    /// Which round on that occasion.
    pub number: i64,
    /// Its rows in the order of the file.
    pub measured: Vec<Measured>,
    /// The keel's line; `None` where too few blocks lie too near each other.
    pub line: Option<Line>,
    /// The station of the stern reference point; `None` without a mark.
    pub along: Option<Along>,
    /// Where she lies by both; with the planned station where no mark was measured.
    pub lie: Option<Lie>,
    /// The planned lie.
    pub aim: Option<Lie>,
    /// How she lies to the aim.
    pub to_aim: Option<ToAim>,
    /// To what a measurement is taken to be good, m.
    pub tolerance_m: f64,
    /// Whether it is the last round of its position.
    pub is_last: bool,
}

/// One row, as a place in the dock.
#[derive(Debug)]
pub struct Measured {
    /// Its place in the project's list of what divers measured.
    pub row: usize,
    /// The block, by its place in the project's list.
    pub block: usize,
    /// Offset of the keel's centreline in the dock there, m.
    pub offset_m: Option<f64>,
    /// Station of the mark on the keel, m, and its x; the x is `None` for a frame that can't be placed.
    pub mark: Option<(f64, Option<f64>)>,
    /// The planned offset of the centreline over the block, m.
    pub aim_m: Option<f64>,
    /// The offset that her position as recorded gives it there, m.
    pub lay_m: Option<f64>,
    /// Measured less fitted, m: of the offset, of the station.
    pub off_line_m: Option<f64>,
    pub off_station_m: Option<f64>,
}

/// How far she lies from the aim: found less planned.
#[derive(Debug, Clone, PartialEq)]
pub struct ToAim {
    /// Along the ship, m, + forward; `None` where no mark was measured.
    pub along_m: Option<f64>,
    /// At the stern reference point.
    pub srp: Athwart,
    /// At the after and the forward end, where it is recorded where they are.
    pub ends: Option<[Athwart; 2]>,
}

/// How far a place of the centreline lies from its aim athwart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Athwart {
    /// What the place is called.
    pub place: &'static str,
    /// Its x, m.
    pub x_m: f64,
    /// Its offset in the dock, m, as found, with its standard error, and as planned.
    pub found_m: f64,
    pub sure_to_m: f64,
    pub planned_m: f64,
}

impl Athwart {
    /// How far it lies to port of its aim, m.
    pub fn off_m(&self) -> f64 {
        self.found_m - self.planned_m
    }
}

impl ToAim {
    /// The places, from aft.
    pub fn places(&self) -> Vec<Athwart> {
        let mut all = vec![self.srp];
        all.extend(self.ends.into_iter().flatten());
        all.sort_by(|a, b| a.x_m.total_cmp(&b.x_m));
        all
    }

    /// How far the stern reference point lies from its aim, m: athwart alone where nothing was measured along the ship.
    pub fn distance_m(&self) -> f64 {
        libm::hypot(self.along_m.unwrap_or(0.0), self.srp.off_m())
    }
}

impl Round {
    /// What it is called in an id: its occasion, and its number from the second on.
    pub fn name(&self) -> String {
        match self.number {
            1 => self.occasion.word().to_string(),
            n => format!("{}-{n}", self.occasion.word()),
        }
    }

    /// The same in a sentence: `before touchdown (round 2)`.
    pub fn in_words(&self) -> String {
        match self.number {
            1 => self.occasion.in_words().to_string(),
            n => format!("{} (round {n})", self.occasion.in_words()),
        }
    }

    /// Of what was measured, the rows that give an offset.
    pub fn over(&self) -> impl Iterator<Item = &Measured> {
        self.measured.iter().filter(|one| one.offset_m.is_some())
    }

    /// Those that give a station.
    pub fn marks(&self) -> impl Iterator<Item = &Measured> {
        self.measured.iter().filter(|one| one.mark.is_some_and(|(_, x_m)| x_m.is_some()))
    }
}

/// To what a diver's measurement is taken to be good, m.
pub fn tolerance_m(project: &Project) -> f64 {
    project.docking.bounds.tolerance("divers").map_or(0.02, |bound| bound.value)
}

/// The rounds of all positions, those of one in the order in which they were made.
pub(super) fn rounds(project: &Project, positions: &[PositionRecomputed]) -> Vec<Round> {
    let mut all = Vec::new();
    for (number, (position, out)) in project.positions.iter().zip(positions).enumerate() {
        let its = project.divers.iter().enumerate().filter(|(_, row)| row.position == position.id);
        let mut rows: Vec<(usize, &DiversSighting)> = its.collect();
        rows.sort_by_key(|(_, row)| (row.occasion, row.round()));
        let same = |a: &(usize, &DiversSighting), b: &(usize, &DiversSighting)| {
            (a.1.occasion, a.1.round()) == (b.1.occasion, b.1.round())
        };
        let mut groups: Vec<&[(usize, &DiversSighting)]> = rows.chunk_by(same).collect();
        // By their times where each has one: a second round before touchdown may follow a first one at first touch.
        let last =
            |rows: &[(usize, &DiversSighting)]| rows.iter().filter_map(|(_, row)| row.at).max();
        if groups.iter().all(|rows| last(rows).is_some()) {
            groups.sort_by_key(|rows| last(rows));
        }
        let count = groups.len();
        let aim = planned(position);
        for (n, rows) in groups.into_iter().enumerate() {
            let round = round(project, rows, aim, out);
            all.extend(round.map(|one| Round { position: number, is_last: n + 1 == count, ..one }));
        }
    }
    all
}

fn round(
    project: &Project,
    rows: &[(usize, &DiversSighting)],
    aim: Option<Lie>,
    out: &PositionRecomputed,
) -> Option<Round> {
    let (_, first) = rows.first()?;
    let lay = out.lie.filter(|_| !out.yaw_unknown);
    let mut measured: Vec<Measured> =
        rows.iter().filter_map(|(row, seen)| one(project, *row, seen, aim, lay)).collect();
    let tolerance_m = tolerance_m(project);
    let over: Vec<(usize, Over)> = measured
        .iter()
        .enumerate()
        .filter_map(|(n, one)| {
            let station_m = project.blocks[one.block].cap.centre.x;
            Some((n, Over { station_m, offset_m: one.offset_m? }))
        })
        .collect();
    let line =
        alignment::line(&over.iter().map(|(_, over)| *over).collect::<Vec<_>>(), tolerance_m);
    let yaw_deg = line.as_ref().map_or(0.0, Line::yaw_deg);
    let marks: Vec<(usize, Mark)> = measured
        .iter()
        .enumerate()
        .filter_map(|(n, one)| {
            let (station_m, x_m) = one.mark?;
            Some((n, Mark { x_m: x_m?, station_m }))
        })
        .collect();
    let along = alignment::along(
        &marks.iter().map(|(_, mark)| *mark).collect::<Vec<_>>(),
        yaw_deg,
        tolerance_m,
    );
    for (n, off_m) in over.iter().zip(line.iter().flat_map(|line| &line.fitted.residuals_m)) {
        measured[n.0].off_line_m = Some(*off_m);
    }
    for (n, off_m) in marks.iter().zip(along.iter().flat_map(|along| &along.fitted.residuals_m)) {
        measured[n.0].off_station_m = Some(*off_m);
    }
    let station_m =
        along.as_ref().map(|along| along.srp_station_m).or(aim.map(|aim| aim.srp_station_m));
    let lie = line.as_ref().zip(station_m).map(|(line, s)| alignment::lie(line, s));
    let to_aim = aim.zip(lie).zip(line.as_ref()).map(|((aim, lie), line)| {
        let along_m = along.as_ref().map(|along| along.srp_station_m - aim.srp_station_m);
        let athwart = |place, x_m| {
            let found = lie.to_dock(Coord { x: x_m, y: 0.0 });
            Athwart {
                place,
                x_m,
                found_m: found.1,
                sure_to_m: line.sure_to_m(found.0, tolerance_m),
                planned_m: aim.to_dock(Coord { x: x_m, y: 0.0 }).1,
            }
        };
        ToAim {
            along_m,
            srp: athwart("SRP, athwart", 0.0),
            ends: ends(project).map(|ends| ends.map(|(place, x_m)| athwart(place, x_m))),
        }
    });
    Some(Round {
        position: 0,
        occasion: first.occasion,
        number: first.round(),
        measured,
        line,
        along,
        lie,
        aim,
        to_aim,
        tolerance_m,
        is_last: false,
    })
}

/// A row as a place in the dock.
fn one(
    project: &Project,
    row: usize,
    seen: &DiversSighting,
    aim: Option<Lie>,
    lay: Option<Lie>,
) -> Option<Measured> {
    let block = project.blocks.iter().position(|block| block.id == seen.block)?;
    let cap = &project.blocks[block].cap;
    let frames = project.docking.frames.as_ref();
    let of_frame = seen.frame.and_then(|frame| Some(frames?.x_m(frame)));
    let mark = seen.ahead_m.map(|ahead_m| {
        (after_end_m(&project.blocks[block]) + ahead_m, seen.stated_x_m.or(of_frame))
    });
    let over = |lie: Lie| centreline_at_m(&lie, cap.centre.x);
    Some(Measured {
        row,
        block,
        offset_m: seen.keel_offset_m().map(|offset_m| cap.centre.y + offset_m),
        mark,
        aim_m: aim.map(over),
        lay_m: lay.map(over),
        off_line_m: None,
        off_station_m: None,
    })
}

/// Station of the middle of a cap's after end, m.
fn after_end_m(block: &Block) -> f64 {
    let half = turned(Coord { x: block.cap.length_m / 2.0, y: 0.0 }, block.cap.turn_deg);
    block.cap.centre.x - half.x
}

/// Where her ends are, aft first: the perpendiculars, or else the ends of the bottom's outline.
fn ends(project: &Project) -> Option<[(&'static str, f64); 2]> {
    let ship = &project.docking.ship;
    let perpendiculars = ship.aft_perpendicular_x_m.zip(ship.forward_perpendicular_x_m);
    if let Some((aft_m, forward_m)) = perpendiculars {
        return Some([("aft perpendicular", aft_m), ("forward perpendicular", forward_m)]);
    }
    let extent = project.bottom.bottom.as_ref()?.bounding_rect()?;
    let (aft_m, forward_m) = (extent.min().x, extent.max().x);
    Some([("after end of the bottom", aft_m), ("forward end of the bottom", forward_m)])
}
