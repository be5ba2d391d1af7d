//! Dates of a key, as OpenSSH writes them: `YYYYMMDD[Z]` or `YYYYMMDDHHMM[SS][Z]` (ssh-keygen(1), ALLOWED
//! SIGNERS). Without `Z` they are in the local time of whoever reads them, which nobody knows years later.

use std::cmp::Ordering;

use chrono::{NaiveDate, NaiveDateTime};

/// How much earlier, and how much later, in UTC a local time may be than the same digits in UTC: in seconds, for
/// the offsets of +14 h and -12 h, the farthest that are in use.
const EARLIER: i64 = 14 * 3600;
const LATER: i64 = 12 * 3600;

/// A date of a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// Seconds since 1970 as if it were in UTC.
    seconds: i64,
    /// Whether it is marked as UTC.
    is_utc: bool,
}

impl Moment {
    /// Reads one; `None` if it is none, or is before 1970, which OpenSSH refuses.
    pub fn read(text: &str) -> Option<Self> {
        let mut digits = text;
        for end in ["Z", "UTC"] {
            let split = text.len().checked_sub(end.len()).filter(|at| *at > 0);
            if let Some((before, last)) = split.and_then(|at| text.split_at_checked(at))
                && last.eq_ignore_ascii_case(end)
            {
                digits = before;
                break;
            }
        }
        if !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let part = |from: usize, to: usize| digits.get(from..to)?.parse::<u32>().ok();
        let (hour, minute, second) = match digits.len() {
            8 => (0, 0, 0),
            12 => (part(8, 10)?, part(10, 12)?, 0),
            14 => (part(8, 10)?, part(10, 12)?, part(12, 14)?),
            _ => return None,
        };
        let year = i32::try_from(part(0, 4)?).ok()?;
        let date = NaiveDate::from_ymd_opt(year, part(4, 6)?, part(6, 8)?)?;
        let seconds = date.and_hms_opt(hour, minute, second)?.and_utc().timestamp();
        (seconds > 0).then_some(Self { seconds, is_utc: digits.len() < text.len() })
    }

    /// Reads a time in UTC as a person types it, with or without hyphens and colons.
    pub fn typed(text: &str) -> Option<Self> {
        let plain: String = match text.get(4..5) {
            Some("-") => text.chars().filter(|c| !matches!(c, '-' | ':' | ' ' | 'T')).collect(),
            _ => text.to_string(),
        };
        Self::read(&plain).map(|moment| Self { is_utc: true, ..moment })
    }

    /// Whether `at`, which is in UTC, is before it, at it or after it. `None` where that depends on where the date
    /// was written.
    pub fn compared(self, at: Moment) -> Option<Ordering> {
        if self.is_utc || at.seconds < self.seconds - EARLIER || at.seconds > self.seconds + LATER {
            return Some(at.seconds.cmp(&self.seconds));
        }
        None
    }

    /// Whether it is certainly later than another. Two without `Z` are assumed to be in the same local time.
    pub fn is_after(self, other: Moment) -> bool {
        let between = self.seconds.saturating_sub(other.seconds);
        match (self.is_utc, other.is_utc) {
            (true, false) => between > LATER,
            (false, true) => between > EARLIER,
            _ => between > 0,
        }
    }

    /// For a message: `2031-04-09 06:40:00 UTC`.
    pub fn shown(self) -> String {
        let time = chrono::DateTime::from_timestamp(self.seconds, 0).map(|time| time.naive_utc());
        let zone = if self.is_utc { " UTC" } else { ", in an unstated local time" };
        let time = time.unwrap_or(NaiveDateTime::MIN);
        format!("{}{zone}", time.format("%Y-%m-%d %H:%M:%S"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(text: &str) -> Moment {
        Moment::read(text).expect("a date")
    }

    #[test]
    fn dates_are_read_as_openssh_writes_them() {
        let seconds = |text: &str| Moment::read(text).map(|moment| moment.seconds);
        // From `date -u -d ... +%s` of GNU coreutils.
        assert_eq!(seconds("20310514Z"), Some(1_936_483_200));
        assert_eq!(seconds("203105141230"), Some(1_936_528_200));
        assert_eq!(seconds("20310514123015utc"), Some(1_936_528_215));
        for none in
            ["", "Z", "2031", "20310230", "203105142460", "2031-05-14", "19700101Z", "2031051é"]
        {
            assert_eq!(seconds(none), None, "{none}");
        }
        assert_eq!(Moment::typed("2031-05-14"), Moment::typed("20310514Z"));
        assert_eq!(Moment::typed("2031-05-14T12:30:00Z"), Moment::typed("203105141230"));
    }

    #[test]
    fn without_a_zone_what_is_near_stays_open() {
        let at = |text: &str| Moment::typed(text).expect("a time");
        let local = moment("20310514");
        assert_eq!(local.compared(at("203105130959")), Some(Ordering::Less));
        assert_eq!(local.compared(at("203105131000")), None);
        assert_eq!(local.compared(at("203105141200")), None);
        assert_eq!(local.compared(at("203105141201")), Some(Ordering::Greater));
        assert_eq!(moment("20310514Z").compared(at("20310514")), Some(Ordering::Equal));
    }
}
