//! The docking plan of a position as a sheet that folds out: side view, plan and block loads over one axis of
//! stations, at one scale, in dock axes. Outlines are heavy, blocks medium, dimensions thin.

use geo::{Coord, Intersects, LineString, Polygon};

use super::axis::{Axis, spread};
use super::canvas::{
    CAP_GREY, Canvas, DASH_DOT, DASHED, LONG_DASH, Lettered, OPENING_BLUE, PAPER, Pen,
};
use super::docked::{Docked, Shown};
use super::drawing::{Drawing, Group, SHEET_HEIGHT_MM, Words};
use super::ground::{Berth, Ground, extent_of, extent_of_opening};
use super::labels::{Area, Labels, Named};
use super::legend::{self, Sample};
use super::lettering::{self, HEADING_PT, PLAIN_PT};
use super::marks;
use super::scale::{Scale, round_up};
use super::strip_map::scale_bar;
use super::words::{self, Units};
use crate::findings::recomputed::loads::{Loads, bearing_limit_kpa};
use crate::hull::Outline;
use crate::records::blocks::BlockRow;
use crate::records::openings::Opening;
use crate::text::{self, Form};
use crate::units::STANDARD_GRAVITY_M_PER_S2;

const OUTLINE: Pen = Pen::solid(0.5);
const FLAT_KEEL: Pen = Pen::solid(0.2).broken(DASHED);
const BLOCK: Pen = Pen::solid(0.25);
const FLOOR: Pen = Pen::solid(0.35);
const OPENING: Pen = Pen::solid(0.25).coloured(OPENING_BLUE);
const THIN: Pen = Pen::solid(0.13);
const WATER: Pen = Pen::solid(0.18).broken(DASHED);
const LIMIT: Pen = Pen::solid(0.45);

/// Room for the names of rows and axes, to the left of what is drawn, mm.
const LEFT_MM: f64 = 29.0;
/// Room for the names of the water's levels, to its right, mm.
const RIGHT_MM: f64 = 37.0;
/// The longest sheet's drawing: two metres with the margins of its page, mm.
const LONGEST_MM: f64 = 1968.0;
/// The shortest, that of an A3 sheet, mm.
const SHORTEST_MM: f64 = 388.0;
/// The smallest scale for which a sheet is made shorter: what is smaller hides how blocks stand.
const SMALLEST_LEVEL: Scale = Scale(100);
/// Most sheets of one position.
const MOST_SHEETS: usize = 6;
/// Room that a label reading upward needs along the ship, mm.
const UPWARD_MM: f64 = 2.8;
/// Height of a row of level letters, mm.
const LINE_MM: f64 = 3.3;
/// Height of what stands over the side view: the title, and gaps enlarged, mm.
const HEAD_MM: f64 = 27.0;
/// Room over and under what is drawn in a band, mm.
const AIR_MM: f64 = 3.0;
/// Height of the bars of the keel row's loads, mm.
const KEEL_LOADS_MM: f64 = 25.0;
/// The same of either bilge row, mm.
const BILGE_LOADS_MM: f64 = 7.5;
/// Letters of the title, points.
const TITLE_PT: f64 = 12.0;
/// Room between what stands side by side over the side view, mm.
const BESIDE_MM: f64 = 7.0;

/// The sheets of every position; none where nothing can be placed.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let loads = &ground.examined.recomputed.loads;
    let of_berth = |berth| {
        let docked = Docked::new(ground, berth)?;
        Some(sheets(&docked, loads.get(berth.number)?, berth))
    };
    ground.berths.iter().filter_map(of_berth).flatten().collect()
}

/// The sheets of one position: one, unless it would be too long to handle at a scale at which blocks can be lettered.
fn sheets(docked: &Docked, loads: &Loads, berth: &Berth) -> Vec<Drawing> {
    let Some((from_m, to_m)) = docked.ends_m() else { return Vec::new() };
    // A little of the dock beyond either end.
    let (from_m, to_m) = (from_m - 0.8, to_m + 0.8);
    let width_mm =
        |scale: Scale, of: usize| scale.to_mm(to_m - from_m) / of as f64 + LEFT_MM + RIGHT_MM;
    let whole = |scale: Scale| Sheet::new(docked, loads, scale, (from_m, to_m), (1, 1));
    let scales = |of: usize| {
        Scale::usual().filter(move |scale| {
            scale.0 >= 20
                && width_mm(*scale, of) <= LONGEST_MM
                && whole(*scale).height_mm <= SHEET_HEIGHT_MM
        })
    };
    let fitting = |of: usize| scales(of).next().map(|scale| (scale, of));
    // Of a small ship the shortest sheet, down to A3, on which all letters still stand level.
    let mut on_a3 = scales(1).skip_while(|scale| width_mm(*scale, 1) > SHORTEST_MM);
    let smallest = on_a3.next().map_or(0, |scale| scale.0.min(SMALLEST_LEVEL.0));
    let level = scales(1).take_while(|scale| scale.0 <= smallest);
    let compact = level.filter(|scale| whole(*scale).is_level()).last().map(|scale| (scale, 1));
    let is_legible = |(scale, _): &(Scale, usize)| match docked.keel_spacing_m() {
        Some(spacing_m) => scale.to_mm(spacing_m) >= UPWARD_MM,
        None => true,
    };
    let legible = || (1..=MOST_SHEETS).filter_map(fitting).find(is_legible);
    let found = compact.or_else(legible).or_else(|| fitting(1));
    let Some((scale, of)) = found else { return Vec::new() };
    let each_m = (to_m - from_m) / of as f64;
    let ends = |n: usize| (from_m + each_m * n as f64, from_m + each_m * (n + 1) as f64);
    let sheet = |n: usize| Sheet::new(docked, loads, scale, ends(n), (n + 1, of)).draw(berth);
    (0..of).map(sheet).collect()
}

/// Letters in a row along the ship, each over or under its place.
struct Row {
    name: String,
    /// Station in m, and what stands there.
    entries: Vec<(f64, String)>,
}

impl Row {
    fn widest_mm(&self) -> f64 {
        let widths = self.entries.iter().map(|(_, text)| lettering::width_mm(text, PLAIN_PT));
        widths.fold(0.0, f64::max)
    }

    /// Whether nearly all have room side by side.
    fn is_level(&self, scale: Scale) -> bool {
        let room = self.widest_mm() + 0.8;
        let mut stations: Vec<f64> = self.entries.iter().map(|(station, _)| *station).collect();
        stations.sort_by(f64::total_cmp);
        let close = stations.windows(2).filter(|pair| scale.to_mm(pair[1] - pair[0]) < room);
        close.count() * 12 <= stations.len()
    }

    fn height_mm(&self, scale: Scale) -> f64 {
        match (self.entries.is_empty(), self.is_level(scale)) {
            (true, _) => 0.0,
            (false, true) => LINE_MM,
            (false, false) => self.widest_mm() + 1.2,
        }
    }
}

