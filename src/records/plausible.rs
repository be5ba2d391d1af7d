//! Which numbers are plausible in each column: ranges so wide that no honest record leaves them, with their reasons. What lies
//! outside is not refused; a finding says which unit or decimal point would make it plausible (`findings/ranges/`).
//!
//! The reasons are the trade's common knowledge of sizes: they have no source.

use super::spec::{Column, Holds};

/// What a column's numbers are held to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// They lie from one to the other, in the kept unit of the column.
    Within(f64, f64),
    /// They are not, for the reason that stands beside it.
    Not,
}

/// A column with what its numbers are held to.
#[derive(Debug, Clone, Copy)]
pub struct Plausible {
    /// The column's name without its unit.
    pub column: &'static str,
    pub held: Held,
    /// Why so far and no further, or why not at all: the end of a sentence, after `since`.
    pub because: &'static str,
}

/// A file or one table of a TOML file, with its columns of numbers.
#[derive(Debug)]
pub struct Table {
    /// The file's path.
    pub file: &'static str,
    /// The table's name in a TOML file, of a bound its sort: empty for a CSV file and for what stands above the tables.
    pub table: &'static str,
    pub columns: &'static [Plausible],
}

const fn within(
    column: &'static str,
    least: f64,
    greatest: f64,
    because: &'static str,
) -> Plausible {
    Plausible { column, held: Held::Within(least, greatest), because }
}

const fn not(column: &'static str, because: &'static str) -> Plausible {
    Plausible { column, held: Held::Not, because }
}

const fn csv(file: &'static str, columns: &'static [Plausible]) -> Table {
    Table { file, table: "", columns }
}

const fn toml(file: &'static str, table: &'static str, columns: &'static [Plausible]) -> Table {
    Table { file, table, columns }
}

/// A place along the hull.
const fn x(column: &'static str) -> Plausible {
    within(column, -60.0, 520.0, "no ship is longer than 500 m")
}

/// A place athwart.
const fn y(column: &'static str) -> Plausible {
    within(column, -70.0, 70.0, "no ship is broader than 130 m")
}

/// A height above the base line.
const fn z(column: &'static str) -> Plausible {
    within(
        column,
        -10.0,
        100.0,
        "no mast is higher than 100 m, and nothing reaches 10 m below the keel",
    )
}

/// A station in the dock.
const fn station(column: &'static str) -> Plausible {
    within(column, -200.0, 1200.0, "no dock is longer than 1 km")
}

/// An offset from the dock's centreline.
const fn offset(column: &'static str) -> Plausible {
    within(column, -100.0, 100.0, "no dock is wider than 200 m")
}

/// A level above the dock's own datum, wherever that lies.
const fn level(column: &'static str) -> Plausible {
    within(column, -80.0, 400.0, "no dock lies 80 m below its datum or 400 m above it")
}

/// The thickness of a coat, dry or wet, or of a film.
const fn coat(column: &'static str) -> Plausible {
    within(column, 3e-6, 0.012, "a coat has from a few micrometres to some millimetres")
}

const fn steel_temperature(column: &'static str) -> Plausible {
    within(
        column,
        -40.0,
        90.0,
        "steel that is coated is no colder than -40 \u{b0}C, and no hotter than the sun makes it",
    )
}

const fn number_of(column: &'static str, what: &'static str) -> Plausible {
    not(column, what)
}

const ORDER: Plausible = number_of("order", "it is a number in an order");

