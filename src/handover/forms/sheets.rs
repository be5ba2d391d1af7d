//! Tables laid out on sheets: how many rows each has, and what stands below them.

use serde::Serialize;

use super::known::{Known, Row};
use super::parts::{Asked, Form, Group, Part, is_untyped};
use crate::hull::Lie;
use crate::records::coats::Application;
use crate::records::docking::Paper;
use crate::records::preparation::Preparation;
use crate::records::spec::{Column, FileSpec, Holds};
use crate::records::value::Value;
use crate::report::figures::{Drawing, ENLARGED, Room, finder};
use crate::text::{and, shortened};
use crate::units::{System, printed};

/// Height of a row, for a pencil in a gloved hand; the template has the same.
const ROW_MM: f64 = 12.0;
/// What a table needs above and below its rows, and between it and the next: caption, headings, and the columns' names.
const HEAD_MM: f64 = 30.0;
/// What a sheet has besides its tables: margins, head and foot.
const UPRIGHT_MM: f64 = 71.0;
/// The same on one that is wider than high.
const ACROSS_MM: f64 = 60.0;
/// Margins to the left and to the right together; the template has the same.
const SIDES_MM: f64 = 24.0;
/// What a finder plan takes besides its own height.
const BESIDE_FINDER_MM: f64 = 3.0;
/// Height of the hull on a finder plan.
const FINDER_HULL_MM: f64 = 17.0;

/// The most characters of a list of names.
const LONGEST_LIST: usize = 150;

/// One side of paper.
#[derive(Debug, Serialize)]
pub(super) struct Sheet {
    title: &'static str,
    /// What a reader's list of contents calls it: only the first sheet of a group in a position is in it.
    bookmark: Option<String>,
    across: bool,
    /// Width between its margins.
    width_mm: f64,
    position: Option<String>,
    /// The finder plan that stands on it, by its number among the drawings.
    finder: Option<usize>,
    number: usize,
    of: usize,
    tables: Vec<Table>,
    /// What certain columns may hold: heading, words.
    words: Vec<(String, String)>,
    /// Which files it is typed into, and which columns come from the head of the sheet.
    files: Vec<(&'static str, String)>,
    /// Whether lengths in feet are typed from it.
    is_in_feet: bool,
    /// Whether a table of it has no file, so that the sheet itself is kept.
    is_scanned: bool,
}

/// A table to be filled in with a pencil. The page model has no blank cells, hints or rows of a fixed height,
/// and none of its measures would be shown here in the units of the project's own headings.
#[derive(Debug, Serialize)]
struct Table {
    about: &'static str,
    columns: Vec<Head>,
    /// How many of the first cells name their row.
    names: usize,
    rows: Vec<Vec<Option<String>>>,
}

#[derive(Debug, Serialize)]
struct Head {
    /// What is asked for, in words, with the unit.
    words: String,
    hint: &'static str,
    /// The column that it is typed into, as the file has it; none where it is not typed.
    typed: Option<String>,
    width_mm: f64,
}

/// Width and height of a sheet of paper, mm.
fn size_mm(paper: Paper, across: bool) -> (f64, f64) {
    let (width, height) = match paper {
        Paper::A4 => (210.0, 297.0),
        Paper::UsLetter => (215.9, 279.4),
    };
    if across { (height, width) } else { (width, height) }
}

/// Width and height that a sheet has for its tables, mm.
fn room_mm(paper: Paper, across: bool) -> (f64, f64) {
    let (width, height) = size_mm(paper, across);
    (width - SIDES_MM, height - if across { ACROSS_MM } else { UPRIGHT_MM })
}

/// The sheets of a form, numbered within each position, and the finder plans that stand on them.
pub(super) fn all(form: &Form, known: &Known<'_>) -> (Vec<Sheet>, Vec<Drawing>) {
    let positions = if form.each_position { known.positions() } else { vec![known.only] };
    let mut all = Vec::new();
    let mut finders = Finders { known, drawn: Vec::new(), sizes: Vec::new() };
    for position in positions {
        let mut made: Vec<Sheet> = Vec::new();
        for group in form.groups {
            made.extend(sheets(group, known, position, &mut finders));
        }
        let of = made.len();
        for (n, sheet) in made.iter_mut().enumerate() {
            (sheet.number, sheet.of) = (n + 1, of);
        }
        all.extend(made);
    }
    (all, finders.drawn)
}

/// The finder plans of a form, each drawn once.
struct Finders<'a> {
    known: &'a Known<'a>,
    drawn: Vec<Drawing>,
    /// The position, the width and the units of each.
    sizes: Vec<(Option<String>, f64, System)>,
}

