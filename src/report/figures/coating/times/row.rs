//! One row of a time-line: its applications with their windows.

use geo::Coord;

use super::Calendar;
use crate::calc::recoat::Kept;
use crate::findings::Examined;
use crate::findings::recomputed::coating::span_h;
use crate::findings::recomputed::coating::windows::Interval;
use crate::report::figures::canvas::{Canvas, DASHED, DOTTED, Lettered, PAPER, Pen};
use crate::report::figures::chart::{HALF_END_MM, Panel, bracket};
use crate::report::figures::labels::Area;
use crate::report::figures::lettering::{self, SMALL_PT};

/// Fill of an application's bar.
pub const FILL: &str = "#8a8a8a";
/// A window over the coat beneath.
pub const OVER: Pen = Pen::solid(0.3);
/// A window at a tie-in.
pub const TIE_IN: Pen = Pen::solid(0.25).broken(DASHED);
/// An interval across a flooding.
pub const FLOODED: Pen = Pen::solid(0.35).broken(DOTTED);

/// Half the height of a bar, mm.
const HALF_BAR_MM: f64 = 1.0;
/// A bar is never thinner than this, mm.
const LEAST_BAR_MM: f64 = 0.6;

/// A row: the applications of one coat to one kind of extent.
pub struct Row {
    /// What stands beside it.
    pub name: String,
    /// The applications, by their places in the project's list.
    pub coats: Vec<usize>,
}

/// Which marks a drawing shows, so that its legend explains those and no others.
#[derive(Debug, Default)]
pub struct Seen {
    /// Spells under water.
    pub wet: bool,
    /// Windows over the coat beneath.
    pub over: bool,
    /// Windows at tie-ins.
    pub tie_in: bool,
    /// Intervals across a flooding.
    pub flooded: bool,
    /// Intervals without a window though no flooding lies in them.
    pub unknown: bool,
}

/// Draws a row between two heights on paper, mm.
pub fn draw_row(
    canvas: &mut Canvas,
    examined: &Examined,
    calendar: &Calendar,
    panel: &Panel,
    (top, bottom): (f64, f64),
    row: &Row,
    seen: &mut Seen,
) {
    let windows = &examined.recomputed.coating.windows;
    for coat in &row.coats {
        let of = |list: &'_ [Interval]| -> Vec<Interval> {
            list.iter().filter(|interval| interval.upper == *coat).cloned().collect()
        };
        let (over, tie_in) = (of(&windows.over), of(&windows.tie_ins));
        let Some((from, to)) = examined.project.coats.get(*coat).and_then(span_h) else { continue };
        let bar = (calendar.of_kept(from), calendar.of_kept(to));
        // The tie-in has a line of its own under that of the steel beneath.
        let lines = [(over, top + 1.7, OVER), (tie_in, bottom - 0.85, TIE_IN)];
        for (n, (intervals, y, pen)) in lines.into_iter().enumerate() {
            let line = Line { examined, calendar, panel, y };
            if line.flooded(canvas, &intervals, bar.0) {
                seen.flooded = true;
            }
            let drawn = line.window(canvas, &intervals, pen);
            if n == 0 { seen.over |= drawn } else { seen.tie_in |= drawn }
        }
        let y = top + 1.7;
        draw_bar(canvas, panel, bar, y);
        let kept = verdict(&windows.over, &windows.tie_ins, *coat);
        let unknown = windows.over.iter().chain(&windows.tie_ins).any(|interval| {
            interval.upper == *coat && !interval.flooded && interval.window.is_err()
        });
        seen.unknown |= unknown;
        let (soon, late) = kept;
        let after = if late {
            "too late"
        } else if unknown {
            "?"
        } else {
            ""
        };
        say(canvas, panel, bar, y, if soon { "too soon" } else { "" }, after);
    }
}

/// Whether an application was too soon or too late by some window.
fn verdict(over: &[Interval], tie_ins: &[Interval], coat: usize) -> (bool, bool) {
    let mut found = (false, false);
    for interval in over.iter().chain(tie_ins).filter(|interval| interval.upper == coat) {
        let Some(kept) = interval.kept else { continue };
        found.0 |= matches!(kept, Kept::TooSoon | Kept::TooSoonAndTooLate);
        found.1 |= matches!(kept, Kept::TooLate | Kept::TooSoonAndTooLate);
    }
    found
}

