//! The landing as it is written: table, drafts, water, weights, gaps, checks.

use crate::afloat::Ship;
use crate::plan::clock;
use crate::sheet::{Sheet, row};
use crate::yard::{MINUTES_A_DAY, Row, Truth, reads};

/// The density for which tables are made, t/m3.
pub const SALT_T_M3: f64 = 1.025;

/// The hydrostatic table of a form: of a level ship, moments to change trim without the small part of the height of her
/// centre of gravity, as books have them. `columns` are those of the file with their decimals.
pub fn hydrostatics(truth: &Truth, columns: &str, datum_x_m: f64) -> String {
    let yard = truth.yard;
    let form = yard.ship.form;
    let length = yard.ship.length_m();
    let [from, to, step] = yard.table_m;
    let mut sheet = Sheet::new(yard.is_us, columns);
    for n in 0..=((to - from) / step).round() as usize {
        let draft = from + step * n as f64;
        let below = form.displaced(|_| draft);
        sheet.add(row![
            draft,
            below.volume_m3 * SALT_T_M3,
            below.centre_x_m - datum_x_m,
            below.flotation_x_m - datum_x_m,
            below.waterplane_m2 * SALT_T_M3 / 100.0,
            below.along_m4 * SALT_T_M3 / length / 100.0,
            form.heights_m(draft).1,
        ]);
    }
    sheet.text()
}

pub fn drafts(truth: &Truth, by: &str) -> String {
    let yard = truth.yard;
    let mut sheet = Sheet::new(
        yard.is_us,
        "position occasion mark_x_m:2/2 mark_y_m:2/2 draft_m:2/2 water_density_t_m3:3 at by",
    );
    let mut read = |position: &str, occasion: &str, ship: &Ship, density: f64, at: f64| {
        let mut scatter = truth.scatter(&format!("drafts {position} {occasion}"));
        let afloat = ship.floats(density);
        let (_, list_deg) = ship.heel(afloat);
        let tan = libm::tan(list_deg.to_radians());
        let hydrometer = density + scatter.within(reads::DENSITY_T_M3);
        for (n, (x, half)) in yard.marks.iter().enumerate() {
            for (m, y) in [*half, -half].into_iter().enumerate() {
                let draft = ship.draft_m(afloat, *x) + y * tan + scatter.within(reads::DRAFT_M);
                let minutes = at + (2 * n + m) as f64;
                sheet.add(row![position, occasion, *x, y, draft, hydrometer, clock(minutes), by]);
            }
        }
    };
    let first = &truth.positions[0];
    let fresher = yard.water_t_m3 - 0.003;
    read("", "arrival", &first.ship, fresher, first.times.flooding + 120.0);
    for (n, position) in truth.positions.iter().enumerate() {
        let (name, times) = (&position.name, &position.times);
        read(name, "before-landing", &position.ship, yard.water_t_m3, times.pumping - 25.0);
        let next = truth.positions.get(n + 1).map_or(&truth.departing, |next| &next.ship);
        read(name, "lift-off", next, yard.water_t_m3, times.afloat + 2.0);
    }
    let last = &truth.positions[truth.positions.len() - 1];
    read("", "departure", &truth.departing, fresher, last.times.afloat + 200.0);
    sheet.text()
}

pub fn water(truth: &Truth) -> String {
    let mut sheet = Sheet::new(truth.yard.is_us, "position at level_m:2/2 event by");
    for (n, position) in truth.positions.iter().enumerate() {
        let times = &position.times;
        let mut scatter = truth.scatter(&format!("staff in {}", position.name));
        let events = [
            ("flooding-began", times.flooding),
            ("pumping-began", times.pumping),
            ("first-touch", times.touched),
            ("halt", times.divers.start),
            ("diver-down", times.divers.start + 2.0),
            ("diver-up", times.divers.end - 2.0),
            ("pumping-resumed", times.divers.end),
            ("landed", times.landed),
            ("halt", times.survey.start),
            ("pumping-resumed", times.survey.end),
            ("dry", times.dry),
            ("reflood-began", times.reflood),
            ("lift-off", times.lift_off),
            ("afloat", times.afloat),
        ];
        // Of a later position the log goes on where the one before it left her afloat.
        let before = n.checked_sub(1).map(|before| truth.positions[before].times.afloat);
        let log = truth.yard.log_min;
        let runs = [(times.flooding, times.dry), (times.reflood, times.afloat)];
        let mut rows: Vec<(i64, Option<&str>)> = Vec::new();
        for (from, to) in runs {
            let first = (from / log as f64).ceil() as i64;
            rows.extend((first..=(to / log as f64) as i64).map(|k| (k * log, None)));
        }
        rows.retain(|(at, _)| before.is_none_or(|before| *at as f64 > before));
        rows.retain(|(at, _)| events.iter().all(|(_, time)| (time.round() as i64 - at).abs() > 2));
        rows.extend(events.iter().map(|(event, at)| (at.round() as i64, Some(*event))));
        rows.sort();
        for (at, event) in rows {
            let level = times.level_m(at as f64) + scatter.within(reads::LEVEL_M);
            sheet.add(row![
                position.name.clone(),
                clock(at as f64),
                level,
                event,
                "the night watchman"
            ]);
        }
    }
    sheet.text()
}

