//! Supplements read against the examples' project.

use super::*;
use crate::records::memory::Memory;
use crate::records::project::KEYED_FILES;

const ANODES: &str = include_str!("../../../templates/supplement/hull/anodes.csv");

/// The examples' project but for its history.
fn first() -> Memory {
    first_without(&[])
}

/// The same without these lines.
fn first_without(left_out: &[&str]) -> Memory {
    let tables = FILES.iter().map(|spec| (spec.path, spec.example));
    let keyed = KEYED_FILES.iter().map(|spec| (spec.path, spec.example));
    let files = tables.chain(keyed).filter(|(path, _)| !path.starts_with(history::FOLDER));
    let mut files: Vec<(&str, String)> = files
        .map(|(path, text)| {
            (path, left_out.iter().fold(text.to_string(), |text, line| text.replace(line, "")))
        })
        .collect();
    files.push(("papers/sea-chest.png", "no picture".to_string()));
    Memory::new(&files)
}

/// The examples' supplement, with other texts in the place of some of its files.
fn example(changed: &[(&str, &str)]) -> Memory {
    let own = [
        (supplement::PATH, supplement::SPEC.example),
        (errata::SPEC.path, errata::SPEC.example),
        ("hull/anodes.csv", ANODES),
    ];
    let kept = own.iter().filter(|(path, _)| changed.iter().all(|(other, _)| other != path));
    let files = kept.chain(changed).filter(|(_, text)| !text.is_empty());
    let files: Vec<(&str, String)> = files.map(|(path, text)| (*path, text.to_string())).collect();
    Memory::new(&files)
}

/// What is said of the examples' supplement with other texts.
fn said(changed: &[(&str, &str)]) -> String {
    let (first, supplement) = (first(), example(changed));
    let mut line = Line::new(&first);
    let found = line.add(&supplement, Problems::default()).expect_err("a problem");
    assert_eq!(line.supplements().count(), 0);
    found.iter().map(|problem| problem.to_string()).collect::<Vec<_>>().join("\n")
}

const HEADER: &str = "erratum,of,file,row,line,column,stands,right,by,on,ground\n";

fn errata(rows: &str) -> String {
    said(&[(errata::SPEC.path, &format!("{HEADER}{rows}"))])
}

#[test]
fn the_example_corrects_the_examples_project() {
    let (first, supplement) = (first(), example(&[]));
    let mut line = Line::new(&first);
    line.add(&supplement, Problems::default()).unwrap_or_else(|found| panic!("{found:?}"));
    let (supplements, project) = line.into_parts();
    let project = project.expect("the records");
    let thickness: Vec<f64> = project.plating.iter().map(|row| row.measured_m).collect();
    assert_eq!(thickness.len(), 3);
    assert_eq!(thickness[..2], [0.0086, 0.0091]);
    assert_eq!(project.docking.ship.built.as_deref(), Some("1912, at Quernholt"));
    // The anode's newer row has taken the place of the older one.
    let masses: Vec<Option<f64>> = project.anodes.iter().map(|anode| anode.mass_found_t).collect();
    assert_eq!(masses, [Some(0.006)]);
    let [read] = &supplements[..] else { panic!("{supplements:?}") };
    assert_eq!(read.rows.keys().collect::<Vec<_>>(), [&"hull/anodes.csv"]);
    assert_eq!(read.row_count(), 1);
    let lines: Vec<u32> = read.errata.iter().map(|placed| placed.line).collect();
    assert_eq!(lines, [2, 3, 6]);
}

/// What a supplement of a later year says of itself.
fn again(number: u32) -> String {
    let text = supplement::SPEC.example;
    let text = text.replace("\"fenwhin-2031-s1\"", &format!("\"fenwhin-2031-s{number}\""));
    text.replace("2034-06-12", &format!("{}-06-12", 2033 + number))
}

#[test]
fn a_value_that_was_right_after_all_is_put_back_and_the_last_word_counts() {
    let (first, one) = (first(), example(&[]));
    let back = "E1,,hull/plating.csv,,2,measured_mm,8.9,8.9,C. Person,2035-01-02,the sheet is of another plate\n";
    let two = example(&[
        (supplement::PATH, &again(2)),
        (errata::SPEC.path, &format!("{HEADER}{back}")),
        ("hull/anodes.csv", ""),
    ]);
    let mut line = Line::new(&first);
    for supplement in [&one, &two] {
        line.add(supplement, Problems::default()).unwrap_or_else(|found| panic!("{found:?}"));
    }
    assert_eq!(line.into_parts().1.expect("the records").plating[0].measured_m, 0.0089);
}

