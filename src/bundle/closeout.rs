//! Closing out: report, bundle, seal and recovery data written side by side, or nothing at all.
//!
//! Order of writing: papers, records, tables, findings, drawings, the format's text and the README go
//! into a zip in a staging folder, each read once; the page for a browser and the report with its volumes follow;
//! then the description of all of them, manifests and tag files. The finished zip is flushed, then verified and recomputed from what was
//! really written; recovery data is made of it; and only when every file has been read back are they
//! renamed.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs::File;
use std::io::Seek;
use std::path::{Path, PathBuf};

use super::attached;
use super::bag;
use super::digest;
use super::error::BundleError;
use super::first_sight;
use super::format_text;
use super::formats::media_type_of;
use super::layout;
use super::open::Bundle;
use super::pack::Packer;
use super::readme;
use super::recompute;
use super::recovery::make::{self, Made};
use super::ro_crate::{self, Made as MadeFile, Told};
use super::safely::{self, Finished};
use super::seal;
use super::signature;
use super::staging::StagingDir;
use super::verify;
use super::version;
use crate::findings::Examined;
use crate::findings::written::{self, FindingsWritten};
use crate::records::docking::Closeout;
use crate::records::history;
use crate::records::store::{Folder, Store};
use crate::report::error::ReportError;
use crate::report::letters::{self, Letter};
use crate::report::seal_sheet::{self, Sealed};
use crate::report::{self, Attachment, Inputs, Listed, PaperTable, Relationship, Volume, Volumes};
use crate::tables;
use crate::web::{self, Previews};

/// What a closeout is asked for.
pub struct Request<'a> {
    /// The project's folder.
    pub folder: &'a Folder,
    /// What was read from it and found.
    pub examined: &'a Examined,
    /// Where to write.
    pub out: &'a Path,
    /// Whether files that are there already and differ may be replaced.
    pub replace: bool,
    /// Recovery slices for each hundred slices of the bundle; 0 for no recovery data.
    pub repair_percent: u32,
    /// The key that signs, if somebody wants to.
    pub sign_with: Option<&'a ssh_key::PrivateKey>,
    /// Name and version of the program.
    pub program: &'a str,
    /// Called with the number of bytes packed or processed.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

/// What a closeout has written.
#[derive(Debug)]
pub struct Written {
    /// The bundle.
    pub bundle: PathBuf,
    /// The page for a browser beside it.
    pub start_here: PathBuf,
    /// The report beside it.
    pub report: PathBuf,
    /// The report's first pages beside it.
    pub summary: PathBuf,
    /// The parts of the tables set for paper beside it, if they were asked for.
    pub tables: Vec<PathBuf>,
    /// The seal beside it, as text.
    pub seal_file: PathBuf,
    /// The seal as a sheet to be printed.
    pub seal_sheet: PathBuf,
    /// What the files beside each other are, for whoever finds them.
    pub read_me_first: PathBuf,
    /// The signature beside it, if it was signed.
    pub signature: Option<PathBuf>,
    /// The recovery files beside it.
    pub recovery: Vec<PathBuf>,
    /// Bytes in them.
    pub recovery_bytes: u64,
    /// The seal, 64 hexadecimal digits.
    pub seal: String,
    /// Files in the payload.
    pub files: usize,
    /// Bytes in the payload.
    pub bytes: u64,
    /// Whether the very same bundle was there already.
    pub unchanged: bool,
    /// Pictures that are wanted in the report and not shown there: their files' names inside `papers/`, and why.
    pub not_shown: Vec<(String, String)>,
}

