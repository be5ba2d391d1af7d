//! Recoat windows: how soon and how late the next coat may go on.

use super::formula::Formula;

/// How the window is found and what is held against it.
pub const WINDOW: Formula = Formula {
    name: "recoat window",
    title: "Recoat window and what is held against it",
    says: "of the rows of the product's table from the last at or under the coldest steel to the first at or \
           over the warmest: the greatest of the least times and the smallest of the greatest times; \
           outside the table nothing is given. The end of the earlier coat to the beginning of the later \
           is held against the least, the beginning of the earlier to the end of the later against the \
           greatest",
    source: "common practice, no source; reading the table on its strict side is our choice",
};

/// What is no difference between two times in h or two temperatures in K.
const SLACK: f64 = 1e-9;

/// A row of a product's recoat table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    pub steel_c: f64,
    pub least_h: f64,
    /// Greatest time to the next coat, h; `None` where the table sets none.
    pub greatest_h: Option<f64>,
}

/// A window, and between which rows it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    pub least_h: f64,
    /// Greatest time to the next coat, h; `None` where no row sets one. Read on the strict side it may be
    /// less than the least time: then nothing keeps the window.
    pub greatest_h: Option<f64>,
    /// Temperature of the coldest row used, degC.
    pub from_row_c: f64,
    /// Temperature of the warmest row used, degC.
    pub to_row_c: f64,
}

/// The window over steel from its coldest to its warmest, degC. Rows may be in any order. `None` where
/// the steel was outside the table, without rows, and where anything is not a number or the coldest is
/// over the warmest.
pub fn window(rows: &[Row], coldest_c: f64, warmest_c: f64) -> Option<Window> {
    let unsound = |row: &Row| {
        row.steel_c.is_nan() || row.least_h.is_nan() || row.greatest_h.is_some_and(f64::is_nan)
    };
    let in_order = coldest_c <= warmest_c; // not so either where one is not a number
    if !in_order || rows.iter().any(unsound) {
        return None;
    }
    let steps = || rows.iter().map(|row| row.steel_c);
    let from_row_c = steps().filter(|c| *c <= coldest_c + SLACK).max_by(f64::total_cmp)?;
    let to_row_c = steps().filter(|c| *c >= warmest_c - SLACK).min_by(f64::total_cmp)?;
    let within = || rows.iter().filter(|row| row.steel_c >= from_row_c && row.steel_c <= to_row_c);
    Some(Window {
        least_h: within().map(|row| row.least_h).max_by(f64::total_cmp)?,
        greatest_h: within().filter_map(|row| row.greatest_h).min_by(f64::total_cmp),
        from_row_c,
        to_row_c,
    })
}

/// Whether a window was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Timing {
    /// Neither too soon nor too late.
    Within,
    /// Some of the later coat went on before the least time was over.
    TooSoon,
    /// Some of the later coat went on after the greatest time was over.
    TooLate,
    /// Both, as may be with coats that take long to apply.
    TooSoonAndTooLate,
}

/// Holds an interval against a window: the shortest, from the end of the earlier coat to the beginning of
/// the later, and the longest, from the beginning of the earlier to the end of the later; h. Equality
/// passes.
pub fn timing(window: &Window, shortest_h: f64, longest_h: f64) -> Timing {
    match (early_h(window, shortest_h), late_h(window, longest_h)) {
        (None, None) => Timing::Within,
        (Some(_), None) => Timing::TooSoon,
        (None, Some(_)) => Timing::TooLate,
        (Some(_), Some(_)) => Timing::TooSoonAndTooLate,
    }
}

/// By how much an interval is under the least time, h; `None` where it is not. Equality passes.
pub fn early_h(window: &Window, shortest_h: f64) -> Option<f64> {
    Some(window.least_h - shortest_h).filter(|early_h| *early_h > SLACK)
}

