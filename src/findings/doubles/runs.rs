//! Runs of readings that stand twice: a day's film readings under another zone, a day's climate under another date.

use std::collections::BTreeMap;

use crate::calc::copies::{COPIED, Run, Series, runs};
use crate::findings::finding::Finding;
use crate::findings::judge::differs;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::place::Place;
use crate::records::{climate, film, plating};
use crate::text;
use crate::text::{code, id};

/// Readings that are looked through for runs that stand twice.
struct Readings<'a> {
    file: String,
    /// What each series is of, as a part of an id.
    of: Vec<String>,
    /// Where each of these stands.
    at: BTreeMap<String, usize>,
    series: Vec<Series>,
    /// The rows of each.
    rows: Vec<Vec<&'a Place>>,
    /// The least chance that two readings are put alike.
    least: f64,
}

impl<'a> Readings<'a> {
    fn of(file: String, least: f64) -> Self {
        Self {
            file,
            of: Vec::new(),
            at: BTreeMap::new(),
            series: Vec::new(),
            rows: Vec::new(),
            least,
        }
    }

    fn push(&mut self, of: String, value: i64, begins: bool, row: &'a Place) {
        let known = self.at.get(&of).copied();
        let at = known.unwrap_or_else(|| {
            self.at.insert(of.clone(), self.of.len());
            self.of.push(of);
            self.series.push(Series::default());
            self.rows.push(Vec::new());
            self.of.len() - 1
        });
        self.series[at].push(value, begins);
        self.rows[at].push(row);
    }

    /// One finding for each pair of series of which one repeats the other.
    fn findings(&self) -> Vec<Finding> {
        let mut pairs: BTreeMap<(usize, usize), Vec<Run>> = BTreeMap::new();
        for run in runs(&self.series, self.least) {
            pairs.entry((run.again.0, run.first.0)).or_default().push(run);
        }
        pairs.into_iter().map(|((again, first), runs)| self.finding(again, first, &runs)).collect()
    }

    fn finding(&self, again: usize, first: usize, runs: &[Run]) -> Finding {
        let count: usize = runs.iter().map(|run| run.length).sum();
        let rows = |(series, from): (usize, usize), length| &self.rows[series][from..from + length];
        let later: Vec<&Place> =
            runs.iter().flat_map(|run| rows(run.again, run.length)).copied().collect();
        let earlier: Vec<&Place> =
            runs.iter().filter_map(|run| rows(run.first, run.length).first()).copied().collect();
        let expected = runs.iter().map(|run| run.expected).fold(f64::INFINITY, f64::min);
        // What is rarer still is no surer.
        let power = -libm::floor(libm::log10(expected.max(1e-20))) as i64;
        let of = |series: usize| match self.of[series].as_str() {
            "" => text!(""),
            of => text!(" of {}", id(of)),
        };
        let ends = |rows: &[&Place]| {
            let line =
                |place: Option<&&Place>| place.and_then(|place| place.line).unwrap_or_default();
            (line(rows.first()), line(rows.last()))
        };
        let (from, to) = ends(&later);
        let stand = text!(
            "{} readings{} from line {} to line {} of {} are those{} from {} on, one after the other",
            count,
            of(again),
            from,
            to,
            code(later.first().map_or_else(String::new, |place| place.file.to_string())),
            of(first),
            code(earlier.first().map_or_else(String::new, ToString::to_string))
        );
        let sentence = text!(
            "{}: as far as these readings scatter, chance makes that less than once in 10^{} such records, so that one of \
             the two was copied.",
            stand,
            power - 1
        );
        let name = match (self.of[again].as_str(), self.of[first].as_str()) {
            (again, first) if again == first => {
                format!("{again}.itself").trim_start_matches('.').to_string()
            }
            (again, first) => format!("{again}-{first}"),
        };
        differs(sentence)
            .finding(Subject::Copied(self.file.clone(), name))
            .by(&COPIED)
            .doubting_all(later)
            .from(earlier)
    }
}

pub(super) fn findings(project: &Project) -> Vec<Finding> {
    let mut found = film(project).findings();
    found.extend(climate(project).findings());
    found.extend(plates(project).findings());
    found
}

/// Film readings of each zone after each coat.
fn film(project: &Project) -> Readings<'_> {
    // A film scatters by a tenth of itself and more, so that of 50 readings to a micrometre hardly two are alike.
    let mut readings = Readings::of(film::SPEC.table_name(), 0.02);
    let mut before = None;
    for reading in &project.film {
        let of = format!("{}.coat{}", reading.zone, reading.after_coat);
        let spot = (of.clone(), reading.spot.clone(), reading.hull.map(|at| (at.x, at.y)));
        let begins = before.as_ref() != Some(&spot);
        // In tenths of a micrometre.
        readings.push(of, (reading.reading_m * 1e7).round() as i64, begins, &reading.place);
        before = Some(spot);
    }
    readings
}

/// Air, humidity and steel together, for each zone or all. What is the same again and again counts once: a still night, or
/// ditto marks.
fn climate(project: &Project) -> Readings<'_> {
    // Weather goes from hour to hour, so that any two readings to half a degree are alike now and then.
    let mut readings = Readings::of(climate::SPEC.table_name(), 0.02);
    let mut before: BTreeMap<String, i64> = BTreeMap::new();
    for reading in &project.climate {
        let figures = [reading.air_c, reading.humidity_pct, reading.steel_c];
        let [Some(air), Some(humidity), Some(steel)] = figures else { continue };
        // In tenths, each with room for those of the others; figures that no weather has may run over.
        let tenths = |value: f64| (value * 10.0).round() as i64;
        let value = [humidity, air].into_iter().fold(tenths(steel), |value, figure| {
            value.wrapping_mul(100_000).wrapping_add(tenths(figure))
        });
        let of = reading.zone.as_deref().unwrap_or_default().to_string();
        if before.insert(of.clone(), value) != Some(value) {
            readings.push(of, value, false, &reading.place);
        }
    }
    readings
}

/// Thicknesses found, strake by strake.
fn plates(project: &Project) -> Readings<'_> {
    // Port and starboard wear alike, and two plates of one thickness read the same tenth of a millimetre some three times in
    // ten, with a gauge that scatters by a tenth.
    let mut readings = Readings::of(plating::SPEC.table_name(), 0.3);
    for gauging in &project.plating {
        let value = (gauging.measured_m * 1e5).round() as i64;
        readings.push(gauging.strake.clone(), value, false, &gauging.place);
    }
    readings
}
