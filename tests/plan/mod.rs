//! The plan: rounds worked by hand, what stands in their way, the shopping list, and suppositions.

mod command;
mod executed;
mod rounds;
mod shopping;
mod supposed;

use chrono::NaiveDate;
use foliary::plan::{Line, Plan, Request, State, plan};
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Does something with the plan of a journal on a day.
pub(crate) fn with_plan<T>(text: &str, today: &str, use_it: impl FnOnce(&Season<'_>, &Plan) -> T) -> T {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    assert!(journal.troubles.is_empty(), "{:?}", journal.troubles);
    let season = Season::new(&journal, &sources, Some(day(today)));
    let planned = plan(&season, &[file], &Request::all(day(today))).unwrap();
    use_it(&season, &planned)
}

/// A journal with a program on one block, and more entries.
pub(crate) fn journal(program: &str, more: &str) -> String {
    format!(
        "farm larkspur-bend\n    timezone America/Boise\n    currency USD\n\n\
         block creek-pear\n    crop pear\n    area 1.2 acre\n    picking 2026-08-20 to 2026-09-05\n\n\
         material kelp\n    form liquid\n    reentry 4 h\n    preharvest none stated\n\n\
         mix leaf-tonic\n    in 1 gal\n    put kelp 1 fl oz\n\n\
         program pear-rounds\n    mix leaf-tonic\n    blocks creek-pear\n    volume 60 gal\n{program}\n{more}"
    )
}

pub(crate) fn spray(day: &str) -> String {
    format!("\n{day}\n\nspray creek-pear\n    mix leaf-tonic, 60 gal\n    time 06:00 to 07:15\n")
}

/// The first line of a plan.
fn line(plan: &Plan) -> &Line {
    &plan.lines[0]
}

/// The days of the rounds to come, each with its window.
fn windows(text: &str, today: &str) -> Vec<(usize, NaiveDate, NaiveDate, NaiveDate)> {
    with_plan(text, today, |_, plan| {
        let rounds = line(plan).rounds.iter();
        rounds.map(|round| (round.window.number, round.window.due.first, round.window.due.last, round.day)).collect()
    })
}

fn state(text: &str, today: &str) -> State {
    with_plan(text, today, |_, plan| line(plan).state)
}

/// The codes of what stands in the way of the first round to come, on the day it is planned for.
fn in_the_way(text: &str, today: &str) -> Vec<&'static str> {
    with_plan(text, today, |_, plan| line(plan).rounds[0].conflicts.iter().map(|conflict| conflict.by.word()).collect())
}
