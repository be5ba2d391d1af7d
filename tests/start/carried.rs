//! What is carried forward from a bundle is what stood in it, and nothing that only that docking knew.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use super::Room;
use crate::common::{NAME, Project, closed, closeout, files, program, run, sample, squeezed};

/// A table as rows of cells by header.
fn table(path: &Path) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(path).unwrap_or_else(|e| panic!("{path:?}: {e}"));
    let header = reader.headers().expect("a header row").clone();
    let cells = |row: csv::StringRecord| {
        header.iter().map(String::from).zip(row.iter().map(String::from)).collect()
    };
    reader.records().map(|row| cells(row.expect("a row"))).collect()
}

/// Whether two cells say the same, numbers as numbers, fixed words in any case.
fn same(one: &str, other: &str) -> bool {
    match (one.parse::<f64>(), other.parse::<f64>()) {
        (Ok(one), Ok(other)) => (one - other).abs() <= 1e-9 * one.abs(),
        _ => one == other || one.to_lowercase() == other,
    }
}

/// What is carried, and in each file the columns that are not.
const CARRIED: &[(&str, &[&str])] = &[
    ("plan/blocks.csv", &["top_level_m", "positions", "left_out_because"]),
    ("plan/layers.csv", &[]),
    (
        "plan/openings.csv",
        &["opened_at", "opened_by", "closed_at", "closed_by", "tested_how", "state"],
    ),
    ("plan/bottom.csv", &[]),
    ("plan/keel.csv", &[]),
    ("plan/positions.csv", &[]),
    ("landing/hydrostatics.csv", &[]),
    ("landing/stiffness.csv", &[]),
    ("coating/zones.csv", &[]),
    ("coating/areas.csv", &[]),
    ("coating/scheme.csv", &[]),
];

#[test]
fn tables_are_carried_cell_by_cell_and_marked() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    for (file, left) in CARRIED {
        let (old, new) = (planned(file), table(&room.new_folder().join(file)));
        assert!(!old.is_empty() && old.len() == new.len(), "{file}");
        for (old, new) in old.iter().zip(&new) {
            assert_eq!(new["note_carried"], NAME, "{file}");
            for (header, cell) in old {
                let is = new.get(header).unwrap_or_else(|| panic!("{file} has no {header}"));
                if left.contains(&header.as_str()) {
                    assert!(is.is_empty(), "{file}, {header}: {is}");
                } else {
                    assert!(same(cell, is), "{file}, {header}: {cell} has become {is}");
                }
            }
        }
    }
}

/// The units in which figures are shown go with the ship.
#[test]
fn us_units_are_carried() {
    let (project, room) = (Project::copied(), Room::new());
    let docking = project.text("docking.toml");
    let docking = docking.replacen("format = 1\n", "format = 1\nunits = \"us\"\n", 1);
    project.write("docking.toml", docking);
    closeout(&project.root(), &project.out());
    room.start_from(&project.out().join(format!("{NAME}.zip"))).exits(0);
    assert!(room.text("docking.toml").lines().any(|line| line.starts_with("units = \"us\"")));
}

/// Blank tables are headed as the record headed them, unless other units are asked for.
#[test]
fn blank_tables_keep_the_units_of_the_record() {
    let project = Project::copied();
    let gaps = project.text("landing/gaps.csv").replacen("gap_mm", "gap_in", 1);
    project.write("landing/gaps.csv", gaps);
    closeout(&project.root(), &project.out());
    let bundle = project.out().join(format!("{NAME}.zip"));
    let header =
        |room: &Room, file: &str| room.text(file).lines().next().expect("a header row").to_string();
    let room = Room::new();
    room.start_from(&bundle).exits(0);
    assert_eq!(header(&room, "landing/gaps.csv"), "position,block,gap_in,water_depth_m,by,at");
    assert!(header(&room, "landing/drafts.csv").contains("water_density_kg_m3"));
    let us = Room::new();
    let mut command = program();
    command.args(["start", "--units", "us"]).arg(us.new_folder()).arg("--from").arg(&bundle);
    run(&mut command).exits(0);
    assert_eq!(header(&us, "landing/gaps.csv"), "position,block,gap_in,water_depth_ft,by,at");
    assert!(us.text("docking.toml").contains("\nunits = \"us\" "));
    // What is carried stays as it was written.
    assert!(header(&us, "plan/blocks.csv").starts_with("block,row,station_m,"));
}

