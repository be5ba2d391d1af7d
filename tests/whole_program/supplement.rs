//! Supplements: made blank, filled in, sealed, and verified with the bundle that they follow.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::common::{
    NAME, SMALL, Said, closed, files, list_anew, program, run, squeezed, temporary, unpack,
};

/// A frozen bundle of an earlier version of the program.
fn frozen(version: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/formats/{version}/{SMALL}.zip"))
}

const LEVEL: &str = "E1,,plan/blocks.csv,K2,,top_level_m,-1.801,-1.810,N. Harrowgate,2034-06-12,the level book has it\n";

/// A folder to work in, with a supplement's folder `s1` that is filled in.
struct Room(TempDir);

impl Room {
    fn filled() -> Self {
        let room = Self(temporary());
        room.supplement(&frozen("0.7.0"), "s1", &[]).exits(0);
        room.fill("s1", LEVEL);
        let anode = "A1,3.00,0.50,10,4,yes,2034-06-10T09:00:00+01:00,N. Harrowgate\n";
        room.append("s1/hull/anodes.csv", anode);
        room
    }

    fn at(&self, path: &str) -> PathBuf {
        self.0.path().join(path)
    }

    fn append(&self, path: &str, text: &str) {
        let was = fs::read_to_string(self.at(path)).expect("a file");
        fs::write(self.at(path), was + text).expect("to write it");
    }

    /// Fills in what a blank supplement asks for.
    fn fill(&self, folder: &str, errata: &str) {
        let path = self.at(folder).join("supplement.toml");
        let text = fs::read_to_string(&path).expect("the form");
        let text = text
            .replace("made_by = \"\"", "made_by = \"N. Harrowgate\"")
            .replace("# made_on", "made_on")
            .replace("about = \"\"", "about = \"a level read wrongly\"");
        fs::write(path, text).expect("to write it");
        self.append(&format!("{folder}/errata.csv"), errata);
    }

    fn supplement(&self, bundle: &Path, folder: &str, after: &[&Path]) -> Said {
        let mut command = program();
        command.arg("supplement").arg(bundle).arg(self.at(folder));
        after.iter().for_each(|path| {
            command.arg("--after").arg(path);
        });
        run(&mut command)
    }

    /// Seals a folder that is filled in.
    fn sealed(&self, folder: &str, after: &[&Path]) -> PathBuf {
        self.supplement(&frozen("0.7.0"), folder, after).exits(0);
        self.at(&format!("{folder}-sealed/{SMALL}-{folder}.zip"))
    }
}

fn verify(places: &[&Path]) -> Said {
    run(program().arg("verify").args(places))
}

#[test]
fn a_blank_one_says_what_to_fill_in_and_one_that_is_filled_in_is_sealed() {
    let room = Room(temporary());
    let bundle = frozen("0.7.0");
    let said = room.supplement(&bundle, "s1", &[]).exits(0);
    assert!(said.squeezed().contains("nothingissealedyet"), "{}", said.out);
    let refused = room.supplement(&bundle, "s1", &[]).exits(1);
    for missing in ["made_on", "(made_by): is empty", "(about): is empty"] {
        assert!(refused.err.contains(missing), "{missing}: {}", refused.err);
    }
    assert!(!room.at("s1-sealed").exists());
    room.fill("s1", LEVEL);
    fs::write(room.at("s1/papers/level-book.txt"), "page 3\n").expect("a paper");
    room.append("s1/papers/papers.csv", "level-book.txt,other,block:K2,,,the level book,no,,no,\n");
    let zip = room.sealed("s1", &[]);
    let said = verify(&[&bundle, &zip]).exits(0);
    assert!(said.out.contains("follows     thistle-quill-2029"), "{}", said.out);
    assert!(said.out.contains("1 erratum, no row of records, 1 paper"), "{}", said.out);
    // Tables without a row are not in it.
    let bag = unpack(&zip, &room.at("unpacked"));
    let paths: Vec<String> = files(&bag).into_iter().map(|(path, _)| path).collect();
    assert!(paths.contains(&"data/papers/level-book.txt".to_string()), "{paths:?}");
    assert!(!paths.iter().any(|path| path.contains("hull/")), "{paths:?}");
    verify(&[&bundle, &bag]).exits(0);
    let readme = fs::read_to_string(bag.join("data/README.txt")).expect("the README");
    let squeezed_readme = squeezed(&readme);
    for wanted in
        ["therestands\"-1.801\";rightis\"-1.810\"", "writtentothistle-quill-2029-s1-seal.txt"]
    {
        assert!(readme.is_ascii() && squeezed_readme.contains(wanted), "{wanted}: {readme}");
    }
    // It speaks of no file that a bundle alone has beside it.
    for absent in ["seal.pdf", "report.pdf", "thereportandthepage"] {
        assert!(!squeezed_readme.contains(absent), "{absent}: {readme}");
    }
    let seal = fs::read_to_string(room.at("s1-sealed").join(format!("{SMALL}-s1-seal.txt")));
    let seal = seal.expect("the seal").lines().next().expect("a line").to_string();
    run(program().arg("verify").arg(&zip).args(["--seal", &seal])).exits(1);
}

