//! How she landed: arrival, then position by position, then weights moved and undocking; and the same in a line a
//! position for the next team.

use super::drawings::drawings_of;
use super::pieces::{centimetres, metres};
use crate::calc::landing::{loss_by_kg_m, loss_by_km_m};
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::landing::checks::landing_checks;
use crate::findings::loads::measured_gaps;
use crate::findings::recomputed::afloat::Survey;
use crate::findings::recomputed::landing::Landing;
use crate::findings::recomputed::loads::{Borne, Loads};
use crate::findings::recomputed::water::WaterLog;
use crate::findings::subject::{ByName, Subject};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::records::blocks::BlockRow;
use crate::records::checks::called;
use crate::records::drafts::Occasion;
use crate::records::positions::Position;
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, Measure, Text, count, id};
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// What the calculations take for granted.
const ASSUMPTIONS: [&str; 5] = [
    "From first touch until the dock is dry, the upthrust and the load as the water falls are those of a rigid \
     keel of the shape that the drafts show; only loads and gaps block by block are those of a girder that \
     bends and shears.",
    "Until she is landed, the upthrust is on the knuckle block alone.",
    "A block is taken as its layers in series, each equally stiff at every load. Timber across the grain is far \
     from that: it stiffens as it is pressed, and creeps; loads and gaps are estimates.",
    "The centre of gravity lies on the centreline (y = 0) when she stands in the dry dock.",
    "With water still in the dock, buoyancy is spread as a trapezoid of the right total and centre where \
     no curve was recorded.",
];

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let examined = inputs.examined;
    let project = &examined.project;
    let mut section = Section::new("Landing").at("landing");
    let is_of_landing = |path: &str| path.starts_with("landing/");
    let mut sheets = project.sheets.iter().filter(|sheet| is_of_landing(sheet.spec.path));
    if sheets.all(|sheet| sheet.entries.is_empty()) {
        section.paragraph(
            "Nothing of the landing was recorded: no drafts, water levels, checks, gaps or weights.",
        );
        return section;
    }
    section.lead(
        "How she came down on the blocks, how she sat on them, and how she left them. These are estimates from \
         the readings given, on these assumptions:",
    );
    section.list(ASSUMPTIONS.map(Text::from));
    if let Some(arrival) = examined.recomputed.ship.survey(None, Occasion::Arrival) {
        section.part("Arrival");
        section.drawings(drawings_at(inputs, Group::LandingDrafts, None));
        survey(&mut section, examined, arrival, None);
    }
    let landings = project.positions.iter().zip(&examined.recomputed.landings);
    for (number, (position, landing)) in landings.enumerate() {
        At { inputs, examined, number, position, landing }.add_to(&mut section);
    }
    undocking(&mut section, examined);
    section
}

/// The drawings of a group that show a position, or the ship without one.
fn drawings_at(inputs: &Inputs<'_>, group: Group, position: Option<&str>) -> Vec<usize> {
    let mut drawings = drawings_of(inputs, group);
    drawings.retain(|n| inputs.drawings[*n].position.as_deref() == position);
    drawings
}

fn tonnes(value_t: f64) -> Measure {
    Form::Mass.measure(value_t).decimals(1)
}

/// A load in kN as the mass that weighs so much.
fn as_mass(load_kn: f64) -> Measure {
    tonnes(load_kn / STANDARD_GRAVITY_M_PER_S2)
}

fn draft(value_m: f64) -> Measure {
    Form::Draft.measure(value_m)
}

