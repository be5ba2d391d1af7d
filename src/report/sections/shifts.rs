//! The shift to choose, or why none can be named.

use super::drawings::drawings_of;
use crate::pages::{self, Section};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::strong;

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    match inputs.examined.shift_to_choose() {
        Ok(answer) => pages::shifts::section(answer, drawings_of(inputs, Group::Shifts)),
        Err(why) => {
            let mut section = Section::new("The shift to choose").at("shifts");
            section.paragraph(text!("{} {}", strong("Not recorded:"), why));
            section
        }
    }
}
