//! Curves along the hull: recorded buoyancy against the hydrostatic table, and stiffness against the ship's size.

use super::finding::{Against, Figure, Finding};
use super::hydrostatics::is_sound;
use super::judge::{agrees, differs, unchecked};
use super::naming::count;
use super::recomputed::Recomputed;
use crate::calc::landing::LOAD_LANDED;
use crate::calc::loads::plausible::{
    ANY_HULL, GIRDER_SIZE, by_rule, least_like_its_neighbours, out_of_order,
};
use crate::calc::loads::weight::Length;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::bounds::Sort;
use crate::records::place::Place;
use crate::records::weights::{Buoyancy, Stiffness};
use crate::text;
use crate::text::{Form, Text, id};
use crate::units::fixed;

/// Every finding of the curves.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found: Vec<Finding> = stiffness(project, recomputed).into_iter().collect();
    for number in 0..project.positions.len() {
        found.extend(buoyancy(project, recomputed, number));
    }
    found
}

/// The lengths of a position's recorded curves, level by level.
fn levels<'a>(project: &'a Project, position: &str) -> Vec<(f64, Vec<&'a Buoyancy>)> {
    let mut levels: Vec<(f64, Vec<&Buoyancy>)> = Vec::new();
    for length in project.buoyancy.iter().filter(|length| length.position == position) {
        let same =
            |known: &&mut (f64, Vec<&Buoyancy>)| (known.0 - length.water_level_m).abs() < 1e-6;
        match levels.iter_mut().find(same) {
            Some(level) => level.1.push(length),
            None => levels.push((length.water_level_m, vec![length])),
        }
    }
    levels
}

/// What a curve says beside what the table gives at its level.
struct Beside<'a> {
    level_m: f64,
    lengths: Vec<&'a Buoyancy>,
    total_t: f64,
    centre_x_m: Option<f64>,
    by_table_t: f64,
    table_centre_x_m: Option<f64>,
    allowed_t: f64,
    allowed_m: f64,
}

impl Beside<'_> {
    fn total_fits(&self) -> bool {
        (self.total_t - self.by_table_t).abs() <= self.allowed_t
    }

    fn centre_fits(&self) -> bool {
        let both = self.centre_x_m.zip(self.table_centre_x_m);
        both.is_none_or(|(found, table)| (found - table).abs() <= self.allowed_m)
    }

    /// The length that is wrong: the one least like its neighbours, if with what those have all would fit.
    fn doubted(&self) -> Option<&Place> {
        if self.total_fits() {
            return None;
        }
        let lengths: Vec<Length> = self.lengths.iter().map(|length| as_length(length)).collect();
        let one = least_like_its_neighbours(&lengths).filter(|(n, expected_t)| {
            let changed_t = expected_t - lengths[*n].mass_t;
            (self.total_t + changed_t - self.by_table_t).abs()
                <= self.allowed_t.max(0.2 * changed_t.abs())
        });
        self.lengths.get(one?.0).map(|length| &length.place)
    }
}

fn as_length(length: &Buoyancy) -> Length {
    Length {
        from_x_m: length.from_x_m,
        to_x_m: length.to_x_m,
        mass_t: length.buoyancy_t,
        centre_x_m: (length.from_x_m + length.to_x_m) / 2.0,
    }
}

