//! What the page may run, and that its parts fit together.

use std::collections::BTreeSet;

use super::policy::{MODULES, content, inert_json, script};

/// In one scope no two modules may declare the same name.
#[test]
fn modules_declare_different_names() {
    let mut seen = BTreeSet::new();
    for (file, module) in MODULES {
        for line in module.lines() {
            let line = line.strip_prefix("export ").unwrap_or(line);
            let line = line.strip_prefix("async ").unwrap_or(line);
            let Some((kind, rest)) = line.split_once(' ') else { continue };
            if !["function", "function*", "const", "let", "class"].contains(&kind) {
                continue;
            }
            let name: String =
                rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            assert!(seen.insert(name.clone()), "{file} declares {name} anew");
        }
    }
    assert!(seen.contains("startSearch") && seen.contains("startProofView"));
}

#[test]
fn the_script_is_joined_without_imports_and_only_it_may_run() {
    let script = script();
    assert!(!script.lines().any(|line| line.starts_with("import ") || line.starts_with("export ")));
    let at = |what: &str| script.find(what).unwrap_or_else(|| panic!("no {what}"));
    assert!(at("function readRecord") < at("function startPage"));
    assert_eq!(script.matches("function startSearch(").count(), 1);
    // Known answer: the digest of nothing, FIPS 180-4, in base64.
    let policy = content("");
    assert!(policy.contains("script-src 'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='"));
    assert!(policy.starts_with("default-src 'none';"));
    for asks in ["unsafe", "http", "connect-src", "*"] {
        assert!(!policy.contains(asks), "{asks}");
    }
}

#[test]
fn data_can_not_end_its_element() {
    let json = inert_json(&"</script><!--\u{2028}");
    assert!(!json.contains('<') && !json.contains('\u{2028}'), "{json}");
    assert_eq!(serde_json::from_str::<String>(&json).unwrap(), "</script><!--\u{2028}");
}

/// A file that is not listed would be left out without a word.
#[test]
fn every_script_of_the_templates_is_listed_and_joined() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/templates/page");
    let files = std::fs::read_dir(folder).expect("the page's templates");
    let names = files.map(|file| file.expect("a name").file_name().into_string().expect("UTF-8"));
    let scripts: BTreeSet<String> = names.filter(|name| name.ends_with(".js")).collect();
    let listed: BTreeSet<String> = MODULES.iter().map(|(name, _)| name.to_string()).collect();
    assert_eq!(scripts, listed);
    let script = script();
    for (name, module) in MODULES {
        let line = module.lines().rfind(|line| line.starts_with("export function "));
        let line = line.map(|line| line.trim_start_matches("export "));
        assert!(line.is_none_or(|line| script.contains(line)), "{name} is not in the script");
    }
}
