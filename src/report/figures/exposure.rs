//! Exposure maps: what each position hid, and the bottom by the positions that hid it, in strips.

use geo::{Coord, MultiPolygon};

use super::bottom_map::{Map, OUTLINE, close_frame, legend_under};
use super::canvas::{INK, Pen};
use super::ground::{Berth, Extent, Ground, OVER_ALL, extent_of};
use super::hatch::{self, Hatch};
use super::labels::{Area, Named};
use super::legend::Sample;
use super::scale::Strip;
use super::sheet::Sheet;
use super::{Drawing, WIDTH_MM, lettering, on_paper, words};
use crate::calc::exposure::{self, Class, Piece};
use crate::calc::plane::{area_m2, common};
use crate::findings::recomputed::caps;
use crate::units::fixed;

const HATCHING: Pen = Pen::solid(0.13);
const EDGE: Pen = Pen::solid(0.18);
/// Edge of what was never exposed, so that slivers are seen.
const NEVER: Pen = Pen::solid(0.3);
/// Room that the legend may take under the window, mm.
const LEGEND_MM: f64 = 14.0;

/// Maps of each position that can be placed, then of all together if all can be placed.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let hidden: Vec<(&Berth, MultiPolygon<f64>)> =
        ground.berths.iter().map(|berth| (berth, hidden_in(ground, berth))).collect();
    let shapes = hidden.iter().flat_map(|(_, shape)| &shape.0).filter_map(extent_of);
    let whole = ground
        .bottom
        .and_then(extent_of)
        .or_else(|| shapes.filter(|extent| ground.draws(extent)).reduce(Extent::with));
    let Some(whole) = whole.filter(|_| !hidden.is_empty()) else { return Vec::new() };
    let solid: Vec<(f64, f64)> = hidden
        .iter()
        .flat_map(|(_, shape)| &shape.0)
        .filter_map(extent_of)
        .map(|extent| (extent.aft, extent.forward))
        .collect();
    let map = Map::new(whole, LEGEND_MM, &solid);
    let mut drawings = Vec::new();
    for (berth, shape) in &hidden {
        drawings
            .extend(map.strips.iter().map(|strip| of_position(ground, &map, strip, berth, shape)));
    }
    if ground.not_placed.is_empty() {
        drawings.extend(map.strips.iter().map(|strip| over_all(ground, &map, strip)));
    }
    drawings
}

/// What a position hid: as recomputed, or by itself where another position can't be placed.
fn hidden_in(ground: &Ground, berth: &Berth) -> MultiPolygon<f64> {
    let recomputed = &ground.examined.recomputed;
    let project = &ground.examined.project;
    match (recomputed.hidden.get(berth.number), project.positions.get(berth.number)) {
        (Some(hidden), _) => hidden.shape.clone(),
        (None, Some(position)) => {
            exposure::hidden(caps(project, &position.id), &berth.lie, &recomputed.bottom).shape
        }
        (None, None) => MultiPolygon(Vec::new()),
    }
}

fn hatched(sheet: &mut Sheet, shape: &MultiPolygon<f64>, hatches: &[Hatch]) {
    let on_paper = on_paper(sheet, shape);
    for hatch in hatches {
        let lines = hatch::lines(&on_paper, *hatch);
        sheet.canvas.lines(&lines, HATCHING);
    }
    for polygon in &shape.0 {
        let lines = sheet.outline(polygon);
        sheet.canvas.lines(&lines, EDGE);
    }
    for polygon in &on_paper.0 {
        sheet.labels.avoid_shape(polygon.exterior());
    }
}

fn of_position(
    ground: &Ground,
    map: &Map,
    strip: &Strip,
    berth: &Berth,
    shape: &MultiPolygon<f64>,
) -> Drawing {
    let heading = format!(
        "Hidden in position {}, strip {} of {}",
        lettering::label(&berth.id),
        strip.number,
        strip.of
    );
    let mut sheet = map.sheet(ground, strip, heading, Some(&berth.lie), None);
    let hatch = hatch::of_position(berth.number);
    hatched(&mut sheet, shape, &[hatch]);
    close_frame(&mut sheet, ground, strip);
    let meaning = format!("hidden in {}", lettering::label(&berth.id));
    let mut samples = vec![(Sample::Hatched(vec![hatch]), meaning)];
    if ground.bottom.is_some() {
        samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
    }
    legend_under(&mut sheet, &samples);

    let (all, here) = (area_m2(shape), area_m2(&between(shape, strip, map)));
    let of_bottom = match ground.bottom_shape().map(|bottom| area_m2(&bottom)) {
        Some(bottom) => format!(" of {} m\u{b2} of bottom", fixed(bottom, 1)),
        None => String::new(),
    };
    let mut caption = format!(
        "Bottom hidden in position {} (hatched), strip {} of {}, scale {}: {} m\u{b2} in all{of_bottom}, \
         {} m\u{b2} in this strip; areas in plan.",
        berth.id,
        strip.number,
        strip.of,
        map.scale,
        fixed(all, 1),
        fixed(here, 1),
    );
    says_what_is_missing(&mut caption, ground, strip);
    if berth.yaw_unknown {
        caption.push_str(" Yaw not recorded, drawn as 0.");
    }
    let patches = between(shape, strip, map).0.len();
    let alt = format!(
        "Map of the bottom from x {} m to {} m, bow to the right, port above: position {} hid {} m\u{b2} \
         here in {}.",
        fixed(strip.from_m, 1),
        fixed(strip.to_m, 1),
        berth.id,
        fixed(here, 2),
        words::count(patches, "separate patch").replace("patchs", "patches"),
    );
    let title = format!(
        "Exposure map, position {}, strip {} of {}, scale {}",
        berth.id, strip.number, strip.of, map.scale
    );
    let (height_mm, svg) = sheet.finish(&title, &format!("{caption} {alt}"));
    Drawing {
        name: format!("exposure-{}-{}", berth.stem, strip.number),
        group: "exposure".to_string(),
        position: ground.examined.project.positions.get(berth.number).map(|p| p.id.clone()),
        title,
        caption,
        alt,
        width_mm: WIDTH_MM,
        height_mm,
        svg,
    }
}

