//! A docking before she comes in: ship, plan, openings, products and planned values, and nothing recorded. What is said of
//! it is the same as after the plan was copied into what is recorded.

mod coats;

use std::collections::BTreeMap;

use lastdock::findings::finding::Outcome;
use lastdock::pages::planned::section;
use lastdock::pages::{Block, Cell, Section};
use lastdock::units::System;

use crate::common::{self, Project};

/// The files of what is seen, done and made in the course of a docking.
const RECORDED: [&str; 18] = [
    "positions/marks.csv",
    "positions/divers.csv",
    "landing/checks.csv",
    "landing/gaps.csv",
    "landing/water.csv",
    "plan/opened.csv",
    "coating/climate.csv",
    "coating/film.csv",
    "coating/gauges.csv",
    "coating/preparation.csv",
    "coating/stripes.csv",
    "coating/tests.csv",
    "hull/instruments.csv",
    "hull/repairs.csv",
    "hull/plating.csv",
    "hull/anodes.csv",
    "remarks.toml",
    "papers/papers.csv",
];

/// A planned value that stands for the recorded one where it is given, and is none of its own without it.
const PLANNED_MASS: (&str, &str) = ("planned_mass_t", "mass_t");

/// A file with planned values beside recorded ones.
struct Plan {
    file: &'static str,
    /// Columns of planned values, each with the recorded one to which it is copied.
    copied: &'static [(&'static str, &'static str)],
    /// Recorded columns that have no plan.
    only_recorded: &'static [&'static str],
}

const PLANS: &[Plan] = &[
    Plan {
        file: "positions/positions.csv",
        copied: &[
            ("planned_srp_station_m", "recorded_srp_station_m"),
            ("planned_offset_m", "recorded_offset_m"),
            ("planned_landed", "landed"),
            ("planned_dry", "dry"),
            ("planned_reflood", "reflood_began"),
            ("planned_afloat", "afloat"),
        ],
        only_recorded: &["yaw_deg", "flooding_began", "touched"],
    },
    Plan {
        file: "landing/drafts.csv",
        copied: &[("planned_draft_m", "draft_m")],
        only_recorded: &["at", "by"],
    },
    Plan { file: "landing/moved.csv", copied: &[("planned_at", "at")], only_recorded: &[] },
    Plan {
        file: "coating/coats.csv",
        copied: &[("planned_start", "began"), ("planned_finish", "ended")],
        only_recorded: &[
            "used_l",
            "wet_film_um",
            "by",
            "mixed",
            "used_up",
            "thinner",
            "thinner_share_pct",
        ],
    },
    // When they were opened and closed has no plan.
    Plan {
        file: "plan/openings.csv",
        copied: &[],
        only_recorded: &["opened_at", "opened_by", "closed_at", "closed_by", "tested_how"],
    },
];

/// A table of text, its header first.
type Rows = Vec<Vec<String>>;

fn rows(project: &Project, file: &str) -> Rows {
    let text = project.text(file);
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|row| row.expect("a row").iter().map(String::from).collect()).collect()
}

fn write(project: &Project, file: &str, rows: &Rows) {
    let mut writer = csv::Writer::from_writer(Vec::new());
    rows.iter().for_each(|row| writer.write_record(row).expect("a row"));
    project.write(file, writer.into_inner().expect("a CSV file"));
}

fn column(rows: &Rows, name: &str) -> usize {
    rows[0].iter().position(|head| head == name).unwrap_or_else(|| panic!("no column {name}"))
}

