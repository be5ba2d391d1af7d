//! The drawings of the sample project, and of records at the edges of what can be drawn.

use std::path::Path;

use super::drawing::{Drawing, Group, PAGE_HEIGHT_MM, SHARED_HEIGHT_MM, SHEET_HEIGHT_MM, WIDTH_MM};
use super::labels::Area;
use super::{drawings, lettering};
use crate::findings::{Examined, examine};
use crate::records;
use crate::records::memory;
use crate::records::problem::Problems;
use crate::records::store::Folder;

pub(super) fn examined(files: &[(&str, String)]) -> Examined {
    examine(memory::project(files)).unwrap_or_else(|problems| panic!("{problems:?}"))
}

pub(crate) fn sample() -> Examined {
    let mut problems = Problems::default();
    let folder = Folder::open(Path::new("sample-project"), &mut problems);
    let project = records::read(&folder, problems);
    let project = project.unwrap_or_else(|problems| panic!("{problems:?}"));
    examine(project).unwrap_or_else(|problems| panic!("{problems:?}"))
}

pub(super) fn docking(ship: &str) -> (&'static str, String) {
    let text = format!(
        "format = 1\n[ship]\nname = \"Sedge Pike\"\n{ship}\n[dock]\nname = \"Long Dock\"\n\
         [period]\noffset = \"+00:00\"\n"
    );
    ("docking.toml", text)
}

const BLOCKS: &str = "block,row,station_m,offset_m,length_m,width_m,skew_deg,positions\n";

pub(super) fn keel_blocks(count: usize, pitch_m: f64, name: &str) -> String {
    let rows = (0..count).map(|n| {
        format!("\"{name}{n}\",keel,{},0,{},1.2,0,\n", 12.0 + n as f64 * pitch_m, pitch_m * 0.45)
    });
    BLOCKS.to_string() + &rows.collect::<String>()
}

pub(super) fn positions(stations: &[f64], yaw_deg: f64) -> String {
    let rows = stations.iter().enumerate().map(|(n, station)| {
        format!("P{},{station},0.01,{}\n", n + 1, yaw_deg * if n % 2 == 0 { 1.0 } else { -1.0 })
    });
    "position,recorded_srp_station_m,recorded_offset_m,yaw_deg\n".to_string()
        + &rows.collect::<String>()
}

/// A bottom of a plain shape from x 0 to a length.
pub(super) fn bottom(length_m: f64, breadth_m: f64) -> String {
    let side = [(0.0, 0.1), (0.2, 0.8), (0.4, 1.0), (0.7, 0.9), (1.0, 0.05)];
    let port = side.iter().map(|(x, y)| (*x, *y));
    let starboard = side.iter().rev().map(|(x, y)| (*x, -*y));
    let rows = port
        .chain(starboard)
        .enumerate()
        .map(|(n, (x, y))| format!("bottom,{n},{},{}\n", x * length_m, y * breadth_m / 2.0));
    "part,order,x_m,y_m\n".to_string() + &rows.collect::<String>()
}

