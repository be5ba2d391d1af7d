//! What a finding compares: a measure, a count, or words.

use std::fmt;

use chrono::DateTime;

use super::measure::{Form, Measure, System};
use super::sentence::{Piece, Text, ToText};
use crate::records::bounds::Bound;

/// A figure or a text that is compared.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// A number with a unit.
    Measure(Measure),
    /// How many.
    Count(u64),
    /// Words, which may name measures.
    Words(Text),
}

impl Figure {
    /// A length in m.
    pub fn length(kept_m: f64) -> Self {
        Self::Measure(Measure::new(kept_m, Form::Length))
    }

    /// A draft in m.
    pub fn draft(kept_m: f64) -> Self {
        Self::Measure(Measure::new(kept_m, Form::Draft))
    }

    /// The thickness of a film or a profile in m.
    pub fn film(kept_m: f64) -> Self {
        Self::Measure(Measure::new(kept_m, Form::Film))
    }

    /// A plate's thickness or loss in m.
    pub fn plate(kept_m: f64) -> Self {
        Self::Measure(Measure::new(kept_m, Form::Plate))
    }

    /// An area in m².
    pub fn area(kept_m2: f64) -> Self {
        Self::Measure(Measure::new(kept_m2, Form::Area))
    }

    /// An angle in degrees.
    pub fn angle(kept_deg: f64) -> Self {
        Self::Measure(Measure::new(kept_deg, Form::Angle))
    }

    /// A mass in t.
    pub fn mass(kept_t: f64) -> Self {
        Self::Measure(Measure::new(kept_t, Form::Mass))
    }

    /// A small mass in t, shown in kilograms or pounds.
    pub fn kilograms(kept_t: f64) -> Self {
        Self::Measure(Measure::new(kept_t, Form::Kilograms))
    }

    /// A pressure in kPa.
    pub fn pressure(kept_kpa: f64) -> Self {
        Self::Measure(Measure::new(kept_kpa, Form::Pressure))
    }

    /// A ratio in per cent.
    pub fn ratio(kept_pct: f64) -> Self {
        Self::Measure(Measure::new(kept_pct, Form::Ratio))
    }

    /// A length of time in hours.
    pub fn duration(kept_h: f64) -> Self {
        Self::Measure(Measure::new(kept_h, Form::Duration))
    }

    /// A temperature in degrees Celsius.
    pub fn temperature(kept_c: f64) -> Self {
        Self::Measure(Measure::new(kept_c, Form::Temperature))
    }

    /// A difference of temperatures in kelvins.
    pub fn temperature_difference(kept_k: f64) -> Self {
        Self::Measure(Measure::new(kept_k, Form::TemperatureDifference))
    }

    /// The value of a limit or tolerance with all the digits that were stated.
    pub fn bound(bound: &Bound) -> Self {
        let form = Form::in_unit(bound.printed_unit());
        Self::Measure(Measure::new(bound.value, form).as_stated())
    }

    /// Words.
    pub fn words(words: impl Into<Text>) -> Self {
        Self::Words(words.into())
    }

    /// The measure, if it is one.
    pub fn measure(&self) -> Option<Measure> {
        match self {
            Figure::Measure(measure) => Some(*measure),
            _ => None,
        }
    }

    /// A measure as it was stated; anything else as it is.
    pub fn as_stated(self) -> Self {
        match self {
            Self::Measure(measure) => Self::Measure(measure.as_stated()),
            other => other,
        }
    }

    /// The same figure, not printed like another of its unit from which it differs.
    pub fn apart_from(self, other: &Figure) -> Self {
        match (&self, other) {
            (Self::Measure(measure), Self::Measure(other)) => {
                Self::Measure(measure.apart_from(other))
            }
            _ => self,
        }
    }

    /// The suffix of its unit in SI units, where there is one.
    pub fn unit(&self) -> Option<&'static str> {
        Some(self.measure()?.form.unit(System::Si).suffix)
    }

    /// The figure without its unit, as `findings.json` and `findings.csv` give it.
    pub fn plain(&self) -> String {
        match self {
            Figure::Measure(measure) => measure.plain(),
            Figure::Count(count) => count.to_string(),
            Figure::Words(words) => words.to_string(),
        }
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Figure::Measure(measure) => measure.fmt(f),
            _ => f.write_str(&self.plain()),
        }
    }
}

impl From<&Figure> for Text {
    fn from(figure: &Figure) -> Self {
        match figure {
            Figure::Measure(measure) => Text::from(*measure),
            Figure::Count(count) => Text::from(*count),
            // A point in time is compared as it is written, and shown as every other.
            Figure::Words(words) => match DateTime::parse_from_rfc3339(&words.to_string()) {
                Ok(time) => Text::from(Piece::Time(time)),
                Err(_) => words.clone(),
            },
        }
    }
}

impl ToText for Figure {
    fn to_text(&self) -> Text {
        self.into()
    }
}
