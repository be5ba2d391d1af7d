//! Broken copies of the sample project: what the program says of each mistake, that it says everything
//! in one run, exits with 1, and writes nothing.

mod common;

use std::fs;

use common::{Project, closeout, files, run, sample, squeezed};

/// One way in which a project's files can be wrong.
struct Mistake {
    /// What is wrong, in words.
    what: &'static str,
    /// Makes the mistake.
    make: fn(&Project),
    /// What must be said: place with line, column and header; value; what was expected; what to do.
    says: &'static [&'static str],
    /// How many things there are to mend: the mistake itself, and no consequence of it.
    things: usize,
}

const BLOCKS: &str = "plan/blocks.csv";
const OPENINGS: &str = "plan/openings.csv";
const BOTTOM: &str = "plan/bottom.csv";
const POSITIONS: &str = "positions/positions.csv";
const MARKS: &str = "positions/marks.csv";
const PAPERS: &str = "papers/papers.csv";
const DOCKING: &str = "docking.toml";
const REMARKS: &str = "remarks.toml";

const IN_COLUMNS: &[Mistake] = &[
    Mistake {
        what: "an unknown column",
        make: |p| p.edit(BLOCKS, ",bearing_limit_kpa,", ",paint_shade,"),
        says: &[
            "plan/blocks.csv:1:13 (header): \"paint_shade\" is not known",
            "begin its name with note",
        ],
        things: 1,
    },
    Mistake {
        what: "a misspelt column",
        make: |p| p.edit(BLOCKS, ",cap_material,", ",cap_matreial,"),
        says: &[
            "plan/blocks.csv:1:11 (header): \"cap_matreial\" is not known",
            "call it cap_material",
        ],
        things: 1,
    },
    Mistake {
        what: "a column that stands twice",
        make: |p| p.edit(BLOCKS, ",top_level_m,", ",height_m,"),
        says: &["plan/blocks.csv:1:8 (header): \"height_m\" is a column that stands here twice"],
        things: 1,
    },
    Mistake {
        what: "a column that every row needs, absent",
        make: |p| p.edit(BOTTOM, "part,order,x_m,y_m", "part,order,x_m,note_y"),
        says: &["plan/bottom.csv:1: has no column y_m", "add the column"],
        things: 1,
    },
    Mistake {
        what: "a column without its unit",
        make: |p| p.edit(BLOCKS, ",station_m,", ",station,"),
        says: &[
            "plan/blocks.csv:1:3 (header): \"station\" does not say its unit",
            "expected: station_m, station_cm, station_mm, station_um, station_ft, station_in or station_mil",
        ],
        things: 2,
    },
    Mistake {
        what: "a column with the unit of another quantity",
        make: |p| p.edit(BLOCKS, ",mass_t,", ",mass_kpa,"),
        says: &[
            "plan/blocks.csv:1:12 (header): \"mass_kpa\" ends in kpa, which is not a unit for a mass",
            "mass_t, mass_kg, mass_lb, mass_lt or mass_st",
        ],
        things: 1,
    },
    Mistake {
        what: "a column with a unit that nobody knows",
        make: |p| p.edit(BLOCKS, ",mass_t,", ",mass_stone,"),
        says: &[
            "plan/blocks.csv:1:12 (header): \"mass_stone\" ends in stone, which is not a unit for a mass",
        ],
        things: 1,
    },
    Mistake {
        what: "a unit on a column that has none",
        make: |p| p.edit(OPENINGS, ",valve_tag,", ",valve_tag_mm,"),
        says: &["plan/openings.csv:1:12 (header): \"valve_tag_mm\"", "call the column valve_tag"],
        things: 1,
    },
    Mistake {
        what: "no header row",
        make: |p| p.write(BOTTOM, ""),
        says: &[
            "plan/bottom.csv: has no header row",
            "remove the file if there is nothing to record",
        ],
        things: 1,
    },
];