/// What holds for every drawing of every project.
pub(super) fn check(drawings: &[Drawing]) {
    let mut names: Vec<String> = drawings.iter().map(|d| d.name.to_lowercase()).collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), drawings.len(), "names repeat: {names:?}");
    for drawing in drawings {
        let name = &drawing.name;
        assert!(name.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_".contains(&b)), "{name}");
        let most_mm = if drawing.width_mm > WIDTH_MM { SHEET_HEIGHT_MM } else { PAGE_HEIGHT_MM };
        assert!(drawing.width_mm >= WIDTH_MM && drawing.width_mm <= 1970.0, "{name}");
        assert!(drawing.group != Group::Plan || drawing.width_mm >= 388.0, "{name}");
        assert!(
            drawing.height_mm > 5.0 && drawing.height_mm <= most_mm,
            "{name} is {} mm high",
            drawing.height_mm
        );
        // Ids of people may hold any letters, so only attributes are searched for what is no number.
        let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
        for node in document.descendants() {
            for attribute in node.attributes().filter(|a| !a.name().starts_with("font")) {
                let value = attribute.value();
                let bad = ["NaN", "inf", "e+", "e-"].iter().any(|bad| value.contains(bad));
                assert!(!bad, "{name}: {} = {value}", attribute.name());
            }
        }
        for text in texts(drawing) {
            let paper =
                Area { left: 0.0, top: 0.0, right: drawing.width_mm, bottom: drawing.height_mm };
            assert!(paper.holds(&text.area), "{name}: {:?} runs off the paper", text);
            assert!(text.size_pt >= lettering::SMALL_PT - 0.01, "{name}: {:?} is small", text);
        }
        assert!(!drawing.caption.is_empty() && !drawing.alt.is_empty());
        // What a listener follows in one go.
        assert!(drawing.alt.chars().count() < 300, "{name}: {}", drawing.alt);
        let lettered = texts(drawing).into_iter().map(|text| text.text);
        for said in lettered.chain([drawing.caption.clone(), drawing.alt.clone()]) {
            assert!(!has_hyphen_for_minus(&said), "{name}: {said}");
        }
    }
}

/// Whether a number stands behind a hyphen that stands for its sign.
fn has_hyphen_for_minus(said: &str) -> bool {
    said.match_indices('-').any(|(at, _)| {
        let before = said[..at].chars().next_back();
        before.is_none_or(|c| " (=>".contains(c))
            && said[at + 1..].starts_with(|c: char| c.is_ascii_digit())
    })
}

/// In drawings whose names begin so, no text covers another.
pub(super) fn no_texts_overlap(drawings: &[Drawing], begins: &str) {
    for drawing in drawings.iter().filter(|drawing| drawing.name.starts_with(begins)) {
        let texts = texts(drawing);
        for (n, one) in texts.iter().enumerate() {
            for other in texts.iter().take(n) {
                let common = one.area.overlap_mm2(&other.area);
                assert!(common <= 0.0, "{}: {one:?} and {other:?}", drawing.name);
            }
        }
    }
}

/// In drawings whose names begin so, no line crosses a text; one that was drawn before and is covered by paper round the
/// text doesn't count.
pub(super) fn no_line_crosses_a_text(drawings: &[Drawing], begins: &str) {
    for drawing in drawings.iter().filter(|drawing| drawing.name.starts_with(begins)) {
        let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
        let shapes: Vec<roxmltree::Node> = document
            .descendants()
            .filter(|n| n.has_tag_name("path") || n.has_tag_name("text"))
            .collect();
        let mut lettered = texts(drawing).into_iter();
        let points = |path: &str| -> Vec<(char, geo::Coord<f64>)> {
            let mut points = Vec::new();
            for step in
                path.replace('Z', "").split_inclusive(['M', 'L']).collect::<Vec<_>>().windows(2)
            {
                let command = step[0].chars().next_back().unwrap_or('M');
                let ends = |c: char| c == 'M' || c == 'L';
                let mut numbers = step[1]
                    .trim_end_matches(ends)
                    .split_whitespace()
                    .filter_map(|n| n.parse().ok());
                if let (Some(x), Some(y)) = (numbers.next(), numbers.next()) {
                    points.push((command, geo::Coord { x, y }));
                }
            }
            points
        };
        for (place, node) in shapes.iter().enumerate().filter(|(_, node)| node.has_tag_name("text"))
        {
            let text = lettered.next().expect("a text for each node");
            assert_eq!(node.text().unwrap_or_default(), text.text);
            let patches: Vec<usize> = shapes[..place]
                .iter()
                .enumerate()
                .filter(|(_, shape)| shape.attribute("fill") == Some(super::canvas::PAPER))
                .filter(|(_, shape)| {
                    let around = points(shape.attribute("d").unwrap_or_default());
                    let around = Area::around(around.into_iter().map(|(_, at)| at));
                    around.is_some_and(|around| around.holds(&text.area))
                })
                .map(|(n, _)| n)
                .collect();
            for (n, shape) in shapes.iter().enumerate() {
                let is_covered = patches.iter().any(|patch| *patch > n);
                if is_covered || shape.attribute("stroke").is_none() {
                    continue;
                }
                let points = points(shape.attribute("d").unwrap_or_default());
                for pair in points.windows(2).filter(|pair| pair[1].0 == 'L') {
                    let crossed = text.area.grown(-0.1).clip(pair[0].1, pair[1].1);
                    assert!(crossed.is_none(), "{}: {text:?} {pair:?}", drawing.name);
                }
            }
        }
    }
}

