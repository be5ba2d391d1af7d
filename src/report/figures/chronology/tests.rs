//! The docking on one line, of the sample and of dates that try it hard.

use super::super::drawings;
use super::super::tests::{
    check, docking, examined, keel_blocks, no_texts_overlap, of_group, sample, texts,
};
use super::*;

const TIMES: &str = "position,flooding_began,touched,landed,dry,reflood_began,afloat\n";

fn with_period(period: &str, positions: &str, climate: &[&str]) -> Examined {
    with_files(period, positions, climate, &[])
}

/// The same with other files; the air is nearly wet, and so over the limit.
fn with_files(
    period: &str,
    positions: &str,
    climate: &[&str],
    more: &[(&str, String)],
) -> Examined {
    let (path, text) = docking("");
    let rows: String = climate.iter().map(|at| format!("{at},10,95\n")).collect();
    let mut files = vec![
        (path, format!("{}{period}", text)),
        ("plan/blocks.csv", keel_blocks(3, 1.4, "K")),
        ("positions/positions.csv", format!("{TIMES}{positions}")),
        ("coating/climate.csv", format!("at,air_temperature_c,humidity_pct\n{rows}")),
    ];
    files.extend(more.iter().cloned());
    examined(&files)
}

/// Ticks of a drawing: x of every line drawn with the pen of readings, without the legend's samples, which
/// stand below the frame.
fn ticks(drawing: &Drawing) -> Vec<f64> {
    strokes(drawing, "0.22", "none")
}

/// x of the beginning of every path that is drawn with a pen so wide and filled so, above the legend.
fn strokes(drawing: &Drawing, width: &str, fill: &str) -> Vec<f64> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let legend = texts(drawing)
        .iter()
        .find(|text| text.text.starts_with("dock dry,"))
        .map(|text| text.area.bottom);
    let legend = legend.expect("a legend") - 4.0;
    document
        .descendants()
        .filter(|node| node.attribute("stroke-width") == Some(width))
        .filter(|node| node.attribute("fill") == Some(fill))
        .filter_map(|node| node.attribute("d"))
        .flat_map(|path| path.split('M').skip(1))
        .filter_map(|part| {
            let (x, rest) = part.split_once(' ')?;
            let y: f64 = rest.split(['L', ' ']).next()?.parse().ok()?;
            (y < legend).then_some(x.parse().ok()?)
        })
        .collect()
}

#[test]
fn the_sample_shows_water_openings_coats_weather_and_checks_on_one_axis() {
    let examined = sample();
    let drawings = drawings(&examined);
    check(&drawings);
    no_texts_overlap(&drawings, "chronology");
    let line = of_group(&drawings, Group::Chronology)[0];
    let texts = texts(line);
    let rows = [
        "coats, KL",
        "coats, SS",
        "weather over limits",
        "weather noted",
        "landing checks",
        "openings",
    ];
    for row in rows {
        assert!(texts.iter().any(|text| text.text == row), "{row}");
    }
    assert!(texts.iter().any(|text| text.text == "P1, dock dry"));
    assert!(texts.iter().any(|text| text.text == "April 2031"));
    // The one coat of the sample that went on in weather beyond a limit.
    assert!(texts.iter().any(|text| text.text == "BS 3"));
    assert!((100.0..150.0).contains(&line.height_mm), "{}", line.height_mm);
    for said in [
        "Dry in P1 7 Apr 16:50 to 22 Apr 06:20.",
        "KL: 8 coats, 10 Apr to 27 Apr.",
        "14 landing checks.",
    ] {
        assert!(line.alt.contains(said), "{}", line.alt);
    }
    assert!(line.title.chars().count() + line.caption.chars().count() < 100, "{}", line.caption);
}

#[test]
fn a_tick_stands_at_its_time() {
    let period = "began = 2031-04-01\nended = 2031-04-04\n";
    let dates = ["2031-04-01T00:00:00Z", "2031-04-03T12:00:00Z", "2013-04-03T12:00:00Z"];
    let drawings = drawings(&with_period(period, "", &dates));
    check(&drawings);
    let line = of_group(&drawings, Group::Chronology)[0];
    let wanted = [0.0, 2.5 / 4.0].map(|part| LINE_MM.0 + part * (LINE_MM.1 - LINE_MM.0));
    let found = ticks(line);
    assert_eq!(found.len(), 2, "{found:?}");
    for (found, wanted) in found.iter().zip(wanted) {
        assert!((found - wanted).abs() <= ONE_TICK_MM / 2.0 + 1e-3, "{found} {wanted}");
    }
    assert!(line.note.contains("Outside these days, and so not drawn: 1 date."));
    assert!(line.note.contains("wet or dry is not recorded"));
}

const ZONES: &str = "zone,kind,order,x_m,y_m\n";
const COATS: &str = "zone,extent,coat,product,began,ended\n";
const PRODUCTS: &str = "[[product]]\nproduct = \"EP1\"\n";

fn coating(zones: usize, coats: &[String]) -> Vec<(&'static str, String)> {
    let corners = [(0, 0), (5, 0), (5, 2)];
    let zones: String = (0..zones)
        .flat_map(|zone| {
            let corners = corners.iter().enumerate();
            corners
                .map(move |(n, (x, y))| format!("Z{zone},bottom,{},{},{y}\n", n + 1, x + 6 * zone))
        })
        .collect();
    vec![
        ("coating/zones.csv", format!("{ZONES}{zones}")),
        ("coating/products.toml", PRODUCTS.to_string()),
        ("coating/coats.csv", format!("{COATS}{}", coats.concat())),
    ]
}

