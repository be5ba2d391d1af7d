//! What a crate is told of: the record, and the files of the payload.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::bundle::digest::Digests;
use crate::bundle::layout;
use crate::findings::Examined;
use crate::records::docking::Closeout;

/// What is described.
pub struct Told<'a> {
    pub examined: &'a Examined,
    pub closeout: &'a Closeout,
    /// Name and version of the program.
    pub program: &'a str,
    /// The payload's files, by their paths in the bundle.
    pub files: &'a BTreeMap<String, Digests>,
    /// What the program made of the records, by its path in the bundle.
    pub made: &'a BTreeMap<String, Made>,
}

/// A file that was made of records.
pub struct Made {
    /// What it is, a few words.
    pub title: String,
    /// What it holds.
    pub about: String,
    /// The files that it was made from, by their paths in the bundle; empty where it took all records.
    pub from: Vec<String>,
}

impl Told<'_> {
    /// The payload's files by their paths in its folder.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.files.keys().filter_map(|path| path.strip_prefix(layout::DATA))
    }
}

/// First and last day as an interval of ISO 8601; `..` stands for one that is not known (ISO 8601-2).
pub fn interval(days: (Option<NaiveDate>, Option<NaiveDate>)) -> Option<String> {
    match days {
        (None, None) => None,
        (from, to) => {
            let [from, to] =
                [from, to].map(|day| day.map_or("..".to_string(), |day| day.to_string()));
            Some(format!("{from}/{to}"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::interval;

    #[test]
    fn an_interval_says_which_of_its_days_is_not_known() {
        let day = chrono::NaiveDate::from_ymd_opt(2031, 4, 7);
        assert_eq!(interval((None, None)), None);
        assert_eq!(interval((day, None)).as_deref(), Some("2031-04-07/.."));
        assert_eq!(interval((None, day)).as_deref(), Some("../2031-04-07"));
        assert_eq!(interval((day, day)).as_deref(), Some("2031-04-07/2031-04-07"));
    }
}
