//! What the bundle's README.txt tells a reader without the program to do, done: checking with common
//! tools and with the script that it prints, and taking files out of a zip that lost its directory.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use lastdock::bundle::readme::RULER;

use crate::common::{NAME, Zip, closed, files, run, temporary, unpacked_copy};
use crate::judge::{content, judge, on_path};

fn readme() -> String {
    fs::read_to_string(closed().folder.join("data/README.txt")).expect("the README")
}

/// A script as a reader copies it out of the README.
fn script(name: &str, folder: &Path) -> PathBuf {
    let readme = readme();
    let (_, rest) = readme.split_once(&format!("{RULER}{name} begins\n")).expect("the first ruler");
    let (script, _) = rest.split_once(&format!("{RULER}{name} ends\n")).expect("the second ruler");
    let place = folder.join(name);
    fs::write(&place, script).expect("to write it");
    place
}

/// The lines that the README prints, indented by two, with a word in them.
fn commands(word: &str) -> Vec<String> {
    let readme = readme();
    let found: Vec<String> = readme
        .lines()
        .filter_map(|line| line.strip_prefix("  "))
        .filter(|line| line.split_whitespace().next() == Some(word))
        .map(str::to_string)
        .collect();
    assert!(!found.is_empty(), "no {word} in the README");
    found
}

fn shell(line: &str, folder: &Path) -> Command {
    let mut command = on_path("sh");
    command.arg("-c").arg(line).current_dir(folder);
    command
}

#[test]
#[ignore = "needs GNU coreutils and shasum, see tests/outside/README.md"]
fn the_commands_that_check_do_as_they_should() {
    for (tool, lines) in [("sha256sum", 3), ("shasum", 3)] {
        let commands = commands(tool);
        assert_eq!(commands.len(), lines, "{commands:?}");
        for line in &commands {
            content(&mut shell(line, &closed().folder));
        }
        let (_keep, bag) = unpacked_copy();
        fs::write(bag.join("data/records/remarks.toml"), "# nothing\n").expect("to change it");
        let failed = commands.iter().filter(|line| run(&mut shell(line, &bag)).status != 0).count();
        assert_eq!(failed, 1, "{tool}");
    }
    let kept = fs::read_to_string(&closed().seal_file).expect("the seal");
    for tool in ["sha256sum", "shasum"] {
        let seal = commands(tool).pop().expect("the last");
        let said = content(&mut shell(&seal, &closed().folder));
        assert_eq!(said.out[..64], kept.lines().next().expect("the seal").replace(' ', ""));
    }
}

#[test]
#[ignore = "needs Python 3, see tests/outside/README.md"]
fn the_script_that_checks_finds_a_change() {
    let folder = temporary();
    let check = script("check.py", folder.path());
    let said = content(judge("python").arg(&check).current_dir(&closed().folder));
    let kept = fs::read_to_string(&closed().seal_file).expect("the seal");
    assert!(said.out.contains("every listed file is whole"), "{}", said.out);
    assert!(said.out.contains(&format!("seal: {}", kept.lines().next().expect("the seal"))));
    let (_keep, bag) = unpacked_copy();
    fs::write(bag.join("data/records/remarks.toml"), "# nothing\n").expect("to change it");
    fs::remove_file(bag.join("data/findings.csv")).expect("to remove it");
    let said = run(judge("python").arg(&check).current_dir(&bag)).exits(1);
    assert!(said.out.contains("changed: data/records/remarks.toml"), "{}", said.out);
    assert!(said.out.contains("can't be read: data/findings.csv"), "{}", said.out);
}

/// The bundle without its directory, and with a byte of one record changed if asked for.
fn damaged(folder: &Path, spoil: bool) -> PathBuf {
    let mut bytes = fs::read(&closed().zip).expect("the bundle");
    let directory = bytes.windows(4).rposition(|four| four == b"PK\x05\x06").expect("an end");
    let at = u32::from_le_bytes(bytes[directory + 16..directory + 20].try_into().expect("four"));
    bytes.truncate(at as usize);
    if spoil {
        let name = format!("{NAME}/data/records/remarks.toml");
        let name = name.as_bytes();
        let at = bytes.windows(name.len()).position(|here| here == name).expect("its header");
        bytes[at + name.len() + 100] ^= 1;
    }
    let place = folder.join(format!("{NAME}.zip"));
    fs::write(&place, bytes).expect("to write it");
    place
}

