//! What was recomputed, as tables: for readers without the program, and for plain tools.
//!
//! Figures are rounded to six decimals of the kept unit, films to nine, far below the precision of the records.

use chrono::{DateTime, FixedOffset};
use geo::{BoundingRect, MultiPolygon};

use super::table::{Table, TableColumn};
use crate::calc::exposure::{Class, Piece};
use crate::calc::landing::{Moment, loss_by_kg_m, loss_by_km_m};
use crate::calc::loads::girder::Station;
use crate::calc::plane::area_m2;
use crate::calc::recoat::Timing;
use crate::findings::Examined;
use crate::findings::loads::measured_gaps;
use crate::findings::recomputed::afloat::Survey;
use crate::findings::recomputed::coating::applied::Applied;
use crate::findings::recomputed::coating::film::Film;
use crate::findings::recomputed::divers::Round;
use crate::findings::recomputed::history::{self, History};
use crate::findings::recomputed::landing::Landing;
use crate::findings::written::OUTCOMES;
use crate::hull::on_hull;
use crate::records::coats::Application;
use crate::records::spec::{Column, Holds, Kind, Range};
use crate::records::zones::Lies;
use crate::units::{Quantity, fixed};

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
const LENGTH: Holds = Holds::Measure(Quantity::Length, Range::NotNegative);
const AREA: Holds = Holds::Measure(Quantity::Area, Range::NotNegative);
const ANGLE: Holds = Holds::Measure(Quantity::Angle, Range::Any);
const MASS: Holds = Holds::Measure(Quantity::Mass, Range::Any);
const FORCE: Holds = Holds::Measure(Quantity::Force, Range::Any);
const PRESSURE: Holds = Holds::Measure(Quantity::Pressure, Range::Any);
const MOMENT: Holds = Holds::Measure(Quantity::Moment, Range::Any);
const DENSITY: Holds = Holds::Measure(Quantity::Density, Range::Any);
const VOLUME: Holds = Holds::Measure(Quantity::Volume, Range::NotNegative);
const RATIO: Holds = Holds::Measure(Quantity::Ratio, Range::NotNegative);
const KELVINS: Holds = Holds::Measure(Quantity::TemperatureDifference, Range::Any);
const DEGREES: Holds = Holds::Measure(Quantity::Temperature, Range::Any);
const DURATION: Holds = Holds::Measure(Quantity::Duration, Range::Any);
const CONDUCTIVITY: Holds = Holds::Measure(Quantity::Conductivity, Range::NotNegative);
const SALTS: Holds = Holds::Measure(Quantity::SurfaceDensity, Range::NotNegative);
const COUNT: Holds = Holds::Whole { least: 1 };

/// The tables of what was recomputed; one is left out where the records do not give it.
pub(super) fn tables(examined: &Examined) -> Vec<Table> {
    let project = &examined.project;
    let mut tables = Vec::new();
    if !project.positions.is_empty() {
        tables.push(positions(examined));
    }
    if !examined.recomputed.divers.is_empty() {
        tables.push(divers(examined));
    }
    if !project.positions.is_empty() && !project.openings.is_empty() {
        tables.push(openings(examined));
    }
    if examined.recomputed.never_exposed_m2().is_some() {
        tables.push(footprints(examined));
        tables.push(exposure(examined));
        tables.push(never_exposed(examined));
    }
    tables.extend(
        [
            surveys(examined),
            landings(examined),
            landing_curves(examined),
            loads_as_the_water_falls(examined),
            block_loads(examined),
            strength(examined),
            hull_on_blocks(examined),
            gaps(examined),
        ]
        .into_iter()
        .filter(|table| !table.rows.is_empty()),
    );
    if !project.areas.is_empty() {
        tables.push(areas(examined));
    }
    if !project.zones.is_empty() {
        tables.push(zones(examined));
        tables.push(coats(examined));
        tables.extend(
            [
                applications(examined),
                intervals(examined),
                immersions(examined),
                preparation(examined),
                film(examined),
            ]
            .into_iter()
            .filter(|table| !table.rows.is_empty()),
        );
    }
    if let Some(history) = &examined.recomputed.history {
        tables.push(never_exposed_in_history(history));
        tables.push(uppermost(history));
    }
    tables
}

/// A table in the making: what its rows are about is given first, then each column with what fills it.
struct Draft<R> {
    table: Table,
    subjects: Vec<R>,
}

impl<R> Draft<R> {
    fn new(name: &str, about: &str, subjects: impl IntoIterator<Item = R>) -> Self {
        let subjects: Vec<R> = subjects.into_iter().collect();
        let table = Table {
            name: format!("recomputed-{name}.csv"),
            title: format!("recomputed, {}", name.replace('-', " ")),
            about: format!("calculated from the records; {about}"),
            from: Vec::new(),
            columns: Vec::new(),
            rows: vec![Vec::new(); subjects.len()],
        };
        Self { table, subjects }
    }

    fn column(mut self, column: TableColumn, fill: impl Fn(&R) -> String) -> Self {
        for (row, subject) in self.table.rows.iter_mut().zip(&self.subjects) {
            row.push(fill(subject));
        }
        let names_its_subject =
            matches!(column.holds(), Some(Holds::Ref(kind)) if kind.word() == column.name);
        let is_calculated = !column.is_key && !names_its_subject;
        self.table.columns.push(TableColumn { is_calculated, ..column });
        self
    }

    /// The same with the column that was added last told as one that repeats the records.
    fn taken_from_records(mut self) -> Self {
        if let Some(column) = self.table.columns.last_mut() {
            column.is_calculated = false;
        }
        self
    }

    /// Adds a column that belongs to the table's key.
    fn key(
        self,
        name: &'static str,
        holds: Holds,
        about: &'static str,
        fill: impl Fn(&R) -> String,
    ) -> Self {
        let column = Column::always(name, holds, about);
        self.column(TableColumn::from(&column).as_key(), fill)
    }

    /// Adds a column that is filled in every row.
    fn always(
        self,
        name: &'static str,
        holds: Holds,
        about: &'static str,
        fill: impl Fn(&R) -> String,
    ) -> Self {
        self.column(TableColumn::from(&Column::always(name, holds, about)), fill)
    }

    /// Adds a column that may be empty.
    fn optional(
        self,
        name: &'static str,
        holds: Holds,
        about: &'static str,
        fill: impl Fn(&R) -> String,
    ) -> Self {
        self.column(TableColumn::from(&Column::optional(name, holds, about)), fill)
    }

