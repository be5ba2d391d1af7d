//! The supplements to a bundle that are at hand: each proved by its checksums, all of them in one line, and read against
//! what they follow.

use std::path::Path;

use super::chain::{self, Given};
use super::error::BundleError;
use super::open::{Bundle, Kept};
use super::verify::fixity;
use crate::records::corrected::Line;
use crate::records::problem::{Problem, Problems};
use crate::records::supplement::stated;

/// A supplement whose bytes were proved.
#[derive(Debug)]
pub struct Follower {
    pub bundle: Bundle,
    pub name: String,
    /// Its own seal, 64 hexadecimal digits.
    pub seal: String,
}

/// Supplements that follow one bundle, in their line.
#[derive(Debug)]
pub struct Followers(Vec<Follower>);

impl Followers {
    /// Proves supplements to the bundle of this name and seal, in whatever order they are given. All of them must make
    /// up one line that begins with it.
    pub fn prove(
        first: &Bundle,
        (name, seal): (String, Option<String>),
        supplements: Vec<Bundle>,
        progress: &(dyn Fn(u64) + Sync),
    ) -> Result<Self, Vec<BundleError>> {
        let one = |error: BundleError| vec![error];
        let mut given = vec![Given { name, seal, supplements: None }];
        let mut proved = Vec::new();
        for bundle in supplements {
            let seal = seal_of_whole(&bundle, progress).map_err(one)?;
            let stated = stated(&Kept::new(&bundle))
                .map_err(|problems| unreadable(&bundle.at, &problems))?;
            let name = stated.about.name;
            given.push(Given {
                name: name.clone(),
                seal: Some(seal.clone()),
                supplements: Some([stated.parent, stated.first]),
            });
            proved.push(Some(Follower { bundle, name, seal }));
        }
        let line = line(&first.at, &given, &proved).map_err(one)?;
        let in_order = line.into_iter().filter_map(|at| proved.get_mut(at.checked_sub(1)?)?.take());
        Ok(Self(in_order.collect()))
    }

    /// Each in its place.
    pub fn each(&self) -> &[Follower] {
        &self.0
    }

    /// What each of them holds, to be read.
    pub fn stores(&self) -> Vec<Kept<'_>> {
        self.0.iter().map(|follower| Kept::new(&follower.bundle)).collect()
    }

    /// Reads each against what it follows; `stores` are those of [`Followers::stores`].
    pub fn read<'a>(
        &self,
        first: &'a Kept<'a>,
        stores: &'a [Kept<'a>],
    ) -> Result<Line<'a>, Vec<BundleError>> {
        let mut line = Line::new(first);
        for (store, follower) in stores.iter().zip(&self.0) {
            let at = &follower.bundle.at;
            line.add(store, Problems::default()).map_err(|problems| unreadable(at, &problems))?;
            follower.bundle.refuse_changed().map_err(|error| vec![error])?;
        }
        Ok(line)
    }
}

/// Compares every byte of a bundle or supplement with its checksums, and gives its seal.
pub fn seal_of_whole(
    bundle: &Bundle,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<String, BundleError> {
    let found = fixity(bundle, progress)?;
    if let Some(error) = found.unchecked_error(&bundle.at) {
        return Err(error);
    }
    let trouble = found.troubles().next();
    match (trouble, found.seal) {
        (None, Some(seal)) => Ok(seal),
        (trouble, _) => {
            let trouble = trouble.unwrap_or_else(|| "it has no seal".to_string());
            let advice = "mend it (lastdock mend), or find a better copy: what follows it names it by its seal";
            Err(BundleError::new(&bundle.at, format!("is not whole: {trouble}"), advice))
        }
    }
}

/// The line in which all of them are, by their numbers among those given.
fn line(
    first: &Path,
    given: &[Given],
    proved: &[Option<Follower>],
) -> Result<Vec<usize>, BundleError> {
    let mut longest = vec![0];
    for (at, follower) in (1..).zip(proved.iter().flatten()) {
        let why = match chain::line_to(at, given) {
            Ok(line) if line.first() == Some(&0) => {
                if line.len() > longest.len() {
                    longest = line;
                }
                continue;
            }
            Ok(_) => String::new(),
            Err(broken) => format!(": {}", broken.sentence()),
        };
        let wrong = format!("is no supplement to this bundle{why}");
        let advice = "name it with the bundle that it supplements, and with every supplement between the two";
        return Err(BundleError::new(&follower.bundle.at, wrong, advice));
    }
    if longest.len() < given.len() {
        let wrong = "has supplements that do not make up one line: two follow the same, or one is given twice";
        return Err(BundleError::new(first, wrong, "name those of one line"));
    }
    Ok(longest)
}

/// That records can't be read of what is whole.
pub fn unreadable(at: &Path, problems: &[Problem]) -> Vec<BundleError> {
    let error = |problem: &Problem| {
        let said: Vec<String> = problem.to_string().split_whitespace().map(String::from).collect();
        let wrong = format!("its records can't be read: {}", said.join(" "));
        let advice = "find a better copy; verify it with the bundle and all supplements before it";
        BundleError::new(at, wrong, advice)
    };
    problems.iter().map(error).collect()
}
