//! The gaps between caps and hull along the ship: predicted, with the tolerance, and measured.

use super::One;
use super::keel::{self, Placed, ROWS};
use crate::findings::recomputed::loads::Buoyancy;
use crate::records::blocks::BlockRow;
use crate::report::figures::canvas::{BACK_GREY, CAP_GREY, Canvas, Pen};
use crate::report::figures::chart::{Axis, FOOT_MM, Marker, Panel};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering;
use crate::report::figures::words::{self, Unit, measure, metres};

const EDGE: Pen = Pen::solid(0.1).coloured(BACK_GREY);
/// Height of the keel row's panel and of the others', mm.
const KEEL_MM: f64 = 30.0;
const OTHER_MM: f64 = 13.0;
/// Most states of the water that are drawn.
const MOST_STATES: usize = 6;

/// A block's gaps in one state of the water, mm.
struct Gap<'a> {
    placed: Placed<'a>,
    predicted_mm: Option<f64>,
    measured_mm: Vec<f64>,
}

/// One drawing for each state of the water in which gaps were measured, strip by strip.
pub fn drawings(one: &One) -> Vec<Drawing> {
    let mut depths: Vec<Option<f64>> = Vec::new();
    for gap in one.project.gaps.iter().filter(|gap| gap.position == one.position.id) {
        if !depths.contains(&gap.water_depth_m) {
            depths.push(gap.water_depth_m);
        }
    }
    // The water falls: deepest first, dry last.
    depths.sort_by(|a, b| {
        let depth = |depth: &Option<f64>| depth.unwrap_or(f64::NEG_INFINITY);
        depth(b).total_cmp(&depth(a))
    });
    let blocks = keel::placed(one);
    let mut drawings = Vec::new();
    for depth in depths.into_iter().take(MOST_STATES) {
        let gaps: Vec<Gap> = blocks.iter().map(|placed| gap(one, *placed, depth)).collect();
        let strips = keel::strips(&blocks);
        let of = strips.len();
        for (n, x) in strips.into_iter().enumerate() {
            let number = drawings.len() + 1;
            drawings.extend(drawing(one, &gaps, x, depth, number, (n + 1, of)));
        }
    }
    drawings
}

fn gap<'a>(one: &One<'a>, placed: Placed<'a>, depth: Option<f64>) -> Gap<'a> {
    let shared = one.loads.with_water(depth).ok();
    let bearing = one.loads.blocks.iter().position(|bearing| bearing.block == placed.number);
    let predicted_mm =
        shared.zip(bearing).and_then(|((shared, _), n)| Some(shared.gaps_m.get(n)? * 1000.0));
    let of_block = one.project.gaps.iter().filter(|gap| {
        gap.position == one.position.id
            && gap.block == placed.block.id
            && gap.water_depth_m == depth
    });
    Gap { placed, predicted_mm, measured_mm: of_block.map(|gap| gap.gap_m * 1000.0).collect() }
}

fn drawing(
    one: &One,
    gaps: &[Gap],
    x: Axis,
    depth: Option<f64>,
    number: usize,
    (part, of): (usize, usize),
) -> Option<Drawing> {
    let tolerance = one.project.docking.bounds.tolerance("gap").map(|bound| bound.value * 1000.0);
    let inside = |gap: &&Gap| (0.0..=1.0).contains(&x.part(gap.placed.x_m));
    let mut canvas = Canvas::new(WIDTH_MM);
    let rows: Vec<(BlockRow, &str, Vec<&Gap>)> = ROWS
        .into_iter()
        .map(|(row, name)| {
            let of_row = |gap: &&Gap| gap.placed.block.row == row && gap.placed.stands;
            (row, name, gaps.iter().filter(of_row).filter(inside).collect())
        })
        .filter(|(_, _, gaps): &(_, _, Vec<&Gap>)| {
            gaps.iter().any(|gap| gap.predicted_mm.is_some() || !gap.measured_mm.is_empty())
        })
        .collect();
    let last = rows.len().checked_sub(1)?;
    let mut top = 0.0;
    for (n, (row, name, gaps)) in rows.iter().enumerate() {
        let height = if *row == BlockRow::Keel { KEEL_MM } else { OTHER_MM };
        let values = gaps
            .iter()
            .flat_map(|gap| {
                let edge = gap.predicted_mm.map(|predicted| predicted + tolerance.unwrap_or(0.0));
                gap.measured_mm.iter().copied().chain(edge).collect::<Vec<f64>>()
            })
            .chain([0.0, 10.0]);
        let apart = if *row == BlockRow::Keel { 5.5 } else { 4.5 };
        let y = Axis::over(format!("{name}: gap, mm"), values, height, apart)?;
        let panel = Panel::new(top, height, x.clone(), y);
        if let Some(tolerance) = tolerance {
            band(&mut canvas, &panel, gaps, tolerance);
        }
        panel.draw(&mut canvas, false);
        for gap in gaps {
            let place = |mm: f64| (gap.placed.x_m, mm);
            if let Some(predicted) = gap.predicted_mm {
                panel.mark(&mut canvas, place(predicted), Marker::Ring);
            }
            for measured in &gap.measured_mm {
                panel.mark(&mut canvas, place(*measured), Marker::Cross);
            }
        }
        let placed: Vec<Placed> = gaps.iter().map(|gap| gap.placed).collect();
        let ids = keel::letter_ids(&mut canvas, &panel, &placed);
        top = panel.area.bottom + ids;
        if n == last {
            panel.foot(&mut canvas, ids);
            top += FOOT_MM;
        }
    }
    let mut samples = vec![
        (Sample::Marker(Marker::Cross), "measured".to_string()),
        (Sample::Marker(Marker::Ring), "predicted".to_string()),
    ];
    if let Some(tolerance) = tolerance {
        let words = format!("predicted give or take {}", measure(tolerance, Unit::Millimetre, 1));
        samples.push((Sample::Cap, words));
    }
    let used = legend::rows(&mut canvas, top, &samples);
    let words = said(one, gaps, depth, tolerance, (part, of));
    Some(one.draw(Group::LandingGaps, &format!("gaps-{number}"), words, canvas, used))
}

