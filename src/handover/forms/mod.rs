//! Sheets of paper for the dock's floor, to be filled in with a pencil and typed over by a clerk: words over each column,
//! the heading of the file that it goes to under it, and what is known beforehand printed in.

mod briefing;
mod known;
mod parts;
mod planning;
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
use crate::pages::shown::SectionShown;
use crate::records::docking::Paper;
use crate::records::printed;
use crate::report::error::ReportError;
use crate::report::{Stamp, typeset_as};
use crate::text;
use crate::units::System;
use crate::words::cautions;

/// The day of this edition of the sheets, which is the day that the PDFs carry: a sheet that is yet to be
/// filled in has no day of its own.
const EDITION: NaiveDate = match NaiveDate::from_ymd_opt(2026, 11, 29) {
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
    paper: &'static str,
    caution: &'static str,
    sheets: Vec<Sheet>,
}

#[derive(Serialize)]
struct Posters<'a> {
    document: Document,
    ship: Option<String>,
    dock: Option<String>,
    program: &'a str,
    paper: &'static str,
    posters: Vec<poster::Poster>,
}

/// The properties of the PDF.
#[derive(Serialize)]
struct Document {
    title: String,
    author: String,
    about: &'static str,
}

/// Which sheets are wanted.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted<'a> {
    /// Those of one position, in files of their own; else those of all positions.
    pub position: Option<&'a str>,
    /// Whether the poster for the dock's wall is among them.
    pub poster: bool,
    /// Units and paper of blank sheets, where no project says them.
    pub otherwise: (System, Paper),
}

/// The sheets as PDF/A-3a and PDF/UA-1, by their paths in a project, with the list by which they are recognised as
/// unchanged prints. The same project gives the same bytes; without a project every sheet is blank, and there is
/// nothing to brief about.
pub fn forms(
    examined: Option<&Examined>,
    wanted: &Wanted<'_>,
    program: &str,
) -> Result<BTreeMap<String, Vec<u8>>, ReportError> {
    let project = examined.map(|examined| &examined.project);
    let known = Known { project, only: wanted.position, otherwise: wanted.otherwise };
    let of_form = |form: &Form| Ok((form.file, typeset(form, &known, program)?));
    let mut pdfs = FORMS.iter().map(of_form).collect::<Result<Vec<_>, ReportError>>()?;
    if let Some(examined) = examined {
        pdfs.push((briefing::FILE, typeset_briefing(examined, &known, program)?));
        // The plan is one, whatever position the other sheets are of.
        if wanted.position.is_none() {
            let planning = typeset_planning(examined, &known, program)?;
            pdfs.extend(planning.map(|pdf| (planning::FILE, pdf)));
        }
        if wanted.poster {
            pdfs.push((poster::FILE, typeset_poster(examined, &known, program)?));
        }
    }
    Ok(listed(pdfs, wanted.position))
}

/// The file of sheets that are those of one position.
fn file_of(file: &str, position: Option<&str>) -> String {
    match (position, file.strip_suffix(".pdf")) {
        (Some(position), Some(stem)) => format!("{stem}-{position}.pdf"),
        _ => file.to_string(),
    }
}

/// Sheets by their paths, with the list by which they are recognised.
fn listed(pdfs: Vec<(&'static str, Vec<u8>)>, position: Option<&str>) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut list = String::new();
    for (file, pdf) in pdfs {
        let file = file_of(file, position);
        list.push_str(&printed::line(&file, &digest::sha256(&pdf)));
        files.insert(format!("{}{file}", printed::FOLDER), pdf);
    }
    files.insert(printed::LIST.to_string(), list.into_bytes());
    files
}

/// What a paper is called by the template that sets the sheets, and its large sister.
fn paper_name(paper: Paper, is_poster: bool) -> &'static str {
    match (paper, is_poster) {
        (Paper::A4, false) => "a4",
        (Paper::A4, true) => "a3",
        (Paper::UsLetter, false) => "us-letter",
        (Paper::UsLetter, true) => "us-tabloid",
    }
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
        paper: paper_name(known.paper(), true),
        posters: poster::all(examined, known.only),
    };
    let ident = format!("{program} {}", poster::FILE);
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/poster.typ", &pages, &[], &stamp)
}

