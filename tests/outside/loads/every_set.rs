//! Small cases solved by trying every set of bearing lines (2^n of them), with dense matrices and element
//! stiffnesses in the usual 4 x 4 form (Przemieniecki, from memory), written apart from the program's.

use lastdock::calc::loads::girder::{HullLength, girder};
use lastdock::calc::loads::{BlockSpring, Carried, LoadsError, rigid};
use nalgebra::{DMatrix, DVector};

use super::{Case, Numbers, draw};

const G: f64 = 9.80665;

/// Bearing lines: block, stiffness, gap, and how the movement there depends on the unknowns.
type Lines = Vec<(usize, f64, f64, DVector<f64>)>;

fn lines(blocks: &[BlockSpring], row: impl Fn(f64, f64) -> DVector<f64>) -> Lines {
    let mut lines = Vec::new();
    for (n, b) in blocks.iter().enumerate() {
        if b.width_m == 0.0 {
            lines.push((n, b.stiffness_kn_per_m, b.gap_m, row(b.x_m, b.y_m)));
        } else {
            for side in [-1.0, 1.0] {
                let y = b.y_m + side * b.width_m / 12f64.sqrt();
                lines.push((n, b.stiffness_kn_per_m / 2.0, b.gap_m, row(b.x_m, y)));
            }
        }
    }
    lines
}

/// Loads of the blocks by trying every set; `None` if no set fits.
fn try_all(k: &DMatrix<f64>, f: &DVector<f64>, lines: &Lines, blocks: usize) -> Option<Vec<f64>> {
    let mut best: Option<(f64, Vec<f64>)> = None;
    for set in 1..1_u32 << lines.len() {
        let bears = |i: usize| set >> i & 1 == 1;
        let (mut k, mut f) = (k.clone(), f.clone());
        for (i, (_, stiffness, gap, row)) in lines.iter().enumerate() {
            if bears(i) {
                k += row * row.transpose() * *stiffness;
                f += row * (stiffness * gap);
            }
        }
        // A set that leaves heel free is tried upright.
        let last = f.len() - 1;
        if k[(last, last)] == 0.0 && f[last].abs() < 1e-9 {
            k[(last, last)] = 1.0;
        }
        let Some(factor) = k.clone().cholesky() else { continue };
        let mut u = factor.solve(&f);
        let again = factor.solve(&(&f - &k * &u));
        u += again;
        let mut wrong: f64 = (&f - &k * &u).norm() / f.norm();
        let mut loads = vec![0.0; blocks];
        for (i, (block, stiffness, gap, row)) in lines.iter().enumerate() {
            let pressed = row.dot(&u) - gap;
            if bears(i) {
                loads[*block] += stiffness * pressed;
                wrong = wrong.max(-pressed / 0.01);
            } else {
                wrong = wrong.max(pressed / 0.01);
            }
        }
        if best.as_ref().is_none_or(|(least, _)| wrong < *least) {
            best = Some((wrong, loads));
        }
    }
    best.filter(|(wrong, _)| *wrong < 1e-6).map(|(_, loads)| loads)
}

fn rigid_by_trying(case: &Case) -> Option<Vec<f64>> {
    let net = [case.carried.net_t(), case.carried.net_moment_tm(), case.carried.athwart_tm];
    let f = DVector::from_iterator(3, net.iter().map(|t| t * G));
    let lines = lines(&case.blocks, |x, y| DVector::from_vec(vec![1.0, x, y]));
    try_all(&DMatrix::zeros(3, 3), &f, &lines, case.blocks.len())
}

