//! From one docking to the next: two dockings side by side.

pub mod compare;
