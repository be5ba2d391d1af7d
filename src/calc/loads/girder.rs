//! A ship that bends and shears on her blocks.

use super::bearing::{self, Attitude, BlockSpring, Carried, Outcome};
use super::contact::{Problem, Term, settle};
use super::error::LoadsError;
use super::weight::{Length, integrate};
use crate::calc::formula::Formula;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

impl Station {
    /// The bending moment as a mass times a lever, t m, as weights and trimming moments are told.
    pub fn moment_tm(&self) -> f64 {
        self.moment_knm / STANDARD_GRAVITY_M_PER_S2
    }

    /// The shear force, kN, of its two sides the greater in size.
    pub fn shear_kn(&self) -> f64 {
        if self.shear_aft_kn.abs() > self.shear_fore_kn.abs() {
            self.shear_aft_kn
        } else {
            self.shear_fore_kn
        }
    }
}

/// How a hull girder sits.
pub const GIRDER: Formula = Formula {
    name: "hull girder on blocks",
    title: "Block loads of a hull girder",
    says: "two-node beam elements with bending and shear, `phi = (12 E I) / (G A_s L^2)`: energy `(E I) / (2 L) (r_2 - r_1)^2` + \
           `(6 E I) / (L (1 + phi)) ((w_2 - w_1) / L - (r_1 + r_2) / 2)^2`, r the turn and \
           w the deflection of its two ends; nodes at blocks, at ends of the lengths of weight, buoyancy and \
           stiffness, and between; weight and buoyancy as consistent nodal loads; one heel for the whole \
           hull, which is rigid in torsion; `compression = deflection at the block + heel y - gap`, `load = \
           k x compression` where that is above 0. Angles are small",
    source: "Timoshenko beam; stiffness matrix after Przemieniecki, Theory of Matrix Structural \
             Analysis, written as the sum of its two deformations; g = 9.80665 m/s2",
};

/// How shear force and bending moment along the hull are found.
pub const BENDING: Formula = Formula {
    name: "bending of the hull on blocks",
    title: "Shear force and bending moment on the blocks",
    says: "shear = weight less buoyancy less block loads abaft the station; moment = their moments \
           about the station, hogging positive",
    source: "equilibrium of the part abaft the station",
};

/// At most so many elements.
pub const MOST_ELEMENTS: usize = 20_000;

/// Nodes are at least this far apart, m, so that stations a millimetre apart are told apart (our choice).
const LEAST_APART_M: f64 = 1e-4;

/// An element stiffer across its ends than so many mean blocks is as good as rigid, and would spoil the
/// accuracy of the rest: its nodes become one, and what stood at the other is carried by the element
/// beside it, with an error of a part in ten million (our choice).
const STIFFEST: f64 = 1e7;

/// A shear no greater is what the calculation leaves over, kN.
const LEFT_OVER_KN: f64 = 1e-3;

/// Ends of stiffness lengths this near to each other meet, and what is this little beyond the hull is
/// on it, m.
const MEET_M: f64 = 1e-6;

/// A length of the hull with its stiffness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HullLength {
    pub from_x_m: f64,
    pub to_x_m: f64,
    /// Bending stiffness E I, kN m2.
    pub bending_kn_m2: f64,
    /// Shear stiffness G As, kN; infinite for bending alone.
    pub shear_kn: f64,
}

/// What happens to the hull at one station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    pub x_m: f64,
    /// How far the hull came down on the centreline, m.
    pub deflection_m: f64,
    /// Net downward force on the part abaft, just abaft the station, kN.
    pub shear_aft_kn: f64,
    /// The same just forward of it.
    pub shear_fore_kn: f64,
    /// Bending moment, kN m, hogging positive.
    pub moment_knm: f64,
}

/// How a hull girder sits.
#[derive(Debug, Clone, PartialEq)]
pub struct Girder {
    pub outcome: Outcome,
    /// The hull, from aft to forward: every block, end of a length and node, and wherever the shear between them is nil.
    pub stations: Vec<Station>,
}

