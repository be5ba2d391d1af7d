//! What a mistyped number or time was probably meant to be, so that a message leads straight to the mend.

use chrono::{NaiveDate, NaiveTime};

use crate::units::{UNITS, Unit};

/// What people write where there was no reading.
const NOTHING: &[&str] =
    &["-", "--", "\u{2013}", "\u{2014}", "?", "n/a", "na", "nil", "none", "tbc"];

/// What to do about a text that is no number in a column of that unit.
pub(super) fn number(text: &str, unit: Option<&Unit>) -> String {
    let otherwise = || {
        if unit.is_some() {
            "write the number alone; its unit stands at the end of the column's name".to_string()
        } else {
            "write the number alone".to_string()
        }
    };
    if NOTHING.contains(&text.to_lowercase().as_str()) {
        return "leave the cell empty if there was no reading".to_string();
    }
    let plain = plainly(text);
    if let Some(grouped) = without_groups(&plain) {
        let point = plain.replacen(',', ".", 1);
        return if plain.matches(',').count() == 1 && !plain.contains('.') {
            format!("write {grouped}, or {point} if the comma stands for a decimal point")
        } else {
            format!("write {grouped}")
        };
    }
    if is_number(&plain) {
        return format!("write {plain}");
    }
    let comma = plain.replacen(',', ".", 1);
    if is_number(&comma) {
        return format!("write {comma}");
    }
    let end = plain.rfind(|c: char| c.is_ascii_digit()).map_or(0, |at| at + 1);
    let (written, word) = (plain[..end].replacen(',', ".", 1), plain[end..].trim().to_lowercase());
    match unit {
        Some(unit) if is_number(&written) && word == unit.suffix => format!("write {written}"),
        Some(unit) if is_number(&written) && UNITS.iter().any(|known| known.suffix == word) => {
            format!("write it in {}, with the number alone", unit.suffix)
        }
        _ => otherwise(),
    }
}

/// With the minus sign of the keyboard, without spaces and apostrophes between digits, and with the
/// digits that a letter stands for.
fn plainly(text: &str) -> String {
    let digits = text.chars().any(|c| c.is_ascii_digit());
    let letters = text.chars().all(|c| !c.is_alphabetic() || "OoIl".contains(c));
    let sign = |c: char| match c {
        '\u{2212}' | '\u{2013}' => '-',
        'O' | 'o' if digits && letters => '0',
        'I' | 'l' if digits && letters => '1',
        c => c,
    };
    let chars: Vec<char> = text.chars().map(sign).collect();
    let is_digit =
        |at: Option<usize>| at.and_then(|at| chars.get(at)).is_some_and(char::is_ascii_digit);
    let between = |at: usize| is_digit(at.checked_sub(1)) && is_digit(Some(at + 1));
    let mark = |c: char| c.is_whitespace() || "'\u{2019}_".contains(c);
    chars
        .iter()
        .enumerate()
        .filter(|(at, c)| !(mark(**c) && between(*at)))
        .map(|(_, c)| *c)
        .collect()
}

/// `1,200` and `1,200,000.5` without their commas, if commas part groups of three.
fn without_groups(text: &str) -> Option<String> {
    let (whole, tail) = text.split_once('.').map_or((text, None), |(a, b)| (a, Some(b)));
    let mut groups = whole.trim_start_matches('-').split(',');
    let first = groups.next()?;
    let rest: Vec<&str> = groups.collect();
    let digits = |group: &str| group.bytes().all(|b| b.is_ascii_digit());
    let well = !rest.is_empty()
        && (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && digits(first)
        && rest.iter().all(|group| group.len() == 3 && digits(group));
    let number = whole.replace(',', "") + &tail.map_or(String::new(), |tail| format!(".{tail}"));
    (well && is_number(&number)).then_some(number)
}

fn is_number(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b))
        && text.parse::<f64>().is_ok_and(f64::is_finite)
}

/// What to do about a text that is no time.
pub(super) fn time(text: &str) -> String {
    let example = "write date and time as in the example";
    if is_number(text) && text.contains('.') && !text.starts_with('0') && text.len() >= 7 {
        return "this is a spreadsheet's count of days: give the column the format yyyy-mm-dd hh:mm \
                there and save again"
            .to_string();
    }
    let (date, clock) = match text.split_once([' ', 'T']) {
        Some((date, clock)) => (date, clock.trim()),
        None => (text, ""),
    };
    let Some(days) = dates(date) else {
        return if clock.is_empty() && self::clock(date).is_some() {
            "write the date before it, as in the example".to_string()
        } else {
            example.to_string()
        };
    };
    if clock.is_empty() {
        return "write the time of day after the date, as in the example".to_string();
    }
    if let (Some(minutes), [day]) = (clock.strip_prefix("24:00"), days.as_slice())
        && minutes.chars().all(|c| c == ':' || c == '0')
        && let Some(next) = day.succ_opt()
    {
        return format!("write {next}T00:00, the beginning of the next day");
    }
    match self::clock(clock) {
        None => example.to_string(),
        Some(clock) => format!("write {}", either(&days, &format!("T{}", clock.format("%H:%M")))),
    }
}

