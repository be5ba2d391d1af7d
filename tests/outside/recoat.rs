//! Common practice, no source: patches over what the blocks hid are painted after a shift, and each further
//! shift makes the coats round them older by days. A tie-in that one shift leaves within its window two may not.

use lastdock::calc::recoat::{Row, Timing, timing, window};

const DAY_H: f64 = 24.0;

#[test]
fn each_further_shift_ages_the_tie_in() {
    // A table as a data sheet might have it: the last coat of the surrounding coating may wait 21 days at 10 degrees C, and
    // 14 at 20.
    let rows = [
        Row { steel_c: 5.0, least_h: 24.0, greatest_h: Some(30.0 * DAY_H) },
        Row { steel_c: 10.0, least_h: 12.0, greatest_h: Some(21.0 * DAY_H) },
        Row { steel_c: 20.0, least_h: 6.0, greatest_h: Some(14.0 * DAY_H) },
    ];
    // The surrounding coating's last coat took 6 h; a patch takes 4 h. Each shift takes three days in the water and five
    // of preparation and priming before the patch.
    let (field_h, patch_h, shift_h) = (6.0, 4.0, 8.0 * DAY_H);
    let kept = |shifts: f64, coldest_c: f64, warmest_c: f64| {
        let begins_h = field_h + shifts * shift_h;
        let window = window(&rows, coldest_c, warmest_c).expect("steel within the table");
        timing(&window, begins_h - field_h, begins_h + patch_h)
    };
    // Steel from 11 to 14 degrees C: 12 h and 14 days on the strict side.
    assert_eq!(kept(0.0, 11.0, 14.0), Timing::TooSoon);
    assert_eq!(kept(1.0, 11.0, 14.0), Timing::Within);
    assert_eq!(kept(2.0, 11.0, 14.0), Timing::TooLate);
    // Colder steel bears a second shift, and not a third.
    assert_eq!(kept(2.0, 6.0, 9.5), Timing::Within);
    assert_eq!(kept(3.0, 6.0, 9.5), Timing::TooLate);
    // Steel beyond the table has no window at all.
    assert_eq!(window(&rows, 4.0, 9.5), None);
}
