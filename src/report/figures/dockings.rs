//! The bottom over several dockings, in strips: by the docking whose coat lies uppermost, with what no docking
//! exposed, and what stood on blocks in two dockings.

use geo::{MultiPolygon, Polygon};

use super::drawing::{Drawing, Group, Words};
use super::ground::{Ground, extent_of};
use super::hatch::{self, Hatch};
use super::legend::{self, Sample};
use super::lettering;
use super::strip_map::{
    FULL_TINT, LEGEND_MM, MapTitle, OUTLINE, Sheet, StripMap, StripWords, UNKNOWN,
};
use super::words;
use crate::calc::plane::{area_m2, common, extent, solid, union, without};
use crate::findings::Examined;
use crate::findings::recomputed::history::{History, Lies};

/// Steel without a coat.
const NO_COAT: [Hatch; 2] =
    [Hatch { angle_deg: 45.0, spacing_mm: 1.6 }, Hatch { angle_deg: 135.0, spacing_mm: 1.6 }];

/// A part of the bottom with its mark and its meaning.
struct Layer {
    mark: Sample,
    meaning: String,
    shape: MultiPolygon<f64>,
}

impl Layer {
    fn hatched(hatches: &[Hatch], meaning: impl Into<String>, shape: MultiPolygon<f64>) -> Self {
        Self { mark: Sample::Hatched(hatches.to_vec()), meaning: meaning.into(), shape }
    }

    fn draw(&self, sheet: &mut Sheet) {
        match &self.mark {
            Sample::Tinted(tint, _) => sheet.tinted(&self.shape, tint),
            Sample::Hatched(hatches) => sheet.hatched(&self.shape, hatches),
            _ => {}
        }
    }
}

/// Draws the layers and, in black, what was never exposed, with a legend; returns the numbers of the pieces that are
/// lettered in this strip.
fn draw(sheet: &mut Sheet, layers: &[Layer], never: &[&Polygon<f64>], meaning: &str) -> Vec<usize> {
    layers.iter().for_each(|layer| layer.draw(sheet));
    let here = sheet.never_exposed(never);
    let samples = layers.iter().map(|layer| (layer.mark.clone(), layer.meaning.clone()));
    let black = (Sample::Filled, meaning.to_string());
    sheet.legend_with_outline(samples.chain([black]).collect());
    here
}

/// The uppermost coats; none without an earlier docking, or with nothing to draw.
pub fn uppermost_coats(ground: &Ground) -> Vec<Drawing> {
    let Some(history) = &ground.examined.recomputed.history else { return Vec::new() };
    let layers = uppermost_layers(history);
    let shapes = layers.iter().flat_map(|layer| &layer.shape.0);
    let whole = ground.bottom.into_iter().chain(shapes).filter_map(extent_of);
    let Some(whole) = whole.filter(|extent| ground.draws(extent)).reduce(|a, b| a.with(b)) else {
        return Vec::new();
    };
    let patches = history.patches.iter().flat_map(|patches| &patches.pieces);
    let solid = history.never_exposed.iter().map(|piece| &piece.shape);
    let solid = solid.chain(patches.map(|patch| &patch.shape)).filter_map(extent_of);
    let map = StripMap::new(ground, whole, LEGEND_MM, solid);
    let map_title = MapTitle {
        group: Group::History,
        name: "history".to_string(),
        heading: "Uppermost coats by docking".to_string(),
        title: "Uppermost coats by docking".to_string(),
        berth: None,
    };
    map.draw(&map_title, |_, _| map.without_outline(), |sheet| uppermost(sheet, history, &layers))
}

/// The coats of each docking together, then steel without one, then what can't be told.
fn uppermost_layers(history: &History) -> Vec<Layer> {
    let of = |wanted: &dyn Fn(usize, Lies) -> bool| {
        let found = history.uppermost.iter().filter(|one| wanted(one.docking, one.lies));
        union(found.flat_map(|one| &one.shape.0))
    };
    let is_coat = |lies: Lies| matches!(lies, Lies::Coat(_));
    let mut layers: Vec<Layer> = (0..history.dockings.len())
        .rev()
        .map(|docking| Layer {
            mark: match docking == history.newest() {
                true => Sample::Tinted(FULL_TINT, vec![]),
                false => Sample::Hatched(vec![hatch::of_position(docking)]),
            },
            meaning: format!("coat of {}", lettering::shown(history.called(docking))),
            shape: of(&|at, lies| at == docking && is_coat(lies)),
        })
        .collect();
    let blasted = of(&|_, lies| lies == Lies::Blasted);
    layers.push(Layer::hatched(
        &NO_COAT,
        "no coat on record, or blasted and not coated again",
        union(blasted.0.iter().chain(&history.no_coat.0)),
    ));
    layers.push(Layer::hatched(
        &UNKNOWN,
        "coats that can't be placed",
        of(&|_, lies| lies == Lies::NotKnown),
    ));
    layers.retain(|layer| !layer.shape.0.is_empty());
    layers
}

