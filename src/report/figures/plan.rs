//! The block plan of each position, to scale, in strips.

use geo::{Coord, Intersects, LineString, MultiPolygon, Polygon};

use super::canvas::{CAP_GREY, Canvas, DASH_DOT, DASHED, LONG_DASH, OPENING_BLUE, Pen};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Berth, Extent, Ground, extent_of, extent_of_opening};
use super::labels::{Area, Named};
use super::legend::{self, Sample};
use super::lettering::{self, SMALL_PT};
use super::marks;
use super::strip_map::{MapTitle, OUTLINE, Sheet, StripMap, StripWords};
use super::words;
use crate::hull::Outline;
use crate::records::blocks::{Block, BlockRow};
use crate::records::openings::Opening;
use crate::text;

const FLAT_KEEL: Pen = Pen::solid(0.18).broken(DASHED);
const CAP: Pen = Pen::solid(0.25);
const TRUE_SHAPE: Pen = Pen::solid(0.18).coloured(OPENING_BLUE);

/// The legend and every position's strips; none where nothing can be placed.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let Some(whole) = extent(ground) else { return Vec::new() };
    // One cut for all positions, so that their strips lie side by side.
    let caps = ground.berths.iter().flat_map(|berth| ground.caps(berth));
    let map = StripMap::new(ground, whole, 0.0, caps.filter_map(|(_, cap)| extent_of(&cap)));
    let mut drawings = vec![legend_of(ground)];
    for berth in &ground.berths {
        let map_title = MapTitle {
            group: Group::Plan,
            name: format!("plan-{}", berth.stem),
            heading: format!("Block plan, position {}", lettering::label(&berth.id)),
            title: format!("Block plan, position {}", berth.id),
            berth: Some(berth),
        };
        let reaches = |from_m, to_m| {
            let caps = ground.caps(berth).filter_map(|(_, cap)| extent_of(&cap));
            let openings = ground.openings().map(extent_of_opening);
            caps.chain(openings)
                .filter(|e| e.forward >= from_m && e.aft <= to_m)
                .reduce(Extent::with)
        };
        drawings.extend(map.draw(&map_title, reaches, |sheet| plan(sheet, berth)));
    }
    drawings
}

/// All that the plans of all positions show.
fn extent(ground: &Ground) -> Option<Extent> {
    let caps = ground
        .berths
        .iter()
        .flat_map(|berth| ground.caps(berth))
        .filter_map(|(_, cap)| extent_of(&cap));
    let openings = ground.openings().map(extent_of_opening);
    let outline = ground.bottom.and_then(extent_of);
    let shapes = caps.chain(openings).chain(outline).reduce(Extent::with)?;
    let ends = ground.stations().into_iter().map(|(_, x)| Extent {
        aft: x,
        forward: x,
        starboard: shapes.starboard,
        port: shapes.port,
    });
    (!ground.berths.is_empty()).then(|| ends.fold(shapes, Extent::with))
}

struct PlacedBlock<'a> {
    block: &'a Block,
    stands: bool,
    cap: Polygon<f64>,
    centre: Coord<f64>,
}

fn plan(sheet: &mut Sheet, berth: &Berth) -> StripWords {
    let (ground, (from_m, to_m)) = (sheet.ground, sheet.strip.window_m());
    let in_window = |e: &Extent| e.forward >= from_m && e.aft <= to_m;
    let position = &ground.examined.project.positions.get(berth.number);
    let blocks: Vec<PlacedBlock> = ground
        .caps(berth)
        .filter(|(_, cap)| extent_of(cap).is_some_and(|extent| in_window(&extent)))
        .map(|(block, cap)| PlacedBlock {
            block,
            stands: position.is_some_and(|position| block.stands_in(&position.id)),
            cap,
            centre: berth.lie.to_hull(block.cap.centre.x, block.cap.centre.y),
        })
        .collect();
    let openings: Vec<&Opening> =
        ground.openings().filter(|o| in_window(&extent_of_opening(o))).collect();

    if let Some(flat_keel) = ground.flat_keel {
        sheet.line_of(flat_keel, FLAT_KEEL);
    }
    sheet.outline();
    sheet.stations();
    draw_caps(sheet, &blocks);
    draw_openings(sheet, &openings);
    sheet.match_lines();
    name_all(sheet, &blocks, &openings);
    StripWords { caption: caption(sheet, berth), alt: alt(sheet, berth, &blocks, &openings) }
}

