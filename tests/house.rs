//! The house keeps its order: rooms know only those before them, and nothing in them depends on the
//! clock, on the order of a hash table, or on a platform's own mathematics.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use walkdir::WalkDir;

/// Each room and the rooms that it may know beside itself.
const ROOMS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("words", &[]),
    ("hull", &["units"]),
    ("records", &["units", "words", "hull"]),
    ("calc", &["units", "hull"]),
    ("text", &["units", "words", "hull", "records"]),
    ("findings", &["units", "words", "hull", "records", "calc", "text"]),
    ("pages", &["units", "words", "hull", "records", "calc", "text", "findings"]),
    ("tables", &["units", "hull", "records", "calc", "text", "findings"]),
    (
        "report",
        &["units", "words", "hull", "records", "calc", "text", "findings", "pages", "tables"],
    ),
    (
        "web",
        &[
            "units", "words", "hull", "records", "calc", "text", "findings", "pages", "tables",
            "report",
        ],
    ),
    (
        "bundle",
        &[
            "units", "words", "hull", "records", "calc", "text", "findings", "pages", "tables",
            "report", "web",
        ],
    ),
    (
        "handover",
        &[
            "units", "words", "hull", "records", "calc", "text", "findings", "pages", "tables",
            "report", "web", "bundle",
        ],
    ),
];

/// Rooms that may know every other: the command line, and the two roots of the crate.
const ABOVE_ALL: &[&str] = &["cli", "main", "lib"];

/// Words that bring in the clock or an order that changes from run to run.
const UNSTEADY: &[&str] =
    &["HashMap", "HashSet", "SystemTime", "Instant", "Local::now", "Utc::now"];

/// The files that may look at the clock: a progress bar leaves nothing behind, and a log of proof says when.
const MAY_SEE_THE_CLOCK: [&str; 2] = ["cli/progress.rs", "cli/log.rs"];

/// Methods of `f64` whose last bits differ between platforms; `libm` has them all.
const PLATFORM_MATHEMATICS: &[&str] = &[
    "sin", "cos", "tan", "sin_cos", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh",
    "hypot", "powf", "exp", "exp2", "ln", "log", "log2", "log10", "cbrt",
];

/// What starts threads beside those of the one pool that `--jobs` sets.
const OWN_THREADS: &[&str] = &["thread::spawn", "thread::scope", "thread::Builder"];

/// What writes to a terminal, and what ends the program with words of its own.
const PRINTING: &[&str] = &[
    "println!",
    "print!",
    "eprintln!",
    "eprint!",
    "dbg!",
    "stdout",
    "stderr",
    "Stdout",
    "Stderr",
    "set_hook",
    "get_matches",
    "Line::parse_from",
    "Line::parse",
    "update_from",
    "error.exit",
    "error.print",
    "/dev/tty",
];

/// The one file that may print; all texts for a person come to it on a `Page`, which escapes them.
const DOOR: &str = "cli/say.rs";

/// Keeps the panics of libraries from being printed, and leaves others to the hook of the door.
const HUSHES: (&str, &[&str]) = ("records/contained.rs", &["set_hook"]);

/// The file that draws progress on the error stream, of words of its own, and what it says in doing so.
const DRAWS: (&str, &[&str]) = ("cli/progress.rs", &["stderr"]);

/// The source files by path inside `src`, with their texts.
fn sources() -> Vec<(String, String)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let found: Vec<(String, String)> = WalkDir::new(&src)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.expect("a readable source folder"))
        .filter(|entry| entry.path().extension().is_some_and(|end| end == "rs"))
        .map(|entry| {
            let path = entry.path().strip_prefix(&src).expect("a path inside src");
            let text = fs::read_to_string(entry.path()).expect("a source in UTF-8");
            (path.to_str().expect("a name in UTF-8").replace('\\', "/"), text)
        })
        .collect();
    assert!(found.len() > 20, "only {} sources were found", found.len());
    found
}

