//! The study of every shift: what two sides hide twice, and the bands that leave nothing.

use geo::MultiPolygon;

use super::band::{Band, NO_WIDTH_M, SAME_M, outside};
use super::contact::{Contact, Lap, common_m2, critical, meeting};
use super::convex::{Convex, disjoint, parts};
use super::leaving_out::{self, LeavingOut};
use super::way::{Footing, Way};
use crate::calc::exposure::Bottom;
use crate::calc::formula::Formula;
use crate::calc::plane::NO_AREA_M2;

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

/// What every shift of a range leaves hidden twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
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
pub(super) struct Parts {
    pub(super) parts: Vec<(usize, Convex)>,
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
    pub(super) fn near(&self, shape: &Convex, way: Way, range_m: (f64, f64)) -> &[(usize, Convex)] {
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
    pub(super) fn meeting<'a>(
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
pub(super) struct Side {
    /// Block by block.
    pub(super) whole: Parts,
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
    pub(super) before: Side,
    pub(super) after: Side,
    /// Whether blocks of the first side may be left out too.
    either: bool,
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

    pub(super) fn contacts(&self, way: Way, range_m: (f64, f64)) -> impl Iterator<Item = Contact> {
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
