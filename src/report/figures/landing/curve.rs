//! The landing curve, from first touch to landed, and the load on the blocks as the water falls on.

use super::at_position::AtPosition;
use crate::calc::landing::Moment;
use crate::report::figures::axis::Axis;
use crate::report::figures::canvas::{Canvas, DASHED, DOTTED, LONG_DASH, Pen};
use crate::report::figures::chart::{LEFT_MM, Mark, RIGHT_MM, Row, draw_rows};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::words::Units;
use crate::text::Form;

const LINE: Pen = Pen::solid(0.35);
const OTHER: Pen = Pen::solid(0.35).broken(DASHED);
const LIMIT: Pen = Pen::solid(0.45).broken(LONG_DASH);
const MARKED: Pen = Pen::solid(0.35).broken(DOTTED);
/// Numbers of a level axis stand at least so far apart, mm.
const APART_MM: f64 = 14.0;
/// Numbers of an upright axis, mm.
const UP_MM: f64 = 6.0;

/// The level of the water, falling.
fn water_level(units: Units, ends_m: (f64, f64)) -> Option<Axis> {
    let m = units.unit(Form::Length);
    let title = format!("water level, {m} above the dock’s level datum, falling to the right");
    Some(
        Axis::between(title, units.scaling(Form::Length), ends_m, RIGHT_MM - LEFT_MM, APART_MM)?
            .falling(),
    )
}

/// Trim, upthrust and GM from first touch to landed.
pub fn drawing(one: &AtPosition) -> Option<Drawing> {
    const HEIGHTS_MM: [f64; 3] = [19.0, 19.0, 27.0];
    let landing = one.landing;
    let (afloat, line) = (landing.afloat.as_ref()?, landing.line?);
    let of_blocks = line.slope * afloat.perpendiculars.length_m();
    let curve = &landing.curve;
    let (first, last) = (curve.first()?, curve.last()?);
    let x = water_level(one.units, (last.water_level_m, first.water_level_m))?;
    let of = |value: &dyn Fn(&Moment) -> f64| -> Vec<(f64, f64)> {
        curve.iter().map(|moment| (moment.water_level_m, value(moment))).collect()
    };
    let gm = landing.kg_m.map(|kg| {
        let gm = |n: usize| of(&|moment| moment.gm_m(kg, afloat.displacement_t)[n]);
        (gm(0), gm(1))
    });
    let limits = &one.project.docking.bounds;
    let value = |name: &str| limits.limit(name).map(|limit| limit.value);
    let (trim_limit, load_limit, gm_limit) = (value("trim"), value("knuckle_load"), value("gm"));

    let trim = of(&|moment| moment.trim_m - of_blocks);
    let signed = trim_limit.map(|limit| match trim.first() {
        Some((_, trim)) if *trim < 0.0 => -limit,
        _ => limit,
    });
    let m = one.units.unit(Form::Length);
    let row = |title: String, form, height, lines: &[(&[(f64, f64)], Pen)], limit: Option<f64>| {
        let points = lines.iter().flat_map(|(line, _)| line.iter().map(|point| point.1));
        let values = points.chain([0.0]).chain(limit.map(|limit| limit * 1.08));
        let y = Axis::over(title, one.units.scaling(form), values, height, UP_MM)?;
        let limit = limit.map(|limit| Mark::Level(limit, LIMIT));
        let lines = lines.iter().map(|(line, pen)| Mark::Curve(line.to_vec(), *pen));
        Some(Row::new(y, height, limit.into_iter().chain(lines).collect()))
    };
    let of_trim =
        format!("trim against the line of the blocks, {m} over the perpendiculars, + by the stern");
    let of_upthrust = format!("upthrust P on the knuckle block, {}", one.units.unit(Form::Mass));
    let upthrust = of(&|moment| moment.upthrust_t);
    let of_gm = gm.as_ref().and_then(|(by_km, by_kg)| {
        let lines: [(&[(f64, f64)], Pen); 2] = [(by_km, LINE), (by_kg, OTHER)];
        row(format!("GM left, {m}"), Form::Length, HEIGHTS_MM[2], &lines, gm_limit)
    });
    let rows = [
        row(of_trim, Form::Length, HEIGHTS_MM[0], &[(&trim, LINE)], signed),
        row(of_upthrust, Form::Mass, HEIGHTS_MM[1], &[(&upthrust, LINE)], load_limit),
        of_gm,
    ];
    let rows: Vec<Row> = rows.into_iter().flatten().collect();
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = draw_rows(&mut canvas, &x, 0.0, &rows);
    let mut samples = vec![(Sample::Line(LINE), "by equilibrium".to_string())];
    if gm.is_some() {
        samples = vec![
            (Sample::Line(LINE), "by equilibrium; GM less P KM / W".to_string()),
            (Sample::Line(OTHER), "GM less P KG / (W \u{2212} P)".to_string()),
        ];
    }
    if trim_limit.or(load_limit).or(gm_limit.filter(|_| gm.is_some())).is_some() {
        samples.push((Sample::Line(LIMIT), "limit".to_string()));
    }
    let used = legend::rows(&mut canvas, top, &samples);

    let title = format!("Landing curve of position {}", one.id);
    let caption = format!(
        "From first touch, at a water level of {}, to landed fore and aft, at {}.",
        one.units.length(first.water_level_m, 3),
        one.units.length(last.water_level_m, 3)
    );
    let trim_at =
        |n: Option<&(f64, f64)>| n.map_or(String::new(), |point| one.units.length(point.1, 3));
    let mut alt = format!(
        "{title}. As the water falls from {} to {} the trim against the line of the blocks goes from {} to {} and \
         the upthrust grows from {} to {}.",
        one.units.length(first.water_level_m, 3),
        one.units.length(last.water_level_m, 3),
        trim_at(trim.first()),
        trim_at(trim.last()),
        one.units.mass(first.upthrust_t, 1),
        one.units.mass(last.upthrust_t, 1),
    );
    if let Some((by_km, by_kg)) = &gm {
        alt.push_str(&format!(
            " GM falls from {} to {} by P KM / W and to {} by P KG / (W \u{2212} P).",
            trim_at(by_km.first()),
            trim_at(by_km.last()),
            trim_at(by_kg.last())
        ));
        if let Some(limit) = gm_limit {
            alt.push_str(&format!(" The limit of GM is {}.", one.units.length(limit, 2)));
        }
    }
    Some(one.draw(Group::LandingCurve, "curve", Words { title, caption, alt }, canvas, used))
}

