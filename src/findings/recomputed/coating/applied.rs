//! Each application: how much steel it claims and reached, what of that can't be true, the paint that it takes,
//! its windows, its climate, and how the steel was prepared. Findings, tables and drawings read it here.

use chrono::{DateTime, FixedOffset, NaiveDateTime, TimeDelta};
use geo::MultiPolygon;

use super::graded::grade_of;
use super::windows::{Immersion, Interval, Windows};
use super::zone::{What, ZoneHistory, hours, nominal_dft_m, span_h};
use crate::calc::climate::{Reading, Worst, worst};
use crate::calc::coating::Done;
use crate::calc::exposure::Hidden;
use crate::calc::paint::{dry_from_wet_m, expected_l, used_pct};
use crate::calc::plane::{area_m2, common, union, wider_than, without};
use crate::calc::preparation::{Grade, at_least};
use crate::records::Project;
use crate::records::coats::Application;
use crate::records::preparation::Preparation;
use crate::records::products::Batch;
use crate::records::scheme::SchemeCoat;

/// An application. Areas are in m2 along the plating where the zone states its true area, and else in plan;
/// `None` where the steel can't be placed or measured.
#[derive(Debug, Clone, Default)]
pub struct Applied {
    /// What came of its claim; `None` without a time, and where the steel can't be placed.
    pub claim: Option<ClaimHeld>,
    /// What it claims, within its zone.
    pub claimed_m2: Option<f64>,
    /// What it reached: claimed, free of blocks and dry from start to finish.
    pub reached_m2: Option<f64>,
    /// What it claims where blocks stood, without slivers.
    pub on_blocks_m2: Option<f64>,
    /// What it claims outside its zone.
    pub outside_m2: Option<f64>,
    /// What it reached that had not got the coat before it, without slivers.
    pub lacking_m2: Option<f64>,
    /// What it reached that carried a later coat of the scheme already and had not been prepared anew since, without
    /// slivers.
    pub over_later_m2: Option<f64>,
    /// The uppermost of those later coats, by its place in the project's list; `None` where it went over none.
    pub later: Option<usize>,
    /// The coat before it in the scheme.
    pub coat_below: Option<i64>,
    /// The blocks that stood on what it claims, by their places in the project's list.
    pub blocks: Vec<usize>,
    /// The scheme's row for it, by its place in the project's list.
    pub scheme: Option<usize>,
    /// Nominal dry film of this coat, m.
    pub nominal_m: Option<f64>,
    /// Volume solids of its product, per cent.
    pub volume_solids_pct: Option<f64>,
    /// Paint that the steel it reached takes at the nominal film, l; `None` too where it reached so little
    /// that it takes none worth measuring.
    pub expected_l: Option<f64>,
    /// Paint used in per cent of that.
    pub used_pct: Option<f64>,
    /// Dry film that its wet film leaves, m.
    pub dry_from_wet_m: Option<f64>,
    /// The coats that it lies on.
    pub over: Vec<Interval>,
    /// The surrounding coating that it ties in to.
    pub tie_ins: Vec<Interval>,
    /// The floodings at which it lay uppermost.
    pub immersions: Vec<Immersion>,
    /// The readings of the climate that could count, by their places in the project's list.
    pub readings: Vec<usize>,
    /// The worst of them; numbers count in `readings`. `None` without a time.
    pub climate: Option<Worst>,
    /// How its steel was prepared; `None` where the scheme asks for nothing before this coat.
    pub prepared: Option<Prepared>,
}

/// A claim, held against the water, the blocks and the zone.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ClaimHeld {
    /// The position in which the steel was dry from start to finish, by its place in the project's list.
    pub position: Option<usize>,
    /// What of the claim can't be true.
    pub wrong: Vec<Wrong>,
    /// Whether some of what it reached had not got the coat before it.
    pub lacks_coat_below: bool,
}

impl Applied {
    /// When the first and the last of the readings that count for its climate were taken.
    pub fn read_between(
        &self,
        project: &Project,
    ) -> Option<(DateTime<FixedOffset>, DateTime<FixedOffset>)> {
        let (first, last) = self.climate?.span?;
        let at = |number: usize| Some(project.climate.get(*self.readings.get(number)?)?.at);
        Some((at(first)?, at(last)?))
    }
}

