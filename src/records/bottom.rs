//! `plan/bottom.csv`: outlines of the bottom and of the flat keel in plan.

use geo::Polygon;

use super::outline::outline;
use super::problem::Problems;
use super::sheet::Sheet;
use super::spec::{Column, FileSpec, Holds, Range};
use crate::units::Quantity;

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "plan/bottom.csv",
    row_is: "a vertex of an outline",
    example: include_str!("../../templates/example/plan/bottom.csv"),
    columns: &[
        Column::always("part", Holds::Word(&["bottom", "flat-keel"]), "the outline it belongs to"),
        Column::always("order", Holds::Whole { least: 0 }, "its number along the outline"),
        Column::always("x", Holds::Measure(Quantity::Length, Range::Any), "x of the vertex"),
        Column::always("y", Holds::Measure(Quantity::Length, Range::Any), "y of the vertex"),
    ],
};

/// The outlines, in hull axes.
#[derive(Debug, Clone, Default)]
pub struct Bottom {
    /// The bottom.
    pub bottom: Option<Polygon<f64>>,
    /// The flat keel.
    pub flat_keel: Option<Polygon<f64>>,
}

impl Bottom {
    pub(super) fn read(sheet: &Sheet, problems: &mut Problems) -> Self {
        let mut of = |part: &str| {
            let rows =
                sheet.entries.iter().filter(|entry| entry.text("part").as_deref() == Some(part));
            outline(rows, part, !sheet.left_out.may_hold("part", part), problems)
        };
        Self { bottom: of("bottom"), flat_keel: of("flat-keel") }
    }
}
