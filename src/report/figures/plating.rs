//! The shell expansion: every gauged plate with what it has lost, strake by strake, and the anodes. The keel plate
//! lies in the middle, strakes to port above it and those to starboard below, in the order in which they go outward;
//! along the ship it is true to scale, across it every strake is a row.

use std::collections::BTreeMap;

use geo::Coord;

use super::canvas::{Canvas, DASH_DOT, INK, Lettered, Pen};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Ground, extent_of};
use super::labels::{Area, Labels, Named};
use super::legend::{self, Sample};
use super::lettering::{self, SMALL_PT};
use super::marks::{self, ANODE_HALF_MM, Wear};
use super::strakes::{self, NUMBER_MM, Side, Strake};
use super::words;
use crate::calc::plating::used_up_pct;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::plating::gauging_outcome;
use crate::findings::recomputed::plating::{loss, plate};
use crate::records::plating::{Anode, Gauging};
use crate::text::Form;

/// Left and right end of the rows, mm.
const LEFT_MM: f64 = 13.0;
const RIGHT_MM: f64 = 168.0;
/// Of a row: the hatched band under its number, mm.
const BAND_MM: f64 = 2.5;
const ROW_MM: f64 = NUMBER_MM + BAND_MM;
/// A lane between rows for anodes, mm.
const LANE_MM: f64 = 3.6;
/// Over the rows: frames; under them: x, mm.
const HEAD_MM: f64 = 6.4;
const FOOT_MM: f64 = 8.0;
/// The highest drawing, so that its caption stands on the same page, mm.
const MOST_MM: f64 = 200.0;
/// A field reaches no further from its gauging, m.
const REACH_M: f64 = 3.0;
/// Most drawings.
const MOST_STRIPS: usize = 3;
/// The widest number, with room around it.
const WIDEST: &str = "100";

const EDGE: Pen = Pen::solid(0.13);
const BEYOND: Pen = Pen::solid(0.5);

/// The gaugings beyond their limit in the order of the file, which is that of their letters.
pub fn lettered(examined: &Examined) -> Vec<usize> {
    (0..examined.project.plating.len())
        .filter(|n| gauging_outcome(&examined.project, *n) == Outcome::BeyondLimit)
        .collect()
}

/// A gauged plate, by the gauging that has used up most of what it may lose.
struct Plate<'a> {
    gauging: &'a Gauging,
    x_m: f64,
    wear: Wear,
    letter: Option<String>,
}

struct Row<'a> {
    strake: Strake<'a>,
    plates: Vec<Plate<'a>>,
}

/// All that is shown.
struct Shell<'a> {
    /// From port to starboard, as they lie on paper.
    rows: Vec<Row<'a>>,
    /// Anodes by the row below which they lie; 0 is over all rows, 1 under the first.
    lanes: BTreeMap<usize, Vec<(&'a Anode, f64)>>,
    /// What has no place in the drawing, each with why.
    left_out: Vec<String>,
}

fn wear(examined: &Examined, gauging: usize) -> Wear {
    match gauging_outcome(&examined.project, gauging) {
        Outcome::BeyondLimit => Wear::Beyond,
        Outcome::Agrees => plate(&examined.project, gauging)
            .and_then(|plate| used_up_pct(plate.original_m, plate.measured_m, plate.limit?))
            .map_or(Wear::Nearly, Wear::of),
        _ => Wear::Unknown,
    }
}

