//! The words of the trade, of archives and of this program, with their meanings: the one home of the lists that
//! the report, the format's text and the command line show.
//!
//! The meanings are our own wording. Those of archives follow RFC 8493 (BagIt), those of coatings ISO 19840, the
//! others are common practice, no source.

pub mod cautions;
mod in_cells;
mod word;

pub use word::Word;
use word::word;

/// Words of one origin.
#[derive(Debug, Clone, Copy)]
pub struct Group {
    /// Whose words they are, as a heading.
    pub title: &'static str,
    /// The words, those that belong together side by side.
    pub words: &'static [Word],
}

/// The title of the words that a cell of a file may hold.
pub const IN_CELLS: &str = "In the files of records, where a column takes one of a few words";

/// Every word, by group.
pub const GROUPS: &[Group] = &[
    Group { title: "Of the trade", words: TRADE },
    Group { title: "Of archives", words: ARCHIVES },
    Group { title: "Of this record", words: RECORD },
    Group { title: IN_CELLS, words: in_cells::WORDS },
];

/// The words that a text asks for: those of that name, or else those whose names hold it. Capitals
/// and hyphens do not count.
pub fn find(text: &str) -> Vec<&'static Word> {
    let plain = |text: &str| text.trim().to_lowercase().replace('-', " ");
    let text = plain(text);
    let every = || GROUPS.iter().flat_map(|group| group.words);
    let that = |fits: &dyn Fn(&str) -> bool| -> Vec<&'static Word> {
        every().filter(|word| word.names().any(|name| fits(&plain(name)))).collect()
    };
    let exactly = that(&|name| name == text);
    if exactly.is_empty() && !text.is_empty() {
        that(&|name| name.contains(&text))
    } else {
        exactly
    }
}

/// What a word means that a column takes.
pub fn in_cell(word: &str) -> Option<&'static str> {
    in_cells::WORDS.iter().find(|known| known.word == word).map(|known| known.means)
}

const TRADE: &[Word] = &[
    word(
        "Graving dock",
        &[],
        "a dock dug into the shore, closed by a gate or caisson and pumped dry",
    ),
    word("Caisson", &[], "a floating gate that is sunk into its seat to close a dock"),
    word(
        "Sill",
        &[],
        "the raised step at a dock's entrance; the depth of water over it is the least through which a ship passes \
         on her way in",
    ),
    word("Keel block", &[], "a block on the dock's centreline on which the keel stands"),
    word(
        "Bilge block",
        &[],
        "a block to one side, under the turn of the bilge, where bottom and side meet in a curve",
    ),
    word("Cap", &[], "the uppermost layer of a block, on which the hull bears"),
    word("Cribbing", &[], "crossed timbers built up to carry weight"),
    word(
        "Docking position",
        &["position"],
        "where a ship lies on the blocks, as the place of her stern reference point in the dock",
    ),
    word(
        "Shift",
        &["fleeting"],
        "the move from one docking position to the next: she is floated and set down anew",
    ),
    word(
        "Stern reference point",
        &["SRP"],
        "the aftermost point of the hull, as the docking plan defines it; the origin of hull axes",
    ),
    word("Knuckle", &[], "the end of the keel that lands first; often the heel, at the stern"),
    word(
        "Knuckle block",
        &[],
        "the block under the knuckle, which alone carries the upthrust until she is landed",
    ),
    word(
        "Upthrust",
        &["P"],
        "the force with which blocks press up on a ship that is still partly afloat, given as the mass whose weight \
         it is; while it grows she loses stability as if her centre of gravity rose",
    ),
    word(
        "Draft at instability",
        &[],
        "the draft at which the upthrust would have taken all of her GM; she must be landed fore and aft while she \
         still draws more",
    ),
    word(
        "Critical instant",
        &[],
        "the moment before a ship takes the blocks along her whole length, when she is least stable",
    ),
    word("Landed", &[], "resting on the blocks fore and aft"),
    word(
        "Sea chest",
        &[],
        "a box in the hull behind a grating, through which sea water is taken in",
    ),
    word(
        "Docking plug",
        &[],
        "a plug in the bottom through which a tank or space is drained in dock",
    ),
    word("Trim", &[], "the difference between the drafts aft and forward"),
    word("List", &[], "a lean to one side that stays"),
    word("Hog", &["hogging"], "a bend of the hull, its ends down"),
    word("Sag", &["sagging"], "a bend of the hull, its ends up"),
    word(
        "Displacement",
        &[],
        "the mass of water that a floating ship takes the place of, which is her own mass",
    ),
    word("MCT 1 cm", &["MCT"], "the moment that changes the trim by one centimetre"),
    word("TPC", &[], "the tonnes that sink a ship by one centimetre"),
    word("LCF", &[], "the longitudinal centre of flotation, about which a ship trims"),
    word("KM", &[], "the height of the metacentre above the keel"),
    word("KG", &[], "the height of the centre of gravity above the keel"),
    word(
        "GM",
        &[],
        "KM less KG: while it is more than nil, a ship that is heeled a little comes upright again",
    ),
    word("Dew point", &[], "the temperature at which moisture settles from the air"),
    word(
        "Recoat window",
        &[],
        "the time after a coat within which the next one may go on, from the least overcoating interval to the \
         greatest",
    ),
    word(
        "Overcoating interval",
        &["recoat interval"],
        "the time from one coat to the next on the same steel; the maker of the paint gives the least and the \
         greatest by the temperature of the steel and by the paint that follows",
    ),
    word(
        "Tie-in",
        &[],
        "where new paint on a patch meets and overlaps the surrounding coating, the older paint round the patch",
    ),
    word(
        "Surface preparation",
        &[],
        "what is done to steel before it is painted, such as blasting and washing; a scheme states the grade and \
         profile that are required",
    ),
    word("Dry film thickness", &["DFT"], "how thick a coat is when it is dry"),
    word(
        "Nominal dry film thickness",
        &["NDFT"],
        "the dry film thickness that the specification asks for",
    ),
    word("Scheme", &[], "the coats that a zone is to get, from the steel up"),
    word(
        "Surface profile",
        &["profile"],
        "the roughness that blasting leaves on steel, for paint to hold on to",
    ),
    word(
        "Feathering",
        &[],
        "thinning a coat out over the edge of its neighbour, so that no step is left",
    ),
    word("Strake", &[], "a row of hull plates from end to end of the ship"),
];

