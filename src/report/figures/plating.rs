//! The map of the bottom with the plate gaugings, by how much of the loss allowed is used up, and the
//! anodes, in strips.

use geo::Coord;

use super::drawing::{Drawing, Group};
use super::ground::{Extent, Ground, extent_of};
use super::labels::{Area, Named};
use super::legend::Sample;
use super::lettering;
use super::marks::{self, ANODE_HALF_MM, Wear};
use super::strip_map::{LEGEND_MM, MapTitle, Sheet, StripMap, StripWords};
use super::words::{self, Units};
use crate::calc::plating::used_up_pct;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::plating::gauging_outcome;
use crate::findings::recomputed::plating::{loss, plate};
use crate::records::plating::{Anode, Gauging};
use crate::text::Form;

/// To either side of an anode's middle no match line is drawn, m.
const ANODE_M: f64 = 0.4;
/// How many places of one kind an alternative text names.
const MOST_NAMED: usize = 12;

/// The gaugings beyond their limit in the order of the file, which is that of their letters.
pub fn lettered(examined: &Examined) -> Vec<usize> {
    (0..examined.project.plating.len())
        .filter(|n| gauging_outcome(&examined.project, *n) == Outcome::BeyondLimit)
        .collect()
}

/// A gauging with its place on the hull.
struct Gauged<'a> {
    gauging: &'a Gauging,
    at: Coord<f64>,
    wear: Wear,
    /// Its letter, if it is beyond its limit.
    letter: Option<String>,
}

/// All that the map shows.
struct PlatingMap<'a> {
    gauged: Vec<Gauged<'a>>,
    anodes: Vec<(&'a Anode, Coord<f64>)>,
    /// Gaugings and anodes without x and y.
    without: (usize, usize),
    /// Gaugings and anodes too far off to be drawn.
    too_far: usize,
}

impl<'a> PlatingMap<'a> {
    fn new(ground: &Ground<'a>) -> Self {
        let project = &ground.examined.project;
        let beyond = lettered(ground.examined);
        let drawn = |hull: &Coord<f64>| ground.draws(&Extent::at(*hull));
        let gauged: Vec<Gauged> = project
            .plating
            .iter()
            .enumerate()
            .filter_map(|(n, gauging)| {
                let letter = beyond.iter().position(|b| *b == n).map(words::letter);
                let at = gauging.hull.filter(drawn)?;
                Some(Gauged { gauging, at, wear: wear(ground.examined, n), letter })
            })
            .collect();
        let anodes: Vec<(&Anode, Coord<f64>)> = project
            .anodes
            .iter()
            .filter_map(|anode| Some((anode, anode.hull.filter(drawn)?)))
            .collect();
        let without = (
            project.plating.iter().filter(|gauging| gauging.hull.is_none()).count(),
            project.anodes.iter().filter(|anode| anode.hull.is_none()).count(),
        );
        let all = project.plating.len() + project.anodes.len();
        let too_far = all - without.0 - without.1 - gauged.len() - anodes.len();
        Self { gauged, anodes, without, too_far }
    }

    fn points(&self) -> impl Iterator<Item = Coord<f64>> {
        let anodes = self.anodes.iter().map(|(_, at)| *at);
        self.gauged.iter().map(|gauged| gauged.at).chain(anodes)
    }
}

fn wear(examined: &Examined, gauging: usize) -> Wear {
    match gauging_outcome(&examined.project, gauging) {
        Outcome::BeyondLimit => Wear::Beyond,
        Outcome::Agrees => plate(&examined.project, gauging)
            .and_then(|plate| used_up_pct(plate.original_m, plate.measured_m, plate.limit?))
            .map_or(Wear::Nearly, Wear::of),
        _ => Wear::Unknown,
    }
}