impl ClaimHeld {
    /// Whether records don't say if the steel was dry.
    pub fn dry_unknown(&self) -> bool {
        self.position.is_none() && !self.wrong.contains(&Wrong::NotDry)
    }
}

/// What of a claim can't be true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wrong {
    /// The steel was not dry from start to finish.
    NotDry,
    /// Blocks stood on some of it.
    OnBlocks,
    /// Some of it lies outside the zone.
    Outside,
    /// Nothing was there to be coated.
    Nothing,
}

/// What was prepared for one application.
#[derive(Debug, Clone, Default)]
pub struct Prepared {
    /// The scheme's coat that asks for it, by its place in the project's list.
    pub asked: usize,
    /// The checks that count, by their places in the project's list in order of time: in the same dry
    /// spell, before the start, on some of the steel that was coated.
    pub checks: Vec<usize>,
    /// Whether steel was coated with no such check that prepares it, slivers aside. Where the scheme asks for
    /// a grade, only a check that states one does: a wash does not.
    pub uncovered: bool,
    /// How much, m2: along the plating where the zone states its true area, else in plan; `None` for a side
    /// without one.
    pub uncovered_m2: Option<f64>,
    /// Whether some of that was prepared afterwards.
    pub afterwards: bool,
    /// From the last check that prepares the steel to the start of the coat, h.
    pub age_h: Option<f64>,
    /// That check, by its place in the project's list.
    pub last: Option<usize>,
    /// Of each method the check with the least clean grade, by its place in the project's list.
    pub least_clean: Vec<usize>,
    /// Least and greatest profile, m.
    pub profile_m: Option<(f64, f64)>,
    /// Most salts, mg/m2.
    pub most_salts_mg_m2: Option<f64>,
    /// Most chloride, mg/m2.
    pub most_chloride_mg_m2: Option<f64>,
    /// Greatest conductivity, uS/cm.
    pub most_conductivity_us_cm: Option<f64>,
    /// Most dust, by its class.
    pub most_dust: Option<f64>,
}

