//! `positions/divers.csv`: where divers found the keel over the blocks.

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::input::Input;
use super::problem::Problem;
use super::record::{record, words};
use super::spec::{Column, Kind, PLACE, Range};

words! {
    /// When in a landing divers looked.
    pub enum Occasion {
        BeforeTouchdown = "before-touchdown",
        FirstTouch = "first-touch",
        Landed = "landed",
    }
}

impl Occasion {
    /// The same in a sentence.
    pub fn in_words(self) -> &'static str {
        match self {
            Occasion::BeforeTouchdown => "before touchdown",
            Occasion::FirstTouch => "at first touch",
            Occasion::Landed => "when she was landed",
        }
    }
}

record! {
    /// What a diver measured at a block.
    #[derive(Debug, Clone)]
    pub struct DiversSighting: SPEC = "what a diver measured at a block" in "positions/divers.csv", at most 1_000 {
        position: String = always("position", Ref(Kind::Position), "the position"),
        occasion: Occasion = always("occasion", Word(Occasion::WORDS), "when in the landing"),
        stated_round: Option<i64> = optional(
            "round",
            Whole { least: 1 },
            "1, 2, ... where divers looked more than once on that occasion, as after she was moved; 1 if empty",
        ),
        block: String = always("block", Ref(Kind::Block), "the block"),
        stated_offset_m: Option<f64> = optional(
            "keel_offset",
            PLACE,
            "offset of the keel's centreline from the middle of the cap, + to port",
        ),
        port_edge_m: Option<f64> = optional(
            "port_edge",
            PLACE,
            "instead: from the port edge of the cap inward to the port edge of the keel, - where the keel \
             stands out over the cap",
        ),
        starboard_edge_m: Option<f64> = optional(
            "starboard_edge",
            PLACE,
            "the same at the starboard edges",
        ),
        frame: Option<f64> = optional(
            "frame",
            Number(Range::Any),
            "the frame whose mark on the keel was measured along the ship",
        ),
        stated_x_m: Option<f64> = optional("mark_x", PLACE, "instead of a frame: x of that mark"),
        ahead_m: Option<f64> = optional(
            "mark_ahead",
            PLACE,
            "how far that mark is forward of the after end of the cap, - where it is aft of it",
        ),
        by: Option<String> = optional("by", Called, "who measured"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
    }
}

impl DiversSighting {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let row = Self::from_entry(entry)?;
        let problem = row.problem(entry);
        problem.into_iter().for_each(|problem| input.problems.add(problem));
        Some(row)
    }

    /// Which round of its occasion it belongs to.
    pub fn round(&self) -> i64 {
        self.stated_round.unwrap_or(1)
    }

    /// Offset of the keel's centreline from the middle of the cap, m, + to port: as measured, or half of what the
    /// two edges differ by.
    pub fn keel_offset_m(&self) -> Option<f64> {
        let edges = self.port_edge_m.zip(self.starboard_edge_m);
        self.stated_offset_m.or(edges.map(|(port_m, starboard_m)| (starboard_m - port_m) / 2.0))
    }

    /// What is too little or too much in the row.
    fn problem(&self, entry: &Entry) -> Option<Problem> {
        let at = |column: &Column, wrong: &str| Problem::new(entry.place_of(column), wrong);
        let (port, starboard) = (self.port_edge_m, self.starboard_edge_m);
        if port.is_some() != starboard.is_some() {
            let there = if port.is_some() { &Self::port_edge_m } else { &Self::starboard_edge_m };
            return Some(
                at(
                    there,
                    "is the edge of one side only, which doesn't say where the keel's middle is",
                )
                .expected("port_edge and starboard_edge, or keel_offset")
                .advice(
                    "fill in what was measured on the other side too, or move the figure to a note",
                ),
            );
        }
        if self.stated_offset_m.is_some() && port.is_some() {
            return Some(
                at(
                    &Self::stated_offset_m,
                    "stands beside the edges, from which the offset follows too",
                )
                .expected("keel_offset, or port_edge and starboard_edge")
                .advice("keep what the diver measured, and move the other to a note"),
            );
        }
        if self.frame.is_some() && self.stated_x_m.is_some() {
            return Some(
                at(&Self::stated_x_m, "stands beside a frame, which says where the mark is too")
                    .expected("frame or mark_x")
                    .advice("keep the one that the diver reported, and move the other to a note"),
            );
        }
        let has_mark = self.frame.is_some() || self.stated_x_m.is_some();
        if self.ahead_m.is_some() != has_mark {
            let (there, wrong) = match (self.ahead_m.is_some(), self.frame.is_some()) {
                (true, _) => (&Self::ahead_m, "is of a mark that is not named"),
                (false, true) => {
                    (&Self::frame, "is a mark whose distance from the cap is not given")
                }
                (false, false) => {
                    (&Self::stated_x_m, "is a mark whose distance from the cap is not given")
                }
            };
            return Some(
                at(there, wrong)
                    .expected("mark_ahead together with frame or mark_x")
                    .advice("fill in the other one, or move the figure to a note"),
            );
        }
        (self.keel_offset_m().is_none() && self.ahead_m.is_none()).then(|| {
            Problem::new(entry.place.clone(), "gives nothing that was measured")
                .value(self.block.clone())
                .expected("keel_offset, or port_edge and starboard_edge, or a mark with mark_ahead")
                .advice("fill in what the diver measured, or remove the row")
        })
    }
}
