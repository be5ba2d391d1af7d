//! The drawings of the coating, of the sample and of projects that try them hard.

use chrono::{DateTime, Datelike, FixedOffset, Timelike};

use super::super::tests::{
    bottom, check, docking, examined, keel_blocks, of_group, positions, sample, texts,
};
use super::super::{Drawing, Group, drawings};
use crate::findings::Examined;
use crate::findings::exceptions::{Kind, exceptions};

const GROUPS: [Group; 4] =
    [Group::CoatingMap, Group::CoatingTimes, Group::CoatingClimate, Group::CoatingFilm];

fn of_coating(examined: &Examined) -> Vec<Drawing> {
    let mut drawings = drawings(examined);
    drawings.retain(|drawing| drawing.name.starts_with("coating"));
    drawings
}

fn no_texts_overlap(drawings: &[Drawing]) {
    for drawing in drawings {
        let texts = texts(drawing);
        for (n, one) in texts.iter().enumerate() {
            for other in texts.iter().take(n) {
                let common = one.area.overlap_mm2(&other.area);
                assert!(common <= 0.0, "{}: {one:?} and {other:?}", drawing.name);
            }
        }
    }
}

/// The ends of every closed shape with a fill: left, top, right, bottom.
fn filled(drawing: &Drawing, fill: &str) -> Vec<[f64; 4]> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let nodes = document.descendants().filter(|node| node.attribute("fill") == Some(fill));
    let paths = nodes.filter_map(|node| node.attribute("d").map(str::to_string));
    paths
        .map(|path| {
            let path = path.replace(['M', 'L', 'Z'], " ");
            let numbers: Vec<f64> = path.split_whitespace().map(|n| n.parse().unwrap()).collect();
            let (xs, ys) =
                (numbers.iter().step_by(2).copied(), numbers.iter().skip(1).step_by(2).copied());
            [
                xs.clone().fold(f64::MAX, f64::min),
                ys.clone().fold(f64::MAX, f64::min),
                xs.fold(f64::MIN, f64::max),
                ys.fold(f64::MIN, f64::max),
            ]
        })
        .collect()
}

#[test]
fn the_sample_has_its_drawings_and_they_are_legible() {
    let drawings = of_coating(&sample());
    let counts = GROUPS.map(|group| of_group(&drawings, group).len());
    assert_eq!(counts, [1, 1, 1, 1]);
    check(&drawings);
    no_texts_overlap(&drawings);
}

#[test]
fn the_words_beside_the_drawings_say_the_real_figures() {
    let examined = sample();
    let drawings = of_coating(&examined);
    let alt = |group: Group| -> String {
        of_group(&drawings, group).iter().map(|drawing| drawing.alt.as_str()).collect()
    };
    let coating = &examined.recomputed.coating;
    let keel = coating.zones[0].completeness().expect("a scheme and coats");
    let map = alt(Group::CoatingMap);
    let bare = format!("A: no coat of the scheme in KL {:.3} m\u{b2}", keel.none_m2);
    assert!(map.contains(&bare), "{map}");
    let times = alt(Group::CoatingTimes);
    let coats: Vec<_> = examined.project.coats.iter().filter(|coat| coat.zone == "BP").collect();
    let named = coats.iter().filter(|coat| times.contains(&format!("{} from ", coat.name)));
    assert_eq!(named.count(), 5, "{times}");
    assert!(times.contains(&format!("and {} more", coats.len() - 5)), "{times}");
    let film = of_group(&drawings, Group::CoatingFilm)[0];
    let lettered: Vec<String> = texts(film).into_iter().map(|text| text.text).collect();
    for film_of in &coating.film {
        let zone = &examined.project.zones[film_of.zone].id;
        assert!(lettered.contains(&format!("{zone}, coat {}", film_of.coat)), "{lettered:?}");
        assert!(lettered.contains(&film_of.readings.len().to_string()), "{lettered:?}");
    }
    assert!(film.alt.contains("18 films") && film.alt.contains("accepted: 17"), "{}", film.alt);
    assert!(film.alt.contains("SP, coat 2, not accepted: half from 240 to 256"), "{}", film.alt);
}

