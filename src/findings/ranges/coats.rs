//! What is plausible of coats and of the weather: films against their scheme and product, temperatures against each other and
//! against those read before and after.

use std::collections::BTreeMap;

use super::number::{Number, Odd, median, numbers};
use crate::records::Project;
use crate::records::climate;
use crate::records::film;
use crate::records::place::Place;
use crate::records::scheme;
use crate::text;
use crate::text::{Figure, Form};

/// Within how long readings of the weather are neighbours, h.
const NEIGHBOURS_H: f64 = 8.0;

pub(super) fn odd(project: &Project) -> Vec<Odd<'_>> {
    let mut found = schemes(project);
    found.extend(films(project));
    found.extend(air(project));
    found.extend(steel(project));
    found
}

/// The coats of a scheme against what their products are made for.
fn schemes(project: &Project) -> Vec<Odd<'_>> {
    let columns = ["nominal_dft", "least_dft", "greatest_dft"];
    let of = |column| {
        numbers(project, &scheme::SPEC, column).filter_map(|number| {
            let row = project.scheme.iter().find(|row| row.place == number.row.place)?;
            let product = project.products.product(&row.product)?;
            let nominal_m = product.nominal_dft_m?;
            let because = text!("{} is made for {}", product.id.clone(), Figure::film(nominal_m));
            number.outside(nominal_m / 8.0, nominal_m * 8.0, because)
        })
    };
    columns.into_iter().flat_map(of).collect()
}

/// The films of a zone after a coat. One spot that was missed reads next to nothing, and where an older film lies below all read
/// more than the scheme: so all of them together are held against the scheme from below, and each against the others from
/// above.
fn films(project: &Project) -> Vec<Odd<'_>> {
    let mut groups: BTreeMap<(&str, i64), Vec<(usize, f64)>> = BTreeMap::new();
    for (at, reading) in project.film.iter().enumerate() {
        groups
            .entry((&reading.zone, reading.after_coat))
            .or_default()
            .push((at, reading.reading_m));
    }
    let mut ranges: BTreeMap<&str, Vec<(i64, f64, f64, crate::text::Text)>> = BTreeMap::new();
    for ((zone, coat), readings) in &groups {
        let Some(middle_m) = median(readings.iter().map(|(_, read)| *read)) else { continue };
        let coats = project.scheme.iter().filter(|row| row.zone == *zone && row.coat <= *coat);
        let nominal_m: Option<f64> = coats.map(|row| row.nominal_dft_m).sum();
        let nominal_m = nominal_m.filter(|nominal_m| *nominal_m > 0.0);
        let of_zone = ranges.entry(*zone).or_default();
        match nominal_m {
            Some(nominal_m) if middle_m < nominal_m / 10.0 => {
                let because = text!(
                    "the scheme asks for {} there, and half of the readings are below {}",
                    Figure::film(nominal_m),
                    Figure::film(middle_m)
                );
                of_zone.push((*coat, nominal_m / 10.0, nominal_m * 40.0, because));
            }
            _ if readings.len() >= 10 && middle_m > 0.0 => {
                let because = text!(
                    "the middle of the {} readings there is {}",
                    readings.len(),
                    Figure::film(middle_m)
                );
                of_zone.push((*coat, 0.0, 7.0 * middle_m + 100e-6, because));
            }
            _ => {}
        }
    }
    let range = |zone: &str, coat: i64| ranges.get(zone)?.iter().find(|(known, ..)| *known == coat);
    let readings = numbers(project, &film::SPEC, "reading").zip(&project.film);
    let found = readings.filter_map(|(number, reading)| {
        let (_, least, greatest, because) = range(&reading.zone, reading.after_coat)?;
        let is_outside = !(*least..=*greatest).contains(&number.kept);
        is_outside.then(|| number.outside(*least, *greatest, because.clone()))?
    });
    found.collect()
}

/// The readings of the weather by their rows.
fn by_place(project: &Project) -> BTreeMap<&Place, &climate::Climate> {
    project.climate.iter().map(|row| (&row.place, row)).collect()
}

/// The air against what was read before and after, where these two agree.
fn air(project: &Project) -> Vec<Odd<'_>> {
    let rows = by_place(project);
    let when = |number: &Number<'_>| Some(rows.get(&number.row.place)?.at.timestamp());
    let mut log: Vec<(i64, Number<'_>)> = numbers(project, &climate::SPEC, "air_temperature")
        .filter_map(|number| Some((when(&number)?, number)))
        .collect();
    log.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.row.place.cmp(&b.1.row.place)));
    let hours = |from: i64, to: i64| (to - from) as f64 / 3600.0;
    let found = log.windows(3).filter_map(|three| {
        let [(before, a), (at, number), (after, b)] = three else { return None };
        let near = hours(*before, *at) <= NEIGHBOURS_H && hours(*at, *after) <= NEIGHBOURS_H;
        if !near || (a.kept - b.kept).abs() > 6.0 {
            return None;
        }
        let (low, high) = (a.kept.min(b.kept), a.kept.max(b.kept));
        let because = text!(
            "within {} before and after {} and {} were read",
            Figure::Measure(Form::Duration.measure(NEIGHBOURS_H).decimals(0)),
            Figure::temperature(a.kept),
            Figure::temperature(b.kept)
        );
        number.clone().outside(low - 15.0, high + 15.0, because)
    });
    found.collect()
}

/// The steel against the air: the sun warms it, and the night or cold water behind it cools it.
fn steel(project: &Project) -> Vec<Odd<'_>> {
    let rows = by_place(project);
    let found = numbers(project, &climate::SPEC, "steel_temperature").filter_map(|number| {
        let air_c = rows.get(&number.row.place)?.air_c?;
        let because = text!(
            "the air had {}, and neither sun nor cold water makes steel so different",
            Figure::temperature(air_c)
        );
        number.outside(air_c - 25.0, air_c + 45.0, because)
    });
    found.collect()
}
