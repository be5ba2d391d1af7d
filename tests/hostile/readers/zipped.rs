//! A zip written by hand: entries stored as they come, with any name, twice the same if so wished.

/// Stores entries in a zip.
pub fn zipped(entries: &[(Vec<u8>, Vec<u8>)]) -> Vec<u8> {
    let (mut zip, mut directory) = (Vec::new(), Vec::new());
    for (name, bytes) in entries {
        let name = &name[..name.len().min(usize::from(u16::MAX))];
        let size = u32::try_from(bytes.len()).expect("a small file").to_le_bytes();
        // Version 2.0, names in UTF-8, stored, on the first day of 1980.
        let mut both = vec![20, 0, 0, 8, 0, 0, 0, 0, 0x21, 0];
        both.extend(crc32fast::hash(bytes).to_le_bytes());
        both.extend(size.into_iter().chain(size));
        both.extend((name.len() as u16).to_le_bytes());
        both.extend([0, 0]);
        let at = (zip.len() as u32).to_le_bytes();
        zip.extend(b"PK\x03\x04".iter().chain(&both).chain(name).chain(bytes));
        // Written on Unix; no comment, first disk, mode 0644.
        directory.extend(b"PK\x01\x02\x14\x03".iter().chain(&both));
        directory.extend([0, 0, 0, 0, 0, 0, 0, 0, 0xa4, 0x81]);
        directory.extend(at.iter().chain(name));
    }
    let (at, length) = (zip.len() as u32, directory.len() as u32);
    let count = (entries.len() as u16).to_le_bytes();
    zip.extend(directory);
    zip.extend(b"PK\x05\x06\0\0\0\0".iter().chain(&count).chain(&count));
    zip.extend(length.to_le_bytes().iter().chain(&at.to_le_bytes()).chain(&[0, 0]));
    zip
}