fn draw_caps(sheet: &mut Sheet, blocks: &[PlacedBlock]) {
    for shown in blocks.iter().filter(|shown| shown.stands) {
        sheet.tinted(&MultiPolygon(vec![shown.cap.clone()]), CAP_GREY);
        sheet.line_of(&shown.cap, CAP);
    }
    for shown in blocks.iter().filter(|shown| !shown.stands) {
        let lines = sheet.outline_of(&shown.cap);
        let cross: Vec<LineString<f64>> = legend::diagonals(&sheet.corners(&shown.cap))
            .iter()
            .flat_map(|line| sheet.inside(line.0.iter().copied()))
            .collect();
        legend::left_out(&mut sheet.canvas, &lines, &cross);
        sheet.labels.avoid_lines(&lines);
        sheet.labels.avoid_lines(&cross);
    }
    for shown in blocks {
        if let Some(area) = sheet.area_of(&shown.cap) {
            sheet.labels.avoid(area);
        }
    }
}

fn draw_openings(sheet: &mut Sheet, openings: &[&Opening]) {
    for opening in openings {
        match opening.outline {
            Outline::Round { centre, diameter_m } => {
                let (at, radius) = (sheet.at(centre), sheet.scale().to_mm(diameter_m) / 2.0);
                // Within the mark it would only blot it.
                let area = Area::at(at).grown(radius);
                if radius > marks::HALF_MM && sheet.window.holds(&area) {
                    sheet.canvas.circle(at, radius, Some(TRUE_SHAPE), None);
                    sheet.labels.avoid(area);
                }
            }
            Outline::Rectangular(shape) => {
                let shape = shape.polygon();
                sheet.line_of(&shape, TRUE_SHAPE);
                if let Some(area) = sheet.area_of(&shape) {
                    sheet.labels.avoid(area);
                }
            }
        }
    }
    for opening in openings {
        let at = sheet.at(opening.centre);
        let area = mark_area(at);
        if sheet.window.holds(&area) {
            marks::draw(&mut sheet.canvas, &opening.kind, at);
            sheet.labels.keep_clear(area);
        }
    }
}

fn mark_area(at: Coord<f64>) -> Area {
    Area::at(at).grown(marks::HALF_MM + 0.15)
}

/// Labels: first inside caps, then openings, then the other blocks; what belongs to a neighbouring
/// strip only where there is room.
fn name_all(sheet: &mut Sheet, blocks: &[PlacedBlock], openings: &[&Opening]) {
    let strip = sheet.strip;
    let upward: Vec<(BlockRow, bool)> = rows_too_close(sheet, blocks);
    let block = |shown: &PlacedBlock| {
        let text = lettering::label(&shown.block.id);
        let area = sheet.area_of(&shown.cap)?;
        let upward = upward.iter().any(|(row, close)| *row == shown.block.row && *close);
        let crossed = blocks.iter().any(|o| !o.stands && o.cap.intersects(&shown.cap));
        let inside =
            if shown.stands && !crossed { rooms_inside(sheet, &shown.cap) } else { Vec::new() };
        Some(Named { inside, upward, ..Named::beside(text, area) })
    };
    let opening = |opening: &&Opening| {
        let text = lettering::label(&opening.id);
        let shape = extent_of_opening(opening);
        let corners = [
            sheet.at(Coord { x: shape.aft, y: shape.port }),
            sheet.at(Coord { x: shape.forward, y: shape.starboard }),
        ];
        let mark = mark_area(sheet.at(opening.centre));
        let area = Area::around(corners).map_or(mark, |shape| shape.with(&mark));
        Named { colour: OPENING_BLUE, ..Named::beside(text, area) }
    };
    let (mine, others): (Vec<&PlacedBlock>, Vec<&PlacedBlock>) =
        blocks.iter().partition(|shown| strip.holds(shown.centre.x));
    let named: Vec<Named> = mine.iter().filter_map(|shown| block(shown)).collect();
    let (fitting, rest): (Vec<Named>, Vec<Named>) = named.into_iter().partition(fits_inside);
    let open: Vec<Named> =
        openings.iter().filter(|o| strip.holds(o.centre.x)).map(opening).collect();
    let beyond: Vec<Named> = others.iter().filter_map(|shown| block(shown)).collect();
    for named in fitting.iter().chain(&open).chain(&rest) {
        sheet.labels.place(named);
    }
    beyond.iter().for_each(|named| sheet.labels.place_inside(named));
}

