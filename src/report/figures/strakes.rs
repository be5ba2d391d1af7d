//! How strakes are laid over each other in drawings of the shell: the keel plate in the middle, strakes to port above
//! it and those to starboard below, in the order in which they go outward. Along the ship a drawing is true to scale,
//! across it every strake is a row.

use geo::{Coord, LineString};

use super::canvas::{Canvas, Lettered, Pen};
use super::ground::Ground;
use super::labels::Area;
use super::lettering::{self, SMALL_PT};
use super::scale::round_up;
use super::words::Units;
use crate::text::Form;

const EDGE: Pen = Pen::solid(0.13);

/// Height of the upper part of a plate, in which its number stands, mm.
pub const NUMBER_MM: f64 = 3.3;

/// Where a strake lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    Keel,
    Port,
    Starboard,
}

/// A strake, as far as its gaugings say where it lies.
pub struct Strake<'a> {
    pub name: &'a str,
    pub side: Side,
    /// Where it was gauged, by x, m.
    line: Vec<Coord<f64>>,
}

impl<'a> Strake<'a> {
    /// A strake by its name and the places where it was gauged, m.
    pub fn new(name: &'a str, mut line: Vec<Coord<f64>>) -> Self {
        line.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        let mean = line.iter().map(|at| at.y).sum::<f64>() / line.len().max(1) as f64;
        let both = line.iter().any(|at| at.y > 0.0) && line.iter().any(|at| at.y < 0.0);
        let side = named_side(name).0.unwrap_or(match mean {
            mean if both && mean.abs() < 0.5 || mean == 0.0 => Side::Keel,
            mean if mean > 0.0 => Side::Port,
            _ => Side::Starboard,
        });
        Self { name, side, line }
    }

    /// How far off the centreline it was gauged near some x, m; none where no place of it has a y.
    pub fn off_m(&self, x_m: f64) -> Option<f64> {
        let after = self.line.partition_point(|at| at.x < x_m);
        let (before, after) = (self.line.get(after.wrapping_sub(1)), self.line.get(after));
        let off = match (before, after) {
            (Some(a), Some(b)) if b.x > a.x => a.y + (b.y - a.y) * (x_m - a.x) / (b.x - a.x),
            (one, other) => one.or(other)?.y,
        };
        Some(off.abs())
    }
}

/// Puts rows in the order in which their strakes lie on paper. Names of one or two letters go outward by the alphabet,
/// others by how far off the centreline they were gauged.
pub fn from_port_to_starboard<T>(rows: &mut [T], strake: impl for<'b> Fn(&'b T) -> &'b Strake<'b>) {
    let letters = rows.iter().map(&strake).all(|one| {
        let (_, rest) = named_side(one.name);
        one.side == Side::Keel || rest.len() <= 2 && rest.chars().all(char::is_alphabetic)
    });
    let off = |one: &Strake| {
        one.line.iter().map(|at| at.y.abs()).sum::<f64>() / one.line.len().max(1) as f64
    };
    rows.sort_by(|a, b| {
        let (a, b) = (strake(a), strake(b));
        let outward = if letters {
            let (a, b) = (named_side(a.name).1, named_side(b.name).1);
            a.len().cmp(&b.len()).then(a.cmp(&b))
        } else {
            off(a).total_cmp(&off(b))
        };
        let outward = outward.then(a.name.cmp(b.name));
        let place = |side| match side {
            Side::Port => 0,
            Side::Keel => 1,
            Side::Starboard => 2,
        };
        let outward = if a.side == Side::Port { outward.reverse() } else { outward };
        place(a.side).cmp(&place(b.side)).then(outward)
    });
}

/// What a strake's name says of its side, and the rest of it: `F-S`, `F S`, `F/stbd`.
pub fn named_side(name: &str) -> (Option<Side>, String) {
    let parts: Vec<&str> =
        name.split(|c: char| !c.is_alphanumeric()).filter(|p| !p.is_empty()).collect();
    let side = |part: &&str| match part.to_ascii_lowercase().as_str() {
        "p" | "ps" | "port" => Some(Side::Port),
        "s" | "sb" | "stb" | "stbd" | "starboard" => Some(Side::Starboard),
        "k" | "fk" | "keel" => Some(Side::Keel),
        _ => None,
    };
    let found = if parts.len() > 1 {
        parts.iter().rev().find_map(side)
    } else {
        parts.first().and_then(side).filter(|s| *s == Side::Keel)
    };
    let rest: Vec<&str> =
        parts.into_iter().filter(|part| side(part) != found || found.is_none()).collect();
    (found, rest.join(" "))
}

