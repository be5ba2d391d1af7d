//! How fast the plating is lost, from the gaugings of both dockings, and how long it lasts.

use std::collections::BTreeSet;

use chrono::{Datelike, NaiveDate};
use geo::Coord;
use serde::Serialize;

use super::shared::{self, greatest, ids_and, least, only_in};
use crate::calc::DAYS_IN_A_YEAR;
use crate::calc::plating::years_left;
use crate::findings::Examined;
pub use crate::findings::recomputed::plating::Wear;
use crate::findings::recomputed::plating::{Worn, worn};
use crate::hull::Frames;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::plating::Gauging;
use crate::report::figures::{Wasted, WastedPlate, WastedStrake, letter};
use crate::text;
use crate::text::{Form, Measure, Text, count, id, nearest_frame};

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
    /// Gaugings then of plates that are not gauged now.
    pub older_without_newer: usize,
    /// Years from the first day of the older docking to that of the newer.
    #[serde(skip)]
    years_between: Option<f64>,
    /// The newer docking's frames.
    #[serde(skip)]
    frames: Option<Frames>,
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

pub(super) fn compare(older: &Examined, newer: &Examined, years_between: Option<f64>) -> Plating {
    let was = &older.project.plating;
    let is = &newer.recomputed.strakes;
    let alone = only_in(&older.recomputed.strakes, is, |strake| &strake.name);
    let gauged_now: BTreeSet<(&str, &str)> = newer
        .project
        .plating
        .iter()
        .map(|gauging| (gauging.strake.as_str(), gauging.plate.as_str()))
        .collect();
    let without = was
        .iter()
        .filter(|gauging| !gauged_now.contains(&(gauging.strake.as_str(), gauging.plate.as_str())));
    Plating {
        older_gaugings: was.len(),
        newer_gaugings: newer.project.plating.len(),
        strakes: is.iter().map(|known| strake(older, newer, &known.name)).collect(),
        older_alone: alone.map(|strake| strake.name.clone()).collect(),
        older_without_newer: without.count(),
        years_between: years_between.filter(|years| *years > 0.0),
        frames: newer.project.docking.frames.clone(),
    }
}

fn strake(older: &Examined, newer: &Examined, name: &str) -> Strake {
    let worn = worn(&older.project, &newer.project, name);
    let plates: Vec<Gauged> =
        worn.into_iter().map(|worn| gauged(&newer.project.plating[worn.gauging], worn)).collect();
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

fn gauged(now: &Gauging, worn: Worn) -> Gauged {
    Gauged {
        plate: now.plate.clone(),
        x_m: now.hull.map(|hull| hull.x),
        y_m: now.hull.map(|hull| hull.y),
        apart_m: worn.apart_m,
        older_on: worn.older_on,
        newer_on: worn.newer_on,
        older_m: worn.older_m,
        newer_m: now.measured_m,
        limit_m: worn.limit_m,
        // Beyond its limit it has no years left, whatever its rate.
        years_left: worn.limit_m.and_then(|least_m| {
            years_left(now.measured_m, least_m, worn.rate_m_per_year.unwrap_or(0.0))
        }),
        rate_m_per_year: worn.rate_m_per_year,
        wear: worn.wear,
    }
}

/// Plates that reach their limit, at their own rate, before as many years have passed again as lay between the two
/// dockings, or have reached it; the first first, and at most so many as can be lettered.
fn soon(plating: &Plating) -> Vec<(&Strake, &Gauged)> {
    const MOST: usize = 26;
    let Some(years) = plating.years_between else { return Vec::new() };
    let all = plating.strakes.iter();
    let all = all.flat_map(|strake| strake.plates.iter().map(move |plate| (strake, plate)));
    let mut soon: Vec<(f64, (&Strake, &Gauged))> = all
        .filter(|(_, plate)| plate.wear != Wear::NotGaugedThen)
        .filter_map(|one| Some((one.1.years_left.filter(|left| *left <= years)?, one)))
        .collect();
    soon.sort_by(|a, b| a.0.total_cmp(&b.0));
    soon.truncate(MOST);
    soon.into_iter().map(|(_, one)| one).collect()
}

/// What the drawing of the wastage shows: the plates that were gauged both times.
pub(super) fn wasted(plating: &Plating) -> Vec<WastedStrake<'_>> {
    let soon = soon(plating);
    plating
        .strakes
        .iter()
        .map(|one| {
            let both = one.plates.iter().filter(|plate| plate.wear != Wear::NotGaugedThen);
            let plates = both.map(|plate| WastedPlate {
                plate: &plate.plate,
                at: plate.x_m.zip(plate.y_m).map(|(x, y)| Coord { x, y }),
                wasted: match (plate.rate_m_per_year, plate.wear) {
                    (Some(rate), _) => Wasted::Rate(rate),
                    (None, Wear::Renewed | Wear::Thicker) => Wasted::Another,
                    (None, _) => Wasted::NotKnown,
                },
                letter: soon.iter().position(|(_, soon)| std::ptr::eq(*soon, plate)).map(letter),
            });
            WastedStrake {
                name: &one.strake,
                mean_m_per_year: one.mean_rate_m_per_year,
                greatest_m_per_year: one.greatest_rate_m_per_year,
                plates: plates.collect(),
            }
        })
        .collect()
}

