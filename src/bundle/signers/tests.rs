//! Lists of signers: which lines accept a key, and for whom.

use super::*;

const KEY: &str =
    "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIEo175hlBQUyPLeiMpxrqygAJssy5LvlrtR5//eR28mi";

fn key() -> KeyData {
    ssh_key::PublicKey::from_openssh(KEY).expect("a key").key_data().clone()
}

/// What the list says of the key, in a word and its reasons.
fn verdict(lines: &str, by: Option<&str>, at: Option<&str>) -> (&'static str, String) {
    let signers = Signers::parse(lines.replace("KEY", KEY).as_bytes()).expect("a list");
    let at = at.map(|at| Moment::typed(at).expect("a time"));
    match signers.judge(&key(), &Asked { by: by.map(String::from), at }) {
        Verdict::Accepted(words) => ("accepted", words),
        Verdict::Undated(why) => ("undated", why.join("; ")),
        Verdict::Refused(why) => ("refused", why.join("; ")),
    }
}

#[test]
fn options_that_restrict_a_key_do() {
    for (lines, why) in [
        ("a@x namespaces=\"git\" KEY", "line 1 accepts the key only for namespaces other"),
        ("a@x namespaces=\"docking-record-bundle,!dock*\" KEY", "line 1 accepts the key only for"),
        ("a@x cert-authority KEY", "line 1 names the key of a certificate authority"),
        ("a@x,!*x KEY", "line 1 refuses everyone"),
        ("a@x zone=\"x\" KEY", "line 1 has an option that is unknown: zone"),
        ("a@x namespaces=docking-record-bundle KEY", "line 1 has namespaces without quotes"),
        ("a@x namespaces=\"docking-record-bundle KEY", "line 1 has a quote that isn't closed"),
        ("a@x namespaces=\"*\", KEY", "line 1 ends its options with a comma"),
        ("a@x namespaces=\"*\",namespaces=\"*\" KEY", "line 1 has namespaces twice"),
        ("a@x valid-after=\"20310230\" KEY", "line 1 has a valid-after that is no date"),
        ("namespaces=\"git\" KEY", "line 1 has options where its principals should be"),
        ("a@x valid-before=\"20300101Z\",valid-after=\"20310101Z\" KEY", "isn't after its valid-a"),
        ("\n# a remark\n\na@x KEYS", "line 4 has a public key that can't be read"),
        ("a@x \u{0} KEY", "line 1 has a NUL"),
        ("a@x", "line 1 has nothing but its first word"),
        ("a@x cert-authority", "line 1 has no public key"),
    ] {
        let (word, reasons) = verdict(lines, None, Some("20320101"));
        assert_eq!(word, "refused", "{lines}: {reasons}");
        assert!(reasons.contains(why), "{lines}: {reasons}");
    }
    for lines in [
        "KEY a comment",
        "a@x KEY",
        "  \"a@x b\"\tKEY\r",
        "a@x Namespaces=\"git, dock,docking-*\" KEY",
        "a@x cert-authority KEY\na@x KEY",
        "a@x bogus KEY\na@x KEY",
        "*,!mallory@x KEY",
    ] {
        assert_eq!(verdict(lines, None, None).0, "accepted", "{lines}");
    }
}

#[test]
fn who_must_have_signed_is_held_against_the_principals() {
    assert_eq!(verdict("*@x,!b@x KEY", Some("a@x"), None).0, "accepted");
    assert_eq!(verdict("*@x,!b@x KEY", Some("b@x"), None).0, "refused");
    assert_eq!(verdict("b@x KEY\na@x KEY", Some("a@x"), None), ("accepted", "a@x".to_string()));
    // The comment of a public key says of nobody that the key is theirs.
    assert_eq!(verdict("KEY a@x", Some("a@x"), None).0, "refused");
}

#[test]
fn dates_are_judged_where_a_time_is_given_and_told_where_none_is() {
    let bounds = "a@x valid-after=\"20300101Z\",valid-before=\"20310101Z\" KEY";
    for (at, word) in [
        (None, "undated"),
        (Some("20291231235959"), "refused"),
        (Some("20300101"), "accepted"),
        (Some("20310101"), "accepted"),
        (Some("20310101000001"), "refused"),
    ] {
        assert_eq!(verdict(bounds, None, at).0, word, "{at:?}");
    }
    let (word, why) = verdict(bounds, None, None);
    assert_eq!(word, "undated");
    assert!(why.contains("from 2030-01-01 00:00:00 UTC, and no --at states the time"), "{why}");
    // Without a zone a day is not the same everywhere.
    let local = "a@x valid-before=\"20310101\" KEY";
    assert_eq!(verdict(local, None, Some("20301231")).0, "accepted");
    assert_eq!(verdict(local, None, Some("202012311000")).0, "accepted");
    assert_eq!(verdict(local, None, Some("203101010000")).0, "undated");
    assert_eq!(verdict(local, None, Some("203101020000")).0, "refused");
    // A line without dates settles it.
    assert_eq!(verdict(&format!("{bounds}\na@x KEY"), None, None).0, "accepted");
}

#[test]
fn a_line_that_is_too_long_is_named() {
    let long = format!("# a list\na@x{},z {KEY}\n", ",z".repeat(500_000));
    let wrong = Signers::parse(long.as_bytes()).expect_err("too long");
    assert!(wrong.contains("bytes in line 2, and a line of signers may have 8192"), "{wrong}");
}
