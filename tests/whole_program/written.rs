//! What `closeout` writes, where, and where it refuses to.

use std::fs;

use lastdock::bundle::digest;

use crate::common::{
    NAME, Project, SMALL, closed, closeout, closeout_command, files, program, recovery_beside, run,
    sample, small, temporary, verify,
};

fn names(folder: &std::path::Path) -> Vec<String> {
    files(folder).into_iter().map(|(path, _)| path).collect()
}

#[test]
fn bundle_report_and_seal_stand_side_by_side_and_nothing_else() {
    let found = names(closed().zip.parent().expect("a folder"));
    let found: Vec<_> = found.into_iter().filter(|name| !name.contains('/')).collect();
    let (first, found) = found.split_first().expect("files");
    assert_eq!(*first, format!("READ-ME-FIRST-{NAME}.txt"), "it is the first that is seen");
    let wanted = [
        "-report.pdf",
        "-seal.pdf",
        "-seal.txt",
        "-start-here.html",
        "-summary.pdf",
        ".zip",
        ".zip.par2",
        ".zip.vol",
    ];
    assert_eq!(found.len(), wanted.len(), "{found:?}");
    for (name, end) in found.iter().zip(wanted) {
        assert!(name.starts_with(&format!("{NAME}{end}")), "{found:?}");
    }
}

#[test]
fn as_much_recovery_data_is_written_as_was_asked_for() {
    let out = temporary();
    let ask = |percent: &str| {
        let mut command = closeout_command(&small(), out.path());
        command.args(["--repair-percent", percent]);
        command
    };
    run(&mut ask("0")).exits(0);
    assert_eq!(names(out.path()).len(), 7);
    let json = run(ask("25").arg("--json")).exits(0).json();
    assert_eq!(json["unchanged"], false);
    let zip = out.path().join(format!("{SMALL}.zip"));
    let size = |path: &std::path::Path| fs::metadata(path).expect("a file").len();
    let recovery: u64 = recovery_beside(&zip).iter().map(|path| size(path)).sum();
    assert_eq!(json["recovery_bytes"], recovery);
    let share = recovery as f64 / size(&zip) as f64;
    // The slices' checksums are written four times: 20 bytes a slice of 1 KiB, some 8 % in all.
    assert!((0.25..0.37).contains(&share), "{share} of the bundle");

    // Files of another amount belong to what would be replaced.
    let before = files(out.path());
    let said = run(&mut ask("10")).exits(1);
    assert!(said.squeezed().contains("istherealreadyanddiffers"), "{}", said.err);
    assert!(files(out.path()) == before);
    run(ask("10").arg("--replace")).exits(0);
    assert_eq!(recovery_beside(&zip).len(), 2);
    for wrong in ["101", "-1", "ten"] {
        run(&mut ask(wrong)).exits(2);
    }
}

#[test]
fn without_out_it_writes_beside_the_project() {
    let project = Project::copy_of(&small());
    run(program().arg("closeout").arg(project.root())).exits(0);
    let out = project.root().with_file_name("project-closeout");
    assert!(out.join(format!("{SMALL}.zip")).is_file());
}

#[test]
fn the_report_beside_the_bundle_is_the_one_in_it() {
    let inside = fs::read(closed().folder.join("data/closeout-report.pdf")).expect("the report");
    assert!(inside.starts_with(b"%PDF"));
    assert!(inside == fs::read(&closed().report).expect("the report beside it"));
    let summary = fs::read(closed().folder.join("data/closeout-summary.pdf")).expect("the summary");
    assert!(summary.starts_with(b"%PDF") && summary != inside);
    assert!(summary == fs::read(&closed().summary).expect("the summary beside it"));
}

/// Two bundles in one folder have a text each, and none is replaced unasked.
#[test]
fn the_text_to_be_read_first_names_each_file_beside_it() {
    let out = temporary();
    let write = |percent: &str, replace: bool| {
        let mut command = closeout_command(&small(), out.path());
        run(command.args(["--repair-percent", percent]).args(replace.then_some("--replace")))
    };
    write("10", false).exits(0);
    let place = out.path().join(format!("READ-ME-FIRST-{SMALL}.txt"));
    let read = || fs::read_to_string(&place).expect("the text");
    let text = read();
    assert!(text.is_ascii() && text.lines().all(|line| line.len() <= 78), "{text}");
    assert!((7..=25).contains(&text.lines().count()), "{text}");
    let has_line = |name: &String| {
        let (stem, end) = name.split_once(".vol").unwrap_or((name, ""));
        let listed = if end.is_empty() && !name.ends_with(".par2") {
            stem
        } else {
            &format!("{SMALL}.zip*.par2")
        };
        let mut lines = text.lines().filter_map(|line| line.strip_prefix(listed));
        lines.any(|about| about.trim_start() != about && about.trim().len() > 5)
    };
    let names = names(out.path());
    assert!(names.len() == 9 && names.iter().all(has_line), "{names:?}: {text}");
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}: {text}"));
    let steps = [
        "1. Open",
        "start-here.html",
        "2. See whether",
        "seal.txt",
        "3. To move",
        "another medium",
    ];
    assert!(steps.windows(2).all(|two| at(two[0]) < at(two[1])), "{text}");

    fs::write(&place, "our own words").expect("to change it");
    let said = write("10", false).exits(1);
    assert!(said.squeezed().contains("istherealreadyanddiffers"), "{}", said.err);
    assert_eq!(read(), "our own words");
    write("0", true).exits(0);
    assert_eq!(read(), text, "recovery data may be added later, and this text stays");
}

