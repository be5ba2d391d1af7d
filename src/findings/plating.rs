//! What strakes and anodes have lost, against their limits, and what can't be true of them.

use super::finding::{Against, Figure, Finding, Outcome};
use super::judge::{
    Facts, agrees, beyond_limit, differs, exceeds, incomplete, not_recorded, unchecked,
};
use super::recomputed::Recomputed;
use super::recomputed::measures::{anode_loss_part, plate_loss, plate_loss_part};
use super::recomputed::plating::{Strake, plate};
use super::{instruments, repairs};
use crate::calc::plating::{ANODE_LOSS, LOSS, beyond};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::bounds::Bound;
use crate::records::place::Place;
use crate::records::plating::{Anode, Gauging, PlateLimit};
use crate::text;
use crate::text::Text;

/// What is no difference between two masses, t.
const SLACK_T: f64 = 1e-9;

/// Every finding of the plating, then of the anodes.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let bounds = &project.docking.bounds;
    let mut found = Vec::new();
    for strake in &recomputed.strakes {
        found.push(loss(project, strake));
        found.extend(
            bounds
                .tolerance("plate_thickness")
                .map(|tolerance| original(project, strake, tolerance)),
        );
    }
    found.extend(recomputed.strakes.iter().filter_map(|strake| instruments::pits(project, strake)));
    found.extend(instruments::checks(project));
    found.extend(repairs::findings(project, recomputed));
    let limit = bounds.limit("anode_loss");
    found.extend(project.anodes.iter().map(|anode| anode_loss(anode, limit)));
    found
}

/// The strake's worst place against its limit: the one that has used up most of what it may lose
/// speaks for the strake.
fn loss(project: &Project, strake: &Strake) -> Finding {
    let name = &strake.name;
    let gauging = |n: usize| strake.gaugings.get(n).and_then(|at| project.plating.get(*at));
    let group = strake.group.as_ref();
    let worst = group.and_then(|group| gauging(group.nearest_limit?));
    let beyond: Vec<&Gauging> =
        group.iter().flat_map(|group| &group.beyond).filter_map(|n| gauging(*n)).collect();
    let all: Vec<&Place> = strake
        .gaugings
        .iter()
        .chain(&strake.without_original)
        .filter_map(|at| Some(&project.plating.get(*at)?.place))
        .collect();
    let unlimited = strake
        .gaugings
        .iter()
        .filter(|at| project.plating.get(**at).is_some_and(|gauging| gauging.limit.is_none()))
        .count();
    let not_judged = unlimited + strake.without_original.len();
    let aside = if worst.is_some() && not_judged > 0 {
        text!(" {} of {} gaugings lack an original or a limit.", not_judged, all.len())
    } else {
        Text::new()
    };
    let judgement = match worst {
        None if strake.gaugings.is_empty() => {
            unchecked(text!("what strake {} has lost", name), "no original thickness is recorded")
        }
        None => not_recorded(text!("what strake {} may lose at any of its gaugings", name)),
        Some(_) if !beyond.is_empty() => {
            let places = Text::joined(beyond.iter().map(|gauging| place_with_loss(gauging)), "; ");
            let sentence =
                text!("Strake {} has lost more than is allowed at {}.{}", name, places, aside);
            beyond_limit(sentence)
        }
        Some(worst) => agrees(text!(
            "Strake {} is within its limits, nearest to them at {}.{}",
            name,
            place_with_loss(worst),
            aside
        )),
    };
    let beyond_or_worst = |place: &Place| match beyond.as_slice() {
        [] => worst.is_some_and(|worst| worst.place == *place),
        beyond => beyond.iter().any(|gauging| gauging.place == *place),
    };
    let (first, rest): (Vec<&Place>, Vec<&Place>) =
        all.into_iter().partition(|place| beyond_or_worst(place));
    let finding = judgement
        .finding(Subject::PlateLoss(name.clone()))
        .recorded(worst.map(|worst| Figure::plate(worst.measured_m)))
        .recomputed(worst.and_then(|worst| {
            let lost = match worst.limit? {
                PlateLimit::RelativeLoss(_) => plate_loss_part(worst),
                _ => plate_loss(worst),
            };
            lost.map(Figure::Measure)
        }))
        .measured(worst.and_then(left_and_lost))
        .by(&LOSS);
    let finding = Finding { records: first.into_iter().chain(rest).cloned().collect(), ..finding };
    finding.against_any(worst.and_then(against))
}

