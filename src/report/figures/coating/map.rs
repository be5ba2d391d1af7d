//! The bottom as it left the dock: where it had its whole scheme, where coats were missing, where none
//! was on it, and where nothing can be said.

use std::collections::BTreeMap;

use geo::{Area as _, Contains, Coord, InteriorPoint, MultiPolygon, Polygon};

use crate::calc::plane::{area_m2, union, without};
use crate::findings::recomputed::coating::short::{Piece, Shortfall};
use crate::report::figures::canvas::{Lettered, Pen};
use crate::report::figures::drawing::{Drawing, Group};
use crate::report::figures::ground::{Ground, extent_of};
use crate::report::figures::hatch;
use crate::report::figures::labels::Area;
use crate::report::figures::legend::Sample;
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::strip_map::{
    FULL_TINT, LEGEND_MM, MapTitle, Sheet, StripMap, StripWords, UNKNOWN,
};
use crate::report::figures::words;

/// Sets of missing coats with a hatch of their own; further ones share the last.
const MOST_SETS: usize = 6;
/// Pieces that are lettered, on the map and in the table.
const MOST_LETTERED: usize = 40;
/// A colour that helps where there is colour; marks carry the meaning.
const SOME_TINT: &str = "#f6ddb0";
/// The boundary between zones.
const ZONE: Pen = Pen::solid(0.1).coloured("#555555");

/// What the strips show.
struct CoatingMap {
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
    let Some(shown) = CoatingMap::new(ground) else { return Vec::new() };
    let zones = shown.zones.iter().flat_map(|(_, shape)| &shape.0);
    let whole = ground.bottom.into_iter().chain(zones).filter_map(extent_of);
    let Some(whole) = whole.filter(|extent| ground.draws(extent)).reduce(|a, b| a.with(b)) else {
        return Vec::new();
    };
    let pieces = shown.short.pieces.iter().filter_map(|piece| extent_of(&piece.shape));
    let map = StripMap::new(ground, whole, LEGEND_MM, pieces);
    let map_title = MapTitle {
        group: Group::CoatingMap,
        name: "coating-map".to_string(),
        heading: "Coats received".to_string(),
        title: "Coats received".to_string(),
        berth: None,
    };
    map.draw(&map_title, |_, _| map.without_outline(), |sheet| draw(sheet, &shown))
}

impl CoatingMap {
    fn new(ground: &Ground) -> Option<Self> {
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
        let short = coating.short.clone();
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

fn draw(sheet: &mut Sheet, shown: &CoatingMap) -> StripWords {
    sheet.tinted(&shown.full, FULL_TINT);
    sheet.hatched(&shown.unknown, &UNKNOWN);
    for (n, (_, shape)) in shown.some.iter().enumerate() {
        sheet.tinted(shape, SOME_TINT);
        sheet.hatched(shape, &[hatch::of_position(n)]);
    }
    sheet.filled(&shown.none);
    for (_, shape) in &shown.zones {
        for polygon in &shape.0 {
            let lines = sheet.outline_of(polygon);
            sheet.canvas.lines(&lines, ZONE);
        }
    }
    sheet.outline();
    sheet.close_frame();
    for (name, shape) in &shown.zones {
        name_zone(sheet, name, shape);
    }
    let strip = sheet.strip;
    let pieces = lettered(&shown.short).into_iter().enumerate();
    let here: Vec<(usize, &Piece)> =
        pieces.filter(|(_, piece)| strip.holds(middle_of(piece).x)).collect();
    for (number, piece) in &here {
        sheet.letter_piece(&words::letter(*number), &piece.shape, piece.area_m2);
    }
    let mut samples: Vec<(Sample, String)> = Vec::new();
    if !shown.full.0.is_empty() {
        samples.push((Sample::Tinted(FULL_TINT, vec![]), "the whole scheme".to_string()));
    }
    for (n, (words, _)) in shown.some.iter().enumerate() {
        samples.push((Sample::Tinted(SOME_TINT, vec![hatch::of_position(n)]), words.clone()));
    }
    if !shown.none.0.is_empty() {
        samples.push((Sample::Filled, "no coat of the scheme".to_string()));
    }
    if !shown.unknown.0.is_empty() {
        samples.push((Sample::Hatched(UNKNOWN.to_vec()), "not recorded".to_string()));
    }
    samples.push((Sample::Line(ZONE), "boundary of a zone".to_string()));
    sheet.legend_with_outline(samples);

    let names: Vec<String> = shown.zones.iter().map(|(name, _)| name.clone()).collect();
    let in_plan = |shape: &MultiPolygon<f64>| sheet.units.area(area_m2(shape), 2);
    let mut caption = format!(
        "Coats that the bottom left the dock with, over all strips, in zone{} {}. In plan: whole scheme {}, some \
         coats missing {}, no coat {}, not recorded {}.",
        if names.len() == 1 { "" } else { "s" },
        words::list(&names, 12),
        in_plan(&shown.full),
        sheet.units.area(shown.some.iter().map(|(_, shape)| area_m2(shape)).sum(), 2),
        in_plan(&shown.none),
        in_plan(&shown.unknown),
    );
    let unlettered = shown.short.pieces.len().saturating_sub(MOST_LETTERED);
    if unlettered > 0 {
        caption.push_str(&format!(" Only the {MOST_LETTERED} largest pieces are lettered."));
    }
    caption.push_str(&sheet.labels.left_out_note("letter", "table"));
    caption.push_str(&sheet.missing_note());
    let pieces = here.iter().map(|(number, piece)| describe(sheet.ground, *number, piece));
    let alt = format!(
        "{}; less than the whole scheme here: {}.",
        sheet.map_of_the_bottom(),
        words::list_or_nothing(pieces)
    );
    StripWords { caption, alt }
}

/// A zone's name within it, where it has room.
fn name_zone(sheet: &mut Sheet, name: &str, shape: &MultiPolygon<f64>) {
    let parts = sheet.on_paper(shape);
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

fn describe(ground: &Ground, number: usize, piece: &Piece) -> String {
    let zone = ground.examined.project.zones.get(piece.zone).map_or("", |zone| &zone.id);
    let lacks = if piece.none {
        "no coat".to_string()
    } else {
        format!("lacking {}", coats(&piece.missing))
    };
    format!(
        "{} of {} in {}, {lacks}, at {}",
        words::letter(number),
        ground.units.area(piece.area_m2, 3),
        lettering::shown(zone),
        ground.units.place(piece.extent),
    )
}
