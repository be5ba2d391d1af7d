//! Shifts of the ship in words and in the figures that a person would measure.
//!
//! A figure is rounded inward: whatever is said to do, does.

use crate::calc::shifts::{Band, Way};
use crate::units;

/// A shift of the ship, m, forward or to port +, as words: `0.70 m aft`.
pub fn shift(way: Way, shift_m: f64, decimals: usize) -> String {
    let size = units::fixed(shift_m.abs(), decimals);
    if is_nothing(&size) {
        return "no shift at all".to_string();
    }
    format!("{size} m {}", side(way, shift_m))
}

fn is_nothing(size: &str) -> bool {
    size.bytes().all(|b| b == b'0' || b == b'.')
}

/// Toward which side a shift goes.
fn side(way: Way, shift_m: f64) -> &'static str {
    match (way, shift_m > 0.0) {
        (Way::ForeAndAft, true) => "forward",
        (Way::ForeAndAft, false) => "aft",
        (Way::Athwart, true) => "to port",
        (Way::Athwart, false) => "to starboard",
    }
}

/// The way, as it stands after "shifted".
pub fn way(way: Way) -> &'static str {
    match way {
        Way::ForeAndAft => "fore and aft",
        Way::Athwart => "athwart",
    }
}

/// Shifts of the ship from one to another, m, as words: `0.60 to 0.80 m aft`.
pub fn span(way: Way, (from_m, to_m): (f64, f64), decimals: usize) -> String {
    let size = |m: f64| units::fixed(m.abs(), decimals);
    let nothing = |m: f64| is_nothing(&size(m));
    let (near, far) = if from_m.abs() <= to_m.abs() { (from_m, to_m) } else { (to_m, from_m) };
    if nothing(far) {
        return shift(way, far, decimals);
    }
    if from_m < 0.0 && to_m > 0.0 && !nothing(near) {
        return format!("{} to {}", shift(way, from_m, decimals), shift(way, to_m, decimals));
    }
    format!("{} to {}", size(near), shift(way, far, decimals))
}

/// The middle of a band of shifts as a person measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Middle {
    /// The ship's shift, m: the middle of the band, rounded.
    pub shift_m: f64,
    /// By how much that may be missed either way, m; rounded down.
    pub miss_m: f64,
    /// Decimals that both need.
    pub decimals: usize,
}

/// Decimals of metres: as few as leave something that may be missed.
const DECIMALS: [usize; 2] = [2, 3];
/// Computed lengths are sure to this part of the last decimal.
const SURE: f64 = 1e-4;

/// The middle of a band of shifts of the ship, from and to in m.
pub fn middle((from_m, to_m): (f64, f64)) -> Middle {
    let rounded = DECIMALS.map(|decimals| {
        let shift_m = nearest((from_m + to_m) / 2.0, decimals);
        Middle { shift_m, miss_m: room(shift_m, (from_m, to_m), decimals), decimals }
    });
    let [coarse, fine] = rounded;
    if coarse.miss_m > 0.0 { coarse } else { fine }
}

/// By how much a shift may be missed either way and still lie in a band, m; rounded down.
pub fn room(shift_m: f64, (from_m, to_m): (f64, f64), decimals: usize) -> f64 {
    let unit = unit(decimals);
    let room = (shift_m - from_m).min(to_m - shift_m);
    (room / unit + SURE).floor().max(0.0) * unit
}

/// A band of shifts of the ship (from and to, m) rounded to lie inside itself, and the decimals for it.
pub fn inward((from_m, to_m): (f64, f64)) -> ((f64, f64), usize) {
    for decimals in DECIMALS {
        let unit = unit(decimals);
        let from = (from_m / unit - SURE).ceil() * unit;
        let to = (to_m / unit + SURE).floor() * unit;
        if to - from > unit * 1.5 {
            return ((from, to), decimals);
        }
    }
    ((from_m, to_m), 4)
}

/// The smallest shift in bands of shifts of the ship, rounded to lie inside its own, and its decimals.
pub fn smallest(shift_m: f64, bands: &[(f64, f64)]) -> (f64, usize) {
    let within = |m: f64| bands.iter().any(|(from, to)| *from - 1e-6 <= m && m <= *to + 1e-6);
    for decimals in DECIMALS {
        let unit = unit(decimals);
        let further = (shift_m.abs() / unit - SURE).ceil() * unit;
        let rounded = further.copysign(shift_m);
        if within(rounded) {
            return (rounded, decimals);
        }
    }
    (shift_m, 4)
}

fn unit(decimals: usize) -> f64 {
    if decimals == 2 { 0.01 } else { 0.001 }
}

fn nearest(m: f64, decimals: usize) -> f64 {
    let unit = unit(decimals);
    (m / unit).round() * unit
}

/// A band of lengths slid as shifts of the ship, from and to in m: the ship moves against her footprints.
pub fn as_shifts(band: &Band) -> (f64, f64) {
    (-band.to_m, -band.from_m)
}

/// Names as a person lists them: `A`, `A and B`, `A, B and C`.
pub fn and(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shifts_say_their_side() {
        assert_eq!(shift(Way::ForeAndAft, -0.7, 2), "0.70 m aft");
        assert_eq!(shift(Way::ForeAndAft, 0.7, 2), "0.70 m forward");
        assert_eq!(shift(Way::Athwart, -0.35, 2), "0.35 m to starboard");
        assert_eq!(shift(Way::Athwart, 0.001, 2), "no shift at all");
        assert_eq!(span(Way::ForeAndAft, (-0.8, -0.6), 2), "0.60 to 0.80 m aft");
        assert_eq!(span(Way::Athwart, (0.0, 1.4), 2), "0.00 to 1.40 m to port");
        assert_eq!(span(Way::ForeAndAft, (-0.1, 0.2), 2), "0.10 m aft to 0.20 m forward");
    }

    #[test]
    fn what_is_said_lies_in_the_band() {
        assert_eq!(middle((-0.8, -0.6)).miss_m, 0.1);
        assert_eq!(room(-0.75, (-0.8, -0.6), 2), 0.05);
        assert_eq!(room(-0.9, (-0.8, -0.6), 2), 0.0);
        for (from, to) in [(-0.8, -0.6), (-0.797, -0.612), (0.604, 0.621), (0.6004, 0.6031)] {
            let aim = middle((from, to));
            assert!(aim.miss_m > 0.0, "{aim:?}");
            assert!(
                aim.shift_m - aim.miss_m >= from - 1e-6 && aim.shift_m + aim.miss_m <= to + 1e-6
            );
            let ((a, b), _) = inward((from, to));
            assert!(from - 1e-6 <= a && b <= to + 1e-6 && a < b);
        }
        assert_eq!(smallest(-0.6, &[(-0.8, -0.6)]), (-0.6, 2));
        let (nearest, decimals) = smallest(-0.6123, &[(-0.6151, -0.6123)]);
        assert_eq!((units::fixed(nearest, 3), decimals), ("-0.613".to_string(), 3));
        assert_eq!(smallest(0.0, &[(-0.1, 0.2)]).0, 0.0);
    }
}
