//! A bottom of 20 m by 4 m, blocks of a metre by a metre on its centreline, three dockings.

use super::*;
use crate::findings::finding::Outcome;
use crate::findings::{Examined, examine};
use crate::records::memory::project;

const ROWS: &str = "docking,bundle,fixity\nt-2006,t-2006.zip,whole\nt-2015,t-2015.zip,whole\n";
const BOTTOM: &str =
    "part,order,x_m,y_m\nbottom,1,0,-2\nbottom,2,20,-2\nbottom,3,20,2\nbottom,4,0,2\n";
const COATS: &str = "zone,extent,coat,product,began,ended\n";

/// One docking's records: blocks where they bear with the SRP at station 10, and the positions' SRP.
struct Records {
    year: i32,
    blocks_x_m: Vec<f64>,
    srp_m: Vec<&'static str>,
    coats: String,
    more: Vec<(&'static str, String)>,
}

impl Records {
    fn files(&self) -> Vec<(String, String)> {
        let year = self.year;
        let docking = format!(
            "format = 1\n[ship]\nname = \"Plumewick\"\n[dock]\nname = \"Old Dock\"\n[period]\n\
             began = {year}-04-07\nended = {year}-04-29\noffset = \"+01:00\"\n"
        );
        let block = |(n, x): (usize, &f64)| format!("K{n},keel,{},0,1000,1000\n", x + 10.0);
        let blocks: String = self.blocks_x_m.iter().enumerate().map(block).collect();
        let position = |(n, srp): (usize, &&str)| {
            let (dry, water) = (8 + 7 * n, 13 + 7 * n);
            format!("P{n},{srp},0,0,{year}-04-{dry:02}T06:00:00,{year}-04-{water:02}T06:00:00\n")
        };
        let positions: String = self.srp_m.iter().enumerate().map(position).collect();
        let mut files = vec![
            ("docking.toml".to_string(), docking),
            (
                "plan/blocks.csv".to_string(),
                format!("block,row,station_m,offset_m,length_mm,width_mm\n{blocks}"),
            ),
            ("plan/bottom.csv".to_string(), BOTTOM.to_string()),
            (
                "positions/positions.csv".to_string(),
                format!(
                    "position,recorded_srp_station_m,recorded_offset_m,yaw_deg,dry,reflood_began\n\
                     {positions}"
                ),
            ),
            ("coating/zones.csv".to_string(), "zone,kind\nF,bottom\n".to_string()),
            (
                "coating/areas.csv".to_string(),
                "area,order,x_m,y_m\nA,1,10,-2\nA,2,12,-2\nA,3,12,2\nA,4,10,2\n".to_string(),
            ),
            ("coating/products.toml".to_string(), "[[product]]\nproduct = \"EP\"\n".to_string()),
            (
                "coating/scheme.csv".to_string(),
                "zone,coat,product,nominal_dft_um\nF,1,EP,100\n".to_string(),
            ),
            ("coating/coats.csv".to_string(), format!("{COATS}{}", self.coats)),
        ];
        files.extend(self.more.iter().map(|(path, text)| (path.to_string(), text.clone())));
        files
    }
}

/// A coat of one hour's work.
fn coat(extent: &str, day: &str) -> String {
    format!("F,{extent},1,EP,{day}T10:00:00,{day}T11:00:00\n")
}

fn of_2006() -> Records {
    Records {
        year: 2006,
        blocks_x_m: vec![5.0, 15.0],
        srp_m: vec!["10"],
        coats: coat("exposed", "2006-04-10"),
        more: Vec::new(),
    }
}

fn of_2015() -> Records {
    Records {
        year: 2015,
        blocks_x_m: vec![5.5],
        srp_m: vec!["10"],
        coats: coat("A", "2015-04-10"),
        more: Vec::new(),
    }
}

fn of_2031() -> Records {
    Records {
        year: 2031,
        blocks_x_m: vec![5.25],
        srp_m: vec!["10", "9.8"],
        coats: coat("exposed", "2031-04-10") + &coat("patches", "2031-04-16"),
        more: Vec::new(),
    }
}

fn examined(earlier: &[Records], now: &Records) -> Examined {
    let mut files = now.files();
    if !earlier.is_empty() {
        files.push(("history/dockings.csv".to_string(), ROWS.to_string()));
    }
    for past in earlier {
        let folder = format!("history/t-{}", past.year);
        files.extend(past.files().into_iter().map(|(path, t)| (format!("{folder}/{path}"), t)));
    }
    let files: Vec<(&str, String)> = files.iter().map(|(p, t)| (p.as_str(), t.clone())).collect();
    examine(project(&files)).expect("a project that can be recomputed")
}

fn history(examined: &Examined) -> &History {
    examined.recomputed.history.as_ref().expect("a history")
}

fn said(examined: &Examined, id: &str) -> (Outcome, String) {
    let finding = examined.findings.iter().find(|finding| finding.id == id).expect("the finding");
    (finding.outcome, finding.sentence.to_string())
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-5, "{found}, wanted {wanted}");
}

