//! XML taken apart into tags, before a library sees it: what is broken, unbalanced or promises more than
//! it holds is refused here, so that nothing in it can hang the reader or fill the memory.

/// A tag. Attributes are as written, entities and all.
pub(super) struct Tag<'a> {
    pub name: &'a str,
    pub attributes: Vec<(&'a str, &'a str)>,
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

impl<'a> Tag<'a> {
    /// An attribute by its whole name.
    pub fn attribute(&self, name: &str) -> Option<&'a str> {
        self.attributes.iter().find(|(key, _)| *key == name).map(|(_, value)| *value)
    }

    /// An attribute that is a count: its digits alone, no more than `most`; 1 where it does not stand.
    pub fn count(&self, name: &str, most: usize) -> Result<usize, Broken> {
        let Some(value) = self.attribute(name) else { return Ok(1) };
        let plain =
            !value.is_empty() && value.len() < 10 && value.bytes().all(|b| b.is_ascii_digit());
        let count =
            value.parse().ok().filter(|_| plain).ok_or(Broken("has a count that is none"))?;
        if count > most { Err(Broken("promises more cells than any sheet has")) } else { Ok(count) }
    }
}

/// What is wrong with a part, to follow its name.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Broken(pub &'static str);

/// The tags of a part in their order, balanced. No tag may have another's beginning inside it, which
/// well-formed XML never has: so every reader finds the same ones.
pub(super) fn tags(
    part: &[u8],
    mut with: impl FnMut(&Tag<'_>) -> Result<(), Broken>,
) -> Result<(), Broken> {
    let text = std::str::from_utf8(part).map_err(|_| Broken("is not UTF-8 text"))?;
    if text.contains('\0') {
        return Err(Broken("is no text"));
    }
    let mut open: Vec<&str> = Vec::new();
    let mut from = 0;
    while let Some(found) = text[from..].find('<') {
        let at = from + found;
        let rest = &text[at..];
        let (end, is_tag) = match rest.as_bytes().get(1) {
            Some(b'?') => (ends(rest, "?>")?, false),
            Some(b'!') if rest.starts_with("<!--") => (4 + ends(&rest[4..], "-->")?, false),
            Some(b'!') if rest.starts_with("<![CDATA[") => (9 + ends(&rest[9..], "]]>")?, false),
            Some(b'!') => (ends(rest, ">")?, false),
            _ => (tag_ends(rest)?, true),
        };
        let inside = &rest[1..end];
        if inside.contains('<') || (rest.starts_with("<!D") && inside.contains('[')) {
            return Err(Broken("is not well-formed XML"));
        }
        if is_tag {
            let tag = taken_apart(inside.strip_suffix('>').unwrap_or(inside), at)?;
            match tag.kind {
                Kind::Opens => open.push(tag.name),
                Kind::Closes if open.pop() != Some(tag.name) => {
                    return Err(Broken("is not well-formed XML"));
                }
                _ => {}
            }
            with(&tag)?;
        }
        from = at + end;
    }
    if open.is_empty() { Ok(()) } else { Err(Broken("ends in the middle")) }
}

/// Where something ends, behind the sign that ends it.
fn ends(rest: &str, sign: &str) -> Result<usize, Broken> {
    rest.find(sign).map(|at| at + sign.len()).ok_or(Broken("ends in the middle"))
}

/// Where a tag ends: at the first > outside quotation marks.
fn tag_ends(rest: &str) -> Result<usize, Broken> {
    let mut quote = None;
    for (at, byte) in rest.bytes().enumerate() {
        match (byte, quote) {
            (b'>', None) => return Ok(at + 1),
            (b'"' | b'\'', None) => quote = Some(byte),
            (_, Some(opened)) if byte == opened => quote = None,
            _ => {}
        }
    }
    Err(Broken("ends in the middle"))
}

fn taken_apart(inside: &str, at: usize) -> Result<Tag<'_>, Broken> {
    let broken = || Broken("is not well-formed XML");
    let (inside, kind) = match (inside.strip_prefix('/'), inside.strip_suffix('/')) {
        (Some(inside), _) => (inside, Kind::Closes),
        (None, Some(inside)) => (inside, Kind::Alone),
        (None, None) => (inside, Kind::Opens),
    };
    let name_ends = inside.find(|c: char| c.is_ascii_whitespace()).unwrap_or(inside.len());
    let (name, mut rest) = inside.split_at(name_ends);
    let mut attributes = Vec::new();
    loop {
        rest = rest.trim_ascii();
        if rest.is_empty() {
            break;
        }
        let (key, behind) = rest.split_once('=').ok_or_else(broken)?;
        let behind = behind.trim_ascii_start();
        let quote = behind.chars().next().filter(|c| matches!(c, '"' | '\'')).ok_or_else(broken)?;
        let (value, behind) = behind[1..].split_once(quote).ok_or_else(broken)?;
        attributes.push((key.trim_ascii(), value));
        rest = behind;
    }
    if name.is_empty() || (kind == Kind::Closes && !attributes.is_empty()) {
        return Err(broken());
    }
    Ok(Tag { name, attributes, kind, at })
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
        let part = "\u{feff}<?xml version='1.0'?><a x=\"1 > 0\"  y = '\"'>text<b/><!-- no tag > --><c:d\n/></a>";
        assert_eq!(
            names(part).as_deref(),
            Ok(&["a x=1 > 0 y=\"", "b", "c:d", "a"].map(String::from)[..])
        );
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
