//! Blocks as springs, what they carry, and what comes out: what both the rigid ship and the girder rest on.

use super::contact::{Settled, Term};
use super::error::LoadsError;
use super::weight::Curve;
use crate::calc::formula::Formula;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// How contact is decided.
pub const CONTACT: Formula = Formula {
    name: "contact",
    title: "Which blocks bear",
    says: "`load >= 0`, `remaining gap >= 0` and `load x gap = 0` at every block, found as the least of the \
           energy `1/2 u K u - f u + sum(1/2 k max(0, c)^2)` over the blocks, c the compression that the \
           movement u gives a block less its gap; the bearing set is changed by Newton steps with an exact \
           search along each, until the forces balance; a bearing with a width athwart is two equal springs \
           at `1 / (2 sqrt(3))` of the width either side of its centre, which together have the roll \
           stiffness `(k b^2) / 12` while both bear",
    source: "complementarity of load and gap (unilateral contact); two-point Gauss rule for the width",
};

/// Pressure on the bearing area of a block.
pub const PRESSURE: Formula = Formula {
    name: "bearing pressure",
    title: "Bearing pressure of a block",
    says: "`load / bearing area`",
    source: "definition of pressure",
};

/// Loads that balance what they carry to this part are in balance; rounding stays far below it.
const OUT_OF_BALANCE: f64 = 1e-7;

/// Trim and heel up to this are small: sine and angle differ by less than two parts in a thousand (our
/// choice).
pub const SMALL_ANGLE_RAD: f64 = 0.1;

/// A block as the ship feels it: a spring that only pushes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockSpring {
    /// Station of its centre on the hull, m.
    pub x_m: f64,
    /// Its centre's distance to port of the centreline, m.
    pub y_m: f64,
    /// Its stiffness, kN/m, above 0.
    pub stiffness_kn_per_m: f64,
    /// How far the hull, level and undeformed, stands above the cap before any load, m; usually 0 at
    /// the highest block.
    pub gap_m: f64,
    /// Width athwart over which it bears, m; 0 for a block that bears along a line.
    pub width_m: f64,
}

/// What the blocks carry.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// The ship's weight along her length.
    pub weight: Curve,
    /// The buoyancy that the water still gives; [`Curve::none`] when the dock is dry.
    pub buoyancy: Curve,
    /// Moment of weight less buoyancy about the centreline, t m, positive to port.
    pub athwart_tm: f64,
}

impl Carried {
    /// A weight curve in a dry dock, centred athwart.
    pub fn dry(weight: Curve) -> Self {
        Self { weight, buoyancy: Curve::none(), athwart_tm: 0.0 }
    }

    /// Weight less buoyancy, t.
    pub fn net_t(&self) -> f64 {
        self.weight.total_t() - self.buoyancy.total_t()
    }

    /// Moment of weight less buoyancy about the stern reference point, t m.
    pub fn net_moment_tm(&self) -> f64 {
        self.weight.moment_tm() - self.buoyancy.moment_tm()
    }
}

/// How the blocks share the load. Lists are in the order of the blocks given.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Load of each block, kN, never below 0.
    pub loads_kn: Vec<f64>,
    /// What is left of the gap under the middle of each cap, m; 0 where the block bears.
    pub gaps_m: Vec<f64>,
    /// How much each block is pressed together, m.
    pub compressions_m: Vec<f64>,
    /// How far the hull came down at each block from where it first stood, m.
    pub deflections_m: Vec<f64>,
    /// Station of the middle of the blocks, m.
    pub middle_x_m: f64,
    /// Settlement at that middle, m; of a girder, that of the straight line through her ends.
    pub settlement_m: f64,
    /// Trim by the stern, radians; of a girder, that of the straight line through her ends.
    pub trim_rad: f64,
    /// Heel to port, radians. 0 where nothing that bears resists heel and nothing heels her.
    pub heel_rad: f64,
    /// Sum of the loads less weight less buoyancy, kN: 0 but for rounding.
    pub residual_force_kn: f64,
    /// Moment of the loads less that of weight less buoyancy, about the middle, kN m.
    pub residual_moment_knm: f64,
    /// The same about the centreline, kN m, positive to port.
    pub residual_athwart_knm: f64,
    /// Steps of the solution.
    pub iterations: usize,
}

