//! Which shift of the ship uncovers the steel that blocks hid: how much bottom is hidden both before and
//! after a shift, for every shift in a range, and which blocks left out would give room for one.
//!
//! Throughout, what is *slid* are the footprints on the hull: forward and to port counts +. The ship's own
//! shift is the same length the other way: footprints that lie 0.70 m further forward are those of a ship
//! that was moved 0.70 m aft.

mod contact;
mod convex;
mod leaving_out;
mod openings;
mod pair;
mod stretches;
#[cfg(test)]
mod tests;

use geo::{Coord, MultiPolygon};

use super::exposure::Bottom;
use super::formula::Formula;
use super::plane::NO_AREA_M2;
use crate::hull::Rectangle;
use contact::{Lap, SAME_M, common_m2, meeting};
use convex::{Convex, disjoint, parts};

pub use leaving_out::{LeavingOut, MOST_LEFT_OUT};
pub use openings::{KeptClear, NOT_UNDER_M, clear_parts, clearances, short_stretches};
pub use pair::Pair;
pub use stretches::{Stretch, steady_stretches, stretches};

/// How the shift is chosen.
pub const SHIFT_STUDY: Formula = Formula {
    name: "shift study",
    title: "Shift that leaves no steel hidden twice",
    says: "H(s) = area that the footprints before, the footprints after slid by s, and the bottom's outline \
           have in common, the caps grown all round by the overlap that blasting and feathering need; two \
           convex shapes meet over one interval of s, found by their separating axes; the bands of s outside \
           all intervals leave nothing hidden twice, and the middle of the widest may be missed by half its \
           width; the fewest blocks to leave out are a least vertex cover of the pairs that meet (as large as \
           a greatest matching); the ship's own shift is -s",
    source: "plane geometry; separating axis theorem; Koenig's theorem (1931)",
};

/// A band narrower than this is no answer, m.
pub const NO_WIDTH_M: f64 = 1e-6;

/// The way in which the ship is shifted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Along the dock: slid + is forward, the ship's shift + is forward.
    ForeAndAft,
    /// Across it: + is to port.
    Athwart,
}

/// As it stands after "shifted".
impl std::fmt::Display for Way {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Way::ForeAndAft => "fore and aft",
            Way::Athwart => "athwart",
        })
    }
}

impl Way {
    fn along(self, place: Coord<f64>) -> f64 {
        match self {
            Self::ForeAndAft => place.x,
            Self::Athwart => place.y,
        }
    }

    fn across(self, place: Coord<f64>) -> f64 {
        match self {
            Self::ForeAndAft => place.y,
            Self::Athwart => place.x,
        }
    }

    /// A length along the way as a vector in hull axes.
    pub fn vector(self, slid_m: f64) -> Coord<f64> {
        match self {
            Self::ForeAndAft => Coord { x: slid_m, y: 0.0 },
            Self::Athwart => Coord { x: 0.0, y: slid_m },
        }
    }
}

/// A block's cap in hull axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Footing {
    /// The block, by its number in the caller's list.
    pub block: usize,
    /// Its cap on the hull, not cut to the outline.
    pub cap: Rectangle,
}

impl Footing {
    /// The cap grown by an overlap in m all round, corners kept square; 0 leaves it as it is.
    pub fn grown(self, overlap_m: f64) -> Self {
        let (length_m, width_m) = (self.cap.length_m, self.cap.width_m);
        let cap = Rectangle {
            length_m: length_m + 2.0 * overlap_m,
            width_m: width_m + 2.0 * overlap_m,
            ..self.cap
        };
        Self { cap, ..self }
    }
}

/// Lengths slid from one to another, both counted in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Slid, m.
    pub from_m: f64,
    /// Slid, m; not under `from_m`.
    pub to_m: f64,
}

impl Band {
    /// What to aim at: slid, m.
    pub fn middle_m(&self) -> f64 {
        (self.from_m + self.to_m) / 2.0
    }

    /// Its width, m.
    pub fn width_m(&self) -> f64 {
        self.to_m - self.from_m
    }

    /// By how much the middle may be missed either way, m.
    pub fn miss_m(&self) -> f64 {
        self.width_m() / 2.0
    }

    /// The length in it that is nearest to nothing: slid, m.
    pub fn nearest_m(&self) -> f64 {
        0.0_f64.max(self.from_m).min(self.to_m)
    }

    /// Whether it is the better answer: wider, else its middle nearer to nothing, else the ship shifted aft.
    pub fn better_than(&self, other: &Self) -> bool {
        let keys = |band: &Self| [band.width_m(), -band.middle_m().abs(), band.middle_m()];
        let differing =
            keys(self).into_iter().zip(keys(other)).find(|(a, b)| (a - b).abs() > SAME_M);
        differing.is_some_and(|(a, b)| a > b)
    }
}

