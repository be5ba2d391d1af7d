//! Beams on elastic foundations by closed form. A fine row of springs stands in for the foundation. The
//! springs only push while the closed forms may pull, so a dead load keeps all of them pressed, and what it
//! does by itself is taken off again.

use lastdock::calc::loads::girder::{Girder, HullLength, Station, girder};
use lastdock::calc::loads::weight::{Curve, Length};
use lastdock::calc::loads::{BlockSpring, Carried};

use super::sound;

const G: f64 = 9.80665;

/// A beam on a foundation (kN/m2), under point loads (x in m, kN).
struct Founded {
    long_m: f64,
    bending_kn_m2: f64,
    shear_kn: f64,
    foundation_kn_m2: f64,
    spaces: usize,
}

impl Founded {
    /// Springs at the middles of equal spaces, each as stiff as its space.
    fn under(&self, loads: &[(f64, f64)], dead_t: f64) -> Girder {
        let pitch = self.long_m / self.spaces as f64;
        let blocks: Vec<BlockSpring> = (0..self.spaces)
            .map(|n| BlockSpring {
                x_m: (n as f64 + 0.5) * pitch,
                y_m: 0.0,
                stiffness_kn_per_m: self.foundation_kn_m2 * pitch,
                gap_m: 0.0,
                width_m: 0.0,
            })
            .collect();
        let mut lengths: Vec<Length> = loads
            .iter()
            .map(|(x_m, load_kn)| Length {
                from_x_m: *x_m,
                to_x_m: *x_m,
                mass_t: load_kn / G,
                centre_x_m: *x_m,
            })
            .collect();
        lengths.push(Length {
            from_x_m: 0.0,
            to_x_m: self.long_m,
            mass_t: dead_t,
            centre_x_m: self.long_m / 2.0,
        });
        let hull = HullLength {
            from_x_m: 0.0,
            to_x_m: self.long_m,
            bending_kn_m2: self.bending_kn_m2,
            shear_kn: self.shear_kn,
        };
        let carried = Carried::dry(Curve::new(lengths).expect("a curve"));
        let found = sound(girder(&blocks, &carried, &[hull], pitch));
        assert!(
            found.outcome.loads_kn.iter().all(|load| *load > 0.0),
            "the dead load is too light"
        );
        found
    }

    /// Heavy enough that every spring stays pressed, which `under` asserts.
    fn dead_t(&self, loads: &[(f64, f64)]) -> f64 {
        let total: f64 = loads.iter().map(|(_, load)| load).sum();
        2.0 * total / G * (self.long_m * self.per_m()).max(1.0)
    }

    /// Hetenyi's lambda, 1/m.
    fn per_m(&self) -> f64 {
        (self.foundation_kn_m2 / (4.0 * self.bending_kn_m2)).powf(0.25)
    }

    /// Deflection (m) and sagging moment (kN m) at a station from the loads alone: with the dead load, less
    /// those of the dead load by itself.
    fn at(&self, loads: &[(f64, f64)], x_m: f64) -> (f64, f64) {
        let (dead_t, none) = (self.dead_t(loads), [(x_m, 0.0)]);
        let read = |found: Girder| {
            let near = |station: &&Station| (station.x_m - x_m).abs() < 1e-9;
            let station = found.stations.iter().find(near).expect("a station there");
            (station.deflection_m, -station.moment_knm)
        };
        let all = [loads, &none].concat();
        let (both, dead) = (read(self.under(&all, dead_t)), read(self.under(&none, dead_t)));
        (both.0 - dead.0, both.1 - dead.1)
    }
}

fn near(found: f64, wanted: f64, part: f64) -> bool {
    println!("{found:.6} for {wanted:.6}, off by {:.1e}", found / wanted - 1.0);
    (found / wanted - 1.0).abs() < part
}

