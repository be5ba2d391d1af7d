//! `coating/coats.csv`: applications, one coat on one extent of a zone, planned or done.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, Timelike};

use super::entry::Entry;
use super::input::Input;
use super::positions::{self, Position};
use super::record::record;
use super::spec::{FileSpec, Kind, Range, SIZE};
use super::zones::Extent;
use crate::units::Quantity;

record! {
    #[derive(Debug, Clone)]
    pub struct Application: SPEC = "an application" in "coating/coats.csv", at most 1_000 {
        id = optional(
            "application",
            Id(Kind::Application),
            "a unique id, by which findings name it even if anything else in its row is corrected",
        ),
        zone: String = always("zone", Ref(Kind::Zone), "the zone"),
        written_extent = always(
            "extent",
            Name,
            "what the log says was coated: all, exposed, patches or an area",
        ),
        coat: i64 = always(
            "coat",
            Whole { least: 1 },
            "number of the coat in the scheme",
        ).or_named("coat_number"),
        product: String = always("product", Ref(Kind::Product), "the product"),
        batch: Option<String> = optional("batch", Name, "the batch's number"),
        planned_start: Option<DateTime<FixedOffset>> = optional(
            "planned_start",
            Time,
            "when it is planned to start",
        ),
        planned_finish: Option<DateTime<FixedOffset>> = optional(
            "planned_finish",
            Time,
            "when it is planned to be finished",
        ),
        coldest_steel_c: Option<f64> = optional(
            "coldest_steel",
            Measure(Quantity::Temperature, Range::Any),
            "coldest steel that the plan counts on, from this coat to the next",
        ),
        warmest_steel_c: Option<f64> = optional(
            "warmest_steel",
            Measure(Quantity::Temperature, Range::Any),
            "warmest steel that the plan counts on, from this coat to the next",
        ),
        began: Option<DateTime<FixedOffset>> = optional("began", Time, "start of the application"),
        ended: Option<DateTime<FixedOffset>> = optional("ended", Time, "finish of the application"),
        used_l: Option<f64> = optional("used", Measure(Quantity::Volume, Range::Positive), "paint \
             used"),
        wet_film_m: Option<f64> = optional("wet_film", SIZE, "mean wet film thickness").printed_in("um"),
        mixed: Option<DateTime<FixedOffset>> = optional(
            "mixed",
            Time,
            "when the paint was mixed that stood longest before it was used up",
        ),
        used_up: Option<DateTime<FixedOffset>> = optional("used_up", Time, "when that paint was used up"),
        thinner: Option<String> = optional("thinner", Called, "the thinner that was added"),
        thinner_pct: Option<f64> = optional(
            "thinner_share",
            Measure(Quantity::Ratio, Range::NotNegative),
            "thinner added, by volume of the paint; 0 where none was",
        ),
        by: Option<String> = optional("by", Called, "by whom"),
    }
    with {
        /// Its id, or else what its zone, coat, extent and position make, `F3.coat2.patches-P2`; where these are the
        /// same for several, with the day or the time at which each began.
        name: String,
        /// The part of the zone that the log claims.
        extent: Extent,
        /// Coldest and warmest steel that count beside what was read; `None` in the record, where readings alone
        /// count.
        counted_on_c: Option<(f64, f64)>,
    }
}

impl Application {
    /// Its name within its zone, `coat2.patches-P2`; its whole name where that is its own id.
    pub fn name_in_zone(&self) -> &str {
        let rest = self.name.strip_prefix(&self.zone).and_then(|rest| rest.strip_prefix('.'));
        rest.unwrap_or(&self.name)
    }

