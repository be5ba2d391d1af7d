//! The page model as HTML.

use std::collections::BTreeMap;

use maud::{Markup, PreEscaped, html};

use super::drawn;
use super::previews::Previews;
use super::shapes::card;
use crate::pages::shown::{
    AnswerShown, BlockShown, CellShown, FindingShown, ImageShown, LanguageShown, Run, TableShown,
    runs,
};
use crate::pages::{Section, Table};
use crate::report::figures::Drawing;
use crate::text::{Reader, Text};

/// What a text needs to be set on the page.
pub struct Setting<'a> {
    /// In which units, and by which clock.
    pub reader: Reader,
    /// Titles of the sections that are on the page, by anchor.
    titles: BTreeMap<&'static str, String>,
    drawings: &'a [Drawing],
    pub previews: &'a Previews,
    /// Fragments of the cards by id; `None` where two things share it.
    cards: BTreeMap<String, Option<String>>,
}

impl<'a> Setting<'a> {
    pub fn new(
        reader: Reader,
        sections: &[Section],
        drawings: &'a [Drawing],
        previews: &'a Previews,
        cards: BTreeMap<String, Option<String>>,
    ) -> Self {
        let titles = sections
            .iter()
            .filter_map(|section| Some((section.anchor?, section.title.shown(reader))))
            .collect();
        Self { reader, titles, drawings, previews, cards }
    }

    /// A section under its heading.
    pub fn section(&self, section: &Section) -> Markup {
        let shown = section.shown(self.reader);
        let head = shown.anchor.map(|anchor| format!("{anchor}-head"));
        html! {
            section id=[shown.anchor] aria-labelledby=[head.as_deref()] {
                h2 id=[head.as_deref()] { (self.runs(&shown.title)) }
                @for block in &shown.blocks { (self.block(block)) }
            }
        }
    }

    pub fn text(&self, text: &Text) -> Markup {
        self.runs(&runs(text, self.reader))
    }

    fn runs(&self, runs: &[Run]) -> Markup {
        html! { @for run in runs { (self.run(run)) } }
    }

    fn run(&self, run: &Run) -> Markup {
        html! {
            @match run {
                Run::Words(words) => { (words) }
                Run::Id(id) => {
                    @match self.cards.get(id) {
                        Some(Some(fragment)) => { a.id href=(link(fragment)) { (breakable(id)) } }
                        _ => { span.id { (breakable(id)) } }
                    }
                }
                Run::Strong(words) => { strong { (words) } }
                Run::Code(words) => { code { (words) } }
                Run::Source(words) => { span.source { (words) } }
                Run::Formula(formula) => { code.formula { (formula.plain) } }
                Run::Section(anchor) => {
                    @match self.titles.get(anchor.as_str()) {
                        Some(title) => { a href={ "#" (anchor) } { (title) } }
                        None => { "the report" }
                    }
                }
            }
        }
    }

    fn block(&self, block: &BlockShown) -> Markup {
        html! {
            @match block {
                BlockShown::Heading { level, text } => {
                    @if *level <= 2 { h3 { (self.runs(text)) } } @else { h4 { (self.runs(text)) } }
                }
                BlockShown::Paragraph { text } => { p { (self.runs(text)) } }
                BlockShown::Lead { text } => { p.lead { (self.runs(text)) } }
                BlockShown::Note { text } => { p.note { (self.runs(text)) } }
                BlockShown::List { points } => { ul { @for point in points { li { (self.runs(point)) } } } }
                BlockShown::Images { images } => {
                    ul.pictures { @for image in images { li { (self.image(image)) } } }
                }
                BlockShown::Terms { terms } => {
                    dl { @for (term, means) in terms { dt { (self.runs(term)) } dd { (self.runs(means)) } } }
                }
                BlockShown::Code { text } => { pre tabindex="0" { code { (text) } } }
                BlockShown::Drawing { number } => { (self.drawing(*number)) }
                BlockShown::Quote { text, language, by } => {
                    (self.quoted(text, language.as_ref(), html! { (self.runs(by)) }))
                }
                BlockShown::Finding(finding) => { (self.finding(finding)) }
                BlockShown::Answer { finding, answer } => {
                    div.finding { p { span.id { (breakable(finding)) } } (self.answer(answer, true)) }
                }
                BlockShown::Table(table) => { (self.table(table)) }
            }
        }
    }

    /// A drawing of the report. It is an image of its own, so that nothing in it meets the names of another.
    pub fn drawing(&self, number: usize) -> Markup {
        let Some(drawing) = self.drawings.get(number) else { return html! {} };
        // CSS pixels: 96 to the inch.
        let px = |mm: f64| (mm * 96.0 / 25.4).round();
        html! {
            figure {
                div.drawing tabindex="0" role="group" aria-label=(drawing.title) {
                    img src=(drawn::address(&drawing.svg)) alt=(drawing.alt) width=(px(drawing.width_mm)) height=(px(drawing.height_mm));
                }
                figcaption { strong { (drawing.title) } ". " (drawing.caption) }
            }
        }
    }

    /// A table that no section has.
    pub fn page_table(&self, table: &Table) -> Markup {
        self.table(&table.shown(self.reader))
    }

    /// The id of a finding, as a link to it.
    pub fn finding_link(&self, finding: &str) -> Markup {
        html! { a.id href=(link(&card("finding", finding))) { (breakable(finding)) } }
    }

