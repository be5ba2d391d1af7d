//! The openings, then and now, by their names.

use serde::Serialize;

use super::shared::{self, only_in};
use crate::findings::Examined;
use crate::hull::Outline;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::openings::Opening;
use crate::text;
use crate::text::{Form, Measure, Text, count, id};

/// An opening whose centre is recorded no farther off has not moved, m: what measuring from frames gives
/// (our choice).
pub const MOVED_M: f64 = 0.05;

/// Rounding of places that are written in decimals, m.
const SLACK_M: f64 = 1e-9;

/// Sizes that differ by no more are the same, m (our choice).
const SAME_SIZE_M: f64 = 0.01;

/// The openings of both dockings.
#[derive(Debug, Clone, Serialize)]
pub struct Openings {
    /// How many were recorded then.
    pub older: usize,
    /// How many are recorded now.
    pub newer: usize,
    /// A centre that lies farther off than this has moved, m.
    #[serde(serialize_with = "shared::plain")]
    pub moved_by_more_than_m: f64,
    /// How many are as they were.
    pub unchanged: usize,
    /// Recorded now and not then. Empty, as all lists here, where one docking records no opening at all.
    pub added: Vec<Recorded>,
    /// Recorded then and not now.
    pub removed: Vec<Recorded>,
    /// Under another name, but of the same kind, place and size.
    pub renamed: Vec<Renamed>,
    /// At another place.
    pub moved: Vec<Moved>,
    /// Of another kind, size or the like.
    pub changed: Vec<Changed>,
}

/// An opening of one docking only.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Recorded {
    /// The opening.
    pub opening: String,
    /// Its kind.
    pub kind: String,
    /// x of its centre, m.
    #[serde(serialize_with = "shared::plain")]
    pub x_m: f64,
    /// y of its centre, m.
    #[serde(serialize_with = "shared::plain")]
    pub y_m: f64,
    /// Its size in words.
    pub size: Text,
    /// Its state as recorded.
    pub state: Option<String>,
}

/// An opening that has another name.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Renamed {
    /// Its name then.
    pub older: String,
    /// Its name now.
    pub newer: String,
}

/// An opening at another place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Moved {
    /// The opening.
    pub opening: String,
    /// x of its centre then, m.
    #[serde(serialize_with = "shared::plain")]
    pub older_x_m: f64,
    /// y of its centre then, m.
    #[serde(serialize_with = "shared::plain")]
    pub older_y_m: f64,
    /// x of its centre now, m.
    #[serde(serialize_with = "shared::plain")]
    pub newer_x_m: f64,
    /// y of its centre now, m.
    #[serde(serialize_with = "shared::plain")]
    pub newer_y_m: f64,
    /// The distance, m.
    #[serde(serialize_with = "shared::plain")]
    pub by_m: f64,
}

/// Something of an opening that is not as it was.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Changed {
    /// The opening.
    pub opening: String,
    /// What of it.
    pub what: &'static str,
    /// Then.
    pub older: Option<Text>,
    /// Now.
    pub newer: Option<Text>,
}

impl Openings {
    /// Whether both dockings record openings, so that they can be compared.
    pub fn are_compared(&self) -> bool {
        self.older > 0 && self.newer > 0
    }
}

pub(super) fn compare(older: &Examined, newer: &Examined) -> Openings {
    let (was, is) = (&older.project.openings, &newer.project.openings);
    let mut out = Openings {
        older: was.len(),
        newer: is.len(),
        moved_by_more_than_m: MOVED_M,
        unchanged: 0,
        added: Vec::new(),
        removed: Vec::new(),
        renamed: Vec::new(),
        moved: Vec::new(),
        changed: Vec::new(),
    };
    if !out.are_compared() {
        return out;
    }
    let mut gone: Vec<&Opening> = only_in(was, is, |opening| &opening.id).collect();
    for now in is {
        let Some(then) = was.iter().find(|then| then.id == now.id) else {
            match gone.iter().position(|then| is_the_same(then, now)) {
                Some(at) => {
                    let then = gone.remove(at);
                    out.renamed.push(Renamed { older: then.id.clone(), newer: now.id.clone() });
                }
                None => out.added.push(recorded(now)),
            }
            continue;
        };
        let by_m = apart_m(then, now);
        let moved = by_m > MOVED_M + SLACK_M;
        let changes = changes(then, now);
        if !moved && changes.is_empty() {
            out.unchanged += 1;
        }
        if moved {
            out.moved.push(Moved {
                opening: now.id.clone(),
                older_x_m: then.centre.x,
                older_y_m: then.centre.y,
                newer_x_m: now.centre.x,
                newer_y_m: now.centre.y,
                by_m,
            });
        }
        out.changed.extend(changes);
    }
    out.removed = gone.into_iter().map(recorded).collect();
    out
}

