//! Columns and rows of any table that are wrong or strange.

use super::{Case, at, rows};

pub const CASES: &[Case] = &[
    Case::refused("columns that are not known", "plan/keel.csv", |_, count| wide(count, "strange")),
    Case::refused("note columns", "plan/keel.csv", |_, count| wide(count, "note")),
    Case::refused("columns of one name", "plan/keel.csv", |_, count| {
        let names = ",x_m".repeat(count);
        format!("x_m,rise_mm{names}\n")
    }),
    Case::refused("columns without a name", "plan/keel.csv", |_, count| {
        format!("x_m,rise_mm{}\n6,1{}\n", ",".repeat(count), ",7".repeat(count))
    }),
    Case::refused("keys that are not known", "docking.toml", |was, count| {
        let keys: Vec<String> = (0..count).map(|n| format!("strange_{n} = 1")).collect();
        was.replacen("[ship]\n", &format!("[ship]\n{}\n", keys.join("\n")), 1)
    }),
    Case::refused("tables that are not known", "docking.toml", |was, count| {
        rows(was, count, |n| format!("[strange_{n}]\nvalue = 1\n"))
    }),
    Case::refused("rows that are not numbers", "plan/keel.csv", |was, count| {
        rows(was, count, |n| format!("x{n},{n}"))
    }),
    Case::refused("rows that are ragged", "plan/keel.csv", |was, count| {
        rows(was, count, |n| format!("{n}"))
    }),
    Case::refused("rows that name what is not there", "landing/gaps.csv", |was, count| {
        rows(was, count, |n| format!("P1,N{n},1,4.55,Nan Corrisk,{}+01:00,", at(20 * n)))
    }),
    Case::refused(
        "names of nothing beside many that are known",
        "landing/gaps.csv",
        |was, count| {
            rows(was, count, |n| format!("P1,M{n},1,4.55,Nan Corrisk,{}+01:00,", at(20 * n)))
        },
    )
    .beside(&[("plan/blocks.csv", |was, count| {
        rows(was, count, |n| {
            format!(
                "N{n},keel,{:.1},0,600,1200,1350,-3.451,,0,oak,1.90,3400,,,,",
                125.0 + 0.7 * n as f64
            )
        })
    })]),
    Case::refused("torn rows, and names of nothing", "landing/gaps.csv", |was, count| {
        rows(was, count, |n| format!("P1,M{n},1,4.55,Nan Corrisk,{}+01:00,", at(20 * n)))
    })
    .beside(&[("plan/blocks.csv", |was, count| rows(was, count, |n| format!("N{n}?,keel")))]),
    Case::refused("rows of one name", "hull/anodes.csv", |was, count| {
        rows(was, count, |_| "AN1,30,0.3,10,1,no,,,".to_string())
    }),
    Case::refused("NULs", "plan/keel.csv", |_, count| "\0".repeat(1_000 * count)),
    Case::refused("NULs in a row", "plan/keel.csv", |was, count| {
        format!("{was}{},\n", "\0".repeat(1_000 * count))
    }),
    Case::refused("commas", "plan/keel.csv", |_, count| ",".repeat(1_000 * count)),
    Case::refused("quotation marks", "plan/keel.csv", |_, count| "\"".repeat(1_000 * count)),
    Case::refused("quotation marks that open", "plan/keel.csv", |was, count| {
        rows(was, count, |n| format!("\"{n},1"))
    }),
    Case::new("line ends", "plan/keel.csv", |was, count| {
        was.to_string() + &"\r\n".repeat(100 * count)
    }),
    Case::new("one long line", "docking.toml", |was, count| {
        format!("{was}\n# {}", "x".repeat(1_000 * count))
    }),
    Case::refused("brackets", "remarks.toml", |was, count| {
        format!("{was}\nx = {}", "[".repeat(count))
    }),
];

fn wide(count: usize, name: &str) -> String {
    let names: Vec<String> = (0..count).map(|n| format!("{name}_{n}")).collect();
    let cells = ",1".repeat(count);
    format!("x_m,rise_mm,{}\n6,1{cells}\n96,2{cells}\n", names.join(","))
}
