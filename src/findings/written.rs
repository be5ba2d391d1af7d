//! Findings as data: `findings.json`, and `findings.csv` for a spreadsheet.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde::{Deserialize, Serialize};

use super::Examined;
use super::answers::describe;
use super::finding::{Figure, Finding, Outcome};
use super::harmless::{for_spreadsheets, harmless};
use super::subject::Weight;
use crate::records::bounds::Sort;
use crate::records::place::Place;
use crate::records::remarks::{Remark, Then};
use crate::records::spec::{Column, Holds};
use crate::units::UNITS;
use crate::words::cautions;

/// The version of `findings.json`.
pub const FORMAT: u32 = 1;

/// The words of an outcome.
pub const OUTCOMES: [&str; 4] = crate::records::remarks::OUTCOMES;

/// The words for what a finding is held against.
const SORTS: [&str; 2] = ["limit", "tolerance"];

/// All findings of a docking.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FindingsWritten {
    /// The version of this form, 1.
    #[schemars(extend("const" = FORMAT))]
    pub format: u32,
    /// Program and version that wrote it.
    pub program: String,
    /// What this record is not; left out by the first versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// The ship's name.
    pub ship: String,
    /// How many findings came out in each way.
    pub counts: Counts,
    /// The findings, section by section.
    pub findings: Vec<FindingWritten>,
    /// Answers whose finding is not in this record: kept as they were given. Left out where there are none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers_without_finding: Vec<RemarkWithoutFinding>,
}

/// An answer whose finding is not in this record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct RemarkWithoutFinding {
    /// The id that it names.
    pub finding: String,
    /// The answer.
    pub remark: RemarkWritten,
    /// Where it stands.
    pub place: PlaceWritten,
}

/// How many findings came out in each way.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Counts {
    /// Agrees.
    pub agrees: usize,
    /// Differs.
    pub differs: usize,
    /// Beyond limit.
    pub beyond_limit: usize,
    /// Not recorded.
    pub not_recorded: usize,
    /// Of those that differ or are beyond a limit, how many nobody has answered as they are now.
    pub unanswered: usize,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FindingWritten {
    /// Its id: section, thing and what is compared, the same for the same comparison whatever it comes
    /// out as.
    pub id: String,
    /// How it came out: the record agrees with the recomputation; two recorded facts, or a record and
    /// its recomputation, differ and can't both be true; a true record is beyond a limit; or a datum
    /// that the comparison needs is not recorded.
    #[schemars(extend("enum" = OUTCOMES))]
    pub outcome: String,
    /// What it means: danger, it could sink the ship or hurt someone; steel, it leaves steel unprotected; doubt, it makes
    /// the record doubtful; slip, a slip of the pen. Left out where the finding agrees, and by versions before 0.4.0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = Weight::WORDS))]
    pub weight: Option<String>,
    /// True where the finding is about what was planned, since nothing was recorded yet; left out otherwise, and by versions
    /// before 0.7.0.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub as_planned: bool,
    /// One plain sentence.
    pub sentence: String,
    /// What was written down; left out where there is nothing to write.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recorded: Option<FigureWritten>,
    /// What was recomputed from the raw readings; left out where it can't be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recomputed: Option<FigureWritten>,
    /// The limit or tolerance that it was held against, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub against: Option<AgainstWritten>,
    /// The name of the formula, as data/format.txt explains it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub formula: Option<String>,
    /// The records used.
    pub records: Vec<PlaceWritten>,
    /// The one record from which it follows, together with others; left out where none is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<CauseWritten>,
    /// A person's answer to what the finding says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<RemarkWritten>,
    /// Answers that were given when the finding said something else, or that do not state what it said
    /// where there are several. They do not answer it as it is now. Left out where there are none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub earlier_remarks: Vec<RemarkWritten>,
}

/// A record on which several findings depend.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CauseWritten {
    /// The record.
    pub record: PlaceWritten,
    /// How they follow from it, one plain sentence.
    pub sentence: String,
}

/// A figure: a number with its unit, a count, or words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[serde(untagged)]
pub enum FigureWritten {
    /// A number in the unit named.
    Measure {
        /// The number, rounded as it is printed.
        value: f64,
        /// The unit's suffix, as in column names of the records.
        #[schemars(extend("enum" = suffixes()))]
        unit: String,
    },
    /// How many.
    Count {
        /// The count.
        count: u64,
    },
    /// Words.
    Words {
        /// The words.
        words: String,
    },
}

