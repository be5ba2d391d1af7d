//! The tests that run the program or the library and ask nothing else of the machine, in one executable, since
//! each has the typesetter in it. `DEVELOPERS.md` says what stands in the targets beside this one, and why.

mod common;

// The order of the source.
mod house;

// The sample project, held against what programs of their own (`sample/expected*.py`) work out from its files,
// and copies of it that are wrong in one thing.
mod coating;
mod divers;
mod landing;
mod landing_input;
mod one_figure;
mod planned;
mod positions;
mod sample;
mod shifts;

// What people hand in: slips, unfinished records, spreadsheets, tables in parts and in their own habits, and what was made
// to do harm.
mod habits;
mod hands;
mod hostile;
mod mistakes;
mod progress;
mod spreadsheets;

// From the first command to the next docking.
mod compare;
mod formats;
mod handover;
mod readme_walk;
mod start;
mod units;
mod whole_program;
