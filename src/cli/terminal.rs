//! Sections, tables and findings on a terminal: in its width, with the signs of a keyboard.

use anstyle::Style;
use textwrap::core::display_width;

use super::page::Page;
use super::print;
use crate::findings::answers::describe;
use crate::findings::finding::{Finding, Outcome};
use crate::pages::{Block, Cell, Column, Kind, Medium, Section, Table};
use crate::records::characters::{shown, shown_in_line};
use crate::records::remarks::Remark;
use crate::text::{System, Text};

/// Spaces before what stands under a title, and before what stands under that.
const INDENT: usize = 2;
const DEEPER: usize = 4;

/// Spaces between columns.
const GAP: usize = 2;

/// The narrowest column of text.
const LEAST_TEXT: usize = 12;

/// Lines that heads may have, the fewest for which there is room.
const HEAD_LINES: [usize; 3] = [1, 2, 3];

/// What stands in a column of figures for what was not recorded where there is no room for the words.
const SHORT: &str = "n.r.";

/// How wide outcomes are set before the ids of their findings.
const OUTCOME: usize = 12;

/// Places of records that a finding in full lists.
const MOST_PLACES: usize = 6;

/// Where sections are written.
#[derive(Debug, Clone, Copy)]
pub struct Terminal {
    /// Columns to write in.
    width: usize,
    /// The units in which figures are shown.
    system: System,
}

impl Terminal {
    /// The terminal at hand, or a page of the usual width, with figures in these units.
    pub fn new(system: System) -> Self {
        Self { width: print::width(), system }
    }

    /// A section with its title.
    pub fn section(&self, section: &Section) -> Page {
        let mut out = Page::new();
        out.heading(&keyboard(&section.title.shown(self.system)));
        out.append(self.body(section));
        out
    }

    /// What stands in a section. Findings and answers stand apart from what is before and behind them, parts from what
    /// is before.
    pub fn body(&self, section: &Section) -> Page {
        let mut out = Page::new();
        let mut behind_an_item = false;
        for block in &section.blocks {
            let is_item = matches!(block, Block::Finding(_) | Block::Answer(_));
            let belongs = matches!(block, Block::Note(_) | Block::Code(_));
            let begins_a_part = matches!(block, Block::Heading(..));
            if !out.is_empty() && (is_item || begins_a_part || behind_an_item && !belongs) {
                out.push_str("\n");
            }
            out.append(self.block(block));
            behind_an_item = is_item || behind_an_item && belongs;
        }
        out
    }

