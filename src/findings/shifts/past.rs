//! What an earlier docking left under its blocks, and where to land so that it is reached.

use geo::MultiPolygon;

use super::aim::{AimFinder, Sought, counted_from, kept};
use super::answer::{AfterEarlier, Aim, AimedBand, LeaveOut, OneWay, Steel, Unreached};
use super::sentences;
use crate::calc::history::hidden_throughout;
use crate::calc::plane::{NO_AREA_M2, area_m2};
use crate::calc::shifts::Way;
use crate::findings::recomputed::Recomputed;
use crate::findings::recomputed::history::Docked;
use crate::findings::recomputed::shifts::{Placed, Query, left_by, reaching};
use crate::records::Past;
use crate::records::Project;
use crate::text;
use crate::text::{Form, Text, and};

/// An earlier docking of the ship.
#[derive(Debug, Clone)]
pub struct Earlier<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its records.
    pub project: &'a Project,
    /// Steel that it left, by what it is; `None` if its positions can't be placed.
    pub left: Option<Vec<Left<'a>>>,
}

/// Steel that is to be reached.
#[derive(Debug, Clone)]
pub struct Left<'a> {
    pub what: Steel,
    /// That position.
    pub last: &'a str,
    /// The steel, on the hull.
    pub steel: MultiPolygon<f64>,
}

impl<'a> Earlier<'a> {
    /// A docking with what it never exposed, and what was under blocks in its last position.
    pub fn new(name: &'a str, project: &'a Project, recomputed: &Recomputed) -> Self {
        let left = left_by(recomputed);
        Self::leaving(name, project, left)
    }

    /// The earlier dockings on a project's record, the oldest first.
    pub fn on_record(project: &'a Project, recomputed: &Recomputed) -> Vec<Self> {
        let dockings = recomputed.history.iter().flat_map(|history| &history.dockings);
        let leaving = |(past, docked): (&'a Past, &Docked)| {
            let left = docked.hidden.as_ref().and_then(|hidden| {
                let under = hidden.last()?.shape.clone();
                Some((hidden_throughout(hidden.iter().map(|position| &position.shape)), under))
            });
            Self::leaving(&past.source.name, &past.project, left)
        };
        project.history.iter().zip(dockings).map(leaving).collect()
    }

    /// What a docking never exposed, and what was under blocks in its last position.
    fn leaving(
        name: &'a str,
        project: &'a Project,
        left: Option<(MultiPolygon<f64>, MultiPolygon<f64>)>,
    ) -> Self {
        let positions = &project.positions;
        let last = positions.last().map_or("", |position| position.id.as_str());
        let one = |what, steel| Left { what, last, steel };
        // Of a docking in one position the two are the same.
        let left = left.map(|(never, under)| match positions.len() {
            0 | 1 => vec![one(Steel::NeverExposed, never)],
            _ => vec![one(Steel::NeverExposed, never), one(Steel::UnderBlocksLast, under)],
        });
        Self { name, project, left }
    }

    /// The steel that it never exposed; `None` where that is not known.
    pub fn never_exposed(&self) -> Option<&MultiPolygon<f64>> {
        let mut left = self.left.as_ref()?.iter();
        left.find(|left| left.what == Steel::NeverExposed).map(|left| &left.steel)
    }
}

/// What an earlier docking left, compared with the blocks of the first position, where it is planned.
pub fn compare(
    project: &Project,
    recomputed: &Recomputed,
    earlier: &Earlier<'_>,
    query: &Query,
) -> AfterEarlier {
    let mut after =
        AfterEarlier { docking: earlier.name.to_string(), said: Vec::new(), left: Vec::new() };
    let ship = &earlier.project.docking.ship.name;
    if *ship != project.docking.ship.name {
        after.said.push(text!("That is the record of another ship, {}.", ship));
    }
    let Some(left) = &earlier.left else {
        let why = "Not each of its positions can be placed with its blocks, so that what it left is not known.";
        after.said.push(why.into());
        return after;
    };
    for one in left {
        let (sentences, data) = find_landing(project, recomputed, one, query);
        after.said.extend(sentences);
        after.left.push(data);
    }
    after
}

