//! What the report says, read back from the PDF by poppler.

use lastdock::bundle::digest;

use crate::common::{NAME, Project, Zip, closed, files, program, run, sample, temporary};
use crate::judge::{content, judge, on_path};

/// The report's text up to a page, in the order in which the file draws it: cell by cell, so that an id
/// that a narrow column breaks stays together.
pub fn text_to(page: Option<u64>) -> String {
    let mut command = on_path("pdftotext");
    if let Some(page) = page {
        command.args(["-l", &page.to_string()]);
    }
    content(command.arg("-raw").arg(&closed().report).arg("-")).out
}

/// The report's text as it flows over the pages: without what stands above and below each.
pub fn flowing() -> String {
    let text = text_to(None);
    let pages = text.split_terminator('\u{c}').map(|page| {
        let lines: Vec<&str> = page.lines().collect();
        // The ship with the days, and the section; the document with the page.
        lines.get(2..lines.len().saturating_sub(1)).unwrap_or_default().join("\n")
    });
    pages.collect::<Vec<_>>().join("\n")
}

/// A text without white space and without hyphens of any kind, so that it does not matter where words
/// were broken.
pub fn plain(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !"-\u{ad}\u{2010}\u{2011}\u{200b}\u{2060}".contains(*c))
        .collect()
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn ship_dock_area_and_checksum_of_the_records_are_there() {
    let text = plain(&text_to(None));
    for wanted in ["CalderWren", "GravingDockNo.1", "PortMerrin", "HesperOakapple"] {
        assert!(text.contains(wanted), "{wanted}");
    }
    // The never-exposed area that sample/expected.json has from shapely.
    assert!(text.contains("0.330m\u{b2}") || text.contains("0.330m2"), "the never-exposed area");
    // The checksum of the records, as the report explains it: SHA-256 of their lines of the manifest.
    let manifest = std::fs::read_to_string(closed().folder.join("manifest-sha256.txt"));
    let lines: String = manifest
        .expect("a manifest")
        .split_inclusive('\n')
        .filter(|line| ["  data/records/", "  data/papers/"].iter().any(|part| line.contains(part)))
        .collect();
    assert!(text.contains(&digest::sha256(lines.as_bytes())), "the checksum of the records");
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_finding_that_does_not_agree_and_every_answer_is_there() {
    let text = plain(&text_to(None));
    let json = run(program().args(["check", "--json"]).arg(sample())).exits(0).json();
    let findings = json["findings"].as_array().expect("findings");
    assert!(findings.len() > 300);
    let agrees = |finding: &&serde_json::Value| finding["outcome"] == "agrees";
    let counted = format!("Total{}", findings.iter().filter(agrees).count());
    assert!(text.contains(&counted), "{counted}");
    let lacking: Vec<&str> = findings
        .iter()
        .filter(|finding| !agrees(finding))
        .map(|finding| finding["id"].as_str().unwrap())
        .filter(|id| !text.contains(&plain(id)))
        .collect();
    assert!(lacking.is_empty(), "{lacking:?}");
    for finding in findings.iter().filter(|finding| finding["remark"].is_object()) {
        let answer = plain(finding["remark"]["answer"].as_str().unwrap());
        assert!(text.contains(&answer), "{}: {answer}", finding["id"]);
    }
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_block_and_opening_and_every_folder_of_the_bundle_is_there() {
    let text = plain(&text_to(None));
    for (path, id) in [("plan-blocks", 89), ("plan-openings", 40)] {
        let table = closed().folder.join(format!("data/tables/{path}.csv"));
        let mut csv = csv::Reader::from_path(table).expect("a table");
        let ids: Vec<String> =
            csv.records().map(|row| row.expect("a row")[1].to_string()).collect();
        assert_eq!(ids.len(), id);
        assert!(ids.iter().all(|id| text.contains(&plain(id))), "{path}");
    }
    for folder in ["data/drawings/", "data/papers/", "data/records/", "data/tables/"] {
        let held = files(&closed().folder.join(folder)).len();
        assert!(text.contains(&plain(&format!("{folder}{held}"))), "{folder}: {held} files");
    }
}

/// The rows of the table of lift-off say what their findings say: predicted, read, tolerance, outcome.
#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn the_list_at_lift_off_is_held_against_its_tolerance() {
    let said = content(on_path("pdftotext").arg("-layout").arg(&closed().report).arg("-")).out;
    let is_list = |line: &&str| line.contains("List, + to port") && line.contains("0.250");
    let rows: Vec<&str> = said.lines().filter(is_list).collect();
    assert_eq!(rows.len(), 1, "both positions stand in one row: {rows:?}");
    assert_eq!(rows[0].matches("agrees").count(), 2, "{rows:?}");
}

/// Of very many papers the report counts those of which there is nothing to say.
#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn of_very_many_papers_only_what_is_amiss_is_printed() {
    const MANY: usize = 1_050;
    /// The sample's papers that are no pictures.
    const LETTERS: usize = 1;
    let project = Project::copied();
    let listed = project.text("papers/papers.csv").lines().count() - 1;
    for n in 0..MANY {
        project.write(&format!("papers/day-{n:04}.txt"), format!("day {n}\n"));
        project.append(
            "papers/papers.csv",
            &format!("day-{n:04}.txt,log,,,,The day\u{2019}s log.,no,,\n"),
        );
    }
    project.write("papers/day-0500.txt", "");
    let zip = Zip::close_out(&project, 3);
    let report = zip.path.with_file_name(format!("{NAME}-report.pdf"));
    let text = plain(&content(on_path("pdftotext").arg("-raw").arg(report).arg("-")).out);
    for wanted in [
        // The pictures have a table of their own.
        format!("{} papers are listed, too many to print", MANY + LETTERS),
        format!("data/papers/ {}", MANY + listed),
        "papers.day-0500.txt.kind".into(),
    ] {
        assert!(text.contains(&plain(&wanted)), "{wanted}");
    }
    assert!(!text.contains("day0501.txt"));
}

/// Ids of findings, of blocks and openings, and paths: whoever searches for one as it is written in the records finds it.
#[test]
#[ignore = "needs the PyPI package pymupdf, see tests/outside/README.md"]
fn whoever_searches_for_an_id_or_a_path_finds_it() {
    let json = run(program().args(["check", "--json"]).arg(sample())).exits(0).json();
    let findings = json["findings"].as_array().expect("findings");
    let told = findings.iter().filter(|finding| finding["outcome"] != "agrees");
    let mut words: Vec<String> =
        told.filter_map(|finding| finding["id"].as_str()).map(str::to_string).collect();
    assert!(words.len() > 20, "{words:?}");
    // Those that section 2, the tables and the drawings name, and files that the report sends its reader to.
    let more =
        ["BS6", "K23", "IN2", "AN17", "hull/plating.csv", "landing/water.csv", "data/findings.csv"];
    words.extend(more.map(str::to_string));
    let folder = temporary();
    let list = folder.path().join("words.txt");
    std::fs::write(&list, words.join("\n")).expect("to write");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/search.py");
    let mut command = judge("python");
    command.arg(script).arg(&closed().report);
    content(command.stdin(std::fs::File::open(&list).expect("the words")));
}
