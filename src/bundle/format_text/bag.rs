//! Chapters 2 and 3: where things stand in a bundle, and the order of writing and verifying.

use super::page::Page;
use crate::bundle::bag::DECLARATION;
use crate::bundle::formats::FORMATS;
use crate::bundle::layout::{BESIDE, CONTENTS};
use crate::bundle::version::{LABEL, WRITTEN};

pub(super) fn write(page: &mut Page) {
    page.chapter("2 The bundle");
    page.says(
        "A bundle is a zip file NAME.zip that holds one folder NAME/, and that folder is a BagIt 1.0 bag \
         (RFC 8493). NAME must be what docking.toml gives as bundle_name under [closeout]. A folder that \
         the zip was unpacked to is the same bundle.",
    );
    page.section("The zip");
    for text in [
        "Every entry must be stored, not compressed (method 0) and not encrypted, so that the bytes of \
         each file are in the zip as they are, after a local header of their own. The files can then be \
         extracted even from a zip that has lost its directory; README.txt has a script for that.",
        "Local headers hold the sizes and the CRC-32 themselves; there are no data descriptors. Entries \
         of 4 GiB and more, and archives beyond, use Zip64.",
        "Names are UTF-8 with / between folders. There are no links and no entries for folders. No name \
         may be absolute, have .. in it, or leave NAME/, nor have what some system can't hold: \\ : * ? \" < > | \
         or control characters, a space or point at the end of a part, a device's name such as CON, more than \
         200 bytes below data/records/ or data/papers/; and no two may differ only in capital letters, \
         or in whether an accented letter is one character or two. There \
         are at most 200 000 entries.",
        "No entry needs a version of the zip format beyond 6.3, has general purpose bit 0, 3, 5, 6 or 13, \
         begins on another disk than the first, or has an extra field of AES (0x9901) or of a second name \
         (0x7075); a name that is not ASCII has bit 11. No attribute makes an entry a link, a device, a \
         label or a folder.",
        "Entries follow each other from the first byte on, and the directory follows the last. The two \
         headers of an entry agree, and nothing follows the end record, so that every tool finds the same \
         files. A reader must report a zip that differs from this.",
        "Every entry has the date of closeout (prepared_on), at 00:00, and the permissions 0644.",
    ] {
        page.item(text);
    }
    page.section("The files in the folder NAME/, in the order in which they stand in the zip");
    for (path, about) in CONTENTS {
        page.entry(path, about);
    }
    page.gap();
    page.says(
        "Papers and records are in the order of their names (of their UTF-8 bytes). A file from \
         the folder papers/ of the project is below data/papers/, except papers/papers.csv, which is \
         a record; every other file is below data/records/. Files that chapter 5 does not name are \
         kept unread.",
    );
    page.says(
        "A project may keep records in the sheets of one workbook instead of CSV files: project.xlsx \
         (Office Open XML, ISO/IEC 29500) or project.ods (OpenDocument, ISO/IEC 26300), in which the sheet \
         plan-blocks stands for plan/blocks.csv. The workbook is kept as it was, below data/workbook/. \
         Nothing needs to read it: for every such sheet the CSV file that was made of it is below \
         data/records/ as if it had been written by hand, and only that file was read for the findings. Its record \
         of a number, counted from the first line on with empty ones, is the sheet's row of that number; its \
         cells are the sheet's, dates as in chapter 4, numbers to fifteen digits, a share shown as 85% \
         as that text, a length of time as the hours, minutes and seconds that are shown. What stands above its \
         column names, a row that sums up the others, an error, a formula without a result, a date where no \
         time is asked for, a plain number where one is, and a number under a format of dates that is no day from \
         1900-03-01 to 9999-12-31 are refused, so that no record has them. Hidden rows, columns and sheets are \
         read; comments are not. A place such as \
         plan-blocks!F17 in the report is a cell of the workbook.",
    );
    page.says(
        "Beside it there may be workbooks of any name in the project's folder workbooks/. Their sheets are parts of \
         tables (chapter 4): of the sheet coating-film of workbooks/anna.xlsx the CSV file is \
         data/records/workbooks/anna.xlsx/coating-film.csv, and the workbook itself is below data/workbook/workbooks/. \
         A place such as [anna.xlsx]coating-film!F17 is a cell of that workbook.",
    );
    write_formats(page);
    page.section("Beside the zip");
    for (name, about) in BESIDE {
        page.entry(name, about);
    }
    page.section("The repair data");
    page.says(
        "They are of the zip as a whole, in the open format PAR 2.0. The zip of n bytes is cut into blocks (the format \
         calls them slices) of one size: n divided by the number of blocks, rounded up to a multiple of 1024 bytes. That \
         number is 2^38 / n, but 16 384 at most and 2000 at least; for a zip beyond 8 GiB 2000 times 8 GiB / n, but 500 \
         at least. So a block has 1 KiB up to 16 MiB, 4 KiB at 32 MiB, 64 KiB at 128 MiB. For every hundred blocks, or \
         part of a hundred, there are so many repair blocks as closeout was asked for: 10 unless it was told otherwise.",
    );
    page.says(
        "The packets that all depends on stand four times: alone in NAME.zip.par2; before, in the middle of and after the \
         repair blocks in the other file. If no copy of the packet with the checksums of the blocks is whole, a reader may \
         take each checksum from whichever copies are left: a block that fits one of them shows that both are as they \
         were, and the MD5 of the whole zip proves the result.",
    );
    page.section("The tag files");
    page.says("bagit.txt must be these two lines, in this order:");
    DECLARATION.lines().for_each(|line| page.verbatim(line));
    page.gap();
    page.says(
        "A manifest has a line for each file: the digest in lower-case hexadecimal, two spaces, the path. \
         In a path a per cent sign is written %25, a line feed %0A, a carriage return %0D. Lines are in \
         the order of the paths' bytes and end in a line feed. Both payload manifests must list every file \
         below data/; both tag manifests must list both payload manifests, bagit.txt and bag-info.txt. \
         Nothing lists the tag manifests: the seal stands for them. bag-info.txt has lines of a label, a \
         colon, a space and a value; Payload-Oxum is the number of bytes below data/, a point, and the \
         number of files.",
    );
    page.says(
        "An archive may add manifests by other algorithms to the bag, or make the zip or the folder NAME/ \
         the payload of a bag of its own. A reader should compare the files with those manifests \
         too, as RFC 8493 says, and report one whose digests it can't compute as not checked. A \
         fetch.txt lists files that are kept elsewhere: those that are not there are missing, and a reader \
         must not fetch them. It may leave the largest files unread where there are far more bytes than \
         Payload-Oxum states, and must then say so.",
    );
    page.says(&format!("{LABEL} in bag-info.txt must be the version of this format, {WRITTEN}."));
    page.chapter("3 The order of writing and of verifying");
    page.says("A writer must put a bundle under its name only when all of this has been done:");
    for text in [
        "The project is read whole; anything wrong in it ends the run.",
        "Papers, then workbooks if there are any, then records, are copied into a zip in a hidden folder \
         beside its place, each read once, with its digests computed on the way. A file that changes meanwhile \
         ends the run.",
        "Tables, findings, drawings, format.txt and README.txt follow, then the page for a web browser, then the \
         report, which states the checksum of the records, and its other volumes.",
        "Then ro-crate-metadata.json, which describes all of these.",
        "Then the payload manifests, bagit.txt, bag-info.txt, the tag manifests.",
        "The zip is flushed to the disk, read again, every digest compared, and the findings recomputed \
         from the records in it.",
        "Page, report, seal and zip are moved to their places, the zip last, and the hidden folder is removed.",
    ] {
        page.item(text);
    }
    page.gap();
    page.says(
        "A reader that verifies a bundle should do so in this order, and report what it found of each file:",
    );
    for text in [
        "The seal: the SHA-256 of tagmanifest-sha256.txt is the one on paper.",
        "bagit.txt is the declaration above.",
        "Every tag file matches both tag manifests.",
        "Every file below data/ is compared with both payload manifests: whole, changed, missing, or not listed.",
        "Payload-Oxum matches the payload.",
        "The findings: recomputed from data/records/ they are those of data/findings.json.",
    ] {
        page.item(text);
    }
}

