//! Film readings: a small histogram for each zone and coat, with the thickness that was asked for.

use geo::Coord;

use crate::calc::film::statistics::{Class, Histogram, histogram};
use crate::findings::Examined;
use crate::findings::recomputed::coating::film::Film;
use crate::report::figures::axis::{Axis, Scaling};
use crate::report::figures::canvas::{CAP_GREY, Canvas, DASHED, DOTTED, Lettered, Pen};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, PLAIN_PT, SMALL_PT};
use crate::report::figures::words::{self, Units};
use crate::text::{self, Form};

const NOMINAL: Pen = Pen::solid(0.45);
const LEAST: Pen = Pen::solid(0.3).broken(DASHED);
const GREATEST: Pen = Pen::solid(0.35).broken(DOTTED);

/// Histograms beside each other, and rows of them on one drawing.
const COLUMNS: usize = 3;
const ROWS: usize = 2;
/// Height of a histogram with all that stands about it, mm.
const HIGH_MM: f64 = 47.0;
/// Room about a frame, mm: beside it for the counts, over it for its name, under it for the thickness.
const BESIDE_MM: f64 = 8.0;
const OVER_MM: f64 = 6.0;
const UNDER_MM: f64 = 8.0;

/// Readings group of readings, as the rule in force takes them.
struct Readings {
    name: String,
    count: usize,
    histogram: Histogram,
    /// Nominal, least and greatest of the scheme up to this coat, m.
    marks_m: [Option<f64>; 3],
    /// How many of the readings are as read, for want of their gauge's correction.
    as_read: usize,
}

/// The histograms of every zone and coat, as many to a drawing as fit.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let films = &examined.recomputed.coating.film;
    let all: Vec<Readings> = films.iter().filter_map(|film| readings(examined, film)).collect();
    let pages: Vec<&[Readings]> = all.chunks(COLUMNS * ROWS).collect();
    let (of, units) = (pages.len(), Units::new(examined));
    pages.iter().enumerate().map(|(n, page)| drawing(units, page, (n + 1, of))).collect()
}

fn readings(examined: &Examined, film: &Film) -> Option<Readings> {
    let project = &examined.project;
    let zone = project.zones.get(film.zone)?;
    let wanted = film.wanted;
    Some(Readings {
        name: format!("{} after coat {}", lettering::label(&zone.id), film.coat),
        count: film.judged_m.len(),
        histogram: histogram(&film.judged_m)?,
        marks_m: [wanted.nominal_m, wanted.least_m, wanted.greatest_m],
        as_read: film.as_read,
    })
}

fn drawing(units: Units, page: &[Readings], part: (usize, usize)) -> Drawing {
    let mut canvas = Canvas::new(WIDTH_MM);
    let wide = WIDTH_MM / COLUMNS as f64;
    for (n, one) in page.iter().enumerate() {
        let (left, top) = (wide * (n % COLUMNS) as f64, HIGH_MM * (n / COLUMNS) as f64);
        let cell = Area { left, right: left + wide, top, bottom: top + HIGH_MM };
        draw(&mut canvas, units, one, cell);
    }
    let used = HIGH_MM * page.len().div_ceil(COLUMNS) as f64;
    let samples = [
        (Sample::Line(NOMINAL), "nominal of the coats so far"),
        (Sample::Line(LEAST), "specified least"),
        (Sample::Line(GREATEST), "specified greatest"),
        (Sample::Cap, "readings in a class"),
    ];
    let samples = samples.map(|(sample, words)| (sample, words.to_string()));
    let used = legend::rows(&mut canvas, used + 0.5, &samples);
    let words = words_of(units, page, part);
    Drawing::new(Group::CoatingFilm, format!("coating-film-{}", part.0), None, words, canvas, used)
}

