//! Legends: a sample of each mark beside its meaning, in rows.

use geo::{Coord, LineString, MultiPolygon, Polygon};

use super::canvas::{CAP_GREY, Canvas, DOTTED, INK, Lettered, Pen};
use super::chart::{self, Marker};
use super::drawing::WIDTH_MM;
use super::hatch::{self, Hatch};
use super::labels::Area;
use super::lettering::{self, SMALL_PT};
use super::marks;

/// A line of the sample.
#[derive(Debug, Clone)]
pub enum Sample {
    Line(Pen),
    /// A cap that stands.
    Cap,
    LeftOut,
    Mark(&'static str),
    /// Steel hatched so.
    Hatched(Vec<Hatch>),
    /// Steel hatched so, with this pen.
    Drawn(Hatch, Pen),
    /// Steel hatched so in dots.
    Dotted(Vec<Hatch>),
    /// A ring round a place.
    Ring,
    /// Steel tinted with a colour and hatched so.
    Tinted(&'static str, Vec<Hatch>),
    /// A bracket from an earliest to a latest time, its line drawn so.
    Bracket(Pen),
    /// Steel filled black.
    Filled,
    Marker(Marker),
    /// An anode, and whether it was renewed.
    Anode(Option<bool>),
}

const SAMPLE_MM: f64 = 9.0;
const ROW_MM: f64 = 4.6;
const GAP_MM: f64 = 5.0;

/// Draws samples with their meanings in rows from a height on; returns the height reached.
pub fn rows(canvas: &mut Canvas, top_mm: f64, samples: &[(Sample, String)]) -> f64 {
    rows_between(canvas, (1.0, WIDTH_MM), top_mm, samples)
}

/// The same between two edges, mm.
pub fn rows_between(
    canvas: &mut Canvas,
    ends_mm: (f64, f64),
    top_mm: f64,
    samples: &[(Sample, String)],
) -> f64 {
    for ((sample, meaning), at) in samples.iter().zip(places(ends_mm, samples)) {
        draw_sample(canvas, Coord { x: at.x, y: top_mm + at.y }, sample, meaning);
    }
    top_mm + height_mm(ends_mm, samples)
}

/// The height that rows between two edges take, mm.
pub fn height_mm(ends_mm: (f64, f64), samples: &[(Sample, String)]) -> f64 {
    places(ends_mm, samples).last().map_or(0.0, |at| at.y + ROW_MM / 2.0)
}

/// Where each sample of rows between two edges begins, the first row's top at 0.
fn places((left_mm, right_mm): (f64, f64), samples: &[(Sample, String)]) -> Vec<Coord<f64>> {
    let mut at = Coord { x: left_mm, y: ROW_MM / 2.0 };
    let place = |(_, meaning): &(Sample, String)| {
        let width = SAMPLE_MM + 1.2 + lettering::width_mm(meaning, SMALL_PT);
        if at.x > left_mm && at.x + width > right_mm - 0.5 {
            at = Coord { x: left_mm, y: at.y + ROW_MM };
        }
        let begins = at;
        at.x += width + GAP_MM;
        begins
    };
    samples.iter().map(place).collect()
}

fn draw_sample(canvas: &mut Canvas, at: Coord<f64>, sample: &Sample, meaning: &str) {
    let area = Area { left: at.x, right: at.x + SAMPLE_MM, top: at.y - 1.6, bottom: at.y + 1.6 };
    let ring = area.corners().to_vec();
    let edge = Pen::solid(0.18);
    match sample {
        Sample::Line(pen) => {
            canvas.line(at, Coord { x: area.right, y: at.y }, *pen);
        }
        Sample::Bracket(pen) => {
            chart::bracket(canvas, (at.x, area.right), at.y, false, *pen);
        }
        Sample::Cap => canvas.ring(&ring, Some(Pen::solid(0.25)), Some(CAP_GREY)),
        Sample::LeftOut => left_out(canvas, &[LineString::new(closed(&ring))], &diagonals(&ring)),
        Sample::Mark(kind) => marks::draw(canvas, kind, area.middle()),
        Sample::Hatched(hatches) | Sample::Tinted(_, hatches) => {
            let shape = MultiPolygon(vec![Polygon::new(LineString::new(ring.clone()), vec![])]);
            if let Sample::Tinted(tint, _) = sample {
                canvas.ring(&ring, None, Some(tint));
            }
            for hatch in hatches {
                canvas.lines(&hatch::lines(&shape, *hatch), Pen::solid(0.13));
            }
            canvas.ring(&ring, Some(edge), None);
        }
        Sample::Drawn(hatch, pen) => {
            canvas.lines(&hatch::lines(&area.shape(), *hatch), *pen);
            canvas.ring(&ring, Some(edge), None);
        }
        Sample::Dotted(hatches) => {
            for hatch in hatches {
                canvas.lines(&hatch::lines(&area.shape(), *hatch), Pen::solid(0.2).broken(DOTTED));
            }
            canvas.ring(&ring, Some(edge), None);
        }
        Sample::Ring => canvas.circle(area.middle(), 0.9, Some(Pen::solid(0.3)), None),
        Sample::Anode(renewed) => marks::anode(canvas, area.middle(), *renewed),
        Sample::Marker(kind) => chart::marker(canvas, area.middle(), *kind),
        Sample::Filled => canvas.ring(&ring, Some(edge), Some(INK)),
    }
    let base = at.y + lettering::capital_mm(SMALL_PT) / 2.0;
    canvas.text(Lettered::new(meaning, Coord { x: area.right + 1.2, y: base }, SMALL_PT));
}

/// A cap that was left out: its outline dotted, and a cross.
pub fn left_out(canvas: &mut Canvas, outline: &[LineString<f64>], cross: &[LineString<f64>]) {
    canvas.lines(outline, Pen::solid(0.3).broken(DOTTED));
    canvas.lines(cross, Pen::solid(0.13));
}

/// The two diagonals of a shape with four corners.
pub fn diagonals(ring: &[Coord<f64>]) -> Vec<LineString<f64>> {
    match ring {
        [a, b, c, d, ..] => vec![LineString::new(vec![*a, *c]), LineString::new(vec![*b, *d])],
        _ => Vec::new(),
    }
}

fn closed(ring: &[Coord<f64>]) -> Vec<Coord<f64>> {
    ring.iter().chain(ring.first()).copied().collect()
}
