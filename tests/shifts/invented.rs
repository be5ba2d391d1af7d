//! Small invented dockings.

use std::fs;
use std::path::PathBuf;

use tempfile::TempDir;

use crate::common::{Said, program, run, temporary};

/// A project's folder that goes away with the value.
pub struct Docking {
    folder: TempDir,
}

const DOCKING: &str = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n\
                       [period]\noffset = \"+00:00\"\n[closeout]\nprepared_by = \"Orla Wickett\"\n\
                       prepared_on = 2044-05-01\nbundle_name = \"sedge-pike-2044\"\n";

impl Docking {
    /// One without positions, on keel blocks of a length (m) so far from each other, each 1.2 m wide, the
    /// first with its middle at station 20.
    pub fn new(count: usize, length_m: f64, apart_m: f64) -> Self {
        let docking = Self { folder: temporary() };
        fs::create_dir_all(docking.root().join("plan")).expect("a folder");
        fs::create_dir_all(docking.root().join("positions")).expect("a folder");
        docking.write("docking.toml", DOCKING);
        let rows = (0..count).map(|n| {
            let station = 20.0 + n as f64 * apart_m;
            format!("K{},keel,{station},0,{length_m},1.2,0,\n", n + 1)
        });
        let header = "block,row,station_m,offset_m,length_m,width_m,skew_deg,positions\n";
        docking.write("plan/blocks.csv", &(header.to_string() + &rows.collect::<String>()));
        docking
    }

    /// The same with positions at these stations of the stern reference point, P1 and so on.
    pub fn lying(self, stations_m: &[f64]) -> Self {
        let rows = stations_m
            .iter()
            .enumerate()
            .map(|(n, station)| format!("P{},{},0,{station},0,0\n", n + 1, station));
        let header = "position,planned_srp_station_m,planned_offset_m,recorded_srp_station_m,\
                      recorded_offset_m,yaw_deg\n";
        self.write("positions/positions.csv", &(header.to_string() + &rows.collect::<String>()));
        self
    }

    /// The same with positions that are planned at these stations and in which she has not lain yet.
    pub fn planned(self, stations_m: &[f64]) -> Self {
        let stations = stations_m.iter().enumerate();
        let rows = stations.map(|(n, station)| format!("P{},{station},0\n", n + 1));
        let header = "position,planned_srp_station_m,planned_offset_m\n";
        self.write("positions/positions.csv", &(header.to_string() + &rows.collect::<String>()));
        self
    }

    pub fn root(&self) -> PathBuf {
        self.folder.path().join("project")
    }

    pub fn write(&self, file: &str, text: &str) {
        fs::write(self.root().join(file), text).unwrap_or_else(|error| panic!("{file}: {error}"));
    }

    /// Adds to the end of a file.
    pub fn append(&self, file: &str, text: &str) {
        let was = fs::read_to_string(self.root().join(file)).expect("a file");
        self.write(file, &(was + text));
    }

    /// `lastdock shifts` of it.
    #[track_caller]
    pub fn shifts(&self, arguments: &[&str]) -> Said {
        run(program().arg("shifts").arg(self.root()).args(arguments))
    }
}

/// A number of JSON.
#[track_caller]
pub fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// The bands of a way, 0 fore and aft and 1 athwart.
#[track_caller]
pub fn bands(json: &serde_json::Value, way: usize) -> Vec<(f64, f64)> {
    spans(&json["ways"][way]["bands"])
}

/// Spans of JSON.
#[track_caller]
pub fn spans(json: &serde_json::Value) -> Vec<(f64, f64)> {
    let spans = json.as_array().expect("spans");
    spans.iter().map(|band| (number(&band["from_m"]), number(&band["to_m"]))).collect()
}

/// Panics unless the two lists of spans agree to a micrometre.
#[track_caller]
pub fn same(found: &[(f64, f64)], wanted: &[(f64, f64)]) {
    let near =
        |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).abs() < 2e-6 && (a.1 - b.1).abs() < 2e-6;
    let all = found.len() == wanted.len() && found.iter().zip(wanted).all(|(a, b)| near(a, b));
    assert!(all, "{found:?}, wanted {wanted:?}");
}
