//! The hull as a beam on springs that only push: the element matrix of a beam with shear (Przemieniecki, Theory of Matrix
//! Structural Analysis, chapter 5, from memory), a band solved by elimination, and the blocks that lift off
//! taken out until none is left that pulls. Upright: heel is not counted.

const G: f64 = 9.806_65;

/// A block: where, how stiff (kN/m), and the gap before anything gives, m.
#[derive(Debug, Clone, Copy)]
pub struct Spring {
    pub x_m: f64,
    pub kn_per_m: f64,
    pub gap_m: f64,
}

/// A length of the hull: bending stiffness, kN m2, and shear stiffness, kN.
#[derive(Debug, Clone, Copy)]
pub struct Stiff {
    pub to_x_m: f64,
    pub bending_kn_m2: f64,
    pub shear_kn: f64,
}

/// A length of weight (or, below 0, of lift), t, spread evenly; at a point where from = to.
#[derive(Debug, Clone, Copy)]
pub struct Load {
    pub from_x_m: f64,
    pub to_x_m: f64,
    pub mass_t: f64,
}

/// Half the width of the band: two unknowns a node, an element has two nodes.
const BAND: usize = 3;

/// Load, kN, and gap left, m, of each block under a hull from `from_m` on.
pub fn rest(from_m: f64, hull: &[Stiff], loads: &[Load], springs: &[Spring]) -> Vec<(f64, f64)> {
    let to_m = hull.last().expect("a hull").to_x_m;
    let nodes = nodes(from_m, to_m, springs);
    let node =
        |x: f64| nodes.iter().position(|n| (n - x).abs() < 1e-9).expect("a node at each block");
    let at: Vec<usize> = springs.iter().map(|spring| node(spring.x_m)).collect();
    let free = band(&nodes, hull);
    let forces = forces(&nodes, loads);
    let mut bears = vec![true; springs.len()];
    for _ in 0..200 {
        let (mut matrix, mut right) = (free.clone(), forces.clone());
        for (n, spring) in springs.iter().enumerate().filter(|(n, _)| bears[*n]) {
            matrix[2 * at[n]][0] += spring.kn_per_m;
            right[2 * at[n]] += spring.kn_per_m * spring.gap_m;
        }
        let moved = solve(matrix, right);
        let pressed = |n: usize| moved[2 * at[n]] - springs[n].gap_m;
        let now: Vec<bool> = (0..springs.len()).map(|n| pressed(n) > 0.0).collect();
        if now == bears {
            let of = |n: usize| {
                let by = pressed(n);
                (springs[n].kn_per_m * by.max(0.0), (-by).max(0.0))
            };
            return (0..springs.len()).map(of).collect();
        }
        bears = now;
    }
    panic!("the blocks do not settle");
}

/// Nodes at the ends, at every block, and between.
fn nodes(from_m: f64, to_m: f64, springs: &[Spring]) -> Vec<f64> {
    let mut wanted: Vec<f64> =
        springs.iter().map(|spring| spring.x_m).chain([from_m, to_m]).collect();
    wanted.sort_by(f64::total_cmp);
    wanted.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let mut nodes = vec![wanted[0]];
    for pair in wanted.windows(2) {
        let parts = ((pair[1] - pair[0]) / 1.5).ceil().max(1.0);
        nodes
            .extend((1..=parts as usize).map(|n| pair[0] + (pair[1] - pair[0]) * n as f64 / parts));
    }
    nodes
}

fn stiff_at(hull: &[Stiff], x_m: f64) -> Stiff {
    *hull.iter().find(|length| x_m <= length.to_x_m).unwrap_or(&hull[hull.len() - 1])
}

