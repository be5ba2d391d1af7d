//! The photograph index: a plan of the hull with a numbered mark where each picture's subject is, and an arrow from
//! the side from which it was taken.

use geo::{Centroid, Coord};

use super::canvas::{Canvas, DASH_DOT, INK, Lettered, Pen};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Extent, Ground, extent_of};
use super::labels::{Area, Labels, Named};
use super::lettering::{self, PLAIN_PT, SMALL_PT};
use super::words;
use crate::findings::Examined;
use crate::hull::{Outline, on_hull};
use crate::records::contents::kinds::Kind;
use crate::records::papers::Paper;
use crate::records::zones::Lies;

/// A place, and the pictures of it with their numbers.
type Mark<'a> = (Coord<f64>, Vec<(usize, &'a Paper)>);

const LEFT_MM: f64 = 10.0;
const RIGHT_MM: f64 = 160.0;
/// Room over and under the hull for labels and arrows, mm.
const AROUND_MM: f64 = 9.0;
/// The highest and the lowest that the hull is drawn, mm.
const BREADTH_MM: (f64, f64) = (20.0, 70.0);
/// A mark's half, and an arrow's length, mm.
const HALF_MM: f64 = 0.8;
const ARROW_MM: f64 = 6.0;
/// Arrows nearer than this to each other count as one, mm.
const NEAR_MM: f64 = 2.0;

/// The photographs and drawings among the papers, in the order of the list, which gives them their numbers.
pub fn pictures(examined: &Examined) -> Vec<&Paper> {
    let project = &examined.project;
    let is_picture = |paper: &&Paper| {
        let kind = project.contents.get(&paper.file).and_then(|content| content.kind);
        let holds = kind.is_some_and(Kind::is_picture);
        paper.kind.as_deref() == Some("photograph") || holds || paper.in_report
    };
    project.papers.iter().filter(is_picture).collect()
}

/// Where on the hull what a paper is about lies: the first of the things that it names which has a place there.
fn place(ground: &Ground, paper: &Paper) -> Option<Coord<f64>> {
    let project = &ground.examined.project;
    let of_position = paper.about.iter().find_map(|about| {
        let id = bare(about, "position")?;
        ground.berths.iter().find(|berth| project.positions[berth.number].id == id)
    });
    paper.about.iter().find_map(|about| {
        let block = bare(about, "block").and_then(|id| project.blocks.iter().find(|b| b.id == id));
        let opening =
            bare(about, "opening").and_then(|id| project.openings.iter().find(|o| o.id == id));
        let anode = bare(about, "anode").and_then(|id| project.anodes.iter().find(|a| a.id == id));
        let zone = bare(about, "zone").and_then(|id| project.zones.iter().find(|z| z.id == id));
        let of_plate = || {
            let (strake, plate) = about.strip_prefix("plate:")?.split_once('.')?;
            let mut gaugings = project.plating.iter().filter(|at| at.strake == strake);
            gaugings.find_map(|at| at.hull.filter(|_| at.plate == plate))
        };
        // A frame goes round the hull; its mark stands on her centreline.
        let of_frame = || {
            let frame: f64 = about.strip_prefix("frame:")?.parse().ok()?;
            let x = project.docking.frames.as_ref()?.x_m(frame);
            Some(Coord { x, y: 0.0 })
        };
        let of_block = || {
            // Where she lay when the picture shows it, or in the first position in which the block stood.
            let block = block?;
            let stands = |number: usize| block.stands_in(&project.positions[number].id);
            let stood = ground.berths.iter().find(|berth| stands(berth.number));
            let berth = of_position.filter(|berth| stands(berth.number)).or(stood)?;
            Some(on_hull(&block.cap, &berth.lie).centre)
        };
        let of_opening = || {
            Some(match opening?.outline {
                Outline::Round { centre, .. } => centre,
                Outline::Rectangular(shape) => shape.centre,
            })
        };
        let of_zone = || match &zone?.lies {
            Lies::Bottom(Some(shape)) => shape.centroid().map(Coord::from),
            _ => None,
        };
        let with_id = of_block().or_else(of_opening).or_else(|| anode?.hull).or_else(of_zone);
        let at = with_id.or_else(of_plate).or_else(of_frame)?;
        ground.draws(&Extent::at(at)).then_some(at)
    })
}