fn fits_inside(named: &Named) -> bool {
    let (width, height) =
        (lettering::width_mm(&named.text, SMALL_PT), lettering::capital_mm(SMALL_PT) + 0.3);
    named.inside.iter().any(|(room, upward)| {
        let (w, h) = if *upward { (height, width) } else { (width, height) };
        room.right - room.left >= w && room.bottom - room.top >= h
    })
}

/// Room for a label inside a cap: level, and reading upward. A skewed cap has less.
fn rooms_inside(sheet: &Sheet, cap: &Polygon<f64>) -> Vec<(Area, bool)> {
    let corners = sheet.corners(cap);
    let [a, b, c, d, ..] = corners.as_slice() else { return Vec::new() };
    let mut x = [a.x, b.x, c.x, d.x];
    let mut y = [a.y, b.y, c.y, d.y];
    x.sort_by(f64::total_cmp);
    y.sort_by(f64::total_cmp);
    // Between the second and third corner along each axis lies a rectangle inside the cap, as long
    // as it is turned by little.
    let room = Area { left: x[1], right: x[2], top: y[1], bottom: y[2] }.grown(-0.2);
    if room.left < room.right && room.top < room.bottom {
        vec![(room, false), (room, true)]
    } else {
        Vec::new()
    }
}

/// Rows whose blocks stand closer together than their labels are wide.
fn rows_too_close(sheet: &Sheet, blocks: &[PlacedBlock]) -> Vec<(BlockRow, bool)> {
    let rows = [BlockRow::Keel, BlockRow::BilgePort, BlockRow::BilgeStarboard, BlockRow::Other];
    rows.map(|row| {
        let own = || blocks.iter().filter(|shown| shown.block.row == row && shown.stands);
        let mut x: Vec<f64> = own().map(|shown| sheet.at(shown.centre).x).collect();
        x.sort_by(f64::total_cmp);
        let gaps: Vec<f64> = x.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let mean = gaps.iter().sum::<f64>() / gaps.len().max(1) as f64;
        let widest = own()
            .map(|shown| lettering::width_mm(&lettering::label(&shown.block.id), SMALL_PT))
            .fold(0.0, f64::max);
        (row, !gaps.is_empty() && mean < widest + 0.8)
    })
    .to_vec()
}

fn caption(sheet: &Sheet, berth: &Berth) -> String {
    let ground = sheet.ground;
    let mut caption = format!(
        "In plan, {}: caps that stood (grey), caps left out (dotted, with a cross) and openings (marks as in the \
         legend).",
        sheet.span(),
    );
    if ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded.");
    }
    if berth.yaw_unknown {
        caption.push_str(" Yaw not recorded, drawn as 0.");
    }
    caption.push_str(&sheet.labels.left_out_note("label", "tables"));
    if sheet.strip.number == 1 {
        caption.push_str(&ground.not_placed_note());
        let far = ground.too_far(berth);
        if far > 0 {
            let far = words::count(far, "record");
            caption.push_str(&format!(" Blocks or openings too far off to be drawn: {far}."));
        }
    }
    caption
}

