//! Workbooks, Office Open XML and OpenDocument.

use std::collections::BTreeMap;
use std::io::{Cursor, Write};

use lastdock::records::workbook::NAMES;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::project::{Files, judged};

/// Words of workbooks.
pub const WORDS: &[&str] = &[
    "<row>",
    "</row>",
    "<c r=\"A1\">",
    "</c>",
    "<v>",
    "</v>",
    "<f>",
    "<is><t>",
    " t=\"s\"",
    " t=\"str\"",
    " t=\"d\"",
    " t=\"e\"",
    " t=\"b\"",
    " s=\"1\"",
    "<f t=\"shared\" si=\"0\" ref=\"A1:B2\">",
    "uniqueCount=\"999999\"",
    "r=\"XFD1048576\"",
    "r=\"A0\"",
    "r=\"AAAAAAA1\"",
    "<table:table-row>",
    "</table:table-row>",
    "<table:table-cell/>",
    "table:number-columns-repeated=\"16384\"",
    "table:number-rows-repeated=\"1048576\"",
    "office:value-type=\"float\"",
    "office:value=\"1\"",
    "office:value-type=\"percentage\"",
    "office:date-value=\"2031-04-09\"",
    "office:time-value=\"PT06H40M00S\"",
    "table:formula=\"of:=1\"",
    "<text:p>",
    "<text:s text:c=\"9\"/>",
    "<![CDATA[",
    "]]>",
    "<!--",
    "-->",
    "<?x ?>",
    "&#0;",
    "&amp;",
    "&#xD800;",
    "<row hidden=\"1\">",
    "<col min=\"1\" max=\"16384\" hidden=\"1\"/>",
    "<comment ref=\"A2\"/>",
    "state=\"hidden\"",
    "table:visibility=\"collapse\"",
    "<office:annotation>",
    "</office:annotation>",
    "calcext:value-type=\"error\"",
    "xl/workbook.xml",
    "xl/comments1.xml",
    "xl/worksheets/sheet1.xml",
    "xl/sharedStrings.xml",
    "xl/styles.xml",
    "content.xml",
    "mimetype",
    "1e309",
    "-1e308",
    "45000.5",
    "2958466",
    "-1",
    "nan",
    "\u{0}",
    "\u{1}",
];

/// Reads a workbook beside a `docking.toml`: the bytes themselves, its parts, or cells of one sheet.
pub fn read(bytes: &[u8]) {
    let (how, rest) = super::first(bytes);
    let (which, how) = (usize::from(how % 2), how / 2 % 3);
    let workbook = match how {
        0 => rest.to_vec(),
        1 => with_parts(which, rest),
        _ => with_cells(which, rest),
    };
    let mut files = Files::example_ashore("");
    // What a sheet may stand for must not be there beside it.
    files.retain(|path| !path.ends_with(".csv") || (how == 2 && path != "plan/keel.csv"));
    files.put(NAMES[which], &workbook);
    if let Some(examined) = judged(&files) {
        let workbook = examined.project.workbooks.first().expect("the workbook");
        for (path, csv) in workbook.made() {
            assert!(std::str::from_utf8(csv).is_ok(), "{path}");
        }
    }
}

pub type Parts = BTreeMap<String, Vec<u8>>;

