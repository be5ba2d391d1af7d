//! Times of days and weeks along a level axis.

use chrono::{DateTime, Duration, FixedOffset, Timelike};

use crate::findings::recomputed::coating::hours;
use crate::report::figures::chart::Axis;
use crate::report::text;

/// Hours from the midnight before a first moment.
#[derive(Debug, Clone, Copy)]
pub struct Calendar {
    midnight: DateTime<FixedOffset>,
}

impl Calendar {
    /// From the midnight before the first of some moments; `None` without any.
    pub fn before(moments: impl IntoIterator<Item = DateTime<FixedOffset>>) -> Option<Self> {
        let first = moments.into_iter().min()?;
        let since = i64::from(first.num_seconds_from_midnight());
        Some(Self { midnight: first.checked_sub_signed(Duration::seconds(since))? })
    }

    /// A moment, as [`hours`] gives it, in hours since that midnight.
    pub fn of_kept(&self, at_h: f64) -> f64 {
        at_h - hours(self.midnight)
    }

    /// An axis of days from one hour to another.
    pub fn axis(&self, ends_h: (f64, f64), room_mm: f64, apart_mm: f64) -> Option<Axis> {
        let first = self.midnight.date_naive();
        let title = format!(
            "day of the month at its midnight, from {} on; clocks at UTC{}",
            text::day(first),
            self.midnight.offset()
        );
        Axis::days(title, ends_h, room_mm, apart_mm, first)
    }
}
