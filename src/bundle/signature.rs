//! Signing a bundle, for those who want to say who wrote it: an OpenSSH signature over
//! `tagmanifest-sha256.txt`, as `ssh-keygen -Y sign` makes it and `ssh-keygen -Y verify` checks it.

use std::fs::File;
use std::path::{Path, PathBuf};

use ssh_key::public::KeyData;
use ssh_key::{Fingerprint, HashAlg, LineEnding, PrivateKey, PublicKey, SshSig};

use super::error::BundleError;
use crate::records::store::read_at_most;

/// The namespace of our signatures: one made for another purpose is not taken for one of these.
pub const NAMESPACE: &str = "docking-record-bundle";

/// Where the signature of a bundle stands: beside `NAME.zip` as `NAME-seal.sig`.
pub fn beside(bundle: &Path) -> PathBuf {
    let name = bundle.file_stem().map(|name| name.to_string_lossy()).unwrap_or_default();
    bundle.with_file_name(format!("{name}-seal.sig"))
}

/// Most bytes of a key, a signature or a list of signers: of keys it holds some thousand.
const MOST_BYTES: u64 = 1 << 20;

/// Reads a signature, or another file as small as one.
pub fn read(path: &Path) -> Result<Vec<u8>, BundleError> {
    let file = File::open(path).and_then(|file| read_at_most(file, MOST_BYTES));
    file.map_err(|error| BundleError::io(path, "can't be read", &error))
}

/// Reads a private key. One that asks for a passphrase or sits in a device is refused, with the words of
/// the command that can use it.
pub fn key(path: &Path) -> Result<PrivateKey, BundleError> {
    let text = read(path)?;
    if String::from_utf8(text.clone()).is_ok_and(|text| signer(text.trim()).is_some()) {
        let private = path.with_extension("");
        let advice = match path.extension().is_some_and(|end| end == "pub") {
            true => format!("name the private half, {}", private.display()),
            false => {
                "name the private half, which ssh-keygen wrote beside it without .pub".to_string()
            }
        };
        return Err(BundleError::new(
            path,
            "is the public half of a key, and the private one signs",
            advice,
        ));
    }
    let advice = format!(
        "sign with: ssh-keygen -Y sign -n {NAMESPACE} -f KEY tagmanifest-sha256.txt, and keep the \
         signature beside the bundle as NAME-seal.sig"
    );
    let key = PrivateKey::from_openssh(&text).map_err(|error| {
        BundleError::new(path, format!("is no private key of OpenSSH: {error}"), advice.clone())
    })?;
    if key.is_encrypted() {
        return Err(BundleError::new(path, "asks for a passphrase", advice));
    }
    Ok(key)
}

/// Signs the bytes of a tag manifest.
pub fn sign(key: &PrivateKey, tag_manifest: &[u8]) -> Result<String, BundleError> {
    let failed = |error: ssh_key::Error| {
        BundleError::new(
            super::layout::TAG_MANIFESTS[0],
            format!("can't be signed: {error}"),
            "use an Ed25519 key, as ssh-keygen -t ed25519 makes it",
        )
    };
    let signature = key.sign(NAMESPACE, HashAlg::Sha512, tag_manifest).map_err(failed)?;
    signature.to_pem(LineEnding::LF).map_err(failed)
}

/// What a signature says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Signed {
    /// It is of this bundle, and by a key that was named as a signer.
    ByKnown {
        /// The key's words in the list of signers.
        signer: String,
        /// Its fingerprint.
        fingerprint: String,
    },
    /// It is of this bundle. Whose key it is, nobody has said.
    BySomebody {
        /// The key's fingerprint.
        fingerprint: String,
    },
    /// It is by a key that is not in the list of signers.
    NotBySigner {
        /// The key's fingerprint.
        fingerprint: String,
    },
    /// It does not belong to this bundle, or is none.
    Wrong(String),
}

impl Signed {
    /// Whether nothing speaks against the bundle.
    pub fn is_well(&self) -> bool {
        matches!(self, Signed::ByKnown { .. } | Signed::BySomebody { .. })
    }
}

/// Checks a signature against the bytes of a tag manifest. With a list of signers the key must be one of
/// them.
pub fn check(signature: &[u8], tag_manifest: &[u8], signers: Option<&[Signer]>) -> Signed {
    let signature = match SshSig::from_pem(signature) {
        Ok(signature) => signature,
        Err(error) => return Signed::Wrong(format!("it is no signature of OpenSSH: {error}")),
    };
    if signature.namespace() != NAMESPACE {
        return Signed::Wrong(format!(
            "it was made for {:?}, and one of a bundle is made for {NAMESPACE:?}",
            signature.namespace()
        ));
    }
    let key = PublicKey::new(signature.public_key().clone(), "");
    let fingerprint = print_of(signature.public_key());
    if key.verify(NAMESPACE, tag_manifest, &signature).is_err() {
        return Signed::Wrong(format!("it is not of this bundle; its key is {fingerprint}"));
    }
    match signers {
        None => Signed::BySomebody { fingerprint },
        Some(signers) => match signers.iter().find(|known| known.key == *signature.public_key()) {
            Some(known) => Signed::ByKnown { signer: known.words.clone(), fingerprint },
            None => Signed::NotBySigner { fingerprint },
        },
    }
}

fn print_of(key: &KeyData) -> String {
    let fingerprint: Fingerprint = key.fingerprint(HashAlg::Sha256);
    fingerprint.to_string()
}

/// Somebody whose signature is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signer {
    /// What the list calls the key: its principals, or its comment.
    pub words: String,
    key: KeyData,
}

/// Reads a list of signers: lines of OpenSSH's `allowed_signers`, or of a public key file.
pub fn signers(path: &Path) -> Result<Vec<Signer>, BundleError> {
    let text = read(path)?;
    let text = String::from_utf8_lossy(&text);
    let mut signers = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        match signer(line) {
            Some(signer) => signers.push(signer),
            None => {
                return Err(BundleError::new(
                    path,
                    format!("has no public key in line {}", number + 1),
                    "give a public key a line, or lines as OpenSSH's allowed_signers has them",
                ));
            }
        }
    }
    if signers.is_empty() {
        return Err(BundleError::new(path, "names no signer", "put a public key in it"));
    }
    Ok(signers)
}

/// A line: a key type, a key and a comment, or these after principals and options.
fn signer(line: &str) -> Option<Signer> {
    let words: Vec<&str> = line.split_whitespace().collect();
    let of = |from: usize| -> Option<PublicKey> {
        PublicKey::from_openssh(&words.get(from..)?.join(" ")).ok()
    };
    if let Some(key) = of(0) {
        let comment = key.comment().to_string();
        return Some(Signer { words: comment, key: key.key_data().clone() });
    }
    (1..words.len())
        .find_map(of)
        .map(|key| Signer { words: words[0].to_string(), key: key.key_data().clone() })
}
