//! Where things stand in a bundle.

use crate::records::papers;

/// The folder of the payload in a bag (RFC 8493 section 2.1.2).
pub const DATA: &str = "data/";
/// The project's files, byte for byte.
pub const RECORDS: &str = "data/records/";
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
/// What the bundle is.
pub const README: &str = "data/README.txt";
/// The report.
pub const REPORT: &str = "data/closeout-report.pdf";

/// The bag declaration.
pub const BAGIT: &str = "bagit.txt";
/// The bag's metadata.
pub const BAG_INFO: &str = "bag-info.txt";
/// Payload manifests.
pub const MANIFESTS: [&str; 2] = ["manifest-sha256.txt", "manifest-sha512.txt"];
/// Tag manifests.
pub const TAG_MANIFESTS: [&str; 2] = ["tagmanifest-sha256.txt", "tagmanifest-sha512.txt"];

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