    /// All applications. Rows with another problem have their extents judged too.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        input
            .rejected(spec)
            .for_each(|entry| _ = Extent::read(entry, &Self::written_extent, input));
        let mut coats: Vec<Self> =
            input.rows(spec).filter_map(|entry| Self::read(entry, input)).collect();
        let positions: Vec<Position> =
            input.rows(&positions::SPEC).filter_map(Position::read).collect();
        name(&mut coats, &positions);
        coats
    }

    /// Whether the plan gives it a time.
    pub fn is_planned(&self) -> bool {
        self.planned_start.or(self.planned_finish).is_some()
    }

    /// Whether it is planned and nothing says that it was done: neither times nor paint used.
    fn is_to_come(&self) -> bool {
        let is_timed = self.began.or(self.ended).is_some();
        self.is_planned() && !is_timed && self.used_l.is_none() && self.wet_film_m.is_none()
    }

    /// The application as it would stand in the record if all went by the plan, on steel as warm and as cold as the
    /// plan counts on; `None` where it has no planned time.
    pub fn as_planned(&self) -> Option<Self> {
        let counted_on_c = match (self.coldest_steel_c, self.warmest_steel_c) {
            (None, None) => None,
            (Some(coldest), Some(warmest)) => Some((coldest.min(warmest), coldest.max(warmest))),
            (Some(one), None) | (None, Some(one)) => Some((one, one)),
        };
        self.is_planned().then(|| Self {
            began: self.planned_start,
            ended: self.planned_finish,
            used_l: None,
            wet_film_m: None,
            mixed: None,
            used_up: None,
            thinner: None,
            thinner_pct: None,
            counted_on_c,
            ..self.clone()
        })
    }

    fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let extent = Extent::read(entry, &Self::written_extent, input)?;
        Self::from_entry(entry, entry.get(&Self::id).unwrap_or_default(), extent, None)
    }

    /// When it began, or else is to begin.
    fn begins(&self) -> Option<DateTime<FixedOffset>> {
        self.began.or(self.planned_start)
    }

    /// What its name is made of where it has no id of its own: zone, coat, extent and position.
    fn built(&self, positions: &[Position]) -> String {
        let position = match (self.began, self.planned_start) {
            (Some(began), _) => {
                standing(positions, began).or_else(|| planned_to_stand(positions, began))
            }
            (None, Some(start)) => planned_to_stand(positions, start),
            (None, None) => None,
        };
        let position = position.map(|position| format!("-{}", position.id)).unwrap_or_default();
        format!("{}.coat{}.{}{position}", self.zone, self.coat, self.extent.word())
    }

    /// What distinguishes it from others of the same zone, coat, extent and position: more and more of when it began,
    /// then its batch.
    fn distinguished_by(&self, step: usize) -> String {
        let Some(began) = self.begins() else {
            return match (step, &self.batch) {
                (0 | 1, _) | (_, None) => "undated".to_string(),
                (_, Some(batch)) => format!("undated-{batch}"),
            };
        };
        let to_seconds = began.second() != 0;
        let form = if to_seconds { "%Y-%m-%dT%H%M%S" } else { "%Y-%m-%dT%H%M" };
        let time = began.format(form);
        match (step, &self.batch) {
            (0, _) => began.format("%Y-%m-%d").to_string(),
            (1, _) | (_, None) => time.to_string(),
            (_, Some(batch)) => format!("{time}-{batch}"),
        }
    }

    /// The order of applications that nothing else distinguishes; rows alike in all of it are alike.
    fn content(&self) -> impl Ord + use<> {
        let number = |value: Option<f64>| value.map(f64::to_bits);
        let rest = (self.product.clone(), self.batch.clone(), self.by.clone());
        let planned = (self.planned_start, self.planned_finish);
        (self.began, self.ended, planned, rest, number(self.used_l), number(self.wet_film_m))
    }
}

/// The position in which the ship stood at a time: the last one that she had begun to come down in.
pub fn standing(positions: &[Position], at: DateTime<FixedOffset>) -> Option<&Position> {
    last_down(positions, at, |position| {
        let times = &position.times;
        [times.touched, times.landed, times.dry].into_iter().flatten().min()
    })
}

/// The same by the plan's times; where it has none for a position, by those recorded.
fn planned_to_stand(positions: &[Position], at: DateTime<FixedOffset>) -> Option<&Position> {
    last_down(positions, at, |position| {
        let (planned, times) = (&position.planned, &position.times);
        let by_plan = planned.landed.into_iter().chain(planned.dry).min();
        by_plan.or_else(|| [times.touched, times.landed, times.dry].into_iter().flatten().min())
    })
}

/// The last position that was down at a time, by when each came down.
fn last_down(
    positions: &[Position],
    at: DateTime<FixedOffset>,
    down: impl Fn(&Position) -> Option<DateTime<FixedOffset>>,
) -> Option<&Position> {
    let begun = positions.iter().filter_map(|position| Some((down(position)?, position)));
    begun
        .filter(|(down, _)| *down <= at)
        .max_by_key(|(down, _)| *down)
        .map(|(_, position)| position)
}

/// Takes the rows that are planned only out of those of the file: they are no applications, and whatever counts what
/// was done must not meet them.
pub(super) fn set_planned_apart(coats: &mut Vec<Application>) -> Vec<Application> {
    coats.extract_if(.., |coat| coat.is_to_come()).collect()
}

