//! The page's style and scripts, and the policy under which a browser runs them: these and nothing else, and no
//! request to anywhere.

use std::collections::BTreeSet;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;
use sha2::{Digest, Sha256};

macro_rules! modules {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../templates/page/", $name)))),*]
    };
}

/// How the page looks.
pub const STYLE: &str = concat!(
    include_str!("../../templates/page/page.css"),
    include_str!("../../templates/page/proof.css")
);

/// The section in which a bundle is proved, with `NAME` for the bundle's.
pub const PROOF: &str = include_str!("../../templates/page/proof.html");

/// How the page itself is checked, with `NAME` for the bundle's.
pub const CHECK_PAGE: &str = include_str!("../../templates/page/check_page.html");

/// The modules of the script.
pub const MODULES: &[(&str, &str)] = modules![
    "ask.js",
    "asked.js",
    "bag.js",
    "crc32.js",
    "elements.js",
    "geometry.js",
    "hatches.js",
    "kinds.js",
    "labels.js",
    "layers.js",
    "lengths.js",
    "look.js",
    "main.js",
    "manifests.js",
    "oddities.js",
    "own_worker.js",
    "papers.js",
    "papers_view.js",
    "paths.js",
    "picked.js",
    "place.js",
    "plan.js",
    "proof.js",
    "proof_view.js",
    "record.js",
    "seal.js",
    "search.js",
    "sha256.js",
    "slices.js",
    "slide.js",
    "svg.js",
    "verdict.js",
    "view.js",
    "worker.js",
    "zip.js",
    "zip_headers.js",
];

/// The modules as one script, by the rule that stands at the head of `main.js`: before each come those that it imports.
pub fn script() -> String {
    let mut joined = String::from("\"use strict\";\n");
    let mut done = BTreeSet::new();
    join("main.js", &mut joined, &mut done);
    joined
}

fn join(name: &'static str, joined: &mut String, done: &mut BTreeSet<&'static str>) {
    let Some((name, text)) = MODULES.iter().find(|(module, _)| *module == name) else { return };
    if !done.insert(*name) {
        return;
    }
    let imported = text.lines().filter(|line| line.starts_with("import "));
    for line in imported {
        let module = line.rsplit_once("\"./").map(|(_, rest)| rest.trim_end_matches("\";"));
        module.into_iter().for_each(|module| join(module, joined, done));
    }
    for line in text.lines().filter(|line| !line.starts_with("import ")) {
        joined.push_str(line.strip_prefix("export ").unwrap_or(line));
        joined.push('\n');
    }
}

/// The content security policy (W3C CSP level 3) of a page with this script.
pub fn content(script: &str) -> String {
    let hash = |text: &str| format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)));
    format!(
        "default-src 'none'; script-src {}; style-src {}; img-src data: blob:; worker-src blob:; base-uri 'none'; \
         form-action 'none'",
        hash(script),
        hash(STYLE)
    )
}

/// A value as JSON that no HTML parser takes for the end of its element.
pub fn inert_json(value: &impl Serialize) -> String {
    // Names and texts serialise, whatever they hold.
    let json = serde_json::to_string(value).unwrap_or_default();
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}