/// Where the bands of a sheet lie, and what they show.
struct Sheet<'a> {
    docked: &'a Docked<'a>,
    loads: &'a Loads,
    units: Units,
    scale: Scale,
    ends_m: (f64, f64),
    /// Its number and how many there are.
    part: (usize, usize),
    width_mm: f64,
    height_mm: f64,
    /// The side view: lowest and highest level, m; none where no level is known.
    levels_m: Option<(f64, f64)>,
    /// The plan: least and greatest offset, m.
    offsets_m: (f64, f64),
    profile_top: f64,
    plan_top: f64,
    loads_top: f64,
    /// Height of what stands over the legend, where it stands below, mm.
    legend_top: f64,
    keel_rows: Vec<Row>,
    port_rows: Vec<Row>,
    starboard_rows: Vec<Row>,
}

impl<'a> Sheet<'a> {
    fn new(
        docked: &'a Docked<'a>,
        loads: &'a Loads,
        scale: Scale,
        ends_m: (f64, f64),
        part: (usize, usize),
    ) -> Self {
        let units = docked.ground.units;
        let levels_m = docked.levels_m();
        let offsets_m = offsets(docked);
        let here = |shown: &&Shown| shown.station_m() >= ends_m.0 && shown.station_m() < ends_m.1;
        let of_row = |row: BlockRow| {
            docked.blocks.iter().filter(here).filter(move |shown| shown.block.row == row)
        };
        let id = |shown: &Shown| (shown.station_m(), lettering::label(&shown.block.id));
        let height = |shown: &Shown| {
            let height = units.number(shown.block.height_m?, Form::Small, 0);
            Some((shown.station_m(), height))
        };
        let offset = |shown: &Shown| {
            (shown.station_m(), units.number(shown.block.cap.centre.y.abs(), Form::Length, 3))
        };
        let rows = |row: BlockRow, name: &str| {
            let heights = format!("height, {}", units.unit(Form::Small));
            let mut rows = vec![
                Row { name: name.to_string(), entries: of_row(row).map(id).collect() },
                Row { name: heights, entries: of_row(row).filter_map(height).collect() },
            ];
            if row != BlockRow::Keel {
                let name = format!("from centreline, {}", units.unit(Form::Length));
                rows.insert(1, Row { name, entries: of_row(row).map(offset).collect() });
            }
            rows.retain(|row| !row.entries.is_empty());
            rows
        };
        let keel_rows = rows(BlockRow::Keel, "keel block");
        let port_rows = rows(BlockRow::BilgePort, "port bilge block");
        let starboard_rows = rows(BlockRow::BilgeStarboard, "starboard bilge block");
        let height = |rows: &[Row]| rows.iter().map(|row| row.height_mm(scale)).sum::<f64>();
        let profile_top = HEAD_MM + 4.0;
        let profile_mm = levels_m.map_or(5.0, |(low, high)| scale.to_mm(high - low) + 1.5);
        // Under the floor: the rows, the spacing, and the axis of stations.
        let rows_mm = height(&keel_rows) + LINE_MM + 2.0 + 6.0;
        let plan_top = profile_top + profile_mm + rows_mm + height(&port_rows) + 2.5 + AIR_MM;
        let plan_mm = scale.to_mm(offsets_m.1 - offsets_m.0);
        let loads_top = plan_top + plan_mm + AIR_MM + height(&starboard_rows) + 5.5;
        let loads_mm = match (&loads.girder, has_bilge(loads, docked)) {
            (Some(_), true) => KEEL_LOADS_MM + 2.0 * BILGE_LOADS_MM + 5.0,
            (Some(_), false) => KEEL_LOADS_MM + 1.5,
            (None, _) => LINE_MM,
        };
        let legend_top = loads_top + loads_mm;
        let band_mm = scale.to_mm(ends_m.1 - ends_m.0);
        // To the next tenth.
        let width_mm =
            ((LEFT_MM + band_mm + RIGHT_MM).max(SHORTEST_MM) * 10.0 - 1e-3).ceil() / 10.0;
        let mut sheet = Self {
            docked,
            loads,
            units,
            scale,
            ends_m,
            part,
            width_mm,
            height_mm: legend_top,
            levels_m,
            offsets_m,
            profile_top,
            plan_top,
            loads_top,
            legend_top,
            keel_rows,
            port_rows,
            starboard_rows,
        };
        if sheet.legend_in_head().is_none() {
            let ends = (1.0, sheet.width_mm);
            sheet.height_mm += 0.6 + legend::height_mm(ends, &sheet.samples());
        }
        sheet
    }

    /// Whether the letters of all rows have room side by side.
    fn is_level(&self) -> bool {
        let rows = [&self.keel_rows, &self.port_rows, &self.starboard_rows];
        rows.into_iter().flatten().all(|row| row.is_level(self.scale))
    }

    /// A station on paper: the same in every band.
    fn across(&self, station_m: f64) -> f64 {
        LEFT_MM + self.scale.to_mm(station_m - self.ends_m.0)
    }

    fn right(&self) -> f64 {
        self.across(self.ends_m.1)
    }

    /// A level on paper.
    fn up(&self, level_m: f64) -> f64 {
        let high = self.levels_m.map_or(0.0, |(_, high)| high);
        self.profile_top + self.scale.to_mm(high - level_m)
    }

    /// An offset on paper.
    fn aside(&self, offset_m: f64) -> f64 {
        self.plan_top + self.scale.to_mm(self.offsets_m.1 - offset_m)
    }

    /// The band of the plan on paper.
    fn plan(&self) -> Area {
        Area {
            left: LEFT_MM,
            right: self.right(),
            top: self.plan_top - AIR_MM,
            bottom: self.aside(self.offsets_m.0) + AIR_MM,
        }
    }

    fn blocks(&self) -> impl Iterator<Item = &'a Shown<'a>> {
        let (from, to) = self.ends_m;
        let docked = self.docked;
        docked.blocks.iter().filter(move |shown| (from..to).contains(&shown.station_m()))
    }

    fn draw(self, berth: &Berth) -> Drawing {
        let mut canvas = Canvas::new(self.width_mm);
        self.title(&mut canvas);
        let mut skipped = self.profile(&mut canvas);
        let lettered = self.in_plan(&mut canvas, &mut skipped);
        self.block_loads(&mut canvas);
        let samples = self.samples();
        let (ends, top) = match self.legend_in_head() {
            Some(ends) => (ends, 2.0),
            None => ((1.0, self.width_mm), self.legend_top + 0.4),
        };
        legend::rows_between(&mut canvas, ends, top, &samples);
        let words = self.words(berth, &lettered);
        Drawing::sheet(
            Group::Plan,
            format!("plan-{}-{}", berth.stem, self.part.0),
            Some(&self.docked.position.id),
            words,
            canvas,
            (self.width_mm, self.height_mm),
        )
    }

    /// What the sheet is, for whoever has only this sheet.
    fn title_lines(&self) -> Vec<String> {
        let docking = &self.docked.project.docking;
        let id = lettering::label(&self.docked.position.id);
        // Shortened as shown: a sign that can't be shown takes the room of its code point.
        let short = |name: &str| text::shortened(&lettering::shown(name), 60);
        let place = docking.dock.location.as_deref().map(|place| format!(", {}", short(place)));
        let said = |what: &str, words: &Option<String>| {
            let words = words.as_deref();
            let words = words.map(|words| text::shortened(&lettering::shown(words), 110));
            format!("{what}: {}", words.unwrap_or_else(|| "not recorded".to_string()))
        };
        vec![
            format!("Docking plan, position {id}{}", words::part(self.part)),
            format!(
                "{} in {}{}",
                short(&docking.ship.name),
                short(&docking.dock.name),
                place.unwrap_or_default()
            ),
            said("Station 0", &docking.dock.datum),
            said("Levels above", &docking.dock.level_datum),
        ]
    }

