//! The table's columns held against each other: displacement grows by TPC, and its moment grows where TPC is added.

use super::Row;
use crate::calc::formula::Formula;
use crate::calc::smooth::last_digit;

/// How displacement and TPC must fit.
pub const SLOPE: Formula = Formula {
    name: "displacement by TPC",
    title: "Displacement against TPC",
    says: "from one draft to another displacement grows by the sum of `100 TPC x (difference of drafts)`, TPC the mean of \
           two rows; likewise `displacement x LCB` grows by the sum of `LCF x (difference of displacements)`",
    source: "definitions of TPC and of the LCF: what is immersed is a layer of the waterplane, and lies at its centre; \
             trapezoidal rule",
};

/// Displacement may be off by so much of its growth: curves lifted by hand, and shell plating counted in one column and
/// not in another (common practice, no source).
const PART: f64 = 0.03;
/// The same of the whole table, over which such errors even out.
const PART_OF_ALL: f64 = 0.015;
/// How far the mean LCF over the table may be off beyond rounding, as part of the length of the waterplane.
const LCF_PART: f64 = 0.003;

/// A growth in the table, and what another column gives for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// The rows from and to which it is counted, from 0.
    pub from: usize,
    pub to: usize,
    pub found: f64,
    pub by_other: f64,
    /// How far both may lie apart.
    pub allowed: f64,
}

impl Growth {
    /// Whether the two fit.
    pub fn fits(&self) -> bool {
        (self.found - self.by_other).abs() <= self.allowed
    }
}

/// What the columns give for the growth of displacement and of its moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slopes {
    /// Displacement over the whole table, t, against TPC.
    pub whole: Growth,
    /// Displacement from the row to the next at which it fits TPC worst, t.
    pub worst: Growth,
    /// The mean LCF over the whole table by displacement and LCB, m, against the column of LCF.
    pub centre: Growth,
}

/// Whether the drafts are equal steps: chosen so, and not rounded.
fn is_even(rows: &[Row]) -> bool {
    let steps = rows.windows(2).map(|pair| pair[1].draft_m - pair[0].draft_m);
    let (least, greatest) = steps.fold((f64::INFINITY, 0.0_f64), |(least, greatest), step| {
        (least.min(step), greatest.max(step))
    });
    greatest - least < 1e-6
}

