//! Exit status: one table, also shown in the help.

use std::process::ExitCode;

use crate::words::cautions;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Done, and all is well.
    Well,
    /// It could not be done.
    NotDone,
    /// Done, and something differs, is beyond a limit without an answer, or is damaged.
    Troubled,
}

/// The table as the help prints it. Status 2 is given by the parser of the command line.
pub(super) const TABLE: &str = "Exit status:
  0  all is well
  1  the command could not be carried out
  2  the command line is wrong
  3  done, but something differs or is beyond a limit without an answer,
     or is damaged";

/// What the help of every command ends with: the table, and the caution.
pub fn ending() -> String {
    format!("{TABLE}\n\n{}", cautions::SHORT)
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        ExitCode::from(match status {
            Status::Well => 0,
            Status::NotDone => 1,
            Status::Troubled => 3,
        })
    }
}
