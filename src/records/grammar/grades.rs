//! How people write grades of prepared steel: with or without spaces and the standard's name, `Sa 2½`, `SSPC-SP 10/NACE
//! No. 2`, `WJ-2 L`.
//!
//! Families and numbers from memory of ISO 8501-1, -2 and -4, of the SSPC and joint SSPC/NACE (now AMPP) surface
//! preparation standards, and of the joint water jetting standards.

use super::with_plain_signs;

/// Every grade, by the word that names it in this program.
pub const WORDS: &[&str] = &[
    "sa1", "sa2", "sa2.5", "sa3", "st2", "st3", "psa2", "psa2.5", "psa3", "pst2", "pst3", "pma",
    "wa1", "wa2", "wa2.5", "sp1", "sp2", "sp3", "sp5", "sp6", "sp7", "sp10", "sp11", "sp14",
    "sp15", "sp16", "sp18", "wj-1", "wj-2", "wj-3", "wj-4",
];

/// What a cell for a grade may hold, in words.
pub const EXPECTED: &str = "a grade of ISO 8501-1 (Sa 1, Sa 2, Sa 2 1/2, Sa 3, St 2, St 3), ISO 8501-2 (P Sa 2 to P Sa 3, P St 2, P St 3, P Ma), \
     ISO 8501-4 (Wa 1, Wa 2, Wa 2 1/2), SSPC and NACE (SP 1, 2, 3, 5, 6, 7, 10, 11, 14, 15, 16, 18; NACE No. 1, 2, 3, 4, \
     8), or WJ-1 to WJ-4; behind Wa and WJ also the flash rust: L, M or H";

/// How much flash rust formed on steel cleaned by water, the least first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FlashRust {
    Light,
    Moderate,
    Heavy,
}

/// A grade that was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GradeRead {
    /// One of [`WORDS`].
    pub word: &'static str,
    /// As recorded with it.
    pub flash_rust: Option<FlashRust>,
}

/// The grade that a text names; `None` where it names none, or two.
pub fn read(text: &str) -> Option<GradeRead> {
    let plain = without_standard(&with_halves(&with_plain_signs(text).to_lowercase()));
    let (mut prefix, mut is_part) = ("", false);
    let mut word: Option<&'static str> = None;
    let mut flash_rust = None;
    for run in runs(&plain)? {
        let named = match run.as_str() {
            "sspc" | "ampp" | "no" | "flash" | "rust" | "rusting" | "fr" => continue,
            "sp" | "sspcsp" => {
                prefix = "sp";
                continue;
            }
            "wj" | "spwj" => {
                prefix = "wj-";
                continue;
            }
            "nace" | "sa" | "st" | "wa" => {
                prefix = if run == "sa" {
                    "sa"
                } else if run == "st" {
                    "st"
                } else if run == "wa" {
                    "wa"
                } else {
                    "nace"
                };
                continue;
            }
            "p" => {
                is_part = true;
                continue;
            }
            "psa" | "pst" => {
                (prefix, is_part) = (if run == "psa" { "sa" } else { "st" }, true);
                continue;
            }
            "pma" => "pma".to_string(),
            "ma" if is_part => "pma".to_string(),
            "l" | "light" | "m" | "moderate" | "medium" | "h" | "heavy" => {
                let degree = match run.as_bytes()[0] {
                    b'l' => FlashRust::Light,
                    b'm' => FlashRust::Moderate,
                    _ => FlashRust::Heavy,
                };
                if word.is_none() || flash_rust.replace(degree).is_some() {
                    return None;
                }
                continue;
            }
            number => format!(
                "{}{}",
                if is_part { "p" } else { "" },
                match prefix {
                    "nace" => joint(number)?.to_string(),
                    prefix => format!("{prefix}{number}"),
                }
            ),
        };
        let named = WORDS.iter().copied().find(|known| *known == named)?;
        if word.is_some_and(|word| word != named) {
            return None;
        }
        (word, prefix, is_part) = (Some(named), "", false);
    }
    let word = word.filter(|_| prefix.is_empty() && !is_part)?;
    let by_water = word.starts_with("wj") || word.starts_with("wa");
    (by_water || flash_rust.is_none()).then_some(GradeRead { word, flash_rust })
}

/// The SSPC number of a joint standard by its NACE number.
fn joint(number: &str) -> Option<&'static str> {
    Some(match number {
        "1" => "sp5",
        "2" => "sp10",
        "3" => "sp6",
        "4" => "sp7",
        "8" => "sp14",
        _ => return None,
    })
}