/// Loads on the blocks under a hull girder, with stations at most `longest_m` apart (but not so close
/// that rounding would spoil the rest; the loads do not depend on it). The lengths of the hull may come
/// in any order; together they cover the hull once, from end to end.
pub fn girder(
    blocks: &[BlockSpring],
    carried: &Carried,
    hull: &[HullLength],
    longest_m: f64,
) -> Result<Girder, LoadsError> {
    bearing::check(blocks, carried)?;
    let hull = in_order(hull)?;
    let beam = Beam::new(blocks, carried, &hull, longest_m)?;
    let settled = settle(&Problem {
        forces: beam.forces(carried),
        both_ways: beam.terms(),
        push_only: bearing::bearing_terms(blocks, |block, y_m| {
            let mut row = beam.row(block.x_m);
            row.push((beam.heel(), y_m));
            row
        }),
    })?;
    let u = &settled.unknowns;
    let deflection = |x_m: f64| beam.row(x_m).iter().map(|(n, c)| c * u[*n]).sum::<f64>();
    let (aft, fore) = beam.ends();
    let trim_rad = (deflection(aft) - deflection(fore)) / (fore - aft);
    let settlement_m = deflection(aft) - trim_rad * (bearing::middle_m(blocks) - aft);
    let attitude = Attitude { settlement_m, trim_rad, heel_rad: u[beam.heel()] };
    let outcome = bearing::outcome(blocks, carried, &settled, attitude)?;
    let at = |x_m: f64| station(x_m, deflection(x_m), blocks, &outcome.loads_kn, carried);
    let stations = with_turns(beam.stations_m.iter().map(|x_m| at(*x_m)).collect(), &at);
    Ok(Girder { outcome, stations })
}

/// The stations with one more between two of them wherever the shear changes its sign there: the moment is greatest or
/// least at it. Where it lies is taken from a straight line between the two shears; the moment there is exact.
fn with_turns(stations: Vec<Station>, at: &dyn Fn(f64) -> Station) -> Vec<Station> {
    let between = |pair: &[Station]| {
        let (from, to) = (&pair[0], &pair[1]);
        let (before, after) = (from.shear_fore_kn, to.shear_aft_kn);
        let is_turn = before * after < 0.0 && before.abs().min(after.abs()) > LEFT_OVER_KN;
        if !is_turn {
            return None;
        }
        let x_m = from.x_m + (to.x_m - from.x_m) * before / (before - after);
        (x_m > from.x_m && x_m < to.x_m).then(|| at(x_m))
    };
    let turns: Vec<Option<Station>> = stations.windows(2).map(between).collect();
    let turns = turns.into_iter().chain([None]);
    stations
        .into_iter()
        .zip(turns)
        .flat_map(|(one, turn)| std::iter::once(one).chain(turn))
        .collect()
}

/// Shear and moment at a station from what lies abaft it.
fn station(
    x_m: f64,
    deflection_m: f64,
    blocks: &[BlockSpring],
    loads_kn: &[f64],
    carried: &Carried,
) -> Station {
    let g = STANDARD_GRAVITY_M_PER_S2;
    let side = |at_x_too| {
        let (weight, turn) = carried.weight.abaft(x_m, at_x_too);
        let (buoyancy, lift) = carried.buoyancy.abaft(x_m, at_x_too);
        blocks
            .iter()
            .zip(loads_kn)
            .filter(|(block, _)| block.x_m < x_m || (at_x_too && block.x_m == x_m))
            .fold((g * (weight - buoyancy), g * (turn - lift)), |(force, moment), (block, load)| {
                (force - load, moment - load * (x_m - block.x_m))
            })
    };
    let ((shear_aft_kn, moment_knm), (shear_fore_kn, _)) = (side(false), side(true));
    Station { x_m, deflection_m, shear_aft_kn, shear_fore_kn, moment_knm }
}

/// The lengths from aft to forward, checked: every stiffness above 0, no part without or with two.
fn in_order(hull: &[HullLength]) -> Result<Vec<HullLength>, LoadsError> {
    for (number, length) in hull.iter().enumerate() {
        let bad = |quantity| Err(LoadsError::Stiffness { number, quantity });
        let HullLength { from_x_m, to_x_m, bending_kn_m2, shear_kn } = *length;
        if !(from_x_m.is_finite() && to_x_m.is_finite() && from_x_m < to_x_m) {
            return bad("ends");
        }
        if !(bending_kn_m2 > 0.0 && bending_kn_m2.is_finite()) {
            return bad("bending stiffness");
        }
        if shear_kn.is_nan() || shear_kn <= 0.0 {
            return bad("shear stiffness");
        }
    }
    let mut hull = hull.to_vec();
    hull.sort_by(|a, b| a.from_x_m.total_cmp(&b.from_x_m));
    for pair in hull.windows(2) {
        let (from_x_m, to_x_m) = (pair[0].to_x_m, pair[1].from_x_m);
        if to_x_m - from_x_m > MEET_M {
            return Err(LoadsError::NoStiffness { from_x_m, to_x_m });
        }
        if from_x_m - to_x_m > MEET_M {
            let to_x_m = from_x_m.min(pair[1].to_x_m);
            return Err(LoadsError::TwoStiffnesses { from_x_m: pair[1].from_x_m, to_x_m });
        }
    }
    Ok(hull)
}

