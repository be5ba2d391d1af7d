//! Signatures: OpenSSH's `ssh-keygen` verifies ours, and ours verifies its.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::Stdio;

use lastdock::bundle::signature::NAMESPACE;

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
