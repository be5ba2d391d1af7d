//! The blank workbook through PyPI `openpyxl`: what it sees in it, and what it fills in read back.

use std::fs;
use std::path::Path;

use lastdock::records::FILES;
use lastdock::records::spec::{Holds, Need};

use crate::common::{lastdock, run, temporary};
use crate::judge::{content, judge};

#[test]
#[ignore = "needs the PyPI package openpyxl, see tests/outside/README.md"]
fn openpyxl_reads_the_blank_workbook_and_fills_it_in() {
    let folder = temporary();
    let project = folder.path().join("new");
    lastdock([Path::new("start"), &project, Path::new("--workbook")]).exits(0);
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/workbook.py");
    let workbook = project.join("project.xlsx");
    let found = content(judge("python").arg(script).arg(&workbook)).json();
    let sheets = found.as_object().expect("sheets by name");
    let specs: Vec<_> = FILES.iter().filter(|spec| !spec.path.starts_with("history/")).collect();
    assert_eq!(sheets.len(), specs.len());
    for spec in specs {
        let sheet = &found[spec.table_name()];
        let headings: Vec<String> = spec.headings();
        assert_eq!(sheet["headings"], serde_json::json!(headings), "{}", spec.path);
        assert_eq!(sheet["notes"], headings.len(), "{}", spec.path);
        assert_eq!(sheet["narrow"], serde_json::json!([]), "{}", spec.path);
        assert_eq!(sheet["frozen"], "A2", "{}", spec.path);
        for column in spec.columns {
            let Holds::Word(words) = column.holds else { continue };
            let list = &sheet["lists"][column.name];
            assert_eq!(
                list[0],
                format!("\"{}\"", words.join(",")),
                "{} {}",
                spec.path,
                column.name
            );
            assert_eq!((&list[1], &list[2]), (&2.into(), &5000.into()));
        }
        assert!(spec.columns.iter().any(|column| column.need == Need::Always));
    }
    let blocks = &found["landing-gaps"]["lists"]["block"];
    assert_eq!(blocks[0], "'plan-blocks'!$A$2:$A$5000");

    let docking = fs::read_to_string(project.join("docking.toml")).expect("docking.toml");
    let named = docking
        .replace("name = \"\"  ", "name = \"Fenwhin\"  ")
        .replace("offset = \"\"", "offset = \"+01:00\"");
    fs::write(project.join("docking.toml"), named).expect("docking.toml");
    let said = run(crate::common::program().args(["check", "--json"]).arg(&project));
    assert!(said.status != 1, "{}{}", said.out, said.err);
    let folder = lastdock::records::store::Folder::open(&project, &mut Default::default());
    let read = lastdock::records::read(&folder, Default::default()).expect("it reads");
    assert_eq!(read.blocks.len(), 1);
    assert_eq!((read.blocks[0].id.as_str(), read.water[0].level_m), ("4-12", -2.05));
    let landed = read.positions[0].times.landed.expect("the time").to_rfc3339();
    assert!(landed.starts_with("2031-04-07T12:31:00"), "{landed}");
}
