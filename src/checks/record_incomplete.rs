//! See the Markdown beside this file.

use std::collections::BTreeMap;

use super::asked::{RECORD, TANK};
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Asked, Duties, Lack, elements, lacks};
use crate::finding::Level;
use crate::rulebook::Element;
use crate::season::{By, Season, SprayFacts};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "record-incomplete",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A record without something that a rulebook asks for",
    explain: include_str!("record_incomplete.md"),
    run,
};

/// What one record lacks, and who asks for it.
struct Missing<'s> {
    lack: Lack,
    asked: Vec<Asked<'s>>,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    if duties.is_empty() {
        return;
    }
    let records = found.in_sprays(season, By { facts: TANK.facts, ..RECORD }, |_, facts| {
        Some((facts, missing(&duties, facts))).filter(|(_, missing)| !missing.is_empty())
    });
    // What is missing from a material, a block or a person is missing from every record of it: it is told once, with the
    // first, and how many more there are.
    let mut standing: BTreeMap<(u32, &'static str), usize> = BTreeMap::new();
    for (_, missing) in &records {
        for lack in missing.iter().map(|missing| &missing.lack) {
            if let Some(at) = lack.standing {
                *standing.entry((at.start, lack.element.name())).or_default() += 1;
            }
        }
    }
    for (facts, mut missing) in records {
        missing.retain(|missing| {
            missing.lack.standing.is_none_or(|at| standing.contains_key(&(at.start, missing.lack.element.name())))
        });
        if !missing.is_empty() {
            let more = |lack: &Lack| {
                let at = lack.standing?;
                standing.get(&(at.start, lack.element.name())).map(|count| count - 1)
            };
            report(season, found, facts, &missing, more);
        }
        for lack in missing.iter().map(|missing| &missing.lack) {
            if let Some(at) = lack.standing {
                standing.remove(&(at.start, lack.element.name()));
            }
        }
    }
}

/// What a record lacks, each thing once, in the order in which the rulebooks ask.
fn missing<'s>(duties: &Duties<'s>, facts: &SprayFacts) -> Vec<Missing<'s>> {
    let unread = |lack: &Lack| duties.season.has_unread_line(lack.entry);
    let mut all: Vec<Missing<'s>> = Vec::new();
    for (asked, elements) in duties.of_spray(facts, elements) {
        for &element in elements {
            // What could not be read may be what is missing.
            for lack in lacks(duties.season, facts, element, &asked.rule.when).into_iter().filter(|lack| !unread(lack))
            {
                match all.iter_mut().find(|missing| missing.lack == lack) {
                    Some(known) => known.asked.push(asked),
                    None => all.push(Missing { lack, asked: vec![asked] }),
                }
            }
        }
    }
    all
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    missing: &[Missing<'_>],
    more: impl Fn(&Lack) -> Option<usize>,
) {
    let spray = facts.spray(season.journal);
    let words: Vec<String> = missing.iter().map(|missing| missing.lack.words()).collect();
    let sure = missing.iter().any(|missing| missing.asked.iter().any(|asked| !asked.from_memory()));
    let place = scene::blocks(season, &spray.ground);
    let headline =
        format!("the record of the spray of {place} on {} does not say: {}", say::day(spray.at.day), say::list(&words));
    let mut finding = found.finding(spray.at.line, headline);
    if !sure {
        // A rule from memory may be wrong: it is told, and never an error.
        finding.level = Level::Note;
    }
    let mut told: Vec<Span> = Vec::new();
    for missing in missing {
        if let Some(at) = missing.lack.standing.filter(|at| !told.contains(at)) {
            told.push(at);
            finding = finding.label(at, "belongs here");
        }
        let asked: Vec<String> = missing.asked.iter().map(Asked::cited).collect();
        let more = more(&missing.lack).filter(|more| *more > 0);
        let more = more.map_or(String::new(), |more| {
            format!("; {} {} it, too", scene::count(more, "other record"), if more == 1 { "lacks" } else { "lack" })
        });
        finding = finding.working(format!("{}: {}{more}", missing.lack.words(), asked.join("; ")));
    }
    if missing.iter().any(|missing| matches!(missing.lack.element, Element::Start | Element::End)) && facts.end_assumed
    {
        finding = finding.working(format!("until it is written, the end is taken as {}", say::moment(facts.end)));
    }
    let mut books: Vec<(Span, &str)> = Vec::new();
    for asked in missing.iter().flat_map(|missing| &missing.asked) {
        let book = (asked.adoption.adopted.name.span, asked.adoption.book.name.as_str());
        if !books.contains(&book) {
            books.push(book);
        }
    }
    for (span, _) in &books {
        finding = finding.label(*span, "rulebook taken on here");
    }
    let names: Vec<&str> = books.iter().map(|(_, name)| *name).collect();
    let unsure = if sure { "" } else { "; known from memory only, so check it at the source" };
    found.add(
        finding
            .help(format!(
                "write down what is known for sure; what nobody knows any more is better left out and said with `accept record-incomplete` and why. `foliary rulebook {}` shows the rules",
                names[0]
            ))
            .source(format!("as asked by {}{unsure}", say::list(&names))),
    );
}