#[test]
fn what_nobody_wrote_down_is_added_to_a_table_of_either_kind() {
    let first =
        first_without(&["built = \"1911, at Quernholt\"\n", "[film]\nrule = \"iso-19840\"\n"]);
    let rows = "E1,,docking.toml,ship,,built,,1911,B,2034-06-12,the register\n\
                E2,,docking.toml,film,,rule,,iso-19840,B,2034-06-12,the specification\n\
                E3,,plan/openings.csv,SC1,,note_seen,,from the dock,B,2034-06-12,seen\n";
    let supplement = example(&[(errata::SPEC.path, &format!("{HEADER}{rows}"))]);
    let mut line = Line::new(&first);
    line.add(&supplement, Problems::default()).unwrap_or_else(|found| panic!("{found:?}"));
    let project = line.into_parts().1.expect("the records");
    assert_eq!(project.docking.ship.built.as_deref(), Some("1911"));
    let docking = project.keyed.iter().find(|keyed| keyed.path == "docking.toml");
    assert_eq!(docking.map(|docking| docking.all("film").count()), Some(1));
    let told = errata("E1,,docking.toml,ship,,colour,,white,B,2034-06-12,seen\n");
    assert!(told.contains("colour") || told.contains("known name"), "{told}");
    assert!(told.starts_with("errata.csv:2"), "{told}");
}

#[test]
fn days_that_cannot_be_are_refused_and_so_is_a_supplement_that_says_nothing() {
    let told = errata("E1,,plan/blocks.csv,K1,,cap_material,oak,fir,B,2034-06-13,a sheet\n");
    assert!(told.contains("(on): \"2034-06-13\" is after the day"), "{told}");
    let told = errata("E1,,plan/blocks.csv,K1,,cap_material,oak,fir,B,10/06/2034,a sheet\n");
    assert!(told.contains("with the year first") && !told.contains("docking.toml"), "{told}");
    let told = said(&[(errata::SPEC.path, HEADER), ("hull/anodes.csv", "")]);
    assert!(told.contains("nothing to seal"), "{told}");
    let (first, early) = (first(), example(&[]));
    let day = NaiveDate::from_ymd_opt(2034, 6, 13).expect("a day");
    let mut line = Line::new(&first).closed_on(day);
    let found = line.add(&early, Problems::default()).expect_err("a problem");
    assert!(found[0].to_string().contains("is before fenwhin-2031 was made"), "{found:?}");
}

#[test]
fn what_several_errata_of_a_row_do_to_it_is_told_of_all_of_them() {
    let told = errata(
        "E1,,hull/anodes.csv,AN1,,renewed,no,,B,2034-06-12,seen\n\
         E2,,hull/anodes.csv,AN1,,x_m,42,,B,2034-06-12,seen\n",
    );
    assert!(!told.contains("E1,"), "{told}");
}

#[test]
fn a_second_supplement_corrects_both_the_bundle_and_the_first() {
    let (first, one) = (first(), example(&[]));
    let again = again(2);
    let rows = "E1,fenwhin-2031-s1,hull/anodes.csv,AN1,,mass_found_kg,6,7,C. Person,2035-01-02,weighed again\n\
                E2,,hull/plating.csv,,2,measured_mm,8.9,8.7,C. Person,2035-01-02,read twice\n";
    let two = example(&[
        (supplement::PATH, &again),
        (errata::SPEC.path, &format!("{HEADER}{rows}")),
        ("hull/anodes.csv", ""),
    ]);
    let mut line = Line::new(&first);
    for supplement in [&one, &two] {
        line.add(supplement, Problems::default()).unwrap_or_else(|found| panic!("{found:?}"));
    }
    let project = line.into_parts().1.expect("the records");
    assert_eq!(project.anodes[0].mass_found_t, Some(0.007));
    assert_eq!(project.plating[0].measured_m, 0.0087);
}

#[test]
fn an_erratum_of_what_does_not_stand_there_is_told_what_does() {
    let told = errata("E1,,hull/plating.csv,,2,measured_mm,8.6,8.5,B,2034-06-12,a sheet\n");
    assert!(told.contains("errata.csv:2"), "{told}");
    assert!(
        told.contains("(stands): \"8.6\" does not stand at hull/plating.csv:2 (measured_mm)"),
        "{told}"
    );
    assert!(told.contains("expected: 8.9, which is what stands there"), "{told}");
    let told = errata("E1,,plan/blocks.csv,K1,,clearance_mm,12,50,B,2034-06-12,a sheet\n");
    assert!(told.contains("expected: nothing, as the cell is empty there"), "{told}");
}

