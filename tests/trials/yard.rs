//! What truly happened: how a ship is built, where she lay, what the water did and when, in one variant.

use std::ops::Range;

use crate::afloat::{Landing, Seat, Ship, line};
use crate::girder::{self, Load, Spring, Stiff};
use crate::scatter::Scatter;

/// How closely people and instruments read: the greatest deviation from the truth, before it is rounded as written.
/// Where a bound of `records/bounds.rs` holds the difference of two things that were read, each has its part of it.
pub mod reads {
    /// A draft mark in still water, m: `bounds.rs` says that marks are read to 10 mm.
    pub const DRAFT_M: f64 = 0.010;
    /// A hydrometer, t/m3.
    pub const DENSITY_T_M3: f64 = 0.001;
    /// The staff by which the dock's water is logged, m.
    pub const LEVEL_M: f64 = 0.010;
    /// A tape and plumb line, m: half of the 20 mm of a sighting, which is held against a fit to others.
    pub const SIGHTING_M: f64 = 0.010;
    /// The place of a mark on the hull, m.
    pub const MARK_M: f64 = 0.003;
    /// Where her ends lay, as it is written down at last, m.
    pub const LIE_M: f64 = 0.005;
    /// A diver's rule, m: with where she lay, and where the block stands, it has to keep within 20 mm; half of it, at a
    /// check of the centreline, with where she lay within 10 mm.
    pub const DIVER_M: f64 = 0.008;
    /// Level and staff on a cap, m, and the height of a block, m: together within the 10 mm of a block's height.
    pub const TOP_M: f64 = 0.003;
    pub const HEIGHT_M: f64 = 0.0035;
    /// A feeler, m.
    pub const GAP_M: f64 = 0.002;
    /// Where a block stands, m.
    pub const BLOCK_M: f64 = 0.005;
    /// A weight on a weighbridge or by meter, as a part of it.
    pub const WEIGHT: f64 = 0.01;
    /// A length of a weight curve or a girder, as a part of it.
    pub const ESTIMATE: f64 = 0.02;
}

/// A row of blocks to one side of the keel, with its like on the other.
pub struct Bilge {
    pub first_x_m: f64,
    pub spacing_m: f64,
    pub count: usize,
    pub y_m: f64,
    pub cap_m: [f64; 2],
    pub clearance_m: f64,
}

/// What stays of a docking from one variant to the next.
pub struct Yard {
    pub name: &'static str,
    /// Whether feet and long tons are written.
    pub is_us: bool,
    pub ship: Ship,
    pub length_overall_m: f64,
    /// Draft marks: x, and how far from the centreline, m.
    pub marks: &'static [(f64, f64)],
    /// Drafts of the hydrostatic table: from, to, step, m.
    pub table_m: [f64; 3],
    pub water_t_m3: f64,
    /// Levels: floor at station 0, sill, the full dock, m; rise of the floor.
    pub floor_m: f64,
    pub sill_m: f64,
    pub full_m: f64,
    pub declivity: f64,
    /// Keel blocks: x of the first in the first position, spacing, how many, cap fore and aft and athwart, height, m.
    pub first_x_m: f64,
    pub spacing_m: f64,
    pub count: usize,
    pub cap_m: [f64; 2],
    pub height_m: f64,
    pub bilge: &'static [Bilge],
    /// The keel's line: x and rise, m.
    pub keel_m: &'static [(f64, f64)],
    /// Half the breadth of the flat keel, m, and from where to where it reaches, x in m.
    pub flat_keel_m: f64,
    pub flat_keel_x_m: [f64; 2],
    /// Height under which the hull counts as bottom, m.
    pub bottom_z_m: f64,
    /// Planned station of the stern reference point in each position, m.
    pub stations_m: &'static [f64],
    /// Weights moved in each position: item, mass, x, y, z.
    pub moved: &'static [&'static [(&'static str, f64, [f64; 3])]],
    /// Layers of a keel block and of a bilge block from the floor up: material, thickness, area, modulus in GPa.
    pub layers: [&'static [(&'static str, f64, f64, f64)]; 2],
    /// The girder amidships: second moment, m4, and shear area, m2.
    pub girder: (f64, f64),
    /// Coats, which tell how long a position lasts.
    pub coats: usize,
    /// Minutes from one reading of the water to the next.
    pub log_min: i64,
}

