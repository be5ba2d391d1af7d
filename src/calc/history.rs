//! Dockings of one ship laid over each other: what none of them exposed, and whose coat lies where.

use geo::MultiPolygon;

use super::formula::Formula;
use super::plane::{THREAD_M, common, solid, wider_than, without};

/// How what was never exposed since records began is found.
pub const NEVER_EXPOSED: Formula = Formula {
    name: "exposure over all dockings",
    title: "Bottom never exposed since records began",
    says: "each docking's caps in each of its positions are laid on the hull as it is drawn now; what every \
           position of every docking hid was never exposed, and what one docking left so was reached since \
           where some position of a later one was free of blocks; areas in plan view",
    source: "plane geometry: intersection of polygons",
};

/// How the docking is found whose coat lies uppermost.
pub const UPPERMOST: Formula = Formula {
    name: "uppermost coat",
    title: "Docking whose coat lies uppermost",
    says: "each part of the bottom belongs to the last coat that any docking's record gives it, by the chain \
           of coats of that docking; steel that a docking blasted and did not coat again has none; the age of \
           a coat is the number of days from its finish to the last day of the newest docking, and \
           365.25 of them are a year",
    source: "plane geometry: intersection and difference of polygons",
};

/// What every one of some positions hid; nothing where there is no position.
pub fn hidden_throughout<'a>(
    positions: impl IntoIterator<Item = &'a MultiPolygon<f64>>,
) -> MultiPolygon<f64> {
    let shared = positions.into_iter().cloned().reduce(|shared, hidden| common(&shared, &hidden));
    shared.map_or_else(|| MultiPolygon(vec![]), |shared| solid(&shared))
}

/// A ground shared out among layers that lie over each other, the uppermost first: for each layer what
/// is seen of it from above, and the ground that none of them covers. Threads that hang on a shape along
/// the edges of others are shaved off: they are no area, and would put its extent wrong.
pub fn seen_from_above<'a>(
    ground: &MultiPolygon<f64>,
    layers: impl IntoIterator<Item = &'a MultiPolygon<f64>>,
) -> (Vec<MultiPolygon<f64>>, MultiPolygon<f64>) {
    let mut bare = ground.clone();
    let seen = layers.into_iter().map(|layer| {
        let seen = wider_than(&common(&bare, layer), THREAD_M);
        if !seen.0.is_empty() {
            bare = solid(&without(&bare, layer));
        }
        seen
    });
    let seen = seen.collect();
    (seen, wider_than(&bare, THREAD_M))
}

#[cfg(test)]
mod tests {
    use geo::Polygon;

    use super::*;
    use crate::calc::plane::area_m2;

    fn strip(from: f64, to: f64) -> MultiPolygon<f64> {
        let ring = vec![(from, -1.0), (to, -1.0), (to, 1.0), (from, 1.0)];
        MultiPolygon(vec![Polygon::new(ring.into(), vec![])])
    }

    #[test]
    fn only_what_all_hid_is_hidden_throughout() {
        let hidden = [strip(0.0, 3.0), strip(1.0, 4.0), strip(2.0, 9.0)];
        assert!((area_m2(&hidden_throughout(&hidden)) - 2.0).abs() < 1e-6);
        assert!(hidden_throughout(&[strip(0.0, 1.0), strip(1.0, 2.0)]).0.is_empty());
        assert!(hidden_throughout([]).0.is_empty());
    }

    #[test]
    fn the_upper_layer_is_seen_and_the_lower_round_it() {
        let layers = [strip(2.0, 4.0), strip(3.0, 3.5), strip(0.0, 5.0)];
        let (seen, bare) = seen_from_above(&strip(1.0, 9.0), &layers);
        let areas: Vec<f64> = seen.iter().map(area_m2).collect();
        for (area, wanted) in areas.iter().zip([4.0, 0.0, 4.0]) {
            assert!((area - wanted).abs() < 1e-6, "{areas:?}");
        }
        assert!((area_m2(&bare) - 8.0).abs() < 1e-6);
    }
}
