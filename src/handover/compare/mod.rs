//! Two dockings of one ship side by side: what of her changed, what both left under blocks, how the blocks
//! bore, how fast she wears, what was painted, and what nobody has answered.

mod blocks;
mod coating;
mod findings;
mod footprints;
mod openings;
pub mod pages;
mod plating;
mod shared;
mod ship;

use chrono::NaiveDate;
use serde::Serialize;

pub use blocks::{BlockPair, BlockSide, PositionPair, Positions};
pub use coating::{Coat, FilmRead, Painted, Zone, Zones};
pub use findings::{FindingChanged, FindingNow, FindingThen, Findings, Unanswered};
pub use footprints::{Areas, Footprints, Piece, Shapes};
pub use openings::{Changed, Moved, Openings, Recorded, Renamed};
pub use plating::{Gauged, Plating, Strake, Wear};
pub use ship::{Change, Datum};

use crate::bundle::verify::Fixity;
use crate::findings::Examined;
use crate::pages::Section;
use crate::pages::errata::{self, Correction, corrections};
use crate::pages::later::{self, Later};
use crate::report::figures::{Drawing, Overlaid, pressures, two_dockings, wastage};
use crate::text;
use crate::text::{System, Text, id, strong};

/// Findings that the first page tells in their own words.
const MOST_TOLD: usize = 5;

/// The version of the comparison as JSON.
pub const FORMAT: u32 = 1;

/// A docking that is to be compared.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its records, and what comes out of them.
    pub examined: &'a Examined,
    /// What fixity says of the bundle that it comes from; `None` for a project.
    pub bundle: Option<&'a Fixity>,
    /// The supplements to that bundle, those that were given.
    pub supplements: &'a [Later],
}

/// Two dockings side by side. Lengths in m, areas in m2, x forward of the stern reference point and y to port
/// of the centreline; what was not recorded is null.
#[derive(Debug, Serialize)]
pub struct Comparison {
    /// The version of this form, 1.
    pub format: u32,
    /// Program and version that compared.
    pub program: String,
    /// Whether both are dockings of one ship, by her name.
    pub same_ship: bool,
    /// Whether the older is the earlier of the two; null where a day is not recorded.
    pub in_order: Option<bool>,
    /// Years from the first day of the older to that of the newer.
    #[serde(serialize_with = "shared::maybe")]
    pub years_between: Option<f64>,
    /// Reasons to distrust the comparison, in sentences; the most serious first.
    pub warnings: Vec<String>,
    /// The older docking.
    pub older: Docking,
    /// The newer docking.
    pub newer: Docking,
    /// The supplements that were given to either bundle.
    pub supplements: Vec<Later>,
    /// What they, and those in the newer project's history, say is wrong in either record.
    pub corrections: Vec<Correction>,
    /// The ship's own data.
    pub ship: Vec<Datum>,
    /// Her openings.
    pub openings: Openings,
    /// What stood on blocks.
    pub footprints: Footprints,
    /// Gaps and block loads, a position of the older against one of the newer.
    pub blocks: Positions,
    /// Rates at which the plating is lost.
    pub plating: Plating,
    /// Scheme and film of each zone.
    pub coating: Zones,
    /// Findings that come out otherwise, and those that nobody has answered.
    pub findings: Findings,
    /// The units in which the older and the newer record are shown; those of the newer hold for the comparison.
    #[serde(skip)]
    pub units: [System; 2],
}

/// The numbers of the drawings among those of a document.
#[derive(Debug, Clone, Copy, Default)]
pub struct Drawn {
    /// What stood on blocks.
    pub overlay: Option<usize>,
    /// What plates lost.
    pub wastage: Option<usize>,
    /// Pressures on the blocks.
    pub pressures: Option<usize>,
}

/// One of the two dockings.
#[derive(Debug, Clone, Serialize)]
pub struct Docking {
    /// Its name.
    pub name: String,
    /// The ship's name.
    pub ship: String,
    /// The dock.
    pub dock: String,
    /// Where it is.
    pub place: Option<String>,
    /// First day.
    pub began: Option<NaiveDate>,
    /// Last day.
    pub ended: Option<NaiveDate>,
    /// `whole` or `damaged` for a bundle; null for a project.
    pub fixity: Option<&'static str>,
    /// The bundle's seal.
    pub seal: Option<String>,
}

/// What supplements that were given, and those to the older docking's bundle that the newer project keeps, say is wrong.
fn corrections_of(older: &Side<'_>, newer: &Side<'_>) -> Vec<Correction> {
    let seal = older.bundle.and_then(|fixity| fixity.seal.as_ref());
    let history = newer.examined.project.history.iter();
    let is_older = |correction: &Correction| {
        let mut of = history.clone().filter(|past| past.source.name == correction.docking);
        of.any(|past| match (seal, &past.source.seal) {
            (Some(seal), Some(kept)) => seal == kept,
            _ => past.source.name == older.name,
        })
    };
    let kept = corrections(&newer.examined.project.history).into_iter().filter(is_older);
    let mut given: Vec<Correction> = [older, newer]
        .into_iter()
        .flat_map(|side| side.supplements)
        .flat_map(|one| one.corrections.clone())
        .collect();
    // Whatever is kept comes before what is only given, since a line is kept from its beginning.
    let mut all: Vec<Correction> = Vec::new();
    for correction in kept {
        let same = given.iter().position(|other| other.is_same_erratum(&correction));
        all.push(same.map_or(correction, |at| given.remove(at)));
    }
    all.extend(given);
    errata::supersede(&mut all);
    all
}

