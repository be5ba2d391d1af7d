//! The bottom with what of its coating is not as it should be, lettered as in the table of exceptions. What is as it
//! should be stays white.

use geo::{
    Area as _, BooleanOps, BoundingRect, Coord, InteriorPoint, LineString, MultiPolygon, Polygon,
};

use crate::calc::plane::{union, without};
use crate::findings::exceptions::{Exception, Exceptions, Kind, Why, exceptions};
use crate::report::figures::canvas::{Canvas, DOTTED, INK, Lettered, PAPER, Pen};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::ground::{Ground, extent_of};
use crate::report::figures::hatch::{self, Hatch};
use crate::report::figures::labels::{Area, Named};
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::strip_map::{MapTitle, Sheet, StripMap, UNKNOWN};
use crate::report::figures::words;

/// Height of all strips together, mm: so that the table that answers the letters begins on the same page.
const STRIPS_MM: f64 = 150.0;
/// The boundary between zones.
const ZONE: Pen = Pen::solid(0.1).coloured("#555555");
/// The edge of what is hatched.
const EDGE: Pen = Pen::solid(0.18);
/// Height of a side's band, mm, and of what stands around it.
const BAND_MM: f64 = 5.0;
const BAND_ROW_MM: f64 = 7.0;
/// Bands that are drawn; a side more is in the table only.
const MOST_BANDS: usize = 8;

/// How a kind of exception is marked: hatches differ in distance as well as in direction, so that they are told apart in
/// grey, and two over each other show both.
fn mark(kind: Kind) -> Option<(Hatch, Pen)> {
    let (angle_deg, spacing_mm, width_mm) = match kind {
        // Solid black.
        Kind::Bare => return None,
        Kind::Interval => (135.0, 0.6, 0.22),
        Kind::Short => (0.0, 0.8, 0.2),
        Kind::Patch => (45.0, 1.1, 0.12),
        Kind::Contradiction => (112.5, 1.4, 0.15),
        Kind::Preparation => (67.5, 1.8, 0.15),
        Kind::Film => (22.5, 2.2, 0.15),
        Kind::Climate => (90.0, 2.8, 0.15),
        Kind::Batch => (157.5, 3.5, 0.15),
        Kind::Paint => (10.0, 4.3, 0.15),
    };
    Some((Hatch { angle_deg, spacing_mm }, Pen::solid(width_mm)))
}

/// What the strips show.
struct CoatingMap<'a> {
    zones: Vec<(String, MultiPolygon<f64>)>,
    unknown: MultiPolygon<f64>,
    exceptions: Exceptions<'a>,
}

/// The map; none without a bottom or without zones on it.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let Some(shown) = CoatingMap::new(ground) else { return Vec::new() };
    let zones = shown.zones.iter().flat_map(|(_, shape)| &shape.0);
    let whole = ground.bottom.into_iter().chain(zones).filter_map(extent_of);
    let Some(whole) = whole.filter(|extent| ground.draws(extent)).reduce(|a, b| a.with(b)) else {
        return Vec::new();
    };
    let pieces = &ground.examined.recomputed.coating.short.pieces;
    let pieces = pieces.iter().filter_map(|piece| extent_of(&piece.shape));
    let map = StripMap::stacked(ground, whole, STRIPS_MM, pieces);
    let map_title = MapTitle {
        group: Group::CoatingMap,
        name: "coating-map".to_string(),
        heading: "Exceptions of the coating".to_string(),
        title: "Exceptions of the coating".to_string(),
        berth: None,
    };
    let mut left_out = 0;
    let (mut canvas, used) = map.draw_stacked(
        &map_title,
        |_, _| map.without_outline(),
        |sheet| left_out += draw(sheet, &shown),
    );
    let used = bands(&mut canvas, ground, &shown, used);
    let used = legend::rows(&mut canvas, used + 0.5, &samples(ground, &shown));
    let title = format!("{}, scale {}", map_title.title, map.scale());
    let words = words_of(ground, &shown, title, map.strips(), left_out);
    vec![Drawing::new(Group::CoatingMap, "coating-map", None, words, canvas, used)]
}

