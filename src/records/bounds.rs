//! Limits and tolerances: the figures that findings are held against, each with its source.

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::record::record;
use super::spec::{Range, TableSpec};
use super::value::nearest;
use crate::units::{Quantity, Unit};

/// What a bound is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sort {
    /// How far a record and its recomputation may lie apart and still agree.
    Tolerance,
    /// What a true record must keep within.
    Limit,
}

impl Sort {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Sort::Tolerance => "tolerance",
            Sort::Limit => "limit",
        }
    }

    /// The sort that a table of `docking.toml` states, by the table's name; `None` for any other table.
    pub fn stated_in(table: &str) -> Option<Self> {
        match table {
            _ if table == LIMIT_TABLE.name => Some(Sort::Limit),
            _ if table == TOLERANCE_TABLE.name => Some(Sort::Tolerance),
            _ => None,
        }
    }
}

/// A bound that `docking.toml` may state.
#[derive(Debug)]
pub struct BoundSpec {
    /// Its name after `limits.` or `tolerances.`.
    pub name: &'static str,
    pub quantity: Quantity,
    /// Its value in the kept unit where the project states none.
    pub default: Option<f64>,
    /// What it bounds; for a default also the reason for its size.
    pub meaning: &'static str,
    /// The suffix of the unit in which it is printed, where the kept one would make small figures.
    pub printed_in: Option<&'static str>,
}

impl BoundSpec {
    /// The same bound, printed in another unit than the kept one.
    const fn printed_in(mut self, suffix: &'static str) -> Self {
        self.printed_in = Some(suffix);
        self
    }

    pub fn printed_unit(&self) -> &'static Unit {
        let unit = self.printed_in.and_then(|suffix| self.quantity.unit(suffix));
        unit.unwrap_or(self.quantity.kept())
    }
}

const fn bound(
    name: &'static str,
    quantity: Quantity,
    default: Option<f64>,
    meaning: &'static str,
) -> BoundSpec {
    BoundSpec { name, quantity, default, meaning, printed_in: None }
}

