//! Rows of `papers/papers.csv` for the pictures that lie in the folder and have none.

use chrono::{DateTime, FixedOffset};

use crate::findings::chronology;
use crate::records::Project;
use crate::records::coats::standing;
use crate::records::grammar::times::Told;
use crate::records::papers;
use crate::records::rows::Header;

/// The columns of a file that is made anew.
const HEADER: [&str; 9] =
    ["file", "kind", "about", "taken_at", "by", "caption", "in_report", "seen_from", "note"];

/// What a row says of the time that it has from the camera.
const BY_CAMERA: &str = "taken_at by the camera's clock";

/// A picture that no row lists.
#[derive(Debug, Clone, PartialEq)]
pub struct Unlisted {
    /// Its name inside `papers/`.
    pub file: String,
    /// When the camera says that it was taken, by the clock of the docking where the camera gives no offset.
    pub taken: Option<DateTime<FixedOffset>>,
    /// The position in which she stood then.
    pub position: Option<String>,
    /// Whether that day lies outside the period of the docking.
    pub outside: bool,
}

/// The pictures that no row lists, in the order of their names.
pub fn unlisted(project: &Project) -> Vec<Unlisted> {
    let is_listed = |name: &str| project.papers.iter().any(|paper| paper.file == name);
    let pictures = project.contents.iter().filter(|(name, content)| {
        let media = content.kind.into_iter().flat_map(|kind| kind.media);
        media.into_iter().any(|media| media.starts_with("image/")) && !is_listed(name)
    });
    pictures
        .map(|(name, content)| {
            let taken = content.taken.and_then(|camera| {
                match (camera.offset, project.docking.clock.at(camera.at)) {
                    (Some(offset), _) => camera.at.and_local_timezone(offset).single(),
                    // Of a time that the clocks showed twice nobody knows which is meant.
                    (None, Some(Told::Once(at))) => Some(at),
                    (None, _) => None,
                }
            });
            let position = taken.and_then(|at| standing(&project.positions, at));
            Unlisted {
                file: name.clone(),
                taken,
                position: position.map(|position| position.id.clone()),
                outside: taken.is_some_and(|at| is_outside(project, at)),
            }
        })
        .collect()
}

fn is_outside(project: &Project, at: DateTime<FixedOffset>) -> bool {
    let day = chronology::day(project, at);
    let (began, ended) = project.docking.period;
    began.is_some_and(|began| day < began) || ended.is_some_and(|ended| day > ended)
}

/// The file with a row for each picture at its end; what stands in it stays, byte for byte. `header` is its own, or
/// `None` where it is made anew.
pub fn with_rows(before: &[u8], header: Option<&Header>, pictures: &[Unlisted]) -> Vec<u8> {
    let made = Header { names: HEADER.map(String::from).to_vec(), delimiter: b',' };
    let (header, is_new) = header.map_or((&made, true), |header| (header, false));
    let mut rows: Vec<Vec<String>> = Vec::new();
    if is_new {
        rows.push(header.names.clone());
    }
    for picture in pictures {
        let cell = |name: &String| {
            let name = name.trim().to_lowercase();
            match name.as_str() {
                "file" => picture.file.clone(),
                "kind" => "photograph".to_string(),
                "about" => picture.position.clone().unwrap_or_default(),
                "taken_at" => picture.taken.map_or_else(String::new, |at| at.to_rfc3339()),
                note if note.starts_with("note") && picture.taken.is_some() => {
                    BY_CAMERA.to_string()
                }
                _ => String::new(),
            }
        };
        rows.push(header.names.iter().map(cell).collect());
    }
    let ends_in_cr_lf = before
        .iter()
        .position(|byte| *byte == b'\n')
        .is_some_and(|at| at > 0 && before[at - 1] == b'\r');
    let end = if ends_in_cr_lf { "\r\n" } else { "\n" };
    let mut added = String::new();
    if !before.is_empty() && !before.ends_with(b"\n") {
        added.push_str(end);
    }
    for row in rows {
        let cells: Vec<String> = row.iter().map(|cell| quoted(cell, header.delimiter)).collect();
        added.push_str(&cells.join(&char::from(header.delimiter).to_string()));
        added.push_str(end);
    }
    [before, added.as_bytes()].concat()
}

/// A cell by RFC 4180, in quotation marks where it needs them.
fn quoted(cell: &str, delimiter: u8) -> String {
    let needs = |c: char| c == char::from(delimiter) || "\"\r\n".contains(c) || c.is_whitespace();
    if cell.contains(needs) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_string()
    }
}

/// Where the rows of pictures stand.
pub const FILE: &str = papers::SPEC.path;

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(file: &str, taken: Option<&str>) -> Unlisted {
        let taken = taken.map(|at| DateTime::parse_from_rfc3339(at).expect("a time"));
        Unlisted { file: file.into(), taken, position: taken.map(|_| "P1".into()), outside: false }
    }

    #[test]
    fn what_stands_in_the_file_stays_and_the_row_follows_its_columns() {
        let header = Header {
            names: ["caption", "File", "taken_at", "note_camera"].map(String::from).to_vec(),
            delimiter: b';',
        };
        let before = b"caption;File;taken_at;note_camera\r\nBow;bow.png;;";
        let pictures =
            [picture("a;b \"c\".jpg", Some("2031-04-09T10:00:00+01:00")), picture("d.jpg", None)];
        let after = String::from_utf8(with_rows(before, Some(&header), &pictures)).expect("UTF-8");
        assert_eq!(
            after,
            "caption;File;taken_at;note_camera\r\nBow;bow.png;;\r\n\
             ;\"a;b \"\"c\"\".jpg\";2031-04-09T10:00:00+01:00;\"taken_at by the camera's clock\"\r\n\
             ;d.jpg;;\r\n"
        );
    }

    #[test]
    fn a_file_that_is_not_there_is_made_with_its_header() {
        let after = with_rows(b"", None, &[picture("d.jpg", None)]);
        let text = String::from_utf8(after).expect("UTF-8");
        assert_eq!(
            text,
            "file,kind,about,taken_at,by,caption,in_report,seen_from,note\nd.jpg,photograph,,,,,,,\n"
        );
    }
}