struct Element {
    long_m: f64,
    bending_kn_m2: f64,
    /// phi = 12 E I / (G As L^2).
    phi: f64,
}

impl Element {
    /// An element with the mean flexibility of the hull between two stations.
    fn new(hull: &[HullLength], from_x_m: f64, to_x_m: f64) -> Self {
        let long_m = to_x_m - from_x_m;
        let (mut covered, mut bend, mut shear) = (0.0, 0.0, 0.0);
        for length in hull {
            let part = length.to_x_m.min(to_x_m) - length.from_x_m.max(from_x_m);
            if part > 0.0 {
                covered += part;
                bend += part / length.bending_kn_m2;
                shear += part / length.shear_kn;
            }
        }
        let bending_kn_m2 = covered / bend;
        let phi = 12.0 * bending_kn_m2 * (shear / covered) / (long_m * long_m);
        Self { long_m, bending_kn_m2, phi }
    }

    /// Its stiffness when its ends are moved past each other without turning, kN/m.
    fn across_kn_per_m(&self) -> f64 {
        12.0 * self.bending_kn_m2 / ((1.0 + self.phi) * self.long_m * self.long_m * self.long_m)
    }

    /// Deflection at a part (0 to 1) of its length from the four unknowns of its ends.
    fn shape(&self, part: f64) -> [f64; 4] {
        let (s, l, phi) = (part, self.long_m, self.phi);
        let (s2, s3) = (s * s, s * s * s);
        [
            (1.0 - 3.0 * s2 + 2.0 * s3 + phi * (1.0 - s)) / (1.0 + phi),
            l * (s - 2.0 * s2 + s3 + phi / 2.0 * (s - s2)) / (1.0 + phi),
            (3.0 * s2 - 2.0 * s3 + phi * s) / (1.0 + phi),
            l * (s3 - s2 - phi / 2.0 * (s - s2)) / (1.0 + phi),
        ]
    }
}

/// The hull girder. Unknowns 2 n and 2 n + 1 are deflection and turn at node n; the last is the heel.
struct Beam {
    /// Every block, end of a length and node.
    stations_m: Vec<f64>,
    nodes_m: Vec<f64>,
    elements: Vec<Element>,
}

impl Beam {
    fn new(
        blocks: &[BlockSpring],
        carried: &Carried,
        hull: &[HullLength],
        longest_m: f64,
    ) -> Result<Self, LoadsError> {
        let (aft, fore) = hull
            .first()
            .zip(hull.last())
            .map(|(first, last)| (first.from_x_m, last.to_x_m))
            .ok_or(LoadsError::NoHull)?;
        if !(longest_m > 0.0 && (fore - aft) / longest_m < MOST_ELEMENTS as f64 / 2.0) {
            return Err(LoadsError::ElementLength { most: MOST_ELEMENTS });
        }
        let within = |what, x_m: f64| {
            let on_it = x_m >= aft - MEET_M && x_m <= fore + MEET_M;
            if on_it { Ok(x_m) } else { Err(LoadsError::BeyondHull { what, x_m }) }
        };
        let mut wanted_m = Vec::new();
        for block in blocks {
            wanted_m.push(within("a block", block.x_m)?);
        }
        for (what, curve) in [("weight", &carried.weight), ("buoyancy", &carried.buoyancy)] {
            for length in curve.lengths() {
                wanted_m.push(within(what, length.from_x_m)?);
                wanted_m.push(within(what, length.to_x_m)?);
            }
        }
        wanted_m.extend(hull.iter().map(|length| length.from_x_m));
        wanted_m.push(fore);
        wanted_m.sort_by(f64::total_cmp);
        let mean =
            blocks.iter().map(|block| block.stiffness_kn_per_m).sum::<f64>() / blocks.len() as f64;
        let too_near = |a: f64, b: f64| {
            b - a < LEAST_APART_M || Element::new(hull, a, b).across_kn_per_m() > STIFFEST * mean
        };
        let nodes_m = nodes(&wanted_m, (aft, fore), longest_m, too_near);
        if nodes_m.len() > MOST_ELEMENTS {
            return Err(LoadsError::ElementLength { most: MOST_ELEMENTS });
        }
        let elements =
            nodes_m.windows(2).map(|pair| Element::new(hull, pair[0], pair[1])).collect();
        let mut stations_m = [nodes_m.as_slice(), &wanted_m].concat();
        stations_m.sort_by(f64::total_cmp);
        stations_m.dedup();
        Ok(Self { stations_m, nodes_m, elements })
    }

