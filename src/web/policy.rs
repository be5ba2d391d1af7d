//! The page's style and scripts, and the policy under which a browser runs them: these and nothing else, and no
//! request to anywhere.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;
use sha2::{Digest, Sha256};

/// How the page looks.
pub const STYLE: &str = include_str!("../../templates/page/page.css");

/// The scripts, each after those that it imports.
pub const MODULES: &[(&str, &str)] = &[
    ("search.js", include_str!("../../templates/page/search.js")),
    ("main.js", include_str!("../../templates/page/main.js")),
];

/// The modules as one script: in one scope they need neither `import` nor `export`.
pub fn script() -> String {
    let mut joined = String::from("\"use strict\";\n");
    for (_, module) in MODULES {
        for line in module.lines().filter(|line| !line.starts_with("import ")) {
            joined.push_str(line.strip_prefix("export ").unwrap_or(line));
            joined.push('\n');
        }
    }
    joined
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
