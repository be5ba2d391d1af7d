//! The command line: one file per command.

mod added;
mod answers;
mod arguments;
mod bag;
mod chained;
mod check;
mod closeout;
mod compare;
mod completions;
mod forms;
mod inside;
mod jobs;
mod log;
mod manual;
#[cfg(target_os = "linux")]
mod memory;
mod mend;
mod one_page;
mod owed;
mod page;
mod photos;
mod print;
mod problems;
mod progress;
mod project;
mod say;
mod sealing;
mod shifts;
mod signed;
mod source;
mod start;
mod status;
mod supplement;
mod terminal;
mod terms;
mod verify;

use std::process::ExitCode;

use clap::error::{Error, ErrorKind};
use clap::{CommandFactory, Parser, Subcommand};
use page::Page;
use status::Status;

/// Keep the record of a ship's dry-docking: check it, close it out, verify it decades later
#[derive(Debug, Parser)]
#[command(bin_name = "lastdock", version, after_help = status::ending())]
struct Line {
    #[command(subcommand)]
    command: Command,
    #[command(flatten)]
    jobs: jobs::Jobs,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Make a new project's folder: blank, or carried forward from the last docking's bundle
    ///
    /// The bundle is verified first. The new folder is written whole or not at all, and a folder that is
    /// there already is never touched.
    ///
    /// Example: lastdock start calder-wren-2055 --from calder-wren-2031.zip
    #[command(after_help = status::ending())]
    Start(start::Start),
    /// Make sheets to fill in by hand at the dock, with what the project already knows printed on them
    ///
    /// PDFs for every record that is taken at the dock: blocks as set, landing, water levels, gaps, lift-off,
    /// drafts on arrival and departure, weights moved, openings, climate and coating, plating and anodes, and
    /// photographs; and a briefing on one page for each position. Columns are headed in words, with the name in the
    /// file at the foot. They are on A4, or on US Letter with paper = "us-letter" in docking.toml. A sheet as printed is not a record, and closeout leaves it out; put scans of
    /// filled-in sheets into papers/.
    ///
    /// Example: lastdock forms sample-project --out sheets
    #[command(after_help = status::ending())]
    Forms(forms::Forms),
    /// Read a project, recompute everything, and print the findings
    ///
    /// Until the record is closed it begins with the page of the day: what is open, from when the coats may meet the
    /// water, which recoat window closes next, what was recorded last. Then it says how complete the record is.
    ///
    /// With --stage it prints instead what matters before landing,
    /// before flooding or before closing, and its status is 3 while any of that is open. The list is an aid to
    /// the responsible person's own list, not an approval.
    ///
    /// Example: lastdock check sample-project --stage before-flooding
    #[command(after_help = status::ending())]
    Check(check::Check),
    /// Add a blank to remarks.toml for each finding that waits for an answer
    ///
    /// The finding's sentence, id, outcome and figures are filled in; answer, by and on are for someone who
    /// knows. Findings named on the command line share one blank, for one answer that serves them all. What is
    /// already in remarks.toml is not touched, and running this again adds nothing. The status is 0 even while
    /// findings wait.
    ///
    /// Example: lastdock answers sample-project --dry-run
    #[command(after_help = status::ending())]
    Answers(answers::Answers),
    /// Add a row to papers/papers.csv for every picture in papers/ that has none
    ///
    /// The time is the camera's, and the position the one in which she stood then; the caption is left open. What
    /// stands in the file stays as it is.
    ///
    /// Example: lastdock photos my-docking
    #[command(after_help = status::ending())]
    Photos(photos::Photos),
    /// Write the closeout report, the page for a browser, the bundle, its seal and its recovery data
    ///
    /// Beside the bundle stand the report, a summary to hand out (its first pages), and, if docking.toml says
    /// tables_volume = true under [closeout], the full tables as PDFs.
    ///
    /// Example: lastdock closeout sample-project --out handed-over
    #[command(after_help = status::ending())]
    Closeout(closeout::Closeout),
    /// Prove that a bundle is whole and that its findings still follow from its records
    ///
    /// Given a bundle with its supplements, in any order, it proves each, and says which follows which by their seals, and
    /// whether what an erratum says stands in the record does. Where something of that line is not given, the status
    /// is 1; where a seal differs, 3.
    ///
    /// A bag that somebody else made (BagIt, RFC 8493) is judged by its own manifests (MD5, SHA-1 or SHA-2),
    /// and then each bundle in it, zipped or unpacked. Without a bundle in it nothing can be recomputed, and
    /// the status is 1. Nothing is ever fetched.
    ///
    /// Where a bag holds over a gigabyte more than twice what its Payload-Oxum states, its largest
    /// files are named but not read. Without a Payload-Oxum everything is read, however long that takes.
    ///
    /// With --log it adds a line about each bundle to a CSV file in the terms of PREMIS 3: when, what, how it came out, the
    /// seal, counts. closeout and mend do so too. If that can't be written, the result is printed all the same, and the
    /// status is 1.
    ///
    /// Example: lastdock verify calder-wren-2031.zip --seal "0123 4567 ..."
    #[command(after_help = status::ending())]
    Verify(verify::Verify),
    /// Mend a damaged bundle from the recovery data beside it, or salvage what is whole
    ///
    /// The damaged file is never written to. Status 0: it was not damaged; 3: it was, and a mended copy was
    /// written; 1: it could not be mended.
    ///
    /// With --also it first takes whole files from other places, by the digests of the manifest: back to where they stood,
    /// so that recovery data has less to make good, or, where there is a copy of every file, into a new zip with the same
    /// seal. The seal, or else the zip's own checksum, has to prove which files belong to the bundle.
    ///
    /// The time it takes grows with the square of the number of missing slices, with their size, and with every
    /// recovery slice that is lost between those that are used. A repair that would take more than 2^38
    /// multiplications in the field of PAR 2.0 is refused before it begins.
    ///
    /// Example: lastdock mend calder-wren-2031.zip
    #[command(after_help = status::ending())]
    Mend(mend::Mend),
    /// Write the record as one page that any browser shows, with nothing else installed
    ///
    /// It may be written at any time during the docking, and a closeout writes it, too. The page asks for nothing from the network, and keeps
    /// nothing.
    ///
    /// Example: lastdock page sample-project --out calder-wren.html
    #[command(after_help = status::ending())]
    Page(one_page::OnePage),
    /// Seal what became known after a bundle was closed out: errata, later records, papers
    ///
    /// A bundle is never changed. The first run makes the supplement's folder, with what it follows filled in; the next
    /// one, once it is filled in, reads it against the bundle and writes it as a small bundle of its own, which names
    /// its parent by seal.
    ///
    /// Example: lastdock supplement calder-wren-2031.zip found-since
    #[command(after_help = status::ending())]
    Supplement(supplement::Supplement),
    /// Compare two dockings: what changed, what both left under blocks, how fast the plating wastes
    ///
    /// Each is a bundle or a project. Status 3: they are records of two ships, or were named in the wrong
    /// order, or a bundle is damaged.
    ///
    /// Example: lastdock compare older.zip newer.zip --out compared.pdf
    #[command(after_help = status::ending())]
    Compare(compare::Compare),
    /// Find the shift of the ship that uncovers everything that stood under blocks
    ///
    /// Status 3: no single shift does it, or with --among no choice of the plan's positions.
    ///
    /// Example: lastdock shifts sample-project --leave-out K23
    #[command(after_help = status::ending())]
    Shifts(shifts::Shifts),
    /// Explain a word of the trade, of archives or of this program
    ///
    /// Status 1: the word is not in the list.
    ///
    /// Example: lastdock terms docking position
    #[command(after_help = status::ending())]
    Terms(terms::Terms),
    /// Print one manual page for all commands, or write a page for each
    ///
    /// Read it with "lastdock manual | man -l -", or write the pages to a man1 folder where man finds them.
    ///
    /// Example: lastdock manual --out ~/.local/share/man/man1
    #[command(after_help = status::ending())]
    Manual(manual::Manual),
    /// Print a script that lets a shell complete commands and options
    ///
    /// bash reads it from ~/.local/share/bash-completion/completions/lastdock, zsh from a file _lastdock in a
    /// folder on fpath, fish from ~/.config/fish/completions/lastdock.fish.
    ///
    /// Example: lastdock completions bash > lastdock.bash
    #[command(after_help = status::ending())]
    Completions(completions::Completions),
}

