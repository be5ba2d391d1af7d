//! A drawing as the report places it.

/// A drawing in plan, ready to be placed.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Its name, also that of its file in the bundle.
    pub name: String,
    /// What it belongs to: `axes`, `plan`, `exposure` or `exposure-all`.
    pub group: String,
    /// The position that it shows, where it shows one.
    pub position: Option<String>,
    /// Its title.
    pub title: String,
    /// What stands under it.
    pub caption: String,
    /// What it shows, for those who can't see it.
    pub alt: String,
    /// Width in millimetres at its stated scale.
    pub width_mm: f64,
    /// Height in millimetres at its stated scale.
    pub height_mm: f64,
    /// The drawing itself.
    pub svg: String,
}
