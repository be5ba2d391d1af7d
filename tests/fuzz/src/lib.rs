//! The readers of what strangers hand in, as the property tests of the house call them.

// The counters that the readers are built with are kept there.
use libfuzzer_sys as _;

#[path = "../../hostile/readers/mod.rs"]
pub mod readers;
