//! Film readings: for each zone and coat a box from the lower to the upper quartile with a line from the smallest to the
//! largest reading, on one scale, beside the limits that they are held against.

use geo::{Coord, LineString};

use crate::calc::film::statistics::Statistics;
use crate::findings::Examined;
use crate::findings::film::judge_by_rule;
use crate::findings::finding::Outcome;
use crate::findings::recomputed::coating::film::Film;
use crate::report::figures::axis::Axis;
use crate::report::figures::canvas::{CAP_GREY, Canvas, DASHED, DOTTED, Lettered, Pen};
use crate::report::figures::chart::{self, FOOT_MM, Marker, Panel};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::words::{self, Units};
use crate::text::Form;

const NOMINAL: Pen = Pen::solid(0.7);
const LEAST: Pen = Pen::solid(0.3).broken(DASHED);
const GREATEST: Pen = Pen::solid(0.35).broken(DOTTED);
const MEDIAN: Pen = Pen::solid(0.3);
const THIN: Pen = Pen::solid(0.2);

/// Height of a row, mm; of a box in it; and the rows of one drawing.
const ROW_MM: f64 = 4.8;
const HALF_BOX_MM: f64 = 1.25;
const ROWS: usize = 40;
/// The frame's ends: names to the left of it, what is not accepted to the right, mm.
const LEFT_MM: f64 = 34.0;
const RIGHT_MM: f64 = 150.0;

/// The film of one zone after one coat.
struct Strip {
    zone: usize,
    name: String,
    found: Statistics,
    /// Nominal, the least that a single reading or spot may be, and the specified greatest, m.
    limits_m: [Option<f64>; 3],
    /// What stands beside it.
    verdict: &'static str,
}

/// The strips of every zone and coat, as many to a drawing as fit.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let films = &examined.recomputed.coating.film;
    let all: Vec<Strip> = films.iter().filter_map(|film| strip(examined, film)).collect();
    let pages: Vec<&[Strip]> = all.chunks(ROWS).collect();
    let (of, units) = (pages.len(), Units::new(examined));
    let each = pages.iter().enumerate();
    each.filter_map(|(n, page)| drawing(examined, units, page, (n + 1, of))).collect()
}

fn strip(examined: &Examined, film: &Film) -> Option<Strip> {
    let zone = examined.project.zones.get(film.zone)?;
    let judged = judge_by_rule(film);
    let verdict = match judged.outcome {
        _ if !judged.is_judged => "not judged",
        Outcome::Agrees => "",
        Outcome::NotRecorded => "incomplete",
        _ => "not accepted",
    };
    let wanted = film.wanted;
    Some(Strip {
        zone: film.zone,
        name: format!("{}, coat {}", lettering::label(&zone.id), film.coat),
        found: film.statistics?,
        limits_m: [wanted.nominal_m, film.least_allowed_m(), wanted.greatest_m],
        verdict,
    })
}

/// What the axis has to show: a reading many times any other is a slip, and only points out of the frame.
fn shown(page: &[Strip]) -> Vec<f64> {
    const FAR: f64 = 3.0;
    let usual = page.iter().flat_map(|one| {
        one.limits_m.into_iter().flatten().chain(one.found.quartiles_m).collect::<Vec<_>>()
    });
    let usual: Vec<f64> = usual.collect();
    let mut medians: Vec<f64> = page.iter().map(|one| one.found.quartiles_m[1]).collect();
    medians.sort_by(f64::total_cmp);
    let limits = page.iter().flat_map(|one| one.limits_m).flatten();
    let middle = medians.get(medians.len() / 2).copied().into_iter();
    let most = limits.chain(middle).fold(0.0, f64::max) * FAR;
    let ends = page.iter().flat_map(|one| [one.found.least_m, one.found.greatest_m]);
    usual.into_iter().chain(ends).filter(|m| *m <= most).collect()
}

fn drawing(
    examined: &Examined,
    units: Units,
    page: &[Strip],
    part: (usize, usize),
) -> Option<Drawing> {
    let mut canvas = Canvas::new(WIDTH_MM);
    let title = format!("thickness, {}", units.unit(Form::Film));
    let width = RIGHT_MM - LEFT_MM;
    let x = Axis::over(title, units.scaling(Form::Film), shown(page), width, 12.0)?;
    let area =
        Area { left: LEFT_MM, right: RIGHT_MM, top: 4.4, bottom: 4.4 + ROW_MM * page.len() as f64 };
    // Rows are placed by their number; the upright axis only makes the frame a panel.
    let mut panel = Panel::new(0.0, area.bottom, x.clone(), x);
    panel.area = area;
    let grid = panel.x.ticks().into_iter().map(|m| {
        let x = panel.across(m);
        LineString::new(vec![Coord { x, y: area.top }, Coord { x, y: area.bottom }])
    });
    let grid: Vec<LineString<f64>> = grid.collect();
    canvas.lines(&grid, Pen::solid(0.1).coloured("#c4c4c4"));
    let base = area.top - 1.4;
    canvas.text(Lettered::new("readings", Coord { x: LEFT_MM - 1.2, y: base }, SMALL_PT).end());
    for (n, one) in page.iter().enumerate() {
        let top = area.top + ROW_MM * n as f64;
        if n > 0 && page.get(n - 1).is_some_and(|before| before.zone != one.zone) {
            let ends = [0.5, RIGHT_MM].map(|x| Coord { x, y: top });
            canvas.line(ends[0], ends[1], Pen::solid(0.1));
        }
        draw(&mut canvas, &panel, one, top);
    }
    canvas.ring(&area.corners(), Some(Pen::solid(0.2)), None);
    panel.foot(&mut canvas, 0.0);
    let samples = [
        (Sample::Cap, "lower to upper quartile"),
        (Sample::Line(MEDIAN), "median"),
        (Sample::Marker(Marker::Dot), "mean"),
        (Sample::Line(THIN), "smallest to largest reading"),
        (Sample::Line(NOMINAL), "nominal"),
        (Sample::Line(LEAST), "least single reading allowed (SSPC-PA 2: of a spot)"),
        (Sample::Line(GREATEST), "specified greatest"),
    ];
    let samples = samples.map(|(sample, words)| (sample, words.to_string()));
    let used = legend::rows(&mut canvas, area.bottom + FOOT_MM, &samples);
    let words = words_of(examined, units, page, part);
    let name = format!("coating-film-{}", part.0);
    Some(Drawing::new(Group::CoatingFilm, name, None, words, canvas, used))
}

