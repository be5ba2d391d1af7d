//! `coating/climate.csv`: readings of air and steel.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

const TEMPERATURE: Holds = Holds::Measure(Quantity::Temperature, Range::Any);

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "coating/climate.csv",
    row_is: "a climate reading",
    example: include_str!("../../templates/example/coating/climate.csv"),
    columns: &[
        Column::always("at", Holds::Time, "when it was read"),
        Column::optional("zone", Holds::Ref(Kind::Zone), "the zone; if empty it serves all"),
        Column::optional("air_temperature", TEMPERATURE, "temperature of the air"),
        Column::optional(
            "humidity",
            Holds::Measure(Quantity::Ratio, Range::NotNegative),
            "relative humidity, up to 100 %",
        ),
        Column::optional("steel_temperature", TEMPERATURE, "temperature of the steel"),
        Column::optional("dew_point", TEMPERATURE, "dew point as it was written down"),
        Column::optional("by", Holds::Called, "who read it"),
    ],
};

/// A climate reading.
#[derive(Debug, Clone)]
pub struct Climate {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The zone; `None` if it serves all.
    pub zone: Option<Arc<str>>,
    /// Temperature of the air, degrees Celsius.
    pub air_c: Option<f64>,
    /// Relative humidity, per cent.
    pub humidity_pct: Option<f64>,
    /// Temperature of the steel, degrees Celsius.
    pub steel_c: Option<f64>,
    /// Dew point as written down, degrees Celsius.
    pub dew_point_c: Option<f64>,
    /// Who read it.
    pub by: Option<Arc<str>>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Climate {
    /// Whether it speaks for a zone.
    pub fn serves(&self, zone: &str) -> bool {
        self.zone.as_deref().is_none_or(|own| own == zone)
    }

    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        if entry.number("humidity").is_some_and(|humidity| humidity > 100.0) {
            problems.add(
                Problem::new(entry.place_of("humidity"), "is not a relative humidity")
                    .value(entry.as_written("humidity"))
                    .expected("0 to 100 per cent")
                    .advice("write the reading in per cent"),
            );
        }
        Some(Self {
            at: entry.time("at")?,
            zone: entry.shared("zone"),
            air_c: entry.number("air_temperature"),
            humidity_pct: entry.number("humidity"),
            steel_c: entry.number("steel_temperature"),
            dew_point_c: entry.number("dew_point"),
            by: entry.shared("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
