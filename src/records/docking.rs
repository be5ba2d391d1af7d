//! `docking.toml`: the ship, the dock, the period, the people, the bounds and the closeout.

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::archive::{self, Archive};
use super::bounds::{Bounds, LIMIT_TABLE, TOLERANCE_TABLE};
use super::entry::Entry;
use super::film::{self, Rules};
use super::grammar::orders::Calendar;
use super::grammar::times::{Clock, NO_OFFSET, Order};
use super::hydrostatics::{self, HydrostaticsDatum, Stability};
use super::keyed::{self, Keyed, KeyedSpec};
use super::place::Place;
use super::plan::{self, Plan};
use super::problem::{Problem, Problems};
use super::record::{record, words};
use super::spec::{Column, Holds, Kind, PLACE, Range, SIZE, Stands, TableSpec};
use super::store::{PROJECT_FILE, unfit, unkeepable};

use crate::hull::{FrameStretch, Frames};
use crate::units::{Quantity, System};

/// The version of the project's format that this program reads and writes.
pub const FORMAT: i64 = 1;

pub(super) const FORMAT_KEY: Column =
    Column::always("format", Holds::Whole { least: 1 }, "the format's version, 1");

pub(crate) const UNITS_KEY: Column = Column::optional(
    "units",
    Holds::Word(UnitsWord::WORDS),
    "the units in which figures are shown, whatever units the files use; si if absent",
);

words! {
    /// A system of units by its word.
    enum UnitsWord {
        Si = "si",
        Us = "us",
    }
}

pub(crate) const PAPER_KEY: Column = Column::optional(
    "paper",
    Holds::Word(Paper::WORDS),
    "the paper of the sheets that are filled in by hand, and of a workbook's prints; a4 if absent",
);

words! {
    /// What sheets are printed on.
    #[derive(Default)]
    pub enum Paper {
        /// 210 mm by 297 mm, ISO 216.
        #[default]
        A4 = "a4",
        /// 8 1/2 by 11 inches, ANSI/ASME Y14.1 size A.
        UsLetter = "us-letter",
    }
}

/// What `docking.toml` may hold.
pub const SPEC: KeyedSpec = KeyedSpec {
    path: PROJECT_FILE,
    example: include_str!("../../templates/example/docking.toml"),
    top: TableSpec {
        name: "",
        meaning: "the version of the format, the units to show, and the paper to print on",
        stands: Stands::Once,
        keys: &[FORMAT_KEY, UNITS_KEY, PAPER_KEY],
        most: usize::MAX,
    },
    tables: &[
        SHIP,
        FRAMES,
        DOCK,
        PERIOD,
        CHANGES,
        PEOPLE,
        plan::TABLE,
        hydrostatics::STABILITY,
        hydrostatics::TABLE,
        film::TABLE,
        film::ZONE_TABLE,
        LIMIT_TABLE,
        TOLERANCE_TABLE,
        archive::TABLE,
        CLOSEOUT,
    ],
};

/// The docking as a whole.
#[derive(Debug, Clone, Default)]
pub struct Docking {
    /// In which units figures are shown.
    pub units: System,
    /// What sheets to be filled in by hand are printed on.
    pub paper: Paper,
    pub ship: Ship,
    /// How her frames are numbered, if that is recorded.
    pub frames: Option<Frames>,
    /// Where each stretch of frames is recorded, in their order.
    pub frame_places: Vec<Place>,
    pub dock: Dock,
    /// First and last day, as far as recorded.
    pub period: (Option<NaiveDate>, Option<NaiveDate>),
    /// By which times that were written without an offset were told.
    pub clock: Clock,
    /// People and roles, in the order of the file.
    pub people: Vec<(String, String)>,
    /// What is known of the docking plan as a whole.
    pub plan: Plan,
    /// KG or GM as docked, if that is recorded.
    pub stability: Option<Stability>,
    /// What the hydrostatic table holds for.
    pub hydrostatics: Option<HydrostaticsDatum>,
    /// The rules that accept film readings.
    pub film: Rules,
    /// Limits and tolerances in force.
    pub bounds: Bounds,
    /// What only people know and an archive asks for.
    pub archive: Archive,
    /// Who closed the record, if that is filled in.
    pub closeout: Option<Closeout>,
}

