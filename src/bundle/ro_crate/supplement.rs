//! The crate of a supplement: its files, by whom and when, and the bundle or supplement that it supplements, by name and
//! seal.

use std::collections::BTreeMap;

use super::around;
use super::entity::{Entity, address, link};
use super::files;
use crate::bundle::digest::Digests;
use crate::bundle::formats::{self, Known};
use crate::bundle::layout;
use crate::records::docking::Docking;
use crate::records::supplement::{Sealed, Stated};

const PARENT: &str = "#parent";
const FIRST: &str = "#first-bundle";
const MAKER: &str = "#made-by";
const WRITTEN: &str = "#made-descriptions";

/// What is described.
pub struct SupplementTold<'a> {
    pub stated: &'a Stated,
    /// The docking that the first bundle is of.
    pub docking: &'a Docking,
    /// Name and version of the program.
    pub program: &'a str,
    /// The payload's files, by their paths in the supplement.
    pub files: &'a BTreeMap<String, Digests>,
}

/// Root, files and everything round them; the id of the root is given.
pub fn entities(told: &SupplementTold<'_>, root: &str, identifier: &str) -> Vec<Entity> {
    let stated = told.stated;
    let (about, on) = (&stated.about, stated.about.made_on.to_string());
    let payload: Vec<(&str, u64, Known)> = (told.files.iter())
        .filter(|(path, _)| path.starts_with(layout::DATA))
        .map(|(path, digests)| (path.as_str(), digests.size, known(path)))
        .collect();
    let is_first = stated.parent.seal == stated.first.seal;
    let sealed = [(PARENT, &stated.parent), (FIRST, &stated.first)];
    let sealed = &sealed[..if is_first { 1 } else { 2 }];
    let ship = &told.docking.ship.name;
    let mut out = vec![
        Entity::new(root, &["Dataset"])
            .with("name", format!("{}: supplement to a record of the docking of {ship}", about.name))
            .with("description", about.about.as_str())
            .with("datePublished", on.as_str())
            .with("dateCreated", on.as_str())
            .with("license", "Not recorded here: the terms of use are those of what it supplements, if that states any.")
            .naming("identifier", [identifier])
            .naming("about", [around::SHIP])
            .naming("spatialCoverage", [around::DOCK])
            .naming("author", [MAKER])
            .naming("isBasedOn", sealed.iter().map(|(id, _)| id))
            .naming("mentions", [WRITTEN])
            .naming("hasPart", payload.iter().map(|(path, ..)| address(files::within(path)))),
    ];
    out.extend(payload.iter().map(|(path, size, known)| describe(path, *size, *known)));
    out.extend(files::formats_of(payload.iter().map(|(.., known)| *known)));
    out.extend(sealed.iter().flat_map(|(id, sealed)| supplemented(id, sealed)));
    out.extend(around::ship_and_dock(told.docking));
    let whom = "who made the supplement; it does not say whether that is a person or an office";
    let maker = Entity::new(MAKER, &["Thing"]).with("name", about.made_by.as_str());
    out.push(maker.with("description", whom));
    out.push(around::number(identifier, "name of the supplement", &about.name));
    out.push(files::program(told.program));
    let written = [layout::README, layout::FORMAT_TEXT].into_iter();
    let written = written.filter(|path| told.files.contains_key(*path));
    out.push(
        Entity::new(WRITTEN, &["CreateAction"])
            .with("name", "Descriptions of the supplement and of the format")
            .with("endTime", on)
            .naming("agent", [MAKER])
            .naming("instrument", [files::PROGRAM])
            .naming("result", written.map(files::within)),
    );
    out
}

/// A paper's format is told by its name, and its version not looked for.
fn known(path: &str) -> Known {
    match path.starts_with(layout::PAPERS) {
        true => (formats::media_type_of(path), None),
        false => formats::of_other(path),
    }
}

fn describe(path: &str, size: u64, known: Known) -> Entity {
    let about = match path {
        layout::README => "what the supplement is, how to check it with common tools",
        layout::FORMAT_TEXT => "the format of bundle, supplement and records, in words",
        _ if path.starts_with(layout::PAPERS) => "a paper, as it was",
        _ => "a record of the supplement, as it was written",
    };
    files::sized(path, size, known).with("name", files::within(path)).with("description", about)
}

/// What is supplemented, and its seal.
fn supplemented(id: &str, sealed: &Sealed) -> [Entity; 2] {
    let seal = format!("{id}-seal");
    let kind = "seal: SHA-256 of its tagmanifest-sha256.txt";
    [
        Entity::new(id, &["CreativeWork"])
            .with("name", sealed.name.as_str())
            .with("description", "the bundle or supplement of this name and seal")
            .with("identifier", link(&seal)),
        around::number(seal, kind, &sealed.seal),
    ]
}
