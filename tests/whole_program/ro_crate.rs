//! `ro-crate-metadata.json`: it describes every file of the payload, leads nowhere that is not there, and claims what is
//! recorded and no more. Judged by another program in `outside/ro_crate.rs`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use super::history::with_history;
use crate::common::archived::{archived, bare};
use crate::common::{Project, closed, closeout, files, unpack};

/// The entities by their ids.
struct Crate(BTreeMap<String, Value>);

impl Crate {
    fn of(bag: &Path) -> Self {
        let bytes = fs::read(bag.join("data/ro-crate-metadata.json")).expect("the metadata");
        let crated: Value = serde_json::from_slice(&bytes).expect("JSON");
        assert_eq!(crated["@context"], "https://w3id.org/ro/crate/1.2/context");
        let graph = crated["@graph"].as_array().expect("entities");
        let id = |entity: &Value| entity["@id"].as_str().expect("an id").to_string();
        let entities: BTreeMap<String, Value> =
            graph.iter().map(|entity| (id(entity), entity.clone())).collect();
        assert_eq!(entities.len(), graph.len(), "an id stands twice");
        Self(entities)
    }

    #[track_caller]
    fn at(&self, id: &str) -> &Value {
        self.0.get(id).unwrap_or_else(|| panic!("no entity {id}"))
    }

    /// Ids that an entity names.
    fn named(&self, id: &str, property: &str) -> Vec<String> {
        let value = &self.at(id)[property];
        let each = value.as_array().cloned().unwrap_or_else(|| vec![value.clone()]);
        each.iter().filter_map(|one| Some(one["@id"].as_str()?.to_string())).collect()
    }
}

/// Closes a project out and reads its crate.
fn crate_of(project: &Project, name: &str) -> Crate {
    let said = closeout(&project.root(), &project.out());
    assert!([0, 3].contains(&said.status), "{}", said.err);
    let zip = project.out().join(format!("{name}.zip"));
    Crate::of(&unpack(&zip, &project.out().join("unpacked")))
}

#[test]
fn every_file_of_the_payload_is_described_once_with_its_size() {
    let folder = &closed().folder;
    let crated = Crate::of(folder);
    let described: BTreeMap<&str, &Value> = (crated.0.iter())
        .filter(|(_, entity)| entity["@type"] == "File")
        .map(|(id, entity)| (id.as_str(), &entity["contentSize"]))
        .collect();
    let there: BTreeMap<String, Value> = files(&folder.join("data"))
        .into_iter()
        .filter(|(path, _)| path != "ro-crate-metadata.json")
        .map(|(path, bytes)| (path, json!(bytes.len().to_string())))
        .collect();
    assert!(there.len() > 100);
    assert_eq!(described, there.iter().map(|(path, size)| (path.as_str(), size)).collect());
    // Whatever the program made is the result of one action, and nothing else is.
    let actions = crated.0.iter().filter(|(_, entity)| entity["@type"] == "CreateAction");
    let made: Vec<String> = actions.flat_map(|(id, _)| crated.named(id, "result")).collect();
    let once: BTreeSet<&str> = made.iter().map(String::as_str).collect();
    assert_eq!(once.len(), made.len());
    let of_people = |path: &&str| path.starts_with("records/") || path.starts_with("papers/");
    assert_eq!(once, described.keys().copied().filter(|path| !of_people(path)).collect());
    assert_eq!(crated.named("tables/plan-blocks.csv", "isBasedOn"), ["records/plan/blocks.csv"]);
    let photograph = crated.at("papers/afloat.png");
    assert_eq!(
        crated.at(&crated.named("papers/afloat.png", "author")[0])["name"],
        "Hesper Oakapple"
    );
    assert_eq!(photograph["dateCreated"], "2031-04-29T08:30:00+01:00");
}

/// Every id that stands in a value.
fn ids(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(object) => {
            found.extend(object.get("@id").and_then(Value::as_str).map(str::to_string));
            object.values().for_each(|value| ids(value, found));
        }
        Value::Array(array) => array.iter().for_each(|value| ids(value, found)),
        _ => {}
    }
}

#[test]
fn nothing_leads_to_what_is_not_there() {
    let project = with_history();
    for crated in [
        Crate::of(&closed().folder),
        crate_of(&bare(), "sorrel-pike-2033"),
        crate_of(&archived(), "thistle-quill-2029"),
        crate_of(&project, "calder-wren-2031"),
    ] {
        let mut named = Vec::new();
        crated.0.values().for_each(|entity| ids(entity, &mut named));
        for id in named.iter().filter(|id| !id.starts_with("https://w3id.org/ro/crate/")) {
            crated.at(id);
        }
        // Nor is there anything to which nothing leads, but for the file's own entity.
        let mut met: BTreeSet<String> = BTreeSet::new();
        let mut next = vec!["ro-crate-metadata.json".to_string()];
        while let Some(id) = next.pop() {
            if let Some(entity) = crated.0.get(&id).filter(|_| met.insert(id)) {
                ids(entity, &mut next);
            }
        }
        assert_eq!(met.iter().collect::<Vec<_>>(), crated.0.keys().collect::<Vec<_>>());
    }
}

