//! From one docking to the next: a blank project, or one that carries forward what an old bundle knows;
//! two dockings side by side.

pub mod before;
pub mod blank;
pub mod carried;
pub mod compare;
pub mod folder;
mod form;
pub mod forms;
pub mod photos;
pub mod readme;
pub mod start;
pub mod supplement;
pub mod workbook;
