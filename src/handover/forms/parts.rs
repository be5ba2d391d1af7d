//! Which sheets there are, which columns of which files each asks for, and in which words.

use chrono::{DateTime, FixedOffset};

use super::known::{Known, Row};
use crate::records::bilge::{self, BilgeBlock};
use crate::records::blocks::{self, Block};
use crate::records::checks::{self, Gap, LandingCheck};
use crate::records::climate::{self, Climate};
use crate::records::coats::{self, Application};
use crate::records::crossings::{self, Crossing};
use crate::records::divers::{self, DiversSighting};
use crate::records::drafts::{self, DraftReading, Occasion};
use crate::records::entry::Entry;
use crate::records::film::{self, FilmReading, GaugeCheck};
use crate::records::holds::{self, Hold, HoldPoint};
use crate::records::openings::{self, Opened, Opening};
use crate::records::papers::{self, Paper};
use crate::records::plating::{self, Anode, Gauging, InstrumentCheck};
use crate::records::positions::{self, Position, Sighting};
use crate::records::preparation::{self, Preparation};
use crate::records::repairs::{self, Repair};
use crate::records::scheme::{self, SchemeCoat};
use crate::records::spec::{Column, FileSpec, Holds};
use crate::records::stops::{self, Stop};
use crate::records::stripes::{self, Stripe};
use crate::records::tested::{self, CoatingTest};
use crate::records::value::Value;
use crate::records::water::{self, WaterLevel};
use crate::records::weights::{self, Moved};
use crate::records::zones::{self, AreaRow};

/// One PDF.
pub(super) struct Form {
    pub file: &'static str,
    pub title: &'static str,
    pub about: &'static str,
    /// Whether each position has sheets of its own; otherwise the position is a blank to be filled in.
    pub each_position: bool,
    pub groups: &'static [Group],
}

/// Tables that follow each other on sheets of their own.
pub(super) struct Group {
    pub title: &'static str,
    /// Whether the sheet is wider than high.
    pub across: bool,
    /// Whether its rows ask for a place on the hull, which is found on a small plan.
    pub asks_for_place: bool,
    pub parts: &'static [Part],
}

