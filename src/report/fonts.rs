//! The fonts that every report embeds, and what they can show.

use std::sync::LazyLock;

use typst::foundations::Bytes;
use typst::layout::Abs;
use typst::text::{Font, FontBook, FontInstance, FontVariant, FontVariations};
use typst::utils::LazyHash;

/// The fonts, read once.
pub(super) static FONTS: LazyLock<Fonts> = LazyLock::new(Fonts::read);

/// Fonts with the book in which the typesetter looks them up.
pub(super) struct Fonts {
    pub book: LazyHash<FontBook>,
    pub all: Vec<Font>,
    /// One face of each family that text falls back on.
    plain: Vec<FontInstance>,
}

impl Fonts {
    fn read() -> Self {
        let serif = |face: &str| face.starts_with("LibertinusSerif");
        let mono = |face: &str| face.starts_with("DejaVuSansMono");
        let faces = typst_assets::fonts().chain([
            dejavu::sans::regular(),
            dejavu::sans::bold(),
            dejavu::sans::oblique(),
            dejavu::sans::bold_oblique(),
            dejavu::sans_condensed::regular(),
            dejavu::sans_condensed::bold(),
            dejavu::sans_condensed::oblique(),
            dejavu::sans_condensed::bold_oblique(),
        ]);
        let wanted = |font: &Font| {
            let name = font.post_script_name().unwrap_or_default();
            // The last one is for formulas.
            serif(&name)
                || mono(&name)
                || name.starts_with("DejaVuSans")
                || name == "NewCMMath-Regular"
        };
        let all: Vec<Font> =
            faces.flat_map(|face| Font::iter(Bytes::new(face))).filter(wanted).collect();
        let named = |wanted: &str| {
            let found = all.iter().find(|font| font.post_script_name().as_deref() == Some(wanted));
            // None of these fonts has axes, so that variant and size make no difference.
            let (variant, size) = (FontVariant::default(), Abs::pt(10.0));
            found.cloned().map(|font| font.instantiate(variant, size, &FontVariations::default()))
        };
        let plain = ["LibertinusSerif-Regular", "DejaVuSans", "DejaVuSansMono"];
        Self {
            book: LazyHash::new(FontBook::from_fonts(&all)),
            plain: plain.into_iter().filter_map(named).collect(),
            all,
        }
    }

    /// Whether some font has a shape for a character.
    pub fn show(&self, c: char) -> bool {
        self.plain.iter().any(|font| font.ttf().glyph_index(c).is_some_and(|glyph| glyph.0 != 0))
    }
}