fn draw_bar(canvas: &mut Canvas, panel: &Panel, (from, to): (f64, f64), y: f64) {
    let (left, right) = (panel.across(from), panel.across(to));
    let grown = (LEAST_BAR_MM - (right - left)).max(0.0) / 2.0;
    let area = Area {
        left: left - grown,
        right: right + grown,
        top: y - HALF_BAR_MM,
        bottom: y + HALF_BAR_MM,
    };
    if panel.area.grown(0.01).holds(&area) {
        canvas.ring(&area.corners(), Some(Pen::solid(0.2)), Some(FILL));
    }
}

/// Words before and after a bar.
fn say(canvas: &mut Canvas, panel: &Panel, bar: (f64, f64), y: f64, before: &str, after: &str) {
    let capital = lettering::capital_mm(SMALL_PT);
    let base = y + capital / 2.0;
    let (left, right) = (panel.across(bar.0) - 1.0, panel.across(bar.1) + 1.0);
    for (words, from) in [(before, left - lettering::width_mm(before, SMALL_PT)), (after, right)] {
        let patch = Area {
            left: from - 0.3,
            right: from + lettering::width_mm(words, SMALL_PT) + 0.3,
            top: base - capital - 0.3,
            bottom: base + 0.3,
        };
        if !words.is_empty() && panel.area.holds(&patch) {
            canvas.ring(&patch.corners(), None, Some(PAPER));
            canvas.text(Lettered::new(words, Coord { x: from, y: base }, SMALL_PT));
        }
    }
}

/// A line of a row.
struct Line<'a> {
    examined: &'a Examined,
    calendar: &'a Calendar,
    panel: &'a Panel,
    y: f64,
}

impl Line<'_> {
    fn span(&self, coat: usize) -> Option<(f64, f64)> {
        let (from, to) = span_h(self.examined.project.coats.get(coat)?)?;
        Some((self.calendar.of_kept(from), self.calendar.of_kept(to)))
    }

    /// Back to the last coat before a flooding; gives whether there is such an interval.
    fn flooded(&self, canvas: &mut Canvas, intervals: &[Interval], until: f64) -> bool {
        let flooded = intervals.iter().filter(|interval| interval.flooded);
        let ends = flooded.filter_map(|interval| Some(self.span(interval.lower)?.1));
        let Some(from) = ends.reduce(f64::max) else { return false };
        let left = self.panel.across(from).max(self.panel.area.left);
        let right = self.panel.across(until).min(self.panel.area.right);
        if left < right {
            let ends = [left, right].map(|x| Coord { x, y: self.y });
            canvas.line(ends[0], ends[1], FLOODED);
            let foot = |x: f64, h: f64| Coord { x, y: self.y + h };
            canvas.line(foot(left, -HALF_END_MM), foot(left, HALF_END_MM), Pen::solid(0.2));
        }
        left < right
    }

    /// The narrowest window of some intervals, as a bracket; gives whether there is one.
    fn window(&self, canvas: &mut Canvas, intervals: &[Interval], pen: Pen) -> bool {
        let (mut earliest, mut latest) = (f64::NEG_INFINITY, f64::INFINITY);
        for interval in intervals {
            let Some((window, (began, ended))) =
                interval.window.ok().zip(self.span(interval.lower))
            else {
                continue;
            };
            earliest = earliest.max(ended + window.least_h);
            latest = latest.min(window.greatest_h.map_or(f64::INFINITY, |most| began + most));
        }
        let area = self.panel.area;
        let left = self.panel.across(earliest).max(area.left);
        if !earliest.is_finite() || left >= area.right {
            return false;
        }
        let right = self.panel.across(latest);
        // Nothing keeps a window that closes before it opens: its two ends show that.
        let goes_on = !right.is_finite() || right > area.right;
        let right = if goes_on { area.right } else { right.max(area.left) };
        bracket(canvas, (left, right), self.y, goes_on, pen);
        true
    }
}