/// Where she lay: station, offset, turn of the bow to port.
#[derive(Debug, Clone, Copy)]
pub struct Lie {
    pub station_m: f64,
    pub offset_m: f64,
    pub yaw_deg: f64,
}

impl Lie {
    /// A place on the hull as station and offset.
    pub fn in_dock(&self, x_m: f64, y_m: f64) -> (f64, f64) {
        let turn = self.yaw_deg.to_radians();
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        (self.station_m + x_m * cos - y_m * sin, self.offset_m + x_m * sin + y_m * cos)
    }

    /// A place in the dock as x and y.
    pub fn on_hull(&self, station_m: f64, offset_m: f64) -> (f64, f64) {
        let turn = self.yaw_deg.to_radians();
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let (along, across) = (station_m - self.station_m, offset_m - self.offset_m);
        (along * cos + across * sin, across * cos - along * sin)
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Row {
    Keel,
    Port,
    Starboard,
}

/// A block as it truly stands.
#[derive(Debug, Clone)]
pub struct Block {
    pub id: String,
    pub row: Row,
    pub station_m: f64,
    pub offset_m: f64,
    pub cap_m: [f64; 2],
    pub top_m: f64,
    /// Of a bilge block.
    pub clearance_m: f64,
}

/// What happened in a position, minutes from midnight before the first day.
#[derive(Debug, Clone, Default)]
pub struct Times {
    pub flooding: f64,
    pub pumping: f64,
    pub touched: f64,
    /// The halt for the divers.
    pub divers: Range<f64>,
    pub landed: f64,
    /// The halt for the survey of the gaps with water in the dock.
    pub survey: Range<f64>,
    pub dry: f64,
    pub reflood: f64,
    pub lift_off: f64,
    pub afloat: f64,
    /// The water's level at times, from one to the next in a straight line.
    pub water: Vec<(f64, f64)>,
}

impl Times {
    pub fn level_m(&self, at: f64) -> f64 {
        let next =
            self.water.iter().position(|(time, _)| *time >= at).unwrap_or(self.water.len() - 1);
        let ((t0, a), (t1, b)) = (self.water[next.max(1) - 1], self.water[next.max(1)]);
        a + (b - a) * ((at - t0) / (t1 - t0)).clamp(0.0, 1.0)
    }
}

/// One position.
pub struct Position {
    pub name: String,
    pub lie: Lie,
    pub ship: Ship,
    pub landing: Landing,
    pub seats: Vec<(usize, Seat)>,
    pub times: Times,
    /// The first day on which the dock is dry from morning on.
    pub day: i64,
}

/// One variant.
pub struct Truth {
    pub yard: &'static Yard,
    pub variant: u64,
    pub blocks: Vec<Block>,
    pub positions: Vec<Position>,
    /// As she leaves.
    pub departing: Ship,
    /// Moved weights: minutes, item, mass, place.
    pub moved: Vec<(f64, &'static str, f64, [f64; 3])>,
    /// The weight curve as she arrives.
    pub weights: Vec<Load>,
    pub hull: Vec<Stiff>,
}

pub const MINUTES_A_DAY: i64 = 1440;

impl Yard {
    pub fn rise_m(&self, x_m: f64) -> f64 {
        let next = self.keel_m.iter().position(|(x, _)| *x >= x_m);
        match next {
            None => self.keel_m.last().map_or(0.0, |(_, rise)| *rise),
            Some(0) => self.keel_m[0].1,
            Some(next) => {
                let ((x0, r0), (x1, r1)) = (self.keel_m[next - 1], self.keel_m[next]);
                r0 + (r1 - r0) * (x_m - x0) / (x1 - x0)
            }
        }
    }

    pub fn floor_at_m(&self, station_m: f64) -> f64 {
        self.floor_m + self.declivity * station_m
    }

    /// Days that a position takes: in and dry, wash, blast, coats, cure.
    pub fn days(&self) -> i64 {
        self.coats as i64 + 4
    }

    pub fn scatter(&self, variant: u64, name: &str) -> Scatter {
        Scatter::of(self.name, variant, name)
    }

    /// kN/m of a row's blocks.
    fn kn_per_m(&self, row: Row) -> f64 {
        let layers = if row == Row::Keel { self.layers[0] } else { self.layers[1] };
        1.0 / layers.iter().map(|(_, thick, area, gpa)| thick / (area * gpa * 1e6)).sum::<f64>()
    }
}

fn moved_by(ship: Ship, mass_t: f64, at_m: [f64; 3]) -> Ship {
    let all = ship.mass_t + mass_t;
    let centre = |n: usize| (ship.mass_t * ship.centre_m[n] + mass_t * at_m[n]) / all;
    Ship { mass_t: all, centre_m: [centre(0), centre(1), centre(2)], ..ship }
}

impl Truth {
    pub fn new(yard: &'static Yard, variant: u64) -> Self {
        let mut scatter = yard.scatter(variant, "the ship");
        // She is another weight from variant to variant, and trimmed and listed otherwise.
        let mut ship = yard.ship;
        ship.mass_t *= 1.0 + scatter.within(0.02);
        ship.centre_m[0] += scatter.within(0.0015) * ship.length_m();
        ship.centre_m[1] += scatter.within(0.004);
        ship.hog_m += scatter.within(0.003);
        let weights = weights(&ship);
        let hull = hull(yard);
        let mut lies = yard.scatter(variant, "where she lay");
        let lies: Vec<Lie> = (yard.stations_m.iter())
            .map(|station| Lie {
                station_m: station + lies.within(0.02),
                offset_m: lies.within(0.015),
                yaw_deg: lies.within(0.6) / yard.length_overall_m,
            })
            .collect();
        let blocks = blocks(yard, variant);
        let mut positions = Vec::new();
        let mut moved = Vec::new();
        for (number, lie) in lies.into_iter().enumerate() {
            let day = number as i64 * yard.days() + 1;
            let mut after = ship;
            let mut done = yard.scatter(variant, &format!("moved in {number}"));
            for (n, (item, mass_t, at_m)) in
                yard.moved.get(number).copied().unwrap_or(&[]).iter().enumerate()
            {
                let mass_t = mass_t * (1.0 + done.within(0.05));
                let at = (day * MINUTES_A_DAY + 540 + 190 * n as i64) as f64;
                moved.push((at, *item, mass_t, *at_m));
                after = moved_by(after, mass_t, *at_m);
            }
            positions.push(position(yard, variant, number, lie, ship, &after, &blocks));
            ship = after;
        }
        Self { yard, variant, blocks, positions, departing: ship, moved, weights, hull }
    }

    pub fn scatter(&self, name: &str) -> Scatter {
        self.yard.scatter(self.variant, name)
    }

    /// Load, kN, and gap left, m, of each block in a position, dry or with the water at a level.
    pub fn resting(&self, number: usize, level_m: Option<f64>) -> Vec<(f64, f64)> {
        let position = &self.positions[number];
        let base = self.tops_line(number);
        let springs: Vec<Spring> = (self.blocks.iter())
            .map(|block| {
                let (x_m, _) = position.lie.on_hull(block.station_m, block.offset_m);
                let rise = self.yard.rise_m(x_m);
                let gap_m = match block.row {
                    Row::Keel => base.0 * x_m + base.1 + rise - block.top_m,
                    _ => block.clearance_m + rise,
                };
                Spring { x_m, kn_per_m: self.yard.kn_per_m(block.row), gap_m }
            })
            .collect();
        let mut loads = self.weights.clone();
        let until = position.times.touched;
        for (at, _, mass_t, [x, ..]) in &self.moved {
            if *at <= until {
                loads.push(Load { from_x_m: *x, to_x_m: *x, mass_t: *mass_t });
            }
        }
        if let Some(level_m) = level_m {
            let lift = self.buoyancy(number, level_m, 48).into_iter();
            loads.extend(lift.map(|load| Load { mass_t: -load.mass_t, ..load }));
        }
        girder::rest(0.0, &self.hull, &loads, &merged(&springs))
    }

    /// The straight line through the tops of the keel blocks, along the hull.
    fn tops_line(&self, number: usize) -> (f64, f64) {
        let lie = &self.positions[number].lie;
        let tops: Vec<Seat> = (self.blocks.iter())
            .filter(|block| block.row == Row::Keel)
            .map(|block| {
                let x_m = lie.on_hull(block.station_m, block.offset_m).0;
                Seat { x_m, level_m: block.top_m }
            })
            .collect();
        line(&tops)
    }

    /// Buoyancy by lengths of a ship that lies on her blocks with the water at a level.
    pub fn buoyancy(&self, number: usize, level_m: f64, parts: usize) -> Vec<Load> {
        let (yard, (slope, at_zero)) = (self.yard, self.tops_line(number));
        let form = yard.ship.form;
        let long = (form.fore_x_m - form.aft_x_m) / parts as f64;
        const SLIVERS: usize = 6;
        (0..parts)
            .map(|n| {
                let from = form.aft_x_m + long * n as f64;
                let area: f64 = (0..SLIVERS)
                    .map(|m| from + long * (m as f64 + 0.5) / SLIVERS as f64)
                    .map(|x| form.section_m2(x, level_m - (slope * x + at_zero)))
                    .sum();
                let mass_t = area / SLIVERS as f64 * long * yard.water_t_m3;
                Load { from_x_m: from, to_x_m: from + long, mass_t }
            })
            .collect()
    }
}

/// Blocks abreast of each other moved a hair apart, so that each has a node and no element is too short to reckon with.
fn merged(springs: &[Spring]) -> Vec<Spring> {
    let mut springs = springs.to_vec();
    for n in 0..springs.len() {
        while springs[..n].iter().any(|other| (other.x_m - springs[n].x_m).abs() < 0.01) {
            springs[n].x_m += 0.01;
        }
    }
    springs
}

/// A weight curve that has her weight and centre: as the waterline narrows, and leaning one way.
fn weights(ship: &Ship) -> Vec<Load> {
    const LENGTHS: usize = 30;
    let form = ship.form;
    let long = (form.fore_x_m - form.aft_x_m) / LENGTHS as f64;
    let middle = |n: usize| form.aft_x_m + long * (n as f64 + 0.5);
    let shape = |n: usize| 0.1 + form.taper(middle(n));
    let sum = |of: &dyn Fn(usize) -> f64| (0..LENGTHS).map(of).sum::<f64>();
    let (whole, first) = (sum(&shape), sum(&|n| shape(n) * middle(n)));
    let centre = first / whole;
    let second = sum(&|n| shape(n) * (middle(n) - centre) * (middle(n) - centre));
    let lean = (ship.centre_m[0] - centre) * whole / second;
    let mass = |n: usize| ship.mass_t * shape(n) / whole * (1.0 + lean * (middle(n) - centre));
    (0..LENGTHS)
        .map(|n| {
            let from_x_m = form.aft_x_m + long * n as f64;
            Load { from_x_m, to_x_m: from_x_m + long, mass_t: mass(n) }
        })
        .collect()
}

/// The girder in lengths, weaker toward the ends.
fn hull(yard: &Yard) -> Vec<Stiff> {
    const LENGTHS: usize = 10;
    const STEEL_KPA: [f64; 2] = [206e6, 79e6];
    (1..=LENGTHS)
        .map(|n| {
            let part = (n as f64 - 0.5) / LENGTHS as f64;
            let full = 1.0 - 0.85 * (2.0 * part - 1.0).abs().powi(3);
            let to_x_m = yard.length_overall_m * n as f64 / LENGTHS as f64;
            Stiff {
                to_x_m,
                bending_kn_m2: STEEL_KPA[0] * yard.girder.0 * full,
                shear_kn: STEEL_KPA[1] * yard.girder.1 * full.sqrt(),
            }
        })
        .collect()
}

fn blocks(yard: &Yard, variant: u64) -> Vec<Block> {
    let mut scatter = yard.scatter(variant, "blocks");
    let first = yard.stations_m[0];
    let mut blocks = Vec::new();
    let top = |station: f64| yard.floor_at_m(station) + yard.height_m;
    for n in 0..yard.count {
        let station_m = first + yard.first_x_m + yard.spacing_m * n as f64 + scatter.within(0.01);
        blocks.push(Block {
            id: format!("K{}", n + 1),
            row: Row::Keel,
            station_m,
            offset_m: scatter.within(0.01),
            cap_m: yard.cap_m,
            top_m: top(station_m) + scatter.within(0.004),
            clearance_m: 0.0,
        });
    }
    let mut numbers = [0; 2];
    for bilge in yard.bilge {
        for n in 0..bilge.count {
            for (side, row) in [Row::Port, Row::Starboard].into_iter().enumerate() {
                numbers[side] += 1;
                let (letter, sign) = if side == 0 { ('P', 1.0) } else { ('S', -1.0) };
                let station_m =
                    first + bilge.first_x_m + bilge.spacing_m * n as f64 + scatter.within(0.01);
                blocks.push(Block {
                    id: format!("B{letter}{}", numbers[side]),
                    row,
                    station_m,
                    offset_m: sign * bilge.y_m + scatter.within(0.01),
                    cap_m: bilge.cap_m,
                    top_m: top(station_m) - bilge.clearance_m,
                    clearance_m: bilge.clearance_m + scatter.within(0.002),
                });
            }
        }
    }
    blocks
}

fn position(
    yard: &Yard,
    variant: u64,
    number: usize,
    lie: Lie,
    ship: Ship,
    after: &Ship,
    blocks: &[Block],
) -> Position {
    let seats: Vec<(usize, Seat)> = (blocks.iter().enumerate())
        .filter(|(_, block)| block.row == Row::Keel)
        .map(|(n, block)| {
            let x_m = lie.on_hull(block.station_m, block.offset_m).0;
            (n, Seat { x_m, level_m: block.top_m - yard.rise_m(x_m) })
        })
        .collect();
    let bare: Vec<Seat> = seats.iter().map(|(_, seat)| *seat).collect();
    let landing = ship.lands(yard.water_t_m3, &bare);
    let lifting_m = after.lands(yard.water_t_m3, &bare).touched_level_m;
    let day = number as i64 * yard.days() + 1;
    let times = times(yard, variant, number, &landing, lifting_m);
    Position { name: format!("P{}", number + 1), lie, ship, landing, seats, times, day }
}

/// What the water did, and when.
fn times(yard: &Yard, variant: u64, number: usize, landing: &Landing, lifting_m: f64) -> Times {
    let mut scatter = yard.scatter(variant, &format!("water in {number}"));
    let start = (number as i64 * yard.days() * MINUTES_A_DAY + 300) as f64;
    let dry_m = yard.floor_m + 0.06;
    // The water let in for a position is that which ends the one before.
    let up = yard.scatter(variant, "flooding").between(2.2, 2.6) / 60.0;
    let mut water = vec![(start, dry_m)];
    let to = |level_m: f64, rate: f64, water: &mut Vec<(f64, f64)>| -> f64 {
        let (at, from_m) = water[water.len() - 1];
        let then = at + (level_m - from_m).abs() / rate;
        water.push((then, level_m));
        then
    };
    let still = |minutes: f64, water: &mut Vec<(f64, f64)>| -> f64 {
        let (at, level_m) = water[water.len() - 1];
        water.push((at + minutes, level_m));
        at + minutes
    };
    to(yard.full_m, up, &mut water);
    let pumping = still(scatter.between(110.0, 130.0), &mut water);
    let touched = to(landing.touched_level_m, scatter.between(0.7, 0.95) / 60.0, &mut water);
    to(landing.touched_level_m - 0.02, 0.3 / 60.0, &mut water);
    let from = water[water.len() - 1].0;
    let divers = from..still(scatter.between(18.0, 26.0), &mut water);
    let landed = to(landing.landed_level_m, scatter.between(0.25, 0.4) / 60.0, &mut water);
    let survey_m = landing.landed_level_m - scatter.between(0.6, 0.8);
    let from = to(survey_m, scatter.between(1.2, 1.45) / 60.0, &mut water);
    let survey = from..still(scatter.between(34.0, 44.0), &mut water);
    let dry = to(dry_m, scatter.between(1.2, 1.45) / 60.0, &mut water);
    let reflood = start + (yard.days() * MINUTES_A_DAY) as f64;
    water.push((reflood, dry_m));
    let lift_off = to(lifting_m, up, &mut water);
    let afloat = to(lifting_m + 0.15, up, &mut water);
    to(yard.full_m, up, &mut water);
    Times {
        flooding: start,
        pumping,
        touched,
        divers,
        landed,
        survey,
        dry,
        reflood,
        lift_off,
        afloat,
        water,
    }
}