/// Writes report, bundle and seal.
pub fn closeout(request: &Request<'_>) -> Result<Written, Vec<BundleError>> {
    let Some(closeout) = &request.examined.project.docking.closeout else {
        return Err(vec![BundleError::new(
            "docking.toml",
            "has no table [closeout]",
            "add [closeout] with prepared_by, prepared_on and bundle_name; in a form they stand at its end, each behind \
             a # that is to be taken away",
        )]);
    };
    let name = &closeout.bundle_name;
    let one = |error: BundleError| vec![error];
    let staging = StagingDir::making(request.out).map_err(one)?;
    let unwritten = |error: std::io::Error| one(safely::unwritten(&staging, &error));
    let temporary = safely::temporary(&staging).map_err(one)?;
    let file = temporary.as_file().try_clone().map_err(unwritten)?;

    let mut packer = Packer::new(file, request.out, name, closeout.prepared_on);
    pack_records(&mut packer, request).map_err(one)?;
    let (derived, made_files) = pack_derived(&mut packer, request, closeout).map_err(one)?;
    let not_shown = request.examined.project.pictures.not_shown();
    let letters = letters::read(&request.examined.project, request.folder)
        .map_err(|(path, error)| one(unread(request, &path, &error)))?;
    let previews = Previews::read(request.examined, request.folder);
    let start_here =
        web::page(request.examined, &derived.drawings, &letters, &previews, &[], request.program);
    packer.add_bytes(layout::START_HERE, start_here.as_bytes()).map_err(one)?;
    let volumes = typeset(&packer, request, derived, letters)?;
    packer.add_bytes(layout::REPORT, &volumes.report).map_err(one)?;
    packer.add_bytes(layout::SUMMARY, &volumes.summary).map_err(one)?;
    let parts = volumes.tables;
    for (n, part) in (1..).zip(&parts) {
        packer.add_bytes(&format!("{}{n}.pdf", layout::TABLES_ON_PAPER), part).map_err(one)?;
    }
    pack_description(&mut packer, request, closeout, &made_files).map_err(one)?;
    let payload = packer.files().len();
    let bytes = packer.files().values().map(|digests| digests.size).sum();
    let tag_manifest = pack_tags(&mut packer, request, closeout).map_err(one)?;
    let seal = digest::sha256(tag_manifest.as_bytes());
    let mut file = packer.finish().map_err(one)?;
    let counted = file.stream_position().map_err(unwritten)?;
    file.sync_all().map_err(unwritten)?;
    if file.metadata().map_err(unwritten)?.len() != counted {
        return Err(one(safely::not_as_written(request.out, "the bundle's length")));
    }
    let sealed = Sealed {
        seal: &seal,
        files: payload,
        bytes,
        page: (&web::file_name(name), digest::sha256(start_here.as_bytes())),
    };
    let sheet =
        || seal_sheet::typeset_seal_sheet(request.examined, closeout, &sealed, request.program);
    let (proved, sheet) = rayon::join(|| prove(temporary.path(), request, &seal), sheet);
    proved?;
    let sheet = sheet.map_err(|error| not_typeset(&seal_sheet::file(closeout), error))?;

    let zip = format!("{name}.zip");
    let made =
        make::make(temporary.path(), &zip, request.repair_percent, &staging, request.progress)
            .map_err(|error| one(error.reported_at(request.out)))?;
    let names: Vec<&str> = made.iter().map(|made| made.name.as_str()).collect();
    let left_over = make::left_over(request.out, &zip, &names);
    let seal_text = seal::of_bundle(request.examined, name, &seal);
    let mut written = Written {
        bundle: request.out.join(&zip),
        start_here: request.out.join(web::file_name(name)),
        report: request.out.join(Volume::Report.file(closeout)),
        summary: request.out.join(Volume::Summary.file(closeout)),
        tables: (1..=parts.len())
            .map(|part| request.out.join(Volume::tables_file(closeout, part)))
            .collect(),
        seal_file: request.out.join(format!("{name}-seal.txt")),
        seal_sheet: request.out.join(seal_sheet::file(closeout)),
        read_me_first: request.out.join(first_sight::file_name(name)),
        signature: request.sign_with.map(|_| signature::beside(&request.out.join(&zip))),
        recovery: names.iter().rev().map(|name| request.out.join(name)).collect(),
        recovery_bytes: made
            .iter()
            .filter_map(|made| made.file.path().metadata().ok())
            .map(|m| m.len())
            .sum(),
        seal,
        files: payload,
        bytes,
        unchanged: false,
        not_shown,
    };
    let start_here = safely::filled(&staging, start_here.as_bytes()).map_err(one)?;
    let report = safely::filled(&staging, &volumes.report).map_err(one)?;
    let summary = safely::filled(&staging, &volumes.summary).map_err(one)?;
    let seal = safely::filled(&staging, seal_text.as_bytes()).map_err(one)?;
    let sheet = safely::filled(&staging, &sheet).map_err(one)?;
    // The bundle comes last: once it has its final name, all the others have theirs.
    let mut finished = vec![
        Finished { file: start_here, place: written.start_here.clone() },
        Finished { file: report, place: written.report.clone() },
        Finished { file: summary, place: written.summary.clone() },
        Finished { file: seal, place: written.seal_file.clone() },
        Finished { file: sheet, place: written.seal_sheet.clone() },
    ];
    for (part, place) in parts.iter().zip(&written.tables) {
        let file = safely::filled(&staging, part).map_err(one)?;
        finished.push(Finished { file, place: place.clone() });
    }
    if let (Some(key), Some(place)) = (request.sign_with, &written.signature) {
        finished.push(signature::finished(key, &tag_manifest, &staging, place).map_err(one)?);
    }
    finished.extend(
        made.into_iter()
            .map(|Made { name, file, .. }| Finished { file, place: request.out.join(name) }),
    );
    let files = std::iter::once(&written.bundle).chain(finished.iter().map(|one| &one.place));
    let files: Vec<String> =
        files.filter_map(|place| Some(place.file_name()?.to_string_lossy().into_owned())).collect();
    let first_sight = first_sight::of_bundle(request.examined, name, &files);
    let file = safely::filled(&staging, first_sight.as_bytes()).map_err(one)?;
    finished.push(Finished { file, place: written.read_me_first.clone() });
    finished.push(Finished { file: temporary, place: written.bundle.clone() });
    for (path, _) in on_disk(request) {
        unchanged(request.folder, path).map_err(one)?;
    }
    written.unchanged = !safely::put_in_place(finished, &left_over, request.replace)?;
    Ok(written)
}