/// Every exception of the sample has its letter on the map, and the one breach of the climate its name.
#[test]
fn exceptions_are_lettered_and_the_breach_is_named() {
    let examined = sample();
    let drawings = of_coating(&examined);
    let map: Vec<String> = of_group(&drawings, Group::CoatingMap)
        .into_iter()
        .flat_map(texts)
        .map(|text| text.text)
        .collect();
    let found = exceptions(&examined);
    let kinds: Vec<Kind> = found.placed.iter().map(|one| one.kind).collect();
    let patches = [Kind::Patch; 3];
    let first =
        [Kind::Bare, Kind::Interval, Kind::Film, Kind::Climate, Kind::Batch, Kind::Contradiction];
    assert_eq!(kinds, first.into_iter().chain(patches).collect::<Vec<_>>());
    for number in 0..found.placed.len() {
        assert!(map.contains(&super::super::letter(number)), "{number}: {map:?}");
    }
    let climate = texts(of_group(&drawings, Group::CoatingClimate)[0]);
    let named: Vec<&str> = climate
        .iter()
        .map(|text| text.text.as_str())
        .filter(|text| text.contains("(exposed)"))
        .collect();
    assert_eq!(named.len(), 1, "{named:?}");
    let named = named[0].replace('\u{a0}', " ");
    assert_eq!(named, "BS coat 3 (exposed): 2.8 K, 04-16 19:25");
}

/// Bars of the time-lines lie where the hours of the log say, by the numbers of the axis.
#[test]
fn bars_stand_at_their_hours() {
    let examined = sample();
    let drawings = of_coating(&examined);
    let times = of_group(&drawings, Group::CoatingTimes);
    let texts = texts(times[0]);
    let at = |text: &str| {
        texts.iter().find(|t| t.text == text).map(|t| t.area.middle().x).expect("a number")
    };
    let per_hour = (at("20") - at("10")) / 240.0;
    let mut bars: Vec<[f64; 4]> =
        times.iter().flat_map(|drawing| filled(drawing, super::times::FILL)).collect();
    // The legend's sample is wider than any bar.
    bars.retain(|[left, _, right, _]| right - left < 8.0);
    // Only the zone where a coat was outside its window is drawn.
    let coats: Vec<_> = examined.project.coats.iter().filter(|coat| coat.zone == "BP").collect();
    assert_eq!(bars.len(), coats.len());
    for coat in coats {
        let (began, ended) = (coat.began.expect("a time"), coat.ended.expect("a time"));
        let hours = |time: DateTime<FixedOffset>| {
            f64::from(time.day()) * 24.0 + f64::from(time.hour()) + f64::from(time.minute()) / 60.0
        };
        let middle = at("10") + ((hours(began) + hours(ended)) / 2.0 - 240.0) * per_hour;
        let near = |[left, _, right, _]: &[f64; 4]| ((left + right) / 2.0 - middle).abs() < 0.02;
        assert!(bars.iter().any(near), "{} at {middle} mm", coat.name);
    }
}

/// The one coat of the sample that went on after its window says so beside its bar, and no other does.
#[test]
fn what_was_too_late_says_so() {
    let drawings = of_coating(&sample());
    let texts: Vec<String> = of_group(&drawings, Group::CoatingTimes)
        .into_iter()
        .flat_map(texts)
        .map(|text| text.text)
        .collect();
    let said = |words: &str| texts.iter().filter(|text| *text == words).count();
    assert_eq!((said("too late"), said("too soon"), said("?")), (1, 0, 0));
}

