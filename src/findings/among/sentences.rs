//! The comparison of the plan's positions in words.

use super::answer::{Among, Chosen, Offered};
use crate::calc::plane::NO_AREA_M2;
use crate::findings::shifts::sentences::{loads, none_near, not_held, opening_near};
use crate::text;
use crate::text::{Form, Text, and, count};

/// Choices that are named in a sentence.
const MOST_NAMED: usize = 4;

/// The answer, the shortest first.
pub fn answer(among: &Among) -> Vec<Text> {
    let mut said = vec![asked(among)];
    said.extend(among.offered.iter().filter_map(unusable));
    if among.choices.is_empty() {
        said.push("No choice of these positions could be examined.".into());
        return said;
    }
    said.push(fewest(among));
    said.extend(fewer(among));
    said.extend(used(among));
    said.extend(openings(among));
    said.extend(loads_of(among));
    said
}

/// What was examined.
fn asked(among: &Among) -> Text {
    let names: Vec<&str> = among.offered.iter().map(|one| one.position.as_str()).collect();
    let mut said = match names.len() == among.in_plan {
        true => text!("The plan offers {}: {}.", positions(names.len()), and(&names)),
        false => {
            text!("Of the plan's {} these are compared: {}.", positions(among.in_plan), and(&names))
        }
    };
    let choices = count(among.choices.len(), "choice", "choices");
    let orders = count(among.orders, "order", "orders");
    said.extend(text!(
        " {} of them in {} were examined. Each position is one landing, with a reflooding before each but the first.",
        choices,
        orders
    ));
    if !among.left_out.is_empty() {
        said.push(format!(" In each of them {} is left out.", and(&among.left_out)));
    }
    if among.put_back > 0 {
        said.push(" Blocks that were found elsewhere are taken where they were planned.");
    }
    if !among.outline {
        said.push(" No outline of the bottom is recorded: caps count whole.");
    }
    said
}

fn positions(number: usize) -> String {
    count(number, "position", "positions")
}

fn unusable(one: &Offered) -> Option<Text> {
    let why = one.why_not.as_ref()?;
    Some(text!("Position {} of the plan is in no choice: {}.", one.position, why.clone()))
}

/// The fewest landings that leave nothing, or the least that any choice leaves.
fn fewest(among: &Among) -> Text {
    let fewest = among.choices.iter().find(|choice| choice.reaches_all());
    let Some(fewest) = fewest else {
        let least = among.choices.iter().map(|choice| choice.hidden_m2).reduce(f64::min);
        let least = least.unwrap_or(0.0);
        let same = among.choices.iter().filter(|one| one.hidden_m2 - least < NO_AREA_M2);
        let same: Vec<&Chosen> = same.collect();
        let landings = same.iter().map(|one| one.landings).min().unwrap_or(0);
        return text!(
            "Each of these choices leaves some of the bottom under blocks in all of its positions. The least is {}, \
             with {}: {}.",
            Form::Area.measure(least),
            count(landings, "landing", "landings"),
            named(same.into_iter().filter(|one| one.landings == landings))
        );
    };
    let same = among.choices.iter().filter(|one| one.reaches_all());
    let same = same.filter(|one| one.landings == fewest.landings);
    text!(
        "The fewest landings that leave nothing of the bottom under blocks in all of them are {}, with {}: {}.",
        fewest.landings,
        count(fewest.refloodings, "reflooding", "refloodings"),
        named(same)
    )
}

/// What fewer landings leave.
fn fewer(among: &Among) -> Vec<Text> {
    // They are sorted by landings, and of as many by what they leave.
    let least = among.choices.iter().map(|choice| choice.hidden_m2).reduce(f64::min).unwrap_or(0.0);
    let fewest = among.choices.iter().find(|choice| choice.hidden_m2 - least < NO_AREA_M2);
    let mut said = Vec::new();
    for landings in 1..fewest.map_or(1, |choice| choice.landings) {
        let of_so_many = || among.choices.iter().filter(|one| one.landings == landings);
        let Some(least) = of_so_many().next() else { continue };
        let same = of_so_many().filter(|one| one.hidden_m2 - least.hidden_m2 < NO_AREA_M2);
        said.push(text!(
            "With {} the least that stays hidden is {}: {}.",
            count(landings, "landing", "landings"),
            Form::Area.measure(least.hidden_m2),
            named(same)
        ));
    }
    said
}

