//! Trim before arrival: how she comes to the blocks by the weights that are planned to be moved, how much trim the limits
//! allow, and what is still to be done.

use crate::calc::landing::Greatest;
use crate::findings::Examined;
use crate::findings::recomputed::afloat::Survey;
use crate::findings::recomputed::approach::{Aim, Approach, Limit, approach};
use crate::findings::recomputed::loads::bearing_limit_kpa;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::drafts::{DraftReading, Occasion};
use crate::records::positions::Position;
use crate::records::weights::Moved;
use crate::text;
use crate::text::{Form, Measure, Text, count, id};
use crate::words::cautions;

/// The section; `None` where neither drafts nor weights moved are planned.
pub fn section(examined: &Examined) -> Option<Section> {
    let project = &examined.project;
    let is_planned = |reading: &DraftReading| reading.planned_draft_m.is_some();
    let planned: Vec<&Moved> =
        project.moved.iter().filter(|moved| moved.planned_at.is_some()).collect();
    if planned.is_empty() && !project.drafts.iter().any(is_planned) {
        return None;
    }
    let mut section = Section::new("Trim before arrival").at("trim-before-arrival");
    section.note(cautions::PLANNING);
    for (number, position) in project.positions.iter().enumerate() {
        section.part(text!("Before landing in {}", id(&position.id)));
        match approach(project, &examined.recomputed, number) {
            Ok(approach) => of_position(&mut section, examined, number, position, &approach),
            Err(why_not) => {
                let said = text!("How she comes to the blocks is not predicted: {}.", why_not);
                _ = section.paragraph(said);
            }
        }
    }
    if !planned.is_empty() {
        section.part("Weights planned to be moved");
        section.table(moved(&planned));
    }
    Some(section)
}

fn of_position(
    section: &mut Section,
    examined: &Examined,
    number: usize,
    position: &Position,
    approach: &Approach<'_>,
) {
    let project = &examined.project;
    let since = if approach.is_planned { "as planned" } else { "as read" };
    let moved = |sum: &crate::findings::recomputed::afloat::MovedSum| {
        let weights = count(sum.count, "weight", "weights");
        let net = Form::Mass.measure(sum.change.mass_t).signed();
        if sum.count == 0 { text!("none") } else { text!("{}, together {}", weights, net) }
    };
    section.paragraph(text!(
        "Reckoned from {}, {}. Moved since: {}. Planned to be moved and not moved yet: {}.",
        approach.from.in_words(project),
        since,
        moved(&approach.done),
        moved(&approach.ahead)
    ));
    section.table(drafts(examined, number, approach));
    let read = survey(&examined.recomputed.ship.surveys, number);
    section.table(limits(examined, position, approach));
    let [stern, head] = &approach.greatest;
    let [stern, head] = [greatest(stern, "stern", approach), greatest(head, "head", approach)];
    section.paragraph(text!("{} {}", stern, head));
    if read.is_some_and(|survey| survey.drafts.is_some()) {
        section.paragraph("Her drafts before landing were read: nothing is reckoned any more of what is still to be moved.");
        return;
    }
    section.paragraph(wanted(approach));
    let tanks: Vec<_> = approach.tanks.iter().collect();
    if approach.wanted_tm().is_some_and(|moment| moment.abs() > 0.05) && !tanks.is_empty() {
        let columns = [Column::name("Tank"), Column::measure("In +, out \u{2212}", Form::Mass)];
        let rows = tanks.into_iter().map(|(tank, mass_t)| {
            let mass = mass_t.map(|mass_t| Form::Mass.measure(mass_t).decimals(1).signed());
            [tank.as_str().into(), mass.map_or(Cell::DoesNotApply, Cell::from)]
        });
        section.table(Table::new(columns).rows(rows).about(
            "In one of these tanks alone, if it has the room, by so much; free surfaces are not counted in it:",
        ));
    }
}

fn survey(surveys: &[Survey], number: usize) -> Option<&Survey> {
    surveys.iter().find(|s| s.position == Some(number) && s.occasion == Occasion::BeforeLanding)
}

