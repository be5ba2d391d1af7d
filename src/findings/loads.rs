//! Block loads: layers against heights, pressures against limits, gaps predicted against measured.

use super::bilge::hauled_after;
use super::finding::{Against, Figure, Finding, Outcome};
use super::judge::{
    Comparison, Judgement, Limited, Side, agrees, beyond_limit, compare, differs, incomplete,
    unchecked,
};
use super::naming::{Named, distinct_ids};
use super::recomputed::Recomputed;
use super::recomputed::loads::{Borne, Loads, caveats, wedged_m};
use crate::calc::formula::Formula;
use crate::calc::loads::floor::{ON_FLOOR, PER_METRE};
use crate::calc::loads::girder::{BENDING, GIRDER, Station};
use crate::calc::loads::springs::STIFFNESS;
use crate::calc::loads::{CONTACT, PRESSURE};
use crate::findings::subject::{ByName, Subject};
use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::bounds::Sort;
use crate::records::checks::Gap;
use crate::records::layers::LayerOwner;
use crate::text;
use crate::text::sentence::range;
use crate::text::{Form, Measure, Text, id};
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// Every finding of the block loads.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found: Vec<Finding> =
        project.blocks.iter().filter_map(|block| layers(project, block)).collect();
    let recorded = !(project.layers.is_empty() && project.weights.is_empty());
    for (number, position) in project.positions.iter().enumerate() {
        let loads = &recomputed.loads[number];
        if recorded {
            let caveats = caveats(project, &recomputed.ship, number);
            found.push(subject_to(&caveats, balance(project, &position.id, loads)));
            found.push(subject_to(&caveats, pressures(project, &position.id, loads)));
            found.extend(strength(project, &position.id, loads));
        }
        found.extend(gaps(project, &position.id, loads));
    }
    found
}

/// A finding on loads with what they are subject to, where anything is.
fn subject_to(caveats: &[Text], finding: Finding) -> Finding {
    if caveats.is_empty() || finding.outcome == Outcome::NotRecorded {
        return finding;
    }
    let mut sentence = finding.sentence.clone();
    let listed = Text::listed(caveats.iter().cloned());
    sentence.extend(text!(" That is subject to this: {}.", listed));
    Finding { sentence, ..finding }
}

/// The thicknesses of a block's own layers add up to its height.
fn layers(project: &Project, block: &Block) -> Option<Finding> {
    let own: Vec<_> =
        project.layers.iter().filter(|l| l.owner == LayerOwner::Block(block.id.clone())).collect();
    let tolerance = project.docking.bounds.tolerance("block_height")?;
    let height = block.height_m.filter(|_| !own.is_empty())?;
    let sum: f64 = own.iter().map(|layer| layer.thickness_m).sum();
    Some(
        Comparison {
            subject: text!("the height of {}", id(&block.id)),
            recorded: Some(Form::Length.measure(height)),
            recomputed: Some(Form::Length.measure(sum)),
            source: text!("the sum of its layers"),
            why_not: Text::new(),
            tolerance,
        }
        .finding(Subject::BlockLayers(block.id.clone()))
        .by(&STIFFNESS)
        .from([&block.place])
        .from(own.iter().map(|layer| &layer.place)),
    )
}

fn why_not(loads: &Loads) -> Text {
    loads.why_not.clone().unwrap_or_else(|| "the loads could not be found".into())
}

/// The loads carry the weight.
fn balance(project: &Project, id: &str, loads: &Loads) -> Finding {
    let sum = loads
        .girder
        .as_ref()
        .map(|shared| shared.loads_kn.iter().sum::<f64>() / STANDARD_GRAVITY_M_PER_S2);
    let judgement = match sum {
        None => unchecked(text!("the sum of the loads on the blocks in {}", id), why_not(loads)),
        Some(sum) => balanced(id, sum, loads.weight_t),
    };
    judgement
        .finding(Subject::LoadsBalance(id.to_string()))
        .recorded(sum.map(|_| Figure::mass(loads.weight_t)))
        .recomputed(sum.map(Figure::mass))
        .against(Against {
            sort: Sort::Tolerance,
            name: "balance".to_string(),
            value: Figure::words("a thousandth of the weight"),
            source: "what is left over is error of the calculation alone (our choice)".to_string(),
        })
        .by(&GIRDER)
        .from(project.weights.iter().take(1).map(|weight| &weight.place))
        .from(project.stiffness.iter().take(1).map(|length| &length.place))
        .from(project.layers.iter().take(1).map(|layer| &layer.place))
}

