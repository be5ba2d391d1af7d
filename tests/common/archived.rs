//! Projects for what an archive gets to see: one with hardly anything in it, and one whose `[archive]` is filled in.

use std::fs;

use super::{Project, small};

/// A project of names, a block and a closeout, and nothing else.
pub fn bare() -> Project {
    let project = Project::copy_of(&small());
    fs::remove_dir_all(project.root()).expect("to remove it");
    fs::create_dir_all(project.path("plan")).expect("a folder");
    project.write(
        "docking.toml",
        "format = 1\n[ship]\nname = \"Sorrel Pike\"\n[dock]\nname = \"Long Slip\"\n[closeout]\nprepared_by = \"Drawing \
         office\"\nprepared_on = 2033-02-01\nbundle_name = \"sorrel-pike-2033\"\n",
    );
    project.write(
        "plan/blocks.csv",
        "block,row,station_m,offset_m,length_m,width_m,height_m\nK1,keel,8.0,0.0,0.4,0.9,1.2\n",
    );
    project
}

/// What `[archive]` of [`archived`] says.
pub const ARCHIVE: &str = r#"
[archive]
identifier = "accession 2030/17"
rights = "CC-BY-4.0"
access = "open from 2040-01-01"
personal_data = "all who are named agreed"
contact = "Records office of the quay trust"
contact_email = "records@example.org"
contact_telephone = "+00 0000 000"
contact_address = "1 Quay, Port Example"
successor = "county archive"
official_number = "123 of the port's register"
imo_number = "IMO 1234567"
call_sign = "TQXX"
museum_number = "1998.12"
dock_latitude_deg = 44.5
dock_longitude_deg = -31.25
originals = "field books FB 3 to 5"
plans = "plans TQ-4 and TQ-5"
collection = "Ship files"
keep_for = "for good"
note = "All of this is invented."
"#;

/// The small project with everything that `[archive]` asks for, and a paper whose name is no plain reference.
pub fn archived() -> Project {
    let project = Project::copy_of(&small());
    let docking = project.text("docking.toml");
    let (before, rest) = docking.split_once("[archive]\n").expect("the table");
    let (_, after) = rest.split_once("[closeout]\n").expect("the table after it");
    project.write("docking.toml", format!("{before}[closeout]\n{after}{ARCHIVE}"));
    project.write("papers/100 % sure #1 größer.txt", "a paper\n");
    project
}
