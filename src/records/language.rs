//! The language in which a person wrote, stated as a tag of BCP 47 (RFC 5646).

use super::place::Place;
use super::problem::{Problem, Problems};

/// Says of a tag that is not well-formed what is wrong with it.
pub(super) fn check(tag: Option<&str>, place: Place, problems: &mut Problems) {
    let Some(tag) = tag.filter(|tag| !is_well_formed(tag)) else { return };
    problems.add(
        Problem::new(place, "is not a language tag")
            .value(tag)
            .expected("a language by BCP 47, as de, pt-BR or zh-Hant")
            .advice("write the language's code of two or three letters, with its region if that matters"),
    );
}

/// Whether a tag is built as RFC 5646, section 2.1, has it: a language, then perhaps extended languages, a script, a
/// region, variants, extensions, and what is of private use. Grandfathered tags are left out.
fn is_well_formed(tag: &str) -> bool {
    let letters = |part: &str| part.bytes().all(|byte| byte.is_ascii_alphabetic());
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let any = |part: &str| part.bytes().all(|byte| byte.is_ascii_alphanumeric());
    let is_variant = |part: &str| {
        (5..=8).contains(&part.len()) || part.len() == 4 && part.as_bytes()[0].is_ascii_digit()
    };
    let parts: Vec<&str> = tag.split('-').collect();
    if !parts.iter().all(|part| (1..=8).contains(&part.len()) && any(part)) {
        return false;
    }
    let mut rest = parts.iter().copied().peekable();
    if !rest.next().is_some_and(|part| (2..=8).contains(&part.len()) && letters(part)) {
        return false;
    }
    if parts[0].len() <= 3 {
        for _ in 0..3 {
            rest.next_if(|part| part.len() == 3 && letters(part));
        }
    }
    rest.next_if(|part| part.len() == 4 && letters(part));
    rest.next_if(|part| part.len() == 2 && letters(part) || part.len() == 3 && digits(part));
    while rest.next_if(|part| is_variant(part)).is_some() {}
    while let Some(singleton) = rest.next_if(|part| part.len() == 1) {
        let least = if singleton.eq_ignore_ascii_case("x") { 1 } else { 2 };
        let mut count = 0;
        while rest.next_if(|part| part.len() >= least).is_some() {
            count += 1;
        }
        if count == 0 {
            return false;
        }
    }
    rest.next().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 5646, appendix A, examples of language tags, and the two that it calls invalid there; a variant may not
    // stand twice nor a singleton, which is not looked at.
    #[test]
    fn examples_of_the_standard() {
        let valid = [
            "de",
            "fr",
            "ja",
            "zh-Hant",
            "zh-cmn-Hans-CN",
            "sr-Latn-RS",
            "sl-rozaj-biske",
            "de-CH-1901",
            "hy-Latn-IT-arevela",
            "es-419",
            "de-CH-x-phonebk",
            "az-Arab-x-AZE-derbend",
            "en-US-u-islamcal",
            "zh-CN-a-myext-x-private",
            "en-a-myext-b-another",
        ];
        for tag in valid {
            assert!(is_well_formed(tag), "{tag}");
        }
        for tag in
            ["", "d", "de_CH", "de-", "german language", "de-419-DE", "de-x", "-de", "\u{e9}n"]
        {
            assert!(!is_well_formed(tag), "{tag}");
        }
    }
}
