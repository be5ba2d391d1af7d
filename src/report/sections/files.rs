//! The files of the bundle with their checksums, and how to check them with common tools.

use std::collections::BTreeMap;

use crate::pages::{Cell, Column, MOST_ROWS, Section, Table};
use crate::records::docking::Closeout;
use crate::report::inputs::{Inputs, Listed};
use crate::text;
use crate::text::{code, count};

const EVERY_FILE: &str = "sha256sum -c manifest-sha256.txt
sha512sum -c manifest-sha512.txt
sha256sum -c tagmanifest-sha256.txt";

const IN_PYTHON: &str = r#"python3 -c "import hashlib
for line in open('manifest-sha256.txt', encoding='utf-8'):
    want, path = line.rstrip('\n').split(None, 1)
    have = hashlib.sha256(open(path, 'rb').read()).hexdigest()
    print('whole  ' if have == want else 'CHANGED', path)""#;

const SEAL: &str = "sha256sum tagmanifest-sha256.txt";

const SEAL_OF_RECORDS: &str = "grep -E ' data/(records|papers)/' manifest-sha256.txt | sha256sum";

pub(super) fn section(inputs: &Inputs<'_>, closeout: &Closeout) -> Section {
    let mut section = Section::new("Files of the bundle, with checksums").at("files");
    let rows = listed(inputs.files);
    if rows.is_empty() {
        section.paragraph("No file is listed.");
    } else {
        section.paragraph(text!(
            "{}, {} bytes. This report can\u{2019}t list itself; the bundle\u{2019}s manifests do. Paths are \
             inside the folder {}.",
            count(inputs.files.len(), "file", "files"),
            text::bytes(inputs.files.iter().map(|file| file.size).sum()),
            code(&closeout.bundle_name)
        ));
        if rows.len() < inputs.files.len() {
            section.paragraph(
                "A folder of very many files has one row here; their checksums stand in the manifests. The seal \
                 of the records on the title page is of those of all papers and records, printed or not.",
            );
        }
        let columns = [Column::text("Path"), Column::figure("Bytes"), Column::name("SHA-256")];
        // None is left out: the list is what the others are held against.
        section.table(Table { rows, ..Table::new(columns).small() });
    }

    section.part("Attached to this report");
    if inputs.attachments.is_empty() {
        section.paragraph("Nothing is attached.");
    } else {
        section.paragraph(
            "These files travel inside this PDF, as they were written. Any viewer that shows attachments can save \
             them.",
        );
        if !inputs.examined.project.history.is_empty() {
            section.paragraph(
                "Records of earlier dockings are not among them; they are in the bundle.",
            );
        }
        let columns = [Column::name("File").mm(70.0), Column::text("What it is")];
        let attached = inputs.attachments.iter();
        let attached = attached.map(|one| [one.path.as_str().into(), one.about.as_str().into()]);
        section.table(Table::new(columns).rows(attached));
    }
    section
}

/// Every file; those of a folder of many in one row.
fn listed(files: &[Listed]) -> Vec<Vec<Cell>> {
    let mut folders: BTreeMap<&str, Vec<&Listed>> = BTreeMap::new();
    for file in files {
        folders.entry(folder(&file.path)).or_default().push(file);
    }
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for file in files {
        let Some(in_folder) = folders.get(folder(&file.path)) else { continue };
        if in_folder.len() <= MOST_ROWS {
            let groups = text::grouped(&file.sha256, 8).join(" ");
            let (path, size) = (file.path.as_str(), text::bytes(file.size));
            rows.push(vec![path.into(), size.into(), code(groups).into()]);
        } else if in_folder.first().is_some_and(|first| first.path == file.path) {
            let files = count(in_folder.len(), "file", "files");
            let size = text::bytes(in_folder.iter().map(|file| file.size).sum());
            let path = format!("{}: {files}", folder(&file.path));
            rows.push(vec![path.into(), size.into(), "in the manifests".into()]);
        }
    }
    rows
}

/// The folder of a file just below the bundle's `data/`.
fn folder(path: &str) -> &str {
    let below = path.match_indices('/').nth(1);
    below.map_or("", |(at, _)| &path[..=at])
}

/// How to check the bundle with nothing but common tools.
pub(super) fn verify(inputs: &Inputs<'_>, closeout: &Closeout) -> Section {
    let mut section = Section::new("How to verify without this program").at("verify");
    section.paragraph(text!(
        "The bundle is a plain zip whose entries are stored, not compressed. Unpack it with any tool, and open a \
         command line inside the folder {}. Every file is listed with its SHA-256 and SHA-512 checksum.",
        code(&closeout.bundle_name)
    ));
    section.part("Every file");
    section.code(EVERY_FILE);
    section.paragraph(
        "Each line of the answer names a file and says OK. On systems without these commands, Python does the same:",
    );
    section.code(IN_PYTHON);
    section.part("The seal of the bundle");
    section.paragraph(
        "The seal stands for the whole bundle and is kept on paper elsewhere. It is the checksum of one file:",
    );
    section.code(SEAL);
    section.part("The seal of the records");
    section.paragraph(
        "The seal on the title page stands for the records and papers alone, since this report can\u{2019}t hold \
         the checksum of a bundle that holds this report. It is the checksum of the manifest\u{2019}s lines for \
         them:",
    );
    section.code(SEAL_OF_RECORDS);
    section.paragraph("The answer must be");
    section.paragraph(code(text::grouped(inputs.records_seal, 4).join(" ")));
    section.part("If something does not agree");
    section.paragraph(
        "A file whose checksum differs has changed since the bundle was written, on purpose or by decay of the \
         medium. Look for another copy of the bundle and compare. The other files are not affected.",
    );
    section
}
