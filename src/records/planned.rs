//! The records as they would stand if the plan were copied into what is recorded: all of them, and those alone of what
//! has not happened yet. A plan is examined by the same calculations as a record because it becomes one here.

use super::Project;
use super::blocks::Block;
use super::coats::Application;
use super::drafts::DraftReading;
use super::positions::{Position, Sighting};
use super::weights::Moved;

impl Project {
    /// The docking as planned; `None` if nothing is planned. What was seen, read or done is left out of it, blocks found
    /// elsewhere stand where they were planned, and positions without a plan are no part of it.
    pub fn as_planned(&self) -> Option<Project> {
        let positions: Vec<Position> =
            self.positions.iter().filter_map(Position::as_planned).collect();
        let coats = self.coats.iter().chain(&self.planned_coats);
        let coats: Vec<Application> = coats.filter_map(Application::as_planned).collect();
        if positions.is_empty() && coats.is_empty() {
            return None;
        }
        let is_part = |position: &Option<String>| {
            position.as_ref().is_none_or(|id| positions.iter().any(|other| other.id == *id))
        };
        let drafts = self.drafts.iter().filter(|row| is_part(&row.position));
        let mut planned = self.copy_of_records();
        planned.drafts = drafts.filter_map(DraftReading::as_planned).collect();
        planned.moved = self.moved.iter().filter_map(Moved::as_planned).collect();
        planned.blocks = blocks_as_planned(&self.blocks);
        planned.positions = positions;
        planned.coats = coats;
        planned.planned_coats.clear();
        planned.remarks = Default::default();
        planned.papers.clear();
        planned.opened.clear();
        planned.sightings.clear();
        planned.divers.clear();
        planned.water.clear();
        planned.checks.clear();
        planned.gaps.clear();
        planned.bilge.clear();
        planned.holds.clear();
        planned.preparation.clear();
        planned.stripes.clear();
        planned.tests.clear();
        planned.repairs.clear();
        planned.climate.clear();
        planned.film.clear();
        planned.gauges.clear();
        Some(planned)
    }

    /// The docking as it stands: as recorded, and as planned where nothing is recorded yet. `None` if nothing of that
    /// kind is ahead.
    pub fn as_expected(&self) -> Option<Project> {
        let moves = |row: &Moved| row.at.is_none() && row.as_planned().is_some();
        let is_anything_ahead = self.positions.iter().any(|position| self.is_ahead(position))
            || self.drafts.iter().any(|row| self.is_planned_reading(row))
            || self.moved.iter().any(moves)
            || !self.planned_coats.is_empty();
        if !is_anything_ahead {
            return None;
        }
        let mut expected = self.copy_of_records();
        for position in &mut expected.positions {
            match position.as_planned().filter(|_| self.is_ahead(position)) {
                Some(planned) => *position = planned,
                None => position.times = position.times.followed_by(&position.planned),
            }
        }
        expected.drafts = self.drafts.iter().filter_map(|row| self.draft_expected(row)).collect();
        let moved = |row: &Moved| if moves(row) { row.as_planned() } else { Some(row.clone()) };
        expected.moved = self.moved.iter().filter_map(moved).collect();
        expected.coats.extend(self.planned_coats.iter().filter_map(Application::as_planned));
        expected.planned_coats.clear();
        // What divers found is held against the plan with the record, not against a landing that is still ahead.
        expected.divers.clear();
        expected.remarks = Default::default();
        expected.papers.clear();
        Some(expected)
    }

    /// Whether a position is planned and nothing says yet where she lay in it.
    pub fn is_ahead(&self, position: &Position) -> bool {
        let sighted = |sighting: &Sighting| sighting.position == position.id;
        position.planned_srp_station_m.is_some()
            && !position.is_recorded()
            && !self.sightings.iter().any(sighted)
    }

    /// Whether a draft is planned, and none was read yet in its position on its occasion.
    fn is_planned_reading(&self, row: &DraftReading) -> bool {
        let is_read = |other: &DraftReading| {
            other.draft_m.is_some()
                && (&other.position, other.occasion) == (&row.position, row.occasion)
        };
        row.planned_draft_m.is_some() && !self.drafts.iter().any(is_read)
    }

