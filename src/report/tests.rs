//! The report typeset from the sample project, from a bare one and from hostile ones.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::Path;
use std::process::Command;

use super::figures::{Drawing, Group};
use super::*;
use crate::calc;
use crate::findings::{Examined, examine};
use crate::records::pictures::Album;
use crate::records::problem::Problems;
use crate::records::store::{Folder, Store};

/// A project in memory.
struct Memory {
    sizes: BTreeMap<String, u64>,
    files: BTreeMap<String, Vec<u8>>,
}

impl Memory {
    fn new(files: &[(&str, &str)]) -> Self {
        let files: BTreeMap<String, Vec<u8>> =
            files.iter().map(|(path, text)| (path.to_string(), text.as_bytes().to_vec())).collect();
        let sizes = files.iter().map(|(path, bytes)| (path.clone(), bytes.len() as u64)).collect();
        Self { sizes, files }
    }
}

impl Store for Memory {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        self.files.get(path).cloned().ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    /// Old bundles hold what is refused today, and are typeset beside newer ones.
    fn was_closed_out(&self) -> bool {
        true
    }
}

fn examined(store: &dyn Store, problems: Problems) -> Examined {
    let project = crate::records::read(store, problems).expect("the project reads");
    examine(project).expect("its remarks meet their findings")
}

fn drawing(name: &str, group: Group, width_mm: f64, height_mm: f64) -> Drawing {
    Drawing {
        name: name.to_string(),
        group,
        position: None,
        title: format!("A drawing of {name}"),
        caption: "One square stands for one block".to_string(),
        note: String::new(),
        alt: "A square in a frame".to_string(),
        width_mm,
        height_mm,
        svg: format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width_mm}mm\" \
             height=\"{height_mm}mm\" viewBox=\"0 0 {width_mm} {height_mm}\">\
             <rect x=\"1\" y=\"1\" width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"black\"/>\
             <text x=\"5\" y=\"9\" font-size=\"4\" font-family=\"DejaVu Sans\">{name}</text></svg>",
            width_mm - 2.0,
            height_mm - 2.0
        ),
    }
}

fn drawings(name: &str) -> Vec<Drawing> {
    vec![
        drawing(name, Group::Axes, 150.0, 60.0),
        drawing(name, Group::Plan, 250.0, 130.0),
        drawing(name, Group::Exposure, 170.0, 50.0),
        drawing(name, Group::CoatingMap, 400.0, 400.0),
    ]
}

const CHECKSUM: &str = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";

fn inputs<'a>(examined: &'a Examined, drawings: &'a [Drawing], files: &'a [Listed]) -> Inputs<'a> {
    Inputs {
        examined,
        drawings,
        files,
        records_checksum: CHECKSUM,
        attachments: Vec::new(),
        pictures: &examined.project.pictures,
        letters: Vec::new(),
        program: "lastdock 0.1.0",
    }
}

/// Typesets, and holds the result against both standards. What the typesetter warns of fails too. With
/// REPORT_OUT set to a folder, the PDF is left there to be looked at.
fn typeset_and_judge(inputs: &Inputs<'_>, name: &str) -> Vec<u8> {
    let made = make(inputs).unwrap_or_else(|error| panic!("{error}"));
    if let Ok(folder) = std::env::var("REPORT_OUT") {
        std::fs::write(Path::new(&folder).join(format!("{name}.pdf")), &made.bytes).unwrap();
    }
    assert!(made.bytes.starts_with(b"%PDF-1.7"));
    assert!(made.warnings.is_empty(), "{:?}", made.warnings);
    judge(&made.bytes);
    made.bytes
}

/// Asks the outside judge of both standards, where its folder is named; the typesetter has held the file
/// against them by its own rules already.
fn judge(pdf: &[u8]) {
    let Some(judges) = std::env::var_os("LASTDOCK_JUDGES") else {
        assert!(
            std::env::var_os("CI").is_none_or(|ci| ci.is_empty()),
            "in CI LASTDOCK_JUDGES must be set"
        );
        return;
    };
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(pdf).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/conformance.py");
    let mut python = Command::new(Path::new(&judges).join("python"));
    let said = python.arg(script).arg(file.path()).output().unwrap();
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stdout));
}

