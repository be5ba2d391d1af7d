//! The drawing on the cover: her on the blocks of the last position, from the side over from above, at one scale. Only
//! what the records give is drawn; of her hull above the keel they give nothing but how far it reaches.

use geo::{Coord, LineString};

use super::canvas::{CAP_GREY, Canvas, DASH_DOT, DASHED, Lettered, Pen};
use super::docked::Docked;
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Ground, extent_of};
use super::labels::Area;
use super::lettering::{self, PLAIN_PT};
use super::scale::Scale;
use super::strip_map::{OUTLINE, scale_bar};
use super::words;
use crate::records::blocks::BlockRow;

const KEEL: Pen = Pen::solid(0.5);
const BLOCK: Pen = Pen::solid(0.18);
const FLOOR: Pen = Pen::solid(0.25);
const THIN: Pen = Pen::solid(0.13);
const WATER: Pen = Pen::solid(0.2).broken(DASHED);

/// Height of a line of letters, mm.
const LINE_MM: f64 = 3.4;
/// Highest drawing, mm.
const MOST_MM: f64 = 60.0;

/// One drawing, where she can be placed in some position.
pub fn drawing(ground: &Ground) -> Option<Drawing> {
    let berth = ground.berths.last()?;
    let docked = Docked::new(ground, berth)?;
    let ends_m = docked.ends_m()?;
    let (low_m, high_m) = offsets(&docked)?;
    let levels_m = docked.levels_m();
    let profile_m = levels_m.map_or(0.0, |(low, high)| high - low);
    let around_mm = 4.0 * LINE_MM + 6.0;
    let fits = |scale: &Scale| {
        scale.to_mm(ends_m.1 - ends_m.0) <= WIDTH_MM - 1.0
            && scale.to_mm(profile_m + high_m - low_m) <= MOST_MM - around_mm
    };
    let scale = Scale::usual().find(fits)?;
    let left = (WIDTH_MM - scale.to_mm(ends_m.1 - ends_m.0)) / 2.0;
    let across = |station_m: f64| left + scale.to_mm(station_m - ends_m.0);
    let mut canvas = Canvas::new(WIDTH_MM);
    let mut top = LINE_MM;

    let mut drawn = vec!["the blocks that stood in it"];
    if let Some((low, high)) = levels_m {
        let up = |level_m: f64| top + scale.to_mm(high - level_m);
        let at = |station_m: f64, level_m: f64| Coord { x: across(station_m), y: up(level_m) };
        let floor = [ends_m.0, ends_m.1].map(|end| docked.floor_m(end).map(|level| at(end, level)));
        if let [Some(aft), Some(forward)] = floor {
            canvas.line(aft, forward, FLOOR);
            drawn.push("the dock's floor");
        }
        let standing = docked.blocks.iter().filter(|shown| shown.stands);
        for block in standing.map(|shown| shown.block).filter(|b| b.row == BlockRow::Keel) {
            let Some((foot, head)) = docked.foot_and_top_m(block) else { continue };
            let half = block.cap.length_m / 2.0;
            let (aft, forward) = (block.cap.centre.x - half, block.cap.centre.x + half);
            let ring = [at(aft, foot), at(forward, foot), at(forward, head), at(aft, head)];
            canvas.ring(&ring, Some(BLOCK), Some(CAP_GREY));
        }
        let keel = docked.keel();
        if !keel.0.is_empty() {
            let line: Vec<Coord<f64>> = keel.0.iter().map(|c| at(c.x, c.y)).collect();
            canvas.lines(&[LineString::new(line)], KEEL);
            drawn.push("the line of her keel");
        }
        let water = docked.waters().into_iter().rfind(|w| w.level_m >= low && w.level_m <= high);
        if let Some(water) = &water {
            let y = up(water.level_m);
            canvas.line(Coord { x: across(ends_m.0), y }, Coord { x: across(ends_m.1), y }, WATER);
            let level = ground.units.length(water.level_m, 2);
            let said = format!("water {}, level {level}", water.what);
            let at = Coord { x: across(ends_m.0) + 1.0, y: y - 1.0 };
            canvas.text(Lettered::new(&said, at, PLAIN_PT));
            drawn.push(match water.what {
                "afloat again" => "the water when she was afloat again",
                "landed" => "the water when she was landed",
                _ => "the water at first touch",
            });
            // Up from the keel, with a stroke at each metre, as the figures on the hull stand.
            let level = |x: f64| Some(docked.landing.line?.at_m(x));
            let marks = docked.draft_marks_m().into_iter();
            let ticks = marks.filter_map(|x| Some((x, level(x)?)));
            let ticks: Vec<(f64, f64)> = ticks.filter(|(_, keel)| *keel < water.level_m).collect();
            for (x, keel) in &ticks {
                let station = docked.station_of(*x);
                canvas.line(
                    at_of(across(station), up(*keel)),
                    at_of(across(station), y - 0.6),
                    THIN,
                );
                for metre in 1..30 {
                    let level = keel + f64::from(metre);
                    if level <= water.level_m {
                        let (x, y) = (across(station), up(level));
                        canvas.line(at_of(x - 0.5, y), at_of(x + 0.5, y), THIN);
                    }
                }
            }
            if !ticks.is_empty() {
                drawn.push("the draft marks, with a stroke at each metre");
            }
        }
        top += scale.to_mm(high - low) + LINE_MM;
    }

    let up = |offset_m: f64| top + scale.to_mm(high_m - offset_m);
    let at = |c: Coord<f64>| Coord { x: across(c.x), y: up(c.y) };
    for shown in docked.blocks.iter().filter(|shown| shown.stands) {
        let ring: Vec<Coord<f64>> =
            shown.block.cap.polygon().exterior().0.iter().map(|c| at(*c)).collect();
        canvas.ring(&ring, Some(BLOCK), Some(CAP_GREY));
    }
    if let Some(bottom) = ground.bottom {
        let ring: Vec<Coord<f64>> =
            docked.in_dock(bottom).exterior().0.iter().map(|c| at(*c)).collect();
        canvas.ring(&ring, Some(OUTLINE), None);
        drawn.push("the outline of her bottom");
    }
    let ends = [ends_m.0, ends_m.1].map(|station| Coord { x: across(station), y: up(0.0) });
    canvas.line(ends[0], ends[1], THIN.broken(DASH_DOT));
    let bottom = up(low_m);
    stations(&mut canvas, &docked, &across, bottom);
    let base = bottom + LINE_MM + 4.4;
    scale_bar(&mut canvas, Coord { x: 18.0, y: base }, scale, ground.units);
    let bow = Coord { x: WIDTH_MM - 8.5, y: base - 0.9 };
    canvas.text(Lettered::new("bow", Coord { x: bow.x - 1.0, y: base }, PLAIN_PT).end());
    canvas.arrow(bow, Coord { x: bow.x + 7.5, ..bow }, THIN);
    Some(finished(&docked, berth.stem.as_str(), &drawn, scale, canvas, base + 0.6))
}

