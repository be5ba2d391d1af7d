//! Writes the sample's records anew, as somebody in the United States types them: feet and inches, mils, pounds and
//! long tons, degrees Fahrenheit; fractions, thousands, units behind numbers, dashes in empty cells; the month before the
//! day; words and names with other capitals and zeros.
//!
//! The factors are those of NIST Special Publication 811 (2008), appendix B.8, and stand here once more: were they the
//! program's own, a wrong one would go both ways and not be noticed.

use std::fs;
use std::path::Path;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime};

use crate::common::sample;

/// The rows of a table, its headings first.
pub type Table = Vec<Vec<String>>;

/// Unit suffix of the sample, that of the habits, and what a number is multiplied by.
const UNITS: &[(&str, &str, f64)] = &[
    ("tm_per_cm", "mti", 2.54 / 1.016_046_908_8 / 0.3048),
    ("t_per_cm", "tpi", 2.54 / 1.016_046_908_8),
    ("kg_m3", "sg", 0.001),
    ("t_m3", "lb_ft3", 1000.0 * 0.028_316_846_592 / 0.453_592_37),
    ("mg_m2", "ug_cm2", 0.1),
    ("m_per_h", "ft_per_h", 1.0 / 0.3048),
    // Stays as it is, and is no length.
    ("t_per_m", "t_per_m", 1.0),
    ("mm", "in", 1.0 / 25.4),
    ("um", "mils", 1.0 / 25.4),
    ("m2", "sq_ft", 1.0 / 0.092_903_04),
    ("m4", "ft4", 1.0 / 0.008_630_974_841_241_6),
    ("kpa", "psi", 1.0 / 6.894_757_293_168),
    ("gpa", "ksi", 1e6 / 6_894.757_293_168),
    ("kg", "lbs", 1.0 / 0.453_592_37),
    ("t", "lt", 1.0 / 1.016_046_908_8),
    ("l", "gal", 1.0 / 3.785_411_784),
    ("m", "ft", 1.0 / 0.3048),
    ("k", "f", 1.8),
    ("c", "f", 1.8),
];

/// The unit with which a heading of the sample ends, if it is one that is written otherwise.
fn unit(heading: &str) -> Option<&'static (&'static str, &'static str, f64)> {
    let ends = |suffix: &str| heading.strip_suffix(suffix).is_some_and(|rest| rest.ends_with('_'));
    UNITS.iter().find(|(suffix, ..)| ends(suffix))
}

/// A heading with its unit, and with a capital letter where it has none.
pub fn heading(heading: &str) -> String {
    match unit(heading) {
        Some((_, us @ ("mti" | "tpi" | "sg"), _)) => us.to_uppercase(),
        Some((suffix, us, _)) => format!("{}{us}", heading.strip_suffix(suffix).expect("its unit")),
        None if heading.starts_with("note") => heading.to_string(),
        None => format!("{}{}", heading[..1].to_uppercase(), &heading[1..]),
    }
}

/// How a person writes times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// 4/10/2031 7:05 AM
    American,
    /// 10 Apr 2031 0705
    Navy,
    /// 2031-4-10 7:05
    YearFirst,
}

/// A time or a day of the sample.
fn time(text: &str, clock: Clock, nth: usize) -> String {
    if let Ok(day) = text.parse::<NaiveDate>() {
        return day
            .format(if nth.is_multiple_of(2) { "%b %-d, %Y" } else { "%-d %B %Y" })
            .to_string();
    }
    let stated = text.parse::<DateTime<FixedOffset>>().ok().map(|at| at.naive_local());
    let local = stated.or_else(|| text.parse::<NaiveDateTime>().ok());
    let local = local.unwrap_or_else(|| panic!("{text} is no time of the sample"));
    let form = match clock {
        Clock::American => "%-m/%-d/%Y %-I:%M %p",
        Clock::Navy => "%-d %b %Y %H%M",
        Clock::YearFirst => "%Y-%-m-%-d %-H:%M",
    };
    let offset = if stated.is_some() && nth.is_multiple_of(7) { " +01:00" } else { "" };
    format!("{}{offset}", local.format(form))
}

