//! Cells of ten megabytes, numbers that are none, numbers beyond all measure.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use lastdock::records::FILES;
use lastdock::records::spec::{FileSpec, Holds};
use tempfile::TempDir;

use super::filled::{example, read, write};
use super::zips::bounded;
use crate::common::{Project, Said, squeezed, temporary};

fn check(project: &Path) -> Said {
    bounded(&["check".as_ref(), "--json".as_ref(), project.as_os_str()])
}

#[test]
fn a_text_of_ten_megabytes_is_refused_with_its_place() {
    let project = Project::copied();
    let long = "=#x".repeat(3_500_000);
    project.edit_cell("plan/openings.csv", "SC1", "state", &long);
    project.edit_cell("plan/openings.csv", "SC2", "note_service", &long);
    project.edit_cell("plan/openings.csv", "SC3", "x_m", &"1".repeat(10_000_000));
    let remark =
        project.text("remarks.toml").replacen("answer = \"", &format!("answer = \"{long}"), 1);
    project.write("remarks.toml", remark);
    let said = bounded(&["check".as_ref(), project.root().as_os_str()]);
    assert_eq!(said.status, 1);
    let told = squeezed(&said.out);
    for wanted in [
        "is 10500000 characters long",
        "is 10000000 characters long",
        "state",
        "note_service",
        "answer",
    ] {
        assert!(told.contains(&squeezed(wanted)), "{wanted}");
    }
    assert!(said.out.len() < 20_000, "{} bytes were said", said.out.len());
}

/// What somebody could hand in to have the program run out of memory: many small rows, cells or keys, and all of
/// them wrong.
#[test]
fn files_of_very_many_rows_cells_or_problems_are_told_in_little_memory() {
    const FILM: &str = "coating/film.csv";
    const HEADER: &str = "zone,after_coat,reading_um\n";
    let rows = |row: &str, count: usize| format!("{HEADER}{}", row.repeat(count));
    let keys: String = (0..900_000).map(|n| format!("k{n}=[{{}}]\n")).collect();
    let cases: [(&str, String, &str); 5] = [
        (FILM, rows("K,1,100\n", 1_000_001), "has 1000002 lines"),
        (FILM, format!("{HEADER}{}\n", ",".repeat(12_000_000)), "12000004 cells"),
        (FILM, rows("Q?,x,y\n", 900_000), "has more problems than are listed"),
        ("docking.toml", keys, "is not a table of this file"),
        ("remarks.toml", "#\n".repeat(9 << 20), "is 18874368 bytes long"),
    ];
    for (path, text, says) in cases {
        let project = Project::copied();
        project.write(path, text);
        let said = bounded(&["check".as_ref(), project.root().as_os_str()]);
        let out: String = said.out.chars().take(3000).collect();
        assert_eq!(said.status, 1, "{says}: {out}{}", said.err);
        assert!(squeezed(&said.out).contains(&squeezed(says)), "{says}: {out}");
    }
}

/// A column of numbers of a file.
fn is_number(spec: &FileSpec, heading: &str) -> bool {
    let column = spec.columns.iter().find(|column| column.is_headed(heading));
    column.is_some_and(|column| {
        column.quantity().is_some()
            || matches!(column.holds, Holds::Number(_) | Holds::Whole { .. })
    })
}

/// The example with every number of one file, or of all, put in the place of others; and how many columns.
fn with_numbers(only: Option<&str>, number: &str) -> (TempDir, PathBuf, usize) {
    let keep = temporary();
    let project = keep.path().join("project");
    example(&project);
    let mut columns = 0;
    for spec in FILES.iter().filter(|spec| only.is_none_or(|only| only == spec.path)) {
        let path = project.join(spec.path);
        let mut rows = read(&path);
        for at in 0..rows[0].len() {
            if is_number(spec, &rows[0][at]) {
                columns += 1;
                rows.iter_mut().skip(1).for_each(|row| row[at] = number.to_string());
            }
        }
        write(&path, &rows);
    }
    (keep, project, columns)
}

/// Holds that a number is refused in every column in which it stands.
#[track_caller]
fn refused_everywhere(number: &str) {
    let (_keep, project, columns) = with_numbers(None, number);
    let said = check(&project).exits(1).json();
    let problems = said["problems"].as_array().expect("problems");
    let places: BTreeSet<_> = problems
        .iter()
        .filter(|problem| problem["value"] == number)
        .map(|problem| (problem["file"].to_string(), problem["name"].to_string()))
        .collect();
    assert_eq!(places.len(), columns, "{number}: {places:?}");
}

#[test]
fn what_is_no_finite_number_is_named_wherever_it_stands() {
    ["NaN", "inf", "-inf", "infinity", "1e309", "0x10", "1_000"]
        .into_iter()
        .for_each(refused_everywhere);
}

#[test]
fn what_no_docking_measures_is_refused_wherever_it_stands() {
    // Sums, moments and areas of such numbers are infinite, or a quotient by them is.
    ["1e300", "-1e300", "1e-300"].into_iter().for_each(refused_everywhere);
}

#[test]
fn what_comes_out_of_the_greatest_and_the_least_of_numbers_is_finite() {
    for number in ["1e11", "-1e11", "1e-11", "1e-9", "0", "1000000000"] {
        for spec in FILES {
            let (_keep, project, columns) = with_numbers(Some(spec.path), number);
            if columns == 0 {
                continue;
            }
            let said = check(&project);
            let told = format!("{number} in {}\n{}{}", spec.path, said.out, said.err);
            assert!([0, 1, 3].contains(&said.status), "status {}: {told}", said.status);
            assert!(!said.err.contains("panicked"), "{told}");
            let words = said.out.split(|c: char| !c.is_alphanumeric());
            let endless = words.filter(|word| ["inf", "NaN", "infinity"].contains(word)).count();
            assert_eq!(endless, 0, "{told}");
        }
    }
}