/// Source text with comments and the insides of strings blanked out; lines stay where they are.
fn code(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    let starts = |at: usize, what: &str| {
        what.chars().enumerate().all(|(n, c)| chars.get(at + n) == Some(&c))
    };
    while at < chars.len() {
        let end = if starts(at, "//") {
            (at..chars.len()).find(|n| chars[*n] == '\n').unwrap_or(chars.len())
        } else if starts(at, "/*") {
            (at + 2..chars.len()).find(|n| starts(*n, "*/")).map_or(chars.len(), |n| n + 2)
        } else if let Some(hashes) = raw_string(&chars, at) {
            let close = format!("\"{}", "#".repeat(hashes));
            let inside = at + hashes + 2;
            (inside..chars.len())
                .find(|n| starts(*n, &close))
                .map_or(chars.len(), |n| n + hashes + 1)
        } else if chars[at] == '"' {
            let mut n = at + 1;
            while n < chars.len() && chars[n] != '"' {
                n += if chars[n] == '\\' { 2 } else { 1 };
            }
            n + 1
        } else if starts(at, "'\"'") || starts(at, "'\\") {
            // A quotation mark as a character, or any escaped character; a lifetime has no such start.
            (at + 2..chars.len()).find(|n| chars[*n] == '\'').map_or(chars.len(), |n| n + 1)
        } else {
            out.push(chars[at]);
            at += 1;
            continue;
        };
        let skipped = &chars[at..end.min(chars.len())];
        out.extend(skipped.iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    out
}

/// Whether a raw string begins here (`r"`, `r#"`), and with how many hashes.
fn raw_string(chars: &[char], at: usize) -> Option<usize> {
    let alone = at == 0 || !(chars[at - 1].is_alphanumeric() || chars[at - 1] == '_');
    let byte_string = at > 0 && chars[at - 1] == 'b';
    if chars[at] != 'r' || !(alone || byte_string) {
        return None;
    }
    let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
    (chars.get(at + 1 + hashes) == Some(&'"')).then_some(hashes)
}

/// The room of a source file.
fn room(path: &str) -> &str {
    path.split('/').next().unwrap_or(path).trim_end_matches(".rs")
}

/// The module of a source file, from the root of the crate: `calc/mod.rs` is `calc`, `calc/a.rs` is `calc::a`.
fn module(path: &str) -> Vec<String> {
    let path = path.trim_end_matches(".rs").trim_end_matches("/mod");
    path.split('/').map(str::to_string).collect()
}

/// Every path that a file's code names beginning with `crate`, `super`, `self` or a module declared in it, from the
/// root of the crate; each member of a group of imports is a path of its own.
fn paths_named(path: &str, code: &str) -> Vec<Vec<String>> {
    let is_part = |c: char| c.is_alphanumeric() || c == '_';
    let first_word =
        |text: &str| -> String { text.trim_start().chars().take_while(|c| is_part(*c)).collect() };
    let children: Vec<String> = code
        .match_indices("mod ")
        .map(|(at, keyword)| &code[at + keyword.len()..])
        .filter(|rest| rest.trim_start_matches(is_part).starts_with(';'))
        .map(first_word)
        .collect();
    let tests_from = code.find("mod tests {").unwrap_or(code.len());
    let mut named = Vec::new();
    for (at, _) in code.match_indices("::") {
        let before = code[..at].trim_end_matches(is_part);
        let head = &code[before.len()..at];
        // The head of a path, and not of one that says to whom something is visible.
        if before.ends_with("::") || before.trim_end().ends_with("(in") {
            continue;
        }
        let mut here = module(path);
        if at > tests_from {
            here.push("tests".to_string());
        }
        match head {
            "crate" => here.clear(),
            "super" => _ = here.pop(),
            "self" => {}
            child if children.iter().any(|known| known == child) => here.push(child.to_string()),
            _ => continue,
        }
        let statement = code[at + "::".len()..].split(';').next().unwrap_or_default();
        let mut left = vec![(here, statement.to_string())];
        while let Some((mut so_far, rest)) = left.pop() {
            let rest = rest.trim_start();
            if let Some(group) = rest.strip_prefix('{') {
                left.extend(members(group).into_iter().map(|member| (so_far.clone(), member)));
                continue;
            }
            match first_word(rest).as_str() {
                "super" => _ = so_far.pop(),
                "self" | "" => {}
                word => so_far.push(word.to_string()),
            }
            match rest.trim_start_matches(is_part).strip_prefix("::") {
                Some(deeper) => left.push((so_far, deeper.to_string())),
                None => named.push(so_far),
            }
        }
    }
    named
}

/// The rooms that a file's code names.
fn rooms_named(path: &str, code: &str) -> BTreeSet<String> {
    paths_named(path, code).into_iter().filter_map(|path| path.into_iter().next()).collect()
}

/// The members of a group of imports, of which `group` is what follows the opening brace.
fn members(group: &str) -> Vec<String> {
    let mut members = vec![String::new()];
    let mut depth = 0;
    for c in group.chars() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => members.push(String::new()),
            c => members.last_mut().expect("at least one member").push(c),
        }
    }
    members.retain(|member| !member.trim().is_empty());
    members
}

