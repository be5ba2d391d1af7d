//! The docking on one time-line: the water in the dock, the positions, openings opened and closed, coats by zone,
//! weather beyond limits or noted, and landing checks.

use std::collections::BTreeSet;

use chrono::{DateTime, Datelike, Duration, FixedOffset, NaiveDate, NaiveTime};
use geo::{Coord, LineString};

use super::axis::Axis;
use super::canvas::{Canvas, DASHED, INK, Lettered, PAPER, Pen};
use super::chart::{self, HALT, Marker};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::hatch::{self, Hatch};
use super::labels::Area;
use super::legend::{self, Sample};
use super::lettering::{self, PLAIN_PT};
use super::words::{self, Units};
use crate::findings::Examined;
use crate::findings::chronology::day;
use crate::findings::finding::Outcome;
use crate::findings::recomputed::chronology::{Dated, Spell};
use crate::findings::recomputed::water::WaterLog;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::coats::Application;
use crate::records::zones::Extent;
use crate::text::{self, Form};

/// Left and right edge of the line: what a row shows is named before it, mm.
const LINE_MM: (f64, f64) = (31.0, 168.0);
/// Height of the band of spells, mm.
const BAND_MM: f64 = 7.0;
/// Heights of the water level and of the openings, mm.
const LEVEL_MM: f64 = 21.0;
const OPENINGS_MM: f64 = 12.0;
/// Height of a row of marks or bars, mm.
const ROW_MM: f64 = 4.7;
/// Between the parts, mm.
const GAP_MM: f64 = 1.6;
/// Height of a bar, and the least width of one, mm.
const BAR_MM: (f64, f64) = (3.4, 0.7);
/// Height of the tick of a reading, mm.
const TICK_MM: f64 = 2.6;
/// Ticks closer together than this are one, mm.
const ONE_TICK_MM: f64 = 0.3;
/// Landing checks closer together than this are counted together, mm.
const ONE_GROUP_MM: f64 = 4.0;
/// Most zones with a row of their own; the coats of more share one.
const MOST_ZONES: usize = 12;
const TICK: Pen = Pen::solid(0.22);
/// The water level.
const LEVEL: Pen = Pen::solid(0.35);
/// Where a day, or a step of days, begins.
const GRID: Pen = Pen::solid(0.1).coloured("#c4c4c4");
/// Where a spell begins.
const CHANGE: Pen = Pen::solid(0.15).broken(DASHED);
const FRAME: Pen = Pen::solid(0.2);
const HATCHING: Pen = Pen::solid(0.13);
/// Openings that are open: denser than the water, and upright.
const OPEN: Hatch = Hatch { angle_deg: 90.0, spacing_mm: 0.7 };

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
        let offset =
            project.docking.clock.first().or_else(|| dated.first().map(|d| *d.at.offset()))?;
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

    /// A time on paper, or the end of the line beyond which it lies.
    fn clamped(&self, project: &Project, at: DateTime<FixedOffset>) -> f64 {
        let early = day(project, at) < self.first;
        self.across(at).unwrap_or(if early { LINE_MM.0 } else { LINE_MM.1 })
    }

    fn last(&self) -> NaiveDate {
        self.first.checked_add_signed(Duration::days(self.days - 1)).unwrap_or(self.first)
    }
}

/// What stands over each other, from top to bottom.
struct Parts {
    top: f64,
    level: Option<Axis>,
    /// Whether any opening is opened or closed at a time.
    openings: bool,
    /// The zones that have coats with a time; none where all share a row.
    zones: Vec<usize>,
    coats: bool,
    beyond: bool,
    noted: bool,
    checks: bool,
}

impl Parts {
    fn new(examined: &Examined, line: &Line) -> Self {
        let project = &examined.project;
        let units = Units::new(examined);
        let shown = |at: DateTime<FixedOffset>| line.across(at).is_some();
        let levels =
            project.water.iter().filter(|water| shown(water.at)).map(|water| water.level_m);
        let level = Axis::over("", units.scaling(Form::Length), levels, LEVEL_MM, 6.0);
        let mut times =
            project.opened.iter().flat_map(|row| [row.opened_at, row.closed_at]).flatten();
        let coated = |zone: &str| {
            let own = project.coats.iter().filter(|coat| coat.zone == zone);
            own.filter_map(span).any(|(from, to)| shown(from) || shown(to))
        };
        let zones = project.zones.iter().enumerate().filter(|(_, zone)| coated(&zone.id));
        let zones: Vec<usize> = zones.map(|(number, _)| number).collect();
        let mut notes = project
            .climate
            .iter()
            .filter(|reading| examined.recomputed.chronology.is_of_weather(project, reading));
        let weather = &examined.recomputed.chronology.weather;
        Self {
            top: 1.0,
            level,
            openings: times.any(shown),
            coats: !zones.is_empty(),
            zones: if zones.len() > MOST_ZONES { Vec::new() } else { zones },
            beyond: weather.iter().any(|beyond| shown(beyond.at)),
            noted: notes.any(|reading| shown(reading.at)),
            checks: project.checks.iter().filter_map(|check| check.at).any(shown),
        }
    }

