//! The bottom as it left the dock: where it had its whole scheme, where coats were missing, where none
//! was on it, and where nothing can be said.

use geo::{Area as _, Contains, Coord, InteriorPoint, MultiPolygon};

use crate::calc::plane::{area_m2, union, without};
use crate::findings::recomputed::coating::short::{Piece, Shortfall, shortfall};
use crate::report::figures::bottom_map::{
    self, LEGEND_MM, Map, OUTLINE, close_frame, hatched, legend_under, letter_piece,
};
use crate::report::figures::canvas::{INK, Lettered, Pen};
use crate::report::figures::ground::{Ground, extent_of};
use crate::report::figures::hatch::Hatch;
use crate::report::figures::labels::Area;
use crate::report::figures::legend::Sample;
use crate::report::figures::lettering::SMALL_PT;
use crate::report::figures::scale::Strip;
use crate::report::figures::sheet::Sheet;
use crate::report::figures::{Drawing, WIDTH_MM, letter, lettering, on_paper, words};
use crate::units::fixed;

/// Steel with some of its coats.
const SOME: Hatch = Hatch { angle_deg: 45.0, spacing_mm: 0.85 };
/// Steel of which nothing can be said.
const UNKNOWN: [Hatch; 2] =
    [Hatch { angle_deg: 0.0, spacing_mm: 2.4 }, Hatch { angle_deg: 90.0, spacing_mm: 2.4 }];
/// Colours that help where there is colour; marks carry the meaning.
const FULL_TINT: &str = "#e6f0e4";
const SOME_TINT: &str = "#f6ddb0";
/// Edge of steel without a coat, so that slivers are seen.
const BARE: Pen = Pen::solid(0.3);
/// The border between zones.
const ZONE: Pen = Pen::solid(0.1).coloured("#555555");

/// What the strips show.
struct Shown {
    zones: Vec<(String, MultiPolygon<f64>)>,
    full: MultiPolygon<f64>,
    some: MultiPolygon<f64>,
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
        let (mut zones, mut unknown, mut known) = (Vec::new(), Vec::new(), [const { vec![] }; 3]);
        for (zone, history) in bottom {
            let Some(shape) = &history.shape else { continue };
            zones.push((lettering::label(&zone.id), shape.clone()));
            if history.completeness().is_none() {
                unknown.extend(&shape.0);
                continue;
            }
            for part in &history.parts {
                let sort = match part.missing.len() {
                    0 => 0,
                    n if n < history.scheme.len() => 1,
                    _ => 2,
                };
                known[sort].extend(&part.shape.0);
            }
        }
        if zones.is_empty() {
            return None;
        }
        let [full, some, none] = known.map(union);
        let covered = union(zones.iter().flat_map(|(_, shape)| &shape.0));
        let outside = ground.bottom_shape().map(|bottom| without(&bottom, &covered));
        let outside = outside.unwrap_or_else(|| MultiPolygon(vec![]));
        let unknown = union(unknown.into_iter().chain(&outside.0));
        let short = shortfall(project, coating);
        Some(Self { zones, full, some, none, unknown, short })
    }
}

fn drawing(ground: &Ground, shown: &Shown, map: &Map, strip: &Strip) -> Drawing {
    let heading = format!("Coats received, strip {} of {}", strip.number, strip.of);
    let mut sheet = map.sheet(ground, strip, heading, None, None);
    let full = on_paper(&sheet, &shown.full);
    sheet.canvas.shape(&full, None, Some(FULL_TINT));
    hatched(&mut sheet, &shown.unknown, &UNKNOWN);
    let some = on_paper(&sheet, &shown.some);
    sheet.canvas.shape(&some, None, Some(SOME_TINT));
    hatched(&mut sheet, &shown.some, &[SOME]);
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
    let pieces = shown.short.pieces.iter().enumerate();
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
    let some = Sample::Tinted(SOME_TINT, vec![SOME]);
    samples.push((some, "some of its coats missing, lettered".to_string()));
    samples.push((Sample::Filled, "no coat of the scheme, lettered".to_string()));
    if !shown.unknown.0.is_empty() {
        samples.push((Sample::Hatched(UNKNOWN.to_vec()), "not recorded".to_string()));
    }
    samples.push((Sample::Line(ZONE), "border of a zone".to_string()));
    if ground.bottom.is_some() {
        samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
    }
    legend_under(&mut sheet, &samples);
    let left_out = sheet.labels.left_out();

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
        in_plan(&shown.some),
        in_plan(&shown.none),
        in_plan(&shown.unknown),
    );
    if left_out > 0 {
        let labels = words::count(left_out, "letter");
        caption.push_str(&format!(" For want of room {labels} left out; see the table."));
    }
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
    let (height_mm, svg) = sheet.finish(&title, &format!("{caption} {alt}"));
    Drawing {
        name: format!("coating-map-{}", strip.number),
        group: "coating-map".to_string(),
        position: None,
        title,
        caption,
        alt,
        width_mm: WIDTH_MM,
        height_mm,
        svg,
    }
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
                let coats: Vec<String> = piece.missing.iter().map(i64::to_string).collect();
                format!("lacking coat {}", words::list(&coats, 8))
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