impl<'a> Shell<'a> {
    fn new(ground: &Ground<'a>) -> Self {
        let project = &ground.examined.project;
        let beyond = lettered(ground.examined);
        let (mut no_x, mut too_far) = (0, 0);
        let mut rows: Vec<Row> = Vec::new();
        for strake in &ground.examined.recomputed.strakes {
            let mut plates: BTreeMap<&str, Plate> = BTreeMap::new();
            let mut line = Vec::new();
            let all = strake.gaugings.iter().chain(&strake.without_original);
            for n in all {
                let gauging = &project.plating[*n];
                let Some(at) = gauging.hull else {
                    no_x += 1;
                    continue;
                };
                if !ground.draws_x(at.x) {
                    too_far += 1;
                    continue;
                }
                line.push(at);
                let letter = beyond.iter().position(|b| b == n).map(words::letter);
                let found = Plate { gauging, x_m: at.x, wear: wear(ground.examined, *n), letter };
                let lost = |plate: &Plate| loss(plate.gauging).and_then(|lost| lost.pct);
                let rank = |plate: &Plate| (plate.wear == Wear::Beyond, lost(plate));
                let worse = |held: &&mut Plate| rank(held) < rank(&found);
                match plates.get_mut(gauging.plate.as_str()) {
                    None => {
                        plates.insert(&gauging.plate, found);
                    }
                    held => {
                        if let Some(held) = held.filter(worse) {
                            *held = found;
                        }
                    }
                }
            }
            if line.is_empty() {
                continue;
            }
            let mut plates: Vec<Plate> = plates.into_values().collect();
            plates.sort_by(|a, b| a.x_m.total_cmp(&b.x_m));
            rows.push(Row { strake: Strake::new(&strake.name, line), plates });
        }
        strakes::from_port_to_starboard(&mut rows, |row| &row.strake);
        let mut left_out = Vec::new();
        let room = ((MOST_MM - HEAD_MM - FOOT_MM - 24.0) / (ROW_MM + 0.5)) as usize;
        if rows.len() > room {
            left_out
                .push(format!("{}, for want of room", words::count(rows.len() - room, "strake")));
            // The outermost on either side.
            let over = rows.len() - room;
            rows.drain(..over / 2);
            rows.truncate(room);
        }
        let mut lanes: BTreeMap<usize, Vec<(&Anode, f64)>> = BTreeMap::new();
        let mut anodes_lost = 0;
        for anode in &project.anodes {
            match anode.hull.filter(|at| ground.draws_x(at.x)) {
                Some(at) => lanes.entry(lane(&rows, at)).or_default().push((anode, at.x)),
                None => anodes_lost += 1,
            }
        }
        lanes.values_mut().for_each(|lane| lane.sort_by(|a, b| a.1.total_cmp(&b.1)));
        for (count, noun, why) in [
            (no_x, "gauging", "without x and y"),
            (too_far, "gauging", "too far off the hull"),
            (anodes_lost, "anode", "without x and y, or too far off the hull"),
        ] {
            if count > 0 {
                left_out.push(format!("{} {why}", words::count(count, noun)));
            }
        }
        Self { rows, lanes, left_out }
    }

    fn xs(&self) -> impl Iterator<Item = f64> {
        let plates = self.rows.iter().flat_map(|row| &row.plates).map(|plate| plate.x_m);
        plates.chain(self.lanes.values().flatten().map(|(_, x)| *x))
    }
}

/// Under how many rows an anode lies: outside every strake of its side that was gauged nearer to the centreline than it
/// sits.
fn lane(rows: &[Row], at: Coord<f64>) -> usize {
    let inside = |row: &&Row| row.strake.off_m(at.x).is_none_or(|off| off <= at.y.abs());
    let of = |side: Side| rows.iter().filter(move |row| row.strake.side == side);
    let ports = of(Side::Port).count();
    let keels = of(Side::Keel).count();
    if at.y >= 0.0 {
        ports - of(Side::Port).filter(inside).count()
    } else {
        ports + keels + of(Side::Starboard).filter(inside).count()
    }
}