#[test]
fn the_sample_is_the_same_twice_and_keeps_both_standards() {
    let mut problems = Problems::default();
    let folder = Folder::open(Path::new("sample-project"), &mut problems);
    let examined = examined(&folder, problems);
    let drawings = figures::drawings(&examined);
    let mut files: Vec<Listed> = Vec::new();
    let mut attachments = Vec::new();
    let mut pictures = Album::default();
    for (path, size) in folder.sizes() {
        let bytes = folder.read(path).unwrap();
        files.push(Listed {
            path: format!("data/records/{path}"),
            size: *size,
            sha256: CHECKSUM.to_string(),
        });
        if path.ends_with(".csv") || path.ends_with(".toml") {
            attachments.push(Attachment {
                path: path.clone(),
                bytes: bytes.clone(),
                media_type: if path.ends_with(".csv") { "text/csv" } else { "application/toml" },
                about: format!("Records as written: {path}"),
                relationship: Relationship::Source,
            });
        }
        let paper = path.strip_prefix("papers/");
        let shown =
            examined.project.papers.iter().any(|paper| {
                paper.in_report && paper.path() == *path && paper.file.ends_with(".png")
            });
        if let Some(name) = paper.filter(|_| shown) {
            pictures.add(name, Ok(&bytes));
        }
    }
    assert!(attachments.len() > 5 && pictures.pictures().len() > 5);
    let inputs =
        Inputs { attachments, pictures: &pictures, ..inputs(&examined, &drawings, &files) };
    let first = typeset_and_judge(&inputs, "sample");
    let (again, summary) = make_volumes(&inputs).unwrap();
    assert!(first == again.bytes);
    assert!(summary.warnings.is_empty(), "{:?}", summary.warnings);
    judge(&summary.bytes);
    assert!(summary.bytes == make_volumes(&inputs).unwrap().1.bytes);
}

/// What points from the summary to a section that it has not names the section of the whole report, with its number.
#[test]
fn the_summary_holds_the_first_section_and_names_the_others() {
    let examined = examined(&sample_without("no folder"), Problems::default());
    let inputs = inputs(&examined, &[], &[]);
    let closeout = closeout(&inputs).unwrap();
    let sections = sections::listed(&inputs);
    let begins: Vec<usize> = (3..3 + sections.len()).collect();
    let data = data::collect_summary(&inputs, closeout, &sections, &begins).unwrap();
    let data: serde_json::Value = serde_json::from_slice(&data).unwrap();
    assert_eq!(data["sections"].as_array().map(Vec::len), Some(sections::IN_SUMMARY));
    assert_eq!(data["contents"].as_array().map(Vec::len), Some(sections.len()));
    assert_eq!(data["contents"][1]["page"], 4);
    let text = data.to_string();
    for (number, section) in (1..).zip(&sections).skip(sections::IN_SUMMARY) {
        let anchor = section.anchor.unwrap();
        assert!(!text.contains(&format!("{{\"section\":\"{anchor}\"}}")), "{anchor}");
        if anchor == "exposure" {
            let named = format!("section {number} of the whole report");
            assert!(text.replace('\u{200b}', "").contains(&named), "{named}");
        }
    }
    let part_of = data["part_of"].to_string().replace('\u{200b}', "");
    assert!(part_of.contains("calder-wren-2031-report.pdf"), "{part_of}");
}

const BARE: &str = "format = 1\n[ship]\nname = \"Plumewick\"\n[dock]\nname = \"Quoin Dock\"\n\
    [closeout]\nprepared_by = \"Ida Quillfeather\"\nprepared_on = 2031-05-16\n\
    bundle_name = \"plumewick-2031\"\n";
const ONE_BLOCK: &str = "block,row,station_m,offset_m,length_mm,width_mm\nK1,keel,20,0,600,1200\n";

#[test]
fn a_bare_project_typesets() {
    let store = Memory::new(&[("docking.toml", BARE), ("plan/blocks.csv", ONE_BLOCK)]);
    let examined = examined(&store, Problems::default());
    typeset_and_judge(&inputs(&examined, &[], &[]), "bare");
    typeset_and_judge(&inputs(&examined, &drawings("bare"), &[]), "bare-placed");
    typeset_and_judge(&inputs(&examined, &figures::drawings(&examined), &[]), "bare-drawn");
}

