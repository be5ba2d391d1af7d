//! Tests of the hull girder.

use super::super::weight::Curve;
use super::*;

const G: f64 = STANDARD_GRAVITY_M_PER_S2;
const HULL: HullLength =
    HullLength { from_x_m: 0.0, to_x_m: 40.0, bending_kn_m2: 4e8, shear_kn: 9e6 };

fn block(x_m: f64) -> BlockSpring {
    BlockSpring { x_m, y_m: 0.0, stiffness_kn_per_m: 1.5e5, gap_m: 0.0, width_m: 0.0 }
}

fn even(mass_t: f64) -> Curve {
    Curve::trapezoid(0.0, 40.0, mass_t, 20.0).unwrap_or(Curve::none())
}

/// A beam on two supports at its ends: the textbook's deflections by bending and by shear, 5 q L^4 /
/// (384 E I) + q L^2 / (8 G As), and moment q L^2 / 8.
#[test]
fn two_supports_and_an_even_weight() {
    let found = girder(&[block(0.0), block(40.0)], &Carried::dry(even(800.0)), &[HULL], 3.0);
    let Ok(found) = found else { panic!("{found:?}") };
    let q = 20.0 * G;
    let sag = 5.0 * q * 40f64.powi(4) / (384.0 * 4e8) + q * 1600.0 / (8.0 * 9e6);
    let settled = 400.0 * G / 1.5e5;
    let middle =
        found.stations.iter().min_by(|a, b| (a.x_m - 20.0).abs().total_cmp(&(b.x_m - 20.0).abs()));
    let Some(middle) = middle else { panic!() };
    assert!((middle.x_m - 20.0).abs() < 1e-9);
    assert!((middle.deflection_m - settled - sag).abs() < 1e-9, "{middle:?}");
    assert!((middle.moment_knm + q * 200.0).abs() < 1e-6);
    assert!((found.outcome.settlement_m - settled).abs() < 1e-9);
    assert!((found.stations[0].shear_fore_kn + 400.0 * G).abs() < 1e-6);
    assert!(found.stations.last().is_some_and(|end| end.moment_knm.abs() < 1e-5));
}

/// Moments from equilibrium and from the bending of the elements are the same thing.
#[test]
fn moments_agree_with_curvature() {
    let blocks: Vec<_> = (0..14).map(|n| block(3.0 + n as f64 * 2.5)).collect();
    let carried = Carried::dry(Curve::trapezoid(0.0, 40.0, 900.0, 21.0).unwrap_or(even(1.0)));
    let no_shear = HullLength { shear_kn: f64::INFINITY, ..HULL };
    let Ok(found) = girder(&blocks, &carried, &[no_shear], 0.5) else { panic!() };
    let mut compared = 0;
    for three in found.stations.windows(3) {
        let (a, b, c) = (three[0], three[1], three[2]);
        if (c.x_m - b.x_m - (b.x_m - a.x_m)).abs() < 1e-9 && b.shear_aft_kn == b.shear_fore_kn {
            let h = b.x_m - a.x_m;
            let bend = (a.deflection_m - 2.0 * b.deflection_m + c.deflection_m) / (h * h);
            // The second difference differs from the second derivative by h^2 q / (12 E I).
            let beyond = (900.0 / 40.0 * 2.0) * G * h * h / 12.0;
            assert!((HULL.bending_kn_m2 * bend - b.moment_knm).abs() < beyond + 0.05);
            compared += 1;
        }
    }
    assert!(compared > 30);
}

