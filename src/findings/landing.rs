//! Landing: trim, list, knuckle, stability at the critical instant, water levels, checks.

use chrono::{DateTime, FixedOffset};

use super::drafts::mass;
use super::finding::{Against, Figure, Finding, Outcome, within};
use super::recomputed::Recomputed;
use super::recomputed::landing::{Landing, water_level_at};
use crate::calc::dewatering;
use crate::calc::formula::Formula;
use crate::calc::landing::{FIRST_TOUCH, LOSS_OF_GM, NIL_GM, RELATIVE_TRIM, UPTHRUST};
use crate::records::Project;
use crate::records::bounds::{Bound, Sort};
use crate::records::checks::LandingCheck;
use crate::records::drafts::Occasion;
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::units::Quantity;

/// Every finding of the landing in every position.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found = Vec::new();
    for (number, position) in project.positions.iter().enumerate() {
        let landing = &recomputed.landings[number];
        let one = One { project, recomputed, position, number, landing };
        if one.is_recorded() {
            found.extend(one.limits());
            found.push(one.knuckle());
            found.push(one.second_touch());
            found.push(one.nil_gm());
            found.extend(one.water());
        }
        found.extend(one.dewatering());
        found.extend(one.checks());
    }
    found
}

/// One position.
struct One<'a> {
    project: &'a Project,
    recomputed: &'a Recomputed,
    position: &'a Position,
    number: usize,
    landing: &'a Landing,
}

