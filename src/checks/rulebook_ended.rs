//! See the Markdown beside this file.

use chrono::NaiveDate;

use super::asked::ALONE;
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Adoption, Duties};
use crate::finding::Level;
use crate::rulebook::{Demand, Rule};
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "rulebook-ended",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A rulebook that was not in force when sprays were done",
    explain: include_str!("rulebook_ended.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    // Most rules of a book are in force on the same days.
    let books: Vec<Vec<&Rule>> = duties
        .adoptions
        .iter()
        .map(|adoption| {
            let mut rules: Vec<&Rule> = asking(adoption).collect();
            rules.sort_by_key(|rule| (rule.from, rule.until));
            rules.dedup_by_key(|rule| (rule.from, rule.until));
            rules
        })
        .collect();
    let unjudged = found.in_sprays(season, ALONE, |_, facts| {
        let day = facts.spray(season.journal).at.day;
        let books = duties.adoptions.iter().zip(&books).enumerate();
        let none = books
            .filter(|(_, (adoption, rules))| adoption.adopted.on(day) && !rules.iter().any(|rule| rule.in_force(day)));
        none.map(|(place, _)| (place, day)).collect::<Vec<_>>()
    });
    for (place, adoption) in duties.adoptions.iter().enumerate() {
        let days = unjudged.iter().filter(|(of, _)| *of == place).map(|(_, day)| *day).collect();
        look(found, adoption, days);
    }
}

/// Rules that ask for something, unlike notes.
fn asking<'s>(adoption: &Adoption<'s>) -> impl Iterator<Item = &'s Rule> {
    adoption.book.rules.iter().filter(|rule| rule.demand != Demand::Note)
}

fn look(found: &mut Findings, adoption: &Adoption<'_>, unjudged: Vec<NaiveDate>) {
    let (Some(&first), Some(&last)) = (unjudged.iter().min(), unjudged.iter().max()) else { return };
    let name = &adoption.book.name;
    let count = scene::count(unjudged.len(), "spray");
    let (are, lie) = if unjudged.len() == 1 { ("is", "lies") } else { ("are", "lie") };
    let headline = format!("{count} {are} judged by no rule of {name}: none was in force then");
    let mut finding = found.finding(adoption.adopted.name.span, headline);
    finding = finding.working(if first == last {
        format!("{count}: {}", say::day(first))
    } else {
        format!("they {lie} between {} and {}", say::day(first), say::day(last))
    });
    let ended = asking(adoption).filter_map(|rule| rule.until).max().filter(|until| *until < first);
    let begins = asking(adoption).filter_map(|rule| rule.from).min().filter(|from| *from > last);
    finding = match (ended, begins) {
        (Some(until), _) => {
            finding.working(format!("the last day of its rules was {}", say::day(until))).help(format!(
                "write `until {until}` behind it, and take on what holds now: the rules of your state, province or country may ask for more"
            ))
        }
        (None, Some(from)) => finding.working(format!("the first day of its rules is {}", say::day(from))),
        (None, None) => finding,
    };
    found.add(finding.source(format!("{}, {}", adoption.book.title, adoption.book.citation)));
}
