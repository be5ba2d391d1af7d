//! How a finding comes out, and the sentence that says so. Every finding is made here, by one of:
//!
//! - [`Comparison`]: a record beside what the raw readings give;
//! - [`Limited`]: a value beside a limit;
//! - [`Facts`]: records that must fit each other;
//! - [`agrees`], [`differs`], [`beyond_limit`]: anything else, in a sentence of its own;
//! - [`not_recorded`], [`unchecked`]: what is missing, and what can't be checked and why.

use super::finding::{Against, Figure, Finding, Outcome};
use crate::findings::subject::Subject;
use crate::records::bounds::Bound;
use crate::text;
use crate::text::{Measure, Text};

/// Numbers no further apart than this, in the kept unit, count as the same, so that rounding is no difference and a
/// reading exactly at a limit keeps it.
const SAME: f64 = 1e-9;

/// Whether record and recomputation lie within a tolerance of each other.
pub fn compare(recorded: f64, recomputed: f64, tolerance: f64) -> Outcome {
    if (recorded - recomputed).abs() <= tolerance + SAME {
        Outcome::Agrees
    } else {
        Outcome::Differs
    }
}

/// On which side of a limit a value must stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The limit is the greatest value allowed.
    AtMost,
    /// The limit is the least value allowed.
    AtLeast,
    /// The limit is the greatest size allowed, whatever the sign: of a trim, a list.
    EitherWay,
}

/// Whether a value is over the greatest allowed, by more than rounding.
pub fn exceeds(value: f64, greatest: f64) -> bool {
    // Large numbers are rounded more.
    value - greatest > SAME * greatest.abs().max(1.0)
}

/// Whether a value is under the least allowed, by more than rounding.
pub fn falls_short(value: f64, least: f64) -> bool {
    exceeds(-value, -least)
}

/// Whether a value keeps a limit.
pub fn hold(value: f64, limit: f64, side: Side) -> Outcome {
    let past = match side {
        Side::AtMost => exceeds(value, limit),
        Side::AtLeast => falls_short(value, limit),
        Side::EitherWay => exceeds(value.abs(), limit),
    };
    if past { Outcome::BeyondLimit } else { Outcome::Agrees }
}

/// An outcome with the sentence that says it.
#[derive(Debug, Clone)]
pub struct Judgement {
    /// One plain sentence.
    pub sentence: Text,
    /// How it came out.
    pub outcome: Outcome,
}

impl Judgement {
    /// The finding, without its figures, records and formula.
    pub fn finding(self, about: Subject) -> Finding {
        Finding::new(about, self.sentence, self.outcome)
    }

    /// A finding that comes out so instead.
    pub fn replace_in(self, finding: Finding) -> Finding {
        Finding { sentence: self.sentence, outcome: self.outcome, ..finding }
    }
}

fn judgement(sentence: impl Into<Text>, outcome: Outcome) -> Judgement {
    Judgement { sentence: sentence.into(), outcome }
}

/// What is recorded fits, and keeps its limit if it has one.
pub fn agrees(sentence: impl Into<Text>) -> Judgement {
    judgement(sentence, Outcome::Agrees)
}

/// What is recorded can't all be true.
pub fn differs(sentence: impl Into<Text>) -> Judgement {
    judgement(sentence, Outcome::Differs)
}

/// What is recorded can be true, and does not keep its limit.
pub fn beyond_limit(sentence: impl Into<Text>) -> Judgement {
    judgement(sentence, Outcome::BeyondLimit)
}

/// Something that was not recorded, named as the subject of a sentence: `the side of SC1`.
pub fn not_recorded(what: impl Into<Text>) -> Judgement {
    judgement(text!("{} was not recorded.", what.into()).capitalized(), Outcome::NotRecorded)
}

/// A subject that can't be checked, and why, as the end of a sentence.
pub fn unchecked(subject: impl Into<Text>, why: impl Into<Text>) -> Judgement {
    let sentence = text!("{} can't be checked: {}.", subject.into(), why.into());
    judgement(sentence.capitalized(), Outcome::NotRecorded)
}

