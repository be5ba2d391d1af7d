//! The greatest trim with which she may come to the blocks.

use super::afloat::Afloat;
use super::moved::crossing;
use super::seats::{Line, Seat, Touch, first_touch, landed_trim_m};
use super::turning::{Moment, Turning};
use crate::calc::formula::Formula;

/// How the greatest trim is found.
pub const GREATEST_TRIM: Formula = Formula {
    name: "greatest trim",
    title: "Greatest trim with which she may come to the blocks",
    says: "the landing is worked out for trims by the stern and by the head, from none against the line of the blocks \
           outward in steps of 1 cm, at her displacement and KG, weights moved along her alone; the first that breaks a \
           limit bounds that way, to the millimetre by bisection",
    source: "the landing's own formulas; for a least GM, Barrass and Derrett, chapter on dry-docking",
};

/// How she lands: where she touches first, and the critical instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Landed {
    /// First touch; `seat` counts in the caller's list.
    pub touch: Touch,
    pub critical: Moment,
}

/// How she would land on seats, as she floats; `None` where she meets none or the table ends before.
pub fn landed(afloat: &Afloat, seats: &[Seat], line: &Line) -> Option<Landed> {
    let touch = first_touch(afloat, seats)?;
    let trim_m = landed_trim_m(afloat, seats, touch.seat, line)?;
    let critical = Turning::new(afloat, seats[touch.seat])?.at_trim(trim_m)?;
    Some(Landed { touch, critical })
}

/// Which way she is trimmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    Stern,
    Head,
}

/// The greatest trim one way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Greatest<B> {
    /// Trim against the line of the blocks, m, + by the stern.
    pub relative_m: f64,
    /// What breaks beyond it; `None` where nothing does as far as was looked.
    pub broken: Option<B>,
}

/// Trims are looked at no further than this, m: no ship is docked with more.
const FURTHEST_M: f64 = 10.0;
const STEP_M: f64 = 0.01;

/// The greatest trim one way, relative to the line of the blocks, with which `broken` names nothing that it breaks.
/// `broken` gets the relative trim (m), the ship so trimmed, and how she lands; where the landing can't be worked out any
/// more, the search ends as if nothing broke. `None` if something is broken without any relative trim, or the landing is
/// not known there.
pub fn greatest_trim<B: Copy>(
    afloat: &Afloat,
    seats: &[Seat],
    line: &Line,
    way: Way,
    broken: impl Fn(f64, &Afloat, &Landed) -> Option<B>,
) -> Option<Greatest<B>> {
    let sign = if way == Way::Stern { 1.0 } else { -1.0 };
    let of_line = line.slope * afloat.perpendiculars.length_m();
    // Inner None: the landing is not known there.
    let at = |relative_m: f64| -> Option<Option<B>> {
        let ship = afloat.trimmed(of_line + relative_m)?;
        let landed = landed(&ship, seats, line)?;
        Some(broken(relative_m, &ship, &landed))
    };
    let steps = (FURTHEST_M / STEP_M) as u32;
    let mut last_m = None;
    for n in 0..=steps {
        let relative_m = sign * f64::from(n) * STEP_M;
        match (at(relative_m), last_m) {
            (Some(None), _) => last_m = Some(relative_m),
            (Some(Some(broken)), Some(kept_m)) => {
                let relative_m = crossing((kept_m, relative_m), |trim| Some(at(trim)?.is_none()));
                return Some(Greatest { relative_m, broken: Some(broken) });
            }
            (Some(Some(_)), None) => return None,
            // A trim of nothing at all may meet all blocks at once or none beyond the LCF.
            (None, None) if n < 2 => {}
            (None, _) => break,
        }
    }
    last_m.map(|relative_m| Greatest { relative_m, broken: None })
}
