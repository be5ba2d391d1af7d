//! What the plating and the anodes have lost.

use std::collections::BTreeMap;

use crate::calc::plating::{Group, Limit, Plate, group, loss_m, loss_pct};
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
