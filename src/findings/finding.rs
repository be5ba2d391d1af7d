//! One comparison of the record with its recomputation.

use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::fmt;

use crate::calc::formula::Formula;
use crate::findings::subject::{Subject, Weight};
use crate::records::bounds::{Bound, Sort};
use crate::records::place::Place;
use crate::records::remarks::Remark;
use crate::text;
pub use crate::text::Figure;
use crate::text::Text;

/// How a comparison came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Outcome {
    /// Record and recomputation agree, and no limit is broken.
    Agrees,
    /// Two recorded facts, or a record and its recomputation, can't both be true.
    Differs,
    /// A true record outside a limit.
    BeyondLimit,
    /// A datum that the comparison needs is absent.
    NotRecorded,
}

impl Outcome {
    /// Every outcome, the ones that want an answer first.
    pub const ALL: [Outcome; 4] =
        [Outcome::Differs, Outcome::BeyondLimit, Outcome::NotRecorded, Outcome::Agrees];

    /// Its words.
    pub fn words(self) -> &'static str {
        match self {
            Outcome::Agrees => "agrees",
            Outcome::Differs => "differs",
            Outcome::BeyondLimit => "beyond limit",
            Outcome::NotRecorded => "not recorded",
        }
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.words())
    }
}

/// What a comparison is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct Against {
    /// Limit or tolerance.
    pub sort: Sort,
    /// Its name, or the column that states it.
    pub name: String,
    /// Its value.
    pub value: Figure,
    /// Where it comes from.
    pub source: String,
}

impl Against {
    /// A limit.
    pub fn limit(name: &str, value: Figure, source: impl Into<String>) -> Self {
        Self { sort: Sort::Limit, name: name.to_string(), value, source: source.into() }
    }
}

impl From<&Bound> for Against {
    fn from(bound: &Bound) -> Self {
        Self {
            sort: bound.sort,
            name: bound.name.clone(),
            value: Figure::bound(bound),
            source: bound.source.clone(),
        }
    }
}

/// A record on which several findings depend: once it is put right, they come out otherwise.
#[derive(Debug, Clone)]
pub struct Cause {
    /// The record.
    pub place: Place,
    /// How they follow from it, one plain sentence.
    pub sentence: Text,
}

/// By the record, then by what is said of it.
impl Ord for Cause {
    fn cmp(&self, other: &Self) -> Ordering {
        let by_sentence = || self.sentence.to_string().cmp(&other.sentence.to_string());
        self.place.cmp(&other.place).then_with(by_sentence)
    }
}

impl PartialOrd for Cause {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Cause {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cause {}

/// A finding.
#[derive(Debug, Clone)]
pub struct Finding {
    /// What it is about.
    pub subject: Subject,
    /// Its id: the subject as answers and bundles name it.
    pub id: String,
    /// One plain sentence.
    pub sentence: Text,
    /// How it came out.
    pub outcome: Outcome,
    /// Whether it is about what is planned, since nothing is recorded yet.
    pub as_planned: bool,
    /// What was written down.
    pub recorded: Option<Figure>,
    /// What comes out of the raw readings.
    pub recomputed: Option<Figure>,
    /// What the two are called on its line of figures: `recorded` and `recomputed`, or what says more.
    pub called: [&'static str; 2],
    /// Both in words of their own, where they are figures of two quantities.
    pub measured: Option<Text>,
    /// What the two are held against.
    pub against: Option<Box<Against>>,
    /// The formula, where one was used.
    pub formula: Option<&'static Formula>,
    /// The records used.
    pub records: Vec<Place>,
    /// The one record from which it follows, with others.
    pub cause: Option<Cause>,
    /// The records of which it holds one or all to be wrong, the likeliest first; empty where it can't tell.
    pub doubted: Vec<Place>,
    /// A person's answer to what it says.
    pub remark: Option<Box<Remark>>,
    /// Answers that were given when it said something else, or nobody knows what.
    pub earlier: Vec<Remark>,
    /// Where a blank for its answer waits to be filled in.
    pub blank: Option<Place>,
}

impl Finding {
    /// A finding with nothing but its outcome. They are made in `judge`.
    pub fn new(subject: Subject, sentence: impl Into<Text>, outcome: Outcome) -> Self {
        Self {
            id: subject.to_string(),
            subject,
            sentence: sentence.into(),
            outcome,
            as_planned: false,
            recorded: None,
            recomputed: None,
            called: ["recorded", "recomputed"],
            measured: None,
            against: None,
            formula: None,
            records: Vec::new(),
            cause: None,
            doubted: Vec::new(),
            remark: None,
            earlier: Vec::new(),
            blank: None,
        }
    }

    /// What was written down.
    pub fn recorded(mut self, figure: impl Into<Option<Figure>>) -> Self {
        self.recorded = figure.into();
        self
    }

    /// What was recomputed.
    pub fn recomputed(mut self, figure: impl Into<Option<Figure>>) -> Self {
        self.recomputed = figure.into();
        self
    }

