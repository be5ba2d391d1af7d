//! `docking.toml`: the ship, the dock, the period, the people, the bounds and the closeout.

use chrono::{FixedOffset, NaiveDate};

use super::bounds::{Bounds, LIMIT_TABLE, TOLERANCE_TABLE};
use super::entry::Entry;
use super::film::{self, Rules};
use super::hydrostatics::{self, HydrostaticsDatum, Stability};
use super::keyed::{Keyed, KeyedSpec};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, Holds, Range, Stands, TableSpec};
use super::store::{unfit, unkeepable};
use super::value::NO_OFFSET;
use crate::hull::{FrameStretch, Frames};
use crate::units::Quantity;

/// The version of the project's format that this program reads and writes.
pub const FORMAT: i64 = 1;

const LENGTH: Holds = Holds::Measure(Quantity::Length, Range::Positive);
const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);

/// What `docking.toml` may hold.
pub const SPEC: KeyedSpec = KeyedSpec {
    path: "docking.toml",
    example: include_str!("../../templates/example/docking.toml"),
    top: TableSpec {
        name: "",
        meaning: "the version of the format",
        stands: Stands::Once,
        keys: &[Column::always("format", Holds::Whole { least: 1 }, "the format's version, 1")],
    },
    tables: &[
        TableSpec {
            name: "ship",
            meaning: "the ship",
            stands: Stands::Once,
            keys: &[
                Column::always("name", Holds::Called, "the ship's name"),
                Column::optional("owner", Holds::Called, "who keeps her"),
                Column::optional("built", Holds::Text, "when and by whom she was built"),
                Column::optional("length_overall", LENGTH, "length over all"),
                Column::optional(
                    "length_between_perpendiculars",
                    LENGTH,
                    "length between perpendiculars",
                ),
                Column::optional("breadth", LENGTH, "moulded breadth"),
                Column::optional(
                    "stern_reference_point",
                    Holds::Text,
                    "which point the stern reference point is, in words",
                ),
                Column::optional("aft_perpendicular_x", PLACE, "x of the aft perpendicular"),
                Column::optional(
                    "forward_perpendicular_x",
                    PLACE,
                    "x of the forward perpendicular",
                ),
                Column::optional("foremost_x", LENGTH, "x of the foremost point of the hull"),
                Column::optional(
                    "frames_from",
                    Holds::Word(&["aft", "forward"]),
                    "the end from which frames are numbered",
                ),
                Column::optional(
                    "draft_marks_datum",
                    Holds::Text,
                    "what the draft marks measure from, in words",
                ),
            ],
        },
        TableSpec {
            name: "frames",
            meaning: "a stretch of frames of one spacing",
            stands: Stands::Often,
            keys: &[
                Column::always("from_frame", Holds::Whole { least: -1000 }, "its first frame"),
                Column::always("x", PLACE, "x of its first frame"),
                Column::always("spacing", LENGTH, "distance from frame to frame"),
            ],
        },
        TableSpec {
            name: "dock",
            meaning: "the dock",
            stands: Stands::Once,
            keys: &[
                Column::always("name", Holds::Called, "the dock's name"),
                Column::optional("place", Holds::Called, "where it is"),
                Column::optional("kind", Holds::Text, "graving dock, floating dock, ..."),
                Column::optional("datum", Holds::Text, "where station 0 is, in words"),
                Column::optional("level_datum", Holds::Text, "what levels are counted from"),
                Column::optional("floor_level", PLACE, "level of the floor at station 0"),
                Column::optional(
                    "declivity",
                    Holds::Measure(Quantity::Ratio, Range::Any),
                    "rise of the floor toward the bow",
                ),
                Column::optional("sill_level", PLACE, "level of the sill"),
            ],
        },
        TableSpec {
            name: "period",
            meaning: "when she was docked",
            stands: Stands::Once,
            keys: &[
                Column::optional("began", Holds::Date, "first day"),
                Column::optional("ended", Holds::Date, "last day"),
                Column::optional("offset", Holds::Offset, "offset from UTC of times without one"),
            ],
        },
        TableSpec {
            name: "people",
            meaning: "a person who is named in the records",
            stands: Stands::Often,
            keys: &[
                Column::always("name", Holds::Called, "the name"),
                Column::always("role", Holds::Called, "the role"),
            ],
        },
        hydrostatics::STABILITY,
        hydrostatics::TABLE,
        film::TABLE,
        film::ZONE_TABLE,
        LIMIT_TABLE,
        TOLERANCE_TABLE,
        TableSpec {
            name: "closeout",
            meaning: "who closes the record",
            stands: Stands::Once,
            keys: &[
                Column::always("prepared_by", Holds::Called, "who prepared the report"),
                Column::always("prepared_on", Holds::Date, "the day of the report"),
                Column::always("bundle_name", Holds::Name, "name of the bundle and its folder"),
            ],
        },
    ],
};