/// Choices by their positions: `positions 1 and 3; or positions 2 and 4`.
fn named<'a>(choices: impl Iterator<Item = &'a Chosen>) -> String {
    let one = |choice: &Chosen| {
        let what = if choice.landings == 1 { "position" } else { "positions" };
        format!("{what} {}", and(&choice.positions))
    };
    let all: Vec<String> = choices.map(one).collect();
    let more = all.len().saturating_sub(MOST_NAMED);
    let named = all[..all.len() - more].join("; or ");
    match more {
        0 => named,
        more => format!("{named}; or {more} more"),
    }
}

/// What this docking uses, as it is planned.
fn used(among: &Among) -> Option<Text> {
    let chosen = among.choices.iter().find(|one| !one.used_as.is_empty())?;
    let others = among.choices.iter().filter(|one| {
        one.landings <= chosen.landings && one.hidden_m2 - chosen.hidden_m2 < -NO_AREA_M2
    });
    let others = match others.count() {
        0 => "no other of the choices examined leaves less with as many landings or fewer"
            .to_string(),
        1 => "one other choice leaves less with as many landings or fewer".to_string(),
        n => format!("{n} other choices leave less with as many landings or fewer"),
    };
    let left = match chosen.reaches_all() {
        true => Text::from("nothing of the bottom"),
        false => text!("{} of the bottom", Form::Area.measure(chosen.hidden_m2)),
    };
    Some(text!(
        "This docking uses {} of the plan, as {}: {} stays under blocks in all of them, and {}.",
        and(&chosen.positions),
        and(&chosen.used_as),
        left,
        others
    ))
}

/// What is known of openings, position by position.
fn openings(among: &Among) -> Vec<Text> {
    let (clear, near): (Vec<&Offered>, Vec<&Offered>) =
        usable(among).partition(|one| one.openings.near.is_empty());
    let mut said: Vec<Text> = near
        .into_iter()
        .map(|one| {
            let near = Text::listed(one.openings.near.iter().map(opening_near));
            text!("In position {} of the plan {}.", one.position, near)
        })
        .collect();
    // Which openings are on record, and what is wanted of them, is the same in each.
    if let Some(first) = clear.first() {
        let names: Vec<&str> = clear.iter().map(|one| one.position.as_str()).collect();
        let places = if names.len() == 1 { "position" } else { "each of positions" };
        said.push(text!("In {} {} {}.", places, and(&names), none_near(&first.openings)));
    }
    said.extend(usable(among).next().and_then(|one| not_held(&one.openings)).map(Text::from));
    said
}

/// Loads beyond a limit, and what is not known of them; those within their limits stand in the table.
fn loads_of(among: &Among) -> Vec<Text> {
    let why = |one: &Offered| one.loads.why_not.clone();
    let mut unknown = usable(among).filter(|one| one.loads.greatest_t.is_none());
    let mut all_unknown = usable(among).map(why);
    if let Some(first) = unknown.next().and_then(why)
        && all_unknown.all(|why| why.as_ref() == Some(&first))
    {
        let which = "The loads on the blocks could not be worked out in any of these positions";
        return vec![text!("{}: {}.", which, first)];
    }
    let told =
        usable(among).filter(|one| one.loads.greatest_t.is_none() || !one.loads.beyond.is_empty());
    told.flat_map(|one| loads(&one.loads, &format!("in position {} of the plan", one.position)))
        .collect()
}

fn usable(among: &Among) -> impl Iterator<Item = &Offered> {
    among.offered.iter().filter(|one| one.why_not.is_none())
}
