//! Records of one ship's dry-docking turned into a closeout report and a checksummed bundle.
//!
//! Data flows one way, and each room knows only those before it: [`units`] and [`hull`], then
//! [`records`] (what was written down), [`calc`] (pure calculations), [`text`] (sentences that know their
//! figures), [`findings`] (recorded against recomputed), [`pages`] (sections and tables, whatever they are
//! shown on), [`report`], [`bundle`], [`handover`] (from one docking to the next), and [`cli`] on top;
//! [`words`] is what those who speak to people call things.

pub mod bundle;
pub mod calc;
pub mod cli;
pub mod findings;
pub mod handover;
pub mod hull;
pub mod pages;
pub mod records;
pub mod report;
pub mod text;
pub mod units;
pub mod words;
