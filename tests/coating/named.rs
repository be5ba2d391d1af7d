//! What findings call an application, a batch and a gauge: names that do not slide, and names that nearly match.

use std::collections::BTreeMap;

use lastdock::findings::finding::Outcome;

use super::read;
use crate::common::Project;

const COATS: &str = "coating/coats.csv";
const KL_COAT_2: &str = "KL,exposed,2,EP2,EP2-1008,2031-04-14T14:20:00";

/// A copy without remarks: an edit may take away what one answers.
fn copied() -> Project {
    let project = Project::copied();
    project.write("remarks.toml", "");
    project
}

/// Outcome and sentence of every finding, by its id.
fn findings(project: &Project) -> BTreeMap<String, (Outcome, String)> {
    let examined = read(&project.root());
    let findings = examined.findings.into_iter();
    findings.map(|finding| (finding.id, (finding.outcome, finding.sentence.to_string()))).collect()
}

#[test]
fn a_forgotten_row_added_above_leaves_every_other_finding_of_applications_where_it_was() {
    let project = copied();
    let before = findings(&project);
    let text = project.text(COATS);
    let (head, rest) = text.split_once('\n').expect("a header");
    let forgotten =
        "BS,RING1,4,AF4,AF4-0211,2031-04-19T11:10:00,2031-04-19T11:20:00,0.5,200,,,,,,,,,,";
    project.write(COATS, format!("{head}\n{forgotten}\n{rest}"));
    let after = findings(&project);
    let of_claims = |id: &&String| id.starts_with("coating.") && id.ends_with(".claim");
    assert!(before.keys().filter(of_claims).count() > 30);
    for id in before.keys().filter(of_claims) {
        assert_eq!(after.get(id), before.get(id), "{id}");
    }
    assert!(after.contains_key("coating.BS.coat4.RING1-P1.claim"));
}

#[test]
fn the_order_of_rows_is_of_no_account() {
    let project = copied();
    let before = findings(&project);
    for file in [COATS, "coating/preparation.csv", "coating/film.csv", "coating/gauges.csv"] {
        let text = project.text(file);
        let (head, rest) = text.split_once('\n').expect("a header");
        let backward: Vec<&str> = rest.lines().rev().collect();
        project.write(file, format!("{head}\n{}\n", backward.join("\n")));
    }
    let after = findings(&project);
    let outcomes = |found: &BTreeMap<String, (Outcome, String)>| -> Vec<(String, Outcome)> {
        found.iter().map(|(id, (outcome, _))| (id.clone(), *outcome)).collect()
    };
    assert_eq!(outcomes(&after), outcomes(&before));
}

#[test]
fn an_application_with_an_id_of_its_own_is_called_by_it_whatever_else_is_corrected() {
    let project = copied();
    let rows: Vec<String> = project.text(COATS).lines().map(str::to_string).collect();
    let with_id = |(n, row): (usize, &String)| match n {
        0 => format!("application,{row}"),
        _ if row.starts_with(KL_COAT_2) => format!("T-12,{row}"),
        _ => format!(",{row}"),
    };
    let named: Vec<String> = rows.iter().enumerate().map(with_id).collect();
    project.write(COATS, named.join("\n") + "\n");
    let found = findings(&project);
    assert_eq!(found["coating.T-12.claim"].0, Outcome::Agrees);
    assert!(found.contains_key("coating.T-12.climate.margin"));
    assert!(found.contains_key("coating.KL.coat3.exposed-P1.recoat.T-12"));
    assert!(!found.keys().any(|id| id.starts_with("coating.KL.coat2.exposed-P1")));
    project.edit(
        COATS,
        "T-12,KL,exposed,2,EP2,EP2-1008,2031-04-14T14:20:00",
        "T-12,KL,all,2,EP2,EP2-1008,2031-04-14T14:40:00",
    );
    assert_eq!(findings(&project)["coating.T-12.claim"].0, Outcome::Differs);
}

#[test]
fn two_applications_of_one_id_are_a_problem() {
    let project = copied();
    let text = project.text(COATS);
    let rows = text.lines().enumerate();
    let named = rows.map(|(n, row)| format!("{},{row}", if n == 0 { "application" } else { "T1" }));
    project.write(COATS, named.collect::<Vec<_>>().join("\n") + "\n");
    let said = crate::common::run(crate::common::program().arg("check").arg(project.root()));
    let said = said.exits(1).squeezed();
    assert!(said.contains("isalreadythenameoftheapplicationat"), "{said}");
}

#[test]
fn a_batch_that_nearly_has_a_known_number_is_named() {
    for (written, outcome, says) in [
        ("ep1-0917", Outcome::Differs, "EP1-0917 is, and differs from it in capitals"),
        ("EP1-O917", Outcome::Differs, "EP1-0917 is, and differs from it in capitals"),
        ("EP1-0971", Outcome::NotRecorded, "EP1-0917, which has nearly the same number"),
        ("QQ-7", Outcome::NotRecorded, "When batch QQ-7"),
    ] {
        let project = copied();
        project.edit(COATS, "KL,exposed,1,EP1,EP1-0917", &format!("KL,exposed,1,EP1,{written}"));
        let found = findings(&project);
        let (was, sentence) = &found["coating.KL.coat1.exposed-P1.batch"];
        assert_eq!(*was, outcome, "{written}: {sentence}");
        assert!(sentence.contains(says), "{written}: {sentence}");
        assert!(!sentence.contains("EP1-1104"), "{written}: {sentence}");
    }
}

#[test]
fn a_gauge_that_is_nearly_called_as_a_known_one_is_named() {
    let project = copied();
    let text = project.text("coating/film.csv");
    let first = text.lines().nth(1).expect("a reading");
    project.edit(
        "coating/film.csv",
        &format!("{first}\n"),
        &format!("{}\n", first.replace(",DF1,", ",df1,")),
    );
    let found = findings(&project);
    let (outcome, sentence) = &found["film.gauge.df1.2031-04-11"];
    assert_eq!(*outcome, Outcome::Differs, "{sentence}");
    assert!(sentence.contains("DF1 was, and its name differs in capitals"), "{sentence}");
    // The reading's correction is not known then, and ISO 19840 judges none without.
    assert_eq!(found["film.KL.coat1"].0, Outcome::NotRecorded);
}
