//! Intervals between coats on the same steel and at tie-ins, and from coats to the water.

pub use super::zone::hours;
use super::zone::{What, ZoneHistory, span_h};
use crate::calc::coating::Stand;
use crate::calc::coating::pairs::{flooded_between, immersed, over_each_other};
use crate::calc::coating::tie_in::{self, tie_ins};
use crate::calc::exposure::Hidden;
use crate::calc::plane::{area_m2, solid, union, without};
use crate::calc::recoat::{Row, Timing, Window, early_h, late_h, timing, window};
use crate::findings::judge;
use crate::records::Project;
use crate::records::coats::Application;
use crate::records::products::Product;

use geo::MultiPolygon;

/// Every interval of the coating, in a steady order.
#[derive(Debug, Default)]
pub(super) struct Windows {
    pub over: Vec<Interval>,
    pub tie_ins: Vec<Interval>,
    pub immersions: Vec<Immersion>,
}

/// From one coat to another.
#[derive(Debug, Clone)]
pub struct Interval {
    /// The earlier coat, by its place in the project's list.
    pub lower: usize,
    /// The later coat, by its place in the project's list.
    pub upper: usize,
    /// On how much steel they meet: m2 in plan, or at a tie-in the metres along it.
    pub meet: f64,
    /// Finish of the earlier to start of the later, h.
    pub shortest_h: f64,
    /// Start of the earlier to finish of the later, h.
    pub longest_h: f64,
    /// Whether the dock was flooded between them.
    pub flooded: bool,
    /// Coldest and warmest steel from the earlier coat's start to the later's finish, as read.
    pub steel_c: Option<(f64, f64)>,
    /// The earlier coat's window at that steel by its table alone, whether or not the dock was flooded; or why there is
    /// none.
    pub table: Result<Window, NoWindow>,
    /// The earlier coat's window that holds here, or why there is none.
    pub window: Result<Window, NoWindow>,
    /// How the interval lies to its window; `None` without one.
    pub kept: Option<Timing>,
    /// When the earlier coat was finished, h.
    pub lower_to_h: f64,
    /// From when to when its window lets the later coat go on, h; without an end where the table sets none, and the
    /// end before the beginning where nothing keeps it. `None` without a window.
    pub open_h: Option<(f64, f64)>,
    /// Whether the table has rows for the product above.
    pub by_product: bool,
    /// After a flooding, where washes and abrasions before the later coat reached all the steel on which the
    /// two meet: those that it takes to reach it, the last first, by their places in the project's list of
    /// preparation checks. Empty where they did not.
    pub renewed: Vec<usize>,
}

impl Interval {
    /// By how much the later coat ends after its table's greatest time, whether or not the dock was flooded between, h;
    /// `None` where it does not, and without a table.
    pub fn late_h(&self) -> Option<f64> {
        late_h(self.table.as_ref().ok()?, self.longest_h)
    }

    /// By how much the later coat begins before the least time is over, h; likewise.
    pub fn early_h(&self) -> Option<f64> {
        early_h(self.table.as_ref().ok()?, self.shortest_h)
    }

    /// Other products whose windows take this interval on this steel, by the tables alone: those over the earlier coat
    /// in place of the later, and those in place of the earlier under the later. A table's rows for any product say little
    /// of a product that belongs elsewhere: it counts if the zone's scheme has it no higher up, if no scheme has it, or if
    /// the table names it.
    pub fn that_hold<'a>(&self, project: &'a Project) -> [Vec<&'a Product>; 2] {
        let [lower, upper] = [self.lower, self.upper].map(|coat| &project.coats[coat]);
        let holds = |pair: [&str; 2]| {
            let read = window_at(project, pair, self.steel_c);
            let kept = |window| timing(&window, self.shortest_h, self.longest_h) == Timing::Within;
            read.window.is_ok_and(kept).then_some(read.by_product)
        };
        let products = || project.products.products.iter();
        let over = |other: &&Product| {
            let named = holds([&lower.product, &other.id]);
            other.id != upper.product
                && named.is_some_and(|named| named || belongs(project, other, upper))
        };
        let under = |other: &&Product| {
            let named = holds([&other.id, &upper.product]);
            other.id != lower.product
                && named.is_some_and(|named| named || belongs(project, other, lower))
        };
        [products().filter(over).collect(), products().filter(under).collect()]
    }
}