/// A number in twelve significant digits, which the cell of a spreadsheet has: with fewer a reading at a bound, 250 µm
/// where 250 are wanted, would no longer be at it.
pub fn digits(number: f64) -> String {
    let exponent = format!("{number:e}").split_once('e').and_then(|(_, e)| e.parse::<i32>().ok());
    let places = (11 - exponent.expect("an exponent")).clamp(0, 15);
    let text = format!("{number:.*}", usize::try_from(places).expect("places"));
    let short =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if short == "-0" { "0".to_string() } else { short.to_string() }
}

/// A number with commas between its thousands.
fn parted(number: &str) -> String {
    let (whole, rest) = number.split_once('.').unwrap_or((number, ""));
    let (minus, whole) = match whole.strip_prefix('-') {
        Some(whole) => ("-", whole),
        None => ("", whole),
    };
    let groups: Vec<&str> = whole
        .as_bytes()
        .rchunks(3)
        .rev()
        .map(|group| std::str::from_utf8(group).expect("digits"))
        .collect();
    let point = if rest.is_empty() { "" } else { "." };
    format!("{minus}{}{point}{rest}", groups.join(","))
}

/// A decimal number as a fraction, where one of those that people write gives it exactly: 59.9 is 59 9/10.
pub fn fraction(number: &str) -> Option<String> {
    let (whole, decimals) = number.split_once('.')?;
    let (minus, whole) = match whole.strip_prefix('-') {
        Some(whole) => ("-", whole),
        None => ("", whole),
    };
    let over: u32 = decimals.parse().ok().filter(|over| *over > 0 && decimals.len() <= 2)?;
    let under = 10_u32.pow(u32::try_from(decimals.len()).ok()?);
    let common = |divisor: u32| over.is_multiple_of(divisor) && under.is_multiple_of(divisor);
    let divisor =
        [50, 25, 5, 2].into_iter().find(|d| common(*d) && matches!(under / d, 2 | 4 | 5 | 10))?;
    let whole = if whole == "0" { String::new() } else { format!("{whole} ") };
    Some(format!("{minus}{whole}{}/{}", over / divisor, under / divisor))
        .filter(|_| under / divisor <= 10)
}

/// A length in feet and inches, given in inches, in one of the ways in which people write them.
fn feet_and_inches(inches: f64, nth: usize, sixty_fourths: bool) -> String {
    let minus = if inches < 0.0 { "-" } else { "" };
    let grain = if sixty_fourths { 64.0 } else { 1e6 };
    let total = (inches.abs() * grain).round() / grain;
    let feet = (total / 12.0).floor();
    let rest = total - feet * 12.0;
    if rest == 0.0 {
        return [format!("{minus}{feet}'"), format!("{minus}{feet} ft"), format!("{minus}{feet}")]
            [nth % 3]
            .clone();
    }
    let rest = if sixty_fourths {
        let (mut over, mut under) = (((rest - rest.floor()) * 64.0) as u32, 64);
        while over > 0 && over.is_multiple_of(2) {
            (over, under) = (over / 2, under / 2);
        }
        let whole = rest.floor();
        match (over, whole > 0.0) {
            (0, _) => format!("{whole}"),
            (_, true) => format!("{whole} {over}/{under}"),
            (_, false) => format!("{over}/{under}"),
        }
    } else {
        digits((rest * 1e6).round() / 1e6)
    };
    let two =
        if rest.split(['.', ' ']).next().is_some_and(|whole| whole.len() == 1) { "0" } else { "" };
    let ways = [
        format!("{minus}{feet}'{rest}\""),
        format!("{minus}{feet}' {rest}\""),
        format!("{minus}{feet} ft {rest} in"),
        format!("{minus}{feet}\u{2019}{rest}\u{201d}"),
        format!("{minus}{feet}\u{2032} {rest}\u{2033}"),
        format!("{minus}{feet}-{two}{rest}"),
    ];
    // A fraction of an inch alone behind a hyphen has no two digits.
    let count = if rest.contains('/') && !rest.contains(' ') { 5 } else { 6 };
    ways[nth % count].clone()
}

