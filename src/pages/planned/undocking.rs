//! Undocking: how she leaves the blocks of each position with the weights as they were moved, what is left of her stability
//! then, and at which levels the water is stopped to look.

use crate::findings::Examined;
use crate::findings::recomputed::landing::{Landing, Leaving};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Measure, Text, count, id};
use crate::words::cautions;

/// The section; `None` where it is not known of any position how she leaves it.
pub fn section(examined: &Examined) -> Option<Section> {
    let project = &examined.project;
    let each = project.positions.iter().zip(&examined.recomputed.landings);
    let known: Vec<(&Position, &Landing, &Leaving)> = each
        .filter_map(|(position, landing)| Some((position, landing, landing.leaving.as_ref()?)))
        .collect();
    if known.is_empty() {
        return None;
    }
    let mut section = Section::new("Undocking").at("undocking");
    section.note(cautions::PLANNING);
    section.paragraph(
        "She leaves the blocks as she landed on them, the other way round: one end lifts, and until the other follows, one \
         block bears what is left. Reckoned from the drafts before landing and the weights moved since; a weight that \
         nobody wrote down is in none of these figures. The docking officer decides when water is let in and when it is \
         stopped.",
    );
    for (position, landing, leaving) in known {
        section.part(text!("Leaving {}", id(&position.id)));
        section.table(table(project, position, landing, leaving));
        section.lead("When to stop and look:");
        section.list(stops(project, landing, leaving));
    }
    Some(section)
}

fn metres(kept: f64) -> Measure {
    Form::Length.measure(kept)
}

fn last_block<'a>(project: &'a Project, landing: &Landing, leaving: &Leaving) -> Option<&'a str> {
    let (block, _) = landing.seats.get(leaving.last.seat)?;
    Some(project.blocks.get(*block)?.id.as_str())
}

fn table(project: &Project, position: &Position, landing: &Landing, leaving: &Leaving) -> Table {
    let columns = [Column::text("What").share(2.0), Column::text("Predicted").share(1.0)];
    let mass = |kept: f64| Form::Mass.measure(kept);
    let row = |what: &str, value: Option<Text>| [Cell::from(what), Cell::if_any(value)];
    let lift_off = landing.lift_off;
    let rows = [
        row(
            "Weights moved since she landed",
            lift_off.map(|lift| match lift.moved.count {
                0 => text!("none"),
                n => text!(
                    "{}, together {}",
                    count(n, "weight", "weights"),
                    mass(lift.moved.change.mass_t).signed()
                ),
            }),
        ),
        row("Displacement then", Some(text!("{}", mass(leaving.afloat.displacement_t)))),
        row("KG then", leaving.kg_m.map(|kept| text!("{}", metres(kept)))),
        row(
            "Trim as she will float, + by the stern",
            Some(text!("{}", metres(leaving.afloat.trim_m).signed())),
        ),
        row(
            "List by the weights moved, + to port",
            lift_off
                .and_then(|lift| lift.list(&position.id))
                .map(|list| text!("{}", list.signed())),
        ),
        row("Block that bears last", last_block(project, landing, leaving).map(Text::from)),
        row(
            "Load P on it as all others are free",
            Some(text!("{}", mass(leaving.critical.upthrust_t))),
        ),
        row("Least GM at that instant", leaving.least_gm(&position.id).map(|gm| text!("{}", gm))),
        row(
            "Deeper then than at instability by",
            leaving.margin_m().map(|kept| text!("{}", metres(kept))),
        ),
        row("GM once afloat", leaving.gm_m.map(|kept| text!("{}", metres(kept)))),
    ];
    Table::new(columns).rows(rows)
}

/// The levels at which something begins that can be seen, the lowest first.
fn stops(project: &Project, landing: &Landing, leaving: &Leaving) -> Vec<Text> {
    /// So far below the first movement the water is stopped, m (common practice, no source).
    const BEFORE_M: f64 = 0.30;
    let level = |kept: f64| metres(kept).decimals(2);
    let first_m = leaving.critical.water_level_m;
    let end = match landing.seats.get(leaving.last.seat) {
        Some((_, seat)) if seat.x_m > leaving.afloat.perpendiculars.amidships_x_m() => "stern",
        _ => "bow",
    };
    let last = last_block(project, landing, leaving).unwrap_or("the last block");
    vec![
        text!(
            "At {}, {} before she moves: are all openings closed and dry inside, are hoses, gangways and shores clear?",
            level(first_m - BEFORE_M),
            metres(BEFORE_M).decimals(2)
        ),
        text!(
            "At {} her {} begins to lift: does she lift there and at that level? One that does not weighs more, or lies \
             elsewhere, than was written down.",
            level(first_m),
            end
        ),
        text!(
            "Up to {} she bears on {} alone, with least GM: does she stay upright?",
            level(leaving.last.water_level_m),
            last
        ),
        text!("Afloat: drafts and list are read before she is moved."),
    ]
}
