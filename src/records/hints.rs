//! What a mistyped number, time or name was meant to be, so that a message leads straight to the correction.
//!
//! A hint gives a value only where the text can be read in a known way with every character accounted for; where two
//! readings remain it gives both, and where none is certain it gives none.

use chrono::{NaiveDate, NaiveTime};

use super::grammar::lengths::{self, FeetAndInches};
use crate::units::{self, Quantity, UNITS, Unit};

/// What people write where there was no reading.
const NOTHING: &[&str] =
    &["-", "--", "\u{2013}", "\u{2014}", "?", "n/a", "na", "nil", "none", "tbc"];

/// What to do about a text that is no number in a column of that unit.
pub(super) fn number(text: &str, unit: Option<&Unit>) -> String {
    if NOTHING.contains(&text.to_lowercase().as_str()) {
        return "if there was no reading, leave it out".to_string();
    }
    let plain = with_plain_signs(text);
    let (written, word) = split_word(&plain);
    let is_called =
        |unit: &Unit| word == unit.suffix || word == units::printed(unit.suffix).to_lowercase();
    // Before letters are taken for digits: the l of 12l may be litres.
    if let Some(read) = read_number(written).filter(|_| UNITS.iter().any(is_called)) {
        return match unit {
            Some(unit) if is_called(unit) => format!("write {read}"),
            Some(unit) => format!("convert it to {} and write the number alone", unit.suffix),
            None => "write the number alone".to_string(),
        };
    }
    if let Some(read) = read_number(&plain) {
        return format!("write {read}");
    }
    match (unit, lengths::read(&plain).ok().flatten()) {
        (Some(unit), Some(read)) => in_unit(&read, unit),
        (Some(_), None) => ALONE.to_string(),
        (None, _) => "write the number alone".to_string(),
    }
}

const ALONE: &str = "write the number alone; its unit is at the end of the column's name";

/// What to do about feet and inches in a column of that unit that does not take them.
fn in_unit(read: &FeetAndInches, unit: &Unit) -> String {
    let exact = match unit.suffix {
        "ft" => read.in_feet(),
        "in" => Some(read.in_inches()),
        _ => None,
    };
    match (exact, unit.suffix, unit.quantity) {
        (Some(exact), ..) => format!("write {exact}, which is {read}"),
        (None, "ft", _) => {
            "write decimal feet: divide the inches by twelve and write the result after the point"
                .to_string()
        }
        (None, suffix, Quantity::Length) => {
            format!("convert it to {suffix} and write the number alone")
        }
        _ => ALONE.to_string(),
    }
}

/// The minus signs and primes of typesetters as those of the keyboard.
fn with_plain_signs(text: &str) -> String {
    let sign = |c: char| match c {
        '\u{2212}' | '\u{2013}' => '-',
        '\u{2019}' | '\u{2032}' => '\'',
        '\u{201d}' | '\u{2033}' => '"',
        '\u{a0}' | '\u{2009}' | '\u{202f}' => ' ',
        c => c,
    };
    text.chars().map(sign).collect()
}

/// What ends in a digit, and the word after it, in small letters.
fn split_word(text: &str) -> (&str, String) {
    let end = text.rfind(|c: char| c.is_ascii_digit()).map_or(0, |at| at + 1);
    (&text[..end], text[end..].trim().to_lowercase())
}

/// The number that a text gives by one of the ways in which numbers are written, as it is to be written
/// here; or both, where it has two.
fn read_number(text: &str) -> Option<String> {
    let text = with_digits(text);
    if is_number(&text) {
        return Some(text);
    }
    if let Some(grouped) = grouped(&text) {
        return Some(grouped);
    }
    let point = text.replacen(',', ".", 1);
    is_number(&point).then_some(point)
}

/// The letters O, I and l beside digits as the digits that they were taken for, if there is no other letter.
fn with_digits(text: &str) -> String {
    let other = |c: char| c.is_alphabetic() && !"OoIl".contains(c);
    if text.chars().any(other) { text.to_string() } else { letters_as_digits(text) }
}

