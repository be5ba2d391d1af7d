//! Blocks, their layers, openings, outlines and the keel's line.

use super::{Case, at, rows};

pub const CASES: &[Case] = &[
    Case::refused("blocks on one spot", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| block(n, 40.0, 0.0, 0.0))
    }),
    Case::refused("blocks a hair apart", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| block(n, 40.0 + 1e-4 * n as f64, 1e-4 * (n % 97) as f64, 0.0))
    }),
    Case::new("blocks side by side in the bottom", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| {
            let (along, across) = (n % 100, n / 100);
            small_block(n, 25.0 + 0.7 * along as f64, -3.0 + 0.11 * across as f64)
        })
    })
    .up_to(1000),
    Case::new("blocks in a row beyond the ship", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| block(n, 25.0 + 0.7 * n as f64, 0.0, 0.0))
    })
    .up_to(1900),
    Case::new("blocks in a row, each over the next", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| block(n, 125.0 + 0.4 * n as f64, 0.0, 0.0))
    })
    .up_to(1900),
    Case::refused("blocks askew, each across all others", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| block(n, 40.0, 0.0, 180.0 * n as f64 / count as f64))
    }),
    Case::new("blocks in a row, each over dozens", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| block(n, 125.0 + 0.025 * n as f64, 0.0, 0.0))
    })
    .up_to(1900),
    // The extent of each meets those of all others, so that every pair is tried: it is the number of blocks that
    // bounds this.
    Case::new("thin strips askew", "plan/blocks.csv", |was, count| {
        rows(was, count, |n| {
            let station = 250.0 + 0.02 * n as f64;
            format!("N{n},keel,{station},0,60000,10,1350,-3.451,,45,oak,1.9,3400,,,,")
        })
    })
    .up_to(1500),
    Case::new("layers of a block", "plan/layers.csv", |was, count| {
        rows(was, count, |n| format!("K1,,{},oak,1,0.72,0.3", n + 10))
    }),
    Case::new("layers of a row of blocks", "plan/layers.csv", |was, count| {
        rows(was, count, |n| format!(",keel,{},oak,1,0.72,0.3", n + 10))
    }),
    Case::refused("layers of rows that are given twice", "plan/layers.csv", |was, count| {
        rows(was, count, |_| "K1,,1,oak,1,0.72,0.3".to_string())
    }),
    Case::new("openings on one spot", "plan/openings.csv", |was, count| {
        rows(was, count, |n| opening(n, 40.0, 2.0))
    }),
    Case::new("openings side by side", "plan/openings.csv", |was, count| {
        rows(was, count, |n| opening(n, 10.0 + 0.02 * n as f64, 1.0 + 0.01 * (n % 300) as f64))
    }),
    Case::refused("openings of one name", "plan/openings.csv", |was, count| {
        rows(was, count, |_| opening(0, 40.0, 2.0))
    }),
    Case::new("one opening opened again and again", "plan/opened.csv", |was, count| {
        rows(was, count, |n| {
            let (from, to) = (at(20 * n), at(20 * n + 10));
            format!("SC1,{from},Bettany Skaive,{to},Ivo Pellwright,hose test")
        })
    }),
    Case::new("one opening opened within its being open", "plan/opened.csv", |was, count| {
        rows(was, count, |n| {
            format!("SC1,{},Bettany Skaive,{},Ivo Pellwright,hose", at(n), at(900_000 - n))
        })
    }),
    Case::new("vertices of the bottom", "plan/bottom.csv", |_, count| {
        let vertex = |n: usize| ring("bottom", n, count);
        rows("part,order,x_m,y_m\n", count, vertex)
    })
    .up_to(2000),
    Case::new("vertices of a bottom like a comb", "plan/bottom.csv", |_, count| {
        let vertex = |n: usize| {
            let x = 5.0 + 90.0 * n as f64 / count as f64;
            let y = if n + 1 >= count || n == 0 {
                -4.0
            } else if n.is_multiple_of(2) {
                4.0
            } else {
                -3.9
            };
            format!("bottom,{n},{x:.6},{y}")
        };
        rows("part,order,x_m,y_m\n", count, vertex)
    })
    .up_to(2000),
    Case::new("vertices of the flat keel", "plan/bottom.csv", |was, count| {
        let vertex = |n: usize| ring("flat-keel", n + 1, count);
        let bottom: Vec<&str> = was.lines().filter(|line| !line.starts_with("flat-keel")).collect();
        rows(&(bottom.join("\n") + "\n"), count, vertex)
    })
    .up_to(1900),
    Case::new("points of the keel's line", "plan/keel.csv", |_, count| {
        rows("x_m,rise_mm\n", count, |n| {
            format!("{:.4},{}", 6.0 + 90.0 * n as f64 / count as f64, n % 3)
        })
    }),
    Case::new("marks of one position", "positions/marks.csv", |was, count| {
        rows(was, count, |n| mark(n, 0.0))
    }),
    Case::new("marks that do not fit", "positions/marks.csv", |was, count| {
        rows(was, count, |n| mark(n, 0.1 * (n % 17) as f64))
    }),
    Case::new("marks of one name", "positions/marks.csv", |was, count| {
        rows(was, count, |_| mark(0, 0.0))
    }),
];

fn block(n: usize, station: f64, offset: f64, skew: f64) -> String {
    format!("N{n},keel,{station:.4},{offset:.4},600,1200,1350,-3.451,,{skew:.5},oak,1.90,3400,,,,")
}

fn small_block(n: usize, station: f64, offset: f64) -> String {
    format!("N{n},other,{station:.4},{offset:.4},600,100,1350,-3.451,,0,oak,1.90,3400,,,,")
}

fn opening(n: usize, x: f64, y: f64) -> String {
    format!(
        "N{n},overboard,{x:.3},{y:.3},,120,80,,port,,,SV,2031-04-08T08:40:00,Bettany Skaive,\
         2031-04-18T15:20:00,Ivo Pellwright,hose test,coated,"
    )
}

/// The outline of an ellipse over the bottom.
fn ring(part: &str, n: usize, count: usize) -> String {
    let angle = std::f64::consts::TAU * n as f64 / count as f64;
    format!("{part},{n},{:.9},{:.9}", 50.0 + 45.0 * libm::cos(angle), 5.0 * libm::sin(angle))
}

fn mark(n: usize, off: f64) -> String {
    let x = 100.0 * (n % 1000) as f64 / 1000.0;
    format!(
        "P1,N{n},{x:.3},0.000,{:.3},0.012,Anselm Dunmallow,2031-04-07T13:05:00+01:00,",
        14.31 + x + off
    )
}