/// A place of a strake with its loss: `plate 14 (2.90 mm, 24.2 %)`.
fn place_with_loss(gauging: &Gauging) -> Text {
    let Some(lost) = plate_loss(gauging) else {
        return text!("plate {}", gauging.plate);
    };
    let share = plate_loss_part(gauging).map(|part| text!(", {}", part)).unwrap_or_default();
    text!("plate {} ({}{})", gauging.plate, lost, share)
}

/// What is left of a plate, of how much, and so what is lost: a thickness is not held against a share.
fn left_and_lost(gauging: &Gauging) -> Option<Text> {
    let (original_m, lost) = (gauging.original_m?, plate_loss(gauging)?);
    let share = plate_loss_part(gauging).map(|part| text!(", {}", part)).unwrap_or_default();
    let (left, original) = (Figure::plate(gauging.measured_m), Figure::plate(original_m));
    Some(text!("{} left of {}: {}{} lost", left, original, lost, share))
}

/// A plate's limit in figures.
pub fn limit_figure(limit: PlateLimit) -> Figure {
    match limit {
        PlateLimit::Loss(m) | PlateLimit::LeastThickness(m) => Figure::plate(m),
        PlateLimit::RelativeLoss(pct) => Figure::ratio(pct),
    }
}

/// The limit that a gauging states.
fn against(gauging: &Gauging) -> Option<Against> {
    let limit = gauging.limit?;
    let name = match limit {
        PlateLimit::Loss(_) => "loss_limit",
        PlateLimit::RelativeLoss(_) => "relative_loss_limit",
        PlateLimit::LeastThickness(_) => "least_thickness",
    };
    let source = format!("the gaugings, {}", gauging.place);
    Some(Against::limit(name, limit_figure(limit), source))
}

/// No plate grows: measured over original by more than the tolerance is a mistake in one of the two.
fn original(project: &Project, strake: &Strake, tolerance: &Bound) -> Finding {
    let name = &strake.name;
    let compared: Vec<(&Gauging, f64)> = strake
        .gaugings
        .iter()
        .filter_map(|at| project.plating.get(*at))
        .filter_map(|gauging| Some((gauging, gauging.original_m?)))
        .collect();
    let gain = |(gauging, original): &(&Gauging, f64)| gauging.measured_m - original;
    let thicker: Vec<&(&Gauging, f64)> =
        compared.iter().filter(|pair| exceeds(gain(pair), tolerance.value)).collect();
    let fault = |(gauging, original): &&(&Gauging, f64)| {
        text!(
            "plate {} is {} thick for an original of {}{}",
            gauging.plate,
            Figure::plate(gauging.measured_m),
            Figure::plate(*original),
            match gauging.through_coating {
                Some(true) => ", read through the coating",
                _ => "",
            }
        )
    };
    let which = match strake.gaugings.len() {
        all if all == compared.len() => format!("None of the {all} gaugings of strake {name}"),
        all => format!(
            "None of {} of the {all} gaugings of strake {name}, those with an original,",
            compared.len()
        ),
    };
    let judgement = if compared.is_empty() {
        not_recorded(text!("the original thickness of strake {}", name))
    } else {
        Facts {
            subject: text!("the gaugings of strake {}", name),
            faults: thicker.iter().map(fault).collect(),
            missing: Vec::new(),
            sound: text!("{} is thicker than the plate was built.", which),
        }
        .judge()
    };
    let all = || strake.gaugings.iter().filter_map(|at| Some(&project.plating.get(*at)?.place));
    let places: Vec<&Place> = match thicker.as_slice() {
        [] => all().collect(),
        thicker => thicker.iter().map(|(gauging, _)| &gauging.place).collect(),
    };
    judgement
        .finding(Subject::PlateOriginal(name.clone()))
        .recomputed(compared.iter().map(gain).reduce(f64::max).map(Figure::plate))
        .against(tolerance)
        .by(&LOSS)
        .from(places)
}

