//! What the report says, read back from the PDF by poppler's `pdftotext`.

use crate::common::{closed, program, run, sample};
use crate::judge::{content, on_path};

/// The report's text without white space, so that broken lines do not matter, and without the soft
/// hyphens of broken words.
fn text() -> String {
    let said = content(on_path("pdftotext").arg(&closed().report).arg("-"));
    let text: String = said.out.split_whitespace().collect();
    text.replace(['\u{ad}', '\u{200b}', '\u{2060}'], "")
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn ship_dock_area_and_seal_of_the_records_are_there() {
    let text = text();
    for wanted in ["CalderWren", "GravingDockNo.1", "PortMerrin", "HesperOakapple"] {
        assert!(text.contains(wanted), "{wanted}");
    }
    // The never-exposed area that sample/expected.json has from shapely.
    assert!(text.contains("0.330m\u{b2}") || text.contains("0.330m2"), "the never-exposed area");
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_finding_and_every_answer_is_there() {
    let text = text();
    let json = run(program().args(["check", "--json"]).arg(sample())).exits(0).json();
    let findings = json["findings"].as_array().expect("findings");
    assert!(findings.len() > 300);
    let lacking: Vec<&str> = findings
        .iter()
        .map(|finding| finding["id"].as_str().unwrap())
        .filter(|id| !text.contains(id))
        .collect();
    assert!(lacking.is_empty(), "{lacking:?}");
    for finding in findings.iter().filter(|finding| finding["remark"].is_object()) {
        let answer: String =
            finding["remark"]["answer"].as_str().unwrap().split_whitespace().collect();
        assert!(text.contains(&answer[..40.min(answer.len())]), "{}", finding["id"]);
    }
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_block_opening_and_checksum_is_there() {
    let text = text();
    for (path, id) in [("plan-blocks", 89), ("plan-openings", 40)] {
        let table = closed().folder.join(format!("data/tables/{path}.csv"));
        let mut csv = csv::Reader::from_path(table).expect("a table");
        let ids: Vec<String> =
            csv.records().map(|row| row.expect("a row")[1].to_string()).collect();
        assert_eq!(ids.len(), id);
        assert!(ids.iter().all(|id| text.contains(id)), "{path}");
    }
    let manifest =
        std::fs::read_to_string(closed().folder.join("manifest-sha256.txt")).expect("a manifest");
    for line in manifest.lines().filter(|line| !line.ends_with("closeout-report.pdf")) {
        let (digest, path) = line.split_once("  ").expect("a digest and a path");
        assert!(text.contains(digest), "the checksum of {path}");
    }
}
