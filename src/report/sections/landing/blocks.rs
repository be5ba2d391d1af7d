//! Block loads and gaps, block by block.

use serde::Serialize;

use super::{Held, finding, finding_on};
use crate::calc::loads::Outcome;
use crate::findings::Examined;
use crate::records::blocks::Block;
use crate::report::legible::Narrow;
use crate::report::text;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

#[derive(Serialize, Default)]
pub(super) struct Loads {
    rows: Vec<Row>,
    totals: Vec<(&'static str, Option<String>)>,
    /// Blocks that stand and do not bear, and those left out, in a text each; `None` for none.
    not_bearing: Option<String>,
    left_out: Vec<LeftOut>,
    why_not: Option<String>,
    greatest: Held,
}

#[derive(Serialize)]
struct Row {
    block: Narrow,
    x: String,
    load: Option<String>,
    rigid: Option<String>,
    pressure: Option<String>,
    limit: Option<String>,
    part: Option<String>,
    gap: Option<String>,
}

#[derive(Serialize)]
struct LeftOut {
    block: Narrow,
    neighbour: Narrow,
    with: String,
    without: String,
    more: String,
}

/// Loads under this are what the calculation leaves over, kN.
const NO_LOAD_KN: f64 = 0.01;

fn tonnes(load_kn: f64, decimals: usize) -> String {
    text::number(load_kn / STANDARD_GRAVITY_M_PER_S2, decimals)
}

/// The blocks that stand and bear nothing, in the order of the block plan.
pub(in crate::report::sections) fn not_bearing(examined: &Examined, number: usize) -> Vec<&Block> {
    let Some(loads) = examined.recomputed.loads.get(number) else { return Vec::new() };
    let Some(girder) = &loads.girder else { return Vec::new() };
    let idle = loads.rows(girder).filter(|row| row.1 <= NO_LOAD_KN).map(|row| row.0);
    idle.filter_map(|bearing| examined.project.blocks.get(bearing.block)).collect()
}

/// The greatest load, kN, and its block.
pub(in crate::report::sections) fn greatest(
    examined: &Examined,
    number: usize,
) -> Option<(f64, &str)> {
    let loads = examined.recomputed.loads.get(number)?;
    let rows = loads.rows(loads.girder.as_ref()?);
    let (bearing, load, ..) = rows.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some((load, examined.project.blocks.get(bearing.block)?.id.as_str()))
}

/// The blocks that bore more than their limit, with pressure and limit in kPa.
pub(in crate::report::sections) fn beyond_limit(
    examined: &Examined,
    number: usize,
) -> Vec<(&str, f64, f64)> {
    let general =
        examined.project.docking.bounds.limit("bearing_pressure").map(|limit| limit.value);
    let Some(loads) = examined.recomputed.loads.get(number) else { return Vec::new() };
    let rows = loads.girder.iter().flat_map(|girder| loads.rows(girder));
    rows.filter_map(|(bearing, _, pressure, _)| {
        let block = examined.project.blocks.get(bearing.block)?;
        let (kpa, limit) = (pressure?, block.bearing_limit_kpa.or(general)?);
        (kpa > limit + 1e-6).then_some((block.id.as_str(), kpa, limit))
    })
    .collect()
}

pub(super) fn loads(examined: &Examined, number: usize) -> Loads {
    let project = &examined.project;
    let Some((loads, position)) =
        examined.recomputed.loads.get(number).zip(project.positions.get(number))
    else {
        return Loads::default();
    };
    let general = project.docking.bounds.limit("bearing_pressure").map(|limit| limit.value);
    let load = |outcome: &Option<Outcome>, n: usize| {
        outcome.as_ref().and_then(|outcome| outcome.loads_kn.get(n)).copied()
    };
    let rows = loads.blocks.iter().enumerate().filter_map(|(n, bearing)| {
        let block = project.blocks.get(bearing.block)?;
        let girder = load(&loads.girder, n);
        let pressure = girder.map(|load| load / bearing.area_m2);
        let limit = block.bearing_limit_kpa.or(general);
        let gap = loads.girder.as_ref().and_then(|girder| girder.gaps_m.get(n));
        Some(Row {
            block: Narrow::new(&block.id),
            x: text::number(bearing.spring.x_m, 2),
            load: girder.map(|load| tonnes(load, 1)),
            rigid: load(&loads.rigid, n).map(|load| tonnes(load, 1)),
            pressure: pressure.map(|kpa| text::number(kpa, 0)),
            limit: limit.map(|kpa| text::number(kpa, 0)),
            part: pressure.zip(limit).map(|(kpa, limit)| text::number(100.0 * kpa / limit, 0)),
            gap: gap.map(|gap| text::number(gap * 1000.0, 0)),
        })
    });
    let idle = not_bearing(examined, number);
    let names: Vec<&str> = idle.iter().map(|block| block.id.as_str()).collect();
    let left_out = loads.left_out.iter().filter_map(|one| {
        Some(LeftOut {
            block: Narrow::new(&project.blocks.get(one.block)?.id),
            neighbour: Narrow::new(&project.blocks.get(one.neighbour)?.id),
            with: tonnes(one.with_kn, 1),
            without: tonnes(one.without_kn, 1),
            more: tonnes(one.without_kn - one.with_kn, 1),
        })
    });
    let nothing = loads.girder.is_none();
    Loads {
        rows: rows.collect(),
        totals: loads
            .girder
            .as_ref()
            .map_or_else(Vec::new, |girder| totals(girder, loads.weight_t)),
        not_bearing: (!names.is_empty()).then(|| text::and(&names)),
        left_out: left_out.collect(),
        why_not: nothing.then(|| {
            loads.why_not.clone().unwrap_or_else(|| "the loads could not be found".to_string())
        }),
        greatest: Held::of(finding(examined, &format!("landing.{}.loads.pressure", position.id))),
    }
}

fn totals(girder: &Outcome, weight_t: f64) -> Vec<(&'static str, Option<String>)> {
    let sum: f64 = girder.loads_kn.iter().sum();
    // What is left over is rounding: its size alone says something.
    let left = |value: f64, unit: &str| {
        let size = value.abs();
        Some(if size < 0.001 {
            format!("less than 0.001 {unit}")
        } else {
            format!("{} {unit}", text::number(size, 3))
        })
    };
    vec![
        ("Weight carried", Some(format!("{} t", text::number(weight_t, 1)))),
        ("Sum of the loads", Some(format!("{} t", tonnes(sum, 1)))),
        ("Left over: force", left(girder.residual_force_kn, "kN")),
        ("Left over: moment along the ship", left(girder.residual_moment_knm, "kN m")),
        ("Left over: moment athwart", left(girder.residual_athwart_knm, "kN m")),
        (
            "Settlement in the middle of the blocks",
            Some(format!("{} mm", text::number(girder.settlement_m * 1000.0, 1))),
        ),
    ]
}

#[derive(Serialize)]
pub(super) struct Gaps {
    rows: Vec<GapRow>,
    tolerance: Option<String>,
}

#[derive(Serialize)]
struct GapRow {
    block: Narrow,
    water: String,
    measured: String,
    predicted: Option<String>,
    difference: Option<String>,
    outcome: Option<&'static str>,
}

pub(super) fn gaps(examined: &Examined, number: usize) -> Gaps {
    let project = &examined.project;
    let position = project.positions.get(number);
    let tolerance = project.docking.bounds.tolerance("gap");
    let rows = position.into_iter().flat_map(|position| {
        let begins = format!("landing.{}.gap.", position.id);
        project.gaps.iter().filter(|gap| gap.position == position.id).map(move |gap| {
            let finding = finding_on(examined, &begins, &gap.place);
            let predicted_m =
                finding.and_then(|finding| Some(finding.recomputed.as_ref()?.measure()?.kept));
            GapRow {
                block: Narrow::new(&gap.block),
                water: gap.water_depth_m.map_or("dry".to_string(), |depth| text::number(depth, 2)),
                measured: text::number(gap.gap_m * 1000.0, 0),
                predicted: predicted_m.map(|gap| text::number(gap * 1000.0, 1)),
                difference: predicted_m.map(|m| text::number((gap.gap_m - m) * 1000.0, 1)),
                outcome: finding.map(|finding| finding.outcome.words()),
            }
        })
    });
    Gaps {
        rows: rows.collect(),
        tolerance: tolerance.map(|bound| text::number(bound.value * 1000.0, 1)),
    }
}