/// A draft survey: the readings, and what they give. `landing` is that of the position if KG belongs to it.
fn survey(section: &mut Section, examined: &Examined, survey: &Survey, landing: Option<&Landing>) {
    let project = &examined.project;
    let name = survey.name(project);
    let aside = survey.drafts.as_ref().and_then(|drafts| drafts.set_aside);
    let columns = [
        Column::measure("Mark, x", Form::Length),
        Column::measure("y, + to port", Form::Length),
        Column::measure("Draft", Form::Draft),
        Column::measure("Water", Form::Density),
        Column::name("At"),
        Column::text("Read by"),
        Column::name("Used"),
    ];
    let readings = survey.readings.iter().enumerate().filter_map(|(n, number)| {
        let reading = project.drafts.get(*number)?;
        Some([
            centimetres(reading.mark_x_m).into(),
            centimetres(reading.mark_y_m).into(),
            draft(reading.draft_m).into(),
            reading.water_density_t_m3.map(|density| Form::Density.measure(density)).into(),
            reading.at.into(),
            reading.by.as_deref().into(),
            if aside == Some(n) { "set aside" } else { "yes" }.into(),
        ])
    });
    section.table(Table::new(columns).rows(readings));
    let is_of_marks = |made: &&Finding| match &made.subject {
        Subject::Marks(survey, _) => *survey == name,
        _ => false,
    };
    let of_marks = examined.findings.iter().filter(is_of_marks);
    let differing = of_marks.filter(|made| made.outcome == Outcome::Differs);
    section.paragraph(Text::joined(differing.map(|made| Text::from(&made.sentence)), " "));
    section.table(results(project, survey, landing));
    let displacement = examined.finding(&Subject::Displacement(name.clone()));
    if let Some(made) = displacement.filter(|made| made.outcome == Outcome::NotRecorded) {
        section.paragraph(&made.sentence);
    }
}

fn results(project: &Project, survey: &Survey, landing: Option<&Landing>) -> Table {
    let (drafts, out) = (survey.drafts.as_ref(), survey.displacement.as_ref());
    let density = survey.water_density_t_m3.map(|density| Form::Density.measure(density));
    let mut results: Vec<(&str, Option<Measure>)> = vec![
        ("Draft at the aft perpendicular, A", survey.draft_aft(project)),
        ("Draft amidships, M", drafts.and_then(|d| d.amidships_m).map(draft)),
        ("Draft at the forward perpendicular, F", survey.draft_forward(project)),
        ("Trim, + by the stern", drafts.map(|d| metres(d.trim_m))),
        ("List, + to port", survey.list(project)),
        ("Hog, sag negative", drafts.and_then(|d| d.hog_m).map(metres)),
        ("Quarter mean (without M: mean of the ends)", drafts.map(|d| draft(d.mean_m))),
        (
            "Draft at the LCF, three quarters of the hog taken off",
            out.map(|out| draft(out.draft_at_lcf_m)),
        ),
        ("Density of the water", density),
        ("Displacement by the table at that mean", out.map(|out| tonnes(out.from_table_t))),
        ("First trim correction", out.map(|out| tonnes(out.first_t))),
        ("Second trim correction", out.map(|out| tonnes(out.second_t))),
        (
            "Displacement, in the water she lay in",
            survey.displaced(project).map(|mass| mass.decimals(1)),
        ),
        ("LCG, x forward of the SRP", survey.lcg(project)),
    ];
    results.extend(landing.map(|landing| ("KG, free surface counted", landing.kg_m.map(metres))));
    let facts = results.into_iter().map(|(what, value)| (what.into(), value.into()));
    Table::facts(["From the readings", "Value"], facts)
}

/// A position, and how she landed in it.
struct At<'a> {
    inputs: &'a Inputs<'a>,
    examined: &'a Examined,
    number: usize,
    position: &'a Position,
    landing: &'a Landing,
}