    /// Adds a column of films or profiles, m, which people read in micrometres.
    fn film(
        self,
        name: &'static str,
        about: &'static str,
        fill: impl Fn(&R) -> Option<f64>,
    ) -> Self {
        let column = Column::optional(name, LENGTH, about).printed_in("um");
        self.column(TableColumn::from(&column), |subject| film_figure(fill(subject)))
    }
}

impl Table {
    /// The same table with a first column of numbers, by which alone its rows are told apart.
    fn numbered(mut self, name: &'static str) -> Self {
        let column = Column::always(name, COUNT, "its number");
        self.columns.insert(0, TableColumn::from(&column).as_key());
        for (number, row) in (1_usize..).zip(&mut self.rows) {
            row.insert(0, number.to_string());
        }
        self
    }
}

/// A figure with at most six decimals; empty where there is none.
fn figure(value: impl Into<Option<f64>>) -> String {
    let Some(value) = value.into() else { return String::new() };
    let text = fixed(value, 6);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// A film or a profile in m with at most nine decimals, of which six would be whole micrometres.
fn film_figure(value_m: impl Into<Option<f64>>) -> String {
    let Some(value_m) = value_m.into() else { return String::new() };
    let text = fixed(value_m, 9);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// A time as records write it.
fn written(at: DateTime<FixedOffset>) -> String {
    at.to_rfc3339()
}

fn flag(value: bool) -> String {
    if value { "yes" } else { "no" }.to_string()
}

fn list(items: impl IntoIterator<Item = String>) -> String {
    items.into_iter().collect::<Vec<_>>().join(";")
}

fn positions(examined: &Examined) -> Table {
    Draft::new(
        "positions",
        "one row is a docking position: where she lay by the sightings, and where she is taken to have lain",
        examined.project.positions.iter().zip(&examined.recomputed.positions),
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, _)| {
        position.id.clone()
    })
    .optional("fitted_srp_station", PLACE, "station of the SRP by the sightings", |(_, out)| {
        figure(out.fit.srp_station_m)
    })
    .optional(
        "fitted_offset",
        PLACE,
        "offset of the centreline there, by the sightings",
        |(_, out)| figure(out.fit.centreline_offset_m),
    )
    .optional("fitted_yaw", ANGLE, "yaw by the sightings", |(_, out)| figure(out.fit.yaw_deg))
    .optional(
        "taken_srp_station",
        PLACE,
        "station that footprints were reckoned with",
        |(_, out)| figure(out.lie.map(|lie| lie.srp_station_m)),
    )
    .optional("taken_offset", PLACE, "offset that footprints were reckoned with", |(_, out)| {
        figure(out.lie.map(|lie| lie.centreline_offset_m))
    })
    .optional("taken_yaw", ANGLE, "yaw that footprints were reckoned with", |(_, out)| {
        figure(out.lie.map(|lie| lie.yaw_deg))
    })
    .always(
        "yaw_unknown",
        Holds::Flag,
        "whether yaw is not known and was taken as 0",
        |(_, out)| flag(out.yaw_unknown),
    )
    .table
}

fn divers(examined: &Examined) -> Table {
    type Kept = fn(&Round) -> Option<f64>;
    let positions = &examined.project.positions;
    let mut table = Draft::new(
        "divers",
        "one row is a round in which divers measured the keel over blocks: where she lies by it",
        &examined.recomputed.divers,
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |round| {
        positions[round.position].id.clone()
    })
    .key("round", Holds::Text, "its occasion, and its number from the second on", |round| {
        round.name()
    });
    let columns: [(&'static str, Holds, &'static str, Kept); 8] = [
        ("divers_srp_station", PLACE, "station of the SRP by the marks", |round| {
            Some(round.along.as_ref()?.srp_station_m)
        }),
        (
            "divers_srp_offset",
            PLACE,
            "offset of the centreline there; at the planned station where no mark was measured",
            |round| Some(round.lie?.centreline_offset_m),
        ),
        ("divers_yaw", ANGLE, "yaw by the line of the keel", |round| {
            Some(round.line.as_ref()?.yaw_deg())
        }),
        (
            "divers_scatter",
            LENGTH,
            "standard deviation of the offsets about that line; empty with two blocks",
            |round| round.line.as_ref()?.fitted.scatter_m,
        ),
        (
            "divers_from_plan",
            LENGTH,
            "distance of the SRP from its planned place; athwart alone where no mark was measured",
            |round| Some(round.to_aim.as_ref()?.distance_m()),
        ),
        ("off_along", PLACE, "found less planned station of the SRP", |round| {
            round.to_aim.as_ref()?.along_m
        }),
        ("off_aft", PLACE, "found less planned offset at the after end", |round| {
            Some(round.to_aim.as_ref()?.ends?[0].off_m())
        }),
        ("off_forward", PLACE, "found less planned offset at the forward end", |round| {
            Some(round.to_aim.as_ref()?.ends?[1].off_m())
        }),
    ];
    for (name, holds, about, kept) in columns {
        table = table.optional(name, holds, about, |round| figure(kept(round)));
    }
    table.table
}

fn openings(examined: &Examined) -> Table {
    let project = &examined.project;
    let positions = project.positions.iter().zip(&examined.recomputed.positions);
    let rows = positions.flat_map(|(position, out)| {
        let openings = project.openings.iter().zip(&out.clearances);
        openings.map(move |(opening, nearest)| (position, opening, nearest))
    });
    Draft::new(
        "openings",
        "one row is an opening in a position: how far it was from the nearest cap",
        rows,
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, ..)| {
        position.id.clone()
    })
    .key("opening", Holds::Ref(Kind::Opening), "the opening", |(_, opening, _)| opening.id.clone())
    .optional(
        "clear_distance",
        LENGTH,
        "clear distance in plan to the nearest cap; 0 where they overlap, empty where not known",
        |(.., nearest)| figure(nearest.map(|(distance_m, _)| distance_m)),
    )
    .optional(
        "nearest_block",
        Holds::Ref(Kind::Block),
        "the block that has that cap",
        |(.., nearest)| {
            let block = nearest.and_then(|(_, block)| project.blocks.get(block));
            block.map(|block| block.id.clone()).unwrap_or_default()
        },
    )
    .optional(
        "clearance_wanted",
        LENGTH,
        "the distance wanted, of its own or the limit",
        |(_, opening, _)| figure(opening.wants_clear_m(&project.docking.bounds)),
    )
    .taken_from_records()
    .table
}