fn find_landing(
    project: &Project,
    recomputed: &Recomputed,
    left: &Left<'_>,
    query: &Query,
) -> (Vec<Text>, Unreached) {
    let area = area_m2(&left.steel);
    let mut data = Unreached {
        what: left.what,
        area_m2: kept(area),
        hidden_again_m2: 0.0,
        ways: Vec::new(),
        leave_out: None,
        clear_without: None,
        landing: Vec::new(),
        aim: None,
    };
    if area < NO_AREA_M2 {
        let nothing = "It exposed all of the bottom in one position or another.";
        let said = (left.what == Steel::NeverExposed).then(|| nothing.into());
        return (said.into_iter().collect(), data);
    }
    let first = query.before.or((!project.positions.is_empty()).then_some(0));
    let asked = Query { before: None, after: first, leave_out: Vec::new(), ..query.clone() };
    let study = reaching(project, recomputed, &left.steel, &asked);
    let steel = Form::Area.measure(area);
    let mut sentence = match left.what {
        Steel::NeverExposed => text!("It never exposed {} of the bottom.", steel),
        Steel::UnderBlocksLast => {
            text!("In its last position, {}, {} stood under blocks.", left.last, steel)
        }
    };
    if study.placed == Placed::Unknown || study.caps.is_empty() {
        sentence
            .push(" Where she is to land first is not recorded, so that no landing can be named.");
        return (vec![sentence], data);
    }
    let finder =
        AimFinder { project, study: &study, from: counted_from(project, first, study.placed) };
    data.ways = vec![finder.bare_way(&study.fore_and_aft), finder.bare_way(&study.athwart)];
    let both = [&study.fore_and_aft, &study.athwart].map(|study| finder.on_keel(study).0);
    data.leave_out = both.iter().find_map(|study| {
        let out = study.leaving_out.first()?;
        Some(LeaveOut {
            blocks: out.of_after.iter().map(|block| finder.name(*block)).collect(),
            way: study.way,
            band: finder.aimed(study.way, out.band, &out.of_after).band,
        })
    });
    data.hidden_again_m2 = kept(study.hidden_twice_m2(Way::ForeAndAft, 0.0));
    data.landing = landing(&finder, &mut data);
    let without = |left_out: &[usize]| {
        let asked = Query { leave_out: left_out.to_vec(), ..asked.clone() };
        reaching(project, recomputed, &left.steel, &asked)
    };
    data.clear_without = data.aim.as_ref().and_then(|aim| finder.clear_without(aim, &[], without));
    if let Some(out) = &data.clear_without {
        data.landing.extend(sentences::clear_without(out));
    }
    data.landing.extend(sentences::put_back(&finder.put_back()).map(Text::from));
    let mut said = vec![sentence];
    said.extend(data.landing.iter().cloned());
    (said, data)
}

/// What the plan does, and where to land, in sentences; the aim is put into the data.
fn landing(finder: &AimFinder, data: &mut Unreached) -> Vec<Text> {
    let again = text!("{} of it", Form::Area.measure(data.hidden_again_m2));
    let place = &finder.from;
    let [along, ..] = data.ways.as_slice() else { return Vec::new() };
    if data.hidden_again_m2 == 0.0
        && let Some(band) = around(along)
    {
        let span = sentences::span_inward(along.way, band.span());
        let planned = planned(finder, along, band);
        let mut said = vec![text!(
            "{} reaches all of it, and so does any landing from {} of that.",
            place,
            span
        )];
        said.extend(planned.said.iter().cloned());
        let near = |aim: &Aim| aim.openings.as_ref().map_or(0, |openings| openings.near.len());
        let better = near(&band.aim) < near(&planned);
        if better {
            said.push("Fewer openings are near a cap elsewhere in that.".into());
            said.extend(band.aim.said.iter().cloned());
        }
        data.aim = Some(if better { band.aim.clone() } else { planned });
        return said;
    }
    if let Some(band) = data.ways.iter().find_map(OneWay::best) {
        let mut said = vec![text!("{} would hide {} again. To reach all of it:", place, again)];
        said.extend(band.aim.said.iter().cloned());
        data.aim = Some(band.aim.clone());
        return said;
    }
    let reach = Form::Shift.measure(along.to_m).rounded_down();
    let mut said = vec![text!(
        "{} would hide {} again, and no landing within {} fore and aft of that, nor one athwart \
         with the keel on its blocks, reaches all of it.",
        place,
        again,
        reach
    )];
    if let Some(out) = &data.leave_out {
        said.push(text!("Without {} one would.", and(&out.blocks)));
        said.extend(out.band.aim.said.iter().cloned());
    }
    said
}

/// The band that the plan lies in.
fn around(way: &OneWay) -> Option<&AimedBand> {
    way.bands.iter().find(|band| band.from_m < 0.0 && band.to_m > 0.0)
}

/// The plan itself as an aim.
fn planned(finder: &AimFinder, way: &OneWay, band: &AimedBand) -> Aim {
    let sought = Sought {
        way: way.way,
        band: band.span().slid(),
        without: &[],
        without_before: &[],
        hidden_m2: &|_| 0.0,
    };
    finder.aim_at(&sought, 0.0)
}
