//! The climate during each application.

use super::{hours, span_h};
use crate::calc::climate::{Reading, Worst, worst};
use crate::records::Project;

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
    project
        .coats
        .iter()
        .map(|coat| {
            let serving = project.climate.iter().enumerate();
            let (readings, list): (Vec<usize>, Vec<Reading>) = serving
                .filter(|(_, reading)| reading.serves(&coat.zone))
                .filter_map(|(at, reading)| {
                    let (air_c, humidity_pct) = (reading.air_c?, reading.humidity_pct?);
                    let at_h = hours(reading.at);
                    Some((at, Reading { at_h, air_c, humidity_pct, steel_c: reading.steel_c }))
                })
                .unzip();
            let worst = span_h(coat).map(|(from, to)| worst(&list, from, to));
            Weather { readings, worst }
        })
        .collect()
}
