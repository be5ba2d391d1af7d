//! `plan/keel.csv`: the keel's own line.

use super::input::Input;
use super::place::Place;
use super::problem::Problem;
use super::record::record;
use super::spec::{FileSpec, PLACE};

record! {
    struct Point: SPEC = "a point of the keel line" in "plan/keel.csv" {
        x_m: f64 = always("x", PLACE, "x of the point"),
        rise_m: f64 = always(
            "rise",
            PLACE,
            "height of the keel's underside above the base line there, + upward",
        ),
    }
}

/// The keel's line: straight between its points, and level beyond them.
#[derive(Debug, Clone, Default)]
pub struct Keel {
    /// (x, rise) in m, by x.
    points: Vec<(f64, f64)>,
    pub places: Vec<Place>,
}

impl Keel {
    /// How far the keel's underside lies above the base line at a place, m. Without a recorded line 0.
    pub fn rise_m(&self, x_m: f64) -> f64 {
        let Some(next) = self.points.iter().position(|(x, _)| *x >= x_m) else {
            return self.points.last().map_or(0.0, |(_, rise)| *rise);
        };
        if next == 0 {
            return self.points[0].1;
        }
        let ((x0, r0), (x1, r1)) = (self.points[next - 1], self.points[next]);
        r0 + (r1 - r0) * (x_m - x0) / (x1 - x0)
    }

    /// Whether a line is recorded.
    pub fn is_recorded(&self) -> bool {
        !self.points.is_empty()
    }

    pub(super) fn read(spec: &FileSpec, input: &mut Input<'_>) -> Self {
        let mut points: Vec<(f64, f64, Place)> = input
            .rows(spec)
            .filter_map(|entry| {
                let point = Point::from_entry(entry)?;
                Some((point.x_m, point.rise_m, entry.place_of(&Point::x_m)))
            })
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in points.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
            input.problems.add(
                Problem::new(pair[1].2.clone(), format!("is also the x of {}", pair[0].2))
                    .expected("a different x for each point of the keel line")
                    .advice("remove one of the two"),
            );
        }
        Self {
            points: points.iter().map(|point| (point.0, point.1)).collect(),
            places: points.into_iter().map(|point| point.2).collect(),
        }
    }
}
