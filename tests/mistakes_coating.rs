//! Mistakes in the records of coating, plating and anodes: each alone gives one problem with file, line,
//! column, value, what was expected and what to do; all of them in one project are all said in one run.

mod common;

use common::{Project, program, run};
use serde_json::Value;

const ZONES: &str = "coating/zones.csv";
const AREAS: &str = "coating/areas.csv";
const PRODUCTS: &str = "coating/products.toml";
const SCHEME: &str = "coating/scheme.csv";
const PREPARATION: &str = "coating/preparation.csv";
const COATS: &str = "coating/coats.csv";
const CLIMATE: &str = "coating/climate.csv";
const FILM: &str = "coating/film.csv";
const GAUGES: &str = "coating/gauges.csv";
const PLATING: &str = "hull/plating.csv";
const ANODES: &str = "hull/anodes.csv";
const DOCKING: &str = "docking.toml";

/// A text that stands once in a file, and the one that replaces it and stands once then.
struct Mistake {
    file: &'static str,
    old: &'static str,
    new: &'static str,
    /// Lines from the beginning of `new` to the problem.
    down: isize,
    /// Column of the problem: of a CSV its number, of TOML the character's; `None` for a whole row.
    column: Option<u64>,
    /// The value as it is quoted; empty where the whole row is wrong.
    value: &'static str,
    wrong: &'static str,
    advice: &'static str,
}

