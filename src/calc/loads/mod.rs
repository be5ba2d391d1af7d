//! Loads on the blocks of a landed ship.
//!
//! A block is a spring that only pushes ([`springs`]); weight and buoyancy are curves along the hull
//! ([`weight`]); the ship is either rigid ([`mod@rigid`]) or a girder that bends and shears ([`mod@girder`]).
//! Everywhere x is in metres forward of the stern reference point and y in metres to port, settlement
//! is positive down, trim by the stern, heel to port, and a hogging moment is positive.

mod bearing;
mod contact;
mod error;
pub mod floor;
mod footing;
pub mod girder;
pub mod plausible;
pub mod rigid;
pub mod springs;
pub mod weight;

pub use bearing::{
    BlockSpring, CONTACT, Carried, Outcome, PRESSURE, SMALL_ANGLE_RAD, pressure_kpa, without,
};
pub use error::LoadsError;
pub use girder::girder;
pub use rigid::rigid;
