//! The water: levels at first touch and landing, rates, and the order of the log's events.

use chrono::{DateTime, FixedOffset};

use super::{Needs, PositionFindings};
use crate::calc::dewatering;
use crate::calc::landing::FIRST_TOUCH;
use crate::findings::finding::{Against, Figure, Finding, Outcome};
use crate::findings::judge::{Comparison, Facts, Limited, Side, incomplete, not_recorded};
use crate::findings::recomputed::stops::{self, Closing};
use crate::findings::recomputed::water::WaterLog;
use crate::findings::subject::{ByName, Subject};
use crate::records::bounds::Sort;
use crate::records::water::WaterLevel;
use crate::text;
use crate::text::Form;

impl PositionFindings<'_> {
    /// The log's level at the recorded times against the recomputed one, at first touch and when landed.
    pub(super) fn water(&self) -> Vec<Finding> {
        let Some(tolerance) = self.project.docking.bounds.tolerance("water_level") else {
            return Vec::new();
        };
        let landing = self.landing;
        let times = &self.position.times;
        let id = &self.position.id;
        let rows: [(ByName, _, _, _, _); 2] = [
            (
                Subject::WaterTouched,
                "first touch",
                times.touched,
                landing.level_touched(id),
                Needs::Touch,
            ),
            (
                Subject::WaterLanded,
                "landing fore and aft",
                times.landed,
                landing.level_landed(id),
                Needs::Landed,
            ),
        ];
        let log = WaterLog::new(self.project, id);
        rows.into_iter()
            .map(|(about, words, at, computed, needs)| {
                let logged = at.and_then(|at| log.level_at(at));
                Comparison {
                    subject: text!("the water level at {} in {}", words, text::id(id)),
                    recorded: logged.map(|kept| Form::Length.measure(kept)),
                    recomputed: computed,
                    source: text!("the one that the drafts give"),
                    why_not: self.why_missing(needs),
                    tolerance,
                }
                .finding(about(id.clone()))
                .by(&FIRST_TOUCH)
                .from([&self.position.place])
                .from(self.drafts())
                .from(at.map(|at| log.rows_at(at)).unwrap_or_default())
            })
            .collect()
    }

    /// The rate between first touch and landed against its limit, and the order of the log's events.
    pub(super) fn dewatering(&self) -> Vec<Finding> {
        let id = &self.position.id;
        let log: Vec<_> = self.project.water.iter().filter(|water| water.position == *id).collect();
        if log.is_empty() {
            return Vec::new();
        }
        let limit = self.project.docking.bounds.limit("dewatering_rate");
        let times = &self.position.times;
        let end = times.dry.or(times.landed);
        let rate = WaterLog::new(self.project, id).fastest_fall_m_per_h(None, end);
        let found = Limited {
            subject: text!("the fastest fall of the water in {}", text::id(id)),
            value: rate.map(|kept| Form::LevelRate.measure(kept)).ok_or_else(|| {
                text!("its log has too few readings between first touch and landing")
            }),
            limit: limit.map(|limit| (limit.into(), Side::AtMost)),
        }
        .finding(Subject::DewateringRate(id.clone()))
        .by(&dewatering::RATE);
        let found = match self.fastest_rows() {
            Some((rows, between)) if found.outcome == Outcome::BeyondLimit => {
                let mut sentence = found.sentence.clone();
                sentence.extend(text!(" That was {}.", between));
                Finding { sentence, ..found }.from(rows)
            }
            Some((rows, _)) => found.from(rows),
            None => found.from(log.iter().take(1).map(|water| &water.place)),
        };
        let mut all = vec![found, self.events(&log)];
        all.extend(self.way_of_the_water());
        all
    }

    /// The fastest closing of a gap against its limit, where one is stated.
    pub(super) fn gap_rate(&self) -> Option<Finding> {
        let id = &self.position.id;
        let general = self.project.docking.bounds.limit("gap_rate");
        let limit = |closing: &Closing| {
            let own = closing.limit_m_per_h.map(|rate| {
                let rate = Figure::Measure(Form::LevelRate.measure(rate));
                Against::limit("gap_rate", rate, "the planned stop, landing/stops.csv")
            });
            own.or_else(|| general.map(Against::from))
        };
        let all = stops::closing(self.project, id);
        // The one nearest to its own limit, or beyond it by most.
        let part = |closing: &Closing| {
            let limit = closing.limit_m_per_h.or(general.map(|limit| limit.value))?;
            Some(closing.rate_m_per_h / limit)
        };
        let judged = all.iter().filter_map(|closing| Some((closing, part(closing)?)));
        let (worst, _) = judged.max_by(|a, b| a.1.total_cmp(&b.1))?;
        let found = Limited {
            subject: text!(
                "the fastest closing of a gap, at {} in {},",
                text::id(&worst.to.block),
                text::id(id)
            ),
            value: Ok(Form::LevelRate.measure(worst.rate_m_per_h)),
            limit: limit(worst).map(|limit| (limit, Side::AtMost)),
        };
        let places = [&worst.from.place, &worst.to.place];
        Some(found.finding(Subject::GapRate(id.clone())).from(places))
    }

    /// The log's events must follow each other, and fit the times of the position.
    fn events(&self, log: &[&WaterLevel]) -> Finding {
        const MINUTES: i64 = 10;
        let id = &self.position.id;
        let times = &self.position.times;
        let mut faults = Vec::new();
        for pair in log.windows(2).filter(|pair| pair[1].at < pair[0].at) {
            faults.push(text!("{} stands after {} and is earlier", pair[1].place, pair[0].place));
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
                let logged = water.at;
                faults.push(
                    format!("{event} stands in the log at {logged} and among the times at {time}")
                        .into(),
                );
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
            faults.push(text!("{} is before {}", pair[1].0, pair[0].0));
        }
        let timed = known.iter().any(|(event, _)| recorded(event).is_some());
        let log_of = text!("the water log of {}", id);
        let sound = match (known.len() > 1, timed) {
            (true, true) => text!("The events of {} follow each other and fit its times.", log_of),
            (true, false) => text!("The events of {} follow each other.", log_of),
            (false, _) => text!("The one event of {} fits its time.", log_of),
        };
        let judgement = if !faults.is_empty() || known.len() > 1 || timed {
            Facts { subject: log_of, faults, missing: Vec::new(), sound }.judge()
        } else if known.is_empty() {
            not_recorded(text!("any event in {}", log_of))
        } else {
            incomplete(
                text!("{} has only one event, and no time that would check it.", log_of)
                    .capitalized(),
            )
        };
        judgement
            .finding(Subject::WaterEvents(id.clone()))
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
}
