//! How to check the bundle with common tools, and what it holds.

use crate::pages::{Cell, Column, Section, Table};
use crate::records::docking::Closeout;
use crate::report::inputs::{Inputs, Listed};
use crate::text;
use crate::text::{code, count, strong};

const EVERY_FILE: &str = "sha256sum -c manifest-sha256.txt
sha512sum -c manifest-sha512.txt
sha256sum -c tagmanifest-sha256.txt";

const IN_PYTHON: &str = r#"python3 -c "import hashlib
for line in open('manifest-sha256.txt', encoding='utf-8'):
    want, path = line.rstrip('\n').split(None, 1)
    have = hashlib.sha256(open(path, 'rb').read()).hexdigest()
    print('whole  ' if have == want else 'CHANGED', path)""#;

const SEAL: &str = "sha256sum tagmanifest-sha256.txt";

const OF_RECORDS: &str = "grep -E ' data/(records|papers)/' manifest-sha256.txt | sha256sum";

/// How to check the bundle with nothing but common tools, and what it holds.
pub(super) fn verify(inputs: &Inputs<'_>, closeout: &Closeout) -> Section {
    let mut section = Section::new("How to verify without this program").at("verify");
    section.paragraph(text!(
        "The bundle is a plain zip whose entries are stored, not compressed. Unpack it with any tool, and open a \
         command line inside the folder {}. Its manifests list every file with its SHA-256 and SHA-512 checksum; these \
         lines check all of them:",
        code(&closeout.bundle_name)
    ));
    section.code(EVERY_FILE);
    section.paragraph(
        "Each line of the answer names a file and says OK. On systems without these commands, Python does the same:",
    );
    section.code(IN_PYTHON);
    section.paragraph(text!(
        "{} stands for the whole bundle and is kept on paper elsewhere. It is the checksum of one file, and this report, \
         which is in the bundle, can\u{2019}t state it:",
        strong("The seal")
    ));
    section.code(SEAL);
    section.paragraph(text!(
        "{} stands for what was recorded: it is the checksum of the manifest\u{2019}s lines for records and papers.",
        strong("The checksum of the records")
    ));
    section.code(OF_RECORDS);
    section.lead("The answer must be");
    section.paragraph(code(text::grouped(inputs.records_checksum, 4).join(" ")));
    section.paragraph(
        "A file whose checksum differs has changed since the bundle was written, on purpose or by decay of the \
         medium. Look for another copy of the bundle and compare. The other files are not affected.",
    );
    section.part("What the bundle holds");
    if inputs.files.is_empty() {
        section.paragraph("No file is listed.");
        return section;
    }
    section.paragraph(text!(
        "{}, {} bytes, and this report with its other volumes. {} says what each is, and the manifests name every one.",
        count(inputs.files.len(), "file", "files"),
        text::bytes(inputs.files.iter().map(|file| file.size).sum()),
        code("data/README.txt")
    ));
    let columns = [Column::text("Where"), Column::figure("Files"), Column::figure("Bytes")];
    section.table(Table::new(columns).rows(listed(inputs.files)).in_halves());
    if !inputs.attachments.is_empty() {
        let history = if inputs.examined.project.history.is_empty() {
            ""
        } else {
            " Records of earlier dockings are not among them; they are in the bundle."
        };
        section.paragraph(text!(
            "{} inside this PDF, as they were written: the records, the findings, and data/README.txt. Any viewer \
             that shows attachments can save them.{}",
            count(inputs.attachments.len(), "file travels", "files travel"),
            history
        ));
    }
    section
}

/// The folders below the bundle's `data/`, with the files that stand in none, each with how many files and bytes.
fn listed(files: &[Listed]) -> Vec<[Cell; 3]> {
    let mut folders: Vec<(&str, usize, u64)> = Vec::new();
    for file in files {
        let folder = match folder(&file.path) {
            "" => "data/",
            folder => folder,
        };
        match folders.iter_mut().find(|(found, _, _)| *found == folder) {
            Some((_, files, bytes)) => {
                *files += 1;
                *bytes += file.size;
            }
            None => folders.push((folder, 1, file.size)),
        }
    }
    let row = |(folder, files, bytes): (&str, usize, u64)| {
        [folder.into(), files.into(), text::bytes(bytes).into()]
    };
    folders.into_iter().map(row).collect()
}

/// The folder of a file just below the bundle's `data/`.
fn folder(path: &str) -> &str {
    let below = path.match_indices('/').nth(1);
    below.map_or("", |(at, _)| &path[..=at])
}
