//! What the findings say of the sample's coating: every id and outcome that is expected, and no other.

use super::{EXAMINED, EXPECTED};
use crate::common::outcomes_are;

#[test]
fn every_outcome_is_the_expected_one() {
    outcomes_are(&EXAMINED.findings, "expected_coating.json", &EXPECTED, 611);
}
