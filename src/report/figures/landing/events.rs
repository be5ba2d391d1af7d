//! The words of events over a frame, each with a line down to its place on the curve.

use geo::{Coord, LineString};

use crate::report::figures::axis::spread;
use crate::report::figures::canvas::{Canvas, INK, Lettered, Pen};
use crate::report::figures::chart::Panel;
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::text;

/// Most letters of an event's words.
const LONGEST: usize = 29;
/// Events that find room over a frame.
pub const MOST_EVENTS: usize = 40;
/// Between the words and the frame, mm.
const LEADERS_MM: f64 = 3.8;
/// Between two lines of words, mm.
const ROW_MM: f64 = 3.0;

/// An event: where it stands on the curve, as values of the axes, and its words.
#[derive(Debug, Clone)]
pub struct Event {
    pub x: f64,
    pub y: f64,
    pub words: String,
}

/// An event's words as a drawing can show them: those of the log, then the time.
pub fn words(event: &str, notes: Option<&str>, at: &str) -> String {
    let what = match (event, notes) {
        ("other", Some(note)) => note.to_string(),
        ("halt", Some(note)) => format!("halt {note}"),
        (event, _) => event.replace('-', " "),
    };
    format!("{} {at}", text::shortened(&lettering::shown(&what), LONGEST))
}

/// The room that they need over the frame, mm.
pub fn room_mm(events: &[Event]) -> f64 {
    let widths = events.iter().take(MOST_EVENTS);
    let longest = widths.map(|event| lettering::width_mm(&event.words, SMALL_PT)).reduce(f64::max);
    longest.map_or(0.0, |longest| longest + LEADERS_MM + 0.6)
}

/// Draws them: upward over the frame, in the order of their places, each with a line to its own.
pub fn draw(canvas: &mut Canvas, panel: &Panel, events: &[Event]) {
    let mut events: Vec<&Event> = events.iter().take(MOST_EVENTS).collect();
    events.sort_by(|a, b| panel.across(a.x).total_cmp(&panel.across(b.x)));
    let capital = lettering::capital_mm(SMALL_PT);
    let wanted: Vec<f64> = events.iter().map(|event| panel.across(event.x)).collect();
    let ends = (panel.area.left + capital / 2.0, panel.area.right - capital / 2.0);
    let foot = panel.area.top - LEADERS_MM;
    for (event, x) in events.iter().zip(spread(&wanted, ROW_MM, ends)) {
        // A level that no dock has stays outside; its words then stand at the edge of the frame.
        let place = panel.at(event.x, event.y);
        let at = Coord { y: place.y.clamp(panel.area.top, panel.area.bottom), ..place };
        let knee = Coord { x: at.x, y: panel.area.top };
        let above = Coord { x, y: foot + 0.8 };
        canvas.lines(&[LineString::new(vec![above, knee, at])], Pen::solid(0.1));
        if at == place {
            canvas.circle(at, 0.5, None, Some(INK));
        }
        let base = Coord { x: x + capital / 2.0, y: foot };
        canvas.text(Lettered::new(&event.words, base, SMALL_PT).upward());
    }
}
