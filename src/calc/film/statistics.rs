//! Count, mean, deviation and spread of film readings, and their histogram.

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

/// A class of a histogram: readings from its lower edge to just under its upper edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Class {
    pub from_m: f64,
    pub to_m: f64,
    /// How many readings lie in it.
    pub count: usize,
}

/// How many readings lie in which class.
#[derive(Debug, Clone, PartialEq)]
pub struct Histogram {
    /// Width of every class, m: 1, 2 or 5 um or one of these times a power of ten.
    pub class_width_m: f64,
    /// The classes from the smallest reading's to the largest's, without a gap.
    pub classes: Vec<Class>,
}

/// Classes that a histogram has at most. Widths grow by 2.5 at most, so that it has 10 at least, unless
/// all the readings lie so close together that classes of 1 um are fewer.
const MOST_CLASSES: f64 = 25.0;

/// The histogram of readings in m, in classes of the smallest round width that makes no more than 25 of
/// them, whose edges are whole multiples of that width. `None` without readings, and where one is not
/// a finite number.
pub fn histogram(readings_m: &[f64]) -> Option<Histogram> {
    let Statistics { least_m, greatest_m, .. } = statistics(readings_m)?;
    let width_um = widths_um()
        .find(|width| class(greatest_m, *width) - class(least_m, *width) < MOST_CLASSES)?;
    let first = class(least_m, width_um);
    let classes = (class(greatest_m, width_um) - first) as usize + 1;
    let edge_m = |n: usize| (first + n as f64) * width_um / 1e6;
    let mut classes: Vec<Class> =
        (0..classes).map(|n| Class { from_m: edge_m(n), to_m: edge_m(n + 1), count: 0 }).collect();
    for reading in readings_m {
        if let Some(class) = classes.get_mut((class(*reading, width_um) - first) as usize) {
            class.count += 1;
        }
    }
    Some(Histogram { class_width_m: width_um / 1e6, classes })
}

/// Round widths in um, growing: 1, 2, 5, 10, 20, 50 and so on.
fn widths_um() -> impl Iterator<Item = f64> {
    let tens = std::iter::successors(Some(1.0), |ten| Some(ten * 10.0));
    tens.take_while(|ten: &f64| ten.is_finite()).flat_map(|ten| [ten, 2.0 * ten, 5.0 * ten])
}

/// Which class a reading in m falls in, counted from that at 0. A reading at an edge belongs to the class
/// above it, whatever its last bit.
fn class(reading_m: f64, width_um: f64) -> f64 {
    (reading_m * 1e6 / width_um + 1e-6).floor()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn in_m(readings_um: &[f64]) -> Vec<f64> {
        readings_um.iter().map(|um| um / 1e6).collect()
    }

    #[test]
    fn statistics_by_hand() {
        // Mean 5; squares 9 + 1 + 1 + 1 + 0 + 0 + 4 + 16 = 32; 32 / 7.
        let found = statistics(&[2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0]).expect("statistics");
        assert_eq!((found.count, found.mean_m), (8, 5.0));
        let deviation = (32.0_f64 / 7.0).sqrt();
        assert!(found.deviation_m.is_some_and(|d| (d - deviation).abs() < 1e-12));
        assert_eq!((found.least_m, found.greatest_m), (2.0, 9.0));
        let one = statistics(&[3.0]).expect("statistics");
        assert_eq!((one.mean_m, one.deviation_m), (3.0, None));
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

    #[test]
    fn a_histogram_by_hand() {
        let readings = in_m(&[300.0, 301.0, 304.9, 305.0, 340.0, 349.9, 398.0]);
        let found = histogram(&readings).expect("a histogram");
        assert!((found.class_width_m - 5e-6).abs() < 1e-15);
        assert_eq!(found.classes.len(), 20);
        let counts: Vec<usize> = found.classes.iter().map(|class| class.count).collect();
        assert_eq!((counts[0], counts[1], counts[8], counts[9], counts[19]), (3, 1, 1, 1, 1));
        assert_eq!(counts.iter().sum::<usize>(), readings.len());
        assert!((found.classes[0].from_m - 300e-6).abs() < 1e-12);
        assert!((found.classes[19].to_m - 400e-6).abs() < 1e-12);
    }

    #[test]
    fn from_ten_to_twenty_five_classes_whatever_the_spread() {
        for spread_um in 10..3000 {
            for least_um in [-3.0, 0.0, 87.0, 301.5] {
                let readings = in_m(&[least_um, least_um + f64::from(spread_um)]);
                let classes = histogram(&readings).expect("a histogram").classes;
                assert!((10..=25).contains(&classes.len()), "{spread_um}: {}", classes.len());
                assert_eq!(classes.iter().map(|class| class.count).sum::<usize>(), 2);
            }
        }
        let close = histogram(&in_m(&[120.0, 121.0, 123.0])).expect("a histogram");
        let counts: Vec<usize> = close.classes.iter().map(|class| class.count).collect();
        assert_eq!(counts, vec![1, 1, 0, 1]);
        assert_eq!(histogram(&[]), None);
        assert_eq!(histogram(&[f64::INFINITY]), None);
        let huge = histogram(&[-f64::MAX, 0.0, f64::MAX]);
        assert!(huge.is_none_or(|found| found.classes.len() <= 25));
    }

    #[test]
    fn every_whole_micrometre_falls_in_the_class_that_begins_with_it() {
        let readings: Vec<f64> = (200..225).map(|um| f64::from(um) * 1e-6).collect();
        let found = histogram(&readings).expect("a histogram");
        assert_eq!(found.classes.len(), 25);
        assert!(found.classes.iter().all(|class| class.count == 1));
    }
}