fn alt(sheet: &Sheet, berth: &Berth, blocks: &[PlacedBlock], openings: &[&Opening]) -> String {
    let strip = sheet.strip;
    const MOST: usize = 30;
    let ids = |rows: &[BlockRow], stands: bool| -> Vec<String> {
        blocks
            .iter()
            .filter(|s| {
                strip.holds(s.centre.x) && s.stands == stands && rows.contains(&s.block.row)
            })
            .map(|s| lettering::shown(&s.block.id))
            .collect()
    };
    let named = |noun: &str, plural: &str, ids: Vec<String>| {
        let count = text::count(ids.len(), noun, plural);
        if ids.is_empty() { count } else { format!("{count} ({})", words::list(&ids, MOST)) }
    };
    let every = [BlockRow::Keel, BlockRow::BilgePort, BlockRow::BilgeStarboard, BlockRow::Other];
    let open: Vec<String> = openings
        .iter()
        .filter(|opening| strip.holds(opening.centre.x))
        .map(|opening| lettering::shown(&opening.id))
        .collect();
    format!(
        "Plan of the bottom {} in position {}, bow to the right, port above: {}, {}, {}, {}, {}, {}.",
        sheet.span(),
        berth.id,
        named("keel block", "keel blocks", ids(&[BlockRow::Keel], true)),
        named("port bilge block", "port bilge blocks", ids(&[BlockRow::BilgePort], true)),
        named(
            "starboard bilge block",
            "starboard bilge blocks",
            ids(&[BlockRow::BilgeStarboard], true)
        ),
        named("other block", "other blocks", ids(&[BlockRow::Other], true)),
        named("block left out", "blocks left out", ids(&every, false)),
        named("opening", "openings", open),
    )
}

/// What the lines and marks of the plans mean; kinds of openings that the ship has.
fn legend_of(ground: &Ground) -> Drawing {
    let mut samples: Vec<(Sample, String)> = Vec::new();
    let mut add = |sample: Sample, meaning: &str| samples.push((sample, meaning.to_string()));
    if ground.bottom.is_some() {
        add(Sample::Line(OUTLINE), "outline of the bottom");
    }
    if ground.flat_keel.is_some() {
        add(Sample::Line(FLAT_KEEL), "edge of the flat keel");
    }
    add(Sample::Line(Pen::solid(0.13).broken(DASH_DOT)), "centreline");
    add(Sample::Line(Pen::solid(0.13).broken(LONG_DASH)), "AP, FP, SRP");
    add(Sample::Line(Pen::solid(0.35).broken(LONG_DASH)), "match line");
    add(Sample::Cap, "cap that stood");
    add(Sample::LeftOut, "cap left out");
    let kinds: Vec<&str> = marks::KINDS
        .iter()
        .filter(|(kind, _)| ground.openings().any(|opening| opening.kind == *kind))
        .map(|(kind, name)| {
            add(Sample::Mark(kind), name);
            *name
        })
        .collect();
    if !kinds.is_empty() {
        add(Sample::Line(TRUE_SHAPE), "opening, true size");
    }
    let mut canvas = Canvas::new(WIDTH_MM);
    let used_mm = legend::columns(&mut canvas, 0.6, &samples) + 0.6;
    let title = "Legend of the block plans".to_string();
    let caption = "What the lines and marks of the block plans mean. AP and FP are the \
                   perpendiculars, SRP is the stern reference point, where x is 0; marks of openings \
                   are not to scale, their outlines are."
        .to_string();
    let kinds: Vec<String> = kinds.iter().map(|kind| kind.to_string()).collect();
    let alt = format!(
        "Samples of lines and caps, and of the marks for these kinds of openings: {}.",
        words::list(&kinds, kinds.len())
    );
    Drawing::new(Group::Plan, "plan-legend", None, Words { title, caption, alt }, canvas, used_mm)
}
