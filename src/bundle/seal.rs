//! `NAME-seal.txt`: the seal as text, how to compute it, and how to rescue a damaged zip, since the README.txt of what is
//! sealed is inside it.

use super::digest;
use crate::findings::Examined;
use crate::records::docking::Docking;
use crate::records::supplement::Stated;
use crate::report::seal_sheet::{WHEN_IT_DIFFERS, seal_commands};

/// The text for the bundle of that name.
pub fn of_bundle(examined: &Examined, name: &str, seal: &str) -> String {
    let docking = &examined.project.docking;
    let seal = digest::in_fours(seal);
    let mut out = format!(
        "{seal}\n\nThis is the seal of the bundle {name}.zip,\n\
         the record of the docking of {} in {}.\n{}\n\
         Print {name}-seal.pdf, which says the same and more, and keep it on paper, away\n\
         from the bundle. ",
        docking.ship.name,
        docking.dock.name,
        statement(docking),
    );
    computing(&mut out, name, "bundle");
    out.push_str(&format!(
        "\nor, with the program that wrote it, which checks every file as well:\n\n    lastdock verify {name}.zip \
         --seal \\\n      \"{seal}\"\n"
    ));
    rescuing(&mut out, name);
    out
}

/// The text for a supplement to the record of a docking.
pub fn of_supplement(stated: &Stated, docking: &Docking, seal: &str) -> String {
    let name = &stated.about.name;
    let mut out = format!(
        "{}\n\nThis is the seal of the supplement {name}.zip\n\
         to the record of a docking of {}.\n{}\
         It supplements {}, whose seal is\n\n{}\n\n\
         Keep it on paper, away from the supplement.\n",
        digest::in_fours(seal),
        docking.ship.name,
        statement(docking),
        stated.parent.name,
        digest::in_fours(&stated.parent.seal),
    );
    computing(&mut out, name, "supplement");
    out.push_str(&format!(
        "\nor, with the program that wrote it, which checks every file as well\n\
         and reads it against what it supplements (name every supplement between the two, too):\n\n    lastdock verify {}.zip {name}.zip\n",
        stated.first.name
    ));
    rescuing(&mut out, name);
    out
}

/// What the archive says before all else, on a line of its own.
fn statement(docking: &Docking) -> String {
    docking.archive.statement().map(|statement| format!("{statement}\n")).unwrap_or_default()
}

fn computing(out: &mut String, name: &str, what: &str) {
    out.push_str(&format!(
        "The seal is the SHA-256 of the file tagmanifest-sha256.txt in the\n\
         {what}, in groups of four. To compute it, unpack a copy of the zip, and in the folder\n\
         {name}, which holds bagit.txt, type one of these:\n"
    ));
    for (system, command) in seal_commands() {
        out.push_str(&format!("\n  {system}:\n    {command}\n"));
    }
}

fn rescuing(out: &mut String, name: &str) {
    out.push_str("\nIf another seal comes out:\n\n");
    for point in WHEN_IT_DIFFERS {
        let point = point.replace("NAME", name);
        let options = textwrap::Options::new(88)
            .initial_indent("  - ")
            .subsequent_indent("    ")
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        for line in textwrap::wrap(&point, options) {
            out.push_str(&format!("{line}\n"));
        }
    }
    out.push_str(&format!(
        "\nRecovery data beside it, if there is any, repairs a damaged zip (PAR 2.0; work on a copy):\n\n    \
         par2 repair {name}.zip.par2\n\nEvery file is in the zip whole and uncompressed. If no zip tool can open it any more,\n\
         Info-ZIP can make a new directory of what is left:\n\n    \
         zip -FF {name}.zip --out mended.zip\n"
    ));
}