/// Bearing pressure, kPa, of a load (kN) over an area (m2); `None` without an area.
pub fn pressure_kpa(load_kn: f64, area_m2: f64) -> Option<f64> {
    (area_m2 > 0.0 && area_m2.is_finite() && load_kn.is_finite()).then(|| load_kn / area_m2)
}

/// The blocks but those left out, each with its number in `springs`, to study leaving blocks out.
pub fn without(springs: &[BlockSpring], leave_out: &[usize]) -> (Vec<usize>, Vec<BlockSpring>) {
    springs
        .iter()
        .enumerate()
        .filter(|(number, _)| !leave_out.contains(number))
        .map(|(number, spring)| (number, *spring))
        .unzip()
}

/// Bearing lines of a block: (y in m, stiffness in kN/m). Together they have its stiffness, and the
/// roll stiffness of its width.
pub(super) fn strips(block: &BlockSpring) -> Vec<(f64, f64)> {
    if block.width_m == 0.0 {
        return vec![(block.y_m, block.stiffness_kn_per_m)];
    }
    let arm = block.width_m / libm::sqrt(12.0);
    let half = block.stiffness_kn_per_m / 2.0;
    vec![(block.y_m - arm, half), (block.y_m + arm, half)]
}

/// Refuses blocks that are no springs, and a ship that they can't carry.
pub(super) fn check(blocks: &[BlockSpring], carried: &Carried) -> Result<(), LoadsError> {
    for (number, block) in blocks.iter().enumerate() {
        let bad = |quantity| Err(LoadsError::Block { number, quantity });
        match block {
            b if !(b.x_m.is_finite() && b.y_m.is_finite()) => return bad("place"),
            b if !(b.stiffness_kn_per_m > 0.0 && b.stiffness_kn_per_m.is_finite()) => {
                return bad("stiffness");
            }
            b if !b.gap_m.is_finite() => return bad("gap"),
            b if !(b.width_m >= 0.0 && b.width_m.is_finite()) => return bad("width"),
            _ => {}
        }
    }
    if blocks.is_empty() {
        return Err(LoadsError::NoBlocks);
    }
    let net_t = carried.net_t();
    if !(net_t.is_finite() && carried.net_moment_tm().is_finite() && carried.athwart_tm.is_finite())
    {
        return Err(LoadsError::NotSettled);
    }
    if net_t <= 0.0 {
        return Err(LoadsError::Afloat { over_t: -net_t });
    }
    let points: Vec<(f64, f64)> = blocks
        .iter()
        .flat_map(|block| strips(block).into_iter().map(|(y, _)| (block.x_m, y)))
        .collect();
    super::footing::check(&points, carried.net_moment_tm() / net_t, carried.athwart_tm / net_t)
}

/// The terms of every block's bearing lines, given how its movement at a y depends on the unknowns.
pub(super) fn bearing_terms(
    blocks: &[BlockSpring],
    row: impl Fn(&BlockSpring, f64) -> Vec<(usize, f64)>,
) -> Vec<Term> {
    blocks
        .iter()
        .flat_map(|block| strips(block).into_iter().map(move |strip| (block, strip)))
        .map(|(block, (y_m, stiffness))| Term { row: row(block, y_m), stiffness, gap: block.gap_m })
        .collect()
}

/// Settlement at the middle (m), trim (rad) and heel (rad).
pub(super) struct Attitude {
    pub(super) settlement_m: f64,
    pub(super) trim_rad: f64,
    pub(super) heel_rad: f64,
}

/// Middle of the blocks' stations, m.
pub(super) fn middle_m(blocks: &[BlockSpring]) -> f64 {
    let (least, most) = blocks.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), block| {
        (a.min(block.x_m), b.max(block.x_m))
    });
    least + (most - least) / 2.0
}