/// Runs the program.
pub fn run() -> ExitCode {
    say::redirect_panics();
    let line = match Line::try_parse_from(arguments::rejoin(std::env::args_os())) {
        Ok(line) => line,
        Err(error) => {
            let code = say::print_parser_error(error);
            return if code == 0 { say::finish(Status::Well).into() } else { code.into() };
        }
    };
    let refusal = match &line.command {
        Command::Verify(args) => args.refusal(),
        Command::Check(args) => args.refusal(),
        _ => None,
    };
    if let Some((kind, message)) = refusal {
        refuse(kind, message);
    }
    if let Err(error) = line.jobs.start() {
        say::eprint(&Page::from_text(format_args!("the threads can't be started: {error}\n")));
        return Status::NotDone.into();
    }
    let status = match &line.command {
        Command::Start(args) => start::run(args),
        Command::Forms(args) => forms::run(args),
        Command::Check(args) => check::run(args),
        Command::Answers(args) => answers::run(args),
        Command::Photos(args) => photos::run(args),
        Command::Closeout(args) => closeout::run(args),
        Command::Verify(args) => verify::run(args),
        Command::Mend(args) => mend::run(args),
        Command::Page(args) => one_page::run(args),
        Command::Supplement(args) => supplement::run(args),
        Command::Compare(args) => compare::run(args),
        Command::Shifts(args) => shifts::run(args),
        Command::Terms(args) => terms::run(args),
        Command::Manual(args) => manual::run(args, Line::command()),
        Command::Completions(args) => completions::run(args, Line::command()),
    };
    say::finish(status).into()
}

/// Ends the program where the command line is not right in a way that its parser can't see.
fn refuse(kind: ErrorKind, message: &str) -> ! {
    let error: Error = Line::command().error(kind, message);
    std::process::exit(say::print_parser_error(error).into())
}