    /// Where the title begins and ends, clear of gaps that are enlarged at the stern, mm.
    fn title_ends(&self) -> (f64, f64) {
        let middle = (LEFT_MM + self.right()) / 2.0;
        let astern = self.insets().into_iter().filter(|(area, _)| area.left < middle);
        let left = astern.map(|(area, _)| area.right + BESIDE_MM).fold(LEFT_MM, f64::max);
        let lines = self.title_lines();
        let widths = lines
            .iter()
            .enumerate()
            .map(|(n, line)| lettering::width_mm(line, if n == 0 { TITLE_PT } else { PLAIN_PT }));
        (left, left + widths.fold(60.0, f64::max))
    }

    fn title(&self, canvas: &mut Canvas) {
        let (left, _) = self.title_ends();
        let mut y = 5.4;
        for (n, line) in self.title_lines().iter().enumerate() {
            let size = if n == 0 { TITLE_PT } else { PLAIN_PT };
            canvas.text(Lettered::new(line, Coord { x: left, y }, size));
            y += if n == 0 { 4.4 } else { 3.5 };
        }
        let said = lettering::width_mm(&format!("scale {}", self.scale), HEADING_PT);
        scale_bar(canvas, Coord { x: left + said, y: y + 2.6 }, self.scale, self.units);
    }

    /// Where the legend stands beside the title, if it has room there.
    fn legend_in_head(&self) -> Option<(f64, f64)> {
        let left = self.title_ends().1 + BESIDE_MM;
        let ahead = self.insets().into_iter().filter(|(area, _)| area.left > left);
        let right = ahead.map(|(area, _)| area.left - BESIDE_MM).fold(self.width_mm, f64::min);
        let has_room = right - left > 60.0
            && legend::height_mm((left, right), &self.samples()) <= HEAD_MM - 4.0;
        has_room.then_some((left, right))
    }

    // ---- The side view ----

    /// Draws it with the rows under it; returns the ids that found no room.
    fn profile(&self, canvas: &mut Canvas) -> Vec<String> {
        let window = Area {
            left: LEFT_MM,
            right: self.right(),
            top: self.profile_top - 4.0,
            bottom: self.levels_m.map_or(self.profile_top + 5.0, |(low, _)| self.up(low)) + 1.5,
        };
        let at = |station: f64, level: f64| Coord { x: self.across(station), y: self.up(level) };
        if self.levels_m.is_some() {
            let floor = [self.ends_m.0, self.ends_m.1]
                .map(|end| self.docked.floor_m(end).map(|level| at(end, level)));
            if let [Some(aft), Some(forward)] = floor {
                canvas.line(aft, forward, FLOOR);
            }
            self.blocks_from_the_side(canvas);
            let keel: Vec<Coord<f64>> = self.docked.keel().0.iter().map(|c| at(c.x, c.y)).collect();
            canvas.lines(&window.clip_line(&keel), OUTLINE);
            let verticals = self.verticals(canvas);
            self.frames(canvas, &verticals);
            self.waters(canvas);
            self.gaps(canvas);
        } else {
            let said = "Levels and heights of the blocks are not recorded: no side view.";
            let at = Coord { x: LEFT_MM, y: self.profile_top + 2.5 };
            canvas.text(Lettered::new(said, at, PLAIN_PT));
        }
        let mut top = window.bottom;
        let mut skipped = Vec::new();
        for (n, row) in self.keel_rows.iter().enumerate() {
            let left_out = self.row(canvas, row, top);
            if n == 0 {
                skipped = left_out;
            }
            top += row.height_mm(self.scale);
        }
        self.spacing(canvas, top + 1.0);
        self.stations(canvas, top + 2.0 + LINE_MM);
        skipped
    }

    fn blocks_from_the_side(&self, canvas: &mut Canvas) {
        for shown in self.blocks().filter(|shown| shown.block.row == BlockRow::Keel) {
            let block = shown.block;
            let Some((foot, top)) = self.docked.foot_and_top_m(block) else { continue };
            let half = block.cap.length_m / 2.0;
            let [aft, forward] = [-half, half].map(|by| self.across(shown.station_m() + by));
            let (foot, top) = (self.up(foot), self.up(top));
            let area = Area { left: aft, right: forward, top, bottom: foot };
            let ring = area.corners();
            if shown.stands {
                canvas.ring(&ring, Some(BLOCK), Some(CAP_GREY));
                if let Some(cap_m) = self.docked.cap_m(block) {
                    let y = top + self.scale.to_mm(cap_m);
                    if y < foot {
                        canvas.line(Coord { x: aft, y }, Coord { x: forward, y }, THIN);
                    }
                }
            } else {
                let outline = LineString::new(ring.iter().chain(ring.first()).copied().collect());
                legend::left_out(canvas, &[outline], &legend::diagonals(&ring));
            }
        }
    }

    /// Strokes up from the keel at the perpendiculars, the stern reference point and the draft marks; returns where.
    fn verticals(&self, canvas: &mut Canvas) -> Vec<f64> {
        let mut found = Vec::new();
        let mut taken: Vec<Area> = Vec::new();
        let base = self.profile_top - 1.2;
        for (name, x_m) in self.docked.ground.stations() {
            let station = self.docked.station_of(x_m);
            let x = self.across(station);
            if !(self.ends_m.0..=self.ends_m.1).contains(&station) {
                continue;
            }
            let foot = self.levels_m.map_or(self.profile_top, |(low, _)| self.up(low));
            let text = format!("{name} {}", self.units.length(station, 2));
            let width = lettering::width_mm(&text, PLAIN_PT);
            let area =
                |left: f64| Area { left, right: left + width, top: base - 2.2, bottom: base };
            let places = [x - width / 2.0, x + 0.8, x - width - 0.8].map(area);
            let is_free =
                |area: &Area| taken.iter().all(|other| other.grown(0.6).overlap_mm2(area) <= 0.0);
            let top = self.profile_top - 0.6;
            canvas.line(Coord { x, y: top }, Coord { x, y: foot }, THIN.broken(LONG_DASH));
            if let Some(area) = places.into_iter().find(is_free) {
                canvas.text(Lettered::new(&text, Coord { x: area.left, y: base }, PLAIN_PT));
                taken.push(area);
            }
            found.push(x);
        }
        let Some(line) = self.docked.landing.line else { return found };
        let Some(water) = self.docked.waters().into_iter().map(|w| w.level_m).reduce(f64::max)
        else {
            return found;
        };
        for x_m in self.docked.draft_marks_m() {
            let (station, keel) = (self.docked.station_of(x_m), line.at_m(x_m));
            if !(self.ends_m.0..=self.ends_m.1).contains(&station) || keel >= water {
                continue;
            }
            let x = self.across(station);
            let high = self.levels_m.map_or(water, |(_, high)| high.min(water));
            canvas.line(Coord { x, y: self.up(keel) }, Coord { x, y: self.up(high) }, THIN);
            let metres = (1..30).map(|metre| keel + f64::from(metre));
            for level in metres.take_while(|level| *level <= high) {
                let y = self.up(level);
                canvas.line(Coord { x: x - 0.7, y }, Coord { x: x + 0.7, y }, THIN);
            }
            found.push(x);
        }
        found
    }

