//! `coating/film.csv` and `coating/gauges.csv`: film readings and gauge checks; and the rule that
//! accepts them, from `docking.toml`.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::keyed::Keyed;
use super::place::Place;
use super::preparation::hull;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range, Stands, TableSpec};
use crate::units::Quantity;

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
const FILM: Holds = Holds::Measure(Quantity::Length, Range::NotNegative);
const RULE: Holds = Holds::Word(&["iso-19840", "sspc-pa-2", "90-10"]);
const AREAS: Holds = Holds::Word(&["us", "metric"]);

/// What `coating/film.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "coating/film.csv",
    row_is: "a film reading",
    example: include_str!("../../templates/example/coating/film.csv"),
    columns: &[
        Column::always("zone", Holds::Ref(Kind::Zone), "the zone"),
        Column::always(
            "after_coat",
            Holds::Whole { least: 1 },
            "the coat after which it was read; it is the total so far",
        ),
        Column::optional("area", Holds::Ref(Kind::Area), "a drawn area, if it was read for one"),
        Column::optional("spot", Holds::Name, "the spot; its readings follow each other"),
        Column::always("reading", FILM, "the reading").printed_in("um"),
        Column::optional("x", PLACE, "x of the reading"),
        Column::optional("y", PLACE, "y of the reading"),
        Column::optional("gauge", Holds::Name, "the gauge"),
        Column::optional("at", Holds::Time, "when"),
        Column::optional("by", Holds::Called, "by whom"),
    ],
};

/// What `coating/gauges.csv` holds.
pub static GAUGES_SPEC: FileSpec = FileSpec {
    path: "coating/gauges.csv",
    row_is: "a gauge check",
    example: include_str!("../../templates/example/coating/gauges.csv"),
    columns: &[
        Column::always("gauge", Holds::Name, "the gauge"),
        Column::always(
            "reference",
            Holds::Measure(Quantity::Length, Range::Positive),
            "thickness of the reference",
        )
        .printed_in("um"),
        Column::always("reading", FILM, "what the gauge read on it").printed_in("um"),
        Column::optional(
            "profile_correction",
            FILM,
            "what the gauge, set on smooth steel, reads on the bare blasted steel, to be taken off: ISO \
             19840's correction, SSPC-PA 2's base metal reading; 0 for a gauge set on blasted steel",
        )
        .printed_in("um")
        .or_named("correction"),
        Column::always("at", Holds::Time, "when"),
        Column::optional("by", Holds::Called, "by whom"),
    ],
};

const RULE_KEYS: [Column; 3] = [
    Column::always("rule", RULE, "the rule by which film readings are accepted"),
    Column::optional(
        "areas",
        AREAS,
        "for sspc-pa-2: areas owed by its square feet or by its square metres",
    ),
    Column::optional(
        "restriction_level",
        Holds::Whole { least: 1 },
        "for sspc-pa-2: 1 to 5; 3 if left out",
    ),
];

/// `[film]`.
pub(super) const TABLE: TableSpec = TableSpec {
    name: "film",
    meaning: "the rule that accepts film readings",
    stands: Stands::Once,
    keys: &RULE_KEYS,
};

/// `[[film_for_zone]]`.
pub(super) const ZONE_TABLE: TableSpec = TableSpec {
    name: "film_for_zone",
    meaning: "the rule for one zone, where it is another",
    stands: Stands::Often,
    keys: &[
        Column::always("zone", Holds::Ref(Kind::Zone), "the zone"),
        RULE_KEYS[0],
        RULE_KEYS[1],
        RULE_KEYS[2],
    ],
};

/// The rule that accepts film readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// ISO 19840.
    Iso19840,
    /// SSPC-PA 2.
    SspcPa2 {
        /// Whether areas are owed by the rule in square feet; by that in square metres if not.
        us_areas: bool,
        /// Restriction level, 1 to 5.
        level: u8,
    },
    /// The 90/10 rule of IMO Res. MSC.215(82).
    NinetyTen,
}

/// The rules in force.
#[derive(Debug, Clone, Default)]
pub struct Rules {
    project: Option<(Rule, Place)>,
    zones: Vec<(String, Rule, Place)>,
}