fn typeset_briefing(
    examined: &Examined,
    known: &Known<'_>,
    program: &str,
) -> Result<Vec<u8>, ReportError> {
    let (title, ship, dock) = heads(briefing::TITLE, known);
    let (briefings, plans) = briefing::all(examined, known);
    let pages = Briefings {
        document: Document { title, author: program.to_string(), about: briefing::ABOUT },
        ship,
        dock,
        program,
        paper: paper_name(known.paper(), false),
        briefings,
    };
    let ident = format!("{program} {}", briefing::FILE);
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/briefing.typ", &pages, &plans, &stamp)
}

fn typeset_planning(
    examined: &Examined,
    known: &Known<'_>,
    program: &str,
) -> Result<Option<Vec<u8>>, ReportError> {
    let Some((planning, drawings)) = planning::page(examined) else { return Ok(None) };
    let (title, ..) = heads(planning::TITLE, known);
    let pages = PlanningPages {
        title: title.clone(),
        document: Headed {
            document: Document { title, author: program.to_string(), about: planning::ABOUT },
            keywords: [],
            ship: planning.ship,
            period: planning.period,
            foot: format!("planning page, {program}"),
        },
        paper: paper_name(known.paper(), false),
        dock: planning.dock,
        caution: cautions::SHORT,
        sections: planning.sections,
    };
    let ident = format!("{program} {}", planning::FILE);
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/planning.typ", &pages, &drawings, &stamp).map(Some)
}

#[derive(Serialize)]
struct PlanningPages {
    document: Headed,
    title: String,
    paper: &'static str,
    dock: String,
    caution: &'static str,
    sections: Vec<SectionShown>,
}

/// The properties of a PDF, and what stands above and below each of its pages.
#[derive(Serialize)]
struct Headed {
    #[serde(flatten)]
    document: Document,
    keywords: [String; 0],
    ship: String,
    period: Option<String>,
    foot: String,
}

