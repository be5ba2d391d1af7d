//! Which shift of the ship uncovers the steel that blocks hid: how much bottom is hidden both before and
//! after a shift, for every shift in a range, and which blocks left out would give room for one.
//!
//! Throughout, what is *slid* are the footprints on the hull: forward and to port counts +. The ship's own
//! shift is the same length the other way: footprints that lie 0.70 m further forward are those of a ship
//! that was moved 0.70 m aft.

mod band;
mod contact;
mod convex;
mod leaving_out;
mod openings;
mod pair;
mod stretches;
mod study;
#[cfg(test)]
mod tests;
mod way;

pub use band::{Band, NO_WIDTH_M};
pub use leaving_out::{LeavingOut, MOST_LEFT_OUT};
pub use openings::{KeptClear, NOT_UNDER_M, clear_parts, clearances, short_stretches};
pub use pair::Pair;
pub use stretches::{Stretch, steady_stretches, stretches};
pub use study::{SHIFT_STUDY, Sides, Study};
pub use way::{Footing, Way};
