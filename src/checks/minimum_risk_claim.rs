//! See the Markdown beside this file.

use super::asked::RECORD;
use super::{Ahead, Check, Findings, When, ruled, say};
use crate::duty::{Asked, Duties, concerned};
use crate::finding::Level;
use crate::journal::{Content, Material, MaterialId, Status};
use crate::rulebook::Demand;
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "minimum-risk-claim",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A minimum-risk material with an active ingredient that is not listed as such",
    explain: include_str!("minimum_risk_claim.md"),
    run,
};

/// The statuses that a list is for, and the list.
type Listed<'s> = (&'s Vec<Status>, &'s Vec<String>);

fn listed(demand: &Demand) -> Option<Listed<'_>> {
    match demand {
        Demand::ListedActives { statuses, actives } => Some((statuses, actives)),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules: Vec<(Asked<'_>, Listed<'_>)> = Duties::new(season).of_kind(listed).collect();
    if rules.is_empty() {
        return;
    }
    let journal = season.journal;
    // For each material, the rules that it does not keep: few enough to be asked of every spray.
    let broken = |at: usize| {
        let material = &journal.materials[at];
        let keeps = |(asked, (statuses, actives)): &(Asked<'_>, Listed<'_>)| {
            let judged = material.status().is_some_and(|status| statuses.contains(&status));
            !judged
                || !concerned(season, MaterialId::at(at), &asked.rule.when)
                || unsaid(season, material)
                || !material.actives.is_empty() && strangers(material, actives).next().is_none()
        };
        (0..rules.len()).filter(|&rule| !keeps(&rules[rule])).collect::<Vec<usize>>()
    };
    let broken: Vec<Vec<usize>> = (0..journal.materials.len()).map(broken).collect();
    let used = found.in_sprays(season, RECORD, |_, facts| {
        let used = facts.doses.iter().filter_map(|dose| {
            let rule = broken[dose.material.index()].iter().find(|&&rule| rules[rule].0.holds_for(season, facts))?;
            Some((facts, dose.material, *rule))
        });
        used.collect::<Vec<_>>()
    });
    let mut told: Vec<MaterialId> = Vec::new();
    for (facts, id, rule) in used {
        if !told.contains(&id) {
            told.push(id);
            let (asked, (_, actives)) = &rules[rule];
            report(season, found, facts, id, asked, actives);
        }
    }
}

/// Whether a line about active ingredients was written that could not be read.
fn unsaid(season: &Season<'_>, material: &Material) -> bool {
    material.actives.is_empty()
        && season.words(material.named.entry).lines().any(|line| line.trim_start().starts_with("active"))
}

/// The active ingredients that are not on a list. Hyphens count as spaces, and a plural as its singular.
fn strangers<'m>(material: &'m Material, actives: &[String]) -> impl Iterator<Item = &'m Content> {
    material.actives.iter().filter(|active| !actives.iter().any(|listed| same(listed, &active.substance)))
}

fn same(one: &str, other: &str) -> bool {
    fn words(name: &str) -> impl Iterator<Item = &str> {
        let words = name.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
        words.map(|word| word.strip_suffix('s').unwrap_or(word))
    }
    words(one).eq(words(other))
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    id: MaterialId,
    asked: &Asked<'_>,
    actives: &[String],
) {
    let material = season.journal.material(id);
    let name = say::material(season, id);
    let status = material.status().map_or("", Status::word);
    let status_span = material.status.map_or(material.named.span, |status| status.span);
    let strangers: Vec<&Content> = strangers(material, actives).collect();
    let mut finding = match strangers.as_slice() {
        [] => {
            let headline = format!(
                "{name} is used as {status}, and its entry names no active ingredient, so nobody can tell whether that is right"
            );
            let mut finding = found
                .finding(status_span, headline)
                .help("write `active` with each active ingredient and its share, from the label");
            finding.level = Level::Warning;
            finding
        }
        [first, ..] => {
            let names: Vec<&str> = strangers.iter().map(|active| &*active.substance).collect();
            let is = if names.len() == 1 { "is" } else { "are" };
            let headline = format!(
                "{name} is used as {status}, but {} {is} not on the list of active ingredients for that",
                say::list(&names)
            );
            let mut finding = found.finding(first.span, headline).label(status_span, "status set here").help(
                "read the label again: a product with another active ingredient needs a registration number; home mixes and foods are not minimum-risk products by themselves",
            );
            for active in &strangers[1..] {
                finding = finding.label(active.span, "nor is this");
            }
            finding.working(format!(
                "{} active ingredients are listed; `foliary rulebook {}` shows the rule",
                actives.len(),
                asked.adoption.book.name
            ))
        }
    };
    finding = finding.label(facts.spray(season.journal).at.line, "first used here");
    found.add(ruled::by(finding, asked));
}
