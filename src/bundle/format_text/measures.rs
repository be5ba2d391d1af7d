//! Chapters 6 to 8: axes and signs, units, limits and tolerances.

use super::page::Page;
use crate::records::bounds::{BoundSpec, LIMITS, TOLERANCES};
use crate::records::plausible::{Held, TABLES, Table};
use crate::records::{FILES, KEYED_FILES};
use crate::units::{ALSO, Quantity, STANDARD_GRAVITY_M_PER_S2, UNITS, nine_digits};

pub(super) fn write(page: &mut Page) {
    page.chapter("6 Axes and signs");
    for text in [
        "Hull axes: x in metres forward of the SRP, y in metres to port of the centreline, z in metres \
         above the underside of the keel.",
        "Dock axes: station in metres along the dock's centreline from the dock's datum, growing in the \
         direction in which the bow points; offset in metres to the ship's port side; level in metres \
         above the dock's level datum. docking.toml says in words where the datums are.",
        "A docking position is the station and the offset of the SRP, and the yaw. A block stands in dock \
         axes. On the hull it bears at x = station - srp_station, y = offset - centreline_offset, then \
         turned by -yaw about the SRP: x' = x cos(yaw) + y sin(yaw), y' = y cos(yaw) - x sin(yaw).",
        "A ship moved aft by 0.70 m has an srp_station smaller by 0.70 m, and each block then bears 0.70 m \
         further forward on her.",
        "Yaw and skew are anticlockwise seen from above: + bow to port. Skew turns a cap about its centre, \
         in dock axes. Trim is + by the stern, list + to port, hog + and sag -, level + upward.",
        "A yaw that is not recorded is not known; footprints take it as 0, and the findings say so.",
    ] {
        page.item(text);
    }
    page.chapter("7 Units");
    page.says(
        "A number in the unit times the factor, plus the offset where one is given, is the number in the \
         kept unit of its quantity, which is that of data/tables/. The factors are those of NIST SP 811 \
         (2008), appendix B, to nine digits.",
    );
    page.says(&format!(
        "Between mass and force g = {STANDARD_GRAVITY_M_PER_S2} m/s2. lt is the long ton of 2240 lb, st the \
         short ton of 2000 lb, gal the US gallon, mil a thousandth of an inch. A temperature difference in \
         c or f takes no offset.",
    ));
    let mut quantities: Vec<Quantity> = UNITS.iter().map(|unit| unit.quantity).collect();
    quantities.dedup();
    for quantity in quantities {
        page.entry(
            &format!("{}: kept in {}", quantity.name(), quantity.kept().suffix),
            &quantity
                .accepted()
                .map(|unit| match unit.offset {
                    0.0 => format!("{} {}", unit.suffix, nine_digits(unit.factor)),
                    offset => format!(
                        "{} {} and {} added",
                        unit.suffix,
                        nine_digits(unit.factor),
                        nine_digits(offset)
                    ),
                })
                .collect::<Vec<_>>()
                .join(", "),
        );
    }
    let also: Vec<String> = ALSO.iter().map(|(also, unit)| format!("{also} is {unit}")).collect();
    page.says(&format!(
        "Other words for units, at the end of a column's name, with a space for _ behind a number: {}. sg, the specific \
         gravity of water, is read as its density against water of 1 t/m3.",
        also.join(", ")
    ));
    page.chapter("8 Limits and tolerances");
    page.says(
        "docking.toml may state each as a table [limits.NAME] or [tolerances.NAME] with value, unit and \
         source. A limit is what a true record must keep within; without a value and a default it is not \
         recorded. A tolerance is how far a record and its recomputation may differ and still agree.",
    );
    page.section("Limits");
    LIMITS.iter().for_each(|spec| bound(page, spec));
    page.section("Tolerances");
    TOLERANCES.iter().for_each(|spec| bound(page, spec));
    plausible(page);
}

/// Which numbers are plausible, file by file.
fn plausible(page: &mut Page) {
    page.section("Plausible numbers");
    page.says(
        "No number is refused for its size. One that lies outside of these ranges is a finding that names the unit or the \
         decimal point that would make it plausible: they are so wide that no honest record leaves them. What is plausible \
         of this ship and dock besides is said in such findings themselves. Ranges are in the kept units.",
    );
    let unit = |table: &Table, column: &str| {
        let bounds = [("limits", LIMITS), ("tolerances", TOLERANCES)];
        let bound = bounds.iter().find(|(name, _)| *name == table.table);
        let of_bound = bound.and_then(|(_, all)| all.iter().find(|spec| spec.name == column));
        let of_file = FILES.iter().filter(|spec| spec.path == table.file).map(|spec| spec.columns);
        let tables = KEYED_FILES.iter().filter(|spec| spec.path == table.file);
        let of_tables =
            tables.flat_map(|spec| spec.tables).filter(|keyed| keyed.name == table.table);
        let mut columns = of_file.chain(of_tables.map(|keyed| keyed.keys)).flatten();
        let quantity = of_bound.map(|spec| spec.quantity);
        let quantity = quantity.or_else(|| columns.find(|known| known.name == column)?.quantity());
        quantity.map_or(String::new(), |quantity| format!(" {}", quantity.kept().suffix))
    };
    for table in TABLES {
        for known in table.columns {
            let Held::Within(least, greatest) = known.held else { continue };
            let name = match table.table {
                "" => table.file.to_string(),
                name => format!("{} [{name}]", table.file),
            };
            let range = format!("{} to {}", nine_digits(least), nine_digits(greatest));
            let unit = unit(table, known.column);
            page.entry(&format!("{name}, {}: {range}{unit}", known.column), known.because);
        }
    }
}

fn bound(page: &mut Page, spec: &BoundSpec) {
    let default = match spec.default {
        Some(value) => {
            let unit = spec.printed_unit();
            format!("default {} {}", nine_digits(unit.from_kept(value)), unit.suffix)
        }
        None => "no default".to_string(),
    };
    page.entry(&format!("{}: {}, {default}", spec.name, spec.quantity.name()), spec.meaning);
}
