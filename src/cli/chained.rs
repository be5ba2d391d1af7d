//! What `lastdock verify` says of supplements: what each follows, and whether what it corrects stands there.

use std::path::Path;

use super::page::Page;
use crate::bundle::chain::{self, Broken, Given};
use crate::bundle::digest::in_fours;
use crate::bundle::open::{Bundle, Kept};
use crate::records;
use crate::records::corrected::Line;
use crate::records::problem::{Problem, Problems};
use crate::records::supplement::{Stated, stated};
use crate::text::count;

/// How a supplement stands in its line.
pub enum Chained {
    /// It says what it supplements, and was not yet held against that.
    Stated(Box<Stated>),
    /// Everything that it follows is there, and it can be read against it.
    Follows(Follows),
    /// It does not stand in a line that begins with its bundle.
    Broken(Broken),
    /// What would have to be read is damaged: this one, or that of this name before it.
    Damaged(String),
    /// It can't be read, for these reasons.
    Unreadable(Vec<String>),
}

/// A supplement in its line.
pub struct Follows {
    /// The names before it, the bundle's first.
    before: Vec<String>,
    errata: usize,
    rows: usize,
    papers: usize,
}

impl Chained {
    /// Reads what a supplement says of itself.
    pub fn read(bundle: &Bundle) -> Self {
        match stated(&Kept::new(bundle)) {
            Ok(stated) => Self::Stated(Box::new(stated)),
            Err(problems) => Self::Unreadable(sentences(&problems)),
        }
    }

    /// Whether it stands in its line.
    pub fn is_well(&self) -> bool {
        matches!(self, Self::Follows(_))
    }

    /// Whether that could be judged: not where what it follows is not at hand.
    pub fn is_judged(&self) -> bool {
        !matches!(self, Self::Stated(_) | Self::Damaged(_) | Self::Broken(Broken::NotGiven(_)))
    }

    /// For a person.
    pub fn render(&self) -> Page {
        let mut out = Page::new();
        match self {
            Self::Stated(_) => {}
            Self::Follows(follows) => {
                out.pass("follows", &follows.before.join(", then "));
                if follows.errata > 0 {
                    out.detail("what its errata say stands in the record does stand there");
                }
                out.detail(&brings(follows.errata, follows.rows, follows.papers));
                if follows.rows > 0 {
                    out.detail(NOT_EXAMINED);
                }
            }
            Self::Damaged(name) => {
                out.fail(
                    "not judged",
                    &format!("{name} is damaged, and was not held against the record"),
                );
            }
            Self::Broken(broken) => {
                let word = match broken {
                    Broken::NotGiven(_) => "no parent",
                    Broken::Other(_) => "other",
                };
                out.fail(word, broken.sentence());
                out.detail(match broken {
                    Broken::NotGiven(_) => {
                        "name the bundle and every supplement between it and this one in one run"
                    }
                    Broken::Other(_) => {
                        "look for the copies whose seals are those that each supplement names"
                    }
                });
            }
            Self::Unreadable(reasons) => {
                out.fail("unreadable", "it can't be read against what it supplements:");
                reasons.iter().for_each(|reason| out.detail(reason));
            }
        }
        out
    }

    /// For programs.
    pub fn to_json(&self) -> serde_json::Value {
        match self {
            Self::Stated(_) => serde_json::json!({ "follows": null }),
            Self::Follows(follows) => serde_json::json!({
                "follows": follows.before,
                "errata": follows.errata,
                "rows": follows.rows,
                "papers": follows.papers,
            }),
            Self::Damaged(name) => {
                serde_json::json!({ "follows": null, "troubles": [format!("{name} is damaged")] })
            }
            Self::Broken(broken) => {
                serde_json::json!({ "follows": null, "troubles": [broken.sentence()] })
            }
            Self::Unreadable(reasons) => {
                serde_json::json!({ "follows": null, "troubles": reasons })
            }
        }
    }
}

/// One of those that are verified together.
pub struct One<'a> {
    pub at: &'a Path,
    pub bundle: &'a Bundle,
    pub seal: Option<&'a str>,
    pub is_damaged: bool,
    /// `None` for a bundle.
    pub supplement: Option<&'a Chained>,
}

