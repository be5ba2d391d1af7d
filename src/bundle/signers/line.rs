//! One line of OpenSSH's `allowed_signers`: principals, options, a key (ssh-keygen(1), ALLOWED SIGNERS).

use ssh_key::PublicKey;
use ssh_key::public::KeyData;

use super::moment::Moment;

/// A line: a key, whose it is, and for what it may be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    /// Patterns of the principals; `None` for the line of a public key file, which names nobody.
    pub principals: Option<Vec<u8>>,
    /// What the key is called: its principals, or its comment.
    pub words: String,
    /// The key.
    pub key: KeyData,
    /// Options of the line.
    pub options: Options,
}

/// Options of a line.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Options {
    /// Patterns of namespaces; `None` where the key is good for all.
    pub namespaces: Option<Vec<u8>>,
    pub valid_after: Option<Moment>,
    pub valid_before: Option<Moment>,
    pub cert_authority: bool,
}

/// Reads a line that is neither blank nor a comment.
pub(super) fn read(line: &[u8]) -> Result<Line, String> {
    if line.contains(&0) {
        return Err("has a NUL in it".to_string());
    }
    // A public key file has no principals; OpenSSH would take its first word for one, and find no key.
    if let Some((key, comment)) = key(line) {
        let options = Options::default();
        return Ok(Line { principals: None, words: shown(comment), key, options });
    }
    let (principals, rest) = first_word(line).ok_or("has nothing but its first word")?;
    let (options, key) = match key(rest) {
        Some((key, _)) => (Options::default(), key),
        None if [&b"ssh-"[..], b"ecdsa-", b"sk-"].iter().any(|kind| rest.starts_with(kind)) => {
            return Err("has a public key that can't be read".to_string());
        }
        None => {
            let (options, rest) = split_options(rest).ok_or("has a quote that isn't closed")?;
            let found = key(skipped(rest, b" \t"));
            let read = parse_options(options);
            match (found, read) {
                (Some((key, _)), read) => (read?, key),
                // A mistake in the options explains more than a missing key after them.
                (None, Err(wrong)) if !skipped(rest, b" \t").is_empty() => return Err(wrong),
                (None, _) => return Err("has no public key".to_string()),
            }
        }
    };
    let words = shown(&principals);
    Ok(Line { principals: Some(principals), words, key, options })
}

/// A key type, a key, and what stands behind them.
fn key(text: &[u8]) -> Option<(KeyData, &[u8])> {
    let is_space = |byte: &u8| matches!(byte, b' ' | b'\t');
    let (kind, rest) = text.split_at(text.iter().position(is_space)?);
    let rest = skipped(rest, b" \t");
    let (blob, comment) = rest.split_at(rest.iter().position(is_space).unwrap_or(rest.len()));
    let (kind, blob) = (str::from_utf8(kind).ok()?, str::from_utf8(blob).ok()?);
    let blob = blob.trim_end_matches(['\r', '\n']);
    let key = PublicKey::from_openssh(&format!("{kind} {blob}")).ok()?;
    Some((key.key_data().clone(), comment.trim_ascii()))
}

/// The first word and what stands behind it, as OpenSSH splits them: the first quote, wherever it stands in the
/// word, is left out, and the word then ends at the next.
fn first_word(line: &[u8]) -> Option<(Vec<u8>, &[u8])> {
    const SPACE: &[u8] = b" \t\r\n";
    let end = line.iter().position(|byte| SPACE.contains(byte) || *byte == b'"')?;
    let (before, rest) = line.split_at(end);
    if rest.first() == Some(&b'"') {
        let rest = &rest[1..];
        let close = rest.iter().position(|byte| *byte == b'"')?;
        return Some(([before, &rest[..close]].concat(), skipped(&rest[close + 1..], SPACE)));
    }
    Some((before.to_vec(), skipped(rest, SPACE)))
}

fn skipped<'a>(text: &'a [u8], what: &[u8]) -> &'a [u8] {
    let from = text.iter().position(|byte| !what.contains(byte)).unwrap_or(text.len());
    &text[from..]
}

