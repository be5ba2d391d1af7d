//! How far she may be shifted athwart and still stand with her keel on its blocks.

use crate::calc::shifts::{Band, Footing, Study, Way};
use crate::records::Project;
use crate::records::blocks::BlockRow;

/// The lengths slid athwart at which the centreline stays over every cap of the keel row that it is over
/// when nothing is slid, skew left aside (our choice: beyond, she would not stand on her keel). `None` if it
/// is over none.
fn kept_under(project: &Project, caps: &[Footing]) -> Option<Band> {
    let of_keel = |footing: &&Footing| {
        project.blocks.get(footing.block).is_some_and(|block| block.row == BlockRow::Keel)
    };
    let spans = caps.iter().filter(of_keel).map(|footing| {
        let (middle, half) = (footing.cap.centre.y, footing.cap.width_m / 2.0);
        Band { from_m: -middle - half, to_m: half - middle }
    });
    let under = spans.filter(|span| span.from_m <= 0.0 && span.to_m >= 0.0);
    under.reduce(|a, b| Band { from_m: a.from_m.max(b.from_m), to_m: a.to_m.min(b.to_m) })
}

/// A study as far as the keel stays on its blocks, and the bands that lie beyond.
pub fn on_keel(project: &Project, caps: &[Footing], study: &Study) -> (Study, Vec<Band>) {
    let under = match study.way {
        Way::ForeAndAft => None,
        Way::Athwart => kept_under(project, caps),
    };
    let Some(under) = under else { return (study.clone(), Vec::new()) };
    let cut = |band: &Band, from_m: f64, to_m: f64| {
        let band = Band { from_m: band.from_m.max(from_m), to_m: band.to_m.min(to_m) };
        (band.width_m() > crate::calc::shifts::NO_WIDTH_M).then_some(band)
    };
    let cut_all = |from_m: f64, to_m: f64| {
        study.bands.iter().filter_map(|band| cut(band, from_m, to_m)).collect::<Vec<_>>()
    };
    let mut beyond = cut_all(f64::NEG_INFINITY, under.from_m);
    beyond.extend(cut_all(under.to_m, f64::INFINITY));
    let within = |slid: f64| under.from_m <= slid && slid <= under.to_m;
    let mut leaving_out = study.leaving_out.clone();
    leaving_out.retain(|out| within(out.band.from_m) && within(out.band.to_m));
    let bands = cut_all(under.from_m, under.to_m);
    (Study { bands, leaving_out, ..study.clone() }, beyond)
}

/// Whether the keel stays on its blocks, slid by a length in m.
pub fn stays_on(project: &Project, caps: &[Footing], way: Way, slid_m: f64) -> bool {
    way == Way::ForeAndAft
        || kept_under(project, caps)
            .is_none_or(|under| under.from_m <= slid_m && slid_m <= under.to_m)
}