/// Area by docking and what lies uppermost, and where there is none at the end.
fn areas(history: &History) -> Vec<(usize, String, f64)> {
    let of = |lies: Lies| match lies {
        Lies::Coat(day) => day.to_string(),
        other => format!("{other:?}"),
    };
    history.uppermost.iter().map(|one| (one.docking, of(one.lies), one.area_m2)).collect()
}

#[track_caller]
fn hold_areas(history: &History, wanted: &[(usize, &str, f64)], no_coat_m2: f64) {
    let found = areas(history);
    assert_eq!(found.len(), wanted.len(), "{found:?}");
    for (found, wanted) in found.iter().zip(wanted) {
        assert_eq!((found.0, found.1.as_str()), (wanted.0, wanted.1));
        near(found.2, wanted.2);
    }
    near(area_m2(&history.no_coat), no_coat_m2);
}

#[test]
fn without_an_earlier_docking_there_is_no_history_and_no_finding_of_one() {
    let examined = examined(&[], &of_2031());
    assert!(examined.recomputed.history.is_none());
    assert!(examined.findings.iter().all(|finding| finding.section() != "history"));
}

/// On x: hidden 4.5 to 5.5 in 2006, 5 to 6 in 2015, 4.75 to 5.75 and 4.95 to 5.95 in 2031, all a metre wide.
#[test]
fn what_every_position_of_every_docking_hid_was_never_exposed() {
    let examined = examined(&[of_2006(), of_2015()], &of_2031());
    let history = history(&examined);
    near(history.never_exposed_m2().expect("an area"), 0.5);
    let [piece] = history.never_exposed.as_slice() else { panic!("one piece") };
    for (found, wanted) in piece.extent.iter().zip([5.0, 5.5, -0.5, 0.5]) {
        near(*found, wanted);
    }
    let hiding = history.hiding(&examined.project, piece);
    assert_eq!(
        hiding,
        [
            (0, "P0", vec!["K0"]),
            (1, "P0", vec!["K0"]),
            (2, "P0", vec!["K0"]),
            (2, "P1", vec!["K0"])
        ]
    );
    let left: Vec<&Left> =
        history.dockings.iter().filter_map(|docking| docking.left.as_ref()).collect();
    for (left, (area, still)) in left.iter().zip([(2.0, 0.5), (1.0, 0.75), (0.8, 0.8)]) {
        near(left.area_m2, area);
        near(area_m2(&left.still), still);
    }
    assert_eq!(
        said(&examined, "history.never_exposed"),
        (
            Outcome::BeyondLimit,
            "0.500 m\u{b2} of the bottom, in 1 piece, was under blocks in every position of every docking \
             since 2006.".to_string()
        )
    );
    assert_eq!(
        said(&examined, "history.t-2006.reached"),
        (
            Outcome::BeyondLimit,
            "t-2006 never exposed 2.000 m\u{b2} of the bottom; 0.500 m\u{b2} of it was under blocks in every \
             position since.".to_string()
        )
    );
    let finding = examined.findings.iter().find(|f| f.id == "history.t-2015.reached");
    let places: Vec<String> =
        finding.expect("the finding").records.iter().map(ToString::to_string).collect();
    assert_eq!(
        places,
        [
            "history/dockings.csv:3",
            "history/t-2015/positions/positions.csv:2",
            "positions/positions.csv:2",
            "positions/positions.csv:3"
        ]
    );
}