pub const LIMITS: &[BoundSpec] = &[
    bound(
        "anode_loss",
        Quantity::Ratio,
        None,
        "greatest loss of an anode that was not renewed, in per cent of the mass fitted",
    ),
    bound(
        "bearing_pressure",
        Quantity::Pressure,
        None,
        "greatest bearing pressure on a cap, for blocks that state none of their own",
    ),
    bound(
        "bending_moment",
        Quantity::Moment,
        None,
        "greatest bending moment of the hull on the blocks, hogging or sagging",
    )
    .printed_in("knm"),
    bound(
        "climate_age",
        Quantity::Duration,
        Some(4.0),
        "longest time from any moment of an application to the nearest climate reading; by default \
         4 hours, a reading at either end of half a shift (common practice, no source)",
    ),
    bound(
        "dewatering_rate",
        Quantity::LevelRate,
        None,
        "how fast the water may fall, over any ten minutes",
    ),
    bound(
        "dew_point_margin",
        Quantity::TemperatureDifference,
        Some(3.0),
        "least by which the steel must be warmer than the dew point while it is coated; by default 3 K, \
         as IMO Res. MSC.215(82) asks",
    ),
    bound(
        "gap_rate",
        Quantity::LevelRate,
        None,
        "how fast the gap between a cap and the hull may close as the water falls",
    ),
    bound(
        "feathering",
        Quantity::Length,
        Some(0.0),
        "width up to which laps and slivers count neither as a contradiction nor as coats out of \
         order; by default none",
    ),
    bound(
        "floor_load",
        Quantity::LineLoad,
        None,
        "greatest load on a metre of the dock's length, from all rows of blocks together, without their own weight",
    ),
    bound(
        "floor_load_length",
        Quantity::Length,
        Some(6.0),
        "length of the dock over which the load on a metre is taken; by default 6 m, four or five keel \
         blocks (our choice)",
    ),
    bound(
        "floor_pressure",
        Quantity::Pressure,
        None,
        "greatest pressure of a block on the dock's floor, without its own weight",
    ),
    bound("gm", Quantity::Length, None, "least metacentric height at the critical instant"),
    bound(
        "humidity",
        Quantity::Ratio,
        Some(85.0),
        "greatest relative humidity while steel is coated; by default 85 %, as IMO Res. MSC.215(82) \
         asks",
    ),
    bound(
        "knuckle_load",
        Quantity::Mass,
        None,
        "greatest load on the knuckle block before she is landed",
    ),
    bound("list", Quantity::Angle, None, "greatest list before landing, to either side"),
    bound(
        "end_gap",
        Quantity::Length,
        None,
        "greatest gap at an end of the ship that does not bear",
    ),
    bound(
        "never_exposed",
        Quantity::Area,
        Some(0.0),
        "bottom area that may stay under blocks in every position; by default none, since the \
         purpose of a shift is to reach all steel",
    ),
    bound(
        "opening_clearance",
        Quantity::Length,
        None,
        "clear distance wanted between an opening and the nearest cap, for openings that state none \
         of their own",
    ),
    bound(
        "paint_greatest",
        Quantity::Ratio,
        None,
        "most paint that an application may use, in per cent of what its film needs",
    ),
    bound(
        "paint_least",
        Quantity::Ratio,
        None,
        "least paint that an application must use, in per cent of what its film needs",
    ),
    bound(
        "pit_depth",
        Quantity::Ratio,
        None,
        "greatest depth of a pit, in per cent of the original thickness",
    ),
    bound(
        "position_from_plan",
        Quantity::Length,
        None,
        "how far the stern reference point may lie from its place in the docking plan",
    ),
    bound(
        "preparation_age",
        Quantity::Duration,
        None,
        "longest time from the last preparation check to the start of the first coat",
    ),
    bound("shear_force", Quantity::Force, None, "greatest shear force of the hull on the blocks"),
    bound(
        "shift_overlap",
        Quantity::Length,
        Some(0.0),
        "margin round each block's cap that also counts as hidden when a shift is studied, in the \
         position before and in the one after, so that blasting and feathering overlap; by default \
         none (common practice, no source)",
    ),
    bound(
        "sill_clearance",
        Quantity::Length,
        None,
        "least water under her keel as she crosses the sill, and over the blocks behind it",
    ),
    bound(
        "trim",
        Quantity::Length,
        None,
        "greatest trim over the perpendiculars before landing, relative to the line of the blocks",
    ),
];

