//! What the positions hid, laid over each other in hull axes on one sheet, with what no position exposed enlarged.

use geo::{MultiPolygon, Polygon};

use super::drawing::{Drawing, Group};
use super::enlarged;
use super::ground::{Berth, Extent, Ground, extent_of};
use super::hatch::{self, Hatch};
use super::legend::Sample;
use super::lettering;
use super::strip_map::{MapTitle, Sheet, StripMap, StripWords};
use super::words;
use crate::calc::exposure::{self, Class};
use crate::calc::plane::area_m2;
use crate::findings::recomputed::caps;

/// What a position hid.
type Hidden<'a> = (&'a Berth, MultiPolygon<f64>);

/// The overlay of the positions that can be placed, and the largest pieces that none of them exposed.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let mut drawings = overlaid(ground, Group::Exposure, "exposure", "");
    drawings.extend(enlarged::drawing(ground).filter(|_| !drawings.is_empty()));
    drawings
}

/// The overlay of the positions that can be placed, for its place in the report; `so` stands at the end of its title.
pub fn overlaid(ground: &Ground, group: Group, name: &str, so: &str) -> Vec<Drawing> {
    let hidden: Vec<Hidden<'_>> =
        ground.berths.iter().map(|berth| (berth, hidden_in(ground, berth))).collect();
    let extents = || hidden.iter().flat_map(|(_, shape)| &shape.0).filter_map(extent_of);
    let whole = ground
        .bottom
        .and_then(extent_of)
        .or_else(|| extents().filter(|extent| ground.draws(extent)).reduce(Extent::with));
    let Some(whole) = whole.filter(|_| !hidden.is_empty()) else { return Vec::new() };
    let map = StripMap::on_sheet(ground, whole);
    let what = match hidden.as_slice() {
        [(berth, _)] => format!("Hidden in position {}{so}", berth.id),
        _ if so.is_empty() => "Hidden in each position, laid over each other".to_string(),
        _ => format!("Hidden in each position{so}"),
    };
    let map_title =
        MapTitle { group, name: name.to_string(), heading: what.clone(), title: what, berth: None };
    map.draw(&map_title, |_, _| map.without_outline(), |sheet| overlay(sheet, &hidden))
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

fn overlay(sheet: &mut Sheet, hidden: &[Hidden<'_>]) -> StripWords {
    let ground = sheet.ground;
    let recomputed = &ground.examined.recomputed;
    // Where a position can't be placed, nobody knows what no position exposed.
    let all_placed = ground.not_placed.is_empty();
    let never: Vec<&Polygon<f64>> = match all_placed {
        true => recomputed.never_exposed.iter().map(|piece| &piece.shape).collect(),
        false => Vec::new(),
    };
    for (berth, shape) in hidden {
        sheet.hatched(shape, &[hatch::of_position(berth.number)]);
    }
    sheet.never_exposed(&never);

    let mut samples: Vec<(Sample, String)> = hidden
        .iter()
        .map(|(berth, _)| {
            let meaning = format!("hidden in {}", lettering::label(&berth.id));
            (Sample::Hatched(vec![hatch::of_position(berth.number)]), meaning)
        })
        .collect();
    let crossed = recomputed.classes.iter().filter(|class| all_placed && !class.never_exposed());
    if let Some(crossed) = crossed.map(hatches).find(|hatches| hatches.len() > 1) {
        let meaning = "hatches crossed: hidden in each of these positions".to_string();
        samples.push((Sample::Hatched(crossed), meaning));
    }
    if !never.is_empty() {
        samples.push((Sample::Filled, "hidden in every position, lettered".to_string()));
    }
    sheet.legend_with_outline(samples);

    let worth = if all_placed { enlarged::worth(ground) } else { Vec::new() };
    let mut drawn = Vec::new();
    if !worth.is_empty() {
        sheet.under(|canvas, width_mm, top_mm| {
            let (numbers, reached) =
                enlarged::windows(canvas, ground, width_mm, top_mm + 6.0, &worth);
            drawn = numbers;
            reached
        });
    }
    let caption = format!(
        "{}{}{}{}",
        if drawn.is_empty() {
            "Areas are in plan."
        } else {
            "Areas are in plan; below, the largest lettered pieces enlarged."
        },
        sheet.missing_note(),
        yaw_note(ground),
        sheet.labels.left_out_note("letter", "table"),
    );
    let hid = hidden
        .iter()
        .map(|(berth, shape)| format!("{} hid {}", berth.id, ground.units.area(area_m2(shape), 1)));
    let both = match (all_placed, never.len()) {
        (false, _) => String::new(),
        (true, 0) => " No piece was hidden in every position.".to_string(),
        (true, _) => format!(" {}", areas(ground)),
    };
    let alt = format!(
        "{}: {}.{both}",
        sheet.map_of_the_bottom(),
        words::list(&hid.collect::<Vec<_>>(), 8),
    );
    StripWords { caption, alt }
}

/// The hatches of the positions that hid a part of the bottom.
fn hatches(class: &Class) -> Vec<Hatch> {
    let hidden = class.hidden_in.iter().enumerate().filter(|(_, hidden)| **hidden);
    hidden.map(|(n, _)| hatch::of_position(n)).collect()
}

/// Which positions are drawn without their yaw.
fn yaw_note(ground: &Ground) -> String {
    let unknown = ground.berths.iter().filter(|berth| berth.yaw_unknown);
    let unknown: Vec<String> = unknown.map(|berth| berth.id.clone()).collect();
    match unknown.as_slice() {
        [] => String::new(),
        some => format!(" Yaw not recorded in {}, drawn as 0.", words::list(some, 8)),
    }
}

/// What was hidden in every position, in words.
fn areas(ground: &Ground) -> String {
    let recomputed = &ground.examined.recomputed;
    let pieces = words::count(recomputed.never_exposed.len(), "piece");
    let area: f64 = recomputed.never_exposed.iter().map(|piece| piece.area_m2).sum();
    format!("Hidden in every position: {pieces}, {} in all.", ground.units.area(area, 3))
}
