//! The seal sheet: one page to be printed, signed and kept away from the bundle. It may outlive everything else, so it
//! carries what the docking left for the next as well. Whatever somebody wrote is cut to a length at which the page
//! holds it, and the template leaves out what has no room after that.

use serde::Serialize;

use super::error::ReportError;
use super::figures::{self, ENLARGED, Room};
use super::pdf::Stamp;
use super::template::typeset_as;
use crate::calc::exposure::Piece;
use crate::findings::Examined;
use crate::findings::shifts::sentences;
use crate::pages::pieces;
use crate::records::docking::{Closeout, Paper};
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Text, count, id, shortened};
use crate::words::cautions;

/// The file whose SHA-256 is the seal.
const SEALED: &str = "tagmanifest-sha256.txt";

/// How to compute the SHA-256 of a file on each system: its name, and the command without the file.
const COMMANDS: [(&str, [&str; 2]); 4] = [
    ("Windows PowerShell", ["Get-FileHash -Algorithm SHA256 ", ""]),
    ("Windows cmd", ["certutil -hashfile ", " SHA256"]),
    ("macOS Terminal", ["shasum -a 256 ", ""]),
    ("Linux shell", ["sha256sum ", ""]),
];

/// The commands that compute the seal, each behind its system.
pub fn seal_commands() -> impl Iterator<Item = (&'static str, String)> {
    COMMANDS.iter().map(|(system, [before, after])| (*system, format!("{before}{SEALED}{after}")))
}

/// What to do when a seal is not the one that was written down, point by point, for the bundle `NAME`.
pub const WHEN_IT_DIFFERS: [&str; 5] = [
    "Compare again, four by four. Capitals and spaces do not matter.",
    "Take nothing from that copy for evidence until it is explained.",
    "Look for another copy, and check that.",
    "Mend a copy, with its recovery data: lastdock mend NAME.zip or par2 repair NAME.zip.par2.",
    "Overwrite and delete nothing; write down what was found, when, by whom.",
];

/// The longest texts of people that are printed, in characters: a name, and a sentence.
const LONGEST_NAME: usize = 60;
const LONGEST_SENTENCE: usize = 180;
/// Positions and pieces that are named.
const MOST_POSITIONS: usize = 4;
const MOST_PIECES: usize = 3;
/// Width of the code and of the plan, mm; height of the hull in the plan at most.
const CODE_MM: f64 = 36.0;
const PLAN_MM: f64 = 182.0;
const HULL_MM: f64 = 14.0;

/// What is known once a bundle is sealed.
#[derive(Debug)]
pub struct Sealed<'a> {
    /// The seal, 64 hexadecimal digits.
    pub seal: &'a str,
    /// Files in the payload.
    pub files: usize,
    /// Bytes in the payload.
    pub bytes: u64,
    /// Name of the page for a browser beside the bundle, and its SHA-256.
    pub page: (&'a str, String),
}

/// The name of the sheet beside the bundle.
pub fn file(closeout: &Closeout) -> String {
    format!("{}-seal.pdf", closeout.bundle_name)
}

