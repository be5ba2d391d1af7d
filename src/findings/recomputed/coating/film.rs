//! Film readings by zone and coat, and what the rule in force says of them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};
use geo::{Contains, Coord, Point, Polygon};

use super::zone::{ZoneHistory, hours, nominal_dft_m};
use crate::calc::coating::{Cell, Claim, Job};
use crate::calc::exposure::Hidden;
use crate::calc::film::statistics::{Statistics, statistics};
use crate::calc::film::{iso_19840, ninety_ten, pa_2};
use crate::calc::plane::extent;
use crate::records::Project;
use crate::records::film::{FilmReading, GaugeCheck, Rule};

/// The readings of one zone after one coat.
#[derive(Debug, Clone)]
pub struct Film {
    /// The zone, by its place in the project's list.
    pub zone: usize,
    /// The coat.
    pub coat: i64,
    /// The readings, by their places in the project's list.
    pub readings: Vec<usize>,
    /// The readings less their gauge's correction for the profile, m; as read where none is recorded.
    pub judged_m: Vec<f64>,
    /// How many of them are as read, for the correction of their gauge is not recorded.
    pub as_read: usize,
    /// Of the readings as they are judged.
    pub statistics: Option<Statistics>,
    /// What the scheme wants of coats 1 to this one together.
    pub wanted: Wanted,
    /// The rule in force.
    pub rule: Option<Rule>,
    /// What it says.
    pub verdict: Option<Verdict>,
    /// How much was measured, and how much that rule asks for the zone's size; `None` without a rule, and
    /// where spots can't be told.
    pub owed: Option<Owed>,
    /// Readings that were taken where they can't have been, by their places in the project's list.
    pub misplaced: Vec<Misplaced>,
    /// Readings taken before the coat was on, by their places in the project's list.
    pub too_early: Vec<usize>,
    /// Readings taken when a later coat was on already, likewise: what they read is not the film up to this coat.
    pub too_late: Vec<usize>,
}

impl Film {
    /// What no single reading may lie under by the rule in force, m; by SSPC-PA 2 no spot's mean. `None` without a rule,
    /// and where what it is a part of is not known.
    pub fn least_allowed_m(&self) -> Option<f64> {
        match self.rule? {
            Rule::Iso19840 => Some(iso_19840::LEAST_PART * self.wanted.nominal_m?),
            Rule::NinetyTen => Some(ninety_ten::LEAST_PART * self.wanted.nominal_m?),
            Rule::SspcPa2 { level, .. } => {
                let level = pa_2::Level::new(level)?;
                Some(level.spot_least_pct() / 100.0 * self.wanted.least_m?)
            }
        }
    }
}

/// Sums over coats 1 to n of a zone's scheme, m; `None` where a coat lacks the figure.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Wanted {
    /// Nominal.
    pub nominal_m: Option<f64>,
    /// Specified least.
    pub least_m: Option<f64>,
    /// Specified greatest.
    pub greatest_m: Option<f64>,
}

/// What a rule says.
#[derive(Debug, Clone)]
pub enum Verdict {
    /// ISO 19840.
    Iso19840(iso_19840::Verdict),
    /// SSPC-PA 2, with the spots' names.
    SspcPa2 {
        /// What it says of the spots.
        spots: pa_2::Verdict,
        /// Their names in order.
        names: Vec<String>,
    },
    /// The 90/10 rule.
    NinetyTen(ninety_ten::Verdict),
}

impl Verdict {
    /// Whether the film is accepted.
    pub fn passes(&self) -> bool {
        match self {
            Verdict::Iso19840(verdict) => verdict.passes(),
            Verdict::SspcPa2 { spots, .. } => spots.passes(),
            Verdict::NinetyTen(verdict) => verdict.passes(),
        }
    }
}

/// How much of a zone was measured, against what the rule asks for its size: areas of five spots by
/// SSPC-PA 2, else readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Owed {
    /// How many were measured.
    pub measured: u64,
    /// How many are owed; `None` where the zone's area is not known.
    pub owed: Option<u64>,
}

impl Owed {
    /// How many are owed, where fewer were measured.
    pub fn short_of(&self) -> Option<u64> {
        self.owed.filter(|owed| self.measured < *owed)
    }
}

