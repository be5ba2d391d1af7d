//! `[archive]` of `docking.toml`: what only people know and an archive asks for.

use super::entry::Entry;
use super::problem::{Problem, Problems};
use super::record::record;
use super::spec::{Holds, Range};
use crate::units::Quantity;

/// An angle on the earth.
const COORDINATE: Holds = Holds::Measure(Quantity::Angle, Range::Any);

record! {
    /// Rights, people to ask, identifiers, and where the originals are.
    #[derive(Debug, Clone, Default)]
    pub struct Archive: TABLE = [archive] "what an archive asks of a record" {
        rights: Option<String> = optional(
            "rights",
            Called,
            "under which terms the record may be used: an SPDX identifier such as CC-BY-4.0, or words",
        ),
        access: Option<String> = optional("access", Called, "who may see it, from when on, and on whose word"),
        personal_data: Option<String> = optional(
            "personal_data",
            Called,
            "whether the people named in it agreed to be named, and what is to be left out for others",
        ),
        identifier: Option<String> = optional(
            "identifier",
            Called,
            "by which the keeper knows this record for ever, whatever its files are called: an accession number, a DOI, an ARK",
        ),
        contact: Option<String> = optional("contact", Called, "the office or person to ask about the record"),
        contact_email: Option<String> = optional("contact_email", Called, "their e-mail address"),
        contact_telephone: Option<String> = optional("contact_telephone", Called, "their telephone number"),
        contact_address: Option<String> = optional("contact_address", Called, "their postal address, on one line"),
        successor: Option<String> = optional(
            "successor",
            Called,
            "who takes over the record when that office comes to an end",
        ),
        official_number: Option<String> = optional("official_number", Called, "the ship's official number, with the register"),
        imo_number: Option<String> = optional(
            "imo_number",
            Called,
            "her IMO number, seven digits of which the last checks the others",
        ),
        call_sign: Option<String> = optional("call_sign", Called, "her radio call sign"),
        museum_number: Option<String> = optional("museum_number", Called, "her number in the keeper's catalogue"),
        dock_latitude_deg: Option<f64> = optional("dock_latitude", COORDINATE, "latitude of the dock, north is positive, WGS 84"),
        dock_longitude_deg: Option<f64> = optional("dock_longitude", COORDINATE, "longitude of the dock, east is positive, WGS 84"),
        originals: Option<String> = optional(
            "originals",
            Called,
            "where the originals are: field books, log sheets, films, by shelf mark",
        ),
        plans: Option<String> = optional("plans", Called, "where the plans and reports are that the record cites, by number"),
        collection: Option<String> = optional("collection", Called, "the collection or series that the record belongs to"),
        keep_for: Option<String> = optional("keep_for", Called, "how long it is to be kept, and on whose decision"),
    }
}

impl Archive {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let archive = Self::from_entry(entry)?;
        let mut refuse = |column, wrong: &str, expected: String, advice: &'static str| {
            problems.add(
                Problem::new(entry.place_of(column), wrong)
                    .value(entry.as_written(column))
                    .expected(expected)
                    .advice(advice),
            );
        };
        if let Some(Err(expected)) = archive.imo_number.as_deref().map(imo_digits) {
            let advice = "copy it from her certificate or her hull";
            refuse(&Self::imo_number, "is not an IMO number", expected, advice);
        }
        let advice = "give decimal degrees, negative to the south and to the west";
        let coordinates = [
            (&Self::dock_latitude_deg, archive.dock_latitude_deg, 90.0),
            (&Self::dock_longitude_deg, archive.dock_longitude_deg, 180.0),
        ];
        for (column, degrees, most) in coordinates {
            if degrees.is_some_and(|degrees| degrees.abs() > most) {
                let expected = format!("degrees from -{most} to {most}");
                refuse(column, "is not on the earth", expected, advice);
            }
        }
        Some(archive)
    }

    /// One sentence that stands on the first page of everything, such as that the record is invented: its `note`.
    pub fn statement(&self) -> Option<&str> {
        self.notes.as_deref()
    }

    /// Under which terms the record may be used, if that is recorded.
    pub fn terms(&self) -> Option<Terms<'_>> {
        let written = self.rights.as_deref()?.trim();
        Some(if is_spdx(written) {
            Terms::Spdx(written)
        } else if is_address(written) {
            Terms::Address(written)
        } else {
            Terms::Words(written)
        })
    }

    /// Her IMO number as its seven digits, if it is recorded.
    pub fn imo_digits(&self) -> Option<String> {
        imo_digits(self.imo_number.as_deref()?).ok()
    }

    /// By what she is known beyond her name, the most lasting first.
    pub fn identifier_of_ship(&self) -> Option<String> {
        let imo = self.imo_digits().map(|digits| format!("IMO {digits}"));
        let others = [
            ("official number", &self.official_number),
            ("museum number", &self.museum_number),
            ("call sign", &self.call_sign),
        ];
        let mut others = others
            .into_iter()
            .filter_map(|(what, number)| number.as_ref().map(|number| format!("{what} {number}")));
        imo.or_else(|| others.next())
    }
}

