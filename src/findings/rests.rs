//! What findings rest on although they do not list it among their records: a clearance rests on the sightings that say
//! where she lay, a landing on the hydrostatic table. One wrong record can then be named as the cause of all of them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::finding::Finding;
use super::subject::Subject;
use crate::records::Project;
use crate::records::bounds::Sort;
use crate::records::entry::Entry;
use crate::records::place::Place;
use crate::records::value::Value;

/// Rows of one file on which findings of a subject rest.
#[derive(Debug, Clone, Copy)]
struct Basis {
    /// The file, and in a TOML file the table: `docking.toml [stability]`.
    of: &'static str,
    /// Columns of which a row must say what the finding is about, each with what that is called there; a row that leaves
    /// one empty holds for all.
    same: &'static [(&'static str, &'static str)],
}

const fn all(of: &'static str) -> Basis {
    Basis { of, same: &[] }
}

const fn of_position(of: &'static str) -> Basis {
    Basis { of, same: &[("position", "position")] }
}

const fn of_zone(of: &'static str) -> Basis {
    Basis { of, same: &[("zone", "zone")] }
}

const fn of_product(of: &'static str) -> Basis {
    Basis { of, same: &[("product", "product")] }
}

/// Where she lay.
const LIE: [Basis; 2] =
    [of_position("positions/positions.csv"), of_position("positions/marks.csv")];
const DIVERS: Basis = of_position("positions/divers.csv");
const BLOCKS: Basis = all("plan/blocks.csv");
const BOTTOM: Basis = all("plan/bottom.csv");
const KEEL: Basis = all("plan/keel.csv");
const DRAFTS: Basis = all("landing/drafts.csv");
/// Readings of one survey.
const SURVEY: Basis =
    Basis { of: "landing/drafts.csv", same: &[("position", "position"), ("occasion", "occasion")] };
const MOVED: Basis = all("landing/moved.csv");
/// What turns drafts into displacement and centres.
const TABLE: [Basis; 3] = [
    all("landing/hydrostatics.csv"),
    all("docking.toml [hydrostatics]"),
    all("docking.toml [ship]"),
];
const STABILITY: Basis = all("docking.toml [stability]");
const DOCK: Basis = all("docking.toml [dock]");
const WATER: Basis = of_position("landing/water.csv");
const ZONES: Basis = of_zone("coating/zones.csv");
const SCHEME: Basis = of_zone("coating/scheme.csv");
const COATS: Basis = of_zone("coating/coats.csv");
const PREPARATION: Basis = of_zone("coating/preparation.csv");
const CLIMATE: Basis = of_zone("coating/climate.csv");
const PRODUCT: [Basis; 2] =
    [of_product("coating/products.toml [product]"), of_product("coating/products.toml [recoat]")];
const GAUGES: Basis = Basis { of: "coating/gauges.csv", same: &[("gauge", "gauge")] };
const FILM: Basis =
    Basis { of: "coating/film.csv", same: &[("zone", "zone"), ("after_coat", "coat")] };

fn joined(parts: &[&[Basis]]) -> Vec<Basis> {
    parts.concat()
}

