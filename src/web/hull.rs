//! The hull and what lies on it, as the scripts draw it and ask it: the form is told in `templates/page/record.js`.
//! Everything comes from what findings and report were made of; texts are finished here, in the project's units.

use geo::MultiPolygon;
use serde::Serialize;

use super::previews::Previews;
use super::shapes::{Hides, Length, Shape, card, point, rounded, shape, shapes, shown_as};
use super::slides::Slides;
use crate::calc::exposure::Hidden;
use crate::calc::plating::used_up_pct;
use crate::findings::Examined;
use crate::findings::exceptions::{Why, exceptions};
use crate::findings::finding::Outcome;
use crate::findings::recomputed::coating::Part;
use crate::findings::recomputed::plating::{self, Wear, Worn};
use crate::hull::{Lie, Outline, on_hull};
use crate::records::zones::Lies;
use crate::report::figures;
use crate::text;
use crate::text::{Form, Reader, Text, id};

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Hull {
    length: Length,
    bottom: Vec<Shape>,
    frames: Frames,
    positions: Vec<Position>,
    planned: Vec<Planned>,
    never_exposed: Vec<Piece>,
    openings: Vec<Opening>,
    zones: Vec<Zone>,
    steel: Vec<Steel>,
    exceptions: Vec<Exception>,
    gaugings: Vec<Gauging>,
    anodes: Vec<Anode>,
    pictures: Vec<Picture>,
    unseen: Vec<Unseen>,
    not_unseen: Option<String>,
    findings: Vec<Marked>,
    shifts: Option<Slides>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Frames {
    from_aft: bool,
    /// Numbers of frames with their x.
    at: Vec<(i64, f64)>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Position {
    id: String,
    card: String,
    docked: String,
    hides: Vec<Hides>,
    left_out: Vec<Hides>,
}

/// What blocks would hide by the plan.
#[derive(Serialize)]
struct Planned {
    name: String,
    hides: Vec<Hides>,
}

#[derive(Serialize)]
struct Piece {
    letter: String,
    shape: Shape,
    says: String,
}

#[derive(Serialize)]
struct Opening {
    id: String,
    card: String,
    kind: String,
    centre: [f64; 2],
    diameter: Option<f64>,
    shape: Option<Shape>,
}

#[derive(Serialize)]
struct Zone {
    id: String,
    card: String,
    shape: Vec<Shape>,
}

#[derive(Serialize)]
struct Steel {
    card: String,
    zone: String,
    missing: Option<String>,
    coats: Vec<String>,
    shape: Vec<Shape>,
}

#[derive(Serialize)]
struct Exception {
    letter: String,
    kind: &'static str,
    says: String,
    shape: Vec<Shape>,
    places: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct Gauging {
    card: String,
    plate: String,
    at: (f64, Option<f64>),
    loss: Option<String>,
    share: Option<f64>,
    /// What it lost since an earlier docking, where one on record gauged the plate.
    since: Option<String>,
}

#[derive(Serialize)]
struct Anode {
    id: String,
    card: String,
    at: [f64; 2],
    renewed: Option<bool>,
}

#[derive(Serialize)]
struct Picture {
    number: usize,
    card: String,
    file: String,
    caption: String,
    at: Option<[f64; 2]>,
    from: Vec<String>,
    about: Vec<String>,
    /// The id of its preview on the page, with width and height in pixels.
    preview: Option<(String, u32, u32)>,
    /// What it is, for those who can't see it.
    alt: String,
}

#[derive(Serialize)]
struct Unseen {
    name: String,
    says: String,
    shape: Vec<Shape>,
}

#[derive(Serialize)]
struct Marked {
    id: String,
    card: String,
    outcome: &'static str,
    sentence: String,
    about: Vec<String>,
}

impl Hull {
    pub fn new(examined: &Examined, previews: &Previews, reader: Reader) -> Self {
        let (project, recomputed) = (&examined.project, &examined.recomputed);
        let numbered = figures::pictures_placed(examined).into_iter().enumerate();
        Self {
            length: shown_as(Form::Shift, reader),
            bottom: recomputed.bottom.as_ref().map(shapes).unwrap_or_default(),
            frames: frames(examined),
            positions: positions(examined, reader),
            planned: examined.as_planned().map(planned).unwrap_or_default(),
            never_exposed: recomputed
                .never_exposed
                .iter()
                .enumerate()
                .map(|(n, piece)| Piece {
                    letter: figures::letter(n),
                    shape: shape(&piece.shape),
                    says: Form::Area.measure(piece.area_m2).with_unit(reader.system),
                })
                .collect(),
            openings: project.openings.iter().map(opening).collect(),
            zones: project
                .zones
                .iter()
                .filter_map(|zone| {
                    let Lies::Bottom(outline) = &zone.lies else { return None };
                    let shape = match outline {
                        Some(outline) => vec![shape(outline)],
                        None => recomputed.bottom.as_ref().map(shapes).unwrap_or_default(),
                    };
                    Some(Zone { id: zone.id.clone(), card: card("zone", &zone.id), shape })
                })
                .collect(),
            steel: steel(examined),
            exceptions: exceptions(examined)
                .lettered()
                .iter()
                .enumerate()
                .map(|(n, one)| Exception {
                    letter: figures::letter(n),
                    kind: one.kind.words(),
                    says: match &one.why {
                        Why::Finding(finding) => finding.sentence.shown(reader),
                        _ => crate::report::says_exception(examined, one).shown(reader),
                    },
                    shape: shapes(&one.steel),
                    places: one.places.iter().map(|place| point(*place)).collect(),
                })
                .collect(),
            gaugings: gaugings(examined, reader),
            anodes: project
                .anodes
                .iter()
                .filter_map(|anode| {
                    Some(Anode {
                        id: anode.id.clone(),
                        card: card("anode", &anode.id),
                        at: point(anode.hull?),
                        renewed: anode.renewed,
                    })
                })
                .collect(),
            pictures: numbered
                .map(|(n, (paper, at))| Picture {
                    number: n + 1,
                    card: card("paper", &paper.file),
                    file: paper.file.clone(),
                    caption: paper.caption.clone().unwrap_or_default(),
                    at: at.map(point),
                    from: paper.seen_from.clone(),
                    about: paper.about.clone(),
                    preview: previews.place_of(&paper.file),
                    alt: previews.alt(&paper.file).to_string(),
                })
                .collect(),
            unseen: unseen(examined, reader),
            not_unseen: not_unseen(examined).map(|said| said.shown(reader)),
            shifts: Slides::new(examined, reader),
            findings: examined
                .findings
                .iter()
                .filter(|finding| finding.outcome != Outcome::Agrees)
                .map(|finding| Marked {
                    id: finding.id.clone(),
                    card: card("finding", &finding.id),
                    outcome: finding.outcome.words(),
                    sentence: finding.sentence.shown(reader),
                    about: finding
                        .subject
                        .names()
                        .iter()
                        .map(|(kind, id)| card(kind, id))
                        .collect(),
                })
                .collect(),
        }
    }
}

/// The frames along the hull as far as anything of it is known.
fn frames(examined: &Examined) -> Frames {
    let Some(frames) = &examined.project.docking.frames else {
        return Frames { from_aft: true, at: Vec::new() };
    };
    let outline = examined.recomputed.bottom.iter().flat_map(|bottom| &bottom.0);
    let outline = outline.flat_map(|polygon| polygon.exterior().coords());
    let prints = examined.recomputed.hidden.iter().flat_map(|hidden| &hidden.shape.0);
    let prints = prints.flat_map(|polygon| polygon.exterior().coords());
    let ends = outline.chain(prints).map(|at| at.x);
    let (from, to) = ends.fold((f64::MAX, f64::MIN), |(from, to), x| (from.min(x), to.max(x)));
    let at = if from <= to { frames.between(from, to) } else { Vec::new() };
    Frames {
        from_aft: frames.from_aft,
        at: at.into_iter().map(|(number, x)| (number, rounded(x))).collect(),
    }
}

fn positions(examined: &Examined, reader: Reader) -> Vec<Position> {
    let (project, recomputed) = (&examined.project, &examined.recomputed);
    let placed = project.positions.iter().zip(&recomputed.positions).enumerate();
    placed
        .map(|(n, (position, found))| {
            let block = |at: usize| project.blocks[at].id.clone();
            let hides = recomputed.hidden.get(n).into_iter().flat_map(|hidden| &hidden.footprints);
            let hides = hides.flat_map(|(at, print)| {
                print.0.iter().map(|one| Hides { block: block(*at), shape: shape(one) })
            });
            let left_out = |lie: Lie| {
                let absent = project.blocks.iter().filter(|block| !block.stands_in(&position.id));
                absent
                    .map(|block| Hides {
                        block: block.id.clone(),
                        shape: shape(&on_hull(&block.cap, &lie).polygon()),
                    })
                    .collect()
            };
            Position {
                id: position.id.clone(),
                card: card("position", &position.id),
                docked: match position.times.dry {
                    Some(from) => {
                        text!("dry {}", text::Piece::Span(from, position.times.reflood_began))
                            .shown(reader)
                    }
                    None => String::new(),
                },
                hides: hides.collect(),
                left_out: found.lie.map(left_out).unwrap_or_default(),
            }
        })
        .collect()
}

fn planned(planned: &Examined) -> Vec<Planned> {
    let positions = planned.project.positions.iter().zip(&planned.recomputed.hidden);
    let block = |at: usize| planned.project.blocks[at].id.clone();
    let hides = |(position, hidden): (&crate::records::positions::Position, &Hidden)| {
        let prints = hidden.footprints.iter();
        let hides = prints.flat_map(|(at, print)| {
            print.0.iter().map(|one| Hides { block: block(*at), shape: shape(one) })
        });
        Planned { name: format!("Blocks of {} as planned", position.id), hides: hides.collect() }
    };
    positions.map(hides).collect()
}

fn opening(opening: &crate::records::openings::Opening) -> Opening {
    let (diameter, shape) = match &opening.outline {
        Outline::Round { diameter_m, .. } => (Some(*diameter_m), None),
        Outline::Rectangular(rectangle) => (None, Some(shape(&rectangle.polygon()))),
    };
    Opening {
        id: opening.id.clone(),
        card: card("opening", &opening.id),
        kind: opening.kind.replace('-', " "),
        centre: point(opening.centre),
        diameter,
        shape,
    }
}

/// The steel of the bottom by what it lay under and what it got.
fn steel(examined: &Examined) -> Vec<Steel> {
    let zones = examined.project.zones.iter().zip(&examined.recomputed.coating.zones);
    let bottom = zones.filter(|(zone, _)| zone.is_bottom());
    bottom
        .flat_map(|(zone, history)| {
            let part = |(n, part): (usize, &Part)| Steel {
                card: steel_card(&zone.id, n),
                zone: zone.id.clone(),
                missing: missing(part),
                coats: part
                    .chain
                    .iter()
                    .map(|at| card("coat", &examined.project.coats[*at].name))
                    .collect(),
                shape: shapes(&part.shape),
            };
            history.parts.iter().enumerate().map(part).collect::<Vec<_>>()
        })
        .collect()
}

/// The card of a part of a zone, by its number.
pub fn steel_card(zone: &str, part: usize) -> String {
    card("steel", &format!("{zone}.{}", part + 1))
}

/// What steel lacks of its scheme.
pub fn missing(part: &Part) -> Option<String> {
    match part.missing.as_slice() {
        [] => None,
        [one] => Some(format!("coat {one}")),
        some => {
            let numbers: Vec<String> = some.iter().map(ToString::to_string).collect();
            Some(format!("coats {}", text::and(&numbers)))
        }
    }
}

fn gaugings(examined: &Examined, reader: Reader) -> Vec<Gauging> {
    let project = &examined.project;
    let gauged = project.plating.iter().zip(plating::worn_on_record(project)).enumerate();
    gauged
        .filter_map(|(n, (gauging, worn))| {
            let at = gauging.hull?;
            let used = plating::plate(project, n)
                .and_then(|plate| used_up_pct(plate.original_m, plate.measured_m, plate.limit?));
            Some(Gauging {
                card: card("plate", &format!("{}.{}", gauging.strake, gauging.plate)),
                plate: format!("{} {}", gauging.strake, gauging.plate),
                at: (rounded(at.x), Some(rounded(at.y))),
                loss: plating::loss(gauging)
                    .map(|loss| Form::Plate.measure(loss.m).with_unit(reader.system)),
                share: used.map(|used| (used * 10.0).round() / 1000.0),
                since: worn.map(|(docking, worn)| since(docking, &worn).shown(reader)),
            })
        })
        .collect()
}

/// What a plate lost since an earlier docking, or why that is not known, as a sentence part.
fn since(docking: &str, worn: &Worn) -> Text {
    let on = worn.older_on.map(|on| text!(", {}", on)).unwrap_or_default();
    let there = match worn.apart_m {
        Some(apart_m) if apart_m >= SAME_SPOT_M => {
            text!(" at a spot {} from this one", Form::Length.measure(apart_m))
        }
        Some(_) => Text::new(),
        None => text!(" at a spot that is not recorded"),
    };
    let then = text!("{}{}, gauged{}", id(docking), on, there);
    match (worn.wear, worn.rate_m_per_year) {
        (Wear::Rate, Some(rate)) if rate > 0.0 => {
            text!("{} lost a year since {}", Form::Wastage.measure(rate), then)
        }
        (Wear::Rate, _) => text!("no thinner than in {}", then),
        (Wear::Renewed, _) => {
            text!("another original thickness is recorded than in {}: renewed", then)
        }
        (Wear::Thicker, _) => text!("thicker than in {}: renewed, or not the same spot", then),
        (Wear::NoSpan | Wear::NotGaugedThen, _) => {
            text!("no rate since {}, since the days between are not known", then)
        }
    }
}

/// Gaugings nearer to each other than this are of one spot, m: a hand's breadth.
const SAME_SPOT_M: f64 = 0.1;

/// What steel of the bottom is said to be that lies in none of the shapes of `unseen`.
fn not_unseen(examined: &Examined) -> Option<Text> {
    let history = examined.recomputed.history.as_ref()?;
    let said = text!(
        "It is not among what the earlier dockings on record are known to have left under blocks."
    );
    Some(match history.not_placed().as_slice() {
        [] => said,
        not => text!("{} {}", said, unknown(not)),
    })
}

/// That of some dockings it is not known where she lay.
fn unknown(not_placed: &[&str]) -> Text {
    let names = Text::listed(not_placed.iter().map(|name| id(*name).into()));
    text!(
        "Not every position of {} can be placed with its blocks, so what these hid is not known.",
        names
    )
}

/// What earlier dockings left under blocks, and what none on record ever exposed.
fn unseen(examined: &Examined, reader: Reader) -> Vec<Unseen> {
    let Some(history) = &examined.recomputed.history else { return Vec::new() };
    let never =
        MultiPolygon(history.never_exposed.iter().map(|piece| piece.shape.clone()).collect());
    let not_placed = history.not_placed();
    let sure = |said: Text, is_sure: bool| match is_sure {
        true => said.shown(reader),
        false => text!("{} {}", said, unknown(&not_placed)).shown(reader),
    };
    let all = Unseen {
        name: String::new(),
        says: match not_placed.is_empty() {
            true => "No docking on record ever exposed it.".to_string(),
            false => sure("No docking whose blocks can be placed ever exposed it.".into(), false),
        },
        shape: shapes(&never),
    };
    // What this docking left has its own sentence.
    let left = history.dockings.iter().take(history.newest()).filter_map(|docked| {
        let left = docked.left.as_ref()?;
        let name = id(&docked.name);
        let says = match left.known {
            true => text!("It was left under blocks in {}, and nothing on record since exposed it.", name),
            false => text!(
                "It was left under blocks in {}, and no docking since whose blocks can be placed exposed it.",
                name
            ),
        };
        let shape = shapes(&left.still);
        Some(Unseen { name: docked.name.clone(), says: sure(says, left.known), shape })
    });
    std::iter::once(all).chain(left).collect()
}
