//! The wastage of two dockings, of rates that are known.

use geo::Coord;

use super::super::tests::{bottom, check, docking, examined, keel_blocks, no_texts_overlap, texts};
use super::super::{Drawing, Wasted, WastedPlate, WastedStrake, wastage};
use super::Pace;
use crate::findings::Examined;

fn newer(more: &str) -> Examined {
    let (path, text) = docking("length_overall_m = 60\nbreadth_m = 12\n");
    examined(&[
        (path, format!("{more}{text}")),
        ("plan/blocks.csv", keel_blocks(3, 1.4, "K")),
        ("plan/bottom.csv", bottom(60.0, 11.0)),
    ])
}

fn plate(plate: &str, at: Option<(f64, f64)>, wasted: Wasted) -> WastedPlate<'_> {
    WastedPlate { plate, at: at.map(|(x, y)| Coord { x, y }), wasted, letter: None }
}

fn strake<'a>(name: &'a str, mean: f64, plates: Vec<WastedPlate<'a>>) -> WastedStrake<'a> {
    let rates = plates.iter().filter_map(|plate| match plate.wasted {
        Wasted::Rate(rate) => Some(rate),
        _ => None,
    });
    let greatest = rates.reduce(f64::max);
    WastedStrake { name, mean_m_per_year: Some(mean), greatest_m_per_year: greatest, plates }
}

fn drawn(newer: &Examined, strakes: &[WastedStrake<'_>]) -> Drawing {
    let drawing = wastage(newer, strakes).expect("a drawing");
    check(std::slice::from_ref(&drawing));
    no_texts_overlap(std::slice::from_ref(&drawing), "wastage");
    drawing
}

fn place(drawing: &Drawing, text: &str) -> Coord<f64> {
    let mut found = texts(drawing).into_iter().filter(|one| one.text == text);
    let middle = found.next().unwrap_or_else(|| panic!("no {text}")).area.middle();
    assert!(found.next().is_none(), "{text} stands twice");
    middle
}

#[test]
fn every_rate_stands_at_its_place_and_its_mean_beside_the_strake() {
    let strakes = [
        strake(
            "A-S",
            0.0368e-3,
            vec![
                plate("1", Some((10.0, -2.0)), Wasted::Rate(0.012e-3)),
                plate("2", Some((30.0, -2.0)), Wasted::Rate(0.061e-3)),
            ],
        ),
        strake("A-P", 0.106e-3, vec![plate("1", Some((50.0, 2.0)), Wasted::Rate(0.106e-3))]),
    ];
    let drawing = drawn(&newer(""), &strakes);
    let [first, second, third] = ["0.012", "0.061", "0.106"].map(|text| {
        let of = texts(&drawing).into_iter().filter(|one| one.text == text);
        of.map(|one| one.area.middle()).next().unwrap_or_else(|| panic!("no {text}"))
    });
    // The bow to the right and to scale, port above; 20 m on paper as the axis has them.
    let metres = place(&drawing, "30").x - place(&drawing, "10").x;
    assert!(
        (second.x - first.x - metres).abs() < 0.01 && (third.x - second.x - metres).abs() < 0.01
    );
    assert!(third.y < second.y && (second.y - first.y).abs() < 1e-6);
    let mean = place(&drawing, "0.037");
    assert!(mean.x > 128.0 && (mean.y - second.y).abs() < 3.0);
    assert!(drawing.caption.starts_with("In mm a year; 3 plates gauged both times;"));
    assert!(
        drawing.alt.replace('\u{a0}', " ").contains(
            "Strake A-P goes fastest: 0.106 mm a year on average, 0.106 mm a year at most."
        )
    );
    // Black is only what goes faster than 0.1 mm a year; the legend names no other class that is not there.
    let texts: Vec<String> = texts(&drawing).into_iter().map(|text| text.text).collect();
    for (said, is_there) in [
        ("up to 0.025 mm a year", true),
        ("to 0.050", false),
        ("to 0.100", true),
        ("more than 0.100", true),
        ("renewed, or thicker than then", false),
    ] {
        assert_eq!(texts.contains(&said.to_string()), is_there, "{said}: {texts:?}");
    }
}

#[test]
fn rates_are_in_mils_where_the_project_is_in_us_units() {
    // 0.0254 mm are 1 mil (NIST SP 811, appendix B).
    let strakes =
        [strake("A-P", 0.0254e-3, vec![plate("1", Some((30.0, 2.0)), Wasted::Rate(0.0254e-3))])];
    let drawing = drawn(&newer("units = \"us\"\n"), &strakes);
    assert!(texts(&drawing).iter().filter(|text| text.text == "1.00").count() == 2);
    assert!(drawing.caption.starts_with("In mil a year;"), "{}", drawing.caption);
}

#[test]
fn what_has_no_rate_or_no_place_says_so() {
    let strakes = [strake(
        "A-P",
        0.0,
        vec![
            plate("1", Some((10.0, 2.0)), Wasted::Another),
            plate("2", Some((30.0, 2.0)), Wasted::NotKnown),
            plate("3", None, Wasted::Rate(1e-4)),
            plate("4", Some((9e5, 2.0)), Wasted::Rate(1e-4)),
        ],
    )];
    let drawing = drawn(&newer(""), &strakes);
    assert!(drawing.caption.contains("having no place: 2 gaugings"), "{}", drawing.caption);
    let texts: Vec<String> = texts(&drawing).into_iter().map(|text| text.text).collect();
    assert!(texts.contains(&"days not recorded".to_string()), "{texts:?}");
    assert!(
        wastage(&newer(""), &[strake("A", 0.0, vec![plate("1", None, Wasted::NotKnown)])])
            .is_none()
    );
}

#[test]
fn many_strakes_and_plates_stay_legible() {
    let names: Vec<String> = (0..60).map(|n| format!("strake-with-a-name-{n}")).collect();
    let plates: Vec<String> = (0..80).map(|n| format!("{n}")).collect();
    let strakes: Vec<WastedStrake<'_>> = names
        .iter()
        .zip(0..)
        .map(|(name, n)| {
            let row = plates.iter().zip(0..).map(|(one, at)| WastedPlate {
                letter: (at % 3 == 0).then(|| "AA".to_string()),
                ..plate(one, Some((f64::from(at) * 0.7, f64::from(n) - 30.5)), Wasted::Rate(9e-5))
            });
            strake(name, 9e-5, row.collect())
        })
        .collect();
    let drawing = drawn(&newer(""), &strakes);
    assert!(drawing.caption.contains("for want of room: 34 strakes"), "{}", drawing.caption);
    assert!(drawing.caption.contains("Left out for want of room"), "{}", drawing.caption);
}

#[test]
fn the_faster_a_plate_goes_the_closer_its_hatch() {
    let ink = |pace: Pace| pace.hatches().iter().map(|one| 1.0 / one.spacing_mm).sum::<f64>();
    let rates = [-1e-6, 0.025e-3, 0.026e-3, 0.05e-3, 0.051e-3, 0.1e-3, 0.101e-3];
    let paces = rates.map(|rate| Pace::of(Wasted::Rate(rate)));
    use Pace::{Fast, Little, Much, Some};
    assert_eq!(paces, [Little, Little, Some, Some, Much, Much, Fast]);
    assert!(ink(Little) < ink(Some) && 2.0 * ink(Some) < ink(Much));
}
