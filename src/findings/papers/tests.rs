//! What is found of papers, over small folders of them.

use super::*;
use crate::findings::finding::Outcome;
use crate::findings::{Examined, examine};
use crate::records;
use crate::records::problem::Problems;
use crate::records::store::Folder;

const DOCKING: &str = "format = 1\n[ship]\nname = \"Plumewick\"\n[dock]\nname = \"Quoin Dock\"\n\
    [period]\noffset = \"+01:00\"\n";
const BLOCKS: &str = "block,row,station_m,offset_m,length_mm,width_mm\nK1,keel,20,0,600,1200\n";

/// A project with these rows of `papers.csv` and these papers.
fn examined(rows: &str, papers: &[(&str, &[u8])]) -> Examined {
    let root = tempfile::tempdir().unwrap();
    let write = |path: &str, bytes: &[u8]| {
        let path = root.path().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    };
    write("docking.toml", DOCKING.as_bytes());
    write("plan/blocks.csv", BLOCKS.as_bytes());
    write("papers/papers.csv", format!("file,kind,taken_at,caption,in_report\n{rows}").as_bytes());
    papers.iter().for_each(|(name, bytes)| write(&format!("papers/{name}"), bytes));
    let mut problems = Problems::default();
    let folder = Folder::open(root.path(), &mut problems);
    examine(records::read(&folder, problems).expect("a sound project")).expect("and examined")
}

#[track_caller]
fn finding<'a>(examined: &'a Examined, id: &str, outcome: Outcome, says: &str) -> &'a Finding {
    let finding = examined.findings.iter().find(|finding| finding.id == id);
    let finding = finding.unwrap_or_else(|| panic!("{id} is not there"));
    assert_eq!(finding.outcome, outcome, "{}", finding.sentence);
    assert!(finding.sentence.contains(says), "{}", finding.sentence);
    finding
}

/// The Exif block of a JPEG picture: an IFD that points to another with the two tags.
fn jpeg(taken: &str, offset: Option<&str>) -> Vec<u8> {
    let tags: Vec<(u16, &str)> = [(0x9003, Some(taken)), (0x9011, offset)]
        .iter()
        .filter_map(|(t, v)| Some((*t, (*v)?)))
        .collect();
    let mut tiff = b"MM\0*\0\0\0\x08\0\x01\x87\x69\0\x04\0\0\0\x01\0\0\0\x1A\0\0\0\0".to_vec();
    tiff.extend((tags.len() as u16).to_be_bytes());
    let mut values = Vec::new();
    let values_at = tiff.len() + 12 * tags.len() + 4;
    for (tag, value) in tags {
        tiff.extend(tag.to_be_bytes());
        tiff.extend(2_u16.to_be_bytes());
        tiff.extend((value.len() as u32 + 1).to_be_bytes());
        tiff.extend(((values_at + values.len()) as u32).to_be_bytes());
        values.extend(value.bytes().chain([0]));
    }
    tiff.extend([0; 4]);
    tiff.extend(values);
    let mut out = b"\xFF\xD8\xFF\xE1".to_vec();
    out.extend((tiff.len() as u16 + 8).to_be_bytes());
    out.extend(b"Exif\0\0");
    out.extend(tiff);
    out.extend(b"\xFF\xC0\0\x0B\x08\0\x0A\0\x18\x01\x01\x11\0\xFF\xD9");
    out
}

#[test]
fn a_name_that_says_another_kind_differs() {
    let rows = "a.png,photograph,,x,no\n";
    let all = examined(
        rows,
        &[("a.png", &jpeg("2031:04:07 10:00:00", None)), ("b.jpg", b""), ("c", b"x")],
    );
    let one =
        finding(&all, "papers.a.png.kind", Outcome::Differs, "PNG picture, and it holds JPEG");
    assert_eq!(one.recorded, Some(Figure::words("PNG picture")));
    assert_eq!(one.recomputed, Some(Figure::words("JPEG picture, 24 by 10 pixels")));
    finding(&all, "papers.b.jpg.kind", Outcome::Differs, "it holds nothing at all");
    finding(&all, "papers.c.kind", Outcome::Agrees, "a kind that lasts: text");
    assert_eq!(all.unanswered().count(), 2);
}

