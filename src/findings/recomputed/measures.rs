//! Figures that stand in more than one place: findings, pages and derived tables. Each gets its form here, and the
//! key by which it is known wherever it stands.

use super::Recomputed;
use super::afloat::Survey;
use super::coating::applied::{Applied, Prepared};
use super::coating::film::Film;
use super::coating::windows::Immersion;
use super::coating::{Completeness, ZoneHistory};
use super::divers::Round;
use super::history::{History, Left};
use super::landing::{Landing, Leaving, LiftOff};
use super::loads::{Borne, Loads};
use super::plating::{anode_loss_pct, loss};
use super::position::PositionRecomputed;
use crate::calc::loads::girder::Station;
use crate::calc::plane::area_m2;
use crate::records::Project;
use crate::records::plating::{Anode, Gauging};
use crate::text::{Form, Measure};

impl Recomputed {
    /// The area that was never exposed, as [`Recomputed::never_exposed_m2`] has it.
    pub fn never_exposed(&self) -> Option<Measure> {
        Some(Form::Area.measure(self.never_exposed_m2()?).key("never_exposed", &[]))
    }
}

impl PositionRecomputed {
    /// Station of the SRP by the sightings of the position.
    pub fn fitted_srp_station(&self, position: &str) -> Option<Measure> {
        let station = Form::Length.measure(self.fit.srp_station_m?);
        Some(station.key("fitted_srp_station", &[position]))
    }

    /// Offset of the centreline there.
    pub fn fitted_offset(&self, position: &str) -> Option<Measure> {
        let offset = Form::Length.measure(self.fit.centreline_offset_m?);
        Some(offset.key("fitted_offset", &[position]))
    }

    /// Yaw by the sightings.
    pub fn fitted_yaw(&self, position: &str) -> Option<Measure> {
        Some(Form::Angle.measure(self.fit.yaw_deg?).key("fitted_yaw", &[position]))
    }

    /// How clear an opening is of the nearest cap, and that block, both by their places in the project's lists.
    pub fn clear_distance(
        &self,
        project: &Project,
        position: &str,
        opening: usize,
    ) -> Option<(Measure, usize)> {
        let (clear_m, block) = (*self.clearances.get(opening)?)?;
        let opening = &project.openings.get(opening)?.id;
        Some((Form::Length.measure(clear_m).key("clear_distance", &[position, opening]), block))
    }
}

impl Round {
    /// Station of the SRP by what divers measured in a position.
    pub fn srp_station(&self, position: &str) -> Option<Measure> {
        let station = Form::Length.measure(self.along.as_ref()?.srp_station_m);
        Some(station.key("divers_srp_station", &[position, &self.name()]))
    }

    /// Offset of the centreline at the SRP; with the planned station where no mark was measured.
    pub fn srp_offset(&self, position: &str) -> Option<Measure> {
        let offset = Form::Length.measure(self.lie?.centreline_offset_m);
        Some(offset.key("divers_srp_offset", &[position, &self.name()]))
    }

    /// Yaw by it.
    pub fn yaw(&self, position: &str) -> Option<Measure> {
        let yaw = Form::Angle.measure(self.line.as_ref()?.yaw_deg());
        Some(yaw.key("divers_yaw", &[position, &self.name()]))
    }

    /// Standard deviation of the offsets about the keel's line.
    pub fn scatter(&self, position: &str) -> Option<Measure> {
        let scatter = Form::Length.measure(self.line.as_ref()?.fitted.scatter_m?);
        Some(scatter.key("divers_scatter", &[position, &self.name()]))
    }

    /// How far the SRP lies from its planned place.
    pub fn from_aim(&self, position: &str) -> Option<Measure> {
        let distance = Form::Length.measure(self.to_aim.as_ref()?.distance_m());
        Some(distance.key("divers_from_plan", &[position, &self.name()]))
    }
}

impl Survey {
    /// Displacement in the water she lay in.
    pub fn displaced(&self, project: &Project) -> Option<Measure> {
        let displaced = Form::Mass.measure(self.displacement.as_ref()?.displacement_t);
        Some(displaced.key("displacement", &[&self.name(project)]))
    }

