//! The table, drafts, the water, gaps, weights and stiffness.

use super::{File, Size, at, clock, csv, noise};

/// Displacement, t, at a draft of so many m: a box of 60 t to the centimetre.
fn displacement(draft: f64) -> f64 {
    36_000.0 + 6000.0 * (draft - 7.0)
}

pub fn files(size: &Size) -> Vec<File> {
    vec![
        ("landing/hydrostatics.csv", hydrostatics()),
        ("landing/drafts.csv", drafts(size)),
        ("landing/water.csv", water(size)),
        ("landing/gaps.csv", gaps(size)),
        ("landing/weights.csv", weights()),
        ("landing/stiffness.csv", stiffness()),
    ]
}

fn hydrostatics() -> String {
    let rows = (0..=60).map(|n| {
        let draft = 3.0 + 0.1 * f64::from(n);
        format!("{draft:.2},{:.1},0.0,0.0,60.0,500.0,16.0", displacement(draft))
    });
    csv("draft_m,displacement_t,lcb_m,lcf_m,tpc_t_per_cm,mct_tm_per_cm,km_m", rows)
}

fn drafts(size: &Size) -> String {
    let mut rows = Vec::new();
    let mut reading = |position: &str, p: usize, occasion: &str, minutes: i64| {
        for (m, x) in [15.0, 129.5, 244.0].into_iter().enumerate() {
            for y in [14.0, -14.0] {
                let draft = 7.0 + 0.01 * noise(10, rows.len());
                let read = at(p, minutes + m as i64);
                rows.push(format!("{position},{occasion},{x},{y},{draft:.2},1025,{read}"));
            }
        }
    };
    reading("", 0, "arrival", clock(0, 5));
    for p in 0..size.positions {
        let position = format!("P{}", p + 1);
        reading(&position, p, "before-landing", clock(0, 9));
        reading(&position, p + 1, "lift-off", clock(0, 7) + 5);
    }
    reading("", size.positions, "departure", clock(0, 8));
    csv("position,occasion,mark_x_m,mark_y_m,draft_m,water_density_kg_m3,at", rows)
}

/// The dock is flooded from 4 to 8, pumped from 9 to 16; she floats 7 m deep over blocks at -8.65.
fn water(size: &Size) -> String {
    let rows = (0..size.positions).flat_map(|p| {
        (clock(0, 4)..=clock(0, 16)).step_by(10).map(move |minutes| {
            let hour = minutes as f64 / 60.0;
            let level = match hour {
                h if h < 8.0 => -10.0 + 2.6 * (h - 4.0),
                h if h < 9.0 => 0.4,
                h => 0.4 - 10.4 * (h - 9.0) / 7.0,
            };
            let event = match minutes {
                m if m == clock(0, 4) => "flooding-began",
                m if m == clock(0, 9) => "pumping-began",
                m if m == clock(0, 16) => "dry",
                _ => "",
            };
            format!("P{},{},{level:.2},{event}", p + 1, at(p, minutes))
        })
    });
    csv("position,at,level_m,event", rows)
}

fn gaps(size: &Size) -> String {
    let rows = (0..size.positions).flat_map(|p| {
        (0..size.blocks * 2 / 5)
            .map(move |n| format!("P{},K{},0,,{}", p + 1, n + 1, at(p, clock(0, 18) + n as i64)))
    });
    csv("position,block,gap_mm,water_depth_m,at", rows)
}

fn weights() -> String {
    const LENGTHS: u32 = 40;
    let rows = (0..LENGTHS).map(|n| {
        let from = 7.0 + 245.0 * f64::from(n) / f64::from(LENGTHS);
        let to = from + 245.0 / f64::from(LENGTHS);
        let mass = 36_000.0 / f64::from(LENGTHS);
        format!("{from:.3},{to:.3},{mass:.2},{:.3}", (from + to) / 2.0)
    });
    csv("from_x_m,to_x_m,mass_t,centre_x_m", rows)
}

fn stiffness() -> String {
    let rows = (0..20).map(|n| {
        let from = 12.5 * f64::from(n);
        format!(
            "{from:.1},{:.1},40.0,1.2,206,79",
            from + 12.5 + f64::from(u8::from(n == 19)) * 12.0
        )
    });
    csv(
        "from_x_m,to_x_m,second_moment_m4,shear_area_m2,elastic_modulus_gpa,shear_modulus_gpa",
        rows,
    )
}