#[test]
fn a_stiff_girder_is_a_rigid_ship() {
    let mut blocks: Vec<_> = (0..14).map(|n| block(3.0 + n as f64 * 2.5)).collect();
    blocks[4].gap_m = 0.004;
    blocks.push(BlockSpring { y_m: 4.0, gap_m: 0.001, width_m: 0.8, ..block(20.0) });
    blocks.push(BlockSpring { y_m: -4.0, gap_m: 0.02, ..block(20.004) });
    let carried = Carried { athwart_tm: 30.0, ..Carried::dry(even(700.0)) };
    let stiff = HullLength { bending_kn_m2: 1e13, shear_kn: 1e12, ..HULL };
    let (rigid, girder) =
        (super::super::rigid(&blocks, &carried), girder(&blocks, &carried, &[stiff], 2.0));
    let (Ok(rigid), Ok(girder)) = (rigid, girder) else { panic!() };
    for (a, b) in rigid.loads_kn.iter().zip(&girder.outcome.loads_kn) {
        assert!((a - b).abs() < 0.1, "{a} {b}");
    }
    assert!((rigid.trim_rad - girder.outcome.trim_rad).abs() < 1e-7);
    assert!((rigid.heel_rad - girder.outcome.heel_rad).abs() < 1e-7);
    assert!((rigid.settlement_m - girder.outcome.settlement_m).abs() < 1e-6);
}

#[test]
fn elements_share_their_loads_and_nodes_keep_apart() {
    let near = |a: f64, b: f64| b - a < 0.01;
    let found = nodes(&[0.0, 3.0, 3.004, 9.995, 10.0], (0.0, 10.0), 2.0, near);
    assert_eq!(found, vec![0.0, 1.5, 3.0, 4.75, 6.5, 8.25, 10.0]);
    let parts = [HullLength { to_x_m: 4.0, ..HULL }, HullLength { from_x_m: 4.0, ..HULL }];
    let whole = Element::new(&parts, 3.0, 5.0);
    assert!((whole.bending_kn_m2 / 4e8 - 1.0).abs() < 1e-12);
    for part in [0.0, 0.3, 1.0] {
        let [w1, t1, w2, t2] = whole.shape(part);
        // Settling by 1 and turning by 1 about the after end move every place as they should.
        assert!((w1 + w2 - 1.0).abs() < 1e-12);
        assert!((t1 + t2 + w2 * 2.0 - part * 2.0).abs() < 1e-12);
    }
}

#[test]
fn a_hull_that_is_not_whole_is_refused() {
    let (blocks, carried) = ([block(3.0), block(30.0)], Carried::dry(even(100.0)));
    let with = |hull: &[HullLength]| girder(&blocks, &carried, hull, 2.0).err();
    let aft = HullLength { to_x_m: 20.0, ..HULL };
    let fore = HullLength { from_x_m: 20.0, ..HULL };
    assert_eq!(with(&[fore, aft]), None);
    assert_eq!(with(&[]), Some(LoadsError::NoHull));
    let gap = HullLength { from_x_m: 21.0, ..HULL };
    let none = LoadsError::NoStiffness { from_x_m: 20.0, to_x_m: 21.0 };
    assert_eq!(with(&[aft, gap]), Some(none));
    let over = HullLength { from_x_m: 19.0, ..HULL };
    let two = LoadsError::TwoStiffnesses { from_x_m: 19.0, to_x_m: 20.0 };
    assert_eq!(with(&[aft, over]), Some(two));
    assert!(matches!(with(&[aft]), Some(LoadsError::BeyondHull { what: "a block", .. })));
    let short = HullLength { to_x_m: 35.0, ..HULL };
    assert_eq!(with(&[short]), Some(LoadsError::BeyondHull { what: "weight", x_m: 40.0 }));
    for (odd, quantity) in [
        (HullLength { bending_kn_m2: 0.0, ..HULL }, "bending stiffness"),
        (HullLength { shear_kn: f64::NAN, ..HULL }, "shear stiffness"),
        (HullLength { shear_kn: 0.0, ..HULL }, "shear stiffness"),
        (HullLength { to_x_m: 0.0, ..HULL }, "ends"),
    ] {
        assert_eq!(with(&[odd]), Some(LoadsError::Stiffness { number: 0, quantity }));
    }
    for longest_m in [0.0, -1.0, f64::NAN, 1e-9] {
        let found = girder(&blocks, &carried, &[HULL], longest_m).err();
        assert_eq!(found, Some(LoadsError::ElementLength { most: MOST_ELEMENTS }));
    }
}
