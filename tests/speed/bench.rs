//! How long the parts of the work take on the sample project: `cargo bench`. `side-by-side` beside this file
//! holds the whole against what a user would use instead.

mod inputs;

use std::path::Path;

use divan::counter::BytesCount;
use divan::{Bencher, black_box};
use inputs::Ready;
use lastdock::bundle::digest;
use lastdock::bundle::open::Bundle;
use lastdock::bundle::recompute::recompute;
use lastdock::bundle::verify::fixity;
use lastdock::findings;
use lastdock::records::problem::Problems;
use lastdock::records::store::Folder;
use lastdock::records::{self, Project};
use lastdock::report::{self, figures};

const SAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-project");
const BUNDLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/handover/calder-wren-2006.zip");

fn main() {
    divan::main();
}

fn project() -> Project {
    let mut problems = Problems::default();
    let folder = Folder::open(Path::new(SAMPLE), &mut problems);
    records::read(&folder, problems).expect("a sound project")
}

#[divan::bench]
fn read() -> Project {
    project()
}

#[divan::bench]
fn examine(bencher: Bencher) {
    bencher.with_inputs(project).bench_values(findings::examine);
}

#[divan::bench]
fn draw(bencher: Bencher) {
    let examined = findings::examine(project()).expect("remarks that answer findings");
    bencher.bench(|| figures::drawings(black_box(&examined)));
}

#[divan::bench(sample_count = 5)]
fn typeset(bencher: Bencher) {
    let ready = Ready::new(Path::new(SAMPLE));
    bencher.bench(|| report::typeset(&ready.inputs()));
}

#[divan::bench]
fn both_digests(bencher: Bencher) {
    let bytes = vec![0x5a; 16 << 20];
    bencher.counter(BytesCount::new(bytes.len())).bench(|| digest::digests(black_box(&bytes)));
}

#[divan::bench]
fn fixity_of_a_bundle(bencher: Bencher) {
    let bundle = Bundle::open(Path::new(BUNDLE)).expect("a bundle");
    let bytes: u64 = bundle.sizes().map(|(_, size)| size).sum();
    bencher.counter(BytesCount::new(bytes)).bench(|| fixity(&bundle, &|_| ()));
}

#[divan::bench]
fn recomputation_of_a_bundle(bencher: Bencher) {
    let bundle = Bundle::open(Path::new(BUNDLE)).expect("a bundle");
    bencher.bench(|| recompute(&bundle, "lastdock"));
}
