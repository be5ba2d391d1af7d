//! The history that the next docking's project gives, against `expected.json`.

use std::collections::BTreeMap;
use std::fs;

use lastdock::findings::recomputed::history::{History, Lies};
use lastdock::findings::{self, Examined};
use lastdock::records;
use lastdock::records::problem::Problems;
use lastdock::records::store::Folder;
use serde_json::Value;

use crate::common::{lastdock, temporary};

use super::cycle::cycle;
use super::{AREA_M2, LENGTH_M, expected, list, near, text};

fn examined() -> Examined {
    let mut problems = Problems::default();
    let folder = Folder::open(&cycle().next, &mut problems);
    let project = records::read(&folder, problems).expect("it can be read");
    findings::examine(project).expect("its remarks answer findings")
}

/// What the page for a browser knows of the hull.
fn hull() -> Value {
    let folder = temporary();
    let out = folder.path().join("page.html");
    let next = cycle().next.as_os_str();
    lastdock(["page".as_ref(), next, "--out".as_ref(), out.as_os_str()]).exits(0);
    let html = fs::read_to_string(&out).expect("a page in UTF-8");
    let data = html.split("<script id=\"record\" type=\"application/json\">").nth(1);
    let data = data.and_then(|rest| rest.split("</script>").next()).expect("its data");
    serde_json::from_str::<Value>(data).expect("JSON")["hull"].take()
}

/// 14.5 mm on 10 September 2006 and 13.6 mm on 14 April 2031: 0.9 mm in 8982 days of 1/365.25 years, 0.037 mm a year.
#[test]
fn the_page_tells_rates_of_loss_and_what_was_seen_before() {
    let hull = hull();
    let since = |plate: &str| {
        let gaugings = hull["gaugings"].as_array().expect("gaugings").iter();
        let found = gaugings.filter(|one| one["plate"] == plate).map(|one| one["since"].clone());
        found.collect::<Vec<Value>>()
    };
    assert_eq!(
        since("A-P 2"),
        [Value::from(
            "0.037\u{a0}mm lost a year since calder-wren-2006, 10 September 2006, gauged"
        )]
    );
    // It was not gauged in 2006.
    assert_eq!(since("A-P 1"), [Value::Null]);
    let unseen: Vec<&Value> =
        hull["unseen"].as_array().expect("a list").iter().map(|one| &one["says"]).collect();
    assert_eq!(
        unseen,
        [
            "No docking on record ever exposed it.",
            "It was left under blocks in calder-wren-2006, and nothing on record since exposed it.",
        ]
    );
    assert!(text(&hull["notUnseen"]).starts_with("It is not among what the earlier dockings"));
}

fn history(examined: &Examined) -> &History {
    examined.recomputed.history.as_ref().expect("a history")
}

#[test]
fn never_exposed_since_records_began() {
    let examined = examined();
    let history = history(&examined);
    let wanted = list(&expected()["footprints"]["never_exposed"]);
    assert_eq!(history.never_exposed.len(), wanted.len());
    for (found, wanted) in history.never_exposed.iter().zip(wanted) {
        near("area", &found.area_m2.into(), &wanted["area_m2"], AREA_M2);
        for (at, name) in ["x_from_m", "x_to_m", "y_from_m", "y_to_m"].into_iter().enumerate() {
            near(name, &found.extent[at].into(), &wanted[name], LENGTH_M);
        }
    }
}

#[test]
fn what_2006_left_and_2031_reached() {
    let examined = examined();
    let left = history(&examined).dockings[0].left.as_ref().expect("where she lay is known");
    let wanted = &expected()["footprints"];
    near("left", &left.area_m2.into(), &wanted["older_never_exposed_m2"], AREA_M2);
    let still = lastdock::calc::plane::area_m2(&left.still);
    near("still", &still.into(), &wanted["never_exposed_m2"], AREA_M2);
}

/// Strips that are narrower than what paint is lapped by may be counted to one day or another, m2.
const LAPS_M2: f64 = 1e-3;

#[test]
fn whose_coat_lies_where_and_how_old_it_is() {
    let examined = examined();
    let history = history(&examined);
    let mut found: BTreeMap<(String, String), (f64, i64)> = BTreeMap::new();
    for part in &history.uppermost {
        let Lies::Coat(day) = part.lies else { panic!("{:?}", part.lies) };
        let docking = history.dockings[part.docking].name.clone();
        let age = part.age_d.expect("an age");
        found.entry((docking, day.to_string())).or_insert((0.0, age)).0 += part.area_m2;
    }
    let wanted = list(&expected()["uppermost"]["parts"]);
    for part in wanted.iter().filter(|part| super::number(&part["area_m2"]) > LAPS_M2) {
        let key = (text(&part["docking"]).to_string(), text(&part["day"]).to_string());
        let (area, age) = found.remove(&key).unwrap_or_else(|| panic!("{key:?} is missing"));
        near(&key.1, &area.into(), &part["area_m2"], LAPS_M2);
        assert_eq!(Value::from(age), part["age_d"], "{key:?}");
    }
    assert!(found.values().all(|(area, _)| *area <= LAPS_M2), "{found:?}");
    let none = lastdock::calc::plane::area_m2(&history.no_coat);
    near("no coat", &none.into(), &expected()["uppermost"]["no_coat_m2"], LAPS_M2);
}

/// Strips of that steel that are no wider than the feathering, 30 mm, beside steel that had no coat in 2006: they
/// are laps and no piece, m2.
const FEATHERED_M2: f64 = 0.005;

/// Steel under the blocks of 2031 that kept what lay on it: its place, and not that of a thread along a zone's
/// edge that computing leaves hanging on it.
#[test]
fn where_2031_left_the_coat_of_2006() {
    let examined = examined();
    let history = history(&examined);
    let patches = history.patches.as_ref().expect("where she lay is known");
    let wanted = list(&expected()["uppermost"]["parts"]).iter().find(|part| {
        text(&part["docking"]) == super::OLDER && super::number(&part["area_m2"]) > LAPS_M2
    });
    let wanted = wanted.expect("a coat of 2006");
    let older = patches
        .pieces
        .iter()
        .filter(|piece| piece.uppermost.is_some_and(|at| history.uppermost[at].docking == 0));
    let older: Vec<_> = older.collect();
    assert_eq!(older.len(), 1, "{older:?}");
    near("area", &older[0].area_m2.into(), &wanted["area_m2"], FEATHERED_M2);
    for (found, wanted) in older[0].extent.iter().zip(list(&wanted["extent_m"])) {
        near("extent", &(*found).into(), wanted, 0.001);
    }
}
