//! Which of the plan's positions to use: one table of the choices, the positions themselves, and what earlier dockings
//! did, as a page to decide by.

use crate::findings::Examined;
use crate::findings::among::ROOM_M;
use crate::findings::among::answer::{Among, Chosen, Offered};
use crate::findings::recomputed::coating::windows::Interval;
use crate::findings::shifts::answer::{AimLoads, AimOpenings};
use crate::findings::shifts::sentences;
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Form, Text, and, count, id, number};

/// Rows of the table of choices that one look takes in.
const MOST_CHOICES: usize = 31;
/// Of more, so many of each number of landings are shown: those that leave the least.
const MOST_ALIKE: usize = 4;
/// Earlier dockings that get a column: the newest.
const MOST_EARLIER: usize = 3;

/// The section of a project; `None` where no position of the plan is on record, or more than can be compared.
pub fn among(examined: &Examined, drawings: impl IntoIterator<Item = usize>) -> Option<Section> {
    Some(section(examined.among()?, recoats(examined), drawings))
}

/// What landings do to recoat windows, by the coats that are planned: a flooding lies between the coats of two landings.
pub fn recoats(examined: &Examined) -> Text {
    let planned = examined.as_planned().filter(|planned| !planned.project.coats.is_empty());
    let Some(planned) = planned else {
        return "Each landing after the first puts a flooding between coats, over which no recoat window runs. No coat is \
                planned, so that how many intervals that concerns is not known."
            .into();
    };
    let applied = &planned.recomputed.coating.applied;
    let all = applied.iter().flat_map(|applied| applied.over.iter().chain(&applied.tie_ins));
    let flooded: Vec<&Interval> = all.filter(|interval| interval.flooded).collect();
    let late = flooded.iter().filter(|interval| interval.late_h().is_some()).count();
    text!(
        "Each landing after the first puts a flooding between coats, over which no recoat window runs, so that the coat below \
         wants a wash or abrasion after it. Of the coats as planned that concerns {}; of {} of them the window would have \
         ended by time alone.",
        count(flooded.len(), "interval", "intervals"),
        late
    )
}

/// An answer as a section, with drawings of the document it stands in, by their numbers.
///
/// `recoats` says what landings do to recoat windows.
pub fn section(among: &Among, recoats: Text, drawings: impl IntoIterator<Item = usize>) -> Section {
    let mut section = Section::new("Which of the plan\u{2019}s positions to use").at("among");
    section.list(among.answer.iter().cloned());
    section.drawings(drawings);
    section.table(choices(among));
    section.part("The positions, as the plan has them");
    section.table(offered(&among.offered));
    if !among.earlier.is_empty() {
        section.part("Where she lay in earlier dockings");
        section.table(earlier(among));
        section.table(hidden_again(among));
    }
    section.note(recoats);
    among.cautions.iter().for_each(|caution| _ = section.note(*caution));
    section
}

/// The choices that are shown, and how many are not.
fn shown(among: &Among) -> (Vec<&Chosen>, usize) {
    let all = &among.choices;
    let shown: Vec<&Chosen> = match all.len() > MOST_CHOICES {
        false => all.iter().collect(),
        true => {
            let place = |n: usize| {
                let before = all[..n].iter().filter(|one| one.landings == all[n].landings);
                before.count()
            };
            let kept = (0..all.len()).filter(|n| place(*n) < MOST_ALIKE || is_used(&all[*n]));
            kept.map(|n| &all[n]).collect()
        }
    };
    let more = all.len() - shown.len();
    (shown, more)
}

fn is_used(chosen: &Chosen) -> bool {
    !chosen.used_as.is_empty()
}

