//! Steel that is short of its scheme, piece by piece.

use std::collections::BTreeMap;

use geo::{MultiPolygon, Polygon};

use super::zone::{ZoneHistory, feathering_m};
use crate::calc::plane::{area_m2, extent, union, wider_than};
use crate::records::Project;

/// A connected piece of a zone that lacks the same coats throughout.
#[derive(Debug, Clone)]
pub struct Piece {
    /// The zone, by its place in the project's list.
    pub zone: usize,
    /// Numbers of the scheme's coats that it did not get.
    pub missing: Vec<i64>,
    /// Whether it got none of them.
    pub none: bool,
    /// Where it is.
    pub shape: Polygon<f64>,
    /// Its extent: x from, x to, y from, y to, m.
    pub extent: [f64; 4],
    /// Its area, m2: along the plating where the zone states its true area, else in plan.
    pub area_m2: f64,
    /// Positions in which some of it was hidden, by their places in the project's list.
    pub hidden_in: Vec<usize>,
}

/// What of the bottom is short of its scheme.
#[derive(Debug, Clone, Default)]
pub struct Shortfall {
    /// The pieces from aft to forward.
    pub pieces: Vec<Piece>,
    /// Laps and slivers no wider than the feathering, which are no pieces: how many.
    pub slivers: usize,
    /// Their area, m2.
    pub slivers_m2: f64,
}

/// What of the bottom zones is short of its scheme. Zones without a scheme are left out.
pub(super) fn shortfall(project: &Project, zones: &[ZoneHistory]) -> Shortfall {
    let mut found = Shortfall::default();
    let zones = project.zones.iter().zip(zones).enumerate();
    for (number, (_, history)) in zones.filter(|(_, (zone, _))| zone.is_bottom()) {
        let factor = history.true_factor.unwrap_or(1.0);
        for (missing, shape, hidden_in) in by_missing(history) {
            for polygon in shape.0 {
                let one = MultiPolygon(vec![polygon.clone()]);
                let area_m2 = area_m2(&one) * factor;
                if wider_than(&one, feathering_m(project)).0.is_empty() {
                    found.slivers += 1;
                    found.slivers_m2 += area_m2;
                    continue;
                }
                let Some(extent) = extent(&polygon) else { continue };
                found.pieces.push(Piece {
                    zone: number,
                    none: missing.len() == history.scheme.len(),
                    missing: missing.clone(),
                    shape: polygon,
                    extent,
                    area_m2,
                    hidden_in: hidden_in.clone(),
                });
            }
        }
    }
    let middle = |piece: &Piece| piece.extent[0] + piece.extent[1];
    found.pieces.sort_by(|a, b| middle(a).total_cmp(&middle(b)).then(a.zone.cmp(&b.zone)));
    found
}

/// The coats that steel lacks, and for each position whether it was hidden there.
type Lack<'a> = (&'a [i64], &'a [bool]);

/// The steel of a zone by the coats that it lacks and the positions that hid it.
fn by_missing(history: &ZoneHistory) -> Vec<(Vec<i64>, MultiPolygon<f64>, Vec<usize>)> {
    let mut groups: BTreeMap<Lack<'_>, Vec<&Polygon<f64>>> = BTreeMap::new();
    for part in history.parts.iter().filter(|part| !part.missing.is_empty()) {
        let key = (part.missing.as_slice(), part.hidden_in.as_slice());
        groups.entry(key).or_default().extend(&part.shape.0);
    }
    groups
        .into_iter()
        .map(|((missing, hidden_in), shapes)| {
            let hidden = hidden_in.iter().enumerate().filter(|(_, hidden)| **hidden);
            (missing.to_vec(), union(shapes), hidden.map(|(position, _)| position).collect())
        })
        .collect()
}