fn trim(kept_m: f64) -> Text {
    let by = if kept_m < 0.0 { "head" } else { "stern" };
    text!("{} by the {}", Form::Length.measure(kept_m.abs()), by)
}

/// Drafts, trim, list, GM: as reckoned from, as predicted, as planned, as read.
fn drafts(examined: &Examined, number: usize, approach: &Approach<'_>) -> Table {
    let ship = &examined.recomputed.ship;
    let surveys = [survey(&ship.planned, number), survey(&ship.surveys, number)];
    let arrives = &approach.arrives;
    let columns = [
        Column::name(""),
        Column::figure("From"),
        Column::figure("Predicted"),
        Column::figure("Planned"),
        Column::figure("Read"),
    ];
    let row = |what: &'static str,
               predicted: Option<Text>,
               of: &dyn Fn(&Survey) -> Option<Text>|
     -> [Cell; 5] {
        let [planned, read] = surveys.map(|survey| survey.and_then(of));
        let (planned, read) = (Cell::if_any(planned), Cell::from(read));
        [what.into(), Cell::if_any(of(approach.from)), Cell::if_any(predicted), planned, read]
    };
    let draft = |kept: f64| text!("{}", Form::Draft.measure(kept));
    let list = |kept: f64| text!("{}", Form::Angle.measure(kept).decimals(2).signed());
    let mass = |kept: f64| text!("{}", Form::Mass.measure(kept).decimals(1));
    let forward_m = arrives.afloat.draft_aft_m - arrives.afloat.trim_m;
    let mut rows = vec![
        row("Draft aft", Some(draft(arrives.afloat.draft_aft_m)), &|s| {
            Some(draft(s.drafts.as_ref()?.aft_m))
        }),
        row("Draft forward", Some(draft(forward_m)), &|s| {
            Some(draft(s.drafts.as_ref()?.forward_m))
        }),
        row("Trim", Some(trim(arrives.afloat.trim_m)), &|s| Some(trim(s.drafts.as_ref()?.trim_m))),
        row("List, + to port", arrives.list_deg.map(list), &|s| {
            s.drafts.as_ref()?.list_deg.map(list)
        }),
        row("Displacement", Some(mass(arrives.afloat.displacement_t)), &|s| {
            Some(mass(s.displacement.as_ref()?.displacement_t))
        }),
    ];
    let gm = arrives.gm_m.map(|gm| text!("{}", Form::Length.measure(gm)));
    rows.push([
        "GM afloat".into(),
        Cell::DoesNotApply,
        Cell::if_any(gm),
        Cell::DoesNotApply,
        Cell::DoesNotApply,
    ]);
    Table::new(columns).rows(rows)
}

/// How she would land as predicted, and the limits.
fn limits(examined: &Examined, position: &Position, approach: &Approach<'_>) -> Table {
    let project = &examined.project;
    let limit = |name: &str, form: Form| {
        let stated = project.docking.bounds.limit(name).map(|limit| limit.value);
        Cell::if_any(stated.map(|value| text!("{}", form.measure(value).as_stated())))
    };
    let lands = approach.lands.as_ref();
    let knuckle = lands.and_then(|lands| project.blocks.get(lands.knuckle));
    let cell = |value: Option<Measure>| Cell::if_any(value.map(|value| text!("{}", value)));
    let upthrust = lands.map(|lands| Form::Mass.measure(lands.landed.critical.upthrust_t));
    let bearing = knuckle.and_then(|block| bearing_limit_kpa(project, block));
    let bearing = bearing.map(|kpa| Form::Pressure.measure(kpa).as_stated());
    let pressure = lands.and_then(|lands| lands.pressure_kpa);
    let rows: [[Cell; 3]; 5] = [
        [
            "Trim against the line of the blocks".into(),
            Cell::if_any(lands.map(|lands| trim(lands.relative_trim_m))),
            limit("trim", Form::Length),
        ],
        [
            "Knuckle block".into(),
            Cell::if_any(knuckle.map(|block| text!("{}", id(&block.id)))),
            Cell::DoesNotApply,
        ],
        [
            "Load on it at the critical instant".into(),
            cell(upthrust),
            limit("knuckle_load", Form::Mass),
        ],
        [
            "Pressure on it".into(),
            cell(pressure.map(|kpa| Form::Pressure.measure(kpa))),
            cell(bearing),
        ],
        [
            "Least GM then".into(),
            cell(lands.and_then(|lands| lands.gm_m).map(|gm| Form::Length.measure(gm))),
            limit("gm", Form::Length),
        ],
    ];
    let columns = [Column::name(""), Column::figure("As predicted"), Column::figure("Limit")];
    Table::new(columns).rows(rows).about(text!("How she would land so in {}:", id(&position.id)))
}