/// Halves behind a whole number as decimals: `2 1/2`, `21/2` and `2,5` are `2.5`.
fn with_halves(text: &str) -> String {
    let text = text.replace(" 1/2", ".5").replace("-1/2", ".5").replace("21/2", "2.5");
    text.replace("2,5", "2.5")
}

/// A text without the number of the ISO standard before the grade.
fn without_standard(text: &str) -> String {
    let mut text = text.to_string();
    for part in ["8501-1", "8501-2", "8501-4"] {
        for year in [":2007", ":1988", ":1994", ":2006", ":2020", ""] {
            text = text
                .replace(&format!("iso {part}{year}"), "")
                .replace(&format!("iso{part}{year}"), "");
        }
    }
    text
}

/// Its runs of letters and of digits, of which a decimal point is one; `None` where there is anything but signs that
/// stand between them.
fn runs(text: &str) -> Option<Vec<String>> {
    let mut runs: Vec<String> = Vec::new();
    let mut last = ' ';
    for c in text.chars() {
        let is_decimal = c == '.' && last.is_ascii_digit();
        let goes_on = match c {
            _ if is_decimal => true,
            c if c.is_ascii_digit() => last.is_ascii_digit() || last == '.',
            c if c.is_ascii_lowercase() => last.is_ascii_lowercase(),
            ' ' | '-' | '_' | '/' | '.' | '(' | ')' | '#' => {
                last = ' ';
                continue;
            }
            _ => return None,
        };
        match runs.last_mut().filter(|_| goes_on) {
            Some(run) => run.push(c),
            None => runs.push(c.to_string()),
        }
        last = c;
    }
    Some(runs)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grades_as_yards_write_them() {
        for (written, word) in [
            ("Sa2.5", "sa2.5"),
            ("Sa 2\u{bd}", "sa2.5"),
            ("SA 2 1/2", "sa2.5"),
            ("sa2,5", "sa2.5"),
            ("Sa 2-1/2", "sa2.5"),
            ("ISO 8501-1 Sa 3", "sa3"),
            ("ISO 8501-1:2007 Sa 2", "sa2"),
            ("St3", "st3"),
            ("P Sa 2\u{bd}", "psa2.5"),
            ("PSa 2", "psa2"),
            ("P St 3", "pst3"),
            ("P Ma", "pma"),
            ("Wa 2 1/2", "wa2.5"),
            ("SP10", "sp10"),
            ("SSPC-SP 10", "sp10"),
            ("SSPC-SP 10/NACE No. 2", "sp10"),
            ("NACE No. 1/SSPC-SP 5", "sp5"),
            ("NACE 3", "sp6"),
            ("SSPC SP-11", "sp11"),
            ("SP 18", "sp18"),
            ("WJ-2", "wj-2"),
            ("SSPC-SP WJ-1/NACE WJ-1", "wj-1"),
            ("NACE WJ 4", "wj-4"),
        ] {
            let read = read(written).map(|read| (read.word, read.flash_rust));
            assert_eq!(read, Some((word, None)), "{written}");
        }
    }

    #[test]
    fn flash_rust_stands_behind_what_water_cleaned() {
        for (written, word, degree) in [
            ("WJ-2 L", "wj-2", FlashRust::Light),
            ("WJ-2/M", "wj-2", FlashRust::Moderate),
            ("WJ2H", "wj-2", FlashRust::Heavy),
            ("WJ-3 (light flash rust)", "wj-3", FlashRust::Light),
            ("Wa 2\u{bd} moderate", "wa2.5", FlashRust::Moderate),
            ("WJ-1 FR-L", "wj-1", FlashRust::Light),
        ] {
            let wanted = Some(GradeRead { word, flash_rust: Some(degree) });
            assert_eq!(read(written), wanted, "{written}");
        }
    }

    #[test]
    fn what_is_no_grade_or_two() {
        for written in [
            "Sa4",
            "Sa",
            "St1",
            "P Sa 1",
            "SP 4",
            "SP 10/NACE No. 3",
            "NACE 5",
            "WJ-5",
            "L",
            "Sa2.5 L",
            "Sa2 Sa3",
            "SP",
            "WJ-2 L M",
            "Sa 2.5 mostly",
            "P",
            "P Wa 2",
            "2.5",
            "",
        ] {
            assert_eq!(read(written), None, "{written}");
        }
    }
}
