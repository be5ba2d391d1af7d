//! `hull/repairs.csv`: repairs of the shell, with the steel that they touched, and when the coating there was made good.

use chrono::{DateTime, FixedOffset};
use geo::{Coord, MultiPolygon, Polygon};

use super::entry::Entry;
use super::input::Input;
use super::preparation::hull;
use super::problem::Problem;
use super::record::{record, words};
use super::spec::{Kind, PLACE, SIZE};

words! {
    /// What was done to the steel.
    pub enum RepairKind {
        /// A plate welded on.
        Doubler = "doubler",
        /// Plating cut out and renewed.
        Renewal = "renewal",
        Weld = "weld",
        Other = "other",
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Repair: SPEC = "a repair of the shell" in "hull/repairs.csv", at most 1_000 {
        id: String = always("repair", Name, "the repair's name"),
        kind: RepairKind = always("kind", Word(RepairKind::WORDS), "what was done"),
        about: Vec<String> = optional("about", AnyRefs, "what it is of: plate:F-S.14, opening:SC1"),
        zone: Option<String> = optional("zone", Ref(Kind::Zone), "the zone of the coating that it touched"),
        x = optional("x", PLACE, "x of the middle of the steel that it touched"),
        y = optional("y", PLACE, "y of the middle of it"),
        length = optional("length", SIZE, "its extent fore and aft, with what the heat reached"),
        width = optional("width", SIZE, "its extent athwart, or up the side, likewise"),
        began: Option<DateTime<FixedOffset>> = optional("began", Time, "start"),
        ended: Option<DateTime<FixedOffset>> = optional("ended", Time, "finish"),
        touched_up: Option<DateTime<FixedOffset>> = optional(
            "touched_up",
            Time,
            "when the coating there had been made good, where that is no row of coating/coats.csv",
        ),
        paper: Option<String> = optional("paper", Text, "the file in papers/ that tells of it"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
    with {
        /// The steel that it touched, in hull axes.
        touched: Option<MultiPolygon<f64>>,
    }
}

impl Repair {
    pub(super) fn read_all(spec: &super::spec::FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let mut repairs: Vec<Self> =
            input.rows(spec).filter_map(|entry| Self::read(entry, input)).collect();
        repairs.sort_by(|a, b| a.place.cmp(&b.place));
        for (at, repair) in repairs.iter().enumerate() {
            if let Some(first) = repairs[..at].iter().find(|first| first.id == repair.id) {
                input.problems.add(
                    Problem::new(
                        repair.place.clone(),
                        format!("has the name of the repair at {}", first.place),
                    )
                    .value(repair.id.clone())
                    .expected("a name of its own for each repair")
                    .advice("rename one of the two"),
                );
            }
        }
        repairs
    }

    fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let middle = hull(entry, [&Self::x, &Self::y], input.problems);
        let size = entry.get::<f64>(&Self::length).zip(entry.get::<f64>(&Self::width));
        Self::from_entry(entry, middle.zip(size).map(|(middle, size)| rectangle(middle, size)))
    }
}

fn rectangle(middle: Coord<f64>, (length_m, width_m): (f64, f64)) -> MultiPolygon<f64> {
    let (x, y) = (length_m / 2.0, width_m / 2.0);
    let corners = [(-x, -y), (x, -y), (x, y), (-x, y)];
    let ring: Vec<Coord<f64>> =
        corners.into_iter().map(|(dx, dy)| Coord { x: middle.x + dx, y: middle.y + dy }).collect();
    MultiPolygon(vec![Polygon::new(ring.into(), vec![])])
}
