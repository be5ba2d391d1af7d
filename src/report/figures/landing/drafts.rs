//! A sketch of one draft survey: the ship's side with the readings at the marks, the drafts at the
//! perpendiculars, trim, and hog drawn larger than it is.

use geo::{Coord, LineString};

use crate::calc::drafts::{Drafts, Perpendiculars};
use crate::findings::Examined;
use crate::findings::recomputed::afloat::Survey;
use crate::records::drafts::DraftReading;
use crate::report::figures::axis::spread;
use crate::report::figures::canvas::{BACK_GREY, CAP_GREY, Canvas, DASHED, Lettered, PAPER, Pen};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::lettering::{self, PLAIN_PT, SMALL_PT};
use crate::report::figures::scale::round_up;
use crate::report::figures::words::Units;
use crate::text::{self, Form};

/// Ends of the ship as drawn, mm.
const AFT_MM: f64 = 14.0;
const FORWARD_MM: f64 = 156.0;
/// The keel line on paper, mm from the top.
const KEEL_MM: f64 = 47.0;
/// The rail on paper.
const DECK_MM: f64 = 15.0;
/// Height of the greatest draft over the keel as drawn, mm.
const DEEPEST_MM: f64 = 22.0;
/// Width of a column of readings, mm.
const COLUMN_MM: f64 = 22.0;
/// Columns that find room.
const MOST_COLUMNS: usize = 7;
/// Readings that find room in a column.
const MOST_ROWS: usize = 3;
/// Row of readings, mm.
const ROW_MM: f64 = 3.2;
/// Most that the hog may take on paper, mm.
const HOG_MM: f64 = 4.0;
const THIN: Pen = Pen::solid(0.15);

/// The sketch of a survey whose drafts could be worked out.
pub fn drawing(
    examined: &Examined,
    survey: &Survey,
    name: &str,
    position: Option<&str>,
) -> Option<Drawing> {
    let (drafts, ends) = (survey.drafts.as_ref()?, examined.recomputed.ship.perpendiculars?);
    let deepest = [drafts.aft_m, drafts.forward_m]
        .into_iter()
        .chain(survey.readings.iter().map(|n| examined.project.drafts[*n].draft_m))
        .fold(0.0, f64::max);
    let possible = deepest > 0.0 && deepest < 100.0 && drafts.aft_m.min(drafts.forward_m) > 0.0;
    if !possible || ends.length_m() < 1.0 {
        return None;
    }
    let ship = &examined.project.docking.ship;
    let forward = ship.foremost_x_m.unwrap_or(ends.forward_x_m).max(ends.forward_x_m);
    let sketch = Sketch {
        examined,
        units: Units::new(examined),
        survey,
        drafts,
        ends,
        from_x: ends.aft_x_m.min(0.0),
        to_x: forward,
        mm_per_m: DEEPEST_MM / deepest,
    };
    let mut canvas = Canvas::new(WIDTH_MM);
    sketch.hull(&mut canvas);
    let left_out = sketch.readings(&mut canvas);
    sketch.at_perpendiculars(&mut canvas);
    let used = sketch.trim_and_hog(&mut canvas);
    let words = sketch.words(left_out);
    Some(Drawing::new(Group::LandingDrafts, name, position, words, canvas, used))
}

struct Sketch<'a> {
    examined: &'a Examined,
    units: Units,
    survey: &'a Survey,
    drafts: &'a Drafts,
    ends: Perpendiculars,
    from_x: f64,
    to_x: f64,
    mm_per_m: f64,
}

/// The readings of one place along the ship.
struct Place<'a> {
    x_m: f64,
    /// Reading, and whether it was set aside.
    readings: Vec<(&'a DraftReading, bool)>,
}

