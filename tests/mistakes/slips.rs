//! A hint gives back what was meant, or nothing: known values are spoiled by the slips that people make, and
//! whatever value the message then names is the one that was spoiled.

use chrono::{FixedOffset, NaiveDate, NaiveDateTime, NaiveTime};
use lastdock::records::grammar::times::{Clock, Orders};
use lastdock::records::spec::{Column, Holds, Range};
use lastdock::records::value::{self, Reading, Value};
use lastdock::records::{FILES, KEYED_FILES};
use lastdock::units::Quantity;
use proptest::prelude::*;

/// A column as a cell of it is read.
#[derive(Clone, Copy)]
struct In {
    holds: Holds,
    unit: Option<&'static str>,
}

impl In {
    fn read(self, text: &str) -> Result<Value, value::InvalidValue> {
        let unit = self.unit.map(|suffix| {
            let units = lastdock::units::UNITS;
            units.iter().find(|unit| unit.suffix == suffix).expect("a unit")
        });
        let clock = Clock::of(FixedOffset::east_opt(3600));
        let orders = Orders::default();
        value::parse(text, self.holds, Reading { unit, clock: &clock, orders, comma: false })
    }

    /// The values that the message on a text names; `None` if the text is a value itself.
    fn named(self, text: &str) -> Option<Vec<Value>> {
        let not = self.read(text).err()?;
        let Some(advice) = not.advice.strip_prefix("write ") else { return Some(Vec::new()) };
        let words = advice.split(", or ").filter_map(|part| part.split([',', ' ']).next());
        Some(words.filter_map(|word| self.read(word).ok()).collect())
    }

    /// Holds that a spoiled text is not read, and that no value is named but the one that was meant, alone or beside
    /// one other reading; or that it is read as that.
    fn holds(self, meant: &str, spoiled: &str) -> Result<usize, TestCaseError> {
        let value = self.read(meant).expect("a value to spoil");
        let same = |named: &Value| match (named, &value) {
            (Value::Number(a), Value::Number(b)) => (a - b).abs() <= 1e-9 * b.abs().max(1e-9),
            (a, b) => a == b,
        };
        let Some(named) = self.named(spoiled) else {
            let read = self.read(spoiled).expect("a value");
            // -1000 written -1.000 is a number of another size, and nobody can tell.
            let is_plain = spoiled.parse::<f64>().is_ok();
            prop_assert!(
                is_plain || same(&read),
                "{meant} written {spoiled} is read as {:?}",
                read
            );
            return Ok(0);
        };
        prop_assert!(
            named.is_empty() || named.iter().any(same),
            "{meant} written {spoiled}: {:?} is named",
            named
        );
        Ok(named.len())
    }
}

fn measure(suffix: &'static str) -> In {
    In { holds: Holds::Measure(Quantity::Length, Range::Any), unit: Some(suffix) }
}

/// A text with a sign put in at each of its places.
fn with(text: &str, sign: &str) -> Vec<String> {
    let at = |at: usize| format!("{}{sign}{}", &text[..at], &text[at..]);
    (0..=text.len()).filter(|place| text.is_char_boundary(*place)).map(at).collect()
}

/// A text with each of its letters and signs left out, written twice, and changed for its neighbour.
fn mistyped(text: &str) -> Vec<String> {
    let chars: Vec<char> = text.chars().collect();
    let mut all = Vec::new();
    for at in 0..chars.len() {
        let (before, after): (String, String) =
            (chars[..at].iter().collect(), chars[at + 1..].iter().collect());
        let c = chars[at];
        all.push(format!("{before}{after}"));
        all.push(format!("{before}{c}{c}{after}"));
        all.push(format!("{before}x{after}"));
        if let Some(next) = chars.get(at + 1) {
            let after: String = chars[at + 2..].iter().collect();
            all.push(format!("{before}{next}{c}{after}"));
        }
    }
    all
}