fn apart_m(one: &Opening, other: &Opening) -> f64 {
    libm::hypot(one.centre.x - other.centre.x, one.centre.y - other.centre.y)
}

fn is_the_same(then: &Opening, now: &Opening) -> bool {
    then.kind == now.kind
        && apart_m(then, now) <= MOVED_M + SLACK_M
        && same_size(&then.outline, &now.outline)
}

fn same_size(one: &Outline, other: &Outline) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SAME_SIZE_M + SLACK_M;
    match (one, other) {
        (Outline::Round { diameter_m: a, .. }, Outline::Round { diameter_m: b, .. }) => {
            near(*a, *b)
        }
        (Outline::Rectangular(a), Outline::Rectangular(b)) => {
            near(a.length_m, b.length_m) && near(a.width_m, b.width_m)
        }
        _ => false,
    }
}

/// What of an opening differs, apart from its place. Its state belongs to one docking and is not compared.
fn changes(then: &Opening, now: &Opening) -> Vec<Changed> {
    let metres = |value: Option<f64>| value.map(|value_m| Form::Length.measure(value_m).into());
    let words = |value: &Option<String>| value.as_ref().map(Text::from);
    let all = [
        ("kind", Some(Text::from(&then.kind)), Some(Text::from(&now.kind)), then.kind == now.kind),
        (
            "size",
            Some(size(&then.outline)),
            Some(size(&now.outline)),
            same_size(&then.outline, &now.outline),
        ),
        ("side", words(&then.side), words(&now.side), then.side == now.side),
        ("z", metres(then.z_m), metres(now.z_m), near(then.z_m, now.z_m, MOVED_M)),
        (
            "valve's tag",
            words(&then.valve_tag),
            words(&now.valve_tag),
            then.valve_tag == now.valve_tag,
        ),
        (
            "clearance wanted",
            metres(then.clearance_wanted_m),
            metres(now.clearance_wanted_m),
            near(then.clearance_wanted_m, now.clearance_wanted_m, SAME_SIZE_M),
        ),
    ];
    all.into_iter()
        .filter(|(.., same)| !same)
        .map(|(what, older, newer, _)| Changed { opening: now.id.clone(), what, older, newer })
        .collect()
}

fn near(one: Option<f64>, other: Option<f64>, within_m: f64) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => (one - other).abs() <= within_m + SLACK_M,
        (one, other) => one.is_none() && other.is_none(),
    }
}

fn recorded(opening: &Opening) -> Recorded {
    Recorded {
        opening: opening.id.clone(),
        kind: opening.kind.clone(),
        x_m: opening.centre.x,
        y_m: opening.centre.y,
        size: size(&opening.outline),
        state: opening.state.clone(),
    }
}

fn size(outline: &Outline) -> Text {
    let metres = |value_m: f64| Form::Length.measure(value_m);
    match outline {
        Outline::Round { diameter_m, .. } => text!("{} across", metres(*diameter_m)),
        Outline::Rectangular(shape) => {
            text!("{} by {}", metres(shape.length_m), metres(shape.width_m))
        }
    }
}

/// Why openings can't be compared.
pub(super) fn not_compared(openings: &Openings) -> Option<&'static str> {
    match (openings.older, openings.newer) {
        (0, 0) => Some("No opening is recorded in either docking."),
        (0, _) => Some("No opening was recorded then, so none can be compared."),
        (_, 0) => Some("No opening is recorded now, so none can be compared."),
        _ => None,
    }
}