#[test]
fn the_same_folder_gives_the_same_bytes_and_another_does_not_replace_it() {
    let room = Room::filled();
    let zip = room.sealed("s1", &[]);
    let bytes = fs::read(&zip).expect("the supplement");
    let said = room.supplement(&frozen("0.7.0"), "s1", &[]).exits(0);
    assert!(said.out.contains("unchanged"), "{}", said.out);
    let other = ["--out", room.0.path().join("other").to_str().expect("a path")].map(String::from);
    run(program().arg("supplement").arg(frozen("0.7.0")).arg(room.at("s1")).args(other)).exits(0);
    let again = room.at("other").join(zip.file_name().expect("a name"));
    assert!(fs::read(again).expect("the other") == bytes);
    room.append(
        "s1/hull/anodes.csv",
        "A2,4.00,0.50,10,5,no,2034-06-10T09:10:00+01:00,N. Harrowgate\n",
    );
    let said = room.supplement(&frozen("0.7.0"), "s1", &[]).exits(1);
    assert!(said.err.contains("--replace"), "{}", said.err);
    assert!(fs::read(&zip).expect("the supplement") == bytes);
}

#[test]
fn a_second_one_follows_the_first_whatever_the_order_in_which_they_are_given() {
    let room = Room::filled();
    let bundle = frozen("0.7.0");
    let first = room.sealed("s1", &[]);
    room.supplement(&bundle, "s2", &[&first]).exits(0);
    let of_first = format!(
        "E1,{SMALL}-s1,hull/anodes.csv,A1,,mass_found_kg,4,5,N. Harrowgate,2034-06-12,weighed again\n"
    );
    room.fill("s2", &of_first);
    // Without the first one between, it follows something else than it says.
    let said = room.supplement(&bundle, "s2", &[]).exits(1);
    assert!(said.err.contains("supplement.toml:") && said.err.contains("--after"), "{}", said.err);
    let second = room.sealed("s2", &[&first]);
    let said = verify(&[&second, &bundle, &first]).exits(0);
    assert!(said.out.contains(&format!("follows     {SMALL}, then {SMALL}-s1")), "{}", said.out);
    let said = run(program().args(["verify", "--json"]).args([&bundle, &first, &second])).exits(0);
    let json = said.json();
    assert_eq!(json[2]["supplement"]["follows"][1], format!("{SMALL}-s1"));
    assert_eq!(json[0]["supplement"], serde_json::Value::Null);
    // The one between is missing, then the bundle.
    let said = verify(&[&bundle, &second]).exits(1);
    assert!(said.squeezed().contains("notamongthosegiven"), "{}", said.out);
    let said = verify(&[&first, &second]).exits(1);
    assert_eq!(said.out.matches("no parent").count(), 2, "{}", said.out);
}

/// The sample's bundle has an accession number in its metadata, and is called by its own name all the same.
#[test]
fn a_bundle_is_called_by_its_name_and_not_by_an_archives_number() {
    let room = Room(temporary());
    let bundle = &closed().zip;
    room.supplement(bundle, "s1", &[]).exits(0);
    room.fill("s1", "");
    fs::write(room.at("s1/papers/letter.txt"), "a letter\n").expect("a paper");
    room.supplement(bundle, "s1", &[]).exits(0);
    let zip = room.at(&format!("s1-sealed/{NAME}-s1.zip"));
    let said = verify(&[bundle, &zip]).exits(0);
    assert!(said.out.contains(&format!("follows     {NAME}\n")), "{}", said.out);
    let beside = room.at("s1-sealed");
    let names: Vec<String> = files(&beside).into_iter().map(|(name, _)| name).collect();
    let text = fs::read_to_string(beside.join(format!("READ-ME-FIRST-{NAME}-s1.txt")));
    let text = text.expect("what to read first");
    for name in names.iter().filter(|name| !name.contains(".par2")) {
        assert!(text.contains(name.as_str()), "{name} is not in\n{text}");
    }
}

