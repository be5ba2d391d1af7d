//! Properties of the whole: any file, any damage up to the amount bought, mended byte for byte.

use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use super::super::faulty::{FAILURE, Faulty};
use super::super::staging::StagingDir;
use super::beside::Beside;
use super::locate::{Left, locate};
use super::make::make;
use super::packet::{self, Checksum, Described, Main};
use super::read::{self, Set};
use super::repair::{is_as_described, repair, solved};

/// Numbers that only look random.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    fn below(&mut self, bound: u64) -> u64 {
        self.next() % bound
    }

    fn bytes(&mut self, count: u64) -> Vec<u8> {
        (0..count).map(|_| self.next() as u8).collect()
    }
}

/// A file with its recovery files in a folder of its own.
struct Kept {
    folder: TempDir,
    bytes: Vec<u8>,
    volume: PathBuf,
}

impl Kept {
    fn new(bytes: Vec<u8>, percent: u32) -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("a.zip");
        fs::write(&path, &bytes).expect("to write it");
        let staging = StagingDir::inside(folder.path()).expect("a staging folder");
        let made = make(&path, "a.zip", percent, &staging, &|_| {}).expect("recovery data");
        let mut places = made.into_iter().map(|made| {
            let place = folder.path().join(&made.name);
            made.file.persist(&place).expect("to put it in its place");
            place
        });
        let volume = places.next().expect("a file of recovery slices");
        assert_eq!(places.count(), 1);
        Self { folder, bytes, volume }
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("a.zip")
    }

    fn beside(&self) -> Beside {
        Beside::look(&self.path()).expect("a readable folder")
    }

    /// What is left, and the file mended if that can be done.
    fn mended(&self) -> (Left, Option<Vec<u8>>) {
        let beside = self.beside();
        let set: &Set = beside.set_of(&self.path()).expect("a set");
        let left = locate(&self.path(), set, &|_| {}).expect("a readable file");
        if left.missing().len() > set.recovery.len() {
            return (left, None);
        }
        let mut out = tempfile::NamedTempFile::new().expect("a temporary file");
        let solution = solved(&left, set).expect("a solution");
        repair(&self.path(), &left, set, &beside.found, &solution, out.as_file_mut(), &|_| {})
            .expect("to be repaired");
        assert!(is_as_described(out.path(), set, &|_| {}).expect("a readable file"));
        let mended = fs::read(out.path()).expect("the mended file");
        (left, Some(mended))
    }
}

/// Bytes of a slice of a small file.
const SLICE: u64 = 1024;
/// The same, for offsets.
const BYTES: usize = SLICE as usize;

#[test]
fn damage_up_to_the_amount_bought_is_mended_byte_for_byte() {
    let mut chance = Chance(7);
    for round in 0..40 {
        let size = 1 + chance.below(60 * SLICE);
        let percent = [1, 5, 10, 30, 100][round % 5];
        let kept = Kept::new(chance.bytes(size), percent);
        let inputs = size.div_ceil(SLICE);
        let mut bought = (inputs * u64::from(percent)).div_ceil(100);
        let mut bytes = kept.bytes.clone();

        // A recovery slice or two lost, then as many slices as are left to be spent.
        if bought > 3 {
            let mut volume = fs::read(&kept.volume).expect("the recovery slices");
            for _ in 0..2 {
                let at = chance.below(volume.len() as u64) as usize;
                volume[at] ^= 0x40;
            }
            fs::write(&kept.volume, volume).expect("to write it");
            bought -= 2;
        }
        let spent = 1 + chance.below(bought);
        for _ in 0..spent {
            let at = chance.below(bytes.len() as u64) as usize;
            bytes[at] ^= 1 << chance.below(8);
        }
        fs::write(kept.path(), &bytes).expect("to write it");
        let (left, mended) = kept.mended();
        assert!(left.missing().len() as u64 <= spent && left.moved == 0);
        assert!(mended.is_some_and(|mended| mended == kept.bytes), "round {round}, {size} bytes");
    }
}