/// Load on the blocks and its centre at the readings of the log after she was landed.
pub fn load_as_the_water_falls(one: &AtPosition) -> Option<Drawing> {
    const HEIGHTS_MM: [f64; 2] = [30.0, 20.0];
    let weight = one.landing.afloat.as_ref()?.displacement_t;
    let rows: Vec<(f64, f64, Option<f64>)> = one
        .landing
        .loads
        .iter()
        .filter_map(|(n, load)| {
            let centre = one.landing.centre_m(load);
            Some((one.project.water.get(*n)?.level_m, load.load_t, centre))
        })
        .collect();
    let levels = || rows.iter().map(|row| row.0);
    let (low, high) =
        (levels().fold(f64::INFINITY, f64::min), levels().fold(f64::NEG_INFINITY, f64::max));
    let x = water_level(one.units, (low, high))?;
    let loads: Vec<(f64, f64)> = rows.iter().map(|row| (row.0, row.1)).collect();
    let centres: Vec<(f64, f64)> =
        rows.iter().filter_map(|row| row.2.map(|centre| (row.0, centre))).collect();
    let unknown: Vec<f64> = one
        .landing
        .beyond_table
        .iter()
        .filter_map(|n| Some(one.project.water.get(*n)?.level_m))
        .collect();
    // No line leads over levels at which the load is not known.
    let curves = |points: &[(f64, f64)]| -> Vec<Mark> {
        let joined = |a: &(f64, f64), b: &(f64, f64)| {
            let between = a.0.min(b.0)..=a.0.max(b.0);
            !unknown.iter().any(|level| between.contains(level))
        };
        points.chunk_by(joined).map(|run| Mark::Curve(run.to_vec(), LINE)).collect()
    };

    let values = loads.iter().map(|load| load.1).chain([0.0, weight]);
    let title = format!("load on the blocks, {}", one.units.unit(Form::Mass));
    let y = Axis::over(title, one.units.scaling(Form::Mass), values, HEIGHTS_MM[0], UP_MM)?;
    let mut marks = curves(&loads);
    marks.insert(0, Mark::Level(weight, MARKED));
    let mut frames = vec![Row::new(y, HEIGHTS_MM[0], marks)];
    if centres.len() > 1 {
        let values = centres.iter().map(|centre| centre.1);
        let m = one.units.unit(Form::Length);
        let title = format!("centre of that load, x in {m} forward of the SRP");
        let y = Axis::over(title, one.units.scaling(Form::Length), values, HEIGHTS_MM[1], UP_MM)?;
        frames.push(Row::new(y, HEIGHTS_MM[1], curves(&centres)));
    }
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = draw_rows(&mut canvas, &x, 0.0, &frames);
    let samples = [
        (Sample::Line(LINE), "weight less what the water still carries".to_string()),
        (Sample::Line(MARKED), "displacement before landing".to_string()),
    ];
    let used = legend::rows(&mut canvas, top, &samples);
    let (first, last) = (rows.first()?, rows.last()?);
    let title = format!("Load on the blocks of position {} as the water falls", one.id);
    let mut caption = "From landed to dry, at the readings of the water log. The centre is shown once 1 % of her \
                       weight is down; below that, errors of reading swamp it."
        .to_string();
    if !unknown.is_empty() {
        caption.push_str(
            " Where her draft lies outside the hydrostatic table, the load is not known.",
        );
    }
    let said = |row: &(f64, f64, Option<f64>)| {
        let centre = row
            .2
            .map_or(String::new(), |x| format!(", its centre at x = {}", one.units.length(x, 2)));
        let (level, load) = (one.units.length(row.0, 2), one.units.mass(row.1, 0));
        format!("at a water level of {level} the load is {load}{centre}")
    };
    let alt = format!("{title}: {}; {}.", said(first), said(last));
    Some(one.draw(Group::LandingFall, "fall", Words { title, caption, alt }, canvas, used))
}
