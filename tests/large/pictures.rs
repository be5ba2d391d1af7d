//! Pictures of a few bytes that would take much: profiles and texts that unpack to a thousand times their size,
//! sides of 65 535 pixels, pixels gone over ten thousand times. Each is made ready for print by a process of its
//! own, which tells the most memory that it held.

#![allow(clippy::disallowed_methods, reason = "how long a picture takes is what is looked at")]

use std::env;
use std::fs;
use std::io::{self, Cursor, Read, Write};
use std::path::PathBuf;
use std::process::Command;
use std::time::{Duration, Instant};

use lastdock::records::pictures::prepare;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::chunked::{self, Header, stored};
use super::common::temporary;
use super::made::{SMALL, Size, make};
use super::watched::watched;

const MIB: u64 = 1 << 20;
const GIB: u64 = 1 << 30;

/// The variable that names the picture which a process of its own makes ready.
const OF: &str = "LASTDOCK_PICTURE_OF";

/// What is said of a picture.
struct Said {
    peak_kib: u64,
    said: String,
    took: Duration,
}

/// Has a picture made ready alone.
fn said_of(picture: &[u8]) -> Said {
    let folder = temporary();
    let path = folder.path().join("picture");
    fs::write(&path, picture).expect("a picture");
    let mut alone = Command::new(env::current_exe().expect("this test"));
    alone.args(["--exact", "pictures::a_picture_that_is_named", "--ignored", "--nocapture"]);
    let began = Instant::now();
    let run = alone.env(OF, path).output().expect("this test");
    let took = began.elapsed();
    let out = String::from_utf8_lossy(&run.stdout);
    assert!(run.status.success(), "{out}{}", String::from_utf8_lossy(&run.stderr));
    let line = |begins: &str| out.lines().find_map(|line| line.strip_prefix(begins));
    let said = line("it is ").expect("an answer").to_string();
    let peak_kib = line("at most ").expect("its memory").parse().expect("a number");
    Said { peak_kib, said, took }
}

#[test]
#[ignore = "is run by others, which watch it"]
fn a_picture_that_is_named() {
    let Some(path) = env::var_os(OF).map(PathBuf::from) else { return };
    match prepare(&fs::read(path).expect("the picture")) {
        Ok(picture) => println!("\nit is shown as {} bytes", picture.bytes.len()),
        Err(why) => println!("\nit is not shown: {why}"),
    }
    // It may end before anybody else has looked.
    let status = fs::read_to_string("/proc/self/status").expect("what Linux tells of it");
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:")?.strip_suffix("kB"));
    println!("at most {}", peak.expect("its memory").trim());
}

/// So many zeros as a zlib stream, RFC 1950: packed by way of a zip, whose streams are the same within.
fn zeros(count: u64) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    zip.start_file("zeros", options).expect("an entry");
    io::copy(&mut io::repeat(0).take(count), &mut zip).expect("to pack");
    zip.flush().expect("to pack");
    let bytes = zip.finish().expect("a zip").into_inner();
    let mut zip = ZipArchive::new(Cursor::new(&bytes)).expect("a zip");
    let mut packed = Vec::new();
    zip.by_index_raw(0).expect("an entry").read_to_end(&mut packed).expect("its bytes");
    // Adler-32 of zeros: the first sum stays 1, the second counts them.
    let sum = (count % 65_521) << 16 | 1;
    [&[0x78, 0x9C][..], &packed, &u32::try_from(sum).expect("32 bits").to_be_bytes()].concat()
}

const SIDE: u32 = 16;

/// A small sound PNG with chunks before its pixels and behind them.
fn small(before: &[(&[u8; 4], Vec<u8>)], behind: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let header = Header { width: SIDE, height: SIDE, depth: 8, colour: 2, interlaced: false };
    let row = [&[0][..], &[200; 3 * SIDE as usize]].concat();
    let pixels = [(b"IDAT", stored(&row.repeat(SIDE as usize)))];
    chunked::png(header, &[before, &pixels, behind].concat())
}

/// What a process takes that makes a small picture ready, KiB.
fn small_kib() -> u64 {
    let said = said_of(&small(&[], &[]));
    assert!(said.said.starts_with("shown"), "{}", said.said);
    said.peak_kib
}

