//! What the command line accepts, and how the output looks where it goes.

use std::fs;

use crate::common::{
    NAME, Project, closed, copy, lastdock, program, run, sample, temporary, unpacked_copy, verify,
};

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
        vec!["verify", sample, sample, "--signature", "seal.sig"],
    ] {
        let said = lastdock(&arguments).exits(2);
        assert!(said.out.is_empty() && !said.err.is_empty(), "{arguments:?}");
    }
}

#[test]
fn help_names_every_exit_status_and_the_caution() {
    let said = lastdock(["--help"]).exits(0);
    for line in [
        "0  all is well",
        "1  the command could not be carried out",
        "2  the command line",
        "3  done, but",
    ] {
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
    assert!(said.err.is_empty() && !said.out.contains(ESCAPE), "{}", said.out);
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

#[test]
fn check_takes_the_project_in_which_one_stands() {
    let named = lastdock(["check".as_ref(), sample().as_os_str()]).exits(0);
    let here = run(program().arg("check").current_dir(sample())).exits(0);
    let shown = sample().display().to_string();
    assert_eq!(here.out, named.out.replace(&shown, "."));
    let nowhere = temporary();
    let said = run(program().arg("check").current_dir(nowhere.path())).exits(2);
    assert!(said.err.contains("docking.toml") && said.out.is_empty(), "{}", said.err);
}

#[test]
fn check_refuses_a_folder_that_is_no_project_and_reads_nothing_of_it() {
    let told = |at: &std::path::Path| {
        let said = run(program().arg("check").arg(at)).exits(1);
        assert!(said.out.contains("1 problem to fix") && said.err.is_empty(), "{}", said.out);
        said.squeezed()
    };
    let zip = &closed().zip;
    let said = told(zip);
    assert!(
        said.contains("isazip") && said.contains(&format!("do:lastdockverify{}", zip.display())),
        "{said}"
    );
    let (_bag_kept, bag) = unpacked_copy();
    assert!(told(&bag).contains("isthefolderofabundle"), "{}", told(&bag));

    let project = Project::copied();
    let said = told(&project.path("plan"));
    assert!(said.contains("isafolderinsideaproject"), "{said}");
    let root = project.root().canonicalize().expect("the project");
    assert!(said.contains(&format!("do:nametheproject'sownfolder,{}", root.display())), "{said}");
    copy(&sample(), &root.with_file_name("another"));
    let above = root.parent().expect("a folder");
    let said = told(above);
    assert!(said.contains("holdsnodocking.toml,butfoldersinitdo"), "{said}");
    assert!(said.contains("/another,") && said.contains("/project"), "{said}");
}

#[test]
fn a_stage_is_not_guessed() {
    let said =
        lastdock(["check".as_ref(), sample().as_os_str(), "--stage".as_ref(), "flooding".as_ref()]);
    let said = said.exits(2);
    assert!(!said.err.contains("similar") && !said.err.contains("tip:"), "{}", said.err);
    for stage in ["before-landing", "before-flooding", "before-closing"] {
        assert_eq!(said.err.matches(stage).count(), 1, "{}", said.err);
    }
}

#[test]
fn a_seal_is_typed_as_it_stands_on_paper() {
    let text = fs::read_to_string(&closed().seal_file).expect("the seal's file");
    let groups = |line: &&str| line.split_whitespace().all(|word| word.len() == 4);
    let lines: Vec<&str> = text.lines().filter(groups).filter(|line| !line.is_empty()).collect();
    let all: Vec<&str> = lines.iter().flat_map(|line| line.split_whitespace()).collect();
    assert_eq!(all.len(), 16, "{text}");
    let seal = [all[..8].join(" "), all[8..].join(" ")].join("\n");
    let zip = closed().zip.to_str().expect("a path in UTF-8");
    let words: Vec<&str> = seal.split_whitespace().collect();
    let upper = seal.to_uppercase();
    let ways: [Vec<&str>; 4] = [
        [&["verify", zip, "--seal"][..], &words].concat(),
        [&["verify", "--seal"][..], &words, &[zip]].concat(),
        vec!["verify", "--seal", &seal, zip],
        vec!["verify", "--seal", &upper, zip],
    ];
    for arguments in ways {
        let said = lastdock(&arguments).exits(0);
        assert!(said.out.contains("it is the seal given"), "{arguments:?}\n{}", said.out);
    }
    let said = lastdock([&["verify", zip, "--seal"], &words[..15]].concat()).exits(2);
    assert!(said.err.contains("this has 60"), "{}", said.err);
}

#[test]
fn verify_takes_the_folder_in_which_closeout_put_a_bundle() {
    let out = temporary();
    let put = |name: &str| {
        for end in [".zip", "-seal.txt"] {
            let from = closed().zip.with_file_name(format!("{NAME}{end}"));
            fs::copy(from, out.path().join(format!("{name}{end}"))).expect("a copy");
        }
    };
    put(NAME);
    fs::write(out.path().join("other.zip"), "no bundle, and without a seal").expect("a file");
    let said = verify(out.path()).exits(0);
    assert!(said.out.contains(&format!("{NAME}.zip")), "{}", said.out);
    put("second");
    let said = verify(out.path()).exits(1);
    let told = said.squeezed();
    assert!(told.contains("holds2bundles") && told.contains("/second.zip"), "{}", said.err);
    assert!(!told.contains("other.zip"), "{}", said.err);
}

#[test]
fn the_report_and_a_public_key_are_called_what_they_are() {
    let said = verify(&closed().report).exits(1);
    assert!(said.err.contains("is no bundle: it is not a zip"), "{}", said.err);
    assert!(!said.err.contains("zip -FF") && !said.err.contains("mend"), "{}", said.err);

    let keys = temporary();
    let public = keys.path().join("key.pub");
    // The public key of the first test vector of RFC 8032 section 7.1, as RFC 8709 writes keys.
    let key = "ssh-ed25519 \
               AAAAC3NzaC1lZDI1NTE5AAAAINdamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea somebody\n";
    fs::write(&public, key).expect("a key");
    let mut command = program();
    command.arg("closeout").arg(sample()).arg("--out").arg(keys.path().join("out"));
    let said = run(command.arg("--sign-with").arg(&public)).exits(1);
    assert!(said.err.contains("is the public half of a key"), "{}", said.err);
    assert!(
        said.err
            .contains(&format!("name the private half, {}\n", keys.path().join("key").display())),
        "{}",
        said.err
    );
    assert!(!keys.path().join("out").exists());
}
