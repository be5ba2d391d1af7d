//! A small plan of the bottom, with frames over it, keel blocks and x under it: outline, caps and openings, for whoever
//! fills in a sheet and looks for a place, or the steel that was never exposed. It goes by no scale: it takes the room
//! that it gets.

use geo::{Coord, Polygon};

use super::canvas::{CAP_GREY, Canvas, DASH_DOT, INK, Lettered, OPENING_BLUE, Pen};
use super::drawing::{Drawing, Group, Words};
use super::ground::{Extent, extent_of, extent_of_opening};
use super::labels::{Area, Labels, Named};
use super::lettering::{self, SMALL_PT};
use super::scale::round_up;
use super::words::{self, Units};
use crate::calc::exposure::Piece;
use crate::hull::{Lie, on_hull};
use crate::records::Project;
use crate::records::blocks::BlockRow;
use crate::text::{Form, list_first};
use crate::units::{System, fixed, printed};

/// By how much it is printed larger than it is drawn: so its letters get 8 points, as all on these sheets.
pub const ENLARGED: f64 = 8.0 / SMALL_PT;

const OUTLINE: Pen = Pen::solid(0.35);
const BLOCK: Pen = Pen::solid(0.15);
const OPENING: Pen = Pen::solid(0.25).coloured(OPENING_BLUE);
const THIN: Pen = Pen::solid(0.13);

/// A piece smaller than this is marked by a ring of that radius, mm.
const SMALL_MM: f64 = 1.2;
const RING_MM: f64 = 1.3;

/// Room to the left for the names of the rows of letters, and to the right, mm.
const LEFT_MM: f64 = 13.0;
const RIGHT_MM: f64 = 9.0;
/// Height of a row of letters, mm.
const LINE_MM: f64 = 3.1;
/// What is longer or wider is taken for a mistake in the record, m.
const LARGEST_M: f64 = 1000.0;

/// The room that a plan gets on paper, and what it shows.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    pub width_mm: f64,
    /// Height of the hull at most.
    pub hull_mm: f64,
    /// Whether openings are named; they are marked all the same.
    pub names_openings: bool,
    /// The units in which places along the ship are shown: those in which a place is asked for beside it.
    pub units: System,
}

/// The plan of a project, with the blocks of a position where the ship lies in it; nothing where neither an outline of
/// the bottom nor a block that can be placed is recorded.
pub fn finder(project: &Project, place: Option<(&str, Lie)>, room: &Room) -> Option<Drawing> {
    plan(project, place, Marked::Openings, room)
}

/// The same plan with the pieces of the bottom that no position exposed in black, lettered as in the overlay of
/// positions, and no blocks or openings.
pub fn never_exposed_small(project: &Project, pieces: &[Piece], room: &Room) -> Option<Drawing> {
    plan(project, None, Marked::NeverExposed(pieces), room)
}

/// What is marked on the bottom.
#[derive(Clone, Copy)]
enum Marked<'a> {
    Openings,
    NeverExposed(&'a [Piece]),
}

/// As many pieces are lettered at the most, the largest: more letters than these stand on each other.
const MOST_LETTERED: usize = 26;

