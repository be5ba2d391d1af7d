//! Which unit, decimal point or sign would make a number plausible.

use super::number::{Number, Odd, median};
use crate::text;
use crate::text::Text;
use crate::units::{Unit, nine_digits};

/// So many remedies are named: more would be guesses.
const MOST: usize = 2;

/// So many times as much or as little as the other values of its column a number that was put right may be, where another
/// remedy brings it no nearer than that either.
const NEAR: [f64; 2] = [1.6, 5.0];

/// A slip of the pen that would explain a number.
#[derive(Debug, Clone, Copy)]
enum Slip {
    /// It was written in another unit.
    In(&'static Unit),
    /// Its decimal point stands so many places too far to the left; to the right if less than 0.
    Point(i32),
    /// Its sign is the other.
    Sign,
}

impl Slip {
    /// All of which a number of this unit may have come.
    fn all(unit: Option<&'static Unit>) -> Vec<Self> {
        let others = unit.into_iter().flat_map(|unit| {
            let accepted = unit.quantity.accepted();
            accepted.filter(move |other| other.suffix != unit.suffix).map(Slip::In)
        });
        // A decimal point by three places is told as the unit, where there is one.
        let is_unit = |places: i32| {
            let factor = libm::pow(10.0, f64::from(places));
            let by = |other: &Unit| unit.map(|unit| other.factor / unit.factor);
            let accepted = unit.into_iter().flat_map(|unit| unit.quantity.accepted());
            accepted.filter_map(by).any(|by| (by / factor - 1.0).abs() < 1e-9)
        };
        let points = [-1, 1, -2, 2, -3, 3].into_iter().filter(|places| !is_unit(*places));
        others.chain(points.map(Slip::Point)).chain([Slip::Sign]).collect()
    }

    /// The number put right, in the kept unit.
    fn mended(self, number: &Number<'_>) -> f64 {
        let written = number.unit().map_or(number.kept, |unit| unit.from_kept(number.kept));
        let kept = |written: f64| number.unit().map_or(written, |unit| unit.to_kept(written));
        match self {
            Slip::In(unit) => unit.to_kept(written),
            Slip::Point(places) => kept(written * libm::pow(10.0, f64::from(places))),
            Slip::Sign => kept(-written),
        }
    }

    /// What a person would have written, or how several would be read.
    fn told(self, odd: &[Odd<'_>]) -> String {
        let number = &odd[0].number;
        let written = number.unit().map_or(number.kept, |unit| unit.from_kept(number.kept));
        match (self, odd.len()) {
            (Slip::In(unit), 1) => format!("{}{}", nine_digits(written), unit.after_number()),
            (Slip::In(unit), _) => format!("taken as{}", spaced(unit)),
            (Slip::Point(places), 2..) if places > 0 => format!("multiplied by {}", power(places)),
            (Slip::Point(places), 2..) => format!("divided by {}", power(-places)),
            (Slip::Sign, 2..) => "with the other sign".to_string(),
            (slip, _) => number.text(slip.mended(number)),
        }
    }
}

fn spaced(unit: &Unit) -> String {
    let after = unit.after_number();
    if after.starts_with(' ') { after } else { format!(" {after}") }
}

fn power(places: i32) -> String {
    nine_digits(libm::pow(10.0, f64::from(places)))
}

/// What would make all of these values plausible, as the end of a sentence; nothing where no slip of the pen would.
pub(super) fn remedies(odd: &[Odd<'_>], all: &[f64]) -> Text {
    let unit = odd[0].number.unit();
    let is_odd = |kept: &f64| odd.iter().any(|odd| odd.number.kept == *kept);
    let others = all.iter().copied().filter(|kept| !is_odd(kept) && *kept != 0.0);
    let others: Vec<f64> = others.map(f64::abs).collect();
    let middle = median(others.iter().copied()).filter(|_| others.len() >= 3);
    // How many times more or less than the others; by their logarithm.
    let off = |slip: &Slip| -> f64 {
        let mended = median(odd.iter().map(|odd| slip.mended(&odd.number).abs()));
        let ratio = middle.zip(mended).map(|(middle, mended)| mended / middle);
        ratio.map_or(0.0, |ratio| libm::log(ratio.max(1e-12)).abs())
    };
    let fits = |slip: &Slip| {
        odd.iter().all(|odd| {
            let mended = slip.mended(&odd.number);
            (odd.least..=odd.greatest).contains(&mended)
        })
    };
    let mut slips: Vec<Slip> = Slip::all(unit).into_iter().filter(fits).collect();
    slips.sort_by(|a, b| off(a).total_cmp(&off(b)));
    let within = |times: f64| slips.iter().filter(|slip| off(slip) <= libm::log(times)).count();
    let near = NEAR.into_iter().map(within).find(|near| *near > 0).unwrap_or(MOST);
    slips.truncate(near.min(MOST));
    let told: Vec<String> = slips.iter().map(|slip| slip.told(odd)).collect();
    match (told.len(), odd.len()) {
        (0, _) => Text::new(),
        (_, 1) => text!("; {} would be", told.join(" or ")),
        _ => text!("; {} they would be", told.join(" or ")),
    }
}
