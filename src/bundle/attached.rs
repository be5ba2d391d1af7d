//! Names under which records are attached to the report: with no folders, which common extractors refuse or make, in plain
//! ASCII, no two alike for any system, and none that could be taken for the bundle's own `README.txt`.

use std::collections::BTreeSet;

/// Stands where a path has `/`.
const FOLDER: &str = "--";

/// The longest name, characters; the longest allowed by common systems is more than twice that.
const LONGEST: usize = 100;

/// The name for a path in the project, which no name among `taken` is; it is put among them.
pub fn name(path: &str, taken: &mut BTreeSet<String>) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || " ._-".contains(c) { c } else { '_' };
    let whole: String = format!("records/{path}").replace('/', FOLDER).chars().map(plain).collect();
    let (stem, end) = match whole.rsplit_once('.') {
        Some((stem, end)) if end.len() <= 8 => (stem, format!(".{end}")),
        _ => (whole.as_str(), String::new()),
    };
    let stem = &stem[..stem.len().min(LONGEST - end.len())];
    let names = std::iter::once(format!("{stem}{end}"))
        .chain((2u64..).map(|number| format!("{stem}-{number}{end}")));
    let mut free = names.skip_while(|name| taken.contains(&name.to_ascii_lowercase()));
    let name = free.next().unwrap_or_default();
    taken.insert(name.to_ascii_lowercase());
    name
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_have_no_folders_and_are_apart() {
        let long = format!("{}/{}.csv", "a".repeat(90), "b".repeat(90));
        let paths = [
            "plan/blocks.csv",
            "README.txt",
            "Readme.TXT",
            "plan--blocks.csv",
            "m\u{e9}mo.txt",
            "m\u{e8}mo.txt",
            &long,
        ];
        let mut taken = BTreeSet::new();
        let names: Vec<String> = paths.iter().map(|path| name(path, &mut taken)).collect();
        let wanted = [
            "records--plan--blocks.csv",
            "records--README.txt",
            "records--Readme-2.TXT",
            "records--plan--blocks-2.csv",
            "records--m_mo.txt",
            "records--m_mo-2.txt",
        ];
        assert_eq!(names[..6], wanted);
        assert!(names[6].len() == LONGEST && names[6].ends_with(".csv"));
    }
}
