//! From first touch to landed: the knuckle, the block under it, the upthrust between them, and what that does to stability.
//!
//! The keel is taken as rigid, with the hog or sag that the drafts showed, from first touch until the dock is
//! dry. Levels are above the dock's level datum. A block's *seat* is the level at which the base line (z = 0)
//! stands when a straight keel rests on it: the block's top less the keel's rise.

mod afloat;
mod margins;
mod moved;
mod resting;
mod seats;
mod trims;
mod turning;

pub use afloat::{
    Afloat, FIRST_TOUCH, INSTABILITY, LIFT_OFF, LOAD_LANDED, LOSS_OF_GM, RELATIVE_TRIM,
    StraightDrafts, UPTHRUST, loss_by_kg_m, loss_by_km_m, straight_drafts, upthrust_by_fall_t,
    upthrust_t,
};
pub use margins::draft_at_instability_m;
pub use moved::{Change, Changed, MOVED, WANTED};
pub use resting::Load;
pub use seats::{Line, Seat, Touch, first_touch, landed_trim_m, line_of, second_touch};
pub use trims::{GREATEST_TRIM, Greatest, Landed, Way, greatest_trim, landed};
pub use turning::{Moment, Turning};

#[cfg(test)]
mod tests;