impl Docking {
    fn new(side: &Side<'_>) -> Self {
        let docking = &side.examined.project.docking;
        let fixity = |fixity: &Fixity| if fixity.is_whole() { "whole" } else { "damaged" };
        Self {
            name: side.name.to_string(),
            ship: docking.ship.name.clone(),
            dock: docking.dock.name.clone(),
            place: docking.dock.location.clone(),
            began: docking.period.0,
            ended: docking.period.1,
            fixity: side.bundle.map(fixity),
            seal: side.bundle.and_then(|fixity| fixity.seal.clone()),
        }
    }

    /// A day that stands for it: its first, else its last.
    fn day(&self) -> Option<NaiveDate> {
        self.began.or(self.ended)
    }
}

/// Compares two dockings, and also returns the shapes that the drawing shows.
pub fn compare(older: &Side<'_>, newer: &Side<'_>, program: &str) -> (Comparison, Shapes) {
    let (was, is) = (Docking::new(older), Docking::new(newer));
    let days = was.day().zip(is.day()).map(|(was, is)| (is - was).num_days());
    let same_ship = ship::same_name(&was.ship, &is.ship);
    let in_order = days.map(|days| days >= 0);
    let years_between = days.map(crate::calc::years);
    let (footprints, shapes) = footprints::compare(older.examined, newer.examined);
    let comparison = Comparison {
        format: FORMAT,
        program: program.to_string(),
        same_ship,
        in_order,
        years_between,
        warnings: warnings(older, newer, &was, &is, same_ship, in_order),
        ship: ship::compare(older.examined, newer.examined),
        openings: openings::compare(older.examined, newer.examined),
        footprints,
        blocks: blocks::compare(older.examined, newer.examined),
        plating: plating::compare(older.examined, newer.examined, years_between),
        coating: coating::compare(older.examined, newer.examined),
        supplements: [older, newer].map(|side| side.supplements).concat(),
        corrections: corrections_of(older, newer),
        findings: findings::compare(older.examined, newer.examined),
        units: [older, newer].map(|side| side.examined.project.docking.units),
        older: was,
        newer: is,
    };
    (comparison, shapes)
}

fn warnings(
    older: &Side<'_>,
    newer: &Side<'_>,
    was: &Docking,
    is: &Docking,
    same_ship: bool,
    in_order: Option<bool>,
) -> Vec<String> {
    let mut warnings = Vec::new();
    if !same_ship {
        warnings.push(format!(
            "These records name two ships, {} and {}: the comparison holds only if both are names of one ship.",
            was.ship, is.ship
        ));
    }
    match in_order {
        Some(true) => {}
        Some(false) => warnings.push(format!(
            "{} was docked later than {}: name the older docking first. They are compared in the order given, \
             and there is no rate where the gauging then is the later one.",
            was.name, is.name
        )),
        None => warnings.push(
            "Which docking came first is not recorded: a [period] is missing in docking.toml. They are \
             compared in the order given."
                .to_string(),
        ),
    }
    for docking in [was, is].into_iter().filter(|docking| docking.fixity == Some("damaged")) {
        warnings.push(format!(
            "The bundle of {} is damaged: figures from it may rest on changed records.",
            docking.name
        ));
    }
    warnings.extend(ship::axes(older.examined, newer.examined));
    warnings
}

impl Comparison {
    pub fn title(&self) -> String {
        let (was, is) = (&self.older.ship, &self.newer.ship);
        match self.same_ship {
            true => format!("Two dockings of {is}"),
            false => format!("A docking of {was} and one of {is}"),
        }
    }

    /// Which docking is meant by then, and which by now.
    pub fn dockings(&self) -> Vec<(&'static str, String)> {
        let describe = |docking: &Docking| {
            let place =
                docking.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
            let days = text::period((docking.began, docking.ended))
                .unwrap_or_else(|| "days not recorded".to_string());
            let fixity = match docking.fixity {
                Some("whole") => "; bundle whole",
                Some(_) => "; bundle damaged",
                None => "; a project, not a bundle",
            };
            format!("{}: {}{place}; {days}{fixity}", docking.name, docking.dock)
        };
        let years = self.years_between.filter(|years| *years > 0.0);
        let years = years.map(|years| ("between", format!("{} years", text::number(years, 1))));
        let then_and_now = [("then", describe(&self.older)), ("now", describe(&self.newer))];
        then_and_now.into_iter().chain(years).collect()
    }

