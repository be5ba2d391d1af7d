//! What the next team needs to know: what was left, where to put her, what people wrote for them, and what in this
//! record is not to be trusted. Whatever is long is cut here and said to be cut.

use super::closing;
use super::drawings::drawings_of;
use crate::calc::exposure::Piece;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::recomputed::measures::anode_loss_part;
use crate::findings::shifts::sentences;
use crate::findings::subject::{Subject, Weight};
use crate::pages::pieces::{self, metres};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::records::papers::Paper;
use crate::records::pictures::Picture;
use crate::records::plating::Anode;
use crate::records::remarks::Remark;
use crate::report::figures::{Group, pictures_numbered};
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{
    Form, Text, and, code, count, day, id, list_first, nearest_frame, range, section as see,
    shortened, strong,
};

/// How much of each list finds room; what is left out is said to be.
const MOST_PIECES: usize = 6;
/// Drawings of pieces that were never exposed.
const MOST_DRAWINGS: usize = 2;
const MOST_SHORT: usize = 10;
const MOST_ANODES: usize = 12;
/// Warnings are not cut: so many openings would be the plan's own fault, and then all stand in their section.
const MOST_CLEARANCES: usize = 60;
const MOST_WRITTEN: usize = 12;
/// Characters that are printed of a remark.
const MOST_LETTERS: usize = 2000;
const MOST_DOUBTS: usize = 12;
const MOST_NEVER_OPENED: usize = 24;

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let examined = inputs.examined;
    let mut section = Section::new("For the next team").at("next-team").on_own_page();
    section.part("What was never exposed or left short");
    never_exposed(&mut section, inputs);
    left_short(&mut section, examined);
    shift_to_choose(&mut section, examined);
    short_clearances(&mut section, examined);
    written(&mut section, inputs);
    doubtful(&mut section, examined);
    section
}

/// Says how many of a list are left out, and where they stand.
fn more(
    section: &mut Section,
    begin: &str,
    all: usize,
    most: usize,
    words: &str,
    anchor: &'static str,
) {
    if all > most {
        section.paragraph(text!("{} {} {} {}.", begin, all - most, words, see(anchor)));
    }
}

fn never_exposed(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    let mut pieces: Vec<&Piece> = examined.recomputed.never_exposed.iter().collect();
    pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    match examined.recomputed.never_exposed() {
        None => {
            section.paragraph("Not recorded: not every position can be placed.");
        }
        Some(_) if pieces.is_empty() => {
            section.paragraph(
                "None: all of the bottom was free of blocks in one position or another.",
            );
        }
        Some(area) => {
            let drawings = drawings_of(inputs, Group::NeverExposed);
            if let [piece] = pieces.as_slice() {
                section.paragraph(one_piece(&examined.project, piece));
            } else {
                section.paragraph(text!(
                    "{} in {}, under blocks in every position, and so neither blasted nor painted:",
                    area,
                    count(pieces.len(), "piece", "pieces")
                ));
                let largest = pieces.iter().take(MOST_PIECES).copied();
                section.table(pieces::never_exposed(&examined.project, largest));
                let stand = "more stand in";
                let begin = "The largest are listed;";
                more(section, begin, pieces.len(), MOST_PIECES, stand, "exposure");
            }
            section.drawings(drawings.into_iter().take(MOST_DRAWINGS));
        }
    }
    let history = super::history::lines(examined);
    if !history.is_empty() {
        let lines = Text::joined(history.iter().map(Text::from), " ");
        section.paragraph(text!("{} See {}.", lines, see("history")));
    }
}

fn shift_to_choose(section: &mut Section, examined: &Examined) {
    let brief = match examined.shift_to_choose() {
        Ok(told) => sentences::brief(told),
        Err(why) => vec![text!("No shift can be named. {}", why)],
    };
    if brief.is_empty() {
        return;
    }
    section.part("The shift to choose");
    section.list(brief);
    section.note(text!(
        "See {}. {} {}",
        see("shifts"),
        sentences::CAUTIONS.join(" "),
        sentences::BEFORE_USE
    ));
}

