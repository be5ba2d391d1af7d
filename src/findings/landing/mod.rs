//! Landing: trim, list, knuckle, stability at the critical instant, water levels, checks.

pub mod checks;
pub mod crossings;
mod levels;
mod water;

use super::cause;
use super::finding::{Against, Figure, Finding};
use super::judge::{Limited, Side, agrees, beyond_limit, differs, incomplete, unchecked};
use super::recomputed::Recomputed;
use super::recomputed::landing::Landing;
use crate::calc::landing::{FIRST_TOUCH, INSTABILITY, LOSS_OF_GM, RELATIVE_TRIM, UPTHRUST};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::checks::LandingCheck;
use crate::records::drafts::Occasion;
use crate::records::hydrostatics;
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Measure, Text, id};

/// Every finding of the landing in every position.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found = Vec::new();
    for (number, position) in project.positions.iter().enumerate() {
        let landing = &recomputed.landings[number];
        let own = PositionFindings { project, recomputed, position, number, landing };
        if own.is_recorded() {
            let mut stability = own.limits();
            stability.push(own.knuckle());
            stability.push(own.second_touch());
            stability.push(own.nil_gm());
            let survey = recomputed.ship.survey(Some(number), Occasion::BeforeLanding);
            if project.hydrostatics.is_empty() && survey.is_some_and(|s| s.drafts.is_some()) {
                // The list is read from the marks alone, and the water's level may be missing besides.
                let needs_table =
                    stability.iter_mut().filter(|found| !matches!(found.subject, Subject::List(_)));
                let what = "no displacement or stability can be taken from it";
                cause::missing_table(needs_table, &hydrostatics::SPEC, what);
            }
            found.extend(stability);
            found.extend(own.water());
        }
        found.extend(own.dewatering());
        found.extend(own.gap_rate());
        found.extend(own.depths_at_gaps());
        found.extend(own.checks());
    }
    found.extend(crossings::findings(project, recomputed));
    found
}

/// The findings of the landing in one position.
struct PositionFindings<'a> {
    project: &'a Project,
    recomputed: &'a Recomputed,
    position: &'a Position,
    number: usize,
    landing: &'a Landing,
}

/// What a figure is worked out from.
#[derive(Clone, Copy)]
enum Needs {
    /// Marks read on both sides.
    List,
    /// The ship afloat and the line of the blocks.
    Touch,
    /// The critical instant beside these.
    Landed,
    /// The footprint of the knuckle's cap beside these.
    Pressure,
    /// KG beside the critical instant.
    Stability,
}

