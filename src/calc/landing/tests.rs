//! Tests of the landing by hand-made ships.

use super::*;
use crate::calc::drafts::Perpendiculars;
use crate::calc::drafts::lcg_x_m;
use crate::calc::hydrostatics::{Row, Table};

/// A box of 100 m by 15 m in sea water, drafts 1 m to 6 m.
fn box_table() -> Table {
    let rows = (0..=500)
        .map(|n| {
            let draft_m = 1.0 + f64::from(n) * 0.01;
            let displacement_t = 100.0 * 15.0 * draft_m * 1.025;
            let bm_l = 100.0 * 100.0 / (12.0 * draft_m);
            Row {
                draft_m,
                displacement_t,
                lcb_x_m: 50.0,
                lcf_x_m: 50.0,
                tpc_t_per_cm: 15.375,
                mct_tm_per_cm: displacement_t * bm_l / (100.0 * 100.0),
                km_m: draft_m / 2.0 + 15.0 * 15.0 / (12.0 * draft_m),
            }
        })
        .collect();
    match Table::new(rows, 1.025, 0.0) {
        Ok(table) => table,
        Err(wrong) => panic!("{wrong:?}"),
    }
}

fn afloat(draft_mean: f64, trim_m: f64) -> Afloat {
    let table = box_table();
    let Some(row) = table.at_draft(draft_mean) else { panic!("outside") };
    Afloat {
        perpendiculars: Perpendiculars { aft_x_m: 0.0, forward_x_m: 100.0 },
        water_density_t_m3: 1.025,
        displacement_t: row.displacement_t,
        lcg_x_m: lcg_x_m(50.0, row.mct_tm_per_cm, trim_m, row.displacement_t),
        draft_aft_m: draft_mean + trim_m / 2.0,
        trim_m,
        hog_m: 0.0,
        table,
    }
}

fn flat_blocks() -> Vec<Seat> {
    (0..10).map(|n| Seat { x_m: 5.0 + 10.0 * f64::from(n), level_m: -3.0 }).collect()
}

#[test]
fn the_knuckle_is_found_at_either_end() {
    let seats = flat_blocks();
    let touch = |trim: f64| first_touch(&afloat(4.0, trim), &seats).map(|t| t.seat);
    assert_eq!(touch(0.5), Some(0));
    assert_eq!(touch(-0.5), Some(9));
    // A block that stands proud by more than the trim hides is met first wherever it stands.
    let mut proud = seats.clone();
    proud[5].level_m += 0.6;
    assert_eq!(first_touch(&afloat(4.0, 0.5), &proud).map(|t| t.seat), Some(5));
    assert_eq!(first_touch(&afloat(4.0, 0.5), &[]), None);
}

#[test]
fn the_curve_agrees_with_the_simple_formula_for_small_trim() {
    let ship = afloat(4.0, 0.10);
    let seats = flat_blocks();
    let Some(turning) = Turning::new(&ship, seats[0]) else { panic!("outside") };
    let Some(landed) = turning.at_trim(0.0) else { panic!("never landed") };
    let Some(row) = ship.row() else { panic!("outside") };
    let simple = upthrust_t(row.mct_tm_per_cm, 10.0, 45.0);
    assert!((landed.upthrust_t / simple - 1.0).abs() < 0.02, "{} {simple}", landed.upthrust_t);
    assert!(turning.start().upthrust_t.abs() < 1e-9);
    assert!((turning.start().trim_m - 0.10).abs() < 1e-9);
    // The water falls, the upthrust grows, all the way.
    let curve = turning.curve(&landed, 20);
    assert_eq!(curve.len(), 21);
    for pair in curve.windows(2) {
        assert!(pair[1].water_level_m < pair[0].water_level_m);
        assert!(pair[1].upthrust_t > pair[0].upthrust_t);
        assert!(pair[1].trim_m < pair[0].trim_m);
    }
    // Forces and moments about the knuckle balance at every moment.
    for moment in &curve {
        let Some(row) = ship.table.at_draft(moment.draft_at_lcf_m) else { panic!("outside") };
        let lcb = row.lcb_x_m - 100.0 * row.mct_tm_per_cm * moment.trim_m / row.displacement_t;
        let about_knuckle =
            ship.displacement_t * (ship.lcg_x_m - 5.0) - row.displacement_t * (lcb - 5.0);
        assert!(about_knuckle.abs() < 1e-6 * ship.displacement_t);
    }
}