fn choices(among: &Among) -> Table {
    let (shown, more) = shown(among);
    let is_grown = shown.iter().any(|one| one.hidden_grown_m2.is_some());
    let has_cost = shown.iter().any(|one| one.cost.is_some());
    let mut columns = vec![
        Column::name("Order").mm(26.0),
        Column::figure("Times landed").mm(15.0),
        Column::measure("Hidden in all", Form::Area).mm(17.0),
    ];
    if is_grown {
        columns.push(Column::measure("With overlap", Form::Area).mm(17.0));
    }
    columns.push(Column::figure("Missed by").mm(17.0));
    columns.push(Column::text("Openings never clear, plugs under caps"));
    columns.push(Column::name("Pressure, of its limit").mm(20.0));
    columns.push(Column::measure("Hauled", Form::Shift).mm(15.0));
    if has_cost {
        let head = match &among.currency {
            Some(currency) => format!("Cost, {currency}"),
            None => "Cost".to_string(),
        };
        columns.push(Column::figure(head).mm(19.0));
    }
    let rows = shown.into_iter().map(|one| {
        let mut cells: Vec<Cell> = vec![
            one.positions.join(", ").into(),
            one.landings.to_string().into(),
            Form::Area.measure(one.hidden_m2).into(),
        ];
        if is_grown {
            cells.push(one.hidden_grown_m2.map(|m2| Form::Area.measure(m2)).into());
        }
        cells.push(Cell::if_any(one.room_m.map(missed_by)));
        cells.push(openings_of(one, among).into());
        cells.push(part_of_limit(one.loads.as_ref()));
        cells.push(Form::Shift.measure(one.hauled_m).into());
        if has_cost {
            cells.push(Cell::if_any(one.cost.map(|cost| number(cost, decimals(cost)))));
        }
        cells
    });
    let mut about = text!(
        "Each choice of positions in its best order: that with the fewest blocks beyond their limit, of such the shortest \
         way. Areas are in plan. Where two positions leave nothing, the one may be missed fore and aft by so much before \
         something stays hidden, the other hit exactly."
    );
    if has_cost {
        about.push(" Costs are those of the landings alone.");
    }
    if more > 0 {
        about.push(format!(
            " Of each number of landings the {MOST_ALIKE} choices are shown that leave the least; {more} more are in the \
             answer as JSON."
        ));
    }
    Table::new(columns).rows_of_any(rows).about(about)
}

/// By how much a position may be missed, as far as that was examined.
fn missed_by(room_m: f64) -> Text {
    let room = Form::Shift.measure(room_m).rounded_down();
    if room_m < ROOM_M { text!("{}", room) } else { text!("{} or more", room) }
}

/// Whole costs without decimals.
fn decimals(cost: f64) -> usize {
    if (cost - cost.round()).abs() < 1e-9 { 0 } else { 2 }
}

fn openings_of(chosen: &Chosen, among: &Among) -> String {
    let known = among.offered.first().is_some_and(|one| has_openings(&one.openings));
    if !known {
        return "none on record".to_string();
    }
    let mut said: Vec<String> = Vec::new();
    if !chosen.never_clear.is_empty() {
        said.push(and(&chosen.never_clear));
    }
    let plugs = chosen.plugs_under.iter();
    said.extend(plugs.map(|one| format!("{} under {} in {}", one.plug, one.block, one.position)));
    if said.is_empty() { "none".to_string() } else { said.join("; ") }
}

fn has_openings(openings: &AimOpenings) -> bool {
    openings.held + openings.not_held.len() > 0
}

/// The pressure nearest its limit as a part of that; without a limit the greatest pressure.
fn part_of_limit(loads: Option<&AimLoads>) -> Cell {
    let Some(loads) = loads else { return Cell::NotRecorded };
    let Some((kpa, block)) = loads.pressure_kpa.zip(loads.pressed.as_ref()) else {
        return Cell::NotRecorded;
    };
    let what = match loads.limit_kpa {
        Some(limit) if limit > 0.0 => Form::Ratio.measure(kpa / limit * 100.0).decimals(0),
        _ => Form::Pressure.measure(kpa).decimals(0),
    };
    text!("{} on {}", what, block).into()
}

