//! The plan as it is written: blocks, layers, outlines, keel line, openings, positions.

use crate::scatter::Scatter;
use crate::sheet::{Sheet, row};
use crate::yard::{Lie, MINUTES_A_DAY, Row, Truth, Yard, reads};

/// What of the plan people wrote down.
pub struct Plan {
    /// Columns of a block that somebody measured.
    pub heights: bool,
    /// Of how many blocks the top was levelled: one in so many.
    pub tops_of_one_in: usize,
    pub bearing_limit_kpa: Option<f64>,
    pub openings: &'static [Opening],
}

/// An opening: name, kind, place, size fore and aft and athwart or a diameter (m), frame space.
pub struct Opening {
    pub id: &'static str,
    pub kind: &'static str,
    pub x_m: f64,
    pub y_m: f64,
    pub size_m: [f64; 2],
}

/// Least clear distance kept between openings and caps, m.
pub const CLEAR_M: f64 = 0.20;

pub fn word(row: Row) -> &'static str {
    match row {
        Row::Keel => "keel",
        Row::Port => "bilge-port",
        Row::Starboard => "bilge-starboard",
    }
}

pub fn blocks(truth: &Truth, plan: &Plan) -> String {
    let mut scatter = truth.scatter("blocks as levelled");
    let yard = truth.yard;
    let mut sheet = Sheet::new(
        yard.is_us,
        "block row station_m:2/2 offset_m:3/2 length_mm:0/1 width_mm:0/1 height_mm:0/1 top_level_m:3/2 clearance_mm:0/1 \
         cap_material mass_t:2/2 bearing_limit_kpa:0/0",
    );
    for (n, block) in truth.blocks.iter().enumerate() {
        let is_keel = block.row == Row::Keel;
        let top_m = block.top_m + scatter.within(reads::TOP_M);
        let height_m =
            block.top_m - yard.floor_at_m(block.station_m) + scatter.within(reads::HEIGHT_M);
        let layers = yard.layers[usize::from(!is_keel)];
        let mass_t = 2.2 * block.cap_m[0] * block.cap_m[1] * yard.height_m + scatter.within(0.05);
        sheet.add(row![
            block.id.clone(),
            word(block.row),
            block.station_m + scatter.within(reads::BLOCK_M),
            block.offset_m + scatter.within(reads::BLOCK_M),
            block.cap_m[0] * 1000.0,
            block.cap_m[1] * 1000.0,
            (plan.heights && is_keel).then_some(height_m * 1000.0),
            (is_keel && n % plan.tops_of_one_in == 0).then_some(top_m),
            (!is_keel).then_some(block.clearance_m * 1000.0 + scatter.within(1.0)),
            layers.last().map(|(material, ..)| *material),
            mass_t,
            plan.bearing_limit_kpa,
        ]);
    }
    sheet.text()
}

pub fn layers(truth: &Truth) -> String {
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "block row order material thickness_mm:0/1 area_m2:2/1 elastic_modulus_gpa:2",
    );
    let rows = [(Row::Keel, 0), (Row::Port, 1), (Row::Starboard, 1)];
    for (row, layers) in rows {
        if truth.blocks.iter().all(|block| block.row != row) {
            continue;
        }
        for (n, (material, thick, area, gpa)) in truth.yard.layers[layers].iter().enumerate() {
            sheet.add(row!["", word(row), n + 1, *material, thick * 1000.0, *area, *gpa]);
        }
    }
    sheet.text()
}

/// The bottom's outline, rounded as it is written, from the port side aft round.
pub fn outline_m(yard: &Yard) -> Vec<(f64, f64)> {
    let form = yard.ship.form;
    let ends =
        [form.aft_x_m + 0.02 * yard.length_overall_m, form.fore_x_m - 0.02 * yard.length_overall_m];
    let round = |m: f64| (m * 100.0).round() / 100.0;
    form.outline_m(ends, yard.bottom_z_m, 25)
        .into_iter()
        .map(|(x, y)| (round(x), round(y)))
        .collect()
}

pub fn bottom(yard: &Yard) -> String {
    let mut sheet = Sheet::new(yard.is_us, "part order x_m:2/3 y_m:2/3");
    for (n, (x, y)) in outline_m(yard).into_iter().enumerate() {
        sheet.add(row!["bottom", n + 1, x, y]);
    }
    let ([from, to], half) = (yard.flat_keel_x_m, yard.flat_keel_m);
    let corners = [(from, half), (to, half), (to, -half), (from, -half)];
    for (n, (x, y)) in corners.into_iter().enumerate() {
        sheet.add(row!["flat-keel", n + 1, x, y]);
    }
    sheet.text()
}

pub fn keel(truth: &Truth) -> String {
    let mut scatter = truth.scatter("keel line");
    let mut sheet = Sheet::new(truth.yard.is_us, "x_m:2/1 rise_mm:0/1");
    for (x, rise) in truth.yard.keel_m {
        // The straight part is the base line itself.
        let rise = if *rise == 0.0 { 0.0 } else { rise * 1000.0 + scatter.within(0.5) };
        sheet.add(row![*x, rise]);
    }
    sheet.text()
}