#[test]
fn trimmed_by_the_head_she_turns_the_other_way() {
    let ship = afloat(4.0, -0.2);
    let seats = flat_blocks();
    let Some(turning) = Turning::new(&ship, seats[9]) else { panic!("outside") };
    let Some(landed) = turning.at_trim(0.0) else { panic!("never landed") };
    assert!(landed.upthrust_t > 0.0);
    let mut proud = seats.clone();
    proud[2].level_m += 0.05;
    assert_eq!(second_touch(&ship, &proud, 9).map(|s| s.0), Some(2));
}

/// On an even keel she meets first a block forward of the LCF that stands proud, and her stern comes down; the
/// line of the blocks leans the other way, since the aftermost block stands proud too.
#[test]
fn she_turns_by_the_side_of_the_lcf_on_which_the_knuckle_lies() {
    let ship = afloat(4.0, 0.0);
    let mut seats = flat_blocks();
    (seats[0].level_m, seats[5].level_m) = (-2.99, -2.95);
    let Some(line) = line_of(&seats) else { panic!("no line") };
    assert!(line.slope < 0.0);
    assert_eq!(first_touch(&ship, &seats).map(|touch| touch.seat), Some(5));
    // Over 50 m the stern comes down by the 40 mm that the aftermost block stands lower.
    let Some((second, trim)) = second_touch(&ship, &seats, 5) else { panic!("meets none") };
    assert_eq!(second, 0);
    assert!((trim - 0.08).abs() < 1e-9);
    assert_eq!(landed_trim_m(&ship, &seats, 5, &line), Some(trim));
    let Some(turning) = Turning::new(&ship, seats[5]) else { panic!("outside") };
    let Some(landed) = turning.at_trim(trim) else { panic!("never landed") };
    assert!(landed.upthrust_t > 0.0 && (landed.trim_m - trim).abs() < 1e-9);
    // Without blocks abaft the LCF there is nothing that she could meet.
    assert_eq!(landed_trim_m(&ship, &seats[5..], 0, &line), None);
}

/// A keel that sags by 60 mm on an even keel touches amidships, one that hogs at her ends.
#[test]
fn hog_and_sag_count_where_she_touches() {
    let seats = flat_blocks();
    let shaped = |hog_m: f64, trim_m: f64| Afloat { hog_m, ..afloat(4.0, trim_m) };
    let touch = |ship: &Afloat| match first_touch(ship, &seats) {
        Some(touch) => (touch.seat, touch.water_level_m),
        None => panic!("touches nothing"),
    };
    // By hand: sag x (1 - (2 x 5 / 100)^2) at the blocks 5 m from amidships, on a draft of 4 m.
    let (seat, level) = touch(&shaped(-0.06, 0.0));
    assert_eq!(seat, 4);
    assert!((level - (-3.0 + 4.0 + 0.06 * 0.99)).abs() < 1e-9);
    // At the ends, 5 m from the perpendiculars, hog x (1 - 0.9^2) is lifted out.
    let (seat, level) = touch(&shaped(0.06, 0.001));
    assert_eq!(seat, 0);
    assert!((level - (-3.0 + 4.0 + 0.001 * 0.45 - 0.06 * 0.19)).abs() < 1e-9);
    // A hogged keel on level blocks bridges them: turning, it meets the other end.
    let hogged = shaped(0.06, 0.3);
    assert_eq!(second_touch(&hogged, &seats, 0).map(|second| second.0), Some(9));
    // A straight one meets all of them at once.
    let straight = second_touch(&shaped(0.0, 0.3), &seats, 0);
    assert!(straight.is_some_and(|(_, trim)| trim.abs() < 1e-9));
}