/// Every O, I and l that stands beside a digit as the digit that looks like it.
pub(super) fn letters_as_digits(text: &str) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for at in 0..chars.len() {
        let beside = [at.checked_sub(1), Some(at + 1)];
        let is_digit =
            |at: &Option<usize>| at.and_then(|at| chars.get(at)).is_some_and(char::is_ascii_digit);
        if beside.iter().any(is_digit) {
            chars[at] = match chars[at] {
                'O' | 'o' => '0',
                'I' | 'l' => '1',
                c => c,
            };
        }
    }
    chars.into_iter().collect()
}

/// A number whose thousands are parted by a sign: `1,200,000.5`, `1 200`, `1.200,5`. With one such sign and
/// no decimals the sign may also stand for the decimal point, and both readings are given.
fn grouped(text: &str) -> Option<String> {
    for (sign, name, points) in [
        (',', "comma", &['.'][..]),
        (' ', "space", &['.', ',']),
        ('\'', "apostrophe", &['.', ',']),
        ('.', "point", &[',']),
    ] {
        let (whole, tail) = match text.split_once(points) {
            Some((whole, tail)) => (whole, Some(tail)),
            None => (text, None),
        };
        let mut groups = whole.strip_prefix('-').unwrap_or(whole).split(sign);
        let Some(first) = groups.next() else { continue };
        let rest: Vec<&str> = groups.collect();
        let digits = |group: &str| group.bytes().all(|b| b.is_ascii_digit());
        let well = !rest.is_empty()
            && (1..=3).contains(&first.len())
            && !first.starts_with('0')
            && digits(first)
            && rest.iter().all(|group| group.len() == 3 && digits(group))
            && tail.is_none_or(|tail| !tail.is_empty() && digits(tail));
        if !well {
            continue;
        }
        let number = whole.replace(sign, "");
        return Some(match tail {
            Some(tail) => format!("{number}.{tail}"),
            None if rest.len() > 1 => number,
            None => {
                let point = whole.replace(sign, ".");
                format!(
                    "{number} if the {name} separates thousands, or {point} if it is the decimal \
                     point"
                )
            }
        });
    }
    None
}

fn is_number(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b))
        && text.parse::<f64>().is_ok_and(f64::is_finite)
}

/// What to do about a text that is no time.
pub(super) fn time(text: &str) -> String {
    let example =
        "write the year, the month, the day and the time of day, as in the example".to_string();
    let digits = letters_as_digits(text);
    let text = digits.as_str();
    if is_number(text) && text.contains('.') && !text.starts_with('0') && text.len() >= 7 {
        return "this is a spreadsheet's day number: format the column as yyyy-mm-dd hh:mm there and save again"
            .to_string();
    }
    let (date, clock) = match text.split_once([' ', 'T']) {
        Some((date, clock)) => (date, clock.trim()),
        None => (text, ""),
    };
    let Some(days) = dates(date) else {
        return if self::clock(text).is_some() {
            "put the date before it, as in the example".to_string()
        } else {
            no_such_day(date).unwrap_or(example)
        };
    };
    if clock.is_empty() {
        return "add the time of day after the date, as in the example".to_string();
    }
    if let (Some(minutes), [day]) = (clock.strip_prefix("24:00"), days.as_slice())
        && ["", ":00"].contains(&minutes)
        && let Some(next) = day.succ_opt()
    {
        return format!("write {next}T00:00, the start of the next day");
    }
    match self::clock(clock) {
        None => example,
        Some(clock) => format!("write {}", either(&days, &format!("T{clock}"))),
    }
}

/// What to do about a text that is no date.
pub(super) fn date(text: &str) -> String {
    match dates(text) {
        Some(days) => format!("write {}", either(&days, "")),
        None => no_such_day(text).unwrap_or("write the year, month and day".to_string()),
    }
}

fn either(days: &[NaiveDate], tail: &str) -> String {
    match days {
        [day, month, ..] => {
            format!("{day}{tail} if the day comes first, or {month}{tail} if the month does")
        }
        [one] => format!("{one}{tail}"),
        [] => String::new(),
    }
}

