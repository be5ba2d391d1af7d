//! The bottom as it left the dock: where it had its whole scheme, where coats were missing, where none
//! was on it, and where nothing can be said.

use std::collections::BTreeMap;

use geo::{Area as _, Contains, Coord, InteriorPoint, MultiPolygon, Polygon};

use crate::calc::plane::{area_m2, union, without};
use crate::findings::recomputed::coating::short::{Piece, Shortfall, shortfall};
use crate::report::figures::bottom_map::{
    self, FULL_TINT, LEGEND_MM, Map, OUTLINE, UNKNOWN, close_frame, hatched, legend_under,
    letter_piece,
};
use crate::report::figures::canvas::{INK, Lettered, Pen};
use crate::report::figures::ground::{Ground, extent_of};
use crate::report::figures::hatch;
use crate::report::figures::labels::Area;
use crate::report::figures::legend::Sample;
use crate::report::figures::lettering::SMALL_PT;
use crate::report::figures::scale::Strip;
use crate::report::figures::sheet::{Sheet, Told};
use crate::report::figures::{Drawing, letter, lettering, on_paper, words};
use crate::units::fixed;

/// Sets of missing coats with a hatch of their own; further ones share the last.
const MOST_SETS: usize = 6;
/// Pieces that are lettered, on the map and in the table.
const MOST_LETTERED: usize = 40;
/// A colour that helps where there is colour; marks carry the meaning.
const SOME_TINT: &str = "#f6ddb0";
/// Edge of steel without a coat, so that slivers are seen.
const BARE: Pen = Pen::solid(0.3);
/// The boundary between zones.
const ZONE: Pen = Pen::solid(0.1).coloured("#555555");

/// What the strips show.
struct Shown {
    zones: Vec<(String, MultiPolygon<f64>)>,
    full: MultiPolygon<f64>,
    /// Steel with some of its coats, by those that are missing.
    some: Vec<(String, MultiPolygon<f64>)>,
    none: MultiPolygon<f64>,
    unknown: MultiPolygon<f64>,
    short: Shortfall,
}

/// The map in strips; none without a bottom or without zones on it.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let Some(shown) = Shown::of(ground) else { return Vec::new() };
    let zones = shown.zones.iter().flat_map(|(_, shape)| &shape.0);
    let whole = ground.bottom.into_iter().chain(zones).filter_map(extent_of);
    let Some(whole) = whole.filter(|extent| ground.draws(extent)).reduce(|a, b| a.with(b)) else {
        return Vec::new();
    };
    let pieces = shown.short.pieces.iter().filter_map(|piece| extent_of(&piece.shape));
    let solid: Vec<(f64, f64)> = pieces.map(|extent| (extent.aft, extent.forward)).collect();
    let map = Map::new(whole, LEGEND_MM, &solid);
    map.strips.iter().map(|strip| drawing(ground, &shown, &map, strip)).collect()
}

impl Shown {
    fn of(ground: &Ground) -> Option<Self> {
        let (project, coating) = (&ground.examined.project, &ground.examined.recomputed.coating);
        let histories = project.zones.iter().zip(&coating.zones);
        let bottom = histories.filter(|(zone, _)| zone.is_bottom());
        let (mut zones, mut unknown) = (Vec::new(), Vec::new());
        let (mut full, mut none) = (Vec::new(), Vec::new());
        let mut some: BTreeMap<&[i64], Vec<&Polygon<f64>>> = BTreeMap::new();
        for (zone, history) in bottom {
            let Some(shape) = &history.shape else { continue };
            zones.push((lettering::label(&zone.id), shape.clone()));
            if history.completeness().is_none() {
                unknown.extend(&shape.0);
                continue;
            }
            for part in &history.parts {
                match part.missing.len() {
                    0 => full.extend(&part.shape.0),
                    n if n < history.scheme.len() => {
                        some.entry(&part.missing).or_default().extend(&part.shape.0);
                    }
                    _ => none.extend(&part.shape.0),
                }
            }
        }
        if zones.is_empty() {
            return None;
        }
        let covered = union(zones.iter().flat_map(|(_, shape)| &shape.0));
        let outside = ground.bottom_shape().map(|bottom| without(&bottom, &covered));
        let outside = outside.unwrap_or_else(|| MultiPolygon(vec![]));
        let unknown = union(unknown.into_iter().chain(&outside.0));
        let short = shortfall(project, coating);
        let (full, none) = (union(full), union(none));
        Some(Self { zones, full, some: by_set(some), none, unknown, short })
    }
}

