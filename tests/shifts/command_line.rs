//! What the command line accepts, and what it refuses.

use super::invented::{Docking, number};
use crate::common::{lastdock, program, run, temporary};

#[test]
fn everything_that_is_not_known_is_said_at_once() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0, 7.3]);
    let asked = ["--before", "P9", "--after", "Q", "--leave-out", "K3,K111,X"];
    let said = docking.shifts(&asked).exits(1);
    assert!(said.out.is_empty(), "{}", said.out);
    for part in ["no position \"P9\"", "no position \"Q\"", "no block \"K111\"", "no block \"X\""] {
        assert!(said.err.contains(part), "{part}: {}", said.err);
    }
    // K1, K11 and K12 stand there; which of them K111 is, if any, nobody can tell.
    assert!(
        said.err.contains("do: name one of K1, K2") && !said.err.contains("do: write"),
        "{}",
        said.err
    );
    assert!(!said.err.contains("no block \"K3\""), "{}", said.err);
    let json = docking.shifts(&["--json", "--before", "P9", "--after", "Q"]).exits(1).json();
    assert_eq!(json["errors"].as_array().map(Vec::len), Some(2));
}

#[test]
fn a_position_without_blocks_is_refused() {
    let docking = Docking::new(0, 0.6, 1.4).lying(&[8.0, 7.3]);
    docking.append("plan/blocks.csv", "K1,keel,20,0,0.6,1.2,0,P2\n");
    let said = docking.shifts(&[]).exits(1);
    assert!(said.err.contains("no block that stands in position P1"), "{}", said.err);
}

#[test]
fn a_reach_has_a_unit() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    let json = docking.shifts(&["--json", "--reach", "7ft"]).exits(0).json();
    for way in 0..2 {
        assert!((number(&json["ways"][way]["to_m"]) - 2.1336).abs() < 1e-9);
        assert!((number(&json["ways"][way]["from_m"]) + 2.1336).abs() < 1e-9);
    }
    for wrong in ["2.1", "0m", "m", "2.1kg", "NaNm"] {
        docking.shifts(&["--reach", wrong]).exits(2);
    }
}

#[test]
fn what_is_no_docking_is_told() {
    let folder = temporary();
    let said = run(program().arg("shifts").arg(folder.path())).exits(1);
    assert!(said.err.contains("docking.toml"), "{}", said.err);
    let said = run(program().arg("shifts").arg(folder.path().join("none.zip"))).exits(1);
    assert!(said.out.is_empty() && !said.err.is_empty());
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    let nowhere = folder.path().join("none.zip");
    let said = docking.shifts(&["--past", nowhere.to_str().expect("a path in UTF-8")]).exits(1);
    assert!(said.out.is_empty() && said.err.contains("none.zip"), "{}", said.err);
}

#[test]
fn help_has_an_example_and_the_statuses() {
    let said = lastdock(["shifts", "--help"]).exits(0);
    assert!(said.out.contains("Example: lastdock shifts"), "{}", said.out);
    assert!(
        said.out.contains("Exit status:") && said.out.contains("no single shift does it"),
        "{}",
        said.out
    );
    lastdock(["shifts"]).exits(2);
}

#[test]
fn piped_output_has_no_colour() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    let said = docking.shifts(&[]).exits(0);
    assert!(!said.out.contains('\u{1b}') && said.err.is_empty(), "{}", said.err);
    assert!(said.out.lines().all(|line| line.chars().count() <= 100), "{}", said.out);
    let again = docking.shifts(&[]).exits(0);
    assert_eq!(said.out, again.out);
}