/// What is plausible, table by table.
pub static TABLES: &[Table] = &[
    toml("docking.toml", "", &[not("format", "the program reads one format only")]),
    toml(
        "docking.toml",
        "ship",
        &[
            within("length_overall", 3.0, 500.0, "a ship that is docked is from 3 to 500 m long"),
            within(
                "length_between_perpendiculars",
                2.0,
                500.0,
                "a ship that is docked is from 3 to 500 m long",
            ),
            within("breadth", 0.8, 130.0, "no ship is broader than 130 m"),
            x("aft_perpendicular_x"),
            x("forward_perpendicular_x"),
            x("foremost_x"),
        ],
    ),
    toml(
        "docking.toml",
        "frames",
        &[
            number_of("from_frame", "it is a frame's number"),
            x("x"),
            within("spacing", 0.1, 8.0, "frames are from 0.2 m to some metres apart"),
        ],
    ),
    toml(
        "docking.toml",
        "dock",
        &[
            level("floor_level"),
            within("declivity", -3.0, 3.0, "a floor rises by less than 1 in 33"),
            level("sill_level"),
        ],
    ),
    toml("docking.toml", "plan", &[not("cost_of_a_landing", "it is a sum in any currency")]),
    toml(
        "docking.toml",
        "stability",
        &[
            within("kg", 0.1, 60.0, "no ship's centre of gravity lies 60 m above her keel"),
            within(
                "gm",
                -5.0,
                150.0,
                "only a wide pontoon has a GM of many metres, and none more than 150",
            ),
        ],
    ),
    toml(
        "docking.toml",
        "hydrostatics",
        &[
            x("lcb_lcf_from_x"),
            within(
                "water_density",
                0.97,
                1.07,
                "water in which ships float has from 0.99 to 1.03 t/m\u{b3}",
            ),
            within("trim", -8.0, 8.0, "no table is made for a trim of more than a few metres"),
        ],
    ),
    toml(
        "docking.toml",
        "archive",
        &[
            not(
                "dock_latitude",
                "every latitude is one of some dock; what is not on the earth is an error",
            ),
            not(
                "dock_longitude",
                "every longitude is one of some dock; what is not on the earth is an error",
            ),
        ],
    ),
    toml("docking.toml", "film", &[number_of("restriction_level", "it is a level from 1 to 5")]),
    toml(
        "docking.toml",
        "film_for_zone",
        &[number_of("restriction_level", "it is a level from 1 to 5")],
    ),
    // Of limits and tolerances the column is the bound's own name.
    toml(
        "docking.toml",
        "limits",
        &[
            within("anode_loss", 1.0, 100.0, "an anode can't lose more than all of itself"),
            within("bending_moment", 0.1, 1e7, "the largest hulls bear some million t m"),
            within(
                "floor_load",
                0.1,
                100_000.0,
                "a dock's floor bears from some to some hundred tonnes a metre",
            ),
            within(
                "floor_load_length",
                0.2,
                200.0,
                "the load on a metre is taken over some blocks",
            ),
            within("floor_pressure", 1.0, 100_000.0, "a dock's floor bears no more than rock"),
            within("shear_force", 0.1, 1e7, "the largest hulls bear some hundred thousand kN"),
            within(
                "bearing_pressure",
                100.0,
                60_000.0,
                "caps are of timber to concrete, which bear from some hundred kPa to some ten MPa",
            ),
            within(
                "climate_age",
                0.05,
                100.0,
                "the weather is read from every few minutes to every few days",
            ),
            within(
                "dewatering_rate",
                0.01,
                20.0,
                "docks are pumped by some centimetres to some metres an hour",
            ),
            within("dew_point_margin", 0.1, 20.0, "the margin that is asked is a few kelvins"),
            within("gap_rate", 0.001, 10.0, "a gap closes no faster than the water falls"),
            within("feathering", 0.0, 1.0, "edges are feathered over some centimetres"),
            within("gm", 0.0, 10.0, "the GM that is asked is some decimetres"),
            within(
                "humidity",
                30.0,
                100.0,
                "air has no more than 100 %, and no paint asks for a desert's",
            ),
            within("knuckle_load", 0.5, 30_000.0, "one block bears from a tonne to some hundred"),
            within("list", 0.01, 15.0, "a ship lands with a degree or two of list at most"),
            within(
                "end_gap",
                0.0,
                3.0,
                "an end that does not bear lies some decimetres over its blocks",
            ),
            within("never_exposed", 0.0, 10_000.0, "it is a part of a bottom"),
            within(
                "sill_clearance",
                0.0,
                20.0,
                "a ship is brought over a sill with some decimetres of water under her",
            ),
            within("opening_clearance", 0.0, 10.0, "openings are kept clear by some decimetres"),
            within(
                "paint_greatest",
                50.0,
                2_000.0,
                "it is a share of the paint that the film needs",
            ),
            within("paint_least", 5.0, 500.0, "it is a share of the paint that the film needs"),
            within("pit_depth", 0.5, 100.0, "a pit can't be deeper than the plate"),
            within(
                "position_from_plan",
                0.001,
                30.0,
                "she is to lie within centimetres of the plan, or metres where it matters little",
            ),
            within(
                "preparation_age",
                0.1,
                2_000.0,
                "blasted steel is coated within hours, or days where the air is dried",
            ),
            within("shift_overlap", 0.0, 3.0, "it is a margin round a cap"),
            within("trim", 0.0, 15.0, "a ship lands with some metres of trim at most"),
        ],
    ),
    toml(
        "docking.toml",
        "tolerances",
        &[
            within(
                "block_height",
                0.0001,
                0.3,
                "heights are levelled to millimetres, or taped to centimetres",
            ),
            within(
                "camera_clock",
                0.001,
                48.0,
                "a camera's clock is minutes off, or a day where its date was not set",
            ),
            within("centre", 0.001, 20.0, "a centre of gravity is known to centimetres or metres"),
            within("dew_point", 0.01, 5.0, "a dew point is known to some tenths of a kelvin"),
            within(
                "displacement",
                0.01,
                10_000.0,
                "a displacement is known to a few per mille at best, and of no ship to ten thousand tonnes",
            ),
            within("divers", 0.001, 1.0, "a diver's rule reads to millimetres or centimetres"),
            within("draft", 0.001, 1.0, "marks are read to centimetres"),
            within("frame", 0.001, 10.0, "frames are less than 10 m apart"),
            within("gap", 0.000_1, 0.3, "gaps are measured to millimetres"),
            within("gauge", 0.05, 50.0, "a gauge reads to some per cent"),
            within(
                "landing_check",
                0.000_1,
                2.0,
                "blocks and keels are measured to millimetres or centimetres",
            ),
            within("lift_off_draft", 0.001, 2.0, "drafts are read to centimetres"),
            within("list", 0.001, 5.0, "a list is known to parts of a degree"),
            within("offset", 0.000_1, 2.0, "where she lies is known to millimetres or centimetres"),
            within("plate_gauge", 0.000_001, 0.005, "plates are gauged to a tenth of a millimetre"),
            within(
                "plate_thickness",
                0.000_001,
                0.005,
                "plates are gauged to a tenth of a millimetre",
            ),
            within("shift", 0.000_1, 2.0, "where she lies is known to millimetres or centimetres"),
            within("side", 0.000_1, 5.0, "it is a distance from the centreline"),
            within("sighting", 0.000_1, 2.0, "sightings are good to millimetres or centimetres"),
            within(
                "station",
                0.000_1,
                2.0,
                "where she lies is known to millimetres or centimetres",
            ),
            within("water_level", 0.001, 2.0, "levels are read to centimetres"),
            within("wet_film", 0.5, 200.0, "it is a share of the film"),
            within("yaw", 0.000_1, 5.0, "a yaw is known to parts of a degree"),
            within("zone_area", 0.01, 50.0, "it is a share of a zone's area"),
        ],
    ),
    csv(
        "plan/blocks.csv",
        &[
            station("station"),
            offset("offset"),
            within(
                "length_fore_and_aft",
                0.05,
                15.0,
                "caps are from a hand's breadth to the length of a cradle",
            ),
            within(
                "width_athwart",
                0.05,
                15.0,
                "caps are from a hand's breadth to the width of a cradle",
            ),
            within(
                "height",
                0.1,
                12.0,
                "blocks are from 0.1 to some metres high, and no cradle is higher than 12 m",
            ),
            level("top_level"),
            within("clearance", -1.0, 5.0, "a bilge block stands within some metres of the hull"),
            within("skew", -360.0, 360.0, "a circle has 360\u{b0}"),
            within("mass", 0.005, 300.0, "blocks weigh from some kilograms to some hundred tonnes"),
            within(
                "bearing_limit",
                100.0,
                100_000.0,
                "caps are of timber to steel, which bear from some hundred kPa to some ten MPa",
            ),
        ],
    ),
    csv(
        "plan/layers.csv",
        &[
            ORDER,
            within(
                "thickness",
                0.001,
                12.0,
                "no block is higher than 12 m, and a layer has a millimetre at least",
            ),
            within("area", 0.001, 100.0, "a layer carries on from a plate's to a cradle's area"),
            within(
                "elastic_modulus",
                300.0,
                250e6,
                "no material is softer than rubber or stiffer than steel",
            ),
        ],
    ),
    csv(
        "plan/openings.csv",
        &[
            x("x"),
            y("y"),
            z("z"),
            within(
                "length_fore_and_aft",
                0.003,
                40.0,
                "openings are from a drain's to a moon pool's size",
            ),
            within(
                "width_athwart",
                0.003,
                40.0,
                "openings are from a drain's to a moon pool's size",
            ),
            within("diameter", 0.003, 12.0, "openings are from a drain's to a large tunnel's size"),
            within("frame", -100.0, 2_000.0, "no ship has more than 2000 frames"),
            within("clearance_wanted", 0.0, 10.0, "openings are kept clear by some decimetres"),
        ],
    ),
    csv("plan/opened.csv", &[]),
    csv("plan/bottom.csv", &[ORDER, x("x"), y("y")]),
    csv(
        "plan/keel.csv",
        &[
            x("x"),
            within(
                "rise",
                -8.0,
                30.0,
                "a keel rises by some metres at most, but under a yacht's or a tug's ends",
            ),
        ],
    ),
    csv("plan/positions.csv", &[station("srp_station"), offset("offset")]),
    csv(
        "positions/positions.csv",
        &[
            station("planned_srp_station"),
            offset("planned_offset"),
            station("recorded_srp_station"),
            offset("recorded_offset"),
            within("yaw", -20.0, 20.0, "a ship lies along her dock"),
            within("kg", 0.1, 60.0, "no ship's centre of gravity lies 60 m above her keel"),
        ],
    ),
    csv(
        "positions/marks.csv",
        &[x("hull_x"), y("hull_y"), station("dock_station"), offset("dock_offset")],
    ),
    csv(
        "positions/divers.csv",
        &[
            number_of("round", "it is a number in an order"),
            within("keel_offset", -5.0, 5.0, "a keel that is 5 m off is not over its blocks"),
            within("port_edge", -8.0, 8.0, "a cap is no wider than some metres"),
            within("starboard_edge", -8.0, 8.0, "a cap is no wider than some metres"),
            within("frame", -100.0, 2_000.0, "no ship has more than 2000 frames"),
            x("mark_x"),
            within("mark_ahead", -30.0, 30.0, "a diver measures to the nearest mark"),
        ],
    ),
    csv(
        "landing/hydrostatics.csv",
        &[
            within("draft", 0.02, 40.0, "no ship draws 40 m"),
            within("displacement", 0.1, 1e6, "no ship displaces a million tonnes"),
            within("lcb", -300.0, 520.0, "no ship is longer than 500 m"),
            within("lcf", -300.0, 520.0, "no ship is longer than 500 m"),
            within("tpc", 0.005, 700.0, "no waterplane is larger than 500 m by 130 m"),
            within("mct", 0.001, 20_000.0, "no ship is longer than 500 m"),
            within(
                "km",
                0.1,
                400.0,
                "only a wide pontoon at little draft has a metacentre far up, and none 400 m",
            ),
        ],
    ),
    csv(
        "landing/drafts.csv",
        &[
            x("mark_x"),
            y("mark_y"),
            within("planned_draft", 0.05, 40.0, "no ship draws 40 m"),
            within("draft", 0.05, 40.0, "no ship draws 40 m"),
            within(
                "water_density",
                0.97,
                1.07,
                "water in which ships float has from 0.99 to 1.03 t/m\u{b3}",
            ),
        ],
    ),
    csv("landing/water.csv", &[level("level")]),
    csv(
        "landing/crossings.csv",
        &[
            level("level"),
            within("draft_aft", 0.05, 40.0, "no ship draws 40 m"),
            within("draft_forward", 0.05, 40.0, "no ship draws 40 m"),
        ],
    ),
    csv(
        "landing/stops.csv",
        &[
            level("level"),
            within("gap_rate", 0.001, 10.0, "a gap closes no faster than the water falls"),
        ],
    ),
    csv(
        "landing/checks.csv",
        &[
            within("planned_value", -50.0, 150.0, "nothing that is checked under a ship is longer"),
            within(
                "recorded_value",
                -50.0,
                150.0,
                "nothing that is checked under a ship is longer",
            ),
        ],
    ),
    csv(
        "landing/bilge.csv",
        &[within("wedged", 0.0, 3.0, "wedges close some millimetres to decimetres")],
    ),
    csv(
        "landing/holds.csv",
        &[
            within("from_frame", -100.0, 2_000.0, "no ship has more than 2000 frames"),
            within("to_frame", -100.0, 2_000.0, "no ship has more than 2000 frames"),
        ],
    ),
    csv(
        "landing/gaps.csv",
        &[
            within("gap", 0.0, 8.0, "a cap lies within some metres of the hull"),
            within("water_depth", 0.0, 50.0, "no dock is 50 m deep"),
        ],
    ),
    csv(
        "landing/weights.csv",
        &[
            x("from_x"),
            x("to_x"),
            within(
                "mass",
                0.000_5,
                200_000.0,
                "a length of a ship weighs less than the largest ships",
            ),
            x("centre_x"),
        ],
    ),
    csv(
        "landing/stiffness.csv",
        &[
            x("from_x"),
            x("to_x"),
            within(
                "second_moment",
                1e-6,
                10_000.0,
                "the largest hulls have some thousand m\u{2074}",
            ),
            within("shear_area", 1e-5, 100.0, "the sides of the largest hulls have some m\u{b2}"),
            within(
                "elastic_modulus",
                1e6,
                250e6,
                "hulls are of plastics to steel, with 1 to 210 GPa",
            ),
            within(
                "shear_modulus",
                1e5,
                100e6,
                "hulls are of plastics to steel, with up to 80 GPa in shear",
            ),
        ],
    ),
    csv(
        "landing/buoyancy.csv",
        &[
            level("water_level"),
            x("from_x"),
            x("to_x"),
            within(
                "buoyancy",
                0.0,
                200_000.0,
                "a length of a ship displaces less than the largest ships",
            ),
        ],
    ),
    csv(
        "landing/moved.csv",
        &[
            within("mass", -50_000.0, 50_000.0, "no more is put on or taken off a ship in dock"),
            within(
                "planned_mass",
                -50_000.0,
                50_000.0,
                "no more is put on or taken off a ship in dock",
            ),
            x("x"),
            y("y"),
            z("z"),
            within("free_surface", -1e6, 1e6, "no tank in use is broader than the largest ships"),
        ],
    ),
    csv(
        "coating/zones.csv",
        &[
            ORDER,
            x("x"),
            y("y"),
            within(
                "true_area",
                0.005,
                60_000.0,
                "the largest hulls have some ten thousand m\u{b2}",
            ),
            z("lowest_z"),
        ],
    ),
    csv("coating/areas.csv", &[ORDER, x("x"), y("y")]),
    csv(
        "coating/scheme.csv",
        &[
            number_of("coat", "it is a coat's number"),
            coat("nominal_dft"),
            coat("least_dft"),
            coat("greatest_dft"),
            within(
                "least_profile",
                1e-6,
                0.000_5,
                "a blasted surface is from some to some hundred micrometres rough",
            ),
            within(
                "greatest_profile",
                1e-6,
                0.000_5,
                "a blasted surface is from some to some hundred micrometres rough",
            ),
            within(
                "greatest_salts",
                0.5,
                2_000.0,
                "limits on salts are from a few to some hundred mg/m\u{b2}",
            ),
            within(
                "greatest_chloride",
                0.5,
                2_000.0,
                "limits on salts are from a few to some hundred mg/m\u{b2}",
            ),
            within(
                "greatest_conductivity",
                0.5,
                2_000.0,
                "limits on salts are from some to some hundred \u{b5}S/cm",
            ),
            within(
                "holiday_voltage",
                1.0,
                60_000.0,
                "holidays are looked for with some volts to some ten kilovolts",
            ),
            within("least_pull_off", 100.0, 100_000.0, "coats hold to steel with some MPa"),
            within("greatest_cross_cut", 0.0, 5.0, "the class goes from 0 to 5"),
            within("least_rub_rating", 0.0, 5.0, "the rating goes from 0 to 5"),
            not("least_hardness", "scales of hardness are many"),
            within("greatest_dust", 0.0, 5.0, "the rating goes from 0 to 5"),
        ],
    ),
    csv(
        "coating/preparation.csv",
        &[
            within(
                "profile",
                0.0,
                0.000_6,
                "a blasted surface is from some to some hundred micrometres rough",
            ),
            within(
                "salts",
                0.0,
                20_000.0,
                "steel that was hosed down has from a few to some thousand mg/m\u{b2}",
            ),
            within(
                "chloride",
                0.0,
                20_000.0,
                "steel that was hosed down has from a few to some thousand mg/m\u{b2}",
            ),
            within(
                "conductivity",
                0.0,
                5_000.0,
                "a sample of salts has from some to some hundred \u{b5}S/cm",
            ),
            within("dust", 0.0, 5.0, "the rating goes from 0 to 5"),
            x("x"),
            y("y"),
        ],
    ),
    csv(
        "coating/coats.csv",
        &[
            number_of("coat", "it is a coat's number"),
            steel_temperature("coldest_steel"),
            steel_temperature("warmest_steel"),
            within(
                "used",
                0.01,
                100_000.0,
                "one application takes from a brush to the largest hull's paint",
            ),
            within("thinner_share", 0.0, 100.0, "paint is not thinned to less than half"),
            coat("wet_film"),
        ],
    ),
    csv(
        "coating/climate.csv",
        &[
            within(
                "air_temperature",
                -40.0,
                65.0,
                "nobody coats below -40 \u{b0}C, and no air is hotter than 60 \u{b0}C",
            ),
            within(
                "humidity",
                3.0,
                100.0,
                "air has no more than 100 %, and a desert's some per cent",
            ),
            steel_temperature("steel_temperature"),
            within(
                "dew_point",
                -50.0,
                40.0,
                "no air is more humid than a dew point of 36 \u{b0}C makes it",
            ),
        ],
    ),
    csv(
        "coating/film.csv",
        &[
            number_of("after_coat", "it is a coat's number"),
            within("reading", 0.0, 0.020, "a film has from a few micrometres to some millimetres"),
            x("x"),
            y("y"),
        ],
    ),
    csv(
        "coating/gauges.csv",
        &[
            within(
                "reference",
                2e-6,
                0.030,
                "foils for gauges have from some micrometres to some millimetres",
            ),
            within(
                "reading",
                0.0,
                0.030,
                "foils for gauges have from some micrometres to some millimetres",
            ),
            within(
                "profile_correction",
                0.0,
                0.000_3,
                "a blasted surface takes some ten micrometres from a reading",
            ),
        ],
    ),
    csv(
        "hull/plating.csv",
        &[
            x("x"),
            y("y"),
            within(
                "original",
                0.000_8,
                0.3,
                "a shell has from a millimetre to an icebreaker's or a battleship's armour",
            ),
            within("pit_depth", 0.000_01, 0.1, "a pit is not deeper than a plate"),
            within("pitted", 0.0, 100.0, "no more than all of a plate can be pitted"),
            within(
                "measured",
                0.000_1,
                0.3,
                "a shell has from a millimetre to an icebreaker's or a battleship's armour",
            ),
            within("loss_limit", 0.000_05, 0.1, "plates may lose some millimetres"),
            within("relative_loss_limit", 0.5, 100.0, "a plate can't lose more than all of itself"),
            within(
                "least_thickness",
                0.000_3,
                0.3,
                "a shell has from a millimetre to an icebreaker's or a battleship's armour",
            ),
        ],
    ),
    csv(
        "hull/anodes.csv",
        &[
            x("x"),
            y("y"),
            within(
                "mass_fitted",
                0.000_05,
                1.0,
                "anodes for hulls weigh from some grams to some hundred kilograms",
            ),
            within(
                "mass_found",
                0.0,
                1.0,
                "anodes for hulls weigh from some grams to some hundred kilograms",
            ),
        ],
    ),
    csv(
        "hull/instruments.csv",
        &[
            within(
                "reference",
                0.000_1,
                0.3,
                "steps for instruments have from a tenth to some hundred millimetres",
            ),
            within(
                "reading",
                0.000_1,
                0.3,
                "steps for instruments have from a tenth to some hundred millimetres",
            ),
        ],
    ),
    csv(
        "hull/repairs.csv",
        &[
            x("x"),
            y("y"),
            within("length", 0.005, 520.0, "no ship is longer than 500 m"),
            within("width", 0.005, 150.0, "no ship is broader than 130 m"),
        ],
    ),
    csv("coating/stripes.csv", &[number_of("before_coat", "it is a coat's number")]),
    csv(
        "coating/tests.csv",
        &[
            number_of("after_coat", "it is a coat's number"),
            within(
                "voltage",
                1.0,
                60_000.0,
                "holidays are looked for with some volts to some ten kilovolts",
            ),
            number_of("found", "it is a number of holidays"),
            within("pull_off", 0.0, 100_000.0, "coats hold to steel with some MPa"),
            within("cross_cut", 0.0, 5.0, "the class goes from 0 to 5"),
            within("rub_rating", 0.0, 5.0, "the rating goes from 0 to 5"),
            not("hardness", "scales of hardness are many"),
            x("x"),
            y("y"),
        ],
    ),
    csv("papers/papers.csv", &[]),
    csv("history/dockings.csv", &[]),
    toml(
        "coating/products.toml",
        "product",
        &[
            within("volume_solids", 3.0, 100.0, "no paint is more than solid"),
            coat("nominal_dft"),
            steel_temperature("lowest_steel"),
            steel_temperature("highest_steel"),
            within(
                "lowest_air",
                -40.0,
                65.0,
                "nobody coats below -40 \u{b0}C, and no air is hotter than 60 \u{b0}C",
            ),
            within(
                "highest_air",
                -40.0,
                65.0,
                "nobody coats below -40 \u{b0}C, and no air is hotter than 60 \u{b0}C",
            ),
            within(
                "greatest_humidity",
                20.0,
                100.0,
                "air has no more than 100 %, and no paint asks for a desert's",
            ),
            within("pot_life", 0.02, 3_000.0, "mixed paint lasts for minutes to days"),
            within("induction", 0.0, 24.0, "mixed paint stands for minutes to an hour"),
            within("greatest_thinner", 0.0, 100.0, "paint is not thinned to less than half"),
            within(
                "latest_immersion",
                1.0,
                100_000.0,
                "paint may wait for the water for days to years",
            ),
            within(
                "least_to_immersion",
                0.0,
                3_000.0,
                "paint is fit for the water after some hours to weeks",
            ),
            within("shelf_life", 24.0, 300_000.0, "paint keeps for months to some years"),
        ],
    ),
    toml(
        "coating/products.toml",
        "recoat",
        &[
            steel_temperature("steel_temperature"),
            within("least", 0.0, 2_000.0, "the next coat may follow after minutes to weeks"),
            within("greatest", 0.1, 100_000.0, "the next coat must follow after hours to years"),
        ],
    ),
    toml("coating/products.toml", "batch", &[]),
    toml("remarks.toml", "remark", &[]),
];

