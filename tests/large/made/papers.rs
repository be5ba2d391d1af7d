//! Papers that begin as sound does: every line in one says whose it is, so that no two are alike. Of sound the
//! beginning tells the kind, as of pictures and films, and nobody reads the rest to know it.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;

use super::{Size, csv};

fn name(number: usize) -> String {
    format!("log-{number:06}.wav")
}

/// The list of the papers, if there are any.
pub fn list(size: &Size) -> Option<super::File> {
    let rows = (0..size.papers).map(|n| format!("{},log,what was said on day {n},no", name(n)));
    (size.papers > 0).then(|| ("papers/papers.csv", csv("file,kind,caption,in_report", rows)))
}

/// Writes the papers beside the list.
pub fn write(root: &Path, size: &Size) {
    for number in 0..size.papers {
        let line = format!("{} {}\n", name(number), "all quiet on the dock floor ".repeat(200));
        let block = line.repeat(1 + (1 << 20) / line.len());
        let file = File::create(root.join("papers").join(name(number))).expect("a paper");
        let mut file = BufWriter::new(file);
        let head = b"RIFF\0\0\0\0WAVE";
        let mut left = size.paper_bytes.checked_sub(head.len() as u64).expect("room for the head");
        file.write_all(head).expect("to write a paper");
        while left > 0 {
            let part = &block[..usize::try_from(left).unwrap_or(usize::MAX).min(block.len())];
            file.write_all(part.as_bytes()).expect("to write a paper");
            left -= part.len() as u64;
        }
        file.into_inner().expect("to write a paper");
    }
}
