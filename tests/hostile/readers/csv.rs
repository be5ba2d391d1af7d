//! The CSV files of the records.

use lastdock::records::grammar::orders::Calendar;
use lastdock::records::grammar::times::Clock;
use lastdock::records::problem::Problems;
use lastdock::records::sheet::{self, Sheet};
use lastdock::records::spec::{Column, FileSpec, Holds};
use lastdock::records::{FILES, docking};

use super::project::{Files, judged};

/// Words of these files.
pub const WORDS: &[&str] = &[
    ",",
    ";",
    "\t",
    "\"",
    "\"\"",
    "\n",
    "\r",
    "\r\n",
    "sep=;\n",
    "\u{feff}",
    "\u{0}",
    "note",
    "_m",
    "_mm",
    "_ft",
    "_t",
    "_kn",
    "_c",
    "_pct",
    "9/10/2031 7:00 AM",
    "12' 6 3/4\"\"",
    "-12-06",
    " 1/2",
    "1,234.5",
    " ft",
    "\u{b0}",
    "n/a",
    "none",
    "all",
    "exposed",
    "patches",
    "yes",
    "no",
    "NaN",
    "inf",
    "1e308",
    "-1e308",
    "1e-320",
    "1e309",
    "-0",
    "0",
    "1,5",
    "17-06",
    "17-12",
    "2031-04-09T06:40:00+01:00",
    "0001-01-01T00:00:00Z",
    "9999-12-31T23:59:60-23:59",
    "2031-04-09 06:40",
    "262143-01-01",
    "block:B1",
    "P1;P2",
    "keel",
    "bilge-port",
    "sea-chest",
    "bottom",
    "flat-keel",
    "side",
    "\u{1e}",
    "\u{1f}",
    "\u{15}",
    "99999999999999999999",
];

/// Reads one of the files in a project that is otherwise sound: whole, or cell by cell over the rows of the
/// example. What is read is written back and read again.
pub fn read(bytes: &[u8]) {
    let (which, rest) = super::first(bytes);
    let (how, rest) = super::first(rest);
    let spec = FILES[usize::from(which) % FILES.len()];
    let text = if how % 2 == 0 { rest.to_vec() } else { with_cells(spec.example, rest) };
    let mut files =
        if how / 2 % 2 == 0 { Files::example_ashore(spec.path) } else { Files::example() };
    files.put(spec.path, &text);
    if let Some(examined) = judged(&files) {
        let sheets = &examined.project.sheets;
        sheets.iter().filter(|sheet| sheet.spec.path == spec.path).for_each(is_kept_when_written);
    }
    // Alone it may be read where what refers to it can't be.
    let mut problems = Problems::default();
    let sheet = sheet::read(spec, &text, &calendar(), &mut problems);
    if problems.is_empty() {
        is_kept_when_written(&sheet);
    }
}

fn calendar() -> Calendar {
    debug_assert!(docking::SPEC.example.contains("offset = \"+01:00\""));
    Calendar { clock: Clock::of(chrono::FixedOffset::east_opt(3600)), ..Calendar::default() }
}

/// The rows of a CSV text with other cells in them: rows parted by 0x1E, cells by 0x1F. An empty cell leaves
/// what stands there, 0x15 empties it.
fn with_cells(text: &str, bytes: &[u8]) -> Vec<u8> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let mut rows: Vec<Vec<String>> = reader
        .records()
        .map(|row| row.expect("a row of the example").iter().map(String::from).collect())
        .collect();
    let model = rows.get(1).cloned().unwrap_or_default();
    for (at, row) in bytes.split(|byte| *byte == 0x1e).take(200).enumerate() {
        if rows.len() <= at + 1 {
            rows.push(model.clone());
        }
        for (cell, text) in rows[at + 1].iter_mut().zip(super::parts(row, 0x1f)) {
            match &*text {
                "" => {}
                "\u{15}" => cell.clear(),
                text => *cell = text.to_string(),
            }
        }
    }
    written(&rows)
}

fn written(rows: &[Vec<String>]) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for row in rows {
        writer.write_record(row).expect("to write to memory");
    }
    writer.into_inner().expect("to write to memory")
}

/// The rows that were read, as a CSV file again.
fn as_csv(sheet: &Sheet) -> Option<Vec<u8>> {
    let first = sheet.entries.first()?;
    let headings = first.written().map(|(_, heading, _)| heading.to_string());
    let mut rows = vec![headings.chain(sheet.note_columns.iter().cloned()).collect::<Vec<_>>()];
    for entry in &sheet.entries {
        let cells = entry.written().map(|(_, _, text)| text.unwrap_or_default());
        rows.push(cells.chain(entry.notes.iter().cloned()).collect());
    }
    Some(written(&rows))
}

