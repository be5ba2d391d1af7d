//! Mending damaged bundles from their recovery data, and what `verify` says of it.

use std::fs;

use lastdock::bundle::recovery::packet::{self, Checksum, Described, Main};

use crate::common::{
    Project, SMALL, Said, Zip, closeout_command, files, program, run, small, temporary, verify,
};

/// Holds that a damaged bundle is mended byte for byte, and that the damaged one is left as it was.
#[track_caller]
fn mended(zip: &Zip) -> Said {
    let damaged = fs::read(&zip.path).ok();
    let said = zip.mend().exits(3);
    assert!(fs::read(zip.mended()).is_ok_and(|mended| mended == zip.bytes), "{}", said.out);
    assert!(fs::read(&zip.path).ok() == damaged, "the damaged one was touched");
    assert!(said.squeezed().contains("everyoneiswhatbothmanifestssay"), "{}", said.out);
    said
}

#[test]
fn a_whole_bundle_needs_no_mending() {
    let zip = Zip::copied();
    let before = files(zip.folder());
    let said = zip.mend().exits(0);
    assert!(said.out.contains("not damaged; no file was written"), "{}", said.out);
    assert!(files(zip.folder()) == before);
    let alone = Zip::alone();
    let said = alone.mend().exits(0);
    assert!(said.out.contains("not damaged; no file was written"), "{}", said.out);
}

#[test]
fn changed_bytes_are_mended_and_the_files_that_had_them_are_named() {
    let zip = Zip::copied();
    let mut bytes = zip.bytes.clone();
    let hurt = ["data/records/plan/blocks.csv", "data/closeout-report.pdf"];
    let places = hurt.map(|path| zip.start_of(path) + 5000);
    places.iter().for_each(|at| bytes[*at] ^= 1);
    zip.becomes(bytes);
    let said = mended(&zip);
    for path in hurt {
        assert!(said.out.contains(path), "{}", said.out);
    }
    assert_eq!(said.out.matches("data/").count(), 2, "{}", said.out);
    let slices = places.map(|at| (at / Zip::slice()).to_string());
    assert!(slices.iter().all(|slice| said.out.contains(slice)), "{slices:?} {}", said.out);

    let said = zip.mend().exits(1);
    assert!(said.err.contains("is there already"), "{}", said.err);
    let other = zip.folder().join("other.zip");
    let mut command = program();
    command.arg("mend").arg(&zip.path).arg("--out").arg(&other);
    run(&mut command).exits(3);
    assert!(fs::read(&other).is_ok_and(|mended| mended == zip.bytes));
    command.arg("--out").arg(&zip.path);
    run(&mut command).exits(2);
    let said = run(program().arg("mend").arg(&zip.path).arg("--out").arg(&zip.path)).exits(1);
    assert!(said.err.contains("is there already"), "{}", said.err);
}

#[test]
fn bytes_put_in_or_missing_or_cut_off_are_mended() {
    let size = Zip::copied().bytes.len();
    let half = size / 2 + 1;
    type Damage = fn(&[u8], usize) -> Vec<u8>;
    let damages: [Damage; 4] = [
        |bytes, at| [&bytes[..at], b"put in", &bytes[at..]].concat(),
        |bytes, at| [&bytes[..at], &bytes[at + 50_000..]].concat(),
        |bytes, _| bytes[..bytes.len() * 15 / 16].to_vec(),
        |bytes, at| [&bytes[3..at], &bytes[at + 1..], &[0; 10_000]].concat(),
    ];
    for (number, damage) in damages.iter().enumerate() {
        let zip = Zip::copied();
        zip.becomes(damage(&zip.bytes, half));
        let said = mended(&zip);
        if number == 0 {
            // What has only moved was not damaged: just the file that bytes were put into is named.
            assert_eq!(said.out.matches("data/").count(), 1, "{}", said.out);
        }
    }
}

/// A paper of which every slice is the same: the bytes that one has lost stand in all others.
#[test]
fn a_file_whose_damaged_bytes_stand_elsewhere_too_was_damaged() {
    const BLANK: &str = "data/papers/blank.bin";
    let project = Project::copied();
    project.write("papers/blank.bin", vec![0; 2 << 20]);
    let zip = Zip::close_out(&project, 0);
    let mut bytes = zip.bytes.clone();
    bytes[zip.start_of(BLANK) + (1 << 20)] = 1;
    zip.becomes(bytes);
    let said = mended(&zip);
    assert!(said.out.contains(BLANK), "{}", said.out);
    assert_eq!(said.out.matches("data/").count(), 1, "{}", said.out);
}

