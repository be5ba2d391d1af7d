//! A map of the bottom in strips: the frame of each strip (heading, scale bar, key, frame numbers above, x and
//! stations below, match lines at the ends), and what may be drawn in it.

use geo::{BooleanOps, Coord, LineString, MapCoords, MultiPolygon, Polygon};

use super::axis::Scaling;
use super::canvas::{Anchor, BACK_GREY, Canvas, DASH_DOT, INK, LONG_DASH, Lettered, PAPER, Pen};
use super::drawing::{Drawing, Group, PAGE_HEIGHT_MM, SHARED_HEIGHT_MM, WIDTH_MM, Words};
use super::ground::{Berth, Extent, Ground, extent_of};
use super::hatch::{self, Hatch};
use super::labels::{Area, Labels, Named};
use super::legend::{self, Sample};
use super::lettering::{self, HEADING_PT, SMALL_PT};
use super::scale::{self, Room, Scale, Strip, round_up};
use super::words::{self, Units};
use crate::calc::plane::{area_m2, common, extent};
use crate::hull::Lie;
use crate::text::{self, Form};

/// Width to the left of the window, for the names of the axes, mm.
const MARGIN_MM: f64 = 11.5;
/// Height above the window: heading, scale bar and frame numbers, mm.
const ABOVE_MM: f64 = 12.0;
/// Height of the axis of x, or of the stations, mm.
const AXIS_MM: f64 = 4.6;
/// Width of the widest window of a drawing that has no sheet of its own, mm.
const WINDOW_WIDTH_MM: f64 = WIDTH_MM - MARGIN_MM - 0.5;
/// Room for a map on a sheet of its own, which folds to A4 in few folds, mm.
const ON_SHEET_MM: (f64, f64) = (620.0, 110.0);
/// Height of what stands around a window above and below, mm.
const AROUND_MM: f64 = ABOVE_MM + 2.0 * AXIS_MM + 0.4;
/// Room for labels inside a window, above and below what it shows, mm.
const LABEL_ROOM_MM: f64 = 4.0;
/// Height of the lowest window, so that "starboard" has room beside it, mm.
const LEAST_HEIGHT_MM: f64 = 26.0;
/// Room that the legend of a map may take under a strip, mm.
pub const LEGEND_MM: f64 = 14.0;

/// The bottom's outline.
pub const OUTLINE: Pen = Pen::solid(0.35);
const HATCHING: Pen = Pen::solid(0.13);
/// The edge of what is hatched.
const EDGE: Pen = Pen::solid(0.18);
/// Edge of what is filled with black, so that slivers are seen.
const FILLED: Pen = Pen::solid(0.3);
/// Steel of which nothing can be said.
pub const UNKNOWN: [Hatch; 2] =
    [Hatch { angle_deg: 0.0, spacing_mm: 2.4 }, Hatch { angle_deg: 90.0, spacing_mm: 2.4 }];
/// Steel that is as it should be: a colour that helps where there is colour; marks carry the meaning.
pub const FULL_TINT: &str = "#e6f0e4";

/// A map of the bottom, cut into strips that all have one scale.
pub struct StripMap<'a> {
    ground: &'a Ground<'a>,
    /// All that the strips show together.
    whole: Extent,
    scale: Scale,
    strips: Vec<Strip>,
    /// Width of each drawing, mm.
    width_mm: f64,
}

/// What a map is map_title, and whose stations stand along its strips.
pub struct MapTitle<'a> {
    pub group: Group,
    /// Stem of the files' names, which goes on with the strip's number.
    pub name: String,
    /// Over each strip.
    pub heading: String,
    pub title: String,
    /// The position that it shows; none where it shows several.
    pub berth: Option<&'a Berth>,
}

/// What is written about one strip.
pub struct StripWords {
    pub caption: String,
    pub alt: String,
}

impl<'a> StripMap<'a> {
    /// A map at the largest scale that pages allow, with so much kept free under each strip for its legend, mm: half
    /// a page with up to four strips or, where that keeps a ship at 1:200 or 1:500, a page to itself with up to five.
    /// Match lines cut none of the `solid` shapes, as far as that can be.
    pub fn new(
        ground: &'a Ground<'a>,
        whole: Extent,
        legend_mm: f64,
        solid: impl IntoIterator<Item = Extent>,
    ) -> Self {
        let room = |height_mm: f64, strips: usize, largest: u64| Room {
            width_mm: WINDOW_WIDTH_MM,
            height_mm: height_mm - AROUND_MM - 2.0 * LABEL_ROOM_MM - legend_mm,
            strips,
            largest: Scale(largest),
        };
        let rooms = [room(SHARED_HEIGHT_MM, 4, 20), room(PAGE_HEIGHT_MM, 5, 200)];
        let solid: Vec<(f64, f64)> = solid.into_iter().map(|e| (e.aft, e.forward)).collect();
        let height_m = whole.port - whole.starboard;
        let (scale, strips) = scale::strips((whole.aft, whole.forward), height_m, &rooms, &solid);
        Self { ground, whole, scale, strips, width_mm: WIDTH_MM }
    }