#[test]
fn a_record_that_is_not_closed_is_refused() {
    let open = BARE.split("[closeout]").next().unwrap();
    let store = Memory::new(&[("docking.toml", open), ("plan/blocks.csv", ONE_BLOCK)]);
    let examined = examined(&store, Problems::default());
    let error = typeset(&inputs(&examined, &[], &[])).unwrap_err();
    assert!(error.to_string().contains("[closeout]"), "{error}");
}

#[test]
fn a_drawing_that_is_not_sound_gives_cause_and_remedy() {
    let store = Memory::new(&[("docking.toml", BARE), ("plan/blocks.csv", ONE_BLOCK)]);
    let examined = examined(&store, Problems::default());
    let broken = [Drawing { svg: "<svg".to_string(), ..drawing("axes", Group::Axes, 10.0, 10.0) }];
    let error = typeset(&inputs(&examined, &broken, &[])).unwrap_err();
    assert_eq!(error.messages.len(), 1);
    assert!(error.messages[0].cause.starts_with("A drawing of this program"), "{error}");
    assert!(error.messages[0].remedy.contains("report it"), "{error}");
}

#[test]
fn files_attached_twice_give_cause_and_remedy() {
    let store = Memory::new(&[("docking.toml", BARE), ("plan/blocks.csv", ONE_BLOCK)]);
    let examined = examined(&store, Problems::default());
    let file = Attachment {
        path: "plan/blocks.csv".to_string(),
        bytes: ONE_BLOCK.into(),
        media_type: "text/csv",
        about: "blocks".to_string(),
        relationship: Relationship::Source,
    };
    let attachments = vec![file.clone(), file];
    let inputs = Inputs { attachments, ..inputs(&examined, &[], &[]) };
    let error = typeset(&inputs).unwrap_err();
    assert!(error.messages[0].remedy.contains("same name"), "{error}");
}

/// Texts that a typesetter might take for its own language, or stumble over.
fn hostile_texts() -> Vec<String> {
    let short = [
        "#read(\"/etc/passwd\")",
        "$ x $ ] ] ) } #{ } * _ ` ``` @ref <label> = heading - list / term: x \\",
        "#pagebreak() #panic(\"no\") // /* comment",
        "ship \u{1F6A2} private \u{E000} bell \u{7} mark \u{FEFF} turned \u{202E}abc\u{202C}",
        "\u{05e9}\u{05dc}\u{05d5}\u{05dd} and \u{0645}\u{0631}\u{062d}\u{0628}\u{0627}",
        "e\u{301}\u{302}\u{303}\u{304}\u{305}\u{306} \u{301}alone z\u{335}\u{336}\u{337}",
        "\u{9501}\u{8239} \u{0e01}\u{0e33} \u{0915}\u{094d}\u{0937} \u{10330} fi ffl \u{fb01}",
        "&amp; <b>bold</b> &#0; ]]> <!-- \u{feff}",
        "--- -- ... '' \"\" \u{201c}\u{201d} ~ a~b \u{a0} \u{ad}soft",
    ];
    vec![
        short.join(" "),
        "one\r\ntwo\rthree\n\n\nfour\u{2028}five\tsix".to_string(),
        "x".repeat(1500),
        "\u{05d0}".repeat(400),
        "e\u{301}".repeat(400),
        "very/long/path/without/spaces/".repeat(40),
    ]
}

fn toml_text(text: &str) -> String {
    let escaped: String = text
        .chars()
        .map(|c| match c {
            '"' => "\\\"".to_string(),
            '\\' => "\\\\".to_string(),
            c if c.is_control() => format!("\\u{:04X}", u32::from(c)),
            c => c.to_string(),
        })
        .collect();
    format!("\"{escaped}\"")
}