/// Steel by the coats that it lacks, those sets that have no hatch of their own together.
fn by_set(sets: BTreeMap<&[i64], Vec<&Polygon<f64>>>) -> Vec<(String, MultiPolygon<f64>)> {
    let mut named: Vec<(String, MultiPolygon<f64>)> = Vec::new();
    let mut rest: Vec<&Polygon<f64>> = Vec::new();
    let own = if sets.len() > MOST_SETS { MOST_SETS - 1 } else { MOST_SETS };
    for (n, (missing, shapes)) in sets.into_iter().enumerate() {
        if n < own {
            named.push((format!("missing: {}", coats(missing)), union(shapes)));
        } else {
            rest.extend(shapes);
        }
    }
    if !rest.is_empty() {
        named.push(("missing: other coats".to_string(), union(rest)));
    }
    named
}

/// Numbers of coats: `coat 2`, `coats 2 and 3`.
fn coats(numbers: &[i64]) -> String {
    let names: Vec<String> = numbers.iter().map(i64::to_string).collect();
    format!("coat{} {}", if names.len() == 1 { "" } else { "s" }, words::list(&names, 8))
}

/// The pieces that are lettered: the largest, from aft to forward, so that map and table letter alike.
pub fn lettered(short: &Shortfall) -> Vec<&Piece> {
    let mut order: Vec<usize> = (0..short.pieces.len()).collect();
    order.sort_by(|a, b| short.pieces[*b].area_m2.total_cmp(&short.pieces[*a].area_m2));
    order.truncate(MOST_LETTERED);
    order.sort_unstable();
    order.into_iter().map(|at| &short.pieces[at]).collect()
}

fn drawing(ground: &Ground, shown: &Shown, map: &Map, strip: &Strip) -> Drawing {
    let heading = format!("Coats received, strip {} of {}", strip.number, strip.of);
    let mut sheet = map.sheet(ground, strip, heading, None, None);
    let full = on_paper(&sheet, &shown.full);
    sheet.canvas.shape(&full, None, Some(FULL_TINT));
    hatched(&mut sheet, &shown.unknown, &UNKNOWN);
    for (n, (_, shape)) in shown.some.iter().enumerate() {
        let tinted = on_paper(&sheet, shape);
        sheet.canvas.shape(&tinted, None, Some(SOME_TINT));
        hatched(&mut sheet, shape, &[hatch::of_position(n)]);
    }
    let none = on_paper(&sheet, &shown.none);
    sheet.canvas.shape(&none, Some(BARE), Some(INK));
    for (_, shape) in &shown.zones {
        for polygon in &shape.0 {
            let lines = sheet.outline(polygon);
            sheet.canvas.lines(&lines, ZONE);
        }
    }
    close_frame(&mut sheet, ground, strip);
    for (name, shape) in &shown.zones {
        name_zone(&mut sheet, name, shape);
    }
    let pieces = lettered(&shown.short).into_iter().enumerate();
    let here: Vec<(usize, &Piece)> =
        pieces.filter(|(_, piece)| strip.holds(middle_of(piece).x)).collect();
    for (number, piece) in &here {
        let piece = bottom_map::Piece {
            letter: letter(*number),
            shape: &piece.shape,
            area_m2: piece.area_m2,
        };
        letter_piece(&mut sheet, &piece);
    }
    let mut samples = vec![(Sample::Tinted(FULL_TINT, vec![]), "the whole scheme".to_string())];
    for (n, (words, _)) in shown.some.iter().enumerate() {
        samples.push((Sample::Tinted(SOME_TINT, vec![hatch::of_position(n)]), words.clone()));
    }
    samples.push((Sample::Filled, "no coat of the scheme".to_string()));
    if !shown.unknown.0.is_empty() {
        samples.push((Sample::Hatched(UNKNOWN.to_vec()), "not recorded".to_string()));
    }
    samples.push((Sample::Line(ZONE), "boundary of a zone".to_string()));
    if ground.bottom.is_some() {
        samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
    }
    legend_under(&mut sheet, &samples);

    let names: Vec<String> = shown.zones.iter().map(|(name, _)| name.clone()).collect();
    let in_plan = |shape: &MultiPolygon<f64>| fixed(area_m2(shape), 2);
    let mut caption = format!(
        "Coats that the bottom left the dock with, strip {} of {}, scale {}; zones {}. In plan: whole scheme \
         {} m\u{b2}, some coats missing {} m\u{b2}, none {} m\u{b2}, not recorded {} m\u{b2}.",
        strip.number,
        strip.of,
        map.scale,
        words::list(&names, 12),
        in_plan(&shown.full),
        fixed(shown.some.iter().map(|(_, shape)| area_m2(shape)).sum(), 2),
        in_plan(&shown.none),
        in_plan(&shown.unknown),
    );
    let unlettered = shown.short.pieces.len().saturating_sub(MOST_LETTERED);
    if unlettered > 0 {
        caption.push_str(&format!(" Only the {MOST_LETTERED} largest pieces are lettered."));
    }
    caption.push_str(&sheet.labels.says_left_out("letter", "table"));
    bottom_map::says_what_is_missing(&mut caption, ground, strip);
    let alt = format!(
        "Map of the bottom from x {} m to {} m, bow to the right, port above; less than the whole scheme \
         here: {}.",
        fixed(strip.from_m, 1),
        fixed(strip.to_m, 1),
        said(ground, &here)
    );
    let title =
        format!("Coats received, strip {} of {}, scale {}", strip.number, strip.of, map.scale);
    sheet.drawn(Told {
        name: format!("coating-map-{}", strip.number),
        group: "coating-map".to_string(),
        position: None,
        title,
        caption,
        alt,
    })
}