pub const TOLERANCES: &[BoundSpec] = &[
    bound(
        "block_height",
        Quantity::Length,
        Some(0.010),
        "a block's height against its measured top level; by default 10 mm, about what a level and \
         staff give on wet concrete (common practice, no source)",
    ),
    bound(
        "camera_clock",
        Quantity::Duration,
        Some(0.25),
        "recorded time of a photograph against the camera's; by default a quarter of an hour, since \
         a camera's clock drifts by a second or two a day and is set once a year, and people round \
         to five minutes (common practice, no source)",
    ),
    bound(
        "centre",
        Quantity::Length,
        Some(0.30),
        "centre of the weight curve against the centre of gravity from the drafts; by default 300 mm, \
         which readings good to 10 mm over a hundred metres give",
    ),
    bound(
        "dew_point",
        Quantity::TemperatureDifference,
        Some(0.5),
        "recorded against recomputed dew point; by default 0.5 K, what a degree of humidity and a tenth \
         of a degree of air make together",
    ),
    bound(
        "displacement",
        Quantity::Mass,
        Some(30.0),
        "weight curve against displacement from the drafts; by default 30 t, about 1 % of a ship of \
         3000 t, as a careful draft survey gives (common practice, no source)",
    ),
    bound(
        "divers",
        Quantity::Length,
        Some(0.020),
        "what a diver measured at a block against the line through all of them, and against where she \
         lay; by default 20 mm, what a rule held by hand gives in murky water (common practice, no source)",
    ),
    bound(
        "draft",
        Quantity::Length,
        Some(0.03),
        "drafts of one place port and starboard against the list; by \
         default 30 mm, since marks are read to 10 mm in still water",
    ),
    bound(
        "frame",
        Quantity::Length,
        Some(0.300),
        "an opening's x against its recorded frame; by default 300 mm, half a usual frame space, \
         since openings are named by the nearest frame",
    ),
    bound(
        "gap",
        Quantity::Length,
        Some(0.010),
        "gap predicted against gap measured; by default 10 mm, since caps are level to a few mm and \
         timber yields unevenly (common practice, no source)",
    ),
    bound(
        "gauge",
        Quantity::Ratio,
        Some(5.0),
        "a film gauge's reading against its reference, in per cent of the reference; by default 5 % \
         (common practice, no source)",
    ),
    bound(
        "landing_check",
        Quantity::Length,
        Some(0.010),
        "a landing check's planned length against the one found, or the centreline found against \
         where she lay; by default 10 mm",
    ),
    bound(
        "lift_off_draft",
        Quantity::Length,
        Some(0.05),
        "draft read at lift-off against the one predicted; by default 50 mm, since two surveys and \
         the weights moved between them enter into it",
    ),
    bound(
        "list",
        Quantity::Angle,
        Some(0.25),
        "list read at lift-off against the one predicted; by default 0.25 degrees, since a \
         centimetre on each side of a beam of fifteen metres makes 0.08",
    ),
    bound(
        "offset",
        Quantity::Length,
        Some(0.020),
        "recorded against recomputed offset of the stern reference point; by default 20 mm, what \
         plumb lines and sighting boards give (common practice, no source)",
    ),
    bound(
        "plate_gauge",
        Quantity::Length,
        Some(0.0002),
        "an instrument's reading against its reference when it was checked; by default 0.2 mm, since ultrasonic \
         instruments read to a tenth and steps are made to a tenth (common practice, no source)",
    )
    .printed_in("mm"),
    bound(
        "plate_thickness",
        Quantity::Length,
        Some(0.0002),
        "how much thicker than its original thickness a plate may be found; by default 0.2 mm, since \
         plates are rolled over their nominal thickness as well as under it and gauges read to a \
         tenth (common practice, no source)",
    )
    .printed_in("mm"),
    bound(
        "shift",
        Quantity::Length,
        Some(0.030),
        "recorded against recomputed shift; by default 30 mm, since each of its ends is known to 20 \
         mm",
    ),
    bound(
        "side",
        Quantity::Length,
        Some(0.100),
        "how far from the centreline an opening called centre may lie; by default 100 mm",
    ),
    bound(
        "sighting",
        Quantity::Length,
        Some(0.020),
        "a sighting against the position fitted to all of them that fit; by default 20 mm, what plumb lines \
         and sighting boards give (common practice, no source)",
    ),
    bound(
        "station",
        Quantity::Length,
        Some(0.020),
        "recorded against recomputed station of the stern reference point; by default 20 mm, what \
         plumb lines and sighting boards give (common practice, no source)",
    ),
    bound(
        "water_level",
        Quantity::Length,
        Some(0.10),
        "dock water level recomputed against the log; by default 100 mm: drafts are read to 10 mm, a \
         rigid keel is assumed, and the log is read every ten minutes",
    ),
    bound(
        "wet_film",
        Quantity::Ratio,
        Some(25.0),
        "dry film expected from the wet film against the scheme's nominal, in per cent of the \
         nominal; by default 25 %, since combs read in coarse steps (common practice, no source)",
    ),
    bound(
        "yaw",
        Quantity::Angle,
        Some(0.05),
        "recorded against recomputed yaw; by default 0.05 degrees, which moves the end of a hundred \
         metres by less than a tenth of a metre",
    ),
    bound(
        "zone_area",
        Quantity::Ratio,
        Some(1.0),
        "how far a bottom zone's area along the plating may lie below its area in plan, in per cent; \
         by default 1 %, since outlines are drawn to a centimetre",
    ),
];

record! {
    struct Stated: LIMIT_TABLE = [limits.NAME] "limits that the work as recorded must keep" {
        value: f64 = always("value", Number(Range::NotNegative), "the figure"),
        unit: String = always("unit", Text, "its unit, one of the suffixes of column names"),
        source: Option<String> = optional("source", Text, "the document or rule that sets it"),
    }
}

pub(crate) const TOLERANCE_TABLE: TableSpec = TableSpec {
    name: "tolerances",
    meaning: "how far a record and its recomputation may differ and still agree",
    ..LIMIT_TABLE
};

