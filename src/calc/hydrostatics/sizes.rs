//! The table held against the ship's length and breadth: what no hull within them can have.

use super::Row;
use crate::calc::formula::Formula;

/// Between which values the columns must lie.
pub const SIZES: Formula = Formula {
    name: "size of the hydrostatic table",
    title: "The hydrostatic table against length and breadth",
    says: "block coefficient `displacement / (density x L x B x T)` from 0.3 to 1; waterplane coefficient \
           `C = 100 TPC / (density x L x B)` from 0.45 to 1; `100 MCT` from `C^3` to 1 times `density x B x L^2 / 12`; KM from \
           `T / 2 + C^3 B^2 / (12 T)`, the least that a waterplane of that area can give, to `T + C L B^3 / (12 x volume)`, \
           the greatest; LCB and LCF no further than 0.15 and 0.25 L from amidships; each with a tenth to spare",
    source: "a waterplane of a given area within a rectangle; coefficients of hulls from memory of handbooks of naval \
             architecture",
};

/// To spare on either side: length on the waterline is not that between perpendiculars, breadth moulded not that over
/// plating.
const SPARE: f64 = 1.1;

/// What is held against the ship's size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sized {
    Displacement,
    Tpc,
    Mct,
    Km,
    Lcb,
    Lcf,
}

impl Sized {
    pub const ALL: [Sized; 6] =
        [Sized::Displacement, Sized::Tpc, Sized::Mct, Sized::Km, Sized::Lcb, Sized::Lcf];

    /// Its value in a row, in the kept unit.
    pub fn of(self, row: &Row) -> f64 {
        match self {
            Sized::Displacement => row.displacement_t,
            Sized::Tpc => row.tpc_t_per_cm,
            Sized::Mct => row.mct_tm_per_cm,
            Sized::Km => row.km_m,
            Sized::Lcb => row.lcb_x_m,
            Sized::Lcf => row.lcf_x_m,
        }
    }
}

/// The size of the ship.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Length between perpendiculars, m.
    pub length_m: f64,
    /// Greatest length, m.
    pub overall_m: f64,
    pub breadth_m: f64,
    /// Where amidships is, x, m.
    pub amidships_x_m: f64,
    /// Of the water for which the table holds, t/m3.
    pub water_density_t_m3: f64,
}

impl Size {
    /// Between which values a column must lie at a row, in the kept unit.
    pub fn range(&self, sized: Sized, row: &Row) -> (f64, f64) {
        let (l, b, t) = (self.length_m, self.breadth_m, row.draft_m);
        let longest = self.overall_m.max(l);
        let density = self.water_density_t_m3;
        // As parts of the least and of the greatest rectangle.
        let area_m2 = 100.0 * row.tpc_t_per_cm / density;
        let (low, high) = (area_m2 / (longest * b), (area_m2 / (l * b)).min(1.0));
        let volume_m3 = row.displacement_t / density;
        match sized {
            Sized::Displacement => {
                let box_t = density * b * t;
                (0.3 * box_t * l / SPARE, box_t * longest * SPARE)
            }
            Sized::Tpc => {
                let box_tpc = density * b / 100.0;
                (0.45 * box_tpc * l / SPARE, box_tpc * longest * SPARE)
            }
            Sized::Mct => {
                let box_mct = density * b * longest * longest / 1200.0;
                // Centre of gravity and of buoyancy apart take a few hundredths off.
                (low.powi(3) * box_mct / SPARE * 0.9, box_mct * longest / l * SPARE)
            }
            Sized::Km => {
                let inertia = longest * b.powi(3) / 12.0;
                let low_m = t / 2.0 + low.powi(3) * inertia / volume_m3;
                let high_m = t + high * inertia / volume_m3;
                (low_m / SPARE, high_m * SPARE)
            }
            Sized::Lcb => {
                (self.amidships_x_m - 0.15 * l * SPARE, self.amidships_x_m + 0.15 * l * SPARE)
            }
            Sized::Lcf => {
                (self.amidships_x_m - 0.25 * l * SPARE, self.amidships_x_m + 0.25 * l * SPARE)
            }
        }
    }

    /// Whether a column is within what a ship of this size can have, in half of the rows at least. Displacement is looked
    /// at in the deeper half of the rows: near the keel a hull may be as fine as it likes.
    pub fn holds(&self, sized: Sized, rows: &[Row]) -> bool {
        let rows = match sized {
            Sized::Displacement => &rows[rows.len() / 2..],
            _ => rows,
        };
        let inside = |row: &&Row| {
            let (least, greatest) = self.range(sized, row);
            (least..=greatest).contains(&sized.of(row))
        };
        rows.iter().filter(inside).count() * 2 >= rows.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A box of 60 m by 10 m: MCT, KM and the rest by hand.
    fn pontoon(t: f64) -> Row {
        Row {
            draft_m: t,
            displacement_t: 1.025 * 600.0 * t,
            lcb_x_m: 30.0,
            lcf_x_m: 30.0,
            tpc_t_per_cm: 6.15,
            mct_tm_per_cm: 1.025 * 10.0 * 3600.0 / 1200.0,
            km_m: t / 2.0 + 100.0 / (12.0 * t),
        }
    }

    #[test]
    fn a_box_is_the_fullest_hull_that_passes() {
        let size = Size {
            length_m: 60.0,
            overall_m: 60.0,
            breadth_m: 10.0,
            amidships_x_m: 30.0,
            water_density_t_m3: 1.025,
        };
        let rows: Vec<Row> = (1..=10).map(|n| pontoon(f64::from(n) * 0.5)).collect();
        let failing = |rows: &[Row]| -> Vec<Sized> {
            Sized::ALL.into_iter().filter(|sized| !size.holds(*sized, rows)).collect()
        };
        assert!(failing(&rows).is_empty());
        let changed = |change: fn(&mut Row)| {
            let mut rows = rows.clone();
            rows.iter_mut().for_each(change);
            failing(&rows)
        };
        assert!(changed(|row| row.displacement_t *= 10.0).contains(&Sized::Displacement));
        assert_eq!(changed(|row| row.tpc_t_per_cm *= 2.54)[0], Sized::Tpc);
        assert_eq!(changed(|row| row.mct_tm_per_cm *= 2.54), [Sized::Mct]);
        assert_eq!(changed(|row| row.km_m *= 3.2808), [Sized::Km]);
        assert_eq!(changed(|row| row.lcb_x_m += 30.0), [Sized::Lcb]);
        assert_eq!(changed(|row| row.lcf_x_m -= 30.0), [Sized::Lcf]);
        // A hull of 0.7 of the box, its drafts in feet.
        let in_feet = changed(|row| {
            row.displacement_t *= 0.7;
            row.draft_m *= 3.2808;
        });
        assert!(in_feet.contains(&Sized::Displacement));
    }
}