/// What to do about a text that is no date.
pub(super) fn date(text: &str) -> String {
    match dates(text) {
        Some(days) if !text.is_empty() => format!("write {}", either(&days, "")),
        _ => "write year, month and day".to_string(),
    }
}

fn either(days: &[NaiveDate], tail: &str) -> String {
    match days {
        [one, other, ..] => format!("{one}{tail}, or {other}{tail} if the month stands first"),
        [one] => format!("{one}{tail}"),
        [] => String::new(),
    }
}

/// The days that three numbers with points, strokes or hyphens between them may mean: year first, or day
/// first, or with strokes month first.
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
        let month_first = if text.contains('/') { day(c, a, b) } else { None };
        day(c, b, a).into_iter().chain(month_first).collect()
    };
    found.dedup();
    (!found.is_empty()).then_some(found)
}

/// A time of day with a colon, a point or nothing between hours and minutes.
fn clock(text: &str) -> Option<NaiveTime> {
    let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    let (hours, rest) = match text.split_once([':', '.', 'h']) {
        Some(parts) => parts,
        None if text.len() == 4 && digits(text) => text.split_at(2),
        None => return None,
    };
    let minutes = rest.split(':').next().filter(|minutes| minutes.len() == 2)?;
    (digits(hours) && digits(minutes)).then_some(())?;
    NaiveTime::from_hms_opt(hours.parse().ok()?, minutes.parse().ok()?, 0)
}

/// What is wrong where a TOML file can't be read, and what to do: by what its parser says, and the text
/// before and after the place.
pub(super) fn toml(message: &str, before: &str, after: &str) -> (String, &'static str) {
    let says = |words: &str| message.contains(words);
    let begins = |signs: &[char]| after.starts_with(signs);
    if says("duplicate key") {
        (
            "stands here a second time".to_string(),
            "take one of the two out; a table that stands several times has two pairs of brackets",
        )
    } else if begins(&['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}', '\u{ab}']) {
        (
            "a quotation mark here is not that of the keyboard".to_string(),
            "write plain quotation marks at both ends of the text",
        )
    } else if says("string values must be quoted") {
        (
            "a text begins here without its quotation mark".to_string(),
            "put the whole text into quotation marks",
        )
    } else if says("expected `\"`") {
        (
            "a quotation mark that opens in this line is never closed".to_string(),
            "close it where the text ends",
        )
    } else if says("unclosed") {
        ("a bracket that opens in this line is never closed".to_string(), "close it")
    } else if begins(&[',']) && before.ends_with(|c: char| c.is_ascii_digit()) {
        ("a number ends here at a comma".to_string(), "write a decimal point")
    } else {
        (
            format!("can't be read from here on: {message}"),
            "correct this line; text stands in quotation marks, one key to a line",
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Quantity;

    #[test]
    fn numbers_as_people_and_spreadsheets_write_them() {
        let mm = Quantity::Length.unit("mm");
        for (text, advice) in [
            ("24,30", "write 24.30"),
            ("1,200", "write 1200, or 1.200 if the comma stands for a decimal point"),
            ("1,200.5", "write 1200.5"),
            ("0,125", "write 0.125"),
            ("1 200", "write 1200"),
            ("1\u{a0}200", "write 1200"),
            ("1'200", "write 1200"),
            ("\u{2212}0.24", "write -0.24"),
            ("6OO", "write 600"),
            ("l2", "write 12"),
            ("600 mm", "write 600"),
            ("600mm", "write 600"),
            ("0.6 m", "write it in mm, with the number alone"),
            ("-", "leave the cell empty if there was no reading"),
            ("N/A", "leave the cell empty if there was no reading"),
            ("ca. 5", "write the number alone; its unit stands at the end of the column's name"),
            ("\u{e9}", "write the number alone; its unit stands at the end of the column's name"),
        ] {
            assert_eq!(number(text, mm), advice, "{text}");
        }
    }

    #[test]
    fn times_as_people_and_spreadsheets_write_them() {
        for (text, advice) in [
            ("07.04.2031 05:10", "write 2031-04-07T05:10"),
            ("7.4.2031 5.10", "write 2031-04-07T05:10"),
            (
                "07/04/2031 05:10",
                "write 2031-04-07T05:10, or 2031-07-04T05:10 if the month stands first",
            ),
            ("27/04/2031 0510", "write 2031-04-27T05:10"),
            ("2031-4-7 5:10", "write 2031-04-07T05:10"),
            ("2031-04-07", "write the time of day after the date, as in the example"),
            ("05:10", "write the date before it, as in the example"),
            ("2031-04-07T24:00", "write 2031-04-08T00:00, the beginning of the next day"),
            ("2031-04-31T16:50:00+01:00", "write date and time as in the example"),
            ("yesterday", "write date and time as in the example"),
        ] {
            assert_eq!(time(text), advice, "{text}");
        }
        assert!(time("47945.2152777778").contains("count of days"));
        assert_eq!(date("7.4.2031"), "write 2031-04-07");
        assert_eq!(date("spring"), "write year, month and day");
    }
}
