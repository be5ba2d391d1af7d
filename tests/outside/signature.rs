//! Signatures: OpenSSH's `ssh-keygen` verifies ours, and ours verifies its.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::Stdio;

use lastdock::bundle::signature::{self, NAMESPACE, Signed};
use lastdock::bundle::signers::{Asked, Moment, Signers};

use crate::common::{Project, closed, program, run, temporary};
use crate::judge::{content, on_path};

/// A new key pair under a path: the private key there, the public one beside it.
fn key(at: &Path, passphrase: &str) -> PathBuf {
    let mut command = on_path("ssh-keygen");
    command.args(["-q", "-t", "ed25519", "-C", "Hesper Oakapple", "-N", passphrase, "-f"]);
    content(command.arg(at));
    at.with_extension("pub")
}

/// The list of signers as OpenSSH has it.
fn allowed(public: &Path, at: &Path) {
    let key = fs::read_to_string(public).expect("a public key");
    fs::write(at, format!("archive@example.org {key}")).expect("to write it");
}

#[test]
#[ignore = "needs ssh-keygen, see tests/outside/README.md"]
fn openssh_verifies_ours() {
    let folder = temporary();
    let public = key(&folder.path().join("key"), "");
    let project = Project::copied();
    let mut command = program();
    command.arg("closeout").arg(project.root()).arg("--out").arg(project.out());
    run(command.arg("--repair-percent=0").arg("--sign-with").arg(public.with_extension("")))
        .exits(0);
    let zip = project.out().join("calder-wren-2031.zip");
    let signature = project.out().join("calder-wren-2031-seal.sig");
    let signers = folder.path().join("signers");
    allowed(&public, &signers);
    let mut command = on_path("ssh-keygen");
    command.args(["-Y", "verify", "-n", NAMESPACE, "-I", "archive@example.org", "-f"]);
    command.arg(&signers).arg("-s").arg(&signature);
    let manifest = closed().folder.join("tagmanifest-sha256.txt");
    content(command.stdin(Stdio::from(File::open(manifest).expect("the tag manifest"))));

    let said = run(program().arg("verify").arg(&zip)).exits(0);
    assert!(said.out.contains("signed"), "{}", said.out);
    let said = run(program().arg("verify").arg(&zip).arg("--signers").arg(&signers)).exits(0);
    assert!(said.out.contains("by archive@example.org"), "{}", said.out);
    let said = run(program().arg("verify").arg(&zip).arg("--signers").arg(&public)).exits(0);
    assert!(said.out.contains("by Hesper Oakapple"), "{}", said.out);
}

#[test]
#[ignore = "needs ssh-keygen, see tests/outside/README.md"]
fn ours_verifies_openssh_and_sees_what_is_wrong() {
    let folder = temporary();
    let (one, other) = (folder.path().join("one"), folder.path().join("other"));
    let (public, stranger) = (key(&one, ""), key(&other, ""));
    let manifest = folder.path().join("tagmanifest-sha256.txt");
    fs::copy(closed().folder.join("tagmanifest-sha256.txt"), &manifest).expect("a copy");
    let signed = |namespace: &str| {
        let mut command = on_path("ssh-keygen");
        command.args(["-q", "-Y", "sign", "-n", namespace, "-f"]).arg(&one);
        content(command.arg(&manifest));
        let signature = folder.path().join(format!("{namespace}.sig"));
        fs::rename(folder.path().join("tagmanifest-sha256.txt.sig"), &signature)
            .expect("a signature");
        signature
    };
    let verify = |bundle: &Path, signature: &Path, signers: &Path| {
        let mut command = program();
        command.arg("verify").arg(bundle).arg("--signature").arg(signature);
        run(command.arg("--signers").arg(signers))
    };
    let right = signed(NAMESPACE);
    for bundle in [&closed().zip, &closed().folder] {
        let said = verify(bundle, &right, &public).exits(0);
        assert!(said.out.contains("by Hesper Oakapple"), "{}", said.out);
        assert!(verify(bundle, &right, &stranger).exits(3).out.contains("other hand"));
    }
    let elsewhere = verify(&closed().zip, &signed("file"), &public).exits(3);
    assert!(elsewhere.squeezed().contains("itwasmadefor\"file\""), "{}", elsewhere.out);
    // The same signature over another bundle.
    fs::write(&manifest, "another\n").expect("to write it");
    let other = signed(NAMESPACE);
    assert!(verify(&closed().zip, &other, &public).exits(3).out.contains("not of this bundle"));
}