    fn draft_expected(&self, row: &DraftReading) -> Option<DraftReading> {
        if self.is_planned_reading(row) { row.as_planned() } else { Some(row.clone()) }
    }
}

/// The blocks where they were planned: one that was found elsewhere stands in its planned place, in all positions in
/// which either of its rows says that it stood.
fn blocks_as_planned(blocks: &[Block]) -> Vec<Block> {
    let mut planned: Vec<Block> =
        blocks.iter().filter(|block| block.moved_from.is_none()).cloned().collect();
    for block in &mut planned {
        let found = blocks.iter().filter(|other| other.moved_from.as_ref() == Some(&block.id));
        for found in found {
            match (&mut block.positions, &found.positions) {
                (Some(own), Some(others)) => {
                    let new = others.iter().filter(|other| !own.contains(*other)).cloned();
                    let new: Vec<String> = new.collect();
                    own.extend(new);
                }
                (own, _) => *own = None,
            }
        }
    }
    planned
}

#[cfg(test)]
mod tests {
    use super::super::memory;

    const DOCKING: &str = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n\
                           [period]\noffset = \"+00:00\"\n";

    fn project(blocks: &str, positions: &str) -> super::Project {
        memory::project(&[
            ("docking.toml", DOCKING.into()),
            (
                "plan/blocks.csv",
                format!(
                    "block,row,station_m,offset_m,length_m,width_m,positions,moved_from\n{blocks}"
                ),
            ),
            (
                "positions/positions.csv",
                format!(
                    "position,planned_srp_station_m,planned_offset_m,recorded_srp_station_m,\
                     recorded_offset_m,yaw_deg\n{positions}"
                ),
            ),
        ])
    }

    #[test]
    fn what_is_recorded_stays_beside_what_is_planned() {
        let project =
            project("K1,keel,12,0,0.6,1.2,,\n", "P1,10,0,10.02,-0.01,0.1\nP2,9.3,,,,\nP3,,,8,0,\n");
        let planned = project.as_planned().expect("two positions are planned");
        let lies = |project: &super::Project| -> Vec<(String, Option<f64>, Option<f64>)> {
            let lie =
                |p: &super::Position| (p.id.clone(), p.recorded_srp_station_m, p.recorded_offset_m);
            project.positions.iter().map(lie).collect()
        };
        let at = |id: &str, station, offset| (id.to_string(), Some(station), Some(offset));
        assert_eq!(lies(&planned), [at("P1", 10.0, 0.0), at("P2", 9.3, 0.0)]);
        assert_eq!(planned.positions[0].recorded_yaw_deg, None);
        let expected = project.as_expected().expect("P2 is ahead");
        assert_eq!(
            lies(&expected),
            [at("P1", 10.02, -0.01), at("P2", 9.3, 0.0), at("P3", 8.0, 0.0)]
        );
        assert_eq!(expected.positions[0].recorded_yaw_deg, Some(0.1));
    }

    #[test]
    fn without_a_plan_there_is_nothing_as_planned_and_nothing_ahead() {
        let project = project("K1,keel,12,0,0.6,1.2,,\n", "P1,,,10,0,\n");
        assert!(project.as_planned().is_none() && project.as_expected().is_none());
    }

    #[test]
    fn a_block_found_elsewhere_is_planned_where_it_was_planned() {
        let blocks =
            "K1,keel,12,0,0.6,1.2,P1,\nK2,keel,13,0,0.6,1.2,,\nK1b,keel,12.2,0,0.6,1.2,P2,K1\n";
        let project = project(blocks, "P1,10,0,10,0,\nP2,9.3,0,9.3,0,\n");
        let planned = project.as_planned().expect("planned");
        let ids: Vec<&str> = planned.blocks.iter().map(|block| block.id.as_str()).collect();
        assert_eq!(ids, ["K1", "K2"]);
        assert!(["P1", "P2"].iter().all(|position| planned.blocks[0].stands_in(position)));
    }
}