#[test]
fn numbers_beyond_all_measure_stop_nothing() {
    for number in ["1e300", "-1e300", "1e-300", "0", "4294967296", "9223372036854775807"] {
        for spec in FILES {
            let (_keep, project, columns) = with_numbers(Some(spec.path), number);
            if columns == 0 {
                continue;
            }
            let said = check(&project);
            let told = format!("{number} in {}\n{}{}", spec.path, said.out, said.err);
            assert!([0, 1, 3].contains(&said.status), "status {}: {told}", said.status);
            assert!(!said.err.contains("panicked"), "{told}");
        }
    }
}

/// Characters that no text may hold, and in names those that turn a line round: by file, line, column and value,
/// with what to do.
#[test]
fn controls_in_cells_and_what_turns_a_name_round_are_told_with_their_place() {
    let openings = "plan/openings.csv";
    for c in ['\0', '\u{1b}', '\u{7}', '\u{7f}', '\u{9b}', '\u{85}'] {
        let project = Project::copied();
        project.edit_cell(openings, "SC1", "state", &format!("good{c}[5m as found"));
        project.edit_cell(openings, "SC1", "opened_by", &format!("Q{c}Q"));
        let json = check(&project.root()).exits(1).json();
        let problems = json["problems"].as_array().expect("problems");
        assert_eq!(problems.len(), 2, "{c:?}: {problems:#?}");
        for (problem, name) in problems.iter().zip(["opened_by", "state"]) {
            assert_eq!(problem["name"], name, "{c:?}");
            assert!(problem["line"].is_u64() && problem["column"].is_u64(), "{c:?}");
            assert!(problem["value"].as_str().is_some_and(|value| value.contains(c)), "{c:?}");
            let code = format!("control character U+{:04X}", u32::from(c));
            assert!(problem["wrong"].as_str().is_some_and(|wrong| wrong.contains(&code)), "{c:?}");
            assert!(problem["advice"].as_str().is_some_and(|advice| !advice.is_empty()), "{c:?}");
        }
        let said = bounded(&["check".as_ref(), project.root().as_os_str()]).exits(1);
        assert!(said.out.contains(&c.escape_unicode().to_string()), "{c:?}: {}", said.out);
    }
    for c in ['\u{202a}', '\u{202e}', '\u{2066}', '\u{2069}', '\u{2028}', '\n', '\u{1b}'] {
        let project = Project::copied();
        let toml = match c {
            '\n' => "\\n".to_string(),
            '\u{1b}' => "\\u001b".to_string(),
            c => c.to_string(),
        };
        let docking = project.text("docking.toml");
        let name = docking.lines().find(|line| line.starts_with("name = ")).expect("a name");
        let other = name.replacen("name = \"", &format!("name = \"Q{toml}"), 1);
        project.write("docking.toml", docking.replacen(name, &other, 1));
        let json = check(&project.root()).exits(1).json();
        let problems = json["problems"].as_array().expect("problems");
        assert_eq!(problems.len(), 1, "{c:?}: {problems:#?}");
        assert_eq!(
            (&problems[0]["file"], &problems[0]["name"]),
            (&"docking.toml".into(), &"name".into())
        );
        let code = format!("U+{:04X}", u32::from(c));
        assert!(problems[0]["wrong"].as_str().is_some_and(|wrong| wrong.contains(&code)), "{c:?}");
    }
    let project = Project::copied();
    // In a text they stand in what somebody quotes, and the marks of scripts stand in names, too.
    project.edit_cell(openings, "SC1", "state", "one\u{202e}two\u{202c}\n\tthree");
    project.edit_cell(openings, "SC1", "opened_by", "\u{5d0}\u{200f}\u{200e}\u{61c}");
    assert!(check(&project.root()).json()["problems"].is_null());
}

#[test]
fn a_bundle_has_no_name_that_a_tool_or_a_system_takes_for_something_else() {
    for name in
        ["-rf", "--out", "CON", "con", "Aux", "NUL", "COM1", "lpt9", "COM\u{b9}", "wren.", "wren ."]
    {
        let project = Project::copied();
        let docking = project.text("docking.toml");
        let line = docking.lines().find(|line| line.starts_with("bundle_name")).expect("a name");
        project
            .write("docking.toml", docking.replacen(line, &format!("bundle_name = \"{name}\""), 1));
        let json = check(&project.root()).exits(1).json();
        let problems = json["problems"].as_array().expect("problems");
        assert!(
            !problems.is_empty() && problems.iter().all(|one| one["name"] == "bundle_name"),
            "{name}: {problems:#?}"
        );
        assert_eq!(problems[0]["value"], name);
    }
    // What papers are called is held to the same, but for the first sign.
    for name in [
        "CON",
        "aux.txt",
        "com1.png",
        "LPT\u{b2}.txt",
        "CONIN$",
        "a.",
        "a ",
        "turned\u{202e}gnp.txt",
    ] {
        let project = Project::copied();
        project.write(&format!("papers/{name}"), "x");
        let json = check(&project.root()).exits(1).json();
        let told = json["problems"].to_string();
        assert!(told.contains("a name that every system accepts"), "{name}: {told}");
    }
}
