//! Bundles made larger than a closeout would make them: more files in the payload, beside those of a real one.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::path::Path;

use lastdock::bundle::digest::{self, Digests};
use lastdock::bundle::{bag, layout};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

/// Writes the bundle `from` again as `to`, with `more` small files among its drawings.
pub fn with_more_files(from: &Path, to: &Path, more: usize) {
    let mut old = ZipArchive::new(File::open(from).expect("a bundle")).expect("a zip");
    let mut new = ZipWriter::new(BufWriter::new(File::create(to).expect("a file")));
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let mut payload: BTreeMap<String, Digests> = BTreeMap::new();
    let mut put = |root: &str, path: &str, bytes: &[u8]| {
        new.start_file(format!("{root}/{path}"), stored).expect("an entry");
        new.write_all(bytes).expect("to write an entry");
    };
    let mut tags = BTreeMap::new();
    let mut root = String::new();
    for number in 0..old.len() {
        let mut entry = old.by_index(number).expect("an entry");
        let name = entry.name().expect("a name in UTF-8").into_owned();
        let (folder, path) = name.split_once('/').expect("a folder");
        root = folder.to_string();
        let mut bytes = Vec::new();
        entry.read_to_end(&mut bytes).expect("an entry's bytes");
        if path.starts_with(layout::DATA) {
            put(&root, path, &bytes);
            payload.insert(path.to_string(), digest::digests(&bytes));
        } else {
            tags.insert(path.to_string(), bytes);
        }
    }
    for number in 0..more {
        let path = format!("{}more-{number:06}.svg", layout::DRAWINGS);
        let bytes = format!("<svg><!-- {number} --></svg>\n");
        put(&root, &path, bytes.as_bytes());
        payload.insert(path, digest::digests(bytes.as_bytes()));
    }
    let info =
        String::from_utf8(tags.remove(layout::BAG_INFO).expect("the metadata")).expect("text");
    let stated = bag::info_value(&info, "Payload-Oxum").expect("an Oxum").to_string();
    let info = info.replacen(&stated, &bag::oxum(&payload), 1);
    let manifests = layout::MANIFESTS.iter().enumerate();
    let mut tags: Vec<(&str, String)> =
        manifests.map(|(which, name)| (*name, bag::manifest(&payload, which))).collect();
    tags.push((layout::BAGIT, bag::DECLARATION.to_string()));
    tags.push((layout::BAG_INFO, info));
    let of_tags: BTreeMap<String, Digests> = tags
        .iter()
        .map(|(name, text)| (name.to_string(), digest::digests(text.as_bytes())))
        .collect();
    for (which, name) in layout::TAG_MANIFESTS.iter().enumerate() {
        tags.push((name, bag::manifest(&of_tags, which)));
    }
    for (name, text) in tags {
        put(&root, name, text.as_bytes());
    }
    new.finish().expect("a zip").flush().expect("to write it");
}
