//! A file of TOML with explanations, filled in with what an earlier record says.

use textwrap::{Options, WordSplitter};

use crate::records::characters::{coded, refused_in_name};
use crate::records::corrected::{Supplement, note_on};
use crate::records::docking::PEOPLE;
use crate::records::entry::Entry;
use crate::records::keyed::{Keyed, KeyedSpec};
use crate::records::prepared::CARRIED;
use crate::records::spec::{Column, Holds};
use crate::units::{System, fixed};

/// The key that says from which docking a table or a row was carried.
pub const MARK: &str = CARRIED;

/// The key or column that says what a supplement to that docking's bundle added or corrected.
pub const CORRECTED: &str = "note_corrected";

/// A table of a form that is filled in.
#[derive(Debug, Clone, Copy)]
pub struct Filled {
    /// Its name.
    pub table: &'static str,
    /// What the reader is to do about it.
    pub advice: &'static str,
}

/// Room for a key and its value before the explanation.
const VALUE: usize = 37;

const WIDTH: usize = 100;

/// A form with some of its tables as `record` has them, marked as carried from the docking `from`. What
/// the record does not say stays as the form has it.
pub fn fill(
    form: &str,
    tables: &[Filled],
    record: &Keyed,
    (from, supplements): (&str, &[Supplement]),
) -> String {
    let mut out = String::new();
    let mut lines = form.lines().peekable();
    while let Some(line) = lines.next() {
        let filled = heading(line).and_then(|name| tables.iter().find(|one| one.table == name));
        let Some(filled) = filled.filter(|one| record.single(one.table).is_some()) else {
            out.push_str(line);
            out.push('\n');
            continue;
        };
        let mut keys = Vec::new();
        while let Some(line) = lines.next_if(|line| Key::parse(line).is_some()) {
            keys.extend(Key::parse(line));
        }
        let options = Options::new(WIDTH)
            .initial_indent("# ")
            .subsequent_indent("# ")
            .word_splitter(WordSplitter::NoHyphenation);
        let marked = format!("Carried from {from}: {}.", filled.advice);
        out.push_str(&textwrap::fill(&marked, options));
        out.push('\n');
        for (number, entry) in record.all(filled.table).enumerate() {
            if number > 0 {
                out.push('\n');
                // What was explained once need not be explained again.
                keys.iter_mut().for_each(|key| key.explained = None);
            }
            table(&mut out, line, &keys, entry, (from, supplements));
        }
    }
    out
}

/// A form with its keys, and the values of its examples, in the units of a system.
pub fn in_system(form: &str, spec: &KeyedSpec, system: System) -> String {
    let mut out = String::new();
    let mut keys: &[Column] = spec.top.keys;
    for line in form.lines() {
        if let Some(table) = heading(line) {
            let found = spec.tables.iter().find(|known| known.name == table);
            keys = found.map_or(&[], |known| known.keys);
        }
        out.push_str(&converted(line, keys, system).unwrap_or_else(|| line.to_string()));
        out.push('\n');
    }
    out
}

/// A line with a key whose unit is another in a system.
fn converted(line: &str, keys: &[Column], system: System) -> Option<String> {
    let key = Key::parse(line)?;
    let column = keys.iter().find(|column| column.is_headed(key.name))?;
    let unit = column.unit_in(key.name)?;
    let wanted = unit.in_system(system);
    if wanted == unit {
        return None;
    }
    let off = if line.starts_with('#') { "#" } else { "" };
    let value = line.split_once(" = ")?.1.split("# ").next()?.trim_end();
    let value = match value.parse::<f64>() {
        Ok(number) => in_three_figures(wanted.from_kept(unit.to_kept(number))),
        Err(_) => value.to_string(),
    };
    let given = format!("{off}{} = {value}", unit.ending_in(key.name, system));
    Some(match key.explained {
        Some(words) => format!("{given:<VALUE$} # {words}"),
        None => given,
    })
}

/// The number of an example, which need not be exact.
fn in_three_figures(number: f64) -> String {
    let decimals = match number.abs() {
        size if size == 0.0 || size >= 10.0 => 1,
        size if size >= 1.0 => 2,
        _ => 3,
    };
    fixed(number, decimals)
}