/// A text of a drawing and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Text {
    pub(super) text: String,
    at: (f64, f64),
    pub(super) area: Area,
    pub(super) size_pt: f64,
}

/// How far down the groups around a node move it, mm.
pub(super) fn down(node: &roxmltree::Node) -> f64 {
    let groups = node.ancestors().skip(1).filter_map(|group| group.attribute("transform"));
    let by =
        |moved: &str| moved.strip_prefix("translate(0 ")?.strip_suffix(')')?.parse::<f64>().ok();
    groups.map(|moved| by(moved).expect("a translation downward")).sum()
}

pub(super) fn texts(drawing: &Drawing) -> Vec<Text> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let number = |node: &roxmltree::Node, name: &str| -> f64 {
        node.attribute(name).and_then(|value| value.parse().ok()).expect("a number")
    };
    let one = |node: roxmltree::Node| {
        let text = node.text().unwrap_or_default().to_string();
        let (x, y) = (number(&node, "x"), number(&node, "y") + down(&node));
        let size_pt = number(&node, "font-size") * 72.0 / 25.4;
        let width = lettering::width_mm(&text, size_pt);
        let before = match node.attribute("text-anchor") {
            None => 0.0,
            Some("middle") => width / 2.0,
            Some(_) => width,
        };
        let capital = lettering::capital_mm(size_pt);
        let area = if node.attribute("transform").is_some() {
            Area { left: x - capital, right: x, top: y + before - width, bottom: y + before }
        } else {
            Area { left: x - before, right: x - before + width, top: y - capital, bottom: y }
        };
        Text { text, at: (x, y), area, size_pt }
    };
    document.descendants().filter(|node| node.has_tag_name("text")).map(one).collect()
}

pub(super) fn of_group(drawings: &[Drawing], group: Group) -> Vec<&Drawing> {
    drawings.iter().filter(|drawing| drawing.group == group).collect()
}

#[test]
fn the_sample_is_drawn_whole() {
    let drawings = drawings(&sample());
    check(&drawings);
    // The shell expansion shares its page with its tables alone, and so does the map of the coating; positions of a
    // landing, and choices of the plan's positions, stand above each other, and may take a page.
    let shares = |drawing: &&Drawing| {
        let is_tall = matches!(drawing.group, Group::Plating | Group::CoatingMap | Group::Among)
            || drawing.name.starts_with("landing");
        drawing.width_mm <= WIDTH_MM && !is_tall
    };
    let mut on_pages = drawings.iter().filter(shares);
    assert!(on_pages.all(|drawing| drawing.height_mm <= SHARED_HEIGHT_MM));
    assert_eq!(of_group(&drawings, Group::Axes).len(), 1);
    for id in ["P1", "P2"] {
        let of = |group: Group| {
            let own = |d: &&&Drawing| d.position.as_deref() == Some(id);
            of_group(&drawings, group).iter().filter(own).count()
        };
        assert_eq!(of(Group::Plan), 1, "{id}");
    }
    for group in [Group::Exposure, Group::NeverExposed] {
        assert_eq!(of_group(&drawings, group).len(), 1, "{group:?}");
    }
    let said: String = drawings.iter().map(|drawing| drawing.alt.as_str()).collect();
    assert!(said.contains("A of 0.330 m"), "{said}");
    assert!(said.contains("hidden by K23 in P1 and K23S in P2"), "{said}");
    assert!(said.contains("0.70 m aft"), "{said}");
    assert!(drawings.iter().all(|drawing| !drawing.note.contains("Left out for want of room")));
    // Said whole, each of them, in less than 300 characters, under a caption of one line but on the cover.
    for drawing in &drawings {
        assert!(!drawing.alt.ends_with('\u{2026}'), "{}: {}", drawing.name, drawing.alt);
        let line = drawing.title.chars().count() + drawing.caption.chars().count();
        let most = if drawing.width_mm > WIDTH_MM { 250 } else { 115 };
        assert!(drawing.group == Group::Cover || line < most, "{}: {line}", drawing.name);
    }
}

