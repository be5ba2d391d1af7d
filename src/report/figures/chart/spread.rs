//! Labels in a row, moved no further than they must so as to stand clear of each other.

/// Places at least `apart` from each other and between two ends, in the order given, as near as can be
/// to the places wanted, which must be in order. Where the room is too short they go on beyond its end.
pub fn spread(wanted: &[f64], apart: f64, (from, to): (f64, f64)) -> Vec<f64> {
    // Without the distance between neighbours the places need only stay in order: neighbours that do
    // not are pooled at their mean.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (n, place) in wanted.iter().enumerate() {
        let mut pool = (place - n as f64 * apart, 1);
        while let Some(before) = pools.last().copied().filter(|before| before.0 > pool.0) {
            let count = before.1 + pool.1;
            pool = ((before.0 * before.1 as f64 + pool.0 * pool.1 as f64) / count as f64, count);
            pools.pop();
        }
        pools.push(pool);
    }
    let last = wanted.len().saturating_sub(1) as f64 * apart;
    let most = (to - last).max(from);
    pools
        .into_iter()
        .flat_map(|(place, count)| std::iter::repeat_n(place.clamp(from, most), count))
        .enumerate()
        .map(|(n, place)| place + n as f64 * apart)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_stand_apart_and_between_the_ends() {
        assert_eq!(spread(&[1.0, 9.0], 2.0, (0.0, 10.0)), [1.0, 9.0]);
        assert_eq!(spread(&[5.0, 5.0], 2.0, (0.0, 10.0)), [4.0, 6.0]);
        assert_eq!(spread(&[9.5, 9.8, 10.0], 2.0, (0.0, 10.0)), [6.0, 8.0, 10.0]);
        assert_eq!(spread(&[0.0, 0.1, 8.0], 2.0, (0.0, 10.0)), [0.0, 2.0, 8.0]);
        assert_eq!(spread(&[], 2.0, (0.0, 10.0)), [0.0; 0]);
        assert_eq!(spread(&[1.0, 1.0, 1.0], 5.0, (0.0, 6.0)), [0.0, 5.0, 10.0]);
    }
}