impl<R> Draft<R> {
    /// Adds the column of the positions in which blocks hid something: those whose flags are set.
    fn hidden_in(self, examined: &Examined, flags: impl Fn(&R) -> &[bool]) -> Self {
        self.always(
            "hidden_in",
            Holds::Refs(Kind::Position),
            "the positions in which blocks hid it; the word none for none",
            |subject| {
                let positions = examined.project.positions.iter().zip(flags(subject));
                let hidden = positions.filter(|(_, flag)| **flag);
                match list(hidden.map(|(position, _)| position.id.clone())) {
                    ids if ids.is_empty() => "none".to_string(),
                    ids => ids,
                }
            },
        )
    }
}

fn surveys(examined: &Examined) -> Table {
    let project = &examined.project;
    type Kept = fn(&Survey) -> Option<f64>;
    let mut table = Draft::new(
        "surveys",
        "one row is a draft survey: what its readings give; trim + by the stern, list + to port, hog + and sag -",
        &examined.recomputed.ship.surveys,
    )
    .key("survey", Holds::Text, "its position, where it has one, and its occasion", |survey| {
        survey.name(project)
    })
    .optional("last_read", Holds::Time, "when its last mark was read", |survey| {
        survey.at.map(written).unwrap_or_default()
    })
    .taken_from_records();
    let columns: [(&'static str, Holds, &'static str, Kept); 14] = [
        ("draft_aft", PLACE, "draft at the aft perpendicular", |s| Some(s.drafts.as_ref()?.aft_m)),
        ("draft_amidships", PLACE, "draft amidships", |s| s.drafts.as_ref()?.amidships_m),
        ("draft_forward", PLACE, "draft at the forward perpendicular", |s| {
            Some(s.drafts.as_ref()?.forward_m)
        }),
        ("trim", PLACE, "trim over the perpendiculars", |s| Some(s.drafts.as_ref()?.trim_m)),
        ("list", ANGLE, "list", |s| s.drafts.as_ref()?.list_deg),
        ("hog", PLACE, "hog", |s| s.drafts.as_ref()?.hog_m),
        (
            "mean_draft",
            PLACE,
            "quarter mean, or the mean of the ends without a mark amidships",
            |s| Some(s.drafts.as_ref()?.mean_m),
        ),
        ("draft_at_lcf", PLACE, "draft at the LCF, three quarters of the hog taken off", |s| {
            Some(s.displacement.as_ref()?.draft_at_lcf_m)
        }),
        ("water_density", DENSITY, "density of the water", |s| s.water_density_t_m3),
        ("from_table", MASS, "displacement by the table at the mean draft", |s| {
            Some(s.displacement.as_ref()?.from_table_t)
        }),
        ("first_correction", MASS, "first trim correction", |s| {
            Some(s.displacement.as_ref()?.first_t)
        }),
        ("second_correction", MASS, "second trim correction", |s| {
            Some(s.displacement.as_ref()?.second_t)
        }),
        ("displacement", MASS, "displacement in the water she lay in", |s| {
            Some(s.displacement.as_ref()?.displacement_t)
        }),
        ("lcg", PLACE, "x of the centre of gravity", |s| Some(s.displacement.as_ref()?.lcg_x_m)),
    ];
    for (name, holds, about, kept) in columns {
        table = table.optional(name, holds, about, |survey| figure(kept(survey)));
        if name == "water_density" {
            table = table.taken_from_records();
        }
    }
    table.table
}

fn landings(examined: &Examined) -> Table {
    let project = &examined.project;
    let landings = project.positions.iter().zip(&examined.recomputed.landings);
    let known = landings.filter(|(_, landing)| landing.afloat.is_some());
    let block = |landing: &Landing, seat: Option<usize>| {
        let seat = seat.and_then(|seat| landing.seats.get(seat));
        let block = seat.and_then(|(block, _)| project.blocks.get(*block));
        block.map(|block| block.id.clone()).unwrap_or_default()
    };
    type Kept = fn(&Landing) -> Option<f64>;
    let mut table = Draft::new(
        "landings",
        "one row is a docking position: how she touched and landed in it, and the drafts predicted for lift-off",
        known,
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, _)| {
        position.id.clone()
    })
    .optional("knuckle", Holds::Ref(Kind::Block), "the block touched first", |(_, landing)| {
        block(landing, landing.touch.map(|touch| touch.seat))
    })
    .optional("second_block", Holds::Ref(Kind::Block), "the block touched second", |(_, landing)| {
        block(landing, landing.second.map(|second| second.seat))
    });
    let columns: [(&'static str, Holds, &'static str, Kept); 19] = [
        ("kg", PLACE, "KG, free surface counted", |l| l.kg_m),
        (
            "relative_trim",
            PLACE,
            "trim against the line of the blocks, over the perpendiculars",
            |l| l.relative_trim_m,
        ),
        ("level_touched", PLACE, "water level at first touch", |l| Some(l.touch?.water_level_m)),
        ("trim_left", PLACE, "trim left over the line of the blocks at the second touch", |l| {
            Some(l.second?.left_m)
        }),
        ("simple_upthrust", MASS, "upthrust by the formula MCT t / l", |l| l.simple_upthrust_t),
        (
            "upthrust",
            MASS,
            "upthrust on the knuckle at the critical instant, by equilibrium",
            |l| Some(l.critical?.upthrust_t),
        ),
        ("knuckle_pressure", PRESSURE, "pressure of all of it on the knuckle's cap", |l| {
            l.knuckle_pressure_kpa
        }),
        ("loss_by_km", PLACE, "loss of GM as P KM / W", |l| {
            let (critical, afloat) = (l.critical?, l.afloat.as_ref()?);
            Some(loss_by_km_m(critical.upthrust_t, critical.km_m, afloat.displacement_t))
        }),
        ("loss_by_kg", PLACE, "loss of GM as P KG / (W - P)", |l| {
            let (critical, afloat) = (l.critical?, l.afloat.as_ref()?);
            Some(loss_by_kg_m(critical.upthrust_t, l.kg_m?, afloat.displacement_t))
        }),
        ("gm_by_km", PLACE, "GM left at the critical instant, by P KM / W", |l| Some(l.gm_m()?[0])),
        ("gm_by_kg", PLACE, "GM left there, by P KG / (W - P)", |l| Some(l.gm_m()?[1])),
        ("least_gm", PLACE, "the smaller of the two", |l| l.least_gm_m()),
        ("draft_landed", PLACE, "draft at the LCF when landed", |l| {
            Some(l.critical?.draft_at_lcf_m)
        }),
        ("draft_at_instability", PLACE, "draft at the LCF at which GM is nil", |l| {
            l.instability_draft_m
        }),
        ("margin", PLACE, "how much deeper than that she is landed", |l| l.margin_m()),
        ("level_landed", PLACE, "water level when landed fore and aft", |l| {
            Some(l.critical?.water_level_m)
        }),
        ("lift_off_draft_aft", PLACE, "draft aft predicted for lift-off", |l| {
            Some(l.lift_off?.draft_aft_m)
        }),
        ("lift_off_draft_forward", PLACE, "draft forward predicted for lift-off", |l| {
            Some(l.lift_off?.draft_forward_m)
        }),
        ("lift_off_list", ANGLE, "list predicted for lift-off", |l| l.lift_off?.list_deg),
    ];
    for (name, holds, about, kept) in columns {
        table = table.optional(name, holds, about, |(_, landing)| figure(kept(landing)));
    }
    table.table
}

