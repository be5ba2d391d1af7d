//! What a cell holds that its column does not take, and what leads to the right value: a date where a number or a name
//! stands, a number where a time stands, a share in a column that is not in per cent, an error, an apostrophe. Nothing
//! of it is read as what it may have been.

use chrono::Datelike;

use super::values::{Cell, Dated, Number, moment_of};
use crate::records::entry::refers;
use crate::records::grammar::numbers::IN_FRACTIONS;
use crate::records::grammar::{InvalidValue, invalid};
use crate::records::spec::{Column, Holds};
use crate::units::Unit;

/// Why a cell is refused.
#[derive(Debug)]
pub(super) struct Refused {
    /// What stands there, as far as it can be shown.
    pub value: Option<String>,
    pub why: InvalidValue,
}

/// A column of a sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head {
    pub column: &'static Column,
    /// The unit that ends its heading.
    pub unit: Option<&'static Unit>,
}

impl Head {
    fn takes_times(self) -> bool {
        matches!(self.column.holds, Holds::Time | Holds::Date)
    }

    fn takes_numbers(self) -> bool {
        use Holds::{Bound, Draft, Measure, Number, Whole};
        matches!(self.column.holds, Measure(..) | Bound(_) | Draft | Number(_) | Whole { .. })
    }

    fn takes_names(self) -> bool {
        let holds = self.column.holds;
        matches!(holds, Holds::Id(_) | Holds::Part(_) | Holds::Name) || refers(holds)
    }

    fn takes_texts(self) -> bool {
        matches!(self.column.holds, Holds::Text | Holds::Called | Holds::Texts)
    }

    fn is_in(self, suffix: &str) -> bool {
        self.unit.is_some_and(|unit| unit.suffix == suffix)
    }

    /// Why a cell is refused in this column; `None` where it is read.
    pub fn refuses(self, cell: &Cell) -> Option<Refused> {
        let refused = |value: &str, why| Some(Refused { value: Some(value.to_string()), why });
        match cell {
            Cell::NotCalculated => Some(Refused { value: None, why: not_calculated() }),
            Cell::Error(code) => refused(code, self.error(code)),
            Cell::NoDate(number) => refused(number, self.no_date(number)),
            Cell::Dated(date) if !self.takes_times() => {
                refused(&date.text(date.has_time), self.dated(*date))
            }
            Cell::Hours(text) if self.takes_numbers() => refused(text, hours()),
            Cell::Number(number)
                if number.is_share && self.takes_numbers() && !self.is_in("pct") =>
            {
                refused(&number.text(), self.share(number))
            }
            Cell::Number(number) if self.takes_times() => {
                refused(&number.held, self.counted(number)?)
            }
            Cell::Text(text) if !self.takes_texts() => refused(text, apostrophe(text)?),
            _ => None,
        }
    }

    fn error(self, code: &str) -> InvalidValue {
        let why = match code {
            "#DIV/0!" => "its formula divides by zero",
            "#N/A" => "its formula found no value",
            "#NAME?" => "its formula has a name in it that the spreadsheet does not know",
            "#NULL!" => "its formula names two ranges that do not meet",
            "#NUM!" => "its formula has no number as its result",
            "#REF!" => "its formula names a cell that is gone",
            "#VALUE!" => "its formula has a text where it needs a number",
            _ => "its formula has no result",
        };
        invalid(
            format!("is an error, not a value: {why}"),
            self.column.meaning,
            "correct the formula, or write the value; if nothing was read, leave the cell empty",
        )
    }

    fn no_date(self, number: &str) -> InvalidValue {
        let advice = match self.takes_times() {
            true => {
                "write the date that was meant, as text if it is earlier; if a number was meant, format \
                 the cell as a number"
                    .to_string()
            }
            false => format!("if the number {number} is right, format the cell as a number"),
        };
        invalid(
            "is a number formatted as a date, but not a calendar date",
            match self.takes_times() {
                true => "a date from 1900-03-01 to 9999-12-31",
                false => self.column.meaning,
            },
            advice,
        )
    }

