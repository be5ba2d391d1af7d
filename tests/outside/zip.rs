//! The zip: by Info-ZIP `unzip` and by Python's `zipfile`; and that its entries are stored, in order, with one time,
//! read by the `zip` crate.

use std::fs::File;

use crate::common::{NAME, closed, run};
use crate::damage::{truncated, without_directory, zip_with};
use crate::judge::{content, judge, on_path};

#[test]
#[ignore = "needs Info-ZIP unzip, see tests/outside/README.md"]
fn unzip_finds_no_errors() {
    let said = content(on_path("unzip").arg("-t").arg(&closed().zip));
    assert!(said.out.contains("No errors detected"), "{}", said.out);
}

const PYTHON: &str = "
import sys, zipfile
with zipfile.ZipFile(sys.argv[1]) as z:
    assert z.testzip() is None, z.testzip()
    print(len(z.namelist()), {i.compress_type for i in z.infolist()}, {i.date_time for i in z.infolist()})
";

#[test]
#[ignore = "needs Python 3, see tests/outside/README.md"]
fn python_reads_every_entry_stored_and_of_one_date() {
    let said = content(judge("python").arg("-c").arg(PYTHON).arg(&closed().zip));
    let entries = names().len();
    assert_eq!(said.out.trim(), format!("{entries} {{0}} {{(2031, 5, 16, 0, 0, 0)}}"));
}

#[test]
#[ignore = "needs Info-ZIP unzip and Python 3, see tests/outside/README.md"]
fn both_reject_a_zip_that_lost_its_end() {
    for change in [truncated, without_directory] {
        let (_keep, zip) = zip_with(change);
        assert_ne!(run(on_path("unzip").arg("-t").arg(&zip)).status, 0);
        assert_ne!(run(judge("python").arg("-c").arg(PYTHON).arg(&zip)).status, 0);
    }
}

/// The entries in the order in which they stand in the file.
fn names() -> Vec<String> {
    let mut archive =
        zip::ZipArchive::new(File::open(&closed().zip).expect("a file")).expect("a zip");
    let mut entries: Vec<(u64, String)> = (0..archive.len())
        .map(|number| {
            let entry = archive.by_index_raw(number).expect("an entry");
            (entry.header_start(), entry.name().expect("a name in UTF-8").to_string())
        })
        .collect();
    entries.sort();
    entries.into_iter().map(|(_, name)| name).collect()
}

#[test]
fn entries_stand_in_one_folder_in_the_fixed_order() {
    let names = names();
    let paths: Vec<&str> = names
        .iter()
        .map(|name| {
            name.strip_prefix(NAME).and_then(|name| name.strip_prefix('/')).expect("the folder")
        })
        .collect();
    let rank = |path: &&str| {
        const ORDER: [&str; 18] = [
            "data/papers/",
            "data/records/",
            "data/tables/",
            "data/findings.json",
            "data/findings.schema.json",
            "data/findings.csv",
            "data/drawings/",
            "data/format.txt",
            "data/README.txt",
            "data/start-here.html",
            "data/closeout-report.pdf",
            "data/closeout-summary.pdf",
            "data/closeout-tables/",
            "data/ro-crate-metadata.json",
            "manifest-sha",
            "bagit.txt",
            "bag-info.txt",
            "tagmanifest-sha",
        ];
        ORDER.iter().position(|start| path.starts_with(start)).unwrap_or_else(|| panic!("{path}"))
    };
    assert!(paths.is_sorted_by_key(rank), "{paths:#?}");
    // Within each, by name, but for the two tables' orders that follow the files of records.
    for folder in ["data/papers/", "data/records/"] {
        let inside: Vec<&&str> = paths.iter().filter(|path| path.starts_with(folder)).collect();
        assert!(inside.is_sorted() && !inside.is_empty(), "{inside:?}");
    }
}
