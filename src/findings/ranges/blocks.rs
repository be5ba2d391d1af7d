//! What is plausible of blocks, openings, plates and anodes: their sizes and masses against their neighbours and their kind, and
//! what materials bear.

use std::collections::BTreeMap;

use super::number::{Number, Odd, median, numbers};
use crate::records::Project;
use crate::records::entry::Entry;
use crate::records::spec::FileSpec;
use crate::records::{blocks, layers, openings, plating};
use crate::text;
use crate::text::{Figure, Form, Text};

/// How many others of its row or strake a block or plate is held against at least.
const FEWEST: usize = 5;

pub(super) fn odd(project: &Project) -> Vec<Odd<'_>> {
    let mut found = sizes(project);
    found.extend(densities(project));
    found.extend(bearing(project));
    found.extend(stiffness(project));
    found.extend(kinds_of_openings(project));
    found.extend(plates(project));
    found.extend(anodes(project));
    found
}

fn text_of(row: &Entry, column: &str) -> Option<String> {
    let found = row.values().find(|(known, _)| known.name == column);
    found.and_then(|(_, value)| value).map(|value| value.text(None))
}

fn number_of(row: &Entry, column: &str) -> Option<f64> {
    let found = row.values().find(|(known, _)| known.name == column)?.0;
    row.get(found)
}

/// Numbers against the middle of those that say the same in another column.
fn against_others<'a>(
    project: &'a Project,
    (spec, column): (&FileSpec, &'a str),
    same: &str,
    times: f64,
    form: Form,
) -> Vec<Odd<'a>> {
    let mut groups: BTreeMap<String, Vec<Number<'a>>> = BTreeMap::new();
    for number in numbers(project, spec, column) {
        groups.entry(text_of(number.row, same).unwrap_or_default()).or_default().push(number);
    }
    let mut found = Vec::new();
    for (of, numbers) in groups {
        let Some(middle) = median(numbers.iter().map(|number| number.kept)) else { continue };
        if numbers.len() <= FEWEST {
            continue;
        }
        let count = numbers.len() - 1;
        let because = || {
            let middle = Figure::Measure(form.measure(middle));
            text!("the middle of the {} others of {} {} is {}", count, same, of.clone(), middle)
        };
        let outside = numbers
            .into_iter()
            .filter_map(|number| number.outside(middle / times, middle * times, because()));
        found.extend(outside);
    }
    found
}

/// Blocks of one row are built alike, but for those under her ends and the turn of the bilge.
fn sizes(project: &Project) -> Vec<Odd<'_>> {
    let columns = [
        ("length_fore_and_aft", 5.0, Form::Length),
        ("width_athwart", 5.0, Form::Length),
        ("height", 4.0, Form::Length),
        ("mass", 8.0, Form::Mass),
        ("bearing_limit", 20.0, Form::Pressure),
    ];
    let of = |(column, times, form)| {
        against_others(project, (&blocks::SPEC, column), "row", times, form)
    };
    columns.into_iter().flat_map(of).collect()
}

/// A block's mass against the room that it takes up under its cap.
fn densities(project: &Project) -> Vec<Odd<'_>> {
    let of = |number: Number<'_>| {
        let sides = ["length_fore_and_aft", "width_athwart", "height"];
        let sides: Vec<f64> = sides.iter().filter_map(|side| number_of(number.row, side)).collect();
        (sides.len() == 3).then(|| sides.iter().product::<f64>())
    };
    let found = numbers(project, &blocks::SPEC, "mass").filter_map(|number| {
        let volume_m3 = of(number.clone())?;
        // From a frame of light timber to steel with a base broader than the cap.
        let because = text!(
            "a block of its size takes up {} m\u{b3}, and nothing of which blocks are made weighs so little or so much",
            crate::units::fixed(volume_m3, 2)
        );
        number.outside(0.08 * volume_m3, 16.0 * volume_m3, because)
    });
    found.collect()
}

/// A material by the words with which people name it, what it bears and how stiff it is, kPa.
struct Material {
    words: &'static [&'static str],
    called: &'static str,
    bears: (f64, f64),
    /// Of timber across the grain.
    elastic: (f64, f64),
}

/// Across the grain timber has 50 to 1500 MPa and yields under some MPa, concrete 10 to 50 GPa, steel 200 GPa (handbooks; from
/// memory), with room to both sides.
const MATERIALS: &[Material] = &[
    Material {
        words: &["steel", "iron"],
        called: "steel or iron",
        bears: (500.0, 500_000.0),
        elastic: (50e6, 250e6),
    },
    Material {
        words: &["concrete"],
        called: "concrete",
        bears: (300.0, 60_000.0),
        elastic: (3e6, 80e6),
    },
    Material {
        words: &["rubber"],
        called: "rubber",
        bears: (50.0, 30_000.0),
        elastic: (300.0, 1e6),
    },
    Material {
        words: &[
            "oak",
            "pine",
            "fir",
            "spruce",
            "larch",
            "beech",
            "elm",
            "ash",
            "teak",
            "azobe",
            "ekki",
            "greenheart",
            "softwood",
            "hardwood",
            "timber",
            "wood",
            "plywood",
            "birch",
            "poplar",
        ],
        called: "timber across the grain",
        bears: (150.0, 25_000.0),
        elastic: (10_000.0, 4e6),
    },
];