/// The days that three numbers with points, strokes or hyphens between them may mean: year first, or day
/// first, or month first.
fn dates(text: &str) -> Option<Vec<NaiveDate>> {
    let parts: Vec<&str> = text.split(['.', '/', '-']).collect();
    let &[a, b, c] = parts.as_slice() else { return None };
    let number = |part: &str| part.parse::<u32>().ok().filter(|_| !part.starts_with('+'));
    let day = |year: &str, month: &str, day: &str| {
        let year = i32::try_from(number(year)?).ok().filter(|_| year.len() == 4)?;
        NaiveDate::from_ymd_opt(year, number(month)?, number(day)?)
    };
    let mut found: Vec<NaiveDate> = if a.len() == 4 {
        day(a, b, c).into_iter().collect()
    } else {
        day(c, b, a).into_iter().chain(day(c, a, b)).collect()
    };
    found.dedup();
    (!found.is_empty()).then_some(found)
}

/// What is wrong with a day that is written with the year first and is none.
fn no_such_day(text: &str) -> Option<String> {
    let parts: Vec<&str> = text.split(['.', '/', '-']).collect();
    let &[year, month, day] = parts.as_slice() else { return None };
    let number = |part: &str| part.parse::<u32>().ok().filter(|_| part.len() <= 2);
    let (written, month, day) = (month, number(month)?, number(day)?);
    let year = i32::try_from(year.parse::<u32>().ok()?).ok().filter(|_| year.len() == 4)?;
    match NaiveDate::from_ymd_opt(year, month, 1) {
        Some(first) => Some(format!("{} has no day {day}: correct the day", first.format("%B %Y"))),
        None => Some(format!("there is no month {written}: correct the day or its month")),
    }
}

/// A time of day with a colon, a point or nothing between hours and minutes, with seconds or without, of
/// twenty-four hours or of twelve with am or pm; as it is to be written.
fn clock(text: &str) -> Option<String> {
    let lower = text.to_lowercase();
    let (text, half) = match (lower.strip_suffix("am"), lower.strip_suffix("pm")) {
        (Some(before), _) => (before.trim_end(), Some(0)),
        (_, Some(before)) => (before.trim_end(), Some(12)),
        _ => (lower.as_str(), None),
    };
    let two = |part: &str| part.len() == 2 && part.bytes().all(|b| b.is_ascii_digit());
    let (hours, rest) = match text.split_once([':', '.', 'h']) {
        Some(parts) => parts,
        None if text.len() == 4 && text.is_ascii() && half.is_none() => text.split_at(2),
        None => return None,
    };
    let (minutes, seconds) = match rest.split_once(':') {
        Some((minutes, seconds)) => (minutes, Some(seconds)),
        None => (rest, None),
    };
    let short = hours.len() == 1 && hours.bytes().all(|b| b.is_ascii_digit());
    if !(short || two(hours)) || !two(minutes) || !seconds.is_none_or(two) {
        return None;
    }
    let hours: u32 = hours.parse().ok()?;
    let hours = match half {
        None => hours,
        Some(half) if (1..=12).contains(&hours) => hours % 12 + half,
        Some(_) => return None,
    };
    let second = seconds.map_or(Some(0), |seconds| seconds.parse().ok())?;
    let time = NaiveTime::from_hms_opt(hours, minutes.parse().ok()?, second)?;
    Some(time.format(if seconds.is_some() { "%H:%M:%S" } else { "%H:%M" }).to_string())
}