#[test]
fn bytes_put_in_cut_out_or_cut_off_are_mended() {
    let mut chance = Chance(11);
    let kept = Kept::new(chance.bytes(80 * SLICE - 300), 10);
    let cut = |bytes: &[u8], from: usize, to: usize| [&bytes[..from], &bytes[to..]].concat();
    let size = kept.bytes.len();
    let at = 30 * BYTES + 77;
    let put_in = [&kept.bytes[..at], &[9; 1500][..], &kept.bytes[at..]].concat();
    let twice = [&cut(&put_in, 50_000, 50_001)[..], b"and more at the end"].concat();
    for (what, bytes, most_missing) in [
        ("put in", put_in, 1),
        ("cut out", cut(&kept.bytes, at, at + 1500), 3),
        ("one byte less at the beginning", cut(&kept.bytes, 0, 1), 1),
        ("cut off", kept.bytes[..size - 7 * BYTES].to_vec(), 8),
        ("more at the end", [&kept.bytes[..], b"more"].concat(), 0),
        ("put in, cut out, more at the end", twice, 3),
        ("halves changed over", [&kept.bytes[size / 2..], &kept.bytes[..size / 2]].concat(), 2),
    ] {
        fs::write(kept.path(), bytes).expect("to write it");
        let (left, mended) = kept.mended();
        assert!(left.missing().len() <= most_missing, "{what}: {:?}", left.missing());
        assert!(mended.is_some_and(|mended| mended == kept.bytes), "{what}");
    }
}

#[test]
fn with_as_many_recovery_slices_as_slices_nothing_of_the_file_is_needed() {
    let kept = Kept::new(Chance(3).bytes(33 * SLICE + 5), 100);
    fs::write(kept.path(), b"").expect("to write it");
    let (left, mended) = kept.mended();
    assert_eq!(left.missing().len(), 34);
    assert!(mended.is_some_and(|mended| mended == kept.bytes));
}

#[test]
fn one_slice_more_than_was_bought_is_one_too_many() {
    let kept = Kept::new(Chance(5).bytes(40 * SLICE), 10);
    let mut bytes = kept.bytes.clone();
    for slice in 0..5 {
        bytes[slice * 8 * BYTES] ^= 1;
    }
    fs::write(kept.path(), &bytes).expect("to write it");
    let (left, mended) = kept.mended();
    assert_eq!((left.missing(), mended), (vec![0, 8, 16, 24, 32], None));
    bytes[0] ^= 1;
    fs::write(kept.path(), bytes).expect("to write it");
    assert!(kept.mended().1.is_some_and(|mended| mended == kept.bytes));
}

/// Equal slices replace each other, and a file of equal slices is whole wherever they are found.
#[test]
fn slices_alike_are_found_once_for_all() {
    let mut bytes = vec![0; 20 * BYTES];
    bytes[5 * BYTES] = 1;
    let kept = Kept::new(bytes, 5);
    fs::write(kept.path(), vec![0; 3 * BYTES]).expect("to write it");
    let (left, mended) = kept.mended();
    assert_eq!(left.missing(), [5]);
    assert!(mended.is_some_and(|mended| mended == kept.bytes));
}

#[test]
fn the_same_file_gives_the_same_bytes() {
    let bytes = Chance(1).bytes(50 * SLICE + 123);
    let all = |kept: &Kept| -> Vec<Vec<u8>> {
        let index = kept.folder.path().join("a.zip.par2");
        [&index, &kept.volume].map(|path| fs::read(path).expect("a file")).into()
    };
    let (first, second) = (Kept::new(bytes.clone(), 10), Kept::new(bytes, 10));
    assert_eq!(first.volume.file_name(), second.volume.file_name());
    assert!(all(&first) == all(&second));
}

