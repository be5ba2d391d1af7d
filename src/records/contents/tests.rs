//! Kinds, sizes and capture times read from small files of each kind.

use std::collections::BTreeMap;
use std::io;
use std::sync::atomic::{AtomicU64, Ordering};

use super::kinds::{Fate, KINDS};
use super::*;

/// One file, and how much of it was read.
struct One {
    bytes: Vec<u8>,
    sizes: BTreeMap<String, u64>,
    read: AtomicU64,
}

impl Store for One {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, _: &str) -> io::Result<Vec<u8>> {
        panic!("a paper was read whole");
    }

    fn part(&self, _: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        let length = self.bytes.len() as u64;
        let (from, to) = (from.min(length), from.saturating_add(most).min(length));
        self.read.fetch_add(to - from, Ordering::Relaxed);
        Ok(self.bytes[from as usize..to as usize].to_vec())
    }
}

fn one(bytes: &[u8]) -> One {
    One { bytes: bytes.to_vec(), sizes: BTreeMap::new(), read: AtomicU64::new(0) }
}

fn look(name: &str, bytes: &[u8]) -> Content {
    Content::read(&one(bytes), name, bytes.len() as u64).expect("memory can be read")
}

#[track_caller]
fn is(name: &str, bytes: &[u8], media: &str) {
    let kind = look(name, bytes).kind;
    assert!(kind.is_some_and(|kind| kind.media.contains(&media)), "{name}: {kind:?}");
}

/// A box of an MP4 film.
fn boxed(letters: &[u8], inside: &[u8]) -> Vec<u8> {
    [&(inside.len() as u32 + 8).to_be_bytes()[..], letters, inside].concat()
}

#[test]
fn every_media_type_stands_for_one_kind() {
    let mut all: Vec<&str> = KINDS.iter().flat_map(|kind| kind.media).copied().collect();
    let count = all.len();
    all.sort_unstable();
    all.dedup();
    assert_eq!(all.len(), count);
    assert!(KINDS.iter().all(|kind| !kind.ends.is_empty()));
    assert!(KINDS.iter().any(|kind| kind.fate == Fate::Lasts));
}

#[test]
fn texts_are_told_by_what_they_begin_with_and_by_their_names() {
    is("a.txt", b"BM is how a bitmap begins, and MZ a program.\n", "text/plain");
    is("a.txt", "\u{FEFF}f\u{e6}ring".as_bytes(), "text/plain");
    is("a.csv", b"spot,um\nA1,260\n", "text/csv");
    is("a.toml", b"[gauge]\nid = \"DF1\"\n", "application/toml");
    is("a.toml", b"[gauge\n", "text/plain");
    is("a.json", b"{\"um\": [1, 2]}", "application/json");
    is("a.json", b"{\"um\": [1, 2}", "text/plain");
    is("a.svg", b"<!-- plan --><svg xmlns=\"http://www.w3.org/2000/svg\"/>", "image/svg+xml");
    is("a.xml", b"<?xml version=\"1.0\"?><plan/>", "text/xml");
    is("a.htm", b"<!DOCTYPE html><title>x</title>", "text/html");
    is("a.png", b"<!DOCTYPE html><title>not found</title>", "text/html");
    is("a.stp", b"ISO-10303-21;\nHEADER;\n", "model/step");
    is("a.dxf", b"0\nSECTION\n2\nHEADER\n", "image/vnd.dxf");
    is("a.rtf", b"{\\rtf1\\ansi x}", "application/rtf");
    is("a.txt", b"F\xE6ring", "text/plain; charset=unknown");
}

#[test]
fn a_long_text_cut_inside_a_character_is_still_text() {
    let long = format!("x{}", "\u{e6}".repeat(3 * 1024 * 1024));
    is("a.txt", long.as_bytes(), "text/plain");
}