fn over_all(ground: &Ground, map: &Map, strip: &Strip) -> Drawing {
    let recomputed = &ground.examined.recomputed;
    let heading = format!("Hidden over all positions, strip {} of {}", strip.number, strip.of);
    let mut sheet = map.sheet(ground, strip, heading, None, None);
    let hiding = |class: &Class| -> Vec<usize> {
        class.hidden_in.iter().enumerate().filter(|(_, hidden)| **hidden).map(|(n, _)| n).collect()
    };
    for class in recomputed.classes.iter().filter(|class| !class.never_exposed()) {
        let hatches: Vec<Hatch> = hiding(class).into_iter().map(hatch::of_position).collect();
        if !hatches.is_empty() {
            hatched(&mut sheet, &class.shape, &hatches);
        }
    }
    let never = &recomputed.never_exposed;
    for piece in never {
        let shape = on_paper(&sheet, &MultiPolygon(vec![piece.shape.clone()]));
        sheet.canvas.shape(&shape, Some(NEVER), Some(INK));
    }
    close_frame(&mut sheet, ground, strip);
    let here: Vec<(usize, &Piece)> =
        never.iter().enumerate().filter(|(_, piece)| strip.holds(middle_of(piece).x)).collect();
    for (number, piece) in &here {
        letter_piece(&mut sheet, *number, piece);
    }

    let mut samples: Vec<(Sample, String)> = ground
        .berths
        .iter()
        .map(|berth| {
            let meaning = format!("hidden in {} only", lettering::label(&berth.id));
            (Sample::Hatched(vec![hatch::of_position(berth.number)]), meaning)
        })
        .collect();
    if ground.berths.len() == 1 {
        samples.clear();
    }
    let several = recomputed
        .classes
        .iter()
        .find(|class| !class.never_exposed() && hiding(class).len() > 1)
        .map(|class| hiding(class).into_iter().map(hatch::of_position).collect());
    if let Some(hatches) = several {
        let meaning = "hatches crossed: hidden in each of these positions".to_string();
        samples.push((Sample::Hatched(hatches), meaning));
    }
    samples.push((Sample::Filled, "never exposed, lettered".to_string()));
    legend_under(&mut sheet, &samples);

    let total: f64 = never.iter().map(|piece| piece.area_m2).sum();
    let mut caption = format!(
        "Bottom by the positions that hid it, strip {} of {}, scale {}: {}; never exposed (black) {}, \
         {} m\u{b2} in all; areas in plan.",
        strip.number,
        strip.of,
        map.scale,
        areas(ground, &recomputed.classes),
        words::count(never.len(), "piece"),
        fixed(total, 2),
    );
    says_what_is_missing(&mut caption, ground, strip);
    if sheet.labels.left_out() > 0 {
        let labels = words::count(sheet.labels.left_out(), "letter");
        caption.push_str(&format!(" For want of room {labels} left out; see the table."));
    }
    let alt = format!(
        "Map of the bottom from x {} m to {} m, bow to the right, port above; never exposed here: {}.",
        fixed(strip.from_m, 1),
        fixed(strip.to_m, 1),
        pieces(ground, &here),
    );
    let title = format!(
        "Exposure map over all positions, strip {} of {}, scale {}",
        strip.number, strip.of, map.scale
    );
    let (height_mm, svg) = sheet.finish(&title, &format!("{caption} {alt}"));
    Drawing {
        name: format!("exposure-{OVER_ALL}-{}", strip.number),
        group: format!("exposure-{OVER_ALL}"),
        position: None,
        title,
        caption,
        alt,
        width_mm: WIDTH_MM,
        height_mm,
        svg,
    }
}

