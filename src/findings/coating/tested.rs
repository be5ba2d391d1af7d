//! Tests of the coating against what the scheme asks of them, and against when and where they can have been made.

use super::Coats;
use crate::findings::film::why_words;
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::judge::{
    Judgement, agrees, beyond_limit, differs, exceeds, falls_short, incomplete, not_recorded,
    unchecked,
};
use crate::findings::naming::count;
use crate::findings::recomputed::coating::tested::Tested;
use crate::findings::subject::Subject;
use crate::records::place::Place;
use crate::records::scheme::{SchemeCoat, Tests};
use crate::records::tested::{CoatingTest, TestKind};
use crate::text;
use crate::text::{Form, Text};
use crate::units::nine_digits;

/// How far the voltage of a holiday test may lie from the one that is asked, in per cent (common practice, no source: what
/// the dials of detectors are good to).
const VOLTAGE_PCT: f64 = 5.0;

/// Records that a finding of many tests names.
const MOST_PLACES: usize = 6;

/// What is asked of the figure of a test.
struct Asked {
    /// What was read, by a test.
    value: fn(&CoatingTest) -> Option<f64>,
    limit: fn(&Tests) -> Option<f64>,
    name: &'static str,
    /// Whether it is the least that is allowed; the greatest if not.
    is_least: bool,
    figure: fn(f64) -> Figure,
}

fn plain(value: f64) -> Figure {
    Figure::words(nine_digits(value))
}

/// What is asked of the figure of a kind of test; `None` of those that have none.
fn asked(kind: TestKind) -> Option<Asked> {
    Some(match kind {
        TestKind::PullOff => Asked {
            value: |test| test.pull_off_kpa,
            limit: |tests| tests.least_pull_off_kpa,
            name: "least_pull_off",
            is_least: true,
            figure: |kpa| Figure::Measure(Form::Adhesion.measure(kpa)),
        },
        TestKind::CrossCut => Asked {
            value: |test| test.cross_cut,
            limit: |tests| tests.greatest_cross_cut,
            name: "greatest_cross_cut",
            is_least: false,
            figure: plain,
        },
        TestKind::SolventRub => Asked {
            value: |test| test.rub,
            limit: |tests| tests.least_rub,
            name: "least_rub_rating",
            is_least: true,
            figure: plain,
        },
        TestKind::Hardness => Asked {
            value: |test| test.hardness,
            limit: |tests| tests.least_hardness,
            name: "least_hardness",
            is_least: true,
            figure: plain,
        },
        TestKind::Holiday | TestKind::WetCheck => return None,
    })
}

/// What a test is called.
fn called(kind: TestKind) -> &'static str {
    match kind {
        TestKind::Holiday => "holiday test",
        TestKind::PullOff => "pull-off test",
        TestKind::CrossCut => "cross-cut test",
        TestKind::SolventRub => "solvent-rub test",
        TestKind::Hardness => "hardness test",
        TestKind::WetCheck => "check while wet",
    }
}

/// Every kind that a scheme may ask for.
const KINDS: [TestKind; 5] = [
    TestKind::Holiday,
    TestKind::PullOff,
    TestKind::CrossCut,
    TestKind::SolventRub,
    TestKind::Hardness,
];

