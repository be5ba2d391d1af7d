//! Rates at which the plating is lost.

use chrono::Datelike;

use super::{Comparison, Section, Shown, Table, figure, name, words};
use crate::calc::DAYS_IN_A_YEAR;
use crate::handover::compare::{Gauged, Plating, Strake, Wear};
use crate::report::text::{and, centimetres, count, number};

const TITLE: &str = "Plating";

pub(super) fn section(comparison: &Comparison) -> Section {
    let plating = &comparison.plating;
    let rates: usize = plating.strakes.iter().map(|strake| strake.rates).sum();
    if rates == 0 {
        let lead = match (plating.older_gaugings, plating.newer_gaugings) {
            (0, 0) => "No plate was gauged in either docking.".to_string(),
            (0, _) => "No plate was gauged then, so that no rate can be given.".to_string(),
            (_, 0) => "No plate was gauged now, so that no rate can be given.".to_string(),
            _ => "No plate was gauged in both dockings so that a rate can be given.".to_string(),
        };
        let mut section = Section::new(TITLE, lead);
        plates(plating).to(&mut section);
        return section;
    }
    let mut section = Section::new(TITLE, lead(plating, rates));
    section.says.extend(what_has_no_rate(plating));
    section.says.push(
        "A rate is the thickness lost between the two gaugings of a plate over the years between their days, \
         a year being 365.25 days; years left are counted from the gauging now to the limit stated now. A \
         rate of the past need not be that of the future, and two readings of one plate may lie some \
         tenths of a millimetre apart by the gauge alone."
            .to_string(),
    );
    let columns = [
        name("Strake"),
        figure("Rates"),
        figure("Mean, mm a year"),
        figure("Greatest, mm a year"),
        name("at plate"),
        figure("Years left"),
        name("at plate"),
        figure("Years left, at mean rate"),
        name("at plate"),
    ];
    Table::new("Strake by strake:", columns)
        .rows(plating.strakes.iter().filter(|strake| strake.rates > 0).map(row))
        .to(&mut section);
    plates(plating).to(&mut section);
    section
}

fn lead(plating: &Plating, rates: usize) -> String {
    let strakes = || plating.strakes.iter();
    let fastest = strakes().filter_map(|strake| Some((strake, strake.mean_rate_m_per_year?)));
    let fastest = fastest.max_by(|a, b| a.1.total_cmp(&b.1));
    let least = strakes().filter_map(|strake| Some((strake, strake.years_left?)));
    let least = least.min_by(|a, b| a.1.total_cmp(&b.1));
    let mut said = format!("{} gauged both times.", count(rates, "plate was", "plates were"));
    if let Some((strake, rate)) = fastest {
        said.push_str(&format!(
            " Strake {} wastes fastest, {} mm a year on average.",
            strake.strake,
            rate_mm(rate)
        ));
    }
    match least.and_then(|(strake, years)| Some((strake, years, strake.years_left_at.as_ref()?))) {
        Some((strake, years, plate)) if years <= 0.0 => {
            said.push_str(&format!(" Plate {plate} of strake {} is at its limit or beyond.", strake.strake));
        }
        Some((strake, years, plate)) => said.push_str(&format!(
            " Plate {plate} of strake {} has the fewest years left to its limit at its own rate: {}{}.",
            strake.strake,
            in_years(years),
            year_of(strake, plate, years).map(|year| format!(", about {year}")).unwrap_or_default(),
        )),
        None => said.push_str(" No limit is stated now for a plate that is being lost."),
    }
    said
}

/// The year in which a plate reaches its limit, unless that is too far off to mean anything.
fn year_of(strake: &Strake, plate: &str, years: f64) -> Option<i32> {
    const FAR: f64 = 200.0;
    let of = |gauged: &&Gauged| gauged.plate == plate && gauged.years_left == Some(years);
    let on = strake.plates.iter().find(of)?.newer_on?;
    let days = (years < FAR).then_some(years * DAYS_IN_A_YEAR)?;
    Some((on + chrono::Duration::days(days as i64)).year())
}

/// Gaugings that give no rate, and strakes that are not gauged now.
fn what_has_no_rate(plating: &Plating) -> Vec<String> {
    let mut said = Vec::new();
    let all = || plating.strakes.iter().flat_map(|strake| &strake.plates);
    let of = |wear: Wear| all().filter(|plate| plate.wear == wear).count();
    for (wear, why) in [
        (Wear::NotGaugedThen, "the plate was not gauged then"),
        (Wear::Renewed, "another original thickness is recorded: a renewed plate"),
        (
            Wear::Thicker,
            "it reads thicker than then by more than the tolerance: renewed, or gauged elsewhere",
        ),
        (Wear::NoSpan, "the days of the gaugings are not recorded, or do not follow each other"),
    ] {
        match of(wear) {
            0 => {}
            1 => said.push(format!("1 gauging gives no rate, since {why}.")),
            n => said.push(format!("{n} gaugings give no rate, since {why}.")),
        }
    }
    if !plating.older_alone.is_empty() {
        let names: Vec<&str> = plating.older_alone.iter().map(String::as_str).collect();
        said.push(format!("Gauged then only: strake {}.", and(&names)));
    }
    said
}

fn row(strake: &Strake) -> [Option<String>; 9] {
    [
        Some(strake.strake.clone()),
        Some(strake.rates.to_string()),
        strake.mean_rate_m_per_year.map(rate_mm),
        strake.greatest_rate_m_per_year.map(rate_mm),
        strake.greatest_rate_at.clone(),
        strake.years_left.map(years),
        strake.years_left_at.clone(),
        strake.years_left_at_mean_rate.map(years),
        strake.first_at_mean_rate.clone(),
    ]
}

/// Every gauging that meets one of then.
fn plates(plating: &Plating) -> Table {
    let columns = [
        name("Strake"),
        name("Plate"),
        figure("x, m"),
        figure("Apart, m"),
        name("Gauged then"),
        figure("Then, mm"),
        name("Gauged now"),
        figure("Now, mm"),
        figure("Rate, mm a year"),
        figure("Limit, mm"),
        figure("Years left"),
        words("Note"),
    ];
    let all = plating
        .strakes
        .iter()
        .flat_map(|strake| strake.plates.iter().map(move |plate| (strake, plate)))
        .filter(|(_, plate)| plate.wear != Wear::NotGaugedThen);
    let millimetres = |value: f64| number(value * 1000.0, 1);
    Table::new("Plates that were gauged then and now:", columns)
        .rows(all.map(|(strake, plate)| {
            [
                Some(strake.strake.clone()),
                Some(plate.plate.clone()),
                centimetres(plate.x_m),
                centimetres(plate.apart_m),
                plate.older_on.map(|day| day.to_string()),
                plate.older_m.map(millimetres),
                plate.newer_on.map(|day| day.to_string()),
                Some(millimetres(plate.newer_m)),
                plate.rate_m_per_year.map(rate_mm),
                plate.limit_m.map(millimetres),
                plate.years_left.map(years),
                Some(plate.wear.words().to_string()),
            ]
        }))
        .shown(Shown::Paper)
}

/// A rate in mm a year.
fn rate_mm(rate_m_per_year: f64) -> String {
    number(rate_m_per_year * 1000.0, 3)
}

/// Years to a tenth where they are few.
fn years(years: f64) -> String {
    if years < 10.0 { number(years, 1) } else { number(years, 0) }
}

fn in_years(left: f64) -> String {
    let said = years(left);
    if said == "1.0" { "1 year".to_string() } else { format!("{said} years") }
}
