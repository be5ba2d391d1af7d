//! A rigid ship on her blocks.

use super::bearing::{self, Attitude, BlockSpring, Carried, Outcome};
use super::contact::{Problem, settle};
use super::error::LoadsError;
use crate::calc::formula::Formula;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// How a rigid ship sits.
pub const RIGID: Formula = Formula {
    name: "rigid ship on blocks",
    title: "Block loads of a rigid ship",
    says: "`compression = settlement + trim (middle - x) + heel y - gap` of a block, `load = k x \
           compression` where that is above 0; settlement, trim and heel balance the weight less the \
           buoyancy in force and both moments. Angles are small; the ship's weight does not shift with her \
           heel. With blocks alike on the centreline the loads form a trapezoid while the centre lies in the \
           middle third of their line",
    source: "equilibrium of a rigid body on springs; g = 9.80665 m/s2",
};

/// Settlement, trim and heel are unknowns 0, 1 and 2.
const UNKNOWNS: usize = 3;

/// Loads on the blocks under a rigid ship.
pub fn rigid(blocks: &[BlockSpring], carried: &Carried) -> Result<Outcome, LoadsError> {
    bearing::check(blocks, carried)?;
    let middle_x_m = bearing::middle_m(blocks);
    let net_t = carried.net_t();
    let forces_t = [net_t, net_t * middle_x_m - carried.net_moment_tm(), carried.athwart_tm];
    let problem = Problem {
        forces: forces_t.iter().map(|force| force * STANDARD_GRAVITY_M_PER_S2).collect(),
        both_ways: Vec::new(),
        push_only: bearing::bearing_terms(blocks, |block, y_m| {
            vec![(0, 1.0), (1, middle_x_m - block.x_m), (2, y_m)]
        }),
    };
    let settled = settle(&problem)?;
    let [settlement_m, trim_rad, heel_rad]: [f64; UNKNOWNS] =
        settled.unknowns.clone().try_into().map_err(|_| LoadsError::NotSettled)?;
    bearing::outcome(blocks, carried, &settled, Attitude { settlement_m, trim_rad, heel_rad })
}

#[cfg(test)]
mod tests {
    use super::super::weight::Curve;
    use super::*;

    const BLOCK: BlockSpring =
        BlockSpring { x_m: 0.0, y_m: 0.0, stiffness_kn_per_m: 2e5, gap_m: 0.0, width_m: 0.0 };
    const G: f64 = STANDARD_GRAVITY_M_PER_S2;

    fn line(count: usize) -> Vec<BlockSpring> {
        (0..count).map(|n| BlockSpring { x_m: n as f64 * 1.5, ..BLOCK }).collect()
    }

    fn point(mass_t: f64, x_m: f64) -> Carried {
        Carried::dry(Curve::point(mass_t, x_m).unwrap_or(Curve::none()))
    }

    /// The trapezoid of any textbook: mean load times 1 + 12 e x / (n^2 - 1) s^2 for n blocks s apart.
    #[test]
    fn alike_blocks_take_a_trapezoid() {
        let blocks = line(21);
        for off in [0.0, 2.0, -4.9] {
            let found = rigid(&blocks, &point(2100.0, 15.0 + off));
            let found = found.map(|outcome| outcome.loads_kn).unwrap_or_default();
            assert_eq!(found.len(), 21);
            for (n, load) in found.iter().enumerate() {
                let from_middle = (n as f64 - 10.0) * 1.5;
                let lean = 12.0 * off * from_middle / ((21.0 * 21.0 - 1.0) * 1.5 * 1.5);
                assert!((load - 100.0 * G * (1.0 + lean)).abs() < 1e-8, "{off} {n} {load}");
            }
        }
    }

    #[test]
    fn outside_the_middle_third_one_end_lifts() {
        let found = rigid(&line(21), &point(2100.0, 24.0));
        let Ok(found) = found else { panic!("{found:?}") };
        assert_eq!(found.loads_kn[0], 0.0);
        assert!(found.gaps_m[0] > 0.0 && found.trim_rad < 0.0);
        assert!(found.residual_force_kn.abs() < 1e-8 && found.residual_moment_knm.abs() < 1e-7);
    }

    /// k b^2 / 12 of every bearing resists a small heeling moment.
    #[test]
    fn width_resists_heel_until_an_edge_lifts() {
        let blocks: Vec<_> = line(10).iter().map(|b| BlockSpring { width_m: 1.2, ..*b }).collect();
        let heeled = |athwart_tm| rigid(&blocks, &Carried { athwart_tm, ..point(1000.0, 6.75) });
        let Ok(found) = heeled(20.0) else { panic!() };
        let stiffness = 10.0 * 2e5 * 1.2 * 1.2 / 12.0;
        assert!((found.heel_rad / (20.0 * G / stiffness) - 1.0).abs() < 1e-9);
        assert!(found.residual_athwart_knm.abs() < 1e-7);
        assert!(matches!(heeled(1000.0), Err(LoadsError::Topples { .. })));
    }

    #[test]
    fn bilge_blocks_stop_a_heel_once_their_gap_is_closed() {
        let mut blocks = line(10);
        for y_m in [-4.0, 4.0] {
            blocks.push(BlockSpring { x_m: 6.75, y_m, gap_m: 0.02, ..BLOCK });
        }
        let Ok(upright) = rigid(&blocks, &point(1000.0, 6.75)) else { panic!() };
        assert_eq!(upright.heel_rad, 0.0);
        let settlement = 1000.0 * G / (10.0 * 2e5);
        for gap in &upright.gaps_m[10..] {
            assert!((gap - (0.02 - settlement).max(0.0)).abs() < 1e-12);
        }
        let Ok(heeled) = rigid(&blocks, &Carried { athwart_tm: 40.0, ..point(1000.0, 6.75) })
        else {
            panic!()
        };
        assert!((heeled.loads_kn[11] - 10.0 * G).abs() < 1e-6);
        assert!(heeled.heel_rad > 0.0 && heeled.gaps_m[10] > 0.02);
    }

    #[test]
    fn what_can_not_stand_is_refused() {
        let blocks = line(4);
        assert_eq!(rigid(&[], &point(10.0, 0.0)), Err(LoadsError::NoBlocks));
        assert!(matches!(rigid(&blocks, &point(10.0, 5.0)), Err(LoadsError::Topples { .. })));
        assert!(matches!(rigid(&blocks, &point(0.0, 2.0)), Err(LoadsError::Afloat { .. })));
        assert_eq!(rigid(&blocks[..1], &point(10.0, 0.0)), Err(LoadsError::OneStation));
        for (block, quantity) in [
            (BlockSpring { stiffness_kn_per_m: 0.0, ..BLOCK }, "stiffness"),
            (BlockSpring { stiffness_kn_per_m: -1.0, ..BLOCK }, "stiffness"),
            (BlockSpring { x_m: f64::NAN, ..BLOCK }, "place"),
            (BlockSpring { gap_m: f64::INFINITY, ..BLOCK }, "gap"),
            (BlockSpring { width_m: -0.1, ..BLOCK }, "width"),
        ] {
            let found = rigid(&[blocks[1], block], &point(10.0, 1.0));
            assert_eq!(found, Err(LoadsError::Block { number: 1, quantity }));
        }
        let odd = Carried { athwart_tm: f64::NAN, ..point(10.0, 2.0) };
        assert_eq!(rigid(&blocks, &odd), Err(LoadsError::NotSettled));
    }
}
