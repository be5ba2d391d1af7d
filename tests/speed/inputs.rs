//! What the typesetter is given for a project, without a bundle around it.

use std::collections::BTreeMap;
use std::path::Path;

use lastdock::bundle::digest;
use lastdock::findings::{self, Examined};
use lastdock::records;
use lastdock::records::problem::Problems;
use lastdock::records::store::{Folder, Store};
use lastdock::report::figures::{self, Drawing};
use lastdock::report::{Attachment, Inputs, Listed, Relationship};

/// A project made ready for the typesetter.
pub struct Ready {
    examined: Examined,
    drawings: Vec<Drawing>,
    listed: Vec<Listed>,
    records: BTreeMap<String, Vec<u8>>,
}

impl Ready {
    /// Reads a sound project and draws its drawings.
    pub fn new(root: &Path) -> Self {
        let mut problems = Problems::default();
        let folder = Folder::open(root, &mut problems);
        let project = records::read(&folder, problems).expect("a sound project");
        let examined = findings::examine(project).expect("remarks that answer findings");
        let drawings = figures::drawings(&examined);
        let (mut listed, mut records) = (Vec::new(), BTreeMap::new());
        for (path, size) in folder.sizes() {
            let bytes = folder.read(path).expect("a file");
            let sha256 = digest::sha256(&bytes);
            listed.push(Listed { path: format!("data/{path}"), size: *size, sha256 });
            if path.ends_with(".csv") || path.ends_with(".toml") {
                records.insert(path.clone(), bytes);
            }
        }
        Self { examined, drawings, listed, records }
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
        Inputs {
            examined: &self.examined,
            drawings: &self.drawings,
            files: &self.listed,
            records_checksum: &self.listed[0].sha256,
            attachments: self.records.iter().map(attachment).collect(),
            pictures: &self.examined.project.pictures,
            letters: Vec::new(),
            program: "lastdock",
        }
    }
}