/// Openings under a cap or nearer to one than is wanted, the worst first, and what could not be held.
fn short_clearances(section: &mut Section, examined: &Examined) {
    section.part("Openings too near a block");
    let project = &examined.project;
    let mut short: Vec<(f64, [Cell; 5])> = Vec::new();
    let (mut held, mut not_held) = (0, 0);
    for (n, opening) in project.openings.iter().enumerate() {
        let wanted_m = opening.wants_clear_m(&project.docking.bounds);
        not_held += usize::from(wanted_m.is_none());
        for (position, recomputed) in project.positions.iter().zip(&examined.recomputed.positions) {
            let Some((clear, block)) = recomputed.clear_distance(project, &position.id, n) else {
                continue;
            };
            let clear_m = clear.kept;
            held += usize::from(wanted_m.is_some());
            if clear_m <= 0.0 || wanted_m.is_some_and(|wanted_m| clear_m + 1e-9 < wanted_m) {
                let drains = opening.is_docking_plug() && clear_m <= 0.0;
                let cannot = if drains { " (docking plug, could not drain)" } else { "" };
                let block = project.blocks.get(block).map(|block| id(&block.id));
                let row = [
                    text!("{}{}", id(&opening.id), cannot).into(),
                    id(&position.id).into(),
                    clear.into(),
                    wanted_m.map(metres).into(),
                    Cell::if_any(block),
                ];
                short.push((clear_m - wanted_m.unwrap_or(0.0), row));
            }
        }
    }
    short.sort_by(|a, b| a.0.total_cmp(&b.0));
    let found = short.len();
    let columns = [
        Column::name("Opening"),
        Column::name("Position"),
        Column::measure("Clear", Form::Length).share(1.0),
        Column::measure("Wanted", Form::Length).share(1.0),
        Column::name("Nearest block"),
    ];
    let rows = short.into_iter().take(MOST_CLEARANCES).map(|(_, row)| row);
    section.table(Table::new(columns).rows(rows));
    let words = "more are too near, and all stand in";
    more(section, "The nearest are listed;", found, MOST_CLEARANCES, words, "openings");
    let mut sentences = Vec::new();
    if project.openings.is_empty() {
        sentences.push(text!("No opening is recorded."));
    } else if found == 0 && held > 0 {
        sentences
            .push(text!("Of the openings that could be checked, none was nearer than wanted."));
    }
    if not_held > 0 {
        sentences.push(text!(
            "For {} no clear distance is stated; it was only checked whether a cap lay under {}.",
            count(not_held, "opening", "openings"),
            if not_held == 1 { "it" } else { "them" }
        ));
    }
    let unknown: Vec<&str> = project
        .positions
        .iter()
        .zip(&examined.recomputed.positions)
        .filter(|(_, out)| out.clearances.iter().all(Option::is_none))
        .map(|(position, _)| position.id.as_str())
        .collect();
    if !project.openings.is_empty() && (project.positions.is_empty() || !unknown.is_empty()) {
        sentences.push(match unknown.as_slice() {
            [] => text!(
                "No docking position is recorded, so none could be checked against the blocks."
            ),
            unknown => text!(
                "Where she lay in {}, or which blocks stood, is not recorded, so none could be checked against them \
                 there.",
                and(unknown)
            ),
        });
    }
    section.paragraph(Text::joined(sentences, " "));
}

/// The only piece that was never exposed, in a sentence.
fn one_piece(project: &Project, piece: &Piece) -> Text {
    let [x0, x1, y0, y1] = piece.extent;
    let frame = nearest_frame(project.docking.frames.as_ref(), (x0 + x1) / 2.0);
    let frame = frame.map_or(Text::new(), |frame| text!(", near frame {}", frame));
    text!(
        "{} in 1 piece, under blocks in every position, and so neither blasted nor painted: x {}, y {}{}, hidden in {}.",
        crate::pages::pieces::area(piece.area_m2),
        range(metres(x0), metres(x1)),
        range(metres(y0), metres(y1)),
        frame,
        crate::pages::pieces::hidden_by(project, &piece.hidden_by)
    )
}