/// Whether a product may be thought of in place of a coat's: the scheme of its zone has it there or lower, or none has it.
fn belongs(project: &Project, product: &Product, coat: &Application) -> bool {
    let mut of_it = project.scheme.iter().filter(|row| row.product == product.id).peekable();
    of_it.peek().is_none() || of_it.any(|row| row.zone == coat.zone && row.coat <= coat.coat)
}

/// Why an interval has no window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoWindow {
    /// It lies across a flooding, over which no window runs.
    Flooded,
    /// No recoat table of the earlier coat's product is recorded.
    NoTable,
    /// That table has rows for other products over it only.
    NotOverIt,
    /// No temperature of the steel was read in it.
    NoSteel,
    /// The steel was colder or warmer than the table goes.
    OutsideTable,
}

/// A coat that was the last when the water came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Immersion {
    /// The coat, by its place in the project's list.
    pub coat: usize,
    /// The position that the water ended.
    pub position: usize,
    /// From its finish to the water, h.
    pub after_h: f64,
    /// The least time that its product asks for, h.
    pub least_h: Option<f64>,
    /// Whether the water came before that; `None` where the least time is not recorded.
    pub too_soon: Option<bool>,
    /// On how much steel it was the last, m2 in plan; for a side its true area.
    pub area_m2: f64,
}

/// The narrowest of the windows of several intervals, h: from the last opening to the first closing. `None` where
/// none of them has a window.
pub fn narrowest_h(intervals: &[Interval]) -> Option<(f64, f64)> {
    let open = intervals.iter().filter_map(|interval| interval.open_h);
    open.reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
}

impl Windows {
    pub(super) fn new(project: &Project, zones: &[ZoneHistory], hidden: &[Hidden]) -> Self {
        let (tie_ins, mut out) =
            rayon::join(|| at_tie_ins(project, zones, hidden), || Self::within(project, zones));
        out.tie_ins = tie_ins;
        out.over.sort_by_key(|pair| (pair.upper, pair.lower));
        out.tie_ins.sort_by_key(|pair| (pair.upper, pair.lower));
        out.immersions.sort_by_key(|one| (one.position, one.coat));
        out
    }

    /// The intervals on the same steel, and to the water.
    fn within(project: &Project, zones: &[ZoneHistory]) -> Self {
        let mut out = Self::default();
        for zone in zones {
            let Some(steel) = &zone.steel else { continue };
            let stands = spells(zone);
            for pair in over_each_other(&steel.cells, &zone.jobs) {
                let (Some(lower), Some(upper)) = (coat(zone, pair.lower), coat(zone, pair.upper))
                else {
                    continue;
                };
                let met = || {
                    let next = |chain: &[usize]| {
                        chain.windows(2).any(|two| two == [pair.lower, pair.upper])
                    };
                    let cells = steel.cells.iter().filter(|cell| cell.chains().any(next));
                    union(cells.flat_map(|cell| &cell.shape.0))
                };
                let flooded = flooded_between(
                    &stands,
                    zone.jobs[pair.lower].to_h,
                    zone.jobs[pair.upper].from_h,
                );
                let renewed = match flooded {
                    true => renewal(project, zone, upper, &met()),
                    false => Vec::new(),
                };
                out.over.extend(interval(project, [lower, upper], pair.area_m2, flooded, renewed));
            }
            for one in immersed(&steel.cells, &zone.jobs, &stands) {
                let Some(coat) = coat(zone, one.job) else { continue };
                let product = project.products.product(&project.coats[coat].product);
                let least_h = product.and_then(|product| product.least_to_immersion_h);
                out.immersions.push(Immersion {
                    coat,
                    position: one.stand,
                    after_h: one.after_h,
                    least_h,
                    too_soon: least_h.map(|least_h| judge::falls_short(one.after_h, least_h)),
                    area_m2: one.area_m2,
                });
            }
        }
        out
    }
}

fn coat(zone: &ZoneHistory, job: usize) -> Option<usize> {
    match zone.what.get(job)? {
        What::Coat(coat) => Some(*coat),
        What::Preparation(_) => None,
    }
}

