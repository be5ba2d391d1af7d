//! The program as its users run it, on the sample project.

mod also;
mod answers;
mod archive;
mod causes;
mod command_line;
mod damage;
mod day;
mod format;
mod help;
mod history;
mod log;
mod mend;
mod order;
mod page;
mod photos;
mod ro_crate;
mod salvage;
mod same_bytes;
mod supplement;
mod survival;
mod tables;
mod written;