/// Papers, workbooks and records, byte for byte; for every sheet of a workbook the CSV file that was made
/// of it.
fn pack_records(packer: &mut Packer<File>, request: &Request<'_>) -> Result<(), BundleError> {
    let mut places: Vec<(String, Packed<'_>)> = on_disk(request)
        .map(|(path, size)| (layout::in_bundle(path), Packed::File(path, size)))
        .collect();
    for workbook in &request.examined.project.workbooks {
        let kept = format!("{}{}", layout::WORKBOOK, workbook.path);
        places.push((kept, Packed::InMemory(&workbook.bytes)));
        let made =
            workbook.made().map(|(path, csv)| (layout::in_bundle(path), Packed::InMemory(csv)));
        places.extend(made);
    }
    let folder = |place: &str| {
        [layout::PAPERS, layout::WORKBOOK].iter().position(|folder| place.starts_with(folder))
    };
    places.sort_by(|(a, _), (b, _)| (folder(a).unwrap_or(2), a).cmp(&(folder(b).unwrap_or(2), b)));
    for (place, packed) in places {
        match packed {
            Packed::File(path, size) => {
                pack_file(packer, &place, request.folder, (path, size), request.progress)?;
            }
            Packed::InMemory(bytes) => packer.add_bytes(&place, bytes)?,
        }
    }
    Ok(())
}

/// Packs a file of a folder, unless it changed since the folder was listed.
pub(super) fn pack_file(
    packer: &mut Packer<File>,
    place: &str,
    folder: &Folder,
    (path, size): (&str, u64),
    progress: &(dyn Fn(u64) + Sync),
) -> Result<(), BundleError> {
    unchanged(folder, path)?;
    let shown = folder.path(path);
    let file = folder.file(path).map_err(|error| {
        // It may have changed since the check just before.
        match unchanged(folder, path) {
            Err(changed) => changed,
            Ok(()) => BundleError::io(&shown, "can't be read", &error),
        }
    })?;
    packer.add_file(place, (file, &shown), size, progress)
}

/// Refuses a file that is no longer what it was when the project was listed, before anything of it was read:
/// what is packed, what was recomputed and what was printed would not be of one record.
pub(super) fn unchanged(folder: &Folder, path: &str) -> Result<(), BundleError> {
    let wrong = match folder.is_unchanged(path) {
        Ok(true) => return Ok(()),
        Ok(false) => "changed while the project was being closed out",
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            "was removed while the project was being closed out"
        }
        Err(error) => return Err(BundleError::io(folder.path(path), "can't be read", &error)),
    };
    let advice = "make sure that nobody writes to the project's folder, then run again";
    Err(BundleError::new(folder.path(path), wrong, advice))
}