/// Why there is nothing to compare.
fn nothing_gauged(plating: &Plating) -> Option<&'static str> {
    match (plating.older_gaugings, plating.newer_gaugings) {
        (0, 0) => Some("No plate was gauged in either docking."),
        (0, _) => Some("No plate was gauged then, so no rate can be given."),
        (_, 0) => Some("No plate was gauged now, so no rate can be given."),
        _ => None,
    }
}

/// The drawing, if any, is that one of the document.
pub(super) fn section(plating: &Plating, drawing: Option<usize>) -> Section {
    let rates: usize = plating.strakes.iter().map(|strake| strake.rates).sum();
    let mut section = Section::new("Plating").at("compared-plating");
    if rates == 0 {
        section
            .paragraph(nothing_gauged(plating).unwrap_or(
                "Plates were gauged in both dockings, but no two gaugings give a rate.",
            ));
        return section;
    }
    section.paragraph(fastest_and_first(plating, rates));
    section.paragraph(
        "A rate is the thickness lost between the two gaugings of a plate over the years between their days, \
         a year being 365.25 days; years left are whole ones, counted from the gauging now to the limit stated now. A \
         rate of the past need not be that of the future, and two readings of one plate may lie some \
         tenths of a millimetre apart by the gauge alone.",
    );
    section.table(first_at_their_limit(plating));
    section.drawings(drawing);
    let columns = [
        Column::name("Strake"),
        Column::figure("Rates"),
        Column::measure("Mean a year", Form::Wastage),
        Column::measure("Greatest a year", Form::Wastage),
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
    section.table(Table::new(columns).rows(rows).about("Strake by strake:").small());
    section
}

/// The strake that wastes fastest, and the plate that is first at its limit.
fn fastest_and_first(plating: &Plating, rates: usize) -> Text {
    let fastest = greatest(&plating.strakes, |strake| strake.mean_rate_m_per_year);
    let first = least(&plating.strakes, |strake| strake.years_left);
    let mut out = text!("{} gauged both times.", count(rates, "plate was", "plates were"));
    if let Some((strake, fastest)) = fastest {
        out.extend(text!(
            " Strake {} wastes fastest, {} a year on average{}.",
            id(&strake.strake),
            rate(fastest),
            at_most(strake)
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
    let soon = soon(plating).len();
    if let Some(years) = plating.years_between.filter(|_| soon > 1) {
        out.extend(text!(
            " In all, {} reach their limit within {} years, as long as lay between the dockings, or have reached it.",
            count(soon, "plate", "plates"),
            text::number(years, 1)
        ));
    }
    out
}

/// The greatest rate of a strake, and its plate.
fn at_most(strake: &Strake) -> Text {
    match (strake.greatest_rate_m_per_year, &strake.greatest_rate_at) {
        (Some(greatest), Some(plate)) if strake.rates > 1 => {
            text!(" and {} at most, at plate {}", rate(greatest), id(plate))
        }
        _ => Text::new(),
    }
}

/// The year in which a plate reaches its limit, unless that is too far off to mean anything.
fn year_of(strake: &Strake, plate: &str, years: f64) -> Option<i32> {
    const FAR: f64 = 200.0;
    let is_it = |gauged: &&Gauged| gauged.plate == plate && gauged.years_left == Some(years);
    let on = strake.plates.iter().find(is_it)?.newer_on?;
    let days = (years < FAR).then_some(years * DAYS_IN_A_YEAR)?;
    Some((on + chrono::Duration::days(days as i64)).year())
}

/// Gaugings that give no rate, and what is not gauged now.
pub(super) fn not_compared(plating: &Plating) -> Vec<Text> {
    if let Some(why_not) = nothing_gauged(plating) {
        return vec![why_not.into()];
    }
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
    if plating.newer_gaugings > 0 && plating.older_without_newer > 0 {
        sentences.push(text!(
            "{} then of plates that are not gauged now.",
            count(plating.older_without_newer, "gauging", "gaugings")
        ));
    }
    if !plating.older_alone.is_empty() {
        sentences.push(text!("Gauged then only: strake {}.", ids_and(&plating.older_alone)));
    }
    sentences
}

/// The plates that are lettered in the drawing.
fn first_at_their_limit(plating: &Plating) -> Table {
    let columns = [
        Column::name("Letter"),
        Column::name("Strake"),
        Column::name("Plate"),
        Column::figure("Near frame"),
        Column::measure("x", Form::Length),
        Column::measure("Then", Form::Plate),
        Column::measure("Now", Form::Plate),
        Column::measure("Lost a year", Form::Wastage),
        Column::measure("Limit", Form::Plate),
        Column::figure("Years left"),
    ];
    let metres = |value_m: f64| Form::Length.measure(value_m).decimals(2);
    let thick = |value_m: f64| Form::Plate.measure(value_m).decimals(1);
    let rows = soon(plating).into_iter().enumerate().map(|(n, (strake, plate))| -> [Cell; 10] {
        let frame = plate.x_m.and_then(|x_m| nearest_frame(plating.frames.as_ref(), x_m));
        [
            letter(n).into(),
            id(&strake.strake).into(),
            id(&plate.plate).into(),
            Cell::if_any(frame),
            plate.x_m.map(metres).into(),
            plate.older_m.map(thick).into(),
            thick(plate.newer_m).into(),
            Cell::if_any(plate.rate_m_per_year.map(rate)),
            Cell::if_any(plate.limit_m.map(thick)),
            Cell::if_any(plate.years_left.map(few_years)),
        ]
    });
    let years = text::number(plating.years_between.unwrap_or(0.0), 1);
    let about = text!(
        "Plates gauged both times that reach the limit stated now within {} years, each at its own rate, or have reached \
         it:",
        years
    );
    Table::new(columns).rows(rows).about(about).small()
}

/// What is lost in a year.
fn rate(rate_m_per_year: f64) -> Measure {
    Form::Wastage.measure(rate_m_per_year)
}

/// Whole years, never more than there are.
fn few_years(years: f64) -> String {
    const SLACK: f64 = 1e-6;
    text::number((years + SLACK).floor(), 0)
}

fn in_years(left: f64) -> String {
    match few_years(left).as_str() {
        "0" => "less than a year".to_string(),
        "1" => "1 year".to_string(),
        many => format!("{many} years"),
    }
}
