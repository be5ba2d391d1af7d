//! The worst of the climate during each application.

use serde::Serialize;

use super::outcome;
use crate::findings::Examined;
use crate::findings::recomputed::coating::climate::Weather;
use crate::records::Project;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Row {
    name: Narrow,
    margin: Option<String>,
    margin_at: Option<String>,
    margin_outcome: Option<&'static str>,
    humidity: Option<String>,
    humidity_at: Option<String>,
    humidity_outcome: Option<&'static str>,
    steel: Option<String>,
    age: Option<String>,
    age_outcome: Option<&'static str>,
}

/// The limits in force, with their units.
#[derive(Serialize)]
pub(super) struct Limits {
    margin: Option<String>,
    humidity: Option<String>,
    age: Option<String>,
}

pub(super) fn limits(project: &Project) -> Limits {
    let limit = |name: &str| project.docking.bounds.limit(name).map(text::bound);
    Limits {
        margin: limit("dew_point_margin"),
        humidity: limit("humidity"),
        age: limit("climate_age"),
    }
}

pub(super) fn rows(examined: &Examined) -> Vec<Row> {
    let coats = examined.project.coats.iter().zip(&examined.recomputed.coating.weather);
    coats
        .map(|(coat, weather)| {
            let worst = weather.worst.unwrap_or_default();
            let id = |what: &str| format!("coating.{}.climate.{what}", coat.name);
            let at = |number: usize| at(examined, weather, number);
            let steel = worst.coldest_steel_c.zip(worst.warmest_steel_c);
            Row {
                name: Narrow::new(&coat.name),
                margin: worst.least_margin_k.map(|(k, _)| text::number(k, 2)),
                margin_at: worst.least_margin_k.and_then(|(_, number)| at(number)),
                margin_outcome: outcome(examined, &id("margin")),
                humidity: worst.highest_humidity_pct.map(|(pct, _)| text::number(pct, 1)),
                humidity_at: worst.highest_humidity_pct.and_then(|(_, number)| at(number)),
                humidity_outcome: outcome(examined, &id("humidity")),
                steel: steel.map(|((cold, _), (warm, _))| {
                    format!("{} to {}", text::number(cold, 1), text::number(warm, 1))
                }),
                age: worst.age_h.map(|age| text::number(age, 1)),
                age_outcome: outcome(examined, &id("age")),
            }
        })
        .collect()
}

/// When a reading was taken, without its offset, which is that of the application beside it.
fn at(examined: &Examined, weather: &Weather, number: usize) -> Option<String> {
    let reading = examined.project.climate.get(weather.reading(number)?)?;
    Some(reading.at.format("%m-%d %H:%M").to_string())
}
