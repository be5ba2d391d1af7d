//! Tests of the coating by zone, coat and kind.

use std::collections::{BTreeMap, BTreeSet};

use super::film::{Why, wrong_place};
use super::zone::{ZoneHistory, hours};
use crate::calc::exposure::Hidden;
use crate::records::Project;
use crate::records::tested::{CoatingTest, TestKind};

/// The tests of one kind that were made on a zone after a coat.
#[derive(Debug, Clone)]
pub struct Tested {
    /// The zone, by its place in the project's list.
    pub zone: usize,
    pub coat: i64,
    pub kind: TestKind,
    /// By their places in the project's list, in order of time.
    pub tests: Vec<usize>,
    /// Those that were made where they can't have been, likewise, and why.
    pub misplaced: Vec<(usize, Why)>,
    /// Those that were made before any of that coat was finished, likewise.
    pub too_early: Vec<usize>,
    /// Those that were not passed, and after which none of the same place was, likewise.
    pub not_passed: Vec<usize>,
}

/// The tests in the order of zones, coats and kinds.
pub(super) fn tested(project: &Project, zones: &[ZoneHistory], hidden: &[Hidden]) -> Vec<Tested> {
    let mut groups: BTreeMap<(usize, i64, TestKind), Vec<usize>> = BTreeMap::new();
    for (at, test) in project.tests.iter().enumerate() {
        if let Some(zone) = project.zones.iter().position(|zone| zone.id == test.zone) {
            groups.entry((zone, test.after_coat, test.kind)).or_default().push(at);
        }
    }
    groups
        .into_iter()
        .map(|((zone, coat, kind), mut tests)| {
            tests.sort_by_key(|at| (project.tests[*at].at, *at));
            let of = |at: &usize| &project.tests[*at];
            let history = &zones[zone];
            let misplaced = tests.iter().filter_map(|at| {
                let test = of(at);
                Some((*at, wrong_place(history, hidden, test.hull, test.at.map(hours))?))
            });
            let coated = history.jobs.iter().filter(|job| job.coat == Some(coat));
            let first_h =
                coated.map(|job| if kind == TestKind::WetCheck { job.from_h } else { job.to_h });
            let first_h = first_h.reduce(f64::min);
            let early = |at: &&usize| {
                of(at).at.zip(first_h).is_some_and(|(made, first_h)| hours(made) < first_h)
            };
            Tested {
                misplaced: misplaced.collect(),
                too_early: tests.iter().filter(early).copied().collect(),
                not_passed: not_passed(project, &tests),
                zone,
                coat,
                kind,
                tests: tests.clone(),
            }
        })
        .collect()
}

/// Whether a test was passed; `None` where its result is not recorded.
fn passed(test: &CoatingTest) -> Option<bool> {
    test.accepted.or_else(|| test.found.map(|found| found == 0))
}

/// Of tests in order of time, those that were not passed and after which none of the same place was. A test may be of
/// any spot, or in any area, where it names none.
fn not_passed(project: &Project, tests: &[usize]) -> Vec<usize> {
    type Named<'a> = Option<&'a str>;
    let place = |at: usize| -> (Named<'_>, Named<'_>) {
        let test = &project.tests[at];
        (test.spot.as_deref(), test.area.as_deref())
    };
    let mut places: BTreeSet<(Named<'_>, Named<'_>)> = BTreeSet::new();
    let (mut spots, mut areas): (BTreeSet<Named<'_>>, BTreeSet<Named<'_>>) = Default::default();
    let mut found = Vec::new();
    let mut same_time: Vec<usize> = Vec::new();
    for at in tests.iter().rev().copied() {
        let time = project.tests[at].at;
        if same_time.first().is_some_and(|other| project.tests[*other].at != time) {
            for later in same_time.drain(..).filter(|at| passed(&project.tests[*at]) == Some(true))
            {
                let (spot, area) = place(later);
                places.insert((spot, area));
                spots.insert(spot);
                areas.insert(area);
            }
        }
        same_time.push(at);
        let (spot, area) = place(at);
        let is_passed_later = match (spot, area) {
            (None, None) => !places.is_empty(),
            (Some(_), None) => spots.contains(&spot) || spots.contains(&None),
            (None, Some(_)) => areas.contains(&area) || areas.contains(&None),
            (Some(_), Some(_)) => {
                let known = [(spot, area), (None, area), (spot, None), (None, None)];
                known.iter().any(|place| places.contains(place))
            }
        };
        if passed(&project.tests[at]) == Some(false) && !is_passed_later {
            found.push(at);
        }
    }
    found.reverse();
    found
}
