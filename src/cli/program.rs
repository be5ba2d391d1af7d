//! What the program calls itself.

/// Name and version, as bundles carry them.
pub const PROGRAM: &str = concat!("lastdock ", env!("CARGO_PKG_VERSION"));
