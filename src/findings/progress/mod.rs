//! How complete the record is: what the records themselves call for, and how much of it is there.
//!
//! Nothing here judges what is recorded; that is for the findings. A thing is owed because something else
//! that is recorded asks for it: a standing block for its gap, a scheme's coat for its application.

mod coating;
pub mod cure;
mod hull;
mod landing;
mod openings;
mod plan;
pub mod written;

use chrono::{DateTime, FixedOffset};

use super::Examined;
use super::finding::Finding;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::blocks::Block;
pub use cure::Cure;

/// What every list says of itself.
pub const AID: &str = "This list follows from the records alone and is an aid to the responsible person's own \
list. It is no approval to dock, to flood, or to enter a space.";

/// By when something is to be recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Before she is landed on the blocks.
    BeforeLanding,
    /// Before the water is let in again.
    BeforeFlooding,
    /// Before the record is closed.
    BeforeClosing,
}

impl Stage {
    /// Every stage, in order.
    pub const ALL: [Stage; 3] = [Stage::BeforeLanding, Stage::BeforeFlooding, Stage::BeforeClosing];

    /// Its word on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Stage::BeforeLanding => "before-landing",
            Stage::BeforeFlooding => "before-flooding",
            Stage::BeforeClosing => "before-closing",
        }
    }

    /// When it is, in words.
    pub fn when(self) -> &'static str {
        match self {
            Stage::BeforeLanding => "before landing",
            Stage::BeforeFlooding => "before flooding",
            Stage::BeforeClosing => "before closing the record",
        }
    }
}

/// A part of the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// The ship and the dock.
    Ship,
    /// The block plan, the bottom and the keel.
    Plan,
    /// The register of openings.
    Openings,
    /// The docking positions.
    Positions,
    /// Drafts, water, checks, gaps and weights.
    Landing,
    /// Zones, products, schemes, logs and readings.
    Coating,
    /// Plating and anodes.
    Hull,
    /// Papers and photographs.
    Papers,
    /// Answers and the last words.
    Closeout,
}

impl Section {
    /// Every section, in order.
    pub const ALL: [Section; 9] = [
        Section::Ship,
        Section::Plan,
        Section::Openings,
        Section::Positions,
        Section::Landing,
        Section::Coating,
        Section::Hull,
        Section::Papers,
        Section::Closeout,
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Section::Ship => "ship and dock",
            Section::Plan => "plan",
            Section::Openings => "openings",
            Section::Positions => "positions",
            Section::Landing => "landing",
            Section::Coating => "coating",
            Section::Hull => "hull",
            Section::Papers => "papers",
            Section::Closeout => "closeout",
        }
    }
}

/// Things of one sort that the record owes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Owed {
    /// The part of the record.
    pub section: Section,
    /// By when.
    pub stage: Stage,
    /// The position it belongs to, by its place in the project's list.
    pub position: Option<usize>,
    /// What is owed, in words that say what asks for it.
    pub what: String,
    /// The file in which it is written.
    pub file: &'static str,
    /// How many such things are owed.
    pub expected: usize,
    /// Those of them that are not recorded, by name.
    pub missing: Vec<String>,
}

impl Owed {
    /// How many are recorded.
    pub fn recorded(&self) -> usize {
        self.expected - self.missing.len()
    }

    /// Whether something is missing.
    pub fn is_open(&self) -> bool {
        !self.missing.is_empty()
    }
}

/// Records that prepare a landing and that nothing calls for as long as no landing has any.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offered {
    /// What they are.
    pub what: &'static str,
    /// The file in which they are written.
    pub file: &'static str,
}

/// All that the record owes.
#[derive(Debug)]
pub struct Progress {
    /// What is owed, section by section.
    pub owed: Vec<Owed>,
    /// What could be recorded before a landing as well.
    pub offered: Vec<Offered>,
    /// The one position that it is about, by its place in the project's list; all of them if none.
    only: Option<usize>,
}

impl Progress {
    /// Goes through the record.
    pub fn new(examined: &Examined) -> Self {
        Self::of(examined, None)
    }

    /// Goes through what the record owes for one position, by its place in the project's list, and for whatever
    /// holds in all of them.
    pub fn of_position(examined: &Examined, position: usize) -> Self {
        Self::of(examined, Some(position))
    }

    fn of(examined: &Examined, only: Option<usize>) -> Self {
        let project = &examined.project;
        let mut list = List { project, examined, only, owed: Vec::new(), offered: Vec::new() };
        list.ship();
        list.plan();
        list.openings();
        list.positions();
        list.landing();
        list.coating();
        list.hull();
        list.papers();
        list.closeout();
        let (mut owed, offered) = (list.owed, list.offered);
        owed.retain(|owed| only.is_none() || owed.position.is_none() || owed.position == only);
        Self { owed, offered, only }
    }

    /// What is recorded and what is expected of a section.
    pub fn counts(&self, section: Section) -> (usize, usize) {
        let owed = || self.owed.iter().filter(move |owed| owed.section == section);
        (owed().map(Owed::recorded).sum(), owed().map(|owed| owed.expected).sum())
    }

