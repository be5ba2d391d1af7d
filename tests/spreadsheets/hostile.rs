//! Workbooks from a stranger: refused in a sentence, whatever they promise, and never believed.

use std::fs;
use std::io::{Cursor, Read, Write};

use lastdock::records::problem::Problem;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::{fixture, folder, read};

pub type Parts = Vec<(String, Vec<u8>)>;

pub fn parts(name: &str) -> Parts {
    parts_of(&fs::read(fixture(name)).expect("a fixture"))
}

pub fn parts_of(bytes: &[u8]) -> Parts {
    let mut zip = ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let mut parts = Parts::new();
    for number in 0..zip.len() {
        let mut part = zip.by_index(number).expect("a part");
        let mut bytes = Vec::new();
        part.read_to_end(&mut bytes).expect("a part's bytes");
        parts.push((part.name().expect("a name").to_string(), bytes));
    }
    parts
}

pub fn zipped(parts: &Parts) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (name, bytes) in parts {
        zip.start_file(name.as_str(), options).expect("a part");
        zip.write_all(bytes).expect("a part's bytes");
    }
    zip.finish().expect("a zip").into_inner()
}

/// What is said of a workbook of these bytes.
fn said_of(name: &str, bytes: &[u8]) -> Vec<Problem> {
    let folder = folder(&[("barge/docking.toml", "docking.toml")]);
    fs::write(folder.path().join(name), bytes).expect("a workbook");
    read(folder.path()).err().unwrap_or_default()
}

/// What is said of a fixture of which one part has been changed.
fn changed(name: &str, part: &str, change: impl Fn(String) -> String) -> String {
    let mut parts = parts(name);
    let found = parts.iter_mut().find(|(name, _)| name == part).expect("that part");
    let before = String::from_utf8(found.1.clone()).expect("text");
    let after = change(before.clone());
    assert_ne!(before, after, "{part} was not changed");
    found.1 = after.into_bytes();
    let end = if name.ends_with(".ods") { "project.ods" } else { "project.xlsx" };
    let problems = said_of(end, &zipped(&parts));
    let own = problems.iter().find(|problem| &*problem.place.file == end);
    own.unwrap_or_else(|| panic!("{problems:#?}")).to_string()
}

#[test]
fn a_zip_bomb_is_refused_when_it_has_unfolded_too_far() {
    let spaces = " ".repeat(200 << 20);
    let said = changed("openpyxl.xlsx", "xl/worksheets/sheet2.xml", |text| text + &spaces);
    assert!(said.contains("unpacks to more than 33554432 bytes"), "{said}");
    let said = changed("libreoffice.ods", "content.xml", |text| text + &spaces);
    assert!(said.contains("unpacks to more than 33554432 bytes"), "{said}");
}

#[test]
fn promises_and_far_cells_are_not_believed() {
    let sheet = "xl/worksheets/sheet2.xml";
    let cell =
        |at: &str| format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>x</t></is></c></row></sheetData>");
    for (at, expected) in [
        ("XFE1", "beyond the limits of a sheet"),
        ("A1048577", "beyond the limits of a sheet"),
        ("A4294967295", "beyond the limits of a sheet"),
        // One more than a number of 32 bits counts, and 26 to the seventh: they would come out as other cells.
        ("A4294967298", "beyond the limits of a sheet"),
        ("AAAAAAAB2", "beyond the limits of a sheet"),
    ] {
        let said =
            changed("openpyxl.xlsx", sheet, |text| text.replace("</row></sheetData>", &cell(at)));
        assert!(said.contains(expected), "{at}: {said}");
    }
    let strings = "xl/sharedStrings.xml";
    let said = changed("libreoffice.xlsx", strings, |text| {
        let from = text.find("uniqueCount=\"").expect("a count") + "uniqueCount=\"".len();
        format!("{}99999999999{}", &text[..from], &text[from..])
    });
    assert!(said.contains("xl/sharedStrings.xml has a count that is not a number"), "{said}");
    let formula =
        "<c r=\"ZZ1\"><f t=\"shared\" si=\"99999999\">A1</f><v>1</v></c></row></sheetData>";
    let said = changed("openpyxl.xlsx", sheet, |text| text.replace("</row></sheetData>", formula));
    assert!(said.contains("announces more"), "{said}");
    let wide = "<table:table-cell office:value-type=\"float\" office:value=\"1\" \
                table:number-columns-repeated=\"16384\"/></table:table-row>";
    let said = changed("libreoffice.ods", "content.xml", |text| {
        let deep = "<table:table-row table:number-rows-repeated=\"100000\"";
        text.replacen("</table:table-row>", wide, 1).replacen("<table:table-row", deep, 1)
    });
    assert!(said.contains("unfolds to more cells"), "{said}");
}