record! {
    /// The ship. Lengths in metres, x forward of the stern reference point.
    #[derive(Debug, Clone, Default)]
    pub struct Ship: SHIP = [ship] "the ship" {
        name: String = always("name", Called, "the ship's name"),
        owner: Option<String> = optional("owner", Called, "who keeps her"),
        built: Option<String> = optional("built", Text, "when and by whom she was built"),
        length_overall_m: Option<f64> = optional("length_overall", SIZE, "length over all"),
        length_between_perpendiculars_m: Option<f64> = optional(
            "length_between_perpendiculars",
            SIZE,
            "length between perpendiculars",
        ),
        breadth_m: Option<f64> = optional("breadth", SIZE, "moulded breadth"),
        stern_reference_point: Option<String> = optional(
            "stern_reference_point",
            Text,
            "which point the stern reference point is, in words",
        ),
        aft_perpendicular_x_m: Option<f64> = optional(
            "aft_perpendicular_x",
            PLACE,
            "x of the aft perpendicular",
        ),
        forward_perpendicular_x_m: Option<f64> = optional(
            "forward_perpendicular_x",
            PLACE,
            "x of the forward perpendicular",
        ),
        foremost_x_m: Option<f64> = optional("foremost_x", SIZE, "x of the foremost point of the hull"),
        frames_from: Option<String> = optional(
            "frames_from",
            Word(&["aft", "forward"]),
            "the end from which frames are numbered",
        ),
        draft_marks_datum: Option<String> = optional(
            "draft_marks_datum",
            Text,
            "what the draft marks are measured from, in words",
        ),
    }
}

record! {
    struct Stretch: FRAMES = [[frames]] "a stretch of frames of one spacing", at most 200 {
        from_frame: i64 = always("from_frame", Whole { least: -1000 }, "its first frame")
            .naming(Kind::Frame),
        x_m: f64 = always("x", PLACE, "x of its first frame"),
        spacing_m: f64 = always("spacing", SIZE, "distance from frame to frame"),
    }
}

record! {
    /// The dock. Levels in metres above its level datum.
    #[derive(Debug, Clone, Default)]
    pub struct Dock: DOCK = [dock] "the dock" {
        name: String = always("name", Called, "the dock's name"),
        location: Option<String> = optional("place", Called, "where it is"),
        kind: Option<String> = optional("kind", Text, "graving dock, floating dock, ..."),
        datum: Option<String> = optional("datum", Text, "where station 0 is, in words"),
        level_datum: Option<String> = optional("level_datum", Text, "what levels are measured from"),
        floor_level_m: Option<f64> = optional("floor_level", PLACE, "level of the floor at station 0"),
        declivity_pct: Option<f64> = optional(
            "declivity",
            Measure(Quantity::Ratio, Range::Any),
            "rise of the floor toward the bow",
        ),
        sill_level_m: Option<f64> = optional("sill_level", PLACE, "level of the sill"),
    }
    with {
        /// Where the level of the floor stands, if it is recorded.
        floor_level_place: Option<Place>,
    }
}

impl Dock {
    /// Level of the floor at a station, if level and declivity are recorded.
    pub fn floor_level_at_m(&self, station_m: f64) -> Option<f64> {
        Some(self.floor_level_m? + self.declivity_pct? / 100.0 * station_m)
    }
}

record! {
    struct Period: PERIOD = [period] "when she was docked" {
        began: Option<NaiveDate> = optional("began", Date, "first day"),
        ended: Option<NaiveDate> = optional("ended", Date, "last day"),
        offset = optional("offset", Offset, "offset from UTC for times that \
             state none"),
        dates = optional(
            "dates",
            Word(Order::WORDS),
            "the order in dates written with numbers and the year last; where it is not stated, each file's own \
             rows and the first and last day decide, or it is asked",
        ),
    }
}

record! {
    struct ClockChange: CLOCK_CHANGES = [[offsets]] "a change of the clocks during the docking, such as the end of \
        summer time", at most 20 {
        from: DateTime<FixedOffset> = always("from", Time, "when it was made; without an offset, as the clocks showed \
             it until then"),
        offset: FixedOffset = always("offset", Offset, "offset from UTC from then on, for times that state none"),
    }
}

/// They stand in the table of the period.
const CHANGES: TableSpec = TableSpec { name: keyed::CHANGES, ..CLOCK_CHANGES };

