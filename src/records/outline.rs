//! Closed outlines in hull axes, written as one vertex a row: the bottom, zones, drawn areas.

use geo::line_intersection::{LineIntersection, line_intersection};
use geo::{Area, Coord, Line, LineString, Polygon};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::Column;

/// The columns of a vertex: its number along the outline, x and y.
pub(super) type VertexColumns<'a> = [&'a Column; 3];

struct Vertex {
    order: i64,
    at: Coord<f64>,
    place: Place,
}

impl Vertex {
    fn read(entry: &Entry, [order, x, y]: VertexColumns<'_>) -> Option<Self> {
        Some(Self {
            order: entry.get(order)?,
            at: Coord { x: entry.get(x)?, y: entry.get(y)? },
            place: entry.place_of(order),
        })
    }
}

/// The outline that the vertices in some rows make up; `called` is its name in
/// messages. It must have an area and must not cross itself. `None` where no row has a vertex, or
/// where something is wrong with it. Unless it is `whole`, vertices are missing that a problem kept out,
/// and its shape can't be judged.
pub(super) fn outline<'a>(
    rows: impl Iterator<Item = &'a Entry>,
    columns: VertexColumns<'_>,
    called: &str,
    whole: bool,
    problems: &mut Problems,
) -> Option<Polygon<f64>> {
    let mut vertices: Vec<Vertex> = rows.filter_map(|row| Vertex::read(row, columns)).collect();
    let first = vertices.first()?.place.clone();
    vertices.sort_by_key(|vertex| vertex.order);
    let mut sound = true;
    for pair in vertices.windows(2).filter(|pair| pair[0].order == pair[1].order) {
        sound = false;
        let other = &pair[0].place;
        problems.add(
            Problem::new(pair[1].place.clone(), format!("is also the order of {other}"))
                .value(pair[1].order.to_string())
                .expected("a different number for each vertex of an outline")
                .advice("number the vertices in order along the outline"),
        );
    }
    if !whole {
        return None;
    }
    // An outline whose last vertex repeats the first is closed already.
    if vertices.len() > 1 && vertices[0].at == vertices[vertices.len() - 1].at {
        vertices.pop();
    }
    if vertices.len() < 3 {
        problems.add(
            Problem::new(Place { column: None, ..first }, "has fewer than three vertices")
                .value(called)
                .expected("at least three vertices")
                .advice("add the missing vertices, or remove the outline"),
        );
        return None;
    }
    if let Some((one, other)) = crossing(&vertices) {
        sound = false;
        problems.add(
            Problem::new(
                vertices[one].place.clone(),
                format!(
                    "crosses or touches itself: the side starting here meets the one starting at {}",
                    vertices[other].place
                ),
            )
            .value(called)
            .expected("an outline that does not cross or touch itself")
            .advice("correct the order or the coordinates of its vertices"),
        );
    }
    let ring: Vec<Coord<f64>> = vertices.iter().map(|vertex| vertex.at).collect();
    let polygon = Polygon::new(LineString::new(ring), vec![]);
    if sound && polygon.unsigned_area() < 1e-6 {
        sound = false;
        problems.add(
            Problem::new(Place { column: None, ..first }, "encloses no area")
                .value(called)
                .expected("an outline that encloses an area")
                .advice("correct its vertices"),
        );
    }
    sound.then_some(polygon)
}

/// The first two sides that meet elsewhere than at a vertex they share.
fn crossing(vertices: &[Vertex]) -> Option<(usize, usize)> {
    let n = vertices.len();
    let side = |i: usize| Line::new(vertices[i].at, vertices[(i + 1) % n].at);
    let corners = |i: usize| {
        let Line { start, end } = side(i);
        ([start.x, start.y], [end.x, end.y])
    };
    let extent = |i: usize| {
        let (start, end) = corners(i);
        GeomWithData::new(Rectangle::from_corners(start, end), i)
    };
    let extents = RTree::bulk_load((0..n).map(extent).collect());
    for one in 0..n {
        let (start, end) = corners(one);
        let near = extents.locate_in_envelope_intersecting(&AABB::from_corners(start, end));
        let mut others: Vec<usize> = near.map(|other| other.data).filter(|i| *i > one).collect();
        others.sort_unstable();
        for other in others {
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