fn csv_text(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

/// A project in which a text stands wherever a person may write one.
fn project_full_of(text: &str) -> Memory {
    let (toml, csv) = (toml_text(text), csv_text(text));
    let id = "\u{951a}\u{0416}\u{05d0}e-1";
    let docking = format!(
        "format = 1\n[ship]\nname = {toml}\nowner = {toml}\nbuilt = {toml}\n\
         stern_reference_point = {toml}\ndraft_marks_datum = {toml}\n\
         [dock]\nname = {toml}\nplace = {toml}\nkind = {toml}\ndatum = {toml}\n\
         level_datum = {toml}\n[period]\nbegan = 2031-04-07\noffset = \"+01:00\"\n\
         [[people]]\nname = {toml}\nrole = {toml}\n\
         [limits.opening_clearance]\nvalue = 300\nunit = \"mm\"\nsource = {toml}\n\
         [closeout]\nprepared_by = {toml}\nprepared_on = 2031-05-16\nbundle_name = \"b\"\n"
    );
    let blocks = format!(
        "block,row,station_m,offset_m,length_mm,width_mm,cap_material,positions,left_out_because,\
         note {}\n{id},keel,20,0,600,1200,{csv},,{csv},{csv}\n",
        text.replace([',', '"', '\r', '\n'], " ")
    );
    let openings = format!(
        "opening,kind,x_m,y_m,diameter_mm,valve_tag,opened_at,opened_by,closed_by,tested_how,state\n\
         {id},sea-chest,10,0,300,{csv},2031-04-08T10:00:00,{csv},{csv},{csv},{csv}\n"
    );
    let positions =
        format!("position,recorded_srp_station_m,recorded_offset_m\n{id},10.0,0.0\nP2,9.3,0.0\n");
    let marks =
        format!("position,mark,hull_x_m,hull_y_m,dock_station_m,read_by\n{id},M1,0,0,10,{csv}\n");
    let papers = format!("file,by,caption,in_report\nnot a picture.png,{csv},{csv},yes\n");
    Memory::new(&[
        ("docking.toml", &docking),
        ("plan/blocks.csv", &blocks),
        ("plan/openings.csv", &openings),
        ("positions/positions.csv", &positions),
        ("positions/marks.csv", &marks),
        ("papers/papers.csv", &papers),
        ("papers/not a picture.png", "no picture"),
    ])
}

#[test]
fn hostile_texts_come_out_as_text() {
    for (n, text) in hostile_texts().iter().enumerate() {
        let examined = examined(&project_full_of(text), Problems::default());
        let mut drawings = figures::drawings(&examined);
        drawings.push(Drawing {
            title: text.clone(),
            caption: text.clone(),
            alt: text.clone(),
            ..drawing("\u{1F6A2}\u{951a}", Group::Axes, 100.0, 30.0)
        });
        let files = [Listed {
            path: format!("data/papers/{text}"),
            size: u64::MAX / 2,
            sha256: CHECKSUM.to_string(),
        }];
        let mut pictures = Album::default();
        pictures.add("not a picture.png", Ok(b"no picture"));
        let inputs = Inputs { pictures: &pictures, ..inputs(&examined, &drawings, &files) };
        typeset_and_judge(&inputs, &format!("hostile-{n}"));
    }
}

/// Every character that counts as legible must get past PDF/A in every face that shows what people
/// wrote: alone, in a row, and after a letter.
#[test]
fn every_legible_character_typesets() {
    let all: Vec<char> = ('\u{20}'..='\u{1ffff}')
        .filter(|c| legible::shown(&c.to_string()) == c.to_string())
        .collect();
    assert!(all.len() > 5000, "{}", all.len());
    let apart: String = all.iter().flat_map(|c| [*c, ' ']).collect();
    let in_a_row: String = all.iter().filter(|c| !c.is_whitespace()).collect();
    let after: String = all.iter().flat_map(|c| ['a', *c, ' ']).collect();
    for (n, text) in [apart, in_a_row, after].iter().enumerate() {
        let text = toml_text(text);
        // The name stands in bold and in headers, the owner in a table, the dock in running text.
        let docking = BARE
            .replace("\"Plumewick\"", &format!("{text}\nowner = {text}"))
            .replace("\"Quoin Dock\"", &text);
        let store = Memory::new(&[("docking.toml", &docking), ("plan/blocks.csv", ONE_BLOCK)]);
        let examined = examined(&store, Problems::default());
        let made = make(&inputs(&examined, &[], &[])).unwrap_or_else(|error| panic!("{error}"));
        assert!(made.bytes.len() > 100_000, "{n}");
    }
}

/// The report's data as the templates get it.
fn data_of(inputs: &Inputs<'_>) -> Vec<u8> {
    let closeout = closeout(inputs).unwrap();
    data::collect(inputs, closeout, &sections::listed(inputs)).unwrap()
}

/// The section of the templates' data with an anchor.
fn section<'a>(data: &'a serde_json::Value, anchor: &str) -> Option<&'a serde_json::Value> {
    data["sections"].as_array().unwrap().iter().find(|section| section["anchor"] == anchor)
}