/// The docking as a whole.
#[derive(Debug, Clone, Default)]
pub struct Docking {
    /// The ship.
    pub ship: Ship,
    /// How her frames are numbered, if that is recorded.
    pub frames: Option<Frames>,
    /// Where each stretch of frames is recorded, in their order.
    pub frame_places: Vec<Place>,
    /// The dock.
    pub dock: Dock,
    /// First and last day, as far as recorded.
    pub period: (Option<NaiveDate>, Option<NaiveDate>),
    /// Offset of times that were written without one.
    pub offset: Option<FixedOffset>,
    /// People and roles, in the order of the file.
    pub people: Vec<(String, String)>,
    /// KG or GM as docked, if that is recorded.
    pub stability: Option<Stability>,
    /// What the hydrostatic table holds for.
    pub hydrostatics: Option<HydrostaticsDatum>,
    /// The rules that accept film readings.
    pub film: Rules,
    /// Limits and tolerances in force.
    pub bounds: Bounds,
    /// Who closed the record, if that is filled in.
    pub closeout: Option<Closeout>,
}

/// The ship. Lengths in metres, x forward of the stern reference point.
#[derive(Debug, Clone, Default)]
pub struct Ship {
    /// Name.
    pub name: String,
    /// Who keeps her.
    pub owner: Option<String>,
    /// When and by whom built.
    pub built: Option<String>,
    /// Length over all.
    pub length_overall_m: Option<f64>,
    /// Length between perpendiculars.
    pub length_between_perpendiculars_m: Option<f64>,
    /// Moulded breadth.
    pub breadth_m: Option<f64>,
    /// Which point the stern reference point is.
    pub stern_reference_point: Option<String>,
    /// Aft perpendicular.
    pub aft_perpendicular_x_m: Option<f64>,
    /// Forward perpendicular.
    pub forward_perpendicular_x_m: Option<f64>,
    /// Foremost point of the hull.
    pub foremost_x_m: Option<f64>,
    /// What the draft marks measure from.
    pub draft_marks_datum: Option<String>,
}

/// The dock. Levels in metres above its level datum.
#[derive(Debug, Clone, Default)]
pub struct Dock {
    /// Name.
    pub name: String,
    /// Where it is.
    pub place: Option<String>,
    /// What kind of dock.
    pub kind: Option<String>,
    /// Where station 0 is.
    pub datum: Option<String>,
    /// What levels are counted from.
    pub level_datum: Option<String>,
    /// Level of the floor at station 0.
    pub floor_level_m: Option<f64>,
    /// Where that stands.
    pub floor_level_place: Option<Place>,
    /// Rise of the floor toward the bow, per cent.
    pub declivity_pct: Option<f64>,
    /// Level of the sill.
    pub sill_level_m: Option<f64>,
}

impl Dock {
    /// Level of the floor at a station, if level and declivity are recorded.
    pub fn floor_level_at_m(&self, station_m: f64) -> Option<f64> {
        Some(self.floor_level_m? + self.declivity_pct? / 100.0 * station_m)
    }
}

/// Who closed the record.
#[derive(Debug, Clone)]
pub struct Closeout {
    /// Who prepared the report.
    pub prepared_by: String,
    /// The day of the report; every date that the bundle carries comes from it.
    pub prepared_on: NaiveDate,
    /// Name of the bundle and of the folder in it.
    pub bundle_name: String,
}

impl Docking {
    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Self {
        check_format(keyed, problems);
        for table in ["ship", "dock"] {
            if keyed.one(table).is_none() && keyed.is_sound(table) {
                problems.add(
                    Problem::new(Place::file(SPEC.path), format!("has no table [{table}]"))
                        .expected(format!("[{table}] with at least its name"))
                        .advice("add it"),
                );
            }
        }
        check_perpendiculars(keyed, problems);
        let (frames, frame_places) = frames(keyed, problems);
        let period = keyed.one("period");
        Self {
            ship: keyed.one("ship").map(ship).unwrap_or_default(),
            frames,
            frame_places,
            dock: keyed.one("dock").map(dock).unwrap_or_default(),
            period: (
                period.and_then(|entry| entry.date("began")),
                period.and_then(|entry| entry.date("ended")),
            ),
            offset: period.and_then(|entry| match entry.value("offset") {
                Some(super::value::Value::Offset(offset)) => Some(*offset),
                _ => None,
            }),
            people: keyed
                .all("people")
                .filter_map(|entry| Some((entry.text("name")?, entry.text("role")?)))
                .collect(),
            stability: keyed.one("stability").map(Stability::read),
            hydrostatics: keyed.one("hydrostatics").and_then(HydrostaticsDatum::read),
            film: Rules::read(keyed, problems),
            bounds: Bounds::read(keyed.entries(), problems),
            closeout: keyed.one("closeout").and_then(|entry| {
                let name = entry.text("bundle_name")?;
                if let Some(wrong) = unkeepable(&name) {
                    problems.add(
                        Problem::new(entry.place_of("bundle_name"), wrong)
                            .value(&*name)
                            .expected("a name that every system can hold")
                            .advice("give the bundle another name"),
                    );
                }
                if let Some(wrong) = unfit(&name) {
                    problems.add_in_project(|| {
                        Problem::new(entry.place_of("bundle_name"), wrong)
                            .value(&*name)
                            .expected(
                                "a name that every system can hold, and every tool takes for one",
                            )
                            .advice("give the bundle another name")
                    });
                }
                Some(Closeout {
                    prepared_by: entry.text("prepared_by")?,
                    prepared_on: entry.date("prepared_on")?,
                    bundle_name: entry.text("bundle_name")?,
                })
            }),
        }
    }
}