#[test]
fn what_a_later_position_left_free_was_reached() {
    let now = Records { srp_m: vec!["10", "9"], ..of_2031() };
    let examined = examined(&[of_2006(), of_2015()], &now);
    assert_eq!(history(&examined).never_exposed_m2(), Some(0.0));
    let (outcome, sentence) = said(&examined, "history.t-2006.reached");
    assert_eq!(outcome, Outcome::Agrees);
    assert!(sentence.ends_with("all of it was reached since."), "{sentence}");
    assert_eq!(said(&examined, "history.never_exposed").0, Outcome::Agrees);
}

/// The patches of 2031 reach 4.75 to 4.95; 2006 hid and so did not coat 4.5 to 5.5.
#[test]
fn every_part_has_the_last_coat_that_was_put_on_it() {
    let examined = examined(&[of_2006(), of_2015()], &of_2031());
    let history = history(&examined);
    hold_areas(
        history,
        &[(2, "2031-04-16", 0.2), (2, "2031-04-10", 79.0), (0, "2006-04-10", 0.25)],
        0.55,
    );
    let days: Vec<Option<i64>> = history.uppermost.iter().map(|one| one.age_d).collect();
    assert_eq!(days, [Some(13), Some(19), Some(9150)]);
    let patches = history.patches.as_ref().expect("this docking can be placed");
    let [bare, old] = patches.pieces.as_slice() else { panic!("{patches:?}") };
    assert_eq!((bare.uppermost, old.uppermost), (None, Some(2)));
    near(bare.area_m2, 0.55);
    near(old.area_m2, 0.25);
    assert_eq!(old.hidden_by, [vec![0], vec![0]]);
    near(patches.slivers_m2, 0.0);
    for (found, wanted) in old.extent.iter().zip([5.5, 5.75, -0.5, 0.5]) {
        near(*found, wanted);
    }
}

#[test]
fn steel_that_was_blasted_and_not_coated_again_has_no_coat() {
    let blast = "zone,extent,treatment,at\nF,all,blast,2015-04-09T10:00:00\n".to_string();
    let blasted = Records { more: vec![("coating/preparation.csv", blast)], ..of_2015() };
    let examined = examined(&[of_2006(), blasted], &of_2031());
    hold_areas(
        history(&examined),
        &[
            (2, "2031-04-16", 0.2),
            (2, "2031-04-10", 79.0),
            (1, "Blasted", 0.05),
            (0, "2006-04-10", 0.25),
        ],
        0.5,
    );
}

#[test]
fn of_a_docking_that_cannot_be_placed_nothing_is_made_up() {
    let lost = Records { srp_m: vec![""], ..of_2015() };
    let examined = examined(&[of_2006(), lost], &of_2031());
    let history = history(&examined);
    assert_eq!(history.never_exposed_m2(), None);
    assert_eq!(history.not_placed(), ["t-2015"]);
    assert_eq!(
        said(&examined, "history.never_exposed"),
        (
            Outcome::NotRecorded,
            "0.550 m\u{b2} of the bottom, in 1 piece, was under blocks in every position on record since \
             2006, but not every position of t-2015 can be placed with its blocks.".to_string()
        )
    );
    assert_eq!(said(&examined, "history.t-2006.reached").0, Outcome::NotRecorded);
    assert_eq!(said(&examined, "history.t-2015.reached").0, Outcome::NotRecorded);
    // What 2015 coated can't be told, and so not either whether a coat of 2006 lies under it or on top.
    hold_areas(
        history,
        &[(2, "2031-04-16", 0.2), (2, "2031-04-10", 79.0), (1, "NotKnown", 0.8)],
        0.0,
    );
}