/// The recorded curves of a position against the hydrostatic table. `None` where none was recorded.
fn buoyancy(project: &Project, recomputed: &Recomputed, number: usize) -> Option<Finding> {
    let position = &project.positions[number];
    let levels = levels(project, &position.id);
    if levels.is_empty() {
        return None;
    }
    let about = Subject::BuoyancyCurve(position.id.clone());
    let landing = &recomputed.landings[number];
    let bounds = &project.docking.bounds;
    let tolerance = |name: &str| bounds.tolerance(name).map_or(0.0, |bound| bound.value);
    let table = landing.afloat.as_ref().map(|afloat| &afloat.table);
    let held: Vec<Beside> = levels
        .into_iter()
        .filter_map(|(level_m, lengths)| {
            let load = landing.load_at(level_m)?;
            let row = table?.at_displacement(load.buoyancy_t)?;
            let total_t: f64 = lengths.iter().map(|length| length.buoyancy_t).sum();
            let moment_tm: f64 =
                lengths.iter().map(|length| length.buoyancy_t * as_length(length).centre_x_m).sum();
            let level_cm = 100.0 * tolerance("water_level");
            Some(Beside {
                level_m,
                total_t,
                centre_x_m: (total_t > 0.0).then(|| moment_tm / total_t),
                by_table_t: load.buoyancy_t,
                table_centre_x_m: (load.buoyancy_t > 0.0)
                    .then(|| load.buoyancy_moment_tm / load.buoyancy_t),
                allowed_t: tolerance("displacement") + row.tpc_t_per_cm * level_cm,
                // A level, or the end of a survey, off by its tolerance trims her by as much.
                allowed_m: tolerance("centre")
                    + row.mct_tm_per_cm * level_cm / load.buoyancy_t.max(1.0),
                lengths,
            })
        })
        .collect();
    let curve = text!("the curve of buoyancy of {}", id(&position.id));
    let Some(worst) = held.iter().find(|beside| !beside.total_fits() || !beside.centre_fits())
    else {
        let found = match held.as_slice() {
            [] => unchecked(
                curve,
                "what the water carries at its level can't be worked out from drafts and table",
            ),
            held => agrees(text!(
                "The curve of buoyancy recorded for {} has the total and the centre that the hydrostatic table gives, \
                 at {}.",
                id(&position.id),
                Text::listed(held.iter().map(|beside| text!("{}", Figure::length(beside.level_m))))
            )),
        };
        let rows = project.buoyancy.iter().find(|length| length.position == position.id);
        return Some(found.finding(about).by(&LOAD_LANDED).from(rows.map(|length| &length.place)));
    };
    let level = Figure::length(worst.level_m);
    let (judgement, figures) = if worst.total_fits() {
        let (found, table) =
            (worst.centre_x_m.unwrap_or(0.0), worst.table_centre_x_m.unwrap_or(0.0));
        let figures = [found, table, worst.allowed_m].map(Figure::length);
        let sentence = text!(
            "{} at {} has its centre at x {}, and the drafts before landing and the hydrostatic table give {} there.",
            curve,
            level,
            &figures[0],
            &figures[1]
        );
        (differs(sentence.capitalized()), figures)
    } else {
        let figures = [worst.total_t, worst.by_table_t, worst.allowed_t].map(Figure::mass);
        let sentence = text!(
            "{} at {} adds up to {}, and the drafts before landing and the hydrostatic table give {} there.",
            curve,
            level,
            &figures[0],
            &figures[1]
        );
        (differs(sentence.capitalized()), figures)
    };
    let [found, table, allowed] = figures;
    let finding = judgement.finding(about).recorded(found).recomputed(table).against(Against {
        sort: Sort::Tolerance,
        name: "buoyancy".to_string(),
        value: allowed,
        source: "tolerances of the displacement or the centre, and of the water's level"
            .to_string(),
    });
    let finding = finding.by(&LOAD_LANDED);
    Some(match worst.doubted() {
        Some(place) => finding.doubting(place),
        // The curve as a whole, unless something of the table that it is held against does not fit either.
        None if is_sound(project, recomputed) => {
            finding.doubting_all(worst.lengths.iter().map(|length| &length.place))
        }
        None => finding.from(worst.lengths.iter().take(1).map(|length| &length.place)),
    })
}

/// Stiffness, length by length and as a whole. `None` where none was recorded.
fn stiffness(project: &Project, recomputed: &Recomputed) -> Option<Finding> {
    if project.stiffness.is_empty() {
        return None;
    }
    let mut rows: Vec<&Stiffness> = project.stiffness.iter().collect();
    rows.sort_by(|a, b| a.from_x_m.total_cmp(&b.from_x_m));
    let about = Subject::StiffnessSize;
    let at = |row: &Stiffness| {
        text!("from x {} to {}", Figure::length(row.from_x_m), Figure::length(row.to_x_m))
    };
    let wrong = materials(&rows)
        .or_else(|| beside(&rows))
        .map(|(row, what)| {
            (Some(row), text!("The stiffness of the hull {} can't be right: {}.", at(row), what))
        })
        .or_else(|| of_her_size(project, recomputed, &rows).map(|what| (None, what)));
    let found = match wrong {
        None => agrees(text!(
            "The {} of the hull girder follow each other in order of magnitude, and are of the order that a ship of her \
             size has.",
            count(rows.len(), "length")
        ))
        .finding(about)
        .from(rows.iter().take(1).map(|row| &row.place)),
        Some((Some(row), sentence)) => differs(sentence).finding(about).doubting(&row.place),
        Some((None, sentence)) => {
            differs(sentence).finding(about).doubting_all(rows.iter().map(|row| &row.place))
        }
    };
    // How it was judged is told where it does not agree.
    Some(if found.is_troubled() { found.by(&GIRDER_SIZE) } else { found })
}