fn offered(all: &[Offered]) -> Table {
    let columns = [
        Column::name("Name"),
        Column::measure("SRP station", Form::Length),
        Column::measure("Offset", Form::Length),
        Column::measure("Hidden", Form::Area),
        Column::text("Openings near or under caps"),
        Column::text("Greatest load"),
        Column::text("Pressure nearest its limit"),
    ];
    let rows = all.iter().map(|one| {
        let name = match one.used_as.as_slice() {
            [] => one.position.clone(),
            used => format!("{} ({})", one.position, used.join(", ")),
        };
        let near: Vec<String> = one.openings.near.iter().map(|near| near.opening.clone()).collect();
        let near = match (near.as_slice(), has_openings(&one.openings)) {
            (_, false) => "none on record".to_string(),
            ([], true) => "none".to_string(),
            (near, true) => and(near),
        };
        let [load, pressure]: [Cell; 2] = match one.loads.greatest_t {
            None => [Cell::NotRecorded, Cell::NotRecorded],
            Some(_) => {
                let (load, pressure) = sentences::greatest_load(&one.loads);
                [load.into(), pressure.into()]
            }
        };
        [
            name.into(),
            Form::Length.measure(one.srp_station_m).into(),
            Form::Length.measure(one.centreline_offset_m).into(),
            Form::Area.measure(one.hidden_m2).into(),
            near.into(),
            load,
            pressure,
        ]
    });
    Table::new(columns).rows(rows).about(left_out(all))
}

/// Which blocks stand, and where the plan says so.
fn left_out(all: &[Offered]) -> Text {
    let mut sources: Vec<&str> = all.iter().filter_map(|one| one.source.as_deref()).collect();
    sources.dedup();
    let from = match sources.as_slice() {
        [] => "Where the plan has them was not recorded.".to_string(),
        sources => format!("From {}.", sources.join("; ")),
    };
    let out = all.iter().map(|one| {
        let blocks = count(one.blocks, "block stands", "blocks stand");
        match one.left_out.as_slice() {
            [] => text!("position {}: {}", one.position, blocks),
            left_out => text!("position {}: {}, without {}", one.position, blocks, and(left_out)),
        }
    });
    text!("{} {}.", from, Text::joined(out, "; ").capitalized())
}

/// Where she lay, beside the position of the plan that is the nearest.
fn earlier(among: &Among) -> Table {
    let columns = [
        Column::text("Docking"),
        Column::name("Position"),
        Column::measure("SRP station", Form::Length),
        Column::measure("Offset", Form::Length),
        Column::text("Nearest position of the plan"),
    ];
    let rows = among.earlier.iter().flat_map(|docking| {
        docking.positions.iter().map(move |position| {
            let nearest = match position.nearest.as_ref().zip(position.forward_of_it_m) {
                Some((nearest, off)) => {
                    let shift = sentences::shift(crate::calc::shifts::Way::ForeAndAft, off, 2);
                    text!("{}, {} from it", nearest, shift).into()
                }
                None if docking.same_dock => Cell::NotRecorded,
                None => text!("another dock or datum: {}", docking.dock).into(),
            };
            [
                docking.docking.clone().into(),
                id(&position.position).into(),
                position.srp_station_m.map(|m| Form::Length.measure(m)).into(),
                position.centreline_offset_m.map(|m| Form::Length.measure(m)).into(),
                nearest,
            ]
        })
    });
    Table::new(columns).rows(rows)
}

/// What earlier dockings never exposed, and what of it each choice hides again.
fn hidden_again(among: &Among) -> Table {
    let known = among.earlier.iter().enumerate().rev();
    let mut known: Vec<usize> = known
        .filter(|(_, docking)| docking.never_exposed_m2.is_some_and(|m2| m2 > 0.0))
        .map(|(n, _)| n)
        .take(MOST_EARLIER)
        .collect();
    known.reverse();
    let mut columns = vec![Column::name("Used")];
    columns.extend(known.iter().map(|n| {
        let docking = &among.earlier[*n];
        let left = Form::Area.measure(docking.never_exposed_m2.unwrap_or(0.0));
        Column {
            form: Some(Form::Area),
            ..Column::figure(text!("Of {} that {} left", left, docking.docking))
        }
    }));
    let (shown, _) = shown(among);
    let rows = shown.into_iter().filter(|_| !known.is_empty()).map(|one| {
        let again = known.iter().map(|n| {
            let m2 = one.hidden_again_m2.get(*n).copied().flatten();
            m2.map(|m2| Form::Area.measure(m2)).into()
        });
        std::iter::once(Cell::from(one.positions.join(", "))).chain(again).collect()
    });
    let about = "Steel that an earlier docking never exposed, and what of it stays hidden again in all positions of a \
                 choice:";
    Table::new(columns).rows_of_any(rows).about(about)
}
