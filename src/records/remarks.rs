//! `remarks.toml`: people's answers to findings, each with what the finding said when it was answered.

use chrono::NaiveDate;

use super::entry::Entry;
use super::keyed::{Keyed, KeyedSpec};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, Holds, Stands, TableSpec};

/// The words for how a finding comes out.
pub const OUTCOMES: [&str; 4] = ["agrees", "differs", "beyond limit", "not recorded"];

/// The keys that hold what a finding said: its outcome, and its figures.
const OUTCOME: &str = "outcome";
const FIGURES: [&str; 3] = ["recorded", "recomputed", "limit"];

/// What `remarks.toml` holds.
pub const SPEC: KeyedSpec = KeyedSpec {
    path: "remarks.toml",
    example: include_str!("../../templates/example/remarks.toml"),
    top: TableSpec { name: "", meaning: "nothing", stands: Stands::Once, keys: &[] },
    tables: &[TableSpec {
        name: "remark",
        meaning: "an answer to a finding, or a blank for one",
        stands: Stands::Often,
        keys: &[
            Column::always(
                "finding",
                Holds::Texts,
                "the finding's id; a list of ids where one answer serves them all",
            ),
            Column::optional(
                OUTCOME,
                Holds::Texts,
                "how the finding had come out when it was answered: agrees, differs, beyond limit or not \
                 recorded; a list in the order of the ids where finding is one, and so in the next three",
            ),
            Column::optional(
                FIGURES[0],
                Holds::Texts,
                "the figure that it gave then as recorded, with its unit; \"\" in a list where it gave none",
            ),
            Column::optional(
                FIGURES[1],
                Holds::Texts,
                "the figure that it gave then as recomputed, with its unit",
            ),
            Column::optional(
                FIGURES[2],
                Holds::Texts,
                "the limit that it was held against then, with its unit",
            ),
            Column::optional("answer", Holds::Text, "the answer"),
            Column::optional("by", Holds::Called, "who answers"),
            Column::optional(
                "on",
                Holds::Date,
                "the day of the answer; while answer, by and on are all empty the remark is a blank that \
                 waits to be filled in",
            ),
        ],
    }],
};

/// What a finding said when it was answered: figures as printed, with their units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Then {
    /// How it had come out, one of [`OUTCOMES`].
    pub outcome: String,
    /// What was recorded.
    pub recorded: Option<String>,
    /// What was recomputed.
    pub recomputed: Option<String>,
    /// The limit that it was held against.
    pub limit: Option<String>,
}

/// A person's answer to a finding. An answer that serves several findings is kept once for each.
#[derive(Debug, Clone)]
pub struct Remark {
    /// The finding's id.
    pub finding: String,
    /// What the finding said then, if the answer states it.
    pub then: Option<Then>,
    /// The answer.
    pub answer: String,
    /// Who answers.
    pub by: String,
    /// The day of the answer.
    pub on: NaiveDate,
    /// Where it stands.
    pub place: Place,
}

/// A remark for a finding whose answer is yet to be filled in.
#[derive(Debug, Clone)]
pub struct Blank {
    /// The finding's id.
    pub finding: String,
    /// What the finding said when the blank was written, if it states it.
    pub then: Option<Then>,
    /// Where it stands.
    pub place: Place,
}

/// The remarks of a project.
#[derive(Debug, Default)]
pub struct Remarks {
    /// Those that are answers.
    pub given: Vec<Remark>,
    /// Those that are yet to be filled in.
    pub blanks: Vec<Blank>,
}

impl Remarks {
    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Self {
        let mut remarks = Self::default();
        for entry in keyed.all("remark") {
            let Some(findings) = entry.list("finding") else { continue };
            let Some(thens) = thens(entry, findings.len(), problems) else { continue };
            let Some(given) = given(entry, problems) else { continue };
            let place = entry.place_of("finding");
            for (finding, then) in findings.into_iter().zip(thens) {
                let place = place.clone();
                match given.clone() {
                    Some((answer, by, on)) => {
                        remarks.given.push(Remark { finding, then, answer, by, on, place });
                    }
                    None => remarks.blanks.push(Blank { finding, then, place }),
                }
            }
        }
        remarks
    }
}

