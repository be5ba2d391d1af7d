//! The coating: what the logs claim against where blocks and water were, and every coat against its
//! scheme, its window, its climate and its preparation.

mod applications;
mod conditions;
mod entered;
mod limits;
mod stripes;
mod tested;
pub mod windows;
mod zones;

use super::cause;
use super::finding::{Figure, Finding};
use super::judge::not_recorded;
use super::recomputed::Recomputed;
use super::recomputed::coating::applied::Applied;
use super::recomputed::coating::{Coating, ZoneHistory};
use crate::findings::subject::Subject;
use crate::records::coats::Application;
use crate::records::scheme::SchemeCoat;
use crate::records::zones::{Extent, Zone};
use crate::records::{self, Project};
use crate::text;
use crate::text::list_first;
use crate::text::sentence::Piece;
use crate::text::{Measure, Text, id};

/// Every finding of the coating, but for the film.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let coats = Coats { project, recomputed, coating: &recomputed.coating };
    let mut found = coats.zones();
    for at in 0..project.coats.len() {
        let own = ApplicationFindings { all: &coats, at, coat: &project.coats[at] };
        let mut climate = own.climate();
        if project.climate.is_empty() && own.coat.began.is_some() {
            let what = "no application has its climate";
            cause::missing_table(&mut climate, &records::climate::SPEC, what);
        }
        found.extend(own.application());
        found.extend(own.preparation());
        found.extend(climate);
        found.extend(own.windows());
        found.extend(own.paint());
        found.extend(own.product_limits());
    }
    found.extend(coats.entered_twice());
    found.extend(coats.stripes());
    found.extend(coats.tests());
    found.extend(coats.preparation_places());
    found.extend(coats.dew_points());
    found
}

/// What every finding of the coating is drawn from.
struct Coats<'a> {
    project: &'a Project,
    recomputed: &'a Recomputed,
    coating: &'a Coating,
}

/// The findings of one application.
struct ApplicationFindings<'a> {
    all: &'a Coats<'a>,
    at: usize,
    coat: &'a Application,
}

impl<'a> ApplicationFindings<'a> {
    fn project(&self) -> &'a Project {
        self.all.project
    }

    /// A finding's subject that is this application.
    fn about(&self, subject: fn(String) -> Subject) -> Subject {
        subject(self.coat.name.clone())
    }

    fn name(&self) -> Piece {
        name(self.coat)
    }

    fn zone(&self) -> Option<(&'a Zone, &'a ZoneHistory)> {
        let at = self.project().zones.iter().position(|zone| zone.id == self.coat.zone)?;
        Some((&self.project().zones[at], &self.all.coating.zones[at]))
    }

    fn applied(&self) -> &'a Applied {
        &self.all.coating.applied[self.at]
    }

    /// The scheme's row for this coat.
    fn scheme(&self) -> Option<&'a SchemeCoat> {
        self.project().scheme.get(self.applied().scheme?)
    }

    fn not_timed(&self, subject: fn(String) -> Subject) -> Finding {
        not_recorded(text!("when {} was applied", self.name()))
            .finding(self.about(subject))
            .from([&self.coat.place])
    }
}

/// What an application is called in a sentence: `KL coat 2 (patches)`.
fn name(coat: &Application) -> Piece {
    let extent = match &coat.extent {
        Extent::Area(area) => format!("area {area}"),
        other => other.word().to_string(),
    };
    id(format!("{} coat {} ({extent})", coat.zone, coat.coat))
}

/// An area in words; of a side whose area is not recorded that there is some.
fn area_words(area: Option<Measure>) -> Text {
    area.map_or("steel".into(), Text::from)
}

/// Blocks on a claim that are named; more are counted.
const MOST_BLOCKS: usize = 8;

/// The blocks that stood on what an application claims.
pub fn blocks_named(project: &Project, applied: &Applied) -> String {
    let blocks = applied.blocks.iter().filter_map(|at| project.blocks.get(*at));
    list_first(&blocks.map(|block| block.id.as_str()).collect::<Vec<_>>(), MOST_BLOCKS)
}

/// A time span in words: hours up to ten days, then days.
pub fn span(hours: f64) -> String {
    if hours.abs() < 240.0 { Figure::duration(hours).to_string() } else { in_days(hours) }
}

/// By how much something came too soon or too late, in words: hours up to two days, then days.
pub fn off(hours: f64) -> String {
    if hours.abs() < 48.0 { span(hours) } else { in_days(hours) }
}

fn in_days(hours: f64) -> String {
    format!("{} d", crate::units::fixed(hours / 24.0, 1))
}

/// Two time spans in words, in one unit: hours while the longer is under ten days, else days.
pub fn spans(shorter_h: f64, longer_h: f64) -> (String, String) {
    if longer_h.abs() < 240.0 {
        return (span(shorter_h), span(longer_h));
    }
    (in_days(shorter_h), in_days(longer_h))
}
