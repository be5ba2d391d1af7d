//! The coating as it is written: zones, scheme, products, preparation, coats, climate, gauges, film.

use crate::plan::{self, clock, date, free_spot};
use crate::scatter::Scatter;
use crate::sheet::{Sheet, row};
use crate::yard::{Block, Lie, MINUTES_A_DAY, Position, Truth};

/// A coat of every zone of the bottom: product, nominal dry film in micrometres, volume solids in per cent.
pub struct Coat {
    pub product: &'static str,
    pub generic_type: &'static str,
    pub dft_um: f64,
    pub solids_pct: f64,
}

pub struct Coating {
    pub coats: &'static [Coat],
    /// Half the breadth of the keel's zone, m.
    pub keel_m: f64,
    /// Whether the topsides are coated too, all of them in the first position.
    pub sides: bool,
    /// Mean temperature of the air in degC, and how far it swings by day.
    pub air_c: [f64; 2],
    /// Hours between climate readings.
    pub climate_h: i64,
    /// Readings of a spot.
    pub readings: usize,
    pub rule: Rule,
    /// Whether edges and welds get a stripe coat before the second coat.
    pub stripes: bool,
    /// After which coat a cross cut is made.
    pub cross_cuts: Option<usize>,
    /// After which coat holidays are looked for, and with how many volts.
    pub holidays: Option<(usize, f64)>,
}

#[derive(Clone, Copy, PartialEq)]
pub enum Rule {
    Iso19840,
    SspcPa2,
    NinetyTen,
}

/// A zone of the bottom, or a side.
#[derive(Clone, Copy, PartialEq)]
pub enum Zone {
    Keel,
    Port,
    Starboard,
    SidePort,
    SideStarboard,
}

impl Zone {
    pub fn id(self) -> &'static str {
        match self {
            Zone::Keel => "KL",
            Zone::Port => "BP",
            Zone::Starboard => "BS",
            Zone::SidePort => "SP",
            Zone::SideStarboard => "SS",
        }
    }

    fn is_side(self) -> bool {
        matches!(self, Zone::SidePort | Zone::SideStarboard)
    }
}

impl Zone {
    /// Where it lies: y to its own side; of the keel's zone either way.
    fn outward(self, y_m: f64) -> f64 {
        match self {
            Zone::Starboard => -y_m,
            Zone::Keel => y_m.abs(),
            _ => y_m,
        }
    }
}

/// A zone, drawn and measured once.
pub struct Drawn {
    pub zone: Zone,
    /// The port half of its outline: x with the inner and the outer half-breadth, m.
    bounds: Vec<(f64, f64, f64)>,
    /// In plan, m2.
    area_m2: f64,
    /// How much of it lies under the caps of each position, m2.
    hidden_m2: Vec<f64>,
}

impl Drawn {
    /// Whether a place is in the zone, and so far from its edges.
    fn holds(&self, (x, y): (f64, f64), edge_m: f64) -> bool {
        let side = self.zone.outward(y);
        let next = self.bounds.partition_point(|(from, ..)| *from <= x);
        let (Some((x1, _, b)), Some((x0, low, a))) =
            (self.bounds.get(next), next.checked_sub(1).map(|before| self.bounds[before]))
        else {
            return false;
        };
        let ends = [self.bounds[0].0 + edge_m, self.bounds[self.bounds.len() - 1].0 - edge_m];
        if x < ends[0] || x > ends[1] {
            return false;
        }
        let outer = a + (b - a) * (x - x0) / (x1 - x0);
        let low = if self.zone == Zone::Keel { -1.0 } else { low + edge_m };
        side >= low && side < outer - edge_m
    }

    /// By a grid over each cap, m2.
    fn hidden_m2(&self, truth: &Truth, lie: &Lie) -> f64 {
        const PARTS: usize = 12;
        let part = |n: usize| (n as f64 + 0.5) / PARTS as f64 - 0.5;
        let under = |block: &Block| {
            let (x, y) = lie.on_hull(block.station_m, block.offset_m);
            let [long, wide] = block.cap_m;
            let places = (0..PARTS * PARTS)
                .map(|n| (x + long * part(n / PARTS), y + wide * part(n % PARTS)));
            long * wide * places.filter(|place| self.holds(*place, 0.0)).count() as f64
        };
        truth.blocks.iter().map(under).sum::<f64>() / (PARTS * PARTS) as f64
    }
}