/// Whether a place on the hull, grown by a margin, is clear of every cap in a position.
pub fn is_clear(
    truth: &Truth,
    lie: &Lie,
    (x_m, y_m): (f64, f64),
    half_m: [f64; 2],
    margin_m: f64,
) -> bool {
    truth.blocks.iter().all(|block| {
        let (x, y) = lie.on_hull(block.station_m, block.offset_m);
        (x - x_m).abs() > block.cap_m[0] / 2.0 + half_m[0] + margin_m
            || (y - y_m).abs() > block.cap_m[1] / 2.0 + half_m[1] + margin_m
    })
}

/// Where an opening lies: near where it is wanted, clear of caps in every position.
fn place(truth: &Truth, opening: &Opening) -> (f64, f64) {
    let half = opening.size_m.map(|m| m.max(opening.size_m[0]) / 2.0);
    let half = if opening.size_m[1] == 0.0 { half } else { opening.size_m.map(|m| m / 2.0) };
    let tries =
        (0..400).map(|n| 0.02 * f64::from((n + 1) / 2) * if n % 2 == 0 { 1.0 } else { -1.0 });
    let clear = |x: f64| {
        (truth.positions.iter())
            .all(|at| is_clear(truth, &at.lie, (x, opening.y_m), half, CLEAR_M + 0.06))
    };
    let x = tries.map(|by| opening.x_m + by).find(|x| clear(*x));
    (x.expect("a place clear of the blocks"), opening.y_m)
}

pub fn openings(truth: &Truth, plan: &Plan, frame_m: Option<f64>, people: &[&str]) -> String {
    let yard = truth.yard;
    let mut scatter = truth.scatter("openings");
    let mut sheet = Sheet::new(
        yard.is_us,
        "opening kind x_m:2/2 y_m:2/2 length_mm:0/1 width_mm:0/1 diameter_mm:0/1 side frame:1 valve_tag opened_at \
         opened_by closed_at closed_by tested_how state",
    );
    for (n, opening) in plan.openings.iter().enumerate() {
        let (x, y) = place(truth, opening);
        let is_round = opening.size_m[1] == 0.0;
        let day = truth.positions[0].day;
        let opened = day * MINUTES_A_DAY + 510 + 35 * n as i64;
        let closed = opened + (1 + n as i64 % 2) * MINUTES_A_DAY + scatter.whole(30, 200);
        let is_opened = n % 4 != 3;
        let is_plug = opening.kind == "docking-plug";
        let done = |at: i64| is_opened.then(|| clock(at as f64));
        let by = |n: usize| is_opened.then(|| people[n % people.len()]);
        sheet.add(row![
            opening.id,
            opening.kind,
            x,
            y,
            (!is_round).then_some(opening.size_m[0] * 1000.0),
            (!is_round).then_some(opening.size_m[1] * 1000.0),
            is_round.then_some(opening.size_m[0] * 1000.0),
            if y.abs() < 0.05 {
                "centre"
            } else if y > 0.0 {
                "port"
            } else {
                "starboard"
            },
            frame_m.map(|space| x / space + scatter.within(0.1)),
            (!is_plug).then(|| format!("V-{:02}", n + 11)),
            done(opened),
            by(n),
            done(closed),
            by(n + 1),
            is_opened.then_some("hose test from outboard, dry inboard"),
            "found tight, cleaned",
        ]);
    }
    sheet.text()
}

pub fn offers(truth: &Truth) -> String {
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "plan_position srp_station_m:2/2 offset_m:3/2 left_out source",
    );
    for (n, station) in truth.yard.stations_m.iter().enumerate() {
        sheet.add(row![n + 1, *station, 0.0, "", "docking plan, sheet 1"]);
    }
    sheet.text()
}

/// The first of the days.
const FIRST_DAY: &str = "2041-05-06";

/// A day, from the first.
pub fn date(day: i64) -> String {
    let first: chrono::NaiveDate = FIRST_DAY.parse().expect("a day");
    (first + chrono::Days::new(day.max(0) as u64)).to_string()
}

/// A time as it is written, to the minute.
pub fn clock(at: f64) -> String {
    let minutes = at.round() as i64;
    let (day, minute) = (minutes.div_euclid(MINUTES_A_DAY), minutes.rem_euclid(MINUTES_A_DAY));
    format!("{}T{:02}:{:02}:00", date(day), minute / 60, minute % 60)
}