    /// Numbers of frames over the keel, where no stroke is in the way.
    fn frames(&self, canvas: &mut Canvas, verticals: &[f64]) {
        let frames = self.docked.project.docking.frames.as_ref();
        // Spacings of less than a centimetre are no frames, and would be far too many.
        let Some(frames) = frames.filter(|f| f.stretches.iter().all(|s| s.spacing_m >= 0.01))
        else {
            return;
        };
        let keel = self.docked.keel();
        let tops = self.blocks().filter_map(|shown| self.docked.foot_and_top_m(shown.block));
        let levels = keel.0.iter().map(|c| c.y).chain(tops.map(|(_, top)| top));
        let Some(highest) = levels.reduce(f64::max) else { return };
        let row = self.up(highest) - 1.4;
        let ship = &self.docked.project.docking.ship;
        let last = ship.foremost_x_m.or(ship.length_overall_m);
        let x_of =
            |station: f64| self.docked.lie.to_hull(station, self.docked.lie.centreline_offset_m).x;
        let ends =
            (x_of(self.ends_m.0).max(0.0), x_of(self.ends_m.1).min(last.unwrap_or(f64::MAX)));
        let placed: Vec<(i64, f64)> = frames
            .between(ends.0, ends.1)
            .into_iter()
            .map(|(number, x)| (number, self.across(self.docked.station_of(x))))
            .collect();
        let closest = placed.windows(2).map(|pair| (pair[1].1 - pair[0].1).abs());
        let closest = closest.filter(|mm| *mm > 1e-6).fold(f64::INFINITY, f64::min);
        let every = |room: f64| {
            let steps = [1, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000];
            steps.into_iter().find(|step| *step as f64 * closest >= room).unwrap_or(100_000)
        };
        let (tick, label) = (every(0.9), every(9.0).max(5));
        let mut free_from = f64::NEG_INFINITY;
        for (number, x) in placed {
            if number % tick != 0 {
                continue;
            }
            let is_labelled = number % label == 0;
            let long = if is_labelled { 1.6 } else { 0.8 };
            canvas.line(Coord { x, y: row }, Coord { x, y: row - long }, THIN);
            let text = number.to_string();
            let half = lettering::width_mm(&text, PLAIN_PT) / 2.0;
            let is_clear = verticals.iter().all(|other| (x - other).abs() > half + 0.5);
            if is_labelled && is_clear && x - half > free_from {
                let at = Coord { x, y: row - 2.1 };
                canvas.text(Lettered::new(&text, at, PLAIN_PT).middle());
                free_from = x + half + 0.8;
            }
        }
        let ends = [self.ends_m.0, self.ends_m.1].map(|end| Coord { x: self.across(end), y: row });
        canvas.line(ends[0], ends[1], THIN);
        self.name(canvas, "frame", row - 2.1);
    }

    /// The water's levels across the side view, named to its right.
    fn waters(&self, canvas: &mut Canvas) {
        let Some((low, high)) = self.levels_m else { return };
        let mut waters = self.docked.waters();
        waters.retain(|water| (low..=high).contains(&water.level_m));
        waters.sort_by(|a, b| b.level_m.total_cmp(&a.level_m));
        let wanted: Vec<f64> = waters.iter().map(|water| self.up(water.level_m)).collect();
        let room = (self.profile_top - 3.0, self.up(low));
        let places = spread(&wanted, 3.2, room);
        for ((water, y), place) in waters.iter().zip(&wanted).zip(places) {
            let (left, right) = (LEFT_MM, self.right());
            canvas.line(Coord { x: left, y: *y }, Coord { x: right, y: *y }, WATER);
            let elbow = Coord { x: right + 2.6, y: place };
            canvas.line(Coord { x: right, y: *y }, elbow, THIN);
            let text = format!("{}, {}", water.what, self.units.length(water.level_m, 2));
            let base = place + lettering::capital_mm(PLAIN_PT) / 2.0;
            canvas.text(Lettered::new(&text, Coord { x: elbow.x + 0.6, y: base }, PLAIN_PT));
        }
        if let Some(pct) = self.docked.project.docking.dock.declivity_pct {
            let text = format!("floor rises {} to the bow", declivity(pct));
            if let Some(level) = self.docked.floor_m(self.ends_m.1) {
                let at = Coord { x: self.right() + 1.0, y: self.up(level) + 0.8 };
                canvas.text(Lettered::new(&text, at, PLAIN_PT));
            }
        }
    }

    /// A row of letters; returns those that found no room.
    fn row(&self, canvas: &mut Canvas, row: &Row, top: f64) -> Vec<String> {
        let is_level = row.is_level(self.scale);
        let height = row.height_mm(self.scale);
        let capital = lettering::capital_mm(PLAIN_PT);
        let mut free_from = f64::NEG_INFINITY;
        let mut skipped = Vec::new();
        for (station, text) in &row.entries {
            let x = self.across(*station);
            let width = lettering::width_mm(text, PLAIN_PT);
            let half = if is_level { width / 2.0 } else { capital / 2.0 };
            if x - half < free_from {
                skipped.push(text.clone());
                continue;
            }
            free_from = x + half + 0.25;
            let lettered = if is_level {
                let y = top + (height + capital) / 2.0;
                Lettered::new(text, Coord { x, y }, PLAIN_PT).middle()
            } else {
                // Beginning on one line, as a column of figures does.
                let at = Coord { x: x + capital / 2.0, y: top + height - 0.5 };
                Lettered::new(text, at, PLAIN_PT).upward()
            };
            canvas.text(lettered);
        }
        self.name(canvas, &row.name, top + (height + capital) / 2.0);
        skipped
    }

    /// The name of a row or an axis, to its left.
    fn name(&self, canvas: &mut Canvas, name: &str, base: f64) {
        canvas.text(Lettered::new(name, Coord { x: LEFT_MM - 1.2, y: base }, PLAIN_PT).end());
    }

