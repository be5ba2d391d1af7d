//! The planned stops of the pumping: how she stands at each, with the gaps that were measured there beside those predicted.

use crate::findings::Examined;
use crate::findings::recomputed::stops::{
    AtStop, Closing, closing, predicted_closing_m_per_h, stops,
};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::text;
use crate::text::{Form, Measure, Text, id};
use crate::words::cautions;

/// The section; `None` where no stop is planned.
pub fn section(examined: &Examined) -> Option<Section> {
    if examined.project.stops.is_empty() {
        return None;
    }
    let mut section = Section::new("Stops of the pumping").at("stops");
    section.note(cautions::PLANNING);
    for position in &examined.project.positions {
        let Some(stops) = at_position(examined, &position.id) else { continue };
        section.part(text!("Stops in {}", id(&position.id)));
        section.lead(if stops.as_planned {
            "By the drafts that are planned before landing:"
        } else {
            "By the drafts that were read before landing:"
        });
        section.table(table(stops.project, &stops.stops));
        section.list(unknown(&stops.stops));
        for stop in stops.stops.iter().filter(|stop| !stop.measured.is_empty()) {
            section.table(measured(stops.project, stop));
        }
        section.list(rates(examined, &position.id));
    }
    Some(section)
}

/// The stops of a position, and by which drafts.
pub struct Stops<'a> {
    pub as_planned: bool,
    pub project: &'a Project,
    pub stops: Vec<AtStop<'a>>,
}

/// The stops of a position, the highest first: by the record where her drafts before landing were read and it is known
/// where she lay, and else by the plan. `None` where no stop is planned in it.
pub fn at_position<'a>(examined: &'a Examined, position: &str) -> Option<Stops<'a>> {
    let of = |one: &'a Examined| {
        let number = one.project.positions.iter().position(|one| one.id == position)?;
        let (landing, loads) =
            (one.recomputed.landings.get(number)?, one.recomputed.loads.get(number)?);
        let is_known = landing.afloat.is_some() && landing.touch.is_some();
        let stops = stops(&examined.project, &one.project, position, landing, loads);
        let stops =
            Stops { as_planned: !std::ptr::eq(one, examined), project: &one.project, stops };
        (!stops.stops.is_empty()).then_some((is_known, stops))
    };
    let (is_known, recorded) = of(examined)?;
    let planned = || examined.as_planned().and_then(of).filter(|(is_known, _)| *is_known);
    let planned = if is_known { None } else { planned() };
    Some(planned.map_or(recorded, |(_, planned)| planned))
}

fn level(stop: &AtStop<'_>) -> Measure {
    Form::Length.measure(stop.stop.level_m).decimals(2)
}

