//! What the pages of a comparison draw is what their tables say.

use super::{Comparison, Drawn, Shapes, Side, compare};
use crate::findings::{Examined, examine};
use crate::pages::{Block, Cell, Section, Table};
use crate::records::memory;
use crate::report::figures::Drawing;
use crate::text::{Form, Piece, System};

const GAUGED: &str = "strake,plate,x_m,y_m,original_mm,measured_mm,relative_loss_limit_pct,at\n";

/// A docking on 10 April of a year with its gaugings, and a block at a station that is the x of its middle.
fn docking(year: i32, gauged: &str, station: f64) -> Examined {
    let text = format!(
        "format = 1\n[ship]\nname = \"Fenwhin\"\n[dock]\nname = \"Quernholt Old Dock\"\n[period]\n\
         began = {year}-04-10\noffset = \"+00:00\"\n"
    );
    let gauged = gauged.replace("DAY", &format!("{year}-04-10T10:00:00"));
    let files = [
        ("docking.toml", text),
        (
            "plan/blocks.csv",
            format!("block,row,station_m,offset_m,length_m,width_m\nK1,keel,{station},0,4,1\n"),
        ),
        (
            "positions/positions.csv",
            "position,recorded_srp_station_m,recorded_offset_m,yaw_deg\nP1,0,0,0\n".to_string(),
        ),
        ("hull/plating.csv", format!("{GAUGED}{gauged}")),
    ];
    examine(memory::project(&files)).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// 20 years apart: A 1 lost 1.0 mm, which is 0.050 mm a year, A 2 0.4 mm, 0.020 a year, B 1 2.2 mm, 0.110 a year. B 1
/// reaches its limit of 9.6 mm in 2.7 years, A 1 its own in 10; A 2 has 105.
fn two() -> [Examined; 2] {
    let then = "A-P,1,10,1,12,11.1,20,DAY\nA-P,2,20,1,12,12.1,20,DAY\nB-S,1,10,-2,12,12.1,20,DAY\n";
    let now = "A-P,1,10,1,12,10.1,20,DAY\nA-P,2,20,1,12,11.7,20,DAY\nB-S,1,10,-2,12,9.9,20,DAY\n\
               B-S,2,20,-2,12,11,20,DAY\n";
    [docking(2011, then, 4.0), docking(2031, now, 6.0)]
}

fn compared<'a>(older: &'a Examined, newer: &'a Examined) -> (Comparison, Shapes, Side<'a>) {
    let side = |name, examined| Side { name, examined, bundle: None, supplements: &[] };
    let newer = side("newer", newer);
    let (comparison, shapes) = compare(&side("older", older), &newer, "lastdock");
    (comparison, shapes, newer)
}

fn lettered(drawing: &Drawing) -> Vec<String> {
    let document = roxmltree::Document::parse(&drawing.svg).expect("well-formed XML");
    let texts = document.descendants().filter(|node| node.has_tag_name("text"));
    texts.filter_map(|node| node.text().map(String::from)).collect()
}

/// The rates in the column of a table of the section on plating, by its head, as they are printed.
fn rates(section: &Section, head: &str) -> Vec<String> {
    let tables = section.blocks.iter().filter_map(|block| match block {
        Block::Table(table) => Some(table),
        _ => None,
    });
    let column = |table: &Table| {
        let heads = table.columns.iter().map(|column| column.head.to_string());
        heads.zip(0..).find(|(name, _)| name == head).map(|(_, at)| at)
    };
    let of = tables.filter_map(|table| Some((table, column(table)?)));
    let cells = of.flat_map(|(table, at)| table.rows.iter().map(move |row| &row[at]));
    let measures = cells.filter_map(|cell| match cell {
        Cell::Text(text) => match text.pieces() {
            [Piece::Measure(measure)] if measure.form == Form::Wastage => Some(*measure),
            _ => None,
        },
        _ => None,
    });
    measures.map(|measure| measure.number(System::Si)).collect()
}

#[test]
fn the_drawing_of_the_wastage_has_the_rates_of_the_tables() {
    let [older, newer] = two();
    let (comparison, shapes, side) = compared(&older, &newer);
    let (drawings, drawn) = comparison.drawings(&shapes, &side);
    let texts = lettered(&drawings[drawn.wastage.expect("a drawing")]);
    let sections = comparison.sections(drawn);
    let plating = &sections[2];
    // The means of the strakes stand beside them, to three decimals as in the table.
    let means = rates(plating, "Mean a year");
    assert_eq!(means, ["0.035", "0.110"]);
    // Those that reach their limit soon have the letter by which the table knows them, the first first.
    let soon = rates(plating, "Lost a year");
    assert_eq!(soon, ["0.110", "0.050"]);
    let mut wanted = means.clone();
    wanted.extend([format!("A {}", soon[0]), format!("B {}", soon[1]), "0.020".to_string()]);
    for number in wanted {
        assert!(texts.contains(&number), "{number}: {texts:?}");
    }
    // The plate that was gauged now only is not drawn, and said to give no rate.
    let said = comparison.not_compared().said(System::Si);
    assert!(
        said.contains("1 gauging gives no rate, since the plate was not gauged then."),
        "{said}"
    );
    assert_eq!(comparison.plating.strakes[1].plates.len(), 2);
}

#[test]
fn the_caps_that_overlap_are_drawn_with_the_mark_for_both() {
    let [older, newer] = two();
    let (comparison, shapes, side) = compared(&older, &newer);
    // Caps 4 m long at 4 and at 6 m: from 4 to 6 m both.
    let (drawings, drawn) = comparison.drawings(&shapes, &side);
    let overlay = &drawings[drawn.overlay.expect("a drawing")];
    assert!(overlay.caption.replace('\u{a0}', " ").contains("both times 2.0 m\u{b2}."));
    assert!(lettered(overlay).contains(&"on blocks in both".to_string()));
    // No loads could be recomputed, so that there is no drawing of pressures, and the page says why.
    assert!(drawn.pressures.is_none());
    let said = comparison.not_compared().said(System::Si);
    assert!(said.contains("No block loads of P1 then and P1 now, since"), "{said}");
}

#[test]
fn what_came_out_worse_stands_first_and_on_the_first_page() {
    let [older, newer] = two();
    let (comparison, ..) = compared(&older, &newer);
    let changed = &comparison.findings.changed;
    // B 1 has lost 2.1 of 12 mm, within 20 %; nothing else agreed then and differs now.
    assert!(changed.iter().all(|one| !one.is_worse), "{changed:?}");
    let gone = "A-P,1,10,1,12,9.0,20,DAY\n";
    let newer = docking(2031, gone, 6.0);
    let (comparison, ..) = compared(&older, &newer);
    let first = comparison.findings.changed.first().expect("a change");
    assert!(first.is_worse && first.id == "plating.A-P.loss", "{first:?}");
    assert_eq!((first.older, first.newer), ("agrees", "beyond limit"));
    let short = comparison.in_short(&comparison.sections(Drawn::default())).said(System::Si);
    assert!(short.contains("Strake A-P has lost more than is allowed"), "{short}");
}
