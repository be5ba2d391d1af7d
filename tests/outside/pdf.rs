//! The report as a PDF: syntax, fonts, attachments, and conformance to PDF/A-3a (ISO 19005-3) and
//! PDF/UA-1 (ISO 14289-1), each by several judges, since every one of them is blind somewhere.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::common::{
    NAME, Project, closed, closeout_command, files, program, run, sample, temporary, unpack,
};
use crate::judge::{conformance, content, judge, on_path};
use crate::report::{plain, text_to};

fn report() -> &'static Path {
    &closed().report
}

#[test]
#[ignore = "needs the PyPI package page-validation and qpdf, see tests/outside/README.md"]
fn page_validation_finds_nothing_against_pdf_a_and_pdf_ua() {
    content(conformance().arg(report()));
    content(conformance().arg(&closed().summary));
}

/// The tables set for paper keep both standards, hold every row of the bundle's tables, and give the same bytes twice.
#[test]
#[ignore = "needs the PyPI packages page-validation and outloud, qpdf and poppler-utils, see tests/outside/README.md"]
fn the_tables_on_paper_are_whole_and_keep_both_standards() {
    let project = Project::copied();
    let docking = project.text("docking.toml");
    project
        .write("docking.toml", docking.replace("[closeout]", "[closeout]\ntables_volume = true"));
    let out = temporary();
    let json = run(closeout_command(&project.root(), out.path()).arg("--json")).exits(0).json();
    let parts = json["tables"].as_array().expect("parts");
    assert!(!parts.is_empty());
    let mut text = String::new();
    for part in parts {
        let part = Path::new(part.as_str().expect("a path"));
        content(conformance().arg(part));
        text.push_str(&content(on_path("pdftotext").arg("-raw").arg(part).arg("-")).out);
        let json = run(judge("outloud").args(["--json", "-"]).arg(part)).json();
        assert!(json["results"][0]["error"].is_null(), "{}", json["results"][0]["error"]);
    }
    let text = plain(&text);
    let unpacked = unpack(&out.path().join(format!("{NAME}.zip")), &out.path().join("unpacked"));
    let inside = files(&unpacked.join("data/closeout-tables"));
    assert_eq!(inside.len(), parts.len());
    for ((_, inside), beside) in inside.iter().zip(parts) {
        assert!(*inside == std::fs::read(beside.as_str().expect("a path")).expect("the part"));
    }
    for (path, key) in [("coating-film", 1), ("plan-blocks", 1), ("hull-plating", 1)] {
        let mut csv = csv::Reader::from_path(unpacked.join(format!("data/tables/{path}.csv")))
            .expect("a table");
        for row in csv.records() {
            let row = row.expect("a row");
            assert!(text.contains(&plain(&row[key])), "{path}: {}", &row[key]);
        }
    }
}

/// The comparison of the sample with the docking before it, and what it says as JSON.
fn compared(out: &Path) -> (PathBuf, serde_json::Value) {
    let pdf = out.join("compared.pdf");
    let mut compare = program();
    compare.arg("compare").arg("tests/handover/calder-wren-2006.zip").arg(sample());
    let said = run(compare.arg("--json").arg("--out").arg(&pdf)).exits(0).json();
    (pdf, said)
}

#[test]
#[ignore = "needs the PyPI package page-validation and qpdf, see tests/outside/README.md"]
fn page_validation_finds_nothing_against_a_comparison() {
    let out = temporary();
    let (pdf, _) = compared(out.path());
    content(conformance().arg(&pdf));
}

