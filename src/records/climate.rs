//! `coating/climate.csv`: readings of air and steel.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::input::Input;
use super::problem::Problem;
use super::record::record;
use super::spec::{Holds, Kind, Range};
use crate::units::Quantity;

const TEMPERATURE: Holds = Holds::Measure(Quantity::Temperature, Range::Any);

record! {
    #[derive(Debug, Clone)]
    pub struct Climate: SPEC = "a climate reading" in "coating/climate.csv" {
        at: DateTime<FixedOffset> = always("at", Time, "when it was read"),
        zone: Option<Arc<str>> = optional("zone", Ref(Kind::Zone), "the zone; if empty, the reading \
             serves all zones"),
        air_c: Option<f64> = optional("air_temperature", TEMPERATURE, "temperature of the air"),
        humidity_pct: Option<f64> = optional(
            "humidity",
            Measure(Quantity::Ratio, Range::NotNegative),
            "relative humidity, up to 100 %",
        ),
        steel_c: Option<f64> = optional("steel_temperature", TEMPERATURE, "temperature of the steel"),
        dew_point_c: Option<f64> = optional("dew_point", TEMPERATURE, "dew point as recorded"),
        by: Option<Arc<str>> = optional("by", Called, "who read it"),
    }
}

impl Climate {
    /// Whether the reading applies to a zone.
    pub fn serves(&self, zone: &str) -> bool {
        self.zone.as_deref().is_none_or(|own| own == zone)
    }

    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let humidity_pct: Option<f64> = entry.get(&Self::humidity_pct);
        if humidity_pct.is_some_and(|humidity_pct| humidity_pct > 100.0) {
            input.problems.add(
                Problem::new(entry.place_of(&Self::humidity_pct), "is not a relative humidity")
                    .value(entry.as_written(&Self::humidity_pct))
                    .expected("0 to 100 %")
                    .advice("correct the reading; it is in per cent"),
            );
        }
        Self::from_entry(entry)
    }
}
