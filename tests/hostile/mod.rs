//! What somebody could put into a record or a bundle to make the program, or whoever opens its files, do
//! something else than read them.

mod bagged;
mod bags;
mod cells;
mod could_not;
mod filled;
mod folders;
mod made;
mod manifests;
mod properties;
mod readers;
mod records;
mod refused;
mod supplements;
mod swapped;
mod terminal;
mod texts;
mod zips;