/// Gives each application a name of its own that does not depend on the order of the file: its id, or what
/// it is built of. Where that is the same for several, all of them are distinguished by when they began, so
/// that a row that is added later leaves no name to another application than it had.
fn name(coats: &mut [Application], positions: &[Position]) {
    let own: Vec<bool> = coats.iter().map(|coat| !coat.name.is_empty()).collect();
    let built: Vec<String> = coats.iter().map(|coat| coat.built(positions)).collect();
    for (coat, built) in coats.iter_mut().zip(&built) {
        if coat.name.is_empty() {
            coat.name.clone_from(built);
        }
    }
    const STEPS: usize = 3;
    for step in 0..STEPS {
        for at in alike(coats).into_iter().flatten().filter(|at| !own[*at]) {
            coats[at].name = format!("{}-{}", built[at], coats[at].distinguished_by(step));
        }
    }
    for mut group in alike(coats) {
        group.sort_by_cached_key(|at| coats[*at].content());
        for (number, at) in group.into_iter().enumerate() {
            coats[at].name = format!("{}-{}", coats[at].name, number + 1);
        }
    }
}

/// Applications of one name, by their places; groups of several only.
fn alike(coats: &[Application]) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, coat) in coats.iter().enumerate() {
        groups.entry(&coat.name).or_default().push(at);
    }
    groups.into_values().filter(|group| group.len() > 1).collect()
}

#[cfg(test)]
mod tests {
    use super::super::memory;
    use super::super::project::Project;
    use super::{Application, SPEC};

    const HEAD: &str = "application,zone,extent,coat,product,batch,began,ended\n";

    /// The names of applications in the order of their rows, in a docking of two positions.
    fn names(rows: &[&str]) -> Vec<String> {
        let coats = rows.iter().fold(HEAD.to_string(), |file, row| format!("{file}{row}\n"));
        project(coats).coats.iter().map(|coat| coat.name.clone()).collect()
    }

    fn project(coats: String) -> Project {
        let docking = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n\
                       [period]\noffset = \"+00:00\"\n";
        memory::project(&[
            ("docking.toml", docking.into()),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\n".into()),
            (
                "positions/positions.csv",
                "position,planned_landed,planned_dry,planned_reflood,touched,landed,dry\n\
                 P1,2031-04-06T08:00,,,2031-04-08T08:00,,\n\
                 P2,2031-04-12T08:00,,2031-04-18T08:00,,2031-04-22T09:00,2031-04-22T14:00\n"
                    .into(),
            ),
            ("coating/zones.csv", "zone,kind\nF1,bottom\n".into()),
            ("coating/products.toml", "[[product]]\nproduct = \"EP1\"\n".into()),
            ("coating/coats.csv", coats),
        ])
    }

    const FIELD: &str = ",F1,exposed,1,EP1,,2031-04-10T10:00,";
    const PATCHES: &str = ",F1,patches,1,EP1,,2031-04-23T10:00,";

    #[test]
    fn zone_coat_extent_and_position_make_a_name() {
        let undated = ",F1,all,2,EP1,,,";
        let early = ",F1,all,2,EP1,,2031-04-01T10:00,";
        assert_eq!(
            names(&[FIELD, PATCHES, undated]),
            ["F1.coat1.exposed-P1", "F1.coat1.patches-P2", "F1.coat2.all"]
        );
        assert_eq!(names(&[early]), ["F1.coat2.all"]);
    }

    #[test]
    fn an_id_of_its_own_is_the_name() {
        let own = FIELD.replacen(',', "C-7,", 1);
        assert_eq!(names(&[&own, FIELD]), ["C-7", "F1.coat1.exposed-P1"]);
    }

    #[test]
    fn ties_are_told_apart_by_time_and_never_by_the_order_of_rows() {
        let next_day = FIELD.replace("-10T", "-11T");
        let later = FIELD.replace("T10", "T14");
        let mut rows = vec![FIELD, &next_day, &later, PATCHES];
        let wanted = [
            "F1.coat1.exposed-P1-2031-04-10T1000",
            "F1.coat1.exposed-P1-2031-04-11",
            "F1.coat1.exposed-P1-2031-04-10T1400",
            "F1.coat1.patches-P2",
        ];
        assert_eq!(names(&rows), wanted);
        rows.reverse();
        let mut found = names(&rows);
        found.reverse();
        assert_eq!(found, wanted);
    }

