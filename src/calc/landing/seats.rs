//! Where the keel lands: seats, their line, first and second touch.

use super::Afloat;

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

/// The second seat that the keel meets as she turns about the knuckle and takes off her trim, and the
/// trim (m) at which she meets it; `None` if she meets no other on the side to which she turns.
pub fn second_touch(
    afloat: &Afloat,
    seats: &[Seat],
    knuckle: usize,
    line: &Line,
) -> Option<(usize, f64)> {
    let length = afloat.perpendiculars.length_m();
    let at = seats.get(knuckle)?;
    let by_stern = afloat.trim_m >= line.slope * length;
    let mut found: Option<(usize, f64)> = None;
    for (number, seat) in seats.iter().enumerate() {
        let ahead = seat.x_m - at.x_m;
        // Trimmed by the stern the bow comes down: only what lies forward of the knuckle is met.
        if ahead.abs() < 1e-6 || (ahead > 0.0) != by_stern {
            continue;
        }
        let trim = length * (seat.level_m - at.level_m) / ahead;
        let sooner = |other: f64| if by_stern { trim > other } else { trim < other };
        if found.is_none_or(|(_, other)| sooner(other)) {
            found = Some((number, trim));
        }
    }
    found
}