#[test]
fn kinds_that_do_not_last_are_known() {
    let ole = [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1, 0, 0, 0, 0];
    is("a.doc", &ole, "application/x-ole-storage");
    is("a.msg", &ole, "application/x-ole-storage");
    is("a.dwg", b"AC1027\0\0\0\0\0\0", "application/x-cad");
    is("a.skp", b"\xFF\xFE\xFF\x0E\0\0\0\0", "application/x-cad");
    is("a.heic", &boxed(b"ftyp", b"heic\0\0\0\0mif1heic"), "image/heif");
    is("a.nef", b"MM\0*\0\0\0\x08\0\0", "image/x-raw");
    is("a.raf", b"\x01\x02\x03\x04 of one camera alone", "image/x-raw");
    is("a.mp3", b"ID3\x03\0\0\0\0\0\0\xFF\xFB", "audio/mpeg");
    is("a.wma", &[0x30, 0x26, 0xB2, 0x75, 0x8E, 0x66, 0xCF, 0x11, 0xA6, 0xD9], "video/x-ms-wmv");
    is("a.7z", b"7z\xBC\xAF\x27\x1C\0\x04", "application/x-7z-compressed");
    is("a.exe", b"MZ\x90\0\x03\0\0\0", "application/vnd.microsoft.portable-executable");
    for kind in ["a.doc", "a.dwg", "a.heic"].map(|name| kinds::by_extension(&name[2..])) {
        assert!(matches!(kind.map(|kind| kind.fate), Some(Fate::Ends(_))));
    }
}

#[test]
fn a_film_lasts_by_its_coding() {
    let begins = boxed(b"ftyp", b"isom\0\0\0\0isommp41");
    let film = |entry: &[u8]| {
        let index = boxed(b"moov", &boxed(b"stsd", entry));
        [begins.clone(), boxed(b"mdat", &[7; 100_000]), index].concat()
    };
    is("a.mp4", &film(b"avc1"), "video/mp4; h264");
    is("a.mp4", &film(b"hvc1"), "video/mp4");
    // A box that says it is longer than the file, or of no length, ends the search.
    is("a.mp4", &[&begins[..], &[0xFF; 8]].concat(), "video/mp4");
    is("a.mp4", &[&begins[..], &[0, 0, 0, 3], b"free"].concat(), "video/mp4");
    is("a.mp4", &[&begins[..], &[0, 0, 0, 1], b"free", &[0xFF; 8]].concat(), "video/mp4");
    let matroska = |coding: &[u8]| [b"\x1A\x45\xDF\xA3\x42\x82\x88matroska", coding].concat();
    is("a.mkv", &matroska(b"V_FFV1"), "video/x-matroska; ffv1");
    is("a.mkv", &matroska(b"V_VP9"), "video/x-matroska");
}

#[test]
fn what_is_not_known_and_what_is_empty() {
    let unknown = look("a.xyz", &[0, 1, 2, 3, 250, 251]);
    assert!(unknown.kind.is_none() && !unknown.empty);
    let empty = look("a.txt", b"");
    assert!(empty.kind.is_none() && empty.empty);
}

#[test]
fn a_picture_that_lies_about_its_size_takes_no_memory() {
    let mut png = b"\x89PNG\r\n\x1A\n\0\0\0\x0DIHDR".to_vec();
    png.extend([0xFF; 8]);
    png.extend(b"\x08\x02\0\0\0\0\0\0\0\0\0\0\0IEND\0\0\0\0");
    let seen = look("a.png", &png);
    assert_eq!(seen.pixels, Some((u32::MAX, u32::MAX)));
    assert!(seen.too_many_pixels() && seen.broken.is_none());
    let none = [b"\x89PNG\r\n\x1A\n\0\0\0\x0DIHDR", &[0; 8][..], b"IEND"].concat();
    assert_eq!(look("a.png", &none).broken, Some("it has no pixels"));
    let bare = look("a.jpg", b"\xFF\xD8\xFF\xE0\0\x10JFIF\0\0\0\0\0\0\0\0\0\xFF\xD9");
    assert_eq!(bare.broken, Some("its header gives no size"));
}

#[test]
fn of_a_large_paper_little_is_read() {
    let mut film = boxed(b"ftyp", b"isom\0\0\0\0isommp41");
    film.extend(boxed(b"mdat", &[7; 40 * 1024 * 1024]));
    let film = one(&film);
    Content::read(&film, "a.mp4", film.bytes.len() as u64).unwrap();
    assert!(film.read.into_inner() < 100_000);
    // A TIFF's times may stand anywhere in it; one that is too large is left alone.
    let mut tiff = b"MM\0*\0\0\0\x08\0\0".to_vec();
    tiff.resize(40 * 1024 * 1024, 0);
    let tiff = one(&tiff);
    let seen = Content::read(&tiff, "a.tif", tiff.bytes.len() as u64).unwrap();
    assert!(seen.kind.is_some() && seen.taken.is_none());
    assert!(tiff.read.into_inner() < 18 * 1024 * 1024);
}
