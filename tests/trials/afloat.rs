//! How a ship floats and lands: heave and trim in balance on her form, with no table between.

use crate::hull::{Displaced, Form};

/// A ship of a weight.
#[derive(Debug, Clone, Copy)]
pub struct Ship {
    pub form: Form,
    pub aft_perpendicular_x_m: f64,
    pub forward_perpendicular_x_m: f64,
    pub mass_t: f64,
    /// Centre of gravity: x, to port, over the keel, m.
    pub centre_m: [f64; 3],
    /// By how much her keel is hogged amidships, m.
    pub hog_m: f64,
}

/// Her drafts: that of a straight keel amidships, and the trim over the perpendiculars, + by the stern, m.
#[derive(Debug, Clone, Copy)]
pub struct Drafts {
    pub amidships_m: f64,
    pub trim_m: f64,
}

impl Ship {
    pub fn length_m(&self) -> f64 {
        self.forward_perpendicular_x_m - self.aft_perpendicular_x_m
    }

    fn amidships_x_m(&self) -> f64 {
        (self.forward_perpendicular_x_m + self.aft_perpendicular_x_m) / 2.0
    }

    /// How far her keel lies above the line through its ends, m: a parabola.
    fn bend_m(&self, x_m: f64) -> f64 {
        let u = 2.0 * (x_m - self.amidships_x_m()) / self.length_m();
        self.hog_m * (1.0 - u * u)
    }

    pub fn draft_m(&self, drafts: Drafts, x_m: f64) -> f64 {
        let slope = drafts.trim_m / self.length_m();
        drafts.amidships_m - slope * (x_m - self.amidships_x_m()) - self.bend_m(x_m)
    }

    pub fn displaced(&self, drafts: Drafts) -> Displaced {
        self.form.displaced(|x| self.draft_m(drafts, x))
    }

    /// How she floats in water of a density, t/m3.
    pub fn floats(&self, density_t_m3: f64) -> Drafts {
        let [x, _, kg] = self.centre_m;
        let mut drafts = Drafts { amidships_m: self.form.bilge_m, trim_m: 0.0 };
        for _ in 0..200 {
            let below = self.displaced(drafts);
            let lacking = self.mass_t / density_t_m3 - below.volume_m3;
            // Trim tilts her centre of gravity, which lies above that of buoyancy.
            let over = kg - self.form.heights_m(drafts.amidships_m).0;
            let lever = below.centre_x_m - x + over * drafts.trim_m / self.length_m();
            let sink = lacking / below.waterplane_m2;
            let turn = lever * below.volume_m3 / below.along_m4 * self.length_m();
            // She turns about the centre of flotation.
            let away = below.flotation_x_m - self.amidships_x_m();
            drafts.amidships_m += sink + turn / self.length_m() * away;
            drafts.trim_m += turn;
            if sink.abs() < 1e-9 && turn.abs() < 1e-9 {
                break;
            }
        }
        drafts
    }

    /// Metacentric height, m, and list to port, degrees, as she floats.
    pub fn heel(&self, drafts: Drafts) -> (f64, f64) {
        let below = self.displaced(drafts);
        // The draft at which a level ship displaces as much.
        let level = drafts.amidships_m
            - drafts.trim_m / self.length_m() * (below.flotation_x_m - self.amidships_x_m())
            - 2.0 / 3.0 * self.hog_m;
        let metacentre = self.form.heights_m(level).1;
        let gm = metacentre - self.centre_m[2];
        (gm, libm::atan(self.centre_m[1] / gm).to_degrees())
    }

