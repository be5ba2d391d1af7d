//! Zips that somebody made to be misread, given as supplements: each through every command that takes one.

use std::ffi::{OsStr, OsString};
use std::fs;
use std::path::Path;

use super::made::{End, zip};
use super::zips::{CASES, Made, NAME, bounded_in, entries, golden};
use crate::common::{files, list_anew, program, run, temporary, unpack};

/// A supplement to the golden bundle, unpacked. It has the paper that the cases change.
fn unpacked(room: &Path) -> std::path::PathBuf {
    let folder = room.join("s1");
    let supplement = || run(program().arg("supplement").arg(golden()).arg(&folder)).exits(0);
    supplement();
    let form = fs::read_to_string(folder.join("supplement.toml")).expect("the form");
    let form = form
        .replace("made_by = \"\"", "made_by = \"N. Harrowgate\"")
        .replace("# made_on", "made_on")
        .replace("about = \"\"", "about = \"a note found\"");
    fs::write(folder.join("supplement.toml"), form).expect("to write it");
    fs::write(folder.join("papers/note.txt"), "a note\n").expect("a paper");
    let list = folder.join("papers/papers.csv");
    let header = fs::read_to_string(&list).expect("the list");
    fs::write(&list, header + "note.txt,other,block:K2,,,a note,no,,no,\n").expect("to write it");
    supplement();
    unpack(&room.join(format!("s1-sealed/{NAME}-s1.zip")), &room.join("unpacked"))
}

#[test]
fn no_supplement_leaves_its_folder_and_only_a_sound_one_is_taken() {
    let room = temporary();
    let bag = unpacked(room.path());
    let mut amiss = Vec::new();
    for Made { what, entries: change, status } in CASES {
        let (mut all, mut end) = (entries(&bag), End::default());
        change(&mut all, &mut end);
        let place = room.path().join("place");
        fs::create_dir(&place).expect("a folder");
        fs::write(place.join("s.zip"), zip(&all, &end)).expect("to write it");
        let before = files(room.path());
        let golden = golden().into_os_string();
        let word = |text: &str| OsString::from(text);
        let lines = [
            vec![word("verify"), golden.clone(), word("s.zip")],
            vec![
                word("start"),
                word("out/next"),
                word("--from"),
                golden.clone(),
                word("--supplement"),
                word("s.zip"),
            ],
            vec![
                word("page"),
                golden.clone(),
                word("--supplement"),
                word("s.zip"),
                word("--out"),
                word("out/p.html"),
            ],
            vec![
                word("compare"),
                golden.clone(),
                golden.clone(),
                word("--supplement"),
                word("s.zip"),
                word("--json"),
            ],
            vec![
                word("supplement"),
                golden.clone(),
                word("out/s2"),
                word("--after"),
                word("s.zip"),
            ],
            vec![
                word("mend"),
                word("s.zip"),
                word("--out"),
                word("out/m.zip"),
                word("--salvage-to"),
                word("out/s"),
            ],
        ];
        fs::create_dir(place.join("out")).expect("a folder");
        let mut statuses = Vec::new();
        for line in &lines {
            let words: Vec<&OsStr> = line.iter().map(|word| word.as_os_str()).collect();
            let said = bounded_in(&place, &words);
            let told = format!("{what}: {line:?}\n{}{}", said.out, said.err);
            assert!([0, 1, 3].contains(&said.status), "status {}, {told}", said.status);
            assert!(!said.err.contains("panicked"), "{told}");
            let orders = |c: char| c.is_control() && c != '\n';
            assert!(!said.out.contains(orders) && !said.err.contains(orders), "{told}");
            statuses.push(said.status);
        }
        let [verified, taken @ .., _] = &statuses[..] else { panic!("{statuses:?}") };
        let taken_all = taken.iter().all(|one| *one == 0);
        let refused_all = taken.iter().all(|one| *one == 1);
        if verified != status || !(if *status == 0 { taken_all } else { refused_all }) {
            amiss.push(format!("{what}: wanted {status}, got {statuses:?}"));
        }
        let out = place.join("out");
        for (path, bytes) in files(&out) {
            let climbed =
                path.contains("climbed-out") || bytes == b"from outside" && path.contains("..");
            assert!(!climbed, "{what}: {path}");
        }
        fs::remove_dir_all(&out).expect("to clear");
        assert!(files(room.path()) == before, "{what}: files outside the folder that was named");
        fs::remove_dir_all(&place).expect("to clear");
    }
    assert!(!Path::new("/tmp/climbed-out").exists());
    assert!(amiss.is_empty(), "{}", amiss.join("\n"));
}

#[test]
fn a_supplement_that_leaves_its_folder_by_its_records_is_refused() {
    let room = temporary();
    let bag = unpacked(room.path());
    let errata = bag.join("data/records/errata.csv");
    let header = "erratum,of,file,row,line,column,stands,right,by,on,ground\n";
    for file in
        ["../../papers/note.txt", "/etc/passwd", "history/../docking.toml", "papers/note.txt"]
    {
        let row = format!("E1,,{file},,1,name,a,b,N. Harrowgate,2034-06-12,a guess\n");
        fs::write(&errata, format!("{header}{row}")).expect("to write it");
        list_anew(&bag);
        let said = run(program().arg("verify").arg(golden()).arg(&bag)).exits(3);
        assert!(said.squeezed().contains("isnofileoftherecord"), "{file}: {}", said.out);
        let page = room.path().join("page.html");
        let mut command = program();
        command.arg("page").arg(golden()).arg("--supplement").arg(&bag).arg("--out").arg(&page);
        run(&mut command).exits(1);
        assert!(!page.exists());
    }
}