#[test]
fn another_bundle_of_the_name_is_not_what_it_supplements() {
    let room = Room::filled();
    let zip = room.sealed("s1", &[]);
    let said = verify(&[&frozen("0.6.0"), &zip]).exits(3);
    assert!(said.squeezed().contains("ofanothersealthan"), "{}", said.out);
    let said = room.supplement(&frozen("0.6.0"), "s1", &[]).exits(1);
    assert!(said.err.contains("supplement.toml:"), "{}", said.err);
    assert!(said.err.contains("is not the seal of thistle-quill-2029"), "{}", said.err);
}

#[test]
fn one_whose_errata_were_changed_with_its_manifests_is_no_success() {
    let room = Room::filled();
    let bag = unpack(&room.sealed("s1", &[]), &room.at("unpacked"));
    let errata = bag.join("data/records/errata.csv");
    let text = fs::read_to_string(&errata).expect("the errata");
    fs::write(&errata, text.replace("-1.801", "-1.701")).expect("to write it");
    let damaged = verify(&[&frozen("0.7.0"), &bag]).exits(3);
    assert!(damaged.out.contains("damaged"), "{}", damaged.out);
    list_anew(&bag);
    let said = verify(&[&frozen("0.7.0"), &bag]).exits(3);
    assert!(said.squeezed().contains("doesnotstandat"), "{}", said.out);
    fs::write(bag.join("data/records/supplement.toml"), "format = 1\n").expect("to write it");
    list_anew(&bag);
    let said = verify(&[&frozen("0.7.0"), &bag]).exits(3);
    assert!(said.out.contains("has no table [parent]"), "{}", said.out);
}

#[test]
fn what_asks_for_a_docking_refuses_it_and_says_what_it_is() {
    let room = Room::filled();
    let zip = room.sealed("s1", &[]);
    let folder = room.at("next");
    for arguments in [
        vec!["compare".as_ref(), zip.as_path(), frozen("0.7.0").as_path()],
        vec!["page".as_ref(), zip.as_path()],
        vec!["start".as_ref(), folder.as_path(), "--from".as_ref(), zip.as_path()],
        vec!["supplement".as_ref(), zip.as_path(), folder.as_path()],
    ] {
        let said = run(program().args(&arguments)).exits(1);
        assert!(said.err.contains("is a supplement"), "{arguments:?}: {}", said.err);
    }
    let bundle = frozen("0.7.0");
    let said = room.supplement(&bundle, "s9", &[&bundle]).exits(1);
    assert!(said.err.contains("is no supplement"), "{}", said.err);
    assert!(!room.at("s9").exists());
}

#[test]
fn a_damaged_one_is_mended_and_a_damaged_bundle_gets_none() {
    let room = Room::filled();
    let zip = room.sealed("s1", &[]);
    let mut bytes = fs::read(&zip).expect("the supplement");
    bytes[300] ^= 0xff;
    fs::write(&zip, &bytes).expect("to write it");
    verify(&[&frozen("0.7.0"), &zip]).exits(3);
    run(program().arg("mend").arg(&zip)).exits(3);
    let mended = zip.with_file_name(format!("{SMALL}-s1-mended.zip"));
    verify(&[&frozen("0.7.0"), &mended]).exits(0);
    let bundle = room.at("bundle.zip");
    let mut bytes = fs::read(frozen("0.7.0")).expect("the bundle");
    bytes[200] ^= 0xff;
    fs::write(&bundle, &bytes).expect("to write it");
    let said = room.supplement(&bundle, "s3", &[]).exits(1);
    assert!(said.err.contains("is not whole"), "{}", said.err);
    assert!(!room.at("s3").exists());
}

