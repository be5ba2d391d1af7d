//! `coating/coats.csv`: applications, one coat on one extent of a zone.

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
        began: Option<DateTime<FixedOffset>> = optional("began", Time, "start of the application"),
        ended: Option<DateTime<FixedOffset>> = optional("ended", Time, "finish of the application"),
        used_l: Option<f64> = optional("used", Measure(Quantity::Volume, Range::Positive), "paint \
             used"),
        wet_film_m: Option<f64> = optional("wet_film", SIZE, "mean wet film thickness").printed_in("um"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
    with {
        /// Its id, or else what its zone, coat, extent and position make, `F3.coat2.patches-P2`; where these are the
        /// same for several, with the day or the time at which each began.
        name: String,
        /// The part of the zone that the log claims.
        extent: Extent,
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

    fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let extent = Extent::read(entry, &Self::written_extent, input)?;
        Self::from_entry(entry, entry.get(&Self::id).unwrap_or_default(), extent)
    }

    /// What its name is made of where it has no id of its own: zone, coat, extent and position.
    fn built(&self, positions: &[Position]) -> String {
        let position = self.began.and_then(|began| standing(positions, began));
        let position = position.map(|position| format!("-{}", position.id)).unwrap_or_default();
        format!("{}.coat{}.{}{position}", self.zone, self.coat, self.extent.word())
    }

    /// What distinguishes it from others of the same zone, coat, extent and position: more and more of when it began,
    /// then its batch.
    fn distinguished_by(&self, step: usize) -> String {
        let Some(began) = self.began else {
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
        (self.began, self.ended, rest, number(self.used_l), number(self.wet_film_m))
    }
}

/// The position in which the ship stood at a time: the last one that she had begun to come down in.
pub fn standing(positions: &[Position], at: DateTime<FixedOffset>) -> Option<&Position> {
    let down = |position: &Position| {
        let times = &position.times;
        [times.touched, times.landed, times.dry].into_iter().flatten().min()
    };
    let begun = positions.iter().filter_map(|position| Some((down(position)?, position)));
    begun
        .filter(|(down, _)| *down <= at)
        .max_by_key(|(down, _)| *down)
        .map(|(_, position)| position)
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

    const HEAD: &str = "application,zone,extent,coat,product,batch,began,ended\n";

    /// The names of applications in the order of their rows, in a docking of two positions.
    fn names(rows: &[&str]) -> Vec<String> {
        let coats = rows.iter().fold(HEAD.to_string(), |file, row| format!("{file}{row}\n"));
        let docking = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n\
                       [period]\noffset = \"+00:00\"\n";
        let project = memory::project(&[
            ("docking.toml", docking.into()),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\n".into()),
            (
                "positions/positions.csv",
                "position,touched,landed,dry\nP1,2031-04-08T08:00,,\nP2,,2031-04-22T09:00,2031-04-22T14:00\n"
                    .into(),
            ),
            ("coating/zones.csv", "zone,kind\nF1,bottom\n".into()),
            ("coating/products.toml", "[[product]]\nproduct = \"EP1\"\n".into()),
            ("coating/coats.csv", coats),
        ]);
        project.coats.iter().map(|coat| coat.name.clone()).collect()
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
}
