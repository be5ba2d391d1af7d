//! `docking.toml`, `products.toml` and `remarks.toml`.

use lastdock::records::KEYED_FILES;

use super::project::{Files, judged};

/// Words of these files.
pub const WORDS: &[&str] = &[
    "[",
    "]",
    "[[",
    "]]",
    "\"\"\"",
    "'''",
    " = ",
    "\n",
    "\r\n",
    "#",
    "{",
    "}",
    "nan",
    "inf",
    "-inf",
    "1e309",
    "1e308",
    "-0.0",
    "0x10",
    "true",
    "none",
    "9223372036854775808",
    "2031-04-07",
    "0000-01-01",
    "9999-12-31",
    "2031-04-09T23:59:60+14:00",
    "\"+24:00\"",
    "\"-23:59\"",
    "\\u0000",
    "\\uD800",
    "\u{feff}",
    "\u{202e}",
    "format",
    "[ship]",
    "[[frames]]",
    "[dock]",
    "[period]",
    "offset",
    "[[people]]",
    "[stability]",
    "[hydrostatics]",
    "[film]",
    "[[film_for_zone]]",
    "[limits.opening_clearance]",
    "[tolerances.",
    "value",
    "unit",
    "source",
    "[closeout]",
    "[[product]]",
    "[[recoat]]",
    "[[batch]]",
    "[[remark]]",
    "finding",
    "answer",
    "_m",
    "_ft",
    "_mm",
    "_lt",
    "_pct",
];

/// Reads one of the files in a project that is otherwise sound: whole, or with one value in the place of
/// another.
pub fn read(bytes: &[u8]) {
    let (which, rest) = super::first(bytes);
    let which = usize::from(which);
    let spec = KEYED_FILES[which % KEYED_FILES.len()];
    let mut files = Files::example_ashore("");
    if (which / KEYED_FILES.len()).is_multiple_of(2) {
        files.put(spec.path, rest);
    } else {
        let (at, value) = super::first(rest);
        files.put(spec.path, with_value(spec.example, usize::from(at), value).as_bytes());
    }
    judged(&files);
}

/// A text with another value behind one of its signs of equality.
fn with_value(text: &str, at: usize, value: &[u8]) -> String {
    let keys = text.lines().filter(|line| line.contains(" = ")).count().max(1);
    let mut key = 0;
    let mut lines = Vec::new();
    for line in text.lines() {
        let split = line.split_once(" = ");
        key += usize::from(split.is_some());
        match split.filter(|_| key == at % keys + 1) {
            Some((name, _)) => lines.push(format!("{name} = {}", String::from_utf8_lossy(value))),
            None => lines.push(line.to_string()),
        }
    }
    lines.join("\n")
}

/// The example's files and those of the sample, whole; then a value for each key.
pub fn seeds() -> Vec<Vec<u8>> {
    const SAMPLE: [&str; 3] = [
        include_str!("../../../sample-project/docking.toml"),
        include_str!("../../../sample-project/coating/products.toml"),
        include_str!("../../../sample-project/remarks.toml"),
    ];
    let whole = |(which, text): (usize, &str)| [&[b'0' + which as u8], text.as_bytes()].concat();
    let examples = KEYED_FILES.iter().map(|spec| spec.example).enumerate().map(whole);
    let values = ["\"x\"", "1.5", "[\"a\", 2]", "2031-04-07T06:00:00Z", "{ a = 1 }", "\"none\""];
    let values = (0..48_u8).map(|n| {
        let value = values[usize::from(n) % values.len()];
        [&[b'3' + n % 3, n], value.as_bytes()].concat()
    });
    examples.chain(SAMPLE.into_iter().enumerate().map(whole)).chain(values).collect()
}