/// A reading where none can have been taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Misplaced {
    /// The reading, by its place in the project's list.
    pub reading: usize,
    /// What is wrong with its place.
    pub why: Why,
}

/// What is wrong with a reading's place or time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// A block stood there, by its place in the project's list.
    Block(usize),
    /// The zone was under water.
    Water,
    /// It lies outside the zone.
    Outside,
}

/// The readings of every zone and coat, in the order of zones and coats.
pub(super) fn film(project: &Project, zones: &[ZoneHistory], hidden: &[Hidden]) -> Vec<Film> {
    let mut groups: BTreeMap<(usize, i64), Vec<usize>> = BTreeMap::new();
    let numbers: BTreeMap<&str, usize> =
        project.zones.iter().enumerate().map(|(at, zone)| (zone.id.as_str(), at)).collect();
    for (at, reading) in project.film.iter().enumerate() {
        if let Some(zone) = numbers.get(&*reading.zone) {
            groups.entry((*zone, reading.after_coat)).or_default().push(at);
        }
    }
    let corrections = Corrections::new(project);
    let grounds: Vec<Ground<'_>> = zones.iter().map(Ground::new).collect();
    groups
        .into_iter()
        .map(|((zone, coat), readings)| {
            let of = |at: &usize| &project.film[*at];
            let off: Vec<Option<f64>> = readings.iter().map(|at| corrections.of(of(at))).collect();
            let less = |(at, off): (&usize, &Option<f64>)| {
                off.map_or(of(at).reading_m, |off| (of(at).reading_m - off).max(0.0))
            };
            let judged_m: Vec<f64> = readings.iter().zip(&off).map(less).collect();
            let as_read = off.iter().filter(|off| off.is_none()).count();
            let wanted = wanted(project, &zones[zone], coat);
            let rule = project.docking.film.for_zone(&project.zones[zone].id).map(|(rule, _)| rule);
            let verdict = rule.and_then(|rule| {
                // ISO 19840 judges no reading that the profile is still in.
                if rule == Rule::Iso19840 && as_read > 0 {
                    return None;
                }
                verdict(project, rule, &readings, &judged_m, wanted)
            });
            let area_m2 = project.zones[zone].true_area_m2.or(zones[zone].plan_area_m2);
            let owed = rule.and_then(|rule| owed(rule, readings.len(), verdict.as_ref(), area_m2));
            let misplaced: Vec<Misplaced> = readings
                .iter()
                .filter_map(|at| misplaced(project, &zones[zone], hidden, *at))
                .collect();
            // Where a reading was not taken can't say whether its coat was on.
            let elsewhere: BTreeSet<usize> = misplaced.iter().map(|one| one.reading).collect();
            let placed = |at: &&usize| !elsewhere.contains(at);
            let placed: Vec<usize> = readings.iter().filter(placed).copied().collect();
            Film {
                too_early: too_early(project, &zones[zone], coat, &grounds[zone], &placed),
                too_late: too_late(project, &zones[zone], coat, &grounds[zone], &placed),
                statistics: statistics(&judged_m),
                judged_m,
                as_read,
                misplaced,
                zone,
                coat,
                readings,
                wanted,
                rule,
                verdict,
                owed,
            }
        })
        .collect()
}

fn wanted(project: &Project, zone: &ZoneHistory, coat: i64) -> Wanted {
    let below = || zone.scheme.iter().map(|at| &project.scheme[*at]).filter(|row| row.coat <= coat);
    if !below().any(|row| row.coat == coat) {
        return Wanted::default();
    }
    Wanted {
        nominal_m: below().map(|row| nominal_dft_m(project, row)).sum(),
        least_m: below().map(|row| row.least_dft_m).sum(),
        greatest_m: below().map(|row| row.greatest_dft_m).sum(),
    }
}

