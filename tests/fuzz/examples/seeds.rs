//! Writes what each target begins with: `seeds corpus` makes `corpus/TARGET/` and `corpus/TARGET.words`.

use std::fs;
use std::path::Path;

use lastdock_fuzz::readers::READERS;

fn main() -> std::io::Result<()> {
    let to = std::env::args().nth(1).unwrap_or_else(|| "corpus".to_string());
    for reader in READERS {
        let folder = Path::new(&to).join(reader.name);
        fs::create_dir_all(&folder)?;
        for (number, seed) in (reader.seeds)().iter().enumerate() {
            fs::write(folder.join(format!("seed-{number:03}")), seed)?;
        }
        let word = |word: &&str| format!("\"{}\"\n", escaped(word));
        let words: String = reader.words.iter().map(word).collect();
        fs::write(Path::new(&to).join(format!("{}.words", reader.name)), words)?;
    }
    Ok(())
}

/// A word as libFuzzer's dictionaries have it.
fn escaped(word: &str) -> String {
    let byte = |byte: u8| match byte {
        b'"' | b'\\' => format!("\\{}", char::from(byte)),
        0x20..0x7f => char::from(byte).to_string(),
        _ => format!("\\x{byte:02X}"),
    };
    word.bytes().map(byte).collect()
}