fn draw(canvas: &mut Canvas, units: Units, one: &Readings, cell: Area) {
    let area = Area {
        left: cell.left + BESIDE_MM,
        right: cell.right - 2.5,
        top: cell.top + OVER_MM,
        bottom: cell.bottom - UNDER_MM,
    };
    let (width, height) = (area.right - area.left, area.bottom - area.top);
    let edges = one.histogram.classes.iter().flat_map(|class| [class.from_m, class.to_m]);
    let marks = one.marks_m.into_iter().flatten();
    let shown: Vec<f64> = edges.chain(marks).collect();
    let (least, most) = (
        shown.iter().copied().fold(f64::INFINITY, f64::min),
        shown.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    );
    // So that no line falls on the frame.
    let air = (most - least) * 0.04;
    let title = format!("thickness, {}", units.unit(Form::Film));
    let ends = ((least - air).max(0.0), most + air);
    let Some(x) = Axis::between(title.as_str(), units.scaling(Form::Film), ends, width, 9.0) else {
        return;
    };
    let classes = wide_enough(&one.histogram, width / (x.to - x.from));
    let most = classes.iter().map(|class| class.count).max().unwrap_or(1);
    let Some(y) = Axis::over("", Scaling::NONE, [0.0, most as f64], height, 6.0) else { return };
    let across = |m: f64| area.left + x.part(m) * width;
    let up = |count: f64| area.bottom - y.part(count) * height;

    let heading = format!("{}: {}", one.name, text::count(one.count, "reading", "readings"));
    let at = Coord { x: cell.left + 1.0, y: area.top - 2.0 };
    canvas.text(Lettered::new(&heading, at, PLAIN_PT));
    let capital = lettering::capital_mm(SMALL_PT);
    for count in y.ticks().into_iter().filter(|count| count.fract() == 0.0) {
        let ends = [area.left, area.right].map(|x| Coord { x, y: up(count) });
        canvas.line(ends[0], ends[1], Pen::solid(0.1).coloured("#c4c4c4"));
        let at = Coord { x: area.left - 0.8, y: up(count) + capital / 2.0 };
        canvas.text(Lettered::new(&y.lettered(count), at, SMALL_PT).end());
    }
    for class in classes.iter().filter(|class| class.count > 0) {
        let bar = Area {
            left: across(class.from_m),
            right: across(class.to_m),
            top: up(class.count as f64),
            bottom: area.bottom,
        };
        canvas.ring(&bar.corners(), Some(Pen::solid(0.13)), Some(CAP_GREY));
    }
    for (mark, pen) in one.marks_m.iter().zip([NOMINAL, LEAST, GREATEST]) {
        if let Some(m) = mark {
            let ends = [area.bottom, area.top - 1.0].map(|y| Coord { x: across(*m), y });
            canvas.line(ends[0], ends[1], pen);
        }
    }
    canvas.ring(&area.corners(), Some(Pen::solid(0.2)), None);
    for m in x.ticks() {
        let foot = [area.bottom, area.bottom + 0.8].map(|y| Coord { x: across(m), y });
        canvas.line(foot[0], foot[1], Pen::solid(0.15));
        let at = Coord { x: across(m), y: area.bottom + 1.3 + capital };
        canvas.text(Lettered::new(&x.lettered(m), at, SMALL_PT).middle());
    }
    let at = Coord { x: (area.left + area.right) / 2.0, y: area.bottom + 6.6 };
    canvas.text(Lettered::new(&title, at, SMALL_PT).middle());
}

/// The classes of a histogram, joined where they would be too narrow on paper; edges stay multiples of the
/// width.
fn wide_enough(histogram: &Histogram, mm_per_m: f64) -> Vec<Class> {
    const LEAST_MM: f64 = 1.2;
    let join = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
        .into_iter()
        .find(|join| join * histogram.class_width_m * mm_per_m >= LEAST_MM)
        .unwrap_or(100.0);
    let width_m = histogram.class_width_m * join;
    let mut joined: Vec<(f64, Class)> = Vec::new();
    for class in &histogram.classes {
        let number = (class.from_m / width_m + 1e-6).floor();
        match joined.last_mut().filter(|(last, _)| *last == number) {
            Some((_, last)) => last.count += class.count,
            None => {
                let (from_m, to_m) = (number * width_m, (number + 1.0) * width_m);
                joined.push((number, Class { from_m, to_m, count: class.count }));
            }
        }
    }
    joined.into_iter().map(|(_, class)| class).collect()
}

fn words_of(units: Units, page: &[Readings], part: (usize, usize)) -> Words {
    let title = format!("Film thickness{}", words::part(part));
    let mut caption =
        "Readings after each coat, which are the total so far, by thickness; lines at the sums \
                       of the scheme up to that coat."
            .to_string();
    let (read, all) = page.iter().fold((0, 0), |sum, one| (sum.0 + one.as_read, sum.1 + one.count));
    let uncorrected: Vec<String> =
        page.iter().filter(|one| one.as_read > 0).map(|one| one.name.clone()).collect();
    caption.push_str(&if read == 0 {
        " Less the gauge’s correction for the profile.".to_string()
    } else if read == all {
        " As read: no correction of a gauge for the profile is recorded.".to_string()
    } else {
        format!(
            " Less the gauge’s correction for the profile where one is recorded; not of all readings of {}.",
            words::list(&uncorrected, 40)
        )
    });
    let um = |m: Option<f64>| {
        m.map_or_else(|| "not recorded".to_string(), |m| units.measure(m, Form::Film, 0))
    };
    let each: Vec<String> = page
        .iter()
        .map(|one| {
            let classes = &one.histogram.classes;
            let fullest = classes.iter().max_by_key(|class| class.count);
            let most = fullest.map_or_else(String::new, |class| {
                format!(
                    ", the fullest class ({}) from {} to {}",
                    class.count,
                    units.number(class.from_m, Form::Film, 0),
                    units.measure(class.to_m, Form::Film, 0)
                )
            });
            let ends = classes.first().zip(classes.last()).map_or_else(String::new, |(a, b)| {
                let (from, to) =
                    (units.number(a.from_m, Form::Film, 0), units.measure(b.to_m, Form::Film, 0));
                format!(" between {from} and {to}")
            });
            format!(
                "{}: {}{ends}{most}; nominal {}",
                one.name,
                text::count(one.count, "reading", "readings"),
                um(one.marks_m[0])
            )
        })
        .collect();
    let alt = format!("{title}. {}.", each.join(". "));
    Words { title, caption, alt }
}