#[test]
fn the_next_docking_begins_with_what_is_right_and_says_what_changed() {
    let room = Room::filled();
    let bundle = frozen("0.7.0");
    let height =
        "E2,,plan/blocks.csv,K2,,height_mm,1200,1190,N. Harrowgate,2034-06-12,taped again\n";
    room.append("s1/errata.csv", height);
    let owner = "E3,,docking.toml,ship,,owner,OWNER,The Quill Trust,N. Harrowgate,2034-06-12,their letter\n";
    let docking = include_str!("../formats/project/docking.toml");
    let written =
        docking.lines().find_map(|line| line.strip_prefix("owner = \"")).expect("an owner");
    room.append("s1/errata.csv", &owner.replace("OWNER", written.trim_end_matches('"')));
    let first = room.sealed("s1", &[]);
    room.supplement(&bundle, "s2", &[&first]).exits(0);
    room.fill("s2", &height.replace("E2", "E1").replace("1190", "1195"));
    let second = room.sealed("s2", &[&first]);
    let next = room.at("next");
    let start = |folder: &Path, supplements: &[&Path]| {
        let mut command = program();
        command.arg("start").arg(folder).arg("--from").arg(&bundle);
        supplements.iter().for_each(|path| {
            command.arg("--supplement").arg(path);
        });
        run(&mut command)
    };
    let said = start(&next, &[&second, &first]).exits(0);
    assert!(said.squeezed().contains("withitssupplementthistle-quill-2029-s1"), "{}", said.out);
    let blocks = fs::read_to_string(next.join("plan/blocks.csv")).expect("the blocks");
    let k2 = blocks.lines().find(|line| line.starts_with("K2,")).expect("the row");
    assert!(k2.contains(",1195,"), "{k2}");
    let note = "thistle-quill-2029-s1 E2: height_mm was 1200, is 1190; says N. Harrowgate, 2034-06-12; \
                thistle-quill-2029-s2 E1: height_mm was 1200, is 1195; says N. Harrowgate, 2034-06-12";
    assert!(k2.contains(note), "{k2}");
    let k1 = blocks.lines().find(|line| line.starts_with("K1,")).expect("the row");
    assert!(k1.ends_with(&format!("{SMALL},")), "{k1}");
    let toml = fs::read_to_string(next.join("docking.toml")).expect("the form");
    assert!(toml.contains("owner = \"The Quill Trust\""), "{toml}");
    assert!(toml.contains("note_corrected = \"thistle-quill-2029-s1 E3: owner was"), "{toml}");
    let anodes = fs::read_to_string(next.join("hull/anodes.csv")).expect("the anodes");
    assert!(anodes.contains("thistle-quill-2029-s1: the whole row"), "{anodes}");
    // History stands as it was, with the supplements beside it.
    let past = next.join(format!("history/{SMALL}"));
    let was = include_str!("../formats/project/plan/blocks.csv");
    assert_eq!(fs::read_to_string(past.join("plan/blocks.csv")).expect("the blocks"), was);
    let errata = past.join(format!("supplements/{SMALL}-s2/errata.csv"));
    assert!(fs::read_to_string(errata).expect("the errata").contains("1195"));
    // Without the one between, nothing is made.
    let other = room.at("other");
    let said = start(&other, &[&second]).exits(1);
    assert!(said.squeezed().contains("isnosupplementtothisbundle"), "{}", said.err);
    let said = start(&other, &[&first, &first]).exits(1);
    assert!(said.squeezed().contains("donotmakeuponeline"), "{}", said.err);
    assert!(start(&other, &[&bundle]).exits(1).err.contains("is no supplement"));
    assert!(!other.exists());
}

