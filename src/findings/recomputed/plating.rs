//! What the plating and the anodes have lost.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::calc::plating::{
    Group, Limit, Plate, allowed_loss_m, group, loss_m, loss_pct, rate_m_per_year,
};
use crate::calc::years;
use crate::records::Project;
use crate::records::plating::{Anode, Gauging, PlateLimit};

/// The gaugings of one strake.
#[derive(Debug, Clone)]
pub struct Strake {
    /// Its name.
    pub name: String,
    /// Gaugings with an original thickness, by their places in the project's list.
    pub gaugings: Vec<usize>,
    /// Gaugings without one, by their places in the project's list.
    pub without_original: Vec<usize>,
    /// Mean and worst; numbers count in `gaugings`.
    pub group: Option<Group>,
}

/// What a plate has lost at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// In m; negative where more is measured than was built.
    pub m: f64,
    /// In per cent of the original thickness; `None` unless that is over 0.
    pub pct: Option<f64>,
}

/// What a gauging has lost; `None` without an original thickness.
pub fn loss(gauging: &Gauging) -> Option<Loss> {
    let original_m = gauging.original_m?;
    let measured_m = gauging.measured_m;
    Some(Loss { m: loss_m(original_m, measured_m), pct: loss_pct(original_m, measured_m) })
}

/// What an anode has lost, per cent of its mass fitted; `None` unless both masses are recorded and that is over 0.
pub fn anode_loss_pct(anode: &Anode) -> Option<f64> {
    crate::calc::plating::anode_loss_pct(anode.mass_fitted_t?, anode.mass_found_t?)
}

/// The strakes in the order in which the file first names them.
pub fn strakes(project: &Project) -> Vec<Strake> {
    let mut order: Vec<&str> = Vec::new();
    let mut rows: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, gauging) in project.plating.iter().enumerate() {
        let name = gauging.strake.as_str();
        rows.entry(name)
            .or_insert_with(|| {
                order.push(name);
                Vec::new()
            })
            .push(at);
    }
    order
        .into_iter()
        .map(|name| {
            let all = rows.remove(name).unwrap_or_default();
            let (gaugings, without_original): (Vec<usize>, Vec<usize>) =
                all.into_iter().partition(|at| project.plating[*at].original_m.is_some());
            let plates: Vec<Plate> = gaugings.iter().filter_map(|at| plate(project, *at)).collect();
            Strake { name: name.to_string(), group: group(&plates), gaugings, without_original }
        })
        .collect()
}

/// A gauging as a calculation sees it; `None` without an original thickness.
pub fn plate(project: &Project, gauging: usize) -> Option<Plate> {
    let gauging = &project.plating[gauging];
    Some(Plate {
        original_m: gauging.original_m?,
        measured_m: gauging.measured_m,
        limit: gauging.limit.map(|limit| match limit {
            PlateLimit::Loss(loss_m) => Limit::Loss(loss_m),
            PlateLimit::RelativeLoss(pct) => Limit::RelativeLoss(pct),
            PlateLimit::LeastThickness(least_m) => Limit::LeastThickness(least_m),
        }),
    })
}

/// Originals that differ by more are those of two plates, m (our choice).
const SAME_ORIGINAL_M: f64 = 0.0001;

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
#[derive(Debug, Clone)]
pub struct Worn {
    /// The gauging now, by its place in the project's list.
    pub gauging: usize,
    /// From the place of the gauging then to that of now, m.
    pub apart_m: Option<f64>,
    /// The day of the gauging then; that of the docking where it has none.
    pub older_on: Option<NaiveDate>,
    /// The day of the gauging now; that of the docking where it has none.
    pub newer_on: Option<NaiveDate>,
    /// Thickness then, m.
    pub older_m: Option<f64>,
    /// The thickness at which it reaches its limit, m.
    pub limit_m: Option<f64>,
    /// Rate of loss, m a year.
    pub rate_m_per_year: Option<f64>,
    /// Whether there is a rate, and why not.
    pub wear: Wear,
}

