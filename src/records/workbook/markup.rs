//! XML taken apart into tags, before a library sees it: what is broken, unbalanced or promises more than
//! it holds is refused here, so that nothing in it can hang the reader or fill the memory.

use std::borrow::Cow;

use quick_xml::Reader;
use quick_xml::errors::Error;
use quick_xml::events::Event;

/// A tag. Attributes are as written, entities and all.
pub(super) struct Tag<'a> {
    pub name: &'a str,
    pub attributes: Vec<(&'a str, Cow<'a, str>)>,
    pub kind: Kind,
    /// Where it begins, in bytes.
    pub at: usize,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Opens,
    Closes,
    Alone,
}

impl Tag<'_> {
    /// An attribute by its whole name.
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(key, _)| *key == name).map(|(_, value)| &**value)
    }

    /// An attribute that is a count: its digits alone, no more than `most`; 1 where it does not stand.
    pub fn count(&self, name: &str, most: usize) -> Result<usize, Broken> {
        let Some(value) = self.attribute(name) else { return Ok(1) };
        let plain =
            !value.is_empty() && value.len() < 10 && value.bytes().all(|b| b.is_ascii_digit());
        let count = value
            .parse()
            .ok()
            .filter(|_| plain)
            .ok_or(Broken("has a count that is not a number"))?;
        if count > most {
            Err(Broken("announces more cells than any sheet has"))
        } else {
            Ok(count)
        }
    }
}

/// What is wrong with a part, to follow its name.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Broken(pub &'static str);

const NOT_WELL_FORMED: Broken = Broken("is not well-formed XML");
const CUT_SHORT: Broken = Broken("is cut short");

/// The tags of a part in their order, balanced. Nothing between < and > may have another < inside it, be it a
/// comment, a text or the value of an attribute: so every reader finds the same tags.
pub(super) fn tags(
    part: &[u8],
    mut with: impl FnMut(&Tag<'_>) -> Result<(), Broken>,
) -> Result<(), Broken> {
    let text = std::str::from_utf8(part).map_err(|_| Broken("is not UTF-8 text"))?;
    if text.contains('\0') {
        return Err(Broken("is not text"));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mark = part.len() - text.len();
    let mut reader = Reader::from_str(text);
    reader.config_mut().allow_dangling_amp = true;
    let mut open = 0_usize;
    loop {
        let from = reader.buffer_position() as usize;
        let event = reader.read_event().map_err(|error| match error {
            Error::Syntax(_) => CUT_SHORT,
            _ => NOT_WELL_FORMED,
        })?;
        let inside = text.get(from..reader.buffer_position() as usize).unwrap_or_default();
        if inside.matches('<').count() > 1 {
            return Err(NOT_WELL_FORMED);
        }
        let at = mark + from;
        match &event {
            Event::Eof if open == 0 => return Ok(()),
            Event::Eof => return Err(CUT_SHORT),
            Event::DocType(_) if inside.contains('[') => return Err(NOT_WELL_FORMED),
            Event::Start(tag) | Event::Empty(tag) => {
                let opens = matches!(event, Event::Start(_));
                // Of an attribute that stands twice the first counts.
                let attributes: Result<Vec<_>, _> = tag.attributes().with_checks(false).collect();
                let attributes = attributes.map_err(|_| NOT_WELL_FORMED)?;
                let name = tag.name().into_inner();
                if name.is_empty() {
                    return Err(NOT_WELL_FORMED);
                }
                open += usize::from(opens);
                let kind = if opens { Kind::Opens } else { Kind::Alone };
                let attributes = attributes
                    .into_iter()
                    .map(|attribute| (attribute.key.into_inner(), attribute.value))
                    .collect();
                with(&Tag { name, attributes, kind, at })?;
            }
            Event::End(tag) => {
                open = open.checked_sub(1).ok_or(NOT_WELL_FORMED)?;
                let name = tag.name().into_inner();
                with(&Tag { name, attributes: Vec::new(), kind: Kind::Closes, at })?;
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(part: &str) -> Result<Vec<String>, Broken> {
        let mut names = Vec::new();
        tags(part.as_bytes(), |tag| {
            let attributes = tag.attributes.iter().map(|(key, value)| format!(" {key}={value}"));
            names.push(format!("{}{}", tag.name, attributes.collect::<String>()));
            Ok(())
        })?;
        Ok(names)
    }

    #[test]
    fn tags_and_attributes_are_found() {
        let part = "\u{feff}<?xml version='1.0'?><a x=\"1 > 0\"  y = '\"'>text<b/><!-- no tag > \
             --><c:d\n/></a>";
        assert_eq!(
            names(part).as_deref(),
            Ok(&["a x=1 > 0 y=\"", "b", "c:d", "a"].map(String::from)[..])
        );
    }

    #[test]
    fn each_tag_knows_where_it_begins() {
        let part = "\u{feff}<?xml version='1.0'?> <a>\u{e9} &amp; & <b x='1'/>\n<!-- c --> </a >";
        let mut found = String::new();
        let signs = |tag: &Tag<'_>| {
            found.push_str(&part[tag.at..tag.at + 2]);
            Ok(())
        };
        assert_eq!(tags(part.as_bytes(), signs), Ok(()));
        assert_eq!(found, "<a<b</");
    }

    #[test]
    fn what_two_readers_might_take_differently_is_refused() {
        for part in [
            "<a><b></a></b>",
            "<a>",
            "<a",
            "</a>",
            "<a x='<b>'/>",
            "<!-- <a> -->",
            "<a><![CDATA[<b>]]></a>",
            "<!DOCTYPE a [<!ENTITY b 'c'>]><a/>",
            "<a x=1/>",
            "<a \"x\"/>",
            "<a></a x='1'>",
            "<>",
            "<a\0/>",
        ] {
            assert!(names(part).is_err(), "{part}");
        }
        assert!(tags(b"<a>\xff</a>", |_| Ok(())).is_err());
    }

    #[test]
    fn counts_are_digits_and_not_believed_beyond_a_bound() {
        let count = |part: &str| {
            let mut found = Ok(0);
            tags(part.as_bytes(), |tag| {
                found = tag.count("n", 1000);
                Ok(())
            })
            .map(|()| found)
        };
        assert_eq!(count("<a n='1000'/>"), Ok(Ok(1000)));
        assert_eq!(count("<a/>"), Ok(Ok(1)));
        for bad in ["1001", "99999999999999999999", "-1", "", "&#49;", "1 "] {
            assert!(count(&format!("<a n='{bad}'/>")).is_ok_and(|count| count.is_err()), "{bad}");
        }
    }
}
