//! The climate during each application.

use super::{hours, span_h};
use crate::calc::climate::{Reading, Worst, worst};
use crate::records::Project;
use crate::records::coats::Application;

/// The climate of one application.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// The readings that could count, by their places in the project's list.
    pub readings: Vec<usize>,
    /// The worst of them; numbers count in `readings`. `None` for an application without a time.
    pub worst: Option<Worst>,
}

impl Weather {
    /// The place in the project's list of a reading that [`Worst`] names.
    pub fn reading(&self, number: usize) -> Option<usize> {
        self.readings.get(number).copied()
    }
}

/// The climate of every application, in the order of the project's list.
pub(super) fn weather(project: &Project) -> Vec<Weather> {
    project.coats.iter().map(|coat| of(project, coat).unwrap_or_default()).collect()
}

/// That of one application; `None` where it has no time. Of all readings that serve it those from the last one
/// before it to the first one after it could count.
fn of(project: &Project, coat: &Application) -> Option<Weather> {
    let (from_h, to_h) = span_h(coat)?;
    let serving = || {
        let all = project.climate.iter().enumerate();
        all.filter(|(_, reading)| reading.serves(&coat.zone)).filter_map(|(at, reading)| {
            let (air_c, humidity_pct) = (reading.air_c?, reading.humidity_pct?);
            let at_h = hours(reading.at);
            Some((at, Reading { at_h, air_c, humidity_pct, steel_c: reading.steel_c }))
        })
    };
    let times = || serving().map(|(_, reading)| reading.at_h);
    let before_h = times().filter(|at| *at <= from_h).fold(f64::NEG_INFINITY, f64::max);
    let after_h = times().filter(|at| *at >= to_h).fold(f64::INFINITY, f64::min);
    let counting = serving().filter(|(_, reading)| (before_h..=after_h).contains(&reading.at_h));
    let (readings, list): (Vec<usize>, Vec<Reading>) = counting.unzip();
    let worst = Some(worst(&list, from_h, to_h));
    Some(Weather { readings, worst })
}
