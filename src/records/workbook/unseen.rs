//! What a person does not see of a sheet, and what is not read of it: rows, columns and sheets that are hidden, and
//! comments on cells. In Office Open XML they stand in other parts than the cells, ISO/IEC 29500-1, 18.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read};

use quick_xml::escape::unescape;
use zip::ZipArchive;

use super::markup::{self, Tag};

/// What is hidden of a sheet, and which of its cells have comments.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub(super) struct Unseen {
    pub is_hidden: bool,
    /// Stretches of hidden rows and columns, their first and last, each from 0.
    pub rows: Vec<(u32, u32)>,
    pub columns: Vec<(u32, u32)>,
    /// Cells that have a comment, by row and column.
    pub comments: BTreeSet<(u32, u32)>,
}

const WORKBOOK: &str = "xl/workbook.xml";

/// The same of every sheet of a workbook in Office Open XML, by its name; of parts that can't be read nothing, since
/// whether they can be is said when their cells are read.
pub(super) fn of_sheets(zip: &[u8]) -> BTreeMap<String, Unseen> {
    let mut parts = Parts(ZipArchive::new(Cursor::new(zip)).ok());
    let mut sheets = Vec::new();
    parts.tags(WORKBOOK, |tag| {
        let is_hidden = tag.attribute("state").is_some_and(|state| state != "visible");
        let id = tag.attributes.iter().find(|(key, _)| key.ends_with(":id"));
        if let ("sheet", Some(name), Some((_, id))) = (plain_name(tag), tag.attribute("name"), id) {
            let name = unescape(name).map_or_else(|_| name.to_string(), String::from);
            sheets.push((name, id.to_string(), is_hidden));
        }
    });
    let targets = parts.targets(WORKBOOK);
    let mut found = BTreeMap::new();
    for (name, id, is_hidden) in sheets {
        let mut unseen = Unseen { is_hidden, ..Unseen::default() };
        if let Some((_, _, part)) = targets.iter().find(|(known, ..)| *known == id) {
            parts.hidden(part, &mut unseen);
            for (_, _, comments) in
                parts.targets(part).iter().filter(|(_, kind, _)| is_comments(kind))
            {
                parts.comments(comments, &mut unseen);
            }
        }
        found.insert(name, unseen);
    }
    found
}

/// Whether a relationship leads to comments, be they notes or threads.
fn is_comments(kind: &str) -> bool {
    kind.ends_with("/comments") || kind.ends_with("/threadedComment")
}

/// The parts of a workbook.
struct Parts<'a>(Option<ZipArchive<Cursor<&'a [u8]>>>);

impl Parts<'_> {
    fn tags(&mut self, part: &str, mut with: impl FnMut(&Tag<'_>)) {
        let mut bytes = Vec::new();
        let read = self.0.as_mut().and_then(|zip| zip.by_name(part).ok());
        if read.is_some_and(|mut part| part.read_to_end(&mut bytes).is_ok()) {
            _ = markup::tags(&bytes, |tag| {
                with(tag);
                Ok(())
            });
        }
    }

    /// Where the relationships of a part lead: their ids, kinds and parts.
    fn targets(&mut self, part: &str) -> Vec<(String, String, String)> {
        let (folder, name) = part.rsplit_once('/').unwrap_or(("", part));
        let mut found = Vec::new();
        self.tags(&format!("{folder}/_rels/{name}.rels"), |tag| {
            let all = ["Id", "Type", "Target"].map(|key| tag.attribute(key).map(String::from));
            if let [Some(id), Some(kind), Some(target)] = all {
                found.push((id, kind, joined(folder, &target)));
            }
        });
        found
    }

    fn hidden(&mut self, part: &str, unseen: &mut Unseen) {
        let mut next_row = 1;
        self.tags(part, |tag| match plain_name(tag) {
            "row" if tag.kind != markup::Kind::Closes => {
                let row = number(tag, "r").unwrap_or(next_row);
                next_row = row.saturating_add(1);
                if is_hidden(tag) && row > 0 {
                    unseen.rows.push((row - 1, row - 1));
                }
            }
            "col" if is_hidden(tag) => {
                if let (Some(first @ 1..), Some(last @ 1..)) =
                    (number(tag, "min"), number(tag, "max"))
                {
                    unseen.columns.push((first - 1, last - 1));
                }
            }
            _ => {}
        });
    }

    fn comments(&mut self, part: &str, unseen: &mut Unseen) {
        self.tags(part, |tag| {
            if let ("comment" | "threadedComment", Some(cell)) =
                (plain_name(tag), tag.attribute("ref"))
            {
                unseen.comments.extend(cell_of(cell));
            }
        });
    }
}

/// The name of a tag without that of its namespace.
fn plain_name<'a>(tag: &Tag<'a>) -> &'a str {
    tag.name.rsplit_once(':').map_or(tag.name, |(_, name)| name)
}

fn is_hidden(tag: &Tag<'_>) -> bool {
    matches!(tag.attribute("hidden"), Some("1" | "true"))
}

fn number(tag: &Tag<'_>, key: &str) -> Option<u32> {
    tag.attribute(key)?.parse().ok()
}

/// A target as a path from the top of the zip.
fn joined(folder: &str, target: &str) -> String {
    if let Some(whole) = target.strip_prefix('/') {
        return whole.to_string();
    }
    let mut path: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in target.split('/') {
        match part {
            "." | "" => {}
            ".." => _ = path.pop(),
            part => path.push(part),
        }
    }
    path.join("/")
}

/// Row and column, each from 0, of a cell such as `C7`.
fn cell_of(name: &str) -> Option<(u32, u32)> {
    let at = name.find(|c: char| c.is_ascii_digit())?;
    let (letters, digits) = name.split_at(at);
    if letters.is_empty() || letters.len() > 3 || digits.len() > 7 {
        return None;
    }
    let mut column = 0;
    for letter in letters.bytes() {
        if !letter.is_ascii_uppercase() {
            return None;
        }
        column = column * 26 + u32::from(letter - b'A') + 1;
    }
    Some((digits.parse::<u32>().ok()?.checked_sub(1)?, column - 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_and_targets_are_found_by_their_names() {
        for (name, cell) in [
            ("A1", Some((0, 0))),
            ("C7", Some((6, 2))),
            ("XFD1048576", Some((1_048_575, 16_383))),
            ("A0", None),
            ("7", None),
            ("C", None),
            ("c7", None),
            ("AAAA1", None),
        ] {
            assert_eq!(cell_of(name), cell, "{name}");
        }
        for (target, path) in [
            ("worksheets/sheet1.xml", "xl/worksheets/sheet1.xml"),
            ("/xl/worksheets/sheet1.xml", "xl/worksheets/sheet1.xml"),
            ("../comments1.xml", "comments1.xml"),
        ] {
            assert_eq!(joined("xl", target), path);
        }
        assert_eq!(joined("xl/worksheets", "../comments1.xml"), "xl/comments1.xml");
    }
}