/// The sample before she comes in; with the plan copied into what is recorded, if that is wanted.
fn before_she_comes_in(is_copied: bool) -> Project {
    let project = Project::copied();
    for file in RECORDED {
        project.remove(file);
    }
    for entry in std::fs::read_dir(project.path("papers")).expect("papers") {
        std::fs::remove_file(entry.expect("a paper").path()).expect("to remove a paper");
    }
    // A block that slipped is found elsewhere only once she is landed: its planned row stands for it again.
    let blocks = rows(&project, "plan/blocks.csv");
    let (moved, stands) = (column(&blocks, "moved_from"), column(&blocks, "positions"));
    let slipped: Vec<String> = blocks[1..].iter().map(|row| row[moved].clone()).collect();
    let mut planned: Rows = blocks
        .into_iter()
        .enumerate()
        .filter(|(n, row)| *n == 0 || row[moved].is_empty())
        .map(|(_, row)| row)
        .collect();
    for row in planned.iter_mut().skip(1).filter(|row| slipped.contains(&row[0])) {
        row[stands].clear();
    }
    write(&project, "plan/blocks.csv", &planned);
    for plan in PLANS {
        let mut table = rows(&project, plan.file);
        let pairs: Vec<(usize, usize)> = plan
            .copied
            .iter()
            .map(|(from, to)| (column(&table, from), column(&table, to)))
            .collect();
        let emptied: Vec<usize> =
            plan.only_recorded.iter().map(|name| column(&table, name)).collect();
        for row in table.iter_mut().skip(1) {
            for (from, to) in &pairs {
                row[*to] = if is_copied { row[*from].clone() } else { String::new() };
            }
            emptied.iter().for_each(|at| row[*at].clear());
        }
        let is_planned = |row: &Vec<String>| {
            pairs.is_empty() || pairs.iter().any(|(from, _)| !row[*from].is_empty())
        };
        if is_copied && plan.file == "landing/moved.csv" {
            let [planned, mass] = [PLANNED_MASS.0, PLANNED_MASS.1].map(|name| column(&table, name));
            for row in table.iter_mut().skip(1).filter(|row| !row[planned].is_empty()) {
                row[mass] = row[planned].clone();
            }
        }
        let header = table.remove(0);
        table.retain(is_planned);
        assert!(!table.is_empty(), "the sample plans nothing in {}", plan.file);
        table.insert(0, header);
        write(&project, plan.file, &table);
    }
    if is_copied {
        read_the_planned_steel(&project);
    }
    project
}

/// The steel on which the plan counts, as if it had been read at the start and the finish of each coat.
fn read_the_planned_steel(project: &Project) {
    let coats = rows(project, "coating/coats.csv");
    let [began, ended, coldest, warmest] =
        ["began", "ended", "coldest_steel_c", "warmest_steel_c"].map(|name| column(&coats, name));
    let readings = coats[1..].iter().flat_map(|row| {
        [format!("{},{}", row[began], row[coldest]), format!("{},{}", row[ended], row[warmest])]
    });
    let all: Vec<String> =
        std::iter::once("at,steel_temperature_c".to_string()).chain(readings).collect();
    project.write("coating/climate.csv", all.join("\n") + "\n");
}

/// Every cell of the page's tables that gives a figure as planned, by its table, its column but for these words, and its
/// row's name; and the same of those as done.
fn figures(section: &Section) -> [BTreeMap<String, String>; 2] {
    let mut known = [BTreeMap::new(), BTreeMap::new()];
    let tables = section.blocks.iter().filter_map(|block| match block {
        Block::Table(table) => Some(table),
        _ => None,
    });
    for table in tables {
        for (column, head) in table.columns.iter().enumerate().skip(1) {
            let head = head.head.to_string().to_lowercase();
            let sides = ["as planned", "as done"];
            let Some(side) = sides.iter().position(|side| head.ends_with(side)) else { continue };
            let of = head.trim_end_matches(sides[side]);
            for row in &table.rows {
                let said = |cell: &Cell| match cell {
                    Cell::Text(text) => text.shown(System::Si),
                    other => format!("{other:?}"),
                };
                known[side].insert(format!("{of}{}", said(&row[0])), said(&row[column]));
            }
        }
    }
    known
}

