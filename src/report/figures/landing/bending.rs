//! Bending moment and shear force of the hull on the blocks, the dock dry, along the hull: positions above each other on
//! one scale, with their limits.

use super::at_position::{AtPosition, TALLEST_MM};
use crate::calc::loads::girder::Station;
use crate::report::figures::axis::Axis;
use crate::report::figures::canvas::{Canvas, LONG_DASH, Pen};
use crate::report::figures::chart::{FOOT_MM, HEAD_MM, LEFT_MM, Mark, RIGHT_MM, Row, draw_rows};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::words;
use crate::text::{Form, Measure};

const LINE: Pen = Pen::solid(0.3);
const NIL: Pen = Pen::solid(0.2);
const LIMIT: Pen = Pen::solid(0.3).broken(LONG_DASH);
const MOMENT_MM: f64 = 13.0;
const SHEAR_MM: f64 = 11.0;
/// Least room between two numbers of an axis, mm.
const NUMBERS_MM: f64 = 3.4;
/// Room for the legend, mm.
const LEGEND_MM: f64 = 6.0;
/// A limit beyond so many times the greatest value is not drawn: the curve would lie flat.
const FARTHEST_LIMIT: f64 = 3.0;

/// The drawings of all positions whose girder could be worked out.
pub fn drawings(all: &[AtPosition]) -> Vec<Drawing> {
    let bent: Vec<&AtPosition> = all.iter().filter(|one| one.loads.along.len() > 1).collect();
    let each_mm = 2.0 * (HEAD_MM + 1.0) + MOMENT_MM + SHEAR_MM;
    let most = ((TALLEST_MM - FOOT_MM - LEGEND_MM) / each_mm) as usize;
    let sheets: Vec<&[&AtPosition]> = bent.chunks(most.max(1)).collect();
    let each = sheets.iter().enumerate();
    each.filter_map(|(n, sheet)| drawing(sheet, &bent, (n + 1, sheets.len()))).collect()
}

fn drawing(sheet: &[&AtPosition], bent: &[&AtPosition], part: (usize, usize)) -> Option<Drawing> {
    let units = sheet.first()?.units;
    let stations = || bent.iter().flat_map(|one| &one.loads.along);
    let ends = stations().map(|station| station.x_m);
    let ends = ends.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    let title = format!("x on the hull, {}", units.unit(Form::Length));
    let scaling = units.scaling(Form::Length);
    let x = Axis::between(title, scaling, ends, RIGHT_MM - LEFT_MM, 12.0)?;

    let moments = || stations().map(|station| station.moment_tm());
    let shears = || stations().flat_map(|station| [station.shear_aft_kn, station.shear_fore_kn]);
    let limit_of = |name: &str, most: f64| {
        let limit = sheet.first()?.project.docking.bounds.limit(name)?.value;
        (limit < most * FARTHEST_LIMIT).then_some(limit)
    };
    let greatest = |values: &mut dyn Iterator<Item = f64>| values.map(f64::abs).fold(0.0, f64::max);
    let moment_limit = limit_of("bending_moment", greatest(&mut moments()));
    let shear_limit = limit_of("shear_force", greatest(&mut shears()));

    let mut rows = Vec::new();
    for one in sheet {
        let along = &one.loads.along;
        let title =
            format!("{}: bending moment, {}, hogging up", one.id, units.unit(Form::Bending));
        let curve = along.iter().map(|station| (station.x_m, station.moment_tm())).collect();
        rows.push(row((title, Form::Bending, MOMENT_MM), units, moments(), moment_limit, curve)?);
        let title = format!("{}: shear force, {}", one.id, units.unit(Form::Force));
        let sides = along.iter().flat_map(|station| {
            [(station.x_m, station.shear_aft_kn), (station.x_m, station.shear_fore_kn)]
        });
        let curve = sides.collect();
        rows.push(row((title, Form::Force, SHEAR_MM), units, shears(), shear_limit, curve)?);
    }
    let mut canvas = Canvas::new(WIDTH_MM);
    let mut used = draw_rows(&mut canvas, &x, 0.0, &rows);
    if moment_limit.is_some() || shear_limit.is_some() {
        used = legend::rows(&mut canvas, used, &[(Sample::Line(LIMIT), "limit".to_string())]);
    }
    let title = format!("Bending and shear of the hull on the blocks{}", words::part(part));
    let caption = "The dock dry; shear is weight less block loads abaft.";
    let parts: Vec<String> = sheet.iter().map(|one| in_words(one)).collect();
    let words = Words { title, caption: caption.to_string(), alt: words::said(&parts) };
    let name = format!("landing-bending-{}", part.0);
    Some(Drawing::new(Group::LandingBending, name, None, words, canvas, used))
}

fn row(
    (title, form, height_mm): (String, Form, f64),
    units: words::Units,
    values: impl Iterator<Item = f64>,
    limit: Option<f64>,
    curve: Vec<(f64, f64)>,
) -> Option<Row> {
    let limits = limit.into_iter().flat_map(|limit| [limit, -limit]);
    let values = values.chain([0.0]).chain(limits.clone().map(|limit| limit * 1.05));
    let y = Axis::over(title, units.scaling(form), values, height_mm, NUMBERS_MM)?;
    let mut marks = vec![Mark::Level(0.0, NIL)];
    marks.extend(limits.map(|limit| Mark::Level(limit, LIMIT)));
    marks.push(Mark::Curve(curve, LINE));
    Some(Row::new(y, height_mm, marks))
}

/// The greatest values of a position and where they are.
fn in_words(one: &AtPosition) -> String {
    let (units, loads, id) = (one.units, one.loads, &one.position.id);
    let greatest = |what: &str, value: Option<Measure>, station: Option<&Station>| {
        let (value, station) = value.zip(station)?;
        let (value, x) = (value.with_unit(units.0), units.length(station.x_m, 2));
        Some(format!("greatest {what} {value} at x {x}"))
    };
    let moment = greatest("bending moment", loads.most_bending_moment(id), loads.most_bending());
    let shear = greatest("shear force", loads.shear(id), loads.most_sheared());
    let said: Vec<String> = moment.into_iter().chain(shear).collect();
    format!("{}: {}.", one.id, said.join(", "))
}
