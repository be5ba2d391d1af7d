//! One comparison of the record with its recomputation.

use std::collections::BTreeSet;
use std::fmt;

use super::cause::Cause;
use crate::calc::formula::Formula;
use crate::records::bounds::{Bound, Sort};
use crate::records::place::Place;
use crate::records::remarks::Remark;
use crate::units::{self, Quantity, Unit};

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

/// Decimals that a figure is given beyond its usual ones, to be told from its bound.
const MOST_MORE: usize = 4;

const MICROMETRE: Unit =
    Unit { suffix: "um", quantity: Quantity::Length, factor: 1e-6, offset: 0.0 };
const MILLIMETRE: Unit =
    Unit { suffix: "mm", quantity: Quantity::Length, factor: 1e-3, offset: 0.0 };

const KILOGRAM: Unit = Unit { suffix: "kg", quantity: Quantity::Mass, factor: 1e-3, offset: 0.0 };

/// A figure or a text that is compared.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// A number with a unit.
    Measure {
        /// The number in that unit.
        value: f64,
        /// The unit.
        unit: &'static Unit,
        /// With how many decimals it is printed.
        decimals: usize,
    },
    /// How many.
    Count(u64),
    /// Words.
    Words(String),
}

impl Figure {
    /// A number in the kept unit of a quantity.
    pub fn of(value: f64, quantity: Quantity) -> Self {
        Self::Measure { value, unit: quantity.kept(), decimals: decimals(quantity) }
    }

    /// A length in metres.
    pub fn length(value_m: f64) -> Self {
        Self::of(value_m, Quantity::Length)
    }

    /// A film's or a profile's thickness, from metres, in micrometres: whole where it is whole, else to the
    /// tenth, as means and readings in mils want it.
    pub fn film(value_m: f64) -> Self {
        let value = value_m * 1e6;
        Self::Measure { value, unit: &MICROMETRE, decimals: units::decimals_of(value, 0, 1) }
    }

    /// A plate's thickness or loss, from metres, in millimetres.
    pub fn plate(value_m: f64) -> Self {
        Self::Measure { value: value_m * 1e3, unit: &MILLIMETRE, decimals: 2 }
    }

    /// An area in square metres.
    pub fn area(value_m2: f64) -> Self {
        Self::of(value_m2, Quantity::Area)
    }

    /// An angle in degrees.
    pub fn angle(value_deg: f64) -> Self {
        Self::of(value_deg, Quantity::Angle)
    }

    /// A mass in tonnes.
    pub fn mass(value_t: f64) -> Self {
        Self::of(value_t, Quantity::Mass)
    }

    /// A small mass, from tonnes, in kilograms.
    pub fn kilograms(value_t: f64) -> Self {
        Self::Measure { value: value_t * 1e3, unit: &KILOGRAM, decimals: 2 }
    }

    /// A pressure in kilopascals.
    pub fn pressure(value_kpa: f64) -> Self {
        Self::of(value_kpa, Quantity::Pressure)
    }

    /// A ratio in per cent.
    pub fn ratio(value_pct: f64) -> Self {
        Self::of(value_pct, Quantity::Ratio)
    }

    /// A length of time in hours.
    pub fn duration(value_h: f64) -> Self {
        Self::of(value_h, Quantity::Duration)
    }

    /// A temperature in degrees Celsius.
    pub fn temperature(value_c: f64) -> Self {
        Self::of(value_c, Quantity::Temperature)
    }

    /// A difference of temperatures in kelvins.
    pub fn temperature_difference(value_k: f64) -> Self {
        Self::of(value_k, Quantity::TemperatureDifference)
    }

    /// The value of a limit or tolerance in the unit in which it is printed, with all the digits that were
    /// stated.
    pub fn bound(bound: &Bound) -> Self {
        Self::of(bound.value, bound.quantity).in_unit(bound.printed_unit()).as_stated()
    }

    /// The same measure in another unit of its quantity.
    fn in_unit(self, unit: &'static Unit) -> Self {
        match self {
            Self::Measure { value, unit: kept, decimals } if kept.suffix != unit.suffix => {
                // A unit a thousand times smaller needs three decimals fewer.
                let fewer = libm::round(libm::log10(kept.factor / unit.factor)).max(0.0) as usize;
                let value = unit.from_kept(kept.to_kept(value));
                Self::Measure { value, unit, decimals: decimals.saturating_sub(fewer) }
            }
            same => same,
        }
    }

    /// The same measure with as many decimals more, up to three, as its value was stated with.
    pub fn as_stated(self) -> Self {
        match self {
            Self::Measure { value, unit, decimals } => Self::Measure {
                value,
                unit,
                decimals: units::decimals_of(value, decimals, decimals + 3),
            },
            other => other,
        }
    }

