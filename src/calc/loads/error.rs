//! Why block loads can't be computed.

/// Why block loads can't be computed. Numbers of blocks, layers and lengths are places in the
/// caller's list, from 0.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadsError {
    /// A block without layers has no stiffness.
    NoLayers,
    /// A layer's thickness, area or modulus is not a number above 0.
    Layer {
        /// Its place, from the floor.
        number: usize,
        quantity: &'static str,
    },
    /// There are no blocks: the keel touches nowhere.
    NoBlocks,
    /// A block's place, stiffness, gap or width can't be used.
    Block { number: usize, quantity: &'static str },
    /// A length of a weight or buoyancy curve whose ends, mass or centre is not a number, whose ends
    /// are in the wrong order, or whose mass is below 0.
    Length { number: usize, quantity: &'static str },
    /// A centre outside the middle third: part of the length would weigh less than nothing.
    CentreOutside {
        /// The length's place.
        number: usize,
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
    Stiffness { number: usize, quantity: &'static str },
    /// No stiffness is given for part of the hull.
    NoStiffness { from_x_m: f64, to_x_m: f64 },
    /// Two stiffnesses are given for the same part of the hull.
    TwoStiffnesses { from_x_m: f64, to_x_m: f64 },
    /// A block, or part of the weight or buoyancy, lies beyond the hull whose stiffness is given.
    BeyondHull {
        /// What lies there.
        what: &'static str,
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