/// A mistake on the line where it is made.
const fn on_its_line(
    file: &'static str,
    [old, new]: [&'static str; 2],
    column: Option<u64>,
    value: &'static str,
    [wrong, advice]: [&'static str; 2],
) -> Mistake {
    Mistake { file, old, new, down: 0, column, value, wrong, advice }
}

const MISTAKES: &[Mistake] = &[
    on_its_line(
        COATS,
        ["BS,exposed,2,EP2,EP2-1008", "BS,exposde,2,EP2,EP2-1008"],
        Some(2),
        "exposde",
        ["is neither an extent nor an area that was drawn", "write exposed, or draw the area"],
    ),
    on_its_line(
        COATS,
        ["BP,RING1,4,AF4", "BP,RING2,4,AF4"],
        Some(2),
        "RING2",
        ["is neither an extent nor an area that was drawn", "draw the area, or correct the name"],
    ),
    on_its_line(
        COATS,
        ["BS,exposed,3,TC3", "BS,exposed,0,TC3"],
        Some(3),
        "0",
        ["is too small", "correct the number"],
    ),
    on_its_line(
        AREAS,
        ["RING1,3,40.40,4.30", "RING1,3,40.40,"],
        Some(4),
        "",
        ["is empty", "fill it in"],
    ),
    on_its_line(
        ZONES,
        ["BS,bottom,5,24.00,-2.68", "BS,bottom,5,24.00,"],
        None,
        "BS",
        ["is half a vertex", "fill in what is missing"],
    ),
    on_its_line(
        ZONES,
        ["KL,bottom,3,10.00", "KL,side,3,10.00"],
        Some(2),
        "side",
        ["differs from an earlier row of the zone", "write it in one row of the zone only"],
    ),
    Mistake {
        file: ZONES,
        old: "SS,side,,,,431.0,1.00",
        new: "SS,side,1,0,7,431.0,1.00\nSS,,2,9,7,,\nSS,,3,9,9,,",
        down: 0,
        column: None,
        value: "SS",
        wrong: "is a side and has an outline in plan",
        advice: "take the vertices out, or call it a bottom zone",
    },
    Mistake {
        file: AREAS,
        old: "RING1,4,38.40,4.30",
        new: "RING1,4,38.40,4.30\nall,1,40,1\nall,2,41,1\nall,3,41,2",
        down: 1,
        column: Some(1),
        value: "all",
        wrong: "is a word that logs use for an extent",
        advice: "rename the area, here and in the logs",
    },
    on_its_line(
        CLIMATE,
        ["2031-04-07T18:40:00,,11.0,62", "2031-04-07T18:40:00,,11.0,130"],
        Some(4),
        "130",
        ["is not a relative humidity", "write the reading in per cent"],
    ),
    on_its_line(
        ZONES,
        ["SP,side,,,,432.0,1.00", "SP,,,,,432.0,1.00"],
        None,
        "SP",
        ["does not say what kind of zone it is", "fill it in"],
    ),
    Mistake {
        file: PRODUCTS,
        old: "least_h = 36\ngreatest_d = 10",
        new: "least_h = 36\ngreatest_h = 10",
        down: 1,
        column: Some(14),
        value: "10 h",
        wrong: "is less than the least time",
        advice: "see the product's data sheet",
    },
    on_its_line(
        PRODUCTS,
        ["least_h = 12\ngreatest_h = 96", "least_h = \"none\"\ngreatest_h = 96"],
        Some(11),
        "none",
        ["is not a number", "its unit stands at the end"],
    ),
    on_its_line(
        PRODUCTS,
        [
            "batch = \"FN5-0115\"\nproduct = \"FN5\"\nmade = 2031-01-15",
            "batch = \"FN5-0114\"\nproduct = \"FN5\"\nmade = 2031-01-15",
        ],
        Some(9),
        "FN5-0114",
        ["stands at coating/products.toml", "take one of the two out"],
    ),
    on_its_line(
        SCHEME,
        ["KL,3,TC3", "KL,2,TC3"],
        None,
        "2",
        ["has the number of the coat at coating/scheme.csv", "number the coats from the steel up"],
    ),
    on_its_line(
        SCHEME,
        ["SS,2,EP2,125,100,200", "SS,2,EP2,125,100,80"],
        Some(6),
        "80 \u{b5}m",
        ["is less than the least", "see the painting specification"],
    ),
    on_its_line(
        SCHEME,
        ["SS,1,EP1,125,100,200,Sa2,40,90,50,3", "SS,1,EP1,125,100,200,Sa2,40,90,50,7"],
        Some(11),
        "7",
        ["is not a dust rating", "write the rating, not a size"],
    ),
    on_its_line(
        PREPARATION,
        ["KL,exposed,blast,Sa2.5,63,26,1", "KL,exposed,blast,Sa2.5,63,26,7"],
        Some(7),
        "7",
        ["is not a dust rating", "write the rating, not a size"],
    ),
    on_its_line(
        PREPARATION,
        ["69.49,-0.47,2031-04-10T08:20:00", "69.49,,2031-04-10T08:20:00"],
        None,
        "",
        ["gives only one of x and y", "fill in the other"],
    ),
    on_its_line(
        PREPARATION,
        ["KL,exposed,blast,Sa2.5,65,24", "KL,exposed,blast,Sa4,65,24"],
        Some(4),
        "Sa4",
        ["is not one of the words of this column", "write "],
    ),
    on_its_line(
        FILM,
        ["KL,1,,KL1-01,148,26.19,-0.11", "KL,1,,KL1-01,-148,26.19,-0.11"],
        Some(5),
        "-148",
        ["can't be right", "correct the number"],
    ),
    on_its_line(
        FILM,
        ["KL,1,,KL1-01,149,26.19,-0.11", "KL,1,,KL1-01,NaN,26.19,-0.11"],
        Some(5),
        "NaN",
        ["is not a finite number", "leave the cell empty"],
    ),
    on_its_line(
        GAUGES,
        ["DF1,125,126,20,2031-04-10T07:30:00", "DF1,0,126,20,2031-04-10T07:30:00"],
        Some(2),
        "0",
        ["can't be right", "correct the number"],
    ),
    on_its_line(
        PLATING,
        ["A-P,1,15.46,0.25,15.0,14.9,,20,", "A-P,1,15.46,0.25,15.0,14.9,3,20,"],
        None,
        "1",
        ["gives more than one limit", "keep the one that the survey's rule states"],
    ),
    on_its_line(
        ANODES,
        ["AN2,9.00,-0.29,10.3", "AN1,9.00,-0.29,10.3"],
        Some(1),
        "AN1",
        ["is the name of an anode that stands at hull/anodes.csv:2:1", "rename one of the two"],
    ),
    on_its_line(
        ANODES,
        ["AN3,16.20,1.17,9.9,4.7,yes", "AN3,16.20,1.17,9.9,4.7,maybe"],
        Some(6),
        "maybe",
        ["is", ""],
    ),
    Mistake {
        file: DOCKING,
        old: "[film]\nrule = \"iso-19840\"",
        new: "[film]\nrule = \"iso-19840\"\nareas = \"us\"",
        down: 2,
        column: Some(9),
        value: "us",
        wrong: "belongs to the rule sspc-pa-2 alone",
        advice: "take it out",
    },
    on_its_line(
        DOCKING,
        ["restriction_level = 3", "restriction_level = 9"],
        Some(21),
        "9",
        ["is not a restriction level", "write the level that the specification names"],
    ),
];

/// Names that meet nothing. They are looked at only when every row is sound, since a row that was left
/// out may hold the name.
const REFERENCES: &[Mistake] = &[
    on_its_line(
        COATS,
        ["KL,exposed,4,AF4,AF4-0205", "KM,exposed,4,AF4,AF4-0205"],
        Some(1),
        "KM",
        ["is not a zone of this project", "write KL"],
    ),
    on_its_line(
        COATS,
        ["BP,exposed,2,EP2,EP2-1008", "BP,exposed,2,EP3,EP2-1008"],
        Some(4),
        "EP3",
        ["is not a product of this project", "write EP"],
    ),
    on_its_line(
        CLIMATE,
        ["2031-04-07T22:18:00,,8.6", "2031-04-07T22:18:00,XX,8.6"],
        Some(2),
        "XX",
        ["is not a zone of this project", ""],
    ),
    on_its_line(
        FILM,
        ["KL,1,,KL1-01,148", "KL,1,RING9,KL1-01,148"],
        Some(3),
        "RING9",
        ["is not an area of this project", ""],
    ),
];

/// Mistakes that can't stand in one project with the others, each of them alone.
const ALONE: &[Mistake] = &[
    Mistake {
        file: CLIMATE,
        old: "at,zone,air_temperature_c,humidity_pct,",
        new: "at,zone,air_temperature_c,humidity_mg,",
        down: 0,
        column: Some(4),
        value: "humidity_mg",
        wrong: "ends in mg, which is not a unit for",
        advice: "",
    },
    Mistake {
        file: COATS,
        old: "used_l,wet_film_um,by",
        new: "used_l,wet_film_micron,by",
        down: 0,
        column: Some(9),
        value: "wet_film_micron",
        wrong: "ends in micron, which is not a unit for a length",
        advice: "",
    },
    Mistake {
        file: DOCKING,
        old: "rule = \"sspc-pa-2\"\nareas = \"metric\"",
        new: "rule = \"sspc-pa-2\"",
        // At the beginning of the table.
        down: -2,
        column: None,
        value: "",
        wrong: "does not say by which areas readings are owed",
        advice: "add the one that the specification names",
    },
];

/// The line of a mistake in a file, once all are made.
fn line(project: &Project, mistake: &Mistake) -> i64 {
    let text = project.text(mistake.file);
    let stands = text.find(mistake.new).expect("what was written");
    let before = text[..stands].matches('\n').count();
    i64::try_from(before).expect("a line") + mistake.down as i64 + 1
}

/// What `check` says of a project that it does not take.
#[track_caller]
fn problems(project: &Project) -> Vec<Value> {
    let said = run(program().args(["check", "--json"]).arg(project.root())).exits(1);
    said.json()["problems"].as_array().expect("problems").clone()
}

/// Whether a problem is what a mistake makes.
fn is_said(problem: &Value, mistake: &Mistake, line: i64) -> bool {
    let text = |key: &str| problem[key].as_str().unwrap_or_default();
    let column = mistake.column.is_none_or(|column| problem["column"] == column);
    text("file") == mistake.file
        && problem["line"] == line
        && column
        && text("value") == mistake.value
        && text("wrong").contains(mistake.wrong)
        && !text("expected").is_empty()
        && text("advice").contains(mistake.advice)
        && !text("advice").is_empty()
}

#[test]
fn each_mistake_alone_gives_one_problem_that_says_it() {
    let mut wrong = Vec::new();
    for mistake in MISTAKES.iter().chain(REFERENCES).chain(ALONE) {
        let project = Project::copied();
        project.edit(mistake.file, mistake.old, mistake.new);
        let (found, line) = (problems(&project), line(&project, mistake));
        if found.len() != 1 || !is_said(&found[0], mistake, line) {
            wrong.push(format!("{} {:?}, line {line}: {found:#?}", mistake.file, mistake.new));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn all_mistakes_are_said_in_one_run_and_nothing_else() {
    for all in [MISTAKES, REFERENCES] {
        let project = Project::copied();
        for mistake in all {
            project.edit(mistake.file, mistake.old, mistake.new);
        }
        let found = problems(&project);
        let missing: Vec<&str> = all
            .iter()
            .filter(|mistake| {
                let line = line(&project, mistake);
                !found.iter().any(|problem| is_said(problem, mistake, line))
            })
            .map(|mistake| mistake.new)
            .collect();
        assert!(missing.is_empty(), "{missing:#?}\n{found:#?}");
        assert_eq!(found.len(), all.len(), "{found:#?}");
        let said = run(program().arg("check").arg(project.root())).exits(1);
        assert!(said.err.contains(&format!("{} things to mend", all.len())), "{}", said.err);
    }
}
