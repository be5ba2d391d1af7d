//! The files of records that a project may hold, and which of them a path names or was meant to name.

use std::collections::BTreeMap;

use super::keyed::{Keyed, KeyedSpec};
use super::place::{Place, WORKBOOKS, in_workbook, is_workbook};
use super::problem::{Alike, Problem, Problems};
use super::sheet::Sheet;
use super::spec::{Column, FileSpec};
use super::store::Strange;
use super::{history, value};

/// The files of records, by their descriptions.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known {
    pub rows: &'static [&'static FileSpec],
    pub tables: &'static [&'static KeyedSpec],
    /// Those without which there is no project.
    pub required: &'static [&'static str],
    /// The folder whose files are papers, whatever they are called.
    pub papers: &'static str,
}

impl Known {
    /// Whether a path is that of a file of records.
    pub fn contains(self, path: &str) -> bool {
        self.paths().any(|known| known == path)
            || self.table_of_part(path).is_some()
            || history::is_record(path)
    }

    /// The paths of all files, those of earlier dockings apart.
    fn paths(self) -> impl Iterator<Item = &'static str> {
        let tables = self.tables.iter().map(|spec| spec.path);
        tables.chain(self.rows.iter().map(|spec| spec.path))
    }

    /// The table of which a file is a part: `coating/film/anna.csv` of `coating/film.csv`, and so is
    /// `workbooks/anna.xlsx/coating-film.csv`, which was made of a workbook's sheet.
    pub fn table_of_part(self, path: &str) -> Option<&'static FileSpec> {
        if let Some((_, sheet)) = in_workbook(path) {
            return self.rows.iter().copied().find(|spec| spec.table_name() == sheet);
        }
        let (folder, name) = path.rsplit_once('/')?;
        let is_csv = name.strip_suffix(".csv").is_some_and(|stem| !stem.is_empty());
        self.table_of_folder(folder).filter(|_| is_csv)
    }

    /// The table whose parts lie in a folder.
    fn table_of_folder(self, folder: &str) -> Option<&'static FileSpec> {
        let is_of = |spec: &&FileSpec| spec.path.strip_suffix(".csv") == Some(folder);
        self.rows.iter().copied().find(is_of).filter(|spec| self.has_parts(spec.path))
    }

    /// Whether a file may come in parts that lie in a folder of its name. The folders of papers and of earlier
    /// dockings hold other things, and a TOML file is one.
    fn has_parts(self, path: &str) -> bool {
        let elsewhere = [self.papers, history::FOLDER];
        path.ends_with(".csv") && !elsewhere.iter().any(|folder| path.starts_with(folder))
    }

    /// The files that make up each table, by its path: the one that is called so first, then its parts in the order
    /// of their names' bytes.
    pub fn files(self, sizes: &BTreeMap<String, u64>) -> BTreeMap<&'static str, Vec<String>> {
        let mut files: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
        for spec in self.rows.iter().filter(|spec| sizes.contains_key(spec.path)) {
            files.insert(spec.path, vec![spec.path.to_string()]);
        }
        for path in sizes.keys() {
            if let Some(spec) = self.table_of_part(path) {
                files.entry(spec.path).or_default().push(path.clone());
            }
        }
        files
    }

    /// Each file with the columns of its rows, or of one of its tables.
    pub fn columns(self) -> impl Iterator<Item = (&'static str, &'static [Column])> {
        let rows = self.rows.iter().map(|spec| (spec.path, spec.columns));
        let tables = self.tables.iter();
        rows.chain(tables.flat_map(|spec| spec.tables.iter().map(|table| (spec.path, table.keys))))
    }

    /// The files that stand in the folder under another name, or could not be read, or are required and missing.
    pub fn unread(
        self,
        sizes: &BTreeMap<String, u64>,
        sheets: &[Sheet],
        keyed: &[Keyed],
    ) -> Vec<&'static str> {
        let is_read = |path: &str| {
            let is_keyed = || keyed.iter().any(|file| file.path == path);
            sheets.iter().any(|sheet| sheet.spec.path == path) || is_keyed()
        };
        let meant: Vec<&str> = sizes.keys().filter_map(|path| self.meant(path)).collect();
        let files = self.files(sizes);
        let is_expected = |path: &str| {
            sizes.contains_key(path)
                || files.contains_key(path)
                || meant.contains(&path)
                || self.required.contains(&path)
        };
        self.paths().filter(|path| !is_read(path) && is_expected(path)).collect()
    }

    /// The file of records that a path with a mistyped name or in another folder is most likely meant to be, or to be
    /// a part of.
    pub fn meant(self, path: &str) -> Option<&'static str> {
        if self.contains(path) || path.starts_with(self.papers) {
            return None;
        }
        self.meant_whole(path).or_else(|| self.meant_part(path))
    }

    /// The table of which a CSV file in a folder with a mistyped name, or in another place, is most likely meant to be
    /// a part.
    fn meant_part(self, path: &str) -> Option<&'static str> {
        let (folder, name) = path.rsplit_once('/')?;
        let is_csv = name.to_lowercase().ends_with(".csv");
        let holds_tables =
            self.rows.iter().any(|spec| spec.path.starts_with(&format!("{folder}/")));
        let found = if is_csv && !holds_tables {
            self.meant_whole(folder).or_else(|| self.table_of_ancestor(folder).map(|it| it.path))
        } else {
            None
        };
        found.filter(|path| self.has_parts(path))
    }

    /// The table whose parts lie in a folder that holds this one, or is it.
    fn table_of_ancestor(self, folder: &str) -> Option<&'static FileSpec> {
        self.table_of_folder(folder).or_else(|| self.table_of_ancestor(folder.rsplit_once('/')?.0))
    }

    /// The file that a path is most likely meant to be as a whole.
    fn meant_whole(self, path: &str) -> Option<&'static str> {
        let stem = |path: &str| {
            let name = path.rsplit('/').next().unwrap_or(path).to_lowercase();
            name.rsplit_once('.').map_or(name.clone(), |(stem, _)| stem.to_string())
        };
        let written = stem(path);
        // `blocks (1).csv` and `blocks - copy.csv` are what systems call a copy.
        let copy = |stem: &str| {
            let rest = written.strip_prefix(stem);
            rest.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
        };
        let known: Vec<(String, &str)> = self.paths().map(|known| (stem(known), known)).collect();
        let named =
            |stem: &str| known.iter().find(|(known, _)| known == stem).map(|(_, path)| *path);
        let copied = known.iter().find(|(stem, _)| copy(stem)).map(|(_, path)| *path);
        let near = || value::nearest(&written, known.iter().map(|(stem, _)| stem.as_str()));
        copied.or_else(|| near().and_then(named))
    }

    /// The known files of the folder in which a file lies, or else of the one in which that lies; all if there is none.
    fn neighbours(self, path: &str) -> Vec<&'static str> {
        let Some(at) = path.rfind('/') else { return self.paths().collect() };
        let here: Vec<&str> =
            self.paths().filter(|known| known.starts_with(&path[..=at])).collect();
        if here.is_empty() { self.neighbours(&path[..at]) } else { here }
    }

    /// A CSV or TOML file that no description knows is most often a known one with its name mistyped, and
    /// nothing would be read from it; other files are kept as they are.
    pub fn report_unknown(self, sizes: &BTreeMap<String, u64>, problems: &mut Problems) {
        let mut strange = Strange::default();
        for path in
            sizes.keys().filter(|path| !self.contains(path) && !path.starts_with(self.papers))
        {
            let lower = path.to_lowercase();
            if !lower.ends_with(".csv") && !lower.ends_with(".toml") {
                continue;
            }
            let problem = Problem::new(Place::file(path), "is not a known file of records")
                .alike(Alike::Anywhere)
                .expected(self.neighbours(path).join(", "))
                .advice(self.advice(path, sizes));
            strange.add(problem, problems);
        }
        strange.report_rest(problems);
        self.report_no_parts(sizes, problems);
    }

    /// What to do with a file that no description knows.
    fn advice(self, path: &str, sizes: &BTreeMap<String, u64>) -> String {
        const UNREAD: &str = "otherwise move it to papers/ to keep it unread";
        let parts = |table: &str| table.strip_suffix(".csv").unwrap_or(table).to_string() + "/";
        let whole = self.meant_whole(path);
        match (whole, self.meant_part(path)) {
            (None, None) => "move it to papers/ to keep it unread".to_string(),
            (None, Some(table)) => {
                let end =
                    if path.ends_with(".csv") { "" } else { ", and let its name end in .csv" };
                format!("if it holds rows of {table}, move it to {}{end}; {UNREAD}", parts(table))
            }
            (Some(near), _) if !sizes.contains_key(near) => {
                format!("if it is {near}, rename it; {UNREAD}")
            }
            (Some(near), _) if self.has_parts(near) => format!(
                "{near} exists as well: if this is a copy of it, remove it or move it to papers/; if it holds rows \
                 that are missing there, move it to {}",
                parts(near)
            ),
            (Some(near), _) => {
                format!("{near} exists as well: remove this file, or move it to papers/")
            }
        }
    }

    /// In a folder of parts whatever is no CSV file was most likely meant to be read, and is not. Said once a folder.
    fn report_no_parts(self, sizes: &BTreeMap<String, u64>, problems: &mut Problems) {
        let mut found: BTreeMap<&'static str, Vec<&str>> = BTreeMap::new();
        for path in sizes.keys().filter(|path| !path.to_lowercase().ends_with(".csv")) {
            let folder = path.rsplit_once('/').and_then(|(folder, _)| self.table_of_folder(folder));
            if let Some(spec) = folder {
                found.entry(spec.path).or_default().push(path);
            }
        }
        for (table, paths) in found {
            let Some(first) = paths.first() else { continue };
            problems.add_in_project(|| {
                let more = match paths.len() - 1 {
                    0 => String::new(),
                    1 => ", nor is 1 other file in that folder".to_string(),
                    n => format!(", nor are {n} other files in that folder"),
                };
                let advice = match is_workbook(first) {
                    true => {
                        format!("move it to {WORKBOOKS} to have its sheets read, or save it as CSV")
                    }
                    false => "save it as CSV if it holds rows of that table".to_string(),
                };
                Problem::new(
                    Place::file(first),
                    format!("lies where the parts of {table} do, and is no CSV file{more}"),
                )
                .expected("CSV files, whose names end in .csv")
                .advice(format!("{advice}; otherwise move it to papers/ to keep it unread"))
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::project::KNOWN;
    use super::*;

    fn sizes(paths: &[&str]) -> BTreeMap<String, u64> {
        paths.iter().map(|path| (path.to_string(), 1)).collect()
    }

    #[test]
    fn a_table_is_made_up_of_its_own_file_and_then_of_its_parts_by_name() {
        let sizes = sizes(&[
            "coating/film/b.csv",
            "coating/film/a.csv",
            "coating/film.csv",
            "workbooks/anna.xlsx/coating-film.csv",
            "workbooks/anna.xlsx/coating-gauges.csv",
            "plan/blocks/stern.csv",
        ]);
        let files = KNOWN.files(&sizes);
        assert_eq!(
            files["coating/film.csv"],
            [
                "coating/film.csv",
                "coating/film/a.csv",
                "coating/film/b.csv",
                "workbooks/anna.xlsx/coating-film.csv"
            ]
        );
        assert_eq!(files["coating/gauges.csv"], ["workbooks/anna.xlsx/coating-gauges.csv"]);
        assert_eq!(files["plan/blocks.csv"], ["plan/blocks/stern.csv"]);
        assert_eq!(files.len(), 3);
    }

    #[test]
    fn what_lies_in_other_places_is_no_part() {
        for path in [
            "coating/film/.csv",
            "coating/film/a.CSV",
            "coating/film/a.txt",
            "coating/film/old/a.csv",
            "coating/films/a.csv",
            "film/a.csv",
            "papers/papers/a.csv",
            "docking/a.csv",
            "workbooks/anna.xlsx",
            "workbooks/anna/coating-film.csv",
            "workbooks/anna.xlsx/film.csv",
        ] {
            assert_eq!(KNOWN.table_of_part(path).map(|spec| spec.path), None, "{path}");
        }
        assert!(!KNOWN.has_parts("history/dockings.csv") && !KNOWN.has_parts("docking.toml"));
    }

    #[test]
    fn a_file_that_is_no_part_is_told_where_parts_lie() {
        let said = |paths: &[&str]| {
            let mut problems = Problems::default();
            KNOWN.report_unknown(&sizes(paths), &mut problems);
            let found = problems.into_sorted();
            found.iter().map(|problem| problem.to_string()).collect::<Vec<_>>().join("\n")
        };
        for path in
            ["coating/films/a.csv", "film/a.csv", "coating/film/old/a.csv", "Coating/film/a.csv"]
        {
            let all = said(&[path]);
            assert!(all.contains("rows of coating/film.csv, move it to coating/film/"), "{all}");
        }
        let all = said(&["coating/film.csv", "coating/film 2.csv"]);
        assert!(all.contains("missing there, move it to coating/film/"), "{all}");
        let all = said(&["coating/film/a.xlsx", "coating/film/b.txt", "coating/film/c.csv"]);
        assert_eq!(all.lines().count(), 3, "{all}");
        assert!(all.starts_with("coating/film/a.xlsx: lies where"), "{all}");
        assert!(all.contains("nor is 1 other file") && all.contains("move it to workbooks/"));
        assert_eq!(said(&["coating/a.txt", "workbooks/a.xlsx", "workbooks/read me.txt"]), "");
    }
}
