//! Positions, drafts, water, landing checks, gaps and weights moved.

use std::collections::BTreeSet;

use super::Section::{Landing, Positions};
use super::Stage::{BeforeClosing, BeforeFlooding, BeforeLanding};
use super::{List, Offered, Stage};
use crate::findings::Examined;
use crate::findings::recomputed::water::WaterLog;
use crate::records::Project;
use crate::records::blocks::BlockRow;
use crate::records::divers::{self, DiversSighting};
use crate::records::drafts::{DraftReading, Occasion};
use crate::records::weights::Moved;
use crate::records::{checks, drafts, positions, stops, water, weights};

/// Checks of a landing that are asked for where none is recorded (common practice, no source).
const CHECKS: [&str; 2] = ["diver-contact", "centreline"];

/// A draft mark is the same within so much, m.
const SAME_MARK_M: f64 = 0.05;

/// A sort of records that prepares a landing.
struct Preparing {
    what: &'static str,
    file: &'static str,
    /// Whether any landing of a project has such records.
    is_begun: fn(&Project) -> bool,
    /// What of it a position needs, by name, and whether it is recorded.
    things: fn(&Examined, usize) -> Vec<(String, bool)>,
}

const PREPARING: &[Preparing] = &[
    Preparing {
        what: "the drafts planned for the landing",
        file: drafts::SPEC.path,
        is_begun: |project| project.drafts.iter().any(|row| is_planned_before_landing(row, None)),
        things: |examined, number| {
            let project = &examined.project;
            let id = Some(project.positions[number].id.as_str());
            let is_planned = project.drafts.iter().any(|row| is_planned_before_landing(row, id));
            vec![("a planned draft".to_string(), is_planned)]
        },
    },
    // Weights are planned to be moved for no position in particular.
    Preparing {
        what: "weights planned to be moved before she lands",
        file: weights::MOVED_SPEC.path,
        is_begun: |project| project.moved.iter().any(|row| row.planned_at.is_some()),
        things: |_, _| Vec::new(),
    },
    Preparing {
        what: "the planned stops of the pumping",
        file: stops::SPEC.path,
        is_begun: |project| !project.stops.is_empty(),
        things: |examined, number| {
            let project = &examined.project;
            let id = &project.positions[number].id;
            let is_planned = project.stops.iter().any(|stop| stop.position == *id);
            vec![("a stop".to_string(), is_planned)]
        },
    },
    Preparing {
        what: "where divers find the keel before touchdown",
        file: divers::SPEC.path,
        is_begun: |project| {
            let before = |row: &DiversSighting| row.occasion == divers::Occasion::BeforeTouchdown;
            project.divers.iter().any(before)
        },
        things: |examined, number| keel_found(examined, number, divers::Occasion::BeforeTouchdown),
    },
];

/// Whether a draft is planned for before a landing: in one position, or in any.
fn is_planned_before_landing(row: &DraftReading, position: Option<&str>) -> bool {
    row.planned_draft_m.is_some()
        && row.occasion == Occasion::BeforeLanding
        && (position.is_none() || row.position.as_deref() == position)
}

/// What it takes to say where divers found the keel on an occasion, and whether the last round of it has that. A mark
/// along the ship is one of these where one was measured on that occasion of any landing.
fn keel_found(
    examined: &Examined,
    number: usize,
    occasion: divers::Occasion,
) -> Vec<(String, bool)> {
    let rounds = &examined.recomputed.divers;
    let round = rounds.iter().rfind(|round| round.position == number && round.occasion == occasion);
    let mut things = vec![(
        "its offset over two blocks some metres apart".to_string(),
        round.is_some_and(|round| round.line.is_some()),
    )];
    let rows = examined.project.divers.iter().filter(|row| row.occasion == occasion);
    if rows.clone().any(|row| row.ahead_m.is_some()) {
        let is_measured = round.is_some_and(|round| round.along.is_some());
        things.push(("a mark along the ship".to_string(), is_measured));
    }
    things
}