/// The known name that was meant, where one alone can have been: one that is the same but for capitals, signs
/// between its parts and letters that look like digits; or else one that a slip or two
/// of the hand in a longer word lie away, with the same digits. Digits are never guessed: K5 is no slip for K3.
pub(super) fn meant<'a>(written: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    /// Shorter words are not corrected: a slip might as well be another word.
    const LEAST_LETTERS: usize = 4;
    let alone = |mut found: Vec<&'a str>| {
        found.dedup();
        if let [one] = found[..] { Some(one) } else { None }
    };
    let known: Vec<&str> = known.collect();
    let sketch = sketch(written);
    let same: Vec<&str> =
        known.iter().copied().filter(|name| looks_like(&sketch, &self::sketch(name))).collect();
    // What ends in a sign from which another name goes on may be that one, cut short: `sa2.` is sa2 or sa2.5.
    let folded = written.to_lowercase();
    let ends_in_a_sign = written.ends_with(|last: char| !last.is_alphanumeric());
    let cut_short = |name: &&str| {
        ends_in_a_sign && !same.contains(name) && name.to_lowercase().starts_with(&folded)
    };
    if same.iter().any(|name| self::sketch(name) == sketch) {
        return if known.iter().any(cut_short) { None } else { alone(same) };
    }
    let letters = written.chars().filter(|c| c.is_alphabetic()).count();
    // Of three letters two may have changed places.
    let swapped = |name: &str| {
        let letters = |text: &str| {
            let mut letters: Vec<char> = text.chars().collect();
            letters.sort_unstable();
            letters
        };
        letters(name) == letters(written)
    };
    if letters < LEAST_LETTERS - 1 {
        return None;
    }
    let digits = |text: &str| -> String {
        letters_as_digits(text).chars().filter(char::is_ascii_digit).collect()
    };
    let slips = if letters < 2 * LEAST_LETTERS { 1 } else { 2 };
    let near: Vec<(usize, &str)> = known
        .into_iter()
        .filter(|name| digits(name) == digits(written))
        .map(|name| (strsim::damerau_levenshtein(written, name), name))
        .filter(|(distance, name)| {
            *distance <= slips && (letters >= LEAST_LETTERS || swapped(name))
        })
        .collect();
    let least = near.iter().map(|(distance, _)| *distance).min();
    alone(near.into_iter().filter(|near| Some(near.0) == least).map(|(_, name)| name).collect())
}

/// Whether a sketch is another's, or would be with digits for letters that look like them: `kl` is that of KL, and
/// may be that of K1.
fn looks_like(written: &str, name: &str) -> bool {
    let same = |(written, name): (char, char)| {
        written == name || matches!((written, name), ('o', '0') | ('i' | 'l', '1'))
    };
    written.chars().count() == name.chars().count() && written.chars().zip(name.chars()).all(same)
}

/// A name without what people write in different ways. A sign between digits stays: K1-2 is not K12.
fn sketch(name: &str) -> String {
    let chars: Vec<char> = letters_as_digits(name).chars().collect();
    let is_digit = |at: usize| chars.get(at).is_some_and(char::is_ascii_digit);
    let before = |at: usize| at.checked_sub(1).is_some_and(is_digit);
    let kept = |at: usize| chars[at].is_alphanumeric() || (before(at) && is_digit(at + 1));
    let plain = |c: char| if c.is_alphanumeric() { c } else { '-' };
    (0..chars.len()).filter(|at| kept(*at)).flat_map(|at| plain(chars[at]).to_lowercase()).collect()
}

