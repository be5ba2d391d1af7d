//! What somebody could put into a record or a bundle to make the program, or whoever opens its files, do
//! something else than read them.

mod properties;
mod readers;