/// A girder with a node at every half metre, so blocks and loads must stand there.
fn girder_by_trying(case: &Case, hull: &HullLength) -> Option<Vec<f64>> {
    let step = 0.5;
    let elements = (hull.to_x_m / step) as usize;
    let heel = 2 * elements + 2;
    let (ei, ga) = (hull.bending_kn_m2, hull.shear_kn);
    let phi = 12.0 * ei / (ga * step * step);
    let (a, b) = (12.0, 6.0 * step);
    let (c, d) = ((4.0 + phi) * step * step, (2.0 - phi) * step * step);
    let one = DMatrix::from_row_slice(
        4,
        4,
        &[
            a, b, -a, b, //
            b, c, -b, d, //
            -a, -b, a, -b, //
            b, d, -b, c,
        ],
    ) * (ei / ((1.0 + phi) * step.powi(3)));
    let mut k = DMatrix::zeros(heel + 1, heel + 1);
    for n in 0..elements {
        let mut part = k.view_mut((2 * n, 2 * n), (4, 4));
        part += &one;
    }
    let at = |x: f64| 2 * (x / step).round() as usize;
    let mut f = DVector::zeros(heel + 1);
    for length in case.carried.weight.lengths() {
        f[at(length.from_x_m)] += length.mass_t * G;
    }
    f[heel] = case.carried.athwart_tm * G;
    let lines = lines(&case.blocks, |x, y| {
        let mut row = DVector::zeros(heel + 1);
        row[at(x)] = 1.0;
        row[heel] = y;
        row
    });
    try_all(&k, &f, &lines, case.blocks.len())
}

fn compare(
    found: Result<Vec<f64>, LoadsError>,
    tried: Option<Vec<f64>>,
    near: f64,
) -> Option<usize> {
    match (found, tried) {
        (Ok(loads), Some(tried)) => {
            let largest = tried.iter().copied().fold(0.0, f64::max);
            for (a, b) in loads.iter().zip(&tried) {
                assert!((a - b).abs() < near * largest, "{loads:?} {tried:?}");
            }
            Some(loads.iter().filter(|load| **load == 0.0).count())
        }
        (Err(LoadsError::Topples { .. }), None) | (Err(LoadsError::TooFar { .. }), Some(_)) => None,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_rigid_ship_bears_on_the_set_that_trying_all_finds() {
    let mut numbers = Numbers(11);
    let (mut stood, mut toppled, mut lifted) = (0, 0, 0);
    for _ in 0..400 {
        let count = numbers.count(3, 9);
        let mut case = draw(&mut numbers, count, 20.0);
        if case.blocks.iter().any(|block| block.width_m > 0.0) {
            case.blocks.truncate(4);
        }
        let found = rigid(&case.blocks, &case.carried).map(|outcome| outcome.loads_kn);
        match compare(found, rigid_by_trying(&case), 1e-7) {
            Some(gaps) => (stood, lifted) = (stood + 1, lifted + gaps),
            None => toppled += 1,
        }
    }
    println!("{stood} stood, {toppled} toppled or leaned too far, {lifted} blocks lifted");
    assert!(stood > 200 && toppled > 50 && lifted > 150);
}

#[test]
fn a_girder_bears_on_the_set_that_trying_all_finds() {
    let mut numbers = Numbers(5);
    let (mut stood, mut lifted) = (0, 0);
    for _ in 0..80 {
        let count = numbers.count(3, 8);
        let mut case = draw(&mut numbers, count, 10.0);
        if case.blocks.iter().any(|block| block.width_m > 0.0) {
            case.blocks.truncate(3);
        }
        let half = |x: f64| (x * 2.0).round() / 2.0;
        case.blocks.iter_mut().for_each(|block| block.x_m = half(block.x_m));
        let points = case.carried.weight.lengths().iter().map(|length| {
            let x_m = half(length.centre_x_m);
            super::Length { from_x_m: x_m, to_x_m: x_m, centre_x_m: x_m, ..*length }
        });
        let weight = super::Curve::new(points.collect()).expect("points");
        case.carried =
            Carried { athwart_tm: case.carried.athwart_tm / 4.0, ..Carried::dry(weight) };
        let hull = HullLength { from_x_m: 0.0, to_x_m: 10.0, ..case.hull[0] };
        let found = girder(&case.blocks, &case.carried, &[hull], 0.5);
        let found = found.map(|girder| girder.outcome.loads_kn);
        if matches!(found, Err(LoadsError::OneStation)) {
            continue;
        }
        if let Some(gaps) = compare(found, girder_by_trying(&case, &hull), 1e-6) {
            (stood, lifted) = (stood + 1, lifted + gaps);
        }
    }
    println!("{stood} stood, {lifted} blocks lifted");
    assert!(stood > 30 && lifted > 30);
}