impl Rules {
    /// The rule for a zone and where it is stated.
    pub fn of(&self, zone: &str) -> Option<(Rule, &Place)> {
        let own = self.zones.iter().find(|(of, ..)| of == zone);
        own.map(|(_, rule, place)| (*rule, place))
            .or_else(|| self.project.as_ref().map(|(rule, place)| (*rule, place)))
    }

    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Self {
        let project = keyed.one(TABLE.name).and_then(|entry| rule(entry, problems));
        let mut zones: Vec<(String, Rule, Place)> = Vec::new();
        for entry in keyed.all(ZONE_TABLE.name) {
            let Some(zone) = entry.text("zone") else { continue };
            if let Some((_, _, other)) = zones.iter().find(|(of, ..)| *of == zone) {
                problems.add(
                    Problem::new(entry.place_of("zone"), format!("has a rule at {other} too"))
                        .value(zone.clone())
                        .expected("one rule for a zone")
                        .advice("take one of the two out"),
                );
            }
            zones.extend(rule(entry, problems).map(|(rule, place)| (zone, rule, place)));
        }
        Self { project, zones }
    }
}

fn rule(entry: &Entry, problems: &mut Problems) -> Option<(Rule, Place)> {
    let word = entry.text("rule")?;
    let (areas, level) = (entry.text("areas"), entry.whole("restriction_level"));
    if word != "sspc-pa-2" {
        for key in ["areas", "restriction_level"].iter().filter(|key| entry.value(key).is_some()) {
            problems.add(
                Problem::new(entry.place_of(key), "belongs to the rule sspc-pa-2 alone")
                    .value(
                        if *key == "areas" { areas.clone() } else { level.map(|l| l.to_string()) }
                            .unwrap_or_default(),
                    )
                    .expected(format!("no {key} with the rule {word}"))
                    .advice("take it out"),
            );
        }
        let rule = if word == "90-10" { Rule::NinetyTen } else { Rule::Iso19840 };
        return Some((rule, entry.place.clone()));
    }
    let Some(areas) = areas else {
        problems.add(
            Problem::new(entry.place.clone(), "does not say by which areas readings are owed")
                .expected(
                    "areas = \"us\" (100, 300, 1000 square feet) or \"metric\" (10, 30, 100 m2)",
                )
                .advice("add the one that the specification names"),
        );
        return None;
    };
    let level = u8::try_from(level.unwrap_or(3)).unwrap_or(u8::MAX);
    if level > 5 {
        problems.add(
            Problem::new(entry.place_of("restriction_level"), "is not a restriction level")
                .value(entry.whole("restriction_level").unwrap_or_default().to_string())
                .expected("1 to 5")
                .advice("write the level that the specification names"),
        );
        return None;
    }
    Some((Rule::SspcPa2 { us_areas: areas == "us", level }, entry.place.clone()))
}

/// A film reading: the total thickness so far.
#[derive(Debug, Clone)]
pub struct FilmReading {
    /// The zone.
    pub zone: Arc<str>,
    /// The coat after which it was read.
    pub after_coat: i64,
    /// A drawn area.
    pub area: Option<Arc<str>>,
    /// The spot.
    pub spot: Option<Arc<str>>,
    /// The reading, m.
    pub reading_m: f64,
    /// Where it was read.
    pub hull: Option<Coord<f64>>,
    /// The gauge.
    pub gauge: Option<Arc<str>>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// By whom.
    pub by: Option<Arc<str>>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl FilmReading {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        Some(Self {
            zone: entry.shared("zone")?,
            after_coat: entry.whole("after_coat")?,
            area: entry.shared("area"),
            spot: entry.shared("spot"),
            reading_m: entry.number("reading")?,
            hull: hull(entry, problems),
            gauge: entry.shared("gauge"),
            at: entry.time("at"),
            by: entry.shared("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

/// A gauge check.
#[derive(Debug, Clone)]
pub struct GaugeCheck {
    /// The gauge.
    pub gauge: Arc<str>,
    /// Thickness of the reference, m.
    pub reference_m: f64,
    /// What the gauge read on it, m.
    pub reading_m: f64,
    /// Correction for the profile, m.
    pub profile_correction_m: Option<f64>,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// By whom.
    pub by: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl GaugeCheck {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            gauge: entry.shared("gauge")?,
            reference_m: entry.number("reference")?,
            reading_m: entry.number("reading")?,
            profile_correction_m: entry.number("profile_correction"),
            at: entry.time("at")?,
            by: entry.text("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