/// What is wrong where a TOML file can't be read, and what to do: by what its parser says, and the text
/// before and after the place.
pub(super) fn toml(message: &str, before: &str, after: &str) -> (String, &'static str) {
    let says = |words: &str| message.contains(words);
    let begins = |signs: &[char]| after.starts_with(signs);
    let is_empty = after.trim_start_matches([' ', '\t', '\r']).is_empty()
        || after.trim_start_matches([' ', '\t', '\r']).starts_with(['\n', '#']);
    let line = before.rsplit('\n').next().unwrap_or_default();
    if says("duplicate key") {
        (
            "appears here a second time".to_string(),
            "remove one of the two; a table that may appear several times needs double brackets",
        )
    } else if begins(&['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}', '\u{ab}']) {
        (
            "this is not a plain quotation mark".to_string(),
            "put plain quotation marks at both ends of the text",
        )
    } else if says("expected `=`") && line.trim_end().ends_with(']') {
        ("a bracket closed in this line was never opened".to_string(), "open it")
    } else if says("expected `=`") {
        (
            "there is no = between a key and its value in this line".to_string(),
            "write the key without spaces, then =, then its value; begin a comment with #",
        )
    } else if says("must be quoted") && is_empty {
        (
            "there is no value behind the = in this line".to_string(),
            "write the value, or remove the line",
        )
    } else if says("multi-line") {
        (
            "three quotation marks opened in this line are never closed".to_string(),
            "close them where the text ends",
        )
    } else if says("must be quoted") || says("opening quote") || says("invalid boolean") {
        let text = after.lines().next().unwrap_or_default();
        let advice = if text.contains(['"', '\'']) {
            "put the whole text between three single quotation marks, as in '''12' 6\"'''"
        } else {
            "put the whole text in quotation marks"
        };
        ("text begins here without a quotation mark".to_string(), advice)
    } else if says("expected `\"`") || says("expected `'`") {
        (
            "a quotation mark opened in this line is never closed".to_string(),
            "close it where the text ends",
        )
    } else if says("unclosed") {
        ("a bracket opened in this line is never closed".to_string(), "close it")
    } else if says("missing comma") {
        ("a comma is missing before this".to_string(), "put a comma between any two values")
    } else if begins(&[',']) && before.ends_with(|c: char| c.is_ascii_digit()) {
        (
            "there is a comma in this number".to_string(),
            "write a decimal point if the comma is one; leave it out if it separates thousands",
        )
    } else if says("invalid date") || says("invalid time") || says("invalid datetime") {
        (
            "this begins like a date, and is none that can stand here without quotation marks"
                .to_string(),
            "write it as 2031-04-09, or put it in quotation marks",
        )
    } else if says("escape") || says("unicode") {
        (
            "a backslash in quotation marks stands for a special character".to_string(),
            "write / in its place, or write it twice",
        )
    } else if before.ends_with(['"', '\'']) && says("expected newline") {
        (
            "the text ends here at a quotation mark, and something follows".to_string(),
            "put text that has quotation marks in it in three of the other kind, as in '''the \"Wren\"'''; begin a \
             comment with #",
        )
    } else {
        (
            format!("can't be read from here on: {message}"),
            "correct this line: one key to a line, with text in quotation marks",
        )
    }
}

/// How a name that is not known lies to one that is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Near<'a> {
    /// The same but for capital letters, signs between, and letters that look like digits.
    Alike(&'a str),
    /// One letter or digit is another, is missing or is too many, or two have changed places; several
    /// known names may lie so.
    Close(Vec<&'a str>),
}

/// Shorter names differ by one letter as a rule.
const LEAST_LETTERS: usize = 4;

/// As many close names at the most are of use to anybody.
const MOST_CLOSE: usize = 3;

/// The known names that a name nearly matches; `None` where it is known itself, and where none is near.
pub fn near<'a>(written: &str, known: impl Iterator<Item = &'a str> + Clone) -> Option<Near<'a>> {
    if known.clone().any(|name| name == written) {
        return None;
    }
    let plain = plainly(written);
    if let Some(name) = known.clone().find(|name| plainly(name) == plain) {
        return Some(Near::Alike(name));
    }
    let upper = written.to_uppercase();
    let is_close = |name: &&str| strsim::damerau_levenshtein(&upper, &name.to_uppercase()) == 1;
    let mut close: Vec<&str> = known.filter(is_close).collect();
    close.sort_unstable();
    close.dedup();
    let some = written.chars().count() >= LEAST_LETTERS && (1..=MOST_CLOSE).contains(&close.len());
    some.then_some(Near::Close(close))
}

/// A name without signs, in capitals, with the digits that its letters look like.
fn plainly(name: &str) -> String {
    let letters = name.chars().filter(|letter| letter.is_alphanumeric());
    letters
        .flat_map(char::to_uppercase)
        .map(|letter| match letter {
            'O' => '0',
            'I' | 'L' => '1',
            'Z' => '2',
            'S' => '5',
            'B' => '8',
            letter => letter,
        })
        .collect()
}

#[cfg(test)]
mod tests;
