//! What the blocks lay on the dock's floor, along the dock.

use crate::calc::formula::Formula;

/// Load on a metre of the dock's length.
pub const PER_METRE: Formula = Formula {
    name: "load per metre of the dock",
    title: "Load on a metre of the dock's length",
    says: "each block load even over the length of its cap along the dock, those of all rows together; the greatest sum on \
           any stretch as long as stated, divided by that length. The blocks' own weight is not counted",
    source: "definition; the length is the dock's, or our choice",
};

/// Pressure of a block on the dock's floor.
pub const ON_FLOOR: Formula = Formula {
    name: "pressure on the floor",
    title: "Pressure of a block on the dock's floor",
    says: "`load / area of the lowest layer`, the block's own weight not counted",
    source: "definition of pressure",
};

/// A block's load, even from one station of the dock to another, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    pub from_m: f64,
    pub to_m: f64,
    /// Any unit of load.
    pub load: f64,
}

/// The stretch of the dock that bears most: load per metre, and the station where it begins, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    pub load_per_m: f64,
    pub from_m: f64,
}

/// The greatest load per metre on any stretch of a length, m; `None` without loads or length. Where several bear as
/// much, the first of them.
pub fn greatest_per_metre(spans: &[Span], over_m: f64) -> Option<Stretch> {
    if !over_m.is_finite() || over_m <= 0.0 {
        return None;
    }
    let sum = Sum::new(spans)?;
    // The load on a stretch is made of straight lines over where it begins; they meet where an end of a span enters it or
    // leaves it.
    let begins = sum.ends.iter().flat_map(|end| [end.0, end.0 - over_m]);
    let stretches = begins.map(|from_m| Stretch {
        load_per_m: (sum.abaft(from_m + over_m) - sum.abaft(from_m)) / over_m,
        from_m,
    });
    stretches.reduce(|most, one| {
        let is_more = one.load_per_m > most.load_per_m * (1.0 + 1e-12);
        let is_before =
            one.from_m < most.from_m && one.load_per_m >= most.load_per_m * (1.0 - 1e-12);
        if is_more || is_before { one } else { most }
    })
}

/// The loads summed along the dock.
struct Sum {
    /// Each end of a span, by station: the load abaft it, and by how much that grows per metre from there.
    ends: Vec<(f64, f64, f64)>,
}

impl Sum {
    fn new(spans: &[Span]) -> Option<Self> {
        let sound = |span: &&Span| span.to_m > span.from_m && span.load > 0.0;
        let mut turns: Vec<(f64, f64)> = spans
            .iter()
            .filter(sound)
            .flat_map(|span| {
                let per_m = span.load / (span.to_m - span.from_m);
                [(span.from_m, per_m), (span.to_m, -per_m)]
            })
            .collect();
        turns.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut at_m = turns.first()?.0;
        let (mut abaft, mut per_m) = (0.0, 0.0);
        let ends = turns.into_iter().map(|(station_m, turn)| {
            abaft += per_m * (station_m - at_m);
            (at_m, per_m) = (station_m, per_m + turn);
            (station_m, abaft, per_m)
        });
        Some(Self { ends: ends.collect() })
    }

    fn abaft(&self, station_m: f64) -> f64 {
        let next = self.ends.partition_point(|end| end.0 <= station_m);
        match next.checked_sub(1).and_then(|last| self.ends.get(last)) {
            Some((from_m, abaft, per_m)) => abaft + per_m * (station_m - from_m),
            None => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn even(from_m: f64, to_m: f64, load: f64) -> Span {
        Span { from_m, to_m, load }
    }

    /// By hand.
    #[test]
    fn the_stretch_that_bears_most_lies_over_the_heaviest_blocks() {
        // 10 on every metre in ten, and one block of 60 on the metre from 5 to 6.
        let mut spans: Vec<Span> = (0..10).map(|n| even(n as f64, n as f64 + 1.0, 10.0)).collect();
        spans.push(even(5.0, 6.0, 60.0));
        let found = |over_m| greatest_per_metre(&spans, over_m);
        let near = |over_m, load_per_m: f64, from_m: f64| {
            let Some(stretch) = found(over_m) else { panic!("{over_m}") };
            assert!((stretch.load_per_m - load_per_m).abs() < 1e-9, "{stretch:?}");
            assert!((stretch.from_m - from_m).abs() < 1e-9, "{stretch:?}");
        };
        near(1.0, 70.0, 5.0);
        near(0.5, 70.0, 5.0);
        near(2.0, 40.0, 4.0);
        near(4.0, 25.0, 2.0);
        near(20.0, 8.0, -10.0);
        assert_eq!(found(0.0), None);
        assert_eq!(greatest_per_metre(&[], 1.0), None);
        assert_eq!(greatest_per_metre(&[even(1.0, 1.0, 5.0)], 1.0), None);
    }
}
