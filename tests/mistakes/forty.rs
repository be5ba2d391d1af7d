//! A folder with forty typical slips of people who type from paper with a spreadsheet's habits: hardly more messages
//! than slips, each of which leads to its correction, that on which most depends first.

use std::collections::BTreeMap;

use serde_json::Value;

use super::problems;
use super::table::make;
use crate::common::{Project, expected, program, run, squeezed};

/// What was done, as in the table's rows; the place and value that the message names first, and what it says to do.
struct Slip {
    what: &'static str,
    changes: &'static [&'static str],
    place: &'static str,
    value: &'static str,
    leads_to: &'static str,
}

const fn slip(
    what: &'static str,
    changes: &'static [&'static str],
    place: &'static str,
    value: &'static str,
    leads_to: &'static str,
) -> Slip {
    Slip { what, changes, place, value, leads_to }
}

const SLIPS: &[Slip] = &[
    slip(
        "text in docking.toml without quotation marks",
        &[
            r#"edit docking.toml: owner = "Calder Wren Preservation Society" => owner = Calder Wren Preservation Society"#,
        ],
        "docking.toml:5",
        "",
        "put the whole text in quotation marks",
    ),
    slip(
        "a decimal comma in docking.toml",
        &[r#"edit docking.toml: breadth_m = 14.6 => breadth_m = 14,6"#],
        "docking.toml:9",
        "",
        "write a decimal point if the comma is one",
    ),
    slip(
        "a quotation mark left open in docking.toml",
        &[r#"edit docking.toml: place = "Port Merrin" => place = "Port Merrin"#],
        "docking.toml:45",
        "",
        "close it where the text ends",
    ),
    slip(
        "a key without its unit",
        &[r#"edit docking.toml: kg_m = 5.93 => kg = 5.93"#],
        "docking.toml:33",
        "kg",
        "end the name with the unit of its numbers",
    ),
    slip(
        "a unit of another quantity",
        &[r#"edit docking.toml: unit = "m2" => unit = "yd2""#],
        "docking.toml:121",
        "yd2",
        "write one of these units",
    ),
    slip(
        "a tolerance misspelt",
        &[r#"edit docking.toml: [tolerances.shift] => [tolerances.shfit]"#],
        "docking.toml:239",
        "shfit",
        "rename it to shift",
    ),
    slip(
        "a bracket left open in products.toml",
        &[
            r#"edit coating/products.toml: [[product]]\nproduct = "TC3" => [[product]\nproduct = "TC3""#,
        ],
        "coating/products.toml:25",
        "",
        "close it",
    ),
    slip(
        "an answer without its author",
        &[
            r#"edit remarks.toml: so that it is open."\nby = "Anselm Dunmallow" => so that it is open.""#,
        ],
        "remarks.toml:1",
        "",
        "fill it in, or leave answer",
    ),
    slip(
        "a copy of a file beside it",
        &[r#"write plan/blocks (1).csv: x"#],
        "plan/blocks (1).csv",
        "",
        "plan/blocks.csv exists as well",
    ),
    slip(
        "a file under a misspelt name",
        &[r#"move landing/moved.csv => landing/mooved.csv"#],
        "landing/mooved.csv",
        "",
        "if it is landing/moved.csv, rename it",
    ),
    slip(
        "a title above the header row",
        &[
            r#"edit landing/stiffness.csv: from_x_m,to_x_m,second_moment_m4 => Stiffness of the girder,,,,,\nfrom_x_m,to_x_m,second_moment_m4"#,
        ],
        "landing/stiffness.csv:1",
        "",
        "with nothing above it",
    ),
    slip(
        "a table that was cleared",
        &[r#"write coating/gauges.csv:"#],
        "coating/gauges.csv",
        "",
        "add a header row",
    ),
    slip(
        "a quotation mark left open in a table",
        &[r#"edit landing/weights.csv: \n6.90,10.05, => \n"6.90,10.05,"#],
        "landing/weights.csv:4",
        "",
        "close the quotation mark opened in it",
    ),
    slip(
        "one unit spelt out in three headers",
        &[
            r#"edit landing/gaps.csv: ,gap_mm, => ,gap_millim,"#,
            r#"edit plan/layers.csv: ,thickness_mm, => ,thickness_millim,"#,
            r#"edit plan/keel.csv: ,rise_mm => ,rise_millim"#,
        ],
        "landing/gaps.csv:1",
        "gap_millim",
        "end the name with the unit of its numbers",
    ),
    slip(
        "a header misspelt",
        &[r#"edit plan/openings.csv: ,valve_tag, => ,valve_tga,"#],
        "plan/openings.csv:1",
        "valve_tga",
        "rename it to valve_tag",
    ),
    slip(
        "a header without its unit",
        &[r#"edit hull/anodes.csv: ,mass_found_kg, => ,mass_found,"#],
        "hull/anodes.csv:1",
        "mass_found",
        "end the name with the unit of its numbers",
    ),
    slip(
        "a column of one's own",
        &[r#"edit coating/climate.csv: ,by,note => ,by,weather"#],
        "coating/climate.csv:1",
        "weather",
        "start its name with note to keep it unread",
    ),
    slip(
        "a position mistyped where it is described",
        &[r#"cell positions/positions.csv P2 position: P-2"#],
        "landing/bilge.csv:8",
        "P2",
        "write P2 there",
    ),
    slip(
        "the letter O in a name",
        &[r#"edit landing/gaps.csv: P1,K1,0,4.55 => P1,K1O,0,4.55"#],
        "landing/gaps.csv:2",
        "K1O",
        "write K10, or add K1O",
    ),
    slip(
        "a block that nobody described, in three files",
        &[
            r#"edit landing/gaps.csv: P1,K2,0,4.55 => P1,K19B,0,4.55"#,
            r#"edit plan/layers.csv: ,keel,3,fir => K19B,,3,fir"#,
            r#"edit landing/checks.csv: P1,diver-contact,K1, => P1,diver-contact,K19B,"#,
        ],
        "landing/checks.csv:4",
        "K19B",
        "add K19B to plan/blocks.csv, or correct the name",
    ),
    slip(
        "one name given twice",
        &[r#"edit plan/blocks.csv: \nK13, => \nK12,"#],
        "plan/blocks.csv:14",
        "K12",
        "rename one of the two",
    ),
    slip(
        "a name with a space in it",
        &[r#"edit plan/openings.csv: \nOB7, => \nOB 7,"#],
        "plan/openings.csv:20",
        "OB 7",
        "rename it with these characters only",
    ),
    slip(
        "a word of one's own",
        &[r#"edit landing/drafts.csv: ,arrival,6.90,2.30, => ,coming in,6.90,2.30,"#],
        "landing/drafts.csv:2",
        "coming in",
        "write the one that fits",
    ),
    slip(
        "a grade that no standard has",
        &[
            r#"edit coating/preparation.csv: KL,exposed,blast,Sa2.5,65,24 => KL,exposed,blast,Sa4,65,24"#,
        ],
        "coating/preparation.csv:8",
        "Sa4",
        "write the grade alone",
    ),
    slip(
        "an extent misspelt",
        &[r#"edit coating/coats.csv: BS,exposed,2,EP2,EP2-1008 => BS,exposde,2,EP2,EP2-1008"#],
        "coating/coats.csv:10",
        "exposde",
        "write exposed, or draw the area",
    ),
    slip(
        "neither yes nor no, in two files",
        &[
            r#"edit hull/anodes.csv: AN3,16.20,1.17,9.9,4.7,yes => AN3,16.20,1.17,9.9,4.7,perhaps"#,
            r#"cell papers/papers.csv letter-k23.txt for_next_time: perhaps"#,
        ],
        "hull/anodes.csv:4",
        "perhaps",
        "write yes or no",
    ),
    slip(
        "times in words, in two files",
        &[
            r#"all hull/plating.csv: 2031-04-14T => the 14th at "#,
            r#"all hull/anodes.csv: 2031-04-11T => the 11th at "#,
        ],
        "hull/anodes.csv:2",
        "the 11th at 10:06:00",
        "write the year, the month, the day and the time of day",
    ),
    slip(
        "a day that no month has",
        &[r#"cell positions/positions.csv P1 dry: 2031-04-31T16:50:00+01:00"#],
        "positions/positions.csv:2",
        "2031-04-31T16:50:00+01:00",
        "April 2031 has no day 31",
    ),
    slip(
        "the letter O in a time",
        &[r#"edit landing/checks.csv: 2031-04-07T04:40:00+01:00 => 2O31-04-07 04:40"#],
        "landing/checks.csv:2",
        "2O31-04-07 04:40",
        "write 2031-04-07T04:40",
    ),
    slip(
        "a time of day alone",
        &[r#"edit plan/opened.csv: SC1,2031-04-23T09:10:00 => SC1,09:10"#],
        "plan/opened.csv:2",
        "09:10",
        "put the date before it",
    ),
    slip(
        "a time as a spreadsheet counts it",
        &[
            r#"edit positions/marks.csv: P1,M1,0.000,0.000,14.308,0.011,Anselm Dunmallow,2031-04-07T13:05:00+01:00 => P1,M1,0.000,0.000,14.308,0.011,Anselm Dunmallow,47945.5451388889"#,
        ],
        "positions/marks.csv:2",
        "47945.5451388889",
        "a spreadsheet's day number",
    ),
    slip(
        "decimal commas all down a table",
        &[
            r#"write plan/bottom.csv: part,order,x_m,y_m\nbottom,1,"6,40","-0,18"\nbottom,2,"90,00","-0,24"\nbottom,3,"90,00","0,24"\nbottom,4,"6,40","0,18"\n"#,
        ],
        "plan/bottom.csv:2",
        "6,40",
        "write 6.40",
    ),
    slip(
        "decimal commas that broke a row",
        &[r#"edit landing/buoyancy.csv: P1,-0.30,3.20,6.40,1.0 => P1,-0,30,3,20,6,40,1,0"#],
        "landing/buoyancy.csv:2",
        "",
        "use decimal points",
    ),
    slip(
        "the letter O in a number",
        &[r#"cell plan/blocks.csv K3 length_mm: 6OO"#],
        "plan/blocks.csv:4",
        "6OO",
        "write 600",
    ),
    slip(
        "thousands or decimals",
        &[r#"cell plan/openings.csv SC1 length_mm: 1,200"#],
        "plan/openings.csv:2",
        "1,200",
        "write 1200 if the comma separates thousands, or 1.200 if it is the decimal point",
    ),
    slip(
        "a number in another unit than its column's",
        &[r#"cell plan/blocks.csv K4 length_mm: 0.6 m"#],
        "plan/blocks.csv:5",
        "0.6 m",
        "convert it to mm",
    ),
    slip(
        "a guess in place of a reading",
        &[r#"cell plan/blocks.csv K5 height_mm: about 1350"#],
        "plan/blocks.csv:6",
        "about 1350",
        "write the number alone",
    ),
    slip(
        "a cell that must be filled",
        &[r#"cell plan/blocks.csv K6 station_m:"#],
        "plan/blocks.csv:7",
        "",
        "fill it in",
    ),
    slip(
        "names with commas between them",
        &[r#"cell plan/blocks.csv K7 positions: P1,P-2"#],
        "plan/blocks.csv:8",
        "P1,P-2",
        "write P1;P-2",
    ),
    slip(
        "a humidity over a hundred",
        &[
            r#"edit coating/climate.csv: 2031-04-07T18:40:00,,11.0,62 => 2031-04-07T18:40:00,,11.0,162"#,
        ],
        "coating/climate.csv:2",
        "162 %",
        "correct the reading",
    ),
];

/// What is said of them all, in 80 columns.
const SAID: &str = "tests/mistakes/forty.txt";

/// The most messages that forty slips may get.
const MOST: usize = 45;

/// A project with all of them.
fn slipped() -> Project {
    let project = Project::copied();
    for slip in SLIPS {
        slip.changes.iter().for_each(|change| make(&project, change));
    }
    project
}

#[test]
fn forty_slips_get_hardly_more_messages_and_each_is_led_to_by_one() {
    assert_eq!(SLIPS.len(), 40);
    let project = slipped();
    let problems = problems(&project);
    let mut causes: BTreeMap<u64, &Value> = BTreeMap::new();
    for problem in &problems {
        causes.entry(problem["cause"].as_u64().expect("a cause")).or_insert(problem);
    }
    assert!(causes.len() <= MOST, "{} messages", causes.len());
    let said = run(program().arg("check").arg(project.root()).env("COLUMNS", "80")).exits(1).out;
    assert_eq!(said.matches("\n      do: ").count(), causes.len());
    let mut wrong = Vec::new();
    for slip in SLIPS {
        let is_it = |problem: &&&Value| {
            let text = |key: &str| problem[key].as_str().unwrap_or_default();
            place(problem, false) == slip.place
                && text("value") == slip.value
                && text("advice").contains(slip.leads_to)
        };
        let found: Vec<&&Value> = causes.values().filter(is_it).collect();
        // The message begins with place and value, and no other does.
        let is_told = |problem: &&&Value| {
            let value = match problem["value"].as_str() {
                Some(value) => format!("{value:?}"),
                None => String::new(),
            };
            let head = format!("{}: {value}", place(problem, true));
            squeezed(&said).matches(&squeezed(&head)).count() == 1
        };
        if found.len() != 1 || !found.iter().all(is_told) {
            wrong.push(format!("{}: led to by {} messages", slip.what, found.len()));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}\n{said}");
    let root = project.root().display().to_string();
    expected::is(SAID, &said.replace(&root, "PROJECT"));
    assert!(said.lines().all(|line| line.chars().count() <= 80 || line.contains(&root)), "{said}");
}

/// Where a problem stands: file and line, or as its message has it.
fn place(problem: &Value, whole: bool) -> String {
    let text = |key: &str| problem[key].as_str().unwrap_or_default();
    let mut place = text("file").to_string();
    for part in [&problem["line"], &problem["column"]].into_iter().take(1 + usize::from(whole)) {
        place.extend(part.as_u64().map(|number| format!(":{number}")));
    }
    if whole && !text("name").is_empty() {
        place.push_str(&format!(" ({})", text("name")));
    }
    place
}

#[test]
fn every_place_of_a_cause_is_told_on_request() {
    let project = slipped();
    let said = run(program().args(["check", "--all"]).arg(project.root())).exits(1).out;
    let said = squeezed(&said);
    for problem in problems(&project) {
        let place = place(&problem, true);
        assert!(said.contains(&squeezed(&place)), "{place}");
    }
}
