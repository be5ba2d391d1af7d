//! Words that captions and alternative texts share.

/// Names in a row: "A", "A and B", "A, B and C"; beyond `most`, how many more there are.
pub fn list(names: &[String], most: usize) -> String {
    match names {
        [] => "none".to_string(),
        [one] => one.clone(),
        all if all.len() > most => {
            let shown = all.get(..most).unwrap_or_default().join(", ");
            format!("{shown} and {} more", all.len() - most)
        }
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}

/// A count with its noun: "no block", "1 block", "2 blocks".
pub fn count(number: usize, noun: &str) -> String {
    match number {
        0 => format!("no {noun}"),
        1 => format!("1 {noun}"),
        n => format!("{n} {noun}s"),
    }
}

/// The letter of a never-exposed piece by its number from 0: A to Z, AA, AB, ...
pub fn letter(number: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = number;
    loop {
        letters.push(char::from(b'A' + (rest % 26) as u8));
        match (rest / 26).checked_sub(1) {
            Some(next) => rest = next,
            None => break,
        }
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_counts() {
        let names = ["A", "B", "C"].map(str::to_string);
        assert_eq!(list(&names[..1], 5), "A");
        assert_eq!(list(&names[..2], 5), "A and B");
        assert_eq!(list(&names, 5), "A, B and C");
        assert_eq!(list(&names, 2), "A, B and 1 more");
        assert_eq!([0, 1, 2].map(|n| count(n, "block")), ["no block", "1 block", "2 blocks"]);
    }

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(
            [0, 25, 26, 51, 52, 701, 702].map(letter),
            ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]
        );
    }
}
