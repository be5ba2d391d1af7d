//! Forty random block lines solved by the force method with numpy and scipy: block_lines.py, kept beside
//! this file, which shares no formulation with the program (no elements, no stiffness matrix).

use lastdock::calc::loads::girder::{HullLength, girder};
use lastdock::calc::loads::weight::{Curve, Length};
use lastdock::calc::loads::{BlockSpring, Carried};
use serde_json::Value;

use super::sound;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn rows(value: &Value) -> Vec<Vec<f64>> {
    let rows = value.as_array().expect("rows");
    rows.iter().map(numbers).collect()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("numbers").iter().map(number).collect()
}

fn curve(value: &Value) -> Curve {
    let length = |row: &Vec<f64>| Length {
        from_x_m: row[0],
        to_x_m: row[1],
        mass_t: row[2],
        centre_x_m: row[3],
    };
    Curve::new(rows(value).iter().map(length).collect()).expect("a curve")
}

#[test]
fn the_force_method_finds_the_same() {
    let cases: Value = serde_json::from_str(include_str!("block_lines.json")).expect("the fixture");
    let cases = cases.as_array().expect("cases");
    assert_eq!(cases.len(), 40);
    let (mut lifted, mut worst_load, mut worst_gap_m) = (0, 0_f64, 0_f64);
    for (case_number, case) in cases.iter().enumerate() {
        let blocks: Vec<BlockSpring> = rows(&case["blocks"])
            .iter()
            .map(|row| BlockSpring {
                x_m: row[0],
                y_m: row[1],
                stiffness_kn_per_m: row[2],
                gap_m: row[3],
                width_m: row[4],
            })
            .collect();
        let hull: Vec<HullLength> = rows(&case["hull"])
            .iter()
            .map(|row| HullLength {
                from_x_m: row[0],
                to_x_m: row[1],
                bending_kn_m2: row[2],
                shear_kn: row[3],
            })
            .collect();
        let carried = Carried {
            weight: curve(&case["weight"]),
            buoyancy: curve(&case["buoyancy"]),
            athwart_tm: number(&case["athwart_tm"]),
        };
        let found = sound(girder(&blocks, &carried, &hull, 1.0)).outcome;
        let (loads, gaps) = (numbers(&case["loads_kn"]), numbers(&case["gaps_m"]));
        let largest = loads.iter().copied().fold(0.0, f64::max);
        assert_eq!(found.loads_kn.len(), loads.len());
        for (n, (load, wanted)) in found.loads_kn.iter().zip(&loads).enumerate() {
            lifted += usize::from(*wanted == 0.0);
            let off = (load - wanted).abs() / largest;
            worst_load = worst_load.max(off);
            assert!(off < 1e-6, "case {case_number}, block {n}: {load} for {wanted} kN");
        }
        for (n, (gap, wanted)) in found.gaps_m.iter().zip(&gaps).enumerate() {
            worst_gap_m = worst_gap_m.max((gap - wanted).abs());
            assert!(
                (gap - wanted).abs() < 1e-8,
                "case {case_number}, block {n}: {gap} for {wanted} m"
            );
        }
    }
    assert!(lifted > 100, "only {lifted} blocks ever lifted");
    println!(
        "{lifted} lifted; worst load {worst_load:.1e} of the largest, worst gap {worst_gap_m:.1e} m"
    );
}
