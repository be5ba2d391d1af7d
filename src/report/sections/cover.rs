//! Page one, and what stands beside the contents on page two. They are placed by a template of their own.
//!
//! Each sentence of page one follows from a check that was made; where none could be made, it says so.

use serde::Serialize;

use super::closing;
use super::drawings::drawings_of;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::recomputed::PositionRecomputed;
use crate::findings::recomputed::plating::Strake;
use crate::findings::shifts::sentences;
use crate::findings::subject::Subject;
use crate::pages::archive;
use crate::pages::shown::{Run, TableShown, runs};
use crate::pages::{Column, Section, Table};
use crate::records::bounds::Sort;
use crate::records::docking::Closeout;
use crate::records::positions::Position;
use crate::report::figures::Group;
use crate::report::inputs::{Inputs, Volume};
use crate::text;
use crate::text::{Form, Text, and, code, count, id, strong};
use crate::words::cautions;

/// Ids of findings without an answer, positions, zones and shifts that find room in a sentence.
const MOST_NAMED: usize = 6;
/// Characters of a statement that find room on page one; the page for a browser shows it whole.
const LONGEST_STATEMENT: usize = 240;
/// People who find room beside the contents.
const MOST_BESIDE: usize = 20;

#[derive(Serialize)]
pub(in crate::report) struct Cover<'a> {
    ship: &'a str,
    /// What she is and who keeps her, as far as recorded.
    about: String,
    docked: String,
    /// What the keeper wants read before anything else.
    statement: Option<String>,
    /// The number of the drawing of her on the blocks.
    drawing: Option<usize>,
    /// Heads with the sentences under each.
    told: Vec<(&'static str, Vec<Vec<Run>>)>,
    cautions: [&'static str; 3],
    prepared: Vec<Run>,
    people: Option<TableShown>,
    people_beside: bool,
    /// What belongs to this report and where it is.
    volumes: Vec<Vec<Run>>,
    /// What an archive asks for: what it is about, and what is recorded.
    archive: Vec<(&'static str, String)>,
    /// What of it is not recorded, as a sentence.
    archive_lacks: Option<String>,
    /// Readers, each with the sections that answer them.
    readers: Vec<(&'static str, Vec<Run>)>,
}

pub(super) fn section<'a>(
    inputs: &Inputs<'a>,
    closeout: &'a Closeout,
    volume: Volume,
    sections: &[Section],
) -> Cover<'a> {
    let examined = inputs.examined;
    let docking = &examined.project.docking;
    let system = docking.units;
    let mut docked = format!("docked in {}", docking.dock.name);
    for part in docking.dock.location.clone().into_iter().chain(text::period(docking.period)) {
        docked.push_str(&format!(", {part}"));
    }
    let kept = docking.ship.owner.as_ref().map(|owner| format!("kept by {owner}"));
    let about: Vec<String> = docking.ship.built.clone().into_iter().chain(kept).collect();
    let columns = [Column::text("Who").share(1.0), Column::text("Role").share(1.2)];
    let people = docking.people.iter().map(|(name, role)| [name.into(), role.into()]);
    let people = Table::new(columns).rows(people);
    let told = at_a_glance(examined);
    let (archived, archive_lacks) = archive::recorded_and_not(&docking.archive);
    let shown = |sentences: Vec<Text>| sentences.iter().map(|one| runs(one, system)).collect();
    Cover {
        ship: &docking.ship.name,
        about: about.join("; "),
        docked,
        statement: docking.archive.statement().map(|said| text::shortened(said, LONGEST_STATEMENT)),
        drawing: drawings_of(inputs, Group::Cover).first().copied(),
        told: told.into_iter().map(|(head, sentences)| (head, shown(sentences))).collect(),
        cautions: cautions::FIRST,
        prepared: runs(
            &text!(
                "Prepared by {} on {} with {}.",
                closeout.prepared_by.as_str(),
                closeout.prepared_on,
                inputs.program
            ),
            system,
        ),
        people_beside: people.rows.len() <= MOST_BESIDE,
        people: (!people.rows.is_empty()).then(|| people.shown(system)),
        archive: archived,
        archive_lacks,
        volumes: volumes(closeout, volume).iter().map(|one| runs(one, system)).collect(),
        readers: match volume {
            Volume::Report => {
                readers(sections).map(|(reader, at)| (reader, runs(&at, system))).collect()
            }
            Volume::Summary | Volume::Tables => Vec::new(),
        },
    }
}

/// The sections that each reader asks for, as far as there are such.
const READERS: [(&str, &[&str]); 5] = [
    ("Curator and trustees", &["dates", "next-team", "answers"]),
    ("Dockmaster", &["plan", "shifts", "openings", "landing"]),
    ("Naval architect", &["positions", "landing", "plating", "formulas"]),
    ("Coating inspector", &["exposure", "coating"]),
    ("The next team", &["next-team", "reading", "history", "words"]),
];

fn readers(sections: &[Section]) -> impl Iterator<Item = (&'static str, Text)> {
    READERS.into_iter().map(|(reader, wanted)| {
        let anchors = sections.iter().filter_map(|section| section.anchor);
        let asked = anchors.filter(|anchor| wanted.contains(anchor)).map(text::section);
        (reader, Text::listed(asked.map(Text::from)))
    })
}

/// The documents that belong together, each with what it is.
fn volumes(closeout: &Closeout, volume: Volume) -> Vec<Text> {
    let listed = [Volume::Report, Volume::Summary].into_iter().map(|one| {
        let is_this = if one == volume { " (this document)" } else { "" };
        text!("{}{}: {}", code(one.file(closeout)), is_this, one.about())
    });
    let bundle = format!("{}.zip", closeout.bundle_name);
    let bundle = text!("{}: the bundle, with every record, paper and table", code(bundle));
    let tables = closeout.tables_volume.then(|| {
        text!("{} and on: {}", code(Volume::tables_file(closeout, 1)), Volume::Tables.about())
    });
    listed.chain(tables).chain([bundle]).collect()
}

/// What page one says: heads with the sentences under each.
pub(in crate::report) fn at_a_glance(examined: &Examined) -> [(&'static str, Vec<Text>); 3] {
    let told = Told::new(examined);
    [
        ("What was done", told.done),
        ("What was not done", told.not_done),
        ("What stands open", told.open),
    ]
}

#[derive(Default)]
struct Told {
    done: Vec<Text>,
    not_done: Vec<Text>,
    open: Vec<Text>,
}

impl Told {
    fn new(examined: &Examined) -> Self {
        let mut told = Self::default();
        // What was looked at and found complete.
        let mut complete: Vec<&str> = Vec::new();
        complete.extend(told.positions(examined).then_some("where she lay"));
        complete.extend(told.exposure(examined).then_some("the bottom under the blocks"));
        complete.extend(told.coating(examined).then_some("the coating scheme"));
        complete.extend(told.openings(examined).then_some("the openings"));
        told.landing(examined);
        told.plating(examined);
        if told.done.is_empty() {
            told.done.push("Neither positions nor coats nor openings are recorded.".into());
        }
        if told.not_done.is_empty() {
            told.not_done.push(match complete.as_slice() {
                [] => "What was left undone can\u{2019}t be told from what was recorded.".into(),
                complete => text!(
                    "Nothing, as far as {} could be checked: {}.",
                    if complete.len() == 1 { "it" } else { "these" },
                    and(complete)
                ),
            });
        }
        told.findings(examined);
        told
    }

    /// Whether every position can be placed.
    fn positions(&mut self, examined: &Examined) -> bool {
        let positions = &examined.project.positions;
        let all: Vec<(&Position, &PositionRecomputed)> =
            positions.iter().zip(&examined.recomputed.positions).collect();
        let named = |all: &[(&Position, &PositionRecomputed)]| {
            Text::listed(all.iter().map(|(position, _)| id(&position.id).into()))
        };
        let (placed, lost): (Vec<_>, Vec<_>) =
            all.iter().copied().partition(|(_, recomputed)| recomputed.lie.is_some());
        if !lost.is_empty() {
            self.open.push(text!("Where she lay in {} is not recorded.", named(&lost)));
        }
        let used = count(all.len(), "position", "positions");
        match all.as_slice() {
            [] => self.open.push("No docking position is recorded.".into()),
            [(only, _)] => self.done.push(text!("She lay in one position, {}.", id(&only.id))),
            all => {
                let shifts = all.windows(2).filter_map(|pair| {
                    let [(from, before), (to, after)] = [pair[0], pair[1]];
                    let by = sentences::shifted(before.lie?, after.lie?);
                    Some(text!("from {} to {} {}", id(&from.id), id(&to.id), by))
                });
                let shifts: Vec<Text> = shifts.take(MOST_NAMED).collect();
                let between = if shifts.is_empty() {
                    Text::new()
                } else {
                    text!("; she was shifted {}", Text::listed(shifts))
                };
                self.done.push(text!("She lay in {}, {}{}.", used, named(all), between));
            }
        }
        !placed.is_empty() && lost.is_empty()
    }

    /// Whether all of the bottom was free of blocks in one position or another.
    fn exposure(&mut self, examined: &Examined) -> bool {
        let recomputed = &examined.recomputed;
        let Some(never) = recomputed.never_exposed() else {
            if !examined.project.positions.is_empty() {
                self.open.push("What of the bottom was never exposed is not recorded.".into());
            }
            return false;
        };
        let several = examined.project.positions.len() > 1;
        let share = recomputed
            .exposed_pct()
            .map(|share| Form::Ratio.measure(share).decimals(2).rounded_down());
        if let Some(share) = share {
            let when = if several { " in one position or another" } else { "" };
            self.done.push(text!("{} of the bottom was free of blocks{}.", share, when));
        }
        if recomputed.never_exposed.is_empty() {
            return true;
        }
        let pieces = count(recomputed.never_exposed.len(), "piece", "pieces");
        let when = if several { " in every position" } else { "" };
        self.not_done.push(text!(
            "{} of the bottom, in {}, lay under blocks{}: {}.",
            never,
            pieces,
            when,
            text::section("exposure")
        ));
        false
    }

    /// Whether each zone left the dock with its whole scheme.
    fn coating(&mut self, examined: &Examined) -> bool {
        let zones = &examined.project.zones;
        let came_out = |wanted: Outcome| -> Vec<&str> {
            let is = |zone: &&crate::records::zones::Zone| {
                let subject = Subject::ZoneComplete(zone.id.clone());
                examined.finding(&subject).is_some_and(|finding| finding.outcome == wanted)
            };
            zones.iter().filter(is).map(|zone| zone.id.as_str()).collect()
        };
        let whole = came_out(Outcome::Agrees);
        let short = [came_out(Outcome::Differs), came_out(Outcome::BeyondLimit)].concat();
        if zones.is_empty() && examined.project.coats.is_empty() {
            return false;
        }
        if !whole.is_empty() {
            self.done.push(text!(
                "{} of {} left the dock with the whole coating scheme.",
                whole.len(),
                count(zones.len(), "zone", "zones")
            ));
        }
        let unknown = zones.len() - whole.len() - short.len();
        if !short.is_empty() {
            let named = text::list_first(&short, MOST_NAMED);
            let first = super::coating::headline(examined, Text::new()).into_iter().next();
            self.not_done.push(text!(
                "{} left the dock without the whole scheme: {}. {} See {}.",
                count(short.len(), "zone", "zones"),
                named,
                first.unwrap_or_default(),
                text::section("coating")
            ));
        }
        if unknown > 0 {
            self.open.push(text!(
                "Whether {} got the whole scheme can\u{2019}t be told.",
                count(unknown, "zone", "zones")
            ));
        }
        !whole.is_empty() && short.is_empty() && unknown == 0
    }

    /// Whether each opening that was opened was closed and tested.
    fn openings(&mut self, examined: &Examined) -> bool {
        let project = &examined.project;
        let [closed, tested] =
            [closing::closed(project, MOST_NAMED), closing::tested(project, MOST_NAMED)];
        if project.opened.is_empty() {
            self.open.push(closed.text.into());
            return false;
        }
        let is_complete = closed.is_complete && tested.is_complete;
        for said in [closed, tested] {
            let told = if said.is_complete { &mut self.done } else { &mut self.not_done };
            told.push(said.text.into());
        }
        is_complete
    }

    /// Where GM and the pressure on the blocks were held against their limits.
    fn landing(&mut self, examined: &Examined) {
        let held = |subject: fn(String) -> Subject| -> Vec<&str> {
            let within = |position: &&Position| {
                let finding = examined.finding(&subject(position.id.clone()));
                let limited =
                    |one: &&Finding| one.against.as_ref().is_some_and(|a| a.sort == Sort::Limit);
                finding.filter(limited).is_some_and(|one| one.outcome == Outcome::Agrees)
            };
            let positions = examined.project.positions.iter().filter(within);
            positions.map(|position| position.id.as_str()).collect()
        };
        let gm = held(Subject::LeastGm);
        if !gm.is_empty() {
            self.done.push(text!(
                "As worked out from the readings, GM at the critical instant was within its limit in {}.",
                and(&gm)
            ));
        }
        let pressure = held(Subject::LoadsPressure);
        if !pressure.is_empty() {
            self.done.push(text!(
                "As estimated, the pressure on each block with a limit was within it in {}.",
                and(&pressure)
            ));
        }
    }

    /// Which strakes were gauged, and which are beyond their limits.
    fn plating(&mut self, examined: &Examined) {
        let strakes = &examined.recomputed.strakes;
        let came_out = |wanted: Outcome| -> Vec<&str> {
            let is = |strake: &&Strake| {
                let subject = Subject::PlateLoss(strake.name.clone());
                examined.finding(&subject).is_some_and(|finding| finding.outcome == wanted)
            };
            strakes.iter().filter(is).map(|strake| strake.name.as_str()).collect()
        };
        let (within, beyond) = (came_out(Outcome::Agrees), came_out(Outcome::BeyondLimit));
        if within.len() + beyond.len() > 0 {
            self.done.push(text!(
                "Of {} gauged against limits of loss, {} {} within them.",
                count(within.len() + beyond.len(), "strake", "strakes"),
                within.len(),
                if within.len() == 1 { "was" } else { "were" }
            ));
        }
        if !beyond.is_empty() {
            self.open.push(text!(
                "Plating beyond its limit in strake {}: {}.",
                text::list_first(&beyond, MOST_NAMED),
                text::section("plating")
            ));
        }
    }

    /// What the findings leave open.
    fn findings(&mut self, examined: &Examined) {
        let [differ, beyond, missing] =
            [Outcome::Differs, Outcome::BeyondLimit, Outcome::NotRecorded]
                .map(|outcome| examined.count(outcome));
        let unanswered: Vec<&str> =
            examined.unanswered().map(|finding| finding.id.as_str()).collect();
        let differs = match differ {
            0 => None,
            1 => Some(text!("1 finding differs")),
            n => Some(text!("{} findings differ", n)),
        };
        let beyond = match beyond {
            0 => None,
            1 => Some(text!("1 is beyond a limit")),
            n => Some(text!("{} are beyond a limit", n)),
        };
        let both: Vec<Text> = differs.into_iter().chain(beyond).collect();
        if both.is_empty() {
            self.open.push(match examined.findings.len() - missing {
                0 => "No check could be made.".into(),
                made => text!(
                    "Of the {} made, none differs or is beyond a limit.",
                    count(made, "check", "checks")
                ),
            });
        } else {
            let answers = match unanswered.as_slice() {
                [] => text!("each has an answer"),
                ids => text!(
                    "{}: {}",
                    strong(if ids.len() == 1 {
                        "1 awaits an answer".to_string()
                    } else {
                        format!("{} await an answer", ids.len())
                    }),
                    text::list_first(ids, MOST_NAMED)
                ),
            };
            self.open.push(text!(
                "{}; {}. See {}.",
                Text::listed(both),
                answers,
                text::section("answers")
            ));
        }
        if missing > 0 {
            self.open.push(text!(
                "{} could not be made, since something was not recorded: {}.",
                count(missing, "check", "checks"),
                text::section("findings")
            ));
        }
    }
}