fn landing_curves(examined: &Examined) -> Table {
    let project = &examined.project;
    let landings = project.positions.iter().zip(&examined.recomputed.landings);
    let rows = landings.flat_map(|(position, landing)| {
        landing.curve.iter().map(move |moment| (position, landing, moment))
    });
    type Kept = fn(&Landing, &Moment) -> Option<f64>;
    let mut table = Draft::new(
        "landing-curves",
        "one row is a moment between first touch and the critical instant in a position, at equal steps of draft: how \
         she stands, and what the knuckle bears",
        (1..).zip(rows),
    )
    .key("moment", COUNT, "its number among these", |(number, _)| number.to_string())
    .always("position", Holds::Ref(Kind::Position), "the position", |(_, (position, ..))| {
        position.id.clone()
    });
    let columns: [(&'static str, Holds, &'static str, Kept); 8] = [
        ("level", PLACE, "the water level", |_, m| Some(m.water_level_m)),
        ("upthrust", MASS, "upthrust on the knuckle", |_, m| Some(m.upthrust_t)),
        ("draft_aft", PLACE, "draft at the aft perpendicular", |_, m| Some(m.draft_aft_m)),
        ("draft_forward", PLACE, "draft at the forward perpendicular", |_, m| {
            Some(m.draft_forward_m)
        }),
        ("draft_at_lcf", PLACE, "draft at the LCF", |_, m| Some(m.draft_at_lcf_m)),
        ("trim", PLACE, "trim over the perpendiculars", |_, m| Some(m.trim_m)),
        ("gm_by_km", PLACE, "GM left, by P KM / W; empty without KG", |l, m| Some(l.gm_at(m)?[0])),
        ("gm_by_kg", PLACE, "GM left, by P KG / (W - P); empty without KG", |l, m| {
            Some(l.gm_at(m)?[1])
        }),
    ];
    for (name, holds, about, kept) in columns {
        table = table.optional(name, holds, about, |(_, (_, landing, moment))| {
            figure(kept(landing, moment))
        });
    }
    table.table
}

fn loads_as_the_water_falls(examined: &Examined) -> Table {
    let project = &examined.project;
    let landings = project.positions.iter().zip(&examined.recomputed.landings);
    let rows = landings.flat_map(|(position, landing)| {
        let loads = landing.loads.iter();
        loads.filter_map(move |(n, load)| Some((position, landing, project.water.get(*n)?, load)))
    });
    Draft::new(
        "loads-as-the-water-falls",
        "one row is a reading of a position's water log after she was landed: what the blocks carry then",
        (1..).zip(rows),
    )
    .key("reading", COUNT, "its number among these", |(number, _)| number.to_string())
    .always("position", Holds::Ref(Kind::Position), "the position", |(_, (position, ..))| {
        position.id.clone()
    })
    .always("at", Holds::Time, "when", |(_, (_, _, water, _))| written(water.at))
    .taken_from_records()
    .always("level", PLACE, "the water level", |(_, (_, _, water, _))| figure(water.level_m))
    .taken_from_records()
    .always("load", MASS, "the load on the blocks", |(_, (.., load))| figure(load.load_t))
    .optional(
        "centre",
        PLACE,
        "x of the centre of that load; empty where the load is under a hundredth of her weight",
        |(_, (_, landing, _, load))| figure(landing.centre_m(load)),
    )
    .table
}

fn block_loads(examined: &Examined) -> Table {
    let project = &examined.project;
    let loads = project.positions.iter().zip(&examined.recomputed.loads);
    let rows = loads.flat_map(|(position, loads)| {
        loads.borne(project).into_iter().map(move |borne| (position, borne))
    });
    Draft::new(
        "block-loads",
        "one row is a block that stood under her in a position: what it bore with the dock dry, the ship taken as a \
         girder that bends and shears",
        rows,
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, _)| {
        position.id.clone()
    })
    .key("block", Holds::Ref(Kind::Block), "the block", |(_, borne)| borne.block.id.clone())
    .always("x", PLACE, "x of the middle of the area on which it bears", |(_, b)| figure(b.x_m))
    .always("load", FORCE, "its load", |(_, borne)| figure(borne.load_kn))
    .optional(
        "least_load",
        FORCE,
        "its least load on timber as noted, half as stiff and twice as stiff",
        |(_, b)| figure(b.range_kn.map(|range| range.0)),
    )
    .optional("greatest_load", FORCE, "its greatest load on these", |(_, b)| {
        figure(b.range_kn.map(|range| range.1))
    })
    .optional("rigid_load", FORCE, "its load were the ship rigid", |(_, b)| figure(b.rigid_kn))
    .optional("bearing_pressure", PRESSURE, "its pressure", |(_, b)| figure(b.pressure_kpa))
    .optional("bearing_limit", PRESSURE, "the pressure that it may bear", |(_, b)| {
        figure(b.limit_kpa)
    })
    .taken_from_records()
    .always("gap_left", LENGTH, "the gap left between cap and hull", |(_, b)| figure(b.gap_m))
    .table
}

