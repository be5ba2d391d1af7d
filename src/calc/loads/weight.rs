//! Weight and buoyancy along the hull.

use super::error::LoadsError;
use crate::calc::formula::Formula;

/// How a weight or buoyancy curve is read.
pub const CURVE: Formula = Formula {
    name: "weight curve",
    title: "Weight or buoyancy along the hull",
    says: "over each length L of mass m and centre c the density is `m / L (1 + (12 (c - middle) (x - \
           middle)) / L^2)`, a trapezoid; the centre lies in the middle third, or the density would be below \
           0 at one end; from = to is a point mass; lengths may overlap and add up",
    source: "the straight line that has the given area and centroid",
};

/// A centre this far outside the middle third, as part of the length, is rounding.
const ROUNDING: f64 = 1e-9;

/// A length of the curve. From = to is a point mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Length {
    pub from_x_m: f64,
    pub to_x_m: f64,
    /// Its mass, or the mass that its buoyancy carries, t, not below 0.
    pub mass_t: f64,
    /// Its centre, in the middle third, m.
    pub centre_x_m: f64,
}

impl Length {
    fn long_m(&self) -> f64 {
        self.to_x_m - self.from_x_m
    }

    fn middle_x_m(&self) -> f64 {
        self.from_x_m + self.long_m() / 2.0
    }

    /// Density at x, t/m; 0 for a point mass and outside the length.
    pub fn density_t_per_m(&self, x_m: f64) -> f64 {
        let long_m = self.long_m();
        if long_m <= 0.0 || x_m < self.from_x_m || x_m > self.to_x_m {
            return 0.0;
        }
        let middle = self.middle_x_m();
        let lean = 12.0 * (self.centre_x_m - middle) * (x_m - middle) / (long_m * long_m);
        self.mass_t / long_m * (1.0 + lean)
    }

    /// Mass abaft x, and its moment about x (t m): positive, as the mass lies abaft.
    fn abaft(&self, x_m: f64) -> (f64, f64) {
        if x_m <= self.from_x_m {
            return (0.0, 0.0);
        }
        if x_m >= self.to_x_m {
            return (self.mass_t, self.mass_t * (x_m - self.centre_x_m));
        }
        let (a, b) = (self.density_t_per_m(self.from_x_m), self.density_t_per_m(x_m));
        let run = x_m - self.from_x_m;
        ((a + b) / 2.0 * run, (2.0 * a + b) / 6.0 * run * run)
    }
}

/// A weight or buoyancy curve that has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    lengths: Vec<Length>,
}

impl Curve {
    /// A curve of lengths. Refused: ends or figures that are not numbers, ends in the wrong order, a
    /// mass below 0, a centre outside the middle third.
    pub fn new(lengths: Vec<Length>) -> Result<Self, LoadsError> {
        for (number, length) in lengths.iter().enumerate() {
            let bad = |quantity| Err(LoadsError::Length { number, quantity });
            let Length { from_x_m, to_x_m, mass_t, centre_x_m } = *length;
            if !(from_x_m.is_finite() && to_x_m.is_finite() && from_x_m <= to_x_m) {
                return bad("ends");
            }
            if !(mass_t >= 0.0 && mass_t.is_finite()) {
                return bad("mass");
            }
            if !centre_x_m.is_finite() {
                return bad("centre");
            }
            let (middle, long) = (length.middle_x_m(), length.long_m());
            if (centre_x_m - middle).abs() > long / 6.0 + ROUNDING * long.max(1.0) {
                return Err(LoadsError::CentreOutside {
                    number,
                    centre_x_m,
                    from_x_m: middle - long / 6.0,
                    to_x_m: middle + long / 6.0,
                });
            }
        }
        Ok(Self { lengths })
    }

    /// No weight, or no buoyancy.
    pub fn none() -> Self {
        Self { lengths: Vec::new() }
    }

    /// A mass (t) at one station (m): all that a rigid ship needs.
    pub fn point(mass_t: f64, x_m: f64) -> Result<Self, LoadsError> {
        Self::new(vec![Length { from_x_m: x_m, to_x_m: x_m, mass_t, centre_x_m: x_m }])
    }

    /// One trapezoid with the given total and centre: for buoyancy, where no curve is given.
    pub fn trapezoid(
        from_x_m: f64,
        to_x_m: f64,
        mass_t: f64,
        centre_x_m: f64,
    ) -> Result<Self, LoadsError> {
        Self::new(vec![Length { from_x_m, to_x_m, mass_t, centre_x_m }])
    }

    pub fn lengths(&self) -> &[Length] {
        &self.lengths
    }

    pub fn total_t(&self) -> f64 {
        self.lengths.iter().map(|length| length.mass_t).sum()
    }

    /// Its moment about the stern reference point, t m.
    pub fn moment_tm(&self) -> f64 {
        self.lengths.iter().map(|length| length.mass_t * length.centre_x_m).sum()
    }

    /// Its centre, m; `None` if it weighs nothing.
    pub fn centre_x_m(&self) -> Option<f64> {
        let total = self.total_t();
        (total > 0.0).then(|| self.moment_tm() / total)
    }