const IN_ROWS: &[Mistake] = &[
    Mistake {
        what: "an id given twice",
        make: |p| p.edit(BLOCKS, "\nK13,", "\nK12,"),
        says: &[
            "plan/blocks.csv:14:1 (block): \"K12\" is the name of a block that stands at plan/blocks.csv:13:1",
            "rename one of the two",
        ],
        things: 1,
    },
    Mistake {
        what: "ids that differ in capital letters only",
        make: |p| p.edit(BLOCKS, "\nK13,", "\nk12,"),
        says: &[
            "plan/blocks.csv:14:1 (block): \"k12\" differs from K12 at plan/blocks.csv:13:1 (block) in capital letters only",
        ],
        things: 1,
    },
    Mistake {
        what: "an id with a space in it",
        make: |p| p.edit(BLOCKS, "\nK3,", "\nK 3,"),
        says: &["plan/blocks.csv:4:1 (block): \"K 3\"", "call it K-3"],
        things: 1,
    },
    Mistake {
        what: "an empty cell that must be filled",
        make: |p| p.edit_cell(BLOCKS, "K3", "station_m", ""),
        says: &["plan/blocks.csv:4:3 (station_m): is empty", "fill it in"],
        things: 1,
    },
    Mistake {
        what: "a row with too many cells",
        make: |p| p.edit(BOTTOM, "bottom,2,8.00,-0.24", "bottom,2,8,00,-0,24"),
        says: &[
            "plan/bottom.csv:3: this row has 6 cells",
            "expected: 4 cells",
            "into quotation marks",
        ],
        things: 1,
    },
    Mistake {
        what: "a row with too few cells",
        make: |p| p.edit(BOTTOM, "bottom,2,8.00,-0.24", "bottom,2,8.00"),
        says: &["plan/bottom.csv:3: this row has 3 cells", "add the missing commas"],
        things: 1,
    },
    Mistake {
        what: "a quotation mark left open",
        make: |p| p.edit(POSITIONS, "\nP2,", "\n\"P2,"),
        says: &[
            "positions/positions.csv:3: a quotation mark that opens in this row is never closed",
        ],
        things: 1,
    },
    Mistake {
        what: "not a number",
        make: |p| p.edit_cell(BLOCKS, "K3", "station_m", "NaN"),
        says: &[
            "plan/blocks.csv:4:3 (station_m): \"NaN\" is not a",
            "a number with a decimal point",
        ],
        things: 1,
    },
    Mistake {
        what: "infinity",
        make: |p| p.edit_cell(BLOCKS, "K3", "height_mm", "inf"),
        says: &[
            "plan/blocks.csv:4:7 (height_mm): \"inf\" is not a",
            "a number with a decimal point",
        ],
        things: 1,
    },
    Mistake {
        what: "a number too large for any machine",
        make: |p| p.edit_cell(BLOCKS, "K3", "offset_m", "1e999"),
        says: &["plan/blocks.csv:4:4 (offset_m): \"1e999\" is not a finite number"],
        things: 1,
    },
    Mistake {
        what: "a decimal comma",
        make: |p| p.edit_cell(BLOCKS, "K3", "station_m", "24,30"),
        says: &["plan/blocks.csv:4:3 (station_m): \"24,30\"", "write 24.30"],
        things: 1,
    },
    Mistake {
        what: "a number with its unit in the cell",
        make: |p| p.edit_cell(BLOCKS, "K3", "length_mm", "600 mm"),
        says: &[
            "plan/blocks.csv:4:5 (length_mm): \"600 mm\" is not a number",
            "its unit stands at the end of the column's name",
        ],
        things: 1,
    },
    Mistake {
        what: "a size of zero",
        make: |p| p.edit_cell(BLOCKS, "K3", "length_mm", "0"),
        says: &["plan/blocks.csv:4:5 (length_mm): \"0\" can't be right", "a number greater than 0"],
        things: 1,
    },
    Mistake {
        what: "a negative size",
        make: |p| p.edit_cell(OPENINGS, "SC1", "width_mm", "-800"),
        says: &[
            "plan/openings.csv:2:7 (width_mm): \"-800\" can't be right",
            "a number greater than 0",
        ],
        things: 1,
    },
    Mistake {
        what: "a word that the column does not know",
        make: |p| p.edit_cell(BLOCKS, "K3", "row", "kell"),
        says: &[
            "plan/blocks.csv:4:2 (row): \"kell\"",
            "keel, bilge-port, bilge-starboard or other",
            "write keel",
        ],
        things: 1,
    },
    Mistake {
        what: "a time that no calendar has",
        make: |p| p.edit_cell(POSITIONS, "P1", "dry", "2031-04-31T16:50:00+01:00"),
        says: &["positions/positions.csv:2:10 (dry): \"2031-04-31T16:50:00+01:00\" is not a time"],
        things: 1,
    },
    Mistake {
        what: "neither yes nor no",
        make: |p| p.edit_cell(PAPERS, "bow-clear.png", "in_report", "perhaps"),
        says: &["papers/papers.csv:5:7 (in_report): \"perhaps\" is neither yes nor no"],
        things: 1,
    },
    Mistake {
        what: "a reference to a position that is not there",
        make: |p| p.edit_cell(BLOCKS, "K3", "positions", "P1;P3"),
        says: &[
            "plan/blocks.csv:4:14 (positions): \"P3\" is not a position of this project",
            "expected: P1, P2",
        ],
        things: 1,
    },
    Mistake {
        what: "a sighting in a position that is not there",
        make: |p| p.edit(MARKS, "P2,M5,", "P9,M5,"),
        says: &["positions/marks.csv:14:1 (position): \"P9\" is not a position of this project"],
        things: 1,
    },
    Mistake {
        what: "a reference to an opening that is not there",
        make: |p| p.edit("plan/opened.csv", "DP10,", "DP77,"),
        says: &["plan/opened.csv:6:1 (opening): \"DP77\" is not an opening of this project"],
        things: 1,
    },
    Mistake {
        what: "a paper about a thing that is not there",
        make: |p| p.edit_cell(PAPERS, "bow-clear.png", "about", "K63;SC33;P1"),
        says: &[
            "papers/papers.csv:5:3 (about): \"SC33\" is not a thing of this project",
            "write SC3",
        ],
        things: 1,
    },
    Mistake {
        what: "a paper listed twice",
        make: |p| p.edit(PAPERS, "\nbow-clear.png,", "\nplug-dp4.png,"),
        says: &["papers/papers.csv:6:1 (file): \"plug-dp4.png\" stands at papers/papers.csv:5 too"],
        things: 1,
    },
    Mistake {
        what: "a paper outside the project",
        make: |p| p.edit_cell(PAPERS, "bow-clear.png", "file", "../bow-clear.png"),
        says: &[
            "papers/papers.csv:5:1 (file): \"../bow-clear.png\" is not a plain path inside the folder",
        ],
        things: 1,
    },
    Mistake {
        what: "an opening both round and rectangular",
        make: |p| p.edit_cell(OPENINGS, "SC1", "diameter_in", "6"),
        says: &[
            "plan/openings.csv:2: \"SC1\" has no size",
            "a diameter, or a length and a width, and not both",
        ],
        things: 1,
    },
    Mistake {
        what: "an opening without a size",
        make: |p| p.edit_cell(OPENINGS, "SC1", "width_mm", ""),
        says: &[
            "plan/openings.csv:2: \"SC1\" has no size",
            "a diameter, or a length and a width, and not both",
        ],
        things: 1,
    },
    Mistake {
        what: "a sighting of neither station nor offset",
        make: |p| p.edit(MARKS, "7.160,79.472,,", "7.160,,,"),
        says: &["positions/marks.csv:14: \"M5\" gives neither station nor offset"],
        things: 1,
    },
    Mistake {
        what: "an outline that crosses itself",
        make: |p| {
            p.write(
                BOTTOM,
                "part,order,x_m,y_m\nbottom,1,0,0\nbottom,2,90,5\nbottom,3,90,-5\nbottom,4,0,5\n",
            )
        },
        says: &[
            "plan/bottom.csv:2:2 (order): \"bottom\" the side that begins here meets the one that begins at plan/bottom.csv:4:2 (order)",
        ],
        things: 1,
    },
    Mistake {
        what: "an outline of two vertices",
        make: |p| p.write(BOTTOM, "part,order,x_m,y_m\nbottom,1,0,0\nbottom,2,90,5\n"),
        says: &["plan/bottom.csv:2", "fewer than three vertices"],
        things: 1,
    },
    Mistake {
        what: "two vertices with one number",
        make: |p| p.edit(BOTTOM, "bottom,3,10.00", "bottom,2,10.00"),
        says: &[
            "plan/bottom.csv:4:2 (order): \"2\" is the order of plan/bottom.csv:3:2 (order) too",
        ],
        things: 1,
    },
];