/// The zones of a variant.
pub fn drawn(truth: &Truth, coating: &Coating) -> Vec<Drawn> {
    let yard = truth.yard;
    let outline = plan::outline_m(yard);
    let port = &outline[..outline.len() / 2];
    let mut edge = Vec::new();
    for (n, point) in port.iter().enumerate() {
        if let Some(before) = n.checked_sub(1).map(|n| port[n]) {
            // Where the outline crosses the edge of the keel's zone.
            let part = (coating.keel_m - before.1) / (point.1 - before.1);
            if part > 1e-9 && part < 1.0 - 1e-9 {
                edge.push((before.0 + part * (point.0 - before.0), coating.keel_m));
            }
        }
        edge.push(*point);
    }
    let mut zones = vec![Zone::Keel];
    if edge.iter().any(|(_, y)| *y > coating.keel_m) {
        zones.extend([Zone::Port, Zone::Starboard]);
    }
    if coating.sides {
        zones.extend([Zone::SidePort, Zone::SideStarboard]);
    }
    let draw = |zone: Zone| {
        let inside = |(x, y): &(f64, f64)| match zone {
            Zone::Keel => Some((*x, 0.0, y.min(coating.keel_m))),
            _ => (*y >= coating.keel_m - 1e-9).then_some((*x, coating.keel_m, *y)),
        };
        let bounds: Vec<(f64, f64, f64)> = edge.iter().filter_map(inside).collect();
        let half: f64 = (bounds.windows(2))
            .map(|pair| {
                (pair[1].0 - pair[0].0) * (pair[0].2 - pair[0].1 + pair[1].2 - pair[1].1) / 2.0
            })
            .sum();
        let area_m2 = match zone {
            Zone::Keel => 2.0 * half,
            Zone::Port | Zone::Starboard => half,
            _ => 0.8 * yard.length_overall_m * yard.ship.form.bilge_m.max(1.2),
        };
        let mut drawn = Drawn { zone, bounds, area_m2, hidden_m2: Vec::new() };
        if !zone.is_side() {
            let hidden = |position: &Position| drawn.hidden_m2(truth, &position.lie);
            drawn.hidden_m2 = truth.positions.iter().map(hidden).collect();
        }
        drawn
    };
    zones.into_iter().map(draw).collect()
}

/// The steel along the plating, of its area in plan.
const ALONG: f64 = 1.02;

pub fn zones(truth: &Truth, zones: &[Drawn]) -> String {
    let yard = truth.yard;
    let mut sheet = Sheet::new(yard.is_us, "zone kind order x_m:3/3 y_m:3/3 true_area_m2:1/0");
    for Drawn { zone, bounds, area_m2: area, .. } in zones {
        let area = *area;
        if zone.is_side() {
            sheet.add(row![zone.id(), "side", "", "", "", area]);
            continue;
        }
        let points: Vec<(f64, f64)> = match zone {
            Zone::Keel => {
                let port = bounds.iter().map(|(x, _, y)| (*x, *y));
                let starboard = bounds.iter().rev().map(|(x, _, y)| (*x, -y));
                port.chain(starboard).collect()
            }
            _ => {
                let sign = if *zone == Zone::Port { 1.0 } else { -1.0 };
                let outer = bounds.iter().map(|(x, _, y)| (*x, sign * y));
                // The inner edge from end to end, but for the ends themselves, where outer and inner meet.
                let inner =
                    bounds[1..bounds.len() - 1].iter().rev().map(|(x, low, _)| (*x, sign * low));
                outer.chain(inner).collect()
            }
        };
        for (n, (x, y)) in points.into_iter().enumerate() {
            let kind = (n == 0).then_some("bottom");
            sheet.add(row![zone.id(), kind, n + 1, x, y, (n == 0).then_some(area * ALONG)]);
        }
    }
    sheet.text()
}

