//! A small writer of SVG in millimetres, y downward as SVG has it.

use std::fmt::Write;

use geo::{Coord, LineString, MultiPolygon};

use super::lettering;
use crate::units::fixed;

/// Black, for everything that carries meaning.
pub const INK: &str = "#000000";
/// Grey of caps, light enough to letter on.
pub const CAP_GREY: &str = "#e4e4e4";
/// Grey of what stands behind.
pub const BACK_GREY: &str = "#777777";
/// Dark blue of openings; nearly black in a black-and-white print.
pub const OPENING_BLUE: &str = "#1d4a73";
pub const PAPER: &str = "#ffffff";

/// Dashes of a hidden edge, mm.
pub const DASHED: &[f64] = &[1.6, 0.8];
/// Dashes of a centreline, mm.
pub const DASH_DOT: &[f64] = &[4.0, 0.8, 0.6, 0.8];
/// Dashes of a match line, mm.
pub const LONG_DASH: &[f64] = &[6.0, 1.2, 1.2, 1.2];
/// Dots, drawn with round ends, mm.
pub const DOTTED: &[f64] = &[0.01, 0.75];

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    pub width_mm: f64,
    /// Colour as `#rrggbb`.
    pub colour: &'static str,
    /// Lengths of dashes and gaps in turn, mm; none for an unbroken line.
    pub dashes_mm: &'static [f64],
}

impl Pen {
    /// An unbroken black line.
    pub const fn solid(width_mm: f64) -> Self {
        Self { width_mm, colour: INK, dashes_mm: &[] }
    }

    /// The same line broken.
    pub const fn broken(self, dashes_mm: &'static [f64]) -> Self {
        Self { dashes_mm, ..self }
    }

    /// The same line in another colour.
    pub const fn coloured(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

#[derive(Debug, Clone, Copy)]
pub struct Lettered<'a> {
    pub text: &'a str,
    /// Where its baseline begins, has its middle or ends, mm.
    pub at: Coord<f64>,
    /// Height of the letters, points.
    pub size_pt: f64,
    /// Which of them stands there.
    pub anchor: Anchor,
    pub upward: bool,
    pub colour: &'static str,
}

impl<'a> Lettered<'a> {
    /// Black text that begins at a place and reads to the right.
    pub fn new(text: &'a str, at: Coord<f64>, size_pt: f64) -> Self {
        Self { text, at, size_pt, anchor: Anchor::Start, upward: false, colour: INK }
    }

    /// The same with its middle at that place.
    pub fn middle(self) -> Self {
        Self { anchor: Anchor::Middle, ..self }
    }

    /// The same with its end at that place.
    pub fn end(self) -> Self {
        Self { anchor: Anchor::End, ..self }
    }

    /// The same reading upward.
    pub fn upward(self) -> Self {
        Self { upward: true, ..self }
    }

    /// The same in another colour.
    pub fn coloured(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }
}

/// A drawing in the making.
#[derive(Debug)]
pub struct Canvas {
    width_mm: f64,
    body: String,
}

impl Canvas {
    /// An empty drawing of a width in mm.
    pub fn new(width_mm: f64) -> Self {
        Self { width_mm, body: String::new() }
    }

    fn put(&mut self, element: std::fmt::Arguments) {
        // Writing to a string can't fail.
        let _ = self.body.write_fmt(element);
        self.body.push('\n');
    }

    pub fn line(&mut self, a: Coord<f64>, b: Coord<f64>, pen: Pen) {
        self.lines(&[LineString::new(vec![a, b])], pen);
    }

    /// Any number of open lines, drawn as one.
    pub fn lines(&mut self, lines: &[LineString<f64>], pen: Pen) {
        let path: String = lines.iter().map(|line| path_of(&line.0, false)).collect();
        self.path(&path, Some(pen), None);
    }

    /// A closed shape with corners.
    pub fn ring(&mut self, corners: &[Coord<f64>], pen: Option<Pen>, fill: Option<&str>) {
        self.path(&path_of(corners, true), pen, fill);
    }

    /// Polygons with their holes.
    pub fn shape(&mut self, shape: &MultiPolygon<f64>, pen: Option<Pen>, fill: Option<&str>) {
        let rings = shape.0.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
        let path: String = rings.map(|ring| path_of(&ring.0, true)).collect();
        self.path(&path, pen, fill);
    }

    fn path(&mut self, path: &str, pen: Option<Pen>, fill: Option<&str>) {
        if !path.is_empty() {
            let (fill, stroke) = (fill.unwrap_or("none"), stroke(pen));
            self.put(format_args!(
                r#"<path d="{path}" fill="{fill}" fill-rule="evenodd"{stroke}/>"#
            ));
        }
    }

