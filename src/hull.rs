//! Axes, positions and shapes that every room shares.
//!
//! Hull axes: x in metres forward of the stern reference point, y in metres to port of the
//! centreline. Dock axes: station in metres along the dock in the direction of the bow, offset in
//! metres to the ship's port side. Angles in degrees, anticlockwise seen from above.

use geo::{Coord, LineString, Polygon};

/// Where the stern reference point lies in the dock, and how the ship lies about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lie {
    /// Station of the stern reference point, m.
    pub srp_station_m: f64,
    /// Offset of the stern reference point to port, m.
    pub centreline_offset_m: f64,
    /// Turn of the bow to port, degrees.
    pub yaw_deg: f64,
}

impl Lie {
    /// A place in the dock as a place on the hull: less the stern reference point, then turned by
    /// minus the yaw.
    pub fn to_hull(&self, station_m: f64, offset_m: f64) -> Coord<f64> {
        let along = station_m - self.srp_station_m;
        let across = offset_m - self.centreline_offset_m;
        turned(Coord { x: along, y: across }, -self.yaw_deg)
    }

    /// A place on the hull as (station, offset) in the dock.
    pub fn to_dock(&self, hull: Coord<f64>) -> (f64, f64) {
        let turned = turned(hull, self.yaw_deg);
        (self.srp_station_m + turned.x, self.centreline_offset_m + turned.y)
    }
}

/// A vector turned by an angle in degrees. Angle 0 leaves it as it is, to the last bit.
pub fn turned(v: Coord<f64>, angle_deg: f64) -> Coord<f64> {
    let angle = angle_deg.to_radians();
    let (sin, cos) = (libm::sin(angle), libm::cos(angle));
    Coord { x: v.x * cos - v.y * sin, y: v.x * sin + v.y * cos }
}

/// A rectangle lying flat: the cap of a block, or an opening with a length and a width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// Its centre.
    pub centre: Coord<f64>,
    /// Along the first axis before turning, m.
    pub length_m: f64,
    /// Across, m.
    pub width_m: f64,
    /// Turn about its centre, degrees.
    pub turn_deg: f64,
}

impl Rectangle {
    /// The rectangle grown by a length in m all round, corners kept square; 0 leaves it as it is.
    pub fn grown(self, by_m: f64) -> Self {
        let (length_m, width_m) = (self.length_m + 2.0 * by_m, self.width_m + 2.0 * by_m);
        Self { length_m, width_m, ..self }
    }

    /// Its outline, anticlockwise.
    pub fn polygon(&self) -> Polygon<f64> {
        let (l, w) = (self.length_m / 2.0, self.width_m / 2.0);
        let corner = |x: f64, y: f64| {
            let v = turned(Coord { x, y }, self.turn_deg);
            Coord { x: self.centre.x + v.x, y: self.centre.y + v.y }
        };
        let ring = vec![corner(-l, -w), corner(l, -w), corner(l, w), corner(-l, w)];
        Polygon::new(LineString::new(ring), vec![])
    }

    /// Whether it has some area in common with another: no line along a side of either parts the two
    /// (the separating axes of two rectangles; to rounding).
    pub fn overlaps(&self, other: &Self) -> bool {
        let parted = |one: &Self, other: &Self| {
            // In the axes of `one`.
            let away = Coord { x: other.centre.x - one.centre.x, y: other.centre.y - one.centre.y };
            let away = turned(away, -one.turn_deg);
            let turn = (other.turn_deg - one.turn_deg).to_radians();
            let (sin, cos) = (libm::sin(turn).abs(), libm::cos(turn).abs());
            let along_m = one.length_m + other.length_m * cos + other.width_m * sin;
            let across_m = one.width_m + other.length_m * sin + other.width_m * cos;
            2.0 * away.x.abs() >= along_m || 2.0 * away.y.abs() >= across_m
        };
        !parted(self, other) && !parted(other, self)
    }
}

/// A block's cap where it stands in the dock; `centre` is (station, offset).
pub type Cap = Rectangle;

/// The cap as the part of the hull that it covers, in hull axes.
pub fn on_hull(cap: &Cap, lie: &Lie) -> Rectangle {
    Rectangle {
        centre: lie.to_hull(cap.centre.x, cap.centre.y),
        turn_deg: cap.turn_deg - lie.yaw_deg,
        ..*cap
    }
}

/// The shape of an opening in plan, in hull axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outline {
    /// Round, with a diameter in metres.
    Round {
        /// Its centre.
        centre: Coord<f64>,
        /// Its diameter, m.
        diameter_m: f64,
    },
    /// Rectangular, length fore-and-aft.
    Rectangular(Rectangle),
}

/// Frames of one spacing, from one frame on in the direction in which numbers grow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrameStretch {
    /// Its first frame.
    pub from_frame: i64,
    /// x of that frame, m.
    pub x_m: f64,
    /// From frame to frame, m; more than 0.
    pub spacing_m: f64,
}

/// How frames are numbered: stretches of constant spacing in the order of frame numbers, at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct Frames {
    /// Whether numbers grow toward the bow.
    pub from_aft: bool,
    /// The stretches.
    pub stretches: Vec<FrameStretch>,
}

