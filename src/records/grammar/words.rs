//! Words of a fixed list, and names that differ from a known one in nothing but how they are written.

/// The word of a list that a text is: capitals don't count, a space or `_` may stand for `-`, and of sides the
/// abbreviations that ships use are known.
pub fn read(text: &str, words: &[&'static str]) -> Option<&'static str> {
    let plain = text.trim().to_lowercase().replace([' ', '_'], "-");
    let known = |text: &str| words.iter().copied().find(|word| *word == text);
    known(&plain).or_else(|| known(&with_sides_in_full(&plain)))
}

fn with_sides_in_full(text: &str) -> String {
    let in_full = |part: &str| match part {
        "p" | "p." => "port".to_string(),
        "s" | "s." | "stbd" | "stbd." | "stb" | "sb" => "starboard".to_string(),
        part => part.to_string(),
    };
    text.split('-').map(in_full).collect::<Vec<_>>().join("-")
}

/// Yes or no.
pub fn read_flag(text: &str) -> Option<bool> {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" => Some(true),
        "no" | "n" | "false" | "0" => Some(false),
        _ => None,
    }
}

/// A name without what people write in different ways though they mean the same: capital letters, and zeros before a
/// number. `K1`, `k1` and `K001` are one name so; `K10` is another.
pub fn folded(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    let mut chars = name.chars().peekable();
    let mut in_number = false;
    while let Some(c) = chars.next() {
        let leads = c == '0' && !in_number && chars.peek().is_some_and(char::is_ascii_digit);
        if leads {
            continue;
        }
        in_number = c.is_ascii_digit();
        folded.extend(c.to_lowercase());
    }
    folded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_as_people_write_them() {
        const SIDES: &[&str] = &["port", "starboard"];
        for text in ["starboard", "Starboard", "STBD", "Stbd.", "S", "stb"] {
            assert_eq!(read(text, SIDES), Some("starboard"), "{text}");
        }
        assert_eq!(read("P", SIDES), Some("port"));
        const ROWS: &[&str] = &["keel", "bilge-port", "bilge-starboard", "side"];
        assert_eq!(read("Bilge Stbd", ROWS), Some("bilge-starboard"));
        assert_eq!(read("bilge_p", ROWS), Some("bilge-port"));
        for text in ["s", "p", "bilge", "bilge-x", "kee1", ""] {
            assert_eq!(read(text, ROWS), None, "{text}");
        }
        assert_eq!(["Y", "n", "YES", "No"].map(read_flag), [true, false, true, false].map(Some));
        assert_eq!(read_flag("maybe"), None);
    }

    #[test]
    fn names_are_one_but_for_capitals_and_leading_zeros() {
        for name in ["K1", "k1", "K01", "k001"] {
            assert_eq!(folded(name), "k1", "{name}");
        }
        for (name, other) in
            [("K10", "K1"), ("K100", "K10"), ("K1-2", "K12"), ("KO1", "K01"), ("Kl", "K1")]
        {
            assert_ne!(folded(name), folded(other), "{name}");
        }
        assert_eq!(folded("0"), "0");
        assert_eq!(folded("A00"), "a0");
        assert_eq!(folded("EP1-0332"), "ep1-332");
    }
}
