//! From one docking to the next: a blank project, or one that carries forward what an old bundle knows.

pub mod blank;
pub mod carried;
pub mod folder;
mod form;
pub mod past;
mod readme;
pub mod start;
