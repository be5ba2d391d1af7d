//! Which sheets there are, and which columns of which files each asks for.

use super::known::{Cell, Known, Row};
use crate::records::spec::FileSpec;
use crate::records::{checks, climate, coats, drafts, film, openings, positions, preparation};

/// One PDF.
pub(super) struct Form {
    pub file: &'static str,
    pub title: &'static str,
    pub about: &'static str,
    /// Whether each position has sheets of its own; else the position is left to be written in.
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
    /// Columns with their shares of the width. One that stands several times gives a row of the file each time.
    pub columns: &'static [(&'static str, f64)],
    /// Columns that the head of the sheet speaks for.
    pub in_head: &'static [&'static str],
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

fn none(_: &Known<'_>, _: Option<&str>) -> Vec<Row> {
    Vec::new()
}

fn word(column: &'static str, word: &str) -> (&'static str, Cell) {
    (column, Cell::Text(word.to_string()))
}

const TIMES: Part = Part {
    spec: &positions::SPEC,
    about: "Times of this position",
    columns: &[
        ("flooding_began", 1.0),
        ("touched", 1.0),
        ("landed", 1.0),
        ("dry", 1.0),
        ("reflood_began", 1.0),
        ("afloat", 1.0),
    ],
    in_head: &["position"],
    rows: none,
    blank: 1,
};

const DRAFTS: Part = Part {
    spec: &drafts::SPEC,
    about: "Draft marks before landing",
    columns: &[
        ("occasion", 1.2),
        ("mark_x", 0.9),
        ("mark_y", 0.9),
        ("draft", 1.1),
        ("water_density", 1.5),
        ("at", 1.1),
    ],
    in_head: &["position", "by"],
    rows: |known, _| {
        let mut marks = known.draft_marks();
        if marks.is_empty() {
            marks = vec![Row::new(); 6];
        }
        let with_occasion = |mark: Row| {
            let occasion = word("occasion", "before-landing");
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
        ("mark", 1.0),
        ("hull_x", 0.8),
        ("hull_y", 0.8),
        ("dock_station", 1.2),
        ("dock_offset", 1.2),
        ("at", 1.0),
    ],
    in_head: &["position", "read_by"],
    rows: |known, _| known.hull_marks(),
    blank: 2,
};

const CHECKS: Part = Part {
    spec: &checks::SPEC,
    about: "One check to a row",
    columns: &[
        ("check", 1.3),
        ("block", 0.9),
        ("planned", 1.8),
        ("recorded", 2.2),
        ("planned_value", 1.2),
        ("recorded_value", 1.2),
        ("as_planned", 0.9),
        ("at", 0.9),
    ],
    in_head: &["position", "by"],
    rows: |known, position| {
        let kinds = ["centreline", "centreline", "wedge", "declivity", "end-gap", "second-survey"];
        let kinds = kinds.map(|kind| vec![word("check", kind)]);
        let blocks = known.blocks(position);
        let contact = || word("check", "diver-contact");
        let unnamed = if blocks.is_empty() { 12 } else { 0 };
        let named = blocks.iter().map(|block| vec![contact(), word("block", block)]);
        let unnamed = (0..unnamed).map(|_| vec![contact()]);
        kinds.into_iter().chain(named).chain(unnamed).collect()
    },
    blank: 2,
};

const GAPS: Part = Part {
    spec: &checks::GAPS_SPEC,
    about: "0 where the hull bears; water_depth empty when dry; a row left blank was not measured",
    columns: &[("block", 1.0), ("gap", 1.2), ("water_depth", 1.2), ("at", 1.1), ("note", 1.6)],
    in_head: &["position", "by"],
    rows: |known, position| {
        let row = |block: &&str| vec![word("block", block)];
        known.blocks(position).iter().map(row).collect()
    },
    blank: 2,
};

const CLIMATE: Part = Part {
    spec: &climate::SPEC,
    about: "zone empty where a reading serves all",
    columns: &[
        ("at", 1.5),
        ("zone", 1.0),
        ("air_temperature", 1.2),
        ("humidity", 1.0),
        ("steel_temperature", 1.3),
        ("dew_point", 1.1),
        ("by", 1.3),
    ],
    in_head: &[],
    rows: none,
    blank: 6,
};

const PREPARATION: Part = Part {
    spec: &preparation::SPEC,
    about: "One reading to a row",
    columns: &[
        ("zone", 0.9),
        ("extent", 1.0),
        ("treatment", 1.1),
        ("grade", 0.9),
        ("profile", 1.0),
        ("salts", 1.1),
        ("dust", 0.7),
        ("method", 1.4),
        ("x", 0.8),
        ("y", 0.8),
        ("at", 1.3),
    ],
    in_head: &["by"],
    rows: none,
    blank: 6,
};

const COATS: Part = Part {
    spec: &coats::SPEC,
    about: "One application to a row",
    columns: &[
        ("zone", 0.9),
        ("extent", 1.0),
        ("coat", 0.6),
        ("product", 1.0),
        ("batch", 1.3),
        ("began", 1.3),
        ("ended", 1.3),
        ("used", 0.8),
        ("wet_film", 1.0),
        ("by", 1.2),
    ],
    in_head: &[],
    rows: none,
    blank: 6,
};

const GAUGES: Part = Part {
    spec: &film::GAUGES_SPEC,
    about: "The gauge on its references, before work",
    columns: &[
        ("gauge", 1.0),
        ("reference", 1.0),
        ("reading", 1.0),
        ("profile_correction", 1.3),
        ("at", 1.2),
    ],
    in_head: &["by"],
    rows: none,
    blank: 2,
};

const FILM: Part = Part {
    spec: &film::SPEC,
    about: "One spot to a line here; each of its readings is a row of the file",
    columns: &[
        ("zone", 0.9),
        ("after_coat", 0.8),
        ("area", 0.9),
        ("spot", 1.1),
        ("reading", 0.9),
        ("reading", 0.9),
        ("reading", 0.9),
        ("x", 0.8),
        ("y", 0.8),
        ("gauge", 0.9),
        ("at", 1.2),
    ],
    in_head: &["by"],
    rows: none,
    blank: 4,
};

const OPENINGS: Part = Part {
    spec: &openings::SPEC,
    about: "An opening that is opened again later: plan/opened.csv, one row each time",
    columns: &[
        ("opening", 0.9),
        ("kind", 1.0),
        ("side", 0.8),
        ("valve_tag", 0.9),
        ("opened_at", 1.2),
        ("opened_by", 1.2),
        ("closed_at", 1.2),
        ("closed_by", 1.2),
        ("tested_how", 1.7),
        ("state", 1.4),
    ],
    in_head: &[],
    rows: |known, _| known.openings(),
    blank: 2,
};