impl PositionFindings<'_> {
    /// Whether anything of a landing was written down; without, there is nothing to say.
    fn is_recorded(&self) -> bool {
        !self.project.hydrostatics.is_empty() || !self.project.drafts.is_empty()
    }

    fn drafts(&self) -> Vec<&Place> {
        self.recomputed
            .ship
            .survey(Some(self.number), Occasion::BeforeLanding)
            .map(|survey| {
                survey.readings.iter().map(|n| &self.project.drafts[n.row].place).collect()
            })
            .unwrap_or_default()
    }

    /// Why a figure of the landing could not be recomputed.
    fn why_missing(&self, needs: Needs) -> Text {
        let landing = self.landing;
        let survey = self.recomputed.ship.survey(Some(self.number), Occasion::BeforeLanding);
        let lies = self.recomputed.positions[self.number].lie.is_some();
        let listed = || survey.is_some_and(|survey| survey.drafts.is_some());
        let why = match needs {
            _ if survey.is_none() => "drafts before landing were not recorded",
            Needs::List if listed() => "before landing no mark was read on both sides",
            Needs::List => "the marks read before landing do not reach fore and aft",
            _ if landing.afloat.is_none() => "the drafts before landing give no displacement",
            _ if !lies => "where she lay was not recorded",
            _ if landing.line.is_none() => {
                "the tops of keel blocks in at least two places were not recorded"
            }
            Needs::Stability if landing.kg_m.is_none() => "neither KG nor GM was recorded",
            Needs::Pressure if landing.critical.is_some() => {
                "the hull does not lie over the knuckle block's cap"
            }
            _ => landing.never_landed.unwrap_or("she meets no keel block"),
        };
        why.into()
    }

    fn limits(&self) -> Vec<Finding> {
        let bounds = &self.project.docking.bounds;
        let landing = self.landing;
        let survey = self.recomputed.ship.survey(Some(self.number), Occasion::BeforeLanding);
        let limited = |about: fn(String) -> Subject,
                       name: &str,
                       what: &str,
                       value: Option<Measure>,
                       needs,
                       side| {
            Limited {
                subject: text!("the {} in {}", what, id(&self.position.id)),
                value: value.ok_or_else(|| self.why_missing(needs)),
                limit: bounds.limit(name).map(|limit| (limit.into(), side)),
            }
            .finding(about(self.position.id.clone()))
            .from(self.drafts())
        };
        vec![
            limited(
                Subject::Trim,
                "trim",
                "trim before landing, relative to the line of the blocks,",
                landing.relative_trim(&self.position.id),
                Needs::Touch,
                Side::EitherWay,
            )
            .by(&RELATIVE_TRIM),
            limited(
                Subject::List,
                "list",
                "list before landing",
                survey.and_then(|survey| survey.list(self.project)),
                Needs::List,
                Side::EitherWay,
            )
            .by(&crate::calc::drafts::CARRY),
            limited(
                Subject::LeastGm,
                "gm",
                "least GM at the critical instant",
                landing.least_gm(&self.position.id),
                Needs::Stability,
                Side::AtLeast,
            )
            .by(&LOSS_OF_GM),
            limited(
                Subject::KnuckleLoad,
                "knuckle_load",
                "load on the knuckle block at the critical instant",
                landing.upthrust(&self.position.id),
                Needs::Landed,
                Side::AtMost,
            )
            .by(&UPTHRUST),
            self.knuckle_pressure(),
        ]
    }

    fn knuckle_pressure(&self) -> Finding {
        let landing = self.landing;
        let knuckle = landing.touch.map(|touch| &self.project.blocks[landing.seats[touch.seat].0]);
        let own = knuckle.and_then(|block| {
            Some(Against::limit(
                "bearing_limit",
                Figure::pressure(block.bearing_limit_kpa?),
                format!("the block plan, {}", block.place),
            ))
        });
        let general = self.project.docking.bounds.limit("bearing_pressure");
        let position = id(&self.position.id);
        Limited {
            subject: match knuckle {
                Some(block) => text!(
                    "the pressure on {}, which bears the whole upthrust at the critical instant in {},",
                    id(&block.id),
                    position
                ),
                None => text!("the pressure on the knuckle block in {}", position),
            },
            value: landing
                .knuckle_pressure(&self.position.id)
                .ok_or_else(|| self.why_missing(Needs::Pressure)),
            limit: own.or(general.map(Against::from)).map(|limit| (limit, Side::AtMost)),
        }
        .finding(Subject::KnucklePressure(self.position.id.clone()))
        .by(&UPTHRUST)
        .from(self.drafts())
        .from(knuckle.map(|block| &block.place))
    }

    /// The knuckle block against the blocks that divers checked.
    fn knuckle(&self) -> Finding {
        let position = id(&self.position.id);
        let landing = self.landing;
        let found = landing.touch.map(|touch| &self.project.blocks[landing.seats[touch.seat].0]);
        let mut contacts: Vec<&LandingCheck> = self
            .project
            .checks
            .iter()
            .filter(|check| check.position == self.position.id && check.check == "diver-contact")
            .filter(|check| check.block.is_some())
            .collect();
        contacts.sort_by_key(|check| (check.at, &check.block));
        // A gap is no contact, and what was written in words alone is left to the reader.
        let touching: Vec<&str> = contacts
            .iter()
            .filter(|check| check.recorded_m == Some(0.0))
            .filter_map(|check| check.block.as_deref())
            .collect();
        let at_once = |block: &&str| self.touches_at_once(block);
        let judgement = match found {
            None => unchecked(
                text!("the knuckle block in {}", position),
                self.why_missing(Needs::Touch),
            ),
            Some(block) => {
                let mut own =
                    contacts.iter().filter(|check| check.block.as_ref() == Some(&block.id));
                let checked = own.clone().next().is_some();
                let gap = own.find_map(|check| check.recorded_m);
                let touched = text!("She touched first at {} in {}", id(&block.id), position);
                let should =
                    text!("She should have touched first at {} in {}", id(&block.id), position);
                // Blocks that by their tops bear as good as at once, within what those are levelled to.
                let with_it: Vec<&str> = touching.iter().copied().filter(at_once).collect();
                if touching.contains(&block.id.as_str()) {
                    agrees(text!("{}, where a divers' block check found contact.", touched))
                } else if !with_it.is_empty() {
                    agrees(text!(
                        "{}, or at {}, where a divers' block check found contact: their levels tell no more.",
                        touched,
                        with_it.join(", ")
                    ))
                } else if let Some(gap_m) = gap {
                    differs(text!(
                        "{}, where a divers' block check found a gap of {}.",
                        should,
                        Figure::length(gap_m)
                    ))
                } else if checked {
                    incomplete(text!(
                        "{}; the divers' block check there is recorded in words alone, without a \
                         figure to compare (0 for contact).",
                        touched
                    ))
                } else if touching.is_empty() {
                    incomplete(text!("{}; no divers' block check there was recorded.", touched))
                } else {
                    differs(text!(
                        "{}; divers' block checks found contact at {}.",
                        should,
                        touching.join(", ")
                    ))
                }
            }
        };
        judgement
            .finding(Subject::Knuckle(self.position.id.clone()))
            .recorded((!touching.is_empty()).then(|| Figure::words(touching.join(", "))))
            .recomputed(found.map(|block| Figure::words(block.id.clone())))
            .by(&FIRST_TOUCH)
            .from(contacts.iter().map(|check| &check.place))
            .from(self.drafts())
    }

    /// Whether a block would be touched when she touches first, but for what tops are levelled to.
    fn touches_at_once(&self, block: &str) -> bool {
        let landing = self.landing;
        let tolerance = self.project.docking.bounds.tolerance("block_height");
        let (Some(touch), Some(afloat), Some(tolerance)) =
            (landing.touch, landing.afloat.as_ref(), tolerance)
        else {
            return false;
        };
        let seats = landing.seats.iter().filter(|(n, _)| self.project.blocks[*n].id == block);
        let mut sooner_m =
            seats.map(|(_, seat)| touch.water_level_m - (seat.level_m + afloat.draft_m(seat.x_m)));
        sooner_m.any(|later_m| later_m <= tolerance.value)
    }

    /// Where the keel touches second. A second touch far along the keel on the knuckle's own side would
    /// mean a hump in the line of the blocks, on which she would pivot again, unless it stands over that line by no more
    /// than blocks are built and read to.
    fn second_touch(&self) -> Finding {
        let position = id(&self.position.id);
        let landing = self.landing;
        let afloat = landing.afloat.as_ref();
        let second = landing.second.map(|second| (landing.seats[second.seat], second));
        let judgement = match (second, landing.touch, afloat) {
            (Some(((block, seat), second)), Some(touch), Some(afloat)) => {
                let knuckle = landing.seats[touch.seat].1;
                let quarter = afloat.perpendiculars.length_m() / 4.0;
                let lcf = afloat.row().map_or(seat.x_m, |row| row.lcf_x_m);
                let away = (seat.x_m - knuckle.x_m).abs();
                let same_side = (seat.x_m - lcf) * (knuckle.x_m - lcf) > 0.0;
                // By how much the block stands over the line of the blocks from the knuckle on, as she turns.
                let over_m = second.left_m.abs() * away / afloat.perpendiculars.length_m();
                // Blocks are built to within that tolerance, and their tops read to within it.
                let tolerance = self.project.docking.bounds.tolerance("block_height");
                let is_level = tolerance.is_some_and(|tolerance| over_m <= 2.0 * tolerance.value);
                let hump = same_side && away > quarter && !is_level;
                let consequence = if hump {
                    ", a hump in the line of the blocks on which she pivots again"
                } else {
                    ""
                };
                let trim = if second.left_m < 0.0 {
                    "past the line of the blocks"
                } else {
                    "left over the line of the blocks"
                };
                let sentence = text!(
                    "She touches second at {} in {}, {} from the knuckle, with {} of trim {}{}.",
                    self.project.blocks[block].id,
                    position,
                    Figure::length(away),
                    Figure::length(second.left_m.abs()),
                    trim,
                    consequence
                );
                if hump { beyond_limit(sentence) } else { agrees(sentence) }
            }
            (None, Some(_), Some(_)) => incomplete(text!(
                "Turning about the knuckle in {}, she meets no other block.",
                position
            )),
            _ => {
                unchecked(text!("the second touch in {}", position), self.why_missing(Needs::Touch))
            }
        };
        judgement
            .finding(Subject::SecondTouch(self.position.id.clone()))
            .recomputed(
                second.map(|((block, _), _)| Figure::words(self.project.blocks[block].id.clone())),
            )
            .against(Against::limit(
                "hump",
                Figure::words("within a quarter of the length of the knuckle, or beyond the LCF"),
                "so that one knuckle serves until she is landed (our choice)",
            ))
            .by(&FIRST_TOUCH)
            .from(self.drafts())
    }

    /// How much deeper she is landed than the draft at instability.
    fn nil_gm(&self) -> Finding {
        let position = id(&self.position.id);
        let landing = self.landing;
        let margin = landing.margin(&self.position.id);
        let subject = text!("the draft at instability in {}", position);
        let judgement = match margin {
            Some(margin) if margin.kept > 0.0 => agrees(text!(
                "Landed fore and aft in {}, she draws {} more than the draft at instability, at which GM would \
                 be nil.",
                position,
                margin
            )),
            Some(margin) => beyond_limit(text!(
                "Landed fore and aft in {}, she would draw {} less than the draft at instability, at which GM \
                 would be nil.",
                position,
                Figure::length(-margin.kept)
            )),
            None if landing.curve.first().zip(landing.kg_m).is_some_and(|(m, kg)| m.km_m <= kg) => {
                beyond_limit(text!("GM is nil or less in {} before she touches.", position))
            }
            None if landing.critical.is_some() && landing.kg_m.is_some() => {
                unchecked(subject, "it lies outside the hydrostatic table")
            }
            None => unchecked(subject, self.why_missing(Needs::Stability)),
        };
        judgement
            .finding(Subject::NilGm(self.position.id.clone()))
            .recomputed(margin.map(Figure::Measure))
            .against(Against::limit(
                "nil_gm",
                Figure::words("landed before GM is nil"),
                "a ship without GM falls over (common practice, no source)",
            ))
            .by(&INSTABILITY)
            .from(self.drafts())
    }
}
