//! Landing records that are wrong or missing: a clear error, or a finding that says so; never a figure that
//! is none.

use crate::common::{self, Project, Said, program, run};

const WEIGHTS: &str = "landing/weights.csv";
const HYDROSTATICS: &str = "landing/hydrostatics.csv";

fn check(project: &Project) -> Said {
    let said = run(program().args(["check", "--all"]).arg(project.root()));
    for word in ["NaN", " inf ", " inf,"] {
        assert!(!said.out.contains(word), "{word} in {}", said.out);
    }
    said
}

/// The outcome of a finding, as printed.
fn outcome(said: &Said, id: &str) -> String {
    let line = said.out.lines().find(|line| line.trim_end().ends_with(id));
    let line = line.unwrap_or_else(|| panic!("no {id} in {}", said.out));
    line.trim().trim_end_matches(id).trim().to_string()
}

/// Takes away the answers to findings of the drafts before the first landing, which are to be gone.
fn without_their_answers(project: &Project) {
    let remarks = project.text("remarks.toml");
    let of_drafts = |remark: &&str| remark.contains("\"landing.P1.before-landing");
    let kept: Vec<&str> = remarks.split("[[remark]]").filter(|remark| !of_drafts(remark)).collect();
    project.write("remarks.toml", kept.join("[[remark]]"));
}

fn refused(project: &Project, wanted: &[&str]) {
    let said = check(project);
    assert_eq!(said.status, 1, "{}{}", said.out, said.err);
    for words in wanted {
        assert!(
            common::squeezed(&said.out).contains(&common::squeezed(words)),
            "{words}: {}",
            said.out
        );
    }
}

#[test]
fn a_hydrostatic_table_out_of_order_is_an_error() {
    let project = Project::copied();
    let text = project.text(HYDROSTATICS);
    let mut lines: Vec<&str> = text.lines().collect();
    lines.swap(3, 4);
    project.write(HYDROSTATICS, lines.join("\n"));
    refused(&project, &["landing/hydrostatics.csv:5", "draft is not greater", "in order of draft"]);
}

#[test]
fn a_displacement_that_does_not_grow_is_an_error() {
    let project = Project::copied();
    project.edit_cell(HYDROSTATICS, "2.50", "displacement_t", "1600");
    refused(&project, &["landing/hydrostatics.csv:3", "displacement is not greater"]);
}

#[test]
fn a_gap_at_a_block_that_is_not_there_is_an_error() {
    let project = Project::copied();
    project.append("landing/gaps.csv", "P1,K99,3,,Nan Corrisk,2031-04-07T13:20:00+01:00,\n");
    refused(&project, &["K99", "is not a block of this project"]);
}

#[test]
fn no_stiffness_and_a_centre_outside_the_middle_third_are_errors() {
    let project = Project::copied();
    project.edit_cell("landing/stiffness.csv", "6.0", "second_moment_m4", "0");
    project.edit_cell(WEIGHTS, "3.75", "centre_x_m", "6.80");
    refused(
        &project,
        &[
            "landing/stiffness.csv:3:3",
            "a number greater than 0",
            "landing/weights.csv:3:4",
            "middle third",
            "divide the length in two",
        ],
    );
}

#[test]
fn a_weight_curve_that_is_not_the_displacement_is_a_finding_with_both_values() {
    let project = Project::copied();
    project.append(WEIGHTS, "50,60,200,55,\n");
    let said = check(&project);
    assert_eq!(said.status, 3);
    assert_eq!(outcome(&said, "landing.weights.total"), "differs");
    let squeezed = common::squeezed(&said.out);
    assert!(squeezed.contains("recorded3376.20t,recomputed3182."), "{}", said.out);
}

#[test]
fn without_kg_nothing_is_said_of_gm() {
    let project = Project::copied();
    project.edit("docking.toml", "kg_m = 5.93", "");
    let said = check(&project);
    assert_eq!(outcome(&said, "landing.P1.gm"), "not recorded");
    assert_eq!(outcome(&said, "landing.P1.nil_gm"), "not recorded");
    assert!(said.out.contains("neither KG nor GM was recorded"), "{}", said.out);
    assert_eq!(outcome(&said, "landing.P1.trim"), "agrees");
}

#[test]
fn a_ship_without_gm_is_beyond_the_limit() {
    let project = Project::copied();
    project.edit("docking.toml", "kg_m = 5.93", "kg_m = 6.9");
    let said = check(&project);
    assert_eq!(outcome(&said, "landing.P1.gm"), "beyond limit");
    assert_eq!(outcome(&said, "landing.P1.nil_gm"), "beyond limit");
    assert!(said.out.contains("GM is nil or less in P1 before she touches."), "{}", said.out);
}