/// A zone's name within it, where it has room.
fn name_zone(sheet: &mut Sheet, name: &str, shape: &MultiPolygon<f64>) {
    let parts = on_paper(sheet, shape);
    let largest = parts.0.iter().max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()));
    let Some((part, at)) = largest.and_then(|part| Some((part, part.interior_point()?))) else {
        return;
    };
    let capital = lettering::capital_mm(SMALL_PT);
    let half = lettering::width_mm(name, SMALL_PT) / 2.0;
    let base = Coord { x: at.x(), y: at.y() + capital / 2.0 };
    let area =
        Area { left: base.x - half, right: base.x + half, top: base.y - capital, bottom: base.y }
            .grown(0.4);
    let inside = area.corners().iter().all(|corner| part.contains(corner));
    if inside && sheet.labels.is_clear(&area) {
        sheet.canvas.text(Lettered::new(name, base, SMALL_PT).middle());
        sheet.labels.keep_clear(area);
    }
}

fn middle_of(piece: &Piece) -> Coord<f64> {
    let [aft, forward, starboard, port] = piece.extent;
    Coord { x: (aft + forward) / 2.0, y: (starboard + port) / 2.0 }
}

fn said(ground: &Ground, here: &[(usize, &Piece)]) -> String {
    let project = &ground.examined.project;
    let each: Vec<String> = here
        .iter()
        .map(|(number, piece)| {
            let [aft, forward, starboard, port] = piece.extent;
            let zone = project.zones.get(piece.zone).map_or("", |zone| &zone.id);
            let lacks = if piece.none {
                "no coat".to_string()
            } else {
                format!("lacking {}", coats(&piece.missing))
            };
            format!(
                "{} of {} m\u{b2} in {}, {lacks}, at x {} m to {} m, y {} m to {} m",
                letter(*number),
                fixed(piece.area_m2, 3),
                lettering::shown(zone),
                fixed(aft, 2),
                fixed(forward, 2),
                fixed(starboard, 2),
                fixed(port, 2),
            )
        })
        .collect();
    if each.is_empty() { "nothing".to_string() } else { words::list(&each, 12) }
}