pub(super) fn section(openings: &Openings) -> Section {
    let mut section = Section::new("Openings").at("compared-openings");
    if let Some(why_not) = not_compared(openings) {
        section.paragraph(why_not);
        return section;
    }
    section.paragraph(text!(
        "{} then and {} now: {}.",
        count(openings.older, "opening", "openings"),
        openings.newer,
        Text::listed(outcomes(openings))
    ));
    section.table(table("Added, recorded now and not then:", &openings.added));
    section.table(table("Removed, recorded then and not now:", &openings.removed));
    let renamed = openings.renamed.iter();
    let renamed = renamed
        .map(|opening| -> [Cell; 2] { [id(&opening.older).into(), id(&opening.newer).into()] });
    section.table(
        Table::new([Column::name("Then"), Column::text("Now")])
            .rows(renamed)
            .about("Renamed, with the same kind, place and size:"),
    );
    let columns = [
        Column::name("Opening"),
        Column::measure("x then", Form::Length),
        Column::measure("y then", Form::Length),
        Column::measure("x now", Form::Length),
        Column::measure("y now", Form::Length),
        Column::measure("Moved by", Form::Length),
    ];
    let moved = openings.moved.iter().map(|one| -> [Cell; 6] {
        [
            id(&one.opening).into(),
            metres(one.older_x_m).into(),
            metres(one.older_y_m).into(),
            metres(one.newer_x_m).into(),
            metres(one.newer_y_m).into(),
            metres(one.by_m).into(),
        ]
    });
    section.table(Table::new(columns).rows(moved).about("Moved:"));
    let columns =
        [Column::name("Opening"), Column::name("What"), Column::text("Then"), Column::text("Now")];
    let changed = openings.changed.iter().map(|one| -> [Cell; 4] {
        [
            id(&one.opening).into(),
            one.what.into(),
            Cell::if_any(one.older.clone()),
            Cell::if_any(one.newer.clone()),
        ]
    });
    section.table(Table::new(columns).rows(changed).about("Changed:"));
    section
}

/// A place, to the centimetre.
fn metres(value_m: f64) -> Measure {
    Form::Length.measure(value_m).decimals(2)
}

/// How many are unchanged, added, removed and so on, and which; what applies to none is left out.
fn outcomes(openings: &Openings) -> Vec<Text> {
    const MOST_NAMED: usize = 6;
    // An opening may be changed in several ways.
    let mut changed: Vec<&str> = openings.changed.iter().map(|one| one.opening.as_str()).collect();
    changed.dedup();
    let recorded =
        |all: &[Recorded]| all.iter().map(|one| Text::from(id(&one.opening))).collect::<Vec<_>>();
    let renamed = openings.renamed.iter();
    let renamed = renamed.map(|one| text!("{} to {}", id(&one.older), id(&one.newer))).collect();
    let moved = openings.moved.iter();
    let moved = moved.map(|one| text!("{} by {}", id(&one.opening), metres(one.by_m))).collect();
    let by_more = text!("moved by more than {}", metres(openings.moved_by_more_than_m));
    let named = [
        (recorded(&openings.added), text!("added")),
        (recorded(&openings.removed), text!("removed")),
        (renamed, text!("renamed")),
        (moved, by_more),
        (changed.into_iter().map(|one| id(one).into()).collect(), text!("otherwise changed")),
    ];
    let named = named.into_iter().filter(|(which, _)| !which.is_empty()).map(|(which, outcome)| {
        let (many, mut which) = (which.len(), which);
        if many > MOST_NAMED {
            which.truncate(MOST_NAMED - 1);
            which.push(text!("{} more", many - (MOST_NAMED - 1)));
        }
        text!("{} {} ({})", many, outcome, Text::listed(which))
    });
    let unchanged = (openings.unchanged > 0).then(|| text!("{} as before", openings.unchanged));
    unchanged.into_iter().chain(named).collect()
}

fn table(about: &str, openings: &[Recorded]) -> Table {
    let columns = [
        Column::name("Opening"),
        Column::name("Kind"),
        Column::measure("x", Form::Length),
        Column::measure("y", Form::Length),
        Column::name("Size"),
        Column::text("State as recorded"),
    ];
    let rows = openings.iter().map(|one| -> [Cell; 6] {
        [
            id(&one.opening).into(),
            one.kind.as_str().into(),
            metres(one.x_m).into(),
            metres(one.y_m).into(),
            one.size.clone().into(),
            one.state.as_ref().into(),
        ]
    });
    Table::new(columns).rows(rows).about(about)
}
