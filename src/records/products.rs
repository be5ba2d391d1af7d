//! `coating/products.toml`: coating products, their recoat tables and batches.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry::{Occupied, Vacant};

use chrono::NaiveDate;

use super::entry::Entry;
use super::keyed::{Keyed, KeyedSpec};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, Holds, Kind, Range, Stands, TableSpec};
use crate::units::Quantity;

const TIME: Holds = Holds::Measure(Quantity::Duration, Range::NotNegative);

/// What `coating/products.toml` may hold.
pub const SPEC: KeyedSpec = KeyedSpec {
    path: "coating/products.toml",
    example: include_str!("../../templates/example/coating/products.toml"),
    top: TableSpec { name: "", meaning: "nothing", stands: Stands::Once, keys: &[] },
    tables: &[
        TableSpec {
            name: "product",
            meaning: "a coating product",
            stands: Stands::Often,
            keys: &[
                Column::always("product", Holds::Id(Kind::Product), "the product's name"),
                Column::optional("generic_type", Holds::Text, "what kind of paint it is"),
                Column::optional(
                    "volume_solids",
                    Holds::Measure(Quantity::Ratio, Range::Positive),
                    "what stays of it when dry, by volume",
                ),
                Column::optional(
                    "nominal_dft",
                    Holds::Measure(Quantity::Length, Range::Positive),
                    "nominal dry film thickness of a coat",
                )
                .printed_in("um"),
                Column::optional(
                    "least_to_immersion",
                    TIME,
                    "least time from its finish to the water",
                ),
                Column::optional(
                    "shelf_life",
                    TIME,
                    "how long a batch keeps from the day it was made",
                ),
            ],
        },
        TableSpec {
            name: "recoat",
            meaning: "a row of a product's recoat table",
            stands: Stands::Often,
            keys: &[
                Column::always("product", Holds::Ref(Kind::Product), "the product that lies below"),
                Column::always(
                    "steel_temperature",
                    Holds::Measure(Quantity::Temperature, Range::Any),
                    "temperature of the steel",
                ),
                Column::always("least", TIME, "least time to the next coat"),
                Column::always(
                    "greatest",
                    Holds::Bound(Quantity::Duration),
                    "greatest time to the next coat, or none",
                ),
                Column::optional(
                    "by",
                    Holds::Ref(Kind::Product),
                    "the product that goes over it; any if left out",
                ),
            ],
        },
        TableSpec {
            name: "batch",
            meaning: "a batch of a product",
            stands: Stands::Often,
            keys: &[
                Column::always("batch", Holds::Name, "the batch's number"),
                Column::always("product", Holds::Ref(Kind::Product), "its product"),
                Column::always("made", Holds::Date, "the day it was made"),
            ],
        },
    ],
};

/// A coating product.
#[derive(Debug, Clone)]
pub struct Product {
    /// Its name.
    pub id: String,
    /// What kind of paint it is.
    pub generic_type: Option<String>,
    /// What stays of it when dry, per cent by volume.
    pub volume_solids_pct: Option<f64>,
    /// Nominal dry film thickness of a coat, m.
    pub nominal_dft_m: Option<f64>,
    /// Least time from its finish to the water, h.
    pub least_to_immersion_h: Option<f64>,
    /// How long a batch keeps, h.
    pub shelf_life_h: Option<f64>,
    /// Its recoat table, in the order of the file.
    pub recoat: Vec<Recoat>,
    /// Where it stands.
    pub place: Place,
}

/// A row of a recoat table.
#[derive(Debug, Clone)]
pub struct Recoat {
    /// Temperature of the steel, degrees Celsius.
    pub steel_temperature_c: f64,
    /// Least time to the next coat, h.
    pub least_h: f64,
    /// Greatest time to the next coat, h; `None` where there is none.
    pub greatest_h: Option<f64>,
    /// The product over it; `None` for any.
    pub by: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// A batch.
#[derive(Debug, Clone)]
pub struct Batch {
    /// Its number.
    pub id: String,
    /// Its product.
    pub product: String,
    /// The day it was made.
    pub made: NaiveDate,
    /// Where it stands.
    pub place: Place,
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
        for entry in keyed.all("batch") {
            let Some(batch) = Batch::read(entry) else { continue };
            match places.entry((batch.id.clone(), batch.product.clone())) {
                Vacant(place) => _ = place.insert(batch.place.clone()),
                Occupied(first) => problems.add(
                    Problem::new(entry.place_of("batch"), format!("stands at {} too", first.get()))
                        .value(batch.id.clone())
                        .expected("each batch of a product once")
                        .advice("take one of the two out"),
                ),
            }
            batches.push(batch);
        }
        let mut tables: BTreeMap<String, Vec<&Entry>> = BTreeMap::new();
        for row in keyed.all("recoat") {
            tables.entry(row.text("product").unwrap_or_default()).or_default().push(row);
        }
        let products = keyed.all("product").filter_map(|entry| {
            let id = entry.text("product")?;
            let rows = tables.get(&id).into_iter().flatten();
            let recoat = rows.filter_map(|row| Recoat::read(row, problems)).collect();
            Some(Product {
                id,
                generic_type: entry.text("generic_type"),
                volume_solids_pct: entry.number("volume_solids"),
                nominal_dft_m: entry.number("nominal_dft"),
                least_to_immersion_h: entry.number("least_to_immersion"),
                shelf_life_h: entry.number("shelf_life"),
                recoat,
                place: entry.place.clone(),
            })
        });
        Self { products: products.collect(), batches }
    }
}

impl Recoat {
    fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let row = Self {
            steel_temperature_c: entry.number("steel_temperature")?,
            least_h: entry.number("least")?,
            greatest_h: entry.bound("greatest")?,
            by: entry.text("by"),
            place: entry.place.clone(),
        };
        if row.greatest_h.is_some_and(|greatest| greatest < row.least_h) {
            problems.add(
                Problem::new(entry.place_of("greatest"), "is less than the least time")
                    .value(entry.as_written("greatest"))
                    .expected(format!("no less than {}, or none", entry.as_written("least")))
                    .advice("see the product's data sheet"),
            );
        }
        Some(row)
    }
}

impl Batch {
    fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            id: entry.text("batch")?,
            product: entry.text("product")?,
            made: entry.date("made")?,
            place: entry.place.clone(),
        })
    }
}
