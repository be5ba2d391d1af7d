//! How much one project may hold in its tables, its earlier dockings counted in: whoever reads a stranger's records
//! should not run out of memory. A row of a few bytes takes hundreds when it is read.

use super::place::Place;
use super::problem::{Problem, Problems};
use super::rows::count_line_ends;

/// Lines of all tables together: ten times what the largest docking that we can think of has.
pub const MOST_LINES: usize = 1_000_000;

/// Cells of all tables together.
pub const MOST_CELLS: usize = 10 * MOST_LINES;

/// Columns of one table, and keys of one table of a TOML file: many times what any of them has.
pub const MOST_COLUMNS: usize = 400;

/// Zones of the coating, each of some rows.
pub const MOST_ZONES: usize = 100;

/// What is wrong with a row or table after the last that a file may have.
pub(super) fn one_too_many(place: Place, most: usize, what: &str) -> Problem {
    Problem::new(place, format!("begins {what} {}, more than this program reads", most + 1))
        .expected(format!("at most {most}, since each is compared with all the others"))
        .advice(
            "remove what is not part of this docking, or keep a longer list as a file in papers/",
        )
}

/// What is wrong with a table that is too wide.
pub(super) fn too_wide(place: Place, columns: usize, what: &str) -> Problem {
    Problem::new(place, format!("has {columns} {what}"))
        .expected(format!("at most {MOST_COLUMNS}"))
        .advice("remove those that hold no records, or keep the whole file in papers/")
}

/// Bytes of a TOML file.
pub const LARGEST_TOML: usize = 16 << 20;

/// What may still be read.
#[derive(Debug)]
pub(super) struct Budget {
    lines: usize,
    cells: usize,
}

impl Default for Budget {
    fn default() -> Self {
        Self { lines: MOST_LINES, cells: MOST_CELLS }
    }
}

impl Budget {
    /// Whether a table may be read. One that is too long is a problem, and takes nothing from those after it.
    pub fn allows_table(&mut self, path: &str, bytes: &[u8], problems: &mut Problems) -> bool {
        let lines = count_line_ends(bytes) as usize;
        let between = bytes.iter().filter(|byte| matches!(byte, b',' | b';' | b'\t')).count();
        let left = self.lines.checked_sub(lines).zip(self.cells.checked_sub(lines + between));
        if let Some((lines, cells)) = left {
            (self.lines, self.cells) = (lines, cells);
            return true;
        }
        let wrong = format!("has {lines} lines and {} cells", lines + between);
        problems.add(
            Problem::new(Place::file(path), wrong)
                .expected(format!(
                    "at most {MOST_LINES} lines and {MOST_CELLS} cells in all tables of a project \
                     and its history together; {} and {} are left for this one",
                    self.lines, self.cells
                ))
                .advice(
                    "keep the longest logs as files in papers/, and in the tables only what is \
                     to be checked",
                ),
        );
        false
    }

    /// Whether a TOML file may be read.
    pub fn allows_toml(path: &str, bytes: &[u8], problems: &mut Problems) -> bool {
        if bytes.len() <= LARGEST_TOML {
            return true;
        }
        problems.add(
            Problem::new(Place::file(path), format!("is {} bytes long", bytes.len()))
                .expected(format!("at most {LARGEST_TOML} bytes"))
                .advice("move long texts into files in papers/, and name those files here"),
        );
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_are_read_until_the_lines_or_cells_are_used_up() {
        let mut budget = Budget { lines: 10, cells: 25 };
        let mut problems = Problems::default();
        assert!(budget.allows_table("a.csv", b"a,b\n1,2\n3,4\n", &mut problems));
        assert!(!budget.allows_table("b.csv", b"a\n1\n2\n3\n4\n5\n6\n7\n", &mut problems));
        assert!(budget.allows_table("c.csv", b"a;b\tc\n", &mut problems));
        assert!(!budget.allows_table("d.csv", &[b','; 17], &mut problems));
        assert!(budget.allows_table("e.csv", &[b','; 16], &mut problems));
        let found = problems.into_sorted();
        let files: Vec<&str> = found.iter().map(|problem| &*problem.place.file).collect();
        assert_eq!(files, ["b.csv", "d.csv"]);
        assert_eq!(found[0].wrong, "has 8 lines and 8 cells");
        assert!(found[1].expected.ends_with("6 and 16 are left for this one"), "{}", found[1]);
    }
}