/// The pictures with where on the hull what each shows lies, where that is known.
pub fn pictures_placed<'a>(ground: &Ground<'a>) -> Vec<(&'a Paper, Option<Coord<f64>>)> {
    let pictures = pictures(ground.examined).into_iter();
    pictures.map(|paper| (paper, place(ground, paper))).collect()
}

/// The id of something of a kind, as a list of ids names it.
fn bare<'a>(about: &'a str, kind: &str) -> Option<&'a str> {
    match about.split_once(':') {
        Some((of, id)) => (of == kind).then_some(id),
        None => Some(about),
    }
}

/// From where an arrow comes: paper's x to the right for forward, y downward for starboard.
fn from_side(paper: &Paper) -> Option<(f64, f64)> {
    let has = |side: &str| paper.seen_from.iter().any(|from| from == side);
    let part =
        |plus: &str, minus: &str| f64::from(u8::from(has(plus))) - f64::from(u8::from(has(minus)));
    let (x, y) = (part("forward", "aft"), part("starboard", "port"));
    let length = libm::hypot(x, y);
    (length > 0.0).then(|| (x / length, y / length))
}

/// The index, where at least one picture has a place on the hull.
pub fn drawing(ground: &Ground) -> Option<Drawing> {
    let pictures = pictures(ground.examined);
    let numbered = || pictures.iter().enumerate().map(|(n, paper)| (n + 1, *paper));
    let placed: Vec<(usize, &Paper, Coord<f64>)> =
        numbered().filter_map(|(n, paper)| Some((n, paper, place(ground, paper)?))).collect();
    let points = Extent::around(placed.iter().map(|(_, _, at)| *at))?;
    let outline = ground.bottom.and_then(extent_of);
    let whole = outline.map_or(points, |outline| outline.with(points));
    let (length, breadth) =
        ((whole.forward - whole.aft).max(1.0), (whole.port - whole.starboard).max(1.0));
    let along = (RIGHT_MM - LEFT_MM) / length;
    // Across it may be drawn larger than along, so that marks stand clear of each other.
    let high = (breadth * along).clamp(BREADTH_MM.0, BREADTH_MM.1);
    let upright = high / breadth;
    let at = |hull: Coord<f64>| Coord {
        x: LEFT_MM + (hull.x - whole.aft) * along,
        y: AROUND_MM + (whole.port - hull.y) * upright,
    };
    let mut canvas = Canvas::new(WIDTH_MM);
    let foot = AROUND_MM + high + AROUND_MM;
    let mut labels = Labels::new(Area { left: 0.5, right: WIDTH_MM - 0.5, top: 0.5, bottom: foot });
    if let Some(bottom) = ground.bottom {
        let ring: Vec<Coord<f64>> = bottom.exterior().coords().map(|c| at(*c)).collect();
        canvas.ring(&ring, Some(Pen::solid(0.3)), None);
        labels.avoid_lines(&[geo::LineString::new(ring)]);
    }
    let middle = [whole.aft, whole.forward].map(|x| at(Coord { x, y: 0.0 }));
    canvas.line(middle[0], middle[1], Pen::solid(0.13).broken(DASH_DOT));
    labels.avoid_lines(&[geo::LineString::new(middle.to_vec())]);

    // Marks that would cover each other are one, with the numbers of all.
    let mut marks: Vec<Mark<'_>> = Vec::new();
    for (number, paper, hull) in &placed {
        let place = at(*hull);
        let near = |(other, _): &&mut (Coord<f64>, Vec<(usize, &Paper)>)| {
            libm::hypot(other.x - place.x, other.y - place.y) < NEAR_MM
        };
        match marks.iter_mut().find(near) {
            Some((_, numbers)) => numbers.push((*number, paper)),
            None => marks.push((place, vec![(*number, paper)])),
        }
    }
    for (place, here) in &marks {
        canvas.circle(*place, HALF_MM, None, Some(INK));
        labels.keep_clear(Area::at(*place).grown(HALF_MM));
        let mut sides: Vec<(f64, f64)> = Vec::new();
        for side in here.iter().filter_map(|(_, paper)| from_side(paper)) {
            if !sides.contains(&side) {
                sides.push(side);
            }
        }
        for (x, y) in sides {
            let end = |mm: f64| Coord { x: place.x + x * mm, y: place.y + y * mm };
            canvas.arrow(end(HALF_MM + ARROW_MM), end(HALF_MM + 0.3), Pen::solid(0.18));
            labels
                .avoid_lines(&[geo::LineString::new(vec![end(HALF_MM + ARROW_MM), end(HALF_MM)])]);
            for step in 1..4 {
                labels.keep_clear(
                    Area::at(end(HALF_MM + ARROW_MM * f64::from(step) / 3.0)).grown(0.3),
                );
            }
        }
    }
    for (place, here) in &marks {
        let numbers: Vec<String> = here.iter().map(|(number, _)| number.to_string()).collect();
        let numbers = words::list(&numbers, 6).replace(" and ", ", ");
        labels.place(&Named::beside(numbers, Area::at(*place).grown(HALF_MM)));
    }
    labels.draw(&mut canvas);
    for (text, x) in [("aft", LEFT_MM), ("forward", RIGHT_MM)] {
        let at = Coord { x, y: foot + lettering::capital_mm(SMALL_PT) };
        let text = Lettered::new(text, at, PLAIN_PT);
        canvas.text(if x == LEFT_MM { text } else { text.end() });
    }

    let unplaced: Vec<String> = numbered()
        .filter(|(n, _)| placed.iter().all(|(number, ..)| number != n))
        .map(|(n, _)| n.to_string())
        .collect();
    let caption = "Numbered as in the table; arrows come from the camera.".to_string();
    let mut note = "A mark stands where on the hull a picture\u{2019}s subject is; port is above, the bow to the right."
        .to_string();
    if upright > along * 1.01 {
        note.push_str(" Across the ship it is drawn larger than along.");
    }
    if !unplaced.is_empty() {
        note.push_str(&format!(
            " Of no one place on the hull, or none that was recorded: {}.",
            words::list(&unplaced, 40)
        ));
    }
    note.push_str(&labels.left_out_note("number", "table"));
    let alt = format!(
        "Plan of the hull with {} of {} marked at what they show, from aft to forward: {}.",
        placed.len(),
        words::count(pictures.len(), "picture"),
        {
            let mut sorted: Vec<&(usize, &Paper, Coord<f64>)> = placed.iter().collect();
            sorted.sort_by(|a, b| a.2.x.total_cmp(&b.2.x));
            let each = sorted
                .iter()
                .map(|(n, _, at)| format!("{n} at x {}", ground.units.length(at.x, 0)));
            words::list(&each.collect::<Vec<_>>(), 16)
        }
    );
    let title = "Photographs: what each shows, and from where".to_string();
    let words = Words { title, caption, alt };
    let drawing = Drawing::new(Group::Photographs, "photographs", None, words, canvas, foot + 4.0);
    Some(drawing.with_note(note))
}