/// The map in strips; none where no gauging and no anode has a place.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let shown = PlatingMap::new(ground);
    let Some(points) = Extent::around(shown.points()) else { return Vec::new() };
    let whole = ground.bottom.and_then(extent_of).map_or(points, |bottom| bottom.with(points));
    let anodes = shown.anodes.iter().map(|(_, at)| Extent {
        aft: at.x - ANODE_M,
        forward: at.x + ANODE_M,
        ..Extent::at(*at)
    });
    let map = StripMap::new(ground, whole, LEGEND_MM, anodes);
    let map_title = MapTitle {
        group: Group::Plating,
        name: "plating".to_string(),
        heading: "Plating and anodes".to_string(),
        title: "Plating and anodes".to_string(),
        berth: None,
    };
    let reaches = |from_m: f64, to_m: f64| {
        let inside = |at: &Coord<f64>| at.x >= from_m && at.x <= to_m;
        map.without_outline().or_else(|| Extent::around(shown.points().filter(inside)))
    };
    map.draw(&map_title, reaches, |sheet| draw(sheet, &shown))
}

fn draw(sheet: &mut Sheet, shown: &PlatingMap) -> StripWords {
    sheet.outline();
    draw_marks(sheet, shown);
    sheet.close_frame();
    let strip = sheet.strip;
    let gauged: Vec<&Gauged> =
        shown.gauged.iter().filter(|gauged| strip.holds(gauged.at.x)).collect();
    let anodes: Vec<&Anode> =
        shown.anodes.iter().filter(|(_, at)| strip.holds(at.x)).map(|(anode, _)| *anode).collect();
    letter(sheet, shown);
    sheet.legend_with_outline(samples(shown));

    let beyond: Vec<String> = gauged
        .iter()
        .filter_map(|gauged| Some(format!("{} {}", gauged.letter.as_ref()?, named(gauged.gauging))))
        .collect();
    let mut caption = format!(
        "Gaugings by the share of the allowed loss used, and anodes: {} and {} in this strip.",
        words::count(gauged.len(), "gauging"),
        words::count(anodes.len(), "anode"),
    );
    if !beyond.is_empty() {
        caption.push_str(&format!(" Beyond their limit: {}.", words::list(&beyond, 8)));
    }
    if sheet.ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded.");
    }
    if strip.number == 1 {
        missing_note(&mut caption, shown);
    }
    caption.push_str(&sheet.labels.left_out_note("label", "tables"));
    let alt = format!("{}. {}", sheet.map_of_the_bottom(), describe(sheet.units, &gauged, &anodes));
    StripWords { caption, alt }
}

/// The marks, the worst last, so that no better one covers them.
fn draw_marks(sheet: &mut Sheet, shown: &PlatingMap) {
    for (anode, hull) in &shown.anodes {
        let at = sheet.at(*hull);
        if sheet.window.grown(-ANODE_HALF_MM.0).holds(&Area::at(at)) {
            marks::anode(&mut sheet.canvas, at, anode.renewed);
            sheet.labels.keep_clear(bar(at));
        }
    }
    let mut gauged: Vec<&Gauged> = shown.gauged.iter().collect();
    gauged.sort_by_key(|gauged| gauged.wear == Wear::Beyond);
    for one in gauged {
        let (at, half) = (sheet.at(one.at), one.wear.half_mm());
        if sheet.window.grown(-half).holds(&Area::at(at)) {
            one.wear.draw(&mut sheet.canvas, at);
            sheet.labels.keep_clear(Area::at(at).grown(half));
        }
    }
}

/// What an anode's mark covers.
fn bar(at: Coord<f64>) -> Area {
    let (x, y) = ANODE_HALF_MM;
    Area { left: at.x - x, right: at.x + x, top: at.y - y, bottom: at.y + y }
}

