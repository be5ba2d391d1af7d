//! The readers of what strangers hand in, as the property tests of the house call them.

#[path = "../../tests/hostile/readers/mod.rs"]
pub mod readers;