/// By how much an interval is over the greatest time, h; `None` where it is not. Equality passes.
pub fn late_h(window: &Window, longest_h: f64) -> Option<f64> {
    Some(longest_h - window.greatest_h?).filter(|late_h| *late_h > SLACK)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(steel_c: f64, least_h: f64, greatest_h: Option<f64>) -> Row {
        Row { steel_c, least_h, greatest_h }
    }

    fn table() -> Vec<Row> {
        vec![
            row(20.0, 6.0, Some(240.0)),
            row(5.0, 24.0, Some(720.0)),
            row(30.0, 4.0, None),
            row(10.0, 12.0, Some(480.0)),
        ]
    }

    fn read(coldest_c: f64, warmest_c: f64) -> Option<(f64, Option<f64>, f64, f64)> {
        window(&table(), coldest_c, warmest_c)
            .map(|w| (w.least_h, w.greatest_h, w.from_row_c, w.to_row_c))
    }

    #[test]
    fn the_strict_side_between_rows() {
        assert_eq!(read(12.0, 14.0), Some((12.0, Some(240.0), 10.0, 20.0)));
        assert_eq!(read(8.0, 14.0), Some((24.0, Some(240.0), 5.0, 20.0)));
        assert_eq!(read(22.0, 25.0), Some((6.0, Some(240.0), 20.0, 30.0)));
        // On a row that row alone counts, whatever the last bit.
        assert_eq!(read(10.0, 10.0), Some((12.0, Some(480.0), 10.0, 10.0)));
        assert_eq!(read(10.0 - 1e-12, 10.0 + 1e-12), Some((12.0, Some(480.0), 10.0, 10.0)));
        assert_eq!(read(30.0, 30.0), Some((4.0, None, 30.0, 30.0)));
        // A row in the middle that is stricter than both ends.
        let odd = [row(5.0, 10.0, None), row(10.0, 30.0, Some(40.0)), row(20.0, 5.0, Some(90.0))];
        let found = window(&odd, 6.0, 15.0);
        assert_eq!(found.map(|w| (w.least_h, w.greatest_h)), Some((30.0, Some(40.0))));
    }

    #[test]
    fn never_beyond_the_table() {
        assert_eq!(read(4.9, 10.0), None);
        assert_eq!(read(10.0, 30.1), None);
        assert_eq!(read(12.0, 11.0), None);
        assert_eq!(read(f64::NAN, 10.0), None);
        assert_eq!(read(10.0, f64::NAN), None);
        assert_eq!(window(&[], 10.0, 10.0), None);
        assert_eq!(window(&[row(10.0, f64::NAN, None)], 10.0, 10.0), None);
        assert_eq!(window(&[row(20.0, 6.0, None)], 19.0, 20.0), None);
    }

    #[test]
    fn equality_passes_both_ends() {
        let kept = |shortest_h: f64, longest_h: f64| {
            let window =
                Window { least_h: 6.0, greatest_h: Some(48.0), from_row_c: 10.0, to_row_c: 20.0 };
            timing(&window, shortest_h, longest_h)
        };
        assert_eq!(kept(6.0, 48.0), Timing::Within);
        assert_eq!(kept(6.0 - 1e-12, 48.0 + 1e-12), Timing::Within);
        assert_eq!(kept(5.99, 20.0), Timing::TooSoon);
        assert_eq!(kept(10.0, 48.01), Timing::TooLate);
        assert_eq!(kept(5.0, 50.0), Timing::TooSoonAndTooLate);
        let endless = Window { least_h: 6.0, greatest_h: None, from_row_c: 10.0, to_row_c: 20.0 };
        assert_eq!(timing(&endless, 7.0, 1e6), Timing::Within);
        assert_eq!((early_h(&endless, 4.5), late_h(&endless, 1e6)), (Some(1.5), None));
        let window = Window { greatest_h: Some(48.0), ..endless };
        assert_eq!((early_h(&window, 6.0), late_h(&window, 48.0)), (None, None));
        assert_eq!((early_h(&window, 6.0), late_h(&window, 120.0)), (None, Some(72.0)));
    }
}
