//! How she landed and was undocked: what she drew, then how she came down in each position, positions side by side,
//! then how she left.

use super::drawings::drawings_of;
use crate::findings::Examined;
use crate::findings::bilge::set_in;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::holds::signed_in;
use crate::findings::landing::checks::landing_checks;
use crate::findings::loads::measured_gaps;
use crate::findings::recomputed::afloat::Survey;
use crate::findings::recomputed::landing::Landing;
use crate::findings::recomputed::loads::{Borne, Buoyancy, LeftOut, Loads, caveats};
use crate::findings::recomputed::water::{Halt, WaterLog};
use crate::findings::subject::{ByName, Subject};
use crate::pages::pieces::{centimetres, metres};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::records::bilge::BilgeBlock;
use crate::records::blocks::Block;
use crate::records::checks::{Gap, LandingCheck, called};
use crate::records::drafts::Occasion;
use crate::records::holds::{Hold, HoldPoint};
use crate::records::positions::Position;
use crate::records::weights::Moved;
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::sentence::range;
use crate::text::{Form, Measure, Piece, Text, count, id, strong};
use crate::units::nine_digits;

/// What the calculations take for granted.
const ASSUMPTIONS: [&str; 6] = [
    "From first touch until the dock is dry she is a rigid keel of the shape that the drafts show; only loads and gaps \
     block by block are those of a girder that bends and shears.",
    "Until she is landed, the upthrust is on the first block touched alone.",
    "A block is its layers in series, each equally stiff at every load. Timber across the grain is far from that: it \
     stiffens as it is pressed, and creeps; loads and gaps are estimates.",
    "The centre of gravity lies on the centreline (y = 0) when she stands in the dry dock.",
    "A hauled block bears from its hauling on as if it had stood there; what it took up as it was hauled tight is not known.",
    "With water still in the dock, buoyancy is a trapezoid of the right total and centre where no curve was recorded.",
];

/// So many positions stand side by side in a table; more go on in the next.
const MOST_SIDE_BY_SIDE: usize = 3;
/// So many names of blocks are listed in a cell; more are counted.
const MOST_NAMED: usize = 8;
/// So many rows of exceptions, checks or weights are printed; the others stand in the derived tables.
const MOST_LISTED: usize = 24;

/// Where the rows stand that a table has no room for.
const ELSEWHERE: &str = "the derived tables of the bundle";

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let examined = inputs.examined;
    let project = &examined.project;
    let mut section = Section::new("Landing and undocking").at("landing");
    let is_of_landing = |path: &str| path.starts_with("landing/");
    let mut sheets = project.sheets.iter().filter(|sheet| is_of_landing(sheet.spec.path));
    if sheets.all(|sheet| sheet.entries.is_empty()) {
        section.paragraph(
            "Nothing of the landing was recorded: no drafts, water levels, checks, gaps or weights.",
        );
        return section;
    }
    section.paragraph(
        "What she drew, how she came down on the blocks and sat on them, and how she left them. Figures not marked as \
         read or measured are estimates worked out from the readings, on the assumptions at the end of this section.",
    );
    section.list(not_recorded(examined));
    let page = Page { inputs, examined, project };
    page.drafts(&mut section);
    page.landed(&mut section);
    page.water(&mut section);
    page.checks(&mut section);
    page.holds(&mut section);
    page.loads(&mut section);
    page.gaps(&mut section);
    page.undocking(&mut section);
    section.part("What these figures take for granted");
    section.list(ASSUMPTIONS.map(Text::from));
    section
}

/// What of the landing nobody wrote down, kind by kind, with the positions that it is missing in.
fn not_recorded(examined: &Examined) -> Vec<Text> {
    let project = &examined.project;
    let ship = &examined.recomputed.ship;
    type IsMissing<'a> = &'a dyn Fn(usize, &Position) -> bool;
    let is_missing: [(&str, IsMissing<'_>); 4] = [
        ("drafts before landing, and so how she touched", &|n, _| {
            ship.survey(Some(n), Occasion::BeforeLanding).is_none()
        }),
        ("water levels", &|_, position| !project.water.iter().any(|w| w.position == position.id)),
        ("landing checks", &|_, position| {
            !project.checks.iter().any(|c| c.position == position.id)
        }),
        ("measured gaps", &|_, position| !project.gaps.iter().any(|g| g.position == position.id)),
    ];
    let positions = || project.positions.iter().enumerate();
    let mut missing: Vec<Text> = is_missing
        .into_iter()
        .filter_map(|(what, is_missing)| {
            let lacking: Vec<Text> = positions()
                .filter(|(n, position)| is_missing(*n, position))
                .map(|(_, position)| id(&position.id).into())
                .collect();
            let all = lacking.len() == project.positions.len();
            match (lacking.is_empty(), all) {
                (true, _) => None,
                (_, true) => Some(text!("Not recorded in any position: {}.", what)),
                _ => Some(text!("Not recorded in {}: {}.", Text::listed(lacking), what)),
            }
        })
        .collect();
    let loads = project.positions.iter().zip(&examined.recomputed.loads);
    let whys = loads.filter_map(|(position, loads)| {
        let why_not = loads.with_water(None).err()?;
        Some(text!("Block loads in {} can\u{2019}t be worked out: {}.", id(&position.id), why_not))
    });
    missing.extend(whys);
    missing
}

fn tonnes(value_t: f64) -> Measure {
    Form::Mass.measure(value_t).decimals(1)
}

fn kilopascals(kpa: f64) -> Measure {
    Form::Pressure.measure(kpa).decimals(0)
}

/// A position with what was worked out of it.
#[derive(Clone, Copy)]
struct At<'a> {
    number: usize,
    position: &'a Position,
    landing: &'a Landing,
    loads: &'a Loads,
}