#[cfg(test)]
mod tests {
    use super::super::tests::{
        bottom, check, docking, examined, keel_blocks, no_texts_overlap, of_group, positions,
        sample, texts,
    };
    use super::super::{Drawing, Group, drawings};
    use super::{ARROW_MM, HALF_MM, LEFT_MM, RIGHT_MM};

    /// Middles of the marks, from aft to forward.
    fn marks(drawing: &Drawing) -> Vec<(f64, f64)> {
        let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
        let circles = document.descendants().filter(|node| node.has_tag_name("circle"));
        let number = |node: &roxmltree::Node, name| node.attribute(name)?.parse::<f64>().ok();
        let mut marks: Vec<(f64, f64)> = circles
            .filter(|node| number(node, "r") == Some(HALF_MM))
            .filter_map(|node| Some((number(&node, "cx")?, number(&node, "cy")?)))
            .collect();
        marks.sort_by(|a, b| a.0.total_cmp(&b.0));
        marks
    }

    /// Of a hull of 40 m drawn over 150 mm, blocks of which one lies 6 m forward of the other; an arrow comes from
    /// the side from which a picture was taken.
    #[test]
    fn marks_stand_where_the_subjects_are_and_arrows_come_from_their_side() {
        let papers = "file,kind,about,seen_from\nfore.png,photograph,K8,port\naft.png,photograph,K4,starboard\n\
                      whole.png,photograph,,\n";
        let drawings = drawings(&examined(&[
            docking("length_overall_m = 40\nbreadth_m = 8"),
            ("plan/blocks.csv", keel_blocks(20, 1.5, "K")),
            ("plan/bottom.csv", bottom(40.0, 8.0)),
            ("positions/positions.csv", positions(&[10.0], 0.0)),
            ("papers/papers.csv", papers.to_string()),
        ]));
        check(&drawings);
        no_texts_overlap(&drawings, "photographs");
        let [index] = *of_group(&drawings, Group::Photographs) else { panic!("not one drawing") };
        let marks = marks(index);
        let [aft, fore] = marks[..] else { panic!("{marks:?}") };
        let along = (RIGHT_MM - LEFT_MM) / 40.0;
        assert!((fore.0 - aft.0 - 6.0 * along).abs() < 0.02, "{marks:?}");
        assert!((aft.0 - LEFT_MM - 8.0 * along).abs() < 0.02, "{marks:?}");
        // Port is above: the arrow to the block forward comes down, the other goes up.
        let reach = HALF_MM + ARROW_MM;
        for (mark, from) in [(fore, fore.1 - reach), (aft, aft.1 + reach)] {
            let begins = |d: &str| {
                let d = d.replace(['M', 'L'], " ");
                let ends: Vec<f64> = d.split_whitespace().flat_map(str::parse).collect();
                ends.len() >= 2 && (ends[0] - mark.0).abs() < 0.02 && (ends[1] - from).abs() < 0.02
            };
            let document = roxmltree::Document::parse(&index.svg).expect("well-formed XML");
            let mut paths = document.descendants().filter_map(|node| node.attribute("d"));
            assert!(paths.any(begins), "{mark:?}: {}", index.svg);
        }
        let numbers: Vec<String> = texts(index).into_iter().map(|text| text.text).collect();
        assert!(numbers.contains(&"1".to_string()) && numbers.contains(&"2".to_string()));
        assert!(index.note.contains("none that was recorded: 3."), "{}", index.note);
    }

