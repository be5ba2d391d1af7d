//! What plates lost between two dockings: in each strake the plates that were gauged both times, with what each lost a
//! year and a band that is hatched the closer the faster it goes; beside the strake, what its plates lost on average.

use geo::Coord;

use super::canvas::{Canvas, INK, Lettered, Pen};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Ground, extent_of};
use super::hatch::{self, Hatch};
use super::labels::Area;
use super::legend::{self, Sample};
use super::lettering::{self, SMALL_PT};
use super::strakes::{self, NUMBER_MM, Strake};
use super::words::{self, Units};
use crate::findings::Examined;
use crate::text::Form;

/// Left and right end of the rows, mm.
const LEFT_MM: f64 = 13.0;
const RIGHT_MM: f64 = 126.0;
/// Left end of the bars, the longest of them, and room for the number behind it, mm.
const BARS_MM: f64 = 130.0;
const LONGEST_MM: f64 = WIDTH_MM - BARS_MM - 9.5;
/// Of a row: the hatched band under its number, mm.
const BAND_MM: f64 = 2.5;
const ROW_MM: f64 = NUMBER_MM + BAND_MM;
/// Over the rows: frames; under them: x, mm.
const HEAD_MM: f64 = 6.4;
const FOOT_MM: f64 = 8.0;
/// Most rows, so that the caption stands on the same page.
const MOST_ROWS: usize = 26;
/// A field reaches no further from its gauging, m.
const REACH_M: f64 = 4.0;

const EDGE: Pen = Pen::solid(0.13);
const FIRST: Pen = Pen::solid(0.5);

/// The plating of two dockings.
#[derive(Debug, Clone)]
pub struct WastedStrake<'a> {
    /// Its name.
    pub name: &'a str,
    /// Mean of what its plates lost, m a year.
    pub mean_m_per_year: Option<f64>,
    /// The greatest of it, m a year.
    pub greatest_m_per_year: Option<f64>,
    /// The plates that were gauged both times.
    pub plates: Vec<WastedPlate<'a>>,
}

/// A plate that was gauged both times.
#[derive(Debug, Clone)]
pub struct WastedPlate<'a> {
    /// Its name.
    pub plate: &'a str,
    /// Where it was gauged now, m.
    pub at: Option<Coord<f64>>,
    /// What became of it.
    pub wasted: Wasted,
    /// By which a table names it.
    pub letter: Option<String>,
}

/// What became of a plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wasted {
    /// It lost so much, m a year.
    Rate(f64),
    /// It is another plate, or reads thicker than then.
    Another,
    /// The days are not recorded, or don't follow each other.
    NotKnown,
}

/// How fast a plate goes, for its hatch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pace {
    Little,
    Some,
    Much,
    Fast,
    Another,
    NotKnown,
}

/// The ends of the first three, m a year: round figures on either side of what bare steel loses in the sea, about
/// 0.1 mm a year (our choice).
const PACES_M: [f64; 3] = [0.025e-3, 0.05e-3, 0.1e-3];

impl Pace {
    const ALL: [Pace; 6] =
        [Pace::Little, Pace::Some, Pace::Much, Pace::Fast, Pace::Another, Pace::NotKnown];

    fn of(wasted: Wasted) -> Self {
        match wasted {
            Wasted::Rate(rate) => {
                let paces = [Pace::Little, Pace::Some, Pace::Much];
                let found = paces.into_iter().zip(PACES_M).find(|(_, end)| rate <= *end);
                found.map_or(Pace::Fast, |(pace, _)| pace)
            }
            Wasted::Another => Pace::Another,
            Wasted::NotKnown => Pace::NotKnown,
        }
    }

    fn sample(self) -> Sample {
        match self {
            Pace::Fast => Sample::Filled,
            pace => Sample::Hatched(pace.hatches().to_vec()),
        }
    }

    fn hatches(self) -> &'static [Hatch] {
        const SOME: &[Hatch] = &[Hatch { angle_deg: 45.0, spacing_mm: 1.9 }];
        const MUCH: &[Hatch] = &[
            Hatch { angle_deg: 45.0, spacing_mm: 0.7 },
            Hatch { angle_deg: 135.0, spacing_mm: 0.7 },
        ];
        const ANOTHER: &[Hatch] = &[Hatch { angle_deg: 90.0, spacing_mm: 2.4 }];
        const NOT_KNOWN: &[Hatch] = &[Hatch { angle_deg: 0.0, spacing_mm: 0.8 }];
        match self {
            Pace::Little | Pace::Fast => &[],
            Pace::Some => SOME,
            Pace::Much => MUCH,
            Pace::Another => ANOTHER,
            Pace::NotKnown => NOT_KNOWN,
        }
    }

    fn words(self, units: Units) -> String {
        let [little, some, much] = PACES_M.map(|m| units.number(m, Form::Wastage, 3));
        let unit = units.unit(Form::Wastage);
        match self {
            Pace::Little => format!("up to {little} {unit} a year"),
            Pace::Some => format!("to {some}"),
            Pace::Much => format!("to {much}"),
            Pace::Fast => format!("more than {much}"),
            Pace::Another => "renewed, or thicker than then".to_string(),
            Pace::NotKnown => "days not recorded".to_string(),
        }
    }
}

