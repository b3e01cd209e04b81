//! How long records are kept: by every rulebook that the farm has adopted, and by the farm's own word.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::words::{count, day};
use crate::duty::{Duties, kept, years_later};
use crate::rulebook::Demand;
use crate::season::SprayFacts;

/// How long the records of a document are kept.
#[derive(Clone, Debug, Serialize)]
pub struct Keeping {
    /// Every rule that asks for it.
    pub rules: Vec<KeepRule>,
    /// Until when all of the document is kept, and by which rule; absent where nothing asks for it.
    pub last: Option<KeptView>,
}

/// A rule that asks for keeping.
#[derive(Clone, Debug, Serialize)]
pub struct KeepRule {
    /// Whose it is: the rulebook's title, or `The farm itself`.
    pub whose: String,
    /// How long: `2 years from the end of re-entry`.
    pub time: String,
    /// The section, and how it is known.
    pub source: String,
}

/// Until when a record is kept.
#[derive(Clone, Debug, Serialize)]
pub struct KeptView {
    /// The last day.
    pub until: String,
    /// Which rule sets it.
    pub by: String,
    /// What was taken as so, and whether the day moves on.
    pub note: Option<&'static str>,
    /// The last day, for machines.
    #[serde(skip)]
    pub day: NaiveDate,
}

const MOVES: &str = "at the earliest: the time runs from the last entry of the book, which may still be written in";
const WITHOUT_REENTRY: &str =
    "counted from the end of the spray, since no label in the tank has a re-entry interval on record";

/// Until when one rulebook wants the record of a spray kept.
pub(super) fn kept_under(book: &Book<'_>, duties: &Duties<'_>, facts: &SprayFacts, name: &str) -> Option<KeptView> {
    let own = by_rules(book, duties, facts).filter(|(whose, _)| *whose == name);
    own.map(|(_, kept)| kept).reduce(longer)
}

/// Until when each rule wants the record of a spray kept, with the name of its rulebook.
fn by_rules<'d>(
    book: &'d Book<'_>,
    duties: &'d Duties<'_>,
    facts: &'d SprayFacts,
) -> impl Iterator<Item = (&'d str, KeptView)> {
    duties.of_spray(facts, keep_of).filter_map(|(asked, keep)| {
        let kept = kept(book.season, facts, keep)?;
        let note = if kept.moves { Some(MOVES) } else { kept.without_reentry.then_some(WITHOUT_REENTRY) };
        let by = format!("{}, {}", asked.adoption.book.title, time_of(keep));
        Some((asked.adoption.book.name.as_str(), KeptView { until: day(kept.until), by, note, day: kept.until }))
    })
}

/// Of equal days the first.
fn longer(longest: KeptView, other: KeptView) -> KeptView {
    if other.day > longest.day { other } else { longest }
}

/// Until when the record of a spray is kept: the longest of all adopted rulebooks and of the farm's own time.
pub(super) fn kept_longest(book: &Book<'_>, duties: &Duties<'_>, facts: &SprayFacts) -> Option<KeptView> {
    let own = book.journal().farm.as_ref().and_then(|farm| farm.keep).and_then(|years| {
        let until = years_later(facts.end.local.date(), years.value)?;
        let by = format!("the farm itself, {} from the application", count_years(years.value));
        Some(KeptView { until: day(until), by, note: None, day: until })
    });
    by_rules(book, duties, facts).map(|(_, kept)| kept).chain(own).reduce(longer)
}

/// How long records of some days are kept, with the longest of each spray already known.
pub(super) fn keeping(book: &Book<'_>, duties: &Duties<'_>, kept: impl Iterator<Item = KeptView>) -> Keeping {
    let asked = duties.of_kind(keep_of).map(|(asked, keep)| KeepRule {
        whose: asked.adoption.book.title.clone(),
        time: time_of(keep),
        source: format!("{}; {}; {}", asked.rule.citation, asked.rule.known.words(), asked.rule.in_force_words()),
    });
    let own = book.journal().farm.as_ref().and_then(|farm| farm.keep).map(|years| KeepRule {
        whose: "The farm itself".to_string(),
        time: format!("{} from the application", count_years(years.value)),
        source: format!("its own line, {}", book.place(years.span)),
    });
    Keeping { rules: asked.chain(own).collect(), last: kept.reduce(longer) }
}

fn keep_of(demand: &Demand) -> Option<crate::rulebook::Keep> {
    match demand {
        Demand::Keep(keep) => Some(*keep),
        _ => None,
    }
}

/// `2 years from the end of re-entry`.
fn time_of(keep: crate::rulebook::Keep) -> String {
    format!("{} from {}", count_years(keep.years), keep.from.words())
}

fn count_years(years: u32) -> String {
    count(years as usize, "year", "years")
}
