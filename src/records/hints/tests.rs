//! Hints: what was meant is named, or nothing is.

use super::*;

fn read_feet(text: &str) -> Option<FeetAndInches> {
    lengths::read(text).ok().flatten()
}

#[test]
fn numbers_as_people_and_spreadsheets_write_them() {
    let mm = Quantity::Length.unit("mm");
    for (text, advice) in [
        ("24,30", "write 24.30"),
        (
            "1,200",
            "write 1200 if the comma separates thousands, or 1.200 if it is the decimal point",
        ),
        ("1,200.5", "write 1200.5"),
        ("1.200,5", "write 1200.5"),
        ("1 200 000", "write 1200000"),
        ("0,125", "write 0.125"),
        (
            "1\u{a0}200",
            "write 1200 if the space separates thousands, or 1.200 if it is the decimal point",
        ),
        (
            "1'200",
            "write 1200 if the apostrophe separates thousands, or 1.200 if it is the decimal point",
        ),
        ("\u{2212}0.24", "write -0.24"),
        ("6OO", "write 600"),
        ("l2", "write 12"),
        ("600 mm", "write 600"),
        ("600mm", "write 600"),
        ("0.6 m", "convert it to mm and write the number alone"),
        ("12l", "convert it to mm and write the number alone"),
        ("-", "if there was no reading, leave it out"),
        ("N/A", "if there was no reading, leave it out"),
        ("ca. 5", ALONE),
        ("12 06", ALONE),
        ("3 5", ALONE),
        ("1_200", ALONE),
        ("5?", ALONE),
        ("\u{e9}", ALONE),
    ] {
        assert_eq!(number(text, mm), advice, "{text}");
    }
    assert_eq!(number("12l", Quantity::Volume.unit("l")), "write 12");
    assert_eq!(number("60 %", Quantity::Ratio.unit("pct")), "write 60");
    assert_eq!(number("12l", None), "write the number alone");
}

#[test]
fn feet_and_inches_are_never_one_number() {
    let told = |text: &str, unit: &str| number(text, Quantity::Length.unit(unit));
    assert_eq!(told("11'9", "ft"), "write 11.75, which is 11 feet 9 inches");
    assert_eq!(told("-24'6", "ft"), "write -24.5, which is minus 24 feet 6 inches");
    assert_eq!(told("12\u{2019}6", "in"), "write 150, which is 12 feet 6 inches");
    assert_eq!(told("11'9", "m"), "convert it to m and write the number alone");
    assert!(told("12'7", "ft").starts_with("write decimal feet"));
    assert_eq!(told("12 06", "ft"), ALONE);
}

#[test]
fn times_as_people_and_spreadsheets_write_them() {
    const EXAMPLE: &str =
        "write the year, the month, the day and the time of day, as in the example";
    for (text, advice) in [
        (
            "07.04.2031 05:10",
            "write 2031-04-07T05:10 if the day comes first, or 2031-07-04T05:10 if the month does",
        ),
        ("27.4.2031 5.10", "write 2031-04-27T05:10"),
        (
            "07/04/2031 05:10",
            "write 2031-04-07T05:10 if the day comes first, or 2031-07-04T05:10 if the month does",
        ),
        ("27/04/2031 0510", "write 2031-04-27T05:10"),
        ("2031-4-7 5:10", "write 2031-04-07T05:10"),
        ("2031-4-7 5:10:45", "write 2031-04-07T05:10:45"),
        ("4/27/2031 7:00 AM", "write 2031-04-27T07:00"),
        ("4/27/2031 12:15 am", "write 2031-04-27T00:15"),
        ("4/27/2031 4:05pm", "write 2031-04-27T16:05"),
        ("4/27/2031 16:05 PM", EXAMPLE),
        ("2031-4-7 5:10:4", EXAMPLE),
        ("2031-04-07", "add the time of day after the date, as in the example"),
        ("05:10", "put the date before it, as in the example"),
        ("2031-04-07T24:00", "write 2031-04-08T00:00, the start of the next day"),
        ("2031-04-31T16:50:00+01:00", "April 2031 has no day 31: correct the day"),
        ("2031-13-07 05:10", "there is no month 13: correct the day or its month"),
        ("2O31-O4-l7 05:10", "write 2031-04-17T05:10"),
        ("yesterday", EXAMPLE),
    ] {
        assert_eq!(time(text), advice, "{text}");
    }
    assert!(time("47945.2152777778").contains("day number"));
    assert_eq!(date("27.4.2031"), "write 2031-04-27");
    assert_eq!(date("spring"), "write the year, month and day");
}

