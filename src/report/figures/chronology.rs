//! The docking on one line: the wet and dry spells of the dock, and when each file's records are dated.

use std::collections::BTreeSet;

use chrono::{DateTime, Datelike, Duration, FixedOffset, NaiveDate, NaiveTime};
use geo::{Coord, LineString};

use super::canvas::{Canvas, DASHED, Lettered, Pen};
use super::chart::HALT;
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::hatch;
use super::labels::Area;
use super::legend::{self, Sample};
use super::lettering::{self, PLAIN_PT, SMALL_PT};
use super::words;
use crate::findings::Examined;
use crate::findings::chronology::day;
use crate::findings::recomputed::chronology::{Dated, Spell};
use crate::records::{FILES, Project};
use crate::text;

/// Left and right edge of the line: files are named before it, their dates counted behind it, mm.
const LINE_MM: (f64, f64) = (37.0, 157.0);
/// Height of the band of spells, mm.
const BAND_MM: f64 = 7.0;
const ROW_MM: f64 = 4.8;
const TICK_MM: f64 = 3.0;
/// Dates closer together than this make one tick, mm.
const ONE_TICK_MM: f64 = 0.2;
const TICK: Pen = Pen::solid(0.18);
/// Where a day, or a step of days, begins.
const GRID: Pen = Pen::solid(0.1).coloured("#c4c4c4");
/// Where a spell begins.
const CHANGE: Pen = Pen::solid(0.15).broken(DASHED);
const FRAME: Pen = Pen::solid(0.2);
const HATCHING: Pen = Pen::solid(0.13);

/// The days that the line shows.
struct Line {
    first: NaiveDate,
    days: i64,
    offset: FixedOffset,
}

impl Line {
    /// The period of the docking, or what the positions' times span, or what all dates do.
    fn new(project: &Project, dated: &[Dated]) -> Option<Self> {
        let days = |times: Vec<DateTime<FixedOffset>>| -> Option<(NaiveDate, NaiveDate)> {
            let days: BTreeSet<NaiveDate> = times.into_iter().map(|at| day(project, at)).collect();
            Some((*days.first()?, *days.last()?))
        };
        let times = project.positions.iter().flat_map(|position| position.times.in_order());
        let spanned = days(times.filter_map(|(_, at)| at).collect())
            .or_else(|| days(dated.iter().map(|dated| dated.at).collect()));
        let (began, ended) = project.docking.period;
        let first = began.or(spanned.map(|days| days.0))?;
        let last = ended.or(spanned.map(|days| days.1))?;
        let offset = project.docking.offset.or_else(|| dated.first().map(|d| *d.at.offset()))?;
        let days = (last - first).num_days() + 1;
        (days > 0).then_some(Self { first, days, offset })
    }

    /// A time on paper, mm; `None` outside the days shown.
    fn across(&self, at: DateTime<FixedOffset>) -> Option<f64> {
        let midnight = self.first.and_time(NaiveTime::MIN);
        let since = at.with_timezone(&self.offset).naive_local() - midnight;
        let part = since.num_seconds() as f64 / 86_400.0 / self.days as f64;
        (0.0..=1.0).contains(&part).then_some(LINE_MM.0 + part * (LINE_MM.1 - LINE_MM.0))
    }

    /// The beginning of a day on paper, mm.
    fn midnight(&self, number: i64) -> f64 {
        LINE_MM.0 + (LINE_MM.1 - LINE_MM.0) * number as f64 / self.days as f64
    }

    fn last(&self) -> NaiveDate {
        self.first.checked_add_signed(Duration::days(self.days - 1)).unwrap_or(self.first)
    }
}

/// A file's row.
struct Row<'a> {
    path: &'static str,
    dated: Vec<&'a Dated>,
    /// How many of them lie outside the days shown.
    outside: usize,
}