/// Boresi and Schmidt, Advanced Mechanics of Materials, example 10.1: a rail of E = 200 GPa and I = 36.9e6
/// mm4 on k = 14 N/mm2 under 170 kN: 5.04 mm and 51.2 kN m; under three wheels 1.70 m apart 7.86 mm at the
/// middle one and 37.0 kN m at an outer one (the book's figures, to three digits).
#[test]
fn boresi_and_schmidt_example_10_1() {
    let rail = Founded {
        long_m: 34.0,
        bending_kn_m2: 200e6 * 36.9e-6,
        shear_kn: f64::INFINITY,
        foundation_kn_m2: 14e3,
        spaces: 1700,
    };
    let (down_m, moment_knm) = rail.at(&[(17.0, 170.0)], 17.0);
    assert!(near(down_m * 1000.0, 5.04, 0.0006));
    assert!(near(moment_knm, 51.2, 0.0006));
    // To more digits by the closed form of the infinite beam: P lambda / 2 k and P / 4 lambda.
    let lambda = rail.per_m();
    assert!(near(down_m, 170.0 * lambda / (2.0 * 14e3), 1e-4));
    assert!(near(moment_knm, 170.0 / (4.0 * lambda), 1e-4));
    let wheels = [(15.3, 170.0), (17.0, 170.0), (18.7, 170.0)];
    assert!(near(rail.at(&wheels, 17.0).0 * 1000.0, 7.86, 0.0006));
    assert!(near(rail.at(&wheels, 15.3).1, 37.0, 0.0014));
}

/// Hetenyi, Beams on Elastic Foundation, the finite beam with free ends (formulas from memory, checked by
/// their limits for a stiff beam and by reciprocity): one load at the middle, two equal loads at the ends,
/// and one load at one end.
#[test]
fn hetenyi_finite_beams() {
    for long_m in [4.0, 10.0, 25.0] {
        let beam = Founded {
            long_m,
            bending_kn_m2: 6e4,
            shear_kn: f64::INFINITY,
            foundation_kn_m2: 2e3,
            spaces: 2000,
        };
        let (k, lambda) = (beam.foundation_kn_m2, beam.per_m());
        let p = 100.0;
        let l = lambda * long_m;
        let (sh, ch, s, c) = (l.sinh(), l.cosh(), l.sin(), l.cos());
        let (hsh, hch, hs, hc) =
            ((l / 2.0).sinh(), (l / 2.0).cosh(), (l / 2.0).sin(), (l / 2.0).cos());

        let middle = [(long_m / 2.0, p)];
        let (down, moment) = beam.at(&middle, long_m / 2.0);
        assert!(near(down, p * lambda / (2.0 * k) * (ch + c + 2.0) / (sh + s), 1e-4));
        assert!(near(moment, p / (4.0 * lambda) * (ch - c) / (sh + s), 1e-4));
        let (down, _) = beam.at(&middle, 0.0);
        assert!(near(down, 2.0 * p * lambda / k * hch * hc / (sh + s), 1e-3));

        let ends = [(0.0, p), (long_m, p)];
        let (down, _) = beam.at(&ends, 0.0);
        assert!(near(down, 2.0 * p * lambda / k * (ch + c) / (sh + s), 1e-4));
        let (_, moment) = beam.at(&ends, long_m / 2.0);
        assert!(near(moment, -2.0 * p / lambda * hsh * hs / (sh + s), 1e-3));

        let (down, _) = beam.at(&[(0.0, p)], 0.0);
        let wanted = 2.0 * p * lambda / k * (sh * ch - s * c) / (sh * sh - s * s);
        assert!(near(down, wanted, 1e-4));
    }
}

