//! See the Markdown beside this file.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::asked::RECORD;
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Asked, Duties};
use crate::finding::Level;
use crate::journal::{Licence, PersonId, Ref};
use crate::rulebook::{Demand, Element};
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "licence-lapsed",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A spray under a licence that had run out, or under none on record",
    explain: include_str!("licence_lapsed.md"),
    run,
};

/// Somebody whose licence had run out, at the first spray after it.
struct Hit<'s> {
    asked: Asked<'s>,
    person: Ref<PersonId>,
    licence: Licence,
    until: NaiveDate,
    facts: &'s SprayFacts,
    more: usize,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    let licences = |demand: &Demand| matches!(demand, Demand::Licence).then_some(());
    if duties.of_kind(licences).next().is_none() {
        return;
    }
    let mut bare: BTreeMap<PersonId, (Asked<'_>, &SprayFacts, usize)> = BTreeMap::new();
    let mut hits: BTreeMap<(PersonId, NaiveDate), Hit<'_>> = BTreeMap::new();
    let unlicensed = found.in_sprays(season, RECORD, |_, facts| {
        let (asked, ()) = duties.of_spray(facts, licences).min_by_key(|(asked, ())| asked.from_memory())?;
        let without = unlicensed(season, facts).filter(|_| !duties.asks(facts, Element::Licence));
        let lapsed = lapsed(season, facts);
        (without.is_some() || lapsed.is_some()).then_some((facts, asked, without, lapsed))
    });
    for (facts, asked, without, lapsed) in unlicensed {
        if let Some(person) = without {
            let none = bare.entry(person).or_insert((asked, facts, 0));
            none.2 += usize::from(none.1.index != facts.index);
        }
        let Some((person, licence, until)) = lapsed else { continue };
        let Some(id) = person.id else { continue };
        let hit = hits.entry((id, until)).or_insert_with(|| Hit { asked, person, licence, until, facts, more: 0 });
        if hit.facts.index != facts.index {
            hit.more += 1;
        }
    }
    for hit in hits.values() {
        report(season, found, hit);
    }
    for (&person, &(asked, facts, more)) in &bare {
        report_none(season, found, person, asked, facts, more);
    }
}

/// The first of those who sprayed or answered for it whose licence had run out, where none of them had one that may have
/// been valid: it is enough that one of them has.
fn lapsed(season: &Season<'_>, facts: &SprayFacts) -> Option<(Ref<PersonId>, Licence, NaiveDate)> {
    let spray = facts.spray(season.journal);
    let mut first = None;
    for &person in spray.by.iter().chain(&spray.authorised) {
        // Of somebody whose name is declared nowhere nothing is known.
        let Some(licence) = season.journal.person(person.id?).licence else { continue };
        let until = licence.until.filter(|until| *until < spray.at.day)?;
        first = first.or(Some((person, licence, until)));
    }
    first
}

/// The first of those who sprayed, where everybody named for it is declared and none has a licence on record.
fn unlicensed(season: &Season<'_>, facts: &SprayFacts) -> Option<PersonId> {
    let spray = facts.spray(season.journal);
    let mut named = spray.by.iter().chain(&spray.authorised);
    let none = named.all(|person| person.id.is_some_and(|id| season.journal.person(id).licence.is_none()));
    if none { spray.by.first()?.id } else { None }
}

fn report_none(
    season: &Season<'_>,
    found: &mut Findings,
    person: PersonId,
    asked: Asked<'_>,
    facts: &SprayFacts,
    more: usize,
) {
    let person = &season.journal.person(person).named;
    let spray = facts.spray(season.journal);
    let place = scene::blocks(season, &spray.ground);
    let headline = format!(
        "{} sprayed {place} on {}, and no licence of anybody named for it is on record",
        person.shown(),
        say::day(spray.at.day)
    );
    let mut finding = found
        .finding(person.span, headline)
        .label(spray.at.line, "the spray")
        .label(asked.adoption.adopted.name.span, "rulebook taken on here");
    if more > 0 {
        finding = finding.working(format!("the same for {}", scene::count(more, "later spray")));
    }
    // That none is written down does not mean that there is none.
    finding.level = if asked.from_memory() { Level::Note } else { Level::Warning };
    found.add(
        finding
            .help("write `licence` with its number and last day in the person's entry, or name who supervised with `authorised`")
            .source(asked.cited()),
    );
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit<'_>) {
    let Some(person) = hit.person.id.map(|id| season.journal.person(id)) else { return };
    let spray = hit.facts.spray(season.journal);
    let (who, until) = (person.named.shown(), say::day(hit.until));
    let place = scene::blocks(season, &spray.ground);
    let headline =
        format!("the licence of {who} ran out on {until}, before the spray of {place} on {}", say::day(spray.at.day));
    let late = scene::days(scene::between(hit.until, spray.at.day));
    let mut finding = found
        .finding(hit.person.span, headline)
        .here("named for this spray")
        .label(hit.licence.span, "the licence and its last day")
        .label(hit.asked.adoption.adopted.name.span, "rulebook taken on here")
        .working(format!("its last day was {until}, {late} before"));
    if hit.more > 0 {
        finding = finding.working(format!("the same for {}", scene::count(hit.more, "later spray")));
    }
    if hit.asked.from_memory() {
        finding.level = Level::Note;
    }
    found.add(
        finding
            .help(format!(
                "if it was renewed, write the new last day in the entry of {}; if somebody with a valid licence answered for the spray, name them with `authorised`",
                person.named.name
            ))
            .source(hit.asked.cited()),
    );
}
