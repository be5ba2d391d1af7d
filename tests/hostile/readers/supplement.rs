//! Supplements, read against the bundle that they follow.

use lastdock::findings::examine;
use lastdock::records::corrected::{Line, note_on};
use lastdock::records::problem::Problems;
use lastdock::records::{errata, supplement};

use super::project::{Files, are_well_told};

/// Words of these files.
pub const WORDS: &[&str] = &[
    ",",
    "\"",
    "\n",
    "erratum",
    "stands",
    "right",
    "E1,,plan/blocks.csv,K1,,",
    "E2,,docking.toml,ship,,",
    "E3,fenwhin-2031-s1,hull/anodes.csv,AN1,,",
    "E4,,coating/products.toml,product.P1,,",
    "hull/anodes.csv",
    "papers/papers.csv",
    "../docking.toml",
    "supplement.toml",
    "errata.csv",
    "history/dockings.csv",
    "station_m",
    "height_mm",
    "name",
    "[parent]",
    "[first]",
    "[supplement]",
    "seal",
    "0000 1111",
    "made_on = 2034-06-12",
    "2034-06-12",
    "-1",
    "0",
    "4294967296",
    "9223372036854775808",
    "1e308",
    "NaN",
    "=1+1",
    "\u{1f}",
    "\u{1e}",
    "\u{0}",
    "\u{feff}",
    "\u{202e}",
];

const ANODES: &str = include_str!("../../../templates/supplement/hull/anodes.csv");

/// The files that are put in, one at a time.
const PLACES: [&str; 4] = [supplement::PATH, "errata.csv", "hull/anodes.csv", "plan/blocks.csv"];

/// Reads one of its files, the others being sound; an `errata.csv` also from its header on. What can be read is noted on
/// the corrected records, and these are examined.
pub fn read(bytes: &[u8]) {
    let (which, rest) = super::first(bytes);
    let (how, rest) = super::first(rest);
    let path = PLACES[usize::from(which) % PLACES.len()];
    let mut text = rest.to_vec();
    if how % 2 == 0 && path == errata::SPEC.path {
        let header = errata::SPEC.example.lines().next().unwrap_or_default();
        text = [header.as_bytes(), b"\n", rest].concat();
    }
    let mut first = Files::example_ashore("");
    first.retain(|path| !path.starts_with("history/"));
    first.closed_out = true;
    let mut own = Files::default();
    for (path, text) in [
        (supplement::PATH, supplement::SPEC.example),
        (errata::SPEC.path, errata::SPEC.example),
        ("hull/anodes.csv", ANODES),
    ] {
        own.put(path, text.as_bytes());
    }
    own.put(path, &text);
    own.closed_out = how / 2 % 2 == 1;
    let read = || {
        let mut line = Line::new(&first);
        line.add(&own, Problems::default()).map(|()| line.into_parts())
    };
    match (read(), read()) {
        (Ok((supplements, project)), Ok((again, _))) => {
            assert_eq!(format!("{supplements:?}"), format!("{again:?}"), "read twice");
            let project = project.expect("the corrected records");
            for sheet in &project.sheets {
                sheet.entries.iter().for_each(|entry| {
                    note_on(entry, &supplements);
                });
            }
            let _ = examine(project);
        }
        (Err(found), Err(again)) => {
            assert_eq!(found, again, "read twice, other problems");
            are_well_told(&own, &found);
        }
        _ => panic!("read twice, once refused"),
    }
}

/// Each file as the example has it.
pub fn seeds() -> Vec<Vec<u8>> {
    let seed = |which: u8, how: u8, text: &str| [&[which, how], text.as_bytes()].concat();
    let rows = errata::SPEC.example.split_once('\n').map_or("", |(_, rows)| rows);
    vec![
        seed(0, 0, supplement::SPEC.example),
        seed(1, 1, errata::SPEC.example),
        seed(1, 0, rows),
        seed(1, 2, rows),
        seed(2, 0, ANODES),
        seed(3, 0, "block,row,station_m,offset_m,length_mm,width_mm\nK77,keel,20,0,600,1200\n"),
    ]
}
