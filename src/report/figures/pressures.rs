//! Pressures on the blocks of two dockings over each other, along the hull: those of now as bars, those of then as
//! strokes, each row of blocks in a frame.

use super::axis::Axis;
use super::canvas::{Canvas, Pen};
use super::chart::{Bar, LEFT_MM, Mark, RIGHT_MM, Row, draw_rows};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::legend::{self, Sample};
use super::lettering;
use super::words::{self, Units};
use crate::text::{Form, System};

/// Two positions that are compared.
#[derive(Debug, Clone)]
pub struct PressedPair<'a> {
    /// The position then.
    pub then: &'a str,
    /// The position now.
    pub now: &'a str,
    /// The rows of blocks.
    pub rows: Vec<PressedRow>,
}

/// A row of blocks.
#[derive(Debug, Clone)]
pub struct PressedRow {
    /// What it is called.
    pub name: &'static str,
    /// The blocks of then.
    pub then: Vec<Pressed>,
    /// The blocks of now.
    pub now: Vec<Pressed>,
}

/// A block under pressure.
#[derive(Debug, Clone, Copy)]
pub struct Pressed {
    /// x of its centre on the hull, m.
    pub x_m: f64,
    /// Half the length of its cap, m.
    pub half_m: f64,
    /// The pressure, kPa.
    pub kpa: f64,
}

const NOW: Pen = Pen::solid(0.13);
const THEN: Pen = Pen::solid(0.45);
/// Height of a frame with the highest pressure in it; no frame is lower than the other, mm.
const HIGHEST_MM: f64 = 26.0;
const LOWEST_MM: f64 = 9.0;
/// Most frames, so that the caption stands on the same page.
const MOST_FRAMES: usize = 7;
/// Rows of which the alternative text tells.
const MOST_SAID: usize = 4;
/// Beyond this from the stern reference point, m, nothing is drawn.
const FAR_M: f64 = 5000.0;

impl PressedPair<'_> {
    fn name(&self) -> String {
        let [then, now] = [self.then, self.now].map(lettering::label);
        format!("{then} then against {now} now")
    }
}

impl PressedRow {
    fn blocks(&self) -> impl Iterator<Item = &Pressed> {
        self.then.iter().chain(&self.now)
    }

    fn highest_kpa(&self) -> f64 {
        self.blocks().map(|block| block.kpa).fold(0.0, f64::max)
    }
}

/// The pressures of the pairs whose loads could be recomputed; none without any.
pub fn pressures(system: System, pairs: &[PressedPair]) -> Option<Drawing> {
    let units = Units(system);
    let frames: Vec<(&PressedPair, &PressedRow)> = pairs
        .iter()
        .flat_map(|pair| pair.rows.iter().map(move |row| (pair, row)))
        .filter(|(_, row)| row.highest_kpa() > 0.0)
        .collect();
    let over = frames.len().saturating_sub(MOST_FRAMES);
    let frames = frames.get(..frames.len() - over)?;
    let highest = frames.iter().map(|(_, row)| row.highest_kpa()).fold(0.0, f64::max);
    let ends = frames.iter().flat_map(|(_, row)| row.blocks());
    let (from, to) = ends
        .map(|block| (block.x_m - block.half_m - 0.5, block.x_m + block.half_m + 0.5))
        .filter(|(from, to)| from.abs() < FAR_M && to.abs() < FAR_M)
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    let title = format!("x on the hull, {}", units.unit(Form::Length));
    let scaling = units.scaling(Form::Length);
    let x = Axis::between(title, scaling, (from, to), RIGHT_MM - LEFT_MM, 12.0)?;
    let rows: Vec<Row> =
        frames.iter().filter_map(|(pair, row)| frame(units, pair, row, highest)).collect();
    if rows.is_empty() {
        return None;
    }
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = draw_rows(&mut canvas, &x, 0.0, &rows);
    let samples = [
        (Sample::Cap, "pressure now, as wide as the cap is long".to_string()),
        (Sample::Line(THEN), "pressure then, as long as the cap was".to_string()),
    ];
    let used = legend::rows(&mut canvas, top, &samples);
    let mut caption = "As recomputed, the dock dry; each row has a scale of its own.".to_string();
    if over > 0 {
        let over = words::count(over, "row");
        caption.push_str(&format!(" Not drawn, for want of room: {over} of blocks."));
    }
    let said: Vec<String> = frames.iter().map(|(pair, row)| in_words(units, pair, row)).collect();
    let more = match said.len().saturating_sub(MOST_SAID) {
        0 => String::new(),
        more => format!(" {} more.", words::count(more, "row")),
    };
    let said = said.get(..MOST_SAID).unwrap_or(&said).join(" ");
    let alt = format!("Pressure along the hull. {said}{more}");
    let title = "Pressure on the blocks then and now".to_string();
    let words = Words { title, caption, alt };
    Some(Drawing::new(Group::TwoDockings, "pressures", None, words, canvas, used))
}

fn frame(units: Units, pair: &PressedPair, row: &PressedRow, highest: f64) -> Option<Row> {
    let height = (row.highest_kpa() / highest * HIGHEST_MM).max(LOWEST_MM);
    let title = format!("{}, {}: {}", pair.name(), row.name, units.unit(Form::Pressure));
    let values = row.blocks().map(|block| block.kpa).chain([0.0, 1.0]);
    let y = Axis::over(title, units.scaling(Form::Pressure), values, height, 4.5)?;
    let bar = |block: &Pressed| {
        Mark::Bar(Bar {
            x: block.x_m,
            half: block.half_m,
            from: 0.0,
            to: block.kpa,
            edge: NOW,
            least_mm: 0.6,
        })
    };
    let stroke = |block: &Pressed| Mark::Stroke {
        x: block.x_m,
        half: block.half_m,
        y: block.kpa,
        pen: THEN,
    };
    let marks = row.now.iter().map(bar).chain(row.then.iter().map(stroke)).collect();
    Some(Row::new(y, height, marks))
}

/// The highest pressures of a row.
fn in_words(units: Units, pair: &PressedPair, row: &PressedRow) -> String {
    let highest = |blocks: &[Pressed]| {
        let highest = blocks.iter().map(|block| block.kpa).reduce(f64::max);
        match highest {
            Some(kpa) => units.measure(kpa, Form::Pressure, 0),
            None => "not recomputed".to_string(),
        }
    };
    let (then, now) = (highest(&row.then), highest(&row.now));
    format!("{}, {}: highest then {then}, now {now}.", pair.name(), row.name)
}

#[cfg(test)]
mod tests;
