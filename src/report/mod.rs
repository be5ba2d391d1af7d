//! The closeout report: what it shows, its drawings, and its typesetting.

pub mod figures;
