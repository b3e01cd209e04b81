//! See the Markdown beside this file.

use super::asked::ALONE;
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::Spray;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "empty-spray",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A spray that does not say what was in the tank",
    explain: include_str!("empty_spray.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, ALONE, |found, _, facts| {
        let spray = facts.spray(season.journal);
        // Any line that could not be read may have said it.
        if says_something(spray) || spray.time_lost || tries_to(season.words(spray.at.entry)) {
            return;
        }
        let place = scene::blocks(season, &spray.ground);
        let day = say::day(spray.at.day);
        found.add(
            found
                .finding(spray.at.line, format!("the spray of {place} on {day} does not say what was in the tank"))
                .here("no `mix`, `put`, `measured` or ingredient of a `load`")
                .help("name the mix, as in `mix name, 60 gal`, or write each ingredient with `put`")
                .source("7 CFR 110.3(a)(1) and (2), records of restricted use pesticides: the product and its total amount; for other sprays common practice, no source"),
        );
    });
}

fn says_something(spray: &Spray) -> bool {
    spray.mix.is_some()
        || !spray.puts.is_empty()
        || !spray.measured.is_empty()
        || !spray.batches.is_empty()
        || spray.loads.iter().any(|load| !load.portions.is_empty())
}

/// Whether a line begins like one that says it: what is wrong with such a line has its own finding.
fn tries_to(entry: &str) -> bool {
    let says = |line: &str| {
        let mut words = line.split_whitespace();
        let word = words.next().unwrap_or_default();
        ["mix", "put", "measured", "batch"].iter().any(|known| word.eq_ignore_ascii_case(known))
            || word.eq_ignore_ascii_case("load") && line.contains(',')
    };
    entry.lines().any(says)
}