    /// A map in one piece on a sheet of its own, at the largest usual scale from 1:50 that keeps the sheet handy.
    pub fn on_sheet(ground: &'a Ground<'a>, whole: Extent) -> Self {
        let (length_m, height_m) = (whole.forward - whole.aft, whole.port - whole.starboard);
        let (width_mm, height_mm) = ON_SHEET_MM;
        let fits = |scale: &Scale| {
            scale.0 >= 50 && scale.to_mm(length_m) <= width_mm && scale.to_mm(height_m) <= height_mm
        };
        let scale = Scale::usual().find(fits).unwrap_or(Scale(1_000_000));
        let lap_m = scale.to_m(LABEL_ROOM_MM + 2.0);
        let strip = Strip { number: 1, of: 1, from_m: whole.aft, to_m: whole.forward, lap_m };
        let window_mm = scale.to_mm(length_m + 2.0 * lap_m);
        let width_mm = (MARGIN_MM + window_mm + 0.5).max(WIDTH_MM);
        Self { ground, whole, scale, strips: vec![strip], width_mm }
    }

    /// A map whose strips stand over each other on one drawing, at most three of them in so much height, mm.
    pub fn stacked(
        ground: &'a Ground<'a>,
        whole: Extent,
        height_mm: f64,
        solid: impl IntoIterator<Item = Extent>,
    ) -> Self {
        let room = Room { width_mm: WINDOW_WIDTH_MM, height_mm, strips: 3, largest: Scale(20) };
        let solid: Vec<(f64, f64)> = solid.into_iter().map(|e| (e.aft, e.forward)).collect();
        let height_m = whole.port - whole.starboard;
        // With air between one strip's axis and the next one's heading.
        let around_mm = ABOVE_MM + AXIS_MM + 2.0 * LABEL_ROOM_MM + 1.0;
        let ends = (whole.aft, whole.forward);
        let (scale, strips) = scale::stacked(ends, height_m, around_mm, &room, &solid);
        Self { ground, whole, scale, strips, width_mm: WIDTH_MM }
    }

    /// The strips over each other on one canvas, and the height that they take, mm. `inside` draws in each.
    pub fn draw_stacked(
        &self,
        map_title: &MapTitle,
        reaches: impl Fn(f64, f64) -> Option<Extent>,
        mut inside: impl FnMut(&mut Sheet),
    ) -> (Canvas, f64) {
        let mut canvas = Canvas::new(WIDTH_MM);
        let mut top = 0.0;
        for strip in &self.strips {
            let (from_m, to_m) = strip.window_m();
            let outline = self.ground.bottom.and_then(|b| part_between(b, from_m, to_m));
            let shown = outline.into_iter().chain(reaches(from_m, to_m)).reduce(Extent::with);
            let mut sheet = Sheet::new(self, *strip, map_title, shown);
            inside(&mut sheet);
            sheet.labels.draw(&mut sheet.canvas);
            canvas.append(sheet.canvas, top);
            top += sheet.height_mm + 1.0;
        }
        (canvas, top)
    }

    pub fn scale(&self) -> Scale {
        self.scale
    }

    /// How many strips it has.
    pub fn strips(&self) -> usize {
        self.strips.len()
    }

    /// A drawing for each strip. A strip is as high as the bottom is there, or as what `reaches` there between two x
    /// (m) if that goes further; `inside` draws in it, and says what is to be written about it.
    pub fn draw(
        &self,
        map_title: &MapTitle,
        reaches: impl Fn(f64, f64) -> Option<Extent>,
        inside: impl Fn(&mut Sheet) -> StripWords,
    ) -> Vec<Drawing> {
        let one = |strip: &Strip| {
            let (from_m, to_m) = strip.window_m();
            let outline = self.ground.bottom.and_then(|b| part_between(b, from_m, to_m));
            let shown = outline.into_iter().chain(reaches(from_m, to_m)).reduce(Extent::with);
            let mut sheet = Sheet::new(self, *strip, map_title, shown);
            let said = inside(&mut sheet);
            sheet.finish(map_title, said)
        };
        self.strips.iter().map(one).collect()
    }

