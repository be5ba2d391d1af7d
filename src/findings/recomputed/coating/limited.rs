//! The air and the steel that a product's own limits are held against.

use super::zone::{hours, span_h};
use crate::records::Project;
use crate::records::climate::Climate;
use crate::records::coats::Application;

/// The readings that stand for an application against the limits of its product: those taken from its start to its finish;
/// where there is none, the nearest to it that serves. A reading before dawn says nothing of a coat that waited until the
/// steel was warm.
pub fn readings<'a>(
    project: &'a Project,
    coat: &Application,
    value: fn(&Climate) -> Option<f64>,
) -> Vec<(&'a Climate, f64)> {
    let Some((from_h, to_h)) = span_h(coat) else { return Vec::new() };
    let serving = || {
        let all = project.climate.iter().filter(|reading| reading.serves(&coat.zone));
        all.filter_map(|reading| Some((reading, value(reading)?)))
    };
    let off_h = |reading: &Climate| {
        let at_h = hours(reading.at);
        (from_h - at_h).max(at_h - to_h).max(0.0)
    };
    let least_h = serving().map(|(reading, _)| off_h(reading)).fold(f64::INFINITY, f64::min);
    serving().filter(|(reading, _)| off_h(reading) <= least_h).collect()
}