fn strength(examined: &Examined) -> Table {
    let project = &examined.project;
    let loads = project.positions.iter().zip(&examined.recomputed.loads);
    let known = loads.filter(|(_, loads)| !loads.along.is_empty());
    let x = |station: Option<&Station>| figure(station.map(|station| station.x_m));
    Draft::new(
        "strength",
        "one row is a docking position: where the hull on the blocks is bent and sheared most, and where the dock's \
         floor bears most, dock dry",
        known,
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, _)| {
        position.id.clone()
    })
    .optional("hogging_moment", MOMENT, "greatest hogging moment", |(_, loads)| {
        figure(loads.most_bent()[0].map(Station::moment_tm))
    })
    .optional("hogging_x", PLACE, "x where it is", |(_, loads)| x(loads.most_bent()[0]))
    .optional("sagging_moment", MOMENT, "greatest sagging moment, below 0", |(_, loads)| {
        figure(loads.most_bent()[1].map(Station::moment_tm))
    })
    .optional("sagging_x", PLACE, "x where it is", |(_, loads)| x(loads.most_bent()[1]))
    .optional("shear_force", FORCE, "shear force of the greatest size", |(_, loads)| {
        figure(loads.most_sheared().map(Station::shear_kn))
    })
    .optional("shear_x", PLACE, "x where it is", |(_, loads)| x(loads.most_sheared()))
    .optional(
        "load_per_metre",
        Holds::Measure(Quantity::LineLoad, Range::NotNegative),
        "greatest load on a metre of the dock, from all rows, over the length that the limit floor_load_length states",
        |(_, loads)| figure(loads.per_metre(project).map(|stretch| stretch.load_per_m)),
    )
    .optional("load_from_station", PLACE, "where that stretch of the dock begins", |(_, loads)| {
        figure(loads.per_metre(project).map(|stretch| stretch.from_m))
    })
    .optional("floor_pressure", PRESSURE, "greatest pressure of a block on the floor", |(_, l)| {
        figure(l.on_floor(project).map(|most| most.pressure_kpa))
    })
    .optional("pressing_block", Holds::Ref(Kind::Block), "that block", |(_, loads)| {
        loads.on_floor(project).map(|most| most.block.id.clone()).unwrap_or_default()
    })
    .table
}

fn hull_on_blocks(examined: &Examined) -> Table {
    let project = &examined.project;
    let loads = project.positions.iter().zip(&examined.recomputed.loads);
    let rows = loads
        .flat_map(|(position, loads)| loads.along.iter().map(move |station| (position, station)));
    Draft::new(
        "hull-on-blocks",
        "one row is a station of the hull on the blocks of a position, dock dry, from aft to forward: shear and bending \
         of the girder by which the block loads were found",
        (1..).zip(rows),
    )
    .key("station", COUNT, "its number among these", |(number, _)| number.to_string())
    .always("position", Holds::Ref(Kind::Position), "the position", |(_, (position, _))| {
        position.id.clone()
    })
    .always("x", PLACE, "its x", |(_, (_, station))| figure(station.x_m))
    .always(
        "shear_abaft",
        FORCE,
        "shear force just abaft it: weight less block loads of what lies abaft, + down",
        |(_, (_, station))| figure(station.shear_aft_kn),
    )
    .always("shear_ahead", FORCE, "shear force just forward of it", |(_, (_, station))| {
        figure(station.shear_fore_kn)
    })
    .always("bending_moment", MOMENT, "bending moment, hogging +, sagging -", |(_, (_, station))| {
        figure(station.moment_tm())
    })
    .always(
        "settlement",
        PLACE,
        "how far the keel came down there from where it lay before anything gave",
        |(_, (_, station))| figure(station.deflection_m),
    )
    .table
}

fn gaps(examined: &Examined) -> Table {
    let project = &examined.project;
    let measured = project.positions.iter().flat_map(|position| {
        let measured = measured_gaps(project, &position.id);
        measured.map(|(gap, subject)| (gap, examined.finding(&subject)))
    });
    Draft::new(
        "gaps",
        "one row is a measured gap between a cap and the hull, and the gap predicted there at that depth of water",
        (1..).zip(measured),
    )
    .key("gap", COUNT, "its number among these", |(number, _)| number.to_string())
    .always("position", Holds::Ref(Kind::Position), "the position", |(_, (gap, _))| {
        gap.position.clone()
    })
    .always("block", Holds::Ref(Kind::Block), "the block", |(_, (gap, _))| gap.block.clone())
    .optional(
        "water_depth",
        LENGTH,
        "depth of the water over the dock's floor at station 0; empty when dry",
        |(_, (gap, _))| figure(gap.water_depth_m),
    )
    .always("measured", LENGTH, "the gap measured", |(_, (gap, _))| figure(gap.gap_m))
    .taken_from_records()
    .optional("predicted", LENGTH, "the gap predicted", |(_, (_, made))| {
        let predicted = made.and_then(|made| made.recomputed.as_ref()?.measure());
        figure(predicted.map(|predicted| predicted.kept))
    })
    .optional("outcome", Holds::Word(&OUTCOMES), "how the two compare", |(_, (_, made))| {
        made.map(|made| made.outcome.words().to_string()).unwrap_or_default()
    })
    .table
}

fn footprints(examined: &Examined) -> Table {
    let project = &examined.project;
    let positions = project.positions.iter().zip(&examined.recomputed.positions);
    let rows = positions.zip(&examined.recomputed.hidden).flat_map(|((position, out), hidden)| {
        hidden.footprints.iter().filter_map(move |(block, shape)| {
            let block = project.blocks.get(*block)?;
            let rectangle = on_hull(&block.cap, out.lie.as_ref()?);
            Some((position, block, rectangle, rectangle.polygon().bounding_rect()?, shape))
        })
    });
    Draft::new(
        "footprints",
        "one row is the cap of a block that stood under her in a position, as a rectangle on the bottom; it lies along \
         the hull but for the angle given, and from and to are its outermost corners",
        rows,
    )
    .key("position", Holds::Ref(Kind::Position), "the position", |(position, ..)| {
        position.id.clone()
    })
    .key("block", Holds::Ref(Kind::Block), "the block", |(_, block, ..)| block.id.clone())
    .always("from_x", PLACE, "x of its aft end", |(.., rect, _)| figure(rect.min().x))
    .always("to_x", PLACE, "x of its forward end", |(.., rect, _)| figure(rect.max().x))
    .always("from_y", PLACE, "y of its edge to starboard", |(.., rect, _)| figure(rect.min().y))
    .always("to_y", PLACE, "y of its edge to port", |(.., rect, _)| figure(rect.max().y))
    .always(
        "turned",
        ANGLE,
        "by how much it is turned against the hull's axes, + when its forward end lies to port",
        |(_, _, rectangle, ..)| figure(rectangle.turn_deg),
    )
    .always(
        "hidden",
        AREA,
        "how much of the bottom lies under it, in plan; less than the cap where that reaches beyond the bottom",
        |(.., shape)| figure(area_m2(shape)),
    )
    .table
}