#[test]
fn a_keel_that_touches_nowhere_is_not_recorded() {
    let project = Project::copied();
    let blocks = project.text("plan/blocks.csv").replace(",keel,", ",other,");
    project.write("plan/blocks.csv", blocks);
    let said = check(&project);
    for id in ["landing.P1.knuckle", "landing.P1.trim", "landing.P1.loads.balance"] {
        assert_eq!(outcome(&said, id), "not recorded", "{id}");
    }
}

#[test]
fn drafts_outside_the_table_are_never_extrapolated() {
    let project = Project::copied();
    let text = project.text(HYDROSTATICS);
    // Only drafts up to 4.2 m are left: the half metre above the mean is outside.
    let kept: Vec<&str> = text.lines().take(1 + 19).collect();
    project.write(HYDROSTATICS, kept.join("\n"));
    let said = check(&project);
    assert_eq!(outcome(&said, "landing.arrival.displacement"), "not recorded");
    assert!(common::squeezed(&said.out).contains("nothingisreadbeyondit"), "{}", said.out);
}

#[test]
fn without_any_landing_record_the_rest_stands() {
    let project = Project::copied();
    std::fs::remove_dir_all(project.path("landing")).expect("the folder");
    project.remove("plan/layers.csv");
    project.remove("plan/keel.csv");
    let remarks = project.text("remarks.toml");
    let kept: Vec<&str> =
        remarks.split("[[remark]]").filter(|remark| !remark.contains("\"landing.")).collect();
    project.write("remarks.toml", kept.join("[[remark]]"));
    let said = check(&project);
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
    let is_finding =
        |line: &str| line.split_whitespace().last().is_some_and(|id| id.starts_with("landing."));
    assert!(!said.out.lines().any(is_finding), "{}", said.out);
    let said = common::closeout(&project.root(), &project.out());
    assert_eq!(said.status, 0, "{}{}", said.out, said.err);
}

/// A block amidships that stands proud by more than the trim: she turns about it with her stern coming down,
/// away from the line of the blocks, until she meets one abaft.
#[test]
fn about_a_knuckle_forward_of_the_lcf_her_stern_comes_down() {
    let project = Project::copied();
    project.edit_cell("plan/blocks.csv", "K33", "top_level_m", "-3.067");
    let examined = common::examined(&project.root());
    let sentence = |id: &str| {
        let found = examined.findings.iter().find(|finding| finding.id == id);
        found.unwrap_or_else(|| panic!("no {id}")).sentence.clone()
    };
    assert!(sentence("landing.P1.knuckle").contains("touched first at K33"));
    let load = sentence("landing.P1.knuckle_load");
    assert!(!load.contains("hydrostatic table"), "{load}");
    let landing = &examined.recomputed.landings[0];
    let critical = landing.critical.expect("a critical instant");
    let afloat = landing.afloat.as_ref().expect("afloat");
    assert!(critical.trim_m > afloat.trim_m && critical.upthrust_t > 0.0, "{critical:?}");
    let second = landing.second.expect("a second touch");
    assert!(landing.seats[second.seat].1.x_m < 40.0, "{second:?}");
    assert!(sentence("landing.P1.second_touch").contains("past the line of the blocks"));
}

#[test]
fn what_is_missing_is_named_for_each_figure() {
    // No KG: that has nothing to do with the load on the knuckle, which needs the table to reach low enough.
    let project = Project::copied();
    project.edit("docking.toml", "kg_m = 5.93", "");
    let text = project.text(HYDROSTATICS);
    let (head, rows) = text.split_once('\n').expect("rows");
    let kept: Vec<&str> = rows.lines().filter(|row| *row >= "3.40").collect();
    project.write(HYDROSTATICS, format!("{head}\n{}\n", kept.join("\n")));
    project.edit_cell("plan/blocks.csv", "K33", "top_level_m", "-2.067");
    let said = check(&project);
    let squeezed = common::squeezed(&said.out);
    let wanted =
        "TheloadontheknuckleblockatthecriticalinstantinP1can'tbechecked:thehydrostatictableends";
    assert!(squeezed.contains(wanted), "{}", said.out);
    let wanted = "TheleastGMatthecriticalinstantinP1can'tbechecked:neitherKGnorGM";
    assert!(squeezed.contains(wanted), "{}", said.out);
    // Marks on one side: no list, though there is a displacement.
    let project = Project::copied();
    let port: String = project
        .text("landing/drafts.csv")
        .lines()
        .filter(|row| !row.starts_with("P1,before-landing") || !row.contains(",-"))
        .map(|row| format!("{row}\n"))
        .collect();
    project.write("landing/drafts.csv", port);
    without_their_answers(&project);
    let said = check(&project);
    let wanted = "ThelistbeforelandinginP1can'tbechecked:beforelandingnomarkwasreadonbothsides";
    assert!(common::squeezed(&said.out).contains(wanted), "{}", said.out);
}

