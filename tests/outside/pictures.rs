//! The pictures of README.md are those of the report as it is now: the script that cuts them out of it is run again,
//! and what comes out is held against what stands in the repository.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use image::GrayImage;

use crate::common::{closed, expected, temporary};
use crate::judge::{content, judge};

/// Bytes that a picture may have, and all of them: whoever looks at the README fetches them.
const MOST_OF_ONE: u64 = 150_000;
const MOST_OF_ALL: u64 = 600_000;

/// Pixels of the side of the squares whose shades are compared: versions of the renderer differ at the edges of letters,
/// hardly in how dark a square is.
const SQUARE: u32 = 8;

/// Shades of 255 from which a square is another, and the share of such squares from which a picture is.
const OTHER_SHADE: f64 = 24.0;
const OTHER_PICTURE: f64 = 0.002;

/// Of the seal sheet the digits and the QR code hang on every byte of the bundle: they are this much of it, and a line
/// more or less above them moves far more.
const OTHER_SEAL: f64 = 0.03;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/pictures")
}

/// The names of the pictures in a folder.
fn names(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).expect("a folder of pictures");
    entries
        .map(|entry| entry.expect("an entry").file_name().into_string().expect("a name in UTF-8"))
        .filter(|name| name.ends_with(".png"))
        .collect()
}

fn picture(path: &Path) -> GrayImage {
    image::open(path).unwrap_or_else(|error| panic!("{path:?}: {error}")).into_luma8()
}

/// The share of squares that are darker or lighter in one picture than in the other; of pictures of different sizes,
/// all of them.
fn share_of_others(one: &GrayImage, other: &GrayImage) -> f64 {
    let (wide, high) = one.dimensions();
    if wide.abs_diff(other.width()) > 2 || high.abs_diff(other.height()) > 2 {
        return 1.0;
    }
    let (across, down) = (wide.min(other.width()) / SQUARE, high.min(other.height()) / SQUARE);
    let shade = |picture: &GrayImage, x: u32, y: u32| {
        let pixels = (0..SQUARE).flat_map(|dy| (0..SQUARE).map(move |dx| (dx, dy)));
        let sum: f64 = pixels
            .map(|(dx, dy)| f64::from(picture.get_pixel(x * SQUARE + dx, y * SQUARE + dy).0[0]))
            .sum();
        sum / f64::from(SQUARE * SQUARE)
    };
    let squares = (0..down).flat_map(|y| (0..across).map(move |x| (x, y)));
    let others = squares
        .filter(|(x, y)| (shade(one, *x, *y) - shade(other, *x, *y)).abs() > OTHER_SHADE)
        .count();
    others as f64 / f64::from(across * down)
}

#[test]
#[ignore = "needs the PyPI package pymupdf, see tests/outside/README.md"]
fn the_pictures_of_the_readme_are_those_of_the_report() {
    let anew = temporary();
    let script = folder().join("make.py");
    content(judge("python").arg(&script).arg(&closed().report).arg(anew.path()));
    assert_eq!(names(&folder()), names(anew.path()), "the pictures that make.py makes");
    let mut all = 0;
    for name in names(anew.path()) {
        let bytes = fs::metadata(folder().join(&name)).expect("a picture").len();
        assert!(bytes <= MOST_OF_ONE, "{name} has {bytes} bytes");
        all += bytes;
        let share =
            share_of_others(&picture(&folder().join(&name)), &picture(&anew.path().join(&name)));
        let most = if name == "seal-sheet.png" { OTHER_SEAL } else { OTHER_PICTURE };
        assert!(
            share <= most,
            "{name} is not what the report shows now: {:.2} % of it is darker or lighter. Have the pictures made \
             anew, and look at them:\n  \
             cargo run --release -- closeout sample-project\n  \
             target/judges/bin/python templates/pictures/make.py sample-project-closeout/*-report.pdf",
            share * 100.0
        );
    }
    assert!(all <= MOST_OF_ALL, "the pictures have {all} bytes together");
}

#[test]
fn each_picture_of_the_readme_is_there_and_each_that_is_there_is_shown() {
    let readme = expected::read("README.md");
    let shown: BTreeSet<String> = readme
        .match_indices("templates/pictures/")
        .filter_map(|(at, before)| {
            let rest = &readme[at + before.len()..];
            let end = rest.find(".png")? + ".png".len();
            Some(rest[..end].to_string())
        })
        .collect();
    // Those of the page are made by another script, and stand in a folder of their own.
    let page = names(&folder().join("page")).into_iter().map(|name| format!("page/{name}"));
    let there: BTreeSet<String> = names(&folder()).into_iter().chain(page).collect();
    assert_eq!(shown, there);
}

#[test]
fn a_changed_label_makes_another_picture_and_a_softer_edge_does_not() {
    let mut before = GrayImage::from_pixel(800, 600, image::Luma([255]));
    for x in 100..700 {
        (300..303).for_each(|y| before.put_pixel(x, y, image::Luma([0])));
    }
    let softer = GrayImage::from_fn(800, 600, |x, y| {
        let [shade] = before.get_pixel(x, y).0;
        image::Luma([if shade == 0 { 40 } else { shade }])
    });
    assert!(share_of_others(&before, &softer) <= OTHER_PICTURE);
    let mut labelled = before.clone();
    // A word of six letters, 12 pixels high.
    for (x, y) in (200..260).flat_map(|x| (400..412).map(move |y| (x, y))) {
        labelled.put_pixel(x, y, image::Luma([if x % 2 == 0 { 0 } else { 255 }]));
    }
    assert!(share_of_others(&before, &labelled) > OTHER_PICTURE);
    assert!(share_of_others(&before, &GrayImage::new(800, 700)) == 1.0);
}