/// What people make of a number. An apostrophe for the point of a number in feet is not among them: who
/// writes one there means feet and inches.
fn numbers_spoiled(text: &str, unit: &str) -> Vec<String> {
    let (whole, tail) = text.split_once('.').unwrap_or((text, ""));
    let (sign, digits) = whole.strip_prefix('-').map_or(("", whole), |digits| ("-", digits));
    let grouped = |by: &str| -> String {
        let first = (digits.len() + 2) % 3 + 1;
        let (head, mut rest) = digits.split_at(first.min(digits.len()));
        let mut out = format!("{sign}{head}");
        while !rest.is_empty() {
            out = format!("{out}{by}{}", &rest[..3]);
            rest = &rest[3..];
        }
        out
    };
    let point = if tail.is_empty() { "" } else { "." };
    let comma = if tail.is_empty() { "" } else { "," };
    let mut all = vec![
        text.replace('.', ","),
        text.replace('.', " "),
        text.replace('.', ".."),
        text.replace('.', ";"),
        text.replace('0', "O"),
        text.replace('0', "o"),
        text.replace('1', "l"),
        text.replace('1', "I"),
        text.replace('-', "\u{2212}"),
        text.replace('-', "\u{2013}"),
        text.replace('-', "--"),
        format!("{text}{unit}"),
        format!("{text} {unit}"),
        format!("{text} {}", unit.to_uppercase()),
        format!("{} {unit}", text.replace('.', ",")),
        format!("{text}l"),
        format!("{text} t"),
        format!("ca. {text}"),
        format!("~{text}"),
        format!("({text})"),
        format!("{text}?"),
        format!("{text} / {text}"),
    ];
    for by in [",", " ", "\u{a0}", "'", "\u{2019}", "_", "."] {
        // Nobody parts thousands and decimals by the same sign.
        let ways = [point, comma].into_iter().filter(|point| *point != by);
        all.extend(ways.map(|point| format!("{}{point}{tail}", grouped(by))));
    }
    for sign in [" ", "_", "\u{a0}", "?", "x"] {
        all.extend(with(text, sign));
    }
    if unit != "ft" && unit != "in" {
        all.extend(with(text, "'"));
        all.push(format!("{text}-{text}"));
    }
    all
}

proptest! {
    #[test]
    fn numbers(whole in -99_999_i32..99_999, decimals in 0_usize..4, part in 0_u32..1000) {
        let sign = if whole < 0 { "-" } else { "" };
        let tail = format!("{part:03}");
        let tail = if decimals == 0 { String::new() } else { format!(".{}", &tail[..decimals]) };
        let text = format!("{sign}{}{tail}", whole.abs());
        for unit in ["m", "mm", "ft", "in"] {
            for spoiled in numbers_spoiled(&text, unit) {
                measure(unit).holds(&text, &spoiled)?;
            }
        }
        let bare = In { holds: Holds::Number(Range::Any), unit: None };
        for spoiled in numbers_spoiled(&text, "l") {
            bare.holds(&text, &spoiled)?;
        }
    }

    #[test]
    fn feet_and_inches(feet in 0_u32..200, quarters in 0_u32..48, below in any::<bool>()) {
        let sign = if below { "-" } else { "" };
        let (inches, part) = (quarters / 4, quarters % 4);
        let fraction = ["", " 1/4", " 1/2", " 3/4"][part as usize];
        let decimal = ["", ".25", ".5", ".75"][part as usize];
        let spoiled = [
            format!("{sign}{feet}'{inches}{decimal}"),
            format!("{sign}{feet}'{inches}{decimal}\""),
            format!("{sign}{feet}\u{2019}{inches}{decimal}"),
            format!("{sign}{feet}\u{2032} {inches}{decimal}\u{2033}"),
            format!("{sign}{feet}' {inches}{fraction}\""),
            format!("{sign}{feet}'-{inches}{decimal}\""),
            format!("{sign}{feet} ft {inches}{fraction} in"),
            format!("{sign}{feet}-{inches:02}{decimal}"),
            format!("{sign}{feet} {inches:02}{decimal}"),
            format!("{sign}{feet}  {inches}{decimal}"),
        ];
        let in_feet = f64::from(feet) + f64::from(quarters) / 48.0;
        let in_feet = if below { -in_feet } else { in_feet };
        for spoiled in &spoiled {
            measure("ft").holds(&format!("{in_feet}"), spoiled)?;
            measure("in").holds(&format!("{}", in_feet * 12.0), spoiled)?;
            measure("m").holds(&format!("{}", in_feet * 0.3048), spoiled)?;
            if !below && feet > 0 {
                let draft = In { holds: Holds::Draft, unit: Some("ft") };
                draft.holds(&format!("{feet}-{inches:02}{decimal}"), spoiled)?;
            }
        }
    }

    #[test]
    fn times_and_dates(day in 0_i64..36_500, second in 0_u32..86_400, seconds in any::<bool>()) {
        let start = NaiveDate::from_ymd_opt(1950, 1, 1).expect("a day");
        let date = start + chrono::TimeDelta::days(day);
        let second = if seconds { second } else { second - second % 60 };
        let time = NaiveTime::from_num_seconds_from_midnight_opt(second, 0).expect("a time");
        let at = NaiveDateTime::new(date, time);
        let meant = at.format("%Y-%m-%dT%H:%M:%S").to_string();
        let dates = [
            "%d.%m.%Y", "%-d.%-m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%-m/%-d/%Y", "%d-%m-%Y", "%m-%d-%Y",
            "%m.%d.%Y", "%Y/%m/%d", "%Y.%m.%d", "%Y-%-m-%-d", "%d.%m.%y", "%m/%d/%y", "%d %b %Y", "%b %d, %Y",
        ];
        let clocks = if seconds {
            vec!["%H:%M:%S", "%-H:%M:%S", "%I:%M:%S %p", "%H.%M.%S", "%H%M%S"]
        } else {
            vec![
                "%H:%M", "%-H:%M", "%H.%M", "%H%M", "%Hh%M", "%I:%M %p", "%-I:%M %p", "%-I:%M%P", "%H:%M h",
                "%H:%M:", "%H:%M:0", "",
            ]
        };
        let moment = In { holds: Holds::Time, unit: None };
        let day = In { holds: Holds::Date, unit: None };
        for form in dates {
            let written = date.format(form).to_string();
            day.holds(&date.to_string(), &written)?;
            for clock in &clocks {
                for between in [" ", "T", "  ", ", "] {
                    let spoiled = format!("{written}{between}{}", time.format(clock));
                    moment.holds(&meant, spoiled.trim())?;
                }
            }
        }
        for clock in &clocks {
            let written = time.format(clock).to_string();
            if !written.is_empty() {
                moment.holds(&meant, &written)?;
            }
        }
    }
}