    /// Sections with an empty line between them.
    pub fn sections<'a>(&self, sections: impl IntoIterator<Item = &'a Section>) -> Page {
        Page::join(sections.into_iter().map(|section| self.section(section)).collect())
    }

    fn block(&self, block: &Block) -> Page {
        let mut out = Page::new();
        match block {
            Block::Heading(_, text) => {
                out.push_str("  ");
                out.heading(&keyboard(&text.shown(self.system)));
            }
            Block::Paragraph(text) | Block::Lead(text) => out = self.paragraph(text, INDENT),
            Block::Note(text) => out = self.paragraph(text, DEEPER),
            Block::List(points) => {
                for point in points {
                    let point = self.wrapped(&point.shown(self.system), DEEPER);
                    out.push_str(&format!("  - {}\n", point.trim_start()));
                }
            }
            Block::Terms(terms) => {
                for (term, meaning) in terms {
                    out.push_str("  ");
                    out.heading(&keyboard(&term.shown(self.system)));
                    out.append(self.paragraph(meaning, DEEPER));
                }
            }
            Block::Code(text) => {
                text.lines().for_each(|line| out.push_str(&format!("    {line}\n")));
            }
            Block::Table(table) if table.medium != Medium::Paper => out = self.table(table),
            Block::Table(_) | Block::Drawing(_) | Block::Images(_) => {}
            Block::Quote(quote) => {
                quote.paragraphs.iter().for_each(|part| out.append(self.plain(part)));
                out.append(self.paragraph(&quote.by, DEEPER));
            }
            Block::Finding(told) => {
                out = self.finding(&told.finding);
                told.notes.iter().for_each(|note| out.append(self.paragraph(note, DEEPER)));
            }
            Block::Answer(remark) => {
                out.push_str("  ");
                out.heading(&remark.finding);
                out.append(self.plain(&format!("{}, {}", remark.place, when_given(remark))));
                out.append(self.plain(&answer_line(remark)));
            }
        }
        out
    }

    /// A paragraph, every line of it indented by so many spaces.
    pub fn paragraph(&self, text: &Text, indent: usize) -> Page {
        Page::from_text(self.wrapped(&text.shown(self.system), indent) + "\n")
    }

    fn plain(&self, text: &str) -> Page {
        Page::from_text(self.wrapped(text, DEEPER) + "\n")
    }

    /// A figure stays with its unit: spaces that hold are let go only after lines are broken.
    fn wrapped(&self, text: &str, indent: usize) -> String {
        let spaces = " ".repeat(indent);
        let options = print::prose(self.width).initial_indent(&spaces).subsequent_indent(&spaces);
        keyboard_lines(&textwrap::fill(&shown(text), options))
    }

    /// A finding in full.
    fn finding(&self, finding: &Finding) -> Page {
        let mut out = Page::from_text("  ");
        out.styled(&format!("{:OUTCOME$}", finding.outcome.words()), print::style(finding.outcome));
        out.push_str("  ");
        out.heading(&finding.id);
        let mut places: Vec<String> =
            finding.records.iter().take(MOST_PLACES).map(ToString::to_string).collect();
        if finding.records.len() > MOST_PLACES {
            places.push(format!("and {} more", finding.records.len() - MOST_PLACES));
        }
        let mut lines = vec![finding.sentence.shown(self.system)];
        lines.extend(finding.figures().map(|figures| figures.shown(self.system)));
        lines.extend((!places.is_empty()).then(|| format!("see {}", places.join(", "))));
        lines.extend(finding.remark.as_deref().map(answer_line));
        let earlier = finding.earlier.iter();
        lines
            .extend(earlier.map(|remark| {
                capital(&format!("{}: {}", when_given(remark), answer_line(remark)))
            }));
        if let Some(blank) = finding.blank.as_ref().filter(|_| finding.wants_answer()) {
            lines.push(format!("Its blank stands at {blank}."));
        }
        lines.iter().for_each(|line| out.append(self.plain(line)));
        out
    }

    /// A table: columns as narrow as their cells allow, text broken into what is left.
    pub fn table(&self, table: &Table) -> Page {
        let mut out = Page::new();
        if let Some(about) = &table.about {
            out.append(self.paragraph(about, INDENT));
        }
        let indent = if table.about.is_some() { DEEPER } else { INDENT };
        let words = Outcome::NotRecorded.words();
        let mut grid = Grid::new(self, table, indent, words);
        if !grid.fits(self.width) && grid.says(words) {
            grid = Grid::new(self, table, indent, SHORT);
        }
        out.append(grid.lines());
        if grid.says(SHORT) {
            out.push_str(&format!("{}{SHORT}: {words}\n", " ".repeat(indent)));
        }
        if let Some(more) = table.more_shown() {
            out.append(self.paragraph(&more.into(), indent));
        }
        out
    }
}

/// A table as it is laid out.
struct Grid<'a> {
    columns: &'a [Column],
    heads: Vec<String>,
    rows: Vec<Vec<Written>>,
    widths: Vec<usize>,
    indent: usize,
}

/// A cell.
#[derive(Clone, Default)]
struct Written {
    text: String,
    style: Style,
}

