//! How a comparison comes out, and the frame of the sentence that says so: one way for every finding in which
//! a record is held against its recomputation, or a value against a limit.

use super::finding::{Against, Figure, Finding, Outcome};
use crate::findings::subject::Subject;
use crate::records::bounds::Bound;
use crate::text;
use crate::text::{Measure, Text};

/// Two numbers that lie no further apart, in the kept unit, are the same: what computing leaves is no difference,
/// and a reading exactly at a limit keeps it.
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
    /// The limit is the greatest that is allowed.
    AtMost,
    /// The limit is the least that is allowed.
    AtLeast,
    /// The limit is the greatest size that is allowed, whatever the sign: a trim, a list.
    EitherWay,
}

/// Whether a value is more than a greatest that is allowed, by more than computing leaves.
pub fn exceeds(value: f64, greatest: f64) -> bool {
    // Large numbers carry more of what computing leaves.
    value - greatest > SAME * greatest.abs().max(1.0)
}

/// Whether a value is less than a least that is allowed, by more than computing leaves.
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
    /// The finding, without its records and formula.
    pub fn finding(&self, about: Subject) -> Finding {
        let Comparison { subject, source, .. } = self;
        let why_not = match self.why_not.is_empty() {
            true => text!("{} is not known", source),
            false => self.why_not.clone(),
        };
        let (sentence, outcome) = match (self.recorded, self.recomputed) {
            (Some(recorded), Some(recomputed)) => {
                match compare(recorded.kept, recomputed.kept, self.tolerance.value) {
                    Outcome::Agrees => {
                        (text!("{} agrees with {}.", subject, source), Outcome::Agrees)
                    }
                    other => {
                        let apart = recorded.distance_to(&recomputed);
                        (text!("{} is {} from {}.", subject, apart, source), other)
                    }
                }
            }
            (Some(_), None) => {
                (text!("{} can't be checked: {}.", subject, why_not), Outcome::NotRecorded)
            }
            (None, Some(recomputed)) => (
                text!("{} was not recorded; {} is {}.", subject, source, recomputed),
                Outcome::NotRecorded,
            ),
            (None, None) => {
                (text!("{} was not recorded, and {}.", subject, why_not), Outcome::NotRecorded)
            }
        };
        Finding::new(about, sentence.capitalized(), outcome)
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
    /// The value, or why it can't be recomputed as the end of a sentence: `neither KG nor GM was recorded`.
    pub value: Result<Measure, Text>,
    /// The limit, if there is one.
    pub limit: Option<(Against, Side)>,
}

impl Limited {
    /// The finding, without its records and formula.
    pub fn finding(&self, about: Subject) -> Finding {
        let subject = &self.subject;
        let limit =
            self.limit.as_ref().and_then(|(against, side)| Some((against.value.measure()?, *side)));
        let (sentence, outcome) = match (&self.value, limit) {
            (Err(why), _) => {
                (text!("{} can't be recomputed: {}.", subject, why), Outcome::NotRecorded)
            }
            (Ok(value), None) => (
                text!("{} was {}; its limit was not recorded.", subject, *value),
                Outcome::NotRecorded,
            ),
            (Ok(value), Some((limit, side))) => {
                let outcome = hold(value.kept, limit.kept, side);
                let value = value.apart_from(&limit);
                let limit = limit.as_stated();
                let sentence = match (outcome, side) {
                    (Outcome::Agrees, _) => text!("{} was {}.", subject, value),
                    (_, Side::AtLeast) => {
                        text!("{} was {}, below the limit of {}.", subject, value, limit)
                    }
                    (_, Side::AtMost | Side::EitherWay) => {
                        text!("{} was {}, over the limit of {}.", subject, value, limit)
                    }
                };
                (sentence, outcome)
            }
        };
        let value = self.value.as_ref().ok().copied().map(Figure::Measure);
        let finding = Finding::new(about, sentence.capitalized(), outcome).recomputed(value);
        match &self.limit {
            Some((against, _)) => finding.against(against.clone()),
            None => finding,
        }
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
            "The list in P1 can't be recomputed: no mark was read."
        );
    }
}