/// Boxes reach from the lower to the upper quartile of their readings, by the numbers of the axis.
#[test]
fn boxes_lie_between_the_quartiles() {
    let examined = sample();
    let drawings = of_coating(&examined);
    let drawing = of_group(&drawings, Group::CoatingFilm)[0];
    let texts = texts(drawing);
    let foot = texts.iter().find(|text| text.text.starts_with("thickness")).expect("a title");
    let on_axis = |text: &&super::super::tests::Text| {
        text.area.bottom < foot.area.top && text.area.bottom > foot.area.top - 5.0
    };
    let mut axis: Vec<(f64, f64)> = texts
        .iter()
        .filter(on_axis)
        .filter_map(|text| Some((text.text.parse().ok()?, text.area.middle().x)))
        .filter(|(_, x)| *x > 33.0)
        .collect();
    axis.sort_by(|a, b| a.0.total_cmp(&b.0));
    let ((low, left), (high, right)) = (axis[0], axis[axis.len() - 1]);
    let per_um = (right - left) / (high - low);
    let boxes = filled(drawing, "#e4e4e4");
    // The legend's sample of a box stands below them all.
    let boxes: Vec<&[f64; 4]> = boxes.iter().filter(|one| one[3] < foot.area.top).collect();
    assert_eq!(boxes.len(), examined.recomputed.coating.film.len());
    for (film, [from, _, to, _]) in examined.recomputed.coating.film.iter().zip(boxes) {
        let [lower, _, upper] = film.statistics.expect("readings").quartiles_m;
        let at = |m: f64| left + (m * 1e6 - low) * per_um;
        assert!((at(lower) - from).abs() < 0.05 && (at(upper) - to).abs() < 0.05, "{film:?}");
    }
}

fn coating_files(zones: usize, ids: &str) -> Vec<(&'static str, String)> {
    let length = 60.0;
    let each = length / zones as f64;
    let zone = |n: usize| format!("{ids}{n}");
    let outlines = (0..zones).map(|n| {
        let (from, to) = (each * n as f64, each * (n + 1) as f64);
        [(from, -9.0), (to, -9.0), (to, 9.0), (from, 9.0)]
            .iter()
            .enumerate()
            .map(|(order, (x, y))| format!("{},bottom,{order},{x},{y},\n", zone(n)))
            .collect::<String>()
    });
    let scheme = (0..zones)
        .flat_map(|n| (1..=4).map(move |coat| (n, coat)))
        .map(|(n, coat)| format!("{},{coat},EP,125,100,200\n", zone(n)));
    let coats = (0..zones).flat_map(|n| (1..=3).map(move |coat| (n, coat))).map(|(n, coat)| {
        let day = 1 + coat * 3 + n as i64 % 3;
        let from = format!("2031-04-{day:02}T0{}:00:00+00:00", n % 9);
        let to = format!("2031-04-{day:02}T1{}:30:00+00:00", n % 9);
        format!("{},exposed,{coat},EP,{from},{to}\n", zone(n))
    });
    let climate = (0..400).map(|n| {
        let (day, hour) = (1 + n / 16, n % 16);
        let own = if n % 7 == 0 { zone(0) } else { String::new() };
        let steel = 8.0 + f64::from(n % 16) * 0.4;
        format!("2031-04-{day:02}T{hour:02}:15:00+00:00,{own},9,{},{steel}\n", 60 + n % 41)
    });
    let film = (0..zones).flat_map(|n| (1..=3).map(move |coat| (n, coat))).flat_map(|(n, coat)| {
        let reading = move |k: i64| 100 + coat * 90 + (k * k) % 97;
        (0..30).map(move |k| (n, coat, reading(k)))
    });
    let film = film.map(|(n, coat, um)| format!("{},{coat},{um}\n", zone(n)));
    let products = "[[product]]\nproduct = \"EP\"\nvolume_solids_pct = 70\n[[recoat]]\nproduct = \"EP\"\n\
                    steel_temperature_c = 0\nleast_h = 80\ngreatest_h = 90\n[[recoat]]\nproduct = \"EP\"\n\
                    steel_temperature_c = 30\nleast_h = 20\ngreatest_h = \"none\"\n";
    vec![
        docking(""),
        ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
        ("plan/bottom.csv", bottom(length, 18.0)),
        (
            "positions/positions.csv",
            "position,recorded_srp_station_m,recorded_offset_m,dry,reflood_began\n\
             P1,12,0,2031-04-01T06:00:00+00:00,2031-04-25T06:00:00+00:00\n"
                .to_string(),
        ),
        (
            "coating/zones.csv",
            "zone,kind,order,x_m,y_m,true_area_m2\n".to_string() + &outlines.collect::<String>(),
        ),
        (
            "coating/scheme.csv",
            "zone,coat,product,nominal_dft_um,least_dft_um,greatest_dft_um\n".to_string()
                + &scheme.collect::<String>(),
        ),
        (
            "coating/coats.csv",
            "zone,extent,coat,product,began,ended\n".to_string() + &coats.collect::<String>(),
        ),
        (
            "coating/climate.csv",
            "at,zone,air_temperature_c,humidity_pct,steel_temperature_c\n".to_string()
                + &climate.collect::<String>(),
        ),
        (
            "coating/film.csv",
            "zone,after_coat,reading_um\n".to_string() + &film.collect::<String>(),
        ),
        ("coating/products.toml", products.to_string()),
    ]
}