#[test]
fn a_gap_measured_with_no_water_over_the_floor_is_one_measured_dry() {
    let project = Project::copied();
    let mut dry = 0;
    let text: String = project
        .text("landing/gaps.csv")
        .lines()
        .map(|row| {
            let cells: Vec<&str> = row.split(',').collect();
            if cells[0] != "P1" || !cells[3].is_empty() {
                return format!("{row}\n");
            }
            dry += 1;
            let mut cells = cells;
            cells[3] = "0";
            format!("{}\n", cells.join(","))
        })
        .collect();
    assert!(dry > 5);
    let before = common::examined(&project.root());
    project.write("landing/gaps.csv", text);
    let after = common::examined(&project.root());
    let gaps = |examined: &lastdock::findings::Examined| -> Vec<_> {
        let of_p1 = examined.findings.iter().filter(|f| f.id.starts_with("landing.P1.gap."));
        of_p1.map(|f| (f.id.clone(), f.outcome, f.recomputed.clone())).collect()
    };
    assert_eq!(gaps(&before), gaps(&after));
}

#[test]
fn the_reason_why_a_gap_cant_be_predicted_is_given() {
    // Without a curve of buoyancy and without drafts the lift of the water is not known.
    let project = Project::copied();
    project.remove("landing/buoyancy.csv");
    let rows: String = project
        .text("landing/drafts.csv")
        .lines()
        .filter(|row| !row.starts_with("P1,before-landing"))
        .map(|row| format!("{row}\n"))
        .collect();
    project.write("landing/drafts.csv", rows);
    without_their_answers(&project);
    let said = check(&project);
    let squeezed = common::squeezed(&said.out);
    let wanted = "nocurveofbuoyancywasrecorded,andthedraftsbeforelandinggivenodisplacement";
    assert!(squeezed.contains(wanted), "{}", said.out);
    assert!(!squeezed.contains("orthebuoyancyisnotknown"), "{}", said.out);
    // With so much water that she floats nothing rests on a block.
    let project = Project::copied();
    project.append("landing/gaps.csv", "P1,K3,5,6.20,Nan Corrisk,2031-04-07T13:20:00+01:00,\n");
    let said = check(&project);
    assert!(common::squeezed(&said.out).contains("withsomuchwatershefloats"), "{}", said.out);
}

/// Nothing was known before the drafts on arrival: a finding would be an assurance without a check.
#[test]
fn the_first_displacement_is_held_against_nothing() {
    let said = check(&Project::copied());
    let ids = || said.out.lines().filter_map(|line| line.split_whitespace().last());
    assert!(!ids().any(|id| id == "landing.arrival.displacement"), "{}", said.out);
    assert!(ids().any(|id| id == "landing.P1.before-landing.displacement"), "{}", said.out);
}

#[test]
fn a_divers_block_check_counts_as_contact_where_its_figure_is_nil() {
    const CHECKS: &str = "landing/checks.csv";
    let outcome_after = |gap: &str| {
        let project = Project::copied();
        let text = project.text(CHECKS);
        let first = text.lines().find(|line| line.starts_with("P1,diver-contact,K1,"));
        let first = first.expect("the check of K1 in P1");
        assert_eq!(first.matches(",0.000,0.000,").count(), 1, "{first}");
        project.edit(CHECKS, first, &first.replace(",0.000,0.000,", &format!(",0.000,{gap},")));
        let said = check(&project);
        (outcome(&said, "landing.P1.knuckle"), common::squeezed(&said.out))
    };
    assert_eq!(outcome_after("0.000").0, "agrees");
    let (found, out) = outcome_after("0.005");
    assert_eq!(found, "differs");
    assert!(out.contains("whereadivers'blockcheckfoundagapof0.005m"), "{out}");
    let (found, out) = outcome_after("");
    assert_eq!(found, "not recorded");
    assert!(out.contains("isrecordedinwordsalone"), "{out}");
}

#[test]
fn one_event_of_the_water_log_follows_nothing() {
    const LOG: &str = "landing/water.csv";
    let project = Project::copied();
    let header = project.text(LOG).lines().next().expect("a header").to_string();
    let text = project.text(LOG);
    let of_p2 = text.lines().filter(|line| line.starts_with("P2,") && line.contains("lift-off"));
    let rest = text.lines().skip(1).filter(|line| line.starts_with("P1,"));
    let kept: Vec<&str> = std::iter::once(&*header).chain(rest).chain(of_p2).collect();
    assert!(kept.iter().any(|line| line.starts_with("P2,")));
    project.write(LOG, kept.join("\n"));
    let said = check(&project);
    assert_eq!(outcome(&said, "landing.P2.water_events"), "not recorded");
}