record! {
    struct Person: PEOPLE = [[people]] "a person named in the records", at most 500 {
        name: String = always("name", Called, "the name"),
        role: String = always("role", Called, "the role"),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Closeout: CLOSEOUT = [closeout] "who closes the record" {
        prepared_by: String = always("prepared_by", Called, "who prepared the report"),
        prepared_on: NaiveDate = always("prepared_on", Date, "the day of the report"),
        bundle_name: String = always("bundle_name", Name, "name of the bundle and its folder"),
        tables_volume: bool = optional(
            "tables_volume",
            Flag,
            "whether the full tables are set for paper too, in a PDF of their own; false if absent",
        ),
    }
}

impl Docking {
    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Self {
        check_format(keyed, problems);
        for table in ["ship", "dock"] {
            if keyed.single(table).is_none() && keyed.is_sound(table) {
                problems.add(
                    Problem::new(Place::file(SPEC.path), format!("has no table [{table}]"))
                        .expected(format!("a table [{table}] with at least a name"))
                        .advice("add it"),
                );
            }
        }
        check_perpendiculars(keyed, problems);
        let (frames, frame_places) = frames(keyed, problems);
        let period = keyed.single(PERIOD.name).and_then(Period::from_entry);
        let [began, ended] =
            period.as_ref().map_or([None; 2], |period| [period.began, period.ended]);
        let people = keyed.all(PEOPLE.name).filter_map(Person::from_entry);
        let units = keyed.single("").and_then(|top| top.get::<UnitsWord>(&UNITS_KEY));
        let paper = keyed.single("").and_then(|top| top.get::<Paper>(&PAPER_KEY));
        Self {
            units: match units {
                Some(UnitsWord::Us) => System::Us,
                Some(UnitsWord::Si) | None => System::Si,
            },
            paper: paper.unwrap_or_default(),
            ship: keyed.single(SHIP.name).and_then(Ship::from_entry).unwrap_or_default(),
            frames,
            frame_places,
            dock: keyed.single(DOCK.name).and_then(Dock::read).unwrap_or_default(),
            period: (began, ended),
            clock: clock(keyed),
            people: people.map(|person| (person.name, person.role)).collect(),
            plan: keyed.single(plan::TABLE.name).and_then(Plan::from_entry).unwrap_or_default(),
            stability: keyed.single(hydrostatics::STABILITY.name).and_then(Stability::from_entry),
            hydrostatics: keyed.single(hydrostatics::TABLE.name).and_then(HydrostaticsDatum::read),
            film: Rules::read(keyed, problems),
            bounds: Bounds::read(keyed.entries(), problems),
            archive: keyed
                .single(archive::TABLE.name)
                .and_then(|entry| Archive::read(entry, problems))
                .unwrap_or_default(),
            closeout: keyed.single(CLOSEOUT.name).and_then(|entry| Closeout::read(entry, problems)),
        }
    }
}

/// What the clocks showed during the docking, as `[period]` states it; what is wrong with that is said in [`calendar`].
fn clock(keyed: &Keyed) -> Clock {
    calendar(keyed, &mut Problems::default()).clock
}

/// The clocks of the docking and the order of its dates, as `[period]` states them. Where that can't be read, a problem
/// says so once; the times count as those of UTC then, and no order is asked for.
pub(super) fn calendar(keyed: &Keyed, problems: &mut Problems) -> Calendar {
    let is_unsure = !keyed.is_sound(PERIOD.name) || !keyed.is_sound(CHANGES.name);
    let period = keyed.single(PERIOD.name);
    let stated = period.and_then(|period| period.get(&Period::offset));
    let first = stated.or_else(|| FixedOffset::east_opt(0).filter(|_| is_unsure));
    let day = |column| period.and_then(|period| period.get::<NaiveDate>(column));
    let order = period.and_then(|period| period.get::<String>(&Period::dates));
    let mut clock = Clock::of(first);
    let mut last: Option<&Entry> = None;
    for entry in keyed.all(CHANGES.name) {
        let Some(change) = ClockChange::from_entry(entry) else { continue };
        if first.is_none() {
            problems.add(
                Problem::new(
                    entry.place.clone(),
                    "the clocks were changed, but [period] has no offset",
                )
                .expected("offset under [period]: what the clocks showed before the first change")
                .advice("add it"),
            );
            break;
        }
        let before = last.and_then(|last| last.get::<DateTime<FixedOffset>>(&ClockChange::from));
        if before.is_some_and(|before| change.from <= before) {
            problems.add(
                Problem::new(
                    entry.place_of(&ClockChange::from),
                    "is not later than the change before it",
                )
                .value(entry.as_written(&ClockChange::from))
                .expected("the changes of the clocks in the order in which they were made")
                .advice("put the [[period.offsets]] tables in order"),
            );
            continue;
        }
        clock.change(change.from, change.offset);
        last = Some(entry);
    }
    Calendar {
        clock,
        order: order.and_then(|word| Order::by(&word)),
        period: (day(&Period::began), day(&Period::ended)),
        is_unsure,
    }
}

impl Dock {
    fn read(entry: &Entry) -> Option<Self> {
        let floor_level = entry.value(&Self::floor_level_m);
        Self::from_entry(entry, floor_level.map(|_| entry.place_of(&Self::floor_level_m)))
    }
}

impl Closeout {
    fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let closeout = Self::from_entry(entry)?;
        let name = &closeout.bundle_name;
        let refused = |wrong, expected| {
            Problem::new(entry.place_of(&Self::bundle_name), wrong)
                .value(name.clone())
                .expected(expected)
                .advice("give the bundle another name")
        };
        if let Some(wrong) = unkeepable(name) {
            problems.add(refused(wrong, "a name that every system accepts"));
        }
        if let Some(wrong) = unfit(name) {
            let expected = "a name that every system accepts and no tool takes for an option";
            problems.add_in_project(|| refused(wrong, expected));
        }
        Some(closeout)
    }
}

