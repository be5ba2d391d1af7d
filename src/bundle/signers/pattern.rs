//! Patterns as OpenSSH's PATTERNS has them (ssh_config(5)): `*` is any number of bytes, `?` one, and in a list a
//! pattern behind `!` refuses what it matches, whatever else of the list does.

/// A pattern of this length or longer makes OpenSSH refuse the whole list.
const TOO_LONG: usize = 1023;

/// Whether a list of patterns, separated by commas, accepts `text`.
pub fn list_takes(list: &[u8], text: &[u8]) -> bool {
    let mut takes = false;
    for (refuses, pattern) in patterns(list) {
        if pattern.len() >= TOO_LONG {
            return false;
        }
        if matches(pattern, text) {
            if refuses {
                return false;
            }
            takes = true;
        }
    }
    takes
}

/// Whether a list names anyone whom it accepts. A pattern counts as a name spelled like the pattern.
pub fn takes_somebody(list: &[u8]) -> bool {
    let of = |kind: bool| patterns(list).filter(move |(refuses, _)| *refuses == kind);
    if patterns(list).any(|(_, pattern)| pattern.len() >= TOO_LONG) {
        return false;
    }
    let refusing: Vec<&[u8]> = of(true).map(|(_, pattern)| pattern).collect();
    of(false).any(|(_, named)| {
        !named.is_empty() && !refusing.iter().any(|pattern| matches(pattern, named))
    })
}

/// The patterns of a list, each with whether it stands behind a `!`.
fn patterns(list: &[u8]) -> impl Iterator<Item = (bool, &[u8])> {
    list.split(|byte| *byte == b',').map(|part| match part.strip_prefix(b"!") {
        Some(pattern) => (true, pattern),
        None => (false, part),
    })
}

/// Whether one pattern matches all of `text`. On a mismatch only the last `*` is given one byte more, so that
/// the work is at most the product of both lengths.
fn matches(pattern: &[u8], text: &[u8]) -> bool {
    let (mut in_pattern, mut in_text) = (0, 0);
    let mut last_star: Option<(usize, usize)> = None;
    while in_text < text.len() {
        match pattern.get(in_pattern) {
            Some(b'*') => {
                last_star = Some((in_pattern, in_text));
                in_pattern += 1;
            }
            Some(byte) if *byte == b'?' || *byte == text[in_text] => {
                in_pattern += 1;
                in_text += 1;
            }
            _ => {
                let Some((star, from)) = last_star else { return false };
                last_star = Some((star, from + 1));
                (in_pattern, in_text) = (star + 1, from + 1);
            }
        }
    }
    pattern[in_pattern..].iter().all(|byte| *byte == b'*')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_takes_what_openssh_says_it_does() {
        // Each was tried with ssh-keygen -Y verify of OpenSSH 9.2.
        for (list, text, taken) in [
            ("a@x", "a@x", true),
            ("A@x", "a@x", false),
            ("*@x", "a@x", true),
            ("?@x", "a@x", true),
            ("??@x", "a@x", false),
            (",a@x,,", "a@x", true),
            ("!b,a@x", "a@x", true),
            ("a@x,!*x", "a@x", false),
            ("!!b@x,a@x", "!b@x", false),
            ("", "a@x", false),
        ] {
            assert_eq!(list_takes(list.as_bytes(), text.as_bytes()), taken, "{list} {text}");
        }
        let long = format!("a@x,{}", "z".repeat(TOO_LONG));
        assert!(!list_takes(long.as_bytes(), b"a@x"));
    }

    #[test]
    fn stars_are_tried_at_every_place() {
        for (pattern, text, right) in [
            ("a*b*c", "aXbXbXc", true),
            ("a*b*c", "aXbXbX", false),
            ("*ab", "aab", true),
            ("**", "", true),
            ("", "", true),
            ("?", "", false),
            ("*a?", "baab", true),
        ] {
            assert_eq!(matches(pattern.as_bytes(), text.as_bytes()), right, "{pattern} {text}");
        }
    }

    #[test]
    fn somebody_is_meant_or_nobody() {
        for (list, somebody) in [
            ("a@x", true),
            ("*@x,!b@x", true),
            ("!a@x", false),
            ("a@x,!a@x", false),
            ("a@x,!*", false),
            ("a@x,b@x,!a*", true),
            ("", false),
            (",", false),
        ] {
            assert_eq!(takes_somebody(list.as_bytes()), somebody, "{list}");
        }
    }
}