/// The positions' dry spells of a zone; what they hid is of no account here.
fn spells(zone: &ZoneHistory) -> Vec<Stand> {
    let nothing = MultiPolygon(vec![]);
    zone.dry_h.iter().map(|dry| Stand { dry_h: *dry, hidden: nothing.clone() }).collect()
}

fn at_tie_ins(project: &Project, zones: &[ZoneHistory], hidden: &[Hidden]) -> Vec<Interval> {
    let bottoms: Vec<&ZoneHistory> =
        zones.iter().filter(|zone| zone.shape.is_some() && zone.steel.is_some()).collect();
    let seen: Vec<tie_in::Zone<'_>> = bottoms
        .iter()
        .filter_map(|zone| {
            let steel = zone.steel.as_ref()?;
            Some(tie_in::Zone { cells: &steel.cells, jobs: &zone.jobs, done: &steel.done })
        })
        .collect();
    let Some(first) = bottoms.first() else { return Vec::new() };
    let stands: Vec<Stand> = (first.dry_h.iter().zip(hidden))
        .map(|(dry_h, hidden)| Stand { dry_h: *dry_h, hidden: hidden.shape.clone() })
        .collect();
    tie_ins(&seen, &stands)
        .into_iter()
        .filter_map(|found| {
            let (zone, around) = (bottoms[found.patch.0], bottoms[found.surrounding.0]);
            let (upper, lower) = (coat(zone, found.patch.1)?, coat(around, found.surrounding.1)?);
            let to_h = around.jobs[found.surrounding.1].to_h;
            let flooded = flooded_between(&stands, to_h, zone.jobs[found.patch.1].from_h);
            // What a block hides of the surrounding coating can be neither washed nor overlapped.
            let stand = zone.steel.as_ref()?.done[found.patch.1].stand?;
            let free = || without(&found.strip, &stands[stand].hidden);
            let renewed = match flooded {
                true => renewal(project, around, upper, &free()),
                false => Vec::new(),
            };
            interval(project, [lower, upper], found.length_m, flooded, renewed)
        })
        .collect()
}

fn interval(
    project: &Project,
    [lower, upper]: [usize; 2],
    meet: f64,
    flooded: bool,
    renewed: Vec<usize>,
) -> Option<Interval> {
    let (below, above) = (&project.coats[lower], &project.coats[upper]);
    let ((from, to), (next_from, next_to)) = (span_h(below)?, span_h(above)?);
    let products = [below.product.as_str(), above.product.as_str()];
    let counted_on = [below, above].into_iter().filter_map(|coat| coat.counted_on_c);
    let steel_c = steel_between(project, &above.zone, (from, next_to));
    let steel_c = counted_on.chain(steel_c).reduce(wider);
    let read = window_at(project, products, steel_c);
    let window = if flooded { Err(NoWindow::Flooded) } else { read.window };
    let table = read.window;
    let (shortest_h, longest_h) = (next_from - to, next_to - from);
    Some(Interval {
        lower,
        upper,
        meet,
        shortest_h,
        longest_h,
        flooded,
        steel_c: read.steel_c,
        kept: window.as_ref().ok().map(|window| timing(window, shortest_h, longest_h)),
        lower_to_h: to,
        open_h: window.as_ref().ok().map(|window| {
            (to + window.least_h, window.greatest_h.map_or(f64::INFINITY, |most_h| from + most_h))
        }),
        table,
        window,
        by_product: read.by_product,
        renewed,
    })
}

/// A window as a product's table and the readings of the steel give it.
pub struct WindowRead {
    /// Coldest and warmest steel, as read.
    pub steel_c: Option<(f64, f64)>,
    /// Whether the table has rows for the product above.
    pub by_product: bool,
    /// The window, or why there is none.
    pub window: Result<Window, NoWindow>,
}

/// The window of the lower of two products under the upper, over the steel of a zone from one time to another, both as
/// [`hours`] gives them.
pub fn window_between(
    project: &Project,
    [lower, upper]: [&str; 2],
    zone: &str,
    (from_h, to_h): (f64, f64),
) -> WindowRead {
    window_at(project, [lower, upper], steel_between(project, zone, (from_h, to_h)))
}

