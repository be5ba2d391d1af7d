//! The air and the steel while paint goes on: dew point, margin, and the worst reading that counts.

use super::formula::Formula;

pub const DEW_POINT: Formula = Formula {
    name: "dew point",
    title: "Dew point over water",
    says: "`g = ln(U / 100) + (17.62 t) / (243.12 + t)`; `dew point = (243.12 g) / (17.62 - g)`; t air \
           temperature in \u{b0}C, U relative humidity in per cent; given where t and the dew point lie from \
           -45 to 60 \u{b0}C",
    source: "Magnus form with the coefficients for water of WMO-No. 8, Guide to Instruments and Methods \
             of Observation, annex 4.B",
};

pub const MARGIN: Formula = Formula {
    name: "margin over the dew point",
    title: "How far the steel is above the dew point",
    says: "`steel temperature - dew point` of the same reading",
    source: "definition; the limit is the project's, 3 K by IMO Res. MSC.215(82)",
};

/// Which readings count for an application.
pub const COUNTED: Formula = Formula {
    name: "climate readings that count",
    title: "Climate readings that count for an application",
    says: "every reading from its beginning to its end, the nearest before and the nearest after unless one \
           was taken just then; the worst of them counts; the age is the longest time from any moment of the application to the \
           reading nearest to that moment",
    source: "our choice: what happened between two readings is not known, so both count",
};

/// Temperatures for which the form holds, degC.
const HOLDS_C: std::ops::RangeInclusive<f64> = -45.0..=60.0;

/// The dew point over water in degC, from the air temperature in degC and the relative humidity in per
/// cent. `None` where the humidity is not over 0 and up to 100, or where the air or the dew point lies
/// outside -45 to 60 degC, for which the form does not hold.
pub fn dew_point_c(air_c: f64, humidity_pct: f64) -> Option<f64> {
    let holds = HOLDS_C.contains(&air_c) && humidity_pct > 0.0 && humidity_pct <= 100.0;
    if !holds {
        return None;
    }
    let g = libm::log(humidity_pct / 100.0) + 17.62 * air_c / (243.12 + air_c);
    let dew_point_c = 243.12 * g / (17.62 - g);
    // That of saturated air at the range's end may come out a last bit beyond it.
    (dew_point_c >= *HOLDS_C.start() - 1e-9).then_some(dew_point_c)
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// When, hours since any moment.
    pub at_h: f64,
    pub air_c: f64,
    pub humidity_pct: f64,
    pub steel_c: Option<f64>,
}

impl Reading {
    /// How far the steel is above the dew point, K; negative where dew falls. `None` without a steel
    /// temperature or a dew point.
    pub fn margin_k(&self) -> Option<f64> {
        Some(self.steel_c? - dew_point_c(self.air_c, self.humidity_pct)?)
    }
}

/// The worst of the readings that count for an application.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Worst {
    /// Least margin of the steel over the dew point, K, and the number of its reading. Of equal ones the
    /// first counts, here and below.
    pub least_margin_k: Option<(f64, usize)>,
    /// Highest humidity, per cent, and the number of its reading.
    pub highest_humidity_pct: Option<(f64, usize)>,
    /// Coldest steel, degC, and the number of its reading.
    pub coldest_steel_c: Option<(f64, usize)>,
    /// Warmest steel, degC, and the number of its reading.
    pub warmest_steel_c: Option<(f64, usize)>,
    /// Coldest air, degC, and the number of its reading.
    pub coldest_air_c: Option<(f64, usize)>,
    /// Warmest air, degC, and the number of its reading.
    pub warmest_air_c: Option<(f64, usize)>,
    /// Longest time from any moment of the application to the reading nearest to it, h.
    pub age_h: Option<f64>,
    /// How many readings count.
    pub count: usize,
    /// Numbers of the earliest and of the latest of them.
    pub span: Option<(usize, usize)>,
}

