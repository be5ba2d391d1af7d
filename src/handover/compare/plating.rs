//! How fast the plating is lost, from the gaugings of both dockings, and how long it lasts.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use super::shared::{self, greatest, ids_and, least, only_in};
use crate::calc::DAYS_IN_A_YEAR;
use crate::calc::plating::{allowed_loss_m, rate_m_per_year, years_left};
use crate::calc::years;
use crate::findings::Examined;
use crate::findings::recomputed::plating::plate;
use crate::pages::{Cell, Column, Medium, Section, Table};
use crate::records::plating::{Gauging, PlateLimit};
use crate::text;
use crate::text::{Form, Measure, Text, count, id};

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
    /// Mean of these rates, m a year; a reading that grew within the tolerance counts as a negative rate.
    #[serde(serialize_with = "shared::maybe")]
    pub mean_rate_m_per_year: Option<f64>,
    /// The greatest of them, m a year.
    #[serde(serialize_with = "shared::maybe")]
    pub greatest_rate_m_per_year: Option<f64>,
    /// The plate that has it.
    pub greatest_rate_at: Option<String>,
    /// The least of the years that its plates have left, each at its own rate.
    #[serde(serialize_with = "shared::maybe")]
    pub years_left: Option<f64>,
    /// The plate that has them.
    pub years_left_at: Option<String>,
    /// Years until its plate that is nearest its limit reaches it at the mean rate, of all that are gauged now.
    #[serde(serialize_with = "shared::maybe")]
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
    #[serde(serialize_with = "shared::maybe")]
    pub x_m: Option<f64>,
    /// y of the gauging now, m.
    #[serde(serialize_with = "shared::maybe")]
    pub y_m: Option<f64>,
    /// From the place of the gauging then to that of now, m.
    #[serde(serialize_with = "shared::maybe")]
    pub apart_m: Option<f64>,
    /// The day of the gauging then; that of the docking where it has none.
    pub older_on: Option<NaiveDate>,
    /// The day of the gauging now; that of the docking where it has none.
    pub newer_on: Option<NaiveDate>,
    /// Thickness then, m.
    #[serde(serialize_with = "shared::maybe")]
    pub older_m: Option<f64>,
    /// Thickness now, m.
    #[serde(serialize_with = "shared::plain")]
    pub newer_m: f64,
    /// The thickness at which it reaches its limit, m.
    #[serde(serialize_with = "shared::maybe")]
    pub limit_m: Option<f64>,
    /// Rate of loss, m a year.
    #[serde(serialize_with = "shared::maybe")]
    pub rate_m_per_year: Option<f64>,
    /// Years from the gauging now until it reaches its limit at that rate; 0 beyond it.
    #[serde(serialize_with = "shared::maybe")]
    pub years_left: Option<f64>,
    /// Whether there is a rate, and why not.
    pub wear: Wear,
}

pub(super) fn compare(older: &Examined, newer: &Examined) -> Plating {
    let was = &older.project.plating;
    let is = &newer.recomputed.strakes;
    let alone = only_in(&older.recomputed.strakes, is, |strake| &strake.name);
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
    let mut matched = Vec::new();
    let plates: Vec<Gauged> = now
        .map(|(at, gauging)| {
            let found = nearest(&then, gauging, &matched);
            matched.extend(found.map(|(number, _)| number));
            gauged(older, newer, at, found.map(|(number, apart_m)| (then[number], apart_m)))
        })
        .collect();
    let rates: Vec<f64> = plates.iter().filter_map(|plate| plate.rate_m_per_year).collect();
    let mean = (!rates.is_empty()).then(|| rates.iter().sum::<f64>() / rates.len() as f64);
    let fastest = greatest(&plates, |plate| plate.rate_m_per_year);
    let first = least(&plates, |plate| plate.years_left);
    let first_at_mean = least(&plates, |plate| years_left(plate.newer_m, plate.limit_m?, mean?));
    Strake {
        strake: name.to_string(),
        rates: rates.len(),
        mean_rate_m_per_year: mean,
        greatest_rate_m_per_year: fastest.map(|(_, rate)| rate),
        greatest_rate_at: fastest.map(|(plate, _)| plate.plate.clone()),
        years_left: first.map(|(_, years)| years),
        years_left_at: first.map(|(plate, _)| plate.plate.clone()),
        years_left_at_mean_rate: first_at_mean.map(|(_, years)| years),
        first_at_mean_rate: first_at_mean.map(|(plate, _)| plate.plate.clone()),
        plates,
    }
}