fn plan(
    project: &Project,
    place: Option<(&str, Lie)>,
    marked: Marked<'_>,
    room: &Room,
) -> Option<Drawing> {
    let units = Units(room.units);
    let (width_mm, hull_mm) = (room.width_mm / ENLARGED, room.hull_mm / ENLARGED);
    let is_small = |extent: &Extent| {
        [extent.aft, extent.forward, extent.starboard, extent.port]
            .iter()
            .all(|m| m.abs() < LARGEST_M)
    };
    let bottom = project.bottom.bottom.as_ref();
    let outline = bottom.and_then(extent_of).filter(is_small);
    let mut caps: Vec<(&str, BlockRow, Polygon<f64>, Extent)> = Vec::new();
    if let Some((position, lie)) = place {
        for block in project.blocks.iter().filter(|block| block.stands_in(position)) {
            let cap = on_hull(&block.cap, &lie).polygon();
            let Some(extent) = extent_of(&cap).filter(is_small) else { continue };
            caps.push((&block.id, block.row, cap, extent));
        }
    }
    let extents = outline.into_iter().chain(caps.iter().map(|(.., extent)| *extent));
    let whole = extents.reduce(Extent::with)?;
    let (length_m, breadth_m) = (whole.forward - whole.aft, whole.port - whole.starboard);
    if length_m <= 0.0 || breadth_m <= 0.0 {
        return None;
    }
    let mm_a_metre = ((width_mm - LEFT_MM - RIGHT_MM) / length_m).min(hull_mm / breadth_m);
    let frames = project.docking.frames.as_ref();
    let over_mm = if frames.is_some() { LINE_MM + 1.2 } else { 0.6 };
    let across = |x_m: f64| LEFT_MM + (x_m - whole.aft) * mm_a_metre;
    let up = |y_m: f64| over_mm + (whole.port - y_m) * mm_a_metre;
    let at = |c: Coord<f64>| Coord { x: across(c.x), y: up(c.y) };
    let (left, right) = (across(whole.aft), across(whole.forward));
    let foot = up(whole.starboard);
    let mut canvas = Canvas::new(width_mm);
    let text = |canvas: &mut Canvas, words: &str, x: f64, y: f64| {
        canvas.text(Lettered::new(words, Coord { x, y }, SMALL_PT).middle());
    };
    let row_name = |canvas: &mut Canvas, words: &str, y: f64| {
        canvas.text(Lettered::new(words, Coord { x: LEFT_MM - 2.0, y }, SMALL_PT).end());
    };

    let window = Area { left: 0.0, right: width_mm, top: over_mm - 0.4, bottom: foot + 0.4 };
    let mut labels = Labels::new(window);
    for (_, _, cap, _) in &caps {
        let ring: Vec<Coord<f64>> = cap.exterior().0.iter().map(|c| at(*c)).collect();
        canvas.ring(&ring, Some(BLOCK), Some(CAP_GREY));
        labels.avoid(Area::around(ring).unwrap_or(window));
    }
    if let Some(bottom) = bottom.filter(|_| outline.is_some()) {
        let ring: Vec<Coord<f64>> = bottom.exterior().0.iter().map(|c| at(*c)).collect();
        canvas.ring(&ring, Some(OUTLINE), None);
    }
    let middle = up(0.0);
    if whole.starboard < 0.0 && whole.port > 0.0 {
        canvas.line(
            Coord { x: left - 1.5, y: middle },
            Coord { x: right + 1.5, y: middle },
            THIN.broken(DASH_DOT),
        );
    }
    let capital = lettering::capital_mm(SMALL_PT);
    if foot - over_mm > 2.5 * LINE_MM {
        row_name(&mut canvas, "port", over_mm + capital);
        row_name(&mut canvas, "starboard", foot - 0.3);
    }
    let bow = Coord { x: right + 2.0, y: middle };
    canvas.arrow(bow, Coord { x: bow.x + 6.0, ..bow }, THIN);
    text(&mut canvas, "bow", bow.x + 3.0, middle - 1.0);

    let (openings, pieces) = match marked {
        Marked::Openings => (project.openings.as_slice(), [].as_slice()),
        Marked::NeverExposed(pieces) => ([].as_slice(), pieces),
    };
    for opening in openings {
        let extent = extent_of_opening(opening);
        if !whole.holds(&extent) {
            continue;
        }
        // Small ones too are to be seen.
        let corners = extent.polygon();
        let ring: Vec<Coord<f64>> = corners.exterior().0.iter().map(|c| at(*c)).collect();
        let Some(area) = Area::around(ring) else { continue };
        let short = (0.5 - (area.right - area.left).min(area.bottom - area.top) / 2.0).max(0.0);
        let area = area.grown(short);
        canvas.ring(&area.corners(), Some(OPENING), None);
        labels.keep_clear(area);
        if room.names_openings {
            let named = Named::beside(lettering::label(&opening.id), area);
            labels.place(&Named { colour: OPENING_BLUE, ..named });
        }
    }
    let mut by_area: Vec<(usize, &Piece)> = pieces.iter().enumerate().collect();
    by_area.sort_by(|one, other| other.1.area_m2.total_cmp(&one.1.area_m2));
    for (rank, (number, piece)) in by_area.into_iter().enumerate() {
        let ring: Vec<Coord<f64>> = piece.shape.exterior().0.iter().map(|c| at(*c)).collect();
        canvas.ring(&ring, Some(BLOCK), Some(INK));
        let Some(area) = Area::around(ring) else { continue };
        // What is too small to be seen gets a ring.
        let is_small = area.right - area.left < SMALL_MM && area.bottom - area.top < SMALL_MM;
        let area = if is_small { Area::at(area.middle()).grown(RING_MM) } else { area };
        if is_small {
            canvas.circle(area.middle(), RING_MM, Some(BLOCK), None);
        }
        labels.keep_clear(area);
        if rank < MOST_LETTERED {
            labels.place(&Named::beside(words::letter(number), area));
        }
    }
    labels.draw(&mut canvas);

    if let Some(frames) = frames {
        let found = frames.between(whole.aft, whole.forward);
        let spaced = |step: i64| -> Vec<(i64, f64)> {
            found.iter().filter(|(n, _)| n % step == 0).map(|(n, x)| (*n, across(*x))).collect()
        };
        let steps = [1, 2, 5, 10, 20, 50, 100, 200, 500];
        let apart =
            |row: &Vec<(i64, f64)>| row.windows(2).all(|two| (two[1].1 - two[0].1).abs() >= 6.5);
        if let Some(row) = steps.map(spaced).into_iter().find(apart) {
            row_name(&mut canvas, "frame", LINE_MM - 0.6);
            for (number, x) in row {
                canvas.line(Coord { x, y: LINE_MM - 0.2 }, Coord { x, y: LINE_MM + 0.8 }, THIN);
                text(&mut canvas, &number.to_string(), x, LINE_MM - 0.6);
            }
        }
    }

    let mut base = foot + 1.0;
    let mut keel: Vec<(&str, f64)> = caps
        .iter()
        .filter(|(_, row, ..)| *row == BlockRow::Keel)
        .map(|(id, _, _, extent)| (*id, across((extent.aft + extent.forward) / 2.0)))
        .collect();
    keel.sort_by(|one, other| one.1.total_cmp(&other.1));
    if !keel.is_empty() {
        base += LINE_MM;
        row_name(&mut canvas, "block", base - 0.4);
        // A name that would stand over the row's, or reach beyond the paper, is left out.
        let mut free = LEFT_MM - 1.6;
        for (id, x) in keel {
            let label = lettering::label(id);
            let half = lettering::width_mm(&label, SMALL_PT) / 2.0;
            if x - half > free && x + half < width_mm {
                canvas.line(Coord { x, y: foot + 0.3 }, Coord { x, y: foot + 1.1 }, THIN);
                text(&mut canvas, &label, x, base - 0.4);
                free = x + half + 2.2;
            }
        }
    }
    base += LINE_MM;
    let unit = Form::Length.unit(units.0);
    let (from, to) = (unit.from_kept(whole.aft), unit.from_kept(whole.forward));
    let step = round_up((to - from) * 11.0 / (right - left));
    row_name(&mut canvas, &format!("x, {}", printed(unit.suffix)), base - 0.4);
    let mut shown = (from / step - 1e-9).ceil() * step;
    while shown <= to + step * 1e-9 {
        let x = across(unit.to_kept(shown));
        text(&mut canvas, &fixed(shown, if step < 1.0 { 1 } else { 0 }), x, base - 0.4);
        shown += step;
    }

    let position = place.map(|(position, _)| position);
    let where_she_lies = match position {
        Some(position) => format!(", with the blocks of position {}", lettering::shown(position)),
        None => String::new(),
    };
    let size = (width_mm, base + 0.4);
    if let Marked::NeverExposed(pieces) = marked {
        let letters: Vec<String> = (0..pieces.len()).map(words::letter).collect();
        let told = Words {
            title: "Steel that was never exposed".to_string(),
            caption: format!(
                "The bottom in plan, seen from above, by no scale; black or ringed, with the letters of the report: steel \
                 under blocks in every position.{}",
                labels.left_out_note("piece", "report")
            ),
            alt: match letters.as_slice() {
                [] => {
                    "The bottom in plan: no piece of it was under blocks in every position.".into()
                }
                letters => format!(
                    "The bottom in plan, with what was under blocks in every position: {}, as listed beside it and in \
                     the report.",
                    list_first(letters, 6)
                ),
            },
        };
        let name = "never-exposed-small";
        return Some(Drawing::sheet(Group::NeverExposed, name, None, told, canvas, size));
    }
    let told = Words {
        title: "Finder plan".to_string(),
        caption: format!(
            "The bottom in plan, seen from above, by no scale.{}",
            labels.left_out_note("opening", "docking plan")
        ),
        alt: format!(
            "The bottom in plan{where_she_lies}: {} caps and {} openings, frames above, keel blocks and x below.",
            caps.len(),
            project.openings.len()
        ),
    };
    let name = format!("finder-{}", position.unwrap_or("all"));
    Some(Drawing::sheet(Group::Plan, name, position, told, canvas, size))
}