/// What a file may not know and names all the same, a sentence each.
fn trespasses(path: &str, text: &str) -> Vec<String> {
    let room = room(path);
    if ABOVE_ALL.contains(&room) {
        return Vec::new();
    }
    let Some((_, known)) = ROOMS.iter().find(|(name, _)| *name == room) else {
        return vec![format!("src/{path} is in no room that this test knows")];
    };
    rooms_named(path, &code(text))
        .iter()
        .filter(|named| *named != room && !known.contains(&named.as_str()))
        .map(|named| format!("src/{path} knows {named}"))
        .collect()
}

/// Places where one of `words` stands as a word of its own in a file's code.
fn standing(path: &str, text: &str, words: &[String]) -> Vec<String> {
    let code = code(text);
    let mut found = Vec::new();
    for (number, line) in code.lines().enumerate() {
        for word in words {
            let part = |c: char| c.is_alphanumeric() || c == '_';
            let alone = |at: usize| {
                let (before, after) = (&line[..at], &line[at + word.len()..]);
                let goes_on = (before.ends_with(part) && word.starts_with(part))
                    || (word.ends_with(part) && after.starts_with(part));
                !goes_on
            };
            if line.match_indices(word.as_str()).any(|(at, _)| alone(at)) {
                found.push(format!("src/{path}:{}: {word}", number + 1));
            }
        }
    }
    found
}

fn unsteady(path: &str, text: &str) -> Vec<String> {
    let words: Vec<String> = UNSTEADY.iter().map(ToString::to_string).collect();
    if MAY_SEE_THE_CLOCK.contains(&path) { Vec::new() } else { standing(path, text, &words) }
}

fn platform_mathematics(path: &str, text: &str) -> Vec<String> {
    let called =
        PLATFORM_MATHEMATICS.iter().flat_map(|name| [format!(".{name}("), format!("f64::{name}")]);
    standing(path, text, &called.collect::<Vec<_>>())
}

/// Where a file prints past the door.
fn printing(path: &str, text: &str) -> Vec<String> {
    let may =
        |word: &&&str| [DRAWS, HUSHES].iter().any(|(at, may)| path == *at && may.contains(*word));
    let words: Vec<String> =
        PRINTING.iter().filter(|word| !may(word)).map(ToString::to_string).collect();
    // What tests hold of a child's output is printed by nobody.
    let is_tests = path.ends_with("/tests.rs");
    if path == DOOR || is_tests {
        return Vec::new();
    }
    standing(path, before_tests(text), &words)
}

#[test]
fn every_room_knows_only_those_before_it() {
    let found: Vec<String> =
        sources().iter().flat_map(|(path, text)| trespasses(path, text)).collect();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn a_planted_trespass_is_noticed() {
    let seen = |path: &str, text: &str| trespasses(path, text);
    assert_eq!(seen("calc/a.rs", "use crate::report::x;"), ["src/calc/a.rs knows report"]);
    assert_eq!(seen("records/a.rs", "let x = crate::calc::f();"), ["src/records/a.rs knows calc"]);
    assert_eq!(
        seen(
            "findings/mod.rs",
            "use crate::{\n    calc::{a, b},\n    bundle,\n    cli::print,\n};"
        ),
        ["src/findings/mod.rs knows bundle", "src/findings/mod.rs knows cli"]
    );
    assert_eq!(seen("calc/a.rs", "use super::super::cli::x;"), ["src/calc/a.rs knows cli"]);
    assert_eq!(seen("calc/mod.rs", "use super::bundle;"), ["src/calc/mod.rs knows bundle"]);
    assert_eq!(seen("units.rs", "use crate::hull;"), ["src/units.rs knows hull"]);
    assert_eq!(seen("attic/a.rs", ""), ["src/attic/a.rs is in no room that this test knows"]);
    let harmless = r##"
        //! See [`crate::report`]. /* crate::cli */
        use super::plane; /* crate::bundle */
        const A: &str = "crate::report \" crate::cli"; const B: char = '"'; const C: &str = r#"crate::"cli"#;
        fn f<'a>(_: &'a str) -> char { '\'' }
        use crate::hull::Lie; use crate::units::{fixed, one_of};
        #[cfg(test)] mod tests { use super::*; use super::super::calc; }
    "##;
    assert_eq!(seen("calc/a.rs", harmless), Vec::<String>::new());
    let after = format!("{harmless}\nuse crate::cli;");
    assert_eq!(seen("calc/a.rs", &after), ["src/calc/a.rs knows cli"]);
}