    /// Longitudinal centre of gravity.
    pub fn lcg(&self, project: &Project) -> Option<Measure> {
        let lcg = Form::Length.measure(self.displacement.as_ref()?.lcg_x_m);
        Some(lcg.key("lcg", &[&self.name(project)]))
    }

    /// Draft at the aft perpendicular.
    pub fn draft_aft(&self, project: &Project) -> Option<Measure> {
        let draft = Form::Draft.measure(self.drafts.as_ref()?.aft_m);
        Some(draft.key("draft_aft", &[&self.name(project)]))
    }

    /// Draft at the forward perpendicular.
    pub fn draft_forward(&self, project: &Project) -> Option<Measure> {
        let draft = Form::Draft.measure(self.drafts.as_ref()?.forward_m);
        Some(draft.key("draft_forward", &[&self.name(project)]))
    }

    /// List, + to port.
    pub fn list(&self, project: &Project) -> Option<Measure> {
        let list = Form::Angle.measure(self.drafts.as_ref()?.list_deg?);
        Some(list.key("list", &[&self.name(project)]))
    }
}

impl Landing {
    /// Trim against the line of the blocks.
    pub fn relative_trim(&self, position: &str) -> Option<Measure> {
        Some(Form::Length.measure(self.relative_trim_m?).key("relative_trim", &[position]))
    }

    /// The smaller GM at the critical instant.
    pub fn least_gm(&self, position: &str) -> Option<Measure> {
        Some(Form::Length.measure(self.least_gm_m()?).key("least_gm", &[position]))
    }

    /// Upthrust at the critical instant, by equilibrium.
    pub fn upthrust(&self, position: &str) -> Option<Measure> {
        Some(Form::Mass.measure(self.critical?.upthrust_t).key("upthrust", &[position]))
    }

    /// Pressure of all of it on the knuckle block's cap.
    pub fn knuckle_pressure(&self, position: &str) -> Option<Measure> {
        let pressure = Form::Pressure.measure(self.knuckle_pressure_kpa?);
        Some(pressure.key("knuckle_pressure", &[position]))
    }

    /// How much deeper she is landed than the draft at instability.
    pub fn margin(&self, position: &str) -> Option<Measure> {
        Some(Form::Length.measure(self.margin_m()?).key("margin", &[position]))
    }

    /// Water level at first touch.
    pub fn level_touched(&self, position: &str) -> Option<Measure> {
        Some(Form::Length.measure(self.touch?.water_level_m).key("level_touched", &[position]))
    }

    /// Water level when landed.
    pub fn level_landed(&self, position: &str) -> Option<Measure> {
        Some(Form::Length.measure(self.critical?.water_level_m).key("level_landed", &[position]))
    }
}

impl Leaving {
    /// The smaller GM as all but one of the blocks are free of her.
    pub fn least_gm(&self, position: &str) -> Option<Measure> {
        Some(Form::Length.measure(self.least_gm_m()?).key("leaving_gm", &[position]))
    }
}

impl LiftOff {
    /// Draft aft predicted for when she lifts off from a position.
    pub fn draft_aft(&self, position: &str) -> Measure {
        Form::Draft.measure(self.draft_aft_m).key("lift_off_draft_aft", &[position])
    }

    /// Draft forward predicted for then.
    pub fn draft_forward(&self, position: &str) -> Measure {
        Form::Draft.measure(self.draft_forward_m).key("lift_off_draft_forward", &[position])
    }

    /// List predicted for then.
    pub fn list(&self, position: &str) -> Option<Measure> {
        Some(Form::Angle.measure(self.list_deg?).key("lift_off_list", &[position]))
    }
}

impl Borne<'_> {
    /// Its bearing pressure in a position.
    pub fn pressure(&self, position: &str) -> Option<Measure> {
        let pressure = Form::Pressure.measure(self.pressure_kpa?);
        Some(pressure.key("bearing_pressure", &[position, &self.block.id]))
    }
}

impl Loads {
    /// The greatest hogging and the greatest sagging moment in a position.
    pub fn bending(&self, position: &str) -> [Option<Measure>; 2] {
        let [hogs, sags] = self.most_bent();
        let told = |station: &Station| Form::Bending.measure(station.moment_tm());
        [
            hogs.map(|station| told(station).key("hogging_moment", &[position])),
            sags.map(|station| told(station).key("sagging_moment", &[position])),
        ]
    }

