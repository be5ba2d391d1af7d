//! The sheets to be filled in by hand, as PDFs: the standards, the words, and that nothing is cut off.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use lastdock::records::{FILES, spec::FileSpec};
use tempfile::TempDir;

use crate::common::{Project, program, run, sample, squeezed, temporary};
use crate::judge::{conformance, content, judge, on_path};

const SHEETS: [&str; 13] = [
    "arrival-and-departure.pdf",
    "ballast.pdf",
    "blocks.pdf",
    "climate-and-coating.pdf",
    "gaps.pdf",
    "landing.pdf",
    "lift-off.pdf",
    "openings.pdf",
    "photographs.pdf",
    "plating-and-anodes.pdf",
    "stops.pdf",
    "water.pdf",
    "weights-moved.pdf",
];

/// Those of which each position has its own.
const EACH_POSITION: [&str; 6] =
    ["gaps.pdf", "landing.pdf", "lift-off.pdf", "openings.pdf", "stops.pdf", "water.pdf"];

const BRIEFING: &str = "briefing.pdf";

/// Sheets of a blank project, and those of the sample.
fn both() -> [PathBuf; 2] {
    static MADE: OnceLock<TempDir> = OnceLock::new();
    let folder = MADE.get_or_init(|| {
        let folder = temporary();
        run(program().arg("start").arg(folder.path().join("blank"))).exits(0);
        printed(&sample(), &folder.path().join("sample"));
        folder
    });
    [folder.path().join("blank/forms"), folder.path().join("sample")]
}

/// Posters for the dock's wall: of the sample, which lay in both its positions, of a project with two positions ahead, in
/// US units and with most openings too near, and of one of which only the names are known.
fn posters() -> &'static [PathBuf] {
    static MADE: OnceLock<(TempDir, Vec<PathBuf>)> = OnceLock::new();
    let (_, posters) = MADE.get_or_init(|| {
        let ahead = Project::copied();
        let edit = |file: &str, old: &str, new: &str| {
            let text = ahead.text(file);
            assert!(text.contains(old), "{old:?} must stand in {file}");
            ahead.write(file, text.replacen(old, new, 1));
        };
        edit("docking.toml", "format = 1\n", "format = 1\nunits = \"us\"\n");
        edit("docking.toml", "value = 300\nunit", "value = 1200\nunit");
        let without_p2 = |file: &str| {
            let text = ahead.text(file);
            text.split_inclusive('\n').filter(|line| !line.starts_with("P2,")).collect::<String>()
        };
        ahead.write("positions/marks.csv", without_p2("positions/marks.csv"));
        let rows = "P2,13.60,-0.02,,,,,,,,,,,,,,\nP3,12.90,0.01,,,,,,,,,,,,,,\n";
        ahead.write("positions/positions.csv", without_p2("positions/positions.csv") + rows);

        let folder = temporary();
        let blank = folder.path().join("blank");
        run(program().arg("start").arg(&blank)).exits(0);
        let names = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n";
        fs::write(blank.join("docking.toml"), names).expect("to name them");
        let projects = [("of-sample", sample()), ("of-ahead", ahead.root()), ("of-blank", blank)];
        let posters = projects.map(|(name, project)| {
            let out = folder.path().join(name);
            run(program().args(["forms", "--poster"]).arg(project).arg("--out").arg(&out)).exits(0);
            out.join("poster.pdf")
        });
        (folder, posters.to_vec())
    });
    posters
}

/// Sheets and briefing of the sample on US Letter, in US units.
fn on_letter() -> &'static Path {
    static MADE: OnceLock<TempDir> = OnceLock::new();
    let folder = MADE.get_or_init(|| {
        let (folder, project) = (temporary(), Project::copied());
        let text = project.text("docking.toml");
        let us = "format = 1\nunits = \"us\"\npaper = \"us-letter\"\n";
        project.write("docking.toml", text.replacen("format = 1\n", us, 1));
        printed(&project.root(), &folder.path().join("letter"));
        folder
    });
    folder.path()
}

/// Every PDF that is printed for the dock.
fn everything() -> Vec<PathBuf> {
    let letter = on_letter().join("letter");
    let folders = both().into_iter().chain([letter.clone()]);
    let sheets = folders.flat_map(|folder| SHEETS.map(|sheets| folder.join(sheets)));
    let briefings = posters().iter().map(|poster| poster.with_file_name(BRIEFING));
    let more = posters().iter().cloned().chain(briefings).chain([letter.join(BRIEFING)]);
    sheets.chain(more).collect()
}