    fn heel(&self) -> usize {
        2 * self.nodes_m.len()
    }

    fn ends(&self) -> (f64, f64) {
        (self.nodes_m[0], self.nodes_m[self.elements.len()])
    }

    /// The element in which a station lies.
    fn at(&self, x_m: f64) -> usize {
        self.nodes_m
            .partition_point(|node| *node <= x_m)
            .saturating_sub(1)
            .min(self.elements.len() - 1)
    }

    /// Deflection at a station of an element from its four unknowns.
    fn shape(&self, element: usize, x_m: f64) -> [f64; 4] {
        let inside = &self.elements[element];
        inside.shape((x_m - self.nodes_m[element]) / inside.long_m)
    }

    /// Deflection on the centreline at a station from all unknowns.
    fn row(&self, x_m: f64) -> Vec<(usize, f64)> {
        let element = self.at(x_m);
        self.shape(element, x_m)
            .into_iter()
            .enumerate()
            .map(|(n, c)| (2 * element + n, c))
            .collect()
    }

    fn terms(&self) -> Vec<Term> {
        let of = |(n, element): (usize, &Element)| {
            let l = element.long_m;
            let bend = Term {
                row: vec![(2 * n + 1, -1.0), (2 * n + 3, 1.0)],
                stiffness: element.bending_kn_m2 / l,
                gap: 0.0,
            };
            let lean = Term {
                row: vec![
                    (2 * n, -1.0 / l),
                    (2 * n + 1, -0.5),
                    (2 * n + 2, 1.0 / l),
                    (2 * n + 3, -0.5),
                ],
                stiffness: 12.0 * element.bending_kn_m2 / (l * (1.0 + element.phi)),
                gap: 0.0,
            };
            [bend, lean]
        };
        self.elements.iter().enumerate().flat_map(of).collect()
    }

    /// Weight less buoyancy as consistent forces, kN and kN m.
    fn forces(&self, carried: &Carried) -> Vec<f64> {
        let mut forces = vec![0.0; self.heel() + 1];
        forces[self.heel()] = carried.athwart_tm * STANDARD_GRAVITY_M_PER_S2;
        let mut carry = |length: &Length, sign: f64| {
            let last = if length.from_x_m == length.to_x_m {
                self.at(length.from_x_m)
            } else {
                self.at(length.to_x_m)
            };
            for n in self.at(length.from_x_m)..=last {
                // A length that reaches past the last node by a rounding ends in the last element.
                let (from, to) = (self.nodes_m[n], self.nodes_m[n + 1]);
                let share = integrate(length, from, to, |x_m| self.shape(n, x_m));
                for (i, force) in share.into_iter().enumerate() {
                    forces[2 * n + i] += sign * STANDARD_GRAVITY_M_PER_S2 * force;
                }
            }
        };
        carried.weight.lengths().iter().for_each(|length| carry(length, 1.0));
        carried.buoyancy.lengths().iter().for_each(|length| carry(length, -1.0));
        forces
    }
}

/// Nodes at both ends, at the stations wanted (in order) but for those too near to another node, and
/// between them.
fn nodes(
    wanted_m: &[f64],
    (aft, fore): (f64, f64),
    longest_m: f64,
    too_near: impl Fn(f64, f64) -> bool,
) -> Vec<f64> {
    let mut nodes = vec![aft];
    let mut last = aft;
    let mut reach = |to: f64| {
        let mut parts = libm::ceil((to - last) / longest_m).max(1.0);
        while parts > 1.0 && too_near(last, last + (to - last) / parts) {
            parts = libm::ceil(parts / 2.0);
        }
        let whole = parts as usize;
        nodes.extend((1..whole).map(|part| last + (to - last) * part as f64 / parts));
        nodes.push(to);
        last = to;
    };
    let mut before = aft;
    for x_m in wanted_m.iter().copied() {
        if !too_near(before, x_m) && !too_near(x_m, fore) {
            reach(x_m);
            before = x_m;
        }
    }
    reach(fore);
    nodes
}

#[cfg(test)]
mod tests;