    /// The whole map's extent where no outline says how high its strips are.
    pub fn without_outline(&self) -> Option<Extent> {
        self.ground.bottom.is_none().then_some(self.whole)
    }
}

/// Extent of the part of an outline between two x.
fn part_between(outline: &Polygon<f64>, from_m: f64, to_m: f64) -> Option<Extent> {
    let whole = extent_of(outline)?;
    let part = Extent {
        aft: from_m,
        forward: to_m,
        starboard: whole.starboard - 1.0,
        port: whole.port + 1.0,
    };
    let cut = outline.intersection(&part.polygon());
    cut.0.iter().filter_map(extent_of).reduce(Extent::with)
}

/// A strip in the making.
pub struct Sheet<'a> {
    map: &'a StripMap<'a>,
    pub ground: &'a Ground<'a>,
    pub units: Units,
    pub strip: Strip,
    pub canvas: Canvas,
    /// The labels to come.
    pub labels: Labels,
    /// The window on paper, mm.
    pub window: Area,
    x_from_m: f64,
    y_top_m: f64,
    /// Height used so far, mm.
    height_mm: f64,
}

impl<'a> Sheet<'a> {
    /// Draws the frame around a window with the centreline.
    fn new(
        map: &'a StripMap<'a>,
        strip: Strip,
        map_title: &MapTitle,
        shown: Option<Extent>,
    ) -> Self {
        let (scale, (from_m, to_m)) = (map.scale, strip.window_m());
        let air_m = scale.to_m(LABEL_ROOM_MM);
        let (low_m, high_m) = shown
            .map_or((-air_m, air_m), |e| (e.starboard.min(0.0) - air_m, e.port.max(0.0) + air_m));
        let width = scale.to_mm(to_m - from_m);
        let height = scale.to_mm(high_m - low_m).max(LEAST_HEIGHT_MM);
        let left = MARGIN_MM + ((map.width_mm - MARGIN_MM - 0.5 - width) / 2.0).max(0.0);
        let window = Area { left, top: ABOVE_MM, right: left + width, bottom: ABOVE_MM + height };
        let mut sheet = Self {
            map,
            ground: map.ground,
            units: map.ground.units,
            strip,
            canvas: Canvas::new(map.width_mm),
            labels: Labels::new(window.grown(-0.4)),
            window,
            x_from_m: from_m,
            y_top_m: (low_m + high_m) / 2.0 + scale.to_m(height) / 2.0,
            height_mm: window.bottom,
        };
        sheet.header(&map_title.heading);
        sheet.frames(from_m, to_m);
        sheet.axis_of_x(from_m, to_m);
        if let Some(berth) = map_title.berth {
            sheet.axis_of_stations(&berth.lie, from_m, to_m);
        }
        sheet.sides();
        sheet.centreline();
        sheet
    }

    /// Draws the labels and closes the drawing.
    fn finish(mut self, map_title: &MapTitle, said: StripWords) -> Drawing {
        self.labels.draw(&mut self.canvas);
        let words = Words {
            title: format!("{}, {}", map_title.title, self.number_and_scale()),
            caption: said.caption,
            alt: said.alt,
        };
        let positions = &self.ground.examined.project.positions;
        let position = map_title.berth.and_then(|berth| positions.get(berth.number));
        Drawing::sheet(
            map_title.group,
            format!("{}-{}", map_title.name, self.strip.number),
            position.map(|position| position.id.as_str()),
            words,
            self.canvas,
            (self.map.width_mm, self.height_mm + 0.3),
        )
    }

    /// `strip 2 of 3`.
    pub fn number(&self) -> String {
        format!("strip {} of {}", self.strip.number, self.strip.of)
    }

    pub fn scale(&self) -> Scale {
        self.map.scale
    }

    /// `strip 2 of 3, scale 1:200`.
    pub fn number_and_scale(&self) -> String {
        match self.strip.of {
            1 => format!("scale {}", self.scale()),
            _ => format!("{}, scale {}", self.number(), self.scale()),
        }
    }

    /// `from x 10.0 m to 45.0 m`.
    pub fn span(&self) -> String {
        format!(
            "from x {} to {}",
            self.units.length(self.strip.from_m, 1),
            self.units.length(self.strip.to_m, 1)
        )
    }

    /// How the alternative text of a map begins.
    pub fn map_of_the_bottom(&self) -> String {
        format!("Map of the bottom {}, bow to the right, port above", self.span())
    }

    /// What can't be drawn, for the caption.
    pub fn missing_note(&self) -> String {
        let mut said = String::new();
        if self.ground.bottom.is_none() {
            said.push_str(" Outline of the bottom not recorded: caps are shown whole.");
        }
        if self.strip.number == 1 {
            said.push_str(&self.ground.not_placed_note());
        }
        said
    }