/// Something recorded, with what it lacks to be checked, in a sentence of its own.
pub fn incomplete(sentence: impl Into<Text>) -> Judgement {
    judgement(sentence, Outcome::NotRecorded)
}

/// Records that must fit each other.
#[derive(Debug)]
pub struct Facts {
    /// What they are, as the subject of a sentence: `the times of P1`.
    pub subject: Text,
    /// What can't be right of them, each the end of a sentence.
    pub faults: Vec<Text>,
    /// What was not recorded and is needed to tell, each as a noun.
    pub missing: Vec<Text>,
    /// That they fit, as a sentence.
    pub sound: Text,
}

impl Facts {
    /// How they come out: a fault is one whatever else is missing.
    pub fn judge(self) -> Judgement {
        if !self.faults.is_empty() {
            let faults = Text::joined(self.faults, "; ");
            return differs(text!("{} can't be right: {}.", self.subject, faults).capitalized());
        }
        let verb = match self.missing.len() {
            0 => return agrees(self.sound),
            1 => "was",
            _ => "were",
        };
        unchecked(self.subject, text!("{} {} not recorded", Text::listed(self.missing), verb))
    }

    /// The finding, without its figures, records and formula.
    pub fn finding(self, about: Subject) -> Finding {
        self.judge().finding(about)
    }
}

/// A record beside what the raw readings give.
#[derive(Debug)]
pub struct Comparison<'a> {
    /// What both are, as the subject of a sentence: `the station of P1`.
    pub subject: Text,
    /// What was written down.
    pub recorded: Option<Measure>,
    /// What the readings give.
    pub recomputed: Option<Measure>,
    /// What the record is held against, as a noun: `what its sightings give`.
    pub source: Text,
    /// Why that is not known, as the end of a sentence; empty where more can't be said.
    pub why_not: Text,
    /// How far apart both may lie.
    pub tolerance: &'a Bound,
}

impl Comparison<'_> {
    /// How the two come out.
    pub fn judge(&self) -> Judgement {
        let Comparison { subject, source, .. } = self;
        let why_not = match self.why_not.is_empty() {
            true => text!("{} is not known", source),
            false => self.why_not.clone(),
        };
        match (self.recorded, self.recomputed) {
            (Some(recorded), Some(recomputed)) => {
                match compare(recorded.kept, recomputed.kept, self.tolerance.value) {
                    Outcome::Agrees => {
                        agrees(text!("{} agrees with {}.", subject, source).capitalized())
                    }
                    _ => {
                        let apart = recorded.distance_to(&recomputed);
                        differs(text!("{} is {} from {}.", subject, apart, source).capitalized())
                    }
                }
            }
            (Some(_), None) => unchecked(subject, why_not),
            (None, Some(recomputed)) => incomplete(
                text!("{} was not recorded; {} is {}.", subject, source, recomputed).capitalized(),
            ),
            (None, None) => {
                incomplete(text!("{} was not recorded, and {}.", subject, why_not).capitalized())
            }
        }
    }

    /// The finding, without its records and formula.
    pub fn finding(&self, about: Subject) -> Finding {
        self.judge()
            .finding(about)
            .recorded(self.recorded.map(Figure::Measure))
            .recomputed(self.recomputed.map(Figure::Measure))
            .against(self.tolerance)
    }
}

/// A value beside a limit.
#[derive(Debug)]
pub struct Limited {
    /// What it is, as the subject of a sentence: `the trim before landing in P1`.
    pub subject: Text,
    /// The value, or why it is not known, as the end of a sentence: `neither KG nor GM was recorded`.
    pub value: Result<Measure, Text>,
    /// The limit, if there is one.
    pub limit: Option<(Against, Side)>,
}

impl Limited {
    /// How the value comes out.
    pub fn judge(&self) -> Judgement {
        let subject = &self.subject;
        let limit =
            self.limit.as_ref().and_then(|(against, side)| Some((against.value.measure()?, *side)));
        match (&self.value, limit) {
            (Err(why), _) => unchecked(subject, why),
            (Ok(value), None) => incomplete(
                text!("{} was {}; its limit was not recorded.", subject, *value).capitalized(),
            ),
            (Ok(value), Some((limit, side))) => {
                let outcome = hold(value.kept, limit.kept, side);
                let value = value.apart_from(&limit);
                let limit = limit.as_stated();
                let past = match (outcome, side) {
                    (Outcome::Agrees, _) => Text::new(),
                    (_, Side::AtLeast) => text!(", below the limit of {}", limit),
                    (_, Side::AtMost | Side::EitherWay) => text!(", over the limit of {}", limit),
                };
                judgement(text!("{} was {}{}.", subject, value, past).capitalized(), outcome)
            }
        }
    }

