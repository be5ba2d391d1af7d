//! What the typesetter is given for a project, without a bundle around it.

use std::collections::BTreeMap;
use std::path::Path;

use lastdock::bundle::digest;
use lastdock::findings::{self, Examined};
use lastdock::records;
use lastdock::records::problem::Problems;
use lastdock::records::store::{Folder, Store};
use lastdock::report::figures::{self, Drawing};
use lastdock::report::pictures::Album;
use lastdock::report::{Attachment, Inputs, Listed, Relationship};

/// A project made ready for the typesetter.
pub struct Ready {
    examined: Examined,
    drawings: Vec<Drawing>,
    listed: Vec<Listed>,
    records: BTreeMap<String, Vec<u8>>,
    pictures: BTreeMap<String, Vec<u8>>,
}

impl Ready {
    /// Reads a sound project and draws its drawings.
    pub fn new(root: &Path) -> Self {
        let mut problems = Problems::default();
        let folder = Folder::open(root, &mut problems);
        let project = records::read(&folder, problems).expect("a sound project");
        let examined = findings::examine(project).expect("remarks that answer findings");
        let drawings = figures::drawings(&examined);
        let shown = |path: &str| {
            examined.project.papers.iter().any(|paper| paper.in_report && paper.path() == path)
        };
        let (mut listed, mut records, mut pictures) =
            (Vec::new(), BTreeMap::new(), BTreeMap::new());
        for (path, size) in folder.sizes() {
            let bytes = folder.read(path).expect("a file");
            let sha256 = digest::sha256(&bytes);
            listed.push(Listed { path: format!("data/{path}"), size: *size, sha256 });
            if path.ends_with(".csv") || path.ends_with(".toml") {
                records.insert(path.clone(), bytes);
            } else if shown(path) {
                pictures.insert(path.trim_start_matches("papers/").to_string(), bytes);
            }
        }
        Self { examined, drawings, listed, records, pictures }
    }

    /// As the report takes it.
    pub fn inputs(&self) -> Inputs<'_> {
        let attachment = |(path, bytes): (&String, &Vec<u8>)| Attachment {
            path: path.clone(),
            bytes: bytes.clone(),
            media_type: "text/plain",
            about: format!("record of the docking: {path}"),
            relationship: Relationship::Source,
        };
        let mut pictures = Album::default();
        self.pictures.iter().for_each(|(name, bytes)| pictures.add(name, Ok(bytes)));
        Inputs {
            examined: &self.examined,
            drawings: &self.drawings,
            files: &self.listed,
            records_checksum: &self.listed[0].sha256,
            attachments: self.records.iter().map(attachment).collect(),
            pictures,
            program: "lastdock",
        }
    }
}