pub fn scheme(truth: &Truth, coating: &Coating, zones: &[Drawn]) -> String {
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "zone coat product nominal_dft_um:0/1 least_dft_um:0/1 greatest_dft_um:0/1 grade least_profile_um:0/1 \
         greatest_profile_um:0/1 greatest_salts_mg_m2:0 greatest_dust:0 stripe greatest_cross_cut:0 holiday_voltage_v:0",
    );
    for Drawn { zone, .. } in zones {
        for (n, coat) in coating.coats.iter().enumerate() {
            let first = n == 0;
            let before = |value: f64| first.then_some(value);
            sheet.add(row![
                zone.id(),
                n + 1,
                coat.product,
                coat.dft_um,
                coat.dft_um * 0.8,
                coat.dft_um * 2.0,
                first.then_some("Sa2.5"),
                before(40.0),
                before(110.0),
                before(50.0),
                before(2.0),
                (coating.stripes && n == 1).then_some("yes"),
                coating.cross_cuts.filter(|after| *after == n + 1).map(|_| 1.0),
                coating.holidays.filter(|(after, _)| *after == n + 1).map(|(_, volts)| volts),
            ]);
        }
    }
    sheet.text()
}

pub fn products(coating: &Coating) -> String {
    let mut text = String::new();
    for coat in coating.coats {
        let Coat { product, generic_type, dft_um, solids_pct } = coat;
        text += &format!(
            "[[product]]\nproduct = \"{product}\"\ngeneric_type = \"{generic_type}\"\nvolume_solids_pct = {solids_pct}\n\
             nominal_dft_um = {dft_um}\nleast_to_immersion_h = 24\nshelf_life_d = 720\nlowest_steel_c = 3\nhighest_steel_c = 40\nlowest_air_c = 3\nhighest_air_c = 38\n\
             greatest_humidity_pct = 85\npot_life_h = 3\ninduction_min = 10\nthinner = \"T7\"\ngreatest_thinner_pct = 5\nlatest_immersion_d = 60\n\n"
        );
        for (steel, least, greatest) in [(0, 16, 28), (10, 10, 21), (20, 6, 14), (35, 4, 10)] {
            text += &format!(
                "[[recoat]]\nproduct = \"{product}\"\nsteel_temperature_c = {steel}\nleast_h = {least}\n\
                 greatest_d = {greatest}\n\n"
            );
        }
        text += &format!(
            "[[batch]]\nbatch = \"{product}-417\"\nproduct = \"{product}\"\nmade = 2040-11-20\n\n"
        );
    }
    text
}

/// The weather at a time: air, humidity, steel.
fn weather(coating: &Coating, at: f64) -> (f64, f64, f64) {
    let hour = (at / 60.0).rem_euclid(24.0);
    let turn = |peak: f64| libm::cos((hour - peak) / 24.0 * std::f64::consts::TAU);
    let day = libm::sin(at / MINUTES_A_DAY as f64 * 1.7);
    let [mean, swing] = coating.air_c;
    let air = mean + swing * turn(15.0) + 0.8 * day;
    (air, 66.0 - 8.0 * turn(15.0) + 3.0 * day, air + 0.9 - 0.4 * turn(4.0))
}

