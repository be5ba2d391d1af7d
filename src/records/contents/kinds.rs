//! The kinds of file that papers are, and which of them will still be opened in fifty years.

/// Whether a kind lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// Its format is published, and many programs read it.
    Lasts,
    /// It may be read for long, and there is a kind that is made to last.
    Better(Instead),
    /// Nobody can rely on its being read.
    Ends(Instead),
}

/// What to keep beside or instead of a file, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Instead {
    /// What to convert it to.
    pub to: &'static str,
    /// Why, as a sentence part.
    pub since: &'static str,
}

/// A kind of file. Which kinds last is common practice of archives, no source.
#[derive(Debug, PartialEq, Eq)]
pub struct Kind {
    /// Its name, after which "a" or "an" is not needed: "PNG picture".
    pub name: &'static str,
    /// Media types that stand for it; after `;` what was looked at beyond the type.
    pub media: &'static [&'static str],
    /// How names of such files end, in small letters.
    pub ends: &'static [&'static str],
    pub fate: Fate,
}

impl Kind {
    /// Whether it is a picture.
    pub fn is_picture(&self) -> bool {
        self.media.iter().any(|media| media.starts_with("image/"))
    }
}

const fn lasts(
    name: &'static str,
    media: &'static [&'static str],
    ends: &'static [&'static str],
) -> Kind {
    Kind { name, media, ends, fate: Fate::Lasts }
}

const fn ends(
    name: &'static str,
    media: &'static [&'static str],
    ends: &'static [&'static str],
    instead: Instead,
) -> Kind {
    Kind { name, media, ends, fate: Fate::Ends(instead) }
}

const PICTURE: Instead =
    Instead { to: "TIFF, PNG or JPEG", since: "few programs read it, and they may not last" };
const RAW: Instead = Instead {
    to: "TIFF or PNG",
    since: "each kind of camera has its own format, which is not published",
};
const PAGES: Instead = Instead {
    to: "PDF/A",
    since: "how its pages look depends on the program and the fonts at hand",
};
const TABLE: Instead = Instead {
    to: "CSV, or PDF/A where only its appearance matters",
    since: "what it shows depends on the program at hand",
};
const CAD: Instead = Instead {
    to: "PDF/A, and STEP or DXF",
    since: "only the program that made it reads all of it",
};
const MAIL: Instead = Instead {
    to: "PDF/A or text, with attachments as separate files",
    since: "its attachments are encoded inside it, and mail programs come and go",
};
const FILM: Instead = Instead {
    to: "FFV1 in Matroska, or H.264 in MP4",
    since: "it may be coded in one of many ways, which players stop supporting",
};
const SOUND: Instead =
    Instead { to: "WAV or FLAC", since: "its coding discards some of the sound" };
const ARCHIVE: Instead = Instead {
    to: "the files in it, unpacked",
    since: "nothing outside it says what it contains, and damage in one place may destroy all of it",
};
const PROGRAM: Instead = Instead {
    to: "what it shows, as PDF/A or CSV",
    since: "no later machine can be relied on to run it",
};

/// Text that is not UTF-8.
pub(super) const OTHER_TEXT: &str = "text/plain; charset=unknown";
pub(super) const TEXT: &str = "text/plain";
/// A PDF that says it is PDF/A.
pub(super) const PDF_A: &str = "application/pdf; archival";
/// A PDF that can't be read without a password, or only in part.
pub(super) const PDF_ENCRYPTED: &str = "application/pdf; encrypted";
/// A PDF of neither sort.
pub(super) const PDF: &str = "application/pdf";
/// A camera's own kind of picture, known by its name alone.
pub const RAW_PICTURE: &str = "image/x-raw";
/// A drawing program's own file.
pub const DRAWING: &str = "application/x-cad";
/// MP4 with H.264.
pub(super) const MP4_H264: &str = "video/mp4; h264";
/// Matroska with FFV1.
pub(super) const MKV_FFV1: &str = "video/x-matroska; ffv1";