/// The field of one of the plates of a row, by the x of each, m: halfway to its neighbours, no further than a reach, and
/// within the ends of a drawing.
pub fn field(xs_m: &[f64], number: usize, reach_m: f64, (from, to): (f64, f64)) -> (f64, f64) {
    let x = xs_m[number];
    let half =
        |other: Option<&f64>| other.map_or(reach_m, |other| ((other - x).abs() / 2.0).min(reach_m));
    let before = half(number.checked_sub(1).and_then(|n| xs_m.get(n)));
    let after = half(xs_m.get(number + 1));
    ((x - before).max(from), (x + after).min(to))
}

/// Frame numbers over the rows, with a tick each.
pub fn frames(
    canvas: &mut Canvas,
    ground: &Ground,
    (from, to): (f64, f64),
    top: f64,
    across: impl Fn(f64) -> f64,
) {
    let frames = ground.examined.project.docking.frames.as_ref();
    let sound = frames.filter(|f| f.stretches.iter().all(|s| s.spacing_m >= 0.01));
    let Some(frames) = sound else { return };
    let ticks = frames.between(from, to);
    let Some(apart) = ticks
        .windows(2)
        .map(|pair| (across(pair[1].1) - across(pair[0].1)).abs())
        .filter(|mm| *mm > 1e-6)
        .reduce(f64::min)
    else {
        return;
    };
    let every = |room: f64| {
        let steps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
        steps.into_iter().find(|step| f64::from(*step) * apart >= room).map_or(100_000, i64::from)
    };
    let (tick, label) = (every(0.8), every(8.0));
    let [left, right] = [from, to].map(&across);
    let base = top - 2.2;
    canvas.text(Lettered::new("frame", Coord { x: left - 1.2, y: base }, SMALL_PT).end());
    let mut free_from = left - 1.0;
    let mut ticks: Vec<(i64, f64)> = ticks.into_iter().map(|(n, x)| (n, across(x))).collect();
    ticks.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut lines = Vec::new();
    for (number, x) in ticks {
        let named = number % label == 0;
        if !named && number % tick != 0 {
            continue;
        }
        let long = if named { 1.5 } else { 0.8 };
        lines.push(LineString::new(vec![
            Coord { x, y: top - 0.3 },
            Coord { x, y: top - 0.3 - long },
        ]));
        let text = number.to_string();
        let half = lettering::width_mm(&text, SMALL_PT) / 2.0;
        if named && x - half >= free_from && x + half <= right + 1.8 {
            canvas.text(Lettered::new(&text, Coord { x, y: base }, SMALL_PT).middle());
            free_from = x + half + 0.8;
        }
    }
    canvas.lines(&lines, EDGE);
}

/// x under the rows, at round lengths.
pub fn foot(
    canvas: &mut Canvas,
    units: Units,
    (from, to): (f64, f64),
    bottom: f64,
    across: impl Fn(f64) -> f64,
) {
    let scaling = units.scaling(Form::Length);
    let (low, high) = (scaling.shown(from), scaling.shown(to));
    let [left, right] = [from, to].map(&across);
    let step = round_up((high - low) * 14.0 / (right - left));
    let ends = [left, right].map(|x| Coord { x, y: bottom + 0.6 });
    canvas.line(ends[0], ends[1], EDGE);
    let base = bottom + 2.2 + lettering::capital_mm(SMALL_PT);
    let mut lines = Vec::new();
    let mut n = (low / step).ceil();
    while n * step <= high + 1e-9 {
        let x = across(scaling.kept(n * step));
        lines.push(LineString::new(vec![
            Coord { x, y: bottom + 0.6 },
            Coord { x, y: bottom + 1.8 },
        ]));
        let text =
            units.number(scaling.kept(n * step), Form::Length, if step < 1.0 { 1 } else { 0 });
        canvas.text(Lettered::new(&text, Coord { x, y: base }, SMALL_PT).middle());
        n += 1.0;
    }
    canvas.lines(&lines, EDGE);
    let name = format!("x, {}", units.unit(Form::Length));
    canvas.text(Lettered::new(&name, Coord { x: left - 1.2, y: base }, SMALL_PT).end());
}

/// Writes a plate's number in its upper part, behind its letter if it has one, with so much room left at the sides, mm.
/// Where both have no room the letter alone leads to the table. Whether anything found room.
pub fn number_in(
    canvas: &mut Canvas,
    area: &Area,
    letter: Option<&str>,
    number: String,
    left_mm: f64,
) -> bool {
    let said = match letter {
        Some(letter) => vec![format!("{letter} {number}"), letter.to_string()],
        None => vec![number],
    };
    let room = area.right - area.left - left_mm;
    let fits = said.iter().find(|said| lettering::width_mm(said, SMALL_PT) <= room);
    if let Some(said) = fits {
        let middle = (area.left + area.right) / 2.0;
        let y = area.top + NUMBER_MM / 2.0 + lettering::capital_mm(SMALL_PT) / 2.0;
        canvas.text(Lettered::new(said, Coord { x: middle, y }, SMALL_PT).middle());
    }
    fits.is_some()
}