/// Where she lay, and when, as written.
pub fn positions(truth: &Truth, offers: bool) -> String {
    let mut scatter = truth.scatter("positions as written");
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "position planned_srp_station_m:2/2 planned_offset_m:3/2 recorded_srp_station_m:3/2 recorded_offset_m:3/2 \
         yaw_deg:3 flooding_began touched landed dry reflood_began afloat from_plan",
    );
    for (n, position) in truth.positions.iter().enumerate() {
        let (lie, times) = (&position.lie, &position.times);
        let [stern_m, bow_m] = [scatter.within(reads::LIE_M), scatter.within(reads::LIE_M)];
        let off_deg = ((bow_m - stern_m) / truth.yard.length_overall_m).to_degrees();
        sheet.add(row![
            position.name.clone(),
            truth.yard.stations_m[n],
            0.0,
            lie.station_m + scatter.within(reads::LIE_M),
            lie.offset_m + stern_m,
            lie.yaw_deg + off_deg,
            clock(times.flooding),
            clock(times.touched),
            clock(times.landed),
            clock(times.dry),
            clock(times.reflood),
            clock(times.afloat),
            offers.then_some(n + 1),
        ]);
    }
    sheet.text()
}

/// Sightings of marks on the hull, aft and forward and on both sides.
pub fn sightings(truth: &Truth, people: &[&str]) -> String {
    let yard = truth.yard;
    let half = yard.ship.form.breadth_m / 2.0;
    let marks = [
        (0.0, 0.0, true, true),
        (yard.length_overall_m, 0.0, true, true),
        (0.35 * yard.length_overall_m, half, true, false),
        (0.35 * yard.length_overall_m, -half, true, false),
        (0.15 * yard.length_overall_m, 0.0, false, true),
        (0.85 * yard.length_overall_m, 0.0, false, true),
    ];
    let mut sheet = Sheet::new(
        yard.is_us,
        "position mark hull_x_m:3/2 hull_y_m:3/2 dock_station_m:3/2 dock_offset_m:3/2 read_by at",
    );
    // The marks stay where they are from position to position.
    let mut places = truth.scatter("marks on the hull");
    let places: Vec<(f64, f64)> = (marks.iter())
        .map(|(x, y, ..)| (x + places.within(reads::MARK_M), y + places.within(reads::MARK_M)))
        .collect();
    for position in &truth.positions {
        let mut scatter = truth.scatter(&format!("sightings in {}", position.name));
        for (n, ((x, y, along, across), place)) in marks.iter().zip(&places).enumerate() {
            let (station, offset) = position.lie.in_dock(*x, *y);
            sheet.add(row![
                position.name.clone(),
                format!("M{}", n + 1),
                place.0,
                place.1,
                along.then(|| station + scatter.within(reads::SIGHTING_M)),
                across.then(|| offset + scatter.within(reads::SIGHTING_M)),
                people[n % people.len()],
                clock(position.times.survey.start + 3.0 * n as f64),
            ]);
        }
    }
    sheet.text()
}

/// What divers measured at blocks before she touched and when she was landed.
pub fn divers(truth: &Truth, by: &str) -> String {
    let yard = truth.yard;
    let mut sheet = Sheet::new(
        yard.is_us,
        "position occasion round block keel_offset_mm:0/1 mark_x_m:2/2 mark_ahead_mm:0/1 by at",
    );
    for position in &truth.positions {
        let mut scatter = truth.scatter(&format!("divers in {}", position.name));
        let rounds = [
            ("before-touchdown", position.times.touched - 50.0),
            ("landed", position.times.survey.start + 4.0),
        ];
        for (occasion, began) in rounds {
            for (n, part) in [2, yard.count / 2, yard.count - 4].into_iter().enumerate() {
                let block = &truth.blocks[part];
                let (x, y) = position.lie.on_hull(block.station_m, block.offset_m);
                let after = block.station_m - block.cap_m[0] / 2.0;
                // A mark every two metres on the keel; the one nearest to the block is taken.
                let mark_x = (x / 2.0).round() * 2.0;
                let ahead =
                    position.lie.in_dock(mark_x, 0.0).0 - after + scatter.within(reads::DIVER_M);
                sheet.add(row![
                    position.name.clone(),
                    occasion,
                    "",
                    block.id.clone(),
                    (scatter.within(reads::DIVER_M) - y) * 1000.0,
                    (n == 0).then_some(mark_x),
                    (n == 0).then_some(ahead * 1000.0),
                    by,
                    clock(began + 6.0 * n as f64),
                ]);
            }
        }
    }
    sheet.text()
}

/// A place on the bottom that lies free in a position.
pub fn free_spot(
    truth: &Truth,
    lie: &Lie,
    scatter: &mut Scatter,
    inside: &dyn Fn(f64, f64) -> bool,
) -> (f64, f64) {
    let form = truth.yard.ship.form;
    for _ in 0..20_000 {
        let x = scatter.between(form.aft_x_m + 1.0, form.fore_x_m - 1.0);
        let y = scatter.within(form.breadth_m / 2.0);
        if inside(x, y) && is_clear(truth, lie, (x, y), [0.0, 0.0], 0.06) {
            return (x, y);
        }
    }
    panic!("no free spot");
}