/// Answer, author and day: `Some(None)` where all three are open, `None` with a problem where some are.
#[allow(clippy::option_option)]
fn given(entry: &Entry, problems: &mut Problems) -> Option<Option<(String, String, NaiveDate)>> {
    let (answer, by, on) = (entry.text("answer"), entry.text("by"), entry.date("on"));
    let missing = [("answer", answer.is_none()), ("by", by.is_none()), ("on", on.is_none())];
    match (answer, by, on) {
        (Some(answer), Some(by), Some(on)) => Some(Some((answer, by, on))),
        (None, None, None) => Some(None),
        _ => {
            for (name, _) in missing.into_iter().filter(|(_, missing)| *missing) {
                let column = SPEC.tables[0].keys.iter().find(|column| column.name == name);
                problems.add(
                    Problem::new(entry.place.clone(), format!("[remark] has no {name}"))
                        .expected(match name {
                            "on" => "the day of the answer",
                            _ => column.map_or("", |column| column.meaning),
                        })
                        .advice("fill it in, or leave answer, by and on all empty until then"),
                );
            }
            None
        }
    }
}

/// For each of the remark's findings what it said then; `None` where a problem leaves that unknown.
fn thens(entry: &Entry, count: usize, problems: &mut Problems) -> Option<Vec<Option<Then>>> {
    let before = problems.count();
    let mut column = |name: &str| {
        let list = entry.list(name)?;
        if list.len() == count {
            return Some(list);
        }
        let values = |n: usize| if n == 1 { "1 value".to_string() } else { format!("{n} values") };
        let findings = if count == 1 { "finding" } else { "findings" };
        let wrong = format!("has {} for {count} {findings}", values(list.len()));
        problems.add(
            Problem::new(entry.place_of(name), wrong)
                .expected(format!("{}, one for each finding in their order", values(count)))
                .advice(match count {
                    1 => "write one value",
                    _ => "write \"\" for a finding that has none",
                }),
        );
        None
    };
    let outcomes = column(OUTCOME);
    let figures = FIGURES.map(&mut column);
    if problems.count() > before {
        return None;
    }
    let of = |list: &Option<Vec<String>>, n: usize| {
        list.as_ref()?.get(n).filter(|text| !text.is_empty()).cloned()
    };
    let mut then = |n: usize| {
        let [recorded, recomputed, limit] = [0, 1, 2].map(|at| of(&figures[at], n));
        let first = FIGURES.into_iter().zip([&recorded, &recomputed, &limit]);
        let figure = first.into_iter().find(|(_, figure)| figure.is_some());
        let outcome = of(&outcomes, n);
        let plain = outcome.as_ref().map(|text| text.to_lowercase().replace(['-', '_'], " "));
        let known = OUTCOMES.into_iter().find(|known| plain.as_deref() == Some(known));
        let expected = crate::units::one_of(&OUTCOMES);
        match (outcome, known, figure) {
            (_, Some(known), _) => {
                return Some(Then { outcome: known.to_string(), recorded, recomputed, limit });
            }
            (Some(outcome), None, _) => problems.add(
                Problem::new(entry.place_of(OUTCOME), "is not how a finding can come out")
                    .value(outcome)
                    .expected(expected)
                    .advice("write the outcome that was answered"),
            ),
            (None, None, Some((name, _))) => problems.add(
                Problem::new(entry.place_of(name), "stands here without the outcome beside it")
                    .expected(format!("{OUTCOME} as well: {expected}"))
                    .advice("add the outcome that was answered"),
            ),
            (None, None, None) => {}
        }
        None
    };
    let thens: Vec<Option<Then>> = (0..count).map(&mut then).collect();
    (problems.count() == before).then_some(thens)
}
