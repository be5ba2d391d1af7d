//! Where things stand in a bundle.

use crate::records::papers;

/// The folder of the payload in a bag (RFC 8493 section 2.1.2).
pub const DATA: &str = "data/";
/// The project's files, byte for byte.
pub const RECORDS: &str = "data/records/";
/// The workbooks that CSV files among the records were made from.
pub const WORKBOOK: &str = "data/workbook/";
/// Papers and photographs.
pub const PAPERS: &str = "data/papers/";
/// The derived tables.
pub const TABLES: &str = "data/tables/";
/// The drawings of the report.
pub const DRAWINGS: &str = "data/drawings/";
/// The findings.
pub const FINDINGS_JSON: &str = "data/findings.json";
/// The findings for a spreadsheet.
pub const FINDINGS_CSV: &str = "data/findings.csv";
/// The JSON Schema of `findings.json`.
pub const FINDINGS_SCHEMA: &str = "data/findings.schema.json";
/// The format of bundle and records, in words.
pub const FORMAT_TEXT: &str = "data/format.txt";
/// What the bundle is.
pub const README: &str = "data/README.txt";
/// The report.
pub const REPORT: &str = "data/closeout-report.pdf";
/// The report's first pages.
pub const SUMMARY: &str = "data/closeout-summary.pdf";
/// The record as one page for any browser.
pub const START_HERE: &str = "data/start-here.html";
/// The full tables, set for paper, in parts: `1.pdf` and on.
pub const TABLES_ON_PAPER: &str = "data/closeout-tables/";
/// The payload described for programs and archives.
pub const RO_CRATE: &str = "data/ro-crate-metadata.json";

/// The bag declaration.
pub const BAGIT: &str = "bagit.txt";
/// The bag's metadata.
pub const BAG_INFO: &str = "bag-info.txt";
/// Payload manifests.
pub const MANIFESTS: [&str; 2] = ["manifest-sha256.txt", "manifest-sha512.txt"];
/// Tag manifests.
pub const TAG_MANIFESTS: [&str; 2] = ["tagmanifest-sha256.txt", "tagmanifest-sha512.txt"];

/// What stands in a bundle and what each is, in the order in which it is written.
pub const CONTENTS: &[(&str, &str)] = &[
    (PAPERS, "photographs and papers, byte for byte as they were"),
    (WORKBOOK, "the workbooks, if records were kept in some, byte for byte as they were"),
    (
        RECORDS,
        "the project's files, byte for byte as they were written, and a CSV file for every sheet of \
              records in a workbook",
    ),
    (
        TABLES,
        "the records in SI units, one row a record, and what was recomputed; csv-metadata.json \
              describes every column",
    ),
    (FINDINGS_JSON, "every comparison of the record with its recomputation"),
    (FINDINGS_SCHEMA, "what findings.json may hold: a JSON Schema, draft 2020-12"),
    (FINDINGS_CSV, "the findings for a spreadsheet"),
    (DRAWINGS, "the report's drawings, SVG"),
    (FORMAT_TEXT, "the format of bundle and records, in words enough to write a reader from"),
    (README, "what this is, how to read it, how to check it with common tools"),
    (
        START_HERE,
        "the record as one page for any web browser: plan, cards of everything, and a check of the bundle; it asks \
         for nothing from anywhere",
    ),
    (REPORT, "the report, PDF/A-3a and PDF/UA-1, with the records attached"),
    (SUMMARY, "the report's first pages, to be handed out alone; PDF/A-3a and PDF/UA-1"),
    (
        TABLES_ON_PAPER,
        "if closeout.tables_volume asks for it: the tables and all findings set for paper, in parts, 1.pdf and on; \
         PDF/A-3a and PDF/UA-1",
    ),
    (
        RO_CRATE,
        "the files below data/ described for programs and archives by RO-Crate 1.2: what each is, its size and format \
         and what it was made from; ship, dock, people, dates and terms of use",
    ),
    (MANIFESTS[0], "SHA-256 of every file below data/"),
    (MANIFESTS[1], "SHA-512 of the same files"),
    (BAGIT, "the declaration: this is a BagIt 1.0 bag"),
    (BAG_INFO, "whose bag it is, of which day, and how many bytes and files it holds"),
    (
        TAG_MANIFESTS[0],
        "SHA-256 of the manifests, bagit.txt and bag-info.txt; its own SHA-256 is the seal",
    ),
    (TAG_MANIFESTS[1], "SHA-512 of the same files"),
];

/// What stands in a supplement's bag and what each is, in the order in which it is written.
pub const SUPPLEMENT: &[(&str, &str)] = &[
    (PAPERS, "photographs and papers, byte for byte as they were"),
    (
        RECORDS,
        "supplement.toml, which names by their seals what it supplements; errata.csv; and tables of records",
    ),
    (FORMAT_TEXT, "the format of bundle, supplement and records, the same text as in a bundle"),
    (README, "what this is, how to check it with common tools"),
    (
        RO_CRATE,
        "these files described for programs and archives by RO-Crate 1.2, with what is supplemented",
    ),
];

/// What stands beside the bundle, with `NAME` for the bundle's name.
pub const BESIDE: &[(&str, &str)] = &[
    ("READ-ME-FIRST-NAME.txt", "what each of these files is, and what to do first; plain ASCII"),
    ("NAME-start-here.html", "the page for a web browser again, the same file as in the bundle"),
    ("NAME-report.pdf", "the report again, the same file as in the bundle"),
    ("NAME-summary.pdf", "its first pages again, likewise"),
    ("NAME-tables-N.pdf", "part N of the tables set for paper, likewise, if they were asked for"),
    (
        "NAME-seal.txt",
        "the seal, and how to compute it; its first line is the seal in groups of four",
    ),
    (
        "NAME-seal.pdf",
        "the seal on one page, to be printed, signed and kept elsewhere, with a QR code of its 64 digits, commands, and \
         what the docking left for the next; PDF/A-3a and PDF/UA-1",
    ),
    (
        "NAME-seal.sig",
        "if somebody signed it: an OpenSSH signature over tagmanifest-sha256.txt, as ssh-keygen -Y \
         verify checks it",
    ),
    ("NAME.zip.par2", "repair data in the format PAR 2.0: checksums of the zip's blocks"),
    ("NAME.zip.volXXX+YY.par2", "repair data: YY recovery blocks from number XXX on"),
];

/// Where a file of the project stands in the bundle.
pub fn in_bundle(project_path: &str) -> String {
    match project_path.strip_prefix(papers::FOLDER) {
        Some(name) if project_path != papers::SPEC.path => format!("{PAPERS}{name}"),
        _ => format!("{RECORDS}{project_path}"),
    }
}

/// Which file of the project a file of the bundle is, if it is one.
pub fn in_project(bundle_path: &str) -> Option<String> {
    if let Some(path) = bundle_path.strip_prefix(RECORDS) {
        return Some(path.to_string());
    }
    bundle_path.strip_prefix(PAPERS).map(|name| format!("{}{name}", papers::FOLDER))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        for (project, bundle) in [
            ("docking.toml", "data/records/docking.toml"),
            ("plan/blocks.csv", "data/records/plan/blocks.csv"),
            ("papers/papers.csv", "data/records/papers/papers.csv"),
            ("papers/1931/plan.png", "data/papers/1931/plan.png"),
        ] {
            assert_eq!(in_bundle(project), bundle);
            assert_eq!(in_project(bundle).as_deref(), Some(project));
        }
        assert_eq!(in_project("data/README.txt"), None);
    }
}
