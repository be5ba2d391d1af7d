//! The bundle: a BagIt bag in a zip, written whole or not at all, opened, verified, recomputed.

pub mod attached;
pub mod bag;
pub mod chain;
mod chunks;
pub mod closeout;
mod copies;
pub mod digest;
mod directory;
pub mod error;
#[cfg(test)]
mod faulty;
pub mod first_sight;
pub mod format_text;
pub mod formats;
mod headers;
pub mod layout;
pub mod log;
pub mod manifests;
pub mod mend;
pub mod open;
pub mod others;
mod pack;
mod proved;
pub mod readme;
pub mod recompute;
pub mod recovery;
mod refill;
mod ro_crate;
pub mod safely;
pub mod salvage;
mod seal;
pub mod signature;
pub mod signers;
pub mod staging;
pub mod supplement;
pub mod verify;
pub mod version;
