//! The formats of a bundle's files by name: the standard's own title, the media type, and the identifier in PRONOM, the
//! registry of file formats of The National Archives (UK).
//!
//! An identifier stands only where the registry has one for what the file is known to be; a wrong one would be worse than
//! none. Identifiers and names are held against a copy of the registry by `tests/outside/formats.rs`.

use crate::records::contents::Content;
use crate::records::contents::kinds::{self, Kind};

/// A format that a bundle uses.
pub struct Format {
    /// What it is called for short.
    pub name: &'static str,
    /// The standard, as it calls itself.
    pub standard: &'static str,
    pub media_type: Option<&'static str>,
    /// The identifier in PRONOM.
    pub pronom: Option<&'static str>,
    /// What it is used for here, one sentence or two.
    pub used_for: &'static str,
}

/// How names of files end, and what such a file of a bundle is.
type Ending = (&'static str, &'static str, Option<Described>);

/// Where a format is described.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Described {
    /// The page about it.
    pub address: &'static str,
    /// What the page calls it.
    pub name: &'static str,
}

/// What addresses of the registry's pages begin with; the identifier follows.
pub const PRONOM: &str = "https://www.nationalarchives.gov.uk/PRONOM/";

macro_rules! pronom {
    ($($const:ident = $id:literal, $name:literal;)*) => {
        $(const $const: Described = Described {
            address: concat!("https://www.nationalarchives.gov.uk/PRONOM/", $id),
            name: $name,
        };)*

        /// All entries of the registry that are used, named as there.
        pub const REGISTERED: &[Described] = &[$($const),*];
    };
}

pronom! {
    CSV = "x-fmt/18", "Comma Separated Values";
    TEXT = "x-fmt/111", "Plain Text File";
    JSON = "fmt/817", "JSON Data Interchange Format";
    JSON_LD = "fmt/880", "JSON-LD";
    HTML = "fmt/471", "Hypertext Markup Language 5";
    PDF_A_3A = "fmt/479", "Acrobat PDF/A - Portable Document Format 3a";
    ZIP = "x-fmt/263", "ZIP Format";
    GZIP = "x-fmt/266", "GZIP Format";
    XLSX = "fmt/214", "Microsoft Excel for Windows 2007 onwards";
    DOCX = "fmt/412", "Microsoft Word for Windows 2007 onwards";
    PPTX = "fmt/215", "Microsoft Powerpoint for Windows 2007 onwards";
    TIFF = "fmt/353", "Tagged Image File Format";
    GIF_87 = "fmt/3", "Graphics Interchange Format 87a";
    GIF_89 = "fmt/4", "Graphics Interchange Format 89a";
    PNG_1_0 = "fmt/11", "Portable Network Graphics 1.0";
    PNG_1_1 = "fmt/12", "Portable Network Graphics 1.1";
    PNG_1_2 = "fmt/13", "Portable Network Graphics 1.2";
    JFIF_1_00 = "fmt/42", "JPEG File Interchange Format 1.00";
    JFIF_1_01 = "fmt/43", "JPEG File Interchange Format 1.01";
    JFIF_1_02 = "fmt/44", "JPEG File Interchange Format 1.02";
    MP4 = "fmt/199", "MPEG-4 Media File";
    MATROSKA = "fmt/569", "Matroska 1-4";
    QUICKTIME = "x-fmt/384", "Quicktime";
    MP3 = "fmt/134", "MPEG 1/2 Audio Layer 3";
}

const TOML: Described = Described { address: "https://toml.io/en/v1.0.0", name: "TOML v1.0.0" };
const SVG: Described =
    Described { address: "https://www.w3.org/TR/SVG2/", name: "Scalable Vector Graphics (SVG) 2" };