/// What a finding was held against.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct AgainstWritten {
    /// Whether it is a limit or a tolerance.
    #[schemars(extend("enum" = SORTS))]
    pub sort: String,
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: FigureWritten,
    /// Where it comes from.
    pub source: String,
}

/// The place of a record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PlaceWritten {
    /// The file, by its path below data/records/.
    pub file: String,
    /// The line, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1))]
    pub line: Option<u32>,
    /// In a CSV the field's number, in TOML the character, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1))]
    pub column: Option<u32>,
    /// Header of the column, or the key.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
}

/// A person's answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct RemarkWritten {
    /// The answer.
    pub answer: String,
    /// Who answered.
    pub by: String,
    /// The day, as `2031-04-30`.
    #[schemars(regex(pattern = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"))]
    pub on: String,
    /// What the finding said when it was answered; left out where the answer does not state it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answered: Option<AnsweredWritten>,
    /// Whether it is meant for the next docking, too; left out where it is not, and by versions before 0.4.0.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub for_next_time: bool,
}

/// What a finding said when it was answered: figures with their units, as the answer states them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct AnsweredWritten {
    /// How it had come out.
    #[schemars(extend("enum" = OUTCOMES))]
    pub outcome: String,
    /// What it gave as recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recorded: Option<String>,
    /// What it gave as recomputed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recomputed: Option<String>,
    /// The limit that it was held against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit: Option<String>,
}

fn suffixes() -> Vec<&'static str> {
    let mut suffixes: Vec<&str> = UNITS.iter().map(|unit| unit.suffix).collect();
    suffixes.sort_unstable();
    suffixes.dedup();
    suffixes
}

/// The JSON Schema (draft 2020-12) of `findings.json`, made from the types above and what is said of
/// them, with a line's end at its end.
pub fn schema() -> Result<Vec<u8>, serde_json::Error> {
    // Names of formats such as uint32 are not the draft's.
    let without_formats = RecursiveTransform(|schema: &mut Schema| {
        schema.remove("format");
    });
    let settings = SchemaSettings::draft2020_12().with_transform(without_formats);
    let mut schema = settings.into_generator().into_root_schema_for::<FindingsWritten>();
    schema.insert("title".to_string(), "findings of a dry-docking, form 1".into());
    let mut bytes = serde_json::to_vec_pretty(&schema)?;
    bytes.push(b'\n');
    Ok(bytes)
}

impl Counts {
    /// The outcomes of findings counted; how many are unanswered is as given.
    pub fn tally(findings: &[FindingWritten], unanswered: usize) -> Self {
        let count = |outcome: Outcome| {
            findings.iter().filter(|finding| finding.outcome == outcome.words()).count()
        };
        Self {
            agrees: count(Outcome::Agrees),
            differs: count(Outcome::Differs),
            beyond_limit: count(Outcome::BeyondLimit),
            not_recorded: count(Outcome::NotRecorded),
            unanswered,
        }
    }
}

