//! `data/README.txt`: what the bundle is, in plain ASCII, for someone with common tools only.

use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::units::fixed;

/// The text. Characters beyond ASCII in names become `[U+...]`.
pub fn text(examined: &Examined, bundle_name: &str, program: &str) -> String {
    let docking = &examined.project.docking;
    let mut out = String::new();
    let mut line = |text: &str| {
        out.push_str(&ascii(text));
        out.push('\n');
    };
    let title = format!("{}: record of a dry-docking", docking.ship.name);
    line(&title);
    line(&"=".repeat(ascii(&title).chars().count()));
    line("");
    line(&format!("Ship:      {}", docking.ship.name));
    if let Some(owner) = &docking.ship.owner {
        line(&format!("Owner:     {owner}"));
    }
    line(&format!("Dock:      {}", docking.dock.name));
    if let Some(place) = &docking.dock.place {
        line(&format!("Place:     {place}"));
    }
    if let (Some(began), Some(ended)) = docking.period {
        line(&format!("Docked:    {began} to {ended}"));
    }
    if let Some(closeout) = &docking.closeout {
        line(&format!("Closed by: {}, {}", closeout.prepared_by, closeout.prepared_on));
    }
    line(&format!("Written by the program {program}; nothing here needs that program to be read."));
    line("");
    line("In one paragraph");
    line("----------------");
    let positions: Vec<&str> = examined.project.positions.iter().map(|p| p.id.as_str()).collect();
    line(&format!("Docking positions used: {}.", or_none(&positions)));
    match examined.recomputed.never_exposed_m2() {
        Some(area) => line(&format!(
            "Bottom under blocks in every position (never exposed): {} m2 in plan, in {} piece(s).",
            fixed(area, 3),
            examined.recomputed.never_exposed.len()
        )),
        None => line("What was never exposed: not recorded."),
    }
    line(&format!(
        "Findings: {} agree, {} differ, {} beyond a limit, {} not recorded; {} of those that differ or",
        examined.count(Outcome::Agrees),
        examined.count(Outcome::Differs),
        examined.count(Outcome::BeyondLimit),
        examined.count(Outcome::NotRecorded),
        examined.unanswered().count()
    ));
    line("are beyond a limit have no answer. See closeout-report.pdf, page one onwards.");
    line("");
    line("What is here");
    line("------------");
    for text in [
        "data/closeout-report.pdf  the report; open this first (PDF/A-3a, any PDF reader)",
        "data/records/             the records as they were written, byte for byte (CSV and TOML are",
        "                          plain text: any editor or spreadsheet opens them)",
        "data/papers/              photographs and papers as they were",
        "data/tables/              the same records in SI units, one row a record; the column",
        "                          record_line says on which line of the record the row stands",
        "data/findings.csv         every comparison of the record with its recomputation",
        "data/findings.json        the same for programs",
        "data/drawings/            the report's drawings (SVG, any web browser)",
        "manifest-*.txt            checksums of every file below data/ (SHA-256 and SHA-512)",
        "tagmanifest-*.txt         checksums of the manifests and of the two small files beside them",
        "bagit.txt, bag-info.txt   this folder is a BagIt 1.0 bag (RFC 8493)",
    ] {
        line(text);
    }
    line("");
    line("How the records count");
    line("---------------------");
    for text in [
        "x is metres forward of the stern reference point (SRP), y metres to port of the centreline.",
        "Station is metres along the dock in the direction of the bow, offset metres to port.",
        "A docking position says where the SRP lay; a block at (station, offset) then bears on the hull",
        "at x = station - srp_station, y = offset - centreline_offset, turned by -yaw about the SRP.",
        "Yaw and skew are anticlockwise seen from above. The last part of a column's name is its unit.",
        "Times are RFC 3339; a time without an offset has the offset that data/records/docking.toml",
        "gives under [period].",
    ] {
        line(text);
    }
    line("");
    line("How to check it with common tools");
    line("---------------------------------");
    for text in [
        "Unpack the zip and go to the folder that holds bagit.txt. Then one of:",
        "",
        "  GNU/Linux     sha256sum -c manifest-sha256.txt && sha512sum -c manifest-sha512.txt",
        "                sha256sum -c tagmanifest-sha256.txt",
        "  macOS         shasum -a 256 -c manifest-sha256.txt",
        "                shasum -a 256 -c tagmanifest-sha256.txt",
        "  Windows       PowerShell, prints every file that is not as it was:",
        "                Get-Content manifest-sha256.txt | ForEach-Object { $d, $p = $_ -split '  ', 2;",
        "                if ((Get-FileHash -Algorithm SHA256 -LiteralPath $p).Hash -ne $d) { $p } }",
        "  Python 3      python3 -c \"import hashlib,sys;[print(p,hashlib.sha256(open(p,'rb').read())",
        "                .hexdigest()==d) for d,p in (l.rstrip('\\n').split('  ',1) for l in",
        "                open('manifest-sha256.txt',encoding='utf-8'))]\"",
        "",
        "In the manifests a per cent sign of a path is written %25.",
        "",
        "The seal stands for the whole bundle. It was written beside the zip, to be kept on paper",
        "elsewhere. It is the SHA-256 of tagmanifest-sha256.txt:",
        "",
        "  sha256sum tagmanifest-sha256.txt",
        "",
        "Checksums prove that the bundle is what the seal was taken of. They do not prove who wrote it,",
        "nor that the record is true.",
        "",
        "If the zip's directory is damaged: its entries are stored, not compressed, one after another,",
        "each with a header of its own; `zip -FF` and other repair tools find them.",
    ] {
        line(text);
    }
    line("");
    line("Cautions");
    line("--------");
    for text in [
        "This is a record, and a check of a record. It is no approval to dock, to flood, or to enter a",
        "space. Dock, blocks, stability and ballast are for the dockmaster and a licensed naval architect",
        "under the docking plan and the local rules; confined spaces, diving, blasting, paint and old",
        "coatings (lead, tin, asbestos) are for competent persons under local law. Figures are estimates",
        "from the readings given, with their assumptions printed in the report.",
    ] {
        line(text);
    }
    line("");
    line(&format!("The folder and the zip are named {bundle_name}."));
    out
}

fn or_none(ids: &[&str]) -> String {
    if ids.is_empty() { "none recorded".to_string() } else { ids.join(", ") }
}

fn ascii(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c == ' ' || c.is_ascii_graphic() {
                c.to_string()
            } else {
                format!("[U+{:04X}]", u32::from(c))
            }
        })
        .collect()
}
