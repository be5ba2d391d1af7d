//! The climate of each application, and recorded dew points against recomputed ones.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{ApplicationFindings, Coats};
use crate::calc::climate::{COUNTED, DEW_POINT, MARGIN, dew_point_c};
use crate::findings::finding::{Figure, Finding, Outcome};
use crate::findings::judge::{self, Side};
use crate::records::climate::Climate;
use crate::text;

impl ApplicationFindings<'_> {
    pub(super) fn climate(&self) -> Vec<Finding> {
        vec![self.margin(), self.humidity(), self.age()]
    }

    fn margin(&self) -> Finding {
        let Some(limit) = self.project().docking.bounds.limit("dew_point_margin") else {
            return self.not_timed("climate.margin");
        };
        let worst = self.applied().climate.and_then(|worst| worst.least_margin_k);
        let (sentence, outcome) = match worst {
            None => (
                text!(
                    "How far the steel was above the dew point for {} is not known.",
                    self.words()
                ),
                Outcome::NotRecorded,
            ),
            Some((margin, _)) if judge::falls_short(margin, limit.value) => (
                text!(
                    "For {} the steel was only {} above the dew point at worst.",
                    self.words(),
                    Figure::temperature_difference(margin).apart_from(&Figure::bound(limit))
                ),
                Outcome::BeyondLimit,
            ),
            Some((margin, _)) => (
                text!(
                    "For {} the steel was {} above the dew point at worst.",
                    self.words(),
                    Figure::temperature_difference(margin)
                ),
                Outcome::Agrees,
            ),
        };
        Finding::new(self.id("climate.margin"), sentence, outcome)
            .recomputed(worst.map(|(margin, _)| Figure::temperature_difference(margin)))
            .against(limit)
            .by(&MARGIN)
            .from([&self.coat.place])
            .from(self.reading(worst).map(|reading| &reading.place))
    }

    fn humidity(&self) -> Finding {
        let Some(limit) = self.project().docking.bounds.limit("humidity") else {
            return self.not_timed("climate.humidity");
        };
        let worst = self.applied().climate.and_then(|worst| worst.highest_humidity_pct);
        let (sentence, outcome) = match worst {
            None => {
                (text!("The humidity for {} is not known.", self.words()), Outcome::NotRecorded)
            }
            Some((humidity, _)) => (
                text!(
                    "For {} the humidity was {} at worst.",
                    self.words(),
                    Figure::ratio(humidity).apart_from(&Figure::bound(limit))
                ),
                judge::hold(humidity, limit.value, Side::AtMost),
            ),
        };
        Finding::new(self.id("climate.humidity"), sentence, outcome)
            .recorded(worst.map(|(humidity, _)| Figure::ratio(humidity)))
            .against(limit)
            .by(&COUNTED)
            .from([&self.coat.place])
            .from(self.reading(worst).map(|reading| &reading.place))
    }

    fn age(&self) -> Finding {
        let Some(limit) = self.project().docking.bounds.limit("climate_age") else {
            return self.not_timed("climate.age");
        };
        let age = self.applied().climate.and_then(|worst| worst.age_h);
        let (sentence, outcome) = match age {
            None => (text!("No climate reading serves {}.", self.words()), Outcome::NotRecorded),
            Some(age) => (
                text!(
                    "No moment of {} was further than {} from a climate reading.",
                    self.words(),
                    Figure::duration(age).apart_from(&Figure::bound(limit))
                ),
                judge::hold(age, limit.value, Side::AtMost),
            ),
        };
        Finding::new(self.id("climate.age"), sentence, outcome)
            .recomputed(age.map(Figure::duration))
            .against(limit)
            .by(&COUNTED)
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
                    Finding::new(format!("climate.{day}.dew_point"), sentence, outcome)
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