    /// The part of a shape between the strip's match lines; beyond the ends of the ship too.
    pub fn part_of(&self, shape: &MultiPolygon<f64>) -> MultiPolygon<f64> {
        let (whole, strip) = (self.map.whole, self.strip);
        let reach = (whole.forward - whole.aft) + (whole.port - whole.starboard) + 1.0;
        let part = Extent {
            aft: if strip.number == 1 { strip.from_m - reach } else { strip.from_m },
            forward: if strip.number == strip.of { strip.to_m + reach } else { strip.to_m },
            starboard: whole.starboard - reach,
            port: whole.port + reach,
        };
        common(shape, &MultiPolygon(vec![part.polygon()]))
    }

    /// A place on the hull, on paper.
    pub fn at(&self, hull: Coord<f64>) -> Coord<f64> {
        Coord {
            x: self.across(hull.x),
            y: self.window.top + self.scale().to_mm(self.y_top_m - hull.y),
        }
    }

    fn across(&self, x_m: f64) -> f64 {
        self.window.left + self.scale().to_mm(x_m - self.x_from_m)
    }

    /// A polygon's corners on paper.
    pub fn corners(&self, shape: &Polygon<f64>) -> Vec<Coord<f64>> {
        shape.exterior().0.iter().map(|c| self.at(*c)).collect()
    }

    /// The area on paper that a polygon takes.
    pub fn area_of(&self, shape: &Polygon<f64>) -> Option<Area> {
        Area::around(self.corners(shape))
    }

    /// A shape on paper, cut to the window.
    pub fn on_paper(&self, shape: &MultiPolygon<f64>) -> MultiPolygon<f64> {
        let window = self.window.polygon();
        let cut = |polygon: Polygon<f64>| {
            let area = Area::around(polygon.exterior().0.iter().copied());
            match area {
                Some(area) if self.window.holds(&area) => vec![polygon],
                Some(area) if self.window.overlap_mm2(&area) > 0.0 => {
                    polygon.intersection(&window).0
                }
                _ => Vec::new(),
            }
        };
        let parts = shape.0.iter().map(|polygon| polygon.map_coords(|c| self.at(c)));
        MultiPolygon(parts.flat_map(cut).collect())
    }

    /// A polygon's outline on paper as lines inside the window.
    pub fn outline_of(&self, shape: &Polygon<f64>) -> Vec<LineString<f64>> {
        let rings = std::iter::once(shape.exterior()).chain(shape.interiors());
        rings.flat_map(|ring| self.inside(ring.0.iter().map(|c| self.at(*c)))).collect()
    }

    /// The parts of a line on paper that lie inside the window, each as long as it can be.
    pub fn inside(&self, line: impl Iterator<Item = Coord<f64>>) -> Vec<LineString<f64>> {
        self.window.clip_line(&line.collect::<Vec<_>>())
    }

    fn header(&mut self, heading: &str) {
        const BASE_MM: f64 = 4.4;
        let heading = match self.strip.of {
            1 => heading.to_string(),
            _ => format!("{heading}, {}", self.number()),
        };
        let at = Coord { x: 0.5, y: BASE_MM };
        self.canvas.text(Lettered::new(&heading, at, HEADING_PT));
        scale_bar(&mut self.canvas, Coord { x: 84.0, y: BASE_MM }, self.map.scale, self.units);
        if self.strip.of > 1 {
            self.key(Area { left: 137.0, top: 0.8, right: 161.0, bottom: 5.6 });
        } else {
            self.way_forward();
        }
    }