/// On what findings of a subject rest beside the records that they list, what is nearest to them first.
fn bases(subject: &Subject) -> Vec<Basis> {
    let (lie, table) = (LIE.as_slice(), TABLE.as_slice());
    let landed = joined(&[lie, table, &[BLOCKS, KEEL, DOCK, MOVED]]);
    match subject {
        Subject::Station(_)
        | Subject::Offset(_)
        | Subject::Yaw(_)
        | Subject::Sighting(..)
        | Subject::AsOffered(_)
        | Subject::FromPlan(_)
        | Subject::Shift(_)
        | Subject::LandingCheck(..) => lie.to_vec(),
        Subject::DiversFit(..) | Subject::DiversAim(_) | Subject::DiversLanded(_) => {
            joined(&[&[DIVERS], lie, &[BLOCKS]])
        }
        Subject::NeverExposed
        | Subject::HistoryNeverExposed
        | Subject::Reached(_)
        | Subject::Clearance(..)
        | Subject::Drain(..) => joined(&[lie, &[BLOCKS, BOTTOM]]),
        Subject::Closed(_) | Subject::OpeningOrder(_) | Subject::PositionOrder => {
            vec![all("positions/positions.csv")]
        }
        Subject::BlockHeight(_) => vec![DOCK],
        Subject::Marks(..) => vec![SURVEY],
        Subject::Displacement(_) => joined(&[table, &[DRAFTS, MOVED]]),
        Subject::HydrostaticsSmooth
        | Subject::HydrostaticsSlope
        | Subject::HydrostaticsCentre
        | Subject::HydrostaticsSize => table.to_vec(),
        Subject::StiffnessSize => vec![all("docking.toml [ship]")],
        Subject::WeightsTotal | Subject::WeightsCentre => {
            joined(&[&[all("landing/weights.csv"), DRAFTS], table])
        }
        Subject::Trim(_)
        | Subject::List(_)
        | Subject::KnuckleLoad(_)
        | Subject::KnucklePressure(_)
        | Subject::Knuckle(_)
        | Subject::SecondTouch(_) => landed,
        Subject::LeastGm(_) | Subject::NilGm(_) => joined(&[&[STABILITY], &landed]),
        Subject::BuoyancyCurve(_) => {
            joined(&[&[of_position("landing/buoyancy.csv")], &landed, &[DRAFTS, MOVED]])
        }
        Subject::GapDepths(_) => vec![of_position("landing/gaps.csv"), WATER, DOCK],
        Subject::Sill(_) => vec![all("landing/water.csv"), DRAFTS, DOCK, BLOCKS],
        Subject::WaterTouched(_) | Subject::WaterLanded(_) => joined(&[&[WATER], &landed]),
        Subject::DewateringRate(_) | Subject::WaterEvents(_) | Subject::WaterWay(_) => vec![WATER],
        Subject::GapRate(_) => vec![of_position("landing/gaps.csv"), WATER],
        Subject::LoadsBalance(_)
        | Subject::LoadsPressure(_)
        | Subject::BendingMoment(_)
        | Subject::ShearForce(_)
        | Subject::FloorLoad(_)
        | Subject::FloorPressure(_)
        | Subject::Gap(..) => {
            let own = [
                all("landing/weights.csv"),
                all("landing/stiffness.csv"),
                of_position("landing/buoyancy.csv"),
                all("plan/layers.csv"),
                WATER,
                of_position("landing/drafts.csv"),
            ];
            joined(&[&own, &landed])
        }
        Subject::LeavingGm(_) => joined(&[&[STABILITY, MOVED, DRAFTS], &landed]),
        Subject::LiftOffAft(_) | Subject::LiftOffForward(_) | Subject::LiftOffList(_) => {
            joined(&[&[MOVED, DRAFTS, STABILITY], table])
        }
        Subject::ZonesCover => vec![all("coating/zones.csv"), BOTTOM],
        Subject::ZoneArea(_) => vec![ZONES],
        Subject::ZoneScheme(_) => vec![SCHEME],
        Subject::ZoneComplete(_) | Subject::CoatOrder(_) | Subject::Claim(_) => {
            joined(&[&[COATS, ZONES, SCHEME, all("coating/areas.csv")], lie, &[BLOCKS]])
        }
        Subject::Product(_) => vec![SCHEME],
        Subject::Batch(_) => vec![of_product("coating/products.toml [batch]")],
        Subject::Covered(_)
        | Subject::Grade(_)
        | Subject::Profile(_)
        | Subject::Salts(_)
        | Subject::Dust(_)
        | Subject::PreparationAge(_) => vec![PREPARATION, SCHEME],
        Subject::ClimateMargin(_)
        | Subject::ClimateHumidity(_)
        | Subject::ClimateAge(_)
        | Subject::DewPoints(_) => vec![CLIMATE],
        Subject::Recoat(..) | Subject::TieIn(..) | Subject::Immersion(..) => {
            joined(&[&PRODUCT, &[CLIMATE]])
        }
        Subject::Paint(_) => joined(&[&[ZONES, SCHEME], &PRODUCT, lie, &[BLOCKS]]),
        Subject::WetFilm(_) => joined(&[&[SCHEME], &PRODUCT]),
        Subject::PreparationPlaces(_) => joined(&[&[ZONES], lie, &[BLOCKS]]),
        Subject::Film(..) | Subject::FilmOwed(..) => {
            let rules = [all("docking.toml [film]"), of_zone("docking.toml [film_for_zone]")];
            joined(&[&[GAUGES, FILM, SCHEME], &rules])
        }
        // Which coat lay at a spot by then follows from where blocks stood.
        Subject::FilmTimes(..) => joined(&[&[GAUGES, FILM, SCHEME], lie, &[BLOCKS]]),
        Subject::FilmPlaces(..) => joined(&[&[FILM, ZONES], lie, &[BLOCKS]]),
        Subject::GaugeCheck(..) => vec![GAUGES],
        Subject::PlateLoss(_) | Subject::PlateOriginal(_) => {
            vec![Basis { of: "hull/plating.csv", same: &[("strake", "strake")] }]
        }
        Subject::Period | Subject::PositionPeriod(_) => vec![all("docking.toml [period]")],
        _ => Vec::new(),
    }
}