    /// Of these the one that is greater in size.
    pub fn most_bending_moment(&self, position: &str) -> Option<Measure> {
        let both = self.bending(position).into_iter().flatten();
        both.max_by(|a, b| a.kept.abs().total_cmp(&b.kept.abs()))
    }

    /// The greatest shear force.
    pub fn shear(&self, position: &str) -> Option<Measure> {
        let shear = Form::Force.measure(self.most_sheared()?.shear_kn()).decimals(0);
        Some(shear.key("shear_force", &[position]))
    }

    /// The greatest load on a metre of the dock.
    pub fn on_a_metre(&self, project: &Project, position: &str) -> Option<Measure> {
        let load = Form::LineLoad.measure(self.per_metre(project)?.load_per_m);
        Some(load.key("load_per_metre", &[position]))
    }

    /// The greatest pressure of a block on the dock's floor.
    pub fn floor_pressure(&self, project: &Project, position: &str) -> Option<Measure> {
        let pressure = Form::Pressure.measure(self.on_floor(project)?.pressure_kpa);
        Some(pressure.key("floor_pressure", &[position]))
    }
}

impl ZoneHistory {
    /// The area of the zone in plan.
    pub fn plan_area(&self, zone: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.plan_area_m2?).key("plan_area", &[zone]))
    }
}

impl Completeness {
    /// The area of the zone that got every coat of the scheme.
    pub fn full_scheme(&self, zone: &str) -> Measure {
        Form::Area.measure(self.full_m2).key("full_scheme", &[zone])
    }

    /// That got some of them, not all.
    pub fn part_of_scheme(&self, zone: &str) -> Measure {
        Form::Area.measure(self.less_m2).key("part_of_scheme", &[zone])
    }

    /// That got none.
    pub fn none_of_scheme(&self, zone: &str) -> Measure {
        Form::Area.measure(self.none_m2).key("none_of_scheme", &[zone])
    }
}

impl Applied {
    /// What the application claims, within its zone.
    pub fn claimed(&self, coat: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.claimed_m2?).key("claimed", &[coat]))
    }

    /// What it reached.
    pub fn reached(&self, coat: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.reached_m2?).key("reached", &[coat]))
    }

    /// What it claims where blocks stood.
    pub fn on_blocks(&self, coat: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.on_blocks_m2?).key("on_blocks", &[coat]))
    }

    /// What it claims outside its zone.
    pub fn outside(&self, coat: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.outside_m2?).key("outside", &[coat]))
    }

    /// What it reached that had not got the coat before it.
    pub fn lacking(&self, coat: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.lacking_m2?).key("lacking", &[coat]))
    }

    /// What it reached that carried a later coat already.
    pub fn over_later(&self, coat: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.over_later_m2?).key("over_later", &[coat]))
    }

    /// Paint that what it reached takes.
    pub fn expected(&self, coat: &str) -> Option<Measure> {
        Some(Form::Volume.measure(self.expected_l?).key("expected_paint", &[coat]))
    }

    /// Paint used, as a part of that.
    pub fn used_part(&self, coat: &str) -> Option<Measure> {
        Some(Form::Ratio.measure(self.used_pct?).key("used_paint", &[coat]))
    }

    /// Dry film that its wet film leaves.
    pub fn dry_from_wet(&self, coat: &str) -> Option<Measure> {
        Some(Form::Film.measure(self.dry_from_wet_m?).key("dry_from_wet", &[coat]))
    }

    /// Nominal dry film.
    pub fn nominal(&self, coat: &str) -> Option<Measure> {
        Some(Form::Film.measure(self.nominal_m?).key("nominal_film", &[coat]))
    }

    /// The least margin of the steel over the dew point.
    pub fn least_margin(&self, coat: &str) -> Option<Measure> {
        let (margin_k, _) = self.climate?.least_margin_k?;
        Some(Form::TemperatureDifference.measure(margin_k).key("least_margin", &[coat]))
    }

    /// The highest humidity.
    pub fn highest_humidity(&self, coat: &str) -> Option<Measure> {
        let (humidity_pct, _) = self.climate?.highest_humidity_pct?;
        Some(Form::Ratio.measure(humidity_pct).key("highest_humidity", &[coat]))
    }

    /// The longest time to a reading of the climate.
    pub fn climate_age(&self, coat: &str) -> Option<Measure> {
        Some(Form::Duration.measure(self.climate?.age_h?).key("climate_age", &[coat]))
    }
}

