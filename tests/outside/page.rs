//! The page asked in a browser about places on the hull, against the program's own rows: what it draws and asks is
//! rounded to a millimetre and answered by scripts of its own.

use std::fs;
use std::path::Path;

use geo::{Contains, Coord, Distance, Euclidean, Intersects, MultiPolygon, Point};
use lastdock::findings::Examined;
use lastdock::findings::exceptions::exceptions;
use lastdock::findings::finding::Outcome;
use lastdock::hull::Outline;
use lastdock::records::zones::Lies;
use lastdock::report::figures::{letter, pictures_placed};
use serde_json::{Value, json};

use crate::common::{Project, examined, files, lastdock, sample, temporary};
use crate::judge::{content, on_path};

/// Places that are asked.
const PLACES: usize = 500;
/// What the page knows of is rounded to half of this, m: a place so near to an edge may fall on either side of it.
const UNSURE_M: f64 = 0.002;

/// Numbers from 0 to 1 by chance, the same in every run (Numerical Recipes' generator of 32 bits).
struct Chance(u32);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(self.0 >> 8) / f64::from(1 << 24)
    }
}

/// Whether shapes hold a place, an edge counted in.
fn hold(shapes: &MultiPolygon<f64>, at: Point<f64>) -> bool {
    shapes.intersects(&at)
}

/// What the program knows of a place but for distances.
fn known(examined: &Examined, at: Point<f64>) -> Value {
    let (project, recomputed) = (&examined.project, &examined.recomputed);
    let under: Vec<Option<&str>> = recomputed
        .hidden
        .iter()
        .map(|hidden| {
            let over = hidden.footprints.iter().find(|(_, print)| hold(print, at));
            over.map(|(block, _)| project.blocks[*block].id.as_str())
        })
        .collect();
    let zones =
        || project.zones.iter().zip(&recomputed.coating.zones).filter(|(zone, _)| zone.is_bottom());
    let parts = zones().flat_map(|(zone, history)| {
        history.parts.iter().enumerate().map(move |(n, part)| (zone, n, part))
    });
    let steel = { parts }.find(|(_, _, part)| hold(&part.shape, at));
    let zone = project.zones.iter().find(|zone| match &zone.lies {
        Lies::Bottom(Some(outline)) => outline.intersects(&at),
        Lies::Bottom(None) => recomputed.bottom.as_ref().is_some_and(|bottom| hold(bottom, at)),
        Lies::Side { .. } => false,
    });
    let near =
        |place: &Coord<f64>, most_m: f64| Euclidean.distance(Point::from(*place), at) <= most_m;
    let all = exceptions(examined);
    let marked =
        all.lettered().iter().enumerate().filter(|(_, one)| {
            hold(&one.steel, at) || one.places.iter().any(|place| near(place, 1.0))
        });
    let beside: Vec<&str> = project
        .openings
        .iter()
        .filter(|opening| distance(&opening.outline, at) <= 1.0)
        .map(|opening| opening.id.as_str())
        .collect();
    let blocks: Vec<&str> = under.iter().flatten().copied().collect();
    let is_named = |name: &String| {
        let (kind, id) = name.split_once(':').unwrap_or(("", name));
        (kind != "opening" && blocks.contains(&id)) || (kind != "block" && beside.contains(&id))
    };
    let pictures: Vec<usize> = pictures_placed(examined)
        .into_iter()
        .enumerate()
        .filter(|(_, (paper, place))| {
            place.is_some_and(|place| near(&place, 2.0)) || paper.about.iter().any(is_named)
        })
        .map(|(n, _)| n + 1)
        .collect();
    let coats: Vec<&str> = steel
        .map(|(_, _, part)| part.chain.iter().map(|at| project.coats[*at].name.as_str()).collect())
        .unwrap_or_default();
    let findings: Vec<&str> = examined
        .findings
        .iter()
        .filter(|finding| finding.outcome != Outcome::Agrees)
        .filter(|finding| {
            finding.subject.names().iter().any(|(kind, id)| match *kind {
                "block" => blocks.contains(id),
                "opening" => beside.contains(id),
                "zone" => zone.is_some_and(|zone| zone.id == *id),
                "coat" => coats.contains(id),
                _ => false,
            })
        })
        .map(|finding| finding.id.as_str())
        .collect();
    let history = recomputed.history.iter();
    let unseen: Vec<&str> = history
        .flat_map(|history| {
            let never = history.never_exposed.iter().any(|piece| piece.shape.intersects(&at));
            let earlier = history.dockings.iter().take(history.newest());
            let left = earlier
                .filter(|docked| docked.left.as_ref().is_some_and(|left| hold(&left.still, at)));
            never.then_some("").into_iter().chain(left.map(|docked| docked.name.as_str()))
        })
        .collect();
    json!({
        "onBottom": recomputed.bottom.as_ref().is_some_and(|bottom| hold(bottom, at)),
        "under": under,
        "steel": steel.map(|(zone, n, _)| format!("steel.{}.{}", zone.id, n + 1)),
        "neverExposed": recomputed.never_exposed.iter().position(|piece| piece.shape.intersects(&at)).map(letter),
        "exceptions": marked.map(|(n, _)| letter(n)).collect::<Vec<_>>(),
        "zone": zone.map(|zone| &zone.id),
        "pictures": pictures,
        "findings": findings,
        "unseen": unseen,
    })
}