/// Whether a section of the templates' data points to another.
fn points_to(section: &serde_json::Value, anchor: &str) -> bool {
    section.to_string().contains(&format!("{{\"section\":\"{anchor}\"}}"))
}

#[test]
fn levels_without_a_load_are_said_to_be_such() {
    let examined = examined(&sample_without("no folder"), Problems::default());
    let inputs = inputs(&examined, &[], &[]);
    let data = data_of(&inputs);
    let data: serde_json::Value = serde_json::from_slice(&data).unwrap();
    let blocks = section(&data, "landing").unwrap()["blocks"].as_array().unwrap();
    let texts = blocks.iter().filter(|block| block["kind"] == "paragraph");
    let texts: Vec<String> = texts
        .map(|block| {
            let runs = block["text"].as_array().unwrap().iter();
            runs.filter_map(|run| run["words"].as_str().or(run["id"].as_str())).collect()
        })
        .collect();
    let said: Vec<&String> =
        texts.iter().filter(|text| text.contains("lies outside the hydrostatic table")).collect();
    assert_eq!(said.len(), 2, "{texts:?}");
    assert!(said[0].starts_with("In P1 the load is not known at 10 readings"), "{said:?}");
    assert!(said[1].starts_with("In P2 the load is not known at 14 readings"), "{said:?}");
}

/// The sample without one of its folders, as text files in memory.
fn sample_without(folder: &str) -> Memory {
    let mut problems = Problems::default();
    let sample = Folder::open(Path::new("sample-project"), &mut problems);
    let mut sizes = sample.sizes().clone();
    sizes.retain(|path, _| !path.starts_with(folder) && path != "remarks.toml");
    let files = sizes.keys().map(|path| (path.clone(), sample.read(path).unwrap())).collect();
    Memory { sizes, files }
}

#[test]
fn without_its_coating_the_sample_says_so_in_one_line() {
    let mut sample = sample_without("coating/");
    // Rules, papers and repairs speak of zones that are gone with it.
    for path in ["papers/papers.csv", "hull/repairs.csv"] {
        sample.files.remove(path);
        sample.sizes.remove(path);
    }
    if let Some(docking) = sample.files.get_mut("docking.toml") {
        let text = String::from_utf8(std::mem::take(docking)).unwrap();
        let mut tables: Vec<&str> = text.split("\n[").collect();
        tables.retain(|table| !table.starts_with("[film_for_zone]]"));
        *docking = tables.join("\n[").into_bytes();
        sample.sizes.insert("docking.toml".to_string(), docking.len() as u64);
    }
    let examined = examined(&sample, Problems::default());
    let drawings = figures::drawings(&examined);
    assert!(drawings.iter().all(|drawing| !drawing.name.starts_with("coating")));
    let inputs = inputs(&examined, &drawings, &[]);
    let data = String::from_utf8(data_of(&inputs)).unwrap();
    let data: serde_json::Value = serde_json::from_str(&data).unwrap();
    assert_eq!(section(&data, "coating").unwrap()["blocks"].as_array().map(Vec::len), Some(1));
    let only = section(&data, "coating").unwrap()["blocks"][0]["text"][0]["words"]
        .as_str()
        .unwrap_or_default();
    assert!(only.starts_with("Nothing of the coating was recorded"), "{only}");
    assert!(points_to(section(&data, "next-team").unwrap(), "answers"));
    assert!(!points_to(section(&data, "next-team").unwrap(), "coating"));
    typeset_and_judge(&inputs, "no-coating");
}

