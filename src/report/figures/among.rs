//! What stays hidden in choices of the plan's positions, one map of the bottom over the other.

use geo::{Coord, MapCoords, MultiPolygon};

use super::canvas::{Canvas, DASH_DOT, INK, Lettered, OPENING_BLUE, Pen};
use super::drawing::{Drawing, Group, PAGE_HEIGHT_MM, WIDTH_MM, Words};
use super::ground::{Extent, Ground, extent_of, extent_of_opening};
use super::hatch;
use super::legend::{self, Sample};
use super::lettering::{self, HEADING_PT, SMALL_PT};
use super::scale::Scale;
use super::strip_map::{OUTLINE, scale_bar};
use super::words;
use crate::findings::among::answer::{Among, Chosen};

/// The most maps over each other.
const MOST: usize = 6;
/// Room over each map for what it shows, mm.
const HEADING_MM: f64 = 6.4;
/// From one map to the next, mm.
const BETWEEN_MM: f64 = 2.4;
/// Room under the maps for the legend, and over them for the bar of the scale, mm.
const AROUND_MM: f64 = 28.0;
const LEFT_MM: f64 = 2.0;
/// Room to the right, for the arrow to the bow, mm.
const RIGHT_MM: f64 = 12.0;
const HATCHING: Pen = Pen::solid(0.13);
/// Edge of what is filled with black, so that slivers are seen.
const FILLED: Pen = Pen::solid(0.3);
const OPENING: Pen = Pen::solid(0.25).coloured(OPENING_BLUE);

/// The choices that are drawn: of two or more landings, those that leave the least of each number of them, and what
/// this docking uses.
fn drawn(among: &Among) -> Vec<&Chosen> {
    let is_used = |one: &&Chosen| !one.used_as.is_empty();
    let several = || among.choices.iter().filter(|one| one.landings > 1);
    let mut others = MOST - usize::from(several().any(|one| is_used(&one)));
    let has_room = |one: &&Chosen| {
        let has_room = is_used(one) || others > 0;
        others -= usize::from(has_room && !is_used(one));
        has_room
    };
    several().filter(has_room).collect()
}

/// The drawing of a project; none where no two of the plan's positions can be used, or nothing of them can be drawn.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    ground.examined.among().and_then(|among| drawing(ground, among)).into_iter().collect()
}

/// The same of any answer about the project.
pub fn drawing(ground: &Ground, among: &Among) -> Option<Drawing> {
    let drawn = drawn(among);
    drawn.first()?;
    let hidden = || among.offered.iter().flat_map(|one| &one.hidden.0).filter_map(extent_of);
    let whole = ground
        .bottom
        .and_then(extent_of)
        .or_else(|| hidden().filter(|extent| ground.draws(extent)).reduce(Extent::with))?;
    let (length_m, breadth_m) = (whole.forward - whole.aft, whole.port - whole.starboard);
    let width_mm = WIDTH_MM - LEFT_MM - RIGHT_MM;
    let height_mm = (PAGE_HEIGHT_MM - AROUND_MM) / drawn.len() as f64 - HEADING_MM - BETWEEN_MM;
    let fits =
        |scale: &Scale| scale.to_mm(length_m) <= width_mm && scale.to_mm(breadth_m) <= height_mm;
    let scale = Scale::usual().find(fits)?;
    let mut canvas = Canvas::new(WIDTH_MM);
    let mut map = Map { ground, among, whole, scale, top_mm: 7.0 };
    scale_bar(&mut canvas, Coord { x: 84.0, y: 4.4 }, scale, ground.units);
    for chosen in &drawn {
        map.draw(&mut canvas, chosen);
    }
    let used = legend::rows(&mut canvas, map.top_mm, &map.samples());
    let said: Vec<String> = drawn.iter().map(|one| heading(ground, one)).collect();
    let title =
        format!("What stays hidden in choices of the plan\u{2019}s positions, scale {scale}");
    let mut caption = "Black: hidden in all of a choice, in plan.".to_string();
    if ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded: caps are shown whole.");
    }
    let more = among.choices.iter().filter(|one| one.landings > 1).count() - drawn.len();
    if more > 0 {
        caption.push_str(&format!(
            " {} with two landings or more not drawn.",
            words::count(more, "choice")
        ));
    }
    let alt = format!(
        "Maps of the bottom over each other, bow to the right, port above. {}.",
        words::list(&said, MOST)
    );
    let words = Words { title, caption, alt };
    Some(Drawing::new(Group::Among, "among", None, words, canvas, used))
}

/// `1 and 3: 0.000 m2 hidden in all`.
fn heading(ground: &Ground, chosen: &Chosen) -> String {
    let names: Vec<String> = chosen.positions.iter().map(|id| lettering::shown(id)).collect();
    let used = match chosen.used_as.as_slice() {
        [] => String::new(),
        used => format!(" ({})", used.join(", ")),
    };
    let left = match chosen.reaches_all() {
        true => "nothing".to_string(),
        false => ground.units.area(chosen.hidden_m2, 3),
    };
    format!("{}{used}: {left} hidden in all", names.join(", "))
}

/// Maps that go down a page.
struct Map<'a> {
    ground: &'a Ground<'a>,
    among: &'a Among,
    whole: Extent,
    scale: Scale,
    /// Height reached so far, mm.
    top_mm: f64,
}

