//! `lastdock terms`: the words of the trade and of the record, and what they mean.

use clap::Args;

use super::page::Page;
use super::print;
use super::say;
use super::status::Status;
use crate::bundle::error::BundleError;
use crate::records::value::nearest;
use crate::words::{self, GROUPS, Word};

/// What `terms` takes.
#[derive(Debug, Args)]
pub struct Terms {
    /// A word, its short form or a part of it; without one, all of them
    #[arg(value_name = "WORD")]
    word: Vec<String>,
    /// Print the words as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Terms) -> Status {
    let asked = args.word.join(" ");
    let found = words::asked(&asked);
    if args.word.is_empty() {
        if args.json {
            say::json(&as_data(GROUPS.iter().flat_map(|group| group.words)));
        } else {
            say::told(&all());
        }
    } else if found.is_empty() {
        return say::failed(&[unknown(&asked)], args.json);
    } else if args.json {
        say::json(&as_data(found.into_iter()));
    } else {
        found.into_iter().for_each(|word| say::told(&told(word)));
    }
    Status::Well
}

fn all() -> Page {
    let groups = GROUPS.iter().map(|group| {
        let mut page = Page::new();
        page.heading(group.title);
        group.words.iter().for_each(|word| page.append(told(word)));
        page
    });
    Page::parted(groups.collect())
}

fn told(word: &Word) -> Page {
    let mut page = Page::of("  ");
    page.heading(&word.headed());
    page.push_str(&format!("{}\n", print::wrapped(word.means, 4)));
    page
}

fn unknown(asked: &str) -> BundleError {
    let names: Vec<&str> =
        GROUPS.iter().flat_map(|group| group.words).flat_map(Word::names).collect();
    let lower: Vec<String> = names.iter().map(|name| name.to_lowercase()).collect();
    let advice = match nearest(&asked.to_lowercase(), lower.iter().map(String::as_str)) {
        Some(near) => format!("is {near} meant? lastdock terms prints all of them"),
        None => "lastdock terms prints all of them".to_string(),
    };
    BundleError::new(format!("{asked:?}"), "is none of the words that are explained", advice)
}

fn as_data<'a>(words: impl Iterator<Item = &'a Word>) -> Vec<serde_json::Value> {
    let words = words.map(
        |word| serde_json::json!({ "word": word.word, "also": word.also, "means": word.means }),
    );
    words.collect()
}
