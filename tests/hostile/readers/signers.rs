//! Lists of signers.

use std::sync::OnceLock;

use lastdock::bundle::signature::{self, NAMESPACE, Signed};
use lastdock::bundle::signers::{Asked, LONGEST_LINE, Moment, Signers};

/// Words of these lists.
pub const WORDS: &[&str] = &[
    "namespaces=\"",
    "valid-after=\"",
    "valid-before=\"",
    "cert-authority",
    "NAMESPACES=",
    "docking-record-bundle",
    "docking-*",
    "\"",
    "\\\"",
    ",",
    "!",
    "*",
    "?",
    " ",
    "\t",
    "\r",
    "\n",
    "#",
    "a@x",
    "20300101",
    "203001011200Z",
    "20300101120000UTC",
    "\u{0}",
    "\u{e9}",
    "ssh-ed25519 ",
    "ssh-rsa ",
    "sk-ssh-ed25519@openssh.com ",
    "AAAAC3NzaC1lZDI1NTE5AAAAI",
];

/// A key of nobody's, made of bytes that are no secret, with what it has signed.
struct Signature {
    public: String,
    text: String,
}

const SIGNED: &[u8] = b"a manifest\n";

fn signature() -> &'static Signature {
    static SIGNATURE: OnceLock<Signature> = OnceLock::new();
    SIGNATURE.get_or_init(|| {
        let pair = ssh_key::private::Ed25519Keypair::from_seed(&[31; 32]);
        let key = ssh_key::PrivateKey::from(pair);
        let text = signature::sign(&key, SIGNED).expect("a signature");
        Signature { public: key.public_key().to_openssh().expect("a public key"), text }
    })
}

/// Reads a list in which `KEY` stands for the key that has signed. Whom it takes it takes for a reason that its text
/// has; one line more never makes it refuse.
pub fn read(bytes: &[u8]) {
    let signature = signature();
    let (what, rest) = super::first(bytes);
    let text = String::from_utf8_lossy(rest).replace("KEY", &signature.public);
    let list = if what & 1 == 0 { text.clone().into_bytes() } else { rest.to_vec() };
    let by = (what & 2 != 0).then(|| "a@x".to_string());
    let at = if what & 4 == 0 { None } else { Moment::typed("203006151200") };
    let asked = Asked { by, at };
    let of = |list: &[u8]| {
        Signers::parse(list).map(|signers| {
            signature::check(signature.text.as_bytes(), SIGNED, Some((&signers, &asked)))
        })
    };
    let Ok(said) = of(&list) else {
        assert!(list.split(|byte| *byte == b'\n').any(|line| line.len() > LONGEST_LINE));
        return;
    };
    assert_eq!(of(&list), Ok(said.clone()), "read twice");
    let key = signature.public.split(' ').nth(1).expect("a key");
    let names_key = String::from_utf8_lossy(&list).contains(key);
    match &said {
        Signed::ByKnown { .. } => assert!(names_key),
        Signed::Undated { why, .. } => {
            let text = String::from_utf8_lossy(&list).to_ascii_lowercase();
            assert!(names_key && text.contains("valid-") && !why.is_empty());
        }
        Signed::NotBySigner { .. } => {}
        other => panic!("the signature is sound: {other:?}"),
    }
    let told: Vec<&String> = match &said {
        Signed::NotBySigner { why, .. } | Signed::Undated { why, .. } => why.iter().collect(),
        _ => Vec::new(),
    };
    assert!(told.iter().all(|sentence| !sentence.contains(char::is_control)), "{told:?}");
    let taken = format!("a@x namespaces=\"{NAMESPACE}\" {}\n", signature.public);
    let more = of(&[&list[..], b"\n", taken.as_bytes()].concat());
    assert!(matches!(more, Ok(Signed::ByKnown { .. })), "{more:?}");
    // And one that is for another purpose takes nobody in.
    let other = format!("* namespaces=\"git\" {}\n", signature.public);
    let more = of(&[&list[..], b"\n", other.as_bytes()].concat()).expect("a list");
    assert_eq!(matches!(more, Signed::ByKnown { .. }), matches!(said, Signed::ByKnown { .. }));
}

/// Lines of each sort.
pub fn seeds() -> Vec<Vec<u8>> {
    [
        "0a@x KEY a comment\n",
        "0KEY\n",
        "4# a list\n\na@x,!b@x namespaces=\"docking-*,!git\" KEY\n",
        "4a@x valid-after=\"20300101\",valid-before=\"20310101Z\" KEY\n",
        "0*@x valid-before=\"203006151200\" KEY\n",
        "2\"a@x\" cert-authority KEY\nb@x KEY\n",
        "6?@x zone=\"x\" KEY\r\n!a@x,* KEY\n",
        "1a@x namespaces=\"a\\\"b\" ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIEo175hlBQUyPLeiMpxrqygAJssy5LvlrtR5//eR28mi\n",
    ]
    .map(|text| text.as_bytes().to_vec())
    .into()
}
