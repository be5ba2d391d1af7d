//! Recovery data in PAR 2.0: packets and sets read, slices found, a bundle mended.

use std::fs;
use std::sync::OnceLock;

use lastdock::bundle::mend::{Outcome, Request, mend};
use lastdock::bundle::recovery::beside::Readiness;
use lastdock::bundle::recovery::make::make;
use lastdock::bundle::recovery::packet::{
    CHECKSUMS, CREATOR, Checksum, Described, FILE, MAIN, Main, RECOVERY, checksums_written, md5,
    packet,
};
use lastdock::bundle::staging::StagingDir;

use super::bundle::{files_below, is_well_told, zip_with};

/// Words of recovery files.
pub const WORDS: &[&str] = &[
    "PAR2\u{0}PKT",
    "PAR 2.0\u{0}Main\u{0}\u{0}\u{0}\u{0}",
    "PAR 2.0\u{0}FileDesc",
    "PAR 2.0\u{0}IFSC\u{0}\u{0}\u{0}\u{0}",
    "PAR 2.0\u{0}RecvSlic",
    "PAR 2.0\u{0}Creator\u{0}",
    "\u{0}\u{0}\u{0}\u{0}\u{0}\u{0}\u{0}\u{0}",
    "\u{0}\u{10}\u{0}\u{0}",
    "\u{4}\u{0}\u{0}\u{0}",
    "a.zip",
];

const SLICE: usize = 4096;

/// A bundle and its recovery files.
struct Kept {
    zip: Vec<u8>,
    /// Name and bytes; that with the recovery slices first.
    recovery: Vec<(String, Vec<u8>)>,
}

fn kept() -> &'static Kept {
    static KEPT: OnceLock<Kept> = OnceLock::new();
    KEPT.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("a.zip");
        let zip = zip_with(b"");
        fs::write(&path, &zip).expect("to write it");
        let staging = StagingDir::inside(folder.path()).expect("a staging folder");
        let made = make(&path, "a.zip", 30, &staging, &|_| {}).expect("recovery data");
        let bytes = |made: lastdock::bundle::recovery::make::Made| {
            let bytes = fs::read(made.file.path()).expect("to read it");
            (made.name, bytes)
        };
        Kept { zip, recovery: made.into_iter().map(bytes).collect() }
    })
}

/// The bundle with a byte changed in every fifth slice.
fn damaged() -> Vec<u8> {
    let mut zip = kept().zip.clone();
    zip.iter_mut().step_by(5 * SLICE).for_each(|byte| *byte ^= 0x40);
    zip
}

/// Mends a damaged bundle by what stands in the bytes: a recovery file; packets whose checksums are put right,
/// with the sound ones or without; a set that hangs together, of a file that is not there; or a bundle in
/// whatever state, by sound recovery files.
pub fn read(bytes: &[u8]) {
    let (how, rest) = super::first(bytes);
    let sound = kept().recovery.iter().map(|(name, bytes)| (name.as_str(), bytes.clone()));
    let came = match how % 5 {
        0 => mended(&damaged(), [("a.zip.par2", rest.to_vec())]),
        1 => mended(&damaged(), [("a.zip.par2", packets(rest))]),
        2 => mended(&damaged(), sound.chain([("other.par2", packets(rest))])),
        3 => {
            let (set, zip) = forged(rest);
            mended(&zip, [("a.zip.par2", set)])
        }
        _ => mended(&changed(rest), sound),
    };
    // Where the packets are our own, nothing else can come of them.
    let ours = how % 5 == 4;
    assert!(!ours || came.is_none_or(|came| came == kept().zip), "mended to something else");
}

/// Mends, and gives back the mended bundle's bytes.
fn mended<'a>(
    zip: &[u8],
    recovery: impl IntoIterator<Item = (&'a str, Vec<u8>)>,
) -> Option<Vec<u8>> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let at = folder.path().join("a.zip");
    fs::write(&at, zip).expect("to write it");
    let mut beside = 1;
    for (name, bytes) in recovery {
        fs::write(folder.path().join(name), bytes).expect("to write it");
        beside += 1;
    }
    Readiness::read(&at);
    let (out, salvage_to) = (folder.path().join("mended.zip"), folder.path().join("salvaged"));
    let request = Request {
        bundle: &at,
        out: Some(&out),
        salvage_to: Some(&salvage_to),
        also: &[],
        seal: None,
        progress: &|_| {},
    };
    let mut mended = None;
    match mend(&request) {
        Ok(mending) => match mending.outcome {
            Outcome::Mended { at, fixity, .. } => {
                mended = Some(fs::read(at).expect("the mended bundle"));
                beside += 1;
                if let Err(error) = fixity {
                    is_well_told(&error);
                }
            }
            Outcome::Beyond { reason, .. } => assert!(!reason.is_empty()),
            Outcome::Whole(_) => {}
        },
        Err(error) => is_well_told(&error),
    }
    assert_eq!(fs::read(&at).expect("the bundle"), zip, "the damaged bundle was touched");
    assert_eq!(files_below(folder.path()) - files_below(&salvage_to), beside, "something is left");
    mended
}

