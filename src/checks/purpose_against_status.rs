//! See the Markdown beside this file.

use super::asked::RECORD;
use super::{Ahead, Check, Findings, When, ruled, say, scene};
use crate::duty::{Against, Asked, Duties, against, against_by_reason, concerned, own_purpose};
use crate::finding::{Finding, Level};
use crate::journal::{MaterialId, Status};
use crate::rulebook::Demand;
use crate::season::{By, Season, SprayFacts};
use crate::syntax::EntryWord as E;

pub(super) const CHECK: Check = Check {
    code: "purpose-against-status",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "Something used against a pest, a disease or weeds that its status does not cover",
    explain: include_str!("purpose_against_status.md"),
    run,
};

/// Statuses of things that are meant against something, unless a rule says that they are not enough.
const MEANT: &[Status] = &[Status::Registered, Status::MinimumRisk, Status::BasicSubstance];

/// By what a material is known to be used against something.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum How {
    /// By its own `purpose`, whatever else is in the tank.
    Own,
    /// By the target of the spray.
    Target,
    /// By the target of the spray, while its reason says that it is for something else.
    TargetAlone,
    /// By the words of the reason.
    Reason,
    /// By the target of the spray, while everything in the tank says by its own `purpose` that it is for something else.
    NothingFor,
}

/// A spray with what it should not be used for.
struct Misuse<'s> {
    facts: &'s SprayFacts,
    asked: Asked<'s>,
    how: How,
    materials: Vec<MaterialId>,
}

fn statuses(demand: &Demand) -> Option<&Vec<Status>> {
    match demand {
        Demand::Purpose { statuses } => Some(statuses),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules: Vec<(Asked<'_>, &Vec<Status>)> = Duties::new(season).of_kind(statuses).collect();
    if rules.is_empty() {
        return;
    }
    let all = found.in_sprays(
        season,
        By { named: &[E::Mix, E::Material, E::Block, E::Person, E::Rig], ..RECORD },
        |_, facts| {
            // The strictest rulebook speaks for all: known from the text rather than from memory, and the first of those.
            let mut of_spray: Vec<Misuse<'_>> = Vec::new();
            for &(asked, statuses) in &rules {
                for misuse in misuses(season, facts, asked, statuses) {
                    let same = |known: &Misuse<'_>| known.how == misuse.how && known.materials == misuse.materials;
                    match of_spray.iter_mut().find(|known| same(known)) {
                        Some(known) if known.asked.from_memory() => *known = misuse,
                        Some(_) => {}
                        None => of_spray.push(misuse),
                    }
                }
            }
            of_spray.into_iter().map(|misuse| ((misuse.how, misuse.materials.clone()), facts.index, misuse))
        },
    );
    for (misuse, more) in ruled::firsts(all) {
        found.add(ruled::more(finding(season, found, &misuse), more, "spray"));
    }
}

/// What in a spray is used against something and should not be.
fn misuses<'s>(season: &Season<'_>, facts: &'s SprayFacts, asked: Asked<'s>, statuses: &[Status]) -> Vec<Misuse<'s>> {
    let journal = season.journal;
    let (mut own, mut rest, mut aside): (Vec<MaterialId>, Vec<MaterialId>, Vec<MaterialId>) = Default::default();
    // Whether something in the tank is meant for it, or may be.
    let mut meant = false;
    for id in facts.doses.iter().map(|dose| dose.material) {
        let material = journal.material(id);
        let purpose = own_purpose(material);
        match material.status() {
            Some(status) if purpose == Against::No => {
                meant |= MEANT.contains(&status);
                aside.push(id);
            }
            _ if purpose == Against::No => aside.push(id),
            None => meant = true,
            Some(status) if statuses.contains(&status) && concerned(season, id, &asked.rule.when) => {
                if purpose == Against::Yes { own.push(id) } else { rest.push(id) }
            }
            Some(status) => meant |= MEANT.contains(&status),
        }
    }
    let spray = facts.spray(journal);
    // With something that is against it by its own purpose, the spray's target is told for. What is not declared may be
    // meant for it.
    if meant || !own.is_empty() || !rest.is_empty() && !scene::tank_known(season, spray) {
        rest.clear();
    }
    let nothing_for =
        spray.target.is_some() && !meant && own.is_empty() && rest.is_empty() && scene::tank_known(season, spray);
    if !nothing_for {
        aside.clear();
    }
    if own.is_empty() && rest.is_empty() && aside.is_empty() || !asked.holds_for(season, facts) {
        return Vec::new();
    }
    for list in [&mut own, &mut rest, &mut aside] {
        list.sort_unstable();
        list.dedup();
    }
    let mut found: Vec<Misuse<'s>> =
        own.into_iter().map(|id| Misuse { facts, asked, how: How::Own, materials: vec![id] }).collect();
    if !rest.is_empty() && against(season, facts) == Against::Yes {
        let how = match (spray.target, against_by_reason(season, facts)) {
            (Some(_), Against::No) => How::TargetAlone,
            (Some(_), _) => How::Target,
            (None, _) => How::Reason,
        };
        found.push(Misuse { facts, asked, how, materials: rest });
    }
    if !aside.is_empty() {
        found.push(Misuse { facts, asked, how: How::NothingFor, materials: aside });
    }
    found
}