#[test]
fn every_id_of_the_sample_is_lettered_once_in_each_position() {
    let examined = sample();
    let drawings = drawings(&examined);
    for position in ["P1", "P2"] {
        let lettered: Vec<String> = of_group(&drawings, Group::Plan)
            .into_iter()
            .filter(|drawing| drawing.position.as_deref() == Some(position))
            .flat_map(texts)
            .map(|text| text.text)
            .collect();
        // K23 slipped, and is K23S in P2.
        let blocks = examined.project.blocks.iter().map(|block| &block.id);
        let elsewhere = if position == "P1" { "K23S" } else { "K23" };
        let blocks = blocks.filter(|id| *id != elsewhere);
        let openings = examined.project.openings.iter().map(|opening| &opening.id);
        for id in blocks.chain(openings) {
            // A keel block from the side, from above, and where its gap is enlarged.
            let times = lettered.iter().filter(|text| *text == id).count();
            assert!((1..=3).contains(&times), "{position}: {id} is lettered {times} times");
        }
    }
}

#[test]
fn no_two_texts_of_the_sample_overlap() {
    for drawing in drawings(&sample()) {
        let texts = texts(&drawing);
        for (n, one) in texts.iter().enumerate() {
            for other in texts.iter().take(n) {
                let common = one.area.overlap_mm2(&other.area);
                assert!(common <= 0.0, "{}: {one:?} and {other:?}", drawing.name);
            }
        }
    }
}

#[test]
fn the_same_records_give_the_same_drawings() {
    assert_eq!(drawings(&sample()), drawings(&sample()));
}

#[test]
fn the_cover_shows_the_last_position_and_says_what_is_drawn() {
    let drawings = drawings(&sample());
    let cover = of_group(&drawings, Group::Cover);
    let [cover] = cover.as_slice() else { panic!("{} drawings for the cover", cover.len()) };
    assert_eq!(cover.position.as_deref(), Some("P2"));
    assert!((40.0..=60.0).contains(&cover.height_mm), "{} mm", cover.height_mm);
    assert!(cover.caption.contains("the line of her keel") && cover.alt.contains("86 blocks"));
    let lettered: Vec<String> = texts(cover).into_iter().map(|text| text.text).collect();
    for name in ["SRP", "AP", "FP", "bow", "scale 1:600"] {
        assert!(lettered.iter().any(|text| text == name), "{name}: {lettered:?}");
    }
    assert!(lettered.iter().any(|text| text.starts_with("water afloat again, level")));
}