/// The same commands stand wherever the seal is explained, and the bundle's own format text names what lies beside it.
#[test]
fn the_seal_is_explained_alike_for_three_systems() {
    let readme = fs::read_to_string(closed().folder.join("data/README.txt")).expect("the README");
    let text = fs::read_to_string(&closed().seal_file).expect("the seal");
    for command in [
        "Get-FileHash -Algorithm SHA256 tagmanifest-sha256.txt",
        "certutil -hashfile tagmanifest-sha256.txt SHA256",
        "shasum -a 256 tagmanifest-sha256.txt",
        "sha256sum tagmanifest-sha256.txt",
    ] {
        for place in [&readme, &text] {
            assert!(place.lines().any(|line| line.trim() == command), "{command}: {place}");
        }
    }
}

#[test]
fn the_seal_is_the_sha_256_of_the_tag_manifest() {
    let manifest = fs::read(closed().folder.join("tagmanifest-sha256.txt")).expect("a manifest");
    let seal = digest::sha256(&manifest);
    let text = fs::read_to_string(&closed().seal_file).expect("the seal");
    let first: String = text.lines().next().expect("a line").split(' ').collect();
    assert_eq!(first, seal);
    assert!(text.lines().next().is_some_and(|line| line.split(' ').all(|four| four.len() == 4)));
}

#[test]
fn every_file_of_the_project_is_in_the_bundle_byte_for_byte() {
    let project = files(&sample());
    assert!(project.len() > 20);
    for (path, bytes) in project {
        let paper = path.strip_prefix("papers/").filter(|name| *name != "papers.csv");
        let place = match paper {
            Some(name) => format!("data/papers/{name}"),
            None => format!("data/records/{path}"),
        };
        assert!(fs::read(closed().folder.join(&place)).is_ok_and(|kept| kept == bytes), "{place}");
    }
}

#[test]
fn the_bundle_holds_all_that_it_should() {
    let names = names(&closed().folder);
    let has = |path: &str| names.iter().any(|name| name == path);
    for path in [
        "bagit.txt",
        "bag-info.txt",
        "manifest-sha256.txt",
        "manifest-sha512.txt",
        "tagmanifest-sha256.txt",
        "tagmanifest-sha512.txt",
        "data/README.txt",
        "data/closeout-report.pdf",
        "data/closeout-summary.pdf",
        "data/start-here.html",
        "data/findings.json",
        "data/findings.csv",
        "data/tables/docking.csv",
        "data/tables/plan-blocks.csv",
        "data/tables/positions-marks.csv",
    ] {
        assert!(has(path), "{path}");
    }
    assert!(names.iter().any(|name| name.starts_with("data/drawings/") && name.ends_with(".svg")));
    let readme = fs::read(closed().folder.join("data/README.txt")).expect("the README");
    assert!(readme.is_ascii(), "the README is plain ASCII");
}

#[test]
fn findings_are_the_same_as_check_says_in_json_and_csv() {
    let said = run(program().args(["check", "--json"]).arg(sample())).exits(0).json();
    let json = fs::read(closed().folder.join("data/findings.json")).expect("findings.json");
    let kept: serde_json::Value = serde_json::from_slice(&json).expect("JSON");
    assert!(kept == said);
    let mut csv = csv::Reader::from_path(closed().folder.join("data/findings.csv")).expect("a CSV");
    let rows: Vec<csv::StringRecord> = csv.records().map(|row| row.expect("a row")).collect();
    let findings = kept["findings"].as_array().expect("findings");
    assert_eq!(rows.len(), findings.len());
    for (row, finding) in rows.iter().zip(findings) {
        assert_eq!(
            (&row[0], &row[1], &row[2]),
            (
                finding["id"].as_str().unwrap(),
                finding["outcome"].as_str().unwrap(),
                finding["sentence"].as_str().unwrap(),
            )
        );
    }
}