/// A table for some of the columns of a file.
pub(super) struct Part {
    pub spec: &'static FileSpec,
    /// What it is for.
    pub about: &'static str,
    pub columns: &'static [Asked],
    /// How many of the first columns name a row: someone who listens is told them before each of its cells.
    pub names: usize,
    /// Columns whose value for all rows is written in the head of the sheet.
    pub in_head: &'static [Column],
    /// Rows that are printed in, for a position.
    pub rows: fn(&Known<'_>, Option<&str>) -> Vec<Row>,
    /// Blank rows below them: some of each, and how many where no row is known.
    pub blank: Blank,
    /// Whether no file has columns for it: the sheet itself is kept, as a paper.
    pub is_scanned: bool,
}

/// Blank rows of a table.
#[derive(Clone, Copy)]
pub(super) struct Blank {
    /// Below rows that are printed in.
    pub below: usize,
    /// Where none is.
    pub alone: usize,
}

const fn blank(below: usize, alone: usize) -> Blank {
    Blank { below, alone }
}

/// A column of a table on paper.
#[derive(Clone, Copy)]
pub(super) struct Asked {
    /// What is asked for, in words; the unit follows.
    pub words: &'static str,
    /// Where it is typed; listed several times, it is a row of the file each time.
    pub column: Column,
    /// Its share of the width.
    pub share: f64,
}

const fn ask(words: &'static str, column: Column, share: f64) -> Asked {
    Asked { words, column, share }
}

/// A column that helps whoever fills in the sheet, and is not typed.
const fn untyped(words: &'static str, share: f64) -> Asked {
    Asked { words, column: Column::optional("", Holds::Text, words), share }
}

/// Whether a column of a table is not typed.
pub(super) fn is_untyped(column: &Column) -> bool {
    column.name.is_empty()
}

/// Which mark it is, as one says it: aft, port.
const MARK: Asked = untyped("draft mark", 1.5);

const fn group(
    title: &'static str,
    across: bool,
    asks_for_place: bool,
    parts: &'static [Part],
) -> Group {
    Group { title, across, asks_for_place, parts }
}

/// All of them.
pub(super) const FORMS: &[Form] = &[
    Form {
        file: "blocks.pdf",
        title: "Blocks as set",
        about: "Levels of the blocks\u{2019} tops as they were set, to be filled in by hand.",
        each_position: false,
        groups: &[group("Blocks as set", false, false, &[TOPS])],
    },
    Form {
        file: "ballast.pdf",
        title: "Ballast and trim before landing",
        about: "Weights planned to be moved before she lands, and the drafts that are planned, to be filled in by hand.",
        each_position: false,
        groups: &[group("Ballast and trim before landing", true, false, &[BALLAST, TRIM])],
    },
    Form {
        file: "stops.pdf",
        title: "Stops of the pumping",
        about: "Planned stops of the pumping in one position, and the gaps measured at them, to be filled in by hand.",
        each_position: true,
        groups: &[group("Stops of the pumping", false, false, &[STOPS, STOP_GAPS])],
    },
    Form {
        file: "landing.pdf",
        title: "Landing",
        about: "Times, drafts, sighted marks, landing checks and hold points of one position, to be filled in by hand.",
        each_position: true,
        groups: &[
            group(
                "Landing: times, drafts, marks",
                false,
                false,
                &[TIMES, DRAFTS, MARKS, PLACE_FOUND],
            ),
            group("Landing checks", true, false, &[CHECKS]),
            group("Divers\u{2019} check of the blocks", false, true, &[CONTACT]),
            group("Divers: the keel over the blocks", true, false, &[KEEL_OVER_BLOCKS]),
            group("Hold points as signed", false, false, &[HOLDS]),
        ],
    },
    Form {
        file: "water.pdf",
        title: "Water levels",
        about: "Levels of the water in the dock in one position, to be filled in by hand.",
        each_position: true,
        groups: &[group("Water levels", false, false, &[WATER])],
    },
    Form {
        file: "gaps.pdf",
        title: "Gap survey",
        about: "Gaps between caps and hull in one position, and bilge blocks as they were set, to be filled in by hand.",
        each_position: true,
        groups: &[
            group("Gap survey", false, true, &[GAPS]),
            group("Bilge blocks hauled and wedged", false, true, &[BILGE]),
        ],
    },
    Form {
        file: "lift-off.pdf",
        title: "Lift-off",
        about: "Times and drafts as she lifts off from one position, to be filled in by hand.",
        each_position: true,
        groups: &[group("Lift-off", false, false, &[LIFT_OFF_TIMES, LIFT_OFF_DRAFTS])],
    },
    Form {
        file: "arrival-and-departure.pdf",
        title: "Drafts on arrival and departure",
        about: "Drafts as she comes and as she leaves, and the water over the sill, to be filled in by hand.",
        each_position: false,
        groups: &[
            group("Drafts on arrival and departure", false, false, &[ARRIVAL, DEPARTURE]),
            group("Over the sill", false, false, &[CROSSINGS]),
        ],
    },
    Form {
        file: "weights-moved.pdf",
        title: "Weights moved",
        about: "Weights put on, taken off or moved while she is docked, to be filled in by hand.",
        each_position: false,
        groups: &[group("Weights moved", true, true, &[MOVED])],
    },
    Form {
        file: "openings.pdf",
        title: "Openings closed out",
        about: "Openings opened, closed and tested in one position, to be filled in by hand.",
        each_position: true,
        groups: &[
            group("Openings closed out", true, true, &[OPENINGS]),
            group("Openings opened again", true, false, &[OPENED]),
        ],
    },
    Form {
        file: "climate-and-coating.pdf",
        title: "Climate and coating",
        about: "Air and steel, preparation, coats, tests and film thickness, to be filled in by hand.",
        each_position: false,
        groups: &[
            group("Climate", true, false, &[CLIMATE]),
            group("Preparation of the steel", true, true, &[PREPARATION]),
            group("Coats", true, false, &[COATS]),
            group("Stripe coats and tests", true, false, &[STRIPES, TESTS]),
            group("Areas by their corners", false, true, &[AREAS]),
            group("The gauge, before work", false, false, &[GAUGES]),
            group("Film thickness", true, true, &[FILM]),
        ],
    },
    Form {
        file: "plating-and-anodes.pdf",
        title: "Plating and anodes",
        about: "Thicknesses of plates, repairs, and anodes found and renewed, to be filled in by hand.",
        each_position: false,
        groups: &[
            group("The instrument, before work", false, false, &[INSTRUMENTS]),
            group("Plate thicknesses", false, true, &[PLATING]),
            group("Repairs of the shell", true, true, &[REPAIRS]),
            group("Anodes", false, true, &[ANODES]),
        ],
    },
    Form {
        file: "photographs.pdf",
        title: "Photographs",
        about: "What each photograph shows, to be filled in by hand.",
        each_position: false,
        groups: &[group("Photographs", true, true, &[PHOTOGRAPHS])],
    },
];

/// A column for notes, which no file declares.
const NOTE: Column = Column::optional("note", Holds::Text, "a note, kept and not read");

fn no_rows(_: &Known<'_>, _: Option<&str>) -> Vec<Row> {
    Vec::new()
}

fn word(column: Column, word: &str) -> (Column, Value) {
    (column, Value::Text(word.into()))
}

fn only_position(_: &Known<'_>, position: Option<&str>) -> Vec<Row> {
    vec![position.map(|name| word(Position::id, name)).into_iter().collect()]
}

/// Where of all marks one is, as one says it.
fn says_where(mark: &Row, marks: &[Row]) -> Option<String> {
    let number = |row: &Row, wanted: Column| {
        row.iter().find_map(|(column, value)| match value {
            Value::Number(number) if *column == wanted => Some(*number),
            _ => None,
        })
    };
    let (x, y) = (number(mark, DraftReading::mark_x_m)?, number(mark, DraftReading::mark_y_m)?);
    let mut stations: Vec<f64> =
        marks.iter().filter_map(|mark| number(mark, DraftReading::mark_x_m)).collect();
    stations.sort_by(f64::total_cmp);
    // Marks of one station may be some decimetres apart.
    stations.dedup_by(|one, other| (*one - *other).abs() < 1.0);
    let before = stations.iter().filter(|station| **station <= x - 1.0).count();
    let along = match (before, stations.len()) {
        (_, 0 | 1) => None,
        (0, _) => Some("aft".to_string()),
        (n, of) if n + 1 == of => Some("forward".to_string()),
        (_, 3) => Some("amidships".to_string()),
        (n, _) => Some(format!("no. {} from aft", n + 1)),
    };
    let side = match y.total_cmp(&0.0) {
        std::cmp::Ordering::Greater => "port",
        std::cmp::Ordering::Less => "starboard",
        std::cmp::Ordering::Equal => "centreline",
    };
    Some(along.map_or(side.to_string(), |along| format!("{along}, {side}")))
}

/// The draft marks that are known, each to be read on an occasion.
fn marks_on(known: &Known<'_>, occasion: &str) -> Vec<Row> {
    let mut marks = known.latest(&drafts::SPEC, &[DraftReading::mark_x_m, DraftReading::mark_y_m]);
    if marks.is_empty() {
        marks = vec![Row::new(); 6];
    }
    let row = |mark: &Row| {
        let named = says_where(mark, &marks).map(|said| word(MARK.column, &said));
        let occasion = word(DraftReading::occasion, occasion);
        named.into_iter().chain([occasion]).chain(mark.iter().cloned()).collect()
    };
    marks.iter().map(row).collect()
}

const DRAFT_COLUMNS: &[Asked] = &[
    MARK,
    ask("occasion", DraftReading::occasion, 1.2),
    ask("mark, forward of the stern reference point", DraftReading::mark_x_m, 1.35),
    ask("mark, to port", DraftReading::mark_y_m, 1.0),
    ask("draft read", DraftReading::draft_m, 1.1),
    ask("density of the water", DraftReading::water_density_t_m3, 1.4),
    ask("when read", DraftReading::at, 0.9),
];

const TOPS: Part = Part {
    spec: &blocks::SPEC,
    about: "Level of the middle of each cap, above the dock\u{2019}s level datum",
    columns: &[
        ask("block", Block::id, 1.0),
        ask("level of its top", Block::top_level_m, 1.2),
        ask("note", NOTE, 2.2),
    ],
    names: 1,
    in_head: &[],
    rows: |known, _| known.blocks(None).iter().map(|block| vec![word(Block::id, block)]).collect(),
    blank: blank(0, 30),
    is_scanned: false,
};

const TIMES: Part = Part {
    spec: &positions::SPEC,
    about: "Times of this position",
    columns: &[
        ask("position", Position::id, 0.8),
        ask("flooding began", Position::flooding_began, 1.1),
        ask("first touch", Position::touched, 1.0),
        ask("landed fore and aft", Position::landed, 1.1),
        ask("dock dry", Position::dry, 1.0),
    ],
    names: 1,
    in_head: &[],
    rows: only_position,
    blank: blank(0, 0),
    is_scanned: false,
};

const LIFT_OFF_TIMES: Part = Part {
    about: "Times of leaving this position",
    columns: &[
        ask("position", Position::id, 0.8),
        ask("water let in", Position::reflood_began, 1.1),
        ask("afloat again", Position::afloat, 1.1),
    ],
    ..TIMES
};

const PLACE_FOUND: Part = Part {
    about: "Where she lies, once the dock is dry",
    columns: &[
        ask("position", Position::id, 0.8),
        ask("station of the stern reference point", Position::recorded_srp_station_m, 1.5),
        ask("centreline there, to port of the dock\u{2019}s", Position::recorded_offset_m, 1.5),
        ask("yaw, + bow to port", Position::recorded_yaw_deg, 1.0),
    ],
    ..TIMES
};

const DRAFTS: Part = Part {
    spec: &drafts::SPEC,
    about: "Draft marks before landing",
    columns: DRAFT_COLUMNS,
    names: 1,
    in_head: &[DraftReading::position, DraftReading::by],
    rows: |known, _| marks_on(known, "before-landing"),
    blank: blank(0, 0),
    is_scanned: false,
};

const LIFT_OFF_DRAFTS: Part = Part {
    about: "Draft marks as she lifts off",
    rows: |known, _| marks_on(known, "lift-off"),
    ..DRAFTS
};

const ARRIVAL: Part = Part {
    about: "Draft marks on arrival",
    in_head: &[DraftReading::by],
    rows: |known, _| marks_on(known, "arrival"),
    ..DRAFTS
};

const DEPARTURE: Part = Part {
    about: "Draft marks on departure, with the day of the reading",
    rows: |known, _| marks_on(known, "departure"),
    ..ARRIVAL
};

const CROSSINGS: Part = Part {
    spec: &crossings::SPEC,
    about: "Her crossings of the sill; her drafts only where they are others than those read next to it in time",
    columns: &[
        ask("way", Crossing::direction, 0.8),
        ask("when over the sill", Crossing::at, 1.5),
        ask("level of the water", Crossing::level_m, 1.1),
        ask("draft aft", Crossing::draft_aft_m, 1.1),
        ask("draft forward", Crossing::draft_forward_m, 1.2),
        ask("by", Crossing::by, 1.6),
    ],
    names: 1,
    in_head: &[],
    rows: |_, _| ["in", "out"].map(|way| vec![word(Crossing::direction, way)]).to_vec(),
    blank: blank(2, 4),
    is_scanned: false,
};

const MARKS: Part = Part {
    spec: &positions::MARKS_SPEC,
    about: "Marks on the hull, sighted from the dock once she is landed",
    columns: &[
        ask("mark", Sighting::mark, 0.9),
        ask("mark, forward of the stern reference point", Sighting::hull_x, 1.35),
        ask("mark, to port", Sighting::hull_y, 0.9),
        ask("station at which it is seen", Sighting::dock_station_m, 1.3),
        ask("to port of the dock\u{2019}s centreline", Sighting::dock_offset_m, 1.3),
        ask("when read", Sighting::at, 0.9),
    ],
    names: 1,
    in_head: &[Sighting::position, Sighting::read_by],
    rows: |known, _| {
        known.latest(&positions::MARKS_SPEC, &[Sighting::mark, Sighting::hull_x, Sighting::hull_y])
    },
    blank: blank(0, 4),
    is_scanned: false,
};

const CHECKS: Part = Part {
    spec: &checks::SPEC,
    about: "One check to a row; a figure only where something was measured",
    columns: &[
        ask("check", LandingCheck::check, 1.3),
        ask("block", LandingCheck::block, 0.9),
        ask("what was planned", LandingCheck::planned, 1.8),
        ask("what was found", LandingCheck::recorded, 2.2),
        ask("figure planned", LandingCheck::planned_m, 1.2),
        ask("figure found", LandingCheck::recorded_m, 1.2),
        ask("as planned", LandingCheck::as_planned, 0.9),
        ask("when", LandingCheck::at, 0.8),
    ],
    names: 2,
    in_head: &[LandingCheck::position, LandingCheck::by],
    rows: |_, _| {
        let kinds = ["centreline", "centreline", "wedge", "declivity", "end-gap", "second-survey"];
        kinds.map(|kind| vec![word(LandingCheck::check, kind)]).to_vec()
    },
    blank: blank(2, 8),
    is_scanned: false,
};

const BILGE: Part = Part {
    spec: &bilge::SPEC,
    about: "One block to a row; a time of hauling only where it was hauled under her",
    columns: &[
        ask("block", BilgeBlock::block, 0.9),
        ask("hauled or fixed", BilgeBlock::how, 1.0),
        ask("when hauled tight", BilgeBlock::hauled_at, 1.0),
        ask("gap closed by wedges", BilgeBlock::wedged_m, 1.2),
        ask("when wedged", BilgeBlock::wedged_at, 1.0),
    ],
    names: 1,
    in_head: &[BilgeBlock::position, BilgeBlock::by],
    rows: no_rows,
    blank: blank(14, 20),
    is_scanned: false,
};

const HOLDS: Part = Part {
    spec: &holds::SPEC,
    about: "Who signs says so; frames only of an inspection",
    columns: &[
        ask("hold point", Hold::hold, 1.6),
        ask("first frame", Hold::from_frame, 0.8),
        ask("last frame", Hold::to_frame, 0.8),
        ask("who signed", Hold::by, 1.8),
        ask("when", Hold::at, 0.8),
    ],
    names: 1,
    in_head: &[Hold::position],
    rows: |_, _| HoldPoint::WORDS.iter().map(|hold| vec![word(Hold::hold, hold)]).collect(),
    blank: blank(2, 4),
    is_scanned: false,
};

const CONTACT: Part = Part {
    spec: &checks::SPEC,
    about: "Contact of keel and cap at each block",
    columns: &[
        ask("block", LandingCheck::block, 0.9),
        ask("check", LandingCheck::check, 1.0),
        ask("what was found", LandingCheck::recorded, 2.6),
        ask("as planned", LandingCheck::as_planned, 0.9),
        ask("when", LandingCheck::at, 0.8),
    ],
    names: 1,
    in_head: &[LandingCheck::position, LandingCheck::by],
    rows: |known, position| {
        let contact = || word(LandingCheck::check, "diver-contact");
        let blocks = known.blocks(position);
        if blocks.is_empty() {
            return vec![vec![contact()]; 12];
        }
        let row = |block: &&str| vec![word(LandingCheck::block, block), contact()];
        blocks.iter().map(row).collect()
    },
    blank: blank(0, 0),
    is_scanned: false,
};

const KEEL_OVER_BLOCKS: Part = Part {
    spec: &divers::SPEC,
    about: "At two blocks or more, far apart: the keel\u{2019}s centreline from the middle of the cap, + to port, or each \
            of its edges from the cap\u{2019}s, inward; a mark on the keel from the after end of the cap, + forward",
    columns: &[
        ask("occasion", DiversSighting::occasion, 1.5),
        ask("which round", DiversSighting::stated_round, 0.7),
        ask("block", DiversSighting::block, 0.8),
        ask("centreline of the keel, to port", DiversSighting::stated_offset_m, 1.1),
        ask("or port edge, inward", DiversSighting::port_edge_m, 1.1),
        ask("starboard edge, inward", DiversSighting::starboard_edge_m, 1.1),
        ask("frame of the mark", DiversSighting::frame, 0.8),
        ask("or its place, forward of the stern reference point", DiversSighting::stated_x_m, 1.4),
        ask("mark, forward of the cap\u{2019}s after end", DiversSighting::ahead_m, 1.2),
        ask("when", DiversSighting::at, 0.8),
    ],
    names: 3,
    in_head: &[DiversSighting::position, DiversSighting::by],
    rows: |_, _| {
        let row =
            |occasion: divers::Occasion| vec![word(DiversSighting::occasion, occasion.word())];
        let (before, touched, landed) = (
            divers::Occasion::BeforeTouchdown,
            divers::Occasion::FirstTouch,
            divers::Occasion::Landed,
        );
        [before, before, before, before, touched, touched, landed, landed].map(row).to_vec()
    },
    blank: blank(0, 0),
    is_scanned: false,
};

const WATER: Part = Part {
    spec: &water::SPEC,
    about: "Every ten minutes, and at each event; levels above the dock\u{2019}s level datum",
    columns: &[
        ask("when read", WaterLevel::at, 1.0),
        ask("level of the water", WaterLevel::level_m, 1.2),
        ask("event", WaterLevel::event, 1.4),
        ask("note", NOTE, 1.8),
    ],
    names: 1,
    in_head: &[WaterLevel::position, WaterLevel::by],
    rows: no_rows,
    // Seven hours of pumping at ten minutes.
    blank: blank(0, 42),
    is_scanned: false,
};

const GAPS: Part = Part {
    spec: &checks::GAPS_SPEC,
    about: "0 where the hull bears; no depth of water once dry; a row left blank was not measured",
    columns: &[
        ask("block", Gap::block, 1.0),
        ask("gap between cap and hull", Gap::gap_m, 1.3),
        ask("depth of water there", Gap::water_depth_m, 1.2),
        ask("when", Gap::at, 0.9),
        ask("note", NOTE, 1.6),
    ],
    names: 1,
    in_head: &[Gap::position, Gap::by],
    rows: |known, position| {
        let row = |block: &&str| vec![word(Gap::block, block)];
        known.blocks(position).iter().map(row).collect()
    },
    blank: blank(0, 14),
    is_scanned: false,
};

const MOVED: Part = Part {
    spec: &weights::MOVED_SPEC,
    about: "One weight to a row, + put on, \u{2212} taken off; one that was shifted is a row off and a row on",
    columns: &[
        ask("when", Moved::at, 1.1),
        ask("what", Moved::item, 3.0),
        ask("mass, + on, \u{2212} off", Moved::mass_t, 1.1),
        ask("centre, forward of the stern reference point", Moved::x_m, 1.4),
        ask("centre, to port", Moved::y_m, 1.1),
        ask("centre, above the keel", Moved::z_m, 1.1),
    ],
    names: 2,
    in_head: &[Moved::by],
    rows: no_rows,
    blank: blank(0, 6),
    is_scanned: false,
};

const BALLAST: Part = Part {
    about: "As planned, and as it was moved: + taken in, \u{2212} pumped out; the free surface + where one arises",
    columns: &[
        ask("what", Moved::item, 2.2),
        ask("tank", Moved::tank, 1.2),
        ask("planned for", Moved::planned_at, 1.3),
        ask("planned mass", Moved::planned_mass_t, 1.0),
        ask("when moved", Moved::at, 1.0),
        ask("mass moved", Moved::mass_t, 1.0),
        ask("centre, forward of the stern reference point", Moved::x_m, 1.3),
        ask("centre, to port", Moved::y_m, 0.9),
        ask("centre, above the keel", Moved::z_m, 0.9),
        ask("free surface", Moved::free_surface_tm, 1.0),
    ],
    rows: |known, _| ballast(known),
    blank: blank(1, 5),
    ..MOVED
};

/// What is planned to be moved and was not yet, with the mass that is planned, and without the one that is still to be
/// measured.
fn ballast(known: &Known<'_>) -> Vec<Row> {
    let columns = [
        Moved::item,
        Moved::tank,
        Moved::planned_at,
        Moved::planned_mass_t,
        Moved::mass_t,
        Moved::x_m,
        Moved::y_m,
        Moved::z_m,
        Moved::free_surface_tm,
    ];
    let is_ahead = |row: &Entry| row.value(&Moved::at).is_none();
    let mut rows = known.planned_where(&weights::MOVED_SPEC, &columns, is_ahead);
    for row in &mut rows {
        let has_own = row.iter().any(|(column, _)| *column == Moved::planned_mass_t);
        row.retain(|(column, _)| !(has_own && *column == Moved::mass_t));
        for (column, _) in row.iter_mut().filter(|(column, _)| *column == Moved::mass_t) {
            *column = Moved::planned_mass_t;
        }
    }
    rows
}

const TRIM: Part = Part {
    about: "Draft marks before landing, with the drafts that are planned there",
    columns: &[
        MARK,
        ask("position", DraftReading::position, 0.8),
        ask("occasion", DraftReading::occasion, 1.1),
        ask("mark, forward of the stern reference point", DraftReading::mark_x_m, 1.35),
        ask("mark, to port", DraftReading::mark_y_m, 1.0),
        ask("planned draft", DraftReading::planned_draft_m, 1.1),
        ask("draft read", DraftReading::draft_m, 1.1),
        ask("density of the water", DraftReading::water_density_t_m3, 1.4),
        ask("when read", DraftReading::at, 0.9),
    ],
    in_head: &[DraftReading::by],
    rows: |known, _| {
        let columns = [
            DraftReading::position,
            DraftReading::occasion,
            DraftReading::mark_x_m,
            DraftReading::mark_y_m,
            DraftReading::planned_draft_m,
        ];
        let marks = known.planned_where(&drafts::SPEC, &columns, |row| {
            row.value(&DraftReading::planned_draft_m).is_some()
                && row.get(&DraftReading::occasion) == Some(Occasion::BeforeLanding)
        });
        let row = |mark: &Row| {
            let named = says_where(mark, &marks).map(|said| word(MARK.column, &said));
            named.into_iter().chain(mark.iter().cloned()).collect()
        };
        marks.iter().map(row).collect()
    },
    blank: blank(0, 6),
    ..DRAFTS
};

const STOPS: Part = Part {
    spec: &stops::SPEC,
    about: "The pumping stops at each of these levels, above the dock\u{2019}s level datum; when it did goes into the water log",
    columns: &[
        ask("level", Stop::level_m, 0.8),
        ask("what for", Stop::why, 2.4),
        ask("planned for", Stop::planned_at, 1.2),
        untyped("stopped (hh:mm)", 0.9),
        untyped("resumed (hh:mm)", 0.9),
        untyped("by whom", 1.1),
    ],
    names: 2,
    in_head: &[Stop::position],
    rows: |known, position| {
        let columns = [Stop::level_m, Stop::why, Stop::planned_at];
        known.planned_where(&stops::SPEC, &columns, |row| {
            row.get::<String>(&Stop::position).as_deref() == position
        })
    },
    blank: blank(1, 5),
    is_scanned: false,
};

const STOP_GAPS: Part = Part {
    about: "Gaps at the light end and where else they are watched, one row for each reading at each stop",
    rows: no_rows,
    blank: blank(0, 10),
    ..GAPS
};

const CLIMATE: Part = Part {
    spec: &climate::SPEC,
    about: "The zone left blank where a reading serves all",
    columns: &[
        ask("when", Climate::at, 1.4),
        ask("zone", Climate::zone, 1.0),
        ask("air", Climate::air_c, 1.2),
        ask("relative humidity", Climate::humidity_pct, 1.1),
        ask("steel", Climate::steel_c, 1.3),
        ask("dew point as read off", Climate::dew_point_c, 1.2),
        ask("by", Climate::by, 1.3),
    ],
    names: 1,
    in_head: &[],
    rows: no_rows,
    blank: blank(0, 6),
    is_scanned: false,
};

/// The zones of the scheme, in its order.
fn zones_of_scheme(known: &Known<'_>) -> Vec<Value> {
    let mut zones: Vec<Value> = Vec::new();
    for (_, zone) in known.planned(&scheme::SPEC, &[SchemeCoat::zone]).into_iter().flatten() {
        if !zones.contains(&zone) {
            zones.push(zone);
        }
    }
    zones
}

const PREPARATION: Part = Part {
    spec: &preparation::SPEC,
    about: "One reading to a row",
    columns: &[
        ask("zone", Preparation::zone, 0.65),
        ask("which part", Preparation::written_extent, 0.9),
        ask("treatment", Preparation::treatment, 0.9),
        ask("grade", Preparation::grade, 0.8),
        ask("profile", Preparation::profile_m, 0.8),
        ask("salts, all", Preparation::salts_mg_m2, 0.85),
        ask("or chloride", Preparation::chloride_mg_m2, 1.1),
        ask("or conductivity", Preparation::conductivity_us_cm, 1.3),
        ask("dust, 0 to 5", Preparation::dust, 0.6),
        ask("how measured", Preparation::method, 1.1),
        ask("forward of the stern reference point", Preparation::x, 1.1),
        ask("to port", Preparation::y, 0.7),
        ask("when", Preparation::at, 0.8),
    ],
    names: 2,
    in_head: &[Preparation::by],
    rows: |known, _| {
        zones_of_scheme(known).into_iter().map(|zone| vec![(Preparation::zone, zone)]).collect()
    },
    blank: blank(3, 6),
    is_scanned: false,
};

const COATS: Part = Part {
    spec: &coats::SPEC,
    about: "One application to a row; a coat on patches has a row of its own",
    columns: &[
        ask("zone", Application::zone, 0.7),
        ask("which part", Application::written_extent, 0.9),
        ask("coat no.", Application::coat, 0.6),
        ask("product", Application::product, 0.9),
        ask("batch", Application::batch, 1.1),
        ask("mixed", Application::mixed, 1.1),
        ask("used up", Application::used_up, 1.1),
        ask("begun", Application::began, 1.1),
        ask("finished", Application::ended, 1.1),
        ask("paint used", Application::used_l, 0.75),
        ask("mean wet film", Application::wet_film_m, 1.05),
        ask("thinner", Application::thinner, 0.8),
        ask("thinner added, of the paint", Application::thinner_pct, 1.45),
        ask("by", Application::by, 1.0),
    ],
    names: 3,
    in_head: &[],
    rows: |known, _| {
        let columns = [SchemeCoat::zone, SchemeCoat::coat, SchemeCoat::product];
        let on_paper = [Application::zone, Application::coat, Application::product];
        let row = |planned: Row| -> Row {
            let named = |(column, value): (Column, Value)| {
                let at = columns.iter().position(|known| *known == column)?;
                Some((on_paper[at], value))
            };
            planned.into_iter().filter_map(named).collect()
        };
        known.planned(&scheme::SPEC, &columns).into_iter().map(row).collect()
    },
    blank: blank(3, 6),
    is_scanned: false,
};

const STRIPES: Part = Part {
    spec: &stripes::SPEC,
    about: "Stripe coats, which are no coats of a zone",
    columns: &[
        ask("zone", Stripe::zone, 0.8),
        ask("before which coat", Stripe::before_coat, 0.9),
        ask("edges, welds, corners: which", Stripe::on, 2.4),
        ask("product", Stripe::product, 1.0),
        ask("batch", Stripe::batch, 1.2),
        ask("begun", Stripe::began, 1.2),
        ask("finished", Stripe::ended, 1.2),
        ask("by whom", Stripe::by, 1.2),
    ],
    names: 2,
    in_head: &[],
    rows: no_rows,
    blank: blank(0, 4),
    is_scanned: false,
};

const TESTS: Part = Part {
    spec: &tested::SPEC,
    about: "Tests of the coating: pores, adhesion, cure, and tie-ins while wet",
    columns: &[
        ask("zone", CoatingTest::zone, 0.8),
        ask("after coat no.", CoatingTest::after_coat, 0.7),
        ask("spot", CoatingTest::spot, 0.7),
        ask("test", CoatingTest::kind, 1.1),
        ask("by which standard", CoatingTest::method, 1.3),
        ask("instrument", CoatingTest::instrument, 1.0),
        ask("voltage", CoatingTest::voltage_v, 0.8),
        ask("holidays found", CoatingTest::found, 0.8),
        ask("pulled off at", CoatingTest::pull_off_kpa, 1.0),
        ask("cross cut, 0 to 5", CoatingTest::cross_cut, 0.8),
        ask("solvent rub, 0 to 5", CoatingTest::rub, 0.8),
        ask("accepted", CoatingTest::accepted, 0.9),
        ask("when", CoatingTest::at, 1.2),
        ask("tested by", CoatingTest::by, 1.2),
    ],
    names: 4,
    in_head: &[],
    rows: no_rows,
    blank: blank(0, 3),
    is_scanned: false,
};

const AREAS: Part = Part {
    spec: &zones::AREAS_SPEC,
    about: "An area that the logs name, by its corners in their order",
    columns: &[
        ask("area", AreaRow::area, 1.2),
        ask("number of the corner", AreaRow::order, 1.0),
        ask("forward of the stern reference point", AreaRow::x, 1.4),
        ask("to port", AreaRow::y, 1.2),
    ],
    names: 2,
    in_head: &[],
    rows: no_rows,
    blank: blank(0, 8),
    is_scanned: false,
};

const GAUGES: Part = Part {
    spec: &film::GAUGES_SPEC,
    about: "The film gauge on its references",
    columns: &[
        ask("gauge", GaugeCheck::gauge, 1.0),
        ask("reference", GaugeCheck::reference_m, 1.0),
        ask("reading", GaugeCheck::reading_m, 1.0),
        ask("set off for the profile", GaugeCheck::profile_correction_m, 1.5),
        ask("when", GaugeCheck::at, 1.0),
    ],
    names: 1,
    in_head: &[GaugeCheck::by],
    rows: no_rows,
    blank: blank(0, 10),
    is_scanned: false,
};

const FILM: Part = Part {
    spec: &film::SPEC,
    about: "One spot to a line here; each of its readings is a row of the file",
    columns: &[
        ask("zone", FilmReading::zone, 0.9),
        ask("after coat no.", FilmReading::after_coat, 0.8),
        ask("area", FilmReading::area, 0.9),
        ask("spot", FilmReading::spot, 1.0),
        ask("1st reading", FilmReading::reading_m, 0.9),
        ask("2nd reading", FilmReading::reading_m, 0.9),
        ask("3rd reading", FilmReading::reading_m, 0.9),
        ask("forward of the stern reference point", FilmReading::x, 1.2),
        ask("to port", FilmReading::y, 0.9),
        ask("gauge", FilmReading::gauge, 0.8),
        ask("when", FilmReading::at, 0.9),
    ],
    names: 4,
    in_head: &[FilmReading::by],
    rows: |known, _| {
        let row = |zone: Value| vec![vec![(FilmReading::zone, zone)]; SPOTS];
        zones_of_scheme(known).into_iter().flat_map(row).collect()
    },
    blank: blank(0, SPOTS),
    is_scanned: false,
};

/// Spots of a zone for which there are lines: those of one area by SSPC-PA 2. More take another print of the sheet.
const SPOTS: usize = 5;

const PLATING: Part = Part {
    spec: &plating::SPEC,
    about: "One place to a row",
    columns: &[
        ask("strake", Gauging::strake, 0.9),
        ask("plate", Gauging::plate, 0.8),
        ask("forward of the stern reference point", Gauging::x, 1.3),
        ask("to port", Gauging::y, 0.9),
        ask("original thickness", Gauging::original_m, 1.1),
        ask("thickness found", Gauging::measured_m, 1.2),
        ask("deepest pit", Gauging::pit_depth_m, 0.9),
        ask("pitted part", Gauging::pitted_pct, 0.8),
        ask("when", Gauging::at, 0.8),
    ],
    names: 2,
    in_head: &[Gauging::instrument, Gauging::through_coating, Gauging::by],
    rows: |known, _| {
        let columns =
            [Gauging::strake, Gauging::plate, Gauging::x, Gauging::y, Gauging::original_m];
        known.latest(&plating::SPEC, &columns)
    },
    blank: blank(2, 12),
    is_scanned: false,
};

const INSTRUMENTS: Part = Part {
    spec: &plating::INSTRUMENTS_SPEC,
    about: "The instrument on its references",
    columns: &[
        ask("instrument", InstrumentCheck::instrument, 1.0),
        ask("reference", InstrumentCheck::reference_m, 1.0),
        ask("reading", InstrumentCheck::reading_m, 1.0),
        ask("when", InstrumentCheck::at, 1.2),
    ],
    names: 1,
    in_head: &[InstrumentCheck::by],
    rows: no_rows,
    blank: blank(0, 6),
    is_scanned: false,
};

const REPAIRS: Part = Part {
    spec: &repairs::SPEC,
    about: "Doublers, renewed plates and welds, with the steel that the heat reached",
    columns: &[
        ask("repair", Repair::id, 0.8),
        ask("what it is", Repair::kind, 1.0),
        ask("of which plate", Repair::about, 1.3),
        ask("zone", Repair::zone, 0.8),
        ask("forward of the stern reference point", Repair::x, 1.2),
        ask("to port", Repair::y, 0.9),
        ask("fore and aft", Repair::length, 0.9),
        ask("athwart", Repair::width, 0.9),
        ask("begun", Repair::began, 1.2),
        ask("finished", Repair::ended, 1.2),
        ask("coating made good", Repair::touched_up, 1.2),
        ask("by", Repair::by, 1.2),
    ],
    names: 2,
    in_head: &[],
    rows: no_rows,
    blank: blank(0, 6),
    is_scanned: false,
};

const ANODES: Part = Part {
    spec: &plating::ANODES_SPEC,
    about: "One anode to a row",
    columns: &[
        ask("anode", Anode::id, 0.9),
        ask("forward of the stern reference point", Anode::x, 1.3),
        ask("to port", Anode::y, 0.9),
        ask("mass as fitted", Anode::mass_fitted_t, 1.1),
        ask("mass found", Anode::mass_found_t, 1.1),
        ask("renewed", Anode::renewed, 0.9),
        ask("when", Anode::at, 0.8),
    ],
    names: 1,
    in_head: &[Anode::by],
    rows: |known, _| known.latest(&plating::ANODES_SPEC, &[Anode::id, Anode::x, Anode::y]),
    blank: blank(2, 12),
    is_scanned: false,
};

const PHOTOGRAPHS: Part = Part {
    spec: &papers::SPEC,
    about: "One photograph to a row: the names (K12, SC1, P1) of what it shows, and from which side of that",
    columns: &[
        ask("file, or number in the camera", Paper::file, 1.6),
        ask("when taken", Paper::taken_at, 1.0),
        ask("of what", Paper::about, 1.4),
        ask("seen from", Paper::seen_from, 1.2),
        ask("what is to be seen", Paper::caption, 3.2),
        ask("for the report", Paper::in_report, 0.9),
    ],
    names: 1,
    in_head: &[Paper::by],
    rows: no_rows,
    blank: blank(0, 6),
    is_scanned: false,
};

const OPENINGS: Part = Part {
    spec: &openings::SPEC,
    about: "Each opening, as it is opened the first time and closed after it",
    columns: &[
        ask("opening", Opening::id, 0.9),
        ask("kind", Opening::kind, 1.0),
        ask("side", Opening::side, 0.8),
        ask("valve", Opening::valve_tag, 0.9),
        ask("opened", Opening::opened_at, 1.1),
        ask("opened by", Opening::opened_by, 1.2),
        ask("closed", Opening::closed_at, 1.1),
        ask("closed by", Opening::closed_by, 1.2),
        ask("tested how, with what result", Opening::tested_how, 1.7),
        ask("state in which it was left", Opening::state, 1.4),
    ],
    names: 1,
    in_head: &[],
    rows: |known, position| {
        let columns = [Opening::id, Opening::kind, Opening::side, Opening::valve_tag];
        // What was opened before is opened again from the second position on, and has a sheet of its own.
        known.planned_where(&openings::SPEC, &columns, |row| {
            let opened = row.get::<DateTime<FixedOffset>>(&Opening::opened_at);
            known.is_first(position)
                || opened.is_none_or(|at| known.began(position).is_some_and(|began| at >= began))
        })
    },
    blank: blank(2, 8),
    is_scanned: false,
};

const OPENED: Part = Part {
    spec: &openings::OPENED_SPEC,
    about: "An opening that is opened again later: one row each time",
    columns: &[
        ask("opening", Opened::opening, 0.9),
        ask("opened", Opened::opened_at, 1.1),
        ask("opened by", Opened::opened_by, 1.4),
        ask("closed", Opened::closed_at, 1.1),
        ask("closed by", Opened::closed_by, 1.4),
        ask("tested how, with what result", Opened::tested_how, 2.4),
    ],
    names: 1,
    in_head: &[],
    rows: no_rows,
    blank: blank(0, 6),
    is_scanned: false,
};