#[test]
fn a_project_with_supplements_in_its_history_is_read_and_hands_them_on() {
    let room = Room::filled();
    let (zip, next) = (room.sealed("s1", &[]), room.at("next"));
    let mut start = program();
    start.arg("start").arg(&next).arg("--from").arg(frozen("0.7.0")).arg("--supplement").arg(zip);
    run(&mut start).exits(0);
    let said = run(program().args(["check", "--json"]).arg(&next));
    let told = format!("{}{}", said.out, said.err);
    assert!(!told.contains("supplements/"), "{told}");

    // What it corrects stands beside the record that it corrects, and that record stands as it was.
    let page = room.at("page.html");
    run(program().arg("page").arg(&next).arg("--out").arg(&page)).exits(0);
    let html = squeezed(&fs::read_to_string(&page).expect("the page"));
    for said in ["saythatthesevaluesofearlierrecordsarewrong", "recordsastheirbundleshavethem"] {
        assert!(html.contains(said), "no {said} on the page");
    }
    let mut compare = program();
    compare.arg("compare").arg(frozen("0.7.0")).arg(&next).arg("--json");
    let compared = run(&mut compare).exits(0).json();
    let corrections = compared["corrections"].as_array().expect("a list");
    assert_eq!(corrections.len(), 1, "{corrections:?}");
    let one = &corrections[0];
    assert_eq!(one["docking"], SMALL);
    assert_eq!(one["supplement"], format!("{SMALL}-s1"));
    assert!(one["stands"] != one["right"] && one["ground"].is_string(), "{one:?}");
    // The same supplement given as well adds nothing, and one that follows it counts instead.
    let bundle = frozen("0.7.0");
    let first = room.at(&format!("s1-sealed/{SMALL}-s1.zip"));
    room.supplement(&bundle, "s2", &[&first]).exits(0);
    room.fill("s2", &LEVEL.replace("-1.810", "-1.815"));
    let second = room.sealed("s2", &[&first]);
    compare.arg("--supplement").arg(&first).arg("--supplement").arg(&second);
    let compared = run(&mut compare).exits(0).json();
    let corrections = compared["corrections"].as_array().expect("a list");
    assert_eq!(corrections.len(), 2, "{corrections:?}");
    assert_eq!(corrections[0]["superseded_by"], format!("{SMALL}-s2 E1"));
    assert_eq!(corrections[1]["superseded_by"], serde_json::Value::Null);
    let said = run(program().arg("compare").arg(frozen("0.7.0")).arg(&next)).exits(0);
    assert!(said.squeezed().contains("Whatsupplementssayoftheserecords"), "{}", said.out);
}

#[test]
fn a_supplement_in_a_history_that_cannot_be_read_is_named_with_its_place() {
    let room = Room::filled();
    let (zip, next) = (room.sealed("s1", &[]), room.at("next"));
    let mut start = program();
    start.arg("start").arg(&next).arg("--from").arg(frozen("0.7.0")).arg("--supplement").arg(zip);
    run(&mut start).exits(0);
    let errata = format!("history/{SMALL}/supplements/{SMALL}-s1/errata.csv");
    let text = fs::read_to_string(next.join(&errata)).expect("the errata");
    fs::write(next.join(&errata), text.replace("2034-06-12", "some day")).expect("to write it");
    let said = run(program().arg("check").arg(&next)).exits(1);
    let said = said.squeezed();
    assert!(said.contains(&squeezed(&errata)) && said.contains("someday"), "{said}");
}

#[test]
fn a_page_and_a_comparison_show_what_supplements_say_beside_the_record() {
    let room = Room::filled();
    let bundle = frozen("0.7.0");
    let first = room.sealed("s1", &[]);
    room.supplement(&bundle, "s2", &[&first]).exits(0);
    room.fill("s2", &LEVEL.replace("E1", "F7").replace("-1.810", "-1.815"));
    let second = room.sealed("s2", &[&first]);
    let page = |name: &str, supplements: &[&Path]| {
        let out = room.at(name);
        let mut command = program();
        command.arg("page").arg(&bundle).arg("--out").arg(&out);
        supplements.iter().for_each(|path| {
            command.arg("--supplement").arg(path);
        });
        (run(&mut command), out)
    };
    let (said, plain) = page("plain.html", &[]);
    said.exits(0);
    let plain = fs::read_to_string(plain).expect("the page");
    assert!(!plain.contains("What became known later"));
    // In whatever order they are given.
    let (said, both) = page("both.html", &[&second, &first]);
    said.exits(0);
    let (said, again) = page("again.html", &[&first, &second]);
    said.exits(0);
    let both = fs::read_to_string(both).expect("the page");
    assert!(both == fs::read_to_string(again).expect("the page"));
    let html = squeezed(&both);
    for wanted in [
        "Whatbecameknownlater",
        "2supplementstothisrecord",
        "2supplementsfollowit",
        "-1.801",
        "-1.810",
        "-1.815",
        "thelevelbookhasit",
        "mass_found_kg4",
        "hull/anodes.csv",
    ] {
        assert!(html.contains(&squeezed(wanted)), "no {wanted} on the page");
    }
    // K2 stands in the cards as well, and so does what is wrong in it.
    assert_eq!(both.matches("What supplements say is wrong in it").count(), 1);
    let at = |words: &str| both.find(words).unwrap_or_else(|| panic!("no {words}"));
    assert!(at("-1.810") < at("-1.815"), "not in the order of the line");
    let refused = |said: Said, out: PathBuf, wanted: &str| {
        said.exits(1).squeezed().contains(&squeezed(wanted)).then_some(()).expect(wanted);
        assert!(!out.exists());
    };
    let (said, out) = page("refused.html", &[&second]);
    refused(said, out, "is no supplement to this bundle");
    let (said, out) = page("refused.html", &[&bundle]);
    refused(said, out, "is no supplement");

    let compare = |more: &[&Path]| {
        let mut command = program();
        command.arg("compare").arg(&bundle).arg(frozen("0.6.0"));
        more.iter().for_each(|path| {
            command.arg("--supplement").arg(path);
        });
        command
    };
    let json = run(compare(&[&second, &first]).arg("--json")).json();
    let corrections = json["corrections"].as_array().expect("a list");
    assert_eq!(corrections.len(), 2, "{corrections:?}");
    assert_eq!(json["supplements"][1]["name"], format!("{SMALL}-s2"));
    assert_eq!(json["supplements"][0]["rows"][0]["file"], "hull/anodes.csv");
    let said = run(&mut compare(&[&first]));
    assert!(said.squeezed().contains("Whatsupplementssayoftheserecords"), "{}", said.out);
    let mut other = program();
    other.arg("compare").arg(frozen("0.6.0")).arg(frozen("0.5.0")).arg("--supplement").arg(&first);
    let said = run(&mut other).exits(1);
    assert!(said.squeezed().contains("supplementsneitherofthesebundles"), "{}", said.err);
}

