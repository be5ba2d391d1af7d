//! What of the coating is not as it should be: where, since when, and by what finding. The map of exceptions and the
//! table that answers its letters are drawn from this one list.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use geo::{Coord, MultiPolygon};

use super::Examined;
use super::finding::{Finding, Outcome};
use super::recomputed::coating::short::Piece;
use super::recomputed::coating::{Part, ZoneHistory};
use super::subject::Subject;
use crate::calc::plane::union;
use crate::records::Project;

/// What kind of exception it is, in order of weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Steel without any coat of its scheme.
    Bare,
    /// Steel that lacks some of them.
    Short,
    /// A coat too soon or too late over another, or too soon under water.
    Interval,
    /// A film that its rule does not accept.
    Film,
    /// A coat put on in a climate beyond the limits.
    Climate,
    /// A product or batch that it should not have been.
    Batch,
    /// Steel not prepared as the scheme asks.
    Preparation,
    /// A log that contradicts itself, the blocks or the water.
    Contradiction,
    /// Paint used or a wet film that does not fit the steel coated.
    Paint,
    /// Steel that blocks hid at first and that was coated later than what lies round it.
    Patch,
}

impl Kind {
    /// Every kind, in order of weight.
    pub const ALL: [Kind; 10] = [
        Kind::Bare,
        Kind::Short,
        Kind::Interval,
        Kind::Film,
        Kind::Climate,
        Kind::Batch,
        Kind::Preparation,
        Kind::Contradiction,
        Kind::Paint,
        Kind::Patch,
    ];

    /// What the legend of a map calls it.
    pub fn words(self) -> &'static str {
        match self {
            Kind::Bare => "no coat of the scheme",
            Kind::Short => "coats missing",
            Kind::Interval => "outside its window",
            Kind::Film => "film not accepted",
            Kind::Climate => "climate",
            Kind::Batch => "batch or product",
            Kind::Preparation => "preparation",
            Kind::Contradiction => "contradiction",
            Kind::Paint => "paint used",
            Kind::Patch => "patch, coated later",
        }
    }
}

/// Why it is an exception.
#[derive(Debug, Clone)]
pub enum Why<'a> {
    /// A piece that is short of its scheme.
    Piece(&'a Piece),
    /// A finding.
    Finding(&'a Finding),
    /// Patches: each coat of the scheme with the days on which it was finished on them.
    Patches(Vec<(i64, Vec<NaiveDate>)>),
}

/// An exception.
#[derive(Debug, Clone)]
pub struct Exception<'a> {
    /// What kind it is.
    pub kind: Kind,
    /// Its zone, by its place in the project's list.
    pub zone: usize,
    /// The coat of the scheme that it concerns, where it is one.
    pub coat: Option<i64>,
    /// Its steel in hull axes; empty for a side, and where it can't be placed.
    pub steel: MultiPolygon<f64>,
    /// Single places, where it is no area.
    pub places: Vec<Coord<f64>>,
    /// Its area, m2: along the plating where the zone states its true area, else in plan. `None` where it is not
    /// known, and for single places.
    pub area_m2: Option<f64>,
    /// Why it is one.
    pub why: Why<'a>,
}

/// What of the coating is not as it should be.
#[derive(Debug, Default)]
pub struct Exceptions<'a> {
    /// Those that have a place or a zone, by weight.
    pub placed: Vec<Exception<'a>>,
    /// How many comparisons of the coating were made.
    pub compared: usize,
    /// How many of them agree.
    pub agree: usize,
    /// Findings that concern no part of the ship: gauges, dew points, what nobody assigned to a zone.
    pub elsewhere: Vec<&'a Finding>,
    /// What is not recorded, by kind.
    pub not_recorded: Vec<(Kind, Vec<&'a Finding>)>,
    /// Pieces short of the scheme that are not among the placed ones, being smaller.
    pub smaller_pieces: usize,
}

/// So many have letters; of more those that weigh least are counted.
pub const MOST_LETTERED: usize = 40;

impl<'a> Exceptions<'a> {
    /// Those that have letters, in the order of these.
    pub fn lettered(&self) -> &[Exception<'a>] {
        &self.placed[..self.placed.len().min(MOST_LETTERED)]
    }

