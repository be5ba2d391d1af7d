//! Rules that changed from one version of the program to the next: which findings may come out otherwise
//! than a bundle says that an earlier version wrote, and why.
//!
//! A bundle is never written anew. So that a change of a rule is not taken for damage, each is told here,
//! once, and the program's version is raised with it.

use std::collections::BTreeMap;
use std::fmt;

use crate::records::Project;

/// A version of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Version(pub u32, pub u32, pub u32);

impl fmt::Display for Version {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}.{}", self.0, self.1, self.2)
    }
}

impl Version {
    /// The version at the end of a program's name as `findings.json` has it, such as `lastdock 0.1.0`.
    pub fn of_program(program: &str) -> Option<Self> {
        let mut parts = program.rsplit(' ').next()?.split('.').map(str::parse);
        let mut part = || parts.next()?.ok();
        let version = Self(part()?, part()?, part()?);
        parts.next().is_none().then_some(version)
    }
}

/// A change of a rule.
#[derive(Debug, PartialEq, Eq)]
pub struct RuleChange {
    /// The version that first computed by the new rule.
    pub since: Version,
    /// Ids of the findings that may come out otherwise, be gone, or be there anew; `*` stands for any
    /// characters, points among them.
    pub findings: &'static [&'static str],
    /// One plain sentence: what changed.
    pub what: &'static str,
}

/// Every change of a rule, the oldest first.
pub static CHANGES: &[RuleChange] = &[
    RuleChange {
        since: Version(0, 2, 0),
        findings: &[
            "coating.*.claim",
            "coating.*.order",
            "coating.*.paint",
            "coating.*.preparation.*",
            "coating.*.recoat.*",
            "coating.*.border.*",
        ],
        what: "Patches are steel that an earlier position hid and that stands free now, and litres are expected for \
               the steel that an application reached. Applications are named by zone, coat, extent and position, \
               or by an id of their own, no longer by their order in the file: an answer is found under that \
               name only.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &["coating.*.wet_film"],
        what: "Wet film is given to a tenth of a micrometre.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &["film.*.coat*"],
        what: "A gauge's correction for profile is taken off under SSPC-PA 2 and the 90/10 rule as under ISO 19840, \
               and mean film is given to a tenth of a micrometre.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &["film.gauge.*"],
        what: "A gauge whose name is that of a checked gauge but for capitals, signs or letters that look like digits \
               differs from the record; no check of it was recorded before.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &[
            "landing.*.knuckle",
            "landing.*.knuckle_load",
            "landing.*.knuckle_pressure",
            "landing.*.second_touch",
            "landing.*.gm",
            "landing.*.nil_gm",
            "landing.*.water_touched",
            "landing.*.water_landed",
        ],
        what: "Hog or sag counts where the keel touches, and she turns with her bow coming down about a knuckle \
               abaft the LCF and with her stern coming down about one forward of it.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &["landing.*.gap.*"],
        what: "Where no curve of buoyancy is recorded, water in the dock lifts her as she lay when she was landed, \
               and not at all where it does not reach her keel.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &["landing.*.check.centreline*"],
        what: "A check of the centreline is held against where she lay, no longer against the plan.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &[
            "plan.blocks.apart",
            "exposure.never_exposed",
            "openings.*.clearance",
            "openings.*.drain",
        ],
        what: "Where no position is recorded, or no block stands in one, nothing is said of caps, openings and \
               hidden bottom there; it counted as no fault before.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &["openings.plugs"],
        what: "Docking plugs none of which is recorded as drawn or refitted are not recorded; they counted as \
               refitted before.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &[
            "positions.*.station",
            "positions.*.offset",
            "positions.*.yaw",
            "positions.*.sighting.*",
            "positions.*.shift",
        ],
        what: "A single sighting that does not fit the others is set aside, and sightings of which it can't be told \
               which is mistaken prove nothing.",
    },
    RuleChange {
        since: Version(0, 2, 0),
        findings: &[
            "landing.*.check.*",
            "landing.*.gap.*",
            "landing.*.marks.*-*",
            "positions.*.sighting.*",
            "positions.*-*.shift",
        ],
        what: "Readings of one thing have ids by their sort, time, reader and value, more than three pairs of draft \
               marks by their x, and a shift by the names of its positions; they were numbered, and the shift \
               named, in the order of the file.",
    },
    RuleChange {
        since: Version(0, 3, 0),
        findings: &["landing.*.displacement"],
        what: "The first displacement that the drafts give is held against nothing, and there is no finding of it; \
               it counted as agreeing before.",
    },
    RuleChange {
        since: Version(0, 3, 0),
        findings: &["landing.*.knuckle"],
        what: "A divers' block check counts as contact where its figure is 0; one with a gap, or recorded in words \
               alone, counted as contact before.",
    },
    RuleChange {
        since: Version(0, 3, 0),
        findings: &["landing.*.water_events"],
        what: "A water log that names one event only, with nothing recorded to hold it against, is not recorded; it \
               counted as agreeing before.",
    },
    RuleChange {
        since: Version(0, 3, 0),
        findings: &["history.never_exposed", "history.*.reached"],
        what: "An earlier docking with a position in which no block is recorded is left out of what was never \
               exposed; it counted as one that hid nothing before.",
    },
    RuleChange {
        since: Version(0, 4, 0),
        findings: &["papers.*.shown"],
        what: "Whether the report can show the pictures that it is asked to show is a finding; before, the list of \
               papers alone said so. TIFF pictures are shown, and colours are those that a picture's profile means.",
    },
    RuleChange {
        since: Version(0, 7, 0),
        findings: &["coating.*.recoat.*", "coating.*.border.*"],
        what: "A coat over another across a flooding, with no wash or abrasion recorded after it, is beyond its limit \
               once the window has ended by time alone; it was not recorded before.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &[
            "landing.*.marks.*",
            "landing.*.displacement",
            "landing.weights.*",
            "landing.*.trim",
            "landing.*.list",
            "landing.*.gm",
            "landing.*.nil_gm",
            "landing.*.knuckle*",
            "landing.*.second_touch",
            "landing.*.water_touched",
            "landing.*.water_landed",
            "landing.*.loads.*",
            "landing.*.gap.*",
            "landing.*.lift-off.*",
        ],
        what: "Where the list comes from draft marks that stand closer athwart than those of a place, readings of that \
               place may differ from it by so many times more before one of them is set aside, and what rests on the \
               drafts may come out otherwise.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &["landing.*.lift-off.list"],
        what: "The list at lift-off may differ from the one predicted by as much as marks read to 10 mm can put the two \
               lists off, where they stand so close athwart that this is more than the tolerance.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &["landing.*.knuckle"],
        what: "Contact found by divers at a block that by the tops is touched as good as first, within the tolerance of a \
               block's height, agrees with her touching at the other.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &["landing.*.second_touch"],
        what: "A block that stands over the line of the blocks by no more than twice the tolerance of a block's height, to \
               which blocks are built and read, is no hump.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &[
            "coating.entered_once",
            "coating.*.entered_twice",
            "coating.zone.*.blasted",
            "coating.zone.*.complete",
            "coating.*.claim",
            "coating.*.order",
            "coating.*.recoat.*",
            "coating.*.border.*",
            "coating.*.immersion.*",
            "film.*.time",
        ],
        what: "Blasting takes off the coats that were there, a coat over a later one of the scheme is out of order, and \
               one coat in two rows of one time lies not over itself; rows that seem to be one application are named, \
               film readings taken when a later coat was on too, and a treatment of steel only where it reached it.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &[
            "coating.*.product.*",
            "coating.*.latest_immersion.*",
            "coating.stripe.*",
            "coating.zone.*.stripe*",
            "coating.test.*",
            "plating.*.pits",
            "plating.instrument.*",
            "plating.repair.*",
        ],
        what: "Applications are held against the limits that their product states, stripe coats against the coats before and \
               after them, tests of the coating against the scheme, and repairs against the coats that \
               were finished before; pits and instruments have findings.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &["coating.*.preparation.*"],
        what: "A grade that can't be compared with the one wanted leaves open whether that was reached, even where other checks \
               reached it, unless the scheme accepts it; grades are told as they were written.",
    },
    RuleChange {
        since: Version(0, 8, 0),
        findings: &["records.*"],
        what: "Records are held against themselves: what stands twice, numbers that are not plausible, and places that can't \
               be meant have findings; nothing was said of them before.",
    },
];

