//! `coating/coats.csv`: applications, one coat on one extent of a zone.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::ids::Ids;
use super::place::Place;
use super::problem::Problems;
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use super::zones::Extent;
use crate::units::Quantity;

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "coating/coats.csv",
    row_is: "an application",
    example: include_str!("../../templates/example/coating/coats.csv"),
    columns: &[
        Column::always("zone", Holds::Ref(Kind::Zone), "the zone"),
        Column::always(
            "extent",
            Holds::Name,
            "all, exposed, patches or an area: what the log claims to have coated",
        ),
        Column::always("coat", Holds::Whole { least: 1 }, "number of the coat in the scheme")
            .or_named("coat_number"),
        Column::always("product", Holds::Ref(Kind::Product), "the product"),
        Column::optional("batch", Holds::Name, "the batch's number"),
        Column::optional("began", Holds::Time, "start of the application"),
        Column::optional("ended", Holds::Time, "finish of the application"),
        Column::optional("used", Holds::Measure(Quantity::Volume, Range::Positive), "paint used"),
        Column::optional(
            "wet_film",
            Holds::Measure(Quantity::Length, Range::Positive),
            "mean wet film thickness",
        )
        .printed_in("um"),
        Column::optional("by", Holds::Text, "by whom"),
    ],
};

/// An application.
#[derive(Debug, Clone)]
pub struct Application {
    /// Its name: `F3.coat2`, and `F3.coat2-2` for the second of that zone and coat in the file.
    pub name: String,
    /// The zone.
    pub zone: String,
    /// The part of it that the log claims.
    pub extent: Extent,
    /// Number of the coat.
    pub coat: i64,
    /// The product.
    pub product: String,
    /// The batch.
    pub batch: Option<String>,
    /// Start.
    pub began: Option<DateTime<FixedOffset>>,
    /// Finish.
    pub ended: Option<DateTime<FixedOffset>>,
    /// Paint used, l.
    pub used_l: Option<f64>,
    /// Wet film, m.
    pub wet_film_m: Option<f64>,
    /// By whom.
    pub by: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Application {
    /// Its name within its zone: `coat2-2`.
    pub fn name_in_zone(&self) -> &str {
        self.name.strip_prefix(&self.zone).map_or(self.name.as_str(), |rest| &rest[1..])
    }

    pub(super) fn read_all<'a>(
        rows: impl Iterator<Item = &'a Entry>,
        ids: &Ids<'_>,
        problems: &mut Problems,
    ) -> Vec<Self> {
        let mut seen: BTreeMap<(String, i64), usize> = BTreeMap::new();
        let mut read = |entry: &Entry| {
            let extent = Extent::read(entry, ids, problems)?;
            let (zone, coat) = (entry.text("zone")?, entry.whole("coat")?);
            let times = seen.entry((zone.clone(), coat)).or_insert(0);
            *times += 1;
            let name = match *times {
                1 => format!("{zone}.coat{coat}"),
                n => format!("{zone}.coat{coat}-{n}"),
            };
            Some(Self {
                name,
                zone,
                extent,
                coat,
                product: entry.text("product")?,
                batch: entry.text("batch"),
                began: entry.time("began"),
                ended: entry.time("ended"),
                used_l: entry.number("used"),
                wet_film_m: entry.number("wet_film"),
                by: entry.text("by"),
                place: entry.place.clone(),
            })
        };
        rows.filter_map(&mut read).collect()
    }
}
