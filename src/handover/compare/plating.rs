//! How fast the plating is lost, from the gaugings of both dockings, and how long it lasts.

use chrono::NaiveDate;
use serde::Serialize;

use super::number;
use crate::calc::plating::{allowed_loss_m, rate_m_per_year, years_left};
use crate::calc::years;
use crate::findings::Examined;
use crate::findings::recomputed::plating::plate;
use crate::records::plating::{Gauging, PlateLimit};

/// Originals that differ by more are those of two plates, m (our choice).
const SAME_ORIGINAL_M: f64 = 0.0001;

/// The plating of both dockings.
#[derive(Debug, Clone, Serialize)]
pub struct Plating {
    /// Gaugings then.
    pub older_gaugings: usize,
    /// Gaugings now.
    pub newer_gaugings: usize,
    /// The strakes that are gauged now, in the order of the file.
    pub strakes: Vec<Strake>,
    /// Strakes that were gauged then only.
    pub older_alone: Vec<String>,
}

/// A strake.
#[derive(Debug, Clone, Serialize)]
pub struct Strake {
    /// Its name.
    pub strake: String,
    /// How many of its gaugings give a rate.
    pub rates: usize,
    /// Mean of these rates, m a year; readings that grew within the tolerance count as less than nothing.
    #[serde(serialize_with = "number::maybe")]
    pub mean_rate_m_per_year: Option<f64>,
    /// The greatest of them, m a year.
    #[serde(serialize_with = "number::maybe")]
    pub greatest_rate_m_per_year: Option<f64>,
    /// The plate that has it.
    pub greatest_rate_at: Option<String>,
    /// The least of the years that its plates have left, each at its own rate.
    #[serde(serialize_with = "number::maybe")]
    pub years_left: Option<f64>,
    /// The plate that has them.
    pub years_left_at: Option<String>,
    /// Years until its plate that is nearest its limit reaches it at the mean rate, of all that are gauged now.
    #[serde(serialize_with = "number::maybe")]
    pub years_left_at_mean_rate: Option<f64>,
    /// That plate.
    pub first_at_mean_rate: Option<String>,
    /// Its gaugings now.
    pub plates: Vec<Gauged>,
}

/// How a gauging now stands against the one then.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wear {
    /// It gives a rate.
    Rate,
    /// The plate, or that place on it, was not gauged then.
    NotGaugedThen,
    /// Another original thickness is recorded now: another plate.
    Renewed,
    /// It reads thicker than then by more than the tolerance: renewed, or gauged elsewhere.
    Thicker,
    /// The days of the gaugings are not recorded, or do not follow each other.
    NoSpan,
}

impl Wear {
    /// Its words.
    pub fn words(self) -> &'static str {
        match self {
            Wear::Rate => "",
            Wear::NotGaugedThen => "not gauged then",
            Wear::Renewed => "another original: renewed",
            Wear::Thicker => "thicker than then",
            Wear::NoSpan => "days not recorded",
        }
    }
}

/// A gauging now, and the nearest of the same plate then.
#[derive(Debug, Clone, Serialize)]
pub struct Gauged {
    /// The plate.
    pub plate: String,
    /// x of the gauging now, m.
    #[serde(serialize_with = "number::maybe")]
    pub x_m: Option<f64>,
    /// y of the gauging now, m.
    #[serde(serialize_with = "number::maybe")]
    pub y_m: Option<f64>,
    /// From the place of the gauging then to that of now, m.
    #[serde(serialize_with = "number::maybe")]
    pub apart_m: Option<f64>,
    /// The day of the gauging then; that of the docking where it has none.
    pub older_on: Option<NaiveDate>,
    /// The day of the gauging now; that of the docking where it has none.
    pub newer_on: Option<NaiveDate>,
    /// Thickness then, m.
    #[serde(serialize_with = "number::maybe")]
    pub older_m: Option<f64>,
    /// Thickness now, m.
    #[serde(serialize_with = "number::plain")]
    pub newer_m: f64,
    /// The thickness at which it reaches its limit, m.
    #[serde(serialize_with = "number::maybe")]
    pub limit_m: Option<f64>,
    /// Rate of loss, m a year.
    #[serde(serialize_with = "number::maybe")]
    pub rate_m_per_year: Option<f64>,
    /// Years from the gauging now until it reaches its limit at that rate; 0 beyond it.
    #[serde(serialize_with = "number::maybe")]
    pub years_left: Option<f64>,
    /// Whether there is a rate, and why not.
    pub wear: Wear,
}

/// Compares them.
pub(super) fn compare(older: &Examined, newer: &Examined) -> Plating {
    let was = &older.project.plating;
    let is = &newer.recomputed.strakes;
    let known = |name: &str| is.iter().any(|strake| strake.name == name);
    let alone = older.recomputed.strakes.iter().filter(|strake| !known(&strake.name));
    Plating {
        older_gaugings: was.len(),
        newer_gaugings: newer.project.plating.len(),
        strakes: is.iter().map(|known| strake(older, newer, &known.name)).collect(),
        older_alone: alone.map(|strake| strake.name.clone()).collect(),
    }
}