/// A picture with what unpacks to a gibibyte is shown as if that weren't there, whatever chunk it stands in.
#[test]
fn what_stands_beside_the_pixels_is_never_unpacked() {
    let least = small_kib();
    let zeros = zeros(GIB);
    assert!((zeros.len() as u64) < 2 * MIB, "{}", zeros.len());
    let with = |before: &[u8]| [before, &zeros].concat();
    let profile = with(b"profile\0\0");
    for (name, chunks) in [
        ("a profile", vec![(b"iCCP", profile.clone())]),
        ("seven profiles", vec![(b"iCCP", profile.clone()); 7]),
        ("texts", vec![(b"zTXt", with(b"Comment\0\0")); 3]),
        ("international texts", vec![(b"iTXt", with(b"XML:com.adobe.xmp\0\x01\0\0\0")); 3]),
        ("what a camera writes", vec![(b"eXIf", vec![0; 4 << 20])]),
    ] {
        for picture in [small(&chunks, &[]), small(&[], &chunks)] {
            let said = said_of(&picture);
            println!("{name}: {} bytes, {} KiB, {}", picture.len(), said.peak_kib, said.said);
            assert!(said.said.starts_with("shown"), "{name}: {}", said.said);
            // Its bytes twice over, and what a camera writes as it is read.
            let room = 4 * picture.len() as u64 / 1024 + 16 * 1024;
            assert!(said.peak_kib < least + room, "{name} took {} KiB", said.peak_kib);
        }
    }
    let said = said_of(&small(&[(b"eXIf", vec![0; 40 << 20])], &[]));
    assert!(said.said.contains("beside its pixels is more than the 16 MiB"), "{}", said.said);
    assert!(said.peak_kib < least + 200 * 1024, "{} KiB", said.peak_kib);
}

/// Frames behind the first are not looked at.
#[test]
fn an_animation_is_its_first_frame() {
    let least = small_kib();
    let frame = |number: u32| {
        let sides = [SIDE, SIDE, 0, 0].map(u32::to_be_bytes).concat();
        let control = [&number.to_be_bytes()[..], &sides, &[0, 1, 0, 10, 0, 0]].concat();
        let next = (number + 1).to_be_bytes();
        [(b"fcTL", control), (b"fdAT", [&next[..], &zeros(64 * MIB)].concat())]
    };
    let count = [1001_u32, 0].map(u32::to_be_bytes).concat();
    let frames: Vec<_> = (0..40).flat_map(|n| frame(1 + 2 * n)).collect();
    let said = said_of(&small(&[(b"acTL", count)], &frames));
    assert!(said.said.starts_with("shown"), "{}", said.said);
    assert!(said.peak_kib < least + 32 * 1024, "{} KiB", said.peak_kib);
}

#[test]
fn sides_that_no_picture_has_are_refused_from_the_header() {
    let least = small_kib();
    for (width, height) in [(65_535, 65_535), (u32::MAX >> 1, u32::MAX >> 1), (1 << 30, 1)] {
        for interlaced in [false, true] {
            let header = Header { width, height, depth: 16, colour: 6, interlaced };
            let said = said_of(&chunked::png(header, &[(b"IDAT", zeros(GIB))]));
            assert!(said.said.starts_with("not shown"), "{}", said.said);
            assert!(said.peak_kib < least + 16 * 1024, "{} KiB", said.peak_kib);
        }
    }
    for progressive in [false, true] {
        let mut segments = chunked::before_scans((65_535, 65_535), 1, progressive);
        segments.push(chunked::scan(1, 0, if progressive { 0 } else { 63 }, vec![0; 1000]));
        let said = said_of(&chunked::jpeg(&segments));
        assert!(said.said.contains("million"), "{}", said.said);
        assert!(said.peak_kib < least + 16 * 1024, "{} KiB", said.peak_kib);
    }
}

/// The most that any picture may take: of a progressive JPEG in four colours the decoder holds two bytes of each
/// for all of 64 million pixels, beside the three that come of it. Others take a third of that.
const MOST_KIB: u64 = 720 * 1024;

#[test]
fn the_largest_pictures_take_what_their_pixels_do() {
    let (width, height) = (8_000, 8_000);
    for (colour, depth, bytes) in [(6, 16, 8), (6, 8, 4), (2, 16, 6), (0, 1, 1), (4, 16, 4)] {
        for interlaced in [false, true] {
            let header = Header { width, height, depth, colour, interlaced };
            // More than any way of interlacing asks for: each of its rows has a filter of its own.
            let rows = u64::from(height) * (u64::from(width) * bytes + 1) * 17 / 16;
            let picture = chunked::png(header, &[(b"IDAT", zeros(rows))]);
            let said = said_of(&picture);
            println!(
                "{colour}/{depth}{}: {} bytes, {} KiB, {:?}, {}",
                if interlaced { " interlaced" } else { "" },
                picture.len(),
                said.peak_kib,
                said.took,
                said.said
            );
            assert!(said.said.starts_with("shown"), "{}", said.said);
            assert!(said.peak_kib < MOST_KIB / 2, "{} KiB", said.peak_kib);
        }
    }
    for (components, progressive) in [(1, false), (3, false), (3, true), (4, true)] {
        let mut segments = chunked::before_scans((8_000, 8_000), components, progressive);
        // Blocks of nothing: a difference, and an end of one block where they do not come in a scan of their own.
        let last = if progressive { 0 } else { 63 };
        let blocks = vec![0; if progressive { 1_000_000 / 8 } else { 2_000_000 / 8 }];
        let scans = (1..=components).map(|number| chunked::scan(number, 0, last, blocks.clone()));
        segments.extend(scans);
        let picture = chunked::jpeg(&segments);
        let said = said_of(&picture);
        println!(
            "JPEG of {components}{}: {} bytes, {} KiB, {:?}, {}",
            if progressive { ", progressive" } else { "" },
            picture.len(),
            said.peak_kib,
            said.took,
            said.said
        );
        assert!(said.said.starts_with("shown"), "{}", said.said);
        assert!(said.peak_kib < MOST_KIB, "{} KiB", said.peak_kib);
    }
}

