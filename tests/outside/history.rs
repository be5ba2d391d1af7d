//! Dockings laid over each other, against shapely 2.2 (GEOS): random plans, positions and logs of up to four
//! dockings of one ship, read from records as a project holds them. `history.json` was written by
//! `history.py` beside it, which finds what each coat reached from the words of the log and looks at the
//! bottom from above, the newest coat first.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::io;

use lastdock::calc::plane::area_m2;
use lastdock::findings::recomputed::Recomputed;
use lastdock::findings::recomputed::history::{History, Lies, Uppermost};
use lastdock::records;
use lastdock::records::problem::Problems;
use lastdock::records::store::Store;
use serde::Deserialize;

/// How far areas may lie apart, m2: the grid of the polygon crate, 0.1 um, along the edges of every cap in
/// every position and of every area, 1e-4; and where a strip tapers past the width under which it is left out,
/// 0.1 mm, the two libraries may end it elsewhere: so wide along one cap of 1.2 m is as much again.
const AREA_M2: f64 = 2.2e-4;
/// From the beginning of one position's dry spell to the next, as the script has it.
const DAYS_APART: u32 = 10;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    bottom: Option<Vec<(f64, f64)>>,
    dockings: Vec<Docking>,
    never_exposed_m2: f64,
    /// What each docking never exposed, and what of it every position since hid.
    left_m2: Vec<f64>,
    still_m2: Vec<f64>,
    /// Area by docking and day of the coat, or `blasted`.
    uppermost_m2: BTreeMap<String, f64>,
    no_coat_m2: f64,
    /// Of that under the newest docking's blocks, what is older than it.
    patches_m2: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
struct Docking {
    /// Count, station of the first, pitch, offset, length, width, skew: m and degrees.
    rows: Vec<(u32, f64, f64, f64, f64, f64, f64)>,
    /// SRP station, offset, yaw: m and degrees.
    lies: Vec<(f64, f64, f64)>,
    coats: Vec<Entry>,
    blasts: Vec<Entry>,
}

/// A coat or a blasting.
#[derive(Deserialize)]
struct Entry {
    day: u32,
    claim: String,
    area: Option<Vec<(f64, f64)>>,
}

/// A project in memory.
#[derive(Default)]
struct Memory {
    sizes: BTreeMap<String, u64>,
    files: BTreeMap<String, String>,
}

impl Store for Memory {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        let text = self.files.get(path).ok_or(io::ErrorKind::NotFound)?;
        Ok(text.clone().into_bytes())
    }
}

impl Memory {
    fn add(&mut self, path: &str, text: String) {
        self.sizes.insert(path.to_string(), text.len() as u64);
        self.files.insert(path.to_string(), text);
    }
}

fn year(docking: usize) -> usize {
    1990 + 10 * docking
}

fn name(docking: usize) -> String {
    format!("d-{}", year(docking))
}

/// Lines of a CSV after its header.
fn csv(header: &str, lines: impl IntoIterator<Item = String>) -> String {
    lines.into_iter().fold(format!("{header}\n"), |text, line| text + &line + "\n")
}

impl Docking {
    fn add(&self, number: usize, bottom: Option<&Vec<(f64, f64)>>, folder: &str, to: &mut Memory) {
        let year = year(number);
        let mut put = |path: &str, text: String| to.add(&format!("{folder}{path}"), text);
        put(
            "docking.toml",
            format!(
                "format = 1\n[ship]\nname = \"Plumewick\"\n[dock]\nname = \"Old Dock\"\n[period]\n\
                 began = {year}-05-01\nended = {year}-05-31\noffset = \"+00:00\"\n"
            ),
        );
        let caps = self.rows.iter().enumerate().flat_map(|(row, r)| {
            let (count, station, pitch, offset, length, width, skew) = *r;
            (0..count).map(move |n| {
                let station = station + f64::from(n) * pitch;
                format!("R{row}-{n},keel,{station},{offset},{length},{width},{skew}")
            })
        });
        put("plan/blocks.csv", csv("block,row,station_m,offset_m,length_m,width_m,skew_deg", caps));
        let lies = (0_u32..).zip(&self.lies).map(|(n, (station, offset, yaw))| {
            let (dry, wet) = (1 + DAYS_APART * n, DAYS_APART * (n + 1) - 1);
            format!(
                "P{n},{station},{offset},{yaw:.12},{year}-05-{dry:02}T01:00:00,{year}-05-{wet:02}T01:00:00"
            )
        });
        let header = "position,recorded_srp_station_m,recorded_offset_m,yaw_deg,dry,reflood_began";
        put("positions/positions.csv", csv(header, lies));
        let Some(bottom) = bottom else { return };
        let outline = |id: &str, ring: &[(f64, f64)]| -> Vec<String> {
            let vertices = ring.iter().enumerate();
            vertices.map(|(n, (x, y))| format!("{id},{n},{x},{y}")).collect()
        };
        put("plan/bottom.csv", csv("part,order,x_m,y_m", outline("bottom", bottom)));
        put("coating/zones.csv", csv("zone,kind", ["F,bottom".to_string()]));
        put("coating/products.toml", "[[product]]\nproduct = \"EP\"\n".to_string());
        let scheme = ["F,1,EP,100".to_string()];
        put("coating/scheme.csv", csv("zone,coat,product,nominal_dft_um", scheme));
        let (mut coats, mut blasts, mut areas) = (Vec::new(), Vec::new(), Vec::new());
        for (entry, coat) in self
            .coats
            .iter()
            .map(|entry| (entry, true))
            .chain(self.blasts.iter().map(|entry| (entry, false)))
        {
            let area = format!("A{}", areas.len());
            let extent = if entry.area.is_some() { &area } else { &entry.claim };
            let day = format!("{year}-05-{:02}", entry.day + 1);
            if coat {
                coats.push(format!("F,{extent},1,EP,{day}T10:00:00,{day}T11:00:00"));
            } else {
                blasts.push(format!("F,{extent},blast,{day}T04:00:00"));
            }
            areas.extend(entry.area.iter().flat_map(|ring| outline(&area, ring)));
        }
        put("coating/coats.csv", csv("zone,extent,coat,product,began,ended", coats));
        put("coating/preparation.csv", csv("zone,extent,treatment,at", blasts));
        put("coating/areas.csv", csv("area,order,x_m,y_m", areas));
    }
}