/// What the gaugings of a strake say beside those of an earlier docking, in the order of the project's list.
pub fn worn(older: &Project, newer: &Project, strake: &str) -> Vec<Worn> {
    let then: Vec<&Gauging> =
        older.plating.iter().filter(|gauging| gauging.strake == strake).collect();
    let now = newer.plating.iter().enumerate().filter(|(_, gauging)| gauging.strake == strake);
    let mut matched = Vec::new();
    now.map(|(at, gauging)| {
        let found = nearest(&then, gauging, &matched);
        matched.extend(found.map(|(number, _)| number));
        against(older, newer, at, found.map(|(number, apart_m)| (then[number], apart_m)))
    })
    .collect()
}

/// The gauging then of the same plate that lies nearest, with the distance in m; where no place is recorded the
/// first that is not matched yet.
fn nearest(then: &[&Gauging], now: &Gauging, matched: &[usize]) -> Option<(usize, Option<f64>)> {
    let of_plate = || then.iter().enumerate().filter(|(_, older)| older.plate == now.plate);
    let apart = |older: &Gauging| {
        let (was, is) = (older.hull?, now.hull?);
        Some(libm::hypot(was.x - is.x, was.y - is.y))
    };
    let placed = of_plate().filter_map(|(at, older)| Some((at, apart(older)?)));
    match placed.min_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((at, apart_m)) => Some((at, Some(apart_m))),
        None => of_plate().find(|(at, _)| !matched.contains(at)).map(|(at, _)| (at, None)),
    }
}

fn against(
    older: &Project,
    newer: &Project,
    at: usize,
    then: Option<(&Gauging, Option<f64>)>,
) -> Worn {
    let now = &newer.plating[at];
    let newer_on = day(newer, now);
    let older_on = then.and_then(|(then, _)| day(older, then));
    let span = older_on.zip(newer_on).map(|(was, is)| years((is - was).num_days()));
    let growth_m = newer.docking.bounds.tolerance("plate_thickness").map_or(0.0, |t| t.value);
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
    Worn {
        gauging: at,
        apart_m: then.and_then(|(_, apart_m)| apart_m),
        older_on,
        newer_on,
        older_m: then.map(|(then, _)| then.measured_m),
        limit_m: least_m(newer, at),
        rate_m_per_year: rate.filter(|_| wear == Wear::Rate),
        wear,
    }
}

fn is_another(then: &Gauging, now: &Gauging) -> bool {
    let originals = then.original_m.zip(now.original_m);
    originals.is_some_and(|(was, is)| (was - is).abs() > SAME_ORIGINAL_M)
}

/// The day of a gauging; the first day of the docking, else its last, where it has none.
fn day(project: &Project, gauging: &Gauging) -> Option<NaiveDate> {
    let (began, ended) = project.docking.period;
    gauging.at.map(|at| at.date_naive()).or(began).or(ended)
}

/// The thickness at which a gauging reaches its limit, m; `None` without a limit, or without the original
/// that the limit counts from.
fn least_m(project: &Project, at: usize) -> Option<f64> {
    if let Some(plate) = plate(project, at) {
        return Some(plate.original_m - allowed_loss_m(plate.original_m, plate.limit?));
    }
    match project.plating[at].limit? {
        PlateLimit::LeastThickness(least_m) => Some(least_m),
        _ => None,
    }
}

/// Every gauging beside the newest earlier docking on record in which its plate was gauged, by the docking's name: one
/// for each gauging of the project, and `None` where no earlier docking gauged it.
pub fn worn_on_record(project: &Project) -> Vec<Option<(&str, Worn)>> {
    let mut found: Vec<Option<(&str, Worn)>> = vec![None; project.plating.len()];
    for past in project.history.iter().rev() {
        let mut strakes: Vec<&str> =
            project.plating.iter().map(|gauging| gauging.strake.as_str()).collect();
        strakes.sort_unstable();
        strakes.dedup();
        for strake in strakes {
            for worn in worn(&past.project, project, strake) {
                let place = &mut found[worn.gauging];
                if place.is_none() && worn.wear != Wear::NotGaugedThen {
                    *place = Some((&past.source.name, worn));
                }
            }
        }
    }
    found
}