/// What does not stand on the one page of a briefing is not read at the dock.
#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn a_position_has_one_briefing_of_one_page_on_either_paper() {
    let briefings = posters().iter().map(|poster| (poster.with_file_name(BRIEFING), A4_PT));
    let letter = (on_letter().join("letter").join(BRIEFING), LETTER_PT);
    for ((briefing, paper), of) in briefings.chain([letter]).zip([1, 2, 1, 1]) {
        let pages = texts(&briefing);
        assert_eq!(pages.len(), of, "{briefing:?}");
        for page in &pages {
            for text in
                ["Briefing: position", "Afloat; no leak found", "First touch", "come before"]
            {
                let page = page.replace('\n', " ");
                assert!(page.contains(text), "{briefing:?}, {text}: {page}");
            }
        }
        nothing_is_cut_off(&briefing, paper);
    }
}

fn printed(project: &Path, out: &Path) {
    run(program().arg("forms").arg(project).arg("--out").arg(out)).exits(0);
}

#[test]
#[ignore = "needs the PyPI package page-validation and qpdf, see tests/outside/README.md"]
fn page_validation_finds_nothing_against_pdf_a_and_pdf_ua() {
    content(conformance().args(everything()));
}

/// Headers of rows and columns, captions, paragraphs, bookmarks; and letters of 8 pt at least.
#[test]
#[ignore = "needs the PyPI packages pikepdf and pymupdf, see tests/outside/README.md"]
fn they_can_be_listened_to_and_no_letter_is_small() {
    for script in ["tags.py", "type_sizes.py"] {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside").join(script);
        content(judge("python").arg(script).args(everything()));
    }
}

/// A poster hangs on a wall: what does not stand on its one page is not read.
#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn a_position_has_one_poster_of_one_page() {
    for (poster, of) in posters().iter().zip([1, 2, 1]) {
        let pages = texts(poster);
        assert_eq!(pages.len(), of, "{poster:?}");
        for page in &pages {
            for text in [
                "Position ",
                "To be missed by no more than",
                "Afloat; no leak found",
                "come before this sheet",
            ] {
                assert!(page.contains(text), "{poster:?}, {text}: {page}");
            }
        }
    }
    let [_, ahead, _] = posters() else { panic!("three") };
    assert!(texts(ahead)[0].contains("which may be missed by"), "the study is said whole");
}

/// The text of sheets, page by page.
pub fn texts(sheets: &Path) -> Vec<String> {
    let text = content(on_path("pdftotext").arg("-raw").arg(sheets).arg("-")).out;
    text.trim_end_matches('\u{c}').split('\u{c}').map(str::to_string).collect()
}

/// The same without white space.
fn pages(sheets: &Path) -> Vec<String> {
    texts(sheets).iter().map(|page| squeezed(page)).collect()
}

fn spec(path: &str) -> &'static FileSpec {
    FILES.iter().find(|spec| spec.path == path).expect("a file of records")
}

/// Files that sheets go to, and the columns that they leave out: what the head speaks for, and what is known
/// from elsewhere.
const COLUMNS: &[(&str, &str, &[&str])] = &[
    ("water.pdf", "landing/water.csv", &["position", "by"]),
    (
        "weights-moved.pdf",
        "landing/moved.csv",
        &["by", "planned_at", "planned_mass_t", "tank", "free_surface_tm"],
    ),
    ("lift-off.pdf", "landing/drafts.csv", &["position", "by", "planned_draft_m"]),
    ("arrival-and-departure.pdf", "landing/drafts.csv", &["position", "by", "planned_draft_m"]),
    ("arrival-and-departure.pdf", "landing/crossings.csv", &[]),
    (
        "plating-and-anodes.pdf",
        "hull/plating.csv",
        &["loss_limit_mm", "relative_loss_limit_pct", "least_thickness_mm", "by"],
    ),
    ("plating-and-anodes.pdf", "hull/anodes.csv", &["by"]),
    ("photographs.pdf", "papers/papers.csv", &["kind", "by", "for_next_time", "language"]),
    ("climate-and-coating.pdf", "coating/areas.csv", &[]),
    ("landing.pdf", "landing/checks.csv", &["position", "by"]),
    ("landing.pdf", "landing/holds.csv", &["position"]),
    ("gaps.pdf", "landing/bilge.csv", &["position", "by"]),
    ("landing.pdf", "landing/drafts.csv", &["position", "by", "planned_draft_m"]),
    ("landing.pdf", "positions/marks.csv", &["position", "read_by"]),
    ("gaps.pdf", "landing/gaps.csv", &["position", "by"]),
    ("climate-and-coating.pdf", "coating/climate.csv", &[]),
    ("climate-and-coating.pdf", "coating/preparation.csv", &["by"]),
    ("climate-and-coating.pdf", "coating/coats.csv", PLANNED_OF_COATS),
    ("climate-and-coating.pdf", "coating/film.csv", &["by"]),
    ("climate-and-coating.pdf", "coating/gauges.csv", &["by"]),
    ("openings.pdf", "plan/opened.csv", &[]),
];