    /// Density at x, t/m, point masses aside.
    pub fn density_t_per_m(&self, x_m: f64) -> f64 {
        self.lengths.iter().map(|length| length.density_t_per_m(x_m)).sum()
    }

    /// The mass abaft x (t), point masses at x counted or not, and its moment about x (t m).
    pub(super) fn abaft(&self, x_m: f64, at_x_too: bool) -> (f64, f64) {
        self.lengths.iter().fold((0.0, 0.0), |(mass, moment), length| {
            if at_x_too && length.from_x_m == length.to_x_m && length.from_x_m == x_m {
                return (mass + length.mass_t, moment);
            }
            let (more, turn) = length.abaft(x_m);
            (mass + more, moment + turn)
        })
    }
}

/// Places (0 to 1) and shares of the three-point Gauss rule, exact up to the fifth power: the line of
/// a density times the cubic of a beam's shape is of the fourth.
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_31, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

/// The integral of density times a shape over the part of a length between two stations, in t times
/// the shape's unit; a point mass counts where it stands between them. The shape may be of the third
/// power of x at most.
pub(super) fn integrate<const N: usize>(
    length: &Length,
    from_x_m: f64,
    to_x_m: f64,
    shape: impl Fn(f64) -> [f64; N],
) -> [f64; N] {
    let mut sums = [0.0; N];
    let mut add = |x_m: f64, mass_t: f64| {
        for (sum, value) in sums.iter_mut().zip(shape(x_m)) {
            *sum += mass_t * value;
        }
    };
    if length.from_x_m == length.to_x_m {
        add(length.from_x_m, length.mass_t);
        return sums;
    }
    let (a, b) = (length.from_x_m.max(from_x_m), length.to_x_m.min(to_x_m));
    if a < b {
        for (place, share) in GAUSS {
            let x_m = a + (b - a) * place;
            add(x_m, length.density_t_per_m(x_m) * share * (b - a));
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;

    const LENGTH: Length = Length { from_x_m: 10.0, to_x_m: 16.0, mass_t: 90.0, centre_x_m: 13.5 };

    #[test]
    fn a_length_keeps_its_mass_and_centre() {
        let [mass, moment] = integrate(&LENGTH, 0.0, 99.0, |x| [1.0, x]);
        assert!((mass - 90.0).abs() < 1e-12 && (moment / mass - 13.5).abs() < 1e-12);
        // In two parts as in one.
        let parts = [(0.0, 11.3), (11.3, 99.0)].map(|(a, b)| integrate(&LENGTH, a, b, |x| [x]));
        assert!((parts[0][0] + parts[1][0] - 90.0 * 13.5).abs() < 1e-10);
        // Abaft a station by closed form and by the rule.
        let (abaft, turn) = LENGTH.abaft(14.2);
        let [mass, moment] = integrate(&LENGTH, 0.0, 14.2, |x| [1.0, 14.2 - x]);
        assert!((abaft - mass).abs() < 1e-12 && (turn - moment).abs() < 1e-12);
        assert_eq!(LENGTH.abaft(9.0), (0.0, 0.0));
        assert_eq!(LENGTH.abaft(20.0), (90.0, 90.0 * 6.5));
    }

    #[test]
    fn the_middle_third_gives_triangles_at_its_ends() {
        let triangle = Length { centre_x_m: 14.0, ..LENGTH };
        assert!(triangle.density_t_per_m(10.0).abs() < 1e-12);
        assert!((triangle.density_t_per_m(16.0) - 30.0).abs() < 1e-12);
        assert!(Curve::new(vec![triangle]).is_ok());
        let beyond = Curve::new(vec![LENGTH, Length { centre_x_m: 14.01, ..LENGTH }]);
        assert!(matches!(beyond, Err(LoadsError::CentreOutside { number: 1, .. })));
    }

    #[test]
    fn totals_and_refusals() {
        let curve = Curve::new(vec![
            LENGTH,
            Length { from_x_m: 2.0, to_x_m: 2.0, mass_t: 10.0, centre_x_m: 2.0 },
        ]);
        let curve = curve.unwrap_or_else(|_| Curve::none());
        assert_eq!(curve.total_t(), 100.0);
        assert!((curve.centre_x_m().unwrap_or(0.0) - 12.35).abs() < 1e-12);
        assert_eq!((curve.abaft(2.0, false).0, curve.abaft(2.0, true).0), (0.0, 10.0));
        assert_eq!(Curve::none().centre_x_m(), None);
        for (length, quantity) in [
            (Length { from_x_m: 17.0, ..LENGTH }, "ends"),
            (Length { to_x_m: f64::NAN, ..LENGTH }, "ends"),
            (Length { mass_t: -1.0, ..LENGTH }, "mass"),
            (Length { centre_x_m: f64::NAN, ..LENGTH }, "centre"),
        ] {
            let found = Curve::new(vec![length]);
            assert_eq!(found, Err(LoadsError::Length { number: 0, quantity }));
        }
        let apart = Length { from_x_m: 3.0, to_x_m: 3.0, mass_t: 1.0, centre_x_m: 4.0 };
        assert!(Curve::new(vec![apart]).is_err());
    }
}
