//! What was written down: reading a project's files, with places and units, and nothing else.
//!
//! Every file of records is described by a table of columns ([`spec`]); reading, messages and the
//! derived tables all follow from it. All that is wrong in all files is reported at once.

pub mod archive;
pub mod bilge;
pub mod blocks;
pub mod bottom;
pub mod bounds;
pub mod budget;
pub mod causes;
pub mod characters;
pub mod checks;
pub mod climate;
pub mod coats;
pub mod contained;
pub mod contents;
pub mod crossings;
pub mod divers;
pub mod docking;
pub mod drafts;
pub mod entry;
pub mod excerpt;
pub mod film;
pub mod grammar;
pub mod hints;
pub mod history;
pub mod holds;
pub mod hydrostatics;
pub mod ids;
mod input;
pub mod keel;
pub mod keyed;
mod known;
mod language;
pub mod layers;
#[cfg(test)]
pub mod memory;
pub mod notes;
pub mod openings;
mod outline;
pub mod papers;
mod parts;
pub mod pictures;
pub mod place;
pub mod plain;
pub mod plan;
mod planned;
pub mod plating;
pub mod plausible;
pub mod positions;
pub mod preparation;
pub mod prepared;
pub mod printed;
pub mod problem;
pub mod products;
mod project;
mod record;
pub mod remarks;
pub mod repairs;
pub mod rows;
pub mod scheme;
pub mod sheet;
mod slips;
pub mod spec;
pub mod stops;
pub mod store;
pub mod stripes;
pub mod tested;
pub mod value;
pub mod water;
pub mod weights;
pub mod workbook;
pub mod zones;

pub use project::{FILES, KEYED_FILES, Past, Project, bounded_rows, read};
