//! Scales of drawings, and how a ship is cut into strips that continue.

/// Least width that a strip repeats of its neighbour, mm.
const LEAST_LAP_MM: f64 = 3.0;
/// Greatest, mm.
const GREATEST_LAP_MM: f64 = 9.0;

/// A reduction: one millimetre on paper for so many on the ship.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scale(pub u64);

impl Scale {
    /// A length on the ship in m, on paper in mm.
    pub fn to_mm(self, length_m: f64) -> f64 {
        length_m * 1000.0 / self.0 as f64
    }

    /// The reductions of drawings that need no other's scale, from the largest: those that ISO 5455 recommends, and
    /// between them what rules for drawing are divided by.
    pub fn usual() -> impl Iterator<Item = Scale> {
        let from = [10, 15, 20, 25, 30, 40, 50, 60, 75];
        (0..14).flat_map(move |power| from.map(|n| Scale(n * 10_u64.pow(power))))
    }

    /// A length on paper in mm, on the ship in m.
    pub fn to_m(self, length_mm: f64) -> f64 {
        length_mm * self.0 as f64 / 1000.0
    }
}

impl std::fmt::Display for Scale {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "1:{}", self.0)
    }
}

/// The reductions that ISO 5455 recommends, from the largest that is of use for a ship. They go on
/// by the same 1, 2, 5 for whatever is longer than any ship.
fn reductions() -> impl Iterator<Item = Scale> {
    (1..16).flat_map(|power| [2, 5, 10].map(|n| Scale(n * 10_u64.pow(power))))
}

/// One strip: its part of the ship between two match lines, and the window that shows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// Its number, from 1.
    pub number: usize,
    /// Strips in all.
    pub of: usize,
    /// x of its aft end or match line, m.
    pub from_m: f64,
    /// x of its forward end or match line, m.
    pub to_m: f64,
    /// How far the window reaches beyond both, m.
    pub lap_m: f64,
}

impl Strip {
    /// Whether something whose middle is at x belongs to this strip and no other.
    pub fn holds(&self, x_m: f64) -> bool {
        let last = self.number == self.of;
        (x_m >= self.from_m || self.number == 1) && (x_m < self.to_m || last)
    }

    /// x of the window's ends, m.
    pub fn window_m(&self) -> (f64, f64) {
        (self.from_m - self.lap_m, self.to_m + self.lap_m)
    }
}

/// The room that a drawing has on a page.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    pub width_mm: f64,
    pub height_mm: f64,
    /// Most strips.
    pub strips: usize,
    /// The largest scale that is worth this room.
    pub largest: Scale,
}

/// The largest recommended scale at which a ship from x to x, so much high on paper, fits into one of
/// the rooms, and its strips; of rooms that allow the same scale the first is taken. `solid` are
/// lengths of x, m, that a match line should not cut.
pub fn strips(
    x_m: (f64, f64),
    height_m: f64,
    rooms: &[Room],
    solid: &[(f64, f64)],
) -> (Scale, Vec<Strip>) {
    let length_m = (x_m.1 - x_m.0).max(0.0);
    let capacity =
        |scale: Scale, room: &Room| scale.to_m(room.width_mm - 2.0 * LEAST_LAP_MM).max(1e-3);
    let count =
        |scale: Scale, room: &Room| (length_m / capacity(scale, room) - 1e-9).ceil().max(1.0);
    let fits = |scale: Scale, room: &&Room| {
        scale.to_mm(height_m) <= room.height_mm
            && count(scale, room) <= room.strips as f64
            && scale.0 >= room.largest.0
    };
    let found = reductions()
        .find_map(|scale| rooms.iter().find(|room| fits(scale, room)).map(|room| (scale, *room)));
    let Some((scale, room)) = found else { return (Scale(1), Vec::new()) };
    let of = count(scale, &room) as usize;
    (scale, cut(x_m, scale, room.width_mm, of, solid))
}

/// The largest usual scale at which a ship from x to x, so much high on paper, fits into a room with all its strips
/// over each other, each with so much around it, mm; and these strips.
pub fn stacked(
    x_m: (f64, f64),
    height_m: f64,
    around_mm: f64,
    room: &Room,
    solid: &[(f64, f64)],
) -> (Scale, Vec<Strip>) {
    let length_m = (x_m.1 - x_m.0).max(0.0);
    let capacity_mm = room.width_mm - 2.0 * LEAST_LAP_MM;
    let count = |scale: Scale| (scale.to_mm(length_m) / capacity_mm - 1e-9).ceil().max(1.0);
    let fits = |scale: &Scale| {
        let strips = count(*scale);
        scale.0 >= room.largest.0
            && strips <= room.strips as f64
            && strips * (scale.to_mm(height_m) + around_mm) <= room.height_mm
    };
    let Some(scale) = Scale::usual().find(fits) else { return (Scale(1), Vec::new()) };
    (scale, cut(x_m, scale, room.width_mm, count(scale) as usize, solid))
}

