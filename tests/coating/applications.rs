//! Every application: claim, order, batch, climate, preparation, paint; and the recorded dew points.

use std::collections::BTreeMap;

use geo::MultiPolygon;
use lastdock::calc::climate::dew_point_c;
use lastdock::calc::paint::used_pct;
use lastdock::calc::plane::{area_m2, common};
use lastdock::findings::finding::Figure;
use lastdock::records::coats::Application;
use lastdock::records::preparation::Preparation;
use lastdock::records::products::Product;
use lastdock::text::System;
use serde_json::Value;

use super::{AREA_M2, EXACT, EXAMINED, EXPECTED, coat, done, entries, list, near, project, text};

/// The applications with what is expected of them.
fn all() -> impl Iterator<Item = (usize, &'static Application, &'static Value)> {
    entries(&EXPECTED["applications"]).map(|(name, wanted)| {
        let at = coat(name);
        (at, &project().coats[at], wanted)
    })
}

fn product(application: &Application) -> &'static Product {
    project().products.product(&application.product).expect("a product")
}

#[test]
fn every_application_is_expected() {
    assert_eq!(all().count(), project().coats.len());
}

#[test]
fn what_each_claims_and_what_of_it_can_be_true() {
    for (at, application, wanted) in all() {
        let name = &application.name;
        let done = done(&EXAMINED, at);
        assert_eq!(application.extent.word(), wanted["extent"], "{name}");
        let stand = done.stand.expect("a dry spell");
        assert_eq!(project().positions[stand].id, wanted["position"], "{name}");
        near(name, area_m2(&done.claimed), &wanted["claimed_m2"], AREA_M2);
        near(name, area_m2(&done.got), &wanted["received_m2"], AREA_M2);
        near(name, area_m2(&done.on_blocks), &wanted["contradicted_beyond_slivers_m2"], AREA_M2);
        let contradicted = area_m2(&done.claimed) - area_m2(&done.got);
        near(name, contradicted, &wanted["contradicted_m2"], AREA_M2);
        assert!(done.outside.0.is_empty(), "{name}");
        let blocks: Vec<&str> = list(&wanted["blocks"]).iter().map(text).collect();
        assert_eq!(blocks_over(&done.on_blocks, stand), blocks, "{name}");
        // Without a coat before it in the scheme there is no order to keep.
        if !wanted["out_of_order_m2"].is_null() {
            near(name, area_m2(&done.lacking), &wanted["out_of_order_m2"], AREA_M2);
        }
    }
}

/// Ids of the blocks that stood on a shape.
fn blocks_over(shape: &MultiPolygon<f64>, stand: usize) -> Vec<&'static str> {
    let prints = &EXAMINED.recomputed.hidden[stand].footprints;
    let over = prints.iter().filter(|(_, print)| area_m2(&common(print, shape)) > 1e-3);
    over.map(|(block, _)| project().blocks[*block].id.as_str()).collect()
}

#[test]
fn how_old_each_batch_was() {
    for (_, application, wanted) in all() {
        let (name, wanted) = (&application.name, &wanted["batch"]);
        let number = application.batch.as_deref().expect("a batch");
        assert_eq!(number, wanted["batch"], "{name}");
        let batch = project().products.batch(number, &application.product).expect("described");
        let age = application.began.expect("a time").date_naive() - batch.made;
        assert_eq!(age.num_days(), wanted["age_d"], "{name}");
        let life_h = product(application).shelf_life_h.expect("a shelf life");
        near(name, life_h / 24.0, &wanted["shelf_life_d"], EXACT);
    }
}

#[test]
fn the_worst_climate_of_each() {
    for (at, application, wanted) in all() {
        let (name, wanted) = (&application.name, &wanted["climate"]);
        let applied = &EXAMINED.recomputed.coating.applied[at];
        let worst = applied.climate.expect("a time");
        let (margin, reading) = worst.least_margin_k.expect("a margin");
        near(name, margin, &wanted["worst_margin_k"], EXACT);
        let reading = &project().climate[applied.readings[reading]];
        assert_eq!(reading.at.to_rfc3339(), wanted["worst_margin_at"], "{name}");
        let humidity = worst.highest_humidity_pct.map(|(humidity, _)| humidity);
        near(name, humidity, &wanted["highest_humidity_pct"], EXACT);
        near(name, worst.age_h, &wanted["greatest_age_h"], EXACT);
    }
}