impl Frames {
    /// x of a frame in metres; a fraction lies between two frames. A number before the first stretch
    /// is reckoned with that stretch's spacing.
    pub fn x_m(&self, frame: f64) -> f64 {
        let first = &self.stretches[0];
        let after = self.stretches.iter().rev().find(|s| s.from_frame as f64 <= frame);
        along(after.unwrap_or(first), frame, self.from_aft)
    }

    /// Where each stretch after the first would begin by the one before it: (its first frame, x by
    /// the stretch before, x as recorded), in metres.
    pub fn joints(&self) -> Vec<(i64, f64, f64)> {
        self.stretches
            .windows(2)
            .map(|pair| {
                let frame = pair[1].from_frame;
                (frame, along(&pair[0], frame as f64, self.from_aft), pair[1].x_m)
            })
            .collect()
    }

    /// Every frame whose x lies from `from_m` to `to_m`: (number, x in metres).
    pub fn between(&self, from_m: f64, to_m: f64) -> Vec<(i64, f64)> {
        let mut found = Vec::new();
        for (at, stretch) in self.stretches.iter().enumerate() {
            let last = self.stretches.get(at + 1).map_or(i64::MAX, |next| next.from_frame - 1);
            let sign = if self.from_aft { 1.0 } else { -1.0 };
            let number_at = |x: f64| sign * (x - stretch.x_m) / stretch.spacing_m;
            let (a, b) = (number_at(from_m), number_at(to_m));
            // A million frames are more than any ship has; the bound keeps a mistyped spacing harmless.
            let least = (a.min(b) - 1e-9).ceil().clamp(-1e6, 1e6) as i64;
            let most = (a.max(b) + 1e-9).floor().clamp(-1e6, 1e6) as i64;
            let least = if at == 0 { least } else { least.max(0) };
            for step in least..=most {
                let frame = stretch.from_frame + step;
                if frame > last {
                    break;
                }
                found.push((frame, stretch.x_m + sign * step as f64 * stretch.spacing_m));
            }
        }
        found
    }
}

fn along(stretch: &FrameStretch, frame: f64, from_aft: bool) -> f64 {
    let sign = if from_aft { 1.0 } else { -1.0 };
    stretch.x_m + sign * (frame - stretch.from_frame as f64) * stretch.spacing_m
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_bears_further_forward_after_the_ship_moved_aft() {
        let before = Lie { srp_station_m: 10.0, centreline_offset_m: 0.0, yaw_deg: 0.0 };
        let after = Lie { srp_station_m: 9.3, ..before };
        let shift = after.to_hull(40.0, 0.0).x - before.to_hull(40.0, 0.0).x;
        assert!((shift - 0.7).abs() < 1e-12);
    }

    /// Against the area that the `geo` crate finds them to have in common.
    #[test]
    fn rectangles_overlap_where_they_have_area_in_common() {
        use geo::{Area, BooleanOps};
        let spread =
            |n: u32, by: u32| f64::from(n.wrapping_mul(2_654_435_761) >> 8) % f64::from(by);
        let some = |n: u32| Rectangle {
            centre: Coord { x: spread(n, 5), y: spread(3 * n, 4) },
            length_m: 0.3 + spread(5 * n, 3),
            width_m: 0.2 + spread(7 * n, 2),
            turn_deg: spread(11 * n, 180),
        };
        let mut met = 0;
        for n in 1..60 {
            for other in n + 1..60 {
                let (one, other) = (some(n), some(other));
                let area = one.polygon().intersection(&other.polygon()).unsigned_area();
                assert_eq!(one.overlaps(&other), area > 1e-9, "{one:?} {other:?} {area}");
                met += usize::from(area > 1e-9);
            }
        }
        assert!((300..1500).contains(&met), "{met}");
    }

    #[test]
    fn dock_and_hull_are_each_other_turned_back() {
        let lie = Lie { srp_station_m: 8.4, centreline_offset_m: -0.02, yaw_deg: 1.5 };
        let hull = lie.to_hull(50.0, 3.0);
        let (station, offset) = lie.to_dock(hull);
        assert!((station - 50.0).abs() < 1e-12 && (offset - 3.0).abs() < 1e-12);
        // Bow to port: a place on the centreline forward lies to port in the dock.
        assert!(lie.to_dock(Coord { x: 100.0, y: 0.0 }).1 > 2.0);
    }

    #[test]
    fn frames_change_their_spacing() {
        let frames = Frames {
            from_aft: true,
            stretches: vec![
                FrameStretch { from_frame: 0, x_m: 1.0, spacing_m: 0.5 },
                FrameStretch { from_frame: 10, x_m: 6.0, spacing_m: 0.6 },
            ],
        };
        assert_eq!(frames.x_m(4.0), 3.0);
        assert!((frames.x_m(12.5) - 7.5).abs() < 1e-12);
        assert_eq!(frames.x_m(-2.0), 0.0);
        assert_eq!(frames.joints(), vec![(10, 6.0, 6.0)]);
        let numbers: Vec<i64> = frames.between(4.9, 7.3).iter().map(|f| f.0).collect();
        assert_eq!(numbers, [8, 9, 10, 11, 12]);
        let forward = Frames { from_aft: false, ..frames };
        assert_eq!(forward.x_m(2.0), 0.0);
    }
}