fn verdict(
    project: &Project,
    rule: Rule,
    readings: &[usize],
    judged_m: &[f64],
    wanted: Wanted,
) -> Option<Verdict> {
    match rule {
        Rule::Iso19840 => iso_19840::verdict(judged_m, wanted.nominal_m?, wanted.greatest_m)
            .map(Verdict::Iso19840),
        Rule::NinetyTen => ninety_ten::verdict(judged_m, wanted.nominal_m?).map(Verdict::NinetyTen),
        Rule::SspcPa2 { level, .. } => {
            let (names, spots) = spots(project, readings, judged_m)?;
            let level = pa_2::Level::new(level)?;
            let spots = pa_2::verdict(&spots, wanted.least_m?, wanted.greatest_m, level)?;
            Some(Verdict::SspcPa2 { spots, names })
        }
    }
}

/// How much was measured, and how much a rule asks for a zone of that area.
fn owed(
    rule: Rule,
    readings: usize,
    verdict: Option<&Verdict>,
    area_m2: Option<f64>,
) -> Option<Owed> {
    let readings = readings as u64;
    Some(match (rule, verdict) {
        (Rule::Iso19840, _) => {
            Owed { measured: readings, owed: area_m2.map(iso_19840::readings_owed) }
        }
        (Rule::NinetyTen, _) => {
            Owed { measured: readings, owed: area_m2.map(ninety_ten::readings_owed) }
        }
        (Rule::SspcPa2 { us_areas, .. }, Some(Verdict::SspcPa2 { spots, .. })) => {
            let size = if us_areas { pa_2::SizeRule::Us } else { pa_2::SizeRule::Metric };
            let owed = area_m2.map(|area_m2| u64::from(pa_2::areas_owed(area_m2, size)));
            Owed { measured: spots.area_means_m.len() as u64, owed }
        }
        (Rule::SspcPa2 { .. }, _) => return None,
    })
}