    /// Rows of coats.
    fn coat_rows(&self) -> usize {
        if self.coats { self.zones.len().max(1) } else { 0 }
    }

    fn bottom(&self) -> f64 {
        let panel = |shown: bool, height: f64| if shown { height + GAP_MM } else { 0.0 };
        let rows = [self.beyond, self.noted, self.checks].into_iter().filter(|row| *row).count();
        self.top
            + BAND_MM
            + GAP_MM
            + panel(self.level.is_some(), LEVEL_MM)
            + panel(self.openings, OPENINGS_MM)
            + (self.coat_rows() + rows) as f64 * ROW_MM
            + GAP_MM
    }
}

/// From when to when a coat was put on, as far as either is recorded.
fn span(coat: &Application) -> Option<(DateTime<FixedOffset>, DateTime<FixedOffset>)> {
    let from = coat.began.or(coat.ended)?;
    Some((from, coat.ended.unwrap_or(from).max(from)))
}

/// The drawing; none without a date, or where no days can be told.
pub fn drawing(examined: &Examined) -> Option<Drawing> {
    let (project, chronology) = (&examined.project, &examined.recomputed.chronology);
    if chronology.dated.is_empty() {
        return None;
    }
    let line = Line::new(project, &chronology.dated)?;
    let parts = Parts::new(examined, &line);
    let mut canvas = Canvas::new(WIDTH_MM);
    let (top, bottom) = (parts.top, parts.bottom());
    let foot = days(&mut canvas, &line, (top, bottom));
    let unknown = band(&mut canvas, project, &chronology.spells, &line, (top, bottom));
    let mut samples = vec![
        (Sample::Hatched(vec![HALT]), "water in the dock".to_string()),
        (Sample::Line(CHANGE), "dock dry, or water let in".to_string()),
    ];
    let mut at = top + BAND_MM + GAP_MM;
    if let Some(axis) = &parts.level {
        levels(&mut canvas, examined, &line, axis, at);
        at += LEVEL_MM + GAP_MM;
    }
    let mut unclosed = 0;
    let mut most_open = 0;
    if parts.openings {
        (most_open, unclosed) = openings(&mut canvas, project, &line, at);
        samples.push((Sample::Hatched(vec![OPEN]), "openings open".to_string()));
        at += OPENINGS_MM + GAP_MM;
    }
    if parts.coats {
        for row in 0..parts.coat_rows() {
            coats(&mut canvas, project, &line, parts.zones.get(row).copied(), at + ROW_MM / 2.0);
            at += ROW_MM;
        }
        let is_part = |coat: &Application| matches!(coat.extent, Extent::Patches | Extent::Area(_));
        if project.coats.iter().any(|coat| !is_part(coat)) {
            samples.push((
                Sample::Filled,
                "coat on all or the exposed steel, with its number".to_string(),
            ));
        }
        if project.coats.iter().any(is_part) {
            samples.push((Sample::Hatched(Vec::new()), "coat on patches or an area".to_string()));
        }
    }
    weather(&mut canvas, examined, &line, &parts, &mut at, &mut samples);
    if parts.checks {
        checks(&mut canvas, project, &line, at + ROW_MM / 2.0, &mut samples);
    }
    let frame = Area { left: LINE_MM.0, right: LINE_MM.1, top, bottom };
    canvas.ring(&frame.corners(), Some(FRAME), None);
    let used = legend::rows(&mut canvas, foot + 0.6, &samples);

    let outside = chronology.dated.iter().filter(|dated| line.across(dated.at).is_none()).count();
    let title = format!("The docking from {} to {}", text::day(line.first), text::day(line.last()));
    let caption = format!("A day begins at its line, UTC{}.", line.offset);
    let mut note: Vec<String> = Vec::new();
    if unclosed > 0 {
        let openings = words::count(unclosed, "opening");
        note.push(format!("Without {openings} that has no time of opening or closing."));
    }
    if unknown {
        note.push("Where the band is empty, wet or dry is not recorded.".to_string());
    }
    if outside > 0 {
        let dates = words::count(outside, "date");
        note.push(format!("Outside these days, and so not drawn: {dates}."));
    }
    let alt = describe(examined, &line, &parts, most_open);
    let words = Words { title, caption, alt };
    let drawing = Drawing::new(Group::Chronology, "chronology", None, words, canvas, used);
    Some(drawing.with_note(note.join(" ")))
}