/// Whether loads of a sum (t) carry a weight (t).
fn balanced(id: &str, sum_t: f64, weight_t: f64) -> Judgement {
    match compare(sum_t, weight_t, weight_t * 1e-3) {
        Outcome::Agrees => agrees(text!("The loads on the blocks in {} carry the weight.", id)),
        _ => differs(text!(
            "The loads on the blocks in {} are {} from the weight that they should carry: the calculation is \
             wrong, and none of them can be relied on.",
            id,
            Figure::mass((sum_t - weight_t).abs())
        )),
    }
}

/// The largest pressure for what its block may bear.
fn pressures(project: &Project, id: &str, loads: &Loads) -> Finding {
    let general = project.docking.bounds.limit("bearing_pressure");
    let mut rows = loads.borne(project);
    rows.retain(|borne| borne.pressure_kpa.is_some());
    let part = |borne: &Borne<'_>| borne.part().unwrap_or(0.0);
    let pressure = |borne: &Borne<'_>| borne.pressure_kpa.unwrap_or(0.0);
    rows.sort_by(|a, b| part(b).total_cmp(&part(a)).then(pressure(b).total_cmp(&pressure(a))));
    let beyond = rows.iter().filter(|borne| borne.is_beyond_limit());
    let beyond: Vec<&str> = beyond.map(|borne| borne.block.id.as_str()).collect();
    let kpa = |borne: &Borne<'_>| borne.pressure(id).map_or(Figure::pressure(0.0), Figure::Measure);
    let worst = rows.first();
    let judgement = match worst {
        None => unchecked(text!("the bearing pressures in {}", id), why_not(loads)),
        Some(borne) if borne.limit_kpa.is_none() => incomplete(text!(
            "The greatest bearing pressure in {} was {} on {}; its limit was not recorded.",
            id,
            kpa(borne),
            &borne.block.id
        )),
        Some(borne) if beyond.is_empty() => agrees(text!(
            "In {} the bearing pressure came nearest to its limit on {}, at {}.",
            id,
            &borne.block.id,
            kpa(borne)
        )),
        Some(_) => {
            let over = match beyond.len() {
                1 => "was over its bearing limit",
                _ => "were over their bearing limits",
            };
            beyond_limit(text!("{} {} in {}.", beyond.join(", "), over, id))
        }
    };
    let judgement = match worst.and_then(|borne| borne.range_kpa) {
        Some((least, greatest)) => {
            let mut sentence = judgement.sentence;
            let kpa = |kpa: f64| Form::Pressure.measure(kpa);
            sentence.extend(text!(
                " On timber half or twice as stiff as noted it would be {} there.",
                range(kpa(least), kpa(greatest))
            ));
            Judgement { sentence, ..judgement }
        }
        None => judgement,
    };
    let finding = judgement
        .finding(Subject::LoadsPressure(id.to_string()))
        .recomputed(worst.map(kpa))
        .by(&PRESSURE)
        .from(worst.map(|borne| &borne.block.place));
    match worst.and_then(|borne| Some((borne.block, borne.limit_kpa?))) {
        Some((block, kpa)) if block.bearing_limit_kpa.is_some() => finding.against(Against::limit(
            "bearing_limit",
            Figure::pressure(kpa),
            format!("the block plan, {}", block.place),
        )),
        Some(_) => finding.against_any(general),
        None => finding,
    }
}

