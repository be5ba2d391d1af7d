//! A drawing as the report places it.

use super::canvas::Canvas;

/// Width of a drawing that has no sheet of its own: what an A4 page has between its margins, mm.
pub const WIDTH_MM: f64 = 170.0;
/// Height of a drawing that shares its page with another and their captions, mm.
pub const SHARED_HEIGHT_MM: f64 = 110.0;
/// Height of a drawing that has a page to itself but for its caption, mm.
pub const PAGE_HEIGHT_MM: f64 = 228.0;
/// Greatest height of a drawing that has a sheet of its own, 297 mm high, but for its caption, mm.
pub const SHEET_HEIGHT_MM: f64 = 244.0;

/// The most characters of what is said to whoever can't see a drawing: what a listener follows in one go.
pub const LONGEST_ALT: usize = 299;

/// A text that is no longer than so many characters, cut after a word.
fn within(text: &str, most: usize) -> String {
    let Some((end, _)) = text.char_indices().nth(most) else { return text.to_string() };
    let room = text[..end].char_indices().next_back().map_or(0, |(last, _)| last);
    let kept = text[..room].rfind(' ').map_or(&text[..room], |at| &text[..at]);
    format!("{}\u{2026}", kept.trim_end_matches([',', ';', ':', '.', ' ']))
}

#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Stem of its file's name, such as `plan-P1-2`: unique, of plain letters, figures, `-` and `_`.
    pub name: String,
    /// Its place in the report.
    pub group: Group,
    /// Id of the position it shows, if it shows one.
    pub position: Option<String>,
    pub title: String,
    /// What stands under it: the scale, and what the marks mean.
    pub caption: String,
    /// The same content in words and figures, for whoever can't see it.
    pub alt: String,
    /// What else it takes to read it, for a paragraph beside it; often nothing.
    pub note: String,
    pub width_mm: f64,
    pub height_mm: f64,
    /// The drawing as SVG of that size.
    pub svg: String,
}

/// What is written about a drawing: see the fields of [`Drawing`].
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    pub title: String,
    pub caption: String,
    pub alt: String,
}

impl Drawing {
    /// Closes a canvas of which so much height is used, mm.
    pub fn new(
        group: Group,
        name: impl Into<String>,
        position: Option<&str>,
        words: Words,
        canvas: Canvas,
        used_mm: f64,
    ) -> Self {
        Self::sheet(group, name, position, words, canvas, (WIDTH_MM, used_mm))
    }

    /// Closes a canvas as wide as its own sheet has room, and of which so much height is used, mm.
    pub fn sheet(
        group: Group,
        name: impl Into<String>,
        position: Option<&str>,
        words: Words,
        canvas: Canvas,
        (width_mm, used_mm): (f64, f64),
    ) -> Self {
        let height_mm = Canvas::height_mm(used_mm);
        let Words { title, caption, alt } = words;
        let alt = within(&alt, LONGEST_ALT);
        Self {
            name: name.into(),
            group,
            position: position.map(str::to_string),
            svg: canvas.finish(height_mm, &title, &format!("{caption} {alt}")),
            title,
            caption,
            alt,
            note: String::new(),
            width_mm,
            height_mm,
        }
    }

    /// The same, with what has no room in a caption of one line.
    pub fn with_note(self, note: impl Into<String>) -> Self {
        Self { note: note.into(), ..self }
    }
}

/// The kinds of drawings, each with its place in the report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// Her on the blocks, for the cover.
    Cover,
    Axes,
    Chronology,
    Plan,
    /// What the positions hid, laid over each other.
    Exposure,
    /// The largest pieces that no position exposed, enlarged.
    NeverExposed,
    /// The same as planned.
    Planned,
    Shifts,
    /// What stays hidden in choices of the plan's positions.
    Among,
    LandingDrafts,
    LandingCurve,
    /// The water as she came down, with the load on the blocks.
    LandingWater,
    LandingLoads,
    /// Bending moment and shear force of the hull on the blocks.
    LandingBending,
    LandingGaps,
    /// The water as she lifted off and left.
    UndockingWater,
    CoatingMap,
    CoatingTimes,
    CoatingClimate,
    CoatingFilm,
    Plating,
    /// What each picture shows, on the hull.
    Photographs,
    History,
    /// In a comparison only.
    TwoDockings,
}