impl Map<'_> {
    fn draw(&mut self, canvas: &mut Canvas, chosen: &Chosen) {
        let heading = heading(self.ground, chosen);
        let base = Coord { x: LEFT_MM, y: self.top_mm + HEADING_MM - 2.0 };
        canvas.text(Lettered::new(&heading, base, HEADING_PT));
        self.top_mm += HEADING_MM;
        let on_paper = |shape: &MultiPolygon<f64>| shape.map_coords(|coord| self.at(coord));
        for number in &chosen.numbers {
            let shape = on_paper(&self.among.offered[*number].hidden);
            canvas.lines(&hatch::lines(&shape, hatch::of_position(*number)), HATCHING);
        }
        canvas.shape(&on_paper(&chosen.hidden), Some(FILLED), Some(INK));
        if let Some(bottom) = self.ground.bottom {
            let ring: Vec<Coord<f64>> = bottom.exterior().0.iter().map(|c| self.at(*c)).collect();
            canvas.ring(&ring, Some(OUTLINE), None);
        }
        for opening in self.ground.openings() {
            let extent = extent_of_opening(opening);
            if self.whole.holds(&extent) {
                let corners = extent.polygon();
                let ring: Vec<Coord<f64>> =
                    corners.exterior().0.iter().map(|c| self.at(*c)).collect();
                canvas.ring(&ring, Some(OPENING), None);
            }
        }
        let middle = self.at(Coord { x: self.whole.forward, y: 0.0 });
        let aft = self.at(Coord { x: self.whole.aft, y: 0.0 });
        canvas.line(aft, middle, Pen::solid(0.13).broken(DASH_DOT));
        let tail = Coord { x: middle.x + 1.5, ..middle };
        canvas.arrow(tail, Coord { x: tail.x + 6.0, ..tail }, Pen::solid(0.13));
        let name = Coord { x: tail.x + 3.0, y: tail.y - 1.0 };
        canvas.text(Lettered::new("bow", name, SMALL_PT).middle());
        self.top_mm += self.scale.to_mm(self.whole.port - self.whole.starboard) + BETWEEN_MM;
    }

    /// A place on the hull, on paper.
    fn at(&self, hull: Coord<f64>) -> Coord<f64> {
        Coord {
            x: LEFT_MM + self.scale.to_mm(hull.x - self.whole.aft),
            y: self.top_mm + self.scale.to_mm(self.whole.port - hull.y),
        }
    }

    fn samples(&self) -> Vec<(Sample, String)> {
        let usable = self.among.offered.iter().enumerate().filter(|(_, one)| one.why_not.is_none());
        let mut samples: Vec<(Sample, String)> = usable
            .map(|(n, one)| {
                let meaning = format!("hidden in {}", lettering::label(&one.position));
                (Sample::Hatched(vec![hatch::of_position(n)]), meaning)
            })
            .collect();
        samples.push((Sample::Filled, "hidden in all of a choice".to_string()));
        if self.ground.bottom.is_some() {
            samples.push((Sample::Line(OUTLINE), "outline of the bottom".to_string()));
        }
        if self.ground.openings().next().is_some() {
            samples.push((Sample::Line(OPENING), "opening".to_string()));
        }
        samples
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{
        check, docking, examined, keel_blocks, no_texts_overlap, of_group, positions,
    };
    use super::super::{Drawing, Group, drawings};

    fn with_plan(stations_m: &[f64]) -> Vec<Drawing> {
        let rows = stations_m.iter().enumerate();
        let rows = rows.map(|(n, station)| format!("{},{station}\n", n + 1)).collect::<String>();
        drawings(&examined(&[
            docking(""),
            ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
            ("plan/positions.csv", format!("plan_position,srp_station_m\n{rows}")),
            ("positions/positions.csv", positions(&[8.0], 0.0)),
        ]))
    }

    /// Caps of 0.63 m every 1.4 m, positions 0.35 m apart: neighbours leave 0.28 m of each cap of 1.2 m, first and third
    /// nothing.
    #[test]
    fn choices_have_their_maps_over_each_other() {
        let drawings = with_plan(&[8.0, 7.65, 7.3]);
        let among = of_group(&drawings, Group::Among);
        let [one] = among[..] else { panic!("{} drawings", among.len()) };
        for said in [">1, 3: nothing hidden in all<", ">1, 2, 3: nothing hidden in all<"] {
            assert!(one.svg.contains(said), "{said}: {}", one.svg);
        }
        assert!(one.svg.contains(">1, 2: ") && one.svg.contains(">2, 3: "), "{}", one.svg);
        assert!(one.alt.contains("1, 3: nothing hidden in all"), "{}", one.alt);
        check(&drawings);
        no_texts_overlap(&drawings, "among");
    }

    #[test]
    fn of_many_choices_some_are_drawn_and_the_others_counted() {
        let drawings = with_plan(&[8.0, 7.8, 7.6, 7.4, 7.2]);
        let among = of_group(&drawings, Group::Among);
        // 31 choices, of which 5 are one position alone.
        assert!(among[0].caption.contains("20 choices"), "{}", among[0].caption);
        check(&drawings);
        no_texts_overlap(&drawings, "among");
    }

    #[test]
    fn without_two_positions_of_the_plan_there_is_nothing_to_draw() {
        assert!(of_group(&with_plan(&[]), Group::Among).is_empty());
        assert!(of_group(&with_plan(&[8.0]), Group::Among).is_empty());
    }
}
