//! The docking on one line, of the sample and of dates that try it hard.

use super::super::drawings;
use super::super::tests::{
    check, docking, examined, keel_blocks, no_texts_overlap, of_group, sample, texts,
};
use super::*;

const TIMES: &str = "position,flooding_began,touched,landed,dry,reflood_began,afloat\n";

fn with_period(period: &str, positions: &str, climate: &[&str]) -> Examined {
    let (path, text) = docking("");
    let rows: String = climate.iter().map(|at| format!("{at},10\n")).collect();
    examined(&[
        (path, format!("{}{period}", text)),
        ("plan/blocks.csv", keel_blocks(3, 1.4, "K")),
        ("positions/positions.csv", format!("{TIMES}{positions}")),
        ("coating/climate.csv", format!("at,air_temperature_c\n{rows}")),
    ])
}

/// Ticks of a drawing: x of every line drawn with the pen of dates, without the legend's samples, which
/// stand before the line's left edge.
fn ticks(drawing: &Drawing) -> Vec<f64> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    document
        .descendants()
        .filter(|node| node.attribute("stroke-width") == Some("0.18"))
        .filter(|node| node.attribute("stroke") == Some("#000000"))
        .filter_map(|node| node.attribute("d"))
        .flat_map(|path| path.split('M').skip(1))
        .filter_map(|part| part.split([' ', 'L']).next()?.parse().ok())
        .filter(|x| *x >= LINE_MM.0)
        .collect()
}

#[test]
fn the_sample_has_a_row_for_every_file_with_dates() {
    let examined = sample();
    let drawings = drawings(&examined);
    no_texts_overlap(&drawings, "chronology");
    let line = of_group(&drawings, Group::Chronology)[0];
    let texts = texts(line);
    for sheet in &examined.project.sheets {
        let path = sheet.spec.path;
        let dated =
            examined.recomputed.chronology.dated.iter().any(|dated| *dated.place.file == *path);
        assert_eq!(texts.iter().any(|text| text.text == path), dated, "{path}");
    }
    assert!(texts.iter().any(|text| text.text == "P1, dock dry"));
    assert!(texts.iter().any(|text| text.text == "April 2031"));
    for said in [
        "Water in the dock (P1) from 2031-04-07 05:10 +01:00 to 2031-04-07 16:50 +01:00.",
        "Water in the dock (P2) from 2031-04-29 05:40 +01:00.",
        "coating/film.csv: 1917 dates from 2031-04-11 to",
    ] {
        assert!(line.alt.contains(said), "{}", line.alt);
    }
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
    assert!(line.caption.contains("Outside these days, and so not drawn: 1 date."));
    assert!(line.caption.contains("does not say whether the dock was dry"));
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
    assert!(!line.alt.contains("Dock dry"), "{}", line.alt);
    assert!(
        line.alt.contains("Water in the dock (P1) from 2031-04-04 06:00 +00:00."),
        "{}",
        line.alt
    );
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