/// What a value is held against: the finding that does it, and how the limit is to be read.
#[derive(Clone, Copy)]
enum Against {
    /// At most, either way from nothing.
    AtMost(ByName),
    AtLeast(ByName),
    /// From what it is compared with.
    Within(ByName),
    /// What the finding says in words.
    Words(ByName),
}

impl Against {
    fn subject(self) -> ByName {
        match self {
            Self::AtMost(by) | Self::AtLeast(by) | Self::Within(by) | Self::Words(by) => by,
        }
    }

    fn limit(self, finding: Option<&Finding>) -> Option<Text> {
        let Cell::Text(limit) = Cell::against(finding) else { return None };
        Some(match self {
            Self::AtMost(_) => text!("at most {}", limit),
            Self::AtLeast(_) => text!("at least {}", limit),
            Self::Within(_) => text!("within {}", limit),
            Self::Words(_) => limit,
        })
    }
}

/// A value of one position, and the finding that holds it against something.
struct Held<'a> {
    value: Cell,
    finding: Option<&'a Finding>,
    limit: Option<Text>,
}

impl<'a> Held<'a> {
    /// Whether there is anything to show.
    fn says_something(&self) -> bool {
        !matches!(self.value, Cell::NotRecorded | Cell::DoesNotApply)
    }

    /// The value, and how it came out.
    fn cell(&self) -> Cell {
        match (&self.value, self.finding.map(|finding| finding.outcome)) {
            (Cell::Text(value), Some(outcome)) => {
                let outcome: Piece = match outcome {
                    Outcome::Agrees => outcome.words().into(),
                    Outcome::NotRecorded => "not checked".into(),
                    _ => strong(outcome.words()),
                };
                text!("{}; {}", value, outcome).into()
            }
            (value, _) => value.clone(),
        }
    }
}

/// A row of a table in which positions stand side by side.
struct Row<'a> {
    what: Text,
    held: Vec<Held<'a>>,
}

struct Page<'a> {
    inputs: &'a Inputs<'a>,
    examined: &'a Examined,
    project: &'a Project,
}