/// Packets with right checksums: for each a byte for its sort, two for the length of its body, the body. All
/// are of the set of the first main packet.
fn packets(mut bytes: &[u8]) -> Vec<u8> {
    const SORTS: [&[u8; 16]; 5] = [&MAIN, &FILE, &CHECKSUMS, &RECOVERY, &CREATOR];
    let mut bodies = Vec::new();
    while let [sort, low, high, rest @ ..] = bytes {
        let length = usize::from(u16::from_le_bytes([*low, *high])).min(rest.len());
        let (body, rest) = rest.split_at(length);
        bodies.push((SORTS[usize::from(*sort) % SORTS.len()], body));
        bytes = rest;
    }
    let main = bodies.iter().find(|(sort, _)| *sort == &MAIN);
    let set = main.map_or([0; 16], |(_, body)| md5(body));
    bodies.iter().flat_map(|(sort, body)| packet(&set, sort, body)).collect()
}

/// A set of which everything goes together, and what is to be mended by it: bytes of a slice and of the file
/// (eight each), how many slices have the checksum of zeros, how many recovery slices there are, then the file.
fn forged(bytes: &[u8]) -> (Vec<u8>, Vec<u8>) {
    let (slice, rest) = whole(bytes);
    let (size, rest) = whole(rest);
    let (zeros, rest) = super::first(rest);
    let (recovery, zip) = super::first(rest);
    let slice = slice.max(4).next_multiple_of(4).max(4);
    let count = size.div_ceil(slice).min(40_000);
    let file = Described::new("a.zip", size, md5(zip), md5(zip));
    // Where zeros would take long to sum up, their checksum is not needed.
    let filling = vec![0; slice.min(1 << 16) as usize];
    let zero = Checksum { crc32: crc32fast::hash(&filling), md5: md5(&filling) };
    let other = |number: u64| Checksum { crc32: number as u32, md5: md5(&number.to_le_bytes()) };
    let checksums: Vec<Checksum> =
        (0..count).map(|n| if n < u64::from(zeros) { zero } else { other(n) }).collect();
    let main = Main { slice, files: 1, file: file.id }.written();
    let set = md5(&main);
    let mut packets = [
        packet(&set, &MAIN, &main),
        packet(&set, &FILE, &file.written()),
        packet(&set, &CHECKSUMS, &checksums_written(&file.id, &checksums)),
    ]
    .concat();
    if slice <= 1 << 16 {
        for exponent in 0..u32::from(recovery) {
            let body = [&exponent.to_le_bytes(), filling.as_slice()].concat();
            packets.extend(packet(&set, &RECOVERY, &body));
        }
    }
    (packets, zip.to_vec())
}

fn whole(bytes: &[u8]) -> (u64, &[u8]) {
    match bytes.split_first_chunk::<8>() {
        Some((eight, rest)) => (u64::from_le_bytes(*eight), rest),
        None => (bytes.len() as u64, &[]),
    }
}

/// The bundle with bytes changed, put in or cut out: for each change two bytes for the page, two for the place
/// in it, one for what is done, one for how much or what.
fn changed(bytes: &[u8]) -> Vec<u8> {
    let mut zip = kept().zip.clone();
    for change in bytes.chunks_exact(6).take(200) {
        let page = usize::from(u16::from_le_bytes([change[0], change[1]]));
        let place = usize::from(u16::from_le_bytes([change[2], change[3]]));
        let at = (page * SLICE + place) % (zip.len() + 1);
        let to = (at + usize::from(change[5])).min(zip.len());
        match change[4] % 4 {
            0 => zip[at..to].fill(0),
            1 => _ = zip.drain(at..to),
            2 => _ = zip.splice(at..at, std::iter::repeat_n(change[5], to - at)),
            _ => zip.truncate(at),
        }
    }
    zip
}

/// The recovery files, their packets, some forged sets, some damages.
pub fn seeds() -> Vec<Vec<u8>> {
    let mut seeds = Vec::new();
    for (_, bytes) in &kept().recovery {
        seeds.push([b"\0", bytes.as_slice()].concat());
    }
    let index = kept().recovery.last().map(|(_, bytes)| bytes.as_slice()).unwrap_or_default();
    let mut bodies = Vec::new();
    let mut rest = index;
    while let Some((head, behind)) = rest.split_at_checked(64) {
        let length = u64::from_le_bytes(head[8..16].try_into().expect("eight bytes")) as usize;
        let (body, behind) = behind.split_at(length - 64);
        let sort = [&MAIN, &FILE, &CHECKSUMS, &RECOVERY, &CREATOR];
        let sort = sort.iter().position(|sort| sort[..] == head[48..]).expect("a known sort");
        bodies.push(sort as u8);
        bodies.extend((body.len() as u16).to_le_bytes().iter().chain(body));
        rest = behind;
    }
    seeds.push([b"\x01", bodies.as_slice()].concat());
    seeds.push([b"\x02", bodies.as_slice()].concat());
    for (slice, size) in
        [(4_u64, 64_u64), (4096, 20_000), (1 << 40, 1 << 54), (4, u64::MAX), (1 << 63, u64::MAX)]
    {
        let head = [&b"\x03"[..], &slice.to_le_bytes(), &size.to_le_bytes(), &[3, 2]].concat();
        seeds.push([&head[..], &[0; 40], b"what is left of a file", &[0; 5000]].concat());
    }
    for damage in [[0, 0, 0, 0, 0, 9], [1, 0, 5, 0, 1, 7], [2, 0, 5, 0, 2, 9], [3, 0, 0, 0, 3, 0]] {
        seeds.push([b"\x04", &damage[..]].concat());
    }
    seeds
}