/// The project's files with their sizes, except workbooks, whose bytes are in memory since they were read.
fn on_disk<'a>(request: &'a Request<'_>) -> impl Iterator<Item = (&'a str, u64)> {
    let workbooks = &request.examined.project.workbooks;
    let sizes = request.folder.sizes().iter();
    sizes
        .filter(|(path, _)| workbooks.iter().all(|workbook| workbook.path != **path))
        .map(|(path, size)| (path.as_str(), *size))
}

/// Where the bytes of a record come from.
enum Packed<'a> {
    /// A file of the project, with its size.
    File(&'a str, u64),
    /// A workbook, or a CSV file that was made of a sheet.
    InMemory(&'a [u8]),
}

/// What was made of the records and the report shows.
struct Derived {
    drawings: Vec<report::figures::Drawing>,
    readme: String,
    /// The findings' two files.
    findings: [Attachment; 2],
}

/// Tables, findings, drawings, the format's text and the README.
fn pack_derived(
    packer: &mut Packer<File>,
    request: &Request<'_>,
    closeout: &Closeout,
) -> Result<(Derived, BTreeMap<String, MadeFile>), BundleError> {
    let examined = request.examined;
    let failed = |error: csv::Error| BundleError::new("data/tables", error.to_string(), "");
    let failed_json = |path: &'static str| {
        move |error: serde_json::Error| BundleError::new(path, error.to_string(), "")
    };
    let mut made_files = BTreeMap::new();
    let derived = tables::tables(examined);
    for table in &derived {
        let csv = table.csv().map_err(failed)?;
        let path = format!("{}{}", layout::TABLES, table.name);
        packer.add_bytes(&path, &csv)?;
        let (title, about) = (table.title.clone(), table.about.clone());
        let from = table.from.iter().map(|path| layout::in_bundle(path)).collect();
        made_files.insert(path, MadeFile { title, about, from });
    }
    let metadata = tables::metadata(&derived, examined).map_err(failed_json(layout::TABLES))?;
    packer.add_bytes(&format!("{}{}", layout::TABLES, tables::METADATA), &metadata)?;
    let findings = FindingsWritten::new(examined, request.program);
    let json = findings.to_json().map_err(failed_json(layout::FINDINGS_JSON))?;
    packer.add_bytes(layout::FINDINGS_JSON, &json)?;
    let schema = written::schema().map_err(failed_json(layout::FINDINGS_SCHEMA))?;
    packer.add_bytes(layout::FINDINGS_SCHEMA, &schema)?;
    let csv = findings.to_csv().map_err(failed)?;
    packer.add_bytes(layout::FINDINGS_CSV, &csv)?;
    let drawings = report::figures::drawings(examined);
    for drawing in &drawings {
        let path = format!("{}{}.svg", layout::DRAWINGS, drawing.name);
        packer.add_bytes(&path, drawing.svg.as_bytes())?;
        let (title, about) = (drawing.title.clone(), drawing.alt.clone());
        made_files.insert(path, MadeFile { title, about, from: Vec::new() });
    }
    packer.add_bytes(layout::FORMAT_TEXT, format_text::text().as_bytes())?;
    let readme = readme::text(examined, &closeout.bundle_name, request.program);
    packer.add_bytes(layout::README, readme.as_bytes())?;
    let findings = [(layout::FINDINGS_CSV, csv), (layout::FINDINGS_JSON, json)];
    let findings = findings.map(|(place, bytes)| findings_attached(place, bytes));
    Ok((Derived { drawings, readme, findings }, made_files))
}

/// The description of the payload, after everything that it describes.
fn pack_description(
    packer: &mut Packer<File>,
    request: &Request<'_>,
    closeout: &Closeout,
    made: &BTreeMap<String, MadeFile>,
) -> Result<(), BundleError> {
    let told = Told {
        examined: request.examined,
        closeout,
        program: request.program,
        files: packer.files(),
        made,
    };
    let failed =
        |error: serde_json::Error| BundleError::new(layout::RO_CRATE, error.to_string(), "");
    let description = ro_crate::written(&told).map_err(failed)?;
    packer.add_bytes(layout::RO_CRATE, &description)
}

