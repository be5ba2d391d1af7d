//! Sheets of paper for the dock's floor, to be filled in with a pencil and typed over by a clerk: the same
//! words as in the headers of the files that they go to, and what is known beforehand printed in.

mod known;
mod parts;
mod poster;
mod sheets;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use known::Known;
pub use poster::FILE as POSTER;

use parts::{FORMS, Form};
use sheets::Sheet;

use crate::bundle::digest;
use crate::findings::Examined;
use crate::records::{Project, printed};
use crate::report::error::ReportError;
use crate::report::{Stamp, typeset_as};
use crate::text;
use crate::words::cautions;

/// The day of this edition of the sheets, which is the day that the PDFs carry: a sheet that is yet to be
/// filled in has no day of its own.
const EDITION: NaiveDate = match NaiveDate::from_ymd_opt(2026, 11, 26) {
    Some(day) => day,
    None => NaiveDate::MIN,
};

/// The most characters of the names of ship and dock.
const LONGEST_NAME: usize = 80;

#[derive(Serialize)]
struct Pages<'a> {
    document: Document,
    title: &'a str,
    ship: Option<String>,
    dock: Option<String>,
    program: &'a str,
    caution: &'static str,
    sheets: Vec<Sheet>,
}

#[derive(Serialize)]
struct Posters<'a> {
    document: Document,
    ship: Option<String>,
    dock: Option<String>,
    program: &'a str,
    posters: Vec<poster::Poster>,
}

/// The properties of the PDF.
#[derive(Serialize)]
struct Document {
    title: String,
    author: String,
    about: &'static str,
}

/// The sheets as PDF/A-3a and PDF/UA-1, by their paths in a project, with the list by which they are recognised as
/// unchanged prints. The same project gives the same bytes; without a project every sheet is blank.
pub fn forms(
    project: Option<&Project>,
    program: &str,
) -> Result<BTreeMap<String, Vec<u8>>, ReportError> {
    let known = Known { project };
    let of_form = |form: &Form| Ok((form.file, typeset(form, &known, program)?));
    Ok(listed(FORMS.iter().map(of_form).collect::<Result<_, ReportError>>()?))
}

/// The same with the poster for the dock's wall, which needs what is recomputed.
pub fn forms_with_poster(
    examined: &Examined,
    program: &str,
) -> Result<BTreeMap<String, Vec<u8>>, ReportError> {
    let known = Known { project: Some(&examined.project) };
    let of_form = |form: &Form| Ok((form.file, typeset(form, &known, program)?));
    let mut pdfs = FORMS.iter().map(of_form).collect::<Result<Vec<_>, ReportError>>()?;
    pdfs.push((poster::FILE, typeset_poster(examined, &known, program)?));
    Ok(listed(pdfs))
}

