//! What is asked about a zip that is sealed: a bundle's or a supplement's.

use std::path::PathBuf;

use clap::Args;
use ssh_key::PrivateKey;

use crate::bundle::error::BundleError;
use crate::bundle::signature;

/// How a zip is sealed.
#[derive(Debug, Args)]
pub struct Sealing {
    /// Replace files that are there already under the same names and differ
    #[arg(long)]
    pub replace: bool,
    /// Recovery data to write, as a percentage of the zip: that share of its slices can be damaged and still be
    /// mended, and a single byte damages a slice; 0 for none
    #[arg(long, value_name = "N", default_value_t = 10,
          value_parser = clap::value_parser!(u32).range(0..=100))]
    pub repair_percent: u32,
    /// Sign it with this OpenSSH private key: NAME-seal.sig is written beside it
    #[arg(long, value_name = "KEY")]
    sign_with: Option<PathBuf>,
}

impl Sealing {
    /// The key that signs, if one is named.
    pub fn key(&self) -> Result<Option<PrivateKey>, BundleError> {
        self.sign_with.as_deref().map(signature::key).transpose()
    }

    /// How many bytes are handled of so many that are packed: they are packed, then the zip is read for its checksums
    /// and once more for its recovery data.
    pub fn handled(&self, packed: u64) -> u64 {
        if self.repair_percent > 0 { 3 * packed } else { packed }
    }
}
