//! A text as a QR code (ISO/IEC 18004), for whoever would rather hold a camera to it than type it.

use geo::Coord;
use qrcode::{Color, EcLevel, QrCode};

use super::canvas::{Canvas, INK};
use super::drawing::{Drawing, Group, Words};

/// White round it, modules: as many as the standard asks for.
const QUIET: usize = 4;

/// The code as wide as that, mm, so that a quarter of it may be lost; nothing for a text that is too long for one.
pub fn code(name: &str, content: &str, alt: &str, width_mm: f64) -> Option<Drawing> {
    let code = QrCode::with_error_correction_level(content, EcLevel::Q).ok()?;
    let across = code.width();
    let module_mm = width_mm / (across + 2 * QUIET) as f64;
    let mut canvas = Canvas::new(width_mm);
    let edge = |n: usize| (n + QUIET) as f64 * module_mm;
    for (row, colours) in code.to_colors().chunks(across).enumerate() {
        // Dark modules side by side are one shape, so that no seam shows between them.
        let mut from = 0;
        for run in colours.chunk_by(|a, b| a == b) {
            let to = from + run.len();
            if run.first() == Some(&Color::Dark) {
                let (left, right, top, bottom) = (edge(from), edge(to), edge(row), edge(row + 1));
                let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
                canvas.ring(&corners.map(|(x, y)| Coord { x, y }), None, Some(INK));
            }
            from = to;
        }
    }
    let words =
        Words { title: "QR code".to_string(), caption: String::new(), alt: alt.to_string() };
    let size = (width_mm, width_mm);
    Some(Drawing::sheet(Group::Cover, name, None, words, canvas, size))
}