    /// The same measure with so many decimals that it is not printed like another of its unit from which
    /// it differs: a margin of 2.98 K is not 3.0 K where 3.0 K is the limit.
    pub fn told_from(self, other: &Figure) -> Self {
        let (
            Self::Measure { value, unit, decimals },
            Self::Measure { value: bound, unit: same, .. },
        ) = (&self, other)
        else {
            return self;
        };
        let apart =
            |decimals: &usize| units::fixed(*value, *decimals) != units::fixed(*bound, *decimals);
        let unlike = (value - bound).abs() > 1e-9;
        let most = decimals + MOST_MORE;
        match (*decimals..=most).find(apart).filter(|_| unlike && unit.suffix == same.suffix) {
            Some(decimals) => Self::Measure { value: *value, unit, decimals },
            None => self,
        }
    }

    /// Words.
    pub fn words(words: impl Into<String>) -> Self {
        Self::Words(words.into())
    }

    /// The unit's suffix, where there is one.
    pub fn unit(&self) -> Option<&'static str> {
        match self {
            Figure::Measure { unit, .. } => Some(unit.suffix),
            _ => None,
        }
    }

    /// The figure without its unit, as `findings.json` and `findings.csv` give it.
    pub fn plain(&self) -> String {
        match self {
            Figure::Measure { value, decimals, .. } => units::fixed(*value, *decimals),
            Figure::Count(count) => count.to_string(),
            Figure::Words(words) => words.clone(),
        }
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Figure::Measure { unit, .. } => {
                write!(f, "{}{}", self.plain(), unit.after_number())
            }
            _ => f.write_str(&self.plain()),
        }
    }
}

/// Decimals with which a quantity is printed, about a tenth of what it can be read to.
pub fn decimals(quantity: Quantity) -> usize {
    match quantity {
        Quantity::Length | Quantity::Area | Quantity::Angle => 3,
        Quantity::Mass | Quantity::Immersion | Quantity::TrimMoment => 2,
        Quantity::Density => 4,
        Quantity::SecondMoment => 6,
        Quantity::Volume
        | Quantity::Force
        | Quantity::Pressure
        | Quantity::Temperature
        | Quantity::TemperatureDifference
        | Quantity::Ratio
        | Quantity::SurfaceDensity => 1,
        Quantity::Duration | Quantity::LevelRate => 2,
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

/// A finding.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Its id, the same for the same comparison whatever it comes out as.
    pub id: String,
    /// One plain sentence.
    pub sentence: String,
    /// How it came out.
    pub outcome: Outcome,
    /// What was written down.
    pub recorded: Option<Figure>,
    /// What comes out of the raw readings.
    pub recomputed: Option<Figure>,
    /// What the two are held against.
    pub against: Option<Against>,
    /// The formula, where one was used.
    pub formula: Option<&'static Formula>,
    /// The records used.
    pub records: Vec<Place>,
    /// The one record from which it follows, with others.
    pub cause: Option<Cause>,
    /// A person's answer to what it says.
    pub remark: Option<Remark>,
    /// Answers that were given when it said something else, or nobody knows what.
    pub earlier: Vec<Remark>,
    /// Where a blank for its answer waits to be filled in.
    pub blank: Option<Place>,
}

impl Finding {
    /// A finding that agrees; what differs is set with the methods below.
    pub fn new(id: impl Into<String>, sentence: impl Into<String>, outcome: Outcome) -> Self {
        Self {
            id: id.into(),
            sentence: sentence.into(),
            outcome,
            recorded: None,
            recomputed: None,
            against: None,
            formula: None,
            records: Vec::new(),
            cause: None,
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

    /// The tolerance or limit, printed with all the digits that were stated.
    pub fn against(mut self, against: impl Into<Against>) -> Self {
        let against = against.into();
        self.against = Some(Against { value: against.value.as_stated(), ..against });
        self
    }

    /// The formula.
    pub fn by(mut self, formula: &'static Formula) -> Self {
        self.formula = Some(formula);
        self
    }

    /// The one record from which it follows, and how, in a sentence.
    pub fn because(mut self, place: &Place, sentence: impl Into<String>) -> Self {
        self.cause = Some(Cause { place: place.clone(), sentence: sentence.into() });
        self
    }

    /// Gives its figures so many decimals that a figure outside its limit is not printed like the limit.
    pub(super) fn tell_figures_apart(&mut self) {
        let Some(against) = self.against.as_ref().filter(|_| self.outcome != Outcome::Agrees)
        else {
            return;
        };
        for figure in [&mut self.recorded, &mut self.recomputed] {
            *figure = figure.take().map(|figure| figure.told_from(&against.value));
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

    /// The part of the id before the first point: the section of the report it belongs to.
    pub fn section(&self) -> &str {
        self.id.split('.').next().unwrap_or_default()
    }
}

/// How record and recomputation compare under a tolerance: equality within 1e-9 of the kept unit
/// passes, so that a reading exactly at the tolerance does.
pub fn within(recorded: f64, recomputed: f64, tolerance: f64) -> Outcome {
    if (recorded - recomputed).abs() <= tolerance + 1e-9 {
        Outcome::Agrees
    } else {
        Outcome::Differs
    }
}
