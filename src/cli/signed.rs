//! What `verify` says of a bundle's signature.

use std::path::{Path, PathBuf};

use clap::Args;

use super::page::Page;
use super::print;
use crate::bundle::layout;
use crate::bundle::open::Bundle;
use crate::bundle::signature::{self, Signed};
use crate::bundle::signers::{Asked, Moment, Signers};

/// What `verify` takes about signatures.
#[derive(Debug, Args)]
pub struct Signing {
    /// A signature over tagmanifest-sha256.txt; by default NAME-seal.sig beside a zip, if it is there
    #[arg(long, value_name = "FILE")]
    pub signature: Option<PathBuf>,
    /// Public keys whose signatures are accepted, in the format of OpenSSH's allowed_signers
    #[arg(long, value_name = "FILE")]
    signers: Option<PathBuf>,
    /// Who must have signed, as a line of --signers names them; by default anyone named there
    #[arg(long, value_name = "WHO", requires = "signers")]
    by: Option<String>,
    /// The time in UTC at which the key must have been valid, YYYY-MM-DD or as OpenSSH writes it; without it a
    /// key's dates are reported but not judged
    #[arg(long, value_name = "TIME", requires = "signers", value_parser = parse_time)]
    at: Option<Moment>,
}

fn parse_time(text: &str) -> Result<Moment, String> {
    let wanted = "a time is YYYY-MM-DD, YYYYMMDD or YYYYMMDDHHMM[SS], in UTC and after 1970-01-01";
    Moment::typed(text).ok_or_else(|| wanted.to_string())
}

/// Checks the signature that is named, or else one that stands beside a zip. Somebody who names signers
/// wants a signature, and none is then as bad as a wrong one.
pub fn read(bundle: &Bundle, signing: &Signing) -> Option<Signed> {
    let beside = signature::beside(&bundle.at);
    let file: &Path = match &signing.signature {
        Some(named) => named,
        None if bundle.at.is_file() && beside.is_file() => &beside,
        None if signing.signers.is_some() => {
            return Some(Signed::Wrong("there is no signature".to_string()));
        }
        None => return None,
    };
    let not_read = |path: &Path, why: &str| {
        Some(Signed::Unchecked(format!("it was not checked, since {} {why}", path.display())))
    };
    let signers = match signing.signers.as_deref().map(|path| (path, Signers::read(path))) {
        None => None,
        Some((_, Ok(signers))) => Some(signers),
        Some((path, Err(error))) => return not_read(path, &error.wrong),
    };
    let text = match signature::read(file) {
        Ok(text) => text,
        Err(error) => return not_read(file, &error.wrong),
    };
    let sealed = layout::TAG_MANIFESTS[0];
    let tag_manifest = match bundle.read(sealed) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Some(Signed::Wrong(format!("{sealed} is not there")));
        }
        Err(error) => return not_read(Path::new(sealed), &format!("can't be read: {error}")),
    };
    let asked = Asked { by: signing.by.clone(), at: signing.at };
    let signers = signers.as_ref().map(|signers| (signers, &asked));
    Some(signature::check(&text, &tag_manifest, signers))
}

pub fn render(signed: Option<&Signed>) -> Page {
    let mut out = Page::new();
    let Some(signed) = signed else { return out };
    let (well, word, text) = match signed {
        Signed::ByKnown { signer, fingerprint } => {
            (true, "signed", format!("by {signer}, whose key you named: {fingerprint}"))
        }
        Signed::BySomebody { fingerprint } => (
            true,
            "signed",
            format!(
                "by the key {fingerprint}; check whose key that is, or name the signers you trust with --signers"
            ),
        ),
        Signed::NotBySigner { fingerprint, .. } => (
            false,
            "other hand",
            format!("the signature is by none of the signers you named; its key is {fingerprint}"),
        ),
        Signed::Undated { fingerprint, .. } => (
            false,
            "not judged",
            format!(
                "the signature is of this bundle; whether its key {fingerprint} was valid was not judged"
            ),
        ),
        Signed::Wrong(why) => (false, "not signed", why.clone()),
        Signed::Unchecked(why) => (false, "signature", why.clone()),
    };
    if well {
        out.pass(word, &text)
    } else {
        out.fail(word, &text)
    }
    for sentence in reasons(signed) {
        out.push_str(&format!("{}\n", print::wrapped(&format!("signers: {sentence}"), 14)));
    }
    if matches!(signed, Signed::Undated { .. }) {
        let advice = "give the time at which it must have been valid with --at, in UTC";
        out.push_str(&format!("{}\n", print::wrapped(advice, 14)));
    }
    out
}

/// What the list of signers says of a key that it does not take.
fn reasons(signed: &Signed) -> &[String] {
    match signed {
        Signed::NotBySigner { why, .. } | Signed::Undated { why, .. } => why,
        _ => &[],
    }
}

pub fn to_json(signed: Option<&Signed>) -> serde_json::Value {
    match signed {
        None => serde_json::Value::Null,
        Some(Signed::ByKnown { signer, fingerprint }) => serde_json::json!({
            "well": true, "signer": signer, "key": fingerprint,
        }),
        Some(Signed::BySomebody { fingerprint }) => serde_json::json!({
            "well": true, "signer": null, "key": fingerprint,
        }),
        Some(Signed::NotBySigner { fingerprint, why }) => serde_json::json!({
            "well": false, "why": "by none of the signers", "signers": why, "key": fingerprint,
        }),
        Some(Signed::Undated { fingerprint, why }) => serde_json::json!({
            "well": false, "why": "whether the key was valid was not judged", "signers": why,
            "key": fingerprint,
        }),
        Some(Signed::Wrong(why)) => serde_json::json!({ "well": false, "why": why }),
        Some(Signed::Unchecked(why)) => {
            serde_json::json!({ "well": false, "checked": false, "why": why })
        }
    }
}
