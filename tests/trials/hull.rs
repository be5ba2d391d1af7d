//! The form of a hull that never was, and what it displaces: integrated by strips, from the form alone.

use std::f64::consts::PI;

/// Strips along the hull.
const STRIPS: usize = 240;

/// Layers of a section for what has no closed form.
const LAYERS: usize = 40;

/// A hull with vertical ends, a straight middle and two tapers, and sections that are part flat and part curved:
/// `y = B/2 taper(x) (flat + (1 - flat) (1 - (1 - z / bilge)^2))`, and upright above the bilge.
#[derive(Debug, Clone, Copy)]
pub struct Form {
    /// Ends of the waterline, x in m forward of the stern reference point.
    pub aft_x_m: f64,
    pub fore_x_m: f64,
    /// Lengths of the tapers at the two ends, m.
    pub run_m: f64,
    pub entrance_m: f64,
    pub breadth_m: f64,
    /// Height of the turn of the bilge, m.
    pub bilge_m: f64,
    /// How much of the half-breadth is flat at the keel.
    pub flat: f64,
}

/// What a hull displaces, m, m2, m3, m4.
#[derive(Debug, Clone, Copy)]
pub struct Displaced {
    pub volume_m3: f64,
    /// Centre of buoyancy, x, m.
    pub centre_x_m: f64,
    pub waterplane_m2: f64,
    /// Centre of flotation, x, m.
    pub flotation_x_m: f64,
    /// Second moment of the waterplane about the axis athwart through that centre, m4.
    pub along_m4: f64,
}

impl Form {
    fn strip_m(&self) -> f64 {
        (self.fore_x_m - self.aft_x_m) / STRIPS as f64
    }

    /// The middles of the strips.
    pub fn stations_m(&self) -> impl Iterator<Item = f64> + use<> {
        let (aft, strip) = (self.aft_x_m, self.strip_m());
        (0..STRIPS).map(move |n| aft + (n as f64 + 0.5) * strip)
    }

    /// Half the breadth at x of what it is amidships.
    pub fn taper(&self, x_m: f64) -> f64 {
        let aft = (self.aft_x_m + self.run_m - x_m) / self.run_m;
        let fore = (x_m - (self.fore_x_m - self.entrance_m)) / self.entrance_m;
        let u = aft.max(fore).clamp(0.0, 1.0);
        1.0 - u * u
    }

    /// Half the breadth at a place and a height over the keel, m.
    pub fn half_breadth_m(&self, x_m: f64, z_m: f64) -> f64 {
        let up = (z_m / self.bilge_m).clamp(0.0, 1.0);
        let curved = 1.0 - (1.0 - up) * (1.0 - up);
        self.breadth_m / 2.0 * self.taper(x_m) * (self.flat + (1.0 - self.flat) * curved)
    }

    /// Area of the section at x up to a height over the keel, m2.
    pub fn section_m2(&self, x_m: f64, z_m: f64) -> f64 {
        let z_m = z_m.max(0.0);
        let up = (z_m / self.bilge_m).min(1.0);
        let curved = z_m - self.bilge_m / 3.0 * (1.0 - (1.0 - up).powi(3));
        let shape = self.flat * z_m + (1.0 - self.flat) * curved;
        self.breadth_m * self.taper(x_m) * shape
    }

    /// What is displaced at a draft that may differ from place to place.
    pub fn displaced(&self, draft_m: impl Fn(f64) -> f64) -> Displaced {
        let (mut volume, mut moment, mut plane, mut turn, mut second) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for x in self.stations_m() {
            let draft = draft_m(x);
            let section = self.section_m2(x, draft);
            let wide = if draft > 0.0 { 2.0 * self.half_breadth_m(x, draft) } else { 0.0 };
            volume += section;
            moment += section * x;
            plane += wide;
            turn += wide * x;
            second += wide * x * x;
        }
        let strip = self.strip_m();
        let flotation = turn / plane;
        Displaced {
            volume_m3: volume * strip,
            centre_x_m: moment / volume,
            waterplane_m2: plane * strip,
            flotation_x_m: flotation,
            along_m4: (second - plane * flotation * flotation) * strip,
        }
    }

    /// Height of the centre of buoyancy and of the transverse metacentre over the keel at a level draft, m.
    pub fn heights_m(&self, draft_m: f64) -> (f64, f64) {
        let layer = draft_m / LAYERS as f64;
        let (mut volume, mut moment, mut athwart) = (0.0, 0.0, 0.0);
        for x in self.stations_m() {
            for n in 0..LAYERS {
                let z = (n as f64 + 0.5) * layer;
                let half = self.half_breadth_m(x, z);
                volume += 2.0 * half * layer;
                moment += 2.0 * half * z * layer;
            }
            athwart += 2.0 / 3.0 * self.half_breadth_m(x, draft_m).powi(3);
        }
        let centre = moment / volume;
        (centre, centre + athwart / volume)
    }

    /// The outline of the part of the bottom below a height, from the port side aft round to the starboard side.
    pub fn outline_m(&self, [from, to]: [f64; 2], z_m: f64, points: usize) -> Vec<(f64, f64)> {
        // Closer together toward the ends, where the outline turns.
        let x = |n: usize| {
            let part = (1.0 - libm::cos(PI * n as f64 / (points - 1) as f64)) / 2.0;
            from + (to - from) * part
        };
        let port = (0..points).map(|n| (x(n), self.half_breadth_m(x(n), z_m)));
        let starboard = (0..points).rev().map(|n| (x(n), -self.half_breadth_m(x(n), z_m)));
        port.chain(starboard).collect()
    }
}

/// The form integrated by this file against a box and a wedge by hand.
#[test]
fn a_box_and_a_taper_come_out_as_by_hand() {
    let form = Form {
        aft_x_m: 0.0,
        fore_x_m: 30.0,
        run_m: 1e-6,
        entrance_m: 1e-6,
        breadth_m: 6.0,
        bilge_m: 1.0,
        flat: 1.0,
    };
    let near =
        |found: f64, wanted: f64| assert!((found / wanted - 1.0).abs() < 1e-3, "{found} {wanted}");
    let block = form.displaced(|_| 2.0);
    near(block.volume_m3, 360.0);
    near(block.along_m4, 6.0 * 30.0_f64.powi(3) / 12.0);
    // KB = T / 2, BM = B^2 / (12 T).
    let (centre, metacentre) = form.heights_m(2.0);
    near(centre, 1.0);
    near(metacentre, 1.0 + 36.0 / 24.0);
    // A trim moves the centre by I / V x slope.
    let trimmed = form.displaced(|x| 2.0 + 0.01 * (x - 15.0));
    near(trimmed.centre_x_m - 15.0, 0.01 * block.along_m4 / 360.0);
    // A parabola over the whole length holds two thirds of the rectangle; so do sections that are curved all the way up.
    let fine = Form { run_m: 15.0, entrance_m: 15.0, flat: 0.0, bilge_m: 2.0, ..form };
    near(fine.displaced(|_| 2.0).volume_m3, 360.0 * 4.0 / 9.0);
}
