//! `landing/holds.csv`: hold points as they were signed. Who signed says so; nothing is worked out from it but whether it
//! could be signed then.

use chrono::{DateTime, FixedOffset};

use super::record::{record, words};
use super::spec::{Kind, Range};

words! {
    /// What is signed before work goes on, in the order of a docking (common practice, no source).
    pub enum HoldPoint {
        BlocksAccepted = "blocks-accepted",
        GateSeated = "gate-seated",
        LinedUp = "lined-up",
        TouchAccepted = "touch-accepted",
        DiversInspected = "divers-inspected",
        LandingAccepted = "landing-accepted",
        DryAccepted = "dry-accepted",
        FloodingAllowed = "flooding-allowed",
        AfloatAccepted = "afloat-accepted",
    }
}

impl HoldPoint {
    /// The same in a sentence, as a noun.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::BlocksAccepted => "blocks accepted",
            Self::GateSeated => "gate seated",
            Self::LinedUp => "lined up",
            Self::TouchAccepted => "first touch accepted",
            Self::DiversInspected => "divers\u{2019} inspection",
            Self::LandingAccepted => "landing accepted",
            Self::DryAccepted => "dry dock accepted",
            Self::FloodingAllowed => "flooding allowed",
            Self::AfloatAccepted => "afloat accepted",
        }
    }
}

record! {
    /// A hold point that somebody signed.
    #[derive(Debug, Clone)]
    pub struct Hold: SPEC = "a hold point that was signed" in "landing/holds.csv", at most 1_000 {
        position: String = always("position", Ref(Kind::Position), "the position"),
        hold: HoldPoint = always("hold", Word(HoldPoint::WORDS), "what was signed"),
        from_frame: Option<f64> = optional(
            "from_frame",
            Number(Range::Any),
            "of an inspection the first frame that was looked at",
        ),
        to_frame: Option<f64> = optional("to_frame", Number(Range::Any), "the last frame"),
        by: String = always("by", Called, "who signed, named as under [[people]]"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
    }
}
