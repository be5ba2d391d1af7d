//! The docking, the dock, blocks, openings, outlines, positions, plates.

use super::{File, NAME, Size, at, clock, csv, noise};

/// Where the bottom begins and ends, x in m.
pub const BOTTOM: [f64; 2] = [8.0, 252.0];

/// Station of the stern reference point in the first position, m.
const FIRST_SRP: f64 = 20.0;

/// How far aft of the first position the others are, m: over keel blocks 1.5 m apart and rows of other
/// distances beside them, so that many of the ways in which positions can hide the same steel come about.
const AFT: [f64; 6] = [0.0, 0.30, 2.05, 3.75, 5.40, 7.00];

/// Half the bottom's breadth at x, m.
pub fn half_breadth(x: f64) -> f64 {
    let middle = (BOTTOM[0] + BOTTOM[1]) / 2.0;
    let t = (x - middle).abs() / (BOTTOM[1] - middle);
    12.0 * (1.0 - t * t * t * t).max(0.0)
}

/// How far aft of the first a position is, m.
fn aft(position: usize) -> f64 {
    AFT[position % AFT.len()]
}

pub fn files(size: &Size) -> Vec<File> {
    vec![
        ("docking.toml", docking(size)),
        ("plan/blocks.csv", blocks(size)),
        ("plan/layers.csv", layers()),
        ("plan/bottom.csv", bottom()),
        ("plan/openings.csv", openings(size)),
        ("positions/positions.csv", positions(size)),
        ("positions/marks.csv", marks(size)),
        ("hull/plating.csv", plating(size)),
        ("hull/anodes.csv", anodes(size)),
    ]
}

fn docking(size: &Size) -> String {
    let ended = at(size.positions, clock(0, 0));
    format!(
        r#"format = 1

[ship]
name = "Grey Merganser"
owner = "Trustees of the Grey Merganser"
built = "1931, at Wexlequay"
length_overall_m = 262.0
length_between_perpendiculars_m = 245.0
breadth_m = 33.0
aft_perpendicular_x_m = 7.0
forward_perpendicular_x_m = 252.0
foremost_x_m = 262.0
stern_reference_point = "aftermost point of the stern on the centreline"
frames_from = "aft"
draft_marks_datum = "underside of the keel"

[[frames]]
from_frame = 0
x_m = 7.0
spacing_mm = 800

[stability]
kg_m = 12.5
free_surface = "counted"
source = "inclining of 2041"

[hydrostatics]
lcb_lcf_from_x_m = 129.5
water_density_t_m3 = 1.025
trim_m = 0.0
source = "hydrostatic tables of 2040"

[dock]
name = "Long Dock"
place = "Wexlequay"
kind = "graving dock"
datum = "inner face of the caisson"
level_datum = "dock datum"
floor_level_m = -10.0
declivity_pct = 0.0
sill_level_m = -8.5

[period]
began = 2043-05-04
ended = {}
offset = "+00:00"

[[people]]
name = "Orrin Hallbeck"
role = "dockmaster"

[film]
rule = "iso-19840"

[closeout]
prepared_by = "Orrin Hallbeck"
prepared_on = 2043-07-01
bundle_name = "{NAME}"
"#,
        &ended[..10]
    )
}

fn blocks(size: &Size) -> String {
    let keel = size.blocks * 2 / 5;
    let a_row = (size.blocks - keel) / 4;
    let row = |id: String, row: &str, x: f64, y: f64, width_mm: u32| {
        let station = FIRST_SRP + x;
        format!("{id},{row},{station:.2},{y:.2},900,{width_mm},1350,-8.650,oak,3000")
    };
    let mut rows: Vec<String> = (0..keel)
        .map(|n| {
            let x = 10.0 + 240.0 * n as f64 / keel as f64;
            row(format!("K{}", n + 1), "keel", x, 0.0, 1500)
        })
        .collect();
    for (letters, words, y) in [
        ("IP", "bilge-port", 5.0),
        ("IS", "bilge-starboard", -5.0),
        ("OP", "bilge-port", 9.0),
        ("OS", "bilge-starboard", -9.0),
    ] {
        let rows_before = rows.len();
        rows.extend((0..a_row).map(|n| {
            let x = 60.0 + 135.0 * n as f64 / a_row as f64 + 1.2 * noise(16, rows_before + n);
            row(format!("{letters}{}", n + 1), words, x, y, 1200)
        }));
    }
    csv(
        "block,row,station_m,offset_m,length_mm,width_mm,height_mm,top_level_m,cap_material,\
         bearing_limit_kpa",
        rows,
    )
}

fn layers() -> String {
    let layers = [("concrete", 550, 25.0), ("oak", 500, 0.3), ("fir", 300, 0.2)];
    let rows = ["keel", "bilge-port", "bilge-starboard"].into_iter().flat_map(|row| {
        layers.into_iter().enumerate().map(move |(order, (material, mm, gpa))| {
            format!(",{row},{},{material},{mm},1.2,{gpa}", order + 1)
        })
    });
    csv("block,row,order,material,thickness_mm,area_m2,elastic_modulus_gpa", rows)
}