/// Terms of use as they were recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Terms<'a> {
    /// A licence by its SPDX identifier.
    Spdx(&'a str),
    /// The address of a text on the web.
    Address(&'a str),
    /// Anything else.
    Words(&'a str),
}

impl<'a> Terms<'a> {
    /// The words of the record.
    pub fn as_written(self) -> &'a str {
        match self {
            Terms::Spdx(written) | Terms::Address(written) | Terms::Words(written) => written,
        }
    }

    /// Where the terms can be read, if the record says so.
    pub fn address(self) -> Option<String> {
        match self {
            Terms::Spdx(id) => Some(format!("https://spdx.org/licenses/{id}")),
            Terms::Address(address) => Some(address.to_string()),
            Terms::Words(_) => None,
        }
    }
}

/// SPDX identifiers of licences for data and texts, but for Creative Commons' numbered ones.
pub const SPDX_IDS: &[&str] =
    &["CC-PDDC", "CC0-1.0", "ODC-By-1.0", "ODbL-1.0", "OGL-UK-3.0", "PDDL-1.0", "etalab-2.0"];

/// The conditions and versions of Creative Commons' licences: CC-BY-NC-4.0 has one of each.
pub const CC_CONDITIONS: &[&str] = &["BY", "BY-NC", "BY-NC-ND", "BY-NC-SA", "BY-ND", "BY-SA"];
pub const CC_VERSIONS: &[&str] = &["1.0", "2.0", "2.5", "3.0", "4.0"];

/// Whether it is a known licence's SPDX identifier. Other words of that form are not taken for one: an address made of
/// them would lead nowhere.
fn is_spdx(written: &str) -> bool {
    SPDX_IDS.contains(&written)
        || written.strip_prefix("CC-").and_then(|rest| rest.rsplit_once('-')).is_some_and(
            |(conditions, version)| {
                CC_CONDITIONS.contains(&conditions) && CC_VERSIONS.contains(&version)
            },
        )
}

/// Whether it is an address on the web and nothing else, as RFC 3986 writes one.
fn is_address(written: &str) -> bool {
    let rest = written.strip_prefix("https://").or_else(|| written.strip_prefix("http://"));
    rest.is_some_and(|rest| {
        !rest.is_empty()
            && rest.bytes().all(|byte| {
                byte.is_ascii_alphanumeric() || b"-._~:/?#[]@!$&'()*+,;=%".contains(&byte)
            })
    })
}

/// The seven digits of an IMO number, with or without the letters before them, or what was expected. The last digit is
/// that of the sum of the six before it, the first taken seven times, the next six times and so on to twice (IMO
/// resolution A.1117(30), from memory).
fn imo_digits(written: &str) -> Result<String, String> {
    let digits = written.trim();
    let digits = digits.strip_prefix("IMO").unwrap_or(digits).trim_start();
    let values: Option<Vec<u32>> = digits.chars().map(|digit| digit.to_digit(10)).collect();
    let Some(values) = values.filter(|values| values.len() == 7) else {
        return Err("seven digits, with or without IMO before them".to_string());
    };
    let sum: u32 = values.iter().zip([7, 6, 5, 4, 3, 2]).map(|(value, times)| value * times).sum();
    let last = sum % 10;
    if values.last() == Some(&last) {
        return Ok(digits.to_string());
    }
    Err(format!("a last digit of {last}, if the six before it are right"))
}

#[cfg(test)]
mod tests {
    use super::{Archive, imo_digits};

    #[test]
    fn terms_have_an_address_only_where_one_is_recorded() {
        for (rights, address) in [
            ("CC-BY-4.0", Some("https://spdx.org/licenses/CC-BY-4.0")),
            (" CC0-1.0 ", Some("https://spdx.org/licenses/CC0-1.0")),
            ("CC-BY-NC-SA-3.0", Some("https://spdx.org/licenses/CC-BY-NC-SA-3.0")),
            ("https://example.org/terms?of=use", Some("https://example.org/terms?of=use")),
            ("CC-BY-5.0", None),
            ("CC-BY", None),
            ("restricted", None),
            ("https://", None),
            ("https://example.org/terms, on paper", None),
            ("ask the society", None),
        ] {
            let archive = Archive { rights: Some(rights.to_string()), ..Archive::default() };
            let terms = archive.terms().expect("terms");
            assert_eq!(terms.address().as_deref(), address, "{rights}");
            assert_eq!(terms.as_written(), rights.trim());
        }
        assert_eq!(Archive::default().terms(), None);
    }

    #[test]
    fn the_last_digit_of_an_imo_number_checks_the_others() {
        // 1*7 + 2*6 + 3*5 + 4*4 + 5*3 + 6*2 = 77, by hand; the number is made up.
        assert_eq!(imo_digits("1234567").as_deref(), Ok("1234567"));
        assert_eq!(imo_digits("IMO 1234567").as_deref(), Ok("1234567"));
        assert_eq!(
            imo_digits("1234568").unwrap_err(),
            "a last digit of 7, if the six before it are right"
        );
        for wrong in ["123456", "12345670", "12E4567", "", "IMO"] {
            let expected = "seven digits, with or without IMO before them";
            assert_eq!(imo_digits(wrong).unwrap_err(), expected);
        }
    }
}