#[test]
fn recovery_files_may_be_renamed_and_damaged_themselves() {
    let zip = Zip::copied();
    for (number, (name, mut bytes)) in files(zip.folder()).into_iter().enumerate() {
        if !name.ends_with(".par2") {
            continue;
        }
        // Every hundredth of the file loses a byte, its beginning too.
        if name.contains(".vol") {
            let step = bytes.len() / 20;
            bytes.iter_mut().step_by(step).for_each(|byte| *byte ^= 0x10);
        }
        fs::remove_file(zip.folder().join(&name)).expect("to remove it");
        fs::write(zip.folder().join(format!("{number}.par2")), bytes).expect("to write it");
    }
    let mut bytes = zip.bytes.clone();
    // Fewer places than recovery slices are left.
    (0..60).for_each(|number| bytes[number * 50_021 % zip.bytes.len()] ^= 1);
    zip.becomes(bytes);
    let said = mended(&zip);
    assert!(said.out.contains("some of them damaged"), "{}", said.out);
}

#[test]
fn a_missing_bundle_is_rebuilt_from_enough_recovery_data() {
    let out = temporary();
    let mut command = closeout_command(&small(), out.path());
    run(command.args(["--repair-percent", "100"])).exits(0);
    let path = out.path().join(format!("{SMALL}.zip"));
    let bytes = fs::read(&path).expect("the bundle");
    fs::remove_file(&path).expect("to remove it");
    let said = run(program().arg("mend").arg(&path)).exits(3);
    assert!(said.out.contains("the bundle is not there"), "{}", said.out);
    let mended = out.path().join(format!("{SMALL}-mended.zip"));
    assert!(fs::read(mended).is_ok_and(|mended| mended == bytes));
}

#[test]
fn a_missing_bundle_with_too_little_recovery_data_is_reported() {
    let zip = Zip::copied();
    fs::remove_file(&zip.path).expect("to remove it");
    let said = zip.mend().exits(1);
    assert!(said.squeezed().contains("nothingcanbesalvaged"), "{}", said.out);
    let other = zip.folder().join("another.zip");
    run(program().arg("mend").arg(other)).exits(1);
    let nowhere = zip.folder().join("nowhere/a.zip");
    run(program().arg("mend").arg(nowhere)).exits(1);
    let said = run(program().arg("mend").arg(zip.folder())).exits(1);
    assert!(said.err.contains("is a folder"), "{}", said.err);
}

#[test]
fn a_renamed_bundle_is_known_by_what_is_in_it() {
    let zip = Zip::copied();
    let renamed = zip.folder().join("found-in-a-drawer.zip");
    let mut bytes = zip.bytes.clone();
    bytes[10] ^= 1;
    fs::write(&renamed, bytes).expect("to write it");
    fs::remove_file(&zip.path).expect("to remove it");
    run(program().arg("mend").arg(&renamed)).exits(3);
    let mended = zip.folder().join("found-in-a-drawer-mended.zip");
    assert!(fs::read(mended).is_ok_and(|mended| mended == zip.bytes));
}

#[test]
fn json_says_the_same() {
    let zip = Zip::copied();
    let mut bytes = zip.bytes.clone();
    bytes[5 * Zip::slice() + 1] ^= 1;
    zip.becomes(bytes);
    let json = run(program().args(["mend", "--json"]).arg(&zip.path)).exits(3).json();
    assert_eq!(json["missing_slices"], serde_json::json!([5]));
    assert_eq!(json["slices"], zip.bytes.len().div_ceil(Zip::slice()));
    assert_eq!(json["result"]["outcome"], "mended");
    assert_eq!(json["result"]["fixity"]["whole"], true);
    let files = json["recovery_files"].as_array().expect("files");
    assert!(files.len() == 2 && files.iter().all(|file| file["whole"] == true));
    let json = run(program().args(["mend", "--json"]).arg(&zip.path)).exits(1).json();
    assert_eq!(json["errors"][0]["wrong"], "is there already");
}