impl Prepared {
    /// How much steel was not prepared before the coat.
    pub fn uncovered(&self, coat: &str) -> Option<Measure> {
        Some(Form::Area.measure(self.uncovered_m2?).key("uncovered", &[coat]))
    }

    /// From the last check to the start of the coat.
    pub fn age(&self, coat: &str) -> Option<Measure> {
        Some(Form::Duration.measure(self.age_h?).key("preparation_age", &[coat]))
    }

    /// Of the profiles that were read the one that lies furthest outside what the scheme asks, or the least far
    /// within; `None` where it asks for none.
    pub fn worst_profile(&self, project: &Project, coat: &str) -> Option<Measure> {
        let before = &project.scheme[self.asked].before;
        let (least_m, greatest_m) = (before.least_profile_m, before.greatest_profile_m);
        least_m.or(greatest_m)?;
        let worse = |known: f64, new: f64| {
            let [known_m, new_m] = [known, new].map(|m| outside_m(m, least_m, greatest_m));
            if new_m > known_m { new } else { known }
        };
        let read = self.read(project, |check| check.profile_m).map(|(_, profile_m)| profile_m);
        Some(Form::Film.measure(read.reduce(worse)?).key("worst_profile", &[coat]))
    }

    /// The most salts.
    pub fn most_salts(&self, coat: &str) -> Option<Measure> {
        Some(Form::SurfaceDensity.measure(self.most_salts_mg_m2?).key("most_salts", &[coat]))
    }
}

/// How far a value lies outside bounds, m; negative within both.
pub fn outside_m(value_m: f64, least_m: Option<f64>, greatest_m: Option<f64>) -> f64 {
    let under_m = least_m.map_or(0.0, |least_m| least_m - value_m);
    let over_m = greatest_m.map_or(0.0, |greatest_m| value_m - greatest_m);
    under_m.max(over_m)
}

impl History {
    /// The area that no docking on record exposed, as [`History::never_exposed_m2`] has it.
    pub fn never_exposed_in_all(&self) -> Option<Measure> {
        let area = Form::Area.measure(self.never_exposed_m2()?);
        Some(area.key("never_exposed_on_record", &[]))
    }
}

impl Left {
    /// The area that a docking never exposed.
    pub fn area(&self, docking: &str) -> Measure {
        Form::Area.measure(self.area_m2).key("left", &[docking])
    }

    /// What of it lay under blocks in every position since.
    pub fn still(&self, docking: &str) -> Measure {
        Form::Area.measure(area_m2(&self.still)).key("still_left", &[docking])
    }
}

impl Immersion {
    /// From the finish of the coat to the water.
    pub fn after(&self, project: &Project) -> Measure {
        let coat = &project.coats[self.coat].name;
        let position = &project.positions[self.position].id;
        Form::Duration.measure(self.after_h).key("immersed_after", &[coat, position])
    }
}

impl Film {
    /// The mean of the film after a coat, as the rules take the readings.
    pub fn mean(&self, project: &Project) -> Option<Measure> {
        let zone = &project.zones[self.zone].id;
        let mean = Form::Film.measure(self.statistics?.mean_m);
        Some(mean.key("mean_film", &[zone, &self.coat.to_string()]))
    }
}

/// What a plate has lost at a place; negative where more is measured than was built.
pub fn plate_loss(gauging: &Gauging) -> Option<Measure> {
    let lost = Form::Plate.measure(loss(gauging)?.m);
    Some(lost.key("plate_loss", &[&gauging.place.to_string()]))
}

/// That as a part of the original thickness.
pub fn plate_loss_part(gauging: &Gauging) -> Option<Measure> {
    let lost = Form::Ratio.measure(loss(gauging)?.pct?);
    Some(lost.key("plate_loss_part", &[&gauging.place.to_string()]))
}

/// What an anode has lost of its mass.
pub fn anode_loss_part(anode: &Anode) -> Option<Measure> {
    Some(Form::Ratio.measure(anode_loss_pct(anode)?).key("anode_loss_part", &[&anode.id]))
}