/// Levels that are not recorded are not drawn, and nothing says that they are.
#[test]
fn the_cover_of_a_plan_without_heights_shows_her_from_above_only() {
    let examined = examined(&[
        docking("length_overall_m = 60\nbreadth_m = 11"),
        ("plan/blocks.csv", keel_blocks(30, 1.4, "K")),
        ("plan/bottom.csv", bottom(60.0, 10.0)),
        ("positions/positions.csv", positions(&[10.0], 0.0)),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    let [cover] = *of_group(&drawings, Group::Cover) else { panic!("no cover") };
    for absent in ["keel", "floor", "water", "draft marks"] {
        let said = cover.caption.replace("above the keel", "");
        assert!(!said.contains(absent), "{}", cover.caption);
    }
}

/// The bar's two numbers stand over its ends: their distance on paper is the length they say, by the
/// stated scale.
#[test]
fn scale_bars_are_as_long_as_the_scale_says() {
    let short = examined(&[
        docking("length_overall_m = 20\nbreadth_m = 5"),
        ("plan/blocks.csv", keel_blocks(8, 2.0, "K")),
        ("plan/bottom.csv", bottom(20.0, 4.4)),
        ("positions/positions.csv", positions(&[10.0], 0.0)),
    ]);
    let long = examined(&[
        docking("length_overall_m = 300\nbreadth_m = 40"),
        ("plan/blocks.csv", keel_blocks(100, 2.9, "K")),
        ("plan/bottom.csv", bottom(300.0, 40.0)),
        ("positions/positions.csv", positions(&[10.0, 8.6], 0.0)),
    ]);
    let mut scales = Vec::new();
    for examined in [sample(), short, long] {
        let drawings = drawings(&examined);
        check(&drawings);
        for drawing in drawings.iter().filter(|drawing| drawing.title.contains(", scale 1:")) {
            let texts = texts(drawing);
            let stated = texts.iter().find_map(|text| text.text.strip_prefix("scale 1:"));
            let stated: f64 = stated.and_then(|text| text.parse().ok()).expect("a stated scale");
            let begin = texts.iter().find(|text| text.text == "0").expect("a bar");
            let end =
                texts.iter().find(|text| text.text.ends_with(" m") && text.at.1 == begin.at.1);
            let end = end.expect("an end");
            let length: f64 = end.text.trim_end_matches(" m").parse().expect("a length in metres");
            let on_paper = end.at.0 - begin.at.0;
            assert!((on_paper * stated / 1000.0 - length).abs() < 0.002 * stated / 1000.0);
            assert!(drawing.title.ends_with(&format!("scale 1:{stated}")));
            scales.push(stated);
        }
    }
    scales.sort_by(f64::total_cmp);
    scales.dedup();
    assert_eq!(scales, [50.0, 75.0, 150.0, 200.0, 250.0, 300.0, 500.0, 600.0]);
}

#[test]
fn port_is_up_and_the_bow_to_the_right() {
    let blocks = format!(
        "{BLOCKS}PORT,bilge-port,20,3,0.8,1,0,\nSTAR,bilge-starboard,20,-3,0.8,1,0,\n\
         FORE,keel,23,0,0.8,1.2,0,\n"
    );
    let examined = examined(&[
        docking("length_overall_m = 30\nbreadth_m = 9"),
        ("plan/blocks.csv", blocks),
        ("plan/bottom.csv", bottom(30.0, 8.0)),
        ("positions/positions.csv", positions(&[10.0], 0.0)),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    let texts: Vec<Text> = of_group(&drawings, Group::Plan).into_iter().flat_map(texts).collect();
    let at = |id: &str| texts.iter().find(|text| text.text == id).map(|text| text.area.middle());
    let (port, star, fore) = (at("PORT"), at("STAR"), at("FORE"));
    assert!(port.zip(star).is_some_and(|(port, star)| port.y < star.y));
    assert!(port.zip(fore).is_some_and(|(port, fore)| port.x < fore.x));
}

#[test]
fn without_an_outline_caps_are_shown_whole() {
    let examined = examined(&[
        docking(""),
        ("plan/blocks.csv", keel_blocks(30, 1.4, "K")),
        ("positions/positions.csv", positions(&[10.0, 9.3], 0.0)),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    let overlays = of_group(&drawings, Group::Exposure);
    assert!(overlays.iter().any(|d| d.caption.contains("not recorded: caps are shown whole")));
    for drawing in drawings.iter().filter(|drawing| drawing.position.is_some()) {
        assert!(drawing.caption.to_lowercase().contains("not recorded"), "{}", drawing.caption);
    }
}

#[test]
fn a_position_that_cannot_be_placed_is_left_out_and_named() {
    let positions = "position,recorded_srp_station_m,recorded_offset_m\nP1,10,0\nP2,,\n";
    let examined = examined(&[
        docking(""),
        ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
        ("positions/positions.csv", positions.to_string()),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    assert!(of_group(&drawings, Group::NeverExposed).is_empty());
    let overlays = of_group(&drawings, Group::Exposure);
    assert!(!overlays.iter().flat_map(|d| texts(d)).any(|t| t.text.contains("every position")));
    assert!(drawings.iter().all(|drawing| drawing.position.as_deref() != Some("P2")));
    let caption = |group: Group, name: &str| {
        let mut of = of_group(&drawings, group).into_iter();
        of.any(|d| d.name == name && d.caption.contains("Position P2 is not drawn"))
    };
    assert!(caption(Group::Axes, "axes") && caption(Group::Plan, "plan-P1-1"));
    assert!(caption(Group::Exposure, "exposure-1"));
}

#[test]
fn no_position_and_no_block_leave_the_axes_only() {
    for blocks in [keel_blocks(5, 1.4, "K"), BLOCKS.to_string()] {
        let drawings = drawings(&examined(&[docking(""), ("plan/blocks.csv", blocks)]));
        check(&drawings);
        assert_eq!(drawings.len(), 1);
    }
}

#[test]
fn one_position_exposes_nothing_of_what_it_hid() {
    let examined = examined(&[
        docking(""),
        ("plan/blocks.csv", keel_blocks(60, 1.2, "K")),
        ("positions/positions.csv", positions(&[10.0], 0.0)),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    let all = of_group(&drawings, Group::Exposure);
    assert!(all.iter().all(|drawing| drawing.alt.contains("60 pieces")));
    let enlarged = of_group(&drawings, Group::NeverExposed);
    assert!(enlarged.iter().any(|drawing| drawing.alt.contains("A of 0.648 m")));
}

#[test]
fn six_positions_with_yaw_and_skew() {
    let rows = (0..40).map(|n| {
        format!("K{n},keel,{},{},0.9,1.2,{},\n", 14.0 + n as f64 * 1.3, n % 3, (n % 7) as f64 * 2.5)
    });
    let examined = examined(&[
        docking("length_overall_m = 60\nbreadth_m = 11"),
        ("plan/blocks.csv", BLOCKS.to_string() + &rows.collect::<String>()),
        ("plan/bottom.csv", bottom(60.0, 10.0)),
        ("positions/positions.csv", positions(&[10.0, 9.7, 9.4, 10.3, 10.6, 9.1], 3.0)),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    let several = |d: &&Drawing| texts(d).iter().any(|t| t.text.starts_with("hatches crossed"));
    assert!(of_group(&drawings, Group::Exposure).iter().copied().any(|d| several(&d)));
}

#[test]
fn hundreds_of_blocks_with_long_names_of_any_letters() {
    let name = "keel-\u{8258}-block-number-000000000000";
    let examined = examined(&[
        docking("length_overall_m = 290\nbreadth_m = 38"),
        ("plan/blocks.csv", keel_blocks(400, 0.7, name)),
        ("plan/bottom.csv", bottom(285.0, 34.0)),
        ("positions/positions.csv", positions(&[10.0, 9.65], 0.05)),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    assert!(drawings.iter().all(|d| !d.svg.contains('\u{8258}')));
}

#[test]
fn mistakes_of_size_leave_the_rest_legible() {
    let blocks = format!(
        "{}FAR,keel,65000,0,0.6,1.2,0,\nHUGE,keel,30,0,1e15,1.2,0,\n",
        keel_blocks(20, 1.4, "K")
    );
    let frames = "frames_from = \"aft\"\n[[frames]]\nfrom_frame = 0\nx_m = 0\nspacing_mm = 0.001\n";
    let examined = examined(&[
        docking(&format!("length_overall_m = 50\nbreadth_m = 9\n{frames}")),
        ("plan/blocks.csv", blocks),
        ("positions/positions.csv", positions(&[10.0], 0.0)),
    ]);
    let drawings = drawings(&examined);
    check(&drawings);
    let plans = of_group(&drawings, Group::Plan);
    assert!(plans.iter().any(|d| d.caption.contains("too far off to be drawn: 2 records")));
    assert!(plans.iter().flat_map(|d| texts(d)).any(|text| text.text == "K7"));
}

/// Where the corners of what is filled with the grey of caps lie: from, to, top and bottom on paper, mm.
fn grey_blocks(drawing: &Drawing) -> Vec<Area> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let paths = document.descendants().filter(|node| node.attribute("fill") == Some("#e4e4e4"));
    let corners = |node: roxmltree::Node| -> Option<Area> {
        let path = node.attribute("d")?.trim_end_matches('Z').replace('M', "");
        let corner = |text: &str| {
            let (x, y) = text.split_once(' ')?;
            Some(geo::Coord { x: x.parse().ok()?, y: y.parse().ok()? })
        };
        Area::around(path.split('L').filter_map(corner))
    };
    paths.filter_map(corners).collect()
}

/// The one place of a label, or the first from the top of several.
fn middle_of(drawing: &Drawing, label: &str) -> f64 {
    let mut found: Vec<Area> =
        texts(drawing).into_iter().filter(|t| t.text == label).map(|t| t.area).collect();
    found.sort_by(|a, b| a.top.total_cmp(&b.top));
    found.first().unwrap_or_else(|| panic!("{label} is not lettered")).middle().x
}

/// Every keel block of the sample stands at one place along the sheet from the side, from above, and as a bar, and is
/// lettered there; and as far from the others as the scale says.
#[test]
fn one_station_is_one_place_in_all_bands_of_the_docking_plan() {
    let examined = sample();
    let drawings = drawings(&examined);
    for sheet in of_group(&drawings, Group::Plan) {
        let position = sheet.position.as_deref().expect("a position");
        let (_, scale) = sheet.title.rsplit_once("1:").expect("a stated scale");
        let scale: f64 = scale.parse().expect("a number");
        let grey = grey_blocks(sheet);
        let first = examined.project.blocks.first().expect("K1");
        let from = middle_of(sheet, &first.id);
        let keel = examined.project.blocks.iter().filter(|block| {
            block.row == crate::records::blocks::BlockRow::Keel && block.stands_in(position)
        });
        let mut counted = 0;
        for block in keel {
            let x = middle_of(sheet, &block.id);
            let along_m = block.cap.centre.x - first.cap.centre.x;
            assert!((x - from - along_m * 1000.0 / scale).abs() < 0.01, "{}: {x}", block.id);
            let long_mm = block.cap.length_m * 1000.0 / scale;
            let is_its_own = |area: &&Area| {
                let is_straight = block.cap.turn_deg == 0.0;
                let is_as_long = (area.right - area.left - long_mm).abs() < 0.01;
                (area.middle().x - x).abs() < 0.01 && (is_as_long || !is_straight)
            };
            let mut heights: Vec<f64> =
                grey.iter().filter(is_its_own).map(|area| area.top).collect();
            heights.sort_by(f64::total_cmp);
            heights.dedup();
            // Side view, plan, and a bar unless it bears nothing.
            assert!(heights.len() >= 2, "{position} {}: {heights:?}", block.id);
            counted += usize::from(heights.len() >= 3);
        }
        assert!(counted >= 60, "{position}: {counted} blocks in all three bands");
    }
}

#[test]
fn the_docking_plan_says_what_a_foreman_asks() {
    let drawings = drawings(&sample());
    let sheets = of_group(&drawings, Group::Plan);
    let [first, second] = sheets.as_slice() else { panic!("{} sheets", sheets.len()) };
    let said = |drawing: &Drawing| -> Vec<String> {
        texts(drawing).into_iter().map(|text| text.text).collect()
    };
    let (one, two) = (said(first), said(second));
    for text in [
        "21.50 m from station 0",
        "63 \u{d7} 1.40 = 88.20",
        "SRP 14.31 m",
        "floor rises 0.20 % to the bow",
        "4.300",
        "1439",
        "first touch, 0.75 m",
        "landed, 0.63 m",
        "afloat again, 0.74 m",
    ] {
        assert!(one.iter().any(|said| said == text), "{text}: {one:?}");
    }
    assert!(one.iter().any(|said| said.starts_with("Gaps over the caps") && said.ends_with("1:5")));
    assert!(two.iter().any(|said| said == "SRP 13.61 m"));
    assert!(first.alt.contains("left out: BS6.") && second.alt.contains("left out: BS6 and K45."));
    assert!(sheets.iter().all(|sheet| sheet.alt.chars().count() < 500));
    no_texts_overlap(&drawings, "plan-");
}

/// A small and a large ship: the largest scale at which the sheet is no higher than a page and no longer than two
/// metres, every block lettered.
#[test]
fn docking_plans_of_small_and_large_ships_are_legible() {
    let plan = |length: f64, breadth: f64, count: usize, pitch: f64| {
        let blocks = keel_blocks(count, pitch, "K");
        let examined = examined(&[
            docking(&format!("length_overall_m = {length}\nbreadth_m = {breadth}")),
            ("plan/blocks.csv", blocks),
            ("plan/bottom.csv", bottom(length, breadth)),
            ("positions/positions.csv", positions(&[10.0], 0.0)),
        ]);
        let drawings = drawings(&examined);
        check(&drawings);
        no_texts_overlap(&drawings, "plan-");
        let sheets: Vec<Drawing> = of_group(&drawings, Group::Plan).into_iter().cloned().collect();
        let lettered: Vec<String> = sheets.iter().flat_map(texts).map(|text| text.text).collect();
        for n in 0..count {
            assert!(lettered.contains(&format!("K{n}")), "K{n} of a ship of {length} m");
        }
        sheets
    };
    let [small] = plan(30.0, 8.0, 20, 1.2).try_into().expect("one sheet");
    // On A3, with all letters level.
    assert!(small.width_mm < 388.1 && small.title.ends_with("scale 1:100"), "{}", small.title);
    let [large] = plan(300.0, 40.0, 100, 2.8).try_into().expect("one sheet");
    assert!(large.width_mm < 1700.0 && large.title.ends_with("scale 1:250"), "{}", large.title);
    // Blocks so close that one sheet of two metres can't letter them.
    let strips = plan(300.0, 12.0, 800, 0.36);
    assert_eq!(strips.len(), 2);
    assert!(strips[0].title.contains("part 1 of 2"), "{}", strips[0].title);
}

#[test]
fn a_docking_plan_without_levels_or_loads_says_so() {
    let with_heights = |heights: bool| {
        let blocks = "block,row,station_m,offset_m,length_m,width_m,height_m\n".to_string()
            + &(0..20)
                .map(|n| {
                    let height = if heights { "1.3" } else { "" };
                    format!("K{n},keel,{},0,0.6,1.2,{height}\n", 12.0 + f64::from(n) * 1.4)
                })
                .collect::<String>();
        let examined = examined(&[
            docking("length_overall_m = 40\nbreadth_m = 9"),
            ("plan/blocks.csv", blocks),
            ("positions/positions.csv", positions(&[10.0], 0.0)),
        ]);
        let drawings = drawings(&examined);
        check(&drawings);
        let [sheet] = *of_group(&drawings, Group::Plan) else { panic!("no sheet") };
        (sheet.clone(), texts(sheet).into_iter().map(|text| text.text).collect::<Vec<_>>())
    };
    let (bare, said) = with_heights(false);
    assert!(said.iter().any(|text| text.contains("not recorded: no side view")), "{said:?}");
    assert!(said.iter().any(|text| text.starts_with("Block loads: not computed")), "{said:?}");
    assert!(bare.caption.contains("Outline of the bottom not recorded"));
    let (heights, said) = with_heights(true);
    assert!(heights.caption.contains("Level of the floor not recorded"), "{}", heights.caption);
    assert_eq!(said.iter().filter(|text| *text == "1300").count(), 20);
    assert_eq!(grey_blocks(&heights).len(), 20 + 20 + 1);
}