impl Case {
    /// The newest docking's project, the others its history.
    fn recomputed(&self) -> Recomputed {
        let mut files = Memory::default();
        let newest = self.dockings.len() - 1;
        let mut rows = Vec::new();
        for (number, docking) in self.dockings.iter().enumerate() {
            let folder = match number == newest {
                true => String::new(),
                false => format!("history/{}/", name(number)),
            };
            docking.add(number, self.bottom.as_ref(), &folder, &mut files);
            if number < newest {
                rows.push(format!("{},{}.zip,whole", name(number), name(number)));
            }
        }
        files.add("history/dockings.csv", csv("docking,bundle,fixity", rows));
        let project = records::read(&files, Problems::default());
        let project = project.unwrap_or_else(|problems| panic!("{problems:#?}"));
        Recomputed::new(&project)
    }
}

/// What a part is called in the fixture.
fn called(part: &Uppermost) -> String {
    use chrono::Datelike;
    match part.lies {
        Lies::Coat(day) => format!("{} {}", part.docking, day.day() - 1),
        Lies::Blasted => format!("{} blasted", part.docking),
        Lies::NotKnown => format!("{} not known", part.docking),
    }
}

/// Every area of a history under a name.
fn found(history: &History) -> BTreeMap<String, f64> {
    let mut found = BTreeMap::new();
    let mut add = |name: String, area: f64| *found.entry(name).or_insert(0.0) += area;
    add("never exposed".to_string(), history.never_exposed_m2().expect("every docking is placed"));
    for (number, docking) in history.dockings.iter().enumerate() {
        let left = docking.left.as_ref().expect("every docking is placed");
        add(format!("left by {number}"), left.area_m2);
        add(format!("still of {number}"), area_m2(&left.still));
    }
    history.uppermost.iter().for_each(|part| add(format!("top {}", called(part)), part.area_m2));
    add("no coat".to_string(), area_m2(&history.no_coat));
    let patches = history.patches.as_ref().expect("every docking is placed");
    for patch in &patches.pieces {
        let on = patch.uppermost.map_or("none".to_string(), |at| called(&history.uppermost[at]));
        add(format!("patch {on}"), patch.area_m2);
    }
    found
}

fn wanted(case: &Case) -> BTreeMap<String, f64> {
    let mut wanted = BTreeMap::from([
        ("never exposed".to_string(), case.never_exposed_m2),
        ("no coat".to_string(), case.no_coat_m2),
    ]);
    let each = |areas: &[f64], what: &str| -> Vec<(String, f64)> {
        areas.iter().enumerate().map(|(n, area)| (format!("{what} {n}"), *area)).collect()
    };
    wanted.extend(each(&case.left_m2, "left by"));
    wanted.extend(each(&case.still_m2, "still of"));
    wanted.extend(case.uppermost_m2.iter().map(|(name, area)| (format!("top {name}"), *area)));
    wanted.extend(case.patches_m2.iter().map(|(name, area)| (format!("patch {name}"), *area)));
    wanted
}

#[test]
fn every_area_of_the_history_is_the_one_that_shapely_finds() {
    let fixture: Fixture = serde_json::from_str(include_str!("history.json")).expect("the fixture");
    assert_eq!(fixture.cases.len(), 150);
    let (mut wrong, mut held, mut greatest) = (String::new(), 0, 0.0_f64);
    for (number, case) in fixture.cases.iter().enumerate() {
        let recomputed = case.recomputed();
        let found = found(recomputed.history.as_ref().expect("a history"));
        let wanted = wanted(case);
        let names: BTreeSet<&String> = found.keys().chain(wanted.keys()).collect();
        for name in names {
            let of = |areas: &BTreeMap<String, f64>| areas.get(name).copied().unwrap_or(0.0);
            let apart = (of(&found) - of(&wanted)).abs();
            greatest = greatest.max(apart);
            held += 1;
            if apart > AREA_M2 {
                let (found, wanted) = (of(&found), of(&wanted));
                writeln!(wrong, "case {number}, {name}: {found}, shapely {wanted}")
                    .expect("a line");
            }
        }
    }
    println!("{held} areas, {greatest:e} m2 apart at most");
    assert!(wrong.is_empty(), "{wrong}");
    assert!(held > 1800, "{held}");
}