/// Holds the columns against each other, in rows in order of draft. `length_m` is the ship's length. `None` with fewer than
/// three rows.
pub fn slopes(rows: &[Row], length_m: f64) -> Option<Slopes> {
    if rows.len() < 3 {
        return None;
    }
    let column = |of: fn(&Row) -> f64| last_digit(&rows.iter().map(of).collect::<Vec<f64>>());
    let digit_t = column(|row| row.displacement_t);
    let digit_tpc = column(|row| row.tpc_t_per_cm);
    let digit_m = if is_even(rows) { 0.0 } else { column(|row| row.draft_m) };
    let (digit_lcb, digit_lcf) = (column(|row| row.lcb_x_m), column(|row| row.lcf_x_m));
    let last = rows.len() - 1;
    let by_tpc = |a: &Row, b: &Row| {
        100.0 * (a.tpc_t_per_cm + b.tpc_t_per_cm) / 2.0 * (b.draft_m - a.draft_m)
    };
    let between = |from: usize, to: usize| {
        let by_other: f64 = rows[from..=to].windows(2).map(|pair| by_tpc(&pair[0], &pair[1])).sum();
        // By a rule of half as many steps: what the trapezia leave out is less than what that changes.
        let coarse: f64 =
            (from..to).step_by(2).map(|n| by_tpc(&rows[n], &rows[(n + 2).min(to)])).sum();
        let run_m = rows[to].draft_m - rows[from].draft_m;
        let mean_tpc = by_other / run_m / 100.0;
        let rounding = digit_t + 50.0 * run_m * digit_tpc + 100.0 * digit_m * mean_tpc;
        let found = rows[to].displacement_t - rows[from].displacement_t;
        let part = if to - from == 1 { PART } else { PART_OF_ALL };
        let allowed = rounding + part * found.max(by_other) + (coarse - by_other).abs();
        Growth { from, to, found, by_other, allowed }
    };
    let over = |growth: &Growth| (growth.found - growth.by_other).abs() / growth.allowed;
    let worst = (0..last).map(|n| between(n, n + 1)).max_by(|a, b| over(a).total_cmp(&over(b)))?;
    let grown_t = rows[last].displacement_t - rows[0].displacement_t;
    let moment = |row: &Row| row.displacement_t * row.lcb_x_m;
    let by_lcf =
        |a: &Row, b: &Row| (b.displacement_t - a.displacement_t) * (a.lcf_x_m + b.lcf_x_m) / 2.0;
    let fine: f64 = rows.windows(2).map(|pair| by_lcf(&pair[0], &pair[1])).sum::<f64>() / grown_t;
    let coarse =
        (0..last).step_by(2).map(|n| by_lcf(&rows[n], &rows[(n + 2).min(last)])).sum::<f64>()
            / grown_t;
    // Arms count from the mean LCB, so that an error of displacement does not weigh by where x begins.
    let middle_m = (rows[0].lcb_x_m + rows[last].lcb_x_m) / 2.0;
    let lever_m = (rows[last].lcb_x_m - middle_m).abs() + (fine - middle_m).abs();
    let rounding = (digit_lcb * rows[last].displacement_t
        + (digit_t + 0.002 * rows[last].displacement_t) * lever_m)
        / grown_t
        + digit_lcf;
    let centre = Growth {
        from: 0,
        to: last,
        found: (moment(&rows[last]) - moment(&rows[0])) / grown_t,
        by_other: fine,
        allowed: rounding + LCF_PART * length_m + (coarse - fine).abs(),
    };
    Some(Slopes { whole: between(0, last), worst, centre })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wedge-sided vessel, 100 m long: breadth 6 m + 2 m a metre of draft, its waterplane's centre 0.5 m further aft with
    /// every metre; integrated by hand.
    fn wedge(digits: [f64; 4]) -> Vec<Row> {
        let rounded = |value: f64, step: f64| (value / step).round() * step;
        (0..=30)
            .map(|n| {
                let t = 2.0 + f64::from(n) * 0.1;
                let volume = 100.0 * (6.0 * t + t * t);
                // Moment of the layers about 50 m: -(0.5 z) (6 + 2 z) 100, integrated from 0 to t.
                let moment = -100.0 * (1.5 * t * t + t * t * t / 3.0);
                Row {
                    draft_m: t,
                    displacement_t: rounded(1.025 * volume, digits[0]),
                    lcb_x_m: rounded(50.0 + moment / volume, digits[1]),
                    lcf_x_m: rounded(50.0 - 0.5 * t, digits[2]),
                    tpc_t_per_cm: rounded(1.025 * (6.0 + 2.0 * t), digits[3]),
                    mct_tm_per_cm: 50.0,
                    km_m: 7.0,
                }
            })
            .collect()
    }

    fn fits(rows: &[Row]) -> [bool; 3] {
        let found = slopes(rows, 100.0).expect("rows");
        [found.whole.fits(), found.worst.fits(), found.centre.fits()]
    }

    #[test]
    fn columns_of_one_hull_fit_however_coarsely_written() {
        for digits in [[0.1, 0.001, 0.001, 0.001], [1.0, 0.01, 0.01, 0.01], [10.0, 0.1, 0.1, 0.1]] {
            assert_eq!(fits(&wedge(digits)), [true; 3], "{digits:?}");
        }
        // Every half metre only.
        let coarse: Vec<Row> = wedge([1.0, 0.01, 0.01, 0.01]).into_iter().step_by(5).collect();
        assert_eq!(fits(&coarse), [true; 3]);
    }

    #[test]
    fn a_column_of_another_unit_or_sign_does_not() {
        let change = |change: fn(&mut Row)| {
            let mut rows = wedge([1.0, 0.01, 0.01, 0.01]);
            rows.iter_mut().for_each(change);
            fits(&rows)
        };
        // Tonnes for each inch.
        assert_eq!(change(|row| row.tpc_t_per_cm *= 2.54), [false, false, true]);
        // LCF counted + aft, LCB + forward.
        assert_eq!(change(|row| row.lcf_x_m = 100.0 - row.lcf_x_m), [true, true, false]);
        assert_eq!(change(|row| row.lcb_x_m = 100.0 - row.lcb_x_m), [true, true, false]);
        // From one row on 60 t too much, as when a page was copied from another ship's book.
        let mut rows = wedge([1.0, 0.01, 0.01, 0.01]);
        rows[17..].iter_mut().for_each(|row| row.displacement_t += 100.0);
        let found = slopes(&rows, 100.0).expect("rows");
        assert_eq!((found.worst.from, found.worst.fits()), (16, false));
    }
}