/// A number of the sample in the unit of the habits.
fn measure(number: &str, heading: &str, nth: usize, sixty_fourths: bool) -> String {
    let Some((suffix, us, factor)) = unit(heading) else {
        return unconverted(number, heading, nth);
    };
    let si: f64 = number.parse().unwrap_or_else(|_| panic!("{number} of {heading} is no number"));
    let converted = si * factor + if *suffix == "c" { 32.0 } else { 0.0 };
    if *us == "ft" {
        return feet_and_inches(si / 0.0254, nth, sixty_fourths);
    }
    let text = digits(converted);
    let behind = match (*us, nth % 4) {
        ("mils", 0) => " mils",
        ("mils", 1) => " mil",
        ("in", 0) => "\"",
        ("in", 1) => " in",
        ("in", 2) => " inches",
        ("f", 0) => "\u{b0}F",
        ("f", 1) => "\u{b0}",
        ("psi", 0) => " psi",
        ("gal", 0) => " gal",
        ("lt", 0) => " LT",
        ("lt", 1) => " long tons",
        ("lbs", 0) => " lbs",
        ("sq_ft", 0) => " sq ft",
        _ => "",
    };
    format!("{}{behind}", if text.contains('.') { parted(&text) } else { text })
}

/// A number whose unit stays as it is: as a fraction where it is one, or with its sign behind.
fn unconverted(number: &str, heading: &str, nth: usize) -> String {
    match (heading.rsplit('_').next(), nth % 3) {
        (Some("pct"), 0) => format!("{number}%"),
        (Some("pct"), 1) => format!("{number} percent"),
        (Some("deg"), 0) => format!("{number}\u{b0}"),
        (Some("in"), 0) => format!("{}\"", fraction(number).unwrap_or(number.to_string())),
        _ => fraction(number).unwrap_or(number.to_string()),
    }
}

/// A name with other capitals and zeros before its number.
pub fn name(id: &str, nth: usize) -> String {
    let at = id.find(|c: char| c.is_ascii_digit());
    let padded = |id: &str| match at {
        Some(at) => format!("{}0{}", &id[..at], &id[at..]),
        None => id.to_string(),
    };
    match nth % 4 {
        0 => id.to_string(),
        1 => id.to_lowercase(),
        2 => padded(id),
        _ => padded(&id.to_lowercase()),
    }
}

/// A word as people say it.
fn word(word: &str, nth: usize) -> String {
    let sides = |part: &str| match (part, nth % 3) {
        ("port", 0) => "P".to_string(),
        ("starboard", 0) => "S".to_string(),
        ("starboard", 1) => "STBD".to_string(),
        _ => format!("{}{}", part[..1].to_uppercase(), &part[1..]),
    };
    let between = if nth.is_multiple_of(2) { " " } else { "-" };
    word.split('-').map(sides).collect::<Vec<_>>().join(between)
}

/// What a column holds, as far as it is written otherwise; by its heading, which means the same in all files.
enum Holds {
    Time,
    Name,
    Names,
    Word,
    Words,
    Flag,
    Number,
    /// The name that a row is about, or a text: left as it is.
    AsItIs,
}