fn findings_attached(place: &str, bytes: Vec<u8>) -> Attachment {
    let name = place.rsplit('/').next().unwrap_or(place);
    Attachment {
        path: name.to_string(),
        bytes,
        media_type: media_type_of(name),
        about: format!("the findings, each with the records used: {place} of the bundle"),
        relationship: Relationship::Data,
    }
}

fn read(request: &Request<'_>, path: &str) -> Result<Vec<u8>, BundleError> {
    request.folder.read(path).map_err(|error| unread(request, path, &error))
}

fn unread(request: &Request<'_>, path: &str, error: &std::io::Error) -> BundleError {
    BundleError::io(request.folder.path(path), "can't be read", error)
}

fn typeset(
    packer: &Packer<File>,
    request: &Request<'_>,
    derived: Derived,
    letters: Vec<Letter>,
) -> Result<Set, Vec<BundleError>> {
    let files: Vec<Listed> = packer
        .files()
        .iter()
        .map(|(path, digests)| Listed {
            path: path.clone(),
            size: digests.size,
            sha256: digests.hex[0].clone(),
        })
        .collect();
    let read = |path: &str| read(request, path).map_err(|error| vec![error]);
    let attachment = |path: &str, bytes: Vec<u8>, how: &str| Attachment {
        path: path.to_string(),
        bytes,
        media_type: media_type_of(path),
        about: format!("record of the docking as it {how}: {path}"),
        relationship: Relationship::Source,
    };
    let mut attachments = Vec::from(derived.findings);
    attachments.push(Attachment {
        path: layout::README.trim_start_matches(layout::DATA).to_string(),
        bytes: derived.readme.into_bytes(),
        media_type: media_type_of(layout::README),
        about: format!(
            "what the bundle holds and how to check it: {} of the bundle",
            layout::README
        ),
        relationship: Relationship::Supplement,
    });
    for (path, _) in on_disk(request)
        .filter(|(path, _)| layout::in_bundle(path).starts_with(layout::RECORDS))
        .filter(|(path, _)| !history::is_record(path))
    {
        attachments.push(attachment(path, read(path)?, "was written"));
    }
    for workbook in &request.examined.project.workbooks {
        attachments.push(attachment(&workbook.path, workbook.bytes.clone(), "was written"));
        let stood = "stood in a sheet of a workbook";
        attachments
            .extend(workbook.made().map(|(path, csv)| attachment(path, csv.to_vec(), stood)));
    }
    attachments.sort_by(|a, b| a.path.cmp(&b.path));
    let mut taken = BTreeSet::new();
    for one in attachments.iter_mut().filter(|one| one.relationship == Relationship::Source) {
        one.path = attached::name(&one.path, &mut taken);
    }
    let checksum = records_checksum(packer);
    let inputs = Inputs {
        examined: request.examined,
        drawings: &derived.drawings,
        files: &files,
        records_checksum: &checksum,
        attachments,
        pictures: &request.examined.project.pictures,
        letters,
        program: request.program,
    };
    let failed = |place: &'static str| move |error: ReportError| not_typeset(place, error);
    let Volumes { report, summary } =
        report::typeset_volumes(&inputs).map_err(failed(layout::REPORT))?;
    let asked = request.examined.project.docking.closeout.as_ref();
    let tables = if asked.is_some_and(|closeout| closeout.tables_volume) {
        let tables: Vec<PaperTable> =
            tables::tables(request.examined).into_iter().map(on_paper).collect();
        report::typeset_tables(&inputs, &tables).map_err(failed(layout::TABLES_ON_PAPER))?
    } else {
        Vec::new()
    };
    Ok(Set { report, summary, tables })
}

fn not_typeset(place: &str, error: ReportError) -> Vec<BundleError> {
    let each = error.messages.into_iter();
    each.map(|message| BundleError::new(place, message.cause, message.remedy)).collect()
}

/// What was typeset.
struct Set {
    report: Vec<u8>,
    summary: Vec<u8>,
    /// The parts of the tables; none unless they were asked for.
    tables: Vec<Vec<u8>>,
}

