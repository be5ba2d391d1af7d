//! The letters of the drawings: how wide a text is, and what of a person's text can be shown.

use std::sync::OnceLock;

use ttf_parser::Face;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Labels and numbers along the axes, points; nothing is lettered smaller, so that it can be read at arm’s length.
pub const SMALL_PT: f64 = 7.0;
/// Plain text, points.
pub const PLAIN_PT: f64 = 7.0;
/// Headings, points.
pub const HEADING_PT: f64 = 8.0;

/// Most characters of an id in a label.
pub const LONGEST_LABEL: usize = 14;

/// Points in mm.
pub fn mm(points: f64) -> f64 {
    points * 25.4 / 72.0
}

/// Height of capitals and figures above the baseline, mm.
pub fn capital_mm(size_pt: f64) -> f64 {
    0.73 * mm(size_pt)
}

/// Width of a text in mm, kerning left aside.
pub fn width_mm(text: &str, size_pt: f64) -> f64 {
    // Without the font's tables a wide guess keeps labels apart.
    const GUESS: f64 = 0.6;
    let em = |c: char| {
        let face = face()?;
        let advance = face.glyph_hor_advance(face.glyph_index(c)?)?;
        Some(f64::from(advance) / f64::from(face.units_per_em()))
    };
    text.chars().map(|c| em(c).unwrap_or(GUESS)).sum::<f64>() * mm(size_pt)
}

/// A person's text as it can be shown: control characters dropped, and each character that the font
/// lacks, that would only turn the direction of its neighbours, or that is a mark which does not make one character with
/// its letter, as its code point: what a font heaps on a letter can't be read back from the PDF.
pub fn shown(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.nfc().filter(|c| !c.is_control()) {
        let invisible = matches!(c,
            '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}');
        let lacking = face().is_some_and(|face| face.glyph_index(c).is_none());
        if invisible || lacking || is_combining_mark(c) {
            shown.push_str(&format!("[U+{:04X}]", u32::from(c)));
        } else {
            shown.push(c);
        }
    }
    shown
}

/// An id for a label: as it can be shown, and its middle left out where it is long, since ids of one
/// kind mostly begin alike and end in a number.
pub fn label(id: &str) -> String {
    of_characters(&shown(id), LONGEST_LABEL)
}

/// The same where there is no more room than so much, mm.
pub fn label_within(id: &str, room_mm: f64, size_pt: f64) -> String {
    let shown = shown(id);
    const SHORTEST: usize = 3;
    let mut labels = (SHORTEST..=LONGEST_LABEL).rev().map(|most| of_characters(&shown, most));
    let fits = labels.find(|label| width_mm(label, size_pt) <= room_mm);
    fits.unwrap_or_else(|| of_characters(&shown, SHORTEST))
}

/// A text of so many characters at most, its middle left out where it is longer.
fn of_characters(shown: &str, most: usize) -> String {
    let count = shown.chars().count();
    if count <= most {
        return shown.to_string();
    }
    let (before, after) = (most / 2, most - 1 - most / 2);
    let head: String = shown.chars().take(before).collect();
    let tail: String = shown.chars().skip(count - after).collect();
    format!("{head}\u{2026}{tail}")
}

fn face() -> Option<&'static Face<'static>> {
    static FACE: OnceLock<Option<Face<'static>>> = OnceLock::new();
    FACE.get_or_init(|| Face::parse(dejavu::sans_condensed::regular(), 0).ok()).as_ref()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_come_from_the_font() {
        let (one, two) = (width_mm("K", 10.0), width_mm("KK", 10.0));
        assert!((two - 2.0 * one).abs() < 1e-12 && one > 1.5 && one < 3.0, "{one}");
        assert!(width_mm("i", 10.0) < width_mm("W", 10.0) / 2.0);
    }

    #[test]
    fn what_the_font_lacks_is_a_code_point() {
        assert_eq!(shown("K\u{1f6a2}1\u{9}\u{202e}"), "K[U+1F6A2]1[U+202E]");
        assert_eq!(shown("Zürich"), "Zürich");
    }

    #[test]
    fn long_ids_keep_both_ends() {
        assert_eq!(label("K23S"), "K23S");
        assert_eq!(label("keel-block-number-0017"), "keel-bl\u{2026}r-0017");
        let narrow = label_within("keel-block-number-0017", 10.0, 7.0);
        assert!(narrow.starts_with("kee") && narrow.ends_with("17"), "{narrow}");
        assert!(width_mm(&narrow, 7.0) <= 10.0 && width_mm(&narrow, 7.0) > 8.0, "{narrow}");
        assert_eq!(label_within("K23S", 10.0, 7.0), "K23S");
    }
}