fn draw(canvas: &mut Canvas, panel: &Panel, one: &Strip, top: f64) {
    let (y, area) = (top + ROW_MM / 2.0, panel.area);
    let base = y + lettering::capital_mm(SMALL_PT) / 2.0;
    canvas.text(Lettered::new(&one.name, Coord { x: 1.0, y: base }, SMALL_PT));
    let count = one.found.count.to_string();
    canvas.text(Lettered::new(&count, Coord { x: LEFT_MM - 1.2, y: base }, SMALL_PT).end());
    canvas.text(Lettered::new(one.verdict, Coord { x: RIGHT_MM + 1.2, y: base }, SMALL_PT));
    let across = |m: f64| panel.across(m).clamp(area.left, area.right);
    let upright = |canvas: &mut Canvas, x: f64, half: f64, pen: Pen| {
        canvas.line(Coord { x, y: y - half }, Coord { x, y: y + half }, pen);
    };
    for (limit, pen) in one.limits_m.iter().zip([NOMINAL, LEAST, GREATEST]) {
        let within = limit.filter(|m| *m >= panel.x.from && *m <= panel.x.to);
        if let Some(m) = within {
            upright(canvas, panel.across(m), ROW_MM / 2.0 - 0.1, pen);
        }
    }
    let [lower, median, upper] = one.found.quartiles_m;
    let (least, most) = (across(one.found.least_m), across(one.found.greatest_m));
    let at = |x: f64| Coord { x, y };
    canvas.line(at(least), at(across(lower)), THIN);
    canvas.line(at(across(upper)), at(most), THIN);
    upright(canvas, least, 0.8, THIN);
    if one.found.greatest_m > panel.x.to {
        canvas.arrowhead(at(area.left), at(area.right), THIN.colour);
    } else {
        upright(canvas, most, 0.8, THIN);
    }
    let shape = Area {
        left: across(lower),
        right: across(upper),
        top: y - HALF_BOX_MM,
        bottom: y + HALF_BOX_MM,
    };
    canvas.ring(&shape.corners(), Some(Pen::solid(0.2)), Some(CAP_GREY));
    upright(canvas, across(median), HALF_BOX_MM, MEDIAN);
    if one.found.mean_m <= panel.x.to {
        chart::marker(canvas, at(across(one.found.mean_m)), Marker::Dot);
    }
}

fn words_of(examined: &Examined, units: Units, page: &[Strip], part: (usize, usize)) -> Words {
    let title = format!("Film after each coat{}", words::part(part));
    let films = &examined.recomputed.coating.film;
    let as_read = films.iter().filter(|film| film.as_read > 0).count();
    let caption = match as_read {
        0 => "Totals so far, less the gauge\u{2019}s correction for the profile.".to_string(),
        n if n == films.len() => {
            "Totals so far, as read: no correction for the profile is recorded.".to_string()
        }
        n => format!("Totals so far; in {n} of {} some count as read, uncorrected.", films.len()),
    };
    let short: Vec<&Strip> = page.iter().filter(|one| !one.verdict.is_empty()).collect();
    let mut alt = vec![format!(
        "Box plots, {} from {} to {}; accepted: {}.",
        words::count(page.len(), "film"),
        page.first().map_or("", |one| &one.name),
        page.last().map_or("", |one| &one.name),
        page.len() - short.len(),
    )];
    let um = |m: Option<f64>| {
        m.map_or_else(|| "not stated".to_string(), |m| units.measure(m, Form::Film, 0))
    };
    // Those first that were not accepted.
    let others = page.iter().filter(|one| one.verdict.is_empty());
    for one in short.iter().copied().chain(others) {
        let [lower, _, upper] = one.found.quartiles_m;
        let verdict = match one.verdict {
            "" => String::new(),
            verdict => format!(", {verdict}"),
        };
        alt.push(format!(
            "{}{verdict}: half from {} to {}, nominal {}.",
            one.name,
            units.number(lower, Form::Film, 0),
            units.measure(upper, Form::Film, 0),
            um(one.limits_m[0])
        ));
    }
    Words { title, caption, alt: words::said(&alt) }
}
