//! `lastdock check`: read, recompute, print the findings.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::error::{ContextKind, Error, ErrorKind};
use clap::{Arg, Args, Command};

use super::owed;
use super::page::Page;
use super::print;
use super::project::{self, Stream};
use super::say;
use super::status::Status;
use super::terminal::Terminal;
use crate::PROGRAM;
use crate::bundle::error::{BundleError, first_few};
use crate::findings::Examined;
use crate::findings::blanks;
use crate::findings::day::{self, Day};
use crate::findings::finding::{Finding, Outcome};
use crate::findings::progress::written::DueWritten;
use crate::findings::progress::{Progress, Stage};
use crate::findings::subject::Weight;
use crate::findings::written::FindingsWritten;
use crate::pages::owed::completeness;
use crate::pages::{self, Section};
use crate::records::docking;
use crate::records::remarks::Remark;
use crate::records::value;

/// What `check` takes.
#[derive(Debug, Args)]
pub struct Check {
    /// The project's folder, the one that holds docking.toml; by default the current folder
    project: Option<PathBuf>,
    /// Also print the findings that agree; of a project that can't be read, every place of each problem
    #[arg(long)]
    all: bool,
    /// Print instead what matters at a stage: what is open, what is recorded
    #[arg(long, value_parser = stage_parser())]
    stage: Option<Stage>,
    /// With --stage before-landing or before-flooding: what matters at that stage for one position alone, by its name
    #[arg(long, value_name = "NAME", requires = "stage")]
    position: Option<String>,
    /// Begin with the docking as it stood then, 2031-04-12 or 2031-04-12T16:30; by default, until the record is closed,
    /// as of the latest time in the records
    #[arg(long, value_name = "TIME", conflicts_with_all = ["stage", "json"])]
    as_of: Option<String>,
    /// Print instead what is open of one person, by the name that the records give
    #[arg(long, value_name = "NAME", conflicts_with_all = ["stage", "json", "as_of", "all"])]
    by: Option<String>,
    /// Print the findings as JSON, in the form of findings.json; with --stage the list
    #[arg(long)]
    json: bool,
}

fn stage_parser() -> impl TypedValueParser<Value = Stage> {
    Choice(PossibleValuesParser::new(Stage::ALL.map(Stage::word))).try_map(|word| {
        Stage::ALL.into_iter().find(|stage| stage.word() == word).ok_or("not a stage")
    })
}

/// Words of which one must be given. The parser's own guess at which was meant is left out: what is nearest in
/// letters may be another stage of the docking.
#[derive(Clone)]
struct Choice(PossibleValuesParser);

impl TypedValueParser for Choice {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        argument: Option<&Arg>,
        value: &OsStr,
    ) -> Result<String, Error> {
        self.0.parse_ref(command, argument, value).map_err(|mut error| {
            error.remove(ContextKind::SuggestedValue);
            error
        })
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        self.0.possible_values()
    }
}

impl Check {
    /// The folder that is meant.
    fn project(&self) -> &Path {
        self.project.as_deref().unwrap_or(Path::new("."))
    }

    /// Why the command line is not right, where it is not: no folder is named, and the one in which somebody stands
    /// is no project.
    pub fn refusal(&self) -> Option<(ErrorKind, &'static str)> {
        let is_named = self.project.is_some() || self.project().join(docking::SPEC.path).is_file();
        let message =
            "name the project's folder, the one that holds docking.toml: this folder holds none";
        (!is_named).then_some((ErrorKind::MissingRequiredArgument, message))
    }
}

/// Runs it.
pub fn run(args: &Check) -> Status {
    let root = args.project();
    let Some((_, examined)) = project::examine_telling(root, args.json, Stream::Out, args.all)
    else {
        return Status::NotDone;
    };
    if let Some(stage) = args.stage {
        let position =
            args.position.as_deref().map(|name| position_of_stage(name, stage, &examined));
        let progress = match position.transpose() {
            Ok(None) => Progress::new(&examined),
            Ok(Some(position)) => Progress::of_position(&examined, position),
            Err(error) => return say::print_errors(&[error], false),
        };
        let due = progress.at(&examined, stage);
        if args.json {
            say::print_json(&DueWritten::new(&examined, &progress, &due));
        } else {
            say::print(&owed::render(&examined, &due));
        }
        return if due.open() == 0 { Status::Well } else { Status::Troubled };
    }
    let progress = Progress::new(&examined);
    if let Some(name) = &args.by {
        return open_by(name, &examined);
    }
    let as_of = match args.as_of.as_deref().map(|text| as_of(text, &examined)).transpose() {
        Ok(as_of) => as_of,
        Err(error) => return say::print_errors(&[error], false),
    };
    if args.json {
        say::print_json(&FindingsWritten::new(&examined, PROGRAM));
    } else {
        let project = root.display().to_string();
        let is_closed = examined.project.docking.closeout.is_some();
        let wants_day = !is_closed || as_of.is_some();
        let day = if wants_day { Day::new(&examined, as_of) } else { None };
        say::print(&render(&examined, &progress, &project, day.as_ref(), args.all));
    }
    status(&examined)
}

