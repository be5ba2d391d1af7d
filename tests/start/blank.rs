//! A blank project reads back, and leads on to what is to be filled in first.

use std::fs;

use lastdock::records::{FILES, KEYED_FILES};

use super::Room;
use super::forms::{BRIEFING, SHEETS};
use crate::common::{Project, files, program, run};

const HISTORY: &str = "history/";

#[test]
fn it_holds_every_file_of_records_and_the_same_bytes_each_time() {
    let (one, other) = (Room::new(), Room::new());
    let said = one.start().exits(0);
    assert!(said.err.is_empty() && !said.out.contains('\u{1b}'), "{}{}", said.out, said.err);
    assert!(said.squeezed().contains("lastdockcheck"), "{}", said.out);
    let json = run(program().args(["start", "--json"]).arg(other.new_folder())).exits(0).json();
    let found = files(&one.new_folder());
    assert_eq!(json["files"], found.len());
    assert_eq!(json["from"], serde_json::Value::Null);
    let sheets = FILES.iter().map(|spec| spec.path).filter(|path| !path.starts_with(HISTORY));
    let mut wanted: Vec<&str> =
        sheets.chain(KEYED_FILES.iter().map(|spec| spec.path)).chain(["README.txt"]).collect();
    // Of what is to be briefed about, nothing is known yet.
    wanted.extend(SHEETS.iter().filter(|sheet| **sheet != BRIEFING));
    wanted.push("forms/sheets.sha256");
    wanted.sort_unstable();
    assert_eq!(found.iter().map(|(path, _)| path.as_str()).collect::<Vec<_>>(), wanted);
    assert!(found == files(&other.new_folder()));
    assert_eq!(one.names(), ["new"]);
}

#[test]
fn check_asks_for_the_two_names_and_for_nothing_else() {
    let room = Room::new();
    room.start().exits(0);
    let problems = room.check().exits(1).json();
    let problems = problems["problems"].as_array().expect("problems");
    let asked: Vec<&str> = problems.iter().filter_map(|p| p["expected"].as_str()).collect();
    assert_eq!(asked, ["the ship's name", "the dock's name"]);
    for problem in problems {
        assert_eq!((&problem["file"], &problem["name"]), (&"docking.toml".into(), &"name".into()));
        let line = problem["line"].as_u64().expect("a line") as usize;
        let text = room.text("docking.toml");
        assert!(text.lines().nth(line - 1).is_some_and(|line| line.contains("# FIRST: ")));
    }
}

#[test]
fn with_the_two_names_it_reads_and_nothing_is_recorded() {
    let room = Room::new();
    room.start().exits(0);
    room.name_both();
    let json = room.check().exits(0).json();
    let findings = json["findings"].as_array().expect("findings");
    let recorded: Vec<_> = findings.iter().filter(|f| f["outcome"] != "not recorded").collect();
    assert!(recorded.is_empty(), "{recorded:#?}");
    assert!(findings.len() < 40, "{} findings are a heap", findings.len());

    // The same as where the blank files are not there at all.
    let bare = Room::new();
    fs::create_dir_all(bare.new_folder().join("plan")).expect("a folder");
    for (file, text) in [
        ("docking.toml", "format = 1\n[ship]\nname = \"Fenwhin\"\n[dock]\nname = \"Old Dock\"\n"),
        ("plan/blocks.csv", &room.text("plan/blocks.csv")),
    ] {
        fs::write(bare.new_folder().join(file), text).expect("to write it");
    }
    assert_eq!(bare.check().exits(0).json()["findings"], json["findings"]);
}

#[test]
fn a_table_with_its_header_row_alone_counts_as_one_that_is_not_there() {
    let project = Project::copied();
    let optional = FILES.iter().filter(|spec| spec.path != "plan/blocks.csv");
    for spec in optional.filter(|spec| project.path(spec.path).exists()) {
        let whole = project.text(spec.path);
        let check = || run(program().args(["check", "--json"]).arg(project.root()));
        project.write(spec.path, format!("{}\n", spec.headings().join(",")));
        let header_alone = check();
        project.remove(spec.path);
        let absent = check();
        assert_eq!(header_alone.out, absent.out, "{}", spec.path);
        assert_eq!(header_alone.status, absent.status, "{}", spec.path);
        project.write(spec.path, whole);
    }
}

#[test]
fn a_blank_project_can_be_filled_in_as_its_own_words_say() {
    let room = Room::new();
    room.start().exits(0);
    room.name_both();
    // Numbers between the marks, a day, an offset, another unit, a table switched on.
    room.edit("docking.toml", "breadth_m = \"\" ", "breadth_ft = \"20.5\" ");
    room.edit("docking.toml", "frames_from = \"\" ", "frames_from = \"aft\" ");
    room.edit("docking.toml", "began = \"\" ", "began = \"2055-04-07\" ");
    room.edit("docking.toml", "offset = \"\" ", "offset = \"+01:00\" ");
    let frames = "#[[frames]]\n#from_frame = 0 ";
    room.edit("docking.toml", frames, "[[frames]]\nfrom_frame = 0 ");
    room.edit("docking.toml", "\n#x_m = 0.00 ", "\nx_m = 0.00 ");
    room.edit("docking.toml", "\n#spacing_mm = 600  ", "\nspacing_mm = 600  ");
    let blocks = room.text("plan/blocks.csv");
    let width = blocks.matches(',').count() + 1;
    let mut cells = vec!["K1", "keel", "20", "0", "600", "1200"];
    cells.resize(width, "");
    fs::write(room.new_folder().join("plan/blocks.csv"), format!("{blocks}{}\n", cells.join(",")))
        .expect("to write it");
    room.check().exits(0);
}

/// Headers, blanks, sheets and a workbook in the units that were asked for, which read back as any others do.
#[test]
fn a_house_in_the_united_states_starts_in_its_units() {
    let (room, metric) = (Room::new(), Room::new());
    run(program().args(["start", "--units", "us"]).arg(room.new_folder())).exits(0);
    metric.start().exits(0);
    for (file, headings) in [
        ("landing/gaps.csv", "gap_in,water_depth_ft"),
        (
            "landing/drafts.csv",
            "mark_x_ft,mark_y_ft,planned_draft_ft,draft_ft,water_density_lb_ft3",
        ),
        ("coating/film.csv", "reading_mil"),
        ("coating/climate.csv", "air_temperature_f"),
        ("landing/weights.csv", "mass_lt"),
        ("plan/blocks.csv", "bearing_limit_psi"),
        ("docking.toml", "\nunits = \"us\" "),
        ("docking.toml", "\npaper = \"us-letter\" "),
        ("docking.toml", "\nlength_overall_ft = \"\"\n"),
        ("coating/products.toml", "#nominal_dft_mil = "),
        ("README.txt", "rename the\n  column: station_ft becomes station_m."),
    ] {
        assert!(room.text(file).contains(headings), "{file} lacks {headings}: {}", room.text(file));
    }
    let gaps = |room: &Room| fs::read(room.new_folder().join("forms/gaps.pdf")).expect("a sheet");
    assert_ne!(gaps(&room), gaps(&metric));
    room.name_both();
    let said = room.check().exits(0);
    assert!(said.err.is_empty(), "{}", said.err);
    // Another paper than the usual one of the house, and a workbook.
    let book = Room::new();
    let arguments = ["start", "--units", "us", "--paper", "a4", "--workbook"];
    run(program().args(arguments).arg(book.new_folder())).exits(0);
    assert!(book.text("docking.toml").contains("\n#paper = "));
    book.name_both();
    let said = book.check().exits(0);
    assert!(said.err.is_empty(), "{}", said.err);
}
