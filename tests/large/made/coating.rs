//! Zones, scheme, applications, readings.

use super::plan::{BOTTOM, half_breadth, outline};
use super::{DAYS, File, Size, at, clock, csv, noise};

/// Lengths that the bottom is cut into; each is a zone on the keel, to port and to starboard of it.
const LENGTHS: usize = 4;

/// Half the breadth of the keel's zones, m.
const KEEL: f64 = 1.0;

/// The products of the scheme, from the steel up, with their nominal thickness in micrometres.
const COATS: [(&str, u32); 3] = [("EP1", 125), ("EP2", 125), ("AF3", 100)];

/// The zones of the bottom: name, and whether it lies to port (1), to starboard (-1) or on the keel.
fn zones() -> Vec<(String, f64)> {
    let sides = [("K", 0.0), ("P", 1.0), ("S", -1.0)];
    let of_length = |n: usize| sides.map(|(letter, side)| (format!("{letter}{}", n + 1), side));
    (0..LENGTHS).flat_map(of_length).collect()
}

/// Where a zone begins and ends, x in m, by its number in the list.
fn length(zone: usize) -> [f64; 2] {
    let [from, to] = [BOTTOM[0] + 10.0, BOTTOM[1] - 10.0];
    [0, 1].map(|end| from + (to - from) * (zone / 3 + end) as f64 / LENGTHS as f64)
}

pub fn files(size: &Size) -> Vec<File> {
    vec![
        ("coating/zones.csv", outlines()),
        ("coating/products.toml", products()),
        ("coating/scheme.csv", scheme()),
        ("coating/preparation.csv", preparation(size)),
        ("coating/coats.csv", coats(size)),
        ("coating/climate.csv", climate(size)),
        ("coating/gauges.csv", gauges(size)),
        ("coating/film.csv", film(size)),
    ]
}

fn outlines() -> String {
    let rows = zones().into_iter().enumerate().flat_map(|(n, (zone, side))| {
        let [from, to] = length(n);
        let points = match side {
            1.0 => outline(from, to, |_| KEEL, half_breadth),
            -1.0 => outline(from, to, |x| -half_breadth(x), |_| -KEEL),
            _ => vec![(from, -KEEL), (to, -KEEL), (to, KEEL), (from, KEEL)],
        };
        let row = move |(order, (x, y)): (usize, (f64, f64))| {
            format!("{zone},bottom,{},{x:.3},{y:.3}", order + 1)
        };
        points.into_iter().enumerate().map(row).collect::<Vec<_>>()
    });
    csv("zone,kind,order,x_m,y_m", rows)
}

fn products() -> String {
    let product = |(name, nominal): (&str, u32)| {
        format!(
            "[[product]]\nproduct = \"{name}\"\ngeneric_type = \"two-pack epoxy\"\n\
             volume_solids_pct = 60\nnominal_dft_um = {nominal}\nleast_to_immersion_h = 12\n\n\
             [[recoat]]\nproduct = \"{name}\"\nsteel_temperature_c = 5\nleast_h = 8\ngreatest_d = 21\n\n\
             [[recoat]]\nproduct = \"{name}\"\nsteel_temperature_c = 25\nleast_h = 4\ngreatest_d = 14\n\n"
        )
    };
    COATS.map(product).concat()
}

fn scheme() -> String {
    let rows = zones().into_iter().flat_map(|(zone, _)| {
        COATS.into_iter().enumerate().map(move |(coat, (product, nominal))| {
            format!("{zone},{},{product},{nominal},{},{}", coat + 1, nominal - 25, nominal * 2)
        })
    });
    csv("zone,coat,product,nominal_dft_um,least_dft_um,greatest_dft_um", rows)
}

/// What is treated in a position: all that is free in the first, afterwards what others had hidden.
fn extent(position: usize) -> &'static str {
    if position == 0 { "exposed" } else { "patches" }
}

fn preparation(size: &Size) -> String {
    let rows = (0..size.positions).flat_map(|p| {
        zones().into_iter().enumerate().map(move |(n, (zone, _))| {
            let done = at(p, clock(0, 18) + 10 * n as i64);
            format!("{zone},{},blast,Sa2.5,{done}", extent(p))
        })
    });
    csv("zone,extent,treatment,grade,at", rows)
}

fn coats(size: &Size) -> String {
    let rows = (0..size.positions).flat_map(|p| {
        zones().into_iter().enumerate().flat_map(move |(n, (zone, _))| {
            COATS.into_iter().enumerate().map(move |(coat, (product, _))| {
                let began = clock(1 + coat as i64, 8) + 10 * n as i64;
                let batch = format!("{product}-{p}");
                format!(
                    "{zone},{},{},{product},{batch},{},{}",
                    extent(p),
                    coat + 1,
                    at(p, began),
                    at(p, began + 120)
                )
            })
        })
    });
    csv("zone,extent,coat,product,batch,began,ended", rows)
}

fn climate(size: &Size) -> String {
    let whole = DAYS * 24 * 60 * size.positions as i64;
    let rows = (0..size.climate).map(|n| {
        let minutes = whole * n as i64 / size.climate as i64;
        let air = 14.0 + 6.0 * noise(11, n);
        let humidity = 65.0 + 20.0 * noise(12, n);
        format!("{},,{air:.1},{humidity:.0},{:.1}", at(0, minutes), air + 0.5)
    });
    csv("at,zone,air_temperature_c,humidity_pct,steel_temperature_c", rows)
}

fn gauges(size: &Size) -> String {
    let rows = (0..DAYS * size.positions as i64).flat_map(|day| {
        [125, 250, 500].map(|um| format!("G1,{um},{um},20,{}", at(0, clock(day, 7))))
    });
    csv("gauge,reference_um,reading_um,profile_correction_um,at", rows)
}

/// Spots of three readings, turn by turn over the zones and coats of the first position, clear of its blocks.
fn film(size: &Size) -> String {
    let zones = zones();
    let rows = (0..size.film).map(|n| {
        let spot = n / 3;
        let zone = spot % zones.len();
        let coat = spot / zones.len() % COATS.len();
        let [from, to] = length(zone);
        let x = (from + to) / 2.0 + 0.9 * noise(13, spot) * (to - from);
        // Between the caps of the keel, which stand 1.5 m apart from x = 10; between rows to the sides.
        let (x, y) = match zones[zone].1 {
            0.0 => (10.0 + 1.5 * ((x - 10.0) / 1.5).floor() + 0.55, 0.6 * noise(14, spot)),
            side => (x, side * (2.5 + noise(14, spot))),
        };
        let so_far: u32 = COATS[..=coat].iter().map(|(_, nominal)| nominal).sum();
        let reading = f64::from(so_far) + 35.0 + 50.0 * noise(15, n);
        let read = at(0, clock(2 + coat as i64, 5) + (spot % 60) as i64);
        let zone = &zones[zone].0;
        format!("{zone},{},{zone}-{coat}-{spot},{reading:.0},{x:.2},{y:.2},G1,{read}", coat + 1)
    });
    csv("zone,after_coat,spot,reading_um,x_m,y_m,gauge,at", rows)
}
