//! `remarks.toml`: people's answers to findings.

use chrono::NaiveDate;

use super::keyed::{Keyed, KeyedSpec};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, Holds, Stands, TableSpec};

/// What `remarks.toml` holds.
pub const SPEC: KeyedSpec = KeyedSpec {
    path: "remarks.toml",
    example: include_str!("../../templates/example/remarks.toml"),
    top: TableSpec { name: "", meaning: "nothing", stands: Stands::Once, keys: &[] },
    tables: &[TableSpec {
        name: "remark",
        meaning: "an answer to a finding",
        stands: Stands::Often,
        keys: &[
            Column::always("finding", Holds::Text, "the finding's id"),
            Column::always("answer", Holds::Text, "the answer"),
            Column::always("by", Holds::Text, "who answers"),
            Column::always("on", Holds::Date, "the day of the answer"),
        ],
    }],
};

/// A person's answer to a finding.
#[derive(Debug, Clone)]
pub struct Remark {
    /// The finding's id.
    pub finding: String,
    /// The answer.
    pub answer: String,
    /// Who answers.
    pub by: String,
    /// The day of the answer.
    pub on: NaiveDate,
    /// Where it stands.
    pub place: Place,
}

impl Remark {
    pub(super) fn read_all(keyed: &Keyed, problems: &mut Problems) -> Vec<Self> {
        let mut remarks: Vec<Self> = Vec::new();
        for entry in keyed.all("remark") {
            let (Some(finding), Some(answer), Some(by), Some(on)) =
                (entry.text("finding"), entry.text("answer"), entry.text("by"), entry.date("on"))
            else {
                continue;
            };
            let place = entry.place_of("finding");
            if let Some(other) = remarks.iter().find(|other| other.finding == finding) {
                problems.add(
                    Problem::new(place.clone(), format!("is answered at {} too", other.place))
                        .value(finding.clone())
                        .expected("one remark to a finding")
                        .advice("put the two answers into one"),
                );
            }
            remarks.push(Self { finding, answer, by, on, place });
        }
        remarks
    }
}