#[test]
fn without_its_landing_the_sample_says_so_and_prints_no_formula_of_it() {
    let examined = examined(&sample_without("landing/"), Problems::default());
    let drawings = figures::drawings(&examined);
    assert!(drawings.iter().all(|drawing| !drawing.name.starts_with("landing")));
    let inputs = inputs(&examined, &drawings, &[]);
    let data = String::from_utf8(data_of(&inputs)).unwrap();
    let data: serde_json::Value = serde_json::from_str(&data).unwrap();
    let blocks = section(&data, "landing").unwrap()["blocks"].as_array().unwrap();
    let words = blocks[0]["text"][0]["words"].as_str().unwrap();
    assert!(blocks.len() == 1 && words.starts_with("Nothing of the landing was"), "{words}");
    let blocks = section(&data, "formulas").unwrap()["blocks"].as_array().unwrap();
    let says = |formula: &calc::formula::Formula| {
        let terms = blocks.iter().filter_map(|block| block["terms"].as_array());
        terms.flatten().any(|term| term[0][0]["words"] == formula.title)
    };
    assert!(says(&calc::openings::CLEARANCE) && says(&calc::loads::springs::STIFFNESS));
    assert!(!says(&calc::landing::INSTABILITY) && !says(&calc::loads::girder::GIRDER));
    assert!(!says(&calc::drafts::DISPLACEMENT) && !says(&calc::hydrostatics::TABLE));
    typeset_and_judge(&inputs, "no-landing");
}

/// The sample with two earlier dockings: itself, years before and 0.20 m further aft, and one of which
/// nothing but a block is known.
fn sample_with_a_history() -> Memory {
    let mut store = sample_without("no folder");
    let hostile = csv_text(&hostile_texts().join(" "));
    let rows = format!(
        "docking,bundle,seal,fixity,damage\nold-2006,{hostile},{CHECKSUM},damaged,{hostile}\n\
         lost-2020,lost.zip,,whole,\n"
    );
    let mut add = |path: String, bytes: Vec<u8>| {
        store.sizes.insert(path.clone(), bytes.len() as u64);
        store.files.insert(path, bytes);
    };
    let sample = sample_without("no folder");
    for (path, bytes) in sample.files {
        if !path.ends_with(".csv") && !path.ends_with(".toml") {
            continue;
        }
        let text = String::from_utf8(bytes).unwrap().replace("2031", "2006");
        let text = text.replace("P1,14.30,0.000,14.31,", "P1,14.30,0.000,14.11,");
        add(format!("history/old-2006/{path}"), text.into_bytes());
    }
    add("history/lost-2020/docking.toml".to_string(), BARE.into());
    add("history/lost-2020/plan/blocks.csv".to_string(), ONE_BLOCK.into());
    add("history/dockings.csv".to_string(), rows.into_bytes());
    store
}

#[test]
fn earlier_dockings_typeset() {
    let examined = examined(&sample_with_a_history(), Problems::default());
    let history = examined.recomputed.history.as_ref().unwrap();
    assert_eq!(history.not_placed(), ["lost-2020"]);
    assert!(!history.never_exposed.is_empty());
    let drawings = figures::drawings(&examined);
    let maps = drawings.iter().filter(|drawing| drawing.group == Group::History).count();
    assert!(maps > 1, "{maps}");
    let inputs = inputs(&examined, &drawings, &[]);
    typeset_and_judge(&inputs, "history");
    let data = String::from_utf8(data_of(&inputs)).unwrap();
    let data: serde_json::Value = serde_json::from_str(&data).unwrap();
    // The introduction, and then a table of the dockings.
    let dockings = &section(&data, "history").unwrap()["blocks"][1];
    assert_eq!(dockings["columns"][0]["head"], "Docking");
    assert_eq!(dockings["rows"].as_array().map(Vec::len), Some(3));
    assert!(points_to(section(&data, "next-team").unwrap(), "history"));
    assert!(section(&data, "next-team").unwrap().to_string().contains("lost-2020"));
}

#[test]
fn without_earlier_dockings_there_is_no_section_of_them() {
    let store = Memory::new(&[("docking.toml", BARE), ("plan/blocks.csv", ONE_BLOCK)]);
    let examined = examined(&store, Problems::default());
    let inputs = inputs(&examined, &[], &[]);
    let data = data_of(&inputs);
    let data: serde_json::Value = serde_json::from_slice(&data).unwrap();
    assert!(section(&data, "history").is_none());
    assert!(!points_to(section(&data, "next-team").unwrap(), "history"));
    assert!(figures::drawings(&examined).iter().all(|drawing| drawing.group != Group::History));
}
