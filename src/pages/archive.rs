//! Rights, people to ask, identifiers and originals, as a section.

use super::Section;
use crate::records::archive::Archive;
use crate::text::{Text, and};

pub const TITLE: &str = "Rights, people to ask, originals";

/// What it is about, one after the other: the words before it, and what is recorded.
pub fn recorded(archive: &Archive) -> Vec<(&'static str, Option<String>)> {
    let place = archive.dock_latitude_deg.zip(archive.dock_longitude_deg);
    let place = place.map(|(latitude, longitude)| {
        let [latitude, longitude] =
            [(latitude, ["N", "S"]), (longitude, ["E", "W"])].map(|(degrees, [over, under])| {
                let end = if degrees < 0.0 { under } else { over };
                format!("{}\u{b0} {end}", degrees.abs())
            });
        format!("{latitude}, {longitude} (WGS 84)")
    });
    vec![
        ("Rights", archive.rights.clone()),
        ("Access", archive.access.clone()),
        ("Personal data", archive.personal_data.clone()),
        ("Known as", archive.identifier.clone()),
        ("Whom to ask", archive.contact.clone()),
        ("E-mail", archive.contact_email.clone()),
        ("Telephone", archive.contact_telephone.clone()),
        ("Postal address", archive.contact_address.clone()),
        ("Who takes over", archive.successor.clone()),
        ("Official number", archive.official_number.clone()),
        ("IMO number", archive.imo_digits()),
        ("Call sign", archive.call_sign.clone()),
        ("Museum number", archive.museum_number.clone()),
        ("Coordinates of the dock", place),
        ("Originals", archive.originals.clone()),
        ("Plans cited", archive.plans.clone()),
        ("Collection", archive.collection.clone()),
        ("To be kept", archive.keep_for.clone()),
    ]
}

/// What is recorded, and a sentence on what is not.
pub fn recorded_and_not(archive: &Archive) -> (Vec<(&'static str, String)>, Option<String>) {
    let all = recorded(archive);
    let missing: Vec<&str> =
        all.iter().filter(|(_, text)| text.is_none()).map(|(what, _)| *what).collect();
    let missing =
        (!missing.is_empty()).then(|| format!("Not recorded: {}.", and(&lowered(&missing))));
    (all.into_iter().filter_map(|(what, text)| Some((what, text?))).collect(), missing)
}

/// The section by its title and anchor, whatever is recorded.
pub fn section(archive: &Archive) -> Section {
    let mut section = Section::new(TITLE).at("archive");
    let (recorded, missing) = recorded_and_not(archive);
    section.terms(recorded.into_iter().map(|(what, text)| (Text::from(what), Text::from(text))));
    section.paragraph(missing.unwrap_or_default());
    section
}

/// Heads as they stand inside a sentence.
fn lowered(heads: &[&str]) -> Vec<String> {
    let lower = |head: &&str| match head.split_once(' ') {
        Some(("IMO", _)) => head.to_string(),
        _ => {
            let mut letters = head.chars();
            let first = letters.next().map(|first| first.to_lowercase().to_string());
            first.unwrap_or_default() + letters.as_str()
        }
    };
    heads.iter().map(lower).collect()
}