/// A load off the middle, against the general solution of E I w'''' + k w = 0 on both sides of the load
/// (eight constants from free ends and the jump of shear; solved here with nalgebra).
#[test]
fn a_load_off_the_middle() {
    let beam = Founded {
        long_m: 12.0,
        bending_kn_m2: 6e4,
        shear_kn: f64::INFINITY,
        foundation_kn_m2: 2e3,
        spaces: 2400,
    };
    let (at_m, p) = (3.0, 100.0);
    let general = general_solution(&beam, at_m, p);
    for x_m in [0.0, 3.0, 6.0, 12.0] {
        let (down, moment) = beam.at(&[(at_m, p)], x_m);
        let (wanted_down, wanted_moment) = general(x_m);
        assert!((down - wanted_down).abs() < 1e-4 * 0.01, "{x_m}: {down} {wanted_down}");
        assert!((moment - wanted_moment).abs() < 0.02, "{x_m}: {moment} {wanted_moment}");
    }
}

/// Deflection and sagging moment at x from w = e^(lx) (A cos + B sin) + e^(-lx) (C cos + D sin) either side.
fn general_solution(beam: &Founded, at_m: f64, p: f64) -> impl Fn(f64) -> (f64, f64) {
    let lambda = beam.per_m();
    let ei = beam.bending_kn_m2;
    // The derivative of order `order` of the four functions at x, from (+-1 + i)^n e^((+-1 + i) l x).
    let basis = move |x: f64, order: i32| -> [f64; 4] {
        let angle = lambda * x;
        let scale = (lambda * 2f64.sqrt()).powi(order);
        let turn = |sign: f64| {
            let phase =
                if sign > 0.0 { 45f64 } else { 135f64 }.to_radians() * f64::from(order) + angle;
            ((sign * angle).exp() * scale * phase.cos(), (sign * angle).exp() * scale * phase.sin())
        };
        let ((a, b), (c, d)) = (turn(1.0), turn(-1.0));
        [a, b, c, d]
    };
    let mut m = nalgebra::DMatrix::<f64>::zeros(8, 8);
    let mut f = nalgebra::DVector::<f64>::zeros(8);
    for (row, order) in [(0, 2), (1, 3)] {
        for n in 0..4 {
            m[(row, n)] = basis(0.0, order)[n];
            m[(row + 2, n + 4)] = basis(beam.long_m, order)[n];
        }
    }
    for order in 0..4 {
        for n in 0..4 {
            m[(4 + order as usize, n)] = -basis(at_m, order)[n];
            m[(4 + order as usize, n + 4)] = basis(at_m, order)[n];
        }
    }
    f[7] = p / ei;
    let solved = m.lu().solve(&f).expect("eight constants");
    move |x| {
        let side = if x <= at_m { 0 } else { 4 };
        let sum = |order| (0..4).map(|n| basis(x, order)[n] * solved[side + n]).sum::<f64>();
        (sum(0), -ei * sum(2))
    }
}