impl At<'_> {
    fn add_to(&self, section: &mut Section) {
        section.part(text!("Position {}", id(&self.position.id)));
        section.subpart("Drafts before landing");
        let drafts =
            self.examined.recomputed.ship.survey(Some(self.number), Occasion::BeforeLanding);
        match drafts {
            None => {
                section.paragraph("Drafts before landing were not recorded.");
            }
            Some(drafts) => {
                section.drawings(self.drawings(Group::LandingDrafts));
                survey(section, self.examined, drafts, Some(self.landing));
            }
        }
        section.subpart("From first touch to landed");
        self.touch(section);
        section.drawings(self.drawings(Group::LandingCurve));
        section.subpart("Water");
        self.water(section);
        section.subpart("Load as the water falls");
        self.load_as_the_water_falls(section);
        section.subpart("Gaps");
        self.gaps(section);
        section.subpart("Block loads");
        self.loads(section);
        section.subpart("Landing checks");
        self.checks(section);
    }

    fn drawings(&self, group: Group) -> Vec<usize> {
        drawings_at(self.inputs, group, Some(&self.position.id))
    }

    fn finding(&self, subject: fn(String) -> Subject) -> Option<&Finding> {
        self.examined.finding(&subject(self.position.id.clone()))
    }

    /// First touch, the critical instant, and the stability that is left.
    fn touch(&self, section: &mut Section) {
        let landing = self.landing;
        let (Some(afloat), Some(touch)) = (landing.afloat.as_ref(), landing.touch) else {
            let why_not = self
                .finding(Subject::Knuckle)
                .filter(|made| made.outcome == Outcome::NotRecorded && landing.touch.is_none());
            section.paragraph(match why_not {
                Some(made) => Text::from(&made.sentence),
                None => "Nothing of the landing was recorded.".into(),
            });
            return;
        };
        let block = |seat: usize| {
            let (number, seat) = landing.seats.get(seat)?;
            let block = self.examined.project.blocks.get(*number)?;
            Some(text!("{}, at x = {}", id(&block.id), centimetres(seat.x_m)))
        };
        let second = landing.second.and_then(|second| {
            Some(text!(
                "{}, with {} of trim {} the line of the blocks",
                block(second.seat)?,
                metres(second.left_m.abs()),
                if second.left_m < 0.0 { "past" } else { "left over" }
            ))
        });
        let log = WaterLog::new(&self.examined.project, &self.position.id);
        let level = |level: Option<Measure>, at: Option<_>| {
            let level = level?;
            Some(match at.and_then(|at| log.level_at(at)) {
                Some(logged) => text!("{}; {} by the log", level, metres(logged)),
                None => text!("{}; log: not recorded", level),
            })
        };
        let (critical, kg, gm) = (landing.critical, landing.kg_m, landing.gm_m());
        let weight = afloat.displacement_t;
        let length = |value: Option<f64>| value.map(metres).into();
        let mass = |value: Option<f64>| value.map(tonnes).into();
        let position = &self.position.id;
        let times = &self.position.times;
        let rows: [(&str, Cell, Option<ByName>); 16] = [
            (
                "Trim against the line of the blocks",
                landing.relative_trim(position).into(),
                Some(Subject::Trim),
            ),
            ("Knuckle block: the first touched", block(touch.seat).into(), Some(Subject::Knuckle)),
            (
                "Water level at first touch, recomputed",
                level(landing.level_touched(position), times.touched).into(),
                Some(Subject::WaterTouched),
            ),
            (
                "Block touched second, turning about the knuckle",
                second.into(),
                Some(Subject::SecondTouch),
            ),
            ("Upthrust P by the formula MCT t / l", mass(landing.simple_upthrust_t), None),
            (
                "Upthrust P by equilibrium, at the critical instant",
                landing.upthrust(position).map(|mass| mass.decimals(1)).into(),
                Some(Subject::KnuckleLoad),
            ),
            (
                "Pressure of all P on the knuckle block\u{2019}s cap alone",
                landing.knuckle_pressure(position).map(|pressure| pressure.decimals(0)).into(),
                Some(Subject::KnucklePressure),
            ),
            (
                "Loss of GM as P KM / W",
                length(critical.map(|c| loss_by_km_m(c.upthrust_t, c.km_m, weight))),
                None,
            ),
            (
                "Loss of GM as P KG / (W \u{2212} P)",
                length(critical.zip(kg).map(|(c, kg)| loss_by_kg_m(c.upthrust_t, kg, weight))),
                None,
            ),
            ("GM left, by P KM / W", length(gm.map(|gm| gm[0])), None),
            ("GM left, by P KG / (W \u{2212} P)", length(gm.map(|gm| gm[1])), None),
            (
                "The smaller GM at the critical instant",
                landing.least_gm(position).into(),
                Some(Subject::LeastGm),
            ),
            (
                "Draft at the LCF when landed",
                critical.map(|c| draft(c.draft_at_lcf_m)).into(),
                None,
            ),
            (
                "Draft at instability (GM nil), at the LCF",
                landing.instability_draft_m.map(draft).into(),
                None,
            ),
            (
                "Margin: landed deeper than the draft at instability",
                landing.margin(position).into(),
                Some(Subject::NilGm),
            ),
            (
                "Water level when landed, recomputed",
                level(landing.level_landed(position), times.landed).into(),
                Some(Subject::WaterLanded),
            ),
        ];
        let rows = rows.map(|(what, value, held)| {
            let made = held.and_then(|subject| self.finding(subject));
            [what.into(), value, Cell::against(made), Cell::outcome_of(made)]
        });
        let columns = [
            Column::text("Landing"),
            Column::text("Value"),
            Column::name("Held against").mm(42.0),
            Column::outcome(),
        ];
        section.table(Table::new(columns).rows(rows).whole());
    }

    fn water(&self, section: &mut Section) {
        let log = WaterLog::new(&self.examined.project, &self.position.id);
        if log.readings.is_empty() {
            section.paragraph("No water level was recorded.");
            return;
        }
        section.drawings(self.drawings(Group::LandingWater));
        let rate = |m_per_h: f64| Form::LevelRate.measure(m_per_h);
        let columns = [
            Column::text("Fall of the water"),
            Column::name("From"),
            Column::name("To"),
            Column::measure("Mean", Form::LevelRate),
            Column::measure("Fastest", Form::LevelRate),
        ];
        let falls = log.falls(self.position).into_iter().map(|(what, fall)| {
            [
                what.into(),
                fall.from.at.into(),
                fall.to.at.into(),
                rate(fall.mean_m_per_h).into(),
                fall.fastest_m_per_h.map(rate).into(),
            ]
        });
        section.table(Table::new(columns).rows(falls));
        let columns = [
            Column::name("Stood still from").share(1.0),
            Column::name("To").share(1.0),
            Column::measure("How long", Form::Duration),
            Column::measure("Level", Form::Length),
        ];
        let halts = log.halts().into_iter().map(|halt| {
            let duration = Form::Duration.measure(halt.duration_h);
            [halt.from.into(), halt.to.into(), duration.into(), centimetres(halt.level_m).into()]
        });
        section.table(Table::new(columns).rows(halts));
        let columns = [
            Column::figure("No."),
            Column::name("Event"),
            Column::name("At"),
            Column::measure("Level", Form::Length),
            Column::measure("Since the one before", Form::LevelRate),
            Column::text("Note"),
        ];
        let events = log.events().into_iter().map(|event| {
            let water = event.water;
            [
                event.number.into(),
                water.event.as_deref().unwrap_or_default().replace('-', " ").into(),
                water.at.into(),
                centimetres(water.level_m).into(),
                Cell::if_any(event.rate_m_per_h.map(rate)),
                Cell::if_any(water.notes.as_deref()),
            ]
        });
        let events = Table::new(columns).rows(events).small();
        if events.rows.is_empty() {
            section.paragraph("The log names no event.");
        }
        section.table(events);
    }

    /// The load at some ten of the levels, first and last among them, and why there is none at others.
    fn load_as_the_water_falls(&self, section: &mut Section) {
        const MOST: usize = 9;
        let landing = self.landing;
        let level = |n: usize| Some(self.examined.project.water.get(n)?.level_m);
        section.paragraph(beyond_table(landing.beyond_table.iter().filter_map(|n| level(*n))));
        let all = landing.loads.len();
        if all == 0 {
            if landing.beyond_table.is_empty() {
                section.paragraph(
                    "Not recorded: it needs the drafts before landing, the line of the blocks, the time when she \
                     was landed, and the water log from then on.",
                );
            }
            return;
        }
        section.drawings(self.drawings(Group::LandingFall));
        let every = (all - 1).div_ceil(MOST).max(1);
        let listed =
            landing.loads.iter().enumerate().filter(|(n, _)| n % every == 0 || n + 1 == all);
        let rows = listed.filter_map(|(_, (n, load))| {
            Some([
                centimetres(level(*n)?).into(),
                Form::Mass.measure(load.load_t).decimals(0).into(),
                Cell::if_any(landing.centre_m(load).map(centimetres)),
            ])
        });
        let column = |head: &str, form| Column::measure(head, form).share(1.0);
        let columns = [
            column("Water level", Form::Length),
            column("Load on the blocks", Form::Mass),
            column("Centre of the load, x", Form::Length),
        ];
        let table = Table::new(columns).rows(rows);
        let about = if table.rows.len() < all {
            text!("At {} of the {} readings of the log that give a load:", table.rows.len(), all)
        } else {
            "At the readings of the log:".into()
        };
        section.table(table.about(about));
    }

    fn gaps(&self, section: &mut Section) {
        let project = &self.examined.project;
        let rows = measured_gaps(project, &self.position.id).map(|(gap, subject)| {
            let made = self.examined.finding(&subject);
            let predicted_m = made.and_then(|made| Some(made.recomputed.as_ref()?.measure()?.kept));
            let tenths = |value_m: f64| Form::Small.measure(value_m).decimals(1);
            [
                id(&gap.block).into(),
                gap.water_depth_m.map_or("dry".into(), |depth| centimetres(depth).into()),
                Form::Small.measure(gap.gap_m).into(),
                predicted_m.map(tenths).into(),
                Cell::if_any(predicted_m.map(|predicted| tenths(gap.gap_m - predicted))),
                Cell::outcome_of(made),
            ]
        });
        let columns = [
            Column::name("Block").mm(11.0),
            Column::measure("Water", Form::Length).mm(11.0),
            Column::measure("Measured", Form::Small).mm(14.0),
            Column::measure("Predicted", Form::Small).mm(14.0),
            Column::measure("Difference", Form::Small).mm(15.0),
            Column::outcome().share(1.0),
        ];
        let table = Table::new(columns).rows(rows).in_halves();
        if table.rows.is_empty() {
            section.paragraph("No gap was measured.");
            return;
        }
        section.drawings(self.drawings(Group::LandingGaps));
        let against = match project.docking.bounds.tolerance("gap") {
            Some(tolerance) => {
                let tolerance = Form::Small.measure(tolerance.value).as_stated();
                text!("; the tolerance is {}", tolerance)
            }
            None => Text::new(),
        };
        section.table(table.about(text!(
            "Gaps as surveyed, with the depth of water over the floor. The difference is measured less predicted{}.",
            against
        )));
    }

    fn loads(&self, section: &mut Section) {
        let project = &self.examined.project;
        let Some(loads) = self.examined.recomputed.loads.get(self.number) else { return };
        let why_not = loads.with_water(None).err();
        section.paragraph(why_not.map_or(Text::new(), |why| text!("Not recorded: {}.", why)));
        section.drawings(self.drawings(Group::LandingLoads));
        let borne = loads.borne(project);
        if borne.is_empty() {
            return;
        }
        section.table(balance(loads));
        let idle = borne.iter().filter(|borne| borne.is_idle());
        let idle = Text::listed(idle.map(|borne| id(&borne.block.id).into()));
        section.paragraph(if idle.is_empty() {
            "By this calculation every block that the hull lies over bears.".into()
        } else {
            text!("Standing but not bearing: {}.", idle)
        });
        let name = |n: usize| project.blocks.get(n).map(|block| id(&block.id));
        let left_out = loads.left_out.iter().filter_map(|row| {
            Some([
                name(row.block)?.into(),
                name(row.neighbour)?.into(),
                as_mass(row.with_kn).into(),
                as_mass(row.without_kn).into(),
                as_mass(row.without_kn - row.with_kn).into(),
            ])
        });
        let mass = |head: &str| Column::measure(head, Form::Mass).share(1.0);
        let columns = [
            Column::name("Left out").share(1.0),
            Column::name("Neighbour").share(1.0),
            mass("Load with the block standing"),
            mass("Load as it was"),
            mass("Increase"),
        ];
        section.table(
            Table::new(columns)
                .rows(left_out)
                .about("How leaving blocks out changed the load on their neighbours:"),
        );
        let columns = [
            Column::name("Block").share(1.1),
            Column::measure("x", Form::Length).share(1.0),
            mass("Load").share(0.9),
            mass("Rigid").share(0.9),
            Column::measure("Pressure", Form::Pressure).share(1.4),
            Column::measure("Limit", Form::Pressure).share(0.95),
            Column::measure("Part", Form::Ratio).share(0.85),
            Column::measure("Gap", Form::Small).share(0.9),
        ];
        let whole = |form: Form, value: f64| form.measure(value).decimals(0);
        let rows = borne.iter().map(|borne| {
            [
                id(&borne.block.id).into(),
                centimetres(borne.x_m).into(),
                as_mass(borne.load_kn).into(),
                borne.rigid_kn.map(as_mass).into(),
                borne.pressure(&self.position.id).map(|pressure| pressure.decimals(0)).into(),
                borne.limit_kpa.map(|kpa| whole(Form::Pressure, kpa)).into(),
                Cell::if_any(borne.part().map(|part| whole(Form::Ratio, 100.0 * part))),
                Form::Small.measure(borne.gap_m).into(),
            ]
        });
        section.table(Table::new(columns).rows(rows).in_halves().about(
            "Load on each block with the dock dry. Rigid is the load under a rigid ship, part the pressure in per cent of \
             its limit, gap what is left between cap and hull.",
        ));
    }

    /// Planned against found; of the centreline, found against where she lay.
    fn checks(&self, section: &mut Section) {
        let checks = landing_checks(&self.examined.project, &self.position.id);
        let rows = checks.map(|(check, subject)| {
            let made = self.examined.finding(&subject);
            let mut found = words_and_length(check.recorded.as_deref(), check.recorded_m);
            // A centreline's outcome is that of the position, not of the plan beside it.
            let by_position = made
                .filter(|_| check.check == "centreline" && check.recorded_m.is_some())
                .and_then(|made| made.recomputed.as_ref());
            if let (Some(found), Some(offset)) = (&mut found, by_position) {
                found.extend(text!("; {} by the position", offset));
            }
            [
                called(&check.check).into(),
                Cell::if_any(check.block.as_deref().map(id)),
                words_and_length(check.planned.as_deref(), check.planned_m).into(),
                found.into(),
                check.at.into(),
                Cell::outcome_of(made),
            ]
        });
        let columns = [
            Column::name("Check").mm(21.0),
            Column::name("Block").mm(11.0),
            Column::text("Planned"),
            Column::text("Found"),
            Column::name("At").mm(33.0),
            Column::outcome().mm(18.0),
        ];
        let table = Table::new(columns).rows(rows).small();
        if table.rows.is_empty() {
            section.paragraph("No landing check was recorded.");
        }
        section.table(table);
    }
}

