//! The climate of each application, and recorded dew points against recomputed ones.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{ApplicationFindings, Coats};
use crate::calc::climate::{COUNTED, DEW_POINT, MARGIN, dew_point_c};
use crate::findings::finding::{Figure, Finding, Outcome};
use crate::findings::judge::{self, Limited, Side};
use crate::findings::subject::Subject;
use crate::records::climate::Climate;
use crate::text;
use crate::text::{Form, Measure, Text};

impl ApplicationFindings<'_> {
    pub(super) fn climate(&self) -> Vec<Finding> {
        vec![self.margin(), self.humidity(), self.age()]
    }

    fn margin(&self) -> Finding {
        let worst = self.applied().climate.and_then(|worst| worst.least_margin_k);
        self.held(
            "dew_point_margin",
            Subject::ClimateMargin,
            text!("the steel's least margin over the dew point for {}", self.words()),
            worst.map(|(kept, _)| Form::TemperatureDifference.measure(kept)),
            Side::AtLeast,
        )
        .by(&MARGIN)
        .from(self.reading(worst).map(|reading| &reading.place))
    }

    fn humidity(&self) -> Finding {
        let worst = self.applied().climate.and_then(|worst| worst.highest_humidity_pct);
        let highest = worst.map(|(kept, _)| Form::Ratio.measure(kept));
        self.held(
            "humidity",
            Subject::ClimateHumidity,
            text!("the highest humidity for {}", self.words()),
            highest,
            Side::AtMost,
        )
        // It was read, and not worked out.
        .recorded(highest.map(Figure::Measure))
        .recomputed(None)
        .by(&COUNTED)
        .from(self.reading(worst).map(|reading| &reading.place))
    }

    fn age(&self) -> Finding {
        let age = self.applied().climate.and_then(|worst| worst.age_h);
        self.held(
            "climate_age",
            Subject::ClimateAge,
            text!("the longest time from {} to a climate reading", self.words()),
            age.map(|kept| Form::Duration.measure(kept)),
            Side::AtMost,
        )
        .by(&COUNTED)
    }

    /// The worst of an application's climate against its limit.
    fn held(
        &self,
        limit: &str,
        about: fn(String) -> Subject,
        subject: Text,
        worst: Option<Measure>,
        side: Side,
    ) -> Finding {
        let limit = self.project().docking.bounds.limit(limit);
        Limited {
            subject,
            value: worst.ok_or_else(|| match self.coat.began {
                Some(_) => text!("no climate reading that serves it gives it"),
                None => text!("when it was applied was not recorded"),
            }),
            limit: limit.map(|limit| (limit.into(), side)),
        }
        .finding(self.about(about))
        .from([&self.coat.place])
    }

    /// The reading that a worst figure comes from.
    fn reading(&self, worst: Option<(f64, usize)>) -> Option<&Climate> {
        let at = self.applied().readings.get(worst?.1)?;
        self.project().climate.get(*at)
    }
}

impl Coats<'_> {
    /// Dew points as written down against those recomputed, day by day.
    pub(super) fn dew_points(&self) -> Vec<Finding> {
        let Some(tolerance) = self.project.docking.bounds.tolerance("dew_point") else {
            return Vec::new();
        };
        let mut days: BTreeMap<NaiveDate, Vec<(&Climate, f64, f64)>> = BTreeMap::new();
        for reading in &self.project.climate {
            let (Some(air), Some(humidity), Some(recorded)) =
                (reading.air_c, reading.humidity_pct, reading.dew_point_c)
            else {
                continue;
            };
            if let Some(recomputed) = dew_point_c(air, humidity) {
                let day = reading.at.date_naive();
                days.entry(day).or_default().push((reading, recorded, recomputed));
            }
        }
        days.into_iter()
            .filter_map(|(day, readings)| {
                let off = |one: &(&Climate, f64, f64)| (one.1 - one.2).abs();
                let worst = readings
                    .iter()
                    .reduce(|known, new| if off(new) > off(known) { new } else { known })?;
                let outcome = judge::compare(worst.1, worst.2, tolerance.value);
                let sentence = match outcome {
                    Outcome::Agrees => text!(
                        "The dew points recorded on {} agree with air and humidity, {} at worst.",
                        day,
                        Figure::temperature_difference(off(worst))
                    ),
                    _ => text!(
                        "A dew point recorded on {} is {} from what air and humidity give.",
                        day,
                        Figure::temperature_difference(off(worst))
                    ),
                };
                Some(
                    Finding::new(Subject::DewPoints(day.to_string()), sentence, outcome)
                        .recorded(Figure::temperature(worst.1))
                        .recomputed(Figure::temperature(worst.2))
                        .against(tolerance)
                        .by(&DEW_POINT)
                        .from([&worst.0.place]),
                )
            })
            .collect()
    }
}