/// What explains a finding that is about a plan now, whatever its id, and no other.
pub static PLANS_EXAMINED: RuleChange = RuleChange {
    since: Version(0, 7, 0),
    findings: &["*"],
    what: "Where a position is planned and nothing is recorded of where she lay, what is planned is examined, and its \
           findings say so; nothing was said of it before.",
};

/// The changes that explain why a finding comes out otherwise than in a bundle that `written_by` wrote; `as_planned` says
/// whether it is about a plan now. Where there are several, nothing tells which of them it was.
pub fn explaining(id: &str, written_by: Version, as_planned: bool) -> Vec<&'static RuleChange> {
    let mut changes = explaining_in(CHANGES, id, written_by);
    let examined = as_planned && written_by < PLANS_EXAMINED.since;
    changes.extend(examined.then_some(&PLANS_EXAMINED));
    changes
}

/// Ids of findings as an earlier version made them, by those of today, where they are others.
///
/// Before 0.2.0 an application was named by zone and coat, with `-2`, `-3` for further rows of the file.
pub fn former_ids<'a>(
    project: &Project,
    ids: impl Iterator<Item = &'a str>,
    written_by: Version,
) -> BTreeMap<&'a str, String> {
    if written_by >= Version(0, 2, 0) {
        return BTreeMap::new();
    }
    let mut rows: BTreeMap<(&str, i64), usize> = BTreeMap::new();
    let mut former: BTreeMap<&str, String> = BTreeMap::new();
    for coat in &project.coats {
        let row = rows.entry((coat.zone.as_str(), coat.coat)).or_insert(0);
        *row += 1;
        let number = if *row == 1 { String::new() } else { format!("-{row}") };
        former.insert(&coat.name, format!("{}.coat{}{number}", coat.zone, coat.coat));
    }
    let in_zone = |zone: &str, name: &str| {
        let lower = project.coats.iter().find(|c| c.zone == zone && c.name_in_zone() == name)?;
        former.get(lower.name.as_str())?.strip_prefix(zone)?.strip_prefix('.')
    };
    let then = |id: &str| -> Option<String> {
        let rest = id.strip_prefix("coating.")?;
        let upper = project
            .coats
            .iter()
            .filter(|coat| {
                rest.strip_prefix(coat.name.as_str()).is_some_and(|r| r.starts_with('.'))
            })
            .max_by_key(|coat| coat.name.len())?;
        let what = &rest[upper.name.len() + 1..];
        let what = match what.split_once('.') {
            Some(("recoat", lower)) => format!("recoat.{}", in_zone(&upper.zone, lower)?),
            Some(("border", lower)) => format!("border.{}", former.get(lower)?),
            _ => what.to_string(),
        };
        Some(format!("coating.{}.{what}", former.get(upper.name.as_str())?))
    };
    ids.filter_map(|id| Some((id, then(id)?))).filter(|(id, then)| id != then).collect()
}

