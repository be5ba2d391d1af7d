//! The whole coating log later or earlier by a week: coats fall into the flooded spell, or before the dock
//! was dry. Which of them is worked out here from the positions' times and the water log alone.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Duration, FixedOffset, NaiveDateTime};
use lastdock::findings::Examined;
use lastdock::findings::finding::{Finding, Outcome};
use serde_json::Value;

use super::{EXPECTED, list, read, text};
use crate::common::{Project, program, run, squeezed};

type Time = DateTime<FixedOffset>;
type Row = BTreeMap<String, String>;

/// Every file of the coating log with its columns of times.
const LOG: [(&str, &[&str]); 7] = [
    ("coating/coats.csv", &["began", "ended", "mixed", "used_up"]),
    ("coating/stripes.csv", &["began", "ended"]),
    ("coating/tests.csv", &["at"]),
    ("coating/preparation.csv", &["at"]),
    ("coating/film.csv", &["at"]),
    ("coating/climate.csv", &["at"]),
    ("coating/gauges.csv", &["at"]),
];

fn rows(project: &Project, file: &str) -> Vec<Row> {
    let text = project.text(file);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.deserialize().map(|row| row.expect("a row")).collect()
}

/// A time of the record; without an offset it is the project's, an hour east.
fn time(cell: &str) -> Time {
    cell.parse().unwrap_or_else(|_| format!("{cell}+01:00").parse().expect("a time"))
}

/// A copy of the sample with its coating log later by some days, and no remarks: several answer findings
/// that no longer stand.
fn shifted(days: i64) -> Project {
    let project = Project::copied();
    for (file, columns) in LOG {
        let bytes = project.text(file);
        let mut reader = csv::Reader::from_reader(bytes.as_bytes());
        let header = reader.headers().expect("a header").clone();
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&header).expect("a header");
        for row in reader.records() {
            let row = row.expect("a row");
            let cells = header.iter().zip(&row).map(|(name, cell)| {
                if columns.contains(&name) && !cell.is_empty() {
                    later(cell, days)
                } else {
                    cell.to_string()
                }
            });
            writer.write_record(cells).expect("a row");
        }
        project.write(file, writer.into_inner().expect("a file"));
    }
    project.write("remarks.toml", "");
    project
}

/// A time written as it was, its day later.
fn later(cell: &str, days: i64) -> String {
    let (local, offset) = cell.split_at("2031-04-10T10:50:00".len());
    let local: NaiveDateTime = local.parse().expect("a local time");
    format!("{}{offset}", (local + Duration::days(days)).format("%Y-%m-%dT%H:%M:%S"))
}

/// When the dock was dry in each position; the bottom can be worked on then.
fn dry(project: &Project) -> Vec<(Time, Time)> {
    let positions = rows(project, "positions/positions.csv");
    positions.iter().map(|row| (time(&row["dry"]), time(&row["reflood_began"]))).collect()
}

/// When the sides' lowest edge, 1.00 m over the keel, was out of the water: from the last reading of the log
/// at or above it before dock dry to the first one afterwards, less what a reading's interval leaves open.
/// The keel lies on blocks whose lowest top is where the water stands highest on her.
fn sides_free(project: &Project) -> Vec<(Time, Time)> {
    let blocks = rows(project, "plan/blocks.csv");
    let tops = blocks.iter().filter(|row| row["row"] == "keel" && !row["top_level_m"].is_empty());
    let keel = tops.map(|row| row["top_level_m"].parse::<f64>().expect("a level"));
    let edge = keel.reduce(f64::min).expect("keel blocks") + 1.0;
    let water = rows(project, "landing/water.csv");
    let level = |row: &Row| row["level_m"].parse::<f64>().expect("a level");
    dry(project)
        .into_iter()
        .map(|(from, to)| {
            let free = |row: &&Row| level(row) < edge;
            let mut before: Vec<&Row> =
                water.iter().filter(|row| time(&row["at"]) <= from).collect();
            before.reverse();
            let mut after: Vec<&Row> = water.iter().filter(|row| time(&row["at"]) >= to).collect();
            after.sort_by_key(|row| time(&row["at"]));
            let first = before.into_iter().take_while(free).last().map(|row| time(&row["at"]));
            let last = after.into_iter().take_while(free).last().map(|row| time(&row["at"]));
            (first.unwrap_or(from), last.unwrap_or(to))
        })
        .collect()
}

/// What the log of a shifted project claims.
struct Log {
    coats: Vec<Row>,
    /// When she touched in each position.
    touched: Vec<(Time, String)>,
    bottom: Vec<(Time, Time)>,
    sides: Vec<(Time, Time)>,
}