const IN_TOML: &[Mistake] = &[
    Mistake {
        what: "an unknown key",
        make: |p| p.edit(DOCKING, "owner = ", "keeper = "),
        says: &["docking.toml:5:1 (keeper): \"keeper\" is not known for the table ship"],
        things: 1,
    },
    Mistake {
        what: "a misspelt key",
        make: |p| p.edit(DOCKING, "breadth_m = ", "bredth_m = "),
        says: &[
            "docking.toml:9:1 (bredth_m): \"bredth_m\" is not known for the table ship",
            "call it breadth_m",
        ],
        things: 1,
    },
    Mistake {
        what: "a misspelt table",
        make: |p| p.edit(DOCKING, "[closeout]", "[closeuot]"),
        says: &[
            "docking.toml:305:2 (closeuot): \"closeuot\" is not a table of this file",
            "call it closeout",
        ],
        things: 1,
    },
    Mistake {
        what: "a key given twice",
        make: |p| p.edit(DOCKING, "breadth_m = 14.6", "breadth_m = 14.6\nbreadth_m = 14.7"),
        says: &["docking.toml:10:1", "duplicate key"],
        things: 1,
    },
    Mistake {
        what: "one quantity given in two units",
        make: |p| p.edit(DOCKING, "breadth_m = 14.6", "breadth_m = 14.6\nbreadth_ft = 47.9"),
        says: &[
            "docking.toml:9:1 (breadth_m): \"breadth_m\" is given twice",
            "take one of the two out",
        ],
        things: 1,
    },
    Mistake {
        what: "a key that must be there, absent",
        make: |p| p.edit(DOCKING, "bundle_name = \"calder-wren-2031\"", ""),
        says: &["docking.toml:305", "[closeout] has no bundle_name", "add the key"],
        things: 1,
    },
    Mistake {
        what: "text without quotation marks",
        make: |p| p.edit(DOCKING, "name = \"Calder Wren\"", "name = Calder Wren"),
        says: &["docking.toml:4:", "expected: a file as TOML has it"],
        things: 1,
    },
    Mistake {
        what: "not a number in TOML",
        make: |p| p.edit(DOCKING, "sill_level_m = -3.900", "sill_level_m = nan"),
        says: &["docking.toml:51:16 (sill_level_m): \"nan\" is not a"],
        things: 1,
    },
    Mistake {
        what: "a negative size in TOML",
        make: |p| p.edit(DOCKING, "breadth_m = 14.6", "breadth_m = -14.6"),
        says: &[
            "docking.toml:9:13 (breadth_m): \"-14.6\" can't be right",
            "a number greater than 0",
        ],
        things: 1,
    },
    Mistake {
        what: "a bundle's name that would lead out of the folder",
        make: |p| p.edit(DOCKING, "\"calder-wren-2031\"", "\"../calder-wren\""),
        says: &["docking.toml:308:15 (bundle_name): \"../calder-wren\""],
        things: 1,
    },
    Mistake {
        what: "a tolerance that nobody knows",
        make: |p| p.edit(DOCKING, "[tolerances.shift]", "[tolerances.shfit]"),
        says: &["docking.toml:207: \"shfit\" is not a tolerance that is known", "call it shift"],
        things: 1,
    },
    Mistake {
        what: "a limit in the unit of another quantity",
        make: |p| p.edit(DOCKING, "unit = \"m2\"", "unit = \"mm\""),
        says: &[
            "docking.toml:114:8 (unit): \"mm\" is not a unit for an area",
            "m2, cm2, mm2, ft2 or in2",
        ],
        things: 1,
    },
    Mistake {
        what: "a format from the future",
        make: |p| p.edit(DOCKING, "format = 1", "format = 2"),
        says: &["docking.toml:1:10 (format): \"2\" is a format that this program does not read"],
        things: 1,
    },
    Mistake {
        what: "a remark to a finding that is not there",
        make: |p| p.edit(REMARKS, "plan.block.K37.height", "plan.block.K37.hieght"),
        says: &[
            "remarks.toml:26:11 (finding): \"plan.block.K37.hieght\" is not a finding of this project",
            "write plan.block.K37.height",
        ],
        things: 1,
    },
    Mistake {
        what: "two remarks to one finding",
        make: |p| p.edit(REMARKS, "plan.block.K37.height", "openings.SC4.closed"),
        says: &[
            "remarks.toml:26:11 (finding): \"openings.SC4.closed\" is answered at remarks.toml:20:11 (finding) too",
        ],
        things: 1,
    },
    Mistake {
        what: "a remark without an author",
        make: |p| p.edit(REMARKS, "by = \"Bettany Skaive\"", ""),
        says: &["remarks.toml:13", "[remark] has no by"],
        things: 1,
    },
];