fn finding(season: &Season<'_>, found: &Findings, misuse: &Misuse<'_>) -> Finding {
    let journal = season.journal;
    let spray = misuse.facts.spray(journal);
    let place = ruled::place(season, misuse.facts, &misuse.asked);
    let day = say::day(spray.at.day);
    let statuses: Vec<String> =
        misuse.materials.iter().map(|&id| format!("{} is {}", say::material(season, id), status(season, id))).collect();
    let statuses = say::list(&statuses);
    let target = spray.target.map(|target| season.words(target));
    let (at, headline) = match (misuse.how, misuse.materials.as_slice()) {
        (How::Own, &[id]) => {
            let purposes = &journal.material(id).purposes;
            let words: Vec<&str> = purposes.iter().map(|purpose| purpose.value.word()).collect();
            let name = say::material(season, id);
            let headline = format!(
                "{name} went on {place} on {day} against {}, by its own `purpose`, and it is {}",
                say::list(&words),
                status(season, id)
            );
            (purposes.first().map(|purpose| purpose.span), headline)
        }
        (How::NothingFor, ids) => (
            spray.target,
            format!(
                "the spray of {place} on {day} is against {}, and by its own `purpose` nothing in the tank is: {}",
                target.unwrap_or("something"),
                scene::materials(season, ids)
            ),
        ),
        (How::TargetAlone, _) => (
            spray.target,
            format!(
                "the spray of {place} on {day} says {} as its reason and {} as its target, and {statuses}",
                spray.reason.map_or("something else", |reason| season.words(reason)),
                target.unwrap_or("something")
            ),
        ),
        (How::Target, _) => (
            spray.target,
            format!("the spray of {place} on {day} is against {}, and {statuses}", target.unwrap_or("something")),
        ),
        _ => (
            spray.reason,
            format!(
                "the spray of {place} on {day} says {} as its reason, and {statuses}",
                spray.reason.map_or("something else", |reason| season.words(reason))
            ),
        ),
    };
    let mut finding = found.finding(at.unwrap_or(spray.at.line), headline);
    if matches!(misuse.how, How::TargetAlone | How::Reason | How::NothingFor) {
        finding.level = Level::Warning;
    }
    if misuse.how == How::Own {
        finding = finding.label(spray.at.line, "first used here");
    } else if misuse.how != How::NothingFor {
        finding = finding.working(
            "nothing else in the tank is registered or exempt for such use, by its `status` or its `registration`",
        );
    }
    for &id in &misuse.materials {
        if let Some(status) = journal.material(id).status {
            finding = finding.label(status.span, "status set here");
        }
    }
    let help = match misuse.how {
        How::TargetAlone | How::NothingFor => {
            "if it only feeds the crop, no `target` belongs in the record; if it is meant against something, ask your adviser or the office that regulates pesticides before the next use"
        }
        _ => {
            "ask your adviser or the office that regulates pesticides before the next use; the crop may be concerned, too. If a material only feeds, say `purpose nutrition` in its entry"
        }
    };
    ruled::by(finding.help(help), &misuse.asked)
}

/// What a material is by its status, in words behind `it is`.
fn status(season: &Season<'_>, id: MaterialId) -> String {
    match season.journal.material(id).status() {
        Some(Status::None) => "neither registered nor exempt".to_string(),
        Some(Status::Food) => "food by its status".to_string(),
        Some(status) => {
            let word = status.word().replace('-', " ");
            let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
            format!("{article} {word} by its status")
        }
        None => "of unknown status".to_string(),
    }
}
