//! The seal sheet as it comes out of a printer: its code, one page, nothing cut off, and the standards of the other PDFs.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use tempfile::TempDir;

use crate::common::{Project, closed, closeout, small, squeezed, temporary};
use crate::filled::{example, fill, texts as hostile_texts};
use crate::forms::{A4_PT, LETTER_PT, boxes, nothing_is_cut_off, texts};
use crate::judge::{conformance, content, judge, on_path};

/// A project's seal, 64 digits, with its sheet.
struct Sealed {
    seal: String,
    sheet: PathBuf,
}

impl Sealed {
    fn of(text: &Path) -> Self {
        let kept = fs::read_to_string(text).expect("the seal");
        let seal = kept.lines().next().expect("a line").replace(' ', "");
        Self { seal, sheet: text.with_extension("pdf") }
    }

    /// What a closeout into a folder wrote.
    fn written(out: &Path) -> Self {
        let mut names = fs::read_dir(out).expect("a folder").map(|entry| entry.expect("an entry"));
        let is_seal = |path: &PathBuf| path.to_string_lossy().ends_with("-seal.txt");
        Self::of(&names.find_map(|entry| Some(entry.path()).filter(is_seal)).expect("a seal"))
    }
}

/// As long as a name of a bundle may be.
const LONG_NAME: &str = "the-record-of-a-ship-of-a-long-name-2031";

/// Sheets on A4: of the sample, of a small project, of the example, of one in which every text is such as trips
/// typesetters up, and of one with many positions, long names and all that an archive asks; and one on US Letter.
fn sheets() -> &'static [Sealed] {
    static MADE: OnceLock<(TempDir, Vec<Sealed>)> = OnceLock::new();
    let (_, made) = MADE.get_or_init(|| {
        let folder = temporary();
        // What differs may wait for an answer.
        let close = |project: &Path, out: &Path| {
            let said = closeout(project, out);
            assert!([0, 3].contains(&said.status), "{}", said.err);
        };
        let out = |name: &str| folder.path().join(name).join("out");
        let project = |name: &str| folder.path().join(name).join("project");
        close(&small(), &out("small"));
        example(&project("example"));
        close(&project("example"), &out("example"));
        example(&project("hostile"));
        fill(&project("hostile"), &hostile_texts(), usize::MAX);
        close(&project("hostile"), &out("hostile"));

        let long = Project::copied();
        let mut docking = long.text("docking.toml");
        let name = docking
            .lines()
            .find(|line| line.starts_with("bundle_name"))
            .expect("a name")
            .to_string();
        docking = docking.replacen(&name, &format!("bundle_name = \"{LONG_NAME}\""), 1);
        for name in ["Calder Wren", "Graving Dock No. 1"] {
            docking = docking.replacen(
                &format!("\"{name}\""),
                &format!("\"{}\"", "Wide Mighty Whale ".repeat(12).trim()),
                1,
            );
        }
        let asked = [
            "contact",
            "contact_email",
            "contact_telephone",
            "contact_address",
            "successor",
            "note",
        ];
        let archive: String = asked
            .map(|key| format!("{key} = \"{}\"\n", "Some words of it, ".repeat(30).trim()))
            .concat();
        docking = match docking.split_once("[archive]\n") {
            Some((before, after)) => {
                let (_, rest) = after.split_once("\n[").unwrap_or(("", ""));
                format!("{before}[archive]\n{archive}\n[{rest}")
            }
            None => format!("{docking}\n[archive]\n{archive}"),
        };
        long.write("docking.toml", docking);
        let more: String = (3..13)
            .map(|n| format!("P{n},,,{:.2},0.01,,,,,,,,,,,,\n", 13.6 - f64::from(n) / 10.0))
            .collect();
        long.append("positions/positions.csv", &more);
        close(&long.root(), &out("long"));

        let letter = Project::copied();
        let us = "format = 1\nunits = \"us\"\npaper = \"us-letter\"\n";
        letter.write("docking.toml", letter.text("docking.toml").replacen("format = 1\n", us, 1));
        close(&letter.root(), &out("letter"));

        let mut made = vec![Sealed::of(&closed().seal_file)];
        made.extend(
            ["small", "example", "hostile", "long", "letter"]
                .map(|name| Sealed::written(&out(name))),
        );
        (folder, made)
    });
    made
}

