//! Drawings as their template places them.

use serde::Serialize;

use crate::report::figures::{Drawing, Group, SHEET_HEIGHT_MM};
use crate::report::inputs::{Inputs, drawing_name};

/// A drawing as its template places it.
#[derive(Serialize)]
pub(in crate::report) struct Placed<'a> {
    file: String,
    position: Option<&'a str>,
    title: &'a str,
    caption: &'a str,
    alt: &'a str,
    note: &'a str,
    width_mm: f64,
    page: Page,
}

/// The page on which a drawing fits at its own size.
#[derive(Serialize, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
enum Page {
    Upright,
    Across,
    /// On a sheet of its own, of an A4 page’s height and as wide as it needs.
    Sheet,
    /// On none: it is shown smaller than its scale says, and the report says so.
    Shrunk,
}

/// Room for a drawing with its title and caption: width and height in mm, upright and across.
const UPRIGHT_MM: (f64, f64) = (170.0, 222.0);
const ACROSS_MM: (f64, f64) = (257.0, 135.0);
/// The widest sheet: some two metres, with its margins.
const SHEET_MM: (f64, f64) = (1970.0, SHEET_HEIGHT_MM);

/// The numbers of the drawings of one group, in their order.
pub(super) fn drawings_of(inputs: &Inputs<'_>, group: Group) -> Vec<usize> {
    let drawings = inputs.drawings.iter().enumerate();
    drawings.filter(|(_, drawing)| drawing.group == group).map(|(n, _)| n).collect()
}

/// Drawings as their template places them, each with its number among the files.
pub(in crate::report) fn placed<'a>(
    drawings: impl Iterator<Item = (usize, &'a Drawing)>,
) -> Vec<Placed<'a>> {
    drawings
        .map(|(n, drawing)| {
            let fits = |(width, height): (f64, f64)| {
                drawing.width_mm <= width + 0.01 && drawing.height_mm <= height + 0.01
            };
            let pages =
                [(UPRIGHT_MM, Page::Upright), (ACROSS_MM, Page::Across), (SHEET_MM, Page::Sheet)];
            let page = pages.into_iter().find(|(room, _)| fits(*room));
            let page = page.map_or(Page::Shrunk, |(_, page)| page);
            Placed {
                file: drawing_name(n),
                position: drawing.position.as_deref(),
                title: &drawing.title,
                caption: &drawing.caption,
                alt: &drawing.alt,
                note: &drawing.note,
                width_mm: match page {
                    Page::Shrunk => {
                        let (width, height) = UPRIGHT_MM;
                        width.min(drawing.width_mm * height / drawing.height_mm.max(1.0))
                    }
                    _ => drawing.width_mm,
                },
                page,
            }
        })
        .collect()
}