impl Prepared {
    /// Reads of each check that counts what it found, where it did.
    pub fn read<'a, T>(
        &'a self,
        project: &'a Project,
        value: impl Fn(&'a Preparation) -> Option<T> + 'a,
    ) -> impl Iterator<Item = (&'a Preparation, T)> + 'a {
        let checks = self.checks.iter().map(|at| &project.preparation[*at]);
        checks.filter_map(move |check| Some((check, value(check)?)))
    }
}

/// Steel that takes no paint worth measuring, m2: five square centimetres, what prints as 0.000.
pub const TOO_LITTLE_M2: f64 = 0.0005;

/// Every application, in the order of the project's list.
pub(super) fn applied(project: &Project, zones: &[ZoneHistory], hidden: &[Hidden]) -> Vec<Applied> {
    let coats = project.coats.iter().enumerate();
    coats
        .map(|(at, coat)| {
            let (readings, climate) = climate(project, coat).unzip();
            Applied {
                readings: readings.unwrap_or_default(),
                climate,
                prepared: prepared(project, zones, at),
                ..in_figures(project, zones, hidden, at, coat)
            }
        })
        .collect()
}

/// Gives each application its intervals.
pub(super) fn with_windows(mut applied: Vec<Applied>, windows: Windows) -> Vec<Applied> {
    windows.over.into_iter().for_each(|pair| applied[pair.upper].over.push(pair));
    windows.tie_ins.into_iter().for_each(|pair| applied[pair.upper].tie_ins.push(pair));
    windows.immersions.into_iter().for_each(|one| applied[one.coat].immersions.push(one));
    applied
}

fn in_figures(
    project: &Project,
    zones: &[ZoneHistory],
    hidden: &[Hidden],
    at: usize,
    coat: &Application,
) -> Applied {
    let product = project.products.product(&coat.product);
    let scheme =
        project.scheme.iter().position(|row| row.zone == coat.zone && row.coat == coat.coat);
    let nominal_m = match scheme {
        Some(row) => nominal_dft_m(project, &project.scheme[row]),
        None => product.and_then(|product| product.nominal_dft_m),
    };
    let solids = product.and_then(|product| product.volume_solids_pct);
    let mut applied = Applied {
        scheme,
        nominal_m,
        volume_solids_pct: solids,
        dry_from_wet_m: coat.wet_film_m.zip(solids).and_then(|(wet, pct)| dry_from_wet_m(wet, pct)),
        ..Applied::default()
    };
    let zone = project.zones.iter().position(|zone| zone.id == coat.zone);
    let Some((history, done)) = zone.and_then(|zone| Some((&zones[zone], zones[zone].done(at)?)))
    else {
        return applied;
    };
    let numbers = history.scheme.iter().map(|at| project.scheme[*at].coat);
    applied.coat_below = numbers.filter(|number| *number < coat.coat).max();
    let standing = done.stand.and_then(|stand| hidden.get(stand));
    applied.blocks = standing.map_or_else(Vec::new, |hidden| hidden.hiding(&done.on_blocks));
    applied.claim = Some(claim(history, done));
    applied.later = done.later.and_then(|job| match history.what[job] {
        What::Coat(coat) => Some(coat),
        What::Preparation(_) => None,
    });
    let Some(factor) = history.true_factor else { return applied };
    let area = |shape: &MultiPolygon<f64>| Some(area_m2(shape) * factor);
    applied.claimed_m2 = area(&done.claimed);
    applied.reached_m2 = area(&done.got);
    applied.on_blocks_m2 = area(&done.on_blocks);
    applied.outside_m2 = area(&done.outside);
    applied.lacking_m2 = area(&done.lacking);
    applied.over_later_m2 = area(&done.over_later);
    applied.expected_l = (applied.reached_m2.filter(|reached| *reached >= TOO_LITTLE_M2))
        .and_then(|reached| expected_l(reached, nominal_m?, solids?));
    applied.used_pct =
        coat.used_l.zip(applied.expected_l).and_then(|(used, takes)| used_pct(used, takes));
    applied
}

/// Holds a claim against the water, the blocks and the zone.
fn claim(history: &ZoneHistory, done: &Done) -> ClaimHeld {
    let claimed_m2 = history.true_factor.map(|factor| area_m2(&done.claimed) * factor);
    let nothing =
        done.claimed.0.is_empty() || claimed_m2.is_some_and(|claimed| claimed < TOO_LITTLE_M2);
    let wrong = [
        (done.stand.is_none() && history.dry_known, Wrong::NotDry),
        (!done.on_blocks.0.is_empty(), Wrong::OnBlocks),
        (!done.outside.0.is_empty(), Wrong::Outside),
        (nothing && done.stand.is_some(), Wrong::Nothing),
    ];
    ClaimHeld {
        position: done.stand,
        wrong: wrong.into_iter().filter(|(is_so, _)| *is_so).map(|(_, wrong)| wrong).collect(),
        lacks_coat_below: !done.lacking.0.is_empty(),
    }
}

/// When a batch is past its shelf life, on the clocks where it is used: it keeps to the end of its last day. `None`
/// where how long its product keeps is not recorded.
pub fn shelf_life_ends(project: &Project, batch: &Batch) -> Option<NaiveDateTime> {
    let life_h = project.products.product(&batch.product)?.shelf_life_h?;
    let life = TimeDelta::try_seconds((life_h * 3600.0).round() as i64)?;
    batch
        .made
        .and_hms_opt(0, 0, 0)?
        .checked_add_signed(life)?
        .checked_add_signed(TimeDelta::days(1))
}

/// The readings that could count for an application, by their places in the project's list, and the worst of them;
/// `None` where it has no time. Of all readings that serve it those from the last one before it to the first one
/// after it could count.
fn climate(project: &Project, coat: &Application) -> Option<(Vec<usize>, Worst)> {
    let (from_h, to_h) = span_h(coat)?;
    let serving = || {
        let all = project.climate.iter().enumerate();
        all.filter(|(_, reading)| reading.serves(&coat.zone)).filter_map(|(at, reading)| {
            let (air_c, humidity_pct) = (reading.air_c?, reading.humidity_pct?);
            let at_h = hours(reading.at);
            Some((at, Reading { at_h, air_c, humidity_pct, steel_c: reading.steel_c }))
        })
    };
    let times = || serving().map(|(_, reading)| reading.at_h);
    let before_h = times().filter(|at| *at <= from_h).fold(f64::NEG_INFINITY, f64::max);
    let after_h = times().filter(|at| *at >= to_h).fold(f64::INFINITY, f64::min);
    let counting = serving().filter(|(_, reading)| (before_h..=after_h).contains(&reading.at_h));
    let (readings, list): (Vec<usize>, Vec<Reading>) = counting.unzip();
    let worst = worst(&list, from_h, to_h);
    Some((readings, worst))
}

fn prepared(project: &Project, zones: &[ZoneHistory], coat: usize) -> Option<Prepared> {
    let application = &project.coats[coat];
    let asks = |row: &SchemeCoat| {
        row.zone == application.zone && row.coat == application.coat && row.before.asks()
    };
    let asked = project.scheme.iter().position(asks)?;
    let zone = &zones[project.zones.iter().position(|zone| zone.id == application.zone)?];
    let job = zone.what.iter().position(|what| *what == What::Coat(coat))?;
    let done = &zone.steel.as_ref()?.done;
    let (got, stand) = (&done[job].got, done[job].stand?);
    let began = zone.jobs[job].from_h;
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (other, what) in zone.what.iter().enumerate() {
        let What::Preparation(check) = *what else { continue };
        if done[other].stand != Some(stand) || area_m2(&common(&done[other].got, got)) <= 0.0 {
            continue;
        }
        let list = if zone.jobs[other].from_h <= began { &mut before } else { &mut after };
        list.push((zone.jobs[other].from_h, check, other));
    }
    before.sort_by(|a: &(f64, usize, usize), b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let graded = project.scheme[asked].before.grade.is_some();
    let prepares = |(_, check, _): &&(f64, usize, usize)| {
        !graded || project.preparation[*check].grade.is_some()
    };
    let shape = |list: &[(f64, usize, usize)]| {
        union(list.iter().filter(prepares).flat_map(|(.., job)| &done[*job].got.0))
    };
    let feathering = super::zone::feathering_m(project);
    let uncovered = wider_than(&without(got, &shape(&before)), feathering);
    let last = before.iter().rev().find(prepares);
    let checks: Vec<usize> = before.iter().map(|(_, check, _)| *check).collect();
    let read = |value: fn(&Preparation) -> Option<f64>| -> Vec<f64> {
        checks.iter().filter_map(|at| value(&project.preparation[*at])).collect()
    };
    let least = |values: &[f64]| values.iter().copied().reduce(f64::min);
    let most = |values: &[f64]| values.iter().copied().reduce(f64::max);
    let profiles = read(|check| check.profile_m);
    Some(Prepared {
        asked,
        least_clean: least_clean(project, &checks),
        profile_m: least(&profiles).zip(most(&profiles)),
        most_salts_mg_m2: most(&read(|check| check.salts_mg_m2)),
        most_chloride_mg_m2: most(&read(|check| check.chloride_mg_m2)),
        most_conductivity_us_cm: most(&read(|check| check.conductivity_us_cm)),
        most_dust: most(&read(|check| check.dust)),
        age_h: last.map(|(at, ..)| began - at),
        last: last.map(|(_, check, _)| *check),
        afterwards: !common(&uncovered, &shape(&after)).0.is_empty(),
        uncovered: !uncovered.0.is_empty(),
        uncovered_m2: zone.true_factor.map(|factor| area_m2(&uncovered) * factor),
        checks,
    })
}

/// Of each method the check with the least clean grade.
fn least_clean(project: &Project, checks: &[usize]) -> Vec<usize> {
    let mut least: Vec<(Grade, usize)> = Vec::new();
    for at in checks {
        let Some(grade) = project.preparation[*at].grade.as_deref().and_then(grade_of) else {
            continue;
        };
        match least.iter_mut().find(|(known, _)| known.method == grade.method) {
            Some(known) if at_least(grade, known.0) == Some(false) => *known = (grade, *at),
            Some(_) => {}
            None => least.push((grade, *at)),
        }
    }
    least.into_iter().map(|(_, at)| at).collect()
}