    /// The finding, without its records and formula.
    pub fn finding(&self, about: Subject) -> Finding {
        let value = self.value.as_ref().ok().copied().map(Figure::Measure);
        let against = self.limit.as_ref().map(|(against, _)| against.clone());
        self.judge().finding(about).recomputed(value).against_any(against)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::bounds::Sort;
    use crate::text::Form;

    #[test]
    fn a_reading_at_its_bound_passes() {
        assert_eq!(compare(1.03, 1.0, 0.03), Outcome::Agrees);
        assert_eq!(compare(1.030_001, 1.0, 0.03), Outcome::Differs);
        assert_eq!(hold(0.1 + 0.2, 0.3, Side::AtMost), Outcome::Agrees);
        assert_eq!(hold(0.3, 0.1 + 0.2, Side::AtLeast), Outcome::Agrees);
        assert_eq!(hold(1_000.000_000_1, 1_000.0, Side::AtMost), Outcome::Agrees);
        assert_eq!(hold(2.98, 3.0, Side::AtLeast), Outcome::BeyondLimit);
        // A rate at which the water rises is no fast fall; a list to starboard is one as to port.
        assert_eq!(hold(-2.0, 1.8, Side::AtMost), Outcome::Agrees);
        assert_eq!(hold(-2.0, 1.8, Side::EitherWay), Outcome::BeyondLimit);
    }

    fn limited(value: Result<f64, &str>, limit: Option<f64>) -> String {
        let against = |limit| Against {
            sort: Sort::Limit,
            name: "list".to_string(),
            value: Figure::angle(limit),
            source: String::new(),
        };
        Limited {
            subject: "the list in P1".into(),
            value: value.map(|value| Form::Angle.measure(value)).map_err(Text::from),
            limit: limit.map(|limit| (against(limit), Side::EitherWay)),
        }
        .finding(Subject::List("P1".to_string()))
        .sentence
        .to_string()
    }

    #[test]
    fn one_frame_says_how_it_came_out() {
        assert_eq!(limited(Ok(0.4), Some(0.5)), "The list in P1 was 0.400\u{b0}.");
        assert_eq!(
            limited(Ok(-0.6), Some(0.5)),
            "The list in P1 was -0.600\u{b0}, over the limit of 0.500\u{b0}."
        );
        assert_eq!(
            limited(Ok(0.4), None),
            "The list in P1 was 0.400\u{b0}; its limit was not recorded."
        );
        assert_eq!(
            limited(Err("no mark was read"), Some(0.5)),
            "The list in P1 can't be checked: no mark was read."
        );
    }

    #[test]
    fn a_fault_is_said_before_what_is_missing() {
        let facts = |faults: &[&str], missing: &[&str]| {
            let texts = |all: &[&str]| all.iter().map(|text| Text::from(*text)).collect();
            let (faults, missing) = (texts(faults), texts(missing));
            let subject = "the times of P1".into();
            let judged = Facts { subject, faults, missing, sound: "They fit.".into() }.judge();
            (judged.outcome, judged.sentence.to_string())
        };
        let wanted = "The times of P1 can't be right: a; b.".to_string();
        assert_eq!(facts(&["a", "b"], &["c"]), (Outcome::Differs, wanted));
        let wanted = "The times of P1 can't be checked: c was not recorded.".to_string();
        assert_eq!(facts(&[], &["c"]), (Outcome::NotRecorded, wanted));
        let wanted = "The times of P1 can't be checked: c and d were not recorded.".to_string();
        assert_eq!(facts(&[], &["c", "d"]), (Outcome::NotRecorded, wanted));
        assert_eq!(facts(&[], &[]), (Outcome::Agrees, "They fit.".to_string()));
    }
}