/// The worst of the readings from one time to another in hours, with the nearest before and the nearest
/// after (all that were taken at that same moment); one taken just at an end leaves none beyond it to count. Numbers
/// are places in `readings`, which may be in any order. Everything is `None` without a reading.
pub fn worst(readings: &[Reading], from_h: f64, to_h: f64) -> Worst {
    let (from_h, to_h) = (from_h.min(to_h), from_h.max(to_h));
    let times = || readings.iter().map(|reading| reading.at_h);
    let first_h = times().filter(|at| *at <= from_h).fold(f64::NEG_INFINITY, f64::max);
    let last_h = times().filter(|at| *at >= to_h).fold(f64::INFINITY, f64::min);
    let from_h_counted = if first_h.is_finite() { first_h } else { from_h };
    let to_h_counted = if last_h.is_finite() { last_h } else { to_h };

    let mut worst = Worst { age_h: age_h(times().collect(), from_h, to_h), ..Worst::default() };
    for (n, reading) in readings.iter().enumerate() {
        if !(from_h_counted..=to_h_counted).contains(&reading.at_h) {
            continue;
        }
        keep(&mut worst.least_margin_k, reading.margin_k(), n, |new, old| new < old);
        keep(&mut worst.highest_humidity_pct, Some(reading.humidity_pct), n, |new, old| new > old);
        keep(&mut worst.coldest_steel_c, reading.steel_c, n, |new, old| new < old);
        keep(&mut worst.warmest_steel_c, reading.steel_c, n, |new, old| new > old);
        keep(&mut worst.coldest_air_c, Some(reading.air_c), n, |new, old| new < old);
        keep(&mut worst.warmest_air_c, Some(reading.air_c), n, |new, old| new > old);
        let (first, last) = worst.span.unwrap_or((n, n));
        let at = |number: usize| readings.get(number).map_or(reading.at_h, |one| one.at_h);
        worst.span = Some((
            if reading.at_h < at(first) { n } else { first },
            if reading.at_h > at(last) { n } else { last },
        ));
        worst.count += 1;
    }
    worst
}

/// Takes a value in place of the one known so far, if it is worse or the first.
fn keep(
    known: &mut Option<(f64, usize)>,
    value: Option<f64>,
    reading: usize,
    worse: fn(f64, f64) -> bool,
) {
    let Some(value) = value.filter(|value| !value.is_nan()) else { return };
    if known.is_none_or(|(old, _)| worse(value, old)) {
        *known = Some((value, reading));
    }
}