/// An anode's loss against the limit, unless it was renewed; and that it can't have grown.
fn anode_loss(anode: &Anode, limit: Option<&Bound>) -> Finding {
    let id = &anode.id;
    let masses = anode.mass_fitted_t.zip(anode.mass_found_t);
    let pct = anode_loss_part(anode);
    let beyond = limit.zip(pct).is_some_and(|(limit, pct)| exceeds(pct.kept, limit.value));
    let grown = masses.filter(|(fitted, found)| *found > *fitted + SLACK_T);
    let subject = text!("what anode {} has lost", id);
    let judgement = match (masses, pct) {
        (None, _) => {
            let why = match (anode.mass_fitted_t, anode.mass_found_t) {
                (None, None) => "neither mass was recorded",
                (None, _) => "the mass fitted was not recorded",
                _ => "the mass found was not recorded",
            };
            unchecked(subject, why)
        }
        (Some((fitted, found)), _) if grown.is_some() => differs(text!(
            "Anode {} can't have been found at {} when it was fitted at {}.",
            id,
            Figure::kilograms(found),
            Figure::kilograms(fitted)
        )),
        (Some(_), None) => unchecked(subject, "its mass fitted is given as nothing"),
        (Some(_), Some(pct)) => {
            let lost = text!("Anode {} had lost {}", id, pct);
            match (beyond, anode.renewed) {
                (true, Some(true)) => agrees(text!("{}, over the limit, and was renewed.", lost)),
                (true, Some(false)) => {
                    beyond_limit(text!("{}, over the limit, and was not renewed.", lost))
                }
                (true, None) => incomplete(text!(
                    "{}, over the limit; whether it was renewed was not recorded.",
                    lost
                )),
                (false, renewed) => {
                    let renewed = match renewed {
                        Some(true) => " and was renewed",
                        Some(false) => " and was left",
                        None => "",
                    };
                    let limit = if limit.is_some() { "" } else { "; no limit is stated" };
                    agrees(text!("{}{}{}.", lost, renewed, limit))
                }
            }
        }
    };
    judgement
        .finding(Subject::AnodeLoss(id.clone()))
        .recorded(anode.mass_found_t.map(Figure::kilograms))
        .recomputed(pct.map(Figure::Measure))
        .measured(masses.map(|(fitted, found)| {
            let [found, of] = [found, fitted].map(Figure::kilograms);
            match pct.filter(|_| grown.is_none()) {
                Some(pct) => text!("{} found of {} fitted: {} lost", found, of, pct),
                None => text!("{} found of {} fitted", found, of),
            }
        }))
        .by(&ANODE_LOSS)
        .from([&anode.place])
        .against_any(limit.filter(|_| grown.is_none()))
}

