//! A project in memory, read and examined, and what must hold of it.

use std::collections::BTreeMap;
use std::io;

use lastdock::findings::written::FindingsWritten;
use lastdock::findings::{Examined, examine};
use lastdock::records::problem::{Problem, Problems};
use lastdock::records::store::Store;
use lastdock::records::{FILES, KEYED_FILES, Project};

/// The files of a project by their paths.
#[derive(Clone, Default)]
pub struct Files {
    files: BTreeMap<String, Vec<u8>>,
    sizes: BTreeMap<String, u64>,
    /// Whether they are read as those of a bundle are.
    pub closed_out: bool,
}

impl Files {
    /// The example of the format: a few rows of everything.
    pub fn example() -> Self {
        let mut files = Self::default();
        for spec in FILES {
            files.put(spec.path, spec.example.as_bytes());
        }
        for spec in KEYED_FILES {
            files.put(spec.path, spec.example.as_bytes());
        }
        const DOCKING: &str =
            include_str!("../../../templates/example/history/fenwhin-2006/docking.toml");
        const BLOCKS: &str =
            include_str!("../../../templates/example/history/fenwhin-2006/plan/blocks.csv");
        const POSITIONS: &str =
            include_str!("../../../templates/example/history/fenwhin-2006/positions/positions.csv");
        files.put("history/fenwhin-2006/docking.toml", DOCKING.as_bytes());
        files.put("history/fenwhin-2006/plan/blocks.csv", BLOCKS.as_bytes());
        files.put("history/fenwhin-2006/positions/positions.csv", POSITIONS.as_bytes());
        files
    }

    /// The same without what a landing takes long to be worked out from, but for one file.
    pub fn example_ashore(but: &str) -> Self {
        let mut files = Self::example();
        files.retain(|path| !path.starts_with("landing/") || path == but);
        files
    }

    /// The least that is a project: a ship, a dock and a block.
    pub fn bare() -> Self {
        let mut files = Self::default();
        let docking = "format = 1\n[ship]\nname = \"Plumewick\"\n[dock]\nname = \"Quoin Dock\"\n";
        files.put("docking.toml", docking.as_bytes());
        let blocks = "block,row,station_m,offset_m,length_mm,width_mm\nK1,keel,20,0,600,1200\n";
        files.put("plan/blocks.csv", blocks.as_bytes());
        files
    }

    /// Puts a file, or another in its place.
    pub fn put(&mut self, path: &str, bytes: &[u8]) {
        self.sizes.insert(path.to_string(), bytes.len() as u64);
        self.files.insert(path.to_string(), bytes.to_vec());
    }

    /// Takes files away.
    pub fn retain(&mut self, keep: impl Fn(&str) -> bool) {
        self.files.retain(|path, _| keep(path));
        self.sizes.retain(|path, _| keep(path));
    }

    /// Every file with its bytes.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.files.iter().map(|(path, bytes)| (path.as_str(), bytes.as_slice()))
    }
}

impl Store for Files {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        self.files.get(path).cloned().ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    fn takes_workbooks(&self) -> bool {
        true
    }

    fn was_closed_out(&self) -> bool {
        self.closed_out
    }
}

/// Reads a project twice, and examines it where it can be read.
pub fn judged(files: &Files) -> Option<Examined> {
    let read = || lastdock::records::read(files, Problems::default());
    match (read(), read()) {
        (Ok(first), Ok(second)) => {
            assert_eq!(format!("{first:?}"), format!("{second:?}"), "read twice, another project");
            examined(files, first)
        }
        (Err(first), Err(second)) => {
            assert_eq!(first, second, "read twice, other problems");
            are_well_told(files, &first);
            None
        }
        _ => panic!("read twice, once refused"),
    }
}

fn examined(files: &Files, project: Project) -> Option<Examined> {
    project.warnings.iter().for_each(|warning| is_well_told(files, warning));
    match examine(project) {
        Ok(examined) => {
            let written = FindingsWritten::new(&examined, "a test");
            serde_json::to_string(&written).expect("findings as JSON");
            Some(examined)
        }
        Err(problems) => {
            are_well_told(files, &problems);
            None
        }
    }
}

pub fn are_well_told(files: &Files, problems: &[Problem]) {
    assert!(!problems.is_empty(), "refused without a reason");
    problems.iter().for_each(|problem| is_well_told(files, problem));
}

/// A problem says where, what, and what to do; its line is one that the file has.
fn is_well_told(files: &Files, problem: &Problem) {
    let told = problem.to_string();
    assert!(!problem.place.file.is_empty() && !problem.wrong.is_empty(), "{told}");
    assert!(!problem.expected.is_empty() && !problem.advice.is_empty(), "{told}");
    // A made-up sheet has its lines in the workbook.
    if problem.place.row.is_some() {
        return;
    }
    let Some(line) = problem.place.line else { return };
    let bytes = files.read(&problem.place.file).expect("a problem's file is one of the project's");
    // Wherever lines end: at LF, at CR, or, in UTF-16, with a zero between.
    let ends = bytes.iter().filter(|byte| matches!(byte, b'\n' | b'\r')).count();
    assert!(line >= 1 && line as usize <= ends + 1, "{ends} ends of lines: {told}");
}
