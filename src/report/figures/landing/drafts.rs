//! The draft surveys on the way in, above each other on one scale: the keel as it hung under the water, and the
//! readings at the marks.

use geo::Coord;

use super::at_position::TALLEST_MM;
use crate::calc::drafts::{Drafts, Perpendiculars};
use crate::findings::Examined;
use crate::findings::recomputed::afloat::Survey;
use crate::records::drafts::{DraftReading, Occasion};
use crate::report::figures::axis::{Axis, spread};
use crate::report::figures::canvas::{Canvas, DASHED, Lettered, Pen};
use crate::report::figures::chart::{
    FOOT_MM, HEAD_MM, LEFT_MM, Mark, Marker, RIGHT_MM, Row, draw_row,
};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::words::{self, Units};
use crate::text::Form;

const KEEL: Pen = Pen::solid(0.4);
const STRAIGHT: Pen = Pen::solid(0.2).broken(DASHED);
const HEIGHT_MM: f64 = 16.0;
/// A line of readings over the frame, mm.
const ROW_MM: f64 = 3.3;
/// Most lines of readings over a place.
const MOST_ROWS: usize = 3;
/// Width of a column of readings, mm.
const COLUMN_MM: f64 = 31.0;
/// Columns that find room.
const MOST_COLUMNS: usize = 4;
/// Readings are taken as of one place if they stand so near each other along the ship, m.
const SAME_PLACE_M: f64 = 1.0;

/// A survey whose drafts can be drawn.
struct Surveyed<'a> {
    examined: &'a Examined,
    units: Units,
    survey: &'a Survey,
    drafts: &'a Drafts,
    ends: Perpendiculars,
    name: String,
}

/// The surveys on arrival and before each landing.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let ship = &examined.recomputed.ship;
    let is_inward =
        |survey: &&Survey| matches!(survey.occasion, Occasion::Arrival | Occasion::BeforeLanding);
    let surveys = ship.surveys.iter().filter(is_inward);
    let surveys: Vec<Surveyed> = surveys.filter_map(|s| Surveyed::new(examined, s)).collect();
    let room = TALLEST_MM - FOOT_MM - 5.0;
    let tallest = surveys.iter().map(Surveyed::height_mm).fold(1.0, f64::max);
    let sheets = surveys.chunks(((room / tallest) as usize).max(1));
    let of = sheets.len();
    sheets.enumerate().filter_map(|(n, sheet)| drawing(sheet, (n + 1, of))).collect()
}

/// A reading as it is drawn.
#[derive(Clone, Copy)]
struct Drawn<'a> {
    row: &'a DraftReading,
    draft_m: f64,
    is_set_aside: bool,
}

/// The places along the ship at which marks were read, from aft to forward.
type Places<'a> = Vec<(f64, Vec<Drawn<'a>>)>;

impl<'a> Surveyed<'a> {
    fn new(examined: &'a Examined, survey: &'a Survey) -> Option<Self> {
        let (drafts, ends) = (survey.drafts.as_ref()?, examined.recomputed.ship.perpendiculars?);
        let readings = survey.readings.iter().map(|read| read.draft_m);
        let deepest = readings.chain([drafts.aft_m, drafts.forward_m]).fold(0.0, f64::max);
        // Drafts that no ship has would leave no scale for the others.
        let possible = deepest > 0.0 && deepest < 100.0 && drafts.aft_m.min(drafts.forward_m) > 0.0;
        if !possible || ends.length_m() < 1.0 {
            return None;
        }
        let name = lettering::shown(&survey.name(&examined.project)).replace('-', " ");
        let name = name.replacen('.', ", ", 1);
        Some(Self { examined, units: Units::new(examined), survey, drafts, ends, name })
    }

    fn places(&self) -> Places<'a> {
        let each = self.survey.readings.iter().enumerate();
        let mut readings: Vec<Drawn> = each
            .map(|(n, read)| Drawn {
                row: &self.examined.project.drafts[read.row],
                draft_m: read.draft_m,
                is_set_aside: self.drafts.set_aside == Some(n),
            })
            .collect();
        readings.sort_by(|a, b| {
            let along = a.row.mark_x_m.total_cmp(&b.row.mark_x_m);
            along.then(b.row.mark_y_m.total_cmp(&a.row.mark_y_m))
        });
        let mut places: Places = Vec::new();
        for reading in readings {
            let x_m = reading.row.mark_x_m;
            match places.last_mut().filter(|place| x_m - place.0 <= SAME_PLACE_M) {
                Some(place) => place.1.push(reading),
                None => places.push((x_m, vec![reading])),
            }
        }
        places
    }

    fn room_mm(&self) -> f64 {
        let most = self.places().iter().map(|place| place.1.len()).max().unwrap_or(0);
        most.min(MOST_ROWS) as f64 * ROW_MM + 0.8
    }

    fn height_mm(&self) -> f64 {
        HEAD_MM + self.room_mm() + HEIGHT_MM + 1.0
    }

    /// Readings and the ends of the keel, m.
    fn values(&self) -> impl Iterator<Item = f64> {
        let readings = self.survey.readings.iter().map(|read| read.draft_m);
        readings.chain([self.drafts.aft_m, self.drafts.forward_m]).chain(self.drafts.amidships_m)
    }

    fn in_words(&self) -> String {
        let draft = |m: f64| self.units.measure(m, Form::Draft, 3);
        let trim = self.drafts.trim_m;
        let by = if trim >= 0.0 { "stern" } else { "bow" };
        let aside = self.drafts.set_aside.and_then(|n| {
            let read = self.survey.readings.get(n)?;
            let side = side(&self.examined.project.drafts[read.row]);
            let draft = self.units.measure(read.draft_m, Form::Draft, 2);
            Some(format!("; {draft}, set aside, to {side}"))
        });
        let aside = aside.unwrap_or_default();
        format!(
            "{}: aft {}, forward {}, trim {} by the {by}{aside}.",
            self.name,
            draft(self.drafts.aft_m),
            draft(self.drafts.forward_m),
            self.units.length(trim.abs(), 3)
        )
    }
}

