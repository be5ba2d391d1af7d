//! The coating: what the steel left the dock with, what was put on when, and how each coat was held against
//! its window, the climate, its preparation and its thickness.

mod applications;
mod climate;
mod complete;
mod film;
mod intervals;
mod preparation;
mod scheme;
pub(super) mod summary;

use serde::Serialize;

use super::lookup::{Held, finding};
use super::{Inputs, Placed, drawings};
use crate::findings::Examined;
use crate::records::Project;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Coating<'a> {
    /// Whether anything of the coating was written down.
    recorded: bool,
    headline: Vec<String>,
    zones: Vec<complete::Zone>,
    short: complete::Short,
    map: Vec<Placed<'a>>,
    schemes: Vec<scheme::Scheme>,
    products: Vec<scheme::Product<'a>>,
    recoat: Vec<scheme::Recoat<'a>>,
    batches: Vec<scheme::Batch<'a>>,
    times: Vec<Placed<'a>>,
    applications: Vec<applications::Application<'a>>,
    over: Vec<intervals::Interval>,
    tie_ins: Vec<intervals::Interval>,
    immersions: Vec<intervals::Immersion>,
    climate: Vec<climate::Row>,
    climate_limits: climate::Limits,
    climate_drawings: Vec<Placed<'a>>,
    preparation: Vec<preparation::Group>,
    film: Vec<film::Row>,
    film_doubts: Vec<String>,
    film_drawings: Vec<Placed<'a>>,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Coating<'a> {
    let examined = inputs.examined;
    let project = &examined.project;
    let windows = &examined.recomputed.coating.windows;
    Coating {
        recorded: is_recorded(project),
        headline: summary::headline(examined),
        zones: complete::zones(examined),
        short: complete::short(examined),
        map: drawings(inputs, "coating-map"),
        schemes: scheme::schemes(project),
        products: scheme::products(project),
        recoat: scheme::recoat(project),
        batches: scheme::batches(project),
        times: drawings(inputs, "coating-times"),
        applications: applications::applications(examined),
        over: intervals::over(examined, &windows.over),
        tie_ins: intervals::tie_ins(examined, &windows.tie_ins),
        immersions: intervals::immersions(examined),
        climate: climate::rows(examined),
        climate_limits: climate::limits(project),
        climate_drawings: drawings(inputs, "coating-climate"),
        preparation: preparation::groups(examined),
        film: film::rows(examined),
        film_doubts: film::doubts(examined),
        film_drawings: drawings(inputs, "coating-film"),
    }
}

/// Whether any file of the coating has an entry.
fn is_recorded(project: &Project) -> bool {
    let sheets = &project.sheets;
    let rows = sheets
        .iter()
        .any(|sheet| sheet.spec.path.starts_with("coating/") && !sheet.entries.is_empty());
    rows || !project.products.products.is_empty() || !project.products.batches.is_empty()
}

/// How a finding came out, by its id.
fn outcome(examined: &Examined, id: &str) -> Option<&'static str> {
    finding(examined, id).map(|finding| finding.outcome.words())
}

/// Numbers of coats in words: `coat 2`, `coats 2 and 3`.
fn coats(numbers: &[i64]) -> String {
    let names: Vec<String> = numbers.iter().map(i64::to_string).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    format!("coat{} {}", if names.len() == 1 { "" } else { "s" }, text::and(&names))
}