/// Files of which the places are carried: the columns that say where, and those of readings.
const READ_AGAIN: &[(&str, &[&str], &[&str])] = &[
    (
        "landing/drafts.csv",
        &["occasion", "mark_x_m", "mark_y_m"],
        &["draft_m", "at", "by", "position"],
    ),
    (
        "positions/marks.csv",
        &["mark", "hull_x_m", "hull_y_m"],
        &["dock_station_m", "dock_offset_m", "at", "read_by", "position"],
    ),
    (
        "hull/plating.csv",
        &["strake", "plate", "x_m", "y_m", "original_mm"],
        &["measured_mm", "at", "by"],
    ),
    (
        "hull/anodes.csv",
        &["anode", "x_m", "y_m"],
        &["mass_fitted_kg", "mass_found_kg", "renewed", "at", "by"],
    ),
];

/// Gauging points, anodes, draft marks and sighting marks come without what was read there, and say of nothing that it
/// was read this time.
#[test]
fn places_to_be_read_again_are_carried_without_their_readings() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    for (file, places, readings) in READ_AGAIN {
        let (old, new) = (table(&sample().join(file)), table(&room.new_folder().join(file)));
        let place = |row: &BTreeMap<String, String>| -> Vec<String> {
            let number =
                |cell: &String| cell.parse::<f64>().map_or(cell.clone(), |n| n.to_string());
            places.iter().map(|column| number(&row[*column])).collect()
        };
        let wanted: std::collections::BTreeSet<_> = old.iter().map(place).collect();
        let carried: Vec<_> = new.iter().map(place).collect();
        assert_eq!(carried.len(), wanted.len(), "{file}");
        assert_eq!(
            carried.into_iter().collect::<std::collections::BTreeSet<_>>(),
            wanted,
            "{file}"
        );
        for row in &new {
            assert_eq!(row["note_carried"], NAME, "{file}");
            assert!(readings.iter().all(|column| row[*column].is_empty()), "{file}: {row:?}");
        }
    }
    let plates = table(&room.new_folder().join("hull/plating.csv"));
    assert_eq!(plates[1]["note_measured_then_mm"], "13.6");
    let anodes = table(&room.new_folder().join("hull/anodes.csv"));
    assert_eq!(
        (&*anodes[0]["note_mass_found_then_kg"], &*anodes[0]["note_renewed_then"]),
        ("4.4", "yes")
    );
    // Each file says how many rows wait, and nothing counts as read. An opening's side differs, as it did then.
    let said = room.check().exits(3);
    for file in ["landing/drafts.csv", "positions/marks.csv", "hull/plating.csv"] {
        assert!(said.err.contains(file), "{file}: {}", said.err);
    }
    let no_reading = squeezed("carried forward have no reading in draft yet");
    assert!(said.squeezed().contains(&no_reading), "{}", said.err);
    let json = said.json();
    let of_readings =
        |id: &str| ["drafts.", "positions.", "plating."].iter().any(|s| id.starts_with(s));
    for finding in json["findings"].as_array().expect("findings") {
        let id = finding["id"].as_str().expect("an id");
        assert!(!of_readings(id) || finding["outcome"] == "not recorded", "{finding}");
    }
    // A reading makes a record of its row, which then needs all else that one needs.
    let marks = room.text("positions/marks.csv");
    let (header, rows) = marks.split_once('\n').expect("rows");
    let first = rows.lines().next().expect("a row").replacen(",,", ",12.3,", 1);
    fs::write(room.new_folder().join("positions/marks.csv"), format!("{header}\n{first}\n"))
        .expect("to write it");
    let problems = room.check().exits(1).json();
    assert_eq!(problems["problems"][0]["name"], "position", "{problems}");
}