/// The position that a list is asked for, by its place in the project's list.
fn position_of_stage(name: &str, stage: Stage, examined: &Examined) -> Result<usize, BundleError> {
    let error = |wrong: String, advice: String| BundleError::new("--position", wrong, advice);
    if stage == Stage::BeforeClosing {
        let wrong = format!("{name:?}: a record is closed for all its positions at once");
        let advice = "give it with --stage before-landing or before-flooding, or leave it out";
        return Err(error(wrong, advice.to_string()));
    }
    let positions = &examined.project.positions;
    positions.iter().position(|position| position.id == name).ok_or_else(|| {
        let names: Vec<String> = positions.iter().map(|position| position.id.clone()).collect();
        let advice = match names.as_slice() {
            [] => "write its row in positions/positions.csv".to_string(),
            _ => format!("give one of these: {}", first_few(names.into_iter(), ", ")),
        };
        error(format!("{name:?} is no position of this docking"), advice)
    })
}

/// The moment that `--as-of` gives.
fn as_of(text: &str, examined: &Examined) -> Result<DateTime<FixedOffset>, BundleError> {
    value::moment(text, &examined.project.docking.clock).map_err(|invalid| {
        let wrong = format!("{text:?} {}; expected {}", invalid.wrong, invalid.expected);
        BundleError::new("--as-of", wrong, invalid.advice)
    })
}

/// What is open of one person.
fn open_by(name: &str, examined: &Examined) -> Status {
    let person = match day::by_name(examined, name) {
        Ok(person) => person,
        Err(names) => {
            let wrong = format!("no row of the records names {name:?} as who did it");
            let advice = match names.as_slice() {
                [] => "write in the columns opened_by, closed_by and by who did it".to_string(),
                names => format!("give one of these: {}", first_few(names.iter().cloned(), ", ")),
            };
            return say::print_errors(&[BundleError::new("--by", wrong, advice)], false);
        }
    };
    let section = pages::day::of_person(name, &person);
    let mut out = Page::new();
    out.append(Terminal::new(examined.project.docking.units).section(&section));
    out.push_str(&print::caution());
    say::print(&out);
    if person.is_open() { Status::Troubled } else { Status::Well }
}

/// The status that the findings ask for.
pub fn status(examined: &Examined) -> Status {
    if examined.unanswered().next().is_some() { Status::Troubled } else { Status::Well }
}

/// The findings as text.
fn render(
    examined: &Examined,
    progress: &Progress,
    project: &str,
    day: Option<&Day<'_>>,
    all: bool,
) -> Page {
    let docking = &examined.project.docking;
    let mut out = Page::new();
    out.heading(&format!("{} in {}", docking.ship.name, docking.dock.name));
    out.push_str(&describe_counts(examined));
    let mut sections: Vec<Section> =
        day.into_iter().map(|day| pages::day::section(examined, day)).collect();
    sections.extend(completeness(progress, NAMED_AS_MISSING, |stage| {
        format!("lastdock check {project} --stage {}", stage.word())
    }));
    let mut group = |title: &str, wanted: &dyn Fn(&Finding) -> bool, after: String| {
        let found: Vec<&Finding> = examined.findings.iter().filter(|f| wanted(f)).collect();
        if !found.is_empty() {
            let mut section = Section::new(title);
            for weight in Weight::ALL.map(Some).into_iter().chain([None]) {
                let weighs = found.iter().copied().filter(|finding| finding.weight() == weight);
                let mut weighs = weighs.peekable();
                if weighs.peek().is_none() {
                    continue;
                }
                if let Some(weight) = weight {
                    section.part(weight.title());
                }
                section.findings(weighs, NAMED, "--json has each");
            }
            section.paragraph(after);
            sections.push(section);
        }
    };
    let blanks = match examined.unanswered().filter(|f| f.blank.is_none()).count() {
        0 => String::new(),
        1 => format!("A blank for its answer: lastdock answers {project}"),
        _ => format!("Blanks for the answers: lastdock answers {project}"),
    };
    let none = String::new;
    group("Without an answer", &|f| f.wants_answer(), blanks);
    group("Answered", &|f| f.is_troubled() && f.remark.is_some(), none());
    let earlier = |f: &Finding| !f.is_troubled() && !f.earlier.is_empty();
    group("Answered, and no longer in need of an answer", &earlier, none());
    let without_earlier = |f: &Finding, outcome| f.outcome == outcome && f.earlier.is_empty();
    group("Not recorded", &|f| without_earlier(f, Outcome::NotRecorded), none());
    if all {
        group("Agreeing", &|f| without_earlier(f, Outcome::Agrees), none());
    }
    sections.extend(unstated_answers(examined));
    if !examined.without_finding.is_empty() {
        let mut section = Section::new("Answers whose finding is not in this record");
        section.paragraph(WITHOUT_FINDING);
        for answer in &examined.without_finding {
            section.answer(answer);
        }
        sections.push(section);
    }
    for section in &sections {
        out.push_str("\n");
        out.append(Terminal::new(docking.units).section(section));
    }
    out.push_str(&print::caution());
    out
}