#[test]
fn what_is_not_recorded_is_not_said() {
    let crated = crate_of(&bare(), "sorrel-pike-2033");
    let local: Vec<&str> =
        crated.0.keys().map(String::as_str).filter(|id| id.starts_with('#')).collect();
    assert_eq!(
        local,
        [
            "#bundle",
            "#dock",
            "#made-descriptions",
            "#made-drawings",
            "#made-findings",
            "#made-page",
            "#made-readme",
            "#made-report",
            "#made-tables",
            "#prepared-by",
            "#program",
            "#ship",
        ]
    );
    let root = crated.at("./").as_object().expect("an object");
    let said: Vec<&str> = root.keys().map(String::as_str).collect();
    assert_eq!(
        said,
        [
            "@id",
            "@type",
            "about",
            "author",
            "dateCreated",
            "datePublished",
            "description",
            "hasPart",
            "identifier",
            "license",
            "mentions",
            "name",
            "spatialCoverage",
        ]
    );
    assert!(root["license"].as_str().is_some_and(|license| license.starts_with("Not recorded:")));
    assert_eq!(root["datePublished"], "2033-02-01");
    // Nobody wrote down whether a drawing office is a person.
    assert_eq!(crated.at("#prepared-by")["@type"], "Thing");
    assert_eq!(*crated.at("#dock"), json!({"@id": "#dock", "@type": "Place", "name": "Long Slip"}));
}

#[test]
fn what_is_recorded_is_said_in_its_place() {
    let crated = crate_of(&archived(), "thistle-quill-2029");
    let root = crated.at("./");
    assert_eq!(crated.named("./", "license"), ["https://spdx.org/licenses/CC-BY-4.0"]);
    assert_eq!(crated.at("https://spdx.org/licenses/CC-BY-4.0")["name"], "CC-BY-4.0");
    assert!(
        root["description"].as_str().is_some_and(|text| text.contains("All of this is invented."))
    );
    assert_eq!(crated.named("./", "identifier"), ["#bundle", "#identifier"]);
    assert_eq!(crated.at("#identifier")["value"], "accession 2030/17");
    assert_eq!(root["conditionsOfAccess"], "open from 2040-01-01");
    assert_eq!(crated.at("#contact")["email"], "records@example.org");
    let more = "Postal address: 1 Quay, Port Example. Who takes over when that office comes to an end: county archive";
    assert_eq!(crated.at("#contact")["description"], more);
    assert_eq!(crated.named("./", "usageInfo"), ["#personal-data", "#retention"]);
    assert_eq!(crated.at("#retention")["description"], "for good");
    assert_eq!(crated.at("#originals")["description"], "field books FB 3 to 5");
    assert_eq!(crated.at("#plans-cited")["description"], "plans TQ-4 and TQ-5");
    assert_eq!(crated.named("./", "isPartOf"), ["#collection"]);
    let numbers: Vec<String> = crated.named("#ship", "identifier");
    let numbers: Vec<&Value> = numbers.iter().map(|id| &crated.at(id)["value"]).collect();
    assert_eq!(numbers, ["1234567", "123 of the port's register", "TQXX", "1998.12"]);
    let place = crated.at("#dock-coordinates");
    assert_eq!((&place["latitude"], &place["longitude"]), (&json!(44.5), &json!(-31.25)));
    crated.at("papers/100%20%25%20sure%20%231%20größer.txt");
}

#[test]
fn earlier_dockings_are_parts_with_the_seal_of_their_bundle() {
    let project = with_history();
    let seal = "0123456789abcdef".repeat(4);
    let row = format!("calder-wren-2006,calder-wren-2006.zip,{seal},whole,");
    project.edit("history/dockings.csv", "calder-wren-2006,calder-wren-2006.zip,,whole,", &row);
    let crated = crate_of(&project, "calder-wren-2031");
    let folder = "records/history/calder-wren-2006/";
    assert!(crated.named("records/", "hasPart").contains(&folder.to_string()));
    let parts = crated.named(folder, "hasPart");
    assert!(parts.contains(&format!("{folder}docking.toml")));
    assert!(!crated.named("records/", "hasPart").contains(&format!("{folder}docking.toml")));
    assert_eq!(crated.at(&crated.named(folder, "identifier")[0])["value"], seal);
    assert!(
        crated.at(folder)["temporalCoverage"]
            .as_str()
            .is_some_and(|days| days.starts_with("2006-"))
    );
}
