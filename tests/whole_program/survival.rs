//! How much of a closeout survives damage all over it.

use std::fs;
use std::path::Path;

use crate::common::{NAME, closed, files, program, run, temporary};

/// Numbers that only look random, the same in every run.
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % bound
    }

    /// Spoils 3 % of a file's bytes in 300 places of one length, of a small file in as many as it has such bytes.
    fn spoil(&mut self, path: &Path) {
        let mut bytes = fs::read(path).expect("a file");
        let spoilt = (bytes.len() * 3).div_ceil(100);
        let places = spoilt.min(300);
        let length = spoilt.div_ceil(places.max(1));
        for _ in 0..places {
            let at = self.below(bytes.len() - length + 1);
            bytes[at..at + length].iter_mut().for_each(|byte| *byte = !*byte);
        }
        fs::write(path, bytes).expect("to write it");
    }
}

/// Of everything that a closeout of the sample writes, recovery data included, 3 % of each file's bytes are spoilt in
/// 300 places: the zip is mended byte for byte, and so every record and paper is.
#[test]
fn three_percent_of_every_file_lost_in_300_places_lose_nothing() {
    for start in [1, 2, 3] {
        let mut chance = Chance(start);
        let folder = temporary();
        for (path, bytes) in files(closed().zip.parent().expect("a folder")) {
            // What the tests unpacked stands in a folder beside it.
            if !path.contains('/') {
                let place = folder.path().join(&path);
                fs::write(&place, bytes).expect("to write it");
                chance.spoil(&place);
            }
        }
        let zip = folder.path().join(format!("{NAME}.zip"));
        let said = run(program().arg("mend").arg(&zip)).exits(3);
        let missing = said.out.lines().find(|line| line.contains("missing or damaged"));
        println!("from {start}: {}", missing.unwrap_or_default());
        let mended = folder.path().join(format!("{NAME}-mended.zip"));
        let was = fs::read(&closed().zip).expect("the bundle");
        assert!(fs::read(mended).is_ok_and(|mended| mended == was), "{}", said.out);
    }
}