/// The gauging then of the same plate that lies nearest, with the distance in m; where no place is recorded the
/// first that is not matched yet.
fn nearest(then: &[&Gauging], now: &Gauging, matched: &[usize]) -> Option<(usize, Option<f64>)> {
    let of_plate = || then.iter().enumerate().filter(|(_, older)| older.plate == now.plate);
    let apart = |older: &Gauging| {
        let (was, is) = (older.hull?, now.hull?);
        Some(libm::hypot(was.x - is.x, was.y - is.y))
    };
    match least(of_plate(), |(_, older)| apart(older)) {
        Some(((at, _), apart_m)) => Some((at, Some(apart_m))),
        None => of_plate().find(|(at, _)| !matched.contains(at)).map(|(at, _)| (at, None)),
    }
}

fn gauged(
    older: &Examined,
    newer: &Examined,
    at: usize,
    then: Option<(&Gauging, Option<f64>)>,
) -> Gauged {
    let now = &newer.project.plating[at];
    let newer_on = day(newer, now);
    let older_on = then.and_then(|(then, _)| day(older, then));
    let span = older_on.zip(newer_on).map(|(was, is)| years((is - was).num_days()));
    let limit_m = least_m(newer, at);
    let growth_m =
        newer.project.docking.bounds.tolerance("plate_thickness").map_or(0.0, |t| t.value);
    let rate = then
        .zip(span)
        .and_then(|((then, _), span)| rate_m_per_year(then.measured_m, now.measured_m, span));
    let wear = match then {
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
        apart_m: then.and_then(|(_, apart_m)| apart_m),
        older_on,
        newer_on,
        older_m: then.map(|(then, _)| then.measured_m),
        newer_m: now.measured_m,
        limit_m,
        // Beyond its limit it has no years left, whatever its rate.
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

pub(super) fn section(plating: &Plating) -> Section {
    let rates: usize = plating.strakes.iter().map(|strake| strake.rates).sum();
    let mut section = Section::new("Plating");
    if rates == 0 {
        section.paragraph(match (plating.older_gaugings, plating.newer_gaugings) {
            (0, 0) => "No plate was gauged in either docking.",
            (0, _) => "No plate was gauged then, so no rate can be given.",
            (_, 0) => "No plate was gauged now, so no rate can be given.",
            _ => "Plates were gauged in both dockings, but no two gaugings give a rate.",
        });
        section.table(plates(plating));
        return section;
    }
    section.paragraph(fastest_and_first(plating, rates));
    without_rate(plating).into_iter().for_each(|sentence| {
        section.paragraph(sentence);
    });
    section.paragraph(
        "A rate is the thickness lost between the two gaugings of a plate over the years between their days, \
         a year being 365.25 days; years left are counted from the gauging now to the limit stated now. A \
         rate of the past need not be that of the future, and two readings of one plate may lie some \
         tenths of a millimetre apart by the gauge alone.",
    );
    let columns = [
        Column::name("Strake"),
        Column::figure("Rates"),
        Column::measure("Mean a year", Form::Plate),
        Column::measure("Greatest a year", Form::Plate),
        Column::name("at plate"),
        Column::figure("Years left"),
        Column::name("at plate"),
        Column::figure("Years left, at mean rate"),
        Column::name("at plate"),
    ];
    // Without a limit, or without a loss, there is no number of years to give.
    let plate = |plate: &Option<String>| Cell::if_any(plate.as_ref().map(id));
    let rows = plating.strakes.iter().filter(|strake| strake.rates > 0);
    let rows = rows.map(|strake| -> [Cell; 9] {
        [
            id(&strake.strake).into(),
            strake.rates.into(),
            Cell::if_any(strake.mean_rate_m_per_year.map(rate)),
            Cell::if_any(strake.greatest_rate_m_per_year.map(rate)),
            plate(&strake.greatest_rate_at),
            Cell::if_any(strake.years_left.map(few_years)),
            plate(&strake.years_left_at),
            Cell::if_any(strake.years_left_at_mean_rate.map(few_years)),
            plate(&strake.first_at_mean_rate),
        ]
    });
    section.table(Table::new(columns).rows(rows).about("Strake by strake:"));
    section.table(plates(plating));
    section
}

/// The strake that wastes fastest, and the plate that is first at its limit.
fn fastest_and_first(plating: &Plating, rates: usize) -> Text {
    let fastest = greatest(&plating.strakes, |strake| strake.mean_rate_m_per_year);
    let first = least(&plating.strakes, |strake| strake.years_left);
    let mut out = text!("{} gauged both times.", count(rates, "plate was", "plates were"));
    if let Some((strake, fastest)) = fastest {
        out.extend(text!(
            " Strake {} wastes fastest, {} a year on average.",
            id(&strake.strake),
            rate(fastest)
        ));
    }
    let first =
        first.and_then(|(strake, years)| Some((strake, years, strake.years_left_at.as_ref()?)));
    out.extend(match first {
        Some((strake, years, plate)) if years <= 0.0 => text!(
            " Plate {} of strake {} is at its limit or beyond.",
            id(plate),
            id(&strake.strake)
        ),
        Some((strake, years, plate)) => text!(
            " Plate {} of strake {} has the fewest years left to its limit at its own rate: {}{}.",
            id(plate),
            id(&strake.strake),
            in_years(years),
            year_of(strake, plate, years).map(|year| format!(", about {year}")).unwrap_or_default()
        ),
        None => text!(" No limit is stated now for a plate that is being lost."),
    });
    out
}

/// The year in which a plate reaches its limit, unless that is too far off to mean anything.
fn year_of(strake: &Strake, plate: &str, years: f64) -> Option<i32> {
    const FAR: f64 = 200.0;
    let is_it = |gauged: &&Gauged| gauged.plate == plate && gauged.years_left == Some(years);
    let on = strake.plates.iter().find(is_it)?.newer_on?;
    let days = (years < FAR).then_some(years * DAYS_IN_A_YEAR)?;
    Some((on + chrono::Duration::days(days as i64)).year())
}

/// Gaugings that give no rate, and strakes that are not gauged now.
fn without_rate(plating: &Plating) -> Vec<Text> {
    let all = || plating.strakes.iter().flat_map(|strake| &strake.plates);
    let reasons = [
        (Wear::NotGaugedThen, "the plate was not gauged then"),
        (Wear::Renewed, "another original thickness is recorded: a renewed plate"),
        (
            Wear::Thicker,
            "it reads thicker than then by more than the tolerance: renewed, or gauged elsewhere",
        ),
        (Wear::NoSpan, "the days of the gaugings are not recorded, or do not follow each other"),
    ];
    let counted = reasons.into_iter().filter_map(|(wear, why)| {
        match all().filter(|plate| plate.wear == wear).count() {
            0 => None,
            n => Some(text!(
                "{} no rate, since {}.",
                count(n, "gauging gives", "gaugings give"),
                why
            )),
        }
    });
    let mut sentences: Vec<Text> = counted.collect();
    if !plating.older_alone.is_empty() {
        sentences.push(text!("Gauged then only: strake {}.", ids_and(&plating.older_alone)));
    }
    sentences
}

/// Every gauging now that is matched with one of then.
fn plates(plating: &Plating) -> Table {
    let columns = [
        Column::name("Strake"),
        Column::name("Plate"),
        Column::measure("x", Form::Length),
        Column::measure("Apart", Form::Length),
        Column::name("Gauged then"),
        Column::measure("Then", Form::Plate),
        Column::name("Gauged now"),
        Column::measure("Now", Form::Plate),
        Column::measure("Rate a year", Form::Plate),
        Column::measure("Limit", Form::Plate),
        Column::figure("Years left"),
        Column::text("Note"),
    ];
    let metres = |value_m: f64| Form::Length.measure(value_m).decimals(2);
    let thick = |value_m: f64| Form::Plate.measure(value_m).decimals(1);
    let plates = plating.strakes.iter();
    let plates = plates.flat_map(|strake| strake.plates.iter().map(move |plate| (strake, plate)));
    let matched = plates.filter(|(_, plate)| plate.wear != Wear::NotGaugedThen);
    let rows = matched.map(|(strake, plate)| -> [Cell; 12] {
        [
            id(&strake.strake).into(),
            id(&plate.plate).into(),
            plate.x_m.map(metres).into(),
            Cell::if_any(plate.apart_m.map(metres)),
            plate.older_on.map(|day| day.to_string()).into(),
            plate.older_m.map(thick).into(),
            plate.newer_on.map(|day| day.to_string()).into(),
            thick(plate.newer_m).into(),
            Cell::if_any(plate.rate_m_per_year.map(rate)),
            Cell::if_any(plate.limit_m.map(thick)),
            Cell::if_any(plate.years_left.map(few_years)),
            plate.wear.words().into(),
        ]
    });
    Table::new(columns)
        .rows(rows)
        .about("Plates that were gauged then and now:")
        .small()
        .on(Medium::Paper)
}

/// What is lost in a year.
fn rate(rate_m_per_year: f64) -> Measure {
    Form::Plate.measure(rate_m_per_year).decimals(3)
}

/// Years to a tenth where they are few.
fn few_years(years: f64) -> String {
    text::number(years, if years < 10.0 { 1 } else { 0 })
}

fn in_years(left: f64) -> String {
    match few_years(left).as_str() {
        "1.0" => "1 year".to_string(),
        many => format!("{many} years"),
    }
}