/// The names in those tables that a form does not take over, since they hold what no name may hold: each as its
/// table and key. Whoever reads the form fills them in.
pub fn left_out(tables: &[Filled], record: &Keyed) -> Vec<String> {
    let mut found = Vec::new();
    for one in tables {
        for entry in record.all(one.table) {
            for (column, name, value) in entry.written() {
                if value.is_some_and(|value| is_unfit(column, &value)) {
                    found.push(format!("[{}] {name}", one.table));
                }
            }
        }
    }
    found
}

fn is_unfit(column: &Column, text: &str) -> bool {
    column.holds == Holds::Called && refused_in_name(text).is_some()
}

/// `docking.toml` with a switched-off table for each role that somebody had, whose name is a blank.
pub fn with_roles(form: &str, roles: &[String], from: &str) -> String {
    let heading = format!("#[[{}]]\n", PEOPLE.name);
    let fit: Vec<&String> = roles.iter().filter(|role| refused_in_name(role).is_none()).collect();
    let Some((before, after)) = form.split_once(&heading).filter(|_| !fit.is_empty()) else {
        return form.to_string();
    };
    let rest = after.lines().skip_while(|line| Key::parse(line).is_some());
    let rest: String = rest.map(|line| format!("{line}\n")).collect();
    let tables =
        fit.iter().map(|role| format!("{heading}#name = \"\"\n#role = {}\n", quoted(&coded(role))));
    let tables: Vec<String> = tables.collect();
    let said = format!(
        "# Roles in {from}, to be confirmed: write who has each now, and take the # away.\n\n"
    );
    format!("{before}{said}{}{rest}", tables.join("\n"))
}

/// The name of the table that a line begins, commented out or not: `[ship]`, `#[[frames]]`,
/// `#[limits.trim]`.
fn heading(line: &str) -> Option<&str> {
    let line = line.strip_prefix('#').unwrap_or(line);
    let inside = line.strip_prefix('[')?.strip_suffix(']')?;
    let name = inside.trim_start_matches('[').trim_end_matches(']');
    name.split('.').next()
}

/// A line of a form with a key, commented out or not.
struct Key<'a> {
    line: &'a str,
    name: &'a str,
    explained: Option<&'a str>,
}

impl<'a> Key<'a> {
    fn parse(line: &'a str) -> Option<Self> {
        let (name, rest) = line.strip_prefix('#').unwrap_or(line).split_once(" = ")?;
        let plain = !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        let explained = rest.split_once("# ").map(|(_, words)| words);
        plain.then_some(Self { line, name, explained })
    }
}

