//! The bottom by the docking whose coat lies uppermost, and what no docking exposed, in strips.

use geo::{MultiPolygon, Polygon};

use super::bottom_map::{
    FULL_TINT, LEGEND_MM, Map, OUTLINE, UNKNOWN, hatched, legend_under, never_exposed,
    says_what_is_missing,
};
use super::ground::{Ground, extent_of};
use super::hatch::{self, Hatch};
use super::legend::Sample;
use super::scale::Strip;
use super::sheet::Told;
use super::{Drawing, lettering, on_paper, words};
use crate::calc::exposure::Piece;
use crate::calc::plane::{area_m2, union};
use crate::findings::recomputed::history::{History, Lies};
use crate::units::fixed;

/// Steel without a coat.
const NO_COAT: [Hatch; 2] =
    [Hatch { angle_deg: 45.0, spacing_mm: 1.6 }, Hatch { angle_deg: 135.0, spacing_mm: 1.6 }];

/// What the strips show, the uppermost first, each with its meaning.
struct Layer {
    mark: Mark,
    meaning: String,
    shape: MultiPolygon<f64>,
}

enum Mark {
    /// A coat of this docking.
    Tint,
    /// Any other.
    Hatches(Vec<Hatch>),
}

/// The map in strips; none without an earlier docking, or with nothing to draw.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let Some(history) = &ground.examined.recomputed.history else { return Vec::new() };
    let layers = layers(history);
    let shapes = layers.iter().flat_map(|layer| &layer.shape.0);
    let whole = ground.bottom.into_iter().chain(shapes).filter_map(extent_of);
    let Some(whole) = whole.filter(|extent| ground.draws(extent)).reduce(|a, b| a.with(b)) else {
        return Vec::new();
    };
    let patches = history.patches.iter().flat_map(|patches| &patches.pieces);
    let solid = history.never_exposed.iter().map(|piece| &piece.shape);
    let solid = solid.chain(patches.map(|patch| &patch.shape)).filter_map(extent_of);
    let solid: Vec<(f64, f64)> = solid.map(|extent| (extent.aft, extent.forward)).collect();
    let map = Map::new(whole, LEGEND_MM, &solid);
    map.strips.iter().map(|strip| drawing(ground, history, &layers, &map, strip)).collect()
}

/// The coats of each docking together, then steel without one, then what can't be told.
fn layers(history: &History) -> Vec<Layer> {
    let of = |wanted: &dyn Fn(usize, Lies) -> bool| {
        let found = history.uppermost.iter().filter(|one| wanted(one.docking, one.lies));
        union(found.flat_map(|one| &one.shape.0))
    };
    let is_coat = |lies: Lies| matches!(lies, Lies::Coat(_));
    let mut layers: Vec<Layer> = (0..history.dockings.len())
        .rev()
        .map(|docking| Layer {
            mark: match docking == history.newest() {
                true => Mark::Tint,
                false => Mark::Hatches(vec![hatch::of_position(docking)]),
            },
            meaning: format!("coat of {}", lettering::shown(history.called(docking))),
            shape: of(&|at, lies| at == docking && is_coat(lies)),
        })
        .collect();
    let blasted = of(&|_, lies| lies == Lies::Blasted);
    layers.push(Layer {
        mark: Mark::Hatches(NO_COAT.to_vec()),
        meaning: "no coat on record, or blasted and not coated again".to_string(),
        shape: union(blasted.0.iter().chain(&history.no_coat.0)),
    });
    layers.push(Layer {
        mark: Mark::Hatches(UNKNOWN.to_vec()),
        meaning: "coats that can't be placed".to_string(),
        shape: of(&|_, lies| lies == Lies::NotKnown),
    });
    layers.retain(|layer| !layer.shape.0.is_empty());
    layers
}