#[test]
#[ignore = "needs ssh-keygen, see tests/outside/README.md"]
fn a_key_with_a_passphrase_is_refused_with_the_command_that_can_use_it() {
    let folder = temporary();
    let public = key(&folder.path().join("key"), "a passphrase");
    let project = Project::copied();
    let mut command = program();
    command.arg("closeout").arg(project.root()).arg("--out").arg(project.out());
    let said = run(command.arg("--sign-with").arg(public.with_extension(""))).exits(1);
    assert!(said.squeezed().contains("ssh-keygen-Ysign"), "{}", said.err);
    assert!(!project.out().exists());
}

/// Numbers by chance, the same in every run: the multiplier and the increment are Knuth's for 64 bits.
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % count
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.below(of.len())]
    }
}

/// A line of a list of signers, sound or not: `keys` are what stands for its key.
fn line(chance: &mut Chance, keys: &[&str]) -> String {
    const NAMES: &[&str] =
        &["a@x", "b@x", "*@x", "?@x", "!b@x", "!a@*", "*", "A@x", "", "!", "a@x.y", "**x"];
    const SPACES: &[&str] = &[" ", "\t", "  ", "\t "];
    const NAMESPACES: &[&str] = &[
        "*",
        "docking-record-bundle",
        "docking-*,!git",
        "git",
        "*,!docking*",
        "",
        "git,dock*",
        "git, dock*",
        "dock\\\"*",
    ];
    const DATES: &[&str] = &[
        "20290101Z",
        "20300101Z",
        "203006151200Z",
        "20310101Z",
        "20280101",
        "20330101",
        "20300615235959Z",
        "203006151200UTC",
        "20301301Z",
        "2030",
        "",
    ];
    if chance.below(12) == 0 {
        return chance
            .one(&["", "# a remark", "   ", "a@x", "\ta@x ,", "a@x \"", "\r"])
            .to_string();
    }
    let names: Vec<&str> = (0..1 + chance.below(3)).map(|_| chance.one(NAMES)).collect();
    let mut principals = names.join(",");
    match chance.below(12) {
        0 => principals = format!("\"{principals}\""),
        1 => principals = format!("\"{principals}"),
        2 => principals.push_str(",a@x,b@x"),
        _ => {}
    }
    let mut options = Vec::new();
    for _ in 0..chance.below(4) {
        let quote = if chance.below(15) == 0 { "" } else { "\"" };
        options.push(match chance.below(14) {
            0..5 => {
                let name = chance.one(&["namespaces", "namespaces", "NAMESPACES", "namespace"]);
                format!("{name}={quote}{}{quote}", chance.one(NAMESPACES))
            }
            5..8 => format!("valid-after={quote}{}{quote}", chance.one(DATES)),
            8..12 => format!("valid-before={quote}{}{quote}", chance.one(DATES)),
            12 => chance
                .one(&["cert-authority", "cert-authority", "Cert-Authority", "!cert-authority"])
                .to_string(),
            _ => chance.one(&["", "zone=\"x\"", "namespaces", "no-touch-required"]).to_string(),
        });
    }
    let mut options = options.join(",");
    if chance.below(25) == 0 {
        options.push(',');
    }
    let start = chance.one(&["", "", "", " ", "\t"]);
    let key = chance.one(keys);
    let end = chance.one(&["", "", " a comment", "\r", " \"a comment"]);
    let space = chance.one(SPACES);
    match options.is_empty() {
        true => format!("{start}{principals}{space}{key}{end}"),
        false => format!("{start}{principals}{space}{options}{}{key}{end}", chance.one(SPACES)),
    }
}

