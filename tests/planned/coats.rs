//! Coats before paint is bought: the sample's own as if they were all still planned, against the independent expectation
//! and against the same copied into the record; and a plan of three landings worked out by hand.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use lastdock::findings::Examined;
use lastdock::findings::day::Day;
use lastdock::findings::finding::{Finding, Outcome};
use lastdock::findings::progress::{self, Owed, Progress};
use lastdock::findings::recomputed::coating::windows::{Immersion, Interval};
use lastdock::findings::subject::Subject;
use lastdock::pages::planned::coats::coats as page;
use lastdock::pages::{Block, Cell, Section};
use lastdock::tables::tables;
use lastdock::units::System;

use super::{Rows, column, rows, write};
use crate::common::{self, Project};

const COATS: &str = "coating/coats.csv";
const POSITIONS: &str = "positions/positions.csv";

/// Coldest and warmest steel of the plan, degrees Celsius.
const STEEL: (f64, f64) = (8.0, 14.0);

/// A column's name, and its cell for a row.
type Filled<'a> = (&'a str, &'a dyn Fn(&[String]) -> String);

/// Fills in columns.
fn with_columns(rows: &mut Rows, columns: &[Filled<'_>]) {
    let places: Vec<usize> = columns.iter().map(|(name, _)| column(rows, name)).collect();
    for row in rows.iter_mut().skip(1) {
        let cells: Vec<String> = columns.iter().map(|(_, cell)| cell(row)).collect();
        places.iter().zip(cells).for_each(|(place, cell)| row[*place] = cell);
    }
}

/// The sample with the times of its positions and coats as planned ones, and its positions planned where she lay; the
/// recorded times are kept or not.
fn planned(is_recorded: bool) -> Project {
    let project = Project::copied();
    for file in [
        "positions/divers.csv",
        "plan/positions.csv",
        "coating/climate.csv",
        "coating/preparation.csv",
        "landing/water.csv",
        "remarks.toml",
        "papers/papers.csv",
    ] {
        project.remove(file);
    }
    project.remove("positions/marks.csv");
    // A block that was found elsewhere is no part of a plan.
    let mut blocks = rows(&project, "plan/blocks.csv");
    let moved = column(&blocks, "moved_from");
    blocks.retain(|row| row[moved].is_empty() || row[moved] == "moved_from");
    write(&project, "plan/blocks.csv", &blocks);
    let mut coats = rows(&project, COATS);
    let [began, ended, used, film] =
        ["began", "ended", "used_l", "wet_film_um"].map(|name| column(&coats, name));
    with_columns(
        &mut coats,
        &[
            ("planned_start", &|row| row[began].clone()),
            ("planned_finish", &|row| row[ended].clone()),
            ("coldest_steel_c", &|_| STEEL.0.to_string()),
            ("warmest_steel_c", &|_| STEEL.1.to_string()),
        ],
    );
    if !is_recorded {
        for row in coats.iter_mut().skip(1) {
            [began, ended, used, film].into_iter().for_each(|at| row[at].clear());
        }
    }
    write(&project, COATS, &coats);
    let mut positions = rows(&project, POSITIONS);
    let from_plan = column(&positions, "from_plan");
    positions.iter_mut().skip(1).for_each(|row| row[from_plan].clear());
    let at = |name: &str| column(&positions, name);
    let [station, offset, yaw] = ["recorded_srp_station_m", "recorded_offset_m", "yaw_deg"].map(at);
    let [landed, dry, reflood, afloat] = ["landed", "dry", "reflood_began", "afloat"].map(at);
    let plans = ["planned_srp_station_m", "planned_offset_m"].map(at);
    let undone = ["flooding_began", "touched"].map(at);
    for row in positions.iter_mut().skip(1) {
        row[plans[0]] = row[station].clone();
        row[plans[1]] = row[offset].clone();
        row[yaw].clear();
        undone.iter().for_each(|at| row[*at].clear());
    }
    with_columns(
        &mut positions,
        &[
            ("planned_landed", &|row| row[landed].clone()),
            ("planned_dry", &|row| row[dry].clone()),
            ("planned_reflood", &|row| row[reflood].clone()),
            ("planned_afloat", &|row| row[afloat].clone()),
        ],
    );
    if !is_recorded {
        for row in positions.iter_mut().skip(1) {
            [station, offset, landed, dry, reflood, afloat]
                .into_iter()
                .for_each(|at| row[at].clear());
        }
    }
    write(&project, POSITIONS, &positions);
    project
}

/// The same with the plan's steel as if it had been read at the start and the finish of every coat.
fn done_as_planned() -> Project {
    let project = planned(true);
    let coats = rows(&project, COATS);
    let [began, ended] = ["began", "ended"].map(|name| column(&coats, name));
    let readings = coats[1..].iter().flat_map(|row| {
        [format!("{},{}", row[began], STEEL.0), format!("{},{}", row[ended], STEEL.1)]
    });
    let head = "at,steel_temperature_c".to_string();
    let all: Vec<String> = std::iter::once(head).chain(readings).collect();
    project.write("coating/climate.csv", all.join("\n") + "\n");
    project
}

fn name(examined: &Examined, coat: usize) -> &str {
    &examined.project.coats[coat].name
}

type Intervals<'a> = BTreeMap<(&'a str, &'a str), &'a Interval>;

/// Intervals by the names of the earlier and the later coat: on the same steel, and round patches.
fn intervals(examined: &Examined) -> [Intervals<'_>; 2] {
    let by_name = |one: &Interval| (name(examined, one.lower), name(examined, one.upper));
    let applied = || examined.recomputed.coating.applied.iter();
    [
        applied().flat_map(|applied| &applied.over).map(|one| (by_name(one), one)).collect(),
        applied().flat_map(|applied| &applied.tie_ins).map(|one| (by_name(one), one)).collect(),
    ]
}

#[test]
fn planned_intervals_are_those_of_an_independent_program() {
    let examined = common::examined(&planned(false).root());
    assert!(examined.project.coats.is_empty());
    let plan = examined.as_planned().expect("a plan");
    let expected = common::expected("expected_coating.json");
    for (found, key) in intervals(plan).into_iter().zip(["recoat", "tie_ins"]) {
        let wanted: BTreeMap<(&str, &str), (f64, f64)> = expected[key]
            .as_array()
            .expect("a list")
            .iter()
            .map(|one| {
                let text = |key: &str| one[key].as_str().expect("a name");
                let hours = |key: &str| one[key].as_f64().expect("hours");
                let spans = (hours("least_interval_h"), hours("greatest_interval_h"));
                ((text("earlier"), text("later")), spans)
            })
            .collect();
        assert_eq!(found.keys().collect::<Vec<_>>(), wanted.keys().collect::<Vec<_>>(), "{key}");
        for (pair, (shortest_h, longest_h)) in wanted {
            let one = found[&pair];
            assert!((one.shortest_h - shortest_h).abs() < 1e-8, "{pair:?}");
            assert!((one.longest_h - longest_h).abs() < 1e-8, "{pair:?}");
            assert_eq!(one.steel_c, Some(STEEL), "{pair:?}");
        }
    }
}

#[test]
fn what_is_planned_comes_to_the_same_as_after_it_was_recorded() {
    let (before, after) = (planned(false), done_as_planned());
    let (before, after) = (common::examined(&before.root()), common::examined(&after.root()));
    let plan = before.as_planned().expect("a plan");
    for (planned, done) in intervals(plan).into_iter().zip(intervals(&after)) {
        assert!(planned.len() > 20);
        assert_eq!(planned.keys().collect::<Vec<_>>(), done.keys().collect::<Vec<_>>());
        for (pair, planned) in planned {
            let done = done[&pair];
            assert_eq!(planned.meet, done.meet, "{pair:?}");
            assert_eq!(
                (planned.shortest_h, planned.longest_h, planned.steel_c, planned.flooded),
                (done.shortest_h, done.longest_h, done.steel_c, done.flooded),
                "{pair:?}"
            );
            assert_eq!((&planned.table, planned.kept), (&done.table, done.kept), "{pair:?}");
        }
    }
    let immersions = |examined: &Examined| -> Vec<Immersion> {
        let applied = examined.recomputed.coating.applied.iter();
        applied.flat_map(|applied| &applied.immersions).copied().collect()
    };
    let times = |all: Vec<Immersion>| -> Vec<_> {
        all.iter().map(|one| (one.position, one.after_h, one.too_soon)).collect()
    };
    assert_eq!(times(immersions(plan)), times(immersions(&after)));
    let windows = |finding: &&Finding| {
        matches!(finding.subject, Subject::Recoat(..) | Subject::TieIn(..) | Subject::Immersion(..))
    };
    let mut judged = 0;
    for finding in before.findings.iter().filter(windows) {
        let recorded = after.finding(&finding.subject).unwrap_or_else(|| panic!("{}", finding.id));
        assert!(finding.as_planned, "{}", finding.id);
        assert_eq!(finding.outcome, recorded.outcome, "{}", finding.id);
        assert_eq!(finding.sentence.to_string(), format!("As planned: {}", recorded.sentence));
        judged += 1;
    }
    assert!(judged > 30, "{judged}");
}

/// A coat more that is planned after everything recorded.
const TO_COME: &str = "KL,exposed,4,AF4,,,,,,,,2031-04-28T09:00:00,2031-04-28T11:00:00,8,14,,,,\n";

#[test]
fn a_coat_that_is_only_planned_counts_nowhere_as_done() {
    let sample = common::examined(&common::sample());
    let project = Project::copied();
    project.append(COATS, TO_COME);
    let more = common::examined(&project.root());
    assert_eq!(more.project.planned_coats.len(), 1);
    let told = |examined: &Examined| -> Vec<String> {
        let record = examined.findings.iter().filter(|finding| !finding.as_planned);
        record
            .map(|finding| {
                // How many rows and values were looked through is told of planned ones, too.
                let counts = matches!(finding.subject, Subject::Doubles | Subject::Ranges);
                let sentence = if counts { String::new() } else { finding.sentence.to_string() };
                format!("{:?} {}: {sentence}", finding.outcome, finding.id)
            })
            .collect()
    };
    assert_eq!(told(&sample), told(&more));
    assert!(more.findings.iter().any(|finding| finding.as_planned));
    // What is planned may want an answer, too.
    let owed = |examined: &Examined| -> Vec<Owed> {
        let owed = Progress::new(examined).owed.into_iter();
        owed.filter(|owed| owed.section != progress::Section::Closeout).collect()
    };
    assert!(owed(&sample) == owed(&more));
    let days = [&sample, &more].map(|examined| Day::new(examined, None).expect("a day"));
    assert_eq!((days[0].as_of, &days[0].recorded), (days[1].as_of, &days[1].recorded));
    assert_eq!(sample.recomputed.chronology.dated.len(), more.recomputed.chronology.dated.len());
    let derived = |examined: &Examined| -> BTreeMap<String, Vec<Vec<String>>> {
        let own =
            tables(examined).into_iter().filter(|table| table.name.starts_with("recomputed-"));
        own.filter(|table| !table.name.contains("findings"))
            .map(|table| (table.name.to_string(), table.rows.clone()))
            .collect()
    };
    let (before, after) = (derived(&sample), derived(&more));
    let differing: Vec<&String> =
        before.keys().filter(|name| before.get(*name) != after.get(*name)).collect();
    assert!(differing.is_empty() && before.len() == after.len(), "{differing:?}");
}

/// Three landings. K1 and K2 stand so that x 9.5 to 10.5 lies under K1 in P1 and under K2 in P2, and is free in P3 alone;
/// x 8 to 9 lies under K2 in P1, and is free in P2.
fn three_landings(folder: &Path) {
    let files = [
        (
            "docking.toml",
            "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n[period]\noffset = \"+00:00\"\n"
                .to_string(),
        ),
        (
            "plan/blocks.csv",
            "block,row,station_m,offset_m,length_m,width_m\nK1,keel,20,0,1,1\nK2,keel,18.5,0,1,1\n".into(),
        ),
        (
            "plan/bottom.csv",
            "part,order,x_m,y_m\nbottom,1,0,-3\nbottom,2,30,-3\nbottom,3,30,3\nbottom,4,0,3\n".into(),
        ),
        (
            POSITIONS,
            "position,planned_srp_station_m,planned_offset_m,planned_landed,planned_dry,planned_reflood\n\
             P1,10,0,2031-03-31T18:00,2031-04-01T00:00,2031-04-05T00:00\n\
             P2,8.5,0,2031-04-06T06:00,2031-04-06T12:00,2031-04-13T00:00\n\
             P3,7,0,2031-04-14T06:00,2031-04-14T12:00,2031-04-24T00:00\n"
                .into(),
        ),
        ("coating/zones.csv", "zone,kind\nF1,bottom\nS1,side\n".into()),
        ("coating/scheme.csv", "zone,coat,product\nF1,1,EP1\nS1,1,EP1\n".into()),
        ("coating/products.toml", products()),
        (
            COATS,
            "zone,extent,coat,product,planned_start,planned_finish,coldest_steel_c,warmest_steel_c\n\
             F1,exposed,1,EP1,2031-04-02T08:00,2031-04-02T14:00,11,14\n\
             F1,patches,1,EP1,2031-04-10T08:00,2031-04-10T12:00,11,14\n\
             F1,patches,1,EP1,2031-04-18T08:00,2031-04-18T12:00,11,14\n"
                .into(),
        ),
    ];
    for (file, text) in files {
        let path = folder.join(file);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("to make a folder");
        std::fs::write(path, text).expect("to write a file");
    }
}

/// EP1 as a data sheet might have it: 12 h and 14 days on the strict side between 10 and 20 degrees C, under TX 30 days;
/// LX has 40 days; SX closes after two.
fn products() -> String {
    let row = |product: &str, c: u32, least_h: u32, greatest_d: u32, by: &str| {
        let by = if by.is_empty() { String::new() } else { format!("by = \"{by}\"\n") };
        format!(
            "[[recoat]]\nproduct = \"{product}\"\nsteel_temperature_c = {c}\nleast_h = {least_h}\n\
             greatest_d = {greatest_d}\n{by}"
        )
    };
    let product =
        |name: &str| format!("[[product]]\nproduct = \"{name}\"\nleast_to_immersion_h = 96\n");
    [
        ["EP1", "TX", "LX", "SX"].map(product).concat(),
        row("EP1", 10, 12, 21, ""),
        row("EP1", 20, 6, 14, ""),
        row("EP1", 10, 12, 30, "TX"),
        row("EP1", 20, 12, 30, "TX"),
        row("LX", 10, 12, 40, ""),
        row("LX", 20, 12, 40, ""),
        row("SX", 10, 12, 2, ""),
        row("SX", 20, 12, 2, ""),
    ]
    .concat()
}

/// The text of a section, a line for each paragraph, point and row.
fn lines(section: &Section) -> Vec<String> {
    let shown = |cell: &Cell| match cell {
        Cell::Text(text) => text.shown(System::Si),
        other => format!("{other:?}"),
    };
    let each = section.blocks.iter().flat_map(|block| match block {
        Block::Heading(_, text) | Block::Paragraph(text) | Block::Note(text) => {
            vec![text.shown(System::Si)]
        }
        Block::List(points) => points.iter().map(|point| point.shown(System::Si)).collect(),
        Block::Table(table) => table
            .rows
            .iter()
            .map(|row| row.iter().map(shown).collect::<Vec<_>>().join(" | "))
            .collect(),
        _ => Vec::new(),
    });
    each.map(|line| line.replace('\u{a0}', " ")).collect()
}

#[test]
fn a_third_landing_pushes_past_the_window_that_a_second_keeps() {
    let folder = common::temporary();
    three_landings(folder.path());
    let examined = common::examined(folder.path());
    let plan = examined.as_planned().expect("a plan");
    let [over, tie_ins] = intervals(plan);
    assert!(over.is_empty(), "{over:?}");
    let [field, second, third] =
        ["F1.coat1.exposed-P1", "F1.coat1.patches-P2", "F1.coat1.patches-P3"];
    // From 14:00 on the 2nd to 08:00 on the 10th are 186 h, from 08:00 to 12:00 are 196 h; 14 days are 336 h.
    let at_second = tie_ins[&(field, second)];
    assert_eq!((at_second.shortest_h, at_second.longest_h), (186.0, 196.0));
    assert!(at_second.flooded && at_second.late_h().is_none());
    // To 12:00 on the 18th are 388 h: 52 h too late.
    let at_third = tie_ins[&(field, third)];
    assert_eq!((at_third.shortest_h, at_third.longest_h), (378.0, 388.0));
    assert_eq!(at_third.late_h(), Some(52.0));
    let names = at_third.that_hold(&plan.project);
    let names =
        names.map(|products| products.iter().map(|one| one.id.as_str()).collect::<Vec<_>>());
    // LX stands in no scheme and holds over nothing here; what the table names for the coat above is TX.
    assert_eq!(names, [vec!["TX"], vec!["LX"]]);
    let found = examined
        .finding_called(&format!("coating.{third}.border.{field}"))
        .expect("the finding of the third landing");
    assert_eq!((found.outcome, found.as_planned), (Outcome::BeyondLimit, true));
    assert!(found.sentence.to_string().contains("ended 2.2 d before"), "{}", found.sentence);
    assert!(examined.finding_called(&format!("coating.{second}.border.{field}")).is_none());
    // Sixty hours from the second patch to the water, of ninety-six.
    let soon: BTreeSet<&str> = examined
        .findings
        .iter()
        .filter(|f| {
            matches!(f.subject, Subject::Immersion(..)) && f.outcome == Outcome::BeyondLimit
        })
        .map(|finding| finding.id.as_str())
        .collect();
    assert_eq!(
        soon,
        BTreeSet::from([
            "coating.F1.coat1.exposed-P1.immersion.P1",
            "coating.F1.coat1.patches-P2.immersion.P2"
        ])
    );
    let section = page(&examined).expect("the page");
    let told = lines(&section);
    let has = |wanted: &str| {
        assert!(told.iter().any(|line| line.contains(wanted)), "{wanted}\n{told:#?}")
    };
    has(
        "3 coats are planned; recorded as done: 0. Of the schemes\u{2019} coats these are neither planned nor \
         recorded: S1 coat 1.",
    );
    has("across a flooding, over which no window runs");
    has("TX in place of EP1; LX in place of EP1 below");
    has("F1.coat1.patches-P2 | P2 | 60.00 h of 96.00 h | 36.00 h");
}

#[test]
fn once_it_is_done_the_record_stands_beside_the_plan() {
    let folder = common::temporary();
    three_landings(folder.path());
    let path = folder.path().join(COATS);
    let text = std::fs::read_to_string(&path).expect("the coats");
    let mut rows: Vec<String> = text.lines().map(String::from).collect();
    rows[0] += ",began,ended";
    rows[1] += ",2031-04-03T08:00,2031-04-03T16:00";
    rows[2] += ",,";
    rows[3] += ",,";
    std::fs::write(&path, rows.join("\n") + "\n").expect("to write the coats");
    let examined = common::examined(folder.path());
    assert_eq!((examined.project.coats.len(), examined.project.planned_coats.len()), (1, 2));
    let told = lines(&page(&examined).expect("the page"));
    assert!(
        told.iter()
            .any(|line| line.starts_with("F1.coat1.exposed-P1 | ") && line.ends_with("| 26.00 h")),
        "{told:#?}"
    );
    // From the record's own start, 08:00 on the 3rd, to 12:00 on the 18th are 364 h: 28 h too late.
    let found = examined.finding_called("coating.F1.coat1.patches-P3.border.F1.coat1.exposed-P1");
    let found = found.expect("as it stands now");
    assert!(found.sentence.to_string().contains("ended 28.00 h before"), "{}", found.sentence);
}
