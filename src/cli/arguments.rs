//! Arguments that a shell split at spaces, put together again: the groups of a seal as printed on paper,
//! and a list with spaces after its commas.

use std::ffi::OsString;

/// Hexadecimal digits of a seal.
const SEAL: usize = 64;

/// The arguments of the command line, each whole.
pub fn rejoin(given: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let mut given = given.into_iter().peekable();
    let mut whole: Vec<OsString> = Vec::new();
    while let Some(argument) = given.next() {
        let goes_on: fn(&str, &str) -> bool = match argument.to_str() {
            Some("--seal") => is_group,
            Some("--leave-out") => is_listed,
            _ => |_, _| false,
        };
        whole.push(argument);
        let mut value = String::new();
        let follows =
            |value: &str, next: &OsString| next.to_str().is_some_and(|next| goes_on(value, next));
        while let Some(next) = given.next_if(|next| follows(&value, next)) {
            let space = if value.is_empty() { "" } else { " " };
            value = format!("{value}{space}{}", next.to_string_lossy());
        }
        if !value.is_empty() {
            whole.push(value.into());
        }
    }
    whole
}

/// Whether a word is a group of a seal's digits, and those before it leave room for it.
fn is_group(before: &str, word: &str) -> bool {
    let digits = |text: &str| text.chars().filter(char::is_ascii_hexdigit).count();
    let plain = |c: char| c.is_ascii_hexdigit() || c.is_whitespace() || c == '-';
    !word.starts_with('-')
        && word.chars().all(plain)
        && digits(before) + digits(word) <= SEAL
        && digits(before) < SEAL
}

/// Whether a list goes on with a word: after a comma, or with one.
fn is_listed(before: &str, word: &str) -> bool {
    before.is_empty() || before.trim_end().ends_with(',') || word.starts_with(',')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rejoined(given: &str) -> Vec<String> {
        let given = given.split('|').map(OsString::from);
        rejoin(given).into_iter().map(|one| one.into_string().expect("UTF-8")).collect()
    }

    #[test]
    fn a_seal_is_one_value_however_it_was_typed() {
        let groups = ["0123"; 16].join("|");
        let one = ["0123"; 16].join(" ");
        for (given, rest) in [
            (format!("verify|--seal|{groups}|beef.zip"), "beef.zip"),
            (format!("verify|--seal|{groups}|beef"), "beef"),
            (format!("verify|--seal|{groups}|--json"), "--json"),
        ] {
            assert_eq!(rejoined(&given), ["verify", "--seal", &one, rest], "{given}");
        }
        assert_eq!(rejoined(&format!("--seal|{one}|abc")), ["--seal", &one, "abc"]);
        assert_eq!(rejoined("--seal|x.zip|0123"), ["--seal", "x.zip", "0123"]);
        assert_eq!(rejoined("--seal"), ["--seal"]);
        assert_eq!(rejoined("--seal|--json"), ["--seal", "--json"]);
    }

    #[test]
    fn a_list_goes_on_after_its_commas() {
        assert_eq!(
            rejoined("shifts|--leave-out|K3,|K31|here"),
            ["shifts", "--leave-out", "K3, K31", "here"]
        );
        assert_eq!(rejoined("--leave-out|K3|,K31|here"), ["--leave-out", "K3 ,K31", "here"]);
        assert_eq!(rejoined("--leave-out|K3|here"), ["--leave-out", "K3", "here"]);
    }
}