#[test]
fn a_name_is_meant_only_where_no_other_can_be() {
    let known = [
        "K1",
        "K10",
        "K12",
        "KL",
        "Bottom",
        "bilge-port",
        "bilge-starboard",
        "P2",
        "sa2",
        "sa2.5",
        "sa3",
    ];
    for (written, expected) in [
        ("k12", Some("K12")),
        ("K 12", Some("K12")),
        ("K-12", Some("K12")),
        ("K012", None),
        ("k1", Some("K1")),
        ("Kl", None),
        ("K1O", Some("K10")),
        ("K1-2", None),
        ("K2", None),
        ("K13", None),
        ("P9", None),
        ("P", None),
        ("D5", None),
        ("Botom", Some("Bottom")),
        ("bilge_port", Some("bilge-port")),
        ("bilge", None),
        ("bilge-st", None),
        ("sa2.", None),
        ("sa3.", Some("sa3")),
        ("Bottmo", Some("Bottom")),
    ] {
        assert_eq!(meant(written, known.iter().copied()), expected, "{written}");
    }
}

#[test]
fn feet_and_inches_as_people_write_them() {
    for (text, feet, inches) in [
        ("11'9", Some("11.75"), "141"),
        ("11' 9\"", Some("11.75"), "141"),
        ("11'-9\"", Some("11.75"), "141"),
        ("11 ft 9 in", Some("11.75"), "141"),
        ("11'", Some("11"), "132"),
        ("11-09", Some("11.75"), "141"),
        ("-24'6", Some("-24.5"), "-294"),
        ("12'6 3/4\"", Some("12.5625"), "150.75"),
        ("12'11", None, "155"),
        ("12' 1/2\"", None, "144.5"),
    ] {
        let read = read_feet(text).unwrap_or_else(|| panic!("{text}"));
        assert_eq!(read.in_feet().as_deref(), feet, "{text}");
        assert_eq!(read.in_inches(), inches, "{text}");
    }
}

#[test]
fn what_may_be_something_else_is_not_read() {
    for text in [
        "12 06",
        "11-9",
        "5-6",
        "11'12",
        "11''9",
        "12",
        "1.5'6",
        "11'9'",
        "2031-04-07",
        "11'9x",
        "'9",
        "12'3/3",
    ] {
        assert_eq!(read_feet(text), None, "{text}");
    }
}

#[test]
fn alike_close_and_neither() {
    let known = ["EP1-0332", "AF1-3401", "EP1-0917", "DF1"];
    let of = |written: &str| near(written, known.into_iter());
    assert_eq!(of("EP1-0332"), None);
    assert_eq!(of("ep1-0332"), Some(Near::Alike("EP1-0332")));
    assert_eq!(of("AF1-34O1"), Some(Near::Alike("AF1-3401")));
    assert_eq!(of("EP1_0332"), Some(Near::Alike("EP1-0332")));
    assert_eq!(of("df1"), Some(Near::Alike("DF1")));
    assert_eq!(of("EP1-0323"), Some(Near::Close(vec!["EP1-0332"])));
    assert_eq!(of("EP1-033"), Some(Near::Close(vec!["EP1-0332"])));
    // Another gauge of two is no slip, and neither is another batch of the same year.
    assert_eq!(of("DF2"), None);
    assert_eq!(of("EP1-1104"), None);
}

#[test]
fn of_many_close_names_none_is_meant() {
    let known: Vec<String> = (0..9).map(|n| format!("EP1-033{n}")).collect();
    assert_eq!(near("EP1-0339", known.iter().map(String::as_str)), None);
}
