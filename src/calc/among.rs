//! Which of several positions to use, and in which order: what stays hidden in all of them, and how far she is
//! hauled from one to the next.

use geo::{Coord, MultiPolygon};

use super::formula::Formula;
use super::plane::{area_m2, common, solid};

/// How choices of positions are compared.
pub const CHOICE: Formula = Formula {
    name: "choice of positions",
    title: "Which of the plan's positions to use, and in which order",
    says: "for each choice of one or more positions, the bottom hidden in all of them: the intersection of what their \
           blocks hide, each block where it would bear on the hull; one landing for each position, a reflooding before \
           each but the first; an order is as long as the sum of the distances from each position to the next, and of \
           the orders of a choice the one with the fewest blocks beyond their limit counts, of such alike the shortest; \
           areas in plan view",
    source: "plane geometry: intersection of polygons; every choice and every order is tried",
};

/// Of so many positions every choice and every order can be tried (our choice: 255 choices and 109 600 orders).
pub const MOST: usize = 8;

/// Some of the positions.
#[derive(Debug, Clone)]
pub struct Choice {
    /// Which, by their numbers in the caller's list, growing.
    pub positions: Vec<usize>,
    /// What all of them hide.
    pub hidden: MultiPolygon<f64>,
    /// Its area in plan, m2.
    pub hidden_m2: f64,
}

/// Every choice of one or more of at most [`MOST`] positions, of which each hides so much: fewest positions first, then
/// in the order of the list.
pub fn choices(hidden: &[MultiPolygon<f64>]) -> Vec<Choice> {
    let hidden = &hidden[..hidden.len().min(MOST)];
    let mut all: Vec<Choice> = Vec::new();
    // Every choice is one that was found before with one position more behind its last.
    let mut before = 0..0;
    for count in 1..=hidden.len() {
        let mut longer: Vec<Choice> = Vec::new();
        if count == 1 {
            longer.extend((0..hidden.len()).map(|n| choice(vec![n], solid(&hidden[n]))));
        }
        for shorter in &all[before] {
            let last = shorter.positions.last().map_or(0, |last| last + 1);
            for (more, hides) in hidden.iter().enumerate().skip(last) {
                let positions = shorter.positions.iter().copied().chain([more]).collect();
                longer.push(choice(positions, solid(&common(&shorter.hidden, hides))));
            }
        }
        let from = all.len();
        all.append(&mut longer);
        before = from..all.len();
    }
    all
}

fn choice(positions: Vec<usize>, hidden: MultiPolygon<f64>) -> Choice {
    Choice { hidden_m2: area_m2(&hidden), positions, hidden }
}

/// An order of some positions.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// The positions, the first first.
    pub positions: Vec<usize>,
    /// How far she is hauled from the first to the last by way of the others, m.
    pub hauled_m: f64,
    /// What else speaks against it: the sum over its landings.
    pub faults: usize,
}

/// The best of all orders of some positions, and how many there are. `places` gives where each position of the caller's
/// list puts her, m; `faults` what speaks against a position as the landing of a number, from 0 on. Of orders alike
/// the one that comes first in the list's own order.
pub fn best_order(
    positions: &[usize],
    places: &[Coord<f64>],
    faults: &dyn Fn(usize, usize) -> usize,
) -> (Order, usize) {
    /// Hauls no further apart than this are as long, m.
    const SAME_M: f64 = 1e-9;
    let mut best: Option<Order> = None;
    let mut count = 0;
    permutations(positions, &mut |order| {
        count += 1;
        let next = order.iter().skip(1);
        let hauled_m = order.iter().zip(next).map(|(a, b)| apart_m(places[*a], places[*b])).sum();
        let faults = order.iter().enumerate().map(|(at, position)| faults(*position, at)).sum();
        let better = best.as_ref().is_none_or(|best: &Order| {
            faults < best.faults || (faults == best.faults && hauled_m < best.hauled_m - SAME_M)
        });
        if better {
            best = Some(Order { positions: order.to_vec(), hauled_m, faults });
        }
    });
    let none = Order { positions: Vec::new(), hauled_m: 0.0, faults: 0 };
    (best.unwrap_or(none), count)
}

fn apart_m(a: Coord<f64>, b: Coord<f64>) -> f64 {
    libm::hypot(a.x - b.x, a.y - b.y)
}

