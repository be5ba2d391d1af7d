//! Pictures in small. Each stands once in the page, and whatever shows it refers to it there, so that it costs its
//! bytes once.

use std::collections::BTreeMap;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, html};

use crate::findings::Examined;
use crate::records::pictures::{PREVIEW_EDGE, Preview};
use crate::records::store::Store;
use crate::report::{figures, says_picture};
use crate::text;
use crate::text::count;

/// The most previews of a page, and the most bytes of all, so that it opens anywhere.
const MOST: usize = 120;
const MOST_BYTES_OF_ALL: usize = 2_000_000;

/// The most files that are named one by one.
const MOST_NAMED: usize = 12;

/// The pictures of a record as the page shows them.
#[derive(Debug, Default)]
pub struct Previews {
    by_file: BTreeMap<String, Shown>,
}

/// One of them.
#[derive(Debug)]
struct Shown {
    /// Its number among the pictures of the report.
    number: usize,
    /// What it is, for those who can't see it.
    alt: String,
    /// Whether its file is there.
    is_kept: bool,
    /// Itself, or why it is not shown, as a sentence part.
    preview: Result<Preview, String>,
}

impl Previews {
    /// Makes the previews of a project's pictures, one after the other. Where not all have room, those come first that
    /// say something to the next docking, then those that the report shows, then those with a place on the plan.
    pub fn read(examined: &Examined, store: &dyn Store) -> Self {
        let project = &examined.project;
        let in_report: BTreeMap<&str, &Result<_, String>> = { project.pictures.pictures().iter() }
            .map(|(file, picture)| (file.as_str(), picture))
            .collect();
        let mut pictures: Vec<_> =
            figures::pictures_placed(examined).into_iter().enumerate().collect();
        pictures.sort_by_key(|(_, (paper, place))| {
            (!paper.for_next_time, !paper.in_report, place.is_none())
        });
        let (mut made, mut left) = (0, MOST_BYTES_OF_ALL);
        let mut by_file = BTreeMap::new();
        for (n, (paper, _)) in pictures {
            let preview = match in_report.get(paper.file.as_str()) {
                _ if made == MOST => Err(format!("this page has room for {MOST}")),
                // Decoded and made upright already.
                Some(Ok(picture)) => Preview::of(&picture.bytes),
                Some(Err(_)) | None => Preview::read(store, &paper.path()),
            };
            let preview = preview.and_then(|preview| {
                left = left.checked_sub(preview.bytes.len()).ok_or_else(|| {
                    let most = MOST_BYTES_OF_ALL / 1_000_000;
                    format!("those before it fill the {most} MB that they may take")
                })?;
                Ok(preview)
            });
            made += usize::from(preview.is_ok());
            let (number, alt) = (n + 1, says_picture(n + 1, paper));
            let is_kept = project.files.contains_key(&paper.path());
            by_file.insert(paper.file.clone(), Shown { number, alt, is_kept, preview });
        }
        Self { by_file }
    }

    /// All of them, where no one sees them: to be referred to.
    pub fn kept(&self) -> Markup {
        let made = self.by_file.values().filter_map(|one| Some((one, one.preview.as_ref().ok()?)));
        html! {
            svg.unseen aria-hidden="true" focusable="false" width="1" height="1" {
                defs {
                    @for (one, preview) in made {
                        image id=(place(one.number)) width=(preview.width) height=(preview.height)
                            href={ "data:image/jpeg;base64," (STANDARD.encode(&preview.bytes)) } {}
                    }
                }
            }
        }
    }

    /// Where a picture's preview is kept, with its width and height in pixels.
    pub fn place_of(&self, file: &str) -> Option<(String, u32, u32)> {
        let one = self.by_file.get(file)?;
        let preview = one.preview.as_ref().ok()?;
        Some((place(one.number), preview.width, preview.height))
    }

    /// What a picture is, for those who can't see it.
    pub fn alt(&self, file: &str) -> &str {
        self.by_file.get(file).map_or("", |one| &one.alt)
    }

    /// A picture in small, or why it is not shown; nothing for what is no picture.
    pub fn shown(&self, file: &str) -> Markup {
        let Some(one) = self.by_file.get(file) else { return html! {} };
        match &one.preview {
            Ok(preview) => {
                let (width, height) = (preview.width, preview.height);
                html! {
                    svg.preview role="img" aria-label=(one.alt) width=(width) height=(height)
                        viewBox={ "0 0 " (width) " " (height) } {
                        use href={ "#" (place(one.number)) } {}
                    }
                }
            }
            Err(why) => html! {
                p.note {
                    "Not shown here: " (why) "."
                    @if one.is_kept { " Its file stands in the bundle, " code { "data/papers/" (file) } "." }
                }
            },
        }
    }

    /// What whoever looks at them has to know.
    pub fn said(&self) -> Markup {
        let lacking: Vec<&str> = { self.by_file.iter() }
            .filter(|(_, one)| one.preview.is_err())
            .map(|(file, _)| file.as_str())
            .collect();
        html! {
            @if !self.by_file.is_empty() {
                p {
                    "Pictures are shown in small, at most " (PREVIEW_EDGE) " pixels on the longer edge and with the colours \
                     of sRGB: enough to know them by, not to judge steel by. The pictures themselves stand in the bundle, \
                     in " code { "data/papers/" } "."
                }
            }
            @if !lacking.is_empty() {
                p {
                    (count(lacking.len(), "picture is", "pictures are")) " not shown on this page; each card says why: "
                    (text::list(&lacking, MOST_NAMED)) "."
                }
            }
        }
    }
}

/// The id of the place where a preview is kept.
fn place(number: usize) -> String {
    format!("preview-{number}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn preview(bytes: usize) -> Result<Preview, String> {
        Ok(Preview { bytes: vec![7; bytes], width: 3, height: 2 })
    }

    /// Words for those who can't see it come from people, and so does the name of its file.
    #[test]
    fn what_people_wrote_of_a_picture_is_letters() {
        const NASTY: &str =
            "\"><script>alert(1)</script><img src=\"javascript:alert(2)\" onerror='alert(3)'>.png";
        let one = |preview| Shown { number: 1, alt: NASTY.to_string(), is_kept: true, preview };
        for (preview, shown) in [(preview(3), true), (Err(NASTY.to_string()), false)] {
            let previews =
                Previews { by_file: BTreeMap::from([(NASTY.to_string(), one(preview))]) };
            let html = [previews.shown(NASTY), previews.kept(), previews.said()]
                .map(Markup::into_string)
                .concat();
            for never in ["<script", "<img", "\"javascript:"] {
                assert!(!html.contains(never), "{never} in {html}");
            }
            assert_eq!(html.contains("<use href=\"#preview-1\">"), shown, "{html}");
            assert!(html.contains("&lt;script&gt;alert(1)"), "{html}");
        }
    }

    #[test]
    fn what_is_no_picture_has_none() {
        let previews = Previews::default();
        assert_eq!(previews.shown("letter.txt").into_string(), "");
        assert_eq!(previews.place_of("letter.txt"), None);
        assert_eq!(previews.said().into_string(), "");
    }
}