    #[test]
    fn what_time_does_not_tell_apart_its_batch_does_and_then_the_rest_of_the_row() {
        let of = |batch: &str, ended: &str| format!(",F1,exposed,1,EP1,{batch},,{ended}");
        let rows =
            [of("B2", ""), of("B1", ""), of("", "2031-04-12T10:00"), of("", "2031-04-11T10:00")];
        let mut rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let wanted = [
            "F1.coat1.exposed-undated-B2",
            "F1.coat1.exposed-undated-B1",
            "F1.coat1.exposed-undated-2",
            "F1.coat1.exposed-undated-1",
        ];
        assert_eq!(names(&rows), wanted);
        rows.rotate_left(2);
        let mut found = names(&rows);
        found.rotate_left(2);
        assert_eq!(found, wanted);
    }

    #[test]
    fn a_row_that_is_added_takes_no_name_from_another() {
        let before = names(&[PATCHES]);
        let earlier = PATCHES.replace("T10", "T08");
        let after = names(&[&earlier, PATCHES]);
        assert!(!after.contains(&before[0]), "{after:?}");
    }

    const PLANNED: &str = "application,zone,extent,coat,product,planned_start,planned_finish,coldest_steel_c,\
        warmest_steel_c,began,ended,used_l,wet_film_um\n";

    fn names_of(coats: &[Application]) -> Vec<&str> {
        coats.iter().map(|coat| coat.name.as_str()).collect()
    }

    #[test]
    fn a_row_that_is_only_planned_is_no_application() {
        let rows = [
            ",F1,exposed,1,EP1,2031-04-07T08:00,2031-04-07T12:00,,,2031-04-09T10:00,2031-04-09T15:00,30,",
            ",F1,patches,1,EP1,2031-04-13T08:00,2031-04-13T12:00,,,,,,",
            ",F1,patches,2,EP1,,2031-04-14T12:00,,,,,,",
            // Without any time it was done, as ever, and so where paint was used.
            ",F1,all,2,EP1,,,,,,,,",
            ",F1,all,3,EP1,2031-04-15T08:00,,,,,,20,",
            ",F1,all,4,EP1,2031-04-15T08:00,,,,,,,200",
            ",F1,all,5,EP1,2031-04-15T08:00,,,,,2031-04-29T08:00,,",
        ];
        let project = project(format!("{PLANNED}{}\n", rows.join("\n")));
        assert_eq!(
            names_of(&project.coats),
            [
                "F1.coat1.exposed-P1",
                "F1.coat2.all",
                "F1.coat3.all-P2",
                "F1.coat4.all-P2",
                "F1.coat5.all-P2"
            ]
        );
        // On 13 April she lay in P1 by the record and in P2 by the plan.
        assert_eq!(names_of(&project.planned_coats), ["F1.coat1.patches-P2", "F1.coat2.patches"]);
        let rows = project.sheets.iter().flat_map(|sheet| &sheet.entries);
        assert_eq!(rows.filter(|row| project.is_to_come(&SPEC, row)).count(), 2);
    }

    #[test]
    fn as_planned_a_coat_has_the_times_and_the_steel_of_the_plan_and_its_own_name() {
        let rows = [
            ",F1,exposed,1,EP1,2031-04-07T08:00,2031-04-07T12:00,8,14,2031-04-09T10:00,2031-04-09T15:00,30,150",
            ",F1,all,2,EP1,,,8,,2031-04-10T10:00,,,",
            ",F1,patches,1,EP1,2031-04-13T08:00,2031-04-13T12:00,,9,,,,",
        ];
        let project = project(format!("{PLANNED}{}\n", rows.join("\n")));
        let [done, unplanned] = &project.coats[..] else { panic!("{:?}", project.coats) };
        let planned = done.as_planned().expect("planned times");
        assert_eq!((planned.began, planned.ended), (done.planned_start, done.planned_finish));
        assert_eq!((planned.used_l, planned.wet_film_m), (None, None));
        assert_eq!((planned.counted_on_c, done.counted_on_c), (Some((8.0, 14.0)), None));
        assert_eq!(planned.name, done.name);
        assert!(unplanned.as_planned().is_none());
        let to_come = project.planned_coats[0].as_planned().expect("planned times");
        assert_eq!(to_come.began, to_come.planned_start);
        assert_eq!(to_come.counted_on_c, Some((9.0, 9.0)));
    }
}
