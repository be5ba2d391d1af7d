//! Names that nearly match a known one: what stands on a pail or a gauge, copied by hand.

/// How a name that is not known lies to one that is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Near<'a> {
    /// The same but for capital letters, signs between, and letters that look like digits.
    Alike(&'a str),
    /// One letter or digit is another, is missing or is too many, or two have changed places; several
    /// known names may lie so.
    Close(Vec<&'a str>),
}

/// Shorter names differ by one letter as a rule.
const LEAST_LETTERS: usize = 4;

/// As many close names at the most are of use to anybody.
const MOST_CLOSE: usize = 3;

/// The known names that a name nearly matches; `None` where it is known itself, and where none is near.
pub fn near<'a>(written: &str, known: impl Iterator<Item = &'a str> + Clone) -> Option<Near<'a>> {
    if known.clone().any(|name| name == written) {
        return None;
    }
    let plain = plainly(written);
    if let Some(name) = known.clone().find(|name| plainly(name) == plain) {
        return Some(Near::Alike(name));
    }
    let upper = written.to_uppercase();
    let is_close = |name: &&str| strsim::damerau_levenshtein(&upper, &name.to_uppercase()) == 1;
    let mut close: Vec<&str> = known.filter(is_close).collect();
    close.sort_unstable();
    close.dedup();
    let some = written.chars().count() >= LEAST_LETTERS && (1..=MOST_CLOSE).contains(&close.len());
    some.then_some(Near::Close(close))
}

/// A name without signs, in capitals, with the digits that its letters look like.
fn plainly(name: &str) -> String {
    let letters = name.chars().filter(|letter| letter.is_alphanumeric());
    letters
        .flat_map(char::to_uppercase)
        .map(|letter| match letter {
            'O' => '0',
            'I' | 'L' => '1',
            'Z' => '2',
            'S' => '5',
            'B' => '8',
            letter => letter,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
