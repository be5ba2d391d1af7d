//! Which supplement follows which: by the seals that they name.

use crate::records::supplement::Sealed;

/// A bundle or supplement that is at hand.
#[derive(Debug, Clone)]
pub struct Given {
    /// Its name.
    pub name: String,
    /// Its seal as computed; `None` where it has none.
    pub seal: Option<String>,
    /// What it supplements, and with which bundle its line begins; `None` of a bundle.
    pub supplements: Option<[Sealed; 2]>,
}

/// Why a supplement does not stand in a line that begins with its bundle, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Broken {
    /// Something of the line is not among those given.
    NotGiven(String),
    /// What is given is not what the supplement was made for.
    Other(String),
}

impl Broken {
    /// The sentence.
    pub fn sentence(&self) -> &str {
        match self {
            Broken::NotGiven(sentence) | Broken::Other(sentence) => sentence,
        }
    }
}

/// The line that leads to one of those given: the bundle first, then each supplement, that one last.
pub fn line_to(last: usize, given: &[Given]) -> Result<Vec<usize>, Broken> {
    let mut line = vec![last];
    let mut at = last;
    while let Some([parent, first]) = given.get(at).and_then(|one| one.supplements.as_ref()) {
        let next = parent_of(&given[at].name, parent, given)?;
        if line.contains(&next) {
            return Err(Broken::Other(format!("{} leads back to itself", given[at].name)));
        }
        let begins = &given[next];
        let stated = match &begins.supplements {
            None => begins.seal.as_deref(),
            Some([_, first]) => Some(first.seal.as_str()),
        };
        if stated != Some(first.seal.as_str()) {
            return Err(Broken::Other(format!(
                "{} says that its line begins with the bundle {}, and with that seal {} does not",
                given[at].name, first.name, begins.name
            )));
        }
        line.push(next);
        at = next;
    }
    line.reverse();
    Ok(line)
}

/// That no other supplement follows what this one follows: each record has one line of supplements. A copy is no other.
pub fn alone(at: usize, given: &[Given]) -> Result<(), Broken> {
    let parent = |one: &Given| one.supplements.as_ref().map(|[parent, _]| parent.seal.clone());
    let this = &given[at];
    let is_other = |other: &&Given| {
        other.seal != this.seal && parent(other).is_some() && parent(other) == parent(this)
    };
    let Some(other) = given.iter().find(is_other) else { return Ok(()) };
    let follows = this.supplements.as_ref().map_or("", |[parent, _]| parent.name.as_str());
    let other = match other.name == this.name {
        true => format!("another supplement of the name {}", other.name),
        false => other.name.clone(),
    };
    Err(Broken::Other(format!(
        "{} and {other} both follow {follows}, and supplements make up one line: the later would have to follow the \
         earlier",
        this.name
    )))
}

fn parent_of(name: &str, parent: &Sealed, given: &[Given]) -> Result<usize, Broken> {
    let sealed_so = |one: &&Given| one.seal.as_deref() == Some(&parent.seal);
    if let Some(found) = given.iter().position(|one| sealed_so(&one)) {
        return Ok(found);
    }
    let called_so = given.iter().any(|one| one.name == parent.name);
    Err(match called_so {
        true => Broken::Other(format!(
            "{name} supplements {} of another seal than the {} given has",
            parent.name, parent.name
        )),
        false => Broken::NotGiven(format!(
            "{name} supplements {}, which is not among those given",
            parent.name
        )),
    })
}