impl Log {
    fn new(project: &Project) -> Self {
        let coats = rows(project, "coating/coats.csv");
        let positions = rows(project, "positions/positions.csv");
        let touched =
            positions.iter().map(|row| (time(&row["touched"]), row["position"].clone())).collect();
        Self { coats, touched, bottom: dry(project), sides: sides_free(project) }
    }

    fn spells(&self, zone: &str) -> &[(Time, Time)] {
        if zone.starts_with('S') { &self.sides } else { &self.bottom }
    }

    /// The position in whose spell an application lay from start to finish.
    fn stand(&self, row: &Row) -> Option<usize> {
        let (began, ended) = (time(&row["began"]), time(&row["ended"]));
        self.spells(&row["zone"]).iter().position(|(dry, wet)| *dry <= began && ended <= *wet)
    }

    /// Names of the applications in the order of the log.
    fn names(&self) -> Vec<String> {
        let name = |row: &Row| {
            let mut down =
                self.touched.iter().filter(|(touched, _)| *touched <= time(&row["began"]));
            let stood = down.next_back().map(|(_, id)| format!("-{id}")).unwrap_or_default();
            format!("{}.coat{}.{}{stood}", row["zone"], row["coat"], row["extent"])
        };
        self.coats.iter().map(name).collect()
    }

    /// Numbers of coats of each zone that no application put on dry steel.
    fn never_on(&self) -> BTreeMap<&str, BTreeSet<&str>> {
        let mut never: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for row in &self.coats {
            never.entry(&row["zone"]).or_default().insert(&row["coat"]);
        }
        for row in self.coats.iter().filter(|row| self.stand(row).is_some()) {
            // Patches in the first position are nothing.
            if row["extent"] != "patches" || self.stand(row) != Some(0) {
                never.entry(&row["zone"]).or_default().remove(row["coat"].as_str());
            }
        }
        never
    }
}

#[track_caller]
fn finding<'a>(examined: &'a Examined, id: &str) -> &'a Finding {
    let found = examined.findings.iter().find(|finding| finding.id == id);
    found.unwrap_or_else(|| panic!("no finding {id}"))
}

/// Holds every claim, zone, reading of film and check of the steel to what the times say.
fn hold_to_log(project: &Project) -> (Log, Examined) {
    let (log, examined) = (Log::new(project), read(&project.root()));
    for (row, name) in log.coats.iter().zip(log.names()) {
        let claim = finding(&examined, &format!("coating.{name}.claim"));
        let said = &claim.sentence;
        match log.stand(row) {
            None => {
                assert_eq!(claim.outcome, Outcome::Differs, "{said}");
                assert!(said.contains("when that was not dry throughout"), "{said}");
                assert!(said.contains(" m\u{b2} "), "how much: {said}");
            }
            Some(0) if row["extent"] == "patches" => {
                assert_eq!(claim.outcome, Outcome::Differs, "{said}");
                assert!(said.contains("no steel that an earlier position had hidden"), "{said}");
            }
            Some(_) => assert_eq!(claim.outcome, Outcome::Agrees, "{said}"),
        }
    }
    for (zone, coats) in log.never_on() {
        let complete = finding(&examined, &format!("coating.zone.{zone}.complete"));
        let at = examined.project.zones.iter().position(|known| known.id == zone).expect("a zone");
        let sum = examined.recomputed.coating.zones[at].completeness().expect("a scheme");
        if coats.is_empty() {
            assert!(sum.full_m2 > 0.0, "{zone}");
            continue;
        }
        assert_eq!(sum.full_m2, 0.0, "{zone} never got its coats {coats:?}");
        assert_eq!(complete.outcome, Outcome::BeyondLimit, "{zone}");
        assert!(
            complete.sentence.contains("0.000 m\u{b2} got the full scheme"),
            "{}",
            complete.sentence
        );
    }
    readings_in_the_wet(project, &log, &examined);
    (log, examined)
}

/// A film reading or a check of the steel that is dated when its zone was under water is misplaced.
fn readings_in_the_wet(project: &Project, log: &Log, examined: &Examined) {
    let mut wet: BTreeMap<String, bool> = BTreeMap::new();
    let is_wet = |row: &Row| {
        let at = time(&row["at"]);
        !log.spells(&row["zone"]).iter().any(|(dry, wet)| *dry <= at && at <= *wet)
    };
    for row in rows(project, "coating/film.csv") {
        let id = format!("film.{}.coat{}.place", row["zone"], row["after_coat"]);
        *wet.entry(id).or_default() |= is_wet(&row);
    }
    for row in rows(project, "coating/preparation.csv") {
        *wet.entry(format!("preparation.{}.place", row["zone"])).or_default() |= is_wet(&row);
    }
    assert!(wet.values().any(|wet| *wet), "a week moves no reading into the wet");
    for (id, wet) in wet.into_iter().filter(|(_, wet)| *wet) {
        let place = finding(examined, &id);
        assert_eq!(place.outcome, Outcome::Differs, "{id}: {wet} {}", place.sentence);
        assert!(place.sentence.contains("when the zone was not dry"), "{}", place.sentence);
    }
}