    pub fn circle(
        &mut self,
        centre: Coord<f64>,
        radius_mm: f64,
        pen: Option<Pen>,
        fill: Option<&str>,
    ) {
        let (x, y, r) = (number(centre.x), number(centre.y), number(radius_mm));
        let (fill, stroke) = (fill.unwrap_or("none"), stroke(pen));
        self.put(format_args!(r#"<circle cx="{x}" cy="{y}" r="{r}" fill="{fill}"{stroke}/>"#));
    }

    /// An arrowhead with its point at `tip`, pointing away from `from`.
    pub fn arrowhead(&mut self, from: Coord<f64>, tip: Coord<f64>, colour: &'static str) {
        const LENGTH_MM: f64 = 1.9;
        const HALF_MM: f64 = 0.55;
        let (x, y) = (tip.x - from.x, tip.y - from.y);
        let length = libm::hypot(x, y);
        if length > 0.0 {
            let (x, y) = (x / length, y / length);
            let back = Coord { x: tip.x - x * LENGTH_MM, y: tip.y - y * LENGTH_MM };
            let corners = [
                tip,
                Coord { x: back.x - y * HALF_MM, y: back.y + x * HALF_MM },
                Coord { x: back.x + y * HALF_MM, y: back.y - x * HALF_MM },
            ];
            self.ring(&corners, None, Some(colour));
        }
    }

    /// A line with an arrowhead at its end.
    pub fn arrow(&mut self, from: Coord<f64>, tip: Coord<f64>, pen: Pen) {
        self.line(from, tip, pen);
        self.arrowhead(from, tip, pen.colour);
    }

    pub fn text(&mut self, text: Lettered) {
        let (x, y) = (number(text.at.x), number(text.at.y));
        let size = number(lettering::mm(text.size_pt));
        let anchor = match text.anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let turn = if text.upward {
            format!(r#" transform="rotate(-90 {x} {y})""#)
        } else {
            String::new()
        };
        let (colour, said) = (text.colour, escaped(text.text));
        self.put(format_args!(
            r#"<text x="{x}" y="{y}" font-size="{size}" fill="{colour}"{anchor}{turn}>{said}</text>"#
        ));
    }

    /// Adds another drawing, so far below, mm.
    pub fn append(&mut self, other: Canvas, down_mm: f64) {
        let (down, body) = (number(down_mm), other.body);
        self.put(format_args!("<g transform=\"translate(0 {down})\">\n{body}</g>"));
    }

    /// The height that a drawing takes, mm: to the next tenth.
    pub fn height_mm(used_mm: f64) -> f64 {
        (used_mm * 10.0 - 1e-6).ceil() / 10.0
    }

    /// The whole drawing as SVG of its true size, with a title and a description for whoever can't
    /// see it.
    pub fn finish(self, height_mm: f64, title: &str, description: &str) -> String {
        let (w, h) = (number(self.width_mm), number(height_mm));
        let (title, description) = (escaped(title), escaped(description));
        let body = self.body;
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img" font-family="'DejaVu Sans Condensed', 'DejaVu Sans', sans-serif" font-stretch="condensed">
<title>{title}</title>
<desc>{description}</desc>
<rect x="0" y="0" width="{w}" height="{h}" fill="{PAPER}"/>
{body}</svg>
"##
        )
    }
}

/// A length as drawings write it: to a thousandth of a millimetre.
fn number(mm: f64) -> String {
    let text = fixed(mm, 3);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn path_of(corners: &[Coord<f64>], closed: bool) -> String {
    // A closed ring of geo ends where it began; SVG's `Z` says the same.
    let corners = match corners {
        [first, between @ .., last] if closed && first == last => &corners[..between.len() + 1],
        all => all,
    };
    let mut path = String::new();
    for (n, corner) in corners.iter().enumerate() {
        let command = if n == 0 { 'M' } else { 'L' };
        let _ = write!(path, "{command}{} {}", number(corner.x), number(corner.y));
    }
    if closed && !path.is_empty() {
        path.push('Z');
    }
    path
}

fn stroke(pen: Option<Pen>) -> String {
    let Some(pen) = pen else { return String::new() };
    let mut text = format!(r#" stroke="{}" stroke-width="{}""#, pen.colour, number(pen.width_mm));
    if !pen.dashes_mm.is_empty() {
        let dashes: Vec<String> = pen.dashes_mm.iter().map(|mm| number(*mm)).collect();
        let _ = write!(text, r#" stroke-dasharray="{}""#, dashes.join(" "));
        if pen.dashes_mm == DOTTED {
            text.push_str(r#" stroke-linecap="round""#);
        }
    }
    text
}

/// Text safe inside an element: what XML 1.0 can't hold is dropped, its own characters are escaped.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars().filter(|c| !c.is_control() && !matches!(c, '\u{fffe}' | '\u{ffff}')) {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            _ => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_no_tail() {
        assert_eq!(number(12.5), "12.5");
        assert_eq!(number(-0.0004), "0");
        assert_eq!(number(100.0), "100");
    }

    #[test]
    fn peoples_text_stays_text() {
        assert_eq!(escaped("a<b>&\"\u{7}c\u{ffff}"), "a&lt;b&gt;&amp;&quot;c");
    }

    #[test]
    fn rings_are_closed_once() {
        let at = |x, y| Coord { x, y };
        let ring = [at(0.0, 0.0), at(1.0, 0.0), at(1.0, 1.0), at(0.0, 0.0)];
        assert_eq!(path_of(&ring, true), "M0 0L1 0L1 1Z");
        assert_eq!(path_of(&ring[..2], false), "M0 0L1 0");
    }
}