/// One table. `line` is its heading in the form; blanks of the form that the entry does not fill stay
/// where the table stands once.
fn table(
    out: &mut String,
    line: &str,
    keys: &[Key<'_>],
    entry: &Entry,
    (from, supplements): (&str, &[Supplement]),
) {
    let line = line.strip_prefix('#').unwrap_or(line);
    let once = !line.starts_with("[[") && entry.title.is_empty();
    match line.split_once('.') {
        Some((name, _)) => out.push_str(&format!("{name}.{}]\n", entry.title)),
        None => out.push_str(&format!("{line}\n")),
    }
    for (column, name, value) in entry.written() {
        let key = keys.iter().find(|key| column.is_headed(key.name));
        let value = value.filter(|value| !is_unfit(column, value));
        match (value, key) {
            (Some(value), key) => {
                let given = format!("{name} = {}", in_toml(column, &coded(&value)));
                let explained = key.and_then(|key| key.explained);
                let both = explained.map(|words| format!("{given:<VALUE$} # {words}"));
                // A value that leaves no room for it explains itself.
                let line = both.filter(|line| line.chars().count() <= WIDTH).unwrap_or(given);
                out.push_str(&line);
                out.push('\n');
            }
            (None, Some(key)) if once => out.push_str(&format!("{}\n", key.line)),
            (None, _) => {}
        }
    }
    for (name, text) in entry.noted().filter(|(name, _)| ![MARK, CORRECTED].contains(name)) {
        out.push_str(&format!("{} = {}\n", bare_or_quoted(&coded(name)), quoted(&coded(text))));
    }
    out.push_str(&format!("{MARK} = {}\n", quoted(from)));
    if let Some(corrected) = note_on(entry, supplements) {
        out.push_str(&format!("{CORRECTED} = {}\n", quoted(&coded(&corrected))));
    }
}

fn in_toml(column: &Column, text: &str) -> String {
    let bare = match column.holds {
        Holds::Whole { .. } | Holds::Number(_) | Holds::Measure(..) | Holds::Draft => true,
        Holds::Date | Holds::Time => true,
        Holds::Bound(_) => text != "none",
        _ => false,
    };
    if bare { text.to_string() } else { quoted(text) }
}

fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

fn bare_or_quoted(key: &str) -> String {
    let bare = key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_' || c == '-');
    if bare { key.to_string() } else { quoted(key) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::problem::Problems;
    use crate::records::{docking, keyed};

    const FORM: &str = "\
# The ship.

[ship]
name = \"\"                             # her name
owner = \"\"                            # who keeps her
breadth_m = \"\"                        # moulded

#[[frames]]
#from_frame = 0
#x_m = 0.00
#spacing_mm = 600                     # from frame to frame

# A limit = a figure.
#[limits.trim]
#value = 300
#unit = \"mm\"
#source = \"note 4\"
# The end.
";

    const RECORD: &str = "\
format = 1
[ship]
name = \"Fenwhin \\\"the black\\\"\"
breadth_ft = 20.5
note_paint = 'grey'
note_carried = 'fenwhin-1990'
[[frames]]
from_frame = -2
x_m = 0.5
spacing_ft = 2
[[frames]]
from_frame = 10
x_m = 7.8152
spacing_mm = 600
[dock]
name = \"Old Dock\"
[limits.gm]
value = 0.30
unit = \"m\"
";

    fn read(text: &str) -> Keyed {
        let mut problems = Problems::default();
        let keyed =
            keyed::read(&docking::SPEC, text.as_bytes(), &Default::default(), &mut problems);
        assert_eq!(problems.into_sorted(), []);
        keyed
    }

    #[test]
    fn a_form_is_filled_table_by_table_in_the_units_of_the_record() {
        let tables = ["ship", "frames", "limits"].map(|table| Filled { table, advice: "confirm" });
        let filled = fill(FORM, &tables, &read(RECORD), ("fenwhin-2011", &[]));
        assert_eq!(
            filled,
            "\
# The ship.

# Carried from fenwhin-2011: confirm.
[ship]
name = 'Fenwhin \"the black\"'          # her name
owner = \"\"                            # who keeps her
breadth_ft = 20.5                     # moulded
note_paint = \"grey\"
note_carried = \"fenwhin-2011\"

# Carried from fenwhin-2011: confirm.
[[frames]]
from_frame = -2
x_m = 0.5
spacing_ft = 2                        # from frame to frame
note_carried = \"fenwhin-2011\"

[[frames]]
from_frame = 10
x_m = 7.8152
spacing_mm = 600
note_carried = \"fenwhin-2011\"

# A limit = a figure.
# Carried from fenwhin-2011: confirm.
[limits.gm]
value = 0.3
unit = \"m\"
note_carried = \"fenwhin-2011\"
# The end.
"
        );
        // Filled in again from what it says, it says the same.
        let whole = format!("format = 1\n{filled}[dock]\nname = \"Old Dock\"\n");
        assert_eq!(fill(FORM, &tables, &read(&whole), ("fenwhin-2011", &[])), filled);
    }

    #[test]
    fn a_name_that_no_name_may_be_is_left_to_be_filled_in() {
        let mut problems = Problems::default().for_closed_out(true);
        let text =
            RECORD.replace("Fenwhin", "Fenwhin\\u202e").replace("'grey'", "\"grey\\u001b[5m\"");
        let record =
            keyed::read(&docking::SPEC, text.as_bytes(), &Default::default(), &mut problems);
        assert_eq!(problems.into_sorted(), []);
        let tables = ["ship", "frames", "limits"].map(|table| Filled { table, advice: "confirm" });
        let filled = fill(FORM, &tables, &record, ("fenwhin-2011", &[]));
        assert!(filled.contains("[ship]\nname = \"\"  "), "{filled}");
        assert!(filled.contains("note_paint = 'grey\\u{1b}[5m'\n"), "{filled}");
        assert!(filled.contains("breadth_ft = 20.5"), "{filled}");
        assert_eq!(left_out(&tables, &record), ["[ship] name"]);
        assert_eq!(left_out(&tables, &read(RECORD)), [""; 0]);
    }

    #[test]
    fn a_table_that_the_record_lacks_stays_as_the_form_has_it() {
        let bare = read("format = 1\n[ship]\nname = \"Fenwhin\"\n[dock]\nname = \"Old Dock\"\n");
        let tables = ["frames", "limits"].map(|table| Filled { table, advice: "confirm" });
        assert_eq!(fill(FORM, &tables, &bare, ("fenwhin-2011", &[])), FORM);
    }
}