    /// What the two figures are, in one word each: `found` and `planned`.
    pub fn called(self, recorded: &'static str, recomputed: &'static str) -> Self {
        Self { called: [recorded, recomputed], ..self }
    }

    /// Both figures in words of their own: a number, what it is a part of, and how large a part that is.
    pub fn measured(self, words: Option<Text>) -> Self {
        Self { measured: words, ..self }
    }

    /// Its figures beside what they are held against, as one line.
    pub fn figures(&self) -> Option<Text> {
        let [recorded, recomputed] = self.called;
        let pairs = [(recorded, &self.recorded), (recomputed, &self.recomputed)];
        let each = pairs.into_iter().filter_map(|(called, figure)| {
            figure.as_ref().map(|figure| text!("{} {}", called, figure))
        });
        // A count alone is in the sentence.
        let counts =
            [&self.recorded, &self.recomputed].map(|f| matches!(f, Some(Figure::Count(_))));
        if self.against.is_none() && counts != [true; 2] && counts.contains(&true) {
            return None;
        }
        let mut parts: Vec<Text> = match &self.measured {
            Some(words) => vec![words.clone()],
            None => each.collect(),
        };
        parts.extend(self.against.as_ref().map(|against| {
            text!("{} {} ({})", against.sort.word(), against.value, against.source)
        }));
        let between = if self.measured.is_some() { "; " } else { ", " };
        (!parts.is_empty()).then(|| Text::joined(parts, between))
    }

    /// The tolerance or limit, printed with all the digits that were stated.
    pub fn against(mut self, against: impl Into<Against>) -> Self {
        let against = against.into();
        self.against = Some(Box::new(Against { value: against.value.as_stated(), ..against }));
        self
    }

    /// The tolerance or limit, if there is one.
    pub fn against_any(self, against: Option<impl Into<Against>>) -> Self {
        match against {
            Some(against) => self.against(against),
            None => self,
        }
    }

    /// The formula.
    pub fn by(mut self, formula: &'static Formula) -> Self {
        self.formula = Some(formula);
        self
    }

    /// The one record from which it follows, and how, in a sentence.
    pub fn because(mut self, place: &Place, sentence: impl Into<Text>) -> Self {
        self.cause = Some(Cause { place: place.clone(), sentence: sentence.into() });
        self
    }

    /// The record that is wrong if this does not agree: what else rests on it and does not agree either is counted under
    /// it (`cause::follow_doubts`). It is one of the records used, too.
    pub fn doubting(self, place: &Place) -> Self {
        self.doubting_all([place])
    }

    /// The same of several records, the likeliest first: what rests on any of them is counted under the first.
    pub fn doubting_all<'a>(self, places: impl IntoIterator<Item = &'a Place>) -> Self {
        let doubted: Vec<Place> = places.into_iter().cloned().collect();
        let finding = self.from(&doubted);
        Self { doubted, ..finding }
    }

    /// The same of what is planned: its line of figures says so, and what stands before its sentence.
    pub(super) fn of_the_plan(self, before: Text) -> Self {
        let [written, recomputed] = self.called;
        let written = if written == "recorded" { "planned" } else { written };
        let mut sentence = before;
        sentence.extend(self.sentence);
        Self { sentence, as_planned: true, called: [written, recomputed], ..self }
    }

    /// Gives its figures so many decimals that a figure outside its limit is not printed like the limit.
    pub(super) fn tell_figures_apart(&mut self) {
        let Some(against) = self.against.as_ref().filter(|_| self.outcome != Outcome::Agrees)
        else {
            return;
        };
        for figure in [&mut self.recorded, &mut self.recomputed] {
            *figure = figure.take().map(|figure| figure.apart_from(&against.value));
        }
    }

    /// The records used, each once.
    pub fn from<'a>(mut self, places: impl IntoIterator<Item = &'a Place>) -> Self {
        let mut known: BTreeSet<Place> = self.records.iter().cloned().collect();
        for place in places {
            if known.insert(place.clone()) {
                self.records.push(place.clone());
            }
        }
        self
    }

    /// Whether it needs a person's answer: it differs or is beyond a limit.
    pub fn is_troubled(&self) -> bool {
        matches!(self.outcome, Outcome::Differs | Outcome::BeyondLimit)
    }

    /// Whether a person must still answer it: it needs an answer, and what it says now has none.
    pub fn wants_answer(&self) -> bool {
        self.is_troubled() && self.remark.is_none()
    }

    /// What it weighs; nothing where it agrees.
    pub fn weight(&self) -> Option<Weight> {
        let [beyond, differs, unknown] = self.subject.weights();
        match self.outcome {
            Outcome::Agrees => None,
            Outcome::BeyondLimit => Some(beyond),
            Outcome::Differs => Some(differs),
            Outcome::NotRecorded => Some(unknown),
        }
    }

    /// The part of the id before the first point: the section of the report it belongs to.
    pub fn section(&self) -> &str {
        self.id.split('.').next().unwrap_or_default()
    }
}