#[test]
fn the_planning_page_says_the_same_as_after_the_plan_was_recorded() {
    let (before, after) = (before_she_comes_in(false), before_she_comes_in(true));
    let (before, after) = (common::examined(&before.root()), common::examined(&after.root()));
    let page = section(&before, []).expect("a planning page");
    let beside = section(&after, []).expect("planned beside done");
    let [planned, nothing] = figures(&page);
    let [planned_then, done] = figures(&beside);
    assert!(nothing.is_empty(), "{nothing:?}");
    assert!(planned.len() >= 15, "{planned:#?}");
    assert_eq!(planned, planned_then);
    assert_eq!(planned, done);
}

#[test]
fn what_is_found_as_planned_is_what_is_found_after_the_plan_was_recorded() {
    let (before, after) = (before_she_comes_in(false), before_she_comes_in(true));
    let (before, after) = (common::examined(&before.root()), common::examined(&after.root()));
    let judged: Vec<_> = before.findings.iter().filter(|finding| finding.as_planned).collect();
    assert!(judged.len() >= 40, "{}", judged.len());
    for finding in &judged {
        let recorded =
            after.finding_called(&finding.id).unwrap_or_else(|| panic!("{}", finding.id));
        assert_eq!(finding.outcome, recorded.outcome, "{}", finding.id);
        assert_eq!(finding.recorded, recorded.recorded, "{}", finding.id);
        assert_eq!(finding.recomputed, recorded.recomputed, "{}", finding.id);
        let said = finding.sentence.to_string();
        let (how, said) = said.split_once(": ").expect("how it is meant");
        assert!(how == "As planned" || how == "With P1 and P2 as planned", "{how}");
        assert_eq!(said, recorded.sentence.to_string(), "{}", finding.id);
        assert!(!recorded.as_planned);
    }
    // What is of plans and was judged by the record was judged by the plan, too.
    for recorded in after.findings.iter().filter(|finding| finding.subject.is_of_plans()) {
        let planned = judged.iter().any(|finding| finding.id == recorded.id);
        assert_eq!(planned, recorded.outcome != Outcome::NotRecorded, "{}", recorded.id);
    }
}

#[test]
fn a_plug_over_a_block_is_found_before_she_comes_in() {
    let project = before_she_comes_in(false);
    let clear = common::examined(&project.root());
    let drain = |examined: &lastdock::findings::Examined| {
        let finding =
            examined.finding_called("openings.DP1.P1.drain").expect("the finding").clone();
        (finding.outcome, finding.sentence.to_string(), finding.as_planned)
    };
    assert_eq!(
        drain(&clear),
        (
            Outcome::Agrees,
            "As planned: Docking plug DP1 was free to drain in P1.".to_string(),
            true
        )
    );
    // Off the line and with some shift the plug comes over a cap: found by trying, and the same as when it is recorded.
    project.edit_cell("positions/positions.csv", "P1", "planned_offset_m", "-0.4");
    let stations = (0..14).map(|step| format!("{:.2}", 14.3 + 0.1 * f64::from(step)));
    let under = stations.into_iter().find_map(|station| {
        project.edit_cell("positions/positions.csv", "P1", "planned_srp_station_m", &station);
        let found = drain(&common::examined(&project.root()));
        (found.0 == Outcome::BeyondLimit).then_some((station, found.1))
    });
    let (station, said) = under.expect("a station at which DP1 stands on a block");
    assert!(said.starts_with("As planned: Docking plug DP1 lies over K"), "{said}");
    project.edit_cell("positions/positions.csv", "P1", "recorded_srp_station_m", &station);
    project.edit_cell("positions/positions.csv", "P1", "recorded_offset_m", "-0.4");
    let (outcome, recorded, as_planned) = drain(&common::examined(&project.root()));
    assert_eq!((outcome, as_planned), (Outcome::BeyondLimit, false));
    assert_eq!(said, format!("As planned: {recorded}"));
}
