//! Texts that look like the typesetter's language, or that hardly any program sets well, as poppler reads
//! them in the report, and the report as the judges of PDF/A and PDF/UA see it.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use lastdock::report::legible;

use crate::common::{Project, closeout};
use crate::filled::{Put, example, fill, texts};
use crate::judge::{conformance, content, on_path};

/// Pages that the sample's report has at most when such texts stand in three rows of every file.
const MOST_PAGES: usize = 300;

struct Closed {
    put: Vec<Put>,
    reports: [PathBuf; 2],
}

/// The sample with the texts in three rows of every file, and the example with them in all of its rows.
fn closed() -> &'static Closed {
    static CLOSED: OnceLock<Closed> = OnceLock::new();
    CLOSED.get_or_init(|| {
        let project = Project::copied();
        let keep = Path::new(env!("CARGO_TARGET_TMPDIR")).join("hostile-texts");
        if keep.exists() {
            fs::remove_dir_all(&keep).expect("to remove what an earlier run left");
        }
        let mut put = fill(&project.root(), &texts(), 3);
        // Names that nobody of the docking has wait for an answer.
        closeout(&project.root(), &keep.join("sample")).exits(3);
        let small = keep.join("project");
        example(&small);
        put.extend(fill(&small, &texts(), usize::MAX));
        closeout(&small, &keep.join("example")).exits(3);
        let reports = ["sample/calder-wren-2031-report.pdf", "example/fenwhin-2031-report.pdf"]
            .map(|path| keep.join(path));
        Closed { put, reports }
    })
}

/// A text without white space and without signs of breaking, so that it does not matter where words were
/// broken.
fn plain(text: &str) -> String {
    let sign =
        |c: &char| !c.is_whitespace() && !"-\u{ad}\u{2010}\u{2011}\u{200b}\u{2060}".contains(*c);
    text.chars().filter(sign).collect()
}

/// Whether a text is read from left to right, letter by letter: poppler puts marks and other directions in an
/// order of its own.
fn is_plain(text: &str) -> bool {
    text.chars()
        .all(|c| c.is_ascii() || matches!(c, '\u{e000}'..|'\u{200d}'| '\u{2066}'..='\u{2069}'))
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_text_is_there_as_text_on_not_too_many_pages() {
    let closed = closed();
    let texts: Vec<String> = closed
        .reports
        .iter()
        .map(|report| plain(&content(on_path("pdftotext").arg("-raw").arg(report).arg("-")).out))
        .collect();
    let mut lacking = Vec::new();
    let mut seen = 0;
    for put in closed.put.iter().filter(|put| is_plain(&put.text) && put.text.len() < 1000) {
        let wanted = plain(&legible::shown(put.text.trim()));
        seen += 1;
        if !texts.iter().any(|text| text.contains(&wanted)) {
            lacking.push(format!("{} {}: {:?}", put.file, put.column, put.text));
        }
    }
    assert!(lacking.is_empty() && seen > 100, "{seen} texts; {lacking:#?}");
    for text in &texts {
        assert!(!text.contains("root:x:0:0"), "a file outside the project was read");
    }
    let said = content(on_path("pdfinfo").arg(&closed.reports[0])).out;
    let pages = said.lines().find_map(|line| line.strip_prefix("Pages:")).map(str::trim);
    let pages: usize = pages.and_then(|pages| pages.parse().ok()).expect("a number of pages");
    assert!(pages <= MOST_PAGES, "{pages} pages");
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn nothing_runs_off_the_page() {
    for report in &closed().reports {
        let said =
            on_path("pdftotext").arg("-bbox").arg(report).arg("-").output().expect("poppler");
        assert!(said.status.success());
        // Poppler writes signs of the author's name beyond U+FFFF as two halves, which are no UTF-8; the words are right.
        let said = String::from_utf8_lossy(&said.stdout);
        let number = |line: &str, name: &str| -> f64 {
            let value =
                line.split(&format!("{name}=\"")).nth(1).and_then(|rest| rest.split('"').next());
            value.and_then(|value| value.parse().ok()).unwrap_or_else(|| panic!("{name} in {line}"))
        };
        let (mut width, mut height, mut words) = (0.0, 0.0, 0);
        for line in said.lines().map(str::trim) {
            if line.starts_with("<page ") {
                (width, height) = (number(line, "width"), number(line, "height"));
            } else if line.starts_with("<word ") {
                let inside = number(line, "xMin") >= 0.0
                    && number(line, "yMin") >= -1.0
                    && number(line, "xMax") <= width
                    && number(line, "yMax") <= height + 1.0;
                assert!(inside, "{} by {}: {line}", width, height);
                words += 1;
            }
        }
        assert!(words > 5000, "{words} words");
    }
}

#[test]
#[ignore = "needs the PyPI package page-validation and qpdf, see tests/outside/README.md"]
fn page_validation_finds_nothing_against_pdf_a_and_pdf_ua() {
    content(conformance().args(&closed().reports));
}