#[test]
#[ignore = "needs the PyPI packages zxing-cpp and pymupdf, and poppler-utils, see tests/outside/README.md"]
fn a_camera_reads_the_seal_off_the_sheet() {
    for Sealed { seal, sheet } in sheets() {
        let picture = temporary();
        let stem = picture.path().join("page");
        content(
            on_path("pdftoppm").args(["-r", "110", "-png", "-singlefile"]).arg(sheet).arg(&stem),
        );
        let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/qr.py");
        let said = content(judge("python").arg(script).arg(stem.with_extension("png"))).out;
        assert_eq!(said.trim(), format!("QRCode {seal}"), "{sheet:?}");
    }
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn the_sheet_is_one_page_with_all_that_it_must_say() {
    for (n, Sealed { seal, sheet }) in sheets().iter().enumerate() {
        let pages = texts(sheet);
        assert_eq!(pages.len(), 1, "{sheet:?}");
        let page = squeezed(&pages[0]);
        let name = sheet.file_stem().expect("a name").to_string_lossy().replace("-seal", "");
        let html =
            fs::read(sheet.with_file_name(format!("{name}-start-here.html"))).expect("the page");
        for text in [
            seal.as_str(),
            &lastdock::bundle::digest::sha256(&html),
            "Get-FileHash -Algorithm SHA256 tagmanifest-sha256.txt",
            "certutil -hashfile tagmanifest-sha256.txt SHA256",
            "shasum -a 256 tagmanifest-sha256.txt",
            "sha256sum tagmanifest-sha256.txt",
            "Positions, as recorded",
            "Steel never exposed",
            "Where to put her next time",
            "no approval to dock or to shift",
            "Where the bundle and its copies lie",
            "Signature",
            "Overwrite and delete nothing",
            "not approval to dock, to flood or to enter a space",
        ] {
            assert!(page.contains(&squeezed(text)), "{sheet:?}, {text}: {page}");
        }
        // Marks heaped on letters stand over each other by right.
        if name.starts_with("fenwhin") {
            let [((width, height), words)] = &boxes(sheet)[..] else { panic!("one page") };
            let inside = |[left, right, top, bottom]: &[f64; 4]| {
                *left >= 0.0 && *right <= *width && *top >= 0.0 && *bottom <= *height
            };
            assert!(words.len() > 200 && words.iter().all(inside), "{sheet:?}");
        } else {
            nothing_is_cut_off(sheet, if n + 1 == sheets().len() { LETTER_PT } else { A4_PT });
        }
    }
}

/// The figures of the sample, which `tests/sample.rs` holds against others' arithmetic.
#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn the_sheet_of_the_sample_carries_what_the_docking_left() {
    let page = squeezed(&texts(&closed().seal_sheet)[0]);
    for text in [
        "P1: station 14.310 m, offset 0.012 m",
        "P2: station 13.610 m, offset \u{2212}0.008 m",
        "0.330 m\u{b2} in 1 piece",
        "A: x 37.96 to 38.29 m",
        "Aim at 0.57 m forward of P1 as planned",
    ] {
        assert!(page.contains(&squeezed(text)), "{text}: {page}");
    }
}

#[test]
#[ignore = "needs the PyPI packages page-validation, pikepdf and pymupdf, and qpdf, see tests/outside/README.md"]
fn the_sheet_keeps_the_standards_of_the_report() {
    let sheets = || sheets().iter().map(|sealed| &sealed.sheet);
    content(conformance().args(sheets()));
    for script in ["tags.py", "type_sizes.py"] {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside").join(script);
        content(judge("python").arg(script).args(sheets()));
    }
}