#[test]
fn thirty_zones_with_long_ids_stay_legible() {
    let drawings =
        of_coating(&examined(&coating_files(30, "zone-\u{8258}-of-the-bottom-number-00000")));
    check(&drawings);
    let few = |group: Group| of_group(&drawings, group).len();
    assert!(
        few(Group::CoatingTimes) >= 2
            && few(Group::CoatingFilm) >= 3
            && few(Group::CoatingClimate) == 1
            && few(Group::CoatingMap) == 1
    );
    for group in [Group::CoatingTimes, Group::CoatingClimate, Group::CoatingFilm] {
        let of: Vec<Drawing> = of_group(&drawings, group).into_iter().cloned().collect();
        no_texts_overlap(&of);
    }
}

#[test]
fn coats_that_are_missing_are_marked_and_coats_too_soon_say_so() {
    let drawings = of_coating(&examined(&coating_files(2, "Z")));
    check(&drawings);
    let map = of_group(&drawings, Group::CoatingMap);
    // Blocks hid some of it, which got no coat.
    assert!(map[0].alt.contains("no coat of the scheme"), "{}", map[0].alt);
    let legend: Vec<String> = texts(map[0]).into_iter().map(|text| text.text).collect();
    assert!(legend.iter().any(|words| words == "coats missing"), "{legend:?}");
    let times = of_group(&drawings, Group::CoatingTimes);
    let soon = texts(times[0]).iter().filter(|text| text.text == "too soon").count();
    assert!(soon >= 2, "{soon}");
}

#[test]
fn steel_of_which_nothing_can_be_said_is_marked_so() {
    let mut files = coating_files(2, "Z");
    files.retain(|(path, _)| *path != "coating/scheme.csv");
    let drawings = of_coating(&examined(&files));
    check(&drawings);
    let map = of_group(&drawings, Group::CoatingMap);
    assert!(texts(map[0]).iter().any(|text| text.text == "not recorded"));
}

#[test]
fn wild_figures_leave_no_paper() {
    let mut files = coating_files(2, "Z");
    for (path, text) in &mut files {
        match *path {
            "coating/climate.csv" => {
                text.push_str("2031-04-02T01:00:00+00:00,,1e15,50,1e15\n");
                text.push_str("2091-04-02T01:00:00+00:00,,9,50,9\n");
            }
            "coating/film.csv" => text.push_str("Z0,1,1e12\nZ0,2,0\n"),
            "coating/coats.csv" => {
                text.push_str(
                    "Z0,patches,4,EP,1990-01-01T00:00:00+00:00,1990-01-01T00:00:00+00:00\n",
                );
            }
            _ => {}
        }
    }
    check(&of_coating(&examined(&files)));
}

#[test]
fn without_records_of_the_coating_nothing_is_drawn() {
    let drawings = of_coating(&examined(&[
        docking(""),
        ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
        ("positions/positions.csv", positions(&[10.0], 0.0)),
    ]));
    assert!(drawings.is_empty());
}
