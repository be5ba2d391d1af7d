//! Whose signatures are accepted: a list of signers in the format of OpenSSH's `allowed_signers` (ssh-keygen(1)), or a
//! public key file. What `ssh-keygen -Y verify` refuses is refused.

mod line;
mod moment;
mod pattern;

use std::cmp::Ordering;
use std::path::Path;

use ssh_key::public::KeyData;

use self::line::Line;
pub use self::moment::Moment;
use super::directory::Oddities;
use super::error::BundleError;
use crate::records::plain;
use crate::records::store::read_at_most;

/// Most bytes of a key, a signature or a list of signers: of keys it holds some thousand.
const MOST_BYTES: u64 = 1 << 20;

/// The namespace of our signatures: one made for another purpose is not accepted.
pub const NAMESPACE: &str = "docking-record-bundle";

/// Reads a signature, or another file as small as one.
pub fn read(path: &Path) -> Result<Vec<u8>, BundleError> {
    let file = plain::file(path).and_then(|file| read_at_most(file, MOST_BYTES));
    file.map_err(|error| BundleError::io(path, "can't be read", &error))
}

/// The longest line that is accepted, bytes: room for a key of 16 384 bits and some hundred principals, and little
/// enough for work that grows with the square of a line.
pub const LONGEST_LINE: usize = 8192;

/// A list of signers.
#[derive(Debug, Default)]
pub struct Signers {
    /// The lines that name a key, each with its number.
    lines: Vec<(usize, Line)>,
    /// Lines that can't be used, in sentences.
    unusable: Vec<String>,
}

/// What is asked of a list beside whether a key is in it.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// Who must have signed, if it must be one.
    pub by: Option<String>,
    /// The time at which the key must have been valid, in UTC.
    pub at: Option<Moment>,
}

/// Whether a list accepts a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// It is accepted, as the key of a signer whom the list calls so.
    Accepted(String),
    /// It would be accepted, but whether it was valid at the time is not known, for these reasons.
    Undated(Vec<String>),
    /// It is not accepted, for these reasons.
    Refused(Vec<String>),
}

/// Whether one line accepts the key that it names.
enum LineVerdict {
    Accepted,
    Undated(String),
    Refused(String),
}

impl Signers {
    /// Reads a list from a file.
    pub fn read(path: &Path) -> Result<Self, BundleError> {
        let signers = Self::parse(&read(path)?).map_err(|wrong| {
            let advice =
                "put one public key on each line, or use the format of OpenSSH's allowed_signers";
            BundleError::new(path, wrong, advice)
        })?;
        if signers.lines.is_empty() && signers.unusable.is_empty() {
            return Err(BundleError::new(path, "names no signer", "put a public key in it"));
        }
        Ok(signers)
    }

    /// Reads a list. A line that can't be used is noted and left out; one longer than [`LONGEST_LINE`] is an error.
    pub fn parse(text: &[u8]) -> Result<Self, String> {
        let mut signers = Self::default();
        let mut unusable = Oddities::default();
        for (number, line) in (1..).zip(text.split(|byte| *byte == b'\n')) {
            if line.len() > LONGEST_LINE {
                return Err(format!(
                    "has {} bytes in line {number}, and a line of signers may have {LONGEST_LINE}",
                    line.len()
                ));
            }
            let start = line.iter().position(|byte| !b" \t\r".contains(byte));
            let Some(line) = start.map(|start| &line[start..]) else { continue };
            if line.starts_with(b"#") {
                continue;
            }
            match line::read(line) {
                Ok(line) => signers.lines.push((number, line)),
                Err(wrong) => unusable.add(format!("line {number} {wrong}")),
            }
        }
        signers.unusable = unusable.sentences();
        Ok(signers)
    }

    /// Whether the list accepts a key: it does if one line does.
    pub fn judge(&self, key: &KeyData, asked: &Asked) -> Verdict {
        let mut undated = Vec::new();
        let mut refused = Oddities::default();
        for (number, line) in self.lines.iter().filter(|(_, line)| line.key == *key) {
            match line.judge(asked) {
                LineVerdict::Accepted => return Verdict::Accepted(line.words.clone()),
                LineVerdict::Undated(why) => undated.push(format!("line {number} {why}")),
                LineVerdict::Refused(why) => refused.add(format!("line {number} {why}")),
            }
        }
        if !undated.is_empty() {
            return Verdict::Undated(undated);
        }
        let mut why = refused.sentences();
        why.extend(self.unusable.iter().cloned());
        Verdict::Refused(why)
    }
}

impl Line {
    fn judge(&self, asked: &Asked) -> LineVerdict {
        if let Some(why) = self.names_none(asked) {
            return LineVerdict::Refused(why);
        }
        let options = &self.options;
        if options.cert_authority {
            let why = "names the key of a certificate authority, which this program doesn't accept";
            return LineVerdict::Refused(why.to_string());
        }
        if let Some(namespaces) = &options.namespaces
            && !pattern::list_takes(namespaces, NAMESPACE.as_bytes())
        {
            let why = format!("accepts the key only for namespaces other than {NAMESPACE:?}");
            return LineVerdict::Refused(why);
        }
        let bounds = [
            (options.valid_after, "from", Ordering::Less),
            (options.valid_before, "until", Ordering::Greater),
        ];
        let mut undated = None;
        for (bound, word, wrong) in bounds {
            let Some(bound) = bound else { continue };
            let bound_shown = bound.shown();
            match asked.at.map(|at| bound.compared(at)) {
                Some(Some(side)) if side == wrong => {
                    return LineVerdict::Refused(format!(
                        "accepts the key only {word} {bound_shown}"
                    ));
                }
                Some(Some(_)) => {}
                Some(None) => {
                    undated = Some(format!(
                        "accepts the key {word} {bound_shown}, too close to --at to decide"
                    ));
                }
                None => {
                    undated.get_or_insert(format!(
                        "accepts the key {word} {bound_shown}, and no --at states the time"
                    ));
                }
            }
        }
        undated.map_or(LineVerdict::Accepted, LineVerdict::Undated)
    }

    /// Why none of its principals is the one asked for, or anybody, if so.
    fn names_none(&self, asked: &Asked) -> Option<String> {
        match (&self.principals, &asked.by) {
            (None, None) => None,
            (None, Some(by)) => Some(format!("is a bare public key, which doesn't name {by:?}")),
            (Some(principals), Some(by)) => (!pattern::list_takes(principals, by.as_bytes()))
                .then(|| format!("accepts the key only for others than {by:?}")),
            (Some(principals), None) if begins_with_options(principals) => {
                Some("has options where its principals should be".to_string())
            }
            (Some(principals), None) => (!pattern::takes_somebody(principals))
                .then(|| "refuses everyone whom it names".to_string()),
        }
    }
}

/// Whether the principals were forgotten: OpenSSH then reads the options as principals.
fn begins_with_options(principals: &[u8]) -> bool {
    let names = ["cert-authority", "namespaces=", "valid-after=", "valid-before="];
    names.iter().any(|name| {
        principals
            .get(..name.len())
            .is_some_and(|found| found.eq_ignore_ascii_case(name.as_bytes()))
    })
}

#[cfg(test)]
mod tests;
