//! `landing/bilge.csv`: bilge blocks as they were set under her, hauled or fixed, and gaps that wedges closed.

use chrono::{DateTime, FixedOffset};

use super::record::{record, words};
use super::spec::{Kind, Range};
use crate::units::Quantity;

words! {
    /// How a bilge block came to its place.
    pub enum Setting {
        Hauled = "hauled",
        Fixed = "fixed",
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct BilgeBlock: SPEC = "a bilge block as it was set under her" in "landing/bilge.csv", at most 2_000 {
        position: String = always("position", Ref(Kind::Position), "the position"),
        block: String = always("block", Ref(Kind::Block), "the block"),
        how: Setting = always("how", Word(Setting::WORDS), "whether it was hauled under her or stood there before"),
        hauled_at: Option<DateTime<FixedOffset>> = optional(
            "hauled_at",
            Time,
            "when it was hauled tight; empty for one that was fixed",
        ),
        wedged_m: Option<f64> = optional(
            "wedged",
            Measure(Quantity::Length, Range::NotNegative),
            "how much of the gap under the hull was closed by wedges",
        ),
        wedged_at: Option<DateTime<FixedOffset>> = optional("wedged_at", Time, "when"),
        by: Option<String> = optional("by", Called, "who set it"),
    }
}