/// The infinite beam that bends and shears, by Fourier's integral of its differential equation (derived
/// here): w under the load = P / pi x integral over wave numbers z from 0 of dz / (k + E I z^4 / (1 + E I z^2
/// / G As)).
#[test]
fn an_infinite_beam_that_shears() {
    let beam = Founded {
        long_m: 200.0,
        bending_kn_m2: 4e5,
        shear_kn: 4e4,
        foundation_kn_m2: 2e3,
        spaces: 4000,
    };
    let (ei, ga, k, p) = (beam.bending_kn_m2, beam.shear_kn, beam.foundation_kn_m2, 100.0);
    let stiff = |z: f64| k + ei * z.powi(4) / (1.0 + ei * z * z / ga);
    // z = tan(t) brings the whole line into a finite range; Simpson's rule over it.
    let n = 200_000;
    let end = core::f64::consts::FRAC_PI_2;
    let value = |i: usize| {
        if i == n {
            return 1.0 / ga;
        }
        let z = (end * i as f64 / n as f64).tan();
        (1.0 + z * z) / stiff(z)
    };
    let inner: f64 = (1..n).map(|i| value(i) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
    let wanted = p / core::f64::consts::PI * (value(0) + value(n) + inner) * end / (3.0 * n as f64);
    let (down, _) = beam.at(&[(100.0, p)], 100.0);
    assert!(near(down, wanted, 1e-4));
    assert!(down > 1.2 * p * beam.per_m() / (2.0 * k), "shear is not felt");
}

/// Supports that hardly give, under a beam of even weight, kN/m.
fn supported(at_m: &[f64], long_m: f64, kn_per_m: f64, point: Option<(f64, f64)>) -> Girder {
    let blocks: Vec<BlockSpring> = at_m
        .iter()
        .map(|x_m| BlockSpring {
            x_m: *x_m,
            y_m: 0.0,
            stiffness_kn_per_m: 1e9,
            gap_m: 0.0,
            width_m: 0.0,
        })
        .collect();
    let even = Length {
        from_x_m: 0.0,
        to_x_m: long_m,
        mass_t: kn_per_m * long_m / G,
        centre_x_m: long_m / 2.0,
    };
    let point = point.map(|(x_m, kn)| Length {
        from_x_m: x_m,
        to_x_m: x_m,
        mass_t: kn / G,
        centre_x_m: x_m,
    });
    let lengths: Vec<Length> = std::iter::once(even).chain(point).collect();
    let hull =
        HullLength { from_x_m: 0.0, to_x_m: long_m, bending_kn_m2: 1e6, shear_kn: f64::INFINITY };
    let carried = Carried::dry(Curve::new(lengths).expect("a curve"));
    sound(girder(&blocks, &carried, &[hull], 1.7))
}

fn extremes(found: &Girder) -> (Station, Station) {
    let by = |a: &&Station, b: &&Station| a.moment_knm.total_cmp(&b.moment_knm);
    let (least, most) = (found.stations.iter().min_by(by), found.stations.iter().max_by(by));
    (*least.expect("a station"), *most.expect("a station"))
}

/// The handbook's beams on rigid supports, from memory: one span with an even load, q l^2 / 8 in its middle; with a load
/// in the middle too, P l / 4 more; two equal spans, q l^2 / 8 hogging over the middle support, 9 q l^2 / 128 sagging at
/// 3 l / 8 from the ends, shear 5 q l / 8 at the middle and 3 q l / 8 at the ends; an overhang c, q c^2 / 2 hogging.
#[test]
fn beams_on_rigid_supports() {
    let (q, l) = (30.0, 10.0);
    let (sags, _) = extremes(&supported(&[0.0, l], l, q, None));
    assert!(near(-sags.moment_knm, q * l * l / 8.0, 1e-6) && near(sags.x_m, l / 2.0, 1e-6));
    let (sags, _) = extremes(&supported(&[0.0, l], l, q, Some((l / 2.0, 80.0))));
    assert!(near(-sags.moment_knm, q * l * l / 8.0 + 80.0 * l / 4.0, 1e-6));

    let two = supported(&[0.0, l, 2.0 * l], 2.0 * l, q, None);
    let (sags, hogs) = extremes(&two);
    // The supports give a little, by the load over 1e9 kN/m.
    assert!(near(hogs.moment_knm, q * l * l / 8.0, 1e-4) && near(hogs.x_m, l, 1e-6));
    assert!(near(-sags.moment_knm, 9.0 * q * l * l / 128.0, 1e-4));
    let from_end_m = sags.x_m.min(2.0 * l - sags.x_m);
    assert!(near(from_end_m, 3.0 * l / 8.0, 1e-4));
    let shear = two.stations.iter().map(|station| station.shear_kn().abs()).fold(0.0, f64::max);
    assert!(near(shear, 5.0 * q * l / 8.0, 1e-4));
    assert!(near(-two.stations[0].shear_fore_kn, 3.0 * q * l / 8.0, 1e-4));

    let (_, hogs) = extremes(&supported(&[3.0, 13.0], 16.0, q, None));
    assert!(near(hogs.moment_knm, q * 9.0 / 2.0, 1e-6));
    let ends = [two.stations.first(), two.stations.last()];
    assert!(ends.into_iter().flatten().all(|end| end.moment_knm.abs() < 1e-5));
}
