//! `coating/stripes.csv`: stripe coats, brushed on edges, welds and corners before a coat of the scheme. They are no coats
//! of the zone: they cover no area of it, and no recoat window begins with them.

use chrono::{DateTime, FixedOffset};

use super::record::record;
use super::spec::Kind;

record! {
    #[derive(Debug, Clone)]
    pub struct Stripe: SPEC = "a stripe coat" in "coating/stripes.csv", at most 1_000 {
        zone: String = always("zone", Ref(Kind::Zone), "the zone"),
        before_coat: i64 = always(
            "before_coat",
            Whole { least: 1 },
            "number of the coat of the scheme that went over it",
        ),
        on: Option<String> = optional("on", Text, "on which edges, welds and corners"),
        product: String = always("product", Ref(Kind::Product), "the product"),
        batch: Option<String> = optional("batch", Name, "the batch's number"),
        began: Option<DateTime<FixedOffset>> = optional("began", Time, "start"),
        ended: Option<DateTime<FixedOffset>> = optional("ended", Time, "finish"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
}