/// The dew point by the Magnus form in another guise: from the pressure of the vapour.
fn dew_point_c(air_c: f64, humidity_pct: f64) -> f64 {
    let saturated = |t: f64| 6.112 * libm::exp(17.62 * t / (243.12 + t));
    let vapour = saturated(air_c) * humidity_pct / 100.0;
    let (mut low, mut high) = (-60.0, 60.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if saturated(middle) < vapour { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}

pub fn climate(truth: &Truth, coating: &Coating, by: &str) -> String {
    let mut scatter = truth.scatter("climate");
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "at zone air_temperature_c:1/1 humidity_pct:0 steel_temperature_c:1/1 dew_point_c:1/1 by",
    );
    let last = truth.positions[truth.positions.len() - 1].times.reflood;
    let mut at = truth.positions[0].times.dry + 15.0;
    while at < last {
        let (air, humidity, steel) = weather(coating, at);
        // Thermometers read to a fifth of a degree, hygrometers to 2 %; the dew point is taken from a slide of what was read.
        let read = |scatter: &mut Scatter, value: f64, by: f64| value + scatter.within(by);
        let air = (read(&mut scatter, air, 0.2) * 10.0).round() / 10.0;
        let humidity = read(&mut scatter, humidity, 2.0).round();
        let dew = dew_point_c(air, humidity) + scatter.within(0.3);
        sheet.add(row![clock(at), "", air, humidity, read(&mut scatter, steel, 0.3), dew, by]);
        at += (coating.climate_h * 60 + scatter.whole(-12, 12)) as f64;
    }
    sheet.text()
}

/// When a coat goes on, by its number from 0 and the zone's.
fn begins(position: &Position, coat: usize, zone: usize) -> f64 {
    ((position.day + 1 + coat as i64) * MINUTES_A_DAY + 600 + 35 * zone as i64) as f64
}

/// What is treated in a position: the zones, and what their logs say of it.
fn parts(zones: &[Drawn], number: usize) -> Vec<(&Drawn, &'static str)> {
    let extent = |drawn: &Drawn| match number {
        0 if drawn.zone.is_side() => Some("all"),
        0 => Some("exposed"),
        _ => (patched_m2(drawn, number) > 0.05).then_some("patches"),
    };
    zones.iter().filter_map(|drawn| Some((drawn, extent(drawn)?))).collect()
}

/// Steel of a zone that is coated in a position, m2 in plan: what the first left free, and in the second what the first hid.
/// By then nothing is left for a third.
fn patched_m2(drawn: &Drawn, number: usize) -> f64 {
    match (drawn.hidden_m2.first(), number) {
        (None, 0) => drawn.area_m2,
        (Some(hidden), 0) => drawn.area_m2 - hidden,
        (Some(hidden), 1) => *hidden,
        _ => 0.0,
    }
}

pub fn preparation(truth: &Truth, zones: &[Drawn], [foreman, inspector]: [&str; 2]) -> String {
    let yard = truth.yard;
    let mut sheet = Sheet::new(
        yard.is_us,
        "zone extent treatment grade profile_um:0/1 salts_mg_m2:0 dust:0 method x_m:2/2 y_m:2/2 at by",
    );
    for (number, position) in truth.positions.iter().enumerate() {
        let mut scatter = truth.scatter(&format!("preparation in {}", position.name));
        let washed = (position.day * MINUTES_A_DAY + 480) as f64;
        for (n, Drawn { zone, .. }) in zones.iter().enumerate() {
            if zone.is_side() && number > 0 {
                continue;
            }
            let extent = if zone.is_side() { "all" } else { "exposed" };
            sheet.add(row![
                zone.id(),
                extent,
                "wash",
                "",
                "",
                "",
                "",
                "fresh water, 300 bar",
                "",
                "",
                clock(washed + 90.0 * n as f64),
                foreman
            ]);
        }
        for (n, (drawn, extent)) in parts(zones, number).into_iter().enumerate() {
            let (zone, checked) = (drawn.zone, begins(position, 0, n) - 130.0);
            for check in 0..4 {
                let place =
                    (!zone.is_side()).then(|| spot(truth, number, drawn, extent, &mut scatter));
                sheet.add(row![
                    zone.id(),
                    extent,
                    "blast",
                    "Sa2.5",
                    75.0 + scatter.within(18.0),
                    26.0 + scatter.within(12.0),
                    scatter.whole(0, 2) as usize,
                    "slag, dry",
                    place.map(|(x, _)| x),
                    place.map(|(_, y)| y),
                    clock(checked + 12.0 * f64::from(check)),
                    inspector,
                ]);
            }
        }
    }
    sheet.text()
}

/// A place in what is treated of a zone in a position.
fn spot(
    truth: &Truth,
    number: usize,
    drawn: &Drawn,
    extent: &str,
    scatter: &mut Scatter,
) -> (f64, f64) {
    const EDGE_M: f64 = 0.06;
    let lie = &truth.positions[number].lie;
    if extent != "patches" {
        return free_spot(truth, lie, scatter, &|x, y| drawn.holds((x, y), EDGE_M));
    }
    // The middle of a footprint of the first position.
    let first = &truth.positions[0].lie;
    let places: Vec<(f64, f64)> = (truth.blocks.iter())
        .map(|block| first.on_hull(block.station_m, block.offset_m))
        .filter(|place| drawn.holds(*place, EDGE_M))
        .filter(|place| plan::is_clear(truth, lie, *place, [0.0, 0.0], 0.05))
        .collect();
    let (x, y) = places[scatter.whole(0, places.len() as i64 - 1) as usize];
    (x + scatter.within(0.03), y + scatter.within(0.03))
}

pub fn coats(truth: &Truth, coating: &Coating, zones: &[Drawn], by: &str) -> String {
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "zone extent coat product batch began ended used_l:1/2 wet_film_um:0/1 by mixed used_up thinner thinner_share_pct:1",
    );
    for (number, position) in truth.positions.iter().enumerate() {
        let mut scatter = truth.scatter(&format!("coats in {}", position.name));
        for (n, coat) in coating.coats.iter().enumerate() {
            for (z, (drawn, extent)) in parts(zones, number).into_iter().enumerate() {
                let zone = drawn.zone;
                let along = if zone.is_side() { 1.0 } else { ALONG };
                let area = patched_m2(drawn, number) * along;
                let takes = area * coat.dft_um / 1000.0 / (coat.solids_pct / 100.0);
                let began = begins(position, n, z);
                let ended = began + 90.0 + scatter.between(0.0, 60.0);
                sheet.add(row![
                    zone.id(),
                    extent,
                    n + 1,
                    coat.product,
                    format!("{}-417", coat.product),
                    clock(began),
                    clock(ended),
                    takes * scatter.between(1.15, 1.3),
                    coat.dft_um / coat.solids_pct * 100.0 * (1.05 + scatter.within(0.08)),
                    by,
                    clock(began - 15.0),
                    clock(began + 80.0),
                    "T7",
                    2.0,
                ]);
            }
        }
    }
    sheet.text()
}