impl<'a> Grid<'a> {
    /// Lays a table out, with these words for figures that were not recorded.
    fn new(to: &Terminal, table: &'a Table, indent: usize, not_recorded: &str) -> Self {
        let written = |(cell, (column, finest)): (&Cell, (&Column, &usize))| {
            let text = match cell {
                Cell::DoesNotApply => "-".to_string(),
                Cell::NotRecorded if column.kind == Kind::Figure => not_recorded.to_string(),
                cell => shown_in_line(&cell.as_text(column, *finest, to.system)),
            };
            let style = match cell {
                Cell::Outcome(outcome) => print::style(*outcome),
                _ => Style::new(),
            };
            Written { text, style }
        };
        let columns = table.columns.as_slice();
        let finest = table.finest(to.system);
        let cells =
            |row: &Vec<Cell>| row.iter().zip(columns.iter().zip(&finest)).map(written).collect();
        let rows: Vec<Vec<Written>> = table.rows.iter().map(cells).collect();
        let heads = columns.iter().map(|column| column.head_with_unit(to.system)).collect();
        let mut grid = Self { columns, heads, rows, widths: Vec::new(), indent };
        grid.widths = grid.widths(to.width);
        grid
    }

    fn fits(&self, whole: usize) -> bool {
        self.between() + self.widths.iter().sum::<usize>() <= whole
    }

    fn says(&self, words: &str) -> bool {
        let figures = |row: &Vec<Written>| {
            let mut cells = row.iter().zip(self.columns);
            cells.any(|(cell, column)| column.kind == Kind::Figure && cell.text == words)
        };
        self.rows.iter().any(figures)
    }

    /// What stands before and between columns.
    fn between(&self) -> usize {
        self.indent + GAP * self.columns.len().saturating_sub(1)
    }

    fn widths(&self, whole: usize) -> Vec<usize> {
        let longest_word =
            |text: &str| text.split_whitespace().map(display_width).max().unwrap_or(0);
        let cells = |n: usize, head: usize| {
            let cells = self.rows.iter().filter_map(|row| row.get(n));
            cells.map(|cell| display_width(&cell.text)).max().unwrap_or(0).max(head)
        };
        let all = 0..self.columns.len();
        let least: Vec<usize> =
            all.clone().map(|n| cells(n, longest_word(&self.heads[n]))).collect();
        let (texts, others): (Vec<usize>, Vec<usize>) =
            all.clone().partition(|n| self.columns[*n].kind == Kind::Text);
        let fixed = |widths: &[usize]| others.iter().map(|n| widths[*n]).sum::<usize>();
        let roomy = HEAD_LINES.into_iter().find_map(|most| {
            let roomy: Vec<usize> = all
                .clone()
                .map(|n| cells(n, narrowest_head(&self.heads[n], least[n], most)))
                .collect();
            let texts = 2 * LEAST_TEXT * texts.len();
            (self.between() + fixed(&roomy) + texts <= whole).then_some(roomy)
        });
        let mut widths = roomy.unwrap_or(least);
        let mut left = whole.saturating_sub(self.between() + fixed(&widths));
        let mut yielding = texts.clone();
        let least_of_texts: usize = texts.iter().map(|n| widths[*n].min(LEAST_TEXT)).sum();
        if self.between() + fixed(&widths) + least_of_texts > whole {
            // Names break where nothing else helps.
            yielding.extend(others.iter().filter(|n| self.columns[**n].kind == Kind::Name));
            let kept = others.iter().filter(|n| self.columns[**n].kind == Kind::Figure);
            left = whole.saturating_sub(self.between() + kept.map(|n| widths[*n]).sum::<usize>());
        }
        // The narrow ones take what they need, and the others share what is left.
        yielding.sort_by_key(|n| widths[*n]);
        for (done, n) in yielding.iter().enumerate() {
            let share = (left / (yielding.len() - done)).max(LEAST_TEXT);
            widths[*n] = widths[*n].min(share);
            left = left.saturating_sub(widths[*n]);
        }
        widths
    }

