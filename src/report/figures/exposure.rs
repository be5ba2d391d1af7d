//! Exposure maps: what each position hid, and the bottom by the positions that hid it, in strips.

use geo::{MultiPolygon, Polygon};

use super::drawing::{Drawing, Group};
use super::ground::{Berth, Extent, Ground, OVER_ALL, extent_of};
use super::hatch::{self, Hatch};
use super::legend::Sample;
use super::lettering;
use super::strip_map::{LEGEND_MM, MapTitle, Sheet, StripMap, StripWords};
use super::words;
use crate::calc::exposure::{self, Class, Piece};
use crate::calc::plane::area_m2;
use crate::findings::recomputed::caps;

/// Maps of each position that can be placed, then of all together if all can be placed.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let hidden: Vec<(&Berth, MultiPolygon<f64>)> =
        ground.berths.iter().map(|berth| (berth, hidden_in(ground, berth))).collect();
    let extents = || hidden.iter().flat_map(|(_, shape)| &shape.0).filter_map(extent_of);
    let whole = ground
        .bottom
        .and_then(extent_of)
        .or_else(|| extents().filter(|extent| ground.draws(extent)).reduce(Extent::with));
    let Some(whole) = whole.filter(|_| !hidden.is_empty()) else { return Vec::new() };
    let map = StripMap::new(ground, whole, LEGEND_MM, extents());
    let mut drawings = Vec::new();
    for (berth, shape) in &hidden {
        let id = lettering::label(&berth.id);
        let map_title = MapTitle {
            group: Group::Exposure,
            name: format!("exposure-{}", berth.stem),
            heading: format!("Hidden in position {id}"),
            title: format!("Exposure map, position {}", berth.id),
            berth: Some(berth),
        };
        let inside = |sheet: &mut Sheet| of_position(sheet, berth, shape);
        drawings.extend(map.draw(&map_title, |_, _| map.without_outline(), inside));
    }
    if ground.not_placed.is_empty() {
        let map_title = MapTitle {
            group: Group::ExposureOverAll,
            name: format!("exposure-{OVER_ALL}"),
            heading: "Hidden over all positions".to_string(),
            title: "Exposure map over all positions".to_string(),
            berth: None,
        };
        drawings.extend(map.draw(&map_title, |_, _| map.without_outline(), over_all));
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

fn of_position(sheet: &mut Sheet, berth: &Berth, shape: &MultiPolygon<f64>) -> StripWords {
    let hatch = hatch::of_position(berth.number);
    sheet.hatched(shape, &[hatch]);
    sheet.outline();
    sheet.close_frame();
    let meaning = format!("hidden in {}", lettering::label(&berth.id));
    sheet.legend_with_outline(vec![(Sample::Hatched(vec![hatch]), meaning)]);

    let (ground, part) = (sheet.ground, sheet.part_of(shape));
    let of_bottom = ground.bottom_shape().map_or(String::new(), |bottom| {
        format!(" of {} of bottom", ground.units.area(area_m2(&bottom), 1))
    });
    let mut caption = format!(
        "Bottom hidden in position {} (hatched): {} in this strip, {} in all{of_bottom}; areas in plan.{}",
        berth.id,
        ground.units.area(area_m2(&part), 1),
        ground.units.area(area_m2(shape), 1),
        sheet.missing_note(),
    );
    if berth.yaw_unknown {
        caption.push_str(" Yaw not recorded, drawn as 0.");
    }
    let alt = format!(
        "{}: position {} hid {} here in {}.",
        sheet.map_of_the_bottom(),
        berth.id,
        ground.units.area(area_m2(&part), 2),
        words::count(part.0.len(), "separate patch"),
    );
    StripWords { caption, alt }
}

fn over_all(sheet: &mut Sheet) -> StripWords {
    let ground = sheet.ground;
    let recomputed = &ground.examined.recomputed;
    let hatches = |class: &Class| -> Vec<Hatch> {
        let hidden = class.hidden_in.iter().enumerate().filter(|(_, hidden)| **hidden);
        hidden.map(|(n, _)| hatch::of_position(n)).collect()
    };
    let exposed_in_some = || recomputed.classes.iter().filter(|class| !class.never_exposed());
    for class in exposed_in_some() {
        let hatches = hatches(class);
        if !hatches.is_empty() {
            sheet.hatched(&class.shape, &hatches);
        }
    }
    let never = &recomputed.never_exposed;
    let shapes: Vec<&Polygon<f64>> = never.iter().map(|piece| &piece.shape).collect();
    let here = sheet.never_exposed(&shapes);

    let mut samples: Vec<(Sample, String)> = Vec::new();
    if let several @ [_, _, ..] = ground.berths.as_slice() {
        samples.extend(several.iter().map(|berth| {
            let meaning = format!("hidden in {} only", lettering::label(&berth.id));
            (Sample::Hatched(vec![hatch::of_position(berth.number)]), meaning)
        }));
    }
    if let Some(crossed) = exposed_in_some().map(hatches).find(|hatches| hatches.len() > 1) {
        let meaning = "hatches crossed: hidden in each of these positions".to_string();
        samples.push((Sample::Hatched(crossed), meaning));
    }
    if !never.is_empty() {
        samples.push((Sample::Filled, "never exposed, lettered".to_string()));
    }
    sheet.legend_with_outline(samples);

    let total: f64 = never.iter().map(|piece| piece.area_m2).sum();
    let never_exposed = if never.is_empty() {
        "no piece was never exposed".to_string()
    } else {
        let pieces = words::count(never.len(), "piece");
        format!("never exposed (black) {pieces}, {} in all", ground.units.area(total, 2))
    };
    let caption = format!(
        "Bottom by the positions that hid it, over all strips: {}; {never_exposed}; areas in plan.{}{}",
        areas(ground, &recomputed.classes),
        sheet.missing_note(),
        sheet.labels.left_out_note("letter", "table"),
    );
    let pieces = here.into_iter().map(|n| piece_in_words(ground, n, &never[n]));
    let alt = format!(
        "{}; never exposed here: {}.",
        sheet.map_of_the_bottom(),
        words::list_or_nothing(pieces),
    );
    StripWords { caption, alt }
}

/// Areas of the classes in words, from one position hidden to several.
fn areas(ground: &Ground, classes: &[Class]) -> String {
    let positions = &ground.examined.project.positions;
    let mut parts: Vec<(usize, String)> = Vec::new();
    for class in classes.iter().filter(|class| !class.never_exposed()) {
        let hidden = class.hidden_in.iter().zip(positions).filter(|(hidden, _)| **hidden);
        let names: Vec<String> =
            hidden.map(|(_, position)| lettering::shown(&position.id)).collect();
        if !names.is_empty() {
            let area = ground.units.area(class.area_m2, 1);
            parts.push((names.len(), format!("{} only {area}", words::list(&names, 6))));
        }
    }
    parts.sort_by_key(|(count, _)| *count);
    let parts: Vec<String> = parts.into_iter().map(|(_, text)| text).collect();
    if parts.is_empty() {
        "nothing was hidden in some positions only".to_string()
    } else {
        format!("hidden in {}", words::list(&parts, 8))
    }
}

fn piece_in_words(ground: &Ground, number: usize, piece: &Piece) -> String {
    let project = &ground.examined.project;
    let of_position = piece.hidden_by.iter().zip(&project.positions);
    let blocks: Vec<String> = of_position
        .map(|(blocks, position)| {
            let blocks = blocks.iter().filter_map(|n| project.blocks.get(*n));
            let ids: Vec<String> = blocks.map(|block| lettering::shown(&block.id)).collect();
            format!("{} in {}", words::list(&ids, 4), lettering::shown(&position.id))
        })
        .collect();
    format!(
        "{} of {} at {}, hidden by {}",
        words::letter(number),
        ground.units.area(piece.area_m2, 3),
        ground.units.place(piece.extent),
        words::list(&blocks, 6),
    )
}