fn check_format(keyed: &Keyed, problems: &mut Problems) {
    let Some(entry) = keyed.one("") else { return };
    if let Some(format) = entry.whole("format").filter(|format| *format != FORMAT) {
        problems.add(
            Problem::new(entry.place_of("format"), "is a format that this program does not read")
                .value(format.to_string())
                .expected(format!("format = {FORMAT}"))
                .advice("use a newer version of this program for a project of a newer format"),
        );
    }
}

/// Many times without an offset are one thing to mend where the project could state it for all.
pub(super) fn offset_once(keyed: &Keyed, problems: &mut Problems) {
    const FEW: usize = 3;
    let times = problems.take(NO_OFFSET);
    let Some(first) =
        times.iter().map(|problem| &problem.place).min().filter(|_| times.len() > FEW)
    else {
        times.into_iter().for_each(|problem| problems.add(problem));
        return;
    };
    let period = keyed.one("period");
    let place = period.map_or_else(|| Place::file(SPEC.path), |period| period.place.clone());
    let wrong = format!(
        "[period] has no offset, and {} times do not say theirs, the first at {first}",
        times.len()
    );
    problems.add(
        Problem::new(place, wrong)
            .expected("offset = \"+01:00\" under [period], or an offset in every time")
            .advice("add the offset from UTC that the clocks of the docking kept"),
    );
}

fn check_perpendiculars(keyed: &Keyed, problems: &mut Problems) {
    let Some(entry) = keyed.one("ship") else { return };
    let (Some(aft), Some(forward)) =
        (entry.number("aft_perpendicular_x"), entry.number("forward_perpendicular_x"))
    else {
        return;
    };
    if forward <= aft {
        problems.add(
            Problem::new(
                entry.place_of("forward_perpendicular_x"),
                "is not forward of the aft perpendicular",
            )
            .value(entry.as_written("forward_perpendicular_x"))
            .expected(format!("more than {}", entry.as_written("aft_perpendicular_x")))
            .advice("correct one of the two; x grows toward the bow"),
        );
    }
}

fn ship(entry: &Entry) -> Ship {
    Ship {
        name: entry.text("name").unwrap_or_default(),
        owner: entry.text("owner"),
        built: entry.text("built"),
        length_overall_m: entry.number("length_overall"),
        length_between_perpendiculars_m: entry.number("length_between_perpendiculars"),
        breadth_m: entry.number("breadth"),
        stern_reference_point: entry.text("stern_reference_point"),
        aft_perpendicular_x_m: entry.number("aft_perpendicular_x"),
        forward_perpendicular_x_m: entry.number("forward_perpendicular_x"),
        foremost_x_m: entry.number("foremost_x"),
        draft_marks_datum: entry.text("draft_marks_datum"),
    }
}

fn dock(entry: &Entry) -> Dock {
    Dock {
        name: entry.text("name").unwrap_or_default(),
        place: entry.text("place"),
        kind: entry.text("kind"),
        datum: entry.text("datum"),
        level_datum: entry.text("level_datum"),
        floor_level_m: entry.number("floor_level"),
        floor_level_place: entry.number("floor_level").map(|_| entry.place_of("floor_level")),
        declivity_pct: entry.number("declivity"),
        sill_level_m: entry.number("sill_level"),
    }
}

fn frames(keyed: &Keyed, problems: &mut Problems) -> (Option<Frames>, Vec<Place>) {
    let mut stretches: Vec<FrameStretch> = Vec::new();
    let mut places = Vec::new();
    for entry in keyed.all("frames") {
        let (Some(from_frame), Some(x_m), Some(spacing_m)) =
            (entry.whole("from_frame"), entry.number("x"), entry.number("spacing"))
        else {
            continue;
        };
        if stretches.last().is_some_and(|last| last.from_frame >= from_frame) {
            problems.add(
                Problem::new(entry.place_of("from_frame"), "does not follow the stretch before it")
                    .value(from_frame.to_string())
                    .expected("stretches in the order of their frame numbers")
                    .advice("put the [[frames]] in order"),
            );
            continue;
        }
        stretches.push(FrameStretch { from_frame, x_m, spacing_m });
        places.push(entry.place.clone());
    }
    if stretches.is_empty() {
        return (None, places);
    }
    // A [ship] with a problem of its own is left out, and then nothing is said of its keys here.
    let ship = keyed.one("ship");
    let end = ship.and_then(|ship| ship.text("frames_from"));
    if let (Some(ship), None) = (ship, &end) {
        problems.add(
            Problem::new(ship.place.clone(), "[ship] has no frames_from, and there are [[frames]]")
                .expected("frames_from = \"aft\" or \"forward\"")
                .advice("add the end from which frames are numbered"),
        );
    }
    let from_aft = end.is_none_or(|end| end == "aft");
    (Some(Frames { from_aft, stretches }), places)
}