#[test]
#[ignore = "needs Python 3 and Info-ZIP unzip, see tests/outside/README.md"]
fn the_script_that_rescues_needs_no_directory() {
    let folder = temporary();
    let rescue = script("rescue.py", folder.path());
    let zip = damaged(folder.path(), false);
    assert_ne!(run(on_path("unzip").arg("-t").arg(&zip)).status, 0, "unzip gives up");
    let out = folder.path().join("rescued");
    content(judge("python").arg(&rescue).arg(&zip).arg(&out));
    assert!(files(&out.join(NAME)) == files(&closed().folder), "every file, byte for byte");

    let zip = damaged(folder.path(), true);
    let out = folder.path().join("again");
    let said = content(judge("python").arg(&rescue).arg(&zip).arg(&out));
    assert_eq!(said.out.matches("damaged").count(), 1, "{}", said.out);
    let found = files(&out.join(NAME));
    assert_eq!(found.len(), files(&closed().folder).len());
    assert!(found.iter().any(|(path, _)| path == "data/records/remarks.toml.damaged"));
}

const SIXTY_FOUR: &str = "
import sys, zipfile
with zipfile.ZipFile(sys.argv[1], 'w') as z:
    with z.open(zipfile.ZipInfo('one/two.txt'), 'w', force_zip64=True) as entry:
        entry.write(b'a text')
    z.writestr('../three.txt', b'not to be written')
";

/// An entry whose sizes stand in the Zip64 field of its local header, and one that leads out.
#[test]
#[ignore = "needs Python 3, see tests/outside/README.md"]
fn the_script_that_rescues_reads_zip64_and_writes_nothing_outside() {
    let folder = temporary();
    let rescue = script("rescue.py", folder.path());
    let (zip, out) = (folder.path().join("big.zip"), folder.path().join("in/out"));
    content(judge("python").args(["-c", SIXTY_FOUR]).arg(&zip));
    content(judge("python").arg(&rescue).arg(&zip).arg(&out));
    assert_eq!(
        files(&folder.path().join("in")),
        [("out/one/two.txt".to_string(), b"a text".to_vec())]
    );
}

#[test]
#[ignore = "needs Info-ZIP zip and unzip, see tests/outside/README.md"]
fn zip_makes_a_new_directory_as_the_readme_says() {
    let folder = temporary();
    damaged(folder.path(), false);
    let repair = commands("zip").pop().expect("the command");
    let sheet = fs::read_to_string(&closed().seal_file).expect("the seal");
    assert!(sheet.contains(&repair), "{sheet}");
    // zip asks whether the archive is of one piece.
    content(&mut shell(&format!("echo y | {repair}"), folder.path()));
    content(&mut shell(&commands("unzip")[0].replace("unzip", "unzip -q"), folder.path()));
    assert!(files(&folder.path().join(NAME)) == files(&closed().folder));
}

/// What README.txt says of the repair data, done; and the same on the sheet that is kept beside the zip,
/// since a README inside a damaged zip can't be read.
#[test]
#[ignore = "needs Debian's par2, see tests/outside/README.md"]
fn par2_mends_as_the_readme_and_the_seal_say() {
    let lines = commands("par2");
    assert_eq!(lines.len(), 2, "{lines:?}");
    let sheet = fs::read_to_string(&closed().seal_file).expect("the seal");
    let on_sheet: Vec<&str> =
        sheet.lines().map(str::trim).filter(|line| line.starts_with("par2 ")).collect();
    assert_eq!(on_sheet, [&lines[1]]);
    let zip = Zip::copied();
    let mut bytes = zip.bytes.clone();
    let middle = bytes.len() / 2;
    bytes[middle..middle + 2000].fill(0x55);
    zip.becomes(&bytes);
    assert_ne!(run(&mut shell(&lines[0], zip.folder())).status, 0, "verify sees it");
    content(&mut shell(&lines[1], zip.folder()));
    assert!(fs::read(&zip.path).expect("the mended bundle") == zip.bytes);
    content(&mut shell(&lines[0], zip.folder()));
}