    /// How many have none.
    pub fn without_letter(&self) -> usize {
        self.placed.len() - self.lettered().len()
    }
}

/// Pieces short of the scheme that are exceptions of their own; of more the largest are.
pub const MOST_PIECES: usize = 24;

/// The exceptions of the coating.
pub fn exceptions(examined: &Examined) -> Exceptions<'_> {
    let mut found = Exceptions::default();
    let short = &examined.recomputed.coating.short;
    let lettered = lettered(&short.pieces);
    found.smaller_pieces = short.pieces.len() - lettered.len();
    found.placed.extend(lettered.into_iter().map(|piece| Exception {
        kind: if piece.none { Kind::Bare } else { Kind::Short },
        zone: piece.zone,
        coat: None,
        steel: MultiPolygon(vec![piece.shape.clone()]),
        places: Vec::new(),
        area_m2: Some(piece.area_m2),
        why: Why::Piece(piece),
    }));
    let mut not_recorded: BTreeMap<Kind, Vec<&Finding>> = BTreeMap::new();
    for finding in &examined.findings {
        let Some((kind, about)) = About::of(&finding.subject) else { continue };
        found.compared += 1;
        if finding.outcome == Outcome::Agrees {
            found.agree += 1;
            continue;
        }
        if about.is_shown_by_pieces(examined) {
            continue;
        }
        let found_not = finding.outcome == Outcome::NotRecorded;
        match about.steel(examined) {
            _ if found_not && about != About::Nothing => {
                not_recorded.entry(kind).or_default().push(finding);
            }
            Some((zone, steel)) => {
                let (places, area_m2) = match about {
                    About::Readings(..) => (places_of(examined, &about), None),
                    _ => (Vec::new(), area_of(examined, zone, &steel)),
                };
                let coat = about.coat(examined);
                let why = Why::Finding(finding);
                found.placed.push(Exception { kind, zone, coat, steel, places, area_m2, why });
            }
            None => found.elsewhere.push(finding),
        }
    }
    found.not_recorded = not_recorded.into_iter().collect();
    found.placed.extend(patches(examined));
    // Stable: within a kind the order of pieces and findings stays.
    found.placed.sort_by_key(|one| one.kind);
    found
}

/// The pieces that are exceptions of their own: the largest, from aft to forward.
fn lettered(pieces: &[Piece]) -> Vec<&Piece> {
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by(|a, b| pieces[*b].area_m2.total_cmp(&pieces[*a].area_m2));
    order.truncate(MOST_PIECES);
    order.sort_unstable();
    order.into_iter().map(|at| &pieces[at]).collect()
}

