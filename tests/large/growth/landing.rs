//! The table of the ship afloat, drafts, the water, checks, gaps, weights and the girder.

use super::{Case, at, rows};

pub const CASES: &[Case] = &[
    Case::new("drafts of the hydrostatic table", "landing/hydrostatics.csv", |_, count| {
        let head = "draft_m,displacement_t,lcb_m,lcf_m,tpc_t_per_cm,mct_tm_per_cm,km_m\n";
        rows(head, count, |n| {
            let draft = 2.0 + 4.0 * n as f64 / count as f64;
            format!("{draft:.6},{:.4},0.2,-0.2,9.0,34.0,7.5", 880.0 * draft - 460.0)
        })
    }),
    Case::new("readings of the draft marks", "landing/drafts.csv", |was, count| {
        rows(was, count, |n| draft(n, 6.90))
    }),
    Case::new("readings of draft marks everywhere", "landing/drafts.csv", |was, count| {
        rows(was, count, |n| draft(n, 5.0 + 90.0 * n as f64 / count as f64))
    }),
    Case::new("water levels", "landing/water.csv", |was, count| {
        rows(was, count, |n| format!("P1,{}+01:00,{:.2},,", at(20 * n), -4.0 + 0.1 * (n % 7) as f64))
    }),
    Case::new("water levels of one moment", "landing/water.csv", |was, count| {
        rows(was, count, |_| format!("P1,{}+01:00,-4.0,,", at(20)))
    }),
    Case::new("landing checks", "landing/checks.csv", |was, count| {
        rows(was, count, |n| {
            format!("P1,wedge,,tried,tight,,,yes,Jory Asterby,{}+01:00", at(20 * n))
        })
    }),
    Case::new("landing checks of a block", "landing/checks.csv", |was, count| {
        rows(was, count, |n| {
            format!("P1,diver-contact,K1,bears,hard,0,0.1,yes,Nan Corrisk,{}+01:00", at(20 * n))
        })
    }),
    Case::new("what divers measured in one round", "positions/divers.csv", |_, count| {
        rows("position,occasion,block,keel_offset_mm,mark_x_m,mark_ahead_mm,by,at\n", count, |n| {
            let (block, offset, x) = (1 + n % 40, n % 90, 5.0 + 0.01 * n as f64);
            format!("P1,landed,K{block},{offset},{x:.2},300,Nan Corrisk,{}+01:00", at(20 * n))
        })
    })
    .up_to(1000),
    Case::new("rounds in which divers measured", "positions/divers.csv", |_, count| {
        rows("position,occasion,round,block,keel_offset_mm\n", count, |n| {
            format!("P1,landed,{},K{},{}", 1 + n / 2, 1 + 9 * (n % 2), n % 90)
        })
    })
    .up_to(1000),
    Case::new("gaps of one block", "landing/gaps.csv", |was, count| {
        rows(was, count, |n| format!("P1,K1,{},4.55,Nan Corrisk,{}+01:00,", n % 30, at(20 * n)))
    }),
    Case::new("lengths of the weight curve", "landing/weights.csv", |_, count| {
        rows("from_x_m,to_x_m,mass_t,centre_x_m,note\n", count, |n| {
            let step = 100.0 / count as f64;
            let (from, mass) = (step * n as f64, 3000.0 / count as f64);
            format!("{from:.6},{:.6},{mass:.6},{:.6},", from + step, from + step / 2.0)
        })
    }).up_to(400),
    Case::new("weights over all her length", "landing/weights.csv", |was, count| {
        rows(was, count, |n| {
            format!("{:.5},{:.5},0.01,50,", 1.0 + 1e-3 * n as f64, 99.0 - 1e-3 * n as f64)
        })
    }).up_to(360),
    Case::new("point masses", "landing/weights.csv", |was, count| {
        rows(was, count, |n| {
            let x = 5.0 + 90.0 * n as f64 / count as f64;
            format!("{x:.5},{x:.5},0.01,{x:.5},")
        })
    }).up_to(360),
    Case::new("lengths of the girder", "landing/stiffness.csv", |_, count| {
        let head = "from_x_m,to_x_m,second_moment_m4,shear_area_m2,elastic_modulus_gpa,shear_modulus_gpa\n";
        rows(head, count, |n| {
            let step = 102.0 / count as f64;
            format!("{:.6},{:.6},0.7,0.1,206,79", step * n as f64, step * (n + 1) as f64)
        })
    }).up_to(1000),
    Case::new("lengths of the girder over each other", "landing/stiffness.csv", |was, count| {
        rows(was, count, |n| format!("{:.5},90,0.7,0.1,206,79", 1.0 + 1e-3 * n as f64))
    }).up_to(980),
    Case::new("lengths of the buoyancy curve", "landing/buoyancy.csv", |was, count| {
        rows(was, count, |n| {
            let step = 96.0 / count as f64;
            format!("P1,0.5,{:.6},{:.6},1.0", 3.2 + step * n as f64, 3.2 + step * (n + 1) as f64)
        })
    }),
    Case::new("levels of the buoyancy curve", "landing/buoyancy.csv", |was, count| {
        rows(was, count, |n| format!("P1,{:.4},3.2,99.2,{:.3}", -3.0 + 0.001 * n as f64, 10.0 + n as f64))
    }),
    Case::new("weights moved", "landing/moved.csv", |was, count| {
        rows(was, count, |n| format!("{}+01:00,ballast,0.01,50.0,0.1,3.0,,,", at(20 * n)))
    }),
    Case::new("plates gauged", "hull/plating.csv", |was, count| {
        rows(was, count, |n| {
            format!("N-P,{n},20.0,0.3,15.0,14.0,,20,,{},Lettice Vornham,,,,,", at(20 * n))
        })
    }),
    Case::new("strakes", "hull/plating.csv", |was, count| {
        rows(was, count, |n| format!("N{n},1,20.0,0.3,15.0,9.0,,20,,{},Lettice Vornham,,,,,", at(20 * n)))
    }),
    Case::new("one plate gauged again and again", "hull/plating.csv", |was, count| {
        rows(was, count, |n| format!("N-P,1,20.0,0.3,15.0,9.0,,20,,{},Lettice Vornham,,,,,", at(20 * n)))
    }),
    Case::new("checks of instruments", "hull/instruments.csv", |was, count| {
        rows(was, count, |n| format!("UT4,10.0,10.0,{},Lettice Vornham", at(20 * n)))
    }),
    Case::new("repairs", "hull/repairs.csv", |was, count| {
        rows(was, count, |n| {
            format!("N{n},weld,,KL,30.0,0.1,200,100,{},{},,,Ivo Pellwright", at(20 * n), at(20 * n + 10))
        })
    })
    .up_to(480),
    Case::new("anodes", "hull/anodes.csv", |was, count| {
        rows(was, count, |n| format!("N{n},30.0,0.3,10.1,1.0,no,{},Lettice Vornham,", at(20 * n)))
    }),
];

fn draft(n: usize, x: f64) -> String {
    let at = 7 * 3600 + n % 3000;
    format!(
        ",arrival,{x:.4},2.30,{:.3},1017,2031-04-07T{:02}:{:02}:{:02}+01:00,Anselm Dunmallow,,",
        4.2 + 0.01 * (n % 5) as f64,
        at / 3600,
        at / 60 % 60,
        at % 60
    )
}