/// Columns on which no recomputed figure rests: a wrong one makes nothing else come out otherwise.
const ON_WHICH_NOTHING_RESTS: &[(&str, &str)] = &[
    ("plan/blocks.csv", "mass"),
    ("plan/blocks.csv", "clearance"),
    ("plan/blocks.csv", "moved_from"),
    ("docking.toml [ship]", "length_overall"),
];

/// The rows of a project by where they stand.
pub(super) struct Rows<'a> {
    rows: BTreeMap<(Arc<str>, u32), (String, &'a Entry)>,
}

impl<'a> Rows<'a> {
    pub(super) fn of(project: &'a Project) -> Self {
        let mut rows = BTreeMap::new();
        for sheet in &project.sheets {
            for entry in &sheet.entries {
                let line = entry.place.line.unwrap_or_default();
                // A part of a table stands for the whole.
                let place = (entry.place.file.clone(), line);
                rows.insert(place, (sheet.spec.path.to_string(), entry));
            }
        }
        for keyed in &project.keyed {
            for (table, entry) in keyed.entries() {
                let of = format!("{} [{table}]", keyed.path);
                let places = entry.values().map(|(column, _)| entry.place_of(column).line);
                for line in places.chain([entry.place.line]).flatten() {
                    rows.insert((entry.place.file.clone(), line), (of.clone(), entry));
                }
            }
        }
        Self { rows }
    }

    fn at(&self, place: &Place) -> Option<&(String, &'a Entry)> {
        self.rows.get(&(place.file.clone(), place.line?))
    }

    /// What a finding is about, by the names of columns: what its subject names, and what its records do.
    fn named(&self, finding: &Finding) -> BTreeSet<(String, String)> {
        let names = finding.subject.names().into_iter();
        let mut named: BTreeSet<(String, String)> =
            names.map(|(kind, name)| (kind.to_string(), name.to_string())).collect();
        for (_, entry) in finding.records.iter().filter_map(|place| self.at(place)) {
            named.extend(entry.values().filter_map(|(column, value)| match value {
                Some(value @ (Value::Text(_) | Value::Whole(_))) => {
                    Some((column.name.to_string(), value.text(None)))
                }
                _ => None,
            }));
        }
        named
    }

    /// The first of some places that a finding rests on without listing it.
    pub(super) fn resting<'p>(
        &self,
        finding: &Finding,
        places: impl Iterator<Item = &'p Place> + Clone,
    ) -> Option<&'p Place> {
        let known: Vec<(&Place, &(String, &Entry))> =
            places.filter_map(|place| Some((place, self.at(place)?))).collect();
        let named = self.named(finding);
        let fits = |basis: &Basis, entry: &Entry| {
            basis.same.iter().all(|(column, kind)| {
                let value = entry.values().find(|(known, _)| known.name == *column);
                let Some(value) = value.and_then(|(_, value)| value) else { return true };
                named.contains(&(kind.to_string(), value.text(None)))
            })
        };
        let counts = |of: &str, place: &Place, entry: &Entry| {
            let named = entry.values().find(|(column, _)| entry.place_of(column) == *place);
            let column = named.map(|(column, _)| column.name);
            !ON_WHICH_NOTHING_RESTS.iter().any(|(file, idle)| *file == of && column == Some(*idle))
        };
        let bound = finding.against.as_ref().and_then(|against| {
            let is_it = |(of, entry): &(String, &Entry)| {
                let table = match against.sort {
                    Sort::Limit => "docking.toml [limits]",
                    Sort::Tolerance => "docking.toml [tolerances]",
                };
                of == table && entry.title == against.name
            };
            known.iter().find(|(_, row)| is_it(row)).map(|(place, _)| *place)
        });
        bound.or_else(|| {
            bases(&finding.subject).iter().find_map(|basis| {
                let on = |(place, (of, entry)): &(&'p Place, &(String, &Entry))| {
                    (of == basis.of && fits(basis, entry) && counts(of, place, entry))
                        .then_some(*place)
                };
                known.iter().find_map(on)
            })
        })
    }
}