fn at_of(x: f64, y: f64) -> Coord<f64> {
    Coord { x, y }
}

/// The least and the greatest offset of what is drawn from above, m.
fn offsets(docked: &Docked) -> Option<(f64, f64)> {
    let caps = docked.blocks.iter().filter(|shown| shown.stands);
    let caps = caps.map(|shown| shown.block.cap.polygon());
    let outline = docked.ground.bottom.map(|bottom| docked.in_dock(bottom));
    let extents = caps.chain(outline).filter_map(|shape| extent_of(&shape));
    let all = extents.reduce(|a, b| a.with(b))?;
    Some((all.starboard.min(0.0), all.port.max(0.0)))
}

/// Perpendiculars, stern reference point and foremost point: strokes from top to bottom, named below.
fn stations(canvas: &mut Canvas, docked: &Docked, across: &dyn Fn(f64) -> f64, bottom: f64) {
    let ship = &docked.project.docking.ship;
    let mut named = docked.ground.stations();
    let foremost = ship.foremost_x_m.or(ship.length_overall_m);
    named.extend(foremost.filter(|x| docked.ground.draws_x(*x)).map(|x| ("foremost", x)));
    let base = bottom + 0.8 + lettering::capital_mm(PLAIN_PT);
    let mut placed: Vec<Area> = Vec::new();
    for (name, x_m) in named {
        let x = across(docked.station_of(x_m));
        canvas.line(at_of(x, 0.4), at_of(x, bottom + 0.4), THIN);
        let width = lettering::width_mm(name, PLAIN_PT);
        // Under its stroke, or beside it where another is in the way.
        let area = |left: f64| {
            let left = left.clamp(0.2, WIDTH_MM - width - 0.2);
            Area { left, right: left + width, top: base - 2.0, bottom: base }
        };
        let is_free =
            |area: &Area| placed.iter().all(|other| other.grown(0.4).overlap_mm2(area) <= 0.0);
        let places = [x - width / 2.0, x - 0.3, x + 0.3 - width].map(area);
        if let Some(area) = places.into_iter().find(is_free) {
            canvas.text(Lettered::new(name, at_of(area.left, base), PLAIN_PT));
            placed.push(area);
        }
    }
}

fn finished(
    docked: &Docked,
    stem: &str,
    drawn: &[&str],
    scale: Scale,
    canvas: Canvas,
    used_mm: f64,
) -> Drawing {
    let id = lettering::shown(&docked.position.id);
    let title =
        format!("On the blocks in position {id}, from the side and from above, 1:{}", scale.0);
    let drawn: Vec<String> = drawn.iter().map(|what| what.to_string()).collect();
    let standing = docked.blocks.iter().filter(|shown| shown.stands).count();
    let mut caption = format!(
        "Drawn is what the records give: {}. Of her hull above the keel they give its ends only.",
        words::list(&drawn, drawn.len())
    );
    if docked.is_relative && docked.levels_m().is_some() {
        caption.push_str(" The level of the floor is not recorded.");
    }
    if docked.ground.bottom.is_none() {
        caption.push_str(" The outline of her bottom is not recorded.");
    }
    let alt = format!(
        "{} from the side and, below, from above, bow to the right. Position {id}: {}; drawn are {}.",
        lettering::shown(&docked.project.docking.ship.name),
        words::count(standing, "block"),
        words::list(&drawn, drawn.len()),
    );
    let words = Words { title, caption, alt };
    let position = Some(docked.position.id.as_str());
    Drawing::new(Group::Cover, format!("cover-{stem}"), position, words, canvas, used_mm)
}
