//! From when the coats of a position may meet the water, by their products' least times to immersion.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::records::Project;
use crate::records::coats::Application;

/// From when the last coats of a zone may meet the water.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// The position that the water ends, by its place in the project's list.
    pub position: usize,
    /// The zone.
    pub zone: String,
    /// The application that is the last to be ready, by its name.
    pub application: String,
    /// From when; `None` where its end or its product's least time is not recorded.
    pub from: Option<DateTime<FixedOffset>>,
}

/// The last application of each extent of each zone that was coated while the dock was dry for a position, as far as
/// it was begun by `as_of`.
pub fn last_coats(
    project: &Project,
    position: usize,
    as_of: Option<DateTime<FixedOffset>>,
) -> Vec<&Application> {
    let times = &project.positions[position].times;
    let in_spell = |coat: &&Application| {
        let after =
            |from: DateTime<FixedOffset>| coat.ended.or(coat.began).is_none_or(|at| at >= from);
        let before =
            |to: DateTime<FixedOffset>| coat.began.or(coat.ended).is_none_or(|at| at <= to);
        times.dry.is_none_or(after)
            && times.reflood_began.is_none_or(before)
            && as_of.is_none_or(before)
    };
    let mut last: BTreeMap<(&str, &str), &Application> = BTreeMap::new();
    for coat in project.coats.iter().filter(in_spell) {
        let known = last.entry((&coat.zone, coat.extent.word())).or_insert(coat);
        // Without an end nobody knows that it was not the last.
        let later = match (known.ended, coat.ended) {
            (Some(known), Some(new)) => new > known,
            (known, _) => known.is_some(),
        };
        if later {
            *known = coat;
        }
    }
    last.into_values().collect()
}

/// From when the zones that were coated while the dock was dry for a position may meet the water, by what was begun by
/// `as_of`.
pub fn cures(
    project: &Project,
    position: usize,
    as_of: Option<DateTime<FixedOffset>>,
) -> Vec<Cure> {
    let mut zones: BTreeMap<&str, Cure> = BTreeMap::new();
    for coat in last_coats(project, position, as_of) {
        let zone = coat.zone.as_str();
        let new = Cure {
            position,
            zone: zone.to_string(),
            application: coat.name.clone(),
            from: ready(project, coat),
        };
        let known = zones.entry(zone).or_insert_with(|| new.clone());
        let later = match (known.from, new.from) {
            (Some(known), Some(new)) => new > known,
            (known, _) => known.is_some(),
        };
        if later {
            *known = new;
        }
    }
    zones.into_values().collect()
}

fn ready(project: &Project, coat: &Application) -> Option<DateTime<FixedOffset>> {
    let least_h = project.products.product(&coat.product)?.least_to_immersion_h?;
    coat.ended?.checked_add_signed(TimeDelta::try_seconds((least_h * 3600.0).ceil() as i64)?)
}