/// Bending and shear of the hull and the load on the dock's floor, each where its limit is stated.
fn strength(project: &Project, id: &str, loads: &Loads) -> Vec<Finding> {
    let x = |station: Option<&Station>| {
        Form::Length.measure(station.map_or(0.0, |s| s.x_m)).decimals(2)
    };
    let position = text::id(id);
    let is_hogging = loads.most_bending().is_some_and(|station| station.moment_knm > 0.0);
    let bending = text!(
        "the greatest bending moment of the hull on the blocks in {}, {} at x {},",
        position,
        if is_hogging { "hogging" } else { "sagging" },
        x(loads.most_bending())
    );
    let shear = text!(
        "the greatest shear force of the hull on the blocks in {}, at x {},",
        position,
        x(loads.most_sheared())
    );
    let over_m =
        project.docking.bounds.limit("floor_load_length").map_or(0.0, |length| length.value);
    let stretch = loads.per_metre(project);
    let from_m = stretch.map_or(0.0, |stretch| stretch.from_m);
    let on_a_metre = text!(
        "the greatest load on a metre of the dock in {}, from station {},",
        position,
        range(
            Form::Length.measure(from_m).decimals(1),
            Form::Length.measure(from_m + over_m).decimals(1)
        )
    );
    let on_floor = loads.on_floor(project);
    let pressed = match on_floor {
        Some(most) => text!(
            "the greatest pressure on the dock's floor in {}, under {},",
            position,
            text::id(&most.block.id)
        ),
        None => text!("the pressure on the dock's floor in {}", position),
    };
    let rows: [(&str, ByName, Text, Option<Measure>, &Formula); 4] = [
        (
            "bending_moment",
            Subject::BendingMoment,
            bending,
            loads.most_bending_moment(id),
            &BENDING,
        ),
        ("shear_force", Subject::ShearForce, shear, loads.shear(id), &BENDING),
        ("floor_load", Subject::FloorLoad, on_a_metre, loads.on_a_metre(project, id), &PER_METRE),
        (
            "floor_pressure",
            Subject::FloorPressure,
            pressed,
            loads.floor_pressure(project, id),
            &ON_FLOOR,
        ),
    ];
    let made = rows.into_iter().filter_map(|(name, about, subject, value, formula)| {
        let limit = project.docking.bounds.limit(name)?;
        let subject = match value {
            Some(_) => subject,
            None => text!("{} in {}", limit.name.replace('_', " "), position),
        };
        let found = Limited {
            subject,
            value: value.ok_or_else(|| why_not(loads)),
            limit: Some((limit.into(), Side::EitherWay)),
        }
        .finding(about(id.to_string()))
        .by(formula)
        .from(project.weights.iter().take(1).map(|weight| &weight.place))
        .from(project.stiffness.iter().take(1).map(|length| &length.place))
        .from(project.layers.iter().take(1).map(|layer| &layer.place))
        .from(on_floor.iter().filter(|_| name == "floor_pressure").map(|most| &most.block.place));
        let times = value.map_or(0.0, |value| value.kept.abs() / limit.value);
        Some(match &limit.place {
            Some(place) if times > WRONG_UNIT => found.doubting(place),
            _ => found,
        })
    });
    made.collect()
}

/// Beyond so many times a limit, the limit itself was more likely written in another unit or without a digit (our
/// choice).
const WRONG_UNIT: f64 = 3.0;

fn named(gap: &Gap) -> Named<'_> {
    Named {
        base: gap.block.clone(),
        sort: if gap.water_depth_m.is_some_and(|depth| depth > 0.0) { "wet" } else { "dry" },
        at: gap.at,
        by: gap.by.as_deref(),
        read: format!("{:?} {:?}", gap.water_depth_m, gap.gap_m),
    }
}

/// The gaps measured in a position, each with what the finding on it is about.
pub fn measured_gaps<'a>(
    project: &'a Project,
    position: &str,
) -> impl Iterator<Item = (&'a Gap, Subject)> {
    let in_position = project.gaps.iter().filter(|gap| gap.position == position);
    let gaps: Vec<&Gap> = in_position.collect();
    let names = distinct_ids(&gaps.iter().map(|gap| named(gap)).collect::<Vec<_>>());
    let subjects = names.into_iter().map(|name| Subject::Gap(position.to_string(), name));
    gaps.into_iter().zip(subjects.collect::<Vec<_>>())
}