/// That at some levels no load is known, and why.
fn beyond_table(levels_m: impl Iterator<Item = f64>) -> Text {
    let mut levels: Vec<f64> = levels_m.collect();
    levels.sort_by(f64::total_cmp);
    let (Some(lowest), Some(highest)) = (levels.first(), levels.last()) else {
        return Text::new();
    };
    let at = match levels.len() {
        1 => text!("1 reading, at a water level of {}", centimetres(*lowest)),
        n => text!(
            "{} readings, at water levels from {} down to {}",
            n,
            centimetres(*highest),
            centimetres(*lowest)
        ),
    };
    text!(
        "For {}, the load is not known: her draft then lies outside the hydrostatic table, while the water still wets \
         her.",
        at
    )
}

fn balance(loads: &Loads) -> Table {
    let Some(girder) = &loads.girder else { return Table::facts(["Balance", "Value"], []) };
    // What is left over is rounding: its size alone says something.
    let size = |form: Form, left: f64, least: f64, decimals: usize| -> Text {
        let size = |kept: f64| form.measure(kept).decimals(decimals);
        if left.abs() < least {
            text!("less than {}", size(least))
        } else {
            size(left.abs()).into()
        }
    };
    let force = size(Form::Force, girder.residual_force_kn, 0.001, 3);
    let weight_kn = loads.weight_t * STANDARD_GRAVITY_M_PER_S2;
    let apart = |moment_knm: f64| size(Form::Small, moment_knm / weight_kn, 1e-4, 1);
    let settlement = Form::Small.measure(girder.settlement_m).decimals(1);
    let facts = [
        ("Weight carried".into(), tonnes(loads.weight_t).into()),
        ("Sum of the loads".into(), as_mass(girder.loads_kn.iter().sum()).into()),
        ("Left over: force".into(), force.into()),
        (
            "Centre of the loads from that of the weight, along the ship".into(),
            apart(girder.residual_moment_knm).into(),
        ),
        ("The same, athwart".into(), apart(girder.residual_athwart_knm).into()),
        ("Settlement in the middle of the blocks".into(), settlement.into()),
    ];
    Table::facts(["Balance", "Value"], facts).whole()
}

