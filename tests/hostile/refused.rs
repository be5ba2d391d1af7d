//! Zips that other tools refuse, or read something else in, by fields that this program has no use for: each is
//! told, since every tool has to find the same files in a bundle (PKWARE, .ZIP File Format Specification 6.3.10,
//! section 4.4).

use super::made::{End, Entry, extra};
use super::zips::{Made, NAME, hold, more, note};

/// Sets general purpose bits in both headers of the note.
fn flagged(entries: &mut [Entry], flags: u16) {
    *note(entries) = note(entries).clone().with(|header| header.flags = flags);
}

const CASES: &[Made] = &[
    Made { what: "patched data", entries: |all, _| flagged(all, 1 << 5), status: 3 },
    Made { what: "strong encryption", entries: |all, _| flagged(all, 1 << 6), status: 3 },
    Made { what: "masked headers", entries: |all, _| flagged(all, 1 << 13), status: 3 },
    Made {
        what: "patched data, by the entry's own header alone",
        entries: |all, _| note(all).local.flags = 1 << 5,
        status: 3,
    },
    Made {
        what: "an extra field of AES",
        entries: |all, _| note(all).central.extra = extra(0x9901, b"\x02\0AE\x03\0\0"),
        status: 3,
    },
    Made {
        what: "an extra field of AES in the entry's own header",
        entries: |all, _| note(all).local.extra = extra(0x9901, b"\x02\0AE\x03\0\0"),
        status: 3,
    },
    Made {
        what: "a version of the format that is not there yet",
        entries: |all, _| {
            *note(all) = note(all).clone().with(|header| header.needed = Some(64));
        },
        status: 3,
    },
    Made {
        what: "the newest version of the format",
        entries: |all, _| {
            *note(all) = note(all).clone().with(|header| header.needed = Some(63));
        },
        status: 0,
    },
    Made { what: "an entry on another disk", entries: |all, _| note(all).disk = 1, status: 3 },
    Made { what: "an end record of another disk", entries: |_, end| end.disks = [1, 0], status: 3 },
    Made { what: "a directory on another disk", entries: |_, end| end.disks = [0, 7], status: 3 },
    Made {
        what: "another disk in the end record for large zips",
        entries: |all, end: &mut End| {
            (end.large, end.large_disks) = (Some(all.len() as u64), [1, 0, 0]);
        },
        status: 3,
    },
    Made {
        what: "another disk in the locator",
        entries: |all, end: &mut End| {
            (end.large, end.large_disks) = (Some(all.len() as u64), [0, 0, 2]);
        },
        status: 3,
    },
    Made {
        what: "a link by the attributes of another system",
        entries: |all, _| {
            (note(all).system, note(all).mode) = (Some(0), 0o120_777);
        },
        status: 3,
    },
    Made {
        what: "a link of Windows",
        entries: |all, _| {
            (note(all).system, note(all).mode, note(all).attributes) = (Some(10), 0, 0x400);
        },
        status: 3,
    },
    Made { what: "a volume's label", entries: |all, _| note(all).attributes = 0x08, status: 3 },
    Made {
        what: "a file with a folder's attribute",
        entries: |all, _| note(all).attributes = 0x10,
        status: 3,
    },
    Made {
        what: "a file with a folder's mode",
        entries: |all, _| note(all).mode = 0o040_755,
        status: 3,
    },
    Made {
        what: "a folder with content",
        entries: |all, _| more(all, format!("{NAME}/data/papers/folder/").as_bytes()),
        status: 3,
    },
    Made {
        what: "a name that is not marked as UTF-8",
        entries: |all, _| more(all, format!("{NAME}/data/papers/caf\u{e9}.txt").as_bytes()),
        status: 3,
    },
    Made {
        what: "a name that is UTF-8 in one header alone",
        entries: |all, _| note(all).local.flags = 1 << 11,
        status: 3,
    },
];

#[test]
fn fields_that_other_tools_refuse_or_read_otherwise_are_named() {
    hold(CASES, "tests/hostile/expected/refused.txt");
}
