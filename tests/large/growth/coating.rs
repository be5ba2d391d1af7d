//! Zones, drawn areas, products, schemes, and the logs of the coating.

use super::{Case, at, rows};

pub const CASES: &[Case] = &[
    Case::new("zones on one spot", "coating/zones.csv", |was, count| {
        corners(was, count, |n| (format!("N{n},bottom"), 30.0, 2.0))
    })
    .up_to(360),
    Case::new("zones side by side", "coating/zones.csv", |was, count| {
        corners(was, count, |n| {
            (format!("N{n},bottom"), 20.0 + 0.5 * (n % 120) as f64, -4.0 + 0.2 * (n / 120) as f64)
        })
    })
    .up_to(360),
    Case::new("vertices of a zone", "coating/zones.csv", |was, count| {
        rows(was, count, |n| ring("N,bottom", n, count) + ",,")
    }),
    Case::new("zones without an outline", "coating/zones.csv", |was, count| {
        rows(was, count, |n| format!("N{n},side,,,,100,1.0"))
    })
    .up_to(90),
    Case::new("areas on one spot", "coating/areas.csv", |was, count| {
        corners(was, count, |n| (format!("N{n}"), 30.0, 2.0))
    }),
    Case::new("vertices of an area", "coating/areas.csv", |was, count| {
        rows(was, count, |n| ring("N", n, count))
    }),
    Case::new("products", "coating/products.toml", |was, count| {
        rows(was, count, |n| format!("[[product]]\nproduct = \"N{n}\"\n"))
    }),
    Case::new("products with a row of recoating each", "coating/products.toml", |was, count| {
        rows(was, count, |n| {
            format!(
                "[[product]]\nproduct = \"N{n}\"\n[[recoat]]\nproduct = \"N{n}\"\n\
                 steel_temperature_c = 5\nleast_h = 3\ngreatest_d = 3\n"
            )
        })
    }),
    Case::new("rows of a recoat table", "coating/products.toml", |was, count| {
        rows(was, count, |n| {
            format!(
                "[[recoat]]\nproduct = \"EP1\"\nsteel_temperature_c = {}\nleast_h = 3\ngreatest_d = 3\n",
                50.0 + 0.01 * n as f64
            )
        })
    }),
    Case::new("batches", "coating/products.toml", |was, count| {
        rows(was, count, |n| {
            format!("[[batch]]\nbatch = \"N{n}\"\nproduct = \"EP1\"\nmade = 2031-01-15\n")
        })
    }),
    Case::new("coats of a zone's scheme", "coating/scheme.csv", |was, count| {
        rows(was, count, |n| format!("KL,{},EP1,125,100,200,,,,,,,,,", n + 10))
    })
    .up_to(980),
    Case::new("schemes of many zones", "coating/scheme.csv", |was, count| {
        rows(was, count, |n| {
            format!("N{},{},EP1,125,100,200,Sa2.5,50,90,50,2,,,,", n % 80, 1 + n / 80)
        })
    })
    .up_to(960)
    .beside(&[("coating/zones.csv", |was, _| rows(was, 80, |n| format!("N{n},side,,,,100,1.0")))]),
    Case::new("checks of the preparation", "coating/preparation.csv", |was, count| {
        rows(was, count, |n| {
            format!("KL,exposed,blast,Sa2.5,70,20,1,,30.0,0.1,{},Rufus Fennimarch", at(20 * n))
        })
    }),
    Case::new(
        "checks of the preparation without a place",
        "coating/preparation.csv",
        |was, count| {
            rows(was, count, |n| {
                format!("KL,exposed,blast,Sa1,20,90,4,,,,{},Rufus Fennimarch", at(20 * n))
            })
        },
    ),
    Case::new("applications, one after the other", "coating/coats.csv", |was, count| {
        rows(was, count, |n| application("SP,all", at(20 * n), at(20 * n + 10)))
    })
    .up_to(960),
    Case::new("applications at the same time", "coating/coats.csv", |was, count| {
        rows(was, count, |n| application("SP,all", at(n), at(900_000 + n)))
    })
    .up_to(960),
    Case::new("applications on the bottom", "coating/coats.csv", |was, count| {
        rows(was, count, |n| application("KL,exposed", at(20 * n), at(20 * n + 10)))
    })
    .up_to(480),
    Case::new("applications to drawn areas", "coating/coats.csv", |was, count| {
        rows(was, count, |n| {
            application(&format!("BP,N{}", n % count.div_ceil(4)), at(20 * n), at(20 * n + 10))
        })
    })
    .up_to(480)
    .beside(&[("coating/areas.csv", |was, count| {
        corners(was, count, |n| {
            (format!("N{n}"), 30.0 + 0.5 * (n % 60) as f64, 1.0 + 0.05 * (n / 60) as f64)
        })
    })]),
    Case::new("stripe coats", "coating/stripes.csv", |was, count| {
        rows(was, count, |n| {
            format!("SP,2,seams,EP2,EP2-1008,{},{},Corwin Thackerell", at(20 * n), at(20 * n + 10))
        })
    })
    .up_to(980),
    Case::new("tests of the coating", "coating/tests.csv", |was, count| {
        rows(was, count, |n| {
            format!("BP,4,holiday,,HD1,90,1,,,,,,no,,N{n},30.0,3.0,{},Rufus Fennimarch", at(20 * n))
        })
    })
    .up_to(9_600),
    Case::new("readings of the climate", "coating/climate.csv", |was, count| {
        rows(was, count, |n| format!("{},,11.0,62,11.4,4.0,Rufus Fennimarch,", at(20 * n)))
    }),
    Case::new("readings of a zone's climate at one moment", "coating/climate.csv", |was, count| {
        rows(was, count, |_| format!("{},KL,11.0,62,11.4,9.0,Rufus Fennimarch,", at(20)))
    }),
    Case::new("readings of the film on one spot", "coating/film.csv", |was, count| {
        rows(was, count, |n| film("KL", "KL1-01", n))
    }),
    Case::new("readings of the film, each a spot", "coating/film.csv", |was, count| {
        rows(was, count, |n| film("KL", &format!("N{n}"), n))
    }),
    Case::new("spots of the film outside their zone", "coating/film.csv", |was, count| {
        rows(was, count, |n| format!("KL,1,,N{n},148,80.0,5.0,DF1,{},Rufus Fennimarch", at(20 * n)))
    }),
    Case::new("gauges, each with a reading", "coating/film.csv", |was, count| {
        rows(was, count, |n| {
            format!("KL,1,,KL1-01,148,26.19,-0.11,N{n},{},Rufus Fennimarch", at(20 * n))
        })
    }),
    Case::new("checks of a gauge", "coating/gauges.csv", |was, count| {
        rows(was, count, |n| format!("DF1,125,126,20,{},Rufus Fennimarch", at(20 * n)))
    }),
    Case::new("gauges, each checked once", "coating/gauges.csv", |was, count| {
        rows(was, count, |n| format!("N{n},125,160,20,{},Rufus Fennimarch", at(20 * n)))
    }),
];

