//! `landing/hydrostatics.csv`, with `[hydrostatics]` and `[stability]` of `docking.toml`.

use super::entry::Entry;
use super::input::Input;
use super::place::Place;
use super::problem::Problem;
use super::record::record;
use super::spec::{FileSpec, PLACE, Range, SIZE};
use crate::units::Quantity;

record! {
    /// One row of the table as recorded; LCB and LCF count from the table's datum.
    #[derive(Debug, Clone)]
    pub struct HydrostaticRow: SPEC =
        "a draft of the hydrostatic table" in "landing/hydrostatics.csv"
    {
        draft_m: f64 = always("draft", SIZE, "draft above the underside of the keel"),
        displacement_t: f64 = always(
            "displacement",
            Measure(Quantity::Mass, Range::Positive),
            "displacement at that draft",
        ),
        lcb_m: f64 = always(
            "lcb",
            PLACE,
            "longitudinal centre of buoyancy, from the table's datum, + forward",
        ),
        lcf_m: f64 = always(
            "lcf",
            PLACE,
            "longitudinal centre of flotation, from the table's datum, + forward",
        ),
        tpc_t_per_cm: f64 = always(
            "tpc",
            Measure(Quantity::Immersion, Range::Positive),
            "mass that increases her draft by one unit",
        ),
        mct_tm_per_cm: f64 = always(
            "mct",
            Measure(Quantity::TrimMoment, Range::Positive),
            "moment that changes her trim by one unit",
        ),
        km_m: f64 = always("km", SIZE, "transverse metacentre above the underside of the keel"),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct HydrostaticsDatum: TABLE = [hydrostatics] "the conditions for which the hydrostatic table holds" {
        lcb_lcf_from_x_m: f64 = always(
            "lcb_lcf_from_x",
            PLACE,
            "x of the datum from which LCB and LCF are measured",
        ),
        water_density_t_m3: f64 = always(
            "water_density",
            Measure(Quantity::Density, Range::Positive),
            "water density for which the table holds",
        ),
        trim = optional("trim", PLACE, "trim for which the table holds, + by the stern; 0 if empty"),
        source: Option<String> = optional("source", Text, "the book from which the table was taken"),
    }
    with {
        /// Trim for which the table holds, m, + by the stern.
        trim_m: f64,
    }
}

record! {
    /// KG or GM as recorded.
    #[derive(Debug, Clone)]
    pub struct Stability: STABILITY = [stability] "stability as docked: KG or GM" {
        kg_m: Option<f64> = optional(
            "kg",
            SIZE,
            "KG above the underside of the keel, with free surface correction",
        ),
        gm_m: Option<f64> = optional("gm", PLACE, "GM afloat as docked, with free surface correction"),
        occasion: Option<String> = optional(
            "occasion",
            Word(&["arrival", "before-landing"]),
            "when it holds: before the first landing if empty; if on arrival, the weights moved since are added",
        ),
        free_surface: Option<String> = optional(
            "free_surface",
            Text,
            "how free surface was corrected for, in words",
        ),
        source: Option<String> = optional("source", Text, "where the figure comes from"),
    }
}

impl Stability {
    /// Whether it is that on arrival, from which weights were moved until she landed; else it is that before she landed
    /// first.
    pub fn holds_on_arrival(&self) -> bool {
        self.occasion.as_deref() == Some("arrival")
    }
}

impl HydrostaticRow {
    /// The rows in the order of the file. Draft and displacement must grow from each to the next, and
    /// there must be two at the least.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let rows: Vec<Self> = input.rows(spec).filter_map(Self::from_entry).collect();
        let mut wrong = |place: &Place, what: &str| {
            input.problems.add(
                Problem::new(place.clone(), what)
                    .expected(
                        "at least two rows in order of draft, with displacement increasing from each \
                         to the next",
                    )
                    .advice("correct the row, or put the rows in order"),
            );
        };
        if let [alone] = rows.as_slice() {
            wrong(&alone.place, "this is the only row of the table");
        }
        for pair in rows.windows(2) {
            if pair[1].draft_m <= pair[0].draft_m {
                wrong(
                    &pair[1].place,
                    "this row's draft is not greater than that of the row before",
                );
            } else if pair[1].displacement_t <= pair[0].displacement_t {
                wrong(
                    &pair[1].place,
                    "this row's displacement is not greater than that of the row before",
                );
            }
        }
        rows
    }
}

impl HydrostaticsDatum {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Self::from_entry(entry, entry.get(&Self::trim).unwrap_or(0.0))
    }
}
