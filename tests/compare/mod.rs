//! `lastdock compare` on two small invented dockings whose every figure is worked out by hand, and on what
//! can go wrong with either.

mod amiss;
mod figures;
mod pages;
mod two;