/// A row that nobody marked as carried lacks its reading, as ever.
#[test]
fn only_carried_rows_may_wait_for_their_reading() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    let plates = room.text("hull/plating.csv").replacen(NAME, "", 1);
    fs::write(room.new_folder().join("hull/plating.csv"), plates).expect("to write it");
    let problems = room.check().exits(1).json();
    assert_eq!(problems["problems"].as_array().map(Vec::len), Some(1), "{problems}");
    assert_eq!(problems["problems"][0]["name"], "measured_mm");
}

#[test]
fn roles_are_carried_as_blanks() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    let docking = room.text("docking.toml");
    let old: toml::Table = fs::read_to_string(sample().join("docking.toml"))
        .expect("the sample")
        .parse()
        .expect("TOML");
    let people = old["people"].as_array().expect("people");
    for person in people {
        let (name, role) = (person["name"].as_str().expect("a name"), &person["role"]);
        assert_eq!(
            docking.matches(&format!("#name = \"\"\n#role = {role}\n")).count(),
            1,
            "{role}"
        );
        assert!(!docking.contains(name), "{name}");
    }
    assert!(docking.contains(&format!("# Roles in {NAME}, to be confirmed")), "{docking}");
}

/// The rows of a table of the sample, but those of blocks found elsewhere than planned.
fn planned(file: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    let is_plan = |row: &std::collections::BTreeMap<String, String>| {
        row.get("moved_from").is_none_or(String::is_empty)
    };
    table(&sample().join(file)).into_iter().filter(is_plan).collect()
}

/// The next plan grows from the plan: K23 is in it, and not K23S, where it was found.
#[test]
fn a_block_found_elsewhere_is_not_carried() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    let blocks = table(&room.new_folder().join("plan/blocks.csv"));
    let has = |id: &str| blocks.iter().any(|row| row["block"] == id);
    assert!(has("K23") && !has("K23S"));
}

#[test]
fn where_a_block_stood_and_how_an_opening_was_found_become_notes() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    let both = |file: &str| {
        let (old, new) = (planned(file), table(&room.new_folder().join(file)));
        old.into_iter().zip(new).collect::<Vec<_>>()
    };
    let mut words = std::collections::BTreeSet::new();
    for (old, new) in both("plan/blocks.csv") {
        let stood = if old["positions"].is_empty() { "all" } else { &old["positions"] };
        assert_eq!(new["note_stood_in"], stood);
        assert_eq!(new["note_was_left_out_because"], old["left_out_because"]);
        words.insert(new["note_stood_in"].clone());
    }
    assert!(words.len() > 1, "the sample has blocks of one kind only: {words:?}");
    for (old, new) in both("plan/openings.csv") {
        assert_eq!(new["note_state_then"], old["state"]);
    }
}

#[test]
fn everything_else_is_blank() {
    let (room, blank) = (Room::new(), Room::new());
    room.start_from(&closed().zip).exits(0);
    blank.start().exits(0);
    let again = READ_AGAIN.iter().map(|(file, ..)| *file);
    let carried: Vec<&str> = CARRIED.iter().map(|(file, _)| *file).chain(again).collect();
    let changed: Vec<String> = files(&blank.new_folder())
        .into_iter()
        // A blank table is its header row, which may have other units.
        .filter(|(path, bytes)| {
            let now = fs::read(room.new_folder().join(path)).expect("the same file");
            let commas = |bytes: &[u8]| bytes.iter().filter(|byte| **byte == b',').count();
            let is_header = now.split_inclusive(|byte| *byte == b'\n').count() == 1;
            now != *bytes && !(is_header && commas(&now) == commas(bytes))
        })
        .map(|(path, _)| path)
        // The sheets have the carried blocks and openings in them.
        .filter(|path| !carried.contains(&path.as_str()) && !path.starts_with("forms/"))
        .collect();
    assert_eq!(changed, ["README.txt", "coating/products.toml", "docking.toml"]);
    let docking: toml::Table = room.text("docking.toml").parse().expect("TOML");
    for table in ["people", "closeout"] {
        assert!(!docking.contains_key(table), "{table}");
    }
    for (table, key) in [("period", "began"), ("stability", "kg_m")] {
        assert_eq!(docking[table][key].as_str(), Some(""), "{table}.{key}");
    }
    let products: toml::Table = room.text("coating/products.toml").parse().expect("TOML");
    assert!(!products.contains_key("batch"));
}