pub fn moved(truth: &Truth) -> String {
    let mut scatter = truth.scatter("weights moved as written");
    let mut sheet = Sheet::new(truth.yard.is_us, "at item mass_t:2/2 x_m:1/1 y_m:1/1 z_m:1/1");
    for (at, item, mass_t, [x, y, z]) in &truth.moved {
        let weighed = mass_t * (1.0 + scatter.within(reads::WEIGHT));
        sheet.add(row![clock(*at), *item, weighed, *x, *y, *z]);
    }
    sheet.text()
}

pub fn weights(truth: &Truth) -> String {
    let mut scatter = truth.scatter("weight curve");
    let mut sheet =
        Sheet::new(truth.yard.is_us, "from_x_m:2/2 to_x_m:2/2 mass_t:1/1 centre_x_m:2/2");
    for load in &truth.weights {
        let mass = load.mass_t * (1.0 + scatter.within(reads::ESTIMATE));
        sheet.add(row![load.from_x_m, load.to_x_m, mass, (load.from_x_m + load.to_x_m) / 2.0]);
    }
    sheet.text()
}

pub fn stiffness(truth: &Truth) -> String {
    let mut scatter = truth.scatter("girder as reckoned");
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "from_x_m:2/2 to_x_m:2/2 second_moment_m4:4 shear_area_m2:4/2 elastic_modulus_gpa:0 shear_modulus_gpa:0",
    );
    let mut from = 0.0;
    for length in &truth.hull {
        let part = 1.0 + scatter.within(reads::ESTIMATE);
        let second = length.bending_kn_m2 / 206e6 * part;
        sheet.add(row![from, length.to_x_m, second, length.shear_kn / 79e6 * part, 206.0, 79.0]);
        from = length.to_x_m;
    }
    sheet.text()
}

/// Buoyancy along her at the survey with water in the dock, in the first position.
pub fn buoyancy(truth: &Truth) -> String {
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "position water_level_m:2/2 from_x_m:2/2 to_x_m:2/2 buoyancy_t:1/1",
    );
    let position = &truth.positions[0];
    let level = position.times.level_m(position.times.survey.start);
    for part in truth.buoyancy(0, level, 24) {
        sheet.add(row![position.name.clone(), level, part.from_x_m, part.to_x_m, part.mass_t]);
    }
    sheet.text()
}

/// Gaps at some blocks: with water in the dock in the first position where asked, and dry in each.
pub fn gaps(truth: &Truth, with_water: bool, [divers, foreman]: [&str; 2]) -> String {
    let mut sheet =
        Sheet::new(truth.yard.is_us, "position block gap_mm:0/2 water_depth_m:2/2 by at");
    for (number, position) in truth.positions.iter().enumerate() {
        let mut scatter = truth.scatter(&format!("feelers in {}", position.name));
        let times = &position.times;
        let level = times.level_m(times.survey.start);
        let dry = (None, times.dry + 30.0, foreman);
        let wet = (Some(level), times.survey.start + 3.0, divers);
        for (level, began, by) in [wet, dry] {
            if level.is_some() && !(with_water && number == 0) {
                continue;
            }
            let found = truth.resting(number, level);
            let mut at = began;
            for (n, (block, (_, gap))) in truth.blocks.iter().zip(&found).enumerate() {
                let end =
                    n < 3 || (truth.yard.count.saturating_sub(4)..truth.yard.count).contains(&n);
                let asked = match block.row {
                    Row::Keel => end || n % 5 == 0,
                    _ => n % 3 == 0,
                };
                if !asked {
                    continue;
                }
                let read =
                    if *gap < 0.0005 { 0.0 } else { (gap + scatter.within(reads::GAP_M)).max(0.0) };
                let depth =
                    level.map(|level| level - truth.yard.floor_m + scatter.within(reads::LEVEL_M));
                // One depth is noted for the whole survey.
                let depth = depth.map(|_| level.unwrap_or(0.0) - truth.yard.floor_m);
                sheet.add(row![
                    position.name.clone(),
                    block.id.clone(),
                    read * 1000.0,
                    depth,
                    by,
                    clock(at)
                ]);
                at += 1.0;
            }
        }
    }
    sheet.text()
}

