//! What every output must say of itself: the one home of the cautions, for terminals, paper and files.

/// For a terminal, and for the foot of a page: at most two lines of 80 characters.
pub const SHORT: &str = "A record and a check of it, not approval to dock, to flood or to enter a space: that is for \
                         the dockmaster, a licensed naval architect and competent persons.";

/// What it is not, and whose matters these are: belongs on a first page and beside advice. Plain ASCII, a paragraph
/// each.
pub const FIRST: [&str; 3] = [
    "This is a record, and a check of a record. It is not approval to dock a ship, to flood or to pump out a dock, to go \
     under a ship, or to enter a space.",
    "The dock, the blocks and their loads, stability and ballast are matters for the dockmaster and a licensed naval \
     architect, under the docking plan and the local rules.",
    "Confined spaces, diving, blasting, coatings and their solvents, and old coatings that may hold lead, tin or asbestos \
     are matters for competent persons, under local law.",
];

/// Before everything that is worked out from a plan. Plain ASCII.
pub const PLANNING: &str = "This is a plan held against calculations, not permission for any step of it: the dockmaster, a \
                            licensed naval architect and the divers' supervisor decide, by the approved docking plan, the \
                            local rules and what they find on the day.";

/// What its figures are worth. Plain ASCII, a paragraph each.
pub const FIGURES: [&str; 3] = [
    "Calculations are estimates from the readings that were given, with their assumptions printed in the report. A reading \
     that was wrong makes a figure that is wrong.",
    "That a figure agrees means that record and recomputation agree within a tolerance. It does not mean that it is true, \
     or safe, or enough for the next docking.",
    "What is not recorded is not known. A ship changes between dockings: look at her, and at the latest plans, before \
     using any figure of this record.",
];

/// All of them, in their order.
pub fn all() -> impl Iterator<Item = &'static str> {
    FIRST.into_iter().chain(FIGURES)
}

/// All of them as one text, for a field of data: sentences with spaces between.
pub fn in_one() -> String {
    all().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn they_are_plain_ascii_and_the_short_one_fits_two_lines() {
        assert!(all().chain([SHORT, PLANNING]).all(|text| text.is_ascii() && text.ends_with('.')));
        assert!(textwrap::wrap(SHORT, 80).len() <= 2, "{SHORT}");
    }
}