/// How each supplement of those given stands in its line, by their numbers.
pub fn chain(all: &[One<'_>]) -> Vec<(usize, Chained)> {
    let is_stated = |one: &One<'_>| matches!(one.supplement, Some(Chained::Stated(_)));
    if !all.iter().any(is_stated) {
        return Vec::new();
    }
    let given: Vec<Given> = all.iter().map(given).collect();
    let supplements = all.iter().enumerate().filter(|(_, one)| is_stated(one));
    supplements.map(|(at, _)| (at, follow(at, all, &given))).collect()
}

fn follow(at: usize, all: &[One<'_>], given: &[Given]) -> Chained {
    if all[at].is_damaged {
        return Chained::Damaged("this supplement".to_string());
    }
    let line =
        match chain::line_to(at, given).and_then(|line| chain::alone(at, given).map(|()| line)) {
            Ok(line) => line,
            Err(broken) => return Chained::Broken(broken),
        };
    if let Some(damaged) = line.iter().find(|one| all[**one].is_damaged) {
        return Chained::Damaged(given[*damaged].name.clone());
    }
    let stores: Vec<Kept<'_>> = line.iter().map(|one| Kept::new(all[*one].bundle)).collect();
    let Some((first, supplements)) = stores.split_first() else {
        return Chained::Unreadable(Vec::new());
    };
    let mut read = Line::new(first);
    for (supplement, one) in supplements.iter().zip(&line[1..]) {
        if let Err(problems) = read.add(supplement, Problems::default()) {
            let mut reasons = sentences(&problems);
            if *one != at {
                reasons.insert(0, format!("{} before it can't be read", given[*one].name));
            }
            return Chained::Unreadable(reasons);
        }
    }
    let before = line.iter().take(line.len() - 1).map(|one| given[*one].name.clone()).collect();
    let Some(last) = read.supplements().last() else { return Chained::Unreadable(Vec::new()) };
    Chained::Follows(Follows {
        before,
        errata: last.errata.len(),
        rows: last.row_count(),
        papers: last.papers.len(),
    })
}

/// A bundle is called as its records say, or else as its file or folder is.
fn given(one: &One<'_>) -> Given {
    let stated = match one.supplement {
        Some(Chained::Stated(stated)) => Some(stated),
        _ => None,
    };
    let name = stated.map(|stated| stated.about.name.clone()).unwrap_or_else(|| {
        let project = records::read(&Kept::new(one.bundle), Problems::default()).ok();
        let closeout = project.and_then(|project| project.docking.closeout);
        let own = if one.at.is_dir() { one.at.file_name() } else { one.at.file_stem() };
        closeout.map_or_else(
            || own.unwrap_or_default().to_string_lossy().into_owned(),
            |closeout| closeout.bundle_name,
        )
    });
    let supplements = stated.map(|stated| [stated.parent.clone(), stated.first.clone()]);
    // One that can't be read supplements nothing, but is no bundle either.
    let seal = one.seal.filter(|_| stated.is_some() || one.supplement.is_none()).map(String::from);
    Given { name, seal, supplements }
}

/// What was not done with rows of records.
pub const NOT_EXAMINED: &str =
    "its rows can be read as records; what they say was not recomputed or compared";

/// How much a supplement brings, in words.
pub fn brings(errata: usize, rows: usize, papers: usize) -> String {
    [
        count(errata, "erratum", "errata"),
        count(rows, "row of records", "rows of records"),
        count(papers, "paper", "papers"),
    ]
    .join(", ")
}

/// What a supplement says that it supplements, before anything is held against it.
pub fn render_parents(stated: &Stated) -> Page {
    let mut out = Page::new();
    out.note("supplement", &stated.about.about);
    out.detail(&format!(
        "by {}, {}, to {}, whose seal is",
        stated.about.made_by, stated.about.made_on, stated.parent.name
    ));
    out.detail(&in_fours(&stated.parent.seal));
    out
}

fn sentences(problems: &[Problem]) -> Vec<String> {
    let line =
        |problem: &Problem| problem.to_string().split_whitespace().collect::<Vec<_>>().join(" ");
    problems.iter().map(line).collect()
}