/// Which modules each module uses, tests left out; of a path the longest part that is a module counts.
fn modules_used(sources: &[(String, String)]) -> BTreeMap<String, BTreeSet<String>> {
    let is_module = |path: &str| !["lib.rs", "main.rs"].contains(&path) && room(path) != "tests";
    let sources: Vec<_> = sources.iter().filter(|(path, _)| is_module(path)).collect();
    let modules: BTreeSet<Vec<String>> = sources.iter().map(|(path, _)| module(path)).collect();
    let used = |path: &str, text: &str| -> BTreeSet<String> {
        let named = paths_named(path, &code(before_tests(text))).into_iter();
        let found = named.filter_map(|path| {
            (1..=path.len())
                .rev()
                .map(|parts| &path[..parts])
                .find(|part| modules.contains(*part))
                .map(|part| part.join("::"))
        });
        found.filter(|used| *used != module(path).join("::")).collect()
    };
    sources.iter().map(|(path, text)| (module(path).join("::"), used(path, text))).collect()
}

/// All that a module leads to, itself among it.
fn reached<'a>(
    used: &'a BTreeMap<String, BTreeSet<String>>,
    from: &'a String,
) -> BTreeSet<&'a String> {
    let mut reached = BTreeSet::from([from]);
    let mut left = vec![from];
    while let Some(module) = left.pop() {
        left.extend(used.get(module).into_iter().flatten().filter(|next| reached.insert(next)));
    }
    reached
}

/// Every use that leads back to the module which uses, a sentence each.
fn circles(used: &BTreeMap<String, BTreeSet<String>>) -> Vec<String> {
    let mut found = Vec::new();
    for target in used.keys() {
        let reached = reached(used, target);
        let back =
            used.iter().filter(|(user, uses)| uses.contains(target) && reached.contains(user));
        found.extend(back.map(|(user, _)| format!("{user} uses {target}, which leads back to it")));
    }
    found
}