#[test]
fn a_project_takes_no_supplement() {
    let room = Room::filled();
    let zip = room.sealed("s1", &[]);
    let mut page = program();
    page.arg("page").arg(crate::common::small()).arg("--supplement").arg(&zip);
    let said = run(page.arg("--out").arg(room.at("page.html"))).exits(1);
    assert!(said.squeezed().contains("supplementsfollowabundle"), "{}", said.err);
    assert!(!room.at("page.html").exists());
}

#[test]
fn one_is_signed_and_logged_as_a_bundle_is() {
    let room = Room::filled();
    let key = room.at("key");
    let pair = ssh_key::private::Ed25519Keypair::from_seed(&[31; 32]);
    ssh_key::PrivateKey::from(pair)
        .write_openssh_file(&key, ssh_key::LineEnding::LF)
        .expect("to write it");
    let log = room.at("log.csv");
    let seal = |log: &Path| {
        let mut command = program();
        command.arg("supplement").arg(frozen("0.7.0")).arg(room.at("s1"));
        command.arg("--sign-with").arg(&key).arg("--log").arg(log);
        run(command.args(["--log-at", "2034-06-13T09:30:00Z"]))
    };
    let said = seal(&room.at("s1/log.csv")).exits(1);
    assert!(said.squeezed().contains("liesinsidetheproject"), "{}", said.err);
    assert!(!room.at("s1-sealed").exists());
    seal(&log).exits(0);
    let zip = room.at(&format!("s1-sealed/{SMALL}-s1.zip"));
    assert!(zip.with_file_name(format!("{SMALL}-s1-seal.sig")).exists());
    let said = verify(&[&frozen("0.7.0"), &zip]).exits(0);
    assert!(said.out.contains("signed"), "{}", said.out);
    let logged = fs::read_to_string(&log).expect("the log");
    assert!(logged.contains("information package creation"), "{logged}");
    assert!(logged.contains(&format!("{SMALL}-s1.zip")), "{logged}");
}

#[test]
fn two_that_follow_the_same_are_no_line_and_a_copy_is_no_other() {
    let room = Room::filled();
    let bundle = frozen("0.7.0");
    let first = room.sealed("s1", &[]);
    let copy = room.at("copy.zip");
    fs::copy(&first, &copy).expect("a copy");
    verify(&[&bundle, &first, &copy]).exits(0);
    room.append("s1/errata.csv", &LEVEL.replace("E1", "E2").replace("K2", "K3"));
    let text = fs::read_to_string(room.at("s1/errata.csv")).expect("the errata");
    let blocks = include_str!("../formats/project/plan/blocks.csv");
    let k3 = blocks.lines().find(|line| line.starts_with("K3,")).expect("a row");
    let level = k3.split(',').find(|cell| cell.starts_with("-1.")).expect("a level");
    let (before, last) = text.trim_end().rsplit_once('\n').expect("rows");
    let text = format!("{before}\n{}\n", last.replace("-1.801", level));
    fs::write(room.at("s1/errata.csv"), text).expect("to write it");
    let other = room.at("other");
    run(program().arg("supplement").arg(&bundle).arg(room.at("s1")).arg("--out").arg(&other))
        .exits(0);
    let said = verify(&[&bundle, &first, &other]).exits(3);
    assert!(said.squeezed().contains("bothfollowthistle-quill-2029"), "{}", said.out);
}

