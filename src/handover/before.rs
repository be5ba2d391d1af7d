//! The bundle of an earlier docking, verified before anything is used from it; and the history that the next project
//! keeps of it.

use std::collections::{BTreeMap, BTreeSet};

use super::folder::Content;
use crate::bundle::error::{BundleError, first_few};
use crate::bundle::followers::{Follower, Followers};
use crate::bundle::layout;
use crate::bundle::open::{Bundle, Kept};
use crate::bundle::recompute::{Recomputation, recompute};
use crate::bundle::verify::{Fixity, fixity};
use crate::records::Past;
use crate::records::characters::shown_in_line;
use crate::records::corrected::Supplement;
use crate::records::history::{self, Found};
use crate::records::problem::{Problem, Problems};
use crate::records::{self, Project, store};

/// A bundle that was opened and verified.
#[derive(Debug)]
pub struct Before {
    /// The docking's name, which is that of its bundle.
    pub name: String,
    /// The name of the file or folder that was given.
    pub file: String,
    /// Its fixity.
    pub fixity: Fixity,
    /// Everything that is wrong with it, in sentences; empty for a bundle that is whole and whose
    /// findings follow from its records.
    pub damage: Vec<String>,
    /// How many of its findings differ or are beyond a limit, without an answer.
    pub unanswered: usize,
    /// How many of its findings this version of the program computes differently, by a rule that changed since the
    /// bundle was written.
    pub computed_otherwise: usize,
    /// Its records.
    pub project: Project,
    /// The supplements that follow it, in their order.
    pub supplements: Vec<Supplement>,
    /// Its records as the supplements have them, if there are any.
    corrected: Option<Project>,
    bundle: Bundle,
    followers: Followers,
}

impl Before {
    /// Verifies a bundle and reads its records. One that is damaged, or whose findings do not follow from
    /// its records, is refused unless `accept_damaged` is set; one whose records can't be read always is.
    pub fn read(
        bundle: Bundle,
        of_supplements: Vec<Bundle>,
        program: &str,
        accept_damaged: bool,
        progress: &(dyn Fn(u64) + Sync),
    ) -> Result<Self, Vec<BundleError>> {
        let fixity = fixity(&bundle, progress).map_err(|error| vec![error])?;
        if let Some(error) = fixity.unchecked_error(&bundle.at) {
            return Err(vec![error]);
        }
        let recomputation = recompute(&bundle, program);
        let (unanswered, computed_otherwise) = match &recomputation {
            Recomputation::Compared(comparison) => {
                (comparison.unanswered, comparison.otherwise_count())
            }
            Recomputation::Impossible(_) => (0, 0),
        };
        let troubles = recomputation.troubles().iter().map(|trouble| one_line(trouble));
        let damage: Vec<String> = fixity.troubles().chain(troubles).collect();
        bundle.refuse_changed().map_err(|error| vec![error])?;
        if !damage.is_empty() && !accept_damaged {
            return Err(vec![refused(&bundle, &damage)]);
        }
        let project = records::read(&Kept::new(&bundle), Problems::default());
        bundle.refuse_changed().map_err(|error| vec![error])?;
        let project = project.map_err(|problems| unreadable(&bundle, &problems))?;
        let Some(closeout) = &project.docking.closeout else {
            let wrong = "its docking.toml has no [closeout], so the docking has no name";
            let advice = "start a blank project, and copy what is needed by hand";
            return Err(vec![BundleError::new(&bundle.at, wrong, advice)]);
        };
        let seals = (closeout.bundle_name.clone(), fixity.seal.clone());
        let followers = Followers::prove(&bundle, seals, of_supplements, progress)?;
        let (kept, stores) = (Kept::new(&bundle), followers.stores());
        let (supplements, corrected) = followers.read(&kept, &stores)?.into_parts();
        drop((kept, stores));
        let file = bundle.at.file_name().unwrap_or(bundle.at.as_os_str());
        Ok(Self {
            name: closeout.bundle_name.clone(),
            file: file.to_string_lossy().into_owned(),
            fixity,
            damage,
            unanswered,
            computed_otherwise,
            project,
            supplements,
            corrected,
            bundle,
            followers,
        })
    }

    /// Its records as the next docking begins with them: corrected by its supplements.
    pub fn corrected(&self) -> &Project {
        self.corrected.as_ref().unwrap_or(&self.project)
    }