/// A length of which no hull is made.
fn materials<'a>(rows: &[&'a Stiffness]) -> Option<(&'a Stiffness, Text)> {
    // From timber along its grain, of worn fastenings, to steel.
    const ELASTIC_KPA: (f64, f64) = (2e6, 250e6);
    // Isotropic materials have 2 (1 + Poisson's ratio), 2 to 3; timber planked across has more.
    const OVER_SHEAR: (f64, f64) = (1.8, 40.0);
    rows.iter().find_map(|row| {
        let (e, g) = (row.elastic_modulus_kpa, row.shear_modulus_kpa);
        let pressure = |kpa: f64| Figure::pressure(kpa);
        if e < ELASTIC_KPA.0 || e > ELASTIC_KPA.1 {
            let what = text!(
                "its elastic modulus is {}, and that of timber is a few thousand times 1000 kPa, that of steel {}",
                pressure(e),
                pressure(206e6)
            );
            return Some((*row, what));
        }
        let over = e / g;
        (over < OVER_SHEAR.0 || over > OVER_SHEAR.1).then(|| {
            let what = text!(
                "its elastic modulus is {} times its shear modulus, and that of steel is 2.6 times",
                fixed(over, 1)
            );
            (*row, what)
        })
    })
}

/// A length out of the order of those beside it.
fn beside<'a>(rows: &[&'a Stiffness]) -> Option<(&'a Stiffness, Text)> {
    let of = |of: fn(&Stiffness) -> f64| {
        out_of_order(&rows.iter().map(|row| of(row)).collect::<Vec<f64>>())
    };
    let second_moment = of(|row| row.second_moment_m4).and_then(|(n, expected)| {
        let row = *rows.get(n)?;
        let form = Form::SecondMoment;
        let what = text!(
            "its second moment is {}, and the lengths beside it have about {}",
            form.measure(row.second_moment_m4),
            form.measure(expected)
        );
        Some((row, what))
    });
    second_moment.or_else(|| {
        let (n, expected) = of(|row| row.shear_area_m2)?;
        let row = *rows.get(n)?;
        let what = text!(
            "its shear area is {}, and the lengths beside it have about {}",
            Figure::area(row.shear_area_m2),
            Figure::area(expected)
        );
        Some((row, what))
    })
}

/// What of the whole girder is not of the ship's size, in a sentence.
fn of_her_size(project: &Project, recomputed: &Recomputed, rows: &[&Stiffness]) -> Option<Text> {
    let ship = &project.docking.ship;
    let length_m = (recomputed.ship.perpendiculars.map(|ends| ends.length_m()))
        .or(ship.length_between_perpendiculars_m)
        .or(ship.length_overall_m)?;
    let (bending, shear) = by_rule(length_m, ship.breadth_m?);
    let greatest = |of: fn(&Stiffness) -> f64| rows.iter().map(|row| of(row)).fold(0.0, f64::max);
    let told = |found: f64, rule: f64, what: &str, column: &str| {
        let times = found / rule;
        let words = if times > 1.0 {
            format!("{} times", fixed(times, 0))
        } else {
            format!("1/{} of", fixed(1.0 / times, 0))
        };
        (!(1.0 / ANY_HULL..=ANY_HULL).contains(&times)).then(|| {
            text!(
                "The {} of the hull girder is {} what a steel ship of her length and breadth is built to: the {} or the \
                 modulus is in another unit than its head says.",
                what,
                words,
                column
            )
        })
    };
    told(
        greatest(|row| row.elastic_modulus_kpa * row.second_moment_m4),
        bending,
        "bending stiffness",
        "second moment",
    )
    .or_else(|| {
        told(
            greatest(|row| row.shear_modulus_kpa * row.shear_area_m2),
            shear,
            "shear stiffness",
            "shear area",
        )
    })
}