impl Coats<'_> {
    /// Tests that were made, by zone, coat and kind, then those that a scheme asks for and that are not recorded.
    pub(super) fn tests(&self) -> Vec<Finding> {
        let mut found: Vec<Finding> =
            self.coating.tested.iter().map(|tested| self.tested(tested)).collect();
        for row in &self.project.scheme {
            let is_coated = self
                .project
                .coats
                .iter()
                .any(|coat| coat.zone == row.zone && coat.coat == row.coat);
            for kind in KINDS.into_iter().filter(|kind| is_coated && asks(row, *kind)) {
                let is_of = |tested: &Tested| {
                    self.project.zones[tested.zone].id == row.zone
                        && (tested.coat, tested.kind) == (row.coat, kind)
                };
                if !self.coating.tested.iter().any(is_of) {
                    let what = text!(
                        "any {} after coat {} of {}",
                        called(kind),
                        row.coat,
                        row.zone.as_str()
                    );
                    found.push(
                        not_recorded(what)
                            .finding(about(&row.zone, row.coat, kind))
                            .from([&row.place]),
                    );
                }
            }
        }
        found
    }

    fn tested(&self, tested: &Tested) -> Finding {
        let zone = &self.project.zones[tested.zone].id;
        let row =
            self.project.scheme.iter().find(|row| row.zone == *zone && row.coat == tested.coat);
        let tests: Vec<&CoatingTest> =
            tested.tests.iter().map(|at| &self.project.tests[*at]).collect();
        let name = text!(
            "{} after coat {} of {}",
            count(tests.len(), called(tested.kind)),
            tested.coat,
            zone.as_str()
        );
        let places = |of: &[usize]| -> Vec<&Place> {
            of.iter().take(MOST_PLACES).map(|at| &self.project.tests[*at].place).collect()
        };
        let (judgement, wrong) = if let Some((judgement, wrong)) = self.impossible(tested, &name) {
            (judgement, places(&wrong))
        } else if !tested.not_passed.is_empty() {
            let sentence = text!(
                "{}: {} not passed, and none of the same place later that was.",
                name.clone().capitalized(),
                count(tested.not_passed.len(), "test")
            );
            (beyond_limit(sentence), places(&tested.not_passed))
        } else {
            (judged(tested.kind, &name, &tests, row), Vec::new())
        };
        let about = about(zone, tested.coat, tested.kind);
        let finding = judgement.finding(about);
        let finding = match finding.outcome {
            Outcome::Differs => finding.doubting_all(wrong.iter().copied()),
            _ => finding,
        };
        let worst = asked(tested.kind).and_then(|asked| Some((worst(&asked, &tests)?.1, asked)));
        let limit = worst.as_ref().zip(row).and_then(|((_, asked), row)| {
            let limit = (asked.limit)(&row.tests)?;
            Some(Against::limit(
                asked.name,
                (asked.figure)(limit),
                format!("the scheme, {}", row.place),
            ))
        });
        finding
            .recorded(worst.map(|(value, asked)| (asked.figure)(value)))
            .against_any(limit)
            .from(wrong)
            .from(places(&tested.tests))
            .from(row.map(|row| &row.place))
    }

    /// Tests that can't have been made when or where they are said to have been.
    fn impossible(&self, tested: &Tested, name: &Text) -> Option<(Judgement, Vec<usize>)> {
        let zone = &self.project.zones[tested.zone].id;
        let mut scheme = self.project.scheme.iter().filter(|row| row.zone == *zone).peekable();
        if scheme.peek().is_some() && !scheme.any(|row| row.coat == tested.coat) {
            let sentence = text!("{}: its scheme has no such coat.", name.clone().capitalized());
            return Some((differs(sentence), tested.tests.clone()));
        }
        if !tested.too_early.is_empty() {
            let sentence = text!(
                "{}: {} before any of that coat was on.",
                name.clone().capitalized(),
                count(tested.too_early.len(), "test")
            );
            return Some((differs(sentence), tested.too_early.clone()));
        }
        if !tested.misplaced.is_empty() {
            let whys = tested.misplaced.iter().map(|(_, why)| *why);
            let sentence = text!(
                "{}: {} can't have been made: {}.",
                name.clone().capitalized(),
                count(tested.misplaced.len(), "test"),
                why_words(self.project, whys)
            );
            return Some((differs(sentence), tested.misplaced.iter().map(|(at, _)| *at).collect()));
        }
        None
    }
}

fn about(zone: &str, coat: i64, kind: TestKind) -> Subject {
    Subject::CoatingTests(zone.to_string(), coat.to_string(), kind.word().to_string())
}

/// Whether a scheme asks for a test.
fn asks(row: &SchemeCoat, kind: TestKind) -> bool {
    match kind {
        TestKind::Holiday => row.tests.holiday_voltage_v.is_some(),
        kind => asked(kind).is_some_and(|asked| (asked.limit)(&row.tests).is_some()),
    }
}