fn exposure(examined: &Examined) -> Table {
    Draft::new(
        "exposure",
        "one row is the part of the bottom that blocks hid in exactly the same positions; areas in plan",
        &examined.recomputed.classes,
    )
    .hidden_in(examined, |class: &&Class| &class.hidden_in)
    .always("never_exposed", Holds::Flag, "whether that is every position", |class| {
        flag(class.never_exposed())
    })
    .always("pieces", COUNT, "how many pieces it is of", |class| class.shape.0.len().to_string())
    .always("area", AREA, "its area in plan", |class| figure(class.area_m2))
    .table
    .numbered("part")
}

/// A table of pieces of the bottom, each by its extent and its area in m2.
fn pieces<R>(
    name: &str,
    about: &str,
    pieces: impl IntoIterator<Item = R>,
    extent: impl Fn(&R) -> [f64; 4],
    area_m2: impl Fn(&R) -> f64,
) -> Draft<(usize, R)> {
    let side = |side: usize| {
        let extent = &extent;
        move |(_, piece): &(usize, R)| figure(extent(piece)[side])
    };
    Draft::new(name, about, (1..).zip(pieces))
        .key("piece", COUNT, "its number", |(number, _)| number.to_string())
        .always("from_x", PLACE, "x of its aft end", side(0))
        .always("to_x", PLACE, "x of its forward end", side(1))
        .always("from_y", PLACE, "y of its edge to starboard", side(2))
        .always("to_y", PLACE, "y of its edge to port", side(3))
        .always("area", AREA, "its area in plan", |(_, piece)| figure(area_m2(piece)))
}

fn never_exposed(examined: &Examined) -> Table {
    let blocks = &examined.project.blocks;
    pieces(
        "never-exposed",
        "one row is a piece of the bottom that blocks hid in every position, from aft to forward",
        &examined.recomputed.never_exposed,
        |piece| piece.extent,
        |piece| piece.area_m2,
    )
    .always(
        "hidden_by",
        Holds::Refs(Kind::Block),
        "the blocks that hid it",
        |(_, piece): &(usize, &Piece)| {
            let mut hiding: Vec<usize> = piece.hidden_by.iter().flatten().copied().collect();
            hiding.sort_unstable();
            hiding.dedup();
            list(hiding.into_iter().filter_map(|at| Some(blocks.get(at)?.id.clone())))
        },
    )
    .table
}

fn areas(examined: &Examined) -> Table {
    Draft::new(
        "areas",
        "one row is an area that was drawn for the coating's logs",
        &examined.project.areas,
    )
    .key("area", Holds::Id(Kind::Area), "the area's name", |area| area.id.clone())
    .always("plan_area", AREA, "its area in plan", |area| {
        figure(area_m2(&MultiPolygon(vec![area.outline.clone()])))
    })
    .table
}

fn zones(examined: &Examined) -> Table {
    let zones = examined.project.zones.iter().zip(&examined.recomputed.coating.zones);
    Draft::new(
        "zones",
        "one row is a zone of the coating; areas along the plating where its true area is recorded, else in plan",
        zones.map(|(zone, history)| (zone, history, history.completeness())),
    )
    .key("zone", Holds::Id(Kind::Zone), "the zone's name", |(zone, ..)| zone.id.clone())
    .always("kind", Holds::Word(&["bottom", "side"]), "bottom or side", |(zone, ..)| {
        if matches!(zone.lies, Lies::Side { .. }) { "side" } else { "bottom" }.to_string()
    })
    .taken_from_records()
    .optional("plan_area", AREA, "its area in plan", |(_, history, _)| figure(history.plan_area_m2))
    .optional("true_area", AREA, "its area along the plating, as recorded", |(zone, ..)| {
        figure(zone.true_area_m2)
    })
    .taken_from_records()
    .always(
        "scheme_coats",
        Holds::Whole { least: 0 },
        "how many coats its scheme has",
        |(_, history, _)| history.scheme.len().to_string(),
    )
    .taken_from_records()
    .optional("full_scheme", AREA, "area that got every coat of the scheme", |(.., sum)| {
        figure(sum.map(|sum| sum.full_m2))
    })
    .optional("part_of_scheme", AREA, "area that got some of its coats, not all", |(.., sum)| {
        figure(sum.map(|sum| sum.less_m2))
    })
    .optional("none_of_scheme", AREA, "area that got none of its coats", |(.., sum)| {
        figure(sum.map(|sum| sum.none_m2))
    })
    .table
}

fn coats(examined: &Examined) -> Table {
    let project = &examined.project;
    let zones = project.zones.iter().zip(&examined.recomputed.coating.zones);
    let coats = |chain: &[usize]| -> Vec<_> {
        chain.iter().filter_map(|at| project.coats.get(*at)).collect()
    };
    let rows = zones.flat_map(|(zone, history)| {
        history.parts.iter().map(move |part| (zone, part, coats(&part.chain)))
    });
    Draft::new(
        "coats",
        "one row is the steel of a zone that was hidden in the same positions and received the same coats",
        rows,
    )
    .always("zone", Holds::Ref(Kind::Zone), "the zone", |(zone, ..)| zone.id.clone())
    .hidden_in(examined, |(_, part, _)| &part.hidden_in)
    .column(
        TableColumn::wholes("chain", "numbers of the coats that it received, in order of time"),
        |(.., coats)| list(coats.iter().map(|coat| coat.coat.to_string())),
    )
    .column(
        TableColumn::wholes(
            "chain_lines",
            "the lines of data/records/coating/coats.csv where they stand, in that order",
        ),
        |(.., coats)| {
            list(coats.iter().filter_map(|coat| Some(coat.place.line?.to_string())))
        },
    )
    .column(
        TableColumn::wholes("missing", "numbers of the scheme's coats that it did not get"),
        |(_, part, _)| list(part.missing.iter().map(ToString::to_string)),
    )
    .optional(
        "area",
        AREA,
        "its area, along the plating where the zone's true area is recorded, else in plan",
        |(_, part, _)| figure(part.area_m2),
    )
    .table
    .numbered("part")
}