impl One<'_> {
    /// Whether anything of a landing was written down; without, there is nothing to say.
    fn is_recorded(&self) -> bool {
        !self.project.hydrostatics.is_empty() || !self.project.drafts.is_empty()
    }

    fn id(&self, what: &str) -> String {
        format!("landing.{}.{what}", self.position.id)
    }

    fn drafts(&self) -> Vec<&Place> {
        self.recomputed
            .ship
            .survey(Some(self.number), Occasion::BeforeLanding)
            .map(|survey| survey.readings.iter().map(|n| &self.project.drafts[*n].place).collect())
            .unwrap_or_default()
    }

    /// Why the landing could not be recomputed.
    fn missing(&self) -> String {
        let survey = self.recomputed.ship.survey(Some(self.number), Occasion::BeforeLanding);
        let why = if survey.is_none() {
            "drafts before landing were not recorded"
        } else if survey.is_some_and(|survey| survey.displacement.is_none()) {
            "the drafts before landing give no displacement"
        } else if self.landing.line.is_none() {
            "the tops of at least two keel blocks were not recorded, or where she lay was not"
        } else if self.landing.kg_m.is_none() {
            "neither KG nor GM was recorded"
        } else {
            "the hydrostatic table ends before she is landed"
        };
        format!("can't be recomputed: {why}")
    }

    /// A figure against a limit that it must not pass.
    fn held(
        &self,
        what: &str,
        words: &str,
        value: Option<f64>,
        figure: fn(f64) -> Figure,
        limit: Option<&Bound>,
        formula: &'static Formula,
        least: bool,
    ) -> Finding {
        let id = &self.position.id;
        let (sentence, outcome) = match (value, limit) {
            (None, _) => (format!("The {words} in {id} {}.", self.missing()), Outcome::NotRecorded),
            (Some(value), None) => (
                format!("The {words} in {id} was {}; its limit was not recorded.", figure(value)),
                Outcome::NotRecorded,
            ),
            (Some(value), Some(limit)) => {
                let passed = if least {
                    value < limit.value - 1e-9
                } else {
                    value.abs() > limit.value + 1e-9
                };
                let outcome = if passed { Outcome::BeyondLimit } else { Outcome::Agrees };
                (format!("The {words} in {id} was {}.", figure(value)), outcome)
            }
        };
        let finding = Finding::new(self.id(what), sentence, outcome)
            .recomputed(value.map(figure))
            .by(formula)
            .from(self.drafts());
        match limit {
            Some(limit) => finding.against(limit),
            None => finding,
        }
    }

    fn limits(&self) -> Vec<Finding> {
        let bounds = &self.project.docking.bounds;
        let landing = self.landing;
        let survey = self.recomputed.ship.survey(Some(self.number), Occasion::BeforeLanding);
        let list = survey.and_then(|survey| survey.drafts.as_ref()?.list_deg);
        let gm = landing
            .critical
            .zip(landing.kg_m)
            .zip(landing.afloat.as_ref())
            .map(|((critical, kg), afloat)| critical.least_gm_m(kg, afloat.displacement_t));
        let upthrust = landing.critical.map(|critical| critical.upthrust_t);
        let mut found = vec![
            self.held(
                "trim",
                "trim before landing, relative to the line of the blocks,",
                landing.relative_trim_m,
                Figure::length,
                bounds.limit("trim"),
                &RELATIVE_TRIM,
                false,
            ),
            self.held(
                "list",
                "list before landing",
                list,
                Figure::angle,
                bounds.limit("list"),
                &crate::calc::drafts::CARRY,
                false,
            ),
            self.held(
                "gm",
                "least GM at the critical instant",
                gm,
                Figure::length,
                bounds.limit("gm"),
                &LOSS_OF_GM,
                true,
            ),
            self.held(
                "knuckle_load",
                "load on the knuckle at the critical instant",
                upthrust,
                mass,
                bounds.limit("knuckle_load"),
                &UPTHRUST,
                false,
            ),
        ];
        found.push(self.knuckle_pressure());
        found
    }

    fn knuckle_pressure(&self) -> Finding {
        let landing = self.landing;
        let knuckle = landing.touch.map(|touch| &self.project.blocks[landing.seats[touch.seat].0]);
        let limit = self.project.docking.bounds.limit("bearing_pressure");
        let own = knuckle.and_then(|block| Some((block, block.bearing_limit_kpa?)));
        let against = match own {
            Some((block, kpa)) => Some(Against {
                sort: Sort::Limit,
                name: "bearing_limit".to_string(),
                value: pressure(kpa),
                source: format!("the block plan, {}", block.place),
            }),
            None => limit.map(Against::from),
        };
        let most = own.map(|(_, kpa)| kpa).or(limit.map(|limit| limit.value));
        let id = &self.position.id;
        let (sentence, outcome) = match (landing.knuckle_pressure_kpa, knuckle, most) {
            (Some(kpa), Some(block), Some(most)) => {
                let outcome =
                    if kpa > most + 1e-6 { Outcome::BeyondLimit } else { Outcome::Agrees };
                (
                    format!(
                        "At the critical instant in {id} the whole upthrust on {} alone presses with {}.",
                        block.id,
                        pressure(kpa)
                    ),
                    outcome,
                )
            }
            (Some(kpa), Some(block), None) => (
                format!(
                    "At the critical instant in {id} {} is pressed with {}; its limit was not recorded.",
                    block.id,
                    pressure(kpa)
                ),
                Outcome::NotRecorded,
            ),
            _ => (
                format!("The pressure on the knuckle in {id} {}.", self.missing()),
                Outcome::NotRecorded,
            ),
        };
        let finding = Finding::new(self.id("knuckle_pressure"), sentence, outcome)
            .recomputed(landing.knuckle_pressure_kpa.map(pressure))
            .by(&UPTHRUST)
            .from(self.drafts())
            .from(knuckle.map(|block| &block.place));
        match against {
            Some(against) => finding.against(against),
            None => finding,
        }
    }

    /// The knuckle found against where the divers found contact first.
    fn knuckle(&self) -> Finding {
        let id = &self.position.id;
        let landing = self.landing;
        let found = landing.touch.map(|touch| &self.project.blocks[landing.seats[touch.seat].0]);
        let contacts: Vec<&LandingCheck> = self
            .project
            .checks
            .iter()
            .filter(|check| check.position == *id && check.check == "diver-contact")
            .filter(|check| check.block.is_some())
            .collect();
        let named: Vec<&str> = contacts.iter().filter_map(|check| check.block.as_deref()).collect();
        let (sentence, outcome) = match found {
            None => (format!("The knuckle in {id} {}.", self.missing()), Outcome::NotRecorded),
            Some(block) if contacts.is_empty() => (
                format!(
                    "She touched first at {} in {id}; no diver's contact was recorded.",
                    block.id
                ),
                Outcome::NotRecorded,
            ),
            Some(block) if named.contains(&block.id.as_str()) => (
                format!("She touched first at {} in {id}, where divers found contact.", block.id),
                Outcome::Agrees,
            ),
            Some(block) => (
                format!(
                    "She should have touched first at {} in {id}; divers found contact at {}.",
                    block.id,
                    named.join(", ")
                ),
                Outcome::Differs,
            ),
        };
        Finding::new(self.id("knuckle"), sentence, outcome)
            .recorded((!named.is_empty()).then(|| Figure::words(named.join(", "))))
            .recomputed(found.map(|block| Figure::words(block.id.clone())))
            .by(&FIRST_TOUCH)
            .from(contacts.iter().map(|check| &check.place))
            .from(self.drafts())
    }

    /// Where the keel touches second. A second touch far along the keel on the knuckle's own side would
    /// mean a hump in the line of the blocks, on which she would pivot again.
    fn second_touch(&self) -> Finding {
        let id = &self.position.id;
        let landing = self.landing;
        let afloat = landing.afloat.as_ref();
        let second = landing.second.map(|(seat, trim)| (landing.seats[seat], trim));
        let (sentence, outcome) = match (second, landing.touch, afloat) {
            (Some(((block, seat), trim)), Some(touch), Some(afloat)) => {
                let knuckle = landing.seats[touch.seat].1;
                let quarter = afloat.perpendiculars.length_m() / 4.0;
                let lcf = afloat.row().map_or(seat.x_m, |row| row.lcf_x_m);
                let away = (seat.x_m - knuckle.x_m).abs();
                let same_side = (seat.x_m - lcf) * (knuckle.x_m - lcf) > 0.0;
                let hump = same_side && away > quarter;
                let words = if hump {
                    ", a hump in the line of the blocks on which she pivots again"
                } else {
                    ""
                };
                let sentence = format!(
                    "She touches second at {}, {} from the knuckle, with {} of trim left in {id}{words}.",
                    self.project.blocks[block].id,
                    Figure::length(away),
                    Figure::length(trim.abs())
                );
                (sentence, if hump { Outcome::BeyondLimit } else { Outcome::Agrees })
            }
            (None, Some(_), Some(_)) => (
                format!("Turning about the knuckle in {id}, she meets no other block."),
                Outcome::NotRecorded,
            ),
            _ => (format!("The second touch in {id} {}.", self.missing()), Outcome::NotRecorded),
        };
        Finding::new(self.id("second_touch"), sentence, outcome)
            .recomputed(
                second.map(|((block, _), _)| Figure::words(self.project.blocks[block].id.clone())),
            )
            .against(Against {
                sort: Sort::Limit,
                name: "hump".to_string(),
                value: Figure::words(
                    "within a quarter of the length of the knuckle, or beyond the LCF",
                ),
                source: "so that one knuckle serves until she is landed (our choice)".to_string(),
            })
            .by(&FIRST_TOUCH)
            .from(self.drafts())
    }

    /// How much deeper she is landed than the draft at which GM would be nil.
    fn nil_gm(&self) -> Finding {
        let id = &self.position.id;
        let landing = self.landing;
        let margin = landing
            .critical
            .zip(landing.nil_gm_draft_m)
            .map(|(critical, nil)| critical.draft_at_lcf_m - nil);
        let (sentence, outcome) = match margin {
            Some(margin) if margin > 0.0 => (
                format!(
                    "She is landed fore and aft in {id} {} before the draft at which GM would be nil.",
                    Figure::length(margin)
                ),
                Outcome::Agrees,
            ),
            Some(margin) => (
                format!(
                    "GM would be nil {} before she is landed fore and aft in {id}.",
                    Figure::length(-margin)
                ),
                Outcome::BeyondLimit,
            ),
            None if landing.critical.is_some() && landing.kg_m.is_some() => (
                format!(
                    "The draft at which GM would be nil in {id} lies outside the hydrostatic table."
                ),
                Outcome::NotRecorded,
            ),
            None => (
                format!("The draft at which GM would be nil in {id} {}.", self.missing()),
                Outcome::NotRecorded,
            ),
        };
        Finding::new(self.id("nil_gm"), sentence, outcome)
            .recomputed(margin.map(Figure::length))
            .against(Against {
                sort: Sort::Limit,
                name: "nil_gm".to_string(),
                value: Figure::words("landed before GM is nil"),
                source: "a ship without GM falls over (common practice, no source)".to_string(),
            })
            .by(&NIL_GM)
            .from(self.drafts())
    }

    /// The log's level at the recorded times against the recomputed one, at first touch and when landed.
    fn water(&self) -> Vec<Finding> {
        let Some(tolerance) = self.project.docking.bounds.tolerance("water_level") else {
            return Vec::new();
        };
        let landing = self.landing;
        let times = &self.position.times;
        let rows = [
            (
                "touched",
                "first touch",
                times.touched,
                landing.touch.map(|touch| touch.water_level_m),
            ),
            (
                "landed",
                "landing fore and aft",
                times.landed,
                landing.critical.map(|critical| critical.water_level_m),
            ),
        ];
        let id = &self.position.id;
        rows.into_iter()
            .map(|(what, words, at, computed)| {
                let logged = at.and_then(|at| water_level_at(self.project, id, at));
                let (sentence, outcome) = match (logged, computed) {
                    (Some(l), Some(c)) => match within(l, c, tolerance.value) {
                        Outcome::Agrees => (
                            format!("The water stood at {words} in {id} where the drafts put it."),
                            Outcome::Agrees,
                        ),
                        other => (
                            format!(
                                "The water stood at {words} in {id} {} from where the drafts put it.",
                                Figure::length((l - c).abs())
                            ),
                            other,
                        ),
                    },
                    (None, _) if at.is_none() => {
                        (format!("The time of {words} in {id} was not recorded."), Outcome::NotRecorded)
                    }
                    (None, _) => (
                        format!("The water log of {id} does not reach the time of {words}."),
                        Outcome::NotRecorded,
                    ),
                    (_, None) => {
                        (format!("The water level at {words} in {id} {}.", self.missing()), Outcome::NotRecorded)
                    }
                };
                Finding::new(self.id(&format!("water_{what}")), sentence, outcome)
                    .recorded(logged.map(Figure::length))
                    .recomputed(computed.map(Figure::length))
                    .against(tolerance)
                    .by(&FIRST_TOUCH)
                    .from([&self.position.place])
                    .from(self.drafts())
            })
            .collect()
    }

    /// The rate between first touch and landed against its limit, and the order of the log's events.
    fn dewatering(&self) -> Vec<Finding> {
        let id = &self.position.id;
        let log: Vec<_> = self.project.water.iter().filter(|water| water.position == *id).collect();
        if log.is_empty() {
            return Vec::new();
        }
        let mut found = Vec::new();
        let limit = self.project.docking.bounds.limit("dewatering_rate");
        let times = &self.position.times;
        let start = log.iter().map(|water| water.at).min().unwrap_or(log[0].at);
        let hours = |at: DateTime<FixedOffset>| (at - start).num_seconds() as f64 / 3600.0;
        let mut readings: Vec<dewatering::Reading> =
            log.iter().map(|water| (hours(water.at), water.level_m)).collect();
        readings.sort_by(|a, b| a.0.total_cmp(&b.0));
        let end = times.dry.or(times.landed).map_or(f64::INFINITY, |end| hours(end) + 1e-6);
        let rate = dewatering::fastest_fall_m_per_h(&readings, f64::NEG_INFINITY, end);
        let figure = |value: f64| Figure::Measure { value, quantity: Quantity::LevelRate };
        let (sentence, outcome) = match (rate, limit) {
            (None, _) => (
                format!(
                    "The log of {id} has no readings between first touch and landing to give a rate."
                ),
                Outcome::NotRecorded,
            ),
            (Some(rate), None) => (
                format!(
                    "The water fell at {} at most in {id}; the limit was not recorded.",
                    figure(rate)
                ),
                Outcome::NotRecorded,
            ),
            (Some(rate), Some(limit)) => (
                format!("The water fell at {} at most in {id}.", figure(rate)),
                if rate > limit.value + 1e-9 { Outcome::BeyondLimit } else { Outcome::Agrees },
            ),
        };
        let finding = Finding::new(self.id("dewatering_rate"), sentence, outcome)
            .recomputed(rate.map(figure))
            .by(&dewatering::RATE)
            .from(log.iter().take(1).map(|water| &water.place));
        found.push(match limit {
            Some(limit) => finding.against(limit),
            None => finding,
        });
        found.push(self.events(&log));
        found
    }

    /// The log's events must follow each other, and fit the times of the position.
    fn events(&self, log: &[&crate::records::water::WaterLevel]) -> Finding {
        const MINUTES: i64 = 10;
        let id = &self.position.id;
        let times = &self.position.times;
        let mut faults = Vec::new();
        for pair in log.windows(2).filter(|pair| pair[1].at < pair[0].at) {
            faults.push(format!("{} stands after {} and is earlier", pair[1].place, pair[0].place));
        }
        let recorded = |event: &str| match event {
            "flooding-began" => times.flooding_began,
            "first-touch" => times.touched,
            "landed" => times.landed,
            "dry" => times.dry,
            "reflood-began" => times.reflood_began,
            "afloat" => times.afloat,
            _ => None,
        };
        for water in log {
            let Some(event) = water.event.as_deref() else { continue };
            if let Some(time) = recorded(event)
                && (water.at - time).num_minutes().abs() > MINUTES
            {
                faults.push(format!(
                    "{event} stands in the log at {} and among the times at {time}",
                    water.at
                ));
            }
        }
        let order = [
            "flooding-began",
            "pumping-began",
            "first-touch",
            "landed",
            "dry",
            "reflood-began",
            "lift-off",
            "afloat",
        ];
        let at = |event: &str| {
            log.iter().filter(|w| w.event.as_deref() == Some(event)).map(|w| w.at).min()
        };
        let known: Vec<(&str, DateTime<FixedOffset>)> =
            order.iter().filter_map(|event| Some((*event, at(event)?))).collect();
        for pair in known.windows(2).filter(|pair| pair[1].1 < pair[0].1) {
            faults.push(format!("{} is before {}", pair[1].0, pair[0].0));
        }
        let (sentence, outcome) = if !faults.is_empty() {
            (
                format!("The water log of {id} can't be true: {}.", faults.join("; ")),
                Outcome::Differs,
            )
        } else if known.is_empty() {
            (format!("The water log of {id} names no event."), Outcome::NotRecorded)
        } else {
            (
                format!("The events of the water log of {id} follow each other and fit its times."),
                Outcome::Agrees,
            )
        };
        Finding::new(self.id("water_events"), sentence, outcome)
            .against(Against {
                sort: Sort::Tolerance,
                name: "log_interval".to_string(),
                value: Figure::words("10 min"),
                source:
                    "the interval at which a dewatering log is read (common practice, no source)"
                        .to_string(),
            })
            .from([&self.position.place])
            .from(log.iter().filter(|water| water.event.is_some()).map(|water| &water.place))
    }

    /// Each landing check, planned against found.
    fn checks(&self) -> Vec<Finding> {
        let id = &self.position.id;
        let checks: Vec<&LandingCheck> =
            self.project.checks.iter().filter(|check| check.position == *id).collect();
        let mut seen: Vec<String> = Vec::new();
        checks
            .iter()
            .map(|check| {
                let of = check.block.as_ref().map(|block| format!(".{block}")).unwrap_or_default();
                let name = format!("check.{}{of}", check.check);
                let again = seen.iter().filter(|other| **other == name).count();
                seen.push(name.clone());
                let number = if again == 0 { String::new() } else { format!(".{}", again + 1) };
                self.check(check, &format!("{name}{number}"))
            })
            .collect()
    }

    fn check(&self, check: &LandingCheck, name: &str) -> Finding {
        let id = &self.position.id;
        let bounds = &self.project.docking.bounds;
        let tolerance = bounds.tolerance("landing_check");
        let rise = bounds.limit("light_end_rise").filter(|_| check.check == "light-end-rise");
        let words = check.check.replace('-', " ");
        let at = check.block.as_ref().map(|block| format!(" at {block}")).unwrap_or_default();
        let stands = check.block.as_ref().is_none_or(|block| {
            self.project.blocks.iter().any(|known| known.id == *block && known.stands_in(id))
        });
        let folded = |text: &Option<String>| text.as_ref().map(|text| text.trim().to_lowercase());
        let (sentence, outcome) = if !stands {
            (
                format!("A {words} is recorded{at} in {id}, and that block did not stand there."),
                Outcome::Differs,
            )
        } else if let (Some(found), Some(rise)) = (check.recorded_m, rise) {
            let beyond = found.abs() > rise.value + 1e-9;
            (
                format!("The light end stood {} clear{at} in {id}.", Figure::length(found)),
                if beyond { Outcome::BeyondLimit } else { Outcome::Agrees },
            )
        } else if let (Some(planned), Some(found), Some(tolerance)) =
            (check.planned_m, check.recorded_m, tolerance)
        {
            match within(planned, found, tolerance.value) {
                Outcome::Agrees => {
                    (format!("The {words}{at} in {id} is as planned."), Outcome::Agrees)
                }
                other => (
                    format!(
                        "The {words}{at} in {id} is {} from what was planned.",
                        Figure::length((planned - found).abs())
                    ),
                    other,
                ),
            }
        } else if let Some(as_planned) = check.as_planned {
            if as_planned {
                (format!("The {words}{at} in {id} was found as planned."), Outcome::Agrees)
            } else {
                (format!("The {words}{at} in {id} was not found as planned."), Outcome::Differs)
            }
        } else {
            match (folded(&check.planned), folded(&check.recorded)) {
                (Some(planned), Some(found)) if planned == found => {
                    (format!("The {words}{at} in {id} is as planned."), Outcome::Agrees)
                }
                (Some(_), Some(_)) => (
                    format!(
                        "Whether the {words}{at} in {id} was as planned was not recorded, and the words \
                         for the two differ."
                    ),
                    Outcome::NotRecorded,
                ),
                (None, Some(_)) => (
                    format!("What was planned for the {words}{at} in {id} was not recorded."),
                    Outcome::NotRecorded,
                ),
                (_, None) => (
                    format!("What the {words}{at} in {id} found was not recorded."),
                    Outcome::NotRecorded,
                ),
            }
        };
        let text = |length: Option<f64>, words: &Option<String>| {
            length.map(Figure::length).or_else(|| words.clone().map(Figure::Words))
        };
        let finding = Finding::new(self.id(name), sentence, outcome)
            .recorded(text(check.recorded_m, &check.recorded))
            .recomputed(text(check.planned_m, &check.planned))
            .from([&check.place]);
        match (rise, tolerance.filter(|_| check.recorded_m.is_some())) {
            (Some(rise), _) => finding.against(rise),
            (None, Some(tolerance)) => finding.against(tolerance),
            (None, None) => finding,
        }
    }
}

fn pressure(value_kpa: f64) -> Figure {
    Figure::Measure { value: value_kpa, quantity: Quantity::Pressure }
}
