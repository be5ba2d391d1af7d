//! `lastdock shifts` as its users run it: on the sample, on its bundle, and on small invented dockings whose
//! answers can be worked out on paper.

mod among;
mod answers;
mod command_line;
mod invented;
mod own;
mod past;
mod sample;