impl Sketch<'_> {
    fn across(&self, x_m: f64) -> f64 {
        AFT_MM + (x_m - self.from_x) / (self.to_x - self.from_x) * (FORWARD_MM - AFT_MM)
    }

    fn at(&self, x_m: f64, over_keel_m: f64) -> Coord<f64> {
        Coord { x: self.across(x_m), y: KEEL_MM - over_keel_m * self.mm_per_m }
    }

    /// A plain side with a raked stem and an overhanging stern, and the water round it.
    fn hull(&self, canvas: &mut Canvas) {
        let length = FORWARD_MM - AFT_MM;
        let (aft, forward) = (self.across(self.ends.aft_x_m), self.across(self.ends.forward_x_m));
        let side = [
            Coord { x: AFT_MM, y: DECK_MM + 4.0 },
            Coord { x: aft.max(AFT_MM + 0.01 * length), y: KEEL_MM - 13.0 },
            Coord { x: aft + 0.02 * length, y: KEEL_MM },
            Coord { x: forward - 0.04 * length, y: KEEL_MM },
            Coord { x: forward, y: KEEL_MM - 8.0 },
            Coord { x: FORWARD_MM, y: DECK_MM },
            Coord { x: AFT_MM + 0.7 * length, y: DECK_MM + 3.6 },
            Coord { x: AFT_MM + 0.2 * length, y: DECK_MM + 4.4 },
        ];
        let water = |x: f64| self.drafts.at_x_m(x, &self.ends);
        let x_at = |mm: f64| {
            self.from_x + (mm - AFT_MM) / (FORWARD_MM - AFT_MM) * (self.to_x - self.from_x)
        };
        let (left, right) = (x_at(1.0), x_at(WIDTH_MM - 1.0));
        canvas.ring(&side, Some(Pen::solid(0.35)), Some(PAPER));
        canvas.line(self.at(left, water(left)), self.at(right, water(right)), Pen::solid(0.3));
        for (x, word) in [(self.ends.aft_x_m, "AP"), (self.ends.forward_x_m, "FP")] {
            let top = Coord { x: self.across(x), y: DECK_MM + 2.0 };
            let foot = Coord { x: self.across(x), y: KEEL_MM + 2.0 };
            canvas.line(top, foot, THIN.coloured(BACK_GREY).broken(DASHED));
            let at = Coord { x: foot.x, y: foot.y + 2.6 };
            canvas.text(Lettered::new(word, at, SMALL_PT).middle());
        }
        let middle = self.across(self.ends.amidships_x_m());
        let at = Coord { x: middle, y: KEEL_MM + 4.6 };
        canvas.text(Lettered::new("amidships", at, SMALL_PT).middle());
        let tick = Coord { x: middle, y: KEEL_MM + 2.0 };
        canvas.line(Coord { x: middle, y: KEEL_MM }, tick, THIN);
    }

    /// The places along the ship at which marks were read, from aft to forward.
    fn places(&self) -> Vec<Place<'_>> {
        const SAME_PLACE_M: f64 = 1.0;
        let mut readings: Vec<(&DraftReading, bool)> = self
            .survey
            .readings
            .iter()
            .enumerate()
            .map(|(n, number)| {
                (&self.examined.project.drafts[*number], self.drafts.set_aside == Some(n))
            })
            .collect();
        readings.sort_by(|a, b| {
            a.0.mark_x_m.total_cmp(&b.0.mark_x_m).then(b.0.mark_y_m.total_cmp(&a.0.mark_y_m))
        });
        let mut places: Vec<Place> = Vec::new();
        for reading in readings {
            let x_m = reading.0.mark_x_m;
            match places.last_mut().filter(|place| x_m - place.x_m <= SAME_PLACE_M) {
                Some(place) => place.readings.push(reading),
                None => places.push(Place { x_m, readings: vec![reading] }),
            }
        }
        places
    }

    /// The readings over the rail, each place with a line down to its mark; returns how many places found
    /// no room.
    fn readings(&self, canvas: &mut Canvas) -> usize {
        let mut places = self.places();
        places.retain(|place| place.x_m >= self.from_x && place.x_m <= self.to_x);
        let left_out = self.places().len() - places.len().min(MOST_COLUMNS);
        places.truncate(MOST_COLUMNS);
        let wanted: Vec<f64> = places.iter().map(|place| self.across(place.x_m)).collect();
        let half = COLUMN_MM / 2.0;
        let columns = spread(&wanted, COLUMN_MM, (half, WIDTH_MM - half));
        for (place, column) in places.iter().zip(columns) {
            let rows = place.readings.len().min(MOST_ROWS) as f64;
            let top = DECK_MM - 4.0 - rows * ROW_MM;
            for (row, (reading, aside)) in place.readings.iter().take(MOST_ROWS).enumerate() {
                let side = match reading.mark_y_m {
                    y if y > 0.0 => "port",
                    y if y < 0.0 => "starboard",
                    _ => "centre",
                };
                let words =
                    format!("{side} {}", self.units.number(reading.draft_m, Form::Draft, 2));
                let y = top + (row as f64 + 0.75) * ROW_MM;
                let lettered = Lettered::new(&words, Coord { x: column, y }, SMALL_PT).middle();
                canvas.text(lettered);
                if *aside {
                    let half = lettering::width_mm(&words, SMALL_PT) / 2.0 + 0.5;
                    let y = y - lettering::capital_mm(SMALL_PT) / 2.0;
                    let from = Coord { x: column - half, y };
                    canvas.line(from, Coord { x: column + half, y }, Pen::solid(0.25));
                }
            }
            let foot = Coord { x: column, y: DECK_MM - 3.4 };
            let surface = self.at(place.x_m, self.drafts.at_x_m(place.x_m, &self.ends));
            let knee = Coord { x: surface.x, y: DECK_MM - 0.4 };
            canvas.lines(&[LineString::new(vec![foot, knee, surface])], THIN);
            canvas.arrowhead(knee, surface, THIN.colour);
            // The scale of the mark itself, under water.
            let keel = self.at(place.x_m, 0.0);
            canvas.line(surface, keel, Pen::solid(0.5).coloured(BACK_GREY));
        }
        left_out
    }

    fn at_perpendiculars(&self, canvas: &mut Canvas) {
        let mut drafts = vec![
            (self.ends.aft_x_m, self.drafts.aft_m, "A"),
            (self.ends.forward_x_m, self.drafts.forward_m, "F"),
        ];
        drafts.extend(self.drafts.amidships_m.map(|m| (self.ends.amidships_x_m(), m, "M")));
        for (x, draft, word) in drafts {
            let words = format!("{word} {}", self.units.measure(draft, Form::Draft, 3));
            let width = lettering::width_mm(&words, PLAIN_PT);
            // Inside the ship, toward amidships of the ends, clear of the marks there.
            let away = if word == "F" { -6.5 - width } else { 6.5 };
            let base = Coord { x: self.across(x) + away, y: KEEL_MM - 3.0 };
            let patch = Area {
                left: base.x - 0.6,
                right: base.x + width + 0.6,
                top: base.y - 2.6,
                bottom: base.y + 0.8,
            };
            canvas.ring(&patch.corners(), Some(THIN), Some(CAP_GREY));
            canvas.text(Lettered::new(&words, base, PLAIN_PT));
        }
    }

    /// Under the keel: trim and list in words, and the bend of the keel drawn larger than it is.
    fn trim_and_hog(&self, canvas: &mut Canvas) -> f64 {
        let y = KEEL_MM + 15.0;
        let (aft, forward) = (self.across(self.ends.aft_x_m), self.across(self.ends.forward_x_m));
        let line = |canvas: &mut Canvas, row: f64, words: &str| {
            let at = Coord { x: (aft + forward) / 2.0, y: y + 8.5 + row * 4.0 };
            canvas.text(Lettered::new(words, at, PLAIN_PT).middle());
        };
        if let Some((hog, scale)) = self.hog_scale() {
            let bend_mm = hog * 1000.0 / scale;
            let bent: Vec<Coord<f64>> = (0..=32)
                .map(|n| {
                    let part = f64::from(n) / 32.0;
                    let rise = 4.0 * part * (1.0 - part) * bend_mm;
                    Coord { x: aft + part * (forward - aft), y: y - rise }
                })
                .collect();
            let ends = (Coord { x: aft, y }, Coord { x: forward, y });
            canvas.line(ends.0, ends.1, THIN.broken(DASHED));
            canvas.lines(&[LineString::new(bent)], Pen::solid(0.35));
            line(
                canvas,
                0.0,
                &format!(
                    "{}, the keel’s bend drawn 1:{} against the straight line (dashed)",
                    hog_in_words(self.units, hog),
                    text::number(scale, if scale < 1.0 { 2 } else { 0 })
                ),
            );
        } else {
            let words = self
                .drafts
                .hog_m
                .map_or("hog not recorded: no mark amidships", |_| "neither hogged nor sagged");
            line(canvas, 0.0, words);
        }
        line(canvas, 1.0, &format!("{}; {}", self.trim_in_words(), self.list_in_words()));
        y + 14.5
    }

    /// The hog, m, and the reduction at which it is drawn; `None` where there is nothing to draw.
    fn hog_scale(&self) -> Option<(f64, f64)> {
        let hog = self.drafts.hog_m.filter(|hog| hog.abs() >= 0.0005)?;
        Some((hog, round_up(hog.abs() * 1000.0 / HOG_MM)))
    }

    fn trim_in_words(&self) -> String {
        let trim = self.drafts.trim_m;
        let by = if trim >= 0.0 { "stern" } else { "bow" };
        format!("trim {} by the {by}", self.units.length(trim.abs(), 3))
    }

    fn list_in_words(&self) -> String {
        match self.drafts.list_deg {
            None => "list not recorded".to_string(),
            Some(list) => {
                let to = if list >= 0.0 { "port" } else { "starboard" };
                format!("list {} to {to}", self.units.measure(list.abs(), Form::Angle, 3))
            }
        }
    }

    fn words(&self, left_out: usize) -> Words {
        let name = lettering::shown(&self.survey.name(&self.examined.project)).replace('-', " ");
        let title = format!("Drafts, {}", name.replacen('.', ", ", 1));
        let along = (self.to_x - self.from_x) / (FORWARD_MM - AFT_MM) * 1000.0;
        let mut caption = format!(
            "The ship’s side, lengths about 1:{}, drafts about 1:{}. Over the rail the readings at the \
             marks{}; in the boxes the drafts at the perpendiculars and amidships.",
            text::number(along, 0),
            text::number(1000.0 / self.mm_per_m, 0),
            Form::Draft.head(self.units.0).map_or(String::new(), |unit| format!(", {unit}"))
        );
        if self.drafts.set_aside.is_some() {
            caption.push_str(" The reading struck through was set aside.");
        }
        if left_out > 0 {
            caption.push_str(&format!(" Not drawn for want of room: {left_out} places more."));
        }
        let mut alt = format!("{title}. ");
        for place in self.places() {
            for (reading, aside) in place.readings {
                alt.push_str(&format!(
                    "At x = {}, y = {} the draft read was {}{}. ",
                    self.units.length(reading.mark_x_m, 2),
                    self.units.length(reading.mark_y_m, 2),
                    self.units.measure(reading.draft_m, Form::Draft, 2),
                    if aside { ", set aside" } else { "" }
                ));
            }
        }
        alt.push_str(&format!(
            "Draft at the aft perpendicular {}, at the forward one {}, {}; {}, {}.",
            self.units.measure(self.drafts.aft_m, Form::Draft, 3),
            self.units.measure(self.drafts.forward_m, Form::Draft, 3),
            self.trim_in_words(),
            self.list_in_words(),
            self.drafts
                .hog_m
                .map_or("hog not recorded".to_string(), |hog| hog_in_words(self.units, hog))
        ));
        Words { title, caption, alt }
    }
}

fn hog_in_words(units: Units, hog_m: f64) -> String {
    let word = if hog_m >= 0.0 { "hog" } else { "sag" };
    format!("{word} {}", units.measure(hog_m.abs(), Form::Small, 0))
}
