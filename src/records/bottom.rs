//! `plan/bottom.csv`: outlines of the bottom and of the flat keel in plan.

use geo::Polygon;

use super::input::Input;
use super::outline::outline;
use super::record::{record, words};
use super::spec::{FileSpec, PLACE};

words! {
    enum Outline {
        Bottom = "bottom",
        FlatKeel = "flat-keel",
    }
}

record! {
    struct Vertex: SPEC = "a vertex of an outline" in "plan/bottom.csv", at most 2_000 {
        part = always("part", Word(Outline::WORDS), "the outline it belongs to"),
        order = always("order", Whole { least: 0 }, "its number in the order of the outline"),
        x = always("x", PLACE, "x of the vertex"),
        y = always("y", PLACE, "y of the vertex"),
    }
}

/// The outlines, in hull axes.
#[derive(Debug, Clone, Default)]
pub struct Bottom {
    pub bottom: Option<Polygon<f64>>,
    pub flat_keel: Option<Polygon<f64>>,
}

impl Bottom {
    pub(super) fn read(spec: &FileSpec, input: &mut Input<'_>) -> Self {
        let Some(sheet) = input.sheet(spec) else { return Self::default() };
        let mut outline_of = |part: Outline| {
            let rows = input.rows(spec).filter(|row| row.get(&Vertex::part) == Some(part));
            let is_whole = !sheet.left_out.may_hold(&Vertex::part, part.word());
            let columns = [&Vertex::order, &Vertex::x, &Vertex::y];
            outline(rows, columns, part.word(), is_whole, input.problems)
        };
        Self { bottom: outline_of(Outline::Bottom), flat_keel: outline_of(Outline::FlatKeel) }
    }
}