    /// A plate where it was gauged, a frame on the centreline; a strake is no one place.
    #[test]
    fn plates_and_frames_are_marked_where_they_lie() {
        let frames = "length_overall_m = 40\nbreadth_m = 8\nframes_from = \"aft\"\n[[frames]]\nfrom_frame = 0\n\
                      x_m = 1\nspacing_mm = 500";
        let papers = "file,kind,about\nplate.png,photograph,plate:A.2\nframe.png,photograph,Frame:58\n\
                      strake.png,photograph,strake:A\n";
        let drawings = drawings(&examined(&[
            docking(frames),
            ("plan/blocks.csv", keel_blocks(20, 1.5, "K")),
            ("plan/bottom.csv", bottom(40.0, 8.0)),
            (
                "hull/plating.csv",
                "strake,plate,x_m,y_m,measured_mm\nA,1,4,1,9\nA,2,10,2,9\n".into(),
            ),
            ("papers/papers.csv", papers.to_string()),
        ]));
        let [index] = *of_group(&drawings, Group::Photographs) else { panic!("not one drawing") };
        let marks = marks(index);
        let [plate, frame] = marks[..] else { panic!("{marks:?}") };
        let along = (RIGHT_MM - LEFT_MM) / 40.0;
        assert!((plate.0 - LEFT_MM - 10.0 * along).abs() < 0.02, "{marks:?}");
        assert!((frame.0 - LEFT_MM - 30.0 * along).abs() < 0.02, "{marks:?}");
        assert!(index.note.contains("none that was recorded: 3."), "{}", index.note);
    }

    #[test]
    fn pictures_without_a_place_on_the_hull_are_named_and_those_of_the_sample_are_marked() {
        let drawings = drawings(&sample());
        let [index] = *of_group(&drawings, Group::Photographs) else { panic!("not one drawing") };
        assert!(index.note.ends_with("none that was recorded: 1, 2, 7 and 15."), "{}", index.note);
        let lettered: Vec<String> = texts(index)
            .iter()
            .flat_map(|text| text.text.split(", ").map(str::to_string).collect::<Vec<_>>())
            .collect();
        for number in ["3", "4", "5", "6", "8", "9", "10", "11", "12", "13", "14"] {
            assert!(lettered.iter().any(|text| text == number), "{number}: {lettered:?}");
        }
    }
}
