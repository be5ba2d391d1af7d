//! Large projects: what they take of memory and time, how often their bytes are read, and the same results
//! whatever the number of threads.

#[path = "../common/mod.rs"]
mod common;
mod made;