/// Sheets by their paths, with the list by which they are recognised.
fn listed(pdfs: Vec<(&'static str, Vec<u8>)>) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut list = String::new();
    for (file, pdf) in pdfs {
        list.push_str(&printed::line(file, &digest::sha256(&pdf)));
        files.insert(format!("{}{file}", printed::FOLDER), pdf);
    }
    files.insert(printed::LIST.to_string(), list.into_bytes());
    files
}

fn typeset_poster(
    examined: &Examined,
    known: &Known<'_>,
    program: &str,
) -> Result<Vec<u8>, ReportError> {
    let (title, ship, dock) = heads(poster::TITLE, known);
    let pages = Posters {
        document: Document { title, author: program.to_string(), about: poster::ABOUT },
        ship,
        dock,
        program,
        posters: poster::all(examined),
    };
    let ident = format!("{program} {}", poster::FILE);
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/poster.typ", &pages, &[], &stamp)
}

/// The title of a PDF with the ship's name, and the names of ship and dock as they are printed in.
fn heads(title: &str, known: &Known<'_>) -> (String, Option<String>, Option<String>) {
    let named = |name: &str| text::shortened(name, LONGEST_NAME);
    let ship = known.project.map(|project| named(&project.docking.ship.name));
    let dock = known.project.map(|project| named(&project.docking.dock.name));
    let title = match &ship {
        Some(ship) => format!("{title}: {ship}"),
        None => title.to_string(),
    };
    (title, ship, dock)
}

fn typeset(form: &Form, known: &Known<'_>, program: &str) -> Result<Vec<u8>, ReportError> {
    let (title, ship, dock) = heads(form.title, known);
    let pages = Pages {
        document: Document { title, author: program.to_string(), about: form.about },
        title: form.title,
        ship,
        dock,
        program,
        caution: cautions::SHORT,
        sheets: sheets::all(form, known),
    };
    let ident = format!("{program} {}", form.file);
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/sheets.typ", &pages, &[], &stamp)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::examine;
    use crate::findings::finding::Outcome;
    use crate::records::memory;
    use crate::records::problem::Problems;
    use crate::records::store::Folder;
    use crate::units::System;

    fn examined(files: &[(&str, String)]) -> Examined {
        let text = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n\
                    [period]\noffset = \"+00:00\"\n";
        let mut all = vec![("docking.toml", text.to_string())];
        all.extend(files.iter().cloned());
        examine(memory::project(&all)).unwrap_or_else(|problems| panic!("{problems:?}"))
    }

    fn sample() -> Examined {
        let mut problems = Problems::default();
        let folder = Folder::open(std::path::Path::new("sample-project"), &mut problems);
        let project = crate::records::read(&folder, problems);
        examine(project.expect("the sample reads")).expect("and is examined")
    }

    const BLOCKS: &str = "block,row,station_m,offset_m,length_m,width_m\nK1,keel,12,0,0.6,1.2\n\
                          K2,keel,13.4,0,0.6,1.2\n";

    /// A gap survey fills many sheets, each with the same heading; a reader's list of contents names it once.
    #[test]
    fn no_two_bookmarks_of_the_forms_are_alike() {
        let examined = sample();
        let known = Known { project: Some(&examined.project) };
        for form in FORMS {
            let shown = serde_json::to_value(sheets::all(form, &known)).expect("data");
            let all = shown.as_array().expect("sheets");
            let mut bookmarks: Vec<&str> =
                all.iter().filter_map(|sheet| sheet["bookmark"].as_str()).collect();
            let count = bookmarks.len();
            bookmarks.sort_unstable();
            bookmarks.dedup();
            assert_eq!(bookmarks.len(), count, "{}", form.file);
            assert!(count >= 1 && all[0]["bookmark"].is_string(), "{}", form.file);
        }
    }

    #[test]
    fn the_poster_of_the_sample_says_where_to_aim_and_what_to_mind() {
        let shown = serde_json::to_value(poster::all(&sample())).expect("data");
        let [one] = shown.as_array().expect("posters").as_slice() else { panic!("{shown}") };
        assert_eq!(one["position"], "P2");
        let said = one.to_string().replace('\u{a0}', " ");
        for text in
            ["13.600 m", "0.050 m", "docking plan CW-31-02, note 2", "K45", "echo sounder", "DP1"]
        {
            assert!(said.contains(text), "{text}: {said}");
        }
        assert!(said.contains("She lay there at station 13.610 m, 0.008 m to starboard."));
        // The study's aim is said whole, with by how much it may be missed and what is near an opening.
        assert!(said.contains("Aim at 0.70 m aft") && said.contains("may be missed by"), "{said}");
        assert_eq!(one["hold_points"].as_array().map(Vec::len), Some(9));
        assert!(said.contains("not approval to dock") && said.contains("come before this sheet"));
    }

    /// What a poster lists: of each item the large words.
    fn listed_under(poster: &serde_json::Value, heading: &str) -> Vec<String> {
        let lists = poster["lists"].as_array().expect("lists");
        let list = lists
            .iter()
            .find(|list| list["heading"].as_str().is_some_and(|text| text.starts_with(heading)));
        let items = list.expect("the list")["items"].as_array().expect("items");
        let what = |item: &serde_json::Value| item["what"].as_str().expect("words").to_string();
        items.iter().map(|item| what(item).replace('\u{a0}', " ")).collect()
    }

    /// Of a position that was taken, the poster gives the figures of its findings, and only those that are too small.
    #[test]
    fn the_clearances_of_the_poster_are_those_of_the_findings() {
        let examined = sample();
        let shown = serde_json::to_value(poster::all(&examined)).expect("data");
        let too_near = examined.findings.iter().filter(|finding| {
            finding.id.starts_with("openings.")
                && finding.id.ends_with(".P2.clearance")
                && finding.outcome == Outcome::BeyondLimit
        });
        let said: Vec<String> = too_near
            .map(|finding| {
                let sentence = finding.sentence.shown(System::Si).replace('\u{a0}', " ");
                let figure = sentence.split(" was ").nth(1).and_then(|rest| rest.split(',').next());
                let opening = finding.id.split('.').nth(1).expect("an opening");
                format!("{opening}: {}", figure.expect("a figure"))
            })
            .collect();
        assert_eq!(said, ["IN2: 0.175 m"]);
        assert_eq!(listed_under(&shown[0], "Openings near blocks, as she lay"), said);
    }

    #[test]
    fn a_poster_for_each_position_that_is_still_ahead() {
        let positions = "position,planned_srp_station_m,planned_offset_m,recorded_srp_station_m,recorded_offset_m\n\
                         P1,10,0,10,0\nP2,9.3,-0.02,,\nP3,8.6,0,,\n";
        let mut files = vec![
            ("plan/blocks.csv", BLOCKS.to_string()),
            ("positions/positions.csv", positions.to_string()),
        ];
        let shown = serde_json::to_value(poster::all(&examined(&files))).expect("data");
        let ids: Vec<&str> =
            shown.as_array().into_iter().flatten().filter_map(|p| p["position"].as_str()).collect();
        assert_eq!(ids, ["P2", "P3"]);
        assert_eq!(shown[0]["aim"][1][0], "Centreline to starboard of the dock\u{2019}s");
        assert_eq!(listed_under(&shown[0], "Openings"), ["no opening is recorded"]);
        // In P2 as planned K1 lies from x 2.4 to 3.0 and K2 from 3.8 to 4.4: SC1 of 0.1 m is 0.15 m from K1, DP1 under K2.
        let openings = "opening,kind,x_m,y_m,side,diameter_mm,clearance_wanted_mm\n\
                        SC1,sea-chest,3.2,0,centre,100,300\nDP1,docking-plug,4.1,0,centre,100,0\n";
        files.push(("plan/openings.csv", openings.to_string()));
        let shown = serde_json::to_value(poster::all(&examined(&files))).expect("data");
        assert_eq!(
            listed_under(&shown[0], "Openings near blocks, as planned"),
            ["DP1 under K2", "SC1: 0.150 m"]
        );
        assert_eq!(listed_under(&shown[0], "Docking plugs"), ["DP1 under K2", "1 on record"]);
    }

    #[test]
    fn what_is_not_recorded_is_left_to_be_filled_in() {
        let examined = examined(&[("plan/blocks.csv", BLOCKS.to_string())]);
        let shown = serde_json::to_value(poster::all(&examined)).expect("data");
        let [one] = shown.as_array().expect("posters").as_slice() else { panic!("{shown}") };
        assert!(one["position"].is_null());
        assert!(one["aim"].as_array().into_iter().flatten().all(|aim| aim[1].is_null()), "{one}");
        assert!(one.to_string().contains("Where station 0 is, is not recorded."));
        let pdf = forms_with_poster(&examined, "lastdock 0").expect("sheets");
        assert!(pdf.contains_key("forms/poster.pdf"));
    }
}