impl FindingsWritten {
    /// The columns of `findings.csv`.
    pub const CSV_COLUMNS: [Column; 21] = [
        Column::always("finding", Holds::Text, "its id, to which remarks refer"),
        Column::always(
            "outcome",
            Holds::Word(&OUTCOMES),
            "how it came out: agrees, differs, beyond limit, not recorded",
        ),
        Column::always("sentence", Holds::Text, "one plain sentence"),
        Column::optional(
            "recorded",
            Holds::Text,
            "what was written down: a number where the unit is given, a count, or words",
        ),
        Column::optional("recorded_unit", Holds::Text, "its unit, a suffix of column names"),
        Column::optional(
            "recomputed",
            Holds::Text,
            "what was recomputed: a number where the unit is given, a count, or words",
        ),
        Column::optional("recomputed_unit", Holds::Text, "its unit, a suffix of column names"),
        Column::optional(
            "against",
            Holds::Text,
            "what it was held against: the word limit or tolerance, and its name",
        ),
        Column::optional(
            "bound",
            Holds::Text,
            "the value of that limit or tolerance: a number, a count, or words",
        ),
        Column::optional("bound_unit", Holds::Text, "its unit, a suffix of column names"),
        Column::optional("bound_source", Holds::Text, "the document or rule that sets it"),
        Column::optional(
            "formula",
            Holds::Text,
            "the name of the formula, as data/format.txt explains it",
        ),
        Column::optional(
            "records",
            Holds::Text,
            "the records used, as file:line below data/records/, with ; between them",
        ),
        Column::optional("answer", Holds::Text, "a person's answer to what the finding says"),
        Column::optional("answered_by", Holds::Text, "who answered"),
        Column::optional("answered_on", Holds::Date, "the day of the answer"),
        Column::optional(
            "answered_when_it_said",
            Holds::Text,
            "what the finding said when it was answered, if the answer states it: outcome and figures",
        ),
        Column::optional(
            "earlier_answers",
            Holds::Text,
            "answers that were given when the finding said something else, with that; they do not answer it \
             as it is now",
        ),
        Column::optional(
            "weight",
            Holds::Word(&Weight::WORDS),
            "what it means where it does not agree: danger, it could sink the ship or hurt someone; steel, it leaves \
             steel unprotected; doubt, it makes the record doubtful; slip, a slip of the pen; written since 0.4.0",
        ),
        Column::optional(
            "for_next_time",
            Holds::Flag,
            "yes where the answer is meant for the next docking, too; written since 0.4.0",
        ),
        Column::optional(
            "as_planned",
            Holds::Flag,
            "yes where it is about what was planned, since nothing was recorded yet; written since 0.7.0",
        ),
    ];

    /// The findings of a docking as data.
    pub fn new(examined: &Examined, program: &str) -> Self {
        Self {
            format: FORMAT,
            program: program.to_string(),
            caution: Some(cautions::in_one()),
            ship: examined.project.docking.ship.name.clone(),
            counts: Counts {
                agrees: examined.count(Outcome::Agrees),
                differs: examined.count(Outcome::Differs),
                beyond_limit: examined.count(Outcome::BeyondLimit),
                not_recorded: examined.count(Outcome::NotRecorded),
                unanswered: examined.unanswered().count(),
            },
            findings: examined.findings.iter().map(finding).collect(),
            answers_without_finding: examined
                .without_finding
                .iter()
                .map(|answer| RemarkWithoutFinding {
                    finding: answer.finding.clone(),
                    remark: remark(answer),
                    place: place(&answer.place),
                })
                .collect(),
        }
    }

    /// As CSV: one row a finding, figures as text with their units in columns of their own, and texts made
    /// [`harmless`], as [`for_spreadsheets`].
    pub fn to_csv(&self) -> Result<Vec<u8>, csv::Error> {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(Self::CSV_COLUMNS.map(|column| column.name))?;
        for finding in &self.findings {
            let (recorded, recorded_unit) = parts(finding.recorded.as_ref());
            let (recomputed, recomputed_unit) = parts(finding.recomputed.as_ref());
            let against = finding.against.as_ref();
            let (bound, bound_unit) = parts(against.map(|against| &against.value));
            let records: Vec<String> = finding
                .records
                .iter()
                .map(|place| match place.line {
                    Some(line) => format!("{}:{line}", place.file),
                    None => place.file.clone(),
                })
                .collect();
            let remark = finding.remark.as_ref();
            let answered = remark.and_then(|remark| remark.answered.as_ref());
            let earlier: Vec<String> = finding.earlier_remarks.iter().map(on_a_line).collect();
            let remark_part = |part: fn(&RemarkWritten) -> &str| remark.map_or("", part);
            out.write_record([
                harmless(&finding.id).as_str(),
                &finding.outcome,
                &harmless(&finding.sentence),
                &recorded,
                recorded_unit,
                &recomputed,
                recomputed_unit,
                &against.map_or(String::new(), |a| format!("{} {}", a.sort, a.name)),
                &bound,
                bound_unit,
                &harmless(against.map_or("", |against| against.source.as_str())),
                finding.formula.as_deref().unwrap_or_default(),
                &harmless(&records.join(";")),
                &harmless(remark_part(|remark| &remark.answer)),
                &harmless(remark_part(|remark| &remark.by)),
                remark_part(|remark| &remark.on),
                &harmless(&answered.map(AnsweredWritten::in_words).unwrap_or_default()),
                &harmless(&earlier.join("; ")),
                finding.weight.as_deref().unwrap_or_default(),
                if remark.is_some_and(|remark| remark.for_next_time) { "yes" } else { "" },
                if finding.as_planned { "yes" } else { "" },
            ])?;
        }
        out.into_inner().map(for_spreadsheets).map_err(|error| error.into_error().into())
    }