fn uppermost(sheet: &mut Sheet, history: &History, layers: &[Layer]) -> StripWords {
    let never = &history.never_exposed;
    let shapes: Vec<&Polygon<f64>> = never.iter().map(|piece| &piece.shape).collect();
    let here = draw(sheet, layers, &shapes, "never exposed in any docking, lettered");

    let areas = |part: &dyn Fn(&MultiPolygon<f64>) -> f64| -> String {
        let each: Vec<String> = layers
            .iter()
            .map(|layer| format!("{} {}", layer.meaning, sheet.units.area(part(&layer.shape), 2)))
            .collect();
        words::list(&each, 12)
    };
    let total: f64 = never.iter().map(|piece| piece.area_m2).sum();
    let mut caption = format!(
        "Bottom by what lies uppermost on it. Over all strips, in plan: {}; never exposed in any docking (black) {}, \
         {} in all.",
        areas(&area_m2),
        words::count(never.len(), "piece"),
        sheet.units.area(total, 3),
    );
    let not_placed = history.not_placed();
    if !not_placed.is_empty() {
        caption.push_str(&format!(
            " Left out of what was never exposed, since not every position can be placed with its blocks: {}.",
            not_placed.join(", ")
        ));
    }
    caption.push_str(&sheet.missing_note());
    caption.push_str(&sheet.labels.left_out_note("letter", "table"));
    let pieces = here.into_iter().map(|n| {
        let (area, place) =
            (sheet.units.area(never[n].area_m2, 3), sheet.units.place(never[n].extent));
        format!("{} of {area} at {place}", words::letter(n))
    });
    let alt = format!(
        "{}. Here: {}; never exposed: {}.",
        sheet.map_of_the_bottom(),
        areas(&|shape| area_m2(&sheet.part_of(shape))),
        words::list_or_nothing(pieces),
    );
    StripWords { caption, alt }
}

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

/// Height for the strips of the overlay, so that its legend and caption stand on the same page, mm.
const STRIPS_MM: f64 = 206.0;
/// Pieces that the alternative text places.
const MOST_PLACED: usize = 4;

/// What stood on blocks in both: a net closer than the hatch of either docking, and in neither’s direction.
const IN_BOTH: [Hatch; 2] =
    [Hatch { angle_deg: 0.0, spacing_mm: 0.5 }, Hatch { angle_deg: 90.0, spacing_mm: 0.5 }];

/// What stood on blocks in two dockings, with the outline and the frames of the newer one; none where nothing stood
/// on blocks.
pub fn two_dockings(newer: &Examined, overlaid: &Overlaid<'_>) -> Option<Drawing> {
    let ground = Ground::new(newer);
    let [was, is] = overlaid.under_blocks;
    let extents = || was.0.iter().chain(&is.0).filter_map(extent_of);
    extents().next()?;
    let drawn = extents().filter(|extent| ground.draws(extent)).reduce(|a, b| a.with(b));
    let whole = ground.bottom.and_then(extent_of).or(drawn)?;
    let map = StripMap::stacked(&ground, whole, STRIPS_MM, extents());
    let [then, now] = overlaid.names.map(lettering::shown);
    let layers = [
        Layer::hatched(
            &[hatch::of_position(0)],
            format!("on blocks in {then} only"),
            solid(&without(was, is)),
        ),
        Layer::hatched(
            &[hatch::of_position(1)],
            format!("on blocks in {now} only"),
            solid(&without(is, was)),
        ),
        Layer::hatched(&IN_BOTH, "on blocks in both", solid(&common(was, is))),
    ];
    let map_title = MapTitle {
        group: Group::TwoDockings,
        name: "two-dockings".to_string(),
        heading: "On blocks then and now".to_string(),
        title: "On blocks then and now".to_string(),
        berth: None,
    };
    let never: Vec<&Polygon<f64>> = overlaid.never.iter().collect();
    let mut left_out = 0;
    let (mut canvas, used) = map.draw_stacked(
        &map_title,
        |_, _| map.without_outline(),
        |sheet| {
            layers.iter().for_each(|layer| layer.draw(sheet));
            sheet.never_exposed(&never);
            left_out += sheet.labels.left_out();
        },
    );
    let mut samples: Vec<(Sample, String)> = layers
        .iter()
        .filter(|layer| !layer.shape.0.is_empty())
        .map(|layer| (layer.mark.clone(), layer.meaning.clone()))
        .collect();
    if !never.is_empty() {
        samples.push((Sample::Filled, "never exposed in either, lettered".to_string()));
    }
    if ground.bottom.is_some() {
        samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
    }
    let used = legend::rows(&mut canvas, used + 0.5, &samples);

    let units = ground.units;
    let [then_only, now_only, both] =
        layers.each_ref().map(|layer| units.area(area_m2(&layer.shape), 1));
    let mut caption = format!("Then only {then_only}, now only {now_only}, both times {both}.");
    if ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded: caps are shown whole.");
    }
    if left_out > 0 {
        let letters = words::count(left_out, "letter");
        caption.push_str(&format!(" Left out for want of room: {letters}; see the table."));
    }
    let pieces = overlaid.never.iter().enumerate().map(|(n, shape)| {
        let place = units.place(extent(shape).unwrap_or([0.0; 4]));
        format!("{} at {place}", words::letter(n))
    });
    let alt = format!(
        "Map of the bottom, bow to the right, port above, in {}. Never exposed in either docking: {}.",
        words::count(map.strips(), "strip"),
        match never.len() {
            0 => "nothing".to_string(),
            _ => words::list(&pieces.collect::<Vec<_>>(), MOST_PLACED),
        }
    );
    let title = format!("{}, scale {}", map_title.title, map.scale());
    let words = Words { title, caption, alt };
    Some(Drawing::new(Group::TwoDockings, map_title.name, None, words, canvas, used))
}

#[cfg(test)]
mod tests;