const IN_FILES: &[Mistake] = &[
    Mistake {
        what: "no docking.toml",
        make: |p| p.remove(DOCKING),
        says: &["docking.toml: is not there", "name the project's own folder, or make the file"],
        things: 1,
    },
    Mistake {
        what: "no plan/blocks.csv",
        make: |p| p.remove(BLOCKS),
        says: &["plan/blocks.csv: is not there"],
        things: 1,
    },
    Mistake {
        what: "a file of records under a misspelt name",
        make: |p| fs::rename(p.path(OPENINGS), p.path("plan/opennings.csv")).expect("to rename"),
        says: &[
            "plan/opennings.csv: is not a file of records that is known",
            "call it plan/openings.csv",
        ],
        things: 1,
    },
    Mistake {
        what: "two files whose names differ in capital letters only",
        make: |p| p.write("papers/Afloat.png", "x"),
        says: &["papers/afloat.png: differs from papers/Afloat.png in capital letters only"],
        things: 1,
    },
    Mistake {
        what: "a file's name that some systems can't hold",
        make: |p| p.write("papers/what?.png", "x"),
        says: &[
            "papers/what?.png: has a character in its name that some systems can't hold",
            "rename it",
        ],
        things: 1,
    },
    Mistake {
        what: "a CSV file that is not UTF-8",
        make: |p| p.write(PAPERS, b"file,caption\nafloat.png,caf\xe9\n"),
        says: &[
            "papers/papers.csv:2: this line is not UTF-8 text",
            "save the file again with the character set UTF-8",
        ],
        things: 1,
    },
    Mistake {
        what: "a TOML file that is not UTF-8",
        make: |p| p.write(REMARKS, b"# caf\xe9\n"),
        says: &["remarks.toml:1: this line is not UTF-8 text"],
        things: 1,
    },
];