/// Words and length as far as either was written down.
fn words_and_length(words: Option<&str>, length_m: Option<f64>) -> Option<Text> {
    match (words, length_m.map(metres)) {
        (Some(words), Some(length)) => Some(text!("{} ({})", words, length)),
        (Some(words), None) => Some(words.into()),
        (None, length) => length.map(Text::from),
    }
}

/// All draft surveys side by side, the weights moved, and the lift-off predicted from them.
fn undocking(section: &mut Section, examined: &Examined) {
    let project = &examined.project;
    section.part("Weights moved and undocking");
    let sum = |is_meant: fn(f64) -> bool| {
        let masses = project.moved.iter().map(|moved| moved.mass_t);
        tonnes(masses.filter(|mass| is_meant(*mass)).sum::<f64>().abs())
    };
    section.paragraph(if project.moved.is_empty() {
        "No weight is recorded as moved while she was docked.".into()
    } else {
        let (on, off) = (sum(|mass| mass > 0.0), sum(|mass| mass < 0.0));
        text!("{} put on and {} taken off.", on, off)
    });
    let place = |head: &str| Column::measure(head, Form::Length);
    let columns = [
        Column::name("At"),
        Column::text("Item"),
        Column::measure("Mass", Form::Mass),
        place("x"),
        place("y"),
        place("z"),
        Column::name("Note").mm(30.0),
    ];
    let moved = project.moved.iter().map(|moved| {
        [
            moved.at.into(),
            (&moved.item).into(),
            tonnes(moved.mass_t).into(),
            centimetres(moved.x_m).into(),
            centimetres(moved.y_m).into(),
            centimetres(moved.z_m).into(),
            Cell::if_any(moved.notes.as_deref()),
        ]
    });
    section.table(Table::new(columns).rows(moved).small());

    let columns = [
        Column::name("Position"),
        Column::text("What"),
        Column::measure("Moved", Form::Mass),
        Column::figure("Predicted"),
        Column::figure("Read"),
        Column::name("Held against"),
        Column::outcome(),
    ];
    let rows = (0..project.positions.len()).flat_map(|number| lift_off(examined, number));
    section.table(Table::new(columns).rows(rows).about(
        "Drafts and list at lift-off, predicted from the drafts before landing and the weights moved since:",
    ));
    let columns = [
        Column::text("Survey"),
        Column::name("At"),
        Column::measure("A", Form::Draft),
        Column::measure("M", Form::Draft),
        Column::measure("F", Form::Draft),
        Column::measure("Trim", Form::Length),
        Column::measure("List", Form::Angle),
        Column::measure("Hog", Form::Small),
        Column::measure("Displacement", Form::Mass),
    ];
    let surveys = &examined.recomputed.ship.surveys;
    let rows = surveys.iter().map(|survey| {
        let drafts = survey.drafts.as_ref();
        let occasion = survey.occasion.word().replace('-', " ");
        let position = survey.position.and_then(|number| project.positions.get(number));
        [
            match position {
                Some(position) => text!("{}, {}", id(&position.id), occasion).into(),
                None => occasion.into(),
            },
            survey.at.into(),
            survey.draft_aft(project).into(),
            drafts.and_then(|drafts| drafts.amidships_m).map(draft).into(),
            survey.draft_forward(project).into(),
            drafts.map(|drafts| metres(drafts.trim_m)).into(),
            survey.list(project).into(),
            drafts.and_then(|d| d.hog_m).map(|hog| Form::Small.measure(hog).signed()).into(),
            survey.displaced(project).map(|mass| mass.decimals(1)).into(),
        ]
    });
    section.table(
        Table::new(columns)
            .rows(rows)
            .small()
            .about("All draft surveys, drafts at the perpendiculars (A, F) and amidships (M):"),
    );
    let is_after = |survey: &&Survey| {
        matches!(survey.occasion, Occasion::LiftOff | Occasion::Departure)
            && survey.displacement.is_none()
    };
    let why_not = surveys.iter().filter(is_after).filter_map(|survey| {
        let name = survey.name(project);
        Some(Text::from(&examined.finding(&Subject::Displacement(name.clone()))?.sentence))
    });
    section.paragraph(Text::joined(why_not, " "));
}