#[test]
#[ignore = "needs ssh-keygen, see tests/outside/README.md"]
fn lists_by_chance_take_whom_openssh_takes() {
    let folder = temporary();
    let one = folder.path().join("one");
    let publics = [key(&one, ""), key(&folder.path().join("other"), "")];
    let manifest = folder.path().join("manifest");
    fs::write(&manifest, "signed\n").expect("to write it");
    let mut command = on_path("ssh-keygen");
    command.args(["-q", "-Y", "sign", "-n", NAMESPACE, "-f"]).arg(&one);
    content(command.arg(&manifest));
    let signature = folder.path().join("manifest.sig");
    let sealed = fs::read(&signature).expect("a signature");
    let keys = publics.map(|public| {
        let text = fs::read_to_string(public).expect("a public key");
        text.split(' ').take(2).collect::<Vec<_>>().join(" ")
    });
    let [right, wrong] = keys.each_ref().map(String::as_str);
    let keys = [right, right, right, right, wrong, "ssh-ed25519 AAAA", "ssh-ed25519"];

    let list = folder.path().join("signers");
    let mut chance = Chance(31);
    let (mut taken, mut refused, mut undated) = (0, 0, 0);
    for number in 0..600 {
        let lines: Vec<String> =
            (0..1 + chance.below(4)).map(|_| line(&mut chance, &keys)).collect();
        let text = lines.join("\n") + chance.one(&["\n", "", "\n\n"]);
        fs::write(&list, &text).expect("to write it");
        let by = chance.one(&["a@x", "b@x", "a@x.y", "!b@x"]);
        let at = chance.one(&["20300615Z", "203006151200Z", "20300101Z", "20300616Z", "20270101Z"]);
        let mut command = on_path("ssh-keygen");
        command.env("TZ", "UTC").args(["-Y", "verify", "-n", NAMESPACE, "-I", by]);
        command.arg(format!("-Overify-time={at}")).arg("-f").arg(&list).arg("-s").arg(&signature);
        let said = command.stdin(File::open(&manifest).expect("what was signed")).output();
        let theirs = said.expect("ssh-keygen runs").status.success();
        let signers = Signers::parse(text.as_bytes()).expect("a list");
        let asked = Asked { by: Some(by.to_string()), at: Moment::typed(at) };
        let ours = |asked: &Asked| signature::check(&sealed, b"signed\n", Some((&signers, asked)));
        match ours(&asked) {
            Signed::ByKnown { .. } => {
                taken += 1;
                assert!(theirs, "{number}: OpenSSH refuses {by} at {at} by\n{text}");
            }
            Signed::NotBySigner { why, .. } => {
                refused += 1;
                assert!(!theirs, "{number}: OpenSSH takes {by} at {at} by\n{text}\n{why:?}");
            }
            Signed::Undated { .. } => undated += 1,
            other => panic!("{number}: {other:?}"),
        }
        // Whoever is taken is taken as somebody, unless options stand where principals should.
        let anybody = Asked { by: None, at: Moment::typed(at) };
        let undatable = Asked { at: None, ..asked };
        if theirs {
            assert!(matches!(ours(&anybody), Signed::ByKnown { .. }), "{number}: {text}");
            assert!(!matches!(ours(&undatable), Signed::NotBySigner { .. }), "{number}: {text}");
        }
    }
    println!("{taken} taken, {refused} refused, {undated} undated");
    // No date without a zone is near to a time that is asked for.
    assert!(taken > 80 && refused > 200 && undated == 0, "{taken} {refused} {undated}");
}