fn applications(examined: &Examined) -> Table {
    let project = &examined.project;
    let zoned = project.coats.iter().zip(&examined.recomputed.coating.applied);
    let mut table = Draft::new(
        "applications",
        "one row is an application: the steel that it claims and reached, the paint that this takes, and the worst of \
         its climate",
        zoned,
    )
    .key("application", Holds::Text, "its name", |(coat, _)| coat.name.clone())
    .always("zone", Holds::Ref(Kind::Zone), "its zone", |(coat, _)| coat.zone.clone());
    type Kept = fn(&Applied) -> Option<f64>;
    let columns: [(&'static str, Holds, &'static str, Kept); 17] = [
        ("claimed", AREA, "what it claims, within its zone", |a| a.claimed_m2),
        ("reached", AREA, "what it reached: free of blocks and dry from start to finish", |a| {
            a.reached_m2
        }),
        ("on_blocks", AREA, "what it claims where blocks stood", |a| a.on_blocks_m2),
        ("outside", AREA, "what it claims outside its zone", |a| a.outside_m2),
        ("lacking", AREA, "what it reached that had not got the coat before it", |a| a.lacking_m2),
        (
            "over_later",
            AREA,
            "what it reached that carried a later coat of the scheme and had not been prepared anew since",
            |a| a.over_later_m2,
        ),
        ("nominal_film", LENGTH, "nominal dry film of the coat", |a| a.nominal_m),
        ("dry_from_wet", LENGTH, "dry film that its wet film leaves", |a| a.dry_from_wet_m),
        (
            "expected_paint",
            VOLUME,
            "paint that the steel it reached takes at the nominal film, without losses",
            |a| a.expected_l,
        ),
        ("used_paint", RATIO, "paint used in per cent of that", |a| a.used_pct),
        ("least_margin", KELVINS, "least margin of the steel over the dew point", |a| {
            Some(a.climate?.least_margin_k?.0)
        }),
        ("highest_humidity", RATIO, "highest relative humidity", |a| {
            Some(a.climate?.highest_humidity_pct?.0)
        }),
        ("coldest_steel", DEGREES, "coldest steel", |a| Some(a.climate?.coldest_steel_c?.0)),
        ("warmest_steel", DEGREES, "warmest steel", |a| Some(a.climate?.warmest_steel_c?.0)),
        ("coldest_air", DEGREES, "coldest air", |a| Some(a.climate?.coldest_air_c?.0)),
        ("warmest_air", DEGREES, "warmest air", |a| Some(a.climate?.warmest_air_c?.0)),
        (
            "climate_age",
            DURATION,
            "longest time from a moment of the application to the nearest reading",
            |a| a.climate?.age_h,
        ),
    ];
    for (name, holds, about, kept) in columns {
        table = if holds_film(name) {
            table.film(name, about, |(_, applied)| kept(applied))
        } else {
            table.optional(name, holds, about, |(_, applied)| figure(kept(applied)))
        };
    }
    let read = |(_, applied): &(&Application, &Applied)| applied.read_between(project);
    table
        .optional("readings", COUNT, "climate readings that count for it", |(_, applied)| {
            let count = applied.climate.map_or(0, |worst| worst.count);
            if count == 0 { String::new() } else { count.to_string() }
        })
        .optional("first_reading", Holds::Time, "when the first of them was taken", |row| {
            read(row).map(|(first, _)| written(first)).unwrap_or_default()
        })
        .taken_from_records()
        .optional("last_reading", Holds::Time, "when the last of them was taken", |row| {
            read(row).map(|(_, last)| written(last)).unwrap_or_default()
        })
        .taken_from_records()
        .table
}

/// Whether a column of applications is a film.
fn holds_film(name: &str) -> bool {
    matches!(name, "nominal_film" | "dry_from_wet")
}

/// How an interval came out against its window.
const KEPT: &[&str] = &["within", "too-soon", "too-late", "both", "flooded", "no-window"];

fn intervals(examined: &Examined) -> Table {
    let project = &examined.project;
    let applied = &examined.recomputed.coating.applied;
    let over = applied.iter().flat_map(|applied| &applied.over).map(|one| (false, one));
    let tie_ins = applied.iter().flat_map(|applied| &applied.tie_ins).map(|one| (true, one));
    let name = |at: usize| project.coats.get(at).map_or(String::new(), |coat| coat.name.clone());
    Draft::new(
        "intervals",
        "one row is a coat over another, or a patch that ties in to the coating round it, with the window between them",
        over.chain(tie_ins),
    )
    .key("upper", Holds::Text, "the later application", |(_, one)| name(one.upper))
    .key("lower", Holds::Text, "the earlier application", |(_, one)| name(one.lower))
    .key("at_tie_in", Holds::Flag, "whether they meet along an edge", |(tie_in, _)| flag(*tie_in))
    .optional("common_area", AREA, "on how much steel in plan they meet", |(tie_in, one)| {
        figure((!tie_in).then_some(one.meet))
    })
    .optional("common_edge", LENGTH, "along how much edge they meet", |(tie_in, one)| {
        figure(tie_in.then_some(one.meet))
    })
    .always("shortest", DURATION, "finish of the earlier to start of the later", |(_, one)| {
        figure(one.shortest_h)
    })
    .always("longest", DURATION, "start of the earlier to finish of the later", |(_, one)| {
        figure(one.longest_h)
    })
    .optional("coldest_steel_between", DEGREES, "coldest steel in it", |(_, one)| {
        figure(one.steel_c.map(|steel| steel.0))
    })
    .optional("warmest_steel_between", DEGREES, "warmest steel in it", |(_, one)| {
        figure(one.steel_c.map(|steel| steel.1))
    })
    .optional("window_least", DURATION, "least time of the window", |(_, one)| {
        figure(one.window.ok().map(|window| window.least_h))
    })
    .optional("window_greatest", DURATION, "greatest time of the window", |(_, one)| {
        figure(one.window.ok().and_then(|window| window.greatest_h))
    })
    .always(
        "kept",
        Holds::Word(KEPT),
        "how it lies to its window; flooded across a flooding, no-window where none can be given",
        |(_, one)| {
            let word = match one.kept {
                _ if one.flooded => "flooded",
                Some(Timing::Within) => "within",
                Some(Timing::TooSoon) => "too-soon",
                Some(Timing::TooLate) => "too-late",
                Some(Timing::TooSoonAndTooLate) => "both",
                None => "no-window",
            };
            word.to_string()
        },
    )
    .table
}

fn immersions(examined: &Examined) -> Table {
    let project = &examined.project;
    let applied = examined.recomputed.coating.applied.iter();
    Draft::new(
        "immersions",
        "one row is an application that lay uppermost when the water came",
        applied.flat_map(|applied| &applied.immersions),
    )
    .key("application", Holds::Text, "the application", |one| {
        project.coats.get(one.coat).map_or(String::new(), |coat| coat.name.clone())
    })
    .key("position", Holds::Ref(Kind::Position), "the position that the water ended", |one| {
        project.positions.get(one.position).map_or(String::new(), |position| position.id.clone())
    })
    .always("area_reached", AREA, "on how much steel it lay uppermost, in plan", |one| {
        figure(one.area_m2)
    })
    .always("immersed_after", DURATION, "from its finish to the water", |one| figure(one.after_h))
    .optional("least_to_immersion", DURATION, "the least that its product asks for", |one| {
        figure(one.least_h)
    })
    .taken_from_records()
    .table
}

