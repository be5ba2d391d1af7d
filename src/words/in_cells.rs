//! The words that a cell of a file of records may hold, where its column takes one of a few: lower case, as they are
//! written there.
//!
//! Grades are named after ISO 8501-1, -2 and -4 and the SSPC, NACE and AMPP standards, in our own wording and from memory; the others are common practice, no
//! source.

use super::word::{Word, word};

/// Them, those of one column side by side.
pub(super) const WORDS: &[Word] = &[
    word("keel", &[], "a row of blocks on the dock's centreline, under the keel"),
    word("bilge-port", &[], "the row of bilge blocks to port"),
    word("bilge-starboard", &[], "the row of bilge blocks to starboard"),
    word(
        "bottom",
        &[],
        "of an outline, all of the bottom that lies flat enough to stand on blocks; of a zone, one that lies \
         on the bottom and so can be hidden by blocks",
    ),
    word(
        "flat-keel",
        &[],
        "the outline of the flat plate along the middle of the bottom, on which keel blocks bear",
    ),
    word(
        "side",
        &[],
        "of a zone, one that lies on the ship's side, above the turn of the bilge, where no block stands",
    ),
    word(
        "sea-chest",
        &[],
        "an opening into a sea chest, a box behind a grating through which sea water is taken in",
    ),
    word("overboard", &[], "an opening through which water is discharged"),
    word("intake", &[], "an opening through which sea water is taken in without a sea chest"),
    word(
        "docking-plug",
        &[],
        "a plug in the bottom through which a tank or space is drained in dock",
    ),
    word(
        "echo-sounder",
        &[],
        "the opening of an echo sounder's transducer, which measures the depth of the water",
    ),
    word(
        "speed-log",
        &[],
        "the opening of the log, the instrument that measures her speed through the water",
    ),
    word("shaft", &[], "where a propeller shaft leaves the hull"),
    word("rudder", &[], "where a rudder stock enters the hull"),
    word(
        "thruster",
        &[],
        "the opening of a thruster, a propeller in a tunnel or pod that pushes her sideways",
    ),
    word("port", &[], "to the left for someone on board who faces the bow"),
    word("starboard", &[], "to the right for someone on board who faces the bow"),
    word("centre", &[], "on the centreline"),
    word("above", &[], "of where a picture was taken, higher than what it shows"),
    word(
        "below",
        &[],
        "of where a picture was taken, lower than what it shows, as under the bottom",
    ),
    word("inside", &[], "of where a picture was taken, within her, as in a tank or a sea chest"),
    word("aft", &[], "toward the stern; frames numbered from aft begin there"),
    word("forward", &[], "toward the bow; frames numbered from forward begin there"),
    word("arrival", &[], "drafts read afloat, before she came into the dock"),
    word("before-landing", &[], "drafts read in the dock, the last before she touched"),
    word(
        "lift-off",
        &[],
        "the moment at which she leaves the blocks as the water rises; drafts read then, or an event of the \
         water log",
    ),
    word("departure", &[], "drafts read afloat, after she left the dock"),
    word("flooding-began", &[], "the dock was opened to the water, or filled, for her to come in"),
    word("pumping-began", &[], "pumping out began"),
    word("first-touch", &[], "the keel touched the first block"),
    word(
        "before-touchdown",
        &[],
        "she is still afloat over the blocks, and divers look where her keel will come down",
    ),
    word(
        "halt",
        &[],
        "pumping or filling was stopped on purpose for a while, for the divers for example",
    ),
    word("pumping-resumed", &[], "pumping out went on after a halt"),
    word("diver-down", &[], "a diver went into the water"),
    word("diver-up", &[], "the diver was out of the water again"),
    word("dry", &[], "the floor was free of water and work could begin"),
    word("reflood-began", &[], "water was let in again to float her"),
    word("afloat", &[], "she floated free of every block"),
    word(
        "diver-contact",
        &["divers' block check"],
        "divers looked at a block, with water still in the dock, and said whether the hull bears on it",
    ),
    word(
        "centreline",
        &[],
        "a check of how far the ship's centreline lies from that of the blocks",
    ),
    word("wedge", &[], "a check that the wedges of a block are tight, so that it can't move"),
    word("declivity", &[], "a check of the slope of the line of the blocks along the dock"),
    word(
        "end-gap",
        &[],
        "a check of the gap between hull and block at the end that carries no load, where a light bow or \
         stern stands clear",
    ),
    word(
        "second-survey",
        &[],
        "a survey of the gaps made again later, mostly when the dock is dry",
    ),
    word(
        "blocks-accepted",
        &[],
        "a hold point: who signed says that the blocks stand as planned, before the dock is flooded for her",
    ),
    word("gate-seated", &[], "a hold point: the caisson or the gates are in their seat behind her"),
    word("lined-up", &[], "a hold point: she lies on her marks over the blocks"),
    word(
        "touch-accepted",
        &[],
        "a hold point: first touch came where it was to come, and pumping may go on",
    ),
    word(
        "divers-inspected",
        &[],
        "a hold point: divers looked at the blocks and the bottom between two frames",
    ),
    word(
        "landing-accepted",
        &[],
        "a hold point: she sits on her blocks fore and aft as she is to sit",
    ),
    word(
        "dry-accepted",
        &[],
        "a hold point: the dock is dry, and blocks and shores were gone round",
    ),
    word(
        "flooding-allowed",
        &[],
        "a hold point: openings are closed, plugs are in and people are out, and the water may be let in again",
    ),
    word("afloat-accepted", &[], "a hold point: she floats, and no leak was found"),
    word("blast", &[], "blasting with grit down to the grade named: it takes the old paint off"),
    word(
        "sweep",
        &[],
        "sweep blasting: a light pass that cleans and roughens a coat and leaves it on",
    ),
    word("abrade", &[], "roughening a coat by hand or with tools, so that the next one holds"),
    word("wash", &[], "washing, with fresh water if nothing else is said, of salts, dirt and dust"),
    word("sa1", &[], "ISO 8501-1: light blast-cleaning, the least of the four grades"),
    word("sa2", &[], "ISO 8501-1: thorough blast-cleaning, between Sa 1 and Sa 2.5"),
    word(
        "sa2.5",
        &[],
        "ISO 8501-1: very thorough blast-cleaning (Sa 2 1/2): what is left are faint stains",
    ),
    word(
        "sa3",
        &[],
        "ISO 8501-1: blast-cleaning to clean steel of one metallic colour, the highest of the four grades",
    ),
    word("st2", &[], "ISO 8501-1: thorough cleaning with hand and power tools"),
    word(
        "st3",
        &[],
        "ISO 8501-1: very thorough cleaning with hand and power tools, the higher of the two grades",
    ),
    word(
        "wa1",
        &[],
        "ISO 8501-4: light high-pressure water jetting, the least of the three grades",
    ),
    word("wa2", &[], "ISO 8501-4: thorough high-pressure water jetting"),
    word(
        "wa2.5",
        &[],
        "ISO 8501-4: very thorough high-pressure water jetting (Wa 2 1/2), the highest of the three grades",
    ),
    word("psa2", &[], "ISO 8501-2: thorough blast-cleaning in places, sound paint around them staying on"),
    word("psa2.5", &[], "ISO 8501-2: very thorough blast-cleaning in places (P Sa 2 1/2)"),
    word("psa3", &[], "ISO 8501-2: blast-cleaning in places to clean steel"),
    word("pst2", &[], "ISO 8501-2: thorough cleaning in places with hand and power tools"),
    word("pst3", &[], "ISO 8501-2: very thorough cleaning in places with hand and power tools"),
    word("pma", &[], "ISO 8501-2: abrading in places with machines"),
    word("sp1", &[], "SSPC-SP 1: cleaning with solvents of oil, grease and dirt"),
    word("sp2", &[], "SSPC-SP 2: cleaning with hand tools"),
    word("sp3", &[], "SSPC-SP 3: cleaning with power tools"),
    word("sp5", &[], "SSPC-SP 5, NACE No. 1: blast-cleaning to white metal, the highest of the five grades by blasting"),
    word("sp6", &[], "SSPC-SP 6, NACE No. 3: commercial blast-cleaning"),
    word("sp7", &[], "SSPC-SP 7, NACE No. 4: brush-off blast-cleaning, the least of the five grades by blasting"),
    word("sp10", &[], "SSPC-SP 10, NACE No. 2: blast-cleaning to near-white metal"),
    word("sp11", &[], "SSPC-SP 11: cleaning with power tools to bare metal"),
    word("sp14", &[], "SSPC-SP 14, NACE No. 8: industrial blast-cleaning, between SP 7 and SP 6"),
    word("sp15", &[], "SSPC-SP 15: commercial cleaning with power tools, between SP 3 and SP 11"),
    word("sp16", &[], "SSPC-SP 16: brush-off blast-cleaning of galvanized, stainless and other metal that is not plain steel"),
    word("sp18", &[], "SSPC-SP 18: thorough spot and sweep blast-cleaning"),
    word("wj-1", &[], "SSPC-SP WJ-1, NACE WJ-1: water jetting to clean bare steel, the highest of the four grades"),
    word("wj-2", &[], "SSPC-SP WJ-2, NACE WJ-2: very thorough water jetting"),
    word("wj-3", &[], "SSPC-SP WJ-3, NACE WJ-3: thorough water jetting"),
    word("wj-4", &[], "SSPC-SP WJ-4, NACE WJ-4: light water jetting, the least of the four grades"),
    word("all", &[], "of a job on a zone: the whole zone"),
    word(
        "iso-19840",
        &[],
        "acceptance of film readings by ISO 19840: on readings less the correction for profile",
    ),
    word(
        "sspc-pa-2",
        &[],
        "acceptance of film readings by SSPC-PA 2: spots and areas, by restriction level",
    ),
    word(
        "90-10",
        &[],
        "the 90/10 rule, as in IMO Res. MSC.215(82): nine readings in ten reach the nominal thickness, and \
         none is under nine tenths of it",
    ),
    word(
        "si",
        &[],
        "of figures, shown in the units of the International System (SI) and those used with it",
    ),
    word(
        "us",
        &[],
        "of figures, shown in feet, inches, long tons, mils, psi and degrees F; of areas, 100, 300 and 1000 square \
         feet, for how much of a zone is to be measured by SSPC-PA 2",
    ),
    word(
        "metric",
        &[],
        "areas of 10, 30 and 100 square metres, for how much of a zone is to be measured by SSPC-PA 2",
    ),
    word("m/d/y", &[], "dates with the month first: 4/9/2031 is 9 April 2031"),
    word("d/m/y", &[], "dates with the day first: 9/4/2031 is 9 April 2031"),
    word("a4", &[], "paper of 210 mm by 297 mm"),
    word("us-letter", &[], "paper of 8 1/2 by 11 inches"),
    word("photograph", &[], "a picture taken with a camera"),
    word("drawing", &[], "a plan or sketch"),
    word("letter", &[], "a letter, note or e-mail from one person to another"),
    word(
        "certificate",
        &[],
        "a document by which somebody certifies something: a survey, a gauge, a test",
    ),
    word("log", &[], "a list that was kept as things happened"),
    word(
        "whole",
        &[],
        "an earlier docking's bundle was proved whole when its records were taken from it",
    ),
    word(
        "damaged",
        &[],
        "an earlier docking's bundle was damaged when its records were taken from it: trust them only once \
         checked",
    ),
    word("other", &[], "none of the words of this column fits; say in a note what it is"),
    word("yes", &[], "it is so"),
    word("no", &[], "it is not so; an empty cell says nothing at all"),
    word(
        "none",
        &[],
        "where a column allows it: nothing, and it is meant; of a time or thickness, that it has no bound",
    ),
];