#[test]
fn what_does_not_last_is_beyond_the_limit_and_a_plain_pdf_is_only_mentioned() {
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic";
    let papers: &[(&str, &[u8])] =
        &[("a.heic", heic), ("b.pdf", b"%PDF-1.7\n"), ("c.zzz", &[0, 1])];
    let all = examined("", papers);
    let one =
        finding(&all, "papers.a.heic.kind", Outcome::BeyondLimit, "beside it TIFF, PNG or JPEG");
    assert_eq!(one.against.as_ref().unwrap().source, "common practice, no source");
    finding(&all, "papers.b.pdf.kind", Outcome::NotRecorded, "beside it PDF/A");
    finding(&all, "papers.c.zzz.kind", Outcome::NotRecorded, "can't be told");
}

#[test]
fn a_picture_cut_short_or_too_large_is_named() {
    let whole = jpeg("2031:04:07 10:00:00", None);
    let mut vast = whole.clone();
    let size = vast.len() - 10..vast.len() - 6;
    vast[size].copy_from_slice(&[0xFF; 4]);
    let rows = "cut.jpg,,,x,yes\nvast.jpg,,,x,yes\nkept.jpg,,,x,no\n";
    let cut = &whole[..whole.len() - 2];
    let all = examined(rows, &[("cut.jpg", cut), ("vast.jpg", &vast), ("kept.jpg", &vast)]);
    finding(&all, "papers.cut.jpg.kind", Outcome::Differs, "it is cut short");
    finding(&all, "papers.vast.jpg.kind", Outcome::BeyondLimit, "65535 by 65535 pixels");
    finding(&all, "papers.kept.jpg.kind", Outcome::Agrees, "lasts");
}

#[test]
fn a_cameras_time_is_held_against_the_record() {
    let rows = "near.jpg,photograph,2031-04-07T10:10:00,x,no\nfar.jpg,,2031-04-07T11:00:00,x,no\n\
                utc.jpg,photograph,2031-04-07T11:00:00,x,no\nnone.jpg,photograph,,x,no\n\
                scan.jpg,letter,2031-04-01T09:00:00,x,no\nblank.jpg,photograph,2031-04-07T09:00:00,x,no\n";
    let ten = "2031:04:07 10:00:00";
    let (local, utc) = (jpeg(ten, None), jpeg(ten, Some("+00:00")));
    let blank = jpeg("    :  :     :  :  ", None);
    let papers: &[(&str, &[u8])] = &[
        ("near.jpg", &local),
        ("far.jpg", &local),
        ("utc.jpg", &utc),
        ("none.jpg", &local),
        ("scan.jpg", &local),
        ("blank.jpg", &blank),
    ];
    let all = examined(rows, papers);
    finding(&all, "papers.near.jpg.taken", Outcome::Agrees, "taken to show local time");
    let far = finding(&all, "papers.far.jpg.taken", Outcome::Differs, "does not agree");
    assert_eq!(far.against.as_ref().unwrap().value, Figure::duration(0.25));
    finding(&all, "papers.utc.jpg.taken", Outcome::Agrees, "agrees with its camera's clock.");
    finding(&all, "papers.none.jpg.taken", Outcome::NotRecorded, "camera says 2031-04-07 10:00");
    let taken = all.findings.iter().filter(|finding| finding.id.ends_with(".taken")).count();
    assert_eq!(taken, 4);
}

#[test]
fn papers_without_a_caption_are_listed_together() {
    let all = examined("a.txt,,,,no\nb.txt,,,said,no\nc.txt,,,,no\n", &[]);
    let one = finding(&all, "papers.captions", Outcome::NotRecorded, "recorded: a.txt, c.txt.");
    assert_eq!((one.recomputed.clone(), one.records.len()), (Some(Figure::Count(2)), 2));
}

#[test]
fn of_very_many_files_that_nobody_listed_the_first_are_named() {
    let names: Vec<String> = (0..52).map(|n| format!("s-{n:02}.txt")).collect();
    let papers: Vec<(&str, &[u8])> =
        names.iter().map(|name| (name.as_str(), &b"a note\n"[..])).collect();
    let says = "s-48.txt, s-49.txt and 2 more.";
    finding(&examined("", &papers), "papers.unlisted", Outcome::NotRecorded, says);
    let says = "s-48.txt, s-49.txt.";
    finding(&examined("", &papers[..50]), "papers.unlisted", Outcome::NotRecorded, says);
}