#[derive(Serialize)]
struct Sheet {
    document: Document,
    paper: &'static str,
    ship: String,
    dock: String,
    statement: Option<String>,
    bundle: String,
    facts: Vec<(&'static str, Option<String>)>,
    /// The seal in groups of four, in rows.
    seal: Vec<Vec<String>>,
    commands: Vec<(&'static str, String)>,
    page: (String, String),
    when_it_differs: Vec<String>,
    positions: Vec<String>,
    never_exposed: Vec<String>,
    /// Where to put her next time: all that is said, then less of it, the last without any.
    next_time: Vec<Vec<String>>,
    before_use: String,
    caution: &'static str,
    enlarged: f64,
    has_plan: bool,
    foot: String,
}

/// What the PDF says of itself.
#[derive(Serialize)]
struct Document {
    title: String,
    author: String,
    about: String,
}

/// Typesets the sheet as PDF/A-3a and PDF/UA-1.
pub fn typeset_seal_sheet(
    examined: &Examined,
    closeout: &Closeout,
    sealed: &Sealed<'_>,
    program: &str,
) -> Result<Vec<u8>, ReportError> {
    let docking = &examined.project.docking;
    let archive = &docking.archive;
    let name = |text: &str| shortened(text, LONGEST_NAME);
    let bundle = &closeout.bundle_name;
    let fours = text::grouped(sealed.seal, 4);
    let recomputed = &examined.recomputed;
    let room =
        Room { width_mm: PLAN_MM, hull_mm: HULL_MM, names_openings: false, units: docking.units };
    let alt = format!("QR code of the seal as it stands beside it: {}", fours.join(" "));
    let mut drawings = Vec::from_iter(figures::qr_code("seal", sealed.seal, &alt, CODE_MM));
    if drawings.is_empty() {
        return Err(ReportError::ours("The seal fits no QR code.".to_string()));
    }
    let plan = recomputed.never_exposed().filter(|_| !recomputed.never_exposed.is_empty());
    let plan = plan.and_then(|_| {
        figures::never_exposed_small(&examined.project, &recomputed.never_exposed, &room)
    });
    let has_plan = plan.is_some();
    drawings.extend(plan);
    let whom = [
        &archive.contact,
        &archive.contact_email,
        &archive.contact_telephone,
        &archive.contact_address,
    ];
    let whom: Vec<String> = whom.into_iter().flatten().map(|part| name(part)).collect();
    let size = format!(
        "{}, {} bytes, and the bag\u{2019}s own lists",
        count(sealed.files, "file", "files"),
        text::bytes(sealed.bytes)
    );
    let facts = vec![
        ("Bundle", Some(size)),
        (
            "Ship",
            Some(match archive.identifier_of_ship() {
                Some(number) => format!("{}, {}", name(&docking.ship.name), name(&number)),
                None => name(&docking.ship.name),
            }),
        ),
        (
            "Dock",
            Some(match &docking.dock.location {
                Some(place) => format!("{}, {}", name(&docking.dock.name), name(place)),
                None => name(&docking.dock.name),
            }),
        ),
        ("Docked", text::period(docking.period)),
        (
            "Closed by",
            Some(format!("{}, {}", name(&closeout.prepared_by), text::day(closeout.prepared_on))),
        ),
        ("Whom to ask", (!whom.is_empty()).then(|| whom.join(", "))),
        ("Who takes over", archive.successor.as_deref().map(name)),
    ];
    let sheet = Sheet {
        document: Document {
            title: format!("Seal of the docking record of {}", name(&docking.ship.name)),
            author: name(&closeout.prepared_by),
            about: format!(
                "The seal of the bundle {bundle}.zip, to be printed and kept away from it."
            ),
        },
        paper: match docking.paper {
            Paper::A4 => "a4",
            Paper::UsLetter => "us-letter",
        },
        ship: name(&docking.ship.name),
        dock: name(&docking.dock.name),
        statement: archive.statement().map(|said| shortened(said, LONGEST_SENTENCE)),
        bundle: bundle.clone(),
        facts,
        seal: fours.chunks(4).map(<[String]>::to_vec).collect(),
        commands: seal_commands().collect(),
        page: (sealed.page.0.to_string(), text::grouped(&sealed.page.1, 4).join(" ")),
        when_it_differs: WHEN_IT_DIFFERS.iter().map(|said| said.replace("NAME", bundle)).collect(),
        positions: positions(examined),
        never_exposed: never_exposed(examined),
        next_time: next_time(examined),
        before_use: format!("{} {}", sentences::CAUTIONS[0], sentences::BEFORE_USE),
        caution: cautions::SHORT,
        enlarged: ENLARGED,
        has_plan,
        foot: format!("{} \u{b7} {program}", file(closeout)),
    };
    let file = file(closeout);
    let stamp = Stamp { ident: file.trim_end_matches(".pdf"), on: closeout.prepared_on, program };
    typeset_as("seal.typ", &sheet, &drawings, &stamp)
}

/// Where she lay in each position, as recorded.
fn positions(examined: &Examined) -> Vec<String> {
    let system = examined.project.docking.units;
    let all = &examined.project.positions;
    let said = |position: &Position| {
        let place = match (position.recorded_srp_station_m, position.recorded_offset_m) {
            (None, None) => text!("where she lay is not recorded"),
            (station, offset) => {
                let length = |m: Option<f64>| match m {
                    Some(m) => Text::from(Form::Length.measure(m)),
                    None => text!("not recorded"),
                };
                text!("station {}, offset {}", length(station), length(offset))
            }
        };
        let name = shortened(&position.id, LONGEST_NAME / 2);
        text!("{}: {}", id(name), place).shown(system)
    };
    let mut lines: Vec<String> = all.iter().take(MOST_POSITIONS).map(said).collect();
    match all.len().checked_sub(MOST_POSITIONS) {
        Some(more) if more > 0 => lines.push(format!("and {more} more, in the report.")),
        _ if all.is_empty() => lines.push("No docking position is recorded.".to_string()),
        _ => {}
    }
    lines
}

/// How much of the bottom no position exposed, and where the largest pieces of it are.
fn never_exposed(examined: &Examined) -> Vec<String> {
    let system = examined.project.docking.units;
    let Some(area) = examined.recomputed.never_exposed() else {
        return vec!["Not recorded: not every position can be placed.".to_string()];
    };
    let pieces = &examined.recomputed.never_exposed;
    if pieces.is_empty() {
        let none = "None: all of the bottom was free of blocks in one position or another.";
        return vec![none.to_string()];
    }
    let mut by_area: Vec<(usize, &Piece)> = pieces.iter().enumerate().collect();
    by_area.sort_by(|a, b| b.1.area_m2.total_cmp(&a.1.area_m2));
    let whole = text!(
        "{} in {}, under blocks in every position, and so neither blasted nor painted.",
        area,
        count(pieces.len(), "piece", "pieces")
    );
    let piece = |(number, piece): &(usize, &Piece)| {
        let letter = figures::letter(*number);
        text!("{}: {}, {}", id(letter), pieces::place(piece.extent), pieces::area(piece.area_m2))
    };
    let named = by_area.iter().take(MOST_PIECES).map(piece);
    let mut lines: Vec<String> =
        std::iter::once(whole).chain(named).map(|line| line.shown(system)).collect();
    if let Some(more) = pieces.len().checked_sub(MOST_PIECES).filter(|more| *more > 0) {
        lines.push(format!("and {} more, in the report.", count(more, "piece", "pieces")));
    }
    lines
}

/// What the report tells the next team, ever less of it.
fn next_time(examined: &Examined) -> Vec<Vec<String>> {
    let system = examined.project.docking.units;
    let said = |texts: Vec<Text>| texts.iter().map(|text| text.shown(system)).collect::<Vec<_>>();
    let mut ways = match examined.shift_to_choose() {
        Ok(told) => vec![said(sentences::brief(told)), said(sentences::next_time(told))],
        Err(why) => vec![vec![format!("No shift can be named. {why}")]],
    };
    ways.retain(|said| !said.is_empty());
    ways.dedup();
    ways.push(Vec::new());
    ways
}