    /// The heads and every row.
    fn lines(&self) -> Page {
        let mut out = Page::new();
        let head = |text: &String| Written { text: text.clone(), style: Style::new().bold() };
        self.row(&mut out, &self.heads.iter().map(head).collect::<Vec<_>>());
        self.rows.iter().for_each(|row| self.row(&mut out, row));
        out
    }

    /// A row in as many lines as its longest cell takes.
    fn row(&self, out: &mut Page, cells: &[Written]) {
        let broken = |(cell, width): (&Written, &usize)| -> Vec<String> {
            let lines = broken_in_cell(&cell.text, (*width).max(1));
            lines.iter().map(|line| keyboard(line)).collect()
        };
        let broken: Vec<Vec<String>> = cells.iter().zip(&self.widths).map(broken).collect();
        for line in 0..broken.iter().map(Vec::len).max().unwrap_or(0) {
            // Spaces are held back until something follows them.
            let mut spaces = self.indent;
            for (n, (column, width)) in self.columns.iter().zip(&self.widths).enumerate() {
                let text = broken.get(n).and_then(|cell| cell.get(line)).map_or("", String::as_str);
                let room = width.saturating_sub(display_width(text));
                spaces += if n > 0 { GAP } else { 0 };
                spaces += if column.kind == Kind::Figure { room } else { 0 };
                if !text.is_empty() {
                    out.push_str(&" ".repeat(std::mem::take(&mut spaces)));
                    match cells.get(n).map(|cell| cell.style) {
                        Some(style) if style != Style::new() => out.styled(text, style),
                        _ => out.push_str(text),
                    }
                }
                spaces += if column.kind == Kind::Figure { 0 } else { room };
            }
            out.push_str("\n");
        }
    }
}

/// The least width, from one on, at which a head has no more than so many lines.
fn narrowest_head(head: &str, from: usize, most: usize) -> usize {
    let from = from.max(1);
    let mut widths = from..=display_width(head).max(from);
    widths.find(|width| textwrap::wrap(head, *width).len() <= most).unwrap_or(from)
}

/// The lines of a cell. An id alone breaks after its points, so that its parts can be read and found.
fn broken_in_cell(text: &str, width: usize) -> Vec<String> {
    let wrapped = |text: &str| -> Vec<String> {
        textwrap::wrap(text, width).into_iter().map(String::from).collect()
    };
    if display_width(text) <= width || text.contains(char::is_whitespace) || !text.contains('.') {
        return wrapped(text);
    }
    let mut lines: Vec<String> = Vec::new();
    for part in text.split_inclusive('.') {
        match lines.last_mut() {
            Some(line) if display_width(line) + display_width(part) <= width => line.push_str(part),
            _ => lines.extend(wrapped(part)),
        }
    }
    lines
}

/// A text on one line with the signs of a keyboard.
pub fn keyboard(text: &str) -> String {
    keyboard_lines(&shown_in_line(text))
}

fn keyboard_lines(text: &str) -> String {
    text.replace('\u{2212}', "-").replace('\u{a0}', " ")
}

fn answer_line(remark: &Remark) -> String {
    format!("{}, {}: {}", remark.by, remark.on, remark.answer)
}

/// When an answer was given, by what its finding said then.
fn when_given(remark: &Remark) -> String {
    match &remark.then {
        Some(then) => format!("given when it said \"{}\"", describe(then)),
        None => "given without stating what it answered".to_string(),
    }
}