#[test]
fn no_modules_use_each_other_in_a_circle() {
    let found = circles(&modules_used(&sources()));
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn a_planted_circle_is_seen() {
    let seen = |planted: &[(&str, &str)]| {
        let own = |(path, text): &(&str, &str)| (path.to_string(), text.to_string());
        circles(&modules_used(&planted.iter().map(own).collect::<Vec<_>>()))
    };
    // A parent and its child, by way of a third module, through a group, an alias and an item.
    let parent = ("a/mod.rs", "pub mod b;\nuse crate::{units, c::{self, Thing as Other}};");
    let child = ("a/b.rs", "use super::{Item, other};");
    let third = ("c.rs", "fn f() -> crate::a::b::Item { todo!() }");
    assert_eq!(
        seen(&[parent, child, third]),
        [
            "a::b uses a, which leads back to it",
            "c uses a::b, which leads back to it",
            "a uses c, which leads back to it"
        ]
    );
    assert_eq!(seen(&[parent, child]), Vec::<String>::new());
    assert_eq!(
        seen(&[("a/mod.rs", "mod b;\npub use b::Item;"), ("a/b.rs", "use super::Kind;")]),
        ["a::b uses a, which leads back to it", "a uses a::b, which leads back to it"]
    );
    // What only looks like one: tests, comments, who may see an item, a child's name in another path.
    let harmless = [
        ("a/mod.rs", "mod b;\nuse crate::{c, c::b::X};\nfn f() { c::b::g() }"),
        ("a/b.rs", "//! See super::f.\nuse super::f;\npub(in crate::a) fn g() {}"),
        ("c/mod.rs", "pub mod b;\n#[cfg(test)]\nmod tests { use crate::a::f; }"),
        ("c/b.rs", "const A: &str = \"crate::a\";"),
    ];
    assert_eq!(seen(&harmless), Vec::<String>::new());
}

#[test]
fn every_file_says_what_it_is() {
    let wrong: Vec<String> = sources()
        .into_iter()
        .filter(|(_, text)| !text.starts_with("//! "))
        .map(|(path, _)| format!("src/{path} does not begin with a //! line"))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn nothing_looks_at_the_clock_or_at_the_order_of_a_hash_table() {
    let found: Vec<String> =
        sources().iter().flat_map(|(path, text)| unsteady(path, text)).collect();
    assert!(found.is_empty(), "{found:#?}");
    assert_eq!(
        unsteady(
            "calc/a.rs",
            "//! HashMap\nuse std::collections::HashMap;\nlet t = Instant::now();"
        ),
        ["src/calc/a.rs:2: HashMap", "src/calc/a.rs:3: Instant"]
    );
    assert_eq!(
        unsteady("calc/a.rs", "let x = Instantly; let s = \"SystemTime\";"),
        Vec::<String>::new()
    );
}

/// A file up to its tests, which may start threads to see what happens then.
fn before_tests(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default()
}

#[test]
fn no_room_starts_threads_of_its_own() {
    let words: Vec<String> = OWN_THREADS.iter().map(ToString::to_string).collect();
    let found: Vec<String> = sources()
        .iter()
        .flat_map(|(path, text)| standing(path, before_tests(text), &words))
        .collect();
    assert!(found.is_empty(), "use rayon, which asks the pool that --jobs sets: {found:#?}");
    assert_eq!(
        standing("calc/a.rs", "std::thread::scope(|s| s.spawn(f));", &words),
        ["src/calc/a.rs:1: thread::scope"]
    );
}

#[test]
fn nothing_prints_past_the_door() {
    let found: Vec<String> =
        sources().iter().flat_map(|(path, text)| printing(path, text)).collect();
    assert!(found.is_empty(), "let it go through cli/say.rs: {found:#?}");
    assert_eq!(
        printing(
            "cli/a.rs",
            "//! println!\nprintln!(\"a\");\nlet s = io::stdout();\nanstream::eprint!(\"b\");\n\
             Line::parse_from(x);\nerror.exit();\nlet t = Stage::parse(x); let n = \"stderr\";"
        ),
        [
            "src/cli/a.rs:2: println!",
            "src/cli/a.rs:3: stdout",
            "src/cli/a.rs:4: eprint!",
            "src/cli/a.rs:5: Line::parse_from",
            "src/cli/a.rs:6: error.exit",
        ]
    );
    assert_eq!(
        printing("cli/progress.rs", "stderr(); stdout();"),
        ["src/cli/progress.rs:1: stdout"]
    );
}

#[test]
fn nothing_uses_a_platforms_own_mathematics() {
    let found: Vec<String> =
        sources().iter().flat_map(|(path, text)| platform_mathematics(path, text)).collect();
    assert!(found.is_empty(), "{found:#?}");
    assert_eq!(
        platform_mathematics(
            "calc/a.rs",
            "let a = x.sin();\nlet b = f64::cos(x);\nlet c = a.hypot(b);"
        ),
        ["src/calc/a.rs:1: .sin(", "src/calc/a.rs:2: f64::cos", "src/calc/a.rs:3: .hypot("]
    );
    assert_eq!(
        platform_mathematics(
            "calc/a.rs",
            "let a = libm::sin(x); let b = x.sqrt(); a.expect(1); v.cosy();"
        ),
        Vec::<String>::new()
    );
}

/// The map of the code for contributors.
const MAP: &str = "DEVELOPERS.md";

/// The folders and files that a row of the map is about, inside `src`: a name after the first of its cell lies in the
/// first one's folder.
fn rows_of_the_map(map: &str) -> Vec<String> {
    let rows = map.lines().filter(|line| line.starts_with("| `"));
    let mut found = Vec::new();
    for cell in rows.filter_map(|row| row.split('|').nth(1)) {
        let mut folder = None;
        for name in cell.split('`').skip(1).step_by(2) {
            // A room has no row among the files inside the rooms, a file directly in `src` has no other.
            let name = if name.ends_with(".rs") { name.trim_start_matches("src/") } else { name };
            match (name.trim_end_matches('/').rsplit_once('/'), folder) {
                (Some((before, _)), _) => {
                    folder = Some(before);
                    found.push(name.to_string());
                }
                (None, Some(folder)) => found.push(format!("{folder}/{name}")),
                (None, None) if name.ends_with(".rs") => found.push(name.to_string()),
                (None, None) => {}
            }
        }
    }
    found
}

/// Paths that a text names between backticks, those of the repository: they begin with a folder of its root or with a
/// room of `src`. What stands in capitals is a placeholder.
fn paths_in(text: &str) -> Vec<String> {
    let roots = ["src", "tests", "templates", ".ci", "sample-project"];
    let is_path = |name: &&str| {
        let first = name.split('/').next().unwrap_or_default();
        name.contains('/')
            && (roots.contains(&first)
                || ROOMS.iter().any(|(room, _)| *room == first)
                || first == "cli")
            && name.chars().all(|c| c.is_alphanumeric() || "/._-".contains(c))
    };
    let lines = text.lines().flat_map(|line| line.split('`').skip(1).step_by(2));
    let shown = |path: &str| {
        let parts = path.split('/').take_while(|part| !part.chars().any(char::is_uppercase));
        parts.collect::<Vec<_>>().join("/")
    };
    lines
        .filter(is_path)
        .map(|path| if path.ends_with(".md") { path.to_string() } else { shown(path) })
        .collect()
}

/// What a map names that is not there, and the sources that it leaves out: each file stands in a row, or in a folder that
/// does and that is no whole room. Tests, and `mod.rs` of a folder, need no row.
fn faults_of_a_map(map: &str, sources: &[String], is_there: impl Fn(&str) -> bool) -> Vec<String> {
    let rows = rows_of_the_map(map);
    let named = paths_in(map).into_iter().chain(rows.iter().cloned());
    let mut faults: Vec<String> = named
        .filter(|path| !is_there(path) && !is_there(&format!("src/{path}")))
        .map(|path| format!("{path} is named and not there"))
        .collect();
    faults.sort();
    faults.dedup();
    let stands = |path: &str| {
        rows.iter().any(|row| match row.strip_suffix('/') {
            Some(folder) => path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/')),
            None => row == path,
        })
    };
    let may_lack = |path: &str| {
        ["mod.rs", "tests.rs", "main.rs", "lib.rs"].iter().any(|name| path.ends_with(name))
    };
    let left_out = sources.iter().filter(|path| !may_lack(path) && !stands(path));
    faults.extend(left_out.map(|path| format!("{path} is not named")));
    faults
}

#[test]
fn the_map_for_contributors_names_every_source_and_nothing_else() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let map = fs::read_to_string(root.join(MAP)).expect("the map");
    let sources: Vec<String> = sources().into_iter().map(|(path, _)| path).collect();
    let faults = faults_of_a_map(&map, &sources, |path| root.join(path).exists());
    assert!(faults.is_empty(), "{MAP}:\n{}", faults.join("\n"));
}

#[test]
fn a_gap_in_the_map_and_a_path_that_is_gone_are_seen() {
    let map =
        "| `src/calc/` | pure |\n| `calc/a.rs`, `b.rs`, `c/` | three |\nSee `tests/gone.rs`.\n";
    let sources = ["calc/mod.rs", "calc/a.rs", "calc/b.rs", "calc/c/d.rs", "calc/e.rs"];
    let sources = sources.map(str::to_string);
    let is_there = |path: &str| {
        let path = path.trim_end_matches('/');
        ["src/calc", "src/calc/a.rs", "src/calc/c"].contains(&path)
    };
    assert_eq!(
        faults_of_a_map(map, &sources, is_there),
        [
            "calc/b.rs is named and not there",
            "tests/gone.rs is named and not there",
            "calc/e.rs is not named"
        ]
    );
}