fn holds(file: &str, heading: &str) -> Holds {
    let defined = match file {
        "plan/blocks.csv" => "block",
        "plan/openings.csv" => "opening",
        "positions/positions.csv" => "position",
        "coating/zones.csv" => "zone",
        "coating/areas.csv" => "area",
        _ => "",
    };
    match heading {
        _ if heading == defined => Holds::AsItIs,
        "at" | "opened_at" | "closed_at" | "began" | "ended" | "taken_at" | "flooding_began"
        | "touched" | "landed" | "dry" | "reflood_began" | "afloat" => Holds::Time,
        "block" | "position" | "zone" | "product" | "opening" | "area" | "moved_from" => {
            Holds::Name
        }
        "positions" | "about" => Holds::Names,
        "row" | "kind" | "side" | "occasion" | "event" | "check" | "treatment" | "part"
        | "grade" => Holds::Word,
        "extent" => Holds::Word,
        "seen_from" => Holds::Words,
        "as_planned" | "renewed" | "in_report" | "for_next_time" => Holds::Flag,
        "frame" => Holds::Number,
        _ if unit(heading).is_some() => Holds::Number,
        _ if heading.ends_with("_pct") || heading.ends_with("_deg") || heading.ends_with("_in") => {
            Holds::Number
        }
        _ => Holds::AsItIs,
    }
}

/// A cell of the sample written anew; `row` and `column` from 0, by which the habits take turns.
fn cell(
    file: &str,
    heading: &str,
    text: &str,
    (row, column): (usize, usize),
    clock: Clock,
) -> String {
    let nth = row + column;
    let kind = holds(file, heading);
    if text.is_empty() {
        let says_so = !matches!(kind, Holds::AsItIs);
        return match nth % 4 {
            0 if says_so => "-".to_string(),
            1 if says_so => "n/a".to_string(),
            _ => String::new(),
        };
    }
    let each = |write: &dyn Fn(&str) -> String| {
        let parts: Vec<String> = text.split(';').map(write).collect();
        parts.join("; ")
    };
    match kind {
        Holds::AsItIs => text.to_string(),
        Holds::Time => time(text, clock, nth),
        Holds::Name => name(text, nth),
        Holds::Names if text == "none" => "None".to_string(),
        Holds::Names => each(&|part| name(part, nth)),
        Holds::Word if text.starts_with("RING") => name(text, nth),
        Holds::Word => word(text, nth),
        Holds::Words => each(&|part| word(part, nth)),
        Holds::Flag => match (text, nth.is_multiple_of(2)) {
            ("yes", true) => "Y".to_string(),
            ("yes", false) => "YES".to_string(),
            ("no", true) => "N".to_string(),
            _ => "No".to_string(),
        },
        Holds::Number => {
            // Where a reading was taken is known to a sixty-fourth of an inch at best.
            let is_place = ["x_m", "y_m"].contains(&heading);
            let sixty_fourths = is_place && IN_SIXTY_FOURTHS.contains(&file);
            measure(text, heading, nth, sixty_fourths)
        }
    }
}

/// Files whose places on the hull are written in sixty-fourths of an inch, which is 0.4 mm.
const IN_SIXTY_FOURTHS: &[&str] = &[
    "plan/openings.csv",
    "coating/film.csv",
    "coating/preparation.csv",
    "hull/plating.csv",
    "hull/anodes.csv",
];

/// The files of the sample with tables, by their paths.
pub fn files() -> Vec<String> {
    let folder = lastdock::records::store::Folder::open(&sample(), &mut Default::default());
    let paths = lastdock::records::store::Store::sizes(&folder).keys();
    paths.filter(|path| path.ends_with(".csv")).cloned().collect()
}

/// A table of the sample as it is.
pub fn as_it_is(file: &str) -> Table {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_path(sample().join(file))
        .unwrap_or_else(|error| panic!("{file}: {error}"));
    let rows = reader.records().map(|row| row.expect("a row"));
    rows.map(|row| row.iter().map(String::from).collect()).collect()
}

/// A table of the sample written anew.
pub fn table(file: &str, clock: Clock) -> Table {
    let mut rows = as_it_is(file).into_iter();
    let headings = rows.next().expect("headings");
    let mut all = vec![headings.iter().map(|text| heading(text)).collect()];
    all.extend(rows.enumerate().map(|(row, cells)| {
        let cells = cells.iter().zip(&headings).enumerate();
        cells
            .map(|(column, (text, heading))| cell(file, heading, text, (row, column), clock))
            .collect::<Vec<_>>()
    }));
    all
}

