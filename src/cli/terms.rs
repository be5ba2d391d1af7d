//! `lastdock terms`: the words of the trade and of the record, and what they mean.

use clap::Args;

use super::say;
use super::status::Status;
use super::terminal::Terminal;
use crate::bundle::error::BundleError;
use crate::pages::Section;
use crate::records::value::nearest;
use crate::text::System;
use crate::words::{self, GROUPS, Word};

/// What `terms` takes.
#[derive(Debug, Args)]
pub struct Terms {
    /// A word, its short form or part of it; without one, all words are printed
    #[arg(value_name = "WORD")]
    word: Vec<String>,
    /// Print the words as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Terms) -> Status {
    let asked = args.word.join(" ");
    let found = words::find(&asked);
    let terminal = Terminal::new(System::Si);
    if args.word.is_empty() {
        if args.json {
            say::print_json(&to_json(GROUPS.iter().flat_map(|group| group.words)));
        } else {
            let groups = GROUPS.iter().map(|group| section(group.title, group.words.iter()));
            say::print(&terminal.sections(&groups.collect::<Vec<_>>()));
        }
    } else if found.is_empty() {
        return say::print_errors(&[unknown(&asked)], args.json);
    } else if args.json {
        say::print_json(&to_json(found.into_iter()));
    } else {
        say::print(&terminal.body(&section("", found.into_iter())));
    }
    Status::Well
}

/// Words with their meanings under a title.
fn section<'a>(title: &str, words: impl Iterator<Item = &'a Word>) -> Section {
    let mut section = Section::new(title);
    section.terms(words.map(|word| (word.heading().into(), word.means.into())));
    section
}

fn unknown(asked: &str) -> BundleError {
    let names: Vec<&str> =
        GROUPS.iter().flat_map(|group| group.words).flat_map(Word::names).collect();
    let lower: Vec<String> = names.iter().map(|name| name.to_lowercase()).collect();
    let advice = match nearest(&asked.to_lowercase(), lower.iter().map(String::as_str)) {
        Some(near) => format!("did you mean {near}? lastdock terms prints all words"),
        None => "lastdock terms prints all words".to_string(),
    };
    BundleError::new(format!("{asked:?}"), "is not in the list of words", advice)
}

fn to_json<'a>(words: impl Iterator<Item = &'a Word>) -> Vec<serde_json::Value> {
    let words = words.map(
        |word| serde_json::json!({ "word": word.word, "also": word.also, "means": word.means }),
    );
    words.collect()
}
