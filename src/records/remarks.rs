//! `remarks.toml`: people's answers to findings, each with what the finding said when it was answered.

use chrono::NaiveDate;

use super::entry::Entry;
use super::keyed::{Keyed, KeyedSpec};
use super::language;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::record::record;
use super::spec::{Column, TableSpec};

/// The words for how a finding comes out.
pub const OUTCOMES: [&str; 4] = ["agrees", "differs", "beyond limit", "not recorded"];

/// What `remarks.toml` holds.
pub const SPEC: KeyedSpec = KeyedSpec {
    path: "remarks.toml",
    example: include_str!("../../templates/example/remarks.toml"),
    top: TableSpec::EMPTY,
    tables: &[REMARK],
};

record! {
    /// A remark as it is written: an answer or a blank for one finding or several.
    struct Written: REMARK = [[remark]] "an answer to a finding, or a blank for one" {
        findings: Vec<String> = always(
            "finding",
            Texts,
            "the finding's id; a list of ids where one answer serves them all",
        ),
        outcomes: Option<Vec<String>> = optional(
            "outcome",
            Texts,
            "the finding's outcome when it was answered: agrees, differs, beyond limit or not \
             recorded; a list in the order of the ids if finding is a list, as are the next three",
        ),
        recorded: Option<Vec<String>> = optional(
            "recorded",
            Texts,
            "the recorded figure that it gave then, with its unit; \"\" in a list where it gave none",
        ),
        recomputed: Option<Vec<String>> = optional(
            "recomputed",
            Texts,
            "the recomputed figure that it gave then, with its unit",
        ),
        limit: Option<Vec<String>> = optional(
            "limit",
            Texts,
            "the limit that applied then, with its unit",
        ),
        answer: Option<String> = optional("answer", Text, "the answer"),
        by: Option<String> = optional("by", Called, "who answers"),
        on: Option<NaiveDate> = optional(
            "on",
            Date,
            "the day of the answer; while answer, by and on are all empty, the remark is a blank \
             still to be filled in",
        ),
        for_next_time: bool = optional(
            "for_next_time",
            Flag,
            "true if the answer is meant for the next docking, too",
        ),
        language: Option<String> = optional(
            "language",
            Text,
            "the language of the answer by BCP 47, as de or pt-BR, if it is not English",
        ),
    }
}

/// The keys for a finding as it was when answered: its outcome, then its figures.
const LISTS: [&Column; 4] =
    [&Written::outcomes, &Written::recorded, &Written::recomputed, &Written::limit];

/// A finding as it was when it was answered: figures as printed, with their units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Then {
    /// Its outcome then, one of [`OUTCOMES`].
    pub outcome: String,
    pub recorded: Option<String>,
    pub recomputed: Option<String>,
    /// The limit that it was held against.
    pub limit: Option<String>,
}