/// Stripe coats, brushed on edges and welds in the morning before the second coat.
pub fn stripes(truth: &Truth, coating: &Coating, zones: &[Drawn], by: &str) -> String {
    let mut sheet =
        Sheet::new(truth.yard.is_us, "zone before_coat on product batch began ended by");
    let product = coating.coats[1].product;
    for (number, position) in truth.positions.iter().enumerate() {
        for (z, (drawn, _)) in parts(zones, number).into_iter().enumerate() {
            let began = begins(position, 1, z) - 90.0;
            sheet.add(row![
                drawn.zone.id(),
                2_usize,
                "butts, seams and edges",
                product,
                format!("{product}-417"),
                clock(began),
                clock(began + 75.0),
                by,
            ]);
        }
    }
    sheet.text()
}

/// Tests after a coat: cross cuts, and holidays at a voltage.
pub fn tests(
    truth: &Truth,
    coat: usize,
    zones: &[Drawn],
    holidays_v: Option<f64>,
    by: &str,
) -> String {
    let mut scatter = truth.scatter("tests of the coating");
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "zone after_coat test method instrument voltage_v:0 found cross_cut:0 accepted spot at by",
    );
    let position = &truth.positions[0];
    let began = begins(position, coat, 0) - 150.0;
    for (z, drawn) in zones.iter().enumerate() {
        for n in 0..3_usize {
            let at = clock(began + (12 * z + 4 * n) as f64);
            let spot = format!("T{}", n + 1);
            let zone = drawn.zone.id();
            sheet.add(match holidays_v {
                Some(volts) => row![
                    zone,
                    coat,
                    "holiday",
                    "ASTM D5162",
                    "HD1",
                    volts,
                    0_usize,
                    "",
                    "yes",
                    spot,
                    at,
                    by
                ],
                None => row![
                    zone,
                    coat,
                    "cross-cut",
                    "ISO 2409",
                    "",
                    "",
                    "",
                    scatter.whole(0, 1) as f64,
                    "yes",
                    spot,
                    at,
                    by
                ],
            });
        }
    }
    sheet.text()
}

