//! What the program says of a variant of a ship: which of its findings are false alarms.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::{env, fs, io};

use lastdock::findings::examine;
use lastdock::findings::finding::Outcome;
use lastdock::findings::subject::Subject;
use lastdock::records::problem::Problems;
use lastdock::records::read;
use lastdock::records::store::Store;
use rayon::prelude::*;

use crate::yard::{Position, Truth};

/// The files of a project, by their paths.
type Files = BTreeMap<String, String>;

/// What was written of a docking, and what should come out of it.
pub struct Record {
    files: Files,
    /// Load on the knuckle in each position, t, and by how much it may be off.
    knuckles_t: Vec<(String, f64, f64)>,
}

impl Record {
    pub fn new<const N: usize>(truth: &Truth, files: [(&str, String); N]) -> Self {
        let knuckle = |position: &Position| {
            let landing = &position.landing;
            // Beside misread drafts a tenth, for tops that are no straight line.
            let sure_to_t = landing.knuckle_sure_to_t + 0.1 * landing.knuckle_t;
            (position.name.clone(), landing.knuckle_t, sure_to_t)
        };
        Self {
            files: files.into_iter().map(|(path, text)| (path.to_string(), text)).collect(),
            knuckles_t: truth.positions.iter().map(knuckle).collect(),
        }
    }
}

/// A project held in memory.
struct Memory<'a> {
    files: &'a Files,
    sizes: BTreeMap<String, u64>,
}

impl Store for Memory<'_> {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        let text = self.files.get(path).ok_or(io::ErrorKind::NotFound)?;
        Ok(text.clone().into_bytes())
    }
}

/// How many variants of each ship are judged, unless `LASTDOCK_TRIALS` says otherwise.
const VARIANTS: u64 = 200;

/// Judges variants of a ship. `beyond` says of ids of findings what the truth itself puts beyond a limit.
#[track_caller]
pub fn judge(ship: &str, record: fn(u64) -> Record, beyond: fn(&str) -> bool) {
    let asked = env::var("LASTDOCK_TRIALS").ok();
    let count =
        asked.map_or(VARIANTS, |text| text.parse().expect("LASTDOCK_TRIALS: a whole number"));
    let alarms: Vec<Vec<String>> = (0..count)
        .into_par_iter()
        .map(|variant| {
            let record = record(variant);
            let alarms = alarms(&record, beyond);
            if !alarms.is_empty() {
                keep(ship, variant, &record.files);
            }
            alarms.into_iter().map(|alarm| format!("{ship} {variant}: {alarm}")).collect()
        })
        .collect();
    let failed = alarms.iter().filter(|alarms| !alarms.is_empty()).count();
    let mut said = String::new();
    for alarm in alarms.iter().flatten().take(60) {
        let _ = writeln!(said, "{alarm}");
    }
    assert!(
        failed == 0,
        "{failed} of {count} variants of {ship} raise a false alarm; with LASTDOCK_TRIALS_KEEP=FOLDER they are \
         written there, to be looked into with `lastdock check`:\n{said}"
    );
}

/// Every finding that something does not fit, and every problem.
fn alarms(record: &Record, beyond: fn(&str) -> bool) -> Vec<String> {
    let files = &record.files;
    let sizes = files.iter().map(|(path, text)| (path.clone(), text.len() as u64)).collect();
    let problems = |problems: Vec<_>| -> Vec<String> {
        problems.iter().map(|problem| format!("can't be read: {problem:?}")).collect()
    };
    let project = match read(&Memory { files, sizes }, Problems::default()) {
        Ok(project) => project,
        Err(found) => return problems(found),
    };
    let mut alarms: Vec<String> =
        project.warnings.iter().map(|warning| format!("a warning: {warning:?}")).collect();
    let examined = match examine(project) {
        Ok(examined) => examined,
        Err(found) => return problems(found),
    };
    let list = env::var_os("LASTDOCK_TRIALS_LIST").is_some();
    for finding in &examined.findings {
        let alarm = match finding.outcome {
            Outcome::Agrees => false,
            Outcome::NotRecorded => list,
            Outcome::BeyondLimit => list || !beyond(&finding.id),
            Outcome::Differs => true,
        };
        if alarm {
            let sentence = finding.sentence.to_string();
            alarms.push(format!("{} {}: {sentence}", finding.id, finding.outcome));
        }
    }
    for (position, truly_t, sure_to_t) in &record.knuckles_t {
        let subject = Subject::KnuckleLoad(position.clone());
        let found =
            examined.finding(&subject).and_then(|finding| finding.recomputed.as_ref()?.measure());
        if found.is_none_or(|found| (found.kept - truly_t).abs() > *sure_to_t) {
            let found = found.map(|found| found.kept);
            alarms.push(format!(
                "{subject}: {found:?} t, and truly {truly_t:.1} t, to {sure_to_t:.1} t"
            ));
        }
    }
    alarms
}

/// Writes a variant into the folder that `LASTDOCK_TRIALS_KEEP` names, if it names one.
fn keep(ship: &str, variant: u64, files: &Files) {
    let Some(folder) = env::var_os("LASTDOCK_TRIALS_KEEP") else { return };
    let folder = PathBuf::from(folder).join(format!("{ship}-{variant}"));
    for (path, text) in files {
        let path = folder.join(path);
        path.parent().map(fs::create_dir_all).transpose().expect("a folder");
        fs::write(path, text).expect("a file");
    }
}