fn preparation(examined: &Examined) -> Table {
    let coats = examined.project.coats.iter().zip(&examined.recomputed.coating.applied);
    let rows = coats.filter_map(|(coat, applied)| Some((coat, applied.prepared.as_ref()?)));
    Draft::new(
        "preparation",
        "one row is an application whose coat asks for a preparation: the worst of the checks that count",
        rows,
    )
    .key("application", Holds::Text, "the application", |(coat, _)| coat.name.clone())
    .column(TableColumn::wholes("checks", "how many checks count"), |(_, prepared)| {
        prepared.checks.len().to_string()
    })
    .optional("grade", Holds::Text, "of each method the least clean grade", |(_, prepared)| {
        let checks = prepared.least_clean.iter();
        let checks = checks.filter_map(|at| examined.project.preparation.get(*at));
        list(checks.filter_map(|check| check.grade.clone()))
    })
    .film("least_profile", "least profile", |(_, prepared)| {
        prepared.profile_m.map(|profile| profile.0)
    })
    .film("greatest_profile", "greatest profile", |(_, prepared)| {
        prepared.profile_m.map(|profile| profile.1)
    })
    .optional("most_salts", SALTS, "most salts", |(_, prepared)| {
        figure(prepared.most_salts_mg_m2)
    })
    .optional("most_chloride", SALTS, "most chloride", |(_, prepared)| {
        figure(prepared.most_chloride_mg_m2)
    })
    .optional("most_conductivity", CONDUCTIVITY, "greatest conductivity", |(_, prepared)| {
        figure(prepared.most_conductivity_us_cm)
    })
    .optional("most_dust", Holds::Number(Range::NotNegative), "most dust, by its class", |(_, prepared)| {
        figure(prepared.most_dust)
    })
    .optional(
        "preparation_age",
        DURATION,
        "from the last check that prepares the steel to the start of the coat",
        |(_, prepared)| figure(prepared.age_h),
    )
    .optional("uncovered", AREA, "steel coated without a check that prepares it", |(_, prepared)| {
        figure(prepared.uncovered_m2)
    })
    .table
}

fn film(examined: &Examined) -> Table {
    let project = &examined.project;
    let mut table = Draft::new(
        "film",
        "one row is the film of a zone after a coat, less the gauge's correction for the profile where it is recorded",
        &examined.recomputed.coating.film,
    )
    .key("zone", Holds::Ref(Kind::Zone), "the zone", |film| {
        project.zones.get(film.zone).map_or(String::new(), |zone| zone.id.clone())
    })
    .key("after_coat", COUNT, "the coat after which it was read", |film| film.coat.to_string())
    .always("readings", COUNT, "how many readings", |film| film.readings.len().to_string());
    type Kept = fn(&Film) -> Option<f64>;
    let columns: [(&'static str, &'static str, Kept); 11] = [
        ("mean_film", "mean of the readings", |f| Some(f.statistics?.mean_m)),
        ("film_deviation", "standard deviation of the sample", |f| f.statistics?.deviation_m),
        ("smallest_film", "smallest reading", |f| Some(f.statistics?.least_m)),
        ("lower_quartile", "lower quartile", |f| Some(f.statistics?.quartiles_m[0])),
        ("median_film", "median", |f| Some(f.statistics?.quartiles_m[1])),
        ("upper_quartile", "upper quartile", |f| Some(f.statistics?.quartiles_m[2])),
        ("largest_film", "largest reading", |f| Some(f.statistics?.greatest_m)),
        ("nominal_total", "nominal of the coats so far", |f| f.wanted.nominal_m),
        ("least_total", "specified least of the coats so far", |f| f.wanted.least_m),
        ("greatest_total", "specified greatest of the coats so far", |f| f.wanted.greatest_m),
        ("least_allowed", "least that a single reading, by SSPC-PA 2 a spot, may be", |f| {
            f.least_allowed_m()
        }),
    ];
    for (name, about, kept) in columns {
        table = table.film(name, about, |film| kept(film));
    }
    table.table
}

fn never_exposed_in_history(history: &History) -> Table {
    pieces(
        "history-never-exposed",
        "one row is a piece of the bottom that blocks hid in every position of every docking on record that \
         can be placed, from aft to forward",
        &history.never_exposed,
        |piece| piece.extent,
        |piece| piece.area_m2,
    )
    .table
}

/// The words for what lies uppermost.
const LIES: &[&str] = &["coat", "blasted", "not-known", "none"];

fn uppermost(history: &History) -> Table {
    const HOURS_IN_A_DAY: f64 = 24.0;
    // The last row is the part with no coat on record.
    let no_coat = (!history.no_coat.0.is_empty()).then_some(None);
    Draft::new(
        "uppermost",
        "one row is the part of the bottom on which one docking's coat of one day lies uppermost, the newest \
         first; areas in plan",
        history.uppermost.iter().map(Some).chain(no_coat),
    )
    .optional("docking", Holds::Text, "the name of that docking's bundle", |part| {
        let docking = part.and_then(|part| history.dockings.get(part.docking));
        docking.map(|docking| docking.name.clone()).unwrap_or_default()
    })
    .always(
        "lies",
        Holds::Word(LIES),
        "a coat; none, since it was blasted and not coated again; not known, since what its coats reached \
         can't be told; or none on record",
        |part| {
            let lies = part.map_or("none", |part| match part.lies {
                history::Lies::Coat(_) => "coat",
                history::Lies::Blasted => "blasted",
                history::Lies::NotKnown => "not-known",
            });
            lies.to_string()
        },
    )
    .optional("day", Holds::Date, "the day on which the coat was finished", |part| match part {
        Some(part) => match part.lies {
            history::Lies::Coat(day) => day.to_string(),
            _ => String::new(),
        },
        None => String::new(),
    })
    .optional(
        "age",
        Holds::Measure(Quantity::Duration, Range::Any),
        "from that day to the last day of the newest docking",
        |part| figure(part.and_then(|part| part.age_d).map(|days| days as f64 * HOURS_IN_A_DAY)),
    )
    .always("area", AREA, "its area in plan", |part| {
        figure(part.map_or_else(|| area_m2(&history.no_coat), |part| part.area_m2))
    })
    .table
    .numbered("part")
}
