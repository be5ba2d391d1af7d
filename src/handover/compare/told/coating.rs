//! Scheme and film of each zone.

use super::{Comparison, Section, Table, figure, name, words};
use crate::handover::compare::{Painted, Zone};
use crate::report::text::{count, micrometres, number};

pub(super) fn section(comparison: &Comparison) -> Section {
    let zones = &comparison.coating.zones;
    let both: Vec<(&Painted, &Painted)> = zones
        .iter()
        .filter_map(|zone| Some((zone.older.as_ref()?, zone.newer.as_ref()?)))
        .collect();
    let with_scheme =
        || both.iter().filter(|(was, is)| !was.scheme.is_empty() && !is.scheme.is_empty());
    let same = with_scheme().filter(|(was, is)| is.has_the_products_of(was)).count();
    let lead = match (zones.len(), both.len()) {
        (0, _) => "No zone of the coating is recorded in either docking.".to_string(),
        (all, 0) => {
            format!("{} in all, none of one name in both dockings.", count(all, "zone", "zones"))
        }
        (_, both) => format!(
            "{} of one name in both dockings; of {} with a scheme in both, {} the same products then \
             as now.",
            count(both, "zone", "zones"),
            with_scheme().count(),
            if same == 0 { "none had".to_string() } else { format!("{same} had") },
        ),
    };
    let mut section = Section::new("Coating", lead);
    let columns = [
        name("Zone"),
        name("When"),
        words("Scheme from the steel up"),
        figure("NDFT, \u{b5}m"),
        figure("Film mean, \u{b5}m"),
        figure("Least, \u{b5}m"),
        figure("Full scheme, m\u{b2}"),
        figure("Less or none, m\u{b2}"),
        name("Last coat"),
    ];
    Table::new("Zone by zone, the film after the last coat that was read:", columns)
        .rows(zones.iter().flat_map(rows))
        .to(&mut section);
    section
}

fn rows(zone: &Zone) -> impl Iterator<Item = [Option<String>; 9]> {
    [("then", &zone.older), ("now", &zone.newer)].into_iter().filter_map(|(when, painted)| {
        let painted = painted.as_ref()?;
        let film = painted.film.as_ref();
        Some([
            Some(zone.zone.clone()),
            Some(when.to_string()),
            scheme(painted),
            micrometres(painted.nominal_m),
            micrometres(film.map(|film| film.mean_m)),
            micrometres(film.map(|film| film.least_m)),
            painted.full_m2.map(|area| number(area, 1)),
            painted.short_m2.map(|area| number(area, 1)),
            painted.last_coat_on.map(|day| day.to_string()),
        ])
    })
}

fn scheme(painted: &Painted) -> Option<String> {
    let coats: Vec<String> = painted
        .scheme
        .iter()
        .map(|coat| match micrometres(coat.nominal_m) {
            Some(nominal) => format!("{} {nominal}", coat.product),
            None => coat.product.clone(),
        })
        .collect();
    (!coats.is_empty()).then(|| coats.join(", "))
}
