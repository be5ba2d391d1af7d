//! The drawings of the landing, of the sample and of projects that try them hard.

use super::super::tests::{
    bottom, check, docking, examined, keel_blocks, no_line_crosses_a_text, no_texts_overlap,
    of_group, positions, sample, texts,
};
use super::super::{Drawing, Group, drawings};

const GROUPS: [Group; 7] = [
    Group::LandingDrafts,
    Group::LandingCurve,
    Group::LandingWater,
    Group::LandingLoads,
    Group::LandingBending,
    Group::LandingGaps,
    Group::UndockingWater,
];

/// The drawings of a group that letter a position.
fn of<'a>(drawings: &'a [Drawing], group: Group, position: &str) -> Vec<&'a Drawing> {
    let mut of = of_group(drawings, group);
    let begins = [format!("{position}:"), format!("{position},")];
    of.retain(|drawing| {
        let texts = texts(drawing);
        texts.iter().any(|text| begins.iter().any(|begin| text.text.starts_with(begin)))
    });
    of
}

/// What holds for all drawings of the landing.
fn check_landing(drawings: &[Drawing]) {
    check(drawings);
    no_texts_overlap(drawings, "landing");
    no_line_crosses_a_text(drawings, "landing");
    for drawing in drawings.iter().filter(|drawing| drawing.name.starts_with("landing")) {
        let Drawing { name, title, caption, alt, .. } = drawing;
        assert!(drawing.height_mm <= 222.0, "{name} is {} mm high", drawing.height_mm);
        assert!(!alt.contains(title.as_str()) && !alt.contains(caption.as_str()), "{name}: {alt}");
        // A line of the page at the size of captions.
        assert!(
            title.chars().count() + caption.chars().count() < 112,
            "{name}: {title}. {caption}"
        );
        let texts = texts(drawing);
        assert!(texts.iter().all(|text| text.size_pt >= 6.99), "{name}: {texts:?}");
    }
}

#[test]
fn positions_of_the_sample_share_their_drawings() {
    let drawings = drawings(&sample());
    check_landing(&drawings);
    for group in GROUPS {
        let all = of_group(&drawings, group);
        assert_eq!(all.len(), 1, "{group:?}");
        assert!(all[0].position.is_none());
        for position in ["P1", "P2"] {
            assert_eq!(of(&drawings, group, position).len(), 1, "{group:?} {position}");
        }
    }
    let drafts = texts(of_group(&drawings, Group::LandingDrafts)[0]);
    assert!(drafts.iter().any(|text| text.text.starts_with("arrival:")), "{drafts:?}");
}

#[test]
fn the_words_beside_the_drawings_say_the_real_figures() {
    let examined = sample();
    let drawings = drawings(&examined);
    let alt = |group: Group| -> String {
        of_group(&drawings, group).iter().map(|drawing| drawing.alt.as_str()).collect()
    };
    let finding = |id: &str| {
        let finding = examined.findings.iter().find(|finding| finding.id == id);
        let figure = finding.and_then(|finding| finding.recomputed.as_ref());
        figure.map(|figure| figure.plain()).unwrap_or_default()
    };
    for position in ["P1", "P2"] {
        for (group, about) in [
            (Group::LandingCurve, "gm"),
            (Group::LandingWater, "water_touched"),
            (Group::LandingWater, "water_landed"),
            (Group::LandingBending, "loads.bending"),
            (Group::LandingBending, "loads.shear"),
        ] {
            let id = format!("landing.{position}.{about}");
            let figure = finding(&id);
            let alt = alt(group);
            // A drawing writes the true minus.
            let figure = figure.replace('-', "\u{2212}");
            assert!(!figure.is_empty() && alt.contains(&figure), "{id} {figure}: {alt}");
        }
    }
    for (group, said) in [
        (Group::LandingDrafts, "3.48 m, set aside, to port"),
        (Group::LandingLoads, "on K28"),
        (Group::LandingLoads, "left out: BS6."),
        (Group::LandingGaps, "the greatest 47 mm at K64"),
        (Group::LandingGaps, "1 beyond the tolerance"),
    ] {
        assert!(alt(group).contains(said), "{said}: {}", alt(group));
    }
}

