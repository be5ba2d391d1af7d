//! The drawings of the landing, of the sample and of projects that try them hard.

use super::super::tests::{
    bottom, check, docking, examined, keel_blocks, no_texts_overlap, of_group, positions, sample,
    texts,
};
use super::super::{Drawing, Group, drawings};

const GROUPS: [Group; 6] = [
    Group::LandingDrafts,
    Group::LandingCurve,
    Group::LandingWater,
    Group::LandingFall,
    Group::LandingLoads,
    Group::LandingGaps,
];

fn of<'a>(drawings: &'a [Drawing], group: Group, position: &str) -> Vec<&'a Drawing> {
    let mut of = of_group(drawings, group);
    of.retain(|drawing| drawing.position.as_deref() == Some(position));
    of
}

#[test]
fn every_position_of_the_sample_has_its_drawings() {
    let drawings = drawings(&sample());
    for (position, expected) in [("P1", [1, 1, 2, 1, 1, 2]), ("P2", [1, 1, 2, 1, 1, 1])] {
        let counts = GROUPS.map(|group| of(&drawings, group, position).len());
        assert_eq!(counts, expected, "{position}");
    }
    let arrival = drawings.iter().find(|drawing| drawing.name == "landing-arrival");
    assert!(arrival.is_some_and(|drawing| drawing.position.is_none()));
}

#[test]
fn the_words_beside_the_drawings_say_the_real_figures() {
    let examined = sample();
    let drawings = drawings(&examined);
    let alt = |group: Group| -> String {
        of(&drawings, group, "P1").iter().map(|drawing| drawing.alt.as_str()).collect()
    };
    let finding = |id: &str| {
        let finding = examined.findings.iter().find(|finding| finding.id == id);
        let figure = finding.and_then(|finding| finding.recomputed.as_ref());
        figure.map(|figure| figure.plain()).unwrap_or_default()
    };
    for (group, id) in [
        (Group::LandingCurve, "landing.P1.gm"),
        (Group::LandingCurve, "landing.P1.trim"),
        (Group::LandingWater, "landing.P1.water_touched"),
        (Group::LandingWater, "landing.P1.water_landed"),
    ] {
        let figure = finding(id);
        assert!(
            !figure.is_empty() && alt(group).contains(&figure),
            "{id} {figure}: {}",
            alt(group)
        );
    }
    assert!(
        alt(Group::LandingDrafts).contains("3.48 m, set aside"),
        "{}",
        alt(Group::LandingDrafts)
    );
    assert!(alt(Group::LandingLoads).contains("on K28"), "{}", alt(Group::LandingLoads));
    assert!(alt(Group::LandingLoads).contains("Left out: BS6."), "{}", alt(Group::LandingLoads));
    assert!(
        alt(Group::LandingGaps).contains("the greatest 47 mm at K64"),
        "{}",
        alt(Group::LandingGaps)
    );
}

/// A bar's height against its axis is the load that the calculation found.
#[test]
fn bars_are_as_high_as_the_loads() {
    let examined = sample();
    let drawings = drawings(&examined);
    let drawing = of(&drawings, Group::LandingLoads, "P1")[0];
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let mut highest = 0.0_f64;
    for node in document.descendants().filter(|n| n.attribute("fill") == Some("#e4e4e4")) {
        let path = node.attribute("d").unwrap_or_default().replace(['M', 'L', 'Z'], " ");
        let numbers: Vec<f64> = path.split_whitespace().filter_map(|n| n.parse().ok()).collect();
        let ys = || numbers.iter().skip(1).step_by(2).copied();
        let (top, foot) = (ys().fold(f64::MAX, f64::min), ys().fold(0.0, f64::max));
        // The legend's sample lies under the panels.
        if foot < 60.0 {
            highest = highest.max(foot - top);
        }
    }
    let texts = texts(drawing);
    let at = |text: &str| {
        texts.iter().find(|t| t.text == text).map(|t| t.area.middle().y).expect("a number")
    };
    let per_mm = 250.0 / (at("0") - at("250"));
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
    check(&drawings);
    no_texts_overlap(&drawings, "landing");
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
    check(&drawings);
    no_texts_overlap(&drawings, "landing");
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
    assert!(of(&drawings, Group::LandingDrafts, "P1").is_empty());
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
    check(&drawings);
    let water = of(&drawings, Group::LandingWater, "P2");
    assert_eq!(water.len(), 1);
    assert!(water[0].name.starts_with("landing-position-2"), "{}", water[0].name);
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