/// The hatch of a band: the more is used up, the closer.
fn hatches(wear: Wear) -> &'static [super::hatch::Hatch] {
    use super::hatch::Hatch;
    const SOME: &[Hatch] = &[Hatch { angle_deg: 45.0, spacing_mm: 1.9 }];
    const MUCH: &[Hatch] = &[Hatch { angle_deg: 45.0, spacing_mm: 0.95 }];
    const NEARLY: &[Hatch] =
        &[Hatch { angle_deg: 45.0, spacing_mm: 0.7 }, Hatch { angle_deg: 135.0, spacing_mm: 0.7 }];
    const UNKNOWN: &[Hatch] = &[Hatch { angle_deg: 0.0, spacing_mm: 0.8 }];
    match wear {
        Wear::Little | Wear::Beyond => &[],
        Wear::Some => SOME,
        Wear::Much => MUCH,
        Wear::Nearly => NEARLY,
        Wear::Unknown => UNKNOWN,
    }
}

/// The shell expansion in as few parts as leave room for the numbers; none where no gauging and no anode has a place.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let shell = Shell::new(ground);
    let range = |xs: &mut dyn Iterator<Item = f64>| {
        xs.fold(None, |range: Option<(f64, f64)>, x| {
            let (low, high) = range.unwrap_or((x, x));
            Some((low.min(x), high.max(x)))
        })
    };
    let Some((low, high)) = range(&mut shell.xs()) else { return Vec::new() };
    let hull = ground.bottom.and_then(extent_of);
    let (low, high) = hull.map_or((low - REACH_M, high + REACH_M), |hull| {
        (hull.aft.min(low - 0.5), hull.forward.max(high + 0.5))
    });
    let parts = parts(&shell, high - low);
    let each = (high - low) / parts as f64;
    (0..parts)
        .map(|part| {
            let from = low + each * part as f64;
            draw(ground, &shell, (from, from + each), (part + 1, parts))
        })
        .collect()
}

/// In how many parts the ship is drawn, so that the number of most fields has room.
fn parts(shell: &Shell, length_m: f64) -> usize {
    let least = lettering::width_mm(WIDEST, SMALL_PT) * 0.8;
    let mut widths: Vec<f64> = Vec::new();
    for row in &shell.rows {
        widths.extend(row.plates.windows(2).map(|pair| pair[1].x_m - pair[0].x_m));
    }
    widths.sort_by(f64::total_cmp);
    // One in twenty may be too narrow.
    let Some(width_m) = widths.get(widths.len() / 20) else { return 1 };
    let needed = length_m * least / (width_m.max(1e-6) * (RIGHT_MM - LEFT_MM));
    (needed.ceil() as usize).clamp(1, MOST_STRIPS)
}