#[derive(Serialize)]
struct Briefings<'a> {
    document: Document,
    ship: Option<String>,
    dock: Option<String>,
    program: &'a str,
    paper: &'static str,
    briefings: Vec<briefing::Briefing>,
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
    let (sheets, finders) = sheets::all(form, known);
    let pages = Pages {
        document: Document { title, author: program.to_string(), about: form.about },
        title: form.title,
        ship,
        dock,
        program,
        paper: paper_name(known.paper(), false),
        caution: cautions::SHORT,
        sheets,
    };
    let ident = format!("{program} {}", form.file);
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/sheets.typ", &pages, &finders, &stamp)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::examine;
    use crate::findings::finding::Outcome;
    use crate::records::memory;
    use crate::records::problem::Problems;
    use crate::records::store::Folder;
    use crate::text::Text;

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

    fn known(examined: &Examined) -> Known<'_> {
        let otherwise = (System::Si, Paper::A4);
        Known { project: Some(&examined.project), only: None, otherwise }
    }

    const BLOCKS: &str = "block,row,station_m,offset_m,length_m,width_m\nK1,keel,12,0,0.6,1.2\n\
                          K2,keel,13.4,0,0.6,1.2\n";

    /// A gap survey fills many sheets, each with the same heading; a reader's list of contents names it once.
    #[test]
    fn no_two_bookmarks_of_the_forms_are_alike() {
        let examined = sample();
        let known = known(&examined);
        for form in FORMS {
            let shown = serde_json::to_value(sheets::all(form, &known).0).expect("data");
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
        let shown = serde_json::to_value(poster::all(&sample(), None)).expect("data");
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
        let shown = serde_json::to_value(poster::all(&examined, None)).expect("data");
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
        let shown = serde_json::to_value(poster::all(&examined(&files), None)).expect("data");
        let ids: Vec<&str> =
            shown.as_array().into_iter().flatten().filter_map(|p| p["position"].as_str()).collect();
        assert_eq!(ids, ["P2", "P3"]);
        assert_eq!(shown[0]["aim"][1][0], "Centreline to starboard of the dock\u{2019}s");
        assert_eq!(listed_under(&shown[0], "Openings"), ["no opening is recorded"]);
        // In P2 as planned K1 lies from x 2.4 to 3.0 and K2 from 3.8 to 4.4: SC1 of 0.1 m is 0.15 m from K1, DP1 under K2.
        let openings = "opening,kind,x_m,y_m,side,diameter_mm,clearance_wanted_mm\n\
                        SC1,sea-chest,3.2,0,centre,100,300\nDP1,docking-plug,4.1,0,centre,100,0\n";
        files.push(("plan/openings.csv", openings.to_string()));
        let shown = serde_json::to_value(poster::all(&examined(&files), None)).expect("data");
        assert_eq!(
            listed_under(&shown[0], "Openings near blocks, as planned"),
            ["DP1 under K2", "SC1: 0.150 m"]
        );
        assert_eq!(listed_under(&shown[0], "Docking plugs"), ["DP1 under K2", "1 on record"]);
    }

    #[test]
    fn what_is_not_recorded_is_left_to_be_filled_in() {
        let examined = examined(&[("plan/blocks.csv", BLOCKS.to_string())]);
        let shown = serde_json::to_value(poster::all(&examined, None)).expect("data");
        let [one] = shown.as_array().expect("posters").as_slice() else { panic!("{shown}") };
        assert!(one["position"].is_null());
        assert!(one["aim"].as_array().into_iter().flatten().all(|aim| aim[1].is_null()), "{one}");
        assert!(one.to_string().contains("Where station 0 is, is not recorded."));
        let wanted = Wanted { poster: true, ..Wanted::default() };
        let pdf = forms(Some(&examined), &wanted, "lastdock 0").expect("sheets");
        assert!(pdf.contains_key("forms/poster.pdf"));
    }

    /// What is taken at the dock, by the lists of who fills in what in a new folder's `README.txt`.
    const AT_THE_DOCK: &[&str] = &[
        "plan/blocks.csv",
        "plan/openings.csv",
        "plan/opened.csv",
        "positions/positions.csv",
        "positions/marks.csv",
        "positions/divers.csv",
        "landing/drafts.csv",
        "landing/water.csv",
        "landing/checks.csv",
        "landing/gaps.csv",
        "landing/moved.csv",
        "hull/plating.csv",
        "hull/instruments.csv",
        "hull/repairs.csv",
        "hull/anodes.csv",
        "coating/preparation.csv",
        "coating/climate.csv",
        "coating/coats.csv",
        "coating/stripes.csv",
        "coating/areas.csv",
        "coating/gauges.csv",
        "coating/tests.csv",
        "coating/film.csv",
        "papers/papers.csv",
    ];

    #[test]
    fn what_is_taken_at_the_dock_has_a_form_with_its_columns_in_words() {
        let parts = || FORMS.iter().flat_map(|form| form.groups).flat_map(|group| group.parts);
        for path in AT_THE_DOCK {
            let typed = parts().any(|part| part.spec.path == *path && !part.is_scanned);
            assert!(typed, "{path} has no form");
        }
        for part in parts() {
            for asked in part.columns {
                assert!(!asked.words.contains('_'), "{}: {}", part.spec.path, asked.words);
                let known = part.spec.columns.contains(&asked.column);
                let is_note = asked.column.name == "note";
                assert_eq!(known || is_note, !parts::is_untyped(&asked.column), "{}", asked.words);
            }
            // A file can take the rows: what must be filled in is asked for, here or in the head.
            let must = part.spec.columns.iter().filter(|column| {
                column.need == crate::records::spec::Need::Always && !part.is_scanned
            });
            for column in must {
                let asked = part.columns.iter().any(|asked| asked.column == *column);
                let is_elsewhere =
                    part.in_head.contains(column) || BESIDE.contains(&part.spec.path);
                assert!(asked || is_elsewhere, "{}: {}", part.spec.path, column.name);
            }
        }
    }

    /// Files of which a form fills in more columns of rows that are there already.
    const BESIDE: &[&str] = &["plan/blocks.csv", "plan/openings.csv"];

    /// The sheets of a form of the sample, as the template gets them.
    fn sheets_of(file: &str, examined: &Examined) -> Vec<serde_json::Value> {
        let form = FORMS.iter().find(|form| form.file == file).expect("a form");
        let shown = serde_json::to_value(sheets::all(form, &known(examined)).0).expect("data");
        shown.as_array().expect("sheets").clone()
    }

    /// The first cells of the rows under a caption.
    fn rows_under<'a>(sheets: &'a [serde_json::Value], about: &str) -> Vec<Vec<Option<&'a str>>> {
        let tables = sheets.iter().flat_map(|sheet| sheet["tables"].as_array().expect("tables"));
        let tables = tables.filter(|table| table["about"].as_str() == Some(about));
        let rows = tables.flat_map(|table| table["rows"].as_array().expect("rows"));
        rows.map(|row| row.as_array().expect("cells").iter().map(|cell| cell.as_str()).collect())
            .collect()
    }

    #[test]
    fn draft_marks_are_named_as_one_says_them_and_typed_as_they_are_recorded() {
        let sheets = sheets_of("arrival-and-departure.pdf", &sample());
        let rows = rows_under(&sheets, "Draft marks on arrival");
        let named: Vec<&str> = rows.iter().filter_map(|row| row[0]).collect();
        let six = ["aft, port", "aft, starboard", "amidships, port", "amidships, starboard"];
        assert_eq!(named[..4], six);
        assert_eq!(rows[0][..4], [Some("aft, port"), Some("arrival"), Some("6.9"), Some("2.3")]);
        let heads = &sheets[0]["tables"][0]["columns"];
        assert_eq!(
            (&heads[4]["words"], &heads[4]["typed"]),
            (&"draft read, m".into(), &"draft_m".into())
        );
        assert!(heads[0]["typed"].is_null());
    }

    /// As many rows as the scheme has coats, and as many spots as an area has by SSPC-PA 2.
    #[test]
    fn there_are_rows_for_what_the_project_calls_for() {
        let examined = sample();
        let sheets = sheets_of("climate-and-coating.pdf", &examined);
        let coats =
            rows_under(&sheets, "One application to a row; a coat on patches has a row of its own");
        let printed: Vec<_> = coats.iter().filter(|row| row[2].is_some()).collect();
        let planned =
            std::fs::read_to_string("sample-project/coating/scheme.csv").expect("the scheme");
        assert_eq!(printed.len(), planned.lines().count() - 1);
        assert_eq!(
            (printed[0][0], printed[0][2], printed[0][3]),
            (Some("KL"), Some("1"), Some("EP1"))
        );
        let spots = rows_under(
            &sheets,
            "One spot to a line here; each of its readings is a row of the file",
        );
        assert_eq!(spots.iter().filter(|row| row[0] == Some("KL")).count(), 5);
        let plates = sheets_of("plating-and-anodes.pdf", &examined);
        let gauged =
            std::fs::read_to_string("sample-project/hull/plating.csv").expect("the plates");
        let plates = rows_under(&plates, "One place to a row");
        let printed = plates.iter().filter(|row| row[0].is_some()).count();
        assert_eq!(printed, gauged.lines().count() - 1);
        // What was found is not printed in.
        assert!(plates.iter().all(|row| row[5].is_none()));
    }

    /// What was opened in the first position has a sheet of its own when it is opened again: of the sample's 40 openings
    /// 25 were opened in P1.
    #[test]
    fn the_sheets_of_a_later_position_list_the_openings_that_were_not_opened_yet() {
        let examined = sample();
        let listed = |position: &str| {
            let sheets = sheets_of("openings.pdf", &examined).into_iter();
            let wanted = sheets.filter(|sheet| {
                sheet["position"] == position && sheet["title"] == "Openings closed out"
            });
            let tables: Vec<serde_json::Value> = wanted
                .flat_map(|sheet| sheet["tables"].as_array().cloned().unwrap_or_default())
                .collect();
            let rows =
                tables.iter().flat_map(|table| table["rows"].as_array().into_iter().flatten());
            rows.filter(|row| row[0].is_string()).count()
        };
        assert_eq!((listed("P1"), listed("P2")), (40, 15));
    }

    #[test]
    fn sheets_that_ask_for_a_place_have_a_plan_and_those_of_one_position_are_alone() {
        let examined = sample();
        let gaps = sheets_of("gaps.pdf", &examined);
        assert!(gaps.iter().all(|sheet| sheet["finder"].is_number()));
        assert!(sheets_of("water.pdf", &examined).iter().all(|sheet| sheet["finder"].is_null()));
        let form = FORMS.iter().find(|form| form.file == "gaps.pdf").expect("a form");
        let only = Known { only: Some("P2"), ..known(&examined) };
        let (_, finders) = sheets::all(form, &only);
        assert_eq!(finders.len(), 1);
        assert!(finders[0].alt.contains("blocks of position P2"), "{}", finders[0].alt);
        let shown = serde_json::to_value(sheets::all(form, &only).0).expect("data");
        let mut positions =
            shown.as_array().expect("sheets").iter().map(|sheet| &sheet["position"]);
        assert!(positions.all(|position| position == "P2"));
    }

    /// Whoever reads a place off the plan writes it into the column beside it.
    #[test]
    fn the_plan_shows_places_in_the_units_in_which_they_are_asked_for() {
        let mut examined = sample();
        examined.project.docking.units = System::Us;
        let shown = |file: &str| {
            let form = FORMS.iter().find(|form| form.file == file).expect("a form");
            let (_, finders) = sheets::all(form, &known(&examined));
            finders.iter().map(|drawing| drawing.svg.contains("x, ft")).collect::<Vec<_>>()
        };
        // The sample's plating and repairs are typed in metres; a gap is asked for by its block.
        assert_eq!(shown("plating-and-anodes.pdf"), [false, false]);
        assert!(shown("gaps.pdf").iter().all(|is_in_feet| *is_in_feet));
    }

    /// The briefing's levels are the figures that the report and the findings have for them.
    #[test]
    fn the_levels_of_the_briefing_are_those_of_the_findings() {
        let examined = sample();
        let (briefings, plans) = briefing::all(&examined, &known(&examined));
        let shown = serde_json::to_value(&briefings).expect("data");
        assert_eq!((plans.len(), &shown[0]["position"]), (1, &"P2".into()));
        let levels: Vec<&str> = shown[0]["stops"]
            .as_array()
            .expect("stops")
            .iter()
            .filter_map(|stop| stop["level"].as_str())
            .collect();
        let in_findings = |event: &str| {
            let id = format!("landing.P2.water_{event}");
            let finding = examined.findings.iter().find(|finding| finding.id == id);
            let finding = finding.expect("a finding on the water");
            Text::from(finding.recomputed.as_ref().expect("a level"))
                .shown(System::Si)
                .replace('\u{a0}', " ")
        };
        assert_eq!(levels, [in_findings("touched"), in_findings("landed")]);
    }

    #[test]
    fn a_project_of_which_only_the_names_are_known_gets_every_sheet() {
        let examined = examined(&[("plan/blocks.csv", BLOCKS.to_string())]);
        let all = forms(Some(&examined), &Wanted::default(), "lastdock 0").expect("sheets");
        assert_eq!(all.len(), FORMS.len() + 2);
        let blank = forms(None, &Wanted::default(), "lastdock 0").expect("sheets");
        assert_eq!(blank.len(), FORMS.len() + 1);
    }
}