/// What every shift of a range leaves hidden twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// The way.
    pub way: Way,
    /// Lengths slid, from and to, m.
    pub range_m: (f64, f64),
    /// Length slid (m, growing) and bottom hidden both before and after (m2), at both ends of the range and
    /// wherever a corner of a footprint meets an edge of another. Under [`NO_AREA_M2`] is 0.
    pub curve: Vec<(f64, f64)>,
    /// The lengths slid that leave nothing hidden twice, from the least on. Where the range ends, so do they.
    pub bands: Vec<Band>,
    /// What leaving blocks out would give, fewest blocks first.
    pub leaving_out: Vec<LeavingOut>,
}

impl Study {
    /// The smallest shift that leaves nothing hidden twice: slid, m. Of two alike the ship is shifted aft.
    pub fn smallest(&self) -> Option<f64> {
        smallest(&self.bands)
    }

    /// The widest band, whose middle is what to aim at. Of bands alike that with the smallest shift, then
    /// that in which the ship is shifted aft.
    pub fn widest(&self) -> Option<Band> {
        let better = |best: Band, band: &Band| if band.better_than(&best) { *band } else { best };
        let (first, others) = self.bands.split_first()?;
        Some(others.iter().fold(*first, better))
    }
}

fn smallest(bands: &[Band]) -> Option<f64> {
    bands.iter().map(Band::nearest_m).reduce(|best, slid| {
        let (far, near) = (best.abs(), slid.abs());
        let nearer = near < far - SAME_M || ((near - far).abs() <= SAME_M && slid > best);
        if nearer { slid } else { best }
    })
}

/// Convex parts, each with its block's number, from aft on.
#[derive(Debug, Clone, Default)]
struct Parts {
    parts: Vec<(usize, Convex)>,
    longest_m: f64,
}

impl Parts {
    fn new(mut parts: Vec<(usize, Convex)>) -> Self {
        let x = |part: &Convex| part.along(Way::ForeAndAft);
        parts.sort_by(|(_, a), (_, b)| x(a).0.total_cmp(&x(b).0));
        let long = parts.iter().map(|(_, part)| x(part).1 - x(part).0);
        Self { longest_m: long.fold(0.0, f64::max), parts }
    }

    /// The parts that a shape can meet as they are slid through a range.
    fn near(&self, shape: &Convex, way: Way, range_m: (f64, f64)) -> &[(usize, Convex)] {
        let x = shape.along(Way::ForeAndAft);
        let slid = match way {
            Way::ForeAndAft => range_m,
            Way::Athwart => (0.0, 0.0),
        };
        let (from, to) = (x.0 - slid.1 - self.longest_m, x.1 - slid.0);
        let aftmost = |(_, part): &(usize, Convex)| part.along(Way::ForeAndAft).0;
        let first = self.parts.partition_point(|part| aftmost(part) < from);
        let last = self.parts.partition_point(|part| aftmost(part) <= to);
        self.parts.get(first..last).unwrap_or_default()
    }

    /// Every part that a shape meets as they are slid through a range: its block, itself, and between which
    /// lengths.
    fn meeting<'a>(
        &'a self,
        still: &'a Convex,
        way: Way,
        range_m: (f64, f64),
    ) -> impl Iterator<Item = (usize, &'a Convex, (f64, f64))> {
        self.near(still, way, range_m).iter().filter_map(move |(block, moving)| {
            let (near, far) = (still.along(way), moving.along(way));
            let in_range = |(from, to): (f64, f64)| to > range_m.0 && from < range_m.1;
            if !in_range((near.0 - far.1, near.1 - far.0)) {
                return None;
            }
            let interval = meeting(still, moving, way).filter(|interval| in_range(*interval))?;
            Some((*block, moving, interval))
        })
    }
}

/// The footprints of one side of a shift.
#[derive(Debug, Clone, Default)]
struct Side {
    /// Block by block.
    whole: Parts,
    /// The same steel in parts that do not overlap.
    apart: Parts,
}

impl Side {
    fn new(parts: Vec<(usize, Convex)>) -> Self {
        Self { apart: Parts::new(disjoint(&parts)), whole: Parts::new(parts) }
    }
}

/// Both sides of a shift: the steel hidden before it, and the caps that hide steel after it.
#[derive(Debug, Clone)]
pub struct Sides {
    before: Side,
    after: Side,
    /// Whether blocks of the first side may be left out too.
    either: bool,
}

/// A footprint before the shift meets one after it while slid between two lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Contact {
    before: usize,
    after: usize,
    from_m: f64,
    to_m: f64,
}

impl Sides {
    /// The blocks of a position and those of the next, both where they would bear if the ship were not
    /// shifted at all. The bottom's outline stands still.
    pub fn of_blocks(before: &[Footing], after: &[Footing], outline: &Bottom) -> Self {
        let cut = |footing: &Footing| {
            let cap = Convex::of_rectangle(&footing.cap).into_iter();
            let cut: Vec<Convex> = match outline {
                Some(outline) => cap.flat_map(|cap| cap.inside(outline)).collect(),
                None => cap.collect(),
            };
            cut.into_iter().map(|part| (footing.block, part)).collect::<Vec<_>>()
        };
        Self {
            before: Side::new(before.iter().flat_map(cut).collect()),
            after: after_side(after),
            either: true,
        }
    }