fn write_formats(page: &mut Page) {
    page.section("The formats of these files, by name");
    page.says(
        "Each by the title that its standard has, its media type, and its identifier in PRONOM, the registry of file \
         formats of The National Archives (UK), where one is known to be right. ro-crate-metadata.json gives media type \
         and identifier file by file, those of papers too; an identifier that depends on a version nobody looked for is \
         left out there.",
    );
    for format in FORMATS {
        let media_type = format.media_type.unwrap_or("none");
        let pronom = format.pronom.unwrap_or("none");
        page.entry(
            format.name,
            &format!(
                "{}. Media type: {media_type}; PRONOM: {pronom}. {}",
                format.standard, format.used_for
            ),
        );
    }
    page.gap();
    page.section("ro-crate-metadata.json");
    for text in [
        "JSON-LD by the RO-Crate Metadata Specification 1.2: the folder data/ is the crate. It describes every file below \
         data/ but itself, with its size in bytes and its format. Ids of files are their paths in that folder, with signs \
         in per cent encoding where a reference (RFC 3987) does not allow them.",
        "A CreateAction says which files the program made, with its version, and from which; its endTime is \
         prepared_on, as datePublished is. isBasedOn of a table names the files that its rows stand in. Records of \
         earlier dockings are a Dataset each, with the seal of the bundle that they were taken from.",
        "Ship (a Vehicle), dock (a Place), people with their roles, owner, terms of use, whom to ask and where the \
         originals are stand in it as they are recorded; what is not recorded is left out, and only the license, which the \
         specification asks for, then says so in words. start-here.html shows the same to people.",
        "Bundles of versions before 0.8.0 lack the file; a reader must not ask for it.",
    ] {
        page.item(text);
    }
}