/// Readings by spot, in the order in which the spots were read: by their first times, then by their names, of
/// which the shorter comes first. `None` where a reading names no spot.
fn spots(
    project: &Project,
    readings: &[usize],
    judged_m: &[f64],
) -> Option<(Vec<String>, Vec<Vec<f64>>)> {
    type Key<'a> = (bool, Option<DateTime<FixedOffset>>, usize, &'a str);
    let mut spots: BTreeMap<&str, (Key<'_>, Vec<f64>)> = BTreeMap::new();
    for (at, judged_m) in readings.iter().zip(judged_m) {
        let reading = &project.film[*at];
        let name = reading.spot.as_deref()?;
        let key = (reading.at.is_none(), reading.at, name.len(), name);
        let spot = spots.entry(name).or_insert((key, Vec::new()));
        spot.0 = spot.0.min(key);
        spot.1.push(*judged_m);
    }
    let mut spots: Vec<(&str, (Key<'_>, Vec<f64>))> = spots.into_iter().collect();
    spots.sort_by_key(|(_, (key, _))| *key);
    Some(spots.into_iter().map(|(name, (_, readings))| (name.to_string(), readings)).unzip())
}

/// The gauges' corrections for the profile, day by day.
struct Corrections(BTreeMap<(Arc<str>, NaiveDate), f64>);

impl Corrections {
    fn new(project: &Project) -> Self {
        let mut checks: Vec<&GaugeCheck> = project.gauges.iter().collect();
        checks.sort_by_key(|check| check.at);
        let with = checks.into_iter().filter_map(|check| {
            Some(((check.gauge.clone(), check.at.date_naive()), check.profile_correction_m?))
        });
        // Of several on one day the last stays.
        Self(with.collect())
    }

    /// The correction for a reading: its gauge's of that day, or the last one before.
    fn of(&self, reading: &FilmReading) -> Option<f64> {
        let gauge = reading.gauge.clone()?;
        let day = reading.at?.date_naive();
        let from = (gauge.clone(), NaiveDate::MIN);
        self.0.range(from..=(gauge, day)).next_back().map(|(_, correction)| *correction)
    }
}

/// What is wrong with a place on the hull at a time, for a reading on a zone; `None` if nothing is, or
/// if it can't be said.
pub fn wrong_place(
    zone: &ZoneHistory,
    hidden: &[Hidden],
    hull: Option<Coord<f64>>,
    at_h: Option<f64>,
) -> Option<Why> {
    let dry = |at_h: f64| {
        zone.dry_h.iter().position(|dry| dry.is_some_and(|(d, w)| d <= at_h && at_h <= w))
    };
    let stand = at_h.and_then(dry);
    if at_h.is_some() && stand.is_none() && zone.dry_known {
        return Some(Why::Water);
    }
    let point = Point::from(hull?);
    let shape = zone.shape.as_ref()?;
    let standing = stand.and_then(|stand| hidden.get(stand));
    if let Some(block) = standing.and_then(|hidden| hidden.over(point)) {
        return Some(Why::Block(block));
    }
    (!shape.contains(&point)).then_some(Why::Outside)
}

fn misplaced(
    project: &Project,
    zone: &ZoneHistory,
    hidden: &[Hidden],
    at: usize,
) -> Option<Misplaced> {
    let reading = &project.film[at];
    let why = wrong_place(zone, hidden, reading.hull, reading.at.map(hours))?;
    Some(Misplaced { reading: at, why })
}

/// Readings taken before the coat was on: at their place, where that is recorded, and else anywhere in
/// the zone.
fn too_early(
    project: &Project,
    zone: &ZoneHistory,
    coat: i64,
    ground: &Ground<'_>,
    readings: &[usize],
) -> Vec<usize> {
    let ends = zone.jobs.iter().filter(|job| job.coat == Some(coat)).map(|job| job.to_h);
    // Where no such coat is in the log at all, that it came too soon can't be said.
    let Some(first) = ends.reduce(f64::min) else { return Vec::new() };
    let early = |at: &&usize| {
        let reading = &project.film[**at];
        let Some(read_h) = reading.at.map(hours) else { return false };
        let on = |job: &usize| {
            let job = &zone.jobs[*job];
            job.coat.is_some_and(|number| number >= coat) && job.to_h <= read_h
        };
        match reading.hull.and_then(|hull| ground.cell_at(hull)) {
            // A coat that was taken off before had been on.
            Some(cell) => !cell.chains().flatten().any(on),
            None => read_h < first,
        }
    };
    readings.iter().filter(early).copied().collect()
}

/// Readings taken when a later coat was finished already: at their place, where that is recorded; on a side, and for a
/// reading without a place, when some later coat of the whole zone was.
fn too_late(
    project: &Project,
    zone: &ZoneHistory,
    coat: i64,
    ground: &Ground<'_>,
    readings: &[usize],
) -> Vec<usize> {
    let is_later = |job: &Job| job.coat.is_some_and(|number| number > coat);
    let over_all = |job: &&Job| match job.claim {
        Claim::All => true,
        Claim::Exposed => zone.shape.is_none(),
        Claim::Patches | Claim::Area(_) => false,
    };
    let late = |at: &&usize| {
        let reading = &project.film[**at];
        let Some(read_h) = reading.at.map(hours) else { return false };
        let over = |job: &Job| is_later(job) && job.to_h < read_h;
        match reading.hull.and_then(|hull| ground.cell_at(hull)) {
            Some(cell) => {
                cell.chain_at(read_h, &zone.jobs).iter().any(|job| over(&zone.jobs[*job]))
            }
            // A drawn area may be any part of the zone.
            None => reading.area.is_none() && zone.jobs.iter().filter(over_all).any(over),
        }
    };
    readings.iter().filter(late).copied().collect()
}

/// The parts of a zone in plan, to be asked what a place received.
struct Ground<'a>(Vec<([f64; 4], &'a Polygon<f64>, &'a Cell)>);

impl<'a> Ground<'a> {
    fn new(zone: &'a ZoneHistory) -> Self {
        let cells = zone.steel.iter().flat_map(|steel| &steel.cells);
        let parts = cells.filter(|_| zone.shape.is_some()).flat_map(|cell| {
            cell.shape.0.iter().filter_map(move |part| Some((extent(part)?, part, cell)))
        });
        Self(parts.collect())
    }

    /// The part of the zone at a place; `None` outside of it.
    fn cell_at(&self, hull: Coord<f64>) -> Option<&'a Cell> {
        let point = Point::from(hull);
        let near = |[x0, x1, y0, y1]: &[f64; 4]| {
            (*x0..=*x1).contains(&hull.x) && (*y0..=*y1).contains(&hull.y)
        };
        let found = self.0.iter().find(|(around, part, _)| near(around) && part.contains(&point));
        found.map(|(.., cell)| *cell)
    }
}
