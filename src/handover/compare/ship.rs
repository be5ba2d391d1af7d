//! The ship's own data, then and now.

use geo::{MultiPolygon, Polygon};
use serde::Serialize;

use crate::calc::plane::{area_m2, without};
use crate::findings::Examined;
use crate::hull::Frames;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::docking::{Docking, Ship};
use crate::text;
use crate::text::{Form, Text};

/// Lengths that differ by no more are the same, m: they are recorded to the centimetre (our choice).
const SAME_LENGTH_M: f64 = 0.005;

/// Outlines of which no more lies in one alone are the same, m2: some centimetres along a bottom's edge (our
/// choice).
const SAME_OUTLINE_M2: f64 = 1.0;

/// How something stands now against then.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Change {
    /// As it was.
    Same,
    /// It differs.
    Changed,
    /// Recorded now only.
    Added,
    /// Recorded then only.
    Removed,
}

impl Change {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Change::Same => "same",
            Change::Changed => "changed",
            Change::Added => "recorded now only",
            Change::Removed => "recorded then only",
        }
    }
}

/// One datum of the ship.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Datum {
    /// What it is.
    pub what: &'static str,
    /// As recorded then, with its unit.
    pub older: Option<Text>,
    /// As recorded now, with its unit.
    pub newer: Option<Text>,
    /// How the two compare.
    pub change: Change,
}

/// Whether two names are those of one ship: letters' case and spaces aside.
pub(super) fn same_name(older: &str, newer: &str) -> bool {
    let plain = |name: &str| -> String {
        name.split_whitespace().map(str::to_lowercase).collect::<Vec<_>>().join(" ")
    };
    plain(older) == plain(newer)
}

pub(super) fn compare(older: &Examined, newer: &Examined) -> Vec<Datum> {
    let (was, is) = (&older.project.docking, &newer.project.docking);
    let text = |what: &'static str, get: &dyn Fn(&Docking) -> Option<String>| {
        datum(what, get(was).map(Text::from), get(is).map(Text::from), |was, is| was == is)
    };
    let length = |what: &'static str, get: &dyn Fn(&Ship) -> Option<f64>| {
        let (was, is) = (get(&was.ship), get(&is.ship));
        let same = was.zip(is).is_some_and(|(was, is)| (was - is).abs() <= SAME_LENGTH_M);
        let shown = |value_m: f64| Text::from(Form::Length.measure(value_m));
        datum(what, was.map(shown), is.map(shown), |_, _| same)
    };
    let (was_bottom, is_bottom) = (&older.project.bottom, &newer.project.bottom);
    let all = [
        text("name", &|docking| Some(docking.ship.name.clone())),
        text("kept by", &|docking| docking.ship.owner.clone()),
        text("built", &|docking| docking.ship.built.clone()),
        length("length over all", &|ship| ship.length_overall_m),
        length("length between perpendiculars", &|ship| ship.length_between_perpendiculars_m),
        length("moulded breadth", &|ship| ship.breadth_m),
        length("x of the aft perpendicular", &|ship| ship.aft_perpendicular_x_m),
        length("x of the forward perpendicular", &|ship| ship.forward_perpendicular_x_m),
        length("x of the foremost point", &|ship| ship.foremost_x_m),
        text("stern reference point", &|docking| docking.ship.stern_reference_point.clone()),
        text("draft marks measure from", &|docking| docking.ship.draft_marks_datum.clone()),
        datum(
            "frames",
            was.frames.as_ref().map(frames),
            is.frames.as_ref().map(frames),
            |was, is| was == is,
        ),
        outline("outline of the bottom", &was_bottom.bottom, &is_bottom.bottom),
        outline("outline of the flat keel", &was_bottom.flat_keel, &is_bottom.flat_keel),
    ];
    all.into_iter().flatten().collect()
}

fn datum(
    what: &'static str,
    older: Option<Text>,
    newer: Option<Text>,
    same: impl Fn(&Text, &Text) -> bool,
) -> Option<Datum> {
    let change = match (&older, &newer) {
        (None, None) => return None,
        (Some(was), Some(is)) if same(was, is) => Change::Same,
        (Some(_), Some(_)) => Change::Changed,
        (None, Some(_)) => Change::Added,
        (Some(_), None) => Change::Removed,
    };
    Some(Datum { what, older, newer, change })
}

