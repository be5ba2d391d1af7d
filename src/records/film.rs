//! `coating/film.csv` and `coating/gauges.csv`: film readings and gauge checks; and the rule that
//! accepts them, from `docking.toml`.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::input::Input;
use super::keyed::Keyed;
use super::place::Place;
use super::preparation::hull;
use super::problem::{Problem, Problems};
use super::record::{record, words};
use super::spec::{Column, Holds, Kind, PLACE, Range, SIZE, Stands, TableSpec};
use crate::units::Quantity;

const FILM: Holds = Holds::Measure(Quantity::Length, Range::NotNegative);

record! {
    /// A film reading: the total thickness so far.
    #[derive(Debug, Clone)]
    pub struct FilmReading: SPEC = "a film reading" in "coating/film.csv" {
        zone: Arc<str> = always("zone", Ref(Kind::Zone), "the zone"),
        after_coat: i64 = always(
            "after_coat",
            Whole { least: 1 },
            "the coat after which it was read; the reading is the total film up to it",
        ),
        area: Option<Arc<str>> = optional("area", Ref(Kind::Area), "a drawn area, if it was read for \
             one"),
        spot: Option<Arc<str>> = optional("spot", Name, "the spot; readings of one spot stand in \
             consecutive rows"),
        reading_m: f64 = always("reading", FILM, "the reading").printed_in("um"),
        x = optional("x", PLACE, "x of the reading"),
        y = optional("y", PLACE, "y of the reading"),
        gauge: Option<Arc<str>> = optional("gauge", Name, "the gauge"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
        by: Option<Arc<str>> = optional("by", Called, "by whom"),
    }
    with {
        /// Where it was read.
        hull: Option<Coord<f64>>,
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct GaugeCheck: GAUGES_SPEC = "a gauge check" in "coating/gauges.csv" {
        gauge: Arc<str> = always("gauge", Name, "the gauge"),
        reference_m: f64 = always("reference", SIZE, "thickness of the reference").printed_in("um"),
        reading_m: f64 = always("reading", FILM, "what the gauge read on it").printed_in("um"),
        profile_correction_m: Option<f64> = optional(
            "profile_correction",
            FILM,
            "what the gauge, set on smooth steel, reads on the bare blasted steel, to be subtracted: \
             ISO 19840's correction, SSPC-PA 2's base metal reading; 0 for a gauge set on blasted \
             steel",
        ).printed_in("um").or_named("correction"),
        at: DateTime<FixedOffset> = always("at", Time, "when"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
}

words! {
    enum RuleWord {
        Iso19840 = "iso-19840",
        SspcPa2 = "sspc-pa-2",
        NinetyTen = "90-10",
    }
}

record! {
    #[derive(Debug)]
    struct WrittenRule: TABLE = [film] "the rule that accepts film readings" {
        rule: RuleWord = always("rule", Word(RuleWord::WORDS), "the rule by which film readings are \
             accepted"),
        areas: Option<String> = optional(
            "areas",
            Word(&["us", "metric"]),
            "for sspc-pa-2: whether its areas in square feet or in square metres apply",
        ),
        restriction_level: Option<i64> = optional(
            "restriction_level",
            Whole { least: 1 },
            "for sspc-pa-2: 1 to 5; 3 if left out",
        ),
    }
}

const ZONE: Column = Column::always("zone", Holds::Ref(Kind::Zone), "the zone");

/// What `[[film_for_zone]]` holds.
pub(crate) const ZONE_TABLE: TableSpec = TableSpec {
    name: "film_for_zone",
    meaning: "the rule for a zone where another one applies",
    stands: Stands::Often,
    keys: &[ZONE, WrittenRule::rule, WrittenRule::areas, WrittenRule::restriction_level],
    most: usize::MAX,
};

/// The rule that accepts film readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    Iso19840,
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
    pub fn for_zone(&self, zone: &str) -> Option<(Rule, &Place)> {
        let own = self.zones.iter().find(|(of, ..)| of == zone);
        own.map(|(_, rule, place)| (*rule, place))
            .or_else(|| self.project.as_ref().map(|(rule, place)| (*rule, place)))
    }

    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Self {
        let project = keyed.single(TABLE.name).and_then(|entry| rule(entry, problems));
        let mut zones: Vec<(String, Rule, Place)> = Vec::new();
        for entry in keyed.all(ZONE_TABLE.name) {
            let Some(zone) = entry.get::<String>(&ZONE) else { continue };
            if let Some((_, _, other)) = zones.iter().find(|(of, ..)| *of == zone) {
                problems.add(
                    Problem::new(entry.place_of(&ZONE), format!("already has a rule at {other}"))
                        .value(zone.clone())
                        .expected("one rule for each zone")
                        .advice("remove one of the two"),
                );
            }
            zones.extend(rule(entry, problems).map(|(rule, place)| (zone, rule, place)));
        }
        Self { project, zones }
    }
}

fn rule(entry: &Entry, problems: &mut Problems) -> Option<(Rule, Place)> {
    let written = WrittenRule::from_entry(entry)?;
    let rule = match written.rule {
        RuleWord::Iso19840 => Rule::Iso19840,
        RuleWord::NinetyTen => Rule::NinetyTen,
        RuleWord::SspcPa2 => return sspc_pa_2(entry, written, problems),
    };
    for key in [&WrittenRule::areas, &WrittenRule::restriction_level] {
        if entry.value(key).is_some() {
            problems.add(
                Problem::new(entry.place_of(key), "applies only to the rule sspc-pa-2")
                    .value(entry.as_written(key))
                    .expected(format!("no {} with the rule {}", key.name, written.rule.word()))
                    .advice("remove it, or correct the rule"),
            );
        }
    }
    Some((rule, written.place))
}

fn sspc_pa_2(
    entry: &Entry,
    written: WrittenRule,
    problems: &mut Problems,
) -> Option<(Rule, Place)> {
    let Some(areas) = written.areas else {
        problems.add(
            Problem::new(written.place, "does not say which areas decide the number of readings")
                .expected(
                    "areas = \"us\" (100, 300, 1000 square feet) or \"metric\" (10, 30, 100 m2)",
                )
                .advice("add the one given in the specification"),
        );
        return None;
    };
    let level = u8::try_from(written.restriction_level.unwrap_or(3)).unwrap_or(u8::MAX);
    if level > 5 {
        let key = &WrittenRule::restriction_level;
        problems.add(
            Problem::new(entry.place_of(key), "is not a restriction level")
                .value(entry.as_written(key))
                .expected("1 to 5")
                .advice("write the level given in the specification"),
        );
        return None;
    }
    Some((Rule::SspcPa2 { us_areas: areas == "us", level }, written.place))
}

impl FilmReading {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let hull = hull(entry, [&Self::x, &Self::y], input.problems);
        Self::from_entry(entry, hull)
    }
}
