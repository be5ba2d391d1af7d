//! The water log against itself and against the depths that were measured under water.

use super::PositionFindings;
use crate::calc::dewatering::{RATE, against_the_way};
use crate::findings::finding::{Against, Figure, Finding};
use crate::findings::judge::{agrees, differs};
use crate::findings::naming::count;
use crate::findings::recomputed::landing::top_of;
use crate::findings::recomputed::water::{WaterLog, Way};
use crate::findings::subject::Subject;
use crate::records::checks::Gap;
use crate::records::place::Place;
use crate::records::water::WaterLevel;
use crate::text;
use crate::text::{Form, Text};

impl PositionFindings<'_> {
    /// How far two readings of the level may lie apart, m: each may be off by the tolerance.
    fn two_readings_m(&self) -> Option<f64> {
        let tolerance = self.project.docking.bounds.tolerance("water_level")?;
        Some(2.0 * tolerance.value)
    }

    fn between_two(&self, allowed_m: f64) -> Against {
        let tolerance = self.project.docking.bounds.tolerance("water_level");
        Against {
            sort: crate::records::bounds::Sort::Tolerance,
            name: "water_level".to_string(),
            value: Figure::length(allowed_m),
            source: format!(
                "twice that of one level: {}",
                tolerance.map_or("", |tolerance| tolerance.source.as_str())
            ),
        }
    }

    /// The level falls while it is pumped out, and rises while it is let in. `None` where the log does not say when.
    pub(super) fn way_of_the_water(&self) -> Option<Finding> {
        let allowed_m = self.two_readings_m()?;
        let id = &self.position.id;
        let log = WaterLog::new(self.project, id);
        let mut examined = 0;
        let mut faults: Vec<(&WaterLevel, Text)> = Vec::new();
        for (way, rows) in log.ways() {
            examined += rows.len();
            let levels: Vec<f64> = rows.iter().map(|row| row.level_m).collect();
            let signed: Vec<f64> = match way {
                Way::Falling => levels.clone(),
                Way::Rising => levels.iter().map(|level| -level).collect(),
            };
            for n in against_the_way(&signed, allowed_m) {
                let (what, should) = match way {
                    Way::Falling => ("pumped out", "fall"),
                    Way::Rising => ("let in", "rise"),
                };
                let neighbours = [n.checked_sub(1), Some(n + 1)].into_iter().flatten();
                let beside: Vec<Text> = neighbours
                    .filter_map(|n| rows.get(n))
                    .map(|row| text!("{} at {}", Figure::length(row.level_m), row.at))
                    .collect();
                let sentence = text!(
                    "at {} it stands at {}, beside {}, while the water was {} and the level could only {}",
                    rows[n].at,
                    Figure::length(rows[n].level_m),
                    Text::listed(beside),
                    what,
                    should
                );
                faults.push((rows[n], sentence));
            }
        }
        let first = faults.first().map(|(row, _)| *row);
        let judgement = match first {
            None if examined == 0 => return None,
            None => agrees(text!(
                "The water log of {} falls while it is pumped out and rises while it is let in, in {}.",
                text::id(id),
                count(examined, "reading")
            )),
            Some(_) => differs(text!(
                "The level in the water log of {} can't be right: {}.",
                text::id(id),
                Text::joined(faults.into_iter().map(|(_, sentence)| sentence), "; ")
            )),
        };
        let found = judgement.finding(Subject::WaterWay(id.clone())).by(&RATE);
        let found = found.against(self.between_two(allowed_m));
        Some(match first {
            Some(row) => found.doubting(&row.place),
            None => found.from(log.readings.iter().take(1).map(|row| &row.place)),
        })
    }

    /// The depth of the water with each gap measured against the log at that time. `None` where no gap has both.
    pub(super) fn depths_at_gaps(&self) -> Option<Finding> {
        let allowed_m = self.two_readings_m()?;
        let floor_m = self.project.docking.dock.floor_level_m?;
        let id = &self.position.id;
        let log = WaterLog::new(self.project, id);
        let timed = |gap: &&Gap| gap.position == *id;
        let mut examined = 0;
        let mut off: Vec<(&Gap, Text)> = Vec::new();
        for gap in self.project.gaps.iter().filter(timed) {
            let Some(logged_m) = gap.at.and_then(|at| log.level_at(at)) else { continue };
            examined += 1;
            let depth_m = logged_m - floor_m;
            let fault = match gap.water_depth_m {
                Some(noted_m) if (noted_m - depth_m).abs() > allowed_m + 1e-9 => text!(
                    "with {} there {} of water stood in the dock, and by its log {}",
                    text::id(&gap.block),
                    Figure::length(noted_m),
                    Figure::length(depth_m)
                ),
                // Dry is what the cap is; a puddle on the floor is none of its business.
                None if self
                    .top_m(&gap.block)
                    .is_some_and(|top_m| logged_m > top_m + allowed_m) =>
                {
                    text!(
                        "the gap at {} has no depth of water, as one measured in the dry, and by its log {} stood in \
                         the dock",
                        text::id(&gap.block),
                        Figure::length(depth_m)
                    )
                }
                _ => continue,
            };
            off.push((gap, fault));
        }
        if examined == 0 {
            return None;
        }
        let about = Subject::GapDepths(id.clone());
        let Some((first, fault)) = off.first() else {
            let sentence = text!(
                "The depths of the water noted with {} in {} agree with the log at their times.",
                count(examined, "gap"),
                text::id(id)
            );
            let found = agrees(sentence).finding(about).against(self.between_two(allowed_m));
            return Some(found.by(&RATE).from(log.readings.iter().take(1).map(|row| &row.place)));
        };
        let at = first.at.map_or(Text::new(), |at| text!("At {} ", at));
        let more = match off.len() - 1 {
            0 => Text::new(),
            more => text!("; likewise {} more", count(more, "gap")),
        };
        let found = differs(text!("{}{}{}.", at, fault, more).capitalized()).finding(about);
        let found = found
            .recorded(first.water_depth_m.map(Figure::length))
            .against(self.between_two(allowed_m))
            .by(&RATE)
            .from(off.iter().map(|(gap, _)| &gap.place))
            .from(first.at.map(|at| log.rows_at(at)).unwrap_or_default());
        // One among several is a slip of its own; where most are off, the log or the floor's level may be.
        Some(if off.len() * 2 <= examined { found.doubting(&first.place) } else { found })
    }

    fn top_m(&self, block: &str) -> Option<f64> {
        let block = self.project.blocks.iter().find(|known| known.id == block)?;
        top_of(self.project, block)
    }

    /// The rows of the log between which the water fell fastest.
    pub(super) fn fastest_rows(&self) -> Option<([&Place; 2], Text)> {
        let times = &self.position.times;
        let log = WaterLog::new(self.project, &self.position.id);
        let [from, to] = log.fastest_fall(None, times.dry.or(times.landed))?;
        let between = text!(
            "from {} to {} ({} to {})",
            from.at,
            to.at,
            Form::Length.measure(from.level_m),
            Form::Length.measure(to.level_m)
        );
        Some(([&from.place, &to.place], between))
    }
}
