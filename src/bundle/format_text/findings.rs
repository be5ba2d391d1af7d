//! Chapter 9: findings, and the derived tables.

use super::page::Page;
use crate::findings::finding::Outcome;
use crate::findings::harmless::RULE;
use crate::findings::subject::Weight;
use crate::findings::written::FindingsWritten;
use crate::records::spec::Need;

pub(super) fn write(page: &mut Page) {
    page.chapter("9 Findings, and the derived tables");
    page.says(
        "data/findings.json is one JSON object that data/findings.schema.json describes (JSON Schema, \
         draft 2020-12), UTF-8. A finding has an id that stays the same whatever the finding comes out as; \
         the part before the first point is the section of the report that it belongs to. Figures are \
         rounded as the report prints them.",
    );
    page.section("Outcomes");
    for outcome in Outcome::ALL {
        page.entry(outcome.words(), meaning(outcome));
    }
    page.gap();
    page.says(
        "A remark in remarks.toml answers one finding by its id, or several. It states the outcome and the \
         figures that it answered. Where the finding says something else now (another outcome, a figure off \
         by more than the finding's tolerance, or where it has none by more than half a unit of the last \
         digit stated) the remark is kept as an earlier one and does not answer it any more. A remark that \
         does not state what it answered counts where it is the only one to its finding. A remark whose \
         finding is not in the record is kept too (answers_without_finding). A remark without answer, author \
         and day is a blank, and no answer. What differs or is beyond a limit and has no answer to what it \
         says now stands on page one of the report.",
    );
    page.says(
        "for_next_time = true in a remark, and yes in the column of that name of papers/papers.csv, mark what says \
         something to the next docking, too: the report prints it among what people wrote for the next time. Programs \
         before 0.4.0 do not know these names.",
    );
    page.section("Weights");
    page.says(
        "Since 0.4.0 each finding that does not agree has a weight, by what it is about and how it comes out. What \
         findings.json and findings.csv of earlier versions lack follows from that alone, and is not compared.",
    );
    for weight in Weight::ALL {
        page.entry(weight.word(), weight.title());
    }
    page.gap();
    page.section("data/findings.csv");
    page.says("The same, one row a finding, in the order of findings.json:");
    for column in FindingsWritten::CSV_COLUMNS {
        let need = match column.need {
            Need::Always => "filled in every row",
            Need::Optional => "may be empty",
        };
        page.entry(&format!("{}: {need}", column.name), column.meaning);
    }
    page.section("data/tables/");
    for text in [
        "Each CSV file of records gives one table: plan/blocks.csv becomes plan-blocks.csv. Each kind of \
         table in a TOML file gives one: [ship] of docking.toml becomes docking-ship.csv; the limits and \
         tolerances are those in force, with the program's defaults. remarks.toml gives none: remarks \
         stand in the findings.",
        "One row is one record, in the order of the file; record_line is the line on which it stands, of a table \
         in parts (chapter 4) the line of the file record_file, a column before it that other tables lack. \
         Columns have the names and the order of chapter 5 and the suffix of the kept unit, whatever the \
         record is written in, and all of them are there, filled or not. Columns of notes follow.",
        "Numbers have nine significant digits at most, times their offset, words their plain spelling, \
         flags yes or no. Lists have ; between their items. The word none is kept: no bound, or an empty \
         list that is meant.",
        "Tables whose names begin with recomputed- hold what was worked out: positions, clear distances of \
         openings, the rectangle of each cap on the bottom, the bottom by the positions that hid it, what was never \
         exposed, draft surveys, landings, the curve from first touch to landed, the load as the water fell, the load \
         on each block, strength, shear and bending of the hull along her length, each gap measured and predicted, zones, areas, the coats \
         that each zone's steel received, applications, the intervals between them and to the water, preparation, and \
         film by zone and coat; with earlier dockings also what none of them exposed, and what \
         lies uppermost on the bottom. They have six decimals at most, films and profiles nine.",
        "csv-metadata.json describes every column of every table and of findings.csv, with unit, type, keys \
         and references, as W3C CSV on the Web has it, and who made them, when, and under which terms. Units are in \
         UCUM codes. Columns that name rows of another table are its foreign keys where every row of this bundle names \
         one. Where cells may be empty or lists, dc:relation says which table and column they name. A table has a \
         primary key unless its rows can't be told apart by any columns.",
        "CSV of the tables and of findings.csv: UTF-8, commas, quotation marks where a cell needs them, lines that \
         end in LF. A file with characters outside ASCII begins with a byte order mark, EF BB BF, since common \
         spreadsheets take its letters for others without one; a program should leave it out of the first column's \
         name. A file without such characters has none. Versions before 0.8.0 wrote none at all. Records are never \
         given one: they stay as they were written, and a spreadsheet has to be told that they are UTF-8.",
    ] {
        page.item(text);
    }
    page.section("Texts in data/tables/ and data/findings.csv");
    page.says(&format!(
        "{RULE} Columns that csv-metadata.json gives the type string without a format are those of texts, ids \
         and notes; in the columns recorded, recomputed and bound of findings.csv it is the words. Headers of \
         columns of notes are written by the same rule. The files below data/records/ hold every text as it \
         was written, and a spreadsheet should be told to read their columns as text.",
    ));
}

fn meaning(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Agrees => "record and recomputation agree, and no limit is broken",
        Outcome::Differs => {
            "two recorded facts, or a record and its recomputation, can't both be true"
        }
        Outcome::BeyondLimit => "a true record outside a limit",
        Outcome::NotRecorded => "a datum that the comparison needs is absent",
    }
}