/// The least that makes a workbook with one sheet, `plan-keel`, of these rows.
pub fn least(which: usize, rows: &str) -> Parts {
    const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>";
    const MAIN: &str = "xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"";
    const PACKAGE: &str = "http://schemas.openxmlformats.org/package/2006";
    const DOCUMENT: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let relation = |id: &str, sort: &str, target: &str| {
        format!("<Relationship Id=\"{id}\" Type=\"{DOCUMENT}/{sort}\" Target=\"{target}\"/>")
    };
    let relations = |all: String| {
        format!("{HEAD}<Relationships xmlns=\"{PACKAGE}/relationships\">{all}</Relationships>")
    };
    let office_open = [
        ("[Content_Types].xml", format!("{HEAD}<Types xmlns=\"{PACKAGE}/content-types\"></Types>")),
        ("_rels/.rels", relations(relation("r1", "officeDocument", "xl/workbook.xml"))),
        (
            "xl/workbook.xml",
            format!(
                "{HEAD}<workbook {MAIN} xmlns:r=\"{DOCUMENT}\"><sheets>\
                 <sheet name=\"plan-keel\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>"
            ),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            relations(
                relation("r1", "worksheet", "worksheets/sheet1.xml")
                    + &relation("r2", "styles", "styles.xml")
                    + &relation("r3", "sharedStrings", "sharedStrings.xml"),
            ),
        ),
        (
            "xl/styles.xml",
            format!(
                "{HEAD}<styleSheet {MAIN}><numFmts count=\"1\"><numFmt numFmtId=\"164\" \
                 formatCode=\"0.0%\"/></numFmts><cellXfs count=\"3\"><xf numFmtId=\"0\"/>\
                 <xf numFmtId=\"14\"/><xf numFmtId=\"164\"/></cellXfs></styleSheet>"
            ),
        ),
        (
            "xl/sharedStrings.xml",
            format!(
                "{HEAD}<sst {MAIN} uniqueCount=\"2\"><si><t>x_m</t></si><si><t>rise_m</t></si></sst>"
            ),
        ),
        (
            "xl/worksheets/sheet1.xml",
            format!("{HEAD}<worksheet {MAIN}><sheetData>{rows}</sheetData></worksheet>"),
        ),
    ];
    const NAMES: &str = "xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
                         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
                         xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"";
    const SHEET: &str = "application/vnd.oasis.opendocument.spreadsheet";
    let open_document = [
        ("mimetype", SHEET.to_string()),
        (
            "META-INF/manifest.xml",
            format!(
                "{HEAD}<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\">\
                 <manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{SHEET}\"/>\
                 </manifest:manifest>"
            ),
        ),
        (
            "content.xml",
            format!(
                "{HEAD}<office:document-content {NAMES}><office:body><office:spreadsheet>\
                 <table:table table:name=\"plan-keel\">{rows}</table:table>\
                 </office:spreadsheet></office:body></office:document-content>"
            ),
        ),
    ];
    let parts = if which == 0 { office_open.to_vec() } else { open_document.to_vec() };
    parts.into_iter().map(|(name, text)| (name.to_string(), text.into_bytes())).collect()
}

/// A heading and a row that are sound.
fn sound_rows(which: usize) -> &'static str {
    if which == 0 {
        "<row r=\"1\"><c r=\"A1\" t=\"s\"><v>0</v></c><c r=\"B1\" t=\"s\"><v>1</v></c></row>\
         <row r=\"2\"><c r=\"A2\"><v>0</v></c><c r=\"B2\"><v>0.02</v></c></row>"
    } else {
        "<table:table-row><table:table-cell office:value-type=\"string\"><text:p>x_m</text:p></table:table-cell>\
         <table:table-cell office:value-type=\"string\"><text:p>rise_m</text:p></table:table-cell></table:table-row>\
         <table:table-row><table:table-cell office:value-type=\"float\" office:value=\"0\"/>\
         <table:table-cell office:value-type=\"float\" office:value=\"0.02\"/></table:table-row>"
    }
}

/// A workbook of which some parts are others: `name 0x01 bytes`, 0x00 between them.
fn with_parts(which: usize, changes: &[u8]) -> Vec<u8> {
    let mut parts = least(which, sound_rows(which));
    for change in changes.split(|byte| *byte == 0).filter(|change| !change.is_empty()) {
        let at = change.iter().position(|byte| *byte == 1).unwrap_or(change.len());
        let name = String::from_utf8_lossy(&change[..at]).into_owned();
        parts.insert(name, change.get(at + 1..).unwrap_or_default().to_vec());
    }
    zipped(&parts)
}

pub fn zipped(parts: &Parts) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (name, bytes) in parts {
        // A name that no zip takes is no part.
        if zip.start_file(name.as_str(), options).is_ok() {
            zip.write_all(bytes).expect("to write to memory");
        }
    }
    zip.finish().expect("a zip").into_inner()
}