/// The bottom's outline between two x and two sides of it; a side of 0 is the centreline strip's edge.
pub fn outline(
    from: f64,
    to: f64,
    starboard: impl Fn(f64) -> f64,
    port: impl Fn(f64) -> f64,
) -> Vec<(f64, f64)> {
    const STEPS: usize = 24;
    let x = |n: usize| from + (to - from) * n as f64 / STEPS as f64;
    let there = (0..=STEPS).map(|n| (x(n), starboard(x(n))));
    let back = (0..=STEPS).rev().map(|n| (x(n), port(x(n))));
    there.chain(back).collect()
}

fn bottom() -> String {
    let [from, to] = [BOTTOM[0] + 2.0, BOTTOM[1] - 2.0];
    let points = outline(from, to, |x| -half_breadth(x), half_breadth);
    let row = |(n, (x, y)): (usize, (f64, f64))| format!("bottom,{},{x:.3},{y:.3}", n + 1);
    csv("part,order,x_m,y_m", points.into_iter().enumerate().map(row))
}

fn openings(size: &Size) -> String {
    const KINDS: [&str; 4] = ["sea-chest", "overboard", "intake", "docking-plug"];
    let rows = (0..size.openings).map(|n| {
        let x = 20.0 + 220.0 * n as f64 / size.openings as f64;
        let y = noise(1, n) * 1.4 * half_breadth(x);
        let side = if y > 0.0 { "port" } else { "starboard" };
        let kind = KINDS[n % KINDS.len()];
        format!(
            "O{},{kind},{x:.2},{y:.2},350,350,{side},{},Orrin Hallbeck,{},Orrin Hallbeck,hose test",
            n + 1,
            at(0, clock(1, 8) + n as i64),
            at(0, clock(3, 8) + n as i64),
        )
    });
    csv(
        "opening,kind,x_m,y_m,length_mm,width_mm,side,opened_at,opened_by,closed_at,closed_by,tested_how",
        rows,
    )
}

fn positions(size: &Size) -> String {
    let rows = (0..size.positions).map(|p| {
        let srp = FIRST_SRP - aft(p);
        format!(
            "P{},{srp:.2},0.000,{:.3},{:.3},{:.2},{},{},{},{},{},{}",
            p + 1,
            srp + 0.01 * noise(2, p),
            0.02 * noise(3, p),
            0.04 * noise(4, p),
            at(p, clock(0, 4)),
            at(p, clock(0, 10)),
            at(p, clock(0, 11)),
            at(p, clock(0, 16)),
            at(p + 1, clock(0, 4)),
            at(p + 1, clock(0, 7)),
        )
    });
    csv(
        "position,planned_srp_station_m,planned_offset_m,recorded_srp_station_m,recorded_offset_m,\
         yaw_deg,flooding_began,touched,landed,dry,reflood_began,afloat",
        rows,
    )
}

fn marks(size: &Size) -> String {
    let rows = (0..size.positions).flat_map(|p| {
        [(0.0, 0.0), (262.0, 0.0), (130.0, 12.0), (130.0, -12.0)].into_iter().enumerate().map(
            move |(m, (x, y))| {
                let station = FIRST_SRP - aft(p) + x + 0.01 * noise(5, 4 * p + m);
                let offset = y + 0.01 * noise(6, 4 * p + m);
                let read = at(p, clock(0, 17));
                format!("P{},M{m},{x:.3},{y:.3},{station:.3},{offset:.3},{read}", p + 1)
            },
        )
    });
    csv("position,mark,hull_x_m,hull_y_m,dock_station_m,dock_offset_m,at", rows)
}

fn plating(size: &Size) -> String {
    let rows = (0..5 * size.blocks).map(|n| {
        let x = 12.0 + 236.0 * ((n * 7) % 997) as f64 / 997.0;
        let y = 1.8 * noise(7, n) * half_breadth(x);
        let measured = 22.0 + 3.0 * noise(8, n);
        let gauged = at(0, clock(2, 8) + n as i64 % 500);
        format!("S{},{},{x:.2},{y:.2},23.0,{measured:.1},20,{gauged}", n % 20, n / 20)
    });
    csv("strake,plate,x_m,y_m,original_mm,measured_mm,relative_loss_limit_pct,at", rows)
}

fn anodes(size: &Size) -> String {
    let rows = (0..size.openings).map(|n| {
        let x = 21.0 + 220.0 * n as f64 / size.openings as f64;
        let found = 6.0 + 4.0 * noise(9, n);
        format!("A{},{x:.2},{:.2},10.0,{found:.1},yes,{}", n + 1, 3.0, at(0, clock(1, 10)))
    });
    csv("anode,x_m,y_m,mass_fitted_kg,mass_found_kg,renewed,at", rows)
}