/// Drafts and list at lift-off, predicted and read.
fn lift_off(examined: &Examined, number: usize) -> Vec<[Cell; 7]> {
    let recomputed = &examined.recomputed;
    let (Some(position), Some(landing)) =
        (examined.project.positions.get(number), recomputed.landings.get(number))
    else {
        return Vec::new();
    };
    let survey = recomputed.ship.survey(Some(number), Occasion::LiftOff);
    let read = survey.and_then(|survey| survey.drafts.as_ref());
    let predicted = landing.lift_off;
    if read.is_none() && predicted.is_none() {
        return Vec::new();
    }
    let moved = predicted.map(|lift| tonnes(lift.moved.mass_t));
    let row = |what: &str,
               subject: fn(String) -> Subject,
               predicted: Option<Measure>,
               read: Option<Measure>| {
        let made = examined.finding(&subject(position.id.clone()));
        [
            id(&position.id).into(),
            what.into(),
            moved.into(),
            predicted.into(),
            read.into(),
            Cell::against(made),
            Cell::outcome_of(made),
        ]
    };
    vec![
        row(
            "draft aft",
            Subject::LiftOffAft,
            predicted.map(|lift| lift.draft_aft(&position.id)),
            survey.and_then(|survey| survey.draft_aft(&examined.project)),
        ),
        row(
            "draft forward",
            Subject::LiftOffForward,
            predicted.map(|lift| lift.draft_forward(&position.id)),
            survey.and_then(|survey| survey.draft_forward(&examined.project)),
        ),
        row(
            "list, + to port",
            Subject::LiftOffList,
            predicted.and_then(|lift| lift.list(&position.id)),
            survey.and_then(|survey| survey.list(&examined.project)),
        ),
    ]
}