#[test]
fn instability_is_where_both_formulas_give_nil() {
    let ship = afloat(4.0, 0.0);
    let kg = 6.0;
    let Some(draft) = draft_at_instability_m(&ship, kg) else { panic!("none") };
    let Some(row) = ship.table.at_draft(draft) else { panic!("outside") };
    let p = ship.displacement_t - row.displacement_t;
    assert!((row.km_m - kg - loss_by_km_m(p, row.km_m, ship.displacement_t)).abs() < 1e-6);
    assert!((row.km_m - kg - loss_by_kg_m(p, kg, ship.displacement_t)).abs() < 1e-6);
    assert_eq!(draft_at_instability_m(&ship, 9.0), None);
}

#[test]
fn straight_drafts_give_the_trim_back() {
    let ship = afloat(4.0, 0.3);
    let Some(drafts) = straight_drafts(&ship, ship.displacement_t, ship.lcg_x_m) else {
        panic!("outside")
    };
    assert!((drafts.aft_m - 4.15).abs() < 1e-9 && (drafts.forward_m - 3.85).abs() < 1e-9);
    // TPC 15.375: 153.75 t put on at the LCF sink her evenly by 10 cm.
    let mass = ship.displacement_t + 153.75;
    let lcg = (ship.displacement_t * ship.lcg_x_m + 153.75 * 50.0) / mass;
    let Some(deeper) = straight_drafts(&ship, mass, lcg) else { panic!("outside") };
    assert!((deeper.aft_m + deeper.forward_m - 8.2).abs() < 1e-6);
}

#[test]
fn the_load_grows_as_the_water_falls() {
    let ship = afloat(4.0, 0.0);
    let seats = flat_blocks();
    let Some(turning) = Turning::new(&ship, seats[0]) else { panic!("outside") };
    let landed = turning.start();
    let load = |level: f64| turning.load(&landed, level).map(|l| l.load_t);
    assert!(load(1.0).is_some_and(|l| l.abs() < 1e-6));
    assert!(load(0.76).is_some_and(|l| (l - upthrust_by_fall_t(15.375, 24.0)).abs() < 1e-6));
    assert_eq!(load(-3.5), Some(ship.displacement_t));
    // Between the table's end and dry nothing is known.
    assert_eq!(load(-2.5), None);
}

/// From first touch to dry: no load before, the upthrust on the knuckle until she is landed, and from there
/// on without a step, whatever her shape.
#[test]
fn at_the_instant_when_she_is_landed_the_load_is_the_upthrust() {
    for hog_m in [0.0, 0.03, -0.03] {
        let ship = Afloat { hog_m, ..afloat(4.0, 0.4) };
        let seats = flat_blocks();
        let Some(touch) = first_touch(&ship, &seats) else { panic!("touches nothing") };
        let Some(turning) = Turning::new(&ship, seats[touch.seat]) else { panic!("outside") };
        let Some(landed) = turning.at_trim(0.0) else { panic!("never landed") };
        let load = |level: f64| match turning.load(&landed, level) {
            Some(load) => load,
            None => panic!("outside the table at {level}"),
        };
        assert!((turning.start().water_level_m - touch.water_level_m).abs() < 1e-9);
        assert!(load(touch.water_level_m + 0.001).load_t == 0.0);
        assert!(load(touch.water_level_m - 1e-6).load_t < 0.01);
        for beside in [1e-7, 0.0, -1e-7] {
            let found = load(landed.water_level_m + beside);
            assert!((found.load_t - landed.upthrust_t).abs() < 1e-3, "{hog_m} {beside} {found:?}");
            let centre = found.centre_x_m.unwrap_or(f64::NAN);
            assert!((centre - seats[touch.seat].x_m).abs() < 1e-3, "{hog_m} {beside} {centre}");
        }
        // Box-shaped, she loses TPC for every centimetre once she is landed.
        let more = load(landed.water_level_m - 0.5).load_t - landed.upthrust_t;
        assert!((more - upthrust_by_fall_t(15.375, 50.0)).abs() < 1e-6, "{more}");
        let all = load(landed.water_level_m - 4.5);
        assert_eq!((all.load_t, all.buoyancy_t), (ship.displacement_t, 0.0));
    }
}

fn after(ship: &Afloat, change: Change) -> Changed {
    match ship.after(&change, 1.025, Some(5.0), Some(0.0)) {
        Some(changed) => changed,
        None => panic!("outside the table"),
    }
}