/// Two values of TOML that say the same: numbers as numbers.
fn say_the_same(one: &toml::Value, other: &toml::Value) -> bool {
    let number = |value: &toml::Value| {
        value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
    };
    match (number(one), number(other)) {
        (Some(one), Some(other)) => (one - other).abs() <= 1e-9 * one.abs(),
        _ => one == other,
    }
}

#[test]
fn tables_of_docking_and_products_are_carried_key_by_key_and_marked() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    let read = |text: String| text.parse::<toml::Table>().expect("TOML");
    let (mut compared, mut tables) = (0, 0);
    for (file, names) in [
        (
            "docking.toml",
            &[
                "ship",
                "frames",
                "dock",
                "hydrostatics",
                "film",
                "film_for_zone",
                "limits",
                "tolerances",
            ][..],
        ),
        ("coating/products.toml", &["product", "recoat"][..]),
    ] {
        let old = read(fs::read_to_string(sample().join(file)).expect("the sample"));
        let new = read(room.text(file));
        for name in names {
            // Tables that stand once, often, or by name, as lists of tables.
            let listed = |value: &toml::Value| -> Vec<toml::Table> {
                match value {
                    toml::Value::Array(items) => {
                        items.iter().filter_map(|item| item.as_table().cloned()).collect()
                    }
                    toml::Value::Table(table) if table.values().all(toml::Value::is_table) => {
                        table.values().filter_map(|item| item.as_table().cloned()).collect()
                    }
                    toml::Value::Table(table) => vec![table.clone()],
                    _ => Vec::new(),
                }
            };
            let (old, new) = (listed(&old[*name]), listed(&new[*name]));
            assert!(!old.is_empty() && old.len() == new.len(), "{file}, {name}");
            for (old, new) in old.iter().zip(&new) {
                assert_eq!(new["note_carried"].as_str(), Some(NAME), "{file}, {name}");
                tables += 1;
                for (key, value) in old {
                    assert!(say_the_same(value, &new[key]), "{file}, {name}.{key}");
                    compared += 1;
                }
            }
        }
    }
    assert!(tables > 50 && compared > 150, "{tables} tables, {compared} keys");
}

#[test]
fn its_records_are_kept_byte_for_byte() {
    let room = Room::new();
    let mut command = program();
    command.args(["start", "--json"]).arg(room.new_folder()).arg("--from").arg(&closed().folder);
    let json = run(&mut command).exits(0).json();
    let kept = files(&room.new_folder().join("history").join(NAME));
    assert!(kept == files(&closed().folder.join("data/records")));
    let rows = table(&room.new_folder().join("history/dockings.csv"));
    assert_eq!(rows.len(), 1);
    let seal = fs::read_to_string(&closed().seal_file).expect("the seal");
    let seal: String = seal.lines().next().expect("a line").split(' ').collect();
    assert_eq!((&rows[0]["docking"], &rows[0]["bundle"]), (&NAME.into(), &NAME.into()));
    assert_eq!((&rows[0]["seal"], &rows[0]["fixity"]), (&seal, &"whole".into()));
    assert_eq!(rows[0]["damage"], "");
    assert_eq!(json["from"]["seal"], seal);
    assert_eq!(json["from"]["whole"], true);
    assert_eq!(json["carried"]["plan/openings.csv"], 40);
}

