//! Where the keel lands: seats, their line, first and second touch.

use super::afloat::Afloat;

/// A place where the keel can land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// x in hull axes, m.
    pub x_m: f64,
    /// Top of the block less the rise of the keel there, m above the dock's level datum.
    pub level_m: f64,
}

/// The straight line through seats: level = at_zero + slope * x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Level at x = 0, m.
    pub at_zero_m: f64,
    /// Rise toward the bow, m per m.
    pub slope: f64,
}

impl Line {
    /// Its level at a place, m.
    pub fn at_m(&self, x_m: f64) -> f64 {
        self.at_zero_m + self.slope * x_m
    }
}

/// The least-squares line through the seats; `None` with fewer than two places along the ship.
pub fn line_of(seats: &[Seat]) -> Option<Line> {
    let count = seats.len() as f64;
    let mean = |of: fn(&Seat) -> f64| seats.iter().map(of).sum::<f64>() / count;
    let (x, level) = (mean(|seat| seat.x_m), mean(|seat| seat.level_m));
    let (squares, products) = seats.iter().fold((0.0, 0.0), |(squares, products), seat| {
        let from = seat.x_m - x;
        (squares + from * from, products + from * (seat.level_m - level))
    });
    (seats.len() >= 2 && squares > 1e-6).then(|| {
        let slope = products / squares;
        Line { at_zero_m: level - slope * x, slope }
    })
}

/// Where and when she touches first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// The seat, by its number in the caller's list.
    pub seat: usize,
    /// Water level at that moment, m.
    pub water_level_m: f64,
}

/// First touch: the seat that the falling keel meets first. Of seats met together the first counts.
/// `None` without seats.
pub fn first_touch(afloat: &Afloat, seats: &[Seat]) -> Option<Touch> {
    let mut found: Option<Touch> = None;
    for (seat, place) in seats.iter().enumerate() {
        let water_level_m = place.level_m + afloat.draft_m(place.x_m);
        if found.is_none_or(|touch| water_level_m > touch.water_level_m) {
            found = Some(Touch { seat, water_level_m });
        }
    }
    found
}

/// The second seat that the keel meets as she turns about the knuckle, and the trim (m) at which she meets
/// it; `None` if she meets no other on the side that comes down.
pub fn second_touch(afloat: &Afloat, seats: &[Seat], knuckle: usize) -> Option<(usize, f64)> {
    met(afloat, seats, knuckle, |_| true)
}

/// The trim (m) at which she is landed fore and aft, having turned about the knuckle: that of the line of
/// the blocks if she turns toward it, and else that at which she meets a block on the other side of the LCF.
/// `None` if there is no such block.
pub fn landed_trim_m(afloat: &Afloat, seats: &[Seat], knuckle: usize, line: &Line) -> Option<f64> {
    let of_line = line.slope * afloat.perpendiculars.length_m();
    let left = afloat.trim_m - of_line;
    let bow_comes_down = afloat.bow_comes_down(seats.get(knuckle)?.x_m)?;
    let toward_line = if bow_comes_down { left > NO_TRIM_M } else { left < -NO_TRIM_M };
    if toward_line {
        return Some(of_line);
    }
    let lcf_x_m = afloat.row()?.lcf_x_m;
    let beyond = |seat: &Seat| if bow_comes_down { seat.x_m > lcf_x_m } else { seat.x_m < lcf_x_m };
    met(afloat, seats, knuckle, beyond).map(|(_, trim)| trim)
}

/// Trim under this is rounding, m.
const NO_TRIM_M: f64 = 1e-9;

/// The first of the seats asked for that the keel meets on the side that comes down, and her trim then, m.
fn met(
    afloat: &Afloat,
    seats: &[Seat],
    knuckle: usize,
    asked_for: impl Fn(&Seat) -> bool,
) -> Option<(usize, f64)> {
    let at = seats.get(knuckle)?;
    let bow_comes_down = afloat.bow_comes_down(at.x_m)?;
    // The line through the keel's ends when the bent keel rests on a seat.
    let ends = |seat: &Seat| seat.level_m - afloat.bend_m(seat.x_m);
    let mut found: Option<(usize, f64)> = None;
    for (number, seat) in seats.iter().enumerate() {
        let ahead = seat.x_m - at.x_m;
        if ahead.abs() < 1e-6 || (ahead > 0.0) != bow_comes_down || !asked_for(seat) {
            continue;
        }
        let trim = afloat.perpendiculars.length_m() * (ends(seat) - ends(at)) / ahead;
        let sooner = |other: f64| if bow_comes_down { trim > other } else { trim < other };
        if found.is_none_or(|(_, other)| sooner(other)) {
            found = Some((number, trim));
        }
    }
    found
}