/// 100 t moved 20 m aft trim her by 2000 t m over MCT; 10 m to port list her by what her GM gives.
#[test]
fn weights_moved_trim_and_list_her_as_moments_say() {
    let ship = afloat(4.0, 0.0);
    let Some(row) = ship.row() else { panic!("outside") };
    let change = Change { x_tm: -2000.0, y_tm: 1000.0, ..Change::default() };
    let changed = after(&ship, change);
    assert!((changed.afloat.trim_m - 20.0 / row.mct_tm_per_cm).abs() < 1e-9);
    let gm = row.km_m - 5.0;
    let list = libm::atan(1000.0 / (ship.displacement_t * gm)).to_degrees();
    assert!(changed.list_deg.is_some_and(|found| (found - list).abs() < 1e-9));
    // A free surface raises G by its moment over W, and nothing else.
    let slack = after(&ship, Change { z_tm: 615.0, ..Change::default() });
    assert!(slack.gm_m.is_some_and(|found| (found - (gm - 615.0 / 6150.0)).abs() < 1e-9));
    assert_eq!((slack.afloat.trim_m, slack.afloat.draft_aft_m), (0.0, 4.0));
    // Fresh water lets a box down by the ratio of the densities.
    let Some(fresh) = ship.after(&Change::default(), 1.0, None, None) else { panic!("outside") };
    assert!((fresh.afloat.draft_aft_m - 4.1).abs() < 1e-9);
}

#[test]
fn the_mass_that_is_found_gives_the_trim_that_was_wanted() {
    let ship = afloat(4.0, 0.6);
    for (x_m, sign) in [(95.0, 1.0), (5.0, -1.0)] {
        let Some(mass_t) = ship.mass_for_trim_t(x_m, 0.2, 2000.0) else { panic!("not found") };
        assert!(mass_t * sign > 0.0, "{x_m} {mass_t}");
        let change = Change { mass_t, x_tm: mass_t * x_m, ..Change::default() };
        assert!((after(&ship, change).afloat.trim_m - 0.2).abs() < 1e-6);
    }
    // At the LCF no mass trims a box.
    assert_eq!(ship.mass_for_trim_t(50.0, 0.2, 2000.0), None);
    assert_eq!(ship.mass_for_trim_t(95.0, 0.6, 2000.0), Some(0.0));
    let Some(trimmed) = ship.trimmed(0.2) else { panic!("outside") };
    assert!((trimmed.trim_m - 0.2).abs() < 1e-9);
    assert_eq!(trimmed.displacement_t, ship.displacement_t);
}

/// The trim found keeps the limit, and a millimetre more does not; without a limit nothing bounds it.
#[test]
fn the_greatest_trim_is_the_last_that_keeps_the_limit() {
    let (ship, seats) = (afloat(4.0, 0.0), flat_blocks());
    let Some(line) = line_of(&seats) else { panic!("no line") };
    let upthrust = |relative_m: f64| {
        let landed = landed(&ship.trimmed(relative_m)?, &seats, &line)?;
        Some(landed.critical.upthrust_t)
    };
    for way in [Way::Stern, Way::Head] {
        let found = greatest_trim(&ship, &seats, &line, way, |_, _, landed| {
            (landed.critical.upthrust_t > 150.0).then_some("too much")
        });
        let Some(found) = found else { panic!("nothing is kept") };
        assert_eq!((found.broken, found.relative_m > 0.0), (Some("too much"), way == Way::Stern));
        assert!(upthrust(found.relative_m).is_some_and(|t| t <= 150.0 && t > 149.9));
        assert!(upthrust(found.relative_m * 1.001).is_some_and(|t| t > 150.0));
    }
    let nothing = |_: f64, _: &Afloat, _: &Landed| None::<()>;
    let free = greatest_trim(&ship, &seats, &line, Way::Stern, nothing);
    assert!(free.is_some_and(|free| free.broken.is_none() && free.relative_m > 1.0));
    let all = |_: f64, _: &Afloat, _: &Landed| Some(());
    assert_eq!(greatest_trim(&ship, &seats, &line, Way::Stern, all), None);
}