/// A strake with the plates that have a place, each once, by x.
struct Row<'a> {
    strake: Strake<'a>,
    wasted: &'a WastedStrake<'a>,
    plates: Vec<(f64, &'a WastedPlate<'a>)>,
}

/// The wastage of two dockings, with the outline and the frames of the newer one; none where no plate that was gauged
/// both times has a place.
pub fn wastage(newer: &Examined, strakes: &[WastedStrake<'_>]) -> Option<Drawing> {
    let ground = Ground::new(newer);
    let mut left_out = 0;
    let mut rows: Vec<Row> =
        strakes.iter().filter_map(|one| row(&ground, one, &mut left_out)).collect();
    strakes::from_port_to_starboard(&mut rows, |row| &row.strake);
    let over = rows.len().saturating_sub(MOST_ROWS);
    // The outermost on either side.
    rows.drain(..over / 2);
    rows.truncate(MOST_ROWS);
    let xs = || rows.iter().flat_map(|row| &row.plates).map(|(x, _)| *x);
    let low = xs().reduce(f64::min)?;
    let high = xs().reduce(f64::max)?;
    let hull = ground.bottom.and_then(extent_of);
    let ends = hull.map_or((low - REACH_M, high + REACH_M), |hull| {
        (hull.aft.min(low - 0.5), hull.forward.max(high + 0.5))
    });
    Some(draw(&ground, &rows, ends, left_out, over))
}

/// A row, unless none of its plates has a place; of two gaugings of a plate the one that says it goes faster.
fn row<'a>(ground: &Ground, wasted: &'a WastedStrake<'a>, left_out: &mut usize) -> Option<Row<'a>> {
    let mut plates: Vec<(f64, &WastedPlate)> = Vec::new();
    let mut line = Vec::new();
    for one in &wasted.plates {
        let Some(at) = one.at.filter(|at| ground.draws_x(at.x)) else {
            *left_out += 1;
            continue;
        };
        line.push(at);
        let rank = |plate: &WastedPlate| match plate.wasted {
            Wasted::Rate(rate) => (plate.letter.is_some(), rate),
            Wasted::Another | Wasted::NotKnown => (false, f64::NEG_INFINITY),
        };
        match plates.iter_mut().find(|(_, held)| held.plate == one.plate) {
            None => plates.push((at.x, one)),
            Some(held) if rank(held.1) < rank(one) => *held = (at.x, one),
            Some(_) => {}
        }
    }
    plates.sort_by(|a, b| a.0.total_cmp(&b.0));
    (!plates.is_empty()).then(|| Row { strake: Strake::new(wasted.name, line), wasted, plates })
}

fn draw(
    ground: &Ground,
    rows: &[Row],
    (from, to): (f64, f64),
    left_out: usize,
    strakes_over: usize,
) -> Drawing {
    let units = ground.units;
    let mut canvas = Canvas::new(WIDTH_MM);
    let across = |x_m: f64| LEFT_MM + (x_m - from) / (to - from) * (RIGHT_MM - LEFT_MM);
    let base = |middle: f64| middle + lettering::capital_mm(SMALL_PT) / 2.0;
    let top = HEAD_MM + 1.0;
    strakes::frames(&mut canvas, ground, (from, to), top, across);
    let greatest = rows.iter().filter_map(|row| row.wasted.greatest_m_per_year);
    let longest = greatest.fold(PACES_M[0], f64::max);
    let heading = format!("mean, {} a year", units.unit(Form::Wastage));
    canvas.text(Lettered::new(&heading, Coord { x: BARS_MM, y: top - 2.2 }, SMALL_PT));

    let mut y = top;
    let mut without_room = 0;
    for row in rows {
        let name = lettering::label_within(row.strake.name, LEFT_MM - 1.6, SMALL_PT);
        let at = Coord { x: LEFT_MM - 1.2, y: base(y + ROW_MM / 2.0) };
        canvas.text(Lettered::new(&name, at, SMALL_PT).end());
        let xs: Vec<f64> = row.plates.iter().map(|(x, _)| *x).collect();
        for (n, (_, plate)) in row.plates.iter().enumerate() {
            let (aft, forward) = strakes::field(&xs, n, REACH_M, (from, to));
            let area =
                Area { left: across(aft), right: across(forward), top: y, bottom: y + ROW_MM };
            without_room += usize::from(!draw_plate(&mut canvas, units, plate, area));
        }
        draw_mean(&mut canvas, units, row.wasted, y, longest);
        y += ROW_MM + 0.5;
    }
    let ends = [top, y].map(|y| Coord { x: BARS_MM, y });
    canvas.line(ends[0], ends[1], EDGE);
    strakes::foot(&mut canvas, units, (from, to), y, across);
    let used = legend::rows(&mut canvas, y + FOOT_MM, &samples(units, rows));

    let plates = rows.iter().map(|row| row.plates.len()).sum::<usize>();
    let mut caption = format!(
        "In {} a year; {} gauged both times; to scale lengthwise only.",
        units.unit(Form::Wastage),
        words::count(plates, "plate"),
    );
    if strakes_over > 0 {
        let over = words::count(strakes_over, "strake");
        caption.push_str(&format!(" Not drawn, for want of room: {over}."));
    }
    if left_out > 0 {
        let gaugings = words::count(left_out, "gauging");
        caption.push_str(&format!(" Not drawn, having no place: {gaugings}."));
    }
    if without_room > 0 {
        let numbers = words::count(without_room, "number");
        caption.push_str(&format!(" Left out for want of room: {numbers}."));
    }
    let title = "Wastage of plates".to_string();
    let alt = describe(units, rows, plates);
    Drawing::new(
        Group::TwoDockings,
        "wastage",
        None,
        Words { title, caption, alt },
        canvas,
        used + 1.0,
    )
}

/// Draws a plate: what it lost a year, and a band that says how fast that is. Whether the number had room.
fn draw_plate(canvas: &mut Canvas, units: Units, plate: &WastedPlate, area: Area) -> bool {
    let band = Area { top: area.top + NUMBER_MM, ..area };
    let pace = Pace::of(plate.wasted);
    if pace == Pace::Fast {
        canvas.ring(&band.corners(), None, Some(INK));
    }
    for hatch in pace.hatches() {
        canvas.lines(&hatch::lines(&band.shape(), *hatch), Pen::solid(0.15));
    }
    canvas.ring(&band.corners(), Some(EDGE), None);
    canvas.ring(&area.corners(), Some(if plate.letter.is_some() { FIRST } else { EDGE }), None);
    let Wasted::Rate(rate) = plate.wasted else { return true };
    let number = units.number(rate, Form::Wastage, 3);
    strakes::number_in(canvas, &area, plate.letter.as_deref(), number, 0.4)
}

/// A bar for the mean of a strake with its number behind it, and a stroke for the greatest.
fn draw_mean(canvas: &mut Canvas, units: Units, strake: &WastedStrake, y: f64, longest: f64) {
    let Some(mean) = strake.mean_m_per_year else { return };
    let right = |rate: f64| BARS_MM + rate.max(0.0) / longest * LONGEST_MM;
    let bar = Area {
        left: BARS_MM,
        right: right(mean),
        top: y + ROW_MM / 2.0 - 1.1,
        bottom: y + ROW_MM / 2.0 + 1.1,
    };
    canvas.ring(&bar.corners(), Some(EDGE), Some(super::canvas::CAP_GREY));
    let mut end = bar.right;
    if let Some(greatest) = strake.greatest_m_per_year.filter(|greatest| *greatest > 0.0) {
        let x = right(greatest);
        let middle = y + ROW_MM / 2.0;
        canvas.line(Coord { x: bar.right, y: middle }, Coord { x, y: middle }, EDGE);
        let stroke = [bar.top, bar.bottom].map(|y| Coord { x, y });
        canvas.line(stroke[0], stroke[1], Pen::solid(0.35));
        end = end.max(x);
    }
    let at = Coord { x: end + 0.8, y: y + ROW_MM / 2.0 + lettering::capital_mm(SMALL_PT) / 2.0 };
    canvas.text(Lettered::new(&units.number(mean, Form::Wastage, 3), at, SMALL_PT));
}

/// Of the marks only those that are shown somewhere.
fn samples(units: Units, rows: &[Row]) -> Vec<(Sample, String)> {
    let plates = || rows.iter().flat_map(|row| &row.plates).map(|(_, plate)| plate);
    let shown = |pace: &Pace| plates().any(|plate| Pace::of(plate.wasted) == *pace);
    let paces = Pace::ALL.into_iter().filter(shown);
    let mut samples: Vec<(Sample, String)> =
        paces.map(|pace| (pace.sample(), pace.words(units))).collect();
    if plates().any(|plate| plate.letter.is_some()) {
        samples.push((Sample::Line(FIRST), "lettered: in the table of plates".to_string()));
    }
    samples
        .push((Sample::Line(Pen::solid(0.35)), "at a bar\u{2019}s end: the greatest".to_string()));
    samples
}

/// What is shown, in few words and figures.
fn describe(units: Units, rows: &[Row], plates: usize) -> String {
    let mean = |row: &&Row| row.wasted.mean_m_per_year;
    let rate = |rate: f64| format!("{} a year", units.measure(rate, Form::Wastage, 3));
    let worst = rows.iter().filter_map(|row| Some((mean(&row)?, row)));
    let worst = worst.max_by(|a, b| a.0.total_cmp(&b.0));
    let worst = worst.map(|(mean, row)| {
        let greatest = row.wasted.greatest_m_per_year.map(rate).unwrap_or_default();
        format!(
            " Strake {} goes fastest: {} on average, {greatest} at most.",
            lettering::shown(row.strake.name),
            rate(mean)
        )
    });
    format!(
        "Shell expansion of {} with {} gauged both times, port above, the bow to the right.{}",
        words::count(rows.len(), "strake"),
        words::count(plates, "plate"),
        worst.unwrap_or_default()
    )
}

#[cfg(test)]
mod tests;