    /// Of what was typed in a spreadsheet may have made this date, and that is gone: what it may have been is said, and
    /// never taken.
    fn dated(self, date: Dated) -> InvalidValue {
        if !self.takes_numbers() {
            let what = if self.takes_names() { "the name" } else { "it" };
            let typed =
                typed_as(date).map(|[one, other]| format!(": {one} or {other}, if that was typed"));
            let advice = match typed {
                Some(typed) => format!("format the column as text, then write {what} again{typed}"),
                None => format!("format the column as text, then write {what} again"),
            };
            return invalid("is stored as a date", self.column.meaning, advice);
        }
        let mut ways = Vec::new();
        if self.column.holds == Holds::Draft || self.is_in("ft") {
            let inches = |typed: &str| typed.rsplit('-').next()?.parse::<u32>().ok();
            let is_feet = |typed: &String| inches(typed).is_some_and(|inches| inches < 12);
            let feet: Vec<String> = typed_as(date).into_iter().flatten().filter(is_feet).collect();
            if !feet.is_empty() {
                let feet = feet.join(" or ");
                ways.push(format!(
                    "if {feet} was typed, format the column as text and write it again"
                ));
            }
        }
        if let Some((fraction, decimal)) = fraction(date) {
            let decimal = decimal.map(|decimal| format!(" or {decimal}")).unwrap_or_default();
            ways.push(format!(
                "if {fraction} was typed, of which a spreadsheet makes a date, write 0 {fraction}{decimal}"
            ));
        }
        ways.push(format!(
            "if the number {} was meant, format the cell as a number",
            date.number()
        ));
        invalid("is stored as a date, in a column of numbers", self.column.meaning, ways.join("; "))
    }

    fn share(self, number: &Number) -> InvalidValue {
        invalid(
            "is shown in per cent, in a column that is not",
            self.column.meaning,
            format!(
                "format the cell as a number: it then shows {}, which is what the file holds; if that \
                 is not what was read, write the reading again",
                number.held
            ),
        )
    }

    /// A number in a column of times that is, as spreadsheets count days, one of our time.
    fn counted(self, number: &Number) -> Option<InvalidValue> {
        let at = number.held.parse().ok().and_then(moment_of);
        let at = at.filter(|at| (1970..2200).contains(&at.year()))?;
        let (is, form) = match self.column.holds {
            Holds::Date => (at.format("%Y-%m-%d").to_string(), "a date"),
            _ => (at.format("%Y-%m-%d %H:%M").to_string(), "date and time"),
        };
        Some(invalid(
            "is a plain number, in a column of times",
            self.column.meaning,
            format!(
                "format the cell as {form}; a spreadsheet then most likely shows {is}: see whether that is \
                 what was meant, else write it again"
            ),
        ))
    }
}

fn not_calculated() -> InvalidValue {
    invalid(
        "is a formula whose result is not in the file",
        "a value",
        "open the workbook in a spreadsheet and save it, or write the value",
    )
}

fn hours() -> InvalidValue {
    invalid(
        "is stored as a time of day or a length of time, in a column of numbers",
        "a number",
        "format the cell as a number, then write the number again",
    )
}

/// A text before which somebody wrote an apostrophe, to have it taken as text; here the apostrophe is part of it.
fn apostrophe(text: &str) -> Option<InvalidValue> {
    let rest = text.trim().strip_prefix(['\'', '\u{2018}', '\u{2019}'])?.trim();
    let is_value = rest.starts_with(char::is_alphanumeric) || rest.starts_with(['-', '+', '.']);
    is_value.then(|| {
        invalid(
            "begins with an apostrophe, which here is part of what is written",
            "the value alone",
            format!("delete the apostrophe: write {rest}"),
        )
    })
}

/// The two names, or drafts in feet and inches, of which a spreadsheet makes this date: `4-12` and `12-4`.
fn typed_as(date: Dated) -> Option<[String; 2]> {
    let (month, day) = (date.at.month(), date.at.day());
    (!date.has_time && month != day).then(|| [format!("{day}-{month}"), format!("{month}-{day}")])
}

/// The fraction of which a spreadsheet makes this date, and the same as a decimal number where that is exact: 3/8 is
/// 8 March or 3 August, and 1/32 the first day of January 1932. The larger number is under the smaller either way.
fn fraction(date: Dated) -> Option<(String, Option<String>)> {
    let (month, day, years) = (date.at.month(), date.at.day(), date.at.year().rem_euclid(100));
    let of_year = u32::try_from(years).ok().filter(|years| day == 1 && *years > 31);
    let under = of_year.unwrap_or(month.max(day));
    let over = if of_year.is_some() { month } else { month.min(day) };
    let is_one = !date.has_time && over < under && IN_FRACTIONS.contains(&under);
    is_one.then(|| {
        let number = f64::from(over) / f64::from(under);
        // Six decimals hold every part of 64.
        let exact = (number * 1e6).fract() == 0.0;
        (format!("{over}/{under}"), exact.then(|| number.to_string()))
    })
}