#[test]
fn packets_are_found_amid_rubbish_and_damage_is_told() {
    let kept = Kept::new(Chance(2).bytes(40 * SLICE), 10);
    assert!(kept.beside().found.files.iter().all(|file| file.is_whole()));
    let volume = fs::read(&kept.volume).expect("the recovery slices");
    let rubbish = [b"PAR2\0PKTPAR2\0PK", &volume[..], b"PAR2\0PKT"].concat();
    fs::write(&kept.volume, rubbish).expect("to write it");
    let beside = kept.beside();
    let file = beside.found.files.iter().find(|file| file.path == kept.volume).expect("the file");
    assert_eq!((file.slices, file.damaged, file.is_whole()), (4, 23, false));

    // Cut off between two packets nothing is damaged, but the name promises more.
    let packet = (packet::HEAD + packet::EXPONENT + SLICE) as usize;
    let critical = (volume.len() - 4 * packet) / 3;
    fs::write(&kept.volume, &volume[..critical + packet]).expect("to write it");
    let beside = kept.beside();
    let file = beside.found.files.iter().find(|file| file.path == kept.volume).expect("the file");
    assert_eq!((file.slices, file.damaged, file.is_whole()), (1, 0, false));
}

/// Every copy of the packet with the checksums is damaged, in places of its own, and so is the file: what is left of
/// the copies tells which slices are whole.
#[test]
fn checksums_of_which_no_copy_is_whole_are_pieced_together() {
    let mut chance = Chance(13);
    let kept = Kept::new(chance.bytes(400 * SLICE), 20);
    let index = kept.folder.path().join("a.zip.par2");
    for path in [&index, &kept.volume] {
        let mut bytes = fs::read(path).expect("a recovery file");
        let heads: Vec<usize> =
            (0..bytes.len() - 64).filter(|at| bytes[*at..].starts_with(&packet::MAGIC)).collect();
        let is_checksums = |at: &usize| bytes[at + 48..at + 64] == packet::CHECKSUMS;
        let copies: Vec<usize> = heads.into_iter().filter(is_checksums).collect();
        for at in copies {
            for _ in 0..20 {
                let place = at + 80 + chance.below(400 * packet::CHECKSUM - 30) as usize;
                bytes[place..place + 30].fill(0);
            }
        }
        fs::write(path, bytes).expect("to write it");
    }
    let mut bytes = kept.bytes.clone();
    (0..40).for_each(|number| bytes[number * 7 * BYTES] ^= 1);
    fs::write(kept.path(), bytes).expect("to write it");
    let beside = kept.beside();
    let set = beside.set_of(&kept.path()).expect("a set");
    assert!(set.otherwise.as_ref().is_some_and(|others| others.len() > 50));
    let (left, mended) = kept.mended();
    assert!(left.missing().len() < 45, "{:?}", left.missing());
    assert!(mended.is_some_and(|mended| mended == kept.bytes));
}

/// A mended file written a byte at a time is the same; what fails at any call is a failure.
#[test]
fn mending_onto_slow_and_failing_media() {
    let kept = Kept::new(Chance(5).bytes(40 * SLICE + 77), 20);
    let mut damaged = kept.bytes.clone();
    damaged[3 * SLICE as usize..5 * SLICE as usize].fill(0);
    fs::write(kept.path(), damaged).expect("to write it");
    let beside = kept.beside();
    let set = beside.set_of(&kept.path()).expect("a set");
    let left = locate(&kept.path(), set, &|_| {}).expect("a readable file");
    assert_eq!(left.missing(), [3, 4]);
    let solution = solved(&left, set).expect("a solution");
    let write = |to: &mut Faulty<Cursor<Vec<u8>>>| {
        repair(&kept.path(), &left, set, &beside.found, &solution, to, &|_| {})
    };
    let mut slow = Faulty::slow(Cursor::default());
    write(&mut slow).expect("to mend slowly");
    assert!(*slow.inner.get_ref() == kept.bytes);
    let mut plain = Faulty::failing(Cursor::default(), usize::MAX);
    write(&mut plain).expect("to mend");
    for at in 0..plain.calls {
        let failed = write(&mut Faulty::failing(Cursor::default(), at));
        assert_eq!(failed.expect_err("a failure").to_string(), FAILURE, "call {at}");
    }
}

