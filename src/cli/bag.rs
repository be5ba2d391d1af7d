//! What `lastdock verify` says of a bag that holds no docking record of its own.

use std::path::{Path, PathBuf};

use super::page::Page;
use super::print;
use super::progress::Progress;
use super::status::Status;
use crate::bundle::open::Bundle;
use crate::bundle::others::{self, Judged};

/// A bag that somebody else made.
pub struct Bag {
    at: PathBuf,
    judged: Judged,
    /// The bundles in its payload, by their paths in the bag.
    bundles: Vec<String>,
}

impl Bag {
    /// Judges what is at a place, if it is a bag that holds no docking record.
    pub fn judge(at: &Path, json: bool) -> Option<Self> {
        let bundle = Bundle::open(at).ok().filter(|bundle| !others::holds_record(bundle))?;
        let progress = Progress::new("reading", bundle.sizes().map(|(_, size)| size).sum(), json);
        let judged = others::judge(&bundle, &|bytes| progress.advance(bytes));
        progress.clear();
        Some(Self { at: at.to_path_buf(), judged, bundles: others::bundles_in(&bundle) })
    }

    /// Where it is.
    pub fn at(&self) -> &Path {
        &self.at
    }

    /// Where the bundles in it are, that can be judged themselves: those of a folder.
    pub fn bundles(&self) -> Vec<PathBuf> {
        if !self.at.is_dir() {
            return Vec::new();
        }
        self.bundles.iter().map(|path| self.at.join(path)).collect()
    }

    /// That of a sound bag without a bundle in it is that nothing could be recomputed.
    pub fn status(&self) -> Status {
        if self.judged.is_damaged() {
            Status::Troubled
        } else if !self.judged.is_sound() || self.bundles().is_empty() {
            Status::NotDone
        } else if self.judged.unchecked.is_empty() {
            Status::Well
        } else {
            Status::Troubled
        }
    }

    fn algorithms(&self) -> Vec<&'static str> {
        self.judged.algorithms.iter().map(|algorithm| algorithm.name()).collect()
    }

    /// For a person.
    pub fn render(&self) -> Page {
        let mut out = Page::new();
        out.heading(&self.at.display().to_string());
        let judged = &self.judged;
        let payload = judged.files.keys().filter(|path| path.starts_with("data/")).count();
        if judged.is_sound() {
            let files = if payload == 1 { "file" } else { "files" };
            let head = format!("a BagIt {} bag: {payload} {files} of payload,", judged.version);
            out.pass("sound", &head);
            let algorithms = self.algorithms();
            let says = if algorithms.len() == 1 { "manifest says" } else { "manifests say" };
            let text = format!(
                "{} read: each is what its {says}, by {}",
                print::bytes(judged.bytes),
                algorithms.join(" and ")
            );
            out.push_str(&format!("{}\n", print::wrapped(&text, 14)));
        } else {
            match judged.is_damaged() {
                true => out.fail("damaged", "it is not a sound BagIt bag"),
                false => out.fail(
                    "unchecked",
                    "not every file could be read, so that the bag is not judged",
                ),
            }
            if judged.to_be_fetched > 0 {
                let text = format!(
                    "incomplete: of the files that fetch.txt names, {} still to be fetched; nothing was \
                     fetched",
                    match judged.to_be_fetched {
                        1 => "1 is".to_string(),
                        many => format!("{many} are"),
                    }
                );
                out.detail(&text);
            }
            let damaged = judged.is_damaged();
            let is_shown = |path: &str| damaged || judged.unread.contains_key(path);
            for (path, state) in judged.not_well().filter(|(path, _)| is_shown(path)) {
                let why = judged.unread.get(path).map(|why| format!(": {why}"));
                let text = format!("{path}: {}{}", state.words(), why.unwrap_or_default());
                out.detail(&text);
            }
            judged.wrong.iter().for_each(|wrong| out.detail(wrong));
        }
        if judged.is_weak() && !judged.algorithms.is_empty() {
            let text = "md5 and sha1 show damage, but are weak against deliberate change: two different files can be made to have the same digest";
            out.detail(text);
        }
        judged.unchecked.iter().chain(&judged.unlisted).for_each(|sentence| out.detail(sentence));
        if self.bundles.is_empty() {
            out.fail("no record", "it holds no docking record: nothing was recomputed from it");
        } else {
            let text = match self.at.is_dir() {
                true => "it holds a bundle, which is judged separately below:",
                false => "it holds a bundle: unpack the bag, then verify its folder",
            };
            out.note("bundle", text);
            self.bundles.iter().for_each(|path| out.detail(path));
        }
        out
    }

    /// For programs.
    pub fn to_json(&self) -> serde_json::Value {
        let judged = &self.judged;
        let files: Vec<_> = judged
            .files
            .iter()
            .map(|(path, state)| serde_json::json!({ "path": path, "state": state.words() }))
            .collect();
        serde_json::json!({
            "bundle": self.at,
            "well": self.status() == Status::Well,
            "bag": {
                "sound": judged.is_sound(),
                "unread": judged.unread,
                "bagit_version": judged.version,
                "algorithms": self.algorithms(),
                "weak": judged.is_weak(),
                "to_be_fetched": judged.to_be_fetched,
                "unchecked": judged.unchecked,
                "unlisted": judged.unlisted,
                "bundles": self.bundles,
            },
            "files": files,
            "wrong": judged.wrong,
            "bytes": judged.bytes,
        })
    }
}
