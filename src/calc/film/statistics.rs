//! Count, mean, deviation, quartiles and ends of film readings.

use super::super::formula::Formula;

/// What is stated of a set of readings.
pub const STATISTICS: Formula = Formula {
    name: "statistics of film readings",
    title: "Mean, deviation and quartiles of film readings",
    says: "`mean = sum(reading) / n`; `deviation = sqrt(sum((reading - mean)^2) / (n - 1))`, none for one \
           reading; quartile `q` of 1, 2 or 3 is the reading at `place = 1 + q (n - 1) / 4` in order of size, \
           interpolated in a straight line between neighbours",
    source: "arithmetic mean and standard deviation of a sample; quartiles by definition 7 of Hyndman and Fan, \
             Sample quantiles in statistical packages (1996)",
};

/// What a set of readings has in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Statistics {
    pub count: usize,
    pub mean_m: f64,
    /// Standard deviation of the sample, m; `None` for one reading.
    pub deviation_m: Option<f64>,
    pub least_m: f64,
    pub greatest_m: f64,
    /// Lower quartile, median and upper quartile, m.
    pub quartiles_m: [f64; 3],
}

/// The statistics of readings in m. `None` without any, and where one is not a finite number.
pub fn statistics(readings_m: &[f64]) -> Option<Statistics> {
    let first_m = *readings_m.first()?;
    if !readings_m.iter().all(|reading| reading.is_finite()) {
        return None;
    }
    let count = readings_m.len();
    let n = count as f64;
    // Summing differences keeps the digits, and gives equal readings their own value as a mean.
    let mean_m = first_m + readings_m.iter().map(|reading| reading - first_m).sum::<f64>() / n;
    // The second sum would be 0 but for rounding; it takes back what the mean's rounding did.
    let (squares, rest) = readings_m.iter().fold((0.0, 0.0), |(squares, rest), reading| {
        let difference = reading - mean_m;
        (squares + difference * difference, rest + difference)
    });
    let deviation_m =
        (count > 1).then(|| ((squares - rest * rest / n).max(0.0) / (n - 1.0)).sqrt());
    Some(Statistics {
        count,
        mean_m,
        deviation_m,
        least_m: readings_m.iter().copied().fold(first_m, f64::min),
        greatest_m: readings_m.iter().copied().fold(first_m, f64::max),
        quartiles_m: quartiles_m(readings_m),
    })
}

/// Quartiles by [`STATISTICS`], of one reading at least.
fn quartiles_m(readings_m: &[f64]) -> [f64; 3] {
    let mut in_order = readings_m.to_vec();
    in_order.sort_by(f64::total_cmp);
    let last = in_order.len() - 1;
    [1, 2, 3].map(|quarter| {
        let (at, part) = (last * quarter / 4, (last * quarter % 4) as f64 / 4.0);
        let (low, high) = (in_order[at], in_order[(at + 1).min(last)]);
        low + (high - low) * part
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn statistics_by_hand() {
        // Mean 5; squares 9 + 1 + 1 + 1 + 0 + 0 + 4 + 16 = 32; 32 / 7.
        let found = statistics(&[2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0]).expect("statistics");
        assert_eq!((found.count, found.mean_m), (8, 5.0));
        let deviation = (32.0_f64 / 7.0).sqrt();
        assert!(found.deviation_m.is_some_and(|d| (d - deviation).abs() < 1e-12));
        assert_eq!((found.least_m, found.greatest_m), (2.0, 9.0));
        // Places 1 + 7 / 4, 1 + 7 / 2 and 1 + 21 / 4 of 8 readings: 2.75, 4.5 and 6.25.
        assert_eq!(found.quartiles_m, [4.0, 4.5, 5.5]);
        let one = statistics(&[3.0]).expect("statistics");
        assert_eq!((one.mean_m, one.deviation_m, one.quartiles_m), (3.0, None, [3.0; 3]));
        assert_eq!(statistics(&[]), None);
        assert_eq!(statistics(&[1.0, f64::NAN]), None);
    }

    #[test]
    fn digits_are_kept_where_the_spread_is_small() {
        let far = 1e9;
        let found = statistics(&[far + 4.0, far + 7.0, far + 13.0, far + 16.0]).expect("some");
        assert_eq!((found.mean_m, found.deviation_m), (far + 10.0, Some(30.0_f64.sqrt())));
        let equal = statistics(&[0.1; 1000]).expect("statistics");
        assert_eq!((equal.mean_m, equal.deviation_m), (0.1, Some(0.0)));
    }
}
