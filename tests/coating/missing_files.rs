//! Files of the coating and the hull left out, one by one and all together: check and closeout still work,
//! and what depended on the file is not recorded, never wrong.

use std::collections::BTreeMap;

use lastdock::findings::Examined;
use lastdock::findings::finding::Outcome;

use super::{EXAMINED, read};
use crate::common::{NAME, Project, closeout, program, run, verify};

/// A file, and the beginnings and ends of ids that must be not recorded or gone without it.
const FILES: [(&str, &[(&str, &str)]); 15] = [
    ("coating/zones.csv", &[]),
    ("coating/areas.csv", &[]),
    ("coating/products.toml", &[]),
    (
        "coating/scheme.csv",
        &[("coating.zone.", ".scheme"), ("coating.zone.", ".complete"), ("film.", ".coat1")],
    ),
    (
        "coating/preparation.csv",
        &[
            ("coating.", ".preparation.grade"),
            ("coating.", ".preparation.covered"),
            ("coating.", ".preparation.salts"),
        ],
    ),
    (
        "coating/coats.csv",
        &[("coating.KL.", ".claim"), ("coating.KL.", ".batch"), ("coating.zone.", ".complete")],
    ),
    (
        "coating/climate.csv",
        &[
            ("coating.", ".climate.margin"),
            ("coating.", ".climate.humidity"),
            ("coating.", ".climate.age"),
            ("climate.", ".dew_point"),
        ],
    ),
    ("coating/film.csv", &[("film.", ".coat1"), ("film.", ".coat1.place")]),
    ("coating/gauges.csv", &[("film.gauge.", ""), ("film.KL.", ".coat1"), ("film.BP.", ".coat1")]),
    ("coating/stripes.csv", &[("coating.zone.", ".stripe2")]),
    ("coating/tests.csv", &[("coating.test.SP.", "")]),
    (
        "hull/plating.csv",
        &[("plating.", ".loss"), ("plating.", ".original"), ("plating.", ".pits")],
    ),
    ("hull/instruments.csv", &[("plating.instrument.", "")]),
    ("hull/repairs.csv", &[("plating.repair.", "")]),
    ("hull/anodes.csv", &[("anodes.", "")]),
];

fn outcomes(examined: &Examined) -> BTreeMap<&str, Outcome> {
    examined.findings.iter().map(|finding| (finding.id.as_str(), finding.outcome)).collect()
}

/// Takes files away and the cells that name what stood in them, as a project has it that never kept them.
fn without(files: &[&str]) -> Project {
    let project = Project::copied();
    project.write("remarks.toml", "");
    // Photographs name anodes and products.
    project.write("papers/papers.csv", "file,kind,about,taken_at,by,caption,in_report\n");
    // A repair names a plate.
    let repairs = project.text("hull/repairs.csv").replace("plate:F-S.14", "");
    project.write("hull/repairs.csv", repairs);
    for file in files {
        project.remove(file);
    }
    project
}

#[test]
fn each_alone() {
    let whole = outcomes(&EXAMINED);
    for (file, depend) in FILES {
        // Zones, areas and products are named by other files, which are refused without them.
        if depend.is_empty() {
            let said = run(program().arg("check").arg(without(&[file]).root())).exits(1);
            assert!(said.out.contains(".csv"), "{file}: {}", said.out);
            continue;
        }
        let project = without(&[file]);
        let examined = read(&project.root());
        let found = outcomes(&examined);
        for (begins, ends) in depend {
            let of = |id: &&&str| id.starts_with(begins) && id.ends_with(ends);
            assert!(whole.keys().filter(of).count() > 0, "no id {begins}...{ends}");
            for (id, outcome) in found.iter().filter(|(id, _)| of(id)) {
                assert_eq!(*outcome, Outcome::NotRecorded, "{id} without {file}");
            }
        }
        // A file that is not there contradicts nothing that agreed.
        for (id, outcome) in &found {
            let agreed = whole.get(id).is_none_or(|before| *before == Outcome::Agrees);
            let worse = *outcome == Outcome::Differs;
            assert!(!(agreed && worse), "{id} differs without {file}");
        }
        let status = examined.unanswered().next().map_or(0, |_| 3);
        let said = run(program().args(["check", "--all"]).arg(project.root())).exits(status);
        assert!(!said.out.contains("NaN") && !said.out.contains(" inf"), "{file}: {}", said.out);
    }
}

#[test]
#[ignore = "slow: .ci/run runs it"]
fn each_alone_is_closed_out() {
    for (file, _) in FILES.iter().filter(|(_, depend)| !depend.is_empty()) {
        let project = without(&[file]);
        let status = read(&project.root()).unanswered().next().map_or(0, |_| 3);
        closeout(&project.root(), &project.out()).exits(status);
        verify(&project.out().join(format!("{NAME}.zip"))).exits(0);
    }
}

#[test]
fn all_together() {
    let project = without(&[]);
    std::fs::remove_dir_all(project.path("coating")).expect("the folder");
    std::fs::remove_dir_all(project.path("hull")).expect("the folder");
    let docking = project.text("docking.toml");
    let before = docking.split("[[film_for_zone]]").next().expect("a beginning");
    let closeout_table = docking.split("[closeout]").nth(1).expect("a table");
    project.write("docking.toml", format!("{before}[closeout]{closeout_table}"));
    let examined = read(&project.root());
    let of_coating = |id: &str| id.starts_with("coating.") || id.starts_with("film.");
    for (id, outcome) in outcomes(&examined).into_iter().filter(|(id, _)| of_coating(id)) {
        assert_eq!(outcome, Outcome::NotRecorded, "{id}");
    }
    closeout(&project.root(), &project.out()).exits(3);
    verify(&project.out().join(format!("{NAME}.zip"))).exits(0);
}

#[test]
fn products_or_areas_that_nothing_names_may_be_absent() {
    let project = without(&["coating/areas.csv"]);
    let coats = project.text("coating/coats.csv");
    let kept: Vec<&str> = coats.lines().filter(|line| !line.contains("RING1")).collect();
    project.write("coating/coats.csv", kept.join("\n"));
    let film = project.text("coating/film.csv").replace(",RING1,", ",,");
    project.write("coating/film.csv", film);
    let tests = project.text("coating/tests.csv").replace(",RING1,", ",,");
    project.write("coating/tests.csv", tests);
    assert!(read(&project.root()).findings.len() > 900);
    let project = without(&[
        "coating/products.toml",
        "coating/scheme.csv",
        "coating/coats.csv",
        "coating/stripes.csv",
    ]);
    let examined = read(&project.root());
    let complete = examined.findings.iter().find(|f| f.id == "coating.zone.KL.complete");
    assert_eq!(complete.expect("the finding").outcome, Outcome::NotRecorded);
}