    /// In which units figures are given, where the two records are not shown in the same.
    pub fn units_note(&self) -> Option<Text> {
        let [was, is] = self.units;
        let named = |system: System| match system {
            System::Si => "SI units",
            System::Us => "US units",
        };
        (was != is).then(|| {
            text!(
                "The report of {} is in {} and that of {} in {}; all figures here are in {}, as in the newer.",
                id(&self.older.name),
                named(was),
                id(&self.newer.name),
                named(is),
                named(is)
            )
        })
    }

    /// What came out of each subject, in a line, and what no longer agrees, in its own words.
    pub fn in_short(&self, sections: &[Section]) -> Section {
        let mut short = Section::new("What changed");
        short.list(sections.iter().map(|section| {
            let lead = section.lead_paragraph().cloned().unwrap_or_default();
            text!("{}: {}", strong(section.title.shown(self.units[1])), lead)
        }));
        let worse: Vec<&FindingChanged> =
            self.findings.changed.iter().filter(|one| one.is_worse).collect();
        if !worse.is_empty() {
            short.lead(text!(
                "What agreed then, and now differs or is beyond a limit, the heaviest first:"
            ));
            let told = worse.iter().take(MOST_TOLD).map(|one| one.sentence.clone());
            let more = worse.len().saturating_sub(MOST_TOLD);
            let more = (more > 0).then(|| text!("{} more, in the section on findings.", more));
            short.list(told.chain(more));
        }
        short
    }

    /// What can’t be compared, or not surely, and why.
    pub fn not_compared(&self) -> Section {
        let mut section = Section::new("What can\u{2019}t be compared, and why");
        let openings = openings::not_compared(&self.openings).map(Text::from);
        let subjects = [
            ("Bottom under blocks", footprints::not_compared(&self.footprints)),
            ("Openings", openings.into_iter().collect()),
            ("Plating", plating::not_compared(&self.plating)),
            ("Gaps and block loads", blocks::not_compared(&self.blocks)),
            ("Coating", coating::not_compared(&self.coating)),
            ("Findings", findings::not_compared(&self.findings)),
        ];
        let said = subjects.into_iter().filter(|(_, said)| !said.is_empty());
        let said: Vec<Text> = said
            .map(|(subject, said)| text!("{}: {}", strong(subject), Text::joined(said, " ")))
            .collect();
        if said.is_empty() {
            section.paragraph("Each of the subjects below could be compared.");
        }
        section.list(said);
        section
    }

    /// Every subject, what came out in its first paragraph, with the drawings where they belong.
    pub fn sections(&self, drawn: Drawn) -> Vec<Section> {
        let names = [self.older.name.as_str(), self.newer.name.as_str()];
        let mut corrected = Section::new("What supplements say of these records");
        if !(self.supplements.is_empty() && self.corrections.is_empty()) {
            let counts = |one: &&Correction| one.superseded_by.is_none() && one.of.is_none();
            let values = self.corrections.iter().filter(counts).count();
            let rows = self.supplements.iter().map(|one| one.rows.len()).sum();
            let added =
                (rows > 0).then(|| format!(" and add {}", text::count(rows, "row", "rows")));
            corrected.paragraph(text!(
                "Supplements that came later correct {}{}. Nothing below is worked out from what they say.",
                text::count(values, "value of the record", "values of the record"),
                added.unwrap_or_default()
            ));
        }
        later::list(&mut corrected, &self.supplements);
        errata::show(&mut corrected, &self.corrections);
        later::added(&mut corrected, &self.supplements);
        let compared = vec![
            footprints::section(&self.footprints, names, drawn.overlay),
            openings::section(&self.openings),
            plating::section(&self.plating, drawn.wastage),
            blocks::section(&self.blocks, drawn.pressures),
            coating::section(&self.coating),
            findings::section(&self.findings),
            ship::section(&self.ship),
        ];
        let corrected = (!corrected.blocks.is_empty()).then_some(corrected);
        corrected.into_iter().chain(compared).collect()
    }

    /// The drawings, and where they stand among them.
    pub fn drawings(&self, shapes: &Shapes, newer: &Side<'_>) -> (Vec<Drawing>, Drawn) {
        let overlaid = Overlaid {
            names: [&self.older.name, &self.newer.name],
            under_blocks: [&shapes.older, &shapes.newer],
            never: &shapes.never,
        };
        let mut drawings = Vec::new();
        let mut placed = |drawing: Option<Drawing>| {
            drawings.push(drawing?);
            Some(drawings.len() - 1)
        };
        let drawn = Drawn {
            overlay: placed(two_dockings(newer.examined, &overlaid)),
            wastage: placed(wastage(newer.examined, &plating::wasted(&self.plating))),
            pressures: placed(pressures(self.units[1], &blocks::pressed(&self.blocks))),
        };
        (drawings, drawn)
    }
}

#[cfg(test)]
mod tests;