impl Finders<'_> {
    /// The number of the plan for a position in so much width, and its height on paper, mm.
    fn find(
        &mut self,
        position: Option<&str>,
        width_mm: f64,
        units: System,
    ) -> Option<(usize, f64)> {
        let key = (position.map(str::to_string), width_mm, units);
        let number = match self.sizes.iter().position(|size| *size == key) {
            Some(number) => number,
            None => {
                let place: Option<(&str, Lie)> =
                    position.and_then(|id| Some((id, self.known.lie(id)?)));
                let hull_mm = FINDER_HULL_MM;
                let room = Room { width_mm, hull_mm, names_openings: false, units };
                let number = self.drawn.len();
                let mut drawing = finder(self.known.project?, place, &room)?;
                drawing.name = format!("finder-{number}");
                self.drawn.push(drawing);
                self.sizes.push(key);
                number
            }
        };
        Some((number, self.drawn[number].height_mm * ENLARGED))
    }
}

/// The sheets of a group: each table begins where the last one ended and continues on as many sheets as it needs; the
/// rest of the last sheet is blank rows.
fn sheets(
    group: &Group,
    known: &Known<'_>,
    position: Option<&str>,
    finders: &mut Finders<'_>,
) -> Vec<Sheet> {
    let (width_mm, mut height_mm) = room_mm(known.paper(), group.across);
    // One position is as good as another where no sheet names it.
    let shown = position.or_else(|| known.positions().into_iter().flatten().next());
    let finder = Some(shown).filter(|_| group.asks_for_place);
    let finder =
        finder.and_then(|shown| finders.find(shown, width_mm, units_of_places(group, known)));
    height_mm -= finder.map_or(0.0, |(_, taken_mm)| taken_mm + BESIDE_FINDER_MM);
    let rows_in = |room_mm: f64| ((room_mm - HEAD_MM) / ROW_MM).max(0.0) as usize;
    let mut sheets: Vec<Vec<(&Part, Vec<Row>)>> = vec![Vec::new()];
    let mut room_mm = height_mm;
    for part in group.parts {
        let mut rows = (part.rows)(known, position);
        let blank = if rows.is_empty() { part.blank.alone } else { part.blank.below };
        rows.extend(vec![Row::new(); blank]);
        while !rows.is_empty() {
            // Two rows at the foot of a sheet are not worth a head of their own.
            if rows_in(room_mm) < rows.len().min(3) {
                sheets.push(Vec::new());
                room_mm = height_mm;
            }
            let rest = rows.split_off(rows.len().min(rows_in(room_mm).max(1)));
            room_mm -= HEAD_MM + rows.len() as f64 * ROW_MM;
            sheets.last_mut().into_iter().for_each(|sheet| sheet.push((part, rows.clone())));
            rows = rest;
        }
    }
    if let Some((part, rows)) = sheets.last_mut().and_then(|sheet| sheet.last_mut())
        && (part.blank.below > 0 || part.blank.alone > 0)
    {
        rows.extend(vec![Row::new(); (room_mm / ROW_MM).max(0.0) as usize]);
    }
    let bookmark = match position {
        Some(position) => format!("{}, position {position}", group.title),
        None => group.title.to_string(),
    };
    let sheet = |(n, parts): (usize, Vec<(&Part, Vec<Row>)>)| {
        let tables: Vec<Table> =
            parts.iter().map(|(part, rows)| table(part, rows, known, width_mm)).collect();
        let mut typed = tables.iter().flat_map(|table| &table.columns).flat_map(|head| &head.typed);
        Sheet {
            title: group.title,
            bookmark: (n == 0).then(|| bookmark.clone()),
            across: group.across,
            width_mm,
            position: position.map(str::to_string),
            finder: finder.map(|(number, _)| number),
            number: 1,
            of: 1,
            words: all_words(&parts, known),
            files: files(&parts),
            is_in_feet: typed.any(|heading| heading.ends_with("_ft")),
            is_scanned: parts.iter().any(|(part, _)| part.is_scanned),
            tables,
        }
    };
    sheets.into_iter().enumerate().map(sheet).collect()
}

/// The units in which a group's sheets ask for places along the ship; those of the project where they ask for none.
fn units_of_places(group: &Group, known: &Known<'_>) -> System {
    let asked =
        group.parts.iter().flat_map(|part| part.columns.iter().map(move |asked| (part, asked)));
    let mut places =
        asked.filter(|(_, asked)| asked.column.name == "x").filter_map(|(part, asked)| {
            asked.column.unit_in(&heading(part.spec, &asked.column, known))
        });
    match places.next() {
        Some(unit) if ["ft", "in"].contains(&unit.suffix) => System::Us,
        Some(_) => System::Si,
        None => known.project.map_or(System::Si, |project| project.docking.units),
    }
}