#[test]
fn tables_have_a_row_for_each_record_in_si_units() {
    let table = |name: &str| -> Vec<Vec<String>> {
        let path = closed().folder.join("data/tables").join(name);
        let mut csv =
            csv::ReaderBuilder::new().has_headers(false).from_path(path).expect("a table");
        csv.records().map(|row| row.expect("a row").iter().map(String::from).collect()).collect()
    };
    let blocks = table("plan-blocks.csv");
    assert_eq!(blocks.len(), 1 + 89, "the header and one row a block");
    let column = |name: &str| blocks[0].iter().position(|header| header == name).expect("a column");
    let k3 = blocks.iter().find(|row| row[column("block")] == "K3").expect("K3");
    assert_eq!(k3[column("record_line")], "4");
    assert_eq!(k3[column("length_fore_and_aft_m")], "0.6", "600 mm");
    assert_eq!(k3[column("height_m")], "1.35", "1350 mm");
    let openings = table("plan-openings.csv");
    assert!(openings[0].iter().any(|header| header == "diameter_m"), "{:?}", openings[0]);
}

#[test]
fn closeout_says_as_json_what_it_wrote() {
    let out = temporary();
    let mut command = closeout_command(&small(), out.path());
    command.arg("--json");
    let json = run(&mut command).exits(0).json();
    for key in ["bundle", "report", "summary", "seal_file", "seal_sheet", "read_me_first"] {
        let path = json[key].as_str().expect("a path");
        assert!(std::path::Path::new(path).is_file(), "{key} {path}");
    }
    let file = fs::File::open(out.path().join(format!("{SMALL}.zip"))).expect("the bundle");
    let zip = zip::ZipArchive::new(file).expect("a zip");
    let payload = zip.file_names().map(|name| name.expect("a name in UTF-8"));
    let payload = payload.filter(|name| name.starts_with(&format!("{SMALL}/data/")));
    assert_eq!(json["files"], payload.count());
    assert_eq!(json["unchanged"], false);
    let checked = run(program().args(["check", "--json"]).arg(small())).exits(0).json();
    assert_eq!(json["counts"], checked["counts"]);
    let again = run(&mut command).exits(0).json();
    assert_eq!(again["unchanged"], true);
    assert_eq!(again["seal"], json["seal"]);
}

#[test]
fn a_differing_bundle_is_replaced_only_when_asked_to() {
    let project = Project::copy_of(&small());
    closeout(&project.root(), &project.out()).exits(0);
    let first = files(&project.out());

    closeout(&project.root(), &project.out()).exits(0);
    assert!(files(&project.out()) == first, "the same project again changes nothing");

    project.append("docking.toml", "\n# looked at again\n");
    let said = closeout(&project.root(), &project.out()).exits(1);
    assert!(said.squeezed().contains("istherealreadyanddiffers"), "{}", said.err);
    assert!(said.err.contains("--replace"), "{}", said.err);
    assert!(files(&project.out()) == first, "nothing was replaced");

    let mut command = closeout_command(&project.root(), &project.out());
    run(command.args(["--repair-percent", "0", "--replace"])).exits(0);
    let second = files(&project.out());
    assert!(second != first);
    assert_eq!(second.len(), first.len());
    verify(&project.out().join(format!("{SMALL}.zip"))).exits(0);
}

#[test]
fn nothing_is_written_into_the_project() {
    let project = Project::copied();
    let before = files(&project.root());
    let roundabout = project.out().join("../project/round");
    for out in [project.root(), project.path("out"), project.path("plan/deep/out"), roundabout] {
        let said = closeout(&project.root(), &out).exits(1);
        assert!(said.squeezed().contains("liesinsidetheproject'sfolder"), "{}", said.err);
    }
    assert!(files(&project.root()) == before);
    assert!(!project.path("out").exists() && !project.path("plan/deep").exists());
}

#[test]
fn a_folder_that_cant_be_made_is_named() {
    let project = Project::copied();
    fs::write(project.out(), "a file in the way").expect("a file");
    let said = closeout(&project.root(), &project.out()).exits(1);
    assert!(said.err.contains("out: can't be made"), "{}", said.err);
    assert_eq!(fs::read(project.out()).expect("the file"), b"a file in the way");
}

#[test]
fn without_a_closeout_table_check_works_and_closeout_says_what_to_add() {
    let project = Project::copied();
    let docking = project.text("docking.toml");
    let (before, _) = docking.split_once("[closeout]").expect("the table");
    project.write("docking.toml", before);
    run(program().arg("check").arg(project.root())).exits(0);
    let said = closeout(&project.root(), &project.out()).exits(1);
    assert!(said.err.contains("add [closeout] with prepared_by"), "{}", said.err);
    assert!(!project.out().exists());
}