/// From a place to an opening's edge, m; 0 inside.
fn distance(outline: &Outline, at: Point<f64>) -> f64 {
    match outline {
        Outline::Round { centre, diameter_m } => {
            (Euclidean.distance(Point::from(*centre), at) - diameter_m / 2.0).max(0.0)
        }
        Outline::Rectangular(rectangle) => {
            let polygon = rectangle.polygon();
            if polygon.contains(&at) { 0.0 } else { Euclidean.distance(&at, &polygon) }
        }
    }
}

/// The least distances, growing.
fn least(mut distances: Vec<f64>, most: usize) -> Vec<f64> {
    distances.sort_by(f64::total_cmp);
    distances.truncate(most);
    distances
}

#[test]
#[ignore = "needs node and Chromium, see tests/outside/README.md"]
fn places_by_chance_are_answered_by_the_page_as_by_the_program() {
    ask(&sample());
}

/// What earlier dockings left, too: the records of an older docking beside those of the sample.
#[test]
#[ignore = "needs node and Chromium, see tests/outside/README.md"]
fn places_of_a_ship_with_a_history_are_answered_alike() {
    let project = Project::copied();
    let older = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/handover/calder-wren-2006");
    for (path, bytes) in files(&older) {
        if path.ends_with(".csv") || (path.ends_with(".toml") && path != "remarks.toml") {
            let place = project.path(&format!("history/calder-wren-2006/{path}"));
            fs::create_dir_all(place.parent().expect("a folder")).expect("to make it");
            fs::write(place, bytes).expect("to write it");
        }
    }
    project.write(
        "history/dockings.csv",
        "docking,bundle,seal,fixity,damage\ncalder-wren-2006,calder-wren-2006.zip,,whole,\n",
    );
    let unseen = ask(&project.root());
    assert!(unseen > 0, "no place that was never seen was asked");
}

/// Asks a project's page and the program about the same places, and tells how many of them lay under blocks in earlier
/// dockings.
fn ask(project: &Path) -> usize {
    let examined = examined(project);
    let bottom = examined.recomputed.bottom.as_ref().expect("an outline");
    let extent = geo::BoundingRect::bounding_rect(bottom).expect("corners");
    let mut chance = Chance(1934);
    let mut places = Vec::new();
    while places.len() < PLACES {
        let x = extent.min().x + chance.next() * extent.width();
        // Half of them about the keel, where most of the blocks are.
        let reach = if places.len() % 2 == 0 { 0.8 } else { extent.height() / 2.0 };
        let at = Point::new(x, (2.0 * chance.next() - 1.0) * reach);
        let here = known(&examined, at);
        let moved = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)]
            .map(|(dx, dy)| Point::new(at.x() + dx * UNSURE_M, at.y() + dy * UNSURE_M));
        if moved.iter().all(|moved| known(&examined, *moved) == here) {
            places.push((at, here));
        }
    }
    let folder = temporary();
    let page = folder.path().join("page.html");
    lastdock(["page".as_ref(), project.as_os_str(), "--out".as_ref(), page.as_os_str()]).exits(0);
    let asked: Vec<[f64; 2]> = places.iter().map(|(at, _)| [at.x(), at.y()]).collect();
    let list = folder.path().join("places.json");
    fs::write(&list, json!(asked).to_string()).expect("a list of places");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page/browsers/ask-places.js");
    let answered = content(on_path("node").arg(script).arg(&page).arg(&list));
    let answers: Vec<Value> = serde_json::from_str(&answered.out).expect("a list of answers");
    assert_eq!(answers.len(), PLACES);
    let mut under_blocks = 0;
    for ((at, want), got) in places.iter().zip(&answers) {
        let under: Vec<&Value> =
            got["positions"].as_array().unwrap().iter().map(|one| &one["under"]).collect();
        let told = json!({
            "onBottom": got["onBottom"], "under": under, "steel": got["steel"],
            "neverExposed": got["neverExposed"], "exceptions": got["exceptions"], "zone": got["zone"],
            "pictures": got["pictures"], "findings": got["findings"], "unseen": got["unseen"],
        });
        assert_eq!(&told, want, "at {at:?}");
        let project = &examined.project;
        let from =
            |coord: Option<Coord<f64>>| coord.map(|c| Euclidean.distance(Point::from(c), *at));
        for (kind, most, distances) in [
            (
                "openings",
                3,
                project.openings.iter().map(|one| distance(&one.outline, *at)).collect::<Vec<_>>(),
            ),
            ("gaugings", 3, project.plating.iter().filter_map(|one| from(one.hull)).collect()),
            ("anodes", 1, project.anodes.iter().filter_map(|one| from(one.hull)).collect()),
        ] {
            let told =
                got[kind].as_array().unwrap().iter().map(|one| one["distance"].as_f64().unwrap());
            let (told, want) = (told.collect::<Vec<_>>(), least(distances, most));
            assert_eq!(told.len(), want.len(), "{kind} at {at:?}");
            let apart = told.iter().zip(&want).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            assert!(apart < UNSURE_M, "{kind} at {at:?}: {told:?}, not {want:?}");
        }
        under_blocks += usize::from(under.iter().any(|block| !block.is_null()));
    }
    // What is asked is worth asking.
    assert!(under_blocks > PLACES / 5, "{under_blocks}");
    let was_unseen = |(_, here): &&(Point, Value)| here["unseen"] != json!([]);
    places.iter().filter(was_unseen).count()
}