    /// As JSON, indented, with a line's end at its end.
    pub fn to_json(&self) -> Result<Vec<u8>, serde_json::Error> {
        let mut bytes = serde_json::to_vec_pretty(self)?;
        bytes.push(b'\n');
        Ok(bytes)
    }
}

/// A figure's cell, and that of its unit. Only words are text: a number may begin with its sign.
fn parts(figure: Option<&FigureWritten>) -> (String, &str) {
    match figure {
        None => (String::new(), ""),
        Some(FigureWritten::Measure { value, unit }) => (value.to_string(), unit),
        Some(FigureWritten::Count { count }) => (count.to_string(), ""),
        Some(FigureWritten::Words { words }) => (harmless(words), ""),
    }
}

/// A finding as data.
pub fn finding(finding: &Finding) -> FindingWritten {
    FindingWritten {
        id: finding.id.clone(),
        outcome: finding.outcome.words().to_string(),
        weight: finding.weight().map(|weight| weight.word().to_string()),
        as_planned: finding.as_planned,
        sentence: finding.sentence.to_string(),
        recorded: finding.recorded.as_ref().map(figure),
        recomputed: finding.recomputed.as_ref().map(figure),
        against: finding.against.as_ref().map(|against| AgainstWritten {
            sort: match against.sort {
                Sort::Limit => "limit".to_string(),
                Sort::Tolerance => "tolerance".to_string(),
            },
            name: against.name.clone(),
            value: figure(&against.value),
            source: against.source.clone(),
        }),
        formula: finding.formula.map(|formula| formula.name.to_string()),
        records: finding.records.iter().map(place).collect(),
        cause: finding.cause.as_ref().map(|cause| CauseWritten {
            record: place(&cause.place),
            sentence: cause.sentence.to_string(),
        }),
        remark: finding.remark.as_deref().map(remark),
        earlier_remarks: finding.earlier.iter().map(remark).collect(),
    }
}

fn remark(remark: &Remark) -> RemarkWritten {
    RemarkWritten {
        answer: remark.answer.clone(),
        by: remark.by.clone(),
        on: remark.on.to_string(),
        answered: remark.then.as_ref().map(|then| AnsweredWritten {
            outcome: then.outcome.clone(),
            recorded: then.recorded.clone(),
            recomputed: then.recomputed.clone(),
            limit: then.limit.clone(),
        }),
        for_next_time: remark.for_next_time,
    }
}

impl AnsweredWritten {
    fn in_words(&self) -> String {
        let then = Then {
            outcome: self.outcome.clone(),
            recorded: self.recorded.clone(),
            recomputed: self.recomputed.clone(),
            limit: self.limit.clone(),
        };
        describe(&then)
    }
}

/// An earlier answer as one text.
fn on_a_line(remark: &RemarkWritten) -> String {
    let RemarkWritten { answer, by, on, answered, .. } = remark;
    let when = match answered {
        Some(answered) => format!("given when it said {}", answered.in_words()),
        None => "given without saying what it answered".to_string(),
    };
    format!("{when}: {answer} ({by}, {on})")
}

fn figure(figure: &Figure) -> FigureWritten {
    match figure {
        // The number as it is printed, so that the last bits of a machine's arithmetic stay out.
        Figure::Measure(measure) => FigureWritten::Measure {
            value: figure.plain().parse().unwrap_or(measure.kept),
            unit: figure.unit().unwrap_or_default().to_string(),
        },
        Figure::Count(count) => FigureWritten::Count { count: *count },
        Figure::Words(words) => FigureWritten::Words { words: words.to_string() },
    }
}

/// A place as data.
pub fn place(place: &Place) -> PlaceWritten {
    PlaceWritten {
        file: place.file.to_string(),
        line: place.line,
        column: place.column,
        name: place.name.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_the_schema_are_those_of_the_outcomes() {
        let mut words = Outcome::ALL.map(Outcome::words);
        let mut listed = OUTCOMES;
        words.sort_unstable();
        listed.sort_unstable();
        assert_eq!(words, listed);
    }
}