fn explaining_in<'a>(
    changes: &'a [RuleChange],
    id: &str,
    written_by: Version,
) -> Vec<&'a RuleChange> {
    let explains = |change: &&RuleChange| {
        change.since > written_by && change.findings.iter().any(|pattern| matches(pattern, id))
    };
    changes.iter().filter(explains).collect()
}

/// Whether an id is of a pattern in which `*` stands for any characters.
fn matches(pattern: &str, id: &str) -> bool {
    let Some((start, rest)) = pattern.split_once('*') else { return pattern == id };
    let Some(mut left) = id.strip_prefix(start) else { return false };
    let mut parts = rest.split('*').peekable();
    while let Some(part) = parts.next() {
        if parts.peek().is_none() {
            return left.ends_with(part);
        }
        match left.find(part) {
            Some(at) => left = &left[at + part.len()..],
            None => return false,
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_version_of_a_program_is_read_from_its_name() {
        assert_eq!(Version::of_program("lastdock 0.1.0"), Some(Version(0, 1, 0)));
        for name in ["lastdock", "lastdock 0.1", "lastdock 0.1.0.2", "lastdock 0.1.x", ""] {
            assert_eq!(Version::of_program(name), None, "{name}");
        }
    }

    #[test]
    fn a_pattern_takes_any_characters_for_its_stars() {
        for (pattern, id, is) in [
            ("plan.blocks", "plan.blocks", true),
            ("plan.blocks", "plan.blocks.2", false),
            ("landing.*.trim", "landing.P1.trim", true),
            ("landing.*.trim", "landing.trim", false),
            ("landing.*.trim", "landing.P1.trim.aft", false),
            ("coating.*", "coating.B2.coat2-2.claim", true),
            ("*.claim", "coating.B2.coat2-2.claim", true),
            ("coating.*.coat*.claim", "coating.B2.coat2.claim", true),
            ("coating.*.coat*.claim", "coating.B2.claim", false),
            ("a*ab", "aab", true),
            ("a*ba*b", "abab", true),
            ("a*ba*b", "aab", false),
        ] {
            assert_eq!(matches(pattern, id), is, "{pattern} {id}");
        }
    }

    #[test]
    fn a_change_explains_what_an_earlier_version_wrote_and_nothing_else() {
        let changes = [RuleChange {
            since: Version(0, 2, 0),
            findings: &["landing.*.trim", "plan.x"],
            what: "Trim is over the blocks.",
        }];
        let explains = |id, version| !explaining_in(&changes, id, version).is_empty();
        assert!(explains("landing.P1.trim", Version(0, 1, 9)));
        assert!(explains("plan.x", Version(0, 1, 0)));
        assert!(!explains("landing.P1.list", Version(0, 1, 0)));
        assert!(!explains("landing.P1.trim", Version(0, 2, 0)));
        assert!(!explains("landing.P1.trim", Version(1, 0, 0)));
    }

    #[test]
    fn only_what_is_about_a_plan_now_is_explained_by_plans_being_examined() {
        let id = "openings.IN1.P2.clearance";
        assert_eq!(explaining(id, Version(0, 6, 0), true), [&PLANS_EXAMINED]);
        assert!(explaining(id, Version(0, 6, 0), false).is_empty());
        assert!(explaining(id, Version(0, 7, 0), true).is_empty());
    }

    /// The version of the program is raised with every change, and the table is in order.
    #[test]
    fn no_change_is_newer_than_the_program() {
        let own = Version::of_program(env!("CARGO_PKG_VERSION")).expect("three numbers");
        assert!(PLANS_EXAMINED.since <= own);
        assert!(CHANGES.is_sorted_by_key(|change| change.since));
        for change in CHANGES {
            assert!(change.since <= own, "{}", change.what);
            assert!(change.what.ends_with('.') && !change.findings.is_empty(), "{}", change.what);
        }
    }
}