/// Coldest and warmest steel of a zone as read from one time to another.
fn steel_between(project: &Project, zone: &str, (from_h, to_h): (f64, f64)) -> Option<(f64, f64)> {
    let readings = project.climate.iter().filter(|reading| reading.serves(zone));
    let between = readings.filter(|reading| (from_h..=to_h).contains(&hours(reading.at)));
    between.filter_map(|reading| reading.steel_c.map(|c| (c, c))).reduce(wider)
}

/// The coldest and the warmest of two.
fn wider(one: (f64, f64), other: (f64, f64)) -> (f64, f64) {
    (one.0.min(other.0), one.1.max(other.1))
}

/// The window of the lower of two products under the upper, on steel from its coldest to its warmest.
fn window_at(
    project: &Project,
    [lower, upper]: [&str; 2],
    steel_c: Option<(f64, f64)>,
) -> WindowRead {
    let table = project.products.product(lower).map(|product| &product.recoat);
    let of = |by: Option<&str>| -> Vec<Row> {
        let rows = table.into_iter().flatten().filter(|row| row.by.as_deref() == by);
        rows.map(|row| Row {
            steel_c: row.steel_temperature_c,
            least_h: row.least_h,
            greatest_h: row.greatest_h,
        })
        .collect()
    };
    let own = of(Some(upper));
    let by_product = !own.is_empty();
    let rows = if by_product { own } else { of(None) };
    let window = match steel_c {
        _ if table.is_none_or(Vec::is_empty) => Err(NoWindow::NoTable),
        _ if rows.is_empty() => Err(NoWindow::NotOverIt),
        None => Err(NoWindow::NoSteel),
        Some((cold, warm)) => window(&rows, cold, warm).ok_or(NoWindow::OutsideTable),
    };
    WindowRead { steel_c, by_product, window }
}

/// The washes and abrasions of a zone before a coat and in the same dry spell that it takes to reach the whole of some
/// steel, the last first; none where all of them together did not.
fn renewal(
    project: &Project,
    zone: &ZoneHistory,
    upper: usize,
    steel: &MultiPolygon<f64>,
) -> Vec<usize> {
    let (Some(steel_of), Some((before_h, _))) = (&zone.steel, span_h(&project.coats[upper])) else {
        return Vec::new();
    };
    let dry = |(dry, water): &&(f64, f64)| *dry <= before_h && before_h <= *water;
    let Some((dry_h, _)) = zone.dry_h.iter().flatten().find(dry).copied() else {
        return Vec::new();
    };
    let mut checks: Vec<(f64, usize, &MultiPolygon<f64>)> = Vec::new();
    for (job, what) in zone.what.iter().enumerate() {
        let What::Preparation(check) = *what else { continue };
        let at_h = zone.jobs[job].from_h;
        let renews = project.preparation[check].treatment.renews();
        if renews && (dry_h..=before_h).contains(&at_h) {
            checks.push((at_h, check, &steel_of.done[job].got));
        }
    }
    checks.sort_by(|a, b| b.0.total_cmp(&a.0).then(b.1.cmp(&a.1)));
    // Of the dozens of checks of one blasting, which all reached the same, the last speaks for it.
    let mut distinct: Vec<(usize, &MultiPolygon<f64>)> = Vec::new();
    for (_, check, reached) in checks {
        if !distinct.iter().any(|(_, known)| *known == reached) {
            distinct.push((check, reached));
        }
    }
    // As a rule one reached all of it.
    let whole =
        |(_, reached): &&(usize, &MultiPolygon<f64>)| solid(&without(steel, reached)).0.is_empty();
    if let Some((check, _)) = distinct.iter().find(whole) {
        return vec![*check];
    }
    // Else the one that reached most comes first, and what adds nothing is left out.
    let mut widest = distinct.clone();
    widest.sort_by(|a, b| area_m2(b.1).total_cmp(&area_m2(a.1)));
    let (mut left, mut taken) = (steel.clone(), Vec::new());
    for (check, reached) in widest {
        let new = solid(&without(&left, reached));
        if area_m2(&new) < area_m2(&left) {
            taken.push(check);
            left = new;
        }
        if left.0.is_empty() {
            let last_first = distinct.iter().map(|(check, _)| *check);
            return last_first.filter(|check| taken.contains(check)).collect();
        }
    }
    Vec::new()
}
