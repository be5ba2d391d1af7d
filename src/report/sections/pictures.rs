//! A picture as sections show it: with its caption, where it comes from, and words for those who can't see it.

use crate::pages::Image;
use crate::records::papers::Paper;
use crate::records::pictures::Picture;
use crate::report::inputs::picture_name;
use crate::text;
use crate::text::{Text, and, id, list, shortened, strong, time};

/// The most characters of the words for those who can't see a picture.
const LONGEST_ALT: usize = 400;

/// As many things that a picture is about are named under it.
const MOST_ABOUT: usize = 6;

/// A picture with its caption, or why it is not shown.
pub(super) fn image(
    n: usize,
    number: Option<usize>,
    name: &str,
    paper: Option<&Paper>,
    picture: &Result<Picture, String>,
) -> Image {
    let caption = paper.and_then(|paper| paper.caption.as_deref());
    let by = paper.and_then(|paper| paper.by.as_deref()).unwrap_or("not recorded");
    let at = paper.and_then(|paper| paper.taken_at);
    let at = at.map_or_else(|| "time not recorded".into(), |at| text!("{}", at));
    let mut source = Text::new();
    if let Some(about) = paper.map(|paper| &paper.about).filter(|about| !about.is_empty()) {
        source.extend(text!("Of {}", list(about, MOST_ABOUT)));
        source.extend(text!("; "));
    }
    source.extend(text!("{}; by {}", at, by));
    if let Some(from) = paper.map(|paper| &paper.seen_from).filter(|from| !from.is_empty()) {
        source.extend(text!("; seen from {}", and(from)));
    }
    source.extend(text!("; {}", id(name)));
    if let Some(note) = picture.as_ref().ok().and_then(|picture| picture.note.as_deref()) {
        source.extend(text!(". {}", strong(note)));
    }
    let caption = caption.unwrap_or("Caption not recorded.");
    Image {
        name: name.to_string(),
        file: picture.as_ref().ok().map(|picture| picture_name(n, picture.extension)),
        why_not: picture.as_ref().err().cloned(),
        wide: picture.as_ref().is_ok_and(|picture| picture.wide),
        alt: alternative(number, paper),
        caption: number
            .map_or_else(|| caption.to_string(), |number| format!("{number}. {caption}")),
        language: paper.and_then(|paper| paper.language.clone()),
        source,
    }
}

/// What a picture is, for those who can't see it: its kind, what it is about, from where and when; its caption stands
/// beside it anyway.
pub fn alternative(number: Option<usize>, paper: Option<&Paper>) -> String {
    let kind = paper.and_then(|paper| paper.kind.as_deref()).unwrap_or("picture");
    let mut said = match kind.chars().next() {
        Some(first) => format!("{}{}", first.to_ascii_uppercase(), &kind[first.len_utf8()..]),
        None => String::new(),
    };
    if let Some(number) = number {
        said.push_str(&format!(" {number}"));
    }
    let Some(paper) = paper else { return format!("{said}.") };
    if !paper.about.is_empty() {
        let about: Vec<String> = paper.about.iter().map(|about| about.replace(':', " ")).collect();
        said.push_str(&format!(" of {}", list(&about, 6)));
    }
    if !paper.seen_from.is_empty() {
        said.push_str(&format!(", seen from {}", and(&paper.seen_from)));
    }
    if let Some(at) = paper.taken_at {
        said.push_str(&format!(", on {}", time(at)));
    }
    said.push('.');
    shortened(&said, LONGEST_ALT)
}