const ARCHIVES: &[Word] = &[
    word("Bag", &[], "a folder laid out as BagIt says, with its files and their checksums"),
    word("Payload", &[], "the files that a bag is there to keep, in its folder data"),
    word("Manifest", &[], "the list of a bag's files with their checksums"),
    word("Fixity", &[], "that a file is, bit for bit, what it was"),
];

const RECORD: &[Word] = &[
    word("Project", &[], "the folder that people filled in while the ship was in dock"),
    word(
        "Record",
        &[],
        "one thing that was written down, a row of a CSV file or a table of a TOML file, with the file and line \
         where it stands",
    ),
    word("File of records", &[], "one of the files that the format's text describes"),
    word(
        "Footprint",
        &[],
        "the part of the hull that one block covers in one position, in hull axes",
    ),
    word("Hidden", &[], "under a footprint in a given position"),
    word("Exposed", &[], "under no footprint in a given position"),
    word("Never exposed", &[], "hidden in every position"),
    word("Patches", &[], "steel that an earlier position hid and whose scheme is not yet complete"),
    word(
        "Chain of coats",
        &[],
        "the coats that a piece of steel really received, in order of time",
    ),
    word("Finding", &[], "one comparison of the record with what was recomputed from it"),
    word("Remark", &[], "a person's written answer to a finding as it was when it was answered"),
    word("Bundle", &[], "the zip that is kept, or the folder it was unpacked to"),
    word(
        "Seal",
        &[],
        "the digest that stands for a whole bundle: SHA-256 of its file tagmanifest-sha256.txt. The report, \
         which is within it, can't state it",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<&'static str> {
        find(text).iter().map(|word| word.word).collect()
    }

    #[test]
    fn a_word_is_found_by_any_of_its_names_and_else_by_a_part() {
        assert_eq!(found("Cap"), ["Cap"]);
        assert_eq!(found(" fleeting "), ["Shift"]);
        assert_eq!(found("srp"), ["Stern reference point"]);
        assert_eq!(found("dft"), ["Dry film thickness"]);
        assert_eq!(
            found("block"),
            ["Keel block", "Bilge block", "Knuckle block", "diver-contact", "blocks-accepted"]
        );
        assert_eq!(found("sea chest"), ["Sea chest", "sea-chest"]);
        assert_eq!(found("exposed"), ["Exposed"]);
        assert_eq!(found("paravane"), Vec::<&str>::new());
        assert_eq!(found(""), Vec::<&str>::new());
    }

    #[test]
    fn every_name_stands_for_one_thing_and_every_text_is_ascii() {
        let words = || GROUPS.iter().flat_map(|group| group.words);
        let mut names: Vec<String> = words().flat_map(Word::names).map(str::to_lowercase).collect();
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count);
        for word in words() {
            let text = format!("{}{}", word.heading(), word.means);
            assert!(text.is_ascii() && !word.means.ends_with('.'), "{text}");
        }
    }
}
