//! One draft survey: the readings, and what they give.

use serde::Serialize;

use super::finding;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::recomputed::afloat;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Survey {
    readings: Vec<Reading>,
    /// What was set aside and why, in sentences.
    set_aside: Vec<String>,
    results: Vec<(&'static str, Option<String>)>,
    /// Why there is no displacement, in a sentence.
    why_not: Option<String>,
}

#[derive(Serialize)]
struct Reading {
    x: String,
    y: String,
    draft: String,
    density: Option<String>,
    at: Option<String>,
    by: Option<Narrow>,
    aside: bool,
}

/// The survey's data; `position` is its number if KG belongs to it.
pub(super) fn survey(
    examined: &Examined,
    survey: &afloat::Survey,
    position: Option<usize>,
) -> Survey {
    let project = &examined.project;
    let name = survey.name(project);
    let aside = survey.drafts.as_ref().and_then(|drafts| drafts.set_aside);
    let readings = survey.readings.iter().enumerate().filter_map(|(n, number)| {
        let reading = project.drafts.get(*number)?;
        Some(Reading {
            x: text::number(reading.mark_x_m, 2),
            y: text::number(reading.mark_y_m, 2),
            draft: text::number(reading.draft_m, 3),
            density: reading.water_density_t_m3.map(|density| text::number(density, 4)),
            at: reading.at.map(text::time),
            by: reading.by.as_ref().map(Narrow::new),
            aside: aside == Some(n),
        })
    });
    let marks = format!("landing.{name}.marks.");
    let differing = examined
        .findings
        .iter()
        .filter(|finding| finding.id.starts_with(&marks) && finding.outcome == Outcome::Differs);
    let why_not = finding(examined, &format!("landing.{name}.displacement"))
        .filter(|finding| finding.outcome == Outcome::NotRecorded)
        .map(|finding| finding.sentence.to_string());
    Survey {
        readings: readings.collect(),
        set_aside: differing.map(|finding| finding.sentence.to_string()).collect(),
        results: results(examined, survey, position),
        why_not,
    }
}

fn results(
    examined: &Examined,
    survey: &afloat::Survey,
    position: Option<usize>,
) -> Vec<(&'static str, Option<String>)> {
    let (drafts, out) = (survey.drafts.as_ref(), survey.displacement.as_ref());
    let metres = |value: Option<f64>| value.map(|value| format!("{} m", text::number(value, 3)));
    let tonnes = |value: Option<f64>| value.map(|value| format!("{} t", text::number(value, 1)));
    let mut results = vec![
        ("Draft at the aft perpendicular, A", metres(drafts.map(|d| d.aft_m))),
        ("Draft amidships, M", metres(drafts.and_then(|d| d.amidships_m))),
        ("Draft at the forward perpendicular, F", metres(drafts.map(|d| d.forward_m))),
        ("Trim, + by the stern", metres(drafts.map(|d| d.trim_m))),
        (
            "List, + to port",
            drafts.and_then(|d| d.list_deg).map(|list| format!("{}\u{b0}", text::number(list, 3))),
        ),
        ("Hog, sag negative", metres(drafts.and_then(|d| d.hog_m))),
        ("Quarter mean (without M: mean of the ends)", metres(drafts.map(|d| d.mean_m))),
        (
            "Draft at the LCF, three quarters of the hog taken off",
            metres(out.map(|out| out.draft_at_lcf_m)),
        ),
        (
            "Density of the water",
            survey
                .water_density_t_m3
                .map(|density| format!("{} t/m\u{b3}", text::number(density, 4))),
        ),
        ("Displacement by the table at that mean", tonnes(out.map(|out| out.from_table_t))),
        ("First trim correction", tonnes(out.map(|out| out.first_t))),
        ("Second trim correction", tonnes(out.map(|out| out.second_t))),
        ("Displacement, in the water she lay in", tonnes(out.map(|out| out.displacement_t))),
        ("LCG, x forward of the SRP", metres(out.map(|out| out.lcg_x_m))),
    ];
    if let Some(landing) = position.and_then(|n| examined.recomputed.landings.get(n)) {
        results.push(("KG, free surface counted", metres(landing.kg_m)));
    }
    results
}