/// Writes a set by hand and returns what reading makes of it.
fn set_of(
    folder: &Path,
    slice: u64,
    size: u64,
    checksums: usize,
    files: u32,
) -> Result<Set, String> {
    let file = Described::new("../../a.zip", size, [1; 16], [2; 16]);
    let main = Main { slice, files, file: file.id }.written();
    let set = packet::md5(&main);
    let checksums = vec![Checksum { crc32: 0, md5: [0; 16] }; checksums];
    let bytes = [
        packet::packet(&set, &packet::MAIN, &main),
        packet::packet(&set, &packet::FILE, &file.written()),
        packet::packet(&set, &packet::CHECKSUMS, &packet::checksums_written(&file.id, &checksums)),
    ]
    .concat();
    let path = folder.join("a.par2");
    fs::write(&path, bytes).expect("to write it");
    read::read(&[path]).sets().next().expect("a set")
}

#[test]
fn sets_that_contradict_themselves_are_refused() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    assert!(set_of(folder.path(), 4096, 4097, 2, 1).is_ok());
    for (slice, size, checksums, files, why) in [
        (4096, 4097, 1, 1, "do not go with"),
        (4096, u64::MAX, 2, 1, "do not go with"),
        (4, 4 * 40_000, 40_000, 1, "do not go with"),
        (4096, 4097, 2, 2, "2 files"),
        (4096, 4097, 2, u32::MAX, "files"),
        (4095, 4095, 1, 1, "makes no sense"),
        (0, 4095, 1, 1, "makes no sense"),
    ] {
        let error = set_of(folder.path(), slice, size, checksums, files).expect_err(why);
        assert!(error.contains(why), "{error}");
    }
}

/// Slices of an absurd length, of which a file of a few bytes is said to have one or two, take no time.
#[test]
fn absurd_lengths_are_not_believed() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("a.zip");
    fs::write(&path, b"a few bytes").expect("to write it");
    let long = 1 << 62;
    for (size, checksums) in [(long, 1), (long + 4, 2), (u64::MAX, 4), (7, 1)] {
        let set = set_of(folder.path(), long, size, checksums, 1).expect("a set");
        let left = locate(&path, &set, &|_| {}).expect("a readable file");
        assert_eq!(left.missing().len(), checksums);
        assert_eq!(set.name(), "../../a.zip", "shown, and never opened");
    }
}

/// A file in which every window has a wanted CRC-32 and none the MD5 is given up in the end.
#[test]
fn checksums_made_to_waste_time_are_given_up() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("a.zip");
    fs::write(&path, vec![0; 4 << 20]).expect("to write it");
    let mut set = set_of(folder.path(), 4096, 8192, 2, 1).expect("a set");
    let crc32 = crc32fast::hash(&[0; 4096]);
    set.checksums.iter_mut().for_each(|checksum| checksum.crc32 = crc32);
    let left = locate(&path, &set, &|_| {}).expect("a readable file");
    assert!(left.given_up && left.missing().len() == 2);
}

/// Heads that each promise the rest of the file, every 64 bytes, are given up as well.
#[test]
fn packets_made_to_waste_time_are_given_up() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let size = 4_u64 << 20;
    let heads = (0..size / 64)
        .flat_map(|number| packet::head(size - number * 64, &[0; 16], &[0; 16], &packet::RECOVERY));
    let path = folder.path().join("a.par2");
    fs::write(&path, heads.collect::<Vec<u8>>()).expect("to write it");
    let found = read::read(&[path]);
    assert!(found.files[0].unread.is_some() && !found.files[0].is_whole());
    assert_eq!((found.files[0].damaged, found.sets().count()), (size, 0));
}