#[test]
#[ignore = "needs the PyPI packages outloud, pikepdf and pymupdf, see tests/outside/README.md"]
fn a_listener_hears_a_comparison_and_its_letters_are_large_enough() {
    let out = temporary();
    let (pdf, _) = compared(out.path());
    content(script("tags.py").arg(&pdf));
    content(script("type_sizes.py").arg(&pdf));
    let json = run(judge("outloud").args(["--json", "-"]).arg(&pdf)).json();
    assert!(json["results"][0]["error"].is_null(), "{}", json["results"][0]["error"]);
    let findings = json["results"][0]["findings"].as_array().expect("findings").iter();
    let wrong: Vec<String> = findings
        .filter(|finding| finding["severity"] == "error")
        .filter(|finding| finding["rule"] != MANY_HEADERS || !rows_have_headers(finding))
        .map(|finding| format!("{finding:#}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn a_comparison_carries_every_row() {
    let out = temporary();
    let (pdf, said) = compared(out.path());
    let place = out.path().join("compared.json");
    content(on_path("pdfdetach").args(["-save", "1", "-o"]).arg(&place).arg(&pdf));
    let attached = std::fs::read(place).expect("the attachment");
    let attached: serde_json::Value = serde_json::from_slice(&attached).expect("JSON");
    assert!(attached == said);
    let plates = attached["plating"]["strakes"].as_array().expect("strakes").iter();
    let plates = plates.map(|strake| strake["plates"].as_array().expect("plates").len());
    assert_eq!(plates.sum::<usize>(), 300);
}

/// What no judge looks at: captions and row headers of tables, text outside of paragraphs, bookmarks with one title,
/// alternative texts that nobody hears to their end.
#[test]
#[ignore = "needs the PyPI package pikepdf, see tests/outside/README.md"]
fn a_listener_gets_rows_captions_and_paragraphs() {
    content(script("tags.py").arg(report()));
}

#[test]
#[ignore = "needs the PyPI packages pikepdf and pymupdf, see tests/outside/README.md"]
fn no_letter_is_under_8_points_nor_under_7_in_a_drawing() {
    content(script("type_sizes.py").arg(report()));
}

/// A script of this folder that looks at PDFs; the files are its arguments.
fn script(name: &str) -> Command {
    let mut command = judge("python");
    command.arg(format!("{}/tests/outside/{name}", env!("CARGO_MANIFEST_DIR")));
    command
}

/// A rule of `outloud` that takes running heads, and the header rows that a table repeats on its further
/// pages, for prose that readers lose. PDF/UA-1 section 7.8 wants them to be artifacts; a line of that
/// kind counts for nothing where each of its words stands on an earlier page too.
const LOST_PROSE: &str = "TAG-002";

/// The rule by which outloud takes a table with more header cells than data cells for one whose header was torn apart.
/// A table of few columns has more where each row has its header, which PDF/UA-1 section 7.5 wants.
const MANY_HEADERS: &str = "TBL-010";

/// Whether so many header and data cells are those of a table with one row of heads and a header for each row:
/// of r rows and c columns, r + c of the first and r (c - 1) of the second kind.
fn rows_have_headers(finding: &serde_json::Value) -> bool {
    let said = finding["message"].as_str().unwrap_or_default();
    let numbers: Vec<u64> = said.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    let &[headers, data] = numbers.as_slice() else { return false };
    finding["count"] == 1 && (1..headers).any(|rows| rows * (headers - rows - 1) == data)
}

#[test]
#[ignore = "needs the PyPI package outloud and poppler-utils, see tests/outside/README.md"]
fn outloud_finds_no_error() {
    let json = run(judge("outloud").args(["--json", "-"]).arg(report())).json();
    assert!(json["results"][0]["error"].is_null(), "{}", json["results"][0]["error"]);
    let repeats = |finding: &serde_json::Value| {
        let page = finding["page"].as_u64().unwrap_or(0);
        let earlier = if page > 1 { text_to(Some(page - 1)) } else { String::new() };
        let earlier: BTreeSet<&str> = words(&earlier).collect();
        // Heads of several lines come as one finding, its lines joined; each must be there to be judged.
        let lines: Vec<&str> =
            finding["evidence"].as_str().unwrap_or_default().split("; ").collect();
        let all = finding["count"].as_u64().is_some_and(|count| count <= lines.len() as u64);
        let mut words = lines.into_iter().flat_map(words).filter(|word| !word.contains('\u{2026}'));
        all && words.all(|word| earlier.contains(word))
    };
    let findings = json["results"][0]["findings"].as_array().expect("findings");
    let wrong: Vec<String> = findings
        .iter()
        .filter(|finding| finding["severity"] == "error")
        .filter(|finding| finding["rule"] != LOST_PROSE || !repeats(finding))
        .filter(|finding| finding["rule"] != MANY_HEADERS || !rows_have_headers(finding))
        .map(|finding| format!("{finding:#}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The words of a text, without the soft hyphens of broken ones.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split_whitespace().map(|word| word.trim_matches('\u{ad}'))
}

#[test]
#[ignore = "needs qpdf, see tests/outside/README.md"]
fn qpdf_finds_no_errors() {
    let said = content(on_path("qpdf").arg("--check").arg(report()));
    assert!(said.out.contains("No syntax or stream encoding errors found"), "{}", said.out);
    assert!(!said.err.contains("WARNING"), "{}", said.err);
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn the_title_the_pages_and_the_tags_are_there() {
    let said = content(on_path("pdfinfo").arg(report()));
    let value = |label: &str| {
        let line = said.out.lines().find_map(|line| line.strip_prefix(label));
        line.unwrap_or_else(|| panic!("no {label} in\n{}", said.out)).trim()
    };
    assert!(value("Title:").contains("Calder Wren"), "{}", value("Title:"));
    assert_eq!(value("Tagged:"), "yes");
    assert_eq!(value("Encrypted:"), "no");
    assert!(value("Page size:").contains("A4"), "{}", value("Page size:"));
    let pages: u32 = value("Pages:").parse().expect("a number");
    assert!(pages >= 10, "{pages} pages");
}

/// The object tree as JSON.
fn objects() -> serde_json::Value {
    // Without stream data, which no test here reads.
    let said =
        run(on_path("qpdf").args(["--json", "--json-stream-data=none"]).arg(report())).exits(0);
    said.json()
}

/// Every dictionary of the file, streams' dictionaries among them.
fn dictionaries(json: &serde_json::Value) -> Vec<&serde_json::Map<String, serde_json::Value>> {
    let objects = json["qpdf"][1].as_object().expect("objects");
    objects
        .values()
        .filter_map(|object| object["value"].as_object().or(object["stream"]["dict"].as_object()))
        .collect()
}

/// ISO 19005-3 section 6.8: each attachment states how it relates to the document. The typesetter does
/// not insist.
#[test]
#[ignore = "needs qpdf, see tests/outside/README.md"]
fn every_attachment_has_a_relationship_a_media_type_and_a_description() {
    let json = objects();
    let specs: Vec<_> = dictionaries(&json)
        .into_iter()
        .filter(|d| d.get("/Type").is_some_and(|t| t == "/Filespec"))
        .collect();
    assert_eq!(specs.len(), attached().len());
    for spec in specs {
        let relationship = spec.get("/AFRelationship").and_then(|value| value.as_str());
        assert!(relationship.is_some_and(|value| value != "/Unspecified"), "{spec:?}");
        assert!(spec.get("/Desc").is_some(), "{spec:?}");
        let stream = spec["/EF"]["/F"].as_str().expect("a reference to the file");
        let stream = &json["qpdf"][1][format!("obj:{stream}")]["stream"]["dict"];
        assert!(stream["/Subtype"].is_string(), "no media type: {stream}");
    }
}

/// PDF/UA-1 section 7.5 wants header cells; the typesetter does not insist, and of the judges `outloud`
/// alone looks. Each table of the tag tree holds at least one.
#[test]
#[ignore = "needs qpdf, see tests/outside/README.md"]
fn every_table_has_header_cells_and_every_figure_an_alternative_text() {
    let json = objects();
    let get = |reference: &serde_json::Value| -> serde_json::Value {
        match reference.as_str().and_then(|text| text.strip_suffix(" R")) {
            Some(_) => {
                json["qpdf"][1][format!("obj:{}", reference.as_str().unwrap())]["value"].clone()
            }
            None => reference.clone(),
        }
    };
    fn kids(
        element: &serde_json::Value,
        get: &dyn Fn(&serde_json::Value) -> serde_json::Value,
    ) -> Vec<serde_json::Value> {
        match get(&element["/K"]) {
            serde_json::Value::Array(kids) => kids.iter().map(get).collect(),
            other => vec![other],
        }
    }
    fn holds(
        element: &serde_json::Value,
        tag: &str,
        get: &dyn Fn(&serde_json::Value) -> serde_json::Value,
    ) -> bool {
        kids(element, get)
            .iter()
            .any(|kid| kid["/S"] == tag || (kid["/S"].is_string() && holds(kid, tag, get)))
    }
    let (mut tables, mut figures) = (0, 0);
    for element in dictionaries(&json) {
        let element = serde_json::Value::Object(element.clone());
        if element["/S"] == "/Table" {
            tables += 1;
            assert!(holds(&element, "/TH", &get), "a table without header cells: {element}");
        }
        if element["/S"] == "/Figure" {
            figures += 1;
            assert!(element["/Alt"].as_str().is_some_and(|text| text.len() > 10), "{element}");
        }
    }
    assert!(tables > 5 && figures > 3, "{tables} tables, {figures} figures");
}

/// What is attached: the records, the findings' two files, and the bundle's README. Each with its place in the bundle.
fn attached() -> BTreeMap<String, String> {
    let records = files(&closed().folder.join("data/records")).into_iter();
    let records = records.map(|(path, _)| {
        (format!("records--{}", path.replace('/', "--")), format!("data/records/{path}"))
    });
    let others = ["findings.csv", "findings.json", "README.txt"]
        .map(|name| (name.to_string(), format!("data/{name}")));
    records.chain(others).collect()
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_record_the_findings_and_the_readme_are_attached_byte_for_byte() {
    let said = content(on_path("pdfdetach").arg("-list").arg(report()));
    let listed: Vec<String> = said
        .out
        .lines()
        .filter_map(|line| line.split_once(": ").map(|(_, name)| name.to_string()))
        .collect();
    let names: BTreeSet<String> = listed.iter().cloned().collect();
    assert_eq!(names.len(), listed.len(), "a name stands twice: {listed:?}");
    let attached = attached();
    assert_eq!(names, attached.keys().cloned().collect());
    let folder = crate::common::temporary();
    for (number, name) in listed.iter().enumerate() {
        let place = folder.path().join(number.to_string());
        let mut command = on_path("pdfdetach");
        command.args(["-save", &(number + 1).to_string(), "-o"]).arg(&place).arg(report());
        content(&mut command);
        let record = std::fs::read(closed().folder.join(&attached[name])).expect("the file");
        assert!(std::fs::read(place).expect("the attachment") == record, "{name}");
    }
    // All at once, each under its own name and in the folder that was asked for: a name with a folder in it makes poppler
    // stop.
    let all = temporary();
    content(on_path("pdfdetach").arg("-saveall").arg("-o").arg(all.path()).arg(report()));
    let found: BTreeSet<String> = files(all.path()).into_iter().map(|(name, _)| name).collect();
    assert_eq!(found, names);
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_font_is_embedded_and_maps_to_unicode() {
    let said = content(on_path("pdffonts").arg(report()));
    let mut lines = said.out.lines();
    let header: Vec<&str> = lines.next().expect("a header").split_whitespace().rev().collect();
    assert_eq!(header[..5], ["ID", "object", "uni", "sub", "emb"], "{}", said.out);
    let mut fonts = 0;
    for line in lines.skip(1) {
        // From the end, since long names push the columns: object ID (two numbers), uni, sub, emb.
        let cells: Vec<&str> = line.split_whitespace().rev().collect();
        assert_eq!((cells[2], cells[4]), ("yes", "yes"), "{line}");
        fonts += 1;
    }
    assert!(fonts > 0, "{}", said.out);
}

#[test]
#[ignore = "needs qpdf, see tests/outside/README.md"]
fn the_language_and_the_bookmarks_are_there() {
    let json = objects();
    let catalog =
        dictionaries(&json).into_iter().find(|d| d.get("/Type").is_some_and(|t| t == "/Catalog"));
    let catalog = catalog.expect("a catalog");
    assert!(
        catalog["/Lang"].as_str().is_some_and(|lang| lang.contains("en-GB")),
        "{:?}",
        catalog.get("/Lang")
    );
    let outlines = json["outlines"].as_array().expect("outlines");
    assert!(outlines.len() > 10, "{} bookmarks", outlines.len());
}