#[test]
fn verify_mentions_recovery_data_and_mend() {
    let zip = Zip::copied();
    let said = verify(&zip.path).exits(0);
    assert!(said.out.contains("recovery slices beside it"), "{}", said.out);
    assert!(!said.out.contains("lastdock mend"), "{}", said.out);

    let mut bytes = zip.bytes.clone();
    bytes[zip.start_of("data/records/docking.toml") + 3] ^= 1;
    zip.becomes(bytes);
    let said = verify(&zip.path).exits(3);
    let told: String = said.out.split_whitespace().collect();
    let first = told.find("first:lastdockmend").expect("the advice to mend it");
    assert!(
        first < told.find("data/records/docking.toml").expect("what is damaged"),
        "{}",
        said.out
    );
    zip.becomes(&zip.bytes[..zip.bytes.len() - 5000]);
    let said = verify(&zip.path).exits(1);
    let first = format!(
        "do: recovery data stands beside it, so first: lastdock mend {}",
        zip.path.display()
    );
    assert!(said.err.contains(&first) && !said.err.contains("zip -FF"), "{}", said.err);

    zip.becomes(&zip.bytes);
    let (name, mut bytes) = files(zip.folder())
        .into_iter()
        .find(|(name, _)| name.contains(".vol"))
        .expect("the recovery slices");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(zip.folder().join(&name), bytes).expect("to write it");
    let said = verify(&zip.path).exits(3);
    assert!(said.squeezed().contains("recoveryfilesaredamaged"), "{}", said.out);
    let json = run(program().args(["verify", "--json"]).arg(&zip.path)).exits(3).json();
    assert_eq!((&json[0]["whole"], &json[0]["well"]), (&true.into(), &false.into()));
    assert_eq!(json[0]["recovery"]["whole"], false);

    let alone = Zip::alone();
    let said = verify(&alone.path).exits(0);
    assert!(!said.out.contains("recovery"), "{}", said.out);
}

/// A recovery file of one set, made by hand.
fn set(name: &str, slice: u64, size: u64, checksums: &[Checksum], recovery: &[u8]) -> Vec<u8> {
    let file = Described::new(name, size, [1; 16], [2; 16]);
    let main = Main { slice, files: 1, file: file.id }.written();
    let set = packet::md5(&main);
    [
        packet::packet(&set, &packet::MAIN, &main),
        packet::packet(&set, &packet::FILE, &file.written()),
        packet::packet(&set, &packet::CHECKSUMS, &packet::checksums_written(&file.id, checksums)),
        packet::packet(&set, &packet::RECOVERY, recovery),
    ]
    .concat()
}

/// Mends a small file that is no zip beside such a recovery file; nothing but a folder for what is
/// salvaged may appear.
#[track_caller]
fn hostile(recovery: &[u8], says: &str) {
    let folder = temporary();
    let inside = folder.path().join("a/b");
    fs::create_dir_all(&inside).expect("a folder");
    let path = inside.join("ship.zip");
    fs::write(&path, vec![0; 10_000]).expect("to write it");
    fs::write(inside.join("ship.par2"), recovery).expect("to write it");
    let before = files(folder.path());
    let said = run(program().arg("mend").arg(&path)).exits(1);
    assert!(said.squeezed().contains(&says.replace(' ', "")), "{says}\n{}\n{}", said.out, said.err);
    assert!(files(folder.path()) == before, "something was written");
}

#[test]
fn recovery_files_that_lie_do_no_harm() {
    let none = |count: usize| vec![Checksum { crc32: 0, md5: [0; 16] }; count];
    let zeros = |length: usize| {
        let bytes = vec![0; length];
        Checksum { crc32: crc32fast::hash(&bytes), md5: packet::md5(&bytes) }
    };
    for name in ["../../ship.zip", "/etc/ship.zip", "..\\ship.zip", "\u{1b}[31mship.zip"] {
        hostile(&set(name, 4096, 10_000, &none(3), &[0; 4]), "belongs to something else");
        // What is in it is this file's, so that it is used; its name is not.
        hostile(&set(name, 4096, 9000, &[zeros(4096); 3], &[0; 4]), "contradicts itself");
    }
    // A size of terabytes made up of one slice of zeros.
    let many = vec![zeros(4096); 32_768];
    hostile(&set("ship.zip", 4096, 4096 * 32_768, &many, &[0; 4]), "more than what is left");
    // Slices longer than anything that is there, and exponents out of range.
    hostile(&set("ship.zip", 1 << 62, 1 << 62, &none(1), &[0xFF; 4]), "1 of 1 slices");
    hostile(&set("ship.zip", 1 << 62, (1 << 62) + 1, &none(2), &[0; 4]), "2 of 2 slices");
    // A recovery slice that is not one.
    let exponent = [&[0; 4][..], &[7; 4096]].concat();
    hostile(&set("ship.zip", 4096, 4096, &none(1), &exponent), "contradicts itself");
    // Counts that do not go together.
    hostile(&set("ship.zip", 4096, u64::MAX, &none(3), &[0; 4]), "do not go with");
    // Nothing but beginnings of packets.
    hostile(&b"PAR2\0PKT".repeat(10_000), "no usable recovery data");
    let mut head = packet::head(u64::MAX - 3, &[0; 16], &[0; 16], &packet::MAIN).to_vec();
    head.extend([0; 100]);
    hostile(&head, "no usable recovery data");
}