/// Lines and names of the days; returns the height reached.
fn days(canvas: &mut Canvas, line: &Line, (top, bottom): (f64, f64)) -> f64 {
    const MONTHLY_DAYS: i64 = 70;
    let day_mm = line.midnight(1) - line.midnight(0);
    let short = line.days <= MONTHLY_DAYS;
    let widest = if short { "30" } else { "2031-04-09" };
    let room = lettering::width_mm(widest, PLAIN_PT) + 1.6;
    let steps = (0..8).flat_map(|power| [1, 2, 5].map(|n| n * 10_i64.pow(power)));
    let step = steps.into_iter().find(|step| *step as f64 * day_mm >= room).unwrap_or(line.days);
    let base = bottom + 1.2 + lettering::capital_mm(PLAIN_PT);
    let mut grid = Vec::new();
    let mut number = 0;
    while number < line.days {
        let x = line.midnight(number);
        grid.push(LineString::new(vec![Coord { x, y: top }, Coord { x, y: bottom + 0.8 }]));
        let Some(day) = line.first.checked_add_signed(Duration::days(number)) else { break };
        let label = if short { day.day().to_string() } else { day.to_string() };
        // A day's number stands under the day, that of a step at its beginning.
        let x = if short && step == 1 { x + day_mm / 2.0 } else { x };
        let half = lettering::width_mm(&label, PLAIN_PT) / 2.0;
        if x + half <= WIDTH_MM - 0.3 {
            canvas.text(Lettered::new(&label, Coord { x, y: base }, PLAIN_PT).middle());
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
    let base = top + BAND_MM / 2.0 + lettering::capital_mm(PLAIN_PT) / 2.0;
    let before = Coord { x: LINE_MM.0 - 1.4, y: base };
    canvas.text(Lettered::new("dock", before, PLAIN_PT).end());
    let clamped = |at: DateTime<FixedOffset>| line.clamped(project, at);
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
                if lettering::width_mm(&words, PLAIN_PT) + 1.0 <= right - left {
                    let at = Coord { x: (left + right) / 2.0, y: base };
                    canvas.text(Lettered::new(&words, at, PLAIN_PT).middle());
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
    // Of the dock before it was first flooded for her nothing is expected.
    let first = spells.iter().filter_map(|spell| spell.from).min().map(clamped);
    first.is_none_or(|first_mm| known_mm < LINE_MM.1 - first_mm - 0.1)
}

/// Names a row before the line.
fn name_row(canvas: &mut Canvas, name: &str, middle: f64) {
    let base = middle + lettering::capital_mm(PLAIN_PT) / 2.0;
    canvas.text(Lettered::new(name, Coord { x: LINE_MM.0 - 1.4, y: base }, PLAIN_PT).end());
}

/// A label on a patch of paper, so that no line of the grid runs through it; it begins at a place.
fn label(canvas: &mut Canvas, words: &str, left: f64, middle: f64) {
    let (width, capital) = (lettering::width_mm(words, PLAIN_PT), lettering::capital_mm(PLAIN_PT));
    let patch = Area {
        left: left - 0.2,
        right: left + width + 0.2,
        top: middle - capital / 2.0 - 0.3,
        bottom: middle + capital / 2.0 + 0.3,
    };
    canvas.ring(&patch.corners(), None, Some(PAPER));
    canvas.text(Lettered::new(words, Coord { x: left, y: middle + capital / 2.0 }, PLAIN_PT));
}

/// The foot of a part, as a line across.
fn rule(canvas: &mut Canvas, y: f64) {
    canvas.line(Coord { x: LINE_MM.0, y }, Coord { x: LINE_MM.1, y }, FRAME);
}

/// The water level as it was read, spell by spell; between spells of the log nobody read it, and nothing is drawn.
fn levels(canvas: &mut Canvas, examined: &Examined, line: &Line, axis: &Axis, top: f64) {
    let project = &examined.project;
    let up = |level_m: f64| top + LEVEL_MM * (1.0 - axis.part(level_m));
    for value in axis.ticks() {
        let y = up(value);
        canvas.line(Coord { x: LINE_MM.0, y }, Coord { x: LINE_MM.1, y }, GRID);
        let base = y + lettering::capital_mm(PLAIN_PT) / 2.0;
        let at = Coord { x: LINE_MM.0 - 1.0, y: base };
        canvas.text(Lettered::new(&axis.lettered(value), at, PLAIN_PT).end());
    }
    for position in &project.positions {
        let log = WaterLog::new(project, &position.id);
        for spell in log.spells() {
            let places: Vec<Coord<f64>> = spell
                .iter()
                .filter_map(|water| Some(Coord { x: line.across(water.at)?, y: up(water.level_m) }))
                .collect();
            match places.as_slice() {
                [one] => chart::marker(canvas, *one, Marker::Dot),
                _ => canvas.lines(&[LineString::new(places)], LEVEL),
            }
        }
    }
    let unit = Units::new(examined).unit(Form::Length);
    let words = ["water".to_string(), format!("level, {unit}")];
    for (n, words) in words.iter().enumerate() {
        let at = Coord { x: 0.5, y: top + LEVEL_MM / 2.0 + n as f64 * 3.2 - 0.4 };
        canvas.text(Lettered::new(words, at, PLAIN_PT));
    }
    rule(canvas, top + LEVEL_MM);
}

/// How many openings were open at a time. Returns the most, and how many are left out since they lack a time.
fn openings(canvas: &mut Canvas, project: &Project, line: &Line, top: f64) -> (usize, usize) {
    let both: Vec<(DateTime<FixedOffset>, DateTime<FixedOffset>)> = project
        .opened
        .iter()
        .filter_map(|row| Some((row.opened_at?, row.closed_at?)))
        .filter(|(opened, closed)| opened <= closed)
        .collect();
    let lacking = project
        .opened
        .iter()
        .filter(|row| row.opened_at.is_some() || row.closed_at.is_some())
        .count()
        - both.len();
    let mut changes: Vec<DateTime<FixedOffset>> =
        both.iter().flat_map(|(opened, closed)| [*opened, *closed]).collect();
    changes.sort();
    changes.dedup();
    let open_at = |at: DateTime<FixedOffset>| {
        both.iter().filter(|(opened, closed)| *opened <= at && at < *closed).count()
    };
    let most = changes.iter().map(|at| open_at(*at)).max().unwrap_or(0);
    let foot = top + OPENINGS_MM;
    let up = |number: usize| foot - (OPENINGS_MM - 2.4) * number as f64 / most.max(1) as f64;
    let clamped = |at: DateTime<FixedOffset>| line.clamped(project, at);
    for pair in changes.windows(2) {
        let (&[from, to], true) = (pair, pair.len() == 2) else { continue };
        let number = open_at(from);
        let area = Area { left: clamped(from), right: clamped(to), top: up(number), bottom: foot };
        if number > 0 && area.right - area.left > 0.01 {
            canvas.lines(&hatch::lines(&area.shape(), OPEN), HATCHING);
        }
    }
    let mut outline: Vec<Coord<f64>> = Vec::new();
    let mut height = foot;
    for at in &changes {
        let x = clamped(*at);
        outline.push(Coord { x, y: height });
        height = up(open_at(*at));
        outline.push(Coord { x, y: height });
    }
    canvas.lines(&[LineString::new(outline)], LEVEL);
    for (number, y) in [(0, foot), (most, up(most))] {
        if number > 0 || most == 0 {
            canvas.line(Coord { x: LINE_MM.0, y }, Coord { x: LINE_MM.1, y }, GRID);
        }
        let base = y + if number == 0 { 0.0 } else { lettering::capital_mm(PLAIN_PT) / 2.0 };
        let at = Coord { x: LINE_MM.0 - 1.0, y: base };
        canvas.text(Lettered::new(&number.to_string(), at, PLAIN_PT).end());
    }
    for (n, words) in ["openings", "open"].iter().enumerate() {
        let at = Coord { x: 0.5, y: top + OPENINGS_MM / 2.0 + n as f64 * 3.2 };
        canvas.text(Lettered::new(words, at, PLAIN_PT));
    }
    rule(canvas, foot);
    (most, lacking)
}

/// The coats of a zone as bars with their numbers, or those of all zones without.
fn coats(canvas: &mut Canvas, project: &Project, line: &Line, zone: Option<usize>, middle: f64) {
    let zone = zone.and_then(|number| project.zones.get(number));
    let name = zone.map_or("coats, all zones".to_string(), |zone| {
        format!("coats, {}", lettering::label(&zone.id))
    });
    name_row(canvas, &name, middle);
    let of_row = |coat: &&Application| zone.is_none_or(|zone| zone.id == coat.zone);
    let mut bars: Vec<(f64, f64, &Application)> = Vec::new();
    for coat in project.coats.iter().filter(of_row) {
        let Some((from, to)) = span(coat) else { continue };
        let (Some(left), Some(right)) = (line.across(from), line.across(to)) else { continue };
        bars.push((left, right.max(left + BAR_MM.1), coat));
    }
    bars.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.coat.cmp(&b.2.coat)));
    for (left, right, coat) in &bars {
        let (top, bottom) = (middle - BAR_MM.0 / 2.0, middle + BAR_MM.0 / 2.0);
        let area = Area { left: *left, right: *right, top, bottom };
        let fill = match coat.extent {
            Extent::All | Extent::Exposed => INK,
            Extent::Patches | Extent::Area(_) => PAPER,
        };
        canvas.ring(&area.corners(), Some(Pen::solid(0.25)), Some(fill));
    }
    for (n, (_, right, coat)) in bars.iter().enumerate() {
        let number = coat.coat.to_string();
        let left = right + 0.5;
        let ends = left + lettering::width_mm(&number, PLAIN_PT) + 0.3;
        let free = bars.get(n + 1).is_none_or(|next| next.0 > ends) && ends < LINE_MM.1;
        if zone.is_some() && free {
            label(canvas, &number, left, middle);
        }
    }
}

/// Readings beyond a limit, coats put on then, and what was noted of the weather.
fn weather(
    canvas: &mut Canvas,
    examined: &Examined,
    line: &Line,
    parts: &Parts,
    at: &mut f64,
    samples: &mut Vec<(Sample, String)>,
) {
    let project = &examined.project;
    if parts.beyond {
        let middle = *at + ROW_MM / 2.0;
        name_row(canvas, "weather over limits", middle);
        let beyond = examined.recomputed.chronology.weather.iter();
        let places: BTreeSet<i64> = beyond
            .filter_map(|beyond| line.across(beyond.at))
            .map(|x| (x / ONE_TICK_MM).round() as i64)
            .collect();
        let ticks = places.into_iter().map(|place| {
            let x = (place as f64 * ONE_TICK_MM).clamp(LINE_MM.0, LINE_MM.1);
            let end = |side: f64| Coord { x, y: middle + side * TICK_MM / 2.0 };
            LineString::new(vec![end(-1.0), end(1.0)])
        });
        canvas.lines(&ticks.collect::<Vec<_>>(), TICK);
        samples.push((Sample::Line(TICK), "reading beyond a climate limit".to_string()));
        let mut free_from = f64::NEG_INFINITY;
        for coat in breached(examined) {
            let Some(x) = span(coat).and_then(|(from, to)| line.across(from + (to - from) / 2))
            else {
                continue;
            };
            if x < free_from {
                continue;
            }
            let words = format!("{} {}", lettering::label(&coat.zone), coat.coat);
            let left = x + 1.6;
            chart::marker(canvas, Coord { x, y: middle }, Marker::Cross);
            free_from = left + lettering::width_mm(&words, PLAIN_PT) + 1.5;
            if free_from < LINE_MM.1 {
                label(canvas, &words, left, middle);
            }
        }
        if !breached(examined).is_empty() {
            samples.push((Sample::Marker(Marker::Cross), "coat put on beyond it".to_string()));
        }
        *at += ROW_MM;
    }
    if parts.noted {
        let middle = *at + ROW_MM / 2.0;
        name_row(canvas, "weather noted", middle);
        for reading in project
            .climate
            .iter()
            .filter(|reading| examined.recomputed.chronology.is_of_weather(project, reading))
        {
            if let Some(x) = line.across(reading.at) {
                chart::marker(canvas, Coord { x, y: middle }, Marker::Ring);
            }
        }
        samples.push((Sample::Marker(Marker::Ring), "noted, in words".to_string()));
        *at += ROW_MM;
    }
}

/// Coats whose climate is beyond a limit.
fn breached(examined: &Examined) -> Vec<&Application> {
    let is_beyond = |subject: &Subject| {
        examined.finding(subject).is_some_and(|finding| finding.outcome == Outcome::BeyondLimit)
    };
    let coats = examined.project.coats.iter();
    coats
        .filter(|coat| {
            let name = || coat.name.clone();
            is_beyond(&Subject::ClimateMargin(name()))
                || is_beyond(&Subject::ClimateHumidity(name()))
        })
        .collect()
}

/// Landing checks, with their number where several lie together.
fn checks(
    canvas: &mut Canvas,
    project: &Project,
    line: &Line,
    middle: f64,
    samples: &mut Vec<(Sample, String)>,
) {
    name_row(canvas, "landing checks", middle);
    let dated = project.checks.iter().filter_map(|check| Some((line.across(check.at?)?, check)));
    let mut dated: Vec<_> = dated.collect();
    dated.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (x, check) in &dated {
        let kind = if check.as_planned == Some(false) { Marker::Cross } else { Marker::Dot };
        chart::marker(canvas, Coord { x: *x, y: middle }, kind);
    }
    let mut free_from = f64::NEG_INFINITY;
    for group in dated.chunk_by(|a, b| b.0 - a.0 < ONE_GROUP_MM) {
        let Some((last, _)) = group.last() else { continue };
        let (number, left) = (group.len().to_string(), last + 1.3);
        let ends = left + lettering::width_mm(&number, PLAIN_PT);
        if group.len() > 1 && left > free_from && ends < LINE_MM.1 {
            label(canvas, &number, left, middle);
            free_from = ends;
        }
    }
    let (planned, other): (Vec<_>, Vec<_>) =
        project.checks.iter().partition(|check| check.as_planned != Some(false));
    if !planned.is_empty() {
        samples.push((Sample::Marker(Marker::Dot), "landing check, and how many".to_string()));
    }
    if !other.is_empty() {
        let words = "landing check, or coat: not as planned, beyond a limit".to_string();
        samples.retain(|(sample, _)| !matches!(sample, Sample::Marker(Marker::Cross)));
        samples.push((Sample::Marker(Marker::Cross), words));
    }
}

/// What the drawing shows, for whoever can't see it.
fn describe(examined: &Examined, line: &Line, parts: &Parts, most_open: usize) -> String {
    let (project, chronology) = (&examined.project, &examined.recomputed.chronology);
    let mut said =
        vec![format!("Rows over one axis of {}.", words::count(line.days as usize, "day"))];
    let short = |at: DateTime<FixedOffset>| {
        at.with_timezone(&line.offset).format("%-d %b %H:%M").to_string()
    };
    for spell in chronology.spells.iter().filter(|spell| spell.dry) {
        let (Some(from), Some(to)) = (spell.from, spell.to) else { continue };
        let id = project.positions.get(spell.position).map_or("", |position| &position.id);
        said.push(format!("Dry in {} {} to {}.", lettering::shown(id), short(from), short(to)));
    }
    if parts.openings {
        let openings = words::count(most_open, "opening");
        said.push(format!("Open at once: {openings} at most."));
    }
    if parts.checks {
        said.push(format!("{}.", words::count(project.checks.len(), "landing check")));
    }
    if parts.beyond {
        let readings = words::count(chronology.weather.len(), "climate reading");
        said.push(format!("{readings} beyond a limit."));
    }
    for zone in parts.zones.iter().filter_map(|number| project.zones.get(*number)) {
        let own: Vec<&Application> =
            project.coats.iter().filter(|coat| coat.zone == zone.id).collect();
        let days = own.iter().filter_map(|coat| span(coat));
        let days: BTreeSet<NaiveDate> = days.map(|(from, _)| day(project, from)).collect();
        if let Some((first, last)) = days.first().zip(days.last()) {
            let coats = words::count(own.len(), "coat");
            let ends = format!("{} to {}", first.format("%-d %b"), last.format("%-d %b"));
            said.push(format!("{}: {coats}, {ends}.", lettering::shown(&zone.id)));
        }
    }
    words::said(&said)
}

#[cfg(test)]
mod tests;
