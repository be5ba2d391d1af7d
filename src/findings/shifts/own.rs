//! The project's own shift, as it was made or is planned: what stays under blocks both times, and what is known of
//! openings and loads where it ends.

use super::aim::{AimFinder, kept, name};
use super::answer::{HiddenPiece, OwnShift};
use super::sentences;
use crate::calc::exposure::{self, Hidden, Piece};
use crate::findings::recomputed::Recomputed;
use crate::findings::recomputed::loads::loads_on;
use crate::findings::recomputed::shifts::{
    Before, Placed, Query, as_planned, lie, openings_at, standing,
};
use crate::hull::Lie;
use crate::records::Project;

/// The shift from the position before to the one after; `None` unless they are two, each placed and with blocks. Of
/// one that was made the blocks count where they were found; of one that is planned as the question says, without those
/// to leave out.
pub fn own_shift(finder: &AimFinder, recomputed: &Recomputed, query: &Query) -> Option<OwnShift> {
    let (project, study) = (finder.project, finder.study);
    let Before::Blocks(Some(before)) = study.before else { return None };
    let after = study.after.filter(|after| *after != before)?;
    let [(from, from_placed), (to, to_placed)] =
        [before, after].map(|number| lie(project, recomputed, Some(number)));
    if [from_placed, to_placed].contains(&Placed::Unknown) {
        return None;
    }
    let is_made = from_placed == Placed::Recorded && to_placed == Placed::Recorded;
    let left_out = if is_made { &[] } else { query.leave_out.as_slice() };
    let mut there = match is_made || query.as_found {
        true => standing(project, Some(after)),
        false => as_planned(project, Some(after)).0,
    };
    there.retain(|block| !left_out.contains(block));
    let blocks = [standing(project, Some(before)), there];
    if blocks.iter().any(Vec::is_empty) {
        return None;
    }

    let hidden = |blocks: &[usize], lie: &Lie, grown_m: f64| -> Hidden {
        let caps = blocks.iter().map(|n| (*n, project.blocks[*n].cap.grown(grown_m)));
        exposure::hidden(caps, lie, &recomputed.bottom)
    };
    let hidden_twice = |grown_m: f64| -> Vec<Piece> {
        let [before, there] = &blocks;
        let hidden = [hidden(before, &from, grown_m), hidden(there, &to, grown_m)];
        exposure::never_exposed(&exposure::classes(&recomputed.bottom, &hidden), &hidden)
    };
    let area_m2 = |pieces: &[Piece]| kept(pieces.iter().map(|piece| piece.area_m2).sum());
    let pieces = hidden_twice(0.0);
    let names = |blocks: &[usize]| blocks.iter().map(|block| finder.name(*block)).collect();
    let [_, there] = &blocks;
    let openings = openings_at(project, there, &to);
    let mut own = OwnShift {
        from: project.positions[before].id.clone(),
        to: project.positions[after].id.clone(),
        is_made,
        fore_and_aft_m: kept(to.srp_station_m - from.srp_station_m),
        athwart_m: kept(to.centreline_offset_m - from.centreline_offset_m),
        without: names(left_out),
        hidden_twice_m2: area_m2(&pieces),
        hidden_twice_grown_m2: (study.overlap_m > 0.0)
            .then(|| area_m2(&hidden_twice(study.overlap_m))),
        pieces: pieces_of(project, &pieces),
        openings: finder.openings(&openings),
        loads: finder.loads(&loads_on(project, after, &to, there)),
        said: Vec::new(),
    };
    own.said = sentences::own_shift(&own, study.overlap_m);
    Some(own)
}

/// Pieces that stay hidden, as data.
pub fn pieces_of(project: &Project, pieces: &[Piece]) -> Vec<HiddenPiece> {
    let names = |blocks: &Vec<usize>| blocks.iter().map(|block| name(project, *block)).collect();
    let one = |piece: &Piece| HiddenPiece {
        x_m: [kept(piece.extent[0]), kept(piece.extent[1])],
        y_m: [kept(piece.extent[2]), kept(piece.extent[3])],
        area_m2: kept(piece.area_m2),
        under: piece.hidden_by.iter().map(names).collect(),
    };
    pieces.iter().map(one).collect()
}