/// What may stand in a row, with `{}` for a text: by the first byte of each line.
const CELLS: [&[&str]; 2] = [
    &[
        "</row><row>",
        "</row><row r=\"{}\">",
        "<c><v>{}</v></c>",
        "<c r=\"{}\"><v>1.5</v></c>",
        "<c t=\"s\"><v>{}</v></c>",
        "<c t=\"inlineStr\"><is><t>{}</t></is></c>",
        "<c t=\"str\"><v>{}</v></c>",
        "<c t=\"d\"><v>{}</v></c>",
        "<c t=\"e\"><v>{}</v></c>",
        "<c t=\"b\"><v>{}</v></c>",
        "<c s=\"1\"><v>{}</v></c>",
        "<c s=\"2\"><v>{}</v></c>",
        "<c s=\"{}\"><v>2</v></c>",
        "<c><f>{}</f></c>",
        "<c><f t=\"shared\" si=\"0\" ref=\"A1:C3\">{}</f></c>",
        "<c><f t=\"shared\" si=\"{}\"/></c>",
        "<c t=\"{}\"><v>1</v></c>",
    ],
    &[
        "</table:table-row><table:table-row>",
        "</table:table-row><table:table-row table:number-rows-repeated=\"{}\">",
        "<table:table-cell/>",
        "<table:table-cell table:number-columns-repeated=\"{}\"/>",
        "<table:table-cell table:number-columns-repeated=\"{}\" office:value-type=\"float\" office:value=\"1\"/>",
        "<table:table-cell office:value-type=\"float\" office:value=\"{}\"/>",
        "<table:table-cell office:value-type=\"percentage\" office:value=\"{}\"/>",
        "<table:table-cell office:value-type=\"date\" office:date-value=\"{}\"/>",
        "<table:table-cell office:value-type=\"time\" office:time-value=\"{}\"/>",
        "<table:table-cell office:value-type=\"boolean\" office:boolean-value=\"{}\"/>",
        "<table:table-cell office:value-type=\"string\"><text:p>{}</text:p></table:table-cell>",
        "<table:table-cell office:value-type=\"string\"><text:p><text:s text:c=\"{}\"/></text:p></table:table-cell>",
        "<table:table-cell office:value-type=\"{}\" office:value=\"2\"/>",
        "<table:table-cell table:formula=\"{}\"/>",
        "<table:covered-table-cell table:number-columns-repeated=\"{}\"/>",
        "<table:table-cell><office:annotation><text:p>{}</text:p></office:annotation></table:table-cell>",
    ],
];

/// A workbook with more rows below the sound ones, a cell a line.
fn with_cells(which: usize, lines: &[u8]) -> Vec<u8> {
    let (opens, closes) = [("<row>", "</row>"), ("<table:table-row>", "</table:table-row>")][which];
    let mut rows = format!("{}{opens}", sound_rows(which));
    for line in lines.split(|byte| *byte == b'\n').take(500) {
        let (sort, text) = super::first(line);
        let text = String::from_utf8_lossy(text).replace('\0', "");
        let text = text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;");
        rows += &CELLS[which][usize::from(sort) % CELLS[which].len()].replace("{}", &text);
    }
    zipped(&least(which, &(rows + closes)))
}

/// Real workbooks, their smallest parts, and every sort of cell.
pub fn seeds() -> Vec<Vec<u8>> {
    const REAL: [(&[u8], &[u8]); 4] = [
        (b"0", include_bytes!("../../spreadsheets/openpyxl.xlsx")),
        (b"0", include_bytes!("../../spreadsheets/libreoffice.xlsx")),
        (b"0", include_bytes!("../../spreadsheets/odd.xlsx")),
        (b"1", include_bytes!("../../spreadsheets/libreoffice.ods")),
    ];
    let mut seeds: Vec<Vec<u8>> = REAL.map(|(how, bytes)| [how, bytes].concat()).to_vec();
    for (which, cells) in CELLS.iter().enumerate() {
        let how = [b'0' + which as u8, b'2' + which as u8, b'4' + which as u8];
        let parts = least(which, sound_rows(which));
        seeds.push([&how[..1], &zipped(&parts)].concat());
        for (name, bytes) in &parts {
            seeds.push([&how[1..2], name.as_bytes(), b"\x01", bytes.as_slice()].concat());
        }
        for text in ["7", "45000.25", "A9", "2031-04-09T06:40:00", "PT06H40M00S", "1e300"] {
            let line = |sort: usize| [&[sort as u8], text.as_bytes()].concat();
            let lines: Vec<Vec<u8>> = (0..cells.len()).map(line).collect();
            seeds.push([&how[2..], lines.join(&b'\n').as_slice()].concat());
        }
    }
    seeds
}
