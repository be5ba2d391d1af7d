//! What `verify` says of a bundle's signature.

use std::path::Path;

use anstyle::AnsiColor;

use super::print;
use crate::bundle::error::BundleError;
use crate::bundle::layout;
use crate::bundle::open::Bundle;
use crate::bundle::signature::{self, Signed};

/// Checks the signature that is named, or else one that stands beside a zip. Somebody who names signers
/// wants a signature, and none is then as bad as a wrong one.
pub fn read(
    bundle: &Bundle,
    named: Option<&Path>,
    signers: Option<&Path>,
) -> Result<Option<Signed>, BundleError> {
    let signers = signers.map(signature::signers).transpose()?;
    let beside = signature::beside(&bundle.at);
    let file = match named {
        Some(named) => named,
        None if bundle.at.is_file() && beside.is_file() => &beside,
        None if signers.is_some() => {
            return Ok(Some(Signed::Wrong("there is no signature".to_string())));
        }
        None => return Ok(None),
    };
    let text = signature::read(file)?;
    let sealed = layout::TAG_MANIFESTS[0];
    let tag_manifest = match bundle.read(sealed) {
        Ok(bytes) => bytes,
        Err(_) => return Ok(Some(Signed::Wrong(format!("{sealed} can't be read")))),
    };
    Ok(Some(signature::check(&text, &tag_manifest, signers.as_deref())))
}

/// In words, for the terminal.
pub fn told(signed: Option<&Signed>) -> String {
    let bad = |text: &str| print::styled(text, AnsiColor::Red.on_default().bold());
    let good = |text: &str| print::styled(text, AnsiColor::Green.on_default());
    let (word, text) = match signed {
        None => return String::new(),
        Some(Signed::ByKnown { signer, fingerprint }) => {
            (good("signed    "), format!("by {signer}, whose key you named: {fingerprint}"))
        }
        Some(Signed::BySomebody { fingerprint }) => (
            good("signed    "),
            format!(
                "by the key {fingerprint}; whose that is you must know, or name the signers with \
                 --signers"
            ),
        ),
        Some(Signed::NotBySigner { fingerprint }) => (
            bad("other hand"),
            format!("the signature is by none of the signers you named; its key is {fingerprint}"),
        ),
        Some(Signed::Wrong(why)) => (bad("not signed"), why.clone()),
    };
    let wrapped = print::wrapped(&text, 14);
    format!("  {word}  {}\n", wrapped.trim_start())
}

/// As data.
pub fn as_data(signed: Option<&Signed>) -> serde_json::Value {
    match signed {
        None => serde_json::Value::Null,
        Some(Signed::ByKnown { signer, fingerprint }) => serde_json::json!({
            "well": true, "signer": signer, "key": fingerprint,
        }),
        Some(Signed::BySomebody { fingerprint }) => serde_json::json!({
            "well": true, "signer": null, "key": fingerprint,
        }),
        Some(Signed::NotBySigner { fingerprint }) => serde_json::json!({
            "well": false, "why": "by none of the signers", "key": fingerprint,
        }),
        Some(Signed::Wrong(why)) => serde_json::json!({ "well": false, "why": why }),
    }
}