/// Each event of the water log stands on the curve by its words, and none by a number.
#[test]
fn the_words_of_the_events_stand_on_the_curve() {
    let examined = sample();
    let drawings = drawings(&examined);
    let lettered = |group: Group| -> Vec<String> {
        of_group(&drawings, group).into_iter().flat_map(texts).map(|text| text.text).collect()
    };
    let water = [lettered(Group::LandingWater), lettered(Group::UndockingWater)].concat();
    let mut seen = 0;
    for reading in &examined.project.water {
        let Some(event) = reading.event.as_deref() else { continue };
        let time = reading.at.format("%H:%M").to_string();
        let word = match event {
            "other" => reading.notes.as_deref().unwrap_or_default().chars().take(9).collect(),
            event => event.replace('-', " "),
        };
        let is_it = |text: &&String| text.starts_with(&word) && text.ends_with(&time);
        assert!(water.iter().any(|text| is_it(&text)), "{word} {time}: {water:?}");
        seen += 1;
    }
    assert_eq!(seen, 32);
    // Nothing is said twice, though times stand among the positions, too.
    let began = water.iter().filter(|text| text.starts_with("flooding began")).count();
    assert_eq!(began, 2, "{water:?}");
    let curve = lettered(Group::LandingCurve);
    for words in ["first touch 11:42", "halt for the divers 11:45", "landed 12:31", "landed 13:52"]
    {
        assert!(curve.iter().any(|text| text == words), "{words}: {curve:?}");
    }
}

#[test]
fn times_that_the_log_does_not_name_stand_on_the_curve_as_well() {
    let mut files = landing_files(20, 1.4, "K");
    for (path, text) in &mut files {
        if *path == "positions/positions.csv" {
            *text = "position,recorded_srp_station_m,recorded_offset_m,touched,landed\n\
                     P1,12,0,2031-04-01T07:00:00+00:00,2031-04-01T07:30:00+00:00\n"
                .to_string();
        }
    }
    let log = "position,at,level_m,event\nP1,2031-04-01T06:00:00+00:00,2,pumping-began\n\
               P1,2031-04-01T07:28:00+00:00,1,landed\nP1,2031-04-01T09:00:00+00:00,-2,\n";
    files.push(("landing/water.csv", log.to_string()));
    let drawings = drawings(&examined(&files));
    check_landing(&drawings);
    let texts: Vec<String> = of(&drawings, Group::LandingWater, "P1")
        .into_iter()
        .flat_map(texts)
        .map(|t| t.text)
        .collect();
    assert!(texts.iter().any(|text| text == "first touch 07:00"), "{texts:?}");
    assert_eq!(texts.iter().filter(|text| text.starts_with("landed")).count(), 1, "{texts:?}");
}

/// Drawings in which positions stand above each other have one scale for all of them.
#[test]
fn positions_above_each_other_have_one_scale() {
    let drawings = drawings(&sample());
    for group in [Group::LandingLoads, Group::LandingGaps, Group::LandingWater] {
        let texts = texts(of_group(&drawings, group)[0]);
        let frames: Vec<_> = texts.iter().filter(|t| t.text.contains(": ")).collect();
        let numbers = |from: f64, to: f64| -> Vec<&str> {
            let number = |text: &&super::super::tests::Text| {
                text.area.right < 13.0 && text.area.top > from && text.area.top < to
            };
            texts.iter().filter(number).map(|text| text.text.as_str()).collect()
        };
        let of = |kind: &str| -> Vec<Vec<&str>> {
            let tops = frames.iter().enumerate().filter(|(_, text)| text.text.contains(kind));
            let next = |n: usize| frames.get(n + 1).map_or(1e3, |text| text.area.top);
            tops.map(|(n, text)| numbers(text.area.bottom, next(n))).collect()
        };
        for kind in ["keel row", "bilge, port", "water level", "load on the blocks"] {
            let scales = of(kind);
            assert!(scales.iter().all(|numbers| *numbers == scales[0]), "{kind}: {scales:?}");
            assert!(scales.iter().all(|numbers| numbers.len() > 1), "{kind}: {scales:?}");
        }
    }
}

/// A bar's height against its axis is the load that the calculation found.
#[test]
fn bars_are_as_high_as_the_loads() {
    let examined = sample();
    let drawings = drawings(&examined);
    let drawing = of_group(&drawings, Group::LandingLoads)[0];
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let mut highest = 0.0_f64;
    for node in document.descendants().filter(|n| n.attribute("fill") == Some("#e4e4e4")) {
        let path = node.attribute("d").unwrap_or_default().replace(['M', 'L', 'Z'], " ");
        let numbers: Vec<f64> = path.split_whitespace().filter_map(|n| n.parse().ok()).collect();
        let ys = || numbers.iter().skip(1).step_by(2).copied();
        let (top, foot) = (ys().fold(f64::MAX, f64::min), ys().fold(0.0, f64::max));
        // The first frame is that of the keel row in P1; the legend's sample lies under all of them.
        if foot < 26.0 {
            highest = highest.max(foot - top);
        }
    }
    let texts = texts(drawing);
    let at = |text: &str| {
        texts.iter().find(|t| t.text == text).map(|t| t.area.middle().y).expect("a number")
    };
    let per_mm = 100.0 / (at("0") - at("100"));
    let found = examined.recomputed.loads[0].girder.as_ref().expect("loads");
    let most = found.loads_kn.iter().copied().fold(0.0, f64::max) / 9.80665;
    assert!((highest * per_mm - most).abs() < 0.5, "{} {most}", highest * per_mm);
}