fn draw(ground: &Ground, shell: &Shell, (from, to): (f64, f64), part: (usize, usize)) -> Drawing {
    let units = ground.units;
    let mut canvas = Canvas::new(WIDTH_MM);
    let across = |x_m: f64| LEFT_MM + (x_m - from) / (to - from) * (RIGHT_MM - LEFT_MM);
    let holds = |x_m: f64| x_m >= from && (x_m < to || part.0 == part.1);
    let base = |middle: f64| middle + lettering::capital_mm(SMALL_PT) / 2.0;
    let top = HEAD_MM + 1.0;
    strakes::frames(&mut canvas, ground, (from, to), top, across);

    let mut y = top;
    let (mut without_room, mut gauged) = (0, 0);
    let mut beyond: Vec<String> = Vec::new();
    let mut anodes: Vec<&Anode> = Vec::new();
    let mut labels_left_out = 0;
    let ports = shell.rows.iter().filter(|row| row.strake.side == Side::Port).count();
    let keels = shell.rows.iter().filter(|row| row.strake.side == Side::Keel).count();
    for number in 0..=shell.rows.len() {
        if let Some(all) = shell.lanes.get(&number) {
            let here: Vec<&(&Anode, f64)> = all.iter().filter(|(_, x)| holds(*x)).collect();
            if !here.is_empty() {
                labels_left_out += draw_lane(&mut canvas, &here, y, across);
                anodes.extend(here.iter().map(|(anode, _)| *anode));
                y += LANE_MM;
            }
        }
        // The centreline, where no keel plate was gauged.
        if number == ports && keels == 0 {
            let ends = [LEFT_MM, RIGHT_MM].map(|x| Coord { x, y: y + 0.6 });
            canvas.line(ends[0], ends[1], Pen::solid(0.25).broken(DASH_DOT));
            y += 1.2;
        }
        let Some(row) = shell.rows.get(number) else { continue };
        let name = lettering::label_within(row.strake.name, LEFT_MM - 1.6, SMALL_PT);
        let at = Coord { x: LEFT_MM - 1.2, y: base(y + ROW_MM / 2.0) };
        canvas.text(Lettered::new(&name, at, SMALL_PT).end());
        for (n, plate) in row.plates.iter().enumerate().filter(|(_, plate)| holds(plate.x_m)) {
            gauged += 1;
            let xs: Vec<f64> = row.plates.iter().map(|plate| plate.x_m).collect();
            let (aft, forward) = strakes::field(&xs, n, REACH_M, (from, to));
            let area =
                Area { left: across(aft), right: across(forward), top: y, bottom: y + ROW_MM };
            without_room += usize::from(!draw_plate(&mut canvas, plate, area));
            if let Some(letter) = &plate.letter {
                beyond.push(format!("{letter} {}", named(plate.gauging)));
            }
        }
        y += ROW_MM + 0.5;
    }
    let bottom = y;
    strakes::foot(&mut canvas, units, (from, to), bottom, across);
    let y = legend::rows(&mut canvas, bottom + FOOT_MM, &samples(shell));

    let caption = format!(
        "{} and {}; port above, the bow to the right.",
        words::count(gauged, "plate"),
        words::count(anodes.len(), "anode"),
    );
    let mut note = format!(
        "Numbers are what a plate has lost, in whole per cent, where it is worst. To scale along the ship only: a field \
         reaches halfway to the next plate gauged, {} at most, since where plates meet was not recorded.",
        units.length(REACH_M, 0),
    );
    if !anodes.is_empty() {
        note.push_str(" An anode stands outside the strakes gauged nearer to the centreline.");
    }
    if !beyond.is_empty() {
        note.push_str(&format!(
            " Beyond their limit, and answered in the table of those plates: {}.",
            words::list(&beyond, 8)
        ));
    }
    if part.0 == 1 && !shell.left_out.is_empty() {
        note.push_str(&format!(" Not drawn: {}.", words::list(&shell.left_out, 6)));
    }
    for (count, noun) in [(without_room, "number"), (labels_left_out, "label")] {
        if count > 0 {
            note.push_str(&format!(
                " Left out for want of room: {}; all are in the bundle\u{2019}s tables.",
                words::count(count, noun)
            ));
        }
    }
    let alt = describe(shell, gauged, &beyond, &anodes, holds);
    let title = format!("Plating and anodes, shell expansion{}", words::part(part));
    let name = if part.1 == 1 { "plating".to_string() } else { format!("plating-{}", part.0) };
    Drawing::new(Group::Plating, name, None, Words { title, caption, alt }, canvas, y + 1.0)
        .with_note(note)
}

/// Draws a plate: what it has lost, and a band that says how much of the loss allowed that is. Whether the number had
/// room.
fn draw_plate(canvas: &mut Canvas, plate: &Plate, area: Area) -> bool {
    let band = Area { top: area.top + NUMBER_MM, ..area };
    match plate.wear {
        Wear::Beyond => canvas.ring(&band.corners(), None, Some(INK)),
        wear => {
            for hatch in hatches(wear) {
                canvas.lines(&super::hatch::lines(&band.shape(), *hatch), Pen::solid(0.15));
            }
        }
    }
    canvas.ring(&band.corners(), Some(EDGE), None);
    let is_beyond = plate.wear == Wear::Beyond;
    canvas.ring(&area.corners(), Some(if is_beyond { BEYOND } else { EDGE }), None);
    let Some(pct) = loss(plate.gauging).and_then(|lost| lost.pct) else { return true };
    let number = Form::Ratio.measure(pct).decimals(0).number(crate::text::System::Si);
    strakes::number_in(canvas, &area, plate.letter.as_deref(), number, 0.5)
}