/// What else was left short: coats, plates, anodes, openings.
fn left_short(section: &mut Section, examined: &Examined) {
    let project = &examined.project;
    let coating = super::coating::headline(examined, text!("{}", see("coating")));
    let coating = (!coating.is_empty()).then(|| {
        let lines = Text::joined(coating.iter().map(Text::from), " ");
        text!("{} See {}.", lines, see("coating"))
    });
    let told_above = |subject: &Subject| {
        matches!(
            subject,
            Subject::NeverExposed
                | Subject::ZoneComplete(_)
                | Subject::HistoryNeverExposed
                | Subject::Reached(_)
        )
    };
    let short: Vec<&Finding> = examined
        .findings
        .iter()
        .filter(|finding| finding.is_troubled() && !told_above(&finding.subject))
        .filter(|finding| {
            finding.weight() == Some(Weight::Steel)
                || matches!(finding.subject, Subject::PlateLoss(_))
        })
        .collect();
    let found = short.iter().take(MOST_SHORT).map(|finding| told(finding));
    let closed_and_tested = text!(
        "{} {}",
        closing::closed(project, usize::MAX).text,
        closing::tested(project, usize::MAX).text
    );
    section.list(
        coating.into_iter().chain(found).chain(
            [left_anodes(project), Some(closed_and_tested), never_opened(project)]
                .into_iter()
                .flatten(),
        ),
    );
    more(
        section,
        "And",
        short.len(),
        MOST_SHORT,
        "more that leave steel unprotected, in",
        "answers",
    );
}

/// What a finding says, in a line, and that nobody has answered it. Answers stand in the next section.
fn told(finding: &Finding) -> Text {
    let open =
        if finding.wants_answer() { text!("{}: ", strong("Not answered")) } else { Text::new() };
    text!("{}{} ({})", open, finding.sentence, id(&finding.id))
}

/// Anodes that were left in place, with what they had lost.
fn left_anodes(project: &Project) -> Option<Text> {
    let left: Vec<&Anode> =
        project.anodes.iter().filter(|anode| anode.renewed == Some(false)).collect();
    let named = left.iter().take(MOST_ANODES).map(|anode| match anode_loss_part(anode) {
        Some(lost) => text!("{} ({} lost)", id(&anode.id), lost),
        None => id(&anode.id).into(),
    });
    let more = left.len().saturating_sub(MOST_ANODES);
    let more = if more > 0 { text!(" and {} more", more) } else { Text::new() };
    (!left.is_empty()).then(|| {
        text!(
            "Anodes left in place: {}{}. See {}.",
            Text::joined(named, ", "),
            more,
            see("plating")
        )
    })
}

/// Openings of which nobody wrote down that they were opened.
fn never_opened(project: &Project) -> Option<Text> {
    let opened: Vec<&str> = project.opened.iter().map(|opened| opened.opening.as_str()).collect();
    let never: Vec<&str> =
        project.openings.iter().map(|o| o.id.as_str()).filter(|id| !opened.contains(id)).collect();
    (!never.is_empty() && !opened.is_empty()).then(|| {
        text!("Not opened, as far as recorded: {}.", list_first(&never, MOST_NEVER_OPENED))
    })
}

/// What people marked as meant for the next docking.
fn written(section: &mut Section, inputs: &Inputs<'_>) {
    let examined = inputs.examined;
    let project = &examined.project;
    section.part("What people wrote for the next time");
    let marked: Vec<&[Remark]> = project
        .remarks
        .given
        .chunk_by(|a, b| a.place == b.place)
        .filter(|remark| remark[0].for_next_time)
        .collect();
    let papers: Vec<&Paper> = project.papers.iter().filter(|paper| paper.for_next_time).collect();
    if marked.is_empty() && papers.is_empty() {
        section.paragraph(text!(
            "No remark and no paper of this record is marked {}.",
            code("for_next_time")
        ));
        return;
    }
    for paper in papers.iter().take(MOST_WRITTEN) {
        paper_in_words(section, inputs, paper);
    }
    let numbered = pictures_numbered(examined);
    let number = |file: &str| numbered.iter().position(|paper| paper.file == file).map(|n| n + 1);
    let images = pictures(inputs).map(|(n, paper, picture)| {
        super::pictures::image(n, number(&paper.file), &paper.file, Some(paper), picture)
    });
    section.images(images.collect());
    for remark in marked.iter().take(MOST_WRITTEN) {
        let said = &remark[0];
        let more = if said.answer.chars().count() > MOST_LETTERS {
            text!(" The whole of it stands in {}.", code("data/findings.json"))
        } else {
            Text::new()
        };
        let ids = remark.iter().map(|part| id(&part.finding).into());
        let by = text!("{}, {}, of {}.{}", said.by, day(said.on), Text::listed(ids), more);
        section.quote(vec![shortened(&said.answer, MOST_LETTERS)], by);
    }
    more(section, "And", marked.len(), MOST_WRITTEN, "more remarks, in", "answers");
    more(section, "And", papers.len(), MOST_WRITTEN, "more papers, in", "papers");
}

