//! How she landed in one line a position, for the page of what the next team needs to know.

use super::blocks;
use crate::findings::Examined;
use crate::records::blocks::BlockRow;
use crate::report::text;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// Blocks that did not bear, by name; more are counted.
const MOST_BLOCKS: usize = 4;

/// A line for each position of which something could be worked out.
pub(in crate::report::sections) fn lines(examined: &Examined) -> Vec<String> {
    let each = (0..examined.project.positions.len()).filter_map(|n| line(examined, n));
    each.collect()
}

fn line(examined: &Examined, number: usize) -> Option<String> {
    let project = &examined.project;
    let position = project.positions.get(number)?;
    let landing = examined.recomputed.landings.get(number)?;
    let mut parts = Vec::new();
    if let Some(touch) = landing.touch {
        let block = landing.seats.get(touch.seat).and_then(|(n, _)| project.blocks.get(*n));
        parts.extend(block.map(|block| format!("touched first at {}", block.id)));
    }
    let least = landing.critical.zip(landing.kg_m).zip(landing.afloat.as_ref());
    parts.extend(least.map(|((critical, kg), afloat)| {
        format!("least GM {} m", text::number(critical.least_gm_m(kg, afloat.displacement_t), 2))
    }));
    if let Some((load, block)) = blocks::greatest(examined, number) {
        let load = text::number(load / STANDARD_GRAVITY_M_PER_S2, 0);
        parts.push(format!("greatest block load {load} t on {block}"));
        let beyond = blocks::beyond_limit(examined, number);
        if !beyond.is_empty() {
            let each: Vec<String> = beyond
                .iter()
                .map(|(block, pressure, limit)| {
                    let kpa = |value: &f64| text::number(*value, 0);
                    format!("{block} ({} kPa, limit {} kPa)", kpa(pressure), kpa(limit))
                })
                .collect();
            parts.push(format!("beyond their bearing limit: {}", each.join(", ")));
        }
        let mut idle = blocks::not_bearing(examined, number);
        idle.retain(|block| block.row == BlockRow::Keel);
        let names: Vec<&str> = idle.iter().map(|block| block.id.as_str()).collect();
        parts.push(match names.len() {
            0 => "by the same reckoning every keel block bore".to_string(),
            n if n <= MOST_BLOCKS => format!("keel blocks not bearing: {}", text::and(&names)),
            n => format!("{n} keel blocks not bearing, see Landing"),
        });
    }
    (!parts.is_empty()).then(|| format!("{}: {}.", position.id, parts.join("; ")))
}