#[test]
fn an_erratum_that_names_nothing_is_told_what_there_is() {
    for (row, expected) in [
        (",,hull/platings.csv,,2,measured_mm,8.9,8.6", "such as hull/plating.csv"),
        (",,hull/plating.csv,A,,measured_mm,8.9,8.6", "in the column line one of 2, 3"),
        (",,hull/plating.csv,,,measured_mm,8.9,8.6", "fill in row or line"),
        (",,hull/plating.csv,,2,measured,8.9,8.6", "is no heading or key there"),
        (",,plan/blocks.csv,K9,,row,keel,side", "or the line on which it begins"),
        (",other,plan/blocks.csv,K1,,row,keel,side", "no supplement comes before this one"),
        (",,plan/blocks.csv,K1,,row,keel,keel", "is what stands there already"),
        (",,docking.toml,ships,,name,Fenwhin,Fenwinn", "such as ship"),
        (",,errata.csv,E1,,right,a,b", "is no file of the record"),
        (",,coating/products.toml,product.P99,,name,a,b", "is no table of coating/products.toml"),
        (",,papers/sea-chest.png,a,,b,c,d", "is no file of the record"),
    ] {
        let told = errata(&format!("E1{row},B,2034-06-12,a sheet\n"));
        assert!(told.contains(expected), "{row}: {told}");
    }
    let row = |name: &str| {
        format!("{name},,plan/blocks.csv,K1,,cap_material,oak,fir,B,2034-06-12,a sheet\n")
    };
    let told = errata(&(row("E1") + &row("E2")));
    assert!(told.contains("corrects the value that E1 corrects"), "{told}");
    assert!(errata(&(row("E1") + &row("e1"))).contains("stands twice"));
}

#[test]
fn a_right_value_that_the_column_can_t_hold_is_told_at_the_erratum() {
    for (row, wrong) in [
        (",,hull/plating.csv,,2,measured_mm,8.9,thin", "\"thin\" can't stand there"),
        (",,hull/plating.csv,,2,measured_mm,8.9,", "can't be withdrawn"),
        (",,plan/blocks.csv,K1,,row,keel,middle", "\"middle\" can't stand there"),
        (",,docking.toml,ship,,breadth_m,6.0,wide", "\"wide\" can't stand there"),
        // A block that other records name can't be called otherwise in the plan alone.
        (",,plan/blocks.csv,K1,,block,K1,K7", "with E1 or its tables the record can't be read"),
    ] {
        let told = errata(&format!("E1{row},B,2034-06-12,a sheet\n"));
        assert!(told.contains(wrong), "{row}: {told}");
        assert!(told.starts_with("errata.csv"), "{told}");
    }
}

#[test]
fn a_supplements_records_are_read_as_a_projects_with_the_ids_of_the_bundle() {
    let repairs = "repair,kind,about,zone,began\nR7,weld,block:K1,F1,2034-06-10T10:00:00+01:00\n";
    let (first, supplement) = (first(), example(&[("hull/repairs.csv", repairs)]));
    let mut line = Line::new(&first);
    line.add(&supplement, Problems::default()).unwrap_or_else(|found| panic!("{found:?}"));
    let told = said(&[("hull/repairs.csv", &repairs.replace("F1", "F9"))]);
    assert!(told.starts_with("hull/repairs.csv:2:4 (zone): \"F9\""), "{told}");
    let told = said(&[("hull/anode.csv", "a\n"), ("docking.toml", "format = 1\n")]);
    assert!(told.contains("hull/anode.csv: is not a known file of records"), "{told}");
    assert!(told.contains("docking.toml: is not a known file of records"), "{told}");
    let hidden = repairs.replace("weld", "weld\u{7}");
    assert!(said(&[("hull/repairs.csv", &hidden)]).contains("hull/repairs.csv:2:2"));
}

#[test]
fn what_supplement_toml_lacks_is_told() {
    let whole = supplement::SPEC.example;
    let told = said(&[(supplement::PATH, "")]);
    assert!(told.contains("supplement.toml: is missing"), "{told}");
    let cut = &whole[..whole.find("[first]").expect("a table")];
    assert!(said(&[(supplement::PATH, cut)]).contains("has no table [first]"));
    let told = said(&[(supplement::PATH, &whole.replace("0000 1111", "0000"))]);
    assert!(told.contains("is not a seal"), "{told}");
    let told = said(&[(supplement::PATH, &whole.replace("fenwhin-2031-s1", "Fenwhin-2031"))]);
    assert!(told.contains("has the name of what it supplements"), "{told}");
    assert!(
        said(&[(supplement::PATH, &whole.replace("format = 1", "format = 2"))]).contains("format")
    );
    let told = said(&[(supplement::PATH, &whole.replace("made_by", "maker"))]);
    assert!(told.contains("made_by"), "{told}");
}