/// What a film gauge set on smooth steel reads on the blasted steel, micrometres.
const PROFILE_UM: f64 = 22.0;

pub fn gauges(truth: &Truth, coating: &Coating, by: &str) -> String {
    let mut scatter = truth.scatter("film gauge");
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "gauge reference_um:0/1 reading_um:0/1 profile_correction_um:0/2 at by",
    );
    for position in &truth.positions {
        for day in 0..=coating.coats.len() as i64 {
            for (n, reference) in [127.0, 254.0, 508.0].into_iter().enumerate() {
                let at = ((position.day + 1 + day) * MINUTES_A_DAY + 420 + n as i64) as f64;
                let reading = reference * (1.0 + scatter.within(0.01));
                sheet.add(row!["G1", reference, reading, PROFILE_UM, clock(at), by]);
            }
        }
    }
    sheet.text()
}

/// Spots that the rule asks for on so much steel, by the rules' own tables, with some to spare.
fn spots(rule: Rule, area_m2: f64, readings: usize) -> usize {
    let readings_owed = match rule {
        Rule::Iso19840 => match area_m2 {
            ..=1.0 => 5,
            ..=3.0 => 10,
            ..=10.0 => 15,
            ..=30.0 => 20,
            ..=100.0 => 30,
            _ => 30 + 10 * ((area_m2 - 100.0) / 100.0).ceil() as usize,
        },
        Rule::SspcPa2 => {
            let areas = (area_m2 / 9.29).ceil();
            let areas = if areas > 3.0 { 2.0 + (area_m2 / 92.9).ceil() } else { areas };
            return 5 * areas as usize;
        }
        Rule::NinetyTen => (area_m2 / 5.0).ceil() as usize,
    };
    readings_owed.div_ceil(readings) + 1
}

pub fn film(truth: &Truth, coating: &Coating, zones: &[Drawn], by: &str) -> String {
    let yard = truth.yard;
    let mut sheet = Sheet::new(
        yard.is_us,
        "zone after_coat area spot reading_um:0/1 x_m:2/2 y_m:2/2 gauge at by",
    );
    for (number, position) in truth.positions.iter().enumerate() {
        for (n, _) in coating.coats.iter().enumerate() {
            let so_far: f64 = coating.coats[..=n].iter().map(|coat| coat.dft_um).sum();
            let mut scatter = truth.scatter(&format!("film {n} in {}", position.name));
            let mut at = begins(position, n + 1, 0) - 170.0;
            for (drawn, extent) in parts(zones, number) {
                let (zone, area) = (drawn.zone, drawn.area_m2 * ALONG);
                let count = match number {
                    0 => spots(coating.rule, area, coating.readings),
                    _ => 5,
                };
                for k in 0..count {
                    let place =
                        (!zone.is_side()).then(|| spot(truth, number, drawn, extent, &mut scatter));
                    let here = so_far * (1.18 + scatter.within(0.08));
                    for _ in 0..coating.readings {
                        let reading = here * (1.0 + scatter.within(0.03)) + PROFILE_UM;
                        sheet.add(row![
                            zone.id(),
                            n + 1,
                            "",
                            format!("{}{}{}-{:02}", position.name, zone.id(), n + 1, k + 1),
                            reading,
                            place.map(|(x, _)| x),
                            place.map(|(_, y)| y),
                            "G1",
                            clock(at),
                            by,
                        ]);
                    }
                    at += 1.0;
                }
            }
            assert!(
                at < begins(position, n + 1, 0) + 1.0,
                "film is read before the next coat: {at}"
            );
        }
    }
    sheet.text()
}

/// The first and last words on products' batches are dated before the docking.
#[test]
fn batches_are_made_before_the_first_day() {
    assert!(date(0).as_str() > "2040-11-20");
}