/// Each scan of a progressive JPEG goes over all its pixels and may be as short as a code.
#[test]
fn scans_are_counted_before_they_are_gone_through() {
    // A million blocks without a difference, then blocks that end at once, 21 845 a code: 0 and fourteen bits.
    let blocks = vec![0; 1_000_000 / 8];
    let ends = "001010101010101".repeat(48);
    let bits = ends.as_bytes().chunks_exact(8);
    let ends: Vec<u8> =
        bits.map(|bits| bits.iter().fold(0, |byte, bit| byte << 1 | (bit & 1))).collect();
    let with = |scans: usize| {
        let mut segments = chunked::before_scans((8_000, 8_000), 1, true);
        segments.push(chunked::scan(1, 0, 0, blocks.clone()));
        segments.extend((1..scans).map(|_| chunked::scan(1, 1, 63, ends.clone())));
        chunked::jpeg(&segments)
    };
    for (scans, expected) in [(64, "shown"), (65, "not shown: it goes over"), (10_000, "not shown")]
    {
        let picture = with(scans);
        let said = said_of(&picture);
        println!(
            "{scans} scans: {} bytes, {} KiB, {:?}, {}",
            picture.len(),
            said.peak_kib,
            said.took,
            said.said
        );
        assert!(said.said.starts_with(expected), "{scans}: {}", said.said);
        assert!(said.peak_kib < MOST_KIB, "{} KiB", said.peak_kib);
        assert!(said.took < Duration::from_secs(60), "{:?}", said.took);
    }
    // One component after the other, again and again, without being progressive.
    let mut segments = chunked::before_scans((8_000, 1_000), 1, false);
    segments.extend((0..10_000).map(|_| chunked::scan(1, 0, 63, vec![0x55; 9])));
    let said = said_of(&chunked::jpeg(&segments));
    assert!(said.said.contains("more than 64 times"), "{}", said.said);
}

/// A profile in as many segments as a JPEG may have of it, and a camera's segment of garbage.
#[test]
fn segments_of_a_jpeg_take_their_bytes() {
    let least = small_kib();
    let mut segments: Vec<_> = (0..=255_u8)
        .map(|n| (0xE2, [&b"ICC_PROFILE\0"[..], &[n, 255], &[n; 65_000]].concat(), Vec::new()))
        .collect();
    segments.push((0xE1, [&b"Exif\0\0MM\0*"[..], &[0xFF; 65_000]].concat(), Vec::new()));
    segments.extend(chunked::before_scans((64, 64), 1, false));
    segments.push(chunked::scan(1, 0, 63, vec![0; 64]));
    let picture = chunked::jpeg(&segments);
    let said = said_of(&picture);
    assert!(said.said.starts_with("shown"), "{}", said.said);
    let room = 4 * picture.len() as u64 / 1024 + 16 * 1024;
    assert!(said.peak_kib < least + room, "{} KiB", said.peak_kib);
}

/// The whole way: a picture whose profile unpacks to a gibibyte, wanted in the report.
#[test]
fn closeout_takes_no_more_memory_with_a_profile_that_unpacks_to_a_gibibyte() {
    let plain = small(&[], &[]);
    let bomb = small(&[(b"iCCP", [&b"p\0\0"[..], &zeros(GIB)].concat())], &[]);
    let [a, b] = [plain, bomb].map(|picture| {
        let (project, out) = (temporary(), temporary());
        make(project.path(), &Size { papers: 1, paper_bytes: MIB, ..SMALL });
        fs::write(project.path().join("papers/log-000000.png"), picture).expect("a picture");
        let list = "file,kind,caption,in_report\nlog-000000.wav,log,what was said,no\n\
                    log-000000.png,photograph,the caisson,yes\n";
        fs::write(project.path().join("papers/papers.csv"), list).expect("the list");
        let mut closeout = super::common::program();
        closeout.args(["--jobs", "1", "closeout"]).arg(project.path());
        watched(closeout.arg("--out").arg(out.path())).exits(3).peak_kib
    });
    println!("closeout took {a} KiB, with the profile {b} KiB");
    assert!(b < a + 16 * 1024);
}
