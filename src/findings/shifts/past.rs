//! What an earlier docking left under its blocks, and where to land so that it is reached.

use geo::MultiPolygon;

use super::answer::{NEVER_EXPOSED, UNDER_LAST};
use super::told::{LeaveOut, LeftTold, PastTold, WayTold};
use super::{Examined, Teller, kept, said, way_of};
use crate::calc::history::hidden_throughout;
use crate::calc::plane::{NO_AREA_M2, area_m2};
use crate::calc::shifts::Way;
use crate::findings::recomputed::Recomputed;
use crate::findings::recomputed::history::Docked;
use crate::findings::recomputed::shifts::{Asked as Question, Placed, left_by, reaching};
use crate::records::Project;
use crate::records::history::Past;
use crate::units;

/// An earlier docking of the ship.
#[derive(Debug, Clone)]
pub struct Earlier<'a> {
    /// Its name.
    pub name: &'a str,
    /// The ship's name in it.
    pub ship: &'a str,
    /// Steel that it left, by what it is; `None` if its positions can't be placed.
    pub left: Option<Vec<Left<'a>>>,
}

/// Steel that is to be reached.
#[derive(Debug, Clone)]
pub struct Left<'a> {
    /// Whether it was never exposed; otherwise it was under blocks in the last position.
    pub never: bool,
    /// That position.
    pub last: &'a str,
    /// The steel, on the hull.
    pub steel: MultiPolygon<f64>,
}

impl<'a> Earlier<'a> {
    /// A docking with what it never exposed, and what was under blocks in its last position.
    pub fn of(name: &'a str, project: &'a Project, recomputed: &Recomputed) -> Self {
        let left = left_by(recomputed);
        Self::leaving(name, project, left)
    }

    /// The earlier dockings on a project's record, the oldest first.
    pub fn on_record(project: &'a Project, recomputed: &Recomputed) -> Vec<Self> {
        let dockings = recomputed.history.iter().flat_map(|history| &history.dockings);
        let one = |(past, docked): (&'a Past, &Docked)| {
            let left = docked.hidden.as_ref().and_then(|hidden| {
                let under = hidden.last()?.shape.clone();
                Some((hidden_throughout(hidden.iter().map(|position| &position.shape)), under))
            });
            Self::leaving(&past.name, &past.project, left)
        };
        project.history.iter().zip(dockings).map(one).collect()
    }

    /// What a docking never exposed, and what was under blocks in its last position.
    fn leaving(
        name: &'a str,
        project: &'a Project,
        left: Option<(MultiPolygon<f64>, MultiPolygon<f64>)>,
    ) -> Self {
        let positions = &project.positions;
        let last = positions.last().map_or("", |position| position.id.as_str());
        let one = |never, steel| Left { never, last, steel };
        // Of a docking in one position the two are the same.
        let left = left.map(|(never, under)| match positions.len() {
            0 | 1 => vec![one(true, never)],
            _ => vec![one(true, never), one(false, under)],
        });
        Self { name, ship: &project.docking.ship.name, left }
    }
}

/// What one left, held against the blocks of the first position, where it is planned.
pub(super) fn told(now: &Examined, earlier: &Earlier<'_>, question: &Question) -> PastTold {
    let mut told =
        PastTold { docking: earlier.name.to_string(), said: Vec::new(), left: Vec::new() };
    if earlier.ship != now.project.docking.ship.name {
        told.said.push(format!("That is the record of another ship, {}.", earlier.ship));
    }
    let Some(left) = &earlier.left else {
        let why = "Its positions can't be placed, so that what it left is not known.";
        told.said.push(why.to_string());
        return told;
    };
    for one in left {
        let (sentences, data) = reached(now, one, question);
        told.said.extend(sentences);
        told.left.push(data);
    }
    told
}