impl<'a> Page<'a> {
    fn positions(&self) -> impl Iterator<Item = At<'a>> {
        let (examined, project) = (self.examined, self.project);
        let recomputed = &examined.recomputed;
        let each = project.positions.iter().zip(&recomputed.landings).zip(&recomputed.loads);
        each.enumerate().map(|(number, ((position, landing), loads))| At {
            number,
            position,
            landing,
            loads,
        })
    }

    fn finding(&self, subject: ByName, at: &At<'_>) -> Option<&'a Finding> {
        self.examined.finding(&subject(at.position.id.clone()))
    }

    fn drawings(&self, section: &mut Section, group: Group) {
        section.drawings(drawings_of(self.inputs, group));
    }

    /// A row of a value in each position, and of what it is held against.
    fn row<V: Into<Cell>>(
        &self,
        what: impl Into<Text>,
        against: Option<Against>,
        value: impl Fn(&At<'a>) -> V,
    ) -> Row<'a> {
        let held = self.positions().map(|at| {
            let finding = against.and_then(|against| self.finding(against.subject(), &at));
            let limit = against.and_then(|against| against.limit(finding));
            Held { value: value(&at).into(), finding, limit }
        });
        Row { what: what.into(), held: held.collect() }
    }

    /// Tables in which positions stand side by side; rows of which nothing is known are left out.
    fn side_by_side(&self, head: &str, rows: &[Row<'a>]) -> Vec<Table> {
        let numbers: Vec<usize> = (0..self.project.positions.len()).collect();
        let tables = numbers.chunks(MOST_SIDE_BY_SIDE).map(|chunk| {
            let known: Vec<&Row> = rows
                .iter()
                .filter(|row| chunk.iter().any(|n| row.held[*n].says_something()))
                .collect();
            let limits: Vec<Cell> = known.iter().map(|row| against(row, chunk)).collect();
            let is_held = limits.iter().any(|limit| *limit != Cell::DoesNotApply);
            let mut columns = vec![Column::text(head).share(1.2)];
            let ids = chunk.iter().map(|n| id(&self.project.positions[*n].id));
            columns.extend(ids.map(|id| Column::text(Text::from(id)).share(1.2)));
            if is_held {
                columns.push(Column::text("Held against").share(0.9));
            }
            let rows = known.iter().zip(limits).map(|(row, limit)| {
                let mut cells = vec![Cell::Text(row.what.clone())];
                cells.extend(chunk.iter().map(|n| row.held[*n].cell()));
                cells.extend(is_held.then_some(limit));
                cells
            });
            Table::new(columns).rows_of_any(rows.collect::<Vec<_>>())
        });
        tables.filter(|table| !table.rows.is_empty()).collect()
    }

    /// The draft surveys on the way in.
    fn drafts(&self, section: &mut Section) {
        section.part("What she drew before landing");
        let is_inward = |survey: &&Survey| {
            matches!(survey.occasion, Occasion::Arrival | Occasion::BeforeLanding)
        };
        self.surveys(section, is_inward);
        self.drawings(section, Group::LandingDrafts);
    }

    /// Draft surveys, who read them, and what of them does not fit.
    fn surveys(&self, section: &mut Section, is_meant: impl Fn(&&Survey) -> bool) {
        let project = self.project;
        let surveys: Vec<&Survey> =
            self.examined.recomputed.ship.surveys.iter().filter(is_meant).collect();
        let columns = [
            Column::text("Survey"),
            Column::name("Last read"),
            Column::measure("Aft", Form::Draft),
            Column::measure("Amidships", Form::Draft),
            Column::measure("Forward", Form::Draft),
            Column::measure("Trim", Form::Length),
            Column::measure("List", Form::Angle),
            Column::measure("Hog", Form::Small),
            Column::measure("Displaced", Form::Mass),
            Column::measure("LCG at x", Form::Length),
        ];
        let rows = surveys.iter().map(|survey| {
            let drafts = survey.drafts.as_ref();
            [
                self.name(survey).into(),
                survey.at.into(),
                survey.draft_aft(project).into(),
                drafts.and_then(|d| d.amidships_m).map(|m| Form::Draft.measure(m)).into(),
                survey.draft_forward(project).into(),
                drafts.map(|drafts| metres(drafts.trim_m)).into(),
                survey.list(project).into(),
                drafts.and_then(|d| d.hog_m).map(|hog| Form::Small.measure(hog).signed()).into(),
                survey.displaced(project).map(|mass| mass.decimals(1)).into(),
                survey.lcg(project).into(),
            ]
        });
        section.table(Table::new(columns).rows(rows).about(
            "From the readings at the marks: drafts at the perpendiculars and amidships, trim by the stern +, list to \
             port +, sag \u{2212}, the displacement in the water she lay in, and the centre of gravity that her trim gives.",
        ));
        section.paragraph(self.readers(&surveys));
        let mut said: Vec<Text> = Vec::new();
        for survey in &surveys {
            let name = survey.name(project);
            let is_of_survey = |made: &&Finding| match &made.subject {
                Subject::Marks(survey, _) | Subject::Displacement(survey) => *survey == name,
                _ => false,
            };
            let made = self.examined.findings.iter().filter(is_of_survey);
            said.extend(
                made.filter(|made| made.outcome != Outcome::Agrees).map(|m| (&m.sentence).into()),
            );
        }
        let held = surveys.iter().filter_map(|survey| {
            let made = self.examined.finding(&Subject::Displacement(survey.name(project)))?;
            let recomputed =
                made.recomputed.as_ref().filter(|_| made.outcome == Outcome::Agrees)?;
            Some(text!("{} {}", self.name(survey), recomputed))
        });
        let held = Text::listed(held);
        if !held.is_empty() {
            said.push(text!(
                "By the survey before and the weights moved since, she would have displaced: {}; each agrees.",
                held
            ));
        }
        section.paragraph(Text::joined(said, " "));
    }

    /// A survey by its position and occasion.
    fn name(&self, survey: &Survey) -> Text {
        let occasion = survey.occasion.word().replace('-', " ");
        match survey.position.and_then(|number| self.project.positions.get(number)) {
            Some(position) => text!("{}, {}", id(&position.id), occasion),
            None => Text::from(occasion).capitalized(),
        }
    }

    /// Who read the marks of which survey.
    fn readers(&self, surveys: &[&Survey]) -> Text {
        let mut readers: Vec<(&str, Vec<Text>)> = Vec::new();
        for survey in surveys {
            let readings = survey.readings.iter().filter_map(|n| self.project.drafts.get(n.row));
            let mut by: Vec<&str> = readings.filter_map(|reading| reading.by.as_deref()).collect();
            by.sort_unstable();
            by.dedup();
            for name in by {
                match readers.iter_mut().find(|(known, _)| *known == name) {
                    Some((_, read)) => read.push(self.name(survey)),
                    None => readers.push((name, vec![self.name(survey)])),
                }
            }
        }
        let readers = readers
            .into_iter()
            .map(|(name, read)| text!("{} ({})", name, Text::joined(read, "; ")));
        let readers = Text::joined(readers, ", ");
        if readers.is_empty() { Text::new() } else { text!("Marks read by {}.", readers) }
    }

    /// How she touched and landed, positions side by side.
    fn landed(&self, section: &mut Section) {
        let tables = self.side_by_side("Landing", &self.touch());
        let is_curved = !drawings_of(self.inputs, Group::LandingCurve).is_empty();
        if tables.is_empty() && !is_curved {
            return;
        }
        section.part("How she landed");
        for table in tables {
            section.table(table);
        }
        self.drawings(section, Group::LandingCurve);
    }

    fn touch(&self) -> Vec<Row<'a>> {
        let block = |at: &At<'a>, seat: usize| {
            let (number, seat) = at.landing.seats.get(seat)?;
            let block = self.project.blocks.get(*number)?;
            Some(text!("{} at x {}", id(&block.id), centimetres(seat.x_m)))
        };
        let survey = |at: &At<'a>| {
            self.examined.recomputed.ship.survey(Some(at.number), Occasion::BeforeLanding)
        };
        let level = |at: &At<'a>, level: Option<Measure>, time: Option<_>| {
            let log = WaterLog::new(self.project, &at.position.id);
            let logged = time.and_then(|time| log.level_at(time)).map(metres);
            match (level, logged) {
                (Some(level), Some(logged)) => Some(text!("{}, log {}", level, logged)),
                (Some(level), None) => Some(text!("{}, log not recorded", level)),
                (None, Some(logged)) => Some(text!("log {}", logged)),
                (None, None) => None,
            }
        };
        let mass = |value: Option<Measure>| value.map(|mass| mass.decimals(1));
        vec![
            self.row("Touched", None, |at| at.position.times.touched),
            self.row("Landed fore and aft", None, |at| at.position.times.landed),
            self.row("Displacement, by the drafts", None, |at| {
                mass(survey(at).and_then(|survey| survey.displaced(self.project)))
            }),
            self.row("KG, free surface counted", None, |at| at.landing.kg_m.map(metres)),
            self.row(
                "Trim against the line of the blocks",
                Some(Against::AtMost(Subject::Trim)),
                |at| at.landing.relative_trim(&at.position.id),
            ),
            self.row("List", Some(Against::AtMost(Subject::List)), |at| {
                survey(at).and_then(|survey| survey.list(self.project))
            }),
            self.row(
                "First block touched, the knuckle",
                Some(Against::Words(Subject::Knuckle)),
                |at| at.landing.touch.and_then(|touch| block(at, touch.seat)),
            ),
            self.row(
                "Water level at first touch",
                Some(Against::Within(Subject::WaterTouched)),
                |at| {
                    level(at, at.landing.level_touched(&at.position.id), at.position.times.touched)
                },
            ),
            self.row(
                "Greatest load on it before landed",
                Some(Against::AtMost(Subject::KnuckleLoad)),
                |at| mass(at.landing.upthrust(&at.position.id)),
            ),
            self.row(
                "Pressure of that on its cap",
                Some(Against::AtMost(Subject::KnucklePressure)),
                |at| at.landing.knuckle_pressure(&at.position.id).map(|kpa| kpa.decimals(0)),
            ),
            self.row("Block touched second", Some(Against::Words(Subject::SecondTouch)), |at| {
                let second = at.landing.second?;
                Some(text!(
                    "{}, {} of trim {}",
                    block(at, second.seat)?,
                    metres(second.left_m.abs()),
                    if second.left_m < 0.0 { "past the blocks\u{2019} line" } else { "left" }
                ))
            }),
            self.row(
                "Least GM, at the critical instant",
                Some(Against::AtLeast(Subject::LeastGm)),
                |at| at.landing.least_gm(&at.position.id),
            ),
            self.row(
                "Landed deeper than the draft of nil GM, by",
                Some(Against::Words(Subject::NilGm)),
                |at| at.landing.margin(&at.position.id),
            ),
            self.row(
                "Water level when landed",
                Some(Against::Within(Subject::WaterLanded)),
                |at| level(at, at.landing.level_landed(&at.position.id), at.position.times.landed),
            ),
            self.row(
                "Fastest fall of the water, until dry",
                Some(Against::AtMost(Subject::DewateringRate)),
                |at| {
                    let made = self.finding(Subject::DewateringRate, at)?;
                    made.recomputed.as_ref().map(Text::from)
                },
            ),
        ]
    }

    /// The water as it fell, and where it was held.
    fn water(&self, section: &mut Section) {
        if self.project.water.is_empty() {
            return;
        }
        section.part("The water");
        let rate = |m_per_h: f64| Form::LevelRate.measure(m_per_h);
        let mut stretches: Vec<&str> = Vec::new();
        for at in self.positions() {
            let log = WaterLog::new(self.project, &at.position.id);
            for (what, _) in log.falls(at.position) {
                if !stretches.contains(&what) {
                    stretches.push(what);
                }
            }
        }
        let falls: Vec<Row> = stretches
            .into_iter()
            .map(|stretch| {
                self.row(Text::from(stretch).capitalized(), None, |at| {
                    let log = WaterLog::new(self.project, &at.position.id);
                    let fall =
                        log.falls(at.position).into_iter().find(|(what, _)| *what == stretch);
                    fall.map(|(_, fall)| match fall.fastest_m_per_h {
                        Some(fastest) => {
                            text!("{}, fastest {}", rate(fall.mean_m_per_h), rate(fastest))
                        }
                        None => text!("{}", rate(fall.mean_m_per_h)),
                    })
                })
            })
            .collect();
        for table in self.side_by_side("Mean fall of the water", &falls) {
            section.table(table);
        }
        let columns = [
            Column::name("Position"),
            Column::name("Stood still from"),
            Column::name("To"),
            Column::measure("How long", Form::Duration),
            Column::measure("Level", Form::Length),
            Column::text("By the log"),
        ];
        let halts = self.positions().flat_map(|at| {
            let log = WaterLog::new(self.project, &at.position.id);
            let halts = log.halts().into_iter();
            halts.map(move |halt| {
                [
                    id(&at.position.id).into(),
                    halt.from.into(),
                    halt.to.into(),
                    Form::Duration.measure(halt.duration_h).into(),
                    centimetres(halt.level_m).into(),
                    during(&log, &halt).into(),
                ]
            })
        });
        section.table(Table::new(columns).rows(halts).cut(MOST_LISTED, ELSEWHERE));
        self.drawings(section, Group::LandingWater);
        for at in self.positions() {
            let readings = at.landing.beyond_table.iter();
            let levels = readings.filter_map(|n| Some(self.project.water.get(*n)?.level_m));
            section.paragraph(beyond_table(&at.position.id, levels));
        }
    }

    /// Landing checks, planned against found, those of one kind and block under each other.
    fn checks(&self, section: &mut Section) {
        let mut checks: Vec<(At<'a>, &'a LandingCheck, Option<&'a Finding>)> = Vec::new();
        for at in self.positions() {
            let of_position = landing_checks(self.project, &at.position.id);
            checks.extend(
                of_position.map(|(check, subject)| (at, check, self.examined.finding(&subject))),
            );
        }
        if checks.is_empty() {
            return;
        }
        let mut kinds: Vec<(&str, Option<&str>)> = Vec::new();
        for (_, check, _) in &checks {
            let kind = (check.check.as_str(), check.block.as_deref());
            if !kinds.contains(&kind) {
                kinds.push(kind);
            }
        }
        let kind = |check: &LandingCheck| {
            kinds.iter().position(|kind| *kind == (check.check.as_str(), check.block.as_deref()))
        };
        checks.sort_by_key(|(_, check, _)| kind(check));
        let agreeing = |made: &Option<&Finding>| made.is_some_and(|m| m.outcome == Outcome::Agrees);
        let all = checks.len();
        if all > MOST_LISTED {
            checks.retain(|(.., made)| !agreeing(made));
        }
        section.part("Landing checks");
        if checks.len() < all {
            section.paragraph(text!(
                "{} agree and stand in {}; the others:",
                count(all - checks.len(), "check", "checks"),
                ELSEWHERE
            ));
        }
        let columns = [
            Column::text("Check").mm(23.0),
            Column::name("Position"),
            Column::text("Planned"),
            Column::text("Found"),
            Column::text("By, at").mm(42.0),
            Column::outcome(),
        ];
        let rows = checks.iter().map(|(at, check, made)| {
            let mut found = words_and_length(check.recorded.as_deref(), check.recorded_m);
            // A centreline's outcome is that of the position, not of the plan beside it.
            let by_position = made
                .filter(|_| check.check == "centreline" && check.recorded_m.is_some())
                .and_then(|made| made.recomputed.as_ref());
            if let (Some(found), Some(offset)) = (&mut found, by_position) {
                found.extend(text!("; {} by the position", offset));
            }
            let what = match &check.block {
                Some(block) => text!("{}, {}", called(&check.check), id(block)),
                None => called(&check.check).into(),
            };
            let who = match (&check.by, check.at) {
                (Some(by), Some(at)) => Some(text!("{}, {}", by, at)),
                (Some(by), None) => Some(text!("{}; time not recorded", by)),
                (None, Some(at)) => Some(text!("name not recorded; {}", at)),
                (None, None) => None,
            };
            [
                what.capitalized().into(),
                id(&at.position.id).into(),
                words_and_length(check.planned.as_deref(), check.planned_m).into(),
                found.into(),
                who.into(),
                Cell::outcome_of(*made),
            ]
        });
        section.table(Table::new(columns).rows(rows).cut(MOST_LISTED, ELSEWHERE));
    }

    /// Who signed which hold point, and when.
    fn holds(&self, section: &mut Section) {
        let signature = |row: &Hold| {
            let frames = row
                .from_frame
                .zip(row.to_frame)
                .map(|(from, to)| text!(", frames {} to {}", nine_digits(from), nine_digits(to)));
            let at = row.at.map(|at| text!(", {}", at));
            text!("{}{}{}", &row.by, at.unwrap_or_default(), frames.unwrap_or_default())
        };
        let row = |hold: HoldPoint| {
            self.row(Text::from(hold.in_words()).capitalized(), None, |at| {
                let signed = signed_in(self.project, &at.position.id);
                let signed: Vec<Text> =
                    signed.filter(|row| row.hold == hold).map(signature).collect();
                Cell::if_any((!signed.is_empty()).then(|| Text::joined(signed, "; ")))
            })
        };
        let rows: Vec<Row<'a>> = HoldPoint::ALL.iter().copied().map(row).collect();
        let tables = self.side_by_side("Hold points as signed", &rows);
        if tables.is_empty() {
            return;
        }
        section.part("Hold points");
        for table in tables {
            section.table(table);
        }
        section.note("What is signed is what the person named says; nothing here was judged.");
    }

    /// What the blocks bore in the dry dock: the blocks worth naming.
    fn loads(&self, section: &mut Section) {
        let tables = self.side_by_side("In the dry dock", &self.borne());
        if tables.is_empty() {
            return;
        }
        section.part("What the blocks bore");
        for table in tables {
            section.table(table);
        }
        for (number, position) in self.project.positions.iter().enumerate() {
            let caveats = caveats(self.project, &self.examined.recomputed.ship, number);
            if !caveats.is_empty() {
                let listed = Text::listed(caveats);
                section.note(text!(
                    "All loads in {} are subject to this: {}.",
                    id(&position.id),
                    listed
                ));
            }
        }
        section.note(text!(
            "Load, pressure and gap of each block: table recomputed-block-loads in {}; shear and bending along the hull: \
             recomputed-hull-on-blocks.",
            ELSEWHERE
        ));
        self.drawings(section, Group::LandingLoads);
        self.drawings(section, Group::LandingBending);
    }

    fn borne(&self) -> Vec<Row<'a>> {
        let borne = |at: &At<'a>| at.loads.borne(self.project);
        let by = |at: &At<'a>, borne: &Borne<'a>| {
            let pressure = borne.pressure(&at.position.id).map(|kpa| kpa.decimals(0));
            let pressure = match (pressure, borne.limit_kpa) {
                (Some(pressure), Some(limit)) => text!(", {} of {}", pressure, kilopascals(limit)),
                (Some(pressure), None) => text!(", {}; its limit is not recorded", pressure),
                _ => Text::new(),
            };
            text!("{}: {}{}", id(&borne.block.id), Measure::load(borne.load_kn), pressure)
        };
        let most = |at: &At<'a>, value: fn(&Borne<'a>) -> f64| {
            let borne = borne(at);
            let most = borne.iter().max_by(|a, b| value(a).total_cmp(&value(b)));
            most.map(|most| by(at, most))
        };
        let named = |blocks: Vec<&Block>| match blocks.len() {
            0 => "none found".into(),
            n => {
                let ids = blocks.iter().take(MOST_NAMED).map(|block| id(&block.id).into());
                let more = n.saturating_sub(MOST_NAMED);
                let more = (more > 0).then(|| text!("{} more", more));
                Text::listed(ids.chain(more))
            }
        };
        vec![
            self.row("Weight carried", None, |at| {
                at.loads.girder.as_ref().map(|_| tonnes(at.loads.weight_t))
            }),
            self.row("Sum of the loads", Some(Against::Within(Subject::LoadsBalance)), |at| {
                at.loads.girder.as_ref().map(|girder| Measure::load(girder.loads_kn.iter().sum()))
            }),
            self.row("Greatest load", None, |at| most(at, |borne| borne.load_kn)),
            self.row("The same, timber half or twice as stiff", None, |at| {
                let borne = borne(at);
                let most = borne.iter().max_by(|a, b| a.load_kn.total_cmp(&b.load_kn));
                most.and_then(|most| most.range_kn).map(|(least, greatest)| {
                    text!("{}", range(Measure::load(least), Measure::load(greatest)))
                })
            }),
            self.row(
                "Nearest to its bearing limit, or furthest beyond",
                Some(Against::AtMost(Subject::LoadsPressure)),
                |at| most(at, |borne| borne.part().unwrap_or(f64::NEG_INFINITY)),
            ),
            self.row("Beyond their bearing limits", None, |at| {
                let borne = borne(at);
                let beyond = borne.iter().filter(|borne| borne.is_beyond_limit());
                let beyond: Vec<&Block> = beyond.map(|borne| borne.block).collect();
                let limited = borne.iter().filter(|borne| borne.part().is_some()).count();
                Cell::if_any((limited > 0).then(|| match beyond.len() {
                    0 => text!("none of {} with a limit", limited),
                    _ => named(beyond),
                }))
            }),
            self.row("Least load of those that bear", None, |at| {
                let borne = borne(at);
                let bearing = borne.iter().filter(|borne| !borne.is_idle());
                let least = bearing.min_by(|a, b| a.load_kn.total_cmp(&b.load_kn));
                least.map(|least| by(at, least))
            }),
            self.row("Standing, not bearing", None, |at| {
                let borne = borne(at);
                let idle = borne.iter().filter(|borne| borne.is_idle());
                let idle: Vec<&Block> = idle.map(|borne| borne.block).collect();
                Cell::if_any((!borne.is_empty()).then(|| named(idle)))
            }),
            self.row(
                "Greatest bending moment of the hull",
                Some(Against::AtMost(Subject::BendingMoment)),
                |at| {
                    let bent = at.loads.most_bending();
                    let moment = at.loads.most_bending_moment(&at.position.id);
                    moment
                        .zip(bent)
                        .map(|(moment, at)| text!("{} at x {}", moment, centimetres(at.x_m)))
                },
            ),
            self.row(
                "Greatest shear force of the hull",
                Some(Against::AtMost(Subject::ShearForce)),
                |at| {
                    let shear = at.loads.shear(&at.position.id);
                    let sheared = at.loads.most_sheared();
                    shear
                        .zip(sheared)
                        .map(|(shear, at)| text!("{} at x {}", shear, centimetres(at.x_m)))
                },
            ),
            self.row(
                "Greatest load on a metre of the dock",
                Some(Against::AtMost(Subject::FloorLoad)),
                |at| at.loads.on_a_metre(self.project, &at.position.id),
            ),
            self.row(
                "Greatest pressure on the dock\u{2019}s floor",
                Some(Against::AtMost(Subject::FloorPressure)),
                |at| {
                    let pressure = at.loads.floor_pressure(self.project, &at.position.id)?;
                    let block = at.loads.on_floor(self.project)?.block;
                    Some(text!("{}: {}", id(&block.id), pressure.decimals(0)))
                },
            ),
            self.row(
                "Bilge blocks hauled under her",
                Some(Against::Words(Subject::BilgeOrder)),
                |at| {
                    let set = || set_in(self.project, &at.position.id);
                    let hauled: Vec<&BilgeBlock> =
                        set().filter(|row| row.hauled_at.is_some()).collect();
                    let times = || hauled.iter().filter_map(|row| row.hauled_at);
                    let (first, last) = (times().min(), times().max());
                    let ids = hauled.iter().take(MOST_NAMED).map(|row| id(&row.block).into());
                    let more = hauled.len().saturating_sub(MOST_NAMED);
                    let more = (more > 0).then(|| text!("{} more", more));
                    let named = Text::listed(ids.chain(more));
                    first.zip(last).map(|(first, last)| text!("{}, {} to {}", named, first, last))
                },
            ),
            self.row("Gaps closed by wedges", None, |at| {
                let set = set_in(self.project, &at.position.id);
                let wedged = set.filter_map(|row| {
                    Some(text!("{}: {}", id(&row.block), Form::Small.measure(row.wedged_m?)))
                });
                let mut wedged: Vec<Text> = wedged.collect();
                let more = wedged.len().saturating_sub(MOST_LISTED);
                wedged.truncate(MOST_LISTED);
                wedged.extend((more > 0).then(|| text!("and {} more", more)));
                Cell::if_any((!wedged.is_empty()).then(|| Text::joined(wedged, "; ")))
            }),
            self.row("Left out, and what its neighbours bore instead", None, |at| {
                let each = at.loads.left_out.iter().take(MOST_NAMED);
                let left_out = Text::joined(each.filter_map(|row| self.left_out(row)), "; ");
                Cell::if_any((!left_out.is_empty()).then_some(left_out))
            }),
            self.row("Settlement in the middle of the blocks", None, |at| {
                let girder = at.loads.girder.as_ref();
                girder.map(|girder| Form::Small.measure(girder.settlement_m).decimals(1))
            }),
        ]
    }

    /// What leaving a block out did to a neighbour.
    fn left_out(&self, row: &LeftOut) -> Option<Text> {
        let name = |n: usize| self.project.blocks.get(n).map(|block| id(&block.id));
        Some(text!(
            "{}: {} {} instead of {}",
            name(row.block)?,
            name(row.neighbour)?,
            Measure::load(row.without_kn),
            Measure::load(row.with_kn)
        ))
    }

    /// Gaps between caps and hull: how many fit, the greatest, and those that don't fit.
    fn gaps(&self, section: &mut Section) {
        let project = self.project;
        if project.gaps.is_empty() {
            return;
        }
        section.part("Gaps between caps and hull");
        let gaps = |at: &At<'a>| -> Vec<MeasuredGap<'a>> {
            let measured = measured_gaps(project, &at.position.id);
            let each = measured
                .map(|(gap, subject)| MeasuredGap::new(gap, self.examined.finding(&subject)));
            each.collect()
        };
        let counted = |outcome: Outcome| {
            move |at: &At<'a>| {
                let gaps = gaps(at);
                let of =
                    gaps.iter().filter(|gap| gap.made.is_some_and(|made| made.outcome == outcome));
                let of = of.count();
                Cell::if_any((of > 0).then(|| Text::from(of)))
            }
        };
        let within = match project.docking.bounds.tolerance("gap") {
            Some(tolerance) => {
                let tolerance = Form::Small.measure(tolerance.value).as_stated();
                text!("Within {} of the gap predicted", tolerance)
            }
            None => "Near the gap predicted".into(),
        };
        let rows = [
            self.row("Gaps measured", None, |at| {
                let gaps = gaps(at).len();
                Cell::if_any((gaps > 0).then(|| Text::from(gaps)))
            }),
            self.row(within, None, counted(Outcome::Agrees)),
            self.row("Further from it, listed below", None, counted(Outcome::Differs)),
            self.row("Without a gap predicted", None, counted(Outcome::NotRecorded)),
            self.row("Buoyancy taken with water in the dock", None, |at| {
                let mut depths: Vec<f64> =
                    gaps(at).iter().filter_map(|g| g.gap.water_depth_m).collect();
                depths.sort_by(f64::total_cmp);
                depths.dedup();
                let taken = depths.into_iter().filter_map(|depth| {
                    Some(match at.loads.with_water(Some(depth)).ok()?.1 {
                        Buoyancy::Recorded => "the recorded curve",
                        Buoyancy::Trapezoid => "a trapezoid, since no curve is recorded",
                        Buoyancy::None => "none, since the water does not reach her keel",
                    })
                });
                let mut taken: Vec<&str> = taken.collect();
                taken.dedup();
                Cell::if_any((!taken.is_empty()).then(|| Text::from(taken.join("; "))))
            }),
            self.row("Greatest measured", None, |at| {
                let gaps = gaps(at);
                let greatest = gaps.iter().max_by(|a, b| a.gap.gap_m.total_cmp(&b.gap.gap_m));
                greatest.map(MeasuredGap::in_words)
            }),
            self.row("Furthest from the gap predicted", None, |at| {
                let gaps = gaps(at);
                let apart = |gap: &MeasuredGap| gap.difference_m().map_or(-1.0, f64::abs);
                let furthest = gaps.iter().max_by(|a, b| apart(a).total_cmp(&apart(b)));
                furthest.filter(|gap| apart(gap) > 0.0).map(MeasuredGap::in_words)
            }),
        ];
        for table in self.side_by_side("Gaps as surveyed", &rows) {
            section.table(table);
        }
        let columns = [
            Column::name("Position"),
            Column::name("Block"),
            Column::name("Water"),
            Column::measure("Measured", Form::Small),
            Column::measure("Predicted", Form::Small),
            Column::measure("Difference", Form::Small),
            Column::outcome(),
            Column::text("By, at"),
        ];
        let exceptions = self.positions().flat_map(|at| {
            let mut gaps = gaps(&at);
            gaps.retain(|gap| gap.made.is_some_and(|made| made.outcome == Outcome::Differs));
            gaps.into_iter().map(move |gap| {
                let tenths = |value_m: f64| Form::Small.measure(value_m).decimals(1);
                let who = match (&gap.gap.by, gap.gap.at) {
                    (Some(by), Some(at)) => Some(text!("{}, {}", by, at)),
                    (Some(by), None) => Some(by.into()),
                    (None, at) => at.map(|at| text!("{}", at)),
                };
                [
                    id(&at.position.id).into(),
                    id(&gap.gap.block).into(),
                    gap.gap.water_depth_m.map_or("dry".into(), |depth| centimetres(depth).into()),
                    Form::Small.measure(gap.gap.gap_m).into(),
                    gap.predicted_m.map(tenths).into(),
                    Cell::if_any(gap.difference_m().map(|m| tenths(m).signed())),
                    Cell::outcome_of(gap.made),
                    who.into(),
                ]
            })
        });
        section.table(Table::new(columns).rows(exceptions).cut(MOST_LISTED, ELSEWHERE));
        section.note(text!(
            "Each gap measured and predicted: table recomputed-gaps in {}.",
            ELSEWHERE
        ));
        self.drawings(section, Group::LandingGaps);
    }

    /// Weights moved, and how she lifted off.
    fn undocking(&self, section: &mut Section) {
        section.part("Undocking");
        let rows: Vec<Row> = self.lift_off();
        let tables = self.side_by_side("At lift-off", &rows);
        let is_outward =
            |survey: &&Survey| matches!(survey.occasion, Occasion::LiftOff | Occasion::Departure);
        if self.examined.recomputed.ship.surveys.iter().any(|survey| is_outward(&survey)) {
            self.surveys(section, is_outward);
        } else {
            section.paragraph("No draft was recorded as she lifted off or left.");
        }
        self.drawings(section, Group::UndockingWater);
        for table in tables {
            section.table(table.about(
                "Predicted from the drafts before landing and the weights moved since, against what was read:",
            ));
        }
        self.moved(section);
    }

    fn lift_off(&self) -> Vec<Row<'a>> {
        let survey =
            |at: &At<'a>| self.examined.recomputed.ship.survey(Some(at.number), Occasion::LiftOff);
        let both = |predicted: Option<Measure>, read: Option<Measure>| match (predicted, read) {
            (Some(predicted), Some(read)) => Some(text!("{}, read {}", predicted, read)),
            (Some(predicted), None) => Some(text!("{}, not read", predicted)),
            (None, Some(read)) => Some(text!("read {}, not predicted", read)),
            (None, None) => None,
        };
        vec![
            self.row("Weights moved since landing", None, |at| {
                Cell::if_any(
                    at.landing.lift_off.map(|lift| tonnes(lift.moved.change.mass_t).signed()),
                )
            }),
            self.row("Draft aft, predicted", Some(Against::Within(Subject::LiftOffAft)), |at| {
                both(
                    at.landing.lift_off.map(|lift| lift.draft_aft(&at.position.id)),
                    survey(at).and_then(|survey| survey.draft_aft(self.project)),
                )
            }),
            self.row(
                "Draft forward, predicted",
                Some(Against::Within(Subject::LiftOffForward)),
                |at| {
                    both(
                        at.landing.lift_off.map(|lift| lift.draft_forward(&at.position.id)),
                        survey(at).and_then(|survey| survey.draft_forward(self.project)),
                    )
                },
            ),
            self.row(
                "List, + to port, predicted",
                Some(Against::Within(Subject::LiftOffList)),
                |at| {
                    both(
                        at.landing.lift_off.and_then(|lift| lift.list(&at.position.id)),
                        survey(at).and_then(|survey| survey.list(self.project)),
                    )
                },
            ),
        ]
    }

    fn moved(&self, section: &mut Section) {
        let moved: Vec<&Moved> =
            self.project.moved.iter().filter(|moved| moved.is_done()).collect();
        let sum = |is_meant: fn(f64) -> bool| {
            let masses = moved.iter().map(|moved| moved.mass_t);
            tonnes(masses.filter(|mass| is_meant(*mass)).sum::<f64>().abs())
        };
        if moved.is_empty() {
            section.paragraph("No weight is recorded as moved while she was docked.");
            return;
        }
        let place = |head: &str| Column::measure(head, Form::Length);
        let columns = [
            Column::name("At"),
            Column::text("Weight moved"),
            Column::measure("On +, off \u{2212}", Form::Mass),
            place("x"),
            place("y"),
            place("z"),
            Column::text("Note").share(0.4),
        ];
        let rows = moved.iter().map(|moved| {
            [
                Cell::if_any(moved.at),
                (&moved.item).into(),
                tonnes(moved.mass_t).signed().into(),
                centimetres(moved.x_m).into(),
                centimetres(moved.y_m).into(),
                centimetres(moved.z_m).into(),
                Cell::if_any(moved.notes.as_deref()),
            ]
        });
        let (on, off) = (sum(|mass| mass > 0.0), sum(|mass| mass < 0.0));
        section.table(Table::new(columns).rows(rows).cut(MOST_LISTED, ELSEWHERE).about(text!(
            "While she was docked, {} were put on and {} taken off:",
            on,
            off
        )));
    }
}

