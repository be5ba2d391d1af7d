//! Checks against things outside this program: published figures and vectors, a fixture made by another
//! library, and judges of the formats. The README.md beside this file says what each judge is, where it
//! is blind, and how to run those that need a program installed.

#[path = "../hostile/bagged.rs"]
mod bagged;
#[path = "../common/mod.rs"]
mod common;
#[path = "../formats/damage.rs"]
mod damage;
#[path = "../hostile/filled.rs"]
mod filled;
mod judge;

mod aims;
mod alignment;
mod answers;
mod areas;
mod bag;
mod chains;
mod choices;
mod climate;
mod clock;
mod copies;
mod digests;
mod drafts;
mod film;
mod formats;
mod forms;
mod history;
mod hostile;
mod hulls;
// Closed forms are held against within tolerances; the last bits of a platform don't matter there.
#[allow(clippy::disallowed_methods)]
mod loads;
mod packages;
mod page;
mod paint;
mod papers;
mod pdf;
mod pictures;
mod quartiles;
mod reading;
mod readme;
mod recoat;
mod recovery;
mod report;
mod ro_crate;
mod sample_shifts;
mod seal;
mod shifts;
mod signature;
mod stability;
mod tables;
mod units;
mod workbook;
mod zip;