fn frames(frames: &Frames) -> Text {
    let stretches = frames.stretches.iter().map(|stretch| {
        text!(
            "frame {} at {}, then every {}",
            stretch.from_frame,
            Form::Length.measure(stretch.x_m),
            Form::Small.measure(stretch.spacing_m).as_stated()
        )
    });
    let end = if frames.from_aft { "aft" } else { "forward" };
    text!("from {}: {}", end, Text::joined(stretches, "; "))
}

fn outline(
    what: &'static str,
    older: &Option<Polygon<f64>>,
    newer: &Option<Polygon<f64>>,
) -> Option<Datum> {
    let shape = |outline: &Option<Polygon<f64>>| {
        outline.as_ref().map(|outline| MultiPolygon(vec![outline.clone()]))
    };
    let (was, is) = (shape(older), shape(newer));
    let same =
        was.as_ref().zip(is.as_ref()).is_some_and(|(was, is)| apart_m2(was, is) <= SAME_OUTLINE_M2);
    let shown =
        |shape: &MultiPolygon<f64>| Text::from(Form::Area.measure(area_m2(shape)).decimals(1));
    datum(what, was.as_ref().map(shown), is.as_ref().map(shown), |_, _| same)
}

/// Area that lies in only one of two shapes, m2.
fn apart_m2(one: &MultiPolygon<f64>, other: &MultiPolygon<f64>) -> f64 {
    area_m2(&without(one, other)) + area_m2(&without(other, one))
}

/// Why places on the hull may not mean the same in both records, in sentences.
pub(super) fn axes(older: &Examined, newer: &Examined) -> Option<String> {
    let point = |examined: &Examined| examined.project.docking.ship.stern_reference_point.clone();
    let (was, is) = (point(older)?, point(newer)?);
    (was != is).then(|| {
        "The stern reference point is described in different words: check that x is counted from the same \
         point of the hull before you rely on any place that is compared."
            .to_string()
    })
}

pub(super) fn section(data: &[Datum]) -> Section {
    let changed = || data.iter().filter(|datum| datum.change != Change::Same);
    let names =
        || text::list(&changed().map(|datum| datum.what.to_string()).collect::<Vec<_>>(), 4);
    let mut section = Section::new("The ship\u{2019}s own particulars").at("compared-ship");
    section.paragraph(match (data.len(), changed().count()) {
        (0, _) => text!("No particulars of the ship are recorded in either docking."),
        (all, 0) => text!("All {} recorded particulars of the ship are as they were.", all),
        (all, 1) => {
            text!("1 of {} recorded particulars of the ship has changed: {}.", all, names())
        }
        (all, n) => {
            text!("{} of {} recorded particulars of the ship have changed: {}.", n, all, names())
        }
    });
    section.table(table("What has changed:", changed()));
    section
}

fn table<'a>(about: &str, data: impl Iterator<Item = &'a Datum>) -> Table {
    let columns =
        [Column::text("What"), Column::text("Then"), Column::text("Now"), Column::name("Change")];
    let row = |datum: &Datum| -> [Cell; 4] {
        [
            datum.what.into(),
            datum.older.clone().into(),
            datum.newer.clone().into(),
            datum.change.word().into(),
        ]
    };
    Table::new(columns).rows(data.map(row)).about(about)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_in_other_letters_is_the_same_ship() {
        assert!(same_name("Calder Wren", "CALDER  wren "));
        assert!(!same_name("Calder Wren", "Calder Wrens"));
    }

    #[test]
    fn what_is_recorded_on_one_side_only_says_so() {
        let same = |was: &Text, is: &Text| was == is;
        let change = |older: Option<&str>, newer: Option<&str>| {
            datum("x", older.map(Text::from), newer.map(Text::from), same).map(|d| d.change)
        };
        assert_eq!(change(Some("a"), Some("a")), Some(Change::Same));
        assert_eq!(change(Some("a"), Some("b")), Some(Change::Changed));
        assert_eq!(change(None, Some("b")), Some(Change::Added));
        assert_eq!(change(Some("a"), None), Some(Change::Removed));
        assert_eq!(change(None, None), None);
    }
}
