//! The report: any text wherever a person may write one, and any name of a file.

use lastdock::records::pictures::Album;
use lastdock::report::{Inputs, Listed, figures, typeset};

use super::project::{Files, judged};

/// Words that a typesetter, a font or a PDF might stumble over.
pub const WORDS: &[&str] = &[
    "#read(\"/etc/passwd\")",
    "#panic(",
    "#{",
    "}",
    "$",
    "$ x $",
    "]",
    "[",
    "*",
    "_",
    "`",
    "```",
    "@",
    "<a>",
    "= ",
    "- ",
    "/ x: ",
    "\\",
    "//",
    "/*",
    "*/",
    "~",
    "--",
    "---",
    "...",
    "\"",
    "'",
    "&",
    "&amp;",
    "<b>",
    "]]>",
    "\n\n",
    "\t",
    "\r",
    "\u{0}",
    "\u{7}",
    "\u{7f}",
    "\u{85}",
    "\u{a0}",
    "\u{ad}",
    "\u{300}",
    "\u{301}\u{302}\u{303}",
    "\u{5d0}",
    "\u{627}\u{644}",
    "\u{64b}",
    "\u{e01}\u{e33}",
    "\u{915}\u{94d}\u{937}",
    "\u{200b}",
    "\u{200d}",
    "\u{200e}",
    "\u{202e}",
    "\u{2066}",
    "\u{2069}",
    "\u{2028}",
    "\u{2029}",
    "\u{feff}",
    "\u{fe0f}",
    "\u{fffd}",
    "\u{fffe}",
    "\u{ffff}",
    "\u{e000}",
    "\u{fb01}",
    "\u{1f6a2}",
    "\u{1f468}\u{200d}\u{1f469}",
    "\u{1f1f3}\u{1f1f4}",
    "\u{10ffff}",
    "\u{e0001}",
    "\u{e0101}",
    "\u{13000}",
    "\u{20000}",
    "W",
    "i",
    " ",
    "\u{1f}",
];

/// Texts, 0x1F between them, each in turn wherever a person may write one; with drawings if the first byte is
/// odd. Whatever they are, a record that can be read can be typeset.
pub fn read(bytes: &[u8]) {
    let (how, rest) = super::first(bytes);
    let texts: Vec<String> = super::parts(rest, 0x1f).map(|text| text.into_owned()).collect();
    let Some(examined) = judged(&full_of(&texts)) else { return };
    let drawings = if how % 2 == 1 { figures::drawings(&examined) } else { Vec::new() };
    let listed = |text: &String| Listed {
        path: format!("data/papers/{text}"),
        size: u64::MAX >> 10,
        sha256: "0".repeat(64),
    };
    let files: Vec<Listed> = texts.iter().map(listed).collect();
    let mut pictures = Album::default();
    pictures.add("not a picture.png", Ok(b"no picture"));
    let inputs = Inputs {
        examined: &examined,
        drawings: &drawings,
        files: &files,
        records_checksum: &"0".repeat(64),
        attachments: Vec::new(),
        pictures: &pictures,
        letters: Vec::new(),
        program: "a test",
    };
    match typeset(&inputs) {
        Ok(pdf) => assert!(pdf.starts_with(b"%PDF-1.7")),
        Err(error) => panic!("{error}"),
    }
}

/// A small project with these texts in turn.
fn full_of(texts: &[String]) -> Files {
    let mut next = texts.iter().cycle();
    let mut next = || next.next().cloned().unwrap_or_default();
    let mut toml = || in_toml(&next());
    let docking = format!(
        "format = 1\n[ship]\nname = {}\nowner = {}\nbuilt = {}\nstern_reference_point = {}\n\
         [dock]\nname = {}\nplace = {}\nlevel_datum = {}\n[period]\noffset = \"+01:00\"\n\
         [[people]]\nname = {}\nrole = {}\n\
         [limits.opening_clearance]\nvalue = 300\nunit = \"mm\"\nsource = {}\n\
         [closeout]\nprepared_by = {}\nprepared_on = 2031-05-16\nbundle_name = \"b\"\n",
        toml(),
        toml(),
        toml(),
        toml(),
        toml(),
        toml(),
        toml(),
        toml(),
        toml(),
        toml(),
        toml()
    );
    let mut csv = || format!("\"{}\"", next().replace('"', "\"\""));
    let blocks = format!(
        "block,row,station_m,offset_m,length_mm,width_mm,cap_material,left_out_because,note\n\
         K1,keel,20,0,600,1200,{},{},{}\nK2,keel,22,0,600,1200,,,\n",
        csv(),
        csv(),
        csv()
    );
    let openings = format!(
        "opening,kind,x_m,y_m,diameter_mm,valve_tag,opened_at,opened_by,closed_by,tested_how,state\n\
         S1,sea-chest,10,0,300,{},2031-04-08T10:00:00,{},{},{},{}\n",
        csv(),
        csv(),
        csv(),
        csv(),
        csv()
    );
    let positions = "position,recorded_srp_station_m,recorded_offset_m\nP1,10.0,0.0\nP2,9.3,0.0\n";
    let papers = format!(
        "file,by,caption,in_report\nnot a picture.png,{},{},yes\nnot there.png,,{},yes\n",
        csv(),
        csv(),
        csv()
    );
    // Old bundles hold what is refused today.
    let mut files = Files::default();
    files.closed_out = true;
    files.put("docking.toml", docking.as_bytes());
    files.put("plan/blocks.csv", blocks.as_bytes());
    files.put("plan/openings.csv", openings.as_bytes());
    files.put("positions/positions.csv", positions.as_bytes());
    files.put("papers/papers.csv", papers.as_bytes());
    files.put("papers/not a picture.png", b"no picture");
    files
}

/// A text as a string of TOML.
fn in_toml(text: &str) -> String {
    let escaped: String = text
        .chars()
        .map(|c| match c {
            '"' | '\\' => format!("\\{c}"),
            c if c.is_control() => format!("\\u{:04X}", u32::from(c)),
            c => c.to_string(),
        })
        .collect();
    format!("\"{escaped}\"")
}

/// Plain texts, and the words in turn.
pub fn seeds() -> Vec<Vec<u8>> {
    let mut seeds = vec![b"0Wren\x1fa name\x1f".to_vec(), b"1Wren\x1fa name\x1f".to_vec()];
    for words in WORDS.chunks(8) {
        seeds.push(format!("0{}", words.join("\u{1f}")).into_bytes());
    }
    seeds.push(format!("1{}", WORDS.concat().replace('\u{1f}', "")).into_bytes());
    seeds.push(format!("0{}", "x".repeat(1500)).into_bytes());
    seeds
}
