//! Exposure maps: what each position hid, and the bottom by the positions that hid it, in strips.

use geo::{MultiPolygon, Polygon};

use super::bottom_map::{
    LEGEND_MM, Map, OUTLINE, close_frame, hatched, legend_under, never_exposed, outline,
    says_what_is_missing,
};
use super::ground::{Berth, Extent, Ground, OVER_ALL, extent_of};
use super::hatch::{self, Hatch};
use super::legend::Sample;
use super::scale::Strip;
use super::sheet::Told;
use super::{Drawing, lettering, words};
use crate::calc::exposure::{self, Class, Piece};
use crate::calc::plane::area_m2;
use crate::findings::recomputed::caps;
use crate::units::fixed;

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
    outline(&mut sheet, ground);
    close_frame(&mut sheet, ground, strip);
    let meaning = format!("hidden in {}", lettering::label(&berth.id));
    let mut samples = vec![(Sample::Hatched(vec![hatch]), meaning)];
    if ground.bottom.is_some() {
        samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
    }
    legend_under(&mut sheet, &samples);

    let (all, here) = (area_m2(shape), area_m2(&map.between(shape, strip)));
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
    let patches = map.between(shape, strip).0.len();
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
    sheet.drawn(Told {
        name: format!("exposure-{}-{}", berth.stem, strip.number),
        group: "exposure".to_string(),
        position: ground.examined.project.positions.get(berth.number).map(|p| p.id.clone()),
        title,
        caption,
        alt,
    })
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
    let shapes: Vec<&Polygon<f64>> = never.iter().map(|piece| &piece.shape).collect();
    let here = never_exposed(&mut sheet, ground, strip, &shapes);
    let here: Vec<(usize, &Piece)> = here.into_iter().map(|n| (n, &never[n])).collect();

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
    caption.push_str(&sheet.labels.says_left_out("letter", "table"));
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
    sheet.drawn(Told {
        name: format!("exposure-{OVER_ALL}-{}", strip.number),
        group: format!("exposure-{OVER_ALL}"),
        position: None,
        title,
        caption,
        alt,
    })
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