/// Columns of a coat that the painter at the steel does not fill in.
const PLANNED_OF_COATS: &[&str] =
    &["application", "planned_start", "planned_finish", "coldest_steel_c", "warmest_steel_c"];

/// The headings of a file of the sample.
fn own_headings(file: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_path(sample().join(file)).expect("a table");
    reader.headers().expect("a header row").iter().map(str::to_string).collect()
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn the_words_of_the_columns_and_the_names_of_the_files_are_there() {
    let [blank, printed] = both();
    for (folder, is_blank) in [(blank, true), (printed, false)] {
        for (sheets, file, left_out) in COLUMNS {
            let pages = pages(&folder.join(sheets));
            let page = pages.iter().find(|page| page.contains(&squeezed(file)));
            let page = page.unwrap_or_else(|| panic!("{sheets} does not say {file}"));
            let headings = if is_blank { spec(file).headings() } else { own_headings(file) };
            assert!(headings.len() > 3);
            for heading in headings.iter().filter(|heading| !heading.starts_with("note")) {
                if !left_out.contains(&heading.as_str()) {
                    assert!(page.contains(heading), "{sheets}, {file}: no {heading} in {page}");
                }
            }
        }
    }
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn every_page_says_whose_it_is_and_which_of_how_many() {
    let [blank, sample] = both();
    for (folder, is_blank) in [(&blank, true), (&sample, false)] {
        for sheets in SHEETS {
            let pages: Vec<String> = texts(&folder.join(sheets))
                .iter()
                .map(|page| page.split_whitespace().collect::<Vec<_>>().join(" "))
                .collect();
            let (mut number, mut of) = (0, 0);
            for page in &pages {
                // A page that ran over would have no head, and so no number.
                if number == of {
                    number = 0;
                    let rest = page.split("sheet 1 of ").nth(1).expect("a first sheet");
                    let digits = rest.split(' ').next().unwrap_or_default();
                    of = digits.parse().expect("how many sheets");
                }
                number += 1;
                assert!(page.contains(&format!("sheet {number} of {of} ")), "{sheets}: {page}");
                assert!(page.contains("not approval to dock"), "{sheets}: {page}");
                assert_eq!(page.contains("Calder Wren"), !is_blank, "{sheets}: {page}");
            }
            assert_eq!(number, of, "{sheets}");
            let each_position = EACH_POSITION.contains(&sheets);
            for position in ["P1", "P2"] {
                let named =
                    pages.iter().any(|page| page.contains(&format!("position {position} ")));
                assert_eq!(named, each_position && !is_blank, "{sheets}, {position}");
            }
        }
    }
}

/// The first cells of a file of the sample, but of blocks that were left out in every position.
fn ids(file: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_path(sample().join(file)).expect("a table");
    let rows = reader.records().map(|row| row.expect("a row"));
    let stands = |row: &csv::StringRecord| !row.iter().any(|cell| cell == "none");
    rows.filter(stands).map(|row| row[0].to_string()).collect()
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn blocks_and_openings_are_printed_in() {
    let [_, sample] = both();
    let words = |sheets: &str| {
        let text = content(on_path("pdftotext").arg("-raw").arg(sample.join(sheets)).arg("-")).out;
        text.split_whitespace().map(str::to_string).collect::<Vec<_>>()
    };
    for (sheets, file) in [("gaps.pdf", "plan/blocks.csv"), ("openings.pdf", "plan/openings.csv")] {
        let (words, ids) = (words(sheets), ids(file));
        assert!(ids.len() > 30);
        let missing: Vec<&String> = ids.iter().filter(|id| !words.contains(id)).collect();
        assert!(missing.is_empty(), "{sheets}: {missing:?}");
    }
}

/// A number of an element of `pdftotext -bbox`.
fn number(line: &str, name: &str) -> f64 {
    let value = line.split(&format!("{name}=\"")).nth(1).and_then(|rest| rest.split('"').next());
    value.and_then(|value| value.parse().ok()).unwrap_or_else(|| panic!("no {name} in {line}"))
}

/// A page's width and height, and the boxes of its words, in points.
pub type Boxes = ((f64, f64), Vec<[f64; 4]>);

/// The pages of sheets: width and height, and the box of every word, in points.
///
/// Poppler writes a title's characters beyond the first 65 536 as two halves, which is no UTF-8; words are not titles.
pub fn boxes(sheets: &Path) -> Vec<Boxes> {
    let said = on_path("pdftotext").arg("-bbox").arg(sheets).arg("-").output().expect("poppler");
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    let html = String::from_utf8_lossy(&said.stdout);
    let mut pages: Vec<Boxes> = Vec::new();
    for line in html.lines().map(str::trim) {
        if line.starts_with("<page ") {
            pages.push(((number(line, "width"), number(line, "height")), Vec::new()));
        } else if line.starts_with("<word ") {
            let word = ["xMin", "xMax", "yMin", "yMax"].map(|name| number(line, name));
            pages.last_mut().expect("a page").1.push(word);
        }
    }
    pages
}

/// ISO 216 and ANSI/ASME Y14.1, in points: short and long side.
pub const A4_PT: (f64, f64) = (595.3, 841.9);
pub const LETTER_PT: (f64, f64) = (612.0, 792.0);

/// Every word stands inside the margins, and none over another.
pub fn nothing_is_cut_off(sheets: &Path, paper: (f64, f64)) {
    const MARGIN: f64 = 20.0;
    let pages = boxes(sheets);
    assert!(!pages.is_empty());
    for (n, ((width, height), words)) in pages.iter().enumerate() {
        assert!(
            (width.min(*height) - paper.0).abs() < 1.0
                && (width.max(*height) - paper.1).abs() < 1.0
        );
        for (at, word) in words.iter().enumerate() {
            let [left, right, top, bottom] = *word;
            let inside =
                left > MARGIN && right < width - MARGIN && top > MARGIN && bottom < height - MARGIN;
            assert!(inside, "{sheets:?}, page {}: {word:?}", n + 1);
            for other in &words[at + 1..] {
                let wide = right.min(other[1]) - left.max(other[0]);
                let high = bottom.min(other[3]) - top.max(other[2]);
                // Boxes of neighbouring lines touch, since fonts ask for more than letters need.
                let over = wide > 0.5 && high > 0.35 * (bottom - top).min(other[3] - other[2]);
                assert!(!over, "{sheets:?}, page {}: {word:?} and {other:?}", n + 1);
            }
        }
    }
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn no_word_is_cut_off_or_stands_over_another() {
    for sheets in both().iter().flat_map(|folder| SHEETS.map(|sheets| folder.join(sheets))) {
        nothing_is_cut_off(&sheets, A4_PT);
    }
    for sheets in SHEETS {
        nothing_is_cut_off(&on_letter().join("letter").join(sheets), LETTER_PT);
    }
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn long_names_odd_text_and_other_units_fit_too() {
    let project = Project::copied();
    let edit = |file: &str, old: &str, new: &str| {
        let text = project.text(file);
        assert!(text.contains(old), "{old:?} must stand in {file}");
        project.write(file, text.replace(old, new));
    };
    edit(
        "docking.toml",
        "Calder Wren",
        "#read \u{1F6A2} $x$ of-a-name-that-goes-on-without-any-end-by-itself",
    );
    edit("landing/gaps.csv", "gap_mm", "gap_in");
    let long = "K1_a_name_as_long_as_names_can_be_at_all";
    let naming_it = [
        "plan/blocks.csv",
        "plan/layers.csv",
        "landing/gaps.csv",
        "landing/checks.csv",
        "positions/divers.csv",
    ];
    for file in naming_it {
        let text = project
            .text(file)
            .replace("\nK1,", &format!("\n{long},"))
            .replace(",K1,", &format!(",{long},"));
        project.write(file, text);
    }
    let folder = temporary();
    printed(&project.root(), folder.path());
    let gaps = pages(&folder.path().join("gaps.pdf"));
    assert!(gaps[0].contains("gap_in") && !gaps[0].contains("gap_mm"), "{}", gaps[0]);
    assert!(gaps[0].contains(long) && gaps[0].contains("[U+1F6A2]"), "{}", gaps[0]);
    assert!(gaps[0].contains("#read"), "{}", gaps[0]);
    SHEETS.iter().for_each(|sheets| nothing_is_cut_off(&folder.path().join(sheets), A4_PT));
    assert!(fs::read_dir(folder.path()).expect("a folder").count() == SHEETS.len() + 2);
}
