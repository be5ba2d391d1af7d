//! Film thickness by zone and coat under each of the three rules, readings where a block stood, gauges.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use lastdock::calc::film::{iso_19840, ninety_ten, pa_2};
use lastdock::findings::recomputed::coating::film::{Film, Verdict, Wanted, Why};
use lastdock::records::film::Rule;
use serde_json::{Value, json};

use super::{EXACT, EXAMINED, EXPECTED, entries, near, project};

fn groups() -> impl Iterator<Item = (String, &'static Film)> {
    EXAMINED
        .recomputed
        .coating
        .film
        .iter()
        .map(|film| (format!("{}.coat{}", project().zones[film.zone].id, film.coat), film))
}

fn um(metres: impl Into<Option<f64>>) -> Option<f64> {
    metres.into().map(|m| m * 1e6)
}

#[test]
fn the_statistics_of_every_zone_and_coat() {
    assert_eq!(groups().count(), entries(&EXPECTED["film"]).count());
    let readings: usize = groups().map(|(_, film)| film.readings.len()).sum();
    assert_eq!(readings, project().film.len());
    for (name, film) in groups() {
        let wanted = &EXPECTED["film"][&name];
        let statistics = film.statistics.expect("readings");
        assert_eq!(statistics.count, wanted["count"], "{name}");
        near(&name, um(statistics.mean_m), &wanted["mean_um"], EXACT);
        near(&name, um(statistics.deviation_m), &wanted["deviation_um"], EXACT);
        near(&name, um(statistics.least_m), &wanted["least_um"], EXACT);
        near(&name, um(statistics.greatest_m), &wanted["most_um"], EXACT);
        assert_eq!(film.as_read, 0, "{name}");
        let of = |at: &usize| project().film[*at].reading_m;
        let mean = film.readings.iter().map(of).sum::<f64>() / film.readings.len() as f64;
        near(&name, um(mean), &wanted["mean_as_read_um"], EXACT);
    }
}

#[test]
fn what_the_rule_in_force_says_of_every_zone_and_coat() {
    for (name, film) in groups() {
        let wanted = &EXPECTED["film"][&name];
        let by_rule = &wanted["by_rule"];
        let (rule, accepted) = match film.verdict.as_ref().expect("a verdict") {
            Verdict::Iso19840(verdict) => {
                iso_19840_says(&name, verdict, film.wanted, by_rule);
                ("iso-19840", verdict.passes())
            }
            Verdict::SspcPa2 { spots, names } => {
                assert_eq!(names.len(), by_rule["spots"], "{name}");
                pa_2_says(&name, spots, film.wanted, by_rule);
                ("sspc-pa-2", spots.passes())
            }
            Verdict::NinetyTen(verdict) => {
                ninety_ten_says(&name, verdict, film.wanted, by_rule);
                ("90-10", verdict.passes())
            }
        };
        let owed = film.owed.expect("a rule");
        let (measured, wanted_owed) = match film.rule {
            Some(Rule::SspcPa2 { .. }) => (&by_rule["areas"], &by_rule["areas_owed"]),
            _ => (&wanted["count"], &by_rule["readings_owed"]),
        };
        assert_eq!((&json!(owed.measured), &json!(owed.owed)), (measured, wanted_owed), "{name}");
        assert_eq!(owed.short_of(), None, "{name}");
        assert_eq!(rule, wanted["rule"], "{name}");
        assert_eq!(accepted, wanted["accepted"], "{name}");
    }
}

fn iso_19840_says(name: &str, found: &iso_19840::Verdict, sums: Wanted, wanted: &Value) {
    near(name, um(sums.nominal_m), &wanted["nominal_um"], EXACT);
    near(name, um(sums.greatest_m), &wanted["greatest_um"], EXACT);
    assert_eq!(found.under_80_pct, wanted["under_80_pct"], "{name}");
    near(name, found.thin_share_pct, &wanted["between_pct"], EXACT);
    assert_eq!(json!(found.over_greatest), wanted["over_greatest"], "{name}");
}

fn pa_2_says(name: &str, found: &pa_2::Verdict, sums: Wanted, wanted: &Value) {
    near(name, um(sums.least_m), &wanted["least_um"], EXACT);
    near(name, um(sums.greatest_m), &wanted["greatest_um"], EXACT);
    assert_eq!(found.area_means_m.len(), wanted["areas"], "{name}");
    let spots = || found.spot_means_m.iter().flatten().copied();
    near(name, um(spots().reduce(f64::min)), &wanted["least_spot_um"], EXACT);
    near(name, um(spots().reduce(f64::max)), &wanted["greatest_spot_um"], EXACT);
    let areas = || found.area_means_m.iter().flatten().copied();
    near(name, um(areas().reduce(f64::min)), &wanted["least_area_um"], EXACT);
    near(name, um(areas().reduce(f64::max)), &wanted["greatest_area_um"], EXACT);
}

fn ninety_ten_says(name: &str, found: &ninety_ten::Verdict, sums: Wanted, wanted: &Value) {
    near(name, um(sums.nominal_m), &wanted["nominal_um"], EXACT);
    near(name, found.reached_pct, &wanted["at_or_over_nominal_pct"], EXACT);
    assert_eq!(found.under_90_pct, wanted["under_90_pct"], "{name}");
}

#[test]
fn readings_where_a_block_stood() {
    let mut found: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for (name, film) in groups() {
        assert!(film.too_early.is_empty(), "{name}");
        for one in &film.misplaced {
            let reading = &project().film[one.reading];
            let hull = reading.hull.expect("a place");
            let Why::Block(block) = one.why else { panic!("{name}: {:?}", one.why) };
            found.entry(format!("film.{name}.place")).or_default().push(json!({
                "spot": reading.spot.as_deref(), "x_m": hull.x, "y_m": hull.y, "why": project().blocks[block].id,
            }));
        }
    }
    assert_eq!(json!(found), EXPECTED["misplaced"]);
}

#[test]
fn every_gauge_on_every_day() {
    let mut seen = 0;
    for (name, wanted) in entries(&EXPECTED["gauges"]) {
        let (gauge, day) = name.split_once('.').expect("a gauge and a day");
        let day: NaiveDate = day.parse().expect("a day");
        let checks =
            project().gauges.iter().filter(|c| *c.gauge == *gauge && c.at.date_naive() == day);
        assert_eq!(checks.clone().count(), wanted["checks"], "{name}");
        let off = checks.map(|c| 100.0 * (c.reading_m - c.reference_m) / c.reference_m);
        let worst = off.reduce(|a, b| if b.abs() > a.abs() { b } else { a });
        near(name, worst.map(f64::abs), &json!(wanted["worst_pct"].as_f64().map(f64::abs)), EXACT);
        let of_gauge = |reading: &&lastdock::records::film::FilmReading| {
            reading.gauge.as_deref() == Some(gauge)
                && reading.at.is_some_and(|at| at.date_naive() == day)
        };
        let readings = project().film.iter().filter(of_gauge).count();
        assert_eq!(readings, wanted["readings"], "{name}");
        seen += readings;
        let id = format!("film.gauge.{name}");
        assert!(EXAMINED.findings.iter().any(|finding| finding.id == id), "{id}");
    }
    assert_eq!(seen, project().film.len());
}