/// The rows of a table of the sample that one person typed, written anew in that person's hand: those that have one of
/// these in a column.
pub fn part(file: &str, column: &str, has: &[&str], clock: Clock) -> Table {
    let before = as_it_is(file);
    let at = before[0].iter().position(|heading| heading == column).expect("the column");
    let rows = before.iter().zip(table(file, clock)).enumerate();
    rows.filter(|(n, (before, _))| *n == 0 || has.contains(&before[at].as_str()))
        .map(|(_, (_, now))| now)
        .collect()
}

/// A table as the bytes of a CSV file.
pub fn csv(table: &Table) -> Vec<u8> {
    let mut writer =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    for row in table {
        writer.write_record(row).expect("to write in memory");
    }
    writer.into_inner().expect("to write in memory")
}

/// A TOML file of the sample written anew, line by line: lengths, temperatures and days; a bound with the unit that
/// stands under it.
pub fn toml(file: &str) -> String {
    let text =
        fs::read_to_string(sample().join(file)).unwrap_or_else(|error| panic!("{file}: {error}"));
    let lines: Vec<&str> = text.lines().collect();
    let mut said = String::new();
    for (nth, line) in lines.iter().enumerate() {
        let next = lines.get(nth + 1).copied().unwrap_or_default();
        said.push_str(&toml_line(line, next, nth));
        said.push('\n');
    }
    said
}

fn toml_line(line: &str, next: &str, nth: usize) -> String {
    let Some((key, value)) = line.split_once(" = ") else { return line.to_string() };
    let quoted = |text: String| format!("\"{}\"", text.replace('"', "\\\""));
    let is_number = value.parse::<f64>().is_ok();
    let unit_of = |line: &str| Some(line.strip_prefix("unit = \"")?.strip_suffix('"')?.to_string());
    if key == "value" && is_number {
        let stated = unit_of(next).expect("a unit under a value");
        // Of a bound the sign for feet has no place: its unit stands under it.
        return match unit(&format!("_{stated}")) {
            Some((.., factor)) => {
                format!("value = {}", digits(value.parse::<f64>().expect("a number") * factor))
            }
            None => line.to_string(),
        };
    }
    if let Some(stated) = unit_of(line) {
        let us = unit(&format!("_{stated}")).map_or(stated.as_str(), |(_, us, _)| us);
        return format!("unit = \"{us}\"");
    }
    match key {
        "began" | "ended" | "made" | "prepared_on" => {
            let day = value.parse::<NaiveDate>().expect("a day");
            format!("{key} = {}", quoted(day.format("%-m/%-d/%Y").to_string()))
        }
        // Of a day in May nobody can say which is the month, since neither reading lies in the docking.
        "on" => format!("{key} = {}", quoted(time(value, Clock::American, nth))),
        "by" | "zone" | "product" if value.contains(|c: char| c.is_ascii_digit()) => {
            let id = value.trim_matches('"');
            let is_defined = key == "product" && next.starts_with("generic_type");
            format!("{key} = {}", quoted(if is_defined { id.to_string() } else { name(id, nth) }))
        }
        _ if is_number && unit(key).is_some() => {
            format!("{} = {}", heading(key), quoted(measure(value, key, nth, false)))
        }
        _ => line.to_string(),
    }
}

/// Writes the sample anew into a folder: what is no record stays as it is.
pub fn write(into: &Path, clock_of: impl Fn(&str) -> Clock) {
    for file in files() {
        fs::write(into.join(&file), csv(&table(&file, clock_of(&file)))).expect("a table");
    }
    for file in ["docking.toml", "remarks.toml", "coating/products.toml"] {
        fs::write(into.join(file), toml(file)).expect("a file");
    }
}
