//! Records of one ship's dry-docking turned into a closeout report and a checksummed bundle.
//!
//! Data flows one way, and each room knows only those before it: [`units`] and [`hull`], then
//! [`records`] (what was written down), [`calc`] (pure calculations), [`mod@text`] (sentences that know their
//! figures), [`findings`] (recorded against recomputed), [`pages`] (sections and tables, whatever they are
//! shown on), [`report`], [`bundle`], [`handover`] (from one docking to the next), and [`cli`] on top;
//! [`words`] is what those who speak to people call things.
//!
//! A project is read whole or not at all; what is wrong with it comes back as a list of problems, each with its place:
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
//! Examined, every figure of it is worked out anew, and each comparison is a finding:
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
//! Closed out, it is a report and a bundle, written and read back. The seal is to be kept on paper:
//!
//! ```
//! # use std::path::Path;
//! # use lastdock::findings;
//! # use lastdock::records::{self, problem::Problems, store::Folder};
//! use lastdock::bundle::closeout::{Request, closeout};
//! use lastdock::bundle::error::BundleError;
//! use lastdock::cli::PROGRAM;
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
//! A bundle is verified in two steps: its bytes against its checksums, then its findings against its records:
//!
//! ```
//! use std::path::Path;
//!
//! use lastdock::bundle::error::BundleError;
//! use lastdock::cli::PROGRAM;
//! use lastdock::bundle::{open::Bundle, recompute::recompute, verify::fixity};
//!
//! let bundle = Bundle::open(Path::new("tests/handover/calder-wren-2006.zip"))?;
//! let fixity = fixity(&bundle, &|_bytes| {})?;
//! assert!(fixity.is_whole());
//! assert!(recompute(&bundle, PROGRAM).is_well());
//! # Ok::<(), BundleError>(())
//! ```

pub mod bundle;
pub mod calc;
pub mod cli;
pub mod findings;
pub mod handover;
pub mod hull;
pub mod pages;
pub mod records;
pub mod report;
pub mod text;
pub mod units;
pub mod words;