    /// Dimensions of the keel row: from the dock's datum to its first block, then from block to block, runs of one
    /// spacing together.
    fn spacing(&self, canvas: &mut Canvas, top: f64) {
        let keel = self.docked.blocks.iter().filter(|shown| shown.block.row == BlockRow::Keel);
        let stations: Vec<f64> = keel.map(Shown::station_m).collect();
        let y = top + LINE_MM - 0.6;
        let base = y - 0.7;
        self.name(canvas, &format!("spacing, {}", self.units.unit(Form::Length)), base);
        let tick = |canvas: &mut Canvas, x: f64| {
            canvas.line(Coord { x: x - 0.6, y: y + 0.6 }, Coord { x: x + 0.6, y: y - 0.6 }, THIN);
        };
        let Some(first) = stations.first().copied() else { return };
        if self.part.0 == 1 {
            let x = self.across(first);
            let from = self.across(0.0).max(LEFT_MM);
            let text = format!("{} from station 0", self.units.length(first, 2));
            if x - from > lettering::width_mm(&text, PLAIN_PT) + 3.0 && first > 0.0 {
                canvas.arrow(Coord { x, y }, Coord { x: from, y }, THIN);
                let at = Coord { x: (x + from) / 2.0, y: base };
                canvas.text(Lettered::new(&text, at, PLAIN_PT).middle());
                tick(canvas, x);
            }
        }
        for run in runs(&stations) {
            let (from, to) = (stations[run.0], stations[run.1]);
            if to <= self.ends_m.0 || from >= self.ends_m.1 {
                continue;
            }
            let [left, right] = [from, to].map(|s| self.across(s).clamp(LEFT_MM, self.right()));
            canvas.line(Coord { x: left, y }, Coord { x: right, y }, THIN);
            tick(canvas, left);
            tick(canvas, right);
            let spaces = run.1 - run.0;
            let each = self.units.number((to - from) / spaces as f64, Form::Length, 2);
            let whole = self.units.number(to - from, Form::Length, 2);
            let long = format!("{spaces} \u{d7} {each} = {whole}");
            let short = format!("{spaces} \u{d7} {each}");
            let texts = if spaces == 1 { vec![each] } else { vec![long, short] };
            let fits = |text: &&String| lettering::width_mm(text, PLAIN_PT) < right - left;
            if let Some(text) = texts.iter().find(fits) {
                let at = Coord { x: (left + right) / 2.0, y: base };
                canvas.text(Lettered::new(text, at, PLAIN_PT).middle());
            }
        }
    }

    /// The axis of stations that all bands share.
    fn stations(&self, canvas: &mut Canvas, y: f64) {
        let scaling = self.units.scaling(Form::Length);
        let (from, to) = (scaling.shown(self.ends_m.0), scaling.shown(self.ends_m.1));
        let step = round_up(scaling.shown(self.scale.to_m(14.0))).max(1.0);
        let fine = step / 5.0;
        let ends = [self.ends_m.0, self.ends_m.1].map(|end| Coord { x: self.across(end), y });
        canvas.line(ends[0], ends[1], Pen::solid(0.18));
        let base = y + 2.0 + lettering::capital_mm(PLAIN_PT);
        let (first, last) = ((from / fine).ceil() as i64, (to / fine).floor() as i64);
        for n in first..=last.min(first.saturating_add(4000)) {
            let value = n as f64 * fine;
            let x = self.across(scaling.kept(value));
            let is_labelled = n % 5 == 0;
            let long = if is_labelled { 1.6 } else { 0.9 };
            canvas.line(Coord { x, y }, Coord { x, y: y + long }, THIN);
            let text = text::number(value, 0);
            let half = lettering::width_mm(&text, PLAIN_PT) / 2.0;
            if is_labelled && x - half > LEFT_MM - 0.5 && x + half < self.right() + 3.0 {
                canvas.text(Lettered::new(&text, Coord { x, y: base }, PLAIN_PT).middle());
            }
        }
        self.name(canvas, &format!("station, {}", self.units.unit(Form::Length)), base);
    }

    /// Where the keel lies clear of the caps in the dry dock at an end: the gaps enlarged, over their blocks.
    fn gaps(&self, canvas: &mut Canvas) {
        for (area, end) in self.insets() {
            self.light_end(canvas, area, &end);
        }
    }

    /// The ends that are enlarged, and where.
    fn insets(&self) -> Vec<(Area, Vec<Light<'a>>)> {
        let place = |end: Vec<Light<'a>>| {
            let stations = end.iter().map(|light| light.shown.station_m());
            let (from, to) =
                stations.map(|s| (s, s)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
            if self.levels_m.is_none() || from < self.ends_m.0 || to > self.ends_m.1 {
                return None;
            }
            let (left, right) = (self.across(from) - 7.0, self.across(to) + 7.0);
            let heading = lettering::width_mm(&self.heading_of_gaps(Scale(100)), PLAIN_PT);
            // As wide as its heading, and still over its blocks.
            let more = ((heading - (right - left)) / 2.0).max(0.0);
            let beyond = (right + more - self.width_mm).max(0.0);
            let left = (left - more - beyond).max(0.5);
            let right = (right + more).min(self.width_mm - 0.5).max(left + heading);
            Some((Area { left, right, top: 4.6, bottom: HEAD_MM - 2.4 }, end))
        };
        light_ends(self.docked, self.loads).into_iter().filter_map(place).collect()
    }

    fn heading_of_gaps(&self, vertical: Scale) -> String {
        format!(
            "Gaps over the caps, dock dry, {}: rings measured, line computed; heights {vertical}",
            self.units.unit(Form::Small)
        )
    }

