//! Why block loads can't be computed.

use std::fmt;

use crate::units::fixed;

/// Why block loads can't be computed. Numbers of blocks, layers and lengths are places in the
/// caller's list, from 0; the sentences count from 1.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadsError {
    /// A block without layers has no stiffness.
    NoLayers,
    /// A layer's thickness, area or modulus is not a number above 0.
    Layer {
        /// Its place, from the floor.
        number: usize,
        /// What of it.
        quantity: &'static str,
    },
    /// There are no blocks: the keel touches nowhere.
    NoBlocks,
    /// A block's place, stiffness, gap or width can't be used.
    Block {
        /// Its place.
        number: usize,
        /// What of it.
        quantity: &'static str,
    },
    /// A length of a weight or buoyancy curve whose ends, mass or centre is not a number, whose ends
    /// are in the wrong order, or whose mass is below 0.
    Length {
        /// Its place.
        number: usize,
        /// What of it.
        quantity: &'static str,
    },
    /// A centre outside the middle third: part of the length would weigh less than nothing.
    CentreOutside {
        /// The length's place.
        number: usize,
        /// Its centre, m.
        centre_x_m: f64,
        /// From where the centre may lie, m.
        from_x_m: f64,
        /// To where it may lie, m.
        to_x_m: f64,
    },
    /// The buoyancy carries the whole weight.
    Afloat {
        /// Buoyancy less weight, t.
        over_t: f64,
    },
    /// The centre of what the blocks carry lies outside the blocks.
    Topples {
        /// That centre's x, m.
        x_m: f64,
        /// That centre's y, m.
        y_m: f64,
    },
    /// All blocks stand at one station, which leaves the trim open.
    OneStation,
    /// No stiffness of the hull is given at all.
    NoHull,
    /// A length of the hull whose stiffness or ends can't be used.
    Stiffness {
        /// Its place.
        number: usize,
        /// What of it.
        quantity: &'static str,
    },
    /// No stiffness is given for part of the hull.
    NoStiffness {
        /// From where, m.
        from_x_m: f64,
        /// To where, m.
        to_x_m: f64,
    },
    /// Two stiffnesses are given for the same part of the hull.
    TwoStiffnesses {
        /// From where, m.
        from_x_m: f64,
        /// To where, m.
        to_x_m: f64,
    },
    /// A block, or part of the weight or buoyancy, lies beyond the hull whose stiffness is given.
    BeyondHull {
        /// What lies there.
        what: &'static str,
        /// Where, m.
        x_m: f64,
    },
    /// The longest element asked for is not above 0, or so short that the hull would need too many.
    ElementLength {
        /// How many elements a girder may have.
        most: usize,
    },
    /// The ship would trim or heel further than the formulas for small angles hold.
    TooFar {
        /// Trim by the stern, radians.
        trim_rad: f64,
        /// Heel to port, radians.
        heel_rad: f64,
    },
    /// The forces could not be brought into balance.
    NotSettled,
}

impl fmt::Display for LoadsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let m = |metres: &f64| fixed(*metres, 3);
        match self {
            Self::NoLayers => write!(f, "the block has no layers, so its stiffness is not known"),
            Self::Layer { number, quantity } => {
                write!(f, "the {quantity} of layer {} is not a number above 0", number + 1)
            }
            Self::NoBlocks => write!(f, "the keel touches nowhere: there are no blocks"),
            Self::Block { number, quantity } => {
                write!(f, "the {quantity} of block {} can't be used", number + 1)
            }
            Self::Length { number, quantity } => {
                write!(f, "the {quantity} of length {} of the curve can't be used", number + 1)
            }
            Self::CentreOutside { number, centre_x_m, from_x_m, to_x_m } => write!(
                f,
                "the centre of length {} of the curve, at {} m, lies outside its middle third, from \
                 {} to {} m, so that part of it would weigh less than nothing",
                number + 1,
                m(centre_x_m),
                m(from_x_m),
                m(to_x_m)
            ),
            Self::Afloat { over_t } => write!(
                f,
                "nothing rests on the blocks: the buoyancy is greater than the weight by {} t",
                fixed(*over_t, 1)
            ),
            Self::Topples { x_m, y_m } => write!(
                f,
                "the centre of what the blocks carry, {} m forward and {} m to port, lies outside \
                 the blocks, so the ship would tip over",
                m(x_m),
                m(y_m)
            ),
            Self::OneStation => {
                write!(f, "all blocks stand at one station, so the trim can't be found")
            }
            Self::NoHull => write!(f, "no stiffness of the hull is given"),
            Self::Stiffness { number, quantity } => {
                write!(f, "the {quantity} of length {} of the hull can't be used", number + 1)
            }
            Self::NoStiffness { from_x_m, to_x_m } => {
                write!(
                    f,
                    "no stiffness of the hull is given from {} to {} m",
                    m(from_x_m),
                    m(to_x_m)
                )
            }
            Self::TwoStiffnesses { from_x_m, to_x_m } => write!(
                f,
                "the stiffness of the hull is given twice from {} to {} m",
                m(from_x_m),
                m(to_x_m)
            ),
            Self::BeyondHull { what, x_m } => {
                write!(f, "{what} at {} m lies beyond the hull whose stiffness is given", m(x_m))
            }
            Self::ElementLength { most } => write!(
                f,
                "the longest element of the hull girder must be above 0 and long enough for at most \
                 {most} of them"
            ),
            Self::TooFar { trim_rad, heel_rad } => write!(
                f,
                "the ship would trim {} and heel {} degrees on these blocks, further than the \
                 calculation for small angles holds",
                fixed(trim_rad.to_degrees(), 1),
                fixed(heel_rad.to_degrees(), 1)
            ),
            Self::NotSettled => write!(
                f,
                "the loads could not be found: the forces did not come into balance, as with \
                 stiffnesses or gaps too far apart in size"
            ),
        }
    }
}

impl std::error::Error for LoadsError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_error_is_a_plain_sentence() {
        let (from_x_m, to_x_m) = (10.0, 20.0);
        let said = [
            LoadsError::Layer { number: 0, quantity: "thickness" },
            LoadsError::NoBlocks,
            LoadsError::CentreOutside { number: 2, centre_x_m: 21.0, from_x_m, to_x_m },
            LoadsError::NoStiffness { from_x_m, to_x_m },
            LoadsError::Topples { x_m: 5.0, y_m: -0.0 },
        ]
        .map(|error| error.to_string());
        assert_eq!(
            said,
            [
                "the thickness of layer 1 is not a number above 0",
                "the keel touches nowhere: there are no blocks",
                "the centre of length 3 of the curve, at 21.000 m, lies outside its middle third, from \
                 10.000 to 20.000 m, so that part of it would weigh less than nothing",
                "no stiffness of the hull is given from 10.000 to 20.000 m",
                "the centre of what the blocks carry, 5.000 m forward and 0.000 m to port, lies outside \
                 the blocks, so the ship would tip over",
            ]
        );
    }
}
