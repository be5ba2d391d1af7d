//! Pictures put together from their parts, with lengths and checksums that are right whatever the parts hold.

/// What the header of a PNG says.
#[derive(Debug, Clone, Copy)]
pub struct Header {
    pub width: u32,
    pub height: u32,
    /// Bits a sample.
    pub depth: u8,
    /// PNG (third edition) 11.2.1: 0 grey, 2 colours, 3 a palette, 4 and 6 with transparency.
    pub colour: u8,
    pub interlaced: bool,
}

/// A PNG of a header and these chunks, and its end.
pub fn png(header: Header, chunks: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut out = b"\x89PNG\r\n\x1a\n".to_vec();
    let sides = [header.width.to_be_bytes(), header.height.to_be_bytes()].concat();
    let rest = [header.depth, header.colour, 0, 0, u8::from(header.interlaced)];
    chunk(&mut out, b"IHDR", &[&sides[..], &rest].concat());
    for (name, data) in chunks {
        chunk(&mut out, name, data);
    }
    chunk(&mut out, b"IEND", b"");
    out
}

fn chunk(out: &mut Vec<u8>, name: &[u8; 4], data: &[u8]) {
    out.extend(u32::try_from(data.len()).expect("a chunk").to_be_bytes());
    let named = [&name[..], data].concat();
    out.extend(&named);
    out.extend(crc32fast::hash(&named).to_be_bytes());
}

/// Bytes as a zlib stream that is not compressed, RFC 1950 and RFC 1951 3.2.4.
pub fn stored(data: &[u8]) -> Vec<u8> {
    let mut out = vec![0x78, 0x01];
    let mut blocks = data.chunks(0xFFFF).peekable();
    if data.is_empty() {
        out.extend([1, 0, 0, 0xFF, 0xFF]);
    }
    while let Some(block) = blocks.next() {
        let length = block.len() as u16;
        out.push(u8::from(blocks.peek().is_none()));
        out.extend(length.to_le_bytes());
        out.extend((!length).to_le_bytes());
        out.extend(block);
    }
    let (mut a, mut b) = (1_u32, 0_u32);
    for byte in data {
        a = (a + u32::from(*byte)) % 65_521;
        b = (b + a) % 65_521;
    }
    out.extend((b << 16 | a).to_be_bytes());
    out
}

/// A JPEG of these segments: the code of each marker, what stands behind its length, and coded data behind that.
pub fn jpeg(segments: &[(u8, Vec<u8>, Vec<u8>)]) -> Vec<u8> {
    let mut out = vec![0xFF, 0xD8];
    for (code, inside, behind) in segments {
        out.extend([0xFF, *code]);
        let length = u16::try_from(inside.len() + 2).expect("a segment");
        out.extend(length.to_be_bytes());
        out.extend(inside);
        out.extend(behind);
    }
    out.extend([0xFF, 0xD9]);
    out
}

/// The segments of a JPEG before its scans: a table of quantisation, a frame of so many components alike, and two
/// Huffman tables, of one symbol each with the code 0: a difference of nothing, and the end of 16 384 blocks or
/// more.
pub fn before_scans(
    (width, height): (u16, u16),
    components: u8,
    progressive: bool,
) -> Vec<(u8, Vec<u8>, Vec<u8>)> {
    let table = |class: u8, symbol: u8| {
        let mut lengths = [0; 16];
        lengths[0] = 1;
        (0xC4, [&[class << 4][..], &lengths, &[symbol]].concat(), Vec::new())
    };
    let sides = [height.to_be_bytes(), width.to_be_bytes()].concat();
    let each: Vec<u8> = (1..=components).flat_map(|number| [number, 0x11, 0]).collect();
    let frame = [&[8][..], &sides, &[components], &each].concat();
    vec![
        (0xDB, [&[0][..], &[1; 64]].concat(), Vec::new()),
        (if progressive { 0xC2 } else { 0xC0 }, frame, Vec::new()),
        table(0, 0),
        table(1, if progressive { 0xE0 } else { 0 }),
    ]
}

/// A scan of one component, counted from 1: from one coefficient to another, with its coded data.
pub fn scan(component: u8, from: u8, to: u8, data: Vec<u8>) -> (u8, Vec<u8>, Vec<u8>) {
    (0xDA, vec![1, component, 0, from, to, 0], data)
}