fn landing_files(blocks: usize, pitch_m: f64, name: &str) -> Vec<(&'static str, String)> {
    let length = blocks as f64 * pitch_m;
    let ends = format!(
        "length_overall_m = {length}\nbreadth_m = 20\naft_perpendicular_x_m = 0\n\
         forward_perpendicular_x_m = {length}\n[hydrostatics]\nlcb_lcf_from_x_m = {}\n\
         water_density_t_m3 = 1.025\ntrim_m = 0\n[stability]\nkg_m = 6",
        length / 2.0
    );
    let rows = (0..40).map(|n| {
        let draft = 1.0 + f64::from(n) * 0.2;
        let area = length * 16.0 * 1.025;
        let mct = area * length * length / 12.0 / 100.0 / length;
        format!("{draft},{},0,0,{},{mct},9\n", area * draft, area / 100.0)
    });
    let table = "draft_m,displacement_t,lcb_m,lcf_m,tpc_t_per_cm,mct_tm_per_cm,km_m\n".to_string()
        + &rows.collect::<String>();
    let weight = length * 16.0 * 1.025 * 4.0;
    let keel = keel_blocks(blocks, pitch_m, name)
        .replace("positions\n", "positions,top_level_m\n")
        .replace(",0,\n", ",0,,-3\n");
    let drafts = [(0.05, 4.3), (0.5, 4.05), (0.95, 3.8)].map(|(part, draft)| {
        let x = part * length;
        format!("P1,before-landing,{x},5,{draft},1025\nP1,before-landing,{x},-5,{draft},1025\n")
    });
    let gaps = (0..blocks).map(|n| format!("P1,\"{name}{n}\",{}\n", n % 40));
    vec![
        docking(&ends),
        ("plan/blocks.csv", keel),
        ("plan/bottom.csv", bottom(length, 18.0)),
        ("positions/positions.csv", positions(&[12.0], 0.0)),
        (
            "plan/layers.csv",
            "block,row,order,material,thickness_mm,area_m2,elastic_modulus_gpa\n\
             ,keel,1,oak,900,0.7,0.3\n"
                .to_string(),
        ),
        ("landing/hydrostatics.csv", table),
        (
            "landing/drafts.csv",
            "position,occasion,mark_x_m,mark_y_m,draft_m,water_density_kg_m3\n".to_string()
                + &drafts.concat(),
        ),
        (
            "landing/weights.csv",
            format!("from_x_m,to_x_m,mass_t,centre_x_m\n0,{length},{weight},{}\n", length / 2.0),
        ),
        (
            "landing/stiffness.csv",
            format!(
                "from_x_m,to_x_m,second_moment_m4,shear_area_m2,elastic_modulus_gpa,\
                 shear_modulus_gpa\n0,{length},5,0.3,206,79\n"
            ),
        ),
        ("landing/gaps.csv", "position,block,gap_mm\n".to_string() + &gaps.collect::<String>()),
    ]
}

#[test]
fn four_hundred_blocks_are_cut_into_strips() {
    let examined = examined(&landing_files(400, 0.7, "keel-\u{8258}-block-number-000000000000"));
    assert!(
        examined.recomputed.loads[0].girder.is_some(),
        "{:?}",
        examined.recomputed.loads[0].why_not
    );
    let drawings = drawings(&examined);
    check_landing(&drawings);
    assert_eq!(of(&drawings, Group::LandingLoads, "P1").len(), 5);
    assert_eq!(of(&drawings, Group::LandingGaps, "P1").len(), 5);
    assert_eq!(of(&drawings, Group::LandingCurve, "P1").len(), 1);
}