/// What the values of a row are held against: once where it is the same in every position.
fn against(row: &Row<'_>, chunk: &[usize]) -> Cell {
    let mut limits: Vec<Text> = Vec::new();
    for limit in chunk.iter().filter_map(|n| row.held[*n].limit.as_ref()) {
        if !limits.contains(limit) {
            limits.push(limit.clone());
        }
    }
    Cell::if_any((!limits.is_empty()).then(|| Text::joined(limits, "; ")))
}

/// Why the water stood still: the notes of the log, or else the events that it names then.
fn during(log: &WaterLog<'_>, halt: &Halt) -> Option<Text> {
    let inside =
        || log.readings.iter().filter(|water| water.at >= halt.from && water.at <= halt.to);
    let notes = inside().filter_map(|water| water.notes.as_deref().map(Text::from));
    let notes = Text::joined(notes, "; ");
    let events =
        inside().filter_map(|water| Some(water.event.as_deref()?.replace('-', " ").into()));
    let events = Text::joined(events, ", ");
    let said = if notes.is_empty() { events } else { notes };
    (!said.is_empty()).then_some(said)
}

/// A gap as surveyed, with the one predicted.
struct MeasuredGap<'a> {
    gap: &'a Gap,
    made: Option<&'a Finding>,
    predicted_m: Option<f64>,
}

