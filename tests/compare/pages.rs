//! The PDF: the same every time, and never over a file that is there.

use std::fs;

use super::two::Two;

#[test]
fn the_pages_come_out_the_same() {
    let two = Two::new();
    two.compare("older", "newer", &["--out", two.path("one.pdf").to_str().expect("a path")])
        .exits(0);
    two.compare("older", "newer", &["--out", two.path("two.pdf").to_str().expect("a path")])
        .exits(0);
    let bytes = fs::read(two.path("one.pdf")).expect("the pages");
    assert_eq!(bytes, fs::read(two.path("two.pdf")).expect("the pages"));
}

#[test]
fn a_ship_of_another_name_and_odd_letters_makes_pages_too() {
    let two = Two::new();
    two.edit("older", "docking.toml", "name = \"Fenwhin\"", "name = \"#emph[x] \u{1F6A2} $1$\"");
    let owner = "\u{200f}Quernholt *Museum* \u{5d0} of-a-very-long-name-that-does-not-break-anywhere-by-itself";
    two.edit("newer", "docking.toml", "Quernholt Museum", owner);
    let long = "K2_a_long_name_of_a_block_as_ids_may_be";
    two.edit("newer", "plan/blocks.csv", "K2,", &format!("{long},"));
    two.edit("newer", "landing/gaps.csv", "K2,", &format!("{long},"));
    let out = two.path("c.pdf");
    two.compare("older", "newer", &["--out", out.to_str().expect("a path")]).exits(3);
    assert!(fs::read(out).expect("the pages").starts_with(b"%PDF-1.7"));
}

#[test]
fn a_file_that_is_there_stays_unless_it_may_be_replaced() {
    let two = Two::new();
    let out = two.path("c.pdf");
    let out_text = out.to_str().expect("a path");
    fs::write(&out, "something of mine").expect("to write it");
    let said = two.compare("older", "newer", &["--out", out_text]).exits(1);
    assert!(
        said.squeezed().contains("isalreadythere") || said.squeezed().contains("istherealready")
    );
    assert_eq!(fs::read(&out).expect("the file"), b"something of mine");
    two.compare("older", "newer", &["--out", out_text, "--replace"]).exits(0);
    assert!(fs::read(&out).expect("the pages").starts_with(b"%PDF"));
    // The same again is no replacement.
    two.compare("older", "newer", &["--out", out_text]).exits(0);
}

#[test]
fn nothing_is_written_into_a_docking() {
    let two = Two::new();
    let out = two.path("newer").join("c.pdf");
    two.compare("older", "newer", &["--out", out.to_str().expect("a path")]).exits(1);
    assert!(!out.exists());
    let nowhere = two.path("nowhere/c.pdf");
    two.compare("older", "newer", &["--out", nowhere.to_str().expect("a path")]).exits(1);
}

#[test]
fn without_any_day_there_are_no_pages_and_the_reason_is_given() {
    let two = Two::new();
    two.edit("newer", "docking.toml", "began = 2031-04-07\nended = 2031-04-29\n", "");
    two.edit(
        "newer",
        "docking.toml",
        "[closeout]\nprepared_by = \"A. Person\"\nprepared_on = 2031-05-16\nbundle_name = \"fenwhin-2031\"\n",
        "",
    );
    let out = two.path("c.pdf");
    let said = two.compare("older", "newer", &["--out", out.to_str().expect("a path")]).exits(1);
    assert!(said.squeezed().contains("hasnodaythatthepagescouldcarry"), "{}", said.err);
    assert!(!out.exists());
}
