//! Texts that look like the typesetter's language, or that hardly any program sets well: whatever a person
//! writes down is text, in the report and in what the next docking is given.

use super::filled::{example, fill, texts};
use crate::common::{Project, closeout, lastdock, program, run, temporary, verify};

#[test]
fn the_sample_full_of_them_is_closed_out() {
    let project = Project::copied();
    let put = fill(&project.root(), &texts(), 3);
    assert!(put.len() > 150, "{}", put.len());
    // Names that nobody of the docking has wait for an answer, here and below.
    closeout(&project.root(), &project.out()).exits(3);
    verify(&project.out().join("calder-wren-2031.zip")).exits(0);
}

#[test]
fn texts_are_carried_to_the_next_docking() {
    carried([0]);
}

#[test]
#[ignore = "slow: .ci/run runs it"]
fn each_text_in_each_place_is_carried_to_the_next_docking() {
    carried((0..texts().len()).step_by(7));
}

/// Fills the example with texts, begins the next docking from it and compares both. Another text comes to each place
/// each time: the first of them to the first place.
fn carried(firsts: impl IntoIterator<Item = usize>) {
    let all = texts();
    for first in firsts {
        let turned: Vec<String> = all[first..].iter().chain(&all[..first]).cloned().collect();
        let keep = temporary();
        let (project, out) = (keep.path().join("project"), keep.path().join("out"));
        example(&project);
        fill(&project, &turned, usize::MAX);
        closeout(&project, &out).exits(3);
        let zip = out.join("fenwhin-2031.zip");
        verify(&zip).exits(0);
        for workbook in [&[][..], &["--workbook"]] {
            let next = keep.path().join(format!("next{}", workbook.len()));
            run(program().arg("start").arg(&next).arg("--from").arg(&zip).args(workbook)).exits(0);
            let said = run(program().args(["check", "--json"]).arg(&next));
            // What only the new docking can know is missing; what was carried must be read.
            let problems = said.json()["problems"].as_array().cloned().unwrap_or_default();
            let broken = problems.iter().filter(|problem| problem["wrong"] != "is empty");
            assert_eq!(broken.count(), 0, "{problems:#?}");
        }
        let compared = lastdock([
            "compare".as_ref(),
            zip.as_os_str(),
            project.as_os_str(),
            "--out".as_ref(),
            keep.path().join("compared.pdf").as_os_str(),
        ]);
        assert!([0, 3].contains(&compared.status), "{}{}", compared.out, compared.err);
        let orders = |c: char| c.is_control() && c != '\n';
        let check = lastdock(["check".as_ref(), project.as_os_str()]);
        for out in [&check.out, &compared.out] {
            let line = out.lines().find(|line| line.contains(orders));
            assert_eq!(line, None, "an order to the terminal");
        }
        lastdock([
            "forms".as_ref(),
            project.as_os_str(),
            "--out".as_ref(),
            keep.path().join("forms").as_os_str(),
        ])
        .exits(0);
    }
}
