//! `landing/hydrostatics.csv`, with `[hydrostatics]` and `[stability]` of `docking.toml`.

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Range, Stands, TableSpec};
use crate::units::Quantity;

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
const POSITIVE: Holds = Holds::Measure(Quantity::Length, Range::Positive);
const DENSITY: Holds = Holds::Measure(Quantity::Density, Range::Positive);

/// What `landing/hydrostatics.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "landing/hydrostatics.csv",
    row_is: "a draft of the hydrostatic table",
    example: include_str!("../../templates/example/landing/hydrostatics.csv"),
    columns: &[
        Column::always("draft", POSITIVE, "draft above the underside of the keel"),
        Column::always(
            "displacement",
            Holds::Measure(Quantity::Mass, Range::Positive),
            "displacement at that draft",
        ),
        Column::always(
            "lcb",
            PLACE,
            "longitudinal centre of buoyancy, from the table's datum, + forward",
        ),
        Column::always(
            "lcf",
            PLACE,
            "longitudinal centre of flotation, from the table's datum, + forward",
        ),
        Column::always(
            "tpc",
            Holds::Measure(Quantity::Immersion, Range::Positive),
            "mass that sinks her by a unit of draft",
        ),
        Column::always(
            "mct",
            Holds::Measure(Quantity::TrimMoment, Range::Positive),
            "moment that trims her by a unit",
        ),
        Column::always("km", POSITIVE, "transverse metacentre above the underside of the keel"),
    ],
};

/// `[hydrostatics]`.
pub(super) const TABLE: TableSpec = TableSpec {
    name: "hydrostatics",
    meaning: "what the hydrostatic table holds for",
    stands: Stands::Once,
    keys: &[
        Column::always("lcb_lcf_from_x", PLACE, "x of the datum from which LCB and LCF count"),
        Column::always("water_density", DENSITY, "density of the table's water"),
        Column::optional(
            "trim",
            PLACE,
            "trim for which the table holds, + by the stern; 0 if empty",
        ),
        Column::optional("source", Holds::Text, "the book that the table is from"),
    ],
};

/// `[stability]`.
pub(super) const STABILITY: TableSpec = TableSpec {
    name: "stability",
    meaning: "stability as docked: KG or GM",
    stands: Stands::Once,
    keys: &[
        Column::optional(
            "kg",
            POSITIVE,
            "KG above the underside of the keel, free surface counted in",
        ),
        Column::optional("gm", PLACE, "GM afloat as docked, free surface counted in"),
        Column::optional("free_surface", Holds::Text, "how free surface was counted, in words"),
        Column::optional("source", Holds::Text, "where the figure comes from"),
    ],
};

/// One row of the table as recorded; LCB and LCF count from the table's datum.
#[derive(Debug, Clone)]
pub struct HydrostaticRow {
    /// Draft, m.
    pub draft_m: f64,
    /// Displacement, t.
    pub displacement_t: f64,
    /// LCB, m from the datum, + forward.
    pub lcb_m: f64,
    /// LCF, m from the datum, + forward.
    pub lcf_m: f64,
    /// TPC, t/cm.
    pub tpc_t_per_cm: f64,
    /// MCT, t m/cm.
    pub mct_tm_per_cm: f64,
    /// KM, m.
    pub km_m: f64,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// What the table holds for.
#[derive(Debug, Clone)]
pub struct HydrostaticsDatum {
    /// x of the datum of LCB and LCF, m.
    pub lcb_lcf_from_x_m: f64,
    /// Density of the table's water, t/m3.
    pub water_density_t_m3: f64,
    /// The table's trim, m, + by the stern.
    pub trim_m: f64,
    /// Where it stands.
    pub place: Place,
}

/// KG or GM as recorded.
#[derive(Debug, Clone)]
pub struct Stability {
    /// KG with free surface, m.
    pub kg_m: Option<f64>,
    /// GM afloat with free surface, m.
    pub gm_m: Option<f64>,
    /// Where it stands.
    pub place: Place,
}

impl HydrostaticRow {
    /// The rows in the order of the file. Draft and displacement must grow from each to the next, and
    /// there must be two at the least.
    pub(super) fn read_all<'a>(
        rows: impl Iterator<Item = &'a Entry>,
        problems: &mut Problems,
    ) -> Vec<Self> {
        let rows: Vec<Self> = rows.filter_map(Self::read).collect();
        let mut wrong = |place: &Place, what: &str| {
            problems.add(
                Problem::new(place.clone(), what)
                    .expected(
                        "two rows or more in the order of the draft, displacement growing from each \
                         to the next",
                    )
                    .advice("correct the row, or put the rows in order"),
            );
        };
        if let [alone] = rows.as_slice() {
            wrong(&alone.place, "this row is the only one of the table");
        }
        for pair in rows.windows(2) {
            if pair[1].draft_m <= pair[0].draft_m {
                wrong(&pair[1].place, "this row has no greater draft than the row before");
            } else if pair[1].displacement_t <= pair[0].displacement_t {
                wrong(&pair[1].place, "this row has no greater displacement than the row before");
            }
        }
        rows
    }

    fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            draft_m: entry.number("draft")?,
            displacement_t: entry.number("displacement")?,
            lcb_m: entry.number("lcb")?,
            lcf_m: entry.number("lcf")?,
            tpc_t_per_cm: entry.number("tpc")?,
            mct_tm_per_cm: entry.number("mct")?,
            km_m: entry.number("km")?,
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

impl HydrostaticsDatum {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            lcb_lcf_from_x_m: entry.number("lcb_lcf_from_x")?,
            water_density_t_m3: entry.number("water_density")?,
            trim_m: entry.number("trim").unwrap_or(0.0),
            place: entry.place.clone(),
        })
    }
}

impl Stability {
    pub(super) fn read(entry: &Entry) -> Self {
        Self { kg_m: entry.number("kg"), gm_m: entry.number("gm"), place: entry.place.clone() }
    }
}
