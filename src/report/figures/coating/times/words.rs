//! The words beside a time-line.

use super::row::Seen;
use super::{Examined, ZoneRows};
use crate::findings::recomputed::coating::span_h;
use crate::report::figures::drawing::Words;
use crate::report::figures::lettering;
use crate::report::figures::words::{self, measure};
use crate::text::{self, Form};

/// Most applications that the words name.
const MOST_NAMED: usize = 40;

/// Title, caption, and what the drawing shows for whoever can't see it.
pub fn said(examined: &Examined, zones: &[ZoneRows], seen: &Seen, part: (usize, usize)) -> Words {
    let project = &examined.project;
    let ids: Vec<String> = zones
        .iter()
        .filter_map(|zone| project.zones.get(zone.zone))
        .map(|zone| lettering::shown(&zone.id))
        .collect();
    let part = words::part(part);
    let zones_said = if ids.len() == 1 { "zone" } else { "zones" };
    let title = format!("Coats in time, {zones_said} {}{part}", words::list(&ids, 12));
    let mut caption = String::new();
    let mut add = |sentence: String| {
        if !caption.is_empty() {
            caption.push(' ');
        }
        caption.push_str(&sentence);
    };
    if seen.over || seen.tie_in {
        add("An arrow: the window goes on beyond the frame, or has no end.".to_string());
    } else {
        add("No window can be given for any of these coats.".to_string());
    }
    if seen.unknown {
        add("A question mark: no window can be given for it; see the table.".to_string());
    }
    let unknown = zones.iter().filter(|zone| {
        examined.recomputed.coating.zones.get(zone.zone).is_some_and(|zone| !zone.dry_known)
    });
    let unknown: Vec<String> = unknown
        .filter_map(|zone| project.zones.get(zone.zone))
        .map(|zone| lettering::shown(&zone.id))
        .collect();
    if !unknown.is_empty() {
        let zones = words::list(&unknown, 12);
        add(format!("When {zones} was under water is not recorded."));
    }
    let left_out: usize = zones.iter().map(|zone| zone.left_out).sum();
    if left_out > 0 {
        let rows = words::count(left_out, "row");
        add(format!("For want of room {rows} left out; see the table."));
    }
    let coats = zones.iter().flat_map(|zone| &zone.rows).flat_map(|row| &row.coats);
    let each: Vec<String> = coats
        .filter_map(|coat| {
            let coat = project.coats.get(*coat)?;
            let from = text::time(coat.began?);
            let (from_h, to_h) = span_h(coat)?;
            let name = lettering::shown(&coat.name);
            Some(format!("{name} from {from} for {}", measure(to_h - from_h, Form::Duration, 1)))
        })
        .collect();
    let alt = format!("{title}. Bars: {}.", words::list(&each, MOST_NAMED));
    Words { title, caption, alt }
}