    fn light_end(&self, canvas: &mut Canvas, area: Area, end: &[Light]) {
        let greatest = end
            .iter()
            .filter_map(|l| l.computed_m.into_iter().chain(l.measured_m).reduce(f64::max));
        let greatest = greatest.fold(0.0, f64::max);
        let cap = area.bottom - 4.6;
        let room = cap - area.top - 4.2;
        let vertical = [1, 2, 5, 10, 20, 50, 100, 200].map(Scale);
        let Some(vertical) = vertical.into_iter().find(|s| s.to_mm(greatest) <= room) else {
            return;
        };
        let places = end.iter().map(|light| self.across(light.shown.station_m()));
        let ends = places.map(|x| (x, x)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
        let Some((left, right)) = ends else { return };
        let frame = Area { left: left - 6.0, right: right + 6.0, ..area };
        canvas.ring(&frame.corners(), Some(THIN), Some(PAPER));
        let heading = self.heading_of_gaps(vertical);
        let at = Coord { x: area.right, y: area.top - 1.0 };
        canvas.text(Lettered::new(&heading, at, PLAIN_PT).end());
        let up = |gap_m: f64| cap - vertical.to_mm(gap_m);
        let line: Vec<Coord<f64>> = end
            .iter()
            .filter_map(|light| {
                Some(Coord {
                    x: self.across(light.shown.station_m()),
                    y: up(light.computed_m?.max(0.0)),
                })
            })
            .collect();
        for light in end {
            let x = self.across(light.shown.station_m());
            let half = self.scale.to_mm(light.shown.block.cap.length_m / 2.0);
            let block = Area { left: x - half, right: x + half, top: cap, bottom: cap + 1.4 };
            canvas.ring(&block.corners(), Some(BLOCK), Some(CAP_GREY));
            let base = cap + 1.4 + 0.5 + lettering::capital_mm(PLAIN_PT);
            let id = lettering::label(&light.shown.block.id);
            canvas.text(Lettered::new(&id, Coord { x, y: base }, PLAIN_PT).middle());
        }
        canvas.lines(&[LineString::new(line)], OUTLINE);
        for light in end {
            let x = self.across(light.shown.station_m());
            let Some(gap_m) = light.measured_m.or(light.computed_m) else { continue };
            if light.measured_m.is_some() {
                canvas.circle(Coord { x, y: up(gap_m) }, 0.8, Some(Pen::solid(0.2)), Some(PAPER));
            }
            let top = up(gap_m.max(light.computed_m.unwrap_or(0.0))) - 1.3;
            let text = self.units.number(gap_m, Form::Small, 0);
            canvas.text(Lettered::new(&text, Coord { x, y: top }, PLAIN_PT).middle());
        }
    }

    // ---- The plan ----

    /// Draws it; returns the note on labels that found no room.
    fn in_plan(&self, canvas: &mut Canvas, skipped: &mut Vec<String>) -> String {
        let window = self.plan();
        let mut labels =
            Labels::new(Area { left: 0.5, right: self.width_mm - 0.5, ..window.grown(-0.2) });
        let at = |c: Coord<f64>| Coord { x: self.across(c.x), y: self.aside(c.y) };
        let ground = self.docked.ground;
        let corners = |shape: &Polygon<f64>| -> Vec<Coord<f64>> {
            shape.exterior().0.iter().map(|c| at(*c)).collect()
        };
        let outlines = [(ground.flat_keel, FLAT_KEEL), (ground.bottom, OUTLINE)];
        for (shape, pen) in outlines.into_iter().filter_map(|(shape, pen)| Some((shape?, pen))) {
            let lines = window.clip_line(&corners(&self.docked.in_dock(shape)));
            canvas.lines(&lines, pen);
            labels.avoid_lines(&lines);
        }
        let centreline = [self.ends_m.0, self.ends_m.1].map(|end| at(Coord { x: end, y: 0.0 }));
        canvas.line(centreline[0], centreline[1], THIN.broken(DASH_DOT));
        labels.avoid_lines(&[LineString::new(centreline.to_vec())]);
        self.bilge_rows(canvas, &mut labels, skipped);
        for shown in self.blocks() {
            let ring = corners(&shown.block.cap.polygon());
            if shown.stands {
                canvas.ring(&ring, Some(BLOCK), Some(CAP_GREY));
            } else {
                let cross = legend::diagonals(&ring);
                legend::left_out(canvas, &[LineString::new(ring.clone())], &cross);
                labels.avoid_lines(&cross);
            }
            Area::around(ring).into_iter().for_each(|area| labels.avoid(area));
        }
        let openings: Vec<&Opening> = ground.openings().filter(|o| self.holds(o)).collect();
        self.openings(canvas, &mut labels, &openings);
        for shown in self.blocks().filter(|shown| shown.stands) {
            let crossed = self.blocks().any(|other| {
                !std::ptr::eq(other, shown)
                    && other.block.cap.polygon().intersects(&shown.block.cap.polygon())
            });
            let cap = Area::around(corners(&shown.block.cap.polygon()));
            if let Some(area) = cap.filter(|_| !crossed && shown.block.row == BlockRow::Keel) {
                let text = lettering::label(&shown.block.id);
                let inside = vec![(area.grown(-0.2), false), (area.grown(-0.2), true)];
                labels.place_inside(&Named { inside, ..Named::beside(text, area) });
            }
        }
        for opening in openings {
            let text = lettering::label(&opening.id);
            let area = self.area_of(opening);
            labels.place(&Named { colour: OPENING_BLUE, ..Named::beside(text, area) });
        }
        for shown in self.blocks() {
            let text = lettering::label(&shown.block.id);
            if shown.block.row == BlockRow::Other || skipped.contains(&text) {
                let area = Area::around(corners(&shown.block.cap.polygon()));
                area.into_iter().for_each(|area| labels.place(&Named::beside(text.clone(), area)));
            }
        }
        labels.draw(canvas);
        let capital = lettering::capital_mm(PLAIN_PT);
        for (side, y) in [("port", window.top + 3.0), ("starboard", window.bottom - 1.0)] {
            self.name(canvas, side, y);
        }
        self.name(canvas, "centreline", self.aside(0.0) + capital / 2.0);
        labels.left_out_note("label", "tables in the bundle")
    }

    fn holds(&self, opening: &Opening) -> bool {
        let station = self.docked.lie.to_dock(opening.centre).0;
        (self.ends_m.0..self.ends_m.1).contains(&station)
    }

    /// An opening and its mark on paper.
    fn area_of(&self, opening: &Opening) -> Area {
        let at = |c: Coord<f64>| {
            let (station, offset) = self.docked.lie.to_dock(c);
            Coord { x: self.across(station), y: self.aside(offset) }
        };
        let mark = Area::at(at(opening.centre)).grown(marks::HALF_MM + 0.15);
        let shape = extent_of_opening(opening);
        let corners = [
            at(Coord { x: shape.aft, y: shape.port }),
            at(Coord { x: shape.forward, y: shape.starboard }),
        ];
        Area::around(corners).map_or(mark, |area| area.with(&mark))
    }

    fn openings(&self, canvas: &mut Canvas, labels: &mut Labels, openings: &[&Opening]) {
        let at = |c: Coord<f64>| {
            let (station, offset) = self.docked.lie.to_dock(c);
            Coord { x: self.across(station), y: self.aside(offset) }
        };
        for opening in openings {
            match opening.outline {
                Outline::Round { centre, diameter_m } => {
                    let radius = self.scale.to_mm(diameter_m) / 2.0;
                    // Within the mark it would only blot it.
                    if radius > marks::HALF_MM {
                        canvas.circle(at(centre), radius, Some(OPENING), None);
                    }
                }
                Outline::Rectangular(shape) => {
                    let ring: Vec<Coord<f64>> =
                        shape.polygon().exterior().0.iter().map(|c| at(*c)).collect();
                    canvas.ring(&ring, Some(OPENING), None);
                }
            }
            labels.avoid(self.area_of(opening));
        }
        for opening in openings {
            marks::draw(canvas, &opening.kind, at(opening.centre));
            let mark = Area::at(at(opening.centre)).grown(marks::HALF_MM + 0.15);
            labels.keep_clear(mark);
        }
    }

    /// The rows of the bilge blocks above and below the plan, with a thin line from each to its cap.
    fn bilge_rows(&self, canvas: &mut Canvas, labels: &mut Labels, skipped: &mut Vec<String>) {
        let plan = self.plan();
        let height: f64 = self.port_rows.iter().map(|row| row.height_mm(self.scale)).sum();
        let sides = [
            (&self.port_rows, plan.top - 0.8 - height, BlockRow::BilgePort),
            (&self.starboard_rows, plan.bottom + 0.8, BlockRow::BilgeStarboard),
        ];
        for (rows, top, row_of) in sides {
            let mut y = top;
            for (n, row) in rows.iter().enumerate() {
                let left_out = self.row(canvas, row, y);
                if n == 0 {
                    skipped.extend(left_out);
                }
                y += row.height_mm(self.scale);
            }
            for shown in self.blocks().filter(|shown| shown.block.row == row_of) {
                let x = self.across(shown.station_m());
                let half = extent_of(&shown.block.cap.polygon())
                    .map_or(0.0, |e| self.scale.to_mm(e.port - e.starboard) / 2.0);
                let middle = self.aside(shown.block.cap.centre.y);
                let (edge, cap) = match row_of {
                    BlockRow::BilgePort => (plan.top - 0.5, middle - half),
                    _ => (plan.bottom + 0.5, middle + half),
                };
                let line = [Coord { x, y: edge }, Coord { x, y: cap }];
                canvas.line(line[0], line[1], THIN);
                labels.avoid_lines(&[LineString::new(line.to_vec())]);
            }
        }
    }

    // ---- The loads ----

    fn block_loads(&self, canvas: &mut Canvas) {
        if self.loads.girder.is_none() {
            let why = match &self.loads.why_not {
                Some(why) => self.units.sentence(why),
                None => "they could not be found".to_string(),
            };
            let said = format!("Block loads: not computed, {}.", text::shortened(&why, 160));
            let at = Coord { x: LEFT_MM, y: self.loads_top + 2.2 };
            canvas.text(Lettered::new(&lettering::shown(&said), at, PLAIN_PT));
            return;
        }
        let bars = bars(self.docked, self.loads);
        let top = self.loads_top;
        self.load_band(canvas, &bars, (BlockRow::Keel, "keel load"), top, KEEL_LOADS_MM, false);
        if has_bilge(self.loads, self.docked) {
            let top = top + KEEL_LOADS_MM + 3.0;
            let port = (BlockRow::BilgePort, "port bilge load");
            self.load_band(canvas, &bars, port, top, BILGE_LOADS_MM, false);
            let starboard = (BlockRow::BilgeStarboard, "starboard bilge load");
            self.load_band(canvas, &bars, starboard, top + BILGE_LOADS_MM, BILGE_LOADS_MM, true);
        }
    }

    /// The bars of a row up from a foot, or down from it.
    fn load_band(
        &self,
        canvas: &mut Canvas,
        bars: &[Bar],
        (row, name): (BlockRow, &str),
        top: f64,
        height: f64,
        is_down: bool,
    ) {
        let of_scale = |bar: &&Bar| match row {
            BlockRow::Keel => bar.shown.block.row == BlockRow::Keel,
            _ => bar.shown.block.row != BlockRow::Keel,
        };
        let values = bars.iter().filter(of_scale).flat_map(|bar| [Some(bar.load_t), bar.limit_t]);
        let scaling = self.units.scaling(Form::Mass);
        let values = values.flatten().chain([0.0, 1.0]);
        let Some(axis) = Axis::over(String::new(), scaling, values, height, 7.0) else { return };
        let foot = if is_down { top } else { top + height };
        let toward = if is_down { 1.0 } else { -1.0 };
        let at = |load_t: f64| foot + toward * height * axis.part(load_t);
        let ends = [LEFT_MM, self.right()];
        canvas.line(Coord { x: ends[0], y: foot }, Coord { x: ends[1], y: foot }, Pen::solid(0.18));
        let capital = lettering::capital_mm(PLAIN_PT);
        for tick in axis.ticks() {
            if is_down && tick <= 0.0 {
                continue;
            }
            let y = at(tick);
            canvas.line(Coord { x: ends[0] - 1.0, y }, Coord { x: ends[0], y }, THIN);
            let base = if tick <= 0.0 { y } else { y + capital / 2.0 };
            let text = axis.lettered(tick);
            canvas.text(Lettered::new(&text, Coord { x: ends[0] - 1.6, y: base }, PLAIN_PT).end());
        }
        let widest = lettering::width_mm(&axis.lettered(axis.to), PLAIN_PT);
        let lines = [format!("{name},"), self.units.unit(Form::Mass).to_string()];
        for (n, line) in lines.iter().enumerate() {
            let x = ends[0] - 3.2 - widest;
            let y = top + height / 2.0 + capital / 2.0 + (n as f64 - 0.5) * LINE_MM;
            let clipped = lettering::width_mm(line, PLAIN_PT) > x;
            let line = if clipped { line.replace("starboard", "stbd") } else { line.clone() };
            canvas.text(Lettered::new(&line, Coord { x, y }, PLAIN_PT).end());
        }
        let (from, to) = self.ends_m;
        let here =
            |bar: &&Bar| bar.shown.block.row == row && (from..to).contains(&bar.shown.station_m());
        for bar in bars.iter().filter(here) {
            let half = self.scale.to_mm(bar.shown.block.cap.length_m / 2.0);
            let x = self.across(bar.shown.station_m());
            let (left, right) = (x - half, x + half);
            if bar.load_t > NO_LOAD_T {
                let ring = [
                    Coord { x: left, y: foot },
                    Coord { x: right, y: foot },
                    Coord { x: right, y: at(bar.load_t) },
                    Coord { x: left, y: at(bar.load_t) },
                ];
                canvas.ring(&ring, Some(BLOCK), Some(CAP_GREY));
            } else {
                canvas.circle(Coord { x, y: foot + toward * 0.9 }, 0.45, None, Some("#000000"));
            }
            if let Some(limit) = bar.limit_t {
                let y = at(limit);
                canvas.line(Coord { x: left, y }, Coord { x: right, y }, LIMIT);
            }
        }
    }

    // ---- What is said of it ----

    fn samples(&self) -> Vec<(Sample, String)> {
        let mut samples: Vec<(Sample, String)> = Vec::new();
        let mut add = |sample: Sample, meaning: &str| samples.push((sample, meaning.to_string()));
        let ground = self.docked.ground;
        if ground.bottom.is_some() || !self.docked.keel().0.is_empty() {
            add(Sample::Line(OUTLINE), "outline of the bottom, keel line");
        }
        if ground.flat_keel.is_some() {
            add(Sample::Line(FLAT_KEEL), "edge of the flat keel");
        }
        add(Sample::Cap, "block that stands, cap, load");
        if self.blocks().any(|shown| !shown.stands) {
            add(Sample::LeftOut, "block left out");
        }
        if self.levels_m.is_some() && !self.docked.waters().is_empty() {
            add(Sample::Line(WATER), "water");
        }
        if self.loads.girder.is_some() {
            let bars = bars(self.docked, self.loads);
            if bars.iter().any(|bar| bar.limit_t.is_some()) {
                add(Sample::Line(LIMIT), "limit: allowed pressure \u{d7} bearing area");
            }
            if bars.iter().any(|bar| bar.load_t <= NO_LOAD_T) {
                let dot = super::chart::Marker::Dot;
                add(Sample::Marker(dot), "stands and does not bear");
            }
        }
        let mut has_openings = false;
        for (kind, name) in marks::KINDS {
            if ground.openings().any(|opening| opening.kind == kind) {
                add(Sample::Mark(kind), name);
                has_openings = true;
            }
        }
        if has_openings {
            add(Sample::Line(OPENING), "opening, true size");
        }
        samples
    }

    fn words(&self, berth: &Berth, labels_note: &str) -> Words {
        let docked = self.docked;
        let number_and_scale = format!("{}, scale {}", words::part(self.part), self.scale);
        let title = format!("Docking plan, position {}{number_and_scale}", berth.id);
        let mut caption =
            String::from("Side view, plan and block loads over one axis of stations.");
        if docked.ground.bottom.is_none() {
            caption.push_str(" Outline of the bottom not recorded.");
        }
        if docked.is_relative {
            caption.push_str(" Level of the floor not recorded: heights stand on a floor at 0.");
        }
        let recomputed = docked.waters().into_iter().filter(|water| !water.is_recorded);
        let recomputed: Vec<String> = recomputed.map(|water| water.what.to_string()).collect();
        if !recomputed.is_empty() && self.levels_m.is_some() {
            let which = words::list(&recomputed, 3);
            caption.push_str(&format!(" Not in the log, hence as recomputed: water at {which}."));
        }
        if berth.yaw_unknown {
            caption.push_str(" Yaw not recorded, drawn as 0.");
        }
        caption.push_str(labels_note);
        caption.push_str(&docked.ground.not_placed_note());
        let far = docked.ground.too_far(berth);
        if far > 0 {
            let far = words::count(far, "record");
            caption.push_str(&format!(" Blocks or openings too far off to be drawn: {far}."));
        }
        let stand = |row: BlockRow| {
            self.blocks().filter(|shown| shown.stands && shown.block.row == row).count()
        };
        let absent: Vec<String> = self
            .blocks()
            .filter(|shown| !shown.stands)
            .map(|shown| lettering::shown(&shown.block.id))
            .collect();
        let absent = match absent.as_slice() {
            [] => "no block is drawn as left out".to_string(),
            ids => format!("left out: {}", words::list(ids, 8)),
        };
        let waters: Vec<String> = docked
            .waters()
            .iter()
            .map(|water| format!("{} {}", water.what, self.units.length(water.level_m, 2)))
            .collect();
        let waters = match waters.as_slice() {
            [] => String::new(),
            all => format!(" Water: {}.", words::list(all, 3)),
        };
        let openings = docked.ground.openings().filter(|opening| self.holds(opening)).count();
        let alt = format!(
            "Docking plan of position {}, bow to the right, port above in the plan, stations {} to {}. Standing: {}, {} \
             and {}; {absent}. {}.{waters}",
            berth.id,
            self.units.length(self.ends_m.0, 1),
            self.units.length(self.ends_m.1, 1),
            words::count(stand(BlockRow::Keel), "keel block"),
            words::count(stand(BlockRow::BilgePort), "port bilge block"),
            words::count(stand(BlockRow::BilgeStarboard), "starboard bilge block"),
            words::count(openings, "opening"),
        );
        Words { title, caption, alt }
    }
}

/// A declivity as it is spoken of.
fn declivity(pct: f64) -> String {
    format!("{} %", text::number(pct, 2))
}

/// The least and the greatest offset of what the plan shows, m.
fn offsets(docked: &Docked) -> (f64, f64) {
    let caps = docked.blocks.iter().map(|shown| shown.block.cap.polygon());
    let outline = docked.ground.bottom.map(|bottom| docked.in_dock(bottom));
    let shapes = caps.chain(outline).filter_map(|shape| extent_of(&shape));
    let openings = docked
        .ground
        .openings()
        .filter_map(|opening| extent_of(&docked.in_dock(&extent_of_opening(opening).polygon())));
    let all = shapes.chain(openings).reduce(|a, b| a.with(b));
    all.map_or((-1.0, 1.0), |all| (all.starboard.min(-1.0), all.port.max(1.0)))
}

/// Runs of places at one distance from each other: number of the first place and of the last.
fn runs(stations: &[f64]) -> Vec<(usize, usize)> {
    const ALIKE_M: f64 = 0.015;
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for n in 1..stations.len() {
        let spacing = stations[n] - stations[n - 1];
        let goes_on = runs.last().is_some_and(|(from, to)| {
            *to == n - 1 && (stations[from + 1] - stations[*from] - spacing).abs() <= ALIKE_M
        });
        match runs.last_mut().filter(|_| goes_on) {
            Some(run) => run.1 = n,
            None => runs.push((n - 1, n)),
        }
    }
    runs
}

/// What a block bears in the dry dock.
struct Bar<'a> {
    shown: &'a Shown<'a>,
    load_t: f64,
    limit_t: Option<f64>,
}