#[test]
fn a_cell_far_from_the_table_is_named() {
    let mut parts = parts("openpyxl.xlsx");
    let sheet = parts.iter_mut().find(|(name, _)| name == "xl/worksheets/sheet2.xml");
    let sheet = sheet.expect("a sheet");
    let far = "<c r=\"XFD1048576\" t=\"inlineStr\"><is><t>x</t></is></c></row></sheetData>";
    let text = String::from_utf8(sheet.1.clone()).expect("text").replace("</row></sheetData>", far);
    sheet.1 = text.into_bytes();
    let said: Vec<String> =
        said_of("project.xlsx", &zipped(&parts)).iter().map(ToString::to_string).collect();
    assert!(
        said.iter().any(|s| s.contains("cell XFD1048576: lies far from the rest of the table")),
        "{said:#?}"
    );
}

/// What a library refuses in the middle of a sheet is told with the cell behind which it stands.
#[test]
fn an_unreadable_cell_is_located_by_the_one_before_it() {
    let sheet = "xl/worksheets/sheet2.xml";
    for bad in
        ["t=\"s\"><v>999999</v>", "t=\"b\"><v>7</v>", "t=\"e\"><v>#?</v>", "t=\"x\"><v>1</v>"]
    {
        let cell = format!(
            "</row><row r=\"90\"><c r=\"A90\"><v>1</v></c><c r=\"B90\" {bad}</c></row></sheetData>"
        );
        let said =
            changed("openpyxl.xlsx", sheet, |text| text.replace("</row></sheetData>", &cell));
        assert!(said.contains(", in the cell after A90"), "{said}");
    }
}

#[test]
fn a_file_that_is_no_workbook_is_refused() {
    for (bytes, expected) in [
        (&b""[..], "can't be unpacked"),
        (b"block,row\nK1,keel\n", "can't be unpacked"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and so on", "password-protected"),
        (&zipped(&vec![("a.xml".into(), b"<a/>".to_vec())]), "_rels/.rels"),
    ] {
        let said = said_of("project.xlsx", bytes);
        assert!(said.iter().any(|s| s.wrong.contains(expected)), "{expected}: {said:#?}");
    }
    let whole = fs::read(fixture("libreoffice.ods")).expect("a fixture");
    assert!(!said_of("project.ods", &whole[..whole.len() / 2]).is_empty());
    assert!(!said_of("project.xlsx", &whole).is_empty());
    let entities = changed("openpyxl.xlsx", "xl/workbook.xml", |text| {
        format!("<!DOCTYPE a [<!ENTITY b \"bbbbbbbb\">]>{text}")
    });
    assert!(entities.contains("is not well-formed"), "{entities}");
}

/// A steady series of numbers that look as if by chance (a linear congruence, Knuth's MMIX constants).
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % bound
    }
}

#[test]
fn damage_anywhere_is_a_problem_or_nothing_and_never_a_crash() {
    let mut chance = Chance(17);
    for name in ["openpyxl.xlsx", "libreoffice.xlsx", "libreoffice.ods"] {
        let whole = parts(name);
        let end = if name.ends_with(".ods") { "project.ods" } else { "project.xlsx" };
        for _ in 0..150 {
            let mut parts = whole.clone();
            for _ in 0..=chance.below(3) {
                let which = chance.below(parts.len());
                let bytes = &mut parts[which].1;
                if bytes.is_empty() {
                    continue;
                }
                let at = chance.below(bytes.len());
                match chance.below(4) {
                    0 => bytes[at] = b"\"<>&/9 \0"[chance.below(8)],
                    1 => bytes.truncate(at),
                    2 => drop(bytes.drain(at..(at + 40).min(bytes.len()))),
                    _ => {
                        let again = bytes[at..(at + 200).min(bytes.len())].to_vec();
                        bytes.splice(at..at, again);
                    }
                }
            }
            said_of(end, &zipped(&parts));
        }
    }
}
