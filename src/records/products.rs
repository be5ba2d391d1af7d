//! `coating/products.toml`: coating products, their recoat tables and batches.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry::{Occupied, Vacant};

use chrono::NaiveDate;

use super::entry::Entry;
use super::keyed::{Keyed, KeyedSpec};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::record::record;
use super::spec::{Holds, Kind, Range, SIZE, TableSpec};
use crate::units::Quantity;

const TEMPERATURE: Holds = Holds::Measure(Quantity::Temperature, Range::Any);
const TIME: Holds = Holds::Measure(Quantity::Duration, Range::NotNegative);

/// What `coating/products.toml` may hold.
pub const SPEC: KeyedSpec = KeyedSpec {
    path: "coating/products.toml",
    example: include_str!("../../templates/example/coating/products.toml"),
    top: TableSpec::EMPTY,
    tables: &[PRODUCT, RECOAT, BATCH],
};

record! {
    #[derive(Debug, Clone)]
    pub struct Product: PRODUCT = [[product]] "a coating product" {
        id: String = always("product", Id(Kind::Product), "the product's name"),
        generic_type: Option<String> = optional("generic_type", Text, "what kind of paint it is"),
        volume_solids_pct: Option<f64> = optional(
            "volume_solids",
            Measure(Quantity::Ratio, Range::Positive),
            "solids by volume: the share of it that stays when dry",
        ),
        nominal_dft_m: Option<f64> = optional(
            "nominal_dft",
            SIZE,
            "nominal dry film thickness of a coat",
        ).printed_in("um"),
        least_to_immersion_h: Option<f64> = optional(
            "least_to_immersion",
            TIME,
            "least time from its finish to immersion",
        ),
        shelf_life_h: Option<f64> = optional(
            "shelf_life",
            TIME,
            "shelf life of a batch, from the day it was made",
        ),
        lowest_steel_c: Option<f64> = optional(
            "lowest_steel",
            TEMPERATURE,
            "lowest temperature of the steel while it is put on",
        ),
        highest_steel_c: Option<f64> = optional(
            "highest_steel",
            TEMPERATURE,
            "highest temperature of the steel while it is put on",
        ),
        lowest_air_c: Option<f64> = optional(
            "lowest_air",
            TEMPERATURE,
            "lowest temperature of the air while it is put on",
        ),
        highest_air_c: Option<f64> = optional(
            "highest_air",
            TEMPERATURE,
            "highest temperature of the air while it is put on",
        ),
        greatest_humidity_pct: Option<f64> = optional(
            "greatest_humidity",
            Measure(Quantity::Ratio, Range::Positive),
            "greatest relative humidity while it is put on, if it has one of its own",
        ),
        pot_life_h: Option<f64> = optional(
            "pot_life",
            TIME,
            "longest time from mixing to the end of that paint",
        ),
        induction_h: Option<f64> = optional(
            "induction",
            TIME,
            "least time that it stands after mixing before it is put on",
        ),
        thinner: Option<String> = optional("thinner", Called, "the thinner that it takes"),
        greatest_thinner_pct: Option<f64> = optional(
            "greatest_thinner",
            Measure(Quantity::Ratio, Range::NotNegative),
            "greatest share of thinner, by volume of the paint",
        ),
        latest_immersion_h: Option<f64> = optional(
            "latest_immersion",
            TIME,
            "longest time from its finish to immersion, as antifoulings have one",
        ),
    }
    with {
        /// Its recoat table, in the order of the file.
        recoat: Vec<Recoat>,
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Recoat: RECOAT = [[recoat]] "a row of a product's recoat table" {
        product: String = always("product", Ref(Kind::Product), "the product below"),
        steel_temperature_c: f64 = always(
            "steel_temperature",
            Measure(Quantity::Temperature, Range::Any),
            "temperature of the steel",
        ),
        least_h: f64 = always("least", TIME, "least time to the next coat"),
        greatest_h: Option<f64> = always(
            "greatest",
            Bound(Quantity::Duration),
            "greatest time to the next coat, or none",
        ),
        by: Option<String> = optional(
            "by",
            Ref(Kind::Product),
            "the product on top; any if left out",
        ),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Batch: BATCH = [[batch]] "a batch of a product" {
        id: String = always("batch", Name, "the batch's number"),
        product: String = always("product", Ref(Kind::Product), "its product"),
        made: NaiveDate = always("made", Date, "the day it was made"),
    }
}

/// Products and batches.
#[derive(Debug, Clone, Default)]
pub struct Products {
    /// The products, in the order of the file.
    pub products: Vec<Product>,
    /// The batches, in the order of the file.
    pub batches: Vec<Batch>,
}

impl Products {
    /// A product by its name.
    pub fn product(&self, id: &str) -> Option<&Product> {
        self.products.iter().find(|product| product.id == id)
    }

    /// A batch of a product by its number; one of another product if there is none of this.
    pub fn batch(&self, id: &str, product: &str) -> Option<&Batch> {
        let called = || self.batches.iter().filter(|batch| batch.id == id);
        called().find(|batch| batch.product == product).or_else(|| called().next())
    }

    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Self {
        let mut batches: Vec<Batch> = Vec::new();
        let mut places: BTreeMap<(String, String), Place> = BTreeMap::new();
        for entry in keyed.all(BATCH.name) {
            let Some(batch) = Batch::from_entry(entry) else { continue };
            match places.entry((batch.id.clone(), batch.product.clone())) {
                Vacant(place) => _ = place.insert(batch.place.clone()),
                Occupied(first) => problems.add(
                    Problem::new(
                        entry.place_of(&Batch::id),
                        format!("is already listed at {}", first.get()),
                    )
                    .value(batch.id.clone())
                    .expected("each batch of a product once")
                    .advice("remove one of the two"),
                ),
            }
            batches.push(batch);
        }
        let mut tables: BTreeMap<String, Vec<Recoat>> = BTreeMap::new();
        for entry in keyed.all(RECOAT.name) {
            if let Some(row) = Recoat::read(entry, problems) {
                tables.entry(row.product.clone()).or_default().push(row);
            }
        }
        let products = keyed.all(PRODUCT.name).filter_map(|entry| {
            let id: String = entry.get(&Product::id)?;
            Product::from_entry(entry, tables.remove(&id).unwrap_or_default())
        });
        Self { products: products.collect(), batches }
    }
}

impl Recoat {
    fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let row = Self::from_entry(entry)?;
        if row.greatest_h.is_some_and(|greatest_h| greatest_h < row.least_h) {
            problems.add(
                Problem::new(entry.place_of(&Self::greatest_h), "is less than the least time")
                    .value(entry.as_written(&Self::greatest_h))
                    .expected(format!("at least {}, or none", entry.as_written(&Self::least_h)))
                    .advice("check the product's data sheet"),
            );
        }
        Some(row)
    }
}
