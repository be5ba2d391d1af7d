//! What the command line accepts, and how the output looks where it goes.

use crate::common::{Project, closed, lastdock, program, run, sample};

#[test]
fn a_wrong_command_line_exits_with_2() {
    let sample = sample();
    let sample = sample.to_str().expect("a path in UTF-8");
    for arguments in [
        vec![],
        vec!["chekc", sample],
        vec!["check"],
        vec!["check", sample, "--replace"],
        vec!["closeout", sample, "--out"],
        vec!["verify"],
        vec!["verify", sample, "--seal", "0123"],
        vec!["verify", sample, "--seal", &"g".repeat(64)],
        vec!["verify", sample, sample, "--seal", &"0".repeat(64)],
    ] {
        let said = lastdock(&arguments).exits(2);
        assert!(said.out.is_empty() && !said.err.is_empty(), "{arguments:?}");
    }
}

#[test]
fn help_names_every_exit_status_and_the_caution() {
    let said = lastdock(["--help"]).exits(0);
    for line in ["0  all is well", "1  it could not be done", "2  the command line", "3  done, and"]
    {
        assert!(said.out.contains(line), "{line:?} is not in\n{}", said.out);
    }
    assert!(said.squeezed().contains("notapprovaltodock"), "{}", said.out);
    for command in ["start", "check", "closeout", "verify", "mend"] {
        let said = lastdock([command, "--help"]).exits(0);
        assert!(said.out.contains("Example: lastdock"), "{}", said.out);
    }
}

/// Every command whose output may be coloured.
fn coloured() -> Vec<Vec<String>> {
    let text = |path: &std::path::Path| path.to_str().expect("a path in UTF-8").to_string();
    vec![
        vec!["check".into(), "--all".into(), text(&sample())],
        vec!["verify".into(), text(&closed().zip)],
    ]
}

const ESCAPE: char = '\u{1b}';

#[test]
fn piped_output_has_no_colour_and_no_progress_bar() {
    for arguments in coloured() {
        let said = lastdock(&arguments).exits(0);
        assert!(!said.out.contains(ESCAPE) && !said.out.contains('\r'), "{arguments:?}");
        assert!(said.err.is_empty(), "{}", said.err);
    }
    let project = Project::copied();
    project.edit("plan/blocks.csv", "\nK3,", "\nK2,");
    let said = run(program().arg("check").arg(project.root())).exits(1);
    assert!(!said.err.contains(ESCAPE), "{}", said.err);
}

#[test]
fn no_color_wins_over_a_wish_for_colour() {
    for arguments in coloured() {
        let mut command = program();
        command.args(&arguments).env("CLICOLOR_FORCE", "1");
        let said = run(&mut command).exits(0);
        assert!(said.out.contains(ESCAPE), "without NO_COLOR there is colour: {arguments:?}");
        let said = run(command.env("NO_COLOR", "1")).exits(0);
        assert!(!said.out.contains(ESCAPE), "{arguments:?}");
    }
}
