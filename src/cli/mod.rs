//! The command line: one file per command.

mod check;
mod closeout;
mod compare;
mod mend;
mod print;
mod progress;
mod project;
mod signed;
mod source;
mod start;
mod status;
mod table;
mod verify;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Name and version, as bundles carry them.
pub const PROGRAM: &str = concat!("lastdock ", env!("CARGO_PKG_VERSION"));

/// Keep the record of a ship's dry-docking: check it, close it out, verify it decades later
#[derive(Debug, Parser)]
#[command(version, after_help = status::TABLE, after_long_help = format!("{}\n\n{}", status::TABLE, status::CAUTION))]
struct Line {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Make a new project's folder: blank, or carried forward from the last docking's bundle
    ///
    /// The bundle is verified first. The new folder is written whole or not at all, and a folder that is
    /// there already is never touched.
    ///
    /// Example: lastdock start calder-wren-2055 --from calder-wren-2031.zip
    #[command(after_help = status::TABLE)]
    Start(start::Start),
    /// Read a project, recompute everything, and print the findings
    ///
    /// Example: lastdock check sample-project
    #[command(after_help = status::TABLE)]
    Check(check::Check),
    /// Write the closeout report, the bundle, its seal and its recovery data
    ///
    /// Example: lastdock closeout sample-project --out handed-over
    #[command(after_help = status::TABLE)]
    Closeout(closeout::Closeout),
    /// Prove that a bundle is whole and that its findings still follow from its records
    ///
    /// Example: lastdock verify calder-wren-2031.zip --seal "0123 4567 ..."
    #[command(after_help = status::TABLE)]
    Verify(verify::Verify),
    /// Mend a damaged bundle from the recovery data beside it, or salvage what is whole
    ///
    /// The damaged file is never written to. Status 0: it was not damaged; 3: it was, and a mended one was
    /// written; 1: it could not be mended.
    ///
    /// Example: lastdock mend calder-wren-2031.zip
    #[command(after_help = status::TABLE)]
    Mend(mend::Mend),
    /// Hold two dockings side by side: what changed, what both left under blocks, how fast she wears
    ///
    /// Each is a bundle or a project. Status 3: they are of two ships, or named in the wrong order, or a
    /// bundle is damaged.
    ///
    /// Example: lastdock compare calder-wren-2009.zip calder-wren-2031.zip --out compared.pdf
    #[command(after_help = status::TABLE)]
    Compare(compare::Compare),
}

/// Runs the program.
pub fn run() -> ExitCode {
    let line = Line::parse();
    if let Command::Verify(args) = &line.command {
        args.refuse_one_seal_for_many();
    }
    match &line.command {
        Command::Start(args) => start::run(args),
        Command::Check(args) => check::run(args),
        Command::Closeout(args) => closeout::run(args),
        Command::Verify(args) => verify::run(args),
        Command::Mend(args) => mend::run(args),
        Command::Compare(args) => compare::run(args),
    }
    .into()
}
