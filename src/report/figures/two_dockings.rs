//! What stood on blocks in two dockings, on one map of the bottom, in strips.

use geo::{MultiPolygon, Polygon};

use super::bottom_map::{LEGEND_MM, Map, OUTLINE, hatched, legend_under, never_exposed};
use super::ground::{Ground, extent_of};
use super::hatch;
use super::legend::Sample;
use super::scale::Strip;
use super::sheet::Told;
use super::{Drawing, lettering, words};
use crate::calc::plane::{area_m2, common, extent, solid, without};
use crate::findings::Examined;
use crate::units::fixed;

/// What two dockings hid, in hull axes.
#[derive(Debug, Clone, Copy)]
pub struct Overlaid<'a> {
    /// Names of the older and the newer docking.
    pub names: [&'a str; 2],
    /// What stood on blocks in some position of each.
    pub under_blocks: [&'a MultiPolygon<f64>; 2],
    /// What was never exposed in either, in the order in which it is lettered.
    pub never: &'a [Polygon<f64>],
}

/// The map, with the outline and the frames of the newer docking; none where nothing stood on blocks.
pub fn two_dockings(newer: &Examined, overlaid: &Overlaid<'_>) -> Vec<Drawing> {
    let ground = Ground::new(newer);
    let [was, is] = overlaid.under_blocks;
    let shapes = || was.0.iter().chain(&is.0).filter_map(extent_of);
    if shapes().next().is_none() {
        return Vec::new();
    }
    let drawn = shapes().filter(|extent| ground.draws(extent)).reduce(|a, b| a.with(b));
    let Some(whole) = ground.bottom.and_then(extent_of).or(drawn) else { return Vec::new() };
    let solid_x: Vec<(f64, f64)> = shapes().map(|extent| (extent.aft, extent.forward)).collect();
    let map = Map::new(whole, LEGEND_MM, &solid_x);
    let both = solid(&common(was, is));
    let parts = [solid(&without(was, is)), solid(&without(is, was)), both];
    map.strips.iter().map(|strip| of_strip(&ground, &map, strip, overlaid, &parts)).collect()
}

fn of_strip(
    ground: &Ground,
    map: &Map,
    strip: &Strip,
    overlaid: &Overlaid<'_>,
    parts: &[MultiPolygon<f64>; 3],
) -> Drawing {
    let hatches = [hatch::of_position(0), hatch::of_position(1)];
    let names = overlaid.names.map(lettering::shown);
    let heading = format!("On blocks then and now, strip {} of {}", strip.number, strip.of);
    let mut sheet = map.sheet(ground, strip, heading, None, None);
    hatched(&mut sheet, &parts[0], &hatches[..1]);
    hatched(&mut sheet, &parts[1], &hatches[1..]);
    hatched(&mut sheet, &parts[2], &hatches);
    let never: Vec<&Polygon<f64>> = overlaid.never.iter().collect();
    let here = never_exposed(&mut sheet, ground, strip, &never);
    let here: Vec<(usize, &Polygon<f64>)> = here.into_iter().map(|n| (n, never[n])).collect();
    let mut samples = vec![
        (Sample::Hatched(vec![hatches[0]]), format!("on blocks in {} only", names[0])),
        (Sample::Hatched(vec![hatches[1]]), format!("on blocks in {} only", names[1])),
        (Sample::Hatched(hatches.to_vec()), "on blocks in both".to_string()),
        (Sample::Filled, "never exposed in either, lettered".to_string()),
    ];
    if ground.bottom.is_some() {
        samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
    }
    legend_under(&mut sheet, &samples);

    let areas = |shape: &MultiPolygon<f64>| fixed(area_m2(shape), 1);
    let [was, is, both] = parts;
    let mut caption = format!(
        "Bottom that stood on blocks in some position of {} and of {}, strip {} of {}, scale {}: then only \
         {} m\u{b2}, now only {} m\u{b2}, both times {} m\u{b2} in all; never exposed in either (black) {}; \
         areas in plan.",
        names[0],
        names[1],
        strip.number,
        strip.of,
        map.scale,
        areas(was),
        areas(is),
        areas(both),
        words::count(overlaid.never.len(), "piece"),
    );
    if ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded: caps are shown whole.");
    }
    caption.push_str(&sheet.labels.says_left_out("letter", "table"));
    let alt = format!(
        "Map of the bottom from x {} m to {} m, bow to the right, port above: on blocks here then only {} \
         m\u{b2}, now only {} m\u{b2}, both times {} m\u{b2}; never exposed in either docking: {}.",
        fixed(strip.from_m, 1),
        fixed(strip.to_m, 1),
        areas(&map.between(was, strip)),
        areas(&map.between(is, strip)),
        areas(&map.between(both, strip)),
        pieces(&here),
    );
    let title = format!(
        "Blocks of two dockings, strip {} of {}, scale {}",
        strip.number, strip.of, map.scale
    );
    sheet.drawn(Told {
        name: format!("two-dockings-{}", strip.number),
        group: "two-dockings".to_string(),
        position: None,
        title,
        caption,
        alt,
    })
}

fn pieces(here: &[(usize, &Polygon<f64>)]) -> String {
    let said: Vec<String> = here
        .iter()
        .map(|(number, shape)| {
            let [aft, forward, starboard, port] = extent(shape).unwrap_or([0.0; 4]);
            format!(
                "{} at x {} m to {} m, y {} m to {} m",
                words::letter(*number),
                fixed(aft, 2),
                fixed(forward, 2),
                fixed(starboard, 2),
                fixed(port, 2)
            )
        })
        .collect();
    if said.is_empty() { "nothing".to_string() } else { words::list(&said, 12) }
}