/// Loads under this are none: what the calculation leaves over, t.
const NO_LOAD_T: f64 = 1e-3;

fn bars<'a>(docked: &'a Docked, loads: &Loads) -> Vec<Bar<'a>> {
    let Some(girder) = &loads.girder else { return Vec::new() };
    let project = docked.project;
    let bar =
        |(bearing, load_kn, _, _): (&crate::findings::recomputed::loads::Bearing, f64, _, _)| {
            let block = project.blocks.get(bearing.block)?;
            let shown = docked.blocks.iter().find(|shown| std::ptr::eq(shown.block, block))?;
            let limit_kpa = bearing_limit_kpa(project, block);
            let limit_t = limit_kpa.map(|kpa| kpa * bearing.area_m2 / STANDARD_GRAVITY_M_PER_S2);
            Some(Bar { shown, load_t: load_kn / STANDARD_GRAVITY_M_PER_S2, limit_t })
        };
    loads.rows(girder).filter_map(bar).collect()
}

fn has_bilge(loads: &Loads, docked: &Docked) -> bool {
    let bearing = loads.blocks.iter().filter_map(|one| docked.project.blocks.get(one.block));
    bearing
        .into_iter()
        .any(|block| matches!(block.row, BlockRow::BilgePort | BlockRow::BilgeStarboard))
}

