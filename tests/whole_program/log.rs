//! The log of proof: what `verify`, `mend` and `closeout` add to it.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::common::{
    NAME, SMALL, Zip, closed, closeout_command, program, run, small, temporary, verify,
};

const AT: &str = "2053-06-01T09:30:00Z";

/// The rows of a log, each by column.
fn rows(log: &Path) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(log).expect("a log");
    let names = reader.headers().expect("a header").clone();
    let rows = reader.records().map(|row| row.expect("a row"));
    let cells = |row: csv::StringRecord| {
        names.iter().zip(&row).map(|(name, cell)| (name.to_string(), cell.to_string())).collect()
    };
    rows.map(cells).collect()
}

#[test]
fn each_run_adds_a_line_that_agrees_with_what_is_printed() {
    let zip = Zip::alone();
    let log = zip.folder().join("log.csv");
    let logged = |status: i32| {
        let mut command = program();
        command.arg("verify").arg(&zip.path).arg("--log").arg(&log).args(["--log-at", AT]);
        run(command.args(["--log-by", "=Ida Merrow"])).exits(status)
    };
    logged(0);
    let mut bytes = zip.bytes.clone();
    bytes[zip.start_of("data/findings.json") + 20] ^= 1;
    zip.becomes(bytes);
    let damaged = logged(3);
    zip.becomes(&zip.bytes[..5000]);
    logged(1);

    let rows = rows(&log);
    let column = |name: &str| rows.iter().map(|row| row[name].as_str()).collect::<Vec<_>>();
    assert_eq!(column("eventDateTime"), [AT; 3]);
    assert_eq!(column("eventType"), ["fixity check"; 3]);
    assert_eq!(column("eventOutcome"), ["success", "fail", "warning"]);
    assert_eq!(column("implementer"), ["'=Ida Merrow"; 3]);
    let named = format!("{NAME}.zip");
    assert_eq!(column("linkingObjectIdentifierValue"), [named.as_str(); 3]);
    let words: Vec<&str> = rows[1]["eventOutcomeDetailNote"].split("; ").collect();
    assert!(words.contains(&"damaged") && !words.contains(&"whole"), "{words:?}");
    assert!(words.iter().all(|word| damaged.out.contains(word)), "{words:?}\n{}", damaged.out);
    assert_eq!(rows[0]["eventOutcomeDetailNote"], "whole; recomputed");
    assert!(rows[2]["eventOutcomeDetailNote"].contains("can't be read as a zip"));
    let all: u64 = rows[0]["files"].parse().expect("a number");
    assert_eq!(rows[0]["files_whole"], all.to_string());
    assert_eq!(rows[1]["files_whole"], (all - 1).to_string());
    let seal = fs::read_to_string(&closed().seal_file).expect("the seal");
    let seal: String = seal.lines().next().expect("a line").split_whitespace().collect();
    assert_eq!(column("messageDigest"), [seal.as_str(), &seal, ""]);
}

#[test]
fn closeout_and_mend_write_their_events() {
    let out = temporary();
    let log = out.path().join("kept/log.csv");
    fs::create_dir(out.path().join("kept")).expect("a folder");
    let logged = |command: &mut std::process::Command, status: i32| {
        run(command.arg("--log").arg(&log).args(["--log-at", AT])).exits(status);
    };
    logged(&mut closeout_command(&small(), out.path()), 0);
    let zip = out.path().join(format!("{SMALL}.zip"));
    let mend = || {
        let mut command = program();
        command.arg("mend").arg(&zip);
        command
    };
    logged(&mut mend(), 0);
    let mut bytes = fs::read(&zip).expect("the bundle");
    bytes[9000] ^= 1;
    fs::write(&zip, &bytes).expect("to write it");
    logged(&mut mend(), 3);
    fs::remove_file(out.path().join(format!("{SMALL}-mended.zip"))).expect("the mended one");
    fs::write(&zip, &bytes[..bytes.len() / 2]).expect("to write it");
    logged(&mut mend(), 1);
    let told: Vec<[String; 4]> = rows(&log)
        .into_iter()
        .map(|row| {
            ["eventType", "eventOutcome", "linkingObjectIdentifierValue", "eventOutcomeDetailNote"]
                .map(|name| row[name].clone())
        })
        .collect();
    let expected = [
        ["information package creation", "success", "SMALL.zip", "written and read back"],
        ["fixity check", "success", "SMALL.zip", "repair: whole: whole"],
        ["replication", "success", "SMALL-mended.zip", "mended"],
        ["extraction", "warning", "SMALL-salvaged", "not mended"],
    ];
    assert_eq!(told.len(), expected.len(), "{told:?}");
    for (told, expected) in told.iter().zip(expected) {
        let [kind, outcome, object, note] = expected.map(|word| word.replace("SMALL", SMALL));
        assert_eq!((&told[0], &told[1], &told[2]), (&kind, &outcome, &object));
        if !note.contains(':') {
            assert!(told[3].contains(&note), "{told:?}");
        }
    }
}

/// What can't be logged is said, and the verdict is printed all the same. The clock is asked if no time is given.
#[test]
fn a_log_that_cant_be_written_is_an_error_of_its_own() {
    let folder = temporary();
    let log = folder.path().join("log.csv");
    fs::write(&log, "date,what\n").expect("to write it");
    let mut command = program();
    let said = run(command.arg("verify").arg(&closed().zip).arg("--log").arg(&log)).exits(1);
    assert!(said.out.contains("every one is what both manifests say"), "{}", said.out);
    let told: String = said.err.split_whitespace().collect();
    assert!(told.contains("notlogged") && told.contains("isnologofthisprogram"), "{}", said.err);
    assert_eq!(fs::read_to_string(&log).expect("the file"), "date,what\n");
    fs::remove_file(&log).expect("to remove it");
    run(program().arg("verify").arg(&closed().zip).arg("--log").arg(&log)).exits(0);
    assert!(rows(&log)[0]["eventDateTime"].ends_with('Z'));
    verify(&closed().zip).exits(0);
    let lonely = ["verify", "a.zip", "--log-at", AT];
    run(program().args(lonely)).exits(2);
}

#[test]
fn a_log_is_kept_out_of_what_it_is_about() {
    let room = temporary();
    let bag = crate::common::unpack(&closed().zip, room.path());
    for command in ["verify", "mend"] {
        let mut command_line = program();
        command_line.arg(command).arg(&bag).arg("--log").arg(bag.join("log.csv"));
        let said = run(&mut command_line).exits(1);
        assert!(said.squeezed().contains("liesinsidethebundle"), "{command}: {}", said.err);
        assert!(!bag.join("log.csv").exists());
    }
    run(program().arg("verify").arg(&bag).arg("--log").arg(room.path().join("log.csv"))).exits(0);
    let project = room.path().join("project");
    crate::common::copy(&small(), &project);
    let mut command = closeout_command(&project, &room.path().join("out"));
    let said = run(command.arg("--log").arg(project.join("log.csv"))).exits(1);
    assert!(said.squeezed().contains("liesinsidetheproject"), "{}", said.err);
    assert!(!room.path().join("out").exists());
}