/// The pictures that stand here, each with its number among those of the report; the section on papers points to them.
pub(super) fn pictures<'a>(
    inputs: &Inputs<'a>,
) -> impl Iterator<Item = (usize, &'a Paper, &'a Result<Picture, String>)> {
    let papers = inputs.examined.project.listed_papers();
    let all = inputs.pictures.pictures().iter().enumerate();
    let meant = all.filter_map(move |(n, (file, picture))| {
        let paper = papers.get(file.as_str()).filter(|paper| paper.for_next_time)?;
        Some((n, *paper, picture))
    });
    meant.take(MOST_WRITTEN)
}

/// Whether a paper's text is printed here.
pub(super) fn is_printed(inputs: &Inputs<'_>, paper: &Paper) -> bool {
    let meant = inputs.examined.project.papers.iter().filter(|paper| paper.for_next_time);
    let letter = inputs.letters.iter().find(|letter| letter.file == paper.file);
    meant.take(MOST_WRITTEN).any(|meant| meant.file == paper.file)
        && letter.is_some_and(|letter| letter.text.is_ok())
}

/// A paper for the next team: a text whole, anything else by its name.
fn paper_in_words(section: &mut Section, inputs: &Inputs<'_>, paper: &Paper) {
    let place = code(format!("data/{}", paper.path()));
    let about = text!(
        "{}, {} ({})",
        paper.by.as_deref().unwrap_or("By whom is not recorded"),
        paper.taken_at.map_or("time not recorded".into(), |at| Text::from(day(at.date_naive()))),
        id(&paper.file)
    );
    let letter = inputs.letters.iter().find(|letter| letter.file == paper.file);
    match letter.map(|letter| &letter.text) {
        Some(Ok(said)) => {
            let rest = if said.is_cut {
                text!(" The rest stands in {} of the bundle.", place)
            } else {
                Text::new()
            };
            section.quote(said.paragraphs.clone(), text!("{}.{}", about, rest));
        }
        Some(Err(why)) => {
            section.paragraph(text!(
                "{}: not printed, since {}. It is in the bundle, {}.",
                about,
                why,
                place
            ));
        }
        None if inputs.examined.project.is_picture_for_next_time(paper) => {}
        None => {
            let caption = paper.caption.as_deref().unwrap_or("What it says is not recorded.");
            section.paragraph(text!("{}: {} It is in the bundle, {}.", about, caption, place));
        }
    }
}

/// What the record itself contradicts, and what it could not check.
fn doubtful(section: &mut Section, examined: &Examined) {
    section.part("What not to trust");
    let mut doubts: Vec<&Finding> = examined
        .findings
        .iter()
        .filter(|finding| finding.is_troubled() && finding.weight() > Some(Weight::Steel))
        .collect();
    doubts.sort_by_key(|finding| finding.remark.is_some());
    let found = doubts.iter().take(MOST_DOUBTS).map(|finding| told(finding));
    let made = match examined.count(Outcome::NotRecorded) {
        0 => text!("Nothing that a check needed was missing."),
        n => text!(
            "{} could not be made, because something was not recorded; see {}.",
            if n == 1 { "One check".to_string() } else { format!("{n} checks") },
            see("answers")
        ),
    };
    section.list(found.chain([answered(examined).into(), made]));
    more(section, "And", doubts.len(), MOST_DOUBTS, "more, in", "answers");
}

/// Whether findings that want an answer have one.
fn answered(examined: &Examined) -> String {
    let all = examined.count(Outcome::Differs) + examined.count(Outcome::BeyondLimit);
    match (all, examined.unanswered().count()) {
        (0, _) if examined.count(Outcome::Agrees) == 0 => "No check could be made.".to_string(),
        (0, _) => "Among the checks that could be made, no finding differs or is beyond a limit."
            .to_string(),
        (1, 0) => "The one finding that differs or is beyond a limit has an answer.".to_string(),
        (n, 0) => {
            format!("Each of the {n} findings that differ or are beyond a limit has an answer.")
        }
        (n, open) => format!(
            "Of the {n} findings that differ or are beyond a limit {open} {} no answer.",
            if open == 1 { "has" } else { "have" }
        ),
    }
}