/// A keel block at an end of the ship that bears little or nothing, or stands beside such.
struct Light<'a> {
    shown: &'a Shown<'a>,
    computed_m: Option<f64>,
    measured_m: Option<f64>,
}

/// The keel blocks at either end, two more than those that stand clear of the keel in the dry dock.
fn light_ends<'a>(docked: &'a Docked, loads: &Loads) -> Vec<Vec<Light<'a>>> {
    const NO_GAP_M: f64 = 0.0005;
    const BESIDE: usize = 2;
    const MOST: usize = 14;
    let borne = loads.borne(docked.project);
    let light = |shown: &'a Shown<'a>| {
        let computed = borne.iter().find(|one| std::ptr::eq(one.block, shown.block));
        let gaps = docked.project.gaps.iter().filter(|gap| {
            gap.position == docked.position.id
                && gap.block == shown.block.id
                && gap.water_depth_m.is_none()
        });
        Light {
            shown,
            computed_m: computed.map(|one| one.gap_m),
            measured_m: gaps.map(|gap| gap.gap_m).next_back(),
        }
    };
    let keel = docked.blocks.iter().filter(|s| s.stands && s.block.row == BlockRow::Keel);
    let keel: Vec<&Shown> = keel.collect();
    let is_clear =
        |light: &Light| light.measured_m.or(light.computed_m).is_some_and(|gap| gap > NO_GAP_M);
    let at_end = |from: &mut dyn Iterator<Item = &'a Shown<'a>>| -> Vec<Light<'a>> {
        let all: Vec<Light> = from.map(light).collect();
        let clear = all.iter().take_while(|light| is_clear(light)).count();
        let shown = if clear == 0 { 0 } else { (clear + BESIDE).min(MOST) };
        all.into_iter().take(shown).collect()
    };
    let ends = [at_end(&mut keel.iter().copied()), at_end(&mut keel.iter().rev().copied())];
    ends.into_iter().filter(|end| !end.is_empty()).collect()
}