/// A text with a capital at its beginning.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|first| first.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text;
    use crate::text::Form;

    fn written(width: usize, table: &Table) -> Vec<String> {
        let page = Terminal { width, system: System::Si }.table(table);
        let text = anstream::adapter::strip_str(page.as_ansi()).to_string();
        text.lines().map(str::to_string).collect()
    }

    #[test]
    fn names_break_before_a_line_is_longer_than_the_terminal_is_wide() {
        let columns = [
            Column::text("Shift that leaves nothing hidden twice"),
            Column::text("Openings clear of caps"),
            Column::name("Aim at"),
            Column::measure("May be missed by", Form::Length),
            Column::name("Openings near a cap there"),
        ];
        let row = [
            "2.00 to 2.10 m forward".into(),
            "nowhere in it".into(),
            "2.05 m forward".into(),
            Form::Length.measure(0.05).into(),
            "SC1, SC2, SC5, SC8, DP2, ES1".into(),
        ];
        let lines = written(80, &Table::new(columns).rows([row]));
        assert!(lines.iter().all(|line| display_width(line) <= 80), "{lines:#?}");
    }

    #[test]
    fn an_id_in_a_narrow_cell_breaks_after_its_points() {
        let id = "coating.BP.coat3.patches-P2.recoat.coat2.patches-P2";
        let lines = ["coating.BP.coat3.", "patches-P2.recoat.", "coat2.patches-P2"];
        assert_eq!(broken_in_cell(id, 23), lines);
        assert_eq!(broken_in_cell(id, 60), [id]);
        assert_eq!(broken_in_cell("openings.clearance", 8), ["openings", ".", "clearanc", "e"]);
        assert_eq!(broken_in_cell("0.175 m from K5", 10), ["0.175 m", "from K5"]);
    }

    #[test]
    fn text_takes_the_room_that_figures_leave() {
        let columns =
            [Column::name("Block"), Column::measure("Load", Form::Force), Column::text("Note")];
        let load = Form::Force.measure(612.0).decimals(0);
        let rows: [[Cell; 3]; 2] = [
            ["K1".into(), load.into(), "a note that is broken into two lines".into()],
            ["K2".into(), Cell::DoesNotApply, "".into()],
        ];
        assert_eq!(
            written(40, &Table::new(columns).rows(rows).about("Loads:")),
            [
                "  Loads:",
                "    Block  Load,  Note",
                "              kN",
                "    K1       612  a note that is broken",
                "                  into two lines",
                "    K2         -",
            ]
        );
    }

    #[test]
    fn what_was_not_recorded_is_said_in_words_or_explained() {
        let columns = || [Column::name("Block"), Column::measure("Gap", Form::Small)];
        let rows = || -> [[Cell; 2]; 2] {
            [["K1".into(), Form::Small.measure(-0.004).into()], ["K2".into(), Cell::NotRecorded]]
        };
        assert_eq!(
            written(40, &Table::new(columns()).rows(rows())),
            ["  Block       Gap, mm", "  K1               -4", "  K2     not recorded"]
        );
        assert_eq!(
            written(18, &Table::new(columns()).rows(rows())),
            ["  Block  Gap, mm", "  K1          -4", "  K2        n.r.", "  n.r.: not recorded"]
        );
    }

    #[test]
    fn wide_letters_count_twice_and_long_names_break_where_there_is_no_room() {
        let columns = || [Column::name("A"), Column::name("B")];
        let rows: [[Cell; 2]; 2] = [["\u{8239}".into(), "x".into()], ["ab".into(), "y".into()]];
        assert_eq!(
            written(40, &Table::new(columns()).rows(rows)),
            ["  A   B", "  \u{8239}  x", "  ab  y"]
        );
        let rows: [[Cell; 2]; 1] = [["a.name.of.many.parts.indeed".into(), "y".into()]];
        let lines = written(24, &Table::new(columns()).rows(rows));
        assert!(lines.iter().all(|line| display_width(line) <= 24), "{lines:?}");
    }

    #[test]
    fn a_figure_stays_with_its_unit() {
        let terminal = Terminal { width: 20, system: System::Si };
        let text = text!("The gap is {}.", Form::Small.measure(-0.12));
        let page = terminal.paragraph(&text, 2);
        assert_eq!(page.as_ansi(), "  The gap is\n  -120 mm.\n");
    }
}
