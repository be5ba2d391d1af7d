//! `lastdock manual`: the help of all commands as manual pages.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::{Args, Command};
use clap_mangen::Man;

use super::say;
use super::status::{self, Status};
use crate::PROGRAM;
use crate::bundle::error::BundleError;
use crate::bundle::safely::{self, Finished};
use crate::bundle::staging::StagingDir;
use crate::words::cautions;

/// What `manual` takes.
#[derive(Debug, Args)]
pub struct Manual {
    /// Write lastdock.1 and a page for each command to this folder, replacing pages of these names
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

/// Runs it for a command line.
pub fn run(args: &Manual, line: Command) -> Status {
    match write(args.out.as_deref(), line) {
        Ok(text) => {
            say::print_plain(&text);
            Status::Well
        }
        Err(errors) => say::print_errors(&errors, false),
    }
}

/// What goes to standard output: the page of all commands, or the names of the pages written.
fn write(out: Option<&Path>, line: Command) -> Result<String, Vec<BundleError>> {
    let unwritten = |error| vec![BundleError::io("the manual", "can't be put together", &error)];
    let mut line = line.disable_help_subcommand(true);
    line.build();
    let all = page(&line).map_err(unwritten)?;
    let Some(out) = out else { return Ok(all) };
    let mut pages = vec![(Man::new(line.clone()).get_filename(), all)];
    for command in line.get_subcommands() {
        let text = page(command).map_err(unwritten)?;
        pages.push((Man::new(command.clone()).get_filename(), text));
    }
    let one = |error| vec![error];
    let staging = StagingDir::making(out).map_err(one)?;
    let mut finished = Vec::new();
    for (name, text) in &pages {
        let file = safely::filled(&staging, text.as_bytes()).map_err(one)?;
        finished.push(Finished { file, place: out.join(name) });
    }
    safely::put_in_place(finished, &[], true)?;
    Ok(pages.iter().map(|(name, _)| format!("{}\n", out.join(name).display())).collect())
}

/// What stands above every page.
const SUBJECT: &str = "Records of a dry-docking";

/// Has an apostrophe stay one; every section comes with these two lines, and a page wants them once.
const APOSTROPHE: [&str; 2] = [r".ie \n(.g .ds Aq \(aq", r".el .ds Aq '"];

type Render = fn(&Man, &mut dyn Write) -> io::Result<()>;

/// A page in roff: that of a command, or of the program with every command in it.
fn page(command: &Command) -> io::Result<String> {
    let man = Man::new(command.clone());
    // Its own title leaves the empty date out, and the rest moves up; a path broken by a hyphen is another path.
    let mut out = format!(
        "{}\n.TH {} 1 \"\" \"{PROGRAM}\" \"{SUBJECT}\"\n.nh\n",
        APOSTROPHE.join("\n"),
        command.get_display_name().unwrap_or(command.get_name()),
    );
    let headed: [Render; 4] = [
        |man, out| man.render_name_section(out),
        |man, out| man.render_synopsis_section(out),
        |man, out| man.render_description_section(out),
        |man, out| man.render_options_section(out),
    ];
    for render in headed {
        out.push_str(&section(&man, render)?);
    }
    if command.has_subcommands() {
        out.push_str(".SH COMMANDS\n");
    }
    for command in command.get_subcommands() {
        let man = Man::new(command.clone());
        out.push_str(&format!(".SS {}\n", command.get_name()));
        let bare: [Render; 3] = [
            |man, out| man.render_synopsis_section(out),
            |man, out| man.render_description_section(out),
            |man, out| man.render_options_section(out),
        ];
        for (n, render) in bare.into_iter().enumerate() {
            if n > 0 {
                out.push_str(".PP\n");
            }
            let text = section(&man, render)?;
            text.lines().filter(|line| !line.starts_with(".SH ")).for_each(|line| {
                out.push_str(line);
                out.push('\n');
            });
        }
    }
    if command.has_subcommands() {
        out.push_str(&guide(GUIDE));
    }
    let statuses = status::TABLE.lines().skip(1).collect::<Vec<_>>().join("\n");
    out.push_str(&format!(".SH \"EXIT STATUS\"\n.nf\n{statuses}\n.fi\n"));
    out.push_str(&format!(".SH CAUTION\n{}\n", cautions::in_one()));
    Ok(out)
}

/// What there is to know beyond the commands: headings behind `#`, paragraphs of one line, and examples set in by four
/// spaces.
const GUIDE: &str = include_str!("../../templates/manual/guide.txt");

/// The guide in roff.
fn guide(text: &str) -> String {
    let mut out = String::new();
    let mut after_heading = false;
    for part in text.split("\n\n") {
        let part = part.trim_end_matches('\n');
        if let Some(title) = part.strip_prefix("# ") {
            out.push_str(&format!(".SH \"{title}\"\n"));
            after_heading = true;
            continue;
        }
        if !after_heading {
            out.push_str(".PP\n");
        }
        after_heading = false;
        let is_example = part.starts_with("    ");
        let lines = part.lines().map(|line| escaped(line.strip_prefix("    ").unwrap_or(line)));
        let lines: String = lines.map(|line| line + "\n").collect();
        match is_example {
            true => out.push_str(&format!(".RS 4\n.nf\n{lines}.fi\n.RE\n")),
            false => out.push_str(&lines),
        }
    }
    out
}

/// A line of text that roff takes for no order.
fn escaped(line: &str) -> String {
    let line = line.replace('\\', "\\e").replace('-', "\\-");
    if line.starts_with(['.', '\'']) { format!("\\&{line}") } else { line }
}

fn section(man: &Man, render: Render) -> io::Result<String> {
    let mut bytes = Vec::new();
    render(man, &mut bytes)?;
    let text = String::from_utf8_lossy(&bytes);
    let lines = text.lines().filter(|line| !APOSTROPHE.contains(line));
    Ok(lines.map(|line| format!("{line}\n")).collect())
}