impl<'a> MeasuredGap<'a> {
    fn new(gap: &'a Gap, made: Option<&'a Finding>) -> Self {
        let predicted_m = made.and_then(|made| Some(made.recomputed.as_ref()?.measure()?.kept));
        Self { gap, made, predicted_m }
    }

    /// Measured less predicted, m.
    fn difference_m(&self) -> Option<f64> {
        self.predicted_m.map(|predicted| self.gap.gap_m - predicted)
    }

    fn in_words(&self) -> Text {
        let measured = Form::Small.measure(self.gap.gap_m);
        let water = match self.gap.water_depth_m {
            None => "dry".into(),
            Some(depth) => text!("with {} of water", centimetres(depth)),
        };
        let predicted = match self.predicted_m {
            Some(predicted) => text!("predicted {}", Form::Small.measure(predicted).decimals(1)),
            None => "none predicted".into(),
        };
        text!("{} at {}, {}; {}", measured, id(&self.gap.block), water, predicted)
    }
}

/// That at some levels no load is known in a position, and why.
fn beyond_table(position: &str, levels_m: impl Iterator<Item = f64>) -> Text {
    let mut levels: Vec<f64> = levels_m.collect();
    levels.sort_by(f64::total_cmp);
    let (Some(lowest), Some(highest)) = (levels.first(), levels.last()) else {
        return Text::new();
    };
    let at = match levels.len() {
        1 => text!("1 reading, with the water at {}", centimetres(*lowest)),
        n => text!(
            "{} readings, with the water from {} down to {}",
            n,
            centimetres(*highest),
            centimetres(*lowest)
        ),
    };
    text!(
        "In {} the load is not known at {}: her draft then lies outside the hydrostatic table, while the water still \
         wets her.",
        id(position),
        at
    )
}

/// Words and length as far as either was written down.
fn words_and_length(words: Option<&str>, length_m: Option<f64>) -> Option<Text> {
    match (words, length_m.map(metres)) {
        (Some(words), Some(length)) => Some(text!("{} ({})", words, length)),
        (Some(words), None) => Some(words.into()),
        (None, length) => length.map(Text::from),
    }
}

#[cfg(test)]
mod tests;