impl<'a> CoatingMap<'a> {
    fn new(ground: &Ground<'a>) -> Option<Self> {
        let (project, coating) = (&ground.examined.project, &ground.examined.recomputed.coating);
        let histories = project.zones.iter().zip(&coating.zones);
        let (mut zones, mut unknown) = (Vec::new(), Vec::new());
        for (zone, history) in histories.filter(|(zone, _)| zone.is_bottom()) {
            let Some(shape) = &history.shape else { continue };
            zones.push((lettering::label(&zone.id), shape.clone()));
            if history.completeness().is_none() {
                unknown.extend(&shape.0);
            }
        }
        if zones.is_empty() {
            return None;
        }
        let covered = union(zones.iter().flat_map(|(_, shape)| &shape.0));
        let outside = ground.bottom_shape().map(|bottom| without(&bottom, &covered));
        let outside = outside.unwrap_or_else(|| MultiPolygon(vec![]));
        let unknown = union(unknown.into_iter().chain(&outside.0));
        Some(Self { zones, unknown, exceptions: exceptions(ground.examined) })
    }

    /// The exceptions with their letters, those that cover most of the steel first, so that no other is hidden.
    fn lettered(&self) -> impl DoubleEndedIterator<Item = (String, &Exception<'a>)> {
        let placed = self.exceptions.lettered().iter().enumerate();
        placed.map(|(number, one)| (words::letter(number), one)).rev()
    }
}

/// Draws a strip; how many letters found no room.
fn draw(sheet: &mut Sheet, shown: &CoatingMap) -> usize {
    let unknown = sheet.on_paper(&shown.unknown);
    for hatch in UNKNOWN {
        sheet.canvas.lines(&hatch::lines(&unknown, hatch), Pen::solid(0.2).broken(DOTTED));
    }
    let mut hatching: Vec<LineString<f64>> = Vec::new();
    for (_, one) in shown.lettered() {
        let steel = sheet.on_paper(&one.steel);
        hatching.extend(hatched(&mut sheet.canvas, one.kind, &steel));
        for place in &one.places {
            let at = sheet.at(*place);
            if sheet.window.holds(&Area::at(at).grown(1.0)) {
                sheet.canvas.circle(at, 0.9, Some(Pen::solid(0.3)), Some(PAPER));
            }
        }
    }
    for (_, shape) in &shown.zones {
        for polygon in &shape.0 {
            let lines = sheet.outline_of(polygon);
            sheet.canvas.lines(&lines, ZONE);
            sheet.labels.avoid_lines(&lines);
        }
    }
    sheet.outline();
    sheet.close_frame();
    for (name, shape) in &shown.zones {
        name_zone(sheet, name, shape);
    }
    let mut left_out = 0;
    let mut small: Vec<(String, Area)> = Vec::new();
    for (letter, one) in shown.lettered() {
        let here = sheet.on_paper(&sheet.part_of(&one.steel));
        let largest = here.0.iter().max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()));
        let place = one.places.iter().find(|place| sheet.strip.holds(place.x));
        match (largest, place) {
            (_, Some(place)) => small.push((letter, Area::at(sheet.at(*place)).grown(1.0))),
            (Some(part), None) if is_large(part) => {
                if !letter_inside(sheet, &letter, part) {
                    left_out += 1;
                }
            }
            (Some(part), None) => small.extend(Area::around(corners(part)).map(|a| (letter, a))),
            (None, None) => {}
        }
    }
    sheet.labels.avoid_lines(&hatching);
    for (letter, area) in small {
        if !sheet.labels.try_place(&Named::beside(letter, area)) {
            left_out += 1;
        }
    }
    left_out
}

fn corners(part: &Polygon<f64>) -> impl Iterator<Item = Coord<f64>> {
    part.exterior().0.iter().copied()
}

/// Whether a letter has room inside.
fn is_large(part: &Polygon<f64>) -> bool {
    part.bounding_rect().is_some_and(|bounds| bounds.width() > 12.0 && bounds.height() > 3.5)
}

/// Marks a shape on paper; the lines that were drawn.
fn hatched(canvas: &mut Canvas, kind: Kind, shape: &MultiPolygon<f64>) -> Vec<LineString<f64>> {
    let Some((hatch, pen)) = mark(kind) else {
        canvas.shape(shape, Some(Pen::solid(0.3)), Some(INK));
        return Vec::new();
    };
    let lines = hatch::lines(shape, hatch);
    canvas.lines(&lines, pen);
    canvas.shape(shape, Some(EDGE), None);
    lines
}