#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    pub sort: Sort,
    pub name: String,
    pub quantity: Quantity,
    /// Its value in the kept unit of the quantity.
    pub value: f64,
    /// Where it comes from, in words; for a default, that it is one and why.
    pub source: String,
    /// Where the project states it; `None` for a default.
    pub place: Option<Place>,
}

impl Bound {
    pub fn printed_unit(&self) -> &'static Unit {
        let spec = specs(self.sort).iter().find(|spec| spec.name == self.name);
        spec.map_or(self.quantity.kept(), BoundSpec::printed_unit)
    }
}

/// The bounds of a project: those it states and the defaults of those it does not.
#[derive(Debug, Clone, Default)]
pub struct Bounds(Vec<Bound>);

impl Bounds {
    /// A limit, if it is stated or has a default.
    pub fn limit(&self, name: &str) -> Option<&Bound> {
        self.find(Sort::Limit, name)
    }

    /// A tolerance, if it is stated or has a default.
    pub fn tolerance(&self, name: &str) -> Option<&Bound> {
        self.find(Sort::Tolerance, name)
    }

    fn find(&self, sort: Sort, name: &str) -> Option<&Bound> {
        let known = specs(sort).iter().any(|spec| spec.name == name);
        debug_assert!(known, "{name} is not in the list of bounds");
        self.0.iter().find(|bound| bound.sort == sort && bound.name == name)
    }

    /// All that are in force, limits first, by name.
    pub fn all(&self) -> &[Bound] {
        &self.0
    }

    pub(super) fn read<'a>(
        entries: impl Iterator<Item = (&'static str, &'a Entry)>,
        problems: &mut Problems,
    ) -> Self {
        let mut bounds = Vec::new();
        for (table, entry) in entries {
            let Some(sort) = Sort::stated_in(table) else { continue };
            let Some(spec) = specs(sort).iter().find(|spec| spec.name == entry.title) else {
                problems.add(unknown(sort, entry));
                continue;
            };
            let Some(stated) = Stated::from_entry(entry) else { continue };
            let Some(unit) = spec.quantity.unit(&stated.unit) else {
                let wrong = format!("is not a unit for {}", spec.quantity.name());
                problems.add(
                    Problem::new(entry.place_of(&Stated::unit), wrong)
                        .value(stated.unit)
                        .expected(spec.quantity.accepted_as_text())
                        .advice("write one of these units"),
                );
                continue;
            };
            bounds.push(Bound {
                sort,
                name: spec.name.to_string(),
                quantity: spec.quantity,
                value: unit.to_kept(stated.value),
                source: stated.source.unwrap_or_else(|| "no source given".to_string()),
                place: Some(stated.place),
            });
        }
        for sort in [Sort::Limit, Sort::Tolerance] {
            for spec in specs(sort) {
                let stated = bounds.iter().any(|b| b.sort == sort && b.name == spec.name);
                if let Some(value) = spec.default.filter(|_| !stated) {
                    bounds.push(Bound {
                        sort,
                        name: spec.name.to_string(),
                        quantity: spec.quantity,
                        value,
                        source: "default of this program, since the project states none"
                            .to_string(),
                        place: None,
                    });
                }
            }
        }
        bounds.sort_by(|a, b| (b.sort, &a.name).cmp(&(a.sort, &b.name)));
        Self(bounds)
    }
}

/// The bounds that are known, of one sort.
pub fn specs(sort: Sort) -> &'static [BoundSpec] {
    match sort {
        Sort::Limit => LIMITS,
        Sort::Tolerance => TOLERANCES,
    }
}

fn unknown(sort: Sort, entry: &Entry) -> Problem {
    let names: Vec<&str> = specs(sort).iter().map(|spec| spec.name).collect();
    let what = match sort {
        Sort::Limit => "limit",
        Sort::Tolerance => "tolerance",
    };
    let advice = match nearest(&entry.title, names.iter().copied()) {
        Some(near) => format!("rename it to {near}"),
        None => "remove it, or turn it into a comment".to_string(),
    };
    Problem::new(entry.place.clone(), format!("is not a known {what}"))
        .value(entry.title.clone())
        .expected(names.join(", "))
        .advice(advice)
}