/// Rows that were read without a problem are read again, the same, when they are written as they were read.
fn is_kept_when_written(sheet: &Sheet) {
    let Some(first) = as_csv(sheet) else { return };
    let mut problems = Problems::default();
    let again = sheet::read(sheet.spec, &first, &calendar(), &mut problems);
    let problems = problems.into_sorted();
    let shown = || String::from_utf8_lossy(&first).into_owned();
    assert!(problems.is_empty(), "{}\n{problems:#?}", shown());
    assert_eq!(sheet.entries.len(), again.entries.len(), "{}", shown());
    let second = as_csv(&again).expect("rows");
    assert_eq!(shown(), String::from_utf8_lossy(&second), "written twice");
}

/// Values at the ends of what a column may hold.
fn ends(holds: Holds) -> &'static [&'static str] {
    match holds {
        Holds::Number(_) | Holds::Measure(..) | Holds::Bound(_) | Holds::Draft => {
            &["1e300", "-1e300", "1e-300", "1e16", "0"]
        }
        Holds::Whole { .. } => &["9223372036854775807", "1"],
        Holds::Time => &[
            "0001-01-01T00:00:00Z",
            "9999-12-31T23:59:60-23:59",
            "+262142-12-31T23:59:59",
            "-262143-01-01T00:00:00",
        ],
        Holds::Date => &["0000-01-01", "9999-12-31"],
        _ => &[],
    }
}

/// For every column that holds a number or a time, an input for each end of it: in the first row, and in all.
pub fn inputs_at_the_ends() -> impl Iterator<Item = Vec<u8>> {
    let of_column = |(file, at, column): (usize, usize, &'static Column)| {
        let all = FILES[file].example.lines().count().saturating_sub(1).max(1);
        let before = "\u{1f}".repeat(at);
        ends(column.holds).iter().flat_map(move |end| {
            let row = format!("{before}{end}");
            [1, all].map(|rows| {
                let rows = vec![row.as_str(); rows].join("\u{1e}");
                [&[file as u8, b'3'], rows.as_bytes()].concat()
            })
        })
    };
    let headed = |(file, spec): (usize, &&'static FileSpec)| {
        let spec = *spec;
        let headings = spec.example.lines().next().unwrap_or_default().split(',').enumerate();
        headings.filter_map(move |(at, heading)| {
            let column = spec.columns.iter().find(|column| column.is_headed(heading))?;
            Some((file, at, column))
        })
    };
    FILES.iter().enumerate().flat_map(headed).flat_map(of_column)
}

/// Every file of the example, whole and cell by cell, and the beginnings of the sample's.
pub fn seeds() -> Vec<Vec<u8>> {
    const SAMPLE: [(&str, &str); 8] = [
        ("plan/blocks.csv", include_str!("../../../sample-project/plan/blocks.csv")),
        ("plan/openings.csv", include_str!("../../../sample-project/plan/openings.csv")),
        ("positions/marks.csv", include_str!("../../../sample-project/positions/marks.csv")),
        ("landing/water.csv", include_str!("../../../sample-project/landing/water.csv")),
        ("coating/zones.csv", include_str!("../../../sample-project/coating/zones.csv")),
        ("coating/coats.csv", include_str!("../../../sample-project/coating/coats.csv")),
        ("coating/film.csv", include_str!("../../../sample-project/coating/film.csv")),
        ("hull/plating.csv", include_str!("../../../sample-project/hull/plating.csv")),
    ];
    let mut seeds = Vec::new();
    for (number, spec) in FILES.iter().enumerate() {
        seeds.push([&[number as u8, b'0'], spec.example.as_bytes()].concat());
        let rows: Vec<String> =
            spec.example.lines().skip(1).map(|row| row.replace(',', "\u{1f}")).collect();
        seeds.push([&[number as u8, b'1'], rows.join("\u{1e}").as_bytes()].concat());
        for (_, text) in SAMPLE.iter().filter(|(path, _)| *path == spec.path) {
            let rows: Vec<&str> = text.lines().take(12).collect();
            seeds.push([&[number as u8, b'0'], rows.join("\r\n").as_bytes()].concat());
        }
    }
    seeds
}