/// A letter on a patch of paper in a large shape; whether there was room.
fn letter_inside(sheet: &mut Sheet, letter: &str, part: &Polygon<f64>) -> bool {
    /// Where along the shape it may stand, best first.
    const ALONG: [f64; 15] =
        [0.5, 0.4, 0.6, 0.3, 0.7, 0.45, 0.55, 0.35, 0.65, 0.2, 0.8, 0.25, 0.75, 0.1, 0.9];
    let Some(bounds) = part.bounding_rect() else { return false };
    for along in ALONG {
        let x = bounds.min().x + bounds.width() * along;
        let Some(y) = middle_at(part, x) else { continue };
        let area = boxed(letter, Coord { x, y });
        if area.corners().iter().all(|corner| geo::Contains::contains(part, corner))
            && sheet.labels.is_clear(&area)
        {
            letter_box(&mut sheet.canvas, letter, area);
            sheet.labels.keep_clear(area);
            return true;
        }
    }
    false
}

/// The middle of the longest stretch of a shape at an x, on paper.
fn middle_at(part: &Polygon<f64>, x: f64) -> Option<f64> {
    let bounds = part.bounding_rect()?;
    let line = LineString::new(vec![
        Coord { x, y: bounds.min().y - 1.0 },
        Coord { x, y: bounds.max().y + 1.0 },
    ]);
    let inside = part.clip(&geo::MultiLineString(vec![line]), false).0;
    let ends = inside.iter().filter_map(|line| Some((line.0.first()?.y, line.0.last()?.y)));
    let longest = ends.max_by(|a, b| (a.0 - a.1).abs().total_cmp(&(b.0 - b.1).abs()))?;
    Some((longest.0 + longest.1) / 2.0)
}

/// The patch of paper for a letter around a place.
fn boxed(letter: &str, at: Coord<f64>) -> Area {
    let (half, capital) =
        (lettering::width_mm(letter, SMALL_PT) / 2.0, lettering::capital_mm(SMALL_PT) / 2.0);
    Area { left: at.x - half, right: at.x + half, top: at.y - capital, bottom: at.y + capital }
        .grown(0.6)
}

fn letter_box(canvas: &mut Canvas, letter: &str, area: Area) {
    canvas.ring(&area.corners(), Some(Pen::solid(0.1)), Some(PAPER));
    let middle = area.middle();
    let at = Coord { x: middle.x, y: middle.y + lettering::capital_mm(SMALL_PT) / 2.0 };
    canvas.text(Lettered::new(letter, at, SMALL_PT).middle());
}