/// A person's answer to a finding. An answer that serves several findings is kept once for each.
#[derive(Debug, Clone)]
pub struct Remark {
    /// The finding's id.
    pub finding: String,
    /// The finding as it was then, if the answer states it.
    pub then: Option<Then>,
    pub answer: String,
    /// Who answers.
    pub by: String,
    /// The day of the answer.
    pub on: NaiveDate,
    /// Whether it is meant for the next docking, too.
    pub for_next_time: bool,
    /// The language of the answer by BCP 47, if that is stated.
    pub language: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// A remark for a finding whose answer is yet to be filled in.
#[derive(Debug, Clone)]
pub struct Blank {
    /// The finding's id.
    pub finding: String,
    /// The finding as it was when the blank was written, if it states it.
    pub then: Option<Then>,
    /// Where it stands.
    pub place: Place,
}

/// The remarks of a project.
#[derive(Debug, Clone, Default)]
pub struct Remarks {
    /// Those that are answers.
    pub given: Vec<Remark>,
    /// Those that are yet to be filled in.
    pub blanks: Vec<Blank>,
}

impl Remarks {
    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Self {
        let mut remarks = Self::default();
        for entry in keyed.all(REMARK.name) {
            let Some(written) = Written::from_entry(entry) else { continue };
            let Some(thens) = written.thens(entry, problems) else { continue };
            let Some(given) = written.given(problems) else { continue };
            let language = written.language.clone();
            language::check(language.as_deref(), entry.place_of(&Written::language), problems);
            let place = entry.place_of(&Written::findings);
            let for_next_time = written.for_next_time;
            for (finding, then) in written.findings.into_iter().zip(thens) {
                let (place, language) = (place.clone(), language.clone());
                match given.clone() {
                    Some((answer, by, on)) => {
                        remarks.given.push(Remark {
                            finding,
                            then,
                            answer,
                            by,
                            on,
                            for_next_time,
                            language,
                            place,
                        });
                    }
                    None => remarks.blanks.push(Blank { finding, then, place }),
                }
            }
        }
        remarks
    }
}

impl Written {
    /// Answer, author and day: `Some(None)` where all three are open, `None` with a problem where some are.
    #[allow(clippy::option_option)]
    fn given(&self, problems: &mut Problems) -> Option<Option<(String, String, NaiveDate)>> {
        match (&self.answer, &self.by, self.on) {
            (Some(answer), Some(by), Some(on)) => Some(Some((answer.clone(), by.clone(), on))),
            (None, None, None) => Some(None),
            _ => {
                let missing = [
                    (self.answer.is_none(), &Self::answer, Self::answer.meaning),
                    (self.by.is_none(), &Self::by, Self::by.meaning),
                    (self.on.is_none(), &Self::on, "the day of the answer"),
                ];
                for (_, key, expected) in missing.iter().filter(|(is_missing, ..)| *is_missing) {
                    let wrong = format!("[remark] has no {}", key.name);
                    problems.add(
                        Problem::new(self.place.clone(), wrong).expected(*expected).advice(
                            "fill it in, or leave answer, by and on all empty until it is answered",
                        ),
                    );
                }
                None
            }
        }
    }

    /// Each of its findings as it was then; `None` where a problem leaves that unknown.
    fn thens(&self, entry: &Entry, problems: &mut Problems) -> Option<Vec<Option<Then>>> {
        let (count, before) = (self.findings.len(), problems.count());
        let lists = [&self.outcomes, &self.recorded, &self.recomputed, &self.limit];
        for (key, list) in LISTS.into_iter().zip(lists) {
            let Some(list) = list.as_ref().filter(|list| list.len() != count) else { continue };
            let values =
                |n: usize| if n == 1 { "1 value".to_string() } else { format!("{n} values") };
            let findings = if count == 1 { "finding" } else { "findings" };
            let wrong = format!("has {} for {count} {findings}", values(list.len()));
            problems.add(
                Problem::new(entry.place_of(key), wrong)
                    .expected(format!("{}, one for each finding, in the same order", values(count)))
                    .advice(match count {
                        1 => "write one value",
                        _ => "write \"\" for a finding that has none",
                    }),
            );
        }
        if problems.count() > before {
            return None;
        }
        let at = |n: usize| {
            lists.map(|list| list.as_ref()?.get(n).filter(|text| !text.is_empty()).cloned())
        };
        let thens: Vec<Option<Then>> = (0..count).map(|n| then(at(n), entry, problems)).collect();
        (problems.count() == before).then_some(thens)
    }
}

/// A finding as it was then, from its outcome and figures as written.
fn then(written: [Option<String>; 4], entry: &Entry, problems: &mut Problems) -> Option<Then> {
    let first_figure = LISTS.into_iter().zip(&written).skip(1).find(|(_, figure)| figure.is_some());
    let first_figure = first_figure.map(|(key, _)| key);
    let [outcome, recorded, recomputed, limit] = written;
    let plain = outcome.as_ref().map(|text| text.to_lowercase().replace(['-', '_'], " "));
    let known = OUTCOMES.into_iter().find(|known| plain.as_deref() == Some(known));
    let expected = crate::units::one_of(&OUTCOMES);
    let problem = match (outcome, known, first_figure) {
        (_, Some(known), _) => {
            return Some(Then { outcome: known.to_string(), recorded, recomputed, limit });
        }
        (Some(outcome), None, _) => {
            let place = entry.place_of(&Written::outcomes);
            Problem::new(place, "is not an outcome of a finding")
                .value(outcome)
                .expected(expected)
                .advice("write the outcome that the finding had when it was answered")
        }
        (None, None, Some(key)) => {
            Problem::new(entry.place_of(key), "is given without the outcome")
                .expected(format!("{} as well: {expected}", Written::outcomes.name))
                .advice("add the outcome that the finding had when it was answered")
        }
        (None, None, None) => return None,
    };
    problems.add(problem);
    None
}