/// What was checked as she landed.
pub fn checks(truth: &Truth, [divers, foreman]: [&str; 2]) -> String {
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "position check block planned recorded planned_value_m:3/2 recorded_value_m:3/2 as_planned by at",
    );
    for position in &truth.positions {
        let mut scatter = truth.scatter(&format!("checks in {}", position.name));
        let (times, name) = (&position.times, &position.name);
        let knuckle = &truth.blocks[position.seats[position.landing.seat].0];
        let touching = times.divers.start + 5.0;
        sheet.add(row![
            name.clone(),
            "declivity",
            "",
            "as in the plan",
            "as in the plan, by level and staff",
            "",
            "",
            "yes",
            foreman,
            clock(times.flooding - 40.0)
        ]);
        sheet.add(row![
            name.clone(),
            "diver-contact",
            knuckle.id.clone(),
            "bears first",
            "hard contact",
            0.0,
            0.0,
            "yes",
            divers,
            clock(touching)
        ]);
        let line = position.lie.on_hull(knuckle.station_m, 0.0).1;
        sheet.add(row![
            name.clone(),
            "centreline",
            knuckle.id.clone(),
            "on the line of the dock",
            "by rule",
            0.0,
            scatter.within(reads::DIVER_M) * 0.5 - line,
            "yes",
            divers,
            clock(touching + 5.0)
        ]);
        sheet.add(row![
            name.clone(),
            "second-survey",
            "",
            "gaps again when dry",
            "done",
            "",
            "",
            "yes",
            foreman,
            clock(times.dry + 60.0)
        ]);
    }
    sheet.text()
}

/// Stops that were planned: for the divers, and for the survey.
pub fn stops(truth: &Truth) -> String {
    let mut sheet = Sheet::new(truth.yard.is_us, "position level_m:2/2 why planned_at");
    for position in &truth.positions {
        let (landing, times) = (&position.landing, &position.times);
        let round = |m: f64| (m * 10.0).round() / 10.0;
        let planned = |at: f64| clock((at / 30.0).round() * 30.0);
        sheet.add(row![
            position.name.clone(),
            round(landing.touched_level_m),
            "first touch: divers confirm contact",
            planned(times.touched)
        ]);
        sheet.add(row![
            position.name.clone(),
            round(landing.landed_level_m - 0.7),
            "landed: gaps at the ends",
            planned(times.survey.start)
        ]);
    }
    sheet.text()
}

/// Hold points as they were signed.
pub fn holds(truth: &Truth, [dockmaster, divers, foreman]: [&str; 3]) -> String {
    let mut sheet = Sheet::new(truth.yard.is_us, "position hold by at");
    for position in &truth.positions {
        let times = &position.times;
        let signed = [
            ("blocks-accepted", foreman, times.flooding - 15.0),
            ("gate-seated", dockmaster, times.pumping - 35.0),
            ("lined-up", dockmaster, times.touched - 12.0),
            ("touch-accepted", divers, times.divers.end - 1.0),
            ("divers-inspected", divers, times.survey.end - 4.0),
            ("landing-accepted", dockmaster, times.survey.end - 1.0),
            ("dry-accepted", foreman, times.dry + 95.0),
            ("flooding-allowed", dockmaster, times.reflood - 20.0),
        ];
        for (hold, by, at) in signed {
            sheet.add(row![position.name.clone(), hold, by, clock(at)]);
        }
    }
    sheet.text()
}

/// The first and the last day of the docking, counted from the first.
pub fn last_day(truth: &Truth) -> i64 {
    let last = &truth.positions[truth.positions.len() - 1];
    (last.times.afloat as i64 + 400) / MINUTES_A_DAY
}
