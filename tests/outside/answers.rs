//! The questions of a reader without the program, answered by `answers.sh` from a bundle with coreutils,
//! unzip and awk alone, against what the program says.

use std::fs;
use std::path::Path;

use crate::common::{NAME, Said, closed, copy, lastdock, run, sample, temporary};
use crate::judge::{content, on_path};

fn script(zip: &Path) -> std::process::Command {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/answers.sh");
    let mut command = on_path("sh");
    command.arg(script).arg(zip).arg("P2");
    command
}

/// The lines that answer a question, without their indent.
fn answer(said: &Said, question: &str) -> Vec<String> {
    let lines = said.out.lines().skip_while(|line| !line.starts_with(question)).skip(1);
    let lines = lines.take_while(|line| line.starts_with("  "));
    let found: Vec<String> = lines.map(|line| line.trim().to_string()).collect();
    assert!(!found.is_empty(), "no answer to {question:?} in\n{}", said.out);
    found
}

#[test]
#[ignore = "needs Info-ZIP unzip, see tests/outside/README.md"]
fn a_shell_answers_as_the_program_does() {
    let said = content(&mut script(&closed().zip));
    let sample = sample();
    let check = lastdock(["check", "--json", sample.to_str().expect("UTF-8")]).exits(0).json();
    let findings = check["findings"].as_array().expect("findings");
    let number = |finding: &serde_json::Value| finding["recomputed"]["value"].as_f64();

    let verify =
        lastdock(["verify", "--json", closed().zip.to_str().expect("UTF-8")]).exits(0).json();
    assert_eq!(answer(&said, "Is it whole?"), ["yes"]);
    assert_eq!(verify[0]["whole"], true);

    let blocks = fs::read_to_string(sample.join("plan/blocks.csv")).expect("the blocks");
    let keel = blocks.lines().filter(|line| line.split(',').nth(1) == Some("keel")).count();
    assert_eq!(answer(&said, "How many keel blocks?"), [keel.to_string()]);

    let never = findings.iter().find(|f| f["id"] == "exposure.never_exposed").expect("the finding");
    let answered = answer(&said, "What was never exposed");
    let area = number(never).expect("an area");
    let sum = answered.last().expect("a sum");
    assert!(sum.starts_with(&format!("together {area:.3} m2 in {}", answered.len() - 1)), "{sum}");
    let sentence = never["sentence"].as_str().expect("a sentence");
    assert!(sentence.contains(&format!("in {} piece", answered.len() - 1)), "{sentence}");

    let nearest = findings
        .iter()
        .filter(|finding| finding["id"].as_str().is_some_and(|id| id.ends_with(".P2.clearance")))
        .filter_map(|finding| Some((number(finding)?, finding)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let (distance, nearest) = nearest.expect("an opening");
    let id = nearest["id"].as_str().and_then(|id| id.split('.').nth(1)).expect("its id");
    let answered = answer(&said, "Which opening was nearest").join(" ");
    assert!(answered.starts_with(&format!("{id}, {distance:.3} m from ")), "{answered}");
    let block = answered.rsplit(' ').next().expect("a block");
    assert!(
        nearest["sentence"].as_str().is_some_and(|s| s.contains(&format!(" {block} "))),
        "{block}"
    );

    let seal = fs::read_to_string(&closed().seal_file).expect("the seal");
    assert_eq!(answer(&said, "What is the seal?"), [seal.lines().next().expect("the seal")]);
    assert_eq!(
        verify[0]["seal"].as_str().expect("a seal").replace(' ', ""),
        seal.lines().next().expect("a seal").replace(' ', "")
    );
}

#[test]
#[ignore = "needs Info-ZIP zip and unzip, see tests/outside/README.md"]
fn a_shell_says_that_a_changed_bundle_is_not_whole() {
    let folder = temporary();
    copy(&closed().folder, &folder.path().join(NAME));
    let place = folder.path().join(NAME).join("data/papers/added.txt");
    fs::write(place, "added").expect("to add it");
    let zip = folder.path().join("changed.zip");
    content(on_path("zip").current_dir(folder.path()).args(["-q", "-0", "-r"]).arg(&zip).arg(NAME));
    let said = run(&mut script(&zip)).exits(0);
    assert_eq!(answer(&said, "Is it whole?"), ["no"]);
}