fn drawing(
    ground: &Ground,
    history: &History,
    layers: &[Layer],
    map: &Map,
    strip: &Strip,
) -> Drawing {
    let heading = format!("Uppermost coats by docking, strip {} of {}", strip.number, strip.of);
    let mut sheet = map.sheet(ground, strip, heading, None, None);
    for layer in layers {
        match &layer.mark {
            Mark::Tint => {
                let shape = on_paper(&sheet, &layer.shape);
                sheet.canvas.shape(&shape, None, Some(FULL_TINT));
            }
            Mark::Hatches(hatches) => hatched(&mut sheet, &layer.shape, hatches),
        }
    }
    let never = &history.never_exposed;
    let shapes: Vec<&Polygon<f64>> = never.iter().map(|piece| &piece.shape).collect();
    let here = never_exposed(&mut sheet, ground, strip, &shapes);
    let here: Vec<(usize, &Piece)> = here.into_iter().map(|n| (n, &never[n])).collect();
    let mut samples: Vec<(Sample, String)> = layers
        .iter()
        .map(|layer| {
            let sample = match &layer.mark {
                Mark::Tint => Sample::Tinted(FULL_TINT, vec![]),
                Mark::Hatches(hatches) => Sample::Hatched(hatches.clone()),
            };
            (sample, layer.meaning.clone())
        })
        .collect();
    samples.push((Sample::Filled, "never exposed in any docking, lettered".to_string()));
    if ground.bottom.is_some() {
        samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
    }
    legend_under(&mut sheet, &samples);

    let total: f64 = never.iter().map(|piece| piece.area_m2).sum();
    let mut caption = format!(
        "Bottom by what lies uppermost on it, strip {} of {}, scale {}. In plan: {}; never exposed in any \
         docking (black) {}, {} m\u{b2} in all.",
        strip.number,
        strip.of,
        map.scale,
        areas(layers, |shape| shape.clone()),
        words::count(never.len(), "piece"),
        fixed(total, 3),
    );
    let not_placed = history.not_placed();
    if !not_placed.is_empty() {
        caption.push_str(&format!(
            " Left out of what was never exposed, since not every position can be placed with its blocks: {}.",
            not_placed.join(", ")
        ));
    }
    says_what_is_missing(&mut caption, ground, strip);
    caption.push_str(&sheet.labels.says_left_out("letter", "table"));
    let alt = format!(
        "Map of the bottom from x {} m to {} m, bow to the right, port above. Here: {}; never exposed: {}.",
        fixed(strip.from_m, 1),
        fixed(strip.to_m, 1),
        areas(layers, |shape| map.between(shape, strip)),
        said(&here),
    );
    let title = format!(
        "Uppermost coats by docking, strip {} of {}, scale {}",
        strip.number, strip.of, map.scale
    );
    sheet.drawn(Told {
        name: format!("history-{}", strip.number),
        group: "history".to_string(),
        position: None,
        title,
        caption,
        alt,
    })
}

/// The layers with what counts of their areas.
fn areas(layers: &[Layer], part: impl Fn(&MultiPolygon<f64>) -> MultiPolygon<f64>) -> String {
    let each: Vec<String> = layers
        .iter()
        .map(|layer| {
            format!("{} {} m\u{b2}", layer.meaning, fixed(area_m2(&part(&layer.shape)), 2))
        })
        .collect();
    words::list(&each, 12)
}

fn said(here: &[(usize, &Piece)]) -> String {
    let each: Vec<String> = here
        .iter()
        .map(|(number, piece)| {
            let [aft, forward, starboard, port] = piece.extent;
            format!(
                "{} of {} m\u{b2} at x {} m to {} m, y {} m to {} m",
                words::letter(*number),
                fixed(piece.area_m2, 3),
                fixed(aft, 2),
                fixed(forward, 2),
                fixed(starboard, 2),
                fixed(port, 2),
            )
        })
        .collect();
    if each.is_empty() { "nothing".to_string() } else { words::list(&each, 12) }
}
