//! Rights, people to ask, identifiers and originals, as a section.

use super::Section;
use crate::records::archive::Archive;
use crate::text;
use crate::text::{Text, and};

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
    let told = |text: &Option<String>| text.clone();
    vec![
        ("Rights", told(&archive.rights)),
        ("Access", told(&archive.access)),
        ("Personal data", told(&archive.personal_data)),
        ("Whom to ask", told(&archive.contact)),
        ("E-mail", told(&archive.contact_email)),
        ("Telephone", told(&archive.contact_telephone)),
        ("Postal address", told(&archive.contact_address)),
        ("Who takes over", told(&archive.successor)),
        ("Official number", told(&archive.official_number)),
        ("IMO number", archive.imo_digits()),
        ("Call sign", told(&archive.call_sign)),
        ("Museum number", told(&archive.museum_number)),
        ("Place of the dock", place),
        ("Originals", told(&archive.originals)),
        ("Plans cited", told(&archive.plans)),
        ("Collection", told(&archive.collection)),
        ("To be kept", told(&archive.keep_for)),
    ]
}

/// The section by its title and anchor, whatever is recorded.
pub fn section(archive: &Archive) -> Section {
    let mut section = Section::new("Rights, people to ask, originals").at("archive");
    let recorded = recorded(archive);
    let missing: Vec<&str> =
        recorded.iter().filter(|(_, text)| text.is_none()).map(|(what, _)| *what).collect();
    section.terms(
        recorded.iter().filter_map(|(what, text)| Some((Text::from(*what), Text::from(text.clone()?)))),
    );
    if !missing.is_empty() {
        section.paragraph(text!("Not recorded: {}.", and(&lowered(&missing))));
    }
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