/// Draws the anodes of a lane with their ids; how many ids had no room.
fn draw_lane(
    canvas: &mut Canvas,
    anodes: &[&(&Anode, f64)],
    top: f64,
    across: impl Fn(f64) -> f64,
) -> usize {
    let window = Area { left: LEFT_MM, right: WIDTH_MM - 0.3, top, bottom: top + LANE_MM };
    let middle = top + LANE_MM / 2.0;
    let (x, y) = ANODE_HALF_MM;
    let bar = |at: f64| Area { left: at - x, right: at + x, top: middle - y, bottom: middle + y };
    let mut labels = Labels::new(window);
    for (anode, x_m) in anodes {
        let at = Coord { x: across(*x_m), y: middle };
        marks::anode(canvas, at, anode.renewed);
        labels.keep_clear(bar(at.x));
    }
    let mut left_out = 0;
    for (anode, x_m) in anodes {
        let named = Named {
            leader: false,
            ..Named::beside(lettering::label(&anode.id), bar(across(*x_m)))
        };
        left_out += usize::from(!labels.try_place(&named));
    }
    labels.draw(canvas);
    left_out
}

/// Of the marks only those that are shown somewhere.
fn samples(shell: &Shell) -> Vec<(Sample, String)> {
    let mut samples: Vec<(Sample, String)> = Vec::new();
    for wear in Wear::ALL {
        if shell.rows.iter().flat_map(|row| &row.plates).any(|plate| plate.wear == wear) {
            let sample = match wear {
                Wear::Beyond => Sample::Filled,
                wear => Sample::Hatched(hatches(wear).to_vec()),
            };
            samples.push((sample, wear.words().to_string()));
        }
    }
    let anodes = || shell.lanes.values().flatten();
    for (renewed, meaning) in [
        (Some(true), "anode, renewed"),
        (Some(false), "anode, left"),
        (None, "anode, renewal not recorded"),
    ] {
        if anodes().any(|(anode, _)| anode.renewed == renewed) {
            samples.push((Sample::Anode(renewed), meaning.to_string()));
        }
    }
    samples
}

fn named(gauging: &Gauging) -> String {
    format!("{} plate {}", lettering::shown(&gauging.strake), lettering::shown(&gauging.plate))
}

/// What a part shows, in few words and figures.
fn describe(
    shell: &Shell,
    gauged: usize,
    beyond: &[String],
    anodes: &[&Anode],
    holds: impl Fn(f64) -> bool,
) -> String {
    let here = || shell.rows.iter().flat_map(|row| &row.plates).filter(|plate| holds(plate.x_m));
    let counts = Wear::ALL.into_iter().filter_map(|wear| {
        let count = here().filter(|plate| plate.wear == wear).count();
        (count > 0).then(|| format!("{count} {}", wear.words().trim_end_matches(", lettered")))
    });
    let counts: Vec<String> = counts.collect();
    let mut said = format!("Shell expansion of {}", words::count(shell.rows.len(), "strake"));
    if gauged > 0 {
        said.push_str(&format!(
            ", {}: {}.",
            words::count(gauged, "plate"),
            words::list(&counts, 6)
        ));
    } else {
        said.push_str(", no plate gauged here.");
    }
    if !beyond.is_empty() {
        said.push_str(&format!(" Beyond their limit: {}.", words::list(beyond, 4)));
    }
    let renewed = anodes.iter().filter(|anode| anode.renewed == Some(true)).count();
    if !anodes.is_empty() {
        said.push_str(&format!(
            " {}, {renewed} of them renewed.",
            words::count(anodes.len(), "anode")
        ));
    }
    said
}

#[cfg(test)]
mod tests;