#[test]
fn a_coat_is_a_bar_from_its_start_to_its_finish() {
    let period = "began = 2031-04-01\nended = 2031-04-04\n";
    let coats = ["Z0,all,1,EP1,2031-04-02T00:00:00Z,2031-04-03T00:00:00Z\n".to_string()];
    let drawings = drawings(&with_files(period, "", &[], &coating(1, &coats)));
    check(&drawings);
    let line = of_group(&drawings, Group::Chronology)[0];
    let bars = strokes(line, "0.25", "#000000");
    let wanted = LINE_MM.0 + (LINE_MM.1 - LINE_MM.0) / 4.0;
    assert!(bars.len() == 1 && (bars[0] - wanted).abs() < 1e-3, "{bars:?}");
    let number = texts(line)
        .into_iter()
        .find(|text| text.text == "1" && text.area.left > wanted)
        .expect("a number");
    let end = LINE_MM.0 + (LINE_MM.1 - LINE_MM.0) / 2.0;
    assert!(number.area.left > end && number.area.left < end + 1.0, "{number:?}");
}

#[test]
fn openings_are_counted_while_both_times_say_that_they_were_open() {
    let period = "began = 2031-04-01\nended = 2031-04-04\n";
    let openings = "opening,kind,x_m,y_m,diameter_mm,opened_at,closed_at\n\
         A,intake,1,0,100,2031-04-01T06:00:00Z,2031-04-03T06:00:00Z\n\
         B,intake,2,0,100,2031-04-02T06:00:00Z,2031-04-02T18:00:00Z\n\
         C,intake,3,0,100,2031-04-02T18:00:00Z,2031-04-03T18:00:00Z\n\
         D,intake,4,0,100,2031-04-02T06:00:00Z,\n";
    let files = [("plan/openings.csv", openings.to_string())];
    let drawings = drawings(&with_files(period, "", &[], &files));
    check(&drawings);
    let line = of_group(&drawings, Group::Chronology)[0];
    // B is shut when C is opened: never more than two of the three. D has no closing, and is not counted.
    assert!(line.alt.contains("Open at once: 2 openings at most."), "{}", line.alt);
    assert!(line.note.contains("1 opening"), "{}", line.note);
}

#[test]
fn a_docking_of_many_days_zones_and_coats_stays_legible() {
    let period = "began = 2031-01-01\nended = 2031-12-31\n";
    for zones in [5, 30] {
        let coats: Vec<String> = (0..300)
            .map(|n| {
                let day = format!("2031-{:02}-{:02}", 1 + n / 28, 1 + n % 28);
                format!("Z{},all,{},EP1,{day}T08:00:00Z,{day}T12:00:00Z\n", n % zones, 1 + n / 30)
            })
            .collect();
        let drawings = drawings(&with_files(period, "", &[], &coating(zones, &coats)));
        check(&drawings);
        no_texts_overlap(&drawings, "chronology");
        let line = of_group(&drawings, Group::Chronology)[0];
        assert!(line.height_mm < 130.0 && line.alt.chars().count() < 500, "{}", line.height_mm);
        let shared = texts(line).iter().any(|text| text.text == "coats, all zones");
        assert_eq!(shared, zones > MOST_ZONES);
    }
}

#[test]
fn a_dock_whose_times_are_not_all_known_is_not_guessed_at() {
    // Dry is not recorded: neither the water nor the dry spell has both ends.
    let open = "P1,2031-04-01T06:00:00Z,,,,2031-04-04T06:00:00Z,2031-04-04T09:00:00Z\n";
    let period = "began = 2031-04-01\nended = 2031-04-05\n";
    let drawings = drawings(&with_period(period, open, &[]));
    check(&drawings);
    let line = of_group(&drawings, Group::Chronology)[0];
    assert!(
        !texts(line)
            .iter()
            .any(|text| text.text.contains("dock dry") && text.text != "dock dry, or water let in")
    );
    assert!(!line.alt.contains("Dry in"), "{}", line.alt);
    assert!(line.note.contains("wet or dry is not recorded"), "{}", line.note);
}

#[test]
fn long_short_and_missing_periods_stay_legible() {
    let at = ["2031-04-03T12:00:00Z", "2031-04-05T12:00:00Z"];
    for (period, days) in [
        ("", 3),
        ("began = 2031-04-03\nended = 2031-04-03\n", 1),
        ("began = 2031-01-01\nended = 2031-03-11\n", 70),
        ("began = 2031-01-20\nended = 2032-09-30\n", 620),
        ("began = 0001-01-01\nended = 9999-12-31\n", 3_652_059),
    ] {
        let examined = with_period(period, "", &at);
        let line = Line::new(&examined.project, &examined.recomputed.chronology.dated);
        assert_eq!(line.map(|line| line.days), Some(days), "{period}");
        let drawings = drawings(&examined);
        check(&drawings);
        no_texts_overlap(&drawings, "chronology");
        assert_eq!(of_group(&drawings, Group::Chronology).len(), 1, "{period}");
    }
    let backward = with_period("began = 2031-04-09\nended = 2031-04-03\n", "", &at);
    assert!(of_group(&drawings(&backward), Group::Chronology).is_empty());
    let undated = with_period("began = 2031-04-03\nended = 2031-04-09\n", "", &[]);
    assert!(of_group(&drawings(&undated), Group::Chronology).is_empty());
}