/// Options and what stands behind them: they end at the first space that is not between quotes.
fn split_options(text: &[u8]) -> Option<(&[u8], &[u8])> {
    let (mut at, mut quoted) = (0, false);
    while let Some(byte) = text.get(at) {
        match byte {
            b' ' | b'\t' if !quoted => break,
            b'\\' if text.get(at + 1) == Some(&b'"') => at += 1,
            b'"' => quoted = !quoted,
            _ => {}
        }
        at += 1;
    }
    (!(quoted && at >= text.len())).then(|| text.split_at(at.min(text.len())))
}

fn parse_options(text: &[u8]) -> Result<Options, String> {
    let mut options = Options::default();
    let mut rest = text;
    while !rest.is_empty() {
        if let Some(behind) = after(rest, b"cert-authority") {
            options.cert_authority = true;
            rest = behind;
        } else if let Some(behind) = after(rest, b"namespaces=") {
            let (value, behind) = quoted(behind, "namespaces")?;
            once(&mut options.namespaces, value, "namespaces")?;
            rest = behind;
        } else if let Some(behind) = after(rest, b"valid-after=") {
            let (value, behind) = quoted(behind, "valid-after")?;
            once(&mut options.valid_after, moment(&value, "valid-after")?, "valid-after")?;
            rest = behind;
        } else if let Some(behind) = after(rest, b"valid-before=") {
            let (value, behind) = quoted(behind, "valid-before")?;
            once(&mut options.valid_before, moment(&value, "valid-before")?, "valid-before")?;
            rest = behind;
        }
        match rest {
            [] => break,
            [b','] => return Err("ends its options with a comma".to_string()),
            [b',', behind @ ..] => rest = behind,
            other => {
                let name = other.split(|byte| b",=".contains(byte)).next().unwrap_or_default();
                return Err(format!("has an option that is unknown: {}", shown(name)));
            }
        }
    }
    if let (Some(after), Some(before)) = (options.valid_after, options.valid_before)
        && !before.is_after(after)
    {
        return Err("has a valid-before that isn't after its valid-after".to_string());
    }
    Ok(options)
}

/// What stands behind a name, in capital letters or not.
fn after<'a>(text: &'a [u8], name: &[u8]) -> Option<&'a [u8]> {
    let (found, rest) = text.split_at_checked(name.len())?;
    found.eq_ignore_ascii_case(name).then_some(rest)
}

/// A value between quotes, in which `\"` stands for a quote, and what stands behind it.
fn quoted<'a>(text: &'a [u8], name: &str) -> Result<(Vec<u8>, &'a [u8]), String> {
    let mut rest = text
        .strip_prefix(b"\"")
        .ok_or_else(|| format!("has {name} without quotes round its value"))?;
    let mut value = Vec::new();
    loop {
        match rest {
            [b'\\', b'"', behind @ ..] => {
                value.push(b'"');
                rest = behind;
            }
            [b'"', behind @ ..] => return Ok((value, behind)),
            [byte, behind @ ..] => {
                value.push(*byte);
                rest = behind;
            }
            [] => return Err("has a quote that isn't closed".to_string()),
        }
    }
}

fn once<T>(place: &mut Option<T>, value: T, name: &str) -> Result<(), String> {
    match place.replace(value) {
        None => Ok(()),
        Some(_) => Err(format!("has {name} twice")),
    }
}

fn moment(value: &[u8], name: &str) -> Result<Moment, String> {
    let read = str::from_utf8(value).ok().and_then(Moment::read);
    read.ok_or_else(|| {
        format!("has a {name} that is no date as YYYYMMDD[HHMM[SS]][Z]: {}", shown(value))
    })
}

/// Most characters of a line that a message shows.
const MOST_SHOWN: usize = 200;

/// Bytes of a line as they can be shown, whatever they are.
fn shown(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let start: String = text.chars().take(MOST_SHOWN).collect();
    let more = if start.len() < text.len() { ".." } else { "" };
    format!("{}{more}", start.escape_debug())
}
