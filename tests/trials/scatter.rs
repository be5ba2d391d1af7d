//! Numbers that look random, and are the same on every run and machine.

/// A stream of numbers of one variant of a ship, with a name: a new stream leaves the others as they are.
pub struct Scatter(u64);

impl Scatter {
    pub fn of(ship: &str, variant: u64, name: &str) -> Self {
        // FNV-1a over the names, so that streams of like names have nothing in common.
        let mut state = 0xcbf2_9ce4_8422_2325_u64;
        for byte in ship.bytes().chain([0]).chain(name.bytes()).chain(variant.to_le_bytes()) {
            state = (state ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        Self(state)
    }

    /// From 0 to 1 (splitmix64).
    fn part(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.part()
    }

    /// No further than so much from nothing, either way.
    pub fn within(&mut self, most: f64) -> f64 {
        self.between(-most, most)
    }

    /// A whole number from `least` to `most`.
    pub fn whole(&mut self, least: i64, most: i64) -> i64 {
        (self.between(least as f64, most as f64 + 1.0).floor() as i64).min(most)
    }
}