fn table(project: &Project, stops: &[AtStop<'_>]) -> Table {
    let columns = [
        Column::measure("Level", Form::Length).mm(13.0),
        Column::text("Stop for").share(1.8),
        Column::text("She is").share(0.8),
        Column::measure("Load on blocks", Form::Mass).mm(17.0),
        Column::measure("GM left", Form::Length).mm(14.0),
        Column::text("Blocks that bear"),
        Column::text("Widest gap"),
        Column::measure("Gap closes", Form::LevelRate).mm(15.0),
    ];
    let rows = stops.iter().enumerate().map(|(n, stop)| {
        let before = n.checked_sub(1).and_then(|n| stops.get(n));
        let rate = before.and_then(|before| predicted_closing_m_per_h(before, stop));
        [
            level(stop).into(),
            (&stop.stop.why).into(),
            Cell::if_any(stop.stands.as_ref().ok().map(|stands| stands.in_words())),
            Cell::if_any(stop.load.map(|load| Form::Mass.measure(load.load_t).decimals(1))),
            stop.gm_m.map_or(Cell::DoesNotApply, gm_left),
            Cell::if_any(bearing(project, stop)),
            Cell::if_any(widest(project, stop)),
            rate.map_or(Cell::DoesNotApply, |rate| Form::LevelRate.measure(rate).into()),
        ]
    });
    Table::new(columns).rows(rows)
}

/// The GM that is left; once there is none she stands by her blocks and shores, and how much is missing says nothing.
fn gm_left(gm_m: f64) -> Cell {
    if gm_m > 0.0 { Form::Length.measure(gm_m).into() } else { "none".into() }
}

/// Which blocks bear: all by name where they are few, else how many and from where to where along her.
pub fn bearing(project: &Project, stop: &AtStop<'_>) -> Option<Text> {
    let all = stop.blocks.as_ref().ok()?.len();
    let names: Vec<&str> = stop
        .bearing()
        .filter_map(|block| Some(project.blocks.get(block.block)?.id.as_str()))
        .collect();
    Some(match names.as_slice() {
        [] => text!("none"),
        few @ ([_] | [_, _] | [_, _, _]) => text!("{}", crate::text::and(few)),
        [first, .., last] => {
            text!("{} of {}, {} to {}", names.len(), all, id(*first), id(*last))
        }
    })
}

/// The widest gap and its block.
pub fn widest(project: &Project, stop: &AtStop<'_>) -> Option<Text> {
    let blocks = stop.blocks.as_ref().ok()?;
    let Some(widest) = stop.widest() else {
        return (!blocks.is_empty()).then(|| text!("none"));
    };
    let block = project.blocks.get(widest.block)?;
    Some(text!("{} at {}", Form::Small.measure(widest.gap_m), id(&block.id)))
}

/// What is not known of the stops, and why.
fn unknown(stops: &[AtStop<'_>]) -> Vec<Text> {
    let said = |stop: &AtStop<'_>| match (&stop.stands, &stop.blocks) {
        (Err(why_not), _) => {
            Some(text!("At {} it is not known how she stands: {}.", level(stop), why_not))
        }
        (Ok(_), Err(why_not)) => {
            Some(text!("At {} it is not known which blocks bear: {}.", level(stop), why_not))
        }
        _ => None,
    };
    stops.iter().filter_map(said).collect()
}

/// The gaps that were measured at a stop beside those predicted.
fn measured(project: &Project, stop: &AtStop<'_>) -> Table {
    let columns = [
        Column::name("Block"),
        Column::measure("Gap predicted", Form::Small),
        Column::measure("Gap measured", Form::Small),
    ];
    let predicted = |name: &str| {
        let blocks = stop.blocks.as_ref().ok()?;
        let of = |block: usize| project.blocks.get(block).is_some_and(|block| block.id == name);
        let found = blocks.iter().find(|block| of(block.block))?;
        Some(Form::Small.measure(found.gap_m.max(0.0)))
    };
    let rows = stop.measured.iter().map(|gap| {
        [
            id(&gap.block).into(),
            Cell::if_any(predicted(&gap.block)),
            Form::Small.measure(gap.gap_m).into(),
        ]
    });
    let about = text!("Measured with the water at {}:", level(stop));
    Table::new(columns).rows(rows).about(about).in_halves()
}

/// The fastest closing that was measured.
fn rates(examined: &Examined, position: &str) -> Vec<Text> {
    let all = closing(&examined.project, position);
    let fastest = all.iter().max_by(|a, b| a.rate_m_per_h.total_cmp(&b.rate_m_per_h));
    let said = |closing: &Closing<'_>| {
        text!(
            "Of the gaps that were measured twice, the one at {} closed fastest: {}, from {} to {}.",
            id(&closing.to.block),
            Form::LevelRate.measure(closing.rate_m_per_h),
            Form::Small.measure(closing.from.gap_m),
            Form::Small.measure(closing.to.gap_m)
        )
    };
    fastest.filter(|closing| closing.rate_m_per_h > 0.0).map(said).into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::examine;
    use crate::findings::finding::Outcome;
    use crate::findings::subject::Subject;
    use crate::pages::planned::tests::{BOX, said};
    use crate::records::memory;

    fn examined(more: &[(&'static str, String)]) -> Examined {
        let mut files = BOX.map(|(path, text)| (path, text.to_string())).to_vec();
        files.push((
            "landing/drafts.csv",
            "position,occasion,mark_x_m,mark_y_m,draft_m,water_density_t_m3,at\n\
             P1,before-landing,0,0,4.2,1.025,2031-04-07T09:00:00+01:00\n\
             P1,before-landing,100,0,3.8,1.025,2031-04-07T09:05:00+01:00\n"
                .into(),
        ));
        files.extend(more.iter().cloned());
        examine(memory::project(&files)).expect("a sound project")
    }

    const STOPS: &str = "position,level_m,why,planned_at,gap_rate_m_per_h\n\
                         P1,-0.70,divers go down,2031-04-07T10:00:00+01:00,\n\
                         P1,-0.88,first touch,2031-04-07T11:00:00+01:00,0.1\n\
                         P1,-2.00,shores,,\n";

    /// The tops of the blocks are at -5 m, from x = 5 to 95: drawing 4.18 m at the aftmost, she touches there with the
    /// water at -0.82 m. Before that her keel is 0.12 m above it and 0.48 m above the foremost.
    #[test]
    fn how_she_stands_at_each_stop() {
        let found = examined(&[("landing/stops.csv", STOPS.into())]);
        let said = said(&section(&found).expect("stops are planned"));
        for words in [
            "By the drafts that were read before landing:",
            "divers go down | afloat | 0.0 t",
            "480 mm at K10",
            "first touch | on the knuckle",
            "K1 |",
            "At \u{2212}2.00 m it is not known which blocks bear",
        ] {
            assert!(said.contains(words), "{words}: {said}");
        }
        let position = &found.project.positions[0].id;
        let stops = at_position(&found, position).expect("stops").stops;
        let loads: Vec<f64> = stops.iter().filter_map(|stop| Some(stop.load?.load_t)).collect();
        assert!(loads[0] == 0.0 && loads[1] > 1.0 && loads[2] > 1500.0, "{loads:?}");
        // On the knuckle what has been lost of GM is what the load takes.
        let gm = stops[1].gm_m.expect("GM");
        assert!(gm < stops[0].gm_m.expect("GM") && gm > 0.0, "{gm}");
        assert!(section(&examined(&[])).is_none());
    }

    /// The same ship, where nothing but the plan is written down, stands so at each stop as planned.
    #[test]
    fn without_a_record_the_plan_gives_the_same_figures() {
        let mut files = BOX.map(|(path, text)| (path, text.to_string())).to_vec();
        let positions = "position,planned_srp_station_m,planned_offset_m\nP1,10,0\n";
        files.retain(|(path, _)| *path != "positions/positions.csv");
        files.push(("positions/positions.csv", positions.into()));
        let drafts = "position,occasion,mark_x_m,mark_y_m,planned_draft_m,water_density_t_m3\n\
                      P1,before-landing,0,0,4.2,1.025\nP1,before-landing,100,0,3.8,1.025\n";
        files.push(("landing/drafts.csv", drafts.into()));
        files.push(("landing/stops.csv", STOPS.into()));
        let planned = examine(memory::project(&files)).expect("a sound project");
        let recorded = examined(&[("landing/stops.csv", STOPS.into())]);
        let said = |examined: &Examined| said(&section(examined).expect("stops are planned"));
        let read = "By the drafts that were read before landing:";
        let meant = "By the drafts that are planned before landing:";
        assert_eq!(said(&planned), said(&recorded).replace(read, meant));
        assert!(said(&planned).contains(meant));
    }

    /// A gap of 90 mm that is 30 mm a quarter of an hour later closes by 0.24 m/h, more than the stop allows.
    #[test]
    fn a_gap_that_closes_too_fast_is_beyond_the_limit_of_the_stop() {
        let gaps = "position,block,gap_mm,water_depth_m,by,at\n\
                    P1,K10,90,9.12,A. Diver,2031-04-07T11:00:00+01:00\n\
                    P1,K10,30,9.10,A. Diver,2031-04-07T11:15:00+01:00\n";
        let files = [("landing/stops.csv", STOPS.into()), ("landing/gaps.csv", gaps.to_string())];
        let found = examined(&files);
        let made = found.finding(&Subject::GapRate("P1".into())).expect("a finding");
        assert_eq!(made.outcome, Outcome::BeyondLimit, "{}", made.sentence);
        assert!(made.sentence.to_string().contains("0.24 m/h"), "{}", made.sentence);
        let said = said(&section(&found).expect("stops are planned"));
        assert!(said.contains("Measured with the water at \u{2212}0.88 m:"), "{said}");
        assert!(said.contains("K10 closed fastest: 0.24 m/h, from 90 mm to 30 mm"), "{said}");
        // Without a limit there is nothing to judge.
        let free = [("landing/gaps.csv", gaps.to_string())];
        assert!(examined(&free).finding(&Subject::GapRate("P1".into())).is_none());
    }
}