    /// Steel that is to be reached, such as what an earlier docking never exposed, and the blocks now.
    /// Steel can't be left out, only blocks; its numbers in [`LeavingOut`] never occur.
    pub fn of_steel(steel: &MultiPolygon<f64>, after: &[Footing], outline: &Bottom) -> Self {
        let steel = parts(steel).into_iter().flat_map(|part| match outline {
            Some(outline) => part.inside(outline),
            None => vec![part],
        });
        Self {
            before: Side::new(steel.map(|part| (0, part)).collect()),
            after: after_side(after),
            either: false,
        }
    }

    /// Studies every length slid from one to another (m, the first under the second).
    pub fn study(&self, way: Way, range_m: (f64, f64)) -> Study {
        let contacts: Vec<Contact> = self.contacts(way, range_m).collect();
        let meeting = contacts.iter().map(|contact| (contact.from_m, contact.to_m));
        Study {
            way,
            range_m,
            curve: self.curve(way, range_m),
            bands: outside(meeting, range_m, NO_WIDTH_M),
            leaving_out: leaving_out::leaving_out(&contacts, range_m, self.either),
        }
    }

    /// The bottom hidden both before and after, slid by a length in m: m2. Under [`NO_AREA_M2`] is 0.
    pub fn hidden_twice_m2(&self, way: Way, slid_m: f64) -> f64 {
        let slid = (slid_m, slid_m);
        let commons = self.before.apart.parts.iter().flat_map(|(_, before)| {
            let after = self.after.apart.near(before, way, slid).iter();
            after.map(|(_, after)| common_m2(before, after, way, slid_m))
        });
        something(commons.sum())
    }

    fn contacts(&self, way: Way, range_m: (f64, f64)) -> impl Iterator<Item = Contact> {
        self.before.whole.parts.iter().flat_map(move |(before, still)| {
            let meeting = self.after.whole.meeting(still, way, range_m);
            meeting.map(|(after, _, (from_m, to_m))| Contact {
                before: *before,
                after,
                from_m,
                to_m,
            })
        })
    }

    fn curve(&self, way: Way, range_m: (f64, f64)) -> Vec<(f64, f64)> {
        let meetings = self.before.apart.parts.iter().flat_map(|(_, still)| {
            let meeting = self.after.apart.meeting(still, way, range_m);
            meeting.map(move |(_, moving, interval)| Lap::new(still, moving, way, interval))
        });
        let laps: Vec<Lap> = meetings.collect();
        let knots = laps.iter().flat_map(|lap| lap.knots.iter().map(|(slid, _)| *slid));
        let mut curve: Vec<(f64, f64)> =
            critical(knots, range_m).into_iter().map(|slid| (slid, 0.0)).collect();
        laps.iter().for_each(|lap| lap.add_to(&mut curve));
        curve.into_iter().map(|(slid, area)| (slid, something(area))).collect()
    }
}

fn after_side(after: &[Footing]) -> Side {
    let caps = after
        .iter()
        .filter_map(|footing| Some((footing.block, Convex::of_rectangle(&footing.cap)?)));
    Side::new(caps.collect())
}

fn something(area_m2: f64) -> f64 {
    if area_m2 < NO_AREA_M2 { 0.0 } else { area_m2 }
}

/// Lengths inside a range and both its ends, growing, each but once.
fn critical(lengths: impl Iterator<Item = f64>, range_m: (f64, f64)) -> Vec<f64> {
    let inside = |slid: &f64| range_m.0 + SAME_M < *slid && *slid < range_m.1 - SAME_M;
    let mut critical: Vec<f64> = lengths.filter(inside).collect();
    critical.extend([range_m.0, range_m.1]);
    critical.sort_by(f64::total_cmp);
    critical.dedup_by(|next, kept| *next - *kept < SAME_M);
    critical
}

/// What a range has outside all intervals, as far as it is wider than that, from the least on. No more
/// intervals are asked for once nothing is left.
fn outside(
    intervals: impl Iterator<Item = (f64, f64)>,
    range_m: (f64, f64),
    least_width_m: f64,
) -> Vec<Band> {
    let mut free = vec![Band { from_m: range_m.0, to_m: range_m.1 }];
    for (from, to) in intervals {
        free = free
            .into_iter()
            .flat_map(|band| {
                [
                    Band { to_m: band.to_m.min(from), ..band },
                    Band { from_m: band.from_m.max(to), ..band },
                ]
            })
            .filter(|band| band.width_m() > least_width_m)
            .collect();
        if free.is_empty() {
            break;
        }
    }
    free
}
