//! The bottom hidden both before and after a shift, over the shift: what to aim at, and what does not do.

use geo::{Coord, LineString, Simplify};

use super::axis::Axis;
use super::canvas::{Canvas, DASHED, DOTTED, Lettered, Pen};
use super::chart::{HALT, LEFT_MM, Mark, Panel, RIGHT_MM, Row, draw_row};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::Ground;
use super::labels::Area;
use super::legend::{self, Sample};
use super::lettering::{self, SMALL_PT};
use super::words::{self, Units};
use crate::calc::shifts::Way;
use crate::findings::recomputed::shifts::Placed;
use crate::findings::shifts::answer::{AimedBand, OneWay};
use crate::findings::shifts::sentences;
use crate::text::Form;

const LINE: Pen = Pen::solid(0.35);
const AIM: Pen = Pen::solid(0.3).broken(DASHED);
const MADE: Pen = Pen::solid(0.35).broken(DOTTED);
/// Height of a panel, and of the one that shows its foot magnified, mm.
const HEIGHTS_MM: [f64; 2] = [36.0, 24.0];
/// Room over a panel for what stands at its upright lines, mm.
const ROOM_MM: f64 = 3.4;
/// Numbers of a level axis stand at least so far apart, mm.
const APART_MM: f64 = 14.0;
/// Numbers of an upright axis, mm.
const UP_MM: f64 = 6.0;
/// The magnified panel shows the foot up to this part of the greatest value.
const MAGNIFIED: f64 = 0.04;
/// A line is drawn through as many points as bring it so near to the curve, mm.
const NEAR_MM: f64 = 0.02;
/// Bands that captions name.
const MOST_NAMED: usize = 6;

/// A drawing for each way in which some shift leaves nothing hidden twice, or for both where none does; none where there
/// is nothing to shift, or it is not recorded where she lies.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let Ok(answer) = ground.examined.shift_to_choose() else { return Vec::new() };
    if answer.asked.lay == Placed::Unknown {
        return Vec::new();
    }
    let some_do = answer.ways.iter().any(|way| !way.bands.is_empty());
    answer
        .ways
        .iter()
        .filter(|way| !some_do || !way.bands.is_empty())
        .filter_map(|way| drawing(ground.units, way, made_m(ground, way.way)))
        .collect()
}

/// The ship's shift from the first position to the second, as both were placed.
fn made_m(ground: &Ground, way: Way) -> Option<f64> {
    let lies = &ground.examined.recomputed.positions;
    let (first, second) = (lies.first()?.lie?, lies.get(1)?.lie?);
    Some(match way {
        Way::ForeAndAft => second.srp_station_m - first.srp_station_m,
        Way::Athwart => second.centreline_offset_m - first.centreline_offset_m,
    })
}

fn drawing(units: Units, study: &OneWay, made_m: Option<f64>) -> Option<Drawing> {
    let way = study.way;
    let m = units.unit(Form::Length);
    let (name, title) = match way {
        Way::ForeAndAft => (
            "shifts-fore-and-aft",
            format!(
                "shift of the ship fore and aft, {m}: aft to the left (\u{2212}), forward to the right (+)"
            ),
        ),
        Way::Athwart => (
            "shifts-athwart",
            format!(
                "shift of the ship athwart, {m}: to starboard to the left (\u{2212}), to port to the right (+)"
            ),
        ),
    };
    let x = Axis::between(
        title,
        units.scaling(Form::Length),
        (study.from_m, study.to_m),
        RIGHT_MM - LEFT_MM,
        APART_MM,
    )?;
    let points: Vec<(f64, f64)> =
        study.hidden_twice.iter().map(|point| (point.shift_m, point.area_m2)).collect();
    let greatest = points.iter().map(|point| point.1).fold(0.0, f64::max);
    let made_m = made_m.filter(|made| (study.from_m..=study.to_m).contains(made));
    let magnify = greatest > 0.0 && study.least_m2 < greatest * MAGNIFIED * 0.8;

    let up =
        format!("bottom under blocks both before and after the shift, {}", units.unit(Form::Area));
    let y =
        Axis::over(up, units.scaling(Form::Area), [0.0, greatest.max(0.01)], HEIGHTS_MM[0], UP_MM)?;
    let row = |y: Axis, height_mm: f64, room_mm: f64| {
        let under = marks(study, &points, made_m, (&x, &y), height_mm);
        Row { under, room_mm, gap_mm: 1.5, ..Row::new(y, height_mm, Vec::new()) }
    };
    let mut canvas = Canvas::new(WIDTH_MM);
    let upper = row(y, HEIGHTS_MM[0], ROOM_MM);
    let (panel, mut used) = draw_row(&mut canvas, &x, 0.0, &upper, !magnify);
    at_the_top(&mut canvas, units, &panel, study, way);
    if magnify {
        let (foot, title) = ((0.0, greatest * MAGNIFIED), "the same, its foot magnified");
        let y = Axis::between(title, units.scaling(Form::Area), foot, HEIGHTS_MM[1], UP_MM)?;
        used = draw_row(&mut canvas, &x, used, &row(y, HEIGHTS_MM[1], 0.0), true).1;
    }
    let mut samples = vec![(Sample::Line(LINE), "hidden both times".to_string())];
    if !study.bands.is_empty() {
        let meaning = "shifts that leave nothing hidden twice";
        samples.push((Sample::Hatched(vec![HALT]), meaning.to_string()));
        samples.push((Sample::Line(AIM), "what to aim at".to_string()));
    }
    if made_m.is_some() {
        samples.push((Sample::Line(MADE), "the shift that was made".to_string()));
    }
    used = legend::rows(&mut canvas, used, &samples);
    let (words, found) = words_of(units, study, way, made_m);
    Some(Drawing::new(Group::Shifts, name, None, words, canvas, used).with_note(found))
}