pub const KINDS: &[Kind] = &[
    lasts("PNG picture", &["image/png"], &["png"]),
    lasts("JPEG picture", &["image/jpeg"], &["jpg", "jpeg", "jpe"]),
    lasts("TIFF picture", &["image/tiff"], &["tif", "tiff"]),
    lasts("JPEG 2000 picture", &["image/jp2"], &["jp2", "jpx"]),
    lasts("GIF picture", &["image/gif"], &["gif"]),
    lasts("SVG drawing", &["image/svg+xml"], &["svg"]),
    ends("HEIC picture", &["image/heif"], &["heic", "heif"], PICTURE),
    ends("AVIF picture", &["image/avif"], &["avif"], PICTURE),
    ends("WebP picture", &["image/webp"], &["webp"], PICTURE),
    ends("JPEG XL picture", &["image/jxl"], &["jxl"], PICTURE),
    ends("JPEG XR picture", &["image/vnd.ms-photo"], &["jxr", "wdp"], PICTURE),
    ends("BMP picture", &["image/bmp"], &["bmp"], PICTURE),
    ends("PSD picture", &["image/vnd.adobe.photoshop"], &["psd"], PICTURE),
    ends(
        "raw picture of a camera",
        &[RAW_PICTURE, "image/x-canon-cr2"],
        &["cr2", "cr3", "nef", "arw", "dng", "orf", "raf", "rw2", "pef", "srw", "raw"],
        RAW,
    ),
    lasts("PDF/A document", &[PDF_A], &["pdf"]),
    Kind {
        name: "PDF document that does not say it is PDF/A",
        media: &[PDF],
        ends: &["pdf"],
        fate: Fate::Better(Instead {
            to: "PDF/A",
            since: "a plain PDF may depend on fonts and files that it does not contain",
        }),
    },
    ends(
        "encrypted PDF document",
        &[PDF_ENCRYPTED],
        &["pdf"],
        Instead { to: "PDF/A without a password", since: "it can't be read without its password" },
    ),
    ends("DjVu document", &["image/vnd.djvu"], &["djvu", "djv"], PAGES),
    ends("PostScript document", &["application/postscript"], &["ps", "eps"], PAGES),
    ends("RTF document", &["application/rtf"], &["rtf"], PAGES),
    ends(
        "DOCX document",
        &["application/vnd.openxmlformats-officedocument.wordprocessingml.document"],
        &["docx"],
        PAGES,
    ),
    ends("ODT document", &["application/vnd.oasis.opendocument.text"], &["odt"], PAGES),
    ends(
        "PPTX slides",
        &["application/vnd.openxmlformats-officedocument.presentationml.presentation"],
        &["pptx"],
        PAGES,
    ),
    ends("ODP slides", &["application/vnd.oasis.opendocument.presentation"], &["odp"], PAGES),
    ends(
        "XLSX workbook",
        &["application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"],
        &["xlsx"],
        TABLE,
    ),
    ends("ODS workbook", &["application/vnd.oasis.opendocument.spreadsheet"], &["ods"], TABLE),
    ends(
        "compound file of an office or mail program",
        &[
            "application/x-ole-storage",
            "application/msword",
            "application/vnd.ms-excel",
            "application/vnd.ms-powerpoint",
        ],
        &["doc", "xls", "ppt", "msg"],
        PAGES,
    ),
    ends("EPUB book", &["application/epub+zip"], &["epub"], PAGES),
    ends("web page", &["text/html"], &["html", "htm"], PAGES),
    ends("mail message", &["message/rfc822"], &["eml"], MAIL),
    lasts("STEP model", &["model/step"], &["stp", "step"]),
    lasts("DXF drawing", &["image/vnd.dxf"], &["dxf"]),
    ends("drawing program's own file", &[DRAWING], &["dwg", "dgn", "skp", "3dm"], CAD),
    lasts("MP4 film coded as H.264", &[MP4_H264], &["mp4", "m4v"]),
    ends("MP4 film not coded as H.264", &["video/mp4", "video/x-m4v"], &["mp4", "m4v"], FILM),
    lasts("Matroska film coded as FFV1", &[MKV_FFV1], &["mkv"]),
    ends("Matroska film not coded as FFV1", &["video/x-matroska"], &["mkv"], FILM),
    ends("WebM film", &["video/webm"], &["webm"], FILM),
    ends("QuickTime film", &["video/quicktime"], &["mov", "qt"], FILM),
    ends("AVI film", &["video/x-msvideo"], &["avi"], FILM),
    ends("ASF film or sound", &["video/x-ms-wmv"], &["wmv", "asf", "wma"], FILM),
    ends("MPEG film", &["video/mpeg"], &["mpg", "mpeg"], FILM),
    ends("FLV film", &["video/x-flv"], &["flv"], FILM),
    lasts("WAV sound", &["audio/x-wav"], &["wav"]),
    lasts("FLAC sound", &["audio/x-flac"], &["flac"]),
    lasts("AIFF sound", &["audio/x-aiff"], &["aif", "aiff"]),
    ends("MP3 sound", &["audio/mpeg"], &["mp3"], SOUND),
    ends("M4A sound", &["audio/m4a"], &["m4a"], SOUND),
    ends("Ogg sound", &["audio/ogg", "audio/opus"], &["ogg", "oga", "opus"], SOUND),
    ends("AAC sound", &["audio/aac"], &["aac"], SOUND),
    ends("AMR sound", &["audio/amr"], &["amr"], SOUND),
    ends("zip archive", &["application/zip"], &["zip"], ARCHIVE),
    ends("tar archive", &["application/x-tar"], &["tar"], ARCHIVE),
    ends("RAR archive", &["application/vnd.rar"], &["rar"], ARCHIVE),
    ends("7z archive", &["application/x-7z-compressed"], &["7z"], ARCHIVE),
    ends("gzip archive", &["application/gzip"], &["gz", "tgz"], ARCHIVE),
    ends("bzip2 archive", &["application/x-bzip2"], &["bz2"], ARCHIVE),
    ends("xz archive", &["application/x-xz"], &["xz"], ARCHIVE),
    ends("zstd archive", &["application/zstd"], &["zst"], ARCHIVE),
    ends("SQLite database", &["application/vnd.sqlite3"], &["sqlite", "sqlite3"], TABLE),
    ends(
        "program",
        &[
            "application/x-executable",
            "application/vnd.microsoft.portable-executable",
            "application/x-mach-binary",
            "text/x-shellscript",
        ],
        &["exe", "dll"],
        PROGRAM,
    ),
    lasts("text", &[TEXT], &["txt", "md"]),
    lasts("CSV text", &["text/csv"], &["csv", "tsv"]),
    lasts("TOML text", &["application/toml"], &["toml"]),
    lasts("JSON text", &["application/json"], &["json"]),
    lasts("XML text", &["text/xml"], &["xml"]),
    ends(
        "text that is not UTF-8",
        &[OTHER_TEXT],
        &["txt", "md", "csv", "tsv", "xml", "html", "htm", "eml", "dxf"],
        Instead { to: "text in UTF-8", since: "nothing says which characters its bytes stand for" },
    ),
];

pub(super) fn by_media_type(media: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|kind| kind.media.contains(&media))
}

/// The first kind whose files are named so.
pub fn by_extension(end: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|kind| kind.ends.contains(&end))
}

/// How a name ends, in small letters: what stands after its last point.
pub fn end_of(name: &str) -> Option<String> {
    let file = name.rsplit('/').next()?;
    let (stem, end) = file.rsplit_once('.')?;
    (!stem.is_empty()).then(|| end.to_lowercase())
}
