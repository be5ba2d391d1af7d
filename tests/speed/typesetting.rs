//! Writes all that the typesetter sees for a project's report into a folder, so that another compiler can
//! make the same pages of it:
//!
//!     cargo bench --bench typesetting -- PROJECT FOLDER

mod inputs;

use std::path::PathBuf;
use std::{env, fs};

fn main() {
    let [project, folder] = [1, 2].map(|n| env::args_os().nth(n).map(PathBuf::from));
    let (Some(project), Some(folder)) = (project, folder) else {
        eprintln!("a project, and a folder to write to, are wanted");
        std::process::exit(2);
    };
    let ready = inputs::Ready::new(&project);
    let files = lastdock::report::typesetters_files(&ready.inputs()).expect("a closed record");
    for (path, bytes) in files {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().expect("a folder")).expect("to make a folder");
        fs::write(&path, bytes).expect("to write a file");
    }
}
