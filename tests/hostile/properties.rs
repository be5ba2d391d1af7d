//! Every reader of what strangers hand in, with inputs by chance and with those that once were too much for it.

#![allow(clippy::disallowed_methods, reason = "how long a reader takes is what is looked at")]

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use lastdock::bundle::digest;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestError, TestRng, TestRunner};

use super::readers::{READERS, Reader, csv};

/// Longest that one input may take.
const PATIENCE: Duration = Duration::from_secs(20);

/// How an input differs from one that is sound.
#[derive(Debug, Clone)]
enum Change {
    Put(Index, Vec<u8>),
    Over(Index, Vec<u8>),
    Cut(Index, usize),
    Copy(Index, Index, usize),
    End(Index),
}

impl Change {
    fn to(&self, bytes: &mut Vec<u8>) {
        let room = bytes.len() + 1;
        match self {
            Change::Put(at, new) => {
                let at = at.index(room);
                bytes.splice(at..at, new.iter().copied());
            }
            Change::Over(at, new) => {
                let at = at.index(room);
                let to = (at + new.len()).min(bytes.len());
                bytes.splice(at..to, new.iter().copied());
            }
            Change::Cut(at, count) => {
                let at = at.index(room);
                let to = (at + count).min(bytes.len());
                bytes.drain(at..to);
            }
            Change::Copy(from, at, count) => {
                let from = from.index(room);
                let to = (from + count).min(bytes.len());
                let copied = bytes[from..to].to_vec();
                let at = at.index(room);
                bytes.splice(at..at, copied);
            }
            Change::End(at) => bytes.truncate(at.index(room)),
        }
    }
}

/// Inputs of a reader: a seed with some changes, or blind bytes.
fn inputs(reader: &Reader) -> impl Strategy<Value = Vec<u8>> + use<> {
    let words: Vec<Vec<u8>> = reader.words.iter().map(|word| word.as_bytes().to_vec()).collect();
    let new = prop_oneof![
        4 => select(words),
        2 => vec(any::<u8>(), 1..9),
        1 => "[0-9.,:eE+-]{1,12}".prop_map(String::into_bytes),
        1 => "\\PC{1,8}".prop_map(String::into_bytes),
    ];
    let at = any::<Index>;
    let change = prop_oneof![
        4 => (at(), new.clone()).prop_map(|(at, new)| Change::Put(at, new)),
        4 => (at(), new).prop_map(|(at, new)| Change::Over(at, new)),
        2 => (at(), 1..40_usize).prop_map(|(at, count)| Change::Cut(at, count)),
        2 => (at(), at(), 1..200_usize).prop_map(|(from, at, count)| Change::Copy(from, at, count)),
        1 => at().prop_map(Change::End),
    ];
    let changed = (select((reader.seeds)()), vec(change, 0..6)).prop_map(|(mut bytes, changes)| {
        changes.iter().for_each(|change| change.to(&mut bytes));
        bytes
    });
    prop_oneof![9 => changed, 1 => vec(any::<u8>(), 0..600)]
}

/// Where inputs are kept that once were too much for a reader.
fn found(reader: &Reader) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile/found").join(reader.name)
}

/// Has a reader read some bytes; what goes wrong is told as a sentence.
fn tried(reader: &Reader, bytes: &[u8]) -> Result<(), String> {
    let began = Instant::now();
    let said = catch_unwind(AssertUnwindSafe(|| (reader.read)(bytes)));
    let took = began.elapsed();
    match said {
        Ok(()) if took < PATIENCE => Ok(()),
        Ok(()) => Err(format!("took {} s", took.as_secs())),
        Err(panic) => Err(panic
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| panic.downcast_ref::<&str>().map(|text| text.to_string()))
            .unwrap_or_else(|| "a panic without words".to_string())),
    }
}

fn reader_of(name: &str) -> &'static Reader {
    READERS.iter().find(|reader| reader.name == name).expect("a reader")
}

/// Tries a reader with inputs by chance, the same in every run. One that is too much for it is made as small as
/// it goes and kept. PROPTEST_CASES asks for more of them.
fn holds(name: &str, cases: u32) {
    let reader = reader_of(name);
    let asked = std::env::var("PROPTEST_CASES").ok().and_then(|count| count.parse().ok());
    let config = Config {
        cases: asked.unwrap_or(cases),
        failure_persistence: None,
        max_shrink_iters: 2000,
        ..Config::default()
    };
    let chance = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(config, chance);
    let said =
        runner.run(&inputs(reader), |bytes| tried(reader, &bytes).map_err(TestCaseError::fail));
    if let Err(TestError::Fail(why, bytes)) = said {
        let folder = found(reader);
        fs::create_dir_all(&folder).expect("a folder for what was found");
        let kept = folder.join(&digest::sha256(&bytes)[..16]);
        fs::write(&kept, &bytes).expect("to keep what was found");
        panic!("{why}\nkept as {}: {:?}", kept.display(), String::from_utf8_lossy(&bytes));
    }
    said.expect("a runner that runs");
}

#[test]
fn toml_holds() {
    holds("toml", 600);
}

#[test]
fn csv_holds() {
    holds("csv", 600);
}

#[test]
fn workbooks_hold() {
    holds("workbook", 1000);
}

#[test]
fn cells_hold() {
    holds("cells", 600);
}

#[test]
fn bundles_hold() {
    holds("bundle", 300);
}

#[test]
fn supplements_hold() {
    holds("supplement", 300);
}

#[test]
fn tags_hold() {
    holds("tags", 5000);
}

#[test]
fn signers_hold() {
    holds("signers", 5000);
}

#[test]
fn recovery_holds() {
    holds("recovery", 300);
}

#[test]
#[ignore = "slow: .ci/run runs it"]
fn reports_hold() {
    holds("report", 12);
}

#[test]
fn papers_hold() {
    holds("papers", 500);
}

#[test]
fn pictures_hold() {
    holds("pictures", 500);
}

#[test]
fn seeds_are_read() {
    for reader in READERS.iter().filter(|reader| reader.name != "report") {
        for seed in (reader.seeds)() {
            let said = tried(reader, &seed);
            assert_eq!(said, Ok(()), "{}: {:?}", reader.name, String::from_utf8_lossy(&seed));
        }
    }
}

#[test]
fn columns_take_what_stands_at_their_ends() {
    let mut count = 0;
    for bytes in csv::inputs_at_the_ends() {
        let said = tried(reader_of("csv"), &bytes);
        assert_eq!(said, Ok(()), "{}: {:?}", bytes[0], String::from_utf8_lossy(&bytes));
        count += 1;
    }
    assert!(count > 500, "only {count} inputs");
}

#[test]
fn what_was_found_once_is_read() {
    let mut count = 0;
    for reader in READERS {
        let Ok(entries) = fs::read_dir(found(reader)) else { continue };
        for entry in entries {
            let path = entry.expect("an entry").path();
            let said = tried(reader, &fs::read(&path).expect("a file"));
            assert_eq!(said, Ok(()), "{}", path.display());
            count += 1;
        }
    }
    println!("{count} inputs");
}
