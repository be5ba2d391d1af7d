//! What an archive asks for: whoever opens any of the files learns it, and what is absent is said.

use std::fs;
use std::path::Path;

use crate::common::{
    NAME, Project, closed, closeout, lastdock, program, run, squeezed, temporary, unpack,
};

const STATEMENT: &str = "This docking is invented: ship, dock, people and figures.";

fn text(path: &Path) -> String {
    String::from_utf8_lossy(&fs::read(path).expect("a file")).into_owned()
}

#[test]
fn invented_data_say_so_wherever_they_are_opened() {
    let closed = closed();
    let page = closed.zip.with_file_name("calder-wren-2031-start-here.html");
    for path in [
        closed.folder.join("data/README.txt"),
        closed.folder.join("bag-info.txt"),
        closed.folder.join("data/start-here.html"),
        closed.seal_file.clone(),
        page,
    ] {
        let said = squeezed(&text(&path));
        assert!(said.contains(&squeezed(STATEMENT)), "{path:?}");
    }
}

#[test]
fn the_description_of_the_bag_names_whom_to_ask_and_which_ship() {
    let info = text(&closed().folder.join("bag-info.txt"));
    for line in [
        "Source-Organization: Calder Wren Preservation Society",
        "Organization-Address: Old Customs House, Port Merrin",
        "Contact-Name: Records office, Calder Wren Preservation Society",
        "Contact-Email: records@calder-wren.example",
        "External-Identifier: CWPS D-2031",
        "Bagging-Date: 2031-05-16",
        "Bag-Group-Identifier: official number CW-1934, shipping register of Port Merrin",
    ] {
        assert!(info.lines().any(|found| found == line), "no {line} in {info}");
    }
    assert!(!info.contains("Contact-Phone"), "{info}");
    // The size is that of the payload, as its number of bytes says.
    let value = |label: &str| info.lines().find_map(|line| line.strip_prefix(label));
    let bytes = value("Payload-Oxum: ").and_then(|oxum| oxum.split('.').next()?.parse().ok());
    let bytes: f64 = bytes.expect("a number of bytes");
    let megabytes = value("Bag-Size: ").and_then(|size| size.strip_suffix(" MB"));
    let megabytes: f64 = megabytes.expect("a size").parse().expect("a number");
    assert!((bytes / 1e6 - megabytes).abs() <= 0.05, "{info}");
}

#[test]
fn what_is_absent_is_said_and_the_name_stands_for_it() {
    let (out, project) = (temporary(), Project::copied());
    let docking = project.text("docking.toml");
    let (before, rest) = docking.split_once("[archive]\n").expect("the table");
    let (_, after) = rest.split_once("[closeout]\n").expect("the table after it");
    project.write("docking.toml", format!("{before}[closeout]\n{after}"));
    closeout(&project.root(), out.path()).exits(0);
    let bag = unpack(&out.path().join(format!("{NAME}.zip")), &out.path().join("unpacked"));
    let info = text(&bag.join("bag-info.txt"));
    assert!(info.contains("External-Identifier: calder-wren-2031\n"), "{info}");
    assert!(info.contains("Bag-Group-Identifier: Calder Wren\n"), "{info}");
    let readme = text(&bag.join("data/README.txt"));
    for line in
        ["- Rights: not recorded", "- IMO number: not recorded", "- Originals: not recorded"]
    {
        assert!(readme.contains(line), "no {line} in {readme}");
    }
    let page = text(&bag.join("data/start-here.html"));
    assert!(squeezed(&page).contains("Notrecorded:rights,access,personaldata"), "no list in it");
}

#[test]
fn the_next_docking_is_asked_to_confirm_it() {
    let folder = temporary();
    let next = folder.path().join("next");
    run(program().arg("start").arg(&next).arg("--from").arg(&closed().zip)).exits(0);
    let docking = text(&next.join("docking.toml"));
    let begins = docking.find("[archive]").expect("the table");
    let table = &docking[begins..];
    for line in
        ["rights = \"CC0-1.0\"", "contact_email = \"records@calder-wren.example\"", "#imo_number"]
    {
        assert!(table.contains(line), "no {line} in {table}");
    }
    assert!(docking.contains("identifier, originals and plans are that docking's"), "{table}");
}

#[test]
fn a_number_that_its_last_digit_denies_is_refused_with_its_place() {
    let project = Project::copied();
    let docking = project.text("docking.toml");
    let wrong = "[archive]\nimo_number = \"IMO 1234568\"\ndock_latitude_deg = 95\n";
    project.write("docking.toml", docking.replacen("[archive]\n", wrong, 1));
    let said = lastdock([Path::new("check"), &project.root()]).exits(1);
    for part in ["\"IMO 1234568\" is not an IMO number", "a last digit of 7", "is not on the earth"]
    {
        assert!(said.squeezed().contains(&squeezed(part)), "no {part} in {}", said.squeezed());
    }
}