fn middle_of(piece: &Piece) -> Coord<f64> {
    let [aft, forward, starboard, port] = piece.extent;
    Coord { x: (aft + forward) / 2.0, y: (starboard + port) / 2.0 }
}

/// The letter and area of a never-exposed piece beside it; one too small to be seen gets a ring.
fn letter_piece(sheet: &mut Sheet, number: usize, piece: &Piece) {
    const SMALL_MM: f64 = 1.2;
    const RING_MM: f64 = 1.8;
    let Some(area) = Area::around(piece.shape.exterior().0.iter().map(|c| sheet.at(*c))) else {
        return;
    };
    let small = area.right - area.left < SMALL_MM && area.bottom - area.top < SMALL_MM;
    let area = if small {
        let at = area.middle();
        sheet.canvas.circle(at, RING_MM, Some(Pen::solid(0.25)), None);
        Area { left: at.x, right: at.x, top: at.y, bottom: at.y }.grown(RING_MM)
    } else {
        area
    };
    sheet.labels.keep_clear(area);
    let letter = words::letter(number);
    let named = |text: String| Named {
        text,
        area,
        inside: Vec::new(),
        upward: false,
        leader: true,
        colour: INK,
    };
    // Of slivers an area to two decimals says nothing.
    let full = named(format!("{letter}: {} m\u{b2}", fixed(piece.area_m2, 2)));
    if piece.area_m2 < 0.01 || !sheet.labels.try_place(&full) {
        sheet.labels.place(&named(letter));
    }
}

/// Areas of the classes in words, from one position hidden to several.
fn areas(ground: &Ground, classes: &[Class]) -> String {
    let project = &ground.examined.project;
    let mut said: Vec<(usize, String)> = Vec::new();
    for class in classes.iter().filter(|class| !class.never_exposed()) {
        let names: Vec<String> = class
            .hidden_in
            .iter()
            .zip(&project.positions)
            .filter(|(hidden, _)| **hidden)
            .map(|(_, position)| lettering::shown(&position.id))
            .collect();
        if !names.is_empty() {
            let area = fixed(class.area_m2, 1);
            said.push((names.len(), format!("{} only {area} m\u{b2}", words::list(&names, 6))));
        }
    }
    said.sort_by_key(|(count, _)| *count);
    let said: Vec<String> = said.into_iter().map(|(_, text)| text).collect();
    if said.is_empty() {
        "nothing hidden in some positions only".to_string()
    } else {
        format!("hidden in {}", words::list(&said, 8))
    }
}

fn pieces(ground: &Ground, here: &[(usize, &Piece)]) -> String {
    let project = &ground.examined.project;
    let said: Vec<String> = here
        .iter()
        .map(|(number, piece)| {
            let [aft, forward, starboard, port] = piece.extent;
            let blocks: Vec<String> = piece
                .hidden_by
                .iter()
                .zip(&project.positions)
                .map(|(blocks, position)| {
                    let ids: Vec<String> = blocks
                        .iter()
                        .filter_map(|n| project.blocks.get(*n))
                        .map(|block| lettering::shown(&block.id))
                        .collect();
                    let position = lettering::shown(&position.id);
                    format!("{} in {position}", words::list(&ids, 4))
                })
                .collect();
            format!(
                "{} of {} m\u{b2} at x {} m to {} m, y {} m to {} m, hidden by {}",
                words::letter(*number),
                fixed(piece.area_m2, 3),
                fixed(aft, 2),
                fixed(forward, 2),
                fixed(starboard, 2),
                fixed(port, 2),
                words::list(&blocks, 6),
            )
        })
        .collect();
    if said.is_empty() { "nothing".to_string() } else { words::list(&said, 12) }
}

/// The part of a shape between a strip's match lines; beyond the ends of the ship too.
fn between(shape: &MultiPolygon<f64>, strip: &Strip, map: &Map) -> MultiPolygon<f64> {
    let whole = map.whole;
    let reach = (whole.forward - whole.aft) + (whole.port - whole.starboard) + 1.0;
    let from = if strip.number == 1 { strip.from_m - reach } else { strip.from_m };
    let to = if strip.number == strip.of { strip.to_m + reach } else { strip.to_m };
    let (low, high) = (whole.starboard - reach, whole.port + reach);
    let ring = vec![
        Coord { x: from, y: low },
        Coord { x: to, y: low },
        Coord { x: to, y: high },
        Coord { x: from, y: high },
    ];
    let part = geo::Polygon::new(geo::LineString::new(ring), vec![]);
    common(shape, &MultiPolygon(vec![part]))
}

fn says_what_is_missing(caption: &mut String, ground: &Ground, strip: &Strip) {
    if ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded: caps are shown whole.");
    }
    if strip.number == 1 {
        caption.push_str(&ground.says_not_placed());
    }
}