/// Every format that bundles use, those of papers apart.
pub const FORMATS: &[Format] = &[
    Format {
        name: "BagIt 1.0",
        standard: "RFC 8493, The BagIt File Packaging Format (V1.0)",
        media_type: None,
        pronom: None,
        used_for: "The folder NAME/: files, and lists of their checksums in plain text.",
    },
    Format {
        name: "ZIP",
        standard: "PKWARE, .ZIP File Format Specification (APPNOTE.TXT)",
        media_type: Some("application/zip"),
        pronom: Some("x-fmt/263"),
        used_for: "NAME.zip, which holds that folder. Nothing in it is compressed or encrypted.",
    },
    Format {
        name: "CSV",
        standard: "RFC 4180, Common Format and MIME Type for Comma-Separated Values (CSV) Files",
        media_type: Some("text/csv"),
        pronom: Some("x-fmt/18"),
        used_for: "Records, derived tables and findings.csv. Lines of what the program writes end in LF; records are \
                   as somebody wrote them, with the separators of chapter 4.",
    },
    Format {
        name: "TOML 1.0",
        standard: "TOML v1.0.0, Tom's Obvious Minimal Language, https://toml.io",
        media_type: Some("application/toml"),
        pronom: None,
        used_for: "Records that are no tables: docking.toml, remarks.toml, coating/products.toml. Plain text of names \
                   and values.",
    },
    Format {
        name: "JSON",
        standard: "RFC 8259, The JavaScript Object Notation (JSON) Data Interchange Format",
        media_type: Some("application/json"),
        pronom: Some("fmt/817"),
        used_for: "findings.json.",
    },
    Format {
        name: "JSON Schema",
        standard: "JSON Schema, draft 2020-12, https://json-schema.org",
        media_type: Some("application/schema+json"),
        pronom: Some("fmt/817"),
        used_for: "findings.schema.json, which says what findings.json may hold.",
    },
    Format {
        name: "CSV on the Web",
        standard: "W3C, Metadata Vocabulary for Tabular Data, Recommendation of 17 December 2015",
        media_type: Some("application/csvm+json"),
        pronom: Some("fmt/817"),
        used_for: "tables/csv-metadata.json, which describes the columns of every table.",
    },
    Format {
        name: "RO-Crate 1.2",
        standard: "RO-Crate Metadata Specification 1.2, written as JSON-LD 1.1 (W3C Recommendation of 16 July 2020)",
        media_type: Some("application/ld+json"),
        pronom: Some("fmt/880"),
        used_for: "ro-crate-metadata.json, which describes the files and what they are about.",
    },
    Format {
        name: "SVG",
        standard: "W3C, Scalable Vector Graphics (SVG) 2",
        media_type: Some("image/svg+xml"),
        pronom: None,
        used_for: "The report's drawings. The registry's entries are for versions 1.0, 1.1 and 1.2 Tiny, which these \
                   files do not claim to be.",
    },
    Format {
        name: "HTML",
        standard: "WHATWG, HTML Living Standard",
        media_type: Some("text/html"),
        pronom: Some("fmt/471"),
        used_for: "start-here.html, one file with everything in it.",
    },
    Format {
        name: "PDF/A-3a",
        standard: "ISO 19005-3:2012, Use of ISO 32000-1 with support for embedded files (PDF/A-3), level A; also ISO \
                   14289-1:2014 (PDF/UA-1)",
        media_type: Some("application/pdf"),
        pronom: Some("fmt/479"),
        used_for: "The report, its summary, and the tables set for paper.",
    },
    Format {
        name: "Plain text",
        standard: "RFC 20, ASCII format for Network Interchange; RFC 3629, UTF-8, a transformation format of ISO 10646",
        media_type: Some("text/plain"),
        pronom: Some("x-fmt/111"),
        used_for: "README.txt and this text are ASCII; every other text that the program writes is UTF-8.",
    },
    Format {
        name: "XLSX",
        standard: "ISO/IEC 29500, Office Open XML File Formats",
        media_type: Some("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
        pronom: Some("fmt/214"),
        used_for: "A workbook, if records were kept in one; nothing needs to read it.",
    },
    Format {
        name: "ODS",
        standard: "ISO/IEC 26300, Open Document Format for Office Applications (OpenDocument)",
        media_type: Some("application/vnd.oasis.opendocument.spreadsheet"),
        pronom: None,
        used_for: "Likewise a workbook. The registry has an entry for each version, which is not looked for.",
    },
    Format {
        name: "PAR 2.0",
        standard: "Parity Volume Set Specification 2.0, of 2003",
        media_type: None,
        pronom: None,
        used_for: "The repair data beside the zip.",
    },
    Format {
        name: "SSH signature",
        standard: "OpenSSH, PROTOCOL.sshsig",
        media_type: None,
        pronom: None,
        used_for: "NAME-seal.sig, if somebody signed.",
    },
];

/// What a file of a bundle is by its name; papers and other files of the project are so only if they are what their name
/// says.
const ENDINGS: &[Ending] = &[
    (".schema.json", "application/schema+json", Some(JSON)),
    ("csv-metadata.json", "application/csvm+json", Some(JSON)),
    (".csv", "text/csv", Some(CSV)),
    (".toml", "application/toml", Some(TOML)),
    (".txt", "text/plain", Some(TEXT)),
    (".json", "application/json", Some(JSON)),
    (".svg", "image/svg+xml", Some(SVG)),
    (".html", "text/html", Some(HTML)),
    (".pdf", "application/pdf", Some(PDF_A_3A)),
    (".xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", Some(XLSX)),
    (".ods", "application/vnd.oasis.opendocument.spreadsheet", None),
];

/// The format of the metadata themselves.
pub const METADATA: (&str, Described) = ("application/ld+json", JSON_LD);

/// A file's media type, and where its format is described, as far as that is known.
pub type Known = (&'static str, Option<Described>);

const UNKNOWN: Known = ("application/octet-stream", None);

/// A file that the program wrote or read as a record.
pub fn of_name(path: &str) -> Known {
    let lower = path.to_lowercase();
    let known = ENDINGS.iter().find(|(end, ..)| lower.ends_with(end));
    known.map_or(UNKNOWN, |(_, media_type, described)| (*media_type, *described))
}

/// A file that the program only keeps: plain kinds by their names, of others nothing is claimed.
pub fn of_other(path: &str) -> Known {
    match of_name(path) {
        known @ ("text/csv" | "application/toml" | "text/plain" | "application/json", _) => known,
        _ => UNKNOWN,
    }
}

/// A paper by what it holds.
pub fn of_paper(file: &str, content: &Content) -> Known {
    let Some(kind) = content.kind else { return UNKNOWN };
    let described = match content.sort {
        Some(sort) => REGISTERED.iter().copied().find(|entry| entry.name == sort),
        None => of_kind(kind, file),
    };
    (media_type(kind), described)
}

/// The registry's entry for a kind, where it has just one.
fn of_kind(kind: &Kind, file: &str) -> Option<Described> {
    let end = kinds::end_of(file);
    match media_type(kind) {
        "text/plain" if end.as_deref() == Some("txt") => Some(TEXT),
        "text/csv" if end.as_deref() == Some("csv") => Some(CSV),
        "application/toml" => Some(TOML),
        "application/json" => Some(JSON),
        "image/tiff" => Some(TIFF),
        "application/zip" => Some(ZIP),
        "application/gzip" => Some(GZIP),
        "video/mp4" => Some(MP4),
        "video/x-matroska" => Some(MATROSKA),
        "video/quicktime" => Some(QUICKTIME),
        "audio/mpeg" => Some(MP3),
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet" => Some(XLSX),
        "application/vnd.openxmlformats-officedocument.wordprocessingml.document" => Some(DOCX),
        "application/vnd.openxmlformats-officedocument.presentationml.presentation" => Some(PPTX),
        _ => None,
    }
}

/// A kind's media type as IANA knows it or as it is commonly written, without what was looked at beyond it.
fn media_type(kind: &Kind) -> &'static str {
    let media = kind.media.first().and_then(|media| media.split(';').next()).unwrap_or(UNKNOWN.0);
    // Kinds of several types, and those that the program alone calls so.
    match media {
        kinds::RAW_PICTURE
        | kinds::DRAWING
        | "application/x-ole-storage"
        | "application/x-executable" => UNKNOWN.0,
        media => media,
    }
}

/// Media type of a file of the project, by its name.
pub fn media_type_of(path: &str) -> &'static str {
    let lower = path.to_lowercase();
    match lower.rsplit_once('.').map(|(_, end)| end) {
        Some("png") => "image/png",
        Some("jpg" | "jpeg") => "image/jpeg",
        Some("csv" | "toml" | "txt" | "json" | "pdf" | "xlsx" | "ods") => of_name(path).0,
        _ => UNKNOWN.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_list_says_is_what_files_are_said_to_be() {
        for format in FORMATS {
            let entry = format.pronom.map(|id| format!("{PRONOM}{id}"));
            let listed = REGISTERED.iter().map(|described| described.address);
            assert!(entry.is_none() || listed.into_iter().any(|at| Some(at) == entry.as_deref()));
            let same =
                ENDINGS.iter().filter(|(_, media_type, _)| Some(*media_type) == format.media_type);
            for (end, _, described) in same {
                let address = described.map(|described| described.address);
                let registered = address.filter(|address| address.starts_with(PRONOM));
                assert_eq!(registered, entry.as_deref(), "{end}");
            }
        }
    }

    #[test]
    fn names_tell_what_the_program_wrote_and_little_of_what_it_did_not() {
        assert_eq!(of_name("data/findings.schema.json").0, "application/schema+json");
        assert_eq!(of_name("data/tables/csv-metadata.json").0, "application/csvm+json");
        assert_eq!(of_name("data/records/docking.toml"), ("application/toml", Some(TOML)));
        assert_eq!(of_other("data/records/scan.pdf"), UNKNOWN);
        assert_eq!(of_other("data/records/README.txt"), ("text/plain", Some(TEXT)));
    }
}
