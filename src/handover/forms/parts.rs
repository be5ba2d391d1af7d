//! Which sheets there are, and which columns of which files each asks for.

use super::known::{Known, Row};
use crate::records::checks::{self, Gap, LandingCheck};
use crate::records::climate::{self, Climate};
use crate::records::coats::{self, Application};
use crate::records::drafts::{self, DraftReading};
use crate::records::film::{self, FilmReading, GaugeCheck};
use crate::records::openings::{self, Opening};
use crate::records::positions::{self, Position, Sighting};
use crate::records::preparation::{self, Preparation};
use crate::records::spec::{Column, FileSpec, Holds};
use crate::records::value::Value;

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
    pub parts: &'static [Part],
}

/// A table for some of the columns of a file.
pub(super) struct Part {
    pub spec: &'static FileSpec,
    /// What it is for.
    pub about: &'static str,
    /// Columns with their shares of the width. A column listed several times is a row of the file each time.
    pub columns: &'static [(Column, f64)],
    /// How many of the first columns name a row: someone who listens is told them before each of its cells.
    pub names: usize,
    /// Columns whose value for all rows is written in the head of the sheet.
    pub in_head: &'static [Column],
    /// Rows that are printed in, for a position.
    pub rows: fn(&Known<'_>, Option<&str>) -> Vec<Row>,
    /// Blank rows below them.
    pub blank: usize,
}

/// All of them.
pub(super) const FORMS: &[Form] = &[
    Form {
        file: "landing.pdf",
        title: "Landing",
        about: "Times, drafts, sighted marks and landing checks of one position, to be filled in by hand.",
        each_position: true,
        groups: &[
            Group {
                title: "Landing: times, drafts, marks",
                across: false,
                parts: &[TIMES, DRAFTS, MARKS],
            },
            Group { title: "Landing checks", across: true, parts: &[CHECKS] },
        ],
    },
    Form {
        file: "gaps.pdf",
        title: "Gap survey",
        about: "Gaps between caps and hull in one position, to be filled in by hand.",
        each_position: true,
        groups: &[Group { title: "Gap survey", across: false, parts: &[GAPS] }],
    },
    Form {
        file: "climate-and-coating.pdf",
        title: "Climate and coating",
        about: "Air and steel, preparation, coats and film thickness, to be filled in by hand.",
        each_position: false,
        groups: &[
            Group { title: "Climate", across: true, parts: &[CLIMATE] },
            Group { title: "Preparation of the steel", across: true, parts: &[PREPARATION] },
            Group { title: "Coats", across: true, parts: &[COATS] },
            Group { title: "Film thickness", across: true, parts: &[GAUGES, FILM] },
        ],
    },
    Form {
        file: "openings.pdf",
        title: "Openings closed out",
        about: "Openings opened, closed and tested in one position, to be filled in by hand.",
        each_position: true,
        groups: &[Group { title: "Openings closed out", across: true, parts: &[OPENINGS] }],
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

const TIMES: Part = Part {
    spec: &positions::SPEC,
    about: "Times of this position",
    columns: &[
        (Position::id, 0.8),
        (Position::flooding_began, 1.0),
        (Position::touched, 1.0),
        (Position::landed, 1.0),
        (Position::dry, 1.0),
        (Position::reflood_began, 1.0),
        (Position::afloat, 1.0),
    ],
    names: 1,
    in_head: &[],
    rows: |_, position| vec![position.map(|name| word(Position::id, name)).into_iter().collect()],
    blank: 0,
};

const DRAFTS: Part = Part {
    spec: &drafts::SPEC,
    about: "Draft marks before landing",
    columns: &[
        (DraftReading::occasion, 1.2),
        (DraftReading::mark_x_m, 0.9),
        (DraftReading::mark_y_m, 0.9),
        (DraftReading::draft_m, 1.1),
        (DraftReading::water_density_t_m3, 1.5),
        (DraftReading::at, 1.1),
    ],
    names: 3,
    in_head: &[DraftReading::position, DraftReading::by],
    rows: |known, _| {
        let columns = [DraftReading::mark_x_m, DraftReading::mark_y_m];
        let mut marks = known.latest(&drafts::SPEC, &columns);
        if marks.is_empty() {
            marks = vec![Row::new(); 6];
        }
        let with_occasion = |mark: Row| {
            let occasion = word(DraftReading::occasion, "before-landing");
            std::iter::once(occasion).chain(mark).collect()
        };
        marks.into_iter().map(with_occasion).collect()
    },
    blank: 0,
};

const MARKS: Part = Part {
    spec: &positions::MARKS_SPEC,
    about: "Marks on the hull, sighted from the dock",
    columns: &[
        (Sighting::mark, 1.0),
        (Sighting::hull_x, 0.8),
        (Sighting::hull_y, 0.8),
        (Sighting::dock_station_m, 1.2),
        (Sighting::dock_offset_m, 1.2),
        (Sighting::at, 1.0),
    ],
    names: 1,
    in_head: &[Sighting::position, Sighting::read_by],
    rows: |known, _| {
        known.latest(&positions::MARKS_SPEC, &[Sighting::mark, Sighting::hull_x, Sighting::hull_y])
    },
    blank: 2,
};

const CHECKS: Part = Part {
    spec: &checks::SPEC,
    about: "One check to a row",
    columns: &[
        (LandingCheck::check, 1.3),
        (LandingCheck::block, 0.9),
        (LandingCheck::planned, 1.8),
        (LandingCheck::recorded, 2.2),
        (LandingCheck::planned_m, 1.2),
        (LandingCheck::recorded_m, 1.2),
        (LandingCheck::as_planned, 0.9),
        (LandingCheck::at, 0.9),
    ],
    names: 2,
    in_head: &[LandingCheck::position, LandingCheck::by],
    rows: |known, position| {
        let kinds = ["centreline", "centreline", "wedge", "declivity", "end-gap", "second-survey"];
        let kinds = kinds.map(|kind| vec![word(LandingCheck::check, kind)]);
        let blocks = known.blocks(position);
        let contact = || word(LandingCheck::check, "diver-contact");
        let unnamed = if blocks.is_empty() { 12 } else { 0 };
        let named = blocks.iter().map(|block| vec![contact(), word(LandingCheck::block, block)]);
        let unnamed = (0..unnamed).map(|_| vec![contact()]);
        kinds.into_iter().chain(named).chain(unnamed).collect()
    },
    blank: 2,
};

const GAPS: Part = Part {
    spec: &checks::GAPS_SPEC,
    about: "0 where the hull bears; water_depth empty when dry; a row left blank was not measured",
    columns: &[
        (Gap::block, 1.0),
        (Gap::gap_m, 1.2),
        (Gap::water_depth_m, 1.2),
        (Gap::at, 1.1),
        (NOTE, 1.6),
    ],
    names: 1,
    in_head: &[Gap::position, Gap::by],
    rows: |known, position| {
        let row = |block: &&str| vec![word(Gap::block, block)];
        known.blocks(position).iter().map(row).collect()
    },
    blank: 2,
};

const CLIMATE: Part = Part {
    spec: &climate::SPEC,
    about: "zone empty where a reading serves all",
    columns: &[
        (Climate::at, 1.5),
        (Climate::zone, 1.0),
        (Climate::air_c, 1.2),
        (Climate::humidity_pct, 1.0),
        (Climate::steel_c, 1.3),
        (Climate::dew_point_c, 1.1),
        (Climate::by, 1.3),
    ],
    names: 1,
    in_head: &[],
    rows: no_rows,
    blank: 6,
};

const PREPARATION: Part = Part {
    spec: &preparation::SPEC,
    about: "One reading to a row",
    columns: &[
        (Preparation::zone, 0.9),
        (Preparation::written_extent, 1.0),
        (Preparation::treatment, 1.1),
        (Preparation::grade, 0.9),
        (Preparation::profile_m, 1.0),
        (Preparation::salts_mg_m2, 1.1),
        (Preparation::dust, 0.7),
        (Preparation::method, 1.4),
        (Preparation::x, 0.8),
        (Preparation::y, 0.8),
        (Preparation::at, 1.3),
    ],
    names: 2,
    in_head: &[Preparation::by],
    rows: no_rows,
    blank: 6,
};

const COATS: Part = Part {
    spec: &coats::SPEC,
    about: "One application to a row",
    columns: &[
        (Application::zone, 0.9),
        (Application::written_extent, 1.0),
        (Application::coat, 0.6),
        (Application::product, 1.0),
        (Application::batch, 1.3),
        (Application::began, 1.3),
        (Application::ended, 1.3),
        (Application::used_l, 0.8),
        (Application::wet_film_m, 1.0),
        (Application::by, 1.2),
    ],
    names: 3,
    in_head: &[],
    rows: no_rows,
    blank: 6,
};

const GAUGES: Part = Part {
    spec: &film::GAUGES_SPEC,
    about: "The gauge on its references, before work",
    columns: &[
        (GaugeCheck::gauge, 1.0),
        (GaugeCheck::reference_m, 1.0),
        (GaugeCheck::reading_m, 1.0),
        (GaugeCheck::profile_correction_m, 1.3),
        (GaugeCheck::at, 1.2),
    ],
    names: 1,
    in_head: &[GaugeCheck::by],
    rows: no_rows,
    blank: 2,
};

const FILM: Part = Part {
    spec: &film::SPEC,
    about: "One spot to a line here; each of its readings is a row of the file",
    columns: &[
        (FilmReading::zone, 0.9),
        (FilmReading::after_coat, 0.8),
        (FilmReading::area, 0.9),
        (FilmReading::spot, 1.1),
        (FilmReading::reading_m, 0.9),
        (FilmReading::reading_m, 0.9),
        (FilmReading::reading_m, 0.9),
        (FilmReading::x, 0.8),
        (FilmReading::y, 0.8),
        (FilmReading::gauge, 0.9),
        (FilmReading::at, 1.2),
    ],
    names: 4,
    in_head: &[FilmReading::by],
    rows: no_rows,
    blank: 4,
};

const OPENINGS: Part = Part {
    spec: &openings::SPEC,
    about: "An opening that is opened again later: plan/opened.csv, one row each time",
    columns: &[
        (Opening::id, 0.9),
        (Opening::kind, 1.0),
        (Opening::side, 0.8),
        (Opening::valve_tag, 0.9),
        (Opening::opened_at, 1.2),
        (Opening::opened_by, 1.2),
        (Opening::closed_at, 1.2),
        (Opening::closed_by, 1.2),
        (Opening::tested_how, 1.7),
        (Opening::state, 1.4),
    ],
    names: 1,
    in_head: &[],
    rows: |known, _| {
        let columns = [Opening::id, Opening::kind, Opening::side, Opening::valve_tag];
        known.planned(&openings::SPEC, &columns)
    },
    blank: 2,
};