fn strake(older: &Examined, newer: &Examined, name: &str) -> Strake {
    let then: Vec<&Gauging> =
        older.project.plating.iter().filter(|gauging| gauging.strake == name).collect();
    let now =
        newer.project.plating.iter().enumerate().filter(|(_, gauging)| gauging.strake == name);
    let mut taken = Vec::new();
    let plates: Vec<Gauged> = now
        .map(|(at, gauging)| {
            let met = nearest(&then, gauging, &taken);
            taken.extend(met.map(|(number, _)| number));
            gauged(older, newer, at, met.map(|(number, apart_m)| (then[number], apart_m)))
        })
        .collect();
    let rates: Vec<(&Gauged, f64)> =
        plates.iter().filter_map(|plate| Some((plate, plate.rate_m_per_year?))).collect();
    let mean = (!rates.is_empty())
        .then(|| rates.iter().map(|(_, rate)| rate).sum::<f64>() / rates.len() as f64);
    let greatest = rates.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let left = plates.iter().filter_map(|plate| Some((plate, plate.years_left?)));
    let least = left.min_by(|a, b| a.1.total_cmp(&b.1));
    let at_mean = mean.and_then(|mean| {
        let left = |plate: &Gauged| years_left(plate.newer_m, plate.limit_m?, mean);
        let all = plates.iter().filter_map(|plate| Some((plate, left(plate)?)));
        all.min_by(|a, b| a.1.total_cmp(&b.1))
    });
    Strake {
        strake: name.to_string(),
        rates: rates.len(),
        mean_rate_m_per_year: mean,
        greatest_rate_m_per_year: greatest.map(|(_, rate)| *rate),
        greatest_rate_at: greatest.map(|(plate, _)| plate.plate.clone()),
        years_left: least.map(|(_, years)| years),
        years_left_at: least.map(|(plate, _)| plate.plate.clone()),
        years_left_at_mean_rate: at_mean.map(|(_, years)| years),
        first_at_mean_rate: at_mean.map(|(plate, _)| plate.plate.clone()),
        plates,
    }
}

/// The gauging then of the same plate that lies nearest, with the distance; where no place is recorded the
/// first that is not taken.
fn nearest(then: &[&Gauging], now: &Gauging, taken: &[usize]) -> Option<(usize, Option<f64>)> {
    let of_plate = || then.iter().enumerate().filter(|(_, older)| older.plate == now.plate);
    let apart = |older: &Gauging| {
        let (was, is) = (older.hull?, now.hull?);
        Some(libm::hypot(was.x - is.x, was.y - is.y))
    };
    let placed = of_plate().filter_map(|(at, older)| Some((at, apart(older)?)));
    match placed.min_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((at, apart_m)) => Some((at, Some(apart_m))),
        None => of_plate().find(|(at, _)| !taken.contains(at)).map(|(at, _)| (at, None)),
    }
}

fn gauged(
    older: &Examined,
    newer: &Examined,
    at: usize,
    met: Option<(&Gauging, Option<f64>)>,
) -> Gauged {
    let now = &newer.project.plating[at];
    let newer_on = day(newer, now);
    let older_on = met.and_then(|(then, _)| day(older, then));
    let span = older_on.zip(newer_on).map(|(was, is)| years((is - was).num_days()));
    let limit_m = least_m(newer, at);
    let growth_m =
        newer.project.docking.bounds.tolerance("plate_thickness").map_or(0.0, |t| t.value);
    let rate = met
        .zip(span)
        .and_then(|((then, _), span)| rate_m_per_year(then.measured_m, now.measured_m, span));
    let wear = match met {
        None => Wear::NotGaugedThen,
        Some((then, _)) if is_another(then, now) => Wear::Renewed,
        Some((then, _)) if now.measured_m > then.measured_m + growth_m + 1e-9 => Wear::Thicker,
        Some(_) if rate.is_none() => Wear::NoSpan,
        Some(_) => Wear::Rate,
    };
    let rate_m_per_year = rate.filter(|_| wear == Wear::Rate);
    Gauged {
        plate: now.plate.clone(),
        x_m: now.hull.map(|hull| hull.x),
        y_m: now.hull.map(|hull| hull.y),
        apart_m: met.and_then(|(_, apart_m)| apart_m),
        older_on,
        newer_on,
        older_m: met.map(|(then, _)| then.measured_m),
        newer_m: now.measured_m,
        limit_m,
        // Beyond its limit it has none left, whatever its rate.
        years_left: limit_m.and_then(|least_m| {
            years_left(now.measured_m, least_m, rate_m_per_year.unwrap_or(0.0))
        }),
        rate_m_per_year,
        wear,
    }
}

fn is_another(then: &Gauging, now: &Gauging) -> bool {
    let originals = then.original_m.zip(now.original_m);
    originals.is_some_and(|(was, is)| (was - is).abs() > SAME_ORIGINAL_M)
}

/// The day of a gauging; the first day of the docking, else its last, where it has none.
fn day(examined: &Examined, gauging: &Gauging) -> Option<NaiveDate> {
    let (began, ended) = examined.project.docking.period;
    gauging.at.map(|at| at.date_naive()).or(began).or(ended)
}

/// The thickness at which a gauging reaches its limit, m; `None` without a limit, or without the original
/// that the limit counts from.
fn least_m(examined: &Examined, at: usize) -> Option<f64> {
    if let Some(plate) = plate(&examined.project, at) {
        return Some(plate.original_m - allowed_loss_m(plate.original_m, plate.limit?));
    }
    match examined.project.plating[at].limit? {
        PlateLimit::LeastThickness(least_m) => Some(least_m),
        _ => None,
    }
}