/// The outcome from what the solver found. Residuals are taken from the loads alone.
pub(super) fn outcome(
    blocks: &[BlockSpring],
    carried: &Carried,
    settled: &Settled,
    attitude: Attitude,
) -> Result<Outcome, LoadsError> {
    let middle_x_m = middle_m(blocks);
    let mut found = Outcome {
        loads_kn: Vec::new(),
        gaps_m: Vec::new(),
        compressions_m: Vec::new(),
        deflections_m: Vec::new(),
        middle_x_m,
        settlement_m: attitude.settlement_m,
        trim_rad: attitude.trim_rad,
        heel_rad: attitude.heel_rad,
        residual_force_kn: -carried.net_t() * STANDARD_GRAVITY_M_PER_S2,
        residual_moment_knm: -(carried.net_moment_tm() - carried.net_t() * middle_x_m)
            * STANDARD_GRAVITY_M_PER_S2,
        residual_athwart_knm: -carried.athwart_tm * STANDARD_GRAVITY_M_PER_S2,
        iterations: settled.iterations,
    };
    let mut pressed = settled.compressions.iter();
    for block in blocks {
        let strips = strips(block);
        let (mut load, mut sum) = (0.0, 0.0);
        for ((y_m, stiffness), c) in strips.iter().zip(&mut pressed) {
            load += stiffness * c.max(0.0);
            sum += c;
            found.residual_athwart_knm += stiffness * c.max(0.0) * y_m;
        }
        let under_middle = sum / strips.len() as f64;
        found.loads_kn.push(load);
        found.gaps_m.push(if load > 0.0 { 0.0 } else { (-under_middle).max(0.0) });
        found.compressions_m.push(load / block.stiffness_kn_per_m);
        found.deflections_m.push(under_middle + block.gap_m);
        found.residual_force_kn += load;
        found.residual_moment_knm += load * (block.x_m - middle_x_m);
    }
    // The last word on balance and on figures that are none: a comparison with NaN fails too.
    let total_kn = carried.net_t() * STANDARD_GRAVITY_M_PER_S2;
    let reach_m = blocks
        .iter()
        .map(|block| libm::hypot(block.x_m - middle_x_m, block.y_m) + block.width_m)
        .fold(0.0, f64::max);
    let turned = found.residual_moment_knm.abs().max(found.residual_athwart_knm.abs());
    let balanced = found.residual_force_kn.abs() <= OUT_OF_BALANCE * total_kn
        && turned <= OUT_OF_BALANCE * total_kn * reach_m;
    let lists = [&found.gaps_m, &found.compressions_m, &found.deflections_m];
    let ends = [found.settlement_m, found.trim_rad, found.heel_rad];
    let sound = lists.into_iter().flatten().chain(&ends).all(|value| value.is_finite());
    if !(balanced && sound) {
        return Err(LoadsError::NotSettled);
    }
    let Attitude { trim_rad, heel_rad, .. } = attitude;
    if trim_rad.abs().max(heel_rad.abs()) > SMALL_ANGLE_RAD {
        return Err(LoadsError::TooFar { trim_rad, heel_rad });
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pressure_needs_an_area() {
        assert_eq!(pressure_kpa(420.0, 0.84), Some(500.0));
        assert_eq!(pressure_kpa(420.0, 0.0), None);
        assert_eq!(pressure_kpa(f64::NAN, 1.0), None);
    }

    #[test]
    fn blocks_left_out_keep_the_others_numbers() {
        let block =
            |x_m| BlockSpring { x_m, y_m: 0.0, stiffness_kn_per_m: 1e5, gap_m: 0.0, width_m: 0.0 };
        let (numbers, left) = without(&[block(0.0), block(1.0), block(2.0)], &[1, 7]);
        assert_eq!(numbers, vec![0, 2]);
        assert_eq!(left.iter().map(|block| block.x_m).collect::<Vec<_>>(), vec![0.0, 2.0]);
    }
}
