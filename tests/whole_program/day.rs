//! The page of the day that `check` begins with, and what is open of one person.

use crate::common::{Project, Said, lastdock, program, run, sample, squeezed};

fn check(project: &std::path::Path, options: &[&str]) -> Said {
    run(program().arg("check").arg(project).args(options))
}

/// The sample, as it was before it was closed out.
fn open_project() -> Project {
    let project = Project::copied();
    let text = project.text("docking.toml");
    let from = text.find("[closeout]").expect("how it was closed");
    let to = text[from + 1..].find("\n[").map_or(text.len(), |to| from + 1 + to + 1);
    project.write("docking.toml", format!("{}{}", &text[..from], &text[to..]));
    project
}

/// The lines of a part, without those of the next.
fn part(out: &str, title: &str) -> String {
    let lines = out.lines().skip_while(|line| line.trim() != title).skip(1);
    let rest: Vec<&str> = lines.skip_while(|line| line.trim().is_empty()).collect();
    let end = rest.iter().position(|line| line.trim().is_empty()).unwrap_or(rest.len());
    rest[..end].join("\n")
}

/// By hand from the sample's records, on 25 April at 15:00. BP has its second coat, EP2, of 24 April from 11:10 to
/// 13:20; the steel was read from 7.6 to 13.0 degC since, so that of the table of EP2 under TC3 the rows from 5 to 15
/// count: 16 h at the least after 13:20, 48 h at the greatest after 11:10. KL and BS have their third, TC3, with 48 h to
/// immersion; EP2 has 96 h, and BP's of 24 April 13:20 is the last to be ready, on 28 April.
#[test]
fn a_moment_of_the_sample_by_hand() {
    let said = check(&sample(), &["--as-of", "2031-04-25T15:00"]);
    assert!(said.out.contains("The day, as of 2031-04-25 15:00 +01:00"), "{}", said.out);
    let openings = part(&said.out, "Openings that are open");
    for opening in ["SC1", "SC2", "DP2", "DP6"] {
        assert!(openings.contains(opening), "{opening} is not in\n{openings}");
    }
    assert!(!openings.contains("SC3") && !openings.contains("IN1"), "{openings}");
    assert!(openings.contains("Bettany Skaive"), "{openings}");
    let water = part(&said.out, "Water not before");
    assert!(water.contains("2031-04-28 13:20") && water.contains("BP.coat2.patches-P2"), "{water}");
    assert!(said.squeezed().contains("isforthedockmaster"), "{}", said.out);
    let windows = part(&said.out, "Recoat windows, the next to close first");
    let first = windows.lines().find(|line| line.contains(".coat")).expect("a coat");
    assert!(first.contains("BP.coat2.patches-P2") && first.contains("3 TC3"), "{windows}");
    assert!(first.contains("2031-04-25 05:20") && first.contains("2031-04-26 11:10"), "{windows}");
    assert!(first.contains("7.6 to 13.0"), "{windows}");
    // What happened later is not told: BP's third coat of the 27th.
    assert!(!windows.contains("BP.coat3") && !water.contains("coat3"), "{windows}\n{water}");
}

/// A day alone is its whole; the records' own clock counts.
#[test]
fn a_day_is_taken_to_its_end() {
    let day = check(&sample(), &["--as-of", "2031-04-25"]);
    let last = check(&sample(), &["--as-of", "2031-04-25T23:59:59+01:00"]);
    assert_eq!(day.out, last.out);
    assert_eq!(check(&sample(), &["--as-of", "2031-04-25T22:59:59Z"]).out.len(), day.out.len());
}

/// Until the record is closed the latest time of the records is taken, never the clock; papers may be younger.
#[test]
fn without_a_time_it_is_the_latest_of_the_records() {
    let project = open_project();
    let said = check(&project.root(), &[]);
    assert!(said.squeezed().contains("Thelatesttimeintherecords,at"), "{}", said.out);
    assert!(!check(&sample(), &[]).squeezed().contains("Thelatesttimeintherecords"));
    assert!(part(&said.out, "Water not before").contains("the dock is not dry"), "{}", said.out);
}

/// The clocks put back at 1:00 on 25 April: the moment is told by the clock in force then, and the hour that came twice
/// is asked about.
#[test]
fn the_moment_is_by_the_clock_that_was_in_force() {
    let project = Project::copied();
    let changed = "offset = \"+01:00\"\n\n[[period.offsets]]\nfrom = \"2031-04-25 01:00\"\noffset = \"+00:00\"\n";
    project.edit("docking.toml", "offset = \"+01:00\"\n", changed);
    let as_of = |time: &str| check(&project.root(), &["--as-of", time]);
    assert!(as_of("2031-04-25T15:00").out.contains("The day, as of 2031-04-25 15:00 +00:00"));
    assert!(as_of("2031-04-24T15:00").out.contains("The day, as of 2031-04-24 15:00 +01:00"));
    let asked = as_of("2031-04-25T00:30").exits(1);
    for said in ["came twice", "2031-04-25T00:30:00+01:00 if", "2031-04-25T00:30:00+00:00 if"] {
        assert!(asked.squeezed().contains(&squeezed(said)), "{said}: {}", asked.err);
    }
}

#[test]
fn a_time_that_is_none_is_refused() {
    let said = check(&sample(), &["--as-of", "next Monday"]);
    assert_eq!(said.status, 1);
    assert!(said.err.contains("--as-of") && said.err.contains("do: "), "{}", said.err);
    check(&sample(), &["--as-of", "2031-04-25", "--json"]).exits(2);
}

#[test]
fn one_persons_open_points() {
    let project = open_project();
    project.edit_cell("plan/opened.csv", "SC2", "closed_at", "");
    let said = check(&project.root(), &["--by", "bettany skaive"]).exits(3);
    let openings = part(&said.out, "Openings opened and not closed");
    assert!(openings.contains("SC2") && !openings.contains("SC1"), "{}", said.out);
    let other = check(&project.root(), &["--by", "Jory Asterby"]);
    let openings = part(&other.out, "Openings opened and not closed");
    assert!(openings.contains("Others may be open."), "{}", other.out);
    let nobody = check(&project.root(), &["--by", "Nobody Known"]);
    assert_eq!(nobody.status, 1);
    assert!(nobody.squeezed().contains("BettanySkaive"), "{}", nobody.err);
    let page = project.out().with_file_name("page.html");
    lastdock(["page".as_ref(), project.root().as_os_str(), "--out".as_ref(), page.as_os_str()])
        .exits(0);
    let html = std::fs::read_to_string(page).expect("the page");
    let day = html.find("id=\"day\"").expect("the day's section");
    assert!(day < html.find("id=\"glance\"").expect("what is asked first"));
    assert!(day < html.find("id=\"open\"").expect("what is open"));
}