/// Blocks that did not bear, by name, that find room in a line; more are counted.
const MOST_BLOCKS: usize = 4;

/// How she landed, for the page of what the next team needs to know: a line for each position of which something
/// could be worked out.
pub(super) fn lines(examined: &Examined) -> Vec<Text> {
    (0..examined.project.positions.len()).filter_map(|number| line(examined, number)).collect()
}

fn line(examined: &Examined, number: usize) -> Option<Text> {
    let project = &examined.project;
    let position = project.positions.get(number)?;
    let landing = examined.recomputed.landings.get(number)?;
    let mut parts: Vec<Text> = Vec::new();
    if let Some(touch) = landing.touch {
        let block = landing.seats.get(touch.seat).and_then(|(n, _)| project.blocks.get(*n));
        parts.extend(block.map(|block| text!("touched first at {}", id(&block.id))));
    }
    parts.extend(landing.least_gm(&position.id).map(|gm| text!("least GM {}", gm.decimals(2))));
    let borne = examined.recomputed.loads.get(number).map(|loads| loads.borne(project));
    let borne = borne.unwrap_or_default();
    if let Some(most) = borne.iter().max_by(|a, b| a.load_kn.total_cmp(&b.load_kn)) {
        let load = as_mass(most.load_kn).decimals(0);
        parts.push(text!("greatest block load {} on {}", load, id(&most.block.id)));
        parts.extend(beyond_limit(&position.id, &borne));
        let idle: Vec<Text> = borne
            .iter()
            .filter(|borne| borne.block.row == BlockRow::Keel && borne.is_idle())
            .map(|borne| id(&borne.block.id).into())
            .collect();
        parts.push(match idle.len() {
            0 => "by the same calculation every keel block under her bore".into(),
            n if n <= MOST_BLOCKS => text!("keel blocks not bearing: {}", Text::listed(idle)),
            n => text!("{} not bearing, see Landing", count(n, "keel block", "keel blocks")),
        });
    }
    (!parts.is_empty()).then(|| text!("{}: {}.", id(&position.id), Text::joined(parts, "; ")))
}

/// The blocks that bore more than they may.
fn beyond_limit(position: &str, borne: &[Borne<'_>]) -> Option<Text> {
    let beyond = borne.iter().filter(|borne| borne.is_beyond_limit()).filter_map(|borne| {
        let limit = Form::Pressure.measure(borne.limit_kpa?).decimals(0);
        let kpa = borne.pressure(position)?.decimals(0);
        Some(text!("{} ({}, limit {})", id(&borne.block.id), kpa, limit))
    });
    let beyond = Text::joined(beyond, ", ");
    (!beyond.is_empty()).then(|| text!("beyond their bearing limit: {}", beyond))
}