    fn frames(&mut self, from_m: f64, to_m: f64) {
        const ROW_MM: f64 = 2.0;
        let top = self.window.top;
        let name = Lettered::new("frame", Coord { x: MARGIN_MM - 0.6, y: top - ROW_MM }, SMALL_PT);
        let edge = [Coord { x: self.window.left, y: top }, Coord { x: self.window.right, y: top }];
        self.canvas.line(edge[0], edge[1], Pen::solid(0.18));
        let frames = self.ground.examined.project.docking.frames.as_ref();
        // Spacings of less than a centimetre are no frames, and would be far too many.
        let Some(frames) = frames.filter(|f| f.stretches.iter().all(|s| s.spacing_m >= 0.01))
        else {
            return;
        };
        self.canvas.text(name.end());
        let ticks = frames.between(from_m, to_m);
        let xs: Vec<f64> = ticks.iter().map(|(_, x)| self.across(*x)).collect();
        let closest = xs
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).abs())
            .filter(|mm| *mm > 1e-6)
            .fold(f64::INFINITY, f64::min);
        let widest = ticks
            .iter()
            .map(|(n, _)| lettering::width_mm(&n.to_string(), SMALL_PT))
            .fold(0.0, f64::max);
        let every = |room: f64| {
            [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000]
                .into_iter()
                .find(|step| *step as f64 * closest >= room)
                .unwrap_or(100_000)
        };
        let (tick, label) = (every(0.7), every(widest + 1.8).max(5));
        let mut free_from = f64::NEG_INFINITY;
        let mut numbered = ticks.iter().zip(&xs).collect::<Vec<_>>();
        numbered.sort_by(|a, b| a.1.total_cmp(b.1));
        for ((number, _), x) in numbered {
            let labelled = number % label == 0;
            if number % tick != 0 && !labelled {
                continue;
            }
            let long = if labelled { 1.6 } else { 0.8 };
            self.canvas.line(
                Coord { x: *x, y: top },
                Coord { x: *x, y: top - long },
                Pen::solid(0.13),
            );
            let text = number.to_string();
            let half = lettering::width_mm(&text, SMALL_PT) / 2.0;
            // Numbers may meet where the spacing changes by mistake; the first one stands.
            let (from, to) = (self.window.left - 0.2, self.window.right + 0.4);
            if labelled && x - half >= free_from.max(from) && x + half <= to {
                let at = Coord { x: *x, y: top - ROW_MM };
                self.canvas.text(Lettered::new(&text, at, SMALL_PT).middle());
                free_from = x + half + 0.5;
            }
        }
    }

    fn axis_of_x(&mut self, from_m: f64, to_m: f64) {
        let scaling = self.units.scaling(Form::Length);
        let ends = (scaling.shown(from_m), scaling.shown(to_m));
        let ticks = self.round_places(ends, |x| scaling.kept(x));
        self.axis(&format!("x, {}", self.units.unit(Form::Length)), &ticks);
    }

    fn axis_of_stations(&mut self, lie: &Lie, from_m: f64, to_m: f64) {
        // The stations of the ship's centreline; with her far askew there is no such scale.
        let cos = libm::cos(lie.yaw_deg.to_radians());
        if cos < 0.5 {
            return;
        }
        let scaling = self.units.scaling(Form::Length);
        let station = |x: f64| scaling.shown(lie.srp_station_m + x * cos);
        let x = |station: f64| (scaling.kept(station) - lie.srp_station_m) / cos;
        let ticks = self.round_places((station(from_m), station(to_m)), x);
        self.axis(&format!("station, {}", self.units.unit(Form::Length)), &ticks);
    }

    /// Round places along an axis between two ends in the unit that is shown: x on paper, and the number where one has
    /// room. `x_m` gives the x of a place.
    fn round_places(
        &self,
        (from, to): (f64, f64),
        x_m: impl Fn(f64) -> f64,
    ) -> Vec<(f64, Option<String>)> {
        let text = |value: f64, step: f64| text::number(value, usize::from(step < 1.0));
        let widest = [from, to]
            .map(|end| lettering::width_mm(&text(end, 1.0), SMALL_PT))
            .into_iter()
            .fold(0.0, f64::max);
        let scaling = self.units.scaling(Form::Length);
        let step = round_up(scaling.shown(self.scale().to_m(widest + 3.5))).max(0.5);
        let fine = step / 5.0;
        let (first, last) = ((from / fine).ceil() as i64, (to / fine).floor() as i64);
        (first..=last.min(first.saturating_add(2000)))
            .map(|n| {
                let value = n as f64 * fine;
                let label = (n % 5 == 0).then(|| text(value, step));
                (self.across(x_m(value)), label)
            })
            .filter(|(x, _)| *x >= self.window.left - 1e-9 && *x <= self.window.right + 1e-9)
            .collect()
    }

    /// One more axis under what is there.
    fn axis(&mut self, name: &str, ticks: &[(f64, Option<String>)]) {
        let y = self.height_mm;
        let (from, to) = (self.window.left, self.window.right);
        self.canvas.line(Coord { x: from, y }, Coord { x: to, y }, Pen::solid(0.18));
        let base = y + 1.9 + lettering::capital_mm(SMALL_PT);
        let end = (MARGIN_MM - 0.6).max(lettering::width_mm(name, SMALL_PT) + 0.1);
        self.canvas.text(Lettered::new(name, Coord { x: end, y: base }, SMALL_PT).end());
        for (x, label) in ticks {
            let long = if label.is_some() { 1.5 } else { 0.8 };
            self.canvas.line(Coord { x: *x, y }, Coord { x: *x, y: y + long }, Pen::solid(0.13));
            let half = label.as_ref().map_or(0.0, |l| lettering::width_mm(l, SMALL_PT) / 2.0);
            if let Some(label) =
                label.as_ref().filter(|_| x - half >= from - 0.2 && x + half <= to + 0.4)
            {
                let at = Coord { x: *x, y: base };
                self.canvas.text(Lettered::new(label, at, SMALL_PT).middle());
            }
        }
        self.height_mm = y + AXIS_MM;
    }

    fn sides(&mut self) {
        let x = self.window.left - 1.6;
        for (text, y, anchor) in [
            ("port", self.window.top + 0.8, Anchor::End),
            ("starboard", self.window.bottom - 0.8, Anchor::Start),
        ] {
            let lettered = Lettered::new(text, Coord { x, y }, SMALL_PT).upward();
            self.canvas.text(Lettered { anchor, ..lettered });
        }
    }

    /// The hull's centreline through the window.
    fn centreline(&mut self) {
        let y = self.at(Coord { x: 0.0, y: 0.0 }).y;
        if y > self.window.top && y < self.window.bottom {
            let ends = [self.window.left, self.window.right].map(|x| Coord { x, y });
            self.canvas.line(ends[0], ends[1], Pen::solid(0.13).broken(DASH_DOT));
            self.labels.avoid_lines(&[LineString::new(ends.to_vec())]);
        }
    }

    /// The perpendiculars and the stern reference point, as far as they lie in the window.
    pub fn stations(&mut self) {
        let mut named: Vec<Area> = Vec::new();
        for (name, x_m) in self.ground.stations() {
            let x = self.across(x_m);
            let width = lettering::width_mm(name, SMALL_PT) + 0.6;
            if x < self.window.left || x + width + 0.5 > self.window.right {
                continue;
            }
            let (top, bottom) = (self.window.top, self.window.bottom);
            let pen = Pen::solid(0.13).broken(LONG_DASH);
            self.canvas.line(Coord { x, y: top }, Coord { x, y: bottom }, pen);
            let mut area =
                Area { left: x + 0.5, right: x + 0.5 + width, top: top + 0.6, bottom: top + 2.9 };
            while named.iter().any(|other| other.overlap_mm2(&area) > 0.0) {
                area = Area { top: area.top + 2.6, bottom: area.bottom + 2.6, ..area };
            }
            let at = Coord { x: area.left + 0.3, y: area.bottom - 0.4 };
            self.canvas.text(Lettered::new(name, at, SMALL_PT));
            named.push(area);
            self.labels.keep_clear(area);
            let line = LineString::new(vec![Coord { x, y: top }, Coord { x, y: bottom }]);
            self.labels.avoid_lines(&[line]);
        }
    }

    /// Match lines where the ship goes on in another strip.
    pub fn match_lines(&mut self) {
        let strip = self.strip;
        let ends = [
            (strip.number > 1, strip.from_m, strip.number.saturating_sub(1), -1.0),
            (strip.number < strip.of, strip.to_m, strip.number + 1, 1.0),
        ];
        let mut lines: Vec<LineString<f64>> = Vec::new();
        for (continues, x_m, other, toward) in ends {
            if !continues {
                continue;
            }
            let x = self.across(x_m);
            let (top, bottom) = (self.window.top, self.window.bottom);
            let line = [Coord { x, y: top - 1.6 }, Coord { x, y: bottom }];
            self.canvas.line(line[0], line[1], Pen::solid(0.35).broken(LONG_DASH));
            let text = format!("strip {other}");
            let capital = lettering::capital_mm(SMALL_PT);
            let length = lettering::width_mm(&text, SMALL_PT);
            let middle = x + toward * (0.6 + capital / 2.0);
            let at_height = |below: f64| Area {
                left: middle - capital / 2.0 - 0.2,
                right: middle + capital / 2.0 + 0.2,
                top: below - length - 0.4,
                bottom: below,
            };
            // As low as it stands clear of the ship; at the bottom if it is clear nowhere.
            let lowest = bottom - 0.6;
            let area = (0..)
                .map(|step| at_height(lowest - f64::from(step)))
                .take_while(|area| area.top > top + 0.5)
                .find(|area| self.labels.is_clear(area))
                .unwrap_or(at_height(lowest));
            let at = Coord { x: middle + capital / 2.0, y: area.bottom - 0.2 };
            self.canvas.ring(&area.corners(), None, Some(PAPER));
            self.canvas.text(Lettered::new(&text, at, SMALL_PT).upward());
            lines.push(LineString::new(line.to_vec()));
            self.labels.keep_clear(area);
        }
        self.labels.avoid_lines(&lines);
    }

    /// The bottom's outline, over what was drawn before.
    pub fn outline(&mut self) {
        if let Some(bottom) = self.ground.bottom {
            self.line_of(bottom, OUTLINE);
        }
    }

    /// A polygon's outline, which labels had better not cross.
    pub fn line_of(&mut self, shape: &Polygon<f64>, pen: Pen) {
        let lines = self.outline_of(shape);
        self.canvas.lines(&lines, pen);
        self.labels.avoid_lines(&lines);
    }

    /// The perpendiculars and the ends of the strip, lettered clear of what is there.
    pub fn close_frame(&mut self) {
        self.stations();
        self.match_lines();
    }

    /// A shape hatched, with its edge.
    pub fn hatched(&mut self, shape: &MultiPolygon<f64>, hatches: &[Hatch]) {
        let on_paper = self.on_paper(shape);
        for hatch in hatches {
            let lines = hatch::lines(&on_paper, *hatch);
            self.canvas.lines(&lines, HATCHING);
        }
        for polygon in &shape.0 {
            let lines = self.outline_of(polygon);
            self.canvas.lines(&lines, EDGE);
        }
        for polygon in &on_paper.0 {
            self.labels.avoid_shape(polygon.exterior());
        }
    }

    /// A shape in a colour, without an edge.
    pub fn tinted(&mut self, shape: &MultiPolygon<f64>, tint: &str) {
        let on_paper = self.on_paper(shape);
        self.canvas.shape(&on_paper, None, Some(tint));
    }

    /// A shape in black.
    pub fn filled(&mut self, shape: &MultiPolygon<f64>) {
        let on_paper = self.on_paper(shape);
        self.canvas.shape(&on_paper, Some(FILLED), Some(INK));
    }

    /// What was never exposed, in black: drawn and, with outline and frame, lettered piece by piece. The
    /// result are the numbers of the pieces of this strip.
    pub fn never_exposed(&mut self, pieces: &[&Polygon<f64>]) -> Vec<usize> {
        for piece in pieces {
            self.filled(&MultiPolygon(vec![(*piece).clone()]));
        }
        self.outline();
        self.close_frame();
        let middle = |piece| extent(piece).map(|[aft, forward, ..]| (aft + forward) / 2.0);
        let here = |n: &usize| middle(pieces[*n]).is_some_and(|x| self.strip.holds(x));
        let here: Vec<usize> = (0..pieces.len()).filter(here).collect();
        for number in &here {
            let shape = pieces[*number];
            let area_m2 = area_m2(&MultiPolygon(vec![shape.clone()]));
            self.letter_piece(&words::letter(*number), shape, area_m2);
        }
        here
    }

    /// The letter and area of a piece beside it; one too small to be seen gets a ring.
    pub fn letter_piece(&mut self, letter: &str, shape: &Polygon<f64>, area_m2: f64) {
        const SMALL_MM: f64 = 1.2;
        const RING_MM: f64 = 1.8;
        let Some(area) = self.area_of(shape) else { return };
        let small = area.right - area.left < SMALL_MM && area.bottom - area.top < SMALL_MM;
        let area = if small {
            let at = area.middle();
            self.canvas.circle(at, RING_MM, Some(Pen::solid(0.25)), None);
            Area::at(at).grown(RING_MM)
        } else {
            area
        };
        self.labels.keep_clear(area);
        // Of slivers an area to two decimals says nothing.
        let full = Named::beside(format!("{letter}: {}", self.units.area(area_m2, 2)), area);
        if area_m2 < 0.01 || !self.labels.try_place(&full) {
            self.labels.place(&Named::beside(letter.to_string(), area));
        }
    }

    /// A legend in rows under all that is there.
    pub fn legend(&mut self, samples: &[(Sample, String)]) {
        let between_mm = (1.0, self.map.width_mm);
        let top_mm = self.height_mm + 0.8;
        self.height_mm = legend::rows_between(&mut self.canvas, between_mm, top_mm, samples);
    }

    /// Draws under all that is there: from a height on, over a width, to a height that it reaches, mm.
    pub fn under(&mut self, draw: impl FnOnce(&mut Canvas, f64, f64) -> f64) {
        self.height_mm = draw(&mut self.canvas, self.map.width_mm, self.height_mm);
    }

    /// The same with the outline of the bottom as its last sample.
    pub fn legend_with_outline(&mut self, mut samples: Vec<(Sample, String)>) {
        if self.ground.bottom.is_some() {
            samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
        }
        self.legend(&samples);
    }

    /// An arrow toward the bow.
    fn way_forward(&mut self) {
        const BASE_MM: f64 = 4.4;
        let tip = Coord { x: self.map.width_mm - 9.0, y: BASE_MM - 0.9 };
        self.canvas.arrow(Coord { x: tip.x - 12.0, ..tip }, tip, Pen::solid(0.25));
        let at = Coord { x: tip.x + 1.0, y: BASE_MM };
        self.canvas.text(Lettered::new("bow", at, HEADING_PT));
    }

    /// A small ship from stern to bow with this strip in grey.
    fn key(&mut self, area: Area) {
        let (canvas, whole) = (&mut self.canvas, self.map.whole);
        let (length, breadth) = (whole.forward - whole.aft, whole.port - whole.starboard);
        let along = (area.right - area.left) / length.max(1e-3);
        let across = along.min((area.bottom - area.top) / breadth.max(1e-3));
        let middle = area.middle();
        let at = |c: Coord<f64>| Coord {
            x: area.left + (c.x - whole.aft) * along,
            y: middle.y - (c.y - (whole.port + whole.starboard) / 2.0) * across,
        };
        let x = |x_m: f64| at(Coord { x: x_m.clamp(whole.aft, whole.forward), y: 0.0 }).x;
        let (from, to) = (x(self.strip.from_m), x(self.strip.to_m));
        let part = Area { left: from, right: to, ..area };
        canvas.ring(&part.corners(), Some(Pen::solid(0.1)), Some("#c4c4c4"));
        match self.ground.bottom {
            Some(bottom) if extent_of(bottom).is_some() => {
                let ring: Vec<Coord<f64>> = bottom.exterior().0.iter().map(|c| at(*c)).collect();
                canvas.ring(&ring, Some(Pen::solid(0.15)), None);
            }
            _ => {
                let ends = [area.left, area.right].map(|x| Coord { x, y: middle.y });
                canvas.line(ends[0], ends[1], Pen::solid(0.15).coloured(BACK_GREY));
            }
        }
        let base = middle.y + lettering::capital_mm(SMALL_PT) / 2.0;
        let stern = Lettered::new("stern", Coord { x: area.left - 1.0, y: base }, SMALL_PT);
        canvas.text(stern.end());
        let (tail, tip) = (
            Coord { x: area.right + 0.6, y: middle.y },
            Coord { x: area.right + 3.4, y: middle.y },
        );
        canvas.arrow(tail, tip, Pen::solid(0.18));
        canvas.text(Lettered::new("bow", Coord { x: tip.x + 0.5, y: base }, SMALL_PT));
    }
}