/// Of what is missing before a stage, how many things are named.
const NAMED_AS_MISSING: usize = 4;

/// Findings that are named of those that follow from one record.
pub const NAMED: usize = 6;

/// What is said above the lines that such answers lack.
const UNSTATED: &str = "They count, but if what they answered changed later, nobody would notice. Where the answer is to what the finding says now, add these lines below its id.";

/// The lines that answers lack which do not state what they answered, remark by remark.
fn unstated_answers(examined: &Examined) -> Option<Section> {
    let given = &examined.project.remarks.given;
    let counts = |remark: &Remark| {
        let current =
            examined.finding_called(&remark.finding).and_then(|finding| finding.remark.as_ref());
        remark.then.is_none() && current.is_some_and(|current| current.place == remark.place)
    };
    let remarks: Vec<_> = given
        .chunk_by(|a, b| a.place == b.place)
        .filter(|remark| remark.iter().all(|part| part.then.is_none()))
        .filter(|remark| remark.iter().any(counts))
        .collect();
    let mut section = Section::new("Answers that do not state what they answered");
    section.paragraph(UNSTATED);
    for remark in &remarks {
        let findings: Vec<_> =
            remark.iter().map(|part| examined.finding_called(&part.finding)).collect();
        section.subpart(remark[0].place.to_string());
        section.code(blanks::stated(&findings).concat());
    }
    (!remarks.is_empty()).then_some(section)
}

/// What is said above answers whose finding is not in the record.
const WITHOUT_FINDING: &str = "They are kept as they are and change no outcome. What a finding was about may \
                               have gone from the record since, or its id may be mistyped.";

/// How many findings came out in each way, on a line.
pub fn describe_counts(examined: &Examined) -> String {
    let mut parts: Vec<String> = Vec::new();
    for (outcome, words) in [
        (Outcome::Agrees, "agree"),
        (Outcome::Differs, "differ"),
        (Outcome::BeyondLimit, "beyond a limit"),
        (Outcome::NotRecorded, "not recorded"),
    ] {
        parts.push(format!("{} {words}", examined.count(outcome)));
    }
    let unanswered = match examined.unanswered().count() {
        0 => "nothing waits for an answer".to_string(),
        1 => "1 finding waits for an answer in remarks.toml".to_string(),
        n => format!("{n} findings wait for an answer in remarks.toml"),
    };
    let mut text =
        format!("{} findings: {}; {unanswered}.", examined.findings.len(), parts.join(", "));
    let unstated = |f: &&Finding| f.remark.as_ref().is_some_and(|remark| remark.then.is_none());
    let sums = [
        (
            examined.findings.iter().filter(unstated).count(),
            "answer does not state the outcome and figures that it answered",
            "answers do not state the outcome and figures that they answered",
        ),
        (
            examined.findings.iter().filter(|f| !f.earlier.is_empty()).count(),
            "finding was answered when it said something else",
            "findings were answered when they said something else",
        ),
        (
            examined.without_finding.len(),
            "answer is to a finding that is not in this record",
            "answers are to findings that are not in this record",
        ),
    ];
    for (count, one, many) in sums.into_iter().filter(|(count, ..)| *count > 0) {
        text.push_str(&format!(" {count} {}.", if count == 1 { one } else { many }));
    }
    format!("{}\n", print::wrapped(&text, 0))
}
