//! `foliary rulebook`: what a law or a scheme asks for.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::lines;
use super::{CLEAN, Failure, print};
use crate::files::{LoadError, load};
use crate::journal::nearest_word;
use crate::rulebook::{Came, Demand, Known, Rule, Rulebook as Book, Shelf};
use crate::text::escape_hidden;

/// Where the words behind `asks`, `holds` and the like begin.
const INDENT: usize = 12;

/// Say what a law or a scheme asks for, rule by rule, and how well each is known.
///
/// Without a name: list the rulebooks at hand, those in the farm's own folders too.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Rulebook {
    /// The name of a rulebook, such as us-organic.
    name: Option<String>,
    /// Only the rules in force on this day, as 2026-05-14.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    on: Option<NaiveDate>,
    /// Where journals with rulebooks of their own lie; this folder if nothing is said.
    #[arg(long = "in", value_name = "PATH")]
    within: Vec<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  Which rulebooks are at hand:
    foliary rulebook

  What one of them asked for on a day:
    foliary rulebook us-organic --on 2026-05-14";

impl Rulebook {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let shelves = self.shelves()?;
        let books = books(&shelves);
        let Some(name) = &self.name else {
            print(&list(&books, self.on))?;
            return Ok(CLEAN);
        };
        let named: Vec<&(&Book, Came)> =
            books.iter().filter(|(book, _)| book.name.eq_ignore_ascii_case(name)).collect();
        if named.is_empty() {
            let hint = nearest_word(name, books.iter().map(|(book, _)| book.name.as_str())).map_or_else(
                || "`foliary rulebook` lists them all".to_string(),
                |near| format!("did you mean {near}?"),
            );
            return Err(Failure::Other(format!("no rulebook is called {}; {hint}", escape_hidden(name))));
        }
        let pages: Vec<String> = named.into_iter().map(|(book, came)| page(book, came, self.on)).collect();
        print(&pages.join("\n"))?;
        Ok(CLEAN)
    }

    /// The shelves of the farms there. A folder without a journal is no mistake unless it was named.
    fn shelves(&self) -> Result<Vec<Shelf>, Failure> {
        let here = [PathBuf::from(".")];
        let paths = if self.within.is_empty() { &here[..] } else { &self.within[..] };
        match load(paths) {
            Ok(loaded) => Ok(loaded.farms.into_iter().map(|farm| farm.shelf).collect()),
            Err(LoadError::Nothing(_)) if self.within.is_empty() => Ok(Vec::new()),
            Err(error) => Err(error.into()),
        }
    }
}

/// Every rulebook once: own ones by their file, then those that come with the program; by name, an own one first.
fn books(shelves: &[Shelf]) -> Vec<(&Book, Came)> {
    let own = shelves.iter().flat_map(Shelf::all).filter(|(_, came)| *came != Came::Shipped);
    let mut files: BTreeSet<String> = BTreeSet::new();
    let own = own.filter(|(_, came)| matches!(came, Came::Own(file) if files.insert(file.clone())));
    let mut books: Vec<(&Book, Came)> = own.collect();
    books.extend(Shelf::shipped().all());
    // Own ones were put in first, by file.
    books.sort_by(|(one, _), (other, _)| one.name.cmp(&other.name));
    books
}

fn list(books: &[(&Book, Came)], on: Option<NaiveDate>) -> String {
    let mut list = String::new();
    for (book, came) in books {
        let rules = rules(book, on);
        let about = format!("{} ({}). {}", book.title, book.place, counted(&rules, on));
        let _ = writeln!(list, "{}", escape_hidden(&book.name));
        indented(&mut list, &about, 4);
        if let Came::Own(file) = came {
            indented(&mut list, &own_words(book, file), 4);
        }
    }
    list
}