fn reached(now: &Examined, left: &Left<'_>, question: &Question) -> (Vec<String>, LeftTold) {
    let what = if left.never { NEVER_EXPOSED } else { UNDER_LAST };
    let area = area_m2(&left.steel);
    let mut data = LeftTold {
        what,
        area_m2: kept(area),
        hidden_again_m2: 0.0,
        ways: Vec::new(),
        leave_out: None,
        landing: None,
    };
    if area < NO_AREA_M2 {
        let nothing = "It exposed all of the bottom in one position or another.";
        return (if left.never { vec![nothing.to_string()] } else { Vec::new() }, data);
    }
    let project = &now.project;
    let first = question.before.or((!project.positions.is_empty()).then_some(0));
    let asked = Question { before: None, after: first, leave_out: Vec::new(), ..question.clone() };
    let study = reaching(project, &now.recomputed, &left.steel, &asked);
    let steel = format!("{} m\u{b2}", units::fixed(area, 3));
    let mut sentence = match left.never {
        true => format!("It never exposed {steel} of the bottom."),
        false => format!("In its last position, {}, {steel} stood under blocks.", left.last),
    };
    if study.placed == Placed::Unknown || study.caps.is_empty() {
        sentence.push_str(
            " Where she is to land first is not recorded, so that no landing can be named.",
        );
        return (vec![sentence], data);
    }
    let teller = Teller { project, study: &study };
    data.ways = vec![teller.bare_way(&study.fore_and_aft), teller.bare_way(&study.athwart)];
    let both = [&study.fore_and_aft, &study.athwart].map(|study| teller.on_keel(study).0);
    data.leave_out = both.iter().find_map(|study| {
        let out = study.leaving_out.first()?;
        Some(LeaveOut {
            blocks: out.of_after.iter().map(|block| teller.name(*block)).collect(),
            way: said::way(study.way),
            band: teller.band(study.way, out.band, &out.of_after),
        })
    });
    data.hidden_again_m2 = kept(study.hidden_twice_m2(Way::ForeAndAft, 0.0));
    let first = first.and_then(|n| project.positions.get(n)).map_or("", |p| p.id.as_str());
    let place = match study.placed {
        Placed::Planned => format!("{first} as planned"),
        _ => format!("{first} as she lay"),
    };
    sentence.push(' ');
    let landing = landing(&data, &place);
    sentence.push_str(&landing);
    data.landing = Some(landing);
    (vec![sentence], data)
}

/// Where to land, in a sentence.
fn landing(data: &LeftTold, place: &str) -> String {
    let around = |way: &WayTold| {
        way.bands.iter().find(|band| band.from_m < 0.0 && band.to_m > 0.0).map(|band| {
            let (span, decimals) = said::inward((band.from_m, band.to_m));
            said::span(way_of(way.way), span, decimals)
        })
    };
    let again = format!("{} m\u{b2} of it", units::fixed(data.hidden_again_m2, 3));
    let [along, ..] = data.ways.as_slice() else { return String::new() };
    if data.hidden_again_m2 == 0.0
        && let Some(span) = around(along)
    {
        return format!("{place} reaches all of it, and so does any landing from {span} of that.");
    }
    let best = data.ways.iter().find_map(|way| {
        let aim = way.aim_m?;
        let band = way.bands.iter().find(|band| (band.aim_m - aim).abs() < 1e-9)?;
        Some((way_of(way.way), band))
    });
    match best {
        Some((way, band)) => format!(
            "{place} would hide {again} again; aim at {} of that, which may be missed by {} m, to reach all \
             of it.",
            said::shift(way, band.aim_m, band.decimals),
            units::fixed(band.miss_m, band.decimals)
        ),
        None => {
            let (reach, out) = (units::fixed(along.to_m, 2), data.leave_out.as_ref());
            let out = out.map_or(String::new(), |out| {
                format!(
                    " Without {} it would, {} of that, which may be missed by {} m.",
                    said::and(&out.blocks),
                    said::shift(way_of(out.way), out.band.aim_m, out.band.decimals),
                    units::fixed(out.band.miss_m, out.band.decimals)
                )
            });
            format!(
                "{place} would hide {again} again, and no landing within {reach} m fore and aft of that, nor one \
                 athwart with the keel on its blocks, reaches all of it.{out}"
            )
        }
    }
}