/// So many strips of a ship, in windows of a width on paper.
fn cut(
    x_m: (f64, f64),
    scale: Scale,
    width_mm: f64,
    of: usize,
    solid: &[(f64, f64)],
) -> Vec<Strip> {
    let each_m = (x_m.1 - x_m.0).max(0.0) / of as f64;
    let capacity_m = scale.to_m(width_mm - 2.0 * LEAST_LAP_MM).max(1e-3);
    let spare_m = (capacity_m - each_m).max(0.0);
    let mut cuts = vec![x_m.0];
    cuts.extend((1..of).map(|n| clear_of(x_m.0 + each_m * n as f64, spare_m / 2.0, solid)));
    cuts.push(x_m.1);
    let longest = cuts.windows(2).map(|c| c[1] - c[0]).fold(0.0, f64::max);
    let lap_mm = ((width_mm - scale.to_mm(longest)) / 2.0).clamp(LEAST_LAP_MM, GREATEST_LAP_MM);
    let strip = |(n, cut): (usize, &[f64])| Strip {
        number: n + 1,
        of,
        from_m: cut[0],
        to_m: cut[1],
        lap_m: scale.to_m(lap_mm),
    };
    cuts.windows(2).enumerate().map(strip).collect()
}

/// The place nearest to x, within a reach, that is clear of all solid lengths; x if there is none.
fn clear_of(x_m: f64, reach_m: f64, solid: &[(f64, f64)]) -> f64 {
    let clear = |x: f64| solid.iter().all(|(from, to)| x <= *from || x >= *to);
    // Halfway between two edges is the clearest place, so try the middles of the gaps.
    let mut edges: Vec<f64> = solid.iter().flat_map(|(from, to)| [*from, *to]).collect();
    edges.sort_by(f64::total_cmp);
    let mut tries: Vec<f64> = edges.windows(2).map(|pair| (pair[0] + pair[1]) / 2.0).collect();
    tries.push(x_m);
    tries.retain(|x| (x - x_m).abs() <= reach_m && clear(*x));
    tries.sort_by(|a, b| (a - x_m).abs().total_cmp(&(b - x_m).abs()));
    tries.first().copied().unwrap_or(x_m)
}

/// The shortest round length (1, 2 or 5 times a power of ten) that is at least so long, from a
/// millimetre to beyond all that can be drawn; m.
pub fn round_up(length_m: f64) -> f64 {
    let small = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5];
    let large = (0..16).flat_map(|power| [1, 2, 5].map(|n| (n * 10_u64.pow(power)) as f64));
    small.into_iter().chain(large).find(|round| *round >= length_m * (1.0 - 1e-9)).unwrap_or(1e16)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Room = Room { width_mm: 158.0, height_mm: 90.0, strips: 6, largest: Scale(20) };

    #[test]
    fn scales_are_the_recommended_ones() {
        let first: Vec<u64> = reductions().take(6).map(|scale| scale.0).collect();
        assert_eq!(first, [20, 50, 100, 200, 500, 1000]);
        for (length, breadth, scale) in [(20.0, 5.0, 100), (101.4, 15.2, 200), (300.0, 42.0, 500)] {
            assert_eq!(strips((0.0, length), breadth, &[ROOM], &[]).0, Scale(scale), "{length}");
        }
    }

    #[test]
    fn a_larger_scale_is_worth_a_page_of_its_own() {
        let page = Room { height_mm: 200.0, strips: 4, largest: Scale(200), ..ROOM };
        let scale = |length: f64, breadth: f64| {
            let (scale, strips) = strips((0.0, length), breadth, &[ROOM, page], &[]);
            (scale.0, strips.len())
        };
        assert_eq!(scale(20.0, 5.0), (100, 2));
        assert_eq!(scale(100.0, 15.0), (200, 4));
        assert_eq!(scale(120.0, 25.0), (200, 4));
        assert_eq!(scale(160.0, 25.0), (500, 3));
    }

    #[test]
    fn strips_continue_and_fit() {
        for length in [0.0, 3.0, 57.0, 101.4, 299.0, 1e5] {
            let (scale, strips) = strips((-2.0, length), 12.0, &[ROOM], &[]);
            assert!(strips.len() <= 6);
            assert_eq!(strips.first().map(|s| s.from_m), Some(-2.0));
            assert_eq!(strips.last().map(|s| s.to_m), Some(length));
            for pair in strips.windows(2) {
                assert_eq!(pair[0].to_m, pair[1].from_m);
            }
            for strip in &strips {
                let (from, to) = strip.window_m();
                assert!(scale.to_mm(to - from) <= ROOM.width_mm + 1e-6, "{length}");
            }
        }
    }

    #[test]
    fn match_lines_go_between_blocks() {
        let solid: Vec<(f64, f64)> =
            (0..70).map(|n| (n as f64 * 1.4, n as f64 * 1.4 + 0.6)).collect();
        let (_, strips) = strips((0.0, 98.0), 15.0, &[ROOM], &solid);
        for strip in &strips[1..] {
            assert!(solid.iter().all(|(a, b)| strip.from_m <= *a || strip.from_m >= *b));
        }
    }

    #[test]
    fn everything_belongs_to_one_strip() {
        let (_, strips) = strips((0.0, 100.0), 15.0, &[ROOM], &[]);
        for x in [-5.0, 0.0, 25.0, 50.0, 75.0, 99.9, 100.0, 120.0] {
            assert_eq!(strips.iter().filter(|strip| strip.holds(x)).count(), 1, "{x}");
        }
    }

    #[test]
    fn round_lengths() {
        assert_eq!(round_up(1.0), 1.0);
        assert_eq!(round_up(6.0), 10.0);
        assert!((round_up(0.013) - 0.02).abs() < 1e-12);
    }
}