    /// Her trim and the load on the knuckle, t, with the knuckle at x on a seat, water so deep over it, m.
    fn turned(&self, x_m: f64, deep_m: f64, density_t_m3: f64, from: Drafts) -> (Drafts, f64) {
        let [centre, _, kg] = self.centre_m;
        let at = |trim_m: f64| {
            let slope = trim_m / self.length_m();
            let amidships_m = deep_m + self.bend_m(x_m) + slope * (x_m - self.amidships_x_m());
            Drafts { amidships_m, trim_m }
        };
        let mut trim_m = from.trim_m;
        for _ in 0..60 {
            let drafts = at(trim_m);
            let below = self.displaced(drafts);
            let over = kg - self.form.heights_m(from.amidships_m).0;
            let weight = self.mass_t * (centre - over * trim_m / self.length_m() - x_m);
            let lift = density_t_m3 * below.volume_m3 * (below.centre_x_m - x_m);
            let away = below.flotation_x_m - x_m;
            let stiff = density_t_m3 * (below.along_m4 + below.waterplane_m2 * away * away);
            // Too much lift forward of the knuckle trims her further by the stern.
            let turn = (lift - weight) / stiff * self.length_m();
            trim_m += turn;
            if turn.abs() < 1e-9 {
                break;
            }
        }
        let drafts = at(trim_m);
        (drafts, self.mass_t - density_t_m3 * self.displaced(drafts).volume_m3)
    }
}

/// A place where the keel can land: x, and the level at which a straight keel's base line rests on it, m.
#[derive(Debug, Clone, Copy)]
pub struct Seat {
    pub x_m: f64,
    pub level_m: f64,
}

/// How she lands.
#[derive(Debug, Clone, Copy)]
pub struct Landing {
    /// Which seat she touches first.
    pub seat: usize,
    pub touched_level_m: f64,
    pub landed_level_m: f64,
    /// Load on the knuckle when she is landed fore and aft, t.
    pub knuckle_t: f64,
    /// By how much that load may be off where drafts are misread by 10 mm and rounded to as much, t: what 35 mm of trim
    /// come to.
    pub knuckle_sure_to_t: f64,
}

/// Slope and level at x = 0 of the straight line nearest to the seats.
pub fn line(seats: &[Seat]) -> (f64, f64) {
    let n = seats.len() as f64;
    let (sx, sy) = seats.iter().fold((0.0, 0.0), |(x, y), s| (x + s.x_m, y + s.level_m));
    let (sxx, sxy) =
        seats.iter().fold((0.0, 0.0), |(a, b), s| (a + s.x_m * s.x_m, b + s.x_m * s.level_m));
    let slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
    (slope, (sy - slope * sx) / n)
}

impl Ship {
    /// How she lands on seats as the water falls: she touches, turns about the knuckle, and is landed when she lies along
    /// the line of the blocks.
    pub fn lands(&self, density_t_m3: f64, seats: &[Seat]) -> Landing {
        let afloat = self.floats(density_t_m3);
        let level = |seat: &Seat| seat.level_m + self.draft_m(afloat, seat.x_m);
        let (seat, knuckle) = (seats.iter().enumerate())
            .max_by(|a, b| level(a.1).total_cmp(&level(b.1)))
            .expect("a seat");
        let wanted = line(seats).0 * self.length_m();
        let touched_level_m = level(knuckle);
        let deep_m = |fallen: f64| self.draft_m(afloat, knuckle.x_m) - fallen;
        let turned = |fallen: f64| self.turned(knuckle.x_m, deep_m(fallen), density_t_m3, afloat);
        let (mut less, mut more) = (0.0, 2.0);
        let left = |fallen: f64| turned(fallen).0.trim_m - wanted;
        assert!(left(less) * left(more) <= 0.0, "she turns toward the line of the blocks");
        for _ in 0..50 {
            let middle = (less + more) / 2.0;
            if left(less) * left(middle) <= 0.0 { more = middle } else { less = middle }
        }
        let (drafts, knuckle_t) = turned(more);
        let below = self.displaced(drafts);
        let lever_m = (below.flotation_x_m - knuckle.x_m).abs();
        let by_35_mm = 0.035 * below.along_m4 * density_t_m3 / self.length_m() / lever_m;
        Landing {
            seat,
            touched_level_m,
            landed_level_m: touched_level_m - more,
            knuckle_t,
            knuckle_sure_to_t: by_35_mm,
        }
    }
}