/// The material that a text names; `None` where it names none or several.
fn material(text: &str) -> Option<&'static Material> {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).collect();
    let named = |material: &&Material| material.words.iter().any(|word| words.contains(word));
    let mut all = MATERIALS.iter().filter(named);
    all.next().filter(|_| all.next().is_none())
}

/// What caps are said to bear.
fn bearing(project: &Project) -> Vec<Odd<'_>> {
    let found = numbers(project, &blocks::SPEC, "bearing_limit").filter_map(|number| {
        let material = material(&text_of(number.row, "cap_material")?)?;
        let because = text!("its cap is of {}", material.called);
        number.outside(material.bears.0, material.bears.1, because)
    });
    found.collect()
}

/// How stiff layers are said to be.
fn stiffness(project: &Project) -> Vec<Odd<'_>> {
    let found = numbers(project, &layers::SPEC, "elastic_modulus").filter_map(|number| {
        let material = material(&text_of(number.row, "material")?)?;
        let because = text!("it is of {}", material.called);
        number.outside(material.elastic.0, material.elastic.1, because)
    });
    found.collect()
}

/// Sizes of openings of one kind, m.
const OPENINGS: &[(&str, f64, f64, &str)] = &[
    ("docking-plug", 0.008, 0.8, "a docking plug is turned by a spanner"),
    ("echo-sounder", 0.01, 6.0, "a transducer is from a hand's to a survey ship's size"),
    ("speed-log", 0.01, 2.0, "a log is from a hand's to a sea chest's size"),
    ("thruster", 0.08, 6.0, "a tunnel is from a yacht's to a large ship's size"),
    ("sea-chest", 0.04, 12.0, "a sea chest takes in water for engines"),
    ("overboard", 0.004, 6.0, "a discharge is from a drain's to a dock pump's size"),
    ("intake", 0.004, 8.0, "an intake is from a drain's to a water jet's size"),
    ("shaft", 0.015, 4.0, "a shaft is from a boat's to a large ship's size"),
    ("rudder", 0.015, 4.0, "a rudder's stock is from a boat's to a large ship's size"),
];

fn kinds_of_openings(project: &Project) -> Vec<Odd<'_>> {
    let columns = ["diameter", "length_fore_and_aft", "width_athwart"];
    let of = |column| {
        numbers(project, &openings::SPEC, column).filter_map(|number| {
            let kind = text_of(number.row, "kind")?;
            let known = OPENINGS.iter().find(|(known, ..)| **known == kind)?;
            number.outside(known.1, known.2, known.3)
        })
    };
    columns.into_iter().flat_map(of).collect()
}

/// Plates of one strake are of about one thickness, and none is found that was nearly gone.
fn plates(project: &Project) -> Vec<Odd<'_>> {
    let of_strake = (&plating::SPEC, "original");
    let mut found = against_others(project, of_strake, "strake", 4.0, Form::Plate);
    let measured = numbers(project, &plating::SPEC, "measured").filter_map(|number| {
        let original_m = number_of(number.row, "original")?;
        let because = text!("the plate had {}", Figure::plate(original_m));
        number.outside(0.1 * original_m, 3.0 * original_m, because)
    });
    found.extend(measured);
    found
}

/// One anode as fitted against all others, where what was found of it is no heavier than they were: anodes of two sizes are
/// found in two sizes, too.
fn anodes(project: &Project) -> Vec<Odd<'_>> {
    let fitted: Vec<f64> =
        numbers(project, &plating::ANODES_SPEC, "mass_fitted").map(|number| number.kept).collect();
    let found = numbers(project, &plating::ANODES_SPEC, "mass_fitted").filter_map(|number| {
        let others = || fitted.iter().copied().filter(|other| *other != number.kept);
        let heaviest_t = others().fold(0.0, f64::max);
        let found_t = number_of(number.row, "mass_found")?;
        if others().count() < FEWEST || found_t > heaviest_t || found_t * 6.0 > number.kept {
            return None;
        }
        let because: Text = text!(
            "the heaviest of all others had {}, and {} was found of it",
            Figure::kilograms(heaviest_t),
            Figure::kilograms(found_t)
        );
        number.outside(0.0, 4.0 * heaviest_t, because)
    });
    found.collect()
}