/// The matrix of the hull alone: of each row the diagonal and what stands right of it.
fn band(nodes: &[f64], hull: &[Stiff]) -> Vec<[f64; BAND + 1]> {
    let mut matrix = vec![[0.0; BAND + 1]; 2 * nodes.len()];
    for (n, pair) in nodes.windows(2).enumerate() {
        let long = pair[1] - pair[0];
        let stiff = stiff_at(hull, (pair[0] + pair[1]) / 2.0);
        let phi = 12.0 * stiff.bending_kn_m2 / (stiff.shear_kn * long * long);
        let k = stiff.bending_kn_m2 / (long * long * long * (1.0 + phi));
        let (turn, across) = ((4.0 + phi) * long * long, (2.0 - phi) * long * long);
        let element = [
            [12.0, 6.0 * long, -12.0, 6.0 * long],
            [6.0 * long, turn, -6.0 * long, across],
            [-12.0, -6.0 * long, 12.0, -6.0 * long],
            [6.0 * long, across, -6.0 * long, turn],
        ];
        for row in 0..4 {
            for column in row..4 {
                matrix[2 * n + row][column - row] += k * element[row][column];
            }
        }
    }
    matrix
}

/// Weight at the nodes: each sliver of a load goes to the two nodes beside it by the lever.
fn forces(nodes: &[f64], loads: &[Load]) -> Vec<f64> {
    const SLIVERS: usize = 8;
    let mut forces = vec![0.0; 2 * nodes.len()];
    for load in loads {
        for n in 0..SLIVERS {
            let x =
                load.from_x_m + (load.to_x_m - load.from_x_m) * (n as f64 + 0.5) / SLIVERS as f64;
            let next = nodes.iter().position(|node| *node >= x).unwrap_or(nodes.len() - 1).max(1);
            let part = (x - nodes[next - 1]) / (nodes[next] - nodes[next - 1]);
            let force = load.mass_t * G / SLIVERS as f64;
            forces[2 * next] += force * part;
            forces[2 * (next - 1)] += force * (1.0 - part);
        }
    }
    forces
}

/// Solves a symmetric band by elimination.
fn solve(mut matrix: Vec<[f64; BAND + 1]>, mut right: Vec<f64>) -> Vec<f64> {
    let count = right.len();
    for row in 0..count {
        for below in 1..=BAND.min(count - 1 - row) {
            let factor = matrix[row][below] / matrix[row][0];
            for column in below..=BAND {
                let taken = factor * matrix[row][column];
                matrix[row + below][column - below] -= taken;
            }
            right[row + below] -= factor * right[row];
        }
    }
    for row in (0..count).rev() {
        for column in 1..=BAND.min(count - 1 - row) {
            right[row] -= matrix[row][column] * right[row + column];
        }
        right[row] /= matrix[row][0];
    }
    right
}

#[test]
fn a_stiff_beam_on_two_springs_and_a_soft_one_come_out_as_by_hand() {
    let hull = |bending_kn_m2| [Stiff { to_x_m: 10.0, bending_kn_m2, shear_kn: 1e12 }];
    let spring = |x_m, gap_m| Spring { x_m, kn_per_m: 1e4, gap_m };
    // A point load a quarter of the way from one to the other; a third block stands too low.
    let load = Load { from_x_m: 4.0, to_x_m: 4.0, mass_t: 10.0 };
    let found =
        rest(0.0, &hull(1e9), &[load], &[spring(2.0, 0.0), spring(6.0, 0.02), spring(10.0, 0.0)]);
    let kn = 10.0 * G;
    assert!(
        (found[0].0 - 0.75 * kn).abs() < 1e-3 && (found[2].0 - 0.25 * kn).abs() < 1e-3,
        "{found:?}"
    );
    assert!((found[1].1 - (0.02 - kn / 2.0 / 1e4)).abs() < 1e-6, "{found:?}");
    // Sag in the middle between two supports: W L^3 / (48 E I), beside what the springs give.
    let middle = Load { from_x_m: 5.0, to_x_m: 5.0, mass_t: 10.0 };
    let springs = [spring(0.0, 0.0), spring(5.0, 1.0), spring(10.0, 0.0)];
    let found = rest(0.0, &hull(1e5), &[middle], &springs);
    let sag = kn * 1000.0 / (48.0 * 1e5) + kn / 2.0 / 1e4;
    assert!((found[1].1 - (1.0 - sag)).abs() < 1e-6, "{found:?} {sag}");
}
