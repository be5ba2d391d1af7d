//! Choices of the plan's positions against shapely 2.2 (GEOS), run on the same tables: areas hidden in all positions of a
//! choice, the shortest order, openings that are never clear, docking plugs under caps.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use crate::common::{copy, program, run, sample, temporary};
use crate::judge::{content, judge};

/// Runs the program on a project, and the judge on its answer.
#[track_caller]
fn judged(project: &Path, wanted: &str) {
    let mut shifts = program();
    let said = run(shifts.args(["shifts", "--among", "all", "--json"]).arg(project));
    let answer = project.with_extension("json");
    fs::write(&answer, said.json().to_string()).expect("written");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/choices.py");
    let said = content(judge("python").arg(script).arg(project).arg(&answer));
    assert!(said.out.contains(wanted), "{}", said.out);
}

#[test]
#[ignore = "needs the PyPI package shapely, see tests/outside/README.md"]
fn choices_on_the_samples_blocks() {
    let folder = temporary();
    let project = folder.path().join("project");
    copy(&sample(), &project);
    let header = "plan_position,srp_station_m,offset_m,left_out\n";
    let rows =
        "1,14.30,0,BS6\n2,13.95,0.02,BS6;K23\n3,13.60,0,K10;K11\n4,12.99,-0.03,\n5,13.1,0,BP3\n";
    fs::write(project.join("plan/positions.csv"), format!("{header}{rows}")).expect("written");
    judged(&project, "31 choices, ");
}

/// Rows of blocks of any length, pitch and skew, cut to an outline or not, with openings among them.
#[test]
#[ignore = "needs the PyPI package shapely, see tests/outside/README.md"]
fn choices_on_blocks_by_chance() {
    // A generator of our own, so that each run judges the same cases.
    let mut state: u64 = 20_440_501;
    let mut spread = |from: f64, to: f64| {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let part = (state >> 33) as f64 / (1u64 << 31) as f64;
        ((from + part * (to - from)) * 1000.0).round() / 1000.0
    };
    for case in 0..25 {
        let folder = temporary();
        let project = folder.path().join("project");
        fs::create_dir_all(project.join("plan")).expect("a folder");
        let write = |file: &str, text: &str| fs::write(project.join(file), text).expect("written");
        write(
            "docking.toml",
            "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n",
        );
        let mut blocks = "block,row,station_m,offset_m,length_m,width_m,skew_deg\n".to_string();
        for (row, offset, most_deg) in [("keel", 0.0, 2.0), ("bilge-port", 2.4, 20.0)] {
            let (length, width, pitch) = (spread(0.4, 1.3), spread(0.6, 1.2), spread(1.4, 2.9));
            for n in 0..14 {
                let station = 20.0 + f64::from(n) * pitch;
                let skew = spread(-most_deg, most_deg);
                let _ = writeln!(
                    blocks,
                    "{}{n},{row},{station:.4},{offset},{length},{width},{skew}",
                    &row[..1]
                );
            }
        }
        write("plan/blocks.csv", &blocks);
        let mut positions = "plan_position,srp_station_m,offset_m,left_out\n".to_string();
        for n in 1..=(3 + case % 4) {
            let (station, offset) = (spread(8.0, 10.5), spread(-0.06, 0.06));
            let left_out = if n % 2 == 0 { format!("k{};b{}", n, n + 2) } else { String::new() };
            let _ = writeln!(positions, "{n},{station},{offset},{left_out}");
        }
        write("plan/positions.csv", &positions);
        let mut openings =
            "opening,kind,x_m,y_m,length_m,width_m,diameter_m,clearance_wanted_m\n".to_string();
        for n in 0..6 {
            let (x, y) = (spread(10.0, 32.0), spread(-0.9, 2.9));
            let _ = match n % 2 {
                0 => writeln!(openings, "DP{n},docking-plug,{x},{y},,,0.06,0.2"),
                _ => writeln!(openings, "SC{n},sea-chest,{x},{y},0.6,0.4,,"),
            };
        }
        write("plan/openings.csv", &openings);
        if case % 3 > 0 {
            let ring = "bottom,1,9,-1.5\nbottom,2,30,-2.6\nbottom,3,38,0\nbottom,4,30,2.6\nbottom,5,9,1.5\n";
            write("plan/bottom.csv", &format!("part,order,x_m,y_m\n{ring}"));
        }
        judged(&project, "6 openings, 0 wrong");
    }
}
