//! Records of one ship's dry-docking turned into a closeout report and a checksummed bundle.
//!
//! A caller reads a project ([`records`]), has every figure recomputed and compared ([`findings`]), writes a bundle and
//! verifies one ([`bundle`]). How the crate is built inside is told in `DEVELOPERS.md`.
//!
//! A project is read whole or not at all. What is wrong with it comes back as a list of problems, each with its place:
//!
//! ```
//! use std::path::Path;
//!
//! use lastdock::records::problem::{Problem, Problems};
//! use lastdock::records::{self, store::Folder};
//!
//! let mut problems = Problems::default();
//! let folder = Folder::open(Path::new("sample-project"), &mut problems);
//! let project = records::read(&folder, problems)?;
//! assert_eq!(project.docking.ship.name, "Calder Wren");
//! # Ok::<(), Vec<Problem>>(())
//! ```
//!
//! Examining it recomputes every figure; each comparison with the record is a finding:
//!
//! ```
//! # use std::path::Path;
//! # use lastdock::records::{self, problem::{Problem, Problems}, store::Folder};
//! use lastdock::findings::{self, finding::Outcome};
//!
//! # let mut problems = Problems::default();
//! # let folder = Folder::open(Path::new("sample-project"), &mut problems);
//! # let project = records::read(&folder, problems)?;
//! let examined = findings::examine(project)?;
//! let differs = examined.findings.iter().filter(|finding| finding.outcome == Outcome::Differs);
//! assert!(differs.clone().any(|finding| finding.id == "plan.block.K37.height"));
//! assert_eq!(examined.unanswered().count(), 0);
//! # Ok::<(), Vec<Problem>>(())
//! ```
//!
//! Closing it out writes a report and a bundle, and reads both back. The seal is to be kept on paper:
//!
//! ```
//! # use std::path::Path;
//! # use lastdock::findings;
//! # use lastdock::records::{self, problem::Problems, store::Folder};
//! use lastdock::PROGRAM;
//! use lastdock::bundle::closeout::{Request, closeout};
//! use lastdock::bundle::error::BundleError;
//!
//! # let mut problems = Problems::default();
//! # let folder = Folder::open(Path::new("sample-project"), &mut problems);
//! # let examined = findings::examine(records::read(&folder, problems).unwrap()).unwrap();
//! # let out = tempfile::tempdir().expect("a temporary folder");
//! let written = closeout(&Request {
//!     folder: &folder,
//!     examined: &examined,
//!     out: out.path(),
//!     replace: false,
//!     repair_percent: 10,
//!     sign_with: None,
//!     program: PROGRAM,
//!     progress: &|_bytes| {},
//! })?;
//! assert!(written.bundle.ends_with("calder-wren-2031.zip"));
//! assert_eq!(written.seal.len(), 64);
//! # Ok::<(), Vec<BundleError>>(())
//! ```
//!
//! A bundle is verified in two steps: first its bytes against its checksums, then its findings against its records:
//!
//! ```
//! use std::path::Path;
//!
//! use lastdock::PROGRAM;
//! use lastdock::bundle::error::BundleError;
//! use lastdock::bundle::{open::Bundle, recompute::recompute, verify::fixity};
//!
//! let bundle = Bundle::open(Path::new("tests/handover/calder-wren-2006.zip"))?;
//! let fixity = fixity(&bundle, &|_bytes| {})?;
//! assert!(fixity.is_whole());
//! assert!(recompute(&bundle, PROGRAM).is_well());
//! # Ok::<(), BundleError>(())
//! ```

pub mod bundle;
pub mod findings;
pub mod records;
pub mod text;

// Public for the program and for this crate's own tests alone.
#[doc(hidden)]
pub mod calc;
#[doc(hidden)]
pub mod cli;
#[doc(hidden)]
pub mod handover;
#[doc(hidden)]
pub mod hull;
#[doc(hidden)]
pub mod pages;
#[doc(hidden)]
pub mod report;
#[doc(hidden)]
pub mod tables;
#[doc(hidden)]
pub mod units;
#[doc(hidden)]
pub mod web;
#[doc(hidden)]
pub mod words;

/// This program and its version, as bundles and findings name what wrote them.
pub const PROGRAM: &str = concat!("lastdock ", env!("CARGO_PKG_VERSION"));