#[test]
fn readme_tells_where_it_comes_from_in_ascii() {
    let room = Room::new();
    let said = room.start_from(&closed().zip).exits(0);
    assert!(said.out.contains("calder-wren-2031"), "{}", said.out);
    let text = room.text("README.txt");
    assert!(text.is_ascii());
    for words in ["From the docking calder-wren-2031: Calder Wren", "note_carried", "openings.csv"]
    {
        assert!(text.contains(words), "{words:?} is not in\n{text}");
    }
    assert!(!text.contains("DAMAGED") && !text.contains("{carried}"), "{text}");
}

/// The ids of a project's findings that begin so.
fn findings(room: &Room, beginning: &str) -> Vec<String> {
    let said = room.check();
    assert_ne!(said.status, 1, "{}\n{}", said.out, said.err);
    let ids = said.json()["findings"].as_array().expect("findings").clone();
    let ids = ids.iter().filter_map(|finding| finding["id"].as_str().map(String::from));
    ids.filter(|id| id.starts_with(beginning)).collect()
}

#[test]
fn it_reads_back_with_its_history() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    assert!(
        findings(&room, "history.").iter().any(|id| id.starts_with("history.calder-wren-2031."))
    );
    // As many openings as before, each looked at again.
    assert!(findings(&room, "plan.opening.").len() > 40);
}

#[test]
fn the_next_but_one_keeps_both_dockings_side_by_side() {
    let (second, third) = (Room::new(), Room::new());
    second.start_from(&closed().zip).exits(0);
    second.edit("docking.toml", "\nbegan = \"\" ", "\nbegan = 2055-04-07 ");
    second.edit("docking.toml", "\nended = \"\" ", "\nended = 2055-04-29 ");
    second.edit(
        "docking.toml",
        "#[closeout]\n#prepared_by = \"\"",
        "[closeout]\nprepared_by = \"A. Person\"",
    );
    second.edit("docking.toml", "\n#prepared_on = 2031-05-16 ", "\nprepared_on = 2055-05-16 ");
    second.edit(
        "docking.toml",
        "\n#bundle_name = \"fenwhin-2031\" ",
        "\nbundle_name = \"calder-wren-2055\" ",
    );
    let out = second.0.path().join("out");
    let mut command = program();
    command.arg("closeout").arg(second.new_folder()).arg("--out").arg(&out);
    let said = run(command.args(["--repair-percent", "0"]));
    assert_ne!(said.status, 1, "{}\n{}", said.out, said.err);
    third.start_from(&out.join("calder-wren-2055.zip")).exits(0);

    let rows = table(&third.new_folder().join("history/dockings.csv"));
    let names: Vec<&str> = rows.iter().map(|row| row["docking"].as_str()).collect();
    assert_eq!(names, [NAME, "calder-wren-2055"]);
    assert_eq!(rows[0], table(&second.new_folder().join("history/dockings.csv"))[0]);
    let history = |room: &Room, name: &str| files(&room.new_folder().join("history").join(name));
    assert!(history(&third, NAME) == history(&second, NAME));
    let own: Vec<_> = files(&second.new_folder())
        .into_iter()
        .filter(|(path, _)| !path.starts_with("history/") && !path.starts_with("forms/"))
        .collect();
    assert!(!own.is_empty() && history(&third, "calder-wren-2055") == own);

    // What was carried twice is marked with the last docking, once.
    for (file, _) in CARRIED {
        let (before, now) = (second.text(file), third.text(file));
        assert_eq!(before.lines().next(), now.lines().next(), "{file}");
        let rows = table(&third.new_folder().join(file));
        assert!(rows.iter().all(|row| row["note_carried"] == "calder-wren-2055"), "{file}");
    }
    let mark = |name: &str| format!("note_carried = \"{name}\"");
    let (before, now) = (second.text("docking.toml"), third.text("docking.toml"));
    assert_eq!(now.matches(&mark("calder-wren-2055")).count(), before.matches(&mark(NAME)).count());
    assert!(!now.contains(NAME), "{now}");
    assert!(!findings(&third, "history.calder-wren-2031.").is_empty());
    assert!(!findings(&third, "history.calder-wren-2055.").is_empty());
}
