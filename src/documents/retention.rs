//! How long the records are to be kept, by every rulebook that the farm has adopted and by the farm's own word.

use serde::Serialize;

use super::book::Book;
use super::words::{count, day};
use crate::duty::{Duties, kept, years_later};
use crate::rulebook::Demand;
use crate::season::SprayFacts;

/// A time of keeping.
#[derive(Clone, Debug, Serialize)]
pub struct Retention {
    /// Who asks for it: a rulebook's title, or the farm itself.
    pub by: String,
    /// How long: `5 years from the application`.
    pub time: String,
    /// The section, and how it is known.
    pub citation: String,
    /// How many sprays of the part to show it holds for.
    pub sprays: usize,
    /// Until when the record of the first of them is kept.
    pub first: Option<String>,
    /// Until when the record of the last of them is kept.
    pub last: Option<String>,
    /// What the days cannot say.
    pub remark: Option<&'static str>,
}

/// Every time of keeping, in the order of the farm's adoptions.
pub(super) fn retentions(book: &Book<'_>) -> Vec<Retention> {
    let duties = Duties::new(book.season);
    let sprays: Vec<&SprayFacts> = book.sprays().collect();
    let keeps = duties.of_kind(|demand| if let Demand::Keep(keep) = demand { Some(*keep) } else { None });
    let mut all: Vec<Retention> = Vec::new();
    for (asked, keep) in keeps {
        let holds = |facts: &&&SprayFacts| {
            let on = facts.spray(book.journal()).at.day;
            asked.adoption.adopted.on(on)
                && asked.rule.in_force(on)
                && crate::duty::holds(book.season, facts, &asked.rule.when)
        };
        let mut held = sprays.iter().filter(holds);
        let first = held.next();
        let (others, last) = held.fold((0, first), |(count, _), facts| (count + 1, Some(facts)));
        let until = |facts: Option<&&SprayFacts>| facts.and_then(|facts| kept(book.season, facts, keep));
        let (first_kept, last_kept) = (until(first), until(last));
        let remark = match last_kept {
            Some(kept) if kept.moves => Some("counted from the last entry so far; it moves on with every new one"),
            Some(kept) if kept.without_reentry => {
                Some("no re-entry interval is recorded; counted from the end of the spray")
            }
            _ => None,
        };
        all.push(Retention {
            by: asked.adoption.book.title.clone(),
            time: format!("{} from {}", count(keep.years as usize, "year", "years"), keep.from.words()),
            citation: format!("{} ({})", asked.rule.citation, asked.rule.known.words()),
            sprays: usize::from(first.is_some()) + others,
            first: first_kept.map(|kept| day(kept.until)),
            last: last_kept.map(|kept| day(kept.until)),
            remark,
        });
    }
    all.extend(own(book, &sprays));
    all
}

/// The farm's own word; it says no more than how many years.
fn own(book: &Book<'_>, sprays: &[&SprayFacts]) -> Option<Retention> {
    let years = book.journal().farm.as_ref()?.keep?.value;
    let until = |facts: Option<&&SprayFacts>| years_later(facts?.end.local.date(), years).map(day);
    Some(Retention {
        by: "The farm itself".to_string(),
        time: format!("{}, counted from the application", count(years as usize, "year", "years")),
        citation: "its own entry".to_string(),
        sprays: sprays.len(),
        first: until(sprays.first()),
        last: until(sprays.last()),
        remark: None,
    })
}
