//! `plan/bottom.csv`: outlines of the bottom and of the flat keel in plan.

use geo::line_intersection::{LineIntersection, line_intersection};
use geo::{Area, Coord, Line, LineString, Polygon};

use super::place::Place;
use super::problem::{Problem, Problems};
use super::sheet::Sheet;
use super::spec::{Column, FileSpec, Holds, Range};
use crate::units::Quantity;

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "plan/bottom.csv",
    row_is: "a vertex of an outline",
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
        Self {
            bottom: outline(sheet, "bottom", problems),
            flat_keel: outline(sheet, "flat-keel", problems),
        }
    }
}

struct Vertex {
    order: i64,
    at: Coord<f64>,
    place: Place,
}

/// One closed outline; it must have an area and must not cross itself.
fn outline(sheet: &Sheet, part: &str, problems: &mut Problems) -> Option<Polygon<f64>> {
    let mut vertices: Vec<Vertex> = sheet
        .entries
        .iter()
        .filter(|entry| entry.text("part").as_deref() == Some(part))
        .filter_map(|entry| {
            Some(Vertex {
                order: entry.whole("order")?,
                at: Coord { x: entry.number("x")?, y: entry.number("y")? },
                place: entry.place_of("order"),
            })
        })
        .collect();
    let first = vertices.first()?.place.clone();
    vertices.sort_by_key(|vertex| vertex.order);
    let mut sound = true;
    for pair in vertices.windows(2).filter(|pair| pair[0].order == pair[1].order) {
        sound = false;
        let other = &pair[0].place;
        problems.add(
            Problem::new(pair[1].place.clone(), format!("is the order of {other} too"))
                .value(pair[1].order.to_string())
                .expected("each vertex of an outline with a number of its own")
                .advice("renumber the vertices along the outline"),
        );
    }
    // An outline whose last vertex repeats the first is closed already.
    if vertices.len() > 1 && vertices[0].at == vertices[vertices.len() - 1].at {
        vertices.pop();
    }
    if vertices.len() < 3 {
        problems.add(
            Problem::new(
                Place { column: None, ..first },
                "the outline has fewer than three vertices",
            )
            .value(part)
            .expected("at least three vertices")
            .advice("add the missing vertices, or leave the outline out"),
        );
        return None;
    }
    if let Some((one, other)) = crossing(&vertices) {
        sound = false;
        problems.add(
            Problem::new(
                vertices[one].place.clone(),
                format!(
                    "the side that begins here meets the one that begins at {}",
                    vertices[other].place
                ),
            )
            .value(part)
            .expected("an outline that does not meet itself")
            .advice("correct the order or the place of its vertices"),
        );
    }
    let ring: Vec<Coord<f64>> = vertices.iter().map(|vertex| vertex.at).collect();
    let polygon = Polygon::new(LineString::new(ring), vec![]);
    if sound && polygon.unsigned_area() < 1e-6 {
        sound = false;
        problems.add(
            Problem::new(Place { column: None, ..first }, "the outline has no area")
                .value(part)
                .expected("an outline around an area")
                .advice("correct its vertices"),
        );
    }
    sound.then_some(polygon)
}

/// The first two sides that meet elsewhere than at a vertex they share.
fn crossing(vertices: &[Vertex]) -> Option<(usize, usize)> {
    let n = vertices.len();
    let side = |i: usize| Line::new(vertices[i].at, vertices[(i + 1) % n].at);
    for one in 0..n {
        for other in one + 1..n {
            let neighbours = other == one + 1 || (one == 0 && other == n - 1);
            match line_intersection(side(one), side(other)) {
                None => {}
                Some(LineIntersection::SinglePoint { .. }) if neighbours => {}
                Some(_) => return Some((one, other)),
            }
        }
    }
    None
}