/// A band for each side with exceptions, not to scale; returns the height reached.
fn bands(canvas: &mut Canvas, ground: &Ground, shown: &CoatingMap, top: f64) -> f64 {
    const LEFT_MM: f64 = 28.0;
    let mut y = top;
    for zone in sides(ground, shown).into_iter().take(MOST_BANDS) {
        let band =
            Area { left: LEFT_MM, right: WIDTH_MM - 0.5, top: y + 1.0, bottom: y + 1.0 + BAND_MM };
        let of: Vec<(String, &Exception<'_>)> =
            shown.lettered().filter(|(_, one)| one.zone == zone).collect();
        for (_, one) in &of {
            hatched(canvas, one.kind, &band.shape());
        }
        canvas.ring(&band.corners(), Some(EDGE), None);
        let name = format!("side {}", lettering::label(&ground.examined.project.zones[zone].id));
        let base = band.middle().y + lettering::capital_mm(SMALL_PT) / 2.0;
        let at = Coord { x: LEFT_MM - 1.2, y: base };
        canvas.text(Lettered::new(&name, at, SMALL_PT).end());
        let each = (band.right - band.left) / (of.len() as f64 + 1.0);
        for (n, (letter, _)) in of.iter().rev().enumerate() {
            let x = band.left + each * (n as f64 + 1.0);
            letter_box(canvas, letter, boxed(letter, Coord { x, y: band.middle().y }));
        }
        y += BAND_ROW_MM;
    }
    y
}

/// The sides with exceptions, by their places in the project's list.
fn sides(ground: &Ground, shown: &CoatingMap) -> Vec<usize> {
    let zones = &ground.examined.project.zones;
    let with = |zone: &usize| shown.exceptions.lettered().iter().any(|one| one.zone == *zone);
    (0..zones.len()).filter(|zone| !zones[*zone].is_bottom()).filter(with).collect()
}

fn samples(ground: &Ground, shown: &CoatingMap) -> Vec<(Sample, String)> {
    let is_shown = |kind: &Kind| {
        shown.exceptions.lettered().iter().any(|one| one.kind == *kind && !is_of_places(one))
    };
    let mut samples: Vec<(Sample, String)> = Kind::ALL
        .into_iter()
        .filter(is_shown)
        .map(|kind| {
            let sample = match mark(kind) {
                None => Sample::Filled,
                Some((hatch, pen)) => Sample::Drawn(hatch, pen),
            };
            (sample, kind.words().to_string())
        })
        .collect();
    if shown.exceptions.lettered().iter().any(is_of_places) {
        samples.push((Sample::Ring, "a reading that can\u{2019}t be right".to_string()));
    }
    if !shown.unknown.0.is_empty() {
        samples.push((Sample::Dotted(UNKNOWN.to_vec()), "not recorded".to_string()));
    }
    samples.push((Sample::Line(ZONE), "boundary of a zone".to_string()));
    if ground.bottom.is_some() {
        let outline = Sample::Line(crate::report::figures::strip_map::OUTLINE);
        samples.push((outline, "outline of the bottom".to_string()));
    }
    samples
}

/// Whether it is single places rather than steel.
fn is_of_places(one: &Exception<'_>) -> bool {
    !one.places.is_empty()
}

fn words_of(
    ground: &Ground,
    shown: &CoatingMap,
    title: String,
    strips: usize,
    left_out: usize,
) -> Words {
    let mut caption = "White: nothing to report.".to_string();
    if shown.exceptions.lettered().is_empty() {
        caption = "Nothing to letter.".to_string();
    }
    if !sides(ground, shown).is_empty() {
        caption.push_str(" Sides not to scale.");
    }
    if left_out > 0 {
        caption.push_str(&format!(" Without room: {}.", words::count(left_out, "letter")));
    }
    if ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded.");
    }
    let mut alt = vec![format!(
        "The bottom in {}, bow to the right, port above.",
        words::count(strips, "strip")
    )];
    let placed = shown.exceptions.lettered().iter().enumerate();
    alt.extend(placed.map(|(number, one)| describe(ground, number, one)));
    Words { title, caption, alt: words::said(&alt) }
}

fn describe(ground: &Ground, number: usize, one: &Exception<'_>) -> String {
    let zone = lettering::shown(&ground.examined.project.zones[one.zone].id);
    let area = match (&one.why, one.area_m2) {
        (Why::Finding(_), _) | (_, None) => String::new(),
        (_, Some(area_m2)) => format!(" {}", ground.units.area(area_m2, 3)),
    };
    format!("{}: {} in {zone}{area}.", words::letter(number), one.kind.words())
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
    // Towards the aft end, so that letters have the middle.
    let aft = part.bounding_rect().map_or(at.x(), |b| b.min().x + b.width() * 0.12);
    let y = middle_at(part, aft).unwrap_or(at.y());
    let base = Coord { x: aft, y: y + capital / 2.0 };
    let area =
        Area { left: base.x - half, right: base.x + half, top: base.y - capital, bottom: base.y }
            .grown(0.4);
    let inside = area.corners().iter().all(|corner| geo::Contains::contains(part, corner));
    if inside && sheet.labels.is_clear(&area) {
        sheet.canvas.ring(&area.corners(), None, Some(PAPER));
        sheet.canvas.text(Lettered::new(name, base, SMALL_PT).middle());
        sheet.labels.keep_clear(area);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed in grey, hatches are told apart by how dense they are, and by direction where two lie over each other.
    #[test]
    fn hatches_differ_in_density_and_in_direction() {
        let marks: Vec<(Hatch, Pen)> = Kind::ALL.into_iter().filter_map(mark).collect();
        assert_eq!(marks.len(), Kind::ALL.len() - 1);
        for (n, (one, pen)) in marks.iter().enumerate() {
            // A third of the ink at the most, so that letters beside it and lines over it are seen.
            assert!(pen.width_mm / one.spacing_mm < 0.4, "{one:?}");
            for (other, _) in &marks[..n] {
                let ratio = one.spacing_mm / other.spacing_mm;
                assert!(!(0.84..1.19).contains(&ratio), "{one:?} {other:?}");
                let turn = (one.angle_deg - other.angle_deg).rem_euclid(180.0);
                assert!(turn.min(180.0 - turn) >= 10.0, "{one:?} {other:?}");
            }
        }
    }
}