/// The drawing; none without a date, or where no days can be told.
pub fn drawing(examined: &Examined) -> Option<Drawing> {
    let (project, chronology) = (&examined.project, &examined.recomputed.chronology);
    if chronology.dated.is_empty() {
        return None;
    }
    let line = Line::new(project, &chronology.dated)?;
    let rows: Vec<Row> = FILES
        .iter()
        .filter_map(|spec| {
            let dated: Vec<&Dated> =
                chronology.dated.iter().filter(|dated| *dated.place.file == *spec.path).collect();
            let outside = dated.iter().filter(|dated| line.across(dated.at).is_none()).count();
            (!dated.is_empty()).then_some(Row { path: spec.path, dated, outside })
        })
        .collect();
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = 4.4;
    let bottom = top + BAND_MM + rows.len() as f64 * ROW_MM + 1.0;
    let foot = days(&mut canvas, &line, (top, bottom));
    let unknown = band(&mut canvas, project, &chronology.spells, &line, (top, bottom));
    let head = Coord { x: LINE_MM.1 + 12.0, y: top - 1.3 };
    canvas.text(Lettered::new("dates", head, SMALL_PT).end());
    for (n, row) in rows.iter().enumerate() {
        let middle = top + BAND_MM + (n as f64 + 0.5) * ROW_MM + 0.5;
        draw_row(&mut canvas, &line, row, middle);
    }
    canvas.ring(
        &Area { left: LINE_MM.0, right: LINE_MM.1, top, bottom }.corners(),
        Some(FRAME),
        None,
    );
    let samples = [
        (Sample::Hatched(vec![HALT]), "water in the dock".to_string()),
        (Sample::Line(CHANGE), "dock dry, or water let in".to_string()),
    ];
    let used = legend::rows(&mut canvas, foot + 0.6, &samples);

    let outside: usize = rows.iter().map(|row| row.outside).sum();
    let title = format!("The docking from {} to {}", text::day(line.first), text::day(line.last()));
    let mut caption = format!(
        "Clocks at UTC{}; a day begins at its line. Each row is a file of the record, each tick a date \
         in it, and the number at its end how many dates it has.",
        line.offset
    );
    if unknown {
        caption.push_str(
            " Where the band is empty, the record does not say whether the dock was dry.",
        );
    }
    if outside > 0 {
        let dates = words::count(outside, "date");
        caption.push_str(&format!(" Outside these days, and so not drawn: {dates}."));
    }
    let alt = describe(project, &chronology.spells, &rows, &title);
    let words = Words { title, caption, alt };
    Some(Drawing::new(Group::Chronology, "chronology", None, words, canvas, used))
}

/// Lines and names of the days; returns the height reached.
fn days(canvas: &mut Canvas, line: &Line, (top, bottom): (f64, f64)) -> f64 {
    const MONTHLY_DAYS: i64 = 70;
    let day_mm = line.midnight(1) - line.midnight(0);
    let short = line.days <= MONTHLY_DAYS;
    let widest = if short { "30" } else { "2031-04-09" };
    let room = lettering::width_mm(widest, SMALL_PT) + 1.6;
    let steps = (0..8).flat_map(|power| [1, 2, 5].map(|n| n * 10_i64.pow(power)));
    let step = steps.into_iter().find(|step| *step as f64 * day_mm >= room).unwrap_or(line.days);
    let base = bottom + 1.2 + lettering::capital_mm(SMALL_PT);
    let mut grid = Vec::new();
    let mut number = 0;
    while number < line.days {
        let x = line.midnight(number);
        grid.push(LineString::new(vec![Coord { x, y: top }, Coord { x, y: bottom + 0.8 }]));
        let Some(day) = line.first.checked_add_signed(Duration::days(number)) else { break };
        let label = if short { day.day().to_string() } else { day.to_string() };
        // A day's number stands under the day, that of a step at its beginning.
        let x = if short && step == 1 { x + day_mm / 2.0 } else { x };
        let half = lettering::width_mm(&label, SMALL_PT) / 2.0;
        if x + half <= LINE_MM.1 + 5.0 {
            canvas.text(Lettered::new(&label, Coord { x, y: base }, SMALL_PT).middle());
        }
        number += step;
    }
    canvas.lines(&grid, GRID);
    if !short {
        return base + 2.0;
    }
    let base = base + 3.6;
    let mut free_from = f64::NEG_INFINITY;
    for number in 0..line.days {
        let Some(day) = line.first.checked_add_signed(Duration::days(number)) else { break };
        if number > 0 && day.day() != 1 {
            continue;
        }
        let named = text::day(day);
        let month = named.split_once(' ').map_or(named.as_str(), |(_, month)| month);
        let x = line.midnight(number);
        let width = lettering::width_mm(month, PLAIN_PT);
        if x >= free_from && x + width <= WIDTH_MM - 0.5 {
            canvas.text(Lettered::new(month, Coord { x, y: base }, PLAIN_PT));
            free_from = x + width + 2.0;
        }
    }
    base + 2.0
}

/// The end of a spell as far as it is known: the last water has none.
fn end_of(spells: &[Spell], number: usize) -> Option<Option<DateTime<FixedOffset>>> {
    let spell = spells.get(number)?;
    let last = number + 1 == spells.len() && !spell.dry;
    match spell.to {
        Some(to) => Some(Some(to)),
        None => last.then_some(None),
    }
}

