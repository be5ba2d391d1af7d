//! Where nobody has so many, a bound holds, and says what it is of.

use std::fs;
use std::path::Path;

use lastdock::records::blocks::MOST_OVERLAPPING;
use lastdock::records::budget::{MOST_COLUMNS, MOST_ZONES};
use lastdock::records::problem::{Problem, Problems};
use lastdock::records::store::Folder;
use lastdock::records::{self, FILES, bounded_rows};

use super::super::common::Project;

/// What is wrong with a project.
fn problems(root: &Path) -> Vec<Problem> {
    let mut problems = Problems::default();
    let folder = Folder::open(root, &mut problems);
    records::read(&folder, problems).err().unwrap_or_default()
}

/// Panics unless that is told of that line of a file, with what was expected and what to do.
fn is_told(problems: &[Problem], file: &str, line: usize, wrong: &str) {
    let told = problems.iter().find(|problem| problem.wrong.contains(wrong));
    let told = told.unwrap_or_else(|| panic!("{file}: {wrong} is not told"));
    assert_eq!((&*told.place.file, told.place.line), (file, u32::try_from(line).ok()), "{told}");
    assert!(!told.expected.is_empty() && !told.advice.is_empty(), "{told}");
}

#[test]
fn one_row_too_many_is_named() {
    for (file, table, most) in bounded_rows() {
        let project = Project::copied();
        let rows = |count: usize| {
            if table.is_empty() {
                let spec = FILES.iter().find(|spec| spec.path == file).expect("a known file");
                let row = format!("x{}\n", ",".repeat(spec.columns.len() - 1));
                return spec.headings().join(",") + "\n" + &row.repeat(count);
            }
            let was = project.text("docking.toml");
            let kept: String = was.split("[[").next().expect("its beginning").to_string();
            kept + &format!("[[{table}]]\n").repeat(count)
        };
        let path = project.path(file);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        let long = rows(most + 1);
        fs::write(&path, &long).expect("a file of records");
        let wrong = format!(" {}, more than this program reads", most + 1);
        is_told(&problems(&project.root()), file, long.lines().count(), &wrong);
        fs::write(&path, rows(most)).expect("a file of records");
        let all = problems(&project.root());
        assert!(!all.iter().any(|p| p.wrong.contains("more than this program")), "{file} {table}");
    }
}

#[test]
fn columns_and_keys_are_bounded() {
    let wide = |count: usize| -> Vec<String> { (2..count).map(|n| format!("note_{n}")).collect() };
    for (count, is_wrong) in [(MOST_COLUMNS, false), (MOST_COLUMNS + 1, true)] {
        let project = Project::copied();
        project.write("plan/keel.csv", format!("x_m,rise_mm,{}\n", wide(count).join(",")));
        let keys = wide(count).join(" = 1\n");
        project.edit("docking.toml", "[dock]\nname", &format!("[dock]\n{keys} = 1\nname"));
        let before = project.text("docking.toml");
        let line = before.lines().take_while(|line| *line != "[dock]").count() + 1;
        let found = problems(&project.root());
        let keys = before.lines().skip(line).take_while(|line| !line.is_empty()).count();
        assert_eq!(
            found.iter().any(|p| p.wrong.contains("keys in one table")),
            keys > MOST_COLUMNS
        );
        if is_wrong {
            is_told(&found, "plan/keel.csv", 1, &format!("has {count} columns"));
            is_told(&found, "docking.toml", line, &format!("has {keys} keys in one table"));
        } else {
            assert!(!found.iter().any(|problem| problem.wrong.contains("columns")), "{found:?}");
        }
    }
}

#[test]
fn zones_and_caps_over_each_other_are_bounded() {
    let project = Project::copied();
    let zone = |n: usize| format!("N{n},side,,,,100,1.0\n");
    let known = 5;
    let rows: String = (0..=MOST_ZONES - known).map(zone).collect();
    let line = project.text("coating/zones.csv").lines().count() + MOST_ZONES - known + 1;
    project.append("coating/zones.csv", &rows);
    is_told(&problems(&project.root()), "coating/zones.csv", line, "begins zone 101,");

    let project = Project::copied();
    let line = project.text("plan/blocks.csv").lines().count() + 1;
    let block = |n: usize| format!("N{n},keel,150,0,600,1200,1350,-3.451,,0,oak,1.9,3400,,,,\n");
    project.append("plan/blocks.csv", &(0..=MOST_OVERLAPPING).map(block).collect::<String>());
    assert_eq!(problems(&project.root()), []);
    project.append("plan/blocks.csv", &block(99));
    let wrong = format!("overlaps more than {MOST_OVERLAPPING} others");
    is_told(&problems(&project.root()), "plan/blocks.csv", line, &wrong);
}
