//! `data/README.txt` of a supplement.

use super::lines::{CHECK, Lines, RESCUE};
use super::text;
use crate::bundle::digest::in_fours;
use crate::bundle::format_text::PROOF;
use crate::bundle::layout;
use crate::records::corrected::Supplement;
use crate::records::docking::Docking;
use crate::text::count;

/// The text: what the supplement is and to what, what is in it, how to check it.
pub fn of_supplement(supplement: &Supplement, docking: &Docking, program: &str) -> String {
    let stated = &supplement.stated;
    let name = &stated.about.name;
    let ship = &docking.ship.name;
    let mut out = Lines::default();
    out.heading(&format!("{ship}: supplement to the record of a dry-docking"), '=');
    if let Some(statement) = docking.archive.statement() {
        out.says(statement);
        out.line("");
    }
    let mut line = |label: &str, value: &str| out.says(&format!("{label:<13}{value}"));
    line("Supplement:", name);
    line("Ship:", ship);
    line("About:", &stated.about.about);
    line("Made by:", &format!("{}, {}", stated.about.made_by, stated.about.made_on));
    out.says(&format!("Written by the program {program}; nothing here needs it to be read."));
    out.heading("What it supplements", '-');
    out.says(
        "A bundle is never changed. What became known after it was closed out stands in supplements like this one: \
         errata, later records, and papers. The bundle and its findings stand as they were; read both.",
    );
    for (what, sealed) in
        [("It supplements", &stated.parent), ("The line begins with the bundle", &stated.first)]
    {
        out.item(&format!("{what} {}, whose seal is", sealed.name));
        out.line(&format!("    {}", in_fours(&sealed.seal)));
    }
    if stated.parent.seal == stated.first.seal {
        out.says("Both are the same: this supplement follows the bundle itself.");
    }
    out.heading("What it corrects", '-');
    if supplement.errata.is_empty() {
        out.says("It has no errata.");
    }
    for placed in &supplement.errata {
        let erratum = &placed.erratum;
        let of = erratum.of.as_deref().unwrap_or(&stated.first.name);
        let value = |text: &Option<String>, absent: &str| {
            text.as_ref().map_or_else(|| absent.to_string(), |text| format!("\"{text}\""))
        };
        out.item(&format!(
            "{}: in {} of {of}, line {}{}, {}: there stands {}; right is {}. Says {}, {}: {}",
            erratum.id,
            erratum.file,
            placed.line,
            erratum.row.as_ref().map(|row| format!(" ({row})")).unwrap_or_default(),
            erratum.column,
            value(&erratum.stands, "nothing"),
            value(&erratum.right, "nothing: it is withdrawn"),
            erratum.by,
            erratum.on,
            erratum.ground,
        ));
    }
    out.heading("What it adds", '-');
    if supplement.rows.is_empty() && supplement.papers.is_empty() {
        out.says("It adds no records and no papers.");
    }
    for (path, rows) in &supplement.rows {
        out.item(&format!("data/records/{path}: {}", count(rows.len(), "row", "rows")));
    }
    if !supplement.rows.is_empty() {
        out.says(
            "These rows were read as records are; what they say was not recomputed or compared.",
        );
    }
    for paper in &supplement.papers {
        out.item(&format!("{}{paper}", layout::PAPERS));
    }
    let checking = text::CHECKING.replacen("Without it: unpack", "Unpack", 1);
    let sealed = text::SEALED.replacen(
        "It was written to NAME-seal.pdf beside the zip, a page to be\nprinted and kept elsewhere, and to NAME-seal.txt.",
        "It was written to NAME-seal.txt\nbeside the zip, to be kept on paper elsewhere.",
        1,
    );
    let sealed = sealed.replacen("the whole bundle", "the whole supplement", 1);
    out.chapter("How to check it with common tools", &[checking, sealed].concat(), name);
    out.script("check.py", CHECK);
    out.says(&format!(
        "With the program that wrote it, the bundle and the supplements between at hand: lastdock verify BUNDLE.zip \
         {name}.zip"
    ));
    out.chapter("What checking proves", "", name);
    let [fixity, seal, _, truth] = PROOF;
    for sentence in [fixity, seal] {
        out.item(sentence);
    }
    out.item(
        "That what an erratum says stands in the bundle does stand there, if lastdock verify is given the bundle too. \
         Whether what it says instead is right rests on the ground that it gives.",
    );
    out.item(truth);
    let damaged = [text::DAMAGED, text::RESCUED].concat();
    out.chapter("When the zip is damaged", &damaged, name);
    out.script("rescue.py", RESCUE);
    out.heading("What to copy to the next medium", '-');
    out.says(&format!(
        "{name}.zip and every file beside it whose name holds {name}: READ-ME-FIRST-{name}.txt, {name}-seal.txt, \
         {name}.zip*.par2 and, if it was signed, {name}-seal.sig; together with the bundle {} and everything that \
         belongs to it. Print the seal, and keep the paper away from both.",
        stated.first.name
    ));
    out.0
}