/// The outcome of one gauging by itself: beyond its limit, within it, or without one to hold it against.
pub fn gauging_outcome(project: &Project, gauging: usize) -> Outcome {
    match plate(project, gauging).and_then(|plate| Some((plate, plate.limit?))) {
        None => Outcome::NotRecorded,
        Some((plate, limit)) if beyond(plate.original_m, plate.measured_m, limit) => {
            Outcome::BeyondLimit
        }
        Some(_) => Outcome::Agrees,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::{Examined, examine};
    use crate::records::memory;

    const PLATING: &str = "strake,plate,x_m,y_m,original_mm,measured_mm,loss_limit_mm,\
                           relative_loss_limit_pct,least_thickness_mm,at,by\n";

    fn examined(plating: &str, anodes: &str, docking: &str) -> Examined {
        let anodes = format!("anode,x_m,y_m,mass_fitted_kg,mass_found_kg,renewed,at,by\n{anodes}");
        let docking = format!(
            "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n{docking}"
        );
        let project = memory::project(&[
            ("docking.toml", docking),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\n".into()),
            ("hull/plating.csv", format!("{PLATING}{plating}")),
            ("hull/anodes.csv", anodes),
        ]);
        examine(project).unwrap_or_else(|problems| panic!("{problems:?}"))
    }

    fn finding<'a>(examined: &'a Examined, id: &str) -> &'a Finding {
        let found = examined.findings.iter().find(|finding| finding.id == id);
        found.unwrap_or_else(|| panic!("no {id}"))
    }

    #[test]
    fn every_plate_beyond_its_limit_is_named() {
        // 2.5 mm of 12 is 20.8 %; 3 mm of 10 leaves 7; 2 mm of 10 is exactly what is allowed.
        let examined = examined(
            "A,1,,,12,9.5,,20,,,\nA,2,,,10,7,,,7.5,,\nA,3,,,10,8,2,,,,\nA,4,,,10,8,,,,,\nB,1,,,10,8,2,,,,\n\
             C,1,,,10,8,,,,,\nD,1,,,,8,2,,,,\n",
            "",
            "",
        );
        let a = finding(&examined, "plating.A.loss");
        assert_eq!(a.outcome, Outcome::BeyondLimit);
        assert_eq!(
            a.sentence.to_string(),
            "Strake A has lost more than is allowed at plate 1 (2.50 mm, 20.8 %); plate 2 (3.00 mm, \
             30.0 %). 1 of 4 gaugings lack an original or a limit."
        );
        // Plate 2 is furthest beyond: 3 mm of 2.5 against 2.5 of 2.4.
        assert_eq!(a.against.as_ref().map(|a| a.value.clone()), Some(Figure::plate(0.0075)));
        let lines: Vec<Option<u32>> = a.records.iter().map(|place| place.line).collect();
        assert_eq!(lines, [Some(2), Some(3), Some(4), Some(5)]);
        assert_eq!(finding(&examined, "plating.B.loss").outcome, Outcome::Agrees);
        for id in ["plating.C.loss", "plating.D.loss", "plating.D.original"] {
            assert_eq!(finding(&examined, id).outcome, Outcome::NotRecorded, "{id}");
        }
    }

    #[test]
    fn a_plate_may_be_thicker_by_the_tolerance_and_no_more() {
        let examined =
            examined("A,1,,,10,10.2,2,,,,\nB,7,,,10,10.21,2,,,,\nB,8,,,10,9,2,,,,\n", "", "");
        assert_eq!(finding(&examined, "plating.A.original").outcome, Outcome::Agrees);
        let b = finding(&examined, "plating.B.original");
        assert_eq!(b.outcome, Outcome::Differs);
        assert!(b.sentence.contains("plate 7 is 10.21 mm thick for an original of 10.00 mm"));
        assert_eq!(b.records.len(), 1);
    }

    #[test]
    fn anodes_against_growth_and_the_limit() {
        let rows = "A1,,,12,12.9,yes,,\nA2,,,20,5,no,,\nA3,,,20,4.9,no,,\nA4,,,20,1,yes,,\n\
                    A5,,,20,1,,,\nA6,,,,9,no,,\nA7,,,0,0,no,,\nA8,,,0,1,no,,\n";
        let limit = "[limits.anode_loss]\nvalue = 75\nunit = \"pct\"\n";
        let limited = examined("", rows, limit);
        use Outcome::{Agrees, BeyondLimit, Differs, NotRecorded};
        let wanted =
            [Differs, Agrees, BeyondLimit, Agrees, NotRecorded, NotRecorded, NotRecorded, Differs];
        for (n, outcome) in wanted.into_iter().enumerate() {
            let id = format!("anodes.A{}.loss", n + 1);
            assert_eq!(finding(&limited, &id).outcome, outcome, "{id}");
        }
        let grown = finding(&limited, "anodes.A1.loss");
        assert_eq!(grown.recorded, Some(Figure::kilograms(0.0129)));
        assert!(grown.sentence.contains("12.90 kg when it was fitted at 12.00 kg"));
        // Without a limit nothing is beyond it, and the loss is said.
        let free = examined("", rows, "");
        let a3 = finding(&free, "anodes.A3.loss");
        assert_eq!(a3.outcome, Agrees);
        assert!(a3.sentence.contains("75.5 %") && a3.sentence.contains("no limit is stated"));
    }
}