/// What of the ship a finding concerns.
#[derive(Debug, Clone, PartialEq)]
enum About<'a> {
    /// The steel that an application reached.
    Coat(&'a str),
    /// The steel that it claimed.
    Claim(&'a str),
    /// Where one application lies next over another.
    Over { upper: &'a str, lower: &'a str },
    /// Whether a zone got its whole scheme.
    Complete(&'a str),
    /// The film of a zone after a coat.
    Film(&'a str, &'a str),
    /// Readings of it.
    Readings(&'a str, &'a str),
    /// No part of her.
    Nothing,
}

impl<'a> About<'a> {
    /// What kind of exception a finding is if it does not agree; `None` for what is none of the coating.
    fn of(subject: &'a Subject) -> Option<(Kind, Self)> {
        use Subject as S;
        Some(match subject {
            S::Recoat(upper, lower) => (Kind::Interval, About::Over { upper, lower }),
            S::TieIn(coat, _) | S::Immersion(coat, _) | S::LatestImmersion(coat, _) => {
                (Kind::Interval, About::Coat(coat))
            }
            S::SteelLimit(coat) | S::AirLimit(coat) => (Kind::Climate, About::Coat(coat)),
            S::PotLife(coat) | S::Induction(coat) | S::Thinner(coat) => {
                (Kind::Batch, About::Coat(coat))
            }
            S::Film(zone, coat) | S::FilmOwed(zone, coat) => (Kind::Film, About::Film(zone, coat)),
            S::FilmPlaces(zone, coat) | S::FilmTimes(zone, coat) => {
                (Kind::Contradiction, About::Readings(zone, coat))
            }
            S::ClimateMargin(coat) | S::ClimateHumidity(coat) | S::ClimateAge(coat) => {
                (Kind::Climate, About::Coat(coat))
            }
            S::Batch(coat) | S::Product(coat) => (Kind::Batch, About::Coat(coat)),
            S::Covered(coat)
            | S::Grade(coat)
            | S::Profile(coat)
            | S::Salts(coat)
            | S::Chloride(coat)
            | S::Conductivity(coat)
            | S::Dust(coat)
            | S::PreparationAge(coat) => (Kind::Preparation, About::Coat(coat)),
            S::Claim(coat) => (Kind::Contradiction, About::Claim(coat)),
            S::CoatOrder(coat) | S::CoatTimes(coat) | S::EnteredTwice(coat) => {
                (Kind::Contradiction, About::Coat(coat))
            }
            S::Paint(coat) | S::WetFilm(coat) => (Kind::Paint, About::Coat(coat)),
            S::ZoneComplete(zone) => (Kind::Short, About::Complete(zone)),
            S::ZonesCover
            | S::ZoneArea(_)
            | S::ZoneScheme(_)
            | S::ZoneBlasted(_)
            | S::EnteredOnce
            | S::Stripe(_)
            | S::CoatingTests(..)
            | S::StripeOwed(..)
            | S::PreparationPlaces(_) => (Kind::Contradiction, About::Nothing),
            S::DewPoints(_) | S::GaugesUnnamed | S::GaugeCheck(..) => {
                (Kind::Contradiction, About::Nothing)
            }
            _ => return None,
        })
    }

    /// Whether it is the completeness of a bottom zone, which its pieces show.
    fn is_shown_by_pieces(&self, examined: &Examined) -> bool {
        let About::Complete(id) = self else { return false };
        examined.project.zones.iter().any(|zone| zone.id == *id && zone.is_bottom())
    }

    /// The coat of the scheme.
    fn coat(&self, examined: &Examined) -> Option<i64> {
        let named = |name: &str| {
            let coat = examined.project.coats.iter().find(|coat| coat.name == name)?;
            Some(coat.coat)
        };
        match self {
            About::Coat(name) | About::Claim(name) | About::Over { upper: name, .. } => named(name),
            About::Readings(_, coat) | About::Film(_, coat) => coat.parse().ok(),
            About::Complete(_) | About::Nothing => None,
        }
    }

    /// The zone, by its place in the project's list, and the steel; `None` where it concerns no zone.
    fn steel(&self, examined: &Examined) -> Option<(usize, MultiPolygon<f64>)> {
        let (project, coating) = (&examined.project, &examined.recomputed.coating);
        let zone_of = |id: &str| project.zones.iter().position(|zone| zone.id == id);
        let coat_of = |name: &str| project.coats.iter().position(|coat| coat.name == name);
        let on_bottom = |zone: usize, shape: Option<MultiPolygon<f64>>| {
            let shape = shape.filter(|_| project.zones[zone].is_bottom());
            (zone, shape.unwrap_or_else(nothing))
        };
        let of_coat = |coat: usize| {
            let zone = zone_of(&project.coats[coat].zone)?;
            Some((zone, &coating.zones[zone]))
        };
        match *self {
            About::Nothing => None,
            About::Complete(id) | About::Film(id, _) => {
                let zone = zone_of(id)?;
                Some(on_bottom(zone, coating.zones[zone].shape.clone()))
            }
            About::Readings(id, _) => Some((zone_of(id)?, nothing())),
            About::Coat(name) => {
                let coat = coat_of(name)?;
                let (zone, history) = of_coat(coat)?;
                Some(on_bottom(zone, history.done(coat).map(|done| done.got.clone())))
            }
            About::Claim(name) => {
                let coat = coat_of(name)?;
                let (zone, history) = of_coat(coat)?;
                let claimed = history.done(coat).map(|done| {
                    let wrong = union(done.on_blocks.0.iter().chain(&done.outside.0));
                    if wrong.0.is_empty() { done.claimed.clone() } else { wrong }
                });
                Some(on_bottom(zone, claimed))
            }
            About::Over { upper, lower } => {
                let upper = coat_of(upper)?;
                let (zone, history) = of_coat(upper)?;
                let is_lower = |at: usize| {
                    let coat = &project.coats[at];
                    coat.name_in_zone() == lower && coat.zone == project.coats[upper].zone
                };
                let meet = |part: &&Part| {
                    part.chain.windows(2).any(|two| is_lower(two[0]) && two[1] == upper)
                };
                let parts = history.parts.iter().filter(meet);
                Some(on_bottom(zone, Some(union(parts.flat_map(|part| &part.shape.0)))))
            }
        }
    }
}

fn nothing() -> MultiPolygon<f64> {
    MultiPolygon(Vec::new())
}

/// Where the readings were taken that can't have been taken there or then.
fn places_of(examined: &Examined, about: &About<'_>) -> Vec<Coord<f64>> {
    let About::Readings(zone, coat) = about else { return Vec::new() };
    let project = &examined.project;
    let films = examined.recomputed.coating.film.iter();
    let of = films
        .filter(|film| project.zones[film.zone].id == *zone && film.coat.to_string() == **coat);
    let wrong = of.flat_map(|film| {
        let untimely = film.too_early.iter().chain(&film.too_late).copied();
        film.misplaced.iter().map(|one| one.reading).chain(untimely)
    });
    let mut places: Vec<Coord<f64>> = wrong.filter_map(|at| project.film[at].hull).collect();
    places.dedup();
    places
}

/// The area of steel of a zone as its tables have areas: a side whose steel has no shape counts whole.
fn area_of(examined: &Examined, zone: usize, steel: &MultiPolygon<f64>) -> Option<f64> {
    let history = &examined.recomputed.coating.zones[zone];
    match &history.shape {
        Some(_) => history.area_along_m2(steel).filter(|_| !steel.0.is_empty()),
        None => examined.project.zones[zone].true_area_m2,
    }
}

/// Patches that got their whole scheme: steel that some positions hid and that was coated otherwise than most of its
/// zone. Those of a zone with the same coats are one exception.
fn patches(examined: &Examined) -> Vec<Exception<'_>> {
    let (project, coating) = (&examined.project, &examined.recomputed.coating);
    let mut found = Vec::new();
    for (zone, history) in coating.zones.iter().enumerate() {
        let Some(main) = main_chain(history).filter(|_| project.zones[zone].is_bottom()) else {
            continue;
        };
        let is_patch = |part: &&Part| {
            part.missing.is_empty()
                && part.hidden_in.iter().any(|hidden| *hidden)
                && part.chain != main
        };
        let mut chains: Vec<(&[usize], Vec<&Part>)> = Vec::new();
        for part in history.parts.iter().filter(is_patch) {
            match chains.iter_mut().find(|(chain, _)| *chain == part.chain.as_slice()) {
                Some((_, parts)) => parts.push(part),
                None => chains.push((&part.chain, vec![part])),
            }
        }
        for (chain, parts) in chains {
            let steel = union(parts.iter().flat_map(|part| &part.shape.0));
            found.push(Exception {
                kind: Kind::Patch,
                zone,
                coat: None,
                places: Vec::new(),
                area_m2: history.area_along_m2(&steel),
                steel,
                why: Why::Patches(days(project, chain)),
            });
        }
    }
    found
}

/// The coats that most of a zone got.
fn main_chain(history: &ZoneHistory) -> Option<&[usize]> {
    let mut sums: Vec<(&[usize], f64)> = Vec::new();
    for part in &history.parts {
        let area = part.area_m2.unwrap_or(0.0);
        match sums.iter_mut().find(|(chain, _)| *chain == part.chain.as_slice()) {
            Some((_, sum)) => *sum += area,
            None => sums.push((&part.chain, area)),
        }
    }
    sums.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).map(|(chain, _)| chain)
}

/// The days on which each coat of a chain was finished.
fn days(project: &Project, chain: &[usize]) -> Vec<(i64, Vec<NaiveDate>)> {
    let mut days: BTreeMap<i64, Vec<NaiveDate>> = BTreeMap::new();
    for coat in chain.iter().map(|at| &project.coats[*at]) {
        if let Some(day) = coat.ended.or(coat.began).map(|at| at.date_naive()) {
            days.entry(coat.coat).or_default().push(day);
        }
    }
    days.into_iter().collect()
}