fn side(reading: &DraftReading) -> &'static str {
    match reading.mark_y_m {
        y if y > 0.0 => "port",
        y if y < 0.0 => "starboard",
        _ => "centre",
    }
}

fn marker_of(reading: &DraftReading) -> Marker {
    match reading.mark_y_m {
        y if y > 0.0 => Marker::Ring,
        y if y < 0.0 => Marker::Cross,
        _ => Marker::Dot,
    }
}

fn drawing(sheet: &[Surveyed], part: (usize, usize)) -> Option<Drawing> {
    const STEPS: usize = 24;
    let first = sheet.first()?;
    let (units, ends) = (first.units, first.ends);
    let marks = || sheet.iter().flat_map(Surveyed::places).map(|place| place.0);
    let from = marks().fold(ends.aft_x_m.min(0.0), f64::min);
    let to = marks().fold(ends.forward_x_m, f64::max);
    let title = format!("x, {} forward of the stern reference point", units.unit(Form::Length));
    let scaling = units.scaling(Form::Length);
    let x = Axis::between(title, scaling, (from, to), RIGHT_MM - LEFT_MM, 12.0)?;
    let mut canvas = Canvas::new(WIDTH_MM);
    let (mut top, mut left_out) = (0.0, 0);
    for (n, one) in sheet.iter().enumerate() {
        let title = format!("{}: draft, {}, downward", one.name, units.unit(Form::Length));
        let values = sheet.iter().flat_map(Surveyed::values);
        let y = Axis::over(title, scaling, values, HEIGHT_MM, 3.0)?.falling();
        let ends = [(ends.aft_x_m, one.drafts.aft_m), (ends.forward_x_m, one.drafts.forward_m)];
        let keel = (0..=STEPS).map(|n| {
            let x = ends[0].0 + (ends[1].0 - ends[0].0) * n as f64 / STEPS as f64;
            (x, keel_at(one.drafts, &one.ends, x))
        });
        let mut over =
            vec![Mark::Curve(ends.to_vec(), STRAIGHT), Mark::Curve(keel.collect(), KEEL)];
        let places = one.places();
        for reading in places.iter().flat_map(|place| &place.1) {
            let marker = marker_of(reading.row);
            over.push(Mark::Point(reading.row.mark_x_m, reading.draft_m, marker));
        }
        let row = Row { room_mm: one.room_mm(), ..Row::new(y, HEIGHT_MM, over) };
        let (panel, reached) = draw_row(&mut canvas, &x, top, &row, n + 1 == sheet.len());
        left_out += places.len().saturating_sub(MOST_COLUMNS);
        let wanted: Vec<f64> =
            places.iter().take(MOST_COLUMNS).map(|place| panel.across(place.0)).collect();
        let half = COLUMN_MM / 2.0;
        let columns = spread(&wanted, COLUMN_MM, (half, WIDTH_MM - half));
        for ((_, readings), column) in places.iter().zip(columns) {
            let rows = readings.len().min(MOST_ROWS);
            for (n, reading) in readings.iter().take(MOST_ROWS).enumerate() {
                let aside = if reading.is_set_aside { ", set aside" } else { "" };
                let draft = units.number(reading.draft_m, Form::Draft, 2);
                let words = format!("{} {draft}{aside}", side(reading.row));
                let y = panel.area.top - 0.9 - (rows - 1 - n) as f64 * ROW_MM;
                canvas.text(Lettered::new(&words, Coord { x: column, y }, SMALL_PT).middle());
            }
        }
        top = reached;
    }
    let mut samples = vec![
        (Sample::Line(KEEL), "keel".to_string()),
        (Sample::Line(STRAIGHT), "straight from end to end".to_string()),
    ];
    let readings = || sheet.iter().flat_map(Surveyed::places).flat_map(|place| place.1);
    for (kind, name) in [
        (Marker::Ring, "read to port"),
        (Marker::Cross, "read to starboard"),
        (Marker::Dot, "read amid"),
    ] {
        if readings().any(|reading| marker_of(reading.row) == kind) {
            samples.push((Sample::Marker(kind), name.to_string()));
        }
    }
    let used = legend::rows(&mut canvas, top, &samples);
    let title = format!("Drafts before landing{}", words::part(part));
    let mut caption =
        "The keel under the water, depths much enlarged; over it the readings.".to_string();
    if left_out > 0 {
        caption.push_str(&format!(" Without room: {}.", words::count(left_out, "place")));
    }
    let parts: Vec<String> = sheet.iter().map(Surveyed::in_words).collect();
    let words = Words { title, caption, alt: words::said(&parts) };
    let name = format!("landing-drafts-{}", part.0);
    Some(Drawing::new(Group::LandingDrafts, name, None, words, canvas, used))
}

/// Depth of the keel at x, m.
fn keel_at(drafts: &Drafts, ends: &Perpendiculars, x_m: f64) -> f64 {
    let straight = drafts.at_x_m(x_m, ends);
    straight - drafts.hog_m.map_or(0.0, |hog_m| ends.hog_at_m(hog_m, x_m))
}