/// The test with the worst figure.
fn worst<'a>(asked: &Asked, tests: &[&'a CoatingTest]) -> Option<(&'a CoatingTest, f64)> {
    let read = tests.iter().filter_map(|test| Some((*test, (asked.value)(test)?)));
    read.reduce(|known, new| {
        let is_worse = if asked.is_least { new.1 < known.1 } else { new.1 > known.1 };
        if is_worse { new } else { known }
    })
}

/// The figures of tests that can have been made, against what the scheme asks.
fn judged(
    kind: TestKind,
    name: &Text,
    tests: &[&CoatingTest],
    row: Option<&SchemeCoat>,
) -> Judgement {
    let Some(asked) = asked(kind) else { return judged_by_result(kind, name, tests, row) };
    let name = name.clone().capitalized();
    let Some((test, value)) = worst(&asked, tests) else {
        return unchecked(text!("{}", name), "no figure of them was recorded");
    };
    let figure = asked.figure;
    let Some(limit) = row.and_then(|row| (asked.limit)(&row.tests)) else {
        return agrees(text!(
            "{}: the worst is {}; the scheme asks for no figure.",
            name,
            figure(value)
        ));
    };
    let scale = row
        .and_then(|row| row.tests.hardness_scale.as_deref())
        .filter(|_| kind == TestKind::Hardness);
    if let Some(scale) = scale
        && let Some(other) = tests
            .iter()
            .find(|test| test.scale.as_deref().is_none_or(|own| !own.eq_ignore_ascii_case(scale)))
    {
        let own = other.scale.clone().unwrap_or_else(|| "no scale".to_string());
        let why = text!("{} is recorded, and the scheme asks for {}", own, scale);
        return unchecked(text!("{}", name), why);
    }
    let breaks = if asked.is_least { falls_short(value, limit) } else { exceeds(value, limit) };
    if breaks {
        let at = test.spot.as_ref().map_or(String::new(), |spot| format!(" at {spot}"));
        let (side, limit) = (if asked.is_least { "least" } else { "greatest" }, figure(limit));
        return beyond_limit(text!(
            "{}: {}{}, and {} is the {} that the scheme allows.",
            name,
            figure(value).apart_from(&limit),
            at,
            limit.as_stated(),
            side
        ));
    }
    if tests.iter().any(|test| (asked.value)(test).is_none()) {
        return incomplete(text!("{}: the figure of one was not recorded.", name));
    }
    agrees(text!("{}: the worst is {}, as the scheme asks.", name, figure(value)))
}

/// Holiday tests and checks while wet, which are passed or not.
fn judged_by_result(
    kind: TestKind,
    name: &Text,
    tests: &[&CoatingTest],
    row: Option<&SchemeCoat>,
) -> Judgement {
    let name = name.clone().capitalized();
    let voltage =
        row.and_then(|row| row.tests.holiday_voltage_v).filter(|_| kind == TestKind::Holiday);
    if let Some(wanted) = voltage {
        let off_pct = |v: f64| 100.0 * (v - wanted).abs() / wanted;
        let mut voltages = tests.iter().filter_map(|test| test.voltage_v);
        let off = voltages.find(|v| exceeds(off_pct(*v), VOLTAGE_PCT));
        let figure = |v: f64| Figure::Measure(Form::Voltage.measure(v));
        if let Some(v) = off {
            return beyond_limit(text!(
                "{}: one was made at {}, and the scheme asks for {}.",
                name,
                figure(v),
                figure(wanted).as_stated()
            ));
        }
        if tests.iter().any(|test| test.voltage_v.is_none()) {
            return incomplete(text!("{}: the voltage of one was not recorded.", name));
        }
    }
    if tests.iter().all(|test| test.accepted.is_some() || test.found.is_some()) {
        agrees(text!("{}: passed, or passed later at the same place.", name))
    } else {
        incomplete(text!("{}: the result of one was not recorded.", name))
    }
}
