//! The page of the day: what a moment of the docking asks of those who work at it.

use super::{Cell, Column, Section, Table};
use crate::findings::Examined;
use crate::findings::coating::windows::why_none;
use crate::findings::day::{Day, Dry, Open, Person, Recoat, Unknown};
use crate::findings::progress::AID;
use crate::records::openings::Opened;
use crate::text;
use crate::text::{Form, Text, id};

/// The section's anchor.
pub const ANCHOR: &str = "day";

/// Of the coats that wait for the next, how many are shown.
const MOST_RECOATS: usize = 8;

/// What is not seen in any list made of records.
const UNSEEN: &str = "What nobody has written down yet is not here: ask before you rely on it.";

/// What waits until the coats may meet the water says nothing of.
const NOT_FLOODING: &str = "This is the coats\u{2019} least time to immersion and nothing else. Whether the dock may be \
flooded is for the dockmaster, with every opening seen to by somebody on the spot.";

/// The section.
pub fn section(examined: &Examined, day: &Day<'_>) -> Section {
    let mut section = Section::new(text!("The day, as of {}", day.as_of)).at(ANCHOR);
    if let Some(latest) = day.latest {
        section.paragraph(text!(
            "The latest time in the records, at {}, papers apart. {} {}",
            text::source(latest.to_string()),
            AID,
            UNSEEN
        ));
    } else {
        section.paragraph(text!("{} {}", AID, UNSEEN));
    }
    section.part("Openings that are open");
    openings(&mut section, &day.open, "No opening is recorded as opened and not closed by then.");
    section.part("Water not before");
    water(examined, day.dry.as_ref(), &mut section);
    if day.dry.is_some() {
        section.part("Recoat windows, the next to close first");
        recoats(&day.recoats, &mut section);
    }
    section.part(text!("Recorded on {}", day.day));
    if day.recorded.is_empty() {
        section.paragraph("Nothing in the records is dated on this day.");
    }
    let columns = [Column::name("File"), Column::figure("Rows dated on this day")];
    let rows = day
        .recorded
        .iter()
        .map(|(file, rows)| -> [Cell; 2] { [text::code(file.as_str()).into(), (*rows).into()] });
    section.table(Table::new(columns).rows(rows));
    section
}

/// What the records hold of one person.
pub fn of_person(name: &str, person: &Person<'_>) -> Section {
    let mut section = Section::new(text!("What the rows of {} leave open", name.to_string()));
    section.paragraph(text!(
        "{}. {} {}",
        text::count(person.rows, "row names this person", "rows name this person"),
        AID,
        UNSEEN
    ));
    section.part("Openings opened and not closed");
    openings(
        &mut section,
        &person.open,
        "No opening that this person opened is recorded without its closing. Others may be open.",
    );
    section.part("Coats begun and not finished");
    if person.unfinished.is_empty() {
        section.paragraph("No application under this name is recorded without a finish.");
    }
    let columns = [Column::name("Application"), Column::name("Begun"), Column::text("Zone")];
    section.table(Table::new(columns).rows(person.unfinished.iter().map(|coat| -> [Cell; 3] {
        [id(&coat.name).into(), coat.began.into(), id(&coat.zone).into()]
    })));
    section.part("Findings without an answer that follow from these rows");
    if person.findings.is_empty() {
        section.paragraph("No finding that follows from these rows waits for an answer.");
    }
    let findings = person.findings.iter();
    section.terms(findings.map(|finding| (id(&finding.id).into(), finding.sentence.clone())));
    section
}

fn openings(section: &mut Section, open: &[&Opened], none: &'static str) {
    let rows = open.iter().map(|opened| -> [Cell; 3] {
        [id(&opened.opening).into(), opened.opened_at.into(), opened.opened_by.as_deref().into()]
    });
    let columns = [Column::name("Opening"), Column::name("Opened"), Column::text("By")];
    let table = Table::new(columns).rows(rows);
    if table.rows.is_empty() {
        section.paragraph(none);
    }
    section.table(table);
}

fn water(examined: &Examined, dry: Option<&Dry>, section: &mut Section) {
    let Some(dry) = dry else {
        section.paragraph("By the records the dock is not dry at this time.");
        return;
    };
    if dry.cures.is_empty() {
        section.paragraph("No coat is recorded since the dock was last dry.");
        return;
    }
    let product = |application: &str| {
        let coat = examined.project.coats.iter().find(|coat| coat.name == application);
        coat.map_or("", |coat| coat.product.as_str())
    };
    match dry.last() {
        Some(last) => {
            section.paragraph(text!(
                "{}: {} of {}, by its product\u{2019}s least time to immersion.",
                last.from.map_or_else(Text::new, |at| text!("{}", at)),
                id(&last.application),
                product(&last.application).to_string()
            ));
        }
        None => {
            let unknown = dry.cures.iter().filter(|cure| cure.from.is_none());
            let unknown: Vec<Text> = unknown.map(|cure| id(&cure.application).into()).collect();
            section.paragraph(text!(
                "Not known: of {} the finish or the product\u{2019}s least time to immersion is not recorded.",
                Text::listed(unknown)
            ));
        }
    }
    section.paragraph(NOT_FLOODING);
}

fn recoats(recoats: &[Recoat<'_>], section: &mut Section) {
    if recoats.is_empty() {
        section.paragraph(
            "No coat recorded since the dock was last dry has another over it in its zone\u{2019}s scheme.",
        );
        return;
    }
    section.paragraph(
        "By each product\u{2019}s recoat table, at the coldest and the warmest steel read since the coat was begun. \
         Steel that gets colder or warmer moves a window; the product\u{2019}s data sheet and the inspector decide.",
    );
    let columns = [
        Column::name("Coat"),
        Column::name("Next"),
        Column::name("Not before"),
        Column::name("Finished by"),
        Column::text("Steel"),
    ];
    let rows = recoats.iter().map(|recoat| -> [Cell; 5] {
        let next = text!("{} {}", recoat.next.coat, recoat.next.product.as_str());
        let coat: Cell = id(&recoat.coat.name).into();
        match recoat.window {
            Ok(Open { from, to, steel_c: (cold, warm) }) => {
                let until =
                    to.map_or(Cell::from("no end in the table"), |to| text!("{}", to).into());
                let [cold, warm] = [cold, warm].map(|c| Form::Temperature.measure(c));
                let steel: Text =
                    if cold == warm { cold.into() } else { text::range(cold, warm).into() };
                [coat, next.into(), text!("{}", from).into(), until, steel.into()]
            }
            Err(unknown) => {
                let why = match unknown {
                    Unknown::NoTimes => "its beginning or its finish is not recorded",
                    Unknown::Window(why) => why_none(why),
                };
                let why = text!("not known: {}", why);
                [coat, next.into(), Cell::DoesNotApply, Cell::DoesNotApply, why.into()]
            }
        }
    });
    section.table(Table::new(columns).rows(rows).cut(MOST_RECOATS, "coating/coats.csv"));
}