/// The letters of the gaugings beyond their limit, then the ids of the anodes.
fn letter(sheet: &mut Sheet, shown: &PlatingMap) {
    let strip = sheet.strip;
    for one in shown.gauged.iter().filter(|one| strip.holds(one.at.x)) {
        if let Some(letter) = &one.letter {
            let area = Area::at(sheet.at(one.at)).grown(one.wear.half_mm());
            sheet.labels.place(&Named::beside(letter.clone(), area));
        }
    }
    for (anode, hull) in shown.anodes.iter().filter(|(_, hull)| strip.holds(hull.x)) {
        let area = bar(sheet.at(*hull));
        sheet.labels.place(&Named::beside(lettering::label(&anode.id), area));
    }
}

/// Of the marks only those that the map shows somewhere.
fn samples(shown: &PlatingMap) -> Vec<(Sample, String)> {
    let mut samples: Vec<(Sample, String)> = Wear::ALL
        .into_iter()
        .filter(|wear| shown.gauged.iter().any(|gauged| gauged.wear == *wear))
        .map(|wear| (Sample::Worn(wear), wear.words().to_string()))
        .collect();
    for (renewed, meaning) in [
        (Some(true), "anode, renewed"),
        (Some(false), "anode, left"),
        (None, "anode, renewal not recorded"),
    ] {
        if shown.anodes.iter().any(|(anode, _)| anode.renewed == renewed) {
            samples.push((Sample::Anode(renewed), meaning.to_string()));
        }
    }
    samples
}

fn named(gauging: &Gauging) -> String {
    format!("{} plate {}", lettering::shown(&gauging.strake), lettering::shown(&gauging.plate))
}

fn missing_note(caption: &mut String, shown: &PlatingMap) {
    let (gaugings, anodes) = shown.without;
    let parts: Vec<String> = [(gaugings, "gauging"), (anodes, "anode")]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, noun)| words::count(count, noun))
        .collect();
    if !parts.is_empty() {
        let parts = words::list(&parts, 2);
        caption.push_str(&format!(" Without x and y, and so not drawn: {parts}."));
    }
    if shown.too_far > 0 {
        let records = words::count(shown.too_far, "record");
        caption.push_str(&format!(" Too far off to be drawn: {records}."));
    }
}

/// What a strip shows, in words and figures.
fn describe(units: Units, gauged: &[&Gauged], anodes: &[&Anode]) -> String {
    let counts: Vec<String> = Wear::ALL
        .into_iter()
        .filter_map(|wear| {
            let count = gauged.iter().filter(|gauged| gauged.wear == wear).count();
            let words = wear.words().trim_end_matches(", lettered");
            (count > 0).then(|| format!("{count} {words}"))
        })
        .collect();
    let mut said = match counts.as_slice() {
        [] => "No gauging here.".to_string(),
        counts => format!("Gaugings: {}.", words::list(counts, counts.len())),
    };
    let beyond: Vec<String> = gauged
        .iter()
        .filter_map(|gauged| {
            let (gauging, letter) = (gauged.gauging, gauged.letter.as_ref()?);
            let lost = loss(gauging)?;
            Some(format!(
                "{letter} {} at x {}, y {}, {}{} lost",
                named(gauging),
                units.length(gauged.at.x, 2),
                units.length(gauged.at.y, 2),
                units.measure(lost.m, Form::Plate, 2),
                lost.pct
                    .map(|pct| format!(" or {}", units.measure(pct, Form::Ratio, 1)))
                    .unwrap_or_default(),
            ))
        })
        .collect();
    if !beyond.is_empty() {
        said.push_str(&format!(" Beyond their limit: {}.", words::list(&beyond, MOST_NAMED)));
    }
    let ids: Vec<String> = anodes
        .iter()
        .map(|anode| {
            let renewed = match anode.renewed {
                Some(true) => "renewed",
                Some(false) => "left",
                None => "renewal not recorded",
            };
            format!("{} {renewed}", lettering::shown(&anode.id))
        })
        .collect();
    match ids.as_slice() {
        [] => said.push_str(" No anode here."),
        ids => said.push_str(&format!(" Anodes: {}.", words::list(ids, MOST_NAMED))),
    }
    said
}

#[cfg(test)]
mod tests;