    fn table(&self, table: &TableShown) -> Markup {
        let caption = match &table.about {
            Some(about) => html! { caption { (self.runs(about)) } },
            None => html! { caption.unseen { (table.summary) } },
        };
        let figure = |n: usize| table.columns.get(n).is_some_and(|column| column.is_figure);
        html! {
            div.table tabindex="0" role="group" aria-label=(table.summary) {
                table {
                    (caption)
                    thead { tr {
                        @for column in &table.columns {
                            th scope="col" class=[column.is_figure.then_some("figure")] {
                                (column.head)
                                @if let Some(unit) = column.unit {
                                    @if !column.head.is_empty() { ", " }
                                    (unit)
                                }
                            }
                        }
                    } }
                    tbody {
                        @for row in &table.rows {
                            tr {
                                @for (n, cell) in row.iter().enumerate() {
                                    @let class = figure(n).then_some("figure");
                                    @if n == table.row_head {
                                        th scope="row" class=[class] { (self.cell(cell)) }
                                    } @else {
                                        td class=[class] { (self.cell(cell)) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
            @if let Some(more) = &table.more { p.note { (more) } }
        }
    }

    fn cell(&self, cell: &CellShown) -> Markup {
        html! {
            @match cell {
                CellShown::Text(text) => { (self.runs(text)) }
                CellShown::Outcome { outcome } => { (told_outcome(outcome)) }
                CellShown::Outcomes { checks } => {
                    @for (n, (check, outcome)) in checks.iter().enumerate() {
                        @if n > 0 { br; }
                        (check) ": " (told_outcome(outcome))
                    }
                }
                CellShown::NotRecorded { .. } => { i { "not recorded" } }
                CellShown::DoesNotApply(()) => {}
            }
        }
    }

    fn image(&self, image: &ImageShown) -> Markup {
        html! {
            (self.previews.shown(&image.name))
            p lang=[language(image.language.as_ref())] dir="auto" { (image.caption) }
            p.note { (self.runs(&image.source)) }
        }
    }

    fn finding(&self, finding: &FindingShown) -> Markup {
        let (h4, h5) = (finding.level <= 3, finding.level > 3);
        let head =
            html! { (told_outcome(finding.outcome)) " " span.id { (breakable(&finding.id)) } };
        html! {
            article.finding id={ "finding." (finding.id) } {
                @if h4 { h4 { (head) } }
                @if h5 { h5 { (head) } }
                p { (self.runs(&finding.sentence)) }
                @if let Some(figures) = &finding.figures { p.note { (figures) "." } }
                @if let Some(answer) = &finding.answer { (self.answer(answer, false)) }
                @else if finding.wants_answer {
                    p { strong {
                        @if finding.earlier.is_empty() { "No answer is recorded." }
                        @else { "No answer to what it says now is recorded." }
                    } }
                }
                @if !finding.earlier.is_empty() {
                    p { "Given when it said something else, and kept:" }
                    @for answer in &finding.earlier { (self.answer(answer, true)) }
                }
                @if !finding.in_short && !finding.places.is_empty() {
                    p.note { "Records used: " (finding.places) "." }
                }
                @for note in &finding.notes { p.note { (self.runs(note)) } }
            }
        }
    }

    fn answer(&self, answer: &AnswerShown, is_earlier: bool) -> Markup {
        let by = html! {
            "Answered by " (answer.by) ", " (answer.on)
            @match &answer.then {
                None => { "; the answer does not state what it answered." }
                Some(then) if is_earlier => { ", when it said: " (then) "." }
                Some(_) => { "." }
            }
        };
        self.quoted(&answer.answer, answer.language.as_ref(), by)
    }

    fn quoted(&self, text: &str, spoken: Option<&LanguageShown>, by: Markup) -> Markup {
        html! {
            figure.said {
                blockquote lang=[language(spoken)] dir="auto" {
                    @for paragraph in text.split("\n\n") {
                        p { @for (n, line) in paragraph.lines().enumerate() { @if n > 0 { br; } (line) } }
                    }
                }
                figcaption { (by) }
            }
        }
    }
}

/// How a finding came out, with the mark that stands for it in print.
fn told_outcome(outcome: &str) -> Markup {
    let mark = match outcome {
        "differs" => "\u{2260} ",
        "beyond limit" => "\u{25b2} ",
        "not recorded" => "\u{25cb} ",
        _ => "",
    };
    html! { span.outcome { (mark) (outcome) } }
}

/// An id that may break after its points.
fn breakable(id: &str) -> Markup {
    html! {
        @for (n, part) in id.split('.').enumerate() {
            @if n > 0 { "." (PreEscaped("<wbr>")) }
            (part)
        }
    }
}

/// A fragment as a link on the same page: whatever is no plain letter or figure is written as percent and two
/// hexadecimal digits (RFC 3986, section 2.1).
pub fn link(fragment: &str) -> String {
    let mut link = String::from("#");
    for byte in fragment.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            link.push(char::from(byte));
        } else {
            link.push_str(&format!("%{byte:02X}"));
        }
    }
    link
}

/// A language as HTML names it.
fn language(spoken: Option<&LanguageShown>) -> Option<String> {
    spoken.map(|spoken| match &spoken.region {
        Some(region) => format!("{}-{region}", spoken.code),
        None => spoken.code.clone(),
    })
}
