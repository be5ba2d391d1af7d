//! Chapters 11 and 12: what a reader may rely on, what verifying proves, and the change log.

use super::page::Page;
use crate::bundle::log::COLUMNS;
use crate::findings::changes::{CHANGES, PLANS_EXAMINED};

/// What verifying proves and what it does not, a sentence or two each.
pub const PROOF: [&str; 4] = [
    "That the files match the manifests (fixity): no byte of them has changed since the manifests were \
     made. But whoever can change a file can also make new manifests.",
    "So fixity needs the seal, kept on paper elsewhere. If the seal on paper is the SHA-256 of \
     tagmanifest-sha256.txt, the bundle is the one that the seal was made for.",
    "That the findings, recomputed from the records, are those in the bundle: whether records and findings \
     still agree. A record edited together with its manifests shows here where a finding depends on it.",
    "None of this proves who wrote the bundle, nor that what the records say is true. A signature beside \
     it shows whose key signed the tag manifest, to those who know whose key it is.",
];

pub(super) fn write(page: &mut Page) {
    page.chapter("11 What a reader may rely on, and what verifying proves");
    page.section("What a reader may rely on");
    for text in [
        "Records and papers are the bytes that people wrote. Where a table, a finding or the report differs \
         from the record, the record is what was written down.",
        "The same project gives the same bundle, byte for byte, on any machine and any day. Every date in \
         a bundle comes from the record.",
        "Nothing in a bundle needs to be run, fetched or unlocked. Text is UTF-8 or ASCII, tables are CSV, \
         drawings are SVG, the report is PDF/A-3a.",
        "A reader must refuse a bundle of a newer version than it knows, and a docking.toml of another \
         format than it knows, by their numbers. It should accept findings that it does not know, and sentences that are worded otherwise.",
        "A writer must not change the meaning of a column, word, unit or finding's id within a version.",
        "Units, axes and signs are those of chapters 6 and 7 throughout.",
    ] {
        page.item(text);
    }
    page.section("What verifying proves");
    PROOF.iter().for_each(|text| page.item(text));
    page.section("The log of what was done");
    page.says(
        "Whoever keeps bundles may keep a log of what was done to them, a CSV file in UTF-8 that is no part of any bundle. Its \
         first line names the columns, in the terms of PREMIS 3 where those have one; each further line is an event. A \
         run that ends before it has a result adds none. Columns of texts are guarded as the derived tables are (chapter 9).",
    );
    for (name, meaning) in COLUMNS {
        page.entry(name, meaning);
    }
    page.chapter("12 Changes of this format and of rules");
    page.entry("Version 1", "The first.");
    page.section("Changes of rules");
    page.says(
        "The format stays the same when the program computes a finding by another rule than before. A \
         bundle is never rewritten for that: verifying one that an earlier version wrote distinguishes \
         what is the same, what one of these rules explains, and what is not explained. \
         In patterns of ids * stands for any characters.",
    );
    for change in CHANGES {
        page.entry(&format!("Since {}: {}", change.since, change.findings.join(", ")), change.what);
    }
    let plans = &PLANS_EXAMINED;
    page.entry(&format!("Since {}: findings with as_planned", plans.since), plans.what);
}