/// Each gap measured against the one predicted, dry or with the water at the same depth.
fn gaps(project: &Project, id: &str, loads: &Loads) -> Vec<Finding> {
    let Some(tolerance) = project.docking.bounds.tolerance("gap") else { return Vec::new() };
    let mut found = Vec::new();
    // A depth that no other gap was measured at may be wrong itself.
    let is_alone = |gap: &Gap| {
        let same = |other: &&Gap| {
            let both = other.water_depth_m.zip(gap.water_depth_m);
            other.position == id && both.is_some_and(|(a, b)| (a - b).abs() < 1e-6)
        };
        gap.water_depth_m.is_some() && project.gaps.iter().filter(same).count() == 1
    };
    for (gap, subject) in measured_gaps(project, id) {
        let block = project.blocks.iter().find(|block| block.id == gap.block);
        let stands = block.is_some_and(|block| block.stands_in(id));
        let predicted = loads.with_water(gap.water_depth_m).and_then(|(shared, _)| {
            let mut rows = loads.rows(shared);
            // What wedges closed after it was measured was still open.
            let wedged_m =
                |block: &Block| gap.at.map_or(0.0, |at| wedged_m(project, id, block, Some(at)));
            rows.find(|(b, ..)| project.blocks[b.block].id == gap.block)
                .map(|row| row.3 + block.map_or(0.0, wedged_m))
                .ok_or_else(|| "the hull does not lie over its cap".into())
        });
        let when = match gap.water_depth_m {
            Some(depth) => text!(" with {} of water in the dock", Figure::length(depth)),
            None => Text::new(),
        };
        let compared = Comparison {
            subject: text!("the gap at {} in {}{}", text::id(&gap.block), text::id(id), when),
            recorded: Some(Form::Length.measure(gap.gap_m)),
            recomputed: predicted.as_ref().ok().map(|kept| Form::Length.measure(*kept)),
            source: text!("the one predicted"),
            why_not: predicted.err().unwrap_or_default(),
            tolerance,
        }
        .finding(subject);
        let hauled = gap.at.and_then(|at| hauled_after(project, id, &gap.block, at));
        let compared = if let (true, Some(row)) = (stands, hauled) {
            let hauled_at = row.hauled_at.map_or_else(Text::new, |at| text!("{}", at));
            let sentence = text!(
                "A gap was measured at {} in {}, and that block was not hauled before {}.",
                gap.block,
                id,
                hauled_at
            );
            differs(sentence).replace_in(compared).doubting(&row.place)
        } else if stands {
            compared
        } else {
            let sentence = text!(
                "A gap was measured at {} in {}, and that block did not stand there.",
                gap.block,
                id
            );
            differs(sentence).replace_in(compared)
        };
        let outcome = compared.outcome;
        let finding =
            compared.by(&CONTACT).from([&gap.place]).from(block.map(|block| &block.place));
        // Where no load is known at all, the reason is not the block's, and may not be the water's either.
        let when = if loads.why_not.is_some() { Text::new() } else { when };
        let position = project.positions.iter().find(|position| position.id == *id);
        found.push(match (loads.with_water(gap.water_depth_m), position) {
            (Err(why_not), Some(position)) if outcome == Outcome::NotRecorded && !is_alone(gap) => {
                finding.because(
                    &position.place,
                    text!(
                        "The loads on the blocks in {}{} can't be recomputed: {}.",
                        id,
                        when,
                        why_not
                    ),
                )
            }
            _ => finding,
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_carry_the_weight_only_where_they_do() {
        let Judgement { sentence, outcome } = balanced("P1", 3000.0, 3001.0);
        assert_eq!(outcome, Outcome::Agrees);
        assert_eq!(sentence.to_string(), "The loads on the blocks in P1 carry the weight.");
        let Judgement { sentence, outcome } = balanced("P1", 2900.0, 3000.0);
        assert_eq!(outcome, Outcome::Differs);
        assert!(
            sentence.contains("100.00 t from the weight")
                && !sentence.contains("carry the weight.")
        );
    }
}
