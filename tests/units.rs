//! `units = "us"`: what people read is in feet, long tons, mils and psi; what programs read keeps SI units.

use crate::common::{Project, examined, lastdock, squeezed};
use lastdock::findings::Examined;
use lastdock::handover::compare::{Drawn, Side, compare};
use lastdock::report::figures::drawings;
use lastdock::text::{System, Text};

/// The sample with figures to be shown in US customary units.
fn sample_in_us_units() -> Project {
    let project = Project::copied();
    let docking = project.text("docking.toml");
    // A person's words keep the units that they were written in.
    let docking = docking.replace("is 5.260 m above it", "stands above it");
    project
        .write("docking.toml", docking.replacen("format = 1\n", "format = 1\nunits = \"us\"\n", 1));
    project
}

/// The units that no measured figure may have.
const SI: [&str; 14] = [
    "m",
    "mm",
    "cm",
    "\u{b5}m",
    "m\u{b2}",
    "m\u{b3}",
    "l",
    "t",
    "kg",
    "kN",
    "kPa",
    "\u{b0}C",
    "K",
    "t/m\u{b3}",
];

/// The figures with an SI unit in a text: a number, a space, the unit.
fn figures_in_si(text: &str) -> Vec<String> {
    let text = text.replace(['\u{a0}', '\n'], " ");
    let words: Vec<&str> = text.split(' ').collect();
    let is_number = |word: &str| {
        let word = word.trim_start_matches(['(', '\u{2212}', '-', '+']);
        !word.is_empty() && word.chars().all(|c| c.is_ascii_digit() || c == '.')
    };
    let is_unit = |word: &str| SI.contains(&word.trim_end_matches([',', '.', ';', ':', ')']));
    let pairs = words.windows(2).filter(|pair| is_number(pair[0]) && is_unit(pair[1]));
    pairs
        .map(|pair| pair.join(" ").trim_start_matches('(').replace([',', ';', ':', ')'], ""))
        .collect()
}

/// Titles of axes name their unit after a comma: `water level, m above the datum`.
fn is_titled_in_si(text: &str) -> bool {
    let after = text.split(", ").skip(1).filter_map(|part| part.split([' ', ':', ',']).next());
    after.into_iter().any(|word| SI.contains(&word))
}

/// What is lettered in a drawing.
fn lettered(svg: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(svg).expect("a drawing in XML");
    let texts = document.descendants().filter(|node| node.has_tag_name("text"));
    texts.filter_map(|node| node.text().map(String::from)).collect()
}

#[test]
fn a_figure_with_an_si_unit_is_found() {
    assert_eq!(figures_in_si("from 0.60 to 0.80\u{a0}m aft, 3 ft"), ["0.80 m"]);
    assert_eq!(figures_in_si("(2100 kPa),"), ["2100 kPa"]);
    assert!(is_titled_in_si("water level, m above") && !is_titled_in_si("water level, ft above"));
}

#[test]
fn drawings_are_lettered_and_described_in_the_projects_units() {
    let si = |examined: &Examined| {
        let mut found = Vec::new();
        for drawing in drawings(examined) {
            let texts = lettered(&drawing.svg);
            found.extend(texts.iter().filter(|text| is_titled_in_si(text)).cloned());
            let said = [&drawing.title, &drawing.caption, &drawing.alt];
            found.extend(texts.iter().chain(said).flat_map(|text| figures_in_si(text)));
        }
        found
    };
    let project = sample_in_us_units();
    assert_eq!(si(&examined(&project.root())), Vec::<String>::new());
    // The same search finds them in the sample itself.
    assert!(si(&examined(&crate::common::sample())).len() > 100);
}

#[test]
fn findings_and_the_shift_study_are_told_in_them() {
    let project = sample_in_us_units();
    let examined = examined(&project.root());
    let mut texts: Vec<&Text> = examined.findings.iter().map(|finding| &finding.sentence).collect();
    let answer = examined.shift_to_choose().expect("a study");
    texts.extend(&answer.answer);
    texts.extend(answer.past.iter().flat_map(|past| &past.said));
    let found: Vec<String> =
        texts.iter().flat_map(|text| figures_in_si(&text.shown(System::Us))).collect();
    assert_eq!(found, Vec::<String>::new());
}

/// What a comparison says and draws, and the figures with an SI unit in it.
fn compared_in_si(older: &Examined, newer: &Examined, shown: System) -> (String, Vec<String>) {
    let [older, newer] = [("then", older), ("now", newer)].map(|(name, examined)| Side {
        name,
        examined,
        bundle: None,
        supplements: &[],
    });
    let (comparison, shapes) = compare(&older, &newer, "lastdock");
    let (drawings, drawn) = comparison.drawings(&shapes, &newer);
    assert_eq!(drawings.len(), 3);
    assert!(drawn.overlay.is_some() && drawn.wastage.is_some() && drawn.pressures.is_some());
    let mut sections = comparison.sections(Drawn::default());
    sections.extend([comparison.in_short(&sections), comparison.not_compared()]);
    let mut said: String = sections.iter().map(|section| section.said(shown)).collect();
    said.extend(comparison.units_note().map(|note| note.shown(shown)));
    let mut found = Vec::new();
    for drawing in drawings {
        let texts = lettered(&drawing.svg);
        found.extend(texts.iter().filter(|text| is_titled_in_si(text)).cloned());
        for text in texts.iter().chain([&drawing.title, &drawing.caption, &drawing.alt]) {
            found.extend(figures_in_si(text));
        }
    }
    found.extend(figures_in_si(&said));
    (said, found)
}

// 1.30 m / 0.3048 = 4.27 ft (NIST SP 811, appendix B): the speed log moved by as much.
#[test]
fn a_comparison_is_told_in_the_newer_dockings_units_and_says_so_where_they_differ() {
    let older = examined(std::path::Path::new("tests/handover/calder-wren-2006"));
    let newer = examined(&sample_in_us_units().root());
    let (said, found) = compared_in_si(&older, &newer, System::Us);
    assert_eq!(found, Vec::<String>::new());
    let said = said.replace('\u{a0}', " ");
    assert!(said.contains("SL1 by 4.27 ft"), "{said}");
    assert!(said.contains("The report of then is in SI units and that of now in US units"));
    // The other way round it is told in SI units, and between two of one kind nothing is said of them.
    let (said, found) = compared_in_si(&newer, &older, System::Si);
    assert!(found.len() > 20 && said.contains("all figures here are in SI units"));
    let (said, _) = compared_in_si(&older, &examined(&crate::common::sample()), System::Si);
    assert!(!said.contains("SI units"));
}

// By the factors of NIST SP 811 (2008), appendix B: 0.70 m / 0.3048 = 2.297 ft, 110.1 t / 1.016047 = 108.3 long
// tons (the load is 110.07 t), 2100 kPa / 6.894757 = 304.6 psi, 13.610 m / 0.3048 = 44.65 ft.
#[test]
fn the_shift_to_choose_is_printed_in_feet_and_its_json_in_metres() {
    let project = sample_in_us_units();
    let said = lastdock(["shifts".as_ref(), project.root().as_os_str()]).squeezed();
    for figure in
        ["Aim at 2.297 ft aft", "at station 44.65 ft", "108.3 lt on K28", "limit 304.6 psi"]
    {
        assert!(said.contains(&squeezed(figure)), "{figure}: {said}");
    }
    let json = |root: &std::path::Path| {
        lastdock(["shifts".as_ref(), root.as_os_str(), "--json".as_ref()]).json()
    };
    assert_eq!(json(&project.root()), json(&crate::common::sample()));
}
