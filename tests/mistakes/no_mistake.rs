//! What is no mistake: files as other systems and editors save them give the very same findings.

use crate::common::{Project, program, run, sample};

/// The findings of a project as JSON.
#[track_caller]
fn findings(project: &Project) -> serde_json::Value {
    run(program().args(["check", "--json"]).arg(project.root())).exits(0).json()
}

/// Every CSV file of the sample.
fn csv_files() -> Vec<String> {
    let folder = lastdock::records::store::Folder::open(&sample(), &mut Default::default());
    let paths = lastdock::records::store::Store::sizes(&folder).keys();
    paths.filter(|path| path.ends_with(".csv")).cloned().collect()
}

#[test]
fn ends_of_lines_and_byte_order_marks_make_no_difference() {
    let plain = findings(&Project::copied());
    assert!(plain["findings"].as_array().is_some_and(|findings| findings.len() > 500));
    type Change = (&'static str, fn(String) -> String);
    let changes: [Change; 3] = [
        ("CR LF", |text| text.replace('\n', "\r\n")),
        ("byte order mark", |text| format!("\u{feff}{text}")),
        ("no end of the last line", |text| text.trim_end().to_string()),
    ];
    for (what, change) in changes {
        let project = Project::copied();
        for file in csv_files().into_iter().chain(["docking.toml".into(), "remarks.toml".into()]) {
            project.write(&file, change(project.text(&file)));
        }
        let changed = findings(&project);
        // A byte order mark is no character of the file's first line.
        assert!(changed == plain, "{what}");
    }
}

/// Blank lines move the places that findings point to, and nothing else.
#[test]
fn blank_lines_move_the_places_only() {
    let moved_back = |project: &Project, lines: u64| {
        let mut said = findings(project);
        for finding in said["findings"].as_array_mut().expect("findings") {
            for place in finding["records"].as_array_mut().expect("records") {
                // A finding on a table as a whole names the file alone.
                let is_csv = place["file"].as_str().is_some_and(|file| file.ends_with(".csv"));
                if let Some(line) = place["line"].as_u64().filter(|_| is_csv) {
                    place["line"] = (line - lines).into();
                }
            }
            let source = finding["against"].as_object_mut().and_then(|a| a.get_mut("source"));
            if let Some(source) = source.filter(|s| s.as_str().unwrap_or("").contains(".csv:")) {
                source.take();
            }
        }
        said
    };
    let spaced = Project::copied();
    for file in csv_files() {
        spaced.write(&file, spaced.text(&file).replacen('\n', "\n\n\n", 1));
    }
    assert!(moved_back(&spaced, 2) == moved_back(&Project::copied(), 0));
}

/// What people write in a cell is read as what it means, and changes no finding.
#[test]
fn cells_as_people_write_them_make_no_difference() {
    let plain = findings(&Project::copied());
    for (file, row, column, text) in [
        ("plan/blocks.csv", "K3", "length_mm", "600 mm"),
        ("plan/blocks.csv", "K3", "width_mm", "1,200.0"),
        ("plan/blocks.csv", "K3", "height_mm", "1 350.0"),
        ("plan/blocks.csv", "K3", "offset_m", "\u{2212}0.005"),
        ("plan/blocks.csv", "K3", "skew_deg", "0\u{b0}"),
        ("plan/blocks.csv", "K3", "row", "Keel"),
        ("plan/blocks.csv", "K3", "positions", "-"),
        ("plan/blocks.csv", "K3", "clearance_mm", "n/a"),
        ("landing/gaps.csv", "P1", "block", "k01"),
        ("positions/positions.csv", "P1", "dry", "07.04.2031 16:50"),
        ("positions/positions.csv", "P1", "dry", "4/7/2031 4:50 PM"),
        ("positions/positions.csv", "P1", "dry", "7 Apr 2031 1650"),
        ("plan/openings.csv", "SC1", "side", "P"),
        ("papers/papers.csv", "letter-k23.txt", "for_next_time", "Y"),
    ] {
        let project = Project::copied();
        project.edit_cell(file, row, column, text);
        let changed = findings(&project);
        assert!(changed == plain, "{column} of {row} in {file} written {text}");
    }
}