/// Bands, upright lines and the curve.
fn marks(
    study: &OneWay,
    points: &[(f64, f64)],
    made_m: Option<f64>,
    axes: (&Axis, &Axis),
    height_mm: f64,
) -> Vec<Mark> {
    let bands = study.bands.iter().map(|band| Mark::Hatched(band.from_m, band.to_m));
    let made = made_m.map(|made| Mark::Upright(made, MADE));
    let aim = study.best().map(|band| Mark::Upright(band.aim.shift_m, AIM));
    let curve = Mark::Curve(thinned(points, axes, height_mm), LINE);
    bands.chain(made).chain(aim).chain([curve]).collect()
}

/// The points that the eye needs.
fn thinned(points: &[(f64, f64)], (x, y): (&Axis, &Axis), height_mm: f64) -> Vec<(f64, f64)> {
    let (wide, high) = (RIGHT_MM - LEFT_MM, height_mm);
    let on_paper = points.iter().map(|p| Coord { x: x.part(p.0) * wide, y: y.part(p.1) * high });
    let line = LineString::new(on_paper.collect()).simplify(NEAR_MM);
    let back = |c: &Coord<f64>| {
        (x.from + c.x / wide * (x.to - x.from), y.from + c.y / high * (y.to - y.from))
    };
    line.0.iter().map(back).collect()
}

/// What to aim at, over its line.
fn at_the_top(canvas: &mut Canvas, units: Units, panel: &Panel, study: &OneWay, way: Way) {
    let Some(AimedBand { aim, .. }) = study.best() else { return };
    let said = units.sentence(&sentences::shift(way, aim.shift_m, aim.decimals));
    let half = lettering::width_mm(&said, SMALL_PT) / 2.0;
    let Area { left, right, top, .. } = panel.area;
    let x = panel.across(aim.shift_m).clamp(left + half, right - half);
    canvas.text(Lettered::new(&said, Coord { x, y: top - 1.0 }, SMALL_PT).middle());
}

/// Its words, and a note of what it found.
fn words_of(units: Units, study: &OneWay, way: Way, made_m: Option<f64>) -> (Words, String) {
    let title = format!("Bottom hidden twice, by the shift {}", study.way);
    let bands: Vec<String> = study
        .bands
        .iter()
        .map(|band| units.sentence(&sentences::span_inward(way, band.span())))
        .collect();
    let shift = |m: f64, decimals| units.sentence(&sentences::shift(way, m, decimals));
    let (from, to) = (shift(study.from_m, 2), shift(study.to_m, 2));
    let keel = if way == Way::Athwart { " with the keel on its blocks" } else { "" };
    let mut found = if bands.is_empty() {
        format!(
            "No shift from {from} to {to} leaves nothing hidden twice{keel}; the least is {}, at {}.",
            units.area(study.least_m2, 3),
            shift(study.least_at_m, 2)
        )
    } else {
        format!("Nothing is hidden twice after shifts of {}.", words::list(&bands, MOST_NAMED))
    };
    if !study.off_keel.is_empty() {
        found.push(' ');
        found.push_str(&units.sentence(&sentences::off_keel(study)));
    }
    let caption = match made_m {
        Some(made) => format!("The shift that was made: {}.", shift(made, 3)),
        None => "What lies under blocks both before and after a shift.".to_string(),
    };
    let greatest = study.hidden_twice.iter().max_by(|a, b| a.area_m2.total_cmp(&b.area_m2));
    let at_most = greatest.map_or(String::new(), |point| {
        format!(
            " The curve is highest at {}, with {}.",
            shift(point.shift_m, 2),
            units.area(point.area_m2, 2),
        )
    });
    let alt = format!("{title}. {found}{at_most}");
    (Words { title, caption, alt }, found)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{
        check, docking, examined, keel_blocks, no_texts_overlap, of_group, positions, sample,
    };
    use super::super::{Drawing, Group, drawings};

    fn of(files: &[(&str, String)]) -> Vec<Drawing> {
        drawings(&examined(files))
    }

    #[test]
    fn a_way_that_does_has_its_drawing() {
        let drawings = drawings(&sample());
        let shifts = of_group(&drawings, Group::Shifts);
        let names: Vec<&str> = shifts.iter().map(|drawing| drawing.name.as_str()).collect();
        assert_eq!(names, ["shifts-fore-and-aft"]);
        // K23 slipped, but stands where it was planned here.
        assert!(shifts[0].alt.contains("0.60 to 0.80 m aft"), "{}", shifts[0].alt);
        assert!(shifts[0].caption.contains("that was made: 0.700 m aft"), "{}", shifts[0].caption);
        check(&drawings);
        no_texts_overlap(&drawings, "shifts");
    }

    /// The curve comes down to the axis where the band begins, and the aim stands over the middle.
    #[test]
    fn the_band_is_hatched_and_the_aim_lettered() {
        let drawings = of(&[
            docking(""),
            ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
            ("positions/positions.csv", positions(&[8.0], 0.0)),
        ]);
        let shifts = of_group(&drawings, Group::Shifts);
        // Caps of 0.63 m every 1.4 m: 0.63 to 0.77 m.
        let alt = &shifts[0].alt;
        assert!(alt.contains("after shifts of") && alt.contains("0.63 to 0.77 m aft"), "{alt}");
        assert!(shifts[0].svg.contains(">0.70 m aft</text>"), "{}", shifts[0].svg);
        check(&drawings);
        no_texts_overlap(&drawings, "shifts");
    }

    #[test]
    fn nothing_to_shift_draws_nothing() {
        let drawings = of(&[
            docking(""),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\n".to_string()),
        ]);
        assert!(of_group(&drawings, Group::Shifts).is_empty());
    }
}
