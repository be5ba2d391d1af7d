//! Honest records raise no false alarm: three invented dockings, unlike the sample and each other, in hundreds of
//! variants. Where she lay, what she weighed, what the water and the weather did is one truth, worked out here from
//! the form of a hull with none of the program's own calculations, so that it is an outside check as well: what
//! she draws, where she touches and what the gaps come to must agree with it. Every reading is the truth plus a
//! deviation within what its instrument keeps (`yard::reads`), rounded to what a person writes. No finding may then say
//! that anything differs, or that a limit is passed which the truth keeps.
//!
//! `LASTDOCK_TRIALS=20` judges 20 variants of each ship instead of 200; with `LASTDOCK_TRIALS_KEEP=FOLDER` those that
//! fail are written into that folder, and `LASTDOCK_TRIALS_LIST=1` lists what was not recorded too.

mod afloat;
mod brackwell;
mod coating;
mod docking;
mod girder;
mod hull;
mod judge;
mod landing;
mod plan;
mod quillmere;
mod scatter;
mod sheet;
mod steel;
mod thornvane;
mod yard;

#[test]
fn quillmere_raises_no_false_alarm() {
    judge::judge("quillmere", quillmere::record, quillmere::beyond);
}

#[test]
fn brackwell_raises_no_false_alarm() {
    judge::judge("brackwell", brackwell::record, brackwell::beyond);
}

#[test]
fn thornvane_raises_no_false_alarm() {
    judge::judge("thornvane", thornvane::record, thornvane::beyond);
}