#[test]
fn of_a_damaged_one_nothing_is_said_but_that() {
    let room = Room::filled();
    let bag = unpack(&room.sealed("s1", &[]), &room.at("unpacked"));
    let errata = bag.join("data/records/errata.csv");
    let text = fs::read_to_string(&errata).expect("the errata");
    fs::write(&errata, text.replace("-1.810", "-1.820")).expect("to write it");
    let said = verify(&[&frozen("0.7.0"), &bag]).exits(3);
    assert!(said.out.contains("not judged") && !said.out.contains("follows"), "{}", said.out);
}

#[test]
fn each_of_several_is_held_against_its_own_seal() {
    let room = Room::filled();
    let (bundle, zip) = (frozen("0.7.0"), room.sealed("s1", &[]));
    let seals = verify(&[&bundle, &zip]).exits(0);
    let seals: Vec<&str> = seals
        .out
        .lines()
        .filter(|line| {
            line.trim().len() == 79
                && line.trim().chars().all(|c| c.is_ascii_hexdigit() || c == ' ')
        })
        .map(str::trim)
        .collect();
    let both = |seals: &[&str]| {
        let mut command = program();
        command.arg("verify").arg(&bundle).arg(&zip);
        seals.iter().for_each(|seal| {
            command.arg("--seal").arg(seal);
        });
        run(&mut command)
    };
    let said = both(&[seals[0], seals[1]]).exits(0);
    assert_eq!(said.out.matches("it is the seal given").count(), 2, "{}", said.out);
    let said = both(&[seals[1]]).exits(0);
    assert_eq!(said.out.matches("it is the seal given").count(), 1, "{}", said.out);
    let wrong = seals[0].replace('1', "2");
    assert!(both(&[&wrong, seals[1]]).exits(3).out.contains("other seal"));
}

#[test]
fn errata_by_line_and_rows_that_are_added_stand_on_their_cards() {
    let room = Room(temporary());
    let bundle = &closed().zip;
    room.supplement(bundle, "s1", &[]).exits(0);
    let plating = include_str!("../../sample-project/hull/plating.csv");
    let mut lines = plating.lines();
    let header: Vec<&str> = lines.next().expect("a header").split(',').collect();
    let at = |name: &str| header.iter().position(|one| *one == name).expect("a column");
    let row: Vec<&str> = lines.next().expect("a row").split(',').collect();
    let (strake, plate, measured) = (row[at("strake")], row[at("plate")], row[at("measured_mm")]);
    let erratum = format!(
        "E1,,hull/plating.csv,,2,measured_mm,{measured},7.0,N. Harrowgate,2034-06-12,the field book\n"
    );
    room.fill("s1", &erratum);
    let own = fs::read_to_string(room.at("s1/hull/plating.csv")).expect("the table");
    let own: Vec<&str> = own.trim().split(',').collect();
    let cells = own.iter().map(|name| match *name {
        "strake" => strake,
        "plate" => plate,
        "measured_mm" => "6.8",
        "at" => "2034-06-10T09:00:00+01:00",
        "by" => "N. Harrowgate",
        name => header.iter().position(|one| *one == name).map_or("", |at| row[at]),
    });
    let cells = cells.collect::<Vec<_>>().join(",");
    room.append("s1/hull/plating.csv", &format!("{cells}\n"));
    room.supplement(bundle, "s1", &[]).exits(0);
    let zip = room.at(&format!("s1-sealed/{NAME}-s1.zip"));
    let page = room.at("page.html");
    let mut command = program();
    command.arg("page").arg(bundle).arg("--supplement").arg(&zip).arg("--out").arg(&page);
    run(&mut command);
    let html = fs::read_to_string(&page).expect("the page");
    let card = html.split(&format!("id=\"plate.{strake}.{plate}\"")).nth(1).expect("the card");
    let card = card.split("</article>").next().expect("its end");
    assert!(
        card.contains("What supplements say is wrong in it") && card.contains("the field book"),
        "{card}"
    );
    assert!(card.contains("What supplements add about it") && card.contains("6.8"), "{card}");
}