/// Every order of some numbers, in the order of the list.
fn permutations(of: &[usize], each: &mut dyn FnMut(&[usize])) {
    fn go_on(left: &[usize], order: &mut Vec<usize>, each: &mut dyn FnMut(&[usize])) {
        if left.is_empty() {
            return each(order);
        }
        for (n, next) in left.iter().enumerate() {
            let rest: Vec<usize> = [&left[..n], &left[n + 1..]].concat();
            order.push(*next);
            go_on(&rest, order, each);
            order.pop();
        }
    }
    if !of.is_empty() {
        go_on(of, &mut Vec::new(), each);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calc::exposure::hidden;
    use crate::hull::{Cap, Lie};

    const FOOT: f64 = 0.3048;

    /// What a row of blocks four feet long hides where she lies so many feet aft of a first position, each block
    /// nine feet from the next.
    fn hidden_by_blocks(feet_aft: &[f64]) -> Vec<MultiPolygon<f64>> {
        let caps = (0..20).map(|n| {
            let centre = Coord { x: 30.0 + f64::from(n) * 9.0 * FOOT, y: 0.0 };
            let (length_m, width_m) = (4.0 * FOOT, 1.2);
            (n as usize, Cap { centre, length_m, width_m, turn_deg: 0.0 })
        });
        let caps: Vec<(usize, Cap)> = caps.collect();
        let at = |feet: &f64| Lie {
            srp_station_m: 10.0 - feet * FOOT,
            centreline_offset_m: 0.0,
            yaw_deg: 0.0,
        };
        feet_aft.iter().map(|feet| hidden(caps.iter().copied(), &at(feet), &None).shape).collect()
    }

    /// Common practice, no source: blocks four feet long, positions two feet apart. Three positions reach everything,
    /// two neighbouring ones leave half of what was hidden, the first and the third reach everything in one shift.
    #[test]
    fn four_foot_blocks_in_positions_two_feet_apart() {
        let all = choices(&hidden_by_blocks(&[0.0, 2.0, 4.0]));
        let once = 20.0 * 4.0 * FOOT * 1.2;
        let left: Vec<(Vec<usize>, f64)> =
            all.into_iter().map(|choice| (choice.positions, choice.hidden_m2 / once)).collect();
        let wanted = [
            (vec![0], 1.0),
            (vec![1], 1.0),
            (vec![2], 1.0),
            (vec![0, 1], 0.5),
            (vec![0, 2], 0.0),
            (vec![1, 2], 0.5),
            (vec![0, 1, 2], 0.0),
        ];
        assert_eq!(left.len(), wanted.len());
        for ((positions, part), (wanted_positions, wanted_part)) in left.iter().zip(&wanted) {
            assert_eq!(positions, wanted_positions);
            assert!((part - wanted_part).abs() < 1e-5, "{positions:?}: {part}");
        }
    }

    #[test]
    fn each_choice_comes_once() {
        let feet: Vec<f64> = (0..10).map(f64::from).collect();
        let mut all: Vec<Vec<usize>> =
            choices(&hidden_by_blocks(&feet)).into_iter().map(|choice| choice.positions).collect();
        assert_eq!(all.len(), 255);
        all.sort();
        all.dedup();
        assert_eq!(all.len(), 255);
        assert!(choices(&[]).is_empty());
    }

    #[test]
    fn the_shortest_way_round() {
        let at = |x: f64, y: f64| Coord { x, y };
        let places = [at(10.0, 0.0), at(8.0, 0.0), at(9.0, 0.3)];
        let (order, count) = best_order(&[0, 1, 2], &places, &|_, _| 0);
        let half = libm::hypot(1.0, 0.3);
        assert_eq!((order.positions.as_slice(), count), (&[0, 2, 1][..], 6));
        assert!((order.hauled_m - 2.0 * half).abs() < 1e-12);
        // What speaks against a place in the order goes before its length.
        let (order, _) = best_order(&[0, 1, 2], &places, &|n, at| usize::from(n == 0 && at == 0));
        assert_eq!(order.positions, [1, 2, 0]);
        let (order, _) = best_order(&[0, 1, 2], &places, &|n, at| usize::from(n == 2 && at == 1));
        assert_eq!(order.positions, [0, 1, 2]);
        assert_eq!(best_order(&[2], &places, &|_, _| 0).0.hauled_m, 0.0);
    }
}