/// Whether a column holds numbers.
pub fn is_numeric(column: &Column) -> bool {
    matches!(
        column.holds,
        Holds::Whole { .. }
            | Holds::Number(_)
            | Holds::Measure(..)
            | Holds::Bound(_)
            | Holds::Draft
    )
}

/// What a column's numbers are held to. Of limits and tolerances `column` is the bound's name.
pub fn plausible(file: &str, table: &str, column: &str) -> Option<&'static Plausible> {
    let table = TABLES.iter().find(|known| known.file == file && known.table == table)?;
    table.columns.iter().find(|known| known.column == column)
}

#[cfg(test)]
mod tests {
    use super::super::bounds::{LIMITS, TOLERANCES};
    use super::super::{FILES, KEYED_FILES};
    use super::*;

    /// Every column of numbers, by file and table.
    fn numeric() -> Vec<(&'static str, &'static str, Vec<&'static str>)> {
        let names = |columns: &'static [Column]| {
            columns.iter().filter(|column| is_numeric(column)).map(|column| column.name).collect()
        };
        let mut all: Vec<(&str, &str, Vec<&str>)> =
            FILES.iter().map(|spec| (spec.path, "", names(spec.columns))).collect();
        for spec in KEYED_FILES {
            for table in [spec.top].iter().chain(spec.tables) {
                let columns: Vec<&str> = match table.name {
                    "limits" => LIMITS.iter().map(|bound| bound.name).collect(),
                    "tolerances" => TOLERANCES.iter().map(|bound| bound.name).collect(),
                    _ => names(table.keys),
                };
                all.push((spec.path, table.name, columns));
            }
        }
        all
    }

    #[test]
    fn every_column_of_numbers_has_its_line() {
        let mut missing = String::new();
        for (file, table, columns) in numeric() {
            for column in columns.iter().filter(|column| plausible(file, table, column).is_none()) {
                missing += &format!("\n  {file} {table} {column}");
            }
        }
        assert!(
            missing.is_empty(),
            "columns of numbers without a line in TABLES of records/plausible.rs:{missing}\nFor each add to its table \
             `within(\"column\", least, greatest, \"why\")`, in the kept unit and so wide that no honest record leaves it, or \
             `not(\"column\", \"why not\")`; for a new file or table a `csv(...)` or `toml(...)` too"
        );
        for table in TABLES {
            for column in table.columns {
                let known = numeric().into_iter().any(|(file, name, columns)| {
                    (file, name) == (table.file, table.table) && columns.contains(&column.column)
                });
                assert!(known, "{} {} has no column {}", table.file, table.table, column.column);
                assert!(!column.because.is_empty() && !column.because.ends_with('.'));
                if let Held::Within(least, greatest) = column.held {
                    assert!(least < greatest, "{} {}", table.file, column.column);
                }
            }
        }
    }

    /// A bound's default lies within what is plausible of it.
    #[test]
    fn defaults_are_plausible() {
        for (table, bounds) in [("limits", LIMITS), ("tolerances", TOLERANCES)] {
            for bound in bounds {
                let Some(default) = bound.default else { continue };
                let held = plausible("docking.toml", table, bound.name).map(|known| known.held);
                let Some(Held::Within(least, greatest)) = held else { panic!("{}", bound.name) };
                assert!((least..=greatest).contains(&default), "{}", bound.name);
            }
        }
    }
}