/// A position without blocks would be one that hid nothing.
#[test]
fn a_docking_without_blocks_is_not_one_that_exposed_the_bottom() {
    let bare = Records { blocks_x_m: vec![], ..of_2015() };
    let examined = examined(&[of_2006(), bare], &of_2031());
    let history = history(&examined);
    assert_eq!(history.not_placed(), ["t-2015"]);
    assert_eq!(history.never_exposed_m2(), None);
    assert_eq!(said(&examined, "history.never_exposed").0, Outcome::NotRecorded);
    assert_eq!(said(&examined, "history.t-2006.reached").0, Outcome::NotRecorded);
}

#[test]
fn where_nothing_is_hidden_twice_a_docking_that_cannot_be_placed_does_not_matter() {
    let lost = Records { srp_m: vec![""], ..of_2015() };
    let now = Records { srp_m: vec!["10", "9"], ..of_2031() };
    let examined = examined(&[of_2006(), lost], &now);
    assert_eq!(said(&examined, "history.never_exposed").0, Outcome::Agrees);
    assert_eq!(said(&examined, "history.t-2006.reached").0, Outcome::Agrees);
}

#[test]
fn a_docking_that_has_only_begun_says_what_the_earlier_ones_left() {
    let begun = Records { srp_m: vec![], coats: String::new(), ..of_2031() };
    let examined = examined(&[of_2006(), of_2015()], &begun);
    let history = history(&examined);
    assert_eq!(history.not_placed(), ["this docking"]);
    near(history.never_exposed.iter().map(|piece| piece.area_m2).sum(), 0.5);
    assert!(history.patches.is_none());
    hold_areas(history, &[(1, "2015-04-10", 8.0), (0, "2006-04-10", 70.0)], 2.0);
    assert_eq!(said(&examined, "history.never_exposed").0, Outcome::NotRecorded);
}

#[test]
fn another_ship_another_origin_and_damage_are_named() {
    type Files = Vec<(String, String)>;
    let said_of = |edit: &dyn Fn(&mut Files)| {
        let mut files = of_2031().files();
        files.push(("history/dockings.csv".to_string(), ROWS.to_string()));
        for past in [of_2006(), of_2015()] {
            let folder = format!("history/t-{}", past.year);
            files.extend(past.files().into_iter().map(|(p, t)| (format!("{folder}/{p}"), t)));
        }
        edit(&mut files);
        let files: Vec<(&str, String)> =
            files.iter().map(|(p, t)| (p.as_str(), t.clone())).collect();
        let examined = examine(project(&files)).expect("a project");
        let (outcome, sentence) = said(&examined, "history.t-2006.seal");
        (outcome, sentence.to_string())
    };
    let replace = |path: &'static str, old: &'static str, new: &'static str| {
        move |files: &mut Vec<(String, String)>| {
            let file = files.iter_mut().find(|(known, _)| known == path).expect("the file");
            assert!(file.1.contains(old));
            file.1 = file.1.replace(old, new);
        }
    };
    let past = "history/t-2006/docking.toml";
    assert_eq!(said_of(&|_| ()).0, Outcome::Agrees);
    let (outcome, sentence) = said_of(&replace(past, "\"Plumewick\"", "\"Gorseling\""));
    assert_eq!(outcome, Outcome::Differs);
    assert_eq!(sentence, "Of t-2006: it is of the ship Gorseling, and this record of Plumewick.");
    let (outcome, _) = said_of(&replace("docking.toml", "began = 2031", "began = 2005"));
    assert_eq!(outcome, Outcome::Differs);
    let (outcome, sentence) =
        said_of(&replace("history/dockings.csv", "t-2006.zip,whole", "t-2006.zip,damaged"));
    assert_eq!(outcome, Outcome::Differs);
    assert!(sentence.contains("damaged when it was taken over"), "{sentence}");
    let (outcome, sentence) = said_of(&|files| {
        replace(past, "\"Plumewick\"\n", "\"Plumewick\"\naft_perpendicular_x_m = 1.5\n")(files);
        replace("docking.toml", "\"Plumewick\"\n", "\"Plumewick\"\naft_perpendicular_x_m = 1.0\n")(
            files,
        );
    });
    assert_eq!(outcome, Outcome::Differs);
    assert!(sentence.contains("stands at x 1.500 m, and now at 1.000 m"), "{sentence}");
}