fn film(zone: &str, spot: &str, n: usize) -> String {
    let by = "Rufus Fennimarch";
    format!("{zone},1,,{spot},{},26.19,-0.11,DF1,{},{by}", 120 + n % 60, at(20 * n))
}

fn application(what: &str, began: String, ended: String) -> String {
    format!("{what},1,EP1,EP1-0917,{began},{ended},1.0,190,Corwin Thackerell,,,,,,,,,")
}

/// Small rectangles, a row for each corner.
fn corners(was: &str, count: usize, named: impl Fn(usize) -> (String, f64, f64)) -> String {
    // As many rows as are asked for, not as many shapes.
    let mut text = was.to_string();
    for n in 0..count.div_ceil(4) {
        let (first, x, y) = named(n);
        let ends = if first.ends_with("bottom") { ",," } else { "" };
        let around = [(x, y), (x + 0.4, y), (x + 0.4, y + 0.15), (x, y + 0.15)];
        for (order, (x, y)) in around.into_iter().enumerate() {
            text += &format!("{first},{},{x:.3},{y:.3}{ends}\n", order + 1);
        }
    }
    text
}

fn ring(first: &str, n: usize, count: usize) -> String {
    let angle = std::f64::consts::TAU * n as f64 / count as f64;
    format!("{first},{n},{:.9},{:.9}", 50.0 + 30.0 * libm::cos(angle), 3.0 * libm::sin(angle))
}
