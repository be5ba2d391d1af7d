//! Projects and bundles that change while they are read.

use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::common::{Said, run};
use crate::kills::{in_staging_dirs, send, wait_until};
use crate::work::{CARRIED, CLOSEOUT, Laid, MENDED, NAME, Work, files, is_clear};

/// Runs it, and holds it still while something is done to what it reads: once it has begun to write, which
/// is after it has listed its project, and long before anything takes a final name.
fn with<'a>(work: &'a Work, prepared: impl Fn(&Path), done: impl Fn(&Path)) -> (Laid<'a>, Said) {
    let place = Laid::new(work);
    prepared(&place.path("in"));
    let mut command = place.command();
    let mut child =
        command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program");
    let begun = || in_staging_dirs(&place).iter().any(|size| *size > 0);
    assert!(wait_until(&mut child, begun), "it ended too soon");
    send("STOP", &child);
    done(&place.path("in"));
    send("CONT", &child);
    let said = Said::from_output(child.wait_with_output().expect("its end"));
    (place, said)
}

/// Bytes of a paper that takes a while to be packed.
const LARGE: u64 = 24 << 20;

/// A large paper that comes first, so that the run is held still while it is packed.
fn large_paper(read: &Path) {
    let papers = read.join("project/papers");
    let file = fs::File::create(papers.join("a-scan.bin")).expect("a paper");
    file.set_len(LARGE).expect("to grow");
}

#[test]
fn what_changes_while_a_project_is_closed_out_is_refused() {
    let in_place = |path: &Path, with: &str| {
        let mut file = OpenOptions::new().write(true).open(path).expect("a paper");
        file.write_all(with.as_bytes()).expect("to write");
    };
    type Change<'a> = (&'a str, &'a str, &'a dyn Fn(&Path));
    let changes: [Change<'_>; 9] = [
        ("papers/a-scan.bin", "changed while", &|path| in_place(path, "a byte or two")),
        ("papers/a-scan.bin", "changed while", &|path| {
            OpenOptions::new()
                .write(true)
                .open(path)
                .expect("it")
                .set_len(LARGE / 2)
                .expect("to cut");
        }),
        ("papers/a-scan.bin", "changed while", &|path| {
            OpenOptions::new()
                .write(true)
                .open(path)
                .expect("it")
                .set_len(LARGE + 1)
                .expect("to grow");
        }),
        ("papers/a-scan.bin", "changed while", &|path| {
            let other = path.with_extension("new");
            fs::File::create(&other).expect("another").set_len(LARGE).expect("to grow");
            fs::rename(&other, path).expect("to replace it");
        }),
        ("papers/a-scan.bin", "was removed while", &|path| {
            fs::remove_file(path).expect("to remove it");
        }),
        ("papers/note.txt", "was removed while", &|path| {
            fs::remove_file(path).expect("to remove it");
        }),
        ("papers/note.txt", "changed while", &|path| {
            fs::remove_file(path).expect("to remove it");
            std::os::unix::fs::symlink("/etc/hostname", path).expect("a link");
        }),
        // To open it would be to wait for ever.
        ("papers/note.txt", "changed while", &|path| {
            fs::remove_file(path).expect("to remove it");
            run(Command::new("mkfifo").arg(path)).exits(0);
        }),
        ("plan/blocks.csv", "changed while", &|path| {
            let text = fs::read_to_string(path).expect("a record");
            fs::write(path, text.replace("\r\n", "\n") + "\n").expect("to write");
        }),
    ];
    for (number, (file, words, change)) in changes.into_iter().enumerate() {
        let (place, said) =
            with(&CLOSEOUT, large_paper, |read| change(&read.join("project").join(file)));
        is_clear(&said, &[file, words, "make sure that nobody writes to the project's folder"]);
        let left = files(&place.path("out"));
        assert!(left.is_empty() && place.staging_dirs().is_empty(), "{number}: {:?}", left.keys());
    }
}

/// What happens while it is read from beginning to end, and not while a large paper is: only a record, read
/// before anything was written, changes in one letter.
#[test]
fn a_record_that_changes_in_a_letter_is_refused() {
    let (place, said) = with(
        &CLOSEOUT,
        |_| {},
        |read| {
            let path = read.join("project/remarks.toml");
            let text = fs::read_to_string(&path).expect("remarks");
            fs::write(&path, text.replacen(' ', "\t", 1)).expect("to write");
        },
    );
    is_clear(&said, &["remarks.toml", "changed while"]);
    assert!(files(&place.path("out")).is_empty());
}

/// Cuts a zip short where it lies.
fn cut(zip: &Path) {
    let zip = OpenOptions::new().write(true).open(zip).expect("the zip");
    zip.set_len(10_000).expect("to cut");
}

/// A bundle that another takes the place of while it is mended, or that is cut: what is written is whole or
/// is not written.
#[test]
fn a_bundle_that_changes_while_it_is_read() {
    let (place, said) = with(
        &MENDED,
        |_| {},
        |read| {
            cut(&read.with_file_name("out").join(format!("{NAME}.zip")));
        },
    );
    let found = files(&place.path("out"));
    let mended = found.get(&format!("{NAME}-mended.zip"));
    let whole = &CLOSEOUT.undisturbed().after[&format!("{NAME}.zip")];
    assert!(mended.is_none_or(|mended| mended == whole), "{}{}", said.out, said.err);
    assert!(place.staging_dirs().is_empty() && !said.err.contains("panicked"));

    let (place, said) = with(
        &CARRIED,
        |_| {},
        |read| {
            cut(&read.join(format!("{NAME}.zip")));
        },
    );
    let all = files(&place.path("out")) == CARRIED.undisturbed().after;
    if !all {
        is_clear(&said, &[&format!("{NAME}.zip"), "changed while"]);
        assert!(files(&place.path("out")).is_empty() && place.staging_dirs().is_empty());
    }
}