/// The spells of the dock; returns whether some of the time no spell is known.
fn band(
    canvas: &mut Canvas,
    project: &Project,
    spells: &[Spell],
    line: &Line,
    (top, bottom): (f64, f64),
) -> bool {
    let base = top + BAND_MM / 2.0 + lettering::capital_mm(SMALL_PT) / 2.0;
    let before = Coord { x: LINE_MM.0 - 1.4, y: base };
    canvas.text(Lettered::new("dock", before, SMALL_PT).end());
    let clamped = |at: DateTime<FixedOffset>| {
        let early = day(project, at) < line.first;
        line.across(at).unwrap_or(if early { LINE_MM.0 } else { LINE_MM.1 })
    };
    let mut known_mm = 0.0;
    for (number, spell) in spells.iter().enumerate() {
        let (Some(from), Some(to)) = (spell.from, end_of(spells, number)) else { continue };
        let (left, right) = (clamped(from), to.map_or(LINE_MM.1, clamped));
        if right - left < 0.05 {
            continue;
        }
        known_mm += right - left;
        let area = Area { left, right, top, bottom: top + BAND_MM };
        if spell.dry {
            let id = project.positions.get(spell.position).map_or("", |position| &position.id);
            let id = lettering::label(id);
            for words in [format!("{id}, dock dry"), id] {
                if lettering::width_mm(&words, SMALL_PT) + 1.0 <= right - left {
                    let at = Coord { x: (left + right) / 2.0, y: base };
                    canvas.text(Lettered::new(&words, at, SMALL_PT).middle());
                    break;
                }
            }
        } else {
            canvas.lines(&hatch::lines(&area.shape(), HALT), HATCHING);
        }
        canvas.ring(&area.corners(), Some(FRAME), None);
        for at in [Some(from), to].into_iter().flatten() {
            if let Some(x) = line.across(at) {
                canvas.line(Coord { x, y: top }, Coord { x, y: bottom }, CHANGE);
            }
        }
    }
    known_mm < LINE_MM.1 - LINE_MM.0 - 0.1
}

fn draw_row(canvas: &mut Canvas, line: &Line, row: &Row, middle: f64) {
    let base = middle + lettering::capital_mm(SMALL_PT) / 2.0;
    let before = Coord { x: LINE_MM.0 - 1.4, y: base };
    canvas.text(Lettered::new(row.path, before, SMALL_PT).end());
    let behind = Coord { x: LINE_MM.1 + 12.0, y: base };
    canvas.text(Lettered::new(&row.dated.len().to_string(), behind, SMALL_PT).end());
    let places: BTreeSet<i64> = row
        .dated
        .iter()
        .filter_map(|dated| line.across(dated.at))
        .map(|x| (x / ONE_TICK_MM).round() as i64)
        .collect();
    let ticks: Vec<LineString<f64>> = places
        .into_iter()
        .map(|place| {
            let x = (place as f64 * ONE_TICK_MM).clamp(LINE_MM.0, LINE_MM.1);
            let end = |side: f64| Coord { x, y: middle + side * TICK_MM / 2.0 };
            LineString::new(vec![end(-1.0), end(1.0)])
        })
        .collect();
    canvas.lines(&ticks, TICK);
}

/// What the drawing shows, in words and figures.
fn describe(project: &Project, spells: &[Spell], rows: &[Row], title: &str) -> String {
    let mut said = format!("{title}. ");
    for (number, spell) in spells.iter().enumerate() {
        let (Some(from), Some(to)) = (spell.from, end_of(spells, number)) else { continue };
        let id = project.positions.get(spell.position).map_or("", |position| &position.id);
        let what = if spell.dry { "Dock dry" } else { "Water in the dock" };
        let to = to.map_or(String::new(), |to| format!(" to {}", text::time(to)));
        let id = lettering::shown(id);
        said.push_str(&format!("{what} ({id}) from {}{to}. ", text::time(from)));
    }
    for row in rows {
        let (first, last) = (row.dated.first(), row.dated.last());
        let ends = first.zip(last).map(|(first, last)| {
            let day = |dated: &Dated| day(project, dated.at).to_string();
            match (day(first), day(last)) {
                (first, last) if first == last => format!(" on {first}"),
                (first, last) => format!(" from {first} to {last}"),
            }
        });
        let dates = words::count(row.dated.len(), "date");
        said.push_str(&format!("{}: {dates}{}. ", row.path, ends.unwrap_or_default()));
    }
    said.trim_end().to_string()
}

#[cfg(test)]
mod tests;