#[test]
fn how_the_steel_of_each_was_prepared() {
    for (at, application, wanted) in all() {
        let (name, wanted) = (&application.name, &wanted["preparation"]);
        let prepared = &EXAMINED.recomputed.coating.applied[at].prepared;
        assert_eq!(prepared.is_some(), !wanted.is_null(), "{name}");
        let Some(prepared) = prepared else { continue };
        let checks: Vec<&Preparation> =
            prepared.checks.iter().map(|check| &project().preparation[*check]).collect();
        assert_eq!((prepared.uncovered, prepared.uncovered_m2), (false, Some(0.0)), "{name}");
        assert_eq!(checks.len(), wanted["rows"], "{name}");
        let mut grades: Vec<&str> =
            checks.iter().filter_map(|check| check.grade.as_deref()).collect();
        // They stay as they were written.
        assert_eq!(grades.len(), wanted["readings"], "{name}");
        grades.sort_unstable();
        grades.dedup();
        let wanted_grades: Vec<&str> = list(&wanted["grades"]).iter().map(text).collect();
        assert_eq!(grades, wanted_grades, "{name}");
        let profile_um = prepared.profile_m.map(|(least, most)| (least * 1e6, most * 1e6));
        near(name, profile_um.map(|(least, _)| least), &wanted["least_profile_um"], EXACT);
        near(name, profile_um.map(|(_, most)| most), &wanted["greatest_profile_um"], EXACT);
        near(name, prepared.most_salts_mg_m2, &wanted["greatest_salts_mg_m2"], EXACT);
        near(name, prepared.most_dust, &wanted["greatest_dust"], EXACT);
        near(name, prepared.age_h, &wanted["age_h"], EXACT);
    }
}

#[test]
fn the_paint_that_each_takes_and_used() {
    let figure = |name: &str, figure: &Option<Figure>| match figure {
        Some(Figure::Measure(measure)) => measure.in_unit(System::Si),
        other => panic!("{name}: {other:?}"),
    };
    for (at, application, wanted) in all() {
        let (name, wanted) = (&application.name, &wanted["paint"]);
        let id = format!("coating.{name}.paint");
        let found = EXAMINED.findings.iter().find(|finding| finding.id == id).expect("a finding");
        let (used, takes) = (figure(name, &found.recorded), figure(name, &found.recomputed));
        near(name, used, &wanted["used_l"], EXACT);
        near(name, takes, &wanted["expected_l"], 1e-5);
        near(name, used_pct(used, takes), &wanted["used_over_expected_pct"], 1e-3);
        let applied = &EXAMINED.recomputed.coating.applied[at];
        near(name, applied.reached_m2, &wanted["true_area_m2"], AREA_M2);
        near(name, applied.expected_l, &wanted["expected_l"], 1e-5);
        near(name, applied.used_pct, &wanted["used_over_expected_pct"], 1e-3);
        let id = format!("coating.{name}.wet_film");
        let found = EXAMINED.findings.iter().find(|finding| finding.id == id).expect("a finding");
        near(name, figure(name, &found.recomputed), &wanted["dry_from_wet_um"], EXACT);
        let row = project()
            .scheme
            .iter()
            .find(|row| row.zone == application.zone && row.coat == application.coat);
        let nominal = row.and_then(|row| row.nominal_dft_m).map(|metres| metres * 1e6);
        near(name, nominal, &wanted["nominal_um"], EXACT);
    }
}

#[test]
fn the_dew_point_furthest_off_on_each_day() {
    let mut days: BTreeMap<String, Vec<(f64, f64, String)>> = BTreeMap::new();
    for reading in &project().climate {
        let (Some(air), Some(humidity), Some(recorded)) =
            (reading.air_c, reading.humidity_pct, reading.dew_point_c)
        else {
            continue;
        };
        let recomputed = dew_point_c(air, humidity).expect("a dew point");
        let day = days.entry(reading.at.date_naive().to_string()).or_default();
        day.push((recorded, recomputed, reading.at.to_rfc3339()));
    }
    assert_eq!(days.len(), entries(&EXPECTED["dew_points"]).count());
    for (day, wanted) in entries(&EXPECTED["dew_points"]) {
        assert_eq!(days[day].len(), wanted["readings"], "{day}");
        let off = |(recorded, recomputed, _): &&(f64, f64, String)| (recorded - recomputed).abs();
        let worst = days[day].iter().max_by(|a, b| off(a).total_cmp(&off(b))).expect("a reading");
        near(day, off(&worst), &wanted["difference_k"].as_f64().map(f64::abs).into(), EXACT);
        near(day, worst.0, &wanted["recorded_c"], EXACT);
        near(day, worst.1, &wanted["recomputed_c"], EXACT);
        assert_eq!(worst.2, wanted["at"], "{day}");
    }
}
