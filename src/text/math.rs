//! Formulas, written as one would type them in a plain text and set as formulas on paper.
//!
//! Words of two letters or more are names (`draft at AP`), single letters are symbols, ` x ` between two operands is
//! the multiplication sign, `_` begins a subscript and `^` a superscript.

/// What stays as it is: functions where a parenthesis follows, and symbols with a name.
const FUNCTIONS: [&str; 7] = ["cos", "ln", "max", "sin", "sqrt", "sum", "tan"];
const SYMBOLS: [&str; 1] = ["phi"];

/// A formula as the typesetter's language for formulas has it.
pub fn typeset(plain: &str) -> String {
    let tokens = tokens(plain);
    let mut out = String::new();
    let mut n = 0;
    while n < tokens.len() {
        let before = n.checked_sub(1).map(|before| tokens[before]);
        let after = tokens.get(n + 1).copied();
        let token = tokens[n];
        let is_operand = |token: &str| token.ends_with(|c: char| c.is_alphanumeric() || c == ')');
        let begins_operand =
            |token: &str| token.starts_with(|c: char| c.is_alphanumeric() || c == '(');
        if token == "x" && before.is_some_and(is_operand) && after.is_some_and(begins_operand) {
            out.push_str("times");
        } else if before == Some("_") && is_word(token) {
            out.push_str(&format!("\"{token}\""));
        } else if is_name(token, after) {
            let mut last = n;
            while tokens
                .get(last + 1)
                .is_some_and(|next| is_name(next, tokens.get(last + 2).copied()))
            {
                last += 1;
            }
            out.push_str(&format!("\"{}\"", tokens[n..=last].join(" ")));
            n = last;
        } else {
            out.push_str(token);
        }
        n += 1;
        let next = tokens.get(n).copied();
        let joins = |token: Option<&str>| token.is_some_and(|one| ["_", "^", ")"].contains(&one));
        let calls = next == Some("(") && FUNCTIONS.contains(&token);
        if !joins(next) && !["_", "^", "("].contains(&token) && !calls {
            out.push(' ');
        }
    }
    out.trim_end().to_string()
}

/// Words, numbers and signs.
fn tokens(plain: &str) -> Vec<&str> {
    let mut tokens = Vec::new();
    let mut rest = plain.trim_start();
    while let Some(first) = rest.chars().next() {
        let end = if first.is_alphabetic() {
            rest.find(|c: char| !c.is_alphabetic())
        } else if first.is_ascii_digit() {
            rest.find(|c: char| !c.is_ascii_digit() && c != '.')
        } else if rest.starts_with(">=") || rest.starts_with("<=") {
            Some(2)
        } else {
            Some(first.len_utf8())
        };
        let (token, after) = rest.split_at(end.unwrap_or(rest.len()));
        tokens.push(token);
        rest = after.trim_start();
    }
    tokens
}

fn is_word(token: &str) -> bool {
    token.starts_with(char::is_alphabetic)
}

/// Whether a word is a name or a part of one, by itself and what follows.
fn is_name(token: &str, after: Option<&str>) -> bool {
    let is_function = FUNCTIONS.contains(&token) && after == Some("(");
    is_word(token) && token.chars().count() > 1 && !is_function && !SYMBOLS.contains(&token)
}

#[cfg(test)]
mod tests {
    use super::typeset;

    #[test]
    fn a_plain_formula_becomes_one_of_the_typesetters() {
        for (plain, set) in [
            ("P = (MCT x trim) / l", "P = (\"MCT\" times \"trim\") / l"),
            (
                "x_G = x_LCB - (100 t MCT) / displacement",
                "x_\"G\" = x_\"LCB\" - (100 t \"MCT\") / \"displacement\"",
            ),
            ("draft at AP = draft at LCF", "\"draft at AP\" = \"draft at LCF\""),
            ("station = s + x cos(yaw)", "\"station\" = s + x cos(\"yaw\")"),
            ("hog x (1 - (2 (x - m) / L)^2)", "\"hog\" times (1 - (2 (x - m) / L)^2)"),
            ("load >= 0", "\"load\" >= 0"),
            ("phi = (12 E I) / (G A_s L^2)", "phi = (12 E I) / (G A_\"s\" L^2)"),
            ("k = 1 / sum(h / (E A))", "k = 1 / sum(h / (E A))"),
        ] {
            assert_eq!(typeset(plain), set);
        }
    }
}