impl List<'_> {
    pub(super) fn positions(&mut self) {
        let (project, file) = (self.project, positions::SPEC.path);
        if project.positions.is_empty() {
            self.ask(
                (Positions, BeforeLanding, None),
                file,
                "where she is to lie",
                [("a docking position".to_string(), false)],
            );
        }
        for (number, position) in project.positions.iter().enumerate() {
            let id = &position.id;
            let times = &position.times;
            let name = str::to_string;
            self.ask(
                (Positions, BeforeLanding, Some(number)),
                file,
                format!("where she is to lie in {id}"),
                [
                    (name("planned_srp_station"), position.planned_srp_station_m.is_some()),
                    (name("planned_offset"), position.planned_offset_m.is_some()),
                ],
            );
            self.ask(
                (Positions, BeforeFlooding, Some(number)),
                file,
                format!("where she lay in {id}"),
                [
                    (name("recorded_srp_station"), position.recorded_srp_station_m.is_some()),
                    (name("recorded_offset"), position.recorded_offset_m.is_some()),
                    (name("yaw"), position.recorded_yaw_deg.is_some()),
                ],
            );
            self.ask(
                (Positions, BeforeFlooding, Some(number)),
                file,
                format!("the times of {id} until the dock was dry"),
                [
                    (name("flooding_began"), times.flooding_began.is_some()),
                    (name("touched"), times.touched.is_some()),
                    (name("landed"), times.landed.is_some()),
                    (name("dry"), times.dry.is_some()),
                ],
            );
            self.ask(
                (Positions, BeforeClosing, Some(number)),
                file,
                format!("the times of {id} when the water came back"),
                [
                    (name("reflood_began"), times.reflood_began.is_some()),
                    (name("afloat"), times.afloat.is_some()),
                ],
            );
            let fit = &self.examined.recomputed.positions[number].fit;
            self.ask(
                (Positions, BeforeFlooding, Some(number)),
                positions::MARKS_SPEC.path,
                format!("sightings from which it follows where she lay in {id}"),
                [
                    (name("station"), fit.srp_station_m.is_some()),
                    (name("offset"), fit.centreline_offset_m.is_some()),
                    (name("yaw"), fit.yaw_deg.is_some()),
                ],
            );
        }
    }

    pub(super) fn landing(&mut self) {
        // She arrives once, before the first landing.
        if self.only.is_none_or(|number| number == 0) {
            self.drafts(None, Occasion::Arrival, BeforeLanding);
        }
        self.prepared();
        for number in 0..self.project.positions.len() {
            self.drafts(Some(number), Occasion::BeforeLanding, BeforeLanding);
            self.water(number);
            self.checks(number);
            self.gaps(number);
            self.divers(number);
            self.drafts(Some(number), Occasion::LiftOff, BeforeClosing);
        }
        self.drafts(None, Occasion::Departure, BeforeClosing);
        self.ask(
            (Landing, BeforeFlooding, None),
            weights::MOVED_SPEC.path,
            "weights moved while she was docked; a row of mass 0 says that there were none",
            [("a row".to_string(), self.project.moved.iter().any(Moved::is_done))],
        );
    }

    /// Drafts are owed at every mark that is read on any occasion; where none is read, at six.
    fn drafts(&mut self, position: Option<usize>, occasion: Occasion, stage: Stage) {
        let project = self.project;
        let id = position.map(|number| &project.positions[number].id);
        let same = |a: &DraftReading, b: &DraftReading| {
            (a.mark_x_m - b.mark_x_m).abs() < SAME_MARK_M
                && (a.mark_y_m - b.mark_y_m).abs() < SAME_MARK_M
        };
        let mut marks: Vec<&DraftReading> = Vec::new();
        for reading in &project.drafts {
            if !marks.iter().any(|mark| same(mark, reading)) {
                marks.push(reading);
            }
        }
        let read: Vec<&DraftReading> = project
            .drafts
            .iter()
            .filter(|reading| reading.is_read() && reading.occasion == occasion)
            .filter(|reading| id.is_none_or(|id| reading.position.as_ref() == Some(id)))
            .collect();
        let mut things: Vec<(String, bool)> = marks
            .iter()
            .map(|mark| {
                let metres = |value: f64| crate::units::fixed(value, 2);
                let name = format!("x {} y {}", metres(mark.mark_x_m), metres(mark.mark_y_m));
                (name, read.iter().any(|reading| same(mark, reading)))
            })
            .collect();
        if things.is_empty() {
            let ends = ["aft", "midships", "forward"].into_iter();
            things = ends
                .flat_map(|at| ["port", "starboard"].map(|side| (format!("{at} {side}"), false)))
                .collect();
        }
        let words = match (occasion, id) {
            (Occasion::Arrival, _) => "on arrival".to_string(),
            (Occasion::BeforeLanding, Some(id)) => format!("before landing in {id}"),
            (Occasion::LiftOff, Some(id)) => format!("when she lifted off from {id}"),
            _ => "on departure".to_string(),
        };
        self.ask(
            (Landing, stage, position),
            drafts::SPEC.path,
            format!("the draft {words} at every mark that is read on any occasion"),
            things,
        );
    }

    /// The dock's water is owed from first touch until the dock is dry.
    fn water(&mut self, number: usize) {
        let position = &self.project.positions[number];
        let times = [
            ("touched", position.times.touched),
            ("landed", position.times.landed),
            ("dry", position.times.dry),
        ];
        let log = WaterLog::new(self.project, &position.id);
        let things = times.map(|(name, at)| {
            let level = at.and_then(|at| log.level_at(at));
            (name.to_string(), level.is_some())
        });
        self.ask(
            (Landing, BeforeFlooding, Some(number)),
            water::SPEC.path,
            format!(
                "the dock's water level in {} from first touch until the dock was dry",
                position.id
            ),
            things,
        );
    }

    /// What was checked at one landing is to be checked at every other.
    fn checks(&mut self, number: usize) {
        let (project, position) = (self.project, &self.project.positions[number]);
        let mut sorts: BTreeSet<&str> = project
            .checks
            .iter()
            .map(|check| check.check.as_str())
            .filter(|check| *check != "other")
            .collect();
        if sorts.is_empty() {
            sorts.extend(CHECKS);
        }
        let made = |sort: &str| {
            project.checks.iter().any(|check| check.position == position.id && check.check == sort)
        };
        self.ask(
            (Landing, BeforeFlooding, Some(number)),
            checks::SPEC.path,
            format!("every check in {} that is made at any landing", position.id),
            sorts.into_iter().map(|sort| (checks::called(sort), made(sort))).collect::<Vec<_>>(),
        );
    }

    /// What prepares a landing is called for in every position once one has it, and offered until then.
    fn prepared(&mut self) {
        let (project, examined) = (self.project, self.examined);
        for one in PREPARING {
            let offered = Offered { what: one.what, file: one.file };
            if !(one.is_begun)(project) {
                self.offered.push(offered);
                continue;
            }
            for (number, position) in project.positions.iter().enumerate() {
                self.ask(
                    (Landing, BeforeLanding, Some(number)),
                    one.file,
                    format!("{} in {}", one.what, position.id),
                    (one.things)(examined, number),
                );
            }
        }
    }

    /// What divers measured on one occasion of a landing they are to measure at every other.
    fn divers(&mut self, number: usize) {
        let (project, examined) = (self.project, self.examined);
        for occasion in [divers::Occasion::FirstTouch, divers::Occasion::Landed] {
            if project.divers.iter().any(|row| row.occasion == occasion) {
                let words = occasion.in_words();
                self.ask(
                    (Landing, BeforeFlooding, Some(number)),
                    divers::SPEC.path,
                    format!(
                        "where divers find the keel {words} in {}",
                        project.positions[number].id
                    ),
                    keel_found(examined, number, occasion),
                );
            }
        }
    }

    fn gaps(&mut self, number: usize) {
        let (project, position) = (self.project, &self.project.positions[number]);
        let measured = |block: &str| {
            project.gaps.iter().any(|gap| gap.position == position.id && gap.block == block)
        };
        let keel = project
            .blocks
            .iter()
            .filter(|block| block.row == BlockRow::Keel && block.stands_in(&position.id));
        self.ask(
            (Landing, BeforeFlooding, Some(number)),
            checks::GAPS_SPEC.path,
            format!("the gap at every keel block that stands in {}", position.id),
            keel.map(|block| (block.id.clone(), measured(&block.id))).collect::<Vec<_>>(),
        );
    }
}