/// The files that the tables of a sheet are typed into, each once.
fn files(parts: &[(&Part, Vec<Row>)]) -> Vec<(&'static str, String)> {
    let mut files: Vec<(&'static str, String)> = Vec::new();
    for (part, _) in parts.iter().filter(|(part, _)| !part.is_scanned) {
        let file = (part.spec.path, from_head(part));
        if !files.contains(&file) {
            files.push(file);
        }
    }
    files
}

fn table(part: &Part, rows: &[Row], known: &Known<'_>, width_mm: f64) -> Table {
    let shares: f64 = part.columns.iter().map(|asked| asked.share).sum();
    let typed = |column: &Column| (!is_untyped(column)).then(|| heading(part.spec, column, known));
    let head = |Asked { words, column, share }: &Asked| {
        let typed = typed(column);
        let unit = typed.as_ref().and_then(|heading| column.unit_in(heading));
        Head {
            words: match unit {
                Some(unit) => format!("{words}, {}", printed(unit.suffix)),
                None => words.to_string(),
            },
            hint: hint(column, typed.as_deref().unwrap_or_default(), part),
            typed,
            width_mm: width_mm * share / shares,
        }
    };
    let columns: Vec<Head> = part.columns.iter().map(head).collect();
    let cells = |row: &Row| {
        let cell = |(asked, head): (&Asked, &Head)| {
            let (_, value) = row.iter().find(|(filled, _)| *filled == asked.column)?;
            Some(match value {
                // As one writes it by hand; its offset is that of the docking.
                Value::Time(at) => at.format("%Y-%m-%d %H:%M").to_string(),
                value => {
                    value.text(head.typed.as_ref().and_then(|name| asked.column.unit_in(name)))
                }
            })
        };
        part.columns.iter().zip(&columns).map(cell).collect()
    };
    Table { about: part.about, names: part.names, rows: rows.iter().map(cells).collect(), columns }
}

/// A column's heading as the project's file has it, or else as a blank file has it.
fn heading(spec: &'static FileSpec, column: &Column, known: &Known<'_>) -> String {
    let sheets = known.project.into_iter().flat_map(|project| &project.sheets);
    let own = sheets.filter(|sheet| sheet.spec.path == spec.path).flat_map(|sheet| &sheet.header);
    let blank = spec.headings_in(known.system());
    let mut headings = own.chain(&blank);
    let found = headings.find(|heading| column.is_headed(heading)).cloned();
    found.unwrap_or_else(|| column.kept_name())
}

/// How a value is written.
fn hint(column: &Column, heading: &str, part: &Part) -> &'static str {
    match column.holds {
        // Where the head says by whom, it also gives the one day of the sheet.
        Holds::Time if part.in_head.iter().any(|column| column.holds == Holds::Called) => "hh:mm",
        Holds::Time => "day, hh:mm",
        Holds::Flag => "yes / no",
        Holds::Draft if heading.ends_with("_ft") => "ft\u{2011}in, as 17\u{2011}06",
        _ => "",
    }
}

/// The words and names that columns of the tables may hold, each once.
fn all_words(parts: &[(&Part, Vec<Row>)], known: &Known<'_>) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for said in parts.iter().flat_map(|(part, rows)| words(part, rows, known)) {
        if !all.contains(&said) {
            all.push(said);
        }
    }
    all
}

/// The words and names that a part's columns may hold, where they are not printed in anyway.
fn words(part: &Part, rows: &[Row], known: &Known<'_>) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for Asked { words: asked, column, .. } in part.columns {
        if rows.iter().all(|row| row.iter().any(|(filled, _)| filled == column)) {
            continue;
        }
        let words = match column.holds {
            Holds::Word(words) | Holds::Words(words) => words.to_vec(),
            Holds::Grade => vec!["Sa 2.5", "St 3", "P Sa 2.5", "Wa 2.5", "SP 10", "WJ-2 L"],
            _ if [Application::written_extent, Preparation::written_extent].contains(column) => {
                vec!["all", "exposed", "patches", "an area"]
            }
            _ => known.names(column),
        };
        if !words.is_empty() {
            let words = shortened(&words.join(", "), LONGEST_LIST);
            found.push((asked.to_string(), words));
        }
    }
    found
}

/// What the rows of a part take from the head of the sheet.
fn from_head(part: &Part) -> String {
    let names: Vec<&str> = part.in_head.iter().map(|column| column.name).collect();
    and(&names)
}