/// Makes each mistake in a copy of its own and holds what is said against the table.
fn hold(mistakes: &[Mistake]) {
    let mut wrong = Vec::new();
    for mistake in mistakes {
        let project = Project::copied();
        (mistake.make)(&project);
        let said = told(&project);
        let mut note = |text: String| wrong.push(format!("{}: {text}", mistake.what));
        for wanted in mistake.says {
            if !squeezed(&said).contains(&squeezed(wanted)) {
                note(format!("does not say {wanted:?} but\n{said}"));
            }
        }
        let count = match mistake.things {
            1 => "1 thing to mend".to_string(),
            n => format!("{n} things to mend"),
        };
        if !said.contains(&count) {
            note(format!("does not say {count:?} but\n{said}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What both commands say of a project that can't be read. Both exit with 1 and write nothing, neither
/// to the folder asked for nor to the project.
#[track_caller]
fn told(project: &Project) -> String {
    let before = files(&project.root());
    let checked = run(common::program().arg("check").arg(project.root())).exits(1);
    let closed = closeout(&project.root(), &project.out()).exits(1);
    assert_eq!(checked.err, closed.err);
    assert!(checked.out.is_empty() && closed.out.is_empty(), "{}{}", checked.out, closed.out);
    assert!(!project.out().exists(), "something was written");
    assert!(files(&project.root()) == before, "the project was changed");
    checked.err
}

#[test]
fn mistakes_in_columns_are_named() {
    hold(IN_COLUMNS);
}

#[test]
fn mistakes_in_rows_are_named() {
    hold(IN_ROWS);
}

#[test]
fn mistakes_in_toml_are_named() {
    hold(IN_TOML);
}

#[test]
fn mistakes_in_files_are_named() {
    hold(IN_FILES);
}

#[cfg(unix)]
#[test]
fn a_link_is_named_and_not_followed() {
    let project = Project::copied();
    std::os::unix::fs::symlink("/etc/hostname", project.path("papers/link.txt")).expect("a link");
    std::os::unix::fs::symlink("..", project.path("up")).expect("a link");
    let said = told(&project);
    assert!(squeezed(&said).contains("papers/link.txt:isalink"), "{said}");
    assert!(squeezed(&said).contains("up:isalink"), "{said}");
    assert!(said.contains("2 things to mend"), "{said}");
}

#[test]
fn several_mistakes_in_several_files_are_all_named_in_one_run() {
    let project = Project::copied();
    project.edit_cell(BLOCKS, "K3", "station_m", "NaN");
    project.edit_cell(BLOCKS, "K9", "width_mm", "0");
    project.edit(OPENINGS, ",valve_tag,", ",valve_tga,");
    project.edit(DOCKING, "breadth_m = 14.6", "breadth_m = -14.6");
    project.edit(BOTTOM, "bottom,2,8.00,-0.24", "bottom,2,8.00");
    project.edit(REMARKS, "by = \"Bettany Skaive\"", "");
    let said = told(&project);
    for place in [
        "docking.toml:9:13 (breadth_m)",
        "plan/blocks.csv:4:3 (station_m)",
        "plan/blocks.csv:10:6 (width_mm)",
        "plan/bottom.csv:3",
        "plan/openings.csv:1:12 (header)",
        "remarks.toml:13",
    ] {
        assert!(squeezed(&said).contains(&squeezed(place)), "{place} is not in\n{said}");
    }
    assert!(said.contains("6 things to mend"), "{said}");
}

#[test]
fn the_same_is_said_as_json() {
    let project = Project::copied();
    project.edit_cell(BLOCKS, "K3", "station_m", "24,30");
    project.edit(OPENINGS, ",valve_tag,", ",valve_tga,");
    for command in ["check", "closeout"] {
        let said = run(common::program().arg(command).arg("--json").arg(project.root())).exits(1);
        let problems = &said.json()["problems"];
        assert_eq!(problems.as_array().map(Vec::len), Some(2), "{problems:#}");
        let first = &problems[0];
        assert_eq!(first["file"], BLOCKS);
        assert_eq!((&first["line"], &first["column"]), (&4.into(), &3.into()));
        assert_eq!(first["name"], "station_m");
        assert_eq!(first["value"], "24,30");
        assert_eq!(first["advice"], "write 24.30");
        assert_eq!(problems[1]["file"], OPENINGS);
        assert!(said.err.is_empty(), "{}", said.err);
    }
}

#[test]
fn a_folder_that_is_not_there_or_is_a_file() {
    let project = Project::copied();
    for path in [project.path("nowhere"), project.path(DOCKING)] {
        let said = run(common::program().arg("check").arg(&path)).exits(1);
        assert!(said.squeezed().contains("isnotafolder"), "{}", said.err);
    }
}

/// The findings of a project as JSON.
#[track_caller]
fn findings(project: &Project) -> serde_json::Value {
    run(common::program().args(["check", "--json"]).arg(project.root())).exits(0).json()
}

/// Every CSV file of the sample.
fn csv_files() -> Vec<String> {
    let folder = lastdock::records::store::Folder::open(&sample(), &mut Default::default());
    let paths = lastdock::records::store::Store::sizes(&folder).keys();
    paths.filter(|path| path.ends_with(".csv")).cloned().collect()
}

/// What is no mistake: files as other systems and editors save them give the very same findings.
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
        for file in csv_files().into_iter().chain([DOCKING.into(), REMARKS.into()]) {
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
                if place["file"].as_str().is_some_and(|file| file.ends_with(".csv")) {
                    place["line"] = (place["line"].as_u64().expect("a line") - lines).into();
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
