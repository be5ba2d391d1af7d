//! Signing a bundle, for those who want to state who wrote it: an OpenSSH signature over
//! `tagmanifest-sha256.txt`, as `ssh-keygen -Y sign` makes it and `ssh-keygen -Y verify` checks it.

use std::path::{Path, PathBuf};

use ssh_key::public::KeyData;
use ssh_key::{
    Algorithm, EcdsaCurve, Fingerprint, HashAlg, LineEnding, PrivateKey, PublicKey, SshSig,
};

use super::error::BundleError;
use super::safely::{self, Finished};
use super::signers::{Asked, Signers, Verdict};
pub use super::signers::{NAMESPACE, read};
use super::staging::StagingDir;
use crate::records::contained::contained;

/// The place of a bundle's signature: beside `NAME.zip` as `NAME-seal.sig`.
pub fn beside(bundle: &Path) -> PathBuf {
    let name = bundle.file_stem().map(|name| name.to_string_lossy()).unwrap_or_default();
    bundle.with_file_name(format!("{name}-seal.sig"))
}

/// Reads a private key. A key with a passphrase or in a device is an error, whose advice is the command that can use it.
pub fn key(path: &Path) -> Result<PrivateKey, BundleError> {
    let text = read(path)?;
    if str::from_utf8(&text).is_ok_and(|text| PublicKey::from_openssh(text.trim()).is_ok()) {
        let private = path.with_extension("");
        let advice = match path.extension().is_some_and(|end| end == "pub") {
            true => format!("name the private half, {}", private.display()),
            false => {
                "name the private half, which ssh-keygen wrote beside it without .pub".to_string()
            }
        };
        return Err(BundleError::new(
            path,
            "is the public half of a key, but signing needs the private half",
            advice,
        ));
    }
    let advice = format!(
        "sign with: ssh-keygen -Y sign -n {NAMESPACE} -f KEY tagmanifest-sha256.txt, and keep the \
         signature beside the bundle as NAME-seal.sig"
    );
    let key = PrivateKey::from_openssh(&text).map_err(|error| {
        BundleError::new(path, format!("is not an OpenSSH private key: {error}"), advice.clone())
    })?;
    if key.is_encrypted() {
        return Err(BundleError::new(path, "needs a passphrase", advice));
    }
    Ok(key)
}

/// Signs a tag manifest; the file is to be put at `place`.
pub(super) fn finished(
    key: &PrivateKey,
    tag_manifest: &str,
    staging: &StagingDir,
    place: &Path,
) -> Result<Finished, BundleError> {
    let signature = sign(key, tag_manifest.as_bytes())?;
    let file = safely::filled(staging, signature.as_bytes())?;
    Ok(Finished { file, place: place.to_path_buf() })
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

/// The result of checking a signature.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Signed {
    /// It is of this bundle, and by a key that was named as a signer.
    ByKnown {
        /// The key's words in the list of signers.
        signer: String,
        /// Its fingerprint.
        fingerprint: String,
    },
    /// It is of this bundle, by a key whose owner is not known.
    BySomebody {
        /// The key's fingerprint.
        fingerprint: String,
    },
    /// It is of this bundle, but by a key that the list of signers does not accept.
    NotBySigner {
        /// The key's fingerprint.
        fingerprint: String,
        /// Why the list does not accept it, and which of its lines can't be used.
        why: Vec<String>,
    },
    /// It is of this bundle, by a key that the list of signers accepts at some times; whether at the time in question
    /// was not judged.
    Undated {
        /// The key's fingerprint.
        fingerprint: String,
        /// Why that was not judged.
        why: Vec<String>,
    },
    /// It does not belong to this bundle, or is none.
    Wrong(String),
    /// It could not be checked.
    Unchecked(String),
}

impl Signed {
    /// Whether the signature gives no reason to doubt the bundle.
    pub fn is_well(&self) -> bool {
        matches!(self, Signed::ByKnown { .. } | Signed::BySomebody { .. })
    }
}

/// Checks a signature against the bytes of a tag manifest. With a list of signers the key must be one that it
/// accepts.
pub fn check(signature: &[u8], tag_manifest: &[u8], signers: Option<(&Signers, &Asked)>) -> Signed {
    let signature = match contained(|| SshSig::from_pem(signature)) {
        Ok(Ok(signature)) => signature,
        Ok(Err(error)) => return Signed::Wrong(format!("it is no signature of OpenSSH: {error}")),
        Err(panicked) => return Signed::Unchecked(panicked.to_string()),
    };
    if signature.namespace() != NAMESPACE {
        return Signed::Wrong(format!(
            "it was made for {:?}, but a bundle's is made for {NAMESPACE:?}",
            signature.namespace()
        ));
    }
    let key = PublicKey::new(signature.public_key().clone(), "");
    let fingerprint = print_of(signature.public_key());
    if !is_checkable(&key.algorithm()) {
        return Signed::Unchecked(format!(
            "its key {fingerprint} is of a kind that this program can't check, {}; ssh-keygen -Y verify can",
            key.algorithm()
        ));
    }
    if key.verify(NAMESPACE, tag_manifest, &signature).is_err() {
        return Signed::Wrong(format!("it is not of this bundle; its key is {fingerprint}"));
    }
    let Some((signers, asked)) = signers else { return Signed::BySomebody { fingerprint } };
    match signers.judge(signature.public_key(), asked) {
        Verdict::Accepted(signer) => Signed::ByKnown { signer, fingerprint },
        Verdict::Undated(why) => Signed::Undated { fingerprint, why },
        Verdict::Refused(why) => Signed::NotBySigner { fingerprint, why },
    }
}

/// Whether signatures of this kind of key can be checked: what the features of `ssh-key` that are built in cover.
fn is_checkable(algorithm: &Algorithm) -> bool {
    matches!(
        algorithm,
        Algorithm::Ed25519
            | Algorithm::SkEd25519
            | Algorithm::Ecdsa { curve: EcdsaCurve::NistP256 }
            | Algorithm::SkEcdsaSha2NistP256
    )
}

fn print_of(key: &KeyData) -> String {
    let fingerprint: Fingerprint = key.fingerprint(HashAlg::Sha256);
    fingerprint.to_string()
}