fn page(book: &Book, came: &Came, on: Option<NaiveDate>) -> String {
    let mut page = String::new();
    indented(&mut page, &format!("{}: {}", book.name, book.title), 0);
    page.push('\n');
    fact(&mut page, 0, "place", &book.place);
    fact(&mut page, 0, "sort", book.sort.word());
    fact(&mut page, 0, "authority", &book.authority);
    fact(&mut page, 0, "source", &book.citation);
    fact(&mut page, 0, "set down", &day(book.set_down));
    if let Came::Own(file) = came {
        fact(&mut page, 0, "file", &own_words(book, file));
    }
    page.push('\n');
    indented(&mut page, &book.about, 0);
    for caution in &book.cautions {
        page.push('\n');
        indented(&mut page, &format!("Caution: {caution}"), 0);
    }
    let rules = rules(book, on);
    page.push('\n');
    indented(&mut page, &counted(&rules, on), 0);
    for rule in rules {
        page.push('\n');
        one_rule(&mut page, rule);
    }
    page.push('\n');
    indented(
        &mut page,
        "This is a digest in our own words. Where it differs from the law, the scheme or the product label, they \
         prevail; look up the source before you rely on it.",
        0,
    );
    page
}

fn one_rule(page: &mut String, rule: &Rule) {
    let _ = writeln!(page, "{}", escape_hidden(&rule.id));
    fact(page, 4, "asks", &rule.demand.words());
    if let Some(when) = rule.when.words() {
        fact(page, 4, "holds if", &when);
    }
    fact(page, 4, "source", &rule.citation);
    fact(page, 4, "in force", &rule.in_force_words());
    let read_on = rule.known_on.as_ref().map_or(String::new(), |on| format!(", {on}"));
    let checked = rule.demand != Demand::Note;
    let weight = if checked && rule.known == Known::Memory { "; raises notes only" } else { "" };
    fact(page, 4, "known", &format!("{}{read_on}{weight}", rule.known.words()));
    fact(page, 4, "says", &rule.says);
}

fn rules(book: &Book, on: Option<NaiveDate>) -> Vec<&Rule> {
    book.rules.iter().filter(|rule| on.is_none_or(|day| rule.in_force(day))).collect()
}

/// `12 rules: 3 text read, 9 guidance read`, with the day that was asked for.
fn counted(rules: &[&Rule], on: Option<NaiveDate>) -> String {
    let force = on.map_or(String::new(), |on| format!(" in force on {}", day(on)));
    if rules.is_empty() {
        return format!("No rule{force}");
    }
    let known = [Known::Text, Known::Guidance, Known::Memory].into_iter().filter_map(|known| {
        let count = rules.iter().filter(|rule| rule.known == known).count();
        (count > 0).then(|| format!("{count} {}", known.words()))
    });
    let known: Vec<String> = known.collect();
    let many = if rules.len() == 1 { "rule" } else { "rules" };
    format!("{} {many}{force}: {}", rules.len(), known.join("; "))
}

fn own_words(book: &Book, file: &str) -> String {
    let instead = Shelf::shipped().find(&book.name).map_or("", |_| ", instead of the one that comes with the program");
    format!("the farm's own, from {file}{instead}")
}

fn day(day: NaiveDate) -> String {
    day.format("%-d %B %Y").to_string()
}

/// A line `asks  words`, going on below its own words.
fn fact(page: &mut String, margin: usize, name: &str, words: &str) {
    let first = format!("{:margin$}{name:<INDENT$}", "");
    filled(page, words, &first, &" ".repeat(margin + INDENT));
}

fn indented(page: &mut String, words: &str, margin: usize) {
    let margin = " ".repeat(margin);
    filled(page, words, &margin, &margin);
}

/// One paragraph. Line breaks and hidden characters of a file do not reach the terminal.
fn filled(page: &mut String, words: &str, first: &str, later: &str) {
    let words: Vec<&str> = words.split_whitespace().collect();
    let words = words.join(" ");
    let _ = writeln!(page, "{}", lines::filled(&escape_hidden(&words), first, later));
}
