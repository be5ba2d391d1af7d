//! The docking as planned, beside the docking as done: what was decided before she came in, what it meant by the same
//! calculations as the record's, and how it came out. For report, page and the sheets for the dock.

pub mod among;
mod beside;
pub mod coats;
pub mod divers;
pub mod stops;
pub mod trim;
pub mod undocking;

use super::pieces;
use super::{Column, Section, Table};
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::text;
use crate::text::{Piece, Text, and, count, id};
use crate::words::cautions;

/// Everything of the plan: what it means and how it came out, and what follows in particular. With drawings of the document
/// it stands in, by their numbers: of the planned positions, and of the choices.
pub fn sections(examined: &Examined, [planned, choices]: [Vec<usize>; 2]) -> Vec<Section> {
    section(examined, planned).into_iter().chain(particulars(examined, choices)).collect()
}

/// What the plan means in particular: the positions to choose from with their drawings, trim, stops, undocking, divers, coats.
pub fn particulars(examined: &Examined, choices: Vec<usize>) -> Vec<Section> {
    let sections = [
        among::among(examined, choices),
        trim::section(examined),
        stops::section(examined),
        undocking::section(examined),
        divers::divers(examined),
        coats::coats(examined),
    ];
    sections.into_iter().flatten().collect()
}

/// What the plan means, and how it came out; `None` where neither position nor coat is planned.
pub fn section(examined: &Examined, drawings: impl IntoIterator<Item = usize>) -> Option<Section> {
    let planned = examined.as_planned()?;
    let done: Vec<&str> = done(examined);
    let title = if done.is_empty() { "As planned" } else { "As planned, and as done" };
    let mut section = Section::new(title).at("planned");
    section.paragraph(cautions::PLANNING);
    let moved = examined.project.blocks.iter().any(|block| block.moved_from.is_some());
    section.paragraph(text!(
        "{}. What follows from the plan is worked out as if it had been recorded, by the same calculations; a yaw is not \
         planned, and taken as 0.{}{}",
        match ids(planned).as_slice() {
            [] => "No position is planned".to_string(),
            [one] => format!("{one} is planned"),
            more => format!("{} are planned", and(more)),
        },
        if moved { " Blocks that were found elsewhere stand where they were planned." } else { "" },
        match done.as_slice() {
            [] => text!(" Nothing is recorded yet of where she lay."),
            done => text!(" Beside it stands what the record gives, where it gives it: {}.", and(done)),
        }
    ));
    decided(&mut section, examined);
    beside::tables(&mut section, examined, planned);
    never_exposed(&mut section, planned);
    in_question(&mut section, examined, planned);
    section.drawings(drawings);
    Some(section)
}

/// On whose word the positions were chosen, and why.
fn decided(section: &mut Section, examined: &Examined) {
    let project = &examined.project;
    let plan = &project.docking.plan;
    let chosen = project.positions.iter().filter_map(|position| {
        let from = position.from_plan.as_ref()?;
        Some(text!("{} is position {} of the plan", id(&position.id), id(from)))
    });
    let chosen = Text::joined(chosen, ", ");
    if !chosen.is_empty() {
        section.paragraph(text!(
            "Of the {} that the plan offers, {}.",
            count(project.plan_positions.len(), "position", "positions"),
            chosen
        ));
    }
    let by = plan.chosen_by.as_deref();
    let on = plan.chosen_on.map(Piece::Day);
    if let Some(because) = &plan.chosen_because {
        let by = match (by, on) {
            (Some(by), Some(on)) => text!("{}, {}", by, on),
            (Some(by), None) => by.into(),
            (None, Some(on)) => text!("not recorded by whom, {}", on),
            (None, None) => "not recorded by whom".into(),
        };
        section.lead("Why these were chosen:");
        section.quote(vec![because.clone()], by);
    } else if let Some(by) = by {
        let on = on.map(|on| text!(" on {}", on)).unwrap_or_default();
        section.paragraph(text!("Chosen by {}{}; why is not recorded.", by, on));
    } else {
        section.paragraph("On whose word they were chosen, and why, is not recorded.");
    }
}

/// The positions of a project, by their ids.
fn ids(examined: &Examined) -> Vec<&str> {
    examined.project.positions.iter().map(|position| position.id.as_str()).collect()
}

/// The positions of which it is known where she lay.
fn done(examined: &Examined) -> Vec<&str> {
    let all = examined.project.positions.iter().zip(&examined.recomputed.positions);
    all.filter(|(_, out)| out.lie.is_some()).map(|(position, _)| position.id.as_str()).collect()
}

/// What the planned positions together leave hidden, piece by piece.
fn never_exposed(section: &mut Section, planned: &Examined) {
    let recomputed = &planned.recomputed;
    let Some(area) = recomputed.never_exposed() else { return };
    section.part("Bottom that stays hidden, as planned");
    let named = and(&ids(planned));
    let outline = match recomputed.bottom {
        Some(_) => "",
        None => " The bottom\u{2019}s outline is not recorded; whole caps were taken.",
    };
    if recomputed.never_exposed.is_empty() {
        section.paragraph(text!(
            "In {} as planned, all of the bottom is free of blocks in one position or another.{}",
            named,
            outline
        ));
        return;
    }
    section.paragraph(text!(
        "In {} as planned, {} of the bottom in plan, in {}, stays under blocks throughout.{}",
        named,
        area.as_planned(),
        count(recomputed.never_exposed.len(), "piece", "pieces"),
        outline
    ));
    section.table(pieces::never_exposed(&planned.project, &recomputed.never_exposed));
}

