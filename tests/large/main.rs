//! Large projects: what they take of memory and time, how often their bytes are read, and the same results
//! whatever the number of threads. What is watched from outside is told by Linux alone.
#![cfg(target_os = "linux")]

mod bags;
#[path = "../hostile/readers/chunked.rs"]
mod chunked;
#[path = "../common/mod.rs"]
mod common;
mod full;
mod growth;
mod jobs;
mod made;
mod memory;
mod pictures;
mod reads;
mod watched;