/// Length of a scale bar on the ship in the unit that is shown: round, and so that the bar is a good inch or two on
/// paper.
fn bar_length(scale: Scale, scaling: Scaling) -> f64 {
    round_up(scaling.shown(scale.to_m(16.0)))
}

/// The stated scale, and a bar of five parts with its length.
pub fn scale_bar(canvas: &mut Canvas, at: Coord<f64>, scale: Scale, units: Units) {
    const THICK_MM: f64 = 1.0;
    canvas.text(Lettered::new(&format!("scale {scale}"), at, HEADING_PT).end());
    let scaling = units.scaling(Form::Length);
    let shown = bar_length(scale, scaling);
    let length = scale.to_mm(scaling.kept(shown));
    let left = at.x + 4.0;
    for part in 0..5 {
        let x = |n: i32| left + length * f64::from(n) / 5.0;
        let corners = [
            Coord { x: x(part), y: at.y },
            Coord { x: x(part + 1), y: at.y },
            Coord { x: x(part + 1), y: at.y - THICK_MM },
            Coord { x: x(part), y: at.y - THICK_MM },
        ];
        let fill = if part % 2 == 0 { INK } else { PAPER };
        canvas.ring(&corners, Some(Pen::solid(0.13)), Some(fill));
    }
    let y = at.y - THICK_MM - 0.6;
    canvas.text(Lettered::new("0", Coord { x: left, y }, SMALL_PT).middle());
    let decimals = if shown < 1.0 { 1 } else { 0 };
    let end = format!("{} {}", text::number(shown, decimals), units.unit(Form::Length));
    canvas.text(Lettered::new(&end, Coord { x: left + length, y }, SMALL_PT).middle());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::System;

    #[test]
    fn bars_fit_beside_the_stated_scale() {
        for scale in [20, 50, 100, 200, 500, 1000, 2000, 5000] {
            let scale = Scale(scale);
            for system in [System::Si, System::Us] {
                let scaling = Units(system).scaling(Form::Length);
                let on_paper = scale.to_mm(scaling.kept(bar_length(scale, scaling)));
                assert!((16.0..=40.0 + 1e-9).contains(&on_paper), "{scale}: {on_paper}");
            }
        }
    }
}