    /// The seals of its supplements, in their order.
    pub fn seals_of_supplements(&self) -> impl Iterator<Item = &str> {
        self.followers.each().iter().map(|follower| follower.seal.as_str())
    }

    /// What is wrong with it, the first few points; `None` if nothing is.
    pub fn damage_summary(&self) -> Option<String> {
        (!self.damage.is_empty()).then(|| summary(&self.damage))
    }

    /// The files of the next project's `history/`: this docking's records byte for byte, and beside them
    /// those of the dockings before it that it kept itself.
    pub(super) fn history(&self) -> Result<BTreeMap<String, Content<'_>>, BundleError> {
        let mut files: BTreeMap<String, Content<'_>> = BTreeMap::new();
        let mut folded = BTreeSet::new();
        for (kept, _) in self.bundle.sizes() {
            let Some(path) =
                kept.strip_prefix(layout::RECORDS).filter(|p| *p != history::SPEC.path)
            else {
                continue;
            };
            let place = match path.strip_prefix(history::FOLDER) {
                Some(_) => path.to_string(),
                None => format!("{}{}/{path}", history::FOLDER, self.name),
            };
            if let Some(wrong) = store::unkeepable(&place) {
                return Err(self.no_place(&place, wrong));
            }
            if !folded.insert(place.to_lowercase()) {
                let wrong = "is already there from another docking of that name";
                return Err(self.no_place(&place, wrong));
            }
            files.insert(place, Content::Kept { bundle: &self.bundle, path: kept.to_string() });
        }
        for Follower { bundle, name, .. } in self.followers.each() {
            let (folder, below) = (history::FOLDER, history::SUPPLEMENTS);
            let own = format!("{folder}{}/{below}{name}/", self.name);
            let kept = bundle.sizes().map(|(kept, _)| kept);
            for (kept, path) in
                kept.filter_map(|kept| Some((kept, kept.strip_prefix(layout::RECORDS)?)))
            {
                let place = format!("{own}{path}");
                if let Some(wrong) = store::unkeepable(&place) {
                    return Err(self.no_place(&place, wrong));
                }
                files.insert(place, Content::Kept { bundle, path: kept.to_string() });
            }
        }
        let rows =
            self.rows().map_err(|error| self.no_place(history::SPEC.path, &error.to_string()))?;
        files.insert(history::SPEC.path.to_string(), Content::Bytes(rows));
        Ok(files)
    }

    fn no_place(&self, place: &str, wrong: &str) -> BundleError {
        let wrong = format!("can't be kept as history: {place} {wrong}");
        BundleError::new(&self.bundle.at, wrong, "start a blank project, and keep the bundle by it")
    }

    /// `history/dockings.csv`: the rows that this docking had itself, then its own.
    fn rows(&self) -> Result<Vec<u8>, csv::Error> {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(history::SPEC.headings())?;
        for Past { source, .. } in &self.project.history {
            let seal = source.seal.as_deref().unwrap_or_default();
            let damage = source.damage.as_deref().unwrap_or_default();
            let (bundle, damage) = (shown_in_line(&source.bundle), shown_in_line(damage));
            out.write_record([&source.name, &bundle, seal, source.fixity.word(), &damage])?;
        }
        let fixity = if self.damage.is_empty() { Found::Whole } else { Found::Damaged }.word();
        let seal = self.fixity.seal.as_deref().unwrap_or_default();
        let damage = shown_in_line(&self.damage_summary().unwrap_or_default());
        out.write_record([&self.name, &shown_in_line(&self.file), seal, fixity, &damage])?;
        out.into_inner().map_err(|error| error.into_error().into())
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn summary(troubles: &[String]) -> String {
    first_few(troubles.iter().cloned(), "; ")
}

fn refused(bundle: &Bundle, damage: &[String]) -> BundleError {
    BundleError::new(
        &bundle.at,
        format!("is not whole, so nothing was carried over from it: {}", summary(damage)),
        "mend it (lastdock mend) and start from the mended bundle, or find a better copy; with \
         --accept-damaged you can start from it as it is, and the new folder will say so",
    )
}

fn unreadable(bundle: &Bundle, problems: &[Problem]) -> Vec<BundleError> {
    let error = |problem: &Problem| {
        let wrong = format!("its records can't be read: {}", one_line(&problem.to_string()));
        let advice =
            "mend it (lastdock mend) and start from the mended bundle, or start a blank project";
        BundleError::new(&bundle.at, wrong, advice)
    };
    problems.iter().map(error).collect()
}