fn columns() -> impl Iterator<Item = &'static Column> {
    let tables = KEYED_FILES.iter().flat_map(|file| file.tables).flat_map(|table| table.keys);
    FILES.iter().flat_map(|file| file.columns).chain(tables)
}

#[test]
fn words() {
    let (mut spoiled, mut named) = (0, 0);
    for column in columns() {
        let Holds::Word(words) = column.holds else { continue };
        let within = In { holds: column.holds, unit: None };
        for word in words {
            let mut all = mistyped(word);
            all.extend(word.split('-').map(String::from));
            all.extend([format!("{word}s"), word.replace('-', ""), word.replace('-', "/")]);
            all.extend((1..word.len()).map(|end| word[..end].to_string()));
            // A word that is cut short may be another.
            let is_word =
                |text: &str| words.iter().any(|word| within.read(text) == within.read(word));
            let spoilt = |text: &&String| !text.trim().is_empty() && !is_word(text);
            for text in all.iter().filter(spoilt) {
                named += within
                    .holds(word, text)
                    .unwrap_or_else(|error| panic!("{}: {error}", column.name));
                spoiled += 1;
            }
        }
    }
    assert!(spoiled > 1000 && named > spoiled / 4, "{named} of {spoiled}");
}

/// Names as people give them to blocks, openings, zones, products and batches.
const NAMES: &[&str] = &[
    "K1",
    "K2",
    "K9",
    "K10",
    "K11",
    "K12",
    "K21",
    "K101",
    "KL",
    "KR",
    "B1P",
    "B1S",
    "B2P",
    "P1",
    "P2",
    "P10",
    "ES1",
    "SC1",
    "SC2",
    "DP1",
    "bottom",
    "boottop",
    "sides-port",
    "sides-starboard",
    "EP1-0332",
    "EP1-0333",
    "EP2-0332",
    "AF1-3401",
    "primer-red",
    "primer-grey",
];

#[test]
fn names() {
    let known = |name: &str| NAMES.contains(&name);
    let (mut spoiled, mut named) = (0, 0);
    for name in NAMES {
        let mut all = mistyped(name);
        all.extend([
            name.to_lowercase(),
            name.to_uppercase(),
            name.replace('-', ""),
            name.replace('-', " "),
            name.replace('-', "_"),
            name.replace('0', "O"),
            name.replace('0', "o"),
            name.replace('1', "l"),
            name.replace('1', "I"),
        ]);
        all.extend(["-", " ", "_", "0"].iter().flat_map(|sign| with(name, sign)));
        all.extend(('0'..='9').flat_map(|digit| with(name, &digit.to_string())));
        for text in all.iter().filter(|text| !known(text)) {
            spoiled += 1;
            let Some(found) = value::nearest(text, NAMES.iter().copied()) else { continue };
            named += 1;
            assert_eq!(found, *name, "{name} written {text}");
        }
    }
    assert!(named > spoiled / 10, "{named} of {spoiled}");
}
