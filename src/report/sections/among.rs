//! The positions that the plan offers, compared.

use super::drawings::drawings_of;
use crate::pages::{Section, planned};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;

/// `None` where no position of the plan is on record.
pub(super) fn section(inputs: &Inputs<'_>) -> Option<Section> {
    planned::among::among(inputs.examined, drawings_of(inputs, Group::Among))
}