#[test]
fn a_log_of_many_events_and_wild_levels_stays_legible() {
    let mut log = "position,at,level_m,event\n".to_string();
    for n in 0..50 {
        let (day, minute) = (1 + n / 30 * 3, n % 30);
        let level = 4.0 - f64::from(n) * 0.1;
        log.push_str(&format!("P1,2031-04-{day:02}T06:{minute:02}:00+00:00,{level},halt\n"));
    }
    log.push_str("P1,2031-04-20T06:00:00+00:00,1e15,halt\nP1,2031-04-20T07:00:00+00:00,2,\n");
    log.push_str("P1,2031-05-20T06:00:00+00:00,3,halt\n");
    let mut files = landing_files(20, 1.4, "K");
    files.push(("landing/water.csv", log));
    let drawings = drawings(&examined(&files));
    check_landing(&drawings);
    // The last reading stands alone and makes no line.
    assert!(of(&drawings, Group::LandingWater, "P1").len() >= 2);
}

#[test]
fn drafts_that_no_ship_has_are_not_drawn() {
    let mut files = landing_files(20, 1.4, "K");
    for file in &mut files {
        if file.0 == "landing/drafts.csv" {
            file.1 = file.1.replace(",4.3,", ",4e5,").replace(",3.8,", ",0.001,");
        }
    }
    let drawings = drawings(&examined(&files));
    check(&drawings);
    assert!(of_group(&drawings, Group::LandingDrafts).is_empty());
}

#[test]
fn a_position_that_cannot_be_placed_still_shows_its_water() {
    let positions = "position,recorded_srp_station_m,recorded_offset_m\nposition-2,10,0\nP2,,\n";
    let water = "position,at,level_m,event\nP2,2031-04-01T06:00:00+00:00,2,pumping-began\n\
                 P2,2031-04-01T08:00:00+00:00,1,\n";
    let drawings = drawings(&examined(&[
        docking(""),
        ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
        ("positions/positions.csv", positions.to_string()),
        ("landing/water.csv", water.to_string()),
    ]));
    check_landing(&drawings);
    assert_eq!(of(&drawings, Group::LandingWater, "P2").len(), 1);
}

#[test]
fn without_records_of_the_landing_nothing_is_drawn() {
    let drawings = drawings(&examined(&[
        docking(""),
        ("plan/blocks.csv", keel_blocks(20, 1.4, "K")),
        ("positions/positions.csv", positions(&[10.0], 0.0)),
    ]));
    assert!(drawings.iter().all(|drawing| !drawing.name.starts_with("landing")));
}

/// A log from flooding to dry.
fn water(positions: usize) -> (&'static str, String) {
    let mut log = "position,at,level_m,event\n".to_string();
    for n in 1..=positions {
        for (hour, level, event) in [
            (6, 2.0, "pumping-began"),
            (7, 1.1, "first-touch"),
            (8, 0.9, "halt"),
            (9, 0.8, "landed"),
            (13, -4.0, "dry"),
        ] {
            log.push_str(&format!("P{n},2031-04-0{n}T{hour:02}:00:00+00:00,{level},{event}\n"));
        }
    }
    ("landing/water.csv", log)
}

/// The same ship in several positions, with all that is drawn of each.
fn several(count: usize) -> Vec<(&'static str, String)> {
    let mut files = landing_files(20, 1.4, "K");
    let stations: Vec<f64> = (0..count).map(|n| 12.0 - 0.3 * n as f64).collect();
    for (path, text) in &mut files {
        match *path {
            "positions/positions.csv" => *text = positions(&stations, 0.0),
            "landing/drafts.csv" | "landing/gaps.csv" => {
                let (head, rows) = text.split_once('\n').expect("a header");
                let rows = (1..=count).map(|n| rows.replace("P1,", &format!("P{n},")));
                *text = format!("{head}\n{}", rows.collect::<String>());
            }
            _ => {}
        }
    }
    files.push(water(count));
    files
}

#[test]
fn one_three_and_seven_positions_are_all_drawn() {
    for count in [1, 3, 7] {
        let examined = examined(&several(count));
        assert!(examined.recomputed.landings.iter().all(|landing| landing.critical.is_some()));
        assert!(examined.recomputed.loads.iter().all(|loads| loads.girder.is_some()));
        let drawings = drawings(&examined);
        check_landing(&drawings);
        for group in [
            Group::LandingDrafts,
            Group::LandingCurve,
            Group::LandingWater,
            Group::LandingLoads,
            Group::LandingBending,
            Group::LandingGaps,
        ] {
            for n in 1..=count {
                let shown = of(&drawings, group, &format!("P{n}")).len();
                assert_eq!(shown, 1, "{group:?} of P{n} of {count}");
            }
        }
        let sheets = of_group(&drawings, Group::LandingLoads).len();
        assert_eq!(sheets, if count == 7 { 2 } else { 1 }, "{count}");
    }
}
