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
    assert!(seen.contains("startSearch"));
}

#[test]
fn the_script_is_joined_without_imports_and_only_it_may_run() {
    let script = script();
    assert!(!script.lines().any(|line| line.starts_with("import ") || line.starts_with("export ")));
    assert!(script.contains("\nexport") || script.contains("function startSearch"));
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
