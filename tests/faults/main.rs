//! Failing machines: runs that are killed, disks that are full, folders that can't be written to, papers that
//! change while they are packed, output that nobody takes in.
//!
//! After each of them what stands under final names is whole or is the untouched old file, nothing that was
//! read has been touched, what went wrong is said with its place and with what to do, and a second run
//! gives the same bytes as one that nothing disturbed and leaves nothing else behind.

// When to kill is a matter of the clock, and of it alone.
#![allow(clippy::disallowed_methods, clippy::disallowed_types)]

#[path = "../common/mod.rs"]
mod common;

mod changing;
mod forbidden;
mod full;
mod kills;
mod output;
mod together;
mod work;