/// The tolerance about each predicted gap, none below nothing.
fn band(canvas: &mut Canvas, panel: &Panel, gaps: &[&Gap], tolerance_mm: f64) {
    for gap in gaps {
        let Some(predicted) = gap.predicted_mm else { continue };
        let half = gap.placed.block.cap.length_m / 2.0;
        let up = |mm: f64| panel.up(mm).clamp(panel.area.top, panel.area.bottom);
        let (left, right) =
            (panel.across(gap.placed.x_m - half), panel.across(gap.placed.x_m + half));
        let grown = (0.6 - (right - left)).max(0.0) / 2.0;
        let area = Area {
            left: left - grown,
            right: right + grown,
            top: up(predicted + tolerance_mm),
            bottom: up((predicted - tolerance_mm).max(0.0)),
        };
        if panel.area.holds(&area) {
            canvas.ring(&area.corners(), Some(EDGE), Some(CAP_GREY));
        }
    }
}

fn said(
    one: &One,
    gaps: &[Gap],
    depth: Option<f64>,
    tolerance_mm: Option<f64>,
    (part, of): (usize, usize),
) -> Words {
    let state = match depth {
        None => "dock dry".to_string(),
        Some(depth) => format!("{} of water over the floor", metres(depth, 2)),
    };
    let part = words::part((part, of));
    let title = format!("Gaps in position {}, {state}{part}", one.id);
    let mut caption = "Between cap and hull, of the blocks that stand.".to_string();
    caption.push_str(&match one.loads.with_water(depth) {
        Err(why_not) => format!(" Nothing is predicted: {}.", lettering::shown(why_not)),
        Ok((_, Buoyancy::Recorded)) => {
            " Predicted with the recorded curve of buoyancy.".to_string()
        }
        Ok((_, Buoyancy::Trapezoid)) => {
            " Predicted with a trapezoid of buoyancy, since no curve is recorded.".to_string()
        }
        Ok((_, Buoyancy::None)) if depth.is_some() => {
            " Predicted without buoyancy, since the water does not reach her keel.".to_string()
        }
        Ok((_, Buoyancy::None)) => String::new(),
    });
    let measured = gaps.iter().flat_map(|gap| gap.measured_mm.iter().map(move |mm| (gap, *mm)));
    let measured: Vec<(&Gap, f64)> = measured.collect();
    let beyond = measured
        .iter()
        .filter(|(gap, mm)| {
            gap.predicted_mm
                .zip(tolerance_mm)
                .is_some_and(|(predicted, tolerance)| (mm - predicted).abs() > tolerance + 1e-6)
        })
        .count();
    let mut alt = format!("{title}. {} measured", words::count(measured.len(), "gap"));
    if let Some((gap, mm)) = measured.iter().max_by(|a, b| a.1.total_cmp(&b.1)) {
        let predicted = gap.predicted_mm.map_or(String::new(), |predicted| {
            format!(", where {} are predicted", measure(predicted, Unit::Millimetre, 1))
        });
        alt.push_str(&format!(
            "; the greatest {} at {}{predicted}",
            measure(*mm, Unit::Millimetre, 0),
            lettering::shown(&gap.placed.block.id)
        ));
    }
    if let Some(tolerance) = tolerance_mm {
        alt.push_str(&format!(
            "; {beyond} further from the predicted gap than the tolerance of {}",
            measure(tolerance, Unit::Millimetre, 1)
        ));
    }
    alt.push('.');
    Words { title, caption, alt }
}