fn greatest(bound: &Option<Greatest<Limit>>, by: &'static str, approach: &Approach<'_>) -> Text {
    let Some(bound) = bound else {
        return text!(
            "By the {} no trim was found that keeps the limits which are stated, or her landing is not known.",
            by
        );
    };
    // Over the perpendiculars it is as much more as the line of the blocks slopes.
    let of_line =
        approach.lands.map(|lands| approach.arrives.afloat.trim_m - lands.relative_trim_m);
    let over = of_line.map_or(Text::new(), |of_line| {
        text!(" ({} over the perpendiculars)", trim(bound.relative_m + of_line))
    });
    let most = Form::Length.measure(bound.relative_m.abs()).rounded_down();
    match bound.broken {
        Some(broken) => text!(
            "By the {} she may come with at most {} against the line of the blocks{}: more is beyond the limit on {}.",
            by,
            most,
            over,
            broken.in_words()
        ),
        None => text!(
            "By the {}, up to {} against the line of the blocks{}, no limit that is stated is broken; beyond that her \
             landing is not worked out.",
            by,
            most,
            over
        ),
    }
}

impl Limit {
    fn in_words(self) -> &'static str {
        match self {
            Limit::Trim => "trim",
            Limit::KnuckleLoad => "the load on the knuckle block",
            Limit::KnucklePressure => "the pressure on the knuckle block",
            Limit::Gm => "GM at the critical instant",
        }
    }
}

fn wanted(approach: &Approach<'_>) -> Text {
    let Some(((aim_m, aim), moment)) = approach.aim.zip(approach.wanted_tm()) else {
        return match approach.lands {
            Some(_) => text!(
                "No drafts before landing are planned, and as predicted she comes with no more trim than the limits that \
                 are stated allow: no moment is wanted for them."
            ),
            None => {
                text!("No drafts before landing are planned, and how she would land is not known.")
            }
        };
    };
    let whence = match aim {
        Aim::Planned => "as the drafts planned before landing have it",
        Aim::Greatest => "the most that is allowed",
    };
    if moment.abs() < 0.05 {
        return text!("She comes with the trim that is wanted, {}, {}.", trim(aim_m), whence);
    }
    text!(
        "To come with a trim of {}, {}, a moment of {} by the {} is still wanted, beyond what is planned to be moved.",
        trim(aim_m),
        whence,
        Form::Moment.measure(moment.abs()),
        if moment > 0.0 { "stern" } else { "head" }
    )
}