/// What of the plan is beyond a limit or does not fit, each with how it came out.
fn in_question(section: &mut Section, examined: &Examined, planned: &Examined) {
    section.part("What the plan itself does not keep");
    let troubled: Vec<&Finding> =
        planned.findings.iter().filter(|finding| finding.is_troubled()).collect();
    let judged = planned.findings.iter().filter(|f| f.outcome != Outcome::NotRecorded).count();
    let unknown = planned.findings.len() - judged;
    let open = match unknown {
        0 => Text::new(),
        unknown => text!(
            " {} could not be made: what {} from is not planned or not recorded.",
            count(unknown, "comparison", "comparisons"),
            if unknown == 1 { "it works" } else { "they work" }
        ),
    };
    if troubled.is_empty() {
        section.paragraph(text!(
            "Of {} of the plan none differs or is beyond a limit.{}",
            count(judged, "comparison", "comparisons"),
            open
        ));
        return;
    }
    section.paragraph(text!(
        "Of {} of the plan {} {} or {} beyond a limit.{}",
        count(judged, "comparison", "comparisons"),
        troubled.len(),
        if troubled.len() == 1 { "differs" } else { "differ" },
        if troubled.len() == 1 { "is" } else { "are" },
        open
    ));
    let columns = [Column::text("As planned").share(2.0), Column::text("In the record")];
    let rows = troubled.into_iter().map(|finding| {
        let recorded = examined.finding_called(&finding.id).filter(|found| !found.as_planned);
        let came_out = match recorded {
            Some(found) if found.outcome != Outcome::NotRecorded => {
                let answer = match (&found.remark, found.is_troubled()) {
                    (Some(remark), _) => text!(", answered by {}", remark.by.as_str()),
                    (None, true) => text!(", not answered"),
                    (None, false) => Text::new(),
                };
                text!("{}: {}{}", id(&finding.id), found.outcome.words(), answer)
            }
            _ => text!("{}: nothing recorded yet", id(&finding.id)),
        };
        [finding.sentence.clone().as_planned().into(), came_out.into()]
    });
    section.table(Table::new(columns).rows(rows));
}

#[cfg(test)]
mod tests {
    use crate::pages::{Block, Cell, Section};
    use crate::text::System;

    /// A box of 100 m by 15 m in sea water over ten blocks 10 m apart, whose tops are level.
    pub(super) const BOX: [(&str, &str); 4] = [
        (
            "docking.toml",
            "format = 1\n[ship]\nname = \"Sedge Pike\"\nlength_between_perpendiculars_m = 100\n\
             aft_perpendicular_x_m = 0\nforward_perpendicular_x_m = 100\n\
             [dock]\nname = \"Long Dock\"\nfloor_level_m = -10\ndeclivity_pct = 0\n\
             [period]\noffset = \"+01:00\"\n[stability]\nkg_m = 6.0\n\
             [hydrostatics]\nlcb_lcf_from_x_m = 50\nwater_density_t_m3 = 1.025\ntrim_m = 0\n\
             [limits.trim]\nvalue = 0.5\nunit = \"m\"\nsource = \"the plan\"\n",
        ),
        (
            "plan/blocks.csv",
            "block,row,station_m,offset_m,length_m,width_m,top_level_m\n\
             K1,keel,15,0,1.2,1.2,-5\nK2,keel,25,0,1.2,1.2,-5\nK3,keel,35,0,1.2,1.2,-5\n\
             K4,keel,45,0,1.2,1.2,-5\nK5,keel,55,0,1.2,1.2,-5\nK6,keel,65,0,1.2,1.2,-5\n\
             K7,keel,75,0,1.2,1.2,-5\nK8,keel,85,0,1.2,1.2,-5\nK9,keel,95,0,1.2,1.2,-5\n\
             K10,keel,105,0,1.2,1.2,-5\n",
        ),
        (
            "positions/positions.csv",
            "position,planned_srp_station_m,planned_offset_m,recorded_srp_station_m,recorded_offset_m,yaw_deg\n\
             P1,10,0,10,0,0\n",
        ),
        (
            "landing/hydrostatics.csv",
            "draft_m,displacement_t,lcb_m,lcf_m,tpc_t_per_cm,mct_tm_per_cm,km_m\n\
             2.0,3075,0,0,15.375,128.125,10.375\n2.5,3843.75,0,0,15.375,128.125,8.75\n\
             3.0,4612.5,0,0,15.375,128.125,7.75\n3.5,5381.25,0,0,15.375,128.125,7.107\n\
             4.0,6150,0,0,15.375,128.125,6.6875\n4.5,6918.75,0,0,15.375,128.125,6.4167\n\
             5.0,7687.5,0,0,15.375,128.125,6.25\n",
        ),
    ];

    /// What a section says, cells between bars and figures with plain spaces.
    pub(super) fn said(section: &Section) -> String {
        let mut lines: Vec<String> = Vec::new();
        for block in &section.blocks {
            match block {
                Block::Heading(_, text) | Block::Paragraph(text) | Block::Lead(text) => {
                    lines.push(text.shown(System::Si));
                }
                Block::List(points) => {
                    lines.extend(points.iter().map(|point| point.shown(System::Si)));
                }
                Block::Table(table) => {
                    lines.extend(table.about.iter().map(|about| about.shown(System::Si)));
                    for row in &table.rows {
                        let cells = row.iter().map(|cell| match cell {
                            Cell::Text(text) => text.shown(System::Si),
                            Cell::NotRecorded => "not recorded".to_string(),
                            _ => "-".to_string(),
                        });
                        lines.push(cells.collect::<Vec<_>>().join(" | "));
                    }
                }
                _ => {}
            }
        }
        lines.join("\n").replace('\u{a0}', " ")
    }
}
