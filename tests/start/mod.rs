//! `lastdock start`: new projects, blank and carried forward, as the program's users make them.

mod blank;
mod carried;
mod forms;
mod refused;

use std::fs;
use std::path::{Path, PathBuf};

use crate::common::{Said, lastdock, program, run, temporary};
use tempfile::TempDir;

/// A folder with room for a new project in it.
struct Room(TempDir);

impl Room {
    fn new() -> Self {
        Self(temporary())
    }

    /// Where the new project goes.
    fn new_folder(&self) -> PathBuf {
        self.0.path().join("new")
    }

    /// A file of it.
    fn text(&self, file: &str) -> String {
        fs::read_to_string(self.new_folder().join(file))
            .unwrap_or_else(|error| panic!("{file}: {error}"))
    }

    /// Replaces the only place where `old` stands in a file.
    #[track_caller]
    fn edit(&self, file: &str, old: &str, new: &str) {
        let text = self.text(file);
        assert_eq!(text.matches(old).count(), 1, "{old:?} must stand once in {file}");
        fs::write(self.new_folder().join(file), text.replace(old, new)).expect("to write it");
    }

    /// What stands in the room, hidden things too.
    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.0.path())
            .expect("a folder to list")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// `lastdock start` of the new project.
    #[track_caller]
    fn start(&self) -> Said {
        run(program().arg("start").arg(self.new_folder()))
    }

    /// The same from a bundle.
    #[track_caller]
    fn start_from(&self, bundle: &Path) -> Said {
        run(program().arg("start").arg(self.new_folder()).arg("--from").arg(bundle))
    }

    /// `lastdock check --json` of the new project.
    #[track_caller]
    fn check(&self) -> Said {
        run(program().args(["check", "--json"]).arg(self.new_folder()))
    }

    /// Names the ship and the dock.
    fn name_both(&self) {
        self.edit(
            "docking.toml",
            NAME_OF_SHIP,
            "name = \"Fenwhin\"        # FIRST: the ship's name",
        );
        self.edit("docking.toml", NAME_OF_DOCK, "name = \"Old Dock\"     # FIRST: the dock's name");
    }
}

const NAME_OF_SHIP: &str = "name = \"\"                             # FIRST: the ship's name";
const NAME_OF_DOCK: &str = "name = \"\"                             # FIRST: the dock's name";

#[test]
fn help_has_an_example_and_a_wrong_line_exits_with_2() {
    let said = lastdock(["start", "--help"]).exits(0);
    assert!(said.out.contains("Example: lastdock start"), "{}", said.out);
    let room = Room::new();
    let new = room.new_folder();
    let new = new.to_str().expect("a path in UTF-8");
    for arguments in
        [vec!["start"], vec!["start", new, "--accept-damaged"], vec!["start", new, new]]
    {
        lastdock(&arguments).exits(2);
    }
    assert_eq!(room.names(), Vec::<String>::new());
}