/// The greatest distance from any moment of a stretch to the nearest of some times. It lies at an end of
/// the stretch or halfway between two neighbouring times.
fn age_h(mut times: Vec<f64>, from_h: f64, to_h: f64) -> Option<f64> {
    times.retain(|at| at.is_finite());
    times.sort_by(f64::total_cmp);
    let nearest = |moment: f64| times.iter().map(|at| (at - moment).abs()).min_by(f64::total_cmp);
    let at_ends = nearest(from_h)?.max(nearest(to_h)?);
    let halfway = times.windows(2).filter_map(|pair| match pair {
        [a, b] => (from_h..=to_h).contains(&((a + b) / 2.0)).then_some((b - a) / 2.0),
        _ => None,
    });
    Some(halfway.fold(at_ends, f64::max))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<f64>, wanted: f64) {
        assert!(
            found.is_some_and(|found| (found - wanted).abs() < 1e-9),
            "{found:?}, not {wanted}"
        );
    }

    #[test]
    fn dew_point_by_hand_and_where_it_is_not_given() {
        // g = ln 0.5 + 352.4 / 263.12 = -0.693147 + 1.339313 = 0.646166;
        // 243.12 x 0.646166 / 16.973834 = 9.2552.
        let found = dew_point_c(20.0, 50.0);
        assert!(found.is_some_and(|c| (c - 9.2552).abs() < 1e-4), "{found:?}");
        for air_c in [-45.0, -5.0, 0.0, 12.3, 60.0] {
            near(dew_point_c(air_c, 100.0), air_c);
        }
        let nowhere = [
            (20.0, 0.0),
            (20.0, -1.0),
            (20.0, 100.1),
            (-45.1, 100.0),
            (60.1, 50.0),
            (f64::NAN, 50.0),
            (20.0, f64::NAN),
            (-44.0, 50.0), // a dew point far below -45
        ];
        for (air_c, humidity_pct) in nowhere {
            assert_eq!(dew_point_c(air_c, humidity_pct), None, "{air_c} {humidity_pct}");
        }
    }

    fn reading(at_h: f64, humidity_pct: f64, steel_c: Option<f64>) -> Reading {
        Reading { at_h, air_c: 15.0, humidity_pct, steel_c }
    }

    #[test]
    fn the_neighbours_count_and_those_beyond_do_not() {
        let day = [
            reading(0.0, 100.0, Some(-9.0)),
            reading(6.0, 80.0, Some(11.0)),
            reading(9.0, 60.0, Some(14.0)),
            reading(11.0, 60.0, None),
            reading(13.0, 70.0, Some(16.0)),
            reading(20.0, 100.0, Some(40.0)),
        ];
        let found = worst(&day, 8.0, 12.0);
        assert_eq!(found.highest_humidity_pct, Some((80.0, 1)));
        assert_eq!(found.coldest_steel_c, Some((11.0, 1)));
        assert_eq!(found.warmest_steel_c, Some((16.0, 4)));
        let margin = 11.0 - dew_point_c(15.0, 80.0).unwrap_or(f64::NAN);
        assert_eq!(found.least_margin_k, Some((margin, 1)));
        // From 8 h it is 1 h to the reading at 9 h; from 10 h, 1 h to both; from 12 h, 1 h.
        near(found.age_h, 1.0);
        // The same in any order, with the places of that order.
        let mut turned = day;
        turned.reverse();
        let again = worst(&turned, 12.0, 8.0);
        assert_eq!(again.least_margin_k, Some((margin, 4)));
        assert_eq!(again.age_h, found.age_h);
    }

    #[test]
    fn readings_at_the_ends_and_of_one_moment() {
        let day = [
            reading(1.0, 90.0, None),
            reading(1.0, 95.0, None),
            reading(2.0, 50.0, None),
            reading(3.0, 50.0, None),
        ];
        // A reading stands just at the beginning: the damp ones an hour before don't count.
        let found = worst(&day, 2.0, 3.0);
        assert_eq!(found.highest_humidity_pct, Some((50.0, 2)));
        assert_eq!(worst(&day, 1.5, 3.0).highest_humidity_pct, Some((95.0, 1)));
        assert_eq!((found.least_margin_k, found.coldest_steel_c), (None, None));
        assert_eq!((found.count, found.span), (2, Some((2, 3))));
        let mut damp = day;
        damp[2].air_c -= 4.0;
        let damp = worst(&damp, 1.5, 3.0);
        let air = (damp.coldest_air_c, damp.warmest_air_c);
        assert_eq!((damp.count, damp.span), (4, Some((0, 3))));
        assert_eq!(air, (Some((day[2].air_c - 4.0, 2)), Some((day[0].air_c, 0))));
        near(found.age_h, 0.5);
        near(worst(&day, 2.0, 2.0).age_h, 0.0);
    }

    #[test]
    fn the_age_is_greatest_at_an_end_or_halfway() {
        let at = |times: &[f64], from: f64, to: f64| {
            let day: Vec<Reading> = times.iter().map(|t| reading(*t, 50.0, None)).collect();
            worst(&day, from, to).age_h
        };
        near(at(&[5.0], 7.0, 9.0), 4.0);
        near(at(&[5.0], 1.0, 6.0), 4.0);
        near(at(&[0.0, 10.0], 2.0, 8.0), 5.0);
        near(at(&[0.0, 10.0], 1.0, 3.0), 3.0); // halfway is not reached
        near(at(&[0.0, 2.0, 10.0, 11.0], 0.0, 11.0), 4.0);
        near(at(&[0.0, 10.0, 20.0], 4.0, 12.0), 5.0);
        assert_eq!(at(&[], 0.0, 1.0), None);
        assert_eq!(worst(&[], 0.0, 1.0), Worst::default());
    }

    /// Against every tenth of an hour tried one by one.
    #[test]
    fn the_age_is_no_less_than_at_any_moment() {
        let times = [0.0, 1.5, 1.5, 4.75, 9.0, 9.25, 17.0];
        let day: Vec<Reading> = times.iter().map(|t| reading(*t, 50.0, None)).collect();
        for (from, to) in [(0, 200), (20, 30), (26, 90), (100, 130), (180, 200), (31, 31)] {
            let tried = (from..=to)
                .map(|tenth| f64::from(tenth) / 10.0)
                .map(|t| times.iter().map(|at| (at - t).abs()).fold(f64::INFINITY, f64::min))
                .fold(0.0, f64::max);
            let found = worst(&day, f64::from(from) / 10.0, f64::from(to) / 10.0).age_h;
            let found = found.unwrap_or(f64::NAN);
            assert!(found >= tried - 1e-9 && found <= tried + 0.1, "{from} {to}: {found} {tried}");
        }
    }
}