/// A format that this program does not read is a problem.
pub(super) fn check_format(keyed: &Keyed, problems: &mut Problems) {
    let Some(entry) = keyed.single("") else { return };
    if let Some(format) = entry.get::<i64>(&FORMAT_KEY).filter(|format| *format != FORMAT) {
        problems.add(
            Problem::new(entry.place_of(&FORMAT_KEY), "is a format that this program can't read")
                .value(format.to_string())
                .expected(format!("format = {FORMAT}"))
                .advice("read a project of a newer format with a newer version of this program"),
        );
    }
}

/// Many times without an offset are one problem to fix where the project could state it for all.
pub(super) fn report_offset_once(keyed: &Keyed, problems: &mut Problems) {
    const FEW: usize = 3;
    let times = problems.take(NO_OFFSET);
    let Some(first) =
        times.iter().map(|problem| &problem.place).min().filter(|_| times.len() > FEW)
    else {
        times.into_iter().for_each(|problem| problems.add(problem));
        return;
    };
    let period = keyed.single(PERIOD.name);
    let place = period.map_or_else(|| Place::file(SPEC.path), |period| period.place.clone());
    let wrong = format!(
        "[period] has no offset, and {} times state none, the first at {first}",
        times.len()
    );
    problems.add(
        Problem::new(place, wrong)
            .expected("offset = \"+01:00\" under [period], or an offset in every time")
            .advice("add the offset from UTC that the clocks were set to during the docking"),
    );
}

fn check_perpendiculars(keyed: &Keyed, problems: &mut Problems) {
    let Some(entry) = keyed.single(SHIP.name) else { return };
    let [aft, forward] = [&Ship::aft_perpendicular_x_m, &Ship::forward_perpendicular_x_m];
    let (Some(aft_m), Some(forward_m)) = (entry.get::<f64>(aft), entry.get::<f64>(forward)) else {
        return;
    };
    if forward_m <= aft_m {
        problems.add(
            Problem::new(entry.place_of(forward), "is not forward of the aft perpendicular")
                .value(entry.as_written(forward))
                .expected(format!("more than {}", entry.as_written(aft)))
                .advice("correct one of the two; x increases toward the bow"),
        );
    }
}

/// Where the frame of a number lies, if it is told, is not on the ship: its x, and that of her foremost point, m.
pub(super) fn beyond_ship(keyed: &Keyed, frame: f64) -> Option<(f64, f64)> {
    /// Frames may stand a little before her stern reference point or her foremost point as recorded, m.
    const SLACK_M: f64 = 1.0;
    // What is wrong with them is said when the docking is read.
    let frames = frames(keyed, &mut Problems::default()).0?;
    let foremost_m = keyed.single(SHIP.name)?.get::<f64>(&Ship::foremost_x_m)?;
    let x_m = frames.x_m(frame);
    let is_on_ship = (-SLACK_M..=foremost_m + SLACK_M).contains(&x_m);
    (!is_on_ship).then_some((x_m, foremost_m))
}

fn frames(keyed: &Keyed, problems: &mut Problems) -> (Option<Frames>, Vec<Place>) {
    let mut stretches: Vec<FrameStretch> = Vec::new();
    let mut places = Vec::new();
    for entry in keyed.all(FRAMES.name) {
        let Some(Stretch { from_frame, x_m, spacing_m, place, .. }) = Stretch::from_entry(entry)
        else {
            continue;
        };
        if stretches.last().is_some_and(|last| last.from_frame >= from_frame) {
            problems.add(
                Problem::new(
                    entry.place_of(&Stretch::from_frame),
                    "does not follow the stretch before it",
                )
                .value(from_frame.to_string())
                .expected("stretches in order of frame number")
                .advice("put the [[frames]] tables in order"),
            );
            continue;
        }
        stretches.push(FrameStretch { from_frame, x_m, spacing_m });
        places.push(place);
    }
    if stretches.is_empty() {
        return (None, places);
    }
    // A [ship] with a problem of its own is left out, so its keys are not judged here.
    let ship = keyed.single(SHIP.name);
    let end = ship.and_then(|ship| ship.get::<String>(&Ship::frames_from));
    if let (Some(ship), None) = (ship, &end) {
        problems.add(
            Problem::new(ship.place.clone(), "[ship] has no frames_from, which [[frames]] needs")
                .expected("frames_from = \"aft\" or \"forward\"")
                .advice("state the end from which frames are numbered"),
        );
    }
    let from_aft = end.is_none_or(|end| end == "aft");
    (Some(Frames { from_aft, stretches }), places)
}