/// What is planned to be moved beside what was.
fn moved(planned: &[&Moved]) -> Table {
    let columns = [
        Column::text("Weight").share(2.4),
        Column::text("Tank").share(0.7),
        Column::text("Planned for").share(1.0),
        Column::measure("Planned, on +, off \u{2212}", Form::Mass).mm(19.0),
        Column::text("Moved at").share(1.0),
        Column::measure("Moved", Form::Mass).mm(14.0),
        Column::measure("x", Form::Length).mm(14.0),
        Column::measure("Free surface", Form::Moment).mm(16.0),
    ];
    let mass = |mass_t: f64| Form::Mass.measure(mass_t).decimals(1).signed();
    let rows = planned.iter().map(|moved| {
        [
            (&moved.item).into(),
            moved.tank.as_deref().map_or(Cell::DoesNotApply, Cell::from),
            Cell::if_any(moved.planned_at),
            mass(moved.mass_as_planned_t()).into(),
            moved.at.into(),
            moved.is_done().then(|| mass(moved.mass_t)).into(),
            Form::Length.measure(moved.x_m).decimals(2).into(),
            Cell::if_any(moved.free_surface_tm.map(|tm| Form::Moment.measure(tm).signed())),
        ]
    });
    Table::new(columns).rows(rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::examine;
    use crate::pages::planned::tests::{BOX, said};
    use crate::records::memory;

    const DRAFTS: &str =
        "position,occasion,mark_x_m,mark_y_m,planned_draft_m,draft_m,water_density_t_m3,at\n";
    const MOVED: &str =
        "planned_at,at,item,mass_t,planned_mass_t,x_m,y_m,z_m,tank,free_surface_tm\n";

    fn section_of(drafts: &str, moved: &str) -> String {
        let mut files = BOX.map(|(path, text)| (path, text.to_string())).to_vec();
        files.push(("landing/drafts.csv", format!("{DRAFTS}{drafts}")));
        files.push(("landing/moved.csv", format!("{MOVED}{moved}")));
        let examined = examine(memory::project(&files)).expect("a sound project");
        section(&examined).map(|section| said(&section)).unwrap_or_default()
    }

    const ARRIVAL: &str = ",arrival,0,0,4.40,,1.025,\n,arrival,100,0,3.60,,1.025,\n";
    const LANDING: &str =
        "P1,before-landing,0,0,4.25,,1.025,\nP1,before-landing,100,0,3.85,,1.025,\n";
    const FORE_PEAK: &str = "2031-04-07T07:00:00+01:00,,fore peak filled,50,,95,0,3,fore peak,10\n";

    /// A box with MCT 128.125: 50 t at x = 95 m take 50 x 45 / 128.125 = 17.6 cm off a trim of 80 cm; for 40 cm there
    /// are 100 x 128.125 x 0.2244 = 2875 t m still wanted, and from the fore peak alone 63.9 t more.
    #[test]
    fn planned_weights_leave_so_much_to_do() {
        let said = section_of(&format!("{ARRIVAL}{LANDING}"), FORE_PEAK);
        for words in [
            "Reckoned from the survey on arrival, as planned.",
            "Planned to be moved and not moved yet: 1 weight, together +50.00 t.",
            "Trim | 0.800 m by the stern | 0.624 m by the stern | 0.400 m by the stern | not recorded",
            "By the stern she may come with at most 0.500 m against the line of the blocks",
            "more is beyond the limit on trim",
            "a moment of 2875.0 t m by the head is still wanted",
            "fore peak | +63.9 t",
        ] {
            assert!(said.contains(words), "{words}: {said}");
        }
    }

    /// Once her drafts are read and the weight is moved, what is left is reckoned from these.
    #[test]
    fn drafts_that_were_read_and_weights_that_were_moved_take_the_plans_place() {
        let read = ",arrival,0,0,4.40,4.50,1.025,2031-04-07T06:00:00+01:00\n\
                    ,arrival,100,0,3.60,3.50,1.025,2031-04-07T06:05:00+01:00\n";
        let moved = "2031-04-07T07:00:00+01:00,2031-04-07T08:00:00+01:00,fore peak filled,60,50,95,0,3,fore peak,10\n";
        let said = section_of(read, moved);
        for words in [
            "Reckoned from the survey on arrival, as read.",
            "Moved since: 1 weight, together +60.00 t. Planned to be moved and not moved yet: none.",
            // 1 m less 60 x 45 / 128.125 cm is 0.789 m; no trim is planned, and 0.5 m is the most.
            "0.789 m by the stern",
            "To come with a trim of 0.500 m by the stern, the most that is allowed",
        ] {
            assert!(said.contains(words), "{words}: {said}");
        }
        assert_eq!(section_of("", ""), "");
    }
}