    /// The list that matters at a stage.
    pub fn at<'a>(&'a self, examined: &'a Examined, stage: Stage) -> Due<'a> {
        let project = &examined.project;
        let positions = match self.only {
            Some(position) => vec![position],
            None => due_positions(project, stage),
        };
        let here = |owed: &&Owed| {
            let concerned = owed.position.is_none_or(|position| positions.contains(&position));
            stage == Stage::BeforeClosing || (owed.stage == stage && concerned)
        };
        let cures = match stage {
            Stage::BeforeFlooding => {
                positions.iter().flat_map(|p| cure::cures(project, *p, None)).collect()
            }
            _ => Vec::new(),
        };
        let is_asked = stage == Stage::BeforeLanding && self.only.is_some();
        Due {
            stage,
            offered: if is_asked { &self.offered } else { &[] },
            owed: self.owed.iter().filter(here).collect(),
            findings: examined
                .unanswered()
                .filter(|finding| matters(project, finding, stage, &positions))
                .collect(),
            cures,
            positions,
        }
    }
}

/// What matters at a stage.
#[derive(Debug)]
pub struct Due<'a> {
    /// The stage.
    pub stage: Stage,
    /// The positions that it is about, by their places in the project's list: the one that is asked about,
    /// else the first that has not passed it by the record, all of them once all have.
    pub positions: Vec<usize>,
    /// What is owed by then.
    pub owed: Vec<&'a Owed>,
    /// Findings without an answer that bear on it.
    pub findings: Vec<&'a Finding>,
    /// From when the coats may meet the water.
    pub cures: Vec<Cure>,
    /// What could be recorded as well, where one landing is asked about.
    pub offered: &'a [Offered],
}

impl Due<'_> {
    /// How many things are open.
    pub fn open(&self) -> usize {
        self.owed.iter().filter(|owed| owed.is_open()).count() + self.findings.len()
    }
}

fn due_positions(project: &Project, stage: Stage) -> Vec<usize> {
    let passed = |position: &crate::records::positions::Position| {
        let times = &position.times;
        let water = times.reflood_began.or(times.afloat);
        match stage {
            Stage::BeforeLanding => {
                times.touched.or(times.landed).or(times.dry).or(water).is_some()
            }
            Stage::BeforeFlooding => water.is_some(),
            Stage::BeforeClosing => true,
        }
    };
    match project.positions.iter().position(|position| !passed(position)) {
        Some(next) => vec![next],
        None => (0..project.positions.len()).collect(),
    }
}

/// Whether a finding that nobody has answered bears on a stage of these positions.
fn matters(project: &Project, finding: &Finding, stage: Stage, positions: &[usize]) -> bool {
    let of_another = project
        .positions
        .iter()
        .enumerate()
        .filter(|(number, _)| !positions.contains(number))
        .any(|(_, position)| finding.id.split('.').any(|part| part == position.id));
    // A block that stands in none of them bears on none of them.
    let of_the_plan = match &finding.subject {
        Subject::BlockHeight(block) | Subject::BlockLayers(block) => {
            let known = project.blocks.iter().find(|known| known.id == *block);
            let stands = |block: &Block| {
                positions.iter().any(|n| block.stands_in(&project.positions[*n].id))
            };
            positions.is_empty() || known.is_none_or(stands)
        }
        _ => true,
    };
    // Of an opening, what is said for each position is where the blocks stand; the rest is its closing.
    let places = matches!(finding.subject, Subject::Clearance(..) | Subject::Drain(..));
    // Of what does not fit in a table itself, by the folder that the table lies in.
    let is_of = |folders: &[&str]| {
        let file = finding.id.split('.').nth(1).and_then(|file| file.split('-').next());
        file.is_some_and(|folder| folders.contains(&folder))
    };
    match stage {
        Stage::BeforeClosing => true,
        _ if of_another => false,
        Stage::BeforeLanding => match finding.section() {
            "plan" => of_the_plan,
            "landing" => true,
            "positions" => matches!(
                finding.subject,
                Subject::FromPlan(_) | Subject::DiversAim(_) | Subject::DiversFit(..)
            ),
            "openings" => places,
            "records" => is_of(&["docking", "plan", "positions", "landing"]),
            _ => false,
        },
        Stage::BeforeFlooding => match finding.section() {
            "openings" => !places,
            "coating" | "climate" | "preparation" | "film" => true,
            "records" => is_of(&["coating"]),
            _ => false,
        },
    }
}

/// The list while it is made.
struct List<'a> {
    project: &'a Project,
    examined: &'a Examined,
    /// The one position that is asked about.
    only: Option<usize>,
    owed: Vec<Owed>,
    offered: Vec<Offered>,
}

impl List<'_> {
    /// Asks for things, each with its name and whether it is recorded. None at all is no entry.
    fn ask(
        &mut self,
        (section, stage, position): (Section, Stage, Option<usize>),
        file: &'static str,
        what: impl Into<String>,
        things: impl IntoIterator<Item = (String, bool)>,
    ) {
        let things: Vec<(String, bool)> = things.into_iter().collect();
        let expected = things.len();
        let missing: Vec<String> =
            things.into_iter().filter(|(_, recorded)| !recorded).map(|(name, _)| name).collect();
        if expected > 0 {
            let what = what.into();
            self.owed.push(Owed { section, stage, position, what, file, expected, missing });
        }
    }
}

/// The last position that had begun at a time, by its place in the project's list.
fn position_at(project: &Project, at: DateTime<FixedOffset>) -> Option<usize> {
    let begun = |position: &crate::records::positions::Position| {
        let times = &position.times;
        let first = times.flooding_began.or(times.touched).or(times.landed).or(times.dry);
        first.is_some_and(|first| first <= at)
    };
    project.positions.iter().rposition(begun)
}