fn on_paper(table: tables::Table) -> PaperTable {
    PaperTable {
        title: table.title,
        file: format!("{}{}", layout::TABLES, table.name),
        about: table.about,
        columns: table.columns.into_iter().map(|column| (column.name, column.is_key)).collect(),
        rows: table.rows,
    }
}

/// The checksum of the records: SHA-256 over the lines of the manifest whose paths are records or papers.
/// It is known before the report is, so that the report can carry it.
fn records_checksum(packer: &Packer<File>) -> String {
    let lines: String = bag::manifest(packer.files(), 0)
        .split_inclusive('\n')
        .filter(|line| {
            line.contains(&format!("  {}", layout::RECORDS))
                || line.contains(&format!("  {}", layout::PAPERS))
        })
        .collect();
    digest::sha256(lines.as_bytes())
}

/// Packs manifests, declaration, metadata and tag manifests; returns the tag manifest that the seal is computed from.
fn pack_tags(
    packer: &mut Packer<File>,
    request: &Request<'_>,
    closeout: &Closeout,
) -> Result<String, BundleError> {
    let ship = &request.examined.project.docking.ship;
    let dock = &request.examined.project.docking.dock;
    let archive = &request.examined.project.docking.archive;
    let payload = packer.files().clone();
    let info = bag::info(&[
        ("Source-Organization", ship.owner.clone().unwrap_or_default()),
        ("Organization-Address", archive.contact_address.clone().unwrap_or_default()),
        ("Contact-Name", archive.contact.clone().unwrap_or_else(|| closeout.prepared_by.clone())),
        ("Contact-Phone", archive.contact_telephone.clone().unwrap_or_default()),
        ("Contact-Email", archive.contact_email.clone().unwrap_or_default()),
        (
            "External-Description",
            format!(
                "Dry-docking record of {} in {}: records, report, checksums{}",
                ship.name,
                dock.name,
                archive.statement().map(|statement| format!(". {statement}")).unwrap_or_default()
            ),
        ),
        (
            "External-Identifier",
            archive.identifier.clone().unwrap_or_else(|| closeout.bundle_name.clone()),
        ),
        ("Bagging-Date", closeout.prepared_on.to_string()),
        ("Bag-Size", bag::size(&payload)),
        ("Payload-Oxum", bag::oxum(&payload)),
        ("Bag-Group-Identifier", archive.identifier_of_ship().unwrap_or_else(|| ship.name.clone())),
        ("Bag-Software-Agent", request.program.to_string()),
        (version::LABEL, version::WRITTEN.to_string()),
    ]);
    packer.add_tags(&info)
}

/// Reads back what was written and checks that every file is whole, that the seal is the one computed, and that
/// the findings follow from the records in it.
fn prove(temporary: &Path, request: &Request<'_>, seal: &str) -> Result<(), Vec<BundleError>> {
    let bundle = read_back(temporary, request.out, seal)?;
    let recomputation = recompute::recompute(&bundle, request.program);
    if recomputation.is_well() {
        Ok(())
    } else {
        let wrong = recomputation.troubles().join("; ");
        Err(vec![safely::not_as_written(request.out, &wrong)])
    }
}

/// Opens what was written and checks that every file is whole, and that the seal is the one computed. Errors are told of
/// `out`, where it is to stand.
pub(super) fn read_back(
    temporary: &Path,
    out: &Path,
    seal: &str,
) -> Result<Bundle, Vec<BundleError>> {
    let not_proved = |wrong: &str| vec![safely::not_as_written(out, wrong)];
    let unread = |error: BundleError| vec![error.reported_at(out)];
    let bundle = Bundle::open(temporary).map_err(unread)?;
    let fixity = verify::fixity(&bundle, &|_| {}).map_err(unread)?;
    if let Some(unchecked) = fixity.unchecked_error(out) {
        return Err(vec![unchecked]);
    }
    if let Some(trouble) = fixity.troubles().next() {
        return Err(not_proved(&trouble));
    }
    if fixity.seal.as_deref() != Some(seal) {
        return Err(not_proved("the seal"));
    }
    Ok(bundle)
}