/// The names of the applications that were claimed when their steel was not dry.
fn in_the_wet(log: &Log) -> Vec<String> {
    let names = log.coats.iter().zip(log.names());
    names.filter(|(row, _)| log.stand(row).is_none()).map(|(_, name)| name).collect()
}

#[test]
fn a_week_later_coats_fall_into_the_flooded_spell() {
    let project = shifted(7);
    let (log, examined) = hold_to_log(&project);
    // 15 April goes to the day of the shift; all that was done after the shift comes after undocking.
    let mut wanted = vec!["KL.coat3.exposed-P1", "BP.coat2.exposed-P1", "BS.coat2.exposed-P2"];
    let after: Vec<&str> = list(&EXPECTED["recoat"])
        .iter()
        .flat_map(|pair| [text(&pair["earlier"]), text(&pair["later"])])
        .filter(|name| EXPECTED["applications"][name]["position"] == "P2")
        .collect();
    wanted.extend(after);
    let wanted: BTreeSet<&str> = wanted.into_iter().collect();
    let found = in_the_wet(&log);
    assert_eq!(found.iter().map(String::as_str).collect::<BTreeSet<_>>(), wanted);
    let never = log.never_on();
    assert_eq!(never["KL"], BTreeSet::from(["3"]));
    assert_eq!([&never["BP"], &never["BS"]], [&BTreeSet::from(["2"]); 2]);
    assert!(never["SP"].is_empty() && never["SS"].is_empty());
    // Coat 3 of BP went on bare coat 1: all that P2 left free.
    let order = finding(&examined, "coating.BP.coat3.exposed-P2.order");
    assert_eq!(order.outcome, Outcome::Differs, "{}", order.sentence);
    waits_for_answers(&project);
}

#[test]
fn a_week_earlier_coats_fall_before_dock_dry_and_patches_are_none() {
    let project = shifted(-7);
    let (log, examined) = hold_to_log(&project);
    let found = in_the_wet(&log);
    for name in ["KL.coat1", "BP.coat1", "BS.coat1", "SP.coat1", "KL.coat2"] {
        assert!(
            found.iter().any(|found| found.starts_with(&format!("{name}."))),
            "{name} is not among {found:?}"
        );
    }
    let patches: Vec<&Row> = log.coats.iter().filter(|row| row["extent"] == "patches").collect();
    assert_eq!(patches.len(), 12);
    assert!(patches.iter().all(|row| log.stand(row) == Some(0)));
    for zone in ["KL", "BP", "BS"] {
        assert!(log.never_on()[zone].contains("1"), "{zone}");
    }
    // A side that was still wet at the start.
    assert!(found.iter().any(|name| name == "SP.coat2.all-P1"), "{found:?}");
    let claim = finding(&examined, "coating.SP.coat2.all-P1.claim");
    assert_eq!(claim.outcome, Outcome::Differs, "{}", claim.sentence);
    waits_for_answers(&project);
}

/// `check` ends with 3 and says first of all what waits; `closeout` writes, and says so too.
fn waits_for_answers(project: &Project) {
    let json = run(program().args(["check", "--json"]).arg(project.root())).exits(3).json();
    let findings: &Vec<Value> = json["findings"].as_array().expect("findings");
    let wanting =
        |finding: &&Value| finding["outcome"] == "differs" || finding["outcome"] == "beyond limit";
    assert_eq!(json["counts"]["unanswered"], findings.iter().filter(wanting).count());
    let said = run(program().arg("check").arg(project.root())).exits(3);
    let (before, after) = said.out.split_once("Without an answer").expect("a heading");
    assert!(squeezed(before).contains("findingswaitforananswer"), "{before}");
    for id in ["coating.zone.KL.complete", "coating.zone.BP.complete", "coating.zone.BS.complete"] {
        assert!(after.contains(id), "{id}");
    }
    let said = crate::common::closeout(&project.root(), &project.out()).exits(3);
    assert!(said.out.contains("coating.zone.KL.complete"), "{}", said.out);
}
